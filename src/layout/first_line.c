#include "layout/layout_state.h"

/* The first line of music as a picture of its own: what a list of lessons shows of each. */

/* The page of one system alone. */
static void cut(struct layout *layout, struct page_system *system)
{
    const sp margin = HOUSE_PICTURE_MARGIN;
    struct mark *marks = layout->page.marks + system->first_mark;
    struct box box = marks_box(marks, system->mark_count);
    marks_move(marks, system->mark_count, margin - box.left, margin - box.top);
    system_move(system, margin - box.left, margin - box.top);
    for (size_t i = 0; i < system->column_count; i++)
        system->columns[i].x += margin - box.left;
    system->first_mark = 0;
    layout->page = (struct page){
        .number = 1,
        .count = 1,
        .width = box_width(box) + 2 * margin,
        .height = box_height(box) + 2 * margin,
        .margin = margin,
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
        cut(layout, &layout->systems.items[0]);
        return &layout->page;
    }
    return NULL;
}
