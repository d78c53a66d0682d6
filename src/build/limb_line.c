/*
 * Builds a separate line for the feet, or for the left hand beside the right: from a rhythm or on
 * a grid, like the hands' line.
 *
 * If the left hand has a line, the feet join it. A foot shares the note that it strikes with, or
 * takes the place of a rest; on a grid it may use any slot. A note lasts under the strokes of the
 * feet inside it, such as a brush's half note under a foot on 2 and 4: the leaves of the line then
 * overlap. Anywhere else it is an error.
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
                  bar->source->left->rhythm
                      ? "a stroke where a note or rest of 'left' begins, or inside one that has no "
                        "tie and is in no tuplet"
                      : "a stroke on a slot of 'left': give it a finer 'subdivision', or a "
                        "'rhythm'");
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

/* The line of the left hand while the feet join it. */
struct weave {
    struct bar_builder *bar;
    const struct score_line *line, *feet;
    struct leaf *leaves;
    uint32_t *places; /* of the line's own leaves, in `leaves` */
    uint32_t count;
    uint32_t foot; /* the next leaf of the feet */
};

/* The feet's next stroke before `end`; NULL: there is none. */
static const struct leaf *next_stroke(struct weave *weave, struct fraction end)
{
    for (; weave->foot < weave->feet->leaf_count; weave->foot++) {
        const struct leaf *foot = &weave->feet->leaves[weave->foot];
        if (fraction_compare(foot->onset, end) >= 0)
            return NULL;
        if (leaf_struck(foot))
            return foot;
    }
    return NULL;
}

/* Whether a note lasts under the strokes of the feet inside it. A tie leads to the next leaf, so
   that nothing can stand between. */
static bool lasts(const struct weave *weave, uint32_t number, const struct leaf *foot)
{
    const struct leaf *leaf = &weave->line->leaves[number];
    bool leads_on = leaf->tied || (number + 1 == weave->line->leaf_count &&
                                   weave->bar->exercise->left.tie.file != NULL);
    return leaf->note && !(leaf->note->marks & MARK_RING) && !leads_on &&
           leaf->tuplet == LEAF_NO_TUPLET && foot->tuplet == LEAF_NO_TUPLET;
}

static void add_foot_leaf(struct weave *weave, const struct leaf *foot)
{
    struct leaf *leaf = &weave->leaves[weave->count++];
    *leaf = *foot;
    leaf->tied = leaf->whole_bar = false;
    if (leaf->note)
        leaf->note->letter = 0;
}

/* Puts the feet's notes and rests in place of a rest that lasts as long. False if there are none.
 */
static bool fill_rest(struct weave *weave, const struct leaf *rest, struct fraction end)
{
    const struct score_line *feet = weave->feet;
    uint32_t first = 0, last;
    while (first < feet->leaf_count && fraction_compare(feet->leaves[first].onset, rest->onset) < 0)
        first++;
    struct fraction at = rest->onset;
    for (last = first; last < feet->leaf_count; last++) {
        const struct leaf *foot = &feet->leaves[last];
        if (!fraction_equal(foot->onset, at) || foot->tuplet != LEAF_NO_TUPLET || foot->continued ||
            fraction_compare(at, end) >= 0)
            break;
        at = fraction_add(at, foot->length);
    }
    if (!fraction_equal(at, end) || rest->tuplet != LEAF_NO_TUPLET)
        return false;
    for (; first < last; first++)
        add_foot_leaf(weave, &feet->leaves[first]);
    weave->foot = last;
    return true;
}

static struct leaf *add_own_leaf(struct weave *weave, uint32_t number)
{
    weave->places[number] = weave->count;
    struct leaf *leaf = &weave->leaves[weave->count++];
    *leaf = weave->line->leaves[number];
    return leaf;
}

/* A stroke alone at the beginning of a rest takes its value; others bring their own. */
static bool weave_rest(struct weave *weave, uint32_t number, struct fraction end)
{
    const struct leaf *own = &weave->line->leaves[number];
    const struct leaf *foot = next_stroke(weave, end);
    uint32_t first = weave->foot;
    if (foot) {
        weave->foot++;
        bool alone = fraction_equal(foot->onset, own->onset) && !next_stroke(weave, end);
        weave->foot = alone ? first + 1 : first;
        if (!alone) {
            weave->places[number] = weave->count;
            return fill_rest(weave, own, end);
        }
    }
    struct leaf *leaf = add_own_leaf(weave, number);
    if (foot)
        take_note(leaf, foot->note);
    return true;
}

/* A note with the strokes of the feet at its beginning and inside it. */
static bool weave_note(struct weave *weave, uint32_t number, struct fraction end)
{
    struct leaf *leaf = add_own_leaf(weave, number);
    const struct leaf *foot = next_stroke(weave, end);
    if (foot && fraction_equal(foot->onset, leaf->onset)) {
        if (leaf->continued)
            return false;
        if (leaf->note) /* none where the line has an error of its own */
            share_note(weave->bar, leaf->note, foot->note);
        weave->foot++;
    }
    while ((foot = next_stroke(weave, end))) {
        if (!lasts(weave, number, foot))
            return false;
        add_foot_leaf(weave, foot);
        weave->foot++;
    }
    return true;
}

/* False, and reported, if the feet do not fit this leaf of the line. */
static bool weave_leaf(struct weave *weave, uint32_t number)
{
    const struct leaf *own = &weave->line->leaves[number];
    struct fraction end = fraction_add(own->onset, own->length);
    bool fits = own->rest ? weave_rest(weave, number, end) : weave_note(weave, number, end);
    if (!fits)
        report_no_value(weave->bar, next_stroke(weave, end));
    return fits;
}

static void join_values(struct bar_builder *bar, struct score_line *line,
                        const struct score_line *feet)
{
    struct arena *arena = bar->builder->arena;
    size_t most = (size_t)line->leaf_count + feet->leaf_count;
    struct weave weave = {.bar = bar,
                          .line = line,
                          .feet = feet,
                          .leaves = arena_array_room(arena, most, sizeof *weave.leaves),
                          .places =
                              arena_array_room(arena, line->leaf_count, sizeof *weave.places)};
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (!weave_leaf(&weave, i))
            return;
    for (uint16_t i = 0; i < line->tuplet_count; i++) {
        struct tuplet *tuplet = &line->tuplets[i];
        tuplet->end = weave.places[tuplet->end - 1] + 1;
        tuplet->first = weave.places[tuplet->first];
    }
    struct line_state *state = &bar->exercise->left;
    if (state->last)
        state->last = &weave.leaves[weave.places[line->leaf_count - 1]];
    line->leaves = weave.leaves;
    line->leaf_count = weave.count;
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
