#include "layout/tuplets.h"
#include "layout/beams.h"
#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/system_parts.h"

#include <stdio.h>

/*
 * Tuplets: a number alone over the middle of a beam whose notes are exactly the tuplet's; else a
 * bracket as long as the tuplet lasts, as for all that nest. Inner ones stand nearest the notes,
 * outer ones outside them.
 *
 *      ┌────3────┐    ┌──3──┐
 *      ┌3┐            |     \
 *      ┌┬┐ |  |       o     o
 */

static void tuplet_text(const struct tuplet *tuplet, char text[16])
{
    snprintf(text, 16, tuplet->ratio ? "%u:%u" : "%u", tuplet->actual, tuplet->normal);
}

/* ---- number or bracket -------------------------------------------------------------------- */

static const struct beam_group *group_of(const struct work *work, const struct set_bar *bar,
                                         size_t note)
{
    for (size_t i = bar->groups.first; i < bar->groups.end; i++)
        if (work->groups.items[i].first <= note && note < work->groups.items[i].end)
            return &work->groups.items[i];
    return NULL;
}

/* Two numbers over one beam would be read as one. What a tuplet holds follows it in the line. */
bool tuplet_is_nested(const struct score_line *line, const struct tuplet *tuplet)
{
    uint16_t index = (uint16_t)(tuplet - line->tuplets);
    return tuplet->outer != LEAF_NO_TUPLET ||
           (index + 1 < line->tuplet_count && tuplet[1].outer == index);
}

static bool number_alone(const struct work *work, const struct set_bar *bar, int line,
                         const struct tuplet *tuplet)
{
    size_t first = bar->notes[line].first + tuplet->first;
    size_t end = bar->notes[line].first + tuplet->end;
    if (tuplet_is_nested(&bar->bar->lines[line], tuplet))
        return false;
    const struct beam_group *group = group_of(work, bar, first);
    return group && group->first == first && group->end == end;
}

/* Whether the hands have the same tuplet. */
static bool hands_have(const struct set_bar *bar, const struct tuplet *tuplet)
{
    const struct score_line *hands = &bar->bar->lines[LINE_HANDS];
    for (int i = 0; i < hands->tuplet_count; i++) {
        const struct tuplet *other = &hands->tuplets[i];
        if (other->actual == tuplet->actual && other->normal == tuplet->normal &&
            fraction_equal(other->onset, tuplet->onset) &&
            fraction_equal(other->length, tuplet->length))
            return true;
    }
    return false;
}

/* The feet's tuplet is read by the number over the hands' if all that is printed of it are notes
   that each stand under a note or rest of the hands. */
static bool said_by_hands(const struct work *work, const struct set_bar *bar,
                          const struct tuplet *tuplet)
{
    if (!hands_have(bar, tuplet))
        return false;
    for (uint32_t i = tuplet->first; i < tuplet->end; i++) {
        const struct set_note *note = &work->notes.items[bar->notes[LINE_FEET].first + i];
        if (!note->hidden &&
            (!note->chord.count || work->columns.items[note->column].hands == NONE))
            return false;
    }
    return true;
}

static bool any_visible(const struct set_note *notes, const struct tuplet *tuplet)
{
    for (uint32_t i = tuplet->first; i < tuplet->end; i++)
        if (!notes[i].hidden)
            return true;
    return false;
}

/* A beam from the outer sides of its stems. */
static void beam_extent(const struct layout *layout, const struct set_note *notes,
                        const struct tuplet *tuplet, struct raised *raised)
{
    const struct set_note *first = &notes[tuplet->first], *last = &notes[tuplet->end - 1];
    sp half = layout->defaults->stem / 2;
    raised->left = first->x + first->chord.stem_x - half;
    raised->right = last->x + last->chord.stem_x + half;
}

void tuplet_reach(const struct work *work, const struct set_bar *bar, const struct tuplet *tuplet,
                  sp half, sp *left, sp *right)
{
    struct fraction end = fraction_add(tuplet->onset, tuplet->length);
    struct fraction unit = fraction_divide(tuplet->length, (struct fraction){tuplet->actual, 1});
    *left = instant_x(work, bar, tuplet->onset) - half;
    *right = sp_min(instant_x(work, bar, fraction_subtract(end, unit)) + half,
                    instant_x(work, bar, end) - half - HOUSE_TUPLET_CLEAR);
}

static void bracket_extent(const struct layout *layout, const struct set_bar *bar,
                           const struct set_note *notes, const struct tuplet *tuplet,
                           struct raised *raised)
{
    sp half = box_width(glyph_ink(layout, GLYPH_HEAD_BLACK)) / 2;
    tuplet_reach(&layout->work, bar, tuplet, half, &raised->left, &raised->right);
    for (uint32_t i = tuplet->first; i < tuplet->end; i++)
        if (!notes[i].hidden)
            raised->right = sp_max(raised->right, notes[i].x + half);
}

/* ---- heights ------------------------------------------------------------------------------ */

static sp text_half(const struct layout *layout, const char *text)
{
    return signs_advance(layout->metrics, tuplet_digit, text) / 2;
}

/* A bracket clears all that it spans, a number alone what stands under it. */
static sp tuplet_height(const struct layout *layout, const struct raised *raised)
{
    char text[16];
    tuplet_text(raised->tuplet, text);
    sp middle = (raised->left + raised->right) / 2;
    sp half = text_half(layout, text) + HOUSE_TUPLET_CLEAR; /* no accent is beside it */
    sp left = raised->bracket ? raised->left : middle - half;
    sp right = raised->bracket ? raised->right : middle + half;
    return raised->below ? skyline_bottom(&layout->skyline, left, right) + HOUSE_TUPLET_GAP
                         : skyline_top(&layout->skyline, left, right) - HOUSE_TUPLET_GAP;
}

static void tuplet_add(struct layout *layout, const struct set_bar *bar, int line,
                       const struct tuplet *tuplet)
{
    struct raised raised = {.tuplet = tuplet, .below = line == LINE_FEET};
    const struct set_note *notes = layout->work.notes.items + bar->notes[line].first;
    if (!tuplet->numbered || !any_visible(notes, tuplet) ||
        (line == LINE_FEET && said_by_hands(&layout->work, bar, tuplet)))
        return;
    raised.bracket = !number_alone(&layout->work, bar, line, tuplet);
    if (raised.bracket)
        bracket_extent(layout, bar, notes, tuplet, &raised);
    else
        beam_extent(layout, notes, tuplet, &raised);
    raised.owner = mark_owner(layout->staff->index, (unsigned)line, bar->index, tuplet->first);
    raised.y = tuplet_height(layout, &raised);
    *vector_push(&layout->raised, NULL) = raised;
}

/* ---- drawing ------------------------------------------------------------------------------ */

static void bracket_side(struct layout *layout, sp end, sp inner, sp y, sp hook)
{
    sp width = layout->defaults->tuplet_bracket;
    sp outer = end + (end < inner ? width / 2 : -width / 2);
    pen_upright(&layout->pen, ROLE_TUPLET_BRACKET, outer, y + hook, y, width);
    pen_horizontal(&layout->pen, ROLE_TUPLET_BRACKET, sp_min(end, inner), sp_max(end, inner), y,
                   width);
}

static void tuplet_draw(struct layout *layout, const struct raised *raised)
{
    char text[16];
    tuplet_text(raised->tuplet, text);
    struct box ink = glyph_ink(layout, GLYPH_TUPLET_0); /* one baseline for all */
    sp half = text_half(layout, text), middle = (raised->left + raised->right) / 2;
    sp baseline = raised->y - (raised->below ? ink.top : ink.bottom);
    layout->pen.owner = raised->owner;
    signs_draw(&layout->pen, ROLE_TUPLET_NUMBER, tuplet_digit, text, middle - half, baseline);
    sp y = baseline + box_middle_y(ink), clear = half + HOUSE_TUPLET_CLEAR;
    sp hook = raised->below ? -HOUSE_TUPLET_HOOK : HOUSE_TUPLET_HOOK;
    if (raised->bracket && middle - clear > raised->left) {
        bracket_side(layout, raised->left, middle - clear, y, hook);
        bracket_side(layout, raised->right, middle + clear, y, hook);
    }
}

static void depth_draw(struct layout *layout, int line, int depth)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++) {
        const struct score_line *from = &bar->bar->lines[line];
        for (int i = 0; i < from->tuplet_count; i++)
            if (from->tuplets[i].depth == depth)
                tuplet_add(layout, bar, line, &from->tuplets[i]);
    }
    raised_align(&layout->raised, line == LINE_FEET);
    for (size_t i = 0; i < layout->raised.count; i++)
        tuplet_draw(layout, &layout->raised.items[i]);
    layout->raised.count = 0;
}

void tuplets_draw(struct layout *layout)
{
    for (int line = 0; line < LINE_COUNT; line++)
        for (int depth = LESSON_TUPLET_DEPTH_MAX; depth-- > 0;)
            depth_draw(layout, line, depth);
}
