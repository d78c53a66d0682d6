#include "layout/layout_int.h"

#include <math.h>
#include <stdlib.h>

/*
 * Rods: how near two columns may stand before their ink would touch. The ink is the real one, by
 * slices of a quarter space of height (slots): a parenthesis may reach into the room that a head
 * leaves at its own height, a leger over a stem's foot. A column must clear the last ink in each of
 * its slots, which may be several columns back. What has no height yet when its column is set
 * (accents, rows of text) has a slot of its own.
 */
enum {
    SLOTS_TOP = -6000, /* height of slot 0's upper edge */
    SLOT_ABOVE = 56,   /* accents and open signs, wherever the stem ends */
    SLOT_COUNTS = 57,
    SLOT_FEET_STICKING = 58,
    SLOT_STICKING = 59,
    SLOTS = 60
};

/* Of one column, x from the column. Only slots in the mask hold anything. */
struct ink {
    uint64_t slots;
    sp left[SLOTS], right[SLOTS];
};

/* The last ink of a slot. */
struct reach {
    size_t column;
    sp right;
};

/* Ink that reaches over several springs. */
struct span {
    size_t from, to; /* columns */
    sp least;
};

enum { SPANS_MAX = 64 };

struct rods {
    struct layout *layout;
    const struct staff *staff;
    struct set_bar *set;
    bool letters; /* the sticking is shown */
    struct ink ink;
    sp head_left, head_right; /* of all that is struck or rests, whatever its height */
    struct reach reach[SLOTS];
    uint64_t reached;
    struct span spans[SPANS_MAX];
    int span_count;
};

/* ---- ink into slots ----------------------------------------------------------------------- */

static void ink_add(struct ink *ink, int slot, sp left, sp right)
{
    uint64_t bit = UINT64_C(1) << slot;
    if (ink->slots & bit) {
        ink->left[slot] = sp_min(ink->left[slot], left);
        ink->right[slot] = sp_max(ink->right[slot], right);
        return;
    }
    ink->slots |= bit;
    ink->left[slot] = left;
    ink->right[slot] = right;
}

static int slot_at(sp y)
{
    return y <= SLOTS_TOP                              ? 0
           : y >= SLOTS_TOP + SLOT_ABOVE * GLYPH_SLICE ? SLOT_ABOVE - 1
                                                       : (y - SLOTS_TOP) / GLYPH_SLICE;
}

static void ink_box(struct ink *ink, struct box box)
{
    int end = slot_at(box.bottom + GLYPH_ROW_PAD - 1);
    for (int slot = slot_at(box.top - GLYPH_ROW_PAD); slot <= end; slot++)
        ink_add(ink, slot, box.left, box.right);
}

static sp scaled(int length, int scale)
{
    return scale == 1000 ? length : (sp)((int64_t)length * scale / 1000);
}

/* A sign of the face with its origin at (x, y). */
static void ink_scaled(struct rods *at, enum glyph glyph, sp x, sp y, int scale)
{
    const struct metrics *metrics = at->layout->metrics;
    struct slices rows = metrics->glyphs[glyph].rows;
    const struct extent *extents = metrics->extents + rows.first;
    for (int i = 0; i < rows.count; i++) {
        if (extents[i].high < extents[i].low)
            continue;
        sp top = y + scaled((rows.from + i) * GLYPH_SLICE, scale);
        int end = slot_at(top + scaled(GLYPH_SLICE, scale) - 1);
        for (int slot = slot_at(top); slot <= end; slot++)
            ink_add(&at->ink, slot, x + scaled(extents[i].low, scale),
                    x + scaled(extents[i].high, scale));
    }
}

static void ink_sign(struct rods *at, enum glyph glyph, sp x, sp y)
{
    ink_scaled(at, glyph, x, y, 1000);
}

static void ink_label(struct rods *at, int slot, enum text_style style, const char *text)
{
    const struct short_label *label =
        label_short(&at->layout->labels, at->layout->metrics, style, text);
    ink_add(&at->ink, slot, label->left - label->centre, label->right - label->centre);
}

/* ---- the parts of a note ------------------------------------------------------------------ */

static void ink_legers(struct rods *at, const struct chord_head *head)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    if (at->staff->one_line)
        return;
    sp left = head->left - defaults->leger_extension, half = defaults->leger / 2;
    sp right = head->right + defaults->leger_extension;
    for (int line2 = HOUSE_LEGER_UP; line2 <= head->line2; line2 += 2) {
        sp y = staff_y(at->staff, line2);
        ink_box(&at->ink, (struct box){left, y - half, right, y + half});
    }
    for (int line2 = HOUSE_LEGER_DOWN; line2 >= head->line2; line2 -= 2) {
        sp y = staff_y(at->staff, line2);
        ink_box(&at->ink, (struct box){left, y - half, right, y + half});
    }
}

static void ink_heads(struct rods *at, const struct set_note *note)
{
    const struct glyph_metrics *glyphs = at->layout->metrics->glyphs;
    const struct chord *chord = &note->chord;
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        ink_sign(at, (enum glyph)head->glyph, head->x, head->y);
        ink_legers(at, head);
        if (!head->ghost)
            continue;
        ink_sign(at, GLYPH_PARENTHESIS_LEFT,
                 head->between[0] - glyphs[GLYPH_PARENTHESIS_LEFT].ink.right, head->y);
        ink_sign(at, GLYPH_PARENTHESIS_RIGHT,
                 head->between[1] - glyphs[GLYPH_PARENTHESIS_RIGHT].ink.left, head->y);
    }
}

sp chord_dots_width(const struct metrics *metrics, const struct chord *chord)
{
    return chord->dots * (HOUSE_DOT_GAP + box_width(metrics->glyphs[GLYPH_AUGMENTATION_DOT].ink));
}

static void ink_dots(struct rods *at, const struct chord *chord)
{
    const struct box *dot = &at->layout->metrics->glyphs[GLYPH_AUGMENTATION_DOT].ink;
    sp right = chord->right + chord_dots_width(at->layout->metrics, chord);
    sp places[CHORD_HEADS_MAX];
    if (!chord->dots)
        return;
    chord_dot_places(chord, places);
    for (int i = 0; i < chord->count; i++)
        ink_box(&at->ink,
                (struct box){chord->right, places[i] + dot->top, right, places[i] + dot->bottom});
}

static void ink_stem(struct rods *at, const struct set_note *note)
{
    const struct glyph_metrics *glyphs = at->layout->metrics->glyphs;
    const struct chord *chord = &note->chord;
    sp half = at->layout->defaults->stem / 2;
    if (note->leaf->value_log2 == 0)
        return;
    sp end = note->beamed ? note->stem_end : lone_stem_end(at->layout, note);
    if (note->beams && !note->beamed) {
        enum glyph flag = flag_glyph(note->beams, note->up);
        const struct point *anchor =
            note->up ? &glyphs[flag].stem_up_nw : &glyphs[flag].stem_down_sw;
        ink_sign(at, flag, chord->stem_x - half - anchor->x, end - anchor->y);
    }
    ink_box(&at->ink, (struct box){chord->stem_x - half, sp_min(end, chord->near),
                                   chord->stem_x + half, sp_max(end, chord->far)});
}

/* A slash or buzz at mid-stem: where a beam may yet move outwards, wherever it may come to be. */
static void ink_stem_mark(struct rods *at, const struct set_note *note)
{
    if (!leaf_struck(note->leaf))
        return;
    enum glyph glyph = marks_glyph(note->leaf->note->marks, MARK_AT_STEM, note->up);
    if (glyph == GLYPH_NONE)
        return;
    struct set_note set = *note;
    if (!note->beamed && note->leaf->value_log2)
        set.stem_end = lone_stem_end(at->layout, note);
    const struct box *ink = &at->layout->metrics->glyphs[glyph].ink;
    sp y = stem_mark_height(at->layout, &set), half = box_height(*ink) / 2;
    sp top = y - half, bottom = y + half;
    if (note->beamed && note->up)
        bottom += HOUSE_ONE_LINE_OF / 2;
    else if (note->beamed)
        top -= HOUSE_ONE_LINE_OF / 2;
    sp x = note->leaf->value_log2 ? note->chord.stem_x : 0;
    ink_box(&at->ink, (struct box){x - box_width(*ink) / 2, top, x + box_width(*ink) / 2, bottom});
}

/* The slur's left end, where other columns stand: a parabola is at 36 % of its depth after a tenth
   of its length, at 75 % after a quarter. */
static void ink_slur(struct rods *at, struct box slur)
{
    sp run = slur.right - slur.left, depth = slur.bottom - slur.top;
    sp tenth = slur.left + run / 10, quarter = slur.left + run / 4;
    ink_box(&at->ink, (struct box){slur.left, slur.top, tenth, slur.top + depth * 36 / 100});
    ink_box(&at->ink, (struct box){tenth, slur.top, quarter, slur.top + depth * 75 / 100});
    ink_box(&at->ink, (struct box){quarter, slur.top, slur.right, slur.bottom});
}

static void ink_graces(struct rods *at, const struct set_note *note)
{
    const struct note *struck = note->leaf->note;
    if (!struck->grace_count || !leaf_struck(note->leaf))
        return;
    struct grace_boxes boxes;
    bool letters = at->letters && struck->letter;
    graces_boxes(at->layout, at->staff, note, letters, &boxes);
    enum glyph glyph = grace_glyph(&note->chord);
    const struct box *head = &at->layout->metrics->glyphs[glyph].ink;
    sp middle = scaled(head->left + head->right, HOUSE_GRACE_SCALE) / 2;
    for (int i = 0; i < struck->grace_count && i < GRACES_MAX; i++)
        ink_scaled(at, glyph, grace_offset(at->layout, struck, &note->chord, letters, i) - middle,
                   note->chord.heads[0].y, HOUSE_GRACE_SCALE);
    ink_box(&at->ink, boxes.stems);
    if (boxes.slash.right > boxes.slash.left)
        ink_box(&at->ink, boxes.slash);
    ink_slur(at, boxes.slur);
    if (boxes.legers.right > boxes.legers.left)
        ink_box(&at->ink, boxes.legers);
    if (letters) {
        const struct short_label *label =
            label_short(&at->layout->labels, at->layout->metrics, TEXT_STICKING_GRACE,
                        struck->graces & 1 ? "L" : "R");
        sp first = grace_offset(at->layout, struck, &note->chord, true, 0);
        ink_add(&at->ink, SLOT_STICKING, first + label->left - label->centre, first);
    }
}

static void ink_above(struct rods *at, const struct set_note *note)
{
    if (!leaf_struck(note->leaf))
        return;
    enum glyph glyph = marks_glyph(note->leaf->note->marks, MARK_AT_ACCENT, note->up);
    if (glyph != GLYPH_NONE) {
        sp half = box_width(at->layout->metrics->glyphs[glyph].ink) / 2;
        ink_add(&at->ink, SLOT_ABOVE, -half, half);
    }
}

static void ink_letter(struct rods *at, const struct set_note *note, int line)
{
    if (!at->letters || !leaf_struck(note->leaf) || !note->leaf->note->letter)
        return;
    const char *text = letter_text(note->leaf->note->letter);
    if (line == LINE_HANDS)
        ink_label(at, SLOT_STICKING, TEXT_STICKING, text);
    else
        ink_label(at, SLOT_FEET_STICKING, TEXT_STICKING_FEET, text);
}

static void ink_rest(struct rods *at, const struct set_note *note)
{
    if (note->leaf->whole_bar) /* centred in its bar, clear of every column */
        return;
    enum glyph glyph = rest_glyph(note->leaf->value_log2);
    const struct box *ink = &at->layout->metrics->glyphs[glyph].ink;
    const struct box *dot = &at->layout->metrics->glyphs[GLYPH_AUGMENTATION_DOT].ink;
    sp half = box_width(*ink) / 2, y = note->rest_y;
    sp dots = note->leaf->dots * (HOUSE_DOT_GAP + box_width(*dot));
    ink_sign(at, glyph, -(ink->left + ink->right) / 2, y);
    if (dots)
        ink_box(&at->ink, (struct box){0, y - 500 + dot->top, half + dots, y - 500 + dot->bottom});
    at->head_left = sp_min(at->head_left, -half);
    at->head_right = sp_max(at->head_right, half + dots);
}

/* How far a note reaches left of its column: its graces, or its heads. */
static sp note_left(const struct rods *at, const struct set_note *note)
{
    if (!leaf_struck(note->leaf) || !note->leaf->note->grace_count)
        return -note->chord.left;
    bool letters = at->letters && note->leaf->note->letter;
    return graces_reach(at->layout, note->leaf, &note->chord, letters);
}

static void ink_note(struct rods *at, uint32_t leaf, int line)
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
    ink_stem_mark(at, note);
    ink_graces(at, note);
    ink_above(at, note);
    ink_letter(at, note, line);
    at->head_left = sp_min(at->head_left, -note_left(at, note));
    at->head_right = sp_max(
        at->head_right, note->chord.right + chord_dots_width(at->layout->metrics, &note->chord));
}

enum text_style count_style(const struct staff *staff, const struct count *count)
{
    if (!count->struck)
        return TEXT_COUNT_SILENT;
    if (count->beat_number)
        return TEXT_COUNT_BEAT;
    return staff->counts_tight ? TEXT_COUNT_TIGHT : TEXT_COUNT;
}

static void ink_column(struct rods *at, const struct column *column)
{
    at->ink.slots = 0;
    at->head_left = at->head_right = 0;
    ink_note(at, column->hands, LINE_HANDS);
    ink_note(at, column->feet, LINE_FEET);
    if (column->count != NONE) {
        const struct count *count = &at->set->bar->counts[column->count];
        ink_label(at, SLOT_COUNTS, count_style(at->staff, count), count->text);
    }
}

/* ---- rods --------------------------------------------------------------------------------- */

static sp slot_gap(int slot)
{
    return slot >= SLOT_COUNTS ? HOUSE_TEXT_GAP : HOUSE_INK_GAP;
}

static sp rods_length(const struct spring *springs, size_t from, size_t to)
{
    sp length = 0;
    for (size_t i = from; i < to; i++)
        length += springs[i].rod;
    return length;
}

/* Ink that reaches over several springs takes from each what the line would stretch it to: no more
   than it needs in all. */
static void span_settle(struct spring *springs, const struct span *span)
{
    if (rods_length(springs, span->from, span->to) >= span->least)
        return;
    struct setting setting =
        springs_solve(springs + span->from, span->to - span->from, span->least);
    for (size_t i = span->from; i < span->to; i++)
        springs[i].rod = (sp)ceil(spring_length(&springs[i], setting));
}

static int shorter_first(const void *a, const void *b)
{
    const struct span *left = a, *right = b;
    size_t one = left->to - left->from, other = right->to - right->from;
    if (one != other)
        return one < other ? -1 : 1;
    return left->from != right->from ? (left->from < right->from ? -1 : 1)
                                     : (left->least > right->least) - (left->least < right->least);
}

/* The shorter first, once all neighbours are apart: what stands between two columns may part them
   enough. */
static void spans_settle(struct rods *at)
{
    if (at->span_count > 1)
        qsort(at->spans, (size_t)at->span_count, sizeof *at->spans, shorter_first);
    for (int i = 0; i < at->span_count; i++)
        span_settle(at->layout->work.springs, &at->spans[i]);
    at->span_count = 0;
}

/* Column `to` keeps `least` from column `from`. */
static void rod_add(struct rods *at, size_t from, size_t to, sp least)
{
    struct spring *springs = at->layout->work.springs;
    if (to == from + 1) {
        springs[from].rod = sp_max(springs[from].rod, least);
        return;
    }
    struct span *last = at->span_count ? &at->spans[at->span_count - 1] : NULL;
    if (last && last->from == from && last->to == to) {
        last->least = sp_max(last->least, least);
        return;
    }
    if (at->span_count == SPANS_MAX)
        spans_settle(at);
    at->spans[at->span_count++] = (struct span){from, to, least};
}

/* What the slot's last ink asks of column `to`, whose own reaches left to `left`, where neighbours
   do not part them enough. */
static void slot_clear(struct rods *at, size_t to, int slot, sp left, sp gap)
{
    const struct work *work = &at->layout->work;
    const struct reach *reach = &at->reach[slot];
    sp least = reach->right - left + gap;
    sp apart = work->columns[to - 1].tight - work->columns[reach->column].tight;
    if (least > apart + work->springs[to - 1].rod)
        rod_add(at, reach->column, to, least);
}

static void column_clear(struct rods *at, size_t index)
{
    struct work *work = &at->layout->work;
    for (uint64_t rest = at->ink.slots & at->reached; rest; rest &= rest - 1) {
        int slot = __builtin_ctzll(rest);
        slot_clear(at, index, slot, at->ink.left[slot], slot_gap(slot));
    }
    work->columns[index].tight = work->columns[index - 1].tight + work->springs[index - 1].rod;
}

static void column_reach(struct rods *at, size_t index)
{
    for (uint64_t rest = at->ink.slots; rest; rest &= rest - 1) {
        int slot = __builtin_ctzll(rest);
        at->reach[slot] = (struct reach){index, at->ink.right[slot]};
    }
    at->reached |= at->ink.slots;
}

/* Whether a bar line reaches through the slot. */
static bool slot_barred(const struct rods *at, int slot)
{
    return slot < SLOT_ABOVE && slot >= slot_at(at->staff->bar_top) &&
           slot <= slot_at(at->staff->bar_bottom - 1);
}

/* White from a bar line to what stands beside it; where it does not reach, half the gap that
   neighbours keep across it. */
static sp bar_gap(const struct rods *at, int slot, sp barred)
{
    return slot_barred(at, slot) ? barred : slot_gap(slot) / 2;
}

static sp bar_lead(const struct rods *at)
{
    sp lead = HOUSE_BAR_LEAD - at->head_left;
    for (uint64_t rest = at->ink.slots; rest; rest &= rest - 1) {
        int slot = __builtin_ctzll(rest);
        lead = sp_max(lead, bar_gap(at, slot, HOUSE_BAR_LEAD) - at->ink.left[slot]);
    }
    return lead;
}

static void bar_trail(struct rods *at)
{
    size_t end = at->layout->work.column_count;
    rod_add(at, end - 1, end, at->head_right + HOUSE_BAR_TRAIL);
    for (uint64_t rest = at->reached; rest; rest &= rest - 1) {
        int slot = __builtin_ctzll(rest);
        slot_clear(at, end, slot, 0, bar_gap(at, slot, HOUSE_BAR_TRAIL));
    }
}

static void ties_hold(struct rods *at, int line)
{
    struct work *work = &at->layout->work;
    const struct set_note *notes = work->notes + at->set->first_note[line];
    for (size_t i = 0; i + 1 < at->set->note_count[line]; i++) {
        if (!notes[i].chord.count || !note_leads_on(&notes[i]) || !notes[i + 1].chord.count)
            continue;
        sp least = tie_reach(at->layout, at->staff, &notes[i]) + HOUSE_TIE_LEAST +
                   note_left(at, &notes[i + 1]);
        rod_add(at, notes[i].column, notes[i + 1].column, least);
    }
    const struct set_note *last = &notes[at->set->note_count[line] - 1];
    if (at->set->note_count[line] && last->chord.count && note_leads_on(last))
        rod_add(at, last->column, work->column_count,
                tie_reach(at->layout, at->staff, last) + HOUSE_TIE_LEAST);
}

/* What stands in the middle of a bar by itself, a bar's rest or a bar repeat, has room between the
   bar lines. */
static void centre_holds(struct rods *at)
{
    struct work *work = &at->layout->work;
    const struct glyph_metrics *glyphs = at->layout->metrics->glyphs;
    const struct score_line *hands = &at->set->bar->lines[LINE_HANDS];
    enum glyph glyph = at->set->bar->repeats == 2 ? GLYPH_REPEAT_2_BARS
                       : at->set->bar->repeats    ? GLYPH_REPEAT_1_BAR
                                                  : GLYPH_REST_WHOLE;
    if (!at->set->bar->repeats && !(hands->leaf_count && hands->leaves[0].whole_bar))
        return;
    size_t first = at->set->first_column, end = work->column_count;
    sp room = at->set->lead + rods_length(work->springs, first, end);
    sp least = box_width(glyphs[glyph].ink) + 2 * HOUSE_BAR_TRAIL;
    work->springs[end - 1].rod += sp_max(least - room, 0);
}

void rods_set(struct layout *layout, const struct staff *staff, struct set_bar *set)
{
    struct rods at = {.layout = layout, .staff = staff, .set = set};
    struct work *work = &layout->work;
    at.letters = set->bar->settings->show->sticking;
    for (size_t i = set->first_column; i < work->column_count; i++) {
        ink_column(&at, &work->columns[i]);
        if (i == set->first_column) {
            set->lead = bar_lead(&at);
            work->columns[i].tight = 0;
        } else {
            column_clear(&at, i);
        }
        column_reach(&at, i);
    }
    if (set->column_count)
        bar_trail(&at);
    ties_hold(&at, LINE_HANDS);
    ties_hold(&at, LINE_FEET);
    spans_settle(&at);
    if (set->column_count)
        centre_holds(&at);
    for (size_t i = set->first_column; i < work->column_count; i++)
        work->springs[i].own = work->springs[i].rod;
}
