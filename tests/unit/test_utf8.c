/* UTF-8 as RFC 3629 has it. */
#include "base/utf8.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* The examples of RFC 3629, section 7, and the first and last code point of each length. */
static const struct {
    const char *bytes;
    uint32_t code;
} known[] = {
    {"A", 0x41},
    {"\xE2\x89\xA2", 0x2262}, /* not identical to */
    {"\xCE\x91", 0x391},      /* Greek capital alpha */
    {"\xED\x95\x9C", 0xD55C}, /* Hangul han */
    {"\xE6\x97\xA5", 0x65E5}, /* CJK day */
    {"\xF0\xA3\x8E\xB4", 0x233B4},
    {"\xEF\xBB\xBF", 0xFEFF},
    {"\x7F", 0x7F},
    {"\xC2\x80", 0x80},
    {"\xDF\xBF", 0x7FF},
    {"\xE0\xA0\x80", 0x800},
    {"\xED\x9F\xBF", 0xD7FF},
    {"\xEE\x80\x80", 0xE000},
    {"\xEF\xBF\xBF", 0xFFFF},
    {"\xF0\x90\x80\x80", 0x10000},
    {"\xF4\x8F\xBF\xBF", 0x10FFFF},
};

START_TEST(known_code_points_are_decoded_and_encoded)
{
    uint32_t code = 0;
    char bytes[4];
    size_t size = strlen(known[_i].bytes);
    ck_assert_uint_eq(utf8_decode(known[_i].bytes, size, &code), size);
    ck_assert_uint_eq(code, known[_i].code);
    ck_assert_uint_eq(utf8_encode(known[_i].code, bytes), size);
    ck_assert_mem_eq(bytes, known[_i].bytes, size);
}
END_TEST

/* RFC 3629, sections 3 and 10: overlong forms, surrogates, beyond the range, stray and cut-off
   bytes. */
static const char *const wrong[] = {
    "\x80",
    "\xBF",
    "\xC0\x80",
    "\xC1\xBF",
    "\xE0\x80\x80",
    "\xE0\x9F\xBF",
    "\xED\xA0\x80",
    "\xED\xBF\xBF",
    "\xF0\x80\x80\x80",
    "\xF0\x8F\xBF\xBF",
    "\xF4\x90\x80\x80",
    "\xF5\x80\x80\x80",
    "\xFE",
    "\xFF",
    "\xC3",
    "\xE2\x82",
    "\xF0\x9F\xA5",
    "\xC3\x28",
    "\xE2\x28\xA1",
};

START_TEST(what_is_not_utf8_is_refused)
{
    uint32_t code = 0;
    size_t length = strlen(wrong[_i]);
    ck_assert_uint_eq(utf8_decode(wrong[_i], length, &code), 0);
    ck_assert_uint_eq(utf8_valid_length(wrong[_i], length), 0);
}
END_TEST

START_TEST(every_code_point_comes_back)
{
    for (uint32_t code = 0; code <= 0x10FFFF; code++) {
        char bytes[4];
        uint32_t back = 0;
        size_t size = utf8_encode(code, bytes);
        bool surrogate = code >= 0xD800 && code <= 0xDFFF;
        ck_assert_uint_eq(size == 0, surrogate);
        if (size && (utf8_decode(bytes, size, &back) != size || back != code))
            ck_abort_msg("U+%04X came back as U+%04X", (unsigned)code, (unsigned)back);
    }
    ck_assert_uint_eq(utf8_encode(0x110000, (char[4]){0}), 0);
}
END_TEST

START_TEST(characters_are_counted_and_stray_bytes_with_them)
{
    ck_assert_uint_eq(utf8_count("", 0), 0);
    ck_assert_uint_eq(utf8_count("R\xC3\xA9L", 4), 3);
    ck_assert_uint_eq(utf8_count("\xFFR\xC3", 3), 3);
}
END_TEST

START_TEST(the_valid_part_ends_at_the_first_wrong_byte)
{
    const char text[] = "twelve bytes\xC3\xA9 then\xE2\x82";
    ck_assert_uint_eq(utf8_valid_length(text, sizeof text - 1), 19);
    ck_assert_uint_eq(utf8_valid_length(text, 19), 19);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("utf8");
    tcase_add_loop_test(cases, known_code_points_are_decoded_and_encoded, 0,
                        (int)(sizeof known / sizeof *known));
    tcase_add_loop_test(cases, what_is_not_utf8_is_refused, 0, (int)(sizeof wrong / sizeof *wrong));
    tcase_add_test(cases, every_code_point_comes_back);
    tcase_add_test(cases, characters_are_counted_and_stray_bytes_with_them);
    tcase_add_test(cases, the_valid_part_ends_at_the_first_wrong_byte);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("utf8");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
