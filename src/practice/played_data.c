#include "practice/played_data.h"

#include "model/ladder.h"
#include "model/playback.h"
#include "model/tempo.h"

#include <inttypes.h>

enum { BEATS_UNWRITTEN = 60, LEAST_BEATS = 10 };

static void add_fraction(struct buffer *out, struct fraction at)
{
    buffer_format(out, "%" PRId64 ",%" PRId64, at.numerator, at.denominator);
}

/* ---- tempo ---------------------------------------------------------------------------------- */

/* The tempo of the performance is the first one written. It is chosen in whole beats, from half the
   slowest to the fastest; where none is written, up to twice what is played. */
static void add_tempo(const struct tempo *tempo, struct buffer *out)
{
    unsigned base = BEATS_UNWRITTEN * TEMPO_ONE, least = base, most = 2 * base;
    if (tempo)
        base = least = most = tempo->hundredths[0];
    for (size_t i = 0; tempo && i < tempo->count; i++) {
        least = tempo->hundredths[i] < least ? tempo->hundredths[i] : least;
        most = tempo->hundredths[i] > most ? tempo->hundredths[i] : most;
    }
    unsigned low = least / 2 / TEMPO_ONE, high = most / TEMPO_ONE;
    buffer_format(out, "\"base\":%s,\"low\":%u,\"high\":%u,",
                  tempo_text(base, (char[TEMPO_TEXT_ROOM]){0}),
                  low < LEAST_BEATS ? LEAST_BEATS : low, high);
}

/* The steps of the exercise's own ladder, or of the lesson's where it is the exercise's tempo. */
static void add_steps(const struct score *score, size_t exercise, struct buffer *out)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = 0, whole = score->exercise_count;
    if (ladder_shown(score, exercise))
        count = ladder_rungs(score, exercise, rungs);
    else if (ladder_shown(score, whole) &&
             score->exercises[exercise].tempo == score->lesson->settings.tempo)
        count = ladder_rungs(score, whole, rungs);
    buffer_add_text(out, "\"steps\":[");
    for (size_t i = 0; i < count; i++)
        buffer_format(out, "%s%s", i ? "," : "", tempo_text(rungs[i], (char[TEMPO_TEXT_ROOM]){0}));
    buffer_add_text(out, "],");
}

static void add_tempos(const struct performance *performance, struct buffer *out)
{
    buffer_add_text(out, "\"tempos\":[");
    for (size_t i = 0; i < performance->tempo_count; i++) {
        buffer_add_text(out, i ? ",[" : "[");
        add_fraction(out, performance->tempos[i].at);
        buffer_add_text(out, ",");
        add_fraction(out, performance->tempos[i].wholes);
        buffer_add_text(out, "]");
    }
    buffer_add_text(out, "],");
}

/* ---- bars ----------------------------------------------------------------------------------- */

/* Adds the bars in the order played and returns how long they last. */
static struct fraction add_bars(const struct score *score, size_t exercise, struct fraction from,
                                struct buffer *out)
{
    struct playback playback;
    struct played_bar played;
    struct fraction end = FRACTION_ZERO;
    const char *between = "";
    playback_begin(&playback, score, &score->exercises[exercise], 0);
    for (; playback_next(&playback, &played); between = ",") {
        buffer_format(out, "%s[", between);
        add_fraction(out, fraction_add(from, played.start));
        buffer_format(out, ",%u,%u,%u]", (unsigned)played.exercise->number, (unsigned)played.index,
                      (unsigned)played.bar->number);
        end = fraction_add(played.start, played.bar->length);
    }
    return end;
}

/* ---- strokes -------------------------------------------------------------------------------- */

/* Where hands and feet are printed as one line, the leaf of that line. */
static uint32_t printed_leaf(const struct score_bar *bar, const struct strike *strike,
                             uint8_t *line)
{
    *line = strike->line;
    struct fraction onset = bar->lines[strike->line].leaves[strike->leaf].onset;
    for (uint32_t i = 0; i < bar->together.leaf_count; i++) {
        const struct leaf *leaf = &bar->together.leaves[i];
        if (!leaf_struck(leaf) || !fraction_equal(leaf->onset, onset))
            continue;
        *line = LINE_HANDS;
        return i;
    }
    return strike->leaf;
}

static void add_place(const struct score *score, const struct strike *strike, struct buffer *out)
{
    const struct score_exercise *exercise = &score->exercises[strike->exercise];
    uint8_t line = 0;
    uint32_t leaf = 0;
    if (strike->part != SOUND_CLICK)
        leaf = printed_leaf(&exercise->bars[strike->bar], strike, &line);
    buffer_format(out, ",%u,%u,%u,%u,%u", (unsigned)exercise->number, (unsigned)strike->bar, line,
                  (unsigned)leaf, strike->line);
}

static void add_strokes(const struct score *score, const struct performance *performance,
                        struct buffer *out)
{
    buffer_add_text(out, "\"strokes\":[");
    for (size_t i = 0; i < performance->strike_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        buffer_add_text(out, i ? ",\n[" : "\n[");
        add_fraction(out, strike->at);
        buffer_format(out, ",%u,%u,%u,%u", strike->part, strike->key, strike->velocity,
                      strike->kind);
        add_place(score, strike, out);
        if (strike->kind == STRIKE_GRACE) {
            buffer_add_text(out, ",");
            add_fraction(out, strike->note);
        }
        buffer_add_text(out, "]");
    }
    buffer_add_text(out, "]");
}

void played_data_write(const struct score *score, size_t exercise,
                       const struct performance *performance, struct buffer *out)
{
    struct buffer bars = {0};
    struct fraction lasts = add_bars(score, exercise, FRACTION_ZERO, &bars);
    struct fraction from = fraction_subtract(performance->length, lasts);
    bars.length = 0;
    add_bars(score, exercise, from, &bars);
    buffer_format(out, "{\"exercise\":%u,", (unsigned)score->exercises[exercise].number);
    add_tempo(score->exercises[exercise].tempo, out);
    buffer_add_text(out, "\"from\":[");
    add_fraction(out, from);
    buffer_add_text(out, "],\"end\":[");
    add_fraction(out, performance->length);
    buffer_add_text(out, "],");
    add_steps(score, exercise, out);
    add_tempos(performance, out);
    buffer_format(out, "\"bars\":[%s],", buffer_text(&bars));
    add_strokes(score, performance, out);
    buffer_add_text(out, "}");
    buffer_release(&bars);
}
