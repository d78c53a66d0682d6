#include "model/metrics.h"

/*
 * Text that is read while playing is measured in staff spaces and grows with the staff; other text
 * is in millimetres on any staff. On a small one none gets smaller than LEAST_MM. At 70 cm a
 * capital of 2.5 mm fills 12 minutes of arc, twice what a sharp eye needs and about as much as
 * print at reading distance (common practice). Sticking letters keep to that. They alone are bold,
 * with the numbers of beats and rehearsal letters: size makes a title, a ring the number in it, and
 * headings are semibold. Letters of graces are light, as on a small staff they are as large as the
 * others.
 */
static const struct text_style_row styles[TEXT_STYLE_COUNT] = {
    [TEXT_TITLE] = {.weight = 400, .size = 8.4},
    [TEXT_SUBTITLE] = {.weight = 400, .size = 3.9, .grey = 0.25},
    [TEXT_SCHOOL] = {.weight = 400, .size = 3.5, .grey = 0.25},
    [TEXT_HEADING] = {.weight = 600, .size = 4.8},
    [TEXT_HEADING_NUMBER] = {.weight = 400, .size = 4.2},
    [TEXT_INSTRUCTION] = {.weight = 400, .size = 3.4, .grey = 0.25},
    [TEXT_PARAGRAPH] = {.weight = 400, .size = 3.5, .grey = 0.15},
    [TEXT_TEMPO] = {.weight = 400, .size = 3.6},
    [TEXT_STICKING] = {.weight = 700, .of_staff = true, .size = 2.0},
    [TEXT_STICKING_GRACE] = {.weight = 400, .of_staff = true, .size = 1.45},
    [TEXT_ROLL_NUMBER] = {.weight = 700, .of_staff = true, .size = 1.6},
    [TEXT_STICKING_FEET] = {.weight = 400, .of_staff = true, .size = 1.75},
    [TEXT_COUNT] = {.weight = 400, .of_staff = true, .size = 1.65, .grey = 0.2},
    [TEXT_COUNT_BEAT] = {.weight = 700, .of_staff = true, .size = 1.75},
    [TEXT_COUNT_SILENT] = {.weight = 400, .of_staff = true, .size = 1.65, .grey = 0.3},
    /* Narrowing letters to four fifths thins their upright strokes; the next heavier weight makes
       up for it. */
    [TEXT_COUNT_TIGHT] = {.weight = 600, .of_staff = true, .size = 1.65, .grey = 0.2, .width = 0.8},
    [TEXT_COUNT_BEAT_TIGHT] = {.weight = 700, .of_staff = true, .size = 1.75, .width = 0.9},
    [TEXT_COUNT_SILENT_TIGHT] =
        {.weight = 600, .of_staff = true, .size = 1.65, .grey = 0.3, .width = 0.8},
    [TEXT_KEY_LABEL] = {.weight = 400, .size = 3.1},
    [TEXT_KEY_TITLE] = {.weight = 600, .size = 3.1},
    [TEXT_PLAN_LABEL] = {.weight = 400, .size = 2.5},
    [TEXT_PLAYS] = {.weight = 400, .italic = true, .size = 3.1},
    [TEXT_ENDING] = {.weight = 600, .of_staff = true, .size = 1.6},
    [TEXT_MARK] = {.weight = 700, .of_staff = true, .size = 2.3},
    [TEXT_WORDS] = {.weight = 600, .of_staff = true, .size = 1.7},
    [TEXT_DYNAMIC_WORD] = {.weight = 400, .italic = true, .of_staff = true, .size = 1.8},
    [TEXT_LADDER_TITLE] = {.weight = 600, .size = 3.6},
    [TEXT_LADDER_STEP] = {.weight = 400, .size = 3.6},
    [TEXT_CAUTION] = {.weight = 400, .size = 2.9, .grey = 0.25},
    [TEXT_FOOT] = {.weight = 400, .size = 2.8, .grey = 0.25},
    [TEXT_BAR_NUMBER] = {.weight = 400, .of_staff = true, .size = 1.45, .grey = 0.25},
    [TEXT_COVER_TITLE] = {.weight = 400, .size = 17},
    [TEXT_COVER_SUBTITLE] = {.weight = 400, .size = 6.5, .grey = 0.25},
    [TEXT_COVER_AUTHOR] = {.weight = 400, .size = 5},
    [TEXT_COVER_NUMBER] = {.weight = 400, .size = 26},
    [TEXT_CONTENTS] = {.weight = 400, .size = 4},
    [TEXT_CONTENTS_NOTE] = {.weight = 400, .size = 3.3, .grey = 0.35},
};

/* 7 points: smaller text cannot be read from a music stand. */
#define LEAST_MM (7 * 25.4 / 72)

double text_style_mm(enum text_style style, double space_mm, int size)
{
    const struct text_style_row *row = &styles[style];
    double em = row->of_staff ? row->size * space_mm : row->size;
    double least = row->of_staff ? LEAST_MM : row->size;
    return em * size < least * 1000 ? least * 1000 / size : em;
}

const struct text_style_row *text_style(enum text_style style)
{
    return &styles[style];
}
