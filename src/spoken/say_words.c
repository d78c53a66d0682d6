/* The words of the trade as they are spoken. */
#include "model/tempo.h"
#include "spoken/spoken_int.h"

#include <stdio.h>
#include <string.h>

/* ---- numbers ------------------------------------------------------------------------------ */

const char *word_of_number(unsigned number)
{
    static const char *const small[] = {"zero",    "one",     "two",       "three",    "four",
                                        "five",    "six",     "seven",     "eight",    "nine",
                                        "ten",     "eleven",  "twelve",    "thirteen", "fourteen",
                                        "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"};
    static const char *const tens[] = {"",      "",      "twenty",  "thirty", "forty",
                                       "fifty", "sixty", "seventy", "eighty", "ninety"};
    static _Thread_local char texts[4][24];
    static _Thread_local unsigned turn;
    if (number < 20)
        return small[number];
    char *text = texts[turn++ % 4];
    if (number > 99)
        snprintf(text, sizeof texts[0], "%u", number);
    else
        snprintf(text, sizeof texts[0], "%s%s%s", tens[number / 10], number % 10 ? "-" : "",
                 number % 10 ? small[number % 10] : "");
    return text;
}

void word_range(unsigned first, unsigned last, struct buffer *out)
{
    buffer_format(out, "%u", first);
    if (first != last)
        buffer_format(out, "%s%u", last == first + 1 ? " and " : " to ", last);
}

const char *list_separator(size_t i, size_t count)
{
    return i == 0 ? "" : i + 1 < count ? ", " : " and ";
}

const char *word_times(struct arena *arena, unsigned times)
{
    return times == 1 ? "once" : times == 2 ? "twice" : arena_format(arena, "%u times", times);
}

/* ---- meters, tempos ------------------------------------------------------------------------ */

void word_meter(const struct meter *meter, struct buffer *out)
{
    unsigned sum = 0;
    for (uint8_t i = 0; i < meter->group_count; i++)
        sum += meter->groups[i];
    buffer_format(out, "%s %s", word_of_number(sum), word_of_number(meter->unit));
    buffer_add_text(out, meter->group_count > 1 ? ", in groups of " : "");
    for (uint8_t i = 0; meter->group_count > 1 && i < meter->group_count; i++)
        buffer_format(out, "%s%s", list_separator(i, meter->group_count),
                      word_of_number(meter->groups[i]));
}

static const char *const values[] = {
    "whole",     "half",          "quarter",      "eighth",
    "sixteenth", "thirty-second", "sixty-fourth", "hundred-twenty-eighth"};

const char *word_value(struct arena *arena, unsigned value_log2, unsigned dots)
{
    static const char *const dotted[] = {"", "dotted ", "double-dotted ", "triple-dotted "};
    enum { VALUES = sizeof values / sizeof *values, DOTS = sizeof dotted / sizeof *dotted };
    return arena_format(arena, "%s%s", dotted[dots < DOTS ? dots : DOTS - 1],
                        values[value_log2 < VALUES ? value_log2 : VALUES - 1]);
}

/* A beat as a note value. */
static void beat_value(struct fraction beat, unsigned *log2, unsigned *dots)
{
    *dots = beat.numerator == 3;
    int64_t value = beat.numerator == 3 ? beat.denominator / 2 : beat.denominator;
    for (*log2 = 0; value > 1; value /= 2)
        ++*log2;
}

void word_tempo(const struct tempo *tempo, const struct meter *meter, struct buffer *out)
{
    unsigned log2 = tempo->unit_log2, dots = tempo->unit_dots;
    if (tempo->unit_log2 == 0xFF)
        beat_value(tempo_meter_beat(meter), &log2, &dots);
    for (size_t i = 0; i < tempo->count; i++)
        buffer_format(out, "%s%s",
                      i == 0           ? ""
                      : tempo->range   ? " to "
                      : tempo->gradual ? ", gradually changing to "
                                       : ", ",
                      tempo_text(tempo->hundredths[i], (char[TEMPO_TEXT_ROOM]){0}));
    buffer_format(out, " %s%s notes a minute", dots ? "dotted " : "", values[log2]);
}

bool is_swung(struct fraction swing)
{
    return swing.denominator && swing.numerator && swing.numerator * 2 != swing.denominator;
}

void word_swing(struct fraction swing, struct buffer *out)
{
    if (!is_swung(swing))
        buffer_add_text(out, "straight");
    else
        buffer_format(out, "swung %s to %s", word_of_number((unsigned)swing.numerator),
                      word_of_number((unsigned)(swing.denominator - swing.numerator)));
}

static void add_pulse_note(const struct pulse_note *note, struct buffer *out)
{
    bool vowel = !note->dots && note->value_log2 == 3;
    buffer_format(out, "%s %s%s", vowel ? "an" : "a", note->dots ? "dotted " : "",
                  values[note->value_log2]);
    if (note->tuplet)
        buffer_format(out, " of a tuplet of %s", word_of_number(note->tuplet));
}

void word_pulse(const struct pulse *pulse, struct buffer *out)
{
    bool same = pulse->before.value_log2 == pulse->now.value_log2 &&
                pulse->before.dots == pulse->now.dots && pulse->before.tuplet == pulse->now.tuplet;
    add_pulse_note(&pulse->now, out);
    buffer_add_text(out, " as long as ");
    if (same) {
        buffer_add_text(out, "before");
        return;
    }
    add_pulse_note(&pulse->before, out);
    buffer_add_text(out, " was");
}

/* ---- strokes ------------------------------------------------------------------------------ */

const char *word_limb(unsigned limb)
{
    static const char *const words[LIMBS] = {
        [LIMB_RIGHT_HAND] = "right",    [LIMB_LEFT_HAND] = "left", [LIMB_RIGHT_FOOT] = "right foot",
        [LIMB_LEFT_FOOT] = "left foot", [LIMB_HAND] = "stroke",
    };
    return words[limb];
}

const char *voice_word(const struct telling *telling, voice_id voice)
{
    const struct voice *known = &telling->score->lesson->kit.voices[voice];
    return known->spoken ? known->spoken : known->name;
}

/* Whether the name alone says which hands play the grace strokes: the other hand in a flam and a
   drag, alternating into the stroke in a ruff (PAS rudiments 20 and 31; common practice). A note of
   both hands has no other hand. */
static bool graces_expected(const struct note *note)
{
    unsigned other = note->letter == 'L' ? 0 : 1;
    if (note->letter != 'R' && note->letter != 'L')
        return false;
    for (unsigned i = 0; i < note->grace_count; i++) {
        bool same = note->grace_count == 2 || (note->grace_count - 1U - i) % 2 == 0;
        if ((note->graces >> i & 1U) != (same ? other : !other))
            return false;
    }
    return true;
}

static void word_graces(const struct note *note, struct buffer *out)
{
    static const char *const names[] = {"", " flam", " drag", " ruff"};
    if (note->grace_count < sizeof names / sizeof *names)
        buffer_add_text(out, names[note->grace_count]);
    else
        buffer_format(out, " ruff of %s", word_of_number(note->grace_count + 1U));
    if (graces_expected(note))
        return;
    buffer_add_text(out, " led by");
    for (unsigned i = 0; i < note->grace_count; i++)
        buffer_format(out, "%s %s", i ? " and" : "", note->graces >> i & 1U ? "left" : "right");
}

/* A roll with a number has its usual name, and is heard to end on the stroke that it leads to. */
static void word_mark(const struct note *note, int mark, struct buffer *out)
{
    mark_set bit = stroke_marks[mark].bit;
    if (note->roll && bit & MARKS_DIVIDING)
        buffer_format(out, " %s stroke roll in %s slash%s", word_of_number(note->roll),
                      word_of_number(stroke_marks[mark].times),
                      stroke_marks[mark].times == 1 ? "" : "es");
    else if (bit == MARK_RING && note->roll)
        buffer_add_text(out, " into the next stroke");
    else if (bit == MARK_RING && note->marks & MARKS_ON_STEM)
        buffer_add_text(out, " rolling on");
    else
        buffer_format(out, " %s", stroke_marks[mark].spoken);
}

void word_marks(const struct note *note, const struct hit *hit, struct buffer *out)
{
    mark_set marks = marks_without(hit_marks(note, hit), MARK_GHOST);
    if (note->grace_count)
        word_graces(note, out);
    for (int i = 0; marks && i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit)
            word_mark(note, i, out);
}

const char *word_unstruck(const struct leaf *leaf)
{
    return leaf->rest ? "rest" : leaf->ends_roll ? "the roll's last stroke" : "held";
}

const char *word_dynamic(const char *text)
{
    static const struct {
        const char *sign, *word;
    } words[] = {{"ppp", "pianississimo"}, {"pp", "pianissimo"},     {"p", "piano"},
                 {"mp", "mezzo piano"},    {"mf", "mezzo forte"},    {"f", "forte"},
                 {"ff", "fortissimo"},     {"fff", "fortississimo"}, {"sfz", "sforzando"},
                 {"fp", "forte piano"},    {"cresc", "crescendo"},   {"dim", "diminuendo"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i].sign, text) == 0)
            return words[i].word;
    return text;
}
