#include "layout/count_row.h"
#include "layout/layout_state.h"
#include "layout/lines.h"

#include <math.h>
#include <stdio.h>

/*
 * An exercise into lines:
 *
 *     1. each bar is measured: natural and least length, what stands before and after it; one that
 *        is repeated as a sign and with its notes
 *     2. the bars are broken into lines (lines.c)
 *     3. where a line is too wide for the page's staff, a smaller one is chosen and 2. done again
 *     4. a line that would be stretched too far, or much farther than the one before it, stays
 *        ragged
 *     5. lines of one rhythm are brought under each other
 *     6. the counts get their cut (count_cut.c)
 */

/* ---- measuring ---------------------------------------------------------------------------- */

static bool column_has_graces(const struct set_bar *bar, const struct column *column)
{
    if (column->hands == NONE)
        return false;
    const struct note *note = bar->bar->lines[LINE_HANDS].leaves[column->hands].note;
    return note && note->grace_count > 0;
}

/* The stretch below which ink (ghosts in a row, wide syllables) would make equal values unequally
   wide, or nearly so. Grace notes, and hands and feet close after each other, do so at any stretch
   and do not count. */
static double even_stretch(const struct work *work, const struct set_bar *bar)
{
    double stretch = HOUSE_LEAST_STRETCH / 1000.0;
    for (size_t i = bar->columns.first; i + 1 < bar->columns.end; i++) {
        const struct spring *spring = &work->springs.items[i];
        double needed = (spring->rod + HOUSE_EVEN_WHITE) / spring->natural;
        if (needed > stretch && needed < HOUSE_EVEN_STRETCH / 1000.0 &&
            !column_has_graces(bar, &work->columns.items[i + 1]))
            stretch = needed;
    }
    return stretch;
}

static struct line_bar measure_bar(struct layout *layout, uint32_t index)
{
    const struct set_bar *bar = bars_find(layout, index);
    double natural = bar->lead, least = natural;
    sp rods = bar->lead;
    double tightest = even_stretch(&layout->work, bar);
    double usual = tightest > 1 ? tightest : 1;
    for (size_t i = bar->columns.first; i < bar->columns.end; i++) {
        const struct spring *spring = &layout->work.springs.items[i];
        natural += spring_length(spring, (struct setting){usual, 1, false});
        least += spring_length(spring, (struct setting){tightest, 1, false});
        rods += spring->rod;
    }
    return (struct line_bar){
        .notes = {.natural = (sp)(natural + 0.5),
                  .least = (sp)(least + 0.5),
                  .tightest = (sp)((tightest < 1 ? tightest * 1000 : 1000) + 0.5),
                  .rods = rods},
        .opening = opening_width(layout, index),
        .between = after_width(layout, index, false),
        .ending = after_width(layout, index, true),
        .opens = index > 0 && bar->bar->signs && bar->bar->signs->coda.file,
    };
}

/* ---- what is too wide --------------------------------------------------------------------- */

static struct setting solve(struct layout *layout, const struct music_line *line)
{
    bars_collect(layout, line);
    return line_solve(layout, line);
}

/* Not even the rods fit. */
static bool is_too_wide(struct layout *layout, const struct music_line *line)
{
    return solve(layout, line).squeeze < 1;
}

/* Names the bars and says what was done. */
static void warn_too_wide(struct layout *layout, const struct music_line *line, bool fits)
{
    const struct staff *staff = layout->staff;
    const struct score_bar *bar = &staff->exercise->bars[line->first_bar];
    int tenths = (int)(staff->size * 4 * layout->metrics->space_mm / 100 + 0.5);
    char what[64] = "";
    snprintf(what, sizeof what, line->bar_count > 1 ? "bars %u to %u are" : "bar %u is",
             (unsigned)bar->number, (unsigned)bar[line->bar_count - 1].number);
    diag_add(layout->diags, DIAG_NOT_PRINTABLE, bar->at,
             fits ? "%s wider than a line: the exercise is set on a staff of %d.%d mm%s"
                  : "%s wider than a line, even on a staff of %d.%d mm, and is set closer than it "
                    "should be%s",
             what, tenths / 10, tenths % 10,
             fits && staff->small_text ? ", with text of less than 7 points" : "");
}

static struct music_line line_of(const struct layout *layout, const struct line_bar *bars,
                                 const uint32_t *ends, size_t k)
{
    uint32_t first = k ? ends[k - 1] : 0;
    return (struct music_line){.exercise = layout->staff->index,
                               .first_bar = first,
                               .bar_count = ends[k] - first,
                               .opening = bars[first].opening,
                               .ending = bars[ends[k] - 1].ending};
}

/* A line's least length, each bar with its own rods. */
static double line_squeezed(struct layout *layout, const struct music_line *line)
{
    bars_collect(layout, line);
    return line_length(layout, line, (struct setting){HOUSE_LEAST_STRETCH / 1000.0, 1, true});
}

/* An exercise while it is being broken into lines. */
struct measured {
    struct line_bar *bars;
    uint32_t *ends; /* of its lines */
    size_t count, lines;
    unsigned per_line;
    bool pickup;
};

static void measure_shown(struct layout *layout, const struct score_exercise *shown,
                          struct measured *measured)
{
    if (layout->staff->exercise != shown) {
        layout->staff->exercise = shown;
        bars_set_again(layout, layout->staff->index);
    }
    measured->count = shown->bar_count;
    for (size_t i = 0; i < measured->count; i++)
        measured->bars[i] = measure_bar(layout, (uint32_t)i);
}

/* Measures bars that are repeated twice, as their signs and with their notes. */
static void measure_both(struct layout *layout, struct measured *measured)
{
    const struct score_exercise *in_signs = layout->staff->in_signs;
    struct bar_length *lengths = memory_alloc(in_signs->bar_count * sizeof *lengths);
    measure_shown(layout, in_signs, measured);
    for (size_t i = 0; i < in_signs->bar_count; i++)
        lengths[i] = measured->bars[i].notes;
    measure_shown(layout, layout->staff->in_notes, measured);
    struct line_bar *bar = measured->bars;
    for (size_t i = 0; i < in_signs->bar_count; i++) {
        bar->sign = in_signs->bars[i].repeats;
        bar->as_sign = lengths[i];
        bar += bar->sign ? bar->sign : 1;
    }
    memory_free(lengths);
}

/* Adds the bars of a line, `*sign` being the first of its bars in signs. */
static void mix_line(const struct staff *staff, const struct line_bar *bars, size_t first,
                     size_t end, const struct score_bar **sign, struct score_exercise *mixed)
{
    for (size_t i = first, whole; i < end; i += whole ? whole : 1) {
        whole = line_sign(bars, i, first, end);
        mixed->bars[mixed->bar_count++] = whole ? **sign : staff->in_notes->bars[i];
        *sign += whole || bars[i].sign != 2; /* in notes it goes on with the second bar */
    }
}

/* The bars as these lines show them; the ends of the lines then count those. */
static const struct score_exercise *mix_lines(struct layout *layout, struct measured *measured)
{
    const struct staff *staff = layout->staff;
    const struct score_bar *sign = staff->in_signs->bars;
    if (measured->lines == 1) {
        measured->ends[0] = (uint32_t)staff->in_signs->bar_count;
        return staff->in_signs;
    }
    struct score_exercise *mixed = arena_copy(layout->arena, staff->in_notes, 1, sizeof *mixed);
    mixed->bars = arena_array(layout->arena, mixed->bar_count, sizeof *mixed->bars);
    mixed->bar_count = 0;
    for (size_t k = 0, first = 0; k < measured->lines; k++) {
        size_t end = measured->ends[k];
        mix_line(staff, measured->bars, first, end, &sign, mixed);
        measured->ends[k] = (uint32_t)mixed->bar_count;
        first = end;
    }
    return mixed;
}

/* A line begins with notes where a sign would repeat the bars before: which bars are signs follows
   from where the lines break. */
static void exercise_break(struct layout *layout, struct measured *measured)
{
    struct staff *staff = layout->staff;
    if (staff->in_notes)
        measure_both(layout, measured);
    else
        measure_shown(layout, staff->exercise, measured);
    measured->lines = lines_break(measured->bars, measured->count, line_width(layout),
                                  measured->per_line, measured->pickup, measured->ends);
    if (staff->in_notes)
        measure_shown(layout, mix_lines(layout, measured), measured);
}

/* The line that overflows the most, if any does. */
static bool find_widest(struct layout *layout, const struct measured *measured,
                        struct music_line *widest, double *needed)
{
    *needed = 0;
    for (size_t k = 0; k < measured->lines; k++) {
        struct music_line line = line_of(layout, measured->bars, measured->ends, k);
        uint32_t end = measured->ends[k];
        if (line_needs(measured->bars, line.first_bar, end) <= line_width(layout) ||
            !is_too_wide(layout, &line))
            continue;
        double length = line_squeezed(layout, &line);
        if (length > *needed)
            *widest = line;
        *needed = length > *needed ? length : *needed;
    }
    return *needed > 0;
}

static void size_try(struct layout *layout, struct measured *measured, struct sheet page, int size)
{
    page_sheet(layout, page);
    layout->staff->size = size;
    staff_sheet(layout);
    bars_set_again(layout, layout->staff->index);
    exercise_break(layout, measured);
}

/* If a line is too wide even when squeezed, shrinks the staff and breaks the exercise again. Text
 * shrinks less than the staff, so this takes a few rounds. If even the smallest staff is too wide,
 * text shrinks too. */
static void size_set(struct layout *layout, struct measured *measured)
{
    enum { ROUNDS = 12 };
    struct staff *staff = layout->staff;
    struct music_line widest = {0};
    double needed;
    int least = staff_size_least(layout), rounds = 0;
    bool wide;
    struct sheet page = staff_sheet(layout);
    while ((wide = find_widest(layout, measured, &widest, &needed)) &&
           (staff->size > least || !staff->small_text)) {
        bool all_tried = staff->size == least;
        int size = (int)(staff->size * (line_width(layout) / needed));
        staff->small_text |= all_tried;
        rounds = all_tried ? 0 : rounds + 1;
        size = all_tried ? STAFF_WHOLE : size > least && rounds < ROUNDS ? size : least;
        size_try(layout, measured, page, size);
    }
    if (staff->size < STAFF_WHOLE && !wide)
        warn_too_wide(layout, &widest, true);
    page_sheet(layout, page);
}

/* ---- one line ----------------------------------------------------------------------------- */

/* All bars on one line: needed where they could stand beside another exercise's. */
static struct one_line one_line_of(const struct line_bar *bars, size_t count)
{
    const struct one_line never = {INT32_MAX, 0, 0};
    if (count == 0 || count > HOUSE_BESIDE_BARS)
        return never;
    struct one_line line = {.rigid = bars[0].opening + bars[count - 1].ending};
    for (size_t i = 0; i < count; i++) {
        line.natural += bars[i].notes.natural;
        line.least += bars[i].notes.least;
        line.rigid += i + 1 < count ? bars[i].between : 0;
        if (bars[i].opens)
            return never;
    }
    return line;
}

bool one_line_fits(const struct one_line *line, sp width)
{
    sp space = width - line->rigid;
    int64_t most = (int64_t)space * 1000;
    return space > 0 && (int64_t)line->natural * HOUSE_HALF_LEAST <= most &&
           (int64_t)line->least * HOUSE_HALF_EVEN <= most;
}

/* ---- ragged lines ------------------------------------------------------------------------- */

static size_t bar_count(const struct layout *layout)
{
    return layout->staff->exercise->bar_count;
}

/* A line is full if it reaches the margin at this stretch. */
static bool is_full(struct layout *layout, struct music_line *line, double stretch)
{
    line->stretch = 0;
    return solve(layout, line).stretch <= stretch;
}

/* A line that stands alone ends with the columns of exercises side by side if it is not crowded
   there. */
static float sole_stretch(struct layout *layout, const struct music_line *line)
{
    sp right = layout->sheet.text_right;
    double stretch = HOUSE_STRETCH_MOST / 1000.0;
    sp half = column_width(layout, true);
    if (half >= line_width(layout))
        return (float)stretch;
    if (!layout->screen_um && one_line_fits(&layout->one_line[line->exercise], half)) {
        layout->sheet.text_right = layout->sheet.text_left + half;
        double in_half = solve(layout, line).stretch;
        stretch = in_half >= 1 && in_half < stretch ? in_half : stretch;
        layout->sheet.text_right = right;
    }
    return (float)stretch;
}

/* A last line of fewer bars has the spacing of the line before it. */
static void last_set(struct layout *layout, struct music_line *last)
{
    const struct music_line *before = last - 1;
    double most = HOUSE_STRETCH_MOST / 1000.0;
    double stretch = before->stretch > 0 ? before->stretch : solve(layout, before).stretch;
    double full = stretch * HOUSE_LIKE / 1000;
    if (!is_full(layout, last, full < most ? full : most))
        last->stretch = (float)(stretch < most ? stretch : most);
}

static void ragged_set(struct layout *layout, const struct line_bar *bars, struct music_line *lines,
                       size_t count)
{
    for (size_t k = 0; k < count; k++) {
        size_t end = lines[k].first_bar + lines[k].bar_count;
        if (k > 0 && line_is_last(bars, end, bar_count(layout)))
            last_set(layout, &lines[k]);
        else if (!is_full(layout, &lines[k], HOUSE_STRETCH_MOST / 1000.0))
            lines[k].stretch = HOUSE_STRETCH_MOST / 1000.0F;
    }
    if (count == 1 && lines->stretch > 0)
        lines->stretch = sole_stretch(layout, lines);
}

/* ---- lines of one rhythm ------------------------------------------------------------------ */

/* Whether `line` has the rhythm of `model`, bar by bar, a ragged one as far as it goes. */
static bool line_repeats(const struct layout *layout, const struct line_bar *bars,
                         const struct music_line *model, const struct music_line *line)
{
    const uint32_t *rhythms = layout->rhythms.of_bar;
    if (line->stretch > 0 ? line->bar_count > model->bar_count
                          : line->bar_count != model->bar_count)
        return false;
    for (uint32_t i = 0; i < line->bar_count; i++) {
        uint32_t a = model->first_bar + i, b = line->first_bar + i;
        if (rhythms[a] != rhythms[b] ||
            (i + 1 < line->bar_count && bars[a].between != bars[b].between))
            return false;
    }
    return true;
}

static bool line_fits(const struct layout *layout, const struct line_bar *bars,
                      const struct music_line *line, sp opening, sp ending)
{
    double length = line_shortest(bars, line->first_bar, line->first_bar + line->bar_count);
    for (uint32_t i = 0; i + 1 < line->bar_count; i++)
        length += bars[line->first_bar + i].between;
    return length + opening + ending <= line_width(layout);
}

/* A full line still has room if ink pushes no more of its springs than before. */
static bool line_gives(struct layout *layout, const struct music_line *line, sp opening, sp ending)
{
    struct music_line narrowed = *line;
    narrowed.opening = opening;
    narrowed.ending = ending;
    size_t before = line_pushed(layout, solve(layout, line));
    struct setting setting = solve(layout, &narrowed);
    return line->stretch == 0 && setting.squeeze == 1 && line_pushed(layout, setting) <= before;
}

/* A wider opening may push a ragged line to the margin: it then counts as full. Ragged lines are
 * never stretched more than the full ones before them. */
static void ragged_agree(struct layout *layout, struct music_line *first,
                         const struct music_line *end)
{
    float least = INFINITY;
    for (struct music_line *line = first; line < end; line++) {
        float stretch = line->stretch;
        if (stretch > 0 && !is_full(layout, line, (double)stretch))
            line->stretch = stretch;
        else
            stretch = (float)solve(layout, line).stretch;
        least = line->stretch > 0 ? fminf(least, stretch) : stretch;
    }
    for (struct music_line *line = first; line < end; line++)
        if (line->stretch > 0)
            line->stretch = fminf(line->stretch, least);
}

/* Lines [first, end) stand under each other, column by column: all keep what the widest opening
   and ending among them need. False if one of them does not have the room. */
static bool lines_join(struct layout *layout, const struct line_bar *bars, struct music_line *first,
                       const struct music_line *end)
{
    sp opening = 0, ending = 0;
    for (const struct music_line *line = first; line < end; line++) {
        opening = sp_max(opening, line->opening);
        if (line->stretch == 0)
            ending = sp_max(ending, line->ending);
    }
    for (const struct music_line *line = first; line < end; line++)
        if (!line_fits(layout, bars, line, opening, ending) &&
            !line_gives(layout, line, opening, ending))
            return false;
    for (struct music_line *line = first; line < end; line++)
        line->opening = opening;
    ragged_agree(layout, first, end);
    for (struct music_line *line = first; line < end; line++)
        ending = line->stretch > 0 ? ending : sp_max(ending, line->ending);
    for (struct music_line *line = first; line < end; line++)
        line->ending = line->stretch > 0 ? line->ending : ending;
    return true;
}

/* A line whose bars repeat those of one that would be stretched too far stays ragged with it. */
static void ragged_follow(struct layout *layout, const struct line_bar *bars,
                          const struct music_line *before, struct music_line *line)
{
    float most = HOUSE_STRETCH_MOST / 1000.0F;
    if (before->stretch >= most && line->stretch <= 0 && line_repeats(layout, bars, before, line))
        line->stretch = (float)solve(layout, line).stretch;
}

static void lines_align(struct layout *layout, const struct line_bar *bars, size_t first)
{
    struct music_line *end = layout->lines.items + layout->lines.count;
    for (struct music_line *line = layout->lines.items + first + 1; line < end; line++)
        ragged_follow(layout, bars, line - 1, line);
    for (struct music_line *line = layout->lines.items + first, *next; line < end; line = next) {
        for (next = line + 1; next < end && line_repeats(layout, bars, line, next);)
            next++;
        if (next - line < 2 || lines_join(layout, bars, line, next))
            continue;
        if (next - line == 2 || !lines_join(layout, bars, line + 1, next)) /* without its meter */
            ragged_agree(layout, line, next);
    }
}

/* ---- the lines ---------------------------------------------------------------------------- */

/* Alignment may have brought the line before closer, and a ragged one to the margin. */
static void last_set_again(struct layout *layout, struct music_line *line)
{
    const struct music_line *before = line - 1;
    double stretch = before->stretch > 0 ? before->stretch : solve(layout, before).stretch;
    float least = fminf(line->stretch, (float)stretch);
    if (!is_full(layout, line, (double)least))
        line->stretch = least;
}

static void lines_add(struct layout *layout, const struct measured *measured)
{
    const struct line_bar *bars = measured->bars;
    const uint32_t *ends = measured->ends;
    size_t count = measured->lines;
    size_t first_line = layout->lines.count;
    for (size_t k = 0; k < count; k++) {
        struct music_line *line = vector_push(&layout->lines, layout->arena);
        *line = line_of(layout, bars, ends, k);
        if (line_needs(bars, line->first_bar, ends[k]) > line_width(layout) &&
            is_too_wide(layout, line))
            warn_too_wide(layout, line, false);
    }
    struct music_line *lines = layout->lines.items + first_line;
    ragged_set(layout, bars, lines, count);
    lines_align(layout, bars, first_line);
    for (size_t k = 1; k < count; k++)
        if (lines[k].stretch > 0 && line_is_last(bars, ends[k], ends[count - 1]))
            last_set_again(layout, &lines[k]);
    counts_choose(layout, lines, lines + count);
}

void lines_of_exercise(struct layout *layout, uint32_t exercise)
{
    const struct staff *staff = &layout->staves[exercise];
    const struct score_exercise *shown = staff->in_notes ? staff->in_notes : staff->exercise;
    size_t count = shown->bar_count;
    struct measured measured = {
        .bars = memory_alloc((count + 1) * sizeof *measured.bars),
        .ends = memory_alloc((count + 1) * sizeof *measured.ends),
        .count = count,
        .per_line = layout->screen_um ? 0 : shown->source->settings.page->bars_per_line,
        .pickup = count && shown->bars[0].pickup,
    };
    bars_set(layout, exercise);
    exercise_break(layout, &measured);
    layout->one_line[exercise] = one_line_of(measured.bars, measured.count);
    size_set(layout, &measured);
    struct sheet page = staff_sheet(layout);
    lines_add(layout, &measured);
    page_sheet(layout, page);
    memory_free(measured.bars);
    memory_free(measured.ends);
}
