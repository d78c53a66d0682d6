#ifndef RATAMARK_MODEL_PERFORMANCE_H
#define RATAMARK_MODEL_PERFORMANCE_H
/*
 * What is heard, in order of time: every stroke with its key and strength, the tempos and the bars.
 * It is made from a score; MIDI and audio are written from it alone.
 *
 * Time is exact, in whole notes from the beginning. The tempo map turns it into seconds, which are
 * also fractions as long as they fit; only the last step, to an audio sample, rounds.
 */
#include "base/fraction.h"

#include <stddef.h>

enum sound_part { SOUND_HANDS, SOUND_FEET, SOUND_CLICK, SOUND_PART_COUNT };

/* The keys of our click: General MIDI's high and low wood block. */
enum { CLICK_KEY_ONE = 76, CLICK_KEY_BEAT = 77 };

enum strike_kind {
    STRIKE_WRITTEN, /* as in the score */
    STRIKE_GRACE,   /* some milliseconds before a written stroke */
    STRIKE_BOUNCE   /* of a buzz, after its written stroke */
};

struct strike {
    struct fraction at;           /* a loop's end wraps to its beginning */
    struct fraction length;       /* how long its note lasts; drums ring on */
    uint8_t part;                 /* enum sound_part */
    uint8_t kind;                 /* enum strike_kind */
    uint8_t key;                  /* General MIDI percussion key */
    uint8_t velocity;             /* 1 .. 127 */
    bool half_open;               /* rings shorter than its key would */
    bool rings;                   /* left to ring: no later stroke of the hats ends it */
    struct fraction note;         /* the moment of the written stroke that it belongs to */
    uint32_t exercise, bar, leaf; /* where that is in the score; of a click 0 */
    uint8_t line, limb;           /* LINE_HANDS, LINE_FEET; enum limb */
};

struct tempo_change {
    struct fraction at;
    struct fraction wholes;  /* whole notes a minute */
    struct fraction seconds; /* from the beginning to `at` */
};

struct meter_change {
    struct fraction at;
    uint32_t count; /* 7 of 7/8 */
    uint32_t unit;  /* 8; a power of two */
    struct fraction beat;
};

struct marker {
    struct fraction at;
    const char *text;
};

/* The most ticks a quarter that a MIDI file can count in. */
enum { DIVISION_MAX = 32767 };

struct performance {
    const char *title, *author, *copyright; /* NULL: none */
    struct strike *strikes;                 /* by time, then part, then key */
    size_t strike_count;
    struct tempo_change *tempos; /* the first at 0 */
    size_t tempo_count;
    struct meter_change *meters; /* the first at 0 */
    size_t meter_count;
    struct marker *markers;
    size_t marker_count;
    struct fraction length;
    uint32_t division; /* ticks to a quarter such that every onset falls on one; 0: that would take
                          more than DIVISION_MAX */
    bool loop;         /* the end leads to the beginning */
};

/* Seconds from the beginning to a moment. */
double performance_seconds(const struct performance *performance, struct fraction at);
/* The audio sample nearest to a moment, at `rate` samples a second. */
int64_t performance_frame(const struct performance *performance, struct fraction at, uint32_t rate);
/* How many seconds a length lasts at a tempo, exactly; overflows as fractions do. */
struct fraction tempo_seconds(struct fraction length, struct fraction wholes_a_minute);

#endif
