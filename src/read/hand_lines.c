/* What the hands play: stickings by line or by name, patterns, and `play`. */
#include "model/rudiment.h"
#include "read/scope.h"

/* A copy of a named line, all of whose strokes get the place of the name. */
static struct stroke_line *place_line(struct reader *reader, const struct stroke_line *named,
                                      const char *name, struct place at)
{
    if (!reader_count_items(reader, named->count, at))
        return NULL;
    struct stroke_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = *named;
    line->name = name;
    line->at = at;
    line->strokes = arena_copy(reader->arena, named->strokes, named->count, sizeof *line->strokes);
    line->boundaries = arena_copy(reader->arena, named->boundaries, named->boundary_count,
                                  sizeof *line->boundaries);
    for (size_t i = 0; i < named->count; i++) {
        line->strokes[i].line = at.line;
        line->strokes[i].column = at.column;
    }
    for (size_t i = 0; i < named->boundary_count; i++)
        line->boundaries[i].at = at;
    return line;
}

/* The pattern with this name, which is NULL if it was reported itself. False if there is none. */
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

static void report_unknown_sticking(struct reader *reader, const struct text *text)
{
    const char *wrong =
        report_unknown(reader, DIAG_UNKNOWN_STICKING, text->at,
                       "there is no pattern or rudiment called", text->bytes, text->length);
    if (!wrong)
        return;
    struct names patterns = {0};
    const char *fixed[RUDIMENT_NAMES_MAX + 2];
    size_t count = rudiment_names(fixed);
    fixed[count++] = "auto";
    fixed[count++] = "none";
    names_join(&patterns, &reader->patterns, reader->arena);
    for (const struct course_context *course = reader->course; course; course = course->above)
        names_join(&patterns, &course->patterns, reader->arena);
    diag_expected(reader->diags,
                  "a stroke line, a name from 'patterns' or one of the forty rudiments");
    const struct rudiment *digits = rudiment_in_digits(wrong);
    if (digits)
        diag_nearest(reader->diags, digits->name);
    else
        names_suggest(reader->diags, &patterns, reader->arena, wrong, fixed, count);
}

/* The strokes of a name that is built in. */
static const struct stroke_line *builtin_line(struct reader *reader, const char *strokes,
                                              const char *name, struct place at)
{
    struct text text = text_direct(strokes, at);
    const struct stroke_line *line = read_strokes(reader, &text);
    return line ? place_line(reader, line, name, at) : NULL;
}

static const struct stroke_line *resolve_sticking(struct reader *reader, const struct text *text)
{
    const struct stroke_line *pattern;
    if (text_is(text, "auto"))
        return builtin_line(reader, "?", "auto", text->at); /* every hand is still to be chosen */
    if (find_pattern(reader, text, &pattern))
        return pattern ? place_line(reader, pattern, text->bytes, text->at) : NULL;
    if (looks_like_strokes(text->bytes, text->length))
        return read_strokes(reader, text);
    const struct rudiment *rudiment = rudiment_find(text->bytes, text->length);
    if (rudiment)
        return builtin_line(reader, rudiment->strokes, rudiment->name, text->at);
    report_unknown_sticking(reader, text);
    return NULL;
}

/* Under `feet` R and L are the feet, so K and H say the same in other words. */
static bool check_no_feet(struct reader *reader, const struct stroke_line *line)
{
    const struct stroke *stroke = line->strokes;
    if (!line->feet)
        return true;
    while (!hand_is_foot(stroke->hand))
        stroke++;
    diag_add(reader->diags, DIAG_BAD_STICKING,
             place_make(line->at.file, stroke->line, stroke->column, 1), "%c in a line of the feet",
             hand_letter(stroke->hand, false));
    diag_expected(reader->diags, "R or L: under 'feet' they are the right and the left foot");
    return false;
}

/* Under `right` and `left`, that hand plays every stroke. */
static bool check_one_hand(struct reader *reader, const struct stroke_line *line, unsigned where)
{
    uint8_t own = where == IN_RIGHT ? HAND_RIGHT : HAND_LEFT;
    const char *name = where == IN_RIGHT ? "right" : "left";
    for (size_t i = 0; i < line->count; i++) {
        const struct stroke *stroke = &line->strokes[i];
        if (stroke->hand == own || stroke->hand == HAND_NONE)
            continue;
        diag_add(reader->diags, DIAG_BAD_STICKING,
                 place_make(line->at.file, stroke->line, stroke->column, 1),
                 "%c in a line of the %s hand", hand_letter(stroke->hand, false), name);
        diag_expected(reader->diags, "%c, with its marks, or '.'", hand_letter(own, false));
        return false;
    }
    return true;
}

void read_sticking(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text =
        entry_text(reader, entry, "a stroke line such as RLRR LRLL, a pattern or a rudiment");
    bool own_line = scope->where & (IN_FEET | IN_HAND);
    bool none = text && !own_line && text_is(text, "none");
    const struct stroke_line *line = text && !none ? resolve_sticking(reader, text) : NULL;
    if (line && scope->where == IN_FEET && !check_no_feet(reader, line))
        line = NULL;
    if (line && scope->where & IN_HAND && !check_one_hand(reader, line, scope->where))
        line = NULL;
    scope->settings->sticking = line;
    scope->settings->letterless = none;
    scope->own_sticking = line;
    scope->sticking_at = entry->key->at;
    scope->spoiled |= !line && !none;
}

/* ---- rudiments with their rhythm ------------------------------------------------------------- */

static const struct rudiment *entry_rudiment(struct reader *reader, const struct entry *entry)
{
    const struct text *text = entry_text(reader, entry, "a rudiment, such as single paradiddle");
    const struct rudiment *rudiment = text ? rudiment_find(text->bytes, text->length) : NULL;
    if (!text || rudiment)
        return rudiment;
    const char *wrong = report_unknown(reader, DIAG_UNKNOWN_STICKING, text->at,
                                       "there is no rudiment called", text->bytes, text->length);
    const char *names[RUDIMENT_NAMES_MAX];
    if (!wrong)
        return NULL;
    diag_expected(reader->diags, "one of the forty rudiments, such as single paradiddle");
    const struct rudiment *digits = rudiment_in_digits(wrong);
    if (digits)
        diag_nearest(reader->diags, digits->name);
    else
        diag_nearest_of(reader->diags, wrong, names, rudiment_names(names));
    return NULL;
}

/* False, and reported, if the level has a sticking or a rhythm as well. */
static bool stands_alone(struct reader *reader, const struct entry *entry,
                         const struct scope *scope)
{
    bool sticking = scope->sticking_at.file != NULL;
    if (!sticking && !*scope->rhythm)
        return true;
    diag_add(reader->diags, DIAG_CONFLICT, entry->key->at,
             "'rudiment' brings its own rhythm and sticking");
    diag_expected(reader->diags, "'rudiment' alone, or 'sticking: NAME' for its strokes alone");
    diag_other(reader->diags, sticking ? scope->sticking_at : (*scope->rhythm)->at,
               sticking ? "the sticking is here" : "the rhythm is here");
    return false;
}

static const struct rhythm_line *figure_of(struct reader *reader, const struct rudiment *rudiment,
                                           struct place at)
{
    struct text text = text_direct(rudiment->rhythm, at);
    struct rhythm_line *figure = read_rhythm(reader, &text);
    if (!figure)
        return NULL;
    figure->round = true;
    figure->at = at;
    for (size_t i = 0; i < figure->count; i++)
        figure->items[i].at = at;
    return figure;
}

void read_rudiment(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct rudiment *rudiment = entry_rudiment(reader, entry);
    struct place at = entry->value->at;
    bool alone = stands_alone(reader, entry, scope);
    if (rudiment && alone) {
        *scope->rhythm = figure_of(reader, rudiment, at);
        scope->own_sticking = builtin_line(reader, rudiment->strokes, rudiment->name, at);
        scope->settings->sticking = scope->own_sticking;
        scope->settings->letterless = false;
    }
    scope->spoiled |= !rudiment || !alone || !*scope->rhythm || !scope->own_sticking;
}

/* ---- each hand by itself -------------------------------------------------------------------- */

/* The map of one hand. False after a reported error. */
static bool read_hand(struct reader *reader, const struct entry *entry, unsigned where,
                      const struct scope *around, struct limb_line *line)
{
    struct settings settings = {0};
    struct scope scope = {.where = where,
                          .settings = &settings,
                          .rhythm = &line->rhythm,
                          .at_counts = &line->at_counts,
                          .accents = &line->accents,
                          .ghosts = &line->ghosts,
                          .in_bar = around->where == IN_BAR};
    if (!read_scope(reader, entry->value, &scope) || scope.spoiled)
        return false;
    line->subdivisions = settings.subdivisions;
    line->sticking = settings.sticking;
    line->play = settings.play;
    line->at = entry->value->at;
    if (!line->rhythm || !line->subdivisions)
        return true;
    report_rhythm_and_grid(reader, "the hand has both a rhythm and a subdivision", line->rhythm,
                           line->subdivisions);
    return false;
}

/* Reports, and returns false, if the level also writes music for both hands. */
static bool is_sole_line(struct reader *reader, const struct entry *entry,
                         const struct scope *scope)
{
    bool sticking = scope->sticking_at.file != NULL;
    if (!sticking && !*scope->rhythm)
        return true;
    diag_add(reader->diags, DIAG_CONFLICT, entry->key->at, "'%s' beside a %s for both hands",
             entry->name, sticking ? "sticking" : "rhythm");
    diag_expected(reader->diags, "'right' and 'left', each with its own, or one for both hands");
    diag_other(reader->diags, sticking ? scope->sticking_at : (*scope->rhythm)->at, "it is here");
    return false;
}

/* The right hand's line is the level's own music. Without a sticking every stroke is an R. */
void read_right(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct limb_line line = {0};
    bool good =
        is_sole_line(reader, entry, scope) && read_hand(reader, entry, IN_RIGHT, scope, &line);
    scope->has_right = scope->own_right = true;
    scope->spoiled |= !good;
    if (!good)
        return;
    if (!line.sticking)
        line.sticking = builtin_line(reader, "R", "right hand", line.at);
    if (line.subdivisions)
        scope->settings->subdivisions = line.subdivisions;
    if (line.play) {
        struct play *play = arena_alloc(reader->arena, sizeof *play);
        if (scope->settings->play)
            *play = *scope->settings->play;
        play->at = line.play->at;
        play->limbs[LIMB_RIGHT_HAND] = line.play->limbs[LIMB_RIGHT_HAND];
        scope->settings->play = play;
    }
    *scope->rhythm = line.rhythm;
    scope->settings->sticking = scope->own_sticking = line.sticking;
    scope->settings->letterless = false;
}

void read_left(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct limb_line *line = arena_alloc(reader->arena, sizeof *line);
    bool good = scope->own_right || is_sole_line(reader, entry, scope);
    if (!scope->has_right) {
        diag_add(reader->diags, DIAG_MISSING_KEY, entry->key->at, "'left' without 'right'");
        diag_expected(reader->diags, "a line for each hand, or a sticking for both");
        good = false;
    }
    good = read_hand(reader, entry, IN_LEFT, scope, line) && good;
    scope->spoiled |= !good;
    if (good)
        *scope->left = line;
}

void read_patterns(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    struct pairs pairs =
        pairs_of(reader, entry, "names with stroke lines, such as {warm-up: RLRR LRLL}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        const struct text *text = entry_text(reader, &pair, "a stroke line, such as RLRR LRLL");
        names_add(&reader->patterns, reader->arena, pair.name,
                  (uint32_t)reader->pattern_lines.count);
        *vector_push(&reader->pattern_lines, reader->arena) =
            text ? read_strokes(reader, text) : NULL;
    }
}

/* ---- play ------------------------------------------------------------------------------------ */

static bool read_play_item(struct reader *reader, const struct entry *item, struct voicing *voicing)
{
    const struct text *text = entry_text(reader, item, "a voice, such as snare or snare ghost");
    if (text && text->length == 0)
        bad_value(reader, item, "a voice, such as snare");
    return text && text->length && read_voicing(reader, text, false, voicing);
}

void read_voicings(struct reader *reader, const struct entry *entry, struct voicing_line *line)
{
    VECTOR(struct voicing) items = {0};
    bool good = true;
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value))
        good &= read_play_item(reader, &item, vector_push(&items, reader->scratch));
    if (good && items.count == 0)
        bad_value(reader, entry, "a voice or a list of voices");
    else if (good)
        *line = (struct voicing_line){
            .items = arena_copy(reader->arena, items.items, items.count, sizeof *items.items),
            .count = items.count,
            .at = entry->value->at};
}

static void read_limb(struct reader *reader, const struct entry *entry, void *target)
{
    read_voicings(reader, entry, entry_field(entry, target));
}

#define LIMB_KEY(name, where, limb) FIELD_KEY(name, where, read_limb, struct play, limbs[limb])
static const struct key limb_keys[] = {
    LIMB_KEY("R", OF_HANDS | OF_RIGHT, LIMB_RIGHT_HAND),
    LIMB_KEY("L", OF_HANDS | OF_LEFT, LIMB_LEFT_HAND),
    LIMB_KEY("RF", OF_HANDS | OF_FEET, LIMB_RIGHT_FOOT),
    LIMB_KEY("LF", OF_HANDS | OF_FEET, LIMB_LEFT_FOOT),
};
/* Under `feet`, R and L are the feet, as in a sticking there. */
static const struct key feet_limb_keys[] = {
    LIMB_KEY("R", OF_FEET, LIMB_RIGHT_FOOT),
    LIMB_KEY("L", OF_FEET, LIMB_LEFT_FOOT),
    LIMB_KEY("RF", OF_FEET, LIMB_RIGHT_FOOT),
    LIMB_KEY("LF", OF_FEET, LIMB_LEFT_FOOT),
};
static const struct level_name limb_levels[] = {{OF_HANDS, "'play'"},
                                                {OF_FEET, "'play' of the feet"},
                                                {OF_RIGHT, "'play' of the right hand"},
                                                {OF_LEFT, "'play' of the left hand"}};
const struct key_table limb_table = KEY_TABLE(limb_keys, limb_levels);
const struct key_table feet_limb_table = KEY_TABLE(feet_limb_keys, limb_levels);

/* Limbs that a level does not name keep what they had. */
void read_play(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct play *play = arena_alloc(reader->arena, sizeof *play);
    if (scope->settings->play)
        *play = *scope->settings->play;
    play->at = entry->value->at;
    scope->settings->play = play;
    bool feet = scope->where == IN_FEET;
    if (scope->where & IN_HAND) { /* of one hand: its voices alone, or {R: ...} */
        bool right = scope->where == IN_RIGHT;
        if (entry->value->kind == NODE_MAP)
            read_keys(reader, entry->value, &limb_table, right ? OF_RIGHT : OF_LEFT, play);
        else
            read_voicings(reader, entry, &play->limbs[right ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND]);
        return;
    }
    read_keys(reader, entry->value, feet ? &feet_limb_table : &limb_table,
              feet ? OF_FEET : OF_HANDS, play);
}
