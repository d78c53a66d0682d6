#ifndef RATAMARK_COURSE_COURSE_PLAN_H
#define RATAMARK_COURSE_COURSE_PLAN_H
/* The plan of a run: which lessons are up to date and which have to be made. */
#include "course/course_record.h"
#include "course/lesson_make.h"

enum plan_state {
    PLAN_NOT_ASKED, /* in another share, or left out by --only */
    PLAN_FRESH,     /* its outputs are up to date */
    PLAN_BUILD,     /* it has to be made */
    PLAN_BLOCKED    /* its course file has errors, or asks for what this machine cannot make */
};

struct course_plan {
    struct arena *arena;
    uint8_t *states; /* enum plan_state, by lesson */
    size_t asked, fresh, build, blocked;
    struct digest common; /* fingerprint_of_run() */
    struct plan_course {
        const struct input *course;
        struct digest fingerprint; /* fingerprint_of_course() */
    } * courses;
    size_t course_count;
    int64_t now; /* when the run began, in nanoseconds since 1970 */
};

/* Compares lessons and outputs with the record: by their stamps or, if those differ, by their
   bytes. Entries of which only the stamps are outdated are updated in the record. */
void course_plan_make(struct course_plan *plan, const struct course_work *work,
                      struct course_record *record, struct course_share share);
/* Counts the lessons to be made whose course files ask for audio; `block`: also blocks them. */
size_t course_plan_audio(struct course_plan *plan, const struct course_tree *tree, bool block);
void course_plan_release(struct course_plan *plan);

/* The fingerprint of the lessons under a course file (NULL: none). */
const struct digest *course_plan_fingerprint(struct course_plan *plan, const struct input *course);

/* A stamp as it may be recorded: one that is too recent to prove the file unchanged is marked as
   not trusted. */
struct file_stamp course_plan_trusted(const struct course_plan *plan, struct file_stamp stamp);

/* Whether the record belongs to another course: it was made from a different folder, and fewer than
   half of the lessons match, by content or, if both courses have the same title, by name. If it
   does not, stores this course's folder and title in it. */
bool course_plan_is_other(const struct course_work *work, const struct course_plan *plan,
                          struct course_record *record);

/* Whether a recorded file is still in its place, byte for byte, whatever its stamp. False with
   errno 0 if it was changed, with errno if it cannot be read. */
bool course_plan_is_ours(struct course_out *out, const struct recorded_file *file);
/* The same, but an unchanged stamp is proof enough. */
bool course_plan_in_place(struct course_out *out, const struct recorded_file *file);
/* Whether a file just made is already in its place, byte for byte, as a file of the old entry. It
   then gets that file's stamp. */
bool course_plan_stays(struct course_out *out, const struct recorded *old,
                       struct recorded_file *made);

#endif
