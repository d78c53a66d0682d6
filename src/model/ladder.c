#include "model/ladder.h"

static bool is_lessons(const struct score *score, size_t exercise)
{
    return exercise >= score->exercise_count;
}

static const struct settings *settings_of(const struct score *score, size_t exercise)
{
    return is_lessons(score, exercise) ? &score->lesson->settings
                                       : &score->exercises[exercise].source->settings;
}

static bool is_goal(const struct tempo *tempo)
{
    return tempo && tempo->count > 1;
}

/* The exercise is printed again with the other lead. */
static bool comes_again(const struct score *score, size_t exercise)
{
    return exercise + 1 < score->exercise_count &&
           score->exercises[exercise + 1].source == score->exercises[exercise].source;
}

const struct verdict *ladder_verdict(const struct score *score, size_t exercise)
{
    if (is_lessons(score, exercise) || !settings_of(score, exercise)->show->ladder_limit)
        return NULL;
    const struct score_exercise *at = &score->exercises[exercise];
    bool second = exercise > 0 && at[-1].source == at->source;
    const struct verdict *verdict = at->verdict;
    if (comes_again(score, exercise) || !verdict || verdict->kind != VERDICT_TEMPO)
        return NULL;
    bool lower = second && at[-1].verdict && at[-1].verdict->kind == VERDICT_TEMPO &&
                 at[-1].verdict->max_tenths < verdict->max_tenths;
    return lower ? at[-1].verdict : verdict;
}

bool ladder_shown(const struct score *score, size_t exercise)
{
    const struct settings *settings = settings_of(score, exercise);
    if (!settings->show->ladder)
        return false;
    if (settings->show->ladder_limit)
        return ladder_verdict(score, exercise) != NULL;
    if (!is_goal(settings->tempo) || settings->tempo->gradual)
        return false;
    return is_lessons(score, exercise) ||
           (settings->tempo != score->lesson->settings.tempo && !comes_again(score, exercise));
}

/* The beat of the exercise's tempo mark. */
static struct fraction beat_of(const struct score_exercise *exercise)
{
    const struct meter *meter =
        exercise->bar_count ? exercise->bars[0].meter : exercise->source->settings.meter;
    return tempo_beat(exercise->tempo, meter);
}

size_t ladder_rungs(const struct score *score, size_t exercise, unsigned rungs[TEMPO_RUNGS_MAX])
{
    const struct verdict *verdict = ladder_verdict(score, exercise);
    if (verdict)
        return tempo_rungs_to(verdict->max_tenths, beat_of(&score->exercises[exercise]), rungs);
    return tempo_rungs(settings_of(score, exercise)->tempo, rungs);
}

bool ladders_several(const struct score *score)
{
    size_t count = 0;
    for (size_t i = 0; i <= score->exercise_count && count < 2; i++)
        count += ladder_shown(score, i);
    return count > 1;
}

bool ladder_is_for(const struct score *score, size_t ladder, size_t exercise)
{
    const struct exercise *source = score->exercises[exercise].source;
    if (!is_lessons(score, ladder))
        return source == score->exercises[ladder].source;
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].source == source && ladder_shown(score, i))
            return false;
    return score->exercises[exercise].tempo == score->lesson->settings.tempo;
}

bool caution_shown(const struct score *score)
{
    if (is_goal(score->lesson->settings.tempo))
        return true;
    for (size_t i = 0; i < score->exercise_count; i++)
        if (is_goal(score->exercises[i].tempo) || ladder_verdict(score, i))
            return true;
    return false;
}
