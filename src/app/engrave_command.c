/* `ratamark engrave`: lessons as sheets. Either all sheets of a lesson are written or none. */
#include "app/commands.h"
#include "app/document_date.h"
#include "app/lesson_run.h"
#include "app/output.h"
#include "app/watch.h"
#include "base/file.h"
#include "base/path.h"
#include "base/vector.h"
#include "console/input.h"
#include "lib/lesson_file.h"

#include <errno.h>
#include <string.h>

/* ---- writing ------------------------------------------------------------------------------ */

/* Where the sheets go, and whether only the first line of the music is drawn. */
struct sheet_output {
    struct output to;
    bool first_line;
};

static bool is_drawn(const struct sheet_output *output)
{
    return format_rows[output->to.format].from == FORMAT_FROM_PAGES;
}

static bool fill_file(struct pipeline *work, const struct sheet_output *output, uint32_t page,
                      struct file_output *file, struct buffer *problem)
{
    enum format format = output->to.format;
    if (output->first_line && is_drawn(output))
        return pipeline_draw_first_line(work, format, output_write, file);
    return lesson_file_write(work, format, page, output_write, file, problem);
}

/* Fills one file and closes it; it does not appear yet. NULL, with an error said, on failure. */
static struct file_output *make_file(struct pipeline *work, const struct sheet_output *output,
                                     uint32_t page, const char *path)
{
    errno = 0;
    struct buffer problem = {0};
    struct file_output *file = file_output_open(path);
    bool made = file && fill_file(work, output, page, file, &problem);
    bool written = file && file_output_finish(file);
    if (file && written)
        errno = 0;
    if (!made || !written)
        output_say_unwritten(path, problem.length ? buffer_text(&problem)
                                                  : "the page could not be drawn");
    if (file && (!made || !written)) {
        file_output_abandon(file);
        file = NULL;
    }
    buffer_release(&problem);
    return file;
}

/* The files of one run, in page order. */
struct sheet_files {
    struct sheet_file {
        char *path;
        struct file_output *output;
    } * items;
    size_t count;
};

static char *page_path(const struct output *to, size_t page, bool only, struct arena *arena)
{
    if (to->standard)
        return arena_copy_text(arena, "-", 1);
    const char *stem = buffer_text(&to->stem);
    return only ? arena_format(arena, "%s%s", stem, to->ending)
                : arena_format(arena, "%s-%zu%s", stem, page, to->ending);
}

static struct sheet_files name_files(const struct output *to, size_t count, struct arena *arena)
{
    struct sheet_files files = {.count = count};
    files.items = arena_array(arena, count, sizeof *files.items);
    for (size_t i = 0; i < count; i++)
        files.items[i].path = page_path(to, i + 1, count == 1, arena);
    return files;
}

static enum status files_allowed(const struct sheet_files *files, const struct output *to,
                                 const char *lesson)
{
    if (to->standard && files->count > 1) {
        say_error("the lesson has %zu pages, but %s %s file holds one; use -o FILE", files->count,
                  to->format == FORMAT_SVG ? "an" : "a", format_rows[to->format].title);
        return STATUS_USAGE;
    }
    for (size_t i = 0; i < files->count; i++)
        if (!output_spares_lesson(files->items[i].path, lesson))
            return STATUS_USAGE;
    return STATUS_GOOD;
}

static enum status make_files(struct pipeline *work, struct sheet_files *files,
                              const struct sheet_output *output)
{
    for (size_t i = 0; i < files->count; i++) {
        struct sheet_file *file = &files->items[i];
        file->output = make_file(work, output, (uint32_t)i + 1, file->path);
        if (!file->output)
            return STATUS_SYSTEM;
    }
    return STATUS_GOOD;
}

/* Gives the files their names, or removes them if one of them could not be made. */
static enum status settle_files(struct sheet_files *files, enum status status, bool announced)
{
    for (size_t i = 0; i < files->count; i++) {
        struct sheet_file *file = &files->items[i];
        if (status != STATUS_GOOD)
            file_output_abandon(file->output);
        else if (!file_output_commit(file->output))
            status = output_say_unwritten(file->path, "the disk refused it");
        else if (announced)
            say("wrote '%s'", file->path);
    }
    return status;
}

/* All pages are complete before the first appears; drawing them may bring findings of its own. */
static enum status write_sheets(struct lesson_run *run, const struct sheet_output *output)
{
    struct pipeline *work = &run->work;
    size_t pages = output->first_line || !is_drawn(output) ? 1 : layout_page_count(work->layout);
    struct sheet_files files =
        name_files(&output->to, format_file_count(output->to.format, pages), work->arena);
    enum status status = files_allowed(&files, &output->to, work->source.name);
    if (status == STATUS_GOOD)
        status = make_files(work, &files, output);
    lesson_run_report(run);
    return settle_files(&files, status, output_announced(&output->to, run->options));
}

static enum status dump_layout(struct pipeline *work)
{
    struct buffer out = {0};
    for (uint32_t page = 1; page <= layout_page_count(work->layout); page++)
        page_dump(layout_page(work->layout, page), faces_label_text, work->faces, &out);
    return put_result(&out);
}

/* ---- one run ------------------------------------------------------------------------------ */

/* The lesson has no error at this point: the music font could not be read or used. */
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
    bool needs_pages = is_drawn(output) || options->dump == DUMP_LAYOUT;
    bool laid_out = !needs_pages || pipeline_run(work, STAGE_LAYOUT);
    if (laid_out && options->dump != DUMP_LAYOUT)
        return write_sheets(run, output);
    lesson_run_report(run);
    return laid_out ? dump_layout(work) : why_no_layout(work->diags);
}

/* ---- at each save ------------------------------------------------------------------------- */

/* All that the sheets are made from; a course file may still appear. */
static void watch_sources(struct watch *watch, const struct options *options)
{
    for (size_t i = 0; i < options->operand_count; i++) {
        watch_file(watch, options->operands[i]);
        watch_courses(watch, options->operands[i]);
    }
    if (options->music_font)
        watch_file(watch, options->music_font);
}

/* ---- the command -------------------------------------------------------------------------- */

/* One lesson of the command line with its output. */
struct sheet_job {
    struct options options; /* with this lesson as its only operand */
    struct sheet_output output;
};

struct sheet_jobs {
    struct sheet_job *items;
    size_t count, room;
};

static enum status engrave_all(const struct sheet_jobs *jobs)
{
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < jobs->count; i++) {
        const struct sheet_job *job = &jobs->items[i];
        status = status_worse(status, lesson_run(&job->options, lay_out_and_write, &job->output));
    }
    return status;
}

static const char *engrave_once(const struct options *options, const void *jobs)
{
    if (engrave_all(jobs) == STATUS_GOOD)
        return "";
    return options->operand_count == 1 ? "; the sheet is unchanged"
                                       : "; a lesson with errors keeps its sheet";
}

static enum status engrave_at_each_save(const struct options *options,
                                        const struct sheet_jobs *jobs)
{
    for (size_t i = 0; i < jobs->count; i++) {
        const struct sheet_job *job = &jobs->items[i];
        if (!lesson_is_named(&job->options))
            return STATUS_USAGE;
        if (options->dump || job->output.to.standard ||
            strcmp(job->options.operands[0], "-") == 0) {
            say_error(options->dump ? "--watch and --dump do not go together"
                                    : "--watch needs files to read and to write, not '-'");
            return STATUS_USAGE;
        }
    }
    return watch_run(options, watch_sources, engrave_once, jobs);
}

/* Several lessons need several files. */
static enum status lessons_go_apart(const struct options *options)
{
    const char *path = options->output;
    if (options->operand_count == 1 || options->dump || (path && path_is_folder(path)))
        return STATUS_GOOD;
    if (path)
        say_error("several lessons cannot all be written to '%s'; give a folder that exists", path);
    return path ? STATUS_USAGE : STATUS_GOOD;
}

static enum status outputs_differ(const struct sheet_jobs *jobs)
{
    for (size_t i = 1; i < jobs->count; i++)
        for (size_t j = 0; j < i; j++) {
            const struct sheet_job *job = &jobs->items[i], *other = &jobs->items[j];
            const char *stem = buffer_text(&job->output.to.stem);
            if (job->output.to.standard || other->output.to.standard ||
                strcmp(stem, buffer_text(&other->output.to.stem)) != 0)
                continue;
            say_error("'%s' and '%s' would both be written to '%s%s'", other->options.operands[0],
                      job->options.operands[0], stem, job->output.to.ending);
            return STATUS_USAGE;
        }
    return STATUS_GOOD;
}

static enum status choose_outputs(const struct options *options, struct sheet_jobs *jobs)
{
    enum status status = lessons_go_apart(options);
    for (size_t i = 0; i < options->operand_count && status == STATUS_GOOD; i++) {
        struct sheet_job *job = items_push(jobs->items, jobs->count, jobs->room, NULL);
        job->options = *options;
        job->options.operands = &options->operands[i];
        job->options.operand_count = 1;
        job->output.first_line = options->first_line;
        status = output_choose(&job->output.to, &job->options, FORMAT_BY_ENGRAVE, FORMAT_PDF);
    }
    return status == STATUS_GOOD ? outputs_differ(jobs) : status;
}

enum status engrave_command(const struct options *options)
{
    struct sheet_jobs jobs = {0};
    enum status status = choose_outputs(options, &jobs);
    if (status == STATUS_GOOD)
        status = options->watch ? engrave_at_each_save(options, &jobs) : engrave_all(&jobs);
    for (size_t i = 0; i < jobs.count; i++)
        buffer_release(&jobs.items[i].output.to.stem);
    memory_free(jobs.items);
    return status;
}
