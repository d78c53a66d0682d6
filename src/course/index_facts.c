#include "course/index_facts.h"

#include "model/tempo.h"

enum { UNITS_MAX = 8, LETTERS_MAX = 24 };

/* ---- tempo -------------------------------------------------------------------------------- */

struct unit {
    struct fraction beat;
    unsigned least, most;
};

static void add_bpm(struct unit *units, size_t *count, struct fraction beat, unsigned tempo)
{
    size_t i = 0;
    while (i < *count && !fraction_equal(units[i].beat, beat))
        i++;
    if (i == UNITS_MAX)
        return;
    if (i == *count)
        units[(*count)++] = (struct unit){beat, tempo, tempo};
    units[i].least = tempo < units[i].least ? tempo : units[i].least;
    units[i].most = tempo > units[i].most ? tempo : units[i].most;
}

/* "quarters" for 1/4, "dotted eighths" for 3/16. */
static void add_unit(struct buffer *out, struct fraction beat)
{
    static const struct {
        int length;
        const char *word;
    } words[] = {{1, "wholes"},      {2, "halves"},          {4, "quarters"},      {8, "eighths"},
                 {16, "sixteenths"}, {32, "thirty-seconds"}, {64, "sixty-fourths"}};
    bool dotted = beat.numerator == 3;
    int64_t length = dotted ? beat.denominator / 2 : beat.denominator;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i].length == length)
            buffer_format(out, "%s%s ", dotted ? "dotted " : "", words[i].word);
}

void index_tempo(const struct score *score, struct buffer *out)
{
    struct unit units[UNITS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        if (!exercise->tempo)
            continue;
        const struct meter *meter =
            exercise->bar_count ? exercise->bars[0].meter : exercise->source->settings.meter;
        struct fraction beat = tempo_beat(exercise->tempo, meter);
        for (size_t k = 0; k < exercise->tempo->count; k++)
            add_bpm(units, &count, beat, exercise->tempo->hundredths[k]);
    }
    bool quarters = count == 1 && fraction_equal(units[0].beat, fraction_make(1, 4));
    for (size_t i = 0; i < count; i++) {
        buffer_add_text(out, i ? ", " : "");
        if (!quarters)
            add_unit(out, units[i].beat);
        char room[TEMPO_TEXT_ROOM];
        buffer_add_text(out, tempo_text(units[i].least, room));
        if (units[i].most > units[i].least)
            buffer_format(out, "\u2013%s", tempo_text(units[i].most, room));
    }
}

/* ---- the picture -------------------------------------------------------------------------- */

static void add_letters(const struct score_bar *bar, struct buffer *out)
{
    struct sticking_walk walk = {.bar = bar};
    size_t letters = 0;
    for (const struct leaf *leaf; letters < LETTERS_MAX && (leaf = sticking_next(&walk));)
        if (leaf->note->letter)
            buffer_format(out, "%s%c", letters++ ? " " : ". Its first bar: ", leaf->note->letter);
}

void index_picture_text(const struct score *score, struct buffer *out)
{
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        if (exercise->bar_count == 0)
            continue;
        buffer_format(out, "First line of exercise %u", exercise->number);
        if (exercise->title)
            buffer_format(out, ", %s", exercise->title);
        add_letters(&exercise->bars[0], out);
        return;
    }
    buffer_add_text(out, "First page");
}
