/*
 * Builds a separate line for the feet, or for the left hand beside the right: from a rhythm or on
 * a grid, like the hands' line.
 *
 * If the left hand has a line, the feet join it. A foot shares the note that it strikes with, or
 * takes the place of a rest; on a grid it may use any slot. Anywhere else it is an error.
 */
#include "build/build_int.h"

#include <string.h>

static void voice(struct bar_builder *bar, struct strikes *strikes, const struct limb_line *line,
                  bool own, enum line_of of)
{
    if (of == LINE_OF_FEET)
        strokes_voice_feet(bar, strikes, line, own);
    else
        strokes_voice_left(bar, strikes, line, own);
}

/* The left hand's changes by count, which are those of its own slots or notes. */
static void change(struct bar_builder *bar, struct strikes *strikes, const struct limb_line *line,
                   bool own, struct counted_bar counted)
{
    struct counted_bar right = bar->counted;
    bar->counted = counted;
    strokes_change_left(bar, strikes, line, own);
    bar->counted = right;
}

/* The same on notes. */
static void change_notes(struct bar_builder *bar, const struct score_line *notes,
                         struct strikes *strikes, const struct limb_line *line, bool own)
{
    struct span *spans[METER_BEATS_MAX] = {0}, *unit_spans[METER_BEATS_MAX] = {0};
    struct frame *counted = bar->frame->counted;
    rhythm_spans(bar, notes, spans, unit_spans);
    change(bar, strikes, line, own,
           (struct counted_bar){.frame = counted,
                                .spans = counted == bar->frame ? spans : unit_spans,
                                .otherwise = bar->source->settings->subdivisions});
}

static struct grid *grid_of(struct bar_builder *bar, const struct limb_line *line)
{
    const struct settings *settings = bar->source->settings;
    const struct subdivisions *subdivisions =
        line->subdivisions ? line->subdivisions : settings->subdivisions;
    builder_use(bar->builder, subdivisions);
    return grid_get(&bar->builder->frames, settings->meter, subdivisions, settings->counting);
}

void limb_line_build(struct bar_builder *bar, const struct limb_line *line, bool own,
                     enum line_of of, struct score_line *out)
{
    struct exercise_builder *exercise = bar->exercise;
    struct line_state *state = of == LINE_OF_FEET ? &exercise->feet : &exercise->left;
    struct line_source source = {.rhythm = line->rhythm,
                                 .sticking = line->sticking,
                                 .sticking_own = own,
                                 .sounds = true,
                                 .state = state,
                                 .at = line->at};
    struct strikes strikes;
    if (line->rhythm) {
        if (!rhythm_leaves(bar, line->rhythm, bar->out->pickup, state, out))
            return;
        source.sticking_own = true; /* it has to match this rhythm stroke by stroke */
        if (!rhythm_strikes(bar, out, &source, &strikes))
            return;
        voice(bar, &strikes, line, own, of);
        if (of == LINE_OF_LEFT)
            change_notes(bar, out, &strikes, line, own);
        rhythm_settle(bar, line->rhythm, out, &strikes, state);
        line_number_tuplets(bar, out);
        return;
    }
    struct grid *grid = grid_of(bar, line);
    if (!grid->usable)
        return;
    uint32_t first_slot = bar->first_slot;
    bar->first_slot = grid_slots_before(grid, bar->out->start);
    grid_strikes(bar, grid, &source, &strikes);
    voice(bar, &strikes, line, own, of);
    if (of == LINE_OF_LEFT)
        change(bar, &strikes, line, own, grid_counted(grid, NULL));
    line_from_grid(bar, grid, &strikes, state, out);
    bar->first_slot = first_slot;
}

/* ---- feet beside the left hand ------------------------------------------------------------ */

static void report_no_value(struct bar_builder *bar, const struct leaf *foot)
{
    if (!builder_report_once(bar->builder, bar->source->left))
        return;
    const char *count = address_of_onset(bar->builder->arena, &bar->counted, foot->onset);
    diag_add(bar->builder->diags, DIAG_SUBDIVISION_FIT, foot->note->at,
             "the foot's stroke%s%s%s falls inside a note or rest of the left hand, whose line the "
             "feet join",
             count ? " on '" : "", count ? count : "", count ? "'" : "");
    diag_expected(bar->builder->diags,
                  "a stroke where a note or rest of 'left' begins: write its rests in shorter "
                  "values, or give it a finer 'subdivision'");
    diag_other(bar->builder->diags, bar->source->left->at, "the left hand's line");
}

/* What holds for all of a note cannot hold for a hand and a foot. */
static bool can_share(struct bar_builder *bar, const struct note *left, const struct note *foot)
{
    const mark_set own = MARKS_LOUD;
    if (!marks_without(left->marks | foot->marks, own) && !left->grace_count &&
        left->hit_count + foot->hit_count <= NOTE_HITS_MAX)
        return true;
    if (builder_report_once(bar->builder, bar->source->left)) {
        diag_add(
            bar->builder->diags, DIAG_CONFLICT, foot->at,
            "a foot strikes together with the left hand, and one of them has a roll, a sign or "
            "a grace note");
        diag_expected(bar->builder->diags, "accents and ghosts alone where both strike");
    }
    return false;
}

static void share_note(struct bar_builder *bar, struct note *left, const struct note *foot)
{
    mark_set loud = left->marks & MARKS_LOUD, more = foot->marks & MARKS_LOUD;
    if (!can_share(bar, left, foot))
        return;
    for (size_t i = 0; more && !loud && i < left->hit_count; i++)
        left->hits[i].plain = !left->hits[i].ghost;
    for (size_t i = 0; i < foot->hit_count; i++) {
        struct hit *hit = &left->hits[left->hit_count++];
        *hit = foot->hits[i];
        hit->plain |= loud && !more && !hit->ghost;
    }
    left->marks = marks_over(left->marks, more);
    bar->out->chords = true;
}

/* A foot of its own has no letter here: the row is the left hand's. */
static void take_note(struct leaf *leaf, struct note *foot)
{
    foot->letter = 0;
    leaf->note = foot;
    leaf->rest = leaf->whole_bar = false;
}

/* False if the feet do not fit the values of the line. */
static bool join_values(struct bar_builder *bar, struct score_line *line,
                        const struct score_line *feet)
{
    uint32_t at = 0;
    for (uint32_t i = 0; i < feet->leaf_count; i++) {
        const struct leaf *foot = &feet->leaves[i];
        if (!leaf_struck(foot))
            continue;
        while (at < line->leaf_count && fraction_compare(line->leaves[at].onset, foot->onset) < 0)
            at++;
        struct leaf *leaf = at < line->leaf_count ? &line->leaves[at] : NULL;
        if (!leaf || !fraction_equal(leaf->onset, foot->onset) || leaf->continued) {
            report_no_value(bar, foot);
            return false;
        }
        if (leaf->rest)
            take_note(leaf, foot->note);
        else if (leaf->note) /* none where the line has an error of its own */
            share_note(bar, leaf->note, foot->note);
    }
    return true;
}

/* The notes of the line on the slots of a grid. */
struct slotted {
    struct note **of_slot;
    struct grid *grid;
    uint32_t count;
};

static bool slot_notes(struct bar_builder *bar, struct slotted *slotted,
                       const struct score_line *line, bool feet)
{
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (!leaf_struck(leaf))
            continue;
        int32_t slot = grid_slot_at(slotted->grid, leaf->onset);
        if (slot < 0) {
            report_no_value(bar, leaf);
            return false;
        }
        struct note **note = &slotted->of_slot[slot];
        if (*note) {
            share_note(bar, *note, leaf->note);
            continue;
        }
        if (feet)
            leaf->note->letter = 0;
        *note = leaf->note;
        slotted->count++;
    }
    return true;
}

/* Spells the line again with the strokes of the feet on its slots. */
static void join_slots(struct bar_builder *bar, struct score_line *line,
                       const struct score_line *feet)
{
    struct builder *builder = bar->builder;
    struct grid *grid = grid_of(bar, bar->source->left);
    struct slotted all = {.of_slot =
                              arena_array(builder->arena, grid->slot_count, sizeof *all.of_slot),
                          .grid = grid};
    struct line_state *state = &bar->exercise->left;
    if (!slot_notes(bar, &all, line, false) || !slot_notes(bar, &all, feet, true))
        return;
    struct note *notes = arena_array_room(builder->arena, all.count, sizeof *notes);
    uint32_t count = 0, first_slot = bar->first_slot;
    slots_clear(&builder->sounding, grid);
    slots_clear(&builder->ringing, grid);
    for (uint32_t slot = 0; slot < grid->slot_count; slot++) {
        if (!all.of_slot[slot])
            continue;
        notes[count++] = *all.of_slot[slot];
        slots_add(&builder->sounding, slot);
    }
    bar->first_slot = grid_slots_before(grid, bar->out->start);
    line_on_grid(bar, grid, notes, state, line);
    bar->first_slot = first_slot;
}

void left_build(struct bar_builder *bar)
{
    const struct limb_line *left = bar->source->left;
    struct score_line *line = &bar->out->lines[LINE_FEET];
    const struct score_line feet = *line;
    bool own = left != bar->exercise->exercise->left;
    if (!left || !left->rhythm)
        rhythm_end_tie(bar, &bar->exercise->left);
    if (!left)
        return;
    *line = (struct score_line){0};
    bar->out->hands_apart = true;
    limb_line_build(bar, left, own, LINE_OF_LEFT, line);
    if (!line->leaf_count || !feet.leaf_count)
        return;
    if (left->rhythm)
        join_values(bar, line, &feet);
    else
        join_slots(bar, line, &feet);
}
