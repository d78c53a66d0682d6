#include "layout/layout_state.h"

#include <math.h>

sp page_gap(const struct cast_page *cast, const struct block *block, bool first)
{
    if (first)
        return 0;
    sp change = cast->fill.growth > 0 ? block->growth : block->shrink;
    return block->gap + sp_scaled(change, cast->fill.growth);
}

static enum page_fullness fullness_of(int64_t left, int64_t height)
{
    return left < 0                 ? PAGE_OVERFULL
           : left * 3 <= height     ? PAGE_EVEN
           : left * 2 <= height     ? PAGE_OPEN
           : left * 4 <= 3 * height ? PAGE_BARE
                                    : PAGE_EMPTY;
}

/* How far a page's gaps may grow: less on pages that stay mostly white anyway. */
static int64_t growth_most(const struct page_matter *matter, const struct page_height *page)
{
    double left = matter->height - page->full - page->growth;
    return left * 3 > matter->height ? HOUSE_GROWTH_BARE : 1000;
}

/* How a page's gaps share the height that is left above `foot`, or make room on a full page. */
static void fill_set(const struct page_matter *matter, const struct page_height *page, sp foot,
                     struct page_fill *fill)
{
    int64_t full = (int64_t)page->full, growth = (int64_t)page->growth;
    int64_t shrink = (int64_t)page->shrink, height = matter->height, left = foot - full;
    int64_t most = growth_most(matter, page);
    int64_t share =
        left > 0 ? (growth ? left * 1000 / growth : 0) : (shrink ? left * 1000 / shrink : 0);
    share = share > most ? most : share < -1000 ? -1000 : share;
    left += height - foot - (share > 0 ? growth * share / 1000 : shrink * share / 1000);
    fill->growth = (int16_t)share;
    fill->natural = (int16_t)(full > 2 * height ? 2000 : full * 1000 / height);
    fill->used = (int16_t)(left < -height ? 2000 : 1000 - left * 1000 / height);
    /* Gaps are rounded to whole thousandths of a space. */
    fill->fullness = (uint8_t)fullness_of(left < 0 && left > -100 ? 0 : left, height);
}

/* The blocks that a page shows, duos in place of those that they replace. Returns the number after
   the last. */
static size_t blocks_place(struct layout *layout, const bool *taken, size_t first, size_t end,
                           size_t placed, struct page_fill *fill)
{
    const struct choice *choices = layout->choices.items;
    size_t choice = 0;
    while (first < end) {
        while (choice < layout->choices.count && (choices[choice].first < first || !taken[choice]))
            choice++;
        bool duo = choice < layout->choices.count && choices[choice].first == first;
        layout->placed[placed++] = duo ? &choices[choice].duo : &layout->blocks.items[first];
        fill->duos = (uint8_t)(fill->duos + duo);
        first = duo ? choices[choice].end : first + 1;
    }
    return placed;
}

/* Facing pages end at the same height: that of the shortest, unless another needs more. A mostly
 * empty page does not hold the others back. */
static sp common_foot(const struct page_matter *matter, const bool *taken, const uint32_t *ends,
                      size_t count)
{
    double foot = matter->height, fullest = 0;
    for (size_t k = 0; k < count; k++) {
        struct page_height page = page_height(matter, taken, k ? ends[k - 1] : 0, ends[k]);
        double reach = page.full + page.growth * (double)growth_most(matter, &page) / 1000;
        if (reach * 1000 >= matter->height * HOUSE_FOOT_LEVEL)
            foot = fmin(foot, reach);
        fullest = fmax(fullest, page.full);
    }
    return (sp)fmin(fmax(foot, fullest), matter->height);
}

static void cast_add(struct layout *layout, const struct page_matter *matter, const bool *taken,
                     size_t first, size_t end, sp foot)
{
    size_t pages = layout->pages.count;
    size_t placed = pages ? layout->pages.items[pages - 1].end : 0;
    struct cast_page *cast = vector_push(&layout->pages, layout->arena);
    struct page_height height = page_height(matter, taken, first, end);
    uint8_t before = matter->blocks[first].before;
    fill_set(matter, &height, foot, &cast->fill);
    cast->fill.lone_first = first > 0 && before == BREAK_LONE_FIRST;
    cast->fill.lone_last = first > 0 && before == BREAK_LONE_LAST;
    cast->first = (uint32_t)placed;
    cast->end = (uint32_t)blocks_place(layout, taken, first, end, placed, &cast->fill);
}

static void headings_place(struct layout *layout, uint32_t number)
{
    const struct cast_page *cast = &layout->pages.items[number - 1];
    sp y = layout->sheet.text_top;
    for (uint32_t i = cast->first; i < cast->end; i++) {
        const struct block *block = layout->placed[i];
        y += page_gap(cast, block, i == cast->first);
        if (block->kind == BLOCK_HEADING)
            layout->headings[block->exercise] = (struct heading_place){number, y};
        const struct duo *duo = block->kind == BLOCK_DUO ? &layout->duos.items[block->item] : NULL;
        for (size_t p = 0; duo && p < duo->count; p++) {
            const struct part *part = &duo->parts[p];
            if (part->block.kind == BLOCK_HEADING)
                layout->headings[part->block.exercise] =
                    (struct heading_place){number, y - block->top + part->y + part->block.top};
        }
        y += block->bottom - block->top;
    }
}

void pages_break(struct layout *layout)
{
    struct page_matter matter = {.blocks = layout->blocks.items,
                                 .count = layout->blocks.count,
                                 .choices = layout->choices.items,
                                 .choice_count = layout->choices.count,
                                 .height = layout->sheet.text_bottom - layout->sheet.text_top,
                                 .page_cost = layout->score->lesson->settings.page->fit_one
                                                  ? HOUSE_COST_PAGE_FIT
                                                  : HOUSE_COST_PAGE};
    uint32_t *ends = memory_alloc((matter.count + 1) * sizeof *ends);
    bool *taken = memory_alloc((matter.choice_count + 1) * sizeof *taken);
    layout->placed = arena_array(layout->arena, matter.count + 1, sizeof *layout->placed);
    size_t count = pages_find(&matter, ends, taken);
    sp foot = common_foot(&matter, taken, ends, count);
    for (size_t k = 0; k < count; k++) {
        cast_add(layout, &matter, taken, k ? ends[k - 1] : 0, ends[k], foot);
        headings_place(layout, (uint32_t)k + 1);
    }
    if (!count) /* an empty lesson is one empty page */
        vector_push(&layout->pages, layout->arena);
    memory_free(ends);
    memory_free(taken);
}
