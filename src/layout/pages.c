#include "layout/layout_int.h"

#include <math.h>

/* Page breaking: least total cost over all blocks, as lines.c has it for bars. */

static double break_cost(const struct block *next)
{
    switch ((enum block_break)next->before) {
    case BREAK_FREE:
        return 0;
    case BREAK_IN_EXERCISE:
        return HOUSE_COST_IN_EXERCISE;
    case BREAK_LONE_LINE:
        return HOUSE_COST_LONE_LINE;
    case BREAK_NEVER:
        return 1e7; /* only where a page cannot hold them together */
    }
    return 0;
}

/* Of a page whose blocks and gaps are `used` high. */
static double cost_of(const struct block *blocks, size_t end, size_t count, double used,
                      double height)
{
    double cost = HOUSE_COST_PAGE;
    if (end == count)
        return cost;
    double empty = (height - used) / height;
    return cost + HOUSE_COST_EMPTY_PAGE * empty * empty + break_cost(&blocks[end]);
}

static double block_height(const struct block *block)
{
    return block->bottom - block->top;
}

double page_cost(const struct block *blocks, size_t first, size_t end, size_t count, sp height)
{
    double used = block_height(&blocks[first]);
    for (size_t i = first + 1; i < end; i++)
        used += blocks[i].gap + block_height(&blocks[i]);
    if (used > height)
        return end - first == 1 ? 1e9 : INFINITY;
    return cost_of(blocks, end, count, used, height);
}

static void best_page(const struct block *blocks, size_t end, size_t count, sp height,
                      double *total, uint32_t *from)
{
    double used = 0;
    total[end] = INFINITY;
    for (size_t first = end; first-- > 0;) {
        used += block_height(&blocks[first]);
        double cost = 1e9;
        if (used <= height)
            cost = cost_of(blocks, end, count, used, height);
        else if (end - first > 1)
            break;
        if (total[first] + cost < total[end]) {
            total[end] = total[first] + cost;
            from[end] = (uint32_t)first;
        }
        used += blocks[first].gap;
    }
}

size_t blocks_break(const struct block *blocks, size_t count, sp height, uint32_t *ends)
{
    double *total = memory_alloc((count + 1) * sizeof *total);
    uint32_t *from = memory_alloc((count + 1) * sizeof *from);
    total[0] = 0;
    for (size_t end = 1; end <= count; end++)
        best_page(blocks, end, count, height, total, from);
    size_t pages = 0;
    for (size_t end = count; end > 0; end = from[end])
        pages++;
    size_t page = pages;
    for (size_t end = count; end > 0; end = from[end])
        ends[--page] = (uint32_t)end;
    memory_free(total);
    memory_free(from);
    return pages;
}

/* How much, per thousand, the gaps that grow take of a page's left-over height. */
static sp gap_growth(const struct layout *layout, const struct page_plan *plan)
{
    int64_t left = layout->sheet.text_bottom - layout->sheet.text_top, growing = 0;
    for (uint32_t i = plan->first; i < plan->end; i++) {
        const struct block *block = &layout->blocks[i];
        left -= block->bottom - block->top;
        if (i == plan->first)
            continue;
        left -= block->gap;
        growing += block->grows ? block->gap : 0;
    }
    if (growing == 0 || left <= 0)
        return 0;
    int64_t growth = left * 1000 / growing;
    return growth > HOUSE_GAP_GROWTH ? HOUSE_GAP_GROWTH : (sp)growth;
}

void pages_break(struct layout *layout)
{
    uint32_t *ends = memory_alloc((layout->block_count + 1) * sizeof *ends);
    size_t count = blocks_break(layout->blocks, layout->block_count,
                                layout->sheet.text_bottom - layout->sheet.text_top, ends);
    for (size_t k = 0; k < count; k++) {
        struct page_plan *plan = row_push(layout->pages, layout->page_count, layout->page_room);
        plan->first = k ? ends[k - 1] : 0;
        plan->end = ends[k];
        plan->growth = gap_growth(layout, plan);
    }
    if (!count) /* an empty lesson is one empty page */
        row_push(layout->pages, layout->page_count, layout->page_room);
    memory_free(ends);
}
