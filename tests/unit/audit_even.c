#include "audit_int.h"

#include <stdlib.h>

/* ---- rule 2: rows ------------------------------------------------------------------------- */

static bool is_centred(const struct mark *text, sp eye, sp x)
{
    return abs(x - eye) <= OFF_CENTRE && abs(audit_centre(text) - eye) <= OFF_MIDDLE;
}

/* A letter is centred by eye, an `L` on its stem rather than its foot. It stands on its column,
 * even if the head had to move aside; a grace note's letter stands on the head. */
static bool is_in_place(const struct auditor *at, const struct page_system *system,
                        const struct mark *text)
{
    sp centre = at->metrics->label_centre(at->metrics->self, text->with.label);
    sp eye = text->as.at.x + (text->scale ? centre * text->scale / 1000 : centre);
    for (size_t i = 0; i < system->column_count; i++)
        if (system->columns[i].bar == text->owner.bar &&
            is_centred(text, eye, system->columns[i].x))
            return true;
    size_t first, end = audit_marks_of(at, text->owner, &first);
    for (; first < end; first++)
        if (at->by_owner[first]->role == ROLE_GRACE_HEAD &&
            is_centred(text, eye, audit_centre(at->by_owner[first])))
            return true;
    return false;
}

/* K and H of the hands' sticking, unless a hand strikes at that moment as well. */
static bool foot_among_hands(const struct auditor *at, const struct mark *mark)
{
    const struct score_bar *bar = &audit_shown(at, mark->owner.exercise)->bars[mark->owner.bar];
    const struct score_line *hands = &bar->lines[LINE_HANDS];
    const struct leaf *leaf = &bar->lines[mark->owner.line].leaves[mark->owner.stroke];
    bool among = leaf->note->letter == 'K' || leaf->note->letter == 'H';
    for (uint32_t i = 0; i < hands->leaf_count; i++)
        among &= !(leaf_struck(&hands->leaves[i]) &&
                   fraction_equal(hands->leaves[i].onset, leaf->onset));
    return among;
}

void audit_rows(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (!audit_is_row(mark->role))
            continue;
        bool apart = audit_shown(at, mark->owner.exercise)->bars[mark->owner.bar].hands_apart;
        enum page_row lower = apart ? ROW_LEFT_LETTERS : ROW_FEET_LETTERS;
        bool in_hands = mark->role == ROLE_STICKING && foot_among_hands(at, mark);
        sp row = mark->role == ROLE_SYLLABLE                  ? system->baselines[ROW_COUNTS]
                 : mark->owner.line == LINE_FEET && !in_hands ? system->baselines[lower]
                                                              : system->baselines[ROW_LETTERS];
        if (abs(mark->as.at.y - row) > OFF_CENTRE)
            audit_complain(at, 2, mark, "off its row by %d", mark->as.at.y - row);
        if (!is_in_place(at, system, mark))
            audit_complain(at, 2, mark, "off its column, or its grace's head");
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

/* ---- rule 7: bars and lines of one rhythm -------------------------------------------------- */

struct bar_run {
    const struct page_column *columns;
    size_t count;
};

static struct bar_run bar_run(const struct page_system *system, uint32_t bar)
{
    struct bar_run run = {NULL, 0};
    for (size_t i = 0; i < system->column_count; i++)
        if (system->columns[i].bar == bar) {
            run.columns = run.columns ? run.columns : &system->columns[i];
            run.count++;
        }
    return run;
}

bool audit_same_rhythm(const struct page_column *a, size_t a_count, const struct page_column *b,
                       size_t b_count)
{
    if (a_count != b_count)
        return false;
    for (size_t i = 0; i < a_count; i++)
        if (!same_space(&a[i], &b[i]))
            return false;
    return true;
}

/* What stands before or after a bar, inside its line, and is as wide as it is. */
static bool plain_between(const struct score_exercise *exercise, uint32_t bar)
{
    const struct score_bar *here = &exercise->bars[bar];
    return !here->repeat_ends && !here->last && !here[1].repeat_begins && !here[1].meter_changes &&
           !audit_is_divided(here) && !(here->signs && here->signs->fine.file);
}

/* A space may be wider where ink pushed it in this bar alone: graces in a row of quick notes. */
static bool spaces_alike(sp a, sp b, const struct page_column *at_a, const struct page_column *at_b)
{
    if (abs(a - b) <= UNEQUAL)
        return true;
    return a > b ? at_a->pushed : at_b->pushed;
}

/* Every two bars of one rhythm in a line, save those that neighbour sets apart. */
static void bars_alike(struct auditor *at, const struct bar_run *a, const struct bar_run *b)
{
    for (size_t i = 0; i + 1 < a->count; i++) {
        sp one = a->columns[i + 1].x - a->columns[i].x,
           other = b->columns[i + 1].x - b->columns[i].x;
        if (!spaces_alike(one, other, &a->columns[i], &b->columns[i]))
            audit_complain(at, 7, NULL, "bars %u and %u have one rhythm, but spaces %d and %d",
                           a->columns->bar, b->columns->bar, one, other);
    }
}

/* Graces before a bar's first note, which take room that is the bar's own. */
static bool graces_lead(const struct auditor *at, const struct page_system *system, uint32_t bar)
{
    for (unsigned line = 0; line < LINE_COUNT; line++)
        if (audit_find(at, audit_owner(system->exercise, line, bar, 0), ROLE_GRACE_HEAD))
            return true;
    return false;
}

void audit_bars(struct auditor *at, const struct page_system *system)
{
    uint32_t end = system->first_bar + system->bar_count;
    for (uint32_t bar = system->first_bar; bar + 1 < end; bar++) {
        struct bar_run run = bar_run(system, bar), next = bar_run(system, bar + 1);
        if (!run.count || !audit_same_rhythm(run.columns, run.count, next.columns, next.count))
            continue;
        bars_alike(at, &run, &next);
        struct bar_run after = bar_run(system, bar + 2);
        const struct score_exercise *exercise = audit_shown(at, system->exercise);
        if (bar + 2 >= end || !after.count ||
            !audit_same_rhythm(run.columns, run.count, after.columns, after.count) ||
            !plain_between(exercise, bar) || !plain_between(exercise, bar + 1))
            continue;
        sp one = next.columns->x - run.columns->x, other = after.columns->x - next.columns->x;
        bool own = graces_lead(at, system, bar) || graces_lead(at, system, bar + 1) ||
                   graces_lead(at, system, bar + 2);
        for (size_t i = 0; i < run.count; i++)
            own |= run.columns[i].pushed || next.columns[i].pushed || after.columns[i].pushed;
        if (!own && abs(one - other) > UNEQUAL)
            audit_complain(at, 7, NULL, "bars %u and %u have one rhythm, but widths %d and %d", bar,
                           bar + 1, one, other);
    }
}

/* The line before of the same exercise, if its bars have the same rhythm as far as this goes. */
static const struct page_system *line_repeated(const struct auditor *at,
                                               const struct page_system *system)
{
    const struct score_exercise *exercise = audit_shown(at, system->exercise);
    const struct page_system *before = system - 1;
    if (system == at->page->systems || before->exercise != system->exercise ||
        before->first_bar + before->bar_count != system->first_bar ||
        (system->ragged ? system->bar_count > before->bar_count
                        : system->bar_count != before->bar_count))
        return NULL;
    for (uint32_t i = 0; i < system->bar_count; i++) {
        struct bar_run a = bar_run(before, before->first_bar + i);
        struct bar_run b = bar_run(system, system->first_bar + i);
        if (!audit_same_rhythm(a.columns, a.count, b.columns, b.count) ||
            graces_lead(at, before, before->first_bar + i) !=
                graces_lead(at, system, system->first_bar + i) ||
            (i + 1 < system->bar_count && (!plain_between(exercise, before->first_bar + i) ||
                                           !plain_between(exercise, system->first_bar + i))))
            return NULL;
    }
    return before;
}

void audit_lines(struct auditor *at, const struct page_system *system)
{
    const struct page_system *before = line_repeated(at, system);
    if (!before)
        return;
    for (size_t i = 0; i < before->column_count; i++)
        if (before->columns[i].pushed)
            return; /* lines that are full may have no room to keep */
    for (size_t i = 0; i < system->column_count; i++)
        if (system->columns[i].pushed)
            return;
    for (size_t i = 0; i < system->column_count; i++)
        if (abs(system->columns[i].x - before->columns[i].x) > UNEQUAL) {
            audit_complain(at, 7, NULL, "bar %u: column %zu at %d, in the line before at %d",
                           system->columns[i].bar, i, system->columns[i].x, before->columns[i].x);
            return;
        }
}

/* ---- rule 8: beams and staff lines ---------------------------------------------------------- */

/* Of a sloped group's beams only the longest has both of its ends where they were placed. */
static bool ends_placed(const struct auditor *at, const struct mark *beam)
{
    if (beam->as.ends.from.y == beam->as.ends.to.y)
        return true;
    size_t first, end = audit_marks_of(at, beam->owner, &first);
    for (; first < end; first++) {
        const struct mark *other = at->by_owner[first];
        if (other->role == ROLE_BEAM &&
            (other->box.left < beam->box.left || other->box.right > beam->box.right))
            return false;
    }
    return true;
}

void audit_wedges(struct auditor *at, const struct page_system *system)
{
    int size = system->size ? system->size : 1000;
    sp half = at->metrics->defaults->staff_line * size / 2000, wedge = WEDGE * size / 1000;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *beam = &at->page->marks[system->first_mark + i];
        if (beam->role != ROLE_BEAM || !ends_placed(at, beam))
            continue;
        for (sp line = system->staff_top; line <= system->staff_bottom; line += size)
            for (int side = 0; side < 2; side++) {
                sp y = side ? beam->as.ends.to.y : beam->as.ends.from.y;
                sp above = line - half - (y + beam->with.width / 2);
                sp below = y - beam->with.width / 2 - line - half;
                if ((above > SIZED_ROUNDING && above < wedge) ||
                    (below > SIZED_ROUNDING && below < wedge))
                    audit_complain(at, 8, beam, "leaves a wedge of %d to a staff line",
                                   above > 0 ? above : below);
            }
    }
}

/* ---- rule 9: accents and numbers on tidy lines ---------------------------------------------- */

static bool nested_tuplets(const struct auditor *at, const struct mark *mark)
{
    const struct score_bar *bar = &audit_shown(at, mark->owner.exercise)->bars[mark->owner.bar];
    const struct score_line *line = &bar->lines[mark->owner.line];
    for (int i = 0; i < line->tuplet_count; i++)
        if (line->tuplets[i].depth > 0)
            return true;
    return false;
}

/* Its edge that faces the staff; what is raised stands on one line where it differs by less. */
static bool stands_on_line(const struct auditor *at, const struct mark *mark, sp *edge)
{
    if (mark->role != ROLE_ACCENT && mark->role != ROLE_OPEN_SIGN &&
        mark->role != ROLE_ROLL_NUMBER &&
        (mark->role != ROLE_TUPLET_NUMBER || nested_tuplets(at, mark)))
        return false;
    *edge = mark->owner.line == LINE_FEET ? mark->box.top : mark->box.bottom;
    if (mark->role == ROLE_TUPLET_NUMBER ||
        mark->role == ROLE_ROLL_NUMBER) /* their baseline: round digits reach past it */
        *edge = mark->as.at.y;
    return true;
}

/* What is raised stands beyond the end of its own stem, never beside the stem. */
static bool beside_its_stem(const struct auditor *at, const struct mark *mark)
{
    const struct mark *stem = audit_find(at, mark->owner, ROLE_STEM);
    if (!stem || mark->role == ROLE_TUPLET_NUMBER)
        return false;
    return mark->owner.line == LINE_FEET ? mark->box.top < stem->box.bottom
                                         : mark->box.bottom > stem->box.top;
}

void audit_tidy(struct auditor *at, const struct page_system *system)
{
    int size = system->size ? system->size : 1000;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        sp edge, other_edge;
        if (!stands_on_line(at, mark, &edge))
            continue;
        if (beside_its_stem(at, mark))
            audit_complain(at, 9, mark, "beside its stem");
        for (size_t k = i + 1; k < system->mark_count; k++) {
            const struct mark *other = &at->page->marks[system->first_mark + k];
            if (other->role != mark->role || other->owner.line != mark->owner.line ||
                !stands_on_line(at, other, &other_edge))
                continue;
            sp apart = abs(edge - other_edge);
            if (apart > UNTIDY && apart < ONE_LINE_OF * size / 1000 - UNTIDY)
                audit_complain(at, 9, other, "%d off the line of others", apart);
        }
    }
}
