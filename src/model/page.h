#ifndef RATAMARK_MODEL_PAGE_H
#define RATAMARK_MODEL_PAGE_H
/*
 * A laid-out page: a list of marks, each with a role, an owner and its ink box. That is enough to
 * draw the page and to audit it. Nothing here knows cairo or lessons. Coordinates are `sp`
 * (thousandths of a staff space) from the page's top left corner, y DOWN.
 */
#include "model/metrics.h"

/* What a mark is: for the audit, for tests, for screen readers. */
/* clang-format off */
#define MARK_ROLES(X) \
    X(STAFF_LINE, "staff-line") X(LEGER, "leger") \
    X(BAR_NUMBER, "bar-number") X(BAR_REPEAT, "bar-repeat") \
    X(BAR_REST, "bar-rest") X(SLASH, "slash") X(FIGURE_HEAD, "figure-head") X(FIGURE, "figure") \
    X(BAR_LINE, "bar-line") X(REPEAT_DOT, "repeat-dot") \
    X(CLEF, "clef") X(METER, "meter") \
    X(HEAD, "head") X(STEM, "stem") \
    X(BEAM, "beam") X(FLAG, "flag") \
    X(REST, "rest") X(DOT, "dot") \
    X(TIE, "tie") X(TUPLET_NUMBER, "tuplet-number") \
    X(TUPLET_BRACKET, "tuplet-bracket") X(ACCENT, "accent") \
    X(GHOST, "ghost") X(OPEN_SIGN, "open-sign") X(ROLL_NUMBER, "roll-number") \
    X(STEM_MARK, "stem-mark") X(GRACE_HEAD, "grace-head") \
    X(GRACE_STEM, "grace-stem") X(GRACE_BEAM, "grace-beam") \
    X(GRACE_FLAG, "grace-flag") X(GRACE_SLASH, "grace-slash") \
    X(GRACE_SLUR, "grace-slur") X(GRACE_LEGER, "grace-leger") \
    X(STICKING, "sticking") X(SYLLABLE, "count") X(ROW_NAME, "row-name") \
    X(DYNAMIC, "dynamic") X(HAIRPIN, "hairpin") \
    X(ENDING, "ending") X(ENDING_LABEL, "ending-label") \
    X(MARK, "mark") X(MARK_BOX, "mark-box") \
    X(WORDS, "words") X(SIGN, "sign") \
    X(PLAYS, "plays") X(TITLE, "title") \
    X(SUBTITLE, "subtitle") X(SCHOOL, "school") \
    X(RULE, "rule") X(PARAGRAPH, "paragraph") \
    X(HEADING_RING, "heading-ring") X(HEADING_NUMBER, "heading-number") \
    X(HEADING, "heading") X(INSTRUCTION, "instruction") \
    X(TEMPO, "tempo") X(TEMPO_NOTE, "tempo-note") \
    X(KEY_TITLE, "key-title") X(KEY_LABEL, "key-label") \
    X(KEY_SIGN, "key-sign") X(KEY_LINE, "key-line") \
    X(PLAN_TITLE, "plan-title") X(PLAN_LABEL, "plan-label") \
    X(PLAN_RIM, "plan-rim") X(PLAN_PEDAL, "plan-pedal") \
    X(PLAN_SCALE, "plan-scale") \
    X(LADDER_TITLE, "ladder-title") X(LADDER_BOX, "ladder-box") \
    X(LADDER_STEP, "ladder-step") X(CAUTION, "caution") \
    X(FOOT, "foot") X(RUNNING_HEAD, "running-head") \
    X(COVER, "cover") X(COVER_DRUM, "cover-drum") \
    X(CONTENTS, "contents") X(CONTENTS_NUMBER, "contents-number") \
    X(CONTENTS_LEADER, "contents-leader")
/* clang-format on */

enum mark_role {
#define ROLE_ENUM(name, word) ROLE_##name,
    MARK_ROLES(ROLE_ENUM)
#undef ROLE_ENUM
        MARK_ROLE_COUNT
};
const char *mark_role_word(enum mark_role role);

enum mark_shape {
    SHAPE_GLYPH, /* a sign of the music face */
    SHAPE_LABEL, /* set text */
    SHAPE_LINE,  /* straight, from..to, square ends: staff lines, stems, bar lines, brackets */
    SHAPE_BEAM,  /* a quadrilateral with vertical ends: from..to is its centre line */
    SHAPE_CURVE, /* tie or slur: a lens between two Bezier arcs of from, control, to */
    SHAPE_RING,  /* circle of `radius` and `width` */
    SHAPE_BOX    /* outlined rectangle: the ladder's tick boxes */
};

enum { OWNER_NONE = 0xFFFFFF };

/* What the mark belongs to. OWNER_NONE where a part does not apply. */
struct mark_owner {
    uint32_t exercise : 24; /* index in the score */
    uint32_t line : 8;      /* LINE_HANDS, LINE_FEET; 0 where it does not matter */
    uint32_t bar;           /* index in the exercise's bars */
    uint32_t stroke;        /* leaf index in the bar's line; of a tuplet or beam its first leaf, of
                               a dynamic its index in the bar */
};

struct mark {
    uint8_t role;   /* enum mark_role */
    uint8_t shape;  /* enum mark_shape */
    uint16_t glyph; /* SHAPE_GLYPH: enum glyph */
    uint16_t scale; /* GLYPH: thousandths; 1000 full size, 650 graces; LABEL: 0 full size */
    int16_t curve;  /* SHAPE_CURVE: height of the arc's middle above (negative: below) the ends */
    struct mark_owner owner;
    struct box box; /* ink */
    union {
        struct point at; /* GLYPH, LABEL: origin on the baseline; RING: centre */
        struct {
            struct point from, to; /* LINE, BEAM, CURVE; BOX: top left, bottom right corners */
        } ends;
    } as;
    union {
        label_id label;
        sp width; /* LINE, BEAM, BOX: thickness; CURVE: thickness in the middle; RING: stroke */
    } with;
    sp radius; /* RING */
};

/* Whether `as.ends` says where the mark is; else `as.at`. */
static inline bool mark_has_ends(const struct mark *mark)
{
    return mark->shape == SHAPE_LINE || mark->shape == SHAPE_BEAM || mark->shape == SHAPE_CURVE ||
           mark->shape == SHAPE_BOX;
}

/* Whether a ring or box is filled with white, which hides the marks before it: in the kit's plan,
   what is higher covers what is lower. */
static inline bool mark_is_opaque(const struct mark *mark)
{
    return mark->role == ROLE_PLAN_RIM || mark->role == ROLE_PLAN_PEDAL;
}

/* The notes at one instant of a system: what the rules of spacing are checked on. Two columns whose
   two fractions agree should have the same space. */
struct page_column {
    sp x;                                  /* of the heads' centre */
    int32_t duration_top, duration_bottom; /* whole notes to the next column, as a fraction (not
                                              always in lowest terms) */
    int32_t shortest_top, shortest_bottom; /* the shortest value that sounds there: another one than
                                              the duration only where hands play against feet */
    bool pushed;                           /* ink decided its space, not its duration */
    bool closes;                           /* the bar's last: its space runs to the bar line */
    uint32_t bar;
};

struct score_exercise;

/* The rows of text under a staff, from the top. */
enum page_row {
    ROW_LETTERS,
    ROW_LEFT_LETTERS, /* of the left hand, where it has a line of its own */
    ROW_COUNTS,
    ROW_FEET_LETTERS, /* last, so that there is no hole between the others where feet are silent */
    PAGE_ROWS
};

struct page_system {
    uint32_t exercise;
    const struct score_exercise *shown; /* its bars, as its lines show them: some as signs */
    uint32_t first_bar, bar_count;      /* of those */
    struct box box;                     /* ink of the system's marks */
    sp column_left, column_right;       /* of the text column around it: one of two, side by side */
    sp left, right;                     /* where its staff begins and ends */
    sp staff_top, staff_bottom;         /* outermost staff lines */
    sp baselines[PAGE_ROWS];            /* by enum page_row; 0: there is no such row */
    uint16_t size; /* of its staff, per thousand of the page's: less where a bar is too wide */
    bool ragged;   /* a last line that does not reach the margin */
    struct page_column *columns;
    size_t column_count;
    size_t first_mark, mark_count; /* its marks in the page's list */
};

static inline bool mark_in_row(const struct mark *mark)
{
    return mark->role == ROLE_SYLLABLE || mark->role == ROLE_STICKING ||
           mark->role == ROLE_ROW_NAME;
}
/* The row of a letter or syllable: a letter's is the one on whose baseline it stands. */
static inline enum page_row mark_row(const struct page_system *system, const struct mark *mark)
{
    if (mark->role == ROLE_SYLLABLE)
        return ROW_COUNTS;
    return mark->as.at.y == system->baselines[ROW_LETTERS]        ? ROW_LETTERS
           : mark->as.at.y == system->baselines[ROW_LEFT_LETTERS] ? ROW_LEFT_LETTERS
                                                                  : ROW_FEET_LETTERS;
}

/* How full a page is, best first: how much of its height is white at its foot. */
enum page_fullness {
    PAGE_EVEN,  /* up to a third */
    PAGE_OPEN,  /* up to half */
    PAGE_BARE,  /* up to three quarters */
    PAGE_EMPTY, /* more */
    PAGE_OVERFULL
};
const char *page_fullness_word(enum page_fullness fullness);

/* What the page breaking decided. */
struct page_fill {
    int16_t used;     /* per thousand of its height, gaps as drawn */
    int16_t natural;  /* ... gaps at their natural height */
    int16_t growth;   /* per thousand of the most that its gaps may grow; negative: may shrink */
    uint8_t fullness; /* enum page_fullness */
    bool lone_first;  /* begins after an exercise's first line, where that has more */
    bool lone_last;   /* begins with an exercise's last line */
    uint8_t duos;     /* of two exercises side by side */
};

/* A place to click that leads to another page of the document. */
struct page_link {
    struct box box;
    uint32_t page; /* 1-based */
};

struct page {
    uint32_t number;   /* 1-based */
    uint32_t count;    /* pages in all */
    const char *label; /* what a PDF viewer calls it; NULL: its number */
    sp width, height;
    sp margin; /* on all sides; ink stays inside */
    struct mark *marks;
    size_t mark_count;
    struct page_system *systems;
    size_t system_count;
    struct page_fill fill;
    const struct page_link *links;
    size_t link_count;
};

#endif
