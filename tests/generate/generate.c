#include "generate.h"

#include "base/buffer.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* ---- chance ------------------------------------------------------------------------------- */

struct generator {
    uint64_t state;
    struct buffer out;
    unsigned exercise;
    bool english;    /* the lesson counts in English: syllables may be used as addresses */
    char ids[16][8]; /* exercises that a sequence may name */
    unsigned id_count;
    uint64_t signs; /* the state of a second row of chances: what a chart says over a bar */
};

/* SplitMix64 (G. Steele, D. Lea, C. Flood, Fast Splittable Pseudorandom Number Generators, 2014).
 */
static uint64_t next(struct generator *g)
{
    uint64_t z = g->state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static unsigned below(struct generator *g, unsigned limit)
{
    return (unsigned)(next(g) % limit);
}

static bool chance(struct generator *g, unsigned percent)
{
    return below(g, 100) < percent;
}

/* The same from the second row: what it decides changes nothing else. */
static bool sign_chance(struct generator *g, unsigned percent)
{
    struct generator signs = {.state = g->signs};
    bool yes = chance(&signs, percent);
    g->signs = signs.state;
    return yes;
}

#define PICK(g, list) ((list)[below((g), sizeof(list) / sizeof *(list))])

static void add(struct generator *g, const char *text)
{
    buffer_add_text(&g->out, text);
}

/* ---- meters and grids --------------------------------------------------------------------- */

struct grid {
    const char *name;
    unsigned slots[2];            /* in a quarter, in a dotted quarter; 0: does not fit */
    const char *syllables[2][12]; /* of an address after the beat, "" first */
};

static const struct grid grids[] = {
    {"quarters", {1, 0}, {{""}, {NULL}}},
    {"eighths", {2, 3}, {{"", "&"}, {"", "&", "a"}}},
    {"8ths", {2, 3}, {{"", "&"}, {"", "&", "a"}}},
    {"eighth triplets", {3, 0}, {{"", "trip", "let"}, {NULL}}},
    {"sixteenths", {4, 6}, {{"", "e", "&", "a"}, {"", "ta", "&", "&ta", "a", "ata"}}},
    {"16ths", {4, 6}, {{"", "e", "&", "a"}, {"", "ta", "&", "&ta", "a", "ata"}}},
    {"quintuplets", {5, 0}, {{"", "/2", "/3", "/4", "/5"}, {NULL}}},
    {"sixteenth triplets", {6, 0}, {{"", "trip", "let", "&", "&trip", "&let"}, {NULL}}},
    {"sextuplets", {6, 0}, {{"", "trip", "let", "&", "&trip", "&let"}, {NULL}}},
    {"septuplets", {7, 0}, {{"", "/2", "/3", "/4", "/5", "/6", "/7"}, {NULL}}},
    {"thirty-seconds", {8, 12}, {{"", "ta", "e", "eta", "&", "&ta", "a", "ata"}, {NULL}}},
    {"duplets", {0, 2}, {{NULL}, {"", "&"}}},
    {"quadruplets", {0, 4}, {{NULL}, {"", "e", "&", "a"}}},
};

struct meter {
    const char *name;
    unsigned beats;
    bool compound[8]; /* kind of each beat */
};

static const struct meter meters[] = {
    {"4/4", 4, {false}},
    {"4/4", 4, {false}},
    {"4/4", 4, {false}},
    {"3/4", 3, {false}},
    {"2/4", 2, {false}},
    {"5/4", 5, {false}},
    {"3+2/4", 5, {false}},
    {"6/8", 2, {true, true}},
    {"12/8", 4, {true, true, true, true}},
    {"9/8", 3, {true, true, true}},
    {"2+2+3/8", 3, {false, false, true}},
    {"3+2/8", 2, {true, false}},
    {"3+3+2/8", 3, {true, true, false}},
};

static bool fits(const struct grid *grid, const struct meter *meter)
{
    for (unsigned i = 0; i < meter->beats; i++)
        if (!grid->slots[meter->compound[i]])
            return false;
    return true;
}

static const struct grid *pick_grid(struct generator *g, const struct meter *meter)
{
    for (;;) {
        const struct grid *grid = &PICK(g, grids);
        if (fits(grid, meter))
            return grid;
    }
}

/* ---- words -------------------------------------------------------------------------------- */

static const char *const drums[] = {"snare",        "high-tom", "mid-tom",   "floor-tom",
                                    "cross-stick",  "rim-shot", "woodblock", "second-floor-tom",
                                    "practice-pad", "barrel"};
static const char *const metals[] = {"hi-hat",    "open-hi-hat", "half-open-hi-hat", "ride",
                                     "ride-bell", "crash",       "splash",           "china",
                                     "cowbell",   "tambourine",  "second-crash",     "hh"};

static const char *voice(struct generator *g)
{
    return chance(g, 70) ? PICK(g, drums) : PICK(g, metals);
}

static void add_stroke(struct generator *g, bool plain)
{
    static const char *const graces[] = {"l", "r", "ll", "rr", "lrl", "rlr"};
    static const char *const marks[] = {">", "^", "/", "//", "z", "+", ">/", "^z"};
    bool ghost = !plain && chance(g, 8);
    add(g, ghost ? "(" : "");
    if (!plain && chance(g, 8))
        add(g, PICK(g, graces));
    add(g, chance(g, 6) ? "B" : chance(g, 50) ? "R" : "L");
    add(g, ghost ? ")" : "");
    if (!plain && !ghost && chance(g, 12))
        add(g, PICK(g, marks));
}

/* A stroke line of one whole bar, beat by beat; a beat's first slot is always struck. */
static void add_bar_sticking(struct generator *g, const struct grid *grid,
                             const struct meter *meter, bool plain)
{
    for (unsigned beat = 0; beat < meter->beats; beat++) {
        add(g, beat ? " | " : "");
        for (unsigned slot = 0; slot < grid->slots[meter->compound[beat]]; slot++) {
            if (slot && chance(g, 25))
                add(g, ".");
            else
                add_stroke(g, plain);
        }
    }
}

/* ---- addresses ---------------------------------------------------------------------------- */

/* Beats with one role each, so that no stroke is asked for two things. */
enum role { ROLE_NONE, ROLE_ACCENT, ROLE_GHOST, ROLE_CHANGE };

static void deal_roles(struct generator *g, const struct meter *meter, enum role *roles)
{
    for (unsigned beat = 0; beat < meter->beats; beat++)
        roles[beat] = (enum role)below(g, 4);
}

static void add_beats_of(struct generator *g, const struct meter *meter, const enum role *roles,
                         enum role role, const char *indent, const char *key)
{
    bool any = false;
    for (unsigned beat = 0; beat < meter->beats; beat++) {
        if (roles[beat] != role)
            continue;
        if (!any)
            buffer_format(&g->out, "%s%s: ", indent, key);
        buffer_format(&g->out, "%s%u", any ? (chance(g, 50) ? " " : ", ") : "", beat + 1);
        any = true;
    }
    add(g, any ? "\n" : "");
}

static void add_changes(struct generator *g, const struct meter *meter, const enum role *roles,
                        const char *indent)
{
    static const char *const words[] = {"flam", "drag",   "ruff",  "diddle", "buzz",
                                        "open", "accent", "ghost", "rest",   "strong-accent"};
    bool any = false;
    for (unsigned beat = 0; beat < meter->beats; beat++) {
        if (roles[beat] != ROLE_CHANGE)
            continue;
        if (!any)
            buffer_format(&g->out, "%sat: {", indent);
        buffer_format(&g->out, "%s%u: ", any ? ", " : "", beat + 1);
        if (chance(g, 50))
            buffer_format(&g->out, "%s%s", voice(g), chance(g, 50) ? " accent" : "");
        else
            add(g, PICK(g, words));
        any = true;
    }
    add(g, any ? "}\n" : "");
}

/* Strokes of the feet on the hands' own grid, by any form of address. */
static void add_feet(struct generator *g, const struct grid *grid, const struct meter *meter,
                     const char *indent)
{
    if (chance(g, 30))
        buffer_format(&g->out, "%shat-foot: each beat\n", indent);
    buffer_format(&g->out, "%skick: ", indent);
    switch (below(g, 4)) {
    case 0:
        add(g, "each beat");
        break;
    case 1:
        add(g, meter->beats > 1 ? "1..2" : "1");
        break;
    case 2:
        add(g, "1");
        break;
    default:
        add(g, "1");
        for (unsigned beat = 0; beat < meter->beats; beat++) {
            bool compound = meter->compound[beat];
            unsigned slot = below(g, grid->slots[compound]);
            const char *spoken = grid->syllables[compound][slot];
            if (g->english && spoken && (beat || slot))
                buffer_format(&g->out, " %u%s", beat + 1, spoken);
        }
    }
    add(g, "\n");
}

static void add_dynamics(struct generator *g, const struct meter *meter, const char *indent)
{
    static const char *const loudness[] = {"ppp", "pp", "p",   "mp",  "mf",
                                           "f",   "ff", "fff", "sfz", "fp"};
    const char *swell = chance(g, 50) ? "cresc" : "dim";
    if (chance(g, 50))
        buffer_format(&g->out, "%sdynamics: {1: %s, %u: %s}\n", indent, PICK(g, loudness),
                      meter->beats, swell);
    else
        buffer_format(&g->out, "%sdynamics: {1: %s, %u: %s}\n", indent, swell, meter->beats,
                      PICK(g, loudness));
}

static void add_play(struct generator *g, const char *indent)
{
    buffer_format(&g->out, "%splay: {R: ", indent);
    if (chance(g, 30))
        buffer_format(&g->out, "[%s, %s accent, %s]", voice(g), voice(g), voice(g));
    else
        add(g, voice(g));
    buffer_format(&g->out, ", L: %s%s}\n", voice(g), chance(g, 40) ? " ghost" : "");
}

/* ---- written rhythms ---------------------------------------------------------------------- */

struct fragment {
    const char *text;
    unsigned notes;
    bool begins; /* with a note on the beat */
};

static const struct fragment simple_beats[] = {
    {"4", 1, true},
    {"8 8", 2, true},
    {"8. 16", 2, true},
    {"16*4", 4, true},
    {"3(8*3)", 3, true},
    {"3(4 8)", 2, true},
    {"16 16 8", 3, true},
    {"8 16 16", 3, true},
    {"16 8 16", 3, true},
    {"_4", 0, false},
    {"8 _8", 1, true},
    {"_8 8", 1, false},
    {"5(16*5)", 5, true},
    {"6:4(16*6)", 6, true},
    {"7(16*7)", 7, true},
    {"32*8", 8, true},
    {"8+16 16", 2, true},
    {"3(16*3) 8", 4, true},
    {"3(16*3)*2", 6, true},
    {"3(8 3(16*3) 8)", 5, true},
    {"8.. 32", 2, true},
    {"3(_8 8 8)", 2, false},
    {"16+32 32 8", 3, true},
    {"64*4 16 8", 6, true},
    {"64*16", 16, true},
    {"16 8.", 2, true},
    {"16 _16 16 _16", 2, true},
    {"3(8 _8 8)", 2, true},
    {"7:4(16*7)", 7, true},
    {"5:4(8 16 _16 16)", 3, true},
    {"64*8 _8", 8, true},
    {"32*4 _8", 4, true},
    {"3(_8 4)", 1, false},
    {"3(4 _8)", 1, true},
    {"_16 16*3", 3, false},
    {"3(16*3) _8", 3, true},
};
static const struct fragment compound_beats[] = {
    {"4.", 1, true},      {"8*3", 3, true},      {"4 8", 2, true},         {"8 4", 2, true},
    {"16*6", 6, true},    {"2(8 8)", 2, true},   {"4:3(8*4)", 4, true},    {"_4.", 0, false},
    {"_8 4", 1, false},   {"8. 8.", 2, true},    {"8 16*4", 5, true},      {"8 _8 8", 2, true},
    {"4+16 16", 2, true}, {"32*4 8 8", 6, true}, {"8 3(16*3) 8", 5, true},
};
static const struct fragment two_beats[] = {
    {"2", 1, true},
    {"4. 8", 2, true},
    {"3(4 4 4)", 3, true},
    {"5:4(8*5)", 5, true},
    {"3(4 3(8*3) 4)", 5, true},
    {"8 4 8", 3, true},
    {"8 8+8 8", 3, true},
    {"4+16 8.", 2, true},
    {"6:4(8*6)", 6, true},
    {"7:4(8*7)", 7, true},
    {"3(4 3(8 _8 8) 4)", 4, true},
    {"5:4(8 8 4 8)", 4, true},
    {"3(2 4)", 2, true},
    {"3(4 8 3(16*3) 4)", 6, true},
};

/* Adds a rhythm with its sticking and perhaps voices and accents. */
static void add_rhythm(struct generator *g, const struct meter *meter, const char *indent,
                       bool accents)
{
    struct fragment chosen[8] = {0};
    bool boundary[8];
    unsigned count = 0;
    for (unsigned beat = 0; beat < meter->beats;) {
        bool two = beat + 1 < meter->beats && !meter->compound[beat] && !meter->compound[beat + 1];
        if (two && beat % 2 == 0 && chance(g, 20)) {
            chosen[count] = PICK(g, two_beats);
            boundary[count++] = true;
            beat += 2;
            continue;
        }
        chosen[count] = meter->compound[beat] ? PICK(g, compound_beats) : PICK(g, simple_beats);
        boundary[count++] = chance(g, 80);
        beat++;
    }
    if (chosen[0].notes == 0)
        chosen[0] = meter->compound[0] ? compound_beats[0] : simple_beats[0];
    buffer_format(&g->out, "%srhythm: ", indent);
    for (unsigned i = 0; i < count; i++)
        buffer_format(&g->out, "%s%s", i == 0 ? "" : boundary[i] ? " | " : " ", chosen[i].text);
    if (chance(g, 80)) {
        buffer_format(&g->out, "\n%ssticking: ", indent);
        for (unsigned i = 0; i < count; i++) {
            add(g, i && boundary[i] && chosen[i].begins ? " | " : " ");
            for (unsigned note = 0; note < chosen[i].notes; note++)
                add_stroke(g, accents);
        }
    }
    if (chance(g, 60)) {
        buffer_format(&g->out, "\n%svoices:", indent);
        for (unsigned i = 0; i < count; i++)
            if (chosen[i].notes)
                buffer_format(&g->out, " %s*%u", voice(g), chosen[i].notes);
    }
    if (accents && chosen[0].begins)
        buffer_format(&g->out, "\n%saccents: 1", indent);
    add(g, "\n");
    if (chance(g, 20))
        add_dynamics(g, meter, indent);
    if (chance(g, 10) && meter->beats == 4 && !meter->compound[0]) {
        buffer_format(&g->out, "%sfeet: {rhythm: 8 4 8 2, sticking: R L R L}\n", indent);
        return;
    }
    if (chance(g, 40))
        buffer_format(&g->out, "%skick: %s\n", indent, chance(g, 50) ? "each beat" : "1");
}

/* ---- exercises ---------------------------------------------------------------------------- */

static void add_heading(struct generator *g, bool named)
{
    static const char *const titles[] = {"Low Water", "The Crane",   "Rope and Tar", "Gull",
                                         "Ebb",       "Two Barrels", "Night Watch",  "Signal Lamp"};
    buffer_format(&g->out, "  - title: %s %u\n", PICK(g, titles), g->exercise);
    if (named && g->id_count < 16) {
        snprintf(g->ids[g->id_count], sizeof *g->ids, "part%u", g->exercise % 1000);
        buffer_format(&g->out, "    id: %s\n", g->ids[g->id_count++]);
    }
    if (chance(g, 50))
        add(g, "    text: Slowly, and with both hands at one height.\n");
    if (chance(g, 20))
        add(g, "    tempo: 56-80\n");
    if (chance(g, 12))
        buffer_format(&g->out, "    swing: %s\n",
                      chance(g, 60)   ? "2/3"
                      : chance(g, 50) ? "3/5"
                                      : "3/4");
    if (chance(g, 10))
        add(g, "    beams: sloped\n");
    if (chance(g, 10))
        add(g, "    stems: up\n");
    if (chance(g, 25)) {
        static const char *const counts[] = {"grid", "notes", "off"};
        buffer_format(&g->out, "    show: {counts: %s, feet-rests: %s, tuplet-numbers: %s%s%s}\n",
                      PICK(g, counts), chance(g, 50) ? "yes" : "no",
                      chance(g, 50) ? "first" : "all", chance(g, 25) ? ", sticking: no" : "",
                      sign_chance(g, 50)   ? ""
                      : sign_chance(g, 50) ? ", bars: same"
                                           : ", bars: count");
    }
}

static void add_lead(struct generator *g)
{
    if (chance(g, 20))
        add(g, chance(g, 50) ? "    lead: both\n" : "    lead: left\n");
}

/* A sticking that goes round, without empty slots, so that every slot has a stroke. */
static void cycled_exercise(struct generator *g, const struct meter *meter, const struct grid *grid)
{
    static const char *const named[] = {"single paradiddle", "flam accent", "six stroke roll",
                                        "crate", "five lamps"};
    add_lead(g);
    add(g, "    sticking: ");
    if (chance(g, 25)) {
        add(g, PICK(g, named));
    } else {
        static const char *const feet[] = {"K", "K", "K", "H", "K>", "K/"};
        bool linear = chance(g, 25);
        add_stroke(g, true);
        for (unsigned length = below(g, 12); length; length--)
            if (linear && chance(g, 30))
                add(g, PICK(g, feet));
            else
                add_stroke(g, true);
    }
    add(g, "\n");
    if (chance(g, 25))
        add(g, "    bars: resolve\n");
    else if (chance(g, 60))
        buffer_format(&g->out, "    bars: %u\n", 1 + below(g, 9));
    if (chance(g, 40))
        add_play(g, "    ");
    if (chance(g, 40))
        buffer_format(&g->out, "    accents: each %u strokes\n", 1 + below(g, 7));
    if (chance(g, 50))
        add_feet(g, grid, meter, "    ");
    if (chance(g, 30))
        buffer_format(&g->out, "    repeat: %u\n", 2 + below(g, 6));
}

/* One bar with holes, addressed by its beats. */
static void bar_exercise(struct generator *g, const struct meter *meter, const struct grid *grid)
{
    enum role roles[8];
    deal_roles(g, meter, roles);
    add_lead(g);
    add(g, "    sticking: ");
    add_bar_sticking(g, grid, meter, true);
    add(g, "\n");
    if (chance(g, 50))
        add_play(g, "    ");
    add_beats_of(g, meter, roles, ROLE_ACCENT, "    ", "accents");
    add_beats_of(g, meter, roles, ROLE_GHOST, "    ", "ghosts");
    add_changes(g, meter, roles, "    ");
    if (chance(g, 60))
        add_feet(g, grid, meter, "    ");
    if (chance(g, 20))
        add_dynamics(g, meter, "    ");
    if (chance(g, 50))
        buffer_format(&g->out, "    repeat: %u\n", 2 + below(g, 6));
}

/* A line for each hand, in different note values, with the feet on the first beat. */
static void hands_exercise(struct generator *g, const struct meter *meter, const struct grid *grid)
{
    static const char *const marks[] = {"", "", "", ">", "/", "z"};
    buffer_format(&g->out, "    right: {sticking: R%s R, play: %s}\n", PICK(g, marks), voice(g));
    add(g, "    left: {subdivision: ");
    add(g, fits(&grids[1], meter) && chance(g, 60) ? "eighths" : grid->name);
    buffer_format(&g->out, ", sticking: %s, play: %s}\n", chance(g, 50) ? "L . L" : "L> L .",
                  voice(g));
    add(g, chance(g, 50) ? "    kick: 1\n" : "");
    add(g, chance(g, 30) ? "    lead: left\n" : "");
}

/* No sticking: voices, or one hand's habit, on every slot. */
static void voices_exercise(struct generator *g, const struct meter *meter, const struct grid *grid)
{
    if (chance(g, 40)) {
        add(g, "    play: {R: ride}\n");
    } else {
        buffer_format(&g->out, "    voices: %s*%u %s", voice(g), 1 + below(g, 3), voice(g));
        add(g, chance(g, 40) ? " crash+bass-drum\n" : chance(g, 40) ? " bass-drum\n" : "\n");
    }
    add_feet(g, grid, meter, "    ");
}

static void feet_exercise(struct generator *g, const struct meter *meter, const struct grid *grid)
{
    add(g, "    sticking: ");
    add_bar_sticking(g, grid, meter, false);
    add(g, "\n    feet:\n");
    if (chance(g, 50) && !meter->compound[0]) {
        add(g, "      rhythm: ");
        for (unsigned beat = 0; beat < meter->beats; beat++)
            buffer_format(&g->out, "%s%s", beat ? " | " : "",
                          meter->compound[beat] ? "4." : "8 _8");
        add(g, "\n");
    } else {
        buffer_format(&g->out, "      subdivision: %s\n      sticking: R L\n",
                      fits(&grids[1], meter) ? "eighths" : grid->name);
        if (chance(g, 50))
            add(g, "      play: {RF: bass-drum, LF: hi-hat-foot}\n");
    }
    if (chance(g, 30))
        add(g, "    repeat: 2\n");
}

static void add_list_bar(struct generator *g, const struct meter *meter, const char *lead,
                         const char *indent)
{
    if (chance(g, 70)) {
        buffer_format(&g->out, "%s# a written bar\n", lead);
        add_rhythm(g, meter, indent, chance(g, 40));
        return;
    }
    const struct grid *grid = pick_grid(g, meter);
    buffer_format(&g->out, "%s# a bar on a grid\n%ssubdivision: %s\n%ssticking: ", lead, indent,
                  grid->name, indent);
    add_bar_sticking(g, grid, meter, false);
    add(g, "\n");
    if (chance(g, 40))
        add_feet(g, grid, meter, indent);
}

static void add_signs(struct generator *g, const struct meter *meter, const char *indent)
{
    static const char *const quarters[] = {"4>", "8 8>", "_8 8^", "16 8 16", "3(8 8> 8)", "_4"};
    static const char *const dotted[] = {"4.>", "8 8> 8", "4 8^", "16*6", "_4."};
    if (sign_chance(g, 20)) {
        buffer_format(&g->out, "%sfigures:", indent);
        for (unsigned beat = 0; beat < meter->beats; beat++) {
            unsigned i = (unsigned)(g->signs % 5 + beat) % 5;
            buffer_format(&g->out, "%s %s", beat ? " |" : "",
                          meter->compound[beat] ? dotted[i] : quarters[i]);
        }
        add(g, "\n");
    }
    if (sign_chance(g, 12))
        buffer_format(&g->out, "%smark: %s\n", indent, sign_chance(g, 80) ? "A" : "Interlude");
    if (sign_chance(g, 8))
        buffer_format(&g->out, "%swords: Walk along the quay, unhurried, and back\n", indent);
    else if (sign_chance(g, 12))
        buffer_format(&g->out, "%swords: {1: Call, 2: Response}\n", indent);
}

/* Signs that repeat the bar just written, or stay silent. A tie could cross the bar line. */
static void add_bar_signs(struct generator *g, size_t bar_begins)
{
    bool tied = memchr(g->out.bytes + bar_begins, '+', g->out.length - bar_begins);
    if (!tied && sign_chance(g, 12))
        add(g, "      - same: 1\n");
    else if (!tied && sign_chance(g, 8))
        add(g, "      - {same: 1, words: {1: Again}, times: 2}\n      - same: 2\n");
    if (sign_chance(g, 6))
        add(g, sign_chance(g, 50) ? "      - rest: 1\n" : "      - {rest: 12, mark: B}\n");
}

/* A bar in which the hands rest and a foot may play. */
static void add_silent_bar(struct generator *g, const struct meter *meter)
{
    static const char *const rests[] = {
        [3] = "_4.", [4] = "_2", [6] = "_2.", [8] = "_1", [12] = "_1."};
    size_t eighths = 0;
    for (unsigned beat = 0; beat < meter->beats; beat++)
        eighths += meter->compound[beat] ? 3 : 2;
    if (eighths >= sizeof rests / sizeof *rests || !rests[eighths])
        return;
    buffer_format(&g->out, "      - {time: %s, rhythm: %s%s}\n", meter->name, rests[eighths],
                  sign_chance(g, 50) ? ", kick: 1" : "");
}

static void list_exercise(struct generator *g, const struct meter *meter)
{
    unsigned bars = 1 + below(g, 7);
    bool endings = chance(g, 20);
    if (chance(g, 15)) /* beside the bars' own: two at one count */
        add(g, "    dynamics: {1: mf}\n");
    if (chance(g, 20))
        add(g, "    pickup:\n      rhythm: 8\n      sticking: R\n");
    add(g, "    bars:\n");
    for (unsigned i = 0; i < bars; i++) {
        const struct meter *here = chance(g, 20) ? &PICK(g, meters) : meter;
        size_t begins = g->out.length;
        buffer_format(&g->out, "      - time: %s\n", here->name);
        add_list_bar(g, here, "        ", "        ");
        if (here->beats > 1)
            add_signs(g, here, "        ");
        if (!endings && chance(g, 10))
            add(g, "        repeat: 3\n");
        if (i && chance(g, 15)) {
            static const char *const pulses[] = {"8=8", "4=4.", "3(8)=16", "4. = 2", "16=5(16)"};
            buffer_format(&g->out, "        pulse: %s\n", PICK(g, pulses));
        }
        add_bar_signs(g, begins);
        if (sign_chance(g, 10) && !memchr(g->out.bytes + begins, '+', g->out.length - begins))
            add_silent_bar(g, here);
    }
    if (!endings)
        return;
    add(g, "    endings:\n      1, 2:\n        - rhythm: ");
    buffer_format(&g->out,
                  "%s\n          time: 2/4\n      3:\n        - time: 3/4\n"
                  "          rhythm: 4 | _2\n",
                  chance(g, 50) ? "4 4" : "16*4 | 3(8*3)");
}

static void add_exercise(struct generator *g)
{
    const struct meter *meter = &PICK(g, meters);
    const struct grid *grid = pick_grid(g, meter);
    unsigned kind = below(g, 6);
    g->exercise++;
    add_heading(g, chance(g, 50));
    buffer_format(&g->out, "    time: %s\n    subdivision: %s\n", meter->name, grid->name);
    switch (kind) {
    case 0:
        cycled_exercise(g, meter, grid);
        break;
    case 1:
        bar_exercise(g, meter, grid);
        break;
    case 2:
        voices_exercise(g, meter, grid);
        break;
    case 3:
        if (chance(g, 70))
            feet_exercise(g, meter, grid);
        else
            hands_exercise(g, meter, grid);
        break;
    default:
        list_exercise(g, meter);
    }
}

/* Grids that differ from beat to beat, and threes over two beats. */
static void add_mixed_exercise(struct generator *g)
{
    g->exercise++;
    add_heading(g, false);
    if (chance(g, 50)) {
        add(g, "    subdivision: quarter triplets\n    sticking: R L R | L R L\n"
               "    kick: each beat\n    repeat: 2\n");
        return;
    }
    static const char *const names[] = {"eighths", "eighth triplets", "sixteenths",
                                        "sixteenth triplets", "quintuplets"};
    buffer_format(&g->out, "    subdivision: [%s, %s]\n    sticking: RLRRL\n    bars: 2\n",
                  PICK(g, names), PICK(g, names));
}

/* A chart. All its bars are drawn from the second row of chances, so other lessons stay the same.
 */
static void add_chart(struct generator *g)
{
    static const char *const verses[] = {"{mark: A, times: 2}",
                                         "{same: 1, words: As it is}",
                                         "{}",
                                         "{rest: 4}",
                                         "{mark: C, slashes: yes, words: {4: Go}}",
                                         "{slashes: yes, repeat: 3}",
                                         "{crash: 1, words: Louder}"};
    bool fine = sign_chance(g, 40);
    g->exercise++;
    buffer_format(&g->out,
                  "  - title: The chart %u\n    hi-hat: %s\n    snare: 2 4\n    kick: 1 3\n"
                  "    bars:\n      - {mark: Intro}\n",
                  g->exercise, sign_chance(g, 50) ? "eighths" : "quarters");
    for (unsigned part = 0; part < 3; part++) {
        if (part == 1)
            buffer_format(&g->out, "      - {segno: yes%s}\n",
                          sign_chance(g, 50) ? ", mark: B, words: The verse" : "");
        for (unsigned i = 0; i < 7; i++)
            if (sign_chance(g, 35))
                buffer_format(&g->out, "      - %s\n", verses[i]);
        if (part == 1)
            buffer_format(&g->out, "      - {%s%s}\n", fine ? "fine: yes" : "to: coda",
                          sign_chance(g, 20) ? ", words: {4: Ready}" : "");
    }
    buffer_format(&g->out, "      - {slashes: yes, jump: D.S. al %s}\n", fine ? "fine" : "coda");
    if (!fine)
        buffer_format(&g->out, "      - {coda: yes%s}\n%s", sign_chance(g, 50) ? ", mark: Z" : "",
                      sign_chance(g, 50) ? "      - {times: 3}\n" : "");
}

/* Hands and feet in turn, with rests of either above and below the other. */
static void add_linear_exercise(struct generator *g)
{
    static const char *const lines[] = {"KRLK RLKR KRRL RKLR", "K.RL .RLK KRRL .KLR",
                                        ".RLK ..RL H.R. KR.L", "K... R..L .K.R H..L"};
    static const char *const voices[] = {"{R: hi-hat, L: snare}", "{R: floor-tom, L: high-tom}"};
    g->exercise++;
    buffer_format(&g->out, "  - title: Linear %u\n    show: {feet-rests: %s}\n", g->exercise,
                  sign_chance(g, 50) ? "yes" : "no");
    buffer_format(&g->out, "    subdivision: sixteenths\n    sticking: %s\n    play: %s\n",
                  lines[g->signs % 4], voices[g->signs / 4 % 2]);
}

static void add_sequence(struct generator *g)
{
    g->exercise++;
    buffer_format(&g->out, "  - title: The form %u\n    sequence: ", g->exercise);
    for (unsigned i = 0, steps = 1 + below(g, 4); i < steps; i++)
        buffer_format(&g->out, "%s%s*%u", i ? " " : "", g->ids[below(g, g->id_count)],
                      1 + below(g, 4));
    add(g, "\n");
}

static void add_head_of_lesson(struct generator *g)
{
    static const char *const tempos[] = {"96", "60-96", "60 72 84 96", "4=60-80"};
    g->english = chance(g, 80);
    buffer_format(&g->out,
                  "title: Harbour Lesson\nsubtitle: Written by chance\n"
                  "author: Wharf Lane Drum School\nlevel: intermediate\ntempo: %s\n",
                  PICK(g, tempos));
    if (!g->english)
        buffer_format(&g->out, "counting: %s\n", chance(g, 50) ? "eastman" : "takadimi");
    if (chance(g, 50))
        add(g, "notes: |\n  A paragraph for the page.\n\n  And a second one.\n");
    if (chance(g, 30))
        buffer_format(&g->out, "page: {size: %s, staff: %u, margin: %u}\n",
                      chance(g, 50) ? "a4" : "letter", 5 + below(g, 5), 10 + below(g, 15));
    else if (chance(g, 10))
        buffer_format(&g->out, "page: {bars-per-line: %u}\n", below(g, 4) + 1);
    else if (sign_chance(g, 15))
        add(g, "page: {staff-lines: 1}\n");
    add(g, "kit:\n  short: {hh: hi-hat}\n  voices:\n"
           "    barrel: {like: floor-tom, line: 2, head: square, midi: 87, at: [70, -20]}\n"
           "patterns:\n  crate: RLLRRL\n  five lamps: RLRLL\nexercises:\n");
}

char *generate_lesson(struct arena *arena, uint64_t seed)
{
    struct generator g = {.state = seed, .signs = ~seed};
    add_head_of_lesson(&g);
    for (unsigned i = 0, count = 1 + below(&g, 5); i < count; i++)
        add_exercise(&g);
    if (chance(&g, 30))
        add_mixed_exercise(&g);
    if (sign_chance(&g, 25))
        add_chart(&g);
    if (sign_chance(&g, 15))
        add_linear_exercise(&g);
    if (g.id_count && chance(&g, 50))
        add_sequence(&g);
    char *text = arena_copy_text(arena, g.out.bytes, g.out.length);
    buffer_release(&g.out);
    return text;
}
