/*
 * The spelling of beats against brute force: this file writes out every legal spelling of a pattern
 * by itself, prices each by the table restated below, and expects the search to have found one of
 * the cheapest. What is legal is listed in build/spelling.h; this file tells
 * strong places from weak by denominators, not by counting slots.
 */
#include "build/spelling.h"
#include "built.h"

#include "base/buffer.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { NO_SPELLING = 1 << 30 };

/* ---- the rules restated ------------------------------------------------------------------- */

enum {
    PRICE_SYMBOL = 100,
    PRICE_REST = 5,
    PRICE_TIE = 20,
    PRICE_DOT = 10,
    PRICE_SECOND_DOT = 80,
    PRICE_LEVEL = 30,
    PRICE_LATE_REST = 110,
    PRICE_TUPLET = 40
};

/* Which tuplets may be written over a grid, block by block: slots, and units of how many slots. */
struct block {
    int slots, unit;
};
struct case_of {
    const char *subdivision, *meter; /* a bar of two such spans and two more */
    enum subdivision name;
    enum beat_kind kind;
    int numerator, denominator; /* beat length */
    struct block blocks[4];
};

static const struct case_of cases[] = {
    {"quarters", "4/4", SUBDIVISION_QUARTERS, BEAT_SIMPLE, 1, 4, {{0, 0}}},
    {"eighths", "4/4", SUBDIVISION_EIGHTHS, BEAT_SIMPLE, 1, 4, {{0, 0}}},
    {"eighth triplets", "4/4", SUBDIVISION_EIGHTH_TRIPLETS, BEAT_SIMPLE, 1, 4, {{3, 1}}},
    {"sixteenths", "4/4", SUBDIVISION_SIXTEENTHS, BEAT_SIMPLE, 1, 4, {{0, 0}}},
    {"quintuplets", "4/4", SUBDIVISION_QUINTUPLETS, BEAT_SIMPLE, 1, 4, {{5, 1}}},
    {"sixteenth triplets",
     "4/4",
     SUBDIVISION_SIXTEENTH_TRIPLETS,
     BEAT_SIMPLE,
     1,
     4,
     {{3, 1}, {6, 2}}},
    {"sextuplets", "4/4", SUBDIVISION_SEXTUPLETS, BEAT_SIMPLE, 1, 4, {{6, 1}, {6, 2}}},
    {"septuplets", "4/4", SUBDIVISION_SEPTUPLETS, BEAT_SIMPLE, 1, 4, {{7, 1}}},
    {"thirty-seconds", "4/4", SUBDIVISION_THIRTY_SECONDS, BEAT_SIMPLE, 1, 4, {{0, 0}}},
    {"eighths", "12/8", SUBDIVISION_EIGHTHS, BEAT_COMPOUND, 3, 8, {{0, 0}}},
    {"sixteenths", "12/8", SUBDIVISION_SIXTEENTHS, BEAT_COMPOUND, 3, 8, {{0, 0}}},
    {"duplets", "12/8", SUBDIVISION_DUPLETS, BEAT_COMPOUND, 3, 8, {{2, 1}}},
    {"quadruplets", "12/8", SUBDIVISION_QUADRUPLETS, BEAT_COMPOUND, 3, 8, {{4, 1}}},
};
enum { CASES = sizeof cases / sizeof *cases };

/* Grids that are tried by the beat only: two beats of them would be too many patterns, or the span
   is two beats already. */
static const struct case_of long_cases[] = {
    {NULL, NULL, SUBDIVISION_THIRTY_SECONDS, BEAT_COMPOUND, 3, 8, {{0, 0}}},
    {NULL, NULL, SUBDIVISION_QUARTER_TRIPLETS, BEAT_SIMPLE, 1, 4, {{3, 1}}},
    {NULL, NULL, SUBDIVISION_EIGHTH_TRIPLETS, BEAT_SIMPLE, 1, 2, {{3, 1}, {6, 2}}},
    {NULL, NULL, SUBDIVISION_SIXTEENTH_TRIPLETS, BEAT_SIMPLE, 1, 2, {{3, 1}, {6, 2}, {12, 4}}},
    {NULL, NULL, SUBDIVISION_SIXTEENTHS, BEAT_SIMPLE, 1, 2, {{0, 0}}},
};
enum { LONG_CASES = sizeof long_cases / sizeof *long_cases };

struct brute {
    const struct case_of *of;
    struct division division;
    uint64_t struck, sustained;
    bool held;
};

static struct brute brute_of(const struct case_of *of)
{
    struct brute brute = {.of = of};
    struct beat beat = {FRACTION_ZERO, fraction_make(of->numerator, of->denominator), of->kind};
    ck_assert(subdivision_divide(of->name, &beat, &brute.division));
    return brute;
}

static bool struck(const struct brute *brute, int slot)
{
    return brute->struck >> slot & 1;
}

/* N, R or T: what a symbol that begins here can only be. */
static char kind_of(const struct brute *brute, int slot)
{
    for (int at = slot; at >= 0; at--)
        if (struck(brute, at))
            return at == slot ? 'N' : brute->sustained >> at & 1 ? 'T' : 'R';
    return brute->held ? 'T' : 'R';
}

static bool crosses_onset(const struct brute *brute, int from, int to)
{
    for (int slot = from + 1; slot < to; slot++)
        if (struck(brute, slot))
            return true;
    return false;
}

static bool dyadic(struct fraction time)
{
    return (time.denominator & (time.denominator - 1)) == 0;
}

static struct fraction time_of(const struct brute *brute, int slot)
{
    return fraction_multiply(brute->division.slot, fraction_make(slot, 1));
}

/* Whether a length is a written value; how many dots it has. */
static bool written(struct fraction length, int *dots)
{
    for (int log2 = 0; log2 <= 7; log2++)
        for (*dots = 0; *dots <= 2; ++*dots)
            if (fraction_equal(length,
                               fraction_make((2 << *dots) - 1, (int64_t)1 << (log2 + *dots))))
                return true;
    return false;
}

/* ---- strength by denominators ------------------------------------------------------------- */

static int log2_of(int64_t power)
{
    int log2 = 0;
    while (power > 1) {
        power /= 2;
        log2++;
    }
    return log2;
}

/* Larger is stronger. */
static int strength_in_beat(const struct brute *brute, int slot)
{
    struct fraction time = time_of(brute, slot);
    if (time.numerator == 0)
        return 100;
    if (brute->of->kind == BEAT_COMPOUND) {
        struct fraction pulse =
            fraction_make(brute->of->numerator, 3 * (int64_t)brute->of->denominator);
        struct fraction pulses = fraction_divide(time, pulse);
        if (pulses.denominator == 1)
            return -log2_of(pulse.denominator);
        struct fraction into = fraction_subtract(
            time, fraction_multiply(pulse, fraction_make(fraction_floor(pulses), 1)));
        return -log2_of(into.denominator);
    }
    return -log2_of(time.denominator);
}

static int levels_in_beat(const struct brute *brute, int from, int to)
{
    int start = strength_in_beat(brute, from), strongest = start;
    for (int slot = from + 1; slot < to; slot++)
        if (!brute->division.tuplet_actual || dyadic(time_of(brute, slot))) {
            int here = strength_in_beat(brute, slot);
            strongest = here > strongest ? here : strongest;
        }
    return strongest - start;
}

static int levels_in_tuplet(int units, int from, int to)
{
    int start = from == 0 ? 15 : units % 2 == 0 && from % 2 == 0, strongest = start;
    for (int unit = from + 1; unit < to; unit++) {
        int here = units % 2 == 0 && unit % 2 == 0;
        strongest = here > strongest ? here : strongest;
    }
    return strongest - start;
}

static int price_symbol(char kind, int dots, int levels)
{
    return PRICE_SYMBOL + PRICE_LEVEL * levels + (dots ? PRICE_DOT : 0) +
           (dots > 1 ? PRICE_SECOND_DOT : 0) + (kind == 'R' ? PRICE_REST : 0) +
           (kind == 'T' ? PRICE_TIE : 0);
}

/* ---- every spelling ----------------------------------------------------------------------- */

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* The inside of a tuplet of `units`, each `step` slots, from unit `at` on. */
static int cheapest_inside(const struct brute *brute, int start, int step, int units, int at)
{
    if (at == units)
        return 0;
    int slot = start + at * step, best = NO_SPELLING;
    char kind = kind_of(brute, slot);
    for (int to = at + 1; to <= units; to++) {
        int length = to - at, dots = length == 3 || length == 6 || length == 12;
        bool value = dots || (length & (length - 1)) == 0;
        if (crosses_onset(brute, slot, start + to * step) || !value || (dots && kind == 'R'))
            continue;
        best = least(best, price_symbol(kind, dots, levels_in_tuplet(units, at, to)) +
                               cheapest_inside(brute, start, step, units, to));
    }
    return best;
}

static bool late_rest(const struct brute *brute, char kind, int from, int to)
{
    struct fraction pulse =
        fraction_make(brute->of->numerator, 3 * (int64_t)brute->of->denominator);
    return kind == 'R' && brute->of->kind == BEAT_COMPOUND && from > 0 &&
           fraction_compare(time_of(brute, to - from), pulse) > 0;
}

/* Whether a plain value may begin or end at a slot: everywhere on a plain grid, between tuplets of
   simple beats where time is not broken by them, of compound beats only around the whole. */
static bool plain_place(const struct brute *brute, int slot)
{
    if (!brute->division.tuplet_actual || slot == 0 || slot == brute->division.slots)
        return true;
    return brute->of->kind == BEAT_SIMPLE && dyadic(time_of(brute, slot));
}

static int cheapest(const struct brute *brute, int from)
{
    int slots = brute->division.slots, best = NO_SPELLING;
    if (from == slots)
        return 0;
    char kind = kind_of(brute, from);
    for (int to = from + 1; to <= slots && plain_place(brute, from); to++) {
        int dots;
        if (crosses_onset(brute, from, to) || !plain_place(brute, to) ||
            !written(time_of(brute, to - from), &dots) ||
            (kind == 'R' && dots > (brute->of->kind == BEAT_COMPOUND)))
            continue;
        int price = price_symbol(kind, dots, levels_in_beat(brute, from, to)) +
                    (late_rest(brute, kind, from, to) ? PRICE_LATE_REST : 0);
        best = least(best, price + cheapest(brute, to));
    }
    for (size_t i = 0; i < 4 && brute->of->blocks[i].slots; i++) {
        struct block block = brute->of->blocks[i];
        if (from % block.slots || from + block.slots > slots)
            continue;
        int price =
            PRICE_TUPLET + cheapest_inside(brute, from, block.unit, block.slots / block.unit, 0);
        best = least(best, price + cheapest(brute, from + block.slots));
    }
    return best;
}

/* ---- the search's own result, checked ----------------------------------------------------- */

static void check_cover(const struct brute *brute, const struct spelling *spelling)
{
    int slot = 0;
    for (int i = 0; i < spelling->symbol_count; i++) {
        const struct spelled_symbol *symbol = &spelling->symbols[i];
        ck_assert_int_eq(symbol->slot, slot);
        ck_assert_int_gt(symbol->slots, 0);
        ck_assert(!crosses_onset(brute, slot, slot + symbol->slots));
        char kind = kind_of(brute, slot);
        ck_assert_int_eq(symbol->kind, kind == 'N'   ? SYMBOL_NOTE
                                       : kind == 'R' ? SYMBOL_REST
                                                     : SYMBOL_CONTINUED);
        struct fraction value = fraction_make((2 << symbol->dots) - 1,
                                              (int64_t)1 << (symbol->value_log2 + symbol->dots));
        if (symbol->tuplet != SPELLING_NO_TUPLET) {
            const struct spelled_tuplet *tuplet = &spelling->tuplets[symbol->tuplet];
            value = fraction_multiply(value, fraction_make(tuplet->normal, tuplet->actual));
        }
        ck_assert(fraction_equal(value, time_of(brute, symbol->slots)));
        slot += symbol->slots;
    }
    ck_assert_int_eq(slot, brute->division.slots);
}

static void try_pattern(struct brute *brute, uint64_t pattern, uint64_t sustained, bool held)
{
    brute->struck = pattern;
    brute->sustained = sustained & pattern;
    brute->held = held && !(pattern & 1);
    struct spelling spelling;
    spelling_search(&brute->division, brute->of->kind,
                    (struct spelling_onsets){pattern, brute->sustained, brute->held, 0}, &spelling);
    check_cover(brute, &spelling);
    int best = cheapest(brute, 0);
    ck_assert_msg((int)spelling.cost == best, "%s %d/%d pattern %llx: %u, brute force %d",
                  subdivision_name(brute->of->name), brute->of->numerator, brute->of->denominator,
                  (unsigned long long)pattern, spelling.cost, best);
}

static void try_all(const struct case_of *of, bool sustained)
{
    struct brute brute = brute_of(of);
    uint64_t patterns = (uint64_t)1 << brute.division.slots;
    for (uint64_t pattern = 0; pattern < patterns; pattern++) {
        try_pattern(&brute, pattern, 0, false);
        if (sustained) {
            try_pattern(&brute, pattern, pattern, true);
            try_pattern(&brute, pattern, pattern & 0x5555, pattern % 2 == 0);
        }
    }
}

START_TEST(every_pattern_of_a_beat_has_the_cheapest_spelling)
{
    for (size_t i = 0; i < CASES; i++)
        try_all(&cases[i], true);
    for (size_t i = 0; i < LONG_CASES; i++)
        try_all(&long_cases[i], false);
}
END_TEST

/* ---- two beats, through the whole builder -------------------------------------------------- */

/* The price of what stands in two beats of a bar. */
static int price_of_leaves(const struct brute *brute, const struct score_line *line,
                           uint16_t first_beat)
{
    int price = 0;
    struct fraction beat_length = fraction_make(brute->of->numerator, brute->of->denominator);
    for (uint16_t i = 0; i < line->tuplet_count; i++) {
        uint16_t beat = line->leaves[line->tuplets[i].first].beat;
        price += beat / 2 == first_beat / 2 ? PRICE_TUPLET : 0;
    }
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->beat / 2 != first_beat / 2)
            continue;
        char kind = leaf->rest ? 'R' : 'N';
        struct fraction into = fraction_subtract(
            leaf->onset, fraction_multiply(beat_length, fraction_make(leaf->beat, 1)));
        int from = (int)fraction_divide(into, brute->division.slot).numerator;
        int slots = (int)fraction_divide(leaf->length, brute->division.slot).numerator;
        int levels, late = 0;
        if (leaf->tuplet != LEAF_NO_TUPLET) {
            const struct tuplet *tuplet = &line->tuplets[leaf->tuplet];
            struct fraction unit =
                fraction_divide(tuplet->length, fraction_make(tuplet->actual, 1));
            int at =
                (int)fraction_divide(fraction_subtract(leaf->onset, tuplet->onset), unit).numerator;
            int units = (int)fraction_divide(leaf->length, unit).numerator;
            levels = levels_in_tuplet(tuplet->actual, at, at + units);
        } else {
            levels = slots > brute->division.slots ? 0 : levels_in_beat(brute, from, from + slots);
            late = late_rest(brute, kind, from, from + slots) ? PRICE_LATE_REST : 0;
        }
        price += price_symbol(kind, leaf->dots, levels) + late;
    }
    return price;
}

/* Any spelling of two beats either ends a symbol where the second begins, or is one rest. */
static int cheapest_of_two(const struct brute *brute, const int *of_beat, uint64_t pattern)
{
    int slots = brute->division.slots;
    uint64_t beat = ((uint64_t)1 << slots) - 1;
    int apart = of_beat[pattern & beat] + of_beat[pattern >> slots];
    int joined = price_symbol('R', brute->of->kind == BEAT_COMPOUND, 0);
    return pattern ? apart : least(apart, joined);
}

/* Two a bar. */
static char *lesson_of_patterns(const struct case_of *of, uint64_t first, uint64_t end, int slots)
{
    struct buffer text = {0};
    buffer_format(&text,
                  "title: T\ntime: %s\nexercises:\n  - title: E\n    subdivision: %s\n"
                  "    sticking: ",
                  of->meter, of->subdivision);
    for (uint64_t pattern = first; pattern < end; pattern++)
        for (int slot = 0; slot < 2 * slots; slot++)
            buffer_add(&text, pattern >> slot & 1 ? "R" : ".", 1);
    buffer_add_text(&text, "\n");
    return text.bytes;
}

static void expect_cheapest(const struct brute *brute, const int *of_beat, uint64_t first,
                            uint64_t end)
{
    char *text = lesson_of_patterns(brute->of, first, end, brute->division.slots);
    struct built built = built_right(text);
    ck_assert_uint_eq(built.score->exercises[0].bar_count, (end - first) / 2);
    for (uint64_t pattern = first; pattern < end; pattern++) {
        size_t at = (pattern - first) / 2;
        const struct score_bar *bar = built_bar(&built, 0, at);
        int price = price_of_leaves(brute, &bar->lines[LINE_HANDS], pattern % 2 ? 2 : 0);
        int best = cheapest_of_two(brute, of_beat, pattern);
        ck_assert_msg(price == best, "%s, pattern %llx: %s costs %d, brute force %d",
                      brute->of->subdivision, (unsigned long long)pattern,
                      built_values(&built, 0, at, LINE_HANDS), price, best);
    }
    built_release(&built);
    free(text);
}

START_TEST(every_pattern_of_two_beats_has_the_cheapest_spelling)
{
    const struct case_of *of = &cases[_i];
    struct brute brute = brute_of(of);
    int slots = brute.division.slots;
    uint64_t patterns = (uint64_t)1 << (2 * slots);
    int *of_beat = calloc((size_t)1 << slots, sizeof *of_beat);
    for (uint64_t pattern = 0; pattern < (uint64_t)1 << slots; pattern++) {
        brute.struck = pattern;
        of_beat[pattern] = cheapest(&brute, 0);
    }
    const uint64_t at_once = 16384; /* half as many bars: the most that a lesson may have */
    for (uint64_t first = 0; first < patterns; first += at_once)
        expect_cheapest(&brute, of_beat, first,
                        first + at_once < patterns ? first + at_once : patterns);
    free(of_beat);
}
END_TEST

/* ---- what a drummer expects to see -------------------------------------------------------- */

/* Common practice in drum notation. */
static const struct {
    const char *subdivision, *sticking, *values;
} expected[] = {
    {"sixteenths", "R..R R.R. R... ....", "8. 16 | 8 8 | 4 | _4"},
    {"sixteenths", "RR.R .R.R ..RR .R..", "16 8 16 | _16 8 16 | _8 16 16 | _16 8."},
    {"sixteenths", "RRR. R.RR ...R ..R.", "16 16 8 | 8 16 16 | _8 _16 16 | _8 8"},
    {"sixteenths", ".... .... R... ....", "_2 | 4 | _4"},
    {"sixteenths", "R... .... .... R...", "4 | _4 | _4 | 4"},
    {"sixteenths", "R... .... .... ....", "4 | _4 | _2"},
    {"sixteenths", ".... .... .... ....", "_bar"},
    {"eighth triplets", "R.R RR. .R. R..", "3:2( 4 8 ) | 3:2( 8 4 ) | 3:2( _8 4 ) | 4"},
    {"eighth triplets", "..R RRR ... R.R", "3:2( _4 8 ) | 3:2( 8 8 8 ) | _4 | 3:2( 4 8 )"},
    {"sixteenth triplets", "RRRRRR R..R.. R.R... R.R.R.",
     "3:2( 16 16 16 ) 3:2( 16 16 16 ) | 8 8 | 3:2( 8 4 ) | 3:2( 8 8 8 )"},
    {"sixteenth triplets", "RRRR.. R..RRR R.....  ...R..",
     "3:2( 16 16 16 ) 8 | 8 3:2( 16 16 16 ) | 4 | _8 8"},
    {"sextuplets", "RRRRRR R..R.. R.R.R. RRRR..",
     "6:4( 16 16 16 16 16 16 ) | 8 8 | 3:2( 8 8 8 ) | 6:4( 16 16 16 8. )"},
    {"quintuplets", "RRRRR R..R. R.... .R...",
     "5:4( 16 16 16 16 16 ) | 5:4( 8. 8 ) | 4 | 5:4( _16 4 )"},
    {"thirty-seconds", "R......R R...R... RRRRRRRR RR......",
     "8.. 32 | 8 8 | 32 32 32 32 32 32 32 32 | 32 16. _8"},
    {"quarter triplets", "RRR R..", "3:2( 4 4 | 4 ) | 2"},
};

START_TEST(patterns_are_written_as_drummers_expect)
{
    struct buffer text = {0};
    buffer_format(&text,
                  "title: T\nexercises:\n  - title: E\n    subdivision: %s\n    sticking: %s\n",
                  expected[_i].subdivision, expected[_i].sticking);
    struct built built = built_right(text.bytes);
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), expected[_i].values);
    built_release(&built);
    buffer_release(&text);
}
END_TEST

/* Compound beats: dotted values, a dotted rest for a whole beat, two eighth rests after the first
   eighth (E. Gould, Behind Bars, 2011, from memory). */
START_TEST(compound_beats_take_dotted_values)
{
    struct built built = built_right("title: T\ntime: 12/8\nexercises:\n  - title: E\n"
                                     "    subdivision: eighths\n"
                                     "    sticking: R.. ... R.R .R.\n"
                                     "  - title: F\n    subdivision: eighths\n"
                                     "    sticking: ... ... ..R RR.\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "4. | _4. | 4 8 | _8 4");
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_HANDS), "_2. | _4 8 | 8 4");
    built_release(&built);
}
END_TEST

/* No rest hides the middle of a bar of four, none joins beats of three. */
START_TEST(rests_join_only_where_the_bar_has_halves)
{
    struct built built = built_right("title: T\nsubdivision: quarters\nexercises:\n"
                                     "  - {title: A, sticking: R..R}\n"
                                     "  - {title: B, time: 3/4, sticking: R..}\n"
                                     "  - {title: C, time: 3+2/4, sticking: R....}\n"
                                     "  - {title: D, time: 6/4, sticking: R.....}\n"
                                     "  - {title: E, time: 2+2/4, sticking: R...}\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "4 | _4 | _4 | 4");
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_HANDS), "4 | _4 | _4");
    ck_assert_str_eq(built_values(&built, 2, 0, LINE_HANDS), "4 | _4 | _4 | _2");
    ck_assert_str_eq(built_values(&built, 3, 0, LINE_HANDS), "4 | _4 | _4 | _4 | _4 | _4");
    ck_assert_str_eq(built_values(&built, 4, 0, LINE_HANDS), "4 | _4 | _2");
    built_release(&built);
}
END_TEST

/* A stroke that rings into the next note is tied to it, over beats and bar lines, and never
   followed by a rest. */
START_TEST(ringing_strokes_are_held_by_ties)
{
    struct built built = built_right("title: T\nsubdivision: sixteenths\nexercises:\n"
                                     "  - title: E\n    bars: 2\n"
                                     "    sticking: Rz+... ..L. R.Lz+. ..R.\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "4 | ~8 8 | 8 8 | ~8 8");
    const struct score_line *line = &built_bar(&built, 0, 0)->lines[LINE_HANDS];
    ck_assert(line->leaves[0].tied && !line->leaves[1].tied && line->leaves[4].tied);
    ck_assert_ptr_eq(line->leaves[1].note, line->leaves[0].note);
    built_release(&built);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("spelling");
    TCase *force = tcase_create("brute force");
    tcase_set_timeout(force, 120);
    tcase_add_test(force, every_pattern_of_a_beat_has_the_cheapest_spelling);
    tcase_add_loop_test(force, every_pattern_of_two_beats_has_the_cheapest_spelling, 0, CASES);
    suite_add_tcase(suite, force);
    TCase *eye = tcase_create("to the eye");
    tcase_add_loop_test(eye, patterns_are_written_as_drummers_expect, 0,
                        (int)(sizeof expected / sizeof *expected));
    tcase_add_test(eye, compound_beats_take_dotted_values);
    tcase_add_test(eye, rests_join_only_where_the_bar_has_halves);
    tcase_add_test(eye, ringing_strokes_are_held_by_ties);
    suite_add_tcase(suite, eye);
    return run_suite(suite);
}
