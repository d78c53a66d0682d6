/* The table of trade words: its rows are spelled as they are compared, and lead to names that
   exist. */
#include "model/voice.h"
#include "read/read.h"
#include "read/trade_words.h"
#include "suite.h"

#include <check.h>
#include <ctype.h>
#include <string.h>

static bool is_voice(const char *word)
{
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++)
        if (strcmp(voice_builtin((enum voice_builtin)i)->name, word) == 0)
            return true;
    return false;
}

START_TEST(rows_are_plain_and_found)
{
    for (size_t i = 0; trade_word(i); i++) {
        const char *word = trade_word(i);
        for (const char *at = word; *at; at++)
            ck_assert_msg(islower((unsigned char)*at) || isdigit((unsigned char)*at), "%s", word);
        ck_assert_msg(!is_voice(word), "%s is a voice", word);
        for (size_t k = 0; k < i; k++)
            ck_assert_msg(strcmp(trade_word(k), word) != 0, "%s stands twice", word);
        ck_assert_ptr_nonnull(trade_word_pointer(word, strlen(word)));
    }
    ck_assert_ptr_eq(trade_word_pointer("Side-Drum", 9), trade_word_pointer("sidedrum", 8));
    ck_assert_ptr_null(trade_word_pointer("snare", 5));
    ck_assert_ptr_null(trade_word_pointer("b", 1));
    ck_assert_ptr_null(trade_word_pointer("bdx", 3));
    ck_assert_ptr_null(trade_word_pointer("", 0));
}
END_TEST

/* Words in quotes begin with a key or a voice: 'bass-drum', 'swing: 2/3', 'snare flam: 2 4'. */
START_TEST(pointers_lead_to_names_that_exist)
{
    for (size_t i = 0; trade_word(i); i++) {
        const char *at = trade_word_pointer(trade_word(i), strlen(trade_word(i)));
        size_t quoted = 0;
        for (; (at = strchr(at, '\'')); at = strchr(at + 1, '\'') + 1, quoted++) {
            if (at[1] == '_' || at[1] == '.') /* a sign of a rhythm or a sticking */
                continue;
            size_t length = strcspn(at + 1, " :'");
            ck_assert_msg(is_known_key(at + 1, length), "%s: %s", trade_word(i), at);
        }
        ck_assert_msg(quoted > 0, "%s", trade_word(i));
    }
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("trade words");
    tcase_add_test(cases, rows_are_plain_and_found);
    tcase_add_test(cases, pointers_lead_to_names_that_exist);
    Suite *suite = suite_create("trade words");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
