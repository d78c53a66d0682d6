#include "layout/layout_int.h"

/*
 * An exercise with a bar that no line of the page can hold stands on a smaller staff: it is set on
 * a line that is as much longer, and what was drawn is made smaller.
 */

enum { WHOLE = 1000 };

static sp sized(sp length, int size)
{
    int64_t product = (int64_t)length * size;
    return (sp)((product + (product < 0 ? -WHOLE / 2 : WHOLE / 2)) / WHOLE);
}

static struct point point_sized(struct point point, int size)
{
    return (struct point){sized(point.x, size), sized(point.y, size)};
}

static void mark_shrink(struct mark *mark, int size)
{
    struct box *box = &mark->box;
    *box = (struct box){sized(box->left, size), sized(box->top, size), sized(box->right, size),
                        sized(box->bottom, size)};
    mark->as.span.from = point_sized(mark->as.span.from, size); /* or the origin of a sign */
    mark->as.span.to = point_sized(mark->as.span.to, size);
    mark->radius = sized(mark->radius, size);
    mark->curve = (int16_t)sized(mark->curve, size);
    mark->scale = (uint16_t)sized(mark->scale ? mark->scale : WHOLE, size);
    if (mark->shape != SHAPE_LABEL && mark->shape != SHAPE_GLYPH)
        mark->with.width = sized(mark->with.width, size);
}

static void system_shrink(struct page_system *system, int size)
{
    struct box *box = &system->box;
    *box = (struct box){sized(box->left, size), sized(box->top, size), sized(box->right, size),
                        sized(box->bottom, size)};
    system->left = sized(system->left, size);
    system->right = sized(system->right, size);
    system->staff_top = sized(system->staff_top, size);
    system->staff_bottom = sized(system->staff_bottom, size);
    system->sticking_baseline = sized(system->sticking_baseline, size);
    system->feet_sticking_baseline = sized(system->feet_sticking_baseline, size);
    system->count_baseline = sized(system->count_baseline, size);
}

struct sheet staff_sheet(struct layout *layout, const struct staff *staff)
{
    struct sheet sheet = layout->sheet;
    if (staff->size < WHOLE) {
        layout->sheet.text_left = (sp)((int64_t)sheet.text_left * WHOLE / staff->size);
        layout->sheet.text_right = (sp)((int64_t)sheet.text_right * WHOLE / staff->size);
        skyline_widen(&layout->skyline, (sp)((int64_t)sheet.width * WHOLE / staff->size));
    }
    return sheet;
}

void sized_system_draw(struct layout *layout, const struct line *line, struct page_system *system)
{
    const struct staff *staff = &layout->staves[line->exercise];
    size_t first_mark = layout->pen.count, first_column = layout->work.page_column_count;
    struct sheet sheet = staff_sheet(layout, staff);
    system_draw(layout, line, system);
    layout->sheet = sheet;
    system->size = (uint16_t)staff->size;
    system->column_left = sheet.text_left;
    system->column_right = sheet.text_right;
    if (staff->size == WHOLE)
        return;
    for (size_t i = first_mark; i < layout->pen.count; i++)
        mark_shrink(&layout->pen.marks[i], staff->size);
    for (size_t i = first_column; i < layout->work.page_column_count; i++)
        layout->work.page_columns[i].x = sized(layout->work.page_columns[i].x, staff->size);
    system_shrink(system, staff->size);
}

int staff_size_for(const struct layout *layout, sp needed, sp width)
{
    int least = (int)(HOUSE_SMALL_STAFF_UM / (4 * layout->metrics->space_mm));
    int size = (int)((int64_t)width * WHOLE / needed);
    return size < least ? (least < WHOLE ? least : WHOLE) : size;
}
