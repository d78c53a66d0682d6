#include "app/said.h"

#include "spoken/spoken.h"

static const char *say_head(void *self)
{
    struct said *said = self;
    buffer_release(&said->head);
    spoken_head(said->score, &said->head);
    return buffer_text(&said->head);
}

static const char *say_heading(void *self, uint32_t exercise)
{
    struct said *said = self;
    buffer_release(&said->heading);
    spoken_heading(said->score, exercise, &said->heading);
    return buffer_text(&said->heading);
}

static const char *say_paragraphs(void *self, uint32_t exercise)
{
    struct said *said = self;
    buffer_release(&said->paragraphs);
    spoken_paragraphs(said->score, exercise, &said->paragraphs);
    return buffer_text(&said->paragraphs);
}

static const char *say_music(void *self, uint32_t exercise)
{
    struct said *said = self;
    buffer_release(&said->music);
    spoken_music(said->score, exercise, &said->music);
    return buffer_text(&said->music);
}

static const char *say_ladder(void *self, uint32_t exercise)
{
    struct said *said = self;
    buffer_release(&said->ladder);
    spoken_ladder(said->score, exercise, &said->ladder);
    return buffer_text(&said->ladder);
}

static const char *say_tail(void *self)
{
    struct said *said = self;
    buffer_release(&said->tail);
    spoken_tail(said->score, &said->tail);
    return buffer_text(&said->tail);
}

struct drawing_words said_words(struct said *said)
{
    const char *language = said->score ? said->score->lesson->language.text : NULL;
    return (struct drawing_words){.self = said,
                                  .head = say_head,
                                  .heading = say_heading,
                                  .paragraphs = say_paragraphs,
                                  .music = say_music,
                                  .ladder = say_ladder,
                                  .tail = say_tail,
                                  .language = language ? language : "en"};
}

void said_release(struct said *said)
{
    buffer_release(&said->head);
    buffer_release(&said->heading);
    buffer_release(&said->paragraphs);
    buffer_release(&said->music);
    buffer_release(&said->ladder);
    buffer_release(&said->tail);
}
