/* Whether the jump of an exercise leads somewhere, and comes to an end. */
#include "build/build_int.h"

#include "model/jumps.h"

/* Where a bar's signs have the place of each kind. */
static const struct place *sign_place(const struct bar_signs *signs, size_t offset)
{
    return (const struct place *)((const char *)signs + offset);
}

static const struct sign_kind {
    size_t place, index; /* in struct bar_signs; in struct jumps */
    const char *name;
} kinds[] = {
    {offsetof(struct bar_signs, jump.at), offsetof(struct jumps, jump), "jump"},
    {offsetof(struct bar_signs, segno), offsetof(struct jumps, segno), "segno"},
    {offsetof(struct bar_signs, coda), offsetof(struct jumps, coda), "coda"},
    {offsetof(struct bar_signs, to_coda), offsetof(struct jumps, to_coda), "to: coda"},
    {offsetof(struct bar_signs, fine), offsetof(struct jumps, fine), "fine"},
};
enum { KIND_JUMP, KIND_SEGNO, KIND_CODA, KIND_TO_CODA, KIND_FINE, KIND_COUNT };

/* An exercise's jump on its way through the checks. */
struct jump_check {
    struct diags *diags;
    const struct score_exercise *exercise;
    struct jumps jumps;
    const struct jump *jump; /* NULL: none */
};

static uint32_t bar_of(const struct jump_check *check, int kind)
{
    return *(const uint32_t *)((const char *)&check->jumps + kinds[kind].index);
}

static struct place place_of(const struct jump_check *check, int kind)
{
    uint32_t bar = bar_of(check, kind);
    return *sign_place(check->exercise->bars[bar].signs, kinds[kind].place);
}

static bool report(const struct jump_check *check, enum diag_code code, struct place at,
                   const char *message, const char *expected)
{
    diag_add(check->diags, code, at, "%s", message);
    diag_expected(check->diags, "%s", expected);
    return false;
}

/* Each sign once, and none in an ending. */
static bool check_single(const struct jump_check *check, int kind)
{
    uint32_t last = bar_of(check, kind);
    for (uint32_t b = 0; b < check->exercise->bar_count; b++) {
        const struct score_bar *bar = &check->exercise->bars[b];
        const struct place *at = bar->signs ? sign_place(bar->signs, kinds[kind].place) : NULL;
        if (!at || !at->file)
            continue;
        if (bar->ending) {
            diag_add(check->diags, DIAG_CONFLICT, *at, "'%s' inside an ending", kinds[kind].name);
            diag_expected(check->diags, "jumps in exercises without endings");
            return false;
        }
        if (b != last) {
            diag_add(check->diags, DIAG_CONFLICT, place_of(check, kind), "'%s' twice",
                     kinds[kind].name);
            diag_expected(check->diags, "one jump in an exercise, and each of its signs once");
            diag_other(check->diags, *at, "the first one is here");
            return false;
        }
    }
    return true;
}

/* Every sign has a jump that leads to it. */
static bool check_led_to(const struct jump_check *check, int kind, bool led, const char *expected)
{
    if (led || bar_of(check, kind) == NO_BAR)
        return true;
    diag_add(check->diags, DIAG_CONFLICT, place_of(check, kind), "no jump leads to this '%s'",
             kinds[kind].name);
    diag_expected(check->diags, "%s", expected);
    return false;
}

static bool check_targets(const struct jump_check *check)
{
    const struct jump *jump = check->jump;
    bool coda = jump && jump->by_coda;
    bool good = check_led_to(check, KIND_SEGNO, jump && jump->to_segno,
                             "'jump: D.S.' at the end of a later bar");
    good &= check_led_to(check, KIND_CODA, coda,
                         "'jump: D.S. al coda' or 'jump: D.C. al coda' in a bar before it");
    good &= check_led_to(check, KIND_TO_CODA, coda,
                         "'jump: D.S. al coda' or 'jump: D.C. al coda' in the same or a later bar");
    good &= check_led_to(check, KIND_FINE, jump && !coda,
                         "'jump: D.S. al fine' or 'jump: D.C. al fine' in a later bar");
    return good;
}

static bool has(const struct jump_check *check, int kind)
{
    return bar_of(check, kind) != NO_BAR;
}

/* The jump has what it names. */
static bool check_names(const struct jump_check *check)
{
    struct place at = check->jump->at;
    if (check->jump->to_segno && !has(check, KIND_SEGNO))
        return report(check, DIAG_MISSING_KEY, at, "D.S. without a segno to go to",
                      "'segno: yes' in the bar where it goes");
    if (check->jump->by_coda && !has(check, KIND_CODA))
        return report(check, DIAG_MISSING_KEY, at, "'al coda' without a coda",
                      "'coda: yes' in a bar after the jump");
    if (check->jump->by_coda && !has(check, KIND_TO_CODA))
        return report(check, DIAG_MISSING_KEY, at,
                      "'al coda', but no bar says where to leave for the coda",
                      "'to: coda' in a bar before the jump");
    if (!check->jump->by_coda && !has(check, KIND_FINE))
        return report(check, DIAG_MISSING_KEY, at,
                      "a jump without a fine to end at: it would go round for ever",
                      "'fine: yes' in the bar where the music ends");
    return true;
}

/* What leaves the bars after a jump lies in them, so that the jump is not met again; and no bar is
   passed over for good. */
static bool check_way(const struct jump_check *check)
{
    const struct jumps *jumps = &check->jumps;
    uint32_t from = check->jump->to_segno ? jumps->segno : 0, bars = 0;
    int leaves = check->jump->by_coda ? KIND_TO_CODA : KIND_FINE;
    uint32_t leave = bar_of(check, leaves);
    if (from > jumps->jump)
        return report(check, DIAG_CONFLICT, place_of(check, KIND_SEGNO),
                      "a segno after the jump that goes to it", "the segno before the jump");
    if (leave < from || leave > jumps->jump)
        return report(check, DIAG_CONFLICT, place_of(check, leaves),
                      "a jump that goes round for ever: it never reaches this sign",
                      "this sign between where the jump goes and the jump itself");
    if (check->jump->by_coda && jumps->coda <= jumps->jump)
        return report(check, DIAG_CONFLICT, place_of(check, KIND_CODA),
                      "a jump that goes round for ever: the coda leads to it again",
                      "the coda after the jump");
    bars = check->jump->by_coda ? jumps->coda : (uint32_t)check->exercise->bar_count;
    if (bars != jumps->jump + 1)
        return report(check, DIAG_CONFLICT, check->exercise->bars[jumps->jump + 1].at,
                      "a bar that is never played: the jump is before it, and nothing leads here",
                      check->jump->by_coda ? "the coda right after the jump"
                                           : "no bar after the jump");
    return true;
}

/* A jump out of the middle of a repeat would leave it the first time. */
static bool check_repeats(const struct jump_check *check)
{
    bool inside = false;
    for (uint32_t b = 0; b <= check->jumps.jump; b++) {
        const struct score_bar *bar = &check->exercise->bars[b];
        inside |= bar->repeat_begins;
        if (bar->repeat_ends && b < check->jumps.jump)
            inside = false;
    }
    if (!inside || check->exercise->bars[check->jumps.jump].repeat_ends)
        return true;
    return report(check, DIAG_CONFLICT, check->jump->at, "a jump out of the middle of a repeat",
                  "the jump in the last bar of the repeat, or after it");
}

void jumps_check(struct exercise_builder *exercise)
{
    const struct score_exercise *out = exercise->out;
    struct jump_check check = {
        .diags = exercise->builder->diags, .exercise = out, .jumps = jumps_of(out)};
    bool good = !exercise->incomplete;
    if (check.jumps.jump != NO_BAR)
        check.jump = &out->bars[check.jumps.jump].signs->jump;
    for (int kind = 0; good && kind < KIND_COUNT; kind++)
        good = !has(&check, kind) || check_single(&check, kind);
    if (!good || !check_targets(&check) || !check.jump)
        return;
    if (check_names(&check) && check_repeats(&check))
        check_way(&check);
}
