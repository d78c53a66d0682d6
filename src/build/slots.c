/*
 * Strikes on a grid. The sticking gives each slot its next stroke, over and over; it runs on from
 * bar to bar unless it is written in the bar itself. The first time through, every `|` is checked
 * to stand where a beat begins; after a wrong one the rest is checked as if that mistake were
 * corrected, so that one slip is reported only once.
 */
#include "build/build_int.h"
#include "build/duration_words.h"

#include <string.h>

/* ---- beat boundaries ---------------------------------------------------------------------- */

static bool is_beat_start(const struct frame *frame, struct fraction onset)
{
    for (uint16_t beat = 0; beat < frame->beat_count; beat++)
        if (fraction_equal(frame->beats[beat].start, onset))
            return true;
    return false;
}

/* The first that stands before item `index` or a later one. */
static size_t first_boundary(const struct boundary *boundaries, size_t count, size_t index)
{
    size_t at;
    lower_bound(at, 0, count, boundaries[at].before < index);
    return at;
}

/* By how much the beat before a `|` is short (positive) or too long (negative), and which beat that
   is: the one that began at the last `|`, otherwise the one that the `|` falls in. */
static struct fraction beat_missing(const struct frame *frame, struct fraction begun,
                                    struct fraction onset, uint16_t *beat)
{
    *beat = frame_beat_at(frame, 0, onset);
    struct fraction start = frame->beats[*beat].start;
    struct fraction over = fraction_subtract(start, onset);
    if (fraction_compare(begun, start) < 0 && *beat > 0) {
        --*beat;
        return over;
    }
    return fraction_add(over, frame->beats[*beat].length);
}

static void report_boundary(struct bar_builder *bar, const struct boundary *boundary,
                            struct fraction onset, uint16_t beat, struct fraction missing)
{
    struct builder *builder = bar->builder;
    if (!builder_report_once(builder, boundary))
        return;
    bool is_short = missing.numerator > 0;
    if (!is_short)
        missing = fraction_subtract(FRACTION_ZERO, missing);
    const char *count = address_of_onset(builder->arena, &bar->counted, onset);
    diag_add(builder->diags, DIAG_BEAT_LENGTH, boundary->at,
             "beat %u is %s %s: no beat begins at this '|'%s%s", beat + 1u,
             duration_words(builder->arena, missing), is_short ? "short" : "too long",
             count ? ", which is at " : "", count ? count : "");
    diag_expected(builder->diags, "'|' only where a beat begins");
}

void check_boundaries_between(struct bar_builder *bar, const struct boundary *boundaries,
                              size_t count, size_t index, const struct strikes *strikes,
                              uint32_t strike, int64_t before)
{
    size_t first = first_boundary(boundaries, count, index);
    if (first == count || boundaries[first].before != index)
        return;
    struct fraction onset = strikes->items[strike].onset;
    uint16_t beat = frame_beat_at(bar->frame, 0, onset);
    bool between = before < 0 || fraction_compare(bar->frame->beats[beat].start,
                                                  strikes->items[before].onset) > 0;
    if (between)
        return;
    struct fraction missing = beat_missing(bar->frame, bar->frame->beats[beat].start, onset, &beat);
    for (size_t i = first; i < count && boundaries[i].before == index; i++)
        report_boundary(bar, &boundaries[i], onset, beat, missing);
}

uint32_t grid_slots_before(const struct grid *grid, struct fraction onset)
{
    size_t at;
    lower_bound(at, 0, grid->slot_count, fraction_compare(grid->onsets[at], onset) < 0);
    return (uint32_t)at;
}

/* ---- strikes ------------------------------------------------------------------------------ */

/* Where the sticking continues in this bar, and whether each `|` is still to be checked. */
struct round {
    const struct stroke_line *line;
    size_t next;
    bool checks;           /* the first time through */
    size_t boundary;       /* the next `|` to check ... */
    size_t stop;           /* ... and the stroke after it */
    struct fraction begun; /* where the last `|` in this bar was */
    struct fraction slip;  /* how late the strokes are because of mistakes already reported */
};

static const size_t NO_STOP = SIZE_MAX;

static void find_stop(struct round *round)
{
    const struct stroke_line *line = round->line;
    bool more = round->checks && round->boundary < line->boundary_count;
    round->stop = more ? line->boundaries[round->boundary].before : NO_STOP;
}

static void begin_round(struct round *round, const struct line_source *source)
{
    const struct stroke_line *line = source->sticking;
    round->line = line;
    round->next = source->sticking_own ? 0 : source->state->sticking;
    round->checks =
        line->boundary_count > 0 && (source->sticking_own || !source->state->sticking_round);
    round->boundary = round->checks && round->next
                          ? first_boundary(line->boundaries, line->boundary_count, round->next)
                          : 0;
    round->begun = round->slip = FRACTION_ZERO;
    find_stop(round);
}

static void end_round(const struct line_source *source, const struct round *round)
{
    if (source->sticking_own)
        return;
    source->state->sticking = round->next;
    if (!round->checks)
        source->state->sticking_round = true;
}

/* Checks every `|` before the stroke at `onset`. */
static void pass_boundaries(struct bar_builder *bar, struct round *round, struct fraction onset)
{
    const struct stroke_line *line = round->line;
    struct fraction meant = onset;
    if (round->slip.numerator)
        meant = fraction_subtract(onset, round->slip);
    for (size_t here = round->stop; round->stop == here; find_stop(round)) {
        if (meant.numerator >= 0 && !is_beat_start(bar->frame, meant)) {
            uint16_t beat;
            struct fraction missing = beat_missing(bar->frame, round->begun, meant, &beat);
            report_boundary(bar, &line->boundaries[round->boundary], meant, beat, missing);
            round->slip = fraction_subtract(round->slip, missing);
            meant = fraction_add(meant, missing);
        }
        round->begun = meant;
        round->boundary++;
    }
}

static uint32_t count_struck(const struct round *round, uint32_t slots)
{
    if (round->line->struck == round->line->count)
        return slots;
    uint32_t count = 0;
    size_t next = round->next;
    for (uint32_t slot = 0; slot < slots; slot++) {
        count += round->line->strokes[next].hand != HAND_NONE;
        next = next + 1 == round->line->count ? 0 : next + 1;
    }
    return count;
}

static void open_strikes(struct bar_builder *bar, const struct grid *grid, uint32_t count,
                         struct strikes *out)
{
    struct builder *builder = bar->builder;
    vector_reserve(&builder->strike_room, grid->slot_count, builder->arena);
    vector_reserve(&builder->slot_room, grid->slot_count, builder->arena);
    out->notes = arena_array_room(builder->arena, count, sizeof *out->notes);
    out->items = builder->strike_room.items;
    out->count = 0;
    out->on_grid = true;
    out->of_slot = builder->slot_room.items;
    memset(out->of_slot, -1, grid->slot_count * sizeof *out->of_slot);
}

/* The next strike, on a slot. The caller writes its note and counts it. */
static inline struct strike *add_strike(struct strikes *strikes, uint32_t slot,
                                        struct fraction onset, struct line_state *state)
{
    struct strike *strike = &strikes->items[strikes->count];
    strikes->of_slot[slot] = (int32_t)strikes->count;
    *strike =
        (struct strike){.onset = onset, .slot = (int32_t)slot, .number = (uint32_t)state->stroke++};
    return strike;
}

static void report_long_sticking(struct bar_builder *bar, const struct stroke_line *line,
                                 uint32_t slots)
{
    diag_add(bar->builder->diags, DIAG_STROKE_COUNT, line->at,
             "the sticking fills %zu slots, but the bar has %u", line->count, slots);
    diag_expected(bar->builder->diags, "at most %u; a shorter sticking repeats", slots);
}

static void report_short_sticking(struct bar_builder *bar, const struct grid *grid,
                                  const struct stroke_line *line)
{
    struct builder *builder = bar->builder;
    const struct stroke *last = &line->strokes[line->count - 1];
    struct fraction missing =
        fraction_subtract(grid->frame->length, grid->onsets[bar->first_slot + line->count]);
    diag_add(
        builder->diags, DIAG_BAR_LENGTH, place_make(line->at.file, last->line, last->column, 1),
        "the bar is %s short: the sticking fills %zu slots, but the bar has %u",
        duration_words(builder->arena, missing), line->count, grid->slot_count - bar->first_slot);
    diag_expected(builder->diags, "%u, or a sticking short enough to repeat",
                  grid->slot_count - bar->first_slot);
}

/* A sticking written in a bar must fit into it. If it is longer than half the bar it must fill it;
   a shorter one repeats. */
static bool sticking_fits(struct bar_builder *bar, const struct grid *grid,
                          const struct line_source *source)
{
    const struct stroke_line *line = source->sticking;
    uint32_t slots = grid->slot_count - bar->first_slot;
    if (!source->sticking_own || line->count == slots)
        return true;
    bool too_long = line->count > slots;
    if (!too_long && (line->name || line->count * 2 <= slots))
        return true;
    if (!builder_report_once(bar->builder, line))
        return false;
    if (too_long)
        report_long_sticking(bar, line, slots);
    else
        report_short_sticking(bar, grid, line);
    return false;
}

static void strike_sticking(struct bar_builder *bar, const struct grid *grid,
                            const struct line_source *source, struct strikes *strikes)
{
    struct round round;
    begin_round(&round, source);
    uint32_t slots = grid->slot_count - bar->first_slot;
    open_strikes(bar, grid, count_struck(&round, slots), strikes);
    const struct stroke_line *line = round.line;
    size_t next = round.next;
    for (uint32_t slot = bar->first_slot; slot < grid->slot_count; slot++) {
        struct fraction onset = grid->onsets[slot];
        if (next == round.stop)
            pass_boundaries(bar, &round, onset);
        const struct stroke *stroke = &line->strokes[next];
        if (stroke->hand != HAND_NONE) {
            const struct strike *strike = add_strike(strikes, slot, onset, source->state);
            note_take_stroke(&strikes->notes[strikes->count++], stroke, strike->number,
                             line->at.file);
        }
        if (++next < line->count)
            continue;
        if (next == round.stop && slot + 1 < grid->slot_count)
            pass_boundaries(bar, &round, grid->onsets[slot + 1]);
        next = 0;
        round.checks = false;
        round.stop = NO_STOP;
    }
    round.next = next;
    end_round(source, &round);
}

static void strike_every_slot(struct bar_builder *bar, const struct grid *grid,
                              const struct line_source *source, struct strikes *strikes)
{
    open_strikes(bar, grid, grid->slot_count - bar->first_slot, strikes);
    for (uint32_t slot = bar->first_slot; slot < grid->slot_count; slot++) {
        const struct strike *strike = add_strike(strikes, slot, grid->onsets[slot], source->state);
        strikes->notes[strikes->count++] =
            (struct note){.number = strike->number, .at = source->at};
    }
}

void grid_strikes(struct bar_builder *bar, const struct grid *grid,
                  const struct line_source *source, struct strikes *out)
{
    bool lettered = source->sticking && source->sticking->count;
    if (lettered && sticking_fits(bar, grid, source))
        strike_sticking(bar, grid, source, out);
    else if (!lettered && source->sounds)
        strike_every_slot(bar, grid, source, out);
    else
        open_strikes(bar, grid, 0, out);
}
