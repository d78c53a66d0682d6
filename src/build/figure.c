/* The figure of a rudiment: its notes and rests go round, over the bar lines. */
#include "build/build_int.h"

#include "build/duration_words.h"

/* The note, rest or whole tuplet at `*next`, which moves on behind it. Returns its length. */
static struct fraction take_piece(const struct rhythm_line *figure, size_t *next)
{
    const struct rhythm_item *open = &figure->items[(*next)++];
    if (open->kind != RHYTHM_TUPLET_OPEN)
        return value_length(open->value_log2, open->dots);
    struct fraction length = FRACTION_ZERO;
    const struct rhythm_item *item = open + 1;
    for (; item->kind != RHYTHM_TUPLET_CLOSE; item++)
        length = fraction_add(length, value_length(item->value_log2, item->dots));
    *next = (size_t)(item + 1 - figure->items);
    return fraction_multiply(length, fraction_make(open->normal, open->actual));
}

struct fraction figure_round(const struct rhythm_line *figure, const struct stroke_line *sticking)
{
    struct fraction length = FRACTION_ZERO;
    for (size_t next = 0; next < figure->count;)
        length = fraction_add(length, take_piece(figure, &next));
    return fraction_multiply(length,
                             fraction_make((int64_t)(sticking->count / figure->sounding), 1));
}

static void report_cut(struct bar_builder *bar, const struct rhythm_line *figure, bool tuplet,
                       struct fraction length)
{
    struct builder *builder = bar->builder;
    const struct meter *meter = bar->frame->meter;
    if (!builder_report_once(builder, figure))
        return;
    diag_add(builder->diags, DIAG_BAR_LENGTH, figure->at,
             "this rudiment does not go into bars of %s: a bar line falls inside %s%s",
             meter_words(builder->arena, meter), tuplet ? "a tuplet as long as " : "",
             duration_words(builder->arena, length));
    diag_expected(builder->diags, "a meter with room for whole notes of it, such as 4/4");
}

const struct rhythm_line *figure_in_bar(struct bar_builder *bar, const struct rhythm_line *figure,
                                        size_t *next)
{
    struct arena *arena = bar->builder->arena;
    VECTOR(struct rhythm_item) items = {0};
    struct fraction left = bar->frame->length;
    while (left.numerator > 0) {
        size_t first = *next;
        size_t end = first;
        struct fraction length = take_piece(figure, &end);
        *next = end % figure->count;
        left = fraction_subtract(left, length);
        if (left.numerator < 0) {
            report_cut(bar, figure, end > first + 1, length);
            return NULL;
        }
        for (size_t i = first; i < end; i++)
            *vector_push(&items, arena) = figure->items[i];
    }
    struct rhythm_line *line = arena_alloc(arena, sizeof *line);
    *line = (struct rhythm_line){.items = items.items, .count = items.count, .at = figure->at};
    return line;
}
