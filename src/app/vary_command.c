/* `ratamark vary`: counts the variations of an exercise, and writes some of them as a lesson. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "app/output.h"
#include "app/vary_pick.h"
#include "vary/variations.h"

#include <inttypes.h>
#include <string.h>

/* ---- counting ----------------------------------------------------------------------------- */

/* Spaces up to this size are tried as a whole where only what can be played counts. */
enum { TRIED_WHOLE_MAX = 2000 };

static struct picker picker_of(struct lesson_run *run, const struct score_exercise *exercise,
                               struct space *space)
{
    uint32_t seed = run->options->vary.seed;
    return (struct picker){
        .run = run, .exercise = exercise, .space = space, .dice = {seed ? seed - 1 : 1}};
}

/* "3 x 70 x 4", where more than one part varies. */
static void add_product(const struct space *space, struct buffer *out)
{
    static const char *const words[PARTS] = {"hands", "kick", "hat-foot"};
    const struct fold *all = &space->folds.items[0];
    int varying = 0;
    for (int part = 0; part < PARTS; part++)
        varying += mpz_cmp_ui(*graph_count(all->parts[part]), 1) > 0;
    if (varying < 2)
        return;
    const char *sign = ": ";
    for (int part = 0; part < PARTS; part++) {
        const mpz_t *count = graph_count(all->parts[part]);
        if (mpz_cmp_ui(*count, 1) <= 0)
            continue;
        buffer_format(out, "%s%s of the %s", sign, space_number(space, *count), words[part]);
        sign = " x ";
    }
}

static void add_playable(struct lesson_run *run, const struct score_exercise *exercise,
                         struct space *space, struct buffer *out)
{
    struct picker picker = picker_of(run, exercise, space);
    uint32_t tempo = space->vary->playable;
    if (!tempo)
        return;
    if (mpz_cmp_ui(space->count, TRIED_WHOLE_MAX) > 0) {
        buffer_format(
            out, "  those that cannot be played at %" PRIu32 " are left out as they are drawn\n",
            tempo);
        return;
    }
    pick_all(&picker);
    buffer_format(out, "  %zu of them can be played at %" PRIu32 "\n", picker.picks.count, tempo);
}

static void show_count(struct lesson_run *run, const struct score_exercise *exercise,
                       struct space *space, struct buffer *out)
{
    buffer_format(out, "%sExercise %" PRIu32 "%s%s\n  ", out->length ? "\n" : "", exercise->number,
                  exercise->title ? "  " : "", exercise->title ? exercise->title : "");
    bool one = mpz_cmp_ui(space->count, 1) == 0;
    buffer_format(out, "%s variation%s", space_number(space, space->count), one ? "" : "s");
    if (space->step == space->columns->count)
        add_product(space, out);
    else
        buffer_add_text(out, ", rotations counted once");
    buffer_add_text(out, "\n");
    add_playable(run, exercise, space, out);
}

/* False, with an error said, for a space that is empty or cannot be counted. */
static bool is_usable(const struct score_exercise *exercise, struct space *space)
{
    struct vary_fault fault;
    bool faulty = vary_fault_of(space, &fault);
    if (faulty && (space->fault == SPACE_TOO_LARGE || mpz_sgn(space->count) == 0)) {
        say_error("exercise %" PRIu32 ": %s", exercise->number, fault.message);
        return false;
    }
    return true;
}

/* ---- writing ------------------------------------------------------------------------------ */

static const char *comment_of(const struct picker *picker)
{
    static const char *const orders[] = {"drawn", "in steps", "graded"};
    const struct vary_options *options = &picker->run->options->vary;
    return arena_format(picker->space->arena,
                        "# %zu of the %s variations of exercise %" PRIu32 ", %s: seed %" PRIu32
                        ", drawing %d",
                        picker->picks.count, space_number(picker->space, picker->space->count),
                        picker->exercise->number, orders[options->order],
                        options->seed ? options->seed - 1 : 1, DICE_VERSION);
}

static void say_few(const struct picker *picker, size_t wanted)
{
    size_t count = picker->picks.count;
    if (count == wanted || picker->run->options->quiet)
        return;
    if (picker->refused)
        say("%zu variations; %zu more were tried, but cannot be played", count, picker->refused);
    else
        say("%zu variations: there are no more", count);
}

static enum status write_picks(struct picker *picker)
{
    const struct options *options = picker->run->options;
    struct buffer text = {0};
    enum status status = STATUS_LESSON;
    if (picker->complaint)
        say_error("exercise %" PRIu32 " cannot be varied in writing: %s", picker->exercise->number,
                  picker->complaint);
    else if (!picker->picks.count)
        say_error("exercise %" PRIu32 ": none of %zu variations can be played",
                  picker->exercise->number, picker->refused);
    else if (!pick_lesson(picker, picker->picks.items, picker->picks.count, comment_of(picker),
                          &text))
        say_error("'%s' has YAML that cannot be moved", picker->run->work.source.name);
    else
        status = put_file(options->output, text.bytes, text.length);
    if (status == STATUS_GOOD)
        say_few(picker, options->vary.count);
    buffer_release(&text);
    return status;
}

static enum status write_variations(struct lesson_run *run, const struct score_exercise *exercise,
                                    struct space *space)
{
    struct picker picker = picker_of(run, exercise, space);
    size_t count = run->options->vary.count;
    if (run->options->vary.order == VARY_STEPS)
        pick_steps(&picker, count);
    else
        pick_drawn(&picker, count);
    if (run->options->vary.order == VARY_GRADED)
        pick_grade(&picker);
    return write_picks(&picker);
}

/* ---- the command -------------------------------------------------------------------------- */

static bool is_chosen(const struct lesson_run *run, const struct score_exercise *exercise)
{
    return vary_is_here(exercise) && exercise_chosen(run->options->exercises, exercise->number);
}

static enum status vary_exercise(struct lesson_run *run, const struct score_exercise *exercise,
                                 struct buffer *out)
{
    struct space *space = space_new(run->work.score, exercise);
    enum status status = STATUS_GOOD;
    if (!is_usable(exercise, space))
        status = STATUS_LESSON;
    else if (run->options->vary.count)
        status = write_variations(run, exercise, space);
    else
        show_count(run, exercise, space, out);
    space_free(space);
    return status;
}

/* False, with an error said, unless what is to be varied is clear. */
static bool is_clear(const struct lesson_run *run, size_t chosen)
{
    const struct options *options = run->options;
    if (!chosen)
        say_error("%s has a 'vary' block",
                  options->exercises.count ? "none of these exercises" : "no exercise");
    else if (options->vary.count && chosen > 1)
        say_error("%zu exercises have a 'vary' block; choose one with --exercise", chosen);
    else
        return true;
    return false;
}

static enum status vary_lesson(struct lesson_run *run, const void *closure)
{
    (void)closure;
    const struct score *score = run->work.score;
    struct buffer out = {0};
    size_t chosen = 0;
    lesson_run_report(run);
    for (size_t i = 0; i < score->exercise_count; i++)
        chosen += is_chosen(run, &score->exercises[i]);
    if (!is_clear(run, chosen))
        return STATUS_USAGE;
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < score->exercise_count; i++)
        if (is_chosen(run, &score->exercises[i]))
            status = status_worse(status, vary_exercise(run, &score->exercises[i], &out));
    return out.length ? status_worse(status, put_result(&out)) : status;
}

enum status vary_command(const struct options *options)
{
    if (!options->vary.count != !options->output) {
        say_error(options->output
                      ? "-o needs --count, the number of variations to write"
                      : "--count needs -o, the file to write; -o - for standard output");
        return STATUS_USAGE;
    }
    if (options->output && !output_spares_lesson(options->output, options->operands[0]))
        return STATUS_USAGE;
    return lesson_run(options, vary_lesson, NULL);
}
