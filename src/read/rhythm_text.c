/*
 * Rhythm lines: note values, rests, dots, ties, repeats, tuplets inside tuplets, beat boundaries.
 *
 * One pass from left to right; read_step() reads one word or sign. Items go into a flat row in
 * which a tuplet is an opening item, its notes and a closing item:
 *
 *     3(8 _8 8)*2   ->   OPEN 8 _8 8 CLOSE  OPEN 8 _8 8 CLOSE
 *
 * A stack of open tuplets adds up what stands inside each, to check its length when it closes.
 */
#include "read/scanner.h"

struct tuplet_frame {
    size_t open;         /* number of its opening item */
    struct fraction sum; /* of what stands inside so far */
    uint32_t actual, normal;
};

struct rhythm_reader {
    struct scanner scanner;
    VECTOR(struct rhythm_item) items;
    VECTOR(struct boundary) boundaries;
    struct tuplet_frame frames[LESSON_TUPLET_DEPTH_MAX];
    size_t depth;
    bool tie_waits; /* a `+` has no second note yet; at the end, it is in the next bar */
    struct place tie;
    bool figures; /* notes may have accents */
};

static void skip_word(struct scanner *scanner)
{
    while (!scan_ended(scanner) && !strchr(" \n|)", scan_peek(scanner)))
        scanner->offset++;
}

/* Reports everything from `start` to the end of the word, and goes on after it. */
static void complain(struct rhythm_reader *rhythm, size_t start, const char *message,
                     const char *expected)
{
    struct scanner *scanner = &rhythm->scanner;
    skip_word(scanner);
    scan_complain(scanner, DIAG_BAD_RHYTHM, start, scanner->offset - start, message, expected);
}

/* Reports the sign before the offset. */
static void complain_of_sign(struct rhythm_reader *rhythm, const char *message,
                             const char *expected)
{
    scan_complain(&rhythm->scanner, DIAG_BAD_RHYTHM, rhythm->scanner.offset - 1, 1, message,
                  expected);
}

static struct rhythm_item *add_item(struct rhythm_reader *rhythm, enum rhythm_kind kind,
                                    struct place at)
{
    struct rhythm_item *item = vector_push(&rhythm->items, rhythm->scanner.reader->scratch);
    item->kind = (uint8_t)kind;
    item->at = at;
    return item;
}

static bool read_times(struct rhythm_reader *rhythm, uint32_t *times)
{
    size_t start = rhythm->scanner.offset;
    bool good = scan_times(&rhythm->scanner, times);
    if (!good)
        complain(rhythm, start, "a repeat without a number", "how many times, such as 8*4");
    return good;
}

static void settle_tie(struct rhythm_reader *rhythm, enum rhythm_kind kind)
{
    if (rhythm->tie_waits && kind == RHYTHM_REST)
        scan_fail(&rhythm->scanner, DIAG_BAD_RHYTHM, rhythm->tie, "a tie into a rest",
                  "a note after the +");
    if (kind != RHYTHM_TUPLET_OPEN)
        rhythm->tie_waits = false;
}

/* Adds to the sum of the innermost open tuplet. The length of the bar itself is checked when the
   score is built. */
static void add_time(struct rhythm_reader *rhythm, struct fraction length, uint32_t times)
{
    struct tuplet_frame *frame = &rhythm->frames[rhythm->depth - 1];
    frame->sum = fraction_add(frame->sum, fraction_multiply(length, fraction_make(times, 1)));
}

/* A note or rest whose number was just read. */
static void read_note(struct rhythm_reader *rhythm, size_t start, enum rhythm_kind kind,
                      uint32_t number)
{
    struct scanner *scanner = &rhythm->scanner;
    int log2 = note_log2(number);
    unsigned dots = scan_dots(scanner);
    uint32_t times;
    if (log2 < 0 || dots > 3) {
        complain(rhythm, start, log2 < 0 ? "not a note value" : "too many dots",
                 log2 < 0 ? "1, 2, 4, 8, 16, 32 or 64" : "at most three");
        return;
    }
    struct place at = scan_place(scanner, start, scanner->offset - start);
    if (!read_times(rhythm, &times))
        return;
    if (!reader_count_items(scanner->reader, times, at)) {
        scanner->failed = true;
        return;
    }
    settle_tie(rhythm, kind);
    for (uint32_t i = 0; i < times; i++) {
        struct rhythm_item *item = add_item(rhythm, kind, at);
        item->value_log2 = (uint8_t)log2;
        item->dots = (uint8_t)dots;
    }
    if (rhythm->depth)
        add_time(rhythm, value_length((unsigned)log2, dots), times);
}

/* The second number of a tuplet for which only the first is written: the next smaller power of
   two. For 2, 4 and 8 it is 3, 3 and 6, as in duplets and quadruplets of compound time. Common
   practice. */
static uint32_t usual_normal(uint32_t actual)
{
    uint32_t power = 1;
    while (power * 2 < actual)
        power *= 2;
    if (power * 2 != actual)
        return power;
    return actual == 2 ? 3 : actual / 4 * 3;
}

/* A tuplet from `start` on, whose bracket comes next. */
static void open_tuplet(struct rhythm_reader *rhythm, size_t start, uint32_t actual,
                        uint32_t normal)
{
    struct scanner *scanner = &rhythm->scanner;
    size_t length = scanner->offset++ - start;
    if (rhythm->depth == LESSON_TUPLET_DEPTH_MAX) {
        scan_complain(scanner, DIAG_LIMIT, start, length, "tuplets nested too deep",
                      "at most four tuplets inside each other");
        scanner->offset = scanner->text->length;
        rhythm->depth = 0;
        return;
    }
    if (actual < 2 || actual > 64 || normal < 1 || normal > 64)
        scan_complain(scanner, DIAG_BAD_RHYTHM, start, length, "not a possible tuplet",
                      "2 to 64 notes in the time of 1 to 64, such as 5:4(...)");
    settle_tie(rhythm, RHYTHM_TUPLET_OPEN);
    rhythm->frames[rhythm->depth++] = (struct tuplet_frame){
        .open = rhythm->items.count, .sum = FRACTION_ZERO, .actual = actual, .normal = normal};
    struct rhythm_item *item =
        add_item(rhythm, RHYTHM_TUPLET_OPEN, scan_place(scanner, start, length));
    item->actual = (uint16_t)actual;
    item->normal = (uint16_t)normal;
}

static void read_numbered(struct rhythm_reader *rhythm)
{
    struct scanner *scanner = &rhythm->scanner;
    size_t start = scanner->offset;
    uint32_t number, normal;
    if (!scan_number(scanner, &number))
        complain(rhythm, start, "not a note value", "1, 2, 4, 8, 16, 32 or 64");
    else if (scan_peek(scanner) == '(')
        open_tuplet(rhythm, start, number, number > 1 ? usual_normal(number) : 1);
    else if (!scan_take(scanner, ':'))
        read_note(rhythm, start, RHYTHM_NOTE, number);
    else if (scan_number(scanner, &normal) && scan_peek(scanner) == '(')
        open_tuplet(rhythm, start, number, normal);
    else
        complain(rhythm, start, "a tuplet ratio without notes",
                 "notes in brackets, such as 5:4(8*5)");
}

static void read_rest(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->scanner.offset - 1;
    uint32_t number;
    if (scan_number(&rhythm->scanner, &number))
        read_note(rhythm, start, RHYTHM_REST, number);
    else
        complain(rhythm, start, "a rest without a note value",
                 "an underscore and a note value, such as _8");
}

static const char *tuplet_word(uint32_t actual)
{
    static const char *const words[] = {"duplet",     "triplet",   "quadruplet",
                                        "quintuplet", "sextuplet", "septuplet"};
    return actual >= 2 && actual <= 7 ? words[actual - 2] : "tuplet";
}

/* Whether the notes inside are as long as `actual` equal notes without dots. */
static bool is_whole(const struct tuplet_frame *frame)
{
    struct fraction unit = fraction_divide(frame->sum, fraction_make(frame->actual, 1));
    if (unit.numerator != 1)
        return false;
    for (int log2 = 0; log2 <= 8; log2++)
        if (unit.denominator == (int64_t)1 << log2)
            return true;
    return false;
}

/* Reports by how many of its shortest notes the tuplet is too short or too long. False if that is
   not a whole number, because of dots or tuplets inside. */
static bool report_missing(struct rhythm_reader *rhythm, const struct tuplet_frame *frame,
                           struct place end)
{
    static const char *const names[] = {"whole note", "half note",     "quarter",     "eighth",
                                        "sixteenth",  "thirty-second", "sixty-fourth"};
    uint8_t shortest = 0;
    for (size_t i = frame->open + 1; i < rhythm->items.count; i++)
        if (rhythm->items.items[i].kind <= RHYTHM_REST &&
            rhythm->items.items[i].value_log2 > shortest)
            shortest = rhythm->items.items[i].value_log2;
    struct fraction held = fraction_multiply(frame->sum, fraction_make((int64_t)1 << shortest, 1));
    if (held.denominator != 1)
        return false;
    long long difference = (long long)frame->actual - (long long)held.numerator;
    long long by = difference < 0 ? -difference : difference;
    const char *many = by == 1 ? "a" : arena_format(rhythm->scanner.reader->arena, "%lld", by);
    diag_add(rhythm->scanner.reader->diags, DIAG_TUPLET_LENGTH, end,
             "the %s is %s %s %s%s %s: it has %lld %s%s and needs %u", tuplet_word(frame->actual),
             many, tuplet_word(frame->actual), names[shortest], by == 1 ? "" : "s",
             difference > 0 ? "short" : "too long", (long long)held.numerator, names[shortest],
             held.numerator == 1 ? "" : "s", (unsigned)frame->actual);
    return true;
}

static void check_tuplet(struct rhythm_reader *rhythm, const struct tuplet_frame *frame,
                         struct place end)
{
    if (rhythm->scanner.failed || is_whole(frame))
        return;
    struct diags *diags = rhythm->scanner.reader->diags;
    rhythm->scanner.failed = true;
    if (!fraction_ok(frame->sum)) {
        diag_add(diags, DIAG_LIMIT, rhythm->items.items[frame->open].at,
                 "the %s mixes too many different divisions to add up exactly",
                 tuplet_word(frame->actual));
    } else if (frame->sum.numerator == 0) {
        diag_add(diags, DIAG_TUPLET_LENGTH, rhythm->items.items[frame->open].at, "the %s is empty",
                 tuplet_word(frame->actual));
    } else if (!report_missing(rhythm, frame, end)) {
        diag_add(diags, DIAG_TUPLET_LENGTH, rhythm->items.items[frame->open].at,
                 "the notes of the %s add up to %lld/%lld of a whole note, not to %u equal notes",
                 tuplet_word(frame->actual), (long long)frame->sum.numerator,
                 (long long)frame->sum.denominator, (unsigned)frame->actual);
    }
    diag_expected(diags, "%u equal notes or the same total, such as %u(8*%u)",
                  (unsigned)frame->actual, (unsigned)frame->actual, (unsigned)frame->actual);
}

/* Writes out the items from `open` on another `times` - 1 times. */
static bool repeat_items(struct rhythm_reader *rhythm, size_t open, uint32_t times)
{
    struct reader *reader = rhythm->scanner.reader;
    size_t end = rhythm->items.count, length = end - open;
    if (!reader_count_items(reader, length * (times - 1), rhythm->items.items[open].at)) {
        rhythm->scanner.failed = true;
        return false;
    }
    for (uint32_t time = 1; time < times; time++)
        for (size_t i = open; i < end; i++) {
            struct rhythm_item item = rhythm->items.items[i];
            *vector_push(&rhythm->items, reader->scratch) = item;
        }
    return true;
}

static void close_tuplet(struct rhythm_reader *rhythm)
{
    if (rhythm->depth == 0) {
        complain_of_sign(rhythm, "a closing bracket with no opening one",
                         "a tuplet number and '(' before it");
        return;
    }
    struct tuplet_frame frame = rhythm->frames[--rhythm->depth];
    struct place at = scan_place(&rhythm->scanner, rhythm->scanner.offset - 1, 1);
    uint32_t times;
    check_tuplet(rhythm, &frame, at);
    add_item(rhythm, RHYTHM_TUPLET_CLOSE, at);
    if (!read_times(rhythm, &times) || !repeat_items(rhythm, frame.open, times))
        return;
    if (rhythm->depth)
        add_time(rhythm, fraction_multiply(frame.sum, fraction_make(frame.normal, frame.actual)),
                 times);
}

/* The note that a `+` ties from: the last one, even if a tuplet closes after it. */
static struct rhythm_item *last_note(struct rhythm_reader *rhythm)
{
    size_t i = rhythm->items.count;
    while (i && rhythm->items.items[i - 1].kind == RHYTHM_TUPLET_CLOSE)
        i--;
    return i && rhythm->items.items[i - 1].kind == RHYTHM_NOTE ? &rhythm->items.items[i - 1] : NULL;
}

static void read_tie(struct rhythm_reader *rhythm)
{
    struct rhythm_item *note = last_note(rhythm);
    if (!note || note->tied) {
        complain_of_sign(rhythm, "a tie with no note before it",
                         "a note on each side, such as 4+16");
        return;
    }
    note->tied = true;
    rhythm->tie_waits = true;
    rhythm->tie = scan_place(&rhythm->scanner, rhythm->scanner.offset - 1, 1);
}

static void read_boundary(struct rhythm_reader *rhythm)
{
    size_t count = rhythm->boundaries.count;
    if (count && rhythm->boundaries.items[count - 1].before == rhythm->items.count)
        complain_of_sign(rhythm, "two beat boundaries with nothing between them",
                         "notes or rests between them");
    *vector_push(&rhythm->boundaries, rhythm->scanner.reader->scratch) = (struct boundary){
        (uint32_t)rhythm->items.count, scan_place(&rhythm->scanner, rhythm->scanner.offset - 1, 1)};
}

static void read_accent(struct rhythm_reader *rhythm, char sign)
{
    struct rhythm_item *note = last_note(rhythm);
    if (note && !note->tied)
        note->marks |= sign == '>' ? MARK_ACCENT : MARK_STRONG_ACCENT;
    else
        complain_of_sign(rhythm, "an accent with no note before it", "an accent after a note: 4>");
}

static void read_step(struct rhythm_reader *rhythm)
{
    struct scanner *scanner = &rhythm->scanner;
    size_t start = scanner->offset;
    char byte = scan_peek(scanner);
    if (is_digit(byte)) {
        read_numbered(rhythm);
        return;
    }
    scanner->offset++;
    if (is_space(byte))
        return;
    if (byte == '_')
        read_rest(rhythm);
    else if (byte == ')')
        close_tuplet(rhythm);
    else if (byte == '+')
        read_tie(rhythm);
    else if (byte == '|')
        read_boundary(rhythm);
    else if (rhythm->figures && (byte == '>' || byte == '^'))
        read_accent(rhythm, byte);
    else
        complain(rhythm, start, "not part of a rhythm",
                 "note values (4 8. 16*3), rests (_8), ties (4+16) or tuplets (3(8 8 8))");
}

static void check_end(struct rhythm_reader *rhythm)
{
    struct scanner *scanner = &rhythm->scanner;
    if (rhythm->depth) {
        const struct tuplet_frame *frame = &rhythm->frames[rhythm->depth - 1];
        scan_fail(scanner, DIAG_BAD_RHYTHM, rhythm->items.items[frame->open].at,
                  arena_format(scanner->reader->arena, "the %s is never closed",
                               tuplet_word(frame->actual)),
                  "')' after its last note");
    } else if (rhythm->items.count == 0 && !scanner->failed) {
        scan_fail(scanner, DIAG_BAD_RHYTHM, scanner->text->at, "the rhythm has no notes",
                  "note values, such as 4 8 8 4 4");
    }
}

static size_t count_sounding(const struct rhythm_item *items, size_t count)
{
    size_t sounding = 0;
    bool tied = false;
    for (size_t i = 0; i < count; i++)
        if (items[i].kind == RHYTHM_NOTE) {
            sounding += !tied;
            tied = items[i].tied;
        }
    return sounding;
}

static struct rhythm_line *read_line_of(struct reader *reader, const struct text *text,
                                        bool figures)
{
    struct rhythm_reader rhythm = {.scanner = scanner_of(reader, text), .figures = figures};
    while (!scan_ended(&rhythm.scanner) && !reader->items_over)
        read_step(&rhythm);
    if (!reader->items_over)
        check_end(&rhythm);
    if (figures && rhythm.tie_waits)
        scan_fail(&rhythm.scanner, DIAG_BAD_RHYTHM, rhythm.tie, "figures with a tie at their end",
                  "a note after the +, in the same bar");
    if (rhythm.scanner.failed || reader->items_over)
        return NULL;
    struct rhythm_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = (struct rhythm_line){
        .items =
            arena_copy(reader->arena, rhythm.items.items, rhythm.items.count, sizeof *line->items),
        .count = rhythm.items.count,
        .boundaries = arena_copy(reader->arena, rhythm.boundaries.items, rhythm.boundaries.count,
                                 sizeof *line->boundaries),
        .boundary_count = rhythm.boundaries.count,
        .sounding = count_sounding(rhythm.items.items, rhythm.items.count),
        .tie = rhythm.tie_waits ? rhythm.tie : (struct place){0},
        .at = text->at};
    return line;
}

struct rhythm_line *read_rhythm(struct reader *reader, const struct text *text)
{
    return read_line_of(reader, text, false);
}

struct rhythm_line *read_figures(struct reader *reader, const struct text *text)
{
    return read_line_of(reader, text, true);
}
