/*
 * Outline. yaml_slip_find() goes from line to line and keeps what YAML would have open there: the
 * columns of the maps and lists around it (`open`), and whether the line belongs to a `|` block or
 * to brackets that were opened above. Of each line that starts something it asks, in this order:
 *
 *   1. is it in a column where a key or an item can begin?               look_at_column()
 *   2. has each dash its space?                                          take_dashes()
 *   3. has the key its colon, and the colon its space?                   take_key()
 *   4. is what the value opens (a quote, a bracket) closed, and no more  look_at_value()
 *      than that?
 *
 * The first "no" is the slip. A line that goes on with the text above is asked nothing.
 */
#include "read/yaml_slip.h"

#include <string.h>

enum { OPEN_MAX = 64, BRACKETS_MAX = 64, WORD_MAX = 40 };

struct line {
    const char *bytes;
    uint32_t length, number; /* without the line end */
};

struct finder {
    const struct source *source;
    struct arena *arena;
    is_key_word *is_key;
    struct yaml_slip *slip;
    struct line line;
    uint32_t at;             /* the byte of the line that is looked at */
    uint32_t open[OPEN_MAX]; /* the columns of open maps and lists, outermost first */
    bool takes[OPEN_MAX];    /* whether the last key there still waits for its value */
    uint32_t open_count;
    uint32_t block;    /* 1 + the indentation of the key of a `|` block; 0: in none */
    char quote;        /* the one that the line above leaves open; '\0': none */
    bool prose, plain; /* the last value: of a title or text; without quotes or brackets */
    char brackets[BRACKETS_MAX];
    struct line bracket_lines[BRACKETS_MAX];
    uint32_t bracket_columns[BRACKETS_MAX];
    uint32_t bracket_count;
};

static struct line line_at(const struct source *source, uint32_t number)
{
    uint32_t start = source->line_starts.items[number - 1];
    uint32_t end = number < source->line_starts.count ? source->line_starts.items[number]
                                                      : (uint32_t)source->length;
    while (end > start && strchr("\r\n", source->bytes[end - 1]))
        end--;
    return (struct line){source->bytes + start, end - start, number};
}

static char byte_of(const struct line *line, uint32_t at)
{
    return at < line->length ? line->bytes[at] : '\0';
}

static uint32_t indentation(const struct line *line)
{
    uint32_t indent = 0;
    while (byte_of(line, indent) == ' ')
        indent++;
    return indent;
}

static bool has_content(const struct line *line)
{
    char first = byte_of(line, indentation(line));
    return first != '\0' && first != '#';
}

static bool begins_comment(const struct line *line, uint32_t at)
{
    return line->bytes[at] == '#' && (at == 0 || line->bytes[at - 1] == ' ');
}

/* Whether a comment or nothing follows. */
static bool ends_at(const struct line *line, uint32_t at)
{
    uint32_t start = at;
    while (byte_of(line, at) == ' ')
        at++;
    return byte_of(line, at) == '\0' || (byte_of(line, at) == '#' && at > start);
}

/* Always true, so that a test can return it. */
static bool found(struct finder *finder, const struct line *line, uint32_t at, uint32_t length,
                  const char *words, const char *advice)
{
    *finder->slip = (struct yaml_slip){.line = line->number,
                                       .column = (uint32_t)utf8_count(line->bytes, at) + 1,
                                       .length = length ? length : 1,
                                       .words = words,
                                       .advice = advice};
    return true;
}

static uint32_t word_length(const struct line *line, uint32_t at)
{
    uint32_t end = at;
    while (end < line->length && !strchr(" :,{}[]\"'#", line->bytes[end]))
        end++;
    return end - at;
}

/* Where the colon of a key stands, from `at` on: one that a blank or the line's end follows. */
static bool find_colon(const struct line *line, uint32_t at, uint32_t *colon)
{
    char quote = byte_of(line, at);
    if (quote == '"' || quote == '\'') {
        const char *end = memchr(line->bytes + at + 1, quote, line->length - at - 1);
        at = end ? (uint32_t)(end - line->bytes) : line->length;
    }
    for (; at < line->length; at++) {
        char next = byte_of(line, at + 1);
        if (begins_comment(line, at))
            return false;
        if (line->bytes[at] == ':' && (next == ' ' || next == '\0')) {
            *colon = at;
            return true;
        }
    }
    return false;
}

/* Whether the line looks like a new key or item of a lesson. */
static bool looks_new(const struct finder *finder, const struct line *line)
{
    uint32_t at = indentation(line), colon;
    bool item = byte_of(line, at) == '-' && byte_of(line, at + 1) == ' ';
    while (byte_of(line, at) == '-' || byte_of(line, at) == ' ')
        at++;
    uint32_t length = word_length(line, at);
    return item || (find_colon(line, at, &colon) && finder->is_key(line->bytes + at, length));
}

/* The next line with content; number 0 at the end. */
static struct line next_content(const struct finder *finder)
{
    for (uint32_t i = finder->line.number + 1; i <= finder->source->line_starts.count; i++) {
        struct line line = line_at(finder->source, i);
        if (has_content(&line))
            return line;
    }
    return (struct line){.bytes = ""};
}

/* ---- columns --------------------------------------------------------------------------------- */

static void open_column(struct finder *finder, uint32_t column)
{
    if (finder->open_count < OPEN_MAX) {
        finder->open[finder->open_count] = column;
        finder->takes[finder->open_count++] = false;
    }
}

static const char *spaces_wanted(struct finder *finder, uint32_t column)
{
    return column ? arena_format(finder->arena, "%u space%s in front, as above", (unsigned)column,
                                 column == 1 ? "" : "s")
                  : "no space in front";
}

/* Whether this line is where none can be: between two columns, or right of a key that has its
   value. Closes what ends above it. */
static bool look_at_column(struct finder *finder, uint32_t column)
{
    if (finder->open_count == 0) {
        open_column(finder, column);
        return false;
    }
    uint32_t top = finder->open_count - 1;
    if (column > finder->open[top] && finder->takes[top]) {
        finder->takes[top] = false;
        open_column(finder, column);
        return false;
    }
    if (column > finder->open[top])
        return found(finder, &finder->line, 0, column + 1,
                     "this line is indented further than the keys above it",
                     spaces_wanted(finder, finder->open[top]));
    while (finder->open_count && finder->open[finder->open_count - 1] > column)
        finder->open_count--;
    if (finder->open_count && finder->open[finder->open_count - 1] == column)
        return false;
    /* "- title" whose dash is gone stands one column right of the dashes above */
    bool item = finder->open_count && finder->open[finder->open_count - 1] + 1 == column;
    const char *spaces = spaces_wanted(finder, finder->open[top]);
    return found(
        finder, &finder->line, 0, column + 1, "this line is not aligned with the keys above it",
        item ? arena_format(finder->arena, "a dash, '- ', in front of an item, or %s", spaces)
             : spaces);
}

/* ---- dashes and keys ------------------------------------------------------------------------- */

/* Steps over the dashes of items. */
static bool take_dashes(struct finder *finder)
{
    const struct line *line = &finder->line;
    while (byte_of(line, finder->at) == '-') {
        uint32_t start = finder->at;
        while (byte_of(line, finder->at) == '-')
            finder->at++;
        if (finder->at - start == 3 && start == 0)
            return false; /* a second document, which YAML reports */
        if (finder->at - start > 1)
            return found(finder, line, start, finder->at - start, "a dash too many",
                         "one dash and a space in front of the item");
        if (byte_of(line, finder->at) != ' ' && byte_of(line, finder->at) != '\0')
            return found(finder, line, start, 1, "no space after the dash",
                         "a dash and a space in front of the item");
        while (byte_of(line, finder->at) == ' ')
            finder->at++;
        if (byte_of(line, finder->at) == '\0')
            finder->takes[finder->open_count - 1] = true;
        else
            open_column(finder, finder->at);
    }
    return false;
}

static bool is_prose(const char *key, uint32_t length)
{
    static const char *const keys[] = {"title",  "subtitle",  "text", "notes",
                                       "author", "copyright", "label"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (strlen(keys[i]) == length && memcmp(keys[i], key, length) == 0)
            return true;
    return false;
}

static const char *as_pair(struct finder *finder, uint32_t at, uint32_t length)
{
    return arena_format(finder->arena, "a colon and a space after it: '%.*s: ...'", (int)length,
                        finder->line.bytes + at);
}

/* A no-break space (U+00A0), which looks like a space and is a letter to YAML. */
static bool hard_space(const struct line *line, uint32_t at)
{
    return byte_of(line, at) == '\xC2' && byte_of(line, at + 1) == '\xA0';
}

/* The line has no colon with a space after it. */
static bool look_at_bare_line(struct finder *finder, bool item)
{
    const struct line *line = &finder->line;
    uint32_t at = finder->at, length = word_length(line, at);
    bool known = finder->is_key(line->bytes + at, length);
    char after = byte_of(line, at + length);
    struct line next = next_content(finder);
    uint32_t colon;
    bool alone =
        item && (indentation(&next) < at || !find_colon(&next, indentation(&next), &colon));
    if (after == ' ' && byte_of(line, at + length + 1) == ':')
        return found(finder, line, at + length, 2, "a space before the colon",
                     as_pair(finder, at, length));
    if (after == ':' && hard_space(line, at + length + 1))
        return found(finder, line, at + length + 1, 1, "a non-breaking space after the colon",
                     "an ordinary space");
    if (after == ':' && (known || !alone))
        return found(finder, line, at, length + 2, "no space after the colon",
                     as_pair(finder, at, length));
    if (alone && !known)
        return false;
    return length &&
           found(finder, line, at, length,
                 arena_format(finder->arena, "no colon after '%.*s'",
                              (int)(length < WORD_MAX ? length : WORD_MAX), line->bytes + at),
                 as_pair(finder, at, length));
}

/* Steps over the key and its colon. */
static void take_key(struct finder *finder, uint32_t colon)
{
    const struct line *line = &finder->line;
    finder->prose = is_prose(line->bytes + finder->at, colon - finder->at);
    finder->at = colon + 1;
    while (byte_of(line, finder->at) == ' ')
        finder->at++;
    finder->takes[finder->open_count - 1] =
        byte_of(line, finder->at) == '\0' || byte_of(line, finder->at) == '#';
}

/* ---- values ---------------------------------------------------------------------------------- */

/* The byte after the quote that closes a text, from `at` on; 0 if it stays open. */
static uint32_t quote_end(const struct line *line, uint32_t at, char quote)
{
    for (; at < line->length; at++) {
        if (quote == '"' && line->bytes[at] == '\\')
            at++;
        else if (line->bytes[at] == quote && quote == '\'' && byte_of(line, at + 1) == quote)
            at++;
        else if (line->bytes[at] == quote)
            return at + 1;
    }
    return 0;
}

/* A text in quotes that its line does not close: a slip if the next line starts something new. */
static bool leave_quote_open(struct finder *finder)
{
    const struct line *line = &finder->line;
    struct line next = next_content(finder);
    finder->quote = byte_of(line, finder->at);
    return (next.number == 0 || looks_new(finder, &next)) &&
           found(finder, line, finder->at, line->length - finder->at,
                 "a quote that is never closed",
                 arena_format(finder->arena, "%c, the closing quote, at the end of the text",
                              finder->quote));
}

static char closing(char bracket)
{
    return bracket == '{' ? '}' : ']';
}

static bool open_bracket(struct finder *finder)
{
    uint32_t top = finder->bracket_count - 1;
    char bracket = finder->brackets[top];
    return found(finder, &finder->bracket_lines[top], finder->bracket_columns[top], 1,
                 arena_format(finder->arena, "a bracket that is never closed: '%c'", bracket),
                 arena_format(finder->arena, "'%c' at the end of what it opens", closing(bracket)));
}

static bool close_bracket(struct finder *finder, char bracket)
{
    const struct line *line = &finder->line;
    if (finder->bracket_count == 0)
        return found(finder, line, finder->at, 1, "a bracket too many",
                     arena_format(finder->arena, "no '%c' here", bracket));
    if (closing(finder->brackets[finder->bracket_count - 1]) != bracket) {
        uint32_t count = finder->bracket_count;
        bool below = count > 1 && closing(finder->brackets[count - 2]) == bracket;
        if (below)
            return open_bracket(finder);
        return found(finder, line, finder->at, 1, "the wrong closing bracket",
                     arena_format(finder->arena, "'%c'",
                                  closing(finder->brackets[finder->bracket_count - 1])));
    }
    finder->bracket_count--;
    return false;
}

/* Whether a quote begins here rather than being an apostrophe inside a word. */
static bool quote_begins(const struct line *line, uint32_t at)
{
    char byte = byte_of(line, at);
    return (byte == '"' || byte == '\'') && (at == 0 || strchr(" {[,:", line->bytes[at - 1]));
}

/* Whether the lines below close all that is open. What they quote is taken as it stands. */
static bool closes_later(const struct finder *finder)
{
    uint32_t depth = finder->bracket_count;
    for (uint32_t i = finder->line.number + 1; i <= finder->source->line_starts.count; i++) {
        struct line line = line_at(finder->source, i);
        for (uint32_t at = 0; at < line.length && !begins_comment(&line, at); at++) {
            depth += line.bytes[at] == '{' || line.bytes[at] == '[';
            depth -= line.bytes[at] == '}' || line.bytes[at] == ']';
            if (depth == 0)
                return true;
        }
    }
    return false;
}

static bool stray_quote(struct finder *finder, uint32_t at)
{
    return found(finder, &finder->line, at, 1, "a quote too many, or one too few",
                 "one quote in front of the text and one behind it");
}

/* `{kick: 1, play {R: ride}}` */
static bool opens_behind_word(struct finder *finder)
{
    const struct line *line = &finder->line;
    uint32_t end = finder->at, start;
    while (end > 0 && line->bytes[end - 1] == ' ')
        end--;
    if (end == 0 || strchr("{[,:-", line->bytes[end - 1]))
        return false;
    for (start = end; start > 0 && !strchr(" ,{[", line->bytes[start - 1]);)
        start--;
    uint32_t length = end - start;
    return found(finder, line, start, length,
                 arena_format(finder->arena, "no colon after '%.*s'",
                              (int)(length < WORD_MAX ? length : WORD_MAX), line->bytes + start),
                 as_pair(finder, start, length));
}

/* `- {play: {R: ride}}, kick: 1}` and `- play: {R: ride}, kick: 1}` */
static bool closed_early(struct finder *finder)
{
    uint32_t last = finder->at - 1, first = indentation(&finder->line);
    while (strchr("- ", byte_of(&finder->line, first)))
        first++;
    bool braced = finder->line.bytes[first] == '{';
    return found(finder, &finder->line, last, 1,
                 braced ? "a closing bracket too many" : "a closing bracket with more behind it",
                 braced ? "no bracket here, or one more '{' in front"
                        : "one key to a line, or '{' in front of the first key and '}' at the end");
}

/* From inside a value in brackets to the end of the line. */
static bool look_in_brackets(struct finder *finder)
{
    const struct line *line = &finder->line;
    while (finder->bracket_count && finder->at < line->length) {
        char byte = line->bytes[finder->at];
        if (begins_comment(line, finder->at))
            break;
        if (quote_begins(line, finder->at)) {
            uint32_t end = quote_end(line, finder->at + 1, byte_of(line, finder->at));
            if (!end)
                return leave_quote_open(finder);
            if (!strchr(" ,:}]", byte_of(line, end)))
                return stray_quote(finder, end - 1);
            finder->at = end;
            continue;
        }
        if (byte == '"')
            return stray_quote(finder, finder->at);
        if ((byte == '{' || byte == '[') && opens_behind_word(finder))
            return true;
        if ((byte == '{' || byte == '[') && finder->bracket_count < BRACKETS_MAX) {
            finder->brackets[finder->bracket_count] = byte;
            finder->bracket_lines[finder->bracket_count] = *line;
            finder->bracket_columns[finder->bracket_count++] = finder->at;
        } else if ((byte == '}' || byte == ']') && close_bracket(finder, byte)) {
            return true;
        }
        finder->at++;
    }
    if (finder->bracket_count) {
        struct line next = next_content(finder);
        return (next.number == 0 || looks_new(finder, &next)) && !closes_later(finder) &&
               open_bracket(finder);
    }
    char rest = byte_of(line, finder->at);
    if (rest == ',')
        return closed_early(finder);
    if (ends_at(line, finder->at) || find_colon(line, finder->at, &(uint32_t){0}))
        return false;
    if (rest == '}' || rest == ']')
        return close_bracket(finder, rest);
    return found(finder, line, finder->at, line->length - finder->at,
                 "text after the closing bracket",
                 "nothing after the closing bracket, or quotes around the whole value");
}

static bool look_at_quoted(struct finder *finder)
{
    const struct line *line = &finder->line;
    uint32_t end = quote_end(line, finder->at + 1, byte_of(line, finder->at));
    if (!end)
        return leave_quote_open(finder);
    if (ends_at(line, end))
        return false;
    bool again = byte_of(line, end) == byte_of(line, finder->at);
    return found(finder, line, again ? end : finder->at, again ? 1 : line->length - finder->at,
                 again ? "a quote too many" : "text after the closing quote",
                 again ? "one quote at each end of the text"
                       : "one quote at each end of the text, none inside");
}

/* Whether the last sign of the line closes a bracket that nothing before it opens. */
static bool closes_what_is_not_open(const struct line *line, uint32_t at)
{
    char last = line->bytes[line->length - 1];
    int depth = 0;
    for (; at < line->length; at++) {
        depth += line->bytes[at] == (last == '}' ? '{' : '[');
        depth -= line->bytes[at] == last;
    }
    return (last == '}' || last == ']') && depth < 0;
}

/* Whether what stands in front of this colon is a key of a map: a key word, or counts. */
static bool is_pair(const struct finder *finder, uint32_t colon)
{
    const char *key = finder->line.bytes + finder->at;
    uint32_t length = colon - finder->at;
    return finder->is_key(key, length) || strspn(key, "0123456789 ") == length;
}

static const char *braces_wanted(struct finder *finder)
{
    uint32_t end = finder->line.length, at = finder->at;
    for (uint32_t i = at + 1; i < end; i++)
        if (begins_comment(&finder->line, i))
            end = i;
    while (finder->line.bytes[end - 1] == ' ')
        end--;
    return arena_format(finder->arena,
                        "braces around keys and their values, '{%.*s%s}'; or one "
                        "key to a line",
                        (int)(end - at < WORD_MAX ? end - at : WORD_MAX), finder->line.bytes + at,
                        end - at > WORD_MAX ? "..." : "");
}

static bool look_at_plain(struct finder *finder)
{
    const struct line *line = &finder->line;
    char first = byte_of(line, finder->at), second = byte_of(line, finder->at + 1);
    uint32_t colon, rest = line->length - finder->at;
    bool alone = second == ' ' || second == '\0';
    if (first == '?' && alone)
        return found(finder, line, finder->at, rest, "text that starts with '? ' needs quotes",
                     arena_format(finder->arena, "\"%.*s\"",
                                  (int)(rest < WORD_MAX ? rest : WORD_MAX),
                                  line->bytes + finder->at));
    if (first == '-' && alone)
        return found(finder, line, finder->at, 1, "a list cannot start on the line of its key",
                     "each '- ' at the start of a line of its own, or no dash");
    if (first == '}' || first == ']')
        return close_bracket(finder, first);
    if (closes_what_is_not_open(line, finder->at))
        return found(finder, line, finder->at, rest, "a bracket that is closed but never opened",
                     line->bytes[line->length - 1] == '}' ? "'{' at the start"
                                                          : "'[' at the start");
    bool curly = strncmp(line->bytes + finder->at, "\xE2\x80", 2) == 0;
    if (curly && find_colon(line, finder->at, &colon))
        return found(finder, line, finder->at, 1, "curly quotes do not hold text together",
                     "straight quotes (\") around text that contains ': '");
    if (find_colon(line, finder->at, &colon))
        return found(finder, line, colon, 1, "a second ': ' on one line",
                     !finder->prose && is_pair(finder, colon) ? braces_wanted(finder)
                     : finder->prose
                         ? "quotes around text that contains ': '"
                         : "one key to a line, or quotes around text that contains ': '");
    return false;
}

static bool look_at_value(struct finder *finder)
{
    char first = byte_of(&finder->line, finder->at);
    finder->plain = false;
    if (first == '|' || first == '>') {
        finder->block = finder->open[finder->open_count - 1] + 1;
        return false;
    }
    if (first == '{' || first == '[') {
        finder->brackets[0] = first;
        finder->bracket_lines[0] = finder->line;
        finder->bracket_columns[0] = finder->at++;
        finder->bracket_count = 1;
        return look_in_brackets(finder);
    }
    if (first == '"' || first == '\'')
        return look_at_quoted(finder);
    if (first == '\0' || first == '#')
        return false;
    finder->plain = true;
    return look_at_plain(finder);
}

/* ---- lines ----------------------------------------------------------------------------------- */

/* Whether the line goes on with the unquoted text above. */
static bool goes_on(const struct finder *finder, uint32_t indent)
{
    const struct line *line = &finder->line;
    uint32_t colon, top = finder->open_count;
    if (!finder->plain || top == 0 || indent <= finder->open[top - 1] || finder->takes[top - 1])
        return false;
    bool key = finder->is_key(line->bytes + indent, word_length(line, indent));
    return !find_colon(line, indent, &colon) && (finder->prose || !key);
}

/* Whether the colon belongs to a map that is opened before it: `play {R: ride}`. */
static bool bracket_before(const struct line *line, uint32_t at, uint32_t colon)
{
    return line->bytes[at] != '"' && line->bytes[at] != '\'' &&
           memchr(line->bytes + at, '{', colon - at);
}

static bool look_at_line(struct finder *finder)
{
    const struct line *line = &finder->line;
    uint32_t indent = indentation(line), colon = 0;
    finder->at = indent;
    if (finder->quote) {
        finder->at = quote_end(line, 0, finder->quote);
        if (finder->at == 0)
            return false;
        finder->quote = '\0';
        if (!finder->bracket_count)
            return false;
    }
    if (finder->bracket_count)
        return look_in_brackets(finder);
    if (!has_content(line) || (finder->block && indent >= finder->block))
        return false;
    finder->block = 0;
    if (goes_on(finder, indent))
        return false;
    if (hard_space(line, indent))
        return found(finder, line, indent, 1, "a non-breaking space at the start of a line",
                     "ordinary spaces");
    if (look_at_column(finder, indent) || take_dashes(finder))
        return true;
    bool item = finder->at > indent;
    char first = byte_of(line, finder->at);
    if (first == '\0')
        return false;
    bool flow = first == '{' || first == '[';
    bool keyed =
        !flow && find_colon(line, finder->at, &colon) && !bracket_before(line, finder->at, colon);
    if (!flow && !keyed && first != '"' && first != '\'' && look_at_bare_line(finder, item))
        return true;
    if (keyed)
        take_key(finder, colon);
    return look_at_value(finder);
}

bool yaml_slip_find(const struct source *source, uint32_t last_line, is_key_word *is_key,
                    struct arena *arena, struct yaml_slip *slip)
{
    struct finder finder = {.source = source, .arena = arena, .is_key = is_key, .slip = slip};
    for (uint32_t i = 1; i <= last_line && i <= source->line_starts.count; i++) {
        finder.line = line_at(source, i);
        if (look_at_line(&finder))
            return true;
    }
    return false;
}
