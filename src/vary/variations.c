#include "vary/variations.h"

#include "base/buffer.h"
#include "vary/reasons.h"

bool vary_is_here(const struct score_exercise *exercise)
{
    bool second = exercise->left_lead && exercise->source->settings.lead == LEAD_BOTH;
    return exercise->vary && !second;
}

static void explain_empty(struct space *space, struct vary_fault *fault)
{
    uint64_t limits = reasons_find(space);
    const char *words = reasons_words(space, limits);
    bool alone = (limits & (limits - 1)) == 0;
    *fault = (struct vary_fault){.code = DIAG_NO_VARIATION,
                                 .expected = "limits that leave something to vary",
                                 .at = reasons_place(space, limits)};
    if (!limits)
        fault->message = "no variation is possible";
    else if (alone)
        fault->message = arena_format(space->arena, "no variation has %s", words);
    else
        fault->message = arena_format(space->arena, "no variation has all of this: %s", words);
}

bool vary_fault_of(struct space *space, struct vary_fault *fault)
{
    switch (space->fault) {
    case SPACE_TOO_LARGE:
        *fault = (struct vary_fault){
            .code = DIAG_LIMIT,
            .message = "too many strokes, or too many ways to order them, to count the variations",
            .expected = "a shorter sticking, fewer pieces or fewer bars",
            .at = space->vary->at};
        return true;
    case SPACE_NO_ROTATION:
        *fault = (struct vary_fault){
            .code = DIAG_NO_EFFECT,
            .message = "'distinct: rotation' where no rotation of a variation keeps to the limits",
            .expected = "an even grid, and limits that are the same from beat to beat",
            .at = space->vary->distinct_at};
        return true;
    default:
        if (mpz_sgn(space->count) == 0)
            explain_empty(space, fault);
        return mpz_sgn(space->count) == 0;
    }
}

static void check_exercise(const struct score *score, const struct score_exercise *exercise,
                           struct diags *diags)
{
    struct space *space = space_new(score, exercise);
    struct vary_fault fault;
    const struct vary *vary = space->vary;
    if (vary_fault_of(space, &fault)) {
        diag_add(diags, fault.code, fault.at, "%s", fault.message);
        diag_expected(diags, "%s", fault.expected);
    }
    if (mpz_sgn(space->count) > 0)
        diag_add(diags, DIAG_VARIATIONS, vary->at, "%s variation%s%s",
                 space_number(space, space->count), mpz_cmp_ui(space->count, 1) == 0 ? "" : "s",
                 vary->playable
                     ? arena_format(space->arena, ", less those that cannot be played at %u",
                                    vary->playable)
                     : "");
    space_free(space);
}

void vary_check(const struct score *score, struct diags *diags)
{
    for (size_t i = 0; i < score->exercise_count; i++)
        if (vary_is_here(&score->exercises[i]))
            check_exercise(score, &score->exercises[i], diags);
}

void vary_add_versions(struct buffer *out)
{
    buffer_format(out, "gmp %s\n", gmp_version);
}
