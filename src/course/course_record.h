#ifndef RATAMARK_COURSE_COURSE_RECORD_H
#define RATAMARK_COURSE_COURSE_RECORD_H
/*
 * What a folder of outputs holds, and what it was made from: the memory between runs. It lies in
 * our own folder in OUT as two files of text. `record` is whole at any moment, as it is written
 * anew beside its place and renamed; `journal` takes an entry at the end for every lesson, before
 * its outputs are put into their places, and an entry that was cut short is no entry. So a run that
 * is killed loses nothing that it finished, and no file of ours is ever unknown.
 *
 *     struct course_record *record = course_record_load(own_folder, share);
 *     const struct recorded *entry = course_record_find(record, "week-2/fill.yaml");
 *     course_record_append(record, &entry);  course_record_put(record, &entry);
 *     course_record_save(record);
 *     course_record_free(record);
 *
 * A share of a course has a record of its own, `record.2-of-7`, and reads that of the whole, too.
 */
#include "course/course_out.h"

/* A file that we made, and its stamp but for when it was touched: renaming touches it. */
struct recorded_file {
    const char *place; /* below OUT */
    struct digest digest;
    uint64_t size, file;
    int64_t changed;
};

static inline struct recorded_file recorded_file(const char *place, struct digest digest,
                                                 struct file_stamp stamp)
{
    return (struct recorded_file){place, digest, stamp.size, stamp.file, stamp.changed};
}

/* There may be a million. */
struct recorded {
    const char *name;         /* of the lesson, below its folder */
    const struct digest *key; /* of what its outputs were made from beside its bytes */
    struct digest bytes;      /* of the lesson's file */
    struct file_stamp stamp;  /* that file's; with `touched` 0 it is not to be trusted */
    struct recorded_file *outputs;
    struct recorded_file *left; /* made of it before, not any more, and still there */
    uint32_t count, left_count;
    bool gone;  /* taken out; never seen from outside */
    bool asked; /* course_record_find() has found it */
    bool own;   /* of a share: it is in its own record */
};

/* What was found out of the machine's fonts: true as long as these files are as they were. */
struct recorded_fonts {
    struct digest digest, settings; /* settings: what they were looked for with */
    struct recorded_watch {
        const char *path;
        struct file_stamp stamp; /* all 0: not there */
    } * files;
    size_t count;
};

struct course_record;

/* Reads what there is; never NULL. `own` is lent: a folder's descriptor, -1 for none. A record that
   cannot be understood counts as none, with a word said. */
struct course_record *course_record_load(int own, struct course_share share);
void course_record_free(struct course_record *record);

/* Entry by number, in the order of the record, and by a lesson's name: NULL where there is none.
   What is returned is good until the next course_record_put(), its files until one of that name;
   its texts live as long as the record. */
size_t course_record_count(const struct course_record *record);
const struct recorded *course_record_get(const struct course_record *record, size_t number);
const struct recorded *course_record_find(struct course_record *record, const char *name);

/* Says that so many entries more will be put: room is taken for them at once. */
void course_record_expect(struct course_record *record, size_t more);
/* Puts an entry in place of the one of that name, or as a new one. Its name is lent, and must live
   as long as the record; all else is copied. */
void course_record_put(struct course_record *record, const struct recorded *entry);
/* Takes an entry out. */
void course_record_forget(struct course_record *record, const char *name);

const struct recorded_fonts *course_record_fonts(const struct course_record *record);
void course_record_set_fonts(struct course_record *record, const struct recorded_fonts *fonts);

/* Adds to the journal an entry that is about to be put. False with errno. */
bool course_record_append(struct course_record *record, const struct recorded *entry);

/* Something was put, forgotten or set since it was loaded, or a journal was found. */
bool course_record_changed(const struct course_record *record);
/* Writes the record whole, in the order of the names; the journal is done with. Only entries for
   which `keep` is true are written, NULL: all. False with errno: the older one is still there. */
typedef bool course_record_keep(void *closure, const struct recorded *entry);
bool course_record_save(struct course_record *record, course_record_keep *keep, void *closure);

/* Takes in the records of all shares, of any count; an entry is taken where `better` says so of the
   one that is there and the new one. Once the record is saved, course_record_drop_shares() takes
   theirs away. */
typedef bool course_record_better(void *closure, const struct recorded *old,
                                  const struct recorded *new);
size_t course_record_merge(struct course_record *record, course_record_better *better,
                           void *closure);
void course_record_drop_shares(struct course_record *record);

#endif
