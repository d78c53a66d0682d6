#include "layout/layout_state.h"

/* ---- equal rhythms ------------------------------------------------------------------------ */

/*
 * Bars of an exercise whose springs have the same natural lengths have one rhythm. If one of them
 * needs more room somewhere, all get it: so they are equally wide, and their columns line up. But
 * where that would leave a hole in the other bars, as graces in a tight row would, only the bar
 * itself gets the room.
 */
static bool same_rhythm(const struct spring *a, const struct spring *b, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (a[i].natural != b[i].natural)
            return false;
    return true;
}

/* The bar's rhythm, a new one if none of the last has it. */
static uint32_t rhythm_of(struct rhythms *rhythms, const struct spring *springs, size_t count)
{
    size_t known = rhythms->items.count;
    size_t oldest = known > HOUSE_RHYTHMS_SEEN ? known - HOUSE_RHYTHMS_SEEN : 0;
    for (size_t i = known; i-- > oldest;) {
        const struct rhythm *rhythm = &rhythms->items.items[i];
        if (rhythm->springs.end - rhythm->springs.first == count &&
            same_rhythm(rhythms->springs.items + rhythm->springs.first, springs, count))
            return (uint32_t)i;
    }
    size_t first = rhythms->springs.count;
    *vector_push(&rhythms->items, NULL) = (struct rhythm){{first, first + count}, 0};
    for (size_t i = 0; i < count; i++)
        vector_push(&rhythms->springs, NULL)->natural = springs[i].natural;
    return (uint32_t)known;
}

static bool rod_is_shared(const struct spring *spring)
{
    return spring->rod * 1000.0 <= spring->natural * HOUSE_EVEN_STRETCH;
}

/* The bar's rods and lead for its rhythm; then the rhythm's for the bar. */
static void rhythm_take(struct rhythms *rhythms, const struct spring *springs,
                        const struct set_bar *bar)
{
    struct rhythm *rhythm = &rhythms->items.items[rhythms->of_bar[bar->index]];
    struct spring *shared = rhythms->springs.items + rhythm->springs.first;
    if (bar->lead <= HOUSE_LEAD_SHARED)
        rhythm->lead = sp_max(rhythm->lead, bar->lead);
    for (size_t i = bar->columns.first; i < bar->columns.end; i++, shared++)
        if (rod_is_shared(&springs[i]))
            shared->rod = sp_max(shared->rod, springs[i].rod);
}

static void rhythm_give(const struct rhythms *rhythms, struct spring *springs, struct set_bar *bar)
{
    const struct rhythm *rhythm = &rhythms->items.items[rhythms->of_bar[bar->index]];
    const struct spring *shared = rhythms->springs.items + rhythm->springs.first;
    bar->lead = sp_max(bar->lead, rhythm->lead);
    for (size_t i = bar->columns.first; i < bar->columns.end; i++, shared++)
        springs[i].rod = sp_max(springs[i].rod, shared->rod);
}

/* ---- instants ----------------------------------------------------------------------------- */

sp instant_x(const struct work *work, const struct set_bar *bar, struct fraction onset)
{
    const struct column *columns = work->columns.items;
    size_t next = bar->columns.first;
    while (next < bar->columns.end && fraction_compare(columns[next].onset, onset) < 0)
        next++;
    bool beyond = next == bar->columns.end;
    if (next == bar->columns.first || (!beyond && fraction_equal(columns[next].onset, onset)))
        return beyond ? bar->line_left : columns[next].x;
    double end = fraction_to_double(beyond ? fraction_add(bar->bar->start, bar->bar->length)
                                           : columns[next].onset);
    double from = fraction_to_double(columns[next - 1].onset);
    sp left = columns[next - 1].x, right = beyond ? bar->line_left : columns[next].x;
    return left + (sp)((right - left) * (fraction_to_double(onset) - from) / (end - from));
}

/* ---- setting and keeping ------------------------------------------------------------------ */

static void work_reset(struct work *work)
{
    work->bars.count = work->columns.count = work->springs.count = 0;
    work->notes.count = work->groups.count = 0;
}

static bool bars_kept(const struct layout *layout)
{
    return layout->staff->exercise->bar_count <= HOUSE_BARS_STORED;
}

void bars_set(struct layout *layout, uint32_t exercise)
{
    struct rhythms *rhythms = &layout->rhythms;
    struct work *work = &layout->work;
    layout->staff = &layout->staves[exercise];
    size_t count = layout->staff->exercise->bar_count;
    if (layout->stored_exercise == exercise)
        return;
    layout->stored_exercise = exercise;
    rhythms->items.count = rhythms->springs.count = 0;
    rhythms->of_bar = memory_resize(rhythms->of_bar, (count + 1) * sizeof *rhythms->of_bar);
    work_reset(work);
    for (uint32_t i = 0; i < count; i++) {
        if (!bars_kept(layout))
            work_reset(work);
        const struct set_bar *bar = columns_add_bar(layout, i);
        rhythms->of_bar[i] = rhythm_of(rhythms, work->springs.items + bar->columns.first,
                                       bar->columns.end - bar->columns.first);
        rhythm_take(rhythms, work->springs.items, bar);
    }
    for (size_t i = 0; bars_kept(layout) && i < count; i++)
        rhythm_give(rhythms, work->springs.items, &work->bars.items[i]);
}

void bars_set_again(struct layout *layout, uint32_t exercise)
{
    layout->stored_exercise = NONE;
    bars_set(layout, exercise);
}

static const struct set_bar *bar_set_again(struct layout *layout, uint32_t index)
{
    struct set_bar *bar = columns_add_bar(layout, index);
    rhythm_give(&layout->rhythms, layout->work.springs.items, bar);
    return bar;
}

const struct set_bar *bars_find(struct layout *layout, uint32_t index)
{
    if (bars_kept(layout))
        return &layout->work.bars.items[index];
    work_reset(&layout->work);
    return bar_set_again(layout, index);
}

void bars_collect(struct layout *layout, const struct music_line *line)
{
    struct work *work = &layout->work;
    size_t first = line->first_bar;
    bars_set(layout, line->exercise);
    if (!bars_kept(layout)) {
        work_reset(work);
        for (uint32_t i = 0; i < line->bar_count; i++)
            bar_set_again(layout, line->first_bar + i);
        first = 0;
    }
    work->line_bars = (struct range){first, first + line->bar_count};
    const struct set_bar *begin = line_first_bar(work), *last = line_last_bar(work);
    work->line_columns = (struct range){begin->columns.first, last->columns.end};
    work->line_notes = (struct range){begin->notes[LINE_HANDS].first, last->notes[LINE_FEET].end};
    work->line_groups = (struct range){begin->groups.first, last->groups.end};
}

void work_release(struct work *work)
{
    vector_release(&work->bars);
    vector_release(&work->columns);
    vector_release(&work->springs);
    vector_release(&work->notes);
    vector_release(&work->groups);
}

void rhythms_release(struct rhythms *rhythms)
{
    vector_release(&rhythms->items);
    vector_release(&rhythms->springs);
    memory_free(rhythms->of_bar);
}
