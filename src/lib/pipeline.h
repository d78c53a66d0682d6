#ifndef RATAMARK_LIB_PIPELINE_H
#define RATAMARK_LIB_PIPELINE_H
/*
 * Runs the stages in order and hands on what each one makes.
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
    /* Set by the caller before the stage that needs it. */
    struct read_source source;
    const struct course_context *course; /* NULL: none */
    const char *music_font;              /* NULL: the built-in one */
    struct faces *lent_faces;            /* open ones to use and leave open; NULL: none */
    struct layout_options layout_options;
    const char *date; /* of the document; NULL: the lesson's own, or none */
    double dpi;
    enum handed handed; /* the player to print for; HANDED_AS_WRITTEN: what the lesson says */
    bool leave_hands;   /* the caller chooses the hands that the lesson asks for (`?`) */

    /* Made by the stages. */
    struct arena *arena;
    struct diags *diags;
    struct lesson *lesson;
    bool left_kit; /* the lesson is written for a left-handed kit */
    struct score *score;
    struct faces *faces;
    struct metrics metrics;
    struct layout *layout;
    enum stage next;
    bool stopped;                /* a stage failed, so the next cannot run */
    double seconds[STAGE_COUNT]; /* processor time of each stage that ran */
};

/* An empty pipeline for one lesson. The source's bytes must live until STAGE_READ is over, its name
   as long as the pipeline. */
void pipeline_init(struct pipeline *work, struct read_source source);
void pipeline_release(struct pipeline *work);

/* Runs the stages that have not run yet, up to and including `last`. False if a stage failed, so
   that the next cannot run; STAGE_CHECK fails if the lesson has any error. After STAGE_CHECK the
   findings are in the order of the file. */
bool pipeline_run(struct pipeline *work, enum stage last);

/* Gives the score the sides of the player that `handed` names. STAGE_BUILD does so; after another
   choice it can be done again, before a new layout. */
void pipeline_take_sides(struct pipeline *work);

/* Forgets the layout, so that STAGE_LAYOUT runs again with the settings of that moment. */
void pipeline_drop_layout(struct pipeline *work);

/* Adds the lesson in words, after STAGE_CHECK: the exercises that layout_options chooses. */
struct buffer;
void pipeline_say(struct pipeline *work, struct buffer *out);

/* Draws page `number` from 1, or all pages with 0 (of several pages only as PDF). False if anything
   could not be drawn or written. */
bool pipeline_draw(struct pipeline *work, enum format format, uint32_t number, draw_write *write,
                   void *closure);

/* Draws only the first line of music, on a page of its size; the whole first page if the lesson
   prints no music. */
bool pipeline_draw_first_line(struct pipeline *work, enum format format, draw_write *write,
                              void *closure);

#endif
