#include "layout/layout_int.h"

#include <string.h>

/*
 * The bars of an exercise are set once, when its lines are broken, and copied from there into the
 * line that is drawn. Of a very long exercise only the rhythms are kept: its lines set their bars
 * anew.
 */

void work_reset(struct work *work)
{
    work->bar_count = work->column_count = work->note_count = 0;
    work->group_count = work->raised_count = 0;
}

void work_release(struct work *work)
{
    memory_free(work->bars);
    memory_free(work->columns);
    memory_free(work->springs);
    memory_free(work->notes);
    memory_free(work->groups);
    memory_free(work->raised);
    memory_free(work->page_columns);
}

void rhythms_release(struct rhythms *rhythms)
{
    memory_free(rhythms->items);
    memory_free(rhythms->springs);
    memory_free(rhythms->of_bar);
}

static void work_swap(struct layout *layout)
{
    struct work work = layout->work;
    layout->work = layout->stored;
    layout->stored = work;
}

/* ---- equal rhythms ------------------------------------------------------------------------ */

/*
 * Bars of one exercise whose springs have the same naturals are of one rhythm, and share their rods
 * and lead: what one of them must make room for, all do, so that they are equally wide and their
 * columns stand under each other. Graces in a tight row, and what else would tear a hole into bars
 * that have nothing to put there, stay their own bar's affair.
 */
static uint64_t rhythm_hash(const struct spring *springs, size_t count)
{
    uint64_t hash = count;
    for (size_t i = 0; i < count; i++) {
        uint64_t bits;
        memcpy(&bits, &springs[i].natural, sizeof bits);
        hash = (hash ^ bits ^ (bits >> 29)) * 0x9E3779B97F4A7C15u; /* as in labels.c */
    }
    return hash;
}

static bool same_rhythm(const struct rhythm *rhythm, const struct spring *shared,
                        const struct spring *springs, size_t count)
{
    if (rhythm->count != count)
        return false;
    for (size_t i = 0; i < count; i++)
        if (shared[rhythm->first + i].natural != springs[i].natural)
            return false;
    return true;
}

/* The bar's rhythm: the one that is known already, or a new one. */
static uint32_t rhythm_of(struct rhythms *rhythms, const struct work *work,
                          const struct set_bar *bar)
{
    const struct spring *springs = work->springs + bar->first_column;
    uint64_t hash = rhythm_hash(springs, bar->column_count);
    size_t oldest = rhythms->count > HOUSE_RHYTHMS_SEEN ? rhythms->count - HOUSE_RHYTHMS_SEEN : 0;
    for (size_t i = rhythms->count; i-- > oldest;)
        if (rhythms->items[i].hash == hash &&
            same_rhythm(&rhythms->items[i], rhythms->springs, springs, bar->column_count))
            return (uint32_t)i;
    struct rhythm *rhythm = row_push(rhythms->items, rhythms->count, rhythms->room);
    *rhythm = (struct rhythm){hash, rhythms->spring_count, (uint32_t)bar->column_count, 0};
    for (size_t i = 0; i < bar->column_count; i++)
        *row_push(rhythms->springs, rhythms->spring_count, rhythms->spring_room) =
            (struct spring){.natural = springs[i].natural};
    return (uint32_t)rhythms->count - 1;
}

static bool rod_is_shared(const struct spring *spring)
{
    return spring->rod * 1000.0 <= spring->natural * HOUSE_EVEN_STRETCH;
}

static void rhythm_take(struct rhythms *rhythms, const struct work *work, const struct set_bar *bar,
                        uint32_t index)
{
    struct rhythm *rhythm = &rhythms->items[index];
    struct spring *shared = rhythms->springs + rhythm->first;
    const struct spring *springs = work->springs + bar->first_column;
    if (bar->lead <= HOUSE_LEAD_SHARED)
        rhythm->lead = sp_max(rhythm->lead, bar->lead);
    for (size_t i = 0; i < bar->column_count; i++)
        if (rod_is_shared(&springs[i]))
            shared[i].rod = sp_max(shared[i].rod, springs[i].rod);
}

static void rhythm_give(const struct rhythms *rhythms, struct work *work, struct set_bar *bar)
{
    const struct rhythm *rhythm = &rhythms->items[rhythms->of_bar[bar->index]];
    const struct spring *shared = rhythms->springs + rhythm->first;
    struct spring *springs = work->springs + bar->first_column;
    bar->lead = sp_max(bar->lead, rhythm->lead);
    for (size_t i = 0; i < bar->column_count; i++)
        springs[i].rod = sp_max(springs[i].rod, shared[i].rod);
}

/* ---- setting and keeping ------------------------------------------------------------------ */

static bool bars_kept(const struct staff *staff)
{
    return staff->exercise->bar_count <= HOUSE_BARS_STORED;
}

void bars_set(struct layout *layout, const struct staff *staff)
{
    struct rhythms *rhythms = &layout->rhythms;
    size_t count = staff->exercise->bar_count;
    if (layout->stored_exercise == staff->index)
        return;
    layout->stored_exercise = staff->index;
    rhythms->count = rhythms->spring_count = 0;
    rhythms->of_bar = memory_resize(rhythms->of_bar, (count + 1) * sizeof *rhythms->of_bar);
    work_swap(layout);
    work_reset(&layout->work);
    for (uint32_t i = 0; i < count; i++) {
        if (!bars_kept(staff))
            work_reset(&layout->work);
        columns_add_bar(layout, staff, i);
        const struct set_bar *bar = &layout->work.bars[layout->work.bar_count - 1];
        rhythms->of_bar[i] = rhythm_of(rhythms, &layout->work, bar);
        rhythm_take(rhythms, &layout->work, bar, rhythms->of_bar[i]);
    }
    for (size_t i = 0; bars_kept(staff) && i < count; i++)
        rhythm_give(rhythms, &layout->work, &layout->work.bars[i]);
    work_swap(layout);
}

static void columns_copy(struct work *work, const struct work *stored, const struct set_bar *from)
{
    size_t count = from->column_count;
    while (work->column_count + count > work->column_room)
        columns_grow(work);
    memcpy(work->columns + work->column_count, stored->columns + from->first_column,
           count * sizeof *work->columns);
    memcpy(work->springs + work->column_count, stored->springs + from->first_column,
           count * sizeof *work->springs);
    work->column_count += count;
}

static void notes_copy(struct work *work, const struct work *stored, const struct set_bar *from,
                       size_t first_column)
{
    size_t count = from->note_count[LINE_HANDS] + from->note_count[LINE_FEET];
    while (work->note_count + count > work->note_room)
        work->notes = row_grow(work->notes, &work->note_room, sizeof *work->notes);
    struct set_note *notes = work->notes + work->note_count;
    memcpy(notes, stored->notes + from->first_note[LINE_HANDS], count * sizeof *notes);
    for (size_t i = 0; i < count; i++)
        if (notes[i].column != NONE)
            notes[i].column += (uint32_t)(first_column - from->first_column);
    work->note_count += count;
}

static void groups_copy(struct work *work, const struct work *stored, const struct set_bar *from,
                        const struct set_bar *bar)
{
    uint32_t shift = (uint32_t)(bar->first_note[LINE_HANDS] - from->first_note[LINE_HANDS]);
    for (size_t i = 0; i < from->group_count; i++) {
        struct beam_group *group = row_push(work->groups, work->group_count, work->group_room);
        *group = stored->groups[from->first_group + i];
        group->set_bar = (uint32_t)(bar - work->bars);
        group->first += shift;
        group->end += shift;
    }
}

static void bar_copy(struct work *work, const struct work *stored, const struct set_bar *from)
{
    struct set_bar *bar = row_push(work->bars, work->bar_count, work->bar_room);
    *bar = *from;
    bar->first_column = work->column_count;
    bar->first_note[LINE_HANDS] = work->note_count;
    bar->first_note[LINE_FEET] = work->note_count + from->note_count[LINE_HANDS];
    bar->first_group = work->group_count;
    columns_copy(work, stored, from);
    groups_copy(work, stored, from, bar);
    notes_copy(work, stored, from, bar->first_column);
}

static void bar_set(struct layout *layout, const struct staff *staff, uint32_t index)
{
    columns_add_bar(layout, staff, index);
    rhythm_give(&layout->rhythms, &layout->work, &layout->work.bars[layout->work.bar_count - 1]);
}

const struct set_bar *bars_find(struct layout *layout, const struct staff *staff, uint32_t index,
                                const struct work **work)
{
    *work = &layout->stored;
    if (bars_kept(staff))
        return &layout->stored.bars[index];
    *work = &layout->work;
    work_reset(&layout->work);
    bar_set(layout, staff, index);
    return layout->work.bars;
}

void bars_collect(struct layout *layout, const struct staff *staff, const struct line *line)
{
    bars_set(layout, staff);
    work_reset(&layout->work);
    for (uint32_t bar = line->first_bar; bar < line->first_bar + line->bar_count; bar++)
        if (bars_kept(staff))
            bar_copy(&layout->work, &layout->stored, &layout->stored.bars[bar]);
        else
            bar_set(layout, staff, bar);
}
