#ifndef RATAMARK_DRAW_OPEN_FONT_H
#define RATAMARK_DRAW_OPEN_FONT_H
/* A font in memory, open for FreeType and for cairo. Fonts may be opened, shared and dropped from
   any thread. */
#include "base/buffer.h"

#include <cairo-ft.h>
#include <ft2build.h>
#include FT_FREETYPE_H

/* Cairo caches faces after their last use, so a font is closed when its last owner gives it up. */
struct open_font {
    int owners;
    FT_Face face;        /* NULL until opened */
    struct buffer bytes; /* of a font that has its own */
};

/* A font that is not open yet, with one owner. */
struct open_font *open_font_new(void);
/* Opens it. The bytes must outlive it: its own buffer, or part of the program. */
FT_Error open_font_read(struct open_font *font, const void *bytes, size_t length);
/* A face for cairo, which becomes an owner of the font; the caller destroys the face. */
cairo_font_face_t *open_font_for_cairo(struct open_font *font);
void open_font_drop(struct open_font *font);

#endif
