/* `ratamark course`: prints every lesson in a folder. */
#include "app/commands.h"
#include "app/document_date.h"
#include "app/watch.h"
#include "course/course_run.h"

/* ---- one run ------------------------------------------------------------------------------ */

static enum status options_agree(const struct options *options)
{
    const struct course_options *course = &options->course;
    const char *problem = NULL;
    if (course->merge && (course->shard || course->only || course->force || course->dry_run))
        problem = "--merge does not go with --shard, --only, --force or --dry-run";
    else if (course->prune && (course->shard || course->only))
        problem = "--prune needs the whole course: it does not go with --shard or --only";
    else if (options->watch && (course->merge || course->dry_run))
        problem = "--watch does not go with --merge or --dry-run";
    if (!problem)
        return STATUS_GOOD;
    say_error("%s", problem);
    return STATUS_USAGE;
}

/* OUT, or with --handed a folder inside it, so right- and left-handed sheets can coexist. */
static void add_output(const struct options *options, struct buffer *out)
{
    buffer_add_text(out, options->output ? options->output : options->operands[0]);
    if (options->handed)
        buffer_format(out, "/%s", handed_word((enum handed)options->handed));
}

static enum status run_once(const struct options *options)
{
    char date[DOCUMENT_DATE_ROOM];
    struct buffer output = {0};
    struct course_options course = options->course;
    add_output(options, &output);
    course.folder = options->operands[0];
    course.output = buffer_text(&output);
    course.music_font = options->music_font;
    course.dpi = options->dpi;
    course.handed = options->handed;
    course.quiet = options->quiet;
    course.verbose = options->verbose;
    course.color = (enum color)options->color;
    enum status status = document_date(date, &course.date) ? course_run(&course) : STATUS_USAGE;
    buffer_release(&output);
    return status;
}

/* ---- at each save ------------------------------------------------------------------------- */

/* Also course files above the folder, and one that may still appear. */
static void watch_sources(struct watch *watch, const struct options *options)
{
    const char *folder = options->operands[0];
    struct buffer inside = {0};
    buffer_format(&inside, "%s/", folder);
    watch_tree(watch, folder, options->output);
    watch_courses(watch, buffer_text(&inside));
    if (options->music_font)
        watch_file(watch, options->music_font);
    buffer_release(&inside);
}

static const char *run_round(const struct options *options, const void *closure)
{
    (void)closure;
    run_once(options);
    return "";
}

enum status course_command(const struct options *options)
{
    if (options_agree(options) != STATUS_GOOD)
        return STATUS_USAGE;
    if (options->watch)
        return watch_run(options, watch_sources, run_round, NULL);
    return run_once(options);
}
