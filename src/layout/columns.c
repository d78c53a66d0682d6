#include "layout/layout_int.h"

#include <math.h>

/*
 * A bar's columns: every instant at which a note or rest of either line begins or a syllable is
 * spoken, in exact time order, with the spring that leads to the next one.
 *
 * Natural space: the shortest value sounding at a column sets the pace (Gourlay 1987), so that a
 * stretch of d out of a value s takes sqrt(s) * d / s; where one line moves alone that is sqrt(d).
 *
 * Rods: ink is sorted into half spaces of height (slots); a column must clear the last ink in each
 * of its slots, which may be several columns back. Rows of text have slots of their own.
 */
enum {
    SLOT_LOWEST = -6, /* twice the staff place of slot 0 */
    SLOT_STAFF_END = 28,
    SLOT_ABOVE = 28, /* accents and open signs, wherever the stem ends */
    SLOT_COUNTS = 29,
    SLOT_FEET_STICKING = 30,
    SLOT_STICKING = 31,
    SLOTS = 32,
    INKS_MAX = 40
};

struct ink {
    uint32_t slots;
    sp left, right; /* from the column */
};

struct reach {
    size_t column;
    sp right;
};

/* One bar on its way into the work. */
struct bar_columns {
    struct layout *layout;
    const struct staff *staff;
    const struct score_bar *bar;
    struct set_bar *set;
    struct ink inks[INKS_MAX];
    int ink_count;
    struct reach reach[SLOTS];
    uint32_t reached; /* slots with ink so far */
};

static uint32_t slots_between(sp top, sp bottom)
{
    /* A sixteenth of a space of overlap is not a touch: heads a space apart just meet. */
    int low = (5000 - bottom + 60) / 500 - SLOT_LOWEST;
    int high = (5000 - top - 60 + 499) / 500 - SLOT_LOWEST;
    low = low < 0 ? 0 : low >= SLOT_STAFF_END ? SLOT_STAFF_END - 1 : low;
    high = high > SLOT_STAFF_END ? SLOT_STAFF_END : high <= low ? low + 1 : high;
    return (uint32_t)(((UINT64_C(1) << high) - 1) & ~((UINT64_C(1) << low) - 1));
}

static void ink_add(struct bar_columns *at, uint32_t slots, sp left, sp right)
{
    if (at->ink_count < INKS_MAX)
        at->inks[at->ink_count++] = (struct ink){slots, left, right};
}

static void ink_label(struct bar_columns *at, int slot, enum text_style style, const char *text)
{
    const struct short_label *label =
        label_short(&at->layout->labels, at->layout->metrics, style, text);
    sp half = (label->right - label->left + 1) / 2;
    ink_add(at, UINT32_C(1) << slot, -half, half);
}

static sp leger_reach(const struct bar_columns *at, int line2)
{
    bool beyond = line2 >= HOUSE_LEGER_UP || line2 <= HOUSE_LEGER_DOWN;
    return beyond && !at->staff->one_line ? at->layout->defaults->leger_extension : 0;
}

static void ink_heads(struct bar_columns *at, const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        struct box ink = at->layout->metrics->glyphs[head->glyph].ink;
        bool ghost = head->ghost;
        if (ghost) {
            const struct box *side = &at->layout->metrics->glyphs[GLYPH_PARENTHESIS_LEFT].ink;
            ink.top = sp_min(ink.top, side->top);
            ink.bottom = sp_max(ink.bottom, side->bottom);
        }
        sp leger = leger_reach(at, head->line2);
        ink_add(at, slots_between(head->y + ink.top, head->y + ink.bottom),
                (ghost ? chord->left : head->left) - leger,
                (ghost ? chord->right : head->right) + leger);
    }
}

static sp dots_width(const struct bar_columns *at, const struct chord *chord)
{
    sp dot = box_width(at->layout->metrics->glyphs[GLYPH_AUGMENTATION_DOT].ink);
    return chord->dots * (HOUSE_DOT_GAP + dot);
}

/* Dots stand beside their heads, or a space off where two heads would share one. */
static void ink_dots(struct bar_columns *at, const struct chord *chord)
{
    sp right = chord->right + dots_width(at, chord);
    for (int i = 0; i < chord->count && chord->dots; i++)
        ink_add(at, slots_between(chord->heads[i].y - 1000, chord->heads[i].y + 1000), chord->right,
                right);
}

static void ink_stem(struct bar_columns *at, const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    if (note->leaf->value_log2 == 0)
        return;
    sp end = chord->near + (note->up ? -HOUSE_STEM_LENGTH : HOUSE_STEM_LENGTH);
    sp half = at->layout->defaults->stem / 2, right = half, left = half;
    enum glyph mark =
        leaf_struck(note->leaf) ? stem_mark_glyph(note->leaf->note->marks) : GLYPH_NONE;
    if (note->beams) /* a flag, should it stand alone; under a beam its place is free anyway */
        right = note->beamed ? half : box_width(at->layout->metrics->glyphs[GLYPH_FLAG_8_UP].ink);
    if (mark != GLYPH_NONE) {
        left = sp_max(left, box_width(at->layout->metrics->glyphs[mark].ink) / 2);
        right = sp_max(right, left);
    }
    ink_add(at, slots_between(sp_min(end, chord->near), sp_max(end, chord->near)),
            chord->stem_x - left, chord->stem_x + right);
}

static bool letters_shown(const struct bar_columns *at)
{
    return at->bar->settings->show->sticking;
}

static void ink_graces(struct bar_columns *at, const struct set_note *note)
{
    if (!note->leaf->note->grace_count || !leaf_struck(note->leaf))
        return;
    bool letters = letters_shown(at) && note->leaf->note->letter;
    sp reach = graces_reach(at->layout, note->leaf, &note->chord, letters);
    sp y = note->chord.heads[0].y;
    sp leger = leger_reach(at, note->chord.heads[0].line2);
    ink_add(at, slots_between(y - HOUSE_GRACE_STEM - 500, y + HOUSE_GRACE_DEPTH), -reach - leger,
            note->chord.left);
    if (letters)
        ink_add(at, UINT32_C(1) << SLOT_STICKING, -reach, 0);
}

static void ink_above(struct bar_columns *at, const struct set_note *note)
{
    if (leaf_struck(note->leaf) && note->leaf->note->marks & (MARK_ACCENT | MARK_STRONG_ACCENT)) {
        sp half = box_width(at->layout->metrics->glyphs[GLYPH_ACCENT_ABOVE].ink) / 2;
        ink_add(at, UINT32_C(1) << SLOT_ABOVE, -half, half);
    }
}

static void ink_letter(struct bar_columns *at, const struct set_note *note, int line)
{
    if (!letters_shown(at) || !leaf_struck(note->leaf) || !note->leaf->note->letter)
        return;
    const char *text = letter_text(note->leaf->note->letter);
    if (line == LINE_HANDS)
        ink_label(at, SLOT_STICKING, TEXT_STICKING, text);
    else
        ink_label(at, SLOT_FEET_STICKING, TEXT_STICKING_FEET, text);
}

static void ink_rest(struct bar_columns *at, const struct set_note *note)
{
    if (note->leaf->whole_bar) /* centred in its bar, clear of every column */
        return;
    const struct box *ink = &at->layout->metrics->glyphs[rest_glyph(note->leaf->value_log2)].ink;
    sp half = box_width(*ink) / 2, y = note->rest_y;
    sp dots = note->leaf->dots * 2 * HOUSE_DOT_GAP;
    ink_add(at, slots_between(y + ink->top, y + ink->bottom), -half, half + dots);
}

static void ink_note(struct bar_columns *at, uint32_t leaf, int line)
{
    if (leaf == NONE)
        return;
    const struct set_note *note = &at->layout->work.notes[at->set->first_note[line] + leaf];
    if (note->hidden)
        return;
    if (!note->chord.count) {
        ink_rest(at, note);
        return;
    }
    ink_heads(at, note);
    ink_dots(at, &note->chord);
    ink_stem(at, note);
    ink_graces(at, note);
    ink_above(at, note);
    ink_letter(at, note, line);
}

enum text_style count_style(const struct staff *staff, const struct count *count)
{
    if (!count->struck)
        return TEXT_COUNT_SILENT;
    if (count->beat_number)
        return TEXT_COUNT_BEAT;
    return staff->counts_tight ? TEXT_COUNT_TIGHT : TEXT_COUNT;
}

/* ---- rods --------------------------------------------------------------------------------- */

static sp slot_gap(int slot)
{
    return slot >= SLOT_COUNTS ? HOUSE_TEXT_GAP : HOUSE_INK_GAP;
}

/* Ink that reaches over several springs raises the rods of all in proportion to their naturals. */
static void rod_over(struct spring *springs, size_t from, size_t to, sp least)
{
    if (to == from + 1) {
        springs[from].rod = sp_max(springs[from].rod, least);
        return;
    }
    double natural = 0;
    for (size_t i = from; i < to; i++)
        natural += springs[i].natural;
    for (size_t i = from; i < to && natural > 0; i++)
        springs[i].rod = sp_max(springs[i].rod, (sp)ceil(least * springs[i].natural / natural));
}

static void rods_to(struct bar_columns *at, size_t column, const struct ink *ink, sp extra)
{
    struct spring *springs = at->layout->work.springs;
    const struct column *columns = at->layout->work.columns;
    for (uint32_t rest = ink->slots & at->reached; rest; rest &= rest - 1) {
        int slot = __builtin_ctz(rest);
        const struct reach *reach = &at->reach[slot];
        sp least = reach->right - ink->left + (extra ? extra : slot_gap(slot));
        sp already =
            columns[column - 1].tight - columns[reach->column].tight + springs[column - 1].rod;
        if (least > already)
            rod_over(springs, reach->column, column, least);
    }
}

static void reach_of(struct bar_columns *at, size_t column, const struct ink *ink)
{
    for (uint32_t rest = ink->slots; rest; rest &= rest - 1) {
        struct reach *reach = &at->reach[__builtin_ctz(rest)];
        bool fresh = !(at->reached & (rest & -rest)) || reach->column != column;
        reach->right = fresh ? ink->right : sp_max(reach->right, ink->right);
        reach->column = column;
    }
    at->reached |= ink->slots;
}

static void column_ink(struct bar_columns *at, size_t index)
{
    const struct column *column = &at->layout->work.columns[index];
    at->ink_count = 0;
    ink_note(at, column->hands, LINE_HANDS);
    ink_note(at, column->feet, LINE_FEET);
    if (column->count != NONE) {
        const struct count *count = &at->bar->counts[column->count];
        ink_label(at, SLOT_COUNTS, count_style(at->staff, count), count->text);
    }
    for (int i = 0; i < at->ink_count; i++) {
        if (index > at->set->first_column)
            rods_to(at, index, &at->inks[i], 0);
        else
            at->set->lead = sp_max(at->set->lead, HOUSE_BAR_LEAD - at->inks[i].left);
    }
    for (int i = 0; i < at->ink_count; i++)
        reach_of(at, index, &at->inks[i]);
    struct column *own = &at->layout->work.columns[index];
    own->tight =
        index > at->set->first_column ? own[-1].tight + at->layout->work.springs[index - 1].rod : 0;
}

/* How far a note reaches left of its column: its graces, or its heads. */
static sp ink_left(const struct bar_columns *at, const struct set_note *note)
{
    if (!leaf_struck(note->leaf) || !note->leaf->note->grace_count)
        return -note->chord.left;
    bool letters = letters_shown(at) && note->leaf->note->letter;
    return graces_reach(at->layout, note->leaf, &note->chord, letters);
}

static void ties_hold(struct bar_columns *at, int line)
{
    struct work *work = &at->layout->work;
    const struct set_note *notes = work->notes + at->set->first_note[line];
    for (size_t i = 0; i + 1 < at->set->note_count[line]; i++) {
        if (!notes[i].chord.count || !note_leads_on(&notes[i]) || !notes[i + 1].chord.count)
            continue;
        sp least = notes[i].chord.right + HOUSE_TIE_LEAST + ink_left(at, &notes[i + 1]);
        rod_over(work->springs, notes[i].column, notes[i + 1].column, least);
    }
    const struct set_note *last = &notes[at->set->note_count[line] - 1];
    if (at->set->note_count[line] && last->chord.count && note_leads_on(last))
        rod_over(work->springs, last->column, work->column_count,
                 last->chord.right + HOUSE_TIE_LEAST);
}

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
                chord_shift(feet, hands->right + dots_width(at, hands) - feet->left);
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
    beams_mark(layout, set);
    springs_set(&at);
    for (size_t i = set->first_column; i < work->column_count; i++)
        column_ink(&at, i);
    struct ink bar_line = {UINT32_MAX, 0, 0};
    if (set->column_count)
        rods_to(&at, work->column_count, &bar_line, HOUSE_BAR_TRAIL);
    ties_hold(&at, LINE_HANDS);
    ties_hold(&at, LINE_FEET);
}
