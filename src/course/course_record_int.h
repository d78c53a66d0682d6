#ifndef RATAMARK_COURSE_COURSE_RECORD_INT_H
#define RATAMARK_COURSE_COURSE_RECORD_INT_H
/* What the files of the record share: its entries (course_record.c), the files of runs and shares
   (course_record_files.c), and their text, written (course_record_write.c) and read
   (course_record_read.c).

   The record as text:

       ratamark course 3
       from PATH
       title TEXT
       fonts DIGEST SETTINGS
       watch STAMP PATH
       done SUM
       key DIGEST
       lesson DIGEST STAMP NAME
       output DIGEST STAMP PATH
       left DIGEST STAMP PATH
       done SUM
       end COUNT

   A STAMP is four hexadecimal numbers: SIZE FILE CHANGED TOUCHED. `key` is the fingerprint of all
   lessons up to the next `key`. In names, `%` and two digits stand for a space, a control character
   or
   `%` itself. `left` is a stale output. `done` ends a block, a lesson with its files or what stands
   before the first, with a checksum of its lines and of the key that it is under. COUNT is that of
   the lessons. A journal has lessons alone, each with its key in front. */
#include "base/table.h"
#include "base/vector.h"
#include "course/course_record.h"

enum { NAME_ROOM = 96 };

#define RECORD_HEAD "ratamark course 3"
#define RECORD_END "end "

struct course_record {
    int own; /* lent */
    struct course_share share;
    struct arena *arena;
    struct { /* the rest of the current piece of memory for texts */
        char *at;
        size_t room;
    } texts;
    VECTOR(const struct digest *) fingerprints; /* of all entries, each once */
    VECTOR(struct recorded) entries;            /* on the heap: there may be a million */
    struct table table; /* of the first `indexed` entries by name; on the heap */
    size_t indexed;
    size_t next; /* the entry that is likely to be wanted next */
    struct recorded_fonts fonts;
    bool reads_own; /* reading the record of this run's own share */
    int journal;    /* descriptor; -1: not open */
    size_t groups;  /* journal entries read */
    bool changed;
    struct recorded_course course;
    size_t damages; /* blocks that were not understood */
};

/* Copies of a text and of a fingerprint that live as long as the record; equal fingerprints share
 * one copy. */
const char *record_keep_text(struct course_record *record, const char *text, size_t length);
const struct digest *record_keep_fingerprint(struct course_record *record,
                                             const struct digest *fingerprint);
/* Adds an entry at the end. Its name, fingerprint and paths must live as long as the record; its
   files are copied. */
void record_add(struct course_record *record, const struct recorded *entry);
/* Replaces the entry of that name, or adds one. Its name and fingerprint must live as long as the
   record; its files and their paths are copied. */
void record_take(struct course_record *record, const struct recorded *entry);

/* Sorts the entries by name; mostly they are sorted already. */
void record_sort(struct course_record *record);
/* Forgets the table of names, after entries were moved or removed. */
void record_forget_index(struct course_record *record);

/* Reads a record or a journal. False for a file that is not a record of this version, and with
   errno if the system cannot read it; errno is 0 otherwise. Keeps every intact block; in a record,
   counts the others as damages. */
bool record_read(struct course_record *record, int descriptor, bool journal);

void record_write_head(struct buffer *out, const struct course_record *record);
/* Returns the checksum with which those of its entries start. */
uint32_t record_write_fingerprint(struct buffer *out, const struct digest *fingerprint);
void record_write_entry(struct buffer *out, const struct recorded *entry, uint32_t sum);

/* Extends a block's checksum, which starts as RECORD_SUM_START. */
enum { RECORD_SUM_START = 0x2d };
uint32_t record_add_to_sum(uint32_t sum, const char *bytes, size_t length);

#endif
