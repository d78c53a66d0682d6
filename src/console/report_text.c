/* Findings as text for people. */
#include "console/report_forms.h"

#include "base/cells.h"
#include "base/utf8.h"

#include <string.h>

enum { CONTEXT_CELLS = 96, CONTEXT_BEFORE = 64 };

static void add_clean(struct buffer *out, const char *text)
{
    cells_clean(out, text, strlen(text));
}

static const char *style(bool colors, const char *sequence)
{
    return colors ? sequence : "";
}

#define STYLE_PLAIN "\033[0m"
#define STYLE_BOLD "\033[1m"

static const char *severity_style(enum diag_severity severity)
{
    static const char *const styles[] = {
        [DIAG_SEVERITY_ERROR] = "\033[1;31m",
        [DIAG_SEVERITY_WARNING] = "\033[1;35m",
        [DIAG_SEVERITY_NOTE] = "\033[1;36m",
    };
    return styles[severity];
}

static void add_place(struct buffer *out, struct place place)
{
    add_clean(out, place.file ? place.file : "ratamark");
    if (place.line)
        buffer_format(out, ":%u:%u", place.line, place.column);
    buffer_add_text(out, ": ");
}

static void add_message(bool colors, struct place at, enum diag_severity severity,
                        const char *message, const char *code, struct buffer *out)
{
    buffer_add_text(out, style(colors, STYLE_BOLD));
    add_place(out, at);
    buffer_format(out, "%s%s:%s ", style(colors, severity_style(severity)),
                  diag_severity_word(severity), style(colors, STYLE_PLAIN));
    add_clean(out, message);
    if (code)
        buffer_format(out, " [%s]", code);
    buffer_add_text(out, "\n");
}

/* A line by its number from 1, without its end; bytes NULL if there is none. */
static struct read_source find_line(struct read_source source, uint32_t number)
{
    const char *at = source.bytes, *end = source.bytes + source.length;
    for (; number > 1 && at; number--) {
        at = memchr(at, '\n', (size_t)(end - at));
        at = at ? at + 1 : NULL;
    }
    if (!at)
        return (struct read_source){source.name, NULL, 0};
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    size_t length = (size_t)((stop ? stop : end) - at);
    if (length && at[length - 1] == '\r')
        length--;
    return (struct read_source){source.name, at, length};
}

/* The length in bytes of the first `characters` characters, or of the whole text if it is shorter.
 */
static size_t bytes_of(const char *text, size_t length, size_t characters)
{
    size_t at = 0;
    for (; at < length && characters; characters--) {
        uint32_t code_point;
        size_t bytes = utf8_decode(text + at, length - at, &code_point);
        at += bytes ? bytes : 1;
    }
    return at;
}

static void add_repeated(struct buffer *out, size_t count, char what)
{
    for (; count; count--)
        buffer_add(out, &what, 1);
}

/*
 * The line with a caret under the place. A long line is cut on both sides:
 *
 *     ...L R L R | R L Q R L L R...
 *                      ^
 */
static void add_context(bool colors, struct place at, struct read_source source, struct buffer *out)
{
    struct read_source line = find_line(source, at.line);
    if (!line.bytes || !at.column)
        return;
    size_t caret = bytes_of(line.bytes, line.length, at.column - 1);
    size_t skip = 0;
    if (at.column > CONTEXT_BEFORE)
        skip = bytes_of(line.bytes, line.length, at.column - CONTEXT_BEFORE);
    size_t shown = bytes_of(line.bytes + skip, line.length - skip, CONTEXT_CELLS);
    size_t marked = bytes_of(line.bytes + caret, line.length - caret, at.length);
    if (caret + marked > skip + shown)
        marked = skip + shown - caret;
    const char *dots = skip ? "..." : "";
    buffer_format(out, "    %s", dots);
    cells_clean(out, line.bytes + skip, shown);
    buffer_add_text(out, skip + shown < line.length ? "...\n    " : "\n    ");
    struct buffer before = {0}, under = {0};
    cells_clean(&before, line.bytes + skip, caret - skip);
    cells_clean(&under, line.bytes + caret, marked);
    add_repeated(out, strlen(dots) + cells_of_text(buffer_text(&before), before.length), ' ');
    buffer_format(out, "%s^", style(colors, severity_style(DIAG_SEVERITY_ERROR)));
    size_t cells = cells_of_text(buffer_text(&under), under.length);
    add_repeated(out, cells ? cells - 1 : 0, '~');
    buffer_format(out, "%s\n", style(colors, STYLE_PLAIN));
    buffer_release(&before);
    buffer_release(&under);
}

/* Help for the message: "found 'x'; expected a voice; did you mean 'snare'?". */
static void add_help(const struct diag *diag, struct buffer *out)
{
    const char *part = "";
    if (diag->found && !strstr(diag->message, diag->found)) {
        buffer_format(out, "found '%s'", diag->found);
        part = "; ";
    }
    if (diag->expected) {
        buffer_format(out, "%sexpected %s", part, diag->expected);
        part = "; ";
    }
    if (diag->nearest)
        buffer_format(out, "%sdid you mean '%s'?", part, diag->nearest);
}

void report_text_sentence(const struct diag *diag, struct buffer *out)
{
    buffer_add_text(out, diag->message);
    struct buffer help = {0};
    add_help(diag, &help);
    if (help.length)
        buffer_format(out, " (%s)", buffer_text(&help));
    buffer_release(&help);
}

void report_text_finding(struct read_source source, const struct diag *diag, bool colors,
                         struct buffer *out)
{
    add_message(colors, diag->at, diag->severity, diag->message, diag_word(diag->code), out);
    if (diag->at.line && diag->at.file && strcmp(diag->at.file, source.name) == 0)
        add_context(colors, diag->at, source, out);
    struct buffer help = {0};
    add_help(diag, &help);
    if (help.length) {
        buffer_add_text(out, "    help: ");
        add_clean(out, buffer_text(&help));
        buffer_add_text(out, "\n");
    }
    if (diag->other.file && diag->other_message)
        add_message(colors, diag->other, DIAG_SEVERITY_NOTE, diag->other_message, NULL, out);
    buffer_release(&help);
}
