#include "draw/open_font.h"

#include "base/arena.h"

/* One for all fonts, as long as one is open. */
static FT_Library library;
static int open_fonts;

struct open_font *open_font_new(void)
{
    struct open_font *font = memory_alloc(sizeof *font);
    *font = (struct open_font){.owners = 1};
    return font;
}

FT_Error open_font_read(struct open_font *font, const void *bytes, size_t length)
{
    FT_Error error = open_fonts ? 0 : FT_Init_FreeType(&library);
    if (error)
        return error;
    error = FT_New_Memory_Face(library, bytes, (FT_Long)length, 0, &font->face);
    if (!error)
        open_fonts++;
    else if (!open_fonts)
        FT_Done_FreeType(library);
    return error;
}

static void close_face(struct open_font *font)
{
    FT_Done_Face(font->face);
    if (--open_fonts == 0)
        FT_Done_FreeType(library);
}

void open_font_drop(struct open_font *font)
{
    if (--font->owners)
        return;
    if (font->face)
        close_face(font);
    buffer_release(&font->bytes);
    memory_free(font);
}

static void drop(void *font)
{
    open_font_drop(font);
}

cairo_font_face_t *open_font_for_cairo(struct open_font *font)
{
    static const cairo_user_data_key_t font_key;
    cairo_font_face_t *face = cairo_ft_font_face_create_for_ft_face(font->face, FT_LOAD_NO_HINTING);
    font->owners++;
    if (cairo_font_face_set_user_data(face, &font_key, font, drop))
        open_font_drop(font);
    return face;
}
