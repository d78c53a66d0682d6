#include "lib/sound.h"

#include "base/arena.h"
#include "lib/sound_module.h"
#include "midi/midi.h"

#include <errno.h>
#include <math.h>

struct perform_options sound_usual(void)
{
    return (struct perform_options){.count_in = 1, .click = true, .drums = true};
}

static bool make_midi(const struct performance *performance, sound_write *write, void *closure,
                      struct buffer *notes)
{
    struct buffer bytes = {0};
    struct midi_report report = midi_write(performance, &bytes);
    if (!report.exact)
        buffer_format(
            notes,
            "MIDI time is too coarse for this rhythm: with %u ticks a quarter, a stroke is "
            "off by up to %.1f microseconds\n",
            report.division, report.worst_seconds * 1e6);
    if (report.tempo_bound)
        buffer_add_text(notes, "a tempo is too slow for a MIDI file; the slowest possible is "
                               "written\n");
    bool written = write(closure, bytes.bytes, bytes.length);
    buffer_release(&bytes);
    return written;
}

/* ---- audio ---------------------------------------------------------------------------------- */

enum { SECONDS_MOST = 2 * 60 * 60 };
const char sound_too_long[] = "it would last longer than two hours";
enum { LOUDNESS = -23 }; /* LUFS: EBU R 128, for broadcasts; soft in headphones */

bool sound_fits(const struct performance *performance, enum format format)
{
    return format_rows[format].from != FORMAT_FROM_AUDIO ||
           performance_seconds(performance, performance->length) <= SECONDS_MOST;
}

static int loudness_of(const struct sound_settings *settings)
{
    return settings->loudness ? settings->loudness : LOUDNESS;
}

static const char *font_of(const struct sound_settings *settings)
{
    return settings->font ? settings->font : sound_font_found();
}

bool sound_ready(const struct sound_settings *settings, struct buffer *problem)
{
    struct buffer why = {0};
    bool module = sound_module(&why) != NULL, font = font_of(settings) != NULL;
    if (!module)
        buffer_format(problem,
                      "audio needs FluidSynth, libsndfile and libebur128: %s\n"
                      "Debian: apt-get install libfluidsynth-dev libsndfile1-dev libebur128-dev "
                      "timgm6mb-soundfont, then make again; elsewhere '.setup/install sound' names "
                      "the packages\n",
                      buffer_text(&why));
    else if (!font)
        buffer_add_text(problem,
                        "audio needs a General MIDI sound font, and none is installed\n"
                        "Debian: apt-get install timgm6mb-soundfont; elsewhere '.setup/install "
                        "sound' names the package\n");
    buffer_release(&why);
    return module && font;
}

static void note_report(const struct audio_report *report, const struct sound_settings *settings,
                        struct buffer *notes)
{
    for (size_t i = 0; i < report->replaced_count; i++) {
        if (report->replaced[i].by)
            buffer_format(notes, "the sound font has no sound for key %u: key %u is used instead\n",
                          report->replaced[i].key, report->replaced[i].by);
        else
            buffer_format(notes, "the sound font has no sound for key %u: its strokes are silent\n",
                          report->replaced[i].key);
    }
    if (fabs(report->loudness - loudness_of(settings)) > 0.5)
        buffer_format(notes,
                      "the strokes are too short and far apart to be louder than %.1f LUFS\n",
                      report->loudness);
}

static bool make_audio(const struct performance *performance, enum format format,
                       const struct sound_settings *settings, sound_write *write, void *closure,
                       struct buffer *notes, struct buffer *problem)
{
    if (!sound_fits(performance, format)) {
        buffer_add_text(problem, sound_too_long);
        return false;
    }
    const struct audio_module *module = sound_module(problem);
    const char *font = font_of(settings);
    if (!font)
        buffer_add_text(problem, "no General MIDI sound font is installed");
    if (!module || !font)
        return false;
    struct audio_order order = {.performance = performance,
                                .format = format,
                                .font = font,
                                .loudness = loudness_of(settings),
                                .click_db = settings->click_db,
                                .write = write,
                                .closure = closure,
                                .exhausted = memory_exhausted};
    struct audio_report report;
    errno = 0;
    if (!module->render(&order, &report)) {
        buffer_add_text(problem, report.problem);
        return false;
    }
    note_report(&report, settings, notes);
    return true;
}

bool sound_make(const struct performance *performance, enum format format,
                const struct sound_settings *settings, sound_write *write, void *closure,
                struct buffer *notes, struct buffer *problem)
{
    if (format == FORMAT_MIDI)
        return make_midi(performance, write, closure, notes);
    return make_audio(performance, format, settings, write, closure, notes, problem);
}
