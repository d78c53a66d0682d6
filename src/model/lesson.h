#ifndef RATAMARK_MODEL_LESSON_H
#define RATAMARK_MODEL_LESSON_H
/*
 * A lesson as its author wrote it: typed values, each with its place in the file. The reader makes
 * it, names resolved (rudiments, patterns, short voice names) and the cascade applied: each level's
 * `struct settings` already holds what it inherits from course, lesson and exercise.
 * Everything lives in the lesson's arena. Plain data; an unset text has text == NULL, an unset list
 * count == 0 and at.file == NULL.
 */
#include "diag/diag.h"
#include "model/format.h"
#include "model/limits.h"
#include "model/meter.h"
#include "model/page_words.h"
#include "model/subdivision.h"
#include "model/turned.h"
#include "model/voice.h"

/* The stated limits of a lesson (ratamark-lesson(5), LIMITS). */
enum {
    LESSON_BYTES_MAX = 4 * 1024 * 1024,
    LESSON_DEPTH_MAX = 16,
    LESSON_EXERCISES_MAX = 4096,
    LESSON_BARS_MAX = 16384,
    LESSON_STROKES_MAX = 262144,
    LESSON_COUNTS_MAX = 1048576, /* of accents, voices and the like, each in each of its bars */
    LESSON_KEYED_MAX = 128,      /* voices by count in one map */
    LESSON_TUPLET_DEPTH_MAX = 4,
    LESSON_VOICES_MAX = 256, /* the built-in ones included; as many short names */
    LESSON_STEPS_MAX = 1000, /* of a sequence */
    LESSON_LINE_MAX = 4000,  /* characters of a title and of other texts on one line */
    LESSON_MARK_MAX = 24,    /* characters of a rehearsal letter */
    LESSON_PLAYS_MAX = 999,
    LESSON_RESTS_MAX = 999 /* bars of one rest */
};

struct words {
    const char *text;
    struct place at;
};

/* ---- strokes ------------------------------------------------------------------------------ */

/* Who strikes. NONE: `.`, an empty slot; OPEN: `?`, a stroke whose hand is yet to be chosen; KICK
   and HAT: a foot, on the bass drum or the hi-hat, while the hands rest */
enum hand { HAND_NONE, HAND_RIGHT, HAND_LEFT, HAND_BOTH, HAND_OPEN, HAND_KICK, HAND_HAT, HANDS };

/* `mirrored`: with the hands swapped. */
static inline char hand_letter(unsigned hand, bool mirrored)
{
    static const char letters[2][HANDS + 1] = {".RLB?KH", ".LRB?KH"};
    return letters[mirrored][hand];
}

static inline bool hand_is_foot(unsigned hand)
{
    return hand == HAND_KICK || hand == HAND_HAT;
}

enum { GRACES_MAX = 7 };

struct stroke {
    mark_set marks;
    uint8_t hand : 4;        /* enum hand */
    uint8_t grace_count : 4; /* 1 flam, 2 drag, 3 four-stroke ruff ... */
    uint8_t graces;          /* bit i set: grace i (first played is bit 0) is the left hand */
    uint32_t line, column;   /* of the capital letter or the `.` */
};

/* A `|`: the author says that a beat begins at item number `before`. */
struct boundary {
    uint32_t before;
    struct place at;
};

struct stroke_line {
    struct stroke *strokes;
    size_t count;
    size_t struck; /* those that are not empty slots */
    bool feet;     /* some are strokes of feet */
    struct boundary *boundaries;
    size_t boundary_count;
    const char *name; /* the rudiment's or pattern's name where the line was given by one */
    struct place at;  /* of the value in the lesson */
};

/* ---- rhythm lines ------------------------------------------------------------------------- */

enum rhythm_kind { RHYTHM_NOTE, RHYTHM_REST, RHYTHM_TUPLET_OPEN, RHYTHM_TUPLET_CLOSE };

/* One step of a rhythm line, flat, in order; repeats (`*N`) are already written out. */
struct rhythm_item {
    uint8_t kind;            /* enum rhythm_kind */
    uint8_t value_log2;      /* note, rest: 0 whole .. 6 sixty-fourth */
    uint8_t dots;            /* 0 .. 3 */
    bool tied;               /* tied to the note that follows (`4+16`) */
    mark_set marks;          /* accents, of `figures` alone */
    uint16_t actual, normal; /* tuplet open: `actual` in the time of `normal` */
    struct place at;
};

struct rhythm_line {
    struct rhythm_item *items;
    size_t count;
    struct boundary *boundaries; /* `before` counts items */
    size_t boundary_count;
    size_t sounding;  /* notes that are struck: rests and tied continuations left out */
    bool round;       /* a rudiment's figure: it goes round, over the bar lines */
    struct place tie; /* a `+` at its end, into the next bar; unset: none */
    struct place at;
};

/* ---- count addresses ---------------------------------------------------------------------- */

enum address_kind {
    ADDRESS_SLOT,         /* 3e, 2:3&; with `to_beat`: a range 1..2a */
    ADDRESS_EACH_BEAT,    /* each beat */
    ADDRESS_EACH_SPOKEN,  /* each &, each let */
    ADDRESS_EACH_STROKES, /* each 6 strokes: the 1st, 7th, 13th ... of the whole exercise */
    ADDRESS_SUBDIVISION   /* quarters, eighths: every slot of that subdivision */
};

struct address {
    uint8_t kind;           /* enum address_kind */
    uint8_t subdivision;    /* SUBDIVISION: enum subdivision; of another kind: see `of` */
    bool of;                /* the syllables are those of `subdivision`: 1let of eighth triplets */
    uint16_t beat, to_beat; /* SLOT: 1-based; the second 0: no range; else its last, included */
    uint32_t bar;           /* 1-based; 0: in every bar */
    uint32_t every;         /* EACH_STROKES */
    const char *spoken;     /* syllable after the beat: "&", "let"; "" on the beat */
    const char *to_spoken;
    struct place at;
};

struct address_list {
    struct address *items;
    size_t count;
    struct place at;
};

/* A key of count addresses: one list for every bar, or a YAML list with one entry a bar, cycled. */
struct address_bars {
    struct address_list *bars;
    uint32_t count; /* 0: key not written */
    bool by_bar;    /* written as a YAML list */
    struct place at;
};

/* ---- voice words -------------------------------------------------------------------------- */

enum { VOICING_VOICES_MAX = 4 };

/* What a word such as `snare ghost`, `crash+bass-drum`, `rest` or `flam accent` asks for. */
struct voicing {
    voice_id voices[VOICING_VOICES_MAX];
    mark_set marks;                           /* of all voices */
    mark_set voice_marks[VOICING_VOICES_MAX]; /* `unlike`: how loud each voice is by itself */
    bool unlike;
    uint8_t voice_count; /* 0: the voice stays as it is */
    uint8_t graces;      /* 1 flam, 2 drag, 3 ruff: grace strokes by the other hand (flam) or as
                            is usual (drag: two by the other hand, ruff: alternating) */
    bool rest;           /* the stroke falls silent */
    struct place at;
};

struct voicing_line {
    struct voicing *items; /* repeats (`snare*4`) written out */
    size_t count;
    struct boundary *boundaries;
    size_t boundary_count;
    struct place at;
};

enum limb {
    LIMB_RIGHT_HAND,
    LIMB_LEFT_HAND,
    LIMB_RIGHT_FOOT,
    LIMB_LEFT_FOOT,
    LIMB_COUNT,
    LIMB_HAND /* either hand */
};

/* "flam", "drag" or "ruff". */
static inline const char *grace_word(uint8_t graces)
{
    return graces == 1 ? "flam" : graces == 2 ? "drag" : "ruff";
}

/* `play`: for each limb the voicings that its strokes cycle through. */
struct play {
    struct voicing_line limbs[LIMB_COUNT];
    struct place at;
};

struct at_entry {
    struct address_list where;
    struct voicing what;
};
struct at_map {
    struct at_entry *entries;
    size_t count;
    struct place at;
};

struct dynamic_entry {
    struct address_list where;
    struct words what; /* one of: ppp pp p mp mf f ff fff sfz fp cresc dim */
};
struct dynamics {
    struct dynamic_entry *entries;
    size_t count;
    struct place at;
};

/* `roll: 5`: the number that each roll carries; `roll: {1: 5, 3: 7}`: those at these counts. */
enum { ROLL_LEAST = 3, ROLL_MOST = 64 };
struct roll_entry {
    struct address_list where;
    uint8_t number;
};
struct rolls {
    struct roll_entry *entries;
    size_t count;
    uint8_t every; /* 0: only the entries */
    struct place at;
};

/* A voice by count, such as `snare ghost: 1a 2e`. It adds strokes; `at` changes them. */
struct keyed_voice {
    struct voicing what; /* one voice, with its marks */
    uint8_t player;      /* enum player: who plays it */
    bool usual;          /* `kick`, `hat-foot`: what that foot has under `play` */
    bool general;        /* written for a whole lesson or course */
    struct address_bars counts;
    const char *words; /* the key: "snare ghost" */
    struct place at;   /* of the key */
};

/* In the order written, each voice with the same marks once. */
struct keyed_voices {
    struct keyed_voice *items;
    size_t count;
};

/* Keys with the same voice and marks: the nearer one counts. */
static inline bool keyed_alike(const struct keyed_voice *a, const struct keyed_voice *b)
{
    return a->what.voices[0] == b->what.voices[0] && a->what.marks == b->what.marks &&
           a->what.graces == b->what.graces && a->player == b->player;
}

/* ---- settings that cascade ---------------------------------------------------------------- */

struct tempo {
    uint8_t unit_log2; /* beat unit as a note value; 0xFF: the meter's own beat */
    uint8_t unit_dots;
    bool range;           /* two tempos: from - to */
    bool gradual;         /* two: it changes from the first to the second while the music plays */
    uint32_t *hundredths; /* of a beat a minute, in the order written */
    size_t count;
    struct place at;
};

struct subdivisions {
    enum subdivision *items; /* one a beat, cycled through the bar */
    size_t count;
    struct place at;
};

/* What is spoken in each slot of a beat. "#" in a syllable stands for the beat's number. */
struct counting {
    const char *name; /* "english", "eastman", "takadimi", "units" or "own" */
    bool units;       /* the units of the meter have the numbers, not its beats */
    const char *const *spoken[SUBDIVISION_COUNT][2]; /* [subdivision][enum beat_kind] -> syllables
                        of one span in order (division.slots of them); NULL: not spoken */
    const char *const *between; /* what is said in the middle of each third of a triplet */
    struct place at;
};

enum show_counts { SHOW_COUNTS_NOTES, SHOW_COUNTS_GRID, SHOW_COUNTS_OFF };

/* Bars that are the same as those before: printed, or the sign for them, perhaps with a number. */
enum show_bars { SHOW_BARS_FULL, SHOW_BARS_SAME, SHOW_BARS_COUNT };

/* A practice form lists its exercises by name, or with their bars; auto: with them if it is short.
 */
enum show_form { SHOW_FORM_AUTO, SHOW_FORM_NAMES, SHOW_FORM_BARS };

/* Of a tempo that exercises share: printed with each; once; auto: once if all of the lesson share
 * it.
 */
enum show_tempo { SHOW_TEMPO_AUTO, SHOW_TEMPO_EACH, SHOW_TEMPO_ONCE };

struct show {
    bool sticking, key, ladder, feet_rests; /* defaults: true, true, false, false */
    bool plan;                              /* the kit from above, below the key: false */
    enum show_form form;                    /* auto */
    enum show_bars bars;                    /* full */
    bool bar_numbers;                       /* at the lines of an exercise: true */
    enum show_tempo tempo;                  /* auto */
    bool tuplet_numbers_first;              /* number only the first of equal tuplets in a row */
    enum show_counts counts;
    struct place counts_at; /* unset: the default */
    struct place ladder_at; /* where `ladder` stands; unset: nowhere */
    bool ladder_limit; /* with `ladder`: one for each exercise, up to the fastest playable tempo */
};

/* The player that a lesson is printed for; AS_WRITTEN: the one whose kit it has. */
enum handed { HANDED_AS_WRITTEN, HANDED_RIGHT, HANDED_LEFT };
/* In English, for file names and as a msgid of pages. */
static inline const char *handed_word(enum handed handed)
{
    return handed == HANDED_LEFT ? "left-handed" : "right-handed";
}
enum lead { LEAD_RIGHT, LEAD_LEFT, LEAD_BOTH };
enum stems { STEMS_SPLIT, STEMS_UP };
enum beam_slope { BEAMS_LEVEL, BEAMS_SLOPED };
enum page_size { PAGE_A4, PAGE_LETTER };
/* Auto: one line if that is enough for all exercises of the lesson; each: for each by itself. */
enum staff_lines { STAFF_LINES_AUTO, STAFF_LINES_1, STAFF_LINES_5, STAFF_LINES_EACH };

struct page_settings {
    enum page_size size;
    double margin_mm;       /* default 18 */
    double staff_mm;        /* height of the five-line staff, default 7 */
    uint16_t bars_per_line; /* 0: chosen by the line breaking */
    enum staff_lines staff_lines;
    bool one_below_the_other; /* no two exercises side by side */
    bool fit_one;             /* the staff shrinks until the lesson takes one page */
    bool two_columns;         /* exercises stand in pairs wherever two fit */
    struct place columns_at;
    struct place fit_at;
};

/* The settings of an exercise or bar, with what it inherits. Pointers are shared along the cascade:
   compare them to see whether a level wrote its own. NULL: not set at any level. */
struct settings {
    const struct meter *meter; /* never NULL: default 4/4 */
    const struct tempo *tempo;
    const struct subdivisions *subdivisions;
    const struct stroke_line *sticking;
    bool letterless; /* `sticking: none`: no hands are written, nor proposed on the page */
    const struct keyed_voices *keyed; /* not those of a bar */
    const struct play *play;
    const struct counting *counting;  /* never NULL: default english */
    const struct show *show;          /* never NULL */
    const struct page_settings *page; /* never NULL */
    struct words level;
    const struct limits *limits; /* of that level; NULL: no level is set */
    struct place counting_at;
    struct fraction swing; /* share of a pair taken by its first note; 1/2: straight */
    struct place swing_at;
    const struct own_word *own_words; /* `page-words`, those of levels above last */
    size_t own_word_count;
    enum handed handed;
    enum lead lead;
    struct place lead_at;
    enum stems stems;
    enum beam_slope beams;
};

/* ---- the lesson --------------------------------------------------------------------------- */

/* `pulse: 4=4.`: the second note now lasts as long as the first one did in the bar before. */
struct pulse_note {
    uint8_t value_log2, dots;
    uint8_t tuplet; /* 0; 3 where it is one of a triplet */
};
struct pulse {
    struct pulse_note before, now;
    struct place at;
};

/* Where a jump leads: D.C. to the beginning, D.S. to the segno; and from there on to the fine, or
   over `to: coda` to the coda. */
struct jump {
    bool to_segno, by_coda;
    const char *words; /* as it is printed: "D.S. al Coda"; NULL: there is no jump */
    struct place at;
};

/* What a chart says over a bar, or says in a sign in place of its notes. A place is that of the
   key; without a file: there is none. */
struct bar_signs {
    struct words mark;                 /* the rehearsal letter */
    struct words over;                 /* words over the whole bar */
    struct dynamics words;             /* by count, in the form of dynamics */
    const struct rhythm_line *figures; /* what the band plays; NULL: not written */
    uint16_t rest;                     /* a rest of so many bars */
    uint8_t same;                      /* the sign that repeats one or two bars */
    bool slashes;                      /* beat slashes: play as the exercise has it */
    bool goes_on;               /* rest, same: this bar belongs to the sign of the one before */
    struct place at;            /* of rest or same */
    struct place segno, coda;   /* where the bar begins */
    struct place fine, to_coda; /* where it ends, after a jump */
    struct jump jump;
};

/* How many bars a sign stands for. */
static inline uint32_t signs_length(const struct bar_signs *signs)
{
    return signs && signs->same ? signs->same : signs && signs->rest ? signs->rest : 1;
}
static inline bool signs_play_nothing_new(const struct bar_signs *signs)
{
    return signs && (signs->same || signs->rest);
}

struct lesson_bar {
    const struct settings *settings;    /* the exercise's, where the bar writes none; `sticking`
                                           is always the exercise's */
    const struct rhythm_line *rhythm;   /* NULL: the grid of the subdivision */
    const struct stroke_line *sticking; /* written in this bar; NULL: the exercise's runs on */
    const struct voicing_line *voices;  /* written in this bar; NULL: the exercise's runs on */
    struct at_map at_counts;
    struct address_bars accents, ghosts;
    const struct keyed_voices *keyed; /* written in this bar; NULL: none */
    const struct limb_line *feet;     /* NULL: the exercise's */
    const struct limb_line *left;     /* the left hand's, beside which the bar's other music is the
                                         right hand's; NULL: there is none */
    struct dynamics dynamics;
    struct rolls rolls;
    struct dynamics pace;          /* accel, rit, a-tempo; in the form of dynamics */
    const struct pulse *pulse;     /* NULL: the pulse stays the same */
    const struct bar_signs *signs; /* NULL: none */
    uint16_t plays;                /* `repeat`, 0: not written */
    bool spoiled; /* its grid, rhythm or sticking had an error: draw no conclusions */
    struct place at;
};

/* A line of its own: of the feet, or of the left hand beside the right. */
struct limb_line {
    const struct rhythm_line *rhythm;
    const struct subdivisions *subdivisions;
    const struct stroke_line *sticking;
    const struct play *play;
    struct at_map at_counts; /* these three of the left hand alone */
    struct address_bars accents, ghosts;
    struct place at;
};

enum bars_kind { BARS_NUMBER, BARS_RESOLVE, BARS_LIST };

struct ending {
    uint16_t *passes; /* 1-based numbers of the plays it ends */
    size_t pass_count;
    struct lesson_bar *bars;
    size_t bar_count;
    struct place at;
};

struct sequence_step {
    size_t exercise; /* index of an earlier exercise */
    uint16_t times;
    struct place at;
};

/* What `vary` lets change by count. */
enum vary_part { VARY_ACCENTS, VARY_GHOSTS, VARY_KICK, VARY_HAT_FOOT, VARY_PARTS };

/* `kick: {from: eighths, count: 2-4}` */
struct vary_choice {
    bool written;
    struct address_bars from;  /* count 0: wherever there is a stroke, or a slot */
    uint32_t least, most;      /* in all bars together */
    struct place at, count_at; /* count_at is unset: any number */
};

enum { VARY_VOICES_MAX = 8, VARY_PIECES_MAX = 16, VARY_COUNT_MAX = 4096 };

/* The variations of an exercise, for `ratamark vary`. */
struct vary {
    struct play play; /* the hands alone: the voices that each of their strokes can be on */
    struct vary_choice choices[VARY_PARTS];
    struct at_map keep;              /* what every variation has */
    bool rotate;                     /* the sticking begins at any of its strokes */
    bool rotations_alike;            /* `distinct: rotation` */
    uint8_t pieces[VARY_PIECES_MAX]; /* `permute`: of so many slots or strokes */
    uint8_t piece_count;
    uint32_t playable; /* quarters a minute; 0: not written */
    struct place at, rotate_at, permute_at, distinct_at, playable_at;
};

struct exercise {
    struct words title, subtitle, id;
    struct words *paragraphs; /* `text` */
    size_t paragraph_count;
    struct settings settings;
    const struct voicing_line *voices;
    struct at_map at_counts;
    struct address_bars accents, ghosts;
    const struct limb_line *feet, *left;
    struct dynamics dynamics;
    struct rolls rolls;
    struct dynamics pace; /* each with its bar */
    enum bars_kind bars_kind;
    uint32_t bar_number; /* BARS_NUMBER; default 1 */
    struct place bars_at;
    struct lesson_bar *bars; /* BARS_LIST */
    size_t bar_count;
    const struct rhythm_line *figure; /* of its `rudiment`; NULL: none */
    struct lesson_bar *pickup;        /* NULL: none */
    uint16_t plays;                   /* `repeat`, 0: not written */
    struct place plays_at;
    struct ending *endings;
    size_t ending_count;
    struct sequence_step *sequence;
    size_t sequence_count;
    const struct vary *vary; /* NULL: none */
    bool spoiled;            /* as in a bar; set for the exercise and each of its bars */
    struct place at;
    struct arena_stretch memory; /* where what it points to was put, apart from its texts */
};

struct lesson {
    struct words title, subtitle, author, copyright, date;
    struct words language;     /* of its texts, BCP 47; unset: English */
    struct page_words words;   /* what pages print by themselves, in that language */
    struct words course_title; /* from the course file */
    struct words *notes;       /* paragraphs */
    size_t note_count;
    struct turned_text
        *turned; /* its texts that say something else to a player of the other hand */
    size_t turned_count;
    struct settings settings;
    struct kit kit;
    struct exercise *exercises;
    size_t exercise_count;
    const char *file;
    struct arena *arena;
};

/* The course file's own part, for the stages that rebuild a whole folder. */
struct course {
    struct words title, subtitle, author, copyright, date, language;
    struct words *order; /* lesson files, relative to the course file */
    size_t order_count;
    struct words *leave_out; /* files and folders that do not belong to it, relative as well */
    size_t leave_out_count;
    enum format *produce; /* file types for its lessons, and for the course as a whole */
    size_t produce_count;
    struct strictness strictness;
};

#endif
