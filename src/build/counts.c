/* The syllables that are counted in a bar, and the dynamics, which are placed by counts. */
#include "build/build_int.h"

#include <stdlib.h>
#include <string.h>

/* The hands' strokes are counted; where they rest for the whole bar, the feet's. */
static const struct score_line *counted_line(const struct score_bar *bar)
{
    const struct score_line *hands = &bar->lines[LINE_HANDS], *feet = &bar->lines[LINE_FEET];
    bool hands_rest = hands->leaf_count == 1 && hands->leaves[0].whole_bar;
    return hands_rest && feet->leaf_count ? feet : hands;
}

/* Counts and leaves both ascend: one walk marks those that meet. */
static void mark_struck(struct score_bar *bar)
{
    const struct score_line *line = counted_line(bar);
    uint32_t leaf = 0;
    for (size_t i = 0; i < bar->count_count; i++) {
        struct fraction onset = bar->counts[i].onset;
        while (leaf < line->leaf_count && fraction_compare(line->leaves[leaf].onset, onset) < 0)
            leaf++;
        bar->counts[i].struck = leaf < line->leaf_count &&
                                fraction_equal(line->leaves[leaf].onset, onset) &&
                                leaf_struck(&line->leaves[leaf]);
    }
}

/* In a bar with a rhythm: notes of the hands' line that only a foot plays are counted as well. */
static void mark_by_foot(struct bar_builder *bar)
{
    const struct foot_stroke *feet = bar->builder->feet.items;
    size_t count = 0;
    for (size_t i = 0; i < bar->builder->feet.count; i++) {
        while (count < bar->out->count_count &&
               fraction_compare(bar->out->counts[count].onset, feet[i].where.onset) < 0)
            count++;
        if (count < bar->out->count_count && feet[i].strike >= 0 &&
            fraction_equal(bar->out->counts[count].onset, feet[i].where.onset))
            bar->out->counts[count].struck = true;
    }
}

static struct count *copy_counts(struct bar_builder *bar)
{
    const struct grid *grid = bar->grid;
    return arena_copy(bar->builder->arena, grid->counts, grid->count_count, sizeof *grid->counts);
}

/* Bars of one grid whose hands strike the same slots share their counts. */
static void from_grid(struct bar_builder *bar)
{
    struct grid *grid = bar->grid;
    const struct slots *struck = &bar->builder->struck;
    size_t bytes = slots_words(grid) * sizeof *struck->words;
    bar->out->count_count = grid->count_count;
    if (grid->latest_counts && memcmp(grid->latest_struck, struck->words, bytes) == 0) {
        bar->out->counts = grid->latest_counts;
        return;
    }
    if (!grid->latest_struck)
        grid->latest_struck = arena_room(bar->builder->arena, bytes);
    memcpy(grid->latest_struck, struck->words, bytes);
    bar->out->counts = grid->latest_counts = copy_counts(bar);
    for (size_t i = 0; i < grid->count_count; i++)
        bar->out->counts[i].struck = slots_have(struck, grid->count_slots[i]);
}

static void from_spans(struct bar_builder *bar)
{
    struct score_bar *out = bar->out;
    struct frame *frame = bar->frame;
    size_t room = 0;
    for (uint16_t beat = 0; beat < frame->beat_count; beat++)
        room += span_spoken_slots(bar->spans[beat]);
    out->counts = arena_array(bar->builder->arena, room, sizeof *out->counts);
    for (uint16_t beat = 0; beat < frame->beat_count; beat++) {
        const struct span *span = bar->spans[beat];
        if (span && span->beat != beat)
            continue;
        for (size_t slot = 0; slot < span_spoken_slots(span); slot++) {
            struct count count = frame_count(bar->builder->arena, frame, beat, span, slot);
            if (fraction_compare(count.onset, out->start) >= 0)
                out->counts[out->count_count++] = count;
        }
    }
}

void counts_build(struct bar_builder *bar)
{
    const struct score_line *hands = &bar->out->lines[LINE_HANDS];
    if (bar->source->rhythm) {
        from_spans(bar);
        mark_struck(bar->out);
        mark_by_foot(bar);
    } else if (hands->leaf_count == 1 && hands->leaves[0].whole_bar) {
        bar->out->count_count = bar->grid->count_count;
        bar->out->counts = copy_counts(bar);
        mark_struck(bar->out);
    } else {
        from_grid(bar);
    }
}

/* ---- dynamics and words ------------------------------------------------------------------- */

static int compare_marks(const void *a, const void *b)
{
    const struct dynamic_mark *left = a, *right = b;
    return fraction_compare(left->onset, right->onset);
}

typedef VECTOR(struct dynamic_mark) mark_list;

static void add_marks(struct bar_builder *bar, const struct dynamics *dynamics, bool shared,
                      mark_list *marks)
{
    for (size_t e = 0; e < dynamics->count; e++) {
        const struct dynamic_entry *entry = &dynamics->entries[e];
        for (size_t i = 0; i < entry->where.count; i++) {
            const struct address *address = &entry->where.items[i];
            const struct resolved *resolved =
                address_in_bar(bar, address, shared) ? bar_resolve(bar, address, shared) : NULL;
            size_t positions = resolved && resolved->outcome == ADDRESS_FOUND ? resolved->count : 0;
            for (size_t p = 0; p < positions; p++)
                *vector_push(marks, bar->builder->arena) =
                    (struct dynamic_mark){resolved->positions[p].onset, entry->what.text};
        }
    }
}

void dynamics_build(struct bar_builder *bar)
{
    mark_list marks = {0}, words = {0};
    if (!bar->out->pickup)
        add_marks(bar, &bar->exercise->exercise->dynamics, true, &marks);
    add_marks(bar, &bar->source->dynamics, false, &marks);
    vector_sort(&marks, compare_marks);
    bar->out->dynamics = marks.items;
    bar->out->dynamic_count = (uint16_t)marks.count;
    bar->out->signs = bar->source->signs;
    if (!bar->source->signs)
        return;
    add_marks(bar, &bar->source->signs->words, false, &words);
    vector_sort(&words, compare_marks);
    bar->out->words = words.items;
    bar->out->word_count = (uint16_t)words.count;
}
