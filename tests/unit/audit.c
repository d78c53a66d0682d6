#include "audit_int.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void audit_complain(struct auditor *at, int rule, const struct mark *mark, const char *format, ...)
{
    at->audit->found[rule]++;
    if (audit_total(at->audit) > AUDIT_REPORTED)
        return;
    char text[256];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    buffer_format(&at->audit->report, "page %u, rule %d: %s", at->page->number, rule, text);
    if (mark)
        buffer_format(&at->audit->report, " (%s, exercise %u bar %u line %u stroke %u, at %d %d)",
                      mark_role_word((enum mark_role)mark->role), mark->owner.exercise + 1,
                      mark->owner.bar, mark->owner.line, mark->owner.stroke, mark->box.left,
                      mark->box.top);
    buffer_add_text(&at->audit->report, "\n");
}

size_t audit_total(const struct audit *audit)
{
    size_t total = 0;
    for (int rule = 1; rule <= AUDIT_RULES; rule++)
        total += audit->found[rule];
    return total;
}

void audit_release(struct audit *audit)
{
    buffer_release(&audit->report);
}

/* ---- finding marks ------------------------------------------------------------------------ */

int audit_compare_owner(struct mark_owner a, struct mark_owner b)
{
    if (a.exercise != b.exercise)
        return a.exercise < b.exercise ? -1 : 1;
    if (a.bar != b.bar)
        return a.bar < b.bar ? -1 : 1;
    if (a.line != b.line)
        return a.line < b.line ? -1 : 1;
    return (a.stroke > b.stroke) - (a.stroke < b.stroke);
}

static int order_by_owner(const void *a, const void *b)
{
    const struct mark *left = *(const struct mark *const *)a;
    const struct mark *right = *(const struct mark *const *)b;
    int order = audit_compare_owner(left->owner, right->owner);
    return order ? order : (left > right) - (left < right);
}

static int order_by_left(const void *a, const void *b)
{
    const struct mark *left = *(const struct mark *const *)a;
    const struct mark *right = *(const struct mark *const *)b;
    return (left->box.left > right->box.left) - (left->box.left < right->box.left);
}

size_t audit_marks_of(const struct auditor *at, struct mark_owner owner, size_t *first)
{
    size_t low = 0, high = at->page->mark_count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (audit_compare_owner(at->by_owner[middle]->owner, owner) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    *first = low;
    while (low < at->page->mark_count && audit_compare_owner(at->by_owner[low]->owner, owner) == 0)
        low++;
    return low;
}

const struct mark *audit_find(const struct auditor *at, struct mark_owner owner,
                              enum mark_role role)
{
    size_t first, end = audit_marks_of(at, owner, &first);
    for (; first < end; first++)
        if (at->by_owner[first]->role == role)
            return at->by_owner[first];
    return NULL;
}

struct mark_owner audit_owner(uint32_t exercise, unsigned line, uint32_t bar, uint32_t stroke)
{
    return (struct mark_owner){exercise & OWNER_NONE, line & 0xFF, bar, stroke};
}

void audit_span_at(const struct mark *mark, sp x, sp *top, sp *bottom)
{
    *top = mark->box.top;
    *bottom = mark->box.bottom;
    struct point from = mark->as.ends.from, to = mark->as.ends.to;
    if ((mark->shape != SHAPE_BEAM && mark->shape != SHAPE_LINE) || from.x == to.x ||
        from.y == to.y)
        return;
    x = x < from.x ? from.x : x > to.x ? to.x : x;
    sp y = from.y + (sp)((int64_t)(to.y - from.y) * (x - from.x) / (to.x - from.x));
    *top = y - mark->with.width / 2;
    *bottom = y + mark->with.width / 2;
}

/* ---- rule 4: margin ----------------------------------------------------------------------- */

/* A system that does not take the whole line has its fellow beside it, staff and rows level. */
static void rule_beside(struct auditor *at, const struct page_system *system)
{
    sp whole = at->page->width - 2 * at->page->margin;
    if (system->column_right - system->column_left >= whole - OFF_MARGIN)
        return;
    const struct page_system *other = NULL;
    for (size_t i = 0; i < at->page->system_count && !other; i++) {
        other = &at->page->systems[i];
        if (other == system ||
            (other->column_right > system->column_left &&
             other->column_left < system->column_right) ||
            other->staff_top + other->staff_bottom != system->staff_top + system->staff_bottom)
            other = NULL;
    }
    if (!other)
        audit_complain(at, 4, NULL, "bar %u: half a line with nothing level beside it",
                       system->first_bar);
    else if ((other->baselines[ROW_LETTERS] && system->baselines[ROW_LETTERS] &&
              other->baselines[ROW_LETTERS] != system->baselines[ROW_LETTERS]) ||
             (other->baselines[ROW_COUNTS] && system->baselines[ROW_COUNTS] &&
              other->baselines[ROW_COUNTS] != system->baselines[ROW_COUNTS]))
        audit_complain(at, 4, NULL, "bar %u: rows that are not level side by side",
                       system->first_bar);
}

static void rule_margin(struct auditor *at, const struct page_system *system)
{
    sp right = 0, left_margin = at->page->margin;
    sp right_margin = at->page->width - at->page->margin;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if ((mark->role == ROLE_BAR_LINE || mark->role == ROLE_METER) && mark->box.right > right)
            right = mark->box.right;
    }
    if (abs(right - system->right) > OFF_MARGIN)
        audit_complain(at, 4, NULL, "bar %u: last bar line at %d, staff's end at %d",
                       system->first_bar, right, system->right);
    if (abs(system->left - system->column_left) > OFF_MARGIN ||
        (system->column_left != left_margin && system->column_right != right_margin))
        audit_complain(at, 4, NULL, "bar %u: a column from %d to %d", system->first_bar,
                       system->column_left, system->column_right);
    if (!system->ragged && abs(system->right - system->column_right) > OFF_MARGIN)
        audit_complain(at, 4, NULL, "bar %u: staff ends at %d, margin at %d", system->first_bar,
                       system->right, system->column_right);
}

/* ---- rule 6: the page --------------------------------------------------------------------- */

static void rule_page(struct auditor *at)
{
    const struct page *page = at->page;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->box.right < mark->box.left) /* no ink */
            continue;
        if (mark->box.left < page->margin - OFF_MARGIN ||
            mark->box.right > page->width - page->margin + OFF_MARGIN ||
            mark->box.top < page->margin - OFF_MARGIN ||
            mark->box.bottom > page->height - page->margin + OFF_MARGIN)
            audit_complain(at, 6, mark, "outside the margins");
        if (mark->role != ROLE_HEADING || mark->owner.exercise == OWNER_NONE ||
            at->score->exercises[mark->owner.exercise].bar_count == 0)
            continue;
        bool together = false;
        for (size_t s = 0; s < page->system_count; s++)
            together |= page->systems[s].exercise == mark->owner.exercise &&
                        page->systems[s].first_bar == 0;
        if (!together)
            audit_complain(at, 6, mark, "a heading without its first line");
    }
}

void audit_page(const struct page *page, const struct audit_of *of, struct audit *audit)
{
    struct auditor at = {.page = page,
                         .score = of->score,
                         .metrics = of->metrics,
                         .outlines = of->outlines,
                         .audit = audit};
    size_t count = page->mark_count;
    at.by_owner = memory_alloc((count + 1) * sizeof *at.by_owner);
    at.by_left = memory_alloc((count + 1) * sizeof *at.by_left);
    for (size_t i = 0; i < count; i++)
        at.by_owner[i] = at.by_left[i] = &page->marks[i];
    qsort(at.by_owner, count, sizeof *at.by_owner, order_by_owner);
    qsort(at.by_left, count, sizeof *at.by_left, order_by_left);
    audit_touching(&at);
    for (size_t i = 0; i < page->system_count; i++) {
        audit_rows(&at, &page->systems[i]);
        audit_spacing(&at, &page->systems[i]);
        rule_margin(&at, &page->systems[i]);
        rule_beside(&at, &page->systems[i]);
        audit_rhythm(&at, &page->systems[i]);
        audit_bars(&at, &page->systems[i]);
        audit_lines(&at, &page->systems[i]);
        audit_wedges(&at, &page->systems[i]);
        audit_tidy(&at, &page->systems[i]);
        audit_pushes(&at, &page->systems[i]);
        audit_letters(&at, &page->systems[i]);
        audit_feet(&at, &page->systems[i]);
        audit_signs(&at, &page->systems[i]);
        audit_rests(&at, &page->systems[i]);
        audit_drawing(&at, &page->systems[i]);
        audit_width(&at, &page->systems[i]);
    }
    for (uint32_t i = 0; i < of->score->exercise_count; i++)
        audit_counts(&at, i);
    audit_sizes(&at);
    rule_page(&at);
    audit_texts(&at);
    audit_sheets(&at);
    memory_free(at.by_owner);
    memory_free(at.by_left);
}
