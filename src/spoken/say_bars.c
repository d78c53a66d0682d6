/* The bars of an exercise in order, each said once: a bar that comes again is named. */
#include "spoken/spoken_int.h"

#include <inttypes.h>
#include <string.h>

/* Text that is shorter than this is said again rather than named; a bar that fits the line stands
   on one. */
enum { HANDS_WORTH = 24, FEET_WORTH = 40, LINE_MOST = 90 };

/* What one bar says, and the first bar that says the same. */
struct said_bar {
    const char *header; /* ", three four, the repeat begins": what is new or turns the way */
    const char *hands, *feet, *dynamics;
    size_t as_hands, as_feet,
        as_whole; /* index of the first such bar; its own where there is none */
};

/* ---- headers ------------------------------------------------------------------------------ */

static void add_passes(const struct ending *ending, struct buffer *out)
{
    buffer_add_text(out, ending->pass_count > 1 ? ", ending for times " : ", ending for time ");
    for (size_t i = 0; i < ending->pass_count; i++)
        buffer_format(out, "%s%u",
                      i == 0                        ? ""
                      : i + 1 == ending->pass_count ? " and "
                                                    : ", ",
                      (unsigned)ending->passes[i]);
}

static void add_changes(const struct telling *telling, size_t index, struct buffer *out)
{
    const struct score_exercise *exercise = telling->exercise;
    const struct score_bar *bar = &exercise->bars[index];
    const struct settings *here = bar->settings;
    const struct settings *before =
        index ? exercise->bars[index - 1].settings : &exercise->source->settings;
    if (index && !meter_equal(bar->meter, exercise->bars[index - 1].meter)) {
        buffer_add_text(out, ", ");
        word_meter(bar->meter, out);
    }
    if (bar->pulse) {
        buffer_add_text(out, ", ");
        word_pulse(bar->pulse, out);
    }
    bool returns = bar->pulse && here->tempo == exercise->source->settings.tempo;
    if (here->tempo && here->tempo != before->tempo && !returns) {
        buffer_add_text(out, ", ");
        word_tempo(here->tempo, bar->meter, out);
    }
    if (is_swung(here->swing) != is_swung(before->swing) ||
        (is_swung(here->swing) && !fraction_equal(here->swing, before->swing))) {
        buffer_add_text(out, ", ");
        word_swing(here->swing, out);
    }
}

/* Until the counting changes again. */
static void add_counting(const struct telling *telling, size_t index, struct buffer *out)
{
    const struct score_exercise *exercise = telling->exercise;
    if (index == 0 ||
        exercise->bars[index].settings->counting == exercise->bars[index - 1].settings->counting)
        return;
    size_t end = index + 1;
    while (end < exercise->bar_count &&
           exercise->bars[end].settings->counting == exercise->bars[index].settings->counting)
        end++;
    size_t length = out->length;
    buffer_add_text(out, ", ");
    countings_tell(telling, index, end, out);
    if (out->length == length + 2)
        out->bytes[out->length = length] = '\0';
}

static const char *header_of(const struct telling *telling, size_t index)
{
    const struct score_bar *bar = &telling->exercise->bars[index];
    struct buffer out = {0};
    add_changes(telling, index, &out);
    add_counting(telling, index, &out);
    bool all = telling->repeats_whole;
    if (bar->repeat_begins && !all)
        buffer_add_text(&out, ", the repeat begins");
    if (bar->ending_begins && bar->ending)
        add_passes(bar->ending, &out);
    if (bar->repeat_ends && !all)
        buffer_format(&out, ", the repeat ends, %s in all", word_times(telling->arena, bar->plays));
    const char *kept = arena_copy_text(telling->arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return kept;
}

/* ---- telling ------------------------------------------------------------------------------ */

struct sayer {
    const struct score_bar *bars;
    struct said_bar *said;
};

static bool same_hands_line(const void *self, size_t earlier, size_t index)
{
    const struct score_bar *bars = ((const struct sayer *)self)->bars;
    return same_line(&bars[earlier], &bars[index], LINE_HANDS);
}

static bool same_feet_line(const void *self, size_t earlier, size_t index)
{
    const struct score_bar *bars = ((const struct sayer *)self)->bars;
    return same_line(&bars[earlier], &bars[index], LINE_FEET);
}

static bool same_hands(const void *self, size_t earlier, size_t index)
{
    const struct sayer *sayer = self;
    return strcmp(sayer->said[earlier].hands, sayer->said[index].hands) == 0 &&
           same_ground(&sayer->bars[earlier], &sayer->bars[index]);
}

static bool same_feet(const void *self, size_t earlier, size_t index)
{
    const struct sayer *sayer = self;
    return strcmp(sayer->said[earlier].feet, sayer->said[index].feet) == 0 &&
           same_ground(&sayer->bars[earlier], &sayer->bars[index]);
}

static bool same_whole(const void *self, size_t earlier, size_t index)
{
    const struct said_bar *a = &((const struct sayer *)self)->said[earlier];
    const struct said_bar *b = &((const struct sayer *)self)->said[index];
    return a->as_hands == b->as_hands && a->as_feet == b->as_feet &&
           strcmp(a->dynamics, b->dynamics) == 0;
}

/* Words are made once for each line that comes again; other lines may be told in the same words. */
static struct said_bar *say_bars(const struct telling *telling)
{
    const struct score_exercise *exercise = telling->exercise;
    struct arena *arena = telling->arena;
    size_t count = exercise->bar_count;
    struct said_bar *said = arena_array(arena, count, sizeof *said);
    struct sayer sayer = {exercise->bars, said};
    struct first_seen hands_lines = first_seen_new(arena, count);
    struct first_seen feet_lines = first_seen_new(arena, count);
    struct first_seen hands = first_seen_new(arena, count), feet = first_seen_new(arena, count);
    struct first_seen whole = first_seen_new(arena, count);
    for (size_t i = 0; i < count; i++) {
        const struct score_bar *bar = &exercise->bars[i];
        struct said_bar *it = &said[i];
        size_t line = first_seen(&hands_lines, hash_line(&bar->lines[LINE_HANDS]), i,
                                 same_hands_line, &sayer);
        it->hands = line < i ? said[line].hands : hands_sentences(telling, bar);
        it->as_hands = line < i ? said[line].as_hands
                                : first_seen(&hands, hash_text(it->hands), i, same_hands, &sayer);
        line =
            first_seen(&feet_lines, hash_line(&bar->lines[LINE_FEET]), i, same_feet_line, &sayer);
        it->feet = line < i ? said[line].feet : feet_sentence(telling, bar);
        it->as_feet = line < i ? said[line].as_feet
                               : first_seen(&feet, hash_text(it->feet), i, same_feet, &sayer);
        it->dynamics = dynamics_sentence(telling, bar);
        it->header = header_of(telling, i);
        uint64_t hash = hash_add(hash_add(hash_text(it->dynamics), it->as_hands), it->as_feet);
        it->as_whole = first_seen(&whole, hash, i, same_whole, &sayer);
    }
    return said;
}

static void name_bars(const struct telling *telling, size_t first, size_t last, bool capital,
                      struct buffer *out)
{
    const struct score_bar *bars = telling->exercise->bars;
    if (bars[first].pickup) {
        buffer_add_text(out, capital ? "Pickup" : "the pickup");
        return;
    }
    buffer_add_text(out, capital ? "B" : "b");
    buffer_add_text(out, first == last ? "ar " : "ars ");
    word_range(bars[first].number, bars[last].number, out);
}

/* The longest row of bars from `at` that stands before it, headers aside but the first's. */
static size_t block_length(const struct said_bar *said, size_t count, size_t at)
{
    size_t from = said[at].as_whole, length = 0;
    while (from + length < at && at + length < count &&
           said[from + length].as_whole == said[at + length].as_whole &&
           (length == 0 || (!said[at + length].header[0] && !said[at].header[0])))
        length++;
    return length;
}

/* Bars from `at` that are all alike. */
static size_t run_length(const struct said_bar *said, size_t count, size_t at)
{
    size_t length = 1;
    while (at + length < count && said[at + length].as_whole == said[at].as_whole &&
           !said[at + length].header[0] && !said[at].header[0])
        length++;
    return length;
}

/* Where bars come again: how many of them were told by naming others. */
static size_t tell_again(const struct telling *telling, const struct said_bar *said, size_t at,
                         struct buffer *out)
{
    size_t count = telling->exercise->bar_count, from = said[at].as_whole;
    if (from == at)
        return 0;
    size_t block = block_length(said, count, at), run = run_length(said, count, at);
    bool worth = strlen(said[at].hands) + strlen(said[at].feet) > HANDS_WORTH;
    if (block == 1 && run == 1 && !worth)
        return 0;
    bool alike = run > block;
    size_t length = alike ? run : block;
    name_bars(telling, at, at + length - 1, true, out);
    buffer_format(out, "%s: %sas ", said[at].header, alike ? "each " : "");
    name_bars(telling, from, alike ? from : from + length - 1, false, out);
    buffer_add_text(out, ".\n");
    return length;
}

static void add_part(const struct telling *telling, const char *part, const char *text, size_t at,
                     size_t first, size_t worth, struct buffer *out)
{
    if (first == at || strlen(text) <= worth) {
        buffer_add_text(out, text);
        return;
    }
    buffer_format(out, "%s: as ", part);
    name_bars(telling, first, first, false, out);
    buffer_add_text(out, ".\n");
}

/* On one line where it is short, else a line a sentence: what a screen reader steps through. */
static void add_sentences(const struct buffer *sentences, struct buffer *out)
{
    const char *text = buffer_text(sentences);
    if (sentences->length > LINE_MOST) {
        buffer_format(out, "\n%s", text);
        return;
    }
    size_t from = out->length + 1;
    buffer_add_text(out, " ");
    buffer_add(out, text, sentences->length);
    for (size_t i = from; i + 1 < out->length; i++)
        if (out->bytes[i] == '\n')
            out->bytes[i] = ' ';
}

static void tell_bar(const struct telling *telling, const struct said_bar *said, size_t at,
                     struct buffer *out)
{
    struct buffer sentences = {0};
    add_part(telling, "Hands", said[at].hands, at, said[at].as_hands, HANDS_WORTH, &sentences);
    add_part(telling, "Feet", said[at].feet, at, said[at].as_feet, FEET_WORTH, &sentences);
    buffer_add_text(&sentences, said[at].dynamics);
    name_bars(telling, at, at, true, out);
    buffer_add_text(out, said[at].header);
    buffer_add_text(out, ".");
    add_sentences(&sentences, out);
    buffer_release(&sentences);
}

void bars_tell(const struct telling *telling, struct buffer *out)
{
    const struct said_bar *said = say_bars(telling);
    for (size_t at = 0; at < telling->exercise->bar_count;) {
        size_t again = tell_again(telling, said, at, out);
        if (!again)
            tell_bar(telling, said, at, out);
        at += again ? again : 1;
    }
}
