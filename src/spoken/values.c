/*
 * A stretch of the hands by note values, where counts do not reach: "triplet of quarters begins,
 * quarter right, triplet of eighths begins, eighth left, right, left, triplet ends, quarter right,
 * triplet ends". A value holds until another is said, but never past a tuplet's begin or end.
 */
#include "spoken/spoken_int.h"

struct value_words {
    const struct telling *telling;
    const struct score_line *line;
    voice_id common;
    int said_log2, said_dots; /* the value that holds; -1: none */
    struct buffer out;
};

static void part(struct value_words *words)
{
    buffer_add_text(&words->out, words->out.length ? ", " : "");
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
        if (tuplet->actual == 3 && tuplet->normal == 2)
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
        bool triplet = tuplet->actual == 3 && tuplet->normal == 2;
        buffer_format(&words->out, triplet ? "triplet ends" : "%s end",
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
        buffer_add_text(&words->out, leaf->rest ? "rest" : "held");
}

uint16_t value_stretch(const struct score_bar *bar, uint16_t beat, uint16_t end)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    for (; end < bar->beat_count; end++) {
        struct fraction at = bar->beats[end].start;
        bool crossed = bar->beats[end].spanned;
        for (uint32_t i = 0; i < line->leaf_count && !crossed; i++)
            crossed = fraction_compare(line->leaves[i].onset, at) < 0 &&
                      fraction_compare(fraction_add(line->leaves[i].onset, line->leaves[i].length),
                                       at) > 0;
        for (uint16_t i = 0; i < line->tuplet_count && !crossed; i++)
            crossed = fraction_compare(line->tuplets[i].onset, at) < 0 &&
                      fraction_compare(
                          fraction_add(line->tuplets[i].onset, line->tuplets[i].length), at) > 0;
        if (!crossed)
            break;
    }
    return (uint16_t)(end - beat);
}

void value_unit(const struct telling *telling, const struct score_bar *bar, uint16_t beat,
                uint16_t beats, struct unit *unit)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    struct value_words words = {.telling = telling, .line = line, .said_log2 = -1};
    uint32_t first = line->leaf_count, end = 0;
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (line->leaves[i].beat >= beat && line->leaves[i].beat < beat + beats) {
            first = i < first ? i : first;
            end = i + 1;
        }
    words.common = stroke_common(telling, line->leaves, first, end);
    for (uint32_t i = first; i < end; i++) {
        begin_tuplets(&words, i);
        add_leaf(&words, &line->leaves[i]);
        end_tuplets(&words, i);
    }
    *unit = (struct unit){
        .beat = beat,
        .beats = beats,
        .manner = arena_format(telling->arena, ", by note values%s%s",
                               words.common == VOICE_NONE ? "" : ", all on the ",
                               words.common == VOICE_NONE ? "" : voice_word(telling, words.common)),
        .body = arena_copy_text(telling->arena, buffer_text(&words.out), words.out.length),
    };
    buffer_release(&words.out);
}
