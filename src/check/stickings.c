/*
 * Recognizes rudiments in stickings.
 *
 *     1. A sticking and each rudiment become a row of tokens: hand, graces, strokes. Accents are
 * left out, because editions differ.
 *     2. A repeated row is reduced to its shortest period.
 *     3. If the period is that of a rudiment - as written, starting on another of its strokes, or
 *        with hands swapped, in this order - the sticking is that rudiment.
 *     4. Otherwise the first few rudiments that stand somewhere in the sticking are named.
 */
#include "check/check.h"

#include "base/vector.h"
#include "model/rudiment.h"

#include <stdlib.h>
#include <string.h>

struct token {
    uint8_t hand, graces, grace_count; /* graces: bit i set: by the stroke's own hand */
    uint8_t strokes;                   /* marks_strokes() of slashes and buzz */
};

enum { TOKENS_MOST = 4096, RUDIMENT_TOKENS = 40, STRETCH_LEAST = 6, STRETCHES_TOLD = 3 };

struct tokens {
    struct token *items;
    size_t count;
    size_t period; /* the shortest */
};

static bool same(struct token a, struct token b, bool mirrored)
{
    uint8_t hand = b.hand;
    if (mirrored && (hand == HAND_RIGHT || hand == HAND_LEFT))
        hand = hand == HAND_RIGHT ? HAND_LEFT : HAND_RIGHT;
    return a.hand == hand && a.graces == b.graces && a.grace_count == b.grace_count &&
           a.strokes == b.strokes;
}

static size_t least_period(const struct token *items, size_t count)
{
    for (size_t period = 1; period < count; period++) {
        bool goes_round = count % period == 0;
        for (size_t i = period; i < count && goes_round; i++)
            goes_round = same(items[i], items[i - period], false);
        if (goes_round)
            return period;
    }
    return count;
}

/* ---- rows --------------------------------------------------------------------------------- */

/* Reads a row of the table of rudiments, which needs no error messages. */
static size_t rudiment_tokens(const char *strokes, struct token items[RUDIMENT_TOKENS])
{
    size_t count = 0;
    const struct token plain = {.strokes = 1};
    struct token token = plain;
    uint8_t graces = 0;
    for (; *strokes; strokes++) {
        if (*strokes == 'l' || *strokes == 'r') {
            graces |= (uint8_t)((*strokes == 'l') << token.grace_count++);
        } else if (*strokes == 'R' || *strokes == 'L') {
            token.hand = *strokes == 'L' ? HAND_LEFT : HAND_RIGHT;
            unsigned all = (1u << token.grace_count) - 1u;
            token.graces = token.hand == HAND_LEFT ? graces : (uint8_t)(~graces & all);
            if (count < RUDIMENT_TOKENS)
                items[count++] = token;
            token = plain;
            graces = 0;
        } else if (*strokes == '/' && count) {
            items[count - 1].strokes *= 2;
        } else if (*strokes == 'z' && count) {
            items[count - 1].strokes = (uint8_t)marks_strokes(MARK_BUZZ);
        }
    }
    return count;
}

static struct token token_of(const struct stroke *stroke)
{
    unsigned all = (1u << stroke->grace_count) - 1u;
    unsigned own = stroke->hand == HAND_LEFT ? stroke->graces : ~(unsigned)stroke->graces;
    return (struct token){stroke->hand, (uint8_t)(own & all), stroke->grace_count,
                          (uint8_t)marks_strokes(stroke->marks)};
}

static struct tokens line_tokens(const struct stroke_line *line, struct arena *arena)
{
    struct tokens tokens = {.items = arena_array(arena, line->count, sizeof *tokens.items)};
    for (size_t i = 0; i < line->count; i++) {
        uint8_t hand = line->strokes[i].hand;
        if (hand == HAND_OPEN)
            return (struct tokens){0};
        if (hand != HAND_NONE)
            tokens.items[tokens.count++] = token_of(&line->strokes[i]);
    }
    tokens.period = least_period(tokens.items, tokens.count);
    return tokens;
}

/* ---- rhythms ------------------------------------------------------------------------------ */

/* When a row's strokes come, from the bar on in which it begins; there may be more, or fewer. */
struct times {
    const struct fraction *at;
    size_t count;
};

static struct times stroke_times(const struct score_exercise *exercise, size_t first_bar,
                                 size_t most, struct arena *arena)
{
    struct fraction *at = arena_array(arena, most, sizeof *at), now = FRACTION_ZERO;
    size_t count = 0;
    for (size_t b = first_bar; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        const struct score_line *line = &bar->lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count && count < most; i++)
            if (leaf_struck(&line->leaves[i]) && line->leaves[i].note->letter)
                at[count++] = fraction_add(now, line->leaves[i].onset);
        now = fraction_add(now, bar->length);
    }
    return (struct times){at, count};
}

/* How long each note of a rudiment's figure lasts, with the rest after it; returns how many. */
static size_t figure_lengths(const char *rhythm, struct fraction lengths[RUDIMENT_TOKENS])
{
    size_t count = 0;
    struct fraction scale = fraction_make(1, 1);
    for (char *end; *rhythm; rhythm = end) {
        bool rest = *rhythm == '_';
        long value = strtol(rhythm + rest, &end, 10), times = 1;
        if (end == rhythm + rest) { /* a space or bracket */
            scale = *rhythm == ')' ? fraction_make(1, 1) : scale;
            end++;
            continue;
        }
        if (*end == '(') {
            scale = fraction_make(value == 3 ? 2 : 4, value); /* there are threes and sixes */
            continue;
        }
        struct fraction length = fraction_multiply(scale, fraction_make(1, value));
        if (*end == '.' && *end++)
            length = fraction_multiply(length, fraction_make(3, 2));
        if (*end == '*')
            times = strtol(end + 1, &end, 10);
        if (rest && count)
            lengths[count - 1] = fraction_add(lengths[count - 1], length);
        for (; !rest && times && count < RUDIMENT_TOKENS; times--)
            lengths[count++] = length;
    }
    return count;
}

/* Whether `count` strokes from `first` on have the rhythm of the rudiment from its stroke `from`
   on, or are even, as many are practised. */
static bool has_rhythm(const struct times *times, size_t first, size_t count,
                       const struct rudiment *rudiment, size_t from)
{
    struct fraction own[RUDIMENT_TOKENS], gap, shortest;
    size_t notes = figure_lengths(rudiment->rhythm, own);
    bool even = true, same = notes > 0;
    for (size_t i = 0; i + 1 < count && first + i + 1 < times->count; i++) {
        gap = fraction_subtract(times->at[first + i + 1], times->at[first + i]);
        shortest = i ? shortest : gap;
        even = even && fraction_equal(gap, shortest);
        same = same && fraction_equal(fraction_multiply(gap, own[from % notes]),
                                      fraction_multiply(shortest, own[(i + from) % notes]));
    }
    return even || same;
}

/* ---- finding ------------------------------------------------------------------------------ */

struct found {
    const struct rudiment *rudiment;
    size_t from; /* the sticking starts on this stroke of it, from 0 */
    bool mirrored;
};

/* Whether `count` tokens are those of a rudiment that starts on its stroke `from`. */
static bool is_rudiment(const struct token *tokens, const struct token *items, size_t count,
                        size_t from, bool mirrored)
{
    for (size_t i = 0; i < count; i++)
        if (!same(tokens[i], items[(i + from) % count], mirrored))
            return false;
    return true;
}

/* Each diddle as two strokes; returns how many tokens there are then. */
static size_t spell_out(const struct token *items, size_t count, struct token *out)
{
    size_t spelled = 0;
    for (size_t i = 0; i < count && spelled + 1 < RUDIMENT_TOKENS; i++) {
        out[spelled++] = items[i];
        if (items[i].strokes != 2)
            continue;
        out[spelled - 1].strokes = 1;
        out[spelled++] = (struct token){.hand = items[i].hand, .strokes = 1};
    }
    return spelled;
}

static bool match_whole(const struct tokens *tokens, const struct token *items, size_t count,
                        int pass, size_t *from)
{
    size_t period = least_period(items, count);
    for (*from = 0; period == tokens->period && *from < (pass ? period : 1); ++*from)
        if (is_rudiment(tokens->items, items, period, *from, pass == 2))
            return true;
    return false;
}

/* Tries the row as written and, from its first stroke, with diddles spelled out as well. */
static bool find_whole(const struct tokens *tokens, struct found *found)
{
    for (int pass = 0; pass < 3; pass++)
        for (int number = 1; number <= RUDIMENT_COUNT; number++) {
            const struct rudiment *rudiment = rudiment_get(number);
            struct token items[RUDIMENT_TOKENS], spelled[RUDIMENT_TOKENS];
            size_t count = rudiment_tokens(rudiment->strokes, items), from;
            size_t more = spell_out(items, count, spelled);
            if (match_whole(tokens, items, count, pass, &from) ||
                (pass == 0 && match_whole(tokens, spelled, more, pass, &from))) {
                *found = (struct found){rudiment, from, pass == 2};
                return true;
            }
        }
    return false;
}

/* Where the rudiment stands in the row; tokens->count if it does not. */
static size_t find_stretch(const struct tokens *tokens, const struct token *items, size_t count,
                           bool mirrored)
{
    for (size_t at = 0; at + count <= tokens->count; at++)
        if (is_rudiment(tokens->items + at, items, count, 0, mirrored))
            return at;
    return tokens->count;
}

static const char *ordinal(size_t number)
{
    size_t tens = number % 100;
    if (tens >= 11 && tens <= 13)
        return "th";
    return number % 10 == 1 ? "st" : number % 10 == 2 ? "nd" : number % 10 == 3 ? "rd" : "th";
}

static void tell_whole(const struct found *found, struct place at, struct diags *diags,
                       struct arena *arena)
{
    const char *begun = found->from ? arena_format(arena, ", starting on its %zu%s stroke",
                                                   found->from + 1, ordinal(found->from + 1))
                                    : "";
    diag_add(diags, DIAG_RUDIMENT, at, "this sticking is the %s%s%s", found->rudiment->name,
             found->mirrored ? " with hands swapped" : "", begun);
}

static void tell_stretches(const struct tokens *tokens, const struct times *times, struct place at,
                           struct diags *diags)
{
    int told = 0;
    for (int number = 1; number <= RUDIMENT_COUNT && told < STRETCHES_TOLD; number++) {
        const struct rudiment *rudiment = rudiment_get(number);
        struct token items[RUDIMENT_TOKENS];
        size_t count = rudiment_tokens(rudiment->strokes, items), where = tokens->count;
        bool mirrored = false;
        if (strcmp(rudiment->family, "roll") == 0) /* any singles or doubles contain one */
            continue;
        if (count < STRETCH_LEAST || least_period(items, count) < STRETCH_LEAST)
            continue;
        for (int hands = 0; hands < 2 && where == tokens->count; hands++) {
            mirrored = hands;
            where = find_stretch(tokens, items, count, mirrored);
        }
        if (where == tokens->count || !has_rhythm(times, where, count, rudiment, 0))
            continue;
        told++;
        diag_add(diags, DIAG_RUDIMENT, at, "strokes %zu to %zu of this sticking are the %s%s",
                 where + 1, where + count, rudiment->name, mirrored ? " with hands swapped" : "");
    }
}

/* A line of an exercise, whose first stroke is in the given bar. */
static void look_at(const struct stroke_line *line, const struct score_exercise *exercise,
                    size_t first_bar, struct diags *diags, struct arena *arena)
{
    struct found found;
    if (!line || line->count > TOKENS_MOST ||
        (line->name && rudiment_find(line->name, strlen(line->name))))
        return;
    struct tokens tokens = line_tokens(line, arena);
    if (tokens.count < 2)
        return;
    struct times times = {NULL, 0}; /* unknown if the row includes feet */
    if (exercise && !line->feet)
        times = stroke_times(exercise, first_bar, tokens.count, arena);
    if (!find_whole(&tokens, &found))
        tell_stretches(&tokens, &times, line->at, diags);
    else if (has_rhythm(&times, 0, tokens.period, found.rudiment, found.from))
        tell_whole(&found, line->at, diags, arena);
}

/* ---- in a few words ------------------------------------------------------------------------ */

enum { WORDS_MOST = 3 };

static const char *line_words(const struct stroke_line *line, struct arena *arena)
{
    struct found found;
    if (line->name)
        return line->name;
    struct tokens tokens = {0};
    if (line->count <= TOKENS_MOST)
        tokens = line_tokens(line, arena);
    if (tokens.count >= 2 && find_whole(&tokens, &found)) {
        const char *from =
            found.from ? arena_format(arena, " from stroke %zu", found.from + 1) : "";
        return arena_format(arena, "%s%s%s", found.rudiment->name,
                            found.mirrored ? " (hands swapped)" : "", from);
    }
    return arena_format(arena, "%zu stroke%s", line->struck, line->struck == 1 ? "" : "s");
}

/* Adds the words of a line unless they are there; false if there is no room for more. */
static bool add_words(const struct stroke_line *line, const char *words[WORDS_MOST], size_t *count,
                      struct arena *arena)
{
    const char *own = line_words(line, arena);
    for (size_t i = 0; i < *count; i++)
        if (strcmp(words[i], own) == 0)
            return true;
    if (*count == WORDS_MOST)
        return false;
    words[(*count)++] = own;
    return true;
}

static bool has_line_of_left(const struct exercise *exercise)
{
    bool any = exercise->left;
    for (size_t i = 0; i < exercise->bar_count; i++)
        any |= exercise->bars[i].left != NULL;
    return any;
}

const char *check_sticking_words(const struct score_exercise *exercise, struct arena *arena)
{
    const struct exercise *source = exercise->source;
    if (has_line_of_left(source))
        return "a line for each hand";
    const struct stroke_line *shared = source->settings.sticking, *last = NULL;
    const char *words[WORDS_MOST];
    size_t count = 0;
    bool all = true;
    for (size_t i = 0; all && i < (source->bar_count ? source->bar_count : 1); i++) {
        const struct stroke_line *own = source->bar_count ? source->bars[i].sticking : NULL;
        const struct stroke_line *line = own ? own : shared;
        if (line && line != last && !exercise->sequence)
            all = add_words(line, words, &count, arena);
        last = line;
    }
    const char *text = NULL;
    for (size_t i = 0; i < count; i++)
        text = text ? arena_format(arena, "%s; %s", text, words[i]) : words[i];
    return all ? text : arena_format(arena, "%s ...", text);
}

void check_stickings(const struct score *score, struct diags *diags)
{
    const struct lesson *lesson = score->lesson;
    struct arena *arena = arena_new();
    const struct stroke_line *last = NULL;
    for (size_t i = 0; i < lesson->exercise_count; i++) {
        const struct exercise *exercise = &lesson->exercises[i];
        const struct stroke_line *own = exercise->settings.sticking;
        bool here = own && own->at.file && lesson->file && strcmp(own->at.file, lesson->file) == 0;
        const struct score_exercise *printed = score_printing(score, i);
        size_t pickup = printed && printed->bar_count && printed->bars[0].pickup;
        if (here && !(last && own->at.line == last->at.line && own->at.column == last->at.column))
            look_at(own, printed, pickup, diags, arena);
        last = here ? own : last;
        for (size_t b = 0; b < exercise->bar_count; b++)
            if (b == 0 || exercise->bars[b].sticking != exercise->bars[b - 1].sticking)
                look_at(exercise->bars[b].sticking, printed, pickup + b, diags, arena);
        arena_reset(arena);
    }
    arena_free(arena);
}
