/*
 * Stands in front of cairo (LD_PRELOAD) and makes of it another version: one whose structure has no
 * Figures, so that what Ratamark adds to the end of a PDF finds no place.
 */
#include <cairo.h>
#include <dlfcn.h>
#include <string.h>

static const char *renamed(const char *tag)
{
    return strcmp(tag, "Figure") == 0 ? "Div" : tag;
}

void cairo_tag_begin(cairo_t *cairo, const char *tag, const char *attributes)
{
    void (*begin)(cairo_t * cairo, const char *tag, const char *attributes);
    *(void **)&begin = dlsym(RTLD_NEXT, "cairo_tag_begin");
    begin(cairo, renamed(tag), attributes);
}

void cairo_tag_end(cairo_t *cairo, const char *tag)
{
    void (*end)(cairo_t * cairo, const char *tag);
    *(void **)&end = dlsym(RTLD_NEXT, "cairo_tag_end");
    end(cairo, renamed(tag));
}
