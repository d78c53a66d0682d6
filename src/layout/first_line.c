#include "layout/layout_int.h"

/* The first line of music as a picture of its own: what a list of lessons shows of each. */

static void mark_shift(struct mark *mark, sp x, sp y)
{
    bool span = mark->shape == SHAPE_LINE || mark->shape == SHAPE_BEAM ||
                mark->shape == SHAPE_CURVE || mark->shape == SHAPE_BOX;
    mark->box = (struct box){mark->box.left + x, mark->box.top + y, mark->box.right + x,
                             mark->box.bottom + y};
    mark->as.at.x += x; /* the span's first point as well */
    mark->as.at.y += y;
    if (span) {
        mark->as.span.to.x += x;
        mark->as.span.to.y += y;
    }
}

static void system_shift(struct page_system *system, sp x, sp y)
{
    system->box = (struct box){system->box.left + x, system->box.top + y, system->box.right + x,
                               system->box.bottom + y};
    system->left += x;
    system->right += x;
    system->staff_top += y;
    system->staff_bottom += y;
    system->sticking_baseline += system->sticking_baseline ? y : 0;
    system->feet_sticking_baseline += system->feet_sticking_baseline ? y : 0;
    system->count_baseline += system->count_baseline ? y : 0;
    for (size_t i = 0; i < system->column_count; i++)
        system->columns[i].x += x;
    system->first_mark = 0;
}

/* The page of the first system alone. */
static void cut(struct layout *layout, struct page_system *system)
{
    struct page *page = &layout->page;
    const sp margin = HOUSE_PICTURE_MARGIN;
    struct mark *marks = page->marks + system->first_mark;
    struct box box = marks_box(marks, 0, system->mark_count);
    for (size_t i = 0; i < system->mark_count; i++)
        mark_shift(&marks[i], margin - box.left, margin - box.top);
    system_shift(system, margin - box.left, margin - box.top);
    *page = (struct page){
        .number = 1,
        .count = 1,
        .width = box_width(box) + 2 * margin,
        .height = box_height(box) + 2 * margin,
        .margin_left = margin,
        .margin_top = margin,
        .margin_right = margin,
        .margin_bottom = margin,
        .marks = marks,
        .mark_count = system->mark_count,
        .systems = system,
        .system_count = 1,
    };
}

const struct page *layout_first_line(struct layout *layout)
{
    for (uint32_t number = 1; number <= layout_page_count(layout); number++) {
        if (layout_page(layout, number)->system_count == 0)
            continue;
        cut(layout, &layout->systems[0]);
        return &layout->page;
    }
    return NULL;
}
