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

struct drawing_words said_words(struct said *said)
{
    return (struct drawing_words){said, say_head, say_heading, say_paragraphs, say_music, "en"};
}

void said_release(struct said *said)
{
    buffer_release(&said->head);
    buffer_release(&said->heading);
    buffer_release(&said->paragraphs);
    buffer_release(&said->music);
}
