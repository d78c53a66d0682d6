/* What a row of chosen hands adds up to. */
#include "play/hands_int.h"

static void add_moves(struct hand_sums *sums, const struct chooser *chooser, size_t i,
                      struct state state)
{
    const struct hand_event *event = &chooser->row->events[i];
    int64_t loads = 0;
    for (int hand = 0; hand < 2; hand++) {
        struct last_struck last = state.hands[hand];
        if (last.back == RESTED || (event->count == 1 && hand != event->turned))
            continue;
        const struct hand_event *before = event - last.back;
        voice_id from = voice_at(before, hand, last.turned);
        voice_id to = voice_at(event, hand, event->turned);
        int64_t load = load_of(chooser, takes_us(chooser, (unsigned)hand, from, to),
                               event->tick - before->tick);
        loads += load * load;
        sums->travel_mm += distance_mm(chooser, from, to);
    }
    sums->load += (double)loads;
}

static void add_habit(struct hand_sums *sums, const struct hand_event *event)
{
    if (event->given)
        return;
    sums->open++;
    if (event->turned == event->wanted)
        sums->habits[event->habit]++;
    else
        sums->unhabitual++;
    if (event->habit == HABIT_TIME)
        sums->time_voice = event->voices[event->wanted];
}

struct hand_sums hands_sums(const struct hand_row *row, const struct reach *reach)
{
    struct hand_sums sums = {.load = 0};
    struct chooser chooser = chooser_of(row, reach, STICK_EFFORT);
    struct state state = START;
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i];
        bool turned = event->turned, single = event->count == 1;
        add_moves(&sums, &chooser, i, state);
        sums.repeats += is_repeat(row, i, state.hands[turned].back);
        sums.off_slot += single && turned != event->odd;
        add_habit(&sums, event);
        for (int hit = 0; hit < event->count; hit++)
            sums.strokes[hands_limb(row, event, hit) == LIMB_LEFT_HAND]++;
        state = state_after(state, event->count, turned);
    }
    /* half microseconds a quarter: 500,000 of them are a second's load of 1 */
    sums.load = row->count ? sums.load / 500000 / 500000 / (double)row->count : 0;
    return sums;
}
