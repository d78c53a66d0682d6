/*
 * Turns the SMuFL metadata and the outlines of the music face into C tables of what layout asks, so
 * that the program reads no JSON and follows no curves when it runs:
 *
 *     face_table METADATA.json FONT.otf > OUT.c
 *
 * OUT.c defines the metrics that draw/embedded.h declares. The Makefile builds and runs this.
 */
#include "draw/music_metadata.h"
#include "draw/music_outline.h"

#include <stdio.h>

static void print_defaults(const struct engraving_defaults *defaults)
{
    const sp *values = (const sp *)defaults;
    printf("const struct engraving_defaults embedded_defaults = {");
    for (size_t i = 0; i < sizeof *defaults / sizeof *values; i++)
        printf("%d, ", values[i]);
    printf("};\n");
}

static void print_slices(struct slices slices)
{
    printf(", {%u, %d, %u}", slices.first, slices.from, slices.count);
}

/* The extents of all slices, in the order of the signs. */
struct extents {
    struct extent items[GLYPH_COUNT * OUTLINE_EXTENTS_MAX];
    size_t count;
};

/* A sign without metadata is left out. */
static void print_glyph(const json_t *metadata, hb_font_t *font, enum glyph glyph,
                        struct extents *extents)
{
    struct glyph_metrics m = {0};
    const char *name = glyph_smufl_name(glyph);
    if (!music_metadata_box(metadata, name, &m.ink) ||
        !music_metadata_advance(metadata, name, &m.advance))
        return;
    music_metadata_anchors(metadata, name, &m);
    hb_codepoint_t index = 0;
    hb_font_get_nominal_glyph(font, glyph_codepoint(glyph), &index);
    extents->count +=
        music_outline_slice(font, index, extents->count, extents->items + extents->count, &m);
    printf("    [%d] = {{%d, %d, %d, %d}, %d, true, {%d, %d}, {%d, %d}, {%d, %d}, {%d, %d}",
           (int)glyph, m.ink.left, m.ink.top, m.ink.right, m.ink.bottom, m.advance, m.stem_up_se.x,
           m.stem_up_se.y, m.stem_down_nw.x, m.stem_down_nw.y, m.stem_up_nw.x, m.stem_up_nw.y,
           m.stem_down_sw.x, m.stem_down_sw.y);
    print_slices(m.rows);
    print_slices(m.columns);
    printf("},\n");
}

static void print_glyphs(const json_t *metadata, hb_font_t *font)
{
    static struct extents extents;
    printf("const struct glyph_metrics embedded_glyphs[GLYPH_COUNT] = {\n");
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++)
        print_glyph(metadata, font, glyph, &extents);
    printf("};\nconst struct extent embedded_extents[] = {\n");
    for (size_t i = 0; i < extents.count; i++)
        printf("    {%d, %d},\n", extents.items[i].low, extents.items[i].high);
    printf("};\nconst size_t embedded_extent_count = %zu;\n", extents.count);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: face_table METADATA.json FONT.otf > OUT.c\n");
        return 2;
    }
    json_error_t error;
    json_t *metadata = json_load_file(argv[1], 0, &error);
    if (!metadata) {
        fprintf(stderr, "face_table: %s:%d: %s\n", argv[1], error.line, error.text);
        return 1;
    }
    hb_blob_t *blob = hb_blob_create_from_file(argv[2]);
    hb_face_t *face = hb_face_create(blob, 0);
    if (hb_face_get_glyph_count(face) == 0) {
        fprintf(stderr, "face_table: cannot open the font '%s'\n", argv[2]);
        return 1;
    }
    hb_font_t *font = hb_font_create(face);
    struct engraving_defaults defaults = music_metadata_house;
    music_metadata_defaults(metadata, &defaults);
    printf("#include \"draw/embedded.h\"\n");
    print_defaults(&defaults);
    print_glyphs(metadata, font);
    hb_font_destroy(font);
    hb_face_destroy(face);
    hb_blob_destroy(blob);
    json_decref(metadata);
    return fflush(stdout) || ferror(stdout);
}
