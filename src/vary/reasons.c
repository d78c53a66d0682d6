#include "vary/reasons.h"

#include "base/buffer.h"

/* ---- the limits --------------------------------------------------------------------------- */

/* The column of a limit from LIMIT_KEPT on; NULL: there is none of that number. */
static const struct vary_column *kept_column(const struct space *space, int limit)
{
    limit -= LIMIT_KEPT;
    for (size_t i = 0; i < space->columns->count; i++) {
        const struct vary_column *column = &space->columns->items[i];
        if ((column->kept || column->keep) && limit-- == 0)
            return column;
    }
    return NULL;
}

static bool is_of_foot(const struct vary_column *column, int part)
{
    return column->kept & 1u << (part == PART_KICK ? VARY_KICK : VARY_HAT_FOOT);
}

/* Whether a limit can matter for a part of the space. */
static bool concerns(const struct space *space, int limit, int part)
{
    static const int parts[VARY_PARTS] = {PART_HANDS, PART_HANDS, PART_KICK, PART_HAT};
    const struct vary_column *column = kept_column(space, limit);
    if (limit < VARY_PARTS)
        return parts[limit] == part && space->vary->choices[limit].count_at.file;
    return column && (part == PART_HANDS ? column->keep != NULL : is_of_foot(column, part));
}

/* ---- which are to blame ------------------------------------------------------------------- */

/* Whether these limits alone, of those that matter, leave a part empty. */
static bool is_empty(struct space *space, int part, uint64_t all, uint64_t holding)
{
    mpz_t count;
    mpz_init(count);
    space_count_part(space, part, all & ~holding, count);
    bool empty = mpz_sgn(count) == 0;
    mpz_clear(count);
    return empty;
}

/* A trial takes about as long as the columns squared. */
enum { TRIALS_MAX = 4000, TRIALS_WORK_MAX = 40000000 };

struct search {
    struct space *space;
    int part;
    uint64_t all;
    size_t trials, most; /* made so far, and how many can be made */
};

/* Looks for a set with `more` limits, from `limit` on, beside those that are `chosen`; 0: none, or
   too many to try. */
static uint64_t find_set(struct search *search, uint64_t chosen, int limit, int more)
{
    if (more == 0) {
        bool tried = search->trials++ < search->most;
        return tried && is_empty(search->space, search->part, search->all, chosen) ? chosen : 0;
    }
    for (uint64_t found; limit < LIMITS_MAX; limit++) {
        if (!(search->all >> limit & 1))
            continue;
        found = find_set(search, chosen | UINT64_C(1) << limit, limit + 1, more - 1);
        if (found || search->trials > search->most)
            return found;
    }
    return 0;
}

/* Where there are too many sets to try: leaves out what need not hold. */
static uint64_t reduce(struct search *search)
{
    uint64_t holding = search->all;
    for (int limit = 0; limit < LIMITS_MAX; limit++) {
        uint64_t less = holding & ~(UINT64_C(1) << limit);
        if (less != holding && is_empty(search->space, search->part, search->all, less))
            holding = less;
    }
    return holding;
}

static uint64_t find_in_part(struct space *space, int part)
{
    size_t columns = space->columns->count, most = TRIALS_WORK_MAX / (columns * columns + 1);
    struct search search = {
        .space = space, .part = part, .most = most < TRIALS_MAX ? most : TRIALS_MAX};
    int count = 0;
    for (int limit = 0; limit < LIMITS_MAX; limit++)
        if (concerns(space, limit, part)) {
            search.all |= UINT64_C(1) << limit;
            count++;
        }
    if (!is_empty(space, part, search.all, search.all))
        return 0;
    for (int size = 1; size <= count && search.trials <= search.most; size++) {
        uint64_t found = find_set(&search, 0, 0, size);
        if (found)
            return found;
    }
    return reduce(&search);
}

uint64_t reasons_find(struct space *space)
{
    uint64_t found = 0;
    for (int part = 0; part < PARTS && !found; part++)
        found = find_in_part(space, part);
    return found;
}

/* ---- in words ----------------------------------------------------------------------------- */

static void add_count(const struct space *space, int part, struct buffer *out)
{
    static const char *const words[VARY_PARTS][2] = {[VARY_ACCENTS] = {"accent", "accents"},
                                                     [VARY_GHOSTS] = {"ghost", "ghosts"},
                                                     [VARY_KICK] = {"kick", "kicks"},
                                                     [VARY_HAT_FOOT] = {"hat-foot", "hat-foots"}};
    const struct vary_choice *choice = &space->vary->choices[part];
    const char *word = words[part][choice->most != 1];
    if (choice->least == choice->most)
        buffer_format(out, "%u %s", choice->least, word);
    else
        buffer_format(out, "%u to %u %s", choice->least, choice->most, word);
}

static void add_kept(const struct space *space, const struct vary_column *column,
                     struct buffer *out)
{
    const struct voice *voices = space->lesson->kit.voices;
    buffer_add_text(out, "the");
    for (size_t i = 0; column->keep && i < column->keep->voice_count; i++)
        buffer_format(out, "%s %s", i ? " and" : "", voices[column->keep->voices[i]].name);
    if (column->kept & 1u << VARY_ACCENTS)
        buffer_add_text(out, " accent");
    if (column->kept & 1u << VARY_GHOSTS)
        buffer_add_text(out, " ghost");
    if (column->kept & 1u << VARY_KICK)
        buffer_add_text(out, " kick");
    if (column->kept & 1u << VARY_HAT_FOOT)
        buffer_add_text(out, " hat-foot");
    if (space->columns->bars > 1)
        buffer_format(out, " kept on %s of bar %u", column->name, column->bar + 1);
    else
        buffer_format(out, " kept on %s", column->name);
}

const char *reasons_words(const struct space *space, uint64_t limits)
{
    struct buffer out = {0};
    for (int limit = 0; limit < LIMITS_MAX; limit++) {
        if (!(limits >> limit & 1))
            continue;
        bool last = limits >> limit == 1;
        buffer_add_text(&out, !out.length ? "" : last ? " and " : ", ");
        if (limit < VARY_PARTS)
            add_count(space, limit, &out);
        else
            add_kept(space, kept_column(space, limit), &out);
    }
    return buffer_keep(&out, space->arena);
}

struct place reasons_place(const struct space *space, uint64_t limits)
{
    for (int part = 0; part < VARY_PARTS; part++)
        if (limits >> part & 1)
            return space->vary->choices[part].count_at;
    return limits ? space->vary->keep.at : space->vary->at;
}
