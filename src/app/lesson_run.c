#include "app/lesson_run.h"

#include "console/input.h"

#include <inttypes.h>

static enum status exercises_exist(const struct pipeline *work, const struct options *options)
{
    uint32_t most = 0;
    for (size_t i = 0; i < work->score->exercise_count; i++) {
        if (work->score->exercises[i].number > most)
            most = work->score->exercises[i].number;
    }
    for (size_t i = 0; i < options->exercises.count; i++) {
        if (options->exercises.numbers[i] > most) {
            say_error("there is no exercise %" PRIu32 "; the last one is %" PRIu32,
                      options->exercises.numbers[i], most);
            return STATUS_USAGE;
        }
    }
    return STATUS_GOOD;
}

bool lesson_level(const struct options *options, const struct course_context *course,
                  const struct limits **limits)
{
    *limits = options->level ? course_level(course, options->level) : NULL;
    if (options->level && !*limits)
        say_error("there is no level '%s'; use beginner, intermediate, advanced, or a level of the "
                  "course file",
                  options->level);
    return *limits || !options->level;
}

/* Reports the findings; warnings that the course file allows become notes. */
void lesson_run_report(struct lesson_run *run)
{
    if (run->work.course)
        diags_regrade(
            run->work.diags,
            (struct strictness){.allowed = course_of(run->work.course)->strictness.allowed});
    report_file(run->report, REPORTED_LESSON, run->work.source, run->work.diags);
}

/* A lesson is only used if its course files have no errors. */
static enum status input_usable(const struct input *input, struct report *report)
{
    const struct input *course = input->course;
    enum status status = STATUS_GOOD;
    for (; course; course = course->course) {
        report_file(report, REPORTED_COURSE, course->source, course->diags);
        if (diags_errors(course->diags))
            status = status_worse(status, status_worse(STATUS_LESSON, course->status));
    }
    if (!input->source.bytes) {
        report_file(report, REPORTED_LESSON, input->source, input->diags);
        status = status_worse(status, input->status);
    }
    return status;
}

static void say_files(const struct input *input, const struct options *options)
{
    if (!options->verbose)
        return;
    say("reading '%s' (%zu bytes)", input->source.name, input->source.length);
    for (const struct input *course = input->course; course; course = course->course)
        say("with course file '%s'", course->source.name);
}

static enum status run_stages(struct lesson_run *run, const struct input *input,
                              enum status (*act)(struct lesson_run *run, const void *closure),
                              const void *closure)
{
    pipeline_init(&run->work, input->source);
    run->work.course = input->course ? input->course->context : NULL;
    run->work.handed = (enum handed)run->options->handed;
    run->work.leave_hands = run->options->command == COMMAND_STICK;
    enum status status = STATUS_LESSON;
    if (pipeline_run(&run->work, STAGE_CHECK)) {
        status = exercises_exist(&run->work, run->options);
        if (status == STATUS_GOOD)
            status = act(run, closure);
    } else {
        lesson_run_report(run);
    }
    if (run->options->verbose)
        report_times(&run->work);
    pipeline_release(&run->work);
    return status;
}

bool lesson_is_named(const struct options *options)
{
    const char *path = options->operands[0];
    if (is_course_file(path))
        say_error("'%s' is a course file; give one of its lessons", path);
    return !is_course_file(path);
}

enum status lesson_run(const struct options *options,
                       enum status (*act)(struct lesson_run *run, const void *closure),
                       const void *closure)
{
    if (!lesson_is_named(options))
        return STATUS_USAGE;
    struct inputs *inputs = inputs_new();
    struct input *input = input_open(inputs, options->operands[0]);
    struct lesson_run run = {.options = options,
                             .report = report_new(options_report(options, false))};
    say_files(input, options);
    enum status status = input_usable(input, run.report);
    if (status == STATUS_GOOD)
        status = run_stages(&run, input, act, closure);
    report_end(run.report, false);
    input_close(input);
    inputs_free(inputs);
    return status;
}
