/*
 * What each stroke sounds like: which voice, by which limb, with which marks.
 *
 * The strikes of a bar arrive with the letters and marks of their sticking. What is written closer
 * to a stroke wins over what is written farther away, in this order:
 *
 *     1. the snare, by the hand of the letter
 *     2. `play`: what each limb usually plays; the sticking's own marks win over its marks
 *     3. `voices`: one word for each stroke; a bar's `play` wins over the exercise's `voices`
 *     4. `at`, the exercise's entries first, then the bar's: ends accents and ghosts of the
 * sticking
 *     5. `accents` and `ghosts`: an accent ends the sticking's ghost; else both are an error
 *     6. `roll`: the numbers of rolls
 *
 * A voice that a foot plays goes to the feet's line (feet.c); where nothing is left for the hands
 * the strike falls silent. Last, a mark such as `open` picks the hi-hat voice that has that sign.
 */
#include "build/build_int.h"

#include <string.h>

/* ---- hits --------------------------------------------------------------------------------- */

void note_add_hit(struct bar_builder *bar, struct note *note, voice_id voice, uint8_t limb,
                  bool ghost)
{
    if (note->hit_count == NOTE_HITS_MAX)
        return;
    note->hits[note->hit_count++] = (struct hit){.voice = voice, .limb = limb, .ghost = ghost};
    bar->out->chords |= note->hit_count > 1;
    bar->builder->score->voices_used[voice] = true;
}

static enum player player_of(const struct bar_builder *bar, voice_id voice)
{
    return bar->builder->lesson->kit.voices[voice].player;
}

uint8_t foot_of_player(const struct bar_builder *bar, enum player player)
{
    bool right = player == PLAYER_RIGHT_FOOT;
    return right != bar->builder->lesson->kit.left_handed ? LIMB_RIGHT_FOOT : LIMB_LEFT_FOOT;
}

bool voicing_is_feet_alone(const struct bar_builder *bar, const struct voicing *voicing)
{
    for (size_t i = 0; i < voicing->voice_count; i++)
        if (player_of(bar, voicing->voices[i]) == PLAYER_HANDS)
            return false;
    return voicing->voice_count > 0;
}

/* How loud a voice of a voicing is. */
static mark_set marks_of_voice(const struct voicing *voicing, size_t number)
{
    return voicing->unlike ? voicing->voice_marks[number]
                           : (mark_set)(voicing->marks & (MARKS_LOUD | MARK_GHOST));
}

/* All that some voice of it is. */
static mark_set marks_of_any(const struct voicing *voicing)
{
    mark_set all = voicing->marks;
    for (size_t i = 0; voicing->unlike && i < voicing->voice_count; i++)
        all |= voicing->voice_marks[i];
    return all;
}

/* Makes a note as loud as the hit just added to it; `first`: of those added before. */
static void take_loudness(struct note *note, size_t first, mark_set marks)
{
    mark_set loud = marks & MARKS_LOUD;
    struct hit *hit = &note->hits[note->hit_count - 1];
    for (size_t i = first; loud && !(note->marks & MARKS_LOUD) && i + 1 < note->hit_count; i++)
        note->hits[i].plain = !note->hits[i].ghost;
    hit->plain = !loud && !hit->ghost && (note->marks & MARKS_LOUD);
    note->marks |= loud;
}

void report_foot_graces(struct bar_builder *bar, const struct voicing *voicing, char letter)
{
    struct diags *diags = bar->builder->diags;
    const char *graces = grace_word(voicing->graces);
    if (!builder_report_once(bar->builder, voicing))
        return;
    if (letter) {
        diag_add(diags, DIAG_CONFLICT, voicing->at, "a %s on %c, a stroke of the foot", graces,
                 letter);
        diag_expected(diags, "R or L in the sticking here, or no %s: a foot has no grace notes",
                      graces);
    } else {
        diag_add(diags, DIAG_CONFLICT, voicing->at, "a %s for a foot", graces);
        diag_expected(diags, "a voice of the hands, or no %s: a foot has no grace notes", graces);
    }
}

void foot_take_marks(struct foot_stroke *stroke, mark_set general)
{
    mark_set own = stroke->marks | (stroke->hit.ghost ? MARK_GHOST : MARK_NONE);
    mark_set all = marks_over(own, general);
    stroke->marks = marks_without(all, MARK_GHOST);
    stroke->hit.ghost = (all & MARK_GHOST) != 0;
}

/* `nearer`: marks of the stroke itself, where only feet play it. Marks that are no matter of
   loudness belong to the hands of a chord. */
static void add_foot(struct bar_builder *bar, const struct strikes *strikes, uint32_t index,
                     const struct voicing *voicing, size_t number, mark_set nearer)
{
    voice_id voice = voicing->voices[number];
    bool alone = voicing_is_feet_alone(bar, voicing);
    const struct strike *strike = &strikes->items[index];
    struct foot_stroke *stroke = vector_push(&bar->builder->feet, bar->builder->arena);
    *stroke = (struct foot_stroke){
        .where = {.onset = strike->onset, .slot = strikes->on_grid ? strike->slot : -1},
        .hit = {.voice = voice, .limb = foot_of_player(bar, player_of(bar, voice))},
        .at = voicing->at,
        .strike = (int32_t)index};
    if (alone)
        foot_take_marks(stroke, nearer);
    foot_take_marks(stroke, marks_of_voice(voicing, number) | (alone ? voicing->marks : 0));
    if (alone && voicing->graces)
        report_foot_graces(bar, voicing, 0);
}

/* Takes back the foot strokes that this stroke's voices brought with it. */
static void drop_feet(struct bar_builder *bar, uint32_t index)
{
    for (size_t i = 0; i < bar->builder->feet.count; i++)
        if (bar->builder->feet.items[i].strike == (int32_t)index)
            bar->builder->feet.items[i].dropped = true;
}

/* The limb of hit number `n` of a note: the letter's hand; for B the right hand, then the left. */
static uint8_t limb_of(uint8_t letter, uint32_t n)
{
    switch (letter) {
    case 'R':
        return LIMB_RIGHT_HAND;
    case 'L':
        return LIMB_LEFT_HAND;
    case 'B':
        return n % 2 == 0 ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND;
    default:
        return LIMB_HAND;
    }
}

/* Grace strokes that a word asks for: a flam by the other hand, a drag two by the other hand, a
   ruff alternating so that the hands change into the main stroke (PAS rudiments 20, 31; common
   practice). */
void note_take_graces(struct note *note, uint8_t count)
{
    uint8_t other = note->letter == 'L' ? 0 : 1;
    note->grace_count = count;
    note->graces = 0;
    for (unsigned i = 0; i < count; i++) {
        bool same_as_last = count == 2 || (count - 1 - i) % 2 == 0;
        if ((same_as_last ? other : !other))
            note->graces |= (uint8_t)(1u << i);
    }
}

/* Not for accents and ghosts, which strike_mark() weighs against each other. */
static void take_marks(struct note *note, const struct voicing *voicing)
{
    note->marks = marks_over(marks_without(voicing->marks, MARKS_LOUD | MARK_GHOST), note->marks);
    if (voicing->graces)
        note_take_graces(note, voicing->graces);
}

/* What the sticking asks for is closer to the stroke than `play`. */
static void take_habit(struct note *note, const struct voicing *voicing)
{
    note->marks = marks_over(note->marks, marks_without(voicing->marks, MARK_GHOST));
    if (voicing->graces)
        note_take_graces(note, voicing->graces);
}

/* Gives the hands their voices and the feet theirs. Returns how many voices the hands have. */
static uint32_t take_voices(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                            const struct voicing *voicing)
{
    struct note *note = &strikes->notes[index];
    uint32_t hands = 0;
    if (voicing->unlike)
        note->marks = marks_without(note->marks, MARKS_LOUD);
    for (size_t i = 0; i < voicing->voice_count; i++) {
        voice_id voice = voicing->voices[i];
        bool ghost = (marks_of_voice(voicing, i) & MARK_GHOST) != 0;
        if (player_of(bar, voice) != PLAYER_HANDS) {
            add_foot(bar, strikes, index, voicing, i, MARK_NONE);
            continue;
        }
        note_add_hit(bar, note, voice, limb_of(note->letter, hands++), ghost);
        if (voicing->unlike)
            take_loudness(note, 0, marks_of_voice(voicing, i));
    }
    if (hands == 1 && note->letter == 'B')
        note_add_hit(bar, note, note->hits[0].voice, LIMB_LEFT_HAND, note->hits[0].ghost);
    if (voicing->unlike)
        strikes->items[index].asked |= note->marks & MARKS_LOUD;
    return hands;
}

static void report_foot_voice(struct bar_builder *bar, const struct note *note,
                              const struct voicing *voicing)
{
    if (!builder_report_once(bar->builder, voicing))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, voicing->at,
             "the sticking gives this stroke to %s, but a foot plays its voice",
             note->letter == 'B'   ? "both hands"
             : note->letter == 'R' ? "the right hand"
                                   : "the left hand");
    diag_expected(bar->builder->diags,
                  "another voice for the hand, an empty slot, or the voice under `kick`");
}

/* Only a foot plays here: the hands rest. */
static void fall_to_feet(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                         const struct voicing *voicing)
{
    if (strikes->notes[index].letter)
        report_foot_voice(bar, &strikes->notes[index], voicing);
    strikes->items[index].by_foot = strikes->items[index].silent = true;
}

static void default_hits(struct bar_builder *bar, struct note *note)
{
    bool ghost = (note->marks & MARK_GHOST) != 0;
    note_add_hit(bar, note, VOICE_SNARE, limb_of(note->letter, 0), ghost);
    if (note->letter == 'B')
        note_add_hit(bar, note, VOICE_SNARE, LIMB_LEFT_HAND, ghost);
}

/* ---- play --------------------------------------------------------------------------------- */

const struct voicing *play_next(const struct play *play, size_t *counters, enum limb limb)
{
    const struct voicing_line *line = &play->limbs[limb];
    if (line->count <= 1)
        return line->items;
    return &line->items[counters[limb]++ % line->count];
}

const struct voicing *play_next_of_foot(struct bar_builder *bar, const struct play *play,
                                        size_t *counters, enum limb foot)
{
    if (!play || !play->limbs[foot].count)
        return NULL;
    builder_use(bar->builder, play->limbs[foot].items);
    return play_next(play, counters, foot);
}

static void play_hit(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                     const struct voicing *voicing, uint8_t limb)
{
    struct note *note = &strikes->notes[index];
    uint32_t hits = 0;
    for (size_t i = 0; voicing && i < voicing->voice_count; i++) {
        mark_set marks = marks_of_voice(voicing, i);
        if (player_of(bar, voicing->voices[i]) != PLAYER_HANDS) {
            add_foot(bar, strikes, index, voicing, i, note->marks);
            continue;
        }
        note_add_hit(bar, note, voicing->voices[i], limb, (marks & MARK_GHOST) != 0);
        hits++;
        if (voicing->unlike)
            take_loudness(note, 0, marks);
    }
    if (hits == 0 && (!voicing || voicing->voice_count == 0))
        note_add_hit(bar, note, VOICE_SNARE, limb, voicing && (voicing->marks & MARK_GHOST));
    if (voicing)
        take_habit(note, voicing);
}

static bool same_voices(const struct voicing_line *a, const struct voicing_line *b)
{
    if (a->count != 1 || b->count != 1)
        return a->count == b->count && a->count == 0;
    const struct voicing *one = a->items, *other = b->items;
    return one->voice_count == other->voice_count && one->marks == other->marks &&
           memcmp(one->voices, other->voices, one->voice_count * sizeof *one->voices) == 0;
}

static bool is_plain_snare(const struct voicing_line *line)
{
    const struct voicing *voicing = line->items;
    return line->count == 0 || (line->count == 1 && voicing->voice_count == 1 && !voicing->marks &&
                                !voicing->graces && voicing->voices[0] == VOICE_SNARE);
}

/* Whether the hands play different voices, or one of them louder. */
static bool are_unlike(const struct play *play)
{
    const struct voicing_line *right = &play->limbs[LIMB_RIGHT_HAND];
    const struct voicing_line *left = &play->limbs[LIMB_LEFT_HAND];
    return !same_voices(right, left) && !(is_plain_snare(right) && is_plain_snare(left));
}

/* If the hand is still to be chosen, both hands must play the same voice. */
static void check_open_play(struct bar_builder *bar, const struct play *play)
{
    const struct voicing_line *right = &play->limbs[LIMB_RIGHT_HAND];
    const struct voicing_line *left = &play->limbs[LIMB_LEFT_HAND];
    bool one = !right->count || !left->count;
    if (one || same_voices(right, left) || !builder_report_once(bar->builder, play))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, play->at,
             "the hand is not chosen yet, but each hand plays a different voice");
    diag_expected(bar->builder->diags, "`voices` or `at`, or one voice for both hands");
}

static const struct voicing *next_of_hand(struct bar_builder *bar, const struct play *play,
                                          size_t *counters, enum limb hand)
{
    bar->limbs_used |= 1u << hand;
    return play_next(play, counters, hand);
}

/* What `play` gives each hand. A stroke without a letter takes the right hand's voice, or the left
   hand's if the right has none. */
static void play_hands(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                       const struct play *play, size_t *counters)
{
    uint8_t letter = strikes->notes[index].letter;
    if (letter == 'R' || letter == 'B')
        play_hit(bar, strikes, index, next_of_hand(bar, play, counters, LIMB_RIGHT_HAND),
                 LIMB_RIGHT_HAND);
    if (letter == 'L' || letter == 'B')
        play_hit(bar, strikes, index, next_of_hand(bar, play, counters, LIMB_LEFT_HAND),
                 LIMB_LEFT_HAND);
    if (letter == 0) {
        bool right = play->limbs[LIMB_RIGHT_HAND].count > 0;
        bar->limbs_used |= 1u << LIMB_RIGHT_HAND | 1u << LIMB_LEFT_HAND; /* either may strike */
        if (strikes->notes[index].proposed & NOTE_ASKED)
            check_open_play(bar, play);
        play_hit(bar, strikes, index,
                 next_of_hand(bar, play, counters, right ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND),
                 LIMB_HAND);
    }
    if (strikes->notes[index].hit_count == 0)
        strikes->items[index].silent = true;
}

/* The sticking's marks win over those of `play`: brackets ghost every hit, an accent ends the
   ghosts. */
static void settle_habit(struct note *note, mark_set own)
{
    if (own & MARKS_LOUD)
        for (size_t i = 0; i < note->hit_count; i++)
            note->hits[i].ghost = note->hits[i].plain = false;
    if (!(own & MARK_GHOST))
        return;
    note->marks = marks_without(note->marks, MARKS_LOUD);
    for (size_t i = 0; i < note->hit_count; i++)
        note->hits[i].ghost = true;
}

/* ---- voices ------------------------------------------------------------------------------- */

static void ghost_all(struct note *note)
{
    for (size_t i = 0; i < note->hit_count; i++)
        note->hits[i].ghost = true;
}

static void report_marks(struct bar_builder *bar, struct place at, const void *key)
{
    if (!builder_report_once(bar->builder, key))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, at, "an accent and a ghost on one stroke");
    diag_expected(bar->builder->diags, "only one of the two");
}

/* Adds marks that were asked for at this very stroke to those already asked for. Marks of `play`
   give way. */
void strike_mark(struct bar_builder *bar, struct strikes *strikes, uint32_t index, mark_set marks,
                 struct place at, const void *key)
{
    struct note *note = &strikes->notes[index];
    struct strike *strike = &strikes->items[index];
    mark_set all = strike->asked | marks;
    if ((all & MARKS_LOUD) && (all & MARK_GHOST)) {
        report_marks(bar, at, key);
        return;
    }
    strike->asked = all;
    strike->bracketed &= !(marks & MARK_GHOST);
    if (marks & MARKS_LOUD)
        settle_habit(note, marks & MARKS_LOUD);
    if (marks & MARK_GHOST)
        settle_habit(note, MARK_GHOST);
    note->marks |= marks_without(marks, MARK_GHOST);
    if (note->marks & MARK_STRONG_ACCENT) /* a plain accent does not weaken it */
        note->marks = marks_without(note->marks, MARK_ACCENT);
}

void strike_end_brackets(struct strikes *strikes, uint32_t index, mark_set marks)
{
    struct strike *strike = &strikes->items[index];
    if (!strike->bracketed || !(marks & MARKS_LOUD))
        return;
    strike->bracketed = false;
    strike->asked = marks_without(strike->asked, MARK_GHOST);
}

static void voice_by_word(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                          const struct voicing *voicing)
{
    struct note *note = &strikes->notes[index];
    if (voicing->rest) {
        strikes->items[index].silent = true;
        return;
    }
    if (voicing->voice_count == 0)
        default_hits(bar, note);
    else if (take_voices(bar, strikes, index, voicing) == 0)
        fall_to_feet(bar, strikes, index, voicing);
    if (strikes->items[index].asked & MARK_GHOST)
        ghost_all(note);
    take_marks(note, voicing);
    strike_mark(bar, strikes, index, voicing->marks & (MARKS_LOUD | MARK_GHOST), voicing->at,
                voicing);
}

static size_t count_feet(const struct strikes *strikes)
{
    size_t feet = 0;
    for (uint32_t i = 0; i < strikes->count; i++)
        feet += is_foot_letter(strikes->notes[i].letter);
    return feet;
}

/* K and H say their voices themselves and take no word. */
static bool voices_fit(struct bar_builder *bar, const struct voicing_line *voices,
                       const struct strikes *strikes, bool exact)
{
    size_t words = voices->count, feet = count_feet(strikes), notes = strikes->count - feet;
    if (exact ? words == notes : words <= notes)
        return true;
    struct diags *diags = bar->builder->diags;
    diag_add(diags, DIAG_VOICE_COUNT, voices->at,
             exact ? "the line has %zu voice%s, but the rhythm%s has %zu note%s%s"
                   : "the line has %zu voice%s, but the bar%s has %zu stroke%s%s",
             words, words == 1 ? "" : "s", exact ? bar_words(bar) : "", notes,
             notes == 1 ? "" : "s", feet ? " of the hands (K and H take no voice)" : "");
    diag_found(diags, arena_format(bar->builder->arena, "%zu", words));
    diag_expected(diags, exact ? "%zu" : "at most %zu; a shorter line repeats", notes);
    return false;
}

static void voice_by_words(struct bar_builder *bar, struct strikes *strikes,
                           const struct voicing_line *voices, size_t *next, bool *round)
{
    int64_t before = -1;
    if (voices->count == 0)
        return;
    for (uint32_t i = 0; i < strikes->count; i++) {
        if (is_foot_letter(strikes->notes[i].letter))
            continue;
        if (!*round && voices->boundary_count)
            check_boundaries_between(bar, voices->boundaries, voices->boundary_count, *next,
                                     strikes, i, before);
        before = i;
        voice_by_word(bar, strikes, i, &voices->items[*next]);
        if (++*next == voices->count) {
            *next = 0;
            *round = true;
        }
    }
}

/* The fast path of voice_by_play(): a hand that always plays the same single voice. */
struct habit {
    bool one_voice;
    struct hit hit;
    mark_set marks;
};

static struct habit habit_of(const struct bar_builder *bar, const struct play *play, uint8_t limb)
{
    struct habit habit = {.one_voice = true, .hit = {.voice = VOICE_SNARE, .limb = limb}};
    const struct voicing_line *line = play ? &play->limbs[limb] : NULL;
    if (!line || line->count == 0)
        return habit;
    const struct voicing *voicing = line->items;
    habit.one_voice = line->count == 1 && voicing->voice_count == 1 && voicing->graces == 0 &&
                      player_of(bar, voicing->voices[0]) == PLAYER_HANDS;
    habit.hit.voice = voicing->voices[0];
    habit.hit.ghost = (voicing->marks & MARK_GHOST) != 0;
    habit.marks = marks_without(voicing->marks, MARK_GHOST);
    return habit;
}

/* Reminds the author that the left lead now swaps the hands only; it used to change the music. */
static void report_left_lead(struct bar_builder *bar, const struct play *play)
{
    struct builder *builder = bar->builder;
    for (size_t i = 0; i < builder->leads_reported.count; i++)
        if (builder->leads_reported.items[i] == play)
            return;
    *vector_push(&builder->leads_reported, builder->arena) = play;
    const struct settings *settings = &bar->exercise->exercise->settings;
    diag_add(builder->diags, DIAG_LEAD_MUSIC, play->at,
             "with the left lead the hands are swapped and the music stays the same: the left hand "
             "plays what `play` gives R");
    diag_expected(builder->diags,
                  "the right lead and other letters, if the music should change with the hands");
    diag_other(builder->diags, settings->lead_at, "the left lead");
}

static bool is_lettered(const struct strikes *strikes)
{
    for (uint32_t i = 0; i < strikes->count; i++)
        if (strikes->notes[i].letter == 'R' || strikes->notes[i].letter == 'L')
            return true;
    return false;
}

static void use_hands(struct bar_builder *bar, const struct play *play)
{
    for (int hand = LIMB_RIGHT_HAND; play && hand <= LIMB_LEFT_HAND; hand++)
        if (bar->limbs_used >> hand & 1)
            builder_use(bar->builder, play->limbs[hand].items);
}

static void voice_by_play(struct bar_builder *bar, struct strikes *strikes)
{
    const struct play *play = bar->source->settings->play;
    size_t own[LIMB_COUNT] = {0};
    bool inherited = play == bar->exercise->exercise->settings.play;
    size_t *counters = inherited ? bar->exercise->hands.play : own;
    const struct habit right = habit_of(bar, play, LIMB_RIGHT_HAND);
    const struct habit left = habit_of(bar, play, LIMB_LEFT_HAND);
    bool *used = bar->builder->score->voices_used;
    if (play && bar->exercise->exercise->settings.lead != LEAD_RIGHT && are_unlike(play) &&
        is_lettered(strikes))
        report_left_lead(bar, play);
    for (uint32_t i = 0; i < strikes->count; i++) {
        struct note *note = &strikes->notes[i];
        mark_set written = note->marks; /* of letters, not of words */
        if (is_foot_letter(note->letter))
            continue;
        const struct habit *habit = note->letter == 'R' ? &right : &left;
        if (habit->one_voice && (note->letter == 'R' || note->letter == 'L')) {
            note->hits[0] = habit->hit;
            note->hit_count = 1;
            note->marks = marks_over(written, habit->marks);
            used[habit->hit.voice] = true;
            bar->limbs_used |= 1u << habit->hit.limb;
        } else if (play) {
            play_hands(bar, strikes, i, play, counters);
        } else {
            default_hits(bar, note);
        }
        settle_habit(note, written);
        note->marks = marks_without(note->marks, MARK_GHOST);
    }
    use_hands(bar, play);
}

/* Notes the accents and ghosts of the sticking, before `voices` and `at` add theirs, and whether it
   has strokes of a foot. The reader has made sure that no stroke has both marks. */
static void note_asked(struct bar_builder *bar, struct strikes *strikes)
{
    unsigned proposed = 0;
    strikes->feet = false;
    for (uint32_t i = 0; i < strikes->count; i++) {
        const struct note *note = &strikes->notes[i];
        strikes->items[i].asked = note->marks & (MARKS_LOUD | MARK_GHOST);
        strikes->items[i].bracketed = (note->marks & MARK_GHOST) != 0;
        strikes->feet |= is_foot_letter(note->letter);
        proposed |= note->proposed;
    }
    bar->builder->score->hands_asked |= (proposed & NOTE_ASKED) != 0;
}

/* ---- strokes of a foot in the sticking ---------------------------------------------------- */

static void foot_hits(struct bar_builder *bar, struct strikes *strikes)
{
    for (uint32_t i = 0; i < strikes->count && strikes->feet; i++) {
        struct note *note = &strikes->notes[i];
        if (!is_foot_letter(note->letter))
            continue;
        bool kick = note->letter == 'K';
        enum player player = kick ? PLAYER_RIGHT_FOOT : PLAYER_LEFT_FOOT;
        note->hits[note->hit_count++] =
            (struct hit){.voice = kick ? VOICE_BASS_DRUM : VOICE_HI_HAT_FOOT,
                         .limb = foot_of_player(bar, player),
                         .ghost = (note->marks & MARK_GHOST) != 0};
        note->marks = marks_without(note->marks, MARK_GHOST);
    }
}

void strike_by_foot(struct bar_builder *bar, struct strikes *strikes, uint32_t index)
{
    struct strike *strike = &strikes->items[index];
    const struct note *note = &strikes->notes[index];
    for (size_t i = 0; i < note->hit_count; i++) {
        struct foot_stroke *stroke = vector_push(&bar->builder->feet, bar->builder->arena);
        *stroke = (struct foot_stroke){
            .where = {.onset = strike->onset, .slot = strikes->on_grid ? strike->slot : -1},
            .hit = note->hits[i],
            .marks = hit_marks(note, &note->hits[i]),
            .at = note->at,
            .strike = (int32_t)index,
            .letter = note->letter,
            .usual = !strike->named};
        stroke->marks = marks_without(stroke->marks, MARK_GHOST);
    }
    strike->by_foot = strike->silent = true;
}

static void move_feet(struct bar_builder *bar, struct strikes *strikes)
{
    for (uint32_t i = 0; i < strikes->count && strikes->feet; i++)
        if (is_foot_letter(strikes->notes[i].letter) && !strikes->items[i].silent)
            strike_by_foot(bar, strikes, i);
}

/* The closest wins: the bar's `voices`, the bar's `play`, the exercise's `voices`, any `play`. */
void strokes_voice_hands(struct bar_builder *bar, struct strikes *strikes, bool beside_rhythm)
{
    const struct exercise *exercise = bar->exercise->exercise;
    const struct voicing_line *own = bar->source->voices;
    struct line_state *state = &bar->exercise->hands;
    bool own_play = bar->source->settings->play != exercise->settings.play;
    note_asked(bar, strikes);
    foot_hits(bar, strikes);
    if (own) {
        size_t next = 0;
        bool round = false;
        if (voices_fit(bar, own, strikes, beside_rhythm))
            voice_by_words(bar, strikes, own, &next, &round);
    } else if (exercise->voices && !own_play) {
        voice_by_words(bar, strikes, exercise->voices, &state->voices, &state->voices_round);
    } else {
        voice_by_play(bar, strikes);
        return;
    }
    for (uint32_t i = 0; i < strikes->count; i++)
        strikes->notes[i].marks = marks_without(strikes->notes[i].marks, MARK_GHOST);
}

static void note_ghosts(struct bar_builder *bar, const struct strikes *strikes)
{
    bool *used = &bar->builder->score->ghosts_used;
    for (uint32_t i = 0; i < strikes->count && !*used; i++)
        for (size_t h = 0; h < strikes->notes[i].hit_count; h++)
            *used |= strikes->notes[i].hits[h].ghost && !strikes->items[i].silent;
}

/* ---- hats ---------------------------------------------------------------------------------- */

voice_id hat_for(voice_id voice, mark_set marks)
{
    if (voice < VOICE_HI_HAT || voice > VOICE_CLOSED_HI_HAT)
        return voice;
    for (int hat = VOICE_HI_HAT; hat <= VOICE_CLOSED_HI_HAT; hat++)
        if (voice_builtin((voice_id)hat)->sign & marks)
            return (voice_id)hat;
    return voice;
}

/* A hi-hat with the mark `open` becomes the open hi-hat, so that page, key, text and sound agree.
 */
static void settle_hats(struct bar_builder *bar, struct strikes *strikes)
{
    for (uint32_t i = 0; i < strikes->count; i++) {
        struct note *note = &strikes->notes[i];
        if (!(note->marks & MARKS_OF_HATS))
            continue;
        bool settled = false;
        for (size_t h = 0; h < note->hit_count; h++) {
            voice_id voice = hat_for(note->hits[h].voice, note->marks);
            settled |= voice >= VOICE_HI_HAT && voice <= VOICE_CLOSED_HI_HAT;
            note->hits[h].voice = voice;
            bar->builder->score->voices_used[voice] = true;
        }
        if (settled)
            note->marks = marks_without(note->marks, MARKS_OF_HATS);
    }
}

/* ---- the feet's own line ------------------------------------------------------------------ */

static uint8_t foot_of_letter(uint8_t letter, const struct play *play)
{
    if (letter == 'L')
        return LIMB_LEFT_FOOT;
    if (letter == 0 && play && !play->limbs[LIMB_RIGHT_FOOT].count &&
        play->limbs[LIMB_LEFT_FOOT].count)
        return LIMB_LEFT_FOOT;
    return LIMB_RIGHT_FOOT;
}

static void step(struct bar_builder *bar, struct note *note, const struct play *play,
                 size_t *counters, uint8_t limb)
{
    voice_id usual = limb == LIMB_RIGHT_FOOT ? VOICE_BASS_DRUM : VOICE_HI_HAT_FOOT;
    const struct voicing *voicing = play_next_of_foot(bar, play, counters, limb);
    if (!voicing || voicing->voice_count == 0)
        note_add_hit(bar, note, usual, limb, voicing && voicing->marks & MARK_GHOST);
    for (size_t i = 0; voicing && i < voicing->voice_count; i++) {
        mark_set marks = marks_of_voice(voicing, i);
        note_add_hit(bar, note, voicing->voices[i], limb, (marks & MARK_GHOST) != 0);
        if (voicing->unlike)
            take_loudness(note, 0, marks);
    }
    if (voicing)
        take_habit(note, voicing);
}

void strokes_voice_feet(struct bar_builder *bar, struct strikes *strikes,
                        const struct limb_line *feet, bool own)
{
    const struct play *play = feet->play ? feet->play : bar->source->settings->play;
    size_t fresh[LIMB_COUNT] = {0};
    size_t *counters = own ? fresh : bar->exercise->feet.play;
    for (uint32_t i = 0; i < strikes->count; i++) {
        struct note *note = &strikes->notes[i];
        mark_set written = note->marks;
        if (note->letter == 'B') {
            step(bar, note, play, counters, LIMB_RIGHT_FOOT);
            step(bar, note, play, counters, LIMB_LEFT_FOOT);
        } else {
            step(bar, note, play, counters, foot_of_letter(note->letter, play));
        }
        settle_habit(note, written);
        note->marks = marks_without(note->marks, MARK_GHOST);
    }
    note_ghosts(bar, strikes);
}

/* ---- the left hand's own line -------------------------------------------------------------- */

static void report_foot_of_hand(struct bar_builder *bar, const struct voicing *voicing)
{
    if (!builder_report_once(bar->builder, voicing))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, voicing->at,
             "the left hand's line has a voice that a foot plays");
    diag_expected(bar->builder->diags, "a voice of the hands, and the foot's under `kick`");
}

static bool has_foot_voice(const struct bar_builder *bar, const struct voicing *voicing)
{
    for (size_t i = 0; voicing && i < voicing->voice_count; i++)
        if (player_of(bar, voicing->voices[i]) != PLAYER_HANDS)
            return true;
    return false;
}

void strokes_voice_left(struct bar_builder *bar, struct strikes *strikes,
                        const struct limb_line *left, bool own)
{
    const struct play *play = left->play ? left->play : bar->source->settings->play;
    size_t fresh[LIMB_COUNT] = {0};
    size_t *counters = own ? fresh : bar->exercise->left.play;
    note_asked(bar, strikes);
    for (uint32_t i = 0; i < strikes->count; i++) {
        struct note *note = &strikes->notes[i];
        mark_set written = note->marks;
        const struct voicing *habit = play ? play_next(play, counters, LIMB_LEFT_HAND) : NULL;
        if (habit)
            builder_use(bar->builder, play->limbs[LIMB_LEFT_HAND].items);
        note->letter = 'L';
        if (has_foot_voice(bar, habit)) {
            report_foot_of_hand(bar, habit);
            habit = NULL;
        }
        play_hit(bar, strikes, i, habit, LIMB_LEFT_HAND);
        settle_habit(note, written);
        note->marks = marks_without(note->marks, MARK_GHOST);
    }
}

/* ---- addresses ---------------------------------------------------------------------------- */

int32_t find_strike(const struct strikes *strikes, const struct position *position)
{
    if (strikes->on_grid)
        return position->slot < 0 ? -1 : strikes->of_slot[position->slot];
    size_t at;
    lower_bound(at, 0, strikes->count,
                fraction_compare(strikes->items[at].onset, position->onset) < 0);
    bool here = at < strikes->count && fraction_equal(strikes->items[at].onset, position->onset);
    return here ? (int32_t)at : -1;
}

static bool sounds(const struct strikes *strikes, int32_t index)
{
    return index >= 0 && !strikes->items[index].silent;
}

/* What the lesson asks for at an address: a voicing (`at`), or a mark (`accents`, `ghosts`). */
struct wish {
    const struct voicing *voicing; /* NULL: the mark */
    mark_set mark;
    uint8_t roll;     /* 0, or the number of a roll */
    const char *name; /* for the message "nothing to accent" */
    bool shared;      /* written in the exercise, for all its bars */
};

/* `at` is closer to the stroke than the sticking: its accent ends the sticking's ghost and its
   ghost the sticking's accent. */
static void end_opposite(struct strikes *strikes, uint32_t index, mark_set marks)
{
    struct note *note = &strikes->notes[index];
    mark_set ends = MARK_NONE;
    if (marks & MARKS_LOUD)
        ends = MARK_GHOST;
    if (marks & MARK_GHOST)
        ends |= MARKS_LOUD;
    strikes->items[index].asked = marks_without(strikes->items[index].asked, ends);
    note->marks = marks_without(note->marks, ends);
    for (size_t i = 0; (ends & MARK_GHOST) && i < note->hit_count; i++)
        note->hits[i].ghost = false;
}

static void report_hands_voice(struct bar_builder *bar, const struct note *note,
                               const struct voicing *voicing)
{
    if (!builder_report_once(bar->builder, voicing))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, voicing->at,
             "the sticking gives this stroke to a foot (%c), but the hands play its voice",
             note->letter);
    diag_expected(bar->builder->diags, "a voice that a foot plays; a key of the voice, with this "
                                       "count, adds a stroke of the hands");
}

/* `at` names other voices for a stroke of a foot. */
static void change_foot(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                        const struct voicing *voicing)
{
    struct note *note = &strikes->notes[index];
    if (!voicing_is_feet_alone(bar, voicing)) {
        report_hands_voice(bar, note, voicing);
        return;
    }
    strikes->items[index].named = true;
    note->hit_count = 0;
    for (size_t i = 0; i < voicing->voice_count; i++) {
        voice_id voice = voicing->voices[i];
        note_add_hit(bar, note, voice, foot_of_player(bar, player_of(bar, voice)),
                     (marks_of_voice(voicing, i) & MARK_GHOST) != 0);
    }
    bool hat = note->hits[0].voice == VOICE_HI_HAT_FOOT || note->hits[0].voice == VOICE_FOOT_SPLASH;
    note->letter = hat ? 'H' : 'K';
}

static void change(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                   const struct voicing *voicing)
{
    struct note *note = &strikes->notes[index];
    end_opposite(strikes, index, marks_of_any(voicing));
    if (voicing->rest) {
        strikes->items[index].silent = true;
        strikes->items[index].by_foot = false;
        drop_feet(bar, index);
        return;
    }
    if (voicing->marks & MARK_LET_RING && !(note->proposed & NOTE_ASKED))
        note->at = voicing->at;
    bool foot = is_foot_letter(note->letter);
    if (foot && voicing->graces) {
        report_foot_graces(bar, voicing, (char)note->letter);
        return;
    }
    if (foot && voicing->voice_count) {
        change_foot(bar, strikes, index, voicing);
    } else if (voicing->voice_count) {
        drop_feet(bar, index);
        note->hit_count = 0;
        if (!(note->proposed &
              NOTE_ASKED)) /* its `?` already says where the hand is to be written */
            note->at = voicing->at;
        if (!(strikes->items[index].asked & MARKS_LOUD))
            note->marks = marks_without(note->marks, MARKS_LOUD);
        if (take_voices(bar, strikes, index, voicing) == 0)
            fall_to_feet(bar, strikes, index, voicing);
        if (strikes->items[index].asked & MARK_GHOST)
            ghost_all(note);
    }
    take_marks(note, voicing);
    strike_mark(bar, strikes, index, voicing->marks & (MARKS_LOUD | MARK_GHOST), voicing->at,
                voicing);
}

static void report_no_roll(struct bar_builder *bar, struct place at, const void *key,
                           const char *what)
{
    if (!builder_report_once(bar->builder, key))
        return;
    diag_add(bar->builder->diags, DIAG_NO_STROKE, at,
             "%s has slashes, so there is no roll to number", what);
    const struct lesson_bar *source = bar->source;
    bool feet = source->feet || bar->exercise->exercise->feet;
    diag_expected(bar->builder->diags, "slashes on the note that rolls, such as R///%s",
                  source->left ? "; numbers are for the right hand's line"
                  : feet       ? "; numbers are for rolls of the hands"
                               : "");
}

static void report_other_roll(struct bar_builder *bar, struct place at, const void *key,
                              const char *whose)
{
    if (!builder_report_once(bar->builder, key))
        return;
    diag_add(bar->builder->diags, DIAG_NO_STROKE, at, "a number for a roll of %s", whose);
    diag_expected(bar->builder->diags, "the roll with its slashes alone; %s",
                  bar->source->left ? "numbers are for the right hand's line"
                                    : "numbers are for rolls of the hands");
}

/* Measured rolls are of the hands. */
static bool is_roll(const struct note *note)
{
    return note->marks & MARKS_DIVIDING && !is_foot_letter(note->letter);
}

static void number_roll(struct bar_builder *bar, struct note *note, uint8_t number,
                        const struct address *address)
{
    if (is_roll(note))
        note->roll = number;
    else if (note->marks & MARKS_DIVIDING)
        report_other_roll(bar, address->at, address, "a foot");
    else
        report_no_roll(bar, address->at, address, "no stroke here");
}

static void mark_by_count(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                          mark_set mark, const struct address *address)
{
    strike_end_brackets(strikes, index, mark);
    strike_mark(bar, strikes, index, mark, address->at, address);
}

static void grant(struct bar_builder *bar, struct strikes *strikes, uint32_t index,
                  const struct wish *wish, const struct address *address)
{
    if (wish->voicing)
        change(bar, strikes, index, wish->voicing);
    else if (wish->roll)
        number_roll(bar, &strikes->notes[index], wish->roll, address);
    else
        mark_by_count(bar, strikes, index, wish->mark, address);
}

/* The sounding stroke nearest to an onset; -1 if the bar has none. */
static int32_t nearest_strike(const struct strikes *strikes, struct fraction onset)
{
    int32_t best = -1;
    struct fraction best_away = FRACTION_ZERO;
    for (uint32_t i = 0; i < strikes->count; i++) {
        if (strikes->items[i].silent)
            continue;
        struct fraction away = fraction_subtract(strikes->items[i].onset, onset);
        if (away.numerator < 0)
            away.numerator = -away.numerator;
        if (best < 0 || fraction_compare(away, best_away) < 0) {
            best = (int32_t)i;
            best_away = away;
        }
    }
    return best;
}

static void report_no_stroke(struct bar_builder *bar, const struct strikes *strikes,
                             const struct wish *wish, const struct address *address,
                             const struct position *position)
{
    struct builder *builder = bar->builder;
    if (!builder_report_once(builder, address))
        return;
    const char *words = address_words(builder->arena, address);
    diag_add(builder->diags, DIAG_NO_STROKE, address->at,
             "no stroke falls on '%s'%s, so there is "
             "nothing to %s",
             words, bar_words(bar), wish->name);
    diag_found(builder->diags, words);
    int32_t nearest = position ? nearest_strike(strikes, position->onset) : -1;
    const char *name = nearest < 0 ? NULL
                                   : address_of_onset(builder->arena, &bar->counted,
                                                      strikes->items[nearest].onset);
    bool empty_slot = wish->voicing && wish->voicing->voice_count && position &&
                      position->slot >= 0 && !bar->source->left;
    if (empty_slot) /* `at` may add a voice here, so do not suggest another count */
        diag_expected(builder->diags, "a stroke there: '%s: %s' adds one",
                      builder->lesson->kit.voices[wish->voicing->voices[0]].name, words);
    else if (!wish->voicing && position && position->slot >= 0 && !bar->source->left)
        diag_expected(builder->diags, "a count that has a stroke; 'snare %s: %s' adds one there",
                      wish->name, words);
    else
        diag_expected(builder->diags, name ? "a count that has a stroke" : "a bar with strokes");
    if (name && !empty_slot)
        diag_nearest(builder->diags, name);
}

static bool in_interval(const struct resolved *resolved, struct fraction onset)
{
    return fraction_compare(onset, resolved->from) >= 0 &&
           fraction_compare(onset, resolved->to) <= 0;
}

/* A range covers every stroke in it, whether on the grid or not. */
static uint32_t grant_interval(struct bar_builder *bar, struct strikes *strikes,
                               const struct wish *wish, const struct address *address,
                               const struct resolved *resolved)
{
    uint32_t granted = 0;
    for (uint32_t i = 0; i < strikes->count; i++)
        if (sounds(strikes, (int32_t)i) && in_interval(resolved, strikes->items[i].onset)) {
            grant(bar, strikes, i, wish, address);
            granted++;
        }
    return granted;
}

static uint32_t grant_each_strokes(struct bar_builder *bar, struct strikes *strikes,
                                   const struct wish *wish, const struct address *address)
{
    uint32_t every = address->every ? address->every : 1;
    if (strikes->count == 0 || !builder_count(bar->builder, strikes->count, address->at))
        return 0;
    uint32_t over = strikes->items[0].number % every;
    for (uint64_t i = over ? every - over : 0; i < strikes->count; i += every)
        if (sounds(strikes, (int32_t)i))
            grant(bar, strikes, (uint32_t)i, wish, address);
    return strikes->count; /* not an error if none of them falls in this bar */
}

static uint32_t grant_positions(struct bar_builder *bar, struct strikes *strikes,
                                const struct wish *wish, const struct address *address,
                                const struct resolved *resolved)
{
    uint32_t granted = 0;
    for (size_t i = 0; i < resolved->count; i++) {
        int32_t index = find_strike(strikes, &resolved->positions[i]);
        if (sounds(strikes, index)) {
            grant(bar, strikes, (uint32_t)index, wish, address);
            granted++;
        }
    }
    return granted;
}

static void grant_address(struct bar_builder *bar, struct strikes *strikes, const struct wish *wish,
                          const struct address *address)
{
    const struct resolved *resolved = bar_resolve(bar, address, wish->shared);
    if (!resolved || resolved->outcome != ADDRESS_FOUND)
        return;
    uint32_t granted;
    if (address->kind == ADDRESS_EACH_STROKES)
        granted = grant_each_strokes(bar, strikes, wish, address);
    else if (resolved->interval)
        granted = grant_interval(bar, strikes, wish, address, resolved);
    else
        granted = grant_positions(bar, strikes, wish, address, resolved);
    if (granted == 0)
        report_no_stroke(bar, strikes, wish, address,
                         resolved->count ? &resolved->positions[0] : NULL);
}

static void grant_list(struct bar_builder *bar, struct strikes *strikes, const struct wish *wish,
                       const struct address_list *list)
{
    for (size_t i = 0; list && i < list->count; i++)
        if (address_in_bar(bar, &list->items[i], wish->shared))
            grant_address(bar, strikes, wish, &list->items[i]);
}

static void grant_marks(struct bar_builder *bar, struct strikes *strikes, struct wish wish,
                        const struct address_bars *own, const struct address_bars *inherited)
{
    wish.shared = address_shared(own);
    grant_list(bar, strikes, &wish, bar_addresses(bar, own, inherited));
}

static const struct wish accent = {.mark = MARK_ACCENT, .name = "accent"},
                         ghost = {.mark = MARK_GHOST, .name = "ghost"};

static void apply_at(struct bar_builder *bar, struct strikes *strikes, const struct at_map *map,
                     bool shared)
{
    for (size_t i = 0; i < map->count; i++) {
        struct wish wish = {.voicing = &map->entries[i].what, .name = "change", .shared = shared};
        grant_list(bar, strikes, &wish, &map->entries[i].where);
    }
}

static bool number_every_roll(struct strikes *strikes, uint8_t number)
{
    bool any = false;
    for (uint32_t i = 0; i < strikes->count; i++)
        if (sounds(strikes, (int32_t)i) && is_roll(&strikes->notes[i])) {
            strikes->notes[i].roll = number;
            any = true;
        }
    return any;
}

/* A number for every roll comes first, so that those by count override it; the bar's own override
   the exercise's. */
static void number_rolls(struct bar_builder *bar, struct strikes *strikes,
                         const struct rolls *rolls, bool shared)
{
    if (rolls->every && number_every_roll(strikes, rolls->every))
        bar->exercise->rolled |= shared;
    else if (rolls->every && !shared)
        report_no_roll(bar, rolls->at, rolls, "no note of this bar");
    for (size_t i = 0; i < rolls->count; i++) {
        struct wish wish = {.roll = rolls->entries[i].number, .name = "number", .shared = shared};
        grant_list(bar, strikes, &wish, &rolls->entries[i].where);
    }
}

void strokes_apply_addresses(struct bar_builder *bar, struct strikes *strikes)
{
    const struct exercise *exercise = bar->exercise->exercise;
    const struct lesson_bar *source = bar->source;
    if (bar->index != UINT32_MAX)
        apply_at(bar, strikes, &exercise->at_counts, true);
    apply_at(bar, strikes, &source->at_counts, false);
    grant_marks(bar, strikes, accent, &source->accents, &exercise->accents);
    grant_marks(bar, strikes, ghost, &source->ghosts, &exercise->ghosts);
    if (bar->index != UINT32_MAX)
        number_rolls(bar, strikes, &exercise->rolls, true);
    number_rolls(bar, strikes, &source->rolls, false);
    settle_hats(bar, strikes);
    note_ghosts(bar, strikes);
    move_feet(bar, strikes);
}

static void check_left_voices(struct bar_builder *bar, const struct at_map *map)
{
    for (size_t i = 0; i < map->count; i++)
        if (has_foot_voice(bar, &map->entries[i].what))
            report_foot_of_hand(bar, &map->entries[i].what);
}

void strokes_change_left(struct bar_builder *bar, struct strikes *strikes,
                         const struct limb_line *left, bool own)
{
    static const struct address_bars none = {0};
    check_left_voices(bar, &left->at_counts);
    if (own || bar->index != UINT32_MAX)
        apply_at(bar, strikes, &left->at_counts, !own);
    grant_marks(bar, strikes, accent, own ? &left->accents : &none, own ? &none : &left->accents);
    grant_marks(bar, strikes, ghost, own ? &left->ghosts : &none, own ? &none : &left->ghosts);
    settle_hats(bar, strikes);
    note_ghosts(bar, strikes);
}
