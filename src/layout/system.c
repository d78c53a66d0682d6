#include "layout/layout_int.h"

#include <stdio.h>

/* One line of an exercise: its bars set to the margin, then drawn part by part. */

static sp clef_width(const struct layout *layout)
{
    return box_width(layout->metrics->glyphs[GLYPH_CLEF_PERCUSSION].ink);
}

static sp meter_room(const struct layout *layout, const struct meter *meter)
{
    return HOUSE_METER_LEAD + meter_width(layout, meter) + HOUSE_METER_TRAIL;
}

/* A repeat from the very beginning needs no sign: players go back to the start by themselves. */
static bool opens_with_repeat(const struct staff *staff, uint32_t bar)
{
    return bar > 0 && staff->exercise->bars[bar].repeat_begins;
}

sp opening_width(const struct layout *layout, const struct staff *staff, uint32_t index)
{
    const struct score_bar *bar = &staff->exercise->bars[index];
    sp width = HOUSE_CLEF_LEAD + clef_width(layout) + HOUSE_METER_TRAIL;
    if (bar->meter_changes)
        width += meter_room(layout, bar->meter);
    if (opens_with_repeat(staff, index))
        width += HOUSE_METER_TRAIL + bar_line_width(layout, BAR_LINE_REPEAT_BEGIN);
    else if (tie_enters(staff, index))
        width += HOUSE_TIE_ENTERS;
    return width;
}

sp after_width(const struct layout *layout, const struct staff *staff, uint32_t index, bool at_end)
{
    const struct score_bar *bar = &staff->exercise->bars[index];
    bool more = index + 1 < staff->exercise->bar_count;
    const struct score_bar *next = more ? bar + 1 : NULL;
    sp width = bar_line_width(layout, bar_line_after(bar, at_end ? NULL : next));
    if (next && next->meter_changes)
        width += meter_room(layout, next->meter) - (at_end ? HOUSE_METER_TRAIL : 0);
    return width;
}

/* The number of the line's first bar, small and quiet over its left end, from the second line on.
 */
static void number_draw(struct layout *layout, const struct staff *staff, const struct line *line)
{
    const struct score_bar *bar = &staff->exercise->bars[line->first_bar];
    if (line->first_bar == 0 || !staff->exercise->source->settings.show->bar_numbers)
        return;
    char text[16];
    snprintf(text, sizeof text, "%u", bar->number);
    struct box ink = text_ink(layout, TEXT_BAR_NUMBER, text);
    sp x = layout->sheet.text_left - ink.left;
    sp y = skyline_top(&layout->skyline, x, x + ink.right) - HOUSE_BAR_NUMBER_GAP - ink.bottom;
    text_left(layout, ROLE_BAR_NUMBER, TEXT_BAR_NUMBER, text, x, y);
}

static void opening_draw(struct layout *layout, const struct staff *staff, const struct line *line)
{
    uint32_t index = line->first_bar;
    const struct score_bar *bar = &staff->exercise->bars[index];
    const struct box *clef = &layout->metrics->glyphs[GLYPH_CLEF_PERCUSSION].ink;
    sp x = layout->sheet.text_left + HOUSE_CLEF_LEAD;
    layout->pen.owner = mark_owner(staff->index, 0, index, OWNER_NONE);
    pen_glyph(&layout->pen, ROLE_CLEF, GLYPH_CLEF_PERCUSSION, x - clef->left,
              (staff->top + staff->bottom) / 2);
    number_draw(layout, staff, line);
    if (bar->meter_changes)
        meter_draw(layout, staff, bar->meter, x + clef_width(layout) + HOUSE_METER_LEAD);
    if (opens_with_repeat(staff, index))
        bar_line_draw(layout, staff, BAR_LINE_REPEAT_BEGIN,
                      layout->sheet.text_left + line->opening -
                          bar_line_width(layout, BAR_LINE_REPEAT_BEGIN));
}

/* ---- setting ------------------------------------------------------------------------------ */

sp rigid_width(const struct layout *layout, const struct staff *staff, const struct line *line)
{
    const struct work *work = &layout->work;
    sp rigid = line->opening + line->ending;
    for (uint32_t i = 0; i < line->bar_count; i++) {
        rigid += work->bars[i].lead;
        if (i + 1 < line->bar_count)
            rigid += after_width(layout, staff, line->first_bar + i, false);
    }
    return rigid;
}

static sp rounded(double x)
{
    return (sp)(x + 0.5);
}

static void bars_place(struct layout *layout, const struct staff *staff, const struct line *line,
                       struct setting setting)
{
    struct work *work = &layout->work;
    double x = layout->sheet.text_left + line->opening;
    for (size_t b = 0; b < work->bar_count; b++) {
        struct set_bar *bar = &work->bars[b];
        bool at_end = b + 1 == work->bar_count;
        bar->left = rounded(x);
        x += bar->lead;
        for (size_t i = 0; i < bar->column_count; i++) {
            work->columns[bar->first_column + i].x = rounded(x);
            x += spring_length(&work->springs[bar->first_column + i], setting);
        }
        if (at_end && line->stretch == 0) /* to the margin, even where a wider line was kept for */
            x = layout->sheet.text_right - after_width(layout, staff, bar->index, true);
        bar->line_left = rounded(x);
        bar->right = bar->line_left +
                     bar_line_width(layout, bar_line_after(bar->bar, at_end ? NULL : bar->bar + 1));
        x += after_width(layout, staff, bar->index, at_end);
    }
    for (size_t i = 0; i < work->note_count; i++)
        if (work->notes[i].column != NONE)
            work->notes[i].x = work->columns[work->notes[i].column].x;
}

/* Where bars of one rhythm do not fit with what they share, each keeps what it needs itself. */
struct setting line_solve(struct layout *layout, const struct staff *staff, const struct line *line)
{
    struct work *work = &layout->work;
    if (line->stretch > 0)
        return (struct setting){(double)line->stretch, 1};
    sp space =
        layout->sheet.text_right - layout->sheet.text_left - rigid_width(layout, staff, line);
    struct setting setting = springs_solve(work->springs, work->column_count, space);
    if (setting.squeeze == 1)
        return setting;
    for (size_t i = 0; i < work->column_count; i++)
        work->springs[i].rod = work->springs[i].own;
    return springs_solve(work->springs, work->column_count, space);
}

/* ---- drawing ------------------------------------------------------------------------------ */

static void staff_draw(struct layout *layout, const struct staff *staff, uint32_t bar, sp right)
{
    layout->pen.owner = mark_owner(staff->index, 0, bar, OWNER_NONE);
    for (sp y = staff->top; y <= staff->bottom; y += 1000)
        pen_line(&layout->pen, ROLE_STAFF_LINE, (struct point){layout->sheet.text_left, y},
                 (struct point){right, y}, layout->defaults->staff_line);
}

static void bar_lines_draw(struct layout *layout, const struct staff *staff)
{
    const struct work *work = &layout->work;
    for (size_t b = 0; b < work->bar_count; b++) {
        const struct set_bar *bar = &work->bars[b];
        bool at_end = b + 1 == work->bar_count, last = bar->index + 1 == staff->exercise->bar_count;
        layout->pen.owner = mark_owner(staff->index, 0, bar->index, OWNER_NONE);
        bar_line_draw(layout, staff, bar_line_after(bar->bar, at_end ? NULL : bar->bar + 1),
                      bar->line_left);
        if (!last && bar->bar[1].meter_changes)
            meter_draw(layout, staff, bar->bar[1].meter, bar->right + HOUSE_METER_LEAD);
    }
}

static sp line_right(const struct layout *layout, const struct staff *staff,
                     const struct line *line)
{
    const struct set_bar *last = &layout->work.bars[line->bar_count - 1];
    if (line->stretch > 0)
        return last->line_left + after_width(layout, staff, last->index, true);
    return layout->sheet.text_right;
}

static void page_columns_add(struct layout *layout, struct setting setting)
{
    struct work *work = &layout->work;
    for (size_t b = 0; b < work->bar_count; b++) {
        const struct set_bar *bar = &work->bars[b];
        struct fraction end = fraction_add(bar->bar->start, bar->bar->length);
        for (size_t i = 0; i < bar->column_count; i++) {
            const struct column *column = &work->columns[bar->first_column + i];
            const struct spring *spring = &work->springs[bar->first_column + i];
            bool closes = i + 1 == bar->column_count;
            struct fraction next = closes ? end : column[1].onset;
            struct page_column *out =
                row_push(work->page_columns, work->page_column_count, work->page_column_room);
            out->x = column->x;
            out->duration_top = (int32_t)(next.numerator * column->onset.denominator -
                                          column->onset.numerator * next.denominator);
            out->duration_bottom = (int32_t)(next.denominator * column->onset.denominator);
            out->shortest_top = (int32_t)column->shortest_exact.numerator;
            out->shortest_bottom = (int32_t)column->shortest_exact.denominator;
            out->closes = closes;
            out->pushed = spring->rod > spring->natural * setting.stretch;
            out->bar = bar->index;
        }
    }
}

static void system_tell(struct layout *layout, const struct staff *staff, const struct line *line,
                        sp right, size_t first_mark, struct page_system *system)
{
    system->exercise = line->exercise;
    system->first_bar = line->first_bar;
    system->bar_count = line->bar_count;
    system->left = layout->sheet.text_left;
    system->right = right;
    system->staff_top = staff->top;
    system->staff_bottom = staff->bottom;
    system->ragged = line->stretch > 0;
    system->column_count = layout->work.column_count;
    system->first_mark = first_mark;
    system->mark_count = layout->pen.count - first_mark;
    system->box = marks_box(layout->pen.marks, first_mark, layout->pen.count);
}

void system_draw(struct layout *layout, const struct line *line, struct page_system *system)
{
    const struct staff *staff = &layout->staves[line->exercise];
    size_t first_mark = layout->pen.count;
    bars_collect(layout, staff, line);
    struct setting setting = line_solve(layout, staff, line);
    bars_place(layout, staff, line, setting);
    sp right = line_right(layout, staff, line);
    skyline_reset(&layout->skyline, staff->top, staff->bottom);
    layout->pen.skyline = NULL; /* the staff itself is the skyline's floor */
    staff_draw(layout, staff, line->first_bar, right);
    layout->pen.skyline = &layout->skyline;
    opening_draw(layout, staff, line);
    bar_lines_draw(layout, staff);
    beams_set(layout, staff);
    beams_draw(layout, staff);
    notes_draw(layout, staff);
    ties_draw(layout, staff, line);
    above_draw(layout, staff);
    tuplets_draw(layout, staff);
    changes_draw(layout, staff);
    endings_draw(layout, staff);
    rows_draw(layout, staff, system);
    layout->pen.skyline = NULL;
    page_columns_add(layout, setting);
    system_tell(layout, staff, line, right, first_mark, system);
}
