/* Any bytes as a lesson, alone and under themselves as a course file: read, built, checked,
   performed and written as MIDI. What must hold whatever they are is asserted: findings have their
   place in the file, and a lesson without an error has a score whose bars are as long as their
   meters. */
#include "build/build.h"
#include "check/check.h"
#include "hear.h"
#include "play/play.h"
#include "read/read.h"
#include "tidied.h"

#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static uint32_t lines_in(struct read_source source)
{
    uint32_t lines = 1;
    for (size_t i = 0; i < source.length; i++)
        lines += source.bytes[i] == '\n' || source.bytes[i] == '\r';
    return lines;
}

static void judge_findings(const struct diags *diags, struct read_source source)
{
    size_t errors = 0;
    uint32_t lines = lines_in(source);
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        errors += diag->severity == DIAG_SEVERITY_ERROR;
        MUST(diag->message && diag->message[0]);
        MUST(diag->at.file == source.name);
        MUST(diag->at.line >= 1 && diag->at.line <= lines + 1);
        MUST(diag->at.column >= 1 && diag->at.length >= 1);
    }
    MUST(errors <= diags_errors(diags));
}

static bool is_of_feet(const struct leaf *leaf)
{
    bool feet = leaf->note && leaf->note->hit_count;
    for (size_t i = 0; feet && i < leaf->note->hit_count; i++)
        feet = leaf->note->hits[i].limb == LIMB_RIGHT_FOOT ||
               leaf->note->hits[i].limb == LIMB_LEFT_FOOT;
    return feet;
}

/* Where the line ends. Strokes of the feet may stand
   under a note of the left hand's own line that lasts. */
static struct fraction line_end(const struct score_bar *bar, int line)
{
    const struct score_line *leaves = &bar->lines[line];
    struct fraction end = bar->start;
    for (uint32_t i = 0; i < leaves->leaf_count; i++) {
        const struct leaf *leaf = &leaves->leaves[i];
        bool under = line == LINE_FEET && bar->hands_apart && is_of_feet(leaf) &&
                     fraction_compare(leaf->onset, end) < 0;
        if (!under)
            end = fraction_add(end, leaf->length);
    }
    return end;
}

static void judge_score(const struct score *score)
{
    for (size_t e = 0; e < score->exercise_count; e++) {
        const struct score_exercise *exercise = &score->exercises[e];
        for (size_t b = 0; b < exercise->bar_count; b++) {
            const struct score_bar *bar = &exercise->bars[b];
            for (int line = 0; line < LINE_COUNT; line++) {
                if (bar->lines[line].leaf_count)
                    MUST(
                        fraction_equal(line_end(bar, line), fraction_add(bar->start, bar->length)));
            }
        }
    }
}

/* The same for the same bytes. */
static uint32_t choice_of(struct read_source source)
{
    uint32_t choice = 2166136261u;
    for (size_t i = 0; i < source.length; i++)
        choice = (choice ^ (unsigned char)source.bytes[i]) * 16777619u;
    return choice >> 8;
}

static void try_lesson(struct arena *arena, struct read_source source,
                       const struct course_context *course)
{
    struct diags *diags = diags_new(arena);
    struct lesson *lesson = read_lesson(arena, source, course, diags);
    MUST(lesson || diags_errors(diags));
    if (lesson) {
        struct score *score = build_score(lesson, diags);
        check_score(score, diags);
        if (diags_errors(diags) == 0) {
            judge_score(score);
            tidy_lesson(arena, source, course, score);
            if (score->hands_asked)
                play_fill_hands(score);
            check_stickings(score, diags);
            play_check(score, &(struct play_options){.words = true}, diags);
            MUST(diags_errors(diags) == 0);
            hear_score(score, choice_of(source));
        }
    }
    diags_sort(diags);
    judge_findings(diags, source);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena *arena = arena_new();
    struct read_source source = {"fuzz.yaml", (const char *)data, size};
    try_lesson(arena, source, NULL);
    struct diags *diags = diags_new(arena);
    struct course_context *course = read_course(arena, source, NULL, diags);
    judge_findings(diags, source);
    if (course)
        try_lesson(arena, source, course);
    arena_free(arena);
    return 0;
}
