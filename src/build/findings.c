/* Findings that each bar of an exercise would repeat are reported once. */
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
