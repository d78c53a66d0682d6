#include "lib/missing_glyphs.h"

#include "base/buffer.h"
#include "base/utf8.h"

#include <inttypes.h>
#include <string.h>

enum {
    NAMED_MOST = 3, /* characters named in one warning */
    TEXTS_MOST = 20 /* warnings; a system may have no letters at all */
};

struct search {
    const uint32_t *characters;
    size_t count;
    struct diags *diags;
    size_t warnings;
};

static bool is_missing(const struct search *search, uint32_t code)
{
    for (size_t i = 0; i < search->count; i++)
        if (search->characters[i] == code)
            return true;
    return false;
}

/* The missing characters of one text, each once. */
struct found {
    uint32_t codes[NAMED_MOST];
    size_t count;    /* of different ones, which may be more than NAMED_MOST */
    uint32_t before; /* characters before the first one */
    uint32_t length; /* of the text, in characters */
};

static struct found find_in(const struct search *search, const char *text)
{
    struct found found = {.count = 0};
    size_t left = strlen(text), step;
    for (uint32_t code; left && (step = utf8_decode(text, left, &code)) != 0; text += step) {
        left -= step;
        bool again = false;
        for (size_t i = 0; i < found.count && i < NAMED_MOST; i++)
            again |= found.codes[i] == code;
        if (!again && is_missing(search, code)) {
            if (found.count == 0)
                found.before = found.length;
            if (found.count < NAMED_MOST)
                found.codes[found.count] = code;
            found.count++;
        }
        found.length++;
    }
    return found;
}

static void name_characters(const struct found *found, struct buffer *out)
{
    size_t named = found->count < NAMED_MOST ? found->count : NAMED_MOST;
    for (size_t i = 0; i < named; i++) {
        char bytes[4];
        size_t length = utf8_encode(found->codes[i], bytes);
        bool last = i > 0 && i + 1 == found->count;
        buffer_format(out, "%s'%.*s' (U+%04" PRIX32 ")",
                      i == 0 ? ""
                      : last ? " and "
                             : ", ",
                      (int)length, bytes, found->codes[i]);
    }
    if (found->count > named)
        buffer_add_text(out, " and others");
}

/* The place of the character itself, if the file has the text as it is: plain or in quotes. */
static struct place place_of(struct place at, const struct found *found)
{
    uint32_t quote = at.length == found->length + 2;
    if (at.length != found->length + 2 * quote)
        return at;
    return place_make(at.file, at.line, at.column + quote + found->before, 1);
}

static void search_text(struct search *search, const char *text, struct place at)
{
    if (!text || search->warnings == TEXTS_MOST)
        return;
    struct found found = find_in(search, text);
    if (found.count == 0)
        return;
    struct buffer names = {0};
    name_characters(&found, &names);
    diag_add(search->diags, DIAG_TEXT_FONT, place_of(at, &found),
             "no installed font has %s: printed as %s", buffer_text(&names),
             found.count > 1 ? "boxes" : "a box");
    buffer_release(&names);
    search->warnings++;
}

static void search_words(struct search *search, const struct words *words, size_t count)
{
    for (size_t i = 0; i < count; i++)
        search_text(search, words[i].text, words[i].at);
}

static void search_lesson(struct search *search, const struct score *score)
{
    const struct lesson *lesson = score->lesson;
    const struct words *const whole[] = {&lesson->title,        &lesson->subtitle,
                                         &lesson->author,       &lesson->copyright,
                                         &lesson->course_title, &lesson->settings.level};
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++)
        search_words(search, whole[i], 1);
    search_words(search, lesson->notes, lesson->note_count);
    for (size_t i = 0; i < lesson->kit.voice_count; i++)
        if (score->voices_used[i] && lesson->kit.voices[i].at.file)
            search_text(search, lesson->kit.voices[i].spoken, lesson->kit.voices[i].at);
    for (size_t i = 0; i < lesson->exercise_count; i++) {
        const struct exercise *exercise = &lesson->exercises[i];
        search_words(search, &exercise->title, 1);
        search_words(search, &exercise->subtitle, 1);
        search_words(search, exercise->paragraphs, exercise->paragraph_count);
    }
}

void missing_glyphs_report(const struct score *score, const uint32_t *characters, size_t count,
                           struct diags *diags)
{
    if (count == 0)
        return;
    struct search search = {.characters = characters, .count = count, .diags = diags};
    search_lesson(&search, score);
    if (!search.warnings)
        diag_add(diags, DIAG_TEXT_FONT, (struct place){0},
                 "no installed font has the character U+%04" PRIX32 ": it is printed as a box",
                 characters[0]);
}
