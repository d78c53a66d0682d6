#include "base/buffer.h"
#include "layout/layout_int.h"

#include <stdlib.h>

/* A page as text: a line a mark, lengths rounded to hundredths of a staff space. */

static void length_add(struct buffer *out, sp length)
{
    int64_t hundredths = (llabs((long long)length) + 5) / 10;
    buffer_format(out, " %s%lld.%02lld", length < 0 && hundredths ? "-" : "",
                  (long long)(hundredths / 100), (long long)(hundredths % 100));
}

static void point_add(struct buffer *out, const char *word, struct point point)
{
    buffer_format(out, " %s", word);
    length_add(out, point.x);
    length_add(out, point.y);
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

static void shape_add(struct buffer *out, const struct mark *mark,
                      const char *(*label_text)(void *self, label_id label), void *self)
{
    switch ((enum mark_shape)mark->shape) {
    case SHAPE_GLYPH:
        buffer_format(out, " %s", glyph_smufl_name((enum glyph)mark->glyph));
        if (mark->scale != 1000)
            buffer_format(out, " x%u", mark->scale);
        point_add(out, "at", mark->as.at);
        return;
    case SHAPE_LABEL:
        buffer_format(out, " \"%s\"", label_text(self, mark->with.label));
        if (mark->scale)
            buffer_format(out, " x%u", mark->scale);
        point_add(out, "at", mark->as.at);
        return;
    case SHAPE_RING:
        point_add(out, "at", mark->as.at);
        buffer_add_text(out, " radius");
        length_add(out, mark->radius);
        return;
    case SHAPE_CURVE:
    case SHAPE_LINE:
    case SHAPE_BEAM:
    case SHAPE_BOX:
        point_add(out, "from", mark->as.span.from);
        point_add(out, "to", mark->as.span.to);
        break;
    }
    buffer_add_text(out, mark->shape == SHAPE_CURVE ? " curve" : " width");
    length_add(out, mark->shape == SHAPE_CURVE ? mark->curve : mark->with.width);
}

/* breaking: even, used 982, gaps +310, 1 side by side */
static void fill_add(struct buffer *out, const struct page_fill *fill)
{
    buffer_format(out, "breaking: %s, used %d, gaps %+d",
                  page_fullness_word((enum page_fullness)fill->fullness), fill->used, fill->growth);
    if (fill->pairs)
        buffer_format(out, ", %u side by side", fill->pairs);
    buffer_add_text(out, fill->lone_first  ? ", parts a first line\n"
                         : fill->lone_last ? ", parts a last line\n"
                                           : "\n");
}

/* line e1 b0..b3 from 10.29 to 109.71 */
static void line_add(struct buffer *out, const struct page_system *system)
{
    buffer_format(out, "line e%u b%u..b%u from", system->exercise + 1, system->first_bar,
                  system->first_bar + system->bar_count - 1);
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

void page_dump(const struct page *page, const char *(*label_text)(void *self, label_id label),
               void *self, struct buffer *out)
{
    page_plan_dump(page, out);
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        buffer_add_text(out, mark_role_word((enum mark_role)mark->role));
        owner_add(out, mark->owner);
        shape_add(out, mark, label_text, self);
        buffer_add_text(out, "\n");
    }
}
