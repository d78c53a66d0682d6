#ifndef RATAMARK_SPOKEN_SPOKEN_INT_H
#define RATAMARK_SPOKEN_SPOKEN_INT_H
/*
 * What the files of this folder share, from small to large:
 *
 *     say_words.c      numbers, meters, note values, marks and dynamics in words
 *     habits.c         what an exercise usually does: said once, then left out
 *     say_strokes.c    what is struck at one moment
 *     places.c         when: counts by name
 *     say_beats.c      a beat of the hands by its counts
 *     values.c         beats of the hands by note values, if they fit no counts
 *     say_hands.c      the hands of a bar
 *     say_feet.c       the feet of a bar, and its dynamics
 *     say_bars.c       all bars, and which of them are the same
 *     opening.c        the sentences before the first bar
 *     spoken.c         exercises and the lesson
 */
#include "base/table.h"
#include "base/vector.h"
#include "model/bar_same.h"
#include "spoken/spoken.h"

/* What a limb does unless the text says otherwise. */
struct habit {
    voice_id voice; /* VOICE_NONE: the limb never plays */
    bool ghost;     /* its strokes on that voice are ghosts, except accents */
    bool broken;    /* some stroke is different */
};

enum { LIMBS = LIMB_HAND + 1 };

struct habits {
    struct habit limbs[LIMBS];
    int subdivision; /* enum subdivision of most divided beats; -1: no beat is divided */
};

/* One exercise while it is put into words. */
struct telling {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    struct habits habits;
    bool repeats_whole; /* the whole exercise is repeated: the opening says how often */
};

/* ---- words -------------------------------------------------------------------------------- */

/* "four", "twenty-one"; digits above ninety-nine. Good until the fourth call after it. */
const char *word_of_number(unsigned number);
/* "four four", "seven eight, in groups of two, two and three". */
void word_meter(const struct meter *meter, struct buffer *out);
/* "60 to 96 quarter notes a minute". */
void word_tempo(const struct tempo *tempo, const struct meter *meter, struct buffer *out);
/* "swung two to one" or "straight". */
void word_swing(struct fraction swing, struct buffer *out);
/* "an eighth as long as before", "a dotted quarter as long as a quarter was". */
void word_pulse(const struct pulse *pulse, struct buffer *out);
bool is_swung(struct fraction swing);
/* "quarter", "dotted eighth". */
const char *word_value(struct arena *arena, unsigned value_log2, unsigned dots);
const char *word_limb(unsigned limb);
/* "mezzo forte"; the text itself if it is not known. */
const char *word_dynamic(const char *text);
/* Adds the words of a note's graces and marks, each after a space. */
/* "rest", "held", or what a numbered roll ends with. */
const char *word_unstruck(const struct leaf *leaf);
void word_marks(const struct note *note, const struct hit *hit, struct buffer *out);
/* "once", "twice", "3 times". */
const char *word_times(struct arena *arena, unsigned times);
/* "1 and 2", "1 to 4". */
void word_range(unsigned first, unsigned last, struct buffer *out);
/* What comes before item `i` of `count`: "", ", " or " and ". */
const char *list_separator(size_t i, size_t count);
const char *voice_word(const struct telling *telling, voice_id voice);

/* ---- habits ------------------------------------------------------------------------------- */

/* `voices`: how many the kit has. */
struct habits habits_of(const struct score_exercise *exercise, size_t voices, struct arena *arena);

static inline bool is_foot(unsigned limb)
{
    return limb == LIMB_RIGHT_FOOT || limb == LIMB_LEFT_FOOT;
}

/* ---- strokes ------------------------------------------------------------------------------ */

/* What the hands strike: "right", "left ride accent", "both". `common` is the voice that was said
   for all strokes of the beat, or VOICE_NONE. */
void stroke_words(const struct telling *telling, const struct note *note, voice_id common,
                  struct buffer *out);
/* The voice to say once for all strokes of leaves [first, end); or VOICE_NONE. */
voice_id stroke_common(const struct telling *telling, const struct leaf *leaves, uint32_t first,
                       uint32_t end);

/* ---- places ------------------------------------------------------------------------------- */

/* A slot of a beat's own grid: "and", "first trip", "second of 5". Slot 0 is the beat itself. */
const char *slot_word(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                      unsigned slot);
/* The slot of the beat's own grid at this onset, or -1. */
int slot_at(const struct score_beat *beat, struct fraction onset);
/* The slot in another subdivision of the beat, the coarsest that fits: "a in sixteenths"; or NULL.
 */
const char *place_beside_grid(const struct telling *telling, const struct score_bar *bar,
                              uint16_t beat, struct fraction onset);
/* An onset of the bar: "2", "the and of 2", "the a in sixteenths of 2", "5/16 into beat 2". */
const char *place_word(const struct telling *telling, const struct score_bar *bar,
                       struct fraction onset);
/* What the sheet counts at this onset for a tuplet over several beats; NULL if nothing. */
const struct count *tuplet_count_at(const struct score_bar *bar, struct fraction onset);
/* Whether the beat is counted by the slots of its grid: not inside a tuplet over several beats. */
bool counted_by_grid(const struct score_bar *bar, uint16_t beat);
/* A syllable as it is spoken: "and" for &, the number for #. */
void syllable_words(const char *syllable, unsigned number, struct buffer *out);

/* ---- the hands of a bar ------------------------------------------------------------------- */

/* The words for one beat, or for several that a note or tuplet joins. */
struct unit {
    uint16_t beat, beats;
    const char *manner;  /* after the beat's number: "" or ", eighth triplets, all on the snare" */
    const char *counted; /* after the manner: "" or ", counted 1 e and a" */
    const char *body;
};
typedef VECTOR(struct unit) unit_list;

/* The leaves of the hands whose onsets are in beats [beat, beat + beats): [first, end). */
void hand_leaves(const struct score_bar *bar, uint16_t beat, uint16_t beats, uint32_t *first,
                 uint32_t *end);
struct unit beat_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                      uint16_t beats);
struct unit value_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                       uint16_t beats);
/* The unit with its words, which are moved out of the buffer, and the voice that all have. */
struct unit unit_of(const struct telling *telling, struct unit unit, voice_id common,
                    struct buffer *body);
/* Whether the beat cannot be said by counts: a stroke of the hands is on no slot of its grid, or a
   rest on no slot of any. */
bool beat_off_grid(const struct telling *telling, const struct score_bar *bar, uint16_t beat);
/* How many beats from `beat` on, at least up to `end`, no leaf or tuplet of the hands crosses the
   end of. */
uint16_t value_stretch(const struct score_bar *bar, uint16_t beat, uint16_t end);

/* The sentences of the hands, a line each. */
const char *hands_sentences(const struct telling *telling, const struct score_bar *bar);

/* ---- feet and loudness -------------------------------------------------------------------- */

const char *feet_sentence(const struct telling *telling, const struct score_bar *bar);
const char *dynamics_sentence(const struct telling *telling, const struct score_bar *bar);

/* ---- bars and openings -------------------------------------------------------------------- */

void bars_tell(const struct telling *telling, struct buffer *out);
void opening_tell(const struct telling *telling, struct buffer *out);
bool repeats_whole(const struct score_exercise *exercise);
/* How the bars from `first` on are counted, until the counting changes: "sixteenths, counted 1 e
   and a". Adds nothing if no beat is divided. */
void countings_tell(const struct telling *telling, size_t first, struct buffer *out);

/* Ends the line, unless it is empty or ended. */
static inline void end_line(struct buffer *out)
{
    if (out->length && out->bytes[out->length - 1] != '\n')
        buffer_add_text(out, "\n");
}

/* Removes spaces at the end. */
static inline void trim(struct buffer *out)
{
    while (out->length && out->bytes[out->length - 1] == ' ')
        out->bytes[--out->length] = '\0';
}

#endif
