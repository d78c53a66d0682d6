#include "model/page_words.h"

#include "model/voice.h"

#include <stdint.h>
#include <string.h>
#include <strings.h>

/* ---- catalogues --------------------------------------------------------------------------- */

#define EMBEDDED(language) extern const unsigned char catalogue_##language[];
LANGUAGES(EMBEDDED)
#undef EMBEDDED

const unsigned char *catalogue_for(const char *language)
{
    static const struct {
        const char *tag;
        const unsigned char *catalogue;
    } known[] = {
#define LANGUAGE_ROW(language) {#language, catalogue_##language},
        LANGUAGES(LANGUAGE_ROW)
#undef LANGUAGE_ROW
    };
    size_t length = language ? strcspn(language, "-") : 0;
    for (size_t i = 0; length && i < sizeof known / sizeof *known; i++)
        if (strlen(known[i].tag) == length && strncasecmp(known[i].tag, language, length) == 0)
            return known[i].catalogue;
    return NULL;
}

/* The format of a catalogue is that of GNU gettext 0.21 (manual, "The Format of GNU MO Files"),
   little-endian: how many texts there are, and where the tables of the msgids and of the
   translations begin. A row is the length and the place of a text. The msgids are sorted. */
enum { MO_COUNT = 8, MO_MSGIDS = 12, MO_TEXTS = 16, MO_ROW = 8 };

static uint32_t number_at(const unsigned char *catalogue, size_t at)
{
    const unsigned char *bytes = catalogue + at;
    return (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8 | (uint32_t)bytes[2] << 16 |
           (uint32_t)bytes[3] << 24;
}

static const char *text_of_row(const unsigned char *catalogue, size_t table, size_t row)
{
    size_t first = number_at(catalogue, table);
    return (const char *)catalogue + number_at(catalogue, first + row * MO_ROW + 4);
}

/* Of a plural the msgid is the singular; its translation has all forms, each ended by a zero. */
const char *catalogue_find(const unsigned char *catalogue, const char *english, unsigned form)
{
    size_t low = 0, high = number_at(catalogue, MO_COUNT);
    while (low < high) {
        size_t middle = (low + high) / 2;
        int order = strcmp(text_of_row(catalogue, MO_MSGIDS, middle), english);
        if (order == 0) {
            const char *text = text_of_row(catalogue, MO_TEXTS, middle);
            for (; form; form--)
                text += strlen(text) + 1;
            return text;
        }
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return NULL;
}

/* Our languages have two forms, and two rules for the second: from two on (n > 1), or everything
   but one (n != 1); a test keeps catalogues to these. */
static unsigned form_for(const unsigned char *catalogue, unsigned number)
{
    const char *header = catalogue_find(catalogue, "", 0);
    bool from_two = header && strstr(header, "plural=(n > 1)");
    return from_two ? number > 1 : number != 1;
}

/* ---- words -------------------------------------------------------------------------------- */

static const char *own_word(const struct page_words *words, const char *english)
{
    for (size_t i = 0; words && i < words->own_count; i++)
        if (strcmp(words->own[i].english, english) == 0)
            return words->own[i].own;
    return NULL;
}

const char *page_word(const struct page_words *words, const char *english)
{
    const char *word = own_word(words, english);
    if (!word && words && words->catalogue)
        word = catalogue_find(words->catalogue, english, 0);
    return word ? word : english;
}

const char *page_plural(const struct page_words *words, const char *one, const char *many,
                        unsigned number)
{
    const char *english = number == 1 ? one : many, *word = own_word(words, english);
    if (!word && words && words->catalogue)
        word = catalogue_find(words->catalogue, one, form_for(words->catalogue, number));
    return word ? word : english;
}

void page_word_fill(struct buffer *out, const char *word, unsigned n, unsigned m)
{
    for (; *word; word++) {
        bool number = strncmp(word, "{n}", 3) == 0 || strncmp(word, "{m}", 3) == 0;
        if (!number) {
            buffer_add(out, word, 1);
            continue;
        }
        buffer_format(out, "%u", word[1] == 'n' ? n : m);
        word += 2;
    }
}

/* ---- all words ---------------------------------------------------------------------------- */

const char *page_word_number(size_t index)
{
    static const char *const words[] = {
#define WORD(english) english,
#define PLURAL(one, many) one, many,
        PAGE_WORDS(WORD) PRACTICE_WORDS(WORD) PAGE_PLURALS(PLURAL)
#undef WORD
#undef PLURAL
    };
    enum { WORDS = sizeof words / sizeof *words };
    if (index < WORDS)
        return words[index];
    index -= WORDS;
    return index < VOICE_BUILTIN_COUNT ? voice_builtin((enum voice_builtin)index)->spoken : NULL;
}

const char *page_word_known(const char *english)
{
    const char *word;
    for (size_t i = 0; (word = page_word_number(i)); i++)
        if (strcmp(word, english) == 0)
            break;
    return word;
}
