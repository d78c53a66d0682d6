#include "model/playback.h"

#include "model/jumps.h"

/* ---- times through ------------------------------------------------------------------------ */

/* The time through after `pass`; skips to `last` if enough of the equal ones from `first` to `last`
   have been played. */
static uint16_t next_pass(const struct playback *playback, uint16_t pass, uint16_t first,
                          uint16_t last)
{
    uint16_t next = (uint16_t)(pass + 1);
    bool enough = playback->most && next < last && next - first + 1 >= playback->most;
    return enough ? last : next;
}

/* The first bar of the ending for this time through; the exercise's end if it has none. */
static size_t ending_bar(const struct score_exercise *exercise, size_t bar, uint16_t pass)
{
    while (bar < exercise->bar_count &&
           !(exercise->bars[bar].ending_begins && ending_has(exercise->bars[bar].ending, pass)))
        bar++;
    return bar;
}

/* After the last bar of an ending. */
static void leave_ending(const struct playback *playback, struct playback_frame *frame,
                         const struct ending *ending)
{
    if (frame->pass >= endings_last(frame->exercise->source)) {
        frame->next = frame->exercise->bar_count;
        return;
    }
    uint16_t first = frame->pass, last = frame->pass;
    while (first > 1 && ending_has(ending, (uint16_t)(first - 1)))
        first--;
    while (ending_has(ending, (uint16_t)(last + 1)))
        last++;
    frame->pass = next_pass(playback, frame->pass, first, last);
    frame->next = frame->section;
}

/* How often the section that ends with this bar is played. */
static uint16_t plays_of(const struct playback_frame *frame, const struct score_bar *bar)
{
    bool whole = frame->exercise->source->plays >= 2 && bar->last;
    return frame->in_form && whole ? 1 : bar->plays;
}

/* ---- jumps -------------------------------------------------------------------------------- */

static void jump_to(struct playback_frame *frame, size_t bar)
{
    frame->next = frame->section = bar;
    frame->pass = 1;
}

/* At the end of a bar, the last time it is played: takes the jump, or what a jump leads to. */
static bool jumps_on(struct playback_frame *frame, const struct score_bar *bar)
{
    const struct bar_signs *signs = bar->signs;
    if (!signs || !(signs->jump.words || signs->fine.file || signs->to_coda.file))
        return false;
    struct jumps jumps = jumps_of(frame->exercise);
    if (!frame->jumped && signs->jump.words) {
        jump_to(frame, signs->jump.to_segno ? jumps.segno : 0);
        frame->jumped = true;
        return true;
    }
    if (frame->jumped && (signs->fine.file || signs->to_coda.file)) {
        jump_to(frame, signs->fine.file ? frame->exercise->bar_count : jumps.coda);
        return true;
    }
    return false;
}

/* Moves to the bar that is played next. */
static void move_on(const struct playback *playback, struct playback_frame *frame,
                    const struct score_bar *bar)
{
    if (bar->ending_ends) {
        leave_ending(playback, frame, bar->ending);
        return;
    }
    uint16_t plays = frame->jumped ? 1 : plays_of(frame, bar);
    if (bar->repeat_ends && !bar->ending && frame->pass < plays) {
        frame->pass = next_pass(playback, frame->pass, 1, plays);
        frame->next = frame->section;
        return;
    }
    if (jumps_on(frame, bar))
        return;
    frame->next++;
    if (bar->repeat_ends && !bar->ending)
        frame->pass = 1;
    if (frame->next < frame->exercise->bar_count &&
        frame->exercise->bars[frame->next].ending_begins)
        frame->next = ending_bar(frame->exercise, frame->next, frame->pass);
}

/* ---- practice forms ----------------------------------------------------------------------- */

static void enter(struct playback *playback, const struct score_exercise *exercise)
{
    if (playback->depth == PLAYBACK_DEPTH_MAX) {
        playback->cut = true;
        return;
    }
    bool in_form = playback->depth > 0;
    playback->frames[playback->depth++] =
        (struct playback_frame){.exercise = exercise, .pass = 1, .in_form = in_form};
}

/* Enters the form's next step, or leaves the form after its last. */
static void take_step(struct playback *playback, struct playback_frame *frame)
{
    const struct exercise *form = frame->exercise->source;
    if (frame->next == form->sequence_count) {
        playback->depth--;
        return;
    }
    const struct sequence_step *step = &form->sequence[frame->next];
    const struct score_exercise *exercise = score_printing(playback->score, step->exercise);
    if (frame->pass < step->times) {
        frame->pass = next_pass(playback, frame->pass, 1, step->times);
    } else {
        frame->next++;
        frame->pass = 1;
    }
    if (exercise)
        enter(playback, exercise);
}

/* ---- the bars ----------------------------------------------------------------------------- */

void playback_begin(struct playback *playback, const struct score *score,
                    const struct score_exercise *exercise, uint16_t most)
{
    playback->score = score;
    playback->most = most == 1 ? 2 : most;
    playback->depth = 0;
    playback->now = FRACTION_ZERO;
    playback->cut = false;
    enter(playback, exercise);
}

bool playback_next(struct playback *playback, struct played_bar *played)
{
    while (playback->depth) {
        struct playback_frame *frame = &playback->frames[playback->depth - 1];
        if (frame->exercise->sequence) {
            take_step(playback, frame);
            continue;
        }
        if (frame->next >= frame->exercise->bar_count) {
            playback->depth--;
            continue;
        }
        const struct score_bar *bar = &frame->exercise->bars[frame->next];
        if (bar->repeat_begins && frame->section != frame->next) {
            frame->section = frame->next;
            frame->pass = 1;
        }
        *played =
            (struct played_bar){.exercise = frame->exercise,
                                .bar = bar,
                                .index = (uint32_t)frame->next,
                                .pass = frame->pass,
                                .begins = frame->next == 0 && frame->pass == 1 && !frame->jumped,
                                .jumped = frame->jumped,
                                .start = playback->now};
        playback->now = fraction_add(playback->now, bar->length);
        move_on(playback, frame, bar);
        return true;
    }
    return false;
}

size_t playback_order(const struct score *score, const struct score_exercise *exercise,
                      struct bar_range ranges[JUMP_RANGES_MAX])
{
    struct playback playback;
    struct played_bar played;
    size_t count = 0;
    bool jumped = false;
    if (exercise->sequence || jumps_of(exercise).jump == NO_BAR)
        return 0;
    playback_begin(&playback, score, exercise, 2);
    while (playback_next(&playback, &played)) {
        struct bar_range *last = count ? &ranges[count - 1] : NULL;
        bool on = last && (played.jumped ? jumped && played.index == last->last + 1 : true);
        if (!on && count == JUMP_RANGES_MAX)
            break;
        if (!on)
            ranges[count++] = (struct bar_range){played.index, played.index};
        else if (played.index > last->last)
            last->last = played.index;
        jumped = played.jumped;
    }
    return count;
}
