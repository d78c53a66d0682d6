#ifndef RATAMARK_LIB_RATAMARK_INT_H
#define RATAMARK_LIB_RATAMARK_INT_H
/* What the files behind include/ratamark.h share. */
#include "base/vector.h"
#include "lib/pipeline.h"
#include "perform/perform.h"
#include "play/hands.h"
#include "ratamark.h"

/* Set by the ratamark_set_ functions; 0 or NULL where nothing else is said: the default. */
struct ratamark_options {
    struct exercise_choice exercises; /* its numbers are the options' own */
    enum handed handed;
    bool page_size_set;
    enum page_size page_size;
    double margin_mm, staff_mm;
    char *music_font, *date, *level;
    uint32_t page;
    double dpi;       /* never 0 */
    uint32_t columns; /* never 0 */
    struct perform_options sound;
    uint32_t judged_tempo;
    enum stick_style style;
};

/* Those of a call: the given ones, or the defaults. */
const struct ratamark_options *options_or_default(const struct ratamark_options *options);

/* Where findings come from; a later call of one replaces its own. */
enum finder { FOUND_BY_CHECK, FOUND_BY_JUDGE, FOUND_BY_LAYOUT, FINDER_COUNT };

struct ratamark {
    struct pipeline work;
    enum ratamark_result checked;                   /* what ratamark_check() returned */
    const struct page_settings *page;               /* the lesson's own; NULL before a layout */
    struct diags *found[FINDER_COUNT];              /* NULL: nothing yet */
    VECTOR(struct ratamark_diagnostic) diagnostics; /* of all finders */
    VECTOR(struct ratamark_verdict) verdicts;
    VECTOR(struct ratamark_sticking) stickings;
    enum handed laid_out_for; /* `handed` of the layout */
    bool stuck;               /* the hands are those that ratamark_stick() chose */
};

/* Makes the list of diagnostics again, after a finder has found more. What was lent stays. */
void ratamark_gather_diagnostics(struct ratamark *lesson);
/* Gives the score the sides of that player. */
void ratamark_take_sides(struct ratamark *lesson, enum handed handed);
/* The public form of a place. */
struct ratamark_place ratamark_place_of(struct place place);

#endif
