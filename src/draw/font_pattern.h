#ifndef RATAMARK_DRAW_FONT_PATTERN_H
#define RATAMARK_DRAW_FONT_PATTERN_H
/* What fontconfig says of an installed font. */
#include <fontconfig/fontconfig.h>

/* "" where the pattern does not say. */
static inline const char *pattern_text(const FcPattern *pattern, const char *object)
{
    FcChar8 *text;
    return FcPatternGetString(pattern, object, 0, &text) == FcResultMatch ? (const char *)text : "";
}

static inline int pattern_number(const FcPattern *pattern, const char *object, int otherwise)
{
    int number;
    return FcPatternGetInteger(pattern, object, 0, &number) == FcResultMatch ? number : otherwise;
}

#endif
