#include "model/glyph.h"

static const struct {
    const char *smufl_name;
    uint32_t codepoint;
} glyphs[GLYPH_COUNT] = {
#define GLYPH_ROW(name, smufl, code) [GLYPH_##name] = {smufl, code},
    GLYPHS(GLYPH_ROW)
#undef GLYPH_ROW
};

const char *glyph_smufl_name(enum glyph glyph)
{
    return glyphs[glyph].smufl_name;
}

uint32_t glyph_codepoint(enum glyph glyph)
{
    return glyphs[glyph].codepoint;
}
