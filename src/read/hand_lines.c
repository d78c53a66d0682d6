/* What the hands play: stickings by line or by name, patterns, and `play`. */
#include "model/rudiment.h"
#include "read/scope.h"

#include <string.h>

/* A copy of a named line whose strokes all stand where the name does. */
static struct stroke_line *place_line(struct reader *reader, const struct stroke_line *named,
                                      const char *name, struct place at)
{
    if (!reader_count_items(reader, named->count, at))
        return NULL;
    struct stroke_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = *named;
    line->name = name;
    line->at = at;
    line->strokes = arena_array(reader->arena, named->count, sizeof *line->strokes);
    line->boundaries = arena_array(reader->arena, named->boundary_count, sizeof *line->boundaries);
    for (size_t i = 0; i < named->count; i++) {
        line->strokes[i] = named->strokes[i];
        line->strokes[i].line = at.line;
        line->strokes[i].column = at.column;
    }
    for (size_t i = 0; i < named->boundary_count; i++)
        line->boundaries[i] = (struct boundary){named->boundaries[i].before, at};
    return line;
}

/* False where no pattern is called so; a pattern that was reported itself gives NULL. */
static bool find_pattern(const struct reader *reader, const struct text *text,
                         const struct stroke_line **line)
{
    uint32_t number;
    if (names_find(&reader->patterns, text->bytes, text->length, &number)) {
        *line = reader->pattern_lines.items[number];
        return true;
    }
    const struct course_context *course = reader->course;
    while (course && !names_find(&course->patterns, text->bytes, text->length, &number))
        course = course->above;
    if (course)
        *line = course->pattern_lines[number];
    return course;
}

static struct stroke_line *rudiment_line(struct reader *reader, const struct rudiment *rudiment,
                                         struct place at)
{
    struct text strokes = text_direct(rudiment->strokes, strlen(rudiment->strokes), at);
    struct stroke_line *line = read_strokes(reader, &strokes);
    return line ? place_line(reader, line, rudiment->name, at) : NULL;
}

static void report_unknown_sticking(struct reader *reader, const struct text *text)
{
    struct diags *diags = reader->diags;
    diag_add(diags, DIAG_UNKNOWN_STICKING, text->at,
             "there is no pattern or rudiment called '%.*s'",
             (int)(text->length > 60 ? 60 : text->length), text->bytes);
    if (!diag_listed(diags))
        return;
    const char *rudiments[RUDIMENT_COUNT];
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        rudiments[i] = rudiment_get(i + 1)->name;
    const char *nearest =
        names_nearest(&reader->patterns, reader->arena, text->bytes, rudiments, RUDIMENT_COUNT);
    for (const struct course_context *course = reader->course; !nearest && course;
         course = course->above)
        nearest = names_nearest(&course->patterns, reader->arena, text->bytes, NULL, 0);
    diag_found(diags, text->bytes);
    diag_expected(diags, "a stroke line, a name from 'patterns' or one of the forty rudiments");
    diag_nearest(diags, nearest);
}

/* `auto`: every stroke asks for its hand. */
static const struct stroke_line *auto_line(struct reader *reader, struct place at)
{
    struct text open = text_direct("?", 1, at);
    return place_line(reader, read_strokes(reader, &open), "auto", at);
}

static const struct stroke_line *resolve_sticking(struct reader *reader, const struct text *text)
{
    const struct stroke_line *pattern;
    if (strcmp(text->bytes, "auto") == 0)
        return auto_line(reader, text->at);
    if (find_pattern(reader, text, &pattern))
        return pattern ? place_line(reader, pattern, text->bytes, text->at) : NULL;
    if (looks_like_strokes(text->bytes, text->length))
        return read_strokes(reader, text);
    const struct rudiment *rudiment = rudiment_find(text->bytes, text->length);
    if (rudiment)
        return rudiment_line(reader, rudiment, text->at);
    report_unknown_sticking(reader, text);
    return NULL;
}

void read_sticking(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text =
        entry_text(reader, entry, "a stroke line such as RLRR LRLL, a pattern or a rudiment");
    const struct stroke_line *line = text ? resolve_sticking(reader, text) : NULL;
    scope->settings->sticking = line;
    scope->own_sticking = line;
    scope->spoiled |= !line;
}

static void read_pattern(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    const struct text *text = entry_text(reader, entry, "a stroke line, such as RLRR LRLL");
    uint32_t number = (uint32_t)reader->pattern_lines.count;
    names_add(&reader->patterns, reader->arena, entry->name, strlen(entry->name), &number);
    *vector_push(&reader->pattern_lines, reader->arena) = text ? read_strokes(reader, text) : NULL;
}

void read_patterns(struct reader *reader, const struct entry *entry, void *target)
{
    read_free_keys(reader, entry, "names with stroke lines, such as {warm-up: RLRR LRLL}",
                   read_pattern, target);
}

/* ---- play ------------------------------------------------------------------------------------ */

struct voicing_list {
    VECTOR(struct voicing) items;
    bool failed;
};

static void read_play_item(struct reader *reader, const struct entry *entry, void *target)
{
    struct voicing_list *list = target;
    const struct text *text = entry_text(reader, entry, "a voice, such as snare or snare ghost");
    struct voicing voicing;
    if (text && node_is_empty(entry->value))
        bad_value(reader, entry, "a voice, such as snare");
    else if (text && read_voicing(reader, text, false, &voicing)) {
        *vector_push(&list->items, reader->scratch) = voicing;
        return;
    }
    list->failed = true;
}

static void read_limb(struct reader *reader, const struct entry *entry, struct voicing_line *line)
{
    struct voicing_list list = {0};
    read_items(reader, entry, read_play_item, &list);
    if (list.failed)
        return;
    if (list.items.count == 0) {
        bad_value(reader, entry, "a voice or a list of voices");
        return;
    }
    *line = (struct voicing_line){
        .items = reader_keep(reader, list.items.items, list.items.count, sizeof *list.items.items),
        .count = list.items.count,
        .at = entry->value->at};
}

static void read_right_hand(struct reader *reader, const struct entry *entry, void *target)
{
    read_limb(reader, entry, &((struct play *)target)->limbs[LIMB_RIGHT_HAND]);
}

static void read_left_hand(struct reader *reader, const struct entry *entry, void *target)
{
    read_limb(reader, entry, &((struct play *)target)->limbs[LIMB_LEFT_HAND]);
}

static void read_right_foot(struct reader *reader, const struct entry *entry, void *target)
{
    read_limb(reader, entry, &((struct play *)target)->limbs[LIMB_RIGHT_FOOT]);
}

static void read_left_foot(struct reader *reader, const struct entry *entry, void *target)
{
    read_limb(reader, entry, &((struct play *)target)->limbs[LIMB_LEFT_FOOT]);
}

enum { OF_HANDS = 1, OF_FEET = 2 };

/* In the feet's own line R and L are the feet, as they are in its sticking. */
static const struct key limb_keys[] = {
    {"R", OF_HANDS, read_right_hand},
    {"L", OF_HANDS, read_left_hand},
    {"RF", OF_HANDS | OF_FEET, read_right_foot},
    {"LF", OF_HANDS | OF_FEET, read_left_foot},
};
static const struct key feet_limb_keys[] = {
    {"R", OF_FEET, read_right_foot},
    {"L", OF_FEET, read_left_foot},
    {"RF", OF_FEET, read_right_foot},
    {"LF", OF_FEET, read_left_foot},
};
static const struct level_name limb_levels[] = {{OF_HANDS, "'play'"},
                                                {OF_FEET, "'play' of the feet"}};
const struct key_table limb_table = KEY_TABLE(limb_keys, limb_levels);
const struct key_table feet_limb_table = KEY_TABLE(feet_limb_keys, limb_levels);

/* Limb by limb: what a level does not say stays as it is. */
void read_play(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct play *play = arena_alloc(reader->arena, sizeof *play);
    if (scope->settings->play)
        *play = *scope->settings->play;
    play->at = entry->value->at;
    scope->settings->play = play;
    bool feet = scope->where == IN_FEET;
    read_keys(reader, entry->value, feet ? &feet_limb_table : &limb_table,
              feet ? OF_FEET : OF_HANDS, play);
}
