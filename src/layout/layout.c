#include "layout/layout_int.h"

#include <string.h>

static const struct {
    double width_mm, height_mm;
} page_sizes[] = {
    [PAGE_A4] = {210, 297},         /* ISO 216 */
    [PAGE_LETTER] = {215.9, 279.4}, /* ANSI/ASME Y14.1, 8.5 by 11 inches */
};

void sheet_set(struct layout *layout, const struct page_settings *page)
{
    struct sheet *sheet = &layout->sheet;
    sheet->width = paper(layout, (int)(page_sizes[page->size].width_mm * 1000));
    sheet->height = paper(layout, (int)(page_sizes[page->size].height_mm * 1000));
    sheet->margin = paper(layout, (int)(page->margin_mm * 1000));
    sheet->text_left = sheet->margin;
    sheet->text_right = sheet->width - sheet->margin;
    sheet->text_top = sheet->margin + (layout->part ? paper(layout, HOUSE_HEAD_HEIGHT_UM) : 0);
    sheet->text_bottom = sp_min(sheet->height - sheet->margin - paper(layout, HOUSE_FOOT_HEIGHT_UM),
                                foot_rule(layout) - HOUSE_FOOT_CLEAR);
}

static void staves_set(struct layout *layout)
{
    size_t count = layout->score->exercise_count;
    layout->staves = memory_alloc((count + 1) * sizeof *layout->staves);
    layout->one_line = memory_alloc((count + 1) * sizeof *layout->one_line);
    layout->headings = memory_alloc((count + 1) * sizeof *layout->headings);
    for (size_t i = 0; i < count; i++) {
        layout->one_line[i] = (struct one_line){INT32_MAX, 0, 0};
        layout->headings[i] = (struct heading_place){0, 0};
        staff_of_exercise(layout->score, (uint32_t)i, layout->arena, &layout->staves[i]);
    }
}

struct layout *layout_new(const struct score *score, const struct metrics *metrics,
                          struct layout_options options, struct diags *diags)
{
    struct layout *layout = memory_alloc(sizeof *layout);
    memset(layout, 0, sizeof *layout);
    layout->score = score;
    layout->metrics = metrics;
    layout->defaults = metrics->defaults;
    layout->diags = diags;
    layout->arena = arena_new();
    layout->stored_exercise = NONE;
    layout->pen.metrics = metrics;
    layout->pen.defaults = metrics->defaults;
    layout->part = options.part;
    sheet_set(layout, score->lesson->settings.page);
    skyline_open(&layout->skyline, layout->sheet.width);
    staves_set(layout);
    blocks_make(layout, options);
    pages_break(layout);
    return layout;
}

void layout_free(struct layout *layout)
{
    if (!layout)
        return;
    arena_free(layout->arena);
    label_cache_release(&layout->labels);
    skyline_close(&layout->skyline);
    memory_free(layout->pen.marks);
    work_release(&layout->work);
    work_release(&layout->stored);
    rhythms_release(&layout->rhythms);
    memory_free(layout->staves);
    memory_free(layout->one_line);
    memory_free(layout->headings);
    memory_free(layout->lines);
    memory_free(layout->blocks.items);
    memory_free(layout->choices);
    memory_free(layout->pairs);
    memory_free(layout->placed);
    memory_free(layout->pages);
    memory_free(layout->systems);
    memory_free(layout);
}

uint32_t layout_page_count(const struct layout *layout)
{
    return (uint32_t)layout->page_count;
}

/* ---- writing a page ----------------------------------------------------------------------- */

static void system_move(struct page_system *system, sp x, sp y)
{
    system->column_left += x;
    system->column_right += x;
    system->left += x;
    system->right += x;
    system->box.left += x;
    system->box.right += x;
    system->box.top += y;
    system->box.bottom += y;
    system->staff_top += y;
    system->staff_bottom += y;
    system->sticking_baseline += system->sticking_baseline ? y : 0;
    system->feet_sticking_baseline += system->feet_sticking_baseline ? y : 0;
    system->count_baseline += system->count_baseline ? y : 0;
}

static void block_place(struct layout *layout, const struct block *block, sp x, sp y)
{
    size_t first = layout->pen.count, first_column = layout->work.page_column_count;
    struct page_system system = {0};
    block_draw(layout, block, &system);
    marks_move(layout->pen.marks, first, layout->pen.count, x, y);
    if (block->kind != BLOCK_SYSTEM)
        return;
    system_move(&system, x, y);
    for (size_t i = first_column; i < layout->work.page_column_count; i++)
        layout->work.page_columns[i].x += x;
    *row_push(layout->systems, layout->system_count, layout->system_room) = system;
}

/* The rows of a system go down to those of the one beside it. */
static void rows_lower(struct layout *layout, const struct part *part, size_t first)
{
    struct page_system *system = &layout->systems[layout->system_count - 1];
    for (size_t i = first; i < layout->pen.count; i++) {
        struct mark *mark = &layout->pen.marks[i];
        if (mark->role == ROLE_COUNT)
            marks_move(mark, 0, 1, 0, part->counts);
        else if (mark->role == ROLE_STICKING)
            marks_move(mark, 0, 1, 0,
                       mark->owner.line == LINE_FEET ? part->feet_letters : part->letters);
    }
    system->sticking_baseline += part->letters;
    system->feet_sticking_baseline += part->feet_letters;
    system->count_baseline += part->counts;
    system->box = marks_box(layout->pen.marks, first, layout->pen.count);
}

static void pair_place(struct layout *layout, const struct pair *pair, sp y)
{
    for (size_t i = 0; i < pair->count; i++) {
        const struct part *part = &pair->parts[i];
        size_t first = layout->pen.count;
        block_place(layout, &part->block, part->x, y + part->y);
        if (part->block.kind == BLOCK_SYSTEM)
            rows_lower(layout, part, first);
    }
}

/* The row of columns may have moved while it grew: only now do they stand still. */
static void columns_hand_out(struct layout *layout)
{
    struct page_column *column = layout->work.page_columns;
    for (size_t i = 0; i < layout->system_count; i++) {
        layout->systems[i].columns = column;
        column += layout->systems[i].column_count;
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

struct page page_of_marks(const struct layout *layout, uint32_t number, uint32_t count)
{
    const struct sheet *sheet = &layout->sheet;
    return (struct page){
        .number = number,
        .count = count,
        .width = sheet->width,
        .height = sheet->height,
        .margin_left = sheet->margin,
        .margin_top = sheet->margin,
        .margin_right = sheet->margin,
        .margin_bottom = sheet->margin,
        .marks = layout->pen.marks,
        .mark_count = layout->pen.count,
    };
}

const struct page *layout_page(struct layout *layout, uint32_t number)
{
    const struct page_plan *plan = &layout->pages[number - 1];
    const struct sheet *sheet = &layout->sheet;
    layout->pen.count = layout->system_count = layout->work.page_column_count = 0;
    sp y = sheet->text_top;
    for (uint32_t i = plan->first; i < plan->end; i++) {
        const struct block *block = layout->placed[i];
        y += page_gap(plan, block, i == plan->first);
        if (block->kind == BLOCK_PAIR)
            pair_place(layout, &layout->pairs[block->item], y - block->top);
        else
            block_place(layout, block, 0, y - block->top);
        y += block->bottom - block->top;
    }
    struct layout_part part = {.page_count = (uint32_t)layout->page_count};
    if (layout->part)
        part = *layout->part;
    frame_draw(layout, &part, number);
    columns_hand_out(layout);
    layout->page = page_of_marks(layout, part.pages_before + number, part.page_count);
    layout->page.systems = layout->systems;
    layout->page.system_count = layout->system_count;
    layout->page.fill = plan->fill;
    return &layout->page;
}

uint32_t layout_exercise_page(const struct layout *layout, size_t exercise, sp *y)
{
    *y = layout->headings[exercise].y;
    return layout->headings[exercise].page;
}
