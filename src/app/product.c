#include "app/product.h"

#include <string.h>

static bool make_pdf(struct pipeline *work, uint32_t page, draw_write *write, void *closure)
{
    (void)page;
    return pipeline_draw(work, DRAW_PDF, 0, write, closure);
}

static bool make_svg(struct pipeline *work, uint32_t page, draw_write *write, void *closure)
{
    return pipeline_draw(work, DRAW_SVG, page, write, closure);
}

static bool make_png(struct pipeline *work, uint32_t page, draw_write *write, void *closure)
{
    return pipeline_draw(work, DRAW_PNG, page, write, closure);
}

static bool make_picture(struct pipeline *work, uint32_t page, draw_write *write, void *closure)
{
    (void)page;
    return pipeline_draw_first_line(work, DRAW_SVG, write, closure);
}

static const struct product products[] = {
    {"pdf", "pdf", false, make_pdf},
    {"svg", "svg", true, make_svg},
    {"png", "png", true, make_png},
};

const struct product product_picture = {"picture", "line.svg", false, make_picture};

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

char *product_name(const struct product *product, const char *stem, size_t number, size_t files,
                   struct arena *arena)
{
    if (files == 1)
        return arena_format(arena, "%s.%s", stem, product->ending);
    return arena_format(arena, "%s-%zu.%s", stem, number + 1, product->ending);
}
