#ifndef RATAMARK_APP_COURSE_RECORD_INT_H
#define RATAMARK_APP_COURSE_RECORD_INT_H
/* The record's own parts: the table of entries (course_record.c) and its text
   (course_record_text.c). */
#include "app/course_record.h"
#include "base/arena.h"

enum { NAME_ROOM = 96 };

#define RECORD_END "end\n"

struct course_record {
    int own; /* lent */
    struct course_share share;
    struct arena *arena;
    struct { /* on the heap: there may be a million, and an arena would keep the older rooms */
        struct recorded *items;
        size_t count, room;
    } entries;
    size_t *slots; /* open addressing by name; NULL until it is needed */
    size_t slot_count, indexed;
    size_t next; /* the entry that is likely to be asked for next */
    struct recorded_fonts fonts;
    int journal;   /* -1: not open */
    size_t groups; /* entries of a journal that were read */
    bool changed;
};

static inline bool is_gone(const struct recorded *entry)
{
    return entry->gone;
}

/* Adds an entry behind the last. */
void record_add(struct course_record *record, const struct recorded *entry);
/* Puts an entry in place of the one of that name; its texts live in the record's arena. */
void record_take(struct course_record *record, const struct recorded *entry);

/* Takes in a record or a journal. The text is changed, and must live as long as the record. False
   where it is no record, or one that was cut short; of a journal what is whole is taken. */
bool record_parse(struct course_record *record, char *text, size_t length, bool journal);

void record_write_head(struct buffer *out, const struct recorded_fonts *fonts);
void record_write_entry(struct buffer *out, const struct recorded *entry);
/* Ends the journal's entry that starts at this byte of the text. */
void record_end_group(struct buffer *out, size_t start);

#endif
