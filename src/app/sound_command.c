/* `ratamark sound`: from a lesson to a MIDI file or to audio, whole or not at all. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "base/file.h"
#include "console/input.h"
#include "lib/sound.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- where it goes -------------------------------------------------------------------------- */

struct sound_output {
    enum sound_format format;
    struct buffer stem; /* path without its ending */
    const char *ending; /* with its dot */
    bool standard;      /* standard output */
};

static bool is_standard(const char *path)
{
    return strcmp(path, "-") == 0;
}

static const char *find_ending(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    return dot && dot > name ? dot : path + strlen(path);
}

static bool is_folder(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

static void add_stem(struct buffer *out, const char *path)
{
    buffer_add(out, path, (size_t)(find_ending(path) - path));
}

static enum status choose_standard(struct sound_output *output)
{
    output->standard = true;
    if (!isatty(STDOUT_FILENO))
        return STATUS_GOOD;
    say_error("a MIDI file is nothing for a terminal: name a file with -o");
    return STATUS_USAGE;
}

static enum status choose_output(const struct options *options, struct sound_output *output)
{
    const char *input = options->operands[0], *path = options->output;
    *output = (struct sound_output){.format = SOUND_MIDI, .ending = ".mid"};
    if (path ? is_standard(path) : is_standard(input))
        return choose_standard(output);
    if (path && is_folder(path)) {
        if (is_standard(input)) {
            say_error("'%s' is a folder: name a file in it for a lesson from standard input", path);
            return STATUS_USAGE;
        }
        const char *slash = strrchr(input, '/');
        buffer_format(&output->stem, "%s/", path);
        add_stem(&output->stem, slash ? slash + 1 : input);
        return STATUS_GOOD;
    }
    if (path) {
        output->ending = find_ending(path);
        if (!*output->ending || !sound_format_of(output->ending + 1, &output->format)) {
            say_error("the ending of '%s' names no format: .mid, .wav, .flac or .ogg", path);
            return STATUS_USAGE;
        }
    }
    add_stem(&output->stem, path ? path : input);
    return STATUS_GOOD;
}

/* ---- what fits together --------------------------------------------------------------------- */

static enum status options_agree(const struct options *options)
{
    const struct sound_options *sound = &options->sound;
    const char *why = NULL;
    if (sound->ladder && options->at)
        why = "--ladder and --at: a ladder has tempi of its own";
    else if (sound->loop && sound->ladder && !sound->each_step)
        why = "--loop and --ladder: a loop has one tempo (--each-step makes a loop for each step)";
    else if (sound->loop && sound->count_in > 1)
        why = "--loop and --count-in: a loop has no count-in";
    else if (!sound->ladder && (sound->each_step || sound->step || sound->step_bars))
        why = "--each-step, --step and --step-bars belong to --ladder";
    else if (sound->click_only && sound->no_click)
        why = "--click-only and --no-click leave nothing to hear";
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
    perform.at = options->at;
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

static bool same_file(const char *a, const char *b)
{
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}

struct sounding {
    struct lesson_run *run;
    const struct sound_output *output;
    struct perform_options perform;
};

static enum status say_unwritten(const char *path)
{
    say_error("cannot write '%s': %s", path, strerror(errno));
    return STATUS_SYSTEM;
}

static bool write_bytes(void *closure, const void *bytes, size_t length)
{
    return file_output_write(closure, bytes, length);
}

static void say_notes(const char *notes)
{
    while (*notes) {
        size_t line = strcspn(notes, "\n");
        say("note: %.*s", (int)line, notes);
        notes += line + (notes[line] != '\0');
    }
}

static bool make_into(const struct sounding *sounding, const struct performance *performance,
                      const char *path, struct file_output *file)
{
    const struct options *options = sounding->run->options;
    struct buffer notes = {0}, problem = {0};
    errno = 0;
    bool made = sound_make(performance, sounding->output->format, &options->sound.audio,
                           write_bytes, file, &notes, &problem);
    if (made && !options->quiet)
        say_notes(buffer_text(&notes));
    else if (!made && problem.length)
        say_error("cannot make '%s': %s", path, buffer_text(&problem));
    else if (!made)
        say_unwritten(path);
    buffer_release(&notes);
    buffer_release(&problem);
    return made;
}

static enum status write_one(const struct sounding *sounding, const char *path)
{
    const struct options *options = sounding->run->options;
    if (!is_standard(path) && same_file(path, options->operands[0])) {
        say_error("'%s' is the lesson itself: name another file with -o", path);
        return STATUS_USAGE;
    }
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
        return say_unwritten(path);
    if (!make_into(sounding, performance, path, file)) {
        file_output_abandon(file);
        return STATUS_SYSTEM;
    }
    if (!file_output_commit(file))
        return say_unwritten(path);
    if (!sounding->output->standard && !options->quiet &&
        (options->verbose || isatty(STDERR_FILENO)))
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
        buffer_format(&path, "%s-%" PRIu32 "-%u%s", buffer_text(&sounding->output->stem), number,
                      rungs[i], sounding->output->ending);
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
            continue; /* two leads of one number are in one file */
        before = exercise->number;
        status = write_steps(sounding, exercise);
    }
    return status;
}

static enum status write_sounds(struct lesson_run *run, const void *closure)
{
    const struct sound_output *output = closure;
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
        say("a MIDI file (-o NAME.mid) needs none of this");
    return ready;
}

enum status sound_command(const struct options *options)
{
    struct sound_output output = {0};
    enum status status = options_agree(options);
    if (status == STATUS_GOOD)
        status = choose_output(options, &output);
    if (status == STATUS_GOOD && output.standard && options->sound.each_step) {
        say_error("--each-step makes several files: name them with -o");
        status = STATUS_USAGE;
    }
    if (status == STATUS_GOOD && output.format != SOUND_MIDI && !audio_ready(options))
        status = STATUS_SYSTEM;
    if (status == STATUS_GOOD)
        status = lesson_run(options, write_sounds, &output);
    buffer_release(&output.stem);
    return status;
}
