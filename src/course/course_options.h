#ifndef RATAMARK_COURSE_COURSE_OPTIONS_H
#define RATAMARK_COURSE_COURSE_OPTIONS_H
/* The options of a run over a course. 0, NULL or false: not given. */
#include "console/report.h"
#include "model/format.h"

#include <stdbool.h>
#include <stdint.h>

struct course_options {
    const char *folder, *output; /* of the lessons; of the outputs (OUT). Never NULL */
    const char *music_font;      /* NULL: the built-in face */
    const char *date;            /* of the documents; NULL: the lessons' own */
    const char *only;            /* a pattern for lessons' names */
    int handed;                  /* enum handed */
    uint32_t dpi;
    uint32_t jobs, time_limit, memory_limit; /* processes, seconds, MiB */
    uint32_t shard, shards;                  /* K of N */
    bool force, dry_run, prune, merge, replace;
    bool wide[FORMAT_COUNT]; /* formats made from the whole course: the booklet, the index */
    bool quiet, verbose;
    enum color color;
};

/* How a run reports findings: as text, without notes. */
static inline struct report_options course_report_options(const struct course_options *options)
{
    return (struct report_options){.color = options->color, .quiet = options->quiet};
}

#endif
