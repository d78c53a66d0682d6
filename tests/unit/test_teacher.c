/*
 * Forty lessons with a teacher's stickings (tests/teacher): ordinary material at its level, at a
 * tempo usual there; common practice. Played as written, and with its letters removed and the hands
 * chosen for a player, it gets at most one warning in twenty exercises; and the chosen hands are
 * the teacher's.
 */
#include "built.h"

#include "base/buffer.h"
#include "base/file.h"
#include "build/build.h"
#include "play/hands.h"
#include "play/play.h"
#include "suite.h"

#include <check.h>
#include <string.h>

enum { LESSONS = 40, TEXT_MOST = 10000, EXERCISES_A_WARNING = 20 };

static size_t exercises, warned;

static char *text_of(struct arena *arena, const char *name)
{
    struct buffer text = {0};
    ck_assert(file_read(arena_format(arena, "tests/teacher/%s", name), TEXT_MOST, &text));
    char *copy = arena_copy_text(arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return copy;
}

static size_t warnings(struct built *built)
{
    struct diags *diags = diags_new(built->arena);
    size_t found = 0;
    play_check(built->score, &(struct play_options){.at = 0}, diags);
    for (size_t i = 0; i < diags_count(diags); i++)
        found += diags_get(diags, i)->severity == DIAG_SEVERITY_WARNING;
    return found;
}

/* The letters of an exercise's hands: as written or, if it has none, as a player would choose. */
static const char *letters(struct built *built, const struct score_exercise *exercise)
{
    struct hand_sums sums, alternating;
    struct hand_row row =
        play_choose_hands(built->score, exercise, exercise->source->settings.limits, STICK_PLAYER,
                          &sums, &alternating);
    struct buffer text = {0};
    for (size_t i = 0; i < row.count; i++) {
        char letter = hands_letter(&row, &row.events[i]);
        bool turned = letter == 'B' && hands_limb(&row, &row.events[i], 0) == LIMB_LEFT_HAND;
        buffer_format(&text, "%c", turned ? 'b' : letter);
    }
    const char *copy = arena_copy_text(built->arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return copy;
}

static void take_letters_away(struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_line *line = &exercise->bars[b].lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            struct note *note = line->leaves[i].note;
            if (!leaf_struck(&line->leaves[i]))
                continue;
            note->letter = note->proposed = 0;
            for (size_t hit = 0; hit < note->hit_count; hit++)
                if (note->hits[hit].limb <= LIMB_LEFT_HAND)
                    note->hits[hit].limb = LIMB_HAND;
        }
    }
}

/* "# hands" marks lessons whose hands are the subject, or are up to the player: do not compare. */
static void try_lesson(const char *name)
{
    struct arena *arena = arena_new();
    const char *text = text_of(arena, name);
    struct built built = built_right(text);
    bool any_hands = strstr(text, "# hands") != NULL;
    ck_assert_msg(strncmp(text, "# common practice\n", 18) == 0, "%s", name);
    warned += warnings(&built);
    for (size_t i = 0; i < built.score->exercise_count; i++, exercises++) {
        struct score_exercise *exercise = &built.score->exercises[i];
        const char *written = letters(&built, exercise);
        take_letters_away(exercise);
        const char *chosen = letters(&built, exercise);
        ck_assert_msg(any_hands || strcmp(chosen, written) == 0, "%s, exercise %zu: %s, not %s",
                      name, i + 1, chosen, written);
    }
    warned += warnings(&built);
    built_release(&built);
    arena_free(arena);
}

static char other_hand(char letter)
{
    static const char pairs[] = "RLRBbB";
    return strchr(pairs, letter)[1];
}

/* Swaps all hands, as `--handed left` does. */
static void try_left_handed(const char *name)
{
    struct arena *arena = arena_new();
    const char *text = text_of(arena, name);
    struct built right = built_right(text), left = built_right(text);
    ((struct lesson *)left.lesson)->kit.left_handed = true;
    score_mirror(left.score, true);
    for (size_t i = 0; i < right.score->exercise_count; i++) {
        take_letters_away(&right.score->exercises[i]);
        take_letters_away(&left.score->exercises[i]);
        const char *of_right = letters(&right, &right.score->exercises[i]);
        const char *of_left = letters(&left, &left.score->exercises[i]);
        ck_assert_uint_eq(strlen(of_right), strlen(of_left));
        for (size_t k = 0; of_right[k]; k++)
            ck_assert_msg(of_left[k] == other_hand(of_right[k]),
                          "%s, exercise %zu: %s, of a left-handed player %s", name, i + 1, of_right,
                          of_left);
    }
    built_release(&left);
    built_release(&right);
    arena_free(arena);
}

START_TEST(a_left_handed_player_has_them_the_other_way_round)
{
    ck_assert_int_ge(each_lesson("tests/teacher", try_left_handed), LESSONS);
}
END_TEST

START_TEST(the_teachers_hands_are_found)
{
    ck_assert_int_ge(each_lesson("tests/teacher", try_lesson), LESSONS);
    ck_assert_msg(warned * EXERCISES_A_WARNING <= 2 * exercises,
                  "%zu warnings, %zu exercises twice", warned, exercises);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("teacher");
    tcase_add_test(tcase, the_teachers_hands_are_found);
    tcase_add_test(tcase, a_left_handed_player_has_them_the_other_way_round);
    Suite *suite = suite_create("teacher");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
