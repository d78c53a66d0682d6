#ifndef RATAMARK_READ_SCANNER_H
#define RATAMARK_READ_SCANNER_H
/* Reads the text of one value from left to right: strokes, rhythms, counts, voices, tempos. */
#include "read/reader_int.h"

struct scanner {
    struct reader *reader;
    const struct text *text;
    struct text_cursor cursor;
    size_t offset; /* of the next byte; the text ends in a '\0' */
    bool failed;   /* a mistake was reported */
};

static inline struct scanner scanner_of(struct reader *reader, const struct text *text)
{
    /* with text_cursor() the cursor would be copied, and wait for its parts to be stored */
    return (struct scanner){.reader = reader, .text = text, .cursor = TEXT_CURSOR(text)};
}

static inline bool is_digit(char byte)
{
    return byte >= '0' && byte <= '9';
}

static inline bool is_space(char byte)
{
    return byte == ' ' || byte == '\n';
}

/* What separates counts, tempos and passes. */
static inline bool is_separator(char byte)
{
    return is_space(byte) || byte == ',';
}

/* The next byte; '\0' at the end. */
static inline char scan_peek(const struct scanner *scanner)
{
    return scanner->text->bytes[scanner->offset];
}

/* Steps over this byte if it comes next. */
static inline bool scan_take(struct scanner *scanner, char byte)
{
    bool next = scan_peek(scanner) == byte;
    scanner->offset += next;
    return next;
}

static inline void scan_spaces(struct scanner *scanner)
{
    while (is_space(scan_peek(scanner)))
        scanner->offset++;
}

static inline void scan_separators(struct scanner *scanner)
{
    while (is_separator(scan_peek(scanner)))
        scanner->offset++;
}

static inline bool scan_ended(const struct scanner *scanner)
{
    return scanner->offset >= scanner->text->length;
}

/* A whole number of at most nine digits. False, the offset unchanged, if none comes next. */
bool scan_number(struct scanner *scanner, uint32_t *number);

/* A note value that a number stands for: 0 for 1, 2 for 4, 6 for 64; -1 for no note value. */
int note_log2(uint32_t number);

/* How many dots come next. */
unsigned scan_dots(struct scanner *scanner);

/* `*4` after an item; *times is 1 if there is none. False, with the offset after the '*', if no
   number above 0 follows. */
bool scan_times(struct scanner *scanner, uint32_t *times);

/* A dash between the two ends of a range, with or without blanks: a hyphen or an en dash. False,
   the offset unchanged, if none comes next. */
bool scan_dash(struct scanner *scanner);
/* The word "to" between two values. */
bool scan_to(struct scanner *scanner);

/* `..`, an en dash or "to" between two counts or passes, with or without blanks (none before "to"
   would make a word). False, the offset unchanged, if none comes next. */
bool scan_range(struct scanner *scanner);

/* The place of a stretch of the text. */
static inline struct place scan_place(struct scanner *scanner, size_t offset, size_t length)
{
    return text_stretch(&scanner->cursor, offset, length);
}

/* Reports `length` bytes from `offset` on as "MESSAGE: 'STRETCH'". */
void scan_complain(struct scanner *scanner, enum diag_code code, size_t offset, size_t length,
                   const char *message, const char *expected);

/* Reports a mistake without quoting the text. */
void scan_fail(struct scanner *scanner, enum diag_code code, struct place at, const char *message,
               const char *expected);

#endif
