#include "draw/links.h"

#include <stdio.h>

/*
 * A link leads to a name, because cairo 1.16 drops links to pages that do not exist yet. It is in a
 * list of contents, because cairo writes the structure of a link only if there is other structure.
 * The locale decides how cairo reads fractions in attributes, so all numbers are whole points.
 */
static void mark_one(cairo_t *cairo, const struct page_link *link, double scale)
{
    char where[160];
    int left = (int)(link->box.left * scale), top = (int)(link->box.top * scale);
    snprintf(where, sizeof where, "rect=[%d %d %d %d] dest='page-%u'", left, top,
             (int)(link->box.right * scale) - left, (int)(link->box.bottom * scale) - top,
             (unsigned)link->page);
    cairo_tag_begin(cairo, "TOCI", NULL);
    cairo_tag_begin(cairo, CAIRO_TAG_LINK, where);
    cairo_tag_end(cairo, CAIRO_TAG_LINK);
    cairo_tag_end(cairo, "TOCI");
}

void links_mark(struct links *links, cairo_t *cairo, const struct page *page, double scale,
                struct arena *arena)
{
    if (page->link_count == 0)
        return;
    cairo_tag_begin(cairo, "TOC", NULL);
    for (size_t i = 0; i < page->link_count; i++) {
        mark_one(cairo, &page->links[i], scale);
        *vector_push(&links->targets, arena) = page->links[i].page;
    }
    cairo_tag_end(cairo, "TOC");
}

void links_mark_target(const struct links *links, cairo_t *cairo, uint32_t number)
{
    char name[48];
    for (size_t i = 0; i < links->targets.count; i++) {
        if (links->targets.items[i] != number)
            continue;
        snprintf(name, sizeof name, "name='page-%u' x=0 y=0", (unsigned)number);
        cairo_tag_begin(cairo, CAIRO_TAG_DEST, name);
        cairo_tag_end(cairo, CAIRO_TAG_DEST);
        return;
    }
}
