#include "model/rudiment.h"

#include "diag/diag.h"

#include <ctype.h>
#include <string.h>

/*
 * Percussive Arts Society, International Drum Rudiments, 1984. A line holds the figure led by the
 * right hand; where the figure changes the lead by itself, the one led by the left follows.
 * Accents differ between editions; ours are those of the standard list as far as texts agree.
 *
 * The rhythm is that of one figure. tests/reference/rudiments.tsv says which of them a public text
 * has; those of 2, 4 to 7, 9, 10, 12 to 15, 22, 23, 28 and 29 are common practice: the doubles of a
 * measured roll are slashed sixteenths, and its last stroke lasts to the end of a beat.
 */
static const struct rudiment rudiments[RUDIMENT_COUNT] = {
    {1, "single stroke roll", "roll", "16*8", "R L R L R L R L"},
    {2, "single stroke four", "roll", "3(16*3) 8", "R L R L"},
    {3, "single stroke seven", "roll", "6(16*6) 4", "R L R L R L R L R L R L R L"},
    {4, "multiple bounce roll", "roll", "4 4", "Rz Lz"},
    {5, "triple stroke roll", "roll", "3(8*3)*2", "R R R L L L"},
    {6, "double stroke open roll", "roll", "16*8", "R R L L R R L L"},
    {7, "five stroke roll", "roll", "16*2 8", "R/ L/ R> L/ R/ L>"},
    {8, "six stroke roll", "roll", "8*4", "R> L/ R/ L>"},
    {9, "seven stroke roll", "roll", "16*4", "R/ L/ R/ L>"},
    {10, "nine stroke roll", "roll", "16*4 4", "R/ L/ R/ L/ R> L/ R/ L/ R/ L>"},
    {11, "ten stroke roll", "roll", "16*6 _8", "R/ L/ R/ L/ R> L>"},
    {12, "eleven stroke roll", "roll", "16*5 8.", "R/ L/ R/ L/ R/ L>"},
    {13, "thirteen stroke roll", "roll", "16*6 8", "R/ L/ R/ L/ R/ L/ R> L/ R/ L/ R/ L/ R/ L>"},
    {14, "fifteen stroke roll", "roll", "16*8", "R/ L/ R/ L/ R/ L/ R/ L>"},
    {15, "seventeen stroke roll", "roll", "16*8 2",
     "R/ L/ R/ L/ R/ L/ R/ L/ R> L/ R/ L/ R/ L/ R/ L/ R/ L>"},
    {16, "single paradiddle", "diddle", "16*4", "R> L R R L> R L L"},
    {17, "double paradiddle", "diddle", "16*6", "R> L R L R R L> R L R L L"},
    {18, "triple paradiddle", "diddle", "16*8", "R> L R L R L R R L> R L R L R L L"},
    {19, "single paradiddle-diddle", "diddle", "16*6", "R> L R R L L"},
    {20, "flam", "flam", "4", "lR rL"},
    {21, "flam accent", "flam", "8*3", "lR> L R rL> R L"},
    {22, "flam tap", "flam", "8*2", "lR> R rL> L"},
    {23, "flamacue", "flam", "16*4 4", "lR L> R L lR rL R> L R rL"},
    {24, "flam paradiddle", "flam", "16*4", "lR> L R R rL> R L L"},
    {25, "single flammed mill", "flam", "16*4", "lR> R L R rL> L R L"},
    {26, "flam paradiddle-diddle", "flam", "16*6", "lR> L R R L L rL> R L L R R"},
    {27, "pataflafla", "flam", "16*4", "lR> L R rL>"},
    {28, "swiss army triplet", "flam", "3(8*3)", "lR> R L"},
    {29, "inverted flam tap", "flam", "8*2", "lR> L rL> R"},
    {30, "flam drag", "flam", "8*3", "lR> L/ R rL> R/ L"},
    {31, "drag", "drag", "4", "llR rrL"},
    {32, "single drag tap", "drag", "8*2", "llR L> rrL R>"},
    {33, "double drag tap", "drag", "8*3", "llR llR L> rrL rrL R>"},
    {34, "lesson 25", "drag", "16 16 8", "llR L R>"},
    {35, "single dragadiddle", "drag", "16*4", "R/> L R R L/> R L L"},
    {36, "drag paradiddle #1", "drag", "8 16*4", "R> llR L R R L> rrL R L L"},
    {37, "drag paradiddle #2", "drag", "8 8 16*4", "R> llR llR L R R L> rrL rrL R L L"},
    {38, "single ratamacue", "drag", "3(16*3) 8", "llR L R L> rrL R L R>"},
    {39, "double ratamacue", "drag", "8 3(16*3) 8", "llR llR L R L> rrL rrL R L R>"},
    {40, "triple ratamacue", "drag", "8 8 3(16*3) 8", "llR llR llR L R L> rrL rrL rrL R L R>"},
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

/* Teachers leave out "single": a paradiddle is the single one. But "stroke roll" could be any. */
static const char *without_single(const struct rudiment *rudiment)
{
    static const char single[] = "single ";
    bool begins = strncmp(rudiment->name, single, sizeof single - 1) == 0;
    return begins && rudiment->number != 1 ? rudiment->name + sizeof single - 1 : rudiment->name;
}

const struct rudiment *rudiment_find(const char *name, size_t length)
{
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        if (same_name(rudiments[i].name, name, length))
            return &rudiments[i];
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        if (same_name(without_single(&rudiments[i]), name, length))
            return &rudiments[i];
    return NULL;
}

const struct rudiment *rudiment_in_digits(const char *name)
{
    static const struct {
        const char *digits, *word;
    } numbers[] = {{"5", "five"},      {"6", "six"},      {"7", "seven"},
                   {"9", "nine"},      {"10", "ten"},     {"11", "eleven"},
                   {"13", "thirteen"}, {"15", "fifteen"}, {"17", "seventeen"}};
    size_t digits = strspn(name, "0123456789");
    const char *rest = name + digits;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        size_t length = strlen(numbers[i].word);
        if (strlen(numbers[i].digits) != digits || memcmp(numbers[i].digits, name, digits) != 0)
            continue;
        for (int k = 0; k < RUDIMENT_COUNT; k++)
            if (strncmp(rudiments[k].name, numbers[i].word, length) == 0 &&
                same_name(rudiments[k].name + length, rest, strlen(rest)))
                return &rudiments[k];
    }
    return NULL;
}

size_t rudiment_names(const char *names[RUDIMENT_NAMES_MAX])
{
    size_t count = 0;
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        names[count++] = rudiments[i].name;
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        if (without_single(&rudiments[i]) != rudiments[i].name)
            names[count++] = without_single(&rudiments[i]);
    return count;
}
