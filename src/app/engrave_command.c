/* `ratamark engrave`: from a lesson to sheets, whole or not at all. */
#include "app/commands.h"
#include "app/document_date.h"
#include "app/lesson_run.h"
#include "app/watch.h"
#include "base/file.h"
#include "console/input.h"
#include "console/terminal.h"

#include <errno.h>
#include <inttypes.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- formats ------------------------------------------------------------------------------ */

static const struct sheet_row {
    const char *ending;
    enum draw_format format;
    bool many_pages; /* one file holds them all */
    bool binary;     /* nothing for a terminal */
    bool words;      /* the reading: nothing is drawn */
} sheets[] = {
    [SHEET_PDF] = {"pdf", DRAW_PDF, true, true, false},
    [SHEET_SVG] = {"svg", DRAW_SVG, false, false, false},
    [SHEET_PNG] = {"png", DRAW_PNG, false, true, false},
    [SHEET_TEXT] = {"txt", DRAW_PDF, true, false, true},
};
enum { SHEET_ROWS = sizeof sheets / sizeof *sheets };

static bool is_standard(const char *path)
{
    return strcmp(path, "-") == 0;
}

/* Where the ending of a path's last part begins, its dot included; the end where it has none. */
static const char *find_ending(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    return dot && dot > name ? dot : path + strlen(path);
}

static const struct sheet_row *sheet_of_ending(const char *path)
{
    const char *ending = find_ending(path);
    for (int i = SHEET_PDF; *ending && i < SHEET_ROWS; i++) {
        if (strcasecmp(ending + 1, sheets[i].ending) == 0)
            return &sheets[i];
    }
    return NULL;
}

/* ---- where it goes ------------------------------------------------------------------------ */

struct sheet_output {
    const struct sheet_row *sheet;
    struct buffer stem; /* path without its ending */
    const char *ending; /* with its dot; "" for none */
    bool standard;      /* standard output */
    bool first_line;    /* of the music, alone */
};

static bool is_folder(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

static void add_name_of(struct buffer *out, const char *input, bool with_folder)
{
    const char *slash = with_folder ? NULL : strrchr(input, '/');
    const char *name = slash ? slash + 1 : input;
    buffer_add(out, name, (size_t)(find_ending(input) - name));
}

/* OUT is a folder: the name comes from the lesson's own. */
static enum status output_in_folder(struct sheet_output *output, const char *folder,
                                    const char *input)
{
    if (is_standard(input)) {
        say_error("'%s' is a folder: name a file in it for a lesson from standard input", folder);
        return STATUS_USAGE;
    }
    buffer_format(&output->stem, "%s/", folder);
    add_name_of(&output->stem, input, false);
    return STATUS_GOOD;
}

static enum status output_as_named(struct sheet_output *output, const char *path, bool said_as)
{
    const struct sheet_row *sheet = sheet_of_ending(path);
    if (!sheet && !said_as) {
        say_error("the ending of '%s' names no format: .pdf, .svg, .png or .txt, or say --as",
                  path);
        return STATUS_USAGE;
    }
    if (!said_as)
        output->sheet = sheet;
    output->ending = find_ending(path);
    buffer_add(&output->stem, path, (size_t)(output->ending - path));
    return STATUS_GOOD;
}

static enum status refuse_terminal(const struct sheet_output *output)
{
    if (!output->standard || !output->sheet->binary || !isatty(STDOUT_FILENO))
        return STATUS_GOOD;
    say_error("a %s is nothing for a terminal: name a file with -o", output->sheet->ending);
    return STATUS_USAGE;
}

static enum status choose_output(const struct options *options, const char *input,
                                 struct sheet_output *output)
{
    static const char *const endings[] = {
        [SHEET_PDF] = ".pdf", [SHEET_SVG] = ".svg", [SHEET_PNG] = ".png", [SHEET_TEXT] = ".txt"};
    int as = options->as ? options->as : SHEET_PDF;
    *output = (struct sheet_output){
        .sheet = &sheets[as], .ending = endings[as], .first_line = options->first_line};
    const char *path = options->output;
    if (!path && is_standard(input))
        path = "-";
    if (path && is_standard(path)) {
        output->standard = true;
        return refuse_terminal(output);
    }
    if (path && is_folder(path))
        return output_in_folder(output, path, input);
    if (path)
        return output_as_named(output, path, options->as);
    add_name_of(&output->stem, input, true);
    return STATUS_GOOD;
}

/* ---- writing ------------------------------------------------------------------------------ */

static bool write_output(void *closure, const void *bytes, size_t length)
{
    return file_output_write(closure, bytes, length);
}

static bool same_file(const char *a, const char *b)
{
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}

static void page_path(const struct sheet_output *output, uint32_t page, struct buffer *path)
{
    if (output->standard)
        buffer_add_text(path, "-");
    else if (page)
        buffer_format(path, "%s-%" PRIu32 "%s", buffer_text(&output->stem), page, output->ending);
    else
        buffer_format(path, "%s%s", buffer_text(&output->stem), output->ending);
}

static enum status say_unwritten(const char *path)
{
    int problem = errno;
    say_error("cannot write %s%s%s: %s", is_standard(path) ? "" : "'",
              is_standard(path) ? "to standard output" : path, is_standard(path) ? "" : "'",
              problem ? strerror(problem) : "the page could not be drawn");
    return STATUS_SYSTEM;
}

static bool write_words(struct pipeline *work, struct file_output *file)
{
    struct buffer words = {0};
    pipeline_say(work, &words);
    bool written = file_output_write(file, buffer_text(&words), words.length);
    buffer_release(&words);
    return written;
}

static bool fill_file(struct pipeline *work, const struct sheet_output *output, uint32_t page,
                      struct file_output *file)
{
    if (output->sheet->words)
        return write_words(work, file);
    if (output->first_line)
        return pipeline_draw_first_line(work, output->sheet->format, write_output, file);
    return pipeline_draw(work, output->sheet->format, page, write_output, file);
}

/* Fills one file and closes it; it does not appear yet. NULL, with an error said, on failure. */
static struct file_output *draw_file(struct pipeline *work, const struct sheet_output *output,
                                     uint32_t page, const char *path)
{
    errno = 0;
    struct file_output *file = file_output_open(path);
    if (!file) {
        say_unwritten(path);
        return NULL;
    }
    bool drawn = fill_file(work, output, page, file);
    bool written = file_output_finish(file);
    if (drawn && written)
        return file;
    if (written)
        errno = 0;
    say_unwritten(path);
    file_output_abandon(file);
    return NULL;
}

/* The files of one run, in the order of their pages. */
struct sheet_files {
    struct sheet_file {
        char *path;
        uint32_t page; /* 0: all */
        struct file_output *output;
    } * items;
    size_t count;
};

static struct sheet_files name_files(const struct sheet_output *output, uint32_t pages,
                                     struct arena *arena)
{
    bool one_file = output->sheet->many_pages || pages <= 1;
    struct sheet_files files = {.count = one_file ? 1 : pages};
    files.items = arena_array(arena, files.count, sizeof *files.items);
    for (size_t i = 0; i < files.count; i++) {
        struct buffer path = {0};
        page_path(output, one_file ? 0 : (uint32_t)i + 1, &path);
        files.items[i].path = arena_copy_text(arena, buffer_text(&path), path.length);
        files.items[i].page = output->sheet->many_pages ? 0 : (uint32_t)i + 1;
        buffer_release(&path);
    }
    return files;
}

static enum status files_allowed(const struct sheet_files *files, const struct sheet_output *output,
                                 const char *lesson)
{
    if (output->standard && files->count > 1) {
        say_error("the lesson has %zu pages, and a %s holds one: name a file with -o", files->count,
                  output->sheet->ending);
        return STATUS_USAGE;
    }
    for (size_t i = 0; i < files->count; i++) {
        if (!output->standard && same_file(files->items[i].path, lesson)) {
            say_error("'%s' is the lesson itself: name another file with -o", files->items[i].path);
            return STATUS_USAGE;
        }
    }
    return STATUS_GOOD;
}

static enum status draw_files(struct pipeline *work, struct sheet_files *files,
                              const struct sheet_output *output)
{
    for (size_t i = 0; i < files->count; i++) {
        struct sheet_file *file = &files->items[i];
        file->output = draw_file(work, output, file->page, file->path);
        if (!file->output)
            return STATUS_SYSTEM;
    }
    return STATUS_GOOD;
}

/* The files appear under their names, or go where the drawing of one of them failed. */
static enum status settle_files(struct sheet_files *files, enum status status, bool tell)
{
    for (size_t i = 0; i < files->count; i++) {
        struct sheet_file *file = &files->items[i];
        if (status != STATUS_GOOD)
            file_output_abandon(file->output);
        else if (!file_output_commit(file->output))
            status = say_unwritten(file->path);
        else if (tell)
            say("wrote '%s'", file->path);
    }
    return status;
}

/* All pages are complete before the first appears. */
static enum status write_sheets(struct pipeline *work, const struct sheet_output *output,
                                const struct options *options)
{
    bool one = output->sheet->many_pages || output->first_line;
    uint32_t pages = one ? 1 : layout_page_count(work->layout);
    struct sheet_files files = name_files(output, pages, work->arena);
    enum status status = files_allowed(&files, output, work->source.name);
    if (status != STATUS_GOOD)
        return status;
    bool tell = !output->standard && !options->quiet &&
                (options->verbose || options->watch || isatty(STDERR_FILENO));
    status = draw_files(work, &files, output);
    return settle_files(&files, status, tell);
}

static const char *label_text(void *faces, label_id label)
{
    return faces_label_text(faces, label);
}

static enum status dump_layout(struct pipeline *work)
{
    struct buffer out = {0};
    for (uint32_t page = 1; page <= layout_page_count(work->layout); page++)
        page_dump(layout_page(work->layout, page), label_text, work->faces, &out);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}

/* ---- one run ------------------------------------------------------------------------------ */

/* The lesson is without error by now: it is the music font that cannot be read, or used. */
static enum status why_no_layout(const struct diags *diags)
{
    for (size_t i = 0; i < diags_count(diags); i++) {
        if (diags_get(diags, i)->code == DIAG_UNREADABLE)
            return STATUS_SYSTEM;
    }
    return STATUS_USAGE;
}

static enum status lay_out_and_write(struct lesson_run *run, const void *closure)
{
    const struct sheet_output *output = closure;
    const struct options *options = run->options;
    struct pipeline *work = &run->work;
    char date_text[DOCUMENT_DATE_ROOM];
    if (!document_date(date_text, &work->date))
        return STATUS_USAGE;
    work->music_font = options->music_font;
    work->layout_options.exercises = options->exercises;
    if (options->dpi)
        work->dpi = options->dpi;
    bool words = output->sheet->words && options->dump != DUMP_LAYOUT;
    bool laid_out = words || pipeline_run(work, STAGE_LAYOUT);
    lesson_run_report(run);
    if (!laid_out)
        return why_no_layout(work->diags);
    return options->dump == DUMP_LAYOUT ? dump_layout(work) : write_sheets(work, output, options);
}

/* ---- at every save ------------------------------------------------------------------------ */

/* Whatever the sheet is made from, the course file that is not there yet included. */
static void watch_sources(struct watch *watch, const struct options *options)
{
    const char *lesson = options->operands[0];
    watch_file(watch, lesson);
    watch_courses(watch, lesson);
    if (options->music_font)
        watch_file(watch, options->music_font);
}

static enum status engrave_at_saves(const struct options *options,
                                    const struct sheet_output *output)
{
    if (!lesson_is_named(options))
        return STATUS_USAGE;
    if (is_standard(options->operands[0]) || output->standard || options->dump) {
        say_error("--watch goes from a file to a file%s",
                  options->dump ? ": it cannot --dump" : ": '-' is none");
        return STATUS_USAGE;
    }
    struct watch *watch = watch_new();
    bool watching = watch;
    while (watching) {
        watch_begin(watch);
        watch_sources(watch, options);
        terminal_clear(STDERR_FILENO);
        bool good = lesson_run(options, lay_out_and_write, output) == STATUS_GOOD;
        if (!options->quiet)
            say("watching '%s'%s; Ctrl-C ends", options->operands[0],
                good ? "" : ": what it was before stays");
        watching = watch_wait(watch);
    }
    say_error("cannot watch '%s': %s", options->operands[0], strerror(errno));
    watch_free(watch);
    return STATUS_SYSTEM;
}

/* ---- the command -------------------------------------------------------------------------- */

enum status engrave_command(const struct options *options)
{
    struct sheet_output output;
    enum status status = choose_output(options, options->operands[0], &output);
    if (status == STATUS_GOOD)
        status = options->watch ? engrave_at_saves(options, &output)
                                : lesson_run(options, lay_out_and_write, &output);
    buffer_release(&output.stem);
    return status;
}
