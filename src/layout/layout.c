#include "layout/layout_int.h"

#include <string.h>

static const struct {
    double width_mm, height_mm;
} page_sizes[] = {
    [PAGE_A4] = {210, 297},         /* ISO 216 */
    [PAGE_LETTER] = {215.9, 279.4}, /* ANSI/ASME Y14.1, 8.5 by 11 inches */
};

static void sheet_set(struct layout *layout)
{
    const struct page_settings *page = layout->score->lesson->settings.page;
    struct sheet *sheet = &layout->sheet;
    sheet->width = paper(layout, (int)(page_sizes[page->size].width_mm * 1000));
    sheet->height = paper(layout, (int)(page_sizes[page->size].height_mm * 1000));
    sheet->margin = paper(layout, (int)(page->margin_mm * 1000));
    sheet->text_left = sheet->margin;
    sheet->text_right = sheet->width - sheet->margin;
    sheet->text_top = sheet->margin;
    sheet->text_bottom = sp_min(sheet->height - sheet->margin - paper(layout, HOUSE_FOOT_HEIGHT_UM),
                                foot_rule(layout) - HOUSE_FOOT_CLEAR);
}

static void staves_set(struct layout *layout)
{
    size_t count = layout->score->exercise_count;
    layout->staves = memory_alloc((count + 1) * sizeof *layout->staves);
    layout->heading_blocks = memory_alloc((count + 1) * sizeof *layout->heading_blocks);
    for (size_t i = 0; i < count; i++) {
        layout->heading_blocks[i] = NONE;
        staff_of_exercise(layout->score, (uint32_t)i, &layout->staves[i]);
    }
}

struct layout *layout_new(const struct score *score, const struct metrics *metrics,
                          struct layout_options options, struct diags *diags)
{
    struct layout *layout = memory_alloc(sizeof *layout);
    memset(layout, 0, sizeof *layout);
    layout->score = score;
    layout->metrics = metrics;
    layout->defaults = metrics->defaults;
    layout->diags = diags;
    layout->arena = arena_new();
    layout->stored_exercise = NONE;
    layout->pen.metrics = metrics;
    layout->pen.defaults = metrics->defaults;
    sheet_set(layout);
    skyline_open(&layout->skyline, layout->sheet.width);
    staves_set(layout);
    blocks_make(layout, options);
    pages_break(layout);
    return layout;
}

void layout_free(struct layout *layout)
{
    if (!layout)
        return;
    arena_free(layout->arena);
    label_cache_release(&layout->labels);
    skyline_close(&layout->skyline);
    memory_free(layout->pen.marks);
    work_release(&layout->work);
    work_release(&layout->stored);
    memory_free(layout->staves);
    memory_free(layout->heading_blocks);
    memory_free(layout->lines);
    memory_free(layout->blocks);
    memory_free(layout->pages);
    memory_free(layout->systems);
    memory_free(layout);
}

uint32_t layout_page_count(const struct layout *layout)
{
    return (uint32_t)layout->page_count;
}

/* ---- writing a page ----------------------------------------------------------------------- */

/* White before a block of a page, left-over height shared in. */
static sp gap_before(const struct page_plan *plan, const struct block *block, bool first)
{
    if (first)
        return 0;
    return block->gap + (block->grows ? (sp)((int64_t)block->gap * plan->growth / 1000) : 0);
}

static void system_move(struct page_system *system, sp y)
{
    system->box.top += y;
    system->box.bottom += y;
    system->staff_top += y;
    system->staff_bottom += y;
    system->sticking_baseline += system->sticking_baseline ? y : 0;
    system->feet_sticking_baseline += system->feet_sticking_baseline ? y : 0;
    system->count_baseline += system->count_baseline ? y : 0;
}

static void block_place(struct layout *layout, const struct block *block, sp y)
{
    size_t first = layout->pen.count;
    struct page_system system = {0};
    block_draw(layout, block, &system);
    marks_move(layout->pen.marks, first, layout->pen.count, y);
    if (block->kind != BLOCK_SYSTEM)
        return;
    system_move(&system, y);
    *row_push(layout->systems, layout->system_count, layout->system_room) = system;
}

/* The row of columns may have moved while it grew: only now do they stand still. */
static void columns_hand_out(struct layout *layout)
{
    struct page_column *column = layout->work.page_columns;
    for (size_t i = 0; i < layout->system_count; i++) {
        layout->systems[i].columns = column;
        column += layout->systems[i].column_count;
    }
}

const struct page *layout_page(struct layout *layout, uint32_t number)
{
    const struct page_plan *plan = &layout->pages[number - 1];
    const struct sheet *sheet = &layout->sheet;
    layout->pen.count = layout->system_count = layout->work.page_column_count = 0;
    sp y = sheet->text_top;
    for (uint32_t i = plan->first; i < plan->end; i++) {
        const struct block *block = &layout->blocks[i];
        y += gap_before(plan, block, i == plan->first);
        block_place(layout, block, y - block->top);
        y += block->bottom - block->top;
    }
    foot_draw(layout, number);
    columns_hand_out(layout);
    layout->page = (struct page){
        .number = number,
        .count = (uint32_t)layout->page_count,
        .width = sheet->width,
        .height = sheet->height,
        .margin_left = sheet->margin,
        .margin_top = sheet->margin,
        .margin_right = sheet->margin,
        .margin_bottom = sheet->margin,
        .marks = layout->pen.marks,
        .mark_count = layout->pen.count,
        .systems = layout->systems,
        .system_count = layout->system_count,
    };
    return &layout->page;
}

uint32_t layout_exercise_page(const struct layout *layout, size_t exercise, sp *y)
{
    uint32_t block = layout->heading_blocks[exercise];
    *y = 0;
    if (block == NONE)
        return 0;
    size_t low = 0, high = layout->page_count; /* the page that holds the block */
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (layout->pages[middle].first <= block)
            low = middle;
        else
            high = middle;
    }
    const struct page_plan *plan = &layout->pages[low];
    *y = layout->sheet.text_top;
    for (uint32_t i = plan->first; i < block; i++)
        *y += gap_before(plan, &layout->blocks[i], i == plan->first) + layout->blocks[i].bottom -
              layout->blocks[i].top;
    *y += gap_before(plan, &layout->blocks[block], block == plan->first);
    return (uint32_t)low + 1;
}
