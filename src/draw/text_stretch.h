#ifndef RATAMARK_DRAW_TEXT_STRETCH_H
#define RATAMARK_DRAW_TEXT_STRETCH_H
/* Shaped text of one font and one direction. Lengths are in ems, x to the right, y down. */
#include <cairo.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct text_glyph {
    unsigned long index; /* in the font */
    uint32_t cluster;    /* the first byte of text that it shows */
    bool shown;          /* false: part of the text without ink (a mark of direction) */
    double x, y;         /* origin, from the stretch's left end on the baseline */
};

struct text_ink {
    double left, top, right, bottom; /* no ink where right < left */
};

struct text_stretch {
    cairo_font_face_t *face; /* lent */
    unsigned long space;     /* its glyph for a space; 0: none */
    cairo_matrix_t em;       /* the font matrix for one em: identity, or slanted */
    const char *text;
    size_t length;
    bool backward;                   /* the text runs from right to left */
    const struct text_glyph *glyphs; /* from left to right */
    size_t count;
    double advance;
    struct text_ink ink;
};

/* The least box around both. */
static inline void text_ink_add(struct text_ink *all, struct text_ink more)
{
    if (more.right < more.left)
        return;
    if (all->right < all->left) {
        *all = more;
        return;
    }
    all->left = more.left < all->left ? more.left : all->left;
    all->top = more.top < all->top ? more.top : all->top;
    all->right = more.right > all->right ? more.right : all->right;
    all->bottom = more.bottom > all->bottom ? more.bottom : all->bottom;
}

#define TEXT_INK_NONE ((struct text_ink){0, 0, -1, -1})

#endif
