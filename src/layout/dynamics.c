#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/*
 * Dynamics, between the staff and the rows under it. What swells (cresc, dim) is a hairpin up to
 * the next dynamic of the exercise, also over the end of a line: it breaks off there half open and
 * goes on from there. One that leads to no other dynamic is a word.
 *
 *       f >-------            bar 3 | ----- p
 *          -------                  | -----
 */

static enum glyph dynamic_glyph(char letter)
{
    switch (letter) {
    case 'p':
        return GLYPH_DYNAMIC_P;
    case 'm':
        return GLYPH_DYNAMIC_M;
    case 'f':
        return GLYPH_DYNAMIC_F;
    case 's':
        return GLYPH_DYNAMIC_S;
    case 'z':
        return GLYPH_DYNAMIC_Z;
    default:
        return GLYPH_NONE;
    }
}

static bool dynamic_is_sign(const char *text)
{
    for (; *text; text++)
        if (dynamic_glyph(*text) == GLYPH_NONE)
            return false;
    return true;
}

static sp sign_width(const struct layout *layout, const char *text)
{
    sp width = 0;
    for (; *text; text++)
        width += layout->metrics->glyphs[dynamic_glyph(*text)].advance;
    return width;
}

/* Where an instant falls: between columns (a swell inside a long note) in proportion to time. */
static sp instant_x(const struct work *work, const struct set_bar *bar, struct fraction onset)
{
    const struct column *columns = work->columns + bar->first_column;
    size_t next = 0;
    while (next < bar->column_count && fraction_compare(columns[next].onset, onset) < 0)
        next++;
    bool beyond = next == bar->column_count;
    if (next == 0 || (!beyond && fraction_equal(columns[next].onset, onset)))
        return beyond ? bar->line_left : columns[next].x;
    double end = fraction_to_double(beyond ? fraction_add(bar->bar->start, bar->bar->length)
                                           : columns[next].onset);
    double from = fraction_to_double(columns[next - 1].onset);
    sp left = columns[next - 1].x, right = beyond ? bar->line_left : columns[next].x;
    return left + (sp)((right - left) * (fraction_to_double(onset) - from) / (end - from));
}

/* ---- what leads where ----------------------------------------------------------------------- */

/* An instant of an exercise. */
struct instant {
    uint32_t bar;
    struct fraction onset;
};

/* The next dynamic of the exercise after an instant. A bar far off is not looked at: the swell is
   then a word. */
static bool next_dynamic(const struct score_exercise *exercise, struct instant from,
                         struct instant *next)
{
    for (uint32_t b = from.bar; b < exercise->bar_count && b - from.bar < HOUSE_SWELL_BARS; b++)
        for (int i = 0; i < exercise->bars[b].dynamic_count; i++) {
            struct fraction onset = exercise->bars[b].dynamics[i].onset;
            if (b > from.bar || fraction_compare(onset, from.onset) > 0) {
                *next = (struct instant){b, onset};
                return true;
            }
        }
    return false;
}

/* What swells over the beginning of a line; NULL: nothing. */
static const struct dynamic_mark *swell_before(const struct score_exercise *exercise,
                                               uint32_t first_bar, uint32_t *bar, uint32_t *index)
{
    for (uint32_t b = first_bar; b-- > 0 && first_bar - b <= HOUSE_SWELL_BARS;) {
        const struct score_bar *at = &exercise->bars[b];
        for (uint32_t i = at->dynamic_count; i-- > 0;) {
            if (dynamic_is_sign(at->dynamics[i].text))
                continue;
            *bar = b;
            *index = i;
            return fraction_equal(at->dynamics[i].onset, at->dynamics[at->dynamic_count - 1].onset)
                       ? &at->dynamics[i]
                       : NULL;
        }
        if (at->dynamic_count)
            return NULL;
    }
    return NULL;
}

/* ---- the dynamics of a line ------------------------------------------------------------------ */

/* A dynamic of the line, and the paper it takes. */
struct dynamic_place {
    const struct dynamic_mark *mark;
    uint32_t bar, index; /* in the exercise; in the bar */
    sp at;               /* where its instant falls */
    sp left, right;
    bool sign;      /* letters of the music face; else cresc or dim, */
    bool hairpin;   /* ... which opens up to the next dynamic, or is a word */
    bool entering;  /* it swells since a line before */
    bool leaving;   /* ... up to a line that follows */
    sp begun, done; /* per thousand of the swell, at its left and right end */
    label_id word;
};

struct dynamics_line {
    const struct staff *staff;
    const struct work *work;
    struct dynamic_place places[HOUSE_DYNAMICS_MOST];
    size_t count;
};

/* Of one instant a sign stands before what swells from it, and nothing is said twice. */
static void dynamic_add(struct dynamics_line *line, const struct dynamic_place *place)
{
    size_t index = line->count;
    for (size_t i = index; i-- > 0 && line->places[i].bar == place->bar &&
                           fraction_equal(line->places[i].mark->onset, place->mark->onset);) {
        if (strcmp(line->places[i].mark->text, place->mark->text) == 0)
            return;
        if (place->sign && !line->places[i].sign)
            index = i;
    }
    memmove(&line->places[index + 1], &line->places[index],
            (line->count - index) * sizeof *line->places);
    line->places[index] = *place;
    line->count++;
}

/* How much of a swell that crosses the line's beginning or end is drawn on this line: the parts
   overlap, so that each looks like a hairpin. */
static void swell_set(const struct dynamics_line *line, struct dynamic_place *place)
{
    struct instant start = {place->bar, place->mark->onset}, target;
    const struct set_bar *bars = line->work->bars;
    uint32_t end = bars[line->work->bar_count - 1].index + 1;
    place->hairpin = next_dynamic(line->staff->exercise, start, &target);
    place->leaving = place->hairpin && target.bar >= end;
    place->begun = place->entering ? HOUSE_SWELL_RESUMES : 0;
    place->done = place->leaving && (target.bar > end || target.onset.numerator > 0)
                      ? HOUSE_SWELL_BREAKS
                      : 1000;
}

static void dynamics_enter(struct dynamics_line *line)
{
    const struct set_bar *first = &line->work->bars[0];
    struct dynamic_place place = {.entering = true};
    if (!line->staff->dynamics)
        return;
    place.mark = swell_before(line->staff->exercise, first->index, &place.bar, &place.index);
    if (!place.mark || !first->column_count)
        return;
    place.at = line->work->columns[first->first_column].x;
    swell_set(line, &place);
    bool ends_here = first->bar->dynamic_count &&
                     fraction_compare(first->bar->dynamics[0].onset, first->bar->start) <= 0;
    if (place.hairpin && !ends_here)
        line->places[line->count++] = place;
}

static void dynamics_find(struct dynamics_line *line)
{
    const struct work *work = line->work;
    dynamics_enter(line);
    for (size_t b = 0; b < work->bar_count; b++) {
        const struct set_bar *bar = &work->bars[b];
        for (uint32_t i = 0; i < bar->bar->dynamic_count && line->count < HOUSE_DYNAMICS_MOST;
             i++) {
            const struct dynamic_mark *mark = &bar->bar->dynamics[i];
            struct dynamic_place place = {.mark = mark, .bar = bar->index, .index = i};
            place.at = instant_x(work, bar, mark->onset);
            place.sign = dynamic_is_sign(mark->text);
            if (!place.sign)
                swell_set(line, &place);
            dynamic_add(line, &place);
        }
    }
}

static sp word_measure(const struct layout *layout, struct dynamic_place *place)
{
    char word[16];
    snprintf(word, sizeof word, "%s.", place->mark->text);
    place->word = metrics_label(layout->metrics, TEXT_DYNAMIC_WORD, word, strlen(word));
    return metrics_of_label(layout->metrics, place->word)->ink.right;
}

/* Signs are centred on their instants, and what swells begins at its own; what would run into the
   one before it moves on. */
static void dynamics_place(const struct layout *layout, struct dynamics_line *line)
{
    sp half = layout->metrics->glyphs[GLYPH_HEAD_BLACK].advance / 2, free = INT32_MIN;
    for (size_t i = 0; i < line->count; i++) {
        struct dynamic_place *place = &line->places[i];
        sp width = place->sign ? sign_width(layout, place->mark->text) : HOUSE_HAIRPIN_LEAST;
        if (!place->sign && !place->hairpin)
            width = word_measure(layout, place);
        place->left = sp_max(place->at - (place->sign ? width / 2 : half), free);
        place->right = place->left + width;
        free = place->right + HOUSE_DYNAMIC_GAP;
    }
    sp end = layout->sheet.text_right;
    if (line->places[line->count - 1].leaving)
        end = line->work->bars[line->work->bar_count - 1].line_left - HOUSE_INK_GAP;
    for (size_t i = line->count; i-- > 0;) {
        struct dynamic_place *place = &line->places[i];
        sp past = sp_max(place->right - end, 0);
        place->left -= past;
        place->right = place->hairpin ? end : place->right - past;
        end = place->left - HOUSE_DYNAMIC_GAP;
    }
}

static void sign_draw(struct layout *layout, const char *text, sp x, sp baseline)
{
    for (; *text; text++) {
        enum glyph glyph = dynamic_glyph(*text);
        pen_glyph(&layout->pen, ROLE_DYNAMIC, glyph, x, baseline);
        x += layout->metrics->glyphs[glyph].advance;
    }
}

static void hairpin_draw(struct layout *layout, const struct dynamic_place *place, sp middle)
{
    bool opens = strcmp(place->mark->text, "cresc") == 0;
    sp left = opens ? place->begun : 1000 - place->begun;
    sp right = opens ? place->done : 1000 - place->done;
    sp at_left = left * HOUSE_HAIRPIN / 2000, at_right = right * HOUSE_HAIRPIN / 2000;
    for (int side = -1; side <= 1; side += 2)
        pen_line(&layout->pen, ROLE_HAIRPIN, (struct point){place->left, middle + side * at_left},
                 (struct point){place->right, middle + side * at_right}, layout->defaults->hairpin);
}

static void dynamic_draw(struct layout *layout, const struct dynamic_place *place, sp baseline)
{
    if (place->sign)
        sign_draw(layout, place->mark->text, place->left, baseline);
    else if (place->hairpin)
        hairpin_draw(layout, place, baseline - HOUSE_HAIRPIN_LIFT);
    else
        pen_label(&layout->pen, ROLE_DYNAMIC, place->word, place->left, baseline);
}

void dynamics_draw(struct layout *layout, const struct staff *staff)
{
    struct dynamics_line line;
    line.staff = staff;
    line.work = &layout->work;
    line.count = 0;
    dynamics_find(&line);
    if (!line.count)
        return;
    dynamics_place(layout, &line);
    sp lowest = staff->bar_bottom;
    for (size_t i = 0; i < line.count; i++)
        lowest =
            sp_max(lowest, skyline_bottom(&layout->skyline, line.places[i].left - HOUSE_DYNAMIC_GAP,
                                          line.places[i].right + HOUSE_DYNAMIC_GAP));
    sp top = layout->metrics->glyphs[GLYPH_DYNAMIC_F].ink.top;
    sp baseline = lowest + HOUSE_DYNAMIC_GAP - top;
    for (size_t i = 0; i < line.count; i++) {
        const struct dynamic_place *place = &line.places[i];
        layout->pen.owner = mark_owner(staff->index, 0, place->bar, place->index);
        dynamic_draw(layout, place, baseline);
    }
}
