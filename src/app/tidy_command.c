/* `ratamark tidy`: writes lessons and course files in the house's own layout. */
#include "app/commands.h"
#include "base/path.h"
#include "console/input.h"
#include "console/report.h"
#include "lib/pipeline.h"
#include "model/score_same.h"
#include "read/tidy.h"

#include <errno.h>
#include <string.h>

struct tidier {
    const struct options *options;
    struct inputs *inputs;
    struct report *report;
    enum status status;
};

static void worsen(struct tidier *tidier, enum status status)
{
    tidier->status = status_worse(tidier->status, status);
}

/* ---- proof ---------------------------------------------------------------------------------- */

/* Builds the lesson's score; false if it has errors, which are then in the pipeline. */
static bool make_score(struct pipeline *work, struct read_source source, const struct input *input)
{
    pipeline_init(work, source);
    work->course = input->course ? input->course->context : NULL;
    work->leave_hands = true;
    return pipeline_run(work, STAGE_CHECK);
}

/* The file's name; for standard input, the one from --name. */
static const char *name_of(const struct tidier *tidier, const char *path)
{
    const char *name = tidier->options->name;
    return name && strcmp(path, "-") == 0 ? name : path;
}

/* Whether the lesson of this text has the same score. */
static bool keeps_score(const struct pipeline *before, const struct input *input,
                        struct read_source text)
{
    struct pipeline after;
    bool same = make_score(&after, text, input) && score_same(before->score, after.score) &&
                diags_count(before->diags) == diags_count(after.diags);
    pipeline_release(&after);
    return same;
}

/* ---- one file ------------------------------------------------------------------------------- */

/* Overwrites the file, or writes to the -o path. */
static void put_text(struct tidier *tidier, const char *path, const struct buffer *text)
{
    const struct options *options = tidier->options;
    const char *to = options->output ? options->output : path;
    enum status status = put_file(to, buffer_text(text), text->length);
    if (status == STATUS_GOOD && !options->quiet && strcmp(to, "-") != 0)
        say("wrote '%s'", to);
    worsen(tidier, status);
}

static void take_text(struct tidier *tidier, const char *path, struct read_source source,
                      const struct buffer *text)
{
    const struct options *options = tidier->options;
    bool tidy =
        text->length == source.length && memcmp(buffer_text(text), source.bytes, text->length) == 0;
    bool elsewhere = options->output || strcmp(path, "-") == 0;
    if (!options->check && (!tidy || elsewhere)) {
        put_text(tidier, path, text);
    } else if (options->check && !tidy) {
        if (!options->quiet)
            say("'%s' is not tidy", source.name);
        worsen(tidier, STATUS_LESSON);
    }
}

/* For a file without errors. `before`: its score; NULL for a course file. */
static void tidy_source(struct tidier *tidier, const char *path, const struct input *input,
                        const struct pipeline *before)
{
    struct buffer text = {0};
    struct read_source source = input->source;
    bool moved = read_tidy(source, !before, &text);
    struct read_source written = {source.name, buffer_text(&text), text.length};
    if (!moved) {
        say_error("'%s' is left as it is: it has something in it that cannot be moved, such as a "
                  "key that begins with '? '",
                  source.name);
        worsen(tidier, STATUS_LESSON);
    } else if (!read_same_data(source, written, !before) ||
               (before && !keeps_score(before, input, written))) {
        say_error("'%s' is left as it is: the tidy file would not mean the same", source.name);
        worsen(tidier, STATUS_LESSON);
    } else {
        take_text(tidier, path, source, &text);
    }
    buffer_release(&text);
}

static void report_errors(struct tidier *tidier, const struct input *input, struct diags *diags)
{
    report_file(tidier->report, REPORTED_LESSON, input->source, diags);
    say_error("'%s' is left as it is, because of its errors", input->source.name);
    worsen(tidier, STATUS_LESSON);
}

static void tidy_lesson(struct tidier *tidier, const char *path)
{
    struct input *input = input_open(tidier->inputs, path);
    worsen(tidier, input->status);
    struct pipeline work;
    if (!input->source.bytes)
        report_file(tidier->report, REPORTED_LESSON, input->source, input->diags);
    else {
        if (make_score(&work, input->source, input))
            tidy_source(tidier, path, input, &work);
        else
            report_errors(tidier, input, work.diags);
        pipeline_release(&work);
    }
    input_close(input);
}

static void tidy_course(struct tidier *tidier, const char *path)
{
    struct input *course = input_course(tidier->inputs, name_of(tidier, path));
    worsen(tidier, course->status);
    if (!course->source.bytes)
        report_file(tidier->report, REPORTED_COURSE, course->source, course->diags);
    else if (diags_errors(course->diags))
        report_errors(tidier, course, course->diags);
    else
        tidy_source(tidier, path, course, NULL);
}

static void tidy_file(struct tidier *tidier, const char *path)
{
    if (tidier->options->verbose)
        say("tidying '%s'", path);
    if (is_course_file(name_of(tidier, path)))
        tidy_course(tidier, path);
    else
        tidy_lesson(tidier, path);
}

static void tidy_folder(struct tidier *tidier, const char *folder)
{
    struct arena *arena = arena_new();
    const char *const *paths = NULL;
    size_t count = 0;
    if (!input_list(folder, arena, &paths, &count)) {
        say_error("cannot read the folder '%s': %s", folder, strerror(errno));
        worsen(tidier, STATUS_SYSTEM);
    } else if (!count) {
        say_error("no lessons (.yaml or .yml files) in '%s'", folder);
        worsen(tidier, STATUS_USAGE);
    }
    for (size_t i = 0; i < count; i++)
        tidy_file(tidier, paths[i]);
    arena_free(arena);
}

static bool options_fit(const struct options *options)
{
    if (options->output && options->check)
        say_error("--check writes nothing: leave out -o");
    else if (options->output && (options->operand_count > 1 || path_is_folder(*options->operands)))
        say_error("-o takes one file, not %s",
                  options->operand_count > 1 ? "several" : "a folder of them");
    else
        return true;
    return false;
}

enum status tidy_command(const struct options *options)
{
    if (!options_fit(options))
        return STATUS_USAGE;
    struct tidier tidier = {.options = options,
                            .inputs = inputs_new(),
                            .report = report_new(options_report(options, false))};
    inputs_name_standard(tidier.inputs, options->name);
    for (size_t i = 0; i < options->operand_count; i++) {
        const char *path = options->operands[i];
        if (path_is_folder(path))
            tidy_folder(&tidier, path);
        else
            tidy_file(&tidier, path);
    }
    enum status found = report_end(tidier.report, false);
    inputs_free(tidier.inputs);
    return status_worse(tidier.status, found);
}
