/*
 * The feet of a bar. Their strokes come from one of two places:
 *
 *     - `feet`, a line of their own: built like the hands' line, from a rhythm or a grid
 *     - `kick`, `hat-foot`, and voices in the hands' line that a foot plays: their strokes are
 *       collected, sorted, and those at one onset become one note
 *
 * In the second case loose.c finds their note values.
 */
#include "build/build_int.h"

#include <stdlib.h>
#include <string.h>

/* ---- a line of their own ------------------------------------------------------------------ */

/* `feet` already says everything that the feet do: nothing else may. */
static bool report_two_ways(struct bar_builder *bar, const struct limb_line *feet)
{
    const struct keyed_voice *keyed = keyed_foot(bar);
    if (!keyed && bar->builder->feet.count == 0)
        return false;
    if (!builder_report_once(bar->builder, feet))
        return true;
    bool sticking = bar->builder->feet.count && bar->builder->feet.items[0].letter;
    diag_add(bar->builder->diags, DIAG_CONFLICT, feet->at,
             "`feet` and `%s` both say what the feet play",
             keyed      ? keyed->words
             : sticking ? "sticking"
                        : "voices");
    diag_expected(bar->builder->diags,
                  sticking ? "either `feet`, or K and H in the sticking"
                           : "either `feet`, or keys such as `kick` and `hat-foot`");
    if (keyed)
        diag_other(bar->builder->diags, keyed->counts.at, "the other one is here");
    return true;
}

/* ---- by counts ---------------------------------------------------------------------------- */

static int compare_strokes(const void *a, const void *b)
{
    const struct foot_stroke *left = a, *right = b;
    bool slots = left->where.slot >= 0 && right->where.slot >= 0;
    int onset = slots ? left->where.slot - right->where.slot
                      : fraction_compare(left->where.onset, right->where.onset);
    if (onset)
        return onset;
    if (left->hit.limb != right->hit.limb)
        return left->hit.limb - right->hit.limb;
    if (left->hit.voice != right->hit.voice)
        return left->hit.voice - right->hit.voice;
    return (left->strike < 0) - (right->strike < 0); /* of two alike a voice's own comes first */
}

/* Whether both entries name the same stroke by count. */
static bool is_double(const struct foot_stroke *a, const struct foot_stroke *b)
{
    return a->strike < 0 && b->strike < 0 && a->hit.voice == b->hit.voice &&
           a->hit.limb == b->hit.limb && a->hit.ghost == b->hit.ghost && a->marks == b->marks &&
           a->usual == b->usual && fraction_equal(a->where.onset, b->where.onset);
}

/* The strokes are in order of time. */
static void drop_doubles(struct bar_builder *bar)
{
    struct foot_stroke *items = bar->builder->feet.items;
    size_t kept = 0;
    for (size_t i = 0; i < bar->builder->feet.count; i++)
        if (!kept || !is_double(&items[kept - 1], &items[i]))
            items[kept++] = items[i];
    bar->builder->feet.count = kept;
}

static void drop_silenced(struct bar_builder *bar)
{
    size_t kept = 0;
    struct foot_stroke *items = bar->builder->feet.items;
    for (size_t i = 0; i < bar->builder->feet.count; i++)
        if (!items[i].dropped)
            items[kept++] = items[i];
    bar->builder->feet.count = kept;
}

/* Voices by count that ask for two things of one stroke. The strokes are in order of time. */
static void check_conflicts(struct bar_builder *bar)
{
    struct builder *builder = bar->builder;
    const struct foot_stroke *strokes = builder->feet.items;
    char conflict[MARKS_CONFLICT_ROOM];
    for (size_t i = 1; i < builder->feet.count; i++)
        for (size_t k = i;
             k-- > 0 && fraction_equal(strokes[k].where.onset, strokes[i].where.onset);) {
            const struct foot_stroke *a = &strokes[k], *b = &strokes[i];
            mark_set ghosts = a->hit.ghost || b->hit.ghost ? MARK_GHOST : MARK_NONE;
            if (a->hit.voice != b->hit.voice || a->strike >= 0 || b->strike >= 0 ||
                !marks_conflict(a->marks | b->marks | ghosts, conflict))
                continue;
            diag_add(builder->diags, DIAG_CONFLICT, b->at, "%s", conflict);
            diag_expected(builder->diags, "only one of the two");
            diag_other(builder->diags, a->at, "the other one is here");
        }
}

/* What the feet have under `play` in this bar, and the counters of their strokes. */
struct habits {
    const struct play *play;
    size_t own[LIMB_COUNT]; /* where the bar has its own */
    size_t *counters;
};

/* Gives a stroke the habit's voices and marks. Its own marks are closer to it. */
static void take_habit(struct bar_builder *bar, size_t index, const struct voicing *habit)
{
    struct builder *builder = bar->builder;
    struct foot_stroke written = builder->feet.items[index];
    if (habit->graces)
        report_foot_graces(bar, habit, 0);
    for (size_t i = 0; i == 0 || i < habit->voice_count; i++) {
        struct foot_stroke *stroke =
            i ? vector_push(&builder->feet, builder->arena) : &builder->feet.items[index];
        *stroke = written;
        if (habit->voice_count)
            stroke->hit.voice = habit->voices[i];
        foot_take_marks(stroke, habit->marks | habit->voice_marks[i]);
    }
}

/* The foot whose habit it is: `play` is written as for a right-handed kit, where a kick is the
   right foot's. */
static enum limb foot_under_play(const struct bar_builder *bar, const struct foot_stroke *stroke)
{
    bool right = stroke->hit.limb == LIMB_RIGHT_FOOT;
    return right != bar->builder->lesson->kit.left_handed ? LIMB_RIGHT_FOOT : LIMB_LEFT_FOOT;
}

/* The strokes are in order of time. A foot's strokes at one onset are one for its habit. */
static void take_habits(struct bar_builder *bar)
{
    struct builder *builder = bar->builder;
    struct habits habits = {.play = bar->source->settings->play};
    bool inherited = habits.play == bar->exercise->exercise->settings.play;
    habits.counters = inherited ? bar->exercise->feet.play : habits.own;
    const struct voicing *latest[LIMB_COUNT] = {0};
    struct fraction at[LIMB_COUNT];
    size_t count = builder->feet.count;
    for (size_t i = 0; i < count; i++) {
        const struct foot_stroke *stroke = &builder->feet.items[i];
        enum limb limb = foot_under_play(bar, stroke);
        if (!stroke->usual)
            continue;
        if (!latest[limb] || !fraction_equal(at[limb], stroke->where.onset))
            latest[limb] = play_next_of_foot(bar, habits.play, habits.counters, limb);
        at[limb] = stroke->where.onset;
        if (latest[limb])
            take_habit(bar, i, latest[limb]);
    }
    if (builder->feet.count > count)
        vector_sort(&builder->feet, compare_strokes);
}

/* The same drum asked for twice at one onset is a single stroke. */
static struct hit *find_hit(struct note *note, struct hit hit)
{
    for (size_t i = 0; i < note->hit_count; i++)
        if (note->hits[i].voice == hit.voice && note->hits[i].limb == hit.limb)
            return &note->hits[i];
    return NULL;
}

static void join_stroke(struct note *note, const struct foot_stroke *stroke)
{
    mark_set loud = note->marks & MARKS_LOUD, more = stroke->marks & MARKS_LOUD;
    struct hit *again = find_hit(note, stroke->hit);
    note->marks = marks_over(note->marks, stroke->marks);
    note->letter = note->letter ? note->letter : stroke->letter;
    if (again && more) /* an accent by count ends the ghost of (K) */
        again->ghost = false;
    if (again || note->hit_count == NOTE_HITS_MAX)
        return;
    for (size_t i = 0; more && !loud && i < note->hit_count; i++)
        note->hits[i].plain = !note->hits[i].ghost;
    struct hit *hit = &note->hits[note->hit_count++];
    *hit = stroke->hit;
    hit->plain = loud && !more && !hit->ghost;
}

static struct loose_notes join_strokes(struct bar_builder *bar)
{
    struct arena *arena = bar->builder->arena;
    const struct foot_stroke *strokes = bar->builder->feet.items;
    size_t count = bar->builder->feet.count;
    struct builder *builder = bar->builder;
    vector_reserve(&builder->foot_room, count, arena);
    struct loose_notes out = {.notes = arena_array_room(arena, count, sizeof *out.notes),
                              .where = builder->foot_room.items};
    for (size_t i = 0; i < count; i++) {
        const struct foot_stroke *stroke = &strokes[i];
        builder->score->voices_used[stroke->hit.voice] = true;
        builder->score->ghosts_used |= stroke->hit.ghost;
        bool again =
            out.count && fraction_equal(stroke->where.onset, out.where[out.count - 1].onset);
        if (again) {
            join_stroke(&out.notes[out.count - 1], stroke);
            bar->out->chords = true;
        } else {
            out.where[out.count] = stroke->where;
            out.notes[out.count++] = (struct note){.hits = {stroke->hit},
                                                   .hit_count = 1,
                                                   .marks = stroke->marks,
                                                   .letter = stroke->letter,
                                                   .number = (uint32_t)bar->exercise->feet.stroke++,
                                                   .at = stroke->at};
        }
    }
    return out;
}

static void report_no_grid(struct bar_builder *bar, const struct loose_notes *feet)
{
    if (!builder_report_once(bar->builder, bar->source))
        return;
    diag_add(bar->builder->diags, DIAG_SUBDIVISION_FIT, feet->notes[feet->stuck].at,
             "what the feet play in beat %u fits no single subdivision",
             frame_beat_at(bar->frame, 0, feet->where[feet->stuck].onset) + 1u);
    diag_expected(bar->builder->diags, "strokes of one subdivision in each beat");
}

static void by_counts(struct bar_builder *bar)
{
    struct loose_notes feet = join_strokes(bar);
    if (!loose_write(bar, &feet, &bar->exercise->feet, &bar->out->lines[LINE_FEET]))
        report_no_grid(bar, &feet);
}

void feet_build(struct bar_builder *bar)
{
    const struct limb_line *own = bar->source->feet;
    const struct limb_line *feet = own ? own : bar->exercise->exercise->feet;
    drop_silenced(bar);
    if (!feet || !feet->rhythm)
        rhythm_end_tie(bar, &bar->exercise->feet);
    if (feet && !(bar->out->pickup && !own)) {
        if (!report_two_ways(bar, feet))
            limb_line_build(bar, feet, own != NULL, LINE_OF_FEET, &bar->out->lines[LINE_FEET]);
        return;
    }
    vector_sort(&bar->builder->feet, compare_strokes);
    drop_doubles(bar);
    check_conflicts(bar);
    take_habits(bar);
    if (bar->builder->feet.count)
        by_counts(bar);
}
