#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

#define ELLIPSIS "\u2026"

/* Text outside the staff, and the numbers in their rings. */

sp paper(const struct layout *layout, int micrometres)
{
    return (sp)(micrometres / layout->metrics->space_mm + 0.5);
}

int paper_scale(const struct layout *layout, int scale)
{
    return (int)(scale * (HOUSE_STAFF_UM / 4000.0) / layout->metrics->space_mm + 0.5);
}

sp text_em(const struct layout *layout, enum text_style style)
{
    const struct text_style_row *row = text_style(style);
    return (sp)(row->of_staff ? row->size * 1000 : row->size * 1000 / layout->metrics->space_mm);
}

static label_id label_of(const struct layout *layout, enum text_style style, const char *text)
{
    return metrics_label(layout->metrics, style, text, strlen(text));
}

sp text_left(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
             sp x, sp y)
{
    return pen_label(&layout->pen, role, label_of(layout, style, text), x, y);
}

struct box text_ink(const struct layout *layout, enum text_style style, const char *text)
{
    return metrics_of_label(layout->metrics, label_of(layout, style, text))->ink;
}

void text_right(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                sp x, sp y)
{
    text_left(layout, role, style, text, x - text_ink(layout, style, text).right, y);
}

sp text_advance(const struct layout *layout, enum text_style style, const char *text)
{
    return metrics_of_label(layout->metrics, label_of(layout, style, text))->advance;
}

sp text_even_width(const struct layout *layout, enum text_style style, const char *text, sp width)
{
    const struct metrics *metrics = layout->metrics;
    const label_id *lines;
    size_t length = strlen(text);
    size_t count = metrics->wrap(metrics->self, style, text, length, width, &lines);
    sp low = count ? width / (sp)count : width, high = width; /* so wide it has as many lines */
    while (count > 1 && high - low > text_em(layout, style) / 2) {
        sp middle = (low + high) / 2;
        *(metrics->wrap(metrics->self, style, text, length, middle, &lines) > count ? &low
                                                                                    : &high) =
            middle;
    }
    return high;
}

struct text_fit text_fit(const struct layout *layout, enum text_style style, const char *text,
                         sp width)
{
    const struct metrics *metrics = layout->metrics;
    struct text_fit fit = {.style = style, .label = label_of(layout, style, text)};
    fit.advance = metrics_of_label(metrics, fit.label)->advance;
    fit.ink = metrics_of_label(metrics, fit.label)->ink.right;
    if (fit.advance <= width)
        return fit;
    const label_id *lines;
    sp dots = text_advance(layout, style, ELLIPSIS);
    size_t count = metrics->wrap(metrics->self, style, text, strlen(text), width - dots, &lines);
    fit.cut = count > 1;
    if (fit.cut) {
        fit.label = lines[0];
        fit.before = metrics_of_label(metrics, fit.label)->advance;
        fit.advance = fit.before + dots;
        fit.ink = fit.advance;
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

sp text_wrapped(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                struct point at, sp width, sp lead, size_t most)
{
    const struct metrics *metrics = layout->metrics;
    const label_id *lines;
    size_t length = strlen(text);
    size_t count = metrics->wrap(metrics->self, style, text, length, width, &lines);
    bool cut = count > most;
    if (cut) {
        sp dots = text_advance(layout, style, ELLIPSIS);
        metrics->wrap(metrics->self, style, text, length, width - dots, &lines);
        count = most;
    }
    sp x = at.x, y = at.y + (count ? (sp)(count - 1) * lead : 0);
    for (size_t i = 0; i < count; i++)
        x = at.x + pen_label(&layout->pen, role, lines[i], at.x, at.y + (sp)i * lead);
    if (cut)
        text_left(layout, role, style, ELLIPSIS, x, y);
    return y;
}

void text_tell(struct layout *layout, struct place at, const char *what, enum text_style style,
               const char *text, sp width)
{
    enum { LINES_LEAST_BYTES = 128 }; /* a shorter text is never cut on a page of any size */
    const label_id *lines;
    if (text && strlen(text) > LINES_LEAST_BYTES &&
        layout->metrics->wrap(layout->metrics->self, style, text, strlen(text), width, &lines) >
            HOUSE_TEXT_LINES)
        diag_add(layout->diags, DIAG_NOT_PRINTABLE, at,
                 "%s takes more than %d lines, and is cut there", what, HOUSE_TEXT_LINES);
}

void ring_draw(struct layout *layout, uint32_t number, struct point centre, int scale)
{
    char text[16];
    snprintf(text, sizeof text, "%u", number);
    struct pen *pen = &layout->pen;
    pen_ring(pen, ROLE_HEADING_RING, centre, paper(layout, HOUSE_RING_UM * scale / 1000),
             paper(layout, HOUSE_RING_LINE_UM * scale / 1000));
    pen_ring(pen, ROLE_HEADING_RING, centre, paper(layout, HOUSE_RING_INNER_UM * scale / 1000),
             paper(layout, HOUSE_RING_INNER_LINE_UM * scale / 1000));
    enum text_style style = scale < 1000 || number > 99 ? TEXT_KEY_TITLE : TEXT_HEADING_NUMBER;
    struct box ink = text_ink(layout, style, text);
    text_left(layout, ROLE_HEADING_NUMBER, style, text, centre.x - (ink.left + ink.right) / 2,
              centre.y - (ink.top + ink.bottom) / 2);
}
