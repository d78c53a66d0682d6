#include "layout/raised.h"

#include "layout/house.h"

static int by_height(const void *a, const void *b)
{
    const struct raised *const *left = a, *const *right = b;
    if ((*left)->y != (*right)->y)
        return (*left)->y < (*right)->y ? -1 : 1;
    return *left < *right ? -1 : 1;
}

void raised_align(struct raised_row *raised, bool below)
{
    size_t count = raised->count;
    struct raised **order = memory_alloc((count + 1) * sizeof *order);
    for (size_t i = 0; i < count; i++)
        order[i] = &raised->items[i];
    qsort(order, count, sizeof *order, by_height);
    sp line = 0;
    for (size_t k = 0; k < count; k++) {
        struct raised *at = order[below ? count - 1 - k : k];
        sp inside = below ? line - at->y : at->y - line;
        if (k == 0 || inside >= HOUSE_ONE_LINE_OF)
            line = at->y;
        at->y = line;
    }
    memory_free(order);
}
