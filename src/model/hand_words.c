/*
 * A hand is named by a side and a limb (`right hand`, `mano izquierda`, `linkerhand`), by `the
 * left`, `rights` or `right, then left` as in English, or by letters alone (`RLRR`). The tables
 * have the languages that pages know.
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

static bool is_one_of(struct hand_words word, const char *const *words)
{
    while (*words && !is_word(word, *words))
        words++;
    return *words != NULL;
}

/* A word of the text and the three before it. */
enum { SEEN = 4 };

/* Whether `the` or `your` before a side is about a place: `on the left`, but not `begin on the
   left`. */
static bool is_place(const struct hand_words seen[SEEN])
{
    static const char *const places[] = {"on", "to", "at", "from", NULL};
    static const char *const begins[] = {"begin", "begins", "start", "starts", "end",
                                         "ends",  "finish", "lead",  "leads",  "land",
                                         "lands", "stay",   NULL};
    return is_one_of(seen[1], places) && !(is_word(seen[1], "on") && is_one_of(seen[0], begins));
}

/* Whether a `right` that ends here is a hand and not a word for another: `the right tempo`. */
static bool stands_alone(const char *after)
{
    static const char *const verbs[] = {"and",   "on",    "plays",   "leads",  "hits", "strikes",
                                        "goes",  "moves", "comes",   "starts", "then", "begins",
                                        "stays", "rests", "follows", NULL};
    const char *next = after + strspn(after, " ");
    return !is_letter(*next) ? *next != '-' && *next != '{' : is_one_of(next_word(&after), verbs);
}

/* `the left`, `with your right`. */
static bool is_the_left(const struct hand_words seen[SEEN])
{
    static const char *const articles[] = {"the", "your", NULL};
    struct hand_words word = seen[SEEN - 1];
    if (!is_one_of(seen[2], articles) || is_place(seen))
        return false;
    return is_word(word, "left") ||
           (is_word(word, "right") && stands_alone(word.bytes + word.length));
}

/* `Rights`, `lefts`, but not `all rights`. */
static bool is_strokes(const struct hand_words seen[SEEN])
{
    struct hand_words word = seen[SEEN - 1];
    return is_word(word, "lefts") || (is_word(word, "rights") && !is_word(seen[2], "all"));
}

/* Whether nothing but spaces and commas stands between two words. */
static bool is_adjoining(struct hand_words word, struct hand_words next)
{
    const char *between = word.bytes + word.length;
    return word.length && between + strspn(between, " ,") == next.bytes;
}

/* `right away`, `right before the one`: no hand. */
static bool is_adverb(struct hand_words word)
{
    static const char *const places[] = {"away",  "before", "after", "below", "above", "at",
                                         "where", "when",   "now",   "under", "off",   NULL};
    const char *after = word.bytes + word.length;
    return is_word(word, "right") && *after == ' ' && is_one_of(next_word(&after), places);
}

/* The first word of `right left` or `right, then left` that ends with the last word seen; SEEN:
   that is no row of sides. */
static int row_of_sides(const struct hand_words seen[SEEN])
{
    int last = SEEN - 1;
    if (!is_side(seen[last]) || is_adverb(seen[last]) || !is_adjoining(seen[last - 1], seen[last]))
        return SEEN;
    if (is_side(seen[last - 1]))
        return last - 1;
    bool then = is_word(seen[last - 1], "then") && is_adjoining(seen[last - 2], seen[last - 1]);
    return then && is_side(seen[last - 2]) ? last - 2 : SEEN;
}

/* The first of the words seen that name a hand together; SEEN: they name none. */
static int names_from(const struct hand_words seen[SEEN])
{
    int last = SEEN - 1;
    struct hand_words before = seen[last - 1], word = seen[last];
    if (is_both(word) || is_letters(word) || is_strokes(seen))
        return last;
    bool pair = (is_side(before) && is_limb(word)) || (is_limb(before) && is_side(word));
    return pair || is_the_left(seen) ? last - 1 : row_of_sides(seen);
}

struct hand_words hand_words_find(const char *text)
{
    struct hand_words seen[SEEN] = {{"", 0}, {"", 0}, {"", 0}, {"", 0}};
    for (;;) {
        memmove(seen, seen + 1, (SEEN - 1) * sizeof *seen);
        seen[SEEN - 1] = next_word(&text);
        if (seen[SEEN - 1].length == 0)
            return seen[SEEN - 1];
        int from = names_from(seen);
        if (from < SEEN)
            return (struct hand_words){seen[from].bytes, (size_t)(text - seen[from].bytes)};
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
