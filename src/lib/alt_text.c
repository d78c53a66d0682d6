#include "lib/alt_text.h"

#include "spoken/spoken.h"

static const char *say_head(void *self)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->head);
    spoken_head(alt_text->score, &alt_text->head);
    return buffer_text(&alt_text->head);
}

static const char *say_heading(void *self, uint32_t exercise)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->heading);
    spoken_heading(alt_text->score, exercise, &alt_text->heading);
    return buffer_text(&alt_text->heading);
}

static const char *say_paragraphs(void *self, uint32_t exercise)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->paragraphs);
    spoken_paragraphs(alt_text->score, exercise, &alt_text->paragraphs);
    return buffer_text(&alt_text->paragraphs);
}

static const char *say_music(void *self, uint32_t exercise)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->music);
    spoken_music(alt_text->score, exercise, &alt_text->music);
    return buffer_text(&alt_text->music);
}

static const char *say_ladder(void *self, uint32_t exercise)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->ladder);
    spoken_ladder(alt_text->score, exercise, &alt_text->ladder);
    return buffer_text(&alt_text->ladder);
}

static const char *say_tail(void *self)
{
    struct alt_text *alt_text = self;
    buffer_release(&alt_text->tail);
    spoken_tail(alt_text->score, &alt_text->tail);
    return buffer_text(&alt_text->tail);
}

struct drawing_words alt_text_words(struct alt_text *alt_text)
{
    const char *language = alt_text->score ? alt_text->score->lesson->language.text : NULL;
    return (struct drawing_words){.self = alt_text,
                                  .head = say_head,
                                  .heading = say_heading,
                                  .paragraphs = say_paragraphs,
                                  .music = say_music,
                                  .ladder = say_ladder,
                                  .tail = say_tail,
                                  .language = language ? language : "en"};
}

void alt_text_release(struct alt_text *alt_text)
{
    buffer_release(&alt_text->head);
    buffer_release(&alt_text->heading);
    buffer_release(&alt_text->paragraphs);
    buffer_release(&alt_text->music);
    buffer_release(&alt_text->ladder);
    buffer_release(&alt_text->tail);
}
