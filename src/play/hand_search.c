/*
 * Hands within limits: of all ways to choose the hands of a row those that break fewest limits at
 * its tempo, of these those that break them latest, of these those that keep most habits, and of
 * these those in which the leading hand comes earlier. If it is repeated, as many events of the
 * repeat are looked at as it takes: a stroke that breaks a limit there and not before counts, too.
 * Exact: goes through the events with a label for every past that differs in what can still matter,
 * and of labels with equal pasts keeps the cheapest.
 */
#include "base/table.h"
#include "play/hand_past.h"

/* After each event only this many labels are kept, the cheapest. Ordinary lessons need dozens, or
   hundreds where something is too fast. Very long exercises keep fewer, so that choosing ends in
   time. */
enum { LABELS_MOST = 512, LABELS_LEAST = 16, LABELS_IN_ALL = 1 << 19 };

/* ---- labels ------------------------------------------------------------------------------- */

/* How each label came about: the choices can be traced back from the last label. */
struct step {
    uint32_t before;
    bool turned;
};
typedef VECTOR(struct step) step_row;

/* The labels after an event. Few are looked through, many found by the hash of their pasts. */
struct layer {
    VECTOR(struct label) labels;
    struct table by_past;
    size_t most;
};

enum { FEW_LABELS = 32 };

static bool is_cheaper(const struct label *a, const struct label *b)
{
    if (a->breaks != b->breaks)
        return a->breaks < b->breaks;
    if (a->early != b->early)
        return a->early < b->early;
    if (habit_is_less(a->habits, b->habits) || habit_is_less(b->habits, a->habits))
        return habit_is_less(a->habits, b->habits);
    return a->order < b->order;
}

static int compare_labels(const void *a, const void *b)
{
    return is_cheaper(b, a) - is_cheaper(a, b);
}

static void index_labels(struct layer *layer)
{
    table_clear(&layer->by_past);
    for (size_t i = 0; i < layer->labels.count; i++)
        table_add(&layer->by_past, layer->labels.items[i].hash, i, NULL);
}

static bool is_alike(const struct label *a, const struct label *b)
{
    return a->hash == b->hash && a->turned == b->turned && a->head == b->head &&
           a->broken == b->broken && label_same_pasts(a, b);
}

/* The label with the same pasts; NULL: there is none. */
static struct label *find_alike(const struct layer *layer, const struct label *label)
{
    if (layer->labels.count <= FEW_LABELS) {
        for (size_t i = 0; i < layer->labels.count; i++)
            if (is_alike(&layer->labels.items[i], label))
                return &layer->labels.items[i];
        return NULL;
    }
    struct table_search search = table_search(&layer->by_past, label->hash);
    for (size_t i; table_next(&search, &i);)
        if (is_alike(&layer->labels.items[i], label))
            return &layer->labels.items[i];
    return NULL;
}

/* Keeps the cheaper half. */
static void thin_out(struct layer *layer)
{
    qsort(layer->labels.items, layer->labels.count, sizeof *layer->labels.items, compare_labels);
    layer->labels.count /= 2;
    index_labels(layer);
}

static void add_label(struct layer *layer, struct label *label)
{
    label->hash = hash_join(hash_join(label_digest(label), label->head), label->broken);
    label->hash += label->turned;
    struct label *known = find_alike(layer, label);
    if (known) {
        if (is_cheaper(label, known))
            label_copy(known, label);
        return;
    }
    if (layer->labels.count == layer->most)
        thin_out(layer);
    label_copy(vector_push(&layer->labels, NULL), label);
    if (layer->labels.count == FEW_LABELS + 1)
        index_labels(layer);
    else if (layer->labels.count > FEW_LABELS)
        table_add(&layer->by_past, label->hash, layer->labels.count - 1, NULL);
}

static void release_layer(struct layer *layer)
{
    vector_release(&layer->labels);
    table_release(&layer->by_past);
}

/* ---- the search --------------------------------------------------------------------------- */

struct search {
    struct trial trial;
    struct habit_prices prices;
    step_row steps;
    bool forbid;   /* labels that break a limit are dropped */
    size_t heeded; /* how many events of the repeat are looked at, HEAD_MOST at most */
};

/* Whether the choice for an event has to be remembered until the end of the row. */
static bool is_of_head(const struct search *search, size_t at)
{
    const struct hand_row *row = search->trial.row;
    size_t count = search->heeded || !search->prices.round ? search->heeded : 1;
    return at >= row->again && at - row->again < count;
}

static void add_habits(const struct search *search, struct label *label, size_t at,
                       bool before_turned)
{
    const struct habit_prices *prices = &search->prices;
    bool turned = label->turned;
    if (at >= prices->row->count)
        return;
    label->habits = habit_sum(label->habits, prices->pairs[at].costs[before_turned][turned]);
    if (prices->round && at + 1 == prices->row->count)
        label->habits = habit_sum(label->habits, prices->again.costs[turned][label->head & 1]);
}

static void add_choice(struct search *search, struct layer *to, const struct label *label,
                       size_t at, bool turned)
{
    struct label next;
    label_copy(&next, label);
    trial_push(&search->trial, &next, at, turned);
    if (at + 1 < search->trial.end)
        trial_forget(&search->trial, &next, at + 1);
    else
        trial_close(&search->trial, &next);
    if (search->forbid && next.breaks)
        return;
    next.turned = turned;
    next.order = 2 * label->order + turned;
    if (is_of_head(search, at))
        next.head |= (uint32_t)turned << (at - search->trial.row->again);
    add_habits(search, &next, at, label->turned);
    next.step = (uint32_t)search->steps.count;
    *vector_push(&search->steps, NULL) = (struct step){label->step, turned};
    add_label(to, &next);
}

static void expand(struct search *search, const struct layer *from, struct layer *to, size_t at)
{
    const struct hand_row *row = search->trial.row;
    const struct hand_event *event = &row->events[at];
    to->labels.count = 0;
    for (size_t i = 0; i < from->labels.count; i++) {
        const struct label *label = &from->labels.items[i];
        bool chosen = at >= row->count, given = event->given || chosen;
        bool hand = chosen ? label->head >> (at - row->count) & 1 : event->turned;
        for (int turned = 0; turned < 2; turned++)
            if (!given || hand == turned)
                add_choice(search, to, label, at, turned);
    }
}

static int compare_order(const void *a, const void *b)
{
    const struct label *const *x = a, *const *y = b;
    return ((*x)->order > (*y)->order) - ((*x)->order < (*y)->order);
}

/* Small numbers in the same order, before they become too large. */
static void number_again(struct layer *layer)
{
    struct label *by_order[LABELS_MOST];
    for (size_t i = 0; i < layer->labels.count; i++)
        by_order[i] = &layer->labels.items[i];
    qsort(by_order, layer->labels.count, sizeof *by_order, compare_order);
    for (size_t i = 0; i < layer->labels.count; i++)
        by_order[i]->order = i;
}

static void take_choices(const struct search *search, struct hand_row *row,
                         const struct layer *last)
{
    const struct label *best = last->labels.items;
    for (size_t i = 1; i < last->labels.count; i++)
        if (is_cheaper(&last->labels.items[i], best))
            best = &last->labels.items[i];
    uint32_t step = best->step;
    for (size_t i = search->trial.end; i-- > 0; step = search->steps.items[step].before)
        if (i < row->count)
            row->events[i].turned = search->steps.items[step].turned;
}

static struct pace pace_of(const struct hand_row *row)
{
    enum { MINUTE_US = 60000000 };
    return (struct pace){row->quarter * row->tempo.numerator, MINUTE_US * row->tempo.denominator,
                         false};
}

/* False where all labels have been dropped. */
static bool run(struct search *search, struct hand_row *row)
{
    enum { ORDER_BITS = 48 };
    size_t end = search->trial.end, most = LABELS_IN_ALL / end;
    most = most > LABELS_MOST ? LABELS_MOST : most < LABELS_LEAST ? LABELS_LEAST : most;
    struct layer layers[2] = {{.most = most}, {.most = most}};
    struct label first;
    search->steps.count = 0;
    trial_start(&search->trial, &first);
    add_label(&layers[0], &first);
    for (size_t at = 0; at < end; at++) {
        struct layer *to = &layers[(at + 1) & 1];
        expand(search, &layers[at & 1], to, at);
        if ((at + 1) % ORDER_BITS == 0)
            number_again(to);
    }
    const struct layer *last = &layers[end & 1];
    bool found = last->labels.count > 0;
    if (found)
        take_choices(search, row, last);
    release_layer(&layers[0]);
    release_layer(&layers[1]);
    return found;
}

/* How many events of the repeat it takes, more than are heeded, to see one more stroke that breaks
   a limit there and not before; 0: there is none. */
static size_t repeat_breaks(struct trial *trial, const struct hand_row *row, size_t heeded)
{
    struct label label, end;
    uint32_t breaks = 0;
    trial->again_once = true;
    trial_set(trial, trial->pace, 0, row->count + row->repeated);
    trial_start(trial, &label);
    for (size_t i = 0; i < row->count + row->repeated; i++) {
        trial_push(trial, &label, i, row->events[hands_written(row, i)].turned);
        if (i + 1 < row->count + heeded)
            continue;
        label_copy(&end, &label);
        trial_close(trial, &end);
        if (i + 1 == row->count + heeded)
            breaks = end.breaks;
        else if (end.breaks > breaks)
            return i + 1 - row->count;
    }
    return 0;
}

/* How many events of the repeat to look at next, of those that it takes: not one more each time. */
static size_t more_heeded(const struct hand_row *row, size_t heeded, size_t needed)
{
    size_t most = row->repeated < HEAD_MOST ? row->repeated : HEAD_MOST;
    size_t more = needed > 2 * heeded ? needed : 2 * heeded;
    return more < most ? more : most;
}

void hands_within(struct hand_row *row, const struct reach *reach)
{
    if (!row->count || !row->tempo.numerator)
        return;
    struct search search = {.prices = hands_habit_prices(row, reach)};
    size_t needed = 0;
    trial_begin(&search.trial, row, reach);
    do {
        search.heeded = needed ? more_heeded(row, search.heeded, needed) : 0;
        search.trial.again_once = needed > 0;
        trial_set(&search.trial, pace_of(row), 0, row->count + search.heeded);
        search.forbid = true;
        if (!run(&search, row)) {
            search.forbid = false;
            run(&search, row);
        }
        needed = repeat_breaks(&search.trial, row, search.heeded);
    } while (needed && needed <= HEAD_MOST);
    trial_end(&search.trial);
    hands_habit_release(&search.prices);
    vector_release(&search.steps);
}

bool hands_fit(const struct hand_row *row, const struct reach *reach)
{
    struct trial trial;
    struct label label;
    size_t end = row->count + row->repeated;
    if (!row->count || !row->tempo.numerator)
        return true;
    trial_begin(&trial, row, reach);
    trial_set(&trial, pace_of(row), 0, end);
    trial_start(&trial, &label);
    for (size_t i = 0; i < end && !label.breaks; i++)
        trial_push(&trial, &label, i, row->events[hands_written(row, i)].turned);
    trial_close(&trial, &label);
    trial_end(&trial);
    return !label.breaks;
}
