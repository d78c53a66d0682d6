#include "layout/pages.h"

#include "layout/house.h"
#include "layout/lines.h"
#include "layout/work.h"

#include <math.h>

/*
 * Page breaking: least total cost over all pages at once, as lines.c has it for bars, and over all
 * choices of exercises side by side.
 *
 *     1. For each block that a page may end before, the page is filled from its end back: every
 *        tail is a part of it, from some block to its end. One may go on with the block before it,
 *        or with a duo that ends there:
 *
 *            blocks     a   b   c   d   e | end      the tails from c: c d e, and (c d) e where
 *                               \___/                c and d may be a duo
 *
 *     2. Of tails from one block that take the same height the cheaper is kept. So the work is in
 *        proportion to the blocks, as long as few different heights come together on one page: past
 *        TAILS_MOST of them at one block, the nearest are taken for the same.
 *     3. The cheapest page up to that end, with the cheapest pages before it, is noted.
 *     4. The pages are read off from the lesson's end, and each is filled once more to see which
 *        choices it takes.
 */

enum { TAILS_MOST = 64 };

struct tail {
    struct page_height height; /* without the gap before its first block */
    const struct block *first; /* NULL: nothing yet */
    double cost;               /* of its duos */
    uint32_t next;             /* the tail that it goes on with */
    uint32_t choice;           /* that it begins with; NONE: a block */
    bool sole;                 /* one block, whose height no page can help */
};

struct finder {
    const struct page_matter *matter;
    VECTOR(struct tail) tails;
    uint32_t *first_tail; /* of each block; those of the block before it follow */
    struct stop *stops;   /* of pages that end before a block */
    size_t longest;       /* blocks that a choice replaces */
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

/* Gaps that grow cost little. White that is left when they have grown costs the more the more it
   is: the least sum over all pages shares it among them, the last one too. A page that is alone
   has nothing to share. */
static double cost_of(const struct page_matter *matter, const struct tail *tail, size_t first,
                      size_t end)
{
    double cost = matter->page_cost + tail->cost, left = matter->height - tail->height.full;
    if (tail->sole && left < 0)
        cost += 1e9;
    else if (left < 0) {
        double shrunk = -left / tail->height.shrink;
        cost += HOUSE_COST_CLOSE_PAGE * shrunk * shrunk;
    } else if (first > 0 || end < matter->count) {
        double grown = left < tail->height.growth ? left / tail->height.growth : 1;
        double white = fmax(left - tail->height.growth, 0) / matter->height;
        cost += HOUSE_COST_GROWN_PAGE * grown * grown;
        cost +=
            (end < matter->count ? HOUSE_COST_WHITE_PAGE : HOUSE_COST_WHITE_LAST) * white * white;
        cost += white * 3 > 1 ? HOUSE_COST_BARE_PAGE : 0;
    }
    return end < matter->count ? cost + break_cost(&matter->blocks[end]) : cost;
}

static bool fits(const struct page_matter *matter, const struct tail *tail)
{
    return tail->sole || tail->height.full - tail->height.shrink <= matter->height;
}

/* `block`, then its gap and what follows it. */
static struct tail tail_before(const struct block *block, const struct tail *next)
{
    struct tail tail = {.height = next->height, .first = block, .cost = next->cost, .choice = NONE};
    tail.height.full += block->bottom - block->top;
    tail.sole = !next->first;
    if (next->first) {
        tail.height.full += next->first->gap;
        tail.height.growth += next->first->growth;
        tail.height.shrink += next->first->shrink;
    }
    return tail;
}

static struct tail tail_with(const struct choice *choice, const struct tail *next)
{
    struct tail tail = tail_before(&choice->duo, next);
    tail.cost += choice->cost;
    tail.sole = false; /* its exercises may stand one below the other instead */
    return tail;
}

/* All of a page of blocks [first, end). */
static struct tail page_of(const struct page_matter *matter, const bool *taken, size_t first,
                           size_t end)
{
    struct tail tail = {0};
    size_t c = matter->choice_count;
    for (size_t i = end; i > first;) {
        while (c > 0 && (matter->choices[c - 1].end > i || !taken[c - 1]))
            c--;
        bool duo = c > 0 && matter->choices[c - 1].end == i;
        struct tail next = tail;
        tail = duo ? tail_with(&matter->choices[c - 1], &next)
                   : tail_before(&matter->blocks[i - 1], &next);
        i = duo ? matter->choices[c - 1].first : i - 1;
    }
    return tail;
}

struct page_height page_height(const struct page_matter *matter, const bool *taken, size_t first,
                               size_t end)
{
    return page_of(matter, taken, first, end).height;
}

double page_cost(const struct page_matter *matter, const bool *taken, size_t first, size_t end)
{
    struct tail tail = page_of(matter, taken, first, end);
    return fits(matter, &tail) ? cost_of(matter, &tail, first, end) : INFINITY;
}

/* ---- filling a page ----------------------------------------------------------------------- */

static bool same_height(const struct page_height *a, const struct page_height *b)
{
    return a->full == b->full && a->growth == b->growth && a->shrink == b->shrink;
}

/* Of the tails from `first` on: one of the same height, or if they are too many the nearest. */
static struct tail *rival(struct finder *finder, size_t first, const struct tail *tail)
{
    struct tail *nearest = NULL;
    double least = INFINITY;
    for (size_t i = first; i < finder->tails.count; i++) {
        struct tail *other = &finder->tails.items[i];
        if (other->first == tail->first && same_height(&other->height, &tail->height))
            return other;
        double apart = fabs(other->height.full - tail->height.full);
        if (apart < least) {
            least = apart;
            nearest = other;
        }
    }
    return finder->tails.count - first < TAILS_MOST ? NULL : nearest;
}

static void tail_keep(struct finder *finder, size_t first, struct tail tail)
{
    if (!fits(finder->matter, &tail))
        return;
    struct tail *other = rival(finder, first, &tail);
    if (other && other->cost <= tail.cost)
        return;
    if (!other)
        other = vector_push(&finder->tails, NULL);
    *other = tail;
}

/* The choice that begins with a block; NONE. */
static uint32_t choice_at(const struct page_matter *matter, size_t block)
{
    size_t at;
    lower_bound(at, 0, matter->choice_count, matter->choices[at].first < block);
    return at < matter->choice_count && matter->choices[at].first == block ? (uint32_t)at : NONE;
}

/* All tails from block `from`, with the block before it or a choice that ends there. */
static void tails_go_on(struct finder *finder, size_t first, size_t from, uint32_t choice)
{
    const struct page_matter *matter = finder->matter;
    for (uint32_t i = finder->first_tail[from]; i < finder->first_tail[from - 1]; i++) {
        struct tail next = finder->tails.items[i];
        struct tail tail = choice == NONE ? tail_before(&matter->blocks[from - 1], &next)
                                          : tail_with(&matter->choices[choice], &next);
        tail.next = i;
        tail.choice = choice;
        tail_keep(finder, first, tail);
    }
}

/* Where the tails of a block end. */
static uint32_t tails_end(const struct finder *finder, size_t block, size_t lowest)
{
    return block == lowest ? (uint32_t)finder->tails.count : finder->first_tail[block - 1];
}

/* All ways to fill a page that ends before block `end`; returns the lowest block looked at. */
static size_t tails_find(struct finder *finder, size_t end)
{
    const struct page_matter *matter = finder->matter;
    size_t block = end, dry = 0;
    finder->tails.count = 0;
    vector_push(&finder->tails, NULL)->choice = NONE;
    finder->first_tail[end] = 0;
    while (block > 0 && dry <= finder->longest) {
        size_t first = finder->tails.count;
        finder->first_tail[--block] = (uint32_t)first;
        tails_go_on(finder, first, block + 1, NONE);
        uint32_t choice = choice_at(matter, block);
        if (choice != NONE && matter->choices[choice].end <= end)
            tails_go_on(finder, first, matter->choices[choice].end, choice);
        dry = finder->tails.count > first ? 0 : dry + 1;
    }
    return block;
}

/* The cheapest of a block's tails as a page; NONE. */
static uint32_t tail_best(const struct finder *finder, size_t block, size_t lowest, size_t end,
                          double *cost)
{
    uint32_t best = NONE;
    *cost = INFINITY;
    for (uint32_t i = finder->first_tail[block]; i < tails_end(finder, block, lowest); i++) {
        double here = cost_of(finder->matter, &finder->tails.items[i], block, end);
        if (here < *cost) {
            *cost = here;
            best = i;
        }
    }
    return best;
}

static void page_find(struct finder *finder, size_t end)
{
    size_t lowest = tails_find(finder, end);
    finder->stops[end].total = INFINITY;
    for (size_t block = end; block-- > lowest;) {
        double cost;
        tail_best(finder, block, lowest, end, &cost);
        stop_offer(finder->stops, block, end, cost);
    }
}

/* The choices of the page that ends before block `end`. */
static void page_take(struct finder *finder, size_t end, bool *taken)
{
    double cost;
    size_t lowest = tails_find(finder, end);
    const struct tail *tails = finder->tails.items;
    uint32_t i = tail_best(finder, finder->stops[end].from, lowest, end, &cost);
    for (; tails[i].first; i = tails[i].next)
        if (tails[i].choice != NONE)
            taken[tails[i].choice] = true;
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
    size_t count = matter->count;
    struct finder finder = {.matter = matter, .longest = longest_choice(matter)};
    finder.stops = memory_alloc((count + 1) * sizeof *finder.stops);
    finder.first_tail = memory_alloc((count + 1) * sizeof *finder.first_tail);
    finder.stops[0].total = 0;
    for (size_t end = 1; end <= count; end++)
        page_find(&finder, end);
    size_t pages = stops_trace(finder.stops, count, ends);
    for (size_t i = 0; i < matter->choice_count; i++)
        taken[i] = false;
    for (size_t k = 0; matter->choice_count && k < pages; k++)
        page_take(&finder, ends[k], taken);
    vector_release(&finder.tails);
    memory_free(finder.stops);
    memory_free(finder.first_tail);
    return pages;
}
