#include "model/stroke_mark.h"

#include <stdio.h>

/* A row that says too little does not compile. */
#define ROW(id, sign_, times_, word_, named_, spoken_, strokes_, level_, place_, above_, below_,   \
            grid_, cell_, excludes_)                                                               \
    _Static_assert((sign_) || sizeof(word_) > 1 || MARK_##id == MARK_GHOST,                        \
                   "stroke mark " #id ": no sign and no word asks for it");                        \
    _Static_assert((sign_) ? (times_) >= 1 && (times_) <= 3 : (times_) == 0,                       \
                   "stroke mark " #id ": its sign is written once to three times");                \
    _Static_assert(sizeof(named_) > 1, "stroke mark " #id ": messages cannot name it");            \
    _Static_assert(sizeof(spoken_) > 1, "stroke mark " #id ": the reading has no word for it");    \
    _Static_assert(sizeof(cell_) > 1, "stroke mark " #id ": the grid cannot show it");             \
    _Static_assert((strokes_) >= 0 && (strokes_) <= 8, "stroke mark " #id ": strokes");            \
    _Static_assert((MARK_AT_##place_ == MARK_AT_HEAD || MARK_AT_##place_ == MARK_AT_TIE) ==        \
                           (GLYPH_##above_ == GLYPH_NONE) &&                                       \
                       (GLYPH_##above_ == GLYPH_NONE) == (GLYPH_##below_ == GLYPH_NONE),           \
                   "stroke mark " #id ": the page has no glyph for it, or no place");              \
    _Static_assert(((excludes_) & ~MARKS_ALL) == 0, "stroke mark " #id ": excludes");
STROKE_MARKS(ROW)
#undef ROW

const struct stroke_mark stroke_marks[MARK_COUNT] = {
#define ROW(id, sign_, times_, word_, named_, spoken_, strokes_, level_, place_, above_, below_,   \
            grid_, cell_, excludes_)                                                               \
    {.word = word_,                                                                                \
     .named = named_,                                                                              \
     .spoken = spoken_,                                                                            \
     .cell = cell_,                                                                                \
     .bit = MARK_##id,                                                                             \
     .excludes = (excludes_) & ~MARK_##id,                                                         \
     .level = level_,                                                                              \
     .glyphs = {GLYPH_##below_, GLYPH_##above_},                                                   \
     .place = MARK_AT_##place_,                                                                    \
     .grid = MARK_CELL_##grid_,                                                                    \
     .strokes = strokes_,                                                                          \
     .times = times_,                                                                              \
     .sign = sign_},
    STROKE_MARKS(ROW)
#undef ROW
};

mark_set marks_against(mark_set marks)
{
    mark_set against = MARK_NONE;
    for (int i = 0; marks && i < MARK_COUNT; i++) {
        const struct stroke_mark *mark = &stroke_marks[i];
        if (marks & mark->bit)
            against |= mark->excludes;
        if (marks & mark->excludes)
            against |= mark->bit;
    }
    return against;
}

bool marks_conflict(mark_set marks, char text[MARKS_CONFLICT_ROOM])
{
    if (!(marks & (marks - 1)))
        return false; /* one mark, or none */
    for (int a = 0; a < MARK_COUNT; a++) {
        const struct stroke_mark *one = &stroke_marks[a];
        mark_set against = marks & one->bit ? marks & marks_against(one->bit) : MARK_NONE;
        for (int b = 0; against && b < MARK_COUNT; b++)
            if (against & stroke_marks[b].bit) {
                snprintf(text, MARKS_CONFLICT_ROOM, "%s and %s on one stroke", one->named,
                         stroke_marks[b].named);
                return true;
            }
    }
    return false;
}

int marks_strokes(mark_set marks)
{
    for (int i = 0; marks && i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit && stroke_marks[i].strokes != 1)
            return stroke_marks[i].strokes;
    return 1;
}

int marks_level(mark_set marks)
{
    int level = 0;
    for (int i = 0; marks && i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit)
            level += stroke_marks[i].level;
    return level;
}

enum glyph marks_glyph(mark_set marks, enum mark_place place, bool stem_up)
{
    for (int i = 0; marks && i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit && stroke_marks[i].place == place)
            return (enum glyph)stroke_marks[i].glyphs[stem_up];
    return GLYPH_NONE;
}
