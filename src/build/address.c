#include "build/address.h"

#include "base/buffer.h"
#include "base/vector.h"

#include <stdlib.h>
#include <string.h>

enum { NAMES_MAX = 96 };

/* ---- one slot ----------------------------------------------------------------------------- */

/* "/3": the third slot, whatever is spoken there. */
static int slot_by_number(const struct span *span, const char *spoken)
{
    if (spoken[0] != '/')
        return -1;
    long number = strtol(spoken + 1, NULL, 10);
    return number >= 1 && number <= span->division.slots ? (int)number - 1 : -1;
}

int span_find_slot(const struct span *span, const char *spoken)
{
    if (spoken[0] == '\0')
        return 0;
    for (int slot = 1; span->spoken_as && slot < span->division.slots; slot++)
        if (*span->spoken_as[slot] == *spoken && strcmp(span->spoken_as[slot], spoken) == 0)
            return slot;
    return slot_by_number(span, spoken);
}

/* Sets *onset to the slot with this syllable in a span that begins on the beat; false if none. */
static bool find_onset_in(const struct span *span, uint16_t beat, const char *spoken,
                          struct fraction *onset)
{
    int slot = span && span->beat == beat ? span_find_slot(span, spoken) : -1;
    if (slot >= 0)
        *onset = span->onsets[slot];
    return slot >= 0;
}

static struct span *otherwise_span(struct frames *frames, const struct counted_bar *bar,
                                   uint16_t beat)
{
    const struct subdivisions *list = bar->otherwise;
    uint8_t value;
    if (!list)
        return NULL;
    enum subdivision wanted = list->items[frame_whole_beat(bar->frame, beat) % list->count];
    if (bar->frame->whole && !subdivision_is_value(wanted, &value))
        return NULL; /* it divides a whole beat, not a unit of it */
    return frame_divide(frames, bar->frame, beat, wanted);
}

/* Looks in every subdivision of the beat. All that have this syllable must mean the same place. */
static enum address_outcome find_elsewhere(struct frames *frames, const struct counted_bar *bar,
                                           uint16_t beat, const char *spoken,
                                           struct fraction *onset)
{
    bool found = false;
    struct fraction here;
    if (spoken[0] == '/')
        return ADDRESS_UNKNOWN;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const struct span *span = frame_divide(frames, bar->frame, beat, (enum subdivision)i);
        if (!span || span->division.beats != 1 || !find_onset_in(span, beat, spoken, &here))
            continue;
        if (found && !fraction_equal(*onset, here))
            return ADDRESS_AMBIGUOUS;
        found = true;
        *onset = here;
    }
    return found ? ADDRESS_FOUND : ADDRESS_UNKNOWN;
}

/* `beat` counts from 0. `address` says in which subdivision, if it says so. */
static enum address_outcome find_onset(struct frames *frames, const struct counted_bar *bar,
                                       const struct address *address, uint16_t beat,
                                       const char *spoken, struct fraction *onset)
{
    if (beat >= bar->frame->beat_count)
        return ADDRESS_NO_BEAT;
    *onset = bar->frame->beats[beat].start;
    if (address->of && spoken[0])
        return find_onset_in(frame_divide(frames, bar->frame, beat, address->subdivision), beat,
                             spoken, onset)
                   ? ADDRESS_FOUND
                   : ADDRESS_UNKNOWN;
    if (spoken[0] == '\0' || find_onset_in(bar->spans[beat], beat, spoken, onset) ||
        find_onset_in(otherwise_span(frames, bar, beat), beat, spoken, onset))
        return ADDRESS_FOUND;
    return find_elsewhere(frames, bar, beat, spoken, onset);
}

/* ---- many slots --------------------------------------------------------------------------- */

/* `from`: a beat at or before the onset, where the search starts. */
static void add_onset(struct frames *frames, const struct counted_bar *bar, uint16_t from,
                      struct fraction onset)
{
    uint16_t beat = frame_beat_at(bar->frame, from, onset);
    uint16_t whole = frame_whole_beat(bar->frame, beat);
    *vector_push(&frames->positions, frames->arena) =
        (struct position){.onset = onset,
                          .slot = bar->grid ? grid_slot_in(bar->grid, whole, onset) : -1,
                          .beat = beat};
}

/* The meter's own beats, also where its units are counted. */
static struct frame *whole_of(const struct counted_bar *bar)
{
    return bar->frame->whole ? bar->frame->whole : bar->frame;
}

static void add_beats(struct frames *frames, const struct counted_bar *bar)
{
    const struct frame *whole = whole_of(bar);
    for (uint16_t beat = 0; beat < whole->beat_count; beat++)
        add_onset(frames, bar, beat, whole->beats[beat].start);
}

static void add_syllable(struct frames *frames, const struct counted_bar *bar, const char *spoken)
{
    for (uint16_t beat = 0; beat < bar->frame->beat_count; beat++) {
        const struct span *span = bar->spans[beat];
        for (uint16_t slot = 1;
             span && span->beat == beat && span->syllables && slot < span->division.slots; slot++)
            if (strcmp(span->syllables[slot], spoken) == 0 ||
                (span->spoken_as && strcmp(span->spoken_as[slot], spoken) == 0))
                add_onset(frames, bar, beat, span->onsets[slot]);
    }
}

/* `each &`: every `&` of the bar's own grid; if it has none, those of other subdivisions. */
static enum address_outcome find_each(struct frames *frames, const struct counted_bar *bar,
                                      const struct address *address, uint16_t *failed)
{
    if (!address->of)
        add_syllable(frames, bar, address->spoken);
    if (frames->positions.count)
        return ADDRESS_FOUND;
    enum address_outcome worst = ADDRESS_UNKNOWN;
    for (uint16_t beat = 0; beat < bar->frame->beat_count; beat++) {
        struct fraction onset;
        enum address_outcome outcome =
            find_onset(frames, bar, address, beat, address->spoken, &onset);
        if (outcome == ADDRESS_FOUND) {
            add_onset(frames, bar, beat, onset);
        } else if (outcome == ADDRESS_AMBIGUOUS && worst != outcome) {
            worst = outcome;
            *failed = beat;
        }
    }
    return frames->positions.count ? ADDRESS_FOUND : worst;
}

/* A plain value is counted through the bar, even across compound beats; other subdivisions apply to
   the beats that they fit. */
static void add_subdivision(struct frames *frames, const struct counted_bar *bar,
                            enum subdivision subdivision)
{
    uint8_t value_log2;
    if (subdivision_is_value(subdivision, &value_log2)) {
        struct fraction value = fraction_make(1, (int64_t)1 << value_log2);
        uint16_t beat = 0;
        for (struct fraction onset = FRACTION_ZERO; fraction_compare(onset, bar->frame->length) < 0;
             onset = fraction_add(onset, value)) {
            beat = frame_beat_at(bar->frame, beat, onset);
            add_onset(frames, bar, beat, onset);
        }
        return;
    }
    struct frame *whole = whole_of(bar);
    for (uint16_t beat = 0; beat < whole->beat_count;) {
        const struct span *span = frame_divide(frames, whole, beat, subdivision);
        for (uint16_t slot = 0; span && slot < span->division.slots; slot++)
            add_onset(frames, bar, beat, span->onsets[slot]);
        beat = (uint16_t)(beat + (span ? span->division.beats : 1));
    }
}

static bool within(struct fraction onset, struct fraction from, struct fraction to)
{
    return fraction_compare(onset, from) >= 0 && fraction_compare(onset, to) <= 0;
}

/* The slots from one place to another: in the subdivision that the address names, else in the one
   set for the bar, if there is one. */
static void add_interval(struct frames *frames, const struct counted_bar *bar,
                         const struct address *address, struct fraction from, struct fraction to)
{
    for (uint16_t beat = 0; beat < bar->frame->beat_count; beat++) {
        const struct span *span = address->of
                                      ? frame_divide(frames, bar->frame, beat, address->subdivision)
                                      : otherwise_span(frames, bar, beat);
        span = span ? span : bar->spans[beat];
        if (!span && within(bar->frame->beats[beat].start, from, to))
            add_onset(frames, bar, beat, bar->frame->beats[beat].start);
        for (uint16_t slot = 0; span && span->beat == beat && slot < span->division.slots; slot++)
            if (within(span->onsets[slot], from, to))
                add_onset(frames, bar, beat, span->onsets[slot]);
    }
}

/* ---- addresses ---------------------------------------------------------------------------- */

static void resolve_slot(struct frames *frames, const struct counted_bar *bar,
                         const struct address *address, struct resolved *out)
{
    out->beat = (uint16_t)(address->beat - 1);
    out->outcome = find_onset(frames, bar, address, out->beat, address->spoken, &out->from);
    if (out->outcome == ADDRESS_FOUND && !address->to_beat)
        add_onset(frames, bar, out->beat, out->from);
    if (out->outcome != ADDRESS_FOUND || !address->to_beat)
        return;
    out->beat = (uint16_t)(address->to_beat - 1);
    out->outcome = find_onset(frames, bar, address, out->beat, address->to_spoken, &out->to);
    out->interval = out->outcome == ADDRESS_FOUND;
    if (out->interval)
        add_interval(frames, bar, address, out->from, out->to);
}

void address_resolve(struct frames *frames, const struct counted_bar *bar,
                     const struct address *address, struct resolved *out)
{
    out->outcome = ADDRESS_FOUND;
    out->interval = false;
    out->beat = 0;
    frames->positions.count = 0;
    switch (address->kind) {
    case ADDRESS_SLOT:
        resolve_slot(frames, bar, address, out);
        break;
    case ADDRESS_EACH_BEAT:
        add_beats(frames, bar);
        break;
    case ADDRESS_EACH_SPOKEN:
        out->outcome = find_each(frames, bar, address, &out->beat);
        break;
    case ADDRESS_SUBDIVISION:
        add_subdivision(frames, bar, address->subdivision);
        break;
    case ADDRESS_EACH_STROKES:
        break;
    }
    out->positions = frames->positions.items;
    out->count = frames->positions.count;
}

/* ---- words -------------------------------------------------------------------------------- */

static const char *bare_words(struct arena *arena, const struct address *address)
{
    switch (address->kind) {
    case ADDRESS_SLOT:
        if (address->to_beat)
            return arena_format(arena, "%u%s..%u%s", address->beat, address->spoken,
                                address->to_beat, address->to_spoken);
        return arena_format(arena, "%u%s", address->beat, address->spoken);
    case ADDRESS_EACH_BEAT:
        return "each beat";
    case ADDRESS_EACH_SPOKEN:
        return arena_format(arena, "each %s", address->spoken);
    case ADDRESS_EACH_STROKES:
        return arena_format(arena, "each %u strokes", address->every);
    case ADDRESS_SUBDIVISION:
        return subdivision_name(address->subdivision);
    }
    return "";
}

const char *address_words(struct arena *arena, const struct address *address)
{
    const char *bare = bare_words(arena, address);
    return address->of
               ? arena_format(arena, "%s of %s", bare, subdivision_name(address->subdivision))
               : bare;
}

const char *address_of_onset(struct arena *arena, const struct counted_bar *bar,
                             struct fraction onset)
{
    uint16_t beat = frame_beat_at(bar->frame, 0, onset);
    if (fraction_equal(bar->frame->beats[beat].start, onset))
        return arena_format(arena, "%u", beat + 1u);
    const struct span *span = bar->spans[beat];
    int slot = span && span->spoken_as ? span_slot_at(span, onset) : -1;
    if (slot < 0)
        return NULL;
    return arena_format(arena, "%u%s", span->beat + 1u, span->spoken_as[slot]);
}

struct names {
    const char *names[NAMES_MAX];
    size_t count;
};

static void add_name(struct names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++)
        if (strcmp(names->names[i], name) == 0)
            return;
    if (names->count < NAMES_MAX)
        names->names[names->count++] = name;
}

/* Slot numbers (`2/3`) count the bar's own grid only. */
static void add_span_names(struct arena *arena, const struct span *span, uint16_t beat, bool own,
                           struct names *names)
{
    for (size_t slot = 1;
         span && span->beat == beat && span->spoken_as && slot < span->division.slots; slot++)
        if (own || span->spoken_as[slot][0] != '/')
            add_name(names, arena_format(arena, "%u%s", beat + 1u, span->spoken_as[slot]));
}

/* Whether a name means one place in a bar whose own grid does not speak it. */
static bool is_clear(struct frames *frames, const struct counted_bar *bar, uint16_t beat,
                     const char *name)
{
    struct fraction onset;
    return find_elsewhere(frames, bar, beat, name + strspn(name, "0123456789"), &onset) ==
           ADDRESS_FOUND;
}

/* The counts of a beat: those of the bar's own grid first, then those of other subdivisions.
   Returns how many are the grid's own. */
static size_t list_names(struct frames *frames, const struct counted_bar *bar, uint16_t beat,
                         struct names *names)
{
    add_name(names, arena_format(frames->arena, "%u", beat + 1u));
    add_span_names(frames->arena, bar->spans[beat], beat, true, names);
    size_t own = names->count;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const struct span *span = frame_divide(frames, bar->frame, beat, (enum subdivision)i);
        if (span && span->division.beats == 1)
            add_span_names(frames->arena, span, beat, false, names);
    }
    return own;
}

/* A name that would be refused as ambiguous is not offered. */
static void expect_names(struct frames *frames, const struct counted_bar *bar, uint16_t beat,
                         const struct names *names, size_t own)
{
    const char *between = "; in other subdivisions ";
    struct buffer text = {0};
    for (size_t i = 0; i < own; i++)
        buffer_format(&text, "%s%s", i ? ", " : "", names->names[i]);
    for (size_t i = own; i < names->count; i++)
        if (is_clear(frames, bar, beat, names->names[i])) {
            buffer_format(&text, "%s%s", between, names->names[i]);
            between = ", ";
        }
    diag_expected(frames->diags, "%s", buffer_text(&text));
    buffer_release(&text);
}

static void report_no_beat(struct frames *frames, const struct counted_bar *bar,
                           const struct address *address, uint16_t beat)
{
    unsigned beats = bar->frame->beat_count;
    diag_add(frames->diags, DIAG_UNKNOWN_COUNT, address->at, "there is no beat %u in this bar",
             beat + 1u);
    diag_found(frames->diags, address_words(frames->arena, address));
    diag_expected(frames->diags, "a beat from 1 to %u", beats);
}

/* "1e&a": the beat's counts in one word; false unless it consists of two or more of them. */
static bool expect_parts(struct frames *frames, const struct address *address,
                         const struct names *names)
{
    struct buffer text = {0};
    size_t parts = 0;
    const char *rest = address->spoken;
    while (*rest) {
        size_t best = 0;
        for (size_t i = 0; i < names->count; i++) {
            const char *spoken = names->names[i] + strspn(names->names[i], "0123456789");
            size_t length = strlen(spoken);
            if (length > best && strncmp(rest, spoken, length) == 0)
                best = length;
        }
        if (best == 0)
            break;
        if (strncmp(rest, rest + best, best) == 0) /* written twice */
            break;
        buffer_format(&text, " %u%.*s", address->beat, (int)best, rest);
        rest += best;
        parts++;
    }
    bool all = *rest == '\0' && parts > 1;
    if (all)
        diag_expected(frames->diags, "each count with its beat:%s", buffer_text(&text));
    buffer_release(&text);
    return all;
}

/* "2and" means `2&`, even if another count is spelled more like it. */
static void suggest_count(struct frames *frames, const struct counted_bar *bar,
                          const struct address *address, uint16_t beat, const struct names *names,
                          size_t own)
{
    const char *words = address_words(frames->arena, address);
    size_t skip = strncmp(address->spoken, "and", 3) == 0 ? 3 : address->spoken[0] == '+';
    if (skip)
        words = arena_format(frames->arena, "%u&%s", address->beat, address->spoken + skip);
    const char *nearest = diag_nearest_name(words, names->names, names->count);
    bool clear = nearest && is_clear(frames, bar, beat, nearest);
    for (size_t i = 0; i < own; i++)
        clear |= names->names[i] == nearest;
    if (clear && !skip)
        diag_nearest_of(frames->diags, words, names->names, names->count);
    else
        diag_nearest(frames->diags, nearest);
}

/* Adds `each &` for the counts from `first` to `end`. */
static void add_each(struct arena *arena, const struct names *names, size_t first, size_t end,
                     struct names *each)
{
    for (size_t i = first; i < end; i++) {
        const char *spoken = names->names[i] + strspn(names->names[i], "0123456789");
        if (*spoken && *spoken != '/')
            add_name(each, arena_format(arena, "each %s", spoken));
    }
}

static void expect_each(struct frames *frames, const struct address *address,
                        const struct names *names, size_t own)
{
    struct names each = {{"each beat"}, 1};
    struct buffer text = {0};
    add_each(frames->arena, names, 0, own, &each);
    for (size_t i = 0; i < each.count; i++)
        buffer_format(&text, "%s'%s'", i ? ", " : "", each.names[i]);
    add_each(frames->arena, names, own, names->count, &each);
    diag_expected(frames->diags, "%s", buffer_text(&text));
    buffer_release(&text);
    diag_nearest_of(frames->diags, address_words(frames->arena, address), each.names, each.count);
}

/* The counts of the subdivision that an address names. */
static void expect_own(struct frames *frames, const struct counted_bar *bar,
                       const struct address *address, uint16_t beat)
{
    const struct span *span = frame_divide(frames, bar->frame, beat, address->subdivision);
    struct names names = {.count = 0};
    struct buffer text = {0};
    add_span_names(frames->arena, span, beat, true, &names);
    for (size_t i = 0; i < names.count; i++)
        buffer_format(&text, "%s%s", i ? ", " : "", names.names[i]);
    if (names.count)
        diag_expected(frames->diags, "%s", buffer_text(&text));
    else
        diag_expected(frames->diags, "a subdivision that divides this beat");
    buffer_release(&text);
}

/* The count as it would be written for each place that it could mean: "1let of eighth triplets". */
static void expect_forms(struct frames *frames, const struct counted_bar *bar,
                         const struct address *address, uint16_t beat, const struct names *names,
                         size_t own)
{
    struct fraction onsets[SUBDIVISION_COUNT];
    const char *spoken =
        address->to_beat == beat + 1u && *address->to_spoken ? address->to_spoken : address->spoken;
    struct buffer text = {0};
    size_t count = 0;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const struct span *span = frame_divide(frames, bar->frame, beat, (enum subdivision)i);
        bool new =
            span && span->division.beats == 1 && find_onset_in(span, beat, spoken, &onsets[count]);
        for (size_t before = 0; new &&before < count; before++)
            new = !fraction_equal(onsets[before], onsets[count]);
        if (!new)
            continue;
        struct address form = *address;
        form.of = true;
        form.subdivision = (uint8_t)i;
        buffer_format(&text, "%s'%s'", count++ ? " or " : "", address_words(frames->arena, &form));
    }
    buffer_add_text(&text, ", or a count of this beat:");
    for (size_t i = 0; i < own; i++)
        buffer_format(&text, "%s %s", i ? "," : "", names->names[i]);
    diag_expected(frames->diags, "%s", buffer_text(&text));
    buffer_release(&text);
}

void address_report(struct frames *frames, const struct counted_bar *bar,
                    const struct address *address, const struct resolved *resolved)
{
    uint16_t beat = resolved->beat;
    if (resolved->outcome == ADDRESS_NO_BEAT) {
        report_no_beat(frames, bar, address, beat);
        return;
    }
    const char *words = address_words(frames->arena, address);
    bool unknown = resolved->outcome == ADDRESS_UNKNOWN;
    if (address->of)
        diag_add(frames->diags, DIAG_UNKNOWN_COUNT, address->at, "there is no '%s' in beat %u",
                 words, beat + 1u);
    else if (unknown)
        diag_add(frames->diags, DIAG_UNKNOWN_COUNT, address->at,
                 "no subdivision counts '%s' in beat %u", words, beat + 1u);
    else
        diag_add(frames->diags, DIAG_AMBIGUOUS_COUNT, address->at,
                 "'%s' is not counted in beat %u here, and other subdivisions place it differently",
                 words, beat + 1u);
    struct names names = {.count = 0};
    size_t own = list_names(frames, bar, beat, &names);
    diag_found(frames->diags, words);
    if (address->of) {
        expect_own(frames, bar, address, beat);
        return;
    }
    if (unknown && address->kind == ADDRESS_EACH_SPOKEN) {
        expect_each(frames, address, &names, own);
        return;
    }
    if (unknown && address->kind == ADDRESS_SLOT && expect_parts(frames, address, &names))
        return;
    if (unknown)
        expect_names(frames, bar, beat, &names, own);
    else
        expect_forms(frames, bar, address, beat, &names, own);
    if (unknown && address->kind == ADDRESS_SLOT)
        suggest_count(frames, bar, address, beat, &names, own);
}
