/* The words of pages in other languages. */
#include "base/arena.h"
#include "model/page_words.h"
#include "model/voice.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const char *const languages[] = {
#define LANGUAGE(tag) #tag,
    LANGUAGES(LANGUAGE)
#undef LANGUAGE
};
enum { LANGUAGE_COUNT = sizeof languages / sizeof *languages };

static const char *const plurals[] = {
#define ONE(one, many) one,
    PAGE_PLURALS(ONE)
#undef ONE
};
static const char *const manys[] = {
#define MANY(one, many) many,
    PAGE_PLURALS(MANY)
#undef MANY
};
enum { PLURAL_COUNT = sizeof plurals / sizeof *plurals };

static bool is_one_of(const char *word, const char *const *words)
{
    for (int i = 0; i < PLURAL_COUNT; i++)
        if (strcmp(words[i], word) == 0)
            return true;
    return false;
}

static void assert_same_numbers(const char *word, const char *english)
{
    static const char *const numbers[] = {"{n}", "{m}"};
    for (int i = 0; i < 2; i++)
        ck_assert_msg(!strstr(word, numbers[i]) == !strstr(english, numbers[i]), "%s: %s", english,
                      word);
}

/* Every word of pages is in every catalogue, with the same numbers; and no catalogue has more. */
START_TEST(every_catalogue_is_complete_and_used)
{
    const unsigned char *catalogue = catalogue_for(languages[_i]);
    ck_assert_ptr_nonnull(catalogue);
    unsigned words = 1; /* the header */
    const char *english;
    for (size_t w = 0; (english = page_word_number(w)); w++) {
        bool plural = is_one_of(english, plurals);
        if (is_one_of(english, manys))
            continue;
        words++;
        for (unsigned form = 0; form < (plural ? 2u : 1u); form++) {
            const char *word = catalogue_find(catalogue, english, form);
            ck_assert_msg(word && *word, "%s has nothing for '%s'", languages[_i], english);
            assert_same_numbers(word, english);
        }
    }
    /* little-endian, as "The Format of GNU MO Files" has it: the number of texts */
    ck_assert_uint_eq(catalogue[8] | catalogue[9] << 8, words);
    ck_assert_ptr_null(catalogue_find(catalogue, "no word of a page", 0));
}
END_TEST

START_TEST(every_catalogue_has_a_rule_that_we_know)
{
    const char *header = catalogue_find(catalogue_for(languages[_i]), "", 0);
    ck_assert_ptr_nonnull(header);
    ck_assert_msg(strstr(header, "nplurals=2; plural=(n > 1);") ||
                      strstr(header, "nplurals=2; plural=(n != 1);"),
                  "%s", header);
}
END_TEST

/* Two rows of VOICES with one spoken name would share a translation. */
START_TEST(words_are_unlike)
{
    const char *one, *other;
    for (size_t i = 0; (one = page_word_number(i)); i++)
        for (size_t j = i + 1; (other = page_word_number(j)); j++)
            ck_assert_str_ne(one, other);
}
END_TEST

static const char *plays(const struct page_words *words, unsigned number)
{
    static struct buffer text;
    buffer_release(&text);
    page_word_fill(&text, page_plural(words, "play {n} time", "play {n} times", number), number, 0);
    return buffer_text(&text);
}

/* Plural forms: GNU gettext manual, "Plural forms": two forms, singular used for one only (German,
   Dutch, Italian, Spanish, Portuguese); singular used for zero and one (Brazilian, French). */
START_TEST(numbers_choose_the_form)
{
    struct page_words spanish = {.catalogue = catalogue_for("es")};
    ck_assert_str_eq(plays(&spanish, 1), "tocar 1 vez");
    ck_assert_str_eq(plays(&spanish, 4), "tocar 4 veces");
    ck_assert_str_eq(plays(&spanish, 0), "tocar 0 veces");
    struct page_words brazilian = {.catalogue = catalogue_for("pt-BR")};
    ck_assert_str_eq(plays(&brazilian, 0), "tocar 0 vez");
    ck_assert_str_eq(plays(&brazilian, 2), "tocar 2 vezes");
    ck_assert_str_eq(plays(NULL, 1), "play 1 time");
    ck_assert_str_eq(plays(NULL, 3), "play 3 times");
    plays(NULL, 0);
}
END_TEST

START_TEST(tags_choose_the_catalogue)
{
    ck_assert_ptr_nonnull(catalogue_for("de"));
    ck_assert_ptr_eq(catalogue_for("de-AT"), catalogue_for("DE"));
    ck_assert_ptr_null(catalogue_for("den"));
    ck_assert_ptr_null(catalogue_for("en"));
    ck_assert_ptr_null(catalogue_for("zh-Hant"));
    ck_assert_ptr_null(catalogue_for(NULL));
}
END_TEST

START_TEST(an_own_word_comes_first)
{
    const struct own_word own[] = {{"Key", "Noten"}, {"play {n} times", "{n}x"}};
    struct page_words words = {catalogue_for("de"), own, 2};
    ck_assert_str_eq(page_word(&words, "Key"), "Noten");
    ck_assert_str_eq(page_word(&words, "stool"), "Hocker");
    ck_assert_str_eq(page_word(&words, "an author's own voice"), "an author's own voice");
    ck_assert_str_eq(plays(&words, 4), "4x");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("page_words");
    TCase *tests = tcase_create("words");
    tcase_add_loop_test(tests, every_catalogue_is_complete_and_used, 0, LANGUAGE_COUNT);
    tcase_add_loop_test(tests, every_catalogue_has_a_rule_that_we_know, 0, LANGUAGE_COUNT);
    tcase_add_test(tests, words_are_unlike);
    tcase_add_test(tests, numbers_choose_the_form);
    tcase_add_test(tests, tags_choose_the_catalogue);
    tcase_add_test(tests, an_own_word_comes_first);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
