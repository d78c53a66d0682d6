#include "layout/layout_int.h"

#include <math.h>

/*
 * Page breaking: least total cost over all pages at once, as lines.c has it for bars, and over all
 * ways to set neighbouring exercises side by side.
 *
 * A page that ends before a block is followed back to every block that it may begin with:
 *
 *     blocks     a   b   c   d   e | end        the ways from c: c d e, and (c d) e where c and d
 *                        \_____/                may be a pair
 *
 * A way is known by the height that it takes; of two that take the same, the cheaper is kept. So
 * the work is in proportion to the blocks, as long as few different heights come together on one
 * page: past WAYS_MOST of them at one block the nearest are taken for the same.
 */

enum { WAYS_MOST = 64 };

/* A part of a page, up to its end. */
struct way {
    struct page_height height; /* without the gap before its first block */
    const struct block *first; /* NULL: nothing yet */
    double cost;               /* of its pairs */
    uint32_t next;             /* the way that it goes on with */
    uint32_t choice;           /* that it begins with; NONE: a block */
    bool sole;                 /* one block, whose height no page can help */
};

struct finder {
    const struct page_matter *matter;
    struct way *ways;
    size_t way_count, way_room;
    uint32_t *first_way; /* of each block, and behind it the next one's before it */
    double *total;       /* the least cost of pages that end before a block */
    uint32_t *from;      /* the first block of the last of them */
    size_t longest;      /* blocks that a choice replaces */
};

/* ---- costs -------------------------------------------------------------------------------- */

static double break_cost(const struct block *next)
{
    static const double costs[] = {
        [BREAK_FREE] = 0,
        [BREAK_IN_EXERCISE] = HOUSE_COST_IN_EXERCISE,
        [BREAK_LONE_FIRST] = HOUSE_COST_LONE_FIRST,
        [BREAK_LONE_LAST] = HOUSE_COST_LONE_LAST,
        [BREAK_NEVER] = 1e7, /* only where a page cannot hold them together */
    };
    return costs[next->before];
}

/* Gaps that grow cost little, white that is left when they have grown costs the more the more it
   is: the least sum over all pages shares it among them, the last one too. Where there is one page
   alone nothing is to be shared. */
static double cost_of(const struct page_matter *matter, const struct way *way, size_t first,
                      size_t end)
{
    double cost = matter->page_cost + way->cost, left = matter->height - way->height.full;
    if (way->sole && left < 0)
        cost += 1e9;
    else if (left < 0) {
        double shrunk = -left / way->height.shrink;
        cost += HOUSE_COST_CLOSE_PAGE * shrunk * shrunk;
    } else if (first > 0 || end < matter->count) {
        double grown = left < way->height.growth ? left / way->height.growth : 1;
        double white = fmax(left - way->height.growth, 0) / matter->height;
        cost += HOUSE_COST_GROWN_PAGE * grown * grown;
        cost +=
            (end < matter->count ? HOUSE_COST_WHITE_PAGE : HOUSE_COST_WHITE_LAST) * white * white;
    }
    return end < matter->count ? cost + break_cost(&matter->blocks[end]) : cost;
}

static bool fits(const struct page_matter *matter, const struct way *way)
{
    return way->sole || way->height.full - way->height.shrink <= matter->height;
}

/* `block`, then its gap and what follows it. */
static struct way way_before(const struct block *block, const struct way *next)
{
    struct way way = {.height = next->height, .first = block, .cost = next->cost, .choice = NONE};
    way.height.full += block->bottom - block->top;
    way.sole = !next->first;
    if (next->first) {
        way.height.full += next->first->gap;
        way.height.growth += next->first->growth;
        way.height.shrink += next->first->shrink;
    }
    return way;
}

static struct way way_with(const struct choice *choice, const struct way *next)
{
    struct way way = way_before(&choice->pair, next);
    way.cost += choice->cost;
    way.sole = false; /* its exercises may stand one below the other instead */
    return way;
}

/* The way of blocks [first, end) with the choices that are taken. */
static struct way way_of(const struct page_matter *matter, const bool *taken, size_t first,
                         size_t end)
{
    struct way way = {0};
    size_t c = matter->choice_count;
    for (size_t i = end; i > first;) {
        while (c > 0 && (matter->choices[c - 1].end > i || !taken[c - 1]))
            c--;
        bool pair = c > 0 && matter->choices[c - 1].end == i;
        struct way next = way;
        way = pair ? way_with(&matter->choices[c - 1], &next)
                   : way_before(&matter->blocks[i - 1], &next);
        i = pair ? matter->choices[c - 1].first : i - 1;
    }
    return way;
}

struct page_height page_height(const struct page_matter *matter, const bool *taken, size_t first,
                               size_t end)
{
    return way_of(matter, taken, first, end).height;
}

double page_cost(const struct page_matter *matter, const bool *taken, size_t first, size_t end)
{
    struct way way = way_of(matter, taken, first, end);
    return fits(matter, &way) ? cost_of(matter, &way, first, end) : INFINITY;
}

/* ---- the ways to fill a page -------------------------------------------------------------- */

static bool same_height(const struct page_height *a, const struct page_height *b)
{
    return a->full == b->full && a->growth == b->growth && a->shrink == b->shrink;
}

/* Of the ways from `first` on: one of the same height, or where they are too many the nearest. */
static struct way *rival(struct finder *finder, size_t first, const struct way *way)
{
    struct way *nearest = NULL;
    double least = INFINITY;
    for (size_t i = first; i < finder->way_count; i++) {
        struct way *other = &finder->ways[i];
        if (other->first == way->first && same_height(&other->height, &way->height))
            return other;
        double apart = fabs(other->height.full - way->height.full);
        if (apart < least) {
            least = apart;
            nearest = other;
        }
    }
    return finder->way_count - first < WAYS_MOST ? NULL : nearest;
}

static void way_keep(struct finder *finder, size_t first, struct way way)
{
    if (!fits(finder->matter, &way))
        return;
    struct way *other = rival(finder, first, &way);
    if (other && other->cost <= way.cost)
        return;
    if (!other)
        other = row_push(finder->ways, finder->way_count, finder->way_room);
    *other = way;
}

/* The choice that begins with a block; NONE. */
static uint32_t choice_at(const struct page_matter *matter, size_t block)
{
    size_t low = 0, high = matter->choice_count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (matter->choices[middle].first < block)
            low = middle + 1;
        else
            high = middle;
    }
    return low < matter->choice_count && matter->choices[low].first == block ? (uint32_t)low : NONE;
}

/* Ways are kept from the end back: those of a block stand before those of the block before it. */
static void ways_go_on(struct finder *finder, size_t first, size_t from, uint32_t choice)
{
    const struct page_matter *matter = finder->matter;
    for (uint32_t i = finder->first_way[from]; i < finder->first_way[from - 1]; i++) {
        struct way next = finder->ways[i];
        struct way way = choice == NONE ? way_before(&matter->blocks[from - 1], &next)
                                        : way_with(&matter->choices[choice], &next);
        way.next = i;
        way.choice = choice;
        way_keep(finder, first, way);
    }
}

/* Where the ways of a block end. */
static uint32_t ways_end(const struct finder *finder, size_t block, size_t lowest)
{
    return block == lowest ? (uint32_t)finder->way_count : finder->first_way[block - 1];
}

/* All ways to fill a page that ends before block `end`; returns the lowest block looked at. */
static size_t ways_find(struct finder *finder, size_t end)
{
    const struct page_matter *matter = finder->matter;
    size_t block = end, dry = 0;
    finder->way_count = 0;
    *row_push(finder->ways, finder->way_count, finder->way_room) = (struct way){.choice = NONE};
    finder->first_way[end] = 0;
    while (block > 0 && dry <= finder->longest) {
        size_t first = finder->way_count;
        finder->first_way[--block] = (uint32_t)first;
        ways_go_on(finder, first, block + 1, NONE);
        uint32_t choice = choice_at(matter, block);
        if (choice != NONE && matter->choices[choice].end <= end)
            ways_go_on(finder, first, matter->choices[choice].end, choice);
        dry = finder->way_count > first ? 0 : dry + 1;
    }
    return block;
}

/* The cheapest of a block's ways; NONE. */
static uint32_t way_best(const struct finder *finder, size_t block, size_t lowest, size_t end,
                         double *cost)
{
    uint32_t best = NONE;
    *cost = INFINITY;
    for (uint32_t i = finder->first_way[block]; i < ways_end(finder, block, lowest); i++) {
        double here = cost_of(finder->matter, &finder->ways[i], block, end);
        if (here < *cost) {
            *cost = here;
            best = i;
        }
    }
    return best;
}

static void page_find(struct finder *finder, size_t end)
{
    size_t lowest = ways_find(finder, end);
    finder->total[end] = INFINITY;
    for (size_t block = end; block-- > lowest;) {
        double cost;
        way_best(finder, block, lowest, end, &cost);
        if (finder->total[block] + cost < finder->total[end]) {
            finder->total[end] = finder->total[block] + cost;
            finder->from[end] = (uint32_t)block;
        }
    }
}

/* The choices of the page that ends before block `end`, once it is settled. */
static void page_take(struct finder *finder, size_t end, bool *taken)
{
    double cost;
    size_t lowest = ways_find(finder, end);
    uint32_t i = way_best(finder, finder->from[end], lowest, end, &cost);
    for (; finder->ways[i].first; i = finder->ways[i].next)
        if (finder->ways[i].choice != NONE)
            taken[finder->ways[i].choice] = true;
}

static size_t longest_choice(const struct page_matter *matter)
{
    size_t longest = 0;
    for (size_t i = 0; i < matter->choice_count; i++)
        if (matter->choices[i].end - matter->choices[i].first > longest)
            longest = matter->choices[i].end - matter->choices[i].first;
    return longest;
}

size_t pages_find(const struct page_matter *matter, uint32_t *ends, bool *taken)
{
    size_t count = matter->count, pages = 0;
    struct finder finder = {.matter = matter, .longest = longest_choice(matter)};
    finder.total = memory_alloc((count + 1) * sizeof *finder.total);
    finder.from = memory_alloc((count + 1) * sizeof *finder.from);
    finder.first_way = memory_alloc((count + 1) * sizeof *finder.first_way);
    finder.total[0] = 0;
    for (size_t end = 1; end <= count; end++)
        page_find(&finder, end);
    for (size_t end = count; end > 0; end = finder.from[end])
        pages++;
    size_t page = pages;
    for (size_t i = 0; i < matter->choice_count; i++)
        taken[i] = false;
    for (size_t end = count; end > 0; end = finder.from[end]) {
        ends[--page] = (uint32_t)end;
        if (matter->choice_count)
            page_take(&finder, end, taken);
    }
    memory_free(finder.ways);
    memory_free(finder.total);
    memory_free(finder.from);
    memory_free(finder.first_way);
    return pages;
}
