#include "audit_int.h"

#include <stdlib.h>

/* ---- rule 14: meters, graces, parentheses --------------------------------------------------- */

/* A length on the system's own staff. */
static sp on_staff(const struct page_system *system, sp length)
{
    return length * system->size / 1000;
}

static bool above_each_other(const struct mark *a, const struct mark *b)
{
    return a->box.left < b->box.right && b->box.left < a->box.right;
}

/* Two figures of a meter do not run together. */
static void rule_meter(struct auditor *at, const struct page_system *system,
                       const struct mark *upper)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *lower = &at->page->marks[system->first_mark + i];
        if (lower->role == ROLE_METER && lower->box.top > upper->box.top &&
            above_each_other(upper, lower) &&
            lower->box.top - upper->box.bottom < on_staff(system, METER_AIR))
            audit_complain(at, 14, upper, "figures of a meter run together");
    }
}

static const struct leaf *leaf_of(const struct auditor *at, const struct mark *mark)
{
    const struct score_exercise *exercise = audit_shown(at, mark->owner.exercise);
    return &exercise->bars[mark->owner.bar].lines[mark->owner.line].leaves[mark->owner.stroke];
}

/* The stroke's own lowest head. */
static const struct mark *main_head(const struct auditor *at, const struct page_system *system,
                                    const struct mark *grace)
{
    const struct note *note = leaf_of(at, grace)->note;
    const struct mark *lowest = NULL;
    size_t first, end = audit_marks_of(at, grace->owner, &first);
    for (; first < end; first++) {
        const struct mark *head = at->by_owner[first];
        if (head->role != ROLE_HEAD)
            continue;
        for (int h = 0; note && h < note->hit_count; h++) {
            bool one_line = system->staff_top == system->staff_bottom;
            int line2 = at->score->lesson->kit.voices[note->hits[h].voice].line2;
            sp below = one_line ? 0 : on_staff(system, (10 - line2) * 500);
            bool own = abs(system->staff_top + below - head->as.at.y) <= 2;
            if (own && (!lowest || head->as.at.y > lowest->as.at.y))
                lowest = head;
        }
    }
    return lowest;
}

static void rule_grace(struct auditor *at, const struct page_system *system,
                       const struct mark *grace)
{
    const struct mark *head = main_head(at, system, grace);
    if (!head || abs(grace->as.at.y - head->as.at.y) > 2)
        audit_complain(at, 14, grace, "a grace that is not level with its main note");
}

static bool feet_play(const struct auditor *at, uint32_t exercise)
{
    const struct score_exercise *shown = audit_shown(at, exercise);
    for (size_t b = 0; b < shown->bar_count; b++)
        if (shown->bars[b].lines[LINE_FEET].leaf_count)
            return true;
    return false;
}

/* From middle to middle; only where feet or another head may stand below, to the head's side. */
static void rule_slur(struct auditor *at, const struct page_system *system, const struct mark *slur)
{
    const struct mark *grace = audit_find(at, slur->owner, ROLE_GRACE_HEAD);
    const struct mark *head = main_head(at, system, slur);
    if (!grace || !head)
        return;
    sp from = slur->as.ends.from.x - audit_centre(grace);
    sp to = slur->as.ends.to.x - audit_centre(head);
    const struct note *note = leaf_of(at, slur)->note;
    bool beside = slur->as.ends.to.x <= head->box.left &&
                  (note->hit_count > 1 || feet_play(at, system->exercise));
    if (abs(from) > OFF_CENTRE || (abs(to) > OFF_CENTRE && !beside))
        audit_complain(at, 14, slur, "a slur from %d to %d off the heads' middles", from, to);
}

/* A parenthesis is close to a head of its stroke, or to another parenthesis. */
static void rule_ghost(struct auditor *at, const struct mark *ghost)
{
    size_t first, end = audit_marks_of(at, ghost->owner, &first);
    sp nearest = INT32_MAX;
    for (; first < end; first++) {
        const struct mark *head = at->by_owner[first];
        if (head->role != ROLE_HEAD)
            continue;
        sp left = head->box.left - ghost->box.right, right = ghost->box.left - head->box.right;
        sp gap = left > right ? left : right;
        nearest = gap < nearest ? gap : nearest;
    }
    if (nearest > GHOST_NEAR)
        audit_complain(at, 14, ghost, "a parenthesis %d off its head", nearest);
}

void audit_drawing(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (mark->role == ROLE_METER)
            rule_meter(at, system, mark);
        else if (mark->role == ROLE_GRACE_HEAD)
            rule_grace(at, system, mark);
        else if (mark->role == ROLE_GRACE_SLUR)
            rule_slur(at, system, mark);
        else if (mark->role == ROLE_GHOST)
            rule_ghost(at, mark);
    }
}

/* ---- rule 15: texts of a page ---------------------------------------------------------------- */

static const struct mark *page_mark(const struct auditor *at, enum mark_role role,
                                    uint32_t exercise)
{
    for (size_t i = 0; i < at->page->mark_count; i++)
        if (at->page->marks[i].role == role && at->page->marks[i].owner.exercise == exercise)
            return &at->page->marks[i];
    return NULL;
}

/* Below a title, and above the music and the ladder: what is to be done. */
static bool under_title(const struct auditor *at, const struct mark *text,
                        const struct mark *heading)
{
    const struct mark *ladder = page_mark(at, ROLE_LADDER_TITLE, text->owner.exercise);
    return text->owner.exercise != OWNER_NONE && heading && heading->as.at.y < text->as.at.y &&
           !at->score->exercises[text->owner.exercise].sequence &&
           (!ladder || text->as.at.y < ladder->as.at.y);
}

/* Texts align with the title above them, except right-to-left ones. */
static void rule_flush(struct auditor *at, const struct mark *text)
{
    const struct mark *heading = page_mark(at, ROLE_HEADING, text->owner.exercise);
    if (!under_title(at, text, heading) ||
        metrics_of_label(at->metrics, text->with.label)->backward)
        return;
    if (text->as.at.x != heading->as.at.x)
        audit_complain(at, 15, text, "%d off where its title begins",
                       text->as.at.x - heading->as.at.x);
}

/* The rule under the title keeps clear of its letters. */
static void rule_rule(struct auditor *at, const struct mark *title)
{
    const struct mark *rule = page_mark(at, ROLE_RULE, OWNER_NONE);
    if (rule && rule->box.top > title->box.top && rule->box.top - title->box.bottom < RULE_CLEAR)
        audit_complain(at, 15, title, "%d above its rule", rule->box.top - title->box.bottom);
}

static size_t lines_of_heading(const struct auditor *at, uint32_t exercise)
{
    size_t lines = 0;
    for (size_t i = 0; i < at->page->mark_count; i++)
        lines += at->page->marks[i].role == ROLE_HEADING &&
                 at->page->marks[i].owner.exercise == exercise;
    return lines;
}

/* The titles of two leads side by side break alike. */
static void rule_twins(struct auditor *at, const struct mark *heading)
{
    uint32_t index = heading->owner.exercise;
    const struct score_exercise *exercises = at->score->exercises;
    if (index == OWNER_NONE || index + 1 >= at->score->exercise_count ||
        exercises[index].source != exercises[index + 1].source)
        return;
    const struct mark *other = page_mark(at, ROLE_HEADING, index + 1);
    if (other && other->as.at.y == heading->as.at.y &&
        lines_of_heading(at, index) != lines_of_heading(at, index + 1))
        audit_complain(at, 15, heading, "the other lead's title breaks in another way");
}

/* The middle of the staff that a mark belongs to; the page's top if it belongs to none. */
static sp staff_of(const struct auditor *at, const struct mark *mark)
{
    size_t index = (size_t)(mark - at->page->marks);
    for (size_t i = 0; i < at->page->system_count; i++) {
        const struct page_system *system = &at->page->systems[i];
        if (index >= system->first_mark && index < system->first_mark + system->mark_count)
            return (system->staff_top + system->staff_bottom) / 2;
    }
    return 0;
}

/* Whether some other ink is where a mark would be if it went up. */
static bool is_blocked(const struct auditor *at, const struct mark *mark, sp up)
{
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *other = &at->page->marks[i];
        if (other->box.left < mark->box.right + PLAYS_CLEAR &&
            mark->box.left < other->box.right + PLAYS_CLEAR && other->box.top < mark->box.top &&
            other->box.bottom > mark->box.top - up - PLAYS_CLEAR)
            return true;
    }
    return false;
}

/* "play n times" stands on the baseline of the text beside it, and of that of the staff beside. */
static void rule_plays(struct auditor *at, const struct mark *plays)
{
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *other = &at->page->marks[i];
        sp off = plays->as.at.y - other->as.at.y;
        bool own = other->owner.exercise == plays->owner.exercise;
        if (off == 0 || (off > 0 && is_blocked(at, plays, off)))
            continue;
        if (other->role == ROLE_INSTRUCTION && own && plays->box.left > other->box.right &&
            abs(off) < metrics_of_label(at->metrics, other->with.label)->ascent)
            audit_complain(at, 15, plays, "%d off the line of its text", off);
        if (other->role == ROLE_PLAYS && !own && off > 0 &&
            staff_of(at, other) == staff_of(at, plays))
            audit_complain(at, 15, plays, "%d off that of the staff beside", off);
    }
}

void audit_texts(struct auditor *at)
{
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *mark = &at->page->marks[i];
        if (mark->role == ROLE_INSTRUCTION)
            rule_flush(at, mark);
        else if (mark->role == ROLE_HEADING)
            rule_twins(at, mark);
        else if (mark->role == ROLE_PLAYS)
            rule_plays(at, mark);
        else if (mark->role == ROLE_TITLE || mark->role == ROLE_SUBTITLE)
            rule_rule(at, mark);
    }
}
