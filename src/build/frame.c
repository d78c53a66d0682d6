/*
 * Beats, grids and spelled patterns, each made once a lesson.
 *
 *     1. A frame is a meter with its counting system: where each beat starts and how long a rest
 *        may be there.
 *     2. A span is one division of a beat (or of two, for quarter triplets): its slots, their
 * onsets, the syllables counted on them and the name an address gives each slot.
 *     3. A grid is a span for each beat, as `subdivision` asks: slots numbered through the bar, the
 *        syllables of the whole bar, and the beats as the score shows them.
 *     4. A pattern is a set of struck slots in a span. The spelling search (spelling.c) finds its
 *        note values; they are then placed in time, ready to copy into any bar.
 *     5. frame_coarsest() finds the fewest slots that hold given onsets, for rhythms and feet.
 */
#include "build/frame.h"

#include "base/buffer.h"
#include "model/counting.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

enum { TUPLETS_APART = 8 }; /* tuplets up to seven have subdivisions of their own */

/* ---- spans -------------------------------------------------------------------------------- */

static const char *with_beat_number(struct arena *arena, const char *syllable, size_t beat)
{
    const char *sign = strchr(syllable, '#');
    if (!sign)
        return syllable;
    return arena_format(arena, "%.*s%zu%s", (int)(sign - syllable), syllable, beat + 1, sign + 1);
}

static bool is_number(const char *text)
{
    return *text && strspn(text, "0123456789") == strlen(text);
}

static bool spoken_once(const char *const *syllables, size_t count, size_t slot)
{
    for (size_t i = 0; i < count; i++)
        if (i != slot && strcmp(syllables[i], syllables[slot]) == 0)
            return false;
    return true;
}

/*
 * How an address names a slot of its beat. A syllable that is spoken once names itself; one that
 * comes again is said after the last single one before it (1 trip let & trip let: `1trip`,
 * `1&trip`); a number would read as a beat, so it follows a slash (`2/3`, the third of the
 * quintuplet on two), and so does what has no name of its own (the ta ta ta ta of a system).
 */
static const char *address_of_slot(struct arena *arena, const struct span *span, size_t slot)
{
    size_t count = span->division.slots;
    const char *const *syllables = span->syllables;
    if (slot == 0)
        return "";
    if (is_number(syllables[slot]))
        return arena_format(arena, "/%zu", slot + 1);
    if (spoken_once(syllables, count, slot))
        return syllables[slot];
    const char *name = syllables[slot];
    for (size_t before = slot - 1; before > 0; before--)
        if (spoken_once(syllables, count, before)) {
            name = arena_format(arena, "%s%s", syllables[before], syllables[slot]);
            break;
        }
    for (size_t before = 1; before < slot; before++)
        if (strcmp(span->spoken_as[before], name) == 0)
            return arena_format(arena, "/%zu", slot + 1);
    return name;
}

static void add_syllables(struct arena *arena, struct span *span)
{
    const struct frame *frame = span->frame;
    span->syllables =
        counting_spoken(frame->counting, span->subdivision, &frame->beats[span->beat]);
    if (!span->syllables)
        return;
    size_t slots = span->division.slots;
    span->texts = arena_array(arena, slots, sizeof *span->texts);
    span->spoken_as = arena_array(arena, slots, sizeof *span->spoken_as);
    for (size_t slot = 0; slot < slots; slot++) {
        span->texts[slot] = with_beat_number(arena, span->syllables[slot], span->beat);
        span->spoken_as[slot] = address_of_slot(arena, span, slot);
    }
}

static struct span *new_span(struct frames *frames, const struct frame *frame, size_t beat,
                             const struct division *division)
{
    struct span *span = arena_alloc(frames->arena, sizeof *span);
    span->start = frame->beats[beat].start;
    span->division = *division;
    span->kind = frame->beats[beat].kind;
    span->beat = (uint16_t)beat;
    span->frame = frame;
    span->onsets = arena_array(frames->arena, division->slots, sizeof *span->onsets);
    struct fraction onset = span->start;
    for (size_t i = 0; i < division->slots; i++) {
        span->onsets[i] = onset;
        onset = fraction_add(onset, division->slot);
    }
    return span;
}

struct span *frame_divide(struct frames *frames, struct frame *frame, size_t beat,
                          enum subdivision subdivision)
{
    struct span **known = &frame->divided[beat][subdivision];
    if (*known || frame->tried[beat][subdivision])
        return *known;
    frame->tried[beat][subdivision] = true;
    struct division division;
    const struct beat *beats = frame->beats;
    if (!subdivision_divide(subdivision, &beats[beat], &division) ||
        division.slots > SPELLING_SLOTS_MAX)
        return NULL;
    if (division.beats == 2 && (beat + 1 >= frame->beat_count ||
                                !fraction_equal(beats[beat].length, beats[beat + 1].length)))
        return NULL;
    *known = new_span(frames, frame, beat, &division);
    (*known)->spoken = true;
    (*known)->subdivision = subdivision;
    add_syllables(frames->arena, *known);
    return *known;
}

/* The written value of a beat's pulse: of the beat, or of a third where it is compound. */
static struct division plain_division(const struct beat *beat)
{
    uint16_t slots = beat->kind == BEAT_COMPOUND ? 3 : 1;
    struct division division = {.slots = slots, .beats = 1};
    division.slot = fraction_divide(beat->length, fraction_make(slots, 1));
    uint8_t dots;
    bool plain = spelling_value(division.slot, 0, &division.value_log2, &dots);
    assert(plain);
    (void)plain;
    return division;
}

struct span *frame_plain(struct frames *frames, struct frame *frame, size_t beat)
{
    struct span **known = &frame->plain[beat];
    if (!*known) {
        struct division division = plain_division(&frame->beats[beat]);
        *known = new_span(frames, frame, beat, &division);
    }
    return *known;
}

int span_slot_at(const struct span *span, struct fraction onset)
{
    for (int slot = 0; slot < span->division.slots; slot++)
        if (fraction_equal(span->onsets[slot], onset))
            return slot;
    return -1;
}

/* First the tuplet that is written there; in a compound beat its own three pulses before tuplets;
   then fewer slots; then a plain division before a tuplet. */
static bool preferred(const struct span *a, const struct span *b, uint16_t written)
{
    uint8_t a_tuplet = a->division.tuplet_actual, b_tuplet = b->division.tuplet_actual;
    if (written && (a_tuplet == written) != (b_tuplet == written))
        return a_tuplet == written;
    if (a->kind == BEAT_COMPOUND && !a_tuplet != !b_tuplet)
        return !a_tuplet;
    if (a->division.slots != b->division.slots)
        return a->division.slots < b->division.slots;
    return !a_tuplet && b_tuplet;
}

static struct span *find_coarsest(struct frames *frames, struct frame *frame, size_t beat,
                                  uint32_t parts, uint16_t written)
{
    struct span *best = NULL;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        struct span *span = frame_divide(frames, frame, beat, (enum subdivision)i);
        if (!span || span->division.beats != 1 || span->division.slots % parts != 0)
            continue;
        if (!best || preferred(span, best, written))
            best = span;
    }
    return best;
}

/* Each beat of each bar is asked for: without remembering, checking a lesson takes 3 % longer. */
struct span *frame_coarsest(struct frames *frames, struct frame *frame, size_t beat, uint32_t parts,
                            uint16_t written)
{
    static struct span none; /* searched before, none found */
    if (parts == 0 || parts > SPELLING_SLOTS_MAX)
        return NULL;
    if (parts == 1 || written >= TUPLETS_APART)
        written = 0;
    struct span ***known = &frame->coarsest[beat];
    if (!*known)
        *known =
            arena_array(frames->arena, TUPLETS_APART * (SPELLING_SLOTS_MAX + 1), sizeof **known);
    struct span **entry = &(*known)[TUPLETS_APART * parts + written];
    if (!*entry) {
        struct span *found = find_coarsest(frames, frame, beat, parts, written);
        *entry = found ? found : &none;
    }
    return *entry == &none ? NULL : *entry;
}

static struct span *new_halved_thirds(struct frames *frames, struct frame *frame, size_t beat)
{
    const struct span *thirds = frame_coarsest(frames, frame, beat, 3, 3);
    struct span *sixths = frame_coarsest(frames, frame, beat, 6, 3);
    if (!sixths || !thirds || !thirds->texts || sixths->division.slots != 6)
        return sixths;
    struct span *halved = new_span(frames, frame, beat, &sixths->division);
    const char **syllables = arena_array(frames->arena, 6, sizeof *syllables);
    halved->texts = arena_array(frames->arena, 6, sizeof *halved->texts);
    for (size_t slot = 0; slot < 6; slot++) {
        bool between = slot % 2;
        syllables[slot] =
            between ? frame->counting->between[slot / 2] : thirds->syllables[slot / 2];
        halved->texts[slot] = between ? syllables[slot] : thirds->texts[slot / 2];
    }
    halved->syllables = syllables;
    return halved;
}

struct span *frame_halved_thirds(struct frames *frames, struct frame *frame, size_t beat)
{
    struct span **known = &frame->halved[beat];
    if (!*known)
        *known = new_halved_thirds(frames, frame, beat);
    return *known;
}

uint32_t frame_parts(const struct frame *frame, size_t beat, struct fraction onset, uint32_t parts)
{
    struct fraction start = frame->beats[beat].start, length = frame->beats[beat].length;
    if (fraction_equal(onset, start))
        return parts;
    if (onset.denominator > INT16_MAX)
        return 0; /* finer than any subdivision */
    /* (onset - start) / length, reduced once; a meter's own fractions are small */
    int64_t numerator = onset.numerator * start.denominator - start.numerator * onset.denominator;
    numerator *= length.denominator;
    int64_t denominator = onset.denominator * start.denominator * length.numerator;
    int64_t own = denominator / greatest_common_divisor(denominator, numerator);
    int64_t both = own > SPELLING_SLOTS_MAX ? 0 : least_common_multiple(parts, own);
    return both > SPELLING_SLOTS_MAX ? 0 : (uint32_t)both;
}

/* Where all beats are as long, by a division. False: it would overflow. */
static bool even_beat_at(const struct frame *frame, struct fraction onset, int64_t *beat)
{
    int64_t onsets, beats;
    if (__builtin_mul_overflow(onset.numerator, frame->even.denominator, &onsets) ||
        __builtin_mul_overflow(onset.denominator, frame->even.numerator, &beats))
        return false;
    *beat = onsets / beats;
    return true;
}

uint16_t frame_beat_at(const struct frame *frame, uint16_t from, struct fraction onset)
{
    int64_t beat;
    if (frame->even.numerator && even_beat_at(frame, onset, &beat))
        return (uint16_t)(beat <= from               ? from
                          : beat < frame->beat_count ? beat
                                                     : frame->beat_count - 1);
    size_t next = from + 1u;
    if (next >= frame->beat_count || fraction_compare(frame->beats[next].start, onset) > 0)
        return from;
    lower_bound(next, from + 2u, frame->beat_count,
                fraction_compare(frame->beats[next].start, onset) <= 0);
    return (uint16_t)(next - 1);
}

/* ---- patterns ----------------------------------------------------------------------------- */

static bool onsets_equal(struct spelling_onsets a, struct spelling_onsets b)
{
    return a.struck == b.struck && a.sustained == b.sustained && a.held_in == b.held_in &&
           a.first == b.first;
}

static uint64_t onsets_hash(struct spelling_onsets onsets)
{
    return hash_join(hash_join(onsets.struck, onsets.sustained),
                     onsets.first * 2U + onsets.held_in);
}

static struct fraction slots_length(const struct span *span, unsigned slots)
{
    return fraction_multiply(span->division.slot, fraction_make(slots, 1));
}

static void place_leaf(const struct span *span, const struct spelled_symbol *symbol,
                       struct leaf *leaf)
{
    *leaf = (struct leaf){
        .onset = span->onsets[symbol->slot],
        .length = slots_length(span, symbol->slots),
        .value_log2 = symbol->value_log2,
        .dots = symbol->dots,
        .rest = symbol->kind == SYMBOL_REST,
        .continued = symbol->kind == SYMBOL_CONTINUED,
        .tuplet = symbol->tuplet == SPELLING_NO_TUPLET ? LEAF_NO_TUPLET : symbol->tuplet,
        .beat = frame_beat_at(span->frame, span->beat, span->onsets[symbol->slot])};
}

/* The number alone is enough for 3 in the time of 2, for 5, 6 or 7 in the time of 4, and for a
   compound beat's 2 or 4 in the time of 3 (common practice). Other ratios are printed in full. */
bool ratio_misleads(unsigned actual, unsigned normal)
{
    static const uint8_t usual[][2] = {{2, 3}, {3, 2}, {4, 3}, {5, 4}, {6, 4}, {7, 4}, {9, 8}};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (usual[i][0] == actual && usual[i][1] == normal)
            return false;
    return true;
}

static void place_tuplet(const struct span *span, const struct spelled_tuplet *spelled,
                         struct tuplet *tuplet)
{
    *tuplet = (struct tuplet){.actual = spelled->actual,
                              .normal = spelled->normal,
                              .outer = LEAF_NO_TUPLET,
                              .first = spelled->first,
                              .end = spelled->end,
                              .onset = span->onsets[spelled->slot],
                              .length = slots_length(span, spelled->slots),
                              .numbered = true,
                              .ratio = ratio_misleads(spelled->actual, spelled->normal),
                              .unit_log2 = spelled->unit_log2};
}

static struct placed *place_pattern(struct arena *arena, const struct span *span,
                                    struct spelling_onsets onsets)
{
    struct spelling spelling;
    spelling_search(&span->division, span->kind, onsets, &spelling);
    struct placed *placed = arena_alloc(arena, sizeof *placed);
    placed->onsets = onsets;
    placed->leaf_count = spelling.symbol_count;
    placed->tuplet_count = spelling.tuplet_count;
    placed->leaves = arena_array(arena, placed->leaf_count, sizeof *placed->leaves);
    placed->tuplets = arena_array(arena, placed->tuplet_count, sizeof *placed->tuplets);
    for (size_t i = 0; i < placed->leaf_count; i++)
        place_leaf(span, &spelling.symbols[i], &placed->leaves[i]);
    for (size_t i = 0; i + 1 < placed->leaf_count; i++)
        placed->leaves[i].tied = placed->leaves[i + 1].continued;
    for (size_t i = 0; i < placed->tuplet_count; i++)
        place_tuplet(span, &spelling.tuplets[i], &placed->tuplets[i]);
    return placed;
}

const struct placed *span_place(struct frames *frames, struct span *span,
                                struct spelling_onsets onsets)
{
    struct patterns *patterns = &span->patterns;
    uint64_t hash = onsets_hash(onsets);
    struct table_search search = table_search(&patterns->by_onsets, hash);
    for (size_t i; table_next(&search, &i);)
        if (onsets_equal(patterns->items.items[i]->onsets, onsets))
            return patterns->items.items[i];
    table_add(&patterns->by_onsets, hash, patterns->items.count, frames->arena);
    return *vector_push(&patterns->items, frames->arena) =
               place_pattern(frames->arena, span, onsets);
}

/* The rests that may begin on this beat: one beat long, two, four ... */
static void make_rests(struct arena *arena, struct frame *frame, size_t beat)
{
    unsigned most = frame->rest_beats[beat];
    frame->rests[beat] = arena_array(arena, (size_t)__builtin_ctz(most) + 1, sizeof(struct leaf));
    for (unsigned beats = 1; beats <= most; beats *= 2) {
        struct leaf *rest = &frame->rests[beat][__builtin_ctz(beats)];
        *rest = (struct leaf){
            .onset = frame->beats[beat].start,
            .length = fraction_multiply(frame->beats[beat].length, fraction_make(beats, 1)),
            .rest = true,
            .tuplet = LEAF_NO_TUPLET,
            .beat = (uint16_t)beat};
        spelling_value(rest->length, 1, &rest->value_log2, &rest->dots);
    }
}

struct leaf frame_bar_rest(const struct frame *frame)
{
    return (struct leaf){.length = frame->length,
                         .onset = FRACTION_ZERO,
                         .rest = true,
                         .whole_bar = true,
                         .tuplet = LEAF_NO_TUPLET};
}

static uint64_t hash_meter(const struct meter *meter, const struct counting *counting)
{
    uint64_t hash = hash_join(hash_bytes(meter->groups, meter->group_count), meter->unit);
    return hash_join(hash, (uintptr_t)counting);
}

static uint64_t hash_grid(const struct meter *meter, const struct subdivisions *subdivisions,
                          const struct counting *counting)
{
    uint64_t hash = hash_meter(meter, counting);
    for (size_t i = 0; subdivisions && i < subdivisions->count; i++)
        hash = hash_join(hash, subdivisions->items[i]);
    return hash;
}

/* ---- frames ------------------------------------------------------------------------------- */

/* The meter's units, each as a beat: counts can be looked up in it, but nothing is written on it.
 */
static struct frame *frame_of_units(struct frames *frames, struct frame *whole)
{
    struct frame *frame = arena_alloc(frames->arena, sizeof *frame);
    struct fraction unit = fraction_make(1, whole->meter->unit);
    frame->meter = whole->meter;
    frame->counting = whole->counting;
    frame->length = whole->length;
    frame->counted = frame;
    frame->whole = whole;
    for (struct fraction start = FRACTION_ZERO; fraction_compare(start, whole->length) < 0;
         start = fraction_add(start, unit))
        frame->beats[frame->beat_count++] = (struct beat){start, unit, BEAT_SIMPLE};
    frame->even = unit;
    return frame;
}

/* From 1/4 on a unit is a beat anyway. */
static bool is_counted_by_units(const struct frame *frame)
{
    return frame->counting->units && frame->meter->unit > 4;
}

uint16_t frame_whole_beat(const struct frame *counted, uint16_t beat)
{
    return counted->whole ? frame_beat_at(counted->whole, 0, counted->beats[beat].start) : beat;
}

static struct fraction even_length(const struct frame *frame)
{
    for (size_t i = 1; i < frame->beat_count; i++)
        if (!fraction_equal(frame->beats[i].length, frame->beats[0].length))
            return FRACTION_ZERO;
    return frame->beats[0].length;
}

struct frame *frame_get(struct frames *frames, const struct meter *meter,
                        const struct counting *counting)
{
    uint64_t hash = hash_meter(meter, counting);
    struct table_search search = table_search(&frames->frame_table, hash);
    for (size_t i; table_next(&search, &i);) {
        struct frame *known = frames->frames.items[i];
        if (known->counting == counting && meter_equal(known->meter, meter))
            return known;
    }
    struct frame *frame = arena_alloc(frames->arena, sizeof *frame);
    table_add(&frames->frame_table, hash, frames->frames.count, frames->arena);
    *vector_push(&frames->frames, frames->arena) = frame;
    frame->meter = meter;
    frame->counting = counting;
    frame->length = meter_length(meter);
    frame->beat_count = (uint16_t)meter_beats(meter, frame->beats);
    frame->even = even_length(frame);
    for (size_t i = 0; i < frame->beat_count; i++) {
        frame->rest_beats[i] =
            (uint8_t)spelling_rest_beats(meter, frame->beats, frame->beat_count, i);
        make_rests(frames->arena, frame, i);
    }
    frame->counted = is_counted_by_units(frame) ? frame_of_units(frames, frame) : frame;
    return frame;
}

void frame_score_beat(const struct frame *frame, size_t beat, const struct span *span,
                      struct score_beat *out)
{
    *out = (struct score_beat){.start = frame->beats[beat].start,
                               .length = frame->beats[beat].length,
                               .kind = (uint8_t)frame->beats[beat].kind};
    if (!span || !span->spoken)
        return;
    out->has_division = true;
    out->subdivision = (uint8_t)span->subdivision;
    out->division = span->division;
    out->spans_two = span->division.beats == 2 && span->beat == beat;
    out->spanned = span->beat != beat;
}

/* ---- grids -------------------------------------------------------------------------------- */

static bool subdivisions_equal(const struct subdivisions *a, const struct subdivisions *b)
{
    if (a == b || !a || !b)
        return a == b;
    return a->count == b->count && memcmp(a->items, b->items, a->count * sizeof *a->items) == 0;
}

/* Lists the subdivisions that fit the beat. */
static void expect_fitting(struct frames *frames, struct frame *frame, size_t beat)
{
    struct buffer text = {0};
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        if (frame_divide(frames, frame, beat, (enum subdivision)i))
            buffer_format(&text, "%s%s", text.length ? ", " : "",
                          subdivision_name((enum subdivision)i));
    diag_expected(frames->diags, "%s", buffer_text(&text));
    buffer_release(&text);
}

static void report_fit(struct frames *frames, const struct grid *grid, size_t beat,
                       enum subdivision subdivision)
{
    struct division division;
    const struct beat *beats = grid->frame->beats;
    const char *name = subdivision_name(subdivision);
    if (subdivision_divide(subdivision, &beats[beat], &division) && division.beats == 2)
        diag_add(frames->diags, DIAG_SUBDIVISION_FIT, grid->subdivisions->at,
                 "%s span two beats, but no equal beat follows beat %zu", name, beat + 1);
    else
        diag_add(frames->diags, DIAG_SUBDIVISION_FIT, grid->subdivisions->at,
                 "%s do not fit beat %zu, a %s beat", name, beat + 1,
                 beats[beat].kind == BEAT_COMPOUND ? "compound" : "simple");
    diag_found(frames->diags, name);
    expect_fitting(frames, grid->frame, beat);
}

/* Quarter triplets span two beats: the list must name the same subdivision for both. */
static bool second_beat_agrees(struct frames *frames, const struct grid *grid, size_t beat)
{
    const struct subdivisions *list = grid->subdivisions;
    enum subdivision here = list->items[beat % list->count];
    enum subdivision next = list->items[(beat + 1) % list->count];
    if (here == next)
        return true;
    diag_add(frames->diags, DIAG_SUBDIVISION_FIT, list->at,
             "%s span beats %zu and %zu, but the list says %s for beat %zu", subdivision_name(here),
             beat + 1, beat + 2, subdivision_name(next), beat + 2);
    return false;
}

static struct span *grid_span(struct frames *frames, const struct grid *grid, size_t beat)
{
    const struct subdivisions *list = grid->subdivisions;
    if (!list)
        return frame_plain(frames, grid->frame, beat);
    enum subdivision subdivision = list->items[beat % list->count];
    struct span *span = frame_divide(frames, grid->frame, beat, subdivision);
    if (!span)
        report_fit(frames, grid, beat, subdivision);
    else if (span->division.beats == 2 && !second_beat_agrees(frames, grid, beat))
        return NULL;
    return span;
}

/* A grid copies its spans, because each holds the number of its first slot in the bar. */
static void fill_grid(struct frames *frames, struct grid *grid)
{
    struct frame *frame = grid->frame;
    grid->spans = arena_array(frames->arena, frame->beat_count, sizeof(struct span *));
    grid->span_of_beat = arena_array(frames->arena, frame->beat_count, sizeof(struct span *));
    grid->usable = true;
    for (size_t beat = 0; beat < frame->beat_count;) {
        struct span *shared = grid_span(frames, grid, beat);
        if (!shared) {
            grid->usable = false;
            return;
        }
        struct span *span = arena_alloc(frames->arena, sizeof *span);
        *span = *shared;
        span->patterns = (struct patterns){0};
        span->first_slot = grid->slot_count;
        grid->slot_count += span->division.slots;
        for (size_t i = 0; i < span->division.beats; i++)
            grid->span_of_beat[beat++] = span;
        grid->spans[grid->span_count++] = span;
    }
}

int32_t grid_slot_at(const struct grid *grid, struct fraction onset)
{
    return grid_slot_in(grid, frame_beat_at(grid->frame, 0, onset), onset);
}

int32_t grid_slot_in(const struct grid *grid, uint16_t beat, struct fraction onset)
{
    const struct span *span = grid->span_of_beat[beat];
    int slot = span_slot_at(span, onset);
    return slot < 0 ? -1 : (int32_t)span->first_slot + slot;
}

/* What is spoken in a unit: the slots of its beat, if some of them divide the unit itself. */
static struct span *span_of_unit(struct frames *frames, const struct grid *grid, uint16_t unit)
{
    struct frame *units = grid->frame->counted;
    const struct span *around = grid->span_of_beat[frame_whole_beat(units, unit)];
    struct span *span =
        around->spoken ? frame_divide(frames, units, unit, around->subdivision) : NULL;
    return span && fraction_equal(span->division.slot, around->division.slot) ? span : NULL;
}

static void find_counted(struct frames *frames, struct grid *grid)
{
    const struct frame *counted = grid->frame->counted;
    grid->counted_spans = grid->span_of_beat;
    if (counted == grid->frame)
        return;
    grid->counted_spans =
        arena_array(frames->arena, counted->beat_count, sizeof *grid->counted_spans);
    for (uint16_t unit = 0; unit < counted->beat_count; unit++)
        grid->counted_spans[unit] = span_of_unit(frames, grid, unit);
}

size_t span_spoken_slots(const struct span *span)
{
    return span && span->texts ? span->division.slots : 1;
}

struct count frame_count(struct arena *arena, const struct frame *frame, size_t beat,
                         const struct span *span, size_t slot)
{
    bool spoken = span && span->texts;
    return (struct count){.onset = span ? span->onsets[slot] : frame->beats[beat].start,
                          .text = spoken ? span->texts[slot] : arena_format(arena, "%zu", beat + 1),
                          .name = span && span->spoken_as ? span->spoken_as[slot]
                                  : slot                  ? NULL
                                                          : "",
                          .beat = (uint16_t)beat,
                          .beat_number = slot == 0};
}

static void add_counts(struct frames *frames, struct grid *grid)
{
    const struct frame *counted = grid->frame->counted;
    grid->counts = arena_array(frames->arena, grid->slot_count, sizeof *grid->counts);
    grid->count_slots = arena_array(frames->arena, grid->slot_count, sizeof *grid->count_slots);
    grid->onsets = arena_array(frames->arena, grid->slot_count, sizeof *grid->onsets);
    for (size_t i = 0; i < grid->span_count; i++) {
        const struct span *span = grid->spans[i];
        memcpy(grid->onsets + span->first_slot, span->onsets,
               span->division.slots * sizeof *grid->onsets);
    }
    for (uint16_t beat = 0; beat < counted->beat_count; beat++) {
        const struct span *span = grid->counted_spans[beat];
        for (uint32_t slot = 0; (!span || span->beat == beat) && slot < span_spoken_slots(span);
             slot++) {
            struct count count = frame_count(frames->arena, counted, beat, span, slot);
            int32_t at = grid_slot_at(grid, count.onset);
            if (at < 0)
                continue;
            grid->count_slots[grid->count_count] = (uint32_t)at;
            grid->counts[grid->count_count++] = count;
        }
    }
}

static void add_score_beats(struct frames *frames, struct grid *grid)
{
    struct frame *frame = grid->frame;
    grid->beats = arena_array(frames->arena, frame->beat_count, sizeof *grid->beats);
    for (size_t i = 0; i < frame->beat_count; i++)
        frame_score_beat(frame, i, grid->span_of_beat[i], &grid->beats[i]);
}

static bool grid_is(const struct grid *grid, const struct meter *meter,
                    const struct subdivisions *subdivisions, const struct counting *counting)
{
    return grid->frame->counting == counting && meter_equal(grid->frame->meter, meter) &&
           subdivisions_equal(grid->subdivisions, subdivisions);
}

static struct grid *find_grid(struct frames *frames, const struct meter *meter,
                              const struct subdivisions *subdivisions,
                              const struct counting *counting)
{
    uint64_t hash = hash_grid(meter, subdivisions, counting);
    struct table_search search = table_search(&frames->grid_table, hash);
    for (size_t i; table_next(&search, &i);) {
        struct grid *known = frames->grids.items[i];
        if (grid_is(known, meter, subdivisions, counting) &&
            (known->usable || known->subdivisions == subdivisions))
            return known;
    }
    struct grid *grid = arena_alloc(frames->arena, sizeof *grid);
    table_add(&frames->grid_table, hash, frames->grids.count, frames->arena);
    *vector_push(&frames->grids, frames->arena) = grid;
    grid->frame = frame_get(frames, meter, counting);
    grid->subdivisions = subdivisions;
    fill_grid(frames, grid);
    if (grid->usable) {
        find_counted(frames, grid);
        add_counts(frames, grid);
        add_score_beats(frames, grid);
    }
    return grid;
}

struct grid *grid_get(struct frames *frames, const struct meter *meter,
                      const struct subdivisions *subdivisions, const struct counting *counting)
{
    if (!frames->latest.grid || frames->latest.meter != meter ||
        frames->latest.subdivisions != subdivisions || frames->latest.counting != counting) {
        frames->latest.grid = find_grid(frames, meter, subdivisions, counting);
        frames->latest.meter = meter;
        frames->latest.subdivisions = subdivisions;
        frames->latest.counting = counting;
    }
    return frames->latest.grid;
}
