#include "course/product.h"

#include "lib/sound.h"

#include <string.h>

static bool make_pdf(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)page, (void)problem;
    return pipeline_draw(work, DRAW_PDF, 0, write, closure);
}

static bool make_svg(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)problem;
    return pipeline_draw(work, DRAW_SVG, page, write, closure);
}

static bool make_png(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)problem;
    return pipeline_draw(work, DRAW_PNG, page, write, closure);
}

static bool make_picture(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                         struct buffer *problem)
{
    (void)page, (void)problem;
    return pipeline_draw_first_line(work, DRAW_SVG, write, closure);
}

/* As `sound` plays a lesson that it is asked nothing else of. */
static bool make_sound(struct pipeline *work, enum sound_format format, draw_write *write,
                       void *closure, struct buffer *problem)
{
    static const struct sound_settings usual;
    struct perform_options options = sound_usual();
    const char *why = NULL;
    const struct performance *performance = perform(work->score, &options, &why);
    if (!performance) {
        buffer_add_text(problem, why);
        return false;
    }
    struct buffer notes = {0};
    bool made = sound_make(performance, format, &usual, write, closure, &notes, problem);
    buffer_release(&notes);
    return made;
}

static bool make_mid(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)page;
    return make_sound(work, SOUND_MIDI, write, closure, problem);
}

static bool make_wav(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)page;
    return make_sound(work, SOUND_WAV, write, closure, problem);
}

static bool make_flac(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                      struct buffer *problem)
{
    (void)page;
    return make_sound(work, SOUND_FLAC, write, closure, problem);
}

static bool make_ogg(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                     struct buffer *problem)
{
    (void)page;
    return make_sound(work, SOUND_OGG, write, closure, problem);
}

static const struct product products[] = {
    {"pdf", "pdf", false, make_pdf, false}, {"svg", "svg", true, make_svg, false},
    {"png", "png", true, make_png, false},  {"mid", "mid", false, make_mid, false},
    {"wav", "wav", false, make_wav, true},  {"flac", "flac", false, make_flac, true},
    {"ogg", "ogg", false, make_ogg, true},
};

const struct product product_picture = {"picture", "line.svg", false, make_picture, false};

const struct product *product_find(const char *word)
{
    for (size_t i = 0; i < sizeof products / sizeof *products; i++)
        if (strcmp(products[i].word, word) == 0)
            return &products[i];
    return NULL;
}

size_t product_files(const struct product *product, uint32_t pages)
{
    return product->by_page ? pages : 1;
}

static bool ends_in_number(const char *name, size_t length)
{
    size_t digits = 0;
    while (digits < length && name[length - 1 - digits] >= '0' && name[length - 1 - digits] <= '9')
        digits++;
    return digits && digits < length && name[length - 1 - digits] == '-';
}

static bool has_ending(const char *name, const char *ending)
{
    size_t length = strlen(name), behind = strlen(ending);
    return length > behind && name[length - behind - 1] == '.' &&
           strcmp(name + length - behind, ending) == 0;
}

bool product_may_clash(const char *name)
{
    if (has_ending(name, product_picture.ending))
        return true;
    for (size_t i = 0; i < sizeof products / sizeof *products; i++)
        if (products[i].by_page && has_ending(name, products[i].ending))
            return ends_in_number(name, strlen(name) - strlen(products[i].ending) - 1);
    return false;
}

char *product_name(const struct product *product, const char *stem, size_t number, size_t files,
                   struct arena *arena)
{
    if (files == 1)
        return arena_format(arena, "%s.%s", stem, product->ending);
    return arena_format(arena, "%s-%zu.%s", stem, number + 1, product->ending);
}
