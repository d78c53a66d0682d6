/* The command `ratamark`: its streams and signals, and which command it is. */
#include "app/commands.h"
#include "base/file.h"
#include "draw/draw.h"
#include "lib/sound_module.h"
#include "ratamark.h"
#include "read/read.h"

#include <fcntl.h>
#include <jansson.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* Closed standard streams would lend their numbers to the files we open, and messages would land in
   a sheet. Opened the wrong way round, they refuse what is read or written. */
static void keep_standard_streams(void)
{
    static const int modes[] = {O_WRONLY, O_RDONLY, O_RDONLY};
    for (int stream = 0; stream < 3; stream++) {
        if (fcntl(stream, F_GETFD) == -1)
            open("/dev/null", modes[stream]);
    }
}

static void end_by_signal(int number)
{
    file_output_abandon_all();
    signal(number, SIG_DFL);
    raise(number);
}

static void catch_signals(void)
{
    static const int ending[] = {SIGINT, SIGTERM, SIGHUP, SIGPIPE};
    struct sigaction action = {.sa_handler = end_by_signal};
    sigfillset(&action.sa_mask);
    for (size_t i = 0; i < sizeof ending / sizeof *ending; i++) {
        struct sigaction before;
        sigaction(ending[i], NULL, &before);
        if (before.sa_handler != SIG_IGN)
            sigaction(ending[i], &action, NULL);
    }
    signal(SIGXFSZ, SIG_IGN); /* a file size limit is a failed write like others */
}

static void out_of_memory(size_t wanted)
{
    (void)wanted;
    static const char text[] = "ratamark: error: out of memory\n";
    ssize_t told = write(STDERR_FILENO, text, sizeof text - 1);
    (void)told;
    file_output_abandon_all();
    _exit(STATUS_SYSTEM);
}

static enum status show_version(void)
{
    struct buffer out = {0};
    buffer_format(&out, "ratamark %s\n", ratamark_version());
    read_add_versions(&out);
    draw_add_versions(&out);
    buffer_format(&out, "jansson %s\n", JANSSON_VERSION);
    struct buffer why = {0};
    const struct audio_module *audio = sound_module(&why);
    buffer_add_text(&out, audio ? audio->libraries() : "");
    buffer_release(&why);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}

static enum status show_help(enum command command)
{
    struct buffer out = {0};
    options_help(command, &out);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}

static enum status run(const struct options *options)
{
    if (options->help)
        return show_help(options->command);
    if (options->version)
        return show_version();
    switch (options->command) {
    case COMMAND_CHECK:
        return options->explain ? explain_command(options) : check_command(options);
    case COMMAND_ENGRAVE:
        return engrave_command(options);
    case COMMAND_COURSE:
        return course_command(options);
    case COMMAND_GRID:
        return grid_command(options);
    case COMMAND_SOUND:
        return sound_command(options);
    case COMMAND_STICK:
        return stick_command(options);
    case COMMAND_RUDIMENTS:
        return rudiments_command(options);
    case COMMAND_NONE:
        break;
    }
    return STATUS_USAGE;
}

static enum status say_misuse(const struct options *options, const char *problem)
{
    say_error("%s", problem);
    const char *word = command_word(options->command);
    fprintf(stderr, "Try 'ratamark %s%s--help'.\n", word, *word ? " " : "");
    return STATUS_USAGE;
}

int main(int argc, char **argv)
{
    keep_standard_streams();
    ratamark_on_exhaustion(out_of_memory);
    catch_signals();
    struct options options;
    struct buffer problem = {0};
    bool understood = options_parse(argc, argv, &options, &problem);
    enum status status = understood ? run(&options) : say_misuse(&options, buffer_text(&problem));
    buffer_release(&problem);
    options_release(&options);
    return (int)status;
}
