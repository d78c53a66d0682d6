/* `ratamark course`: a whole folder of lessons in one go. */
#include "app/commands.h"
#include "app/document_date.h"
#include "app/watch.h"
#include "console/terminal.h"
#include "course/course_run.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

/* ---- the command -------------------------------------------------------------------------- */

static enum status options_agree(const struct options *options)
{
    const struct course_options *course = &options->course;
    const char *problem = NULL;
    if (course->merge && (course->shard || course->only || course->force || course->dry_run))
        problem = "--merge goes with no --shard, --only, --force or --dry-run";
    else if (course->prune && (course->shard || course->only))
        problem = "--prune sees to the whole course: it goes with no --shard and no --only";
    else if (options->watch && (course->merge || course->dry_run))
        problem = "--watch makes a course: it goes with no --merge and no --dry-run";
    if (!problem)
        return STATUS_GOOD;
    say_error("%s", problem);
    return STATUS_USAGE;
}

static enum status run_once(const struct options *options)
{
    char date[DOCUMENT_DATE_ROOM];
    struct course_options course = options->course;
    course.folder = options->operands[0];
    course.output = options->output ? options->output : course.folder;
    course.music_font = options->music_font;
    course.dpi = options->dpi;
    course.quiet = options->quiet;
    course.verbose = options->verbose;
    course.color = (enum color)options->color;
    return document_date(date, &course.date) ? course_run(&course) : STATUS_USAGE;
}

/* ---- at every save ------------------------------------------------------------------------ */

/* A course file above the folder counts, too, and one that is not there yet. */
static void watch_sources(struct watch *watch, const struct options *options, struct arena *arena)
{
    const char *folder = options->operands[0];
    watch_tree(watch, folder, options->output);
    watch_courses(watch, arena_format(arena, "%s/", folder));
    if (options->music_font)
        watch_file(watch, options->music_font);
}

static enum status run_at_saves(const struct options *options)
{
    struct watch *watch = watch_new();
    struct arena *arena = arena_new();
    bool watching = watch;
    while (watching) {
        watch_begin(watch);
        watch_sources(watch, options, arena);
        arena_reset(arena);
        terminal_clear(STDERR_FILENO);
        run_once(options);
        if (!options->quiet)
            say("watching '%s'; Ctrl-C ends", options->operands[0]);
        watching = watch_wait(watch);
    }
    say_error("cannot watch '%s': %s", options->operands[0], strerror(errno));
    arena_free(arena);
    watch_free(watch);
    return STATUS_SYSTEM;
}

enum status course_command(const struct options *options)
{
    if (options_agree(options) != STATUS_GOOD)
        return STATUS_USAGE;
    return options->watch ? run_at_saves(options) : run_once(options);
}
