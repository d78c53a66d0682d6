/* Which fonts a machine has, as far as they decide what a page looks like. */
#include "base/buffer.h"
#include "base/digest.h"
#include "base/file.h"
#include "draw/draw.h"
#include "draw/font_pattern.h"
#include "draw/music_face.h"
#include "draw/text_font.h"

#include <stdlib.h>
#include <string.h>

enum { FONT_BYTES_MAX = 64 * 1024 * 1024 };

struct description {
    struct digester digester;
    draw_font_file *take;
    void *closure;
};

static void add_text(struct description *description, const char *text)
{
    digester_add(&description->digester, text, strlen(text) + 1);
}

/* Adds the bytes of a file. One that does not exist is taken too, as it may be put there. */
static void add_file(struct description *description, const char *path)
{
    struct buffer bytes = {0};
    description->take(description->closure, path);
    if (file_read(path, FONT_BYTES_MAX, &bytes))
        digester_add(&description->digester, bytes.bytes, bytes.length);
    buffer_release(&bytes);
}

static const char *file_name(const FcPattern *font)
{
    const char *path = pattern_text(font, FC_FILE), *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static int by_file_name(const void *a, const void *b)
{
    const FcPattern *one = *(FcPattern *const *)a, *other = *(FcPattern *const *)b;
    int order = strcmp(file_name(one), file_name(other));
    return order ? order : strcmp(pattern_text(one, FC_FILE), pattern_text(other, FC_FILE));
}

/* Adds the name and version of a font, as it may have a character that our family lacks; of our
   family, all bytes. */
static void add_font(struct description *description, const FcPattern *font)
{
    int version = pattern_number(font, FC_FONTVERSION, 0);
    add_text(description, file_name(font));
    digester_add(&description->digester, &version, sizeof version);
    if (strncmp(pattern_text(font, FC_FAMILY), TEXT_FAMILY, sizeof TEXT_FAMILY - 1) == 0)
        add_file(description, pattern_text(font, FC_FILE));
}

static void add_set(struct description *description, FcConfig *config, FcSetName name)
{
    const FcFontSet *set = FcConfigGetFonts(config, name);
    if (!set || set->nfont == 0)
        return;
    size_t count = (size_t)set->nfont;
    FcPattern **fonts = memory_alloc(count * sizeof *fonts);
    memcpy(fonts, set->fonts, count * sizeof *fonts);
    qsort(fonts, count, sizeof *fonts, by_file_name);
    for (size_t i = 0; i < count; i++) /* one file may hold several fonts */
        if (i == 0 ||
            strcmp(pattern_text(fonts[i], FC_FILE), pattern_text(fonts[i - 1], FC_FILE)) != 0)
            add_font(description, fonts[i]);
    memory_free(fonts);
}

static void take_list(const struct description *description, FcStrList *list)
{
    for (FcChar8 *path; list && (path = FcStrListNext(list));)
        description->take(description->closure, (const char *)path);
    if (list)
        FcStrListDone(list);
}

static void add_music_font(struct description *description, const char *path)
{
    struct buffer beside = {0};
    add_file(description, path);
    for (size_t i = 0; music_face_metadata_path(path, i, &beside); i++)
        add_file(description, buffer_text(&beside));
    buffer_release(&beside);
}

struct digest draw_fonts(const char *music_font, draw_font_file *take, void *closure)
{
    struct description description = {digester_begin(), take, closure};
    FcConfig *config = FcConfigReference(NULL);
    take_list(&description, FcConfigGetConfigFiles(config));
    take_list(&description, FcConfigGetFontDirs(config));
    add_set(&description, config, FcSetSystem);
    add_set(&description, config, FcSetApplication);
    FcConfigDestroy(config);
    if (music_font)
        add_music_font(&description, music_font);
    return digester_end(&description.digester);
}
