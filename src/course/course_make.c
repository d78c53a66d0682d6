#include "course/course_make.h"

#include "console/report.h"
#include "course/product.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void course_staged_name(size_t lesson, size_t file, char name[STAGED_NAME_ROOM])
{
    snprintf(name, STAGED_NAME_ROOM, "%zu-%zu", lesson, file);
}

struct making {
    const struct course_work *work;
    const struct course_lesson *lesson;
    size_t number;
    struct course_made *made;
    struct pipeline pipeline;
};

/* ---- what is to be made ------------------------------------------------------------------- */

enum { WANTED_MAX = 16 };

struct wanted {
    const struct product *items[WANTED_MAX];
    size_t count, files;
};

static void want(const struct making *making, struct wanted *wanted, const struct product *product)
{
    for (size_t i = 0; i < wanted->count; i++)
        if (wanted->items[i] == product)
            return;
    if (wanted->count == WANTED_MAX)
        return;
    wanted->items[wanted->count++] = product;
    wanted->files += product_files(product, layout_page_count(making->pipeline.layout));
}

/* As its course file says, or a PDF where that names nothing that is made of a lesson; and the
   picture that an index shows. */
static struct wanted wanted_of(const struct making *making)
{
    const struct input *course = making->lesson->course;
    const struct course *keys = course ? course_of(course->context) : NULL;
    struct wanted wanted = {.count = 0};
    for (size_t i = 0; keys && i < keys->produce_count; i++) {
        const struct product *product = product_find(keys->produce[i].text);
        if (product)
            want(making, &wanted, product);
    }
    if (wanted.count == 0)
        want(making, &wanted, product_find("pdf"));
    if (making->work->options->index)
        want(making, &wanted, &product_picture);
    return wanted;
}

/* ---- making it ---------------------------------------------------------------------------- */

/* What could not be made is the lesson's fault, what could not be written the machine's. */
static enum status tell_unmade(struct making *making, const char *place, const char *problem)
{
    struct buffer *told = &making->made->told;
    const char *out = making->work->options->output;
    if (*problem) {
        add_error(told, "'%s/%s': cannot make '%s/%s': %s", making->work->tree->path,
                  making->lesson->name, out, place, problem);
        return STATUS_LESSON;
    }
    add_error(told, "cannot write '%s/%s': %s", out, place,
              errno ? strerror(errno) : "it could not be drawn");
    return STATUS_SYSTEM;
}

static enum status make_file(struct making *making, const struct product *product, uint32_t page,
                             struct course_output *output)
{
    char name[STAGED_NAME_ROOM];
    struct staged_file file;
    struct buffer problem = {0};
    course_staged_name(making->number, (size_t)(output - making->made->outputs), name);
    errno = 0;
    bool made = course_out_stage(making->work->out, name, &file);
    if (made) {
        bool drawn = product->make(&making->pipeline, page, staged_write, &file, &problem);
        made = staged_end(&file, &output->digest, &output->stamp) && drawn;
    }
    enum status status =
        made ? STATUS_GOOD : tell_unmade(making, output->place, buffer_text(&problem));
    buffer_release(&problem);
    return status;
}

static enum status make_product(struct making *making, const struct product *product)
{
    struct course_made *made = making->made;
    size_t files = product_files(product, layout_page_count(making->pipeline.layout));
    const char *stem =
        arena_copy_text(made->arena, making->lesson->name, course_stem_length(making->lesson));
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < files && status == STATUS_GOOD; i++) {
        struct course_output *output = &made->outputs[made->count++];
        output->place = product_name(product, stem, i, files, made->arena);
        status = make_file(making, product, (uint32_t)i + 1, output);
    }
    return status;
}

static void unstage_all(struct making *making)
{
    char name[STAGED_NAME_ROOM];
    for (size_t i = 0; i < making->made->count; i++) {
        course_staged_name(making->number, i, name);
        course_out_unstage(making->work->out, name);
    }
    making->made->count = 0;
}

static enum status make_files(struct making *making)
{
    struct course_made *made = making->made;
    struct wanted wanted = wanted_of(making);
    made->outputs = arena_array(made->arena, wanted.files, sizeof *made->outputs);
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < wanted.count && status == STATUS_GOOD; i++)
        status = make_product(making, wanted.items[i]);
    if (status != STATUS_GOOD)
        unstage_all(making);
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
    if (options->dpi)
        pipeline->dpi = options->dpi;
}

static enum status make_input(struct making *making, struct input *input, struct report *report)
{
    struct course_made *made = making->made;
    if (!input->source.bytes) {
        report_file(report, REPORTED_LESSON, input->source, input->diags);
        return STATUS_LESSON;
    }
    made->was_read = true;
    made->stamp = input->stamp;
    made->digest = digest_of(input->source.bytes, input->source.length);
    set_up(making, input);
    bool good = pipeline_run(&making->pipeline, STAGE_LAYOUT);
    report_file(report, REPORTED_LESSON, input->source, making->pipeline.diags);
    enum status status = good ? make_files(making) : STATUS_LESSON;
    pipeline_release(&making->pipeline);
    return status;
}

/* The findings come first, what could not be written after them. */
static void tell(struct course_made *made, const char *findings, size_t length)
{
    struct buffer told = {0};
    buffer_add(&told, findings, length);
    buffer_add(&told, buffer_text(&made->told), made->told.length);
    buffer_release(&made->told);
    made->told = told;
}

void course_make(const struct course_work *work, size_t number, struct course_made *made)
{
    struct making making = {
        .work = work, .lesson = &work->tree->lessons[number], .number = number, .made = made};
    *made = (struct course_made){.arena = arena_new()};
    char *findings = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&findings, &length);
    struct report *report = report_new(course_report_options(work->options));
    report_to(report, stream ? stream : stderr);
    struct buffer path = {0};
    struct input *input = input_read_plain(course_path(work->tree, making.lesson->name, &path));
    buffer_release(&path);
    input->course = making.lesson->course;
    made->status = make_input(&making, input, report);
    input_close(input);
    report_end(report, false);
    if (stream)
        fclose(stream);
    tell(made, findings, length);
    free(findings);
}

void course_made_release(struct course_made *made)
{
    buffer_release(&made->told);
    arena_free(made->arena);
    *made = (struct course_made){0};
}
