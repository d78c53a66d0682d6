/*
 * Voices by count: `hi-hat: eighths`, `snare ghost: 1a 2e`, `kick: 1 3`. They add strokes.
 *
 *     1. Which count in a bar: those of the exercise, unless the bar has the same voice with the
 *        same marks itself; then those of the bar.
 *     2. A bar without a subdivision gets its grid from them: in each beat the coarsest subdivision
 *        that has a slot for all that the hands play, and for the feet where that costs no slot.
 *     3. Empty slots that they name get a stroke, whose hand is chosen later.
 *     4. Each voice joins the stroke on its slot. A stroke of one hand becomes one of both.
 *     5. The feet's strokes are noted for feet.c.
 */
#include "build/build_int.h"

#include <stdio.h>
#include <string.h>

/* ---- which count in this bar -------------------------------------------------------------- */

struct keyed_entry {
    const struct keyed_voice *voice;
    const struct address_list *list;
    bool shared; /* written in the exercise, or above it */
};

static bool has_alike(const struct keyed_voices *voices, const struct keyed_voice *voice)
{
    for (size_t i = 0; voices && i < voices->count; i++)
        if (keyed_alike(&voices->items[i], voice))
            return true;
    return false;
}

/* The feet have a line of their own, which is nearer than counts for the whole lesson. */
static bool has_feet_line(const struct bar_builder *bar)
{
    return bar->source->feet || (bar->exercise->exercise->feet && !bar->out->pickup);
}

static bool counts_here(const struct bar_builder *bar, const struct keyed_voice *voice)
{
    if (bar->index == UINT32_MAX || has_alike(bar->source->keyed, voice))
        return false;
    return !(voice->general && voice->player != PLAYER_HANDS && has_feet_line(bar));
}

/* Goes through the voices of the exercise and then those of the bar; *i starts at 0. */
static bool next_entry(const struct bar_builder *bar, size_t *i, struct keyed_entry *entry)
{
    const struct keyed_voices *shared = bar->exercise->exercise->settings.keyed;
    const struct keyed_voices *own = bar->source->keyed;
    size_t shared_count = shared ? shared->count : 0, own_count = own ? own->count : 0;
    while (*i < shared_count && !counts_here(bar, &shared->items[*i]))
        ++*i;
    if (*i >= shared_count + own_count)
        return false;
    entry->shared = *i < shared_count;
    entry->voice = entry->shared ? &shared->items[*i] : &own->items[*i - shared_count];
    entry->list = bar_addresses(bar, &entry->voice->counts, NULL);
    ++*i;
    return true;
}

static bool of_hands(const struct keyed_entry *entry)
{
    return entry->voice->player == PLAYER_HANDS;
}

bool keyed_has_hands(const struct bar_builder *bar)
{
    struct keyed_entry entry;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        if (of_hands(&entry) && entry.list->count)
            return true;
    return false;
}

const struct keyed_voice *keyed_foot(const struct bar_builder *bar)
{
    struct keyed_entry entry;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        if (!of_hands(&entry) && entry.list->count)
            return entry.voice;
    return NULL;
}

/* ---- the grid that they name -------------------------------------------------------------- */

static int slots_a_beat(const struct bar_builder *bar, enum subdivision subdivision)
{
    struct division division;
    if (!subdivision_divide(subdivision, &bar->frame->beats[0], &division))
        return 0;
    return division.slots / division.beats;
}

/* The finest subdivision that is itself a count (`hi-hat: eighths`); false if there is none. */
static bool find_named(const struct bar_builder *bar, enum subdivision *named)
{
    struct keyed_entry entry;
    int most = -1;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        for (size_t a = 0; of_hands(&entry) && a < entry.list->count; a++) {
            const struct address *address = &entry.list->items[a];
            if (address->kind != ADDRESS_SUBDIVISION ||
                slots_a_beat(bar, address->subdivision) <= most)
                continue;
            *named = address->subdivision;
            most = slots_a_beat(bar, *named);
        }
    return most >= 0;
}

/* Whether a count is looked up by where it is: a subdivision, also one behind `of`, and what counts
   the meter's units, which the spans of beats do not name. */
static bool is_by_onset(const struct bar_builder *bar, const struct address *address)
{
    bool units = bar->counted.frame != bar->frame;
    return address->of || address->kind == ADDRESS_SUBDIVISION ||
           (units && address->kind != ADDRESS_EACH_STROKES);
}

static void add_said(struct bar_builder *bar, uint16_t beat, const char *spoken)
{
    *vector_push(&bar->builder->said, bar->builder->arena) = (struct said_count){beat, spoken};
}

static int compare_said(const void *a, const void *b)
{
    return ((const struct said_count *)a)->beat - ((const struct said_count *)b)->beat;
}

/* Fills builder->said with the named counts that the hands play. */
static void gather_said(struct bar_builder *bar)
{
    struct keyed_entry entry;
    bar->builder->said.count = 0;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        for (size_t a = 0; of_hands(&entry) && a < entry.list->count; a++) {
            const struct address *address = &entry.list->items[a];
            if (!address_in_bar(bar, address, entry.shared) || is_by_onset(bar, address))
                continue;
            if (address->kind == ADDRESS_EACH_SPOKEN)
                add_said(bar, 0, address->spoken);
            if (address->kind == ADDRESS_SLOT)
                add_said(bar, address->beat, address->spoken);
            if (address->kind == ADDRESS_SLOT && address->to_beat)
                add_said(bar, address->to_beat, address->to_spoken);
        }
    vector_sort(&bar->builder->said, compare_said);
}

/* Adds to builder->foot_room where the counts of the hands, or of the feet, are: all, or those that
   are looked up by where they are. An unknown count is reported later, on the grid. */
static void gather_onsets(struct bar_builder *bar, bool hands, bool by_onset_alone)
{
    struct builder *builder = bar->builder;
    struct keyed_entry entry;
    struct resolved *found = &builder->resolved;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        for (size_t a = 0; of_hands(&entry) == hands && a < entry.list->count; a++) {
            const struct address *address = &entry.list->items[a];
            if (!address_in_bar(bar, address, entry.shared) ||
                (by_onset_alone && !is_by_onset(bar, address)))
                continue;
            address_resolve(&builder->frames, &bar->counted, address, found);
            if (found->outcome != ADDRESS_FOUND ||
                !builder_count(builder, found->count, address->at))
                continue;
            for (size_t p = 0; p < found->count; p++)
                *vector_push(&builder->foot_room, builder->arena) = found->positions[p];
            if (found->interval && !by_onset_alone) {
                *vector_push(&builder->foot_room, builder->arena) =
                    (struct position){.onset = found->from};
                *vector_push(&builder->foot_room, builder->arena) =
                    (struct position){.onset = found->to};
            }
        }
}

static int compare_positions(const void *a, const void *b)
{
    return fraction_compare(((const struct position *)a)->onset,
                            ((const struct position *)b)->onset);
}

/* Onsets in order of time. */
struct onsets {
    const struct position *items;
    size_t count;
};

/* Of the onsets in builder->foot_room, those from `first` up to `end`. */
static struct onsets onsets_of(const struct bar_builder *bar, size_t first, size_t end)
{
    struct position *items = bar->builder->foot_room.items;
    if (first == end)
        return (struct onsets){NULL, 0};
    items_sort(items + first, end - first, sizeof *items, compare_positions);
    return (struct onsets){items + first, end - first};
}

/* Those in some beats of the bar. */
static struct onsets onsets_in(const struct frame *frame, struct onsets onsets, uint16_t beat,
                               uint16_t beats)
{
    size_t first, end = onsets.count;
    lower_bound(first, 0, onsets.count,
                fraction_compare(onsets.items[first].onset, frame->beats[beat].start) < 0);
    if (beat + beats < frame->beat_count) {
        const struct beat *next = &frame->beats[beat + beats];
        lower_bound(end, first, onsets.count,
                    fraction_compare(onsets.items[end].onset, next->start) < 0);
    }
    return (struct onsets){first ? onsets.items + first : onsets.items, end - first};
}

static bool has_slots_at(const struct span *span, struct onsets onsets)
{
    for (size_t i = 0; i < onsets.count; i++)
        if (span_slot_at(span, onsets.items[i].onset) < 0)
            return false;
    return true;
}

/* Whether the span has the counts that are said with this beat; 0: in each beat. */
static bool has_slots_said(const struct builder *builder, const struct span *span, uint16_t beat)
{
    const struct said_count *said = builder->said.items;
    size_t i;
    lower_bound(i, 0, builder->said.count, said[i].beat < beat);
    for (; i < builder->said.count && said[i].beat == beat; i++)
        if (span_find_slot(span, said[i].spoken) < 0)
            return false;
    return true;
}

/* The coarsest subdivision of a beat with a slot for all that the hands play in it: plain ones
   before tuplets; of two equally coarse ones, the named one. NULL if there is none. */
static struct span *said_span(struct bar_builder *bar, uint16_t beat, const enum subdivision *named,
                              struct onsets onsets)
{
    struct builder *builder = bar->builder;
    struct span *best = NULL;
    struct onsets here = onsets_in(bar->frame, onsets, beat, 1);
    for (int tuplets = 0; tuplets < 2 && !best; tuplets++)
        for (int i = 0; i < SUBDIVISION_COUNT; i++) {
            struct span *span =
                frame_divide(&builder->frames, bar->frame, beat, (enum subdivision)i);
            if (!span || span->division.beats != 1 || (span->division.tuplet_actual > 0) != tuplets)
                continue;
            bool as_coarse = best && span->division.slots == best->division.slots;
            bool coarser = !best || span->division.slots < best->division.slots;
            if ((coarser || (as_coarse && named && *named == (enum subdivision)i)) &&
                has_slots_at(span, here) && has_slots_said(builder, span, 0) &&
                has_slots_said(builder, span, (uint16_t)(beat + 1)))
                best = span;
        }
    return best;
}

/* The said_span() of each beat, as a list of subdivisions: quarters if a beat has none. */
static struct subdivisions *find_said(struct bar_builder *bar, const enum subdivision *named,
                                      struct span **said)
{
    struct arena *arena = bar->builder->arena;
    struct subdivisions *out = arena_alloc(arena, sizeof *out);
    uint16_t beats = bar->frame->beat_count;
    *out = (struct subdivisions){arena_array(arena, beats, sizeof *out->items), beats,
                                 bar->source->at};
    gather_said(bar);
    bar->builder->foot_room.count = 0;
    gather_onsets(bar, true, true);
    struct onsets onsets = onsets_of(bar, 0, bar->builder->foot_room.count);
    for (uint16_t beat = 0; beat < beats; beat++) {
        said[beat] = said_span(bar, beat, named, onsets);
        out->items[beat] = said[beat] ? said[beat]->subdivision : SUBDIVISION_QUARTERS;
    }
    return out;
}

/* Into how many equal parts they cut a beat; 0: too many. */
static uint32_t parts_of(const struct frame *frame, struct onsets onsets, uint16_t beat)
{
    struct onsets here = onsets_in(frame, onsets, beat, 1);
    uint32_t parts = 1;
    for (size_t i = 0; i < here.count && parts; i++)
        parts = frame_parts(frame, beat, here.items[i].onset, parts);
    return parts;
}

/* The named subdivision over two beats (quarter triplets), if it has a slot for each onset there.
 */
static struct span *span_over_two(const struct bar_builder *bar, struct onsets onsets,
                                  uint16_t beat, enum subdivision named)
{
    struct span *span = frame_divide(&bar->builder->frames, bar->frame, beat, named);
    if (!span || span->division.beats != 2 || span->beat != beat)
        return NULL;
    return has_slots_at(span, onsets_in(bar->frame, onsets, beat, 2)) ? span : NULL;
}

static struct span *coarsest(const struct bar_builder *bar, uint16_t beat, int64_t parts)
{
    if (parts < 1 || parts > SPELLING_SLOTS_MAX)
        return NULL;
    return frame_coarsest(&bar->builder->frames, bar->frame, beat, (uint32_t)parts, 0);
}

/* A span for hands and feet: the hands' own, unless the feet need a finer one that also has all the
   slots of the hands. */
static struct span *span_for_all(const struct bar_builder *bar, uint16_t beat, struct span *hands,
                                 uint32_t feet)
{
    struct span *of_feet = coarsest(bar, beat, feet);
    if (feet <= 1 || !of_feet)
        return hands;
    int slots = hands->division.slots, more = of_feet->division.slots;
    struct span *all = coarsest(bar, beat, least_common_multiple(slots, feet));
    return all && more > slots && all->division.slots == more ? all : hands;
}

/* The first voice of the hands that has a count here; there is one. */
static struct keyed_entry first_of_hands(struct bar_builder *bar)
{
    struct keyed_entry entry;
    size_t i = 0;
    while (next_entry(bar, &i, &entry) && !(of_hands(&entry) && entry.list->count))
        continue;
    return entry;
}

static void report_no_grid(struct bar_builder *bar, uint16_t beat)
{
    struct keyed_entry entry = first_of_hands(bar);
    if (!builder_report_once(bar->builder, entry.voice))
        return;
    diag_add(bar->builder->diags, DIAG_SUBDIVISION_FIT, entry.list->at,
             "what the hands play in beat %u fits no single subdivision", beat + 1u);
    diag_expected(bar->builder->diags,
                  "strokes of one subdivision in each beat, or a `rhythm` for the bar");
}

const struct subdivisions *keyed_subdivisions(struct bar_builder *bar)
{
    struct builder *builder = bar->builder;
    uint16_t beats = bar->frame->beat_count;
    struct span *said[METER_BEATS_MAX];
    enum subdivision named;
    bool any_named = find_named(bar, &named);
    struct subdivisions *words = find_said(bar, any_named ? &named : NULL, said);
    bar->counted.otherwise = words;
    builder->foot_room.count = 0;
    gather_onsets(bar, true, false);
    size_t end_of_hands = builder->foot_room.count;
    gather_onsets(bar, false, false);
    struct onsets hands = onsets_of(bar, 0, end_of_hands);
    struct onsets feet = onsets_of(bar, end_of_hands, builder->foot_room.count);
    enum subdivision *items = arena_array(builder->arena, beats, sizeof *items);
    for (uint16_t beat = 0; beat < beats; beat++) {
        if (any_named && span_over_two(bar, hands, beat, named)) {
            items[beat] = items[beat + 1] = named;
            beat++;
            continue;
        }
        struct span *span =
            said[beat] ? said[beat] : coarsest(bar, beat, parts_of(bar->frame, hands, beat));
        if (!span) {
            report_no_grid(bar, beat);
            return NULL;
        }
        items[beat] = span_for_all(bar, beat, span, parts_of(bar->frame, feet, beat))->subdivision;
    }
    struct subdivisions *out = arena_alloc(builder->arena, sizeof *out);
    *out = (struct subdivisions){items, beats, bar->source->at};
    return out;
}

/* ---- where they play ---------------------------------------------------------------------- */

static void add_place(struct bar_builder *bar, const struct keyed_entry *entry,
                      const struct address *address, const struct position *where)
{
    struct builder *builder = bar->builder;
    const struct keyed_voice *keyed = entry->voice;
    voice_id voice = keyed->what.voices[0];
    if (bar->out->pickup && fraction_compare(where->onset, bar->out->start) < 0)
        return;
    if (of_hands(entry)) {
        *vector_push(&builder->keyed, builder->arena) =
            (struct keyed_stroke){.where = *where, .voice = keyed, .address = address};
        return;
    }
    *vector_push(&builder->feet, builder->arena) =
        (struct foot_stroke){.where = *where,
                             .hit = {.voice = voice,
                                     .limb = foot_of_player(bar, keyed->player),
                                     .ghost = (keyed->what.marks & MARK_GHOST) != 0},
                             .marks = marks_without(keyed->what.marks, MARK_GHOST),
                             .at = address->at,
                             .strike = -1,
                             .usual = keyed->usual};
}

void keyed_report_uncounted(struct builder *builder, const struct address *address)
{
    if (!builder_report_once(builder, address))
        return;
    diag_add(builder->diags, DIAG_NO_STROKE, address->at,
             "'%s' counts strokes of the hands, and the hands have none",
             address_words(builder->arena, address));
    diag_expected(builder->diags, "a `sticking`, or counts such as 1 3");
}

/* `each 5 strokes`: the hands' first, sixth, eleventh ... of the exercise. */
static void gather_each_strokes(struct bar_builder *bar, const struct keyed_entry *entry,
                                const struct address *address, const struct strikes *strikes)
{
    if (strikes->count == 0 && !entry->shared)
        keyed_report_uncounted(bar->builder, address);
    builder_count(bar->builder, strikes->count, address->at);
    for (uint32_t i = 0; i < strikes->count; i++) {
        const struct strike *strike = &strikes->items[i];
        if (strike->number % address->every == 0)
            add_place(bar, entry, address,
                      &(struct position){.onset = strike->onset,
                                         .slot = strikes->on_grid ? strike->slot : -1});
    }
}

static void gather_entry(struct bar_builder *bar, const struct keyed_entry *entry,
                         const struct strikes *strikes)
{
    builder_use(bar->builder, entry->voice->words);
    for (size_t a = 0; a < entry->list->count; a++) {
        const struct address *address = &entry->list->items[a];
        if (!address_in_bar(bar, address, entry->shared))
            continue;
        if (address->kind == ADDRESS_EACH_STROKES) {
            gather_each_strokes(bar, entry, address, strikes);
            continue;
        }
        const struct resolved *found = bar_resolve(bar, address, entry->shared);
        for (size_t p = 0; found->outcome == ADDRESS_FOUND && p < found->count; p++)
            add_place(bar, entry, address, &found->positions[p]);
    }
}

static void gather(struct bar_builder *bar, const struct strikes *strikes, bool hands)
{
    struct keyed_entry entry;
    for (size_t i = 0; next_entry(bar, &i, &entry);)
        if (of_hands(&entry) == hands)
            gather_entry(bar, &entry, strikes);
}

/* ---- new strokes -------------------------------------------------------------------------- */

static void report_off_grid(struct bar_builder *bar, const struct keyed_stroke *stroke)
{
    struct builder *builder = bar->builder;
    if (!builder_report_once(builder, stroke->address))
        return;
    const char *words = address_words(builder->arena, stroke->address);
    if (bar->source->rhythm) {
        diag_add(builder->diags, DIAG_NO_STROKE, stroke->address->at,
                 "the rhythm has no note or rest that begins on '%s', so the %s has no place there",
                 words, stroke->voice->words);
        diag_expected(builder->diags, "a count where the rhythm has a note or a rest");
        return;
    }
    diag_add(builder->diags, DIAG_SUBDIVISION_FIT, stroke->address->at,
             "the %s on '%s' falls between the slots of the subdivision", stroke->voice->words,
             words);
    bool own_sticking = bar->source->sticking || !sticking_from_above(bar);
    diag_expected(builder->diags, own_sticking
                                      ? "a count of the subdivision, or a finer subdivision"
                                      : "a count of the subdivision, or `subdivision: none`: the "
                                        "grid then follows the counts");
}

/* The place in order of a keyed stroke: its slot on a grid, its leaf in a rhythm; -1: none. */
static int32_t place_of(const struct score_line *line, const struct keyed_stroke *stroke)
{
    if (!line)
        return stroke->where.slot;
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (fraction_equal(line->leaves[i].onset, stroke->where.onset))
            return line->leaves[i].continued ? -1 : (int32_t)i;
    return -1;
}

static bool is_kit_hat(voice_id voice)
{
    return voice >= VOICE_HI_HAT && voice <= VOICE_CLOSED_HI_HAT;
}

/* The marks that a key asks for; of a hat, its sign as well. */
static mark_set marks_of_key(const struct keyed_voice *keyed)
{
    voice_id voice = keyed->what.voices[0];
    return is_kit_hat(voice) ? keyed->what.marks | voice_builtin(voice)->sign : keyed->what.marks;
}

/* Whether two keys of one voice ask for what no single stroke can have; says it in `text`. */
static bool keys_conflict(const struct keyed_voice *a, const struct keyed_voice *b,
                          char text[MARKS_CONFLICT_ROOM])
{
    static const char *const graces[] = {"", "a flam", "a drag", "a ruff"};
    voice_id one = a->what.voices[0], other = b->what.voices[0];
    if (one != other && !(is_kit_hat(one) && is_kit_hat(other)))
        return false;
    if (marks_conflict(marks_of_key(a) | marks_of_key(b), text))
        return true;
    bool unlike = a->what.graces && b->what.graces && a->what.graces != b->what.graces;
    if (unlike)
        snprintf(text, MARKS_CONFLICT_ROOM, "%s and %s on one stroke", graces[a->what.graces],
                 graces[b->what.graces]);
    return unlike;
}

/* Looks through the strokes at one place from the latest back. */
static void check_same_place(struct bar_builder *bar, const struct keyed_stroke *latest)
{
    struct builder *builder = bar->builder;
    const struct keyed_stroke *all = builder->keyed.items;
    char conflict[MARKS_CONFLICT_ROOM];
    for (size_t before = latest->before; before; before = all[before - 1].before) {
        const struct keyed_stroke *stroke = &all[before - 1];
        if (!keys_conflict(stroke->voice, latest->voice, conflict) ||
            !builder_report_once(builder, latest->address))
            continue;
        diag_add(builder->diags, DIAG_CONFLICT, latest->address->at, "%s", conflict);
        diag_expected(builder->diags, "only one of the two");
        diag_other(
            builder->diags, stroke->address->at,
            arena_format(builder->arena, "'%s' asks for the same stroke", stroke->voice->words));
    }
}

/* Sets in `wanted` each place that has no stroke yet. Strokes without a place are dropped. */
static uint32_t find_new(struct bar_builder *bar, const struct score_line *line,
                         const struct strikes *strikes, const struct keyed_stroke **wanted,
                         uint32_t places)
{
    struct builder *builder = bar->builder;
    size_t *latest = arena_array(builder->arena, places, sizeof *latest);
    size_t kept = 0;
    uint32_t new = 0;
    for (size_t i = 0; i < builder->keyed.count; i++) {
        struct keyed_stroke stroke = builder->keyed.items[i];
        int32_t place = place_of(line, &stroke);
        if (place < 0) {
            report_off_grid(bar, &stroke);
            continue;
        }
        if (latest[place] && builder->keyed.items[latest[place] - 1].voice == stroke.voice)
            continue; /* a count that is written twice */
        stroke.before = latest[place];
        latest[place] = kept + 1;
        builder->keyed.items[kept] = stroke;
        check_same_place(bar, &builder->keyed.items[kept]);
        bool is_new = find_strike(strikes, &stroke.where) < 0 && !wanted[place];
        if (is_new)
            wanted[place] = &builder->keyed.items[kept];
        new += is_new;
        kept++;
    }
    builder->keyed.count = kept;
    return new;
}

static void make_strike(struct strikes *strikes, uint32_t index, uint32_t place,
                        const struct keyed_stroke *stroke)
{
    strikes->items[index] = (struct strike){.onset = stroke->where.onset, .slot = (int32_t)place};
    strikes->notes[index] = (struct note){.proposed = NOTE_KEYED, .at = stroke->address->at};
}

/* Foot strokes that came with a hand's stroke find it by its number. */
static void renumber_feet(struct bar_builder *bar, const uint32_t *number)
{
    for (size_t i = 0; i < bar->builder->feet.count; i++) {
        struct foot_stroke *foot = &bar->builder->feet.items[i];
        if (foot->strike >= 0)
            foot->strike = (int32_t)number[foot->strike];
    }
}

static void number_strokes(struct bar_builder *bar, struct strikes *strikes, uint32_t new)
{
    struct line_state *state = &bar->exercise->hands;
    state->stroke += new;
    uint64_t first = state->stroke - strikes->count;
    for (uint32_t i = 0; i < strikes->count; i++)
        strikes->items[i].number = strikes->notes[i].number = (uint32_t)(first + i);
}

/* Makes room for the new strokes among the others, in order of time. */
static void insert(struct bar_builder *bar, struct score_line *line, struct strikes *strikes,
                   const struct keyed_stroke *const *wanted, uint32_t places, uint32_t new)
{
    struct arena *arena = bar->builder->arena;
    struct strikes all = *strikes;
    uint32_t *number = arena_array(arena, strikes->count, sizeof *number);
    uint32_t next = 0;
    all.count = strikes->count + new;
    all.notes = arena_array_room(arena, all.count, sizeof *all.notes);
    all.items = arena_array_room(arena, all.count, sizeof *all.items);
    for (uint32_t place = 0, i = 0; i < all.count && place < places; place++) {
        bool old = next < strikes->count && strikes->items[next].slot == (int32_t)place;
        if (!old && !wanted[place])
            continue;
        if (old) {
            all.notes[i] = strikes->notes[next];
            all.items[i] = strikes->items[next];
            number[next++] = i;
        } else {
            make_strike(&all, i, place, wanted[place]);
            if (line)
                line->leaves[place].rest = line->leaves[place].whole_bar = false;
        }
        if (all.on_grid)
            all.of_slot[place] = (int32_t)i;
        i++;
    }
    *strikes = all;
    renumber_feet(bar, number);
    number_strokes(bar, strikes, new);
}

/* ---- voices join their strokes ------------------------------------------------------------ */

static bool is_hand(const struct hit *hit)
{
    return hit->limb != LIMB_RIGHT_FOOT && hit->limb != LIMB_LEFT_FOOT;
}

/* The stroke's hit on that voice. Open or closed, there is one pair of hats. */
static struct hit *find_hit(struct note *note, voice_id voice)
{
    for (size_t i = 0; i < note->hit_count; i++)
        if (note->hits[i].voice == voice || (is_kit_hat(voice) && is_kit_hat(note->hits[i].voice)))
            return &note->hits[i];
    return NULL;
}

static void report_no_hand(struct bar_builder *bar, const struct note *note,
                           const struct keyed_stroke *stroke)
{
    struct builder *builder = bar->builder;
    const struct voice *voices = builder->lesson->kit.voices;
    if (!builder_report_once(builder, stroke->address))
        return;
    const char *one = voices[note->hits[0].voice].name, *other = voices[note->hits[1].voice].name;
    const char *count = address_of_onset(builder->arena, &bar->counted, stroke->where.onset);
    count = count ? count : address_words(builder->arena, stroke->address);
    bool same = strcmp(one, other) == 0;
    const char *busy = same ? one : arena_format(builder->arena, "%s and the %s", one, other);
    diag_add(builder->diags, DIAG_LIMB_CLASH, stroke->address->at,
             "no hand is free for the %s on '%s': the hands already play the %s",
             stroke->voice->words, count, busy);
    diag_expected(builder->diags, "a count with a free hand, or no %s there",
                  same ? one : arena_format(builder->arena, "%s or no %s", one, other));
}

/* Whether both are the same drum or cymbal; own voices may share a place with anything. */
static bool is_one_surface(voice_id a, voice_id b)
{
    if (a == b || a >= VOICE_BUILTIN_COUNT || b >= VOICE_BUILTIN_COUNT)
        return false;
    const struct voice *one = voice_builtin(a), *other = voice_builtin(b);
    return one->x_cm == other->x_cm && one->y_cm == other->y_cm && one->z_cm == other->z_cm;
}

static void warn_one_surface(struct bar_builder *bar, const struct note *note,
                             const struct keyed_stroke *stroke, voice_id voice)
{
    struct builder *builder = bar->builder;
    const struct voice *voices = builder->lesson->kit.voices;
    const struct hit *first = &note->hits[0];
    if (!is_hand(first) || !is_one_surface(first->voice, voice) ||
        !builder_report_once(builder, stroke->voice))
        return;
    const char *other = voices[first->voice].name,
               *count = address_of_onset(builder->arena, &bar->counted, stroke->where.onset);
    diag_add(builder->diags, DIAG_ONE_SURFACE, stroke->address->at,
             "both hands play one instrument on '%s': the %s and the %s",
             count ? count : address_words(builder->arena, stroke->address), other,
             stroke->voice->words);
    diag_expected(builder->diags, "only one of them there; `at` puts the %s in place of the %s",
                  stroke->voice->words, other);
}

/* The new hit, by a free hand; NULL, and reported, if there is none. */
static struct hit *join(struct bar_builder *bar, struct note *note,
                        const struct keyed_stroke *stroke, voice_id voice)
{
    uint8_t limb = LIMB_HAND;
    unsigned hands = 0;
    for (size_t i = 0; i < note->hit_count; i++)
        hands += is_hand(&note->hits[i]);
    if (hands >= 2 || note->hit_count == NOTE_HITS_MAX) {
        report_no_hand(bar, note, stroke);
        return NULL;
    }
    warn_one_surface(bar, note, stroke, voice);
    if (note->letter) {
        limb = note->letter == 'R' ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
        note->letter = 'B';
    }
    note_add_hit(bar, note, voice, limb, false);
    note->hits[note->hit_count - 1].plain = note->marks & MARKS_LOUD;
    if (limb == LIMB_RIGHT_HAND) { /* the right hand comes first in a note */
        struct hit left = note->hits[0];
        note->hits[0] = note->hits[note->hit_count - 1];
        note->hits[note->hit_count - 1] = left;
    }
    if (!(note->proposed & NOTE_ASKED)) /* so the page prints this hand's letter */
        note->proposed |= NOTE_KEYED;
    return &note->hits[limb == LIMB_RIGHT_HAND ? 0 : note->hit_count - 1];
}

/* Frees a slot for a new hand stroke: it held a rest, or a foot's letter that moves to the feet's
 * line. */
static void wake(struct bar_builder *bar, struct strikes *strikes, uint32_t index)
{
    struct note *note = &strikes->notes[index];
    size_t feet = bar->builder->feet.count;
    if (is_foot_letter(note->letter) && !strikes->items[index].silent)
        strike_by_foot(bar, strikes, index);
    for (; feet < bar->builder->feet.count; feet++)
        bar->builder->feet.items[feet].strike = -1; /* `at` changes the hands' new stroke alone */
    if (!strikes->items[index].silent)
        return;
    strikes->items[index].silent = strikes->items[index].by_foot = false;
    note->hit_count = 0;
    note->letter = 0;
    note->marks = MARK_NONE;
}

static void end_ghosts(struct note *note, voice_id voice)
{
    for (size_t i = 0; i < note->hit_count; i++)
        note->hits[i].ghost &= note->hits[i].voice != voice;
}

static void take_marks(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                       const struct keyed_stroke *stroke, struct hit *hit, mark_set marks)
{
    struct note *note = &strikes->notes[index];
    const mark_set weighed = MARKS_LOUD | MARK_GHOST;
    note->marks = marks_over(marks_without(marks, weighed), note->marks);
    if (stroke->voice->what.graces) {
        note_take_graces(note, stroke->voice->what.graces);
        note->at = stroke->address->at;
    }
    if (note->hit_count == 1) {
        strike_end_brackets(strikes, index, marks);
        strike_mark(bar, strikes, index, marks & weighed, stroke->address->at, stroke->address);
        return;
    }
    if (hit->ghost && (marks & MARKS_LOUD)) {
        strike_end_brackets(strikes, index, marks);
        if (!(strikes->items[index].asked & MARK_GHOST))
            end_ghosts(note, hit->voice);
    }
    hit->ghost |= (marks & MARK_GHOST) != 0;
    hit->plain &= !hit->ghost;
    if (!(marks & MARKS_LOUD))
        return;
    for (size_t i = 0; !(note->marks & MARKS_LOUD) && i < note->hit_count; i++)
        note->hits[i].plain = !note->hits[i].ghost;
    hit->plain = false;
    note->marks |= marks & MARKS_LOUD;
    strikes->items[index].asked |= marks & MARKS_LOUD;
}

static void strike_voice(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                         const struct keyed_stroke *stroke)
{
    const struct voicing *what = &stroke->voice->what;
    struct note *note = &strikes->notes[index];
    voice_id voice = hat_for(what->voices[0], what->marks);
    mark_set marks = is_kit_hat(voice) ? marks_without(what->marks, MARKS_OF_HATS) : what->marks;
    wake(bar, strikes, index);
    struct hit *hit = find_hit(note, voice);
    if (!hit)
        hit = join(bar, note, stroke, voice);
    else if (voice != VOICE_HI_HAT)
        hit->voice = voice;
    if (!hit)
        return;
    bar->builder->score->voices_used[voice] = true;
    take_marks(bar, strikes, index, stroke, hit, marks);
}

/* Marks the strokes whose hands the program is to choose: all of a bar without a sticking,
   otherwise the new ones. */
static void ask_hands(struct bar_builder *bar, struct strikes *strikes)
{
    const struct settings *settings = bar->source->settings;
    bool lettered = bar->source->sticking || settings->sticking;
    if (settings->letterless)
        return;
    for (uint32_t i = 0; i < strikes->count; i++) {
        struct note *note = &strikes->notes[i];
        if (note->letter || (lettered && !(note->proposed & NOTE_KEYED)))
            continue;
        note->proposed |= NOTE_ASKED | NOTE_KEYED;
        bar->builder->score->hands_asked = true;
    }
}

static void strike_hands(struct bar_builder *bar, struct score_line *line, struct strikes *strikes)
{
    struct builder *builder = bar->builder;
    uint32_t places = line ? line->leaf_count : bar->grid->slot_count;
    const struct keyed_stroke **wanted = arena_array(builder->arena, places, sizeof *wanted);
    uint32_t new = find_new(bar, line, strikes, wanted, places);
    if (new) {
        insert(bar, line, strikes, wanted, places, new);
        if (line)
            rhythm_spans(bar, line, builder->spans, builder->unit_spans);
    }
    for (size_t i = 0; i < builder->keyed.count; i++)
        strike_voice(bar, strikes, (uint32_t)find_strike(strikes, &builder->keyed.items[i].where),
                     &builder->keyed.items[i]);
    ask_hands(bar, strikes);
}

/* Reports voices by count in a bar where each hand has its own line. */
static void report_beside_left(struct bar_builder *bar)
{
    struct keyed_entry entry = first_of_hands(bar);
    if (!builder_report_once(bar->builder, entry.voice))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, entry.list->at,
             "`%s` by count beside lines for each hand", entry.voice->words);
    diag_expected(bar->builder->diags,
                  "the voice under 'play' of 'right' or 'left', or under 'at'");
    diag_other(bar->builder->diags, bar->source->left->at, "the left hand's line");
}

void keyed_strike(struct bar_builder *bar, struct score_line *line, struct strikes *strikes)
{
    bar->builder->keyed.count = 0;
    gather(bar, strikes, true);
    if (bar->builder->keyed.count && bar->source->left)
        report_beside_left(bar);
    else if (bar->builder->keyed.count)
        strike_hands(bar, line, strikes);
    gather(bar, strikes, false);
}
