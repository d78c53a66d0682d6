#include "model/score.h"

const struct score_exercise *score_printing(const struct score *score, size_t index)
{
    const struct exercise *source = &score->lesson->exercises[index];
    for (size_t i = index; i < score->exercise_count; i++) /* none is printed before its place */
        if (score->exercises[i].source == source)
            return &score->exercises[i];
    return NULL;
}

bool ending_has(const struct ending *ending, uint16_t pass)
{
    for (size_t i = 0; i < ending->pass_count; i++)
        if (ending->passes[i] == pass)
            return true;
    return false;
}

uint16_t endings_last(const struct exercise *exercise)
{
    uint16_t last = 0;
    for (size_t i = 0; i < exercise->ending_count; i++)
        for (size_t p = 0; p < exercise->endings[i].pass_count; p++)
            if (exercise->endings[i].passes[p] > last)
                last = exercise->endings[i].passes[p];
    return last;
}

const char *limb_word(uint8_t limb)
{
    static const char *const words[LIMB_COUNT] = {[LIMB_RIGHT_HAND] = "right hand",
                                                  [LIMB_LEFT_HAND] = "left hand",
                                                  [LIMB_RIGHT_FOOT] = "right foot",
                                                  [LIMB_LEFT_FOOT] = "left foot"};
    return words[limb];
}
