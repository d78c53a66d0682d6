#include "layout/layout_state.h"

/* The system is set on a line that is longer in proportion; what was drawn is then made smaller. */

static sp sized(sp length, int size)
{
    int64_t product = (int64_t)length * size, half = STAFF_WHOLE / 2;
    return (sp)((product + (product < 0 ? -half : half)) / STAFF_WHOLE);
}

static struct point point_sized(struct point point, int size)
{
    return (struct point){sized(point.x, size), sized(point.y, size)};
}

static struct box box_sized(struct box box, int size)
{
    return (struct box){sized(box.left, size), sized(box.top, size), sized(box.right, size),
                        sized(box.bottom, size)};
}

static void mark_shrink(struct mark *mark, int size)
{
    mark->box = box_sized(mark->box, size);
    mark->as.ends.from = point_sized(mark->as.ends.from, size); /* or where a sign is */
    mark->as.ends.to = point_sized(mark->as.ends.to, size);
    mark->radius = sized(mark->radius, size);
    mark->curve = (int16_t)sized(mark->curve, size);
    mark->scale = (uint16_t)sized(mark->scale ? mark->scale : 1000, size);
    if (mark->shape != SHAPE_LABEL && mark->shape != SHAPE_GLYPH)
        mark->with.width = sized(mark->with.width, size);
}

static void system_shrink(struct page_system *system, int size)
{
    system->box = box_sized(system->box, size);
    system->left = sized(system->left, size);
    system->right = sized(system->right, size);
    system->staff_top = sized(system->staff_top, size);
    system->staff_bottom = sized(system->staff_bottom, size);
    for (int row = 0; row < PAGE_ROWS; row++)
        system->baselines[row] = sized(system->baselines[row], size);
}

static sp unsized(sp length, int size)
{
    return (sp)((int64_t)length * STAFF_WHOLE / size);
}

struct sheet staff_sheet(struct layout *layout)
{
    struct sheet sheet = layout->sheet;
    int size = layout->staff->size;
    if (size < STAFF_WHOLE) {
        layout->sheet.text_left = unsized(sheet.text_left, size);
        layout->sheet.text_right = unsized(sheet.text_right, size);
        skyline_widen(&layout->skyline, unsized(sheet.width, size));
    }
    layout->metrics->staff_size(layout->metrics->self,
                                layout->staff->small_text ? STAFF_WHOLE : size);
    return sheet;
}

void page_sheet(struct layout *layout, struct sheet sheet)
{
    layout->sheet = sheet;
    layout->metrics->staff_size(layout->metrics->self, STAFF_WHOLE);
}

void sized_system_draw(struct layout *layout, const struct music_line *line,
                       struct page_system *system)
{
    const struct staff *staff = layout->staff = &layout->staves[line->exercise];
    size_t first_mark = layout->pen.marks.count, first_column = layout->page_columns.count;
    struct sheet sheet = staff_sheet(layout);
    system_draw(layout, line, system);
    page_sheet(layout, sheet);
    system->size = (uint16_t)staff->size;
    system->column_left = sheet.text_left;
    system->column_right = sheet.text_right;
    if (staff->size == STAFF_WHOLE)
        return;
    for (size_t i = first_mark; i < layout->pen.marks.count; i++)
        mark_shrink(&layout->pen.marks.items[i], staff->size);
    for (size_t i = first_column; i < layout->page_columns.count; i++)
        layout->page_columns.items[i].x = sized(layout->page_columns.items[i].x, staff->size);
    system_shrink(system, staff->size);
}

int staff_size_least(const struct layout *layout)
{
    int least = (int)(HOUSE_SMALL_STAFF_UM / (4 * layout->metrics->space_mm));
    return least < STAFF_WHOLE ? least : STAFF_WHOLE;
}
