/*
 * Texts that name a hand, in a copy for a player of the other hand: the music changes sides there,
 * the author's words do not. `{right|left}` in a text does; it is passed over here.
 */
#include "check/check.h"
#include "model/hand_words.h"

/* The text as the file has it. */
static const char *raw_of(const struct lesson *lesson, const char *text)
{
    for (size_t i = 0; i < lesson->turned_count; i++)
        if (lesson->turned[i].text == text)
            return lesson->turned[i].raw;
    return text;
}

struct named {
    const struct lesson *lesson;
    struct hand_words first; /* the words of the first text that names a hand */
    struct place at;
    size_t texts; /* how many do */
};

static void check_text(struct named *named, const struct words *words)
{
    if (!words->text)
        return;
    struct hand_words hand = hand_words_find(raw_of(named->lesson, words->text));
    if (!hand.length)
        return;
    if (named->texts++ == 0) {
        named->first = hand;
        named->at = words->at;
    }
}

static void tell(const struct named *named, struct arena *arena, struct diags *diags)
{
    size_t more = named->texts - 1;
    const char *also =
        more ? arena_format(arena, "; also in %zu more text%s", more, more == 1 ? "" : "s") : "";
    diag_add(diags, DIAG_NAMED_HAND, named->at,
             "this copy is for a %s player: its music changes hands, but the text still says "
             "'%.*s'%s",
             named->lesson->kit.left_handed ? "left-handed" : "right-handed",
             (int)named->first.length, named->first.bytes, also);
    diag_expected(diags, "both in braces, such as {right|left} hand or {R|L}: first what "
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
    struct named named = {.lesson = lesson};
    check_text(&named, &lesson->title);
    check_text(&named, &lesson->subtitle);
    check_texts(&named, lesson->notes, lesson->note_count);
    for (size_t i = 0; i < lesson->exercise_count; i++)
        check_exercise(&named, &lesson->exercises[i]);
    if (named.texts)
        tell(&named, score->arena, diags);
}
