#include "vary/space.h"

/* ---- machines ----------------------------------------------------------------------------- */

/* One part, on the columns of one fold. */
struct part_machine {
    struct space *space;
    int part;
    uint32_t times; /* how often the period comes round: each mark counts so often */
};

/* A state: where the orders are, how many accents and ghosts there are; or how often the foot. */
enum { STATE_ACCENTS = 32, STATE_GHOSTS = 48, STATE_NUMBER = 0xFFFF };

static uint32_t state_number(uint64_t state, int shift)
{
    return (uint32_t)(state >> shift) & STATE_NUMBER;
}

static bool is_relaxed(const struct space *space, int limit)
{
    return limit < LIMITS_MAX && (space->relaxed >> limit & 1);
}

/* What `keep` has in a column, if that holds. */
static uint8_t kept_in(const struct space *space, size_t column)
{
    int limit = LIMIT_KEPT;
    const struct vary_column *columns = space->columns->items;
    if (!columns[column].kept && !columns[column].keep)
        return 0;
    for (size_t i = 0; i < column; i++)
        limit += columns[i].kept || columns[i].keep;
    return is_relaxed(space, limit) ? 0 : (uint8_t)(columns[column].kept | 1u << 7);
}

static bool is_counted(const struct space *space, enum vary_part part)
{
    return space->vary->choices[part].written && space->vary->choices[part].count_at.file;
}

/* How many there are, plus those of one letter. Past the most that can be, false. */
static bool add_number(const struct part_machine *machine, enum vary_part part, bool here,
                       uint32_t *number)
{
    const struct space *space = machine->space;
    if (!is_counted(space, part) || is_relaxed(space, (int)part))
        return true;
    *number += here ? machine->times : 0;
    return *number <= space->vary->choices[part].most;
}

static bool is_enough(const struct space *space, enum vary_part part, uint32_t number)
{
    return !is_counted(space, part) || is_relaxed(space, (int)part) ||
           (number >= space->vary->choices[part].least &&
            number <= space->vary->choices[part].most);
}

/* ---- the feet ----------------------------------------------------------------------------- */

static void read_foot(void *closure, size_t column, uint64_t state, struct letters *out)
{
    struct part_machine *machine = closure;
    bool kick = machine->part == PART_KICK;
    enum vary_part part = kick ? VARY_KICK : VARY_HAT_FOOT;
    const struct vary_column *at = &machine->space->columns->items[column];
    uint8_t bit = (uint8_t)(1u << part);
    bool kept = kept_in(machine->space, column) & bit;
    for (uint32_t here = kept; here <= (at->may & bit ? 1u : 0u); here++) {
        uint32_t number = (uint32_t)state;
        if (add_number(machine, part, here, &number))
            letters_add(out, here ? (uint32_t)(kick ? LETTER_KICK : LETTER_HAT) : 0, number);
    }
}

static bool foot_is_enough(const void *closure, uint64_t state)
{
    const struct part_machine *machine = closure;
    return is_enough(machine->space, machine->part == PART_KICK ? VARY_KICK : VARY_HAT_FOOT,
                     (uint32_t)state);
}

/* ---- the hands ---------------------------------------------------------------------------- */

/* How many voices a hand can choose from; 0: it has none to choose. */
static uint32_t voices_of(const struct space *space, enum limb limb, const struct stroke *stroke)
{
    uint8_t own = limb == LIMB_RIGHT_HAND ? HAND_RIGHT : HAND_LEFT;
    if (!stroke || (stroke->hand != own && stroke->hand != HAND_BOTH))
        return 0;
    return (uint32_t)space->vary->play.limbs[limb].count;
}

static bool has_loudness(const struct voicing *voicing)
{
    mark_set marks = voicing->marks;
    for (size_t i = 0; voicing->unlike && i < voicing->voice_count; i++)
        marks |= voicing->voice_marks[i];
    return marks & (MARKS_LOUD | MARK_GHOST);
}

/* Whether what `play` says of a limb, or the voice that is chosen, is loud or a ghost already. */
static bool limb_has_loudness(const struct space *space, enum limb limb, uint32_t voice)
{
    const struct play *play = space->exercise->source->settings.play;
    const struct voicing_line *line = &space->vary->play.limbs[limb];
    if (voice)
        return has_loudness(&line->items[voice - 1]);
    for (size_t i = 0; play && !line->count && i < play->limbs[limb].count; i++)
        if (has_loudness(&play->limbs[limb].items[i]))
            return true;
    return false;
}

/* Whether a mark can be added to a stroke that has none of its kind. */
static bool takes_marks(const struct space *space, const struct vary_column *at,
                        const struct stroke *stroke, uint32_t right, uint32_t left)
{
    if (at->fixed & (VARY_FIXED_ACCENT | VARY_FIXED_GHOST | VARY_FIXED_REST))
        return false;
    if (!stroke)
        return at->struck;
    bool is_right = stroke->hand == HAND_RIGHT || stroke->hand == HAND_BOTH;
    bool is_left = stroke->hand == HAND_LEFT || stroke->hand == HAND_BOTH;
    bool fixed = at->fixed & VARY_FIXED_VOICE;
    if (stroke->hand == HAND_NONE || hand_is_foot(stroke->hand) ||
        stroke->marks & (MARKS_LOUD | MARK_GHOST))
        return false;
    return fixed || !((is_right && limb_has_loudness(space, LIMB_RIGHT_HAND, right)) ||
                      (is_left && limb_has_loudness(space, LIMB_LEFT_HAND, left)));
}

static void add_marks(const struct part_machine *machine, size_t column, uint32_t letter,
                      uint64_t state, uint32_t order, bool takes, struct letters *out)
{
    const struct space *space = machine->space;
    uint8_t kept = kept_in(space, column), may = space->columns->items[column].may;
    for (uint32_t mark = 0; mark <= LETTER_GHOST; mark++) {
        bool accent = mark == LETTER_ACCENT, ghost = mark == LETTER_GHOST;
        uint32_t accents = state_number(state, STATE_ACCENTS);
        uint32_t ghosts = state_number(state, STATE_GHOSTS);
        if ((accent && !(takes && (may >> VARY_ACCENTS & 1))) ||
            (ghost && !(takes && (may >> VARY_GHOSTS & 1))) ||
            !add_number(machine, VARY_ACCENTS, accent || (kept >> VARY_ACCENTS & 1), &accents) ||
            !add_number(machine, VARY_GHOSTS, ghost || (kept >> VARY_GHOSTS & 1), &ghosts))
            continue;
        letters_add(out, letter | mark,
                    order | (uint64_t)accents << STATE_ACCENTS | (uint64_t)ghosts << STATE_GHOSTS);
    }
}

/* All that one stroke can be. */
static void add_stroke(const struct part_machine *machine, size_t column, uint64_t state,
                       uint32_t order, uint32_t number, struct letters *out)
{
    const struct space *space = machine->space;
    const struct vary_column *at = &space->columns->items[column];
    uint32_t base = number << LETTER_STROKE_SHIFT;
    const struct stroke *stroke = letter_stroke(space, base);
    bool struck = stroke ? stroke->hand != HAND_NONE && !hand_is_foot(stroke->hand) : at->struck;
    bool chooses = struck && !(at->fixed & (VARY_FIXED_VOICE | VARY_FIXED_REST));
    uint32_t rights = chooses ? voices_of(space, LIMB_RIGHT_HAND, stroke) : 0;
    uint32_t lefts = chooses ? voices_of(space, LIMB_LEFT_HAND, stroke) : 0;
    if (!struck && at->keep && kept_in(space, column))
        return;
    for (uint32_t right = rights > 0; right <= rights; right++)
        for (uint32_t left = lefts > 0; left <= lefts; left++)
            add_marks(machine, column,
                      base | right << LETTER_RIGHT_SHIFT | left << LETTER_LEFT_SHIFT, state, order,
                      takes_marks(space, at, stroke, right, left), out);
}

static void read_hands(void *closure, size_t column, uint64_t state, struct letters *out)
{
    struct part_machine *machine = closure;
    struct space *space = machine->space;
    uint32_t order = (uint32_t)state;
    if (space->columns->items[column].stroke < 0 || !space->orders) {
        bool none = space->columns->items[column].stroke < 0;
        if (none)
            letters_add(out, 0, state);
        else
            add_stroke(machine, column, state, order, 0, out);
        return;
    }
    for (uint32_t n = 0; n < orders_stroke_count(space->orders); n++) {
        uint32_t next = orders_next(space->orders, order, n);
        if (next != ORDERS_NONE)
            add_stroke(machine, column, state, next, n + 1, out);
    }
}

static bool hands_are_enough(const void *closure, uint64_t state)
{
    const struct part_machine *machine = closure;
    const struct space *space = machine->space;
    return is_enough(space, VARY_ACCENTS, state_number(state, STATE_ACCENTS)) &&
           is_enough(space, VARY_GHOSTS, state_number(state, STATE_GHOSTS)) &&
           (!space->orders || orders_ends(space->orders, (uint32_t)state));
}

static struct graph *graph_of_part(struct space *space, int part, size_t period)
{
    struct part_machine closure = {space, part, (uint32_t)(space->columns->count / period)};
    struct machine machine = {.columns = period, .closure = &closure};
    machine.read = part == PART_HANDS ? read_hands : read_foot;
    machine.accepts = part == PART_HANDS ? hands_are_enough : foot_is_enough;
    return graph_new(&machine);
}

/* ---- rotations ---------------------------------------------------------------------------- */

/* Whether all that a column can be, and what stays in it, is the same in another one. */
static bool same_column(const struct space *space, size_t a, size_t b)
{
    const struct vary_column *one = &space->columns->items[a], *other = &space->columns->items[b];
    bool order = space->orders && !space->vary->rotate;
    return one->may == other->may && one->kept == other->kept && one->fixed == other->fixed &&
           one->written == other->written && one->struck == other->struck &&
           !one->keep == !other->keep && (one->stroke < 0) == (other->stroke < 0) &&
           (!order || one->stroke < 0 ||
            orders_of_item(space->orders, (size_t)one->stroke) ==
                orders_of_item(space->orders, (size_t)other->stroke));
}

/* The fewest columns by which every variation can be turned and stays one. */
static size_t find_step(const struct space *space)
{
    size_t count = space->columns->count;
    bool round =
        !space->orders || !space->vary->rotate || count % orders_period(space->orders) == 0;
    for (size_t step = 1; space->columns->even && round && step < count; step++) {
        size_t i = 0;
        while (count % step == 0 && i < count && same_column(space, i, (i + step) % count))
            i++;
        if (i == count)
            return step;
    }
    return count;
}

static size_t common_divisor(size_t a, size_t b)
{
    return b ? common_divisor(b, a % b) : a;
}

static struct fold *find_fold(struct space *space, size_t period)
{
    for (size_t i = 0; i < space->folds.count; i++)
        if (space->folds.items[i].period == period)
            return &space->folds.items[i];
    return NULL;
}

/* Words of a period of which the sticking is no multiple do not exist. */
static bool order_fits(const struct space *space, size_t period)
{
    return period == space->columns->count || !space->orders || !space->vary->rotate ||
           period % orders_period(space->orders) == 0;
}

static bool add_fold(struct space *space, size_t period)
{
    struct fold *fold = vector_push(&space->folds, space->arena);
    fold->period = period;
    fold->rotations = 1;
    mpz_init_set_ui(fold->count, order_fits(space, period));
    for (int part = 0; part < PARTS; part++) {
        fold->parts[part] = graph_of_part(space, part, period);
        if (!fold->parts[part])
            return false;
        mpz_mul(fold->count, fold->count, *graph_count(fold->parts[part]));
    }
    return true;
}

static bool add_folds(struct space *space)
{
    size_t count = space->columns->count;
    if (!add_fold(space, count))
        return false;
    for (size_t turn = space->step; turn < count; turn += space->step) {
        size_t period = common_divisor(turn, count);
        struct fold *fold = find_fold(space, period);
        if (fold)
            fold->rotations++;
        else if (!add_fold(space, period))
            return false;
    }
    return true;
}

static void sum_up(struct space *space)
{
    for (size_t i = 0; i < space->folds.count; i++)
        mpz_addmul_ui(space->pairs, space->folds.items[i].count, space->folds.items[i].rotations);
    mpz_divexact_ui(space->count, space->pairs, space->columns->count / space->step);
}

/* ---- the space ---------------------------------------------------------------------------- */

static const struct stroke_line *sticking_of(const struct score_exercise *exercise)
{
    const struct settings *settings = &exercise->source->settings;
    const struct stroke_line *sticking = settings->letterless ? NULL : settings->sticking;
    for (size_t i = 0; sticking && i < sticking->count; i++)
        if (sticking->strokes[i].hand == HAND_OPEN)
            return NULL;
    return sticking;
}

static void open_space(struct space *space)
{
    const struct stroke_line *sticking = sticking_of(space->exercise);
    if (sticking && space->columns->count <= SPACE_COLUMNS_MAX)
        space->orders = orders_new(sticking, space->vary, space->arena);
    if ((sticking && !space->orders) || !space->columns->count ||
        space->columns->count > SPACE_COLUMNS_MAX) {
        space->fault = SPACE_TOO_LARGE;
        return;
    }
    if (space->vary->rotations_alike)
        space->step = find_step(space);
    if (!add_folds(space) || (space->orders && orders_are_too_many(space->orders)))
        space->fault = SPACE_TOO_LARGE;
    else if (space->vary->rotations_alike && space->step == space->columns->count)
        space->fault = SPACE_NO_ROTATION;
    sum_up(space);
}

struct space *space_new(const struct score *score, const struct score_exercise *exercise)
{
    struct arena *arena = arena_new();
    struct space *space = arena_alloc(arena, sizeof *space);
    *space = (struct space){.exercise = exercise,
                            .lesson = score->lesson,
                            .vary = exercise->source->vary,
                            .columns = exercise->vary,
                            .arena = arena,
                            .step = exercise->vary->count};
    mpz_inits(space->pairs, space->count, (mpz_ptr)NULL);
    open_space(space);
    return space;
}

void space_free(struct space *space)
{
    for (size_t i = 0; i < space->folds.count; i++) {
        for (int part = 0; part < PARTS; part++)
            graph_free(space->folds.items[i].parts[part]);
        mpz_clear(space->folds.items[i].count);
    }
    mpz_clears(space->pairs, space->count, (mpz_ptr)NULL);
    arena_free(space->arena);
}

void space_count_part(struct space *space, int part, uint64_t relaxed, mpz_t out)
{
    space->relaxed = relaxed;
    struct graph *graph = graph_of_part(space, part, space->columns->count);
    space->relaxed = 0;
    mpz_set_ui(out, 0);
    if (graph)
        mpz_set(out, *graph_count(graph));
    graph_free(graph);
}

/* ---- words -------------------------------------------------------------------------------- */

bool space_has(const struct space *space, const uint32_t *letters)
{
    static const uint32_t of_part[PARTS] = {LETTER_HANDS, LETTER_KICK, LETTER_HAT};
    size_t count = space->columns->count;
    uint32_t *own = memory_alloc(count * sizeof *own);
    bool all = true;
    for (int part = 0; part < PARTS && all; part++) {
        for (size_t i = 0; i < count; i++)
            own[i] = letters[i] & of_part[part];
        all = graph_has(space->folds.items[0].parts[part], own);
    }
    memory_free(own);
    return all;
}

/* Whether letters that begin at `a` come before those that begin at `b`. */
static bool is_before(const uint32_t *letters, size_t count, size_t a, size_t b)
{
    for (size_t i = 0; i < count; i++) {
        uint32_t one = letters[(a + i) % count], other = letters[(b + i) % count];
        if (one != other)
            return one < other;
    }
    return false;
}

void space_turn(const struct space *space, uint32_t *letters)
{
    size_t count = space->columns->count, first = 0;
    for (size_t turn = space->step; turn < count; turn += space->step)
        if (is_before(letters, count, turn, first))
            first = turn;
    uint32_t *turned = memory_alloc(count * sizeof *turned);
    for (size_t i = 0; i < count; i++)
        turned[i] = letters[(first + i) % count];
    memcpy(letters, turned, count * sizeof *letters);
    memory_free(turned);
}

/* The word of a number, which the parts' numbers make up as digits do. */
static void fold_word(const struct space *space, const struct fold *fold, mpz_t number,
                      uint32_t *letters)
{
    uint32_t *own = memory_alloc(fold->period * sizeof *own);
    mpz_t digit;
    mpz_init(digit);
    memset(letters, 0, space->columns->count * sizeof *letters);
    for (int part = PARTS; part-- > 0;) {
        mpz_fdiv_qr(number, digit, number, *graph_count(fold->parts[part]));
        graph_word(fold->parts[part], digit, own);
        for (size_t i = 0; i < space->columns->count; i++)
            letters[i] |= own[i % fold->period];
    }
    mpz_clear(digit);
    memory_free(own);
}

void space_word(const struct space *space, const mpz_t pair, uint32_t *letters)
{
    mpz_t rest, size;
    mpz_init_set(rest, pair);
    mpz_init(size);
    for (size_t i = 0; i < space->folds.count; i++) {
        const struct fold *fold = &space->folds.items[i];
        mpz_mul_ui(size, fold->count, fold->rotations);
        if (mpz_cmp(rest, size) < 0) {
            mpz_fdiv_r(rest, rest, fold->count);
            fold_word(space, fold, rest, letters);
            break;
        }
        mpz_sub(rest, rest, size);
    }
    mpz_clears(rest, size, (mpz_ptr)NULL);
    space_turn(space, letters);
}

const char *space_number(const struct space *space, const mpz_t number)
{
    char *text = arena_room(space->arena, mpz_sizeinbase(number, 10) + 2);
    return mpz_get_str(text, 10, number);
}
