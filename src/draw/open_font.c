#include "draw/open_font.h"

#include "base/arena.h"

#include <pthread.h>

/*
 * One FreeType library serves all fonts of the process. FreeType wants a lock around opening and
 * closing its faces (FT_Library, "In multi-threaded applications"). The lock also guards the count
 * of owners: cairo drops a face whenever its cache is full, on the thread that filled it.
 */
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static FT_Library library; /* open while any font is */
static int open_fonts;

struct open_font *open_font_new(void)
{
    struct open_font *font = memory_alloc(sizeof *font);
    *font = (struct open_font){.owners = 1};
    return font;
}

/* Under the lock. */
static void close_unused_library(void)
{
    if (open_fonts == 0)
        FT_Done_FreeType(library);
}

FT_Error open_font_read(struct open_font *font, const void *bytes, size_t length)
{
    pthread_mutex_lock(&lock);
    FT_Error error = open_fonts ? 0 : FT_Init_FreeType(&library);
    if (!error) {
        error = FT_New_Memory_Face(library, bytes, (FT_Long)length, 0, &font->face);
        open_fonts += !error;
        close_unused_library();
    }
    pthread_mutex_unlock(&lock);
    return error;
}

/* True for the last owner, who frees the font. */
static bool give_up(struct open_font *font)
{
    pthread_mutex_lock(&lock);
    bool last = --font->owners == 0;
    if (last && font->face) {
        FT_Done_Face(font->face);
        open_fonts--;
        close_unused_library();
    }
    pthread_mutex_unlock(&lock);
    return last;
}

void open_font_drop(struct open_font *font)
{
    if (!give_up(font))
        return;
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
    pthread_mutex_lock(&lock);
    font->owners++;
    pthread_mutex_unlock(&lock);
    if (cairo_font_face_set_user_data(face, &font_key, font, drop))
        open_font_drop(font);
    return face;
}
