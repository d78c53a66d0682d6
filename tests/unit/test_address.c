/* Count addresses: what is spoken where (ratamark-lesson(5), COUNTS and COUNTING). */
#include "built.h"

#include "base/buffer.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* Where the kicks of an exercise are, as fractions of the whole note from the bar line. */
static const char *kicks(const struct built *built, size_t bar)
{
    const struct score_line *feet = &built_bar(built, 0, bar)->lines[LINE_FEET];
    struct buffer text = {0};
    for (uint32_t i = 0; i < feet->leaf_count; i++)
        if (leaf_struck(&feet->leaves[i]))
            buffer_format(&text, "%s%lld/%lld", text.length ? " " : "",
                          (long long)feet->leaves[i].onset.numerator,
                          (long long)feet->leaves[i].onset.denominator);
    const char *kept = arena_copy_text(built->arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return kept;
}

/* A lesson with one exercise of full bars in one subdivision, and a kick. */
static struct built with_kick(const char *time, const char *subdivision, const char *kick)
{
    struct buffer text = {0};
    buffer_format(&text,
                  "title: T\ntime: %s\nexercises:\n  - title: E\n    subdivision: %s\n"
                  "    sticking: R\n    kick: %s\n",
                  time, subdivision, kick);
    struct built built = built_any(text.bytes);
    buffer_release(&text);
    return built;
}

static const struct {
    const char *time, *subdivision, *kick, *onsets;
} found[] = {
    /* the sixteenths of a beat: 1 e & a (common practice) */
    {"4/4", "sixteenths", "1 1e 1& 1a", "0/1 1/16 1/8 3/16"},
    {"4/4", "sixteenths", "4a", "15/16"},
    {"4/4", "eighth triplets", "1 1trip 1let", "0/1 1/12 1/6"},
    /* six to the beat, said "1 trip let & trip let": the second half after the & */
    {"4/4", "sixteenth triplets", "2 2trip 2let 2& 2&trip 2&let", "1/4 7/24 1/3 3/8 5/12 11/24"},
    {"6/8", "eighths", "1 1& 1a 2a", "0/1 1/8 1/4 5/8"},
    {"6/8", "sixteenths", "1ta 1& 1&ta 1a 1ata", "1/16 1/8 3/16 1/4 5/16"},
    {"4/4", "thirty-seconds", "1ta 1eta 1&ta 1ata", "1/32 3/32 5/32 7/32"},
    /* slots that are counted by numbers, and of any grid by their own number */
    {"4/4", "quintuplets", "2 2/3 2/5", "1/4 7/20 9/20"},
    {"4/4", "sixteenths", "3/2", "9/16"},
    /* two halves to the bar, four eighths to each: counted as sixteenths are */
    {"2/2", "eighths", "1 1e 2& 2a", "0/1 1/8 3/4 7/8"},
    /* a group of three counts as a compound beat */
    {"2+2+3/8", "eighths", "2& 3& 3a", "3/8 5/8 3/4"},
    /* in a subdivision that is named: three to the beat, or six */
    {"4/4", "sixteenths", "1let of eighth triplets 2let of 16th triplets", "1/6 1/3"},
    {"4/4", "sixteenths", "each trip of triplets", "1/12 1/3 7/12 5/6"},
    {"4/4", "sixteenths", "3/5 of quintuplets", "7/10"},
    {"4/4", "sixteenths", "2..2let of eighth triplets 3 to 3let of triplets",
     "1/4 1/3 5/12 1/2 7/12 2/3"},
    /* not a count of this subdivision: the one place that other subdivisions give it */
    {"4/4", "eighth triplets", "2a", "7/16"},
    {"4/4", "eighth triplets", "2&", "3/8"},
    {"4/4", "quarters", "2e", "5/16"},
    {"4/4", "quintuplets", "1 2&", "0/1 3/8"},
    {"4/4", "quarter triplets", "1 2 3let", "0/1 1/4 5/6"},
    /* several at once */
    {"4/4", "eighths", "each beat", "0/1 1/4 1/2 3/4"},
    {"4/4", "sixteenths", "each &", "1/8 3/8 5/8 7/8"},
    {"4/4", "eighth triplets", "each let", "1/6 5/12 2/3 11/12"},
    {"3/4", "sixteenths", "quarters", "0/1 1/4 1/2"},
    {"6/8", "eighths", "quarters", "0/1 1/4 1/2"},
    {"2/4", "sixteenths", "eighths", "0/1 1/8 1/4 3/8"},
    {"4/4", "sixteenths", "1..2", "0/1 1/16 1/8 3/16 1/4"},
    {"4/4", "eighths", "3&..4&", "5/8 3/4 7/8"},
};

START_TEST(an_address_means_the_slot_that_is_spoken_so)
{
    struct built built = with_kick(found[_i].time, found[_i].subdivision, found[_i].kick);
    ck_assert_msg(diags_errors(built.diags) == 0, "%s: %s", found[_i].kick,
                  diags_count(built.diags) ? diags_get(built.diags, 0)->message : "");
    ck_assert_str_eq(kicks(&built, 0), found[_i].onsets);
    built_release(&built);
}
END_TEST

static const struct {
    const char *time, *subdivision, *kick;
    enum diag_code code;
    const char *says, *nearest;
} failing[] = {
    {"4/4", "eighths", "2and", DIAG_UNKNOWN_COUNT, "2, 2&", "2&"},
    {"4/4", "sixteenths", "5", DIAG_UNKNOWN_COUNT, "a beat from 1 to 4", NULL},
    {"3/4", "eighths", "1 4&", DIAG_UNKNOWN_COUNT, "a beat from 1 to 3", NULL},
    /* trip is a third of the beat among triplets, a sixth among sixteenth triplets */
    {"4/4", "sixteenths", "2trip", DIAG_AMBIGUOUS_COUNT,
     "'2trip of eighth triplets' or '2trip of sixteenth triplets', or a count of this beat: "
     "2, 2e, 2&, 2a",
     NULL},
    {"4/4", "sixteenths", "each let", DIAG_AMBIGUOUS_COUNT,
     "'each let of eighth triplets' or 'each let of sixteenth triplets', or a count of this beat: "
     "1, 1e, 1&, 1a",
     NULL},
    {"4/4", "sixteenths", "2:1", DIAG_UNKNOWN_COUNT, "bar 1", NULL},
};

START_TEST(an_address_that_is_not_spoken_lists_what_is)
{
    struct built built = with_kick(failing[_i].time, failing[_i].subdivision, failing[_i].kick);
    ck_assert_uint_eq(built_count(&built, failing[_i].code), 1);
    for (size_t i = 0; i < diags_count(built.diags); i++) {
        const struct diag *diag = diags_get(built.diags, i);
        if (diag->code != failing[_i].code)
            continue;
        ck_assert_uint_eq(diag->at.line, 7);
        ck_assert_msg(strstr(diag->expected, failing[_i].says) != NULL, "%s", diag->expected);
        if (failing[_i].nearest)
            ck_assert_str_eq(diag->nearest, failing[_i].nearest);
    }
    built_release(&built);
}
END_TEST

START_TEST(a_bar_in_front_means_that_bar_only)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n"
                                     "  - {title: E, sticking: RL, bars: 3, kick: '1 2:3&'}\n");
    ck_assert_str_eq(kicks(&built, 0), "0/1");
    ck_assert_str_eq(kicks(&built, 1), "0/1 5/8");
    ck_assert_str_eq(kicks(&built, 2), "0/1");
    built_release(&built);
}
END_TEST

START_TEST(a_list_has_one_entry_a_bar_and_goes_round)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n"
                                     "  - {title: E, sticking: RL, bars: 3, kick: [1, 2 3]}\n"
                                     "  - {title: F, sticking: RL, kick: [1, 2, 3]}\n");
    ck_assert_str_eq(kicks(&built, 0), "0/1");
    ck_assert_str_eq(kicks(&built, 1), "1/4 1/2");
    ck_assert_str_eq(kicks(&built, 2), "0/1");
    /* without `bars`, each entry gets a bar */
    ck_assert_uint_eq(built.score->exercises[1].bar_count, 3);
    built_release(&built);
}
END_TEST

/* A bar that lacks the beat is skipped; a beat that no bar has is a mistake. */
START_TEST(bars_of_other_meters_may_lack_a_beat)
{
    const char *lesson = "title: T\nsubdivision: eighths\nexercises:\n"
                         "  - title: E\n    sticking: RL\n    kick: 1 %s\n"
                         "    bars:\n      - time: 4/4\n      - time: 3/4\n";
    struct buffer text = {0};
    buffer_format(&text, lesson, "4");
    struct built built = built_right(text.bytes);
    ck_assert_str_eq(kicks(&built, 0), "0/1 3/4");
    ck_assert_str_eq(kicks(&built, 1), "0/1");
    built_release(&built);
    buffer_release(&text);
    buffer_format(&text, lesson, "5");
    built = built_any(text.bytes);
    const struct diag *diag = built_finding(&built, DIAG_UNKNOWN_COUNT, 6, 13);
    ck_assert_str_eq(diag->expected, "a beat from 1 to 4");
    built_release(&built);
    buffer_release(&text);
}
END_TEST

/* A count written in a bar must exist in that bar. */
START_TEST(a_bars_own_counts_have_to_be_in_it)
{
    struct built built = built_any("title: T\nsubdivision: eighths\nexercises:\n"
                                   "  - title: E\n    sticking: RL\n    bars:\n"
                                   "      - kick: 1 5\n      - kick: 1:3\n");
    ck_assert_uint_eq(built_count(&built, DIAG_UNKNOWN_COUNT), 2);
    ck_assert_uint_eq(diags_get(built.diags, 0)->at.line, 7);
    ck_assert_uint_eq(diags_get(built.diags, 1)->at.line, 8);
    built_release(&built);
}
END_TEST

/* With a rhythm, the notes of the beat decide how it is counted, then the bar's subdivision. */
START_TEST(a_rhythm_is_addressed_as_it_is_counted)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n    bars:\n"
                                     "      - rhythm: 3(8 8 8) | 16*4 | 4 | 4\n"
                                     "        sticking: RLR | RLRL | R | L\n"
                                     "        accents: 1let 2a 4\n"
                                     "        kick: 1trip 3&\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "R:snare L:snare R:snare> R:snare L:snare R:snare L:snare> R:snare L:snare>");
    ck_assert_str_eq(kicks(&built, 0), "1/12 5/8");
    built_release(&built);
}
END_TEST

START_TEST(an_accent_needs_a_stroke)
{
    struct built built = built_any("title: T\nexercises:\n  - title: E\n"
                                   "    subdivision: eighth triplets\n"
                                   "    sticking: R.R R.R R.R R.R\n"
                                   "    accents: 2 4trip\n");
    const struct diag *diag = built_finding(&built, DIAG_NO_STROKE, 6, 16);
    ck_assert_str_eq(diag->found, "4trip");
    ck_assert_str_eq(diag->nearest, "4");
    built_release(&built);
}
END_TEST

/* "each", ranges and subdivisions apply to the strokes that exist, which can be none. */
START_TEST(many_at_once_pass_over_empty_slots)
{
    struct built built = built_right("title: T\nsubdivision: sixteenths\nexercises:\n"
                                     "  - title: E\n    sticking: R.RR .RRR R.RR RRRR\n"
                                     "    accents: each beat\n    ghosts: 1e..1a each e\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "R:snare> R:snare() R:snare() R:snare() R:snare R:snare R:snare> R:snare "
                     "R:snare R:snare> R:snare() R:snare R:snare");
    built_release(&built);
    built = built_any("title: T\nsubdivision: eighths\nexercises:\n"
                      "  - {title: E, sticking: R., accents: each &}\n");
    ck_assert_uint_eq(built_count(&built, DIAG_NO_STROKE), 1);
    built_release(&built);
}
END_TEST

/* "each 6 strokes": the 1st, 7th, 13th ... of the exercise; a bar of sixteenths has 16. */
START_TEST(each_n_strokes_counts_through_the_bars)
{
    struct built built =
        built_right("title: T\nsubdivision: sixteenths\nexercises:\n"
                    "  - {title: E, sticking: RLLRRL, bars: resolve, accents: each 6 strokes}\n");
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 3);
    unsigned strokes = 0;
    for (size_t bar = 0; bar < 3; bar++) {
        const struct score_line *line = &built_bar(&built, 0, bar)->lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++, strokes++)
            ck_assert_int_eq(line->leaves[i].note->marks == MARK_ACCENT, strokes % 6 == 0);
    }
    ck_assert_uint_eq(strokes, 48);
    built_release(&built);
}
END_TEST

/* takadimi: each syllable has a fixed place in the beat (Hoffman, Pelto and White, 1996, from
 * memory). */
START_TEST(other_systems_have_their_own_addresses)
{
    struct built built = built_right("title: T\ncounting: takadimi\nsubdivision: sixteenths\n"
                                     "exercises:\n  - {title: E, sticking: R, kick: 1 1ka 2mi}\n");
    ck_assert_str_eq(kicks(&built, 0), "0/1 1/16 7/16");
    built_release(&built);
    built = built_right("title: T\ncounting: eastman\nsubdivision: sixteenths\n"
                        "exercises:\n  - {title: E, sticking: R, kick: 1te 1teta 2ta}\n");
    ck_assert_str_eq(kicks(&built, 0), "1/8 3/16 5/16");
    built_release(&built);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("address");
    TCase *test = tcase_create("addresses");
    tcase_add_loop_test(test, an_address_means_the_slot_that_is_spoken_so, 0,
                        (int)(sizeof found / sizeof *found));
    tcase_add_loop_test(test, an_address_that_is_not_spoken_lists_what_is, 0,
                        (int)(sizeof failing / sizeof *failing));
    tcase_add_test(test, a_bar_in_front_means_that_bar_only);
    tcase_add_test(test, a_list_has_one_entry_a_bar_and_goes_round);
    tcase_add_test(test, bars_of_other_meters_may_lack_a_beat);
    tcase_add_test(test, a_bars_own_counts_have_to_be_in_it);
    tcase_add_test(test, a_rhythm_is_addressed_as_it_is_counted);
    tcase_add_test(test, an_accent_needs_a_stroke);
    tcase_add_test(test, many_at_once_pass_over_empty_slots);
    tcase_add_test(test, each_n_strokes_counts_through_the_bars);
    tcase_add_test(test, other_systems_have_their_own_addresses);
    suite_add_tcase(suite, test);
    return run_suite(suite);
}
