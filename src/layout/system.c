#include "layout/layout_int.h"

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

static sp opening_width(const struct layout *layout, const struct staff *staff, uint32_t index)
{
    const struct score_bar *bar = &staff->exercise->bars[index];
    sp width = HOUSE_CLEF_LEAD + clef_width(layout) + HOUSE_METER_TRAIL;
    if (bar->meter_changes)
        width += meter_room(layout, bar->meter);
    if (opens_with_repeat(staff, index))
        width += HOUSE_METER_TRAIL + bar_line_width(layout, BAR_LINE_REPEAT_BEGIN);
    return width;
}

/* The bar lines after a bar, and the meter that follows them: inside a line where the next bar
   changes it, and at a line's end as a warning of the same. */
static sp after_width(const struct layout *layout, const struct staff *staff, uint32_t index,
                      bool at_end)
{
    const struct score_bar *bar = &staff->exercise->bars[index];
    bool more = index + 1 < staff->exercise->bar_count;
    const struct score_bar *next = more ? bar + 1 : NULL;
    sp width = bar_line_width(layout, bar_line_after(bar, at_end ? NULL : next));
    if (next && next->meter_changes)
        width += meter_room(layout, next->meter) - (at_end ? HOUSE_METER_TRAIL : 0);
    return width;
}

static void opening_draw(struct layout *layout, const struct staff *staff, uint32_t index)
{
    const struct score_bar *bar = &staff->exercise->bars[index];
    const struct box *clef = &layout->metrics->glyphs[GLYPH_CLEF_PERCUSSION].ink;
    sp x = layout->sheet.text_left + HOUSE_CLEF_LEAD;
    layout->pen.owner = mark_owner(staff->index, 0, index, OWNER_NONE);
    pen_glyph(&layout->pen, ROLE_CLEF, GLYPH_CLEF_PERCUSSION, x - clef->left,
              (staff->top + staff->bottom) / 2);
    x += clef_width(layout);
    if (bar->meter_changes) {
        meter_draw(layout, staff, bar->meter, x + HOUSE_METER_LEAD);
        x += meter_room(layout, bar->meter);
    }
    if (opens_with_repeat(staff, index))
        bar_line_draw(layout, staff, BAR_LINE_REPEAT_BEGIN, x + HOUSE_METER_TRAIL);
}

/* ---- setting ------------------------------------------------------------------------------ */

/* All of the line that no spring moves. */
static sp rigid_width(const struct layout *layout, const struct staff *staff,
                      const struct line *line)
{
    const struct work *work = &layout->work;
    sp rigid = opening_width(layout, staff, line->first_bar);
    for (uint32_t i = 0; i < line->bar_count; i++) {
        rigid += work->bars[i].lead;
        rigid += after_width(layout, staff, line->first_bar + i, i + 1 == line->bar_count);
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
    double x = layout->sheet.text_left + opening_width(layout, staff, line->first_bar);
    for (size_t b = 0; b < work->bar_count; b++) {
        struct set_bar *bar = &work->bars[b];
        bool at_end = b + 1 == work->bar_count;
        bar->left = rounded(x);
        x += bar->lead;
        for (size_t i = 0; i < bar->column_count; i++) {
            work->columns[bar->first_column + i].x = rounded(x);
            x += spring_length(&work->springs[bar->first_column + i], setting);
        }
        bar->line_left = rounded(x);
        bar->right = bar->line_left +
                     bar_line_width(layout, bar_line_after(bar->bar, at_end ? NULL : bar->bar + 1));
        x += after_width(layout, staff, bar->index, at_end);
    }
    for (size_t i = 0; i < work->note_count; i++)
        if (work->notes[i].column != NONE)
            work->notes[i].x = work->columns[work->notes[i].column].x;
}

static struct setting line_solve(struct layout *layout, const struct staff *staff,
                                 const struct line *line)
{
    const struct work *work = &layout->work;
    if (line->stretch > 0)
        return (struct setting){(double)line->stretch, 1};
    sp width = layout->sheet.text_right - layout->sheet.text_left;
    return springs_solve(work->springs, work->column_count,
                         width - rigid_width(layout, staff, line));
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
    system->column_left = layout->sheet.text_left;
    system->column_right = layout->sheet.text_right;
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
    opening_draw(layout, staff, line->first_bar);
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

/* ---- breaking an exercise into lines ------------------------------------------------------ */

static bool column_has_graces(const struct set_bar *bar, const struct column *column)
{
    if (column->hands == NONE)
        return false;
    const struct note *note = bar->bar->lines[LINE_HANDS].leaves[column->hands].note;
    return note && note->grace_count > 0;
}

/* The stretch below which ink (ghosts in a row, wide syllables) would part equal values unequally,
   or nearly. Grace notes, and lines that cross closely, stand out of the row anyhow. */
static double even_stretch(const struct work *work, const struct set_bar *bar)
{
    const struct column *columns = work->columns + bar->first_column;
    const struct spring *springs = work->springs + bar->first_column;
    double stretch = HOUSE_LEAST_STRETCH / 1000.0;
    for (size_t i = 0; i + 1 < bar->column_count; i++) {
        double needed = (springs[i].rod + HOUSE_EVEN_WHITE) / springs[i].natural;
        if (needed > stretch && needed < HOUSE_EVEN_STRETCH / 1000.0 &&
            !column_has_graces(bar, &columns[i + 1]))
            stretch = needed;
    }
    return stretch;
}

static struct line_bar measure_bar(struct layout *layout, const struct staff *staff, uint32_t index)
{
    const struct set_bar *bar = bars_store(layout, staff, index);
    const struct spring *springs = layout->stored.springs + bar->first_column;
    double natural = bar->lead, least = natural;
    double tightest = even_stretch(&layout->stored, bar);
    double usual = tightest > 1 ? tightest : 1;
    for (size_t i = 0; i < bar->column_count; i++) {
        natural += spring_length(&springs[i], (struct setting){usual, 1});
        least += spring_length(&springs[i], (struct setting){tightest, 1});
    }
    return (struct line_bar){
        .natural = rounded(natural),
        .least = rounded(least),
        .tightest = rounded(tightest < 1 ? tightest * 1000 : 1000),
        .opening = opening_width(layout, staff, index),
        .between = after_width(layout, staff, index, false),
        .ending = after_width(layout, staff, index, true),
    };
}

static void warn_too_wide(struct layout *layout, const struct staff *staff, const struct line *line)
{
    const struct score_bar *bar = &staff->exercise->bars[line->first_bar];
    bars_collect(layout, staff, line);
    if (line_solve(layout, staff, line).squeeze < 1) {
        if (line->bar_count == 1)
            diag_add(layout->diags, DIAG_NOT_PRINTABLE, bar->at,
                     "bar %u is wider than a line, and is set closer than it should be",
                     bar->number);
        else
            diag_add(layout->diags, DIAG_NOT_PRINTABLE, bar->at,
                     "bars %u to %u are wider than a line, and are set closer than they should be",
                     bar->number, bar[line->bar_count - 1].number);
    }
}

/* A last line that is not full keeps the spacing of the line before it; a line that stands alone
   is judged, and set, more widely. */
static void ragged_set(struct layout *layout, const struct staff *staff, size_t first,
                       struct line *last)
{
    double stretch = HOUSE_SOLE_FULL / 1000.0;
    if (last != &layout->lines[first]) {
        bars_collect(layout, staff, last - 1);
        stretch = line_solve(layout, staff, last - 1).stretch;
    }
    bars_collect(layout, staff, last);
    double length = rigid_width(layout, staff, last);
    for (size_t i = 0; i < layout->work.column_count; i++)
        length += spring_length(&layout->work.springs[i], (struct setting){stretch, 1});
    sp width = layout->sheet.text_right - layout->sheet.text_left;
    if (length * 1000 < (double)width * HOUSE_FULL)
        last->stretch =
            last != &layout->lines[first] ? (float)stretch : (float)(HOUSE_SOLE_STRETCH / 1000.0);
}

static void lines_add(struct layout *layout, const struct staff *staff, const uint32_t *ends,
                      size_t count, const struct line_bar *bars)
{
    size_t first_line = layout->line_count;
    sp width = layout->sheet.text_right - layout->sheet.text_left;
    for (size_t k = 0; k < count; k++) {
        struct line *line = row_push(layout->lines, layout->line_count, layout->line_room);
        uint32_t first = k ? ends[k - 1] : 0;
        *line = (struct line){staff->index, first, ends[k] - first, 0};
        double cost = line_cost(bars, first, ends[k], staff->exercise->bar_count, width);
        if (cost >= 1e9)
            warn_too_wide(layout, staff, line);
    }
    if (count)
        ragged_set(layout, staff, first_line, &layout->lines[layout->line_count - 1]);
}

/* All bars on one line: asked for where they could stand beside another exercise's. */
static struct one_line one_line_of(const struct line_bar *bars, size_t count)
{
    if (count == 0 || count > HOUSE_BESIDE_BARS)
        return (struct one_line){INT32_MAX, 0, 0};
    struct one_line line = {.rigid = bars[0].opening + bars[count - 1].ending};
    for (size_t i = 0; i < count; i++) {
        line.natural += bars[i].natural;
        line.least += bars[i].least;
        line.rigid += i + 1 < count ? bars[i].between : 0;
    }
    return line;
}

void lines_of_exercise(struct layout *layout, uint32_t exercise)
{
    const struct staff *staff = &layout->staves[exercise];
    size_t count = staff->exercise->bar_count;
    struct line_bar *bars = memory_alloc((count + 1) * sizeof *bars);
    uint32_t *ends = memory_alloc((count + 1) * sizeof *ends);
    for (size_t i = 0; i < count; i++)
        bars[i] = measure_bar(layout, staff, (uint32_t)i);
    layout->one_line[exercise] = one_line_of(bars, count);
    const struct page_settings *page = staff->exercise->source->settings.page;
    size_t lines = lines_break(bars, count, layout->sheet.text_right - layout->sheet.text_left,
                               page->bars_per_line, ends);
    lines_add(layout, staff, ends, lines, bars);
    memory_free(bars);
    memory_free(ends);
}
