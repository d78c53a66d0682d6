#ifndef RATAMARK_MODEL_GLYPH_H
#define RATAMARK_MODEL_GLYPH_H
/*
 * The signs of a music face that the page uses: our name, the SMuFL canonical name and codepoint
 * (SMuFL 1.40, glyphnames.json). Tests compare them with tests/font/smufl-glyphs.tsv, copied from
 * there.
 */
#include <stdint.h>

#define GLYPHS(X)                                                                                  \
    X(HEAD_WHOLE, "noteheadWhole", 0xE0A2)                                                         \
    X(HEAD_HALF, "noteheadHalf", 0xE0A3)                                                           \
    X(HEAD_BLACK, "noteheadBlack", 0xE0A4)                                                         \
    X(HEAD_X_WHOLE, "noteheadXWhole", 0xE0A7)                                                      \
    X(HEAD_X_HALF, "noteheadXHalf", 0xE0A8)                                                        \
    X(HEAD_X_BLACK, "noteheadXBlack", 0xE0A9)                                                      \
    X(HEAD_DIAMOND_WHOLE, "noteheadDiamondWhole", 0xE0D8)                                          \
    X(HEAD_DIAMOND_HALF, "noteheadDiamondHalf", 0xE0D9)                                            \
    X(HEAD_DIAMOND_BLACK, "noteheadDiamondBlack", 0xE0DB)                                          \
    X(HEAD_SLASHED_WHOLE, "noteheadSlashedWhole1", 0xE0D3)                                         \
    X(HEAD_SLASHED_HALF, "noteheadSlashedHalf1", 0xE0D1)                                           \
    X(HEAD_SLASHED_BLACK, "noteheadSlashedBlack1", 0xE0CF)                                         \
    X(HEAD_CIRCLE_X_WHOLE, "noteheadCircleXWhole", 0xE0B1)                                         \
    X(HEAD_CIRCLE_X_HALF, "noteheadCircleXHalf", 0xE0B2)                                           \
    X(HEAD_CIRCLE_X, "noteheadCircleX", 0xE0B3)                                                    \
    X(HEAD_TRIANGLE_WHOLE, "noteheadTriangleUpWhole", 0xE0BB)                                      \
    X(HEAD_TRIANGLE_HALF, "noteheadTriangleUpHalf", 0xE0BC)                                        \
    X(HEAD_TRIANGLE_BLACK, "noteheadTriangleUpBlack", 0xE0BE)                                      \
    X(HEAD_SQUARE_WHITE, "noteheadSquareWhite", 0xE0B8)                                            \
    X(HEAD_SQUARE_BLACK, "noteheadSquareBlack", 0xE0B9)                                            \
    X(HEAD_PLUS_WHOLE, "noteheadPlusWhole", 0xE0AD)                                                \
    X(HEAD_PLUS_HALF, "noteheadPlusHalf", 0xE0AE)                                                  \
    X(HEAD_PLUS_BLACK, "noteheadPlusBlack", 0xE0AF)                                                \
    X(PARENTHESIS_LEFT, "noteheadParenthesisLeft", 0xE0F5)                                         \
    X(PARENTHESIS_RIGHT, "noteheadParenthesisRight", 0xE0F6)                                       \
    X(CLEF_PERCUSSION, "unpitchedPercussionClef1", 0xE069)                                         \
    X(METER_0, "timeSig0", 0xE080)                                                                 \
    X(METER_1, "timeSig1", 0xE081)                                                                 \
    X(METER_2, "timeSig2", 0xE082)                                                                 \
    X(METER_3, "timeSig3", 0xE083)                                                                 \
    X(METER_4, "timeSig4", 0xE084)                                                                 \
    X(METER_5, "timeSig5", 0xE085)                                                                 \
    X(METER_6, "timeSig6", 0xE086)                                                                 \
    X(METER_7, "timeSig7", 0xE087)                                                                 \
    X(METER_8, "timeSig8", 0xE088)                                                                 \
    X(METER_9, "timeSig9", 0xE089)                                                                 \
    X(METER_PLUS, "timeSigPlusSmall", 0xE08D)                                                      \
    X(REST_WHOLE, "restWhole", 0xE4E3)                                                             \
    X(REST_HALF, "restHalf", 0xE4E4)                                                               \
    X(REST_QUARTER, "restQuarter", 0xE4E5)                                                         \
    X(REST_8, "rest8th", 0xE4E6)                                                                   \
    X(REST_16, "rest16th", 0xE4E7)                                                                 \
    X(REST_32, "rest32nd", 0xE4E8)                                                                 \
    X(REST_64, "rest64th", 0xE4E9)                                                                 \
    X(FLAG_8_UP, "flag8thUp", 0xE240)                                                              \
    X(FLAG_8_DOWN, "flag8thDown", 0xE241)                                                          \
    X(FLAG_16_UP, "flag16thUp", 0xE242)                                                            \
    X(FLAG_16_DOWN, "flag16thDown", 0xE243)                                                        \
    X(FLAG_32_UP, "flag32ndUp", 0xE244)                                                            \
    X(FLAG_32_DOWN, "flag32ndDown", 0xE245)                                                        \
    X(FLAG_64_UP, "flag64thUp", 0xE246)                                                            \
    X(FLAG_64_DOWN, "flag64thDown", 0xE247)                                                        \
    X(AUGMENTATION_DOT, "augmentationDot", 0xE1E7)                                                 \
    X(ACCENT_ABOVE, "articAccentAbove", 0xE4A0)                                                    \
    X(ACCENT_BELOW, "articAccentBelow", 0xE4A1)                                                    \
    X(STRONG_ACCENT_ABOVE, "articMarcatoAbove", 0xE4AC)                                            \
    X(STRONG_ACCENT_BELOW, "articMarcatoBelow", 0xE4AD)                                            \
    X(STEM_SLASH_1, "tremolo1", 0xE220)                                                            \
    X(STEM_SLASH_2, "tremolo2", 0xE221)                                                            \
    X(STEM_SLASH_3, "tremolo3", 0xE222)                                                            \
    X(BUZZ, "buzzRoll", 0xE22A)                                                                    \
    X(OPEN, "brassMuteOpen", 0xE5E7)                                                               \
    X(HALF_OPEN, "pictHalfOpen2", 0xE7F7)                                                          \
    X(CLOSED, "brassMuteClosed", 0xE5E5)                                                           \
    X(REPEAT_1_BAR, "repeat1Bar", 0xE500)                                                          \
    X(REPEAT_2_BARS, "repeat2Bars", 0xE501)                                                        \
    X(REPEAT_DOT, "repeatDot", 0xE044)                                                             \
    X(SEGNO, "segno", 0xE047)                                                                      \
    X(CODA, "coda", 0xE048)                                                                        \
    X(SLASH, "noteheadSlashHorizontalEnds", 0xE101)                                                \
    X(DYNAMIC_P, "dynamicPiano", 0xE520)                                                           \
    X(DYNAMIC_M, "dynamicMezzo", 0xE521)                                                           \
    X(DYNAMIC_F, "dynamicForte", 0xE522)                                                           \
    X(DYNAMIC_S, "dynamicSforzando", 0xE524)                                                       \
    X(DYNAMIC_Z, "dynamicZ", 0xE525)                                                               \
    X(NOTE_WHOLE, "metNoteWhole", 0xECA2)                                                          \
    X(NOTE_HALF, "metNoteHalfUp", 0xECA3)                                                          \
    X(NOTE_QUARTER, "metNoteQuarterUp", 0xECA5)                                                    \
    X(NOTE_8, "metNote8thUp", 0xECA7)                                                              \
    X(NOTE_16, "metNote16thUp", 0xECA9)                                                            \
    X(NOTE_32, "metNote32ndUp", 0xECAB)                                                            \
    X(NOTE_DOT, "metAugmentationDot", 0xECB7)                                                      \
    X(TUPLET_0, "tuplet0", 0xE880)                                                                 \
    X(TUPLET_1, "tuplet1", 0xE881)                                                                 \
    X(TUPLET_2, "tuplet2", 0xE882)                                                                 \
    X(TUPLET_3, "tuplet3", 0xE883)                                                                 \
    X(TUPLET_4, "tuplet4", 0xE884)                                                                 \
    X(TUPLET_5, "tuplet5", 0xE885)                                                                 \
    X(TUPLET_6, "tuplet6", 0xE886)                                                                 \
    X(TUPLET_7, "tuplet7", 0xE887)                                                                 \
    X(TUPLET_8, "tuplet8", 0xE888)                                                                 \
    X(TUPLET_9, "tuplet9", 0xE889)                                                                 \
    X(TUPLET_COLON, "tupletColon", 0xE88A)

enum glyph {
    GLYPH_NONE,
#define GLYPH_ENUM(name, smufl, codepoint) GLYPH_##name,
    GLYPHS(GLYPH_ENUM)
#undef GLYPH_ENUM
        GLYPH_COUNT
};

const char *glyph_smufl_name(enum glyph glyph);
uint32_t glyph_codepoint(enum glyph glyph);

#endif
