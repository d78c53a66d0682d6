#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "model/caution.h"
#include "model/floor.h"
#include "model/ladder.h"

/*
 * What stands over the music at the right of a short instruction shares its line:
 *
 *     (1) Title                               q = 60
 *         What is to be done.           play 4 times
 *     ---o--o--o--o-------------o--o--o--o--:|
 */
static void system_rise(struct layout *layout, const struct block *text, struct block *system)
{
    const struct label_metrics *label = metrics_of_label(layout->metrics, text->item);
    sp right = title_left(layout) + (label->backward ? text->measure : label->advance) +
               paper(layout, HOUSE_COLUMN_GAP_UM);
    sp below = INT32_MAX;
    for (size_t i = 0; i < layout->pen.marks.count; i++)
        if (layout->pen.marks.items[i].box.left < right)
            below = sp_min(below, layout->pen.marks.items[i].box.top);
    system->top = sp_min(below, system->top + text->bottom - text->top);
    struct plays_place plays = plays_find(layout);
    if (plays.room < 0 || plays.left < right)
        return;
    sp baseline = plays.baseline + text->bottom + system->gap; /* if the music's top were 0 */
    system->top = sp_min(system->top, baseline);
    sp rise = baseline - system->top;
    if (rise <= plays.room && rise < text->bottom - text->top)
        system->plays_rise = rise;
}

static void systems_add(struct layout *layout, uint32_t exercise)
{
    struct block above = layout->blocks.items[layout->blocks.count - 1];
    bool text = above.kind == BLOCK_LABEL;
    size_t first = layout->lines.count;
    lines_of_exercise(layout, exercise);
    size_t count = layout->lines.count - first;
    for (size_t i = 0; i < count; i++) {
        struct block block = {.kind = BLOCK_SYSTEM,
                              .before = i == 0           ? BREAK_NEVER
                                        : i + 1 == count ? BREAK_LONE_LAST
                                        : i == 1         ? BREAK_LONE_FIRST
                                                         : BREAK_IN_EXERCISE,
                              .exercise = exercise,
                              .item = (uint32_t)(first + i)};
        gap_set(layout, &block,
                i      ? HOUSE_SYSTEM_GAP_UM
                : text ? HOUSE_INSTRUCTION_MUSIC_UM
                       : HOUSE_HEADING_GAP_UM,
                i ? HOUSE_SYSTEM_GROWTH_UM : 0);
        struct block *added = block_add(layout, &layout->blocks, block);
        if (i == 0 && text)
            system_rise(layout, &above, added);
    }
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

/* An exercise's own blocks, one below the other. `told`: the other lead's text is there already. */
static void exercise_add(struct layout *layout, uint32_t exercise, bool told)
{
    struct block block = {.kind = BLOCK_HEADING, .exercise = exercise};
    gap_set(layout, &block, HOUSE_BLOCK_GAP_UM, HOUSE_BLOCK_GROWTH_UM);
    block_add(layout, &layout->blocks, block);
    heading_warn_cut(layout, exercise);
    over_warn_cut(layout, &layout->score->exercises[exercise]);
    if (!told)
        exercise_texts_add(layout, &layout->blocks, (struct block){.exercise = exercise});
    block = (struct block){.kind = BLOCK_FORM, .before = BREAK_NEVER, .exercise = exercise};
    gap_set(layout, &block, HOUSE_HEADING_GAP_UM, 0);
    if (layout->score->exercises[exercise].sequence)
        rows_add(layout, block, form_lead(layout));
    systems_add(layout, exercise);
    ladder_add(layout, &layout->blocks,
               (struct block){.before = BREAK_NEVER, .exercise = exercise});
}

static void opening_add(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct block block = {.exercise = OWNER_NONE};
    if (title_shown(layout)) {
        block.kind = BLOCK_TITLE;
        block_add(layout, &layout->blocks, block);
        title_warn_cut(layout);
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

/* The lesson's ladder and the caution stay with the last exercise. */
static void ending_add(struct layout *layout)
{
    bool ladder = ladder_shown(layout->score, OWNER_NONE);
    struct block caution = {.role = ROLE_CAUTION,
                            .exercise = OWNER_NONE,
                            .before = ladder ? BREAK_NEVER : BREAK_LONE_LAST};
    ladder_add(layout, &layout->blocks,
               (struct block){.before = BREAK_LONE_LAST, .exercise = OWNER_NONE});
    if (caution_shown(layout->score))
        paragraph_add(layout, &layout->blocks, caution, TEXT_CAUTION,
                      page_word(layout->words, practice_caution),
                      paper(layout, ladder ? HOUSE_CAUTION_GAP_UM : HOUSE_LADDER_GAP_UM));
}

void blocks_make(struct layout *layout, struct layout_options options)
{
    uint32_t before = NONE, first_before = 0; /* the exercise printed last, and its first block */
    opening_add(layout);
    for (uint32_t i = 0; i < layout->score->exercise_count; i++) {
        if (!exercise_chosen(options.exercises, layout->score->exercises[i].number))
            continue;
        uint32_t first = (uint32_t)layout->blocks.count;
        const struct score_exercise *exercise = &layout->score->exercises[i];
        exercise_add(layout, i,
                     before != NONE && before + 1 == i && exercise[-1].source == exercise->source);
        if (before != NONE)
            beside_offer(layout, before, i, first_before, (uint32_t)layout->blocks.count);
        before = i;
        first_before = first;
    }
    const struct page_settings *page = layout->score->lesson->settings.page;
    if (page->two_columns && before != NONE && layout->choices.count == 0)
        diag_add(layout->diags, DIAG_NOT_PRINTABLE, page->columns_at,
                 "no two exercises fit beside each other, so there is one column");
    ending_add(layout);
}
