#include "layout/layout_int.h"

/*
 * Tuplets: a number alone where the notes are exactly one beam group (or one run of its further
 * beams), else a bracket, as for all that nest. Inner ones nearest the notes, outer ones stacked
 * outwards.
 *
 *      ┌────3────┐
 *      ┌3┐
 *      ┌┬┐ |  |
 */

static enum glyph tuplet_digit(char digit)
{
    return digit == ':' ? GLYPH_TUPLET_COLON : (enum glyph)(GLYPH_TUPLET_0 + (digit - '0'));
}

/* The digits of a number, without the cost of a format: there are thousands. */
static char *number_add(char *at, unsigned number)
{
    if (number >= 10)
        at = number_add(at, number / 10);
    *at++ = (char)('0' + number % 10);
    return at;
}

static void tuplet_text(const struct tuplet *tuplet, char text[16])
{
    char *end = number_add(text, tuplet->actual);
    if (tuplet->ratio) {
        *end++ = ':';
        end = number_add(end, tuplet->normal);
    }
    *end = 0;
}

static sp text_width(const struct layout *layout, const char *text)
{
    sp width = 0;
    for (; *text; text++)
        width += layout->metrics->glyphs[tuplet_digit(*text)].advance;
    return width;
}

static void text_draw(struct layout *layout, const char *text, sp x, sp y)
{
    for (; *text; text++) {
        enum glyph glyph = tuplet_digit(*text);
        pen_glyph(&layout->pen, ROLE_TUPLET_NUMBER, glyph, x, y);
        x += layout->metrics->glyphs[glyph].advance;
    }
}

/* ---- number or bracket -------------------------------------------------------------------- */

static const struct beam_group *group_of(const struct work *work, uint32_t note)
{
    for (size_t i = 0; i < work->group_count; i++)
        if (work->groups[i].first <= note && note < work->groups[i].end)
            return &work->groups[i];
    return NULL;
}

/* The further beams of the note inside do not lead on to the one outside, which may be beyond the
   group. */
static bool cut_between(const struct work *work, const struct beam_group *group, uint32_t inside,
                        uint32_t outside)
{
    if (outside < group->first || outside >= group->end)
        return true;
    const struct set_note *in = &work->notes[inside], *out = &work->notes[outside];
    return in->beams > 1 && (out->beams < 2 || beams_break(&work->bars[group->set_bar], in, out));
}

/* Two numbers over one beam would be read as one. What a tuplet holds follows it in the line. */
static bool is_nested(const struct score_line *line, const struct tuplet *tuplet)
{
    uint16_t index = (uint16_t)(tuplet - line->tuplets);
    return tuplet->outer != LEAF_NO_TUPLET ||
           (index + 1 < line->tuplet_count && tuplet[1].outer == index);
}

static bool number_alone(const struct work *work, const struct set_bar *bar, int line,
                         const struct tuplet *tuplet)
{
    if (is_nested(&bar->bar->lines[line], tuplet))
        return false;
    uint32_t base = (uint32_t)bar->first_note[line];
    uint32_t first = base + tuplet->first, last = base + tuplet->end - 1;
    if (!work->notes[first].beamed || !work->notes[last].beamed)
        return false;
    const struct beam_group *group = group_of(work, first);
    return group && last < group->end &&
           (first == 0 || cut_between(work, group, first, first - 1)) &&
           cut_between(work, group, last, last + 1);
}

/* The feet's tuplet needs no number of its own where the hands' says the same. */
static bool said_by_hands(const struct set_bar *bar, const struct tuplet *tuplet)
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

/* From the first visible leaf's ink to the last's; false where none is to be seen. */
static bool tuplet_extent(const struct layout *layout, const struct set_bar *bar, int line,
                          const struct tuplet *tuplet, struct raised *raised)
{
    sp half = box_width(layout->metrics->glyphs[GLYPH_HEAD_BLACK].ink) / 2;
    bool any = false;
    for (uint32_t i = tuplet->first; i < tuplet->end; i++) {
        const struct set_note *note = &layout->work.notes[bar->first_note[line] + i];
        if (note->hidden)
            continue;
        if (!any)
            raised->left = note->x - half;
        raised->right = note->x + half;
        any = true;
    }
    return any;
}

/* ---- heights ------------------------------------------------------------------------------ */

/* `y`: the number's ink edge that faces the staff. A bracket clears all that it spans. */
static void tuplet_height(const struct layout *layout, struct raised *raised)
{
    char text[16];
    tuplet_text(raised->tuplet, text);
    sp half = text_width(layout, text) / 2, middle = (raised->left + raised->right) / 2;
    half += HOUSE_TUPLET_CLEAR; /* an accent beside the number stands under it instead */
    sp left = raised->bracket ? raised->left : middle - half;
    sp right = raised->bracket ? raised->right : middle + half;
    raised->y = raised->below ? skyline_bottom(&layout->skyline, left, right) + HOUSE_TUPLET_GAP
                              : skyline_top(&layout->skyline, left, right) - HOUSE_TUPLET_GAP;
}

static void tuplet_add(struct layout *layout, const struct staff *staff, const struct set_bar *bar,
                       int line, const struct tuplet *tuplet)
{
    struct work *work = &layout->work;
    struct raised raised = {.tuplet = tuplet, .below = line == LINE_FEET};
    if (!tuplet->numbered || (line == LINE_FEET && said_by_hands(bar, tuplet)) ||
        !tuplet_extent(layout, bar, line, tuplet, &raised))
        return;
    raised.bracket = !number_alone(work, bar, line, tuplet);
    raised.owner = mark_owner(staff->index, (unsigned)line, bar->index, tuplet->first);
    tuplet_height(layout, &raised);
    *row_push(work->raised, work->raised_count, work->raised_room) = raised;
}

/* ---- drawing ------------------------------------------------------------------------------ */

static void bracket_side(struct layout *layout, sp end, sp inner, sp y, sp hook)
{
    sp width = layout->defaults->tuplet_bracket;
    sp outer = end + (end < inner ? width / 2 : -width / 2);
    pen_line(&layout->pen, ROLE_TUPLET_BRACKET, (struct point){outer, y + hook},
             (struct point){outer, y}, width);
    pen_line(&layout->pen, ROLE_TUPLET_BRACKET, (struct point){sp_min(end, inner), y},
             (struct point){sp_max(end, inner), y}, width);
}

static void tuplet_draw(struct layout *layout, const struct raised *raised)
{
    char text[16];
    tuplet_text(raised->tuplet, text);
    const struct box *ink = &layout->metrics->glyphs[GLYPH_TUPLET_0].ink; /* one baseline for all */
    sp half = text_width(layout, text) / 2, middle = (raised->left + raised->right) / 2;
    sp baseline = raised->y - (raised->below ? ink->top : ink->bottom);
    layout->pen.owner = raised->owner;
    text_draw(layout, text, middle - half, baseline);
    if (!raised->bracket)
        return;
    sp y = baseline + (ink->top + ink->bottom) / 2;
    sp hook = raised->below ? -HOUSE_TUPLET_HOOK : HOUSE_TUPLET_HOOK;
    sp clear = half + HOUSE_TUPLET_CLEAR;
    if (middle - clear > raised->left) {
        bracket_side(layout, raised->left, middle - clear, y, hook);
        bracket_side(layout, raised->right, middle + clear, y, hook);
    }
}

static void depth_draw(struct layout *layout, const struct staff *staff, int line, int depth)
{
    struct work *work = &layout->work;
    for (size_t b = 0; b < work->bar_count; b++) {
        const struct score_line *from = &work->bars[b].bar->lines[line];
        for (int i = 0; i < from->tuplet_count; i++)
            if (from->tuplets[i].depth == depth)
                tuplet_add(layout, staff, &work->bars[b], line, &from->tuplets[i]);
    }
    raised_align(work->raised, work->raised_count, line == LINE_FEET);
    for (size_t i = 0; i < work->raised_count; i++)
        tuplet_draw(layout, &work->raised[i]);
    work->raised_count = 0;
}

void tuplets_draw(struct layout *layout, const struct staff *staff)
{
    for (int line = 0; line < LINE_COUNT; line++)
        for (int depth = LESSON_TUPLET_DEPTH_MAX; depth-- > 0;)
            depth_draw(layout, staff, line, depth);
}
