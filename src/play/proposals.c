/* Hands where none are written: as proposals for the verdict, as letters for the page. */
#include "play/hands.h"

#include "play/play_int.h"

#include <string.h>

/* ---- proposals ---------------------------------------------------------------------------- */

struct hand_row hands_open_row(const struct score *score, const struct score_exercise *exercise,
                               struct time_grid grid, bool repeated, const struct reach *reach,
                               struct fraction tempo, struct arena *arena)
{
    struct hand_row row = hands_gather(score, exercise, grid, false, repeated, arena);
    if (tempo.numerator)
        row.tempo = tempo;
    hands_find_habits(&row, reach);
    hands_by_habit(&row, reach);
    return row;
}

void play_forget_hands(struct score *score)
{
    for (size_t e = 0; e < score->exercise_count; e++)
        for (size_t b = 0; b < score->exercises[e].bar_count; b++) {
            struct score_line *line = &score->exercises[e].bars[b].lines[LINE_HANDS];
            for (uint32_t i = 0; i < line->leaf_count; i++)
                if (line->leaves[i].note)
                    line->leaves[i].note->proposed &= NOTE_ASKED | NOTE_KEYED;
        }
}

/* ---- letters ------------------------------------------------------------------------------ */

/* Until the hand is known, grace strokes are written as for a note of the right hand. */
static void settle_graces(struct note *note)
{
    if (note->letter == 'L')
        note->graces = (uint8_t)(~note->graces & ((1u << note->grace_count) - 1u));
}

/* Voices by count come in the order of their keys; a note has the right hand's first. */
static void right_first(struct note *note)
{
    struct hit first = note->hits[0];
    if (!(note->proposed & NOTE_KEYED) || first.limb != LIMB_LEFT_HAND || note->hit_count != 2)
        return;
    note->hits[0] = note->hits[1];
    note->hits[1] = first;
}

static void fill(struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++) {
        struct note *note = row->events[i].note;
        if (note->letter || !(note->proposed & NOTE_ASKED))
            continue;
        note->letter = (uint8_t)hands_letter(row, &row->events[i]);
        for (int hit = 0, seen = 0; hit < note->hit_count; hit++)
            if (note->hits[hit].limb == LIMB_HAND && seen < 2)
                note->hits[hit].limb = hands_limb(row, &row->events[i], seen++);
        right_first(note);
        settle_graces(note);
    }
}

/* Compares chosen hands with those for the slowest tempo of the exercise. */
static void find_slower_hands(struct score_exercise *exercise, const struct hand_row *row,
                              const struct reach *reach, struct arena *arena)
{
    const struct tempo *tempo = row->count ? row->events[0].bar->settings->tempo : NULL;
    if (!tempo)
        return;
    struct slower_hands slower = {.slow = UINT32_MAX};
    for (size_t i = 0; i < tempo->count; i++) {
        slower.slow = tempo->hundredths[i] < slower.slow ? tempo->hundredths[i] : slower.slow;
        slower.fast = tempo->hundredths[i] > slower.fast ? tempo->hundredths[i] : slower.fast;
    }
    if (slower.slow >= slower.fast)
        return;
    struct hand_row other = *row;
    size_t count = row->count + row->repeated;
    other.events = arena_array(arena, count, sizeof *other.events);
    memcpy(other.events, row->events, count * sizeof *other.events);
    other.tempo =
        fraction_multiply(row->tempo, fraction_make((int64_t)slower.slow, (int64_t)slower.fast));
    hands_as_player(&other, reach);
    for (size_t i = 0; i < row->count && !slower.note; i++)
        if (row->events[i].turned != other.events[i].turned) {
            slower.note = row->events[i].note;
            slower.bar = row->events[i].bar;
        }
    exercise->slower_hands = slower;
}

static bool is_asked(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (!row->events[i].note->letter && (row->events[i].note->proposed & NOTE_ASKED))
            return true;
    return false;
}

void play_fill_hands(struct score *score)
{
    struct reach reach = {.limits = NULL};
    for (size_t i = 0; i < score->exercise_count; i++) {
        struct score_exercise *exercise = &score->exercises[i];
        const struct limits *limits = limits_or_usual(exercise->source->settings.limits);
        if (reach.limits != limits)
            reach_make(&reach, score, limits, score->arena);
        struct hand_row row = hands_gather(score, exercise, timeline_grid(score, exercise), true,
                                           hands_go_round(exercise), score->arena);
        hands_as_player(&row, &reach);
        if (is_asked(&row))
            find_slower_hands(exercise, &row, &reach, score->arena);
        fill(&row);
    }
}
