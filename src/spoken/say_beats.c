/*
 * A beat of the hands by its counts: "right, left ghost on the e, right accent on the and".
 *
 *     a stroke without a count is on the beat;
 *     if every slot of the grid is struck, the strokes need no counts;
 *     "rest" and "held" are said like strokes, each only once in a row;
 *     a beat that begins inside a rest or a note begins with "rest" or "held";
 *     a voice that no hand usually plays is said once for the beat, if all its strokes have it.
 */
#include "spoken/spoken_int.h"

void hand_leaves(const struct score_bar *bar, uint16_t beat, uint16_t beats, uint32_t *first,
                 uint32_t *end)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    size_t at, after = beat + beats;
    lower_bound(at, 0, line->leaf_count,
                fraction_compare(line->leaves[at].onset, bar->counted[beat].start) < 0);
    *first = (uint32_t)at;
    if (after < bar->counted_count)
        lower_bound(at, 0, line->leaf_count,
                    fraction_compare(line->leaves[at].onset, bar->counted[after].start) < 0);
    else
        at = line->leaf_count;
    *end = (uint32_t)at;
}

bool beat_off_grid(const struct telling *telling, const struct score_bar *bar, uint16_t beat)
{
    const struct score_beat *in = &bar->counted[beat], *grid = in;
    if (in->spanned && beat > 0)
        grid--;
    uint32_t first, end;
    hand_leaves(bar, beat, 1, &first, &end);
    for (uint32_t i = first; i < end; i++) {
        struct fraction onset = bar->lines[LINE_HANDS].leaves[i].onset;
        const struct leaf *leaf = &bar->lines[LINE_HANDS].leaves[i];
        if (leaf_struck(leaf) && tuplet_count_at(bar, onset))
            return true;
        if ((!leaf->continued || leaf->ends_roll) && !fraction_equal(onset, in->start) &&
            slot_at(grid, onset) < 0 &&
            (!leaf->rest || !place_beside_grid(telling, bar, beat, onset)))
            return true;
    }
    return false;
}

/* Every slot is struck, and there is nothing else. */
static bool is_filled(const struct score_beat *beat, const struct leaf *leaves, uint32_t first,
                      uint32_t end)
{
    if (!beat->has_division || end - first != beat->division.slots)
        return false;
    for (uint32_t i = first; i < end; i++)
        if (!leaf_struck(&leaves[i]) || slot_at(beat, leaves[i].onset) != (int)(i - first))
            return false;
    return true;
}

/* A beat that begins inside a leaf. */
static void add_state(const struct score_line *line, uint32_t first, struct buffer *out)
{
    if (first > 0)
        buffer_add_text(out, line->leaves[first - 1].rest ? "rest" : "held");
}

/* A rest after a rest, or a tie's continuation: it says nothing new. */
static bool goes_on(const struct leaf *leaves, uint32_t index, uint32_t first)
{
    if (index == first)
        return false;
    return (leaves[index].continued && !leaves[index].ends_roll) ||
           (leaves[index].rest && leaves[index - 1].rest);
}

struct beat_words {
    const struct telling *telling;
    const struct score_bar *bar;
    uint16_t beat;
    voice_id common;
    struct buffer out;
};

static void add_leaf(struct beat_words *words, const struct leaf *leaf, bool filled)
{
    const struct score_beat *in = &words->bar->counted[words->beat];
    buffer_add_text(&words->out, words->out.length ? ", " : "");
    if (leaf_struck(leaf))
        stroke_words(words->telling, leaf->note, words->common, &words->out);
    else
        buffer_add_text(&words->out, word_unstruck(leaf));
    if (filled || fraction_equal(leaf->onset, in->start))
        return;
    int slot = slot_at(in, leaf->onset);
    buffer_format(&words->out, " on the %s",
                  slot >= 0
                      ? slot_word(words->telling, words->bar, words->beat, (unsigned)slot)
                      : place_beside_grid(words->telling, words->bar,
                                          bar_counted_at(words->bar, leaf->onset), leaf->onset));
}

struct unit unit_of(const struct telling *telling, struct unit unit, voice_id common,
                    struct buffer *body)
{
    unit.body = buffer_keep(body, telling->arena);
    if (common != VOICE_NONE)
        unit.manner = arena_format(telling->arena, "%s, all on the %s", unit.manner,
                                   voice_word(telling, common));
    return unit;
}

struct unit beat_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                      uint16_t beats)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    const struct score_beat *in = &bar->counted[beat];
    uint32_t first, end;
    hand_leaves(bar, beat, beats, &first, &end);
    struct beat_words words = {.telling = telling, .bar = bar, .beat = beat};
    words.common = stroke_common(telling, line->leaves, first, end);
    bool filled = is_filled(in, line->leaves, first, end), divided = false;
    if (first == end || !fraction_equal(line->leaves[first].onset, in->start))
        add_state(line, first, &words.out);
    for (uint32_t i = first; i < end; i++) {
        if (goes_on(line->leaves, i, first))
            continue;
        divided |= !fraction_equal(line->leaves[i].onset, in->start) &&
                   slot_at(in, line->leaves[i].onset) >= 0;
        add_leaf(&words, &line->leaves[i], filled);
    }
    struct unit unit = {beat, beats, "", "", NULL};
    if (divided && (int)in->subdivision != telling->habits.subdivision)
        unit.manner = arena_format(telling->arena, ", %s",
                                   subdivision_name((enum subdivision)in->subdivision));
    return unit_of(telling, unit, words.common, &words.out);
}
