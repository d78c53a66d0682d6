#include "chart/chart.h"

#include "base/cells.h"
#include "chart/chart_int.h"
#include "model/playback.h"
#include "model/tempo.h"

#include <inttypes.h>
#include <string.h>

/* ---- headings ----------------------------------------------------------------------------- */

static void add_meter(const struct meter *meter, struct buffer *out)
{
    for (uint8_t i = 0; i < meter->group_count; i++)
        buffer_format(out, "%s%u", i ? "+" : "", (unsigned)meter->groups[i]);
    buffer_format(out, "/%u", (unsigned)meter->unit);
}

static void add_tempo(const struct tempo *tempo, struct buffer *out)
{
    buffer_add_text(out, "   tempo ");
    if (tempo->unit_log2 != 0xFF) {
        buffer_format(out, "%u%.*s=", 1U << tempo->unit_log2, (int)tempo->unit_dots, "...");
    }
    for (size_t i = 0; i < tempo->count; i++)
        buffer_format(out, "%s%s",
                      i == 0           ? ""
                      : tempo->range   ? "-"
                      : tempo->gradual ? " to "
                                       : " ",
                      tempo_text(tempo->hundredths[i], (char[TEMPO_TEXT_ROOM]){0}));
}

static void add_heading(const struct score_exercise *exercise, struct buffer *out)
{
    buffer_format(out, "%" PRIu32 "  ", exercise->number);
    if (exercise->title)
        cells_clean(out, exercise->title, strlen(exercise->title));
    if (exercise->bar_count && exercise->bars[0].meter) {
        buffer_add_text(out, "   ");
        add_meter(exercise->bars[0].meter, out);
    }
    if (exercise->tempo && exercise->tempo->count)
        add_tempo(exercise->tempo, out);
    buffer_add_text(out, "\n");
}

/* The exercises of a practice form, with how often each is played. */
static void add_sequence(const struct score *score, const struct exercise *exercise,
                         struct buffer *out)
{
    buffer_add_text(out, "  practice form: ");
    for (size_t i = 0; i < exercise->sequence_count; i++) {
        const struct sequence_step *step = &exercise->sequence[i];
        const struct exercise *named = &score->lesson->exercises[step->exercise];
        const char *name = named->title.text ? named->title.text : named->id.text;
        buffer_add_text(out, i ? ", " : "");
        cells_clean(out, name ? name : "?", strlen(name ? name : "?"));
        if (step->times > 1)
            buffer_format(out, " \u00D7%u", (unsigned)step->times);
    }
    buffer_add_text(out, "\n");
}

static void add_ending(const struct ending *ending, struct buffer *out)
{
    buffer_add_text(out, "  ending ");
    for (size_t i = 0; i < ending->pass_count; i++)
        buffer_format(out, "%s%u", i ? ", " : "", (unsigned)ending->passes[i]);
    buffer_add_text(out, "\n");
}

static void add_mark(const char *mark, struct buffer *out)
{
    buffer_add_text(out, "  [");
    cells_clean(out, mark, strlen(mark));
    buffer_add_text(out, "]\n");
}

/* The bars in the order in which a jump has them played. */
static void add_order(const struct chart *chart, struct buffer *out)
{
    struct bar_range ranges[JUMP_RANGES_MAX];
    const struct score_bar *bars = chart->exercise->bars;
    size_t count = playback_order(chart->score, chart->exercise, ranges);
    for (size_t i = 0; i < count; i++) {
        const struct score_bar *first = &bars[ranges[i].first], *last = &bars[ranges[i].last];
        buffer_format(out, i ? ", %" PRIu32 : "  played: bars %" PRIu32, first->number);
        if (first != last)
            buffer_format(out, "-%" PRIu32, last->number);
    }
    buffer_add_text(out, count ? "\n" : "");
}

/* Lines above a line of the chart: a new meter, the start of an ending or of a marked part. */
static void add_announcements(const struct chart *chart, struct stretch stretch, struct buffer *out)
{
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        if (!chart->beats.items[beat].begins_bar)
            continue;
        const struct score_bar *bar = &chart->exercise->bars[chart->beats.items[beat].bar];
        if (beat && bar->meter_changes && bar->meter) {
            buffer_add_text(out, "  ");
            add_meter(bar->meter, out);
            buffer_add_text(out, "\n");
        }
        if (bar->ending_begins && bar->ending)
            add_ending(bar->ending, out);
        if (!bar->signs)
            continue;
        if (bar->signs->mark.text)
            add_mark(bar->signs->mark.text, out);
        buffer_add_text(out, bar->signs->segno.file ? "  segno\n" : "");
        buffer_add_text(out, bar->signs->coda.file ? "  coda\n" : "");
    }
}

/* ---- writing ---------------------------------------------------------------------------- */

static void write_exercise(struct chart *chart, struct buffer *out)
{
    add_heading(chart->exercise, out);
    if (chart->exercise->sequence) {
        add_sequence(chart->score, chart->exercise->source, out);
        return;
    }
    add_order(chart, out);
    chart_gather(chart);
    chart_measure(chart);
    for (size_t beat = 0; beat < chart->beats.count;) {
        struct stretch stretch = chart_break(chart, beat);
        if (beat)
            buffer_add_text(out, "\n");
        add_announcements(chart, stretch, out);
        chart_draw(chart, stretch, out);
        beat = stretch.end;
    }
}

static void add_legend(bool plain, mark_set marks, struct buffer *out)
{
    buffer_add_text(out, "\n");
    if (plain)
        buffer_add_text(out, CHART_PLAIN_STROKE " stroke   ");
    for (int i = 0; i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit)
            buffer_format(out, "%s %s   ", stroke_marks[i].cell, stroke_marks[i].spoken);
    chart_end_line(out);
}

void chart_write(const struct score *score, struct exercise_choice chosen, size_t columns,
                 struct buffer *out)
{
    mark_set marks = MARK_NONE;
    bool plain = false;
    const struct words *title = &score->lesson->title;
    if (title->text) {
        cells_clean(out, title->text, strlen(title->text));
        buffer_add_text(out, "\n");
    }
    struct arena *arena = arena_new();
    for (size_t i = 0; i < score->exercise_count; i++) {
        if (!exercise_chosen(chosen, score->exercises[i].number))
            continue;
        struct chart chart = {
            .arena = arena, .score = score, .exercise = &score->exercises[i], .columns = columns};
        buffer_add_text(out, "\n");
        write_exercise(&chart, out);
        marks |= chart.marks;
        plain |= chart.plain;
        arena_reset(arena);
    }
    if (plain || marks)
        add_legend(plain, marks, out);
    arena_free(arena);
}
