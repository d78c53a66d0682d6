#include "audit_int.h"

#include <stdlib.h>

/* ---- rule 2: rows ------------------------------------------------------------------------- */

/* A letter is centred for the eye, an `L` by its stem more than by its foot. */
static bool centred_on_head(const struct auditor *at, const struct mark *text, bool *any)
{
    size_t first, end = audit_marks_of(at, text->owner, &first);
    sp centre = at->metrics->label_centre(at->metrics->self, text->with.label);
    sp eye = text->as.at.x + (text->scale ? centre * text->scale / 1000 : centre);
    for (; first < end; first++) {
        const struct mark *mark = at->by_owner[first];
        if (mark->role != ROLE_HEAD && mark->role != ROLE_GRACE_HEAD && mark->role != ROLE_REST)
            continue;
        *any = true;
        if (abs(audit_centre(mark) - eye) <= OFF_CENTRE &&
            abs(audit_centre(text) - eye) <= OFF_MIDDLE)
            return true;
    }
    return false;
}

void audit_rows(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (!audit_is_row(mark->role))
            continue;
        sp row = mark->role == ROLE_COUNT        ? system->count_baseline
                 : mark->owner.line == LINE_FEET ? system->feet_sticking_baseline
                                                 : system->sticking_baseline;
        if (abs(mark->as.at.y - row) > OFF_CENTRE)
            audit_complain(at, 2, mark, "off its row by %d", mark->as.at.y - row);
        bool any = false;
        if (mark->owner.stroke != OWNER_NONE && !centred_on_head(at, mark, &any) && any)
            audit_complain(at, 2, mark, "off its head's centre");
    }
}

/* ---- rule 3: spacing ---------------------------------------------------------------------- */

static bool same_fraction(int64_t top_a, int64_t bottom_a, int64_t top_b, int64_t bottom_b)
{
    return top_a * bottom_b == top_b * bottom_a;
}

static bool same_space(const struct page_column *a, const struct page_column *b)
{
    return same_fraction(a->duration_top, a->duration_bottom, b->duration_top,
                         b->duration_bottom) &&
           same_fraction(a->shortest_top, a->shortest_bottom, b->shortest_top, b->shortest_bottom);
}

/* Each column against the next free one that should be spaced alike: equality is passed on. */
void audit_spacing(struct auditor *at, const struct page_system *system)
{
    const struct page_column *columns = system->columns;
    for (size_t i = 0; i < system->column_count; i++) {
        if (columns[i].closes)
            continue;
        sp gap = columns[i + 1].x - columns[i].x;
        for (size_t k = i + 1; k < system->column_count; k++) {
            if (columns[k].closes || !same_space(&columns[i], &columns[k]))
                continue;
            sp other = columns[k + 1].x - columns[k].x;
            bool uneven = abs(other - gap) > UNEQUAL;
            if (uneven && !columns[i].pushed && !columns[k].pushed)
                audit_complain(at, 3, NULL, "columns %zu and %zu of bar %u: spaces %d and %d", i, k,
                               columns[k].bar, gap, other);
            if (uneven && columns[i].pushed != columns[k].pushed &&
                (columns[i].pushed ? gap < other : other < gap))
                audit_complain(at, 3, NULL, "bar %u: a pushed space is the narrower",
                               columns[k].bar);
            if (!columns[k].pushed)
                break;
        }
    }
}
