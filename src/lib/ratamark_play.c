/* The public interface to playing: verdicts and stickings. */
#include "lib/ratamark_int.h"
#include "play/play.h"

/* The limits of the level that the options name; NULL: each exercise's own. */
static bool find_level(const struct ratamark *lesson, const struct ratamark_options *options,
                       const struct limits **limits)
{
    *limits = options->level ? course_level(lesson->work.course, options->level) : NULL;
    return *limits || !options->level;
}

/* ---- verdicts ------------------------------------------------------------------------------- */

static void add_limit(struct ratamark_verdict *out, const struct score *score,
                      const struct verdict *verdict)
{
    const struct move *move = &verdict->limit;
    const struct voice *voices = score->lesson->kit.voices;
    out->max_tempo = verdict->max_tenths / 10.0;
    out->move = move_word((enum move_kind)move->kind);
    out->limb = limb_word(move->limb);
    out->from = voices[move->from].name;
    out->to = voices[move->to].name;
    out->bar = move->bar->number;
    out->count = play_count(score->arena, move->bar, move->note);
    out->strokes = move->strokes;
    out->beats = (double)move->ticks / (double)verdict->quarter;
    out->takes_ms = move->takes_us / 1000.0;
    out->at = ratamark_place_of(move->note->at);
}

static bool has_open_hands(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_line *line = &exercise->bars[b].lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++)
            if (leaf_struck(&line->leaves[i]) && !line->leaves[i].note->letter)
                return true;
    }
    return false;
}

static void add_verdict(struct ratamark_verdict *out, const struct score *score,
                        const struct score_exercise *exercise)
{
    static const enum ratamark_verdict_kind kinds[] = {
        [VERDICT_TEMPO] = RATAMARK_UP_TO_TEMPO,
        [VERDICT_UNLIMITED] = RATAMARK_ANY_TEMPO,
        [VERDICT_IMPOSSIBLE] = RATAMARK_NO_TEMPO,
        [VERDICT_UNKNOWN] = RATAMARK_NOT_JUDGED,
    };
    const struct verdict *verdict = exercise->verdict;
    *out = (struct ratamark_verdict){
        .exercise = exercise->number,
        .title = exercise->title,
        .level = verdict->limits->name,
        .kind = kinds[verdict->kind],
        .hands_chosen = verdict->proposed || has_open_hands(exercise),
    };
    if (verdict->kind == VERDICT_TEMPO)
        add_limit(out, score, verdict);
}

enum ratamark_result ratamark_judge(struct ratamark *lesson, const struct ratamark_options *options)
{
    options = options_or_default(options);
    struct play_options play = {.at = options->judged_tempo, .hands_chosen = lesson->stuck};
    if (lesson->checked != RATAMARK_OK)
        return lesson->checked;
    if (!find_level(lesson, options, &play.limits))
        return RATAMARK_BAD_ARGUMENT;
    ratamark_take_sides(lesson, options->handed);
    struct score *score = lesson->work.score;
    struct diags *diags = lesson->found[FOUND_BY_JUDGE] = diags_new(lesson->work.arena);
    if (!lesson->stuck)
        play_forget_hands(score);
    check_stickings(score, diags);
    play_check(score, &play, diags);
    diags_sort(diags);
    ratamark_gather_diagnostics(lesson);
    lesson->verdicts.items = NULL;
    lesson->verdicts.count = lesson->verdicts.room = 0;
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].verdict)
            add_verdict(vector_push(&lesson->verdicts, score->arena), score, &score->exercises[i]);
    return RATAMARK_OK;
}

size_t ratamark_verdict_count(const struct ratamark *lesson)
{
    return lesson->verdicts.count;
}

const struct ratamark_verdict *ratamark_verdict(const struct ratamark *lesson, size_t index)
{
    return index < lesson->verdicts.count ? &lesson->verdicts.items[index] : NULL;
}

/* ---- stickings ------------------------------------------------------------------------------ */

/* Takes the events of one bar off the row, which has those of all bars in order. */
static void add_sticking(struct ratamark_sticking *out, const struct score_exercise *exercise,
                         const struct score_bar *bar, const struct hand_row *row, size_t *next,
                         struct arena *arena)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    char *hands = arena_alloc(arena, line->leaf_count + 1u);
    size_t count = 0;
    *out = (struct ratamark_sticking){
        .exercise = exercise->number, .bar = bar->number, .hands = hands};
    for (uint32_t i = 0; i < line->leaf_count && *next < row->count; i++) {
        const struct note *note = row->events[*next].note;
        if (!leaf_struck(&line->leaves[i]) || line->leaves[i].note != note)
            continue;
        hands[count++] = note->letter ? (char)note->letter : hands_letter(row, &row->events[*next]);
        out->chosen += !note->letter;
        ++*next;
    }
}

enum ratamark_result ratamark_stick(struct ratamark *lesson, const struct ratamark_options *options)
{
    options = options_or_default(options);
    const struct limits *limits;
    if (lesson->checked != RATAMARK_OK)
        return lesson->checked;
    if (!find_level(lesson, options, &limits))
        return RATAMARK_BAD_ARGUMENT;
    ratamark_take_sides(lesson, options->handed);
    struct score *score = lesson->work.score;
    lesson->stuck = true;
    lesson->stickings.items = NULL;
    lesson->stickings.count = lesson->stickings.room = 0;
    for (size_t e = 0; e < score->exercise_count; e++) {
        const struct score_exercise *exercise = &score->exercises[e];
        const struct limits *own = limits_or_usual(exercise->source->settings.limits);
        if (exercise->sequence)
            continue;
        struct hand_sums sums, alternating;
        struct hand_row row = play_choose_hands(score, exercise, limits ? limits : own,
                                                options->style, &sums, &alternating);
        size_t next = 0;
        for (size_t b = 0; b < exercise->bar_count; b++) {
            struct ratamark_sticking *out = vector_push(&lesson->stickings, score->arena);
            const struct bar_signs *signs = exercise->bars[b].signs;
            add_sticking(out, exercise, &exercise->bars[b], &row, &next, score->arena);
            if (signs && signs->same)
                out->hands = out[-signs->same].hands;
        }
    }
    return RATAMARK_OK;
}

size_t ratamark_sticking_count(const struct ratamark *lesson)
{
    return lesson->stickings.count;
}

const struct ratamark_sticking *ratamark_sticking(const struct ratamark *lesson, size_t index)
{
    return index < lesson->stickings.count ? &lesson->stickings.items[index] : NULL;
}
