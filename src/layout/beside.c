#include "layout/layout_int.h"
#include "model/ladder.h"

/*
 * Two exercises side by side, each a line of music in half the width of the text:
 *
 *     (1) Title, right lead  q=60     (2) Title, left lead   q=60     headings on one baseline
 *     What is to be done, once for both leads, else each in its own column
 *     ---o--o--o--o--|                ---o--o--o--o--|                staves' middles on one line
 *        R  L  R  L                      L  R  L  R                   rows of one kind on one line
 *
 * Here it is only found out whether they fit; which are set so is the page breaking's choice.
 */

enum { SIDES = 2 };

struct side {
    uint32_t exercise;
    struct block_row row; /* heading, texts, system, ladder */
    struct page_system system;
};

sp column_width(const struct layout *layout, bool half)
{
    sp width = layout->sheet.width - 2 * layout->sheet.margin;
    return half ? (width - paper(layout, HOUSE_BESIDE_GAP_UM)) / 2 : width;
}

static bool music_fits(const struct layout *layout, uint32_t exercise, bool twin)
{
    const struct one_line *line = &layout->one_line[exercise];
    sp space = column_width(layout, true) - line->rigid;
    return space > 0 && line->least <= space &&
           (int64_t)line->natural * (twin ? HOUSE_BESIDE_TWIN : 1000) <= (int64_t)space * 1000;
}

static bool half_fits(struct layout *layout, uint32_t exercise, bool twin)
{
    if (!layout->score->exercises[exercise].bar_count || !music_fits(layout, exercise, twin))
        return false;
    sp right = layout->sheet.text_right;
    layout->sheet.text_right = layout->sheet.text_left + column_width(layout, true);
    bool fits = heading_lines(layout, exercise) <= (twin ? HOUSE_BESIDE_TITLE_LINES : 1);
    layout->sheet.text_right = right;
    return fits;
}

/* Sets one exercise in half the width. False where its music takes more than one line. */
static bool side_make(struct layout *layout, struct side *side, bool twin, bool second)
{
    uint32_t exercise = side->exercise;
    sp right = layout->sheet.text_right;
    layout->sheet.text_right = layout->sheet.text_left + column_width(layout, true);
    block_add(layout, &side->row,
              (struct block){.kind = BLOCK_HEADING, .half = true, .exercise = exercise});
    if (!(twin && second))
        exercise_texts_add(layout, &side->row, (struct block){.half = !twin, .exercise = exercise});
    size_t line = layout->line_count;
    lines_of_exercise(layout, exercise);
    bool one = layout->line_count == line + 1;
    block_add(layout, &side->row,
              (struct block){.kind = BLOCK_SYSTEM,
                             .half = true,
                             .exercise = exercise,
                             .item = (uint32_t)line,
                             .gap = paper(layout, HOUSE_HEADING_GAP_UM)});
    side->system = layout->measured;
    ladder_add(layout, &side->row, (struct block){.exercise = exercise}); /* of both leads */
    layout->sheet.text_right = right;
    return one;
}

/* ---- rows --------------------------------------------------------------------------------- */

/* How far a row goes down to stand on one line with the other side's, when what stands above it has
   gone down by `pushed` already. */
static sp row_drop(sp here, sp there, sp pushed, sp there_pushed)
{
    if (!here)
        return 0;
    sp line = here + pushed;
    return (there ? sp_max(line, there + there_pushed) : line) - here;
}

static sp from_middle(const struct page_system *system, sp baseline)
{
    return baseline ? baseline - (system->staff_top + system->staff_bottom) / 2 : 0;
}

/* Letters, the feet's letters, counts, in their order down the page: each row is pushed by the one
   above it and drawn by its fellow. */
static void rows_align(const struct side sides[SIDES], struct part *systems[SIDES])
{
    sp pushed[SIDES] = {0, 0};
    for (int row = 0; row < 3; row++) {
        sp at[SIDES], drop[SIDES];
        for (int i = 0; i < SIDES; i++) {
            const struct page_system *system = &sides[i].system;
            const sp rows[] = {system->sticking_baseline, system->feet_sticking_baseline,
                               system->count_baseline};
            at[i] = from_middle(system, rows[row]);
        }
        for (int i = 0; i < SIDES; i++)
            drop[i] = row_drop(at[i], at[1 - i], pushed[i], pushed[1 - i]);
        for (int i = 0; i < SIDES; i++) {
            *(row == 0   ? &systems[i]->letters
              : row == 1 ? &systems[i]->feet_letters
                         : &systems[i]->counts) = drop[i];
            pushed[i] = sp_max(pushed[i], drop[i]);
        }
    }
}

/* ---- putting a pair together -------------------------------------------------------------- */

static struct pair *pair_make(struct layout *layout, const struct side sides[SIDES])
{
    struct pair *pair = row_push(layout->pairs, layout->pair_count, layout->pair_room);
    pair->parts =
        arena_array(layout->arena, sides[0].row.count + sides[1].row.count, sizeof *pair->parts);
    for (int i = 0; i < SIDES; i++)
        for (size_t k = 0; k < sides[i].row.count; k++) {
            struct part *part = &pair->parts[pair->count++];
            part->block = sides[i].row.items[k];
            part->x = i && part->block.half
                          ? column_width(layout, false) - column_width(layout, true)
                          : 0;
        }
    return pair;
}

/* The lowest ink of parts of one kind, which stand where they are told. */
static sp kind_bottom(const struct pair *pair, enum block_kind kind, sp bottom)
{
    for (size_t i = 0; i < pair->count; i++)
        if (pair->parts[i].block.kind == kind)
            bottom = sp_max(bottom, pair->parts[i].y + pair->parts[i].block.bottom);
    return bottom;
}

/* Each side's texts below both headings. */
static sp texts_set(struct pair *pair, sp top)
{
    sp y = top;
    for (size_t i = 0; i < pair->count; i++) {
        struct part *part = &pair->parts[i];
        if (part->block.kind == BLOCK_HEADING)
            y = top;
        if (part->block.kind != BLOCK_LABEL)
            continue;
        part->y = y + part->block.gap - part->block.top;
        y = part->y + part->block.bottom;
    }
    return kind_bottom(pair, BLOCK_LABEL, top);
}

/* Both staves below `top`, middle beside middle. */
static sp systems_set(const struct side sides[SIDES], struct part *systems[SIDES], sp top)
{
    sp middle = INT32_MIN, bottom = INT32_MIN;
    rows_align(sides, systems);
    for (int i = 0; i < SIDES; i++) {
        const struct block *block = &systems[i]->block;
        middle = sp_max(middle, top + block->gap - block->top +
                                    (sides[i].system.staff_top + sides[i].system.staff_bottom) / 2);
    }
    for (int i = 0; i < SIDES; i++) {
        struct part *part = systems[i];
        part->y = middle - (sides[i].system.staff_top + sides[i].system.staff_bottom) / 2;
        sp lower = sp_max(part->counts, sp_max(part->letters, part->feet_letters));
        part->block.bottom += lower;
        bottom = sp_max(bottom, part->y + part->block.bottom);
    }
    return bottom;
}

static void pair_set(const struct side sides[SIDES], struct pair *pair, struct block *block)
{
    struct part *systems[SIDES];
    int side = 0;
    for (size_t i = 0; i < pair->count; i++) {
        if (pair->parts[i].block.kind == BLOCK_SYSTEM)
            systems[side++] = &pair->parts[i];
        if (pair->parts[i].block.kind == BLOCK_HEADING)
            block->top = sp_min(block->top, pair->parts[i].block.top);
    }
    sp bottom = texts_set(pair, kind_bottom(pair, BLOCK_HEADING, 0));
    block->bottom = bottom = systems_set(sides, systems, bottom);
    for (size_t i = 0; i < pair->count; i++) {
        struct part *part = &pair->parts[i];
        if (part->block.kind != BLOCK_LADDER)
            continue;
        part->y = bottom + part->block.gap - part->block.top;
        block->bottom = sp_max(block->bottom, part->y + part->block.bottom);
    }
}

/* How many of the exercises span the page, printed one below the other; others stay ragged. */
static int spanning(const struct layout *layout, uint32_t first, uint32_t end)
{
    int count = 0;
    for (uint32_t i = first; i < end; i++)
        count += layout->blocks.items[i].kind == BLOCK_SYSTEM &&
                 layout->lines[layout->blocks.items[i].item].stretch <= 0;
    return count;
}

void beside_offer(struct layout *layout, uint32_t left, uint32_t right, uint32_t first,
                  uint32_t end)
{
    const struct score_exercise *exercises = layout->score->exercises;
    bool twin = exercises[left].source == exercises[right].source;
    bool ladder = ladder_shown(layout->score, left) ||
                  ladder_shown(layout->score, right); /* spans the page */
    bool words = ladder_verdict(layout->score, left) ||
                 ladder_verdict(layout->score, right); /* and has words */
    if (layout->score->lesson->settings.page->one_below_the_other || (ladder && !twin) || words ||
        !half_fits(layout, left, twin) || !half_fits(layout, right, twin))
        return;
    struct side sides[SIDES] = {{.exercise = left}, {.exercise = right}};
    if (side_make(layout, &sides[0], twin, false) && side_make(layout, &sides[1], twin, true)) {
        struct choice *choice =
            row_push(layout->choices, layout->choice_count, layout->choice_room);
        const struct block *heading = &layout->blocks.items[first];
        *choice = (struct choice){.first = first, .end = end, .pair = *heading};
        choice->pair.kind = BLOCK_PAIR;
        choice->pair.kept = NULL;
        choice->pair.item = (uint32_t)layout->pair_count;
        choice->cost = twin ? HOUSE_COST_TWINS
                            : HOUSE_COST_PAIR + HOUSE_COST_SPANNING * spanning(layout, first, end);
        pair_set(sides, pair_make(layout, sides), &choice->pair);
    }
    memory_free(sides[0].row.items);
    memory_free(sides[1].row.items);
}
