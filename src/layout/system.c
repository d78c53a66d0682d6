#include "layout/bar_lines.h"
#include "layout/beams.h"
#include "layout/layout_state.h"
#include "layout/notes.h"
#include "layout/system_parts.h"
#include "layout/text.h"

#include <stdio.h>

static sp clef_width(const struct layout *layout)
{
    return box_width(glyph_ink(layout, GLYPH_CLEF_PERCUSSION));
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

/* What the name of the feet's row takes before a letter under a bar's first head. */
static sp name_room(const struct layout *layout, const struct score_bar *bar)
{
    const struct score_line *feet = &bar->lines[LINE_FEET];
    bool strikes = false;
    for (uint32_t i = 0; i < feet->leaf_count && !strikes; i++)
        strikes = leaf_struck(&feet->leaves[i]);
    if (!strikes || !layout->staff->feet_letters || !bar->settings->show->sticking)
        return 0;
    sp letter = box_width(text_ink(layout, TEXT_STICKING_FEET, "R"));
    return feet_name_width(layout) + HOUSE_LETTER_GAP +
           sp_max(letter - box_width(glyph_ink(layout, GLYPH_HEAD_BLACK)), 0) / 2;
}

/* What stands before a line's first bar. */
static sp signs_width(const struct layout *layout, uint32_t index)
{
    const struct staff *staff = layout->staff;
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

/* How much farther the first head moves for the name of the feet's row. */
static sp name_push(const struct layout *layout, uint32_t index)
{
    sp room = name_room(layout, &layout->staff->exercise->bars[index]);
    return sp_max(room - signs_width(layout, index), 0);
}

sp opening_width(const struct layout *layout, uint32_t index)
{
    return signs_width(layout, index) + name_push(layout, index);
}

sp after_width(const struct layout *layout, uint32_t index, bool at_end)
{
    const struct score_bar *bar = &layout->staff->exercise->bars[index];
    bool more = index + 1 < layout->staff->exercise->bar_count;
    const struct score_bar *next = more ? bar + 1 : NULL;
    sp width = bar_line_width(layout, bar_line_after(bar, at_end ? NULL : next));
    if (next && next->meter_changes)
        width += meter_room(layout, next->meter) - (at_end ? HOUSE_METER_TRAIL : 0);
    return width;
}

/* The number of the line's first bar, small over its left end, from the second line on. */
static void number_draw(struct layout *layout, const struct music_line *line)
{
    const struct score_bar *bar = &layout->staff->exercise->bars[line->first_bar];
    if (line->first_bar == 0 || !layout->staff->exercise->source->settings.show->bar_numbers)
        return;
    char text[16];
    snprintf(text, sizeof text, "%u", bar->number);
    struct box ink = text_ink(layout, TEXT_BAR_NUMBER, text);
    sp x = layout->sheet.text_left - ink.left;
    sp y = skyline_top(&layout->skyline, x, x + ink.right) - HOUSE_BAR_NUMBER_GAP - ink.bottom;
    text_left(layout, ROLE_BAR_NUMBER, TEXT_BAR_NUMBER, text, x, y);
}

static void opening_draw(struct layout *layout, const struct music_line *line)
{
    const struct staff *staff = layout->staff;
    uint32_t index = line->first_bar;
    const struct score_bar *bar = &staff->exercise->bars[index];
    sp x = layout->sheet.text_left + HOUSE_CLEF_LEAD;
    layout->pen.owner = bar_owner(layout, index);
    pen_glyph(&layout->pen, ROLE_CLEF, GLYPH_CLEF_PERCUSSION,
              x - glyph_ink(layout, GLYPH_CLEF_PERCUSSION).left, staff_middle(staff));
    number_draw(layout, line);
    if (bar->meter_changes)
        meter_draw(layout, bar->meter, x + clef_width(layout) + HOUSE_METER_LEAD);
    if (opens_with_repeat(staff, index))
        bar_line_draw(layout, BAR_LINE_REPEAT_BEGIN,
                      layout->sheet.text_left + line->opening -
                          bar_line_width(layout, BAR_LINE_REPEAT_BEGIN));
}

/* ---- setting ------------------------------------------------------------------------------ */

sp rigid_width(const struct layout *layout, const struct music_line *line)
{
    const struct work *work = &layout->work;
    sp rigid = line->opening + line->ending;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++) {
        rigid += bar->lead;
        if (bar < line_last_bar(work))
            rigid += after_width(layout, bar->index, false);
    }
    return rigid;
}

double line_length(const struct layout *layout, const struct music_line *line,
                   struct setting setting)
{
    const struct work *work = &layout->work;
    double length = rigid_width(layout, line);
    for (size_t i = work->line_columns.first; i < work->line_columns.end; i++)
        length += spring_length(&work->springs.items[i], setting);
    return length;
}

size_t line_pushed(const struct layout *layout, struct setting setting)
{
    const struct work *work = &layout->work;
    size_t count = 0;
    for (size_t i = work->line_columns.first; i < work->line_columns.end; i++)
        count += spring_pushed(&work->springs.items[i], setting);
    return count;
}

struct setting line_solve(const struct layout *layout, const struct music_line *line)
{
    const struct work *work = &layout->work;
    struct range columns = work->line_columns;
    if (line->stretch > 0)
        return (struct setting){(double)line->stretch, 1, false};
    return springs_solve_tight(work->springs.items + columns.first, columns.end - columns.first,
                               line_width(layout) - rigid_width(layout, line));
}

static sp rounded(double x)
{
    return (sp)(x + 0.5);
}

void bars_place(struct layout *layout, const struct music_line *line, struct setting setting)
{
    struct work *work = &layout->work;
    double x = layout->sheet.text_left + line->opening;
    for (size_t b = work->line_bars.first; b < work->line_bars.end; b++) {
        struct set_bar *bar = &work->bars.items[b];
        const struct score_bar *next = line_next_bar(work, bar);
        bar->left = rounded(x);
        if (bar == line_first_bar(work))
            bar->left -= name_push(layout, bar->index);
        x += bar->lead;
        for (size_t i = bar->columns.first; i < bar->columns.end; i++) {
            work->columns.items[i].x = rounded(x);
            x += spring_length(&work->springs.items[i], setting);
        }
        if (!next && line->stretch == 0) /* to the margin, even where more is kept after it */
            x = layout->sheet.text_right - after_width(layout, bar->index, true);
        bar->line_left = rounded(x);
        bar->right = bar->line_left + bar_line_width(layout, bar_line_after(bar->bar, next));
        x += after_width(layout, bar->index, !next);
    }
    for (size_t i = work->line_notes.first; i < work->line_notes.end; i++) {
        struct set_note *note = &work->notes.items[i];
        if (note->column != NONE)
            note->x = work->columns.items[note->column].x;
    }
}

/* ---- drawing ------------------------------------------------------------------------------ */

static void staff_draw(struct layout *layout, uint32_t bar, sp right)
{
    layout->pen.owner = bar_owner(layout, bar);
    for (sp y = layout->staff->top; y <= layout->staff->bottom; y += 1000)
        pen_horizontal(&layout->pen, ROLE_STAFF_LINE, layout->sheet.text_left, right, y,
                       layout->defaults->staff_line);
}

static void bar_lines_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++) {
        bool last = bar->index + 1 == layout->staff->exercise->bar_count;
        layout->pen.owner = bar_owner(layout, bar->index);
        bar_line_draw(layout, bar_line_after(bar->bar, line_next_bar(work, bar)), bar->line_left);
        if (!last && bar->bar[1].meter_changes)
            meter_draw(layout, bar->bar[1].meter, bar->right + HOUSE_METER_LEAD);
    }
}

static sp line_right(const struct layout *layout, const struct music_line *line)
{
    const struct set_bar *last = line_last_bar(&layout->work);
    if (line->stretch > 0)
        return last->line_left + after_width(layout, last->index, true);
    return layout->sheet.text_right;
}

static void page_columns_add(struct layout *layout, struct setting setting)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        for (size_t i = bar->columns.first; i < bar->columns.end; i++) {
            const struct column *column = &work->columns.items[i];
            bool closes = i + 1 == bar->columns.end;
            struct fraction onset = column->onset;
            struct fraction next =
                closes ? fraction_add(bar->bar->start, bar->bar->length) : column[1].onset;
            *vector_push(&layout->page_columns, NULL) = (struct page_column){
                .x = column->x,
                .duration_top = (int32_t)(next.numerator * onset.denominator -
                                          onset.numerator * next.denominator),
                .duration_bottom = (int32_t)(next.denominator * onset.denominator),
                .shortest_top = (int32_t)column->shortest_exact.numerator,
                .shortest_bottom = (int32_t)column->shortest_exact.denominator,
                .closes = closes,
                .pushed = spring_pushed(&work->springs.items[i], setting),
                .bar = bar->index,
            };
        }
}

static void system_note(const struct layout *layout, const struct music_line *line, sp right,
                        struct page_system *system)
{
    const struct work *work = &layout->work;
    const struct mark *marks = layout->pen.marks.items + system->first_mark;
    system->exercise = line->exercise;
    system->shown = layout->staff->exercise;
    system->first_bar = line->first_bar;
    system->bar_count = line->bar_count;
    system->left = layout->sheet.text_left;
    system->right = right;
    system->staff_top = layout->staff->top;
    system->staff_bottom = layout->staff->bottom;
    system->ragged = line->stretch > 0;
    system->column_count = work->line_columns.end - work->line_columns.first;
    system->mark_count = layout->pen.marks.count - system->first_mark;
    system->box = marks_box(marks, system->mark_count);
}

void system_draw(struct layout *layout, const struct music_line *line, struct page_system *system)
{
    system->first_mark = layout->pen.marks.count;
    bars_collect(layout, line);
    const struct staff *staff = layout->staff;
    struct setting setting = line_solve(layout, line);
    bars_place(layout, line, setting);
    sp right = line_right(layout, line);
    skyline_reset(&layout->skyline, staff->top, staff->bottom);
    layout->pen.skyline = NULL; /* the staff is in the skyline already */
    staff_draw(layout, line->first_bar, right);
    layout->pen.skyline = &layout->skyline;
    opening_draw(layout, line);
    bar_lines_draw(layout);
    beams_set(layout);
    beams_draw(layout);
    notes_draw(layout);
    ties_draw(layout, line);
    above_draw(layout);
    tuplets_draw(layout);
    figures_draw(layout);
    words_draw(layout);
    changes_draw(layout);
    endings_draw(layout);
    signs_over_draw(layout);
    dynamics_draw(layout);
    rows_draw(layout, line, system);
    layout->pen.skyline = NULL;
    page_columns_add(layout, setting);
    system_note(layout, line, right, system);
}
