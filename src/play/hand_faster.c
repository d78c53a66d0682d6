/*
 * The fastest hands of a row: faster ones are sought until there are none.
 *
 *     search()     hands that are faster than a pace. Depth first; turns back as soon as a choice
 *                  breaks a limit, and remembers the digests of pasts that led nowhere, so that it
 *                  follows none twice
 *     measure()    their limit, by the judge, which is the next pace
 *     is_proven()  if no hands are faster for the few events around the limit, none are for the row
 *
 * What this came to is kept, for rows without grace notes and slashes: grooves go on over other
 * feet, and figures come again.
 */
#include "base/table.h"
#include "play/hand_past.h"

/* Longer rows are not searched: their labels would take too much memory. A search
   gives up after TRIES_MOST tries; ordinary exercises need some dozens. */
enum { EVENTS_MOST = 4096, TRIES_MOST = 1 << 18 };

struct outcome {
    struct key {
        uint64_t first, second;
    } key;
    bool found;
    size_t choices; /* where those of the hands that were found begin */
};

struct hand_faster {
    const struct hand_row *row;
    const struct reach *reach;
    bool begun; /* the trial of this row */
    struct trial trial;
    struct timeline measured;    /* the row's blows in the hands that were found */
    VECTOR(struct label) labels; /* before each event */
    VECTOR(uint64_t) dead;       /* digests of dead ends */
    struct table dead_table;
    bool plain;               /* the row is without grace notes and slashes: outcomes are kept */
    VECTOR(uint64_t) digests; /* of each event, but for its time */
    VECTOR(struct outcome) outcomes;
    struct table outcome_table;
    VECTOR(bool) choices; /* of all outcomes, one after the other */
    VECTOR(bool) best;    /* of the fastest hands so far */
};

struct hand_faster *hands_faster_new(void)
{
    struct hand_faster *faster = memory_alloc(sizeof *faster);
    *faster = (struct hand_faster){.row = NULL};
    return faster;
}

void hands_faster_free(struct hand_faster *faster)
{
    if (faster->begun)
        trial_end(&faster->trial);
    timeline_release(&faster->measured);
    vector_release(&faster->labels);
    vector_release(&faster->dead);
    table_release(&faster->dead_table);
    vector_release(&faster->digests);
    vector_release(&faster->outcomes);
    table_release(&faster->outcome_table);
    vector_release(&faster->choices);
    vector_release(&faster->best);
    memory_free(faster);
}

/* ---- what is known ------------------------------------------------------------------------ */

static uint64_t event_digest(const struct hand_event *event)
{
    const struct note *note = event->note;
    bool fixed = event->given ? event->turned : event->count == 2 && event->wanted;
    uint64_t digest = hash_join(event->count * 4u + event->given * 2u + fixed, event->voices[0]);
    if (event->count == 2)
        digest = hash_join(digest, event->voices[1]);
    for (int hit = 0, seen = 0; hit < note->hit_count && seen < event->count; hit++)
        if (note->hits[hit].voice == event->voices[seen]) {
            digest = hash_join(digest, blow_flags(note, hit));
            seen++;
        }
    return digest;
}

void hands_faster_begin(struct hand_faster *faster, const struct hand_row *row,
                        const struct reach *reach)
{
    if (faster->begun)
        trial_end(&faster->trial);
    faster->begun = false;
    faster->row = row;
    faster->reach = reach;
    faster->plain = true;
    faster->digests.count = 0;
    for (size_t i = 0; i < row->count && faster->plain; i++) {
        const struct note *note = row->events[i].note;
        faster->plain = !note->grace_count && !(note->marks & MARKS_DIVIDING);
        *vector_push(&faster->digests, NULL) = event_digest(&row->events[i]);
    }
}

static struct key key_of(const struct hand_faster *faster, struct pace pace)
{
    const struct hand_row *row = faster->row;
    uint64_t first = hash_join((uint64_t)pace.ticks, (uint64_t)pace.us), second = row->count;
    first = hash_join(first, (uint64_t)(uintptr_t)faster->reach->limits);
    first = hash_join(first, (uint64_t)row->quarter * 2 + row->left_leads);
    if (row->repeated)
        first = hash_join(hash_join(first, row->again), (uint64_t)row->events[row->count].tick);
    for (size_t i = 0; i < row->count; i++) {
        bool own = row->repeated && row->events[i].turned; /* those have to be measured */
        uint64_t after = i ? (uint64_t)(row->events[i].tick - row->events[i - 1].tick) : 0;
        uint64_t digest = hash_join(faster->digests.items[i] + own, after);
        first = hash_join(first, digest);
        second = hash_join(second ^ first, digest);
    }
    return (struct key){first, second};
}

static const struct outcome *find_outcome(const struct hand_faster *faster, struct key key)
{
    struct table_search search = table_search(&faster->outcome_table, key.first);
    for (size_t i; table_next(&search, &i);) {
        const struct outcome *outcome = &faster->outcomes.items[i];
        if (outcome->key.first == key.first && outcome->key.second == key.second)
            return outcome;
    }
    return NULL;
}

static void keep_outcome(struct hand_faster *faster, struct key key, bool found,
                         const struct hand_row *row)
{
    table_add(&faster->outcome_table, key.first, faster->outcomes.count, NULL);
    *vector_push(&faster->outcomes, NULL) = (struct outcome){key, found, faster->choices.count};
    for (size_t i = 0; i < row->count && found; i++)
        *vector_push(&faster->choices, NULL) = row->events[i].turned;
}

/* ---- what led nowhere --------------------------------------------------------------------- */

/* The choice for an event, once it has been made; of a repeat's, for that which it repeats. */
static bool choice_at(const struct hand_faster *faster, size_t at)
{
    size_t written = hands_written(faster->row, at);
    return faster->labels.items[written - faster->trial.begin + 1].turned;
}

/* Whether an event of the repeat has the hand that was chosen before. */
static bool is_chosen(const struct hand_faster *faster, size_t at)
{
    return at >= faster->row->count && hands_written(faster->row, at) >= faster->trial.begin;
}

/* Of what can still matter before an event: the pasts, and the choices that will be repeated. */
static uint64_t digest_at(const struct hand_faster *faster, struct label *label, size_t at)
{
    trial_forget(&faster->trial, label, at);
    uint64_t digest = hash_join(label_digest(label), at);
    size_t begin = at > faster->row->count ? at : faster->row->count;
    for (size_t i = begin; i < faster->trial.end && hands_written(faster->row, i) < at; i++)
        if (is_chosen(faster, i))
            digest = hash_join(digest, choice_at(faster, i));
    return digest;
}

static bool is_dead(const struct hand_faster *faster, uint64_t digest)
{
    struct table_search search = table_search(&faster->dead_table, digest);
    for (size_t i; table_next(&search, &i);)
        if (faster->dead.items[i] == digest)
            return true;
    return false;
}

/* No choice for event `at` led on. */
static void bury(struct hand_faster *faster, struct label *label, size_t at)
{
    uint64_t digest = digest_at(faster, label, at);
    if (label->breaks || is_dead(faster, digest))
        return;
    table_add(&faster->dead_table, digest, faster->dead.count, NULL);
    *vector_push(&faster->dead, NULL) = digest;
}

/* ---- going down --------------------------------------------------------------------------- */

/* The choice to try first: hands in turn, and two voices as a player would strike them. */
static bool first_choice(const struct hand_event *event, const struct label *label)
{
    return event->count == 2 ? event->wanted : !label->turned;
}

/* One event further; false if that breaks a limit or leads nowhere. */
static bool step(struct hand_faster *faster, size_t depth, bool turned)
{
    const struct trial *trial = &faster->trial;
    struct label *next = &faster->labels.items[depth + 1];
    size_t at = trial->begin + depth;
    label_copy(next, &faster->labels.items[depth]);
    trial_push(trial, next, at, turned);
    next->turned = turned;
    if (next->breaks)
        return false;
    if (at + 1 == trial->end)
        trial_close(trial, next);
    else if (faster->dead.count && is_dead(faster, digest_at(faster, next, at + 1)))
        return false;
    return !next->breaks;
}

/* `label->step` counts the choices that have been tried. */
static bool descend(struct hand_faster *faster)
{
    const struct trial *trial = &faster->trial;
    size_t depth = 0, tries = 0;
    trial_start(trial, faster->labels.items);
    faster->labels.items[0].turned = true;
    while (trial->begin + depth < trial->end) {
        struct label *label = &faster->labels.items[depth];
        size_t at = trial->begin + depth;
        const struct hand_event *event = &trial->row->events[at];
        bool chosen = is_chosen(faster, at), given = event->given || chosen;
        bool first = chosen         ? choice_at(faster, at)
                     : event->given ? event->turned
                                    : first_choice(event, label);
        if (label->step == (given ? 1 : 2)) {
            if (depth == 0)
                return false;
            bury(faster, label, at);
            depth--;
            continue;
        }
        bool turned = label->step++ ? !first : first;
        if (++tries > TRIES_MOST)
            return false;
        if (step(faster, depth, turned)) {
            depth++;
            faster->labels.items[depth].step = 0;
        }
    }
    return true;
}

/* Hands with which the events [begin, end) alone are faster than the pace, as labels. */
static bool search(struct hand_faster *faster, struct pace pace, size_t begin, size_t end)
{
    vector_reserve(&faster->labels, end - begin + 1, NULL);
    trial_set(&faster->trial, pace, begin, end);
    table_clear(&faster->dead_table);
    faster->dead.count = 0;
    return descend(faster);
}

/* ---- faster and faster -------------------------------------------------------------------- */

static struct judgement measure(struct hand_faster *faster)
{
    struct judgement judged = {.tempo = FRACTION_OVERFLOW};
    trial_blows(&faster->trial, &faster->measured);
    judge(&judged, &faster->measured, faster->reach);
    return judged;
}

/* Whether no hands are faster than the pace for the few events around the limit. */
static bool is_proven(struct hand_faster *faster, const struct judgement *judged, struct pace pace)
{
    enum { AROUND = 2 };
    size_t begin = judged->limit_from, end = judged->limit_to;
    size_t count = faster->row->count + faster->row->repeated;
    begin = begin > AROUND ? begin - AROUND : 0;
    end = end + AROUND < count ? end + AROUND : count;
    return !search(faster, pace, begin, end);
}

static void take_choices(const struct hand_faster *faster, struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        row->events[i].turned = faster->labels.items[i + 1].turned;
}

/* Hands that are faster than the pace, also where a repeat goes back; then `judged` is theirs. As
   many events of the repeat are searched as it takes: mostly none. `heeded`: how many so far. */
static bool find_faster(struct hand_faster *faster, struct hand_row *row, struct pace pace,
                        size_t *heeded, struct judgement *judged)
{
    while (search(faster, pace, 0, row->count + *heeded)) {
        take_choices(faster, row);
        *judged = measure(faster);
        if (!judged->limit.note ||
            ratio_compare(judged->limit_ticks, judged->limit_us, pace.ticks, pace.us) > 0)
            return true;
        size_t needed = judged->limit_to < row->count ? 0 : judged->limit_to - row->count + 1;
        if (needed <= *heeded)
            return false;
        *heeded = needed;
    }
    return false;
}

static void keep_choices(struct hand_faster *faster, const struct hand_row *row)
{
    faster->best.count = 0;
    for (size_t i = 0; i < row->count; i++)
        *vector_push(&faster->best, NULL) = row->events[i].turned;
}

static void begin_trial(struct hand_faster *faster)
{
    if (!faster->begun)
        trial_begin(&faster->trial, faster->row, faster->reach);
    faster->begun = true;
}

static bool find_fastest(struct hand_faster *faster, struct hand_row *row, struct pace pace)
{
    bool found = false;
    size_t heeded = 0;
    struct judgement judged;
    begin_trial(faster);
    keep_choices(faster, row);
    if (row->repeated) { /* the way back may be slower than what the caller knows of */
        judged = measure(faster);
        if (judged.limit.note &&
            ratio_compare(judged.limit_ticks, judged.limit_us, pace.ticks, pace.us) < 0)
            pace = (struct pace){judged.limit_ticks, judged.limit_us, true};
    }
    while (find_faster(faster, row, pace, &heeded, &judged)) {
        found = true;
        keep_choices(faster, row);
        pace = (struct pace){judged.limit_ticks, judged.limit_us, true};
        if (!judged.limit.note || is_proven(faster, &judged, pace))
            break;
    }
    for (size_t i = 0; i < row->count; i++)
        row->events[i].turned = faster->best.items[i];
    return found;
}

bool hands_fastest(struct hand_faster *faster, struct hand_row *row, int64_t ticks, int64_t us)
{
    struct pace pace = {ticks, us, true};
    if (row->count > EVENTS_MOST)
        return false;
    if (!faster->plain)
        return find_fastest(faster, row, pace);
    struct key key = key_of(faster, pace);
    const struct outcome *known = find_outcome(faster, key);
    if (!known) {
        bool found = find_fastest(faster, row, pace);
        keep_outcome(faster, key, found, row);
        return found;
    }
    for (size_t i = 0; i < row->count && known->found; i++)
        row->events[i].turned = faster->choices.items[known->choices + i];
    return known->found;
}

bool hands_faster(struct hand_faster *faster, struct hand_row *row, int64_t ticks, int64_t us)
{
    size_t heeded = 0;
    struct judgement judged;
    begin_trial(faster);
    return row->count <= EVENTS_MOST &&
           find_faster(faster, row, (struct pace){ticks, us, true}, &heeded, &judged);
}
