#include "audit_int.h"

#include <stdlib.h>

/* ---- rule 5: beams, stems, tuplets, letters ----------------------------------------------- */

/* Beams over the stem, and the nearest edge to its head. */
static int beams_at(const struct auditor *at, const struct mark *stem, sp *nearest)
{
    struct mark_owner owner = stem->owner;
    owner.stroke = 0;
    size_t first, count = 0;
    audit_marks_of(at, owner, &first);
    bool up = stem->as.ends.to.y < stem->as.ends.from.y;
    sp x = stem->as.ends.from.x;
    for (size_t i = first; i < at->page->mark_count; i++) {
        const struct mark *mark = at->by_owner[i];
        if (!audit_same_line(mark, stem))
            break;
        if (mark->role != ROLE_BEAM || mark->box.left > x || mark->box.right < x)
            continue;
        sp top, bottom;
        audit_span_at(mark, x, &top, &bottom);
        sp edge = up ? bottom : top;
        if (!count || (up ? edge > *nearest : edge < *nearest))
            *nearest = edge;
        if (up ? stem->as.ends.to.y <= bottom : stem->as.ends.to.y >= top)
            count++;
    }
    return (int)count;
}

static void check_stem(struct auditor *at, const struct page_system *system,
                       const struct leaf *leaf, const struct mark *stem)
{
    int size = system->size ? system->size : 1000;
    sp nearest = 0;
    int wanted = leaf->value_log2 > 2 ? leaf->value_log2 - 2 : 0;
    int beams = beams_at(at, stem, &nearest);
    bool flag = audit_find(at, stem->owner, ROLE_FLAG) != NULL;
    if (beams != (flag ? 0 : wanted))
        audit_complain(at, 5, stem, "meets %d beams of %d", beams, flag ? 0 : wanted);
    if (!beams)
        return;
    sp root = stem->as.ends.from.y, head_nearest = 0;
    bool any = false;
    size_t first, end = audit_marks_of(at, stem->owner, &first);
    bool up = stem->as.ends.to.y < root;
    for (; first < end; first++) /* the head nearest the beam */
        if (at->by_owner[first]->role == ROLE_HEAD &&
            (!any || (up ? at->by_owner[first]->as.at.y < head_nearest
                         : at->by_owner[first]->as.at.y > head_nearest))) {
            head_nearest = at->by_owner[first]->as.at.y;
            any = true;
        }
    if (abs(head_nearest - nearest) < STEM_LEAST * size / 1000 - STEM_ROUNDING)
        audit_complain(at, 5, stem, "stem of %d under its beam", abs(head_nearest - nearest));
}

/* All stems of a beam belong to one beat, or to one tuplet that no beat cuts between them. */
static void check_beam(struct auditor *at, const struct bar_line_marks *in, const struct mark *beam)
{
    const struct leaf *before = NULL;
    bool cut = false;
    for (uint32_t i = 0; i < in->line->leaf_count; i++) {
        const struct leaf *leaf = &in->line->leaves[i];
        struct mark_owner owner = in->owner;
        owner.stroke = i;
        cut |= audit_cuts_beam(in, i);
        const struct mark *stem = audit_find(at, owner, ROLE_STEM);
        if (!stem || stem->as.ends.from.x < beam->box.left ||
            stem->as.ends.from.x > beam->box.right)
            continue;
        if (before && cut)
            audit_complain(at, 5, beam, "a beam from beat %u into beat %u", before->beat + 1u,
                           leaf->beat + 1u);
        before = leaf;
        cut = false;
    }
}

static void check_leaf(struct auditor *at, const struct bar_line_marks *in, uint32_t index)
{
    const struct leaf *leaf = &in->line->leaves[index];
    struct mark_owner owner = in->owner;
    owner.stroke = index;
    const struct mark *head = audit_find(at, owner, ROLE_HEAD);
    const struct mark *stem = audit_find(at, owner, ROLE_STEM);
    bool joined = owner.line == LINE_FEET &&
                  at->score->exercises[owner.exercise].source->settings.stems == STEMS_UP;
    if (leaf->note && !head && !joined)
        audit_complain(at, 5, NULL, "bar %u line %u: note %u has no head", owner.bar,
                       (unsigned)owner.line, index);
    if (head && leaf->value_log2 > 0 && !stem)
        audit_complain(at, 5, head, "no stem");
    if (stem)
        check_stem(at, in->system, leaf, stem);
    if (head && (leaf_strokes(leaf) != 1 || roll_goes_on(leaf)) &&
        !audit_find(at, owner, ROLE_STEM_MARK))
        audit_complain(at, 5, head, "rolls on, but has no slashes");
    if (head && leaf_struck(leaf) && leaf->note->letter && in->bar->settings->show->sticking &&
        !audit_find(at, owner, ROLE_STICKING))
        audit_complain(at, 5, head, "no letter");
}

void audit_rhythm(struct auditor *at, const struct page_system *system)
{
    for (uint32_t b = 0; b < system->bar_count; b++) {
        uint32_t bar = system->first_bar + b;
        for (unsigned line = 0; line < LINE_COUNT; line++) {
            struct bar_line_marks in = {.system = system,
                                        .bar = &audit_shown(at, system->exercise)->bars[bar],
                                        .owner = audit_owner(system->exercise, line, bar, 0)};
            in.line = &in.bar->lines[line];
            for (uint32_t i = 0; i < in.line->leaf_count; i++)
                check_leaf(at, &in, i);
            audit_tuplets(at, &in);
            for (size_t i = 0; i < system->mark_count; i++) {
                const struct mark *mark = &at->page->marks[system->first_mark + i];
                if (mark->role == ROLE_BEAM && mark->owner.bar == bar && mark->owner.line == line)
                    check_beam(at, &in, mark);
            }
        }
    }
}
