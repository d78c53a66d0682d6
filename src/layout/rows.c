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

/* A dynamic of the line, and the paper it takes. */
struct dynamic_place {
    const struct dynamic_mark *mark;
    uint32_t bar, index; /* in the exercise; in the bar */
    sp at;               /* where its instant falls */
    sp left, right;
    bool sign;    /* letters of the music face; else cresc or dim, */
    bool hairpin; /* ... which opens up to the next dynamic of the line, or is a word */
    label_id word;
};

struct dynamics_line {
    struct dynamic_place places[HOUSE_DYNAMICS_MOST];
    size_t count;
};

/* Of one instant a sign stands before what swells from it, and nothing is said twice. */
static void dynamic_add(struct dynamics_line *line, const struct dynamic_place *place)
{
    size_t index = line->count;
    for (size_t i = index; i-- > 0 && line->places[i].bar == place->bar &&
                           fraction_equal(line->places[i].mark->onset, place->mark->onset);) {
        if (strcmp(line->places[i].mark->text, place->mark->text) == 0)
            return;
        if (place->sign && !line->places[i].sign)
            index = i;
    }
    memmove(&line->places[index + 1], &line->places[index],
            (line->count - index) * sizeof *line->places);
    line->places[index] = *place;
    line->count++;
}

static void dynamics_find(const struct work *work, struct dynamics_line *line)
{
    for (size_t b = 0; b < work->bar_count; b++) {
        const struct set_bar *bar = &work->bars[b];
        for (uint32_t i = 0; i < bar->bar->dynamic_count && line->count < HOUSE_DYNAMICS_MOST;
             i++) {
            const struct dynamic_mark *mark = &bar->bar->dynamics[i];
            struct dynamic_place place = {.mark = mark, .bar = bar->index, .index = i};
            place.at = instant_x(work, bar, mark->onset);
            place.sign = dynamic_is_sign(mark->text);
            dynamic_add(line, &place);
        }
    }
}

static sp word_measure(const struct layout *layout, struct dynamic_place *place)
{
    char word[16];
    snprintf(word, sizeof word, "%s.", place->mark->text);
    place->word = metrics_label(layout->metrics, TEXT_DYNAMIC_WORD, word, strlen(word));
    return metrics_of_label(layout->metrics, place->word)->ink.right;
}

/* Signs are centred on their instants, and what swells begins at its own; what would run into the
   one before it moves on. */
static void dynamics_place(const struct layout *layout, struct dynamics_line *line)
{
    sp half = layout->metrics->glyphs[GLYPH_HEAD_BLACK].advance / 2, free = INT32_MIN;
    for (size_t i = 0; i < line->count; i++) {
        struct dynamic_place *place = &line->places[i];
        sp width = place->sign ? sign_width(layout, place->mark->text) : HOUSE_HAIRPIN_LEAST;
        place->hairpin = !place->sign && i + 1 < line->count;
        if (!place->sign && !place->hairpin)
            width = word_measure(layout, place);
        place->left = sp_max(place->at - (place->sign ? width / 2 : half), free);
        place->right = place->left + width;
        free = place->right + HOUSE_DYNAMIC_GAP;
    }
    sp end = layout->sheet.text_right;
    for (size_t i = line->count; i-- > 0;) {
        struct dynamic_place *place = &line->places[i];
        sp past = sp_max(place->right - end, 0);
        place->left -= past;
        place->right = place->hairpin ? end : place->right - past;
        end = place->left - HOUSE_DYNAMIC_GAP;
    }
}

static void sign_draw(struct layout *layout, const char *text, sp x, sp baseline)
{
    for (; *text; text++) {
        enum glyph glyph = dynamic_glyph(*text);
        pen_glyph(&layout->pen, ROLE_DYNAMIC, glyph, x, baseline);
        x += layout->metrics->glyphs[glyph].advance;
    }
}

static void hairpin_draw(struct layout *layout, bool opens, sp left, sp right, sp middle)
{
    sp reach = HOUSE_HAIRPIN / 2, width = layout->defaults->hairpin;
    sp at_left = opens ? 0 : reach, at_right = opens ? reach : 0;
    for (int side = -1; side <= 1; side += 2)
        pen_line(&layout->pen, ROLE_HAIRPIN, (struct point){left, middle + side * at_left},
                 (struct point){right, middle + side * at_right}, width);
}

static void dynamic_draw(struct layout *layout, const struct dynamic_place *place, sp baseline)
{
    if (place->sign)
        sign_draw(layout, place->mark->text, place->left, baseline);
    else if (place->hairpin)
        hairpin_draw(layout, strcmp(place->mark->text, "cresc") == 0, place->left, place->right,
                     baseline - HOUSE_HAIRPIN_LIFT);
    else
        pen_label(&layout->pen, ROLE_DYNAMIC, place->word, place->left, baseline);
}

static void dynamics_draw(struct layout *layout, const struct staff *staff)
{
    struct dynamics_line line;
    line.count = 0;
    dynamics_find(&layout->work, &line);
    if (!line.count)
        return;
    dynamics_place(layout, &line);
    sp lowest = staff->bar_bottom;
    for (size_t i = 0; i < line.count; i++)
        lowest =
            sp_max(lowest, skyline_bottom(&layout->skyline, line.places[i].left - HOUSE_DYNAMIC_GAP,
                                          line.places[i].right + HOUSE_DYNAMIC_GAP));
    sp top = layout->metrics->glyphs[GLYPH_DYNAMIC_F].ink.top;
    sp baseline = lowest + HOUSE_DYNAMIC_GAP - top;
    for (size_t i = 0; i < line.count; i++) {
        const struct dynamic_place *place = &line.places[i];
        layout->pen.owner = mark_owner(staff->index, 0, place->bar, place->index);
        dynamic_draw(layout, place, baseline);
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
