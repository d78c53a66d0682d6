/* Rhythm lines: written values, rests, ties and tuplets become leaves; the bar's length is checked.
 */
#include "build/build_int.h"

#include "build/duration_words.h"

/* A tuplet that is open, or (level 0) the bar. */
struct level {
    struct fraction scale; /* sounding length of a whole note written here */
    uint16_t tuplet;
};

struct rhythm_writer {
    struct bar_builder *bar;
    const struct rhythm_line *rhythm;
    struct score_line *out;
    struct fraction now, end;
    struct level levels[LESSON_TUPLET_DEPTH_MAX + 1];
    size_t depth;
    size_t next_boundary;
    bool tied;                             /* the note before is tied to what comes */
    uint16_t beat;                         /* that `now` falls in */
    const struct rhythm_item *last;        /* item that ended last */
    const struct rhythm_item *over;        /* first item that sounds past the bar's end */
    const struct boundary *wrong;          /* first boundary where no beat begins */
    struct fraction wrong_at, right_until; /* where it is; the last right one before it */
};

static struct fraction written_length(const struct rhythm_item *item)
{
    /* d dots: (2^(d+1) - 1) / 2^d of the plain value; reduced already, being odd over a power */
    return (struct fraction){(2 << item->dots) - 1, (int64_t)1 << (item->value_log2 + item->dots)};
}

static struct fraction item_length(const struct rhythm_writer *writer,
                                   const struct rhythm_item *item)
{
    struct fraction written = written_length(item);
    return writer->depth ? fraction_multiply(written, writer->levels[writer->depth].scale)
                         : written;
}

static void write_leaf(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    struct fraction length = item_length(writer, item);
    bool rest = item->kind == RHYTHM_REST;
    writer->beat =
        fraction_ok(writer->now) ? frame_beat_at(writer->bar->frame, writer->beat, writer->now) : 0;
    writer->out->leaves[writer->out->leaf_count++] =
        (struct leaf){.onset = writer->now,
                      .length = length,
                      .value_log2 = item->value_log2,
                      .dots = item->dots,
                      .rest = rest,
                      .tied = item->tied,
                      .continued = writer->tied,
                      .tuplet = writer->levels[writer->depth].tuplet,
                      .beat = writer->beat};
    writer->tied = item->tied;
    writer->now = fraction_add(writer->now, length);
    writer->last = item;
    if (!writer->over && fraction_ok(writer->now) && fraction_compare(writer->now, writer->end) > 0)
        writer->over = item;
}

static void open_tuplet(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    const struct level *outer = &writer->levels[writer->depth];
    uint16_t index = writer->out->tuplet_count++;
    writer->out->tuplets[index] =
        (struct tuplet){.actual = item->actual,
                        .normal = item->normal,
                        .outer = outer->tuplet,
                        .depth = (uint8_t)writer->depth,
                        .first = writer->out->leaf_count,
                        .onset = writer->now,
                        .numbered = true,
                        .ratio = ratio_misleads(item->actual, item->normal)};
    struct fraction scale =
        fraction_multiply(outer->scale, fraction_make(item->normal, item->actual));
    if (writer->depth < LESSON_TUPLET_DEPTH_MAX)
        writer->depth++;
    writer->levels[writer->depth] = (struct level){scale, index};
}

static void close_tuplet(struct rhythm_writer *writer, const struct rhythm_item *item)
{
    const struct level *level = &writer->levels[writer->depth];
    struct tuplet *tuplet = &writer->out->tuplets[level->tuplet];
    tuplet->end = writer->out->leaf_count;
    tuplet->length = fraction_subtract(writer->now, tuplet->onset);
    struct fraction unit = fraction_divide(fraction_divide(tuplet->length, level->scale),
                                           fraction_make(tuplet->actual, 1));
    uint8_t dots;
    if (fraction_ok(unit))
        spelling_value(unit, 0, &tuplet->unit_log2, &dots);
    writer->depth -= writer->depth > 0;
    writer->last = item;
}

static void pass_boundaries(struct rhythm_writer *writer, size_t index)
{
    const struct rhythm_line *rhythm = writer->rhythm;
    for (; writer->next_boundary < rhythm->boundary_count &&
           rhythm->boundaries[writer->next_boundary].before == index;
         writer->next_boundary++) {
        if (writer->wrong || !fraction_ok(writer->now))
            continue;
        const struct frame *frame = writer->bar->frame;
        uint16_t beat = frame_beat_at(frame, writer->beat, writer->now);
        if (fraction_equal(frame->beats[beat].start, writer->now) ||
            fraction_equal(frame->length, writer->now)) {
            writer->right_until = writer->now;
        } else {
            writer->wrong = &rhythm->boundaries[writer->next_boundary];
            writer->wrong_at = writer->now;
        }
    }
}

/* ---- what is wrong ------------------------------------------------------------------------ */

/* "beat 2 is a triplet sixteenth short": of the two nearest beat boundaries after the last right
   one, the nearer is what was meant. */
static const char *wrong_beat_words(const struct rhythm_writer *writer)
{
    struct arena *arena = writer->bar->builder->arena;
    const struct frame *frame = writer->bar->frame;
    uint16_t beat = frame_beat_at(frame, 0, writer->wrong_at);
    struct fraction start = frame->beats[beat].start;
    struct fraction end = fraction_add(start, frame->beats[beat].length);
    struct fraction over = fraction_subtract(writer->wrong_at, start);
    struct fraction lacks = fraction_subtract(end, writer->wrong_at);
    if (fraction_compare(lacks, FRACTION_ZERO) < 0) /* past the bar's end */
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

static void report_length(const struct rhythm_writer *writer, struct fraction sum)
{
    struct builder *builder = writer->bar->builder;
    struct arena *arena = builder->arena;
    const struct meter *meter = writer->bar->frame->meter;
    struct fraction wanted = writer->bar->frame->length;
    bool too_short = fraction_compare(sum, wanted) < 0;
    struct fraction difference =
        too_short ? fraction_subtract(wanted, sum) : fraction_subtract(sum, wanted);
    struct place at = too_short ? behind(writer->last->at) : writer->over->at;
    diag_add(builder->diags, DIAG_BAR_LENGTH, at,
             "the bar is %s %s: it adds up to %s, and %s wants %s%s%s",
             duration_words(arena, difference), too_short ? "short" : "too long",
             duration_in_units(arena, sum, meter), meter_words(arena, meter),
             duration_in_units(arena, wanted, meter), writer->wrong ? "; " : "",
             writer->wrong ? wrong_beat_words(writer) : "");
    diag_found(builder->diags, duration_in_units(arena, sum, meter));
    diag_expected(builder->diags, "%s", duration_in_units(arena, wanted, meter));
    if (writer->wrong)
        diag_other(builder->diags, writer->wrong->at, "the first beat that is wrong ends here");
}

static void report_beat(const struct rhythm_writer *writer)
{
    struct builder *builder = writer->bar->builder;
    diag_add(builder->diags, DIAG_BEAT_LENGTH, writer->wrong->at, "no beat ends here: %s",
             wrong_beat_words(writer));
    diag_expected(builder->diags, "'|' only between beats");
}

static void report_pickup(const struct rhythm_writer *writer, struct fraction sum)
{
    struct builder *builder = writer->bar->builder;
    const struct meter *meter = writer->bar->frame->meter;
    diag_add(builder->diags, DIAG_BAR_LENGTH, writer->rhythm->at,
             "a pickup is shorter than its bar: this one adds up to %s, a bar of %s to %s",
             duration_in_units(builder->arena, sum, meter), meter_words(builder->arena, meter),
             duration_in_units(builder->arena, writer->bar->frame->length, meter));
    diag_expected(builder->diags, "less than %s",
                  duration_in_units(builder->arena, writer->bar->frame->length, meter));
}

static bool report_overflow(struct bar_builder *bar, const struct rhythm_line *rhythm)
{
    diag_add(bar->builder->diags, DIAG_LIMIT, rhythm->at,
             "the tuplets of this rhythm are too fine to be counted exactly");
    diag_expected(bar->builder->diags, "tuplets of smaller numbers, or fewer kinds of them");
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

/* How long a line is: of a pickup, to know where it begins. */
static struct fraction sum_of(const struct rhythm_line *rhythm)
{
    struct fraction scales[LESSON_TUPLET_DEPTH_MAX + 1] = {FRACTION_ONE}, sum = FRACTION_ZERO;
    size_t depth = 0;
    for (size_t i = 0; i < rhythm->count; i++) {
        const struct rhythm_item *item = &rhythm->items[i];
        if (item->kind == RHYTHM_TUPLET_OPEN && depth < LESSON_TUPLET_DEPTH_MAX) {
            scales[depth + 1] =
                fraction_multiply(scales[depth], fraction_make(item->normal, item->actual));
            depth++;
        } else if (item->kind == RHYTHM_TUPLET_CLOSE) {
            depth -= depth > 0;
        } else if (item->kind == RHYTHM_NOTE || item->kind == RHYTHM_REST) {
            sum = fraction_add(sum, fraction_multiply(written_length(item), scales[depth]));
        }
    }
    return sum;
}

static void open_line(struct bar_builder *bar, const struct rhythm_line *rhythm,
                      struct score_line *out)
{
    size_t tuplets = 0;
    for (size_t i = 0; i < rhythm->count; i++)
        tuplets += rhythm->items[i].kind == RHYTHM_TUPLET_OPEN;
    *out = (struct score_line){
        .leaves =
            arena_array(bar->builder->arena, rhythm->count - 2 * tuplets, sizeof *out->leaves),
        .tuplets = arena_array(bar->builder->arena, tuplets, sizeof *out->tuplets)};
}

static bool rhythm_too_long_to_index(const struct rhythm_line *rhythm)
{
    return rhythm->count >= LEAF_NO_TUPLET;
}

bool rhythm_leaves(struct bar_builder *bar, const struct rhythm_line *rhythm, bool pickup,
                   struct score_line *out)
{
    struct rhythm_writer writer = {.bar = bar,
                                   .rhythm = rhythm,
                                   .out = out,
                                   .now = FRACTION_ZERO,
                                   .end = bar->frame->length,
                                   .levels = {{FRACTION_ONE, LEAF_NO_TUPLET}},
                                   .wrong_at = FRACTION_ZERO,
                                   .right_until = FRACTION_ZERO};
    struct fraction sum = FRACTION_ZERO;
    if (rhythm_too_long_to_index(rhythm)) {
        diag_add(bar->builder->diags, DIAG_LIMIT, rhythm->at,
                 "a bar of more than %d notes, rests and brackets", LEAF_NO_TUPLET - 1);
        return false;
    }
    if (pickup) {
        sum = sum_of(rhythm);
        if (!fraction_ok(sum))
            return report_overflow(bar, rhythm);
        writer.now = fraction_subtract(bar->frame->length, sum);
        if (writer.now.numerator <= 0) {
            report_pickup(&writer, sum);
            return false;
        }
    }
    open_line(bar, rhythm, out);
    write_items(&writer);
    if (!fraction_ok(writer.now))
        return report_overflow(bar, rhythm);
    bool exact = fraction_equal(writer.now, bar->frame->length);
    if (!exact)
        report_length(&writer, writer.now);
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
    while (builder->strike_room.count < count)
        vector_push(&builder->strike_room, builder->arena);
    struct strikes strikes = {.notes = arena_array(builder->arena, count, sizeof(struct note)),
                              .items = builder->strike_room.items};
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->rest || leaf->continued)
            continue;
        uint32_t index = strikes.count++;
        strikes.items[index] = (struct strike){
            .onset = leaf->onset, .slot = (int32_t)i, .order = (uint32_t)source->state->stroke++};
    }
    return strikes;
}

/* Each struck note's place is its note value in the rhythm line. */
static void take_places(const struct rhythm_line *rhythm, struct strikes *strikes)
{
    uint32_t index = 0;
    bool tied = false;
    for (size_t i = 0; i < rhythm->count && index < strikes->count; i++) {
        if (rhythm->items[i].kind != RHYTHM_NOTE)
            continue;
        if (!tied)
            strikes->notes[index++].at = rhythm->items[i].at;
        tied = rhythm->items[i].tied;
    }
}

static size_t strokes_in(const struct stroke_line *line)
{
    size_t count = 0;
    for (size_t i = 0; i < line->count; i++)
        count += line->strokes[i].hand != HAND_NONE;
    return count;
}

/* A rudiment or pattern named beside a rhythm may go round, if it comes out even. */
static bool counts_agree(struct bar_builder *bar, const struct stroke_line *line, size_t notes)
{
    struct diags *diags = bar->builder->diags;
    size_t strokes = strokes_in(line);
    if (line->name && strokes == line->count && notes % strokes == 0)
        return true;
    if (strokes != line->count) {
        diag_add(diags, DIAG_STROKE_COUNT, line->at,
                 "an empty slot has no place beside a rhythm, which writes its rests itself");
        diag_expected(diags, "%zu stroke%s, one for each note", notes, notes == 1 ? "" : "s");
        return false;
    }
    if (strokes == notes)
        return true;
    diag_add(diags, DIAG_STROKE_COUNT, line->at,
             "the sticking has %zu stroke%s for the rhythm's %zu note%s", strokes,
             strokes == 1 ? "" : "s", notes, notes == 1 ? "" : "s");
    diag_found(diags, arena_format(bar->builder->arena, "%zu", strokes));
    diag_expected(diags, line->name ? "%zu, or a number that divides it" : "%zu", notes);
    return false;
}

/* An inherited sticking runs on over the notes; its empty slots, which belong to grids, are passed
   over. */
static void take_inherited(struct bar_builder *bar, struct strikes *strikes,
                           const struct line_source *source)
{
    const struct stroke_line *line = source->sticking;
    struct line_state *state = source->state;
    if (strokes_in(line) == 0)
        return;
    for (uint32_t i = 0; i < strikes->count; i++) {
        while (line->strokes[state->sticking].hand == HAND_NONE)
            state->sticking = (state->sticking + 1) % line->count;
        if (!state->sticking_round)
            check_boundaries_between(bar, line->boundaries, line->boundary_count, state->sticking,
                                     strikes, i);
        note_take_stroke(&strikes->notes[i], &line->strokes[state->sticking], source->mirrored,
                         line->at.file);
        if (++state->sticking == line->count) {
            state->sticking = 0;
            state->sticking_round = true;
        }
    }
}

/* Notes that a foot plays alone take no letter either, unless the sticking has one for them too. */
static const struct voicing_line *letterless(const struct bar_builder *bar,
                                             const struct strikes *strikes,
                                             const struct line_source *source, size_t *notes)
{
    const struct voicing_line *voices = source->voices;
    *notes = strikes->count;
    if (!voices || voices->count != strikes->count)
        return NULL;
    size_t hands = 0;
    for (size_t i = 0; i < voices->count; i++)
        hands += !voicing_is_feet_alone(bar, &voices->items[i]);
    if (strokes_in(source->sticking) == strikes->count)
        return NULL;
    *notes = hands;
    return voices;
}

static bool take_own(struct bar_builder *bar, struct strikes *strikes,
                     const struct line_source *source)
{
    const struct stroke_line *sticking = source->sticking;
    size_t notes, next = 0;
    const struct voicing_line *voices = letterless(bar, strikes, source, &notes);
    if (!counts_agree(bar, sticking, notes))
        return false;
    for (uint32_t i = 0; i < strikes->count; i++) {
        if (voices && voicing_is_feet_alone(bar, &voices->items[i]))
            continue;
        check_boundaries_between(bar, sticking->boundaries, sticking->boundary_count, next, strikes,
                                 i);
        note_take_stroke(&strikes->notes[i], &sticking->strokes[next++ % sticking->count],
                         source->mirrored, sticking->at.file);
    }
    return true;
}

bool rhythm_strikes(struct bar_builder *bar, struct score_line *line,
                    const struct line_source *source, struct strikes *out)
{
    const struct stroke_line *sticking = source->sticking;
    *out = open_strikes(bar, line, source);
    take_places(source->rhythm, out);
    if (!sticking || !sticking->count)
        return true;
    if (!source->sticking_own) {
        take_inherited(bar, out, source);
        return true;
    }
    return take_own(bar, out, source);
}

void rhythm_settle(struct score_line *line, const struct strikes *strikes)
{
    struct note *current = NULL;
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
}

/* ---- what is spoken ----------------------------------------------------------------------- */

/* Written triplets of quarters are counted as such: their three over both beats. */
static struct span *spoken_over_two(struct bar_builder *bar, const struct score_line *line,
                                    uint16_t beat, uint32_t first, uint32_t end)
{
    struct frame *frame = bar->frame;
    uint16_t tuplet = first < end ? line->leaves[first].tuplet : LEAF_NO_TUPLET;
    if (tuplet == LEAF_NO_TUPLET || line->tuplets[tuplet].outer != LEAF_NO_TUPLET ||
        line->tuplets[tuplet].actual != 3 ||
        !fraction_equal(line->tuplets[tuplet].onset, frame->beats[beat].start))
        return NULL;
    struct span *span =
        frame_divide(&bar->builder->frames, frame, beat, SUBDIVISION_QUARTER_TRIPLETS);
    if (!span || span->division.span != 2)
        return NULL;
    for (uint32_t i = first; i < line->tuplets[tuplet].end; i++)
        if (!line->leaves[i].rest && !line->leaves[i].continued &&
            span_slot_at(span, line->leaves[i].onset) < 0)
            return NULL;
    struct fraction length = fraction_multiply(span->division.slot, fraction_make(3, 1));
    return fraction_equal(line->tuplets[tuplet].length, length) ? span : NULL;
}

/* The parts that hold all strokes of a beat, 0 where there are too many. */
static uint32_t parts_of(const struct bar_builder *bar, const struct score_line *line,
                         uint16_t beat, uint32_t first, uint32_t end, uint16_t *written)
{
    int64_t parts = 1;
    *written = 0;
    for (uint32_t i = first; i < end && parts; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->rest || leaf->continued)
            continue;
        if (leaf->tuplet != LEAF_NO_TUPLET)
            *written = line->tuplets[leaf->tuplet].actual;
        uint32_t more = frame_parts(bar->frame, beat, leaf->onset);
        parts = more ? least_common_multiple(parts, more) : 0;
        parts = parts > SPELLING_SLOTS_MAX ? 0 : parts;
    }
    return (uint32_t)parts;
}

void rhythm_spans(struct bar_builder *bar, const struct score_line *line)
{
    struct frame *frame = bar->frame;
    uint32_t end = 0;
    for (uint16_t beat = 0; beat < frame->beat_count; beat++) {
        uint32_t first = end;
        while (end < line->leaf_count && line->leaves[end].beat == beat)
            end++;
        if (beat > 0 && bar->spans[beat - 1] && bar->spans[beat - 1]->division.span == 2 &&
            bar->spans[beat - 1]->beat == beat - 1) {
            bar->spans[beat] = bar->spans[beat - 1];
            continue;
        }
        bar->spans[beat] = spoken_over_two(bar, line, beat, first, end);
        uint16_t written;
        uint32_t parts = parts_of(bar, line, beat, first, end, &written);
        if (!bar->spans[beat])
            bar->spans[beat] = frame_coarsest(&bar->builder->frames, frame, beat, parts, written);
    }
}
