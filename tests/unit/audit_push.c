#include "audit_int.h"

#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

/*
 * Rule 10. A column that ink is said to have pushed has ink before it that it nearly meets: in its
 * own bar, or at the same place of another bar of its rhythm, as these share what one of them
 * needs. Judged where all bars of the exercise are on the page, and by real outlines only: of a
 * box, which ends at once, a slice of a quarter space may see more than there is.
 */

enum { FIGURE_FREE = 1000 };

struct bar_place {
    const struct page_system *system;
    size_t first, count; /* columns of the bar in the system */
};

/* Where a bar stands on the page; false where it is on another. */
static bool find_bar(const struct auditor *at, uint32_t exercise, uint32_t bar,
                     struct bar_place *place)
{
    for (size_t s = 0; s < at->page->system_count; s++) {
        const struct page_system *system = &at->page->systems[s];
        if (system->exercise != exercise || bar < system->first_bar ||
            bar >= system->first_bar + system->bar_count)
            continue;
        *place = (struct bar_place){system, 0, 0};
        for (size_t i = 0; i < system->column_count; i++)
            if (system->columns[i].bar == bar) {
                if (!place->count)
                    place->first = i;
                place->count++;
            }
        return place->count > 0;
    }
    return false;
}

/* What layout keeps columns apart for. */
static bool keeps_apart(unsigned role)
{
    switch (role) {
    case ROLE_HEAD:
    case ROLE_GHOST:
    case ROLE_STEM:
    case ROLE_FLAG:
    case ROLE_DOT:
    case ROLE_REST:
    case ROLE_LEGER:
    case ROLE_STEM_MARK:
    case ROLE_ACCENT:
    case ROLE_ROLL_NUMBER:
    case ROLE_STICKING:
    case ROLE_SYLLABLE:
    case ROLE_GRACE_HEAD:
    case ROLE_GRACE_STEM:
    case ROLE_GRACE_BEAM:
    case ROLE_GRACE_FLAG:
    case ROLE_GRACE_SLASH:
    case ROLE_GRACE_SLUR:
    case ROLE_GRACE_LEGER:
    case ROLE_FIGURE_HEAD:
        return true;
    default:
        return false;
    }
}

/* The column at a stroke's onset; a head that is set aside may stand nearer to another. */
static size_t column_at(const struct bar_place *place, const struct score_bar *bar,
                        struct fraction onset)
{
    const struct page_column *columns = place->system->columns + place->first;
    struct fraction now = bar->start;
    size_t i = 0;
    for (; i + 1 < place->count && fraction_compare(now, onset) < 0; i++)
        now = fraction_add(now,
                           (struct fraction){columns[i].duration_top, columns[i].duration_bottom});
    return i;
}

/* The column that a mark belongs to: of what is no stroke's, the nearest. */
static size_t column_of(const struct bar_place *place, const struct score_bar *bar,
                        const struct mark *mark)
{
    const struct page_column *columns = place->system->columns + place->first;
    const struct score_line *line = &bar->lines[mark->owner.line];
    if (mark->owner.stroke < line->leaf_count)
        return column_at(place, bar, line->leaves[mark->owner.stroke].onset);
    size_t best = 0;
    for (size_t i = 1; i < place->count; i++)
        if (abs(columns[i].x - audit_centre(mark)) < abs(columns[best].x - audit_centre(mark)))
            best = i;
    return best;
}

struct bar_ink {
    const struct score_bar *bar;
    const struct mark **marks;
    size_t *columns;
    size_t count;
};

static struct bar_ink gather(const struct auditor *at, const struct bar_place *place, uint32_t bar)
{
    const struct page_system *system = place->system;
    struct bar_ink ink = {&audit_shown(at, system->exercise)->bars[bar],
                          memory_alloc((system->mark_count + 1) * sizeof *ink.marks),
                          memory_alloc((system->mark_count + 1) * sizeof *ink.columns), 0};
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (mark->owner.bar != bar || !keeps_apart(mark->role))
            continue;
        ink.columns[ink.count] = column_of(place, ink.bar, mark);
        ink.marks[ink.count++] = mark;
    }
    return ink;
}

/* What is kept apart as if all of it stood on one line above the staff. */
static bool stands_above(const struct mark *mark)
{
    return mark->role == ROLE_ACCENT || mark->role == ROLE_ROLL_NUMBER;
}

/* Whether two marks are as near along the line as ink may come, or would be if they stood `wider`
   nearer. */
static bool nearly_meet(const struct auditor *at, const struct mark *a, const struct mark *b,
                        sp wider)
{
    sp most = NEAR_INK + PUSH_SLACK + wider;
    bool figures = a->role == ROLE_FIGURE_HEAD && b->role == ROLE_FIGURE_HEAD;
    if (figures) /* clear of the dots and flags between them */
        return b->box.left - a->box.right <= most + FIGURE_FREE;
    if (b->role == ROLE_REST && a->owner.line == b->owner.line)
        most += REST_WHITE - NEAR_INK;
    if (a->role == ROLE_ROLL_NUMBER && b->role == ROLE_ROLL_NUMBER)
        most += NUMBER_GAP - NEAR_INK;
    if (b->box.left - a->box.right > most)
        return false;
    if (b->role == ROLE_REST && a->owner.line == b->owner.line)
        return true;
    if (stands_above(a) && stands_above(b))
        return true;
    sp slack = INK_SLACK;
    if (a->role == ROLE_STEM_MARK || b->role == ROLE_STEM_MARK)
        slack += MARK_SLACK; /* at mid-stem, and a straight line of beams may lengthen the stem */
    else if (a->role == ROLE_FLAG || b->role == ROLE_FLAG)
        slack += GLYPH_SLICE; /* at a stem's end: its slices are not the staff's */
    return outlines_gap(at->outlines, at->metrics->defaults, a, b, slack) <= most;
}

static const struct page_column *columns_of(const struct bar_place *place)
{
    return place->system->columns + place->first;
}

/* Ink on both sides of the spring after column `spring` of the bar that nearly meets, or would if
   the bar were set as `own` is; or what reaches to the bar line; or a tie, of its least length. */
static bool holds(const struct auditor *at, const struct bar_place *own, uint32_t exercise,
                  uint32_t bar, size_t spring)
{
    struct bar_place place;
    if (!find_bar(at, exercise, bar, &place))
        return false;
    const struct page_column *here = columns_of(own), *columns = columns_of(&place);
    struct bar_ink ink = gather(at, &place, bar);
    bool found = false;
    for (size_t i = 0; i < ink.count && !found; i++)
        for (size_t k = 0; k < ink.count && !found; k++)
            if (ink.columns[i] <= spring && ink.columns[k] > spring) {
                size_t from = ink.columns[i], to = ink.columns[k];
                sp wider = columns[to].x - columns[from].x - here[to].x + here[from].x;
                found = nearly_meet(at, ink.marks[i], ink.marks[k], wider);
            }
    for (size_t i = 0; i < place.system->mark_count && !found; i++) {
        const struct mark *mark = &at->page->marks[place.system->first_mark + i];
        if (mark->owner.bar == bar &&
            mark->role == ROLE_TIE) /* owned by the note that it leads to */
            found =
                mark->box.left < columns[spring + 1].x &&
                (mark->box.right > columns[spring].x || column_of(&place, ink.bar, mark) > spring);
        if (mark->owner.bar == bar && mark->role == ROLE_BAR_LINE)
            for (size_t k = 0; k < ink.count && !found; k++)
                found = ink.columns[k] <= spring &&
                        mark->box.left - ink.marks[k]->box.right <= NEAR_BAR + PUSH_SLACK;
    }
    memory_free(ink.marks);
    memory_free(ink.columns);
    return found;
}

static bool all_on_page(const struct auditor *at, uint32_t exercise)
{
    struct bar_place place;
    uint32_t count = (uint32_t)audit_shown(at, exercise)->bar_count;
    return find_bar(at, exercise, 0, &place) && find_bar(at, exercise, count - 1, &place);
}

static bool held_by_any(const struct auditor *at, const struct page_system *system, uint32_t bar,
                        size_t spring)
{
    struct bar_place own, other;
    find_bar(at, system->exercise, bar, &own);
    if (holds(at, &own, system->exercise, bar, spring))
        return true;
    const struct score_exercise *exercise = audit_shown(at, system->exercise);
    for (uint32_t i = 0; i < exercise->bar_count; i++)
        if (i != bar && find_bar(at, system->exercise, i, &other) &&
            audit_same_rhythm(columns_of(&own), own.count, columns_of(&other), other.count) &&
            holds(at, &own, system->exercise, i, spring))
            return true;
    return false;
}

void audit_pushes(struct auditor *at, const struct page_system *system)
{
    size_t first = 0;
    if (!at->outlines || !all_on_page(at, system->exercise))
        return;
    for (size_t i = 0; i < system->column_count; i++) {
        const struct page_column *column = &system->columns[i];
        if (column->bar != system->columns[first].bar)
            first = i;
        if (column->pushed && !column->closes && !held_by_any(at, system, column->bar, i - first))
            audit_complain(
                at, 10, NULL, "exercise %u bar %u: column %zu is pushed to %d, but nothing is near",
                system->exercise + 1, column->bar, i - first + 1, column[1].x - column->x);
    }
}
