#include "build/build.h"

#include "build/build_int.h"
#include "build/cycle.h"

#include <string.h>

/* ---- findings and limits ------------------------------------------------------------------ */

static bool within_limits(struct builder *builder, struct place at)
{
    if (builder->over_limit)
        return false;
    if (builder->bars <= LESSON_BARS_MAX && builder->strokes <= LESSON_STROKES_MAX)
        return true;
    builder->over_limit = true;
    bool bars = builder->bars > LESSON_BARS_MAX;
    diag_add(builder->diags, DIAG_LIMIT, at, "the lesson has more than %d %s here",
             bars ? LESSON_BARS_MAX : LESSON_STROKES_MAX, bars ? "bars" : "strokes");
    diag_expected(builder->diags, "at most %d %s in a lesson",
                  bars ? LESSON_BARS_MAX : LESSON_STROKES_MAX, bars ? "bars" : "strokes");
    return false;
}

/* ---- which bars an exercise has ----------------------------------------------------------- */

/* The sticking that repeats through all bars of an exercise; NULL if there is none. */
static const struct stroke_line *cycled_sticking(const struct exercise *exercise)
{
    const struct stroke_line *sticking = exercise->settings.sticking;
    return sticking && sticking->count ? sticking : NULL;
}

static uint64_t longer_list(const struct address_bars *list, uint64_t longest)
{
    return list->by_bar && list->count > longest ? list->count : longest;
}

static uint64_t longest_list(const struct exercise *exercise)
{
    const struct keyed_voices *keyed = exercise->settings.keyed;
    const struct limb_line *left = exercise->left;
    uint64_t longest = longer_list(&exercise->ghosts, longer_list(&exercise->accents, 1));
    if (left)
        longest = longer_list(&left->ghosts, longer_list(&left->accents, longest));
    for (size_t i = 0; keyed && i < keyed->count; i++)
        longest = longer_list(&keyed->items[i].counts, longest);
    return longest;
}

/* How long a rudiment and a bar are, in the same unit: whole numbers for cycle_make(). */
struct lengths {
    uint32_t round, bar;
};

static struct lengths lengths_of(const struct exercise *exercise)
{
    struct fraction round = figure_round(exercise->figure, exercise->settings.sticking);
    struct fraction bar = meter_length(exercise->settings.meter);
    int64_t parts = least_common_multiple(round.denominator, bar.denominator);
    return (struct lengths){(uint32_t)(round.numerator * (parts / round.denominator)),
                            (uint32_t)(bar.numerator * (parts / bar.denominator))};
}

/* How many slots the sticking takes, and how many a bar has, 0 if that is not known; of a rudiment
   with its rhythm, their lengths. */
static struct lengths sticking_lengths(struct builder *builder, const struct exercise *exercise)
{
    const struct stroke_line *sticking = cycled_sticking(exercise);
    if (exercise->figure && sticking)
        return lengths_of(exercise);
    return (struct lengths){sticking ? (uint32_t)sticking->count : 0,
                            sticking ? bar_slots(builder, &exercise->settings) : 0};
}

/* Without `bars`, as many bars as it takes to play the sticking once and to use every entry of the
   lists that have one entry a bar. */
static uint64_t bars_needed(struct builder *builder, const struct exercise *exercise)
{
    struct lengths lengths = sticking_lengths(builder, exercise);
    uint64_t bars = lengths.bar ? ((uint64_t)lengths.round + lengths.bar - 1u) / lengths.bar : 1;
    uint64_t listed = longest_list(exercise);
    return bars > listed ? bars : listed;
}

static uint64_t bars_resolved(struct builder *builder, const struct exercise *exercise)
{
    const struct stroke_line *sticking = cycled_sticking(exercise);
    if (!sticking) {
        diag_add(builder->diags, DIAG_MISSING_KEY, exercise->bars_at,
                 "`bars: resolve` needs a sticking");
        diag_expected(builder->diags, "a `sticking` for the exercise, or a number of bars");
        return 0;
    }
    struct lengths lengths = sticking_lengths(builder, exercise);
    if (!lengths.bar)
        return exercise->settings.subdivisions
                   ? 0
                   : 1; /* the grid was reported; the lack of one will be */
    struct cycle cycle = cycle_make(lengths.round, lengths.bar, 0, false);
    if (cycle.bars_to_line_up && cycle.bars_to_line_up <= LESSON_BARS_MAX)
        return cycle.bars_to_line_up;
    diag_add(builder->diags, DIAG_LIMIT, exercise->bars_at,
             "the sticking lines up with beat 1 again only after %llu bars, more than a lesson may "
             "hold",
             (unsigned long long)cycle.bars_to_line_up);
    diag_expected(builder->diags, "at most %d bars", LESSON_BARS_MAX);
    return 0;
}

static uint64_t bars_wanted(struct builder *builder, const struct exercise *exercise)
{
    switch (exercise->bars_kind) {
    case BARS_LIST:
        return exercise->bar_count;
    case BARS_RESOLVE:
        return bars_resolved(builder, exercise);
    case BARS_NUMBER:
        break;
    }
    return exercise->bars_at.file ? exercise->bar_number : bars_needed(builder, exercise);
}

/* ---- bars --------------------------------------------------------------------------------- */

static struct score_bar *build_bar(struct exercise_builder *exercise,
                                   const struct lesson_bar *source, uint32_t index)
{
    struct builder *builder = exercise->builder;
    uint64_t before = exercise->hands.stroke + exercise->feet.stroke + exercise->left.stroke;
    struct score_bar *out = &exercise->out->bars[exercise->out->bar_count];
    out->pickup = index == UINT32_MAX;
    out->pulse = source->pulse;
    out->number = out->pickup ? 0 : index + 1;
    struct bar_builder bar = {.builder = builder,
                              .exercise = exercise,
                              .source = source,
                              .out = out,
                              .index = index,
                              .several_bars = exercise->bars_planned > 1};
    builder->bars++;
    if (!within_limits(builder, source->at))
        return NULL;
    bool built = !source->spoiled && bar_build(&bar);
    builder->strokes +=
        exercise->hands.stroke + exercise->feet.stroke + exercise->left.stroke - before;
    if (!built || !within_limits(builder, source->at)) {
        exercise->hands.held = exercise->feet.held = exercise->left.held = NULL;
        exercise->hands.last = exercise->feet.last = exercise->left.last = NULL;
        exercise->hands.tie = exercise->feet.tie = exercise->left.tie = (struct place){0};
        exercise->incomplete = true;
        *out = (struct score_bar){0}; /* the next bar uses the same place */
        return NULL;
    }
    if (exercise->exercise->vary)
        vary_add_bar(&bar);
    out->meter_changes = !exercise->meter || !meter_equal(exercise->meter, out->meter);
    exercise->meter = out->meter;
    exercise->out->bar_count++;
    exercise->out->chords |= out->chords;
    return out;
}

static void close_bar_repeat(struct builder *builder, struct score_bar *bar,
                             const struct lesson_bar *source, const struct exercise *exercise)
{
    if (source->plays < 2)
        return;
    bool inside = exercise->plays >= 2 || exercise->ending_count;
    if (inside && exercise->bars_kind == BARS_LIST && exercise->bar_count > 1) {
        diag_add(builder->diags, DIAG_CONFLICT, source->at,
                 "a repeated bar inside a repeated exercise");
        diag_expected(builder->diags, "`repeat` for the exercise or for its bars, not both");
        return;
    }
    bar->repeat_begins = bar->repeat_ends = true;
    bar->plays = source->plays;
}

static void build_main_bars(struct exercise_builder *exercise, uint64_t count)
{
    const struct exercise *source = exercise->exercise;
    struct lesson_bar implied; /* all bars, if none are listed */
    if (source->bars_kind != BARS_LIST)
        implied = (struct lesson_bar){.settings = &source->settings,
                                      .rhythm = source->figure,
                                      .left = source->left,
                                      .at = source->at};
    for (uint64_t i = 0; i < count && !exercise->builder->over_limit; i++) {
        const struct lesson_bar *bar = source->bars_kind == BARS_LIST ? &source->bars[i] : &implied;
        struct score_bar *built = build_bar(exercise, bar, (uint32_t)i);
        if (built)
            close_bar_repeat(exercise->builder, built, bar, source);
    }
}

/* ---- repeats and endings ------------------------------------------------------------------ */

/* The first ending from `from` on that is for this time through; NULL if there is none. */
static const struct ending *ending_of(const struct exercise *exercise, uint16_t pass,
                                      const struct ending *from)
{
    for (; from < exercise->endings + exercise->ending_count; from++)
        if (ending_has(from, pass))
            return from;
    return NULL;
}

/* Reports times through that have no ending or two. Returns the last one. */
static uint16_t check_endings(struct builder *builder, const struct exercise *exercise)
{
    uint16_t last = endings_last(exercise);
    if (last > LESSON_PLAYS_MAX)
        last = LESSON_PLAYS_MAX;
    uint16_t plays = exercise->plays ? exercise->plays : last;
    if (plays != last) {
        diag_add(builder->diags, DIAG_CONFLICT, exercise->endings[0].at,
                 "the endings are for %u times through, but the exercise is played %u times", last,
                 plays);
        diag_expected(builder->diags, "an ending for each time, from 1 to %u", plays);
        if (exercise->plays_at.file)
            diag_other(builder->diags, exercise->plays_at, "the exercise is repeated here");
        return last;
    }
    for (uint16_t pass = 1; pass <= last; pass++) {
        const struct ending *found = ending_of(exercise, pass, exercise->endings);
        const struct ending *twice = found ? ending_of(exercise, pass, found + 1) : NULL;
        if (found && !twice)
            continue;
        diag_add(builder->diags, DIAG_CONFLICT, twice ? twice->at : exercise->endings[0].at,
                 twice ? "time %u has two endings" : "time %u has no ending", pass);
        diag_expected(builder->diags, "one ending for each time, from 1 to %u", last);
        if (twice)
            diag_other(builder->diags, found->at, "the first one");
    }
    return last;
}

static bool ends_last(const struct ending *ending, uint16_t last)
{
    for (size_t p = 0; p < ending->pass_count; p++)
        if (ending->passes[p] != last)
            return false;
    return true;
}

static void build_endings(struct exercise_builder *exercise, uint64_t main_bars)
{
    const struct exercise *source = exercise->exercise;
    uint16_t last = check_endings(exercise->builder, source);
    uint32_t index = (uint32_t)main_bars;
    for (size_t i = 0; i < source->ending_count; i++) {
        const struct ending *ending = &source->endings[i];
        size_t first = exercise->out->bar_count;
        for (size_t b = 0; b < ending->bar_count; b++) {
            struct score_bar *bar = build_bar(exercise, &ending->bars[b], index++);
            if (bar)
                bar->ending = ending;
        }
        if (exercise->out->bar_count == first)
            continue;
        struct score_bar *end = &exercise->out->bars[exercise->out->bar_count - 1];
        exercise->out->bars[first].ending_begins = true;
        end->ending_ends = true;
        end->repeat_ends = !ends_last(ending, last);
        end->plays = end->repeat_ends ? last : 0;
    }
}

static void mark_repeats(struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    struct score_exercise *out = exercise->out;
    if (out->bar_count == 0)
        return;
    out->bars[out->bar_count - 1].last = true;
    size_t first = out->bars[0].pickup && out->bar_count > 1 ? 1 : 0;
    if (source->ending_count) {
        out->bars[first].repeat_begins = true;
    } else if (source->plays >= 2) {
        out->bars[first].repeat_begins = true;
        out->bars[out->bar_count - 1].repeat_ends = true;
        out->bars[out->bar_count - 1].plays = source->plays;
    }
}

/* Whether a jump, a fine or the way to a coda leaves the bar. */
static bool is_left(const struct score_bar *bar)
{
    const struct bar_signs *signs = bar->signs;
    return signs && (signs->jump.words || signs->fine.file || signs->to_coda.file);
}

/* What is wrong with a tie out of this bar; NULL: nothing. */
static const char *wrong_tie(const struct score_exercise *exercise, size_t bar)
{
    const struct score_bar *from = &exercise->bars[bar], *to = from + 1;
    if (from->repeat_ends)
        return "a tie out of a repeat, which leads back to its first bar";
    if (from->last)
        return "a tie out of the last bar, with no note after it";
    if (is_left(&exercise->bars[bar]))
        return "a tie out of a bar after which the music goes on elsewhere";
    if (to->repeat_begins)
        return "a tie into a repeat, which is played again without it";
    if (to->ending_begins)
        return "a tie into an ending: the other endings do not go on from it";
    return NULL;
}

static void check_ties(struct exercise_builder *exercise)
{
    struct builder *builder = exercise->builder;
    for (size_t i = 0; i < builder->ties.count && !exercise->incomplete; i++) {
        const struct crossing_tie *tie = &builder->ties.items[i];
        const char *wrong = wrong_tie(exercise->out, tie->bar);
        if (!wrong)
            continue;
        diag_add(builder->diags, DIAG_BAD_RHYTHM, tie->at, "%s", wrong);
        diag_expected(builder->diags, "+ only before a bar that always follows");
    }
}

/* ---- checks at the end of an exercise ----------------------------------------------------- */

/* Whether the bar with this number, from 1, has a sign in place of notes. */
static bool is_sign(const struct exercise_builder *exercise, uint32_t number)
{
    const struct score_exercise *out = exercise->out;
    size_t index = number - 1 + out->bars[0].pickup;
    return index < out->bar_count && signs_play_nothing_new(out->bars[index].signs);
}

/* A list with an entry for each bar: an entry that only signs have is for nothing. */
static void check_entries(struct exercise_builder *exercise, const struct address_bars *lists,
                          uint32_t bars)
{
    for (uint32_t i = 0; lists->by_bar && i < lists->count && i < bars; i++) {
        bool used = lists->bars[i].count == 0;
        for (uint32_t number = i + 1; number <= bars && !used; number += lists->count)
            used = !is_sign(exercise, number);
        if (used)
            continue;
        diag_add(exercise->builder->diags, DIAG_UNKNOWN_COUNT, lists->bars[i].at,
                 "these counts are for bar %u, which is a sign", i + 1);
        diag_expected(exercise->builder->diags, "'none' for a bar that is a sign");
    }
}

static void check_address(struct exercise_builder *exercise, const struct address *address,
                          uint32_t bars, uint16_t beats)
{
    struct builder *builder = exercise->builder;
    if (address->bar > bars) {
        diag_add(builder->diags, DIAG_UNKNOWN_COUNT, address->at,
                 "there is no bar %u: the exercise has %u", address->bar, bars);
        diag_expected(builder->diags, bars > 1 ? "a bar from 1 to %u" : "bar %u", bars);
        return;
    }
    uint16_t beat = address->to_beat > address->beat ? address->to_beat : address->beat;
    if (address->kind != ADDRESS_SLOT || address->bar || beat <= beats ||
        !builder_report_once(builder, address))
        return;
    diag_add(builder->diags, DIAG_UNKNOWN_COUNT, address->at,
             "no bar of this exercise has a beat %u", beat);
    diag_found(builder->diags, address_words(builder->arena, address));
    diag_expected(builder->diags, "a beat from 1 to %u", beats);
}

/* Who rolls where the hands, or the right hand beside a line of the left, do not; NULL: nobody. */
static const char *roller(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        for (uint32_t i = 0; i < bar->lines[LINE_FEET].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[LINE_FEET].leaves[i];
            if (leaf_struck(leaf) && leaf->note->marks & MARKS_DIVIDING)
                return bar->hands_apart && leaf->note->letter ? "the left hand" : "a foot";
        }
    }
    return NULL;
}

static void check_rolls(struct exercise_builder *exercise)
{
    const struct rolls *rolls = &exercise->exercise->rolls;
    if (!rolls->every || exercise->rolled)
        return;
    const char *whose = roller(exercise->out);
    if (whose)
        diag_add(exercise->builder->diags, DIAG_NO_STROKE, rolls->at,
                 "only %s has rolls here, and they carry no number", whose);
    else
        diag_add(exercise->builder->diags, DIAG_NO_STROKE, rolls->at,
                 "no note of this exercise has slashes, so there is no roll to number");
    diag_expected(exercise->builder->diags,
                  whose ? "the rolls with their slashes alone, or a roll of %s"
                        : "slashes on the note that rolls, such as R///",
                  exercise->exercise->left ? "the right hand" : "the hands");
}

/* The leaf after this one in its line, in the next bar if need be; NULL at the end of the
   exercise. */
static const struct leaf *leaf_after(const struct score_exercise *exercise, int line, size_t bar,
                                     uint32_t leaf)
{
    const struct score_line *own = &exercise->bars[bar].lines[line];
    if (leaf + 1 < own->leaf_count)
        return &own->leaves[leaf + 1];
    for (size_t b = bar + 1; b < exercise->bar_count; b++)
        if (exercise->bars[b].lines[line].leaf_count)
            return exercise->bars[b].lines[line].leaves;
    return NULL;
}

/* Where a tie of the rhythm leads a numbered roll, its last stroke falls on the first note; what is
   tied on from there is held. */
static void find_roll_ends(const struct score_exercise *exercise)
{
    const struct note *ended = NULL;
    for (size_t b = 0; b < exercise->bar_count; b++)
        for (uint32_t i = 0; i < exercise->bars[b].lines[LINE_HANDS].leaf_count; i++) {
            struct leaf *leaf = &exercise->bars[b].lines[LINE_HANDS].leaves[i];
            const struct note *note = leaf->continued ? leaf->note : NULL;
            leaf->ends_roll = note && note->roll && !(note->marks & MARK_RING) && note != ended;
            ended = note;
        }
}

/* What the last stroke of this bar's roll would be, where none follows; NULL: there is one. After
   the last bar the music may go on in a repeat or by a jump. */
static const char *no_roll_end(const struct score_bar *bar, const struct leaf *after)
{
    if (after)
        return after->rest ? "a rest" : NULL;
    return bar->last && !bar->repeat_ends && !is_left(bar) ? "after the last bar" : NULL;
}

/* A roll's number includes the stroke that the roll is tied to, so there must be one. */
static void check_roll_ends(struct exercise_builder *exercise)
{
    const struct score_exercise *out = exercise->out;
    for (size_t b = 0; b < out->bar_count; b++)
        for (uint32_t i = 0; i < out->bars[b].lines[LINE_HANDS].leaf_count; i++) {
            const struct leaf *leaf = &out->bars[b].lines[LINE_HANDS].leaves[i];
            if (!leaf->note || !leaf->note->roll || !(leaf->note->marks & MARK_RING))
                continue;
            const char *instead = no_roll_end(&out->bars[b], leaf_after(out, LINE_HANDS, b, i));
            if (!instead)
                continue;
            diag_add(exercise->builder->diags, DIAG_NO_STROKE, leaf->note->at,
                     "a roll of %u whose last stroke would be %s", leaf->note->roll, instead);
            diag_expected(exercise->builder->diags,
                          "a stroke where the + leads to, or no + and a number that counts the "
                          "roll alone");
            return;
        }
}

/* Whether the leaf has the + of a stroke line, before a struck note, and no roll to lead there. */
static bool ties_nothing(const struct leaf *leaf, const struct leaf *after)
{
    return leaf->note && leaf->note->marks & MARK_RING && !(leaf->note->marks & MARKS_ON_STEM) &&
           !leaf->tied && after && leaf_struck(after);
}

static void check_ties_of_line(struct exercise_builder *exercise, int line)
{
    const struct score_exercise *out = exercise->out;
    for (size_t b = 0; b < out->bar_count; b++)
        for (uint32_t i = 0; i < out->bars[b].lines[line].leaf_count; i++) {
            const struct leaf *leaf = &out->bars[b].lines[line].leaves[i];
            if (!ties_nothing(leaf, leaf_after(out, line, b, i)))
                continue;
            diag_add(exercise->builder->diags, DIAG_NO_EFFECT, leaf->note->at,
                     "the + of a stroke that does not roll, before a note that is struck");
            diag_expected(exercise->builder->diags,
                          "slashes or a z on the stroke that rolls on, such as R///+; a tie in the "
                          "rhythm, such as 4+8; or `ring` for a voice that rings");
            return;
        }
}

static void check_list(struct exercise_builder *exercise, const struct address_list *list,
                       uint32_t bars, uint16_t beats)
{
    for (size_t i = 0; i < list->count; i++)
        check_address(exercise, &list->items[i], bars, beats);
}

/* The same of what changes notes, which a bar with a sign does not have. */
static void check_note_list(struct exercise_builder *exercise, const struct address_list *list,
                            uint32_t bars, uint16_t beats)
{
    check_list(exercise, list, bars, beats);
    for (size_t i = 0; i < list->count; i++) {
        const struct address *address = &list->items[i];
        if (!address->bar || !is_sign(exercise, address->bar))
            continue;
        diag_add(exercise->builder->diags, DIAG_UNKNOWN_COUNT, address->at,
                 "bar %u is a sign, in which nothing can be changed", address->bar);
        diag_expected(exercise->builder->diags, "a bar with notes of its own");
    }
}

static void check_bars_list(struct exercise_builder *exercise, const struct address_bars *lists,
                            uint32_t bars, uint16_t beats)
{
    check_entries(exercise, lists, bars);
    for (size_t i = 0; i < lists->count; i++)
        check_note_list(exercise, &lists->bars[i], bars, beats);
}

static void check_at(struct exercise_builder *exercise, const struct at_map *map, uint32_t bars,
                     uint16_t beats)
{
    for (size_t i = 0; i < map->count; i++)
        check_note_list(exercise, &map->entries[i].where, bars, beats);
}

/* A voice by count may count strokes of the hands, if they have any. */
static void check_keyed(struct exercise_builder *exercise, const struct address_bars *lists,
                        uint32_t bars, uint16_t beats)
{
    check_bars_list(exercise, lists, bars, beats);
    for (size_t b = 0; b < lists->count && exercise->hands.stroke == 0; b++)
        for (size_t i = 0; i < lists->bars[b].count; i++)
            if (lists->bars[b].items[i].kind == ADDRESS_EACH_STROKES)
                keyed_report_uncounted(exercise->builder, &lists->bars[b].items[i]);
}

static void check_vary(struct exercise_builder *exercise, const struct vary *vary, uint32_t bars,
                       uint16_t beats)
{
    for (int part = 0; part < VARY_PARTS; part++)
        check_bars_list(exercise, &vary->choices[part].from, bars, beats);
    for (size_t i = 0; i < vary->keep.count; i++)
        check_note_list(exercise, &vary->keep.entries[i].where, bars, beats);
}

/* Reports addresses that name a bar or beat that the exercise does not have. */
static void check_addresses(struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    uint32_t bars = 0;
    uint16_t beats = 0;
    for (size_t i = 0; i < exercise->out->bar_count; i++) {
        const struct score_bar *bar = &exercise->out->bars[i];
        bars = bar->number > bars ? bar->number : bars;
        beats = bar->counted_count > beats ? bar->counted_count : beats;
    }
    if (bars == 0 || exercise->incomplete)
        return;
    check_bars_list(exercise, &source->accents, bars, beats);
    check_bars_list(exercise, &source->ghosts, bars, beats);
    const struct keyed_voices *keyed = source->settings.keyed;
    for (size_t i = 0; keyed && i < keyed->count; i++) /* general ones are for other meters, too */
        if (!keyed->items[i].general)
            check_keyed(exercise, &keyed->items[i].counts, bars, beats);
    check_at(exercise, &source->at_counts, bars, beats);
    if (source->left) {
        check_bars_list(exercise, &source->left->accents, bars, beats);
        check_bars_list(exercise, &source->left->ghosts, bars, beats);
        check_at(exercise, &source->left->at_counts, bars, beats);
    }
    for (size_t i = 0; i < source->dynamics.count; i++)
        check_note_list(exercise, &source->dynamics.entries[i].where, bars, beats);
    for (size_t i = 0; i < source->rolls.count; i++)
        check_note_list(exercise, &source->rolls.entries[i].where, bars, beats);
    for (size_t i = 0; i < source->pace.count; i++)
        check_list(exercise, &source->pace.entries[i].where, bars, beats);
    if (source->vary)
        check_vary(exercise, source->vary, bars, beats);
    check_rolls(exercise);
    if (exercise->marks & MARKS_DIVIDING)
        find_roll_ends(exercise->out);
    if (!(exercise->marks & MARK_RING))
        return;
    check_roll_ends(exercise);
    for (int line = 0; line < LINE_COUNT; line++)
        check_ties_of_line(exercise, line);
}

/* How many slots each bar has; 0 unless all are equal grids that use the exercise's sticking. */
static uint32_t common_slots(struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    if (source->ending_count)
        return 0;
    if (source->bars_kind != BARS_LIST)
        return bar_slots(exercise->builder, &source->settings);
    uint32_t slots = 0;
    for (size_t i = 0; i < source->bar_count; i++) {
        const struct lesson_bar *bar = &source->bars[i];
        uint32_t here =
            bar->rhythm || bar->sticking || bar->plays > 1 || signs_play_nothing_new(bar->signs)
                ? 0
                : bar_slots(exercise->builder, bar->settings);
        if (here == 0 || (slots && here != slots))
            return 0;
        slots = here;
    }
    return slots;
}

/* Whether every bar goes on with the exercise's rudiment. */
static bool figure_throughout(const struct exercise *exercise)
{
    bool all = exercise->figure && !exercise->ending_count;
    for (size_t i = 0; all && exercise->bars_kind == BARS_LIST && i < exercise->bar_count; i++) {
        const struct lesson_bar *bar = &exercise->bars[i];
        all = bar->rhythm == exercise->figure && !bar->sticking && bar->plays < 2 &&
              meter_equal(bar->settings->meter, exercise->settings.meter);
    }
    return all;
}

static void find_figure_cycle(struct exercise_builder *exercise, uint64_t bars)
{
    const struct exercise *source = exercise->exercise;
    const struct stroke_line *sticking = source->settings.sticking;
    if (exercise->incomplete || !figure_throughout(source))
        return;
    struct lengths lengths = lengths_of(source);
    struct cycle *cycle = &exercise->out->cycle;
    *cycle = cycle_make(lengths.round, lengths.bar, bars, source->plays >= 2);
    cycle->in_time = true;
    cycle->hand_changes =
        cycle->loops && !cycle->lines_up &&
        sticking->strokes[exercise->hands.sticking].hand != sticking->strokes[0].hand;
}

static void find_cycle(struct exercise_builder *exercise, uint64_t bars)
{
    const struct stroke_line *sticking = cycled_sticking(exercise->exercise);
    if (exercise->exercise->figure) {
        find_figure_cycle(exercise, bars);
        return;
    }
    uint32_t slots = sticking && !exercise->incomplete ? common_slots(exercise) : 0;
    bool open = sticking && sticking->count == 1 && sticking->strokes[0].hand == HAND_OPEN;
    if (!slots || sticking->count > UINT32_MAX || open)
        return;
    struct cycle *cycle = &exercise->out->cycle;
    *cycle = cycle_make((uint32_t)sticking->count, slots, bars, exercise->exercise->plays >= 2);
    if (cycle->bars_to_line_up)
        cycle->hand_changes =
            cycle->loops && !cycle->lines_up && cycle_hand_changes(sticking, cycle, bars);
}

/* ---- exercises ---------------------------------------------------------------------------- */

static bool bars_allowed(struct exercise_builder *exercise, uint64_t *main_bars)
{
    struct builder *builder = exercise->builder;
    const struct exercise *source = exercise->exercise;
    *main_bars = bars_wanted(builder, source);
    if (*main_bars == 0)
        return false;
    uint64_t all = *main_bars + (source->pickup != NULL);
    for (size_t i = 0; i < source->ending_count; i++)
        all += source->endings[i].bar_count;
    exercise->bars_planned = all;
    if (builder->bars + all > LESSON_BARS_MAX) {
        builder->bars += all;
        within_limits(builder, source->bars_at.file ? source->bars_at : source->at);
        return false;
    }
    exercise->out->bars = arena_array(builder->arena, (size_t)all, sizeof *exercise->out->bars);
    return true;
}

static void build_music(struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    uint64_t main_bars;
    if (!bars_allowed(exercise, &main_bars))
        return;
    if (source->pickup)
        build_bar(exercise, source->pickup, UINT32_MAX);
    build_main_bars(exercise, main_bars);
    if (source->ending_count)
        build_endings(exercise, main_bars);
    together_settle(exercise);
    mark_repeats(exercise);
    check_ties(exercise);
    jumps_check(exercise);
    check_addresses(exercise);
    find_cycle(exercise, main_bars);
    if (source->vary)
        vary_settle(exercise);
    uses_check(exercise);
}

static void build_exercise(struct builder *builder, const struct exercise *source, bool left_lead)
{
    arena_fetch(source->memory);
    struct score_exercise *out = &builder->score->exercises[builder->score->exercise_count++];
    *out = (struct score_exercise){.source = source,
                                   .left_lead = left_lead,
                                   .number = (uint32_t)builder->score->exercise_count,
                                   .tempo = source->settings.tempo,
                                   .sequence = source->sequence_count > 0};
    struct exercise_builder exercise = {.builder = builder, .exercise = source, .out = out};
    builder->reported.count = builder->used.count = 0;
    table_clear(&builder->used_table);
    table_clear(&builder->known_table);
    builder->ties.count = 0;
    builder->known.count = 0;
    if (!out->sequence && !source->spoiled && !builder->over_limit)
        build_music(&exercise);
    exercise_take_sides(builder->score, out, false);
}

/* The second printing would only repeat the findings of the first. */
static void build_quietly(struct builder *builder, const struct exercise *source)
{
    struct diags *reported = builder->diags;
    builder->diags = builder->frames.diags = diags_new(builder->arena);
    build_exercise(builder, source, true);
    builder->diags = builder->frames.diags = reported;
}

struct score *build_score(const struct lesson *lesson, struct diags *diags)
{
    struct arena *arena = lesson->arena;
    struct score *score = arena_alloc(arena, sizeof *score);
    *score = (struct score){
        .lesson = lesson,
        .arena = arena,
        .exercises = arena_array_room(arena, 2 * lesson->exercise_count, sizeof *score->exercises),
        .voices_used = arena_array(arena, lesson->kit.voice_count, sizeof(bool))};
    struct builder builder = {.lesson = lesson,
                              .arena = arena,
                              .diags = diags,
                              .score = score,
                              .frames = {.arena = arena, .diags = diags}};
    for (size_t i = 0; i < lesson->exercise_count; i++) {
        const struct exercise *exercise = &lesson->exercises[i];
        if (i + 1 < lesson->exercise_count)
            arena_fetch((struct arena_stretch){exercise + 1, exercise + 2});
        build_exercise(&builder, exercise, exercise->settings.lead == LEAD_LEFT);
        if (exercise->settings.lead == LEAD_BOTH && !exercise->sequence_count)
            build_quietly(&builder, exercise);
    }
    if (diags_errors(diags) == 0)
        uses_check_lesson(&builder);
    return score;
}
