#include "course/course_build.h"

#include "base/clock.h"
#include "base/vector.h"
#include "course/course_progress.h"
#include "course/course_share.h"
#include "course/course_syncer.h"
#include "course/output_owners.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

/* Results are reported in order, so this many may queue behind a slow lesson. */
enum { WINDOW = 1024, TICK = 100 /* milliseconds */ };
/* A batch is sent to the disk when it has this many lessons, or after this many milliseconds. */
enum { BATCH = 64, GATHER = 250 };

struct arrival {
    bool here;
    struct made_lesson made;
};

/*
 * The loop, until all lessons are settled or a signal comes:
 *
 * 1. give_lessons() gives lessons to processes while these have room and the window is not full.
 * 2. course_pool_wait() waits for a result, for the disk, or for a tick.
 * 3. take_results() keeps each result until its turn comes.
 * 4. settle_sent(), once the disk has a batch: for each lesson, in order, print its messages, write
 * the journal, move its files into place, and put it in the record.
 * 5. send_arrived(), if the disk is free: send the next batch of results that arrived in order.
 */

/* Each lesson in `todo` goes through four stages, in the order of the plan: it is given to a
   process, its result arrives, its files are sent to the disk, it is settled. `given`, `sent` and
   `settled` count lessons; settled <= sent <= given. */
struct building {
    const struct course_work *work;
    struct course_plan *plan;
    struct course_record *record;
    struct course_pool *pool;
    struct course_syncer *syncer;
    struct output_owners *owners;
    struct course_progress progress;
    struct course_result result;
    uint32_t *todo; /* numbers of the lessons to make, rising */
    size_t count, given, sent, settled;
    bool syncing;
    int64_t gathers_since; /* milliseconds: when the last batch was sent off */
    struct arrival arrivals[WINDOW];
};

/* ---- interruption ------------------------------------------------------------------------- */

static volatile sig_atomic_t interruption;

static void note_signal(int number)
{
    interruption = number;
}

static const int ending[] = {SIGINT, SIGTERM, SIGHUP};
enum { ENDING = sizeof ending / sizeof *ending };

static void catch_signals(struct sigaction before[ENDING])
{
    struct sigaction action = {.sa_handler = note_signal};
    interruption = 0;
    for (int i = 0; i < ENDING; i++) {
        sigaction(ending[i], NULL, &before[i]);
        if (before[i].sa_handler != SIG_IGN)
            sigaction(ending[i], &action, NULL);
    }
}

static void release_signals(const struct sigaction before[ENDING])
{
    for (int i = 0; i < ENDING; i++)
        sigaction(ending[i], &before[i], NULL);
}

/* ---- settling ----------------------------------------------------------------------------- */

static void worsen(struct building *building, enum status status)
{
    building->result.status = status_worse(building->result.status, status);
}

/* Remembers only the few outputs that another lesson could also have. */
static size_t claim(struct building *building, const char *path, size_t lesson)
{
    return output_may_clash(path) ? output_owners_claim(building->owners, path, lesson) : lesson;
}

/* Checks all paths before the first file appears. */
static enum status places_allowed(struct building *building, size_t lesson,
                                  const struct made_lesson *made)
{
    const struct course_tree *tree = building->work->tree;
    for (size_t i = 0; i < made->count; i++) {
        const char *path = made->outputs[i].path;
        size_t owner = claim(building, path, lesson);
        if (owner != lesson) {
            say_error("'%s/%s' and '%s/%s' would both be '%s'; rename one of them", tree->path,
                      tree->lessons[lesson].name, tree->path, tree->lessons[owner].name, path);
            return STATUS_LESSON;
        }
        if (!course_out_may_place(building->work->out, path))
            return course_say_unwritten(building->work, path, errno);
    }
    return STATUS_GOOD;
}

static bool is_output(const struct made_lesson *made, const char *path)
{
    for (size_t i = 0; i < made->count; i++)
        if (strcmp(made->outputs[i].path, path) == 0)
            return true;
    return false;
}

/* Adds to the stale outputs what the lesson had before and does not have now. */
static void add_stale(struct recorded *entry, const struct made_lesson *made,
                      const struct recorded_file *files, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!is_output(made, files[i].path))
            entry->left[entry->left_count++] = files[i];
}

/* The record's entry once the outputs are in their places; `old`: the entry before, NULL: none.
   Sets `stays` for each output that is already there, unchanged. */
static struct recorded entry_of(struct building *building, const struct course_lesson *lesson,
                                const struct made_lesson *made, const struct recorded *old,
                                bool *stays)
{
    struct course_plan *plan = building->plan;
    struct recorded entry = {.name = lesson->name,
                             .fingerprint = course_plan_fingerprint(plan, lesson->course),
                             .bytes = made->digest,
                             .stamp = course_plan_trusted(plan, made->stamp),
                             .count = (uint32_t)made->count};
    entry.outputs = arena_array(made->arena, made->count, sizeof *entry.outputs);
    for (size_t i = 0; i < made->count; i++) {
        const struct made_file *output = &made->outputs[i];
        entry.outputs[i] = (struct recorded_file){output->path, output->digest, output->stamp};
        entry.outputs[i].stamp.touched = 0;
        stays[i] = old && course_plan_stays(building->work->out, old, &entry.outputs[i]);
    }
    if (old) {
        entry.left =
            arena_array(made->arena, (size_t)old->count + old->left_count, sizeof *entry.left);
        add_stale(&entry, made, old->outputs, old->count);
        add_stale(&entry, made, old->left, old->left_count);
    }
    return entry;
}

static enum status place_all(struct building *building, size_t lesson, const struct recorded *entry,
                             const bool *stays)
{
    for (size_t i = 0; i < entry->count; i++) {
        char name[STAGED_NAME_ROOM];
        struct recorded_file *output = &entry->outputs[i];
        staged_name(lesson, i, name);
        if (stays[i])
            course_out_unstage(building->work->out, name);
        else if (!course_out_place(building->work->out, name, output->path, &output->stamp))
            return course_say_unwritten(building->work, output->path, errno);
    }
    return STATUS_GOOD;
}

/* First the journal, then the files. If the run is killed in between, the next run finds an entry
   without its files and makes them; no file is ever unknown. */
static enum status put_into_place(struct building *building, size_t number,
                                  const struct made_lesson *made)
{
    const struct course_lesson *lesson = &building->work->tree->lessons[number];
    enum status status = places_allowed(building, number, made);
    if (status != STATUS_GOOD)
        return status;
    bool *stays = arena_array(made->arena, made->count, sizeof *stays);
    const struct recorded entry =
        entry_of(building, lesson, made, course_record_find(building->record, lesson->name), stays);
    if (!course_record_append(building->record, &entry)) {
        say_error("cannot write the record in '%s': %s", building->work->options->output,
                  strerror(errno));
        return STATUS_SYSTEM;
    }
    status = place_all(building, number, &entry, stays);
    if (status == STATUS_GOOD)
        course_record_put(building->record, &entry);
    return status;
}

static void settle(struct building *building, struct arrival *arrival, int sync_problem)
{
    size_t lesson = building->todo[building->settled];
    struct made_lesson *made = &arrival->made;
    const struct course_lesson *source = &building->work->tree->lessons[lesson];
    enum status status = made->status;
    if (made->messages.length || made->count == 0)
        course_progress_wipe(&building->progress);
    fwrite(buffer_text(&made->messages), 1, made->messages.length, stderr);
    if (status == STATUS_GOOD && sync_problem)
        status = course_say_unwritten(building->work, made->outputs[0].path, sync_problem);
    if (status == STATUS_GOOD)
        status = put_into_place(building, lesson, made);
    if (status == STATUS_GOOD && building->work->options->verbose)
        say("made '%s'", source->name);
    if (status != STATUS_GOOD)
        made_lesson_unstage(building->work, lesson, made);
    worsen(building, status);
    *(status == STATUS_GOOD ? &building->result.built : &building->result.failed) += 1;
    course_progress_step(&building->progress, course_cost(source), status != STATUS_GOOD);
    made_lesson_release(made);
    arrival->here = false;
    building->settled++;
}

/* ---- the disk ----------------------------------------------------------------------------- */

static struct arrival *arrival_of(struct building *building, size_t number)
{
    return &building->arrivals[number % WINDOW];
}

static void settle_sent(struct building *building)
{
    int problem = course_syncer_end(building->syncer) ? 0 : errno;
    building->syncing = false;
    while (building->settled < building->sent)
        settle(building, arrival_of(building, building->settled), problem);
}

/* The end of the results that arrived in order, or `sent` if the batch is still too small. */
static size_t batch_end(struct building *building)
{
    size_t end = building->sent;
    while (end < building->given && arrival_of(building, end)->here)
        end++;
    bool enough = end - building->sent >= BATCH || end == building->count ||
                  milliseconds_now() - building->gathers_since >= GATHER;
    return enough ? end : building->sent;
}

static void send_arrived(struct building *building)
{
    char name[STAGED_NAME_ROOM];
    size_t end = batch_end(building);
    if (building->sent == end)
        return;
    while (building->sent < end) {
        const struct made_lesson *made = &arrival_of(building, building->sent)->made;
        for (size_t i = 0; i < made->count; i++) {
            staged_name(building->todo[building->sent], i, name);
            course_syncer_add(building->syncer, name);
        }
        building->sent++;
    }
    building->gathers_since = milliseconds_now();
    course_syncer_begin(building->syncer);
    building->syncing = true;
    if (course_syncer_descriptor(building->syncer) < 0)
        settle_sent(building);
}

/* ---- the run ------------------------------------------------------------------------------ */

static bool give_lessons(struct building *building)
{
    while (building->given < building->count && building->given - building->settled < WINDOW &&
           course_pool_room(building->pool)) {
        if (!course_pool_give(building->pool, building->todo[building->given])) {
            /* the processes that exist go on */
            if (building->given > building->settled)
                return true;
            say_error("cannot start a process: %s", strerror(errno));
            worsen(building, STATUS_SYSTEM);
            return false;
        }
        building->given++;
    }
    return true;
}

static void take_results(struct building *building)
{
    size_t lesson, at;
    struct made_lesson made;
    while (course_pool_take(building->pool, &lesson, &made)) {
        lower_bound(at, 0, building->count, building->todo[at] < lesson);
        *arrival_of(building, at) = (struct arrival){true, made};
    }
}

static void run(struct building *building)
{
    while (building->settled < building->count && !interruption && give_lessons(building)) {
        int disk = building->syncing ? course_syncer_descriptor(building->syncer) : -1;
        bool synced = course_pool_wait(building->pool, disk, TICK);
        take_results(building);
        if (synced)
            settle_sent(building);
        if (!building->syncing)
            send_arrived(building);
        course_progress_draw(&building->progress);
    }
}

static void list_todo(struct building *building, struct arena *arena)
{
    const struct course_tree *tree = building->work->tree;
    const struct course_plan *plan = building->plan;
    uint64_t cost = 0;
    building->todo = arena_array(arena, plan->build, sizeof *building->todo);
    for (size_t i = 0; i < tree->count; i++) {
        if (plan->states[i] != PLAN_BUILD)
            continue;
        building->todo[building->count++] = (uint32_t)i;
        cost += course_cost(&tree->lessons[i]);
    }
    building->progress =
        course_progress_begin(building->count, cost, building->work->options->quiet);
}

/* Outputs of earlier runs belong to their lessons. */
static void claim_recorded(struct building *building)
{
    const struct course_tree *tree = building->work->tree;
    for (size_t i = 0; i < tree->count; i++) {
        const struct recorded *entry = course_record_find(building->record, tree->lessons[i].name);
        for (size_t j = 0; entry && j < entry->count; j++)
            claim(building, entry->outputs[j].path, i);
    }
}

struct course_result course_build(const struct course_work *work, struct course_plan *plan,
                                  struct course_record *record, struct pool_limits limits)
{
    struct arena *arena = arena_new();
    struct sigaction before[ENDING];
    struct building *building = arena_alloc(arena, sizeof *building);
    *building = (struct building){.work = work, .plan = plan, .record = record};
    catch_signals(before);
    list_todo(building, arena);
    course_record_expect(record, building->count);
    building->gathers_since = milliseconds_now();
    if (limits.jobs > building->count)
        limits.jobs = (uint32_t)building->count;
    building->owners = output_owners_new();
    claim_recorded(building);
    building->syncer = course_syncer_open(work->out);
    building->pool = course_pool_open(work, limits);
    run(building);
    course_progress_wipe(&building->progress);
    course_pool_close(building->pool);
    course_syncer_close(building->syncer);
    for (size_t i = 0; i < WINDOW; i++)
        if (building->arrivals[i].here)
            made_lesson_release(&building->arrivals[i].made);
    output_owners_free(building->owners);
    release_signals(before);
    struct course_result result = building->result;
    result.interrupted = interruption;
    arena_free(arena);
    return result;
}
