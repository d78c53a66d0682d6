#include "layout/layout_int.h"

/*
 * Under the staff: the dynamics (dynamics.c), then the sticking, the feet's sticking where they
 * have one, and the counts, each on one baseline across the system.
 *
 * A row is walked twice: first for its height (below all ink over its letters), then to be drawn.
 */

struct row_item {
    sp x; /* column */
    enum text_style style;
    const char *text;
    struct mark_owner owner;
};

struct row {
    struct layout *layout;
    const struct staff *staff;
    enum mark_role role;
    sp baseline;
    bool drawing;
    bool any;
    sp lowest;      /* ink over its items */
    sp left, right; /* of its items */
    sp top;         /* of its tallest item, from the baseline: negative */
};

static void row_item(struct row *row, const struct row_item *item)
{
    struct layout *layout = row->layout;
    const struct short_label *label =
        label_short(&layout->labels, layout->metrics, item->style, item->text);
    sp x = item->x - label->centre;
    if (row->drawing) {
        layout->pen.owner = item->owner;
        pen_label(&layout->pen, row->role, label->label, x, row->baseline);
        return;
    }
    row->any = true;
    row->left = sp_min(row->left, x + label->left);
    row->right = sp_max(row->right, x + label->right);
    row->top = sp_min(row->top, label->top);
    row->lowest =
        sp_max(row->lowest, skyline_bottom(&layout->skyline, x + label->left - HOUSE_ROW_BESIDE,
                                           x + label->right + HOUSE_ROW_BESIDE));
}

static void grace_letters(struct row *row, const struct set_note *note, struct row_item *item)
{
    const struct note *struck = note->leaf->note;
    item->style = TEXT_STICKING_GRACE;
    for (int i = 0; i < struck->grace_count && i < GRACES_MAX; i++) {
        item->x = note->x + grace_offset(row->layout, struck, &note->chord, true, i);
        item->text = struck->graces >> i & 1 ? "L" : "R";
        row_item(row, item);
    }
}

static void letters_of_bar(struct row *row, const struct set_bar *bar, int line)
{
    const struct set_note *notes = row->layout->work.notes + bar->first_note[line];
    if (!bar->bar->settings->show->sticking)
        return;
    for (uint32_t i = 0; i < bar->note_count[line]; i++) {
        const struct set_note *note = &notes[i];
        if (!note->chord.count || !leaf_struck(note->leaf) || !note->leaf->note->letter)
            continue;
        const char *text = letter_text(note->leaf->note->letter);
        enum text_style style = line == LINE_HANDS ? TEXT_STICKING : TEXT_STICKING_FEET;
        struct row_item item = {note->x + note->chord.centre, style, text,
                                mark_owner(row->staff->index, (unsigned)line, bar->index, i)};
        row_item(row, &item);
        grace_letters(row, note, &item);
    }
}

static void hands_letters(struct row *row, const struct set_bar *bar)
{
    letters_of_bar(row, bar, LINE_HANDS);
}

static void feet_letters(struct row *row, const struct set_bar *bar)
{
    letters_of_bar(row, bar, LINE_FEET);
}

static void counts_of_bar(struct row *row, const struct set_bar *bar)
{
    const struct column *columns = row->layout->work.columns + bar->first_column;
    for (size_t i = 0; i < bar->column_count; i++) {
        if (columns[i].count == NONE)
            continue;
        const struct count *count = &bar->bar->counts[columns[i].count];
        uint32_t stroke = columns[i].hands;
        if (stroke == NONE || bar->bar->lines[LINE_HANDS].leaves[stroke].whole_bar)
            stroke = OWNER_NONE; /* a whole rest is centred in its bar, not on a count */
        struct row_item item = {columns[i].x, count_style(row->staff, count), count->text,
                                mark_owner(row->staff->index, LINE_HANDS, bar->index, stroke)};
        row_item(row, &item);
    }
}

/* Walks a row's bars once for its height and once to draw it, below the row before it (`above` its
   baseline, 0: none). Returns its baseline, 0 where it has no item. */
static sp row_draw(struct layout *layout, const struct staff *staff, enum mark_role role, sp above,
                   void (*walk)(struct row *, const struct set_bar *))
{
    struct row row = {
        .layout = layout, .staff = staff, .role = role, .lowest = INT32_MIN, .left = INT32_MAX};
    for (size_t i = 0; i < layout->work.bar_count; i++)
        walk(&row, &layout->work.bars[i]);
    if (!row.any)
        return 0;
    sp top = above ? above + HOUSE_ROW_NEXT
                   : sp_max(row.lowest + HOUSE_ROW_FIRST, staff->bottom + HOUSE_ROW_STAFF);
    /* No stem of a foot reaches down between two letters. */
    top = sp_max(top, skyline_bottom(&layout->skyline, row.left, row.right) + HOUSE_ROW_LEAST);
    row.baseline = sp_max(top, above ? row.lowest + HOUSE_ROW_LEAST : top) - row.top;
    row.drawing = true;
    for (size_t i = 0; i < layout->work.bar_count; i++)
        walk(&row, &layout->work.bars[i]);
    return row.baseline;
}

void rows_draw(struct layout *layout, const struct staff *staff, struct page_system *system)
{
    dynamics_draw(layout, staff);
    sp hands = row_draw(layout, staff, ROLE_STICKING, 0, hands_letters);
    sp feet = row_draw(layout, staff, ROLE_STICKING, hands, feet_letters);
    sp counts = row_draw(layout, staff, ROLE_COUNT, feet ? feet : hands, counts_of_bar);
    system->sticking_baseline = hands;
    system->feet_sticking_baseline = feet;
    system->count_baseline = counts;
}
