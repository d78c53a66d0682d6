/* Memory that lives together: alignment, zeroing, reuse, exhaustion. */
#include "base/arena.h"
#include "suite.h"

#include <check.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

START_TEST(what_it_gives_is_zeroed_aligned_and_apart)
{
    struct arena *arena = arena_new();
    unsigned char *last = NULL;
    for (size_t size = 1; size < 2000; size += 7) {
        unsigned char *memory = arena_alloc(arena, size);
        ck_assert_uint_eq((uintptr_t)memory % _Alignof(max_align_t), 0);
        for (size_t i = 0; i < size; i++)
            ck_assert_uint_eq(memory[i], 0);
        memset(memory, 0xAA, size);
        ck_assert_ptr_ne(memory, last);
        last = memory;
    }
    arena_free(arena);
}
END_TEST

START_TEST(after_a_reset_memory_is_zero_again)
{
    struct arena *arena = arena_new();
    memset(arena_alloc(arena, 5000), 0xFF, 5000);
    memset(arena_alloc(arena, 300000), 0xFF, 300000);
    arena_reset(arena);
    unsigned char *memory = arena_alloc(arena, 5000);
    for (size_t i = 0; i < 5000; i++)
        ck_assert_uint_eq(memory[i], 0);
    arena_free(arena);
}
END_TEST

/* Large blocks begin at a page of 2 MiB where the system has such; nothing else is different. */
START_TEST(an_arena_that_expects_much_gives_the_same)
{
    struct arena *arena = arena_new();
    arena_expect(arena, 5 * 1000 * 1000);
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < 300; i++) {
            unsigned char *memory = arena_alloc(arena, 50000);
            for (size_t byte = 0; byte < 50000; byte += 499)
                ck_assert_uint_eq(memory[byte], 0);
            memset(memory, 0xAA, 50000);
        }
        arena_reset(arena);
    }
    unsigned char *larger = arena_alloc(arena, 20 * 1000 * 1000);
    ck_assert_uint_eq(larger[0] + larger[20 * 1000 * 1000 - 1], 0);
    arena_free(arena);
}
END_TEST

START_TEST(text_and_items_are_copied_and_text_is_formatted)
{
    struct arena *arena = arena_new();
    ck_assert_str_eq(arena_copy_text(arena, "snare drum", 5), "snare");
    ck_assert_str_eq(arena_copy_text(arena, "", 0), "");
    ck_assert_int_eq(((int *)arena_copy(arena, (int[]){1, 2, 3}, 3, sizeof(int)))[2], 3);
    ck_assert_ptr_nonnull(arena_copy(arena, NULL, 0, sizeof(int)));
    ck_assert_str_eq(arena_format(arena, "%d of %s", 3, "four"), "3 of four");
    arena_free(arena);
    arena_free(NULL);
}
END_TEST

static jmp_buf out_of_memory;
static size_t wanted_bytes;

static void on_exhaustion(size_t wanted)
{
    wanted_bytes = wanted;
    longjmp(out_of_memory, 1);
}

/* A product that does not fit must not become a small allocation. */
START_TEST(an_overflowing_array_is_exhaustion)
{
    struct arena *arena = arena_new();
    memory_on_exhaustion(on_exhaustion);
    if (setjmp(out_of_memory) == 0) {
        arena_array(arena, SIZE_MAX / 2, 3);
        ck_abort_msg("an array larger than memory was given out");
    }
    ck_assert_uint_eq(wanted_bytes, SIZE_MAX);
    memory_on_exhaustion(NULL);
    arena_free(arena);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("arena");
    tcase_add_test(cases, what_it_gives_is_zeroed_aligned_and_apart);
    tcase_add_test(cases, after_a_reset_memory_is_zero_again);
    tcase_add_test(cases, an_arena_that_expects_much_gives_the_same);
    tcase_add_test(cases, text_and_items_are_copied_and_text_is_formatted);
    tcase_add_test(cases, an_overflowing_array_is_exhaustion);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("arena");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
