#include "diag/diag.h"

#include "base/vector.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NEAREST_LETTERS_MAX = 48 };

/* The findings of a file so far, by severity. */
struct tally {
    const char *file;
    size_t count[DIAG_SEVERITY_NOTE + 1];
};

struct diags {
    struct arena *arena;
    VECTOR(struct diag) list;
    VECTOR(struct tally) tallies;
    size_t errors;
    bool last_dropped;
};

static const struct {
    const char *word, *about;
    enum diag_severity severity;
} codes[DIAG_CODE_COUNT] = {
#define DIAG_ROW(name, word_, severity_, about_)                                                   \
    [DIAG_##name] = {word_, about_, DIAG_SEVERITY_##severity_},
    DIAG_CODES(DIAG_ROW)
#undef DIAG_ROW
};

struct diags *diags_new(struct arena *arena)
{
    struct diags *diags = arena_alloc(arena, sizeof *diags);
    diags->arena = arena;
    return diags;
}

static bool same_file(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static struct tally *find_tally(struct diags *diags, const char *file)
{
    for (size_t i = diags->tallies.count; i-- > 0;)
        if (same_file(diags->tallies.items[i].file, file))
            return &diags->tallies.items[i];
    struct tally *tally = vector_push(&diags->tallies, diags->arena);
    tally->file = file;
    return tally;
}

static void say_that_more_are_counted(struct diags *diags, enum diag_severity severity,
                                      struct place at)
{
    struct diag *diag = vector_push(&diags->list, diags->arena);
    diag->code = DIAG_LIMIT;
    diag->severity = DIAG_SEVERITY_NOTE;
    diag->at = at;
    diag->message = arena_format(
        diags->arena, "more than %d %ss in this file; the rest are counted but not shown",
        DIAGS_LIMIT, diag_severity_word(severity));
}

void diag_add(struct diags *diags, enum diag_code code, struct place at, const char *format, ...)
{
    enum diag_severity severity = codes[code].severity;
    if (severity == DIAG_SEVERITY_ERROR)
        diags->errors++;
    struct tally *tally = find_tally(diags, at.file);
    size_t before = tally->count[severity]++;
    diags->last_dropped = before >= DIAGS_LIMIT;
    if (before == DIAGS_LIMIT)
        say_that_more_are_counted(diags, severity, at);
    if (diags->last_dropped)
        return;
    va_list arguments;
    va_start(arguments, format);
    const char *message = arena_format_list(diags->arena, format, arguments);
    va_end(arguments);
    struct diag *diag = vector_push(&diags->list, diags->arena);
    diag->code = code;
    diag->severity = severity;
    diag->at = place_at(at, 0, at.length);
    diag->message = message;
}

void diags_regrade(struct diags *diags, struct strictness strictness)
{
    for (size_t i = 0; i < diags->list.count; i++) {
        struct diag *diag = &diags->list.items[i];
        if (diag->severity != DIAG_SEVERITY_WARNING)
            continue;
        bool allowed = strictness.allowed >> diag->code & 1;
        if (allowed)
            diag->severity = DIAG_SEVERITY_NOTE;
        else if (strictness.strict)
            diag->severity = DIAG_SEVERITY_ERROR;
        diags->errors += diag->severity == DIAG_SEVERITY_ERROR;
    }
}

bool diag_listed(const struct diags *diags)
{
    return !diags->last_dropped && diags->list.count > 0;
}

static struct diag *last_diag(struct diags *diags)
{
    if (!diag_listed(diags))
        return NULL;
    return &diags->list.items[diags->list.count - 1];
}

static const char *copy_text(struct diags *diags, const char *text)
{
    return arena_copy_text(diags->arena, text, strlen(text));
}

/* What to type for half a pair of quotes or brackets; NULL if none is left alone. */
static const char *missing_half(const char *text)
{
    size_t quotes = 0;
    char last = *text ? text[strlen(text) - 1] : '\0';
    for (const char *at = text; *at; at++)
        quotes += *at == '"';
    if (quotes % 2)
        return "one quote at each end of the text, or none";
    if (last == '}' && !strchr(text, '{'))
        return "'{' in front as well, or no '}' behind";
    if (last == ']' && !strchr(text, '['))
        return "'[' in front as well, or no ']' behind";
    return NULL;
}

/* What a word processor puts in place of the signs that a lesson needs, and what is half a pair;
   NULL if the text has neither. */
static const char *stray_sign(const char *text)
{
    static const struct {
        const char *sign, *advice;
    } signs[] = {
        {"\u2018", "straight quotes (') instead of curly ones"},
        {"\u2019", "straight quotes (') instead of curly ones"},
        {"\u201c", "straight quotes (\") instead of curly ones"},
        {"\u201d", "straight quotes (\") instead of curly ones"},
        {"\u201e", "straight quotes (\") instead of low ones"},
        {"\u00a0", "an ordinary space instead of the non-breaking one"},
        {"\u202f", "an ordinary space instead of the non-breaking one"},
        {"\u2013", "a hyphen (-) instead of the dash"},
        {"\u2014", "a hyphen (-) instead of the dash"},
    };
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (strstr(text, signs[i].sign))
            return signs[i].advice;
    return missing_half(text);
}

void diag_found(struct diags *diags, const char *text)
{
    struct diag *diag = last_diag(diags);
    if (!diag || !text)
        return;
    diag->found = copy_text(diags, text);
    if (!diag->expected)
        diag->expected = stray_sign(text);
}

void diag_expected(struct diags *diags, const char *format, ...)
{
    struct diag *diag = last_diag(diags);
    if (!diag || !format)
        return;
    va_list arguments;
    va_start(arguments, format);
    diag->expected = arena_format_list(diags->arena, format, arguments);
    va_end(arguments);
    const char *sign = diag->found ? stray_sign(diag->found) : NULL;
    if (sign)
        diag->expected = *diag->expected
                             ? arena_format(diags->arena, "%s; type %s", diag->expected, sign)
                             : sign;
}

void diag_nearest(struct diags *diags, const char *name)
{
    struct diag *diag = last_diag(diags);
    if (diag && name)
        diag->nearest = copy_text(diags, name);
}

void diag_other(struct diags *diags, struct place at, const char *message)
{
    struct diag *diag = last_diag(diags);
    if (!diag || !message)
        return;
    diag->other = at;
    diag->other_message = copy_text(diags, message);
}

size_t diags_count(const struct diags *diags)
{
    return diags->list.count;
}

size_t diags_errors(const struct diags *diags)
{
    return diags->errors;
}

const struct diag *diags_get(const struct diags *diags, size_t index)
{
    return &diags->list.items[index];
}

static int compare_places(const struct place *a, const struct place *b)
{
    if (!a->file || !b->file) /* findings without a place come last */
        return (a->file == NULL) - (b->file == NULL);
    int by_file = a->file == b->file ? 0 : strcmp(a->file, b->file);
    if (by_file != 0)
        return by_file;
    if (a->line != b->line)
        return a->line < b->line ? -1 : 1;
    return (a->column > b->column) - (a->column < b->column);
}

void diags_sort(struct diags *diags)
{
    /* By insertion, which keeps equal places in their order: stages find things nearly sorted. */
    struct diag *items = diags->list.items;
    for (size_t i = 1; i < diags->list.count; i++) {
        struct diag moved = items[i];
        size_t at;
        lower_bound(at, 0, i, compare_places(&items[at].at, &moved.at) <= 0);
        memmove(&items[at + 1], &items[at], (i - at) * sizeof *items);
        items[at] = moved;
    }
    diags->last_dropped = true; /* the last one added may be anywhere now */
}

const char *diag_word(enum diag_code code)
{
    return codes[code].word;
}

enum diag_severity diag_usual_severity(enum diag_code code)
{
    return codes[code].severity;
}

const char *diag_about(enum diag_code code)
{
    return codes[code].about;
}

bool diag_code_from_word(const char *word, enum diag_code *code)
{
    for (int i = 0; i < DIAG_CODE_COUNT; i++)
        if (strcmp(codes[i].word, word) == 0) {
            *code = (enum diag_code)i;
            return true;
        }
    return false;
}

const char *diag_severity_word(enum diag_severity severity)
{
    static const char *const words[] = {"error", "warning", "note"};
    return words[severity];
}

static unsigned least(unsigned a, unsigned b)
{
    return a < b ? a : b;
}

/* The edits between two words of at most NEAREST_LETTERS_MAX letters, ignoring case (optimal string
   alignment distance). Row by row: a swap of neighbours looks back two rows. */
static unsigned edit_distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    unsigned rows[3][NEAREST_LETTERS_MAX + 1];
    unsigned *two_above = rows[0], *above = rows[1], *row = rows[2];
    for (unsigned j = 0; j <= b_length; j++)
        above[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        int letter = tolower((unsigned char)a[i - 1]);
        row[0] = (unsigned)i;
        for (size_t j = 1; j <= b_length; j++) {
            int other = tolower((unsigned char)b[j - 1]);
            row[j] = least(least(above[j], row[j - 1]) + 1, above[j - 1] + (letter != other));
            if (i > 1 && j > 1 && letter == tolower((unsigned char)b[j - 2]) &&
                other == tolower((unsigned char)a[i - 2]))
                row[j] = least(row[j], two_above[j - 2] + 1);
        }
        unsigned *free_row = two_above;
        two_above = above;
        above = row;
        row = free_row;
    }
    return above[b_length];
}

const char *diag_nearest_name(const char *wrong, const char *const *names, size_t count)
{
    size_t length = strlen(wrong);
    if (length == 0 || length > NEAREST_LETTERS_MAX)
        return NULL;
    size_t limit = length / 3 > 2 ? length / 3 : 2;
    if (limit >= length) /* with every letter changed it is another word */
        limit = length - 1;
    const char *nearest = NULL;
    for (size_t i = 0; i < count; i++) {
        size_t other_length = strlen(names[i]);
        if (other_length > NEAREST_LETTERS_MAX || other_length > length + limit ||
            length > other_length + limit)
            continue;
        unsigned distance = edit_distance(wrong, length, names[i], other_length);
        if (distance > limit || (nearest && distance == limit))
            continue;
        nearest = names[i];
        limit = distance;
        if (limit == 0)
            break;
    }
    return nearest;
}

enum { SURE_EDITS = 2 };

/* Sure if at most two edits, of less than half of the letters, make it this name, and any other is
   at least twice as far. */
static bool is_sure(const char *wrong, const char *name, const char *const *names, size_t count)
{
    size_t length = strlen(wrong);
    unsigned distance = edit_distance(wrong, length, name, strlen(name));
    if (distance > SURE_EDITS || distance * 2 >= length)
        return false;
    for (size_t i = 0; i < count; i++) {
        size_t other = strlen(names[i]);
        if (strcmp(names[i], name) != 0 && other <= NEAREST_LETTERS_MAX &&
            edit_distance(wrong, length, names[i], other) < (distance ? 2 * distance : 1))
            return false;
    }
    return true;
}

void diag_nearest_of(struct diags *diags, const char *wrong, const char *const *names, size_t count)
{
    const char *name = diag_nearest_name(wrong, names, count);
    struct diag *diag = last_diag(diags);
    diag_nearest(diags, name);
    if (diag && name)
        diag->sure = is_sure(wrong, name, names, count);
}

struct place place_at(struct place start, uint32_t offset, uint32_t length)
{
    return place_make(start.file, start.line, start.column + offset, length ? length : 1);
}
