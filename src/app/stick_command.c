/* `ratamark stick`: suggests stickings, and with -o writes them into the lesson. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "app/stick_write.h"
#include "base/file.h"
#include "play/hands.h"
#include "play/play.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>

struct sticker {
    struct lesson_run *run;
    enum stick_style style;
    const struct limits *limits; /* NULL: the exercise's own */
    struct stick_writer *writer; /* NULL: without -o */
    struct buffer out;
    size_t chosen; /* exercises with strokes that had no hand */
};

/* ---- showing ------------------------------------------------------------------------------ */

/* Which habits chose the hands, and how many strokes break one. */
static void show_habits(const struct score *score, const struct hand_sums *sums, bool left_leads,
                        struct buffer *out)
{
    const char *leading = left_leads ? "left" : "right", *other = left_leads ? "right" : "left";
    const char *comma = "";
    buffer_add_text(out, "player: ");
    if (sums->habits[HABIT_TIME]) {
        buffer_format(out, "the %s hand keeps time on the %s", leading,
                      score->lesson->kit.voices[sums->time_voice].spoken);
        comma = ", ";
    }
    if (sums->habits[HABIT_FREE]) {
        buffer_format(out, "%sthe %s hand plays what falls between", comma, other);
        comma = ", ";
    }
    if (sums->habits[HABIT_BEAT] && sums->repeats && !sums->habits[HABIT_TIME])
        buffer_format(out,
                      "%seach stroke has the hand of its slot in the even grid, the %s one on the "
                      "beats",
                      comma, leading);
    else if (sums->habits[HABIT_BEAT])
        buffer_format(out, "%s%s hands alternate, the %s one leads the beats", comma,
                      sums->habits[HABIT_TIME] ? "elsewhere the" : "the", leading);
    if (sums->unhabitual)
        buffer_format(out, "; for %" PRIu32 " stroke%s, where %s would not do, the other hand",
                      sums->unhabitual, sums->unhabitual == 1 ? "" : "s",
                      sums->unhabitual == 1 ? "that" : "those");
}

static void show_reason(const struct sticker *sticker, const struct hand_row *row,
                        const struct hand_sums *sums, const struct hand_sums *alternating,
                        struct buffer *out)
{
    switch (sticker->style) {
    case STICK_PLAYER:
        show_habits(sticker->run->work.score, sums, row->left_leads, out);
        break;
    case STICK_ALTERNATE:
        buffer_format(out, "alternating: %" PRIu32 " of %" PRIu32 " strokes repeat the hand before",
                      sums->repeats, sums->strokes[0] + sums->strokes[1]);
        break;
    case STICK_NATURAL:
        buffer_format(out, "natural: each stroke gets the hand of its slot in the even grid");
        if (sums->off_slot)
            buffer_format(out, ", except %" PRIu32 " with a written hand", sums->off_slot);
        break;
    case STICK_TRAVEL:
        buffer_format(out,
                      "least travel: the hands move %.1f m; alternating they would move %.1f m",
                      (double)sums->travel_mm / 1000, (double)alternating->travel_mm / 1000);
        break;
    case STICK_EFFORT:
        buffer_format(out, "least effort: %.0f %% of the effort of alternating hands",
                      alternating->load > 0 ? 100 * sums->load / alternating->load : 100.0);
        break;
    }
    buffer_format(out, "; right %" PRIu32 ", left %" PRIu32 "\n", sums->strokes[0],
                  sums->strokes[1]);
}

static void show_bars(const struct score_exercise *exercise, const struct hand_row *row,
                      struct arena *arena, struct buffer *out)
{
    const char **lines = arena_array(arena, exercise->bar_count, sizeof *lines);
    struct stick_walk walk = {.exercise = exercise, .row = row};
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        struct buffer line = {0};
        stick_bar(&walk, b, &line);
        bool again = bar->signs && bar->signs->same;
        lines[b] = again ? lines[b - bar->signs->same] : buffer_keep(&line, arena);
        if (bar->pickup)
            buffer_add_text(out, "  pickup  ");
        else
            buffer_format(out, "  bar %-4" PRIu32 "", bar->number);
        buffer_format(out, "%s\n", *lines[b] ? lines[b] : "-");
        if (again)
            buffer_release(&line);
    }
}

static void show_verdict(const struct score *score, const struct score_exercise *exercise,
                         struct buffer *out)
{
    const struct verdict *verdict = exercise->verdict;
    if (verdict->kind == VERDICT_TEMPO)
        buffer_format(out, "  playable up to %s\n", play_tempo_words(score, verdict));
    else if (verdict->kind == VERDICT_IMPOSSIBLE)
        buffer_format(out, "  not playable at any tempo (%s)\n", verdict->limits->name);
}

/* An exercise printed with both leads appears twice; only the first is in the file. */
static bool is_second_lead(const struct score_exercise *exercise)
{
    return exercise->left_lead && exercise->source->settings.lead == LEAD_BOTH;
}

/* ---- choosing ----------------------------------------------------------------------------- */

static bool has_open(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (!row->events[i].note->letter && !(row->events[i].note->proposed & NOTE_KEYED))
            return true;
    return false;
}

static enum status stick_exercise(struct sticker *sticker, struct score_exercise *exercise)
{
    struct score *score = sticker->run->work.score;
    const struct limits *own = exercise->source->settings.limits;
    const struct limits *limits = limits_or_usual(sticker->limits ? sticker->limits : own);
    struct hand_sums sums, alternating;
    struct hand_row row =
        play_choose_hands(score, exercise, limits, sticker->style, &sums, &alternating);
    if (!has_open(&row))
        return STATUS_GOOD;
    sticker->chosen++;
    buffer_format(&sticker->out, "%sExercise %" PRIu32 "%s%s\n  ", sticker->out.length ? "\n" : "",
                  exercise->number, exercise->title ? "  " : "",
                  exercise->title ? exercise->title : "");
    show_reason(sticker, &row, &sums, &alternating, &sticker->out);
    show_bars(exercise, &row, sticker->run->work.arena, &sticker->out);
    play_judge_exercise(score, exercise,
                        &(struct play_options){.limits = limits, .hands_chosen = true});
    show_verdict(score, exercise, &sticker->out);
    struct buffer problem = {0};
    enum status status = STATUS_GOOD;
    if (sticker->writer && !stick_writer_add(sticker->writer, exercise, &row, &problem)) {
        say_error("cannot write the hands of exercise %" PRIu32 ": %s", exercise->number,
                  buffer_text(&problem));
        status = STATUS_LESSON;
    }
    buffer_release(&problem);
    return status;
}

/* ---- writing ------------------------------------------------------------------------------ */

/* The new text may only add hands to the old lesson: every stroke is compared. */
static bool same_music(const struct score *old, const struct score *new)
{
    if (old->exercise_count != new->exercise_count)
        return false;
    for (size_t e = 0; e < old->exercise_count; e++) {
        const struct score_exercise *a = &old->exercises[e], *b = &new->exercises[e];
        if (is_second_lead(a))
            continue;
        if (a->bar_count != b->bar_count)
            return false;
        for (size_t bar = 0; bar < a->bar_count; bar++)
            for (int line = 0; line < LINE_COUNT; line++)
                if (!play_same_line(&a->bars[bar].lines[line], &b->bars[bar].lines[line]))
                    return false;
    }
    return true;
}

static bool is_the_same_lesson(const struct sticker *sticker, const struct buffer *text)
{
    const struct pipeline *work = &sticker->run->work;
    struct pipeline again;
    pipeline_init(&again, (struct read_source){work->source.name, buffer_text(text), text->length});
    again.course = work->course;
    again.handed = work->handed;
    again.leave_hands = true;
    bool same = pipeline_run(&again, STAGE_CHECK) && same_music(work->score, again.score);
    pipeline_release(&again);
    return same;
}

static enum status write_lesson(const struct sticker *sticker, const char *path)
{
    struct buffer text = {0};
    stick_writer_text(sticker->writer, &text);
    enum status status = STATUS_GOOD;
    if (!is_the_same_lesson(sticker, &text)) {
        say_error("cannot write the hands into '%s': the lesson would change in other ways, too",
                  sticker->run->work.source.name);
        status = STATUS_LESSON;
    } else {
        status = put_file(path, text.bytes, text.length);
    }
    buffer_release(&text);
    return status;
}

static enum status stick_lesson(struct lesson_run *run, const void *closure)
{
    (void)closure;
    const struct options *options = run->options;
    struct score *score = run->work.score;
    struct sticker sticker = {.run = run, .style = (enum stick_style)options->style};
    lesson_run_report(run);
    if (!lesson_level(options, run->work.course, &sticker.limits))
        return STATUS_USAGE;
    if (options->output)
        sticker.writer = stick_writer_new(run->work.source, run->work.lesson, run->work.arena);
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < score->exercise_count && status == STATUS_GOOD; i++)
        if (!score->exercises[i].sequence && !is_second_lead(&score->exercises[i]) &&
            exercise_chosen(options->exercises, score->exercises[i].number))
            status = stick_exercise(&sticker, &score->exercises[i]);
    if (status == STATUS_GOOD && !sticker.chosen)
        buffer_add_text(&sticker.out, "All strokes already have stickings.\n");
    if (status == STATUS_GOOD && options->output)
        status = write_lesson(&sticker, options->output);
    else if (status == STATUS_GOOD)
        status = put_result(&sticker.out);
    buffer_release(&sticker.out);
    return status;
}

enum status stick_command(const struct options *options)
{
    return lesson_run(options, stick_lesson, NULL);
}
