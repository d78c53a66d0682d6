/*
 * Turns the music face's SMuFL metadata into C tables of what layout asks, so that a run of the
 * program reads no JSON:
 *
 *     face_table METADATA.json > OUT.c
 *
 * OUT.c defines what draw/embedded.h declares of metrics. Built and run by the Makefile.
 */
#include "draw/music_metadata.h"

#include <stdio.h>

static void print_defaults(const struct engraving_defaults *defaults)
{
    const sp *values = (const sp *)defaults;
    printf("const struct engraving_defaults embedded_defaults = {");
    for (size_t i = 0; i < sizeof *defaults / sizeof *values; i++)
        printf("%d, ", values[i]);
    printf("};\n");
}

/* A sign without metadata stays out: it is not present. */
static void print_glyph(const json_t *metadata, enum glyph glyph)
{
    struct glyph_metrics m = {0};
    const char *name = glyph_smufl_name(glyph);
    if (!music_metadata_box(metadata, name, &m.ink) ||
        !music_metadata_advance(metadata, name, &m.advance))
        return;
    music_metadata_anchors(metadata, name, &m);
    printf("    [%d] = {{%d, %d, %d, %d}, %d, true, {%d, %d}, {%d, %d}, {%d, %d}, {%d, %d}},\n",
           (int)glyph, m.ink.left, m.ink.top, m.ink.right, m.ink.bottom, m.advance, m.stem_up_se.x,
           m.stem_up_se.y, m.stem_down_nw.x, m.stem_down_nw.y, m.stem_up_nw.x, m.stem_up_nw.y,
           m.stem_down_sw.x, m.stem_down_sw.y);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: face_table METADATA.json > OUT.c\n");
        return 2;
    }
    json_error_t error;
    json_t *metadata = json_load_file(argv[1], 0, &error);
    if (!metadata) {
        fprintf(stderr, "face_table: %s:%d: %s\n", argv[1], error.line, error.text);
        return 1;
    }
    struct engraving_defaults defaults = music_metadata_house;
    music_metadata_defaults(metadata, &defaults);
    printf("#include \"draw/embedded.h\"\n");
    print_defaults(&defaults);
    printf("const struct glyph_metrics embedded_glyphs[GLYPH_COUNT] = {\n");
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++)
        print_glyph(metadata, glyph);
    printf("};\n");
    json_decref(metadata);
    return fflush(stdout) || ferror(stdout);
}
