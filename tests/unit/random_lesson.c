#include "random_lesson.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

/* A linear congruential generator (constants: Knuth, The Art of Computer Programming, vol. 2). */
struct chance {
    uint64_t state;
};

static unsigned below(struct chance *chance, unsigned limit)
{
    chance->state = chance->state * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(chance->state >> 33) % limit;
}

static bool one_in(struct chance *chance, unsigned limit)
{
    return below(chance, limit) == 0;
}

#define PICK(chance, list) ((list)[below((chance), sizeof(list) / sizeof *(list))])

/* ---- strokes ------------------------------------------------------------------------------ */

static void stroke(struct chance *chance, struct buffer *out, bool rests)
{
    static const char *const marks[] = {">", "^", "/", "//", "z", "+", ">/"};
    static const char *const graces[] = {"l", "ll", "r", "rr", "lrl"};
    if (rests && one_in(chance, 6)) {
        buffer_add_text(out, ".");
        return;
    }
    bool ghost = one_in(chance, 6);
    if (!ghost && one_in(chance, 9))
        buffer_add_text(out, PICK(chance, graces));
    buffer_format(out, "%s%c", ghost ? "(" : "", "RLRLRLB"[below(chance, 7)]);
    if (!ghost && one_in(chance, 4))
        buffer_add_text(out, PICK(chance, marks));
    buffer_add_text(out, ghost ? ")" : "");
}

static void strokes(struct chance *chance, struct buffer *out, unsigned count, bool rests)
{
    for (unsigned i = 0; i < count; i++) {
        stroke(chance, out, rests && i > 0);
        if (one_in(chance, 3))
            buffer_add_text(out, " ");
    }
}

/* ---- what both kinds of exercise have ----------------------------------------------------- */

static void play(struct chance *chance, struct buffer *out)
{
    static const char *const right[] = {
        "ride",      "hi-hat",    "snare",        "crash",
        "ride-bell", "floor-tom", "high-tom",     "[hi-hat, open-hi-hat]",
        "china",     "rim-shot",  "[ride, crash]"};
    static const char *const left[] = {
        "snare",  "cross-stick", "mid-tom", "[snare, high-tom]", "second-floor-tom",
        "splash", "snare ghost"};
    if (one_in(chance, 3))
        return;
    buffer_format(out, "    play: {R: %s, L: %s}\n", PICK(chance, right), PICK(chance, left));
}

static void feet(struct chance *chance, struct buffer *out, unsigned beats)
{
    switch (below(chance, 4)) {
    case 0:
        buffer_format(out, "    kick: 1 %u\n", 1 + below(chance, beats));
        break;
    case 1:
        buffer_add_text(out, "    kick: each beat\n");
        break;
    case 2:
        buffer_format(out, "    kick: 1\n    hat-foot: %u\n", beats);
        break;
    default:
        break;
    }
}

static void looks(struct chance *chance, struct buffer *out)
{
    static const char *const shows[] = {"counts: grid",  "counts: off",
                                        "sticking: no",  "feet-rests: yes",
                                        "counts: notes", "tuplet-numbers: first"};
    if (one_in(chance, 2))
        buffer_format(out, "    show: {%s}\n", PICK(chance, shows));
    if (one_in(chance, 6))
        buffer_add_text(out, "    stems: up\n");
    if (one_in(chance, 5))
        buffer_add_text(out, "    beams: sloped\n");
    if (one_in(chance, 8))
        buffer_format(out, "    swing: %s\n", one_in(chance, 2) ? "2/3" : "3/5");
    if (one_in(chance, 3))
        buffer_format(out, "    repeat: %u\n", 2 + below(chance, 6));
    if (one_in(chance, 3))
        buffer_format(out, "    tempo: %u-%u\n", 40 + below(chance, 40), 90 + below(chance, 60));
}

/* ---- grids -------------------------------------------------------------------------------- */

static void grid(struct chance *chance, struct buffer *out)
{
    static const char *const simple[] = {"quarters",   "eighths",     "eighth triplets",
                                         "sixteenths", "quintuplets", "sixteenth triplets",
                                         "sextuplets", "septuplets",  "thirty-seconds"};
    static const char *const compound[] = {"eighths", "sixteenths", "duplets", "quadruplets"};
    static const char *const meters[] = {"4/4", "3/4", "2/4", "5/4"};
    static const char *const compound_meters[] = {"6/8", "9/8", "12/8"};
    bool threes = one_in(chance, 4);
    const char *meter = threes ? PICK(chance, compound_meters) : PICK(chance, meters);
    unsigned beats = threes ? (meter[0] == '1'   ? 4
                               : meter[0] == '9' ? 3
                                                 : 2)
                            : (unsigned)(meter[0] - '0');
    buffer_format(out, "    time: %s\n", meter);
    buffer_format(out, "    subdivision: %s\n",
                  threes ? PICK(chance, compound) : PICK(chance, simple));
    buffer_add_text(out, "    sticking: \"");
    strokes(chance, out, 2 + below(chance, 12), true);
    buffer_add_text(out, "\"\n");
    play(chance, out);
    feet(chance, out, beats);
    looks(chance, out);
    buffer_format(out, "    bars: %u\n", 1 + below(chance, 9));
}

/* ---- rhythm bars -------------------------------------------------------------------------- */

struct piece {
    const char *rhythm;
    unsigned beats, notes;
};

static const struct piece pieces[] = {
    {"4", 1, 1},
    {"8 8", 1, 2},
    {"8. 16", 1, 2},
    {"16 8.", 1, 2},
    {"16 16 8", 1, 3},
    {"8 16 16", 1, 3},
    {"16 8 16", 1, 3},
    {"16*4", 1, 4},
    {"32*8", 1, 8},
    {"64*16", 1, 16},
    {"_8 8", 1, 1},
    {"8 _8", 1, 1},
    {"16 _16 16 _16", 1, 2},
    {"_4", 1, 0},
    {"3(8 8 8)", 1, 3},
    {"3(4 8)", 1, 2},
    {"3(8 _8 8)", 1, 2},
    {"3(_8 8 8)", 1, 2},
    {"3(16*3) 8", 1, 4},
    {"3(16*3) 3(16*3)", 1, 6},
    {"3(8 3(16*3) 8)", 1, 5},
    {"5:4(16*5)", 1, 5},
    {"6:4(16*6)", 1, 6},
    {"7:4(16*7)", 1, 7},
    {"2", 2, 1},
    {"4. 8", 2, 2},
    {"8 4 8", 2, 3},
    {"3(4 4 4)", 2, 3},
    {"5:4(8*5)", 2, 5},
    {"4+16 8.", 2, 2},
    {"8 8+8 8", 2, 3},
    {"3(4 3(8*3) 4)", 2, 5},
};

static void rhythm_bar(struct chance *chance, struct buffer *out)
{
    unsigned left = 4, notes = 0;
    buffer_add_text(out, "      - rhythm: \"");
    while (left) {
        const struct piece *piece = &PICK(chance, pieces);
        bool silent = left == 4 && piece->notes == 0; /* a bar begins with a note: it has one */
        if (piece->beats > left || silent)
            continue;
        buffer_format(out, "%s ", piece->rhythm);
        left -= piece->beats;
        notes += piece->notes;
    }
    buffer_add_text(out, "\"\n        sticking: \"");
    strokes(chance, out, notes, false);
    buffer_add_text(out, "\"\n");
    if (one_in(chance, 6))
        buffer_add_text(out, "        feet: {rhythm: 8 4 8 2, sticking: R L R L}\n");
    else if (one_in(chance, 3))
        buffer_add_text(out, "        kick: 1 3\n");
    if (one_in(chance, 6))
        buffer_format(out, "        dynamics: {1: %s, 3: %s}\n", one_in(chance, 2) ? "p" : "mf",
                      one_in(chance, 2) ? "f" : "cresc");
}

static void rhythm_bars(struct chance *chance, struct buffer *out)
{
    play(chance, out);
    looks(chance, out);
    buffer_add_text(out, "    bars:\n");
    for (unsigned bars = 1 + below(chance, 7); bars-- > 0;)
        rhythm_bar(chance, out);
}

void random_lesson(unsigned seed, struct buffer *out)
{
    struct chance chance = {seed};
    for (int i = 0; i < 4; i++) /* small seeds are near each other at first */
        below(&chance, 2);
    buffer_format(out, "title: Lesson %u\nauthor: Wharf Lane Drum School\n", seed);
    if (one_in(&chance, 4))
        buffer_format(out, "page: {staff: %u, margin: %u}\n", 5 + below(&chance, 5),
                      10 + below(&chance, 15));
    if (one_in(&chance, 3))
        buffer_add_text(out, "notes: One boat, two oars; keep them level.\n");
    buffer_add_text(out, "exercises:\n");
    for (unsigned count = 1 + below(&chance, 4); count-- > 0;) {
        buffer_format(out, "  - title: Exercise %u\n", count);
        if (one_in(&chance, 3))
            buffer_add_text(out, "    text: Slowly, then slower still.\n");
        if (one_in(&chance, 2))
            grid(&chance, out);
        else
            rhythm_bars(&chance, out);
    }
}
