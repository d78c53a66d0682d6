#include "audit_int.h"

#include <math.h>
#include <stdlib.h>

/* ---- rule 16: the width of lines ------------------------------------------------------------ */

/* House: a quarter's natural space, what a bar's last note keeps of its own, and how far a line is
   stretched; what a line gives up of that for the meter of the line before. */
static const double quarter_space = 4600, closing = 0.8, stretch_most = 1.6, like = 1.25,
                    tolerance = 0.03, kept = 0.08;

static double natural_of(const struct page_system *system, const struct page_column *column)
{
    double duration = column->duration_top / (double)column->duration_bottom;
    double shortest = fmax(column->shortest_top / (double)column->shortest_bottom, duration);
    double natural = quarter_space * sqrt(4 * shortest) * duration / shortest;
    return natural * (column->closes ? closing : 1) * system->size / 1000;
}

/* How far its springs are stretched, measured where no ink pushes; 0 if ink pushes everywhere. */
static double stretch_of(const struct page_system *system)
{
    const struct page_column *columns = system->columns;
    for (size_t i = 0; i + 1 < system->column_count; i++)
        if (!columns[i].closes && !columns[i].pushed)
            return (columns[i + 1].x - columns[i].x) / natural_of(system, &columns[i]);
    return 0;
}

/* The most that a ragged line's springs would be stretched if it reached the margin. */
static double stretch_at_margin(const struct page_system *system, double stretch)
{
    double natural = 0;
    for (size_t i = 0; i < system->column_count; i++)
        if (!system->columns[i].pushed)
            natural += natural_of(system, &system->columns[i]);
    return natural > 0 ? stretch + (system->column_right - system->right) / natural : 0;
}

/* The line of the exercise that ends where this one begins; NULL: not on this page. */
static const struct page_system *line_before(const struct auditor *at,
                                             const struct page_system *system)
{
    for (size_t i = 0; i < at->page->system_count; i++) {
        const struct page_system *other = &at->page->systems[i];
        if (other->exercise == system->exercise && system->first_bar > 0 &&
            other->first_bar + other->bar_count == system->first_bar)
            return other;
    }
    return NULL;
}

static bool is_last(const struct score_exercise *exercise, const struct page_system *system)
{
    uint32_t end = system->first_bar + system->bar_count;
    return end == exercise->bar_count || audit_is_coda(&exercise->bars[end]);
}

/* Whether the line's columns stand under those of the line before: it ends where those bars do. */
static bool is_under(const struct page_system *before, const struct page_system *system)
{
    if (system->bar_count > before->bar_count || system->column_count > before->column_count)
        return false;
    for (size_t i = 0; i < system->column_count; i++)
        if (abs(system->columns[i].x - before->columns[i].x) > UNEQUAL)
            return false;
    return true;
}

static void rule_stretch(struct auditor *at, const struct page_system *system)
{
    const struct score_exercise *exercise = audit_shown(at, system->exercise);
    double stretch = stretch_of(system);
    if (stretch > stretch_most + tolerance)
        audit_complain(at, 16, NULL, "bar %u: stretched by %.2f", system->first_bar, stretch);
    double margin = stretch_at_margin(system, stretch);
    if (!system->ragged || stretch == 0 || margin > stretch_most - tolerance)
        return;
    const struct page_system *before = line_before(at, system);
    bool last = is_last(exercise, system);
    if (before && last && (margin > stretch_most - kept || is_under(before, system)))
        return;
    if (before ? !last || margin < stretch_of(before) * like - tolerance
               : !last || system->first_bar == 0)
        audit_complain(at, 16, NULL, "bar %u: ragged, but would be stretched by no more than %.2f",
                       system->first_bar, margin);
}

static bool one_rhythm(const struct page_system *a, const struct page_system *b)
{
    const struct page_column *model = a->columns;
    size_t count = 0;
    while (count < a->column_count && model[count].bar == model->bar)
        count++;
    const struct page_system *const systems[] = {a, b};
    for (int s = 0; s < 2; s++) {
        const struct page_column *columns = systems[s]->columns;
        for (size_t i = 0, end; i < systems[s]->column_count; i = end) {
            for (end = i; end < systems[s]->column_count && columns[end].bar == columns[i].bar;)
                end++;
            if (!audit_same_rhythm(model, count, columns + i, end - i))
                return false;
        }
    }
    return true;
}

/* Where all bars are alike, no line has far fewer than the one before or after it, and no bar
   stands alone between lines of more. */
static void rule_like(struct auditor *at, const struct page_system *system)
{
    const struct score_exercise *exercise = audit_shown(at, system->exercise);
    const struct page_system *before = line_before(at, system);
    if (!before || is_last(exercise, system) || exercise->source->settings.page->bars_per_line ||
        audit_is_coda(&exercise->bars[system->first_bar]) || !one_rhythm(before, system))
        return;
    uint32_t here = system->bar_count, there = before->bar_count;
    if (here + 1 < there || there + 1 < here)
        audit_complain(at, 16, NULL, "bar %u: a line of %u like bars after one of %u",
                       system->first_bar, here, there);
    if (before->first_bar > 0 && there == 1 && here > 1)
        audit_complain(at, 16, NULL, "bar %u: alone between lines of more", before->first_bar);
}

void audit_width(struct auditor *at, const struct page_system *system)
{
    rule_stretch(at, system);
    rule_like(at, system);
}
