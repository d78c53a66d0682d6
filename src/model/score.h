#ifndef RATAMARK_MODEL_SCORE_H
#define RATAMARK_MODEL_SCORE_H
/*
 * The score: what is played and written, in exact time, ready for any reader of it (page,
 * terminal, sound, playability, exchange). Built from a lesson; knows nothing of files but places.
 *
 *     score > exercises > bars > lines (hands, feet) > beats > tuplets > leaves > notes
 *
 * It is stored flat: a line's leaves are in order of time. Beats and tuplets are stretches
 * of them; a tuplet names the tuplet around it. All durations and onsets are
 * fractions of a whole note; onsets count from the bar line (a pickup's from where the whole bar
 * would have begun, so that its last leaf ends at the meter's length).
 */
#include "model/lesson.h"
#include "model/vary.h"
#include "model/verdict.h"

enum { NOTE_HITS_MAX = 4, LEAF_NO_TUPLET = 0xFFFF };

/* In `proposed`, above the bits of hits. */
enum {
    NOTE_PROPOSED = 1 << 7, /* the program has chosen the hands */
    NOTE_ASKED = 1 << 6,    /* the file asks for a hand: `?`, or `sticking: auto` */
    NOTE_KEYED = 1 << 5     /* voices by count are among the hits: the file need not name a hand,
                               and either hand may have either hit */
};

/* One limb on one voice. */
struct hit {
    voice_id voice;
    uint8_t limb; /* enum limb */
    bool ghost;
    bool plain; /* the note's accent is for another of its hits */
};

/* What is struck at one onset of a line: heads that share a stem. */
struct note {
    struct hit hits[NOTE_HITS_MAX];
    mark_set marks; /* of the whole note; never MARK_GHOST, which is each hit's own; a mark of hats
                       only where no hat of the kit took it as its voice */
    uint8_t hit_count;
    uint8_t grace_count; /* grace strokes before it */
    uint8_t graces;      /* as in struct stroke: bit i set: the left hand */
    uint8_t roll;        /* the number that a roll carries: how many strokes it is; 0: none */
    uint8_t letter;      /* the sticking letter: 'R', 'L', 'B' (both), or 0; of the feet's notes
                            'K' and 'H' where the hands' sticking has them */
    uint8_t proposed;    /* where the file leaves hands open, NOTE_ flags say how, and once the
                            program has chosen, bit i is set if hit i is for the left hand */
    bool hands_swapped, feet_swapped; /* right and left are those of the file, swapped */
    uint32_t number; /* 0-based stroke of its line in the exercise's written bars */
    struct place at; /* where the file asks for it */
};

struct leaf {
    struct fraction onset, length; /* sounding time, tuplets applied */
    uint8_t value_log2;            /* written: 0 whole .. 6 sixty-fourth */
    uint8_t dots;
    bool rest : 1;
    bool tied : 1;      /* a tie leads from it to the next leaf (over the bar line too) */
    bool continued : 1; /* a tie leads into it: not struck again, no letter, no count */
    bool whole_bar : 1; /* a rest that fills the bar: written as a centred whole rest */
    bool ends_roll : 1; /* a tie leads a roll with a number into it, and its last stroke is here */
    uint16_t tuplet;    /* innermost tuplet, index in the line; LEAF_NO_TUPLET */
    uint16_t beat;      /* the beat that its onset falls in */
    struct note *note;  /* NULL: rest. A continuation points at the struck leaf's note */
};

struct tuplet {
    uint16_t actual, normal; /* `actual` in the time of `normal` written values */
    uint16_t outer;          /* the tuplet around it, or LEAF_NO_TUPLET */
    uint8_t depth;           /* 0 outermost */
    uint32_t first, end;     /* leaves [first, end) */
    struct fraction onset, length;
    bool numbered;     /* its number is printed (`tuplet-numbers: first` leaves out equals) */
    bool ratio;        /* prints actual:normal, as the number alone would mislead */
    uint8_t unit_log2; /* written value that `actual` counts */
};

/* One voice line of a bar. Empty: leaf_count 0 (feet that do not play at all). A note of the left
   hand's own line may last under strokes of the feet, whose leaves follow it. */
struct score_line {
    struct leaf *leaves;
    struct tuplet *tuplets;
    uint32_t leaf_count;
    uint16_t tuplet_count;
};

enum { LINE_HANDS, LINE_FEET, LINE_COUNT };

/* One beat of a bar, with the grid spoken in it. A beat is also the group that beams keep to. */
struct score_beat {
    struct fraction start, length;
    uint8_t kind;        /* enum beat_kind */
    bool has_division;   /* false: no grid holds its onsets; only its number is spoken */
    uint8_t subdivision; /* enum subdivision that is spoken in it */
    bool spans_two;      /* first beat of two that share a division (quarter triplets) */
    bool spanned;        /* the second of such two: its number is not a slot of the grid */
    struct division division;
};

/* A syllable of the count row. */
struct count {
    struct fraction onset;
    const char *text; /* "2", "&", "let" */
    const char *name; /* how a count names it after its beat: "", "&", "&let"; NULL: it cannot */
    uint16_t beat;    /* of that name, from 0 */
    const struct tuplet *tuplet; /* NULL, or the tuplet over several beats whose note it counts */
    bool beat_number;            /* spoken on the beat */
    bool struck; /* a hand or a foot strikes there; else silent: for `counts: grid` */
};

struct dynamic_mark {
    struct fraction onset;
    const char *text; /* "mf", "cresc"; of words over the bar: "Call" */
};

struct score_bar {
    const struct meter *meter;
    const struct settings *settings;
    struct fraction length; /* meter's length; a pickup's own */
    struct fraction start;  /* zero; a pickup's first onset */
    struct score_beat *beats;
    struct score_beat *counted; /* the beats that are counted: the same, or the meter's units */
    struct score_line lines[LINE_COUNT]; /* under `same` those of the bar that it repeats */
    bool hands_apart; /* `right` and `left`: the hands' line is the right hand's, the feet's line
                         the left hand's and the feet's */
    struct score_line together; /* `stems: up`, in an exercise that is linear somewhere: hands and
                                   feet as one line, for the page; the notes are those of the lines,
                                   of the hands where both strike */
    bool linear;                /* while it is built: hands and feet strike, and never together */
    struct count *counts;
    struct dynamic_mark *dynamics;
    const struct score_line *figures; /* NULL, or what the band plays: notes without hits */
    struct dynamic_mark *words;       /* over its counts */
    struct dynamic_mark *paces;       /* "accel", "rit", "a-tempo"; printed among the words, too */
    const struct bar_signs *signs;    /* NULL, or what else a chart says over the bar */
    const struct pulse *pulse;   /* NULL, or how its beat follows from that of the bar before */
    const struct ending *ending; /* NULL, or the ending that this bar belongs to */
    uint16_t beat_count, counted_count, count_count, dynamic_count, word_count, pace_count;
    uint16_t plays; /* at repeat_ends: how often in all (2 or more) */
    bool repeat_begins, repeat_ends;
    bool ending_begins, ending_ends;
    uint8_t repeats; /* as the page shows bars (form.h, shown_bars.h): the sign for as many bars */
    uint16_t rests;  /* ... a rest of so many bars */
    bool slashes;    /* ... its rests are beat slashes */
    uint16_t time;   /* ... of a sign: which time the bar is played, to be printed; 0: not */
    bool meter_changes; /* the meter is printed: the first bar, or a new meter */
    bool pickup;
    bool chords;     /* some note has several hits: only those can ask too much of a limb */
    bool last;       /* the exercise's last: closing bar line */
    uint32_t number; /* 1-based; a pickup is 0 */
    struct place at;
};

/* After how many bars a repeated sticking lines up with beat 1 again. */
struct cycle {
    uint32_t slots_in_cycle;  /* C: strokes and empty slots; 0: nothing cycles */
    uint32_t slots_in_bar;    /* S */
    uint64_t bars_to_line_up; /* lcm(C, S) / S; 0: unknown (bars differ, overflow) */
    uint64_t rotations;       /* lcm(C, S) / C */
    bool lines_up;            /* the written bars are a multiple of bars_to_line_up */
    bool loops;               /* repeated */
    bool in_time;             /* of a rudiment with its rhythm: C and S are lengths, not slots */
    bool hand_changes;        /* the repeat starts with a different hand than the running cycle */
};

/* Hands chosen for the faster of several tempos (in hundredths) that would differ at the slower
 * one; `note` is the first such note. */
struct slower_hands {
    const struct note *note; /* NULL: there are none */
    const struct score_bar *bar;
    uint32_t slow, fast;
};

struct score_exercise {
    const struct exercise *source;
    const char *title; /* with the lead if both are printed: "On the pad, left lead" */
    bool left_lead;    /* this copy is the left lead, as the lesson writes it */
    bool mirrored;     /* the file's hands are swapped */
    bool feet_mirrored;
    uint32_t number;           /* 1-based, as printed */
    const struct tempo *tempo; /* NULL: none */
    struct score_bar *bars;
    size_t bar_count;
    struct cycle cycle;
    struct slower_hands slower_hands;
    const struct verdict *verdict;   /* NULL: not judged */
    const struct vary_columns *vary; /* where its variations change it; NULL: it has none */
    bool sequence;                   /* a practice form: `source->sequence`, no bars of its own */
    bool chords;                     /* some bar has them */
};

struct score {
    const struct lesson *lesson;
    struct score_exercise *exercises;
    size_t exercise_count;
    bool *voices_used; /* by voice_id: for the drum key */
    bool ghosts_used;
    bool hands_asked;    /* some note's hand is still to be chosen */
    bool other_player;   /* mirrored, for a player of the other handedness */
    struct arena *arena; /* the lesson's */
};

/* The exercise as it is printed: the first printing, if both leads are. NULL if it is not. `index`
   is its place in the lesson. */
const struct score_exercise *score_printing(const struct score *score, size_t index);

/* Whether an ending is played at this time through, from 1; and the last time that an exercise has
   an ending for, 0 without endings. */
bool ending_has(const struct ending *ending, uint16_t pass);
uint16_t endings_last(const struct exercise *exercise);

/* The marks of one hit: its own ghost, and those of the note that hold for it. */
static inline mark_set hit_marks(const struct note *note, const struct hit *hit)
{
    mark_set marks =
        hit->ghost || hit->plain ? marks_without(note->marks, MARKS_LOUD) : note->marks;
    return hit->ghost ? (mark_set)(marks | MARK_GHOST) : marks;
}

/* Whether the hands' sticking gave a foot this letter. */
static inline bool is_foot_letter(uint8_t letter)
{
    return letter == 'K' || letter == 'H';
}

/* The outermost tuplet around a leaf; NULL: none. */
static inline const struct tuplet *leaf_outermost(const struct score_line *line,
                                                  const struct leaf *leaf)
{
    if (leaf->tuplet == LEAF_NO_TUPLET)
        return NULL;
    const struct tuplet *tuplet = &line->tuplets[leaf->tuplet];
    while (tuplet->outer != LEAF_NO_TUPLET)
        tuplet = &line->tuplets[tuplet->outer];
    return tuplet;
}

/* The leaf's note is struck here (not a rest, not a tie's continuation). */
static inline bool leaf_struck(const struct leaf *leaf)
{
    return leaf->note && !leaf->rest && !leaf->continued;
}

/*
 * How many strokes a leaf's note makes in the leaf's time; 0: as many bounces as fit. The number of
 * a roll includes its last stroke: the one that it is tied to, by `+` in the sticking or in the
 * rhythm.
 *
 *     R///+ L    5: four strokes of the roll, then the L
 */
static inline int leaf_strokes(const struct leaf *leaf)
{
    const struct note *note = leaf->note;
    if (!note->roll)
        return marks_strokes(note->marks);
    return leaf->continued ? leaf->ends_roll : note->roll - (leaf->tied || note->marks & MARK_RING);
}

/* Whether a roll with a number that began before the leaf lasts through it. */
static inline bool roll_goes_on(const struct leaf *leaf)
{
    return leaf->continued && leaf->note->roll && leaf->note->marks & MARK_RING;
}

/* The slashes or buzz that a leaf's stem carries: also that of a note tied on, where the strokes go
   on in its time. */
static inline mark_set leaf_stem_marks(const struct leaf *leaf)
{
    if (!leaf->note || leaf->rest || (leaf->continued && leaf->note->roll && !roll_goes_on(leaf)))
        return MARK_NONE;
    return leaf->note->marks & MARKS_ON_STEM;
}

/* The last leaf in the time of such a roll, in its bar. */
static inline uint32_t roll_last(const struct score_line *line, uint32_t leaf)
{
    while (leaf + 1 < line->leaf_count && !line->leaves[leaf + 1].rest &&
           roll_goes_on(&line->leaves[leaf + 1]))
        leaf++;
    return leaf;
}

/* A walk through the strokes of a bar's sticking in order of time: the notes of the hands' line,
   and those of the feet's that its sticking has a letter for. Zeroed but for the bar. */
struct sticking_walk {
    const struct score_bar *bar;
    uint32_t next[LINE_COUNT];
};
/* NULL at the end. Where hands and a foot strike together the hands come first. */
const struct leaf *sticking_next(struct sticking_walk *walk);

/* The beat of some that an onset falls in, as an index; the first one for what comes before. */
static inline uint16_t beat_at(const struct score_beat *beats, uint16_t count,
                               struct fraction onset)
{
    uint16_t beat = 0;
    while (beat + 1 < count && fraction_compare(beats[beat + 1].start, onset) <= 0)
        beat++;
    return beat;
}

static inline uint16_t bar_beat_at(const struct score_bar *bar, struct fraction onset)
{
    return beat_at(bar->beats, bar->beat_count, onset);
}

static inline uint16_t bar_counted_at(const struct score_bar *bar, struct fraction onset)
{
    return beat_at(bar->counted, bar->counted_count, onset);
}

/* "right hand"; not for LIMB_HAND. */
const char *limb_word(uint8_t limb);

/* Whether each stroke of the feet has a syllable. */
bool bar_counts_feet(const struct score_bar *bar);
/* Whether a syllable is there for a tuplet that the feet have in a beat by themselves. */
bool count_is_feets_tuplet(const struct score_bar *bar, const struct count *count);

#endif
