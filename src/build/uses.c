/*
 * What is written and never used. Bars note what they take from `play`, and which sticking; once an
 * exercise is built, what nobody took is reported where it is written. So is what is longer than
 * the exercise.
 */
#include "build/build_int.h"

#include "model/ladder.h"
#include "model/swing.h"

#include <string.h>

static bool is_among(const void *const *items, size_t count, const void *what)
{
    for (size_t i = 0; i < count; i++)
        if (items[i] == what)
            return true;
    return false;
}

static bool is_used(const struct builder *builder, const void *what)
{
    struct table_search search = table_search(&builder->used_table, hash_number((uintptr_t)what));
    for (size_t i; table_next(&search, &i);)
        if (builder->used.items[i] == what)
            return true;
    return false;
}

void builder_use(struct builder *builder, const void *what)
{
    if (!what || is_used(builder, what))
        return;
    table_add(&builder->used_table, hash_number((uintptr_t)what), builder->used.count,
              builder->arena);
    *vector_push(&builder->used, builder->arena) = what;
}

/* ---- play --------------------------------------------------------------------------------- */

static const struct {
    const char *name, *asks;
} limbs[LIMB_COUNT] = {
    [LIMB_RIGHT_HAND] = {"right hand", "a sticking with R"},
    [LIMB_LEFT_HAND] = {"left hand", "a sticking with L"},
    [LIMB_RIGHT_FOOT] = {"right foot",
                         "strokes of that foot: `kick` by count, or a line of `feet`"},
    [LIMB_LEFT_FOOT] = {"left foot",
                        "strokes of that foot: `hat-foot` by count, or a line of `feet`"},
};

static void report_limb(struct builder *builder, int limb, struct place at)
{
    diag_add(builder->diags, DIAG_NO_EFFECT, at,
             "`play` says what the %s plays, but it has no stroke that asks for it",
             limbs[limb].name);
    diag_expected(builder->diags, "%s", limbs[limb].asks);
}

/* `above`: the `play` of the level above. Lines inherited from it do not count as this level's own.
 */
static void check_play(struct builder *builder, const struct play *play, const struct play *above)
{
    for (int limb = 0; play && play != above && limb < LIMB_COUNT; limb++) {
        const struct voicing_line *line = &play->limbs[limb];
        bool own = line->count && !(above && above->limbs[limb].items == line->items);
        if (!own || is_used(builder, line->items) || !builder_report_once(builder, line->items))
            continue;
        report_limb(builder, limb, line->at);
    }
}

static void check_bars(struct builder *builder, const struct exercise *source,
                       const struct lesson_bar *bars, size_t count)
{
    const struct limb_line *feet = NULL, *left = source->left;
    for (size_t i = 0; i < count; i++) {
        check_play(builder, bars[i].settings->play, source->settings.play);
        if (bars[i].feet && bars[i].feet != feet)
            check_play(builder, bars[i].feet->play, NULL);
        feet = bars[i].feet;
        if (bars[i].left && bars[i].left != left)
            check_play(builder, bars[i].left->play, NULL);
        left = bars[i].left;
    }
}

/* ---- lines and lists ---------------------------------------------------------------------- */

static void check_voices(const struct exercise_builder *exercise)
{
    struct diags *diags = exercise->builder->diags;
    const struct voicing_line *line = exercise->exercise->voices;
    const struct line_state *state = &exercise->hands;
    if (!line || (state->voices == 0 && state->voices_round))
        return;
    unsigned count = (unsigned)line->count, taken = (unsigned)state->voices;
    if (state->voices_round)
        diag_add(diags, DIAG_NO_EFFECT, line->at,
                 "the line of %u voices goes round, and the exercise ends after voice %u of it",
                 count, taken);
    else
        diag_add(diags, DIAG_NO_EFFECT, line->at,
                 "the line has %u voice%s, but the exercise has %u stroke%s for it", count,
                 count == 1 ? "" : "s", taken, taken == 1 ? "" : "s");
    diag_expected(diags, "a voice for each stroke");
}

static void check_sticking(const struct exercise_builder *exercise)
{
    struct diags *diags = exercise->builder->diags;
    const struct stroke_line *sticking = exercise->exercise->settings.sticking;
    const struct cycle *cycle = &exercise->out->cycle;
    uint64_t room = (uint64_t)cycle->slots_in_bar * exercise->out->bar_count;
    if (!sticking || sticking == exercise->builder->lesson->settings.sticking)
        return;
    if (!is_used(exercise->builder, sticking)) {
        diag_add(diags, DIAG_NO_EFFECT, sticking->at, "no bar uses this sticking");
        diag_expected(diags, "a bar without a sticking of its own");
    } else if (!cycle->in_time && cycle->slots_in_cycle > room) {
        diag_add(diags, DIAG_NO_EFFECT, sticking->at,
                 "the sticking fills %u slots, but the exercise has %u",
                 (unsigned)cycle->slots_in_cycle, (unsigned)room);
        diag_expected(diags, "a shorter sticking, or more `bars`");
    }
}

/* Whether swing moves some stroke of the bar. */
static bool bar_swings(const struct score_bar *bar)
{
    for (int l = 0; l < LINE_COUNT && !swing_is_straight(bar); l++)
        for (uint32_t i = 0; i < bar->lines[l].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[l].leaves[i];
            if (leaf_struck(leaf) &&
                !fraction_equal(swing_leaf(bar, &bar->lines[l], leaf).from, leaf->onset))
                return true;
        }
    return false;
}

static bool has_silent_count(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        for (uint16_t i = 0; i < exercise->bars[b].count_count; i++)
            if (!exercise->bars[b].counts[i].struck)
                return true;
    return false;
}

/* Without a subdivision there are only the slots that the strokes need. */
static void check_counts_grid(const struct exercise_builder *exercise)
{
    const struct settings *settings = &exercise->exercise->settings;
    const struct show *show = settings->show, *above = exercise->builder->lesson->settings.show;
    bool own = show->counts_at.file && !place_same(show->counts_at, above->counts_at);
    if (!own || show->counts != SHOW_COUNTS_GRID || settings->subdivisions ||
        has_silent_count(exercise->out))
        return;
    diag_add(exercise->builder->diags, DIAG_NO_EFFECT, show->counts_at,
             "every slot is struck here, so 'grid' shows no other counts than 'notes'");
    diag_expected(exercise->builder->diags, "a 'subdivision', whose slots are then all counted");
}

static void report_still(struct builder *builder, const struct settings *settings,
                         const char *where)
{
    diag_add(builder->diags, DIAG_NO_EFFECT, settings->swing_at, "nothing in this %s swings",
             where);
    diag_expected(builder->diags, "off-beats of a simple beat, such as 1&: triplets and compound "
                                  "beats do not swing");
}

/* A swing that is written in the exercise itself. */
static void check_swing(const struct exercise_builder *exercise)
{
    struct builder *builder = exercise->builder;
    const struct settings *settings = &exercise->exercise->settings;
    struct place at = settings->swing_at, above = builder->lesson->settings.swing_at;
    bool own = at.file && !place_same(at, above);
    bool swings = false;
    for (size_t i = 0; i < exercise->out->bar_count && !swings; i++)
        swings = bar_swings(&exercise->out->bars[i]);
    builder->swings |= swings;
    if (own && !swings && !fraction_equal(settings->swing, fraction_make(1, 2)))
        report_still(builder, settings, "exercise");
}

/* Whether this stands in the lesson itself: a course has other lessons. */
static bool is_lessons(const struct builder *builder, struct place at)
{
    return at.file && strcmp(at.file, builder->lesson->file) == 0;
}

static void check_swing_of_lesson(struct builder *builder)
{
    const struct settings *settings = &builder->lesson->settings;
    bool own = is_lessons(builder, settings->swing_at);
    if (own && !builder->swings && !fraction_equal(settings->swing, fraction_make(1, 2)))
        report_still(builder, settings, "lesson");
}

static void check_list(const struct exercise_builder *exercise, const struct address_bars *lists,
                       uint32_t bars)
{
    if (lists->count <= bars)
        return;
    diag_add(exercise->builder->diags, DIAG_NO_EFFECT, lists->bars[bars].at,
             "the list has %u entries, but the exercise has %u bar%s", (unsigned)lists->count,
             (unsigned)bars, bars == 1 ? "" : "s");
    diag_expected(exercise->builder->diags, "an entry for each bar, or more `bars`");
}

/* Counts of the exercise for which every bar has its own. */
static void check_overridden(const struct exercise_builder *exercise, const void *what,
                             const char *name, struct place at)
{
    if (is_used(exercise->builder, what))
        return;
    diag_add(exercise->builder->diags, DIAG_NO_EFFECT, at, "no bar uses `%s` of the exercise",
             name);
    diag_expected(exercise->builder->diags, "a bar without its own `%s`", name);
}

static void check_counts(const struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    const struct keyed_voices *keyed = source->settings.keyed;
    if (source->accents.count)
        check_overridden(exercise, &source->accents, "accents", source->accents.at);
    if (source->ghosts.count)
        check_overridden(exercise, &source->ghosts, "ghosts", source->ghosts.at);
    for (size_t i = 0; keyed && i < keyed->count; i++)
        if (!keyed->items[i].general)
            check_overridden(exercise, keyed->items[i].words, keyed->items[i].words,
                             keyed->items[i].at);
}

/* Beside rhythms, a subdivision only gives meaning to counts; without any it has no effect. */
static void check_subdivision(const struct exercise_builder *exercise)
{
    const struct subdivisions *own = exercise->exercise->settings.subdivisions;
    if (!own || own == exercise->builder->lesson->settings.subdivisions ||
        is_used(exercise->builder, own))
        return;
    diag_add(exercise->builder->diags, DIAG_NO_EFFECT, own->at,
             "every bar has a rhythm or a subdivision of its own, so no bar uses this one");
    diag_expected(exercise->builder->diags, "a bar with neither");
}

/* Voices by count join the strokes of a sticking, which an author may not have in view; without a
   subdivision it is left out. */
static void check_sticking_above(const struct exercise_builder *exercise)
{
    struct builder *builder = exercise->builder;
    const struct settings *settings = &exercise->exercise->settings;
    const struct stroke_line *sticking = settings->sticking;
    const struct keyed_voices *keyed = settings->keyed;
    bool above = sticking && sticking == builder->lesson->settings.sticking;
    if (!above || !settings->subdivisions || !is_used(builder, sticking))
        return;
    for (size_t i = 0; keyed && i < keyed->count; i++) {
        const struct keyed_voice *voice = &keyed->items[i];
        if (voice->general || voice->player != PLAYER_HANDS || !voice->counts.bars[0].count)
            continue;
        diag_add(builder->diags, DIAG_STICKING_ABOVE, voice->at,
                 "`%s` joins the strokes of the %s's sticking", voice->words,
                 is_lessons(builder, sticking->at) ? "lesson" : "course");
        diag_expected(builder->diags,
                      "`subdivision: none` if only the voices by count should play");
        diag_other(builder->diags, sticking->at, "the sticking");
        return;
    }
}

/* ---- `none` ------------------------------------------------------------------------------- */

static bool says_none(const struct address_bars *counts)
{
    for (uint32_t i = 0; i < counts->count; i++)
        if (counts->bars[i].count)
            return false;
    return counts->count > 0;
}

static void report_none(struct builder *builder, const struct address_bars *counts,
                        const char *name)
{
    if (!builder_report_once(builder, counts->bars))
        return;
    diag_add(builder->diags, DIAG_NO_EFFECT, counts->at,
             "there is no `%s` of a level above for 'none' to switch off", name);
    diag_expected(builder->diags, "counts, or no `%s` at all", name);
}

/* Accents and ghosts have no level above the exercise. */
static void check_none(struct builder *builder, const struct address_bars *counts,
                       const struct address_bars *above, const char *name)
{
    if (says_none(counts) && (!above || above->count == 0 || says_none(above)))
        report_none(builder, counts, name);
}

static void check_none_of_voices(struct builder *builder, const struct keyed_voices *keyed,
                                 const struct keyed_voices *above)
{
    for (size_t i = 0; keyed && i < keyed->count; i++) {
        const struct keyed_voice *voice = &keyed->items[i];
        bool any = false;
        for (size_t k = 0; above && k < above->count; k++)
            any |= keyed_alike(voice, &above->items[k]) && !says_none(&above->items[k].counts);
        if (!voice->general && !any && says_none(&voice->counts))
            report_none(builder, &voice->counts, voice->words);
    }
}

static void check_none_of_bars(struct builder *builder, const struct exercise *source,
                               const struct lesson_bar *bars, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        check_none(builder, &bars[i].accents, &source->accents, "accents");
        check_none(builder, &bars[i].ghosts, &source->ghosts, "ghosts");
        check_none_of_voices(builder, bars[i].keyed, source->settings.keyed);
    }
}

static void check_nones(const struct exercise_builder *exercise)
{
    struct builder *builder = exercise->builder;
    const struct exercise *source = exercise->exercise;
    if (diags_errors(builder->diags)) /* a list with an error is empty, too */
        return;
    check_none(builder, &source->accents, NULL, "accents");
    check_none(builder, &source->ghosts, NULL, "ghosts");
    check_none_of_voices(builder, source->settings.keyed, builder->lesson->settings.keyed);
    check_none_of_bars(builder, source, source->bars, source->bar_count);
    check_none_of_bars(builder, source, source->pickup, source->pickup != NULL);
    for (size_t i = 0; i < source->ending_count; i++)
        check_none_of_bars(builder, source, source->endings[i].bars, source->endings[i].bar_count);
}

/* ---- lists that look like counts ---------------------------------------------------------- */

/* Whether each entry is a single count, each later in the bar than the one before: [1, 3]. */
static bool looks_like_counts(const struct address_bars *lists)
{
    for (uint32_t i = 0; i < lists->count; i++) {
        const struct address_list *list = &lists->bars[i];
        const struct address *count = list->items;
        if (list->count != 1 || count->kind != ADDRESS_SLOT || count->bar || count->to_beat ||
            (i && count->beat <= lists->bars[i - 1].items->beat))
            return false;
    }
    return lists->by_bar && lists->count > 1;
}

static void report_bar_list(struct builder *builder, const struct address_bars *lists,
                            const char *name)
{
    const char *counts = "";
    for (uint32_t i = 0; i < lists->count; i++)
        counts = arena_format(builder->arena, "%s%s%s", counts, i ? " " : "",
                              address_words(builder->arena, lists->bars[i].items));
    diag_add(
        builder->diags, DIAG_BAR_LIST, lists->at,
        "each entry of a list is for a bar of its own: this is count %s in bar 1 and count %s in "
        "bar 2",
        address_words(builder->arena, lists->bars[0].items),
        address_words(builder->arena, lists->bars[1].items));
    diag_expected(builder->diags,
                  "'%s: %s' for these counts in every bar, or 'bars: %u' if each bar has its own",
                  name, counts, (unsigned)lists->count);
}

/* An author who says how many bars there are, and has an entry for each, has bars in mind. */
static void check_bar_list(const struct exercise_builder *exercise,
                           const struct address_bars *lists, const char *name)
{
    const struct exercise *source = exercise->exercise;
    bool listed = source->bars_kind == BARS_LIST && source->bar_count == lists->count;
    bool counted = source->bars_at.file && source->bars_kind == BARS_NUMBER;
    uint32_t counted_bars = counted ? source->bar_number : 0;
    bool longer = counted_bars && counted_bars < lists->count; /* which has a warning of its own */
    if (looks_like_counts(lists) && !listed && counted_bars != lists->count && !longer)
        report_bar_list(exercise->builder, lists, name);
}

static void check_bar_lists(const struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    const struct keyed_voices *keyed = source->settings.keyed;
    check_bar_list(exercise, &source->accents, "accents");
    check_bar_list(exercise, &source->ghosts, "ghosts");
    if (source->left) {
        check_bar_list(exercise, &source->left->accents, "accents");
        check_bar_list(exercise, &source->left->ghosts, "ghosts");
    }
    for (size_t i = 0; keyed && i < keyed->count; i++)
        if (!keyed->items[i].general)
            check_bar_list(exercise, &keyed->items[i].counts, keyed->items[i].words);
}

static void check_lists(const struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    const struct keyed_voices *keyed = source->settings.keyed;
    uint32_t bars = 0;
    for (size_t i = 0; i < exercise->out->bar_count; i++)
        if (exercise->out->bars[i].number > bars)
            bars = exercise->out->bars[i].number;
    check_list(exercise, &source->accents, bars);
    check_list(exercise, &source->ghosts, bars);
    if (source->left) {
        check_list(exercise, &source->left->accents, bars);
        check_list(exercise, &source->left->ghosts, bars);
    }
    for (size_t i = 0; keyed && i < keyed->count; i++)
        if (!keyed->items[i].general)
            check_list(exercise, &keyed->items[i].counts, bars);
}

/* ---- the lesson --------------------------------------------------------------------------- */

static void note_for_lesson(struct builder *builder)
{
    const struct settings *settings = &builder->lesson->settings;
    for (int limb = 0; settings->play && limb < LIMB_COUNT; limb++)
        if (is_used(builder, settings->play->limbs[limb].items))
            builder->lesson_limbs |= 1u << limb;
    builder->lesson_sticking |= is_used(builder, settings->sticking);
    builder->lesson_subdivision |= is_used(builder, settings->subdivisions);
    for (size_t i = 0; settings->keyed && i < settings->keyed->count; i++)
        if (is_used(builder, settings->keyed->items[i].words))
            *vector_push(&builder->lesson_keyed, builder->arena) = settings->keyed->items[i].words;
}

/* Warns of lesson settings that no exercise uses. */
static void report_unused(struct builder *builder, struct place at, const char *name)
{
    diag_add(builder->diags, DIAG_NO_EFFECT, at, "no exercise uses this %s", name);
    diag_expected(builder->diags, "an exercise without its own %s", name);
}

static void check_keyed_of_lesson(struct builder *builder)
{
    const struct keyed_voices *keyed = builder->lesson->settings.keyed;
    for (size_t i = 0; keyed && i < keyed->count; i++) {
        const struct keyed_voice *voice = &keyed->items[i];
        if (is_lessons(builder, voice->at) && looks_like_counts(&voice->counts))
            report_bar_list(builder, &voice->counts, voice->words);
        if (is_lessons(builder, voice->at) &&
            !is_among(builder->lesson_keyed.items, builder->lesson_keyed.count, voice->words))
            report_unused(builder, voice->at, arena_format(builder->arena, "`%s`", voice->words));
    }
}

/* The lesson's time, tempo and counting, where every exercise has its own. A practice form has no
   beats to count, and its tempo is printed. */
static void check_cascade(struct builder *builder)
{
    const struct lesson *lesson = builder->lesson;
    const struct settings *own = &lesson->settings;
    bool time = false, counting = false;
    bool tempo = ladder_shown(builder->score, builder->score->exercise_count);
    for (size_t i = 0; i < lesson->exercise_count; i++) {
        const struct settings *settings = &lesson->exercises[i].settings;
        bool form = lesson->exercises[i].sequence_count;
        tempo |= settings->tempo == own->tempo;
        time |= !form && settings->meter == own->meter;
        counting |= !form && place_same(settings->counting_at, own->counting_at);
    }
    if (!time && is_lessons(builder, own->meter->at))
        report_unused(builder, own->meter->at, "time");
    if (!tempo && own->tempo && is_lessons(builder, own->tempo->at))
        report_unused(builder, own->tempo->at, "tempo");
    if (!counting && is_lessons(builder, own->counting_at))
        report_unused(builder, own->counting_at, "counting");
}

void uses_check_lesson(struct builder *builder)
{
    check_swing_of_lesson(builder);
    const struct settings *settings = &builder->lesson->settings;
    const struct stroke_line *sticking = settings->sticking;
    if (builder->unknown_uses || builder->over_limit)
        return;
    for (int limb = 0; settings->play && limb < LIMB_COUNT; limb++) {
        const struct voicing_line *line = &settings->play->limbs[limb];
        if (line->count && is_lessons(builder, line->at) && !(builder->lesson_limbs >> limb & 1))
            report_limb(builder, limb, line->at);
    }
    check_keyed_of_lesson(builder);
    check_cascade(builder);
    if (sticking && is_lessons(builder, sticking->at) && !builder->lesson_sticking)
        report_unused(builder, sticking->at, "sticking");
    const struct subdivisions *subdivisions = settings->subdivisions;
    if (subdivisions && is_lessons(builder, subdivisions->at) && !builder->lesson_subdivision)
        report_unused(builder, subdivisions->at, "subdivision");
}

void uses_check(struct exercise_builder *exercise)
{
    const struct exercise *source = exercise->exercise;
    struct builder *builder = exercise->builder;
    builder->unknown_uses |= exercise->incomplete;
    if (exercise->incomplete || builder->over_limit)
        return;
    note_for_lesson(builder);
    check_play(builder, source->settings.play, builder->lesson->settings.play);
    if (source->feet)
        check_play(builder, source->feet->play, NULL);
    if (source->left)
        check_play(builder, source->left->play, NULL);
    check_bars(builder, source, source->bars, source->bar_count);
    check_bars(builder, source, source->pickup, source->pickup != NULL);
    for (size_t i = 0; i < source->ending_count; i++)
        check_bars(builder, source, source->endings[i].bars, source->endings[i].bar_count);
    check_voices(exercise);
    check_sticking(exercise);
    check_counts(exercise);
    check_subdivision(exercise);
    check_sticking_above(exercise);
    check_lists(exercise);
    check_nones(exercise);
    check_bar_lists(exercise);
    check_swing(exercise);
    check_counts_grid(exercise);
}
