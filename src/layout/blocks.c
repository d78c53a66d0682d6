#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"
#include "model/ladder.h"

sp column_width(const struct layout *layout, bool half)
{
    sp width = layout->sheet.width - 2 * layout->sheet.margin;
    return half ? (width - paper(layout, HOUSE_BESIDE_GAP_UM)) / 2 : width;
}

/* ---- drawing ------------------------------------------------------------------------------ */

/* A line of a paragraph; flush right where it runs from right to left: to the end of the page, or
   of the longest line, which begins below the exercise's title. */
static void label_draw(struct layout *layout, const struct block *block)
{
    const struct label_metrics *metrics = metrics_of_label(layout->metrics, block->item);
    const struct sheet *sheet = &layout->sheet;
    sp left = block->indented ? title_left(layout) : sheet->text_left;
    sp right = block->indented ? left + block->measure : sheet->text_right;
    sp x = metrics->backward ? right - metrics->advance : left;
    layout->pen.owner = exercise_owner(block->exercise);
    pen_label(&layout->pen, (enum mark_role)block->role, block->item, x, 0);
}

static void kind_draw(struct layout *layout, const struct block *block, struct page_system *system)
{
    switch ((enum block_kind)block->kind) {
    case BLOCK_TITLE:
        title_draw(layout);
        break;
    case BLOCK_LABEL:
        label_draw(layout, block);
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
        sized_system_draw(layout, &layout->lines.items[block->item], system);
        break;
    case BLOCK_LADDER:
        ladder_draw(layout, block->exercise);
        break;
    case BLOCK_DUO:
        break;
    }
}

static void kept_draw(struct layout *layout, const struct kept *kept, struct page_system *system)
{
    *system = kept->system;
    system->first_mark = layout->pen.marks.count;
    pen_copy(&layout->pen, kept->marks, kept->mark_count);
    for (size_t i = 0; i < system->column_count; i++)
        *vector_push(&layout->page_columns, NULL) = kept->system.columns[i];
}

static void plays_move(struct layout *layout, size_t first, sp rise, struct page_system *system)
{
    for (size_t i = first; i < layout->pen.marks.count; i++) {
        struct mark *mark = &layout->pen.marks.items[i];
        if (mark->role != ROLE_PLAYS)
            continue;
        marks_move(mark, 1, 0, -rise);
        system->box = box_joined(system->box, mark->box);
    }
}

void block_draw(struct layout *layout, const struct block *block, struct page_system *system)
{
    struct sheet *sheet = &layout->sheet;
    sp right = sheet->text_right;
    size_t first = layout->pen.marks.count;
    if (block->kept) {
        kept_draw(layout, block->kept, system);
    } else {
        sheet->text_right = sheet->text_left + column_width(layout, block->half);
        kind_draw(layout, block, system);
        sheet->text_right = right;
    }
    if (block->plays_rise)
        plays_move(layout, first, block->plays_rise, system);
}

/* ---- measuring ---------------------------------------------------------------------------- */

static void block_keep(struct layout *layout, struct block *block, const struct page_system *system)
{
    size_t count = layout->pen.marks.count;
    if (layout->kept_marks + count > HOUSE_KEPT_MARKS)
        return;
    layout->kept_marks += count;
    struct kept *kept = block->kept = arena_alloc(layout->arena, sizeof *kept);
    kept->marks = arena_copy(layout->arena, layout->pen.marks.items, count, sizeof *kept->marks);
    kept->mark_count = count;
    kept->system = *system;
    kept->system.columns = arena_copy(layout->arena, layout->page_columns.items,
                                      system->column_count, sizeof *system->columns);
}

struct block *block_add(struct layout *layout, struct block_row *row, struct block block)
{
    struct block *added = vector_push(row, layout->arena);
    struct page_system system = {0};
    *added = block;
    layout->pen.marks.count = 0;
    layout->page_columns.count = 0;
    block_draw(layout, added, &system);
    size_t count = layout->pen.marks.count;
    if (count) { /* with nothing to see it has no height */
        struct box box = marks_box(layout->pen.marks.items, count);
        added->top = box.top;
        added->bottom = box.bottom;
        if (block.kind == BLOCK_HEADING) /* whatever its last letters, what follows is as near */
            added->bottom = sp_max(box.bottom, heading_bottom(layout, block.exercise));
        block_keep(layout, added, &system);
    }
    layout->measured = system;
    return added;
}

/* The white over a mark of the system that was measured last. */
static sp room_above(const struct layout *layout, const struct mark *below)
{
    sp room = INT32_MAX, aside = HOUSE_PLAYS_GAP;
    for (size_t i = 0; i < layout->pen.marks.count; i++) {
        const struct mark *mark = &layout->pen.marks.items[i];
        if (mark->box.left < below->box.right + aside &&
            below->box.left < mark->box.right + aside && mark->box.top < below->box.top)
            room = sp_min(room, sp_max(below->box.top - mark->box.bottom - HOUSE_PLAYS_GAP, 0));
    }
    return room;
}

struct plays_place plays_find(const struct layout *layout)
{
    struct plays_place place = {.room = -1};
    for (size_t i = 0; i < layout->pen.marks.count; i++) {
        const struct mark *mark = &layout->pen.marks.items[i];
        if (mark->role != ROLE_PLAYS)
            continue;
        sp room = room_above(layout, mark);
        if (place.room < 0)
            place = (struct plays_place){mark->as.at.y, mark->box.left, room};
        place.room = sp_min(place.room, room);
    }
    return place;
}

/* ---- what belongs to an exercise ---------------------------------------------------------- */

/* The height of a line is the face's, so that lines are evenly apart. */
void paragraph_add(struct layout *layout, struct block_row *row, struct block block,
                   enum text_style style, const char *text, sp first_gap)
{
    const label_id *lines;
    sp indent = block.indented ? title_left(layout) - layout->sheet.text_left : 0;
    sp width = column_width(layout, block.half) - indent;
    size_t count = text_wrap(layout, style, text, width, &lines);
    if (count == 2 && block.indented) /* no word alone on its second line */
        text_wrap(layout, style, text, text_even_width(layout, style, text, width), &lines);
    const label_id *kept = arena_copy(layout->arena, lines, count, sizeof *lines);
    sp lead = text_lead(layout, style, HOUSE_TEXT_LEAD);
    for (size_t i = 0; i < count; i++)
        block.measure = sp_max(block.measure, metrics_of_label(layout->metrics, kept[i])->advance);
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
}

void gap_set(const struct layout *layout, struct block *block, int gap_um, int growth_um)
{
    block->gap = paper(layout, gap_um);
    block->growth = paper(layout, growth_um);
    block->shrink = growth_um ? block->gap * HOUSE_GAP_SHRINK / 1000 : 0;
}

void exercise_texts_add(struct layout *layout, struct block_row *row, struct block block)
{
    const struct exercise *source = layout->score->exercises[block.exercise].source;
    bool taken = heading_takes_text(layout, block.exercise);
    sp gap = paper(layout, HOUSE_INSTRUCTION_GAP_UM);
    block.role = ROLE_INSTRUCTION;
    block.before = BREAK_NEVER;
    block.indented = true;
    if (source->subtitle.text && !taken) {
        paragraph_add(layout, row, block, TEXT_INSTRUCTION, source->subtitle.text, gap);
        gap = paper(layout, HOUSE_INSTRUCTION_NEXT_UM);
    }
    if (taken && !source->subtitle.text)
        return; /* the one paragraph is there already */
    for (size_t i = 0; i < source->paragraph_count; i++) {
        paragraph_add(layout, row, block, TEXT_INSTRUCTION, source->paragraphs[i].text, gap);
        gap = paper(layout, HOUSE_INSTRUCTION_NEXT_UM);
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
