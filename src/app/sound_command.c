/* `ratamark sound`: a lesson as a MIDI file or as audio. A file appears complete or not at all. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "app/output.h"
#include "base/file.h"
#include "lib/sound.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>

/* ---- options --------------------------------------------------------------------- */

static enum status options_agree(const struct options *options)
{
    const struct sound_options *sound = &options->sound;
    const char *why = NULL;
    if (sound->ladder && options->at)
        why = "--ladder and --at do not go together: a ladder has its own tempos";
    else if (sound->loop && sound->ladder && !sound->each_step)
        why = "--loop and --ladder do not go together: a loop has one tempo (add --each-step for "
              "a loop at each step)";
    else if (sound->loop && sound->count_in > 1)
        why = "--loop and --count-in do not go together: a loop has no count-in";
    else if (!sound->ladder && (sound->each_step || sound->step || sound->step_bars))
        why = "--each-step, --step and --step-bars need --ladder";
    else if (sound->click_only && sound->no_click)
        why = "--click-only and --no-click together leave nothing to hear";
    if (!why)
        return STATUS_GOOD;
    say_error("%s", why);
    return STATUS_USAGE;
}

static struct perform_options performance_options(const struct options *options)
{
    const struct sound_options *sound = &options->sound;
    struct perform_options perform = sound_usual();
    perform.exercises = options->exercises;
    perform.at = options->at * TEMPO_ONE;
    perform.ladder = sound->ladder;
    perform.step = sound->step;
    perform.step_bars = sound->step_bars;
    perform.times = sound->times;
    perform.click = !sound->no_click;
    perform.drums = !sound->click_only;
    perform.quiet_after = sound->quiet_after;
    perform.loop = sound->loop;
    if (sound->count_in)
        perform.count_in = sound->count_in - 1;
    if (sound->loop)
        perform.count_in = 0;
    return perform;
}

/* ---- writing -------------------------------------------------------------------------------- */

struct sounding {
    struct lesson_run *run;
    const struct output *output;
    struct perform_options perform;
};

static bool make_into(const struct sounding *sounding, const struct performance *performance,
                      const char *path, struct file_output *file)
{
    const struct options *options = sounding->run->options;
    struct buffer notes = {0}, problem = {0};
    errno = 0;
    bool made = sound_make(performance, sounding->output->format, &options->sound.audio,
                           output_write, file, &notes, &problem);
    if (made && !options->quiet)
        say_lines("note: ", buffer_text(&notes));
    else if (!made && problem.length)
        say_error("cannot make '%s': %s", path, buffer_text(&problem));
    else if (!made)
        output_say_unwritten(path, "it is incomplete");
    buffer_release(&notes);
    buffer_release(&problem);
    return made;
}

static enum status write_one(const struct sounding *sounding, const char *path)
{
    const struct options *options = sounding->run->options;
    if (!output_spares_lesson(path, options->operands[0]))
        return STATUS_USAGE;
    const char *why = NULL;
    struct performance *performance = perform(sounding->run->work.score, &sounding->perform, &why);
    if (performance && !sound_fits(performance, sounding->output->format)) {
        why = sound_too_long;
        performance = NULL;
    }
    if (!performance) {
        say_error("'%s' cannot be played: %s", options->operands[0], why);
        return STATUS_LESSON;
    }
    struct file_output *file = file_output_open(path);
    if (!file)
        return output_say_unwritten(path, "it cannot be opened");
    if (!make_into(sounding, performance, path, file)) {
        file_output_abandon(file);
        return STATUS_SYSTEM;
    }
    if (!file_output_commit(file))
        return output_say_unwritten(path, "it is incomplete");
    if (output_announced(sounding->output, options))
        say("wrote '%s'", path);
    return STATUS_GOOD;
}

/* NAME-3-72.wav: exercise 3 at 72. */
static enum status write_steps(struct sounding *sounding, const struct score_exercise *exercise)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = perform_rungs(exercise, &sounding->perform, rungs);
    struct perform_options ladder = sounding->perform;
    uint32_t number = exercise->number;
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < count && status == STATUS_GOOD; i++) {
        struct buffer path = {0};
        buffer_format(&path, "%s-%" PRIu32 "-%s%s", buffer_text(&sounding->output->stem), number,
                      tempo_text(rungs[i], (char[TEMPO_TEXT_ROOM]){0}), sounding->output->ending);
        sounding->perform.exercises = (struct exercise_choice){&number, 1};
        sounding->perform.ladder = false;
        sounding->perform.at = rungs[i];
        status = write_one(sounding, buffer_text(&path));
        buffer_release(&path);
        sounding->perform = ladder;
    }
    return status;
}

static enum status write_ladders(struct sounding *sounding)
{
    const struct score *score = sounding->run->work.score;
    uint32_t before = 0;
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < score->exercise_count && status == STATUS_GOOD; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        if (exercise->number == before ||
            !exercise_chosen(sounding->run->options->exercises, exercise->number))
            continue; /* both leads of an exercise are in one file */
        before = exercise->number;
        status = write_steps(sounding, exercise);
    }
    return status;
}

static enum status write_sounds(struct lesson_run *run, const void *closure)
{
    const struct output *output = closure;
    struct sounding sounding = {run, output, performance_options(run->options)};
    lesson_run_report(run);
    if (run->options->sound.each_step)
        return write_ladders(&sounding);
    struct buffer path = {0};
    buffer_format(&path, "%s%s", output->standard ? "-" : buffer_text(&output->stem),
                  output->standard ? "" : output->ending);
    enum status status = write_one(&sounding, buffer_text(&path));
    buffer_release(&path);
    return status;
}

static bool audio_ready(const struct options *options)
{
    struct buffer problem = {0};
    bool ready = sound_ready(&options->sound.audio, &problem);
    say_problem(&problem);
    buffer_release(&problem);
    if (!ready)
        say("MIDI (-o NAME.mid) works without any of this");
    return ready;
}

enum status sound_command(const struct options *options)
{
    struct output output = {0};
    enum status status = options_agree(options);
    if (status == STATUS_GOOD)
        status = output_choose(&output, options, FORMAT_BY_SOUND, FORMAT_MIDI);
    if (status == STATUS_GOOD && output.standard && options->sound.each_step) {
        say_error("--each-step writes several files; name them with -o FILE");
        status = STATUS_USAGE;
    }
    if (status == STATUS_GOOD && format_rows[output.format].from == FORMAT_FROM_AUDIO &&
        !audio_ready(options))
        status = STATUS_SYSTEM;
    if (status == STATUS_GOOD)
        status = lesson_run(options, write_sounds, &output);
    buffer_release(&output.stem);
    return status;
}
