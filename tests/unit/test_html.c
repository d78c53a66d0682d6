/* Text of others in HTML and addresses: nothing of it can be anything else. */
#include "base/html_text.h"
#include "suite.h"

#include <check.h>
#include <string.h>

static void expect(void (*add)(struct buffer *out, const char *text), const char *text,
                   const char *expected)
{
    struct buffer out = {0};
    add(&out, text);
    ck_assert_str_eq(buffer_text(&out), expected);
    buffer_release(&out);
}

START_TEST(signs_of_html_are_written_as_entities)
{
    expect(html_text, "<script>\"&amp;\" 'x'</script>",
           "&lt;script&gt;&quot;&amp;amp;&quot; 'x'&lt;/script&gt;");
    expect(html_text, "", "");
}
END_TEST

START_TEST(letters_of_all_scripts_stay)
{
    expect(html_text, "Caf\303\251 \327\220\327\221 \346\274\242",
           "Caf\303\251 \327\220\327\221 \346\274\242");
}
END_TEST

#define REPLACEMENT "\357\277\275" /* U+FFFD */

START_TEST(what_could_steer_is_replaced)
{
    expect(html_text, "a\nb\033[2J", "a" REPLACEMENT "b" REPLACEMENT "[2J");
    expect(html_text, "a\342\200\256b", "a" REPLACEMENT "b"); /* U+202E */
    expect(html_text, "a\377b\303", "a" REPLACEMENT "b" REPLACEMENT);
}
END_TEST

/* RFC 3986, 2.3: unreserved are letters, digits and "-._~"; all else is written by its number. */
START_TEST(addresses_hold_nothing_but_unreserved_signs)
{
    expect(buffer_add_uri, "week 2/a#b?c&d=e\"f'.pdf", "week%202/a%23b%3Fc%26d%3De%22f%27.pdf");
    expect(buffer_add_uri, "javascript:alert(1)", "javascript%3Aalert%281%29");
    expect(buffer_add_uri, "\303\251\377%\n", "%C3%A9%FF%25%0A");
    for (int byte = 1; byte < 256; byte++) {
        char text[2] = {(char)byte, 0};
        struct buffer out = {0};
        buffer_add_uri(&out, text);
        static const char plain[] =
            "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~/";
        ck_assert_uint_eq(out.length, strchr(plain, byte) ? 1 : 3);
        buffer_release(&out);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("html");
    TCase *tests = tcase_create("html");
    tcase_add_test(tests, signs_of_html_are_written_as_entities);
    tcase_add_test(tests, letters_of_all_scripts_stay);
    tcase_add_test(tests, what_could_steer_is_replaced);
    tcase_add_test(tests, addresses_hold_nothing_but_unreserved_signs);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
