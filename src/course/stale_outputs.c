#include "course/stale_outputs.h"

#include "course/course_plan.h"
#include "course/course_wide.h"
#include "course/output_owners.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

struct sweep {
    const struct course_work *work;
    struct course_record *record;
    struct output_owners *current; /* outputs of existing lessons; NULL until needed */
    bool whole;
    size_t kept; /* files that --prune would delete */
    enum status status;
};

static bool is_gone(const struct sweep *sweep, const struct recorded *entry)
{
    return sweep->whole && !entry->asked;
}

/* An output of a lesson that is gone may be the output of another lesson by now. */
static bool is_current(struct sweep *sweep, const char *path)
{
    if (!sweep->current) {
        sweep->current = output_owners_new();
        for (size_t i = 0; i < course_record_count(sweep->record); i++) {
            const struct recorded *entry = course_record_get(sweep->record, i);
            for (size_t j = 0; entry && !is_gone(sweep, entry) && j < entry->count; j++)
                output_owners_claim(sweep->current, entry->outputs[j].path, i);
        }
    }
    return output_owners_has(sweep->current, path);
}

static bool remember(struct sweep *sweep, const char *problem, const char *path)
{
    say_error("%s '%s/%s': %s", problem, sweep->work->options->output, path, strerror(errno));
    sweep->status = STATUS_SYSTEM;
    return true;
}

/* False if the record can forget it. */
static bool remove_file(struct sweep *sweep, const struct recorded_file *file)
{
    const struct course_options *options = sweep->work->options;
    if (!course_plan_is_ours(sweep->work->out, file)) {
        if (errno && errno != ENOENT)
            return remember(sweep, "cannot read", file->path);
        say("keeping '%s/%s': it was changed after it was made", options->output, file->path);
    } else if (course_out_remove(sweep->work->out, file->path)) {
        if (!options->quiet)
            say("deleted '%s/%s'", options->output, file->path);
    } else {
        return remember(sweep, "cannot delete", file->path);
    }
    return false;
}

/* Deletes or names a stale output. False if the record can forget it. */
static bool sweep_file(struct sweep *sweep, const struct recorded_file *file, const char *why)
{
    struct file_stamp stamp;
    const struct course_options *options = sweep->work->options;
    bool here = course_out_look(sweep->work->out, file->path, &stamp);
    if (!here && errno != ENOENT)
        return remember(sweep, "cannot look at", file->path);
    if (!here || is_current(sweep, file->path))
        return false;
    if (options->prune && !options->dry_run)
        return remove_file(sweep, file);
    if (options->dry_run && options->prune)
        print_line("would delete '%s/%s'", options->output, file->path);
    else if (!options->quiet)
        say("'%s/%s' is stale: %s", options->output, file->path, why);
    sweep->kept++;
    return true;
}

/* Keeps in `still` the files that the record cannot forget; returns how many. */
static uint32_t sweep_files(struct sweep *sweep, const struct recorded_file *files, uint32_t count,
                            const char *why, struct recorded_file *still)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < count; i++)
        if (sweep_file(sweep, &files[i], why))
            still[kept++] = files[i];
    return kept;
}

static void sweep_entry(struct sweep *sweep, const struct recorded *entry, struct arena *arena)
{
    bool gone = is_gone(sweep, entry);
    uint32_t most = entry->count + entry->left_count;
    if (!gone && entry->left_count == 0)
        return;
    struct recorded after = *entry;
    after.left = arena_array(arena, most, sizeof *after.left);
    after.left_count = sweep_files(sweep, entry->left, entry->left_count,
                                   "its lesson no longer has this page or format", after.left);
    if (gone) {
        after.left_count += sweep_files(sweep, entry->outputs, entry->count,
                                        course_wide_is(entry->name) ? "it is no longer asked for"
                                                                    : "its lesson is gone",
                                        after.left + after.left_count);
        after.count = 0;
    }
    if (gone && after.left_count == 0)
        course_record_forget(sweep->record, entry->name);
    else if (after.left_count != most - after.count)
        course_record_put(sweep->record, &after);
}

enum status stale_outputs_handle(const struct course_work *work, struct course_record *record,
                                 bool whole)
{
    struct sweep sweep = {
        .work = work, .record = record, .whole = whole && !work->tree->incomplete};
    struct arena *arena = arena_new();
    /* a file that looks stale may belong to a lesson that the damaged record lost */
    bool sure = work->out && !course_record_is_damaged(record);
    size_t count = sure ? course_record_count(record) : 0;
    for (size_t i = 0; i < count; i++) {
        const struct recorded *entry = course_record_get(record, i);
        if (entry)
            sweep_entry(&sweep, entry, arena);
    }
    if (sweep.kept && !work->options->prune && !work->options->quiet)
        say("--prune deletes %s", sweep.kept == 1 ? "it" : "them");
    output_owners_free(sweep.current);
    arena_free(arena);
    return sweep.status;
}
