#include "read/scanner.h"

#include <string.h>

bool scan_number(struct scanner *scanner, uint32_t *number)
{
    const char *digits = scanner->text->bytes + scanner->offset;
    size_t count = 0;
    uint32_t value = 0;
    for (; is_digit(digits[count]); count++) {
        if (count == 9)
            return false;
        value = value * 10 + (uint32_t)(digits[count] - '0');
    }
    *number = value;
    scanner->offset += count;
    return count > 0;
}

int note_log2(uint32_t number)
{
    bool power = number && number <= 64 && !(number & (number - 1));
    return power ? __builtin_ctz(number) : -1;
}

unsigned scan_dots(struct scanner *scanner)
{
    unsigned dots = 0;
    while (scan_take(scanner, '.'))
        dots++;
    return dots;
}

bool scan_times(struct scanner *scanner, uint32_t *times)
{
    *times = 1;
    return !scan_take(scanner, '*') || (scan_number(scanner, times) && *times > 0);
}

static const char en_dash[] = "\u2013";

/* This sign with blanks around it. */
static bool scan_between(struct scanner *scanner, const char *sign)
{
    const char *at = scanner->text->bytes + scanner->offset;
    while (is_space(*at))
        at++;
    size_t length = strlen(sign);
    if (*at != *sign || strncmp(at, sign, length) != 0)
        return false;
    scanner->offset = (size_t)(at - scanner->text->bytes) + length;
    scan_spaces(scanner);
    return true;
}

bool scan_dash(struct scanner *scanner)
{
    return scan_between(scanner, "-") || scan_between(scanner, en_dash);
}

bool scan_to(struct scanner *scanner)
{
    return scan_between(scanner, "to ");
}

bool scan_range(struct scanner *scanner)
{
    const char *at = scanner->text->bytes + scanner->offset;
    while (is_space(*at))
        at++;
    char first = *at;
    if (first != '.' && first != *en_dash && first != 't')
        return false; /* as nearly always */
    return scan_between(scanner, "..") || scan_between(scanner, en_dash) ||
           scan_between(scanner, "to ");
}

void scan_fail(struct scanner *scanner, enum diag_code code, struct place at, const char *message,
               const char *expected)
{
    scanner->failed = true;
    diag_add(scanner->reader->diags, code, at, "%s", message);
    diag_expected(scanner->reader->diags, "%s", expected);
}

void scan_complain(struct scanner *scanner, enum diag_code code, size_t offset, size_t length,
                   const char *message, const char *expected)
{
    struct reader *reader = scanner->reader;
    const char *bytes = scanner->text->bytes + offset;
    scanner->failed = true;
    diag_add(reader->diags, code, scan_place(scanner, offset, length), "%s: '%.*s%s'", message,
             QUOTED(bytes, length));
    if (!diag_listed(reader->diags))
        return;
    diag_found(reader->diags, arena_format(reader->arena, "%.*s%s", QUOTED(bytes, length)));
    diag_expected(reader->diags, "%s", expected);
}
