#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/*
 * Under the staff: dynamics, then the sticking, the feet's sticking where they have one, and the
 * counts, each on one baseline across the system.
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
    sp lowest; /* ink over its items */
    sp top;    /* of its tallest item, from the baseline: negative */
};

static void row_item(struct row *row, const struct row_item *item)
{
    struct layout *layout = row->layout;
    const struct short_label *label =
        label_short(&layout->labels, layout->metrics, item->style, item->text);
    sp x = item->x - (label->left + label->right) / 2;
    if (row->drawing) {
        layout->pen.owner = item->owner;
        pen_label(&layout->pen, row->role, label->label, x, row->baseline);
        return;
    }
    row->any = true;
    row->top = sp_min(row->top, label->top);
    row->lowest =
        sp_max(row->lowest, skyline_bottom(&layout->skyline, x + label->left, x + label->right));
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
    struct row row = {.layout = layout, .staff = staff, .role = role, .lowest = INT32_MIN};
    for (size_t i = 0; i < layout->work.bar_count; i++)
        walk(&row, &layout->work.bars[i]);
    if (!row.any)
        return 0;
    sp top = above ? above + HOUSE_ROW_NEXT
                   : sp_max(row.lowest + HOUSE_ROW_FIRST, staff->bottom + HOUSE_ROW_STAFF);
    row.baseline = sp_max(top, above ? row.lowest + HOUSE_ROW_LEAST : top) - row.top;
    row.drawing = true;
    for (size_t i = 0; i < layout->work.bar_count; i++)
        walk(&row, &layout->work.bars[i]);
    return row.baseline;
}

/* ---- dynamics ----------------------------------------------------------------------------- */

static enum glyph dynamic_glyph(char letter)
{
    switch (letter) {
    case 'p':
        return GLYPH_DYNAMIC_P;
    case 'm':
        return GLYPH_DYNAMIC_M;
    case 'f':
        return GLYPH_DYNAMIC_F;
    case 's':
        return GLYPH_DYNAMIC_S;
    case 'z':
        return GLYPH_DYNAMIC_Z;
    default:
        return GLYPH_NONE;
    }
}

static bool dynamic_is_sign(const char *text)
{
    for (; *text; text++)
        if (dynamic_glyph(*text) == GLYPH_NONE)
            return false;
    return true;
}

static sp sign_width(const struct layout *layout, const char *text)
{
    sp width = 0;
    for (; *text; text++)
        width += layout->metrics->glyphs[dynamic_glyph(*text)].advance;
    return width;
}

/* Where an instant falls: between columns (a swell inside a long note) in proportion to time. */
static sp instant_x(const struct work *work, const struct set_bar *bar, struct fraction onset)
{
    const struct column *columns = work->columns + bar->first_column;
    size_t next = 0;
    while (next < bar->column_count && fraction_compare(columns[next].onset, onset) < 0)
        next++;
    bool beyond = next == bar->column_count;
    if (next == 0 || (!beyond && fraction_equal(columns[next].onset, onset)))
        return beyond ? bar->line_left : columns[next].x;
    double end = fraction_to_double(beyond ? fraction_add(bar->bar->start, bar->bar->length)
                                           : columns[next].onset);
    double from = fraction_to_double(columns[next - 1].onset);
    sp left = columns[next - 1].x, right = beyond ? bar->line_left : columns[next].x;
    return left + (sp)((right - left) * (fraction_to_double(onset) - from) / (end - from));
}

struct dynamic_place {
    const struct dynamic_mark *mark;
    struct set_bar *bar;
    sp x;
};

static size_t dynamics_find(struct work *work, struct dynamic_place *places, size_t room)
{
    size_t count = 0;
    for (size_t b = 0; b < work->bar_count; b++)
        for (int i = 0; i < work->bars[b].bar->dynamic_count && count < room; i++) {
            const struct dynamic_mark *mark = &work->bars[b].bar->dynamics[i];
            places[count++] = (struct dynamic_place){mark, &work->bars[b],
                                                     instant_x(work, &work->bars[b], mark->onset)};
        }
    return count;
}

static void sign_draw(struct layout *layout, const char *text, sp middle, sp baseline)
{
    sp x = middle - sign_width(layout, text) / 2;
    for (; *text; text++) {
        enum glyph glyph = dynamic_glyph(*text);
        pen_glyph(&layout->pen, ROLE_DYNAMIC, glyph, x, baseline);
        x += layout->metrics->glyphs[glyph].advance;
    }
}

/* cresc and dim open a hairpin up to the next dynamic of the line; without one, they are words. */
static void hairpin_draw(struct layout *layout, bool opens, sp left, sp right, sp middle)
{
    sp reach = HOUSE_HAIRPIN / 2, width = layout->defaults->hairpin;
    sp at_left = opens ? 0 : reach, at_right = opens ? reach : 0;
    for (int side = -1; side <= 1; side += 2)
        pen_line(&layout->pen, ROLE_HAIRPIN, (struct point){left, middle + side * at_left},
                 (struct point){right, middle + side * at_right}, width);
}

static void word_draw(struct layout *layout, const char *text, sp left, sp baseline)
{
    char word[16];
    snprintf(word, sizeof word, "%s.", text);
    label_id label = metrics_label(layout->metrics, TEXT_DYNAMIC_WORD, word, strlen(word));
    sp right = metrics_of_label(layout->metrics, label)->ink.right;
    pen_label(&layout->pen, ROLE_DYNAMIC, label, sp_min(left, layout->sheet.text_right - right),
              baseline);
}

static void dynamic_draw(struct layout *layout, const struct dynamic_place *at,
                         const struct dynamic_place *next, sp baseline)
{
    const char *text = at->mark->text;
    if (dynamic_is_sign(text)) {
        sign_draw(layout, text, at->x, baseline);
        return;
    }
    sp half = layout->metrics->glyphs[GLYPH_HEAD_BLACK].advance / 2;
    sp right = next ? next->x - HOUSE_DYNAMIC_GAP : 0;
    if (next && dynamic_is_sign(next->mark->text))
        right -= sign_width(layout, next->mark->text) / 2;
    if (next && right - (at->x - half) >= HOUSE_HAIRPIN_LEAST)
        hairpin_draw(layout, strcmp(text, "cresc") == 0, at->x - half, right,
                     baseline - HOUSE_HAIRPIN_LIFT);
    else
        word_draw(layout, text, at->x - half, baseline);
}

static void dynamics_draw(struct layout *layout, const struct staff *staff)
{
    struct dynamic_place places[HOUSE_DYNAMICS_MOST];
    size_t count = dynamics_find(&layout->work, places, HOUSE_DYNAMICS_MOST);
    if (!count)
        return;
    sp lowest = staff->bar_bottom;
    for (size_t i = 0; i < count; i++) {
        sp reach = HOUSE_DYNAMIC_REACH;
        sp right = i + 1 < count ? sp_max(places[i + 1].x, places[i].x) : places[i].x + reach;
        lowest = sp_max(lowest, skyline_bottom(&layout->skyline, places[i].x - reach, right));
    }
    sp top = layout->metrics->glyphs[GLYPH_DYNAMIC_F].ink.top;
    sp baseline = lowest + HOUSE_DYNAMIC_GAP - top;
    for (size_t i = 0; i < count; i++) {
        layout->pen.owner = mark_owner(staff->index, 0, places[i].bar->index, OWNER_NONE);
        dynamic_draw(layout, &places[i], i + 1 < count ? &places[i + 1] : NULL, baseline);
    }
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
