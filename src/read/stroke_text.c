/* Stroke lines: hands and feet, grace strokes, marks, ghosts in brackets, beat boundaries. */
#include "read/scanner.h"

#include <ctype.h>
#include <limits.h>
#include <stdio.h>

struct stroke_reader {
    struct scanner scanner;
    struct stroke_line *line;
    bool in_brackets;
    struct place bracket;
    size_t before_bracket; /* strokes */
    bool marks_may_follow; /* right after a stroke */
};

static void complain(struct stroke_reader *strokes, size_t offset, size_t length,
                     const char *message, const char *expected)
{
    scan_complain(&strokes->scanner, DIAG_BAD_STICKING, offset, length, message, expected);
}

static const uint8_t hands[UCHAR_MAX + 1] = {
    ['R'] = HAND_RIGHT, ['L'] = HAND_LEFT, ['B'] = HAND_BOTH,
    ['?'] = HAND_OPEN,  ['K'] = HAND_KICK, ['H'] = HAND_HAT};

/* Tables by byte have a row for the sign of each mark. Marks without a sign get rows after those of
   all bytes. */
#define PLACE_OF_SIGN(id, sign) ((sign) ? (sign) : UCHAR_MAX + 1 + MARK_INDEX_##id)
#define PLACE_OF_FIRST(id, sign, times)                                                            \
    ((times) == 1 ? PLACE_OF_SIGN(id, sign) : UCHAR_MAX + 1 + MARK_INDEX_##id)
enum { SIGN_PLACES = UCHAR_MAX + 1 + MARK_COUNT };

static const uint8_t signs[SIGN_PLACES] = {
    [' '] = STROKE_BLANK,   ['\n'] = STROKE_BLANK,   ['R'] = STROKE_LETTER, ['L'] = STROKE_LETTER,
    ['B'] = STROKE_LETTER,  ['.'] = STROKE_LETTER,   ['?'] = STROKE_LETTER, ['K'] = STROKE_LETTER,
    ['H'] = STROKE_LETTER,  ['r'] = STROKE_GRACE,    ['l'] = STROKE_GRACE,  ['('] = STROKE_BRACKET,
    [')'] = STROKE_BRACKET, ['|'] = STROKE_BOUNDARY,
#define SIGN(id, sign, times, ...) [PLACE_OF_FIRST(id, sign, times)] = STROKE_MARK,
    STROKE_MARKS(SIGN)
#undef SIGN
};

/* What a sign means if it is written once, twice, three times. */
enum { TIMES_MAX = 3 };
static const mark_set marks_by_sign[TIMES_MAX][SIGN_PLACES] = {
#define SIGN(id, sign, times, ...) [(times) ? (times)-1 : 0][PLACE_OF_SIGN(id, sign)] = MARK_##id,
    STROKE_MARKS(SIGN)
#undef SIGN
};

enum stroke_sign stroke_sign(char byte)
{
    return (enum stroke_sign)signs[(unsigned char)byte];
}

static void add_stroke(struct stroke_reader *strokes, uint8_t graces, size_t grace_count)
{
    char letter = scan_peek(&strokes->scanner);
    struct place at = text_place(&strokes->scanner.cursor, strokes->scanner.offset++, 1);
    struct stroke *stroke = &strokes->line->strokes[strokes->line->count++];
    *stroke = (struct stroke){.marks = strokes->in_brackets && letter != '.' ? MARK_GHOST : 0,
                              .hand = (unsigned)hands[(unsigned char)letter] & 0xF,
                              .grace_count = grace_count & 0xF,
                              .graces = graces,
                              .line = at.line,
                              .column = at.column};
    strokes->line->struck += stroke->hand != HAND_NONE;
    strokes->line->feet |= hand_is_foot(stroke->hand);
    strokes->marks_may_follow = true;
}

/* A grace stroke comes from the other hand, or it is a stroke more of the same one. */
static void warn_of_hand(struct stroke_reader *strokes, size_t start, size_t count)
{
    struct scanner *scanner = &strokes->scanner;
    const char *bytes = scanner->text->bytes + start;
    char other = bytes[count] == 'R' ? 'l' : 'r';
    if (bytes[count] == 'B' || bytes[count - 1] == other)
        return;
    diag_add(scanner->reader->diags, DIAG_GRACE_HAND, scan_place(scanner, start, count + 1),
             "the hand of the stroke also plays the grace note in front of it: '%.*s'",
             (int)count + 1, bytes);
    bool all = !memchr(bytes, other, count);
    char graces[GRACES_MAX + 1] = {0};
    for (size_t i = 0; i < count; i++)
        graces[i] = all || i + 1 == count ? other : bytes[i];
    diag_expected(scanner->reader->diags, "'%s%c'", graces, bytes[count]);
}

/* A line with no capitals at all: suggest capitals for the whole line, not just these letters. */
static void report_small_line(struct stroke_reader *strokes, size_t start, size_t count)
{
    struct scanner *scanner = &strokes->scanner;
    const struct text *text = scanner->text;
    char *capitals = arena_copy(scanner->reader->arena, text->bytes, text->length + 1, 1);
    for (char *at = capitals; *at; at++)
        *at = (char)toupper((unsigned char)*at);
    complain(strokes, start, count, "grace strokes with no stroke in the line",
             arena_format(scanner->reader->arena, "capitals for strokes, '%.*s%s'",
                          QUOTED(capitals, text->length)));
    scanner->offset = text->length;
}

/* Small letters and the capital after them. */
static void read_graces(struct stroke_reader *strokes)
{
    const char *bytes = strokes->scanner.text->bytes;
    size_t start = strokes->scanner.offset, count = 0;
    uint8_t graces = 0;
    for (; stroke_sign(bytes[start + count]) == STROKE_GRACE; count++)
        if (bytes[start + count] == 'l' && count < GRACES_MAX)
            graces |= (uint8_t)(1u << count);
    char next = bytes[start + count];
    strokes->scanner.offset = start + count;
    strokes->marks_may_follow = false;
    if (strokes->in_brackets && count == 1 && next == ')')
        complain(strokes, start, count, "a ghost stroke in a small letter",
                 "a capital: (L) is a ghost stroke, a small letter in front of a stroke its grace "
                 "note");
    else if (!strpbrk(bytes, "RLB"))
        report_small_line(strokes, start, count);
    else if (next != 'R' && next != 'L' && next != 'B') /* before `?` the grace hand is not known */
        complain(strokes, start, count, "grace strokes with no stroke right after them",
                 "R, L or B right after the small letters, such as lR (a flam)");
    else if (count > GRACES_MAX)
        complain(strokes, start, count, "too many grace strokes before one stroke",
                 "at most 7 small letters");
    else {
        add_stroke(strokes, graces, count);
        warn_of_hand(strokes, start, count);
    }
}

/* What the sign means now, as often as the stroke has it already; MARK_NONE: too often. */
static mark_set mark_of_sign(const struct stroke *stroke, char sign)
{
    for (int times = TIMES_MAX; times-- > 0;)
        if (stroke->marks & marks_by_sign[times][(unsigned char)sign])
            return times + 1 < TIMES_MAX ? marks_by_sign[times + 1][(unsigned char)sign]
                                         : MARK_NONE;
    return marks_by_sign[0][(unsigned char)sign];
}

static void add_mark(struct stroke_reader *strokes, char sign)
{
    struct stroke *stroke = &strokes->line->strokes[strokes->line->count - 1];
    mark_set mark = mark_of_sign(stroke, sign);
    bool again = !(mark & marks_by_sign[0][(unsigned char)sign]);
    size_t offset = strokes->scanner.offset;
    char conflict[MARKS_CONFLICT_ROOM];
    if (mark && again)
        stroke->marks = marks_over(mark, stroke->marks);
    else if (stroke->hand == HAND_NONE)
        complain(strokes, offset, 1, "a mark on an empty slot", "a stroke before the mark");
    else if (mark == MARK_RING && hand_is_foot(stroke->hand))
        complain(strokes, offset, 1, "a foot's stroke that rings on like a roll",
                 "+ after a stroke of the hands");
    else if (again)
        complain(strokes, offset, 1, "the same mark too many times",
                 "each mark once; // for four strokes, /// for eight");
    else if (marks_conflict(stroke->marks | mark, conflict))
        complain(strokes, offset, 1, conflict, "only one of the two");
    else
        stroke->marks |= mark;
}

static void read_mark(struct stroke_reader *strokes)
{
    if (strokes->marks_may_follow)
        add_mark(strokes, scan_peek(&strokes->scanner));
    else
        complain(strokes, strokes->scanner.offset, 1, "a mark with no stroke right before it",
                 "the mark right after its stroke, such as R>");
    strokes->scanner.offset++;
}

static void read_bracket(struct stroke_reader *strokes)
{
    size_t offset = strokes->scanner.offset;
    bool opens = scan_peek(&strokes->scanner) == '(';
    strokes->marks_may_follow = false;
    if (opens == strokes->in_brackets)
        complain(strokes, offset, 1,
                 opens ? "brackets inside brackets" : "a closing bracket with no opening one",
                 "one pair of brackets around ghost strokes, such as R (L) (RL)");
    if (opens) {
        strokes->bracket = text_place(&strokes->scanner.cursor, offset, 1);
        strokes->before_bracket = strokes->line->count;
    } else if (!strokes->scanner.failed && strokes->in_brackets &&
               strokes->line->count == strokes->before_bracket) {
        diag_add(strokes->scanner.reader->diags, DIAG_NO_EFFECT, strokes->bracket,
                 "brackets with no stroke between them");
        diag_expected(strokes->scanner.reader->diags, "the ghost strokes between them, as in (L)");
    }
    strokes->in_brackets = opens;
    strokes->scanner.offset++;
}

static void read_boundary(struct stroke_reader *strokes)
{
    struct stroke_line *line = strokes->line;
    strokes->marks_may_follow = false;
    if (line->boundary_count && line->boundaries[line->boundary_count - 1].before == line->count)
        complain(strokes, strokes->scanner.offset, 1,
                 "two beat boundaries with nothing between them",
                 "strokes between them, or '.' for an empty slot");
    line->boundaries[line->boundary_count++] = (struct boundary){
        (uint32_t)line->count, text_place(&strokes->scanner.cursor, strokes->scanner.offset, 1)};
    strokes->scanner.offset++;
}

/* The signs of all marks: " / z > ^ +". */
static void list_signs(char text[2 * MARK_COUNT + 1])
{
    for (int i = 0; i < MARK_COUNT; i++)
        if (stroke_marks[i].times == 1) {
            *text++ = ' ';
            *text++ = stroke_marks[i].sign;
        }
    *text = '\0';
}

static void read_stranger(struct stroke_reader *strokes)
{
    struct scanner *scanner = &strokes->scanner;
    size_t start = scanner->offset;
    while (!scan_ended(scanner) && stroke_sign(scan_peek(scanner)) == STROKE_STRANGER)
        scanner->offset++;
    strokes->marks_may_follow = false;
    char marks[2 * MARK_COUNT + 1], expected[2 * MARK_COUNT + 80];
    list_signs(marks);
    snprintf(expected, sizeof expected,
             "R, L, B, K, H, ? or '.', the marks%s, or brackets for ghost strokes", marks);
    bool foot = scanner->text->bytes[start] == 'F';
    complain(strokes, start, scanner->offset - start, "not a stroke",
             foot ? "K for the bass drum or H for the hi-hat with the foot" : expected);
}

static void read_step(struct stroke_reader *strokes)
{
    switch (stroke_sign(scan_peek(&strokes->scanner))) {
    case STROKE_LETTER:
        add_stroke(strokes, 0, 0);
        break;
    case STROKE_BLANK:
        strokes->marks_may_follow = false;
        strokes->scanner.offset++;
        break;
    case STROKE_GRACE:
        read_graces(strokes);
        break;
    case STROKE_MARK:
        read_mark(strokes);
        break;
    case STROKE_BRACKET:
        read_bracket(strokes);
        break;
    case STROKE_BOUNDARY:
        read_boundary(strokes);
        break;
    case STROKE_STRANGER:
        read_stranger(strokes);
        break;
    }
}

static struct stroke_line *make_line(struct reader *reader, const struct text *text)
{
    size_t strokes = 0, boundaries = 0;
    for (size_t i = 0; i < text->length; i++) {
        strokes += stroke_sign(text->bytes[i]) == STROKE_LETTER;
        boundaries += stroke_sign(text->bytes[i]) == STROKE_BOUNDARY;
    }
    if (!reader_count_items(reader, strokes, text->at))
        return NULL;
    struct stroke_line *line = arena_alloc(reader->arena, sizeof *line);
    line->strokes = arena_array_room(reader->arena, strokes, sizeof *line->strokes);
    line->boundaries = arena_array_room(reader->arena, boundaries, sizeof *line->boundaries);
    line->at = text->at;
    return line;
}

struct stroke_line *read_strokes(struct reader *reader, const struct text *text)
{
    struct stroke_reader strokes = {.scanner = scanner_of(reader, text)};
    struct scanner *scanner = &strokes.scanner;
    strokes.line = make_line(reader, text);
    if (!strokes.line)
        return NULL;
    while (!scan_ended(scanner))
        read_step(&strokes);
    if (strokes.in_brackets)
        scan_fail(scanner, DIAG_BAD_STICKING, strokes.bracket, "a bracket that is never closed",
                  "')' after the last ghost stroke");
    else if (strokes.line->count == 0 && !scanner->failed)
        scan_fail(scanner, DIAG_BAD_STICKING, text->at, "the stroke line has no strokes",
                  "strokes such as RLRR LRLL");
    return scanner->failed ? NULL : strokes.line;
}

bool looks_like_strokes(const char *text, size_t length)
{
    size_t strokes = 0, strange = 0;
    bool marked = false;
    for (size_t i = 0; i < length; i++) {
        char byte = text[i];
        switch (stroke_sign(byte)) {
        case STROKE_LETTER:
            strokes++;
            break;
        case STROKE_STRANGER:
            if (byte >= 'a' && byte <= 'z')
                return false;
            strange += byte >= 'A' && byte <= 'Z';
            break;
        case STROKE_MARK:
        case STROKE_BRACKET:
        case STROKE_BOUNDARY:
            marked |= !isalpha((unsigned char)byte);
            break;
        case STROKE_BLANK:
        case STROKE_GRACE:
            break;
        }
    }
    return marked || strange <= strokes; /* a name in capitals has few letters of strokes */
}
