#include "layout/bar_lines.h"

#include "layout/layout_state.h"

/* Each spelt by its strokes from left to right: t thin, T thick, d repeat dots. */
static const char *const strokes[] = {
    [BAR_LINE_PLAIN] = "t",          [BAR_LINE_DOUBLE] = "tt",
    [BAR_LINE_CLOSE] = "tT",         [BAR_LINE_REPEAT_END] = "dtT",
    [BAR_LINE_REPEAT_BEGIN] = "Ttd", [BAR_LINE_REPEAT_BOTH] = "dtTtd",
};

/* A double bar line marks the places in a chart that players jump to or look for ... */
static bool begins_section(const struct bar_signs *signs)
{
    return signs && (signs->mark.text || signs->segno.file || signs->coda.file);
}

/* ... and those they jump from. */
static bool ends_section(const struct bar_signs *signs)
{
    return signs && (signs->jump.words || signs->to_coda.file);
}

enum bar_line bar_line_after(const struct score_bar *bar, const struct score_bar *next)
{
    if (bar->repeat_ends)
        return next && next->repeat_begins ? BAR_LINE_REPEAT_BOTH : BAR_LINE_REPEAT_END;
    if (bar->last || (bar->signs && bar->signs->fine.file))
        return BAR_LINE_CLOSE;
    if (next && next->repeat_begins)
        return BAR_LINE_REPEAT_BEGIN;
    return ends_section(bar->signs) || begins_section(bar[1].signs) ? BAR_LINE_DOUBLE
                                                                    : BAR_LINE_PLAIN;
}

static sp stroke_width(const struct layout *layout, char stroke)
{
    if (stroke == 'd')
        return box_width(glyph_ink(layout, GLYPH_REPEAT_DOT));
    return stroke == 't' ? layout->defaults->thin_bar : layout->defaults->thick_bar;
}

/* White after a stroke; none after the last. */
static sp stroke_gap(const struct layout *layout, const char *stroke)
{
    if (!stroke[1])
        return 0;
    return stroke[0] == 'd' || stroke[1] == 'd' ? layout->defaults->repeat_dot_separation
                                                : layout->defaults->bar_separation;
}

sp bar_line_width(const struct layout *layout, enum bar_line kind)
{
    sp width = 0;
    for (const char *at = strokes[kind]; *at; at++)
        width += stroke_width(layout, *at) + stroke_gap(layout, at);
    return width;
}

static sp stroke_middle(const struct layout *layout, enum bar_line kind, char stroke)
{
    sp x = 0;
    const char *at = strokes[kind];
    for (; *at != stroke; at++)
        x += stroke_width(layout, *at) + stroke_gap(layout, at);
    return x + stroke_width(layout, stroke) / 2;
}

sp bar_line_thin(const struct layout *layout, enum bar_line kind)
{
    return stroke_middle(layout, kind, 't');
}

sp bar_line_thick(const struct layout *layout, enum bar_line kind)
{
    return stroke_middle(layout, kind, 'T');
}

static void dots_draw(struct layout *layout, sp x)
{
    struct box ink = glyph_ink(layout, GLYPH_REPEAT_DOT);
    sp y = staff_middle(layout->staff) - box_middle_y(ink);
    pen_glyph(&layout->pen, ROLE_REPEAT_DOT, GLYPH_REPEAT_DOT, x - ink.left, y - 500);
    pen_glyph(&layout->pen, ROLE_REPEAT_DOT, GLYPH_REPEAT_DOT, x - ink.left, y + 500);
}

void bar_line_draw(struct layout *layout, enum bar_line kind, sp x)
{
    const struct staff *staff = layout->staff;
    sp half = staff->one_line ? 0 : layout->defaults->staff_line / 2;
    for (const char *at = strokes[kind]; *at; at++) {
        sp width = stroke_width(layout, *at);
        if (*at == 'd')
            dots_draw(layout, x);
        else
            pen_upright(&layout->pen, ROLE_BAR_LINE, x + width / 2, staff->bar_top - half,
                        staff->bar_bottom + half, width);
        x += width + stroke_gap(layout, at);
    }
}
