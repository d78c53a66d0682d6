/* The hash table: what is added is found, on an arena and on the heap, and nothing else is. */
#include "base/table.h"
#include "base/vector.h"
#include "suite.h"

#include <check.h>
#include <stdint.h>
#include <stdio.h>

struct words {
    struct table table;
    VECTOR(const char *) row;
};

static bool find_word(const struct words *words, const char *word, size_t *found)
{
    struct table_search search = table_search(&words->table, hash_text(word));
    while (table_next(&search, found))
        if (strcmp(words->row.items[*found], word) == 0)
            return true;
    return false;
}

static void add_word(struct words *words, const char *word, struct arena *arena)
{
    table_add(&words->table, hash_text(word), words->row.count, arena);
    *vector_push(&words->row, arena) = word;
}

static void release_words(struct words *words)
{
    table_release(&words->table);
    vector_release(&words->row);
}

static const char *numbered(struct arena *arena, int number)
{
    return arena_format(arena, "%d word %d", number % 10, number);
}

START_TEST(an_empty_table_finds_nothing_and_owns_nothing)
{
    struct words words = {0};
    size_t found;
    ck_assert(!find_word(&words, "snare", &found));
    table_clear(&words.table);
    ck_assert_ptr_null(words.table.slots);
}
END_TEST

START_TEST(all_that_was_added_is_found_by_its_number)
{
    enum { MANY = 20000 };
    struct arena *texts = arena_new(), *arenas[] = {arena_new(), NULL};
    for (int i = 0; i < 2; i++) {
        struct words words = {0};
        size_t found;
        for (int number = 0; number < MANY; number++) {
            const char *word = numbered(texts, number);
            ck_assert(!find_word(&words, word, &found));
            add_word(&words, word, arenas[i]);
        }
        for (int number = 0; number < MANY; number++) {
            ck_assert(find_word(&words, numbered(texts, number), &found));
            ck_assert_uint_eq(found, (size_t)number);
        }
        ck_assert(!find_word(&words, numbered(texts, MANY), &found));
        if (!arenas[i])
            release_words(&words);
    }
    arena_free(arenas[0]);
    arena_free(texts);
}
END_TEST

/* Only the caller can tell different keys of one hash apart. */
START_TEST(a_search_yields_all_of_one_hash_and_ends)
{
    struct table table = {0};
    for (size_t number = 0; number < 1000; number++)
        table_add(&table, hash_number(number % 10), number, NULL);
    struct table_search search = table_search(&table, hash_number(3));
    bool seen[1000] = {false};
    size_t count = 0;
    for (size_t number; table_next(&search, &number); count++) {
        ck_assert_uint_eq(number % 10, 3);
        ck_assert(!seen[number]);
        seen[number] = true;
    }
    ck_assert_uint_eq(count, 100);
    table_release(&table);
}
END_TEST

START_TEST(a_cleared_table_keeps_its_room_and_a_released_one_nothing)
{
    struct words words = {0};
    size_t found;
    add_word(&words, "snare", NULL);
    struct table_slot *slots = words.table.slots;
    table_clear(&words.table);
    ck_assert(!find_word(&words, "snare", &found));
    words.row.count = 0;
    add_word(&words, "snare", NULL);
    ck_assert(find_word(&words, "snare", &found));
    ck_assert_ptr_eq(words.table.slots, slots);
    release_words(&words);
    ck_assert(!find_word(&words, "snare", &found));
    ck_assert_uint_eq(words.table.room, 0);
}
END_TEST

START_TEST(slots_are_free_in_memory_that_was_used_before)
{
    struct arena *arena = arena_new();
    memset(arena_alloc(arena, 4000), 0xFF, 4000);
    arena_reset(arena);
    struct words words = {0};
    size_t found;
    add_word(&words, "snare", arena);
    ck_assert(!find_word(&words, "ride", &found));
    arena_free(arena);
}
END_TEST

/* What separates two keys may stand at any of their bytes. */
START_TEST(hashes_see_each_byte_and_the_length)
{
    unsigned char bytes[24] = {0};
    for (size_t length = 0; length <= sizeof bytes; length++) {
        uint64_t plain = hash_bytes(bytes, length);
        for (size_t i = 0; i < length; i++) {
            bytes[i] = 1;
            ck_assert_uint_ne(table_short_hash(hash_bytes(bytes, length)), table_short_hash(plain));
            bytes[i] = 0;
        }
        if (length)
            ck_assert_uint_ne(plain, hash_bytes(bytes, length - 1));
    }
    ck_assert_uint_eq(hash_text("ride"), hash_bytes("ride", 4));
    ck_assert_uint_ne(hash_join(hash_number(1), 2), hash_join(hash_number(2), 1));
}
END_TEST

/* How many of the 2^`bits` slots the hashes of n keys, base + i * step, fall on. */
static size_t slots_taken(uint64_t step, size_t n, unsigned bits)
{
    bool taken[1 << 12] = {false};
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        size_t slot = table_short_hash(hash_number(i * step)) & (((size_t)1 << bits) - 1);
        count += !taken[slot];
        taken[slot] = true;
    }
    return count;
}

/* Keys that differ in a few bits only, low or high ones, as addresses and packed texts do. By
   chance n keys on 2n slots take 0.787 n of them (n = 2048: 1 - e^-1/2 of 4096). */
START_TEST(neighbouring_integers_are_spread_wherever_they_differ)
{
    for (unsigned shift = 0; shift <= 52; shift++)
        ck_assert_uint_gt(slots_taken((uint64_t)1 << shift, 2048, 12), 2048 * 7 / 10);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("table");
    tcase_add_test(cases, an_empty_table_finds_nothing_and_owns_nothing);
    tcase_add_test(cases, all_that_was_added_is_found_by_its_number);
    tcase_add_test(cases, a_search_yields_all_of_one_hash_and_ends);
    tcase_add_test(cases, a_cleared_table_keeps_its_room_and_a_released_one_nothing);
    tcase_add_test(cases, slots_are_free_in_memory_that_was_used_before);
    tcase_add_test(cases, hashes_see_each_byte_and_the_length);
    tcase_add_test(cases, neighbouring_integers_are_spread_wherever_they_differ);
    Suite *suite = suite_create("table");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
