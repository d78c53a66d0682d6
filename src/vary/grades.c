#include "vary/grades.h"

static bool is_struck(const struct space *space, uint32_t letter)
{
    const struct stroke *stroke = letter_stroke(space, letter);
    return stroke && stroke->hand != HAND_NONE;
}

/* Strokes, feet, accents, ghosts, and voices other than the first of their list. */
static size_t count_all(const struct space *space, const uint32_t *letters)
{
    static const uint32_t signs[] = {LETTER_ACCENT, LETTER_GHOST, LETTER_KICK, LETTER_HAT};
    size_t sum = 0;
    for (size_t i = 0; i < space->columns->count; i++) {
        sum += is_struck(space, letters[i]);
        sum += letter_voice(letters[i], LETTER_RIGHT_SHIFT) > 1;
        sum += letter_voice(letters[i], LETTER_LEFT_SHIFT) > 1;
        for (size_t s = 0; s < sizeof signs / sizeof *signs; s++)
            sum += (letters[i] & signs[s]) != 0;
    }
    return sum;
}

/* What is compared among equals, one after the other, each from the first column to the last. */
static const struct {
    uint32_t bits;
    bool present_first; /* else the lower number, which is earlier in its list */
} compared[] = {
    {(uint32_t)LETTER_STROKE_MASK << LETTER_STROKE_SHIFT, false},
    {(uint32_t)LETTER_VOICE_MASK << LETTER_RIGHT_SHIFT, false},
    {(uint32_t)LETTER_VOICE_MASK << LETTER_LEFT_SHIFT, false},
    {LETTER_ACCENT, true},
    {LETTER_GHOST, true},
    {LETTER_KICK, true},
    {LETTER_HAT, true},
};

int grades_compare(const struct space *space, const uint32_t *a, const uint32_t *b)
{
    size_t one = count_all(space, a), other = count_all(space, b);
    if (one != other)
        return one < other ? -1 : 1;
    for (size_t what = 0; what < sizeof compared / sizeof *compared; what++)
        for (size_t i = 0; i < space->columns->count; i++) {
            uint32_t here = a[i] & compared[what].bits, there = b[i] & compared[what].bits;
            if (here != there)
                return (here < there) == compared[what].present_first ? 1 : -1;
        }
    return 0;
}
