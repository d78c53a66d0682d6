/*
 * Beats of the hands by note values, if they fit no counts: "triplet of quarters begins, quarter
 * right, triplet of eighths begins, eighth left, right, left, triplet ends, quarter right, triplet
 * ends". A value holds until the next one, but not past the beginning or end of a tuplet.
 */
#include "spoken/spoken_int.h"

struct value_words {
    const struct telling *telling;
    const struct score_line *line;
    voice_id common;
    int said_log2, said_dots; /* the value that holds; log2 -1: none */
    struct buffer out;
};

static void part(struct value_words *words)
{
    buffer_add_text(&words->out, words->out.length ? ", " : "");
}

static bool is_triplet(const struct tuplet *tuplet)
{
    return tuplet->actual == 3 && tuplet->normal == 2;
}

static const char *plural(struct arena *arena, unsigned value_log2)
{
    const char *value = word_value(arena, value_log2, 0);
    return value_log2 == 1 ? "halves" : arena_format(arena, "%ss", value);
}

static void begin_tuplets(struct value_words *words, uint32_t leaf)
{
    for (uint16_t i = 0; i < words->line->tuplet_count; i++) {
        const struct tuplet *tuplet = &words->line->tuplets[i];
        if (tuplet->first != leaf)
            continue;
        part(words);
        const char *unit = plural(words->telling->arena, tuplet->unit_log2);
        if (is_triplet(tuplet))
            buffer_format(&words->out, "triplet of %s begins", unit);
        else
            buffer_format(&words->out, "%s %s in the time of %s begin",
                          word_of_number(tuplet->actual), unit, word_of_number(tuplet->normal));
        words->said_log2 = -1;
    }
}

static void end_tuplets(struct value_words *words, uint32_t leaf)
{
    for (uint16_t i = words->line->tuplet_count; i-- > 0;) {
        const struct tuplet *tuplet = &words->line->tuplets[i];
        if (tuplet->end != leaf + 1)
            continue;
        part(words);
        buffer_format(&words->out, is_triplet(tuplet) ? "triplet ends" : "%s end",
                      word_of_number(tuplet->actual));
        words->said_log2 = -1;
    }
}

static void add_leaf(struct value_words *words, const struct leaf *leaf)
{
    part(words);
    if (leaf->value_log2 != words->said_log2 || leaf->dots != words->said_dots)
        buffer_format(&words->out, "%s ",
                      word_value(words->telling->arena, leaf->value_log2, leaf->dots));
    words->said_log2 = leaf->value_log2;
    words->said_dots = leaf->dots;
    if (leaf_struck(leaf))
        stroke_words(words->telling, leaf->note, words->common, &words->out);
    else
        buffer_add_text(&words->out, word_unstruck(leaf));
}

/* Whether a moment is inside what begins at `onset`. */
static bool is_inside(struct fraction at, struct fraction onset, struct fraction length)
{
    return fraction_compare(onset, at) < 0 && fraction_compare(fraction_add(onset, length), at) > 0;
}

uint16_t value_stretch(const struct score_bar *bar, uint16_t beat, uint16_t end)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    for (; end < bar->counted_count; end++) {
        struct fraction at = bar->counted[end].start;
        bool crossed = bar->counted[end].spanned;
        for (uint32_t i = 0; i < line->leaf_count && !crossed; i++)
            crossed = is_inside(at, line->leaves[i].onset, line->leaves[i].length);
        for (uint16_t i = 0; i < line->tuplet_count && !crossed; i++)
            crossed = is_inside(at, line->tuplets[i].onset, line->tuplets[i].length);
        if (!crossed)
            break;
    }
    return (uint16_t)(end - beat);
}

static const struct count *count_at(const struct score_bar *bar, struct fraction onset)
{
    for (uint16_t i = 0; i < bar->count_count; i++)
        if (fraction_equal(bar->counts[i].onset, onset))
            return &bar->counts[i];
    return NULL;
}

/* ", counted 1 e and a": what the sheet counts for these strokes, if a tuplet over several beats is
   among them and each stroke has its count. */
static const char *counted_words(const struct telling *telling, const struct score_bar *bar,
                                 uint32_t first, uint32_t end)
{
    struct buffer out = {0};
    bool tuplet = false, whole = true;
    buffer_add_text(&out, ", counted");
    for (uint32_t i = first; i < end; i++) {
        const struct leaf *leaf = &bar->lines[LINE_HANDS].leaves[i];
        const struct count *count = leaf_struck(leaf) ? count_at(bar, leaf->onset) : NULL;
        whole &= count || !leaf_struck(leaf);
        tuplet |= count && count->tuplet;
        if (count) {
            buffer_add_text(&out, " ");
            syllable_words(count->text, 0, &out);
        }
    }
    const char *words = buffer_keep(&out, telling->arena);
    return tuplet && whole ? words : "";
}

struct unit value_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                       uint16_t beats)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    struct value_words words = {.telling = telling, .line = line, .said_log2 = -1};
    uint32_t first, end;
    hand_leaves(bar, beat, beats, &first, &end);
    words.common = stroke_common(telling, line->leaves, first, end);
    for (uint32_t i = first; i < end; i++) {
        begin_tuplets(&words, i);
        add_leaf(&words, &line->leaves[i]);
        end_tuplets(&words, i);
    }
    struct unit unit = {beat, beats, ", by note values", counted_words(telling, bar, first, end),
                        NULL};
    return unit_of(telling, unit, words.common, &words.out);
}
