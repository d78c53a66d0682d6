/*
 * The hands of a bar.
 *
 *     cut the bar into units                                      gather_units()
 *         beats that a note or tuplet crosses stay together       value_stretch()
 *         by counts if they all have one, else by note values     beat_unit(), value_unit()
 *     from the first unit to the last                             add_units()
 *         the longest row of units that came before in the bar
 *             is named: "Beats 3 and 4: as beats 1 and 2."        find_block()
 *         equal units in a row: "Beats 1 to 3, each: ..."         run_length()
 *
 * Naming must be shorter for the ear than the words that it stands for.
 */
#include "spoken/spoken_int.h"

#include <string.h>

/* A beat, or a block of beats, with fewer letters is said again rather than named. */
enum { BEAT_WORTH = 24, BLOCK_WORTH = 20, BLOCK_MOST = 16 };

static void gather_units(const struct telling *telling, const struct score_bar *bar,
                         unit_list *units)
{
    for (uint16_t beat = 0; beat < bar->counted_count;) {
        uint16_t stretch = value_stretch(bar, beat, (uint16_t)(beat + 1));
        uint16_t end = (uint16_t)(beat + stretch);
        bool off = false;
        for (uint16_t b = beat; b < end; b++)
            off |= beat_off_grid(telling, bar, b);
        if (off) {
            *vector_push(units, telling->arena) = value_unit(telling, bar, beat, stretch);
            beat = end;
            continue;
        }
        while (beat < end) {
            uint16_t beats = bar->counted[beat].spans_two && beat + 1 < bar->counted_count ? 2 : 1;
            *vector_push(units, telling->arena) = beat_unit(telling, bar, beat, beats);
            beat = (uint16_t)(beat + beats);
        }
    }
}

static bool same_unit(const struct unit *a, const struct unit *b)
{
    return a->beats == b->beats && strcmp(a->body, b->body) == 0 &&
           strcmp(a->manner, b->manner) == 0;
}

static bool is_word(const struct unit *unit)
{
    return strcmp(unit->body, "rest") == 0 || strcmp(unit->body, "held") == 0;
}

static size_t weight(const struct unit *units, size_t count)
{
    size_t bytes = 0;
    for (size_t i = 0; i < count; i++)
        bytes += strlen(units[i].body) + strlen(units[i].manner);
    return bytes;
}

/* The longest row of units from `at` on that also comes before and is worth naming; 0: none. */
static size_t find_block(const unit_list *units, size_t at, size_t *earlier)
{
    const struct unit *items = units->items;
    size_t longest = 0;
    for (size_t from = 0; from < at; from++) {
        size_t length = 0, most = at - from < units->count - at ? at - from : units->count - at;
        while (length < most && length < BLOCK_MOST &&
               same_unit(&items[from + length], &items[at + length]))
            length++;
        if (length > longest &&
            weight(&items[at], length) > (length > 1 ? BLOCK_WORTH : BEAT_WORTH)) {
            longest = length;
            *earlier = from;
        }
    }
    return longest;
}

static size_t run_length(const unit_list *units, size_t at)
{
    size_t end = at + 1;
    while (end < units->count && units->items[at].beats == 1 &&
           same_unit(&units->items[at], &units->items[end]))
        end++;
    return end - at;
}

static void add_beats(const char *name, const struct unit *units, size_t count, struct buffer *out)
{
    const struct unit *last = &units[count - 1];
    unsigned from = units->beat + 1U, to = (unsigned)(last->beat + last->beats);
    buffer_format(out, "%s%s ", name, from == to ? "" : "s");
    word_range(from, to, out);
}

static void add_reference(const struct unit *units, size_t at, size_t length, size_t earlier,
                          struct buffer *out)
{
    add_beats("Beat", &units[at], length, out);
    add_beats(": as beat", &units[earlier], length, out);
    buffer_add_text(out, ".\n");
}

static void add_run(const struct unit *units, size_t at, size_t run, struct buffer *out)
{
    add_beats("Beat", &units[at], run, out);
    buffer_format(out, "%s%s%s: %s.\n", run > 1 && !is_word(&units[at]) ? ", each" : "",
                  units[at].manner, units[at].counted, units[at].body);
}

static void add_units(const unit_list *units, struct buffer *out)
{
    for (size_t at = 0; at < units->count;) {
        size_t earlier = 0, run = run_length(units, at), block = find_block(units, at, &earlier);
        if (!units->items[at].body[0]) { /* before a pickup */
            at++;
        } else if (block && block >= run) {
            add_reference(units->items, at, block, earlier, out);
            at += block;
        } else {
            add_run(units->items, at, run, out);
            at += run;
        }
    }
}

static bool silent(const struct score_line *line)
{
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (!line->leaves[i].rest)
            return false;
    return true;
}

const char *hands_sentences(const struct telling *telling, const struct score_bar *bar)
{
    if (silent(&bar->lines[LINE_HANDS]))
        return !bar->hands_apart             ? "The hands rest.\n"
               : telling->exercise->mirrored ? "The left hand rests.\n"
                                             : "The right hand rests.\n";
    unit_list units = {0};
    struct buffer out = {0};
    gather_units(telling, bar, &units);
    add_units(&units, &out);
    return buffer_keep(&out, telling->arena);
}
