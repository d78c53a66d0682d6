/*
 * The bars as they are played, as rows of blows: one row a limb, in ticks.
 *
 *     whole_of()  ticks of a whole note: the least common multiple of all onsets'
 * denominators common_tempo()    if tempos change, ticks are made finer, so that one lasts equally
 * long in every bar: the least common multiple of all tempos for each bar in the order played for
 * each struck leaf: its tick, swung; then for each hit the limb and what is special about it
 * (accent, ghost, open hi-hat, buzz) grace strokes before it, the strokes of its slashes after it
 *         the next bar begins after this one's ticks
 *
 * It ends early where a hand is not written: proposals.c chooses one, and the timeline is made
 * again.
 */
#include "model/pace.h"
#include "model/swing.h"
#include "play/play_int.h"

#include <string.h>

/* The judge multiplies ticks by microseconds, which has to fit in 64 bits most of the time. */
static const int64_t TICKS_MOST = (int64_t)1 << 44;
enum { QUARTER_MOST = 1 << 28 };

/* ---- ticks -------------------------------------------------------------------------------- */

/* Swung bars are few: the others are spared the question for each leaf. */
static struct fraction moment(const struct score_bar *bar, const struct score_line *line,
                              const struct leaf *leaf, bool swing)
{
    return swing ? swing_leaf(bar, line, leaf).from : leaf->onset;
}

struct fraction timeline_duration(const struct score_bar *bar, const struct score_line *line,
                                  const struct leaf *leaf)
{
    struct swung_time span = swing_leaf(bar, line, leaf);
    if (leaf->note->roll)
        span.to =
            swing_leaf(bar, line, &line->leaves[roll_last(line, (uint32_t)(leaf - line->leaves))])
                .to;
    return fraction_subtract(span.to, span.from);
}

/* The least common multiple of denominators so far. Most are powers of two and only set a bit. */
struct common {
    uint64_t two;  /* the highest bit counts */
    int64_t other; /* the odd part; 0: it does not fit */
};

static void take_denominator(struct common *common, int64_t denominator)
{
    int64_t odd = denominator;
    if ((denominator & (denominator - 1)) != 0) {
        int twos = __builtin_ctzll((uint64_t)denominator);
        odd >>= twos;
        if (common->other && common->other % odd)
            common->other = least_common_multiple(common->other, odd);
        denominator = (int64_t)1 << twos;
    }
    common->two |= (uint64_t)denominator;
}

/* The strokes within a leaf of more than four, or in a roll: its caller has taken those of two and
   four. */
static void take_strokes(struct common *common, const struct leaf *leaf, struct fraction length)
{
    int strokes = leaf_strokes(leaf);
    struct fraction each = fraction_divide(length, fraction_make(strokes, 1));
    if (strokes > 4 || leaf->note->roll)
        take_denominator(common, each.denominator ? each.denominator : 1);
}

static void take_line(struct common *common, const struct score_bar *bar,
                      const struct score_line *line, bool swing)
{
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (!leaf_struck(leaf))
            continue;
        struct fraction onset = moment(bar, line, leaf, swing);
        take_denominator(common, onset.denominator ? onset.denominator : 1);
        if (!onset.denominator)
            common->other = 0;
        if (leaf->note->marks & MARKS_DIVIDING) {
            struct fraction length = timeline_duration(bar, line, leaf);
            if (!length.denominator)
                continue;
            common->two |= 4 * ((uint64_t)1 << __builtin_ctzll((uint64_t)length.denominator));
            take_denominator(common, length.denominator);
            take_strokes(common, leaf, length);
        }
    }
}

static int64_t whole_of(const struct score *score, const struct score_exercise *exercise)
{
    struct common common = {4, 1};
    struct playback playback;
    struct played_bar played;
    uint32_t bars = 0;
    playback_begin(&playback, score, exercise, 2);
    while (playback_next(&playback, &played) && bars++ < LESSON_BARS_MAX) {
        bool swing = !swing_is_straight(played.bar);
        take_denominator(&common, played.bar->length.denominator);
        take_denominator(&common, played.bar->start.denominator);
        for (int line = 0; line < LINE_COUNT; line++)
            take_line(&common, played.bar, &played.bar->lines[line], swing);
    }
    int shift = 63 - __builtin_clzll(common.two);
    bool fits = common.other && shift < 26 && common.other <= QUARTER_MOST >> shift;
    return fits ? common.other << shift : 0;
}

static int64_t in_ticks(struct fraction time, int64_t whole)
{
    int64_t denominator = time.denominator;
    if ((denominator & (denominator - 1)) == 0)
        return time.numerator * (whole >> __builtin_ctzll((uint64_t)denominator));
    return time.numerator * (whole / denominator);
}

/* ---- strokes ------------------------------------------------------------------------------ */

struct blow_writer {
    struct timeline *timeline;
    const struct reach *reach;
    bool left_handed;
    int64_t whole;  /* ticks of a whole note in this bar */
    int64_t tick;   /* of the stroke */
    int64_t length; /* how long it lasts, if it has slashes */
    uint8_t flags;
};

static void write_blow(struct blow_writer *writer, const struct note *note, uint8_t role,
                       voice_id voice, int64_t tick, uint8_t flags, int32_t early_us)
{
    struct timeline *timeline = writer->timeline;
    timeline->voices[role] |= (uint64_t)1 << (writer->reach->index[voice] & 63);
    struct blow *blow = vector_push(&timeline->limbs[role], NULL);
    for (; blow > timeline->limbs[role].items && blow[-1].tick > tick; blow--)
        *blow = blow[-1]; /* a roll of both hands lasts into the next stroke of one */
    *blow = (struct blow){.tick = tick,
                          .early_us = early_us,
                          .voice = voice,
                          .role = role,
                          .flags = flags,
                          .bar = (uint32_t)timeline->bars.count - 1,
                          .note = note};
}

/* The proposed hand of a hit whose hand is not written; EITHER_HAND if none is proposed yet. */
static uint8_t open_role(const struct blow_writer *writer, const struct note *note, size_t hit)
{
    if (!(note->proposed & NOTE_PROPOSED))
        return EITHER_HAND;
    uint8_t limb = note->proposed >> hit & 1 ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
    return role_of_limb(limb, writer->left_handed);
}

static int32_t weak_us(const struct reach *reach, uint8_t role, enum limit_key key)
{
    int32_t value = reach->limits->values[key];
    return role == WEAK_HAND ? value * reach->limits->values[LIMIT_WEAK_HAND] / 100 : value;
}

/* The last grace stroke comes LIMIT_GRACE before the note. Before that, two in a row of one hand
   are a stroke and its rebound; of two hands they come half a hand's fastest stroke apart. */
static void write_graces(struct blow_writer *writer, const struct note *note, uint8_t main_role,
                         voice_id voice, uint8_t open)
{
    bool main_left = limb_of_role(main_role, writer->left_handed) == LIMB_LEFT_HAND;
    bool turned = !note->letter && main_left; /* written as if the right hand had the note */
    uint8_t roles[GRACES_MAX + 1];
    int32_t early[GRACES_MAX + 1], before = writer->reach->limits->values[LIMIT_GRACE];
    for (unsigned i = note->grace_count; i-- > 0;) {
        bool left = (note->graces >> i & 1) != turned;
        roles[i] = role_of_limb(left ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND, writer->left_handed);
        if (i + 1u < note->grace_count)
            before += roles[i] == roles[i + 1]
                          ? weak_us(writer->reach, roles[i], LIMIT_BOUNCE)
                          : writer->reach->limits->values[LIMIT_HAND_BURST] / 2;
        early[i] = before;
    }
    for (unsigned i = 0; i < note->grace_count; i++)
        write_blow(writer, note, roles[i], voice, writer->tick, BLOW_GRACE | open, early[i]);
}

/* One slash: two strokes of one hand in the note's time. More: two of each hand in turn. */
static void write_slashes(struct blow_writer *writer, const struct leaf *leaf, uint8_t role,
                          voice_id voice, bool both_hands, uint8_t flags)
{
    const struct note *note = leaf->note;
    int64_t length = writer->length;
    uint8_t other = role == STRONG_HAND ? WEAK_HAND : STRONG_HAND;
    uint8_t later = flags & (uint8_t)~BLOW_ACCENT;
    bool in_turn = !both_hands && role <= WEAK_HAND;
    int strokes = leaf_strokes(leaf);
    for (int i = 1; i < strokes; i++)
        write_blow(writer, note, in_turn && i / 2 % 2 ? other : role, voice,
                   writer->tick + length * i / strokes, later, 0);
}

/* A mark on the stroke decides; without one, the voice's own sign does. */
static bool is_open(const struct voice *voice, const struct note *note)
{
    mark_set said = note->marks & MARKS_OF_HATS;
    return (said ? said : voice->sign) & (MARK_OPEN | MARK_HALF_OPEN);
}

uint8_t blow_flags(const struct note *note, int number)
{
    const struct hit *hit = &note->hits[number];
    uint8_t flags = note->marks && marks_strokes(note->marks) == 0 ? BLOW_BUZZ : 0;
    if ((note->marks & MARKS_LOUD) && !hit->ghost && !hit->plain)
        flags |= BLOW_ACCENT;
    return hit->ghost ? flags | BLOW_GHOST : flags;
}

static void write_note(struct blow_writer *writer, const struct leaf *leaf)
{
    const struct note *note = leaf->note;
    const struct voice *voices = writer->reach->kit->voices;
    if (note->grace_count && note->hit_count > 1)
        writer->timeline->suspect = true;
    for (size_t i = 0; i < note->hit_count; i++) {
        const struct hit *hit = &note->hits[i];
        uint8_t role = role_of_limb(hit->limb, writer->left_handed);
        uint8_t flags = blow_flags(note, (int)i);
        if (role == EITHER_HAND)
            role = open_role(writer, note, i);
        if (role == EITHER_HAND) {
            writer->timeline->open_hands = true;
            return;
        }
        if (is_open(&voices[hit->voice], note)) {
            flags |= BLOW_OPEN_HAT;
            writer->timeline->open_hats = true;
        }
        if (i == 0 && note->grace_count)
            write_graces(writer, note, role, hit->voice, flags & BLOW_OPEN_HAT);
        write_blow(writer, note, role, hit->voice, writer->tick, flags, 0);
        if (note->marks & MARKS_DIVIDING)
            write_slashes(writer, leaf, role, hit->voice, note->hit_count > 1, flags);
    }
}

static void write_bar(struct blow_writer *writer, const struct score_bar *bar, int64_t start)
{
    bool swing = !swing_is_straight(bar);
    int64_t offset = start - in_ticks(bar->start, writer->whole);
    for (int line = 0; line < LINE_COUNT; line++) {
        const struct score_line *from = &bar->lines[line];
        for (uint32_t i = 0; i < from->leaf_count; i++) {
            const struct leaf *leaf = &from->leaves[i];
            if (!leaf_struck(leaf))
                continue;
            writer->tick = offset + in_ticks(moment(bar, from, leaf, swing), writer->whole);
            if (leaf->note->marks & MARKS_DIVIDING)
                writer->length = in_ticks(timeline_duration(bar, from, leaf), writer->whole);
            write_note(writer, leaf);
        }
    }
}

/* ---- tempos -------------------------------------------------------------------------------- */

/* Of a range of tempos the fastest has to be playable. */
static unsigned fastest(const struct tempo *tempo)
{
    unsigned most = 0;
    for (size_t i = 0; tempo && i < tempo->count; i++)
        most = tempo->hundredths[i] > most ? tempo->hundredths[i] : most;
    return most;
}

struct fraction play_tempo(const struct score_bar *bar)
{
    const struct tempo *tempo = bar->settings->tempo;
    if (!tempo)
        return FRACTION_ZERO;
    return fraction_multiply(tempo_beat(tempo, bar->meter),
                             fraction_make(4 * fastest(tempo), TEMPO_ONE));
}

/* In quarters a minute. */
static struct fraction tempo_of(struct paces *paces, const struct played_bar *played)
{
    return fraction_multiply(paces_of_bar(paces, played), fraction_make(4, 1));
}

/* How many ticks make one of the grid at this tempo, so that ticks last equally long at all
   tempos. `common` is a multiple of the numerators of all tempos. */
static int64_t tempo_weight(struct fraction tempo, int64_t common)
{
    return tempo.numerator ? common / tempo.numerator * tempo.denominator : 0;
}

/* The least common multiple of the tempos's numerators; 1 where all are equal; 0: too many. */
static int64_t common_tempo(const struct score *score, const struct score_exercise *exercise)
{
    struct playback playback;
    struct played_bar played;
    struct paces paces = {.choice = fastest};
    struct fraction first = FRACTION_ZERO;
    int64_t common = 1;
    bool several = false;
    uint32_t bars = 0;
    playback_begin(&playback, score, exercise, 2);
    while (playback_next(&playback, &played) && bars++ < LESSON_BARS_MAX && common) {
        struct fraction tempo = tempo_of(&paces, &played);
        if (bars == 1)
            first = tempo;
        several |= !fraction_equal(tempo, first);
        if (!fraction_ok(tempo))
            common = 0;
        else if (tempo.numerator > 0 && common % tempo.numerator)
            common = least_common_multiple(common, tempo.numerator);
    }
    paces_release(&paces);
    return several && first.numerator ? common : common != 0;
}

/* ---- for choosing hands ------------------------------------------------------------------- */

static void start_again(struct timeline *timeline)
{
    for (int role = 0; role < PLAYING_LIMBS; role++) {
        timeline->limbs[role].count = 0;
        timeline->voices[role] = 0;
    }
    timeline->bars.count = 0;
    timeline->open_hats = timeline->open_hands = timeline->too_long = timeline->suspect = false;
}

struct time_grid timeline_grid(const struct score *score, const struct score_exercise *exercise)
{
    return (struct time_grid){whole_of(score, exercise), common_tempo(score, exercise)};
}

int64_t *timeline_bar_wholes(const struct score_exercise *exercise, struct time_grid grid,
                             struct arena *arena)
{
    if (grid.common <= 1)
        return NULL;
    int64_t *wholes = arena_array(arena, exercise->bar_count, sizeof *wholes);
    struct paces paces = {.choice = fastest};
    for (size_t i = 0; i < exercise->bar_count; i++) {
        struct played_bar played = {
            .exercise = exercise, .bar = &exercise->bars[i], .index = (uint32_t)i};
        int64_t weight = tempo_weight(tempo_of(&paces, &played), grid.common);
        if (!weight || weight > TICKS_MOST / grid.whole >> 8)
            weight = i ? wholes[0] / grid.whole : 1;
        wholes[i] = grid.whole * weight;
    }
    paces_release(&paces);
    return wholes;
}

void timeline_strike(struct timeline *timeline, const struct reach *reach, const struct leaf *leaf,
                     int64_t tick, int64_t length)
{
    start_again(timeline);
    *vector_push(&timeline->bars, NULL) = (struct timeline_bar){NULL, 0};
    struct blow_writer writer = {
        .timeline = timeline, .reach = reach, .left_handed = reach->kit->left_handed};
    writer.tick = tick;
    writer.length = length;
    write_note(&writer, leaf);
}

/* ---- the whole ---------------------------------------------------------------------------- */

void timeline_begin(struct timeline *timeline, const struct score *score,
                    const struct score_exercise *exercise)
{
    start_again(timeline);
    if (timeline->exercise == exercise)
        return;
    timeline->exercise = exercise;
    timeline->grid = timeline_grid(score, exercise);
}

void timeline_make(struct timeline *timeline, const struct score *score,
                   const struct score_exercise *exercise, const struct reach *reach, uint16_t most)
{
    timeline_begin(timeline, score, exercise);
    int64_t whole = timeline->grid.whole, common = timeline->grid.common, first = 0, now = 0;
    struct blow_writer writer = {timeline, reach, reach->kit->left_handed, whole, 0, 0, 0};
    struct playback playback;
    struct played_bar played;
    struct paces paces = {.choice = fastest};
    size_t blows = 0;
    playback_begin(&playback, score, exercise, most);
    while (whole && common && playback_next(&playback, &played)) {
        int64_t weight = common > 1 ? tempo_weight(tempo_of(&paces, &played), common) : 1;
        weight = weight ? weight : first; /* a bar without a tempo takes that of the first bar */
        first = first ? first : weight;
        if (weight > TICKS_MOST / whole >> 8 || now > TICKS_MOST / 2 ||
            timeline->bars.count > LESSON_BARS_MAX)
            break;
        writer.whole = whole * weight;
        *vector_push(&timeline->bars, NULL) = (struct timeline_bar){played.bar, now};
        write_bar(&writer, played.bar, now);
        now += in_ticks(played.bar->length, writer.whole);
        blows = 0;
        for (int role = 0; role < PLAYING_LIMBS; role++)
            blows += timeline->limbs[role].count;
        if (blows > LESSON_STROKES_MAX || timeline->open_hands)
            break;
    }
    paces_release(&paces);
    timeline->too_long = !whole || !common || playback.depth > 0 || playback.cut;
    timeline->quarter = whole / 4 * first;
    timeline->end = now;
}

void timeline_release(struct timeline *timeline)
{
    for (int role = 0; role < PLAYING_LIMBS; role++)
        vector_release(&timeline->limbs[role]);
    vector_release(&timeline->bars);
    *timeline = (struct timeline){0};
}
