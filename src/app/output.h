#ifndef RATAMARK_APP_OUTPUT_H
#define RATAMARK_APP_OUTPUT_H
/* Where `engrave` and `sound` write: the format and the names of their files, from -o, --as and the
   lesson's own name. */
#include "app/options.h"
#include "console/status.h"

struct output {
    enum format format;
    struct buffer stem; /* the path without its ending */
    const char *ending; /* with its dot; "" for none */
    bool standard;      /* standard output */
};

/* `command` is the FORMAT_BY_ bit of the command, `usual` the format that it makes by
   default. Says what is wrong. Release `output->stem`. */
enum status output_choose(struct output *output, const struct options *options, unsigned command,
                          enum format usual);

/* False, with an error said, if the path is the lesson's own file. */
bool output_spares_lesson(const char *path, const char *lesson);
/* Says that a file could not be written, and why: errno, or `otherwise` if that is 0. */
enum status output_say_unwritten(const char *path, const char *otherwise);
/* Writes to a struct file_output, as a draw_write. */
bool output_write(void *file, const void *bytes, size_t length);
/* Whether to say which file was written. */
bool output_announced(const struct output *output, const struct options *options);

#endif
