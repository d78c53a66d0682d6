#ifndef RATAMARK_MODEL_CHOICE_H
#define RATAMARK_MODEL_CHOICE_H
/* The exercises that someone asks for. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Exercises by the numbers that are printed, from 1; a count of 0 means all of them. */
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
