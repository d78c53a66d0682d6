/* What stands in a bar, and in an exercise for all its bars: rhythm, voices, changes by count. */
#include "read/scope.h"

#include <string.h>

void read_rhythm_key(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, "a rhythm line, such as 4 8 8 4 4");
    *scope->rhythm = text ? read_rhythm(reader, text) : NULL;
    scope->spoiled |= !*scope->rhythm;
}

void read_voices_key(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, "voices, such as snare*4 high-tom");
    *scope->voices = text ? read_voices(reader, text) : NULL;
}

/* ---- by count -------------------------------------------------------------------------------- */

struct at_list {
    VECTOR(struct at_entry) items;
};

static void read_at_entry(struct reader *reader, const struct entry *entry, void *target)
{
    struct at_list *list = target;
    const struct text *text =
        entry_text(reader, entry, "a voice, a mark or both, such as snare accent");
    struct at_entry item;
    bool where_good = read_address_text(reader, node_text(reader, entry->key), &item.where);
    if (text && read_voicing(reader, text, true, &item.what) && where_good)
        *vector_push(&list->items, reader->scratch) = item;
}

void read_at(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct at_list list = {0};
    read_free_keys(reader, entry, "counts with what is played there, such as {4: crash}",
                   read_at_entry, &list);
    *scope->at_counts = (struct at_map){
        reader_keep(reader, list.items.items, list.items.count, sizeof *list.items.items),
        list.items.count, entry->value->at};
}

struct bars_list {
    VECTOR(struct address_list) items;
};

/* One bar's counts; an item without a value is a bar without any. A bar that was reported keeps its
   place, so that the others stay in theirs. */
static void read_bar_counts(struct reader *reader, const struct entry *entry, void *target)
{
    struct bars_list *list = target;
    struct address_list *counts = vector_push(&list->items, reader->scratch);
    const struct text *text = entry_text(reader, entry, "counts, such as 1 2& 4");
    if (!text || !read_address_text(reader, text, counts))
        *counts = (struct address_list){.at = entry->value->at};
}

static void read_counts(struct reader *reader, const struct entry *entry, const struct scope *scope,
                        struct address_bars *counts)
{
    struct bars_list list = {0};
    bool by_bar = entry->value->kind == NODE_LIST;
    if (by_bar && scope->where == IN_BAR) {
        bad_value(reader, entry,
                  "this bar's counts on one line, such as 1 2& 4; a list, with one entry per bar, "
                  "goes in the exercise");
        return;
    }
    read_items(reader, entry, read_bar_counts, &list);
    if (list.items.count == 0) {
        bad_value(reader, entry, "counts, or a list with one entry per bar");
        return;
    }
    *counts = (struct address_bars){
        reader_keep(reader, list.items.items, list.items.count, sizeof *list.items.items),
        (uint32_t)list.items.count, by_bar, entry->value->at};
}

void read_accents(struct reader *reader, const struct entry *entry, void *target)
{
    read_counts(reader, entry, target, ((struct scope *)target)->accents);
}

void read_ghosts(struct reader *reader, const struct entry *entry, void *target)
{
    read_counts(reader, entry, target, ((struct scope *)target)->ghosts);
}

void read_kick(struct reader *reader, const struct entry *entry, void *target)
{
    read_counts(reader, entry, target, ((struct scope *)target)->kick);
}

void read_hat_foot(struct reader *reader, const struct entry *entry, void *target)
{
    read_counts(reader, entry, target, ((struct scope *)target)->hat_foot);
}

/* ---- dynamics ---------------------------------------------------------------------------------
 */

static const char *const dynamic_words[] = {"ppp", "pp",  "p",   "mp", "mf",    "f",
                                            "ff",  "fff", "sfz", "fp", "cresc", "dim"};

struct dynamics_list {
    VECTOR(struct dynamic_entry) items;
};

static void read_dynamic(struct reader *reader, const struct entry *entry, void *target)
{
    struct dynamics_list *list = target;
    struct dynamic_entry item;
    bool where_good = read_address_text(reader, node_text(reader, entry->key), &item.where);
    int choice =
        entry_choice(reader, entry, dynamic_words, sizeof dynamic_words / sizeof *dynamic_words);
    if (choice < 0 || !where_good)
        return;
    item.what = (struct words){dynamic_words[choice], entry->value->at};
    *vector_push(&list->items, reader->scratch) = item;
}

void read_dynamics(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct dynamics_list list = {0};
    read_free_keys(reader, entry, "counts with their dynamics, such as {1: p, 3: f}", read_dynamic,
                   &list);
    *scope->dynamics = (struct dynamics){
        reader_keep(reader, list.items.items, list.items.count, sizeof *list.items.items),
        list.items.count, entry->value->at};
}

/* ---- pulse ------------------------------------------------------------------------------------
 */

/* `8.`, or one of a tuplet: `3(8)`. */
static bool parse_pulse_note(const struct text *text, size_t *offset, struct pulse_note *note)
{
    uint32_t value, tuplet = 0;
    if (!read_number(text->bytes, text->length, offset, &value))
        return false;
    if (text->bytes[*offset] == '(') {
        tuplet = value;
        ++*offset;
        if (tuplet < 3 || tuplet > 9 || !(tuplet & (tuplet - 1)) ||
            !read_number(text->bytes, text->length, offset, &value))
            return false;
    }
    if (value == 0 || value > 32 || (value & (value - 1)))
        return false;
    *note = (struct pulse_note){.tuplet = (uint8_t)tuplet};
    while (1u << note->value_log2 != value)
        note->value_log2++;
    for (; text->bytes[*offset] == '.' && note->dots < 2; ++*offset)
        note->dots++;
    return tuplet == 0 || text->bytes[(*offset)++] == ')';
}

static void skip_spaces(const struct text *text, size_t *offset)
{
    while (is_space(text->bytes[*offset]))
        ++*offset;
}

void read_pulse(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "the old note and the new one, such as 4=4., 8=8 or 3(8)=16 "
                                   "(a triplet eighth)";
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, expected);
    struct pulse *pulse = arena_alloc(reader->arena, sizeof *pulse);
    size_t offset = 0;
    if (!text)
        return;
    bool good = parse_pulse_note(text, &offset, &pulse->before);
    skip_spaces(text, &offset);
    good = good && text->bytes[offset++] == '=';
    skip_spaces(text, &offset);
    if (!good || !parse_pulse_note(text, &offset, &pulse->now) || offset != text->length) {
        bad_value(reader, entry, expected);
        return;
    }
    pulse->at = text->at;
    *scope->pulse = pulse;
}

void read_repeat(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    uint32_t plays;
    if (!entry_number(reader, entry, 1, LESSON_PLAYS_MAX, &plays))
        return;
    *scope->plays = (uint16_t)plays;
    if (scope->plays_at)
        *scope->plays_at = entry->value->at;
}

/* ---- the feet's own line ----------------------------------------------------------------------
 */

void read_feet(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *outer = target;
    struct settings settings = {0};
    struct feet *feet = arena_alloc(reader->arena, sizeof *feet);
    struct scope scope = {.where = IN_FEET, .settings = &settings, .rhythm = &feet->rhythm};
    if (!read_scope(reader, entry->value, &scope) || scope.spoiled) {
        outer->spoiled = true;
        return;
    }
    feet->subdivisions = settings.subdivisions;
    feet->sticking = settings.sticking;
    feet->play = settings.play;
    feet->at = entry->value->at;
    if (feet->rhythm && feet->subdivisions) {
        diag_add(reader->diags, DIAG_CONFLICT, feet->subdivisions->at,
                 "the feet have both a rhythm and a subdivision");
        diag_expected(reader->diags, "only one of the two");
        diag_other(reader->diags, feet->rhythm->at, "the rhythm is here");
        outer->spoiled = true;
        return;
    }
    *outer->feet = feet;
}
