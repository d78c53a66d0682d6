#ifndef RATAMARK_APP_OPTIONS_H
#define RATAMARK_APP_OPTIONS_H
/*
 * The command line. One table of commands and one of options drive parsing and help; a test
 * compares the manual with them.
 *
 *     struct options options;
 *     struct buffer problem = {0};
 *     if (!options_parse(argc, argv, &options, &problem)) ... problem ... exit(2);
 *     ...
 *     options_release(&options);
 */
#include "base/buffer.h"
#include "course/course_options.h"
#include "lib/sound.h"
#include "model/choice.h"
#include "model/lesson.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum command {
    COMMAND_NONE,
    COMMAND_CHECK,
    COMMAND_ENGRAVE,
    COMMAND_COURSE,
    COMMAND_GRID,
    COMMAND_SOUND,
    COMMAND_STICK,
    COMMAND_VARY,
    COMMAND_TIDY,
    COMMAND_RUDIMENTS,
    COMMAND_INIT,
    COMMAND_SCHEMA,
    COMMAND_COMPLETION,
    COMMAND_HELP, /* becomes `help` with the command that it asks about */
    COMMAND_COUNT
};

enum dump { DUMP_NONE, DUMP_LAYOUT };

/* The options of `sound`; 0 or NULL: not given. */
struct sound_options {
    uint32_t step, step_bars, times, quiet_after;
    uint32_t count_in; /* bars + 1 */
    bool ladder, each_step, loop, no_click, click_only;
    struct sound_settings audio;
};

/* The options of `vary`; 0: not given. */
enum { VARY_WRITTEN_MAX = LESSON_EXERCISES_MAX };
enum vary_order { VARY_DRAWN, VARY_STEPS, VARY_GRADED };
struct vary_options {
    uint32_t count;
    int order;     /* enum vary_order */
    uint32_t seed; /* + 1 */
};

/* Texts point into argv. */
struct options {
    enum command command;
    bool help, version;
    bool quiet, verbose;
    bool watch;
    bool first_line;              /* only the first line of music */
    int color;                    /* enum color */
    int format;                   /* enum report_format */
    enum format as;               /* FORMAT_NONE: not given */
    int dump;                     /* enum dump */
    uint32_t dpi;                 /* 0: not given */
    struct course_options course; /* options that only `course` has */
    uint32_t *numbers;            /* the memory of `exercises` */
    struct exercise_choice exercises;
    struct sound_options sound;
    struct vary_options vary;
    const char *output;     /* NULL: not given */
    const char *music_font; /* NULL: the built-in face */
    const char *explain;    /* NULL: not given */
    uint32_t at;            /* beats a minute, 0: not given */
    const char *level;      /* NULL: not given */
    int handed;             /* enum handed */
    bool plan;              /* draw the kit */
    const char *name;       /* of standard input; NULL: not given */
    bool fix;               /* mend what has one sure mend */
    bool check;             /* `tidy` only: write nothing */
    bool strict;            /* warnings are errors */
    uint64_t allowed;       /* bits of the codes whose warnings are notes */
    int style;              /* enum stick_style */
    int table;              /* enum outlook_form */
    const char **operands;  /* files, folders, a rudiment's name */
    size_t operand_count;
};

/* False, with one line in `problem`, if the command line has a mistake. Release `options` in both
   cases. */
bool options_parse(int argc, char **argv, struct options *options, struct buffer *problem);
void options_release(struct options *options);

/* Adds what --help prints for a command, or for the program (COMMAND_NONE). */
void options_help(enum command command, struct buffer *out);
/* How to report findings; `notes`: include notes. */
struct report_options options_report(const struct options *options, bool notes);

/* The word for a command, "" for COMMAND_NONE, and what it does. */
const char *command_word(enum command command);
const char *command_summary(enum command command);

/* A row of the table of options. */
struct option_words {
    char letter; /* 0: none */
    const char *word, *summary;
    const char *argument; /* NULL: takes none */
    unsigned commands;    /* bits by enum command */
    bool files;           /* its argument is a file */
};
/* False after the last. */
bool options_get(size_t index, struct option_words *words);
/* Adds the words that an option's argument is one of; nothing if it can be anything. */
void options_choices(size_t index, const char *between, struct buffer *out);

#endif
