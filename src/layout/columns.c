#include "layout/layout_int.h"

#include <math.h>

/*
 * A bar's columns: every instant at which a note or rest of either line begins or a syllable is
 * spoken, in exact time order, with the spring that leads to the next one.
 *
 * Natural space: the shortest value sounding at a column sets the pace (Gourlay 1987), so that a
 * stretch of d out of a value s takes sqrt(s) * d / s; where one line moves alone that is sqrt(d).
 */

/* One bar on its way into the work. */
struct bar_columns {
    struct layout *layout;
    const struct staff *staff;
    const struct score_bar *bar;
    struct set_bar *set;
};

/* ---- merging ------------------------------------------------------------------------------ */

static bool feet_leaf_shown(const struct bar_columns *at, const struct leaf *leaf)
{
    return leaf->note || at->bar->settings->show->feet_rests;
}

static bool count_shown(const struct bar_columns *at, const struct count *count)
{
    enum show_counts counts = at->bar->settings->show->counts;
    return counts == SHOW_COUNTS_GRID || (counts == SHOW_COUNTS_NOTES && count->struck);
}

static uint32_t next_feet(const struct bar_columns *at, uint32_t leaf)
{
    const struct score_line *line = &at->bar->lines[LINE_FEET];
    while (leaf < line->leaf_count && !feet_leaf_shown(at, &line->leaves[leaf]))
        leaf++;
    return leaf;
}

static uint32_t next_count(const struct bar_columns *at, uint32_t count)
{
    while (count < at->bar->count_count && !count_shown(at, &at->bar->counts[count]))
        count++;
    return count;
}

/* The first of `best` and the onset: how a merge of three rows finds its next instant. */
static void sooner(struct fraction onset, bool there, struct fraction *best, bool *any)
{
    if (there && (!*any || fraction_compare(onset, *best) < 0)) {
        *best = onset;
        *any = true;
    }
}

void columns_grow(struct work *work)
{
    size_t room = work->column_room;
    work->columns = row_grow(work->columns, &work->column_room, sizeof *work->columns);
    work->springs = row_grow(work->springs, &room, sizeof *work->springs);
}

static struct column *column_push(struct work *work)
{
    if (work->column_count == work->column_room)
        columns_grow(work);
    work->springs[work->column_count] = (struct spring){0};
    return &work->columns[work->column_count++];
}

static void merge(struct bar_columns *at)
{
    const struct score_bar *bar = at->bar;
    const struct score_line *hands = &bar->lines[LINE_HANDS], *feet = &bar->lines[LINE_FEET];
    uint32_t h = 0, f = next_feet(at, 0), c = next_count(at, 0);
    for (;;) {
        struct fraction onset = FRACTION_ZERO;
        bool any = false;
        sooner(h < hands->leaf_count ? hands->leaves[h].onset : onset, h < hands->leaf_count,
               &onset, &any);
        sooner(f < feet->leaf_count ? feet->leaves[f].onset : onset, f < feet->leaf_count, &onset,
               &any);
        sooner(c < bar->count_count ? bar->counts[c].onset : onset, c < bar->count_count, &onset,
               &any);
        if (!any)
            return;
        struct column *column = column_push(&at->layout->work);
        *column = (struct column){.onset = onset, .hands = NONE, .feet = NONE, .count = NONE};
        if (h < hands->leaf_count && fraction_equal(hands->leaves[h].onset, onset))
            column->hands = h++;
        if (f < feet->leaf_count && fraction_equal(feet->leaves[f].onset, onset)) {
            column->feet = f;
            f = next_feet(at, f + 1);
        }
        if (c < bar->count_count && fraction_equal(bar->counts[c].onset, onset)) {
            column->count = c;
            c = next_count(at, c + 1);
        }
    }
}

/* ---- natural space ------------------------------------------------------------------------ */

static double natural_space(double gap, double shortest)
{
    if (shortest < gap)
        shortest = gap;
    return HOUSE_QUARTER_SPACE * sqrt(4 * shortest) * gap / shortest;
}

/* Where the whole grid is spoken its slots are read as if they sounded. */
static void grid_shortest(const struct bar_columns *at, struct column *column,
                          struct fraction *slot)
{
    if (column->count != NONE) {
        bool last = column->count + 1u == at->bar->count_count;
        struct fraction next = last ? fraction_add(at->bar->start, at->bar->length)
                                    : at->bar->counts[column->count + 1].onset;
        *slot = fraction_subtract(next, column->onset);
    }
    if (fraction_to_double(*slot) < column->shortest) {
        column->shortest = fraction_to_double(*slot);
        column->shortest_exact = *slot;
    }
}

/* Springs of the bar from the columns' instants and what sounds at each. */
static void springs_set(struct bar_columns *at)
{
    struct work *work = &at->layout->work;
    struct fraction end = fraction_add(at->bar->start, at->bar->length);
    struct fraction hands = at->bar->length, feet = at->bar->length;
    double bar_end = fraction_to_double(end), hands_length = 4, feet_length = 4;
    bool grid = at->bar->settings->show->counts == SHOW_COUNTS_GRID;
    struct fraction slot = at->bar->length;
    for (size_t i = at->set->first_column; i < work->column_count; i++) {
        struct column *column = &work->columns[i];
        bool last = i + 1 == work->column_count;
        double next = last ? bar_end : fraction_to_double(column[1].onset);
        double gap = next - fraction_to_double(column->onset);
        if (column->hands != NONE) {
            hands = at->bar->lines[LINE_HANDS].leaves[column->hands].length;
            hands_length = fraction_to_double(hands);
        }
        if (column->feet != NONE) {
            feet = at->bar->lines[LINE_FEET].leaves[column->feet].length;
            feet_length = fraction_to_double(feet);
        }
        column->shortest_exact = hands_length < feet_length ? hands : feet;
        column->shortest = hands_length < feet_length ? hands_length : feet_length;
        if (grid)
            grid_shortest(at, column, &slot);
        work->springs[i].natural = natural_space(gap, column->shortest);
        if (last)
            work->springs[i].natural *= HOUSE_CLOSING_GAP / 1000.0;
    }
}

/* ---- notes -------------------------------------------------------------------------------- */

/* Whether every struck or continued note of the feet in this beat meets a struck note of the
   hands: only then do they hang on the hands' stems. */
static bool feet_meet_hands(const struct bar_columns *at, uint16_t beat)
{
    const struct work *work = &at->layout->work;
    const struct score_line *hands = &at->bar->lines[LINE_HANDS];
    const struct score_line *feet = &at->bar->lines[LINE_FEET];
    for (size_t i = at->set->first_column; i < work->column_count; i++) {
        const struct column *column = &work->columns[i];
        if (column->feet == NONE || feet->leaves[column->feet].beat != beat ||
            !feet->leaves[column->feet].note)
            continue;
        if (column->hands == NONE || !hands->leaves[column->hands].note)
            return false;
    }
    return true;
}

static struct set_note *note_push(struct bar_columns *at, const struct leaf *leaf, int line)
{
    struct work *work = &at->layout->work;
    if (work->note_count == work->note_room)
        work->notes = row_grow(work->notes, &work->note_room, sizeof *work->notes);
    struct set_note *note = &work->notes[work->note_count++];
    note->leaf = leaf;
    note->chord.count = 0;
    note->chord.stem_x = note->chord.centre = note->chord.left = note->chord.right = 0;
    note->column = NONE;
    note->hidden = line == LINE_FEET && !feet_leaf_shown(at, leaf);
    note->up = line == LINE_HANDS;
    note->beamed = false;
    note->beams = (uint8_t)value_beams(leaf->value_log2);
    note->rest_y = rest_y(at->staff, leaf, line);
    return note;
}

static void notes_push(struct bar_columns *at, int line)
{
    const struct score_line *from = &at->bar->lines[line];
    at->set->first_note[line] = at->layout->work.note_count;
    at->set->note_count[line] = from->leaf_count;
    for (uint32_t i = 0; i < from->leaf_count; i++)
        note_push(at, &from->leaves[i], line);
}

/* A foot's head that would lie on a hand's moves to its right, past its dots. */
static void part_heads(const struct bar_columns *at, const struct chord *hands, struct chord *feet)
{
    for (int h = 0; h < hands->count; h++)
        for (int f = 0; f < feet->count; f++) {
            int apart = hands->heads[h].line2 - feet->heads[f].line2;
            if (apart < 2 && apart > -2) {
                chord_shift(feet, hands->right + chord_dots_width(at->layout->metrics, hands) -
                                      feet->left);
                return;
            }
        }
}

/* A rest moves away from what the other line has in its column, by whole spaces. */
static void part_rest(const struct bar_columns *at, struct set_note *rest,
                      const struct set_note *other)
{
    const struct glyph_metrics *glyphs = at->layout->metrics->glyphs;
    const struct box *ink = &glyphs[rest_glyph(rest->leaf->value_log2)].ink;
    sp top, bottom;
    if (other->chord.count) {
        const struct chord_head *low = &other->chord.heads[0];
        const struct chord_head *high = &other->chord.heads[other->chord.count - 1];
        top = high->y + glyphs[high->glyph].ink.top;
        bottom = low->y + glyphs[low->glyph].ink.bottom;
    } else {
        const struct box *box = &glyphs[rest_glyph(other->leaf->value_log2)].ink;
        top = other->rest_y + box->top;
        bottom = other->rest_y + box->bottom;
    }
    if (rest->up)
        while (rest->rest_y + ink->bottom > top)
            rest->rest_y -= HOUSE_REST_STEP;
    else
        while (rest->rest_y + ink->top < bottom)
            rest->rest_y += HOUSE_REST_STEP;
}

static void rests_part(const struct bar_columns *at, struct set_note *hands, struct set_note *feet)
{
    if (hands->hidden || feet->hidden || at->staff->one_line)
        return;
    if (!hands->chord.count && !hands->leaf->whole_bar)
        part_rest(at, hands, feet);
    if (!feet->chord.count && !feet->leaf->whole_bar)
        part_rest(at, feet, hands);
}

static void chords_set(struct bar_columns *at)
{
    struct layout *layout = at->layout;
    struct work *work = &layout->work;
    for (size_t i = at->set->first_column; i < work->column_count; i++) {
        const struct column *column = &work->columns[i];
        struct set_note *hands = NULL, *feet = NULL;
        if (column->hands != NONE)
            hands = &work->notes[at->set->first_note[LINE_HANDS] + column->hands];
        if (column->feet != NONE)
            feet = &work->notes[at->set->first_note[LINE_FEET] + column->feet];
        if (feet && feet->leaf->note && hands && hands->leaf->note && at->staff->join_feet)
            feet->hidden = feet_meet_hands(at, feet->leaf->beat);
        if (hands) {
            hands->column = (uint32_t)i;
            if (hands->leaf->note)
                chord_shape(layout->score, layout->metrics, at->staff, hands->leaf,
                            feet && feet->leaf->note && feet->hidden ? feet->leaf : NULL, true,
                            &hands->chord);
        }
        if (feet) {
            feet->column = (uint32_t)i;
            if (feet->leaf->note && !feet->hidden)
                chord_shape(layout->score, layout->metrics, at->staff, feet->leaf, NULL, false,
                            &feet->chord);
            if (hands && hands->chord.count && feet->chord.count)
                part_heads(at, &hands->chord, &feet->chord);
            if (hands)
                rests_part(at, hands, feet);
        }
    }
}

void columns_add_bar(struct layout *layout, const struct staff *staff, uint32_t index)
{
    struct work *work = &layout->work;
    struct set_bar *set = row_push(work->bars, work->bar_count, work->bar_room);
    struct bar_columns at = {.layout = layout, .staff = staff, .set = set};
    at.bar = set->bar = &staff->exercise->bars[index];
    set->index = index;
    set->first_column = work->column_count;
    merge(&at);
    set->column_count = work->column_count - set->first_column;
    notes_push(&at, LINE_HANDS);
    notes_push(&at, LINE_FEET);
    chords_set(&at);
    beams_mark(layout, staff, set);
    springs_set(&at);
    rods_set(layout, staff, set);
}
