#ifndef RATAMARK_H
#define RATAMARK_H
/*
 * libratamark: reads, checks and engraves drum lessons. It does what the command `ratamark` does.
 *
 *     struct ratamark_text text = {"fill.yaml", bytes, length};
 *     struct ratamark *lesson = ratamark_read(&text, NULL);
 *     if (ratamark_check(lesson) == RATAMARK_OK &&
 *         ratamark_lay_out(lesson, NULL) == RATAMARK_OK)
 *         ratamark_write(lesson, RATAMARK_PDF, NULL, write_to_file, file);
 *     for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++)
 *         show(ratamark_diagnostic(lesson, i));
 *     ratamark_free(lesson);
 *
 * Order: read, check; then in any order and as often as you like judge, stick, lay out, write.
 * ratamark_write() needs a layout for PDF, SVG and PNG; text, grid and MIDI need only the check.
 *
 * Results: a call that can fail returns an `enum ratamark_result`. What is wrong with the lesson is
 * in the diagnostics, each with its place in the file.
 *
 * Ownership: you free what ratamark_read() and ratamark_options_new() return. Everything else that
 * the library returns belongs to the handle and stays valid until ratamark_free(). Texts and arrays
 * that you pass in are copied; you may free them after the call. Texts are UTF-8 and end in NUL.
 *
 * Growth: options are set by functions, and structures are lent by pointer, so later versions can
 * add options, and fields at the end of a structure, without breaking programs that are compiled
 * already. Only `struct ratamark_text` is yours to make: it stays as it is. New values may be added
 * at the end of an enum.
 *
 * Threads: any number of threads may use the library at the same time, each with handles of its
 * own. A handle belongs to one thread at a time. Threads may share options while none of them
 * changes these.
 *
 * The library prints nothing, never ends the program and opens no files but fonts, with one
 * exception: if memory runs out, it calls the function given to ratamark_on_exhaustion().
 *
 * Link with `pkg-config --cflags --libs ratamark`. For the static archive:
 * `pkg-config --static --cflags --libs ratamark | sed s/-lratamark/-l:libratamark.a/`.
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

/* The version of the library that the program runs with, e.g. "0.1.0". */
const char *ratamark_version(void);

/* What became of a call. */
enum ratamark_result {
    RATAMARK_OK,
    RATAMARK_LESSON_WRONG, /* the lesson has an error: see the diagnostics */
    RATAMARK_TOO_EARLY,    /* the call needs an earlier one that has not succeeded */
    RATAMARK_BAD_ARGUMENT, /* a value is outside of its range, or names nothing; nothing was done */
    RATAMARK_FONT_UNUSABLE, /* no layout without this font: see the diagnostics */
    RATAMARK_SEVERAL_PAGES, /* SVG and PNG hold one page: choose it with ratamark_set_page() */
    RATAMARK_NOT_PLAYABLE,  /* nothing to perform, or more than the format can hold */
    RATAMARK_NOT_WRITTEN,   /* your function did not take all bytes */
    RATAMARK_NOT_DRAWN      /* the drawing library failed */
};

/* The result in words, e.g. "the lesson has an error": lower case, no full stop. Never NULL. */
const char *ratamark_result_text(enum ratamark_result result);

/* Sets the function to call when no memory is left; it gets the number of bytes wanted and must not
   return. Without one the program aborts. One for the whole program: set it before threads start.
 */
void ratamark_on_exhaustion(void (*handler)(size_t wanted));

/* ---- a lesson ------------------------------------------------------------------------------- */

/* A lesson, and all that is known about it. */
struct ratamark;

/* The text of a file (ratamark-lesson(5)), and the name that diagnostics give it. `bytes` need not
   end in NUL. */
struct ratamark_text {
    const char *name;
    const char *bytes;
    size_t length;
};

/* Reads a lesson. `course`: the text of its course file, NULL for none. Never returns NULL: if
   nothing can be made of the text, the diagnostics say why. Free the handle with ratamark_free().
 */
struct ratamark *ratamark_read(const struct ratamark_text *text,
                               const struct ratamark_text *course);

/* Frees the handle and all that it has lent. NULL is allowed. */
void ratamark_free(struct ratamark *lesson);

/* Builds the bars and checks lengths, counts, voices, limbs and stickings.
   RATAMARK_OK: no errors; there may be warnings and notes. Otherwise RATAMARK_LESSON_WRONG. A
   second call returns the same. */
enum ratamark_result ratamark_check(struct ratamark *lesson);

/* The lesson's title; NULL if it has none. */
const char *ratamark_title(const struct ratamark *lesson);

/* How many exercises are printed; 0 before the check. An exercise that is printed with both leads
   counts twice, as it is printed twice under one number. */
size_t ratamark_exercise_count(const struct ratamark *lesson);

/* ---- diagnostics ---------------------------------------------------------------------------- */

enum ratamark_severity { RATAMARK_ERROR, RATAMARK_WARNING, RATAMARK_NOTE };

/* Lines and columns count from 1, columns and length in characters. Line 0: the whole file. */
struct ratamark_place {
    const char *file; /* NULL: no place in a file */
    uint32_t line, column, length;
};

/* Texts that do not apply are NULL. */
struct ratamark_diagnostic {
    enum ratamark_severity severity;
    const char *code; /* a word that does not change between versions, e.g. "bar-length" */
    struct ratamark_place at;
    const char *message;  /* the problem: lower case, no full stop */
    const char *found;    /* what the file says there */
    const char *expected; /* what could be there */
    const char *nearest;  /* the nearest right name */
    struct ratamark_place
        other; /* a second place that matters; its file is NULL if there is none */
    const char *other_message;
};

/* First what reading and checking found, then what ratamark_judge() and ratamark_lay_out() found
   when they were called last; each part in the order of the file. */
size_t ratamark_diagnostic_count(const struct ratamark *lesson);

/* Diagnostic number `index` from 0; NULL beyond the last. */
const struct ratamark_diagnostic *ratamark_diagnostic(const struct ratamark *lesson, size_t index);

/* The number of errors, including those beyond the 200 that are kept for each file. */
size_t ratamark_error_count(const struct ratamark *lesson);

/* Explains a diagnostic's code: paragraphs, a lesson that gets it and one that does not (both NULL
   if no lesson can show it). The texts are constant. RATAMARK_BAD_ARGUMENT: no such code. */
enum ratamark_result ratamark_explain(const char *code, const char **text, const char **wrong,
                                      const char **right);

/* ---- options -------------------------------------------------------------------------------- */

/* One object holds the options of all calls; each call takes what concerns it. NULL in its place
   means the defaults. */
struct ratamark_options;

/* All defaults. Free it with ratamark_options_free(). */
struct ratamark_options *ratamark_options_new(void);
/* NULL is allowed. */
void ratamark_options_free(struct ratamark_options *options);

/* Each function below returns RATAMARK_OK, or RATAMARK_BAD_ARGUMENT and leaves the option as it
 * was. */

/* For lay out, text, grid and MIDI: the exercises to take, by their printed numbers from 1. `count`
   0: all of them, which is the default. */
enum ratamark_result ratamark_set_exercises(struct ratamark_options *options,
                                            const uint32_t *numbers, size_t count);

/* For all calls that take options: the player to print for, which replaces what the lesson's
   `handed` says. A layout keeps the player that it was made for. RATAMARK_AS_WRITTEN, the default:
   the lesson's own. */
enum ratamark_handed { RATAMARK_AS_WRITTEN, RATAMARK_RIGHT_HANDED, RATAMARK_LEFT_HANDED };
enum ratamark_result ratamark_set_handed(struct ratamark_options *options,
                                         enum ratamark_handed handed);

/* For lay out. The first three replace what the lesson's `page` says. */
enum ratamark_page_size { RATAMARK_A4, RATAMARK_LETTER };
enum ratamark_result ratamark_set_page_size(struct ratamark_options *options,
                                            enum ratamark_page_size size);
/* The margin on all four sides: 5 to 60 millimetres. */
enum ratamark_result ratamark_set_margin(struct ratamark_options *options, double millimetres);
/* The height of a five-line staff: 3 to 20 millimetres. */
enum ratamark_result ratamark_set_staff_height(struct ratamark_options *options,
                                               double millimetres);
/* The path of a SMuFL font, its metadata beside it. NULL: the built-in one. */
enum ratamark_result ratamark_set_music_font(struct ratamark_options *options, const char *path);

/* For PDF, SVG and PNG. */
/* The page to draw, from 1. 0, the default: all pages, which only PDF can hold. */
enum ratamark_result ratamark_set_page(struct ratamark_options *options, uint32_t page);
/* The document's date, ISO 8601. NULL: the lesson's own, or none. */
enum ratamark_result ratamark_set_date(struct ratamark_options *options, const char *date);
/* For PNG: dots per inch, 10 to 2400; the default is 150. */
enum ratamark_result ratamark_set_dpi(struct ratamark_options *options, double dpi);

/* For the grid: the width of a line in characters, 20 to 10000; the default is 80. A beat is never
   broken, so a line may be wider. */
enum ratamark_result ratamark_set_columns(struct ratamark_options *options, uint32_t columns);

/* For MIDI. */
/* Beats per minute, 1 to 999. 0, the default: the lesson's own. */
enum ratamark_result ratamark_set_tempo(struct ratamark_options *options, uint32_t tempo);
/* Bars of count-in before each exercise, 0 to 16; the default is 1. */
enum ratamark_result ratamark_set_count_in(struct ratamark_options *options, uint32_t bars);
/* Whether the click goes on after the count-in (default: yes), and whether the drums are heard
   (default: yes). */
enum ratamark_result ratamark_set_click(struct ratamark_options *options, bool click);
enum ratamark_result ratamark_set_drums(struct ratamark_options *options, bool drums);
/* How often each exercise is played: 1, the default, to 9999. */
enum ratamark_result ratamark_set_times(struct ratamark_options *options, uint32_t times);

/* For judge and stick. */
/* The level to judge for: "beginner", "intermediate", "advanced", or one of the course. NULL: each
   exercise's own, or else advanced. Whether the level exists is found by the call that uses it. */
enum ratamark_result ratamark_set_level(struct ratamark_options *options, const char *name);
/* For judge: the tempo to judge at, 1 to 999 quarters a minute. 0, the default: the lesson's own.
 */
enum ratamark_result ratamark_set_judged_tempo(struct ratamark_options *options, uint32_t tempo);
/* For stick: what hands are chosen by. */
enum ratamark_sticking_style {
    RATAMARK_EFFORT,    /* least effort */
    RATAMARK_ALTERNATE, /* fewest strokes by the hand that made the one before */
    RATAMARK_NATURAL,   /* fewest strokes that leave the even grid's hand */
    RATAMARK_TRAVEL,    /* the shortest way that the hands go */
    RATAMARK_PLAYER     /* a player's habits; the default */
};
enum ratamark_result ratamark_set_sticking_style(struct ratamark_options *options,
                                                 enum ratamark_sticking_style style);

/* ---- verdicts ------------------------------------------------------------------------------- */

enum ratamark_verdict_kind {
    RATAMARK_UP_TO_TEMPO, /* playable up to max_tempo */
    RATAMARK_ANY_TEMPO,   /* nothing in it takes time */
    RATAMARK_NO_TEMPO,    /* something in it cannot be played at any tempo */
    RATAMARK_NOT_JUDGED   /* too long, or divided too finely, to be judged */
};

/* Whether two hands and two feet can play an exercise, and what limits them. The fields from `move`
   on say what limits the tempo; without a highest tempo they are NULL or 0. */
struct ratamark_verdict {
    uint32_t exercise; /* its printed number */
    const char *title; /* NULL: none */
    const char *level; /* that it was judged for */
    enum ratamark_verdict_kind kind;
    double max_tempo;      /* quarters a minute, of the first bar if tempos change */
    bool hands_chosen;     /* some hands are not written; they were chosen */
    const char *move;      /* "bounce", "repeat", "sustain", "travel", "cross" or "hat-close" */
    const char *limb;      /* "right hand", "left hand", "right foot" or "left foot" */
    const char *from, *to; /* voices */
    uint32_t bar;      /* number of the bar of the stroke that the move leads to; 0: the pickup */
    const char *count; /* where in that bar, as it is counted, e.g. "2&" */
    uint32_t strokes;  /* of "sustain": how many in a row */
    double beats;      /* there are for the move, in quarters */
    double takes_ms;   /* milliseconds that the move takes */
    struct ratamark_place at; /* that stroke in the file */
};

/* Judges every exercise of a checked lesson, and replaces the verdicts and diagnostics of an
   earlier call. Where the lesson leaves hands open it judges with those that ratamark_stick()
   chose, or chooses them itself. RATAMARK_TOO_EARLY: not checked, or with errors.
   RATAMARK_BAD_ARGUMENT: no such level. */
enum ratamark_result ratamark_judge(struct ratamark *lesson,
                                    const struct ratamark_options *options);

/* One for each exercise in the order of the lesson; 0 before ratamark_judge(). */
size_t ratamark_verdict_count(const struct ratamark *lesson);
/* Verdict number `index` from 0; NULL beyond the last. */
const struct ratamark_verdict *ratamark_verdict(const struct ratamark *lesson, size_t index);

/* ---- stickings ------------------------------------------------------------------------------ */

/* The hands of one bar, a letter for each stroke of the hands: R, L, or B for both. */
struct ratamark_sticking {
    uint32_t exercise; /* its printed number */
    uint32_t bar;      /* its number; 0: the pickup */
    const char *hands; /* "RLRRLRLL"; "" if no hand strikes */
    uint32_t chosen;   /* how many of them the lesson leaves open */
};

/* Chooses the hands that a checked lesson leaves open, and replaces the stickings of an earlier
   call. Exercises whose music goes on in other exercises (`sequence`) are left out.
   RATAMARK_TOO_EARLY, RATAMARK_LESSON_WRONG: not checked; with errors. RATAMARK_BAD_ARGUMENT: no
   such level. */
enum ratamark_result ratamark_stick(struct ratamark *lesson,
                                    const struct ratamark_options *options);

/* One for each bar of each exercise, in order; 0 before ratamark_stick(). */
size_t ratamark_sticking_count(const struct ratamark *lesson);
/* Sticking number `index` from 0; NULL beyond the last. */
const struct ratamark_sticking *ratamark_sticking(const struct ratamark *lesson, size_t index);

/* ---- pages and files ------------------------------------------------------------------------ */

/* Sets the checked lesson on pages, and replaces an earlier layout and its diagnostics.
   RATAMARK_TOO_EARLY, RATAMARK_LESSON_WRONG: not checked; with errors. RATAMARK_FONT_UNUSABLE: no
   text font is installed, or the music font cannot be used. RATAMARK_BAD_ARGUMENT: no exercise has
   one of the numbers. After a failure there is no layout. */
enum ratamark_result ratamark_lay_out(struct ratamark *lesson,
                                      const struct ratamark_options *options);

/* Pages of the layout; 0 without one. */
uint32_t ratamark_page_count(const struct ratamark *lesson);

enum ratamark_format {
    RATAMARK_PDF,
    RATAMARK_SVG,
    RATAMARK_PNG,
    RATAMARK_TEXT,         /* the lesson in words, UTF-8, for people who do not see the page */
    RATAMARK_GRID,         /* counts across, voices down, UTF-8, for a terminal */
    RATAMARK_MIDI,         /* a Standard MIDI File */
    RATAMARK_PRACTICE_PAGE /* HTML, UTF-8: the lesson to play along with in a browser */
};

/* Takes `length` bytes, which are valid during the call, and returns whether it could. `closure` is
   what ratamark_write() was given. Called in the same thread, any number of times. It must not use
   the handle. */
typedef bool ratamark_take(void *closure, const void *bytes, size_t length);

/* Writes the lesson in a format through `take`. After a failure some bytes may have been taken.
   RATAMARK_TOO_EARLY: not checked, or not laid out (PDF, SVG, PNG, practice page).
   RATAMARK_LESSON_WRONG: with errors. RATAMARK_BAD_ARGUMENT: no such format, page or exercise.
   RATAMARK_SEVERAL_PAGES, RATAMARK_NOT_PLAYABLE, RATAMARK_NOT_WRITTEN, RATAMARK_NOT_DRAWN: see
   there. */
enum ratamark_result ratamark_write(struct ratamark *lesson, enum ratamark_format format,
                                    const struct ratamark_options *options, ratamark_take *take,
                                    void *closure);

#ifdef __GNUC__
#pragma GCC visibility pop
#endif
#ifdef __cplusplus
}
#endif

#endif
