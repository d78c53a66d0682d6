#include "layout/text.h"

#include "layout/layout_state.h"

#include <stdio.h>

#define ELLIPSIS "\u2026"

sp text_em(const struct layout *layout, enum text_style style)
{
    double space_mm = layout->metrics->space_mm;
    return (sp)(text_style_mm(style, space_mm, STAFF_WHOLE) * 1000 / space_mm);
}

sp text_lead(const struct layout *layout, enum text_style style, int lead)
{
    return text_em(layout, style) * lead / 1000;
}

static label_id label_of(const struct layout *layout, enum text_style style, const char *text)
{
    return metrics_label(layout->metrics, style, text, strlen(text));
}

const struct label_metrics *text_metrics(const struct layout *layout, enum text_style style,
                                         const char *text)
{
    return metrics_of_label(layout->metrics, label_of(layout, style, text));
}

sp text_advance(const struct layout *layout, enum text_style style, const char *text)
{
    return text_metrics(layout, style, text)->advance;
}

struct box text_ink(const struct layout *layout, enum text_style style, const char *text)
{
    return text_metrics(layout, style, text)->ink;
}

sp text_left(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
             sp x, sp y)
{
    return pen_label(&layout->pen, role, label_of(layout, style, text), x, y);
}

void text_right(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                sp x, sp y)
{
    text_left(layout, role, style, text, x - text_ink(layout, style, text).right, y);
}

void text_centred(struct layout *layout, enum mark_role role, enum text_style style,
                  const char *text, sp x, sp y)
{
    text_left(layout, role, style, text, x - box_middle_x(text_ink(layout, style, text)), y);
}

size_t text_wrap(const struct layout *layout, enum text_style style, const char *text, sp width,
                 const label_id **lines)
{
    const struct metrics *metrics = layout->metrics;
    return metrics->wrap(metrics->self, style, text, strlen(text), width, lines);
}

sp text_even_width(const struct layout *layout, enum text_style style, const char *text, sp width)
{
    const label_id *lines;
    size_t count = text_wrap(layout, style, text, width, &lines);
    sp low = count ? width / (sp)count : width, high = width; /* at `high` it takes no more lines */
    while (count > 1 && high - low > text_em(layout, style) / 2) {
        sp middle = (low + high) / 2;
        bool more = text_wrap(layout, style, text, middle, &lines) > count;
        *(more ? &low : &high) = middle;
    }
    return high;
}

struct text_fit text_fit(const struct layout *layout, enum text_style style, const char *text,
                         sp width)
{
    struct text_fit fit = {.style = style, .label = label_of(layout, style, text)};
    const struct label_metrics *metrics = metrics_of_label(layout->metrics, fit.label);
    fit.advance = metrics->advance;
    fit.ink = metrics->ink.right;
    if (fit.advance <= width)
        return fit;
    const label_id *lines;
    sp dots = text_advance(layout, style, ELLIPSIS);
    fit.cut = text_wrap(layout, style, text, width - dots, &lines) > 1;
    if (fit.cut) {
        fit.label = lines[0];
        fit.before = metrics_of_label(layout->metrics, fit.label)->advance;
        fit.advance = fit.ink = fit.before + dots;
    }
    return fit;
}

void text_fit_draw(struct layout *layout, enum mark_role role, const struct text_fit *fit, sp x,
                   sp y)
{
    pen_label(&layout->pen, role, fit->label, x, y);
    if (fit->cut)
        text_left(layout, role, fit->style, ELLIPSIS, x + fit->before, y);
}

void text_cut_draw(struct layout *layout, enum mark_role role, const char *text, struct point at,
                   sp width)
{
    struct text_fit fit = text_fit(layout, TEXT_FOOT, text, width);
    text_fit_draw(layout, role, &fit, at.x, at.y);
}

sp text_wrapped(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                struct point at, sp width, sp lead, size_t most)
{
    const label_id *lines;
    size_t count = text_wrap(layout, style, text, width, &lines);
    bool cut = count > most;
    if (cut) {
        text_wrap(layout, style, text, width - text_advance(layout, style, ELLIPSIS), &lines);
        count = most;
    }
    sp x = at.x, y = at.y + (count ? (sp)(count - 1) * lead : 0);
    for (size_t i = 0; i < count; i++)
        x = at.x + pen_label(&layout->pen, role, lines[i], at.x, at.y + (sp)i * lead);
    if (cut)
        text_left(layout, role, style, ELLIPSIS, x, y);
    return y;
}

void text_warn_cut(struct layout *layout, struct place at, const char *what, enum text_style style,
                   const char *text, sp width)
{
    enum { LINES_LEAST_BYTES = 128 }; /* a shorter text is never cut on a page of any size */
    const label_id *lines;
    if (text && strlen(text) > LINES_LEAST_BYTES &&
        text_wrap(layout, style, text, width, &lines) > HOUSE_TEXT_LINES)
        diag_add(layout->diags, DIAG_NOT_PRINTABLE, at,
                 "%s takes more than %d lines, and is cut there", what, HOUSE_TEXT_LINES);
}

/* How large a number may be to stand in a ring. */
static int ring_scale(struct box ink, sp radius)
{
    int64_t across = 2 * (int64_t)radius, width = box_width(ink), height = box_height(ink);
    int scale = 1000;
    while (scale > 0 &&
           (width * width + height * height) * scale * scale > across * across * 1000 * 1000)
        scale -= 10;
    return scale;
}

/* A number that would be too small inside the inner ring takes its place. */
void ring_draw(struct layout *layout, uint32_t number, struct point centre, int scale)
{
    char text[16];
    snprintf(text, sizeof text, "%u", number);
    struct pen *pen = &layout->pen;
    sp outer = paper(layout, HOUSE_RING_UM * scale / 1000);
    sp inner = paper(layout, HOUSE_RING_INNER_UM * scale / 1000);
    sp line = paper(layout, HOUSE_RING_LINE_UM * scale / 1000);
    sp inner_line = paper(layout, HOUSE_RING_INNER_LINE_UM * scale / 1000);
    sp clear = paper(layout, HOUSE_RING_CLEAR_UM * scale / 1000);
    enum text_style style = scale < 1000 ? TEXT_KEY_TITLE : TEXT_HEADING_NUMBER;
    struct box ink = text_ink(layout, style, text);
    int size = ring_scale(ink, inner - inner_line / 2 - clear);
    bool two = size >= HOUSE_RING_NUMBER;
    pen_ring(pen, ROLE_HEADING_RING, centre, outer, line);
    if (two)
        pen_ring(pen, ROLE_HEADING_RING, centre, inner, inner_line);
    else
        size = ring_scale(ink, outer - line / 2 - clear);
    pen_label_scaled(pen, ROLE_HEADING_NUMBER, label_of(layout, style, text), centre,
                     size > HOUSE_RING_NUMBER ? size : HOUSE_RING_NUMBER);
}
