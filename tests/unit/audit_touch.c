#include "audit_int.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>

/* ---- rule 1: what may touch --------------------------------------------------------------- */

/* Of the same stroke. */
static bool is_grace(unsigned role)
{
    return role >= ROLE_GRACE_HEAD && role <= ROLE_GRACE_LEGER;
}

static bool is_key(unsigned role)
{
    return role == ROLE_KEY_SIGN || role == ROLE_KEY_LINE;
}

static bool same_stroke(const struct mark *a, const struct mark *b)
{
    return audit_compare_owner(a->owner, b->owner) == 0;
}

static bool same_voice(const struct mark *a, const struct mark *b)
{
    return a->owner.exercise == b->owner.exercise && a->owner.line == b->owner.line;
}

static bool same_column(const struct mark *a, const struct mark *b)
{
    sp apart = (a->box.left + a->box.right) / 2 - (b->box.left + b->box.right) / 2;
    return a->owner.exercise == b->owner.exercise && a->owner.bar == b->owner.bar &&
           abs(apart) < 1500;
}

/* TOUCH_BOXES: in plain metrics, whose signs fill their boxes, and of one voice. */
enum touch { TOUCH_STROKE, TOUCH_LINE, TOUCH_VOICE, TOUCH_COLUMN, TOUCH_BOXES, TOUCH_ANY };

/* Pairs that may touch, and how near kin they must be. */
static const struct {
    uint8_t a, b, when;
} may_touch[] = {
    {ROLE_HEAD, ROLE_HEAD, TOUCH_COLUMN}, /* a chord; a foot under a hand */
    {ROLE_HEAD, ROLE_STEM, TOUCH_COLUMN},
    {ROLE_HEAD, ROLE_LEGER, TOUCH_COLUMN},
    {ROLE_HEAD, ROLE_GHOST, TOUCH_STROKE},
    {ROLE_HEAD, ROLE_GRACE_SLUR, TOUCH_STROKE},
    {ROLE_HEAD, ROLE_STEM_MARK, TOUCH_STROKE},
    {ROLE_HEAD, ROLE_TIE, TOUCH_VOICE},
    {ROLE_GHOST, ROLE_GHOST, TOUCH_STROKE}, /* of two heads of a chord, end to end */
    {ROLE_LEGER, ROLE_STEM, TOUCH_COLUMN},
    {ROLE_LEGER, ROLE_LEGER, TOUCH_COLUMN},
    {ROLE_LEGER, ROLE_REST, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_GHOST, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_DOT, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_GRACE_LEGER, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_GRACE_HEAD, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_GRACE_SLUR, TOUCH_STROKE},
    {ROLE_LEGER, ROLE_GRACE_FLAG, TOUCH_STROKE},
    {ROLE_STEM, ROLE_BEAM, TOUCH_LINE},
    {ROLE_STEM, ROLE_FLAG, TOUCH_STROKE},
    {ROLE_STEM, ROLE_STEM_MARK, TOUCH_STROKE},
    {ROLE_STEM, ROLE_GHOST, TOUCH_COLUMN}, /* a chord's stem passes a ghosted head's side */
    {ROLE_STEM, ROLE_TIE, TOUCH_VOICE},
    {ROLE_FLAG, ROLE_TIE, TOUCH_BOXES}, /* a tie is low at its ends, a flag thin at its own */
    {ROLE_FLAG, ROLE_STEM_MARK, TOUCH_STROKE},
    {ROLE_BEAM, ROLE_BEAM, TOUCH_LINE},
    {ROLE_TIE, ROLE_TIE, TOUCH_ANY},
    {ROLE_TIE, ROLE_BAR_LINE, TOUCH_ANY},
    {ROLE_TIE, ROLE_REPEAT_DOT, TOUCH_ANY},
    {ROLE_TIE, ROLE_METER, TOUCH_ANY},
    {ROLE_TIE, ROLE_DOT, TOUCH_ANY},
    {ROLE_TIE, ROLE_GRACE_SLUR, TOUCH_ANY},
    {ROLE_BAR_LINE, ROLE_BAR_LINE, TOUCH_LINE},
    {ROLE_METER, ROLE_METER, TOUCH_ANY},
    {ROLE_TUPLET_NUMBER, ROLE_TUPLET_NUMBER, TOUCH_STROKE},
    {ROLE_ROLL_NUMBER, ROLE_ROLL_NUMBER, TOUCH_STROKE},
    {ROLE_TUPLET_BRACKET, ROLE_TUPLET_BRACKET, TOUCH_STROKE},
    {ROLE_DYNAMIC, ROLE_DYNAMIC, TOUCH_STROKE}, /* the letters of one sign */
    {ROLE_HAIRPIN, ROLE_HAIRPIN, TOUCH_STROKE},
    {ROLE_BAR_REPEAT, ROLE_BAR_LINE, TOUCH_STROKE}, /* that of two bars stands on one */
    {ROLE_FIGURE_HEAD, ROLE_FIGURE, TOUCH_VOICE},
    {ROLE_FIGURE, ROLE_FIGURE, TOUCH_VOICE}, /* heads, stems and beams of one rhythm */
    {ROLE_BAR_REST, ROLE_BAR_REST, TOUCH_STROKE},
    {ROLE_ENDING, ROLE_ENDING, TOUCH_ANY},
    {ROLE_ENDING, ROLE_BAR_LINE, TOUCH_ANY},
    {ROLE_MARK, ROLE_MARK_BOX, TOUCH_STROKE},
    {ROLE_HEADING_RING, ROLE_HEADING_RING, TOUCH_ANY},
    {ROLE_PLAN_RIM, ROLE_PLAN_RIM, TOUCH_ANY}, /* a cymbal stands over a drum */
    {ROLE_PLAN_RIM, ROLE_PLAN_PEDAL, TOUCH_ANY},
    {ROLE_PLAN_PEDAL, ROLE_PLAN_PEDAL, TOUCH_ANY},
    {ROLE_PLAN_SCALE, ROLE_PLAN_SCALE, TOUCH_ANY},
    {ROLE_TEMPO_NOTE, ROLE_TEMPO_NOTE, TOUCH_ANY},
};

static bool kin(const struct auditor *at, const struct mark *a, const struct mark *b, unsigned when)
{
    return when == TOUCH_ANY || (when == TOUCH_STROKE && same_stroke(a, b)) ||
           (when == TOUCH_LINE && audit_same_line(a, b)) ||
           (when == TOUCH_VOICE && same_voice(a, b)) ||
           (when == TOUCH_BOXES && !at->outlines && same_voice(a, b)) ||
           (when == TOUCH_COLUMN && same_column(a, b));
}

/* A mark on one hand's stem may touch the other hand's head if that is also its own: both hands
 * strike one drum. */
static bool at_shared_head(const struct auditor *at, const struct mark *a, const struct mark *b)
{
    const struct mark *head = a->role == ROLE_HEAD ? a : b, *sign = a->role == ROLE_HEAD ? b : a;
    const struct mark *own = audit_find(at, sign->owner, ROLE_HEAD);
    return head->role == ROLE_HEAD && sign->role == ROLE_STEM_MARK && own &&
           own->as.at.x == head->as.at.x && own->as.at.y == head->as.at.y;
}

static bool inside_ring(const struct box *box, const struct mark *ring)
{
    double across = fmax(ring->as.at.x - box->left, box->right - ring->as.at.x);
    double down = fmax(ring->as.at.y - box->top, box->bottom - ring->as.at.y);
    return hypot(across, down) < ring->radius;
}

/* A name of the kit's plan may stand on a rim or pedal that is not seen there, since a ring drawn
 * later covers it. */
static bool covered(const struct auditor *at, const struct mark *a, const struct mark *b)
{
    const struct mark *name = a->role == ROLE_PLAN_LABEL ? a : b, *below = a == name ? b : a;
    if (name->role != ROLE_PLAN_LABEL ||
        (below->role != ROLE_PLAN_RIM && below->role != ROLE_PLAN_PEDAL))
        return false;
    for (const struct mark *mark = below + 1; mark < at->page->marks + at->page->mark_count; mark++)
        if (mark->role == ROLE_PLAN_RIM && inside_ring(&name->box, mark))
            return true;
    return false;
}

static bool may(const struct auditor *at, const struct mark *a, const struct mark *b)
{
    if (a->role == ROLE_STAFF_LINE || b->role == ROLE_STAFF_LINE)
        return !audit_is_row(a->role) && !audit_is_row(b->role);
    if ((is_key(a->role) && is_key(b->role)) || at_shared_head(at, a, b) || covered(at, a, b))
        return true;
    if (is_grace(a->role) && is_grace(b->role) && same_stroke(a, b))
        return true;
    for (size_t i = 0; i < sizeof may_touch / sizeof *may_touch; i++)
        if (((may_touch[i].a == a->role && may_touch[i].b == b->role) ||
             (may_touch[i].a == b->role && may_touch[i].b == a->role)) &&
            kin(at, a, b, may_touch[i].when))
            return true;
    return false;
}

static bool touches(const struct auditor *at, const struct mark *a, const struct mark *b)
{
    return a->box.left + TOUCH < b->box.right && b->box.left + TOUCH < a->box.right &&
           a->box.top + TOUCH < b->box.bottom && b->box.top + TOUCH < a->box.bottom &&
           outlines_touch(at->outlines, at->metrics->defaults, a, b, TOUCH);
}

/* All pairs whose boxes overlap along the line, by a sweep from left to right. */
void audit_touching(struct auditor *at)
{
    size_t count = at->page->mark_count, open_count = 0;
    const struct mark **open = memory_alloc((count + 1) * sizeof *open);
    for (size_t i = 0; i < count; i++) {
        const struct mark *mark = at->by_left[i];
        size_t kept = 0;
        for (size_t k = 0; k < open_count; k++) {
            if (open[k]->box.right <= mark->box.left)
                continue;
            open[kept++] = open[k];
            if (!may(at, open[k], mark) && touches(at, open[k], mark))
                audit_complain(at, 1, mark, "touches a %s of stroke %u",
                               mark_role_word((enum mark_role)open[k]->role),
                               open[k]->owner.stroke);
        }
        open_count = kept;
        open[open_count++] = mark;
    }
    memory_free(open);
}
