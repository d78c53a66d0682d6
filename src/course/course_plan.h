#ifndef RATAMARK_COURSE_COURSE_PLAN_H
#define RATAMARK_COURSE_COURSE_PLAN_H
/* What there is to do: of every lesson, whether its outputs are what they would be. */
#include "course/course_record.h"
#include "course/lesson_make.h"

enum plan_state {
    PLAN_NOT_ASKED, /* of another share, or not among those that --only names */
    PLAN_FRESH,     /* its outputs are up to date */
    PLAN_BUILD,
    PLAN_BLOCKED /* its course file has errors, or asks for what cannot be made here */
};

struct course_plan {
    struct arena *arena;
    uint8_t *states; /* enum plan_state, by lesson */
    size_t asked, fresh, build, blocked;
    struct digest common; /* fingerprint_of_run() */
    struct plan_course {
        const struct input *course;
        struct digest key; /* fingerprint_of_course() */
    } * courses;
    size_t course_count;
    int64_t now; /* when it began, in nanoseconds since 1970 */
};

/* Compares lessons and outputs with the record, by their stamps and, where those say nothing, by
   their bytes. `out` NULL: there is no folder yet. Entries whose stamps alone were out of date are
   put into the record anew. */
void course_plan_make(struct course_plan *plan, const struct course_work *work,
                      struct course_record *record, struct course_share share);
/* How many of the lessons that are to be made ask for audio; `block`: they are blocked. */
size_t course_plan_audio(struct course_plan *plan, const struct course_tree *tree, bool block);
void course_plan_release(struct course_plan *plan);

/* The key of the lessons under a course file (NULL: none). */
const struct digest *course_plan_key(struct course_plan *plan, const struct input *course);

/* A stamp as it may be recorded: what was touched just now could be written again without looking
   any different, and is not to be trusted. */
struct file_stamp course_plan_trusted(const struct course_plan *plan, struct file_stamp stamp);

/* Whether a recorded file lies in its place, byte for byte, whatever its stamp says. */
bool course_plan_is_ours(struct course_out *out, const struct recorded_file *file);
/* Whether a recorded file lies in its place as it was recorded. */
bool course_plan_in_place(struct course_out *out, const struct recorded_file *file);
/* Whether a file that was made anew lies in its place already, byte for byte, as one of those of an
   entry: its stamp is then that file's. */
bool course_plan_stays(struct course_out *out, const struct recorded *old,
                       struct recorded_file *made);

#endif
