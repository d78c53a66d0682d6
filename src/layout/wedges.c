#include "layout/layout_int.h"

/*
 * Beams and staff lines. A narrow white wedge between the edge of a beam and a staff line fills
 * with ink in print, and flickers where it does not. So a beam that lies in the staff sits on a
 * line, straddles it or hangs from it (Ross 1970; from memory), or keeps clear of it by more than a
 * wedge: its group moves outwards until all of its beams do, at both ends.
 *
 *      -----------    =====X=====    -----------
 *      XXXXXXXXXXX    XXXXXXXXXXX    XXXXXXXXXXX     hangs, straddles, sits
 *                                    ===========
 */

/* What is tried, the better first: the white that is enough. */
static const sp enough[] = {HOUSE_WEDGE, HOUSE_WEDGE_LEAST};

enum { SHIFT_STEP = 10, SHIFT_MOST = 1000 };

/* One beam's edges against the staff's lines. */
static bool edges_clear(const struct layout *layout, const struct staff *staff, sp top, sp bottom,
                        sp white)
{
    sp half = layout->defaults->staff_line / 2;
    for (sp line = staff->top; line <= staff->bottom; line += 1000) {
        sp above = line - half - bottom, below = top - line - half;
        if ((above > 0 && above < white) || (below > 0 && below < white))
            return false;
    }
    return true;
}

/* All beams of a group where its outer edge is at y. */
static bool end_clear(const struct layout *layout, const struct staff *staff,
                      const struct beam_group *group, sp y, sp white)
{
    const struct engraving_defaults *defaults = layout->defaults;
    for (int level = 0; level < group->most; level++) {
        sp in = level * (defaults->beam + defaults->beam_gap);
        sp top = group->up ? y + in : y - in - defaults->beam;
        if (!edges_clear(layout, staff, top, top + defaults->beam, white))
            return false;
    }
    return true;
}

static bool group_clear(const struct layout *layout, const struct staff *staff,
                        const struct beam_group *group, sp shift, sp white)
{
    const struct set_note *last = &layout->work.notes[group->end - 1];
    sp y = group->up ? group->y - shift : group->y + shift;
    sp rise = beam_edge(group, last->x + last->chord.stem_x) - group->y;
    return end_clear(layout, staff, group, y, white) &&
           (rise == 0 || end_clear(layout, staff, group, y + rise, white));
}

/* Groups that share a straight line move together. */
static bool line_clear(const struct layout *layout, const struct staff *staff,
                       const struct beam_group *group, sp shift, sp white)
{
    const struct work *work = &layout->work;
    if (group->slope != 0)
        return group_clear(layout, staff, group, shift, white);
    for (size_t i = 0; i < work->group_count; i++) {
        const struct beam_group *other = &work->groups[i];
        if (other->line == group->line && other->y == group->y &&
            !group_clear(layout, staff, other, shift, white))
            return false;
    }
    return true;
}

static void line_move(struct work *work, struct beam_group *group, sp shift)
{
    sp y = group->y, moved = group->up ? y - shift : y + shift;
    for (size_t i = 0; i < work->group_count && group->slope == 0; i++)
        if (work->groups[i].line == group->line && work->groups[i].y == y)
            work->groups[i].y = moved;
    group->y = moved;
}

static void group_move(struct layout *layout, const struct staff *staff, struct beam_group *group)
{
    for (size_t i = 0; i < sizeof enough / sizeof *enough; i++)
        for (sp shift = 0; shift <= SHIFT_MOST; shift += SHIFT_STEP)
            if (line_clear(layout, staff, group, shift, enough[i])) {
                line_move(&layout->work, group, shift);
                return;
            }
}

void beams_clear_lines(struct layout *layout, const struct staff *staff)
{
    struct work *work = &layout->work;
    for (size_t i = 0; i < work->group_count; i++) {
        struct beam_group *group = &work->groups[i];
        sp reach = beams_thick(layout->defaults, group->most) + HOUSE_SLOPE_MOST + HOUSE_WEDGE;
        if (group->y > staff->top - reach && group->y < staff->bottom + reach)
            group_move(layout, staff, group);
    }
}
