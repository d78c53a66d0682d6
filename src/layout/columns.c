#include "layout/beams.h"
#include "layout/feet_rests.h"
#include "layout/layout_state.h"
#include "layout/natural_space.h"
#include "layout/notes.h"
#include "layout/signs.h"

/*
 * A bar into the work:
 *
 *     1. notes       each leaf becomes a note or rest; rests of the feet may be hidden
 *     2. merge       every instant at which one that is seen begins, or a syllable is spoken, is a
 *                    column, in exact time order
 *     3. heads       feet that meet the hands may hang on their stems; heads and rests of the two
 *                    lines step out of each other's way
 *     4. beams       which notes share one (beams.c)
 *     5. springs     each column leads to the next with a natural length (natural_space.c)
 *     6. rods        and a least one, from the ink (rods.c)
 */

/* One bar on its way into the work. */
struct bar_columns {
    struct layout *layout;
    struct work *work;
    const struct score_bar *bar;
    struct set_bar *set;
};

/* ---- notes -------------------------------------------------------------------------------- */

static void notes_push(struct bar_columns *at, int line)
{
    const struct score_line *from = &at->bar->lines[line];
    size_t first = at->work->notes.count;
    bool all = at->bar->hands_apart || at->bar->settings->show->feet_rests;
    at->set->notes[line] = (struct range){first, first + from->leaf_count};
    for (uint32_t i = 0; i < from->leaf_count; i++) {
        const struct leaf *leaf = &from->leaves[i];
        struct set_note *note = vector_push(&at->work->notes, NULL);
        note->leaf = leaf;
        note->column = NONE;
        note->hidden = line == LINE_FEET && !leaf->note && !all;
        note->up = line == LINE_HANDS;
        note->beams = (uint8_t)value_beams(leaf->value_log2);
        note->rest_glyph =
            (uint16_t)(at->bar->slashes ? GLYPH_SLASH : rest_glyph(leaf->value_log2));
    }
    if (line == LINE_FEET)
        feet_rests_show(at->bar, at->work->notes.items + first);
}

/* ---- merging ------------------------------------------------------------------------------ */

static bool count_shown(const struct bar_columns *at, const struct count *count)
{
    enum show_counts counts = at->bar->settings->show->counts;
    if (at->layout->staff->even_counts && count_is_feets_tuplet(at->bar, count))
        return false;
    return counts == SHOW_COUNTS_GRID || (counts == SHOW_COUNTS_NOTES && count->struck);
}

static void merge(struct bar_columns *at)
{
    const struct score_bar *bar = at->bar;
    const struct score_line *hands = &bar->lines[LINE_HANDS], *feet = &bar->lines[LINE_FEET];
    const struct score_line none = {0}, *figures = bar->figures ? bar->figures : &none;
    const struct set_note *steps = at->work->notes.items + at->set->notes[LINE_FEET].first;
    uint32_t h = 0, f = 0, c = 0, g = 0;
    for (;;) {
        while (f < feet->leaf_count && steps[f].hidden)
            f++;
        while (c < bar->count_count && !count_shown(at, &bar->counts[c]))
            c++;
        const struct fraction *onsets[] = {
            h < hands->leaf_count ? &hands->leaves[h].onset : NULL,
            f < feet->leaf_count ? &feet->leaves[f].onset : NULL,
            c < bar->count_count ? &bar->counts[c].onset : NULL,
            g < figures->leaf_count ? &figures->leaves[g].onset : NULL,
        };
        const struct fraction *soonest = NULL;
        for (int i = 0; i < 4; i++)
            if (onsets[i] && (!soonest || fraction_compare(*onsets[i], *soonest) < 0))
                soonest = onsets[i];
        if (!soonest)
            return;
        bool now[4];
        for (int i = 0; i < 4; i++)
            now[i] = onsets[i] && fraction_equal(*onsets[i], *soonest);
        vector_push(&at->work->springs, NULL);
        *vector_push(&at->work->columns, NULL) = (struct column){.onset = *soonest,
                                                                 .hands = now[0] ? h : NONE,
                                                                 .feet = now[1] ? f : NONE,
                                                                 .count = now[2] ? c : NONE,
                                                                 .figure = now[3] ? g : NONE};
        h += now[0];
        f += now[1];
        c += now[2];
        g += now[3];
    }
}

/* ---- heads -------------------------------------------------------------------------------- */

/* Whether every struck or continued note of the feet in this beat meets a note of the hands: only
   then do the feet hang on the hands' stems. */
static bool feet_meet_hands(const struct bar_columns *at, uint16_t beat)
{
    const struct leaf *hands = at->bar->lines[LINE_HANDS].leaves;
    const struct leaf *feet = at->bar->lines[LINE_FEET].leaves;
    for (size_t i = at->set->columns.first; i < at->set->columns.end; i++) {
        const struct column *column = &at->work->columns.items[i];
        bool foot =
            column->feet != NONE && feet[column->feet].beat == beat && feet[column->feet].note;
        if (foot && (column->hands == NONE || !hands[column->hands].note))
            return false;
    }
    return true;
}

/* Whether both hands strike one drum in values of the same head: one head has both stems. */
static bool shares_head(const struct chord *hands, const struct chord *left)
{
    const struct chord_head *low = &hands->heads[0], *high = &left->heads[left->count - 1];
    return low->line2 == high->line2 && low->glyph == high->glyph && low->ghost == high->ghost &&
           hands->dots == left->dots;
}

static bool has_ghost(const struct chord *chord)
{
    for (int i = 0; i < chord->count; i++)
        if (chord->heads[i].ghost)
            return true;
    return false;
}

/* A foot's head that would lie on a hand's moves to its right, past its dots. A parenthesis keeps
   clear of the other's head. */
static void part_heads(const struct bar_columns *at, const struct chord *hands, struct chord *feet)
{
    if (at->bar->hands_apart && shares_head(hands, feet))
        return;
    for (int h = 0; h < hands->count; h++)
        for (int f = 0; f < feet->count; f++) {
            int apart = hands->heads[h].line2 - feet->heads[f].line2;
            if (apart < 2 && apart > -2) {
                sp white = has_ghost(hands) || has_ghost(feet) ? HOUSE_GHOST_CLEAR : 0;
                chord_shift(feet, hands->right + chord_dots_width(at->layout, hands) + white -
                                      feet->left);
                return;
            }
        }
}

/* How far slashes or a buzz reach to each side of the note's stem. */
static sp mark_reach(const struct bar_columns *at, const struct set_note *note)
{
    enum glyph glyph = marks_glyph(note->leaf->note->marks, MARK_AT_STEM, note->up);
    return glyph == GLYPH_NONE ? 0 : box_width(glyph_ink(at->layout, glyph)) / 2;
}

/* How far legers reach past the heads of a chord that has any. */
static sp leger_reach(const struct bar_columns *at, const struct chord *chord)
{
    for (int i = 0; i < chord->count; i++)
        if (staff_legers(at->layout->staff, chord->heads[i].line2))
            return at->layout->defaults->leger_extension;
    return 0;
}

/* Where the right hand plays below the left one the stems pass each other's heads. True if so. */
static bool part_crossed(const struct bar_columns *at, const struct set_note *right,
                         struct set_note *left)
{
    const struct chord *low = &right->chord;
    struct chord *high = &left->chord;
    if (!at->bar->hands_apart || low->heads[0].line2 >= high->heads[high->count - 1].line2)
        return false;
    sp gap = HOUSE_CROSSED + mark_reach(at, right) + leger_reach(at, low) + mark_reach(at, left) +
             leger_reach(at, high);
    chord_shift(high, low->right + chord_dots_width(at->layout, low) + gap - high->left);
    return true;
}

/* A column's note of the hands or feet; NULL if it has none. */
static struct set_note *column_note(const struct bar_columns *at, int line, uint32_t leaf,
                                    size_t column)
{
    if (leaf == NONE)
        return NULL;
    struct set_note *note = &at->work->notes.items[at->set->notes[line].first + leaf];
    note->column = (uint32_t)column;
    return note;
}

static void column_set(const struct bar_columns *at, size_t index)
{
    const struct column *column = &at->work->columns.items[index];
    struct set_note *hands = column_note(at, LINE_HANDS, column->hands, index);
    struct set_note *feet = column_note(at, LINE_FEET, column->feet, index);
    bool struck = hands && hands->leaf->note, foot = feet && feet->leaf->note;
    if (struck && foot && at->layout->staff->join_feet)
        feet->hidden = feet_meet_hands(at, feet->leaf->beat);
    bool joined = foot && feet->hidden;
    if (struck)
        chord_shape(at->layout, hands->leaf, joined ? feet->leaf : NULL, true, &hands->chord);
    if (foot && !joined)
        chord_shape(at->layout, feet->leaf, NULL, false, &feet->chord);
    if (!hands || !feet)
        return;
    if (hands->chord.count && feet->chord.count && !part_crossed(at, hands, feet))
        part_heads(at, &hands->chord, &feet->chord);
}

/* ---- rests -------------------------------------------------------------------------------- */

static struct set_note *notes_of(const struct bar_columns *at, int line, size_t *count)
{
    struct range all = at->set->notes[line];
    *count = all.end - all.first;
    return at->work->notes.items + all.first;
}

/* Whether the feet show any ink. A bar in which everyone is silent has one rest. */
static bool feet_seen(const struct bar_columns *at)
{
    size_t hands_count, count;
    const struct set_note *hands = notes_of(at, LINE_HANDS, &hands_count);
    struct set_note *feet = notes_of(at, LINE_FEET, &count);
    if (hands_count == 1 && hands->leaf->whole_bar && count == 1 && feet->leaf->whole_bar)
        feet->hidden = true;
    for (size_t i = 0; i < count; i++)
        if (!feet[i].hidden)
            return true;
    return false;
}

/* Rests stand about the middle line; a whole rest hangs from the line above it. Where hands and
   feet share the bar each has its own half of the staff. All but the whole rest keep to lines. */
static sp rest_y(const struct bar_columns *at, const struct leaf *leaf, int line, bool feet)
{
    bool whole = leaf->value_log2 == 0 || leaf->whole_bar;
    if (at->layout->staff->one_line)
        return line == LINE_FEET ? HOUSE_REST_FEET_BELOW : 0;
    sp y = line == LINE_FEET ? HOUSE_REST_FEET : feet ? HOUSE_REST_TWO_VOICES : 2000;
    return y - (whole ? 1000 : 0);
}

static struct box rest_ink(const struct bar_columns *at, const struct set_note *rest)
{
    return glyph_ink(at->layout, rest_glyph(rest->leaf->whole_bar ? 0 : rest->leaf->value_log2));
}

/* Moves a rest clear of the other line's ink in its column, by whole spaces. */
static void part_rest(const struct bar_columns *at, struct set_note *rest,
                      const struct set_note *other)
{
    struct box ink = rest_ink(at, rest);
    sp top, bottom;
    if (other->chord.count) {
        const struct chord_head *low = &other->chord.heads[0];
        const struct chord_head *high = &other->chord.heads[other->chord.count - 1];
        top = high->y + glyph_ink(at->layout, high->glyph).top;
        bottom = low->y + glyph_ink(at->layout, low->glyph).bottom;
        if (leaf_struck(other->leaf) && other->leaf->note->grace_count)
            bottom = sp_max(bottom, graces_boxes(at->layout, other, false).slur.bottom);
    } else {
        struct box box = rest_ink(at, other);
        top = other->rest_y + box.top;
        bottom = other->rest_y + box.bottom;
    }
    if (rest->up)
        while (rest->rest_y + ink.bottom + HOUSE_REST_APART > top)
            rest->rest_y -= HOUSE_REST_STEP;
    else
        while (rest->rest_y + ink.top - HOUSE_REST_APART < bottom)
            rest->rest_y += HOUSE_REST_STEP;
}

static void rests_part(const struct bar_columns *at, const struct column *column)
{
    if (column->hands == NONE || column->feet == NONE)
        return;
    struct set_note *hands = &at->work->notes.items[at->set->notes[LINE_HANDS].first];
    struct set_note *feet = &at->work->notes.items[at->set->notes[LINE_FEET].first];
    hands += column->hands;
    feet += column->feet;
    if (hands->hidden || feet->hidden)
        return;
    if (!hands->chord.count && !hands->leaf->whole_bar)
        part_rest(at, hands, feet);
    if (!feet->chord.count && !feet->leaf->whole_bar)
        part_rest(at, feet, hands);
}

static void rests_set(const struct bar_columns *at)
{
    bool feet = feet_seen(at);
    for (int line = 0; line < LINE_COUNT; line++) {
        size_t count;
        struct set_note *notes = notes_of(at, line, &count);
        for (size_t i = 0; i < count; i++)
            notes[i].rest_y = rest_y(at, notes[i].leaf, line, feet);
    }
    for (size_t i = at->set->columns.first; i < at->set->columns.end; i++)
        rests_part(at, &at->work->columns.items[i]);
}

/* Where the right hand plays below the left one, stems, flags and beams go past the other's heads.
 */
static void hands_clear(const struct bar_columns *at)
{
    struct set_note *notes = at->work->notes.items;
    sp edges[LINE_COUNT] = {INT32_MIN, INT32_MAX}; /* the lowest and the highest of their heads */
    for (int line = 0; line < LINE_COUNT; line++)
        for (size_t n = at->set->notes[line].first; n < at->set->notes[line].end; n++)
            for (int h = 0; h < notes[n].chord.count; h++) {
                const struct chord_head *head = &notes[n].chord.heads[h];
                struct box ink = glyph_ink(at->layout, (enum glyph)head->glyph);
                edges[line] = line == LINE_HANDS ? sp_max(edges[line], head->y + ink.bottom)
                                                 : sp_min(edges[line], head->y + ink.top);
            }
    if (edges[LINE_HANDS] <= edges[LINE_FEET])
        return;
    for (int line = 0; line < LINE_COUNT; line++)
        for (size_t n = at->set->notes[line].first; n < at->set->notes[line].end; n++) {
            notes[n].crosses = true;
            notes[n].clear = line == LINE_HANDS ? edges[LINE_FEET] - HOUSE_CROSSED
                                                : edges[LINE_HANDS] + HOUSE_CROSSED;
        }
}

struct set_bar *columns_add_bar(struct layout *layout, uint32_t index)
{
    struct work *work = &layout->work;
    struct set_bar *set = vector_push(&work->bars, NULL);
    struct bar_columns at = {.layout = layout, .work = work, .set = set};
    at.bar = set->bar = &layout->staff->exercise->bars[index];
    set->index = index;
    notes_push(&at, LINE_HANDS);
    notes_push(&at, LINE_FEET);
    set->columns.first = work->columns.count;
    merge(&at);
    set->columns.end = work->columns.count;
    for (size_t i = set->columns.first; i < set->columns.end; i++)
        column_set(&at, i);
    rests_set(&at);
    if (at.bar->hands_apart)
        hands_clear(&at);
    beams_mark(layout, set);
    natural_space_set(work, set);
    rods_set(layout, set);
    return set;
}
