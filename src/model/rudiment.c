#include "model/rudiment.h"

#include "diag/diag.h"

#include <ctype.h>
#include <string.h>

/*
 * Percussive Arts Society, International Drum Rudiments, 1984. A line holds the figure led by the
 * right hand; where the figure changes the lead by itself, the one led by the left follows.
 * Accents differ between editions; ours are those of the standard list as far as texts agree.
 */
static const struct rudiment rudiments[RUDIMENT_COUNT] = {
    {1, "single stroke roll", "roll", "R L R L R L R L"},
    {2, "single stroke four", "roll", "R L R L"},
    {3, "single stroke seven", "roll", "R L R L R L R L R L R L R L"},
    {4, "multiple bounce roll", "roll", "Rz Lz"},
    {5, "triple stroke roll", "roll", "R R R L L L"},
    {6, "double stroke open roll", "roll", "R R L L R R L L"},
    {7, "five stroke roll", "roll", "R/ L/ R> L/ R/ L>"},
    {8, "six stroke roll", "roll", "R> L/ R/ L>"},
    {9, "seven stroke roll", "roll", "R/ L/ R/ L>"},
    {10, "nine stroke roll", "roll", "R/ L/ R/ L/ R> L/ R/ L/ R/ L>"},
    {11, "ten stroke roll", "roll", "R/ L/ R/ L/ R> L>"},
    {12, "eleven stroke roll", "roll", "R/ L/ R/ L/ R/ L>"},
    {13, "thirteen stroke roll", "roll", "R/ L/ R/ L/ R/ L/ R> L/ R/ L/ R/ L/ R/ L>"},
    {14, "fifteen stroke roll", "roll", "R/ L/ R/ L/ R/ L/ R/ L>"},
    {15, "seventeen stroke roll", "roll", "R/ L/ R/ L/ R/ L/ R/ L/ R> L/ R/ L/ R/ L/ R/ L/ R/ L>"},
    {16, "single paradiddle", "diddle", "R> L R R L> R L L"},
    {17, "double paradiddle", "diddle", "R> L R L R R L> R L R L L"},
    {18, "triple paradiddle", "diddle", "R> L R L R L R R L> R L R L R L L"},
    {19, "single paradiddle-diddle", "diddle", "R> L R R L L"},
    {20, "flam", "flam", "lR rL"},
    {21, "flam accent", "flam", "lR> L R rL> R L"},
    {22, "flam tap", "flam", "lR> R rL> L"},
    {23, "flamacue", "flam", "lR L> R L lR rL R> L R rL"},
    {24, "flam paradiddle", "flam", "lR> L R R rL> R L L"},
    {25, "single flammed mill", "flam", "lR> R L R rL> L R L"},
    {26, "flam paradiddle-diddle", "flam", "lR> L R R L L rL> R L L R R"},
    {27, "pataflafla", "flam", "lR> L R rL>"},
    {28, "swiss army triplet", "flam", "lR> R L"},
    {29, "inverted flam tap", "flam", "lR> L rL> R"},
    {30, "flam drag", "flam", "lR> L/ R rL> R/ L"},
    {31, "drag", "drag", "llR rrL"},
    {32, "single drag tap", "drag", "llR L> rrL R>"},
    {33, "double drag tap", "drag", "llR llR L> rrL rrL R>"},
    {34, "lesson 25", "drag", "llR L R>"},
    {35, "single dragadiddle", "drag", "R/> L R R L/> R L L"},
    {36, "drag paradiddle #1", "drag", "R> llR L R R L> rrL R L L"},
    {37, "drag paradiddle #2", "drag", "R> llR llR L R R L> rrL rrL R L L"},
    {38, "single ratamacue", "drag", "llR L R L> rrL R L R>"},
    {39, "double ratamacue", "drag", "llR llR L R L> rrL rrL R L R>"},
    {40, "triple ratamacue", "drag", "llR llR llR L R L> rrL rrL rrL R L R>"},
};

const struct rudiment *rudiment_get(int number)
{
    if (number < 1 || number > RUDIMENT_COUNT)
        return NULL;
    return &rudiments[number - 1];
}

static bool is_passed_over(char letter)
{
    return letter == ' ' || letter == '-' || letter == '#';
}

static bool same_name(const char *known, const char *name, size_t length)
{
    size_t i = 0;
    for (;;) {
        while (is_passed_over(*known))
            known++;
        while (i < length && is_passed_over(name[i]))
            i++;
        if (*known == '\0' || i == length)
            return *known == '\0' && i == length;
        if (*known++ != tolower((unsigned char)name[i++]))
            return false;
    }
}

const struct rudiment *rudiment_find(const char *name, size_t length)
{
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        if (same_name(rudiments[i].name, name, length))
            return &rudiments[i];
    return NULL;
}

const struct rudiment *rudiment_nearest(const char *wrong)
{
    const char *names[RUDIMENT_COUNT], *short_names[RUDIMENT_COUNT];
    for (int i = 0; i < RUDIMENT_COUNT; i++) {
        bool single = strncmp(rudiments[i].name, "single ", 7) == 0;
        names[i] = rudiments[i].name;
        short_names[i] = rudiments[i].name + (single ? 7 : 0);
    }
    const char *nearest = diag_nearest_name(wrong, names, RUDIMENT_COUNT);
    const char *const *list = nearest ? names : short_names;
    if (!nearest)
        nearest = diag_nearest_name(wrong, short_names, RUDIMENT_COUNT);
    for (int i = 0; nearest && i < RUDIMENT_COUNT; i++)
        if (list[i] == nearest)
            return &rudiments[i];
    return NULL;
}
