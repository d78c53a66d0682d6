/* `ratamark init`: a small course to start from. */
#include "app/commands.h"
#include "base/buffer.h"
#include "base/file.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const struct first_file {
    const char *name, *text;
} files[] = {
    {"course.yaml",
     "# What all lessons below this folder share. A lesson's own settings come first.\n"
     "title: First course\n"
     "subtitle: Rename it, and it is yours\n"
     "level: beginner\n"
     "time: 4/4\n"
     "tempo: 60-80\n"
     "subdivision: eighths\n"
     "counting: english\n"
     "page: {size: a4}\n"
     "order: [01-two-hands.yaml, 02-first-beat.yaml]\n"},
    {"01-two-hands.yaml",
     "title: Two Hands\n"
     "subtitle: Even strokes, then an accent that wanders\n"
     "notes: |\n"
     "  Start slowly, and count aloud. If anything hurts, stop.\n"
     "\n"
     "exercises:\n"
     "  - title: Hand to hand\n"
     "    text: Let both sticks fall from the same height.\n"
     "    sticking: R L # repeats through the bar\n"
     "    repeat: 4\n"
     "\n"
     "  - title: Loud on the number\n"
     "    sticking: R L\n"
     "    accents: each beat\n"
     "    repeat: 4\n"
     "\n"
     "  - title: Three in the hand\n"
     "    text: The accent moves through the bar and is back on one after three bars.\n"
     "    sticking: R> L L\n"
     "    bars: resolve # as many bars as it takes\n"},
    {"02-first-beat.yaml", "title: First Beat\n"
                           "subtitle: Hands and a foot\n"
                           "tempo: 60\n"
                           "\n"
                           "exercises:\n"
                           "  - title: The beat\n"
                           "    id: beat\n"
                           "    text: The right hand never stops; the left joins it on two and "
                           "four.\n"
                           "    sticking: R R | B R | R R | B R\n"
                           "    play: {R: hi-hat, L: snare}\n"
                           "    kick: 1 3\n"
                           "    repeat: 4\n"
                           "\n"
                           "  - title: The fill\n"
                           "    id: fill\n"
                           "    text: Down the drums, two strokes each.\n"
                           "    sticking: R L\n"
                           "    voices: snare*2 | high-tom*2 | mid-tom*2 | floor-tom*2\n"
                           "    accents: each beat\n"
                           "\n"
                           "  - title: Three and one\n"
                           "    text: Three bars of the beat, one of the fill.\n"
                           "    sequence: beat*3 fill\n"},
};
enum { FILE_COUNT = sizeof files / sizeof *files };

static bool exists(const char *path)
{
    struct stat status;
    return lstat(path, &status) == 0;
}

/* Reports an error if any of the files exists: init overwrites nothing. */
static enum status place_is_free(const char *folder)
{
    struct buffer path = {0};
    enum status status = STATUS_GOOD;
    for (size_t i = 0; i < FILE_COUNT && status == STATUS_GOOD; i++) {
        buffer_release(&path);
        buffer_format(&path, "%s/%s", folder, files[i].name);
        if (exists(buffer_text(&path))) {
            say_error("'%s' exists already; give another folder", buffer_text(&path));
            status = STATUS_USAGE;
        }
    }
    buffer_release(&path);
    return status;
}

static enum status write_file(const struct options *options, const struct first_file *file)
{
    struct buffer path = {0};
    buffer_format(&path, "%s/%s", options->operands[0], file->name);
    enum status status = put_file(buffer_text(&path), file->text, strlen(file->text));
    if (status == STATUS_GOOD && !options->quiet)
        say("wrote '%s'", buffer_text(&path));
    buffer_release(&path);
    return status;
}

enum status init_command(const struct options *options)
{
    const char *folder = options->operands[0];
    enum status status = place_is_free(folder);
    if (status != STATUS_GOOD)
        return status;
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        say_error("cannot make the folder '%s': %s", folder, strerror(errno));
        return STATUS_SYSTEM;
    }
    for (size_t i = 0; i < FILE_COUNT && status == STATUS_GOOD; i++)
        status = write_file(options, &files[i]);
    if (status == STATUS_GOOD && !options->quiet)
        say("print it with: ratamark course %s", folder);
    return status;
}
