#include "vary/orders.h"

#include "base/table.h"
#include "base/vector.h"

#include <stdlib.h>

/* A place in the sticking: the stroke that comes next. */
struct spot {
    uint32_t used;   /* pieces begun, by kind, as a number with mixed bases */
    uint16_t offset; /* in the piece; without pieces, in the sticking */
    uint16_t first;  /* rotated: where the first piece was entered; 0: at its beginning */
    uint8_t kind;    /* of the piece */
    uint8_t entered; /* rotated: the kind of the first piece */
    uint8_t closing; /* rotated: in what the first piece left out */
    uint8_t done;    /* nothing comes next */
};

struct state {
    struct spot *spots; /* sorted */
    size_t count;
    uint32_t *next; /* by stroke number; 0: not known yet, else the state + 2, 1: none */
};

struct piece_kind {
    uint16_t begin, length; /* in the sticking */
    uint32_t times, base;   /* how many there are; what one of them counts in `used` */
};

struct orders {
    struct arena *arena;
    const struct stroke_line *sticking;
    uint16_t *numbers; /* of each item */
    VECTOR(const struct stroke *) strokes;
    struct piece_kind kinds[VARY_PIECES_MAX];
    size_t kind_count; /* 0: no pieces */
    uint32_t all_used;
    bool rotate, too_many;
    struct table known;
    VECTOR(struct state) states;
};

/* ---- strokes ------------------------------------------------------------------------------ */

static bool same_stroke(const struct stroke *a, const struct stroke *b)
{
    return a->hand == b->hand && a->marks == b->marks && a->grace_count == b->grace_count &&
           a->graces == b->graces;
}

static void number_strokes(struct orders *orders)
{
    const struct stroke_line *line = orders->sticking;
    orders->numbers = arena_array(orders->arena, line->count, sizeof *orders->numbers);
    for (size_t i = 0; i < line->count; i++) {
        size_t n = 0;
        while (n < orders->strokes.count &&
               !same_stroke(orders->strokes.items[n], &line->strokes[i]))
            n++;
        if (n == orders->strokes.count)
            *vector_push(&orders->strokes, orders->arena) = &line->strokes[i];
        orders->numbers[i] = (uint16_t)n;
    }
}

size_t orders_period(const struct orders *orders)
{
    size_t count = orders->sticking->count;
    for (size_t period = 1; period < count; period++) {
        size_t i = period;
        while (i < count && orders->numbers[i] == orders->numbers[i - period])
            i++;
        if (count % period == 0 && i == count)
            return period;
    }
    return count;
}

/* ---- pieces ------------------------------------------------------------------------------- */

static bool same_piece(const struct orders *orders, const struct piece_kind *kind, size_t begin,
                       size_t length)
{
    return kind->length == length && memcmp(orders->numbers + kind->begin, orders->numbers + begin,
                                            length * sizeof *orders->numbers) == 0;
}

static void find_kinds(struct orders *orders, const struct vary *vary)
{
    size_t begin = 0;
    for (size_t i = 0; i < vary->piece_count; begin += vary->pieces[i++]) {
        size_t k = 0;
        while (k < orders->kind_count &&
               !same_piece(orders, &orders->kinds[k], begin, vary->pieces[i]))
            k++;
        if (k == orders->kind_count)
            orders->kinds[orders->kind_count++] =
                (struct piece_kind){(uint16_t)begin, vary->pieces[i], 0, 0};
        orders->kinds[k].times++;
    }
    uint32_t base = 1;
    for (size_t k = 0; k < orders->kind_count; k++) {
        orders->kinds[k].base = base;
        base *= orders->kinds[k].times + 1;
    }
    orders->all_used = base - 1;
}

static uint32_t times_used(const struct piece_kind *kind, uint32_t used)
{
    return used / kind->base % (kind->times + 1);
}

/* ---- spots -------------------------------------------------------------------------------- */

typedef VECTOR(struct spot) spot_list;

static int compare_spots(const void *a, const void *b)
{
    return memcmp(a, b, sizeof(struct spot));
}

/* At the beginning of any piece that is left; at the end, of none. */
static void add_next_pieces(const struct orders *orders, struct spot spot, spot_list *out)
{
    struct spot next = spot;
    if (spot.used == orders->all_used) {
        next.offset = 0;
        next.kind = spot.entered;
        next.closing = spot.first > 0;
        next.done = spot.first == 0;
        *vector_push(out, orders->arena) = next;
        return;
    }
    for (size_t k = 0; k < orders->kind_count; k++) {
        const struct piece_kind *kind = &orders->kinds[k];
        if (times_used(kind, spot.used) == kind->times)
            continue;
        next = spot;
        next.used += kind->base;
        next.kind = (uint8_t)k;
        next.offset = 0;
        *vector_push(out, orders->arena) = next;
    }
}

static size_t item_of(const struct orders *orders, const struct spot *spot)
{
    return orders->kind_count ? (size_t)orders->kinds[spot->kind].begin + spot->offset
                              : spot->offset;
}

static void add_following(const struct orders *orders, struct spot spot, spot_list *out)
{
    spot.offset++;
    if (!orders->kind_count) {
        spot.offset = (uint16_t)(spot.offset % orders->sticking->count);
        *vector_push(out, orders->arena) = spot;
    } else if (spot.closing && spot.offset == spot.first) {
        spot = (struct spot){.used = spot.used, .done = 1};
        *vector_push(out, orders->arena) = spot;
    } else if (spot.offset == orders->kinds[spot.kind].length) {
        add_next_pieces(orders, spot, out);
    } else {
        *vector_push(out, orders->arena) = spot;
    }
}

static void sort_spots(spot_list *spots)
{
    size_t kept = 0;
    if (spots->count)
        qsort(spots->items, spots->count, sizeof *spots->items, compare_spots);
    for (size_t i = 0; i < spots->count; i++)
        if (!kept || compare_spots(&spots->items[kept - 1], &spots->items[i]) != 0)
            spots->items[kept++] = spots->items[i];
    spots->count = kept;
}

/* ---- states ------------------------------------------------------------------------------- */

static uint32_t state_of(struct orders *orders, spot_list *spots)
{
    sort_spots(spots);
    uint64_t hash = hash_bytes(spots->items, spots->count * sizeof *spots->items);
    struct table_search search = table_search(&orders->known, hash);
    for (size_t i; table_next(&search, &i);) {
        const struct state *state = &orders->states.items[i];
        if (state->count == spots->count &&
            memcmp(state->spots, spots->items, spots->count * sizeof *spots->items) == 0)
            return (uint32_t)i;
    }
    size_t number = orders->states.count;
    orders->too_many |= number >= ORDERS_STATES_MAX;
    table_add(&orders->known, hash, number, orders->arena);
    *vector_push(&orders->states, orders->arena) =
        (struct state){spots->items, spots->count,
                       arena_array(orders->arena, orders->strokes.count, sizeof(uint32_t))};
    return (uint32_t)number;
}

static void add_starts(struct orders *orders, spot_list *out)
{
    if (!orders->kind_count)
        for (size_t i = 0; i < (orders->rotate ? orders->sticking->count : 1); i++)
            *vector_push(out, orders->arena) = (struct spot){.offset = (uint16_t)i};
    for (size_t k = 0; k < orders->kind_count; k++)
        for (uint32_t o = 0; o < (orders->rotate ? orders->kinds[k].length : 1u); o++)
            *vector_push(out, orders->arena) = (struct spot){.used = orders->kinds[k].base,
                                                             .kind = (uint8_t)k,
                                                             .entered = o ? (uint8_t)k : 0,
                                                             .offset = (uint16_t)o,
                                                             .first = (uint16_t)o};
}

struct orders *orders_new(const struct stroke_line *sticking, const struct vary *vary,
                          struct arena *arena)
{
    if (sticking->count > ORDERS_STROKES_MAX)
        return NULL;
    struct orders *orders = arena_alloc(arena, sizeof *orders);
    *orders = (struct orders){.arena = arena, .sticking = sticking, .rotate = vary->rotate};
    number_strokes(orders);
    find_kinds(orders, vary);
    spot_list spots = {0};
    add_starts(orders, &spots);
    state_of(orders, &spots);
    return orders;
}

size_t orders_stroke_count(const struct orders *orders)
{
    return orders->strokes.count;
}

const struct stroke *orders_stroke(const struct orders *orders, size_t number)
{
    return orders->strokes.items[number];
}

uint32_t orders_of_item(const struct orders *orders, size_t item)
{
    return orders->numbers[item % orders->sticking->count];
}

uint32_t orders_start(const struct orders *orders)
{
    (void)orders;
    return 0;
}

uint32_t orders_next(struct orders *orders, uint32_t state, size_t number)
{
    uint32_t known = orders->states.items[state].next[number];
    if (known)
        return known == 1 ? ORDERS_NONE : known - 2;
    if (orders->too_many)
        return ORDERS_NONE;
    spot_list spots = {0};
    const struct state from = orders->states.items[state];
    for (size_t i = 0; i < from.count; i++)
        if (!from.spots[i].done && orders->numbers[item_of(orders, &from.spots[i])] == number)
            add_following(orders, from.spots[i], &spots);
    uint32_t next = spots.count ? state_of(orders, &spots) : ORDERS_NONE;
    orders->states.items[state].next[number] = next == ORDERS_NONE ? 1 : next + 2;
    return next;
}

bool orders_ends(const struct orders *orders, uint32_t state)
{
    const struct state *at = &orders->states.items[state];
    for (size_t i = 0; i < at->count; i++)
        if (at->spots[i].done)
            return true;
    return !orders->kind_count;
}

bool orders_are_too_many(const struct orders *orders)
{
    return orders->too_many;
}
