/* `ratamark course`: a whole folder of lessons in one go. */
#include "app/commands.h"
#include "app/course_make.h"
#include "app/document_date.h"
#include "app/report.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

struct course_run {
    const struct options *options;
    struct course_tree tree;
    struct course_work work;
    size_t built, failed;
    enum status status;
};

static void worsen(struct course_run *run, enum status status)
{
    run->status = status_worse(run->status, status);
}

/* ---- before the lessons ------------------------------------------------------------------- */

/* The course files come first, each once; then what `order` names in vain, and what lies there that
   no lesson can be taken from. */
static void tell_of_tree(struct course_run *run)
{
    struct course_tree *tree = &run->tree;
    struct report *report = report_new(run->options, false);
    for (size_t i = 0; i < tree->course_count; i++) {
        struct input *course = tree->courses[i];
        report_file(report, REPORTED_COURSE, course->source, course->diags);
    }
    if (tree->course)
        report_file(report, REPORTED_COURSE, tree->course->source, tree->order_diags);
    worsen(run, report_end(report, false));
    for (size_t i = 0; i < tree->aside_count; i++) {
        const struct course_aside *aside = &tree->aside[i];
        if (aside->problem) {
            say_error("cannot read the folder '%s': %s", aside->path, strerror(aside->problem));
            worsen(run, STATUS_SYSTEM);
        } else if (!run->options->quiet) {
            say("'%s' is left out: it is a link to a folder", aside->path);
        }
    }
}

static enum status open_faces(struct course_run *run, struct arena *arena)
{
    struct diags *diags = diags_new(arena);
    struct report *report = report_new(run->options, false);
    struct faces_options wanted = {.music_font = run->options->music_font, .space_mm = 1.75};
    run->work.faces = faces_open(&wanted, diags);
    report_file(report, REPORTED_LESSON, (struct read_source){.name = run->tree.path}, diags);
    report_end(report, false);
    return run->work.faces ? STATUS_GOOD : STATUS_SYSTEM;
}

/* ---- lessons ------------------------------------------------------------------------------ */

static enum status place_outputs(struct course_run *run, size_t number, struct course_made *made)
{
    for (size_t i = 0; i < made->count; i++) {
        char name[STAGED_NAME_ROOM];
        const char *place = made->outputs[i].place;
        course_staged_name(number, i, name);
        if (!course_out_may_place(run->work.out, place) ||
            !course_out_place(run->work.out, name, place)) {
            say_error("cannot write '%s/%s': %s", run->work.options->output, place,
                      strerror(errno));
            return STATUS_SYSTEM;
        }
    }
    return STATUS_GOOD;
}

static void make_lesson(struct course_run *run, size_t number)
{
    struct course_made made;
    enum status status = STATUS_LESSON;
    if (course_usable(run->tree.lessons[number].course)) {
        course_make(&run->work, number, &made);
        fwrite(buffer_text(&made.told), 1, made.told.length, stderr);
        status = made.status;
        if (status == STATUS_GOOD)
            status = place_outputs(run, number, &made);
        course_made_release(&made);
    }
    worsen(run, status);
    *(status == STATUS_GOOD ? &run->built : &run->failed) += 1;
}

static enum status make_all(struct course_run *run)
{
    struct arena *arena = arena_new();
    enum status status = open_faces(run, arena);
    for (size_t i = 0; status == STATUS_GOOD && i < run->tree.count; i++)
        make_lesson(run, i);
    faces_close(run->work.faces);
    arena_free(arena);
    return status;
}

static enum status make_course(struct course_run *run)
{
    struct course_share whole = {1, 1};
    enum status status = course_out_open(run->work.options->output, whole, &run->work.out);
    if (status == STATUS_GOOD)
        status = make_all(run);
    course_out_close(run->work.out);
    if (status == STATUS_GOOD && !run->options->quiet)
        fprintf(stderr, "%zu lesson%s: %zu built, %zu up to date, %zu failed\n", run->tree.count,
                run->tree.count == 1 ? "" : "s", run->built, (size_t)0, run->failed);
    return status_worse(status, run->status);
}

enum status course_command(const struct options *options)
{
    char date[DOCUMENT_DATE_ROOM];
    struct options own = *options; /* with what is not said filled in */
    struct course_run run = {.options = &own, .work = {.options = &own, .tree = &run.tree}};
    if (!document_date(date, &run.work.date))
        return STATUS_USAGE;
    if (!own.output)
        own.output = own.operands[0];
    enum status status = STATUS_SYSTEM;
    if (!course_tree_open(&run.tree, own.operands[0], own.output)) {
        say_error("cannot read the folder '%s': %s", own.operands[0], strerror(errno));
    } else if (run.tree.count == 0) {
        say_error("no lesson (.yaml) below '%s'", own.operands[0]);
        status = STATUS_USAGE;
    } else {
        tell_of_tree(&run);
        status = make_course(&run);
    }
    course_tree_close(&run.tree);
    return status;
}
