#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "model/ladder.h"

/*
 * Each is a line of music in half the width of the text:
 *
 *     (1) Title, right lead  q=60     (2) Title, left lead   q=60     headings on one baseline
 *     What is to be done, once for both leads, else each in its own column
 *           play 4 times                    play 4 times              on one baseline
 *     ---o--o--o--o--|                ---o--o--o--o--|                staves' middles on one line
 *        R  L  R  L                      L  R  L  R                   rows of one kind on one line
 *
 * This file finds out whether they fit, and where their parts stand; pages.c chooses. Twins are the
 * two leads of one exercise.
 */

enum { SIDES = 2 };

struct side {
    uint32_t exercise;
    struct block_row row; /* heading, texts, system, ladder */
    struct page_system system;
    struct plays_place plays;
};

/* Narrows the sheet to half the width. Returns what its right end was. */
static sp sheet_halve(struct layout *layout)
{
    sp right = layout->sheet.text_right;
    layout->sheet.text_right = layout->sheet.text_left + column_width(layout, true);
    return right;
}

static bool half_fits(struct layout *layout, uint32_t exercise, bool wanted)
{
    if (!layout->score->exercises[exercise].bar_count ||
        !one_line_fits(&layout->one_line[exercise], column_width(layout, true)))
        return false;
    sp right = sheet_halve(layout);
    bool fits = heading_lines(layout, exercise) <= (wanted ? HOUSE_BESIDE_TITLE_LINES : 1);
    layout->sheet.text_right = right;
    return fits;
}

/* Sets one exercise in half the width. False if its music takes more than one line. */
static bool side_make(struct layout *layout, struct side *side, bool twin, bool second)
{
    uint32_t exercise = side->exercise;
    sp right = sheet_halve(layout);
    block_add(layout, &side->row,
              (struct block){.kind = BLOCK_HEADING, .half = true, .exercise = exercise});
    if (!(twin && second))
        exercise_texts_add(layout, &side->row, (struct block){.half = !twin, .exercise = exercise});
    size_t line = layout->lines.count;
    struct staff *staff = &layout->staves[exercise];
    const struct score_exercise *shown = staff->exercise;
    lines_of_exercise(layout, exercise);
    bool one = layout->lines.count == line + 1 && staff->exercise == shown;
    block_add(layout, &side->row,
              (struct block){.kind = BLOCK_SYSTEM,
                             .half = true,
                             .exercise = exercise,
                             .item = (uint32_t)line,
                             .gap = paper(layout, HOUSE_HEADING_GAP_UM)});
    side->system = layout->measured;
    side->plays = plays_find(layout);
    ladder_add(layout, &side->row, (struct block){.exercise = exercise}); /* of both leads */
    layout->sheet.text_right = right;
    if (!one) { /* its whole lines have other signs for bars */
        staff->exercise = shown;
        bars_set_again(layout, exercise);
    }
    return one;
}

/* ---- rows --------------------------------------------------------------------------------- */

static sp middle_of(const struct page_system *system)
{
    return (system->staff_top + system->staff_bottom) / 2;
}

/* How far the rows of both sides go down to stand on one line, in their order down the page: each
   row is pushed by the one above it and drawn along by the other side's. */
static void rows_align(const struct side sides[SIDES], struct part *systems[SIDES])
{
    sp pushed[SIDES] = {0, 0};
    for (int row = 0; row < PAGE_ROWS; row++) {
        sp at[SIDES], lowest = INT32_MIN; /* from the middle of the staff */
        for (int i = 0; i < SIDES; i++) {
            sp baseline = sides[i].system.baselines[row];
            at[i] = baseline ? baseline - middle_of(&sides[i].system) : 0;
            if (at[i])
                lowest = sp_max(lowest, at[i] + pushed[i]);
        }
        for (int i = 0; i < SIDES; i++) {
            systems[i]->drops[row] = at[i] ? lowest - at[i] : 0;
            pushed[i] = sp_max(pushed[i], systems[i]->drops[row]);
        }
    }
}

/* ---- putting a duo together --------------------------------------------------------------- */

static struct duo *duo_make(struct layout *layout, const struct side sides[SIDES])
{
    struct duo *duo = vector_push(&layout->duos, layout->arena);
    sp second = column_width(layout, false) - column_width(layout, true);
    duo->parts =
        arena_array(layout->arena, sides[0].row.count + sides[1].row.count, sizeof *duo->parts);
    for (int i = 0; i < SIDES; i++)
        for (size_t k = 0; k < sides[i].row.count; k++) {
            struct part *part = &duo->parts[duo->count++];
            part->block = sides[i].row.items[k];
            part->x = i && part->block.half ? second : 0;
        }
    return duo;
}

/* The lowest ink of parts of one kind. */
static sp kind_bottom(const struct duo *duo, enum block_kind kind, sp bottom)
{
    for (size_t i = 0; i < duo->count; i++)
        if (duo->parts[i].block.kind == kind)
            bottom = sp_max(bottom, duo->parts[i].y + duo->parts[i].block.bottom);
    return bottom;
}

/* Each side's texts below both headings. */
static sp texts_set(struct duo *duo, sp top)
{
    sp y = top;
    for (size_t i = 0; i < duo->count; i++) {
        struct part *part = &duo->parts[i];
        if (part->block.kind == BLOCK_HEADING)
            y = top;
        if (part->block.kind != BLOCK_LABEL)
            continue;
        part->y = y + part->block.gap - part->block.top;
        y = part->y + part->block.bottom;
    }
    return kind_bottom(duo, BLOCK_LABEL, top);
}

/* Both staves below `top`, middle beside middle. */
static sp systems_set(const struct side sides[SIDES], struct part *systems[SIDES], sp top)
{
    sp middle = INT32_MIN, bottom = INT32_MIN;
    rows_align(sides, systems);
    for (int i = 0; i < SIDES; i++) {
        const struct block *block = &systems[i]->block;
        middle = sp_max(middle, top + block->gap - block->top + middle_of(&sides[i].system));
    }
    for (int i = 0; i < SIDES; i++) {
        struct part *part = systems[i];
        sp lower = 0;
        for (int row = 0; row < PAGE_ROWS; row++)
            lower = sp_max(lower, part->drops[row]);
        part->y = middle - middle_of(&sides[i].system);
        part->block.bottom += lower;
        bottom = sp_max(bottom, part->y + part->block.bottom);
    }
    return bottom;
}

/* Both sides say on one line how often they are played. */
static void plays_align(const struct side sides[SIDES], struct part *systems[SIDES])
{
    if (sides[0].plays.room < 0 || sides[1].plays.room < 0)
        return;
    sp lower = systems[0]->y + sides[0].plays.baseline - systems[1]->y - sides[1].plays.baseline;
    int side = lower > 0 ? 0 : 1;
    if (abs(lower) <= sides[side].plays.room)
        systems[side]->block.plays_rise = abs(lower);
}

static void duo_set(const struct side sides[SIDES], struct duo *duo, struct block *block)
{
    struct part *systems[SIDES];
    int side = 0;
    for (size_t i = 0; i < duo->count; i++) {
        if (duo->parts[i].block.kind == BLOCK_SYSTEM)
            systems[side++] = &duo->parts[i];
        if (duo->parts[i].block.kind == BLOCK_HEADING)
            block->top = sp_min(block->top, duo->parts[i].block.top);
    }
    sp bottom = texts_set(duo, kind_bottom(duo, BLOCK_HEADING, 0));
    block->bottom = bottom = systems_set(sides, systems, bottom);
    plays_align(sides, systems);
    for (size_t i = 0; i < duo->count; i++) {
        struct part *part = &duo->parts[i];
        if (part->block.kind != BLOCK_LADDER)
            continue;
        part->y = bottom + part->block.gap - part->block.top;
        block->bottom = sp_max(block->bottom, part->y + part->block.bottom);
    }
}

/* How many of the exercises span the page when printed one below the other; others stay ragged. */
static int spanning(const struct layout *layout, uint32_t first, uint32_t end)
{
    int count = 0;
    for (uint32_t i = first; i < end; i++) {
        const struct block *block = &layout->blocks.items[i];
        count += block->kind == BLOCK_SYSTEM && layout->lines.items[block->item].stretch <= 0;
    }
    return count;
}

/* Lines of text between headings and music, after the first of each side. */
static int more_text_lines(const struct side sides[SIDES])
{
    int more = 0;
    for (int i = 0; i < SIDES; i++) {
        int lines = 0;
        for (size_t k = 0; k < sides[i].row.count; k++)
            lines += sides[i].row.items[k].kind == BLOCK_LABEL;
        more += lines > 1 ? lines - 1 : 0;
    }
    return more;
}

/* One of two leads, whose place is beside the other. */
static bool is_twin(const struct score *score, uint32_t exercise)
{
    const struct score_exercise *at = &score->exercises[exercise];
    return (exercise > 0 && at[-1].source == at->source) ||
           (exercise + 1 < score->exercise_count && at[1].source == at->source);
}

void beside_offer(struct layout *layout, uint32_t left, uint32_t right, uint32_t first,
                  uint32_t end)
{
    const struct score *score = layout->score;
    bool twin = score->exercises[left].source == score->exercises[right].source;
    bool ladder = ladder_shown(score, left) || ladder_shown(score, right);    /* spans the page */
    bool words = ladder_verdict(score, left) || ladder_verdict(score, right); /* below it */
    const struct page_settings *page = score->lesson->settings.page;
    bool wanted = twin || page->two_columns; /* and so may be squeezed a little */
    if (layout->screen_um || (page->one_below_the_other && !page->two_columns) ||
        (ladder && !twin) || words ||
        (!wanted && (is_twin(score, left) || is_twin(score, right))) ||
        !half_fits(layout, left, wanted) || !half_fits(layout, right, wanted))
        return;
    struct side sides[SIDES] = {{.exercise = left}, {.exercise = right}};
    if (!side_make(layout, &sides[0], twin, false) || !side_make(layout, &sides[1], twin, true))
        return;
    struct block block = layout->blocks.items[first]; /* the gap and break of the heading */
    block.kind = BLOCK_DUO;
    block.kept = NULL;
    block.item = (uint32_t)layout->duos.count;
    duo_set(sides, duo_make(layout, sides), &block);
    double cost = wanted ? HOUSE_COST_TWINS
                         : HOUSE_COST_DUO + HOUSE_COST_SPANNING * spanning(layout, first, end) +
                               HOUSE_COST_DUO_LINE * more_text_lines(sides);
    *vector_push(&layout->choices, layout->arena) =
        (struct choice){.first = first, .end = end, .duo = block, .cost = cost};
}
