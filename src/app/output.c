#include "app/output.h"

#include "base/file.h"
#include "base/path.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

static bool is_standard(const char *path)
{
    return strcmp(path, "-") == 0;
}

static void add_stem(struct buffer *out, const char *path)
{
    buffer_add(out, path, (size_t)(path_ending(path) - path));
}

static enum status refuse_terminal(enum format format)
{
    if (format_rows[format].bytes == FORMAT_READABLE || !isatty(STDOUT_FILENO))
        return STATUS_GOOD;
    say_error("refusing to write a %s file to the terminal; use -o FILE",
              format_rows[format].title);
    return STATUS_USAGE;
}

/* The lesson's own name; with --handed, a different one, so neither sheet overwrites the other. */
static void add_lesson_stem(struct output *output, const struct options *options, unsigned command,
                            const char *lesson)
{
    add_stem(&output->stem, lesson);
    if (options->handed && command == FORMAT_BY_ENGRAVE)
        buffer_format(&output->stem, "-%s", handed_word((enum handed)options->handed));
}

/* The folder is named: the file's name comes from the lesson's own. */
static enum status choose_in_folder(struct output *output, const struct options *options,
                                    unsigned command)
{
    const char *folder = options->output, *lesson = options->operands[0];
    if (is_standard(lesson)) {
        say_error("'%s' is a folder; a lesson from standard input needs a file name: -o FILE",
                  folder);
        return STATUS_USAGE;
    }
    buffer_format(&output->stem, "%s/", folder);
    add_lesson_stem(output, options, command, path_name(lesson));
    return STATUS_GOOD;
}

static enum status say_unknown_type(const char *path, unsigned command)
{
    const char *ending = path_ending(path);
    struct buffer known = {0};
    format_list_endings(&known, command, ", ", " or ");
    if (path[strlen(path) - 1] == '/')
        say_error("there is no folder '%s'", path);
    else if (*ending)
        say_error("unknown file type '%s'; use %s", ending, buffer_text(&known));
    else
        say_error("'%s' has no file type; end it in %s", path, buffer_text(&known));
    buffer_release(&known);
    return STATUS_USAGE;
}

/* --as is stronger than the ending. */
static enum status choose_named(struct output *output, const char *path, bool by_ending,
                                unsigned command)
{
    output->ending = path_ending(path);
    if (by_ending)
        output->format = format_of_ending(output->ending, command);
    if (!output->format)
        return say_unknown_type(path, command);
    add_stem(&output->stem, path);
    return STATUS_GOOD;
}

enum status output_choose(struct output *output, const struct options *options, unsigned command,
                          enum format usual)
{
    const char *lesson = options->operands[0], *path = options->output;
    enum format format = options->as ? options->as : usual;
    *output = (struct output){.format = format, .ending = format_rows[format].ending};
    output->standard = is_standard(path ? path : lesson);
    if (output->standard)
        return refuse_terminal(format);
    if (path && path_is_folder(path))
        return choose_in_folder(output, options, command);
    if (path)
        return choose_named(output, path, !options->as, command);
    add_lesson_stem(output, options, command, lesson);
    return STATUS_GOOD;
}

bool output_spares_lesson(const char *path, const char *lesson)
{
    bool spared = is_standard(path) || !path_same_file(path, lesson);
    if (!spared)
        say_error("'%s' is the lesson itself; name another file with -o", path);
    return spared;
}

enum status output_say_unwritten(const char *path, const char *otherwise)
{
    const char *why = errno ? strerror(errno) : otherwise;
    if (is_standard(path))
        say_error("cannot write to standard output: %s", why);
    else
        say_error("cannot write '%s': %s", path, why);
    return STATUS_SYSTEM;
}

bool output_write(void *file, const void *bytes, size_t length)
{
    return file_output_write(file, bytes, length);
}

bool output_announced(const struct output *output, const struct options *options)
{
    return !output->standard && !options->quiet;
}
