/*
 * Variations that follow each other in one place: one stroke changes; or an accent, a ghost or a
 * foot comes, goes or moves; or the sticking begins a stroke earlier or later; or two pieces that
 * follow each other change places.
 */
#include "app/vary_pick.h"

/* A walk that comes to an end too soon begins again elsewhere; the longest one stays. */
enum { WALKS_MAX = 30 };

struct choice {
    struct picker *picker;
    const uint32_t *from;
    uint32_t *to; /* the change that is being looked at */
    size_t count; /* columns */
    VECTOR(uint32_t *) found;
};

static void restore(struct choice *choice)
{
    memcpy(choice->to, choice->from, choice->count * sizeof *choice->to);
}

static void offer(struct choice *choice)
{
    struct arena *arena = choice->picker->space->arena;
    bool same = memcmp(choice->to, choice->from, choice->count * sizeof *choice->to) == 0;
    if (!same && space_has(choice->picker->space, choice->to))
        *vector_push(&choice->found, arena) =
            arena_copy(arena, choice->to, choice->count, sizeof *choice->to);
    restore(choice);
}

static void change_letters(struct choice *choice)
{
    static const uint32_t of_part[PARTS] = {LETTER_HANDS, LETTER_KICK, LETTER_HAT};
    const struct fold *all = &choice->picker->space->folds.items[0];
    for (int part = 0; part < PARTS; part++)
        for (size_t i = 0; i < choice->count; i++) {
            struct letters letters = {0};
            graph_letters(all->parts[part], i, &letters);
            for (size_t l = 0; l < letters.count; l++) {
                choice->to[i] = (choice->from[i] & ~of_part[part]) | letters.items[l].letter;
                offer(choice);
            }
            vector_release(&letters);
        }
}

static void move_signs(struct choice *choice)
{
    static const uint32_t signs[] = {LETTER_ACCENT, LETTER_GHOST, LETTER_KICK, LETTER_HAT};
    for (size_t s = 0; s < sizeof signs / sizeof *signs; s++)
        for (size_t i = 0; i < choice->count; i++)
            for (size_t j = 0; j < choice->count && choice->from[i] & signs[s]; j++) {
                if (choice->from[j] & signs[s])
                    continue;
                choice->to[i] &= ~signs[s];
                choice->to[j] |= signs[s];
                offer(choice);
            }
}

/* What moves with the sticking: the stroke and its voice. Marks stay on their counts. */
static const uint32_t stroke_bits = LETTER_HANDS & ~(LETTER_ACCENT | LETTER_GHOST);

/* Puts the stroke of another column here. */
static void take_stroke(struct choice *choice, size_t to, size_t from)
{
    choice->to[to] = (choice->from[to] & ~stroke_bits) | (choice->from[from] & stroke_bits);
}

static void turn_sticking(struct choice *choice)
{
    const size_t turns[] = {1, choice->count - 1};
    for (size_t t = 0; choice->picker->space->vary->rotate && t < 2; t++) {
        for (size_t i = 0; i < choice->count; i++)
            take_stroke(choice, i, (i + turns[t]) % choice->count);
        offer(choice);
    }
}

/* Exchanges the `a` strokes from `at` on with the `b` strokes behind them. */
static void exchange(struct choice *choice, size_t at, size_t a, size_t b)
{
    for (size_t i = 0; i < a + b; i++)
        take_stroke(choice, at + i, at + (i < b ? i + a : i - b));
    offer(choice);
}

static void swap_pieces(struct choice *choice)
{
    const struct vary *vary = choice->picker->space->vary;
    for (size_t p = 0; p < vary->piece_count; p++)
        for (size_t q = 0; q < vary->piece_count; q++) {
            size_t a = vary->pieces[p], b = vary->pieces[q];
            for (size_t at = 0; p != q && at + a + b <= choice->count; at++)
                exchange(choice, at, a, b);
        }
}

/* A variation one change away that was not tried yet and can be played. */
static bool step(struct picker *picker)
{
    struct choice choice = {.picker = picker,
                            .from = picker->picks.items[picker->picks.count - 1].letters,
                            .count = picker->space->columns->count};
    choice.to = arena_copy(picker->space->arena, choice.from, choice.count, sizeof *choice.to);
    change_letters(&choice);
    move_signs(&choice);
    turn_sticking(&choice);
    swap_pieces(&choice);
    bool found = false;
    for (size_t left = choice.found.count; left > 0 && !found; left--) {
        uint32_t which = dice_small(&picker->dice, (uint32_t)left);
        found = pick_try(picker, choice.found.items[which]);
        choice.found.items[which] = choice.found.items[left - 1];
    }
    return found;
}

static void walk(struct picker *picker, size_t count)
{
    pick_forget(picker);
    pick_drawn(picker, 1);
    while (picker->picks.count && picker->picks.count < count && !picker->complaint && step(picker))
        ;
}

void pick_steps(struct picker *picker, size_t count)
{
    struct picker longest = {0};
    for (int walks = 0; walks < WALKS_MAX && longest.picks.count < count && !picker->complaint;
         walks++) {
        walk(picker, count);
        if (!longest.space || picker->picks.count > longest.picks.count)
            longest = *picker;
    }
    if (!picker->complaint && longest.space)
        *picker = longest;
}
