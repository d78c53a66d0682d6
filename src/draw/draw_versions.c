/* The names and versions of the libraries that draw. */
#include "base/buffer.h"
#include "draw/draw.h"

#include <cairo.h>
#include <fontconfig/fontconfig.h>
#include <ft2build.h>
#include <pango/pango.h>
#include FT_FREETYPE_H

void draw_add_versions(struct buffer *out)
{
    buffer_format(out, "cairo %s\npango %s\n", cairo_version_string(), pango_version_string());
    int version = FcGetVersion();
    buffer_format(out, "fontconfig %d.%d.%d\n", version / 10000, version / 100 % 100,
                  version % 100);
    FT_Library library;
    if (FT_Init_FreeType(&library) == 0) {
        FT_Int major, minor, patch;
        FT_Library_Version(library, &major, &minor, &patch);
        buffer_format(out, "freetype %d.%d.%d\n", major, minor, patch);
        FT_Done_FreeType(library);
    }
}
