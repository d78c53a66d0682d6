/* The program `ratamark`: standard streams, signals, and the choice of the command. */
#include "app/commands.h"
#include "base/file.h"
#include "draw/draw.h"
#include "lib/sound_module.h"
#include "ratamark.h"
#include "read/read.h"
#include "vary/variations.h"

#include <fcntl.h>
#include <jansson.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* If a standard stream is closed, a file we open would get its number, and messages would land in a
   sheet. So such a stream is opened, the wrong way round: it then refuses to be read or written. */
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
    signal(SIGXFSZ, SIG_IGN); /* a limit on file size is then an ordinary failed write */
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
    vary_add_versions(&out);
    draw_add_versions(&out);
    buffer_format(&out, "jansson %s\n", JANSSON_VERSION);
    struct buffer why = {0};
    const struct audio_module *audio = sound_module(&why);
    buffer_add_text(&out, audio ? audio->libraries() : "");
    buffer_release(&why);
    return put_result(&out);
}

static enum status show_help(enum command command)
{
    struct buffer out = {0};
    options_help(command, &out);
    return put_result(&out);
}

static enum status run(const struct options *options)
{
    if (options->help)
        return show_help(options->command);
    if (options->version)
        return show_version();
    if (options->explain)
        return explain_command(options);
    static enum status (*const commands[])(const struct options *options) = {
        [COMMAND_CHECK] = check_command,         [COMMAND_ENGRAVE] = engrave_command,
        [COMMAND_COURSE] = course_command,       [COMMAND_GRID] = grid_command,
        [COMMAND_SOUND] = sound_command,         [COMMAND_STICK] = stick_command,
        [COMMAND_VARY] = vary_command,           [COMMAND_TIDY] = tidy_command,
        [COMMAND_RUDIMENTS] = rudiments_command, [COMMAND_INIT] = init_command,
        [COMMAND_SCHEMA] = schema_command,       [COMMAND_COMPLETION] = completion_command,
    };
    return commands[options->command](options);
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
