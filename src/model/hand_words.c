/*
 * A hand is named by a side and a limb (`right hand`, `mano izquierda`, `linkerhand`), by `the
 * left` as in English, or by letters alone (`RLRR`). The tables have the languages that pages know.
 */
#include "model/hand_words.h"

#include "model/turned.h"

#include <stdbool.h>
#include <string.h>
#include <strings.h>

static const char *const sides[] = {"right",  "left",     "recht", "link",    "droit",  "gauch",
                                    "derech", "izquierd", "destr", "sinistr", "direit", "esquerd"};
static const char *const limbs[] = {
    "hand",  "hands", "foot", "feet",     "stick", "sticks",  "brush",    "brushes", "wrist",
    "arm",   "hände", "fuß",  "füße",     "stock", "handen",  "voet",     "voeten",  "stok",
    "main",  "mains", "pied", "baguette", "mano",  "manos",   "mani",     "pie",     "piede",
    "piedi", "mão",   "mãos", "pé",       "pés",   "baqueta", "bacchetta"};

static bool is_letter(char byte)
{
    return (byte & 0x80) || (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z');
}

/* The next word at `*at` or after it; empty at the end of the text. */
static struct hand_words next_word(const char **at)
{
    const char *end;
    while (**at && !is_letter(**at)) {
        end = turned_end(*at);
        *at = end ? end : *at + 1;
    }
    struct hand_words word = {*at, 0};
    while (is_letter((*at)[0]))
        ++*at;
    word.length = (size_t)(*at - word.bytes);
    return word;
}

static bool is_word(struct hand_words word, const char *text)
{
    return word.length == strlen(text) && strncasecmp(word.bytes, text, word.length) == 0;
}

static bool is_limb(struct hand_words word)
{
    for (size_t i = 0; i < sizeof limbs / sizeof *limbs; i++)
        if (is_word(word, limbs[i]))
            return true;
    return false;
}

/* How long the side is that a word begins with, with its ending; 0: none. */
static size_t side_length(struct hand_words word)
{
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        size_t length = strlen(sides[i]);
        if (word.length >= length && strncasecmp(word.bytes, sides[i], length) == 0)
            return length;
    }
    return 0;
}

/* `right`, `linken`. */
static bool is_side(struct hand_words word)
{
    enum { ENDING_MAX = 2 };
    size_t length = side_length(word);
    return length && word.length <= length + ENDING_MAX;
}

/* `linkerhand` */
static bool is_both(struct hand_words word)
{
    size_t side = side_length(word);
    if (!side)
        return false;
    if (word.length > side + 2 && strncasecmp(word.bytes + side, "er", 2) == 0)
        side += 2;
    return is_limb((struct hand_words){word.bytes + side, word.length - side});
}

/* `RLRR`, `R`, but not the article of `L'aria`. */
static bool is_letters(struct hand_words word)
{
    const char *after = word.bytes + word.length;
    bool article = *after == '\'' || strncmp(after, "’", strlen("’")) == 0;
    return strspn(word.bytes, "RLBHK") >= word.length && memchr("RL", *word.bytes, 2) && !article;
}

/* `the left`, where it is a hand: not `on the left`. */
static bool is_the_left(struct hand_words before, struct hand_words article, struct hand_words word)
{
    static const char *const places[] = {"on", "to", "at", "from"};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        if (is_word(before, places[i]))
            return false;
    return (is_word(article, "the") || is_word(article, "your")) && is_word(word, "left");
}

/* The words that name a hand first; empty: there are none. */
struct hand_words hand_words_find(const char *text)
{
    struct hand_words before = {"", 0}, last = {"", 0};
    for (;;) {
        struct hand_words word = next_word(&text);
        bool pair = (is_side(last) && is_limb(word)) || (is_limb(last) && is_side(word));
        if (word.length == 0)
            return word;
        if (is_both(word) || is_letters(word))
            return word;
        if (pair || is_the_left(before, last, word))
            return (struct hand_words){last.bytes, (size_t)(text - last.bytes)};
        before = last;
        last = word;
    }
}

/* Whether these braces, of `length` bytes from after the opening one, were meant to be for players
   of either hand: they hold the words or the letters of two, or one word alone. */
static bool means_hands(const char *at, size_t length, bool closed)
{
    const char *end = at + length;
    bool split = memchr(at, '|', length) || memchr(at, '/', length), first = false;
    size_t words = 0, hands = 0;
    for (;;) {
        struct hand_words word = next_word(&at);
        if (!word.length || word.bytes >= end)
            break;
        bool hand = is_side(word) || (split && is_letters(word));
        first = words == 0 ? hand : first;
        words++;
        hands += hand;
    }
    return (closed || first) && hands && (split || hands > 1 || (closed && words == 1));
}

struct hand_words hand_words_wrong(const char *text)
{
    for (text = strchr(text, '{'); text; text = strchr(text + 1, '{')) {
        size_t length = strcspn(text + 1, "{}");
        bool closed = text[1 + length] == '}';
        if (!turned_end(text) && means_hands(text + 1, length, closed))
            return (struct hand_words){text, 1 + length + closed};
    }
    return (struct hand_words){"", 0};
}
