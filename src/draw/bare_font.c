#include "draw/bare_font.h"

#include "base/arena.h"

#include <stdint.h>
#include <string.h>

/* Names and numbers are those of OpenType 1.9: "Font file", "glyf", "loca". */

enum { HEADER = 12, ENTRY = 16, TABLES_MOST = 64 };
enum {
    ARGS_ARE_WORDS = 0x0001,
    HAVE_A_SCALE = 0x0008,
    MORE_COMPONENTS = 0x0020,
    HAVE_TWO_SCALES = 0x0040,
    HAVE_A_MATRIX = 0x0080,
    HAVE_INSTRUCTIONS = 0x0100
};

struct table {
    const uint8_t *bytes; /* NULL: the font has none */
    size_t length;
};

/* What outlines need, in the order of the directory. The rest is hints ("cvt ", "fpgm", "prep") or
   serves to set text, which is done with the whole font. */
enum { OS2, CMAP, GLYF, HEAD, HHEA, HMTX, LOCA, MAXP, NAME, POST, KEPT };
static const char tags[KEPT][5] = {"OS/2", "cmap", "glyf", "head", "hhea",
                                   "hmtx", "loca", "maxp", "name", "post"};

static unsigned word_at(const uint8_t *bytes)
{
    return (unsigned)bytes[0] << 8 | bytes[1];
}

static uint32_t long_at(const uint8_t *bytes)
{
    return (uint32_t)word_at(bytes) << 16 | word_at(bytes + 2);
}

static void put_long(char *bytes, size_t number)
{
    for (int i = 3; i >= 0; i--, number >>= 8)
        bytes[i] = (char)(number & 0xFF);
}

/* ---- reading ------------------------------------------------------------------------------ */

static bool find_tables(const uint8_t *bytes, size_t length, struct table tables[KEPT])
{
    if (length < HEADER || long_at(bytes) != 0x00010000)
        return false;
    size_t count = word_at(bytes + 4);
    if (count > TABLES_MOST || length < HEADER + count * ENTRY)
        return false;
    for (const uint8_t *entry = bytes + HEADER; count--; entry += ENTRY) {
        size_t at = long_at(entry + 8), size = long_at(entry + 12);
        if (at > length || size > length - at || memcmp(entry, "fvar", 4) == 0)
            return false;
        for (int i = 0; i < KEPT; i++)
            if (memcmp(entry, tags[i], 4) == 0)
                tables[i] = (struct table){bytes + at, size};
    }
    for (int i = 0; i < KEPT; i++)
        if (!tables[i].bytes)
            return false;
    return tables[HEAD].length >= 54 && tables[MAXP].length >= 6;
}

/* ---- glyphs ------------------------------------------------------------------------------- */

/* A simple glyph: box and ends of contours, hints, points. */
static bool add_simple(struct buffer *out, const uint8_t *glyph, size_t length)
{
    size_t hints = 10 + 2 * (size_t)word_at(glyph);
    if (length < hints + 2)
        return false;
    size_t points = hints + 2 + word_at(glyph + hints);
    if (length < points)
        return false;
    buffer_add(out, glyph, hints);
    buffer_add(out, "\0", 2);
    buffer_add(out, glyph + points, length - points);
    return true;
}

/* A glyph made of others: box, components, hints. */
static bool add_composite(struct buffer *out, const uint8_t *glyph, size_t length)
{
    size_t start = out->length, at = 10;
    buffer_add(out, glyph, length);
    for (unsigned flags = MORE_COMPONENTS; flags & MORE_COMPONENTS;) {
        if (length < at + 4)
            return false;
        flags = word_at(glyph + at);
        out->bytes[start + at] = (char)((flags & ~(unsigned)HAVE_INSTRUCTIONS) >> 8);
        at += flags & ARGS_ARE_WORDS ? 8 : 6;
        at += flags & HAVE_A_SCALE      ? 2
              : flags & HAVE_TWO_SCALES ? 4
              : flags & HAVE_A_MATRIX   ? 8
                                        : 0;
    }
    if (length < at)
        return false;
    out->length = start + at;
    return true;
}

static bool add_glyph(struct buffer *out, const uint8_t *glyph, size_t length)
{
    if (length == 0)
        return true;
    if (length < 10)
        return false;
    return glyph[0] & 0x80 ? add_composite(out, glyph, length) : add_simple(out, glyph, length);
}

static void fill_up(struct buffer *out, size_t start)
{
    size_t over = (out->length - start) % 4;
    if (over)
        buffer_add(out, "\0\0\0", 4 - over);
}

/* "head" says whether places are short; short ones are halved. */
static bool add_glyphs(struct buffer *out, const struct table tables[KEPT], uint8_t *places)
{
    const struct table *glyf = &tables[GLYF], *loca = &tables[LOCA];
    bool wide = word_at(tables[HEAD].bytes + 50) != 0;
    size_t count = word_at(tables[MAXP].bytes + 4), size = wide ? 4 : 2, start = out->length;
    if (loca->length < (count + 1) * size)
        return false;
    for (size_t i = 0; i <= count; i++) {
        char place[4];
        const uint8_t *here = loca->bytes + i * size, *next = i < count ? here + size : here;
        size_t from = wide ? long_at(here) : 2 * (size_t)word_at(here);
        size_t to = wide ? long_at(next) : 2 * (size_t)word_at(next);
        put_long(place, wide ? out->length - start : (out->length - start) / 2);
        memcpy(places + i * size, place + 4 - size, size);
        if (from > to || to > glyf->length || !add_glyph(out, glyf->bytes + from, to - from))
            return false;
        fill_up(out, start);
    }
    return wide || (out->length - start) / 2 <= UINT16_MAX;
}

/* ---- the font ----------------------------------------------------------------------------- */

/* Without checksums: FreeType does not check them, and cairo makes new ones. */
static bool add_tables(struct buffer *out, struct table tables[KEPT], uint8_t *places)
{
    static const uint8_t header[HEADER] = {0, 1, 0, 0, 0, KEPT, 0, 128, 0, 3, 0, 32};
    static const char directory[KEPT * ENTRY];
    buffer_add(out, header, sizeof header);
    buffer_add(out, directory, sizeof directory);
    for (size_t i = 0; i < KEPT; i++) {
        size_t start = out->length;
        if (i == LOCA)
            tables[LOCA].bytes = places;
        if (i != GLYF)
            buffer_add(out, tables[i].bytes, tables[i].length);
        else if (!add_glyphs(out, tables, places))
            return false;
        char *entry = out->bytes + HEADER + i * ENTRY;
        memcpy(entry, tags[i], 4);
        put_long(entry + 8, start);
        put_long(entry + 12, out->length - start);
        fill_up(out, 0);
    }
    return true;
}

bool bare_font_write(const void *bytes, size_t length, struct buffer *bare)
{
    struct table tables[KEPT] = {{0}};
    if (!find_tables(bytes, length, tables))
        return false;
    uint8_t *places = memory_alloc(tables[LOCA].length);
    memcpy(places, tables[LOCA].bytes, tables[LOCA].length);
    bool written = add_tables(bare, tables, places);
    memory_free(places);
    if (!written)
        buffer_release(bare);
    return written;
}
