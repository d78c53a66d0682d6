/* Growing rows, and the binary search. */
#include "base/vector.h"
#include "suite.h"

#include <check.h>
#include <setjmp.h>
#include <stdint.h>

START_TEST(a_row_keeps_its_items_as_it_grows)
{
    struct arena *arenas[] = {arena_new(), NULL};
    for (int i = 0; i < 2; i++) {
        VECTOR(uint32_t) numbers = {0};
        for (uint32_t number = 0; number < 10000; number++) {
            *vector_push(&numbers, arenas[i]) = number * number;
            if (number % 100 == 0 && arenas[i])
                arena_alloc(arenas[i], 1); /* then the row has to move to grow */
        }
        ck_assert_uint_eq(numbers.count, 10000);
        for (uint32_t number = 0; number < 10000; number++)
            ck_assert_uint_eq(numbers.items[number], number * number);
        if (!arenas[i])
            vector_release(&numbers);
    }
    arena_free(arenas[0]);
}
END_TEST

START_TEST(a_pushed_item_is_zero_in_memory_that_was_used_before)
{
    struct arena *arena = arena_new();
    memset(arena_alloc(arena, 4000), 0xFF, 4000);
    arena_reset(arena);
    VECTOR(uint64_t) numbers = {0};
    for (int i = 0; i < 100; i++)
        ck_assert_uint_eq(*vector_push(&numbers, arena), 0);
    arena_free(arena);
}
END_TEST

START_TEST(a_released_row_is_empty_and_can_be_filled_again)
{
    VECTOR(int) row = {0};
    for (int round = 0; round < 2; round++) {
        *vector_push(&row, NULL) = 7;
        ck_assert_uint_eq(row.count, 1);
        vector_release(&row);
        ck_assert_ptr_null(row.items);
        ck_assert_uint_eq(row.count + row.room, 0);
    }
}
END_TEST

START_TEST(reserved_room_keeps_addresses)
{
    VECTOR(int) row = {0};
    *vector_push(&row, NULL) = 1;
    vector_reserve(&row, 1000, NULL);
    int *first = row.items;
    ck_assert_int_eq(*first, 1);
    while (row.count < 1000)
        *vector_push(&row, NULL) = 2;
    vector_reserve(&row, 10, NULL); /* less than there is: nothing happens */
    ck_assert_ptr_eq(row.items, first);
    vector_release(&row);
}
END_TEST

static int by_value(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

START_TEST(rows_are_sorted_and_empty_ones_are_left_alone)
{
    VECTOR(int) row = {0};
    vector_sort(&row, by_value);
    for (int i = 0; i < 50; i++)
        *vector_push(&row, NULL) = i * 7 % 50;
    vector_sort(&row, by_value);
    for (int i = 0; i < 50; i++)
        ck_assert_int_eq(row.items[i], i);
    vector_release(&row);
}
END_TEST

/* Against counting them one by one: rows of 0 to 20 items, with equal ones among them. */
START_TEST(the_lower_bound_is_the_number_of_items_before)
{
    for (size_t count = 0; count <= 20; count++) {
        int row[20];
        for (size_t i = 0; i < count; i++)
            row[i] = (int)i / 3 * 2;
        for (int wanted = -1; wanted <= 15; wanted++) {
            size_t less = 0, at;
            while (less < count && row[less] < wanted)
                less++;
            lower_bound(at, 0, count, row[at] < wanted);
            ck_assert_uint_eq(at, less);
            if (count >= 5) {
                lower_bound(at, 2, count - 2, row[at] < wanted);
                ck_assert_uint_eq(at, less < 2 ? 2 : less > count - 2 ? count - 2 : less);
            }
        }
    }
}
END_TEST

static jmp_buf out_of_memory;

static void on_exhaustion(size_t wanted)
{
    (void)wanted;
    longjmp(out_of_memory, 1);
}

START_TEST(room_that_does_not_fit_the_machine_is_exhaustion)
{
    VECTOR(uint64_t) row = {0};
    memory_on_exhaustion(on_exhaustion);
    if (setjmp(out_of_memory) == 0) {
        vector_reserve(&row, SIZE_MAX / 4, NULL);
        ck_abort_msg("a row larger than memory was given out");
    }
    memory_on_exhaustion(NULL);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("vector");
    tcase_add_test(cases, a_row_keeps_its_items_as_it_grows);
    tcase_add_test(cases, a_pushed_item_is_zero_in_memory_that_was_used_before);
    tcase_add_test(cases, a_released_row_is_empty_and_can_be_filled_again);
    tcase_add_test(cases, reserved_room_keeps_addresses);
    tcase_add_test(cases, rows_are_sorted_and_empty_ones_are_left_alone);
    tcase_add_test(cases, the_lower_bound_is_the_number_of_items_before);
    tcase_add_test(cases, room_that_does_not_fit_the_machine_is_exhaustion);
    Suite *suite = suite_create("vector");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
