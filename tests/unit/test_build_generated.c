/* What is true of every score, seen over thousands of random lessons (tests/generate). */
#include "built.h"

#include "../generate/generate.h"
#include "base/buffer.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { LESSONS = 2500, PER_TEST = 250 };

static const char *where; /* the lesson's text, for messages */

/* Millions of these hold: Check hears only of the one that does not, as it writes each to a file.
 */
#define TRUE_OF(condition)                                                                         \
    ((condition) ? (void)0 : ck_abort_msg("%s is not so in\n%s", #condition, where))

static struct fraction written_length(const struct leaf *leaf, const struct score_line *line)
{
    struct fraction length =
        fraction_make((2 << leaf->dots) - 1, (int64_t)1 << (leaf->value_log2 + leaf->dots));
    for (uint16_t t = leaf->tuplet; t != LEAF_NO_TUPLET; t = line->tuplets[t].outer)
        length = fraction_multiply(length,
                                   fraction_make(line->tuplets[t].normal, line->tuplets[t].actual));
    return length;
}

static void check_leaf(const struct score_bar *bar, const struct score_line *line, uint32_t i)
{
    const struct leaf *leaf = &line->leaves[i];
    TRUE_OF(leaf->rest == (leaf->note == NULL));
    TRUE_OF(!(leaf->rest && (leaf->tied || leaf->continued)));
    TRUE_OF(leaf->beat < bar->beat_count);
    const struct score_beat *beat = &bar->beats[leaf->beat];
    TRUE_OF(fraction_compare(leaf->onset, beat->start) >= 0);
    TRUE_OF(fraction_compare(leaf->onset, fraction_add(beat->start, beat->length)) < 0);
    if (!leaf->whole_bar)
        TRUE_OF(fraction_equal(leaf->length, written_length(leaf, line)));
    if (leaf_struck(leaf)) {
        TRUE_OF(leaf->note->hit_count > 0);
        TRUE_OF(leaf->note->at.line > 0);
    }
    if (leaf->continued)
        TRUE_OF(i == 0 || (line->leaves[i - 1].tied && line->leaves[i - 1].note == leaf->note));
}

static void check_tuplets(const struct score_line *line)
{
    for (uint16_t t = 0; t < line->tuplet_count; t++) {
        const struct tuplet *tuplet = &line->tuplets[t];
        TRUE_OF(tuplet->first < tuplet->end && tuplet->end <= line->leaf_count);
        struct fraction end = fraction_add(tuplet->onset, tuplet->length);
        const struct leaf *last = &line->leaves[tuplet->end - 1];
        TRUE_OF(fraction_equal(tuplet->onset, line->leaves[tuplet->first].onset));
        TRUE_OF(fraction_equal(end, fraction_add(last->onset, last->length)));
        /* `actual` of its unit in the time of `normal`, in its outer tuplets' time */
        struct fraction units = fraction_make(tuplet->normal, (int64_t)1 << tuplet->unit_log2);
        for (uint16_t o = tuplet->outer; o != LEAF_NO_TUPLET; o = line->tuplets[o].outer)
            units = fraction_multiply(
                units, fraction_make(line->tuplets[o].normal, line->tuplets[o].actual));
        TRUE_OF(fraction_equal(units, tuplet->length));
        if (tuplet->outer == LEAF_NO_TUPLET) {
            TRUE_OF(tuplet->depth == 0);
            continue;
        }
        const struct tuplet *outer = &line->tuplets[tuplet->outer];
        TRUE_OF(outer->depth + 1 == tuplet->depth);
        TRUE_OF(outer->first <= tuplet->first && tuplet->end <= outer->end);
    }
}

/* Leaves follow each other without a gap from the bar's first onset to its length. */
static void check_line(const struct score_bar *bar, const struct score_line *line)
{
    struct fraction now = bar->start;
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        TRUE_OF(fraction_equal(line->leaves[i].onset, now));
        TRUE_OF(line->leaves[i].length.numerator > 0);
        now = fraction_add(now, line->leaves[i].length);
        check_leaf(bar, line, i);
    }
    if (line->leaf_count)
        TRUE_OF(fraction_equal(now, fraction_add(bar->start, bar->length)));
    check_tuplets(line);
}

static void check_bar(const struct score_bar *bar)
{
    struct fraction length = FRACTION_ZERO;
    for (uint16_t i = 0; i < bar->beat_count; i++) {
        TRUE_OF(fraction_equal(bar->beats[i].start, length));
        length = fraction_add(length, bar->beats[i].length);
    }
    TRUE_OF(fraction_equal(length, meter_length(bar->meter)));
    TRUE_OF(fraction_equal(fraction_add(bar->start, bar->length), length));
    TRUE_OF(bar->pickup == (bar->start.numerator > 0));
    TRUE_OF(bar->lines[LINE_HANDS].leaf_count > 0);
    for (uint16_t i = 1; i < bar->count_count; i++)
        TRUE_OF(fraction_compare(bar->counts[i - 1].onset, bar->counts[i].onset) < 0);
    for (int line = 0; line < LINE_COUNT; line++)
        check_line(bar, &bar->lines[line]);
}

static void check_exercise(const struct score_exercise *exercise)
{
    size_t begins = 0, ends = 0;
    TRUE_OF(exercise->sequence == (exercise->bar_count == 0));
    for (size_t i = 0; i < exercise->bar_count; i++) {
        const struct score_bar *bar = &exercise->bars[i];
        TRUE_OF(bar->last == (i + 1 == exercise->bar_count));
        TRUE_OF(bar->repeat_ends == (bar->plays >= 2));
        begins += bar->repeat_begins;
        ends += bar->repeat_ends;
        check_bar(bar);
    }
    TRUE_OF(begins <= ends);
    if (exercise->cycle.bars_to_line_up)
        TRUE_OF(exercise->cycle.bars_to_line_up * exercise->cycle.slots_in_bar ==
                exercise->cycle.rotations * exercise->cycle.slots_in_cycle);
}

START_TEST(every_score_is_whole)
{
    struct arena *texts = arena_new();
    for (uint64_t seed = (uint64_t)_i * PER_TEST; seed < (uint64_t)(_i + 1) * PER_TEST; seed++) {
        where = generate_lesson(texts, seed);
        struct built built = built_right(where);
        check_score(built.score, built.diags);
        TRUE_OF(built_count(&built, DIAG_LIMB_CLASH) == 0);
        for (size_t i = 0; i < built.score->exercise_count; i++)
            check_exercise(&built.score->exercises[i]);
        built_release(&built);
        arena_reset(texts);
    }
    arena_free(texts);
}
END_TEST

START_TEST(a_seed_gives_the_same_lesson_again)
{
    struct arena *texts = arena_new();
    const char *one = generate_lesson(texts, 7), *again = generate_lesson(texts, 7);
    ck_assert_str_eq(one, again);
    ck_assert_str_ne(one, generate_lesson(texts, 8));
    arena_free(texts);
}
END_TEST

/* Keys and forms that have to come up somewhere in the lessons above. */
START_TEST(the_lessons_use_the_constructs_of_the_format)
{
    static const char *const constructs[] = {"tempo: 60-96",
                                             "counting: ",
                                             "lead: both",
                                             "bars: resolve",
                                             "accents: each",
                                             "ghosts: ",
                                             "at: {",
                                             "kick: 1..2",
                                             "hat-foot: ",
                                             "feet:",
                                             "pickup:",
                                             "endings:",
                                             "sequence: ",
                                             "dynamics: ",
                                             "swing: 2/3",
                                             "voices: ",
                                             "play: {",
                                             "5:4(",
                                             "3(4 3(8*3) 4)",
                                             "8+16",
                                             "time: 2+2+3/8",
                                             "quintuplets",
                                             "quarter triplets",
                                             "subdivision: [",
                                             "repeat: ",
                                             "barrel",
                                             "crate",
                                             "flam accent",
                                             "2&trip",
                                             "crash+bass-drum",
                                             "_4",
                                             "2(8 8)",
                                             "tuplet-numbers: first",
                                             "counts: notes",
                                             "sticking: no",
                                             "swing: 3/5",
                                             "64*16",
                                             "7:4(16*7)",
                                             "4+16 8.",
                                             "bars: 9",
                                             "margin: ",
                                             "feet: {rhythm: "};
    struct arena *texts = arena_new();
    struct buffer all = {0};
    for (uint64_t seed = 0; seed < 500; seed++)
        buffer_add_text(&all, generate_lesson(texts, seed));
    for (size_t i = 0; i < sizeof constructs / sizeof *constructs; i++)
        ck_assert_msg(strstr(buffer_text(&all), constructs[i]) != NULL, "%s", constructs[i]);
    buffer_release(&all);
    arena_free(texts);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("generated lessons");
    TCase *test = tcase_create("generated");
    tcase_set_timeout(test, 120);
    tcase_add_loop_test(test, every_score_is_whole, 0, LESSONS / PER_TEST);
    tcase_add_test(test, a_seed_gives_the_same_lesson_again);
    tcase_add_test(test, the_lessons_use_the_constructs_of_the_format);
    suite_add_tcase(suite, test);
    return run_suite(suite);
}
