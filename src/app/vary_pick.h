#ifndef RATAMARK_APP_VARY_PICK_H
#define RATAMARK_APP_VARY_PICK_H
/* Picks variations of an exercise that can be played: each is written as a lesson, read again, and
   judged as `check` judges it. */
#include "app/lesson_run.h"
#include "base/table.h"
#include "vary/dice.h"
#include "vary/space.h"

struct pick {
    uint32_t *letters;
    uint32_t tenths; /* the highest tempo; UINT32_MAX: nothing limits it */
    const struct space *space;
};

struct picker {
    struct lesson_run *run;
    const struct score_exercise *exercise;
    struct space *space;
    struct dice dice;
    VECTOR(struct pick) picks;
    VECTOR(uint32_t *) tried; /* as space_turn() has them */
    struct table by_letters;
    size_t refused;        /* of those, what cannot be played */
    const char *complaint; /* NULL; or why a variation cannot be written: the fault is ours */
};

/* Adds variations, each of the whole space as likely as any other, until there are `count`, or
   none is left, or too few can be played. */
void pick_drawn(struct picker *picker, size_t count);
/* The same, each of which differs from the one before in one place. */
void pick_steps(struct picker *picker, size_t count);
/* Tries letters of the space: adds them to the picks if they are new and can be played. */
bool pick_try(struct picker *picker, const uint32_t *letters);
/* Forgets what was picked and tried. */
void pick_forget(struct picker *picker);
/* Sorts them from easy to hard: by the tempo up to which they can be played, then by what
   there is to play (vary/grades.h). */
void pick_grade(struct picker *picker);
/* Tries every variation. Only for small spaces. */
void pick_all(struct picker *picker);

/* The lesson of some picks. False if the source cannot be taken apart. */
bool pick_lesson(struct picker *picker, const struct pick *picks, size_t count, const char *comment,
                 struct buffer *out);

#endif
