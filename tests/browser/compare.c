/*
 * compare A.png B.png: are these two pictures of one page?
 *
 * Prints the share of either picture's dark pixels that has no ink within a pixel in the other, as
 * renderers differ in where they put the edge of a line. Status 0 where it is at most SHARE_MAX and
 * there is ink at all, else 1.
 */
#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>

#define SHARE_MAX 0.00005

struct picture {
    cairo_surface_t *surface;
    const unsigned char *pixels;
    int width, height, stride;
};

static struct picture load(const char *name)
{
    cairo_surface_t *surface = cairo_image_surface_create_from_png(name);
    return (struct picture){
        surface, cairo_image_surface_get_data(surface), cairo_image_surface_get_width(surface),
        cairo_image_surface_get_height(surface), cairo_image_surface_get_stride(surface)};
}

/* 0 white ... 255 black; beyond the edges is white, as is what nobody painted. */
static int darkness(const struct picture *picture, int x, int y)
{
    if (x < 0 || y < 0 || x >= picture->width || y >= picture->height)
        return 0;
    const unsigned char *pixel = picture->pixels + y * picture->stride + 4 * x;
    if (cairo_image_surface_get_format(picture->surface) == CAIRO_FORMAT_ARGB32)
        return pixel[3] - pixel[1];
    return 255 - pixel[1];
}

static bool ink_near(const struct picture *picture, int x, int y)
{
    for (int dy = -1; dy <= 1; dy++)
        for (int dx = -1; dx <= 1; dx++)
            if (darkness(picture, x + dx, y + dy) > 85)
                return true;
    return false;
}

static double share_alone(const struct picture *a, const struct picture *b)
{
    long alone = 0, dark = 0;
    for (int y = 0; y < a->height; y++)
        for (int x = 0; x < a->width; x++) {
            if (darkness(a, x, y) <= 170)
                continue;
            dark++;
            alone += !ink_near(b, x, y);
        }
    return dark ? (double)alone / (double)dark : 1;
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: compare A.png B.png\n");
        return 2;
    }
    struct picture a = load(argv[1]), b = load(argv[2]);
    if (!a.pixels || !b.pixels) {
        fprintf(stderr, "compare: cannot read '%s'\n", a.pixels ? argv[2] : argv[1]);
        return 2;
    }
    double one = share_alone(&a, &b), other = share_alone(&b, &a);
    printf("%s %s: %.6f %.6f alone, at most %.6f\n", argv[1], argv[2], one, other, SHARE_MAX);
    cairo_surface_destroy(a.surface);
    cairo_surface_destroy(b.surface);
    return one > SHARE_MAX || other > SHARE_MAX;
}
