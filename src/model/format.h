#ifndef RATAMARK_MODEL_FORMAT_H
#define RATAMARK_MODEL_FORMAT_H
/*
 * The registry of formats: every kind of file that the program makes, one row each. Options, help,
 * messages, `produce` of a course file and the makers of files all read it.
 *
 * A row of LESSON_FORMATS is a file made from one lesson, a row of COURSE_FORMATS one made from all
 * lessons of a course:
 *
 *     name      the constant, FORMAT_name
 *     word      what --as, `produce` and the options of `course` call it
 *     ending    of the file's name, with its dot
 *     title     what messages and help call it
 *     from      what it is made from: PAGES, SCORE, PERFORMANCE, AUDIO or COURSE
 *     maker     the function make_MAKER() (lib/lesson_file.c; course/course_wide.c for a course)
 *     files     PER_PAGE: each page is a file of its own; ONE_FILE: one file holds everything
 *     bytes     BINARY: never written to a terminal; READABLE: text
 *     commands  which commands make it: ENGRAVE, SOUND, COURSE, or INDEX (for the index alone)
 */
#include "base/arena.h"
#include "base/buffer.h"

#include <stdbool.h>
#include <stddef.h>

/* clang-format off */
#define LESSON_FORMATS(X)                                                                              \
    X(PDF,     "pdf",     ".pdf",     "PDF",     PAGES,       drawn,      ONE_FILE, BINARY,   ENGRAVE | COURSE) \
    X(SVG,     "svg",     ".svg",     "SVG",     PAGES,       drawn,      PER_PAGE, READABLE, ENGRAVE | COURSE) \
    X(PNG,     "png",     ".png",     "PNG",     PAGES,       drawn,      PER_PAGE, BINARY,   ENGRAVE | COURSE) \
    X(PRACTICE,"html",    ".html",    "practice page", PAGES, practice, ONE_FILE, READABLE, ENGRAVE | COURSE) \
    X(TEXT,    "text",    ".txt",     "text",    SCORE,       spoken,     ONE_FILE, READABLE, ENGRAVE)          \
    X(MIDI,    "mid",     ".mid",     "MIDI",    PERFORMANCE, sound,      ONE_FILE, BINARY,   SOUND | COURSE)   \
    X(WAV,     "wav",     ".wav",     "WAV",     AUDIO,       sound,      ONE_FILE, BINARY,   SOUND | COURSE)   \
    X(FLAC,    "flac",    ".flac",    "FLAC",    AUDIO,       sound,      ONE_FILE, BINARY,   SOUND | COURSE)   \
    X(OGG,     "ogg",     ".ogg",     "Ogg",     AUDIO,       sound,      ONE_FILE, BINARY,   SOUND | COURSE)   \
    X(PICTURE, "picture", ".line.svg","picture", PAGES,       first_line, ONE_FILE, READABLE, INDEX)

#define COURSE_FORMATS(X)                                                                              \
    X(BOOKLET, "booklet", ".pdf",     "booklet", COURSE,      booklet,    ONE_FILE, BINARY,   COURSE)           \
    X(INDEX,   "index",   ".html",    "index",   COURSE,      index,      ONE_FILE, READABLE, COURSE)
/* clang-format on */

#define FORMATS(X) LESSON_FORMATS(X) COURSE_FORMATS(X)

enum format {
    FORMAT_NONE,
#define FORMAT_CONSTANT(name, ...) FORMAT_##name,
    FORMATS(FORMAT_CONSTANT) FORMAT_COUNT
#undef FORMAT_CONSTANT
};

enum format_source {
    FORMAT_FROM_PAGES = 1,   /* the lesson laid out, and drawn */
    FORMAT_FROM_SCORE,       /* the checked lesson */
    FORMAT_FROM_PERFORMANCE, /* strokes in time */
    FORMAT_FROM_AUDIO,       /* the same, rendered with the machine's sound font */
    FORMAT_FROM_COURSE       /* all lessons of a course */
};

enum format_files { FORMAT_ONE_FILE = 1, FORMAT_PER_PAGE };
enum format_bytes { FORMAT_READABLE = 1, FORMAT_BINARY };

/* Commands that make a format: a set of bits. */
enum { FORMAT_BY_ENGRAVE = 1, FORMAT_BY_SOUND = 2, FORMAT_BY_COURSE = 4, FORMAT_BY_INDEX = 8 };

struct format_row {
    const char *word, *ending, *title;
    enum format_source from;
    enum format_files files;
    enum format_bytes bytes;
    unsigned commands; /* FORMAT_BY_ bits */
};

/* By format; the row of FORMAT_NONE is empty. */
extern const struct format_row format_rows[FORMAT_COUNT];

/* The format that a command makes under this word, or with this ending (its dot included, any
   case); FORMAT_NONE if there is none. */
enum format format_of_word(const char *word, unsigned commands);
enum format format_of_ending(const char *ending, unsigned commands);

/* Adds what a command makes, in the registry's order: words ("pdf|svg|png" with "|" between, before
   the last one `last`), or endings (".mid, .wav or .ogg"). */
void format_list_words(struct buffer *out, unsigned commands, const char *between,
                       const char *last);
void format_list_endings(struct buffer *out, unsigned commands, const char *between,
                         const char *last);

/* The number of files for a lesson of this many pages. */
size_t format_file_count(enum format format, size_t pages);
/* The name of file `number`, from 0, of `files`: "STEM.pdf", "STEM-2.svg". */
char *format_file_name(enum format format, const char *stem, size_t number, size_t files,
                       struct arena *arena);

#endif
