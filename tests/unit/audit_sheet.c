#include "audit_int.h"

#include <stdlib.h>
#include <string.h>

/* ---- rule 17: the pages of a lesson together ------------------------------------------------ */

enum {
    FOOT_LEVEL = 1500, /* feet of two pages, at most */
    TWO_THIRDS = 667,  /* per thousand of a page */
    FULL = 850,
    GROWN = 1000,     /* all that gaps grow ... */
    GROWN_BARE = 500, /* ... on a page that stays mostly white */
    APART = 1000      /* headings that stand below each other, not beside */
};

static bool is_frame(const struct mark *mark)
{
    return mark->role == ROLE_FOOT || mark->role == ROLE_RUNNING_HEAD || mark->role == ROLE_RULE ||
           mark->box.right < mark->box.left;
}

static bool ends_its_exercise(const struct page_system *system)
{
    return system->first_bar + system->bar_count == system->shown->bar_count;
}

/* The exercises that stand whole at the page's top and at its foot, with what follows them. */
static void find_edges(const struct page *page, struct audit_sheet *sheet)
{
    sp first = INT32_MAX, second = INT32_MAX, last = INT32_MIN;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *ring = &page->marks[i];
        if (ring->role != ROLE_HEADING_RING || ring->owner.exercise == OWNER_NONE)
            continue;
        if (ring->box.top < first - APART) {
            second = first;
            first = ring->box.top;
        } else if (ring->box.top > first + APART && ring->box.top < second) {
            second = ring->box.top;
        }
        last = ring->box.top > last + APART ? ring->box.top : last;
    }
    if (!page->system_count || second == INT32_MAX)
        return;
    const struct page_system *end = &page->systems[page->system_count - 1];
    if (page->systems[0].first_bar == 0 && page->systems[0].box.top > first)
        sheet->first_height = second - first;
    if (end->box.top > last && ends_its_exercise(end))
        sheet->last_height = sheet->foot - last;
}

static struct audit_sheet sheet_of(const struct page *page)
{
    struct audit_sheet sheet = {.number = page->number, .fill = page->fill, .foot = page->margin};
    for (size_t i = 0; i < page->mark_count; i++)
        if (!is_frame(&page->marks[i]) && page->marks[i].box.bottom > sheet.foot)
            sheet.foot = page->marks[i].box.bottom;
    sheet.height = page->height - 2 * page->margin;
    find_edges(page, &sheet);
    return sheet;
}

/* Whether its gaps have grown all they may. */
static bool is_grown(const struct audit_sheet *sheet)
{
    return sheet->fill.growth >= (sheet->fill.used < TWO_THIRDS ? GROWN_BARE : GROWN);
}

static void rule_feet(struct auditor *at, const struct audit_sheet *a, const struct audit_sheet *b)
{
    const struct audit_sheet *shorter = a->foot < b->foot ? a : b;
    if (abs(a->foot - b->foot) > FOOT_LEVEL && shorter->fill.growth && !is_grown(shorter))
        audit_complain(at, 17, NULL, "pages end at %d and %d, though gaps could grow", a->foot,
                       b->foot);
}

/* Whether an exercise of this height, moved from the one page to the other, makes both full. */
static bool helps(const struct audit_sheet *from, const struct audit_sheet *to, sp height)
{
    int moved = (int)((int64_t)height * 1000 / from->height);
    return height && from->fill.natural - moved >= TWO_THIRDS &&
           to->fill.natural + moved >= TWO_THIRDS && to->fill.natural + moved <= 1000;
}

static void rule_balance(struct auditor *at, const struct audit_sheet *a,
                         const struct audit_sheet *b)
{
    bool left = a->fill.used < TWO_THIRDS && b->fill.natural >= FULL;
    bool right = b->fill.used < TWO_THIRDS && a->fill.natural >= FULL;
    if ((left && helps(b, a, b->first_height)) || (right && helps(a, b, a->last_height)))
        audit_complain(at, 17, NULL, "filled by %d per thousand, the page before by %d",
                       b->fill.used, a->fill.used);
}

/* ---- one page ---------------------------------------------------------------------------------
 */

static void rule_staves(struct auditor *at)
{
    const struct page_system *kind = NULL;
    for (size_t i = 0; i < at->page->system_count; i++) {
        const struct page_system *system = &at->page->systems[i];
        if (system->shown->source->settings.page->staff_lines != STAFF_LINES_AUTO)
            continue;
        kind = kind ? kind : system;
        if ((system->staff_top == system->staff_bottom) != (kind->staff_top == kind->staff_bottom))
            audit_complain(at, 17, NULL, "bar %u: another kind of staff than the first",
                           system->first_bar);
    }
}

/* The exercise's tempo, beside its heading: not one over a bar. */
static bool is_heading_tempo(const struct mark *mark)
{
    return mark->role == ROLE_TEMPO && mark->owner.bar == OWNER_NONE;
}

/* A tempo in the same notes, straight, and no other in its bars. */
static bool has_tempo_of(const struct score_exercise *exercise, const struct score_exercise *first)
{
    const struct settings *own = &exercise->source->settings, *its = &first->source->settings;
    const struct fraction straight = {1, 2};
    if (own->tempo != its->tempo || own->meter != its->meter || exercise->sequence ||
        own->show->tempo == SHOW_TEMPO_EACH)
        return false;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        if (bar->settings->tempo != own->tempo || bar->pulse || bar->pace_count ||
            !fraction_equal(bar->settings->swing, straight))
            return false;
    }
    return true;
}

static void rule_tempo(struct auditor *at)
{
    const struct score *score = at->score;
    const struct mark *first = NULL;
    for (uint32_t i = 0; i < score->exercise_count; i++)
        if (!has_tempo_of(&score->exercises[i], &score->exercises[0]))
            return;
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *mark = &at->page->marks[i];
        if (!is_heading_tempo(mark))
            continue;
        first = first ? first : mark;
        if (mark->owner.exercise != first->owner.exercise)
            audit_complain(at, 17, mark, "a tempo that all exercises share is printed again");
    }
}

/* ---- the key ----------------------------------------------------------------------------------
 */

/* Which voices' heads look different: as many as the key has items, less that of ghost notes. */
static size_t looks_of(const struct score *score)
{
    const struct voice *voices = score->lesson->kit.voices;
    size_t looks = 0;
    for (size_t i = 0; i < score->lesson->kit.voice_count; i++) {
        bool first = score->voices_used[i];
        for (size_t k = 0; k < i && first; k++)
            first = !score->voices_used[k] || voices[k].line2 != voices[i].line2 ||
                    voices[k].head != voices[i].head || voices[k].sign != voices[i].sign;
        looks += first;
    }
    return looks;
}

static void rule_key(struct auditor *at)
{
    const struct mark *title = NULL;
    label_id dots = metrics_label(at->metrics, TEXT_KEY_LABEL, "\u2026", strlen("\u2026"));
    size_t items = 0;
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *mark = &at->page->marks[i];
        title = mark->role == ROLE_KEY_TITLE ? mark : title;
        items += mark->role == ROLE_KEY_LABEL && mark->with.label != dots; /* of a cut name */
    }
    size_t ghosts = at->score->ghosts_used && at->score->voices_used[VOICE_SNARE];
    if (title && items != looks_of(at->score) + ghosts)
        audit_complain(at, 17, title, "a key of %zu items for %zu looks of notes", items,
                       looks_of(at->score) + ghosts);
}

/* ---- all --------------------------------------------------------------------------------------
 */

void audit_sheets(struct auditor *at)
{
    struct audit_sheet sheet = sheet_of(at->page), *before = &at->audit->before;
    if (before->number && before->number + 1 == sheet.number) {
        rule_feet(at, before, &sheet);
        rule_balance(at, before, &sheet);
    }
    *before = sheet;
    rule_staves(at);
    rule_tempo(at);
    rule_key(at);
}
