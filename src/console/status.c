#include "console/status.h"

#include "base/cells.h"
#include "base/file.h"
#include "diag/diag.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void add_line(struct buffer *out, const char *before, const char *format, va_list arguments)
{
    char fixed[4096];
    int length = vsnprintf(fixed, sizeof fixed, format, arguments);
    buffer_add_text(out, before);
    if (length > 0)
        cells_clean(out, fixed, strlen(fixed));
    buffer_add_text(out, "\n");
}

static void put_line(FILE *stream, const char *before, const char *format, va_list arguments)
{
    struct buffer line = {0};
    add_line(&line, before, format, arguments);
    fputs(buffer_text(&line), stream);
    buffer_release(&line);
}

static void say_line(const char *before, const char *format, va_list arguments)
{
    put_line(stderr, before, format, arguments);
}

void print_line(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    put_line(stdout, "", format, arguments);
    va_end(arguments);
}

void say_error(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say_line("ratamark: error: ", format, arguments);
    va_end(arguments);
}

void add_error(struct buffer *out, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_line(out, "ratamark: error: ", format, arguments);
    va_end(arguments);
}

void say(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say_line("ratamark: ", format, arguments);
    va_end(arguments);
}

void say_lines(const char *before, const char *lines)
{
    while (*lines) {
        size_t length = strcspn(lines, "\n");
        say("%s%.*s", before, (int)length, lines);
        lines += length + (lines[length] == '\n');
    }
}

void say_problem(const struct buffer *lines)
{
    const char *text = buffer_text(lines), *rest = strchr(text, '\n');
    if (*text)
        say_error("%.*s", (int)strcspn(text, "\n"), text);
    say_lines("", rest ? rest + 1 : "");
}

const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

void say_unknown(const char *what, const char *wrong, const char *const *names, size_t count,
                 const char *hint)
{
    const char *nearest = diag_nearest_name(wrong, names, count);
    if (nearest)
        say_error("there is no %s '%s'; did you mean '%s'?", what, wrong, nearest);
    else
        say_error("there is no %s '%s'; %s", what, wrong, hint);
}

enum status put_file(const char *path, const char *bytes, size_t length)
{
    struct file_output *output = file_output_open(path);
    if (output)
        file_output_write(output, bytes, length);
    if (output && file_output_commit(output))
        return STATUS_GOOD;
    if (strcmp(path, "-") == 0)
        say_error("cannot write to standard output: %s", strerror(errno));
    else
        say_error("cannot write '%s': %s", path, strerror(errno));
    return STATUS_SYSTEM;
}

enum status put_result(struct buffer *text)
{
    enum status status = put_file("-", buffer_text(text), text->length);
    buffer_release(text);
    return status;
}
