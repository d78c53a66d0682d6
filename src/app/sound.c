#include "app/sound.h"

#include "midi/midi.h"

#include <errno.h>
#include <string.h>
#include <strings.h>

static const char *const endings[] = {
    [SOUND_MIDI] = ".mid", [SOUND_WAV] = ".wav", [SOUND_FLAC] = ".flac", [SOUND_OGG] = ".ogg"};

bool sound_format_of(const char *ending, enum sound_format *format)
{
    for (int i = 0; i < (int)(sizeof endings / sizeof *endings); i++)
        if (strcasecmp(ending, endings[i]) == 0) {
            *format = (enum sound_format)i;
            return true;
        }
    return false;
}

static enum status make_midi(const struct performance *performance, bool quiet,
                             struct file_output *file)
{
    struct buffer bytes = {0};
    struct midi_report report = midi_write(performance, &bytes);
    if (!quiet && !report.exact)
        say("note: no division holds every onset: %u ticks a quarter, the furthest onset is moved "
            "by %.1f microseconds",
            report.division, report.worst_seconds * 1e6);
    if (!quiet && report.tempo_bound)
        say("note: a tempo is slower than a MIDI file can say; its slowest is written");
    bool written = file_output_write(file, bytes.bytes, bytes.length);
    buffer_release(&bytes);
    if (written)
        return STATUS_GOOD;
    say_error("cannot write: %s", strerror(errno));
    return STATUS_SYSTEM;
}

enum status sound_ready(enum sound_format format)
{
    if (format == SOUND_MIDI)
        return STATUS_GOOD;
    say_error("this program was built without audio: a .mid file is all that it can make");
    return STATUS_SYSTEM;
}

enum status sound_make(const struct performance *performance, enum sound_format format,
                       const struct sound_options *options, bool quiet, struct file_output *file)
{
    (void)options;
    if (format == SOUND_MIDI)
        return make_midi(performance, quiet, file);
    return STATUS_SYSTEM;
}
