/* The schema says something about every key of the reader's tables. */
#include "base/buffer.h"
#include "read/read.h"
#include "suite.h"

#include <check.h>
#include <jansson.h>

START_TEST(no_key_is_without_a_shape)
{
    struct buffer missing = {0};
    struct known_key key;
    for (size_t i = 0; read_undescribed(i, &key); i++)
        buffer_format(&missing, " '%s' in '%s'", key.name, key.level);
    ck_assert_msg(missing.length == 0, "no row in src/read/schema.c for%s", buffer_text(&missing));
    buffer_release(&missing);
}
END_TEST

START_TEST(both_are_json)
{
    for (int course = 0; course < 2; course++) {
        struct buffer text = {0};
        read_schema(course, &text);
        json_t *schema = json_loads(buffer_text(&text), JSON_REJECT_DUPLICATES, NULL);
        ck_assert_ptr_nonnull(schema);
        ck_assert_ptr_nonnull(json_object_get(json_object_get(schema, "properties"), "title"));
        json_decref(schema);
        buffer_release(&text);
    }
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("schema");
    tcase_add_test(cases, no_key_is_without_a_shape);
    tcase_add_test(cases, both_are_json);
    Suite *suite = suite_create("schema");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
