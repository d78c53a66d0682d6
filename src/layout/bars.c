#include "layout/layout_int.h"

#include <string.h>

/*
 * The bars of an exercise are set once, when its lines are broken, and copied from there into the
 * line that is drawn. Of a very long exercise none are kept: its lines set theirs anew.
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

static void work_swap(struct layout *layout)
{
    struct work work = layout->work;
    layout->work = layout->stored;
    layout->stored = work;
}

const struct set_bar *bars_store(struct layout *layout, const struct staff *staff, uint32_t index)
{
    if (index == 0)
        layout->stored_exercise = staff->index;
    if (index >= HOUSE_BARS_STORED)
        layout->stored_exercise = NONE;
    if (index == 0 || index >= HOUSE_BARS_STORED)
        work_reset(&layout->stored);
    work_swap(layout);
    columns_add_bar(layout, staff, index);
    work_swap(layout);
    return &layout->stored.bars[layout->stored.bar_count - 1];
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

void bars_collect(struct layout *layout, const struct staff *staff, const struct line *line)
{
    work_reset(&layout->work);
    for (uint32_t bar = line->first_bar; bar < line->first_bar + line->bar_count; bar++)
        if (layout->stored_exercise == staff->index)
            bar_copy(&layout->work, &layout->stored, &layout->stored.bars[bar]);
        else
            columns_add_bar(layout, staff, bar);
}
