#include "layout/figures.h"

#include "layout/beams.h"
#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/system_parts.h"
#include "layout/tuplets.h"

#include <stdio.h>

/*
 * A rhythm on one height for the whole line: heads, stems up, level beams within each beat.
 *
 *       >           3
 *      |--|  |'  |--|--|
 *      o  o  o.  o  o  o
 *     =====================  the staff
 */

/* One bar's figures while they are drawn. */
struct figures {
    struct layout *layout;
    struct pen *pen;
    const struct set_bar *bar;
    const struct score_line *line;
    sp y, stem_end; /* of the heads, and of their stems */
};

static sp small(sp length)
{
    return sp_scaled(length, HOUSE_FIGURE_SCALE);
}

static struct box small_ink(const struct layout *layout, enum glyph glyph)
{
    return box_scaled(glyph_ink(layout, glyph), HOUSE_FIGURE_SCALE);
}

static sp figure_x(const struct figures *at, uint32_t leaf)
{
    const struct column *columns = at->layout->work.columns.items;
    size_t i = at->bar->columns.first;
    while (columns[i].figure != leaf)
        i++;
    return columns[i].x;
}

static enum glyph figure_head(const struct leaf *leaf)
{
    return leaf->value_log2 == 0   ? GLYPH_HEAD_WHOLE
           : leaf->value_log2 == 1 ? GLYPH_HEAD_HALF
                                   : GLYPH_HEAD_BLACK;
}

static sp stem_x(const struct figures *at, uint32_t leaf)
{
    sp half = box_width(small_ink(at->layout, GLYPH_HEAD_BLACK)) / 2;
    return figure_x(at, leaf) + half - small(at->layout->defaults->stem) / 2;
}

static void glyph_draw(const struct figures *at, enum mark_role role, enum glyph glyph, sp middle,
                       sp y)
{
    struct box ink = small_ink(at->layout, glyph);
    pen_glyph_scaled(at->pen, role, glyph, middle - box_middle_x(ink), y, HOUSE_FIGURE_SCALE);
}

static void dots_draw(const struct figures *at, sp x, sp y, int count)
{
    struct box ink = small_ink(at->layout, GLYPH_AUGMENTATION_DOT);
    for (int i = 0; i < count; i++) {
        x += small(HOUSE_DOT_GAP);
        pen_glyph_scaled(at->pen, ROLE_FIGURE, GLYPH_AUGMENTATION_DOT, x - ink.left, y,
                         HOUSE_FIGURE_SCALE);
        x += box_width(ink);
    }
}

/* There is no staff: the line that a half rest sits on, and a whole rest hangs from. */
static void rest_leger_draw(const struct figures *at, enum glyph rest, sp x, sp y)
{
    sp half = box_width(small_ink(at->layout, rest)) / 2;
    half += small(at->layout->defaults->leger_extension);
    pen_horizontal(at->pen, ROLE_FIGURE, x - half, x + half, y, small(at->layout->defaults->leger));
}

/* A rest of the whole bar stands in its middle. */
static void rest_draw(const struct figures *at, uint32_t i)
{
    const struct leaf *leaf = &at->line->leaves[i];
    bool whole_bar = at->line->leaf_count == 1;
    enum glyph rest = rest_glyph(whole_bar ? 0 : leaf->value_log2);
    sp x = whole_bar ? (at->bar->left + at->bar->line_left) / 2 : figure_x(at, i);
    sp y = at->y - small(1000);
    glyph_draw(at, ROLE_FIGURE_HEAD, rest, x, y);
    if (whole_bar || leaf->value_log2 < 2)
        rest_leger_draw(at, rest, x, y);
    if (!whole_bar)
        dots_draw(at, x + box_width(small_ink(at->layout, rest)) / 2, y - small(500), leaf->dots);
}

static void figure_draw(const struct figures *at, uint32_t i)
{
    const struct leaf *leaf = &at->line->leaves[i];
    sp x = figure_x(at, i), half = box_width(small_ink(at->layout, figure_head(leaf))) / 2;
    if (leaf->rest) {
        rest_draw(at, i);
        return;
    }
    glyph_draw(at, ROLE_FIGURE_HEAD, figure_head(leaf), x, at->y);
    dots_draw(at, x + half, at->y, leaf->dots);
    if (leaf->value_log2 > 0)
        pen_upright(at->pen, ROLE_FIGURE, stem_x(at, i), at->y, at->stem_end,
                    small(at->layout->defaults->stem));
    if (leaf->tied && i + 1 < at->line->leaf_count) {
        sp drop = at->y + small(HOUSE_TIE_DROP);
        pen_curve(at->pen, ROLE_FIGURE, (struct point){x + small(HOUSE_TIE_INSET), drop},
                  (struct point){figure_x(at, i + 1) - small(HOUSE_TIE_INSET), drop},
                  -small(HOUSE_TIE_HEIGHT));
    }
}

/* ---- beams and flags ------------------------------------------------------------------------ */

static int beams_of(const struct leaf *leaf)
{
    return leaf->rest ? 0 : value_beams(leaf->value_log2);
}

/* Whether a beam leads to the leaf from the one before it. */
static bool beam_leads_to(const struct figures *at, uint32_t leaf)
{
    const struct score_line *line = at->line;
    return leaf > 0 && leaf < line->leaf_count && beams_of(&line->leaves[leaf - 1]) &&
           beams_of(&line->leaves[leaf]) && !beam_ends_before(at->bar->bar, line, leaf);
}

/* After the last note of the beam that begins with this one. */
static uint32_t run_end(const struct figures *at, uint32_t first)
{
    uint32_t end = first + 1;
    while (beam_leads_to(at, end))
        end++;
    return end;
}

static void beam_draw(const struct figures *at, sp left, sp right, int level)
{
    sp half = small(at->layout->defaults->stem) / 2, thick = small(at->layout->defaults->beam);
    sp y = at->stem_end + small(beam_step(at->layout->defaults)) * level + thick / 2;
    pen_beam(at->pen, ROLE_FIGURE, (struct point){left - half, y}, (struct point){right + half, y},
             thick);
}

/* The beams of one level: a note alone at it has a stub. */
static void level_draw(const struct figures *at, uint32_t first, uint32_t end, int level)
{
    for (uint32_t i = first; i < end; i++) {
        uint32_t last = i;
        if (beams_of(&at->line->leaves[i]) <= level)
            continue;
        while (last + 1 < end && beams_of(&at->line->leaves[last + 1]) > level &&
               (level == 0 || at->line->leaves[last + 1].tuplet == at->line->leaves[last].tuplet))
            last++;
        sp left = stem_x(at, i), right = stem_x(at, last), stub = small(HOUSE_STUB);
        if (i == last)
            *(i == first ? &right : &left) += i == first ? stub : -stub;
        beam_draw(at, left, right, level);
        i = last;
    }
}

static void flag_draw(const struct figures *at, uint32_t i)
{
    enum glyph glyph = flag_glyph(beams_of(&at->line->leaves[i]), true);
    struct point anchor = at->layout->metrics->glyphs[glyph].stem_up_nw;
    sp left = stem_x(at, i) - small(at->layout->defaults->stem) / 2;
    pen_glyph_scaled(at->pen, ROLE_FIGURE, glyph, left - small(anchor.x),
                     at->stem_end - small(anchor.y), HOUSE_FIGURE_SCALE);
}

static void beams_draw_all(const struct figures *at)
{
    for (uint32_t i = 0, end; i < at->line->leaf_count; i = end) {
        end = i + 1;
        if (!beams_of(&at->line->leaves[i]))
            continue;
        end = run_end(at, i);
        for (int level = 0; end - i > 1 && level < 4; level++)
            level_draw(at, i, end, level);
        if (end - i == 1)
            flag_draw(at, i);
    }
}

/* ---- accents and tuplets ----------------------------------------------------------------------
 */

static void accents_draw(const struct figures *at)
{
    for (uint32_t i = 0; i < at->line->leaf_count; i++) {
        const struct leaf *leaf = &at->line->leaves[i];
        enum glyph glyph =
            leaf->note ? marks_glyph(leaf->note->marks, MARK_AT_ACCENT, true) : GLYPH_NONE;
        if (glyph == GLYPH_NONE)
            continue;
        sp top = leaf->value_log2 ? at->stem_end : at->y - small(500);
        struct box ink = small_ink(at->layout, glyph);
        glyph_draw(at, ROLE_FIGURE, glyph, figure_x(at, i), top - HOUSE_ABOVE_GAP - ink.bottom);
    }
}

static enum glyph digit_glyph(char digit)
{
    return digit == ':' ? GLYPH_TUPLET_COLON : (enum glyph)(GLYPH_TUPLET_0 + (digit - '0'));
}

static bool number_alone(const struct figures *at, const struct tuplet *tuplet)
{
    return !tuplet_is_nested(at->line, tuplet) && tuplet->end - tuplet->first > 1 &&
           !beam_leads_to(at, tuplet->first) && beam_leads_to(at, tuplet->first + 1) &&
           run_end(at, tuplet->first) == tuplet->end;
}

static void tuplet_draw(const struct figures *at, const struct tuplet *tuplet)
{
    char text[16];
    snprintf(text, sizeof text, tuplet->ratio ? "%u:%u" : "%u", tuplet->actual, tuplet->normal);
    sp left, right, stem = small(at->layout->defaults->stem) / 2;
    bool alone = number_alone(at, tuplet);
    if (alone) {
        left = stem_x(at, tuplet->first) - stem;
        right = stem_x(at, tuplet->end - 1) + stem;
    } else {
        tuplet_reach(&at->layout->work, at->bar, tuplet, HOUSE_FIGURE_HALF, &left, &right);
        right = sp_max(right, figure_x(at, tuplet->end - 1) + HOUSE_FIGURE_HALF);
    }
    sp middle = (left + right) / 2;
    sp half = signs_advance(at->layout->metrics, digit_glyph, text) / 2;
    sp y = skyline_top(&at->layout->skyline, left, right) - HOUSE_TUPLET_GAP;
    signs_draw(at->pen, ROLE_FIGURE, digit_glyph, text, middle - half,
               y - glyph_ink(at->layout, GLYPH_TUPLET_0).bottom);
    if (alone)
        return;
    sp height = y - box_height(glyph_ink(at->layout, GLYPH_TUPLET_0)) / 2;
    sp width = at->layout->defaults->tuplet_bracket, clear = half + HOUSE_TUPLET_CLEAR;
    for (int side = 0; side < 2; side++) {
        sp x = side ? right : left;
        pen_horizontal(at->pen, ROLE_FIGURE, side ? middle + clear : left,
                       side ? right : middle - clear, height, width);
        pen_upright(at->pen, ROLE_FIGURE, x + (side ? -width : width) / 2, height,
                    height + small(HOUSE_TUPLET_HOOK), width);
    }
}

/* ---- the line ---------------------------------------------------------------------------------
 */

static void bar_draw(struct layout *layout, const struct set_bar *bar, sp y)
{
    struct figures at = {.layout = layout,
                         .pen = &layout->pen,
                         .bar = bar,
                         .line = bar->bar->figures,
                         .y = y,
                         .stem_end = y - HOUSE_FIGURE_STEM};
    layout->pen.owner = bar_owner(layout, bar->index);
    for (uint32_t i = 0; i < at.line->leaf_count; i++)
        figure_draw(&at, i);
    beams_draw_all(&at);
    accents_draw(&at);
    for (int depth = LESSON_TUPLET_DEPTH_MAX; depth-- > 0;) /* inner ones nearest the notes */
        for (uint16_t i = 0; i < at.line->tuplet_count; i++)
            if (at.line->tuplets[i].depth == depth)
                tuplet_draw(&at, &at.line->tuplets[i]);
}

void figures_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    sp y = INT32_MAX;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        if (bar->bar->figures)
            y = sp_min(y, skyline_top(&layout->skyline, bar->left, bar->line_left));
    if (y == INT32_MAX)
        return;
    y -= HOUSE_FIGURE_GAP + small_ink(layout, GLYPH_HEAD_BLACK).bottom;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        if (bar->bar->figures)
            bar_draw(layout, bar, y);
}
