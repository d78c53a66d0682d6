/* The settings that cascade: meter, tempo, subdivision, counting, swing, and the look of a page. */
#include "model/counting.h"
#include "read/scope.h"

#include <stdlib.h>
#include <string.h>

static const struct meter common_meter = {.groups = {4}, .group_count = 1, .unit = 4};
static const struct show usual_show = {
    .sticking = true, .key = true, .bar_numbers = true, .counts = SHOW_COUNTS_NOTES};
static const struct page_settings usual_page = {
    .size = PAGE_A4, .margin_mm = 18, .staff_mm = 7, .staff_lines = STAFF_LINES_AUTO};

struct settings settings_default(void)
{
    return (struct settings){.meter = &common_meter,
                             .counting = counting_default(),
                             .show = &usual_show,
                             .page = &usual_page,
                             .swing = {1, 2}};
}

/* ---- meter ------------------------------------------------------------------------------------
 */

static bool is_meter_unit(uint32_t unit)
{
    return unit == 1 || unit == 2 || unit == 4 || unit == 8 || unit == 16 || unit == 32;
}

/* `4/4`, `2+2+3/8`; the sum is at most METER_BEATS_MAX units. */
static bool parse_meter(const struct text *text, struct meter *meter)
{
    size_t offset = 0;
    uint32_t number, sum = 0;
    for (;; offset++) {
        if (meter->group_count == METER_GROUPS_MAX ||
            !read_number(text->bytes, text->length, &offset, &number) || number == 0 ||
            number > METER_BEATS_MAX)
            return false;
        meter->groups[meter->group_count++] = (uint8_t)number;
        sum += number;
        if (text->bytes[offset] != '+')
            break;
    }
    if (sum > METER_BEATS_MAX || text->bytes[offset++] != '/' ||
        !read_number(text->bytes, text->length, &offset, &number) || offset != text->length ||
        !is_meter_unit(number))
        return false;
    meter->unit = (uint8_t)number;
    return true;
}

void read_time(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] =
        "a meter such as 4/4, 6/8 or 2+2+3/8 (up to 64 on top; 1, 2, 4, 8, "
        "16 or 32 below)";
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, expected);
    struct meter *meter = arena_alloc(reader->arena, sizeof *meter);
    if (text && parse_meter(text, meter)) {
        meter->at = text->at;
        scope->settings->meter = meter;
        return;
    }
    scope->spoiled = true;
    if (text)
        bad_value(reader, entry, expected);
}

/* ---- tempo ------------------------------------------------------------------------------------
 */

enum { BPM_MAX = 999 };

struct tempo_reader {
    struct tempo *tempo;
    VECTOR(uint16_t) bpm;
};

static size_t skip_blanks(const struct text *text, size_t offset)
{
    while (offset < text->length && (is_space(text->bytes[offset]) || text->bytes[offset] == ','))
        offset++;
    return offset;
}

/* `8.=` in front; the offset stays where there is none. */
static bool parse_unit(const struct text *text, size_t *offset, struct tempo *tempo)
{
    const char *equals = memchr(text->bytes, '=', text->length);
    uint32_t value;
    size_t at = 0;
    tempo->unit_log2 = 0xFF;
    if (!equals)
        return true;
    if (!read_number(text->bytes, text->length, &at, &value) || value == 0 || value > 32 ||
        (value & (value - 1)))
        return false;
    for (tempo->unit_log2 = 0; 1u << tempo->unit_log2 != value;)
        tempo->unit_log2++;
    for (; text->bytes[at] == '.' && tempo->unit_dots < 2; at++)
        tempo->unit_dots++;
    at = skip_blanks(text, at);
    *offset = at + 1;
    return text->bytes + at == equals;
}

static bool parse_bpm(const struct text *text, size_t *offset, struct arena *scratch,
                      struct tempo_reader *tempo)
{
    uint32_t bpm;
    if (!read_number(text->bytes, text->length, offset, &bpm) || bpm == 0 || bpm > BPM_MAX)
        return false;
    *vector_push(&tempo->bpm, scratch) = (uint16_t)bpm;
    return true;
}

/* Numbers parted by blanks, or `from-to`. */
static bool parse_tempo(const struct text *text, struct arena *scratch, struct tempo_reader *tempo)
{
    size_t offset = 0;
    if (tempo->bpm.count == 0 && !parse_unit(text, &offset, tempo->tempo))
        return false;
    offset = skip_blanks(text, offset);
    while (offset < text->length) {
        if (tempo->tempo->range || !parse_bpm(text, &offset, scratch, tempo))
            return false;
        if (text->bytes[offset] == '-' && tempo->bpm.count == 1) {
            offset++;
            tempo->tempo->range = true;
            if (!parse_bpm(text, &offset, scratch, tempo))
                return false;
        }
        size_t next = skip_blanks(text, offset);
        if (next == offset && next < text->length)
            return false;
        offset = next;
    }
    return tempo->bpm.count > 0 &&
           (!tempo->tempo->range || tempo->bpm.items[0] < tempo->bpm.items[1]);
}

static void read_tempo_item(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "a tempo in bpm (1 to 999), such as 96, 60-110 (slower first), "
                                   "60 72 84 or 8.=72";
    struct tempo_reader *tempo = target;
    const struct text *text = entry_text(reader, entry, expected);
    if (text && parse_tempo(text, reader->scratch, tempo))
        return;
    if (text)
        bad_value(reader, entry, expected);
    tempo->tempo = NULL;
}

void read_tempo(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct tempo_reader tempo = {.tempo = arena_alloc(reader->arena, sizeof(struct tempo))};
    tempo.tempo->at = entry->value->at;
    const struct node *item = entry->value->kind == NODE_LIST ? entry->value->first : entry->value;
    for (; item && tempo.tempo; item = entry->value->kind == NODE_LIST ? item->next : NULL) {
        struct entry one = {entry->name, entry->key, item};
        read_tempo_item(reader, &one, &tempo);
    }
    if (!tempo.tempo || tempo.bpm.count == 0)
        return;
    tempo.tempo->bpm =
        reader_keep(reader, tempo.bpm.items, tempo.bpm.count, sizeof *tempo.bpm.items);
    tempo.tempo->count = tempo.bpm.count;
    scope->settings->tempo = tempo.tempo;
}

/* ---- subdivision and counting -----------------------------------------------------------------
 */

struct subdivision_reader {
    VECTOR(enum subdivision) items;
    bool failed;
};

static void read_subdivision_item(struct reader *reader, const struct entry *entry, void *target)
{
    struct subdivision_reader *names = target;
    const char *all[SUBDIVISION_COUNT];
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        all[i] = subdivision_name((enum subdivision)i);
    const struct text *text =
        entry_text(reader, entry, "a subdivision, such as eighths or sixteenth triplets");
    enum subdivision subdivision;
    if (text && subdivision_from_name(text->bytes, text->length, &subdivision)) {
        *vector_push(&names->items, reader->scratch) = subdivision;
        return;
    }
    names->failed = true;
    if (!text)
        return;
    bad_value(reader, entry, "a subdivision, such as eighths, sixteenth triplets or quintuplets");
    if (diag_listed(reader->diags))
        diag_nearest(reader->diags, diag_nearest_name(text->bytes, all, SUBDIVISION_COUNT));
}

void read_subdivision(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct subdivision_reader names = {0};
    read_items(reader, entry, read_subdivision_item, &names);
    if (names.items.count > METER_BEATS_MAX) {
        names.failed = true;
        diag_add(reader->diags, DIAG_LIMIT, entry->value->at,
                 "more than %d subdivisions in one list", METER_BEATS_MAX);
    } else if (names.items.count == 0 && !names.failed) {
        names.failed = true;
        bad_value(reader, entry, "at least one subdivision");
    }
    if (names.failed) {
        scope->spoiled = true;
        return;
    }
    struct subdivisions *subdivisions = arena_alloc(reader->arena, sizeof *subdivisions);
    *subdivisions = (struct subdivisions){
        reader_keep(reader, names.items.items, names.items.count, sizeof *names.items.items),
        names.items.count, entry->value->at};
    scope->settings->subdivisions = subdivisions;
}

/* Splits text at blanks; the words are NUL-ended copies. */
static const char **split_words(struct reader *reader, const struct text *text, size_t *count)
{
    VECTOR(const char *) words = {0};
    for (size_t i = 0; i < text->length;) {
        size_t end = i;
        while (end < text->length && !is_space(text->bytes[end]))
            end++;
        if (end > i)
            *vector_push(&words, reader->arena) =
                arena_copy_text(reader->arena, text->bytes + i, end - i);
        i = end + 1;
    }
    *count = words.count;
    return words.items;
}

/* One line of an own counting system: `sixteenths: "# ka ti ka"`. The number of syllables says
   which beat it is for: three eighths are a compound beat's. */
static void read_syllables(struct reader *reader, const struct entry *entry, void *target)
{
    struct counting *counting = target;
    enum subdivision subdivision;
    if (!subdivision_from_name(entry->name, strlen(entry->name), &subdivision)) {
        diag_add(reader->diags, DIAG_UNKNOWN_KEY, entry->key->at,
                 "there is no subdivision called '%s'", entry->name);
        diag_expected(reader->diags, "a subdivision, such as sixteenths");
        return;
    }
    const struct text *text = entry_text(reader, entry, "syllables, such as \"# ka ti ka\"");
    if (!text)
        return;
    size_t count;
    const char **words = split_words(reader, text, &count);
    unsigned wanted[2] = {0, 0};
    for (int kind = BEAT_SIMPLE; kind <= BEAT_COMPOUND; kind++) {
        struct beat beat = counting_usual_beat((enum beat_kind)kind);
        struct division division;
        if (subdivision_divide(subdivision, &beat, &division))
            wanted[kind] = division.slots;
        if (wanted[kind] && wanted[kind] == count) {
            counting->spoken[subdivision][kind] = words;
            return;
        }
    }
    diag_add(reader->diags, DIAG_BAD_VALUE, text->at, "%s cannot be counted with %u syllable%s",
             subdivision_name(subdivision), (unsigned)count, count == 1 ? "" : "s");
    if (wanted[BEAT_SIMPLE] && wanted[BEAT_COMPOUND])
        diag_expected(reader->diags,
                      "%u syllables for simple beats or %u for compound ones, with '#' for the "
                      "beat number",
                      wanted[BEAT_SIMPLE], wanted[BEAT_COMPOUND]);
    else
        diag_expected(reader->diags, "%u syllables, with '#' for the beat number",
                      wanted[BEAT_SIMPLE] + wanted[BEAT_COMPOUND]);
}

void read_counting(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    if (entry->value->kind == NODE_MAP) {
        struct counting *own = arena_alloc(reader->arena, sizeof *own);
        *own = *counting_default(); /* what it does not say is said in english */
        own->name = "own";
        own->at = entry->value->at;
        scope->settings->counting = own;
        read_free_keys(reader, entry, "subdivisions with their syllables", read_syllables, own);
        return;
    }
    const struct text *text =
        entry_text(reader, entry, "english, eastman, takadimi or syllables of your own");
    const struct counting *known = text ? counting_find(text->bytes, text->length) : NULL;
    if (known)
        scope->settings->counting = known;
    else if (text)
        entry_choice(reader, entry, counting_names, COUNTING_COUNT);
}

/* ---- swing, lead -----------------------------------------------------------------------
 */

void read_swing(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] =
        "straight, or the first note's share of the pair, such as 2/3 (at least 1/2, less than 1)";
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, expected);
    if (!text)
        return;
    size_t offset = 0;
    uint32_t numerator = 1, denominator = 2;
    bool good = strcmp(text->bytes, "straight") == 0;
    if (!good)
        good = read_number(text->bytes, text->length, &offset, &numerator) &&
               text->bytes[offset++] == '/' &&
               read_number(text->bytes, text->length, &offset, &denominator) &&
               offset == text->length && denominator <= 1000;
    if (!good || numerator * 2 < denominator || numerator >= denominator) {
        bad_value(reader, entry, expected);
        return;
    }
    scope->settings->swing = fraction_make(numerator, denominator);
    scope->settings->swing_at = text->at;
}

void read_lead(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"right", "left", "both"};
    struct scope *scope = target;
    int choice = entry_choice(reader, entry, words, 3);
    if (choice < 0)
        return;
    scope->settings->lead = (enum lead)choice;
    scope->settings->lead_at = entry->value->at;
}

/* ---- what is shown ----------------------------------------------------------------------------
 */

static void read_show_sticking(struct reader *reader, const struct entry *entry, void *target)
{
    entry_switch(reader, entry, &((struct show *)target)->sticking);
}

static void read_show_key(struct reader *reader, const struct entry *entry, void *target)
{
    entry_switch(reader, entry, &((struct show *)target)->key);
}

static void read_show_plan(struct reader *reader, const struct entry *entry, void *target)
{
    entry_switch(reader, entry, &((struct show *)target)->plan);
}

static void read_show_ladder(struct reader *reader, const struct entry *entry, void *target)
{
    struct show *show = target;
    show->ladder_limit =
        entry->value->kind == NODE_SCALAR && strcmp(entry->value->bytes, "limit") == 0;
    if (show->ladder_limit)
        show->ladder = true;
    else
        entry_switch(reader, entry, &show->ladder);
}

static void read_show_feet_rests(struct reader *reader, const struct entry *entry, void *target)
{
    entry_switch(reader, entry, &((struct show *)target)->feet_rests);
}

static void read_show_bar_numbers(struct reader *reader, const struct entry *entry, void *target)
{
    entry_switch(reader, entry, &((struct show *)target)->bar_numbers);
}

static void read_show_form(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"auto", "names", "bars"};
    int choice = entry_choice(reader, entry, words, 3);
    if (choice >= 0)
        ((struct show *)target)->form = (enum show_form)choice;
}

static void read_show_counts(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"notes", "grid", "off"};
    int choice = entry_choice(reader, entry, words, 3);
    if (choice >= 0)
        ((struct show *)target)->counts = (enum show_counts)choice;
}

static void read_show_tuplets(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"all", "first"};
    int choice = entry_choice(reader, entry, words, 2);
    if (choice >= 0)
        ((struct show *)target)->tuplet_numbers_first = choice == 1;
}

enum { IN_MAP = 1 };

static const struct key show_keys[] = {
    {"sticking", IN_MAP, read_show_sticking},
    {"counts", IN_MAP, read_show_counts},
    {"key", IN_MAP, read_show_key},
    {"plan", IN_MAP, read_show_plan},
    {"ladder", IN_MAP, read_show_ladder},
    {"feet-rests", IN_MAP, read_show_feet_rests},
    {"bar-numbers", IN_MAP, read_show_bar_numbers},
    {"form", IN_MAP, read_show_form},
    {"tuplet-numbers", IN_MAP, read_show_tuplets},
};
static const struct level_name show_level[] = {{IN_MAP, "'show'"}};
const struct key_table show_table = KEY_TABLE(show_keys, show_level);

/* A word of `show` written as a list: it is switched on. */
static void read_show_word(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"sticking",   "counts",      "key", "ladder",
                                        "feet-rests", "bar-numbers", "plan"};
    struct show *show = target;
    switch (entry_choice(reader, entry, words, sizeof words / sizeof *words)) {
    case 0:
        show->sticking = true;
        break;
    case 1:
        show->counts = SHOW_COUNTS_NOTES;
        break;
    case 2:
        show->key = true;
        break;
    case 3:
        show->ladder = true;
        break;
    case 4:
        show->feet_rests = true;
        break;
    case 5:
        show->bar_numbers = true;
        break;
    case 6:
        show->plan = true;
        break;
    default:
        break;
    }
}

void read_show(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct show *show = arena_alloc(reader->arena, sizeof *show);
    *show = *scope->settings->show;
    scope->settings->show = show;
    if (entry->value->kind == NODE_MAP)
        read_keys(reader, entry->value, &show_table, IN_MAP, show);
    else
        read_items(reader, entry, read_show_word, show);
}

/* ---- the page ---------------------------------------------------------------------------------
 */

static void read_page_size(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"a4", "letter"};
    int choice = entry_choice(reader, entry, words, 2);
    if (choice >= 0)
        ((struct page_settings *)target)->size = (enum page_size)choice;
}

static void read_page_margin(struct reader *reader, const struct entry *entry, void *target)
{
    int32_t thousandths;
    if (entry_thousandths(reader, entry, 5000, 60000, &thousandths))
        ((struct page_settings *)target)->margin_mm = thousandths / 1000.0;
}

static void read_page_staff(struct reader *reader, const struct entry *entry, void *target)
{
    int32_t thousandths;
    if (entry_thousandths(reader, entry, 3000, 20000, &thousandths))
        ((struct page_settings *)target)->staff_mm = thousandths / 1000.0;
}

static void read_page_bars(struct reader *reader, const struct entry *entry, void *target)
{
    uint32_t bars;
    if (entry_number(reader, entry, 1, 32, &bars))
        ((struct page_settings *)target)->bars_per_line = (uint16_t)bars;
}

static void read_page_lines(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"auto", "1", "5"};
    int choice = entry_choice(reader, entry, words, 3);
    if (choice >= 0)
        ((struct page_settings *)target)->staff_lines = (enum staff_lines)choice;
}

static void read_page_beside(struct reader *reader, const struct entry *entry, void *target)
{
    bool yes;
    if (entry_switch(reader, entry, &yes))
        ((struct page_settings *)target)->one_below_the_other = !yes;
}

static void read_page_fit(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"natural", "one"};
    struct page_settings *page = target;
    int choice = entry_choice(reader, entry, words, 2);
    if (choice < 0)
        return;
    page->fit_one = choice == 1;
    page->fit_at = entry->value->at;
}

static const struct key page_keys[] = {
    {"size", IN_MAP, read_page_size},           {"margin", IN_MAP, read_page_margin},
    {"staff", IN_MAP, read_page_staff},         {"bars-per-line", IN_MAP, read_page_bars},
    {"staff-lines", IN_MAP, read_page_lines},   {"fit", IN_MAP, read_page_fit},
    {"side-by-side", IN_MAP, read_page_beside},
};
static const struct level_name page_level[] = {{IN_MAP, "'page'"}};
const struct key_table page_table = KEY_TABLE(page_keys, page_level);

void read_page(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct page_settings *page = arena_alloc(reader->arena, sizeof *page);
    *page = *scope->settings->page;
    scope->settings->page = page;
    read_keys(reader, entry->value, &page_table, IN_MAP, page);
}

void read_stems(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"split", "up"};
    int choice = entry_choice(reader, entry, words, 2);
    if (choice >= 0)
        ((struct scope *)target)->settings->stems = (enum stems)choice;
}

void read_beams(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"level", "sloped"};
    int choice = entry_choice(reader, entry, words, 2);
    if (choice >= 0)
        ((struct scope *)target)->settings->beams = (enum beam_slope)choice;
}
