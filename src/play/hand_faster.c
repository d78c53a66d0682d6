/*
 * Whether any hands are faster. A depth-first search, which turns back as soon as a choice breaks a
 * limit. It remembers the digests of pasts that led nowhere, so that it follows none twice.
 */
#include "base/table.h"
#include "play/hand_past.h"

/* Longer rows are not searched: their labels would take too much memory. A search
   gives up after TRIES_MOST tries; ordinary exercises need some dozens. */
enum { EVENTS_MOST = 4096, TRIES_MOST = 1 << 18 };

struct hand_faster {
    struct trial trial;
    VECTOR(struct label) labels; /* before each event */
    VECTOR(uint64_t) dead;       /* digests of dead ends */
    struct table dead_table;
};

struct hand_faster *hands_faster_new(const struct hand_row *row, const struct reach *reach)
{
    struct hand_faster *faster = memory_alloc(sizeof *faster);
    *faster = (struct hand_faster){0};
    trial_begin(&faster->trial, row, reach);
    return faster;
}

void hands_faster_free(struct hand_faster *faster)
{
    trial_end(&faster->trial);
    vector_release(&faster->labels);
    vector_release(&faster->dead);
    table_release(&faster->dead_table);
    memory_free(faster);
}

/* ---- what led nowhere --------------------------------------------------------------------- */

static uint64_t digest_at(const struct label *label, size_t at)
{
    return hash_join(label_digest(label), at);
}

static bool is_dead(const struct hand_faster *faster, uint64_t digest)
{
    struct table_search search = table_search(&faster->dead_table, digest);
    for (size_t i; table_next(&search, &i);)
        if (faster->dead.items[i] == digest)
            return true;
    return false;
}

static void bury(struct hand_faster *faster, uint64_t digest)
{
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
    if (at + 1 < trial->end)
        trial_forget(trial, next, at + 1);
    else
        trial_close(trial, next);
    return !next->breaks && !(faster->dead.count && is_dead(faster, digest_at(next, at + 1)));
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
        const struct hand_event *event = &trial->row->events[trial->begin + depth];
        bool given = event->given, first = given ? event->turned : first_choice(event, label);
        if (label->step == (given ? 1 : 2)) {
            if (depth == 0)
                return false;
            bury(faster, digest_at(label, trial->begin + depth));
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

bool hands_faster(struct hand_faster *faster, struct hand_row *row, int64_t ticks, int64_t us,
                  size_t begin, size_t end)
{
    size_t count = end - begin;
    if (count > EVENTS_MOST)
        return false;
    vector_reserve(&faster->labels, count + 1, NULL);
    trial_set(&faster->trial, (struct pace){ticks, us, true}, begin, end);
    table_clear(&faster->dead_table);
    faster->dead.count = 0;
    if (!descend(faster))
        return false;
    for (size_t i = 0; i < count; i++)
        row->events[begin + i].turned = faster->labels.items[i + 1].turned;
    return true;
}
