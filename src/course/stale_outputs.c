#include "course/stale_outputs.h"

#include "course/course_plan.h"
#include "course/course_wide.h"
#include "course/output_owners.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

struct seeing {
    const struct course_work *work;
    struct course_record *record;
    struct output_owners *made; /* what is made of lessons now; NULL until it is needed */
    bool whole;
    size_t told; /* files that --prune would remove */
    enum status status;
};

static bool is_gone(const struct seeing *seeing, const struct recorded *entry)
{
    return seeing->whole && !entry->asked;
}

/* Files of lessons that are gone may have been made of another one since. */
static bool is_made_now(struct seeing *seeing, const char *place)
{
    if (!seeing->made) {
        seeing->made = output_owners_new();
        for (size_t i = 0; i < course_record_count(seeing->record); i++) {
            const struct recorded *entry = course_record_get(seeing->record, i);
            for (size_t j = 0; entry && !is_gone(seeing, entry) && j < entry->count; j++)
                output_owners_claim(seeing->made, entry->outputs[j].place, i);
        }
    }
    return output_owners_has(seeing->made, place);
}

static void remove_file(struct seeing *seeing, const struct recorded_file *file)
{
    const struct course_options *options = seeing->work->options;
    if (!course_plan_is_ours(seeing->work->out, file)) {
        say("'%s/%s' is not as it was made, and stays", options->output, file->place);
    } else if (course_out_remove(seeing->work->out, file->place)) {
        if (!options->quiet)
            say("removed '%s/%s'", options->output, file->place);
    } else {
        say_error("cannot remove '%s/%s': %s", options->output, file->place, strerror(errno));
        seeing->status = STATUS_SYSTEM;
    }
}

/* False: there is nothing to remember of it any more. */
static bool see_to_file(struct seeing *seeing, const struct recorded_file *file, const char *why)
{
    struct file_stamp stamp;
    const struct course_options *options = seeing->work->options;
    if (!course_out_look(seeing->work->out, file->place, &stamp) ||
        is_made_now(seeing, file->place))
        return false;
    if (options->prune && !options->dry_run) {
        remove_file(seeing, file);
        return seeing->status != STATUS_GOOD;
    }
    if (options->dry_run && options->prune)
        printf("would remove '%s/%s'\n", options->output, file->place);
    else if (!options->quiet)
        say("'%s/%s' is left over: %s", options->output, file->place, why);
    seeing->told++;
    return true;
}

/* The files that are still there. */
static uint32_t see_to_files(struct seeing *seeing, const struct recorded_file *files,
                             uint32_t count, const char *why, struct recorded_file *still)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < count; i++)
        if (see_to_file(seeing, &files[i], why))
            still[kept++] = files[i];
    return kept;
}

static void see_to_entry(struct seeing *seeing, const struct recorded *entry, struct arena *arena)
{
    bool gone = is_gone(seeing, entry);
    uint32_t most = entry->count + entry->left_count;
    if (!gone && entry->left_count == 0)
        return;
    struct recorded after = *entry;
    after.left = arena_array(arena, most, sizeof *after.left);
    after.left_count = see_to_files(seeing, entry->left, entry->left_count,
                                    "its lesson has no such page or file now", after.left);
    if (gone) {
        after.left_count += see_to_files(seeing, entry->outputs, entry->count,
                                         course_wide_is(entry->name) ? "it is not asked for now"
                                                                     : "its lesson is gone",
                                         after.left + after.left_count);
        after.count = 0;
    }
    if (gone && after.left_count == 0)
        course_record_forget(seeing->record, entry->name);
    else if (after.left_count != most - after.count)
        course_record_put(seeing->record, &after);
}

enum status stale_outputs_handle(const struct course_work *work, struct course_record *record,
                                 bool whole)
{
    struct seeing seeing = {
        .work = work, .record = record, .whole = whole && !work->tree->incomplete};
    struct arena *arena = arena_new();
    size_t count = work->out ? course_record_count(record) : 0;
    for (size_t i = 0; i < count; i++) {
        const struct recorded *entry = course_record_get(record, i);
        if (entry)
            see_to_entry(&seeing, entry, arena);
    }
    if (seeing.told && !work->options->prune && !work->options->quiet)
        say("--prune removes %s", seeing.told == 1 ? "it" : "them");
    output_owners_free(seeing.made);
    arena_free(arena);
    return seeing.status;
}
