/* When something happens: counts by name. */
#include "model/counting.h"
#include "spoken/spoken_int.h"

#include <ctype.h>
#include <inttypes.h>
#include <string.h>

void syllable_words(const char *syllable, unsigned number, struct buffer *out)
{
    for (; *syllable; syllable++) {
        if (*syllable == '#')
            buffer_format(out, "%u", number);
        else if (*syllable == '&')
            buffer_add_text(out, "and");
        else
            buffer_add(out, syllable, 1);
    }
}

static const char *const ordinals[] = {"first", "second", "third",    "fourth",
                                       "fifth", "sixth",  "seventh",  "eighth",
                                       "ninth", "tenth",  "eleventh", "twelfth"};
enum { ORDINALS = sizeof ordinals / sizeof *ordinals };

/* "second of 5": for a slot without a syllable, or with a number as its syllable. */
static const char *counted_slot(struct arena *arena, unsigned slot, unsigned slots)
{
    if (slot < ORDINALS)
        return arena_format(arena, "%s of %u", ordinals[slot], slots);
    return arena_format(arena, "%uth of %u", slot + 1, slots);
}

/* "and"; "second trip" if the beat has that syllable twice. */
static const char *spoken_slot(struct arena *arena, const char *const *spoken, unsigned slot,
                               unsigned slots)
{
    unsigned before = 0, in_all = 0;
    for (unsigned i = 0; i < slots; i++)
        if (strcmp(spoken[i], spoken[slot]) == 0) {
            before += i < slot;
            in_all++;
        }
    struct buffer text = {0};
    if (in_all > 1 && before < ORDINALS)
        buffer_format(&text, "%s ", ordinals[before]);
    syllable_words(spoken[slot], 0, &text);
    return buffer_keep(&text, arena);
}

static const char *name_of_slot(const struct telling *telling, const struct score_bar *bar,
                                enum subdivision subdivision, const struct score_beat *beat,
                                unsigned slot)
{
    struct beat plain = {beat->start, beat->length, (enum beat_kind)beat->kind};
    struct division division;
    if (!subdivision_divide(subdivision, &plain, &division))
        return NULL;
    const char *const *spoken = counting_spoken(bar->settings->counting, subdivision, &plain);
    if (!spoken || !spoken[slot] || strpbrk(spoken[slot], "#0123456789"))
        return counted_slot(telling->arena, slot, division.slots);
    return spoken_slot(telling->arena, spoken, slot, division.slots);
}

const char *slot_word(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                      unsigned slot)
{
    const struct score_beat *in = &bar->counted[beat];
    return name_of_slot(telling, bar, (enum subdivision)in->subdivision, in, slot);
}

/* The slot of a division that begins at `start`, or -1. */
static int slot_of(const struct division *division, struct fraction start, struct fraction onset)
{
    struct fraction at = fraction_divide(fraction_subtract(onset, start), division->slot);
    bool inside = at.denominator == 1 && at.numerator >= 0 && at.numerator < division->slots;
    return inside ? (int)at.numerator : -1;
}

int slot_at(const struct score_beat *beat, struct fraction onset)
{
    return beat->has_division ? slot_of(&beat->division, beat->start, onset) : -1;
}

/* In the grid of the beat; of the beat before if the two share one division. */
static const char *place_in_grid(const struct telling *telling, const struct score_bar *bar,
                                 uint16_t beat, struct fraction onset)
{
    if (bar->counted[beat].spanned && beat > 0)
        beat--;
    int slot = slot_at(&bar->counted[beat], onset);
    if (slot < 0)
        return NULL;
    return arena_format(telling->arena, "the %s of %u",
                        slot_word(telling, bar, beat, (unsigned)slot), beat + 1U);
}

const char *place_beside_grid(const struct telling *telling, const struct score_bar *bar,
                              uint16_t beat, struct fraction onset)
{
    const struct score_beat *in = &bar->counted[beat];
    struct beat plain = {in->start, in->length, (enum beat_kind)in->kind};
    unsigned fewest = UINT32_MAX;
    const char *found = NULL;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        struct division division;
        if (!subdivision_divide((enum subdivision)i, &plain, &division) || division.beats != 1 ||
            division.slots >= fewest)
            continue;
        int slot = slot_of(&division, in->start, onset);
        if (slot < 0)
            continue;
        fewest = division.slots;
        found = arena_format(telling->arena, "%s in %s",
                             name_of_slot(telling, bar, (enum subdivision)i, in, (unsigned)slot),
                             subdivision_name((enum subdivision)i));
    }
    return found;
}

const struct count *tuplet_count_at(const struct score_bar *bar, struct fraction onset)
{
    for (uint16_t i = 0; i < bar->count_count; i++)
        if (bar->counts[i].tuplet && fraction_equal(bar->counts[i].onset, onset))
            return &bar->counts[i];
    return NULL;
}

bool counted_by_grid(const struct score_bar *bar, uint16_t beat)
{
    for (uint16_t i = 0; i < bar->count_count; i++)
        if (bar->counts[i].tuplet && bar_counted_at(bar, bar->counts[i].onset) == beat)
            return false;
    return bar->counted[beat].has_division;
}

/* "the third of 4 over beats 1 to 3"; NULL if the tuplet does not fill its beats. */
static const char *place_in_tuplet(const struct telling *telling, const struct score_bar *bar,
                                   const struct count *count)
{
    const struct tuplet *tuplet = count->tuplet;
    struct fraction end = fraction_add(tuplet->onset, tuplet->length);
    unsigned first = bar_counted_at(bar, tuplet->onset), last = first;
    while (last + 1U < bar->counted_count &&
           fraction_compare(bar->counted[last + 1U].start, end) < 0)
        last++;
    struct fraction filled = fraction_add(bar->counted[last].start, bar->counted[last].length);
    if (!fraction_equal(bar->counted[first].start, tuplet->onset) || !fraction_equal(filled, end))
        return NULL;
    struct fraction notes =
        fraction_divide(fraction_subtract(count->onset, tuplet->onset),
                        fraction_divide(tuplet->length, fraction_make(tuplet->actual, 1)));
    return arena_format(telling->arena, "the %s over beats %u to %u",
                        counted_slot(telling->arena, (unsigned)notes.numerator, tuplet->actual),
                        first + 1U, last + 1U);
}

const char *place_word(const struct telling *telling, const struct score_bar *bar,
                       struct fraction onset)
{
    const struct count *of_tuplet = tuplet_count_at(bar, onset);
    const char *word = of_tuplet ? place_in_tuplet(telling, bar, of_tuplet) : NULL;
    if (word)
        return word;
    uint16_t beat = bar_counted_at(bar, onset);
    if (fraction_equal(bar->counted[beat].start, onset))
        return arena_format(telling->arena, "%u", beat + 1U);
    word = place_in_grid(telling, bar, beat, onset);
    if (word)
        return word;
    word = place_beside_grid(telling, bar, beat, onset);
    if (word)
        return arena_format(telling->arena, "the %s of %u", word, beat + 1U);
    struct fraction part = fraction_divide(fraction_subtract(onset, bar->counted[beat].start),
                                           bar->counted[beat].length);
    return arena_format(telling->arena, "%" PRId64 "/%" PRId64 " into beat %u", part.numerator,
                        part.denominator, beat + 1U);
}
