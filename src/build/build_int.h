#ifndef RATAMARK_BUILD_BUILD_INT_H
#define RATAMARK_BUILD_BUILD_INT_H
/*
 * What the files of this stage share. A bar is built in this order (bar.c):
 *
 *     slots.c, rhythm.c   which slots or written notes are struck, and by which hand
 *     figure.c            the notes of a rudiment that goes round over the bar lines
 *     strokes.c           their voices and marks
 *     uses.c              what is written and never used
 *     keyed.c             voices by count; a bar without a subdivision gets its grid from them
 *     line.c, rhythm.c    note values and rests for the strikes that sound
 *     feet.c              the same for the feet
 *     loose.c             ... by count; and for hands and feet as one voice
 *     limb_line.c         lines of their own: of the feet, of the left hand
 *     counts.c            the syllables that are counted, and the dynamics
 *     vary_places.c       where the exercise's variations can change it
 *
 * mirror.c then swaps the hands of an exercise with the left lead.
 */
#include "base/vector.h"
#include "build/address.h"
#include "build/build.h"
#include "build/frame.h"
#include "model/vary.h"

/* What is known of a stroke, in addition to its note, while its bar is built. */
struct strike {
    struct fraction onset;
    int32_t slot;    /* grid: the bar's slot; rhythm: the leaf */
    uint32_t number; /* its number among the exercise's strokes; silent ones count */
    mark_set asked;  /* accents and ghost written for this stroke, not those of `play` */
    bool bracketed;  /* its ghost is the sticking's alone: an accent by count ends it */
    bool by_foot;    /* only a foot plays it: it is counted, though the hands rest */
    bool silent;     /* `rest`, or only a foot plays it: no note in the hands' line */
    bool named;      /* a foot's stroke (K, H) whose voice `at` names */
};

/* The strokes of one line of a bar, in order of time. notes[i] belongs to items[i]. */
struct strikes {
    struct note *notes;
    struct strike *items;
    uint32_t count;
    bool on_grid;
    bool feet;        /* some are a foot's: K and H in a sticking */
    int32_t *of_slot; /* on a grid: the strike on each slot, or -1 */
};

/* A foot's stroke that `kick`, `hat-foot` or a voice in the hands' line asks for. */
struct foot_stroke {
    struct position where;
    struct hit hit;
    mark_set marks;
    struct place at;
    int32_t strike; /* the hands' strike whose voice it is; -1: a voice by count */
    uint8_t letter; /* of a sticking, or 0 */
    bool usual;     /* the foot strikes what it has under `play` */
    bool dropped;   /* that strike got another voice, or fell silent */
};

/* A hand's stroke that a voice by count asks for. */
struct keyed_stroke {
    struct position where;
    const struct keyed_voice *voice;
    const struct address *address;
    size_t before; /* the stroke before it at the same place: its number + 1; 0: none */
};

/* What the hands play by name in a bar that gets its grid from it: `2e`, or `each &` (beat 0). */
struct said_count {
    uint16_t beat; /* from 1 */
    const char *spoken;
};

/* What a line carries over from bar to bar. */
struct line_state {
    uint64_t stroke;         /* strokes so far; silent ones count */
    size_t figure;           /* the next item of the exercise's rudiment */
    size_t sticking;         /* the next stroke of the exercise's sticking */
    bool sticking_round;     /* that sticking has been played through once */
    size_t voices;           /* the next of the exercise's `voices` */
    bool voices_round;       /* those have been used through once */
    size_t play[LIMB_COUNT]; /* strokes of each limb so far under the exercise's `play` */
    struct leaf *last;       /* the last leaf written */
    struct note *held;       /* the note that rings on over the last bar line */
    struct place tie;        /* the `+` that ties it to this bar's first note; unset: none */
};

/* A set of slots of a bar, as bits; only slots_words() of the words are in use. */
struct slots {
    uint64_t words[METER_BEATS_MAX];
};

static inline size_t slots_words(const struct grid *grid)
{
    return (grid->slot_count + 63u) / 64u;
}

static inline void slots_clear(struct slots *slots, const struct grid *grid)
{
    memset(slots->words, 0, slots_words(grid) * sizeof *slots->words);
}

static inline void slots_add(struct slots *slots, uint32_t slot)
{
    slots->words[slot / 64] |= (uint64_t)1 << slot % 64;
}

static inline bool slots_have(const struct slots *slots, uint32_t slot)
{
    return slots->words[slot / 64] >> slot % 64 & 1;
}

/* Which slots of each span a line strikes. */
struct divided_line {
    struct span *spans[METER_BEATS_MAX];
    struct spelling_onsets onsets[METER_BEATS_MAX];
    uint16_t count;
    bool partial; /* a pickup: the spans before the first one are not written */
};

/* A tie out of a rhythm line, over the bar line. */
struct crossing_tie {
    size_t bar; /* index of the bar that it leads out of */
    struct place at;
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
    uint64_t strokes, bars, counts;
    bool over_limit;

    /* Addresses of this exercise, resolved on the grids of its bars. */
    struct table known_table; /* by address and grid */
    VECTOR(struct known_address) known;

    /* What was reported already: each bar of an exercise would repeat it. */
    VECTOR(const void *) reported;
    /* What bars of this exercise use of its settings, each once: uses.c. */
    VECTOR(const void *) used;
    struct table used_table;
    /* What some exercise uses of the lesson's own `play` (bits of limbs), sticking, subdivision and
       voices by count. `unknown_uses`: some exercise could not be built, so its uses are unknown.
     */
    unsigned lesson_limbs;
    bool lesson_sticking, lesson_subdivision, unknown_uses;
    VECTOR(const void *) lesson_keyed;
    VECTOR(const struct play *) leads_reported; /* in the whole lesson */

    bool swings;                      /* some stroke is moved by swing */
    VECTOR(struct crossing_tie) ties; /* of this exercise */

    struct slots struck;   /* by the hands, in this bar */
    struct slots sounding; /* in the line that is being written */
    struct slots ringing;  /* of those: strokes that ring into the next one */

    /* Memory that every bar uses again. */
    VECTOR(struct strike) strike_room;
    VECTOR(int32_t) slot_room;
    VECTOR(struct foot_stroke) feet;
    VECTOR(struct keyed_stroke) keyed;
    VECTOR(struct position) foot_room;
    VECTOR(struct said_count) said;
    struct resolved resolved; /* the last address that is not in `known` */
    struct divided_line divided;
    struct span *spans[METER_BEATS_MAX];      /* of a bar that has a rhythm */
    struct span *unit_spans[METER_BEATS_MAX]; /* the same where the units are counted */
};

struct exercise_builder {
    struct builder *builder;
    const struct exercise *exercise;
    struct score_exercise *out;
    struct line_state hands, feet, left;
    const struct meter *meter; /* of the bar before */
    uint64_t bars_planned;
    VECTOR(struct vary_column) columns; /* where `vary` can change it */
    int32_t columns_strokes;            /* items of the sticking in those */
    mark_set marks;                     /* all that its notes carry */
    bool rolled;                        /* the exercise's `roll` found a roll to number */
    bool incomplete;                    /* a bar could not be built */
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
    bool several_bars;   /* the exercise has more than one bar */
    unsigned limbs_used; /* bits of the hands whose voices `play` has given */
};

/* Whether the exercise has no sticking of its own: none, or that of its lesson or course. */
static inline bool sticking_from_above(const struct bar_builder *bar)
{
    const struct stroke_line *sticking = bar->exercise->exercise->settings.sticking;
    return !sticking || sticking == bar->builder->lesson->settings.sticking;
}

/* True for the first call with this key in an exercise. */
bool builder_report_once(struct builder *builder, const void *key);

/* Adds to the counts that bars have looked up and applied. False beyond LESSON_COUNTS_MAX, which is
   reported. */
bool builder_count(struct builder *builder, size_t more, struct place at);

/* ---- uses.c: what is without effect --------------------------------------------------------- */

/* Notes that a bar uses something of the settings. */
void builder_use(struct builder *builder, const void *what);
/* Reports what the exercise and its bars say that no stroke asks for, and what is cut short. */
void uses_check(struct exercise_builder *exercise);
/* The same for what is written for the whole lesson, once all exercises are built. */
void uses_check_lesson(struct builder *builder);

/* ---- slots.c, rhythm.c: who strikes when ---------------------------------------------------- */

/* One line of a bar as the lesson has it: the hands' or the feet's. */
struct line_source {
    const struct rhythm_line *rhythm;   /* NULL: the grid */
    const struct stroke_line *sticking; /* NULL: no letters */
    bool sticking_own;                  /* written in this bar: starts and ends with it */
    bool goes_round;                    /* `sticking_own`, but it goes round: a rudiment's */
    const struct voicing_line *voices;  /* written in this bar; NULL: none */
    bool sounds;                        /* without a sticking, every slot sounds */
    struct line_state *state;
    struct place at; /* for strokes without a letter of their own */
};

/* The strikes of a bar on a grid, with letters, marks, graces and places. */
void grid_strikes(struct bar_builder *bar, const struct grid *grid,
                  const struct line_source *source, struct strikes *out);

/* The leaves of a rhythm line. False if it does not add up; that has been reported. `pickup` moves
   a shorter line to the bar's end. */
bool rhythm_leaves(struct bar_builder *bar, const struct rhythm_line *rhythm, bool pickup,
                   const struct line_state *state, struct score_line *out);
/* The strikes of those leaves. False if strokes and notes differ in number (reported). */
bool rhythm_strikes(struct bar_builder *bar, struct score_line *line,
                    const struct line_source *source, struct strikes *out);
/* The stretch of a rudiment's figure that fills this bar, from item `*next` on. NULL, and reported,
   if the bar line falls inside a note or a tuplet. */
const struct rhythm_line *figure_in_bar(struct bar_builder *bar, const struct rhythm_line *figure,
                                        size_t *next);
/* How long a rudiment is until it begins again: with both leads where it changes the lead. */
struct fraction figure_round(const struct rhythm_line *figure, const struct stroke_line *sticking);
/* True if the voicing has voices for the feet only: no hand strikes. */
bool voicing_is_feet_alone(const struct bar_builder *bar, const struct voicing *voicing);
/* Gives the leaves their notes; leaves whose strike is silent become rests. Remembers the note that
   a tie leads on from. */
void rhythm_settle(struct bar_builder *bar, const struct rhythm_line *rhythm,
                   struct score_line *line, const struct strikes *strikes,
                   struct line_state *state);
/* For a line without a rhythm: a tie out of the bar before has no note to lead to. */
void rhythm_end_tie(struct bar_builder *bar, struct line_state *state);
/* Finds what is counted over a rhythm: in each beat the coarsest subdivision that has a slot for
   every struck leaf. `unit_spans`: the same where the units of the meter are counted. */
void rhythm_spans(struct bar_builder *bar, const struct score_line *line, struct span **spans,
                  struct span **unit_spans);

/* How many slots of the grid lie before an onset. */
uint32_t grid_slots_before(const struct grid *grid, struct fraction onset);

/* Makes the note of a stroke of a sticking, without hits. It writes field by field because building
   a struct and copying it is measurably slower here. */
static inline void note_take_stroke(struct note *note, const struct stroke *stroke, uint32_t number,
                                    const char *file)
{
    bool open = stroke->hand == HAND_OPEN;
    memset(note, 0, sizeof *note);
    note->marks = stroke->marks;
    note->grace_count = stroke->grace_count;
    note->graces = stroke->graces;
    note->letter = open ? 0 : (uint8_t)hand_letter(stroke->hand, false);
    note->proposed = open ? NOTE_ASKED : 0;
    note->number = number;
    note->at.file = file;
    note->at.line = stroke->line;
    note->at.column = stroke->column & PLACE_COLUMN_MAX;
    note->at.length = 1;
}

/* Checks every `|` of a sticking or `voices` line that stands before item `index`, which belongs to
   strike number `strike`; the item before it belongs to strike `before`, or to none: -1. Rests have
   no items, so a beat must begin anywhere after the strike before, up to this one. */
void check_boundaries_between(struct bar_builder *bar, const struct boundary *boundaries,
                              size_t count, size_t index, const struct strikes *strikes,
                              uint32_t strike, int64_t before);

/* ---- strokes.c: what each stroke sounds like ----------------------------------------------- */

void strokes_voice_hands(struct bar_builder *bar, struct strikes *strikes, bool beside_rhythm);
void strokes_voice_feet(struct bar_builder *bar, struct strikes *strikes,
                        const struct limb_line *feet, bool own);
void strokes_voice_left(struct bar_builder *bar, struct strikes *strikes,
                        const struct limb_line *left, bool own);
/* `at`, accents and ghosts of the left hand's line; bar->counted is that line's. */
void strokes_change_left(struct bar_builder *bar, struct strikes *strikes,
                         const struct limb_line *left, bool own);
/* The limb's next voicing in `play`; NULL if `play` has none for it. */
const struct voicing *play_next(const struct play *play, size_t *counters, enum limb limb);
/* play_next() for a foot, which may have no `play`. */
const struct voicing *play_next_of_foot(struct bar_builder *bar, const struct play *play,
                                        size_t *counters, enum limb foot);
/* Moves a stroke that the sticking gives a foot (K, H) to the feet: the hands rest there. */
void strike_by_foot(struct bar_builder *bar, struct strikes *strikes, uint32_t index);
/* Reports a foot given grace notes by a word such as `flam`. `letter`: the foot's in the sticking,
 * or 0.
 */
void report_foot_graces(struct bar_builder *bar, const struct voicing *voicing, char letter);
/* Gives a foot's stroke marks that are more general than its own. */
void foot_take_marks(struct foot_stroke *stroke, mark_set general);
/* `at`, accents and ghosts. */
void strokes_apply_addresses(struct bar_builder *bar, struct strikes *strikes);

/* Adds a hit of this limb on this voice to a note of the hands. */
void note_add_hit(struct bar_builder *bar, struct note *note, voice_id voice, uint8_t limb,
                  bool ghost);
/* The foot of a player who stands at the kit's pedals; in a left-handed set-up the other one. */
uint8_t foot_of_player(const struct bar_builder *bar, enum player player);
/* Adds marks asked for at this very stroke. An accent and a ghost on one stroke are reported at
   `at`, once for each key. */
void strike_mark(struct bar_builder *bar, struct strikes *strikes, uint32_t index, mark_set marks,
                 struct place at, const void *key);
/* For marks by count, before strike_mark(): an accent ends the ghost of the sticking's brackets. */
void strike_end_brackets(struct strikes *strikes, uint32_t index, mark_set marks);
/* Grace strokes that a word asks for. */
void note_take_graces(struct note *note, uint8_t count);
/* The strike at an onset; -1 where there is none. */
int32_t find_strike(const struct strikes *strikes, const struct position *position);
/* The hi-hat voice with a mark's sign, for any of the hi-hats; other voices stay as they are. */
voice_id hat_for(voice_id voice, mark_set marks);

/* ---- keyed.c: voices by count --------------------------------------------------------------- */

/* Whether the bar has voices of the hands by count. */
bool keyed_has_hands(const struct bar_builder *bar);
/* A foot's voice that has counts in this bar; NULL if there is none. */
const struct keyed_voice *keyed_foot(const struct bar_builder *bar);
/* `each N strokes` where the hands have no strokes. */
void keyed_report_uncounted(struct builder *builder, const struct address *address);
/* For a bar without subdivision: beat by beat the coarsest that holds what the counts name. The
   bar's grid is the undivided one; its counts are looked up there from now on if the grid does not
   say them. NULL, and reported, if a beat has none. */
const struct subdivisions *keyed_subdivisions(struct bar_builder *bar);
/* Adds the strokes of the hands to those of the bar, and notes those of the feet. `line`: the
   leaves of a rhythm; NULL on a grid. */
void keyed_strike(struct bar_builder *bar, struct score_line *line, struct strikes *strikes);

/* ---- bar_addresses.c: the counts of a bar -------------------------------------------------- */

/* For messages: " of bar 3"; empty where there is only one, or all have the exercise's rhythm. */
const char *bar_words(const struct bar_builder *bar);

/* The places in the bar that an address means; valid until the next call. `shared`: the address is
   written in the exercise, so its result is kept for other bars of the same grid. */
const struct resolved *bar_resolve(struct bar_builder *bar, const struct address *address,
                                   bool shared);
/* False if the address names another bar; an address written in a bar must not, and is reported. */
bool address_in_bar(struct bar_builder *bar, const struct address *address, bool shared);
/* The addresses that a key such as `accents` has for this bar: the bar's own or the exercise's;
   NULL for none. The exercise's do not apply to a pickup. */
const struct address_list *bar_addresses(const struct bar_builder *bar,
                                         const struct address_bars *own,
                                         const struct address_bars *inherited);
/* Whether bar_addresses() took the exercise's. */
static inline bool address_shared(const struct address_bars *own)
{
    return own->count == 0;
}

/* ---- line.c: values ------------------------------------------------------------------------ */

/* For `tuplet-numbers: first`: no number on a tuplet that is like the one right before it. */
void line_number_tuplets(const struct bar_builder *bar, struct score_line *line);
void line_write(struct bar_builder *bar, struct divided_line *divided, struct note *notes,
                struct line_state *state, struct score_line *out);
/* On a grid. builder->sounding and ->ringing hold the slots; the notes belong to them in order. */
void line_on_grid(struct bar_builder *bar, struct grid *grid, struct note *notes,
                  struct line_state *state, struct score_line *out);
/* From the strikes of a grid. Packs the notes that sound at the front of `strikes->notes`. */
void line_from_grid(struct bar_builder *bar, struct grid *grid, struct strikes *strikes,
                    struct line_state *state, struct score_line *out);

/* ---- mirror.c ------------------------------------------------------------------------------ */

/* Gives the exercise the hands of its lead, and the sides of the lesson or of the other player. */
void exercise_take_sides(const struct score *score, struct score_exercise *exercise,
                         bool other_player);

/* ---- loose.c: notes by onset ---------------------------------------------------------------- */

/* Notes in order of time, and where each stands. */
struct loose_notes {
    struct note *notes;
    struct position *where;
    uint32_t count;
    uint32_t stuck; /* loose_write(): the first note of the beat that fits no subdivision */
};

/* Gives them note values. False if there are none that fit. */
bool loose_write(struct bar_builder *bar, struct loose_notes *loose, struct line_state *state,
                 struct score_line *out);
/* `stems: up`: also merges the bar's hands and feet into one line, if they can share stems. */
void together_build(struct bar_builder *bar);
/* Keeps the merged lines only if every bar of the exercise could be merged and at least one is
 * linear. */
void together_settle(struct exercise_builder *exercise);

/* ---- limb_line.c: lines of their own -------------------------------------------------------- */

enum line_of { LINE_OF_FEET, LINE_OF_LEFT };

/* `own`: written in this bar. */
void limb_line_build(struct bar_builder *bar, const struct limb_line *line, bool own,
                     enum line_of of, struct score_line *out);
/* The left hand's own line, if any. Build the feet first: they join it. */
void left_build(struct bar_builder *bar);

/* ---- feet.c, counts.c ---------------------------------------------------------------------- */

void feet_build(struct bar_builder *bar);
void counts_build(struct bar_builder *bar);
void dynamics_build(struct bar_builder *bar);
/* What a chart has over the bar. */
void words_build(struct bar_builder *bar);

/* ---- vary_places.c: where `vary` can change the exercise --------------------------------------
 */

/* Adds the columns of a bar that is built. */
void vary_add_bar(struct bar_builder *bar);
/* Settles them once all bars are built, and reports what cannot vary. */
void vary_settle(struct exercise_builder *exercise);

/* ---- jump_check.c -------------------------------------------------------------------------- */

/* Reports jumps that lead nowhere, or round for ever, and signs that no jump leads to. */
void jumps_check(struct exercise_builder *exercise);

/* False if the bar cannot be built; the reason has been reported. */
bool bar_build(struct bar_builder *bar);

/* How many slots a bar has with these settings; 0 without a usable grid. */
uint32_t bar_slots(struct builder *builder, const struct settings *settings);

#endif
