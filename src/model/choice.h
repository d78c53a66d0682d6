#ifndef RATAMARK_MODEL_CHOICE_H
#define RATAMARK_MODEL_CHOICE_H
/* Which exercises to use. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Exercises by their printed numbers, from 1; a count of 0 means all. */
struct exercise_choice {
    const uint32_t *numbers;
    size_t count;
};

static inline bool exercise_chosen(struct exercise_choice choice, uint32_t number)
{
    for (size_t i = 0; i < choice.count; i++) {
        if (choice.numbers[i] == number)
            return true;
    }
    return choice.count == 0;
}

#endif
