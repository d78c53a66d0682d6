/*
 * Every sign of the examples survives a photocopier: a page is rendered and each pixel made black
 * or white at a threshold, from the one of a pale copy to that of a dark one.
 */
#include "base/file.h"
#include "set_lesson.h"
#include "suite.h"

#include <cairo.h>
#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    DPI = 300,
    PALE = 255 * 40 / 100, /* what is lighter turns white */
    DARK = 255 * 70 / 100,
    KEPT = 300, /* per thousand of the pixels that a dark copy has of a mark: a pale one keeps them,
                   and of a line two pixels thick at least one */
    EDGE = 2    /* pixels: the box of a mark is rounded outwards */
};

struct picture {
    cairo_surface_t *surface;
    unsigned char *rows;
    int width, height, stride;
    double scale; /* pixels in a thousandth of a staff space */
};

/* ---- rendering ---------------------------------------------------------------------------- */

static bool keep(void *closure, const void *bytes, size_t length)
{
    buffer_add(closure, bytes, length);
    return true;
}

struct source {
    const struct buffer *bytes;
    size_t at;
};

static cairo_status_t read_on(void *closure, unsigned char *data, unsigned length)
{
    struct source *source = closure;
    if (source->at + length > source->bytes->length)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(data, source->bytes->bytes + source->at, length);
    source->at += length;
    return CAIRO_STATUS_SUCCESS;
}

static struct picture render(const struct set_lesson *set, const struct page *page)
{
    struct buffer png = {0};
    struct drawing_options options = {.title = "Copy", .dpi = DPI};
    struct drawing *drawing = drawing_open(set->faces, FORMAT_PNG, &options, keep, &png);
    drawing_page(drawing, page);
    ck_assert(drawing_close(drawing));
    struct source source = {&png, 0};
    cairo_surface_t *surface = cairo_image_surface_create_from_png_stream(read_on, &source);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    buffer_release(&png);
    return (struct picture){.surface = surface,
                            .rows = cairo_image_surface_get_data(surface),
                            .width = cairo_image_surface_get_width(surface),
                            .height = cairo_image_surface_get_height(surface),
                            .stride = cairo_image_surface_get_stride(surface),
                            .scale = set->metrics.space_mm / 1000 / 25.4 * DPI};
}

/* A grey picture is read as RGB: blue comes first, and all three are alike. */
static unsigned char *pixel(const struct picture *picture, int x, int y)
{
    return picture->rows + (size_t)y * (size_t)picture->stride + 4 * (size_t)x;
}

/* ---- judging ------------------------------------------------------------------------------ */

struct frame {
    int left, top, right, bottom; /* pixels [left, right), [top, bottom) */
};

static int within(int x, int limit)
{
    return x < 0 ? 0 : x > limit ? limit : x;
}

static struct frame frame_of(const struct picture *picture, const struct mark *mark)
{
    return (struct frame){
        within((int)(mark->box.left * picture->scale) - EDGE, picture->width),
        within((int)(mark->box.top * picture->scale) - EDGE, picture->height),
        within((int)(mark->box.right * picture->scale) + EDGE, picture->width),
        within((int)(mark->box.bottom * picture->scale) + EDGE, picture->height),
    };
}

static size_t black_at(const struct picture *picture, const struct mark *mark, int threshold)
{
    struct frame frame = frame_of(picture, mark);
    size_t count = 0;
    for (int y = frame.top; y < frame.bottom; y++)
        for (int x = frame.left; x < frame.right; x++)
            count += *pixel(picture, x, y) < threshold;
    return count;
}

static bool survives(const struct picture *picture, const struct mark *mark)
{
    size_t pale = black_at(picture, mark, PALE), dark = black_at(picture, mark, DARK);
    return pale > 0 && pale * 1000 >= dark * KEPT;
}

static size_t check_page(const struct set_lesson *set, const char *name, const struct page *page)
{
    struct picture picture = render(set, page);
    size_t lost = 0;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->box.right <= mark->box.left || survives(&picture, mark))
            continue;
        if (lost++ < 3)
            printf("%s, page %u: a %s at %d %d is lost\n", name, page->number,
                   mark_role_word((enum mark_role)mark->role), mark->box.left, mark->box.top);
    }
    cairo_surface_destroy(picture.surface);
    return lost;
}

static size_t check_lesson(const char *name)
{
    char path[512];
    struct buffer text = {0};
    struct set_lesson set;
    size_t lost = 0;
    snprintf(path, sizeof path, "examples/%s", name);
    ck_assert(file_read(path, LESSON_BYTES_MAX, &text));
    set_lesson_open(&set, path, buffer_text(&text), text.length, "examples/course.yaml", true);
    ck_assert_ptr_nonnull(set.layout);
    for (uint32_t n = 1; n <= layout_page_count(set.layout); n++)
        lost += check_page(&set, name, layout_page(set.layout, n));
    set_lesson_close(&set);
    buffer_release(&text);
    return lost;
}

static int is_lesson(const struct dirent *entry)
{
    const char *dot = strrchr(entry->d_name, '.');
    return dot && strcmp(dot, ".yaml") == 0 && strcmp(entry->d_name, "course.yaml") != 0;
}

START_TEST(every_sign_of_the_examples_survives_a_copy)
{
    struct dirent **names;
    int count = scandir("examples", &names, is_lesson, alphasort);
    size_t lost = 0;
    ck_assert_int_gt(count, 14);
    for (int i = 0; i < count; i++) {
        lost += check_lesson(names[i]->d_name);
        free(names[i]);
    }
    free(names);
    fflush(stdout); /* a failing assertion leaves without it */
    ck_assert_uint_eq(lost, 0);
}
END_TEST

/* A count in the grey that silent ones once had, six tenths of white. */
START_TEST(a_pale_count_is_found)
{
    static const char text[] = "exercises:\n  - {subdivision: sixteenths, sticking: R.L.}\n";
    struct set_lesson set;
    set_lesson_open(&set, "pale", text, strlen(text), NULL, true);
    const struct page *page = layout_page(set.layout, 1);
    const struct mark *count = page->marks;
    while (count->role != ROLE_SYLLABLE)
        count++;
    struct picture picture = render(&set, page);
    ck_assert(survives(&picture, count));
    struct frame frame = frame_of(&picture, count);
    for (int y = frame.top; y < frame.bottom; y++)
        for (int x = frame.left; x < frame.right; x++) {
            unsigned char *at = pixel(&picture, x, y);
            *at = (unsigned char)(255 - (255 - *at) * 2 / 5);
        }
    ck_assert(!survives(&picture, count));
    cairo_surface_destroy(picture.surface);
    set_lesson_close(&set);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("photocopy");
    TCase *copies = tcase_create("copies");
    tcase_set_timeout(copies, 300);
    tcase_add_checked_fixture(copies, set_lesson_keep_faces, set_lesson_drop_faces);
    tcase_add_test(copies, a_pale_count_is_found);
    tcase_add_test(copies, every_sign_of_the_examples_survives_a_copy);
    suite_add_tcase(suite, copies);
    return run_suite(suite);
}
