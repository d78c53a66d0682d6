#include "layout/layout_int.h"
#include "model/caution.h"
#include "model/floor.h"
#include "model/ladder.h"

#include <string.h>

/* The lesson as a row of blocks, each measured by drawing it once: what page breaking works on. */

static void kept_draw(struct layout *layout, const struct kept *kept, struct page_system *system)
{
    struct pen *pen = &layout->pen;
    while (pen->room < pen->count + kept->mark_count)
        pen->marks = row_grow(pen->marks, &pen->room, sizeof *pen->marks);
    *system = kept->system;
    system->first_mark = pen->count;
    memcpy(pen->marks + pen->count, kept->marks, kept->mark_count * sizeof *kept->marks);
    pen->count += kept->mark_count;
    for (size_t i = 0; i < system->column_count; i++)
        *row_push(layout->work.page_columns, layout->work.page_column_count,
                  layout->work.page_column_room) = kept->columns[i];
}

/* A line of a paragraph; flush right where it runs from right to left. */
static void line_draw(struct layout *layout, const struct block *block)
{
    const struct label_metrics *metrics = metrics_of_label(layout->metrics, block->item);
    const struct sheet *sheet = &layout->sheet;
    sp x = metrics->backward ? sheet->text_right - metrics->advance : sheet->text_left;
    pen_label(&layout->pen, (enum mark_role)block->role, block->item, x, 0);
}

static void kind_draw(struct layout *layout, const struct block *block, struct page_system *system)
{
    switch ((enum block_kind)block->kind) {
    case BLOCK_TITLE:
        title_draw(layout);
        break;
    case BLOCK_LABEL:
        layout->pen.owner = mark_owner(block->exercise, 0, OWNER_NONE, OWNER_NONE);
        line_draw(layout, block);
        break;
    case BLOCK_KEY:
        layout->next_item = key_draw(layout, block->item);
        break;
    case BLOCK_PLAN:
        kit_plan_draw(layout);
        break;
    case BLOCK_HEADING:
        heading_draw(layout, block->exercise);
        break;
    case BLOCK_FORM:
        layout->next_item = form_draw(layout, block->exercise, block->item);
        break;
    case BLOCK_SYSTEM:
        sized_system_draw(layout, &layout->lines[block->item], system);
        break;
    case BLOCK_LADDER:
        ladder_draw(layout, block->exercise);
        break;
    case BLOCK_PAIR:
        break;
    }
}

void block_draw(struct layout *layout, const struct block *block, struct page_system *system)
{
    struct sheet *sheet = &layout->sheet;
    sp right = sheet->text_right;
    if (block->kept) {
        kept_draw(layout, block->kept, system);
        return;
    }
    sheet->text_right = sheet->text_left + column_width(layout, block->half);
    kind_draw(layout, block, system);
    sheet->text_right = right;
}

static void block_keep(struct layout *layout, struct block *block, const struct page_system *system)
{
    const struct pen *pen = &layout->pen;
    if (layout->kept_marks + pen->count > HOUSE_KEPT_MARKS)
        return;
    struct kept *kept = block->kept = arena_alloc(layout->arena, sizeof *kept);
    kept->marks = arena_array(layout->arena, pen->count + 1, sizeof *kept->marks);
    memcpy(kept->marks, pen->marks, pen->count * sizeof *kept->marks);
    kept->mark_count = pen->count;
    layout->kept_marks += pen->count;
    if (block->kind != BLOCK_SYSTEM)
        return;
    kept->system = *system;
    kept->columns = arena_array(layout->arena, system->column_count + 1, sizeof *kept->columns);
    memcpy(kept->columns, layout->work.page_columns, system->column_count * sizeof *kept->columns);
}

struct block *block_add(struct layout *layout, struct block_row *row, struct block block)
{
    struct block *added = row_push(row->items, row->count, row->room);
    *added = block;
    struct page_system system = {0};
    layout->pen.count = 0;
    layout->work.page_column_count = 0;
    block_draw(layout, added, &system);
    struct box box = marks_box(layout->pen.marks, 0, layout->pen.count);
    added->top = box.top;
    added->bottom = box.bottom;
    if (layout->pen.count == 0) /* nothing to see: no height */
        added->top = added->bottom = 0;
    if (layout->pen.count)
        block_keep(layout, added, &system);
    layout->measured = system;
    return added;
}

/* Paragraphs, a block a line; their height is the face's, so that lines are evenly apart. */
static void paragraph_add(struct layout *layout, struct block_row *row, struct block block,
                          enum text_style style, const char *text, sp first_gap)
{
    const label_id *lines;
    sp width = column_width(layout, block.half);
    size_t count =
        layout->metrics->wrap(layout->metrics->self, style, text, strlen(text), width, &lines);
    label_id *kept = memory_alloc((count + 1) * sizeof *kept);
    memcpy(kept, lines, count * sizeof *kept);
    sp lead = text_em(layout, style) * HOUSE_TEXT_LEAD / 1000;
    for (size_t i = 0; i < count; i++) {
        block.kind = BLOCK_LABEL;
        block.item = kept[i];
        struct block *added = block_add(layout, row, block);
        const struct label_metrics *metrics = metrics_of_label(layout->metrics, kept[i]);
        added->top = -metrics->ascent;
        added->bottom = metrics->descent;
        added->gap = i ? lead - metrics->ascent - metrics->descent : first_gap;
        if (i)
            added->before = block.before == BREAK_NEVER ? BREAK_NEVER : BREAK_IN_EXERCISE;
    }
    memory_free(kept);
}

/* White before a block, that grows by so much. */
static void gap_set(const struct layout *layout, struct block *block, int gap_um, int growth_um)
{
    block->gap = paper(layout, gap_um);
    block->growth = paper(layout, growth_um);
    block->shrink = growth_um ? block->gap * HOUSE_GAP_SHRINK / 1000 : 0;
}

void exercise_texts_add(struct layout *layout, struct block_row *row, struct block block)
{
    const struct exercise *source = layout->score->exercises[block.exercise].source;
    bool beside = heading_takes_text(layout, block.exercise);
    block.role = ROLE_INSTRUCTION;
    block.before = BREAK_NEVER;
    sp gap = paper(layout, HOUSE_PARAGRAPH_GAP_UM);
    if (source->subtitle.text && !beside)
        paragraph_add(layout, row, block, TEXT_INSTRUCTION, source->subtitle.text, gap);
    if (beside && !source->subtitle.text)
        return; /* the one paragraph is there already */
    for (size_t i = 0; i < source->paragraph_count; i++)
        paragraph_add(layout, row, block, TEXT_INSTRUCTION, source->paragraphs[i].text, gap);
}

static void systems_add(struct layout *layout, uint32_t exercise)
{
    size_t first = layout->line_count;
    lines_of_exercise(layout, exercise);
    size_t count = layout->line_count - first;
    for (size_t i = 0; i < count; i++) {
        enum block_break before = i == 0           ? BREAK_NEVER
                                  : i + 1 == count ? BREAK_LONE_LAST
                                  : i == 1         ? BREAK_LONE_FIRST
                                                   : BREAK_IN_EXERCISE;
        struct block block = {.kind = BLOCK_SYSTEM,
                              .before = (uint8_t)before,
                              .exercise = exercise,
                              .item = (uint32_t)(first + i)};
        gap_set(layout, &block, i ? HOUSE_SYSTEM_GAP_UM : HOUSE_HEADING_GAP_UM,
                i ? HOUSE_SYSTEM_GROWTH_UM : 0);
        block_add(layout, &layout->blocks, block);
    }
}

void ladder_add(struct layout *layout, struct block_row *row, struct block block)
{
    if (!ladder_shown(layout->score, block.exercise))
        return;
    block.kind = BLOCK_LADDER;
    gap_set(layout, &block, HOUSE_LADDER_GAP_UM, HOUSE_LADDER_GROWTH_UM);
    block_add(layout, row, block);
    const struct verdict *verdict = ladder_verdict(layout->score, block.exercise);
    if (!verdict || !verdict->words)
        return;
    struct block below = {
        .role = ROLE_INSTRUCTION, .before = BREAK_NEVER, .exercise = block.exercise};
    paragraph_add(layout, row, below, TEXT_INSTRUCTION, verdict->words,
                  paper(layout, HOUSE_PARAGRAPH_GAP_UM));
}

/* The rows of a key or form, a block each, `lead` apart. */
static void rows_add(struct layout *layout, struct block block, sp lead)
{
    sp bottom = 0;
    for (layout->next_item = 0; layout->next_item != SIZE_MAX;) {
        bool next = layout->next_item > 0;
        block.item = (uint32_t)layout->next_item;
        struct block *added = block_add(layout, &layout->blocks, block);
        if (next) {
            added->gap = lead - bottom + added->top;
            added->before = BREAK_IN_EXERCISE;
        }
        bottom = added->bottom;
    }
}

/* An exercise's own blocks, one below the other. */
static void exercise_add(struct layout *layout, uint32_t exercise)
{
    struct block block = {.kind = BLOCK_HEADING, .exercise = exercise};
    gap_set(layout, &block, HOUSE_BLOCK_GAP_UM, HOUSE_BLOCK_GROWTH_UM);
    block_add(layout, &layout->blocks, block);
    heading_tell(layout, exercise);
    exercise_texts_add(layout, &layout->blocks, (struct block){.exercise = exercise});
    block = (struct block){.kind = BLOCK_FORM, .before = BREAK_NEVER, .exercise = exercise};
    gap_set(layout, &block, HOUSE_HEADING_GAP_UM, 0);
    if (layout->score->exercises[exercise].sequence)
        rows_add(layout, block, form_lead(layout));
    systems_add(layout, exercise);
    ladder_add(layout, &layout->blocks,
               (struct block){.before = BREAK_NEVER, .exercise = exercise});
}

static void head_add(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct block block = {.exercise = OWNER_NONE};
    if (title_shown(layout)) {
        block.kind = BLOCK_TITLE;
        block_add(layout, &layout->blocks, block);
        title_tell(layout);
    }
    block.role = ROLE_PARAGRAPH;
    for (size_t i = 0; i < lesson->note_count; i++)
        paragraph_add(layout, &layout->blocks, block, TEXT_PARAGRAPH, lesson->notes[i].text,
                      paper(layout, i ? HOUSE_PARAGRAPH_GAP_UM : HOUSE_KEY_GAP_UM));
    if (key_shown(layout)) {
        block.kind = BLOCK_KEY;
        block.gap = paper(layout, HOUSE_KEY_GAP_UM);
        rows_add(layout, block, key_lead(layout));
    }
    if (floor_shown(layout->score)) {
        block.kind = BLOCK_PLAN;
        block.gap = paper(layout, HOUSE_PLAN_GAP_UM);
        block_add(layout, &layout->blocks, block);
    }
}

/* The lesson's ladder and the caution, which keep company with the last exercise. */
static void tail_add(struct layout *layout)
{
    bool ladder = ladder_shown(layout->score, OWNER_NONE);
    struct block caution = {.role = ROLE_CAUTION,
                            .exercise = OWNER_NONE,
                            .before = ladder ? BREAK_NEVER : BREAK_LONE_LAST};
    ladder_add(layout, &layout->blocks,
               (struct block){.before = BREAK_LONE_LAST, .exercise = OWNER_NONE});
    if (caution_shown(layout->score))
        paragraph_add(layout, &layout->blocks, caution, TEXT_CAUTION, practice_caution,
                      paper(layout, ladder ? HOUSE_CAUTION_GAP_UM : HOUSE_LADDER_GAP_UM));
}

void blocks_make(struct layout *layout, struct layout_options options)
{
    uint32_t before = NONE, first_before = 0; /* the exercise printed last, and its first block */
    head_add(layout);
    for (uint32_t i = 0; i < layout->score->exercise_count; i++) {
        if (!exercise_chosen(options.exercises, layout->score->exercises[i].number))
            continue;
        uint32_t first = (uint32_t)layout->blocks.count;
        exercise_add(layout, i);
        if (before != NONE)
            beside_offer(layout, before, i, first_before, (uint32_t)layout->blocks.count);
        before = i;
        first_before = first;
    }
    tail_add(layout);
}
