#include "model/form.h"

struct form_writer {
    const struct score *score;
    struct arena *arena;
    struct score_exercise *out;
    enum shown_repeats repeats;
};

/* One or two bars without repeats, endings or a pickup. A repeat of the whole exercise is allowed,
   because the form says how often it is played. */
static bool is_plain(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    if (exercise->sequence || exercise->bar_count < 1 || exercise->bar_count > 2 ||
        source->pickup || source->ending_count)
        return false;
    bool whole = source->plays >= 2;
    for (size_t i = 0; i < exercise->bar_count; i++)
        if ((exercise->bars[i].plays && !whole) ||
            (exercise->bars[i].signs && exercise->bars[i].signs->jump.words))
            return false;
    return true;
}

static bool changes_tempo(const struct score_bar *bar)
{
    return bar->pulse || bar->pace_count || bar->settings->tempo != bar[-1].settings->tempo ||
           !fraction_equal(bar->settings->swing, bar[-1].settings->swing);
}

static bool has_text(const struct score_bar *bar)
{
    const struct bar_signs *signs = bar->signs;
    return bar->word_count ||
           (signs && (signs->mark.text || signs->over.text || signs->segno.file ||
                      signs->coda.file || signs->fine.file || signs->to_coda.file));
}

/* A two-bar repeat sign is not used if the meter changes between the bars, nor where something
   stands over the second, for which it has no place. */
static bool has_sign(const struct score_exercise *exercise)
{
    const struct score_bar *bars = exercise->bars;
    return exercise->bar_count == 1 || (meter_equal(bars[0].meter, bars[1].meter) &&
                                        !has_text(&bars[1]) && !changes_tempo(&bars[1]));
}

/* How many bars and repeat signs the form takes, and how many bars in notes; 0: it is not written
   out. */
static size_t form_length(const struct score *score, const struct exercise *form, size_t *in_notes)
{
    size_t length = 0;
    *in_notes = 0;
    for (size_t i = 0; i < form->sequence_count; i++) {
        const struct sequence_step *step = &form->sequence[i];
        const struct score_exercise *exercise = score_printing(score, step->exercise);
        if (!exercise || !is_plain(exercise))
            return 0;
        length += has_sign(exercise) ? exercise->bar_count + step->times - 1u
                                     : exercise->bar_count * step->times;
        *in_notes += exercise->bar_count * step->times;
        if (length > FORM_BARS_MAX)
            return 0;
    }
    return length;
}

static struct score_bar *next_bar(struct form_writer *form, const struct score_bar *like)
{
    struct score_bar *bar = &form->out->bars[form->out->bar_count];
    const struct score_bar *before = form->out->bar_count ? bar - 1 : NULL;
    *bar = *like;
    bar->repeat_begins = bar->repeat_ends = bar->last = false;
    bar->plays = 0;
    bar->meter_changes = !before || !meter_equal(before->meter, like->meter);
    bar->number = before ? before->number + (before->repeats == 2 ? 2 : 1) : 1;
    form->out->bar_count++;
    return bar;
}

/* The form shows its own tempo; the tempo of an exercise is not repeated over its bars. */
static void keep_tempo(struct form_writer *form, struct score_bar *bar,
                       const struct score_exercise *exercise)
{
    if (bar->settings->tempo != exercise->source->settings.tempo ||
        bar->settings->tempo == form->out->tempo)
        return;
    struct settings *settings = arena_alloc(form->arena, sizeof *settings);
    *settings = *bar->settings;
    settings->tempo = form->out->tempo;
    bar->settings = settings;
}

static void add_repeat(struct form_writer *form, const struct score_exercise *exercise)
{
    struct score_bar *bar = next_bar(form, &exercise->bars[0]);
    struct fraction length = FRACTION_ZERO;
    for (size_t i = 0; i < exercise->bar_count; i++)
        length = fraction_add(length, exercise->bars[i].length);
    bar->repeats = (uint8_t)exercise->bar_count;
    bar_become_sign(bar, length, form->arena);
    keep_tempo(form, bar, exercise);
}

static void add_step(struct form_writer *form, const struct sequence_step *step)
{
    const struct score_exercise *exercise = score_printing(form->score, step->exercise);
    for (unsigned times = 0; times < step->times; times++) {
        if (times && form->repeats == SHOWN_AS_SIGNS && has_sign(exercise)) {
            add_repeat(form, exercise);
            continue;
        }
        for (size_t i = 0; i < exercise->bar_count; i++)
            keep_tempo(form, next_bar(form, &exercise->bars[i]), exercise);
    }
}

const struct score_exercise *form_write_out(const struct score *score,
                                            const struct score_exercise *form,
                                            enum shown_repeats repeats, struct arena *arena)
{
    const struct exercise *source = form->source;
    size_t length = 0, in_notes = 0;
    if (form->sequence && !source->spoiled)
        length = form_length(score, source, &in_notes);
    if (length == 0)
        return NULL;
    struct score_exercise *out = arena_alloc(arena, sizeof *out);
    *out = *form;
    out->sequence = false;
    out->bars = arena_array(arena, in_notes, sizeof *out->bars);
    out->bar_count = 0;
    struct form_writer writer = {.score = score, .arena = arena, .out = out, .repeats = repeats};
    for (size_t i = 0; i < source->sequence_count; i++)
        add_step(&writer, &source->sequence[i]);
    out->bars[out->bar_count - 1].last = true;
    return out;
}

/* Adds the foot's hits, and the marks of its note, to the hand's. */
static struct note *note_on_one_stem(const struct note *hand, const struct note *foot,
                                     struct arena *arena)
{
    struct note *both = arena_copy(arena, hand, 1, sizeof *both);
    for (int i = 0; i < foot->hit_count; i++)
        both->hits[both->hit_count++] = foot->hits[i];
    both->marks = marks_over(both->marks, foot->marks);
    return both;
}

/* The bar's merged line; hands and feet that strike together share one note. */
static struct score_line one_voice(const struct score_bar *bar, struct arena *arena)
{
    struct score_line out = bar->together;
    const struct score_line *feet = &bar->lines[LINE_FEET];
    uint32_t foot = 0;
    out.leaves = arena_copy(arena, out.leaves, out.leaf_count, sizeof *out.leaves);
    for (uint32_t i = 0; i < out.leaf_count; i++) {
        struct leaf *leaf = &out.leaves[i];
        if (leaf->continued && i > 0)
            leaf->note = leaf[-1].note;
        while (foot < feet->leaf_count &&
               fraction_compare(feet->leaves[foot].onset, leaf->onset) < 0)
            foot++;
        const struct leaf *with = foot < feet->leaf_count ? &feet->leaves[foot] : NULL;
        if (with && leaf_struck(leaf) && leaf_struck(with) && with->note != leaf->note &&
            fraction_equal(with->onset, leaf->onset))
            leaf->note = note_on_one_stem(leaf->note, with->note, arena);
    }
    return out;
}

const struct score_exercise *exercise_as_one_voice(const struct score_exercise *exercise,
                                                   struct arena *arena)
{
    struct score_exercise *out = NULL;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        if (!exercise->bars[b].together.leaf_count)
            continue;
        if (!out) {
            out = arena_copy(arena, exercise, 1, sizeof *out);
            out->bars = arena_copy(arena, exercise->bars, exercise->bar_count, sizeof *out->bars);
        }
        out->bars[b].lines[LINE_HANDS] = one_voice(&exercise->bars[b], arena);
        out->bars[b].lines[LINE_FEET] = (struct score_line){0};
    }
    return out ? out : exercise;
}
