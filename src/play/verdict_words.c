/* Verdicts and faults in words. */
#include "model/rudiment.h"
#include "model/tempo.h"
#include "play/play_int.h"

#include <stdio.h>
#include <string.h>

/* ---- where -------------------------------------------------------------------------------- */

/* The leaf that a note is struck at; NULL where the bar has none. */
static const struct leaf *leaf_of(const struct score_bar *bar, const struct note *note)
{
    for (int line = 0; line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[line].leaves[i];
            if (leaf->note == note && leaf_struck(leaf))
                return leaf;
        }
    return NULL;
}

/* "4/2 of eighth triplets": a count for what the bar's own grid does not have. */
static const char *slot_words(struct arena *arena, const struct score_beat *beat, unsigned number,
                              struct fraction onset)
{
    struct fraction into = fraction_subtract(onset, beat->start);
    const struct beat whole = {.length = beat->length, .kind = (enum beat_kind)beat->kind};
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        struct division division;
        if (!subdivision_divide((enum subdivision)i, &whole, &division) || division.beats != 1)
            continue;
        struct fraction slot = fraction_divide(into, division.slot);
        if (slot.denominator == 1)
            return arena_format(arena, "%u/%u of %s", number, (unsigned)slot.numerator + 1,
                                subdivision_name((enum subdivision)i));
    }
    return arena_format(arena, "after %u", number);
}

const char *play_count(struct arena *arena, const struct score_bar *bar, const struct note *note)
{
    const struct leaf *leaf = leaf_of(bar, note);
    if (!leaf)
        return "";
    unsigned beat = bar_counted_at(bar, leaf->onset) + 1u;
    for (uint16_t i = 0; i < bar->count_count; i++) {
        const struct count *count = &bar->counts[i];
        if (count->name && fraction_equal(count->onset, leaf->onset))
            return arena_format(arena, "%u%s", count->beat + 1u, count->name);
    }
    return fraction_equal(bar->counted[beat - 1].start, leaf->onset)
               ? arena_format(arena, "%u", beat)
               : slot_words(arena, &bar->counted[beat - 1], beat, leaf->onset);
}

/* "bar 2 at 3&", "the pickup at 4". */
static const char *where(struct arena *arena, const struct move *move)
{
    const char *count = play_count(arena, move->bar, move->note);
    const char *at = strncmp(count, "after", strlen("after")) == 0 ? "" : "at ";
    return move->bar->pickup ? arena_format(arena, "the pickup %s%s", at, count)
                             : arena_format(arena, "bar %u %s%s", move->bar->number, at, count);
}

/* ---- what --------------------------------------------------------------------------------- */

const char *move_word(enum move_kind kind)
{
    static const char *const words[] = {
        [MOVE_BOUNCE] = "bounce", [MOVE_REPEAT] = "repeat", [MOVE_SUSTAIN] = "sustain",
        [MOVE_TRAVEL] = "travel", [MOVE_CROSS] = "cross",   [MOVE_HAT_CLOSE] = "hat-close"};
    return words[kind];
}

static const char *name_of(const struct score *score, voice_id voice)
{
    return score->lesson->kit.voices[voice].spoken;
}

/* "the left hand from the snare to its grace note on the high tom"; NULL: as any move. */
static const char *cause_words(const struct score *score, const struct move *move)
{
    struct arena *arena = score->arena;
    const char *limb = limb_word(move->limb);
    const char *from = name_of(score, move->from), *to = name_of(score, move->to);
    bool moves = move->kind == MOVE_TRAVEL || move->kind == MOVE_CROSS;
    switch ((enum move_cause)move->cause) {
    case CAUSE_ACCENT:
        return moves ? arena_format(arena,
                                    "the %s from its ghost note on the %s to the accent on the %s",
                                    limb, from, to)
                     : arena_format(arena, "the %s's accent on the %s after its ghost note", limb,
                                    to);
    case CAUSE_TO_GRACE:
        return moves ? arena_format(arena, "the %s from the %s to its grace note on the %s", limb,
                                    from, to)
                     : arena_format(arena,
                                    "the %s's grace note on the %s after its last stroke there",
                                    limb, to);
    case CAUSE_FROM_GRACE:
        return moves ? arena_format(arena, "the %s from its grace note on the %s to the %s", limb,
                                    from, to)
                     : arena_format(arena, "the %s's stroke on the %s after its grace note", limb,
                                    to);
    case CAUSE_NONE:
        break;
    }
    return NULL;
}

/* "the left hand from the snare to the high tom". */
static const char *move_words(const struct score *score, const struct move *move)
{
    struct arena *arena = score->arena;
    const char *limb = limb_word(move->limb);
    const char *from = name_of(score, move->from), *to = name_of(score, move->to);
    const char *caused = cause_words(score, move);
    if (caused)
        return caused;
    switch ((enum move_kind)move->kind) {
    case MOVE_BOUNCE:
        return arena_format(arena,
                            move->limb >= LIMB_RIGHT_FOOT ? "the %s's double on the %s"
                                                          : "the %s's rebound on the %s",
                            limb, to);
    case MOVE_REPEAT:
        return arena_format(arena, "the %s's next stroke on the %s", limb, to);
    case MOVE_SUSTAIN:
        return arena_format(arena, "the %s's %u strokes in a row up to the %s", limb, move->strokes,
                            to);
    case MOVE_CROSS:
        return arena_format(arena, "the %s from the %s to the %s in crossed hands", limb, from, to);
    case MOVE_HAT_CLOSE:
        return arena_format(arena, "closing the %s for the %s", from, to);
    case MOVE_TRAVEL:
        break;
    }
    return arena_format(arena, "the %s from the %s to the %s", limb, from, to);
}

static struct fraction beat_of(const struct score_bar *bar)
{
    return tempo_beat(bar->settings->tempo, bar->meter);
}

/* Which beats are meant where these are not quarters; "" where they are. */
static const char *beat_words(struct arena *arena, const struct score_bar *bar)
{
    static const struct {
        struct fraction beat;
        const char *words;
    } names[] = {{{1, 4}, ""},
                 {{3, 8}, " in dotted quarters"},
                 {{1, 2}, " in halves"},
                 {{3, 4}, " in dotted halves"},
                 {{1, 8}, " in eighths"},
                 {{3, 16}, " in dotted eighths"},
                 {{1, 16}, " in sixteenths"},
                 {{1, 1}, " in whole notes"}};
    struct fraction beat = beat_of(bar);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (fraction_equal(names[i].beat, beat))
            return names[i].words;
    return arena_format(arena, " in beats of %lld/%lld", (long long)beat.numerator,
                        (long long)beat.denominator);
}

/* "105.8 bpm", "92 bpm in dotted quarters": a tempo in tenths of quarters, as the bar counts it. */
static const char *tempo_words(struct arena *arena, const struct score_bar *bar, uint32_t tenths)
{
    struct fraction beats = fraction_divide(fraction_make(tenths, 4), beat_of(bar));
    int64_t whole = fraction_ok(beats) ? fraction_floor(beats) : 0;
    const char *words = beat_words(arena, bar);
    return whole % 10 ? arena_format(arena, "%lld.%lld bpm%s", (long long)whole / 10,
                                     (long long)whole % 10, words)
                      : arena_format(arena, "%lld bpm%s", (long long)whole / 10, words);
}

/* ---- faults ------------------------------------------------------------------------------- */

static double ticks_ms(const struct judgement *at, int64_t ticks)
{
    return (double)ticks / (double)at->timeline->quarter * 60000 / fraction_to_double(at->tempo);
}

/* The tempo at which a move fits, in tenths, rounded down. */
static uint32_t fitting_tenths(const struct judgement *at, const struct move *move)
{
    double tenths =
        (double)move->ticks / (double)at->timeline->quarter * 600000000 / (double)move->takes_us;
    return (uint32_t)(tenths + 1e-9);
}

static const char *other_hand(const struct move *move)
{
    return limb_word(move->limb == LIMB_LEFT_HAND ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND);
}

static bool is_rudiment_line(const struct stroke_line *line)
{
    return line && line->name && rudiment_find(line->name, strlen(line->name));
}

bool words_of_rudiment(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    if (source->figure || is_rudiment_line(source->settings.sticking))
        return true;
    for (size_t b = 0; b < source->bar_count; b++)
        if (is_rudiment_line(source->bars[b].sticking))
            return true;
    return false;
}

/* What would help as well as a slower tempo: ", or the left hand for the crash". Where hands are
   chosen, none are better. */
static const char *easing_words(const struct score *score, const struct score_exercise *exercise,
                                const struct verdict *verdict, const struct move *move)
{
    struct arena *arena = score->arena;
    static const char *const graces[] = {"a stroke without grace notes",
                                         "a plain stroke for the flam",
                                         "a plain stroke for the drag"};
    unsigned count = move->cause == CAUSE_TO_GRACE ? move->note->grace_count : 0;
    if (words_of_rudiment(exercise))
        return "";
    if (move->cause == CAUSE_ACCENT)
        return ", or no ghost note in front of the accent";
    if (count)
        return arena_format(arena, ", or %s", graces[count < 3 ? count : 0]);
    bool moves = move->kind == MOVE_TRAVEL || move->kind == MOVE_CROSS;
    if (move->kind == MOVE_HAT_CLOSE)
        return ", or the hi-hat closed before";
    if (move->limb > LIMB_LEFT_HAND)
        return ", or fewer strokes of this foot";
    if (verdict->proposed)
        return moves ? ", or a surface that is nearer" : ", or fewer strokes";
    return moves ? arena_format(arena, ", or the %s for the %s", other_hand(move),
                                name_of(score, move->to))
                 : arena_format(arena, ", or the %s for some of the strokes", other_hand(move));
}

/* "at most 80 bpm, or ..."; where another move of the exercise is slower still, that as well. */
static void expect_tempo(const struct score *score, const struct score_exercise *exercise,
                         const struct verdict *verdict, const struct judgement *at,
                         const struct move *move, struct diags *diags)
{
    struct arena *arena = score->arena;
    uint32_t tenths = fitting_tenths(at, move);
    const char *most = tempo_words(arena, move->bar, tenths);
    const char * or = easing_words(score, exercise, verdict, move);
    if (verdict->kind == VERDICT_TEMPO && verdict->max_tenths < tenths)
        diag_expected(diags, "at most %s for this move%s; %s for the whole exercise", most, or,
                      tempo_words(arena, verdict->limit.bar, verdict->max_tenths));
    else
        diag_expected(diags, "at most %s%s", most, or);
}

/* `places`: how many other places have the same limb short of time for the same reason. */
static void tell_time(const struct score *score, const struct score_exercise *exercise,
                      const struct verdict *verdict, const struct judgement *at,
                      const struct fault *fault, size_t places, struct diags *diags)
{
    const struct move *move = &fault->move;
    struct arena *arena = score->arena;
    bool far = move->kind == MOVE_TRAVEL || move->kind == MOVE_CROSS;
    struct fraction beats =
        fraction_divide(at->tempo, fraction_multiply(fraction_make(4, 1), beat_of(move->bar)));
    const char *also =
        places ? arena_format(arena, "; also in %zu more place%s", places, places == 1 ? "" : "s")
               : "";
    diag_add(diags, far ? DIAG_TOO_FAR : DIAG_TOO_FAST, fault->at,
             "%s (%s): at %g bpm%s there are %.1f ms; %s %.1f (%s)%s", move_words(score, move),
             where(arena, move), fraction_to_double(beats), beat_words(arena, move->bar),
             ticks_ms(at, move->ticks),
             move->kind == MOVE_SUSTAIN ? "they need" : "this move needs", move->takes_us / 1000.0,
             at->reach->limits->name, also);
    if (diag_listed(diags))
        expect_tempo(score, exercise, verdict, at, move, diags);
}

static void tell_conflict(const struct score *score, const struct fault *fault, struct diags *diags)
{
    const struct move *move = &fault->move;
    const char *from = name_of(score, move->from), *to = name_of(score, move->to);
    const char *limb = limb_word(move->limb);
    switch (fault->kind) {
    case FAULT_GRACED:
        diag_add(diags, DIAG_UNPLAYABLE, fault->at,
                 "the grace notes need both hands, but the %s plays the %s at the same time", limb,
                 to);
        diag_expected(diags, "a stroke of one hand under the grace notes");
        break;
    case FAULT_PEDAL:
        diag_add(diags, DIAG_UNPLAYABLE, fault->at,
                 "the %s is struck closed while the %s, which holds it closed, is on the %s", from,
                 limb, to);
        diag_expected(diags, "an open hi-hat, or `kit: {hats: held}`");
        break;
    case FAULT_SMALL:
        diag_add(diags, DIAG_UNPLAYABLE, fault->at,
                 "both hands at once on the %s, which is only %d cm wide", to,
                 voice_width_cm(&score->lesson->kit.voices[move->to]));
        diag_expected(diags, "one hand, or another voice for one of them");
        break;
    case FAULT_TIME:
        break;
    }
}

static void tell_crossed(const struct score *score, const struct judgement *limit,
                         struct diags *diags)
{
    const struct note *note = limit->crossed;
    diag_add(diags, DIAG_CROSSED_HANDS, note->at, "the hands cross near the %s",
             name_of(score, note->hits[0].voice));
}

static struct place exercise_place(const struct exercise *source)
{
    return source->title.text && *source->title.text ? source->title.at : source->at;
}

/* An open stroke that is closed sooner barks (our own figure; players close some of theirs 45 to 90
   ms after the stroke). At the tempo that `at` is for. */
enum { SHORT_RING_MS = 100 };

static void tell_shortened(const struct judgement *limit, const struct judgement *at,
                           struct diags *diags)
{
    const struct judgement here = {.timeline = limit->timeline, .tempo = at->tempo};
    double ms = ticks_ms(&here, limit->shortens_ticks);
    if (ms < SHORT_RING_MS)
        diag_add(diags, DIAG_HAT_SHORTENED, limit->shortens->at,
                 "the foot closes the open hi-hat %.0f ms after its stroke: it hardly rings", ms);
}

static void tell_slower_hands(const struct score *score, const struct score_exercise *exercise,
                              struct diags *diags)
{
    struct arena *arena = score->arena;
    const struct slower_hands *slower = &exercise->slower_hands;
    const struct move at = {.note = slower->note, .bar = slower->bar};
    char slow[TEMPO_TEXT_ROOM], fast[TEMPO_TEXT_ROOM];
    diag_add(diags, DIAG_TEMPO_HANDS, exercise_place(exercise->source),
             "the hands of exercise %u are those for %s bpm; for %s they would differ, first in "
             "%s",
             exercise->number, tempo_text(slower->fast, fast), tempo_text(slower->slow, slow),
             where(arena, &at));
}

/* ---- the verdict -------------------------------------------------------------------------- */

const char *words_verdict(const struct score *score, const struct verdict *verdict)
{
    if (verdict->kind != VERDICT_TEMPO)
        return NULL;
    return arena_format(score->arena, "Playable up to %s (%s%s); the limit is %s (%s).",
                        tempo_words(score->arena, verdict->limit.bar, verdict->max_tenths),
                        verdict->limits->name, verdict->proposed ? ", with the best hands" : "",
                        move_words(score, &verdict->limit), where(score->arena, &verdict->limit));
}

const char *play_tempo_words(const struct score *score, const struct verdict *verdict)
{
    switch (verdict->kind) {
    case VERDICT_TEMPO:
        return arena_format(score->arena, "%s (%s)",
                            tempo_words(score->arena, verdict->limit.bar, verdict->max_tenths),
                            verdict->limits->name);
    case VERDICT_UNLIMITED:
        return "any tempo";
    case VERDICT_IMPOSSIBLE:
        return arena_format(score->arena, "no tempo (%s)", verdict->limits->name);
    case VERDICT_UNKNOWN:
        break;
    }
    return "too long to judge";
}

const char *words_move(const struct score *score, const struct move *move)
{
    return arena_format(score->arena, "%s (%s)", move_words(score, move),
                        where(score->arena, move));
}

const char *play_limit_words(const struct score *score, const struct verdict *verdict)
{
    if (verdict->kind != VERDICT_TEMPO)
        return "";
    return words_move(score, &verdict->limit);
}

static void tell_verdict(const struct score *score, const struct score_exercise *exercise,
                         const struct verdict *verdict, struct reported *reported,
                         struct diags *diags)
{
    bool both = exercise->source->settings.lead == LEAD_BOTH;
    const char *lead = !both ? "" : exercise->mirrored ? ", left lead," : ", right lead,";
    const char *level = verdict->limits->name;
    const char *hands = verdict->proposed ? ", with the best hands" : "";
    struct place at = exercise_place(exercise->source);
    switch (verdict->kind) {
    case VERDICT_TEMPO:
        if (reported->verdict_count++ >=
            DIAGS_LIMIT) { /* counted, not listed: its words are not made */
            diag_add(diags, DIAG_PLAYABLE, at, "%s", level);
            break;
        }
        diag_add(diags, DIAG_PLAYABLE, at,
                 "exercise %u%s is playable up to %s (%s%s); the limit is %s (%s)",
                 exercise->number, lead,
                 tempo_words(score->arena, verdict->limit.bar, verdict->max_tenths), level, hands,
                 move_words(score, &verdict->limit), where(score->arena, &verdict->limit));
        break;
    case VERDICT_IMPOSSIBLE:
        diag_add(diags, DIAG_PLAYABLE, at, "exercise %u%s is not playable at any tempo (%s%s)",
                 exercise->number, lead, level, hands);
        break;
    case VERDICT_UNKNOWN:
        diag_add(diags, DIAG_PLAYABLE, at, "exercise %u is too long to judge", exercise->number);
        break;
    case VERDICT_UNLIMITED:
        break;
    }
}

static bool first_time(struct place *places, size_t *count, struct place at)
{
    for (size_t i = 0; i < *count; i++)
        if (place_same(places[i], at))
            return false;
    if (*count < DIAGS_LIMIT)
        places[(*count)++] = at;
    return true;
}

/* Whether one message covers both faults: same limb, same reason. */
static bool is_alike(const struct fault *a, const struct fault *b)
{
    return a->kind == FAULT_TIME && b->kind == FAULT_TIME &&
           judgement_same_group(&a->move, &b->move);
}

/* Reports all faults like the `first`-th in one message, at the worst of them. */
static void tell_alike(const struct score *score, const struct score_exercise *exercise,
                       const struct verdict *verdict, const struct judgement *at, size_t first,
                       struct reported *reported, struct diags *diags)
{
    const struct fault *faults = at->faults.items, *worst = &faults[first];
    size_t places = 0;
    bool told = false;
    for (size_t i = 0; i < first; i++)
        told |= is_alike(&faults[i], worst);
    for (size_t i = first; i < at->faults.count && !told; i++) {
        if (!is_alike(&faults[i], &faults[first]))
            continue;
        places += first_time(reported->faults, &reported->fault_count, faults[i].at);
        if (fault_is_worse(&faults[i], worst))
            worst = &faults[i];
    }
    if (places)
        tell_time(score, exercise, verdict, at, worst, places - 1, diags);
}

void words_tell(const struct score *score, const struct score_exercise *exercise,
                const struct verdict *verdict, const struct judgement *limit,
                const struct judgement *at, struct reported *reported, struct diags *diags)
{
    for (size_t i = 0; i < at->faults.count; i++) {
        if (at->faults.items[i].kind == FAULT_TIME)
            tell_alike(score, exercise, verdict, at, i, reported, diags);
        else if (first_time(reported->faults, &reported->fault_count, at->faults.items[i].at))
            tell_conflict(score, &at->faults.items[i], diags);
    }
    if (limit->crossed && !verdict->proposed &&
        first_time(reported->crossings, &reported->crossing_count, limit->crossed->at))
        tell_crossed(score, limit, diags);
    if (limit->shortens &&
        first_time(reported->crossings, &reported->crossing_count, limit->shortens->at))
        tell_shortened(limit, at, diags);
    if (exercise->slower_hands.note)
        tell_slower_hands(score, exercise, diags);
    tell_verdict(score, exercise, verdict, reported, diags);
}
