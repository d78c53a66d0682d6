/*
 * Whether any hands are faster. Goes down one way of choosing after the other, and back as soon as
 * one breaks a limit; a past that led nowhere once is remembered by its digest, so that none is
 * followed twice.
 */
#include "play/hand_past.h"

#include <string.h>

/* Longer rows are not searched: their labels would take too much memory. And a search that has
   tried so much gives up; ordinary exercises need some dozens of tries. */
enum { EVENTS_MOST = 4096, TRIES_MOST = 1 << 18 };

struct hand_faster {
    struct trial trial;
    VECTOR(struct label) labels; /* before each event */
    VECTOR(uint64_t) dead;       /* digests, as a table; 0: free */
    size_t dead_count;
};

struct hand_faster *hands_faster_new(const struct hand_row *row, const struct reach *reach)
{
    struct hand_faster *faster = memory_alloc(sizeof *faster);
    *faster = (struct hand_faster){.dead_count = 0};
    trial_begin(&faster->trial, row, reach);
    return faster;
}

void hands_faster_free(struct hand_faster *faster)
{
    trial_end(&faster->trial);
    vector_release(&faster->labels);
    vector_release(&faster->dead);
    memory_free(faster);
}

/* ---- what led nowhere --------------------------------------------------------------------- */

static uint64_t digest_at(const struct label *label, size_t at)
{
    uint64_t digest = (label_digest(label) ^ at) * 0x9E3779B97F4A7C15u;
    return digest ? digest : 1;
}

static bool is_dead(const struct hand_faster *faster, uint64_t digest)
{
    if (!faster->dead_count)
        return false;
    size_t mask = faster->dead.room - 1, slot = digest & mask;
    for (; faster->dead.items[slot]; slot = (slot + 1) & mask)
        if (faster->dead.items[slot] == digest)
            return true;
    return false;
}

static void put_dead(struct hand_faster *faster, uint64_t digest)
{
    size_t mask = faster->dead.room - 1, slot = digest & mask;
    while (faster->dead.items[slot])
        slot = (slot + 1) & mask;
    faster->dead.items[slot] = digest;
    faster->dead_count++;
}

/* A table at most half full. */
static void bury(struct hand_faster *faster, uint64_t digest)
{
    uint64_t *old = faster->dead.items;
    size_t room = faster->dead.room;
    if (2 * (faster->dead_count + 1) > room) {
        faster->dead.room = room ? 2 * room : 64;
        faster->dead.items = memory_alloc(faster->dead.room * sizeof *old);
        memset(faster->dead.items, 0, faster->dead.room * sizeof *old);
        faster->dead_count = 0;
        for (size_t i = 0; i < room; i++)
            if (old[i])
                put_dead(faster, old[i]);
        memory_free(old);
    }
    put_dead(faster, digest);
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
    return !next->breaks && !is_dead(faster, digest_at(next, at + 1));
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
    if (faster->dead_count)
        memset(faster->dead.items, 0, faster->dead.room * sizeof *faster->dead.items);
    faster->dead_count = 0;
    if (!descend(faster))
        return false;
    for (size_t i = 0; i < count; i++)
        row->events[begin + i].turned = faster->labels.items[i + 1].turned;
    return true;
}
