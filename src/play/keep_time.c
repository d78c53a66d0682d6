/*
 * The hand that keeps time. A groove written by counts (`hi-hat: eighths`, `snare: 2 4`) is played
 * with the leading hand on the hi-hat or ride, crossed over the other on the snare, for as long as
 * one hand can keep it up (common practice). Least effort alone would uncross the hands.
 */
#include "play/hands.h"
#include "play/play_int.h"

/* The pair of hats is one surface, open or closed. */
static voice_id surface(voice_id voice)
{
    return voice > VOICE_HI_HAT && voice <= VOICE_CLOSED_HI_HAT ? VOICE_HI_HAT : voice;
}

static bool may_keep_time(voice_id voice)
{
    return voice == VOICE_HI_HAT || voice == VOICE_RIDE || voice == VOICE_RIDE_BELL ||
           voice == VOICE_COWBELL;
}

/* Which of an event's voices it is; -1: none. */
static int voice_in(const struct hand_event *event, voice_id voice)
{
    for (int i = 0; i < event->count; i++)
        if (surface(event->voices[i]) == voice)
            return i;
    return -1;
}

/* How many events have the voice; *gap is the least time between two of them. */
static size_t count_events(const struct hand_row *row, voice_id voice, int64_t *gap)
{
    size_t count = 0;
    int64_t last = 0;
    *gap = INT64_MAX;
    for (size_t i = 0; i < row->count; i++) {
        if (voice_in(&row->events[i], voice) < 0)
            continue;
        int64_t since = row->events[i].tick - last;
        if (count && since < *gap)
            *gap = since;
        last = row->events[i].tick;
        count++;
    }
    return count;
}

/* At the exercise's fastest tempo; without one, eighths and slower. */
static bool one_hand_can(const struct hand_row *row, const struct score_exercise *exercise,
                         const struct reach *reach, int64_t gap)
{
    enum { MINUTE_US = 60000000 };
    struct fraction tempo = play_tempo(&exercise->bars[0]);
    if (tempo.numerator == 0)
        return gap >= row->quarter / 2;
    struct fraction quarters =
        fraction_make(gap < 4 * row->quarter ? gap : 4 * row->quarter, row->quarter);
    struct fraction us =
        fraction_divide(fraction_multiply(quarters, fraction_make(MINUTE_US, 1)), tempo);
    return fraction_compare(us, fraction_make(reach->limits->values[LIMIT_HAND_SUSTAINED], 1)) >= 0;
}

static bool all_by_count(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (row->events[i].given || !(row->events[i].note->proposed & NOTE_KEYED))
            return false;
    return row->count > 0;
}

void hands_keep_time(struct hand_row *row, const struct score_exercise *exercise,
                     const struct reach *reach)
{
    voice_id best = VOICE_NONE;
    size_t most = 1;
    int64_t gap, least = 0;
    if (!all_by_count(row))
        return;
    for (voice_id voice = 0; voice < VOICE_BUILTIN_COUNT; voice++) {
        size_t count = may_keep_time(voice) ? count_events(row, voice, &gap) : 0;
        if (count <= most)
            continue;
        best = voice;
        most = count;
        least = gap;
    }
    if (best == VOICE_NONE || !one_hand_can(row, exercise, reach, least))
        return;
    bool other_player = exercise->mirrored != exercise->left_lead;
    bool left_kit = reach->kit->left_handed != other_player; /* as the lesson is written */
    for (size_t i = 0; i < row->count; i++) {
        struct hand_event *event = &row->events[i];
        int voice = voice_in(event, best);
        if (voice < 0)
            continue;
        event->given = true;
        event->turned = (voice == 1) != (left_kit && !exercise->left_lead);
    }
}
