#include "audit.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Tolerances of the design, thousandths of a staff space. */
enum {
    TOUCH = 20,        /* less overlap than this is a rounding of boxes */
    OFF_CENTRE = 50,   /* rule 2 */
    OFF_MIDDLE = 180,  /* rule 2: a letter's optical centre from the middle of its box, at most */
    UNEQUAL = 20,      /* rule 3 */
    OFF_MARGIN = 10,   /* rule 4 */
    RAGGED_MOST = 600, /* per thousand of the line: a fuller one has to be justified */
    STEM_LEAST = 2500, /* rule 5: head to nearest beam edge */
    STEM_ROUNDING = 10
};

struct auditor {
    const struct page *page;
    const struct score *score;
    const struct metrics *metrics;
    struct audit *audit;
    const struct mark **by_owner; /* sorted */
    const struct mark **by_left;
};

static void complain(struct auditor *at, int rule, const struct mark *mark, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

static void complain(struct auditor *at, int rule, const struct mark *mark, const char *format, ...)
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

static int compare_owner(struct mark_owner a, struct mark_owner b)
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
    int order = compare_owner(left->owner, right->owner);
    return order ? order : (left > right) - (left < right);
}

static int order_by_left(const void *a, const void *b)
{
    const struct mark *left = *(const struct mark *const *)a;
    const struct mark *right = *(const struct mark *const *)b;
    return (left->box.left > right->box.left) - (left->box.left < right->box.left);
}

/* The marks of one stroke: [*first, result). */
static size_t marks_of(const struct auditor *at, struct mark_owner owner, size_t *first)
{
    size_t low = 0, high = at->page->mark_count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (compare_owner(at->by_owner[middle]->owner, owner) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    *first = low;
    while (low < at->page->mark_count && compare_owner(at->by_owner[low]->owner, owner) == 0)
        low++;
    return low;
}

static const struct mark *find_role(const struct auditor *at, struct mark_owner owner,
                                    enum mark_role role)
{
    size_t first, end = marks_of(at, owner, &first);
    for (; first < end; first++)
        if (at->by_owner[first]->role == role)
            return at->by_owner[first];
    return NULL;
}

static struct mark_owner owner_of(uint32_t exercise, unsigned line, uint32_t bar, uint32_t stroke)
{
    return (struct mark_owner){exercise & OWNER_NONE, line & 0xFF, bar, stroke};
}

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

static bool is_text_row(unsigned role)
{
    return role == ROLE_STICKING || role == ROLE_COUNT;
}

static bool same_stroke(const struct mark *a, const struct mark *b)
{
    return compare_owner(a->owner, b->owner) == 0;
}

static bool same_line(const struct mark *a, const struct mark *b)
{
    return a->owner.exercise == b->owner.exercise && a->owner.bar == b->owner.bar &&
           a->owner.line == b->owner.line;
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

enum touch { TOUCH_STROKE, TOUCH_LINE, TOUCH_VOICE, TOUCH_COLUMN, TOUCH_ANY };

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
    {ROLE_FLAG, ROLE_TIE, TOUCH_VOICE}, /* its box, not its ink: a tie is low at its ends */
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
    {ROLE_TUPLET_BRACKET, ROLE_TUPLET_BRACKET, TOUCH_STROKE},
    {ROLE_DYNAMIC, ROLE_DYNAMIC, TOUCH_STROKE}, /* the letters of one sign */
    {ROLE_HAIRPIN, ROLE_HAIRPIN, TOUCH_STROKE},
    {ROLE_ENDING, ROLE_ENDING, TOUCH_ANY},
    {ROLE_ENDING, ROLE_BAR_LINE, TOUCH_ANY},
    {ROLE_HEADING_RING, ROLE_HEADING_RING, TOUCH_ANY},
    {ROLE_HEADING_RING, ROLE_HEADING_NUMBER, TOUCH_ANY},
    {ROLE_TEMPO_NOTE, ROLE_TEMPO_NOTE, TOUCH_ANY},
};

static bool kin(const struct mark *a, const struct mark *b, unsigned when)
{
    return when == TOUCH_ANY || (when == TOUCH_STROKE && same_stroke(a, b)) ||
           (when == TOUCH_LINE && same_line(a, b)) || (when == TOUCH_VOICE && same_voice(a, b)) ||
           (when == TOUCH_COLUMN && same_column(a, b));
}

static bool may(const struct mark *a, const struct mark *b)
{
    if (a->role == ROLE_STAFF_LINE || b->role == ROLE_STAFF_LINE)
        return !is_text_row(a->role) && !is_text_row(b->role);
    if (is_key(a->role) && is_key(b->role))
        return true;
    if (is_grace(a->role) && is_grace(b->role) && same_stroke(a, b))
        return true;
    for (size_t i = 0; i < sizeof may_touch / sizeof *may_touch; i++)
        if (((may_touch[i].a == a->role && may_touch[i].b == b->role) ||
             (may_touch[i].a == b->role && may_touch[i].b == a->role)) &&
            kin(a, b, may_touch[i].when))
            return true;
    return false;
}

/* Ink above x of a slanted mark is a part of its box. */
static void span_at(const struct mark *mark, sp x, sp *top, sp *bottom)
{
    *top = mark->box.top;
    *bottom = mark->box.bottom;
    struct point from = mark->as.span.from, to = mark->as.span.to;
    if ((mark->shape != SHAPE_BEAM && mark->shape != SHAPE_LINE) || from.x == to.x ||
        from.y == to.y)
        return;
    x = x < from.x ? from.x : x > to.x ? to.x : x;
    sp y = from.y + (sp)((int64_t)(to.y - from.y) * (x - from.x) / (to.x - from.x));
    *top = y - mark->with.width / 2;
    *bottom = y + mark->with.width / 2;
}

static bool touches(const struct mark *a, const struct mark *b)
{
    if (a->box.left + TOUCH >= b->box.right || b->box.left + TOUCH >= a->box.right ||
        a->box.top + TOUCH >= b->box.bottom || b->box.top + TOUCH >= a->box.bottom)
        return false;
    sp a_top, a_bottom, b_top, b_bottom;
    sp left = a->box.left > b->box.left ? a->box.left : b->box.left;
    sp right = a->box.right < b->box.right ? a->box.right : b->box.right;
    for (int side = 0; side < 2; side++) {
        span_at(a, side ? right : left, &a_top, &a_bottom);
        span_at(b, side ? right : left, &b_top, &b_bottom);
        if (a_top + TOUCH < b_bottom && b_top + TOUCH < a_bottom)
            return true;
    }
    return false;
}

/* All pairs whose boxes overlap along the line, by a sweep from left to right. */
static void rule_touching(struct auditor *at)
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
            if (touches(open[k], mark) && !may(open[k], mark))
                complain(at, 1, mark, "touches a %s of stroke %u",
                         mark_role_word((enum mark_role)open[k]->role), open[k]->owner.stroke);
        }
        open_count = kept;
        open[open_count++] = mark;
    }
    memory_free(open);
}

/* ---- rule 2: rows ------------------------------------------------------------------------- */

static sp centre(const struct mark *mark)
{
    return (mark->box.left + mark->box.right) / 2;
}

/* A letter is centred for the eye, an `L` by its stem more than by its foot. */
static bool centred_on_head(const struct auditor *at, const struct mark *text, bool *any)
{
    size_t first, end = marks_of(at, text->owner, &first);
    sp eye = text->as.at.x + at->metrics->label_centre(at->metrics->self, text->with.label);
    for (; first < end; first++) {
        const struct mark *mark = at->by_owner[first];
        if (mark->role != ROLE_HEAD && mark->role != ROLE_GRACE_HEAD && mark->role != ROLE_REST)
            continue;
        *any = true;
        if (abs(centre(mark) - eye) <= OFF_CENTRE && abs(centre(text) - eye) <= OFF_MIDDLE)
            return true;
    }
    return false;
}

static void rule_rows(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (!is_text_row(mark->role))
            continue;
        sp row = mark->role == ROLE_COUNT        ? system->count_baseline
                 : mark->owner.line == LINE_FEET ? system->feet_sticking_baseline
                                                 : system->sticking_baseline;
        if (abs(mark->as.at.y - row) > OFF_CENTRE)
            complain(at, 2, mark, "off its row by %d", mark->as.at.y - row);
        bool any = false;
        if (mark->owner.stroke != OWNER_NONE && !centred_on_head(at, mark, &any) && any)
            complain(at, 2, mark, "off its head's centre");
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
static void rule_spacing(struct auditor *at, const struct page_system *system)
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
                complain(at, 3, NULL, "columns %zu and %zu of bar %u: spaces %d and %d", i, k,
                         columns[k].bar, gap, other);
            if (uneven && columns[i].pushed != columns[k].pushed &&
                (columns[i].pushed ? gap < other : other < gap))
                complain(at, 3, NULL, "bar %u: a pushed space is the narrower", columns[k].bar);
            if (!columns[k].pushed)
                break;
        }
    }
}

/* ---- rule 4: margin ----------------------------------------------------------------------- */

/* A system that does not take the whole line has its fellow beside it, staff and rows level. */
static void rule_beside(struct auditor *at, const struct page_system *system)
{
    sp whole = at->page->width - at->page->margin_left - at->page->margin_right;
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
        complain(at, 4, NULL, "bar %u: half a line with nothing level beside it",
                 system->first_bar);
    else if ((other->sticking_baseline && system->sticking_baseline &&
              other->sticking_baseline != system->sticking_baseline) ||
             (other->count_baseline && system->count_baseline &&
              other->count_baseline != system->count_baseline))
        complain(at, 4, NULL, "bar %u: rows that are not level side by side", system->first_bar);
}

static void rule_margin(struct auditor *at, const struct page_system *system)
{
    const struct score_exercise *exercise = &at->score->exercises[system->exercise];
    sp right = 0, left_margin = at->page->margin_left;
    sp right_margin = at->page->width - at->page->margin_right;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if ((mark->role == ROLE_BAR_LINE || mark->role == ROLE_METER) && mark->box.right > right)
            right = mark->box.right;
    }
    if (abs(right - system->right) > OFF_MARGIN)
        complain(at, 4, NULL, "bar %u: last bar line at %d, staff's end at %d", system->first_bar,
                 right, system->right);
    if (abs(system->left - system->column_left) > OFF_MARGIN ||
        (system->column_left != left_margin && system->column_right != right_margin))
        complain(at, 4, NULL, "bar %u: a column from %d to %d", system->first_bar,
                 system->column_left, system->column_right);
    if (!system->ragged && abs(system->right - system->column_right) > OFF_MARGIN)
        complain(at, 4, NULL, "bar %u: staff ends at %d, margin at %d", system->first_bar,
                 system->right, system->column_right);
    bool last = system->first_bar + system->bar_count == exercise->bar_count;
    int64_t width = system->right - system->left;
    if (system->ragged &&
        (!last || width * 1000 >= (int64_t)RAGGED_MOST * (system->column_right - system->left)))
        complain(at, 4, NULL, "bar %u: ragged, but not a short last line", system->first_bar);
}

/* ---- rule 5: beams, stems, tuplets, letters ----------------------------------------------- */

struct bar_line_marks {
    const struct score_bar *bar;
    const struct score_line *line;
    struct mark_owner owner; /* its stroke varies */
};

/* Beams over the stem, and the nearest edge to its head. */
static int beams_at(const struct auditor *at, const struct mark *stem, sp *nearest)
{
    struct mark_owner owner = stem->owner;
    owner.stroke = 0;
    size_t first, count = 0;
    marks_of(at, owner, &first);
    bool up = stem->as.span.to.y < stem->as.span.from.y;
    sp x = stem->as.span.from.x;
    for (size_t i = first; i < at->page->mark_count; i++) {
        const struct mark *mark = at->by_owner[i];
        if (!same_line(mark, stem))
            break;
        if (mark->role != ROLE_BEAM || mark->box.left > x || mark->box.right < x)
            continue;
        sp top, bottom;
        span_at(mark, x, &top, &bottom);
        sp edge = up ? bottom : top;
        if (!count || (up ? edge > *nearest : edge < *nearest))
            *nearest = edge;
        if (up ? stem->as.span.to.y <= bottom : stem->as.span.to.y >= top)
            count++;
    }
    return (int)count;
}

static void check_stem(struct auditor *at, const struct leaf *leaf, const struct mark *stem)
{
    sp nearest = 0;
    int wanted = leaf->value_log2 > 2 ? leaf->value_log2 - 2 : 0;
    int beams = beams_at(at, stem, &nearest);
    bool flag = find_role(at, stem->owner, ROLE_FLAG) != NULL;
    if (beams != (flag ? 0 : wanted))
        complain(at, 5, stem, "meets %d beams of %d", beams, flag ? 0 : wanted);
    if (!beams)
        return;
    sp root = stem->as.span.from.y, head_nearest = root;
    size_t first, end = marks_of(at, stem->owner, &first);
    bool up = stem->as.span.to.y < root;
    for (; first < end; first++) /* the head nearest the beam */
        if (at->by_owner[first]->role == ROLE_HEAD &&
            (up ? at->by_owner[first]->as.at.y < head_nearest
                : at->by_owner[first]->as.at.y > head_nearest))
            head_nearest = at->by_owner[first]->as.at.y;
    if (abs(head_nearest - nearest) < STEM_LEAST - STEM_ROUNDING)
        complain(at, 5, stem, "stem of %d under its beam", abs(head_nearest - nearest));
}

/* A beam's stems must all be of one beat. */
static void check_beam(struct auditor *at, const struct bar_line_marks *in, const struct mark *beam)
{
    int beat = -1;
    for (uint32_t i = 0; i < in->line->leaf_count; i++) {
        struct mark_owner owner = in->owner;
        owner.stroke = i;
        const struct mark *stem = find_role(at, owner, ROLE_STEM);
        if (!stem || stem->as.span.from.x < beam->box.left ||
            stem->as.span.from.x > beam->box.right)
            continue;
        if (beat >= 0 && in->line->leaves[i].beat != beat)
            complain(at, 5, beam, "a beam from beat %d into beat %u", beat + 1,
                     in->line->leaves[i].beat + 1);
        beat = in->line->leaves[i].beat;
    }
}

static bool hands_say(const struct score_bar *bar, const struct tuplet *tuplet)
{
    const struct score_line *hands = &bar->lines[LINE_HANDS];
    for (int i = 0; i < hands->tuplet_count; i++)
        if (hands->tuplets[i].actual == tuplet->actual &&
            hands->tuplets[i].normal == tuplet->normal &&
            fraction_equal(hands->tuplets[i].onset, tuplet->onset) &&
            fraction_equal(hands->tuplets[i].length, tuplet->length))
            return true;
    return false;
}

/* Something of the tuplet is on the page: the feet's may be all rests that are not shown. */
static bool visible(const struct auditor *at, struct mark_owner owner, const struct tuplet *tuplet)
{
    for (uint32_t i = tuplet->first; i < tuplet->end; i++) {
        owner.stroke = i;
        if (find_role(at, owner, ROLE_HEAD) || find_role(at, owner, ROLE_REST))
            return true;
    }
    return false;
}

static void check_tuplets(struct auditor *at, const struct bar_line_marks *in)
{
    for (int i = 0; i < in->line->tuplet_count; i++) {
        const struct tuplet *tuplet = &in->line->tuplets[i];
        struct mark_owner owner = in->owner;
        if (!tuplet->numbered || (owner.line == LINE_FEET && hands_say(in->bar, tuplet)) ||
            !visible(at, owner, tuplet))
            continue;
        owner.stroke = tuplet->first;
        if (!find_role(at, owner, ROLE_TUPLET_NUMBER))
            complain(at, 5, NULL, "bar %u: a tuplet of %u has no number", owner.bar,
                     tuplet->actual);
    }
}

static void check_leaf(struct auditor *at, const struct bar_line_marks *in, uint32_t index)
{
    const struct leaf *leaf = &in->line->leaves[index];
    struct mark_owner owner = in->owner;
    owner.stroke = index;
    const struct mark *head = find_role(at, owner, ROLE_HEAD);
    const struct mark *stem = find_role(at, owner, ROLE_STEM);
    bool joined = owner.line == LINE_FEET &&
                  at->score->exercises[owner.exercise].source->settings.stems == STEMS_UP;
    if (leaf->note && !head && !joined)
        complain(at, 5, NULL, "bar %u line %u: note %u has no head", owner.bar,
                 (unsigned)owner.line, index);
    if (head && leaf->value_log2 > 0 && !stem)
        complain(at, 5, head, "no stem");
    if (stem)
        check_stem(at, leaf, stem);
    if (head && leaf_struck(leaf) && leaf->note->letter && in->bar->settings->show->sticking &&
        !find_role(at, owner, ROLE_STICKING))
        complain(at, 5, head, "no letter");
}

static void rule_rhythm(struct auditor *at, const struct page_system *system)
{
    for (uint32_t b = 0; b < system->bar_count; b++) {
        uint32_t bar = system->first_bar + b;
        for (unsigned line = 0; line < LINE_COUNT; line++) {
            struct bar_line_marks in = {.bar = &at->score->exercises[system->exercise].bars[bar],
                                        .owner = owner_of(system->exercise, line, bar, 0)};
            in.line = &in.bar->lines[line];
            for (uint32_t i = 0; i < in.line->leaf_count; i++)
                check_leaf(at, &in, i);
            check_tuplets(at, &in);
            for (size_t i = 0; i < system->mark_count; i++) {
                const struct mark *mark = &at->page->marks[system->first_mark + i];
                if (mark->role == ROLE_BEAM && mark->owner.bar == bar && mark->owner.line == line)
                    check_beam(at, &in, mark);
            }
        }
    }
}

/* ---- rule 6: the page --------------------------------------------------------------------- */

static void rule_page(struct auditor *at)
{
    const struct page *page = at->page;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->box.right < mark->box.left) /* no ink */
            continue;
        if (mark->box.left < page->margin_left - OFF_MARGIN ||
            mark->box.right > page->width - page->margin_right + OFF_MARGIN ||
            mark->box.top < page->margin_top - OFF_MARGIN ||
            mark->box.bottom > page->height - page->margin_bottom + OFF_MARGIN)
            complain(at, 6, mark, "outside the margins");
        if (mark->role != ROLE_HEADING || mark->owner.exercise == OWNER_NONE ||
            at->score->exercises[mark->owner.exercise].bar_count == 0)
            continue;
        bool together = false;
        for (size_t s = 0; s < page->system_count; s++)
            together |= page->systems[s].exercise == mark->owner.exercise &&
                        page->systems[s].first_bar == 0;
        if (!together)
            complain(at, 6, mark, "a heading without its first line");
    }
}

void audit_page(const struct page *page, const struct score *score, const struct metrics *metrics,
                struct audit *audit)
{
    struct auditor at = {.page = page, .score = score, .metrics = metrics, .audit = audit};
    size_t count = page->mark_count;
    at.by_owner = memory_alloc((count + 1) * sizeof *at.by_owner);
    at.by_left = memory_alloc((count + 1) * sizeof *at.by_left);
    for (size_t i = 0; i < count; i++)
        at.by_owner[i] = at.by_left[i] = &page->marks[i];
    qsort(at.by_owner, count, sizeof *at.by_owner, order_by_owner);
    qsort(at.by_left, count, sizeof *at.by_left, order_by_left);
    rule_touching(&at);
    for (size_t i = 0; i < page->system_count; i++) {
        rule_rows(&at, &page->systems[i]);
        rule_spacing(&at, &page->systems[i]);
        rule_margin(&at, &page->systems[i]);
        rule_beside(&at, &page->systems[i]);
        rule_rhythm(&at, &page->systems[i]);
    }
    rule_page(&at);
    memory_free(at.by_owner);
    memory_free(at.by_left);
}
