#include "read/source.h"

#include "base/utf8.h"

#include <string.h>

struct text text_direct(const char *bytes, struct place at)
{
    return (struct text){.bytes = bytes, .length = strlen(bytes), .at = at, .direct = true};
}

static char byte_at(const struct source *source, size_t offset)
{
    return offset < source->length ? source->bytes[offset] : '\0';
}

/* The size of the first character; a byte that is not UTF-8 counts as one. */
static uint32_t character_size(const char *bytes, size_t length)
{
    uint32_t code;
    size_t size = length && (unsigned char)*bytes >= 0x80 ? utf8_decode(bytes, length, &code) : 1;
    return size ? (uint32_t)size : 1;
}

static uint32_t source_character_size(const struct source *source, size_t offset)
{
    return character_size(source->bytes + offset, source->length - offset);
}

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\n' || byte == '\t' || byte == '\r';
}

static void step_over_line_end(struct text_cursor *cursor)
{
    const struct source *source = cursor->text->source;
    bool pair = byte_at(source, cursor->source_offset) == '\r' &&
                byte_at(source, cursor->source_offset + 1) == '\n';
    cursor->source_offset += pair ? 2 : 1;
    cursor->line++;
    cursor->column = 1;
}

static void step(struct text_cursor *cursor, uint32_t bytes, uint32_t columns)
{
    cursor->source_offset += bytes;
    cursor->column += columns;
}

/* Steps over blanks in the file, including escaped ones. */
static void skip_source_blanks(struct text_cursor *cursor)
{
    const struct source *source = cursor->text->source;
    for (;;) {
        char byte = byte_at(source, cursor->source_offset);
        if (byte == '\n' || byte == '\r') {
            step_over_line_end(cursor);
        } else if (byte == ' ' || byte == '\t') {
            step(cursor, 1, 1);
        } else if (byte == '\\' && cursor->text->style == TEXT_DOUBLE_QUOTED) {
            char escaped = byte_at(source, cursor->source_offset + 1);
            if (escaped == '\n' || escaped == '\r') {
                step(cursor, 1, 1);
                step_over_line_end(cursor);
            } else if (escaped != '\0' && strchr("ntr \t", escaped)) {
                step(cursor, 2, 2);
            } else {
                return;
            }
        } else {
            return;
        }
    }
}

/* Steps over one character in the file that is not a blank. */
static void step_over_character(struct text_cursor *cursor)
{
    const struct source *source = cursor->text->source;
    char byte = byte_at(source, cursor->source_offset);
    if (byte == '\\' && cursor->text->style == TEXT_DOUBLE_QUOTED) {
        char kind = byte_at(source, cursor->source_offset + 1);
        uint32_t size = kind == 'x' ? 4 : kind == 'u' ? 6 : kind == 'U' ? 10 : 2;
        step(cursor, size, size);
    } else if (byte == '\'' && cursor->text->style == TEXT_SINGLE_QUOTED) {
        step(cursor, 2, 2);
    } else if (cursor->source_offset < source->length) {
        step(cursor, source_character_size(source, cursor->source_offset), 1);
    }
}

/* Steps to the first byte of the content: after the quote, or the line after a block sign. */
static void enter_content(struct text_cursor *cursor)
{
    const struct source *source = cursor->text->source;
    if (cursor->text->style == TEXT_PLAIN)
        return;
    step(cursor, 1, 1);
    if (cursor->text->style != TEXT_BLOCK)
        return;
    while (cursor->source_offset < source->length &&
           !strchr("\r\n", byte_at(source, cursor->source_offset)))
        step(cursor, 1, 1);
    step_over_line_end(cursor);
}

/* Starts the walk. */
static void go_to_start(struct text_cursor *cursor)
{
    const struct text *text = cursor->text;
    const struct source *source = text->source;
    struct text_cursor start = text_cursor(text);
    cursor->line = start.line;
    cursor->column = start.column;
    cursor->offset = 0;
    cursor->source_offset = source->line_starts.items[text->at.line - 1];
    for (uint32_t column = 1; column < text->at.column; column++)
        cursor->source_offset += source_character_size(source, cursor->source_offset);
    enter_content(cursor);
    cursor->started = true;
}

/* Whether the file has the same byte, however the text is quoted there. */
static bool is_plain(char byte)
{
    return byte > ' ' && byte < 0x7F && byte != '\'' && byte != '\\';
}

/* Steps over such bytes, at most up to `offset` in the text. False if there are none. */
static bool walk_plain(struct text_cursor *cursor, size_t offset)
{
    const struct source *source = cursor->text->source;
    const char *text = cursor->text->bytes + cursor->offset;
    const char *written = source->bytes + cursor->source_offset;
    size_t most = offset - cursor->offset, left = source->length - cursor->source_offset;
    uint32_t same = 0;
    while (same < most && same < left && is_plain(text[same]) && is_plain(written[same]))
        same++;
    step(cursor, same, same);
    cursor->offset += same;
    return same > 0;
}

/* Walks through text and file side by side, up to `offset` in the text. */
static void walk(struct text_cursor *cursor, size_t offset)
{
    const struct text *text = cursor->text;
    while (cursor->offset < offset && cursor->offset < text->length) {
        if (is_blank(text->bytes[cursor->offset])) {
            cursor->offset++;
            continue;
        }
        skip_source_blanks(cursor);
        if (walk_plain(cursor, offset))
            continue;
        step_over_character(cursor);
        cursor->offset +=
            character_size(text->bytes + cursor->offset, text->length - cursor->offset);
    }
}

struct place text_place_walked(struct text_cursor *cursor, size_t offset, uint32_t length)
{
    const struct text *text = cursor->text;
    if (offset == 0 && text->style == TEXT_PLAIN) /* nothing to walk */
        return place_resized(text->at, length ? length : 1);
    if (!cursor->started || offset < cursor->offset)
        go_to_start(cursor);
    walk(cursor, offset);
    if (offset < text->length && !is_blank(text->bytes[offset]))
        skip_source_blanks(cursor);
    return place_make(text->at.file, cursor->line, cursor->column, length ? length : 1);
}

/* ---- checking the bytes --------------------------------------------------------------------- */

struct checker {
    struct source *source;
    struct arena *arena;
    struct diags *diags;
    size_t offset, line_start;
    size_t sign;    /* the first # from the line's start on; the source's length: none */
    size_t counted; /* `column` is that of this offset: */
    uint32_t column;
    bool usable;
    bool tabs;
    uint32_t tab_line; /* the last line whose tab was reported: one per line */
};

static uint32_t line_of(const struct checker *checker)
{
    return (uint32_t)checker->source->line_starts.count;
}

static struct place checker_place(struct checker *checker)
{
    if (checker->counted <= checker->line_start) {
        checker->counted = checker->line_start;
        checker->column = 1;
    }
    checker->column += (uint32_t)utf8_count(checker->source->bytes + checker->counted,
                                            checker->offset - checker->counted);
    checker->counted = checker->offset;
    return place_make(checker->source->name, line_of(checker), checker->column, 1);
}

static bool is_indentation(const struct checker *checker)
{
    for (size_t i = checker->line_start; i < checker->offset; i++)
        if (!is_blank(checker->source->bytes[i]))
            return false;
    return true;
}

static void report_tab(struct checker *checker)
{
    if (checker->tab_line == line_of(checker))
        return;
    checker->tabs = true;
    checker->tab_line = line_of(checker);
    bool indents = is_indentation(checker);
    checker->usable &= !indents;
    diag_add(checker->diags, DIAG_SYNTAX, checker_place(checker), "a tab %s",
             indents ? "at the start of a line" : "between words");
    diag_found(checker->diags, "a tab");
    diag_expected(checker->diags, "spaces");
}

static void report_code_point(struct checker *checker, uint32_t code)
{
    checker->usable = false;
    diag_add(checker->diags, DIAG_ENCODING, checker_place(checker), "%s (U+%04X)",
             refused_character(code), (unsigned)code);
    diag_expected(checker->diags, "plain text, saved as UTF-8");
}

static void report_stray_byte(struct checker *checker)
{
    checker->usable = false;
    diag_add(checker->diags, DIAG_ENCODING, checker_place(checker),
             "a byte that is not UTF-8 (hex %02X)",
             (unsigned)(unsigned char)checker->source->bytes[checker->offset]);
    diag_expected(checker->diags, "text saved as UTF-8");
}

static void find_sign(struct checker *checker)
{
    const struct source *source = checker->source;
    const char *rest = source->bytes + checker->offset;
    const char *sign = memchr(rest, '#', source->length - checker->offset);
    checker->sign = sign ? (size_t)(sign - source->bytes) : source->length;
}

static void end_line(struct checker *checker)
{
    if (checker->sign >= checker->offset)
        return;
    *vector_push(&checker->source->sign_lines, checker->arena) = line_of(checker);
    find_sign(checker);
}

static void start_line(struct checker *checker)
{
    checker->line_start = checker->offset;
    *vector_push(&checker->source->line_starts, checker->arena) = (uint32_t)checker->offset;
}

static inline void check_line_end(struct checker *checker)
{
    const struct source *source = checker->source;
    bool pair =
        source->bytes[checker->offset] == '\r' && byte_at(source, checker->offset + 1) == '\n';
    checker->offset += pair ? 2 : 1;
    end_line(checker);
    start_line(checker);
}

static void check_control(struct checker *checker, unsigned char byte)
{
    if (byte == '\t')
        report_tab(checker);
    else
        report_code_point(checker, byte);
    checker->offset++;
}

const char *refused_character(uint32_t code)
{
    if (code == 0)
        return "a NUL byte";
    if (code < ' ' || (code >= 0x7F && code < 0xA0 && code != 0x85))
        return "a control character";
    if (code == 0x85 || code == 0x2028 || code == 0x2029)
        return "a line separator that is not an ordinary line end";
    if (code == 0xFEFF)
        return "a byte order mark inside the text";
    if ((code & 0xFFFE) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF)) /* Unicode 15, 23.7 */
        return "a code that is not a character";
    return NULL;
}

static void check_wide(struct checker *checker)
{
    const struct source *source = checker->source;
    uint32_t code;
    size_t size =
        utf8_decode(source->bytes + checker->offset, source->length - checker->offset, &code);
    if (size == 0)
        report_stray_byte(checker);
    else if (refused_character(code))
        report_code_point(checker, code);
    checker->offset += size ? size : 1;
}

static bool looks_like_utf16(const struct source *source)
{
    return source->length >= 2 &&
           (memcmp(source->bytes, "\xFF\xFE", 2) == 0 || memcmp(source->bytes, "\xFE\xFF", 2) == 0);
}

static void replace_tabs(struct source *source, struct arena *arena)
{
    char *bytes = arena_copy_text(arena, source->bytes, source->length);
    for (size_t i = 0; i < source->length; i++)
        if (bytes[i] == '\t')
            bytes[i] = ' ';
    source->bytes = bytes;
}

enum { LOW_BYTE_FIRST = __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__ };

/* How many bytes from the start are printable ASCII, eight at a time. Subtracting 0x20 sets the top
   bit of a byte below 0x20, adding 1 that of 0x7F, and bytes above have it set already. Carries can
   spoil the bytes after the first hit, but only the first one counts. */
static size_t plain_length(const char *bytes, size_t length)
{
    const uint64_t ones = UINT64_C(0x0101010101010101), tops = ones * 0x80;
    size_t i = 0;
    for (uint64_t word; i + sizeof word <= length; i += sizeof word) {
        memcpy(&word, bytes + i, sizeof word);
        uint64_t others = (word | (word - ones * 0x20) | (word + ones)) & tops;
        if (others && LOW_BYTE_FIRST)
            return i + (size_t)__builtin_ctzll(others) / 8;
        if (others)
            break;
    }
    while (i < length && bytes[i] >= 0x20 && bytes[i] < 0x7F)
        i++;
    return i;
}

bool source_has_sign(const struct source *source, uint32_t line)
{
    size_t at;
    lower_bound(at, 0, source->sign_lines.count, source->sign_lines.items[at] < line);
    return at < source->sign_lines.count && source->sign_lines.items[at] == line;
}

bool source_check(struct source *source, struct arena *arena, struct diags *diags)
{
    struct checker checker = {.source = source, .arena = arena, .diags = diags, .usable = true};
    start_line(&checker);
    find_sign(&checker);
    if (looks_like_utf16(source)) {
        diag_add(diags, DIAG_ENCODING, checker_place(&checker), "the text is saved as UTF-16");
        diag_expected(diags, "text saved as UTF-8");
        return false;
    }
    for (;;) {
        checker.offset +=
            plain_length(source->bytes + checker.offset, source->length - checker.offset);
        if (checker.offset == source->length)
            break;
        unsigned char byte = (unsigned char)source->bytes[checker.offset];
        if (byte == '\n' || byte == '\r')
            check_line_end(&checker);
        else if (byte < 0x80)
            check_control(&checker, byte);
        else
            check_wide(&checker);
    }
    end_line(&checker);
    if (checker.usable && checker.tabs)
        replace_tabs(source, arena);
    return checker.usable;
}
