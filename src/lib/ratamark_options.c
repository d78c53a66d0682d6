/* The options of the public interface: what may be set, and its range. */
#include "lib/ratamark_int.h"

#include <string.h>

enum { DPI = 150, COLUMNS = 80, COUNT_IN = 1 };

static const struct ratamark_options defaults = {
    .dpi = DPI,
    .columns = COLUMNS,
    .sound = {.count_in = COUNT_IN, .click = true, .drums = true},
};

const struct ratamark_options *options_or_default(const struct ratamark_options *options)
{
    return options ? options : &defaults;
}

struct ratamark_options *ratamark_options_new(void)
{
    struct ratamark_options *options = memory_alloc(sizeof *options);
    *options = defaults;
    return options;
}

void ratamark_options_free(struct ratamark_options *options)
{
    if (!options)
        return;
    memory_free((void *)options->exercises.numbers);
    memory_free(options->music_font);
    memory_free(options->date);
    memory_free(options->level);
    memory_free(options);
}

static enum ratamark_result set_text(char **field, const char *text)
{
    char *copy = NULL;
    if (text) {
        size_t size = strlen(text) + 1;
        copy = memcpy(memory_alloc(size), text, size);
    }
    memory_free(*field);
    *field = copy;
    return RATAMARK_OK;
}

static enum ratamark_result set_measure(double *field, double value, double least, double most)
{
    if (!(value >= least && value <= most)) /* nor not a number */
        return RATAMARK_BAD_ARGUMENT;
    *field = value;
    return RATAMARK_OK;
}

static enum ratamark_result set_number(uint32_t *field, uint32_t value, uint32_t least,
                                       uint32_t most)
{
    if (value < least || value > most)
        return RATAMARK_BAD_ARGUMENT;
    *field = value;
    return RATAMARK_OK;
}

static enum ratamark_result set_switch(bool *field, bool value)
{
    *field = value;
    return RATAMARK_OK;
}

enum ratamark_result ratamark_set_exercises(struct ratamark_options *options,
                                            const uint32_t *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!numbers || numbers[i] == 0)
            return RATAMARK_BAD_ARGUMENT;
    uint32_t *copy = NULL;
    if (count)
        copy = memcpy(memory_alloc(count * sizeof *copy), numbers, count * sizeof *copy);
    memory_free((void *)options->exercises.numbers);
    options->exercises = (struct exercise_choice){copy, count};
    return RATAMARK_OK;
}

enum ratamark_result ratamark_set_handed(struct ratamark_options *options,
                                         enum ratamark_handed handed)
{
    static const enum handed players[] = {[RATAMARK_AS_WRITTEN] = HANDED_AS_WRITTEN,
                                          [RATAMARK_RIGHT_HANDED] = HANDED_RIGHT,
                                          [RATAMARK_LEFT_HANDED] = HANDED_LEFT};
    if ((unsigned)handed >= sizeof players / sizeof *players)
        return RATAMARK_BAD_ARGUMENT;
    options->handed = players[handed];
    return RATAMARK_OK;
}

enum ratamark_result ratamark_set_page_size(struct ratamark_options *options,
                                            enum ratamark_page_size size)
{
    static const enum page_size sizes[] = {
        [RATAMARK_A4] = PAGE_A4, [RATAMARK_LETTER] = PAGE_LETTER};
    if ((unsigned)size >= sizeof sizes / sizeof *sizes)
        return RATAMARK_BAD_ARGUMENT;
    options->page_size = sizes[size];
    options->page_size_set = true;
    return RATAMARK_OK;
}

/* The ranges are those of `page` in a lesson (read/settings.c). */
enum ratamark_result ratamark_set_margin(struct ratamark_options *options, double millimetres)
{
    return set_measure(&options->margin_mm, millimetres, 5, 60);
}

enum ratamark_result ratamark_set_staff_height(struct ratamark_options *options, double millimetres)
{
    return set_measure(&options->staff_mm, millimetres, 3, 20);
}

enum ratamark_result ratamark_set_music_font(struct ratamark_options *options, const char *path)
{
    return set_text(&options->music_font, path);
}

enum ratamark_result ratamark_set_page(struct ratamark_options *options, uint32_t page)
{
    return set_number(&options->page, page, 0, UINT32_MAX);
}

enum ratamark_result ratamark_set_date(struct ratamark_options *options, const char *date)
{
    return set_text(&options->date, date);
}

enum ratamark_result ratamark_set_dpi(struct ratamark_options *options, double dpi)
{
    return set_measure(&options->dpi, dpi, 10, 2400);
}

enum ratamark_result ratamark_set_columns(struct ratamark_options *options, uint32_t columns)
{
    return set_number(&options->columns, columns, 20, 10000);
}

enum ratamark_result ratamark_set_tempo(struct ratamark_options *options, uint32_t tempo)
{
    uint32_t whole;
    enum ratamark_result result = set_number(&whole, tempo, 0, 999);
    if (result == RATAMARK_OK)
        options->sound.at = whole * TEMPO_ONE;
    return result;
}

enum ratamark_result ratamark_set_count_in(struct ratamark_options *options, uint32_t bars)
{
    return set_number(&options->sound.count_in, bars, 0, 16);
}

enum ratamark_result ratamark_set_click(struct ratamark_options *options, bool click)
{
    return set_switch(&options->sound.click, click);
}

enum ratamark_result ratamark_set_drums(struct ratamark_options *options, bool drums)
{
    return set_switch(&options->sound.drums, drums);
}

enum ratamark_result ratamark_set_times(struct ratamark_options *options, uint32_t times)
{
    return set_number(&options->sound.times, times, 1, 9999);
}

enum ratamark_result ratamark_set_level(struct ratamark_options *options, const char *name)
{
    return set_text(&options->level, name);
}

enum ratamark_result ratamark_set_judged_tempo(struct ratamark_options *options, uint32_t tempo)
{
    return set_number(&options->judged_tempo, tempo, 0, 999);
}

enum ratamark_result ratamark_set_sticking_style(struct ratamark_options *options,
                                                 enum ratamark_sticking_style style)
{
    static const enum stick_style styles[] = {
        [RATAMARK_EFFORT] = STICK_EFFORT,   [RATAMARK_ALTERNATE] = STICK_ALTERNATE,
        [RATAMARK_NATURAL] = STICK_NATURAL, [RATAMARK_TRAVEL] = STICK_TRAVEL,
        [RATAMARK_PLAYER] = STICK_PLAYER,
    };
    if ((unsigned)style >= sizeof styles / sizeof *styles)
        return RATAMARK_BAD_ARGUMENT;
    options->style = styles[style];
    return RATAMARK_OK;
}
