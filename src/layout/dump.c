#include "base/buffer.h"
#include "layout/layout.h"

#include <stdlib.h>

/*
 * A page as text: one mark a line, lengths rounded to hundredths of a staff space. Positions are
 * relative, so that a block that moves changes the line of its first mark and no other:
 *
 *     outside a system    from the mark before
 *     in a system         from its left end and its top staff line
 *         notes           x from the nearest column of notes: c2 is column 2 of the mark's own bar,
 *                         b1 c0 the first column of bar 1
 *         rows of text    y from the baseline of their row
 *
 * A system begins with a line that gives its place and its rows' baselines, followed by a line for
 * each bar with the places of its columns.
 */

struct page_dump {
    struct buffer *out;
    const struct page_system *system; /* NULL: the marks stand outside one */
    struct point origin;              /* of the system; else the mark before */
};

static void length_add(struct buffer *out, sp length)
{
    int64_t hundredths = (llabs((long long)length) + 5) / 10;
    buffer_format(out, " %s%lld.%02lld", length < 0 && hundredths ? "-" : "",
                  (long long)(hundredths / 100), (long long)(hundredths % 100));
}

static const struct page_column *nearest_column(const struct page_system *system, sp x)
{
    const struct page_column *nearest = &system->columns[0];
    for (size_t i = 1; i < system->column_count; i++)
        if (abs(system->columns[i].x - x) < abs(nearest->x - x))
            nearest = &system->columns[i];
    return nearest;
}

/* c2 -0.59, and with its bar if that is not the mark's own: b1 c0 0.41. */
static void column_add(const struct page_dump *dump, const struct mark *mark, sp x)
{
    const struct page_column *column = nearest_column(dump->system, x), *first = column;
    while (first > dump->system->columns && first[-1].bar == column->bar)
        first--;
    if (column->bar != mark->owner.bar)
        buffer_format(dump->out, " b%u", column->bar);
    buffer_format(dump->out, " c%zu", (size_t)(column - first));
    length_add(dump->out, x - column->x);
}

/* The height that a mark's y is given from. */
static sp base_line(const struct page_dump *dump, const struct mark *mark)
{
    const struct page_system *system = dump->system;
    if (!system || !mark_in_row(mark))
        return dump->origin.y;
    return system->baselines[mark_row(system, mark)];
}

static void point_add(const struct page_dump *dump, const char *word, const struct mark *mark,
                      struct point point)
{
    buffer_format(dump->out, " %s", word);
    if (dump->system && dump->system->column_count && mark->owner.stroke != OWNER_NONE)
        column_add(dump, mark, point.x);
    else
        length_add(dump->out, point.x - dump->origin.x);
    length_add(dump->out, point.y - base_line(dump, mark));
}

/* e1 b2 h3: first exercise, bar index 2, leaf 3 of the hands. */
static void owner_add(struct buffer *out, struct mark_owner owner)
{
    if (owner.exercise == OWNER_NONE)
        return;
    buffer_format(out, " e%u", (unsigned)owner.exercise + 1);
    if (owner.bar != OWNER_NONE)
        buffer_format(out, " b%u", owner.bar);
    if (owner.stroke != OWNER_NONE)
        buffer_format(out, " %c%u", owner.line == LINE_FEET ? 'f' : 'h', owner.stroke);
}

static void shape_add(const struct page_dump *dump, const struct mark *mark)
{
    struct buffer *out = dump->out;
    switch ((enum mark_shape)mark->shape) {
    case SHAPE_GLYPH:
    case SHAPE_LABEL:
        if (mark->scale && (mark->scale != 1000 || mark->shape == SHAPE_LABEL))
            buffer_format(out, " x%u", mark->scale);
        point_add(dump, "at", mark, mark->as.at);
        return;
    case SHAPE_RING:
        point_add(dump, "at", mark, mark->as.at);
        buffer_add_text(out, " radius");
        length_add(out, mark->radius);
        return;
    case SHAPE_CURVE:
    case SHAPE_LINE:
    case SHAPE_BEAM:
    case SHAPE_BOX:
        point_add(dump, "from", mark, mark->as.ends.from);
        point_add(dump, "to", mark, mark->as.ends.to);
        break;
    }
    buffer_add_text(out, mark->shape == SHAPE_CURVE ? " curve" : " width");
    length_add(out, mark->shape == SHAPE_CURVE ? mark->curve : mark->with.width);
}

/* "breaking: even, used 982, gaps +310, 1 side by side" */
static void fill_add(struct buffer *out, const struct page_fill *fill)
{
    buffer_format(out, "breaking: %s, used %d, gaps %+d",
                  page_fullness_word((enum page_fullness)fill->fullness), fill->used, fill->growth);
    if (fill->duos)
        buffer_format(out, ", %u side by side", fill->duos);
    buffer_add_text(out, fill->lone_first  ? ", parts a first line\n"
                         : fill->lone_last ? ", parts a last line\n"
                                           : "\n");
}

/* e1 b0..b3 */
static void bars_add(struct buffer *out, const char *word, const struct page_system *system)
{
    buffer_format(out, "%s e%u b%u..b%u", word, system->exercise + 1, system->first_bar,
                  system->first_bar + system->bar_count - 1);
}

/* line e1 b0..b3 from 10.29 to 109.71 */
static void line_add(struct buffer *out, const struct page_system *system)
{
    bars_add(out, "line", system);
    buffer_add_text(out, " from");
    length_add(out, system->left);
    buffer_add_text(out, " to");
    length_add(out, system->right);
    if (system->size != 1000)
        buffer_format(out, " x%u", system->size);
    buffer_add_text(out, "\n");
}

void page_plan_dump(const struct page *page, struct buffer *out)
{
    buffer_format(out, "page %u of %u, size", page->number, page->count);
    length_add(out, page->width);
    length_add(out, page->height);
    buffer_add_text(out, "\n");
    fill_add(out, &page->fill);
    for (size_t i = 0; i < page->system_count; i++)
        line_add(out, &page->systems[i]);
}

static void row_add(const struct page_dump *dump, int row, sp baseline)
{
    static const char *const words[PAGE_ROWS] = {"letters", "left hand's letters", "counts",
                                                 "feet's letters"};
    if (!baseline)
        return;
    buffer_format(dump->out, ", %s", words[row]);
    length_add(dump->out, baseline - dump->origin.y);
}

/* system e1 b0..b3 at 0.00 5.20, letters 5.72, counts 7.59
   columns b0 5.62 19.88 34.14 */
static void system_add(struct page_dump *dump, const struct page_system *system)
{
    struct buffer *out = dump->out;
    struct point corner = {system->left, system->staff_top};
    bars_add(out, "system", system);
    buffer_add_text(out, " at");
    length_add(out, corner.x - dump->origin.x);
    length_add(out, corner.y - dump->origin.y);
    dump->system = system;
    dump->origin = corner;
    for (int row = 0; row < PAGE_ROWS; row++)
        row_add(dump, row, system->baselines[row]);
    for (size_t i = 0; i < system->column_count; i++) {
        const struct page_column *column = &system->columns[i];
        if (i == 0 || column->bar != column[-1].bar)
            buffer_format(out, "\ncolumns b%u", column->bar);
        length_add(out, column->x - corner.x);
    }
    buffer_add_text(out, "\n");
}

static void mark_add(struct page_dump *dump, const struct mark *mark,
                     const char *(*label_text)(void *self, label_id label), void *self)
{
    struct buffer *out = dump->out;
    buffer_add_text(out, mark_role_word((enum mark_role)mark->role));
    owner_add(out, mark->owner);
    if (mark->shape == SHAPE_GLYPH)
        buffer_format(out, " %s", glyph_smufl_name((enum glyph)mark->glyph));
    if (mark->shape == SHAPE_LABEL)
        buffer_format(out, " \"%s\"", label_text(self, mark->with.label));
    shape_add(dump, mark);
    buffer_add_text(out, "\n");
    if (!dump->system)
        dump->origin = mark->as.at; /* or where its span begins */
}

void page_dump(const struct page *page, const char *(*label_text)(void *self, label_id label),
               void *self, struct buffer *out)
{
    struct page_dump dump = {.out = out};
    size_t system = 0;
    page_plan_dump(page, out);
    for (size_t i = 0; i < page->mark_count; i++) {
        if (dump.system && i == dump.system->first_mark + dump.system->mark_count)
            dump.system = NULL;
        if (system < page->system_count && i == page->systems[system].first_mark)
            system_add(&dump, &page->systems[system++]);
        mark_add(&dump, &page->marks[i], label_text, self);
    }
}
