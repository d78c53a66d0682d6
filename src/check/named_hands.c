/*
 * Texts that name a hand, in a copy for a player of the other hand: the music changes sides there,
 * the author's words do not. `{right|left}` in a text does; it is passed over here.
 *
 * A hand is named by a side and a limb (`right hand`, `mano izquierda`, `linkerhand`), by `the
 * left` as in English, or by letters alone (`RLRR`). The tables have the languages that pages know.
 */
#include "check/check.h"

#include <string.h>
#include <strings.h>

static const char *const sides[] = {"right",  "left",     "recht", "link",    "droit",  "gauch",
                                    "derech", "izquierd", "destr", "sinistr", "direit", "esquerd"};
static const char *const limbs[] = {
    "hand",  "hands", "foot", "feet",     "stick", "sticks",  "brush",    "brushes", "wrist",
    "arm",   "hände", "fuß",  "füße",     "stock", "handen",  "voet",     "voeten",  "stok",
    "main",  "mains", "pied", "baguette", "mano",  "manos",   "mani",     "pie",     "piede",
    "piedi", "mão",   "mãos", "pé",       "pés",   "baqueta", "bacchetta"};

struct word {
    const char *bytes;
    size_t length;
};

static bool is_letter(char byte)
{
    return (byte & 0x80) || (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z');
}

/* The next word at `*at` or after it; empty at the end of the text. */
static struct word next_word(const char **at)
{
    const char *end;
    while (**at && !is_letter(**at)) {
        end = turned_end(*at);
        *at = end ? end : *at + 1;
    }
    struct word word = {*at, 0};
    while (is_letter((*at)[0]))
        ++*at;
    word.length = (size_t)(*at - word.bytes);
    return word;
}

static bool is_word(struct word word, const char *text)
{
    return word.length == strlen(text) && strncasecmp(word.bytes, text, word.length) == 0;
}

static bool is_limb(struct word word)
{
    for (size_t i = 0; i < sizeof limbs / sizeof *limbs; i++)
        if (is_word(word, limbs[i]))
            return true;
    return false;
}

/* How long the side is that a word begins with, with its ending; 0: none. */
static size_t side_length(struct word word)
{
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        size_t length = strlen(sides[i]);
        if (word.length >= length && strncasecmp(word.bytes, sides[i], length) == 0)
            return length;
    }
    return 0;
}

/* `right`, `linken`. */
static bool is_side(struct word word)
{
    enum { ENDING_MAX = 2 };
    size_t length = side_length(word);
    return length && word.length <= length + ENDING_MAX;
}

/* `linkerhand` */
static bool is_both(struct word word)
{
    size_t side = side_length(word);
    if (!side)
        return false;
    if (word.length > side + 2 && strncasecmp(word.bytes + side, "er", 2) == 0)
        side += 2;
    return is_limb((struct word){word.bytes + side, word.length - side});
}

/* `RLRR`, `R`, but not the article of `L'aria`. */
static bool is_letters(struct word word)
{
    const char *after = word.bytes + word.length;
    bool article = *after == '\'' || strncmp(after, "’", strlen("’")) == 0;
    return strspn(word.bytes, "RLBHK") >= word.length && memchr("RL", *word.bytes, 2) && !article;
}

/* `the left`, where it is a hand: not `on the left`. */
static bool is_the_left(struct word before, struct word article, struct word word)
{
    static const char *const places[] = {"on", "to", "at", "from"};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        if (is_word(before, places[i]))
            return false;
    return (is_word(article, "the") || is_word(article, "your")) && is_word(word, "left");
}

/* The words that name a hand first; empty: there are none. */
static struct word find_hand(const char *text)
{
    struct word before = {"", 0}, last = {"", 0};
    for (;;) {
        struct word word = next_word(&text);
        bool pair = (is_side(last) && is_limb(word)) || (is_limb(last) && is_side(word));
        if (word.length == 0)
            return word;
        if (is_both(word) || is_letters(word))
            return word;
        if (pair || is_the_left(before, last, word))
            return (struct word){last.bytes, (size_t)(text - last.bytes)};
        before = last;
        last = word;
    }
}

/* The text as the file has it. */
static const char *raw_of(const struct lesson *lesson, const char *text)
{
    for (size_t i = 0; i < lesson->turned_count; i++)
        if (lesson->turned[i].text == text)
            return lesson->turned[i].raw;
    return text;
}

struct named {
    const struct score *score;
    struct diags *diags;
    bool found;
};

static void check_text(struct named *named, const struct words *words)
{
    if (named->found || !words->text)
        return;
    struct word hand = find_hand(raw_of(named->score->lesson, words->text));
    if (!hand.length)
        return;
    named->found = true;
    diag_add(named->diags, DIAG_NAMED_HAND, words->at,
             "this copy is for a %s player: its music changes hands, but the text still says "
             "'%.*s'",
             named->score->lesson->kit.left_handed ? "left-handed" : "right-handed",
             (int)hand.length, hand.bytes);
    diag_expected(named->diags, "both in braces, such as {right|left} hand or {R|L}: first what "
                                "the lesson says as it is written");
}

static void check_texts(struct named *named, const struct words *texts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        check_text(named, &texts[i]);
}

static void check_bars(struct named *named, const struct lesson_bar *bars, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct bar_signs *signs = bars[i].signs;
        if (signs)
            check_text(named, &signs->over);
        for (size_t w = 0; signs && w < signs->words.count; w++)
            check_text(named, &signs->words.entries[w].what);
    }
}

static void check_exercise(struct named *named, const struct exercise *exercise)
{
    check_text(named, &exercise->title);
    check_text(named, &exercise->subtitle);
    check_texts(named, exercise->paragraphs, exercise->paragraph_count);
    check_bars(named, exercise->pickup, exercise->pickup != NULL);
    check_bars(named, exercise->bars, exercise->bar_count);
    for (size_t i = 0; i < exercise->ending_count; i++)
        check_bars(named, exercise->endings[i].bars, exercise->endings[i].bar_count);
}

void check_named_hands(const struct score *score, struct diags *diags)
{
    const struct lesson *lesson = score->lesson;
    struct named named = {.score = score, .diags = diags};
    check_text(&named, &lesson->title);
    check_text(&named, &lesson->subtitle);
    check_texts(&named, lesson->notes, lesson->note_count);
    for (size_t i = 0; i < lesson->exercise_count; i++)
        check_exercise(&named, &lesson->exercises[i]);
}
