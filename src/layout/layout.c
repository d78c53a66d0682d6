#include "layout/layout.h"

#include "layout/layout_state.h"
#include "layout/page_blocks.h"

static void staves_set(struct layout *layout)
{
    size_t count = layout->score->exercise_count;
    layout->staves = arena_array(layout->arena, count, sizeof *layout->staves);
    layout->one_line = arena_array(layout->arena, count, sizeof *layout->one_line);
    layout->headings = arena_array(layout->arena, count, sizeof *layout->headings);
    for (size_t i = 0; i < count; i++) {
        layout->one_line[i].rigid = INT32_MAX;
        staff_of_exercise(layout->score, (uint32_t)i, layout->arena, &layout->staves[i]);
    }
    staves_agree(layout->staves, count);
}

struct layout *layout_new(const struct score *score, const struct metrics *metrics,
                          struct layout_options options, struct diags *diags)
{
    struct layout *layout = memory_alloc(sizeof *layout);
    *layout = (struct layout){.score = score,
                              .words = &score->lesson->words,
                              .exercises = options.exercises,
                              .metrics = metrics,
                              .defaults = metrics->defaults,
                              .diags = diags,
                              .arena = arena_new(),
                              .stored_exercise = NONE,
                              .pen.metrics = metrics,
                              .part = options.part,
                              .screen_um = options.screen_um};
    sheet_set(layout, score->lesson->settings.page);
    skyline_open(&layout->skyline, layout->sheet.width);
    staves_set(layout);
    layout->tempo_shared = tempo_is_shared(layout);
    blocks_make(layout, options);
    pages_break(layout);
    return layout;
}

void layout_free(struct layout *layout)
{
    if (!layout)
        return;
    arena_free(layout->arena);
    skyline_close(&layout->skyline);
    vector_release(&layout->pen.marks);
    work_release(&layout->work);
    rhythms_release(&layout->rhythms);
    vector_release(&layout->raised);
    vector_release(&layout->over);
    vector_release(&layout->page_columns);
    vector_release(&layout->systems);
    memory_free(layout);
}

uint32_t layout_page_count(const struct layout *layout)
{
    return (uint32_t)layout->pages.count;
}

/* ---- writing a page ----------------------------------------------------------------------- */

static void block_place(struct layout *layout, const struct block *block, sp x, sp y)
{
    size_t first = layout->pen.marks.count, first_column = layout->page_columns.count;
    struct page_system system = {0};
    block_draw(layout, block, &system);
    marks_move(layout->pen.marks.items + first, layout->pen.marks.count - first, x, y);
    if (block->kind != BLOCK_SYSTEM)
        return;
    system_move(&system, x, y);
    for (size_t i = first_column; i < layout->page_columns.count; i++)
        layout->page_columns.items[i].x += x;
    *vector_push(&layout->systems, NULL) = system;
}

/* The rows of a system go down to those of the one beside it. */
static void rows_lower(struct layout *layout, const struct part *part)
{
    struct page_system *system = &layout->systems.items[layout->systems.count - 1];
    struct mark *marks = layout->pen.marks.items + system->first_mark;
    for (size_t i = 0; i < system->mark_count; i++)
        if (mark_in_row(&marks[i]))
            marks_move(&marks[i], 1, 0, part->drops[mark_row(system, &marks[i])]);
    for (int row = 0; row < PAGE_ROWS; row++)
        system->baselines[row] += part->drops[row];
    system->box = marks_box(marks, system->mark_count);
}

static void duo_place(struct layout *layout, const struct duo *duo, sp y)
{
    for (size_t i = 0; i < duo->count; i++) {
        const struct part *part = &duo->parts[i];
        block_place(layout, &part->block, part->x, y + part->y);
        if (part->block.kind == BLOCK_SYSTEM)
            rows_lower(layout, part);
    }
}

/* The row of columns may have moved while it grew: only now do they stand still. */
static void columns_hand_out(struct layout *layout)
{
    struct page_column *column = layout->page_columns.items;
    for (size_t i = 0; i < layout->systems.count; i++) {
        layout->systems.items[i].columns = column;
        column += layout->systems.items[i].column_count;
    }
}

/* The title of a lesson is the head of its first page. */
static void frame_draw(struct layout *layout, const struct layout_part *part, uint32_t number)
{
    const struct lesson *lesson = layout->score->lesson;
    if (layout->part && number > 1)
        head_draw(layout, part->head, lesson->title.text);
    foot_draw(layout, lesson->copyright.text ? lesson->copyright.text : lesson->author.text,
              part->pages_before + number, part->page_count);
}

const struct page *layout_page(struct layout *layout, uint32_t number)
{
    const struct cast_page *cast = &layout->pages.items[number - 1];
    struct layout_part part = {.page_count = (uint32_t)layout->pages.count};
    sp y = layout->sheet.text_top;
    layout->pen.marks.count = layout->systems.count = layout->page_columns.count = 0;
    for (uint32_t i = cast->first; i < cast->end; i++) {
        const struct block *block = layout->placed[i];
        y += page_gap(cast, block, i == cast->first);
        if (block->kind == BLOCK_DUO)
            duo_place(layout, &layout->duos.items[block->item], y - block->top);
        else
            block_place(layout, block, 0, y - block->top);
        y += block->bottom - block->top;
    }
    if (layout->part)
        part = *layout->part;
    frame_draw(layout, &part, number);
    columns_hand_out(layout);
    layout->page = page_of_marks(layout, part.pages_before + number, part.page_count);
    layout->page.systems = layout->systems.items;
    layout->page.system_count = layout->systems.count;
    layout->page.fill = cast->fill;
    return &layout->page;
}

uint32_t layout_exercise_page(const struct layout *layout, size_t exercise, sp *y)
{
    *y = layout->headings[exercise].y;
    return layout->headings[exercise].page;
}
