#include "course/lesson_make.h"

#include "console/report.h"
#include "lib/lesson_file.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void staged_name(size_t lesson, size_t file, char name[STAGED_NAME_ROOM])
{
    snprintf(name, STAGED_NAME_ROOM, "%zu-%zu", lesson, file);
}

enum status course_say_unwritten(const struct course_work *work, const char *path, int problem)
{
    const char *why = problem == ELOOP || problem == ENOTDIR
                          ? "part of its path is a link or not a folder"
                      : problem ? strerror(problem)
                                : "it could not be drawn";
    say_error("cannot write '%s/%s': %s", work->options->output, path, why);
    return STATUS_SYSTEM;
}

struct faces *course_open_faces(const struct course_work *work)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct report *report = report_new(course_report_options(work->options));
    /* each lesson then sets the staff space that it needs */
    struct faces_options wanted = {.music_font = work->options->music_font, .space_mm = 1.75};
    struct faces *faces = faces_open(&wanted, diags);
    report_file(report, REPORTED_LESSON, (struct read_source){.name = work->tree->path}, diags);
    report_end(report, false);
    arena_free(arena);
    return faces;
}

struct making {
    const struct course_work *work;
    const struct course_lesson *lesson;
    size_t number;
    struct made_lesson *made;
    struct pipeline pipeline;
};

/* ---- formats ------------------------------------------------------------------------------ */

/* Formats, each at most once. */
struct wanted {
    enum format items[FORMAT_COUNT];
    size_t count, files;
};

static void want(const struct making *making, struct wanted *wanted, enum format format)
{
    for (size_t i = 0; i < wanted->count; i++)
        if (wanted->items[i] == format)
            return;
    wanted->items[wanted->count++] = format;
    wanted->files += format_file_count(format, layout_page_count(making->pipeline.layout));
}

/* The formats that the course file lists for lessons, or PDF if it lists none. An index also needs
   a picture of each lesson. */
static struct wanted wanted_of(const struct making *making)
{
    const struct course *keys = input_course_keys(making->lesson->course);
    struct wanted wanted = {.count = 0};
    for (size_t i = 0; i < keys->produce_count; i++)
        if (format_rows[keys->produce[i]].from != FORMAT_FROM_COURSE)
            want(making, &wanted, keys->produce[i]);
    if (wanted.count == 0)
        want(making, &wanted, FORMAT_PDF);
    if (making->work->options->wide[FORMAT_INDEX])
        want(making, &wanted, FORMAT_PICTURE);
    return wanted;
}

/* ---- files -------------------------------------------------------------------------------- */

/* A file that cannot be made is a problem of the lesson, one that cannot be written of the machine.
 */
static enum status add_failure(struct making *making, const char *path, const char *problem)
{
    struct buffer *messages = &making->made->messages;
    const char *out = making->work->options->output;
    if (*problem) {
        add_error(messages, "'%s/%s': cannot make '%s/%s': %s", making->work->tree->path,
                  making->lesson->name, out, path, problem);
        return STATUS_LESSON;
    }
    add_error(messages, "cannot write '%s/%s': %s", out, path,
              errno ? strerror(errno) : "it could not be drawn");
    return STATUS_SYSTEM;
}

static enum status make_file(struct making *making, enum format format, uint32_t page,
                             struct made_file *output)
{
    char name[STAGED_NAME_ROOM];
    struct staged_file file;
    struct buffer problem = {0};
    staged_name(making->number, (size_t)(output - making->made->outputs), name);
    errno = 0;
    bool made = course_out_stage(making->work->out, name, &file);
    if (made) {
        bool drawn =
            lesson_file_write(&making->pipeline, format, page, staged_write, &file, &problem);
        made = staged_end(&file, &output->digest, &output->stamp) && drawn;
    }
    enum status status =
        made ? STATUS_GOOD : add_failure(making, output->path, buffer_text(&problem));
    buffer_release(&problem);
    return status;
}

static enum status make_format(struct making *making, enum format format)
{
    struct made_lesson *made = making->made;
    size_t files = format_file_count(format, layout_page_count(making->pipeline.layout));
    const char *stem =
        arena_copy_text(made->arena, making->lesson->name, course_lesson_stem(making->lesson));
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < files && status == STATUS_GOOD; i++) {
        struct made_file *output = &made->outputs[made->count++];
        output->path = format_file_name(format, stem, i, files, made->arena);
        status = make_file(making, format, (uint32_t)i + 1, output);
    }
    return status;
}

void made_lesson_unstage(const struct course_work *work, size_t number,
                         const struct made_lesson *made)
{
    char name[STAGED_NAME_ROOM];
    for (size_t i = 0; i < made->count; i++) {
        staged_name(number, i, name);
        course_out_unstage(work->out, name);
    }
}

static enum status make_files(struct making *making)
{
    struct made_lesson *made = making->made;
    struct wanted wanted = wanted_of(making);
    made->outputs = arena_array(made->arena, wanted.files, sizeof *made->outputs);
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < wanted.count && status == STATUS_GOOD; i++)
        status = make_format(making, wanted.items[i]);
    if (status != STATUS_GOOD) {
        made_lesson_unstage(making->work, making->number, made);
        made->count = 0;
    }
    return status;
}

static void set_up(struct making *making, const struct input *input)
{
    struct pipeline *pipeline = &making->pipeline;
    const struct course_options *options = making->work->options;
    pipeline_init(pipeline, input->source);
    pipeline->course = input->course ? input->course->context : NULL;
    pipeline->lent_faces = making->work->faces;
    pipeline->date = making->work->date;
    pipeline->handed = (enum handed)options->handed;
    if (options->dpi)
        pipeline->dpi = options->dpi;
}

static enum status make_input(struct making *making, struct input *input, struct report *report)
{
    struct made_lesson *made = making->made;
    if (!input->source.bytes) {
        report_file(report, REPORTED_LESSON, input->source, input->diags);
        return STATUS_LESSON;
    }
    made->was_read = true;
    made->stamp = input->stamp;
    made->digest = digest_of(input->source.bytes, input->source.length);
    set_up(making, input);
    bool good = pipeline_run(&making->pipeline, STAGE_LAYOUT);
    enum status status = good ? make_files(making) : STATUS_LESSON;
    diags_regrade(
        making->pipeline.diags,
        (struct strictness){.allowed = input_course_keys(input->course)->strictness.allowed});
    report_file(report, REPORTED_LESSON, input->source, making->pipeline.diags);
    pipeline_release(&making->pipeline);
    return status;
}

/* Puts the findings in front of what could not be written. */
static void add_findings(struct made_lesson *made, const char *findings, size_t length)
{
    struct buffer messages = {0};
    buffer_add(&messages, findings, length);
    buffer_add(&messages, buffer_text(&made->messages), made->messages.length);
    buffer_release(&made->messages);
    made->messages = messages;
}

void lesson_make(const struct course_work *work, size_t number, struct made_lesson *made)
{
    struct making making = {
        .work = work, .lesson = &work->tree->lessons[number], .number = number, .made = made};
    *made = (struct made_lesson){.arena = arena_new()};
    char *findings = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&findings, &length);
    struct report *report = report_new(course_report_options(work->options));
    report_to(report, stream ? stream : stderr);
    struct buffer path = {0};
    struct input *input =
        input_read_plain(course_tree_path(work->tree, making.lesson->name, &path));
    buffer_release(&path);
    input->course = making.lesson->course;
    made->status = make_input(&making, input, report);
    input_close(input);
    report_end(report, false);
    if (stream)
        fclose(stream);
    add_findings(made, findings, length);
    free(findings);
}

void made_lesson_release(struct made_lesson *made)
{
    buffer_release(&made->messages);
    arena_free(made->arena);
    *made = (struct made_lesson){0};
}
