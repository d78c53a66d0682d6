/*
 * A beat of the hands by its counts: "right, left ghost on the e, right accent on the and". The
 * first is on the beat where no count is said; where every slot of the grid is struck the strokes
 * follow each other and need none. What sounds lasts until the next thing said, a rest among them;
 * a beat that begins inside a note or a rest says so first.
 */
#include "spoken/spoken_int.h"

/* The leaves whose onset is in beats [beat, beat + beats). */
static void leaves_of(const struct score_bar *bar, uint16_t beat, uint16_t beats, uint32_t *first,
                      uint32_t *end)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    size_t at, after = beat + beats;
    lower_bound(at, 0, line->leaf_count,
                fraction_compare(line->leaves[at].onset, bar->beats[beat].start) < 0);
    *first = (uint32_t)at;
    if (after < bar->beat_count)
        lower_bound(at, 0, line->leaf_count,
                    fraction_compare(line->leaves[at].onset, bar->beats[after].start) < 0);
    else
        at = line->leaf_count;
    *end = (uint32_t)at;
}

bool beat_off_grid(const struct telling *telling, const struct score_bar *bar, uint16_t beat)
{
    const struct score_beat *in = &bar->beats[beat], *grid = in;
    if (in->spanned && beat > 0)
        grid--;
    uint32_t first, end;
    leaves_of(bar, beat, 1, &first, &end);
    for (uint32_t i = first; i < end; i++) {
        struct fraction onset = bar->lines[LINE_HANDS].leaves[i].onset;
        const struct leaf *leaf = &bar->lines[LINE_HANDS].leaves[i];
        if (!leaf->continued && !fraction_equal(onset, in->start) && slot_at(grid, onset) < 0 &&
            (!leaf->rest || !place_beside_grid(telling, bar, beat, onset)))
            return true;
    }
    return false;
}

/* Every slot is struck, and nothing else happens. */
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

/* A rest or a continuation after its like says nothing new. */
static bool goes_on(const struct leaf *leaves, uint32_t index, uint32_t first)
{
    if (index == first)
        return false;
    return leaves[index].continued || (leaves[index].rest && leaves[index - 1].rest);
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
    const struct score_beat *in = &words->bar->beats[words->beat];
    buffer_add_text(&words->out, words->out.length ? ", " : "");
    if (leaf_struck(leaf))
        stroke_words(words->telling, leaf->note, words->common, &words->out);
    else
        buffer_add_text(&words->out, leaf->rest ? "rest" : "held");
    if (filled || fraction_equal(leaf->onset, in->start))
        return;
    int slot = slot_at(in, leaf->onset);
    buffer_format(&words->out, " on the %s",
                  slot >= 0 ? slot_word(words->telling, words->bar, words->beat, (unsigned)slot)
                            : place_beside_grid(words->telling, words->bar,
                                                bar_beat_at(words->bar, leaf->onset), leaf->onset));
}

/* ", eighth triplets, all on the high tom": as far as it does not go without saying. */
static const char *manner_of(const struct telling *telling, const struct score_beat *beat,
                             bool divided, voice_id common)
{
    bool unusual = divided && (int)beat->subdivision != telling->habits.subdivision;
    if (!unusual && common == VOICE_NONE)
        return "";
    return arena_format(telling->arena, "%s%s%s%s", unusual ? ", " : "",
                        unusual ? subdivision_name((enum subdivision)beat->subdivision) : "",
                        common == VOICE_NONE ? "" : ", all on the ",
                        common == VOICE_NONE ? "" : voice_word(telling, common));
}

void beat_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
               uint16_t beats, struct unit *unit)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    const struct score_beat *in = &bar->beats[beat];
    uint32_t first, end;
    leaves_of(bar, beat, beats, &first, &end);
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
    *unit = (struct unit){
        .beat = beat,
        .beats = beats,
        .manner = manner_of(telling, in, divided, words.common),
        .body = arena_copy_text(telling->arena, buffer_text(&words.out), words.out.length),
    };
    buffer_release(&words.out);
}
