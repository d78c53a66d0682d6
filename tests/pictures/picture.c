/*
 * Pictures of pages, for the comparison of what is printed with what was once looked at.
 *
 *     picture keep PAGE.pgm KEPT.png              keeps it in sixteen greys (or PAGE.png)
 *     picture compare KEPT.png PAGE.pgm DIFF.png  status 0: the same page; 1: not, and DIFF.png
 *                                                 shows where: red is gone, blue is new
 *
 * A PAGE.pgm is drawn three times as large as its picture and shrunk here, so that it matters
 * little how a renderer fits lines and letters to whole pixels. What remains is forgiven: ink
 * counts as missing only where the other picture has none as dark within a pixel, and a place
 * counts as different only where enough such ink comes together. A sign that moved by half a staff
 * space, or is gone, is far beyond both; see tests/pictures/run, which plants such faults.
 */
#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    GREYS = 16,
    SHRINK = 3,
    SLACK = 96,       /* darkness, of 255, by which edges may differ */
    WINDOW = 8,       /* pixels: about a notehead at the resolution of the pictures */
    WINDOW_MOST = 200 /* darkness that a window may lack: less than one black pixel */
};

/* Darkness: 0 white ... 255 black. */
struct picture {
    unsigned char *dark;
    int width, height;
};

static void die(const char *name, const char *why)
{
    fprintf(stderr, "picture: %s: %s\n", name, why);
    exit(2);
}

static struct picture picture_new(const char *name, int width, int height)
{
    if (width < 1 || height < 1 || width > 20000 || height > 20000)
        die(name, "no picture");
    struct picture picture = {calloc((size_t)width, (size_t)height), width, height};
    if (!picture.dark)
        die(name, "no memory");
    return picture;
}

static struct picture load_pgm(const char *name)
{
    FILE *file = fopen(name, "rb");
    int width, height, most;
    if (!file || fscanf(file, "P5 %d %d %d", &width, &height, &most) != 3 || most != 255)
        die(name, "no grey picture");
    fgetc(file);
    struct picture picture = picture_new(name, width, height);
    size_t size = (size_t)width * (size_t)height;
    if (fread(picture.dark, 1, size, file) != size)
        die(name, "too short");
    fclose(file);
    for (size_t i = 0; i < size; i++)
        picture.dark[i] = (unsigned char)(255 - picture.dark[i]);
    return picture;
}

static struct picture load_png(const char *name)
{
    cairo_surface_t *surface = cairo_image_surface_create_from_png(name);
    if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS)
        die(name, cairo_status_to_string(cairo_surface_status(surface)));
    struct picture picture = picture_new(name, cairo_image_surface_get_width(surface),
                                         cairo_image_surface_get_height(surface));
    const unsigned char *pixels = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < picture.height; y++)
        for (int x = 0; x < picture.width; x++)
            picture.dark[y * picture.width + x] =
                (unsigned char)(255 - pixels[y * stride + 4 * x + 1]);
    cairo_surface_destroy(surface);
    return picture;
}

/* Each pixel is the mean of SHRINK by SHRINK. */
static struct picture load_page(const char *name)
{
    size_t length = strlen(name);
    bool png = length > 4 && strcmp(name + length - 4, ".png") == 0;
    struct picture large = png ? load_png(name) : load_pgm(name);
    struct picture page = picture_new(name, large.width / SHRINK, large.height / SHRINK);
    for (int y = 0; y < page.height; y++)
        for (int x = 0; x < page.width; x++) {
            int sum = 0;
            for (int i = 0; i < SHRINK * SHRINK; i++)
                sum +=
                    large.dark[(y * SHRINK + i / SHRINK) * large.width + x * SHRINK + i % SHRINK];
            page.dark[y * page.width + x] = (unsigned char)(sum / (SHRINK * SHRINK));
        }
    free(large.dark);
    return page;
}

/* Cairo writes a surface of shades as a grey PNG. */
static void keep(const struct picture *picture, const char *name)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_A8, picture->width, picture->height);
    unsigned char *pixels = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++) {
            int grey = 255 - picture->dark[y * picture->width + x];
            int step = (grey * (GREYS - 1) + 127) / 255;
            pixels[y * stride + x] = (unsigned char)(step * 255 / (GREYS - 1));
        }
    cairo_surface_mark_dirty(surface);
    cairo_status_t status = cairo_surface_write_to_png(surface, name);
    cairo_surface_destroy(surface);
    if (status != CAIRO_STATUS_SUCCESS)
        die(name, cairo_status_to_string(status));
}

static int darkness(const struct picture *picture, int x, int y)
{
    bool inside = x >= 0 && y >= 0 && x < picture->width && y < picture->height;
    return inside ? picture->dark[y * picture->width + x] : 0;
}

/* How much of a's ink at this pixel has none like it in b within a pixel. */
static int ink_alone(const struct picture *a, const struct picture *b, int x, int y)
{
    int own = darkness(a, x, y), near = 0;
    if (own <= SLACK)
        return 0;
    for (int dy = -1; dy <= 1; dy++)
        for (int dx = -1; dx <= 1; dx++)
            if (darkness(b, x + dx, y + dy) > near)
                near = darkness(b, x + dx, y + dy);
    return own > near + SLACK ? own - near : 0;
}

static struct picture lacks(const struct picture *a, const struct picture *b)
{
    struct picture alone = picture_new("difference", a->width, a->height);
    for (int y = 0; y < a->height; y++)
        for (int x = 0; x < a->width; x++)
            alone.dark[y * a->width + x] = (unsigned char)ink_alone(a, b, x, y);
    return alone;
}

static int window_sum(const struct picture *alone, int left, int top)
{
    int sum = 0;
    for (int y = top; y < top + WINDOW; y++)
        for (int x = left; x < left + WINDOW; x++)
            sum += darkness(alone, x, y);
    return sum;
}

/* The most ink that any window lacks; windows overlap by half. */
static int worst_window(const struct picture *alone)
{
    int worst = 0;
    for (int y = 0; y < alone->height; y += WINDOW / 2)
        for (int x = 0; x < alone->width; x += WINDOW / 2) {
            int sum = window_sum(alone, x, y);
            worst = sum > worst ? sum : worst;
        }
    return worst;
}

static void show_difference(const struct picture *kept, const struct picture *gone,
                            const struct picture *new, const char *name)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, kept->width, kept->height);
    unsigned char *pixels = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < kept->height; y++)
        for (int x = 0; x < kept->width; x++) {
            unsigned char *pixel = pixels + y * stride + 4 * x;
            int pale = 255 - darkness(kept, x, y) / 4;
            int red = darkness(gone, x, y), blue = darkness(new, x, y);
            int most = red > blue ? red : blue;
            pixel[0] = (unsigned char)(blue ? 255 : pale - pale * most / 255);
            pixel[1] = (unsigned char)(pale - pale * most / 255);
            pixel[2] = (unsigned char)(red ? 255 : pale - pale * most / 255);
        }
    cairo_surface_mark_dirty(surface);
    cairo_surface_write_to_png(surface, name);
    cairo_surface_destroy(surface);
}

static int compare(const char *kept_name, const char *page_name, const char *difference)
{
    struct picture kept = load_png(kept_name), page = load_page(page_name);
    if (kept.width != page.width || kept.height != page.height) {
        printf("%s: %d by %d pixels, kept %d by %d\n", page_name, page.width, page.height,
               kept.width, kept.height);
        return 1;
    }
    struct picture gone = lacks(&kept, &page), new = lacks(&page, &kept);
    int lacking = worst_window(&gone), added = worst_window(&new);
    bool same = lacking <= WINDOW_MOST && added <= WINDOW_MOST;
    printf("%s: gone %d, new %d, at most %d: %s\n", page_name, lacking, added, WINDOW_MOST,
           same ? "the same page" : difference);
    if (!same)
        show_difference(&kept, &gone, &new, difference);
    free(kept.dark);
    free(page.dark);
    free(gone.dark);
    free(new.dark);
    return !same;
}

int main(int argc, char **argv)
{
    if (argc == 4 && strcmp(argv[1], "keep") == 0) {
        struct picture page = load_page(argv[2]);
        keep(&page, argv[3]);
        free(page.dark);
        return 0;
    }
    if (argc == 5 && strcmp(argv[1], "compare") == 0)
        return compare(argv[2], argv[3], argv[4]);
    fputs("usage: picture keep PAGE.pgm KEPT.png | compare KEPT.png PAGE.pgm DIFF.png\n", stderr);
    return 2;
}
