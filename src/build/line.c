/*
 * From struck slots to the leaves of a line.
 *
 *     1. A stroke that rings is carried on into the spans after it.
 *     2. Empty spans become rests: over several beats at once where the meter allows it, or over
 *        the whole bar.
 *     3. Every other span is looked up as a pattern (span_place()) and copied.
 *     4. Struck leaves get the notes in order; continuations get the note that rings.
 *
 * On a grid, a bar with the same struck slots as an earlier one copies that line.
 */
#include "build/build_int.h"

#include <string.h>

/* A line that is being written. */
struct line_writer {
    struct bar_builder *bar;
    const struct divided_line *divided;
    struct score_line *out;
    const struct placed *placed[METER_BEATS_MAX]; /* by span; NULL: rests */
    uint8_t rest_beats[METER_BEATS_MAX]; /* by beat: the length of the rest that begins here */
};

static bool span_empty(const struct divided_line *divided, size_t i)
{
    return divided->onsets[i].struck == 0 && !divided->onsets[i].held_in &&
           divided->onsets[i].first == 0;
}

/* Carries a stroke that rings on into the spans after it, up to the next stroke. */
static void carry_held(struct divided_line *divided, bool held)
{
    for (size_t i = 0; i < divided->count; i++) {
        divided->onsets[i].held_in =
            held && !(divided->onsets[i].struck >> divided->onsets[i].first & 1);
        uint64_t struck = divided->onsets[i].struck;
        if (struck)
            held = divided->onsets[i].sustained >> (63 - __builtin_clzll(struck)) & 1;
    }
}

/* Finds the empty beats, and where rests over one or more of them begin. */
static void spread_rests(struct line_writer *writer)
{
    const struct divided_line *divided = writer->divided;
    const struct frame *frame = writer->bar->frame;
    bool empty[METER_BEATS_MAX];
    memset(empty, 0, frame->beat_count * sizeof *empty);
    memset(writer->rest_beats, 0, frame->beat_count * sizeof *writer->rest_beats);
    for (size_t i = 0; i < divided->count; i++)
        for (size_t b = 0; b < divided->spans[i]->division.beats; b++)
            empty[divided->spans[i]->beat + b] = span_empty(divided, i);
    for (size_t beat = 0; beat < frame->beat_count;) {
        size_t beats = frame->rest_beats[beat];
        for (size_t n = 0; n < beats; n++)
            if (!empty[beat + n]) {
                beats /= 2;
                n = (size_t)-1;
            }
        writer->rest_beats[beat] = (uint8_t)beats;
        beat += beats ? beats : 1;
    }
}

static void measure(struct line_writer *writer, uint32_t *leaves, uint32_t *tuplets)
{
    const struct divided_line *divided = writer->divided;
    *leaves = *tuplets = 0;
    for (size_t i = 0; i < divided->count; i++) {
        writer->placed[i] = NULL;
        if (span_empty(divided, i)) {
            for (size_t b = 0; b < divided->spans[i]->division.beats; b++)
                *leaves += writer->rest_beats[divided->spans[i]->beat + b] > 0;
            continue;
        }
        writer->placed[i] =
            span_place(&writer->bar->builder->frames, divided->spans[i], divided->onsets[i]);
        *leaves += writer->placed[i]->leaf_count;
        *tuplets += writer->placed[i]->tuplet_count;
    }
}

static void append_placed(struct score_line *out, const struct placed *placed)
{
    uint32_t first_leaf = out->leaf_count;
    uint16_t first_tuplet = out->tuplet_count;
    memcpy(&out->leaves[first_leaf], placed->leaves, placed->leaf_count * sizeof *out->leaves);
    out->leaf_count += placed->leaf_count;
    if (placed->tuplet_count == 0)
        return;
    for (uint32_t i = first_leaf; i < out->leaf_count; i++)
        if (out->leaves[i].tuplet != LEAF_NO_TUPLET)
            out->leaves[i].tuplet = (uint16_t)(out->leaves[i].tuplet + first_tuplet);
    memcpy(&out->tuplets[first_tuplet], placed->tuplets,
           placed->tuplet_count * sizeof *out->tuplets);
    out->tuplet_count = (uint16_t)(first_tuplet + placed->tuplet_count);
    for (uint16_t i = first_tuplet; i < out->tuplet_count; i++) {
        out->tuplets[i].first += first_leaf;
        out->tuplets[i].end += first_leaf;
    }
}

/* The rests of an empty span. A rest that covers several beats is written at its first one. */
static void append_rests(struct line_writer *writer, size_t i)
{
    const struct span *span = writer->divided->spans[i];
    for (size_t b = span->beat; b < span->beat + (size_t)span->division.beats; b++)
        if (writer->rest_beats[b])
            writer->out->leaves[writer->out->leaf_count++] =
                *frame_rest(writer->bar->frame, b, writer->rest_beats[b]);
}

/* `written`: the leaves, or those that they are a copy of, which can be looked at sooner. */
static void hand_out_notes(const struct leaf *written, struct score_line *out, struct note *notes,
                           struct line_state *state)
{
    struct note *current = state->held;
    for (uint32_t i = 0; i < out->leaf_count; i++) {
        struct leaf *leaf = &out->leaves[i];
        if (written[i].rest) {
            current = NULL;
            continue;
        }
        if (!written[i].continued)
            current = notes++;
        else if (i > 0)
            out->leaves[i - 1].tied = true;
        else if (state->last)
            state->last->tied = true;
        leaf->note = current;
    }
}

static void whole_bar_rest(struct bar_builder *bar, struct score_line *out)
{
    out->leaves = arena_array(bar->builder->arena, 1, sizeof *out->leaves);
    out->leaves[0] = frame_bar_rest(bar->frame);
    out->leaf_count = 1;
}

static bool all_empty(const struct divided_line *divided)
{
    for (size_t i = 0; i < divided->count; i++)
        if (divided->onsets[i].struck || divided->onsets[i].held_in)
            return false;
    return true;
}

static void remember_end(struct line_state *state, struct score_line *out)
{
    struct leaf *last = out->leaf_count ? &out->leaves[out->leaf_count - 1] : NULL;
    bool rings = last && last->note && last->note->marks & MARK_RING;
    state->last = last;
    state->held = rings ? last->note : NULL;
}

static bool tuplets_alike(const struct tuplet *a, const struct tuplet *b)
{
    return a->actual == b->actual && a->normal == b->normal && a->unit_log2 == b->unit_log2 &&
           a->outer == b->outer && fraction_equal(fraction_add(a->onset, a->length), b->onset);
}

void line_number_tuplets(const struct bar_builder *bar, struct score_line *line)
{
    if (!bar->source->settings->show->tuplet_numbers_first)
        return;
    uint16_t before[LESSON_TUPLET_DEPTH_MAX + 1];
    memset(before, 0xFF, sizeof before);
    for (uint16_t i = 0; i < line->tuplet_count; i++) {
        struct tuplet *tuplet = &line->tuplets[i];
        uint16_t *last = &before[tuplet->depth <= LESSON_TUPLET_DEPTH_MAX ? tuplet->depth : 0];
        if (*last != LEAF_NO_TUPLET && tuplets_alike(&line->tuplets[*last], tuplet))
            tuplet->numbered = false;
        *last = i;
    }
}

void line_write(struct bar_builder *bar, struct divided_line *divided, struct note *notes,
                struct line_state *state, struct score_line *out)
{
    *out = (struct score_line){0};
    carry_held(divided, state->held != NULL);
    if (!divided->partial && all_empty(divided)) {
        whole_bar_rest(bar, out);
        remember_end(state, out);
        return;
    }
    struct line_writer writer;
    writer.bar = bar;
    writer.divided = divided;
    writer.out = out;
    uint32_t leaves, tuplets;
    spread_rests(&writer);
    measure(&writer, &leaves, &tuplets);
    out->leaves = arena_array_room(bar->builder->arena, leaves, sizeof *out->leaves);
    out->tuplets = arena_array_room(bar->builder->arena, tuplets, sizeof *out->tuplets);
    for (size_t i = 0; i < divided->count; i++) {
        if (writer.placed[i])
            append_placed(out, writer.placed[i]);
        else
            append_rests(&writer, i);
    }
    hand_out_notes(out->leaves, out, notes, state);
    line_number_tuplets(bar, out);
    remember_end(state, out);
}

/* ---- on a grid ---------------------------------------------------------------------------- */

/* The set's bits for the slots of a span, the first slot as bit 0. */
static uint64_t bits_of(const struct slots *slots, const struct span *span)
{
    uint32_t word = span->first_slot / 64, shift = span->first_slot % 64;
    uint32_t count = span->division.slots;
    uint64_t bits = slots->words[word] >> shift;
    if (shift + count > 64)
        bits |= slots->words[word + 1] << (64 - shift);
    return count < 64 ? bits & (((uint64_t)1 << count) - 1) : bits;
}

static void divide_on_grid(struct bar_builder *bar, const struct grid *grid,
                           struct divided_line *divided)
{
    struct builder *builder = bar->builder;
    divided->partial = bar->first_slot > 0;
    divided->count = 0;
    for (size_t i = 0; i < grid->span_count; i++) {
        struct span *span = grid->spans[i];
        if (span->first_slot + span->division.slots <= bar->first_slot)
            continue;
        struct spelling_onsets *onsets = &divided->onsets[divided->count];
        *onsets = (struct spelling_onsets){.struck = bits_of(&builder->sounding, span),
                                           .sustained = bits_of(&builder->ringing, span)};
        if (span->first_slot < bar->first_slot && !span->division.tuplet_actual)
            onsets->first = (uint8_t)(bar->first_slot - span->first_slot);
        divided->spans[divided->count++] = span;
    }
}

/* The entry for a line with these struck slots; NULL if more than those decides how it is written.
 */
static struct known_line *known_line(const struct bar_builder *bar, struct grid *grid,
                                     const struct line_state *state)
{
    const struct builder *builder = bar->builder;
    if (grid->slot_count > 64 || builder->ringing.words[0] || state->held || bar->out->pickup)
        return NULL;
    uint64_t mixed = builder->sounding.words[0] * UINT64_C(0x9E3779B97F4A7C15);
    return &grid->lines[mixed >> (64 - KNOWN_LINES_LOG2)]; /* Fibonacci hashing, Knuth vol. 3 6.4 */
}

/* Copies the leaves and gives them their notes; the tuplets are shared. */
static void write_known(struct bar_builder *bar, const struct score_line *known, struct note *notes,
                        struct line_state *state, struct score_line *out)
{
    *out = *known;
    out->leaves =
        arena_copy(bar->builder->arena, known->leaves, known->leaf_count, sizeof *out->leaves);
    hand_out_notes(known->leaves, out, notes, state);
    remember_end(state, out);
}

void line_on_grid(struct bar_builder *bar, struct grid *grid, struct note *notes,
                  struct line_state *state, struct score_line *out)
{
    struct builder *builder = bar->builder;
    struct known_line *known = known_line(bar, grid, state);
    uint64_t struck = builder->sounding.words[0];
    bool numbers_first = bar->source->settings->show->tuplet_numbers_first;
    if (known && known->line.leaf_count && known->struck == struck &&
        known->numbers_first == numbers_first) {
        write_known(bar, &known->line, notes, state, out);
        return;
    }
    divide_on_grid(bar, grid, &builder->divided);
    line_write(bar, &builder->divided, notes, state, out);
    if (known)
        *known = (struct known_line){struck, *out, numbers_first};
}

/* Sets the sounding and ringing slots and closes the gaps that silent strikes leave in the notes.
 */
static void gather_sounding(struct builder *builder, const struct grid *grid,
                            struct strikes *strikes)
{
    uint32_t kept = 0, i = 0;
    for (size_t word = 0; word < slots_words(grid); word++) {
        uint64_t sounding = 0, ringing = 0;
        for (; i < strikes->count && (size_t)strikes->items[i].slot / 64 == word; i++) {
            if (strikes->items[i].silent)
                continue;
            uint64_t bit = (uint64_t)1 << strikes->items[i].slot % 64;
            sounding |= bit;
            ringing |= strikes->notes[i].marks & MARK_RING ? bit : 0;
            if (kept != i)
                strikes->notes[kept] = strikes->notes[i];
            kept++;
        }
        builder->sounding.words[word] = sounding;
        builder->ringing.words[word] = ringing;
    }
}

/* For the counts: the slots that the hands strike, or a foot in their place. */
static void note_struck(struct builder *builder, const struct grid *grid,
                        const struct strikes *strikes)
{
    memcpy(builder->struck.words, builder->sounding.words,
           slots_words(grid) * sizeof *builder->struck.words);
    for (uint32_t i = 0; i < strikes->count; i++)
        if (strikes->items[i].by_foot)
            slots_add(&builder->struck, (uint32_t)strikes->items[i].slot);
}

void line_from_grid(struct bar_builder *bar, struct grid *grid, struct strikes *strikes,
                    struct line_state *state, struct score_line *out)
{
    gather_sounding(bar->builder, grid, strikes);
    if (out == &bar->out->lines[LINE_HANDS])
        note_struck(bar->builder, grid, strikes);
    line_on_grid(bar, grid, strikes->notes, state, out);
}
