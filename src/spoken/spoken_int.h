#ifndef RATAMARK_SPOKEN_SPOKEN_INT_H
#define RATAMARK_SPOKEN_SPOKEN_INT_H
/*
 * What the files of the reading share, from small to large:
 *
 *     words.c      words of the trade: numbers, meters, values, marks, loudness
 *     habits.c     what is said once for an exercise, and left out after that
 *     strokes.c    what is struck at one onset
 *     places.c     when: counts by name
 *     beats.c      a beat of the hands by its counts
 *     values.c     a stretch of the hands by note values, where no grid holds it
 *     same.c       what comes again
 *     feet.c       the feet's sentence of a bar, and that of its loudness
 *     bars.c       bars, and what they repeat
 *     opening.c    the sentences before the first bar
 *     spoken.c     exercises and the lesson
 */
#include "base/table.h"
#include "base/vector.h"
#include "spoken/spoken.h"

/* What a limb is heard to do unless something else is said. */
struct habit {
    voice_id voice; /* VOICE_NONE: the limb never plays */
    bool ghost;     /* its strokes on that voice are ghosts, but for accents */
    bool broken;    /* some stroke is otherwise */
};

enum { LIMBS = LIMB_HAND + 1 };

struct habits {
    struct habit limbs[LIMBS];
    int subdivision; /* enum subdivision of most beats that divide; -1: none does */
};

/* One exercise on its way into words. */
struct telling {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    struct habits habits;
    bool repeats_whole; /* the repeat is the whole exercise: said in the opening */
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
/* "quarter", "dotted eighth"; of a sixty-fourth and shorter too. */
const char *word_value(struct arena *arena, unsigned value_log2, unsigned dots);
const char *word_limb(unsigned limb);
/* "mezzo forte"; the text itself where it is no known word. */
const char *word_dynamic(const char *text);
/* Appends the words of a whole note's marks and graces, each after a space. */
void word_marks(const struct note *note, struct buffer *out);
/* "once", "twice", "3 times". */
const char *word_times(struct arena *arena, unsigned times);
/* "1 and 2", "1 to 4". */
void word_range(unsigned first, unsigned last, struct buffer *out);
/* Digits. */
void add_number(unsigned number, struct buffer *out);
const char *voice_word(const struct telling *telling, voice_id voice);

/* ---- habits ------------------------------------------------------------------------------- */

/* `voices`: how many the kit has. */
struct habits habits_of(const struct score_exercise *exercise, size_t voices, struct arena *arena);

static inline bool is_foot(unsigned limb)
{
    return limb == LIMB_RIGHT_FOOT || limb == LIMB_LEFT_FOOT;
}

/* ---- strokes ------------------------------------------------------------------------------ */

/* What the hands strike: "right", "left ride accent", "both". `common` is the voice that has been
   said for all of them, VOICE_NONE for none. */
void stroke_words(const struct telling *telling, const struct note *note, voice_id common,
                  struct buffer *out);
/* The voice that is worth saying once for the strokes of leaves [first, end); or VOICE_NONE. */
voice_id stroke_common(const struct telling *telling, const struct leaf *leaves, uint32_t first,
                       uint32_t end);

/* ---- places ------------------------------------------------------------------------------- */

/* A slot of a beat's own grid: "and", "first trip", "second of 5". Slot 0 is the beat itself. */
const char *slot_word(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                      unsigned slot);
/* The slot of the beat's own grid at this onset; -1: none. */
int slot_at(const struct score_beat *beat, struct fraction onset);
/* The slot of another subdivision of this beat, the coarsest: "a in sixteenths"; NULL: none. */
const char *place_beside_grid(const struct telling *telling, const struct score_bar *bar,
                              uint16_t beat, struct fraction onset);
/* An onset of the bar: "2", "the and of 2", "the a in sixteenths of 2", "5/16 into beat 2". */
const char *place_word(const struct telling *telling, const struct score_bar *bar,
                       struct fraction onset);
/* Syllables as they are heard: & is "and", # a number. */
void syllable_words(const char *syllable, unsigned number, struct buffer *out);

/* ---- the hands of a bar ------------------------------------------------------------------- */

/* What is said of one beat, or of several that cannot be parted. */
struct unit {
    uint16_t beat, beats;
    const char *manner; /* "" or ", eighth triplets": behind the beat's number */
    const char *body;
};
typedef VECTOR(struct unit) unit_list;

void beat_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
               uint16_t beats, struct unit *unit);
void value_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                uint16_t beats, struct unit *unit);
/* Some stroke of the hands in the beat is on no slot of its grid, or some rest on none of any. */
bool beat_off_grid(const struct telling *telling, const struct score_bar *bar, uint16_t beat);
/* Beats from `beat` that hold each leaf and tuplet of the hands whole. */
uint16_t value_stretch(const struct score_bar *bar, uint16_t beat, uint16_t end);

/* Sentences of the hands' line, parted by line ends; "" where it has nothing. */
const char *hands_sentences(const struct telling *telling, const struct score_bar *bar);

/* ---- feet and loudness -------------------------------------------------------------------- */

const char *feet_sentence(const struct telling *telling, const struct score_bar *bar);
const char *dynamics_sentence(const struct telling *telling, const struct score_bar *bar);

/* ---- what comes again --------------------------------------------------------------------- */

uint64_t hash_line(const struct score_line *line);
/* Counts mean the same in both bars. */
bool same_ground(const struct score_bar *a, const struct score_bar *b);
/* The lines are told in the same words. */
bool same_line(const struct score_bar *a, const struct score_bar *b, int line);

/* ---- bars and openings -------------------------------------------------------------------- */

void bars_tell(const struct telling *telling, struct buffer *out);
void opening_tell(const struct telling *telling, struct buffer *out);
bool repeats_whole(const struct score_exercise *exercise);
/* What the grids of the bar are counted as: "sixteenths, counted 1 e and a"; those that `before`
   (NULL: nothing) has in the same words are left out. */
void countings_tell(const struct telling *telling, size_t first, size_t end, struct buffer *out);

/* A line's end into the text, unless it is empty or has one. */
static inline void end_line(struct buffer *out)
{
    if (out->length && out->bytes[out->length - 1] != '\n')
        buffer_add_text(out, "\n");
}

#endif
