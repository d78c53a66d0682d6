#include "layout/beams.h"
#include "layout/layout_state.h"

/*
 * Beams and staff lines. A narrow white wedge between the edge of a beam and a staff line fills
 * with ink in print, and flickers where it does not. So a beam inside the staff sits on a line,
 * straddles it or hangs from it (Ross 1970; from memory), or keeps clear of it by more than a
 * wedge. Its group moves outwards until all of its beams do, at both ends.
 *
 *      -----------    =====X=====    -----------
 *      XXXXXXXXXXX    XXXXXXXXXXX    XXXXXXXXXXX     hangs, straddles, sits
 *                                    ===========
 */

/* The white that is enough: the better is tried first. */
static const sp enough[] = {HOUSE_WEDGE, HOUSE_WEDGE_LEAST};

enum { SHIFT_STEP = 10, SHIFT_MOST = 1000 };

/* One beam's edges against the staff's lines. */
static bool edges_clear(const struct layout *layout, sp top, sp white)
{
    sp half = layout->defaults->staff_line / 2, bottom = top + layout->defaults->beam;
    for (sp line = layout->staff->top; line <= layout->staff->bottom; line += 1000) {
        sp above = line - half - bottom, below = top - line - half;
        if ((above > 0 && above < white) || (below > 0 && below < white))
            return false;
    }
    return true;
}

/* All beams of a group at one end, where its outer edge is at y. */
static bool end_clear(const struct layout *layout, const struct beam_group *group, sp y, sp white)
{
    const struct engraving_defaults *defaults = layout->defaults;
    for (int level = 0; level < group->most; level++) {
        sp in = level * beam_step(defaults);
        if (!edges_clear(layout, group->up ? y + in : y - in - defaults->beam, white))
            return false;
    }
    return true;
}

static sp outwards(const struct beam_group *group, sp shift)
{
    return group->up ? group->y - shift : group->y + shift;
}

static bool group_clear(const struct layout *layout, const struct beam_group *group, sp shift,
                        sp white)
{
    const struct set_note *last = &layout->work.notes.items[group->end - 1];
    sp y = outwards(group, shift);
    sp rise = beam_edge(group, last->x + last->chord.stem_x) - group->y;
    return end_clear(layout, group, y, white) &&
           (rise == 0 || end_clear(layout, group, y + rise, white));
}

/* Level groups of one height share a straight line, and move together. */
static bool shares_line(const struct beam_group *a, const struct beam_group *b)
{
    return a == b || (a->slope == 0 && a->line == b->line && a->y == b->y);
}

static bool line_clear(const struct layout *layout, const struct beam_group *group, sp shift,
                       sp white)
{
    const struct work *work = &layout->work;
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++) {
        const struct beam_group *other = &work->groups.items[i];
        if (shares_line(group, other) && !group_clear(layout, other, shift, white))
            return false;
    }
    return true;
}

static void line_move(struct work *work, const struct beam_group *group, sp shift)
{
    const struct beam_group before = *group;
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++) {
        struct beam_group *other = &work->groups.items[i];
        if (other == group || shares_line(&before, other))
            other->y = outwards(&before, shift);
    }
}

static void group_move(struct layout *layout, const struct beam_group *group)
{
    for (size_t i = 0; i < sizeof enough / sizeof *enough; i++)
        for (sp shift = 0; shift <= SHIFT_MOST; shift += SHIFT_STEP)
            if (line_clear(layout, group, shift, enough[i])) {
                line_move(&layout->work, group, shift);
                return;
            }
}

void beams_clear_lines(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++) {
        const struct beam_group *group = &work->groups.items[i];
        sp reach = beams_thick(layout->defaults, group->most) + HOUSE_SLOPE_MOST + HOUSE_WEDGE;
        if (group->y > layout->staff->top - reach && group->y < layout->staff->bottom + reach)
            group_move(layout, group);
    }
}
