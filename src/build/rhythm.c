/*
 * A bar with a rhythm line.
 *
 *     1. Its values, rests, ties and tuplets become leaves; every `|` and the bar's length are
 *        checked on the way. A pickup is moved to the end of its bar.
 *     2. Struck leaves become strikes, and take the letters of the sticking: one written in the bar
 *        must match note by note, the exercise's runs on.
 *     3. strokes.c gives them voices and marks; leaves whose strike is silent become rests.
 *     4. For the counts, each beat gets the coarsest subdivision that has a slot for every stroke.
 */
#include "build/build_int.h"

#include "build/duration_words.h"

/*
 * Time inside a nesting is counted in whole ticks of its written values, so that a leaf costs one
 * reduction and no sums of fractions: `ticks` after the nesting's start it is
 * (base + ticks * step) / denominator of a whole note. A sixty-fourth with three dots is 15 ticks.
 */
enum { TICKS_LOG2 = 9 };

/* An open tuplet, or (nesting 0) the bar. */
struct nesting {
    int64_t base, step, denominator;
    int64_t ticks;         /* so far, in this nesting's written values */
    struct fraction scale; /* sounding length of a whole note written here */
    bool measured;         /* a leaf's value, which stands below with its length */
    struct fraction length;
    uint8_t value_log2, dots;
    uint16_t tuplet;
};

struct rhythm_writer {
    struct bar_builder *bar;
    const struct rhythm_line *rhythm;
    struct score_line *out;
    struct nesting nestings[LESSON_TUPLET_DEPTH_MAX + 1];
    size_t depth;
    bool overflow;
    size_t next_boundary;
    bool tied;                             /* the note before is tied to the next */
    uint16_t beat;                         /* the beat that the last leaf began in */
    const struct rhythm_item *last;        /* the last note or rest */
    const struct boundary *wrong;          /* the first `|` where no beat begins */
    struct fraction wrong_at, right_until; /* its onset; that of the last correct one before it */
};

static int64_t written_ticks(const struct rhythm_item *item)
{
    int64_t plain = (INT64_C(1) << TICKS_LOG2) >> item->value_log2;
    return 2 * plain - (plain >> item->dots);
}

/* A fraction over a power of two needs no division to be reduced. */
static struct fraction reduced(int64_t numerator, int64_t denominator)
{
    if (numerator <= 0 || (denominator & (denominator - 1)) != 0)
        return fraction_make(numerator, denominator);
    int zeros = __builtin_ctzll((uint64_t)numerator | (uint64_t)denominator);
    return (struct fraction){numerator >> zeros, denominator >> zeros};
}

static struct fraction now(struct rhythm_writer *writer)
{
    const struct nesting *nesting = &writer->nestings[writer->depth];
    int64_t ahead, numerator;
    if (__builtin_mul_overflow(nesting->ticks, nesting->step, &ahead) ||
        __builtin_add_overflow(nesting->base, ahead, &numerator)) {
        writer->overflow = true;
        return FRACTION_ZERO;
    }
    return reduced(numerator, nesting->denominator);
}

/* Counts ticks of `scale` / 512 from `start` on, over their common denominator. */
static bool open_nesting(struct nesting *nesting, struct fraction start, struct fraction scale,
                         uint16_t tuplet)
{
    struct fraction tick = fraction_divide(scale, fraction_make((int64_t)1 << TICKS_LOG2, 1));
    *nesting = (struct nesting){.scale = scale, .tuplet = tuplet};
    if (!fraction_ok(start) || !fraction_ok(tick))
        return false;
    nesting->denominator = least_common_multiple(start.denominator, tick.denominator);
    return nesting->denominator &&
           !__builtin_mul_overflow(start.numerator, nesting->denominator / start.denominator,
                                   &nesting->base) &&
           !__builtin_mul_overflow(tick.numerator, nesting->denominator / tick.denominator,
                                   &nesting->step);
}

/* Leaves of the same value in a row share one computation. */
static struct fraction leaf_length(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    struct nesting *nesting = &writer->nestings[writer->depth];
    int64_t length;
    if (nesting->measured && nesting->value_log2 == item->value_log2 && nesting->dots == item->dots)
        return nesting->length;
    if (__builtin_mul_overflow(written_ticks(item), nesting->step, &length)) {
        writer->overflow = true;
        return FRACTION_ZERO;
    }
    nesting->measured = true;
    nesting->value_log2 = item->value_log2;
    nesting->dots = item->dots;
    return nesting->length = reduced(length, nesting->denominator);
}

static void write_leaf(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    struct fraction onset = now(writer);
    writer->beat = frame_beat_at(writer->bar->frame, writer->beat, onset);
    writer->out->leaves[writer->out->leaf_count++] =
        (struct leaf){.onset = onset,
                      .length = leaf_length(writer, item),
                      .value_log2 = item->value_log2,
                      .dots = item->dots,
                      .rest = item->kind == RHYTHM_REST,
                      .tied = item->tied,
                      .continued = writer->tied,
                      .tuplet = writer->nestings[writer->depth].tuplet,
                      .beat = writer->beat};
    writer->tied = item->tied;
    writer->nestings[writer->depth].ticks += written_ticks(item);
    writer->last = item;
}

static void open_tuplet(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    const struct nesting *outer = &writer->nestings[writer->depth];
    struct fraction onset = now(writer);
    uint16_t index = writer->out->tuplet_count++;
    writer->out->tuplets[index] =
        (struct tuplet){.actual = item->actual,
                        .normal = item->normal,
                        .outer = outer->tuplet,
                        .depth = (uint8_t)writer->depth,
                        .first = writer->out->leaf_count,
                        .onset = onset,
                        .numbered = true,
                        .ratio = ratio_misleads(item->actual, item->normal)};
    struct fraction scale =
        fraction_multiply(outer->scale, fraction_make(item->normal, item->actual));
    if (writer->depth < LESSON_TUPLET_DEPTH_MAX)
        writer->depth++;
    writer->overflow |= !open_nesting(&writer->nestings[writer->depth], onset, scale, index);
}

/* The reader has checked that the notes inside add up to `actual` plain values. */
static void close_tuplet(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    const struct nesting *nesting = &writer->nestings[writer->depth];
    struct tuplet *tuplet = &writer->out->tuplets[nesting->tuplet];
    int64_t unit = nesting->ticks / tuplet->actual, length;
    tuplet->end = writer->out->leaf_count;
    writer->overflow |= __builtin_mul_overflow(nesting->ticks, nesting->step, &length);
    tuplet->length = writer->overflow ? FRACTION_ZERO : reduced(length, nesting->denominator);
    tuplet->unit_log2 = (uint8_t)(TICKS_LOG2 - __builtin_ctzll((uint64_t)unit | 1 << TICKS_LOG2));
    writer->depth -= writer->depth > 0;
    writer->nestings[writer->depth].ticks += unit * tuplet->normal;
    writer->last = item;
}

static void pass_boundary(struct rhythm_writer *writer, const struct boundary *boundary)
{
    const struct frame *frame = writer->bar->frame;
    struct fraction here = now(writer);
    if (writer->wrong || writer->overflow)
        return;
    uint16_t beat = frame_beat_at(frame, writer->beat, here);
    if (fraction_equal(frame->beats[beat].start, here) || fraction_equal(frame->length, here)) {
        writer->right_until = here;
    } else {
        writer->wrong = boundary;
        writer->wrong_at = here;
    }
}

static void pass_boundaries(struct rhythm_writer *writer, size_t index)
{
    const struct rhythm_line *rhythm = writer->rhythm;
    while (writer->next_boundary < rhythm->boundary_count &&
           rhythm->boundaries[writer->next_boundary].before == index)
        pass_boundary(writer, &rhythm->boundaries[writer->next_boundary++]);
}

/* ---- what is wrong ------------------------------------------------------------------------ */

/* "beat 2 is a triplet sixteenth short". The author probably meant the beat boundary nearest to the
   wrong `|`. */
static const char *wrong_beat_words(const struct rhythm_writer *writer)
{
    struct arena *arena = writer->bar->builder->arena;
    const struct frame *frame = writer->bar->frame;
    uint16_t beat = frame_beat_at(frame, 0, writer->wrong_at);
    struct fraction start = frame->beats[beat].start;
    struct fraction end = fraction_add(start, frame->beats[beat].length);
    struct fraction over = fraction_subtract(writer->wrong_at, start);
    struct fraction lacks = fraction_subtract(end, writer->wrong_at);
    if (fraction_compare(lacks, FRACTION_ZERO) < 0) /* after the end of the bar */
        return arena_format(arena, "beat %u is %s too long", frame->beat_count + 0u,
                            duration_words(arena, fraction_subtract(writer->wrong_at, end)));
    bool long_before =
        fraction_compare(over, lacks) <= 0 && fraction_compare(start, writer->right_until) > 0;
    if (long_before)
        return arena_format(arena, "beat %u is %s too long", beat + 0u,
                            duration_words(arena, over));
    return arena_format(arena, "beat %u is %s short", beat + 1u, duration_words(arena, lacks));
}

static struct place behind(struct place at)
{
    return place_at(at, at.length, 1);
}

/* The first note or rest that lasts beyond the end of the bar. */
static const struct rhythm_item *first_over(const struct rhythm_writer *writer)
{
    const struct score_line *line = writer->out;
    uint32_t leaf = 0;
    for (size_t i = 0; i < writer->rhythm->count && leaf < line->leaf_count; i++) {
        const struct rhythm_item *item = &writer->rhythm->items[i];
        if (item->kind != RHYTHM_NOTE && item->kind != RHYTHM_REST)
            continue;
        struct fraction end = fraction_add(line->leaves[leaf].onset, line->leaves[leaf].length);
        if (!fraction_ok(end) || fraction_compare(end, writer->bar->frame->length) > 0)
            return item;
        leaf++;
    }
    return writer->last;
}

static void report_length(const struct rhythm_writer *writer, struct fraction sum)
{
    struct builder *builder = writer->bar->builder;
    struct arena *arena = builder->arena;
    const struct meter *meter = writer->bar->frame->meter;
    struct fraction wanted = writer->bar->frame->length;
    bool too_short = fraction_compare(sum, wanted) < 0;
    struct fraction difference =
        too_short ? fraction_subtract(wanted, sum) : fraction_subtract(sum, wanted);
    if (!builder_report_once(builder, writer->rhythm)) /* all bars of an exercise can share it */
        return;
    const char *of_bar = bar_words(writer->bar);
    struct place at = too_short ? behind(writer->last->at) : first_over(writer)->at;
    diag_add(builder->diags, DIAG_BAR_LENGTH, at,
             "the %s%s is %s %s: it adds up to %s, but a bar of %s has %s%s%s",
             *of_bar ? "rhythm" : "bar", of_bar, duration_words(arena, difference),
             too_short ? "short" : "too long", duration_in_units(arena, sum, meter),
             meter_words(arena, meter), duration_in_units(arena, wanted, meter),
             writer->wrong ? "; " : "", writer->wrong ? wrong_beat_words(writer) : "");
    diag_found(builder->diags, duration_in_units(arena, sum, meter));
    diag_expected(builder->diags, "%s", duration_in_units(arena, wanted, meter));
    if (writer->wrong)
        diag_other(builder->diags, writer->wrong->at, "the first wrong beat ends here");
}

static void report_beat(const struct rhythm_writer *writer)
{
    struct builder *builder = writer->bar->builder;
    if (!builder_report_once(builder, writer->rhythm))
        return;
    diag_add(builder->diags, DIAG_BEAT_LENGTH, writer->wrong->at, "no beat%s ends here: %s",
             bar_words(writer->bar), wrong_beat_words(writer));
    diag_expected(builder->diags, "'|' only between beats");
}

static void report_pickup(const struct rhythm_writer *writer, struct fraction sum)
{
    struct builder *builder = writer->bar->builder;
    const struct meter *meter = writer->bar->frame->meter;
    diag_add(
        builder->diags, DIAG_BAR_LENGTH, writer->rhythm->at,
        "a pickup must be shorter than its bar: this one adds up to %s, and a bar of %s has %s",
        duration_in_units(builder->arena, sum, meter), meter_words(builder->arena, meter),
        duration_in_units(builder->arena, writer->bar->frame->length, meter));
    diag_expected(builder->diags, "less than %s",
                  duration_in_units(builder->arena, writer->bar->frame->length, meter));
}

static bool report_overflow(struct bar_builder *bar, const struct rhythm_line *rhythm)
{
    diag_add(bar->builder->diags, DIAG_LIMIT, rhythm->at,
             "the tuplets of this rhythm are too fine to count exactly");
    diag_expected(bar->builder->diags, "smaller tuplet numbers, or fewer different ones");
    return false;
}

/* ---- writing ------------------------------------------------------------------------------ */

static void write_items(struct rhythm_writer *writer)
{
    const struct rhythm_line *rhythm = writer->rhythm;
    for (size_t i = 0; i < rhythm->count; i++) {
        const struct rhythm_item *item = &rhythm->items[i];
        pass_boundaries(writer, i);
        if (item->kind == RHYTHM_TUPLET_OPEN)
            open_tuplet(writer, item);
        else if (item->kind == RHYTHM_TUPLET_CLOSE)
            close_tuplet(writer, item);
        else
            write_leaf(writer, item);
    }
    pass_boundaries(writer, rhythm->count);
}

static void open_line(struct bar_builder *bar, const struct rhythm_line *rhythm,
                      struct score_line *out)
{
    size_t tuplets = 0;
    for (size_t i = 0; i < rhythm->count; i++)
        tuplets += rhythm->items[i].kind == RHYTHM_TUPLET_OPEN;
    *out = (struct score_line){
        .leaves =
            arena_array_room(bar->builder->arena, rhythm->count - 2 * tuplets, sizeof *out->leaves),
        .tuplets = arena_array_room(bar->builder->arena, tuplets, sizeof *out->tuplets)};
}

/* Writes the line from `start` on. Returns where it ends. */
static struct fraction write_from(struct rhythm_writer *writer, struct bar_builder *bar,
                                  const struct rhythm_line *rhythm, struct fraction start,
                                  bool tied, struct score_line *out)
{
    *writer = (struct rhythm_writer){
        .bar = bar, .rhythm = rhythm, .out = out, .tied = tied, .right_until = FRACTION_ZERO};
    out->leaf_count = out->tuplet_count = 0;
    open_nesting(&writer->nestings[0], start, FRACTION_ONE, LEAF_NO_TUPLET);
    write_items(writer);
    return now(writer);
}

static bool begins_with_rest(const struct rhythm_line *rhythm)
{
    size_t first = 0;
    while (first < rhythm->count && rhythm->items[first].kind == RHYTHM_TUPLET_OPEN)
        first++;
    return first < rhythm->count && rhythm->items[first].kind == RHYTHM_REST;
}

static void report_tie(struct builder *builder, struct place at, const char *message,
                       struct place other)
{
    diag_add(builder->diags, DIAG_BAD_RHYTHM, at, "%s", message);
    diag_expected(builder->diags, "a note for the + at the beginning of the next bar's rhythm");
    diag_other(builder->diags, other, "the next bar is here");
}

void rhythm_end_tie(struct bar_builder *bar, struct line_state *state)
{
    if (state->tie.file)
        report_tie(bar->builder, state->tie, "a tie into a bar that has no rhythm line",
                   bar->source->at);
    state->tie = (struct place){0};
}

bool rhythm_leaves(struct bar_builder *bar, const struct rhythm_line *rhythm, bool pickup,
                   const struct line_state *state, struct score_line *out)
{
    struct rhythm_writer writer;
    bool tied = state->tie.file != NULL;
    if (rhythm->count >= LEAF_NO_TUPLET) {
        diag_add(bar->builder->diags, DIAG_LIMIT, rhythm->at,
                 "more than %d notes, rests and brackets in one bar", LEAF_NO_TUPLET - 1);
        return false;
    }
    if (tied && begins_with_rest(rhythm)) {
        report_tie(bar->builder, state->tie, "a tie into a rest at the beginning of the next bar",
                   rhythm->at);
        return false;
    }
    open_line(bar, rhythm, out);
    struct fraction end = write_from(&writer, bar, rhythm, FRACTION_ZERO, tied, out);
    if (pickup) { /* it ends where the bar ends */
        struct fraction start = fraction_subtract(bar->frame->length, end);
        if (start.numerator <= 0) {
            report_pickup(&writer, end);
            return false;
        }
        end = write_from(&writer, bar, rhythm, start, tied, out);
    }
    if (writer.overflow)
        return report_overflow(bar, rhythm);
    bool exact = fraction_equal(end, bar->frame->length);
    if (!exact)
        report_length(&writer, end);
    else if (writer.wrong)
        report_beat(&writer);
    return exact && !writer.wrong;
}

/* ---- strokes ------------------------------------------------------------------------------ */

static uint32_t count_struck(const struct score_line *line)
{
    uint32_t count = 0;
    for (size_t i = 0; i < line->leaf_count; i++)
        count += !line->leaves[i].rest && !line->leaves[i].continued;
    return count;
}

static struct strikes open_strikes(struct bar_builder *bar, struct score_line *line,
                                   const struct line_source *source)
{
    struct builder *builder = bar->builder;
    uint32_t count = count_struck(line);
    vector_reserve(&builder->strike_room, count, builder->arena);
    struct strikes strikes = {.notes = arena_array_room(builder->arena, count, sizeof(struct note)),
                              .items = builder->strike_room.items};
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->rest || leaf->continued)
            continue;
        uint32_t index = strikes.count++, number = (uint32_t)source->state->stroke++;
        strikes.items[index] =
            (struct strike){.onset = leaf->onset, .slot = (int32_t)i, .number = number};
        strikes.notes[index] = (struct note){.number = number};
    }
    return strikes;
}

/* A note's place in the file is that of its value in the rhythm line. */
static void take_places(const struct rhythm_line *rhythm, bool tied, struct strikes *strikes)
{
    uint32_t index = 0;
    for (size_t i = 0; i < rhythm->count && index < strikes->count; i++) {
        if (rhythm->items[i].kind != RHYTHM_NOTE)
            continue;
        if (!tied)
            strikes->notes[index++].at = rhythm->items[i].at;
        tied = rhythm->items[i].tied;
    }
}

/* A named rudiment or pattern may repeat, if it ends with the last note. */
static bool counts_agree(struct bar_builder *bar, const struct stroke_line *line, size_t notes)
{
    struct diags *diags = bar->builder->diags;
    size_t strokes = line->struck;
    if (line->name && strokes == line->count && notes % strokes == 0)
        return true;
    if (strokes != line->count) {
        diag_add(diags, DIAG_STROKE_COUNT, line->at,
                 "an empty slot in the sticking, but the rhythm has its own rests");
        diag_expected(diags, "%zu stroke%s, one for each note", notes, notes == 1 ? "" : "s");
        return false;
    }
    if (strokes == notes)
        return true;
    diag_add(diags, DIAG_STROKE_COUNT, line->at,
             "the sticking has %zu stroke%s, but the rhythm%s has %zu note%s", strokes,
             strokes == 1 ? "" : "s", bar_words(bar), notes, notes == 1 ? "" : "s");
    diag_found(diags, arena_format(bar->builder->arena, "%zu", strokes));
    diag_expected(diags, line->name ? "%zu, or a number that divides it" : "%zu", notes);
    return false;
}

/* The exercise's sticking runs on over the notes. Its empty slots are meant for grids and skipped.
 */
static void take_inherited(struct bar_builder *bar, struct strikes *strikes,
                           const struct line_source *source)
{
    const struct stroke_line *line = source->sticking;
    struct line_state *state = source->state;
    if (line->struck == 0)
        return;
    for (uint32_t i = 0; i < strikes->count; i++) {
        while (line->strokes[state->sticking].hand == HAND_NONE)
            state->sticking = (state->sticking + 1) % line->count;
        if (!state->sticking_round)
            check_boundaries_between(bar, line->boundaries, line->boundary_count, state->sticking,
                                     strikes, i, (int64_t)i - 1);
        note_take_stroke(&strikes->notes[i], &line->strokes[state->sticking],
                         strikes->items[i].number, line->at.file);
        if (++state->sticking == line->count) {
            state->sticking = 0;
            state->sticking_round = true;
        }
    }
}

/* A note that only a foot plays needs no letter. If the sticking has no letters for such notes,
 *sets notes to the others and returns the voices, which say which those are; otherwise NULL. */
static const struct voicing_line *letterless(const struct bar_builder *bar,
                                             const struct strikes *strikes,
                                             const struct line_source *source, size_t *notes)
{
    const struct voicing_line *voices = source->voices;
    *notes = strikes->count;
    if (!voices || voices->count != *notes || source->sticking->struck == *notes)
        return NULL;
    for (size_t i = 0; i < voices->count; i++)
        *notes -= voicing_is_feet_alone(bar, &voices->items[i]);
    return voices;
}

static bool take_own(struct bar_builder *bar, struct strikes *strikes,
                     const struct line_source *source)
{
    const struct stroke_line *sticking = source->sticking;
    size_t notes, next = 0;
    const struct voicing_line *voices = letterless(bar, strikes, source, &notes);
    if (!source->goes_round && !counts_agree(bar, sticking, notes))
        return false;
    for (uint32_t i = 0; i < strikes->count; i++) {
        if (voices && voicing_is_feet_alone(bar, &voices->items[i]))
            continue;
        check_boundaries_between(bar, sticking->boundaries, sticking->boundary_count, next, strikes,
                                 i, (int64_t)i - 1);
        note_take_stroke(&strikes->notes[i], &sticking->strokes[next++ % sticking->count],
                         strikes->items[i].number, sticking->at.file);
    }
    return true;
}

bool rhythm_strikes(struct bar_builder *bar, struct score_line *line,
                    const struct line_source *source, struct strikes *out)
{
    const struct stroke_line *sticking = source->sticking;
    *out = open_strikes(bar, line, source);
    take_places(source->rhythm, source->state->tie.file != NULL, out);
    if (!sticking || !sticking->count)
        return true;
    if (!source->sticking_own) {
        take_inherited(bar, out, source);
        return true;
    }
    return take_own(bar, out, source);
}

/* The tie goes on from the last note, into the next bar. */
static void lead_on(struct bar_builder *bar, const struct rhythm_line *rhythm,
                    const struct score_line *line, struct line_state *state)
{
    struct leaf *last = line->leaf_count ? &line->leaves[line->leaf_count - 1] : NULL;
    state->last = last;
    state->tie = rhythm->tie;
    state->held = last && rhythm->tie.file ? last->note : NULL;
    if (rhythm->tie.file)
        *vector_push(&bar->builder->ties, bar->builder->arena) =
            (struct crossing_tie){bar->exercise->out->bar_count, rhythm->tie};
}

void rhythm_settle(struct bar_builder *bar, const struct rhythm_line *rhythm,
                   struct score_line *line, const struct strikes *strikes, struct line_state *state)
{
    struct note *current = state->tie.file ? state->held : NULL;
    uint32_t next = 0;
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        struct leaf *leaf = &line->leaves[i];
        if (leaf->rest)
            continue;
        if (!leaf->continued) {
            const struct strike *strike = &strikes->items[next];
            current = strike->silent ? NULL : &strikes->notes[next];
            next++;
        }
        leaf->note = current;
        if (current)
            continue;
        leaf->rest = true;
        leaf->tied = leaf->continued = false;
    }
    if (line->leaf_count == 1 && line->leaves[0].rest && !bar->out->pickup)
        line->leaves[0] = frame_bar_rest(bar->frame);
    lead_on(bar, rhythm, line, state);
}

/* ---- what is spoken ----------------------------------------------------------------------- */

/* A written quarter triplet is counted as one: three counts over both beats. */
static struct span *spoken_over_two(struct bar_builder *bar, struct frame *frame,
                                    const struct score_line *line, uint16_t beat, uint32_t first,
                                    uint32_t end)
{
    uint16_t tuplet = first < end ? line->leaves[first].tuplet : LEAF_NO_TUPLET;
    if (tuplet == LEAF_NO_TUPLET || line->tuplets[tuplet].outer != LEAF_NO_TUPLET ||
        line->tuplets[tuplet].actual != 3 ||
        !fraction_equal(line->tuplets[tuplet].onset, frame->beats[beat].start))
        return NULL;
    struct span *span =
        frame_divide(&bar->builder->frames, frame, beat, SUBDIVISION_QUARTER_TRIPLETS);
    if (!span || span->division.beats != 2)
        return NULL;
    for (uint32_t i = first; i < line->tuplets[tuplet].end; i++)
        if (!line->leaves[i].rest && !line->leaves[i].continued &&
            span_slot_at(span, line->leaves[i].onset) < 0)
            return NULL;
    struct fraction length = fraction_multiply(span->division.slot, fraction_make(3, 1));
    return fraction_equal(line->tuplets[tuplet].length, length) ? span : NULL;
}

/* Into how many equal parts the beat must be cut to have all its strokes; 0 if too many. */
static uint32_t parts_of(const struct frame *frame, const struct score_line *line, uint16_t beat,
                         uint32_t first, uint32_t end, uint16_t *written)
{
    uint32_t parts = 1;
    *written = 0;
    for (uint32_t i = first; i < end && parts; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->rest || leaf->continued)
            continue;
        if (leaf->tuplet != LEAF_NO_TUPLET)
            *written = line->tuplets[leaf->tuplet].actual;
        parts = frame_parts(frame, beat, leaf->onset, parts);
    }
    return parts;
}

/* Whether the beat is one triplet in which a note lasts a third: 3(8 16 16 8), not 3(16*6). */
static bool is_triplet_of_thirds(const struct frame *frame, const struct score_line *line,
                                 uint16_t beat, uint32_t first, uint32_t end)
{
    uint16_t index = first < end ? line->leaves[first].tuplet : LEAF_NO_TUPLET;
    if (index == LEAF_NO_TUPLET)
        return false;
    const struct tuplet *tuplet = &line->tuplets[index];
    return tuplet->actual == 3 && tuplet->outer == LEAF_NO_TUPLET && tuplet->first == first &&
           tuplet->end == end && end - first < 6 &&
           fraction_equal(tuplet->length, frame->beats[beat].length);
}

static void find_spans(struct bar_builder *bar, struct frame *frame, const struct score_line *line,
                       struct span **spans)
{
    uint32_t end = 0;
    for (uint16_t beat = 0; beat < frame->beat_count; beat++) {
        uint32_t first = end;
        while (end < line->leaf_count &&
               frame_beat_at(frame, beat, line->leaves[end].onset) == beat)
            end++;
        if (beat > 0 && spans[beat - 1] && spans[beat - 1]->division.beats == 2 &&
            spans[beat - 1]->beat == beat - 1) {
            spans[beat] = spans[beat - 1];
            continue;
        }
        spans[beat] = spoken_over_two(bar, frame, line, beat, first, end);
        uint16_t written;
        uint32_t parts = parts_of(frame, line, beat, first, end, &written);
        if (!spans[beat] && parts == 6 && is_triplet_of_thirds(frame, line, beat, first, end))
            spans[beat] = frame_halved_thirds(&bar->builder->frames, frame, beat);
        else if (!spans[beat])
            spans[beat] = frame_coarsest(&bar->builder->frames, frame, beat, parts, written);
    }
}

void rhythm_spans(struct bar_builder *bar, const struct score_line *line, struct span **spans,
                  struct span **unit_spans)
{
    find_spans(bar, bar->frame, line, spans);
    if (bar->counted.frame != bar->frame)
        find_spans(bar, bar->counted.frame, line, unit_spans);
}
