/*
 * Notes that have their onsets, but no note values yet: strokes of the feet by count, and hands and
 * feet as one voice.
 *
 * They are written on the hands' grid if all of them fall on it; otherwise beat by beat on the
 * coarsest subdivision that has a slot for each; otherwise, beside a rhythm, on the note values of
 * the hands.
 */
#include "build/build_int.h"

#include <string.h>

/* The strokes [first, end) as slots of the span; false if one is not on a slot. */
static bool slots_of(const struct span *span, const struct loose_notes *loose, uint32_t first,
                     uint32_t end, struct spelling_onsets *onsets)
{
    *onsets = (struct spelling_onsets){0};
    for (uint32_t i = first; i < end; i++) {
        int slot = span_slot_at(span, loose->where[i].onset);
        if (slot < 0)
            return false;
        onsets->struck |= (uint64_t)1 << slot;
    }
    return true;
}

static uint32_t parts_of(const struct bar_builder *bar, const struct loose_notes *loose,
                         uint32_t first, uint32_t end, uint16_t beat)
{
    uint32_t parts = 1;
    for (uint32_t i = first; i < end && parts; i++)
        parts = frame_parts(bar->frame, beat, loose->where[i].onset, parts);
    return parts;
}

static uint32_t end_of_beats(const struct frame *frame, const struct loose_notes *loose,
                             uint32_t first, uint16_t beat)
{
    uint32_t end = first;
    while (end < loose->count &&
           (beat + 1 >= frame->beat_count ||
            fraction_compare(loose->where[end].onset, frame->beats[beat + 1].start) < 0))
        end++;
    return end;
}

/* The hands' division of two beats that begins here, which the feet share if they fit it. */
static struct span *shared_span(const struct bar_builder *bar, uint16_t beat)
{
    struct span *span = bar->spans[beat];
    return span && span->division.beats == 2 && span->beat == beat ? span : NULL;
}

/* A pickup's first beat is written only from its start; false if that is inside a tuplet. */
static bool start_writing(const struct span *span, struct fraction start,
                          struct spelling_onsets *onsets)
{
    int slot = span_slot_at(span, start);
    const struct division *division = &span->division;
    if (slot < 0 ||
        (division->tuplet_actual && slot * division->tuplet_normal % division->tuplet_actual != 0))
        return false;
    onsets->first = (uint8_t)slot;
    return true;
}

/* Adds the span for `beat`, or for it and the next. Returns how many beats it fills, 0 if no span
   has a slot for every stroke up to *end. */
static uint16_t divide_span(struct bar_builder *bar, const struct loose_notes *loose,
                            uint32_t first, uint16_t beat, struct divided_line *divided,
                            uint32_t *end)
{
    struct span *span = shared_span(bar, beat);
    struct spelling_onsets *onsets = &divided->onsets[divided->count];
    uint16_t beats = 1;
    if (span) {
        *end = end_of_beats(bar->frame, loose, first, (uint16_t)(beat + 1));
        beats = slots_of(span, loose, first, *end, onsets) ? 2 : 1;
    }
    if (beats == 1) {
        *end = end_of_beats(bar->frame, loose, first, beat);
        uint32_t parts = parts_of(bar, loose, first, *end, beat);
        bool cut = fraction_compare(bar->out->start, bar->frame->beats[beat].start) > 0;
        if (cut)
            parts = frame_parts(bar->frame, beat, bar->out->start, parts);
        span = frame_coarsest(&bar->builder->frames, bar->frame, beat, parts, 0);
        if (!span && parts == 1)
            span = frame_plain(&bar->builder->frames, bar->frame, beat);
        if (!span || !slots_of(span, loose, first, *end, onsets))
            return 0;
        if (cut && !start_writing(span, bar->out->start, onsets))
            return 0;
    }
    divided->spans[divided->count++] = span;
    return beats;
}

/* Writes the strokes on the note values of the hands. False if not all of them fall on one. */
static bool copy_hands(struct bar_builder *bar, const struct loose_notes *loose,
                       struct score_line *out)
{
    const struct score_line *hands = &bar->out->lines[LINE_HANDS];
    struct arena *arena = bar->builder->arena;
    *out = (struct score_line){.leaves = arena_array(arena, hands->leaf_count, sizeof *out->leaves),
                               .leaf_count = hands->leaf_count,
                               .tuplets =
                                   arena_array(arena, hands->tuplet_count, sizeof *out->tuplets),
                               .tuplet_count = hands->tuplet_count};
    memcpy(out->leaves, hands->leaves, hands->leaf_count * sizeof *out->leaves);
    if (hands->tuplet_count)
        memcpy(out->tuplets, hands->tuplets, hands->tuplet_count * sizeof *out->tuplets);
    uint32_t next = 0;
    for (uint32_t i = 0; i < out->leaf_count; i++) {
        struct leaf *leaf = &out->leaves[i];
        bool here = next < loose->count && fraction_equal(leaf->onset, loose->where[next].onset);
        leaf->note = here ? &loose->notes[next++] : NULL;
        leaf->rest = !here;
        leaf->tied = leaf->continued = leaf->whole_bar = false;
    }
    return next == loose->count;
}

/* If all strokes fall on the hands' grid they are spelled on it. The result is the same as on the
   coarsest subdivision, because the search finds the same values on both. */
static bool write_on_grid(struct bar_builder *bar, const struct loose_notes *loose,
                          struct line_state *state, struct score_line *out)
{
    struct grid *grid = bar->grid;
    struct builder *builder = bar->builder;
    if (!grid || !grid->subdivisions)
        return false;
    slots_clear(&builder->sounding, grid);
    slots_clear(&builder->ringing, grid);
    for (uint32_t i = 0; i < loose->count; i++) {
        if (loose->where[i].slot < 0)
            return false;
        slots_add(&builder->sounding, (uint32_t)loose->where[i].slot);
    }
    line_on_grid(bar, grid, loose->notes, state, out);
    return true;
}

/* Divides each beat into the coarsest subdivision that has its strokes. False if some beat has
 * none.
 */
static bool divide_beats(struct bar_builder *bar, struct loose_notes *loose,
                         struct divided_line *divided)
{
    uint32_t first = 0;
    divided->partial = bar->out->pickup;
    divided->count = 0;
    for (uint16_t beat = bar->first_beat; beat < bar->frame->beat_count;) {
        uint32_t end = first;
        uint16_t beats = divide_span(bar, loose, first, beat, divided, &end);
        if (beats == 0) {
            loose->stuck = first;
            return false;
        }
        first = end;
        beat = (uint16_t)(beat + beats);
    }
    return true;
}

bool loose_write(struct bar_builder *bar, struct loose_notes *loose, struct line_state *state,
                 struct score_line *out)
{
    struct divided_line *divided = &bar->builder->divided;
    if (write_on_grid(bar, loose, state, out))
        return true;
    if (divide_beats(bar, loose, divided)) {
        line_write(bar, divided, loose->notes, state, out);
        return true;
    }
    if (bar->source->rhythm && copy_hands(bar, loose, out))
        return true;
    *out = (struct score_line){0};
    return false;
}

/* ---- hands and feet as one voice ---------------------------------------------------------- */

static bool has_ties(const struct score_line *line)
{
    bool any = false;
    for (uint32_t i = 0; i < line->leaf_count; i++)
        any |= line->leaves[i].tied || line->leaves[i].continued ||
               (line->leaves[i].note && line->leaves[i].note->marks & MARK_RING);
    return any;
}

/* The struck leaf of a line at `*next` or after it; NULL: there is none. */
static const struct leaf *struck_from(const struct score_line *line, uint32_t *next)
{
    while (*next < line->leaf_count && !leaf_struck(&line->leaves[*next]))
        ++*next;
    return *next < line->leaf_count ? &line->leaves[*next] : NULL;
}

static int32_t slot_of(const struct grid *grid, struct fraction onset)
{
    uint32_t slot = grid ? grid_slots_before(grid, onset) : 0;
    bool here = grid && slot < grid->slot_count && fraction_equal(grid->onsets[slot], onset);
    return here ? (int32_t)slot : -1;
}

/* Whether one stem can have both: what holds for all of a note cannot hold for a hand and a foot.
 */
static bool can_meet(const struct note *hands, const struct note *foot)
{
    return !marks_without(foot->marks, MARKS_LOUD) &&
           hands->hit_count + foot->hit_count <= NOTE_HITS_MAX;
}

/* Copies the notes of both lines in order of time, those of the hands where both strike; `from`:
   where each comes from. False if two cannot share a stem. */
static bool gather_both(struct bar_builder *bar, struct loose_notes *loose, struct note **from)
{
    const struct score_line *lines = bar->out->lines;
    uint32_t next[LINE_COUNT] = {0}, counts[LINE_COUNT] = {0}, met = 0;
    for (;;) {
        const struct leaf *hands = struck_from(&lines[LINE_HANDS], &next[LINE_HANDS]);
        const struct leaf *feet = struck_from(&lines[LINE_FEET], &next[LINE_FEET]);
        int order = !feet ? -1 : !hands ? 1 : fraction_compare(hands->onset, feet->onset);
        if (!hands && !feet)
            break;
        if (hands && feet && order == 0 && !can_meet(hands->note, feet->note))
            return false;
        const struct leaf *leaf = order <= 0 ? hands : feet;
        from[loose->count] = leaf->note;
        loose->notes[loose->count] = *leaf->note;
        loose->where[loose->count++] =
            (struct position){.onset = leaf->onset, .slot = slot_of(bar->grid, leaf->onset)};
        counts[LINE_HANDS] += order <= 0;
        counts[LINE_FEET] += order >= 0;
        met += order == 0;
        next[LINE_HANDS] += order <= 0;
        next[LINE_FEET] += order >= 0;
    }
    bar->out->linear = counts[LINE_HANDS] && counts[LINE_FEET] && !met;
    return counts[LINE_FEET];
}

static bool any_struck(const struct score_line *line)
{
    uint32_t next = 0;
    return struck_from(line, &next);
}

void together_settle(struct exercise_builder *exercise)
{
    struct score_exercise *out = exercise->out;
    const struct score_bar *apart = NULL;
    bool linear = false;
    for (size_t i = 0; i < out->bar_count; i++) {
        const struct score_bar *bar = &out->bars[i];
        linear |= bar->linear;
        if (!apart && !bar->together.leaf_count && any_struck(&bar->lines[LINE_FEET]))
            apart = bar;
    }
    if (linear && apart) {
        diag_add(exercise->builder->diags, DIAG_NO_EFFECT, apart->at,
                 "hands and feet of this exercise are not written as one voice: bar %u has a tie, "
                 "a roll or a mark that keeps them apart",
                 apart->number);
        diag_expected(exercise->builder->diags,
                      "'stems: split', or the bar in an exercise of its own");
    }
    for (size_t i = 0; (!linear || apart) && i < out->bar_count; i++)
        out->bars[i].together = (struct score_line){0};
}

void together_build(struct bar_builder *bar)
{
    struct score_bar *out = bar->out;
    struct arena *arena = bar->builder->arena;
    if (out->hands_apart || bar->source->settings->stems != STEMS_UP ||
        !any_struck(&out->lines[LINE_FEET]) || has_ties(&out->lines[LINE_HANDS]) ||
        has_ties(&out->lines[LINE_FEET]))
        return;
    size_t most = (size_t)out->lines[LINE_HANDS].leaf_count + out->lines[LINE_FEET].leaf_count;
    struct loose_notes both = {.notes = arena_array_room(arena, most, sizeof *both.notes),
                               .where = arena_array_room(arena, most, sizeof *both.where)};
    struct note **from = arena_array_room(arena, most, sizeof *from);
    struct line_state state = {0};
    if (!gather_both(bar, &both, from))
        return;
    bool written = (bar->source->rhythm && copy_hands(bar, &both, &out->together)) ||
                   loose_write(bar, &both, &state, &out->together);
    if (!written)
        out->together = (struct score_line){0};
    for (uint32_t i = 0; i < out->together.leaf_count; i++) {
        struct leaf *leaf = &out->together.leaves[i];
        leaf->note = leaf->note ? from[leaf->note - both.notes] : NULL;
    }
}
