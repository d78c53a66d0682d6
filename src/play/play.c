/* Each exercise's verdict: how many repeats have to be looked at, and at which tempo the exercise
   is to be played. */
#include "play/play.h"

#include "play/hands.h"
#include "play/play_int.h"

struct judging {
    struct score *score;
    const struct play_options *options;
    struct diags *diags; /* NULL: verdicts alone */
    struct reported reported;
    struct timeline timeline;
    struct hand_faster *faster; /* NULL: none was sought yet */
    bool fastest_stay;          /* hands that are chosen are left as they are fastest */
    bool repeated;              /* the exercise is played again after itself, in a practice form */
    uint16_t plays;             /* how often the timeline has what is repeated, at most */
    struct reach reach;         /* for the latest level; limits NULL: none yet */
};

static void judging_release(struct judging *judging)
{
    timeline_release(&judging->timeline);
    if (judging->faster)
        hands_faster_free(judging->faster);
}

/* ---- repeats ------------------------------------------------------------------------------ */

/* How often the most repeated part of an exercise is played. */
static uint16_t most_plays(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    uint16_t most = source->plays;
    for (size_t i = 0; i < source->sequence_count; i++)
        most = source->sequence[i].times > most ? source->sequence[i].times : most;
    for (size_t i = 0; i < exercise->bar_count; i++)
        most = exercise->bars[i].plays > most ? exercise->bars[i].plays : most;
    return most;
}

/* The whole exercise but its pickup is repeated, and nothing else. */
static bool is_plain_loop(const struct score_exercise *exercise)
{
    return !exercise->sequence && exercise->source->plays > 2 && !exercise->source->ending_count;
}

/* The longest that any limb takes for one stroke of many in a row. */
static int64_t longest_us(const int32_t *values)
{
    static const enum limit_key keys[] = {LIMIT_HAND_SUSTAINED,     LIMIT_FOOT_SUSTAINED,
                                          LIMIT_HAT_FOOT_SUSTAINED, LIMIT_HAND_BURST,
                                          LIMIT_FOOT_BURST,         LIMIT_HAT_FOOT_BURST};
    int64_t longest = 0;
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        longest = values[keys[i]] > longest ? values[keys[i]] : longest;
    return longest * (values[LIMIT_WEAK_HAND] > 100 ? values[LIMIT_WEAK_HAND] : 100) / 100;
}

/* Whether a row of strokes that is longer than one loop could be the limit: a row of `w` strokes
   lasts at least that many whole loops and needs at most that long. */
static bool rows_matter(const struct judging *judging, const struct judgement *judged,
                        int64_t strokes, int64_t loop)
{
    const int32_t *values = judging->reach.limits->values;
    for (int64_t w = strokes + 2; w <= values[LIMIT_STROKES]; w++) {
        int64_t ticks = (w - 1) / strokes * loop, takes = (w - 1) * longest_us(values);
        if (!judged->limit.note ||
            ratio_compare(ticks, takes, judged->limit_ticks, judged->limit_us) < 0)
            return true;
    }
    return false;
}

/* Twice through a loop shows every stroke and the way back to the beginning. If a limb has few
   strokes in it, more repeats are needed: to see its longest rows, and with two or three strokes,
   to see which are rebounds. */
static uint16_t plays_for(const struct judging *judging, const struct score_exercise *exercise,
                          const struct judgement *judged)
{
    const struct timeline *timeline = judged->timeline;
    const int32_t *values = judging->reach.limits->values;
    size_t again = exercise->bar_count - exercise->bars[0].pickup;
    again = timeline->bars.count - again;
    int64_t loop = timeline->end - timeline->bars.items[again].tick, plays = 2;
    for (int role = 0; role < PLAYING_LIMBS; role++) {
        const blow_row *row = &timeline->limbs[role];
        int64_t strokes = 0, wanted = 2;
        for (size_t i = row->count; i-- > 0 && row->items[i].bar >= again;)
            strokes++;
        if (strokes && strokes <= 3 && role != HAT_FOOT)
            wanted = 4;
        if (strokes && rows_matter(judging, judged, strokes, loop))
            wanted = 3 + (int64_t)values[LIMIT_STROKES] * values[LIMIT_BOUNCES] / strokes;
        plays = wanted > plays ? wanted : plays;
    }
    return plays < exercise->source->plays ? (uint16_t)plays : exercise->source->plays;
}

/* ---- one exercise ------------------------------------------------------------------------- */

static void make_timeline(struct judging *judging, const struct score_exercise *exercise,
                          uint16_t most)
{
    judging->plays = most;
    timeline_make(&judging->timeline, judging->score, exercise, &judging->reach, most);
}

static struct judgement judge_limit(struct judging *judging)
{
    struct judgement judged = {.tempo = FRACTION_OVERFLOW};
    judge(&judged, &judging->timeline, &judging->reach);
    return judged;
}

static const struct limits *limits_for(const struct judging *judging,
                                       const struct score_exercise *exercise)
{
    if (judging->options->limits)
        return judging->options->limits;
    return limits_or_usual(exercise->source->settings.limits);
}

static void use_limits(struct judging *judging, const struct limits *limits)
{
    if (judging->reach.limits != limits)
        reach_make(&judging->reach, judging->score, limits, judging->score->arena);
}

/* Tenths of quarters a minute, rounded down. */
static uint32_t tempo_tenths(const struct judgement *judged)
{
    enum { TENTHS_A_MINUTE_US = 600000000 };
    struct fraction quarters = fraction_make(judged->limit_ticks, judged->timeline->quarter);
    struct fraction a_minute = fraction_make(TENTHS_A_MINUTE_US, judged->limit_us);
    struct fraction tenths = fraction_multiply(quarters, a_minute);
    double most = fraction_ok(tenths) ? (double)fraction_floor(tenths)
                                      : fraction_to_double(quarters) * fraction_to_double(a_minute);
    return most < UINT32_MAX ? (uint32_t)most : UINT32_MAX;
}

static void settle(struct verdict *verdict, const struct judgement *judged)
{
    verdict->quarter = judged->timeline->quarter;
    verdict->limit = judged->limit;
    if (judged->timeline->too_long)
        verdict->kind = VERDICT_UNKNOWN;
    else if (judged->impossible)
        verdict->kind = VERDICT_IMPOSSIBLE;
    else if (!judged->limit.note)
        verdict->kind = VERDICT_UNLIMITED;
    else
        verdict->kind = VERDICT_TEMPO;
    if (judged->limit.note)
        verdict->max_tenths = tempo_tenths(judged);
}

/* The tempo at which to judge the exercise, in quarters a minute; zero: none. */
static struct fraction tempo_asked(const struct judging *judging)
{
    if (judging->options->at)
        return fraction_make(judging->options->at, 1);
    return judging->timeline.bars.count ? play_tempo(judging->timeline.bars.items[0].bar)
                                        : FRACTION_ZERO;
}

/* Whether the limit is below that tempo. */
static bool is_beyond(const struct judging *judging, const struct judgement *limit)
{
    struct fraction tempo = tempo_asked(judging);
    return tempo.numerator && limit->limit.note &&
           is_too_fast(&judging->timeline, tempo, limit->limit_ticks, limit->limit_us);
}

/* The judgement of an exercise whose hands are known. */
static struct judgement judge_played(struct judging *judging, const struct score_exercise *exercise)
{
    uint16_t plays = most_plays(exercise);
    bool loop = is_plain_loop(exercise);
    uint16_t enough = (uint16_t)(judging->reach.limits->values[LIMIT_STROKES] + 3);
    make_timeline(judging, exercise, plays <= 2 || loop ? 2 : enough);
    struct judgement judged = judge_limit(judging);
    uint16_t more = loop && !judging->timeline.too_long ? plays_for(judging, exercise, &judged) : 0;
    if (more > 2) {
        make_timeline(judging, exercise, more);
        judged = judge_limit(judging);
    }
    return judged;
}

/* ---- hands that are not written ------------------------------------------------------------ */

static bool has_open_hands(const struct judging *judging, const struct score_exercise *exercise)
{
    uint8_t chosen = judging->options->hands_chosen ? NOTE_PROPOSED : 0;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_line *line = &exercise->bars[b].lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++)
            if (leaf_struck(&line->leaves[i]) && !line->leaves[i].note->letter &&
                !(line->leaves[i].note->proposed & chosen))
                return true;
    }
    return false;
}

/* Whether something other than the hands sets the limit. */
static bool is_of_feet(const struct judgement *judged)
{
    return judged->limit.limb >= LIMB_RIGHT_FOOT || judged->limit.kind == MOVE_HAT_CLOSE;
}

static bool is_faster(const struct judgement *judged, const struct judgement *than)
{
    if (judged->impossible || than->impossible || !than->limit.note)
        return !judged->impossible && than->impossible;
    return !judged->limit.note || ratio_compare(judged->limit_ticks, judged->limit_us,
                                                than->limit_ticks, than->limit_us) > 0;
}

static bool *hands_chosen(const struct hand_row *row, struct arena *arena)
{
    bool *chosen = arena_array(arena, row->count + 1, sizeof *chosen);
    for (size_t i = 0; i < row->count; i++)
        chosen[i] = row->events[i].turned;
    return chosen;
}

/* Whether a bar comes again, or others than those beside it come before or after it, other than
   where the whole exercise is repeated: the search does not know of that. */
static bool is_winding(const struct score_exercise *exercise)
{
    bool winding = exercise->source->ending_count > 0;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        bool whole = b + 1 == exercise->bar_count && hands_go_round(exercise) &&
                     bar->plays == exercise->source->plays;
        winding |= (bar->plays > 1 && !whole) || bar->signs;
    }
    return winding;
}

/* Goes from faster to faster hands as long as they are faster in what is played, too. */
static struct judgement judge_winding(struct judging *judging,
                                      const struct score_exercise *exercise, struct hand_row *row,
                                      struct judgement judged, bool *own)
{
    while (judged.limit.note && !judged.impossible && !is_of_feet(&judged) &&
           hands_faster(judging->faster, row, judged.limit_ticks, judged.limit_us)) {
        hands_note(row);
        struct judgement faster = judge_played(judging, exercise);
        if (!is_faster(&faster, &judged))
            break;
        judged = faster;
        for (size_t i = 0; i < row->count; i++)
            own[i] = row->events[i].turned;
    }
    for (size_t i = 0; i < row->count; i++)
        row->events[i].turned = own[i];
    hands_note(row);
    return judged;
}

/* Writes the fastest hands into the notes and `row`, if they are faster than those that were
   judged; returns the judgement of these. */
static struct judgement judge_fastest(struct judging *judging,
                                      const struct score_exercise *exercise, struct hand_row *row,
                                      struct judgement judged, struct arena *arena)
{
    if (!judged.limit.note || judged.impossible || judging->timeline.too_long ||
        (is_of_feet(&judged) && !judging->repeated))
        return judged;
    if (!judging->faster)
        judging->faster = hands_faster_new();
    hands_faster_begin(judging->faster, row, &judging->reach);
    if (is_winding(exercise))
        return judge_winding(judging, exercise, row, judged, hands_chosen(row, arena));
    if (!hands_fastest(judging->faster, row, judged.limit_ticks, judged.limit_us))
        return judged;
    hands_note(row);
    return judge_played(judging, exercise);
}

/* Writes a player's hands for the requested tempo into the notes and `row`. */
static struct judgement judge_player(struct judging *judging, const struct score_exercise *exercise,
                                     struct hand_row *row, struct arena *arena)
{
    struct fraction at = fraction_make(judging->options->at, 1);
    timeline_begin(&judging->timeline, judging->score, exercise);
    bool repeated = judging->repeated || hands_go_round(exercise);
    *row = hands_open_row(judging->score, exercise, judging->timeline.grid, repeated,
                          &judging->reach, at, arena);
    hands_note(row);
    struct judgement judged = judge_played(judging, exercise);
    if (!is_beyond(judging, &judged) && (!judging->repeated || hands_fit(row, &judging->reach)))
        return judged;
    hands_within(row, &judging->reach);
    hands_note(row);
    return judge_played(judging, exercise);
}

/* Judges the fastest hands. The notes keep those if so requested, else a player's. */
static struct judgement judge_open(struct judging *judging, const struct score_exercise *exercise,
                                   bool stay)
{
    struct arena *arena = arena_new();
    struct hand_row row;
    struct judgement judged = judge_player(judging, exercise, &row, arena);
    bool *own = hands_chosen(&row, arena);
    judged = judge_fastest(judging, exercise, &row, judged, arena);
    for (size_t i = 0; i < row.count && !stay; i++)
        row.events[i].turned = own[i];
    hands_note(&row);
    arena_free(arena);
    return judged;
}

/* ---- practice forms ------------------------------------------------------------------------ */

/* The exercises with open hands that a form consists of, and the hands that they have in it. */
typedef VECTOR(struct open_part {
    const struct score_exercise *exercise;
    bool repeated; /* somewhere it is played again after itself */
    bool fastest;  /* it has the hands that are fastest in it, not a player's */
}) open_parts;

static struct open_part *part_of(const open_parts *parts, const struct score_exercise *exercise)
{
    for (size_t i = 0; i < parts->count; i++)
        if (parts->items[i].exercise == exercise)
            return &parts->items[i];
    return NULL;
}

static void find_open_parts(const struct judging *judging, const struct score_exercise *form,
                            open_parts *parts)
{
    struct playback playback;
    struct played_bar played;
    const struct score_exercise *before = NULL;
    uint32_t bars = 0;
    playback_begin(&playback, judging->score, form, 2);
    while (playback_next(&playback, &played) && bars++ < LESSON_BARS_MAX) {
        if (!played.begins)
            continue;
        struct open_part *part = part_of(parts, played.exercise);
        if (part)
            part->repeated |= before == played.exercise;
        else if (has_open_hands(judging, played.exercise))
            *vector_push(parts, NULL) = (struct open_part){played.exercise, false, false};
        before = played.exercise;
    }
}

static void give_part(struct judging *judging, struct open_part *part, bool fastest)
{
    struct arena *arena = arena_new();
    struct hand_row row;
    part->fastest = fastest;
    judging->repeated = part->repeated;
    if (fastest)
        judge_open(judging, part->exercise, true);
    else
        judge_player(judging, part->exercise, &row, arena);
    judging->repeated = false;
    arena_free(arena);
}

static struct judgement judge_parts(struct judging *judging, const struct score_exercise *form,
                                    open_parts *parts, bool fastest)
{
    for (size_t i = 0; i < parts->count; i++)
        give_part(judging, &parts->items[i], fastest);
    return judge_played(judging, form);
}

/* Gives each part in turn the other hands, where the form is faster with those. */
static struct judgement judge_turns(struct judging *judging, const struct score_exercise *form,
                                    open_parts *parts, struct judgement judged)
{
    enum { PARTS_MOST = 16 };
    for (size_t i = 0; i < parts->count && parts->count <= PARTS_MOST; i++) {
        struct open_part *part = &parts->items[i];
        give_part(judging, part, !part->fastest);
        struct judgement other = judge_played(judging, form);
        if (is_faster(&other, &judged))
            judged = other;
        else
            give_part(judging, part, !part->fastest);
    }
    return judged;
}

/* Each exercise has the hands that are fastest in it, or a player's: the fastest hands of one may
   lead badly into the next. */
static struct judgement judge_form(struct judging *judging, const struct score_exercise *form,
                                   bool *proposed)
{
    open_parts parts = {0};
    find_open_parts(judging, form, &parts);
    *proposed = parts.count > 0;
    struct judgement judged = judge_parts(judging, form, &parts, false);
    uint16_t plays = judging->plays;
    if (*proposed) {
        struct judgement fastest = judge_parts(judging, form, &parts, true);
        judged = is_faster(&fastest, &judged) ? fastest : judge_parts(judging, form, &parts, false);
        if (parts.count > 1)
            judged = judge_turns(judging, form, &parts, judged);
        for (size_t i = 0; i < parts.count && !judging->fastest_stay; i++)
            give_part(judging, &parts.items[i], false);
        make_timeline(judging, form, plays);
    }
    vector_release(&parts);
    return judged;
}

/* ---- one exercise, again ------------------------------------------------------------------- */

static void tell(struct judging *judging, struct score_exercise *exercise,
                 const struct judgement *limit, const struct verdict *verdict)
{
    struct fraction tempo = tempo_asked(judging);
    struct judgement at = {.tempo = tempo.numerator ? tempo : fraction_make(1, INT32_MAX)};
    if (is_beyond(judging, limit) || limit->impossible) {
        if (verdict->proposed)
            make_timeline(judging, exercise, judging->plays);
        judge(&at, &judging->timeline, &judging->reach);
    }
    words_tell(judging->score, exercise, verdict, limit, &at, &judging->reported, judging->diags);
    judgement_release(&at);
}

static void judge_exercise(struct judging *judging, struct score_exercise *exercise)
{
    struct verdict *verdict = arena_alloc(judging->score->arena, sizeof *verdict);
    use_limits(judging, limits_for(judging, exercise));
    verdict->limits = judging->reach.limits;
    verdict->proposed = !exercise->sequence && has_open_hands(judging, exercise);
    struct judgement judged = exercise->sequence ? judge_form(judging, exercise, &verdict->proposed)
                              : verdict->proposed
                                  ? judge_open(judging, exercise, judging->fastest_stay)
                                  : judge_played(judging, exercise);
    settle(verdict, &judged);
    if (judging->options->words)
        verdict->words = words_verdict(judging->score, verdict);
    exercise->verdict = verdict;
    if (judging->diags)
        tell(judging, exercise, &judged, verdict);
}

/* ---- the score ---------------------------------------------------------------------------- */

void play_check(struct score *score, const struct play_options *options, struct diags *diags)
{
    struct judging judging = {.score = score, .options = options, .diags = diags};
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].bar_count || score->exercises[i].sequence)
            judge_exercise(&judging, &score->exercises[i]);
    judging_release(&judging);
}

static uint8_t limb_of(const struct note *note, size_t hit)
{
    if (note->hits[hit].limb != LIMB_HAND)
        return note->hits[hit].limb;
    return note->proposed >> hit & 1 ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
}

static void swap_hands(struct note *note)
{
    for (size_t i = 0; i < note->hit_count; i++) {
        if (note->hits[i].limb == LIMB_HAND)
            note->proposed ^= (uint8_t)(1u << i);
        else if (note->hits[i].limb <= LIMB_LEFT_HAND)
            note->hits[i].limb ^= 1;
    }
}

/* `turn`: how many strokes have been counted so far. */
static void change_note(struct note *note, const struct change *change, size_t *turn)
{
    bool there = false;
    struct hit *found = NULL;
    for (size_t i = 0; i < note->hit_count; i++) {
        there |= note->hits[i].voice == change->instead;
        if (limb_of(note, i) == change->limb && note->hits[i].voice == change->voice)
            found = &note->hits[i];
    }
    if (!found)
        return;
    if (change->kind == CHANGE_VOICE && !there)
        found->voice = change->instead;
    if (change->kind == CHANGE_HAND ||
        (change->kind == CHANGE_TURNS && note->hit_count == 1 && (*turn)++ % 2))
        swap_hands(note);
}

/* Undoing by value could also change strokes that had it before, so the notes are saved. */
static void change_exercise(struct score_exercise *exercise, const struct change *change,
                            struct note *kept, bool back)
{
    size_t at = 0, turn = 0;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_line *line = &exercise->bars[b].lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            struct note *note = line->leaves[i].note;
            if (!leaf_struck(&line->leaves[i]))
                continue;
            if (back) {
                *note = kept[at++];
                continue;
            }
            kept[at++] = *note;
            change_note(note, change, &turn);
        }
    }
}

static size_t note_count(const struct score_exercise *exercise)
{
    size_t count = 0;
    for (size_t b = 0; b < exercise->bar_count; b++)
        count += exercise->bars[b].lines[LINE_HANDS].leaf_count;
    return count;
}

struct verdict play_limits(struct score *score, struct score_exercise *exercise,
                           const struct limits *limits, struct change change,
                           struct limit_groups *groups)
{
    struct play_options options = {.limits = limits, .hands_chosen = change.kind != CHANGE_NOTHING};
    struct judging judging = {.score = score, .options = &options, .fastest_stay = true};
    const struct verdict *before = exercise->verdict;
    struct note *kept = memory_alloc((note_count(exercise) + 1) * sizeof *kept);
    if (change.kind != CHANGE_NOTHING)
        change_exercise(exercise, &change, kept, false);
    judge_exercise(&judging, exercise);
    struct verdict verdict = *exercise->verdict;
    exercise->verdict = before;
    if (groups && verdict.kind == VERDICT_TEMPO) {
        make_timeline(&judging, exercise, judging.plays);
        struct judgement judged = {.tempo = FRACTION_OVERFLOW, .groups = groups};
        judge(&judged, &judging.timeline, &judging.reach);
    }
    if (change.kind != CHANGE_NOTHING)
        change_exercise(exercise, &change, kept, true);
    memory_free(kept);
    judging_release(&judging);
    return verdict;
}

uint32_t play_group_tenths(const struct limit_group *group, int64_t quarter)
{
    struct timeline timeline = {.quarter = quarter};
    struct judgement judged = {
        .timeline = &timeline, .limit_ticks = group->ticks, .limit_us = group->us};
    return tempo_tenths(&judged);
}

void play_judge_exercise(struct score *score, struct score_exercise *exercise,
                         const struct play_options *options)
{
    struct judging judging = {.score = score, .options = options};
    judge_exercise(&judging, exercise);
    judging_release(&judging);
}
