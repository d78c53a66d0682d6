/*
 * What comes before the first bar of an exercise, a sentence each:
 *
 *     "Four four."                                        its meter
 *     "60 to 96 quarter notes a minute, swung two to one."
 *     "Eight bars, played twice."                         its length
 *     "Sixteenths unless said, counted 1 e and a; ..."    every subdivision used, the usual one
 * first "Right hand: hi-hat; left hand: snare ghosts; ..."  each limb's habit
 */
#include "model/counting.h"
#include "model/playback.h"
#include "spoken/spoken_int.h"

#include <ctype.h>
#include <string.h>

bool repeats_whole(const struct score_exercise *exercise)
{
    size_t first = exercise->bar_count && exercise->bars[0].pickup;
    if (first >= exercise->bar_count)
        return false;
    for (size_t i = 0; i < exercise->bar_count; i++) {
        const struct score_bar *bar = &exercise->bars[i];
        if (bar->repeat_begins != (i == first) || bar->ending ||
            bar->repeat_ends != (i + 1 == exercise->bar_count))
            return false;
    }
    return true;
}

/* ---- countings ---------------------------------------------------------------------------- */

struct spoken_grid {
    enum subdivision subdivision;
    struct beat beat;
};
typedef VECTOR(struct spoken_grid) grid_list;

static bool same_grid(const struct spoken_grid *grid, const struct score_beat *beat)
{
    return grid->subdivision == (enum subdivision)beat->subdivision &&
           grid->beat.kind == (enum beat_kind)beat->kind &&
           fraction_equal(grid->beat.length, beat->length);
}

static void gather_grids(const struct telling *telling, size_t first, size_t end, grid_list *grids)
{
    for (size_t i = first; i < end; i++)
        for (uint16_t b = 0; b < telling->exercise->bars[i].counted_count; b++) {
            const struct score_beat *beat = &telling->exercise->bars[i].counted[b];
            size_t at = 0;
            if (!counted_by_grid(&telling->exercise->bars[i], b) || beat->division.slots < 2)
                continue;
            while (at < grids->count && !same_grid(&grids->items[at], beat))
                at++;
            if (at == grids->count)
                *vector_push(grids, telling->arena) =
                    (struct spoken_grid){(enum subdivision)beat->subdivision,
                                         {FRACTION_ZERO, beat->length, (enum beat_kind)beat->kind}};
        }
}

static void add_grid(const struct counting *counting, const struct spoken_grid *grid,
                     const char *lead, struct buffer *out)
{
    const char *const *spoken = counting_spoken(counting, grid->subdivision, &grid->beat);
    struct division division;
    if (!spoken || !subdivision_divide(grid->subdivision, &grid->beat, &division))
        return;
    buffer_add_text(out, lead);
    for (unsigned i = 0; i < division.slots; i++) {
        buffer_add_text(out, i ? " " : "");
        syllable_words(spoken[i], 1, out);
    }
}

/* One subdivision and how it is counted, which may differ in simple and compound beats. */
static void add_subdivision(const struct telling *telling, const struct counting *counting,
                            const grid_list *grids, int subdivision, bool only, struct buffer *out)
{
    bool named = false;
    for (size_t i = 0; i < grids->count; i++) {
        const struct spoken_grid *grid = &grids->items[i];
        if ((int)grid->subdivision != subdivision)
            continue;
        if (!named)
            buffer_format(out, "%s%s", subdivision_name((enum subdivision)subdivision),
                          !only && subdivision == telling->habits.subdivision ? " unless said"
                                                                              : "");
        add_grid(counting, grid, named ? " or " : ", counted ", out);
        named = true;
    }
}

static size_t counting_end(const struct score_exercise *exercise, size_t first)
{
    size_t end = first + 1;
    while (end < exercise->bar_count &&
           exercise->bars[end].settings->counting == exercise->bars[first].settings->counting)
        end++;
    return end;
}

void countings_tell(const struct telling *telling, size_t first, struct buffer *out)
{
    grid_list grids = {0};
    gather_grids(telling, first, counting_end(telling->exercise, first), &grids);
    if (grids.count == 0)
        return;
    const struct counting *counting = telling->exercise->bars[first].settings->counting;
    int usual = telling->habits.subdivision, subdivisions = 0;
    bool used[SUBDIVISION_COUNT] = {false};
    for (size_t i = 0; i < grids.count; i++) {
        subdivisions += !used[grids.items[i].subdivision];
        used[grids.items[i].subdivision] = true;
    }
    bool any = false;
    for (int i = -1; i < SUBDIVISION_COUNT; i++) {
        int subdivision = i < 0 ? usual : i;
        if (subdivision < 0 || (i >= 0 && i == usual) || !used[subdivision])
            continue;
        buffer_add_text(out, any ? "; " : "");
        add_subdivision(telling, counting, &grids, subdivision, subdivisions == 1, out);
        any = true;
    }
}

/* ---- sentences ---------------------------------------------------------------------------- */

/* Gives the sentence that begins at `from` its capital and full stop. */
static void end_sentence(struct buffer *out, size_t from, const char *after)
{
    if (out->length == from)
        return;
    out->bytes[from] = (char)toupper((unsigned char)out->bytes[from]);
    buffer_format(out, ".%s", after);
}

static void add_habits(const struct telling *telling, struct buffer *out)
{
    static const struct {
        int limb;
        const char *name;
    } order[] = {{LIMB_RIGHT_HAND, "right hand"},
                 {LIMB_LEFT_HAND, "left hand"},
                 {LIMB_HAND, "strokes of either hand"},
                 {LIMB_RIGHT_FOOT, "right foot"},
                 {LIMB_LEFT_FOOT, "left foot"}};
    const struct habit *limbs = telling->habits.limbs;
    const struct habit *right = &limbs[LIMB_RIGHT_HAND], *left = &limbs[LIMB_LEFT_HAND];
    bool both = right->voice == left->voice && right->ghost == left->ghost;
    bool any = false, broken = false;
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        const struct habit *habit = &limbs[order[i].limb];
        broken |= habit->broken;
        if (habit->voice == VOICE_NONE || (both && habit == left))
            continue;
        buffer_format(out, "%s%s: %s%s", any ? "; " : "",
                      both && habit == right ? "both hands" : order[i].name,
                      voice_word(telling, habit->voice), habit->ghost ? " ghosts" : "");
        any = true;
    }
    if (any && broken)
        buffer_add_text(out, "; unless said");
}

static void add_length(const struct telling *telling, struct buffer *out)
{
    const struct score_exercise *exercise = telling->exercise;
    bool pickup = exercise->bars[0].pickup;
    size_t bars = exercise->bar_count - pickup;
    buffer_format(out, "%s%s bar%s", pickup ? "a pickup and " : "",
                  bars < 100 ? word_of_number((unsigned)bars) : "", bars == 1 ? "" : "s");
    if (bars >= 100)
        buffer_format(out, ", %zu in number", bars);
    if (telling->repeats_whole)
        buffer_format(out, ", played %s",
                      word_times(telling->arena, exercise->bars[exercise->bar_count - 1].plays));
}

/* "Played in this order: bars 1 to 8, 3 to 6, 9 to 12". */
static void add_order(const struct telling *telling, struct buffer *out)
{
    struct bar_range ranges[JUMP_RANGES_MAX];
    const struct score_bar *bars = telling->exercise->bars;
    size_t count = playback_order(telling->score, telling->exercise, ranges);
    for (size_t i = 0; i < count; i++) {
        buffer_add_text(out, i ? ", then " : "played in this order: bars ");
        word_range(bars[ranges[i].first].number, bars[ranges[i].last].number, out);
    }
}

void opening_tell(const struct telling *telling, struct buffer *out)
{
    const struct score_exercise *exercise = telling->exercise;
    const struct settings *settings = &exercise->source->settings;
    const struct meter *meter = exercise->bar_count ? exercise->bars[0].meter : settings->meter;
    size_t from = out->length;
    if (exercise->bar_count)
        word_meter(meter, out);
    end_sentence(out, from, " ");
    from = out->length;
    if (exercise->tempo && exercise->tempo->count)
        word_tempo(exercise->tempo, meter, out);
    if (is_swung(settings->swing)) {
        buffer_add_text(out, out->length > from ? ", " : "");
        word_swing(settings->swing, out);
    }
    end_sentence(out, from, " ");
    if (exercise->bar_count) {
        from = out->length;
        add_length(telling, out);
        end_sentence(out, from, "\n");
        from = out->length;
        add_order(telling, out);
        end_sentence(out, from, "\n");
        from = out->length;
        countings_tell(telling, 0, out);
        end_sentence(out, from, "\n");
        from = out->length;
        add_habits(telling, out);
        end_sentence(out, from, "\n");
    }
    trim(out);
    end_line(out);
}
