#include "course/course_share.h"

#include <stdlib.h>
#include <string.h>

enum { DOCUMENT_COST = 3500 };

uint64_t course_cost(const struct course_lesson *lesson)
{
    return lesson->stamp.size + DOCUMENT_COST;
}

static int costliest_first(const void *a, const void *b)
{
    const struct course_lesson *one = *(const struct course_lesson *const *)a;
    const struct course_lesson *other = *(const struct course_lesson *const *)b;
    uint64_t first = course_cost(one), second = course_cost(other);
    if (first != second)
        return first < second ? 1 : -1;
    return strcmp(one->name, other->name);
}

/* A heap of shares with the least loaded one on top; ties go to the lower number. */
struct load {
    uint64_t cost;
    uint32_t number;
};

static bool is_less(struct load a, struct load b)
{
    return a.cost < b.cost || (a.cost == b.cost && a.number < b.number);
}

static void sink_top(struct load *loads, size_t count)
{
    for (size_t at = 0;;) {
        size_t least = at;
        for (size_t below = at * 2 + 1; below <= at * 2 + 2 && below < count; below++)
            if (is_less(loads[below], loads[least]))
                least = below;
        if (least == at)
            return;
        struct load moved = loads[at];
        loads[at] = loads[least];
        loads[least] = moved;
        at = least;
    }
}

void course_share_choose(const struct course_tree *tree, struct course_share share, bool *mine)
{
    struct arena *arena = arena_new();
    const struct course_lesson **sorted = arena_array(arena, tree->count, sizeof *sorted);
    struct load *loads = arena_array(arena, share.count, sizeof *loads);
    for (size_t i = 0; i < tree->count; i++)
        sorted[i] = &tree->lessons[i];
    for (uint32_t i = 0; i < share.count; i++)
        loads[i].number = i + 1;
    qsort(sorted, tree->count, sizeof *sorted, costliest_first);
    for (size_t i = 0; i < tree->count; i++) {
        mine[sorted[i] - tree->lessons] = loads[0].number == share.number;
        loads[0].cost += course_cost(sorted[i]);
        sink_top(loads, share.count);
    }
    arena_free(arena);
}
