#ifndef RATAMARK_COURSE_COURSE_RECORD_INT_H
#define RATAMARK_COURSE_COURSE_RECORD_INT_H
/* The record's own parts: the table of entries (course_record.c), the files of a run and of shares
   (course_record_files.c), their text written (course_record_write.c) and read
   (course_record_read.c).

   The record as text, a line a thing:

       ratamark course 2
       fonts DIGEST SETTINGS
       watch STAMP PATH
       key DIGEST
       lesson DIGEST STAMP NAME
       output DIGEST SIZE FILE CHANGED PLACE
       left DIGEST SIZE FILE CHANGED PLACE
       end

   A STAMP is four hexadecimal numbers: SIZE FILE CHANGED TOUCHED. A key is that of all lessons up
   to the next. In names, `%` and two digits stand for bytes up to the space and for `%` itself. A
   journal has no first and no last line; in it each lesson has its key in front, and `done` and a
   sum of the bytes of all these lines behind it. */
#include "base/vector.h"
#include "course/course_record.h"

enum { NAME_ROOM = 96 };

#define RECORD_HEAD "ratamark course 2"
#define RECORD_END "end"

struct course_record {
    int own; /* lent */
    struct course_share share;
    struct arena *arena;
    struct { /* what is left of a piece of the arena for texts, which lie close */
        char *at;
        size_t room;
    } texts;
    VECTOR(const struct digest *) keys; /* of all entries, each once */
    struct { /* on the heap: there may be a million, and an arena would keep the older rooms */
        struct recorded *items;
        size_t count, room;
    } entries;
    uint32_t *slots; /* open addressing by name; NULL until it is needed */
    size_t slot_count, indexed;
    size_t next; /* the entry that is likely to be asked for next */
    struct recorded_fonts fonts;
    bool reads_own; /* what is read now is the record of a share of its own */
    int journal;    /* -1: not open */
    size_t groups;  /* entries of a journal that were read */
    bool changed;
};

/* A copy of a text, and of a key, that lives as long as the record; of a key there is only one. */
const char *record_keep_text(struct course_record *record, const char *text, size_t length);
const struct digest *record_keep_key(struct course_record *record, const struct digest *key);
/* Adds an entry behind the last. Its name, key and places are kept already; its files are copied.
 */
void record_add(struct course_record *record, const struct recorded *entry);
/* Puts an entry in place of the one of that name. Its name and key are kept already; its files are
   copied, with their places. */
void record_take(struct course_record *record, const struct recorded *entry);

/* Puts the entries in the order of their names, in which they mostly are already. */
void record_sort(struct course_record *record);

/* Takes in a record or a journal. False where it is no record, or one that was cut short; of a
   journal what is whole is taken. */
bool record_read(struct course_record *record, int descriptor, bool journal);

void record_write_head(struct buffer *out, const struct recorded_fonts *fonts);
void record_write_key(struct buffer *out, const struct digest *key);
void record_write_entry(struct buffer *out, const struct recorded *entry);

/* The sum of a journal's entry, from RECORD_SUM_START. */
enum { RECORD_SUM_START = 0x2d };
uint32_t record_add_to_sum(uint32_t sum, const char *bytes, size_t length);

#endif
