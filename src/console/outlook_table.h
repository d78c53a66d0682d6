#ifndef RATAMARK_CONSOLE_OUTLOOK_TABLE_H
#define RATAMARK_CONSOLE_OUTLOOK_TABLE_H
/* The table of `check --table`: a line for each exercise, with its highest tempo at each level,
   what limits it, what would limit it next, and what the other hand would bring. Tempos are in
   beats of the exercise, in tenths rounded down. */
#include "base/arena.h"
#include "base/buffer.h"
#include "base/vector.h"
#include "play/outlook.h"

enum outlook_form { OUTLOOK_NONE, OUTLOOK_TEXT, OUTLOOK_CSV, OUTLOOK_JSON };

struct outlook_row;
struct outlook_table {
    struct arena *arena; /* NULL while there is no row */
    VECTOR(struct outlook_row *) rows;
};

/* Judges a lesson's exercises for the level; NULL: each one's own. */
void outlook_table_add(struct outlook_table *table, const char *file, struct score *score,
                       const struct limits *level);
void outlook_table_write(const struct outlook_table *table, enum outlook_form form,
                         struct buffer *out);
void outlook_table_release(struct outlook_table *table);

#endif
