/* One bar: its beats, the hands, the feet, the counts. */
#include "build/build_int.h"

#include <string.h>

/* ---- the hands ---------------------------------------------------------------------------- */

static bool plays_hands(const struct play *play)
{
    return play && (play->limbs[LIMB_RIGHT_HAND].count || play->limbs[LIMB_LEFT_HAND].count);
}

/* The bar's rhythm; for a rudiment, the part of it that falls in this bar. A rudiment of the
 * exercise runs on from bar to bar; a bar's own starts with the bar. */
static const struct rhythm_line *rhythm_of(struct bar_builder *bar)
{
    const struct rhythm_line *rhythm = bar->source->rhythm;
    size_t first = 0;
    if (!rhythm || !rhythm->round)
        return rhythm;
    bool own = rhythm != bar->exercise->exercise->figure;
    return figure_in_bar(bar, rhythm, own ? &first : &bar->exercise->hands.figure);
}

static void hands_source(struct bar_builder *bar, struct line_source *out)
{
    const struct lesson_bar *source = bar->source;
    out->rhythm = rhythm_of(bar);
    out->goes_round = source->rhythm && source->rhythm->round &&
                      source->rhythm != bar->exercise->exercise->figure;
    bool letterless = source->settings->letterless;
    out->sticking_own = source->sticking && !letterless;
    out->sticking = letterless          ? NULL
                    : out->sticking_own ? source->sticking
                                        : source->settings->sticking;
    if (out->sticking)
        builder_use(bar->builder, out->sticking);
    out->voices = source->voices;
    out->sounds =
        source->settings->subdivisions &&
        (source->voices || bar->exercise->exercise->voices || plays_hands(source->settings->play));
    out->state = &bar->exercise->hands;
    out->at = source->at;
}

/* Voices by count without a subdivision need no sticking: one that is written for the whole lesson
   or course is not for them. */
static bool needs_no_sticking(const struct bar_builder *bar)
{
    return !bar->source->rhythm && !bar->source->settings->subdivisions && !bar->source->sticking &&
           sticking_from_above(bar) && keyed_has_hands(bar);
}

/* A sticking or a line of voices needs a rhythm or a subdivision. */
static bool has_rhythm_or_grid(struct bar_builder *bar, const struct line_source *source)
{
    if (source->rhythm || bar->source->settings->subdivisions)
        return true;
    const struct voicing_line *voices =
        bar->source->voices ? bar->source->voices : bar->exercise->exercise->voices;
    if (!source->sticking && !voices)
        return true;
    struct place at = source->sticking ? source->sticking->at : voices->at;
    const void *key = source->sticking ? (const void *)source->sticking : (const void *)voices;
    if (builder_report_once(bar->builder, key)) {
        diag_add(bar->builder->diags, DIAG_MISSING_KEY, at, "no subdivision or rhythm for this %s",
                 source->sticking ? "sticking" : "line of voices");
        diag_expected(bar->builder->diags, "a `subdivision`, or a `rhythm` in the bar");
    }
    return false;
}

static bool hands_by_rhythm(struct bar_builder *bar, const struct line_source *source)
{
    struct score_line *line = &bar->out->lines[LINE_HANDS];
    struct strikes strikes;
    if (!rhythm_leaves(bar, source->rhythm, bar->out->pickup, source->state, line))
        return false;
    if (bar->out->pickup && line->leaf_count) {
        bar->out->start = line->leaves[0].onset;
        bar->out->length = fraction_subtract(bar->frame->length, bar->out->start);
        bar->first_beat = line->leaves[0].beat;
    }
    rhythm_spans(bar, line, bar->builder->spans, bar->builder->unit_spans);
    if (!rhythm_strikes(bar, line, source, &strikes))
        return false;
    strokes_voice_hands(bar, &strikes, true);
    keyed_strike(bar, line, &strikes);
    strokes_apply_addresses(bar, &strikes);
    rhythm_settle(bar, source->rhythm, line, &strikes, source->state);
    line_number_tuplets(bar, line);
    return true;
}

static void hands_by_grid(struct bar_builder *bar, const struct line_source *source)
{
    struct strikes strikes;
    rhythm_end_tie(bar, source->state);
    grid_strikes(bar, bar->grid, source, &strikes);
    strokes_voice_hands(bar, &strikes, false);
    keyed_strike(bar, NULL, &strikes);
    strokes_apply_addresses(bar, &strikes);
    line_from_grid(bar, bar->grid, &strikes, source->state, &bar->out->lines[LINE_HANDS]);
}

/* ---- the bar ------------------------------------------------------------------------------ */

static void take_grid(struct bar_builder *bar, const struct subdivisions *subdivisions,
                      const struct subdivisions *otherwise)
{
    const struct settings *settings = bar->source->settings;
    bar->grid = grid_get(&bar->builder->frames, settings->meter, subdivisions, settings->counting);
    bar->frame = bar->grid->frame;
    bar->spans = bar->grid->span_of_beat;
    bar->counted = grid_counted(bar->grid, otherwise);
}

/* The grid of the subdivision, or else of what the voices by count name. False if it cannot be
   used; that has been reported. */
static bool open_grid(struct bar_builder *bar)
{
    const struct settings *settings = bar->source->settings;
    builder_use(bar->builder, settings->subdivisions);
    take_grid(bar, settings->subdivisions, NULL);
    if (settings->subdivisions || !keyed_has_hands(bar))
        return bar->grid->usable;
    const struct subdivisions *found = keyed_subdivisions(bar);
    if (found)
        take_grid(bar, found, bar->counted.otherwise);
    return found && bar->grid->usable;
}

/* A closed hat or a stick click cannot be left to ring. */
static void check_ringing(struct bar_builder *bar, const struct note *note)
{
    const struct voice *voices = bar->builder->lesson->kit.voices;
    for (size_t h = 0; h < note->hit_count; h++)
        if (voice_rings(&voices[note->hits[h].voice]))
            return;
    const struct voice *voice = &voices[note->hits[0].voice];
    if (!note->hit_count || !builder_report_once(bar->builder, voice))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, note->at, "the %s does not ring", voice->name);
    diag_expected(bar->builder->diags, "'ring' for a cymbal, an open hat or a drum");
}

static void check_notes(struct bar_builder *bar)
{
    for (int l = 0; l < LINE_COUNT; l++)
        for (uint32_t i = 0; i < bar->out->lines[l].leaf_count; i++) {
            const struct leaf *leaf = &bar->out->lines[l].leaves[i];
            if (!leaf_struck(leaf))
                continue;
            bar->exercise->marks |= leaf->note->marks;
            if (leaf->note->marks & MARK_LET_RING)
                check_ringing(bar, leaf->note);
        }
}

static bool open_bar(struct bar_builder *bar)
{
    const struct settings *settings = bar->source->settings;
    bool usable = true;
    struct builder *builder = bar->builder;
    struct score_bar *out = bar->out;
    if (bar->source->rhythm) {
        bar->frame = frame_get(&builder->frames, settings->meter, settings->counting);
        bar->spans = builder->spans;
        memset(builder->spans, 0, bar->frame->beat_count * sizeof *builder->spans);
        struct frame *counted = bar->frame->counted;
        bool units = counted != bar->frame;
        if (units)
            memset(builder->unit_spans, 0, counted->beat_count * sizeof *builder->unit_spans);
        bar->counted = (struct counted_bar){.frame = counted,
                                            .spans = units ? builder->unit_spans : bar->spans,
                                            .otherwise = settings->subdivisions};
    } else {
        usable = open_grid(bar);
    }
    out->meter = settings->meter;
    out->settings = settings;
    out->length = bar->frame->length;
    out->start = FRACTION_ZERO;
    out->beat_count = bar->frame->beat_count;
    out->counted_count = bar->frame->counted->beat_count;
    out->at = bar->source->at;
    builder->feet.count = 0;
    return usable;
}

static struct score_beat *beats_of(struct bar_builder *bar, const struct frame *frame,
                                   struct span *const *spans)
{
    struct score_beat *beats =
        arena_array_room(bar->builder->arena, frame->beat_count, sizeof *beats);
    for (size_t beat = 0; beat < frame->beat_count; beat++)
        frame_score_beat(frame, beat, spans[beat], &beats[beat]);
    return beats;
}

static void write_beats(struct bar_builder *bar)
{
    struct score_bar *out = bar->out;
    out->beats = bar->grid ? bar->grid->beats : beats_of(bar, bar->frame, bar->spans);
    out->counted = bar->counted.frame == bar->frame
                       ? out->beats
                       : beats_of(bar, bar->counted.frame, bar->counted.spans);
}

/* What the band plays. Its notes have accents, but nothing is hit. */
static bool figures_build(struct bar_builder *bar)
{
    const struct rhythm_line *figures = bar->source->signs ? bar->source->signs->figures : NULL;
    if (!figures)
        return true;
    const struct line_state state = {0};
    struct score_line *line = arena_alloc(bar->builder->arena, sizeof *line);
    struct note *notes = arena_array(bar->builder->arena, figures->count, sizeof *notes);
    if (!rhythm_leaves(bar, figures, bar->out->pickup, &state, line))
        return false;
    uint32_t leaf = 0;
    for (size_t i = 0; i < figures->count; i++) {
        const struct rhythm_item *item = &figures->items[i];
        if (item->kind != RHYTHM_NOTE && item->kind != RHYTHM_REST)
            continue;
        notes[leaf].marks = item->marks;
        line->leaves[leaf].note = item->kind == RHYTHM_NOTE ? &notes[leaf] : NULL;
        leaf++;
    }
    bar->out->figures = line;
    return true;
}

static bool has_notes(const struct score_bar *bar)
{
    for (int line = 0; line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++)
            if (bar->lines[line].leaves[i].note)
                return true;
    return false;
}

/* Slashes stand for what the exercise plays in all its bars. */
static void check_slashes(struct bar_builder *bar)
{
    const struct bar_signs *signs = bar->out->signs;
    if (!signs || !signs->slashes || has_notes(bar->out) ||
        !builder_report_once(bar->builder, &bar->exercise->exercise->bars))
        return;
    diag_add(bar->builder->diags, DIAG_MISSING_KEY, bar->source->at,
             "slashes, but the exercise does not say what is played there");
    diag_expected(bar->builder->diags,
                  "in the exercise, what all its bars play, such as 'hi-hat: eighths'");
}

/* ---- signs in place of notes -------------------------------------------------------------- */

/* Whether a tie leads into the bars that a sign repeats, or out of them. */
static bool ties_cross(const struct score_bar *from, const struct score_bar *last)
{
    for (int i = 0; i < LINE_COUNT; i++) {
        const struct score_line *begin = &from->lines[i], *end = &last->lines[i];
        if ((begin->leaf_count && begin->leaves[0].continued) ||
            (end->leaf_count && end->leaves[end->leaf_count - 1].tied))
            return true;
    }
    return false;
}

/* All that was heard one or two bars ago. */
static bool take_same(struct bar_builder *bar)
{
    struct score_bar *out = bar->out;
    const struct bar_signs *signs = bar->source->signs;
    const struct score_bar *from = out - signs->same;
    if (bar->exercise->out->bar_count < signs->same)
        return false;
    if (!signs->goes_on && ties_cross(from, out - 1)) {
        diag_add(bar->builder->diags, DIAG_CONFLICT, signs->at,
                 "'same' where a tie crosses the bar line");
        diag_expected(bar->builder->diags, "the bar written out, or no tie");
        return false;
    }
    uint32_t number = out->number;
    struct place at = out->at;
    *out = *from;
    out->number = number;
    out->at = at;
    out->pulse = NULL;
    out->words = NULL;
    out->word_count = out->plays = 0;
    out->repeat_begins = out->repeat_ends = false;
    return true;
}

static void take_rest(struct bar_builder *bar)
{
    struct leaf *leaf = arena_alloc(bar->builder->arena, sizeof *leaf);
    *leaf = (struct leaf){
        .length = bar->out->length, .rest = true, .whole_bar = true, .tuplet = LEAF_NO_TUPLET};
    leaf->onset = FRACTION_ZERO;
    bar->out->lines[LINE_HANDS] = (struct score_line){.leaves = leaf, .leaf_count = 1};
    write_beats(bar);
}

static bool sign_build(struct bar_builder *bar)
{
    struct exercise_builder *exercise = bar->exercise;
    exercise->hands.held = exercise->feet.held = exercise->left.held = NULL;
    exercise->hands.last = exercise->feet.last = exercise->left.last = NULL;
    bool same = bar->source->signs->same;
    if (!same) {
        rhythm_end_tie(bar, &exercise->hands);
        rhythm_end_tie(bar, &exercise->feet);
        take_rest(bar);
    }
    exercise->hands.tie = exercise->feet.tie = (struct place){0}; /* into `same`: found there */
    if (same && !take_same(bar))
        return false;
    words_build(bar);
    return true;
}

/* ------------------------------------------------------------------------------------------- */

bool bar_build(struct bar_builder *bar)
{
    if (!open_bar(bar))
        return false;
    if (signs_play_nothing_new(bar->source->signs))
        return sign_build(bar);
    struct line_source hands;
    hands_source(bar, &hands);
    if (needs_no_sticking(bar))
        hands.sticking = NULL;
    if (bar->source->rhythm && !hands.rhythm)
        return false;
    if (!has_rhythm_or_grid(bar, &hands))
        return false;
    if (!hands.rhythm)
        hands_by_grid(bar, &hands);
    else if (!hands_by_rhythm(bar, &hands))
        return false;
    feet_build(bar);
    left_build(bar);
    check_notes(bar);
    together_build(bar);
    write_beats(bar);
    counts_build(bar);
    dynamics_build(bar);
    words_build(bar);
    check_slashes(bar);
    return figures_build(bar);
}

uint32_t bar_slots(struct builder *builder, const struct settings *settings)
{
    if (!settings->subdivisions)
        return 0;
    const struct grid *grid =
        grid_get(&builder->frames, settings->meter, settings->subdivisions, settings->counting);
    return grid->usable ? grid->slot_count : 0;
}
