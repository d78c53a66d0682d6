#ifndef RATAMARK_COURSE_COURSE_RECORD_H
#define RATAMARK_COURSE_COURSE_RECORD_H
/*
 * What a run remembers for the next one: the outputs it made and what it made them from. Two text
 * files in our own folder in OUT hold it. `record` is replaced as a whole, by a rename. `journal`
 * gets an entry for each lesson before its outputs appear; an incomplete entry does not count. So a
 * run that is killed loses nothing it finished, and we always know which files are ours.
 *
 *     struct course_record *record = course_record_load(own_folder, share);
 *     const struct recorded *entry = course_record_find(record, "week-2/fill.yaml");
 *     course_record_append(record, &entry);  course_record_put(record, &entry);
 *     course_record_save(record);
 *     course_record_free(record);
 *
 * Each share of a course has its own record, `record.2-of-7`, and reads the course's record, too.
 */
#include "course/course_out.h"

/* A file that we made. */
struct recorded_file {
    const char *path; /* below OUT */
    struct digest digest;
    struct file_stamp stamp; /* once in place; `touched` 0: not in place yet, so do not trust it */
};

/* There may be a million. */
struct recorded {
    const char *name; /* the lesson's path below its folder */
    const struct digest *fingerprint;
    struct digest bytes;     /* of the lesson's file */
    struct file_stamp stamp; /* of that file; `touched` 0: do not trust it */
    struct recorded_file *outputs;
    struct recorded_file *left; /* stale outputs: made once, not any more, and still there */
    uint32_t count, left_count;
    bool gone;  /* removed; never visible outside */
    bool asked; /* course_record_find() has found it */
    bool own;   /* it comes from this share's own record */
};

/* What is known about the machine's fonts; it holds as long as these files do not change. */
struct recorded_fonts {
    struct digest digest, settings; /* settings: what the search for them depended on */
    struct recorded_watch {
        const char *path;
        struct file_stamp stamp; /* all 0: no such file */
    } * files;
    size_t count;
};

struct course_record;

/* Reads the record; NULL with errno if the system cannot read it, which is not to be taken for
   none. `own` is the descriptor of our folder, -1: none; it stays the caller's. What cannot be
   understood is left out, with a message. */
struct course_record *course_record_load(int own, struct course_share share);
/* Whether parts could not be read: the record may then be missing some of our files. */
bool course_record_is_damaged(const struct course_record *record);
/* NULL is allowed. */
void course_record_free(struct course_record *record);

/* An entry by its number in the record, or by a lesson's name; NULL: none. It is valid until the
   next course_record_put(), its files until that name is put again; its texts live as long as the
   record. */
size_t course_record_count(const struct course_record *record);
const struct recorded *course_record_get(const struct course_record *record, size_t number);
const struct recorded *course_record_find(struct course_record *record, const char *name);

/* Which course this is. Unknown texts are "". */
struct recorded_course {
    const char *from;  /* path from OUT to the lessons' folder */
    const char *title; /* as its course file gives it */
};
struct recorded_course course_record_course(const struct course_record *record);
void course_record_set_course(struct course_record *record, struct recorded_course course);

/* Makes room for this many more entries. */
void course_record_expect(struct course_record *record, size_t more);
/* Replaces the entry of that name, or adds one. The name must live as long as the record;
   everything else is copied. */
void course_record_put(struct course_record *record, const struct recorded *entry);
/* Removes an entry. */
void course_record_forget(struct course_record *record, const char *name);

const struct recorded_fonts *course_record_fonts(const struct course_record *record);
void course_record_set_fonts(struct course_record *record, const struct recorded_fonts *fonts);

/* Writes to the journal an entry that is about to be put. False with errno. */
bool course_record_append(struct course_record *record, const struct recorded *entry);

/* Whether anything changed since it was loaded, or a journal was found. */
bool course_record_changed(const struct course_record *record);
/* Writes the whole record, sorted by name, and removes the journal. `keep` chooses the entries;
   NULL: all. False with errno: the older record is still there. */
typedef bool course_record_keep(void *closure, const struct recorded *entry);
bool course_record_save(struct course_record *record, course_record_keep *keep, void *closure);

/* Adds the records of all shares and counts them; false with errno if one could not be read. If
   both have a lesson, `better` decides between the old entry and the new one. Once the merged
   record is saved, course_record_drop_shares() deletes those of the shares. */
typedef bool course_record_better(void *closure, const struct recorded *old,
                                  const struct recorded *new);
bool course_record_merge(struct course_record *record, course_record_better *better, void *closure,
                         size_t *count);
void course_record_drop_shares(struct course_record *record);

#endif
