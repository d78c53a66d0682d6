#ifndef RATAMARK_BUILD_BUILD_INT_H
#define RATAMARK_BUILD_BUILD_INT_H
/*
 * What the files of this stage share. Order of work on a bar (bar.c):
 *
 *     strikes (grid.c, rhythm.c)   which slots or written notes are struck, by which hand
 *     strokes.c                    voices, play, `at`, accents and ghosts on them
 *     line.c, rhythm.c             note values and rests around those that still sound
 *     feet.c                       the same for the feet
 *     counts.c                     what is spoken
 */
#include "base/vector.h"
#include "build/address.h"
#include "build/build.h"
#include "build/frame.h"

/* A stroke of a bar that is being built, beside its note. */
struct strike {
    struct fraction onset;
    int32_t slot;   /* grid: the bar's slot; rhythm: the leaf */
    uint32_t order; /* its number among the exercise's strokes, silenced ones included */
    mark_set asked; /* accents and ghost asked for at the stroke itself, not by `play` */
    bool by_foot;   /* a foot alone plays it: it is counted, though the hands rest */
    bool silent;    /* falls silent (`rest`, or a foot alone plays it): no note in the score */
};

/* The strokes of one line of a bar. notes[i] belongs to strikes[i]; ascending in time. */
struct strikes {
    struct note *notes;
    struct strike *items;
    uint32_t count;
    bool on_grid;
    int32_t *of_slot; /* on a grid: the strike on each slot, -1 where none is */
};

/* Feet asked for by counts, or by voices of the hands. */
struct foot_stroke {
    struct position where;
    struct hit hit;
    mark_set marks;
    struct place at;
    int32_t strike; /* of the hands' stroke that brings it; -1: asked for by a count */
    bool dropped;   /* that stroke was given another voice, or silenced */
};

/* What goes on from bar to bar in a line. */
struct line_state {
    uint64_t stroke;         /* strokes so far, silenced ones included */
    size_t sticking;         /* next stroke of the inherited sticking ... */
    bool sticking_round;     /* ... which has gone round once */
    size_t voices;           /* next word of the inherited voices ... */
    bool voices_round;       /* ... which have gone round once */
    size_t play[LIMB_COUNT]; /* strokes of each limb under the inherited `play` */
    struct leaf *last;       /* last leaf written */
    struct note *held;       /* note that rings on past the end of the last bar */
};

/* Slots of a bar, as bits. */
struct slots {
    uint64_t words[METER_BEATS_MAX]; /* as many as the bar's grid has slots for */
};

static inline size_t slots_words(const struct grid *grid)
{
    return (grid->slot_count + 63u) / 64u;
}

static inline void slots_clear(struct slots *slots, const struct grid *grid)
{
    for (size_t i = 0; i < slots_words(grid); i++)
        slots->words[i] = 0;
}

static inline void slots_copy(struct slots *to, const struct slots *from, const struct grid *grid)
{
    for (size_t i = 0; i < slots_words(grid); i++)
        to->words[i] = from->words[i];
}

static inline void slots_add(struct slots *slots, uint32_t slot)
{
    slots->words[slot / 64] |= (uint64_t)1 << slot % 64;
}

static inline bool slots_have(const struct slots *slots, uint32_t slot)
{
    return slots->words[slot / 64] >> slot % 64 & 1;
}

/* What a line does in each of its spans. */
struct line_plan {
    struct span *spans[METER_BEATS_MAX];
    struct spelling_onsets onsets[METER_BEATS_MAX];
    uint16_t count;
    bool partial; /* a pickup: begins with the first span in the list */
};

struct known_address {
    const struct address *address;
    const struct grid *grid;
    struct resolved resolved;
};

struct builder {
    const struct lesson *lesson;
    struct arena *arena;
    struct diags *diags;
    struct score *score;
    struct frames frames;
    uint64_t strokes, bars;
    bool over_limit;

    /* Addresses of this exercise, resolved on the grids of its bars. */
    struct table known_table; /* by address and grid */
    VECTOR(struct known_address) known;

    /* Reported already: findings that each bar of an exercise would repeat. */
    VECTOR(const void *) reported;

    struct slots struck;   /* the slots that the hands strike in this bar */
    struct slots sounding; /* those of the line that is being written, ... */
    struct slots ringing;  /* ... and of them, those that ring into the next stroke */

    /* Rooms used again for every bar. */
    VECTOR(struct strike) strike_room;
    VECTOR(int32_t) slot_room;
    VECTOR(struct foot_stroke) feet;
    VECTOR(struct position) foot_room;
    struct resolved resolved; /* the last address that is not remembered */
    struct line_plan plan;
    struct span *spans[METER_BEATS_MAX]; /* of a bar that has a rhythm */
};

struct exercise_builder {
    struct builder *builder;
    const struct exercise *exercise;
    struct score_exercise *out;
    bool mirrored;
    struct line_state hands, feet;
    const struct meter *meter; /* of the bar before */
    uint64_t bars_planned;
    bool incomplete; /* a bar could not be built */
};

/* A bar on its way into the score. */
struct bar_builder {
    struct builder *builder;
    struct exercise_builder *exercise;
    const struct lesson_bar *source;
    struct score_bar *out;
    uint32_t index; /* 0-based among the exercise's bars; a pickup's is UINT32_MAX */
    struct grid *grid;
    struct frame *frame;
    struct span **spans; /* what is spoken in each beat; NULL: its number */
    struct counted_bar counted;
    uint32_t first_slot; /* a pickup's first slot of the grid */
    uint16_t first_beat; /* a pickup's first beat */
    bool several_bars;   /* the exercise has more bars than this one */
};

/* True where nothing was reported under this key yet; notes it. */
bool builder_report_once(struct builder *builder, const void *key);

/* ---- grid.c, rhythm.c: who strikes when ---------------------------------------------------- */

/* One line of a bar as the lesson has it: the hands' or the feet's. */
struct line_source {
    const struct rhythm_line *rhythm;   /* NULL: the grid */
    const struct stroke_line *sticking; /* NULL: no letters */
    bool sticking_own;                  /* written in this bar: starts anew, ends with it */
    const struct voicing_line *voices;  /* written in this bar; NULL: none */
    bool sounds;                        /* without a sticking, every slot sounds */
    bool mirrored;
    struct line_state *state;
    struct place at; /* of strokes that no file place asks for */
};

/* Which slots are struck; writes letters, marks, graces and places. */
void grid_strikes(struct bar_builder *bar, const struct grid *grid,
                  const struct line_source *source, struct strikes *out);

/* The values of a rhythm line, leaves struck or not, and its strikes. False where it does not
   add up, which was reported. `pickup` moves a shorter line to the bar's end. */
bool rhythm_leaves(struct bar_builder *bar, const struct rhythm_line *rhythm, bool pickup,
                   struct score_line *out);
/* Letters for the struck leaves. False after a reported stroke-count. */
bool rhythm_strikes(struct bar_builder *bar, struct score_line *line,
                    const struct line_source *source, struct strikes *out);
/* True where a word asks for voices of the feet alone: no hand strikes. */
bool voicing_is_feet_alone(const struct bar_builder *bar, const struct voicing *voicing);
/* Gives the leaves their notes; leaves whose stroke fell silent become rests. */
void rhythm_settle(struct score_line *line, const struct strikes *strikes);
/* The onsets of struck leaves make the bar's spans: the coarsest grid that holds each beat. */
void rhythm_spans(struct bar_builder *bar, const struct score_line *line);

/* How many slots of the grid lie before an onset. */
uint32_t grid_slots_before(const struct grid *grid, struct fraction onset);

/* Makes the note of a stroke of a sticking, with nothing struck yet. Field by field: a structure
   that is put together first and copied then has to wait for its parts to be stored. */
static inline void note_take_stroke(struct note *note, const struct stroke *stroke, uint32_t number,
                                    bool mirrored, const char *file)
{
    static const uint8_t letters[2][HAND_OPEN + 1] = {{0, 'R', 'L', 'B', 0}, {0, 'L', 'R', 'B', 0}};
    unsigned graces =
        mirrored ? ~(unsigned)stroke->graces & ((1u << stroke->grace_count) - 1u) : stroke->graces;
    memset(note, 0, sizeof *note);
    note->marks = stroke->marks;
    note->grace_count = stroke->grace_count;
    note->graces = (uint8_t)graces;
    note->letter = letters[mirrored][stroke->hand];
    note->proposed = stroke->hand == HAND_OPEN ? NOTE_ASKED : 0;
    note->number = number;
    note->at.file = file;
    note->at.line = stroke->line;
    note->at.column = stroke->column & PLACE_COLUMN_MAX;
    note->at.length = 1;
}

/* A `|` of a sticking or voice line before item `index`, which strike number `strike` takes. Rests
   have no items: a beat has to begin after the stroke before, at the latest with this one. */
void check_boundaries_between(struct bar_builder *bar, const struct boundary *boundaries,
                              size_t count, size_t index, const struct strikes *strikes,
                              uint32_t strike);

/* ---- strokes.c: what each stroke sounds like ----------------------------------------------- */

void strokes_voice_hands(struct bar_builder *bar, struct strikes *strikes, bool beside_rhythm);
void strokes_voice_feet(struct bar_builder *bar, struct strikes *strikes, const struct feet *feet,
                        bool own);
/* `at`, accents and ghosts. */
void strokes_apply_addresses(struct bar_builder *bar, struct strikes *strikes);

/* ---- addresses of a bar -------------------------------------------------------------------- */

/* Resolved against the bar. `shared`: an address of the exercise, which is remembered for its bars
   of one grid. What is not remembered holds until the next call. */
const struct resolved *bar_resolve(struct bar_builder *bar, const struct address *address,
                                   bool shared);
/* False where the address names another bar, which one that is not `shared` must not do: that is
   reported. */
bool address_in_bar(struct bar_builder *bar, const struct address *address, bool shared);
/* The list that a key of count addresses gives this bar: its own entry, or the exercise's; NULL
   where it says nothing. A pickup has its own only. */
const struct address_list *bar_addresses(const struct bar_builder *bar,
                                         const struct address_bars *own,
                                         const struct address_bars *inherited);
/* Whether it is one of the exercise's, for `shared` above. */
static inline bool address_shared(const struct address_bars *own)
{
    return own->count == 0;
}

/* ---- line.c: values ------------------------------------------------------------------------ */

/* `tuplet-numbers: first`: leaves the number out of tuplets like the one right before them. */
void line_number_tuplets(const struct bar_builder *bar, struct score_line *line);
void line_write(struct bar_builder *bar, struct line_plan *plan, struct note *notes,
                struct line_state *state, struct score_line *out);
/* On a grid: builder->sounding and ->ringing say on which slots, to which the notes belong in
 * order. */
void line_on_grid(struct bar_builder *bar, struct grid *grid, struct note *notes,
                  struct line_state *state, struct score_line *out);
/* From the strikes of a grid, those that still sound. Closes the notes' ranks. */
void line_from_grid(struct bar_builder *bar, struct grid *grid, struct strikes *strikes,
                    struct line_state *state, struct score_line *out);

/* ---- feet.c, counts.c ---------------------------------------------------------------------- */

void feet_build(struct bar_builder *bar);
void counts_build(struct bar_builder *bar);
void dynamics_build(struct bar_builder *bar);

/* False for a bar that cannot be built; what is wrong was reported. */
bool bar_build(struct bar_builder *bar);

/* How many slots the grid of these settings has in a bar; 0 where there is no usable one. */
uint32_t bar_slots(struct builder *builder, const struct settings *settings);

#endif
