/* Whether every constraint holds at a tempo (limit_checker.h). */
#include "limit_checker.h"

#include <math.h>
#include <stdlib.h>

/* ---- the checker -------------------------------------------------------------------------- */

static double ms(const struct checker *checker, enum limit_key key)
{
    return checker->limits[key] / 1000.0;
}

static double when(const struct checker *checker, const struct blow *blow)
{
    return (double)blow->tick * checker->tick_ms - blow->early_us / 1000.0;
}

/* What it takes counts in whole microseconds, rounded down. */
static bool enough(double there_is, double it_takes)
{
    return there_is >= floor(it_takes * 1000 + 1e-6) / 1000 - 1e-9 * there_is;
}

static double away_cm(const struct voice *a, const struct voice *b)
{
    return sqrt(pow(a->x_cm - b->x_cm, 2) + pow(a->y_cm - b->y_cm, 2) + pow(a->z_cm - b->z_cm, 2));
}

/* Fitts's law with MacKenzie's constants, scaled; Drury's for feet. */
static double move_ms(const struct checker *checker, const struct blow *from, const struct blow *to)
{
    const struct voice *a = &checker->kit->voices[from->voice];
    const struct voice *b = &checker->kit->voices[to->voice];
    double width = round(b->size / 10.0 * 2.54 * b->share / 100.0);
    width = width < 1 ? 1 : width;
    if (from->role >= BASS_FOOT)
        return 187 + 85 * log2(away_cm(a, b) / width + 0.5);
    return (12.8 + 94.7 * fmax(0, log2(2 * away_cm(a, b) / width))) * checker->limits[LIMIT_REACH] /
           100;
}

static bool elsewhere(const struct checker *checker, const struct blow *a, const struct blow *b)
{
    return away_cm(&checker->kit->voices[a->voice], &checker->kit->voices[b->voice]) > 0;
}

static double weak(const struct checker *checker, uint8_t role)
{
    return role == WEAK_HAND ? checker->limits[LIMIT_WEAK_HAND] / 100.0 : 1;
}

static double burst_ms(const struct checker *checker, uint8_t role)
{
    static const enum limit_key keys[] = {LIMIT_HAND_BURST, LIMIT_HAND_BURST, LIMIT_FOOT_BURST,
                                          LIMIT_HAT_FOOT_BURST};
    return ms(checker, keys[role]) * weak(checker, role);
}

static double sustained_ms(const struct checker *checker, uint8_t role)
{
    static const enum limit_key keys[] = {LIMIT_HAND_SUSTAINED, LIMIT_HAND_SUSTAINED,
                                          LIMIT_FOOT_SUSTAINED, LIMIT_HAT_FOOT_SUSTAINED};
    return ms(checker, keys[role]) * weak(checker, role);
}

/* A group of m or fewer from `first` to `last`, in beats. */
static bool one_group(const struct checker *checker, const blow_row *row, size_t first, size_t last)
{
    const struct blow *at = row->items;
    double rho = checker->limits[LIMIT_EVENNESS] / 100.0, shortest = 1e300, longest = 0;
    if (at[first].flags & (BLOW_GRACE | BLOW_BUZZ))
        return false;
    for (size_t i = first + 1; i <= last; i++) {
        double gap = (double)(at[i].tick - at[i - 1].tick);
        if (2 * gap > (double)checker->timeline->quarter) /* slower than eighths */
            return false;
        if ((at[i].flags & (BLOW_ACCENT | BLOW_GRACE | BLOW_BUZZ)) ||
            elsewhere(checker, &at[first], &at[i]) || gap <= 0)
            return false;
        shortest = fmin(shortest, gap);
        longest = fmax(longest, gap);
    }
    return longest <= rho * shortest &&
           (first == 0 || (double)(at[first].tick - at[first - 1].tick) >= rho * longest) &&
           (last + 1 == row->count || (double)(at[last + 1].tick - at[last].tick) >= rho * longest);
}

/* From left to right; a stroke belongs to one group. */
static void find_groups(const struct checker *checker, const blow_row *row, uint8_t role,
                        bool *rebounds)
{
    bool hand = role <= WEAK_HAND;
    double quick =
        hand ? ms(checker, LIMIT_BOUNCE) * weak(checker, role) : ms(checker, LIMIT_HEEL_TOE);
    size_t most = hand ? (size_t)checker->limits[LIMIT_BOUNCES] : 2;
    if (role == HAT_FOOT || quick >= burst_ms(checker, role))
        return;
    for (size_t first = 0, size; first < row->count; first += size) {
        bool found = false;
        for (size = 2; size <= most && first + size <= row->count && !found; size++)
            found = one_group(checker, row, first, first + size - 1);
        size = found ? size - 1 : 1;
        for (size_t i = first + 1; i < first + size; i++)
            rebounds[i] = true;
    }
}

/* The strong hand is to the left of the other, and neither can pass over the other's arm. */
static bool crossed_at(const struct checker *checker, const struct blow *strong,
                       const struct blow *other)
{
    const struct voice *a = &checker->kit->voices[strong->voice];
    const struct voice *b = &checker->kit->voices[other->voice];
    double across = b->x_cm - a->x_cm, height = fabs((double)a->z_cm - b->z_cm);
    return across > 5 && height < 25 && (height < 5 || across > 45) &&
           fabs((double)(strong->tick - other->tick)) * checker->tick_ms < 250;
}

/* By the other hand's latest stroke, at the same time or before. */
static bool is_crossed(const struct checker *checker, const struct blow *blow)
{
    bool strong = blow->role == STRONG_HAND;
    const blow_row *others = &checker->timeline->limbs[strong ? WEAK_HAND : STRONG_HAND];
    const struct blow *before = NULL;
    for (size_t i = 0; i < others->count; i++)
        if (others->items[i].tick <= blow->tick)
            before = &others->items[i];
    return before &&
           (strong ? crossed_at(checker, blow, before) : crossed_at(checker, before, blow));
}

static bool pair_holds(const struct checker *checker, const blow_row *row, size_t i, bool rebound)
{
    const struct blow *from = &row->items[i - 1], *to = &row->items[i];
    double takes = burst_ms(checker, to->role);
    bool move = elsewhere(checker, from, to);
    if (from->note == to->note && from->tick == to->tick)
        return true;
    if (rebound)
        takes = to->role == BASS_FOOT ? ms(checker, LIMIT_HEEL_TOE)
                                      : ms(checker, LIMIT_BOUNCE) * weak(checker, to->role);
    else if (move)
        takes = fmax(takes, move_ms(checker, from, to));
    if ((from->flags & BLOW_GHOST) && (to->flags & BLOW_ACCENT) && to->role <= WEAK_HAND)
        takes += ms(checker, LIMIT_PREPARE);
    double there_is = when(checker, to) - when(checker, from);
    if (!enough(there_is, takes))
        return false;
    if (!move || rebound || to->role > WEAK_HAND ||
        enough(there_is, takes + ms(checker, LIMIT_CROSS)))
        return true;
    return !is_crossed(checker, from) && !is_crossed(checker, to);
}

/* All rows of driven strokes that end with the `last`-th. */
static bool rows_hold(const struct checker *checker, uint8_t role, const struct blow *const *driven,
                      size_t last)
{
    int most = checker->limits[LIMIT_STROKES];
    double burst = burst_ms(checker, role), sustained = sustained_ms(checker, role);
    for (size_t w = 3; w <= (size_t)most && w <= last + 1; w++) {
        double steps = (double)w - 1;
        double takes = steps * (burst + (sustained - burst) * (steps - 1) / (most - 2));
        if (!enough(when(checker, driven[last]) - when(checker, driven[last + 1 - w]), takes))
            return false;
    }
    return true;
}

static bool hat_blow(const struct checker *checker, const struct blow *blow, bool *open)
{
    const struct voice *voice = &checker->kit->voices[blow->voice];
    const struct voice *hat = &checker->kit->voices[VOICE_HI_HAT];
    *open = blow->role != HAT_FOOT && (blow->flags & BLOW_OPEN_HAT);
    if (blow->role == HAT_FOOT)
        return voice->x_cm == hat->x_cm && voice->y_cm == hat->y_cm &&
               blow->voice != VOICE_FOOT_SPLASH;
    return blow->role != BASS_FOOT && away_cm(voice, hat) == 0;
}

/* From each open stroke to the first thing that closes the hats later. */
static bool hats_hold(const struct checker *checker)
{
    for (int a = 0; a < PLAYING_LIMBS; a++)
        for (size_t i = 0; i < checker->timeline->limbs[a].count; i++) {
            const struct blow *from = &checker->timeline->limbs[a].items[i];
            bool open, other_open;
            if (!hat_blow(checker, from, &open) || !open)
                continue;
            const struct blow *closed = NULL;
            bool open_again = false; /* by a later stroke, which then counts */
            for (int b = 0; b < PLAYING_LIMBS; b++)
                for (size_t k = 0; k < checker->timeline->limbs[b].count; k++) {
                    const struct blow *to = &checker->timeline->limbs[b].items[k];
                    if (to->tick > from->tick && hat_blow(checker, to, &other_open) &&
                        !other_open && (!closed || to->tick < closed->tick))
                        closed = to;
                }
            for (int b = 0; b < PLAYING_LIMBS && closed; b++)
                for (size_t k = 0; k < checker->timeline->limbs[b].count; k++) {
                    const struct blow *to = &checker->timeline->limbs[b].items[k];
                    open_again |= to->tick > from->tick && to->tick <= closed->tick &&
                                  hat_blow(checker, to, &other_open) && other_open;
                }
            if (closed && closed->role != HAT_FOOT && !open_again &&
                !enough(when(checker, closed) - when(checker, from), ms(checker, LIMIT_HAT_CLOSE)))
                return false;
        }
    return true;
}

/* Which blows are rebounds does not depend on the tempo. */
void checker_prepare(const struct checker *checker, struct prepared *prepared)
{
    for (uint8_t role = STRONG_HAND; role < (uint8_t)PLAYING_LIMBS; role++) {
        const blow_row *row = &checker->timeline->limbs[role];
        prepared->rebounds[role] = calloc(row->count + 1, sizeof(bool));
        prepared->driven[role] = calloc(row->count + 1, sizeof(struct blow *));
        prepared->driven_count[role] = 0;
        find_groups(checker, row, role, prepared->rebounds[role]);
        for (size_t i = 0; i < row->count; i++) {
            const struct blow *before = i ? &row->items[i - 1] : NULL;
            bool gesture =
                before && before->note == row->items[i].note && before->tick == row->items[i].tick;
            if (!prepared->rebounds[role][i] && !gesture)
                prepared->driven[role][prepared->driven_count[role]++] = &row->items[i];
        }
    }
}

void checker_release(struct prepared *prepared)
{
    for (int role = 0; role < PLAYING_LIMBS; role++) {
        free(prepared->rebounds[role]);
        free(prepared->driven[role]);
    }
}

size_t checker_broken(const struct checker *checker, const struct prepared *prepared, uint8_t role,
                      const struct blow **broken)
{
    const blow_row *row = &checker->timeline->limbs[role];
    size_t count = 0, driven = 0;
    for (size_t i = 0; i < row->count; i++) {
        bool rebound = prepared->rebounds[role][i];
        bool holds = i == 0 || pair_holds(checker, row, i, rebound);
        if (driven < prepared->driven_count[role] &&
            prepared->driven[role][driven] == &row->items[i])
            holds &= rows_hold(checker, role, prepared->driven[role], driven++);
        if (!holds)
            broken[count++] = &row->items[i];
    }
    return count;
}

bool checker_holds(const struct checker *checker, const struct prepared *prepared)
{
    for (uint8_t role = STRONG_HAND; role < (uint8_t)PLAYING_LIMBS; role++) {
        const blow_row *row = &checker->timeline->limbs[role];
        for (size_t i = 1; i < row->count; i++)
            if (!pair_holds(checker, row, i, prepared->rebounds[role][i]))
                return false;
        for (size_t i = 0; i < prepared->driven_count[role]; i++)
            if (!rows_hold(checker, role, prepared->driven[role], i))
                return false;
    }
    return !checker->timeline->open_hats || hats_hold(checker);
}
