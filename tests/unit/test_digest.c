/* BLAKE2b of 128 bits, against coreutils' `b2sum -l 128`, which the lines below are from. */
#include "base/digest.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>

static void expect(const void *bytes, size_t length, const char *letters)
{
    char found[DIGEST_LETTERS + 1];
    digest_write(digest_of(bytes, length), found);
    ck_assert_str_eq(found, letters);
}

START_TEST(agrees_with_b2sum)
{
    static const struct {
        size_t length;
        const char *letters;
    } rows[] = {
        {0, "cae66941d9efbd404e4d88758ea67670"},      {128, "8e0cf9bb1b36fa6c42aa6490f719b575"},
        {129, "6cefde50e4008690e61cf8225d101256"},    {300, "636641af584d2b29992856b0a1386c59"},
        {100000, "2f3199b6a34e7333afc1ece40990a6a3"},
    };
    static uint8_t bytes[100000];
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (uint8_t)(i * 7 + 3);
    expect("abc", 3, "cf4ab791c62b8d2b2109c90275287816");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect(bytes, rows[i].length, rows[i].letters);
}
END_TEST

START_TEST(pieces_make_no_difference)
{
    uint8_t bytes[700] = {1, 2, 3};
    struct digest whole = digest_of(bytes, sizeof bytes);
    for (size_t piece = 1; piece < sizeof bytes; piece += 31) {
        struct digester digester = digester_begin();
        for (size_t at = 0; at < sizeof bytes; at += piece)
            digester_add(&digester, bytes + at,
                         piece < sizeof bytes - at ? piece : sizeof bytes - at);
        ck_assert(digest_equal(digester_end(&digester), whole));
    }
    bytes[699] = 1;
    ck_assert(!digest_equal(digest_of(bytes, sizeof bytes), whole));
}
END_TEST

START_TEST(comes_back_from_its_letters)
{
    struct digest digest = digest_of("RLRR", 4), again;
    char letters[DIGEST_LETTERS + 1];
    digest_write(digest, letters);
    ck_assert(digest_read(letters, DIGEST_LETTERS, &again) && digest_equal(digest, again));
    ck_assert(!digest_read(letters, DIGEST_LETTERS - 1, &again));
    letters[31] = 'g';
    ck_assert(!digest_read(letters, DIGEST_LETTERS, &again));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("digest");
    TCase *tests = tcase_create("digest");
    tcase_add_test(tests, agrees_with_b2sum);
    tcase_add_test(tests, pieces_make_no_difference);
    tcase_add_test(tests, comes_back_from_its_letters);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
