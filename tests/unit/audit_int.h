#ifndef RATAMARK_TESTS_AUDIT_INT_H
#define RATAMARK_TESTS_AUDIT_INT_H
/* What the files of the audit share. */
#include "audit.h"

/* Tolerances of the design, thousandths of a staff space. */
enum {
    TOUCH = 20,        /* less overlap than this is a rounding of boxes */
    OFF_CENTRE = 50,   /* rule 2 */
    OFF_MIDDLE = 180,  /* rule 2: a letter's optical centre from the middle of its box, at most */
    UNEQUAL = 20,      /* rule 3 */
    OFF_MARGIN = 10,   /* rule 4 */
    OFF_BEAM = 250,    /* rule 5: a tuplet's number from the middle of its beam or bracket */
    OFF_LENGTH = 100,  /* rule 5: a bracket's end from where its tuplet begins or ends */
    STEM_LEAST = 2500, /* rule 5: head to nearest beam edge */
    STEM_ROUNDING = 10,
    WEDGE = 140,        /* rule 8: a narrower white fills with ink */
    SIZED_ROUNDING = 2, /* rule 8: edges that met before the staff was made smaller */
    ONE_LINE_OF = 1000, /* rule 9: heights that differ by less are drawn on one line */
    UNTIDY = 5,         /* rule 9 */
    NEAR_INK = 300,     /* rule 10: white that ink keeps, at most (house: text) ... */
    NEAR_BAR = 600,     /* ... before a bar line */
    PUSH_SLACK = 350,   /* ... and what slices of a quarter space may add to either */
    MARK_SLACK = 500,   /* rule 10: more for what sits on a stem */
    OVER_BESIDE = 850,  /* rule 11: white between words and letters of two bars, at least ... */
    OVER_APART = 1950,  /* ... and after "To Coda" */
    SIGN_OFF = 250,     /* rule 11: a sign's middle from that of the letter or words beside it */
    LETTER_GAP = 500,   /* rule 12: white between letters, at least */
    NUMBER_GAP = 900,   /* rule 12: white between the numbers of rolls, at least */
    COUNT_LEAST = 300,  /* rule 12: white between condensed counts, at least */
    BEAT_LEAST = 500,   /* ... beside a beat's number */
    COUNT_ROOM = 600,   /* ... and between wide ones */
    REST_WHITE = 1000,  /* rules 10 and 13: a note to the rest after it */
    REST_APART = 200,   /* rule 13: a rest to the other line's heads */
    OFF_BAR = 600,      /* rule 13: a rest from the middle of its bar; a meter takes some room */
    PLAYS_CLEAR = 650,  /* rule 15: "play n times" to what is above it */
    METER_AIR = 200,    /* rule 14: white between the figures of a meter, the middle line in it */
    GHOST_NEAR = 100,   /* rule 14: parenthesis to head */
    RULE_CLEAR = 200,   /* rule 15: a title's letters to its rule */
    INK_SLACK = 370 /* rule 10: two marks are at one height within a slice and both of its pads */
};

struct auditor {
    const struct page *page;
    const struct score *score;
    const struct metrics *metrics;
    const struct outlines *outlines;
    struct audit *audit;
    const struct mark **by_owner; /* sorted */
    const struct mark **by_left;
};

/* `mark` may be NULL. */
void audit_complain(struct auditor *at, int rule, const struct mark *mark, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

int audit_compare_owner(struct mark_owner a, struct mark_owner b);
struct mark_owner audit_owner(uint32_t exercise, unsigned line, uint32_t bar, uint32_t stroke);
/* The marks of one stroke in at->by_owner: [*first, result). */
size_t audit_marks_of(const struct auditor *at, struct mark_owner owner, size_t *first);
/* The stroke's first mark of a role; NULL where there is none. */
const struct mark *audit_find(const struct auditor *at, struct mark_owner owner,
                              enum mark_role role);
/* The ink above x of a slanted mark is a part of its box. */
void audit_span_at(const struct mark *mark, sp x, sp *top, sp *bottom);
static inline sp audit_centre(const struct mark *mark)
{
    return (mark->box.left + mark->box.right) / 2;
}

static inline bool audit_is_row(unsigned role)
{
    return role == ROLE_STICKING || role == ROLE_SYLLABLE;
}
static inline bool audit_same_line(const struct mark *a, const struct mark *b)
{
    return a->owner.exercise == b->owner.exercise && a->owner.bar == b->owner.bar &&
           a->owner.line == b->owner.line;
}

static inline bool audit_is_coda(const struct score_bar *bar)
{
    return bar->signs && bar->signs->coda.file;
}

/* Whether a double bar line stands after a bar that is not the last: players jump from here, or to
   the next bar, or look for it. */
static inline bool audit_is_divided(const struct score_bar *bar)
{
    const struct bar_signs *here = bar->signs, *next = bar[1].signs;
    return (here && (here->to_coda.file || here->jump.words)) ||
           (next && (next->mark.text || next->segno.file || next->coda.file));
}

/* audit_touch.c: rule 1 */
void audit_touching(struct auditor *at);
/* audit_even.c: rules 2, 3, 7, 8 and 9 */
void audit_rows(struct auditor *at, const struct page_system *system);
void audit_spacing(struct auditor *at, const struct page_system *system);
void audit_bars(struct auditor *at, const struct page_system *system);
void audit_lines(struct auditor *at, const struct page_system *system);
void audit_wedges(struct auditor *at, const struct page_system *system);
void audit_tidy(struct auditor *at, const struct page_system *system);
bool audit_same_rhythm(const struct page_column *a, size_t a_count, const struct page_column *b,
                       size_t b_count);
/* audit_push.c: rule 10 */
void audit_pushes(struct auditor *at, const struct page_system *system);
/* audit_signs.c: rule 11 */
void audit_signs(struct auditor *at, const struct page_system *system);
/* audit_text.c: rule 12 */
void audit_counts(struct auditor *at, uint32_t exercise);
void audit_letters(struct auditor *at, const struct page_system *system);
void audit_sizes(struct auditor *at);
void audit_feet(struct auditor *at, const struct page_system *system);
/* audit_drawing.c: rules 14 and 15 */
void audit_texts(struct auditor *at);
void audit_drawing(struct auditor *at, const struct page_system *system);
/* audit_width.c: rule 16 */
void audit_width(struct auditor *at, const struct page_system *system);
/* audit_sheet.c: rule 17 */
void audit_sheets(struct auditor *at);
/* audit_rhythm.c: rule 5 */
void audit_rhythm(struct auditor *at, const struct page_system *system);
/* audit_tuplets.c: rule 5, how tuplets are beamed and numbered */
struct bar_line_marks {
    const struct page_system *system;
    const struct score_bar *bar;
    const struct score_line *line;
    struct mark_owner owner; /* its stroke varies */
};
void audit_tuplets(struct auditor *at, const struct bar_line_marks *in);
/* Whether a beat that an onset of the line's own falls on cuts a beam before the leaf. */
bool audit_cuts_beam(const struct bar_line_marks *in, uint32_t leaf);
/* audit_rests.c: rule 13 */
void audit_rests(struct auditor *at, const struct page_system *system);

/* What the page's systems show of an exercise: of a practice form the bars that it is written out
   in; signs in place of bars. NULL: nothing. */
static inline const struct score_exercise *audit_shown(const struct auditor *at, uint32_t exercise)
{
    for (size_t i = 0; i < at->page->system_count; i++)
        if (at->page->systems[i].exercise == exercise)
            return at->page->systems[i].shown;
    return NULL;
}

#endif
