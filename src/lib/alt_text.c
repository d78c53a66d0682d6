#include "lib/alt_text.h"

#include "spoken/spoken.h"

static void say(const void *self, enum words_part part, uint32_t exercise, struct buffer *out)
{
    const struct score *score = *(const struct score *const *)self;
    switch (part) {
    case WORDS_HEAD:
        spoken_head(score, out);
        break;
    case WORDS_HEADING:
        spoken_heading(score, exercise, out);
        break;
    case WORDS_PARAGRAPHS:
        spoken_paragraphs(score, exercise, out);
        break;
    case WORDS_MUSIC:
        spoken_music(score, exercise, out);
        break;
    case WORDS_LADDER:
        spoken_ladder(score, exercise, out);
        break;
    case WORDS_TAIL:
        spoken_tail(score, out);
        break;
    }
}

struct drawing_words alt_text_words(const struct score *const *score)
{
    const char *language = *score ? (*score)->lesson->language.text : NULL;
    return (struct drawing_words){
        .self = score, .say = say, .language = language ? language : "en"};
}
