#include "spoken/spoken.h"

#include "model/caution.h"
#include "model/floor.h"
#include "model/ladder.h"
#include "spoken/spoken_int.h"

#include <inttypes.h>
#include <stdlib.h>

/* The author's text on one line, without the spaces that YAML folding may leave at its end. */
static void add_text(const char *text, struct buffer *out)
{
    for (; *text; text++)
        buffer_add(out, *text == '\n' ? " " : text, 1);
    trim(out);
}

static void add_paragraphs(const struct words *paragraphs, size_t count, struct buffer *out)
{
    for (size_t i = 0; i < count; i++) {
        buffer_add_text(out, "\n");
        add_text(paragraphs[i].text, out);
        buffer_add_text(out, "\n");
    }
}

/* ---- an exercise -------------------------------------------------------------------------- */

void spoken_heading(const struct score *score, size_t exercise, struct buffer *out)
{
    const struct score_exercise *it = &score->exercises[exercise];
    buffer_format(out, "Exercise %" PRIu32, it->number);
    if (it->title && it->title[0]) {
        buffer_add_text(out, ": ");
        add_text(it->title, out);
    }
}

/* The printed exercise of a lesson's exercise; the first of two if both leads are printed. */
static const struct score_exercise *printed_as(const struct score *score, size_t source)
{
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].source == &score->lesson->exercises[source])
            return &score->exercises[i];
    return NULL;
}

static void add_form(const struct score *score, const struct exercise *source, struct buffer *out)
{
    buffer_add_text(out, "Practice form: ");
    for (size_t i = 0; i < source->sequence_count; i++) {
        const struct sequence_step *step = &source->sequence[i];
        const struct score_exercise *exercise = printed_as(score, step->exercise);
        if (!exercise)
            continue;
        buffer_format(out, "%sexercise %" PRIu32, i ? "; " : "", exercise->number);
        if (exercise->title && exercise->title[0]) {
            buffer_add_text(out, ", ");
            add_text(exercise->title, out);
        }
        if (step->times > 1)
            buffer_format(out, ", %s", word_times(score->arena, step->times));
    }
    buffer_add_text(out, ".\n");
}

void spoken_music(const struct score *score, size_t exercise, struct buffer *out)
{
    struct telling telling = {
        .arena = arena_new(), .score = score, .exercise = &score->exercises[exercise]};
    telling.habits = habits_of(telling.exercise, score->lesson->kit.voice_count, telling.arena);
    telling.repeats_whole = repeats_whole(telling.exercise);
    opening_tell(&telling, out);
    bars_tell(&telling, out);
    if (telling.exercise->sequence)
        add_form(score, telling.exercise->source, out);
    arena_free(telling.arena);
}

void spoken_paragraphs(const struct score *score, size_t exercise, struct buffer *out)
{
    const struct exercise *source = score->exercises[exercise].source;
    if (source->subtitle.text)
        add_paragraphs(&source->subtitle, 1, out);
    add_paragraphs(source->paragraphs, source->paragraph_count, out);
}

void spoken_ladder(const struct score *score, size_t exercise, struct buffer *out)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    if (!ladder_shown(score, exercise))
        return;
    size_t count = ladder_rungs(score, exercise, rungs);
    for (size_t i = 0; i < count; i++)
        buffer_format(out, "%s%s", i ? ", " : "Practice ladder, beats a minute: ",
                      tempo_text(rungs[i], (char[TEMPO_TEXT_ROOM]){0}));
    buffer_add_text(out, ".\n");
    const struct verdict *verdict = ladder_verdict(score, exercise);
    if (verdict && verdict->words) {
        add_text(verdict->words, out);
        buffer_add_text(out, "\n");
    }
}

static void add_exercise(const struct score *score, size_t exercise, struct buffer *out)
{
    buffer_add_text(out, "\n");
    spoken_heading(score, exercise, out);
    buffer_add_text(out, "\n");
    spoken_paragraphs(score, exercise, out);
    buffer_add_text(out, "\n");
    spoken_music(score, exercise, out);
    spoken_ladder(score, exercise, out);
}

/* ---- the lesson --------------------------------------------------------------------------- */

static void add_line(const char *lead, const char *text, struct buffer *out)
{
    if (!text || !*text)
        return;
    buffer_add_text(out, lead);
    add_text(text, out);
    buffer_add_text(out, "\n");
}

static void add_place(int x, int y, struct buffer *out)
{
    if (x)
        buffer_format(out, " %d %s", abs(x), x > 0 ? "right" : "left");
    if (y)
        buffer_format(out, "%s %d %s", x ? " and" : "", abs(y), y > 0 ? "ahead" : "behind");
    if (!x && !y)
        buffer_add_text(out, " in the middle");
}

/* What the plan of the kit on the page shows. */
static void add_plan(const struct score *score, struct buffer *out)
{
    if (!floor_shown(score))
        return;
    struct floor_surface *surfaces = memory_alloc(FLOOR_SURFACES_MOST * sizeof *surfaces);
    size_t count = floor_gather(score, surfaces);
    buffer_add_text(out, "Plan of the kit, in centimetres from where the snare's middle is: ");
    for (size_t i = 0; i < count; i++) {
        const struct floor_surface *surface = &surfaces[i];
        buffer_add_text(out, i ? "; " : "");
        add_text(floor_name(surface), out);
        buffer_add_text(out, surface->pedal ? " pedal" : "");
        add_place(surface->x, surface->y, out);
    }
    buffer_format(out, "; the stool %d behind.\n", -FLOOR_STOOL_Y_CM);
    memory_free(surfaces);
}

void spoken_head(const struct score *score, struct buffer *out)
{
    const struct lesson *lesson = score->lesson;
    add_line("", lesson->title.text, out);
    add_line("", lesson->subtitle.text, out);
    add_line("", lesson->author.text, out);
    add_line("Course: ", lesson->course_title.text, out);
    add_line("Level: ", lesson->settings.level.text, out);
    if (score->other_player)
        buffer_format(out, "For a %s-handed player\n", lesson->kit.left_handed ? "left" : "right");
    if (score->exercise_count > 1)
        buffer_format(out, "%zu exercises\n", score->exercise_count);
    add_paragraphs(lesson->notes, lesson->note_count, out);
    add_plan(score, out);
}

void spoken_tail(const struct score *score, struct buffer *out)
{
    size_t length = out->length;
    spoken_ladder(score, score->exercise_count, out);
    add_line("", caution_shown(score) ? practice_caution : NULL, out);
    if (out->length > length && score->lesson->copyright.text)
        buffer_add_text(out, "\n");
    add_line("", score->lesson->copyright.text, out);
}

void spoken_lesson(const struct score *score, struct exercise_choice choice, struct buffer *out)
{
    spoken_head(score, out);
    for (size_t i = 0; i < score->exercise_count; i++)
        if (exercise_chosen(choice, score->exercises[i].number))
            add_exercise(score, i, out);
    struct buffer tail = {0};
    spoken_tail(score, &tail);
    if (tail.length) {
        buffer_add_text(out, "\n");
        buffer_add(out, tail.bytes, tail.length);
    }
    buffer_release(&tail);
}
