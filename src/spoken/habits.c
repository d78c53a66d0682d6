/* What an exercise usually does: each limb's voice, whether it plays ghosts, and the subdivision.
 */
#include "spoken/spoken_int.h"

struct tally {
    uint32_t *all;  /* strokes by voice */
    uint32_t *hits; /* those without an accent, and ghosts */
    uint32_t *soft; /* ghosts */
};

static void count_note(struct tally *tallies, const struct note *note)
{
    for (int i = 0; i < note->hit_count; i++) {
        const struct hit *hit = &note->hits[i];
        struct tally *tally = &tallies[hit->limb];
        tally->all[hit->voice]++;
        tally->hits[hit->voice] += !(hit_marks(note, hit) & MARKS_LOUD);
        tally->soft[hit->voice] += hit->ghost;
    }
}

static void count_strokes(struct tally *tallies, const struct score_exercise *exercise)
{
    for (size_t i = 0; i < exercise->bar_count; i++)
        for (int line = 0; line < LINE_COUNT; line++) {
            const struct score_line *from = &exercise->bars[i].lines[line];
            for (uint32_t leaf = 0; leaf < from->leaf_count; leaf++)
                if (leaf_struck(&from->leaves[leaf]))
                    count_note(tallies, from->leaves[leaf].note);
        }
}

static struct habit habit_of(const struct tally *tally, size_t voices)
{
    struct habit habit = {.voice = VOICE_NONE};
    uint32_t all = 0;
    for (size_t voice = 0; voice < voices; voice++) {
        all += tally->all[voice];
        if (tally->all[voice] > (habit.voice == VOICE_NONE ? 0 : tally->all[habit.voice]))
            habit.voice = (voice_id)voice;
    }
    if (habit.voice == VOICE_NONE)
        return habit;
    habit.ghost = 2 * tally->soft[habit.voice] > tally->hits[habit.voice];
    uint32_t usual =
        habit.ghost ? tally->soft[habit.voice] : tally->all[habit.voice] - tally->soft[habit.voice];
    habit.broken = usual < all;
    return habit;
}

/* Ties go to the subdivision that comes first. */
static int usual_subdivision(const struct score_exercise *exercise)
{
    uint32_t beats[SUBDIVISION_COUNT] = {0};
    int first[SUBDIVISION_COUNT], known = 0, most = -1;
    for (size_t i = 0; i < exercise->bar_count; i++)
        for (uint16_t b = 0; b < exercise->bars[i].counted_count; b++) {
            const struct score_beat *beat = &exercise->bars[i].counted[b];
            if (counted_by_grid(&exercise->bars[i], b) && beat->division.slots > 1 &&
                beats[beat->subdivision]++ == 0)
                first[known++] = beat->subdivision;
        }
    for (int i = 0; i < known; i++)
        if (most < 0 || beats[first[i]] > beats[most])
            most = first[i];
    return most;
}

struct habits habits_of(const struct score_exercise *exercise, size_t voices, struct arena *arena)
{
    struct tally tallies[LIMBS];
    for (int i = 0; i < LIMBS; i++) {
        tallies[i].all = arena_array(arena, 3 * voices, sizeof(uint32_t));
        tallies[i].hits = tallies[i].all + voices;
        tallies[i].soft = tallies[i].hits + voices;
    }
    count_strokes(tallies, exercise);
    struct habits habits = {.subdivision = usual_subdivision(exercise)};
    for (int i = 0; i < LIMBS; i++)
        habits.limbs[i] = habit_of(&tallies[i], voices);
    return habits;
}
