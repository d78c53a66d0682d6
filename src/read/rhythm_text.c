/* Rhythm lines: note values, rests, dots, ties, repeats, tuplets in tuplets, beat boundaries. */
#include "read/read_int.h"

struct tuplet_frame {
    size_t open;         /* number of its opening item */
    size_t offset;       /* of its number in the text */
    struct fraction sum; /* of what stands inside so far */
    uint32_t actual, normal;
};

struct rhythm_reader {
    struct reader *reader;
    const struct text *text;
    struct text_cursor cursor;
    size_t offset;
    VECTOR(struct rhythm_item) items;
    VECTOR(struct boundary) boundaries;
    struct tuplet_frame frames[LESSON_TUPLET_DEPTH_MAX];
    size_t depth;
    bool tie_waits; /* a `+` looks for its second note */
    struct place tie;
    bool failed;
};

static struct place place_of(struct rhythm_reader *rhythm, size_t offset, size_t length)
{
    return text_stretch(&rhythm->cursor, offset, length);
}

static void complain(struct rhythm_reader *rhythm, enum diag_code code, size_t offset,
                     size_t length, const char *message, const char *expected)
{
    rhythm->failed = true;
    report_stretch(rhythm->reader, code, place_of(rhythm, offset, length),
                   rhythm->text->bytes + offset, length, message, expected);
}

static char byte_at(const struct rhythm_reader *rhythm, size_t offset)
{
    return offset < rhythm->text->length ? rhythm->text->bytes[offset] : '\0';
}

/* To the end of the word that cannot be read. */
static size_t word_end(const struct rhythm_reader *rhythm, size_t offset)
{
    while (offset < rhythm->text->length && !is_space(rhythm->text->bytes[offset]) &&
           rhythm->text->bytes[offset] != '|' && rhythm->text->bytes[offset] != ')')
        offset++;
    return offset;
}

static int value_log2_of(uint32_t value)
{
    for (int log2 = 0; log2 <= 6; log2++)
        if (value == 1u << log2)
            return log2;
    return -1;
}

/* `*N` behind an item; 1 where there is none. False after a reported error. */
static bool read_repeat(struct rhythm_reader *rhythm, uint32_t *times)
{
    *times = 1;
    if (byte_at(rhythm, rhythm->offset) != '*')
        return true;
    size_t start = rhythm->offset++;
    if (read_number(rhythm->text->bytes, rhythm->text->length, &rhythm->offset, times) &&
        *times > 0)
        return true;
    complain(rhythm, DIAG_BAD_RHYTHM, start, word_end(rhythm, start) - start,
             "a repeat without a number", "how many times, such as 8*4");
    rhythm->offset = word_end(rhythm, start);
    return false;
}

static void settle_tie(struct rhythm_reader *rhythm, enum rhythm_kind kind)
{
    if (rhythm->tie_waits && kind == RHYTHM_REST) {
        rhythm->failed = true;
        diag_add(rhythm->reader->diags, DIAG_BAD_RHYTHM, rhythm->tie, "a tie into a rest");
        diag_expected(rhythm->reader->diags, "a note after the +");
    }
    if (kind != RHYTHM_TUPLET_OPEN)
        rhythm->tie_waits = false;
}

/* To the tuplet that is open. Only a tuplet has to know what it holds: the bar's own time is added
   up when it is built. */
static void add_time(struct rhythm_reader *rhythm, struct fraction length, uint32_t times)
{
    struct tuplet_frame *frame = &rhythm->frames[rhythm->depth - 1];
    frame->sum = fraction_add(frame->sum, fraction_multiply(length, fraction_make(times, 1)));
}

static struct fraction length_of(int value_log2, unsigned dots)
{
    /* d dots: (2^(d+1) - 1) / 2^d of the plain value */
    return fraction_make((2 << dots) - 1, (int64_t)1 << ((unsigned)value_log2 + dots));
}

static unsigned read_dots(struct rhythm_reader *rhythm)
{
    unsigned dots = 0;
    for (; byte_at(rhythm, rhythm->offset) == '.'; rhythm->offset++)
        dots++;
    return dots;
}

/* A note or rest whose value is `value`, the offset standing behind its digits. */
static void read_note(struct rhythm_reader *rhythm, size_t start, enum rhythm_kind kind,
                      uint32_t value)
{
    int log2 = value_log2_of(value);
    unsigned dots = read_dots(rhythm);
    size_t end = rhythm->offset;
    uint32_t times;
    if (log2 < 0 || dots > 3) {
        complain(rhythm, DIAG_BAD_RHYTHM, start, end - start,
                 log2 < 0 ? "not a note value" : "too many dots",
                 log2 < 0 ? "1, 2, 4, 8, 16, 32 or 64" : "at most three dots");
        rhythm->offset = word_end(rhythm, end);
        return;
    }
    struct place at = place_of(rhythm, start, end - start);
    if (!read_repeat(rhythm, &times))
        return;
    if (!reader_count_items(rhythm->reader, times, at)) {
        rhythm->failed = true;
        return;
    }
    settle_tie(rhythm, kind);
    for (uint32_t i = 0; i < times; i++)
        *vector_push(&rhythm->items, rhythm->reader->scratch) = (struct rhythm_item){
            .kind = (uint8_t)kind, .value_log2 = (uint8_t)log2, .dots = (uint8_t)dots, .at = at};
    if (rhythm->depth)
        add_time(rhythm, length_of(log2, dots), times);
}

/* In the time of how many, where only the tuplet's number is written: the next smaller power of
   two; two, four and eight, which are that themselves, in three quarters more or less (duplets and
   quadruplets of compound time). Common practice. */
static uint32_t usual_normal(uint32_t actual)
{
    uint32_t power = 1;
    while (power * 2 < actual)
        power *= 2;
    if (power * 2 != actual)
        return power;
    return actual == 2 ? 3 : actual / 4 * 3;
}

static void open_tuplet(struct rhythm_reader *rhythm, size_t start, uint32_t actual,
                        uint32_t normal)
{
    size_t length = rhythm->offset - start;
    rhythm->offset++; /* the bracket */
    if (rhythm->depth == LESSON_TUPLET_DEPTH_MAX) {
        complain(rhythm, DIAG_LIMIT, start, length, "tuplets nested too deep",
                 "at most four tuplets inside each other");
        rhythm->offset = rhythm->text->length;
        rhythm->depth = 0;
        return;
    }
    if (actual < 2 || actual > 64 || normal < 1 || normal > 64)
        complain(rhythm, DIAG_BAD_RHYTHM, start, length, "not a possible tuplet",
                 "2 to 64 notes in the time of 1 to 64, such as 5:4(...)");
    settle_tie(rhythm, RHYTHM_TUPLET_OPEN);
    rhythm->frames[rhythm->depth++] = (struct tuplet_frame){.open = rhythm->items.count,
                                                            .offset = start,
                                                            .sum = FRACTION_ZERO,
                                                            .actual = actual,
                                                            .normal = normal};
    *vector_push(&rhythm->items, rhythm->reader->scratch) =
        (struct rhythm_item){.kind = RHYTHM_TUPLET_OPEN,
                             .actual = (uint16_t)actual,
                             .normal = (uint16_t)normal,
                             .at = place_of(rhythm, start, length)};
}

static void read_numbered(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->offset;
    const char *bytes = rhythm->text->bytes;
    uint32_t number, normal;
    if (!read_number(bytes, rhythm->text->length, &rhythm->offset, &number)) {
        rhythm->offset = word_end(rhythm, start);
        complain(rhythm, DIAG_BAD_RHYTHM, start, rhythm->offset - start, "not a note value",
                 "1, 2, 4, 8, 16, 32 or 64");
        return;
    }
    if (byte_at(rhythm, rhythm->offset) == '(') {
        open_tuplet(rhythm, start, number, number > 1 ? usual_normal(number) : 1);
        return;
    }
    if (byte_at(rhythm, rhythm->offset) != ':') {
        read_note(rhythm, start, RHYTHM_NOTE, number);
        return;
    }
    rhythm->offset++;
    if (read_number(bytes, rhythm->text->length, &rhythm->offset, &normal) &&
        byte_at(rhythm, rhythm->offset) == '(') {
        open_tuplet(rhythm, start, number, normal);
        return;
    }
    rhythm->offset = word_end(rhythm, rhythm->offset);
    complain(rhythm, DIAG_BAD_RHYTHM, start, rhythm->offset - start, "a tuplet ratio without notes",
             "notes in brackets, such as 5:4(8*5)");
}

static void read_rest(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->offset++;
    uint32_t value;
    if (read_number(rhythm->text->bytes, rhythm->text->length, &rhythm->offset, &value)) {
        read_note(rhythm, start, RHYTHM_REST, value);
        return;
    }
    rhythm->offset = word_end(rhythm, rhythm->offset);
    complain(rhythm, DIAG_BAD_RHYTHM, start, rhythm->offset - start, "a rest without a note value",
             "an underscore and a note value, such as _8");
}

static const char *tuplet_word(uint32_t actual)
{
    static const char *const words[] = {"duplet",     "triplet",   "quadruplet",
                                        "quintuplet", "sextuplet", "septuplet"};
    return actual >= 2 && actual <= 7 ? words[actual - 2] : "tuplet";
}

/* Whether the notes inside make up `actual` equal plain note values. */
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

/* Says by how many of its shortest notes the tuplet misses its length. False where dots or tuplets
   inside make that no whole number. */
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
    const char *many = by == 1 ? "a" : arena_format(rhythm->reader->arena, "%lld", by);
    diag_add(rhythm->reader->diags, DIAG_TUPLET_LENGTH, end,
             "the %s is %s %s %s%s %s: it has %lld %s%s and needs %u", tuplet_word(frame->actual),
             many, tuplet_word(frame->actual), names[shortest], by == 1 ? "" : "s",
             difference > 0 ? "short" : "too long", (long long)held.numerator, names[shortest],
             held.numerator == 1 ? "" : "s", (unsigned)frame->actual);
    return true;
}

static void check_tuplet(struct rhythm_reader *rhythm, const struct tuplet_frame *frame,
                         struct place end)
{
    if (rhythm->failed || is_whole(frame))
        return;
    struct diags *diags = rhythm->reader->diags;
    rhythm->failed = true;
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

/* Writes the items from `open` on `times` - 1 times more. */
static bool repeat_items(struct rhythm_reader *rhythm, size_t open, uint32_t times)
{
    size_t end = rhythm->items.count, length = end - open;
    if (!reader_count_items(rhythm->reader, length * (times - 1), rhythm->items.items[open].at)) {
        rhythm->failed = true;
        return false;
    }
    for (uint32_t time = 1; time < times; time++)
        for (size_t i = open; i < end; i++) {
            struct rhythm_item item = rhythm->items.items[i];
            *vector_push(&rhythm->items, rhythm->reader->scratch) = item;
        }
    return true;
}

static void close_tuplet(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->offset++;
    if (rhythm->depth == 0) {
        complain(rhythm, DIAG_BAD_RHYTHM, start, 1, "a closing bracket with no opening one",
                 "a tuplet number and '(' before it");
        return;
    }
    struct tuplet_frame frame = rhythm->frames[--rhythm->depth];
    uint32_t times;
    check_tuplet(rhythm, &frame, place_of(rhythm, start, 1));
    *vector_push(&rhythm->items, rhythm->reader->scratch) =
        (struct rhythm_item){.kind = RHYTHM_TUPLET_CLOSE, .at = place_of(rhythm, start, 1)};
    if (!read_repeat(rhythm, &times) || !repeat_items(rhythm, frame.open, times))
        return;
    if (rhythm->depth == 0)
        return;
    struct fraction length = fraction_multiply(
        frame.sum, fraction_make((int64_t)frame.normal * times, (int64_t)frame.actual));
    add_time(rhythm, length, 1);
}

/* The note that a `+` ties from: the last one, also where a tuplet closes behind it. */
static struct rhythm_item *last_note(struct rhythm_reader *rhythm)
{
    size_t i = rhythm->items.count;
    while (i && rhythm->items.items[i - 1].kind == RHYTHM_TUPLET_CLOSE)
        i--;
    return i && rhythm->items.items[i - 1].kind == RHYTHM_NOTE ? &rhythm->items.items[i - 1] : NULL;
}

static void read_tie(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->offset++;
    struct rhythm_item *note = last_note(rhythm);
    if (!note || note->tied) {
        complain(rhythm, DIAG_BAD_RHYTHM, start, 1, "a tie with no note before it",
                 "a note on each side, such as 4+16");
        return;
    }
    note->tied = true;
    rhythm->tie_waits = true;
    rhythm->tie = place_of(rhythm, start, 1);
}

static void read_boundary(struct rhythm_reader *rhythm)
{
    size_t start = rhythm->offset++, count = rhythm->boundaries.count;
    if (count && rhythm->boundaries.items[count - 1].before == rhythm->items.count)
        complain(rhythm, DIAG_BAD_RHYTHM, start, 1, "two beat boundaries with nothing between them",
                 "notes or rests between them");
    *vector_push(&rhythm->boundaries, rhythm->reader->scratch) =
        (struct boundary){(uint32_t)rhythm->items.count, place_of(rhythm, start, 1)};
}

static void read_step(struct rhythm_reader *rhythm)
{
    char byte = rhythm->text->bytes[rhythm->offset];
    if (is_space(byte)) {
        rhythm->offset++;
    } else if (is_digit(byte)) {
        read_numbered(rhythm);
    } else if (byte == '_') {
        read_rest(rhythm);
    } else if (byte == ')') {
        close_tuplet(rhythm);
    } else if (byte == '+') {
        read_tie(rhythm);
    } else if (byte == '|') {
        read_boundary(rhythm);
    } else {
        size_t start = rhythm->offset;
        rhythm->offset = word_end(rhythm, start + 1);
        complain(rhythm, DIAG_BAD_RHYTHM, start, rhythm->offset - start, "not part of a rhythm",
                 "note values (4 8. 16*3), rests (_8), ties (4+16) or tuplets (3(8 8 8))");
    }
}

static void check_end(struct rhythm_reader *rhythm)
{
    struct diags *diags = rhythm->reader->diags;
    if (rhythm->depth) {
        const struct tuplet_frame *frame = &rhythm->frames[rhythm->depth - 1];
        rhythm->failed = true;
        diag_add(diags, DIAG_BAD_RHYTHM, rhythm->items.items[frame->open].at,
                 "the %s is never closed", tuplet_word(frame->actual));
        diag_expected(diags, "')' after its last note");
    } else if (rhythm->tie_waits) {
        rhythm->failed = true;
        diag_add(diags, DIAG_BAD_RHYTHM, rhythm->tie, "a tie with no note after it");
        diag_expected(diags, "a note after the +");
    } else if (rhythm->items.count == 0 && !rhythm->failed) {
        rhythm->failed = true;
        diag_add(diags, DIAG_BAD_RHYTHM, rhythm->text->at, "the rhythm has no notes");
        diag_expected(diags, "note values, such as 4 8 8 4 4");
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

struct rhythm_line *read_rhythm(struct reader *reader, const struct text *text)
{
    struct rhythm_reader rhythm = {.reader = reader, .text = text, .cursor = text_cursor(text)};
    while (rhythm.offset < text->length && !reader->items_over)
        read_step(&rhythm);
    if (!reader->items_over)
        check_end(&rhythm);
    if (rhythm.failed || reader->items_over)
        return NULL;
    struct rhythm_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = (struct rhythm_line){
        .items = reader_keep(reader, rhythm.items.items, rhythm.items.count, sizeof *line->items),
        .count = rhythm.items.count,
        .boundaries = reader_keep(reader, rhythm.boundaries.items, rhythm.boundaries.count,
                                  sizeof *line->boundaries),
        .boundary_count = rhythm.boundaries.count,
        .sounding = count_sounding(rhythm.items.items, rhythm.items.count),
        .at = text->at};
    return line;
}

struct rhythm_line *read_rhythm_line(struct arena *arena, const char *text, size_t length,
                                     struct place at, struct diags *diags)
{
    struct reader reader = {.arena = arena, .scratch = arena, .diags = diags};
    struct text direct = text_direct(text, length, at);
    return read_rhythm(&reader, &direct);
}
