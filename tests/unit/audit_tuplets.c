#include "audit_int.h"

#include <stdlib.h>

/*
 * Rule 5, how tuplets are beamed and numbered:
 *
 *     a beam joins all short notes of a tuplet; a beat cuts it only where one of the tuplet's own
 *     onsets falls on that beat, and a tuplet inside is one unit;
 *
 *     a number without a bracket stands over the middle of a beam that has exactly its notes; a
 *     bracket reaches from where its tuplet begins to the last unit of its time.
 */

/* ---- beams ---------------------------------------------------------------------------------- */

static uint16_t outermost(const struct score_line *line, uint32_t leaf)
{
    uint16_t tuplet = line->leaves[leaf].tuplet;
    while (tuplet != LEAF_NO_TUPLET && line->tuplets[tuplet].outer != LEAF_NO_TUPLET)
        tuplet = line->tuplets[tuplet].outer;
    return tuplet;
}

bool audit_cuts_beam(const struct bar_line_marks *in, uint32_t leaf)
{
    const struct score_line *line = in->line;
    const struct leaf *here = &line->leaves[leaf];
    uint16_t whole = outermost(line, leaf);
    if (leaf == 0 || here->beat == line->leaves[leaf - 1].beat)
        return false;
    if (whole == LEAF_NO_TUPLET || whole != outermost(line, leaf - 1))
        return true;
    for (uint16_t i = here->tuplet; i != whole; i = line->tuplets[i].outer)
        if (line->tuplets[i].first < leaf)
            return false;
    return fraction_equal(here->onset, in->bar->beats[here->beat].start);
}

static const struct mark *stem_of(const struct auditor *at, const struct bar_line_marks *in,
                                  uint32_t leaf)
{
    struct mark_owner owner = in->owner;
    owner.stroke = leaf;
    return audit_find(at, owner, ROLE_STEM);
}

/* Whether one beam of the line meets both stems. */
static bool joined(const struct auditor *at, const struct bar_line_marks *in,
                   const struct mark *stem, const struct mark *next)
{
    for (size_t i = 0; i < in->system->mark_count; i++) {
        const struct mark *beam = &at->page->marks[in->system->first_mark + i];
        if (beam->role == ROLE_BEAM && audit_same_line(beam, stem) &&
            beam->box.left <= stem->as.ends.from.x && beam->box.right >= next->as.ends.from.x)
            return true;
    }
    return false;
}

static void check_joined(struct auditor *at, const struct bar_line_marks *in, uint32_t leaf)
{
    const struct leaf *a = &in->line->leaves[leaf - 1], *b = &in->line->leaves[leaf];
    if (!a->note || !b->note || a->value_log2 < 3 || b->value_log2 < 3 ||
        outermost(in->line, leaf) == LEAF_NO_TUPLET ||
        outermost(in->line, leaf) != outermost(in->line, leaf - 1) || audit_cuts_beam(in, leaf))
        return;
    const struct mark *stem = stem_of(at, in, leaf - 1), *next = stem_of(at, in, leaf);
    if (stem && next && !joined(at, in, stem, next))
        audit_complain(at, 5, next, "no beam joins it to its tuplet");
}

/* ---- numbers and brackets ------------------------------------------------------------------- */

/* The part of a tuplet that shows: its first and last visible leaf. */
struct seen {
    uint32_t first, last;
    bool any, rest;
};

static struct seen seen_of(const struct auditor *at, struct mark_owner owner,
                           const struct tuplet *tuplet)
{
    struct seen seen = {0};
    for (owner.stroke = tuplet->first; owner.stroke < tuplet->end; owner.stroke++) {
        bool rest = audit_find(at, owner, ROLE_REST);
        if (!rest && !audit_find(at, owner, ROLE_HEAD))
            continue;
        if (!seen.any)
            seen.first = owner.stroke;
        seen.last = owner.stroke;
        seen.rest |= rest;
        seen.any = true;
    }
    return seen;
}

static bool same_tuplet(const struct tuplet *a, const struct tuplet *b)
{
    return a->actual == b->actual && a->normal == b->normal && fraction_equal(a->onset, b->onset) &&
           fraction_equal(a->length, b->length);
}

/* Whether the hands' number is enough for a tuplet of the feet: each of its notes stands under a
   note or rest of theirs, and nothing else of it is seen. */
static bool hands_say(const struct auditor *at, const struct bar_line_marks *in,
                      const struct tuplet *tuplet)
{
    const struct score_line *hands = &in->bar->lines[LINE_HANDS];
    bool same = false;
    for (int i = 0; i < hands->tuplet_count; i++)
        same |= same_tuplet(&hands->tuplets[i], tuplet);
    if (!same || seen_of(at, in->owner, tuplet).rest)
        return false;
    for (uint32_t i = tuplet->first; i < tuplet->end; i++) {
        bool under = !in->line->leaves[i].note;
        for (uint32_t h = 0; h < hands->leaf_count; h++)
            under |= fraction_equal(hands->leaves[h].onset, in->line->leaves[i].onset);
        if (!under)
            return false;
    }
    return true;
}

static void join(struct box *box, struct box with)
{
    box->left = box->left < with.left ? box->left : with.left;
    box->right = box->right > with.right ? box->right : with.right;
}

/* Of a role's marks; false without any. */
static bool extent_of(const struct auditor *at, struct mark_owner owner, enum mark_role role,
                      struct box *box)
{
    *box = (struct box){.left = INT32_MAX, .right = INT32_MIN};
    size_t first, end = audit_marks_of(at, owner, &first);
    for (; first < end; first++)
        if (at->by_owner[first]->role == role)
            join(box, at->by_owner[first]->box);
    return box->left < box->right;
}

static sp middle_of(struct box box)
{
    return (box.left + box.right) / 2;
}

/* A number alone: over the middle of a beam from the tuplet's first note to its last. */
static void check_alone(struct auditor *at, const struct bar_line_marks *in,
                        const struct tuplet *tuplet, const struct mark *number, struct box digits)
{
    const struct mark *first = stem_of(at, in, tuplet->first);
    const struct mark *last = stem_of(at, in, tuplet->end - 1);
    if (!first || !last || first == last || !joined(at, in, first, last)) {
        audit_complain(at, 5, number, "a number alone without a beam of its notes");
        return;
    }
    for (size_t i = 0; i < in->system->mark_count; i++) {
        const struct mark *beam = &at->page->marks[in->system->first_mark + i];
        if (beam->role == ROLE_BEAM && audit_same_line(beam, number) &&
            beam->box.left < last->box.right && beam->box.right > first->box.left &&
            (beam->box.left < first->box.left - OFF_LENGTH ||
             beam->box.right > last->box.right + OFF_LENGTH))
            audit_complain(at, 5, number, "a number alone over a part of its beam");
    }
    sp off = middle_of(digits) - (first->box.left + last->box.right) / 2;
    if (abs(off) > OFF_BEAM)
        audit_complain(at, 5, number, "%d off the middle of its beam", off);
}

/* Where an instant of the bar falls between its columns, the first of which is its beginning. */
static sp instant(const struct auditor *at, const struct bar_line_marks *in, struct fraction onset)
{
    const struct page_system *system = in->system;
    double wanted = fraction_to_double(onset), now = fraction_to_double(in->bar->start);
    sp x = 0;
    for (size_t i = 0; i < system->column_count; i++) {
        const struct page_column *column = &system->columns[i];
        if (column->bar != in->owner.bar)
            continue;
        double length = (double)column->duration_top / column->duration_bottom;
        sp next = column->closes ? system->right : column[1].x;
        for (size_t k = 0; column->closes && k < system->mark_count; k++) {
            const struct mark *mark = &at->page->marks[system->first_mark + k];
            if ((mark->role == ROLE_BAR_LINE || mark->role == ROLE_REPEAT_DOT) &&
                mark->box.left > column->x && mark->box.left < next)
                next = mark->box.left;
        }
        x = column->x + (sp)((next - column->x) * (wanted - now) / length);
        if (wanted < now + length)
            return x;
        now += length;
    }
    return x;
}

static void check_bracket(struct auditor *at, const struct bar_line_marks *in,
                          const struct tuplet *tuplet, const struct mark *number, struct box digits,
                          struct box bracket)
{
    int size = in->system->size ? in->system->size : 1000;
    const struct box *head = &at->metrics->glyphs[GLYPH_HEAD_BLACK].ink;
    sp half = (head->right - head->left) * size / 2000;
    struct fraction end = fraction_add(tuplet->onset, tuplet->length);
    struct fraction unit = fraction_divide(tuplet->length, (struct fraction){tuplet->actual, 1});
    sp begins = instant(at, in, tuplet->onset) - half;
    sp last = instant(at, in, fraction_subtract(end, unit)) + half;
    sp room = instant(at, in, end) - half - 350 * size / 1000; /* it keeps off what follows */
    if (bracket.left > begins + OFF_LENGTH)
        audit_complain(at, 5, number, "its bracket begins %d late", bracket.left - begins);
    if (bracket.right < (last < room ? last : room) - OFF_LENGTH)
        audit_complain(at, 5, number, "its bracket ends %d short", last - bracket.right);
    if (abs(middle_of(digits) - middle_of(bracket)) > OFF_BEAM)
        audit_complain(at, 5, number, "off the middle of its bracket");
}

static void check_number(struct auditor *at, const struct bar_line_marks *in,
                         const struct tuplet *tuplet)
{
    struct mark_owner owner = in->owner;
    struct box digits, bracket;
    owner.stroke = tuplet->first;
    const struct mark *number = audit_find(at, owner, ROLE_TUPLET_NUMBER);
    if (!number) {
        audit_complain(at, 5, NULL, "bar %u: a tuplet of %u has no number", owner.bar,
                       tuplet->actual);
        return;
    }
    for (int i = 0; i < in->line->tuplet_count; i++) /* all begin here: their signs are one's */
        if (&in->line->tuplets[i] != tuplet && in->line->tuplets[i].first == tuplet->first)
            return;
    extent_of(at, owner, ROLE_TUPLET_NUMBER, &digits);
    if (extent_of(at, owner, ROLE_TUPLET_BRACKET, &bracket))
        check_bracket(at, in, tuplet, number, digits, bracket);
    else
        check_alone(at, in, tuplet, number, digits);
}

void audit_tuplets(struct auditor *at, const struct bar_line_marks *in)
{
    for (uint32_t i = 1; i < in->line->leaf_count; i++)
        check_joined(at, in, i);
    for (int i = 0; i < in->line->tuplet_count; i++) {
        const struct tuplet *tuplet = &in->line->tuplets[i];
        if (tuplet->numbered && seen_of(at, in->owner, tuplet).any &&
            !(in->owner.line == LINE_FEET && hands_say(at, in, tuplet)))
            check_number(at, in, tuplet);
    }
}
