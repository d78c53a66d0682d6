#ifndef RATAMARK_LIB_PIPELINE_H
#define RATAMARK_LIB_PIPELINE_H
/*
 * The stages in their order, and what each hands to the next.
 *
 *     struct pipeline work;
 *     pipeline_init(&work, (struct read_source){name, bytes, length});
 *     if (pipeline_run(&work, STAGE_LAYOUT))
 *         pipeline_draw(&work, FORMAT_PDF, 0, write, closure);
 *     ... work.diags ...
 *     pipeline_release(&work);
 */
#include "check/check.h"
#include "draw/draw.h"
#include "layout/layout.h"
#include "read/read.h"

enum stage { STAGE_READ, STAGE_BUILD, STAGE_CHECK, STAGE_LAYOUT, STAGE_COUNT };

const char *stage_word(enum stage stage);

struct pipeline {
    /* Set by whoever runs it, before the stage that needs it. */
    struct read_source source;
    const struct course_context *course; /* NULL: none */
    const char *music_font;              /* NULL: our own */
    struct faces *lent_faces;            /* open already, used instead and left open; NULL: none */
    struct layout_options layout_options;
    const char *date; /* of the document; NULL: the lesson's own, or none */
    double dpi;
    bool leave_hands; /* hands that are asked for stay open, for who chooses them */

    /* Made by the stages. */
    struct arena *arena;
    struct diags *diags;
    struct lesson *lesson;
    struct score *score;
    struct faces *faces;
    struct metrics metrics;
    struct layout *layout;
    enum stage next;
    bool stopped;                /* a stage left nothing that the next can use */
    double seconds[STAGE_COUNT]; /* processor time of each stage that ran */
};

/* An empty pipeline for one lesson. The source's bytes must live until STAGE_READ is over. */
void pipeline_init(struct pipeline *work, struct read_source source);
void pipeline_release(struct pipeline *work);

/* Runs the stages that have not run yet, `last` included. False where a stage leaves nothing that
   the next can use: after STAGE_CHECK that is any error in the lesson. Findings are in order of
   their places once STAGE_CHECK is over. */
bool pipeline_run(struct pipeline *work, enum stage last);

/* Takes an earlier layout back, so that STAGE_LAYOUT runs again, with what is set by then. */
void pipeline_drop_layout(struct pipeline *work);

/* Says the lesson in words, after STAGE_CHECK: the exercises that layout_options asks for. */
struct buffer;
void pipeline_say(struct pipeline *work, struct buffer *out);

/* Draws page `number` from 1, or all of them with 0 (PDF alone, when there are several). False when
   anything could not be drawn or written. */
bool pipeline_draw(struct pipeline *work, enum format format, uint32_t number, draw_write *write,
                   void *closure);

/* Draws the first line of music alone, on a page of its size; of a lesson that prints none, its
   first page. */
bool pipeline_draw_first_line(struct pipeline *work, enum format format, draw_write *write,
                              void *closure);

#endif
