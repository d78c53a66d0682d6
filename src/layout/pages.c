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

/* What the blocks and gaps of a page take: as they are, and with its gaps shrunk. */
struct height {
    double full, least;
};

static void height_add_block(struct height *height, const struct block *block)
{
    height->full += block->bottom - block->top;
    height->least += block->bottom - block->top;
}

static void height_add_gap(struct height *height, const struct block *block)
{
    height->full += block->gap;
    height->least += block->grows ? block->gap * (1 - HOUSE_GAP_SHRINK / 1000.0) : block->gap;
}

static double cost_of(const struct block *blocks, size_t end, size_t count, struct height used,
                      double height)
{
    double cost = HOUSE_COST_PAGE, after = 0;
    if (used.full > height) {
        double shrunk = (used.full - height) / (used.full - used.least);
        cost += HOUSE_COST_CLOSE_PAGE * shrunk * shrunk;
    }
    if (end < count) {
        double empty = used.full < height ? (height - used.full) / height : 0;
        after = HOUSE_COST_EMPTY_PAGE * empty * empty + break_cost(&blocks[end]);
    }
    return cost + after;
}

double page_cost(const struct block *blocks, size_t first, size_t end, size_t count, sp height)
{
    struct height used = {0, 0};
    height_add_block(&used, &blocks[first]);
    for (size_t i = first + 1; i < end; i++) {
        height_add_gap(&used, &blocks[i]);
        height_add_block(&used, &blocks[i]);
    }
    if (used.least > height)
        return end - first == 1 ? 1e9 : INFINITY;
    return cost_of(blocks, end, count, used, height);
}

static void best_page(const struct block *blocks, size_t end, size_t count, sp height,
                      double *total, uint32_t *from)
{
    struct height used = {0, 0};
    total[end] = INFINITY;
    for (size_t first = end; first-- > 0;) {
        height_add_block(&used, &blocks[first]);
        double cost = 1e9;
        if (used.least <= height)
            cost = cost_of(blocks, end, count, used, height);
        else if (end - first > 1)
            break;
        if (total[first] + cost < total[end]) {
            total[end] = total[first] + cost;
            from[end] = (uint32_t)first;
        }
        height_add_gap(&used, &blocks[first]);
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

/* How much, per thousand, the gaps that grow take of a page's left-over height, or give to a full
   page. */
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
    if (growing == 0)
        return 0;
    int64_t growth = left * 1000 / growing;
    return growth > HOUSE_GAP_GROWTH    ? HOUSE_GAP_GROWTH
           : growth < -HOUSE_GAP_SHRINK ? -HOUSE_GAP_SHRINK
                                        : (sp)growth;
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
