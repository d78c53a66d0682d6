#ifndef RATAMARK_H
#define RATAMARK_H
/*
 * libratamark: drum lessons, read, checked and engraved. What the command `ratamark` does, as
 * calls.
 *
 *     struct ratamark_text text = {"fill.yaml", bytes, length};
 *     struct ratamark *lesson = ratamark_read(text, NULL);
 *     if (ratamark_check(lesson) && ratamark_lay_out(lesson, NULL))
 *         ratamark_draw(lesson, RATAMARK_PDF, 0, write_to_file, file);
 *     for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++)
 *         show(ratamark_diagnostic(lesson, i));
 *     ratamark_free(lesson);
 *
 * The calls come in this order: read, check, lay out, draw (as often as wanted). Each returns false
 * where the next may not be made; why stands among the diagnostics. Nothing is printed, no file is
 * opened but the music font and the text fonts, and the program is never ended, with one exception:
 * when memory runs out, the function given to ratamark_on_exhaustion() is called.
 *
 * A handle belongs to one thread at a time. Texts returned live as long as the handle.
 * Link with `pkg-config --static --libs ratamark`.
 */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif
#ifdef __GNUC__
#pragma GCC visibility push(default)
#endif

#define RATAMARK_VERSION "0.1.0"

/* The version of the library that is linked, e.g. "0.1.0". */
const char *ratamark_version(void);

/* Names the function to call when memory is exhausted, with the bytes that were wanted. It must not
   return. Without one the program aborts. */
void ratamark_on_exhaustion(void (*handler)(size_t wanted));

/* ---- a lesson ------------------------------------------------------------------------------- */

struct ratamark; /* a lesson, and what is known of it */

/* UTF-8 text of a file (ratamark-lesson(5)) and the name that diagnostics give it. */
struct ratamark_text {
    const char *name;
    const char *bytes;
    size_t length;
};

/* Reads a lesson, under a course file unless `course` is NULL. The texts may go after the call.
   Never NULL: whatever is wrong stands among the diagnostics. Free it with ratamark_free(). */
struct ratamark *ratamark_read(struct ratamark_text text, const struct ratamark_text *course);

/* Frees the handle and every text that it gave out. NULL is allowed. */
void ratamark_free(struct ratamark *lesson);

/* Builds the bars and checks them: lengths, counts, voices, limbs, stickings. True where the lesson
   has no error; warnings and notes may stand among the diagnostics all the same. */
bool ratamark_check(struct ratamark *lesson);

/* The lesson's title, NULL where it has none; and how many exercises it prints (0 before the
   check). */
const char *ratamark_title(const struct ratamark *lesson);
size_t ratamark_exercise_count(const struct ratamark *lesson);

/* ---- what was found ------------------------------------------------------------------------- */

enum ratamark_severity { RATAMARK_ERROR, RATAMARK_WARNING, RATAMARK_NOTE };

/* Lines and columns count from 1, columns in characters; line 0: the file as a whole. */
struct ratamark_place {
    const char *file; /* NULL: no place in a file */
    uint32_t line, column, length;
};

/* Texts that do not apply are NULL. */
struct ratamark_diagnostic {
    enum ratamark_severity severity;
    const char *code; /* a stable word, e.g. "bar-length" */
    struct ratamark_place at;
    const char *message;         /* the problem, lower case, no full stop */
    const char *found;           /* what stands in the file */
    const char *expected;        /* what could stand there */
    const char *nearest;         /* the nearest right name */
    struct ratamark_place other; /* a second place that matters; its file NULL: none */
    const char *other_message;
};

/* Ordered by file and place once the lesson is checked. An index beyond the count is a mistake of
   the caller. */
size_t ratamark_diagnostic_count(const struct ratamark *lesson);
struct ratamark_diagnostic ratamark_diagnostic(const struct ratamark *lesson, size_t index);
/* Errors alone, those beyond the limit of what is kept for a file included. */
size_t ratamark_error_count(const struct ratamark *lesson);

/* What a code means, in paragraphs, with a wrong lesson and a right one (NULL where none can show
   it). False, and nothing written, for a word that is no code. */
bool ratamark_explain(const char *code, const char **text, const char **wrong, const char **right);

/* ---- pages ---------------------------------------------------------------------------------- */

struct ratamark_options {
    const char *music_font; /* path of a SMuFL font, metadata beside it; NULL: the built-in face */
    const uint32_t *exercises; /* numbers from 1 to print, NULL: all */
    size_t exercise_count;
    const char *date; /* ISO 8601, for the document; NULL: the lesson's own, or none */
    double dpi;       /* PNG; 0: 150 */
};

/* Sets the checked lesson on pages. `options` NULL: the defaults. Texts in it are copied. */
bool ratamark_lay_out(struct ratamark *lesson, const struct ratamark_options *options);

/* Pages of the layout; 0 before ratamark_lay_out(). */
uint32_t ratamark_page_count(const struct ratamark *lesson);

enum ratamark_format { RATAMARK_PDF, RATAMARK_SVG, RATAMARK_PNG };

/* Takes `length` bytes; false where they could not be written, which ends the drawing. */
typedef bool ratamark_write(void *closure, const void *bytes, size_t length);

/* Draws page number `page` from 1, or with 0 all of them: PDF alone holds more than one. False
   where the pages do not fit the format, or not all bytes were taken. */
bool ratamark_draw(struct ratamark *lesson, enum ratamark_format format, uint32_t page,
                   ratamark_write *write, void *closure);

/* Says the checked lesson in words, for who does not see the page (ratamark(1), READING): UTF-8,
   before a layout or after one. False where the lesson has an error, or not all bytes were taken.
 */
bool ratamark_say(struct ratamark *lesson, ratamark_write *write, void *closure);

#ifdef __GNUC__
#pragma GCC visibility pop
#endif
#ifdef __cplusplus
}
#endif

#endif
