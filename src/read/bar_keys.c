/* What a bar can hold, or an exercise for all its bars: rhythm, voices, changes by count, feet. */
#include "read/scanner.h"
#include "read/scope.h"

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

struct at_map read_at_map(struct reader *reader, const struct entry *entry, bool rest_allowed)
{
    VECTOR(struct at_entry) items = {0};
    struct pairs pairs =
        pairs_of(reader, entry, "counts with what is played there, such as {4: crash}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        const struct text *text =
            entry_text(reader, &pair, "a voice, a mark or both, such as snare accent");
        struct at_entry item;
        bool good = read_address_text(reader, node_text(reader, pair.key), &item.where);
        if (text && read_voicing(reader, text, rest_allowed, &item.what) && good)
            *vector_push(&items, reader->scratch) = item;
    }
    return (struct at_map){arena_copy(reader->arena, items.items, items.count, sizeof *items.items),
                           items.count, entry->value->at};
}

void read_at(struct reader *reader, const struct entry *entry, void *target)
{
    *((struct scope *)target)->at_counts = read_at_map(reader, entry, true);
}

/* `none`, or counts. */
static bool read_count_text(struct reader *reader, const struct text *text,
                            struct address_list *list)
{
    *list = (struct address_list){.at = text->at};
    return text_is(text, "none") || read_address_text(reader, text, list);
}

/* A list holds one bar's counts in each item. A bar that was reported keeps its place in it. */
bool read_count_bars(struct reader *reader, const struct entry *entry, bool one_bar,
                     struct address_bars *counts)
{
    VECTOR(struct address_list) bars = {0};
    bool by_bar = entry->value->kind == NODE_LIST;
    if (by_bar && one_bar) {
        bad_value(reader, entry,
                  "this bar's counts on one line, such as 1 2& 4; a list, with one entry per bar, "
                  "goes in the exercise");
        return false;
    }
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        struct address_list *bar = vector_push(&bars, reader->scratch);
        const struct text *text = entry_text(reader, &item, "counts, such as 1 2& 4");
        if (!text || !read_count_text(reader, text, bar))
            *bar = (struct address_list){.at = item.value->at};
    }
    if (bars.count == 0)
        bad_value(reader, entry, "counts, or a list with one entry per bar");
    else
        *counts = (struct address_bars){
            arena_copy(reader->arena, bars.items, bars.count, sizeof *bars.items),
            (uint32_t)bars.count, by_bar, entry->value->at};
    return bars.count > 0;
}

void read_counts(struct reader *reader, const struct entry *entry, void *target)
{
    const struct scope *scope = target;
    read_count_bars(reader, entry, scope->where == IN_BAR || scope->in_bar,
                    *(struct address_bars **)entry_field(entry, target));
}

typedef bool read_said(struct reader *reader, const struct entry *pair, struct words *what);

/* A map of counts. */
static struct dynamics read_by_count(struct reader *reader, const struct entry *entry,
                                     const char *expected, read_said *read)
{
    VECTOR(struct dynamic_entry) items = {0};
    struct pairs pairs = pairs_of(reader, entry, expected);
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        struct dynamic_entry item;
        bool good = read_address_text(reader, node_text(reader, pair.key), &item.where);
        if (read(reader, &pair, &item.what) && good)
            *vector_push(&items, reader->scratch) = item;
    }
    return (struct dynamics){
        arena_copy(reader->arena, items.items, items.count, sizeof *items.items), items.count,
        entry->value->at};
}

const char *const dynamic_words[] = {"ppp", "pp",  "p",  "mp",    "mf",  "f", "ff",
                                     "fff", "sfz", "fp", "cresc", "dim", NULL};

static bool read_dynamic(struct reader *reader, const struct entry *pair, struct words *what)
{
    int choice = entry_choice(reader, pair, dynamic_words);
    *what = (struct words){choice < 0 ? NULL : dynamic_words[choice], pair->value->at};
    return choice >= 0;
}

void read_dynamics(struct reader *reader, const struct entry *entry, void *target)
{
    *((struct scope *)target)->dynamics = read_by_count(
        reader, entry, "counts with their dynamics, such as {1: p, 3: f}", read_dynamic);
}

static bool read_over(struct reader *reader, const struct entry *pair, struct words *what)
{
    *what = entry_line(reader, pair);
    what->text = text_for_players(reader, what->text, what->at);
    return what->text != NULL;
}

void read_words(struct reader *reader, const struct entry *entry, void *target)
{
    struct bar_signs *signs = ((struct scope *)target)->signs;
    if (entry->value->kind == NODE_SCALAR)
        read_over(reader, entry, &signs->over);
    else
        signs->words =
            read_by_count(reader, entry,
                          "words, or counts with words, such as {1: Call, 3: Response}", read_over);
}

/* In an exercise a number alone is a bar, and the change begins with it: 4, or 4:3 for a count. */
static bool read_bar_places(struct reader *reader, const struct text *text,
                            struct address_list *where)
{
    bool good = read_bar_text(reader, text, where);
    for (size_t i = 0; good && i < where->count; i++) {
        const struct address *address = &where->items[i];
        if (address->kind == ADDRESS_SLOT && !address->to_beat && address->bar)
            continue;
        diag_add(reader->diags, DIAG_BAD_VALUE, address->at, "not a single place");
        diag_expected(reader->diags, "a bar, such as 4, or a count in it, such as 4:3");
        good = false;
    }
    return good;
}

void read_pace(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"accel", "rit", "a-tempo", NULL};
    struct scope *scope = target;
    VECTOR(struct dynamic_entry) items = {0};
    struct pairs pairs =
        pairs_of(reader, entry, "bars with what happens there, such as {1: accel, 4: rit}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        struct dynamic_entry item;
        const struct text *place = node_text(reader, pair.key);
        bool good = scope->where == IN_BAR ? read_address_text(reader, place, &item.where)
                                           : read_bar_places(reader, place, &item.where);
        int choice = entry_choice(reader, &pair, words);
        if (choice < 0 || !good)
            continue;
        item.what = (struct words){words[choice], pair.value->at};
        *vector_push(&items, reader->scratch) = item;
    }
    *scope->pace =
        (struct dynamics){arena_copy(reader->arena, items.items, items.count, sizeof *items.items),
                          items.count, entry->value->at};
}

static bool roll_number(struct reader *reader, const struct entry *entry, uint8_t *number)
{
    uint32_t strokes;
    bool good = entry_number(reader, entry, ROLL_LEAST, ROLL_MOST, &strokes);
    *number = good ? (uint8_t)strokes : 0;
    return good;
}

void read_roll(struct reader *reader, const struct entry *entry, void *target)
{
    struct rolls *rolls = ((struct scope *)target)->rolls;
    VECTOR(struct roll_entry) items = {0};
    rolls->at = entry->value->at;
    if (entry->value->kind == NODE_SCALAR) {
        roll_number(reader, entry, &rolls->every);
        return;
    }
    struct pairs pairs =
        pairs_of(reader, entry, "a number of strokes, or counts with theirs, such as {1: 5, 3: 7}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        struct roll_entry item;
        bool good = read_address_text(reader, node_text(reader, pair.key), &item.where);
        if (roll_number(reader, &pair, &item.number) && good)
            *vector_push(&items, reader->scratch) = item;
    }
    rolls->entries = arena_copy(reader->arena, items.items, items.count, sizeof *items.items);
    rolls->count = items.count;
}

/* ---- pulse and repeats ----------------------------------------------------------------------- */

/* `8.`, or one of a tuplet: `3(8)`. */
static bool parse_pulse_note(struct scanner *scanner, struct pulse_note *note)
{
    uint32_t value, tuplet = 0;
    if (!scan_number(scanner, &value))
        return false;
    if (scan_take(scanner, '(')) {
        tuplet = value;
        if (tuplet < 3 || tuplet > 9 || !(tuplet & (tuplet - 1)) || !scan_number(scanner, &value))
            return false;
    }
    unsigned dots = scan_dots(scanner);
    if (note_log2(value) < 0 || value > 32 || dots > 2)
        return false;
    *note = (struct pulse_note){(uint8_t)note_log2(value), (uint8_t)dots, (uint8_t)tuplet};
    return tuplet == 0 || scan_take(scanner, ')');
}

void read_pulse(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "the old note and the new one, such as 4=4., 8=8 or 3(8)=16 (a "
                                   "triplet eighth)";
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, expected);
    if (!text)
        return;
    struct pulse *pulse = arena_alloc(reader->arena, sizeof *pulse);
    struct scanner scanner = scanner_of(reader, text);
    bool good = parse_pulse_note(&scanner, &pulse->before);
    scan_spaces(&scanner);
    good = good && scan_take(&scanner, '=');
    scan_spaces(&scanner);
    if (!good || !parse_pulse_note(&scanner, &pulse->now) || !scan_ended(&scanner)) {
        bad_value(reader, entry, "%s", expected);
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

/* ---- the feet's own line --------------------------------------------------------------------- */

void report_rhythm_and_grid(struct reader *reader, const char *message,
                            const struct rhythm_line *rhythm,
                            const struct subdivisions *subdivisions)
{
    diag_add(reader->diags, DIAG_CONFLICT, subdivisions->at, "%s", message);
    diag_expected(reader->diags, "only one of the two: a rhythm already has its note values");
    diag_other(reader->diags, rhythm->at, "the rhythm is here");
}

void read_feet(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *outer = target;
    struct settings settings = {0};
    struct limb_line *feet = arena_alloc(reader->arena, sizeof *feet);
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
        report_rhythm_and_grid(reader, "the feet have both a rhythm and a subdivision",
                               feet->rhythm, feet->subdivisions);
        outer->spoiled = true;
        return;
    }
    *outer->feet = feet;
}
