#include "draw/music_metadata.h"

#include <math.h>
#include <stddef.h>

const struct engraving_defaults music_metadata_house = {
    .staff_line = 120,
    .stem = 120,
    .beam = 500,
    .beam_gap = 250,
    .leger = 160,
    .leger_extension = 350,
    .thin_bar = 160,
    .thick_bar = 500,
    .bar_separation = 400,
    .repeat_dot_separation = 200,
    .tuplet_bracket = 130,
    .hairpin = 140,
    .tie_end = 90,
    .tie_middle = 200,
};

/* `bar_separation` is the distance between a thin and a thick line. Faces from before SMuFL 1.4
   state only that of two thin lines; its row comes first, so that the later one overwrites it. */
static const struct {
    const char *key;
    size_t offset;
} default_rows[] = {
    {"staffLineThickness", offsetof(struct engraving_defaults, staff_line)},
    {"stemThickness", offsetof(struct engraving_defaults, stem)},
    {"beamThickness", offsetof(struct engraving_defaults, beam)},
    {"beamSpacing", offsetof(struct engraving_defaults, beam_gap)},
    {"legerLineThickness", offsetof(struct engraving_defaults, leger)},
    {"legerLineExtension", offsetof(struct engraving_defaults, leger_extension)},
    {"thinBarlineThickness", offsetof(struct engraving_defaults, thin_bar)},
    {"thickBarlineThickness", offsetof(struct engraving_defaults, thick_bar)},
    {"barlineSeparation", offsetof(struct engraving_defaults, bar_separation)},
    {"thinThickBarlineSeparation", offsetof(struct engraving_defaults, bar_separation)},
    {"repeatBarlineDotSeparation", offsetof(struct engraving_defaults, repeat_dot_separation)},
    {"tupletBracketThickness", offsetof(struct engraving_defaults, tuplet_bracket)},
    {"hairpinThickness", offsetof(struct engraving_defaults, hairpin)},
    {"tieEndpointThickness", offsetof(struct engraving_defaults, tie_end)},
    {"tieMidpointThickness", offsetof(struct engraving_defaults, tie_middle)},
};

static const struct {
    const char *key;
    size_t offset;
} anchor_rows[] = {
    {"stemUpSE", offsetof(struct glyph_metrics, stem_up_se)},
    {"stemDownNW", offsetof(struct glyph_metrics, stem_down_nw)},
    {"stemUpNW", offsetof(struct glyph_metrics, stem_up_nw)},
    {"stemDownSW", offsetof(struct glyph_metrics, stem_down_sw)},
};

/* Reads spaces as thousandths. False for anything but a number, and for numbers that no page could
   hold. */
static bool thousandths(const json_t *number, sp *value)
{
    double spaces = json_number_value(number);
    if (!json_is_number(number) || !(fabs(spaces) < 1000))
        return false;
    *value = (sp)lround(spaces * 1000);
    return true;
}

static bool point_of(const json_t *pair, struct point *point)
{
    struct point up;
    if (!thousandths(json_array_get(pair, 0), &up.x) ||
        !thousandths(json_array_get(pair, 1), &up.y))
        return false;
    *point = (struct point){up.x, -up.y};
    return true;
}

static const json_t *entry_of(const json_t *metadata, const char *section, const char *name)
{
    return json_object_get(json_object_get(metadata, section), name);
}

void music_metadata_defaults(const json_t *metadata, struct engraving_defaults *defaults)
{
    const json_t *stated = json_object_get(metadata, "engravingDefaults");
    for (size_t i = 0; i < sizeof default_rows / sizeof *default_rows; i++) {
        sp value;
        if (thousandths(json_object_get(stated, default_rows[i].key), &value) && value >= 0)
            *(sp *)(void *)((char *)defaults + default_rows[i].offset) = value;
    }
}

bool music_metadata_box(const json_t *metadata, const char *name, struct box *box)
{
    const json_t *stated = entry_of(metadata, "glyphBBoxes", name);
    struct point north_east, south_west;
    if (!point_of(json_object_get(stated, "bBoxNE"), &north_east) ||
        !point_of(json_object_get(stated, "bBoxSW"), &south_west))
        return false;
    *box = (struct box){south_west.x, north_east.y, north_east.x, south_west.y};
    return true;
}

bool music_metadata_advance(const json_t *metadata, const char *name, sp *advance)
{
    return thousandths(entry_of(metadata, "glyphAdvanceWidths", name), advance);
}

void music_metadata_anchors(const json_t *metadata, const char *name, struct glyph_metrics *glyph)
{
    const json_t *stated = entry_of(metadata, "glyphsWithAnchors", name);
    sp middle = (glyph->ink.top + glyph->ink.bottom) / 2;
    glyph->stem_up_se = (struct point){glyph->ink.right, middle};
    glyph->stem_down_nw = (struct point){glyph->ink.left, middle};
    glyph->stem_up_nw = glyph->stem_down_sw = (struct point){0, 0};
    for (size_t i = 0; stated && i < sizeof anchor_rows / sizeof *anchor_rows; i++)
        point_of(json_object_get(stated, anchor_rows[i].key),
                 (struct point *)(void *)((char *)glyph + anchor_rows[i].offset));
}
