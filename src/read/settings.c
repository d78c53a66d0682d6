/* The settings that cascade: meter, tempo, subdivision, counting, swing, and the look of a page. */
#include "model/counting.h"
#include "model/tempo.h"
#include "read/scanner.h"
#include "read/scope.h"

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

/* ---- meter ----------------------------------------------------------------------------------- */

/* `4/4`, `2+2+3/8`; the sum is at most METER_BEATS_MAX. */
static bool parse_meter(struct scanner *scanner, struct meter *meter)
{
    uint32_t number, sum = 0;
    do {
        if (meter->group_count == METER_GROUPS_MAX || !scan_number(scanner, &number) ||
            number == 0 || number > METER_BEATS_MAX)
            return false;
        meter->groups[meter->group_count++] = (uint8_t)number;
        sum += number;
    } while (scan_take(scanner, '+'));
    if (sum > METER_BEATS_MAX || !scan_take(scanner, '/') || !scan_number(scanner, &number) ||
        !scan_ended(scanner) || note_log2(number) < 0 || number > 32)
        return false;
    meter->unit = (uint8_t)number;
    return true;
}

void read_time(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "a meter such as 4/4, 6/8 or 2+2+3/8 (up to 64 on top; 1, 2, 4, "
                                   "8, 16 or 32 below)";
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, expected);
    struct meter *meter = arena_alloc(reader->arena, sizeof *meter);
    struct scanner scanner = {0};
    if (text)
        scanner = scanner_of(reader, text);
    if (text && parse_meter(&scanner, meter)) {
        meter->at = text->at;
        scope->settings->meter = meter;
        return;
    }
    scope->spoiled = true;
    if (text)
        bad_value(reader, entry, "%s", expected);
}

/* ---- tempo ----------------------------------------------------------------------------------- */

enum { BPM_MAX = 999 };

struct tempo_reader {
    struct tempo *tempo;
    VECTOR(uint32_t) hundredths;
};

/* `8.=` in front. */
static bool parse_unit(struct scanner *scanner, struct tempo *tempo)
{
    uint32_t number;
    tempo->unit_log2 = 0xFF;
    if (!strchr(scanner->text->bytes, '='))
        return true;
    if (!scan_number(scanner, &number) || note_log2(number) < 0 || number > 32)
        return false;
    tempo->unit_log2 = (uint8_t)note_log2(number);
    unsigned dots = scan_dots(scanner);
    tempo->unit_dots = (uint8_t)dots;
    scan_separators(scanner);
    return dots <= 2 && scan_take(scanner, '=');
}

/* `.5`, `.25` or `,5`, in hundredths; 0 where no fraction follows. A comma is also what separates
   two tempos, so only a single digit right behind it is a fraction: `60,72` are two. */
static uint32_t scan_hundredths(struct scanner *scanner)
{
    const char *rest = scanner->text->bytes + scanner->offset;
    size_t digits = *rest == '.' || *rest == ',' ? strspn(rest + 1, "0123456789") : 0;
    if (digits < 1 || digits > (*rest == '.' ? 2 : 1))
        return 0;
    scanner->offset += digits + 1;
    return (uint32_t)(rest[1] - '0') * 10 + (digits == 2 ? (uint32_t)(rest[2] - '0') : 0);
}

static bool parse_bpm(struct scanner *scanner, struct tempo_reader *tempo)
{
    uint32_t bpm;
    if (!scan_number(scanner, &bpm) || bpm > BPM_MAX)
        return false;
    uint32_t hundredths = bpm * TEMPO_ONE + scan_hundredths(scanner);
    if (hundredths < TEMPO_ONE || hundredths > BPM_MAX * TEMPO_ONE)
        return false;
    *vector_push(&tempo->hundredths, scanner->reader->scratch) = hundredths;
    return true;
}

/* Numbers separated by blanks, or `from-to`. */
static bool parse_tempo(struct scanner *scanner, struct tempo_reader *tempo)
{
    if (tempo->hundredths.count == 0 && !parse_unit(scanner, tempo->tempo))
        return false;
    scan_separators(scanner);
    while (!scan_ended(scanner)) {
        if (tempo->tempo->range || tempo->tempo->gradual || !parse_bpm(scanner, tempo))
            return false;
        if (tempo->hundredths.count == 1 && scan_to(scanner)) {
            tempo->tempo->gradual = true;
            if (!parse_bpm(scanner, tempo))
                return false;
        } else if (tempo->hundredths.count == 1 && scan_dash(scanner)) {
            tempo->tempo->range = true;
            if (!parse_bpm(scanner, tempo))
                return false;
        }
        size_t end = scanner->offset;
        scan_separators(scanner);
        if (scanner->offset == end && !scan_ended(scanner))
            return false;
    }
    if (tempo->tempo->gradual && tempo->hundredths.items[0] == tempo->hundredths.items[1])
        return false;
    return tempo->hundredths.count > 0 &&
           (!tempo->tempo->range || tempo->hundredths.items[0] < tempo->hundredths.items[1]);
}

static bool read_tempo_item(struct reader *reader, const struct entry *item,
                            struct tempo_reader *tempo)
{
    static const char expected[] =
        "a tempo in bpm (1 to 999), such as 96, 72.5, 60-110 (slower first), 60 72 84 or 8.=72; "
        "60 to 120 changes gradually";
    const struct text *text = entry_text(reader, item, expected);
    if (!text)
        return false;
    struct scanner scanner = scanner_of(reader, text);
    bool good = parse_tempo(&scanner, tempo);
    if (!good)
        bad_value(reader, item, "%s", expected);
    return good;
}

void read_tempo(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct tempo_reader tempo = {.tempo = arena_alloc(reader->arena, sizeof(struct tempo))};
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value))
        if (!read_tempo_item(reader, &item, &tempo))
            return;
    if (tempo.hundredths.count == 0)
        return;
    tempo.tempo->at = entry->value->at;
    tempo.tempo->hundredths = arena_copy(reader->arena, tempo.hundredths.items,
                                         tempo.hundredths.count, sizeof *tempo.hundredths.items);
    tempo.tempo->count = tempo.hundredths.count;
    scope->settings->tempo = tempo.tempo;
}

/* ---- subdivision and counting ---------------------------------------------------------------- */

/* The subdivision that is meant by a number: a note value, or the notes in a beat. */
static const char *subdivision_of_number(const char *text)
{
    static const struct {
        const char *number, *name;
    } numbers[] = {{"4", "quarters"},        {"8", "eighths"},    {"16", "sixteenths"},
                   {"32", "thirty-seconds"}, {"3", "triplets"},   {"12", "triplets"},
                   {"5", "quintuplets"},     {"6", "sextuplets"}, {"24", "sextuplets"},
                   {"7", "septuplets"}};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (strcmp(numbers[i].number, text) == 0)
            return numbers[i].name;
    return NULL;
}

static void suggest_subdivision(struct reader *reader, const char *wrong)
{
    enum subdivision meant;
    const char *notes = strstr(wrong, " note");
    if (notes && subdivision_from_name(wrong, (size_t)(notes - wrong), &meant)) {
        diag_nearest(reader->diags, subdivision_name(meant));
        return;
    }
    const char *all[SUBDIVISION_COUNT + 2] = {[SUBDIVISION_COUNT] = "triplets", "none"};
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        all[i] = subdivision_name((enum subdivision)i);
    diag_nearest_of(reader->diags, wrong, all, SUBDIVISION_COUNT + 2);
}

static bool read_subdivision_item(struct reader *reader, const struct entry *item,
                                  enum subdivision *subdivision)
{
    static const char expected[] =
        "a subdivision, such as eighths, sixteenth triplets or quintuplets";
    const struct text *text = entry_text(reader, item, expected);
    if (!text || subdivision_from_name(text->bytes, text->length, subdivision))
        return text;
    bad_value(reader, item, "%s", expected);
    const char *value = subdivision_of_number(text->bytes);
    if (value)
        diag_nearest(reader->diags, value);
    else
        suggest_subdivision(reader, text->bytes);
    return false;
}

void read_subdivision(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    VECTOR(enum subdivision) names = {0};
    bool good = true;
    if (entry->value->kind == NODE_SCALAR && scope->where != IN_FEET &&
        strcmp(entry->value->bytes, "none") == 0) {
        scope->settings->subdivisions = NULL;
        return;
    }
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value))
        good &= read_subdivision_item(reader, &item, vector_push(&names, reader->scratch));
    if (names.count > METER_BEATS_MAX) {
        good = false;
        diag_add(reader->diags, DIAG_LIMIT, entry->value->at,
                 "more than %d subdivisions in one list", METER_BEATS_MAX);
    } else if (names.count == 0) {
        good = false;
        bad_value(reader, entry, "at least one subdivision");
    }
    if (!good) {
        scope->spoiled = true;
        return;
    }
    struct subdivisions *subdivisions = arena_alloc(reader->arena, sizeof *subdivisions);
    *subdivisions = (struct subdivisions){
        arena_copy(reader->arena, names.items, names.count, sizeof *names.items), names.count,
        entry->value->at};
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

/* The syllables that a beat of each kind takes in this subdivision; 0: it does not divide it. */
static void count_syllables(enum subdivision subdivision, unsigned wanted[2])
{
    for (int kind = BEAT_SIMPLE; kind <= BEAT_COMPOUND; kind++) {
        struct beat beat = counting_usual_beat((enum beat_kind)kind);
        struct division division;
        wanted[kind] =
            subdivision_divide(subdivision, &beat, &division) ? (unsigned)division.slots : 0;
    }
}

/* One line of an own counting system: `sixteenths: "# ka ti ka"`. The number of syllables says
   which kind of beat it is for: three eighths belong to a compound beat. */
static void read_syllables(struct reader *reader, const struct entry *entry,
                           struct counting *counting)
{
    enum subdivision subdivision;
    if (!subdivision_from_name(entry->name, strlen(entry->name), &subdivision)) {
        report_unknown(reader, DIAG_UNKNOWN_KEY, entry->key->at, "there is no subdivision called",
                       entry->name, entry->key->length);
        diag_expected(reader->diags, "a subdivision, such as sixteenths");
        suggest_subdivision(reader, entry->name);
        return;
    }
    const struct text *text = entry_text(reader, entry, "syllables, such as \"# ka ti ka\"");
    if (!text)
        return;
    size_t count;
    unsigned wanted[2];
    const char **words = split_words(reader, text, &count);
    count_syllables(subdivision, wanted);
    for (int kind = BEAT_SIMPLE; kind <= BEAT_COMPOUND; kind++)
        if (count && wanted[kind] == count) {
            counting->spoken[subdivision][kind] = words;
            return;
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
    struct settings *settings = ((struct scope *)target)->settings;
    settings->counting_at = entry->value->at;
    if (entry->value->kind != NODE_MAP) {
        const struct text *text =
            entry_text(reader, entry, "english, eastman, takadimi, units or syllables of your own");
        const struct counting *known = text ? counting_find(text->bytes, text->length) : NULL;
        if (known)
            settings->counting = known;
        else if (text)
            entry_choice(reader, entry, counting_names);
        return;
    }
    struct counting *own = arena_alloc(reader->arena, sizeof *own);
    *own = *counting_default(); /* for the subdivisions that it leaves out */
    own->name = "own";
    own->at = entry->value->at;
    settings->counting = own;
    struct pairs pairs = pairs_of(reader, entry, "");
    for (struct entry pair; pairs_next(&pairs, &pair);)
        read_syllables(reader, &pair, own);
}

/* ---- swing, lead, stems, beams --------------------------------------------------------------- */

void read_swing(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "straight, or the first note's share of the pair, such as 2/3 "
                                   "(at least 1/2, less than 1)";
    static const char *const straight = "straight";
    struct settings *settings = ((struct scope *)target)->settings;
    const struct text *text = entry_text(reader, entry, expected);
    if (!text)
        return;
    struct scanner scanner = scanner_of(reader, text);
    uint32_t numerator = 1, denominator = 2;
    bool good = strcmp(text->bytes, straight) == 0 ||
                (scan_number(&scanner, &numerator) && scan_take(&scanner, '/') &&
                 scan_number(&scanner, &denominator) && scan_ended(&scanner));
    if (!good || denominator > 1000 || numerator * 2 < denominator || numerator >= denominator) {
        bad_value(reader, entry, "%s", expected);
        diag_nearest_of(reader->diags, text->bytes, &straight, 1);
        return;
    }
    settings->swing = fraction_make(numerator, denominator);
    settings->swing_at = text->at;
}

/* A row's word for a field of the settings. */
void read_setting(struct reader *reader, const struct entry *entry, void *target)
{
    read_choice(reader, entry, ((struct scope *)target)->settings);
}

void read_handed(struct reader *reader, const struct entry *entry, void *target)
{
    int choice = entry_choice(reader, entry, entry->row->words);
    if (choice >= 0)
        ((struct scope *)target)->settings->handed = choice == 0 ? HANDED_RIGHT : HANDED_LEFT;
}

void read_lead(struct reader *reader, const struct entry *entry, void *target)
{
    read_setting(reader, entry, target);
    ((struct scope *)target)->settings->lead_at = entry->value->at;
}

/* ---- what is shown --------------------------------------------------------------------------- */

static void read_show_ladder(struct reader *reader, const struct entry *entry, void *target)
{
    struct show *show = target;
    show->ladder_at = entry->value->at;
    show->ladder_limit =
        entry->value->kind == NODE_SCALAR && strcmp(entry->value->bytes, "limit") == 0;
    if (show->ladder_limit)
        show->ladder = true;
    else
        read_flag(reader, entry, show);
}

enum { IN_MAP = 1 };

static const char *const counts_words[] = {"notes", "grid", "off", NULL};
static const char *const form_words[] = {"auto", "names", "bars", NULL};
static const char *const bars_words[] = {"full", "same", "count", NULL};
static const char *const tuplet_words[] = {"all", "first", NULL};
static const char *const tempo_words[] = {"auto", "each", "once", NULL};

static void read_show_counts(struct reader *reader, const struct entry *entry, void *target)
{
    read_choice(reader, entry, target);
    ((struct show *)target)->counts_at = entry->value->at;
}

/* A row of `show`, and where it is read but changes nothing. IN_FORM stands for such an exercise
   alone. */
#define SHOW_KEY(name, idle, read, field, words)                                                   \
    {                                                                                              \
        name, IN_ALL | IN_FORM, read, offsetof(struct show, field), words, idle, false             \
    }
#define SHOW_SWITCH(name, idle, field) SHOW_KEY(name, idle, read_flag, field, no_or_yes)
static const struct key show_keys[] = {
    SHOW_SWITCH("sticking", IN_FORM, sticking),
    SHOW_KEY("counts", IN_FORM, read_show_counts, counts, counts_words),
    SHOW_SWITCH("key", IN_MUSIC | IN_FORM, key),
    SHOW_SWITCH("plan", IN_MUSIC | IN_FORM, plan),
    SHOW_KEY("ladder", IN_BAR, read_show_ladder, ladder, no_or_yes),
    SHOW_SWITCH("feet-rests", IN_FORM, feet_rests),
    SHOW_SWITCH("bar-numbers", IN_BAR, bar_numbers),
    SHOW_KEY("form", IN_MUSIC, read_choice, form, form_words),
    SHOW_KEY("bars", IN_FORM, read_choice, bars, bars_words),
    SHOW_KEY("tempo", IN_BAR, read_choice, tempo, tempo_words),
    SHOW_KEY("tuplet-numbers", IN_FORM, read_flag, tuplet_numbers_first, tuplet_words),
};
static const struct level_name show_level[] = {{IN_ALL | IN_FORM, "'show'"}};
const struct key_table show_table = KEY_TABLE(show_keys, show_level);

const char *const show_words[] = {"sticking",   "counts",      "key",  "ladder",
                                  "feet-rests", "bar-numbers", "plan", NULL};

/* `show: [sticking, ladder]`: each word is switched on. */
static void read_show_word(struct reader *reader, const struct entry *item, unsigned where,
                           struct show *show)
{
    bool *const switches[] = {
        &show->sticking,    NULL,       &show->key, &show->ladder, &show->feet_rests,
        &show->bar_numbers, &show->plan};
    int choice = entry_item_choice(reader, item, show_words);
    if (choice >= 0)
        warn_if_idle(reader, &show_table, where, show_words[choice], item->value->at);
    if (choice >= 0 && switches[choice] == &show->ladder)
        show->ladder_at = item->value->at;
    if (choice >= 0 && switches[choice])
        *switches[choice] = true;
    else if (choice >= 0)
        show->counts = SHOW_COUNTS_NOTES;
}

void read_show(struct reader *reader, const struct entry *entry, void *target)
{
    struct settings *settings = ((struct scope *)target)->settings;
    unsigned where = ((struct scope *)target)->where;
    where = where & IN_FORM ? IN_FORM : where;
    struct show *show = arena_copy(reader->arena, settings->show, 1, sizeof *show);
    settings->show = show;
    if (entry->value->kind == NODE_MAP) {
        read_keys(reader, entry->value, &show_table, where, show);
        return;
    }
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value))
        read_show_word(reader, &item, where, show);
}

/* ---- the page -------------------------------------------------------------------------------- */

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

static void read_page_fit(struct reader *reader, const struct entry *entry, void *target)
{
    read_flag(reader, entry, target);
    ((struct page_settings *)target)->fit_at = entry->value->at;
}

static const char *const size_words[] = {"a4", "letter", NULL};
static const char *const lines_words[] = {"auto", "1", "5", "each", NULL};
static const char *const fit_words[] = {"natural", "one", NULL};
static const char *const yes_or_no[] = {"yes", "no", "on", "off", "true", "false", NULL};

static void read_page_columns(struct reader *reader, const struct entry *entry, void *target)
{
    struct page_settings *page = target;
    uint32_t columns;
    if (!entry_number(reader, entry, 1, 2, &columns))
        return;
    page->two_columns = columns == 2;
    page->columns_at = entry->value->at;
}

static const struct key page_keys[] = {
    WORDS_KEY("size", IN_MAP, read_choice, struct page_settings, size, size_words),
    KEY("margin", IN_MAP, read_page_margin),
    KEY("staff", IN_MAP, read_page_staff),
    KEY("bars-per-line", IN_MAP, read_page_bars),
    KEY("columns", IN_MAP, read_page_columns),
    WORDS_KEY("staff-lines", IN_MAP, read_choice, struct page_settings, staff_lines, lines_words),
    WORDS_KEY("fit", IN_MAP, read_page_fit, struct page_settings, fit_one, fit_words),
    WORDS_KEY("side-by-side", IN_MAP, read_flag, struct page_settings, one_below_the_other,
              yes_or_no),
};
static const struct level_name page_level[] = {{IN_MAP, "'page'"}};
const struct key_table page_table = KEY_TABLE(page_keys, page_level);

void read_page(struct reader *reader, const struct entry *entry, void *target)
{
    struct settings *settings = ((struct scope *)target)->settings;
    struct page_settings *page = arena_copy(reader->arena, settings->page, 1, sizeof *page);
    settings->page = page;
    read_keys(reader, entry->value, &page_table, IN_MAP, page);
}
