#include "audit_int.h"

#include <stdlib.h>

/* ---- rule 11: signs of charts, bar lines, endings ------------------------------------------ */

static const struct score_bar *bar_of(const struct auditor *at, const struct page_system *system,
                                      uint32_t index)
{
    return &audit_shown(at, system->exercise)->bars[index];
}

static const struct mark *system_mark(const struct auditor *at, const struct page_system *system,
                                      size_t i)
{
    return &at->page->marks[system->first_mark + i];
}

static bool is_over(const struct mark *mark)
{
    return mark->role == ROLE_MARK_BOX || mark->role == ROLE_WORDS || mark->role == ROLE_SIGN;
}

static bool level(const struct mark *a, const struct mark *b)
{
    return a->box.top < b->box.bottom && b->box.top < a->box.bottom;
}

/* "To Coda" is not read on into the letter of the next bar. */
static bool ends_its_bar(const struct auditor *at, const struct page_system *system,
                         const struct mark *mark)
{
    const struct score_bar *bar = bar_of(at, system, mark->owner.bar);
    return mark->role == ROLE_SIGN && mark->glyph == GLYPH_CODA && !audit_is_coda(bar);
}

static void rule_apart(struct auditor *at, const struct page_system *system, const struct mark *a)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *b = system_mark(at, system, i);
        if (!is_over(b) || b->owner.bar <= a->owner.bar || !level(a, b))
            continue;
        sp least = ends_its_bar(at, system, a) ? OVER_APART : OVER_BESIDE;
        if (b->box.left - a->box.right < least)
            audit_complain(at, 11, a, "runs into a %s of bar %u",
                           mark_role_word((enum mark_role)b->role), b->owner.bar);
    }
}

/* A sign stands on the middle of the letter or the words beside it. */
static void rule_sign_level(struct auditor *at, const struct mark *sign)
{
    size_t first, end = audit_marks_of(at, sign->owner, &first);
    const struct mark *beside = NULL;
    for (; first < end; first++) {
        const struct mark *mark = at->by_owner[first];
        if (is_over(mark) && mark != sign && level(mark, sign) &&
            (!beside || mark->role == ROLE_MARK_BOX))
            beside = mark;
    }
    sp off = beside ? beside->box.top + beside->box.bottom - sign->box.top - sign->box.bottom : 0;
    if (abs(off) / 2 > SIGN_OFF)
        audit_complain(at, 11, sign, "%d off the middle of what is beside it", off / 2);
}

static size_t bar_lines_of(const struct auditor *at, const struct page_system *system, uint32_t bar)
{
    size_t lines = 0;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = system_mark(at, system, i);
        lines += mark->role == ROLE_BAR_LINE && mark->owner.bar == bar;
    }
    return lines;
}

/* What players jump to or look for begins after a double bar line; so does what they jump over. */
static void rule_double(struct auditor *at, const struct page_system *system, uint32_t index)
{
    const struct score_bar *bar = bar_of(at, system, index);
    bool end = index + 1 == system->first_bar + system->bar_count;
    if (bar->last || bar->repeat_ends || bar->repeat_begins || bar->repeats == 2 ||
        (bar->signs && bar->signs->fine.file) || (!end && bar[1].repeat_begins))
        return;
    bool two = audit_is_divided(bar);
    size_t lines = bar_lines_of(at, system, index);
    if (lines != 1u + two)
        audit_complain(at, 11, NULL, "bar %u: %zu bar lines in place of %u", index, lines, 1 + two);
}

/* A hook hangs over a bar line, or where the line of music begins. */
static bool hangs_on_bar_line(const struct auditor *at, const struct page_system *system,
                              const struct mark *hook)
{
    sp x = hook->as.ends.from.x;
    bool first = true;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = system_mark(at, system, i);
        if (mark->role != ROLE_BAR_LINE)
            continue;
        if (x >= mark->box.left && x <= mark->box.right)
            return true;
        first &= x < mark->box.left;
    }
    return first;
}

static void rule_endings(struct auditor *at, const struct page_system *system)
{
    const struct mark *bracket = NULL, *plays = NULL;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = system_mark(at, system, i);
        bool flat = mark->as.ends.from.y == mark->as.ends.to.y;
        if (mark->role == ROLE_ENDING && !flat && !hangs_on_bar_line(at, system, mark))
            audit_complain(at, 11, mark, "a hook beside its bar line");
        if (mark->role == ROLE_ENDING && flat) {
            if (bracket && bracket->as.ends.from.y != mark->as.ends.from.y)
                audit_complain(at, 11, mark, "a bracket at another height than the one before it");
            bracket = mark;
        }
        if (mark->role == ROLE_PLAYS) {
            if (plays && plays->as.at.y != mark->as.at.y)
                audit_complain(at, 11, mark, "at another height than the one before it");
            plays = mark;
            if (bar_of(at, system, mark->owner.bar)->ending)
                audit_complain(at, 11, mark, "an ending says it already");
        }
    }
}

void audit_signs(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = system_mark(at, system, i);
        if (is_over(mark))
            rule_apart(at, system, mark);
        if (mark->role == ROLE_SIGN)
            rule_sign_level(at, mark);
        if (mark->role == ROLE_BAR_REPEAT && mark->owner.bar == system->first_bar)
            audit_complain(at, 11, mark, "a line begins with a sign for the bars before");
    }
    for (uint32_t i = 0; i < system->bar_count; i++) {
        if (i && audit_is_coda(bar_of(at, system, system->first_bar + i)))
            audit_complain(at, 11, NULL, "bar %u: a coda inside a line", system->first_bar + i);
        rule_double(at, system, system->first_bar + i);
    }
    rule_endings(at, system);
}
