#include "audit_int.h"

#include <stdio.h>
#include <string.h>

#define POINTS_LEAST 7.0
#define POINTS_ROUNDING 0.05

/*
 * Rule 12. The counts of an exercise are all wide or all condensed, and condensed only where the
 * wide ones would not have room. In their rows syllables and letters
 * keep their least white, and no text is too small to read.
 */

struct counted {
    const struct mark *mark;
    const struct count *count;
    bool tight;
};

/* The counts of one exercise on one page, summed up. */
struct cuts {
    uint32_t exercise;
    bool wide, tight, crowded; /* some count is; wide ones would be too near somewhere */
    bool even;                 /* tuplets of the feet are not counted */
    const struct mark *first;
};

static label_id label_of(const struct auditor *at, const struct count *count, bool tight)
{
    char text[64];
    enum text_style style = !count->struck ? (tight ? TEXT_COUNT_SILENT_TIGHT : TEXT_COUNT_SILENT)
                            : count->beat_number ? (tight ? TEXT_COUNT_BEAT_TIGHT : TEXT_COUNT_BEAT)
                                                 : (tight ? TEXT_COUNT_TIGHT : TEXT_COUNT);
    snprintf(text, sizeof text, count->struck ? "%s" : "(%s)", count->text);
    return metrics_label(at->metrics, style, text, strlen(text));
}

/* If one of the feet's tuplets in an exercise cannot be counted, none of them is. */
static bool is_even(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        if (!exercise->bars[b].hands_apart && !bar_counts_feet(&exercise->bars[b]))
            return true;
    return false;
}

static bool is_shown(const struct score_bar *bar, const struct count *count, bool even)
{
    enum show_counts counts = bar->settings->show->counts;
    if (even && count_is_feets_tuplet(bar, count))
        return false;
    return counts == SHOW_COUNTS_GRID || (counts == SHOW_COUNTS_NOTES && count->struck);
}

/* The syllable of the bar that is drawn next after `after` in the system's marks. */
static const struct mark *next_syllable(const struct auditor *at, const struct page_system *system,
                                        uint32_t bar, size_t *after)
{
    while (*after < system->mark_count) {
        const struct mark *mark = &at->page->marks[system->first_mark + (*after)++];
        if (mark->role == ROLE_SYLLABLE && mark->owner.bar == bar)
            return mark;
    }
    return NULL;
}

/* Where its ink ends to the right of where it is centred; of the wide cut where it is condensed. */
static sp wide_reach(const struct auditor *at, const struct page_system *system,
                     const struct counted *counted, int side)
{
    label_id label = label_of(at, counted->count, false);
    struct box ink = metrics_of_label(at->metrics, label)->ink;
    sp centre = at->metrics->label_centre(at->metrics->self, label);
    return (side < 0 ? centre - ink.left : ink.right - centre) * system->size / 1000;
}

static sp eye_of(const struct auditor *at, const struct mark *mark)
{
    sp centre = at->metrics->label_centre(at->metrics->self, mark->with.label);
    return mark->as.at.x + (mark->scale ? centre * mark->scale / 1000 : centre);
}

static bool wide_is_crowded(const struct auditor *at, const struct page_system *system,
                            const struct counted *a, const struct counted *b)
{
    sp room = COUNT_ROOM * system->size / 1000;
    return eye_of(at, b->mark) - wide_reach(at, system, b, -1) - eye_of(at, a->mark) -
               wide_reach(at, system, a, 1) <
           room;
}

/* Beyond these the bar's wide counts would come too near the bar lines. */
static bool ends_are_crowded(const struct auditor *at, const struct page_system *system,
                             uint32_t bar, const struct counted *first, const struct counted *last)
{
    sp room = COUNT_ROOM / 2 * system->size / 1000;
    sp left = eye_of(at, first->mark) - wide_reach(at, system, first, -1) - room;
    sp right = eye_of(at, last->mark) + wide_reach(at, system, last, 1) + room;
    bool crowded = false;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        bool here = mark->owner.bar == bar, before = bar && mark->owner.bar == bar - 1;
        if (mark->role != ROLE_BAR_LINE && mark->role != ROLE_REPEAT_DOT)
            continue;
        crowded |= here && mark->box.left > last->mark->box.left && right > mark->box.left;
        crowded |= before && mark->box.left < first->mark->box.left && left < mark->box.right;
    }
    return crowded;
}

static sp least_white(const struct counted *last, const struct counted *here)
{
    bool number = here->count->beat_number || (last->count && last->count->beat_number);
    return !here->tight ? COUNT_ROOM : number ? BEAT_LEAST : COUNT_LEAST;
}

static void bar_counts(struct auditor *at, const struct page_system *system, uint32_t index,
                       struct cuts *cuts)
{
    const struct score_bar *bar = &audit_shown(at, system->exercise)->bars[index];
    struct counted first = {NULL, NULL, false}, last = first;
    size_t after = 0;
    for (size_t i = 0; i < bar->count_count; i++) {
        if (!is_shown(bar, &bar->counts[i], cuts->even))
            continue;
        struct counted here = {next_syllable(at, system, index, &after), &bar->counts[i], false};
        if (!here.mark) {
            audit_complain(at, 12, NULL, "bar %u: a count is missing", index);
            return;
        }
        here.tight = here.mark->with.label == label_of(at, here.count, true);
        if (!here.tight && here.mark->with.label != label_of(at, here.count, false))
            audit_complain(at, 12, here.mark, "another text than '%s'", here.count->text);
        *(here.tight ? &cuts->tight : &cuts->wide) = true;
        cuts->first = cuts->first ? cuts->first : here.mark;
        sp least = least_white(&last, &here) * system->size / 1000;
        if (last.mark && here.mark->box.left - last.mark->box.right < least - TOUCH)
            audit_complain(at, 12, here.mark, "%d after the count before it",
                           here.mark->box.left - last.mark->box.right);
        cuts->crowded |= last.mark && wide_is_crowded(at, system, &last, &here);
        first = first.mark ? first : here;
        last = here;
    }
    if (last.mark)
        cuts->crowded |= ends_are_crowded(at, system, index, &first, &last);
}

void audit_counts(struct auditor *at, uint32_t exercise)
{
    struct cuts cuts = {.exercise = exercise};
    uint32_t bars = 0;
    for (size_t s = 0; s < at->page->system_count; s++) {
        const struct page_system *system = &at->page->systems[s];
        if (system->exercise != exercise)
            continue;
        cuts.even = bars ? cuts.even : is_even(audit_shown(at, exercise));
        bars += system->bar_count;
        at->metrics->staff_size(at->metrics->self, system->size);
        for (uint32_t b = 0; b < system->bar_count; b++)
            bar_counts(at, system, system->first_bar + b, &cuts);
        at->metrics->staff_size(at->metrics->self, 1000);
    }
    if (cuts.wide && cuts.tight)
        audit_complain(at, 12, cuts.first, "counts of two cuts in one exercise");
    if (cuts.tight && !cuts.wide && !cuts.crowded && bars == audit_shown(at, exercise)->bar_count)
        audit_complain(at, 12, cuts.first, "condensed counts where wide ones have room");
}

/* The nearest of its kind and row to the right. */
static const struct mark *next_in_row(const struct auditor *at, const struct page_system *system,
                                      const struct mark *letter)
{
    const struct mark *next = NULL;
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        if (mark->role == letter->role && mark->as.at.y == letter->as.at.y &&
            mark->as.at.x > letter->as.at.x && (!next || mark->as.at.x < next->as.at.x))
            next = mark;
    }
    return next;
}

void audit_letters(struct auditor *at, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++) {
        const struct mark *mark = &at->page->marks[system->first_mark + i];
        sp least = mark->role == ROLE_STICKING      ? LETTER_GAP
                   : mark->role == ROLE_ROLL_NUMBER ? NUMBER_GAP
                                                    : 0;
        const struct mark *next = least ? next_in_row(at, system, mark) : NULL;
        if (next && next->box.left - mark->box.right < least * system->size / 1000 - TOUCH)
            audit_complain(at, 12, mark, "%d before the next of its row",
                           next->box.left - mark->box.right);
    }
}

static bool has_sticking(const struct score_line *line)
{
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (line->leaves[i].note && line->leaves[i].note->letter &&
            !is_foot_letter(line->leaves[i].note->letter))
            return true;
    return false;
}

static bool feet_have_sticking(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        if (!exercise->bars[b].hands_apart && has_sticking(&exercise->bars[b].lines[LINE_FEET]))
            return true;
    return false;
}

static void bar_feet(struct auditor *at, uint32_t exercise, uint32_t index)
{
    const struct score_bar *bar = &audit_shown(at, exercise)->bars[index];
    const struct score_line *feet = &bar->lines[LINE_FEET];
    for (uint32_t i = 0; i < feet->leaf_count; i++)
        if (bar->settings->show->sticking && !bar->hands_apart && leaf_struck(&feet->leaves[i]) &&
            !audit_find(at, audit_owner(exercise, LINE_FEET, index, i), ROLE_STICKING))
            audit_complain(at, 12, NULL, "bar %u: foot %u has no letter, but others have", index,
                           i);
}

/* Feet have letters in all bars or none, and their row its name. */
void audit_feet(struct auditor *at, const struct page_system *system)
{
    const struct mark *name = NULL;
    for (size_t i = 0; i < system->mark_count && !name; i++)
        if (at->page->marks[system->first_mark + i].role == ROLE_ROW_NAME)
            name = &at->page->marks[system->first_mark + i];
    if (feet_have_sticking(audit_shown(at, system->exercise)))
        for (uint32_t b = 0; b < system->bar_count; b++)
            bar_feet(at, system->exercise, system->first_bar + b);
    if (system->baselines[ROW_FEET_LETTERS] && !name)
        audit_complain(at, 12, NULL, "bar %u: the feet's row has no name", system->first_bar);
}

/* All styles share one family, so their ascents compare like sizes. */
void audit_sizes(struct auditor *at)
{
    label_id known = metrics_label(at->metrics, TEXT_FOOT, "H", 1);
    double em = text_style_mm(TEXT_FOOT, at->metrics->space_mm, 1000);
    double ascent_of_mm = metrics_of_label(at->metrics, known)->ascent / em;
    for (size_t i = 0; i < at->page->mark_count; i++) {
        const struct mark *mark = &at->page->marks[i];
        if (mark->shape != SHAPE_LABEL)
            continue;
        double ascent = metrics_of_label(at->metrics, mark->with.label)->ascent;
        double points =
            ascent * (mark->scale ? mark->scale / 1000.0 : 1) / ascent_of_mm * 72 / 25.4;
        if (points < POINTS_LEAST - POINTS_ROUNDING)
            audit_complain(at, 12, mark, "text of %.2f points", points);
    }
}
