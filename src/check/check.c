#include "check/check.h"

#include "base/vector.h"
#include "model/ladder.h"

#include <stdio.h>
#include <string.h>

struct checker {
    const struct score *score;
    struct diags *diags;
    VECTOR(struct place) clashes; /* already reported */
};

/* ---- limbs -------------------------------------------------------------------------------- */

/* A stroke of a repeated sticking is reported only once. */
static bool first_time(struct checker *checker, struct place at)
{
    for (size_t i = 0; i < checker->clashes.count; i++)
        if (place_same(checker->clashes.items[i], at))
            return false;
    if (checker->clashes.count < DIAGS_LIMIT)
        *vector_push(&checker->clashes, checker->score->arena) = at;
    return true;
}

static const char *voice_name(const struct checker *checker, voice_id voice)
{
    return checker->score->lesson->kit.voices[voice].name;
}

static void report_limb(struct checker *checker, const struct note *note, const struct hit *a,
                        const struct hit *b)
{
    if (!first_time(checker, note->at))
        return;
    const char *limb = limb_word(a->limb);
    diag_add(checker->diags, DIAG_LIMB_CLASH, note->at,
             "the %s cannot strike the %s and the %s at once", limb, voice_name(checker, a->voice),
             voice_name(checker, b->voice));
    if (a->limb == LIMB_RIGHT_HAND || a->limb == LIMB_LEFT_HAND)
        diag_expected(checker->diags, "one voice for the %s, or both hands (B)", limb);
    else
        diag_expected(checker->diags, "one voice for the %s", limb);
}

static void report_hands(struct checker *checker, const struct note *note, unsigned hands)
{
    if (!first_time(checker, note->at))
        return;
    diag_add(checker->diags, DIAG_LIMB_CLASH, note->at,
             "%u hand strokes at once, but a drummer has two hands", hands);
    diag_expected(checker->diags, "at most two voices for the hands");
}

static bool is_hand(const struct hit *hit)
{
    return hit->limb == LIMB_RIGHT_HAND || hit->limb == LIMB_LEFT_HAND || hit->limb == LIMB_HAND;
}

/* Finds two hits of one limb on different voices. Without letters it can only count the hands. */
static void check_note(struct checker *checker, const struct note *note)
{
    const struct hit *hits = note->hits;
    unsigned hands = 0;
    for (size_t i = 0; i < note->hit_count; i++) {
        hands += is_hand(&hits[i]);
        for (size_t j = 0; j < i; j++)
            if (hits[i].limb == hits[j].limb && hits[i].limb != LIMB_HAND &&
                hits[i].voice != hits[j].voice) {
                report_limb(checker, note, &hits[j], &hits[i]);
                return;
            }
    }
    if (hands > 2)
        report_hands(checker, note, hands);
}

/* Looking at single notes is enough: a note holds all hits of its line at one onset, and no limb
   plays in both lines. */
static void check_limbs(struct checker *checker, const struct score_bar *bar)
{
    for (int line = 0; bar->chords && line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[line].leaves[i];
            if (leaf_struck(leaf) && leaf->note->hit_count > 1)
                check_note(checker, leaf->note);
        }
}

/* ---- cycles ------------------------------------------------------------------------------- */

static void report_open(struct checker *checker, const struct score_exercise *exercise)
{
    const struct cycle *cycle = &exercise->cycle;
    const struct exercise *source = exercise->source;
    size_t bars = exercise->bar_count - (exercise->bars[0].pickup ? 1 : 0);
    diag_add(
        checker->diags, DIAG_STICKING_OPEN, source->plays_at,
        "the repeat cuts the sticking short: it needs %llu bar%s to line up with beat 1 again, "
        "and has %zu%s",
        (unsigned long long)cycle->bars_to_line_up, cycle->bars_to_line_up == 1 ? "" : "s", bars,
        cycle->hand_changes ? "; the repeat then begins with the wrong hand" : "");
    diag_expected(checker->diags, "`bars: %llu`, or `bars: resolve`",
                  (unsigned long long)cycle->bars_to_line_up);
}

/* A sticking that several exercises share is reported at each exercise. */
static struct place cycle_place(const struct checker *checker, const struct exercise *source)
{
    bool shared = source->settings.sticking == checker->score->lesson->settings.sticking;
    if (!shared)
        return source->settings.sticking->at;
    return source->title.text ? source->title.at : source->at;
}

enum { LEADS_TOLD = 16, LEADS_ROOM = 2 * LEADS_TOLD + sizeof " ..." };

/* Who plays the bar's first stroke. */
static char lead_of(const struct score_exercise *exercise, uint64_t bar)
{
    const struct stroke_line *line = exercise->source->settings.sticking;
    uint64_t slot = bar * exercise->cycle.slots_in_bar;
    for (size_t i = 0; i < line->count; i++) {
        uint8_t hand = line->strokes[(slot + i) % line->count].hand;
        if (hand != HAND_NONE)
            return hand_letter(hand, exercise->mirrored);
    }
    return '.';
}

/* " R L R": the leading hand of each bar until the sticking lines up again. */
static void tell_leads(const struct score_exercise *exercise, char out[LEADS_ROOM])
{
    uint64_t bars = exercise->cycle.bars_to_line_up;
    for (uint64_t bar = 0; bar < bars && bar < LEADS_TOLD; bar++) {
        *out++ = ' ';
        *out++ = lead_of(exercise, bar);
    }
    const char *end = bars > LEADS_TOLD ? " ..." : "";
    memcpy(out, end, strlen(end) + 1);
}

static void tell_cycle(struct checker *checker, const struct score_exercise *exercise)
{
    const struct cycle *cycle = &exercise->cycle;
    if (cycle->slots_in_cycle == 0 || cycle->bars_to_line_up == 0)
        return;
    if (cycle->loops && !cycle->lines_up)
        report_open(checker, exercise);
    if (cycle->slots_in_cycle == cycle->slots_in_bar)
        return; /* exactly one bar long: nothing to say */
    char leads[LEADS_ROOM] = "";
    const struct stroke_line *sticking = exercise->source->settings.sticking;
    bool several = cycle->bars_to_line_up > 1 && !cycle->in_time;
    if (several)
        tell_leads(exercise, leads);
    diag_add(
        checker->diags, DIAG_STICKING_CYCLE, cycle_place(checker, exercise->source),
        "the %zu-%s sticking lines up with beat 1 again after %llu bar%s (%llu time%s through)%s%s",
        sticking->count, sticking->struck == sticking->count ? "stroke" : "slot",
        (unsigned long long)cycle->bars_to_line_up, cycle->bars_to_line_up == 1 ? "" : "s",
        (unsigned long long)cycle->rotations, cycle->rotations == 1 ? "" : "s",
        several ? "; the bars begin with" : "", leads);
}

/* ---- ladders ------------------------------------------------------------------------------ */

static const char *why_no_ladder(const struct tempo *tempo)
{
    if (!tempo)
        return "there is no tempo";
    if (tempo->gradual)
        return "the tempo is gradual";
    return tempo->count > 1 ? "the exercise has the lesson's tempo" : "there is only one tempo";
}

static void report_ladder(struct checker *checker, const struct settings *settings)
{
    const struct tempo *tempo = settings->tempo;
    diag_add(checker->diags, DIAG_NO_EFFECT, settings->show->ladder_at,
             "no practice ladder is printed: %s", why_no_ladder(tempo));
    if (tempo && tempo->count > 1 && !tempo->gradual)
        diag_expected(checker->diags, "the ladder in the lesson's `show`, or a tempo of its own");
    else
        diag_expected(checker->diags, "a range or a list of tempos, such as 60-90 or 60 72 84");
}

static bool asks_for_ladder(const struct settings *settings)
{
    return settings->show->ladder && !settings->show->ladder_limit;
}

static bool has_ladder(const struct score *score, const struct exercise *source)
{
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].source == source && ladder_shown(score, i))
            return true;
    return false;
}

/* A course asks on behalf of all of its lessons, and a lesson of all of its exercises. */
static void check_ladders(struct checker *checker)
{
    const struct score *score = checker->score;
    const struct settings *settings = &score->lesson->settings;
    struct place above = settings->show->ladder_at;
    bool own = above.file && strcmp(above.file, score->lesson->file) == 0;
    bool lessons = ladder_shown(score, score->exercise_count), any = lessons;
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct exercise *source = score->exercises[i].source;
        any |= ladder_shown(score, i);
        bool inherits = place_same(source->settings.show->ladder_at, above);
        bool again = i > 0 && score->exercises[i - 1].source == source;
        if (!inherits && !again && !lessons && asks_for_ladder(&source->settings) &&
            !has_ladder(score, source))
            report_ladder(checker, &source->settings);
    }
    if (own && !any && asks_for_ladder(settings))
        report_ladder(checker, settings);
}

void check_score(const struct score *score, struct diags *diags)
{
    struct checker checker = {.score = score, .diags = diags};
    bool sound = diags_errors(diags) == 0; /* a lesson with errors gets no notes */
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        bool second = exercise->left_lead && exercise->source->settings.lead == LEAD_BOTH;
        if (second || exercise->bar_count == 0)
            continue;
        for (size_t b = 0; exercise->chords && b < exercise->bar_count; b++)
            check_limbs(&checker, &exercise->bars[b]);
        if (sound)
            tell_cycle(&checker, exercise);
    }
    if (sound && score->other_player)
        check_named_hands(score, diags);
    if (sound)
        check_ladders(&checker);
}
