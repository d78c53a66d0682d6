#include "layout/count_row.h"
#include "layout/layout_state.h"
#include "layout/notes.h"
#include "layout/system_parts.h"
#include "layout/text.h"

/*
 * Under the staff and its dynamics: the sticking, the counts, and the feet's sticking if they have
 * one, each on one baseline across the system.
 *
 * A row is walked twice: first for its height, below all ink over its letters, then to be drawn.
 */

struct row_item {
    sp x; /* column */
    struct short_label label;
    struct mark_owner owner;
};

struct row {
    struct layout *layout;
    enum mark_role role;
    sp baseline;
    bool tight_counts;
    bool drawing;
    bool any;
    sp lowest;      /* ink over its items */
    sp left, right; /* of its items */
    sp top;         /* of its tallest item, from the baseline: negative */
};

static void row_item(struct row *row, const struct row_item *item)
{
    struct layout *layout = row->layout;
    const struct short_label *label = &item->label;
    sp x = item->x - label->centre;
    if (row->drawing) {
        layout->pen.owner = item->owner;
        pen_label(&layout->pen, row->role, label->label, x, row->baseline);
        return;
    }
    sp left = x + label->ink.left, right = x + label->ink.right;
    sp ink = skyline_bottom(&layout->skyline, left - HOUSE_ROW_BESIDE, right + HOUSE_ROW_BESIDE);
    row->any = true;
    row->left = sp_min(row->left, left);
    row->right = sp_max(row->right, right);
    row->top = sp_min(row->top, label->ink.top);
    row->lowest = sp_max(row->lowest, ink);
}

static void letters_of_line(struct row *row, const struct set_bar *bar, int line, int which)
{
    struct layout *layout = row->layout;
    const struct work *work = &layout->work;
    const struct metrics *metrics = layout->metrics;
    for (size_t n = bar->notes[line].first; n < bar->notes[line].end; n++) {
        const struct set_note *note = &work->notes.items[n];
        const char *letter = note_letter(layout, bar, note, line);
        if (!letter || letter_row(work, bar, note, line) != (enum page_row)which)
            continue;
        const struct note *struck = note->leaf->note;
        enum text_style style = letter_style((enum page_row)which);
        struct row_item item = {.x = work->columns.items[note->column].x,
                                .label = label_short(metrics, style, letter),
                                .owner = leaf_owner(layout, bar, line, n)};
        row_item(row, &item);
        for (int i = 0; i < struck->grace_count && i < GRACES_MAX; i++) {
            item.x = note->x + grace_offset(layout, struck, &note->chord, true, i);
            item.label = label_short(metrics, TEXT_STICKING_GRACE, grace_letter(struck, i));
            row_item(row, &item);
        }
    }
}

static void letters_of_bar(struct row *row, const struct set_bar *bar, int which)
{
    if (!bar->bar->settings->show->sticking)
        return;
    for (int line = 0; line < LINE_COUNT; line++)
        letters_of_line(row, bar, line, which);
}

static void counts_of_bar(struct row *row, const struct set_bar *bar)
{
    const struct column *columns = row->layout->work.columns.items;
    for (size_t i = bar->columns.first; i < bar->columns.end; i++) {
        if (columns[i].count == NONE)
            continue;
        const struct count *count = &bar->bar->counts[columns[i].count];
        uint32_t stroke = columns[i].hands;
        if (stroke == NONE || bar->bar->lines[LINE_HANDS].leaves[stroke].whole_bar)
            stroke = OWNER_NONE; /* a whole rest stands in the middle of its bar, not on a count */
        struct row_item item = {
            columns[i].x, count_label(row->layout, count, row->tight_counts),
            mark_owner(row->layout->staff->index, LINE_HANDS, bar->index, stroke)};
        row_item(row, &item);
    }
}

static void row_walk(struct row *row, int which)
{
    const struct work *work = &row->layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        if (which == ROW_COUNTS)
            counts_of_bar(row, bar);
        else
            letters_of_bar(row, bar, which);
}

sp feet_name_width(const struct layout *layout)
{
    return box_width(text_ink(layout, TEXT_BAR_NUMBER, page_word(layout->words, "feet")));
}

/* Names the feet's row at its left end. */
static void name_draw(struct layout *layout, const struct row *row)
{
    const char *name = page_word(layout->words, "feet");
    layout->pen.owner = exercise_owner(layout->staff->index);
    text_left(layout, ROLE_ROW_NAME, TEXT_BAR_NUMBER, name,
              layout->sheet.text_left - text_ink(layout, TEXT_BAR_NUMBER, name).left,
              row->baseline);
}

/* `above`: the baseline of the row before it, 0 for none. Returns its own; 0 if it has no item. */
static sp row_draw(struct layout *layout, const struct music_line *line, int which, sp above)
{
    struct row row = {.layout = layout,
                      .role = which == ROW_COUNTS ? ROLE_SYLLABLE : ROLE_STICKING,
                      .tight_counts = line->tight_counts,
                      .lowest = INT32_MIN,
                      .left = INT32_MAX};
    row_walk(&row, which);
    if (!row.any)
        return 0;
    sp top = above ? above + HOUSE_ROW_NEXT
                   : sp_max(row.lowest + HOUSE_ROW_FIRST, layout->staff->bottom + HOUSE_ROW_STAFF);
    /* No stem of a foot reaches down between two letters. */
    top = sp_max(top, skyline_bottom(&layout->skyline, row.left, row.right) + HOUSE_ROW_LEAST);
    row.baseline = sp_max(top, above ? row.lowest + HOUSE_ROW_LEAST : top) - row.top;
    row.drawing = true;
    row_walk(&row, which);
    if (which == ROW_FEET_LETTERS)
        name_draw(layout, &row);
    return row.baseline;
}

void rows_draw(struct layout *layout, const struct music_line *line, struct page_system *system)
{
    sp above = 0;
    for (int which = 0; which < PAGE_ROWS; which++) {
        sp baseline = system->baselines[which] = row_draw(layout, line, which, above);
        above = baseline ? baseline : above;
    }
}
