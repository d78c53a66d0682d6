/*
 * The bars of an exercise in order. Words that come again are not said again: the bar that had them
 * first is named.
 *
 *     for each bar                                                  say_bars()
 *         the words of its hands and its feet, and the first bar
 *             that has the same ones                                say_part()
 *         its dynamics, and its header: new meter, tempo, swing,
 *             counting, repeats and endings                         header_of()
 *         the first bar that is the same in all but the header      first_same()
 *     from the first bar to the last                                bars_tell()
 *         several bars that came before in this order, or are all
 *             alike: "Bars 5 to 8: as bars 1 to 4."                 tell_again()
 *         else its hands, feet and dynamics; hands or feet that
 *             came before are named, if that is shorter             tell_bar()
 */
#include "spoken/spoken_int.h"

#include <inttypes.h>
#include <string.h>

/* Text with fewer letters is said again rather than named. A bar with at most LINE_MOST letters
   takes one line. */
enum { HANDS_WORTH = 24, FEET_WORTH = 40, LINE_MOST = 90 };

/* The sentences of the hands or of the feet. */
struct said_part {
    const char *text;
    size_t as; /* index of the first bar that has the same, maybe the bar itself */
};

struct said_bar {
    const char *header; /* ", three four, the repeat begins": what changes in this bar */
    struct said_part parts[LINE_COUNT];
    const char *dynamics;
    size_t as_whole; /* index of the first bar with the same words, headers aside */
};

/* ---- headers ------------------------------------------------------------------------------ */

static void add_passes(const struct ending *ending, struct buffer *out)
{
    buffer_add_text(out, ending->pass_count > 1 ? ", ending for times " : ", ending for time ");
    for (size_t i = 0; i < ending->pass_count; i++)
        buffer_format(out, "%s%u", list_separator(i, ending->pass_count),
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

static void add_counting(const struct telling *telling, size_t index, struct buffer *out)
{
    const struct score_exercise *exercise = telling->exercise;
    if (index == 0 ||
        exercise->bars[index].settings->counting == exercise->bars[index - 1].settings->counting)
        return;
    size_t length = out->length;
    buffer_add_text(out, ", ");
    countings_tell(telling, index, out);
    if (out->length == length + 2)
        out->bytes[out->length = length] = '\0';
}

/* What a chart has over the bar, as written: mark “A”, “Verse”, “Call” on 1. */
static void add_signs(const struct telling *telling, const struct score_bar *bar,
                      struct buffer *out)
{
    if (bar->signs && bar->signs->mark.text)
        buffer_format(out, ", mark “%s”", bar->signs->mark.text);
    if (bar->signs && bar->signs->over.text)
        buffer_format(out, ", “%s”", bar->signs->over.text);
    if (bar->signs && bar->signs->slashes)
        buffer_add_text(out, ", beat slashes");
    for (uint16_t i = 0; i < bar->word_count; i++)
        buffer_format(out, ", “%s” on %s", bar->words[i].text,
                      place_word(telling, bar, bar->words[i].onset));
}

/* The rhythm of the band by its values: ", the band plays eighth, eighth rest, quarter accent". */
static void add_figures(const struct telling *telling, const struct score_line *figures,
                        struct buffer *out)
{
    for (uint32_t i = 0; figures && i < figures->leaf_count; i++) {
        const struct leaf *leaf = &figures->leaves[i];
        buffer_format(out, "%s%s", i ? ", " : ", the band plays ",
                      word_value(telling->arena, leaf->value_log2, leaf->dots));
        if (leaf->tuplet != LEAF_NO_TUPLET)
            buffer_format(out, " of %s", word_of_number(figures->tuplets[leaf->tuplet].actual));
        buffer_add_text(out, leaf->rest ? " rest" : leaf->continued ? " held" : "");
        mark_set marks = leaf->note ? leaf->note->marks : MARK_NONE;
        for (int m = 0; marks && m < MARK_COUNT; m++)
            if (marks & stroke_marks[m].bit)
                buffer_format(out, " %s", stroke_marks[m].spoken);
    }
}

/* Where a jump leads, and where it leaves from. */
static void add_leads(const struct bar_signs *signs, struct buffer *out)
{
    if (!signs)
        return;
    buffer_add_text(out, signs->segno.file ? ", segno" : "");
    buffer_add_text(out, signs->coda.file ? ", coda" : "");
    buffer_add_text(out, signs->to_coda.file ? ", at its end to the coda after the jump" : "");
    buffer_add_text(out, signs->fine.file ? ", fine at its end after the jump" : "");
    if (!signs->jump.words)
        return;
    buffer_format(out, ", at its end back to the %s", signs->jump.to_segno ? "segno" : "beginning");
}

static const char *header_of(const struct telling *telling, size_t index)
{
    const struct score_bar *bar = &telling->exercise->bars[index];
    struct buffer out = {0};
    add_signs(telling, bar, &out);
    add_leads(bar->signs, &out);
    add_figures(telling, bar->figures, &out);
    add_changes(telling, index, &out);
    add_counting(telling, index, &out);
    bool all = telling->repeats_whole;
    if (bar->repeat_begins && !all)
        buffer_add_text(&out, ", the repeat begins");
    if (bar->ending_begins && bar->ending)
        add_passes(bar->ending, &out);
    if (bar->repeat_ends && !all)
        buffer_format(&out, ", the repeat ends, %s in all", word_times(telling->arena, bar->plays));
    return buffer_keep(&out, telling->arena);
}

/* ---- telling ------------------------------------------------------------------------------ */

struct sayer {
    const struct telling *telling;
    const struct score_bar *bars;
    struct said_bar *said;
    struct table texts[LINE_COUNT], wholes; /* indices of bars */
};

static void say_part(struct sayer *sayer, size_t at, int line)
{
    const struct telling *telling = sayer->telling;
    const struct score_bar *bars = sayer->bars;
    struct said_part *part = &sayer->said[at].parts[line];
    part->text = line == LINE_HANDS ? hands_sentences(telling, &bars[at])
                                    : feet_sentence(telling, &bars[at]);
    uint64_t hash = hash_text(part->text);
    struct table_search search = table_search(&sayer->texts[line], hash);
    for (size_t i; table_next(&search, &i);)
        if (strcmp(sayer->said[i].parts[line].text, part->text) == 0 &&
            same_ground(&bars[i], &bars[at])) {
            part->as = i;
            return;
        }
    part->as = at;
    table_add(&sayer->texts[line], hash, at, telling->arena);
}

static bool same_whole(const struct said_bar *a, const struct said_bar *b)
{
    return a->parts[LINE_HANDS].as == b->parts[LINE_HANDS].as &&
           a->parts[LINE_FEET].as == b->parts[LINE_FEET].as &&
           strcmp(a->dynamics, b->dynamics) == 0;
}

static size_t first_same(struct sayer *sayer, size_t at)
{
    const struct said_bar *said = sayer->said, *bar = &said[at];
    uint64_t hash = hash_join(hash_join(hash_text(bar->dynamics), bar->parts[LINE_HANDS].as),
                              bar->parts[LINE_FEET].as);
    struct table_search search = table_search(&sayer->wholes, hash);
    for (size_t i; table_next(&search, &i);)
        if (same_whole(&said[i], bar))
            return i;
    table_add(&sayer->wholes, hash, at, sayer->telling->arena);
    return at;
}

static struct said_bar *say_bars(const struct telling *telling)
{
    const struct score_exercise *exercise = telling->exercise;
    struct said_bar *said = arena_array(telling->arena, exercise->bar_count, sizeof *said);
    struct sayer sayer = {.telling = telling, .bars = exercise->bars, .said = said};
    for (size_t i = 0; i < exercise->bar_count; i++) {
        for (int line = 0; line < LINE_COUNT; line++)
            say_part(&sayer, i, line);
        said[i].dynamics = dynamics_sentence(telling, &exercise->bars[i]);
        said[i].header = header_of(telling, i);
        said[i].as_whole = first_same(&sayer, i);
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

/* How many bars from `at` on are the same, one by one, as those from the first bar like it on: a
   block that need not be told twice. A bar with a header is a block of its own. */
static size_t block_length(const struct said_bar *said, size_t count, size_t at)
{
    size_t from = said[at].as_whole, length = 0;
    while (from + length < at && at + length < count &&
           said[from + length].as_whole == said[at + length].as_whole &&
           (length == 0 || (!said[at + length].header[0] && !said[at].header[0])))
        length++;
    return length;
}

/* How many bars from `at` on are all alike. */
static size_t run_length(const struct said_bar *said, size_t count, size_t at)
{
    size_t length = 1;
    while (at + length < count && said[at + length].as_whole == said[at].as_whole &&
           !said[at + length].header[0] && !said[at].header[0])
        length++;
    return length;
}

/* Names the bars before that those from `at` on repeat. Returns how many that covers; 0: none. */
static size_t tell_again(const struct telling *telling, const struct said_bar *said, size_t at,
                         struct buffer *out)
{
    size_t count = telling->exercise->bar_count, from = said[at].as_whole;
    if (from == at)
        return 0;
    size_t block = block_length(said, count, at), run = run_length(said, count, at);
    bool worth = strlen(said[at].parts[LINE_HANDS].text) + strlen(said[at].parts[LINE_FEET].text) >
                 HANDS_WORTH;
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

static void add_part(const struct telling *telling, const char *name, const struct said_part *part,
                     size_t at, size_t worth, struct buffer *out)
{
    if (part->as == at || strlen(part->text) <= worth) {
        buffer_add_text(out, part->text);
        return;
    }
    buffer_format(out, "%s: as ", name);
    name_bars(telling, part->as, part->as, false, out);
    buffer_add_text(out, ".\n");
}

/* On one line if they are short, else a line each: screen readers step from line to line. */
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
    const struct score_bar *bar = &telling->exercise->bars[at];
    bool mirrored = telling->exercise->mirrored;
    const char *upper = !bar->hands_apart ? "Hands" : mirrored ? "Left hand" : "Right hand";
    const char *lower = !bar->hands_apart ? "Feet"
                        : mirrored        ? "Right hand and feet"
                                          : "Left hand and feet";
    add_part(telling, upper, &said[at].parts[LINE_HANDS], at, HANDS_WORTH, &sentences);
    add_part(telling, lower, &said[at].parts[LINE_FEET], at, FEET_WORTH, &sentences);
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
