#include "audit_int.h"

#include <stdlib.h>

/*
 * Rule 13, where rests stand:
 *
 *     a rest of a whole bar in the middle between its bar lines; of a bar in which all are silent,
 *     one;
 *     about the middle line where no other line is seen in the bar;
 *     clear of the note before it, and of the other line's heads at its onset;
 *     printed where a foot's note, or a rest of its line, begins under nothing: what is before it
 *     in its own line says when.
 */
struct bar_rests {
    const struct page_system *system;
    const struct score_bar *bar;
    uint32_t index;
    int size; /* of the system, per thousand */
};

static const struct mark *rest_of(const struct auditor *at, const struct bar_rests *in,
                                  unsigned line, uint32_t leaf)
{
    return audit_find(at, audit_owner(in->system->exercise, line, in->index, leaf), ROLE_REST);
}

static bool stands_between_bars(unsigned role)
{
    return role == ROLE_BAR_LINE || role == ROLE_REPEAT_DOT || role == ROLE_METER ||
           role == ROLE_CLEF;
}

static void check_middle(struct auditor *at, const struct bar_rests *in, const struct mark *rest)
{
    sp left = in->system->left, right = in->system->right;
    for (size_t i = 0; i < in->system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[in->system->first_mark + i];
        if (!stands_between_bars(mark->role))
            continue;
        if (mark->box.right <= rest->box.left && mark->box.right > left)
            left = mark->box.right;
        if (mark->box.left >= rest->box.right && mark->box.left < right)
            right = mark->box.left;
    }
    sp off = audit_centre(rest) - (left + right) / 2;
    if (abs(off) > OFF_BAR)
        audit_complain(at, 13, rest, "%d off the middle of its bar", off);
}

/* Whether a line shows any ink in the bar. */
static bool seen(const struct auditor *at, const struct bar_rests *in, unsigned line)
{
    for (uint32_t i = 0; i < in->bar->lines[line].leaf_count; i++) {
        struct mark_owner owner = audit_owner(in->system->exercise, line, in->index, i);
        if (audit_find(at, owner, ROLE_HEAD) || audit_find(at, owner, ROLE_REST))
            return true;
    }
    return false;
}

static void check_height(struct auditor *at, const struct bar_rests *in, const struct mark *rest)
{
    const struct page_system *system = in->system;
    bool whole = rest->glyph == GLYPH_REST_WHOLE;
    bool one_line = system->staff_bottom - system->staff_top < in->size;
    sp usual = system->staff_top + (one_line ? 0 : whole ? in->size : 2 * in->size);
    if (abs(rest->as.at.y - usual) > UNTIDY)
        audit_complain(at, 13, rest, "%d off the height of a rest alone", rest->as.at.y - usual);
}

/* White between a note, with its dots, and the rest after it. */
static void check_white(struct auditor *at, const struct bar_rests *in, const struct mark *rest)
{
    struct mark_owner owner = rest->owner;
    if (owner.stroke == 0)
        return;
    owner.stroke--;
    size_t first, end = audit_marks_of(at, owner, &first);
    for (; first < end; first++) {
        const struct mark *mark = at->by_owner[first];
        if ((mark->role == ROLE_HEAD || mark->role == ROLE_DOT) &&
            audit_find(at, owner, ROLE_HEAD) &&
            rest->box.left - mark->box.right < (REST_WHITE - NEAR_INK / 10) * in->size / 1000)
            audit_complain(at, 13, rest, "%d after a note", rest->box.left - mark->box.right);
    }
}

static void check_apart(struct auditor *at, const struct bar_rests *in, const struct mark *rest)
{
    unsigned other = rest->owner.line == LINE_HANDS ? LINE_FEET : LINE_HANDS;
    const struct leaf *own = &in->bar->lines[rest->owner.line].leaves[rest->owner.stroke];
    for (uint32_t i = 0; i < in->bar->lines[other].leaf_count; i++) {
        const struct leaf *leaf = &in->bar->lines[other].leaves[i];
        if (!own->whole_bar && !fraction_equal(own->onset, leaf->onset))
            continue;
        struct mark_owner owner = audit_owner(in->system->exercise, other, in->index, i);
        size_t first, end = audit_marks_of(at, owner, &first);
        for (; first < end; first++) {
            const struct mark *head = at->by_owner[first];
            sp apart = REST_APART * in->size / 1000;
            if (head->role == ROLE_HEAD && head->box.left < rest->box.right &&
                head->box.right > rest->box.left && head->box.top < rest->box.bottom + apart &&
                head->box.bottom > rest->box.top - apart)
                audit_complain(at, 13, rest, "no white to a head of the other line");
        }
    }
}

static bool begins_under(const struct score_line *hands, struct fraction onset)
{
    for (uint32_t i = 0; i < hands->leaf_count; i++)
        if (fraction_equal(hands->leaves[i].onset, onset))
            return true;
    return false;
}

static bool is_printed(const struct auditor *at, const struct bar_rests *in, uint32_t foot)
{
    struct mark_owner owner = audit_owner(in->system->exercise, LINE_FEET, in->index, foot);
    return audit_find(at, owner, ROLE_HEAD) || audit_find(at, owner, ROLE_REST);
}

static void check_feet(struct auditor *at, const struct bar_rests *in)
{
    const struct score_line *feet = &in->bar->lines[LINE_FEET];
    for (uint32_t i = 1; i < feet->leaf_count; i++)
        if (is_printed(at, in, i) && feet->leaves[i - 1].rest && !is_printed(at, in, i - 1) &&
            !begins_under(&in->bar->lines[LINE_HANDS], feet->leaves[i].onset))
            audit_complain(at, 13, NULL, "bar %u: nothing says when %u of the feet begins",
                           in->index, i);
}

static void check_bar(struct auditor *at, const struct bar_rests *in)
{
    unsigned whole_bars = 0;
    for (unsigned line = 0; line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < in->bar->lines[line].leaf_count; i++) {
            const struct mark *rest = rest_of(at, in, line, i);
            if (!rest)
                continue;
            if (in->bar->lines[line].leaves[i].whole_bar) {
                check_middle(at, in, rest);
                whole_bars++;
            }
            if (line == LINE_HANDS && !seen(at, in, LINE_FEET))
                check_height(at, in, rest);
            check_white(at, in, rest);
            check_apart(at, in, rest);
        }
    if (whole_bars > 1)
        audit_complain(at, 13, NULL, "bar %u: two rests where all are silent", in->index);
}

void audit_rests(struct auditor *at, const struct page_system *system)
{
    for (uint32_t b = 0; b < system->bar_count; b++) {
        struct bar_rests in = {.system = system,
                               .index = system->first_bar + b,
                               .size = system->size ? system->size : 1000};
        in.bar = &audit_shown(at, system->exercise)->bars[in.index];
        check_bar(at, &in);
        check_feet(at, &in);
    }
}
