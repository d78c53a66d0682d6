#include "course/course_plan.h"

#include "base/path.h"
#include "course/course_share.h"
#include "course/fingerprint.h"

#include <errno.h>
#include <fnmatch.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* ---- fingerprints and stamps
 * ---------------------------------------------------------------------- */

const struct digest *course_plan_fingerprint(struct course_plan *plan, const struct input *course)
{
    size_t i = plan->course_count;
    while (i > 0 && plan->courses[i - 1].course != course)
        i--;
    if (i == 0) {
        plan->courses[plan->course_count++] =
            (struct plan_course){course, fingerprint_of_course(plan->common, course)};
        i = plan->course_count;
    }
    return &plan->courses[i - 1].fingerprint;
}

struct file_stamp course_plan_trusted(const struct course_plan *plan, struct file_stamp stamp)
{
    /* file systems with the coarsest clock count in steps of two seconds */
    const int64_t margin = INT64_C(2000000000);
    if (stamp.touched > plan->now - margin)
        stamp.touched = 0;
    return stamp;
}

static bool stamps_say_same(const struct file_stamp *now, const struct file_stamp *then)
{
    return then->touched && file_stamp_equal(now, then);
}

/* ---- outputs ------------------------------------------------------------------------------ */

/* False with errno 0 if it has others, with errno if it cannot be read. */
static bool has_bytes(struct course_out *out, const struct recorded_file *file)
{
    struct digest digest;
    if (!course_out_digest(out, file->path, &digest))
        return false;
    errno = 0;
    return digest_equal(digest, file->digest);
}

/* Compares the stamp and, if it differs, the bytes. Sets `*now` to the current stamp. */
static bool lies_as_recorded(struct course_out *out, const struct recorded_file *file,
                             struct file_stamp *now)
{
    return course_out_look(out, file->path, now) && now->size == file->stamp.size &&
           (stamps_say_same(now, &file->stamp) || has_bytes(out, file));
}

bool course_plan_is_ours(struct course_out *out, const struct recorded_file *file)
{
    struct file_stamp now;
    if (!course_out_look(out, file->path, &now))
        return false;
    errno = 0;
    return now.size == file->stamp.size && has_bytes(out, file);
}

bool course_plan_in_place(struct course_out *out, const struct recorded_file *file)
{
    struct file_stamp now;
    return lies_as_recorded(out, file, &now);
}

static bool stays(struct course_out *out, const struct recorded_file *files, size_t count,
                  struct recorded_file *made)
{
    struct file_stamp now;
    for (size_t i = 0; i < count; i++) {
        if (!digest_equal(files[i].digest, made->digest) ||
            strcmp(files[i].path, made->path) != 0 || !lies_as_recorded(out, &files[i], &now))
            continue;
        made->stamp = now;
        return true;
    }
    return false;
}

bool course_plan_stays(struct course_out *out, const struct recorded *old,
                       struct recorded_file *made)
{
    return stays(out, old->outputs, old->count, made) ||
           stays(out, old->left, old->left_count, made);
}

/* Files that were rewritten with the same bytes get their new stamps. */
static bool outputs_lie(struct course_out *out, const struct recorded *entry, bool *stamped)
{
    for (size_t i = 0; i < entry->count; i++) {
        struct recorded_file *file = &entry->outputs[i];
        struct file_stamp now;
        if (!lies_as_recorded(out, file, &now))
            return false;
        *stamped |= !file_stamp_equal(&now, &file->stamp);
        file->stamp = now;
    }
    return entry->count > 0;
}

/* ---- lessons ------------------------------------------------------------------------------ */

/* Updates the digest of the lesson's bytes, unless its stamp proves that they did not change. */
static bool bytes_of(const struct course_work *work, const struct course_lesson *lesson,
                     struct recorded *entry, const struct course_plan *plan, bool *stamped)
{
    if (stamps_say_same(&lesson->stamp, &entry->stamp))
        return true;
    struct buffer bytes = {0}, path = {0};
    struct file_stamp stamp;
    bool was_read = file_read_plain(course_tree_path(work->tree, lesson->name, &path),
                                    LESSON_BYTES_MAX, &bytes, &stamp);
    if (was_read) {
        entry->bytes = digest_of(bytes.bytes, bytes.length);
        entry->stamp = course_plan_trusted(plan, stamp);
        *stamped = true;
    }
    buffer_release(&bytes);
    buffer_release(&path);
    return was_read;
}

static enum plan_state state_of(struct course_plan *plan, const struct course_work *work,
                                const struct course_lesson *lesson, struct course_record *record,
                                const struct recorded *known)
{
    if (!course_usable(lesson->course))
        return PLAN_BLOCKED;
    if (!known || work->options->force || !work->out || lesson->problem)
        return PLAN_BUILD;
    struct recorded entry = *known;
    bool stamped = false;
    if (!bytes_of(work, lesson, &entry, plan, &stamped) ||
        !digest_equal(entry.bytes, known->bytes) ||
        !digest_equal(*entry.fingerprint, *course_plan_fingerprint(plan, lesson->course)) ||
        !outputs_lie(work->out, &entry, &stamped))
        return PLAN_BUILD;
    if (stamped)
        course_record_put(record, &entry);
    return PLAN_FRESH;
}

/* The path from OUT to the lessons' folder: relative, so both can be moved together. */
static const char *way_here(const struct course_work *work, struct arena *arena)
{
    char *out = realpath(work->options->output, NULL);
    char *folder = realpath(work->tree->path, NULL);
    const char *way = out && folder ? path_between(out, folder, arena) : "";
    free(out);
    free(folder);
    return way;
}

/* How many requested lessons the record has, and how many of those have the same bytes. */
struct known {
    size_t names, bytes;
};

static struct known count_known(const struct course_work *work, const struct course_plan *plan,
                                struct course_record *record)
{
    struct known known = {0, 0};
    for (size_t i = 0; i < work->tree->count; i++) {
        const struct course_lesson *lesson = &work->tree->lessons[i];
        const struct recorded *entry =
            plan->states[i] == PLAN_NOT_ASKED ? NULL : course_record_find(record, lesson->name);
        if (!entry)
            continue;
        struct recorded now = *entry;
        bool stamped = false;
        known.names++;
        known.bytes +=
            bytes_of(work, lesson, &now, plan, &stamped) && digest_equal(now.bytes, entry->bytes);
    }
    return known;
}

static size_t count_lessons(const struct course_record *record)
{
    size_t lessons = 0;
    for (size_t i = 0; i < course_record_count(record); i++) {
        const struct recorded *entry = course_record_get(record, i);
        lessons += entry && entry->count && entry->name[0] != '/';
    }
    return lessons;
}

static bool is_known(const struct course_work *work, const struct course_plan *plan,
                     struct course_record *record, const char *title)
{
    size_t lessons = count_lessons(record);
    size_t half = ((lessons < plan->asked ? lessons : plan->asked) + 1) / 2;
    struct known known = count_known(work, plan, record);
    bool same_title = *title && strcmp(title, course_record_course(record).title) == 0;
    return known.bytes >= half || (same_title && known.names >= half);
}

bool course_plan_is_other(const struct course_work *work, const struct course_plan *plan,
                          struct course_record *record)
{
    const char *title = input_course_keys(work->tree->course)->title.text;
    const struct recorded_course then = course_record_course(record);
    const struct recorded_course now = {way_here(work, plan->arena), title ? title : ""};
    bool other = !work->options->replace && *then.from && strcmp(then.from, now.from) != 0 &&
                 !is_known(work, plan, record, now.title);
    if (!other)
        course_record_set_course(record, now);
    return other;
}

/* A pattern with a `/` is compared with the path below the folder, others with the file name. */
static bool is_named(const struct course_lesson *lesson, const char *pattern)
{
    const char *name = strchr(pattern, '/') ? lesson->name : path_name(lesson->name);
    return fnmatch(pattern, name, 0) == 0;
}

static int64_t clock_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return now.tv_sec * INT64_C(1000000000) + now.tv_nsec;
}

void course_plan_make(struct course_plan *plan, const struct course_work *work,
                      struct course_record *record, struct course_share share)
{
    const struct course_tree *tree = work->tree;
    const char *only = work->options->only;
    struct arena *arena = arena_new();
    *plan = (struct course_plan){.arena = arena, .now = clock_now()};
    plan->states = arena_array(arena, tree->count, sizeof *plan->states);
    plan->courses = arena_array(arena, tree->course_count + 1, sizeof *plan->courses);
    plan->common = fingerprint_of_run(work->options, work->date, record);
    bool *mine = share.count > 1 ? arena_array(arena, tree->count, sizeof *mine) : NULL;
    if (mine)
        course_share_choose(tree, share, mine);
    for (size_t i = 0; i < tree->count; i++) {
        const struct course_lesson *lesson = &tree->lessons[i];
        if (mine && !mine[i])
            continue;
        const struct recorded *known = course_record_find(record, lesson->name);
        if (only && !is_named(lesson, only))
            continue;
        enum plan_state state = state_of(plan, work, lesson, record, known);
        plan->states[i] = (uint8_t)state;
        plan->asked++;
        *(state == PLAN_FRESH   ? &plan->fresh
          : state == PLAN_BUILD ? &plan->build
                                : &plan->blocked) += 1;
    }
}

size_t course_plan_audio(struct course_plan *plan, const struct course_tree *tree, bool block)
{
    size_t count = 0;
    for (size_t i = 0; i < tree->count; i++) {
        if (plan->states[i] != PLAN_BUILD || !course_makes_audio(tree->lessons[i].course))
            continue;
        count++;
        if (block)
            plan->states[i] = PLAN_BLOCKED;
    }
    plan->build -= block ? count : 0;
    plan->blocked += block ? count : 0;
    return count;
}

void course_plan_release(struct course_plan *plan)
{
    if (plan->arena)
        arena_free(plan->arena);
}
