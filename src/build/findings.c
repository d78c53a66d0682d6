/* Reports once what every bar of an exercise would repeat, and enforces a lesson's limits. */
#include "build/build_int.h"

bool builder_report_once(struct builder *builder, const void *key)
{
    for (size_t i = 0; i < builder->reported.count; i++)
        if (builder->reported.items[i] == key)
            return false;
    if (builder->reported.count < DIAGS_LIMIT)
        *vector_push(&builder->reported, builder->arena) = key;
    return true;
}

bool builder_count(struct builder *builder, size_t more, struct place at)
{
    builder->counts += more;
    if (builder->counts <= LESSON_COUNTS_MAX)
        return true;
    if (!builder->over_limit) {
        diag_add(builder->diags, DIAG_LIMIT, at, "the lesson has more than %d counts here",
                 LESSON_COUNTS_MAX);
        diag_expected(builder->diags,
                      "fewer counts, or fewer bars: each count is looked up in every bar");
    }
    builder->over_limit = true;
    return false;
}
