#include "course/course_run.h"

#include "console/report.h"
#include "course/course_build.h"
#include "course/course_wide.h"
#include "course/name_twins.h"
#include "course/stale_outputs.h"
#include "lib/sound.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

enum { SECONDS_USUAL = 60, MEBIBYTES_USUAL = 1024 };

struct course_run {
    const struct course_options *options;
    struct course_tree tree;
    struct course_work work;
    struct course_share share;
    struct course_record *record;
    struct course_plan plan;
    struct course_result result;
    enum status status;
};

static void worsen(struct course_run *run, enum status status)
{
    run->status = status_worse(run->status, status);
}

/* ---- the tree ----------------------------------------------------------------------------- */

/* Reports each course file once, then the folders that could not be read. */
static void report_tree(struct course_run *run)
{
    struct course_tree *tree = &run->tree;
    struct report *report = report_new(course_report_options(run->options));
    for (size_t i = 0; i < tree->course_count; i++) {
        struct input *course = tree->courses[i];
        report_file(report, REPORTED_COURSE, course->source, course->diags);
    }
    worsen(run, report_end(report, false));
    for (size_t i = 0; i < tree->aside_count; i++) {
        const struct course_aside *aside = &tree->aside[i];
        if (aside->problem) {
            say_error("cannot read the folder '%s': %s", aside->path, strerror(aside->problem));
            worsen(run, STATUS_SYSTEM);
        } else if (!run->options->quiet) {
            say("skipping '%s': it is a link to a folder", aside->path);
        }
    }
}

/* ---- the plan ----------------------------------------------------------------------------- */

/* A lesson's outputs appear together: if its audio cannot be made, the whole lesson fails. */
static void fail_audio(struct course_run *run)
{
    size_t count = course_plan_audio(&run->plan, &run->tree, false);
    if (count == 0)
        return;
    struct buffer problem = {0};
    bool ready = sound_ready(&(struct sound_settings){0}, &problem);
    say_problem(&problem);
    buffer_release(&problem);
    if (ready)
        return;
    say("MIDI files ('mid' in 'produce') work without any of this");
    course_plan_audio(&run->plan, &run->tree, true);
    say("%zu lesson%s for audio and cannot be made; their older files stay", count,
        count == 1 ? " asks" : "s ask");
    worsen(run, STATUS_SYSTEM);
}

static enum status say_unread(const struct course_run *run)
{
    say_error("cannot read the record in '%s': %s", run->options->output, strerror(errno));
    return STATUS_SYSTEM;
}

/* Compares the lessons with the record, unless it belongs to another course. */
static enum status plan(struct course_run *run)
{
    course_plan_make(&run->plan, &run->work, run->record, run->share);
    if (!run->work.out || !course_plan_is_other(&run->work, &run->plan, run->record))
        return STATUS_GOOD;
    struct recorded_course course = course_record_course(run->record);
    say_error("'%s' holds another course%s%s%s, made from '%s', seen from there",
              run->options->output, *course.title ? ", '" : "", course.title,
              *course.title ? "'" : "", course.from);
    say("write this one to another folder, or say --replace to put it in that one's place");
    return STATUS_USAGE;
}

static enum status make_plan(struct course_run *run)
{
    run->record =
        course_record_load(run->work.out ? course_out_own(run->work.out) : -1, run->share);
    if (!run->record)
        return say_unread(run);
    enum status status = plan(run);
    if (status == STATUS_GOOD)
        fail_audio(run);
    return status;
}

/* ---- making ------------------------------------------------------------------------------- */

static enum status build(struct course_run *run)
{
    const struct course_options *options = run->options;
    struct pool_limits limits = {
        .jobs = options->jobs ? options->jobs : course_pool_processors(),
        .seconds = options->time_limit ? options->time_limit : SECONDS_USUAL,
        .mebibytes = options->memory_limit ? options->memory_limit : MEBIBYTES_USUAL};
    enum status status = course_out_begin(run->work.out);
    if (status != STATUS_GOOD)
        return status;
    run->work.faces = course_open_faces(&run->work);
    if (!run->work.faces)
        return STATUS_SYSTEM;
    run->result = course_build(&run->work, &run->plan, run->record, limits);
    worsen(run, run->result.status);
    faces_close(run->work.faces);
    return STATUS_GOOD;
}

/* A share's record does not repeat the entries of the course's record, but keeps its own, even of
   lessons that are gone. */
static bool keep_of_share(void *closure, const struct recorded *entry)
{
    (void)closure;
    return entry->asked || entry->own;
}

static void save(struct course_run *run)
{
    bool shared = run->share.count > 1;
    if (!course_record_changed(run->record) ||
        course_record_save(run->record, shared ? keep_of_share : NULL, NULL))
        return;
    say_error("cannot write the record in '%s': %s", run->options->output, strerror(errno));
    worsen(run, STATUS_SYSTEM);
}

static void sum_up(const struct course_run *run)
{
    const struct course_plan *plan = &run->plan;
    if (run->options->quiet)
        return;
    if (run->result.interrupted)
        fprintf(stderr, "interrupted: %zu of %zu lesson%s built; run it again to continue\n",
                run->result.built, plan->build, plural(plan->build));
    else
        fprintf(stderr, "%zu lesson%s: %zu built, %zu up to date, %zu failed\n", plan->asked,
                plural(plan->asked), run->result.built, plan->fresh,
                plan->blocked + run->result.failed);
}

static bool is_whole(const struct course_run *run)
{
    return run->share.count == 1 && !run->options->only;
}

static enum status make_course(struct course_run *run)
{
    enum status status = course_out_open(run->options->output, run->share, &run->work.out);
    if (status != STATUS_GOOD)
        return status;
    status = make_plan(run);
    if (status == STATUS_GOOD && run->plan.build)
        status = build(run);
    if (status != STATUS_GOOD)
        return status;
    if (!run->result.interrupted) {
        if (is_whole(run))
            worsen(run, course_wide_make(&run->work, &run->plan, run->record,
                                         run->plan.blocked + run->result.failed));
        worsen(run, stale_outputs_handle(&run->work, run->record, is_whole(run)));
        save(run);
    }
    sum_up(run);
    return STATUS_GOOD;
}

/* ---- other ways to run -------------------------------------------------------------------- */

static enum status list_plan(struct course_run *run)
{
    run->work.out = course_out_look_at(run->options->output);
    enum status status = make_plan(run);
    if (status != STATUS_GOOD)
        return status;
    for (size_t i = 0; i < run->tree.count; i++)
        if (run->plan.states[i] == PLAN_BUILD)
            print_line("would make '%s'", run->tree.lessons[i].name);
    if (is_whole(run))
        course_wide_list(&run->work, &run->plan, run->record, run->plan.build + run->plan.blocked);
    stale_outputs_handle(&run->work, run->record, is_whole(run));
    if (!run->options->quiet)
        fprintf(stderr, "%zu lesson%s: %zu to be made, %zu up to date\n", run->plan.asked,
                plural(run->plan.asked), run->plan.build, run->plan.fresh);
    return fflush(stdout) == 0 ? STATUS_GOOD : STATUS_SYSTEM;
}

/* Of two entries for a lesson, the one whose files exist. */
static bool is_better(void *closure, const struct recorded *old, const struct recorded *new)
{
    struct course_run *run = closure;
    (void)old;
    for (size_t i = 0; i < new->count; i++)
        if (!course_plan_in_place(run->work.out, &new->outputs[i]))
            return false;
    return true;
}

static enum status merge(struct course_run *run)
{
    enum status status = course_out_open(run->options->output, run->share, &run->work.out);
    if (status != STATUS_GOOD)
        return status;
    run->record = course_record_load(course_out_own(run->work.out), run->share);
    size_t shares;
    if (!run->record || !course_record_merge(run->record, is_better, run, &shares))
        return say_unread(run);
    status = plan(run);
    if (status != STATUS_GOOD)
        return status;
    for (size_t i = 0; i < run->tree.count; i++)
        if (run->plan.states[i] == PLAN_BUILD)
            say_error("'%s/%s' is missing or out of date", run->tree.path,
                      run->tree.lessons[i].name);
    if (run->plan.build)
        worsen(run, STATUS_LESSON);
    worsen(run, course_wide_make(&run->work, &run->plan, run->record,
                                 run->plan.build + run->plan.blocked));
    worsen(run, stale_outputs_handle(&run->work, run->record, true));
    save(run);
    if (run->status != STATUS_SYSTEM)
        course_record_drop_shares(run->record);
    if (!run->options->quiet)
        fprintf(stderr, "%zu record%s merged: %zu lesson%s, %zu up to date, %zu missing\n", shares,
                plural(shares), run->plan.asked, plural(run->plan.asked), run->plan.fresh,
                run->plan.build + run->plan.blocked);
    return STATUS_GOOD;
}

/* ---- the run ------------------------------------------------------------------------------ */

/* The folder's course file may ask for a booklet or an index, too. */
static void ask_for_wide(struct course_options *options, const struct input *course)
{
    const struct course *keys = input_course_keys(course_usable(course) ? course : NULL);
    for (size_t i = 0; i < keys->produce_count; i++)
        options->wide[keys->produce[i]] |= format_rows[keys->produce[i]].from == FORMAT_FROM_COURSE;
}

static enum status run_tree(struct course_run *run)
{
    const struct course_options *options = run->options;
    if (run->tree.count == 0) {
        say_error("no lessons (.yaml or .yml files) in '%s'", options->folder);
        return STATUS_USAGE;
    }
    report_tree(run);
    if (!options->quiet)
        name_twins_say(&run->tree);
    for (size_t i = 0; i < run->tree.count; i++)
        if (!course_usable(run->tree.lessons[i].course))
            worsen(run, STATUS_LESSON);
    enum status status = options->merge     ? merge(run)
                         : options->dry_run ? list_plan(run)
                                            : make_course(run);
    course_plan_release(&run->plan);
    course_record_free(run->record);
    course_out_close(run->work.out);
    return status_worse(status, run->status);
}

enum status course_run(const struct course_options *options)
{
    struct course_options own = *options; /* plus what the course file asks for */
    struct course_run run = {.options = &own,
                             .work = {.options = &own, .tree = &run.tree, .date = own.date},
                             .share = {own.shard ? own.shard : 1, own.shard ? own.shards : 1}};
    enum status status = STATUS_SYSTEM;
    if (course_tree_open(&run.tree, own.folder, own.output, NULL)) {
        ask_for_wide(&own, run.tree.course);
        status = run_tree(&run);
    } else {
        say_error("cannot read the folder '%s': %s", own.folder, strerror(errno));
    }
    course_tree_close(&run.tree);
    if (run.result.interrupted) { /* end as the signal would have ended us */
        signal(run.result.interrupted, SIG_DFL);
        raise(run.result.interrupted);
    }
    return status;
}
