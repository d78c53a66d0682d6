#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/system_parts.h"
#include "layout/text.h"

#include <stdio.h>

/*
 * Dynamics, between the staff and the rows under it. What swells (cresc, dim) is a hairpin up to
 * the next dynamic of the exercise. At the end of a line it breaks off half open, and goes on at
 * the beginning of the next. One that leads to no other dynamic is a word.
 *
 *       f >-------            bar 3 | ----- p
 *          -------                  | -----
 */

static enum glyph dynamic_glyph(char letter)
{
    return letter == 'p'   ? GLYPH_DYNAMIC_P
           : letter == 'm' ? GLYPH_DYNAMIC_M
           : letter == 'f' ? GLYPH_DYNAMIC_F
           : letter == 's' ? GLYPH_DYNAMIC_S
           : letter == 'z' ? GLYPH_DYNAMIC_Z
                           : GLYPH_NONE;
}

static bool dynamic_is_sign(const char *text)
{
    for (; *text; text++)
        if (dynamic_glyph(*text) == GLYPH_NONE)
            return false;
    return true;
}

/* ---- what leads where ----------------------------------------------------------------------- */

/* An instant of an exercise. */
struct instant {
    uint32_t bar;
    struct fraction onset;
};

/* The next dynamic of the exercise after an instant. One that is too many bars away does not count:
   the swell is then a word. */
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

/* What swells across the beginning of a line; NULL: nothing. */
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

/* ---- what is in force already ---------------------------------------------------------------- */

/* A level that lasts, unlike that of sfz and fp. */
static bool lasts(const char *text)
{
    return dynamic_is_sign(text) && !strpbrk(text, "sz") && strcmp(text, "fp") != 0;
}

/* Players come to it from elsewhere than the bar before, or look for it. */
static bool is_entered(const struct score_bar *bar)
{
    const struct bar_signs *signs = bar->signs;
    return bar->repeat_begins || bar->ending_begins ||
           (signs && (signs->mark.text || signs->segno.file || signs->coda.file));
}

/* The last dynamic before an instant of a bar; NULL if none is, or if a player may come to the bar
   with another one. */
static const struct dynamic_mark *dynamic_before(const struct score_exercise *exercise,
                                                 const struct score_bar *bar, struct fraction onset)
{
    for (size_t i = bar->dynamic_count; i-- > 0;)
        if (fraction_compare(bar->dynamics[i].onset, onset) < 0)
            return &bar->dynamics[i];
    for (; bar > exercise->bars && !is_entered(bar); bar--)
        if (bar[-1].dynamic_count)
            return &bar[-1].dynamics[bar[-1].dynamic_count - 1];
    return NULL;
}

/* Whether it says again what holds there already, and nothing swells from it. */
static bool is_repeated(const struct score_exercise *exercise, const struct score_bar *bar,
                        const struct dynamic_mark *mark)
{
    for (size_t i = 0; i < bar->dynamic_count; i++)
        if (&bar->dynamics[i] != mark && fraction_equal(bar->dynamics[i].onset, mark->onset))
            return false;
    const struct dynamic_mark *before = dynamic_before(exercise, bar, mark->onset);
    return lasts(mark->text) && before && strcmp(before->text, mark->text) == 0;
}

/* ---- the dynamics of a line ------------------------------------------------------------------ */

/* A dynamic of the line, and the paper it takes. */
struct dynamic_place {
    const struct dynamic_mark *mark;
    uint32_t bar, index; /* in the exercise; in the bar */
    sp at;               /* where its instant falls */
    sp left, right;
    bool sign;      /* letters of the music face; else cresc or dim, */
    bool hairpin;   /* ... which reaches to the next dynamic, or is a word */
    bool entering;  /* it began on a line before */
    bool leaving;   /* it ends on a line that follows */
    sp begun, done; /* per thousand of the swell, at its left and right end */
    char word[16];
};

struct dynamics_line {
    const struct staff *staff;
    const struct work *work;
    struct dynamic_place places[HOUSE_DYNAMICS_MOST];
    size_t count;
};

/* A sign comes before a hairpin from the same instant, and nothing is printed twice. */
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
    uint32_t end = line_last_bar(line->work)->index + 1;
    place->hairpin = next_dynamic(line->staff->exercise, start, &target);
    place->leaving = place->hairpin && target.bar >= end;
    place->begun = place->entering ? HOUSE_SWELL_RESUMES : 0;
    place->done = place->leaving && (target.bar > end || target.onset.numerator > 0)
                      ? HOUSE_SWELL_BREAKS
                      : 1000;
}

static void dynamics_enter(struct dynamics_line *line)
{
    const struct set_bar *first = line_first_bar(line->work);
    struct dynamic_place place = {.entering = true};
    if (!line->staff->dynamics)
        return;
    place.mark = swell_before(line->staff->exercise, first->index, &place.bar, &place.index);
    if (!place.mark || first->columns.first == first->columns.end)
        return;
    place.at = line->work->columns.items[first->columns.first].x;
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
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        for (uint32_t i = 0; i < bar->bar->dynamic_count && line->count < HOUSE_DYNAMICS_MOST;
             i++) {
            const struct dynamic_mark *mark = &bar->bar->dynamics[i];
            if (is_repeated(line->staff->exercise, bar->bar, mark))
                continue;
            struct dynamic_place place = {.mark = mark,
                                          .bar = bar->index,
                                          .index = i,
                                          .at = instant_x(work, bar, mark->onset),
                                          .sign = dynamic_is_sign(mark->text)};
            if (!place.sign)
                swell_set(line, &place);
            dynamic_add(line, &place);
        }
}

static sp word_measure(const struct layout *layout, struct dynamic_place *place)
{
    snprintf(place->word, sizeof place->word, "%s.", place->mark->text);
    return text_ink(layout, TEXT_DYNAMIC_WORD, place->word).right;
}

/* Signs are centred on their instants, and hairpins begin at theirs. One that would run into its
   neighbour moves to the right; those that would run past the line's end move back. */
static void dynamics_place(const struct layout *layout, struct dynamics_line *line)
{
    const struct metrics *metrics = layout->metrics;
    sp half = metrics->glyphs[GLYPH_HEAD_BLACK].advance / 2, free = INT32_MIN;
    for (size_t i = 0; i < line->count; i++) {
        struct dynamic_place *place = &line->places[i];
        sp width = place->sign      ? signs_advance(metrics, dynamic_glyph, place->mark->text)
                   : place->hairpin ? HOUSE_HAIRPIN_LEAST
                                    : word_measure(layout, place);
        place->left = sp_max(place->at - (place->sign ? width / 2 : half), free);
        place->right = place->left + width;
        free = place->right + HOUSE_DYNAMIC_GAP;
    }
    sp end = layout->sheet.text_right;
    if (line->places[line->count - 1].leaving)
        end = line_last_bar(line->work)->line_left - HOUSE_INK_GAP;
    for (size_t i = line->count; i-- > 0;) {
        struct dynamic_place *place = &line->places[i];
        sp past = sp_max(place->right - end, 0);
        place->left -= past;
        place->right = place->hairpin ? end : place->right - past;
        end = place->left - HOUSE_DYNAMIC_GAP;
    }
}

/* A long one opens wider, or its lines would look parallel. */
static sp hairpin_mouth(const struct dynamic_place *place)
{
    sp longer = sp_max(place->right - place->left - HOUSE_HAIRPIN_LONG, 0);
    return sp_min(HOUSE_HAIRPIN + longer / HOUSE_HAIRPIN_GROWTH, HOUSE_HAIRPIN_MOST);
}

static void hairpin_draw(struct layout *layout, const struct dynamic_place *place, sp middle)
{
    sp mouth = hairpin_mouth(place);
    bool opens = strcmp(place->mark->text, "cresc") == 0;
    sp left = opens ? place->begun : 1000 - place->begun;
    sp right = opens ? place->done : 1000 - place->done;
    sp at_left = left * mouth / 2000, at_right = right * mouth / 2000;
    for (int side = -1; side <= 1; side += 2)
        pen_line(&layout->pen, ROLE_HAIRPIN, (struct point){place->left, middle + side * at_left},
                 (struct point){place->right, middle + side * at_right}, layout->defaults->hairpin);
}

static void dynamic_draw(struct layout *layout, const struct dynamic_place *place, sp baseline)
{
    if (place->sign)
        signs_draw(&layout->pen, ROLE_DYNAMIC, dynamic_glyph, place->mark->text, place->left,
                   baseline);
    else if (place->hairpin)
        hairpin_draw(layout, place, baseline - HOUSE_HAIRPIN_LIFT);
    else
        text_left(layout, ROLE_DYNAMIC, TEXT_DYNAMIC_WORD, place->word, place->left, baseline);
}

void dynamics_draw(struct layout *layout)
{
    struct dynamics_line line; /* too large to be zeroed for every line of music */
    line.staff = layout->staff;
    line.work = &layout->work;
    line.count = 0;
    dynamics_find(&line);
    if (!line.count)
        return;
    dynamics_place(layout, &line);
    sp lowest = line.staff->bar_bottom;
    for (size_t i = 0; i < line.count; i++) {
        sp left = line.places[i].left - HOUSE_DYNAMIC_GAP;
        sp right = line.places[i].right + HOUSE_DYNAMIC_GAP;
        lowest = sp_max(lowest, skyline_bottom(&layout->skyline, left, right));
    }
    sp baseline = lowest + HOUSE_DYNAMIC_GAP - glyph_ink(layout, GLYPH_DYNAMIC_F).top;
    for (size_t i = 0; i < line.count; i++) {
        const struct dynamic_place *place = &line.places[i];
        layout->pen.owner = mark_owner(layout->staff->index, 0, place->bar, place->index);
        dynamic_draw(layout, place, baseline);
    }
}
