#ifndef RATAMARK_LAYOUT_LAYOUT_INT_H
#define RATAMARK_LAYOUT_LAYOUT_INT_H
/*
 * What the files of this folder share. The way through them:
 *
 *     layout.c    the two public steps
 *     staff.c     how one exercise is set (one line or five, which lines play)
 *     columns.c   a bar's instants in time order    rods.c  their ink    chord.c  heads of a stem
 *     bars.c      bars set once for breaking and drawing, alike where their rhythm is
 *     small.c     smaller staves for bars that are too wide
 *     spacing.c   springs to the margin      lines.c  where lines break  breaking.c  an exercise's
 *     system.c    one line: opening, bar lines, then
 *                 notes.c beams.c wedges.c graces.c ties.c tuplets.c above.c endings.c
 *                 rows.c dynamics.c
 *     blocks.c    the page's blocks: title.c key.c kit_plan.c heading.c ladder.c and systems
 *     beside.c    two short exercises side by side
 *     tempo.c     tempo, swing and what changes them                 equation.c notes in their text
 *     pages.c     where pages break          plans.c  how left-over height is shared
 *     pen.c       marks into a list   skyline.c  highest, lowest ink    labels.c set text, cached
 *
 * A system is drawn with y 0 on its top staff line, any other block on its first baseline; the page
 * then moves it into its place.
 */
#include "layout/layout.h"

#include "layout/house.h"

/* ---- marks and ink ------------------------------------------------------------------------ */

/* Highest and lowest ink over the page's width, in buckets; what a mark above or below must clear.
 */
struct skyline {
    sp *top, *bottom;
    int count;
};

struct pen {
    const struct metrics *metrics;
    const struct engraving_defaults *defaults;
    struct mark *marks;
    size_t count, room;
    struct skyline *skyline; /* NULL: ink is not recorded */
    struct mark_owner owner;
};

void pen_glyph(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y);
void pen_glyph_scaled(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y,
                      int scale);
/* A straight line of `width` with square ends. */
void pen_line(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width);
void pen_beam(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width);
/* A tie or slur; `curve` is the height of its middle above the ends (negative: below). */
void pen_curve(struct pen *pen, enum mark_role role, struct point from, struct point to, sp curve);
void pen_ring(struct pen *pen, enum mark_role role, struct point centre, sp radius, sp width);
void pen_box(struct pen *pen, enum mark_role role, struct box box, sp width);
/* Set text from (x, y) on its baseline. Returns its advance. */
sp pen_label(struct pen *pen, enum mark_role role, label_id label, sp x, sp y);

/* The ink box of marks [first, end); empty where there are none. */
struct box marks_box(const struct mark *marks, size_t first, size_t end);
/* Moves marks [first, end) right by x and down by y. */
void marks_move(struct mark *marks, size_t first, size_t end, sp x, sp y);

void skyline_open(struct skyline *skyline, sp width);
/* Makes room for a line of that width. */
void skyline_widen(struct skyline *skyline, sp width);
void skyline_close(struct skyline *skyline);
/* Forgets all ink: the staff alone, from top to bottom, is left. */
void skyline_reset(struct skyline *skyline, sp top, sp bottom);
void skyline_add(struct skyline *skyline, struct box box);
void skyline_add_sign(struct skyline *skyline, const struct metrics *metrics, enum glyph glyph,
                      struct point at, int scale);
/* A line or beam that is not level, `half` its thickness; a tie or slur as pen_curve() has it. */
void skyline_add_slant(struct skyline *skyline, struct point from, struct point to, sp half);
void skyline_add_curve(struct skyline *skyline, struct point from, struct point to, sp curve,
                       sp half);
sp skyline_top(const struct skyline *skyline, sp left, sp right);
sp skyline_bottom(const struct skyline *skyline, sp left, sp right);

/* ---- set text ----------------------------------------------------------------------------- */

/* A short text, measured once: letters and syllables come by the ten thousand. */
struct short_label {
    uint64_t key; /* its bytes and style; 0: free */
    label_id label;
    sp left, right; /* ink from the origin */
    sp top, bottom;
    sp centre; /* for the eye */
};
/* The same text is asked for by the same address most times: compared first. */
struct short_label_place {
    const char *text;
    uint8_t style; /* enum text_style */
    struct short_label label;
};
enum { LABEL_PLACES = 128 };
struct label_cache {
    struct short_label_place places[LABEL_PLACES];
    struct short_label *slots;
    size_t count, room;           /* room a power of two */
    struct short_label long_text; /* one too long to keep, measured anew each time */
};
/* Valid until the next call. `text` must not change while the cache lives. */
const struct short_label *label_short(struct label_cache *cache, const struct metrics *metrics,
                                      enum text_style style, const char *text);
/* "R", "L" or "B" at an address of its own. */
const char *letter_text(uint8_t letter);
void label_cache_release(struct label_cache *cache);

/* ---- one exercise, one line --------------------------------------------------------------- */

struct staff {
    const struct score_exercise *exercise;
    uint32_t index; /* in the score */
    bool one_line;
    bool feet;              /* the feet play in it: hands' rests move up */
    bool join_feet;         /* stems: up */
    bool sloped;            /* beams follow the contour */
    bool dynamics;          /* some bar has dynamics */
    bool counts_tight;      /* counts in the condensed cut */
    int size;               /* per thousand of the page's staves: less where a bar is too wide */
    sp top, bottom;         /* outermost staff lines: 0 and 4000, or 0 and 0 */
    sp bar_top, bar_bottom; /* bar lines */
};
/* `arena`: of what is kept with the layout. */
void staff_of_exercise(const struct score *score, uint32_t exercise, struct arena *arena,
                       struct staff *staff);
/* The height of a staff place (twice its line: 2 is the bottom line). */
sp staff_y(const struct staff *staff, int line2);

enum { CHORD_HEADS_MAX = 2 * NOTE_HITS_MAX };

struct chord_head {
    uint16_t glyph;
    int16_t line2;
    sp x, y;        /* origin, x from the column */
    sp left, right; /* ink, from the column */
    sp between[2];  /* a ghost's: where its parentheses end and begin */
    bool ghost;
    mark_set sign; /* what stands over it: MARKS_AT_SIGN */
};
/* The heads that share a stem, lowest first. */
struct chord {
    struct chord_head heads[CHORD_HEADS_MAX];
    uint8_t count;
    bool up;
    sp stem_x;      /* centre of the stem, from the column */
    sp near, far;   /* where the stem joins the head nearest its end, and the farthest */
    sp centre;      /* of the head at the stem's root, from the column */
    sp left, right; /* ink of heads and their parentheses, from the column */
    uint8_t dots;
};
/* `joined`: a leaf of the feet that hangs on the same stem, or NULL. */
void chord_shape(const struct score *score, const struct metrics *metrics,
                 const struct staff *staff, const struct leaf *leaf, const struct leaf *joined,
                 bool up, struct chord *chord);
void chord_shift(struct chord *chord, sp x);
/* The height of the dots of each head. */
void chord_dot_places(const struct chord *chord, sp places[CHORD_HEADS_MAX]);
/* From the heads' right end to their last dot's. */
sp chord_dots_width(const struct metrics *metrics, const struct chord *chord);
/* Beams or flags of a written value: 0 for a quarter and longer. */
static inline int value_beams(int value_log2)
{
    return value_log2 > 2 ? value_log2 - 2 : 0;
}
enum glyph flag_glyph(int flags, bool up);
/* Rests: glyph and the height of its origin. */
enum glyph rest_glyph(int value_log2);
sp rest_y(const struct staff *staff, const struct leaf *leaf, int line);

struct set_note {
    const struct leaf *leaf;
    struct chord chord; /* count 0: a rest */
    uint32_t column;    /* in the work's columns */
    bool hidden;        /* a rest of the feet, or joined to the hands' stem */
    bool up;
    bool beamed;
    uint8_t beams;
    sp rest_y;   /* of a rest */
    sp x;        /* of its column */
    sp stem_end; /* height of the stem's end */
};

/* The middle of what sits on its stem: between the head and the nearest beam edge, or the stem's
   end. */
sp stem_mark_height(const struct layout *layout, const struct set_note *note);

struct spring {
    double natural;
    sp rod; /* least distance */
    sp own; /* ... of this bar alone, where bars of its rhythm share the larger one */
};

/* What bars of one rhythm in an exercise share. */
struct rhythm {
    uint64_t hash;
    size_t first; /* in rhythms.springs */
    uint32_t count;
    sp lead;
};
struct rhythms {
    struct rhythm *items;
    size_t count, room;
    struct spring *springs;
    size_t spring_count, spring_room;
    uint32_t *of_bar; /* by bar of the exercise */
};

struct column {
    struct fraction onset;
    uint32_t hands, feet, count; /* leaf, leaf, count: index in the bar; NONE */
    double shortest;             /* shortest value sounding, whole notes */
    struct fraction shortest_exact;
    sp tight; /* from the bar's first column, as near as neighbours let it */
    sp x;
};
#define NONE UINT32_MAX

/* A run of notes under one beam. */
struct beam_group {
    uint32_t bar, set_bar; /* in the exercise, in the work */
    uint32_t first, end;   /* notes of the work [first, end) */
    uint8_t line;
    uint8_t most; /* beams that any of its notes has */
    bool up;
    sp x, y;      /* a point of the outermost beam's outer edge */
    double slope; /* rise downwards per x */
};

struct set_bar {
    const struct score_bar *bar;
    uint32_t index;
    size_t first_column,
        column_count; /* springs likewise: one a column, the last to the bar line */
    size_t first_note[LINE_COUNT], note_count[LINE_COUNT];
    size_t first_group, group_count; /* beams of both lines */
    sp lead;                         /* bar line to first column */
    sp left, right;                  /* where its bar lines' ink ends and begins */
    sp line_left;                    /* where the bar line after it begins */
};

/* A mark above or below the staff whose height is settled with its neighbours'. */
struct raised {
    sp y;
    sp left, right;
    uint16_t glyph;
    struct mark_owner owner;
    const struct tuplet *tuplet;
    bool bracket;
    bool below;
};

struct work {
    struct set_bar *bars;
    size_t bar_count, bar_room;
    struct column *columns;
    struct spring *springs; /* as many as columns */
    size_t column_count, column_room;
    struct set_note *notes;
    size_t note_count, note_room;
    struct beam_group *groups;
    size_t group_count, group_room;
    struct raised *raised;
    size_t raised_count, raised_room;
    struct page_column *page_columns; /* of the whole page */
    size_t page_column_count, page_column_room;
};

/* One line of an exercise, as the breaking left it. */
struct line {
    uint32_t exercise, first_bar, bar_count;
    float stretch; /* ragged lines: the springs' stretch; else 0: to the margin */
    /* What is kept for clef and meter before its first bar and for the bar line after its last:
       lines that repeat a rhythm keep as much as the one of them that needs most. */
    sp opening, ending;
};

/* What an exercise would take on a line of its own; of one with more than a few bars, too much. */
struct one_line {
    sp rigid, natural, least;
};

/* ---- blocks and pages --------------------------------------------------------------------- */

enum block_kind {
    BLOCK_TITLE,
    BLOCK_LABEL, /* one line of a paragraph */
    BLOCK_KEY,
    BLOCK_PLAN,
    BLOCK_HEADING,
    BLOCK_FORM,
    BLOCK_SYSTEM,
    BLOCK_LADDER,
    BLOCK_PAIR /* two exercises side by side */
};

/* What it costs to begin a page with a block: pages.c has the table. */
enum block_break {
    BREAK_FREE,
    BREAK_IN_EXERCISE,
    BREAK_LONE_FIRST, /* leaves an exercise's first line alone with its heading */
    BREAK_LONE_LAST,  /* an exercise's last line, or the lesson's ladder, alone on a new page */
    BREAK_NEVER
};

/* What a block drew when it was measured, y from its origin: drawn again where memory for it ran
   out. */
struct kept {
    struct mark *marks;
    size_t mark_count;
    struct page_system system; /* BLOCK_SYSTEM */
    struct page_column *columns;
};

struct block {
    struct kept *kept; /* NULL: not kept */
    uint8_t kind;
    uint8_t before;    /* enum block_break: a page may begin with it */
    uint8_t role;      /* BLOCK_LABEL */
    bool half;         /* set in half the width of the text: at its left, moved when it is placed */
    uint32_t exercise; /* OWNER_NONE: the lesson's */
    uint32_t item;     /* label; index of the line, of the pair; the first item of a row */
    sp top, bottom;    /* ink from its origin, top negative */
    sp gap;            /* white before it, unless it begins a page */
    sp growth, shrink; /* most that left-over height adds to the gap, that a full page takes */
};

struct block_row {
    struct block *items;
    size_t count, room;
};

/* A block of a pair, and where its origin stands from the pair's. */
struct part {
    struct block block;
    sp x, y;
    sp letters, feet_letters, counts; /* how far its rows go down to those beside them */
};

struct pair {
    struct part *parts; /* all of the left exercise, then all of the right */
    size_t count;
};

/* Two exercises that may stand side by side: in place of blocks [first, end) their pair. */
struct choice {
    uint32_t first, end;
    struct block pair;
    double cost; /* of the pair itself; negative: better than one below the other */
};

/* What pages are made of, in order. Choices by their `first`, one a block at most; some may
   overlap, of which one at most is taken. */
struct page_matter {
    const struct block *blocks;
    size_t count;
    const struct choice *choices;
    size_t choice_count;
    sp height;        /* of a page's text */
    double page_cost; /* of each page */
};

/* What blocks and gaps of a page take: as they are, and what the gaps may grow and shrink by. */
struct page_height {
    double full, growth, shrink;
};

struct page_plan {
    uint32_t first, end; /* of the placed blocks */
    struct page_fill fill;
};

struct heading_place {
    uint32_t page; /* 0: not printed */
    sp y;
};

struct sheet {
    sp width, height, margin;
    sp text_left, text_right; /* of the column that is being set: half of it in a pair */
    sp text_top, text_bottom;
};

struct layout {
    const struct score *score;
    const struct metrics *metrics;
    const struct engraving_defaults *defaults;
    struct diags *diags;
    struct arena *arena; /* of what is kept */
    size_t kept_marks;
    struct sheet sheet;
    const struct layout_part *part; /* NULL: not a part of a booklet */
    struct label_cache labels;
    struct pen pen;
    struct skyline skyline;
    struct work work;         /* of the line being set */
    struct work stored;       /* of the exercise whose lines were broken last */
    struct rhythms rhythms;   /* of that exercise */
    uint32_t stored_exercise; /* NONE: there is none yet */
    struct staff *staves;     /* by exercise of the score */
    struct line *lines;
    size_t line_count, line_room;
    struct one_line *one_line;   /* by exercise of the score */
    struct page_system measured; /* the system that block_add() measured last */
    size_t next_item;            /* ... and where the row of a key or form after it begins */
    struct block_row blocks;
    struct choice *choices;
    size_t choice_count, choice_room;
    struct pair *pairs;
    size_t pair_count, pair_room;
    const struct block **placed; /* the blocks of all pages */
    struct page_plan *pages;
    size_t page_count, page_room;
    struct heading_place *headings; /* by exercise of the score */
    struct page_system *systems;    /* of the page being written */
    size_t system_count, system_room;
    struct page page;
};

/* One more, zeroed item at the end of a heap row. */
#define row_push(items, count, room)                                                               \
    ((count) == (room) ? (void)((items) = row_grow((items), &(room), sizeof *(items))) : (void)0,  \
     (void)((items)[(count)] = (__typeof__(*(items))){0}), &(items)[(count)++])
void *row_grow(void *items, size_t *room, size_t size);

/* Micrometres on paper as sp. */
sp paper(const struct layout *layout, int micrometres);
/* The scale, per thousand, of a sign that stands in text: as large as on the usual staff, whatever
   the size of this one. */
int paper_scale(const struct layout *layout, int scale);

static inline struct mark_owner mark_owner(uint32_t exercise, unsigned line, uint32_t bar,
                                           uint32_t stroke)
{
    return (struct mark_owner){exercise & OWNER_NONE, line & 0xFF, bar, stroke};
}
static inline sp box_height(struct box box)
{
    return box.bottom - box.top;
}
static inline sp box_width(struct box box)
{
    return box.right - box.left;
}
static inline sp sp_max(sp a, sp b)
{
    return a > b ? a : b;
}
static inline sp sp_min(sp a, sp b)
{
    return a < b ? a : b;
}

/* rods.c: the least lengths of a bar's springs, and its lead, from the ink of its columns. */
void rods_set(struct layout *layout, const struct staff *staff, struct set_bar *set);
enum text_style count_style(const struct staff *staff, const struct count *count);

/* columns.c: sets the work's columns, springs and notes for one bar more. */
void columns_add_bar(struct layout *layout, const struct staff *staff, uint32_t index);
/* Room for more of the work's columns, and of the springs that go with them. */
void columns_grow(struct work *work);

/* bars.c */
void work_reset(struct work *work);
void work_release(struct work *work);
void rhythms_release(struct rhythms *rhythms);
/* Sets all bars of an exercise and finds its rhythms, if that was not done last. */
void bars_set(struct layout *layout, const struct staff *staff);
/* One of the bars that bars_set() set, and whose columns it counts in. Valid until the next call.
 */
const struct set_bar *bars_find(struct layout *layout, const struct staff *staff, uint32_t index,
                                const struct work **work);
/* The work: a line's bars. */
void bars_collect(struct layout *layout, const struct staff *staff, const struct line *line);

/* spacing.c */
struct setting {
    double stretch; /* of naturals */
    double squeeze; /* 1; less where even the rods do not fit */
};
/* The stretch at which the springs fill `space` exactly. */
struct setting springs_solve(const struct spring *springs, size_t count, double space);
/* The length that the setting gives a spring. */
double spring_length(const struct spring *spring, struct setting setting);

/* small.c: exercises that are too wide for the page's staves. A system as system_draw() has it, on
   its exercise's staff. */
void sized_system_draw(struct layout *layout, const struct line *line, struct page_system *system);
/* Sets the sheet to the line as the staff sees it. Returns what it was. */
struct sheet staff_sheet(struct layout *layout, const struct staff *staff);
/* The size of staff on which so much fits the width; not below the smallest. */
int staff_size_for(const struct layout *layout, sp needed, sp width);

/* lines.c */
struct line_bar {
    sp natural, least;           /* its columns and lead, set naturally and at its tightest */
    sp opening, between, ending; /* what stands before it at a line's start, after it inside a line,
                                    after it at a line's end */
    sp tightest; /* the stretch of `least`, per thousand: the bars of a line share it */
};
/* The cost of one line of bars [first, end); INFINITY where they do not fit, save one alone. */
double line_cost(const struct line_bar *bars, size_t first, size_t end, size_t count, sp width);
/* The length of bars [first, end), set at their tightest, without what stands between them. */
double line_shortest(const struct line_bar *bars, size_t first, size_t end);
/* What a line takes that is set as tight as it may be. */
sp line_needs(const struct line_bar *bars, size_t first, size_t end);
/* Least total cost: ends[k] is the bar after line k's last. Returns how many lines. `per_line` 0:
   as many bars as the cost says. */
size_t lines_break(const struct line_bar *bars, size_t count, sp width, unsigned per_line,
                   uint32_t *ends);

/* breaking.c: the lines of an exercise. */
void lines_of_exercise(struct layout *layout, uint32_t exercise);

/* system.c */
/* Clef, meter and repeat sign before a line's first bar. */
sp opening_width(const struct layout *layout, const struct staff *staff, uint32_t index);
/* The bar lines after a bar, and the meter that follows them: inside a line where the next bar
   changes it, and at a line's end as a warning of the same. */
sp after_width(const struct layout *layout, const struct staff *staff, uint32_t index, bool at_end);
/* All of the line in the work that no spring moves. */
sp rigid_width(const struct layout *layout, const struct staff *staff, const struct line *line);
struct setting line_solve(struct layout *layout, const struct staff *staff,
                          const struct line *line);
/* Draws a line with its top staff line at y 0; `system` is told what it
   needs to know of it. */
void system_draw(struct layout *layout, const struct line *line, struct page_system *system);
/* The bar lines after a bar: of what kind, how wide. `next` NULL: at a line's end. */
enum bar_line {
    BAR_LINE_PLAIN,
    BAR_LINE_CLOSE,
    BAR_LINE_REPEAT_END,
    BAR_LINE_REPEAT_BEGIN,
    BAR_LINE_REPEAT_BOTH
};
enum bar_line bar_line_after(const struct score_bar *bar, const struct score_bar *next);
sp bar_line_width(const struct layout *layout, enum bar_line kind);
void bar_line_draw(struct layout *layout, const struct staff *staff, enum bar_line kind, sp x);
/* meter.c */
sp meter_width(const struct layout *layout, const struct meter *meter);
void meter_draw(struct layout *layout, const struct staff *staff, const struct meter *meter, sp x);

/* the parts of a system, in the order of drawing */
/* Which notes of a bar are beamed, and how far out their stems may end: before its ink is measured.
 */
void beams_mark(struct layout *layout, const struct staff *staff, struct set_bar *bar);
void beams_set(struct layout *layout, const struct staff *staff);
/* wedges.c: moves groups outwards until no narrow white is left between a beam and a staff line. */
void beams_clear_lines(struct layout *layout, const struct staff *staff);
/* Where the stem of a note without a beam ends. */
sp lone_stem_end(const struct layout *layout, const struct set_note *note);
/* Whether beams beyond the first break between two neighbouring notes of one group. */
bool beams_break(const struct set_bar *bar, const struct set_note *a, const struct set_note *b);
/* The height of a group's outer edge at x. */
sp beam_edge(const struct beam_group *group, sp x);
/* `count` beams on each other. */
sp beams_thick(const struct engraving_defaults *defaults, int count);
void beams_draw(struct layout *layout, const struct staff *staff);
void notes_draw(struct layout *layout, const struct staff *staff);
/* `letters`: the sticking is shown, so that each grace has a letter under it. */
void graces_draw(struct layout *layout, const struct staff *staff, const struct set_note *note,
                 bool letters);
/* The ink of a note's graces from its column, save their heads: for rods. */
struct grace_boxes {
    struct box stems; /* with flag or beams */
    struct box slur;
    struct box slash, legers; /* empty where there are none */
};
void graces_boxes(struct layout *layout, const struct staff *staff, const struct set_note *note,
                  bool letters, struct grace_boxes *boxes);
/* How far graces reach left of their column. */
sp graces_reach(struct layout *layout, const struct leaf *leaf, const struct chord *chord,
                bool letters);
/* A grace is struck on what its main note is: its head is of that kind, of a rim shot a plain one.
 */
enum glyph grace_glyph(const struct chord *chord);
/* A grace's centre from its column: negative. */
sp grace_offset(struct layout *layout, const struct note *note, const struct chord *chord,
                bool letters, int grace);
/* A tie, or a roll's ring, leads from the note to the next. */
bool note_leads_on(const struct set_note *note);
/* How far right of its column a note's ties may have to begin: past its flag, where they may be on
   the stem's side. */
sp tie_reach(const struct layout *layout, const struct staff *staff, const struct set_note *note);
/* A tie or ring of either line comes into a bar from the one before it. */
bool tie_enters(const struct staff *staff, uint32_t bar);
void ties_draw(struct layout *layout, const struct staff *staff, const struct line *line);
void above_draw(struct layout *layout, const struct staff *staff);
void tuplets_draw(struct layout *layout, const struct staff *staff);
void endings_draw(struct layout *layout, const struct staff *staff);
void dynamics_draw(struct layout *layout, const struct staff *staff);
void rows_draw(struct layout *layout, const struct staff *staff, struct page_system *system);
/* Settles raised marks: heights that differ by less than one space become one line. */
void raised_align(struct raised *raised, size_t count, bool below);

/* text.c: text outside the staff */
sp text_em(const struct layout *layout, enum text_style style);
/* Flush left; returns the advance. */
sp text_left(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
             sp x, sp y);
/* Its ink ends at x. */
void text_right(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                sp x, sp y);
sp text_advance(const struct layout *layout, enum text_style style, const char *text);
struct box text_ink(const struct layout *layout, enum text_style style, const char *text);
/* A text on one line no wider than `width`: where it is, it is cut at a word, with an ellipsis. */
struct text_fit {
    enum text_style style;
    label_id label;
    bool cut;
    sp before, advance, ink; /* up to the ellipsis; of all; to the right end of its ink */
};
struct text_fit text_fit(const struct layout *layout, enum text_style style, const char *text,
                         sp width);
void text_fit_draw(struct layout *layout, enum mark_role role, const struct text_fit *fit, sp x,
                   sp y);
/* Wrapped lines from (x, y) on, each lead lower; returns the last baseline. What takes more than
   `most` lines is cut there, and ends in an ellipsis. */
sp text_wrapped(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                struct point at, sp width, sp lead, size_t most);
/* Warns where text_wrapped() would cut at HOUSE_TEXT_LINES; `what` names the text, `at` is its
 * place. */
void text_tell(struct layout *layout, struct place at, const char *what, enum text_style style,
               const char *text, sp width);
/* The least width up to `width` at which a text takes no more lines: they are about as long as each
   other then, and no word hangs alone. */
sp text_even_width(const struct layout *layout, enum text_style style, const char *text, sp width);
/* One line of the foot's size: what is longer than the room is cut at a word. */
void text_line(struct layout *layout, enum mark_role role, const char *text, struct point at,
               sp room);
/* A number in its double ring, `scale` per thousand of a heading's, around a point. */
void ring_draw(struct layout *layout, uint32_t number, struct point centre, int scale);

/* equation.c: notes in a line of text, one side as long as the other */
struct small_note {
    uint8_t log2, dots;
};
struct small_group {
    struct small_note notes[2];
    uint8_t count;
    uint8_t tuplet; /* 0: none */
};
struct equation {
    struct small_group sides[2];
};
sp equation_width(const struct layout *layout, const struct equation *equation);
/* From x on, on the baseline; returns its end. */
sp equation_draw(struct layout *layout, const struct equation *equation, sp x, sp y);
/* What a pair of halves becomes when the first takes this share; false where notes cannot say it.
 */
bool equation_of_swing(struct fraction share, int half_log2, struct equation *equation);
struct equation equation_of_pulse(const struct pulse *pulse);
enum glyph small_note_glyph(int log2);

/* tempo.c: the tempo of an exercise, flush right at x on the baseline; returns its width. */
sp tempo_width(const struct layout *layout, const struct score_exercise *exercise);
void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y);
/* Over the bars that change it: the new tempo or swing. */
void changes_draw(struct layout *layout, const struct staff *staff);

/* blocks */
void title_draw(struct layout *layout);
/* A row of the key, from an item on; returns the first of the next row, SIZE_MAX after the last. */
size_t key_draw(struct layout *layout, size_t first);
/* kit_plan.c: the kit from above, its top at the height of its title. */
void kit_plan_draw(struct layout *layout);
/* From the baseline of a row of the key, or of a form, to the next one's. */
sp key_lead(const struct layout *layout);
sp form_lead(const struct layout *layout);
bool key_shown(const struct layout *layout);
void heading_draw(struct layout *layout, uint32_t index);
/* Whether the exercise's text stands beside its title; if not it follows as paragraphs. */
bool heading_takes_text(const struct layout *layout, uint32_t exercise);
/* The lines that its title takes. */
size_t heading_lines(const struct layout *layout, uint32_t index);
/* A row of the practice form, from a step on; returns the first of the next row, SIZE_MAX after the
   last. */
size_t form_draw(struct layout *layout, uint32_t index, size_t first);
/* Warns of titles that are cut. */
void heading_tell(struct layout *layout, uint32_t index);
void title_tell(struct layout *layout);
/* exercise OWNER_NONE: the lesson's own ladder. */
void ladder_draw(struct layout *layout, uint32_t exercise);
/* In the page's own coordinates: page `number` of `count`, what is said left of that (NULL:
   nothing); and what stands over pages of a booklet, left and right. */
void foot_draw(struct layout *layout, const char *own, uint32_t number, uint32_t count);
/* The page of the sheet that holds what the pen has drawn; the marks stay the pen's. */
struct page page_of_marks(const struct layout *layout, uint32_t number, uint32_t count);
void head_draw(struct layout *layout, const char *left, const char *right);
/* What the layout is made on: the paper, with room for a running head where it is a part. */
void sheet_set(struct layout *layout, const struct page_settings *page);
/* Where the foot's rule stands. */
sp foot_rule(const struct layout *layout);
bool title_shown(const struct layout *layout);

/* blocks.c */
void blocks_make(struct layout *layout, struct layout_options options);
/* Draws the block where it stands when it is measured. BLOCK_PAIR: nothing, its parts are blocks.
 */
void block_draw(struct layout *layout, const struct block *block, struct page_system *system);
/* Adds a block that is measured by drawing it. Valid until the next. */
struct block *block_add(struct layout *layout, struct block_row *row, struct block block);
/* What stands between an exercise's heading and its music, and after it. */
void exercise_texts_add(struct layout *layout, struct block_row *row, struct block block);
void ladder_add(struct layout *layout, struct block_row *row, struct block block);

/* beside.c: whether two exercises, printed one after the other as blocks [first, end), may stand
   side by side; adds the choice. */
void beside_offer(struct layout *layout, uint32_t left, uint32_t right, uint32_t first,
                  uint32_t end);
/* The width of the text, or of half of it. */
sp column_width(const struct layout *layout, bool half);

/* pages.c */
/* The least-cost pages: ends[k] is the block after page k's last, taken[c] whether choice c is
   taken. Returns how many pages. */
size_t pages_find(const struct page_matter *matter, uint32_t *ends, bool *taken);
/* The cost of one page of blocks [first, end) with the choices that are taken; INFINITY where they
   do not fit, save one alone. */
double page_cost(const struct page_matter *matter, const bool *taken, size_t first, size_t end);
struct page_height page_height(const struct page_matter *matter, const bool *taken, size_t first,
                               size_t end);

/* plans.c */
void pages_break(struct layout *layout);
/* White before a block of a page, left-over height shared in. */
sp page_gap(const struct page_plan *plan, const struct block *block, bool first);

#endif
