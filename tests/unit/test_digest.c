/* BLAKE2b of 256 bits, against coreutils' `b2sum -l 256`, which the lines below are from. */
#include "base/digest.h"

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
        {0, "0e5751c026e543b2e8ab2eb06099daa1d1e5df47778f7787faab45cdf12fe3a8"},
        {128, "f0501d06597880592bc49234eef100ec1ff349058d0e9d9b753504e24af86dd6"},
        {129, "a34a4e1e03c541dfbf3099c4b6c143c022ced65c28bd7e8a10e0a098461aecf0"},
        {300, "3f712d8870a79a34ed4aed7b4e82123cea195af956e7ebef11d8a9d2f644734e"},
        {100000, "20b8634b7228973e5a49a5f6857b7fe2e879a928f797a682928c00eaa8fb7776"},
    };
    static uint8_t bytes[100000];
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (uint8_t)(i * 7 + 3);
    expect("abc", 3, "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
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
    letters[63] = 'g';
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
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
