#include "vary/vary_words.h"

#include "base/buffer.h"

/* ---- voices ------------------------------------------------------------------------------- */

static void add_mark_words(mark_set marks, struct buffer *out)
{
    for (int i = 0; i < MARK_COUNT; i++)
        if ((marks & stroke_marks[i].bit) && *stroke_marks[i].word)
            buffer_format(out, " %s", stroke_marks[i].word);
}

/* "snare ghost", "hi-hat accent + snare", "flam". */
static void add_voicing(const struct space *space, const struct voicing *what, struct buffer *out)
{
    struct buffer words = {0};
    for (size_t i = 0; i < what->voice_count; i++) {
        buffer_add_text(&words, i ? " + " : " ");
        buffer_add_text(&words, space->lesson->kit.voices[what->voices[i]].name);
        if (what->unlike)
            add_mark_words(what->voice_marks[i], &words);
    }
    add_mark_words(what->marks, &words);
    if (what->graces)
        buffer_format(&words, " %s", grace_word(what->graces));
    buffer_add_text(out, buffer_text(&words) + (words.length > 0));
    buffer_release(&words);
}

/* Whether turns begin again after so many. */
static bool goes_round(const struct voicing *const *turns, size_t count, size_t round)
{
    for (size_t i = round; i < count; i++)
        if (turns[i] != turns[i - round])
            return false;
    return count % round == 0;
}

/* A list, as short as going round allows. */
static void add_turns(const struct space *space, const struct voicing *const *turns, size_t count,
                      struct buffer *out)
{
    size_t round = 1;
    while (!goes_round(turns, count, round))
        round++;
    buffer_add_text(out, round > 1 ? "[" : "");
    for (size_t i = 0; i < round; i++) {
        buffer_add_text(out, i ? ", " : "");
        add_voicing(space, turns[i], out);
    }
    buffer_add_text(out, round > 1 ? "]" : "");
}

static void add_limb_word(enum limb limb, struct buffer *out)
{
    static const char *const words[LIMB_COUNT] = {"R", "L", "RF", "LF"};
    buffer_format(out, "%s%s: ", out->length > 1 ? ", " : "", words[limb]);
}

/* The voices that were chosen for a hand. A stroke whose voice comes from elsewhere takes its turn,
   too, with any voice. */
static void add_chosen(const struct space *space, const uint32_t *letters, enum limb limb,
                       struct arena *arena, struct buffer *out)
{
    const struct voicing_line *line = &space->vary->play.limbs[limb];
    bool right = limb == LIMB_RIGHT_HAND;
    int shift = right ? LETTER_RIGHT_SHIFT : LETTER_LEFT_SHIFT;
    const struct voicing **turns = arena_array(arena, space->columns->count, sizeof *turns);
    size_t count = 0;
    for (size_t i = 0; i < space->columns->count; i++) {
        const struct stroke *stroke = letter_stroke(space, letters[i]);
        if (!stroke ||
            (stroke->hand != (right ? HAND_RIGHT : HAND_LEFT) && stroke->hand != HAND_BOTH))
            continue;
        uint32_t voice = letter_voice(letters[i], shift);
        turns[count++] = &line->items[voice ? voice - 1 : 0];
    }
    if (!count)
        return;
    add_limb_word(limb, out);
    add_turns(space, turns, count, out);
}

/* What the exercise itself says of a limb. */
static void add_own(const struct space *space, enum limb limb, struct arena *arena,
                    struct buffer *out)
{
    const struct play *own = space->exercise->source->settings.play;
    const struct play *general = space->lesson->settings.play;
    const struct voicing_line *line = own ? &own->limbs[limb] : NULL;
    if (!line || !line->count || (general && general->limbs[limb].items == line->items))
        return;
    const struct voicing **turns = arena_array(arena, line->count, sizeof *turns);
    for (size_t i = 0; i < line->count; i++)
        turns[i] = &line->items[i];
    add_limb_word(limb, out);
    add_turns(space, turns, line->count, out);
}

static bool plays(const uint32_t *letters, size_t count, uint32_t foot)
{
    for (size_t i = 0; i < count; i++)
        if (letters[i] & foot)
            return true;
    return false;
}

static const char *play_text(const struct space *space, const uint32_t *letters,
                             struct arena *arena)
{
    const struct vary *vary = space->vary;
    size_t count = space->columns->count;
    struct buffer out = {0};
    buffer_add_text(&out, "{");
    for (enum limb limb = LIMB_RIGHT_HAND; limb < LIMB_COUNT; limb++) {
        bool hand = limb < LIMB_RIGHT_FOOT;
        bool kick = limb == LIMB_RIGHT_FOOT;
        bool varies = !hand && vary->choices[kick ? VARY_KICK : VARY_HAT_FOOT].written;
        if (hand && vary->play.limbs[limb].count)
            add_chosen(space, letters, limb, arena, &out);
        else if (!varies || plays(letters, count, kick ? LETTER_KICK : LETTER_HAT))
            add_own(space, limb, arena, &out);
    }
    buffer_add_text(&out, "}");
    return buffer_keep(&out, arena);
}

/* ---- strokes ------------------------------------------------------------------------------ */

static void add_stroke(const struct stroke *stroke, struct buffer *out)
{
    bool ghost = stroke->marks & MARK_GHOST;
    char letter = hand_letter(stroke->hand, false);
    buffer_add_text(out, ghost ? "(" : "");
    for (unsigned i = 0; i < stroke->grace_count; i++)
        buffer_add_text(out, stroke->graces >> i & 1 ? "l" : "r");
    buffer_add(out, &letter, 1);
    for (int i = 0; i < MARK_COUNT; i++)
        for (unsigned t = 0; (stroke->marks & stroke_marks[i].bit) && stroke_marks[i].sign &&
                             t < stroke_marks[i].times;
             t++)
            buffer_add(out, &stroke_marks[i].sign, 1);
    buffer_add_text(out, ghost ? ")" : "");
}

/* The strokes of one round of the sticking, beat by beat. */
static const char *sticking_text(const struct space *space, const uint32_t *letters,
                                 struct arena *arena)
{
    const struct stroke_line *sticking = space->exercise->source->settings.sticking;
    const struct vary_column *before = NULL;
    struct buffer out = {0};
    for (size_t i = 0; i < space->columns->count; i++) {
        const struct vary_column *column = &space->columns->items[i];
        const struct stroke *stroke = letter_stroke(space, letters[i]);
        if (!stroke || (size_t)column->stroke >= sticking->count)
            continue;
        if (before && (before->bar != column->bar || before->beat != column->beat))
            buffer_add_text(&out, " ");
        add_stroke(stroke, &out);
        before = column;
    }
    return buffer_keep(&out, arena);
}

/* ---- counts ------------------------------------------------------------------------------- */

/* The counts of one bar; "none". */
static const char *counts_of_bar(const struct space *space, const uint32_t *letters, uint32_t sign,
                                 uint32_t bar, struct arena *arena)
{
    struct buffer out = {0};
    for (size_t i = 0; i < space->columns->count; i++)
        if (space->columns->items[i].bar == bar && (letters[i] & sign))
            buffer_format(&out, "%s%s", out.length ? " " : "", space->columns->items[i].name);
    if (!out.length)
        buffer_add_text(&out, "none");
    return buffer_keep(&out, arena);
}

/* One line if all bars are alike, else a list; NULL: none in any. */
static const char *counts_text(const struct space *space, const uint32_t *letters, uint32_t sign,
                               struct arena *arena)
{
    const char *first = counts_of_bar(space, letters, sign, 0, arena);
    struct buffer out = {0};
    bool alike = true;
    buffer_format(&out, "[%s", first);
    for (uint32_t bar = 1; bar < space->columns->bars; bar++) {
        const char *counts = counts_of_bar(space, letters, sign, bar, arena);
        alike &= strcmp(counts, first) == 0;
        buffer_format(&out, ", %s", counts);
    }
    buffer_add_text(&out, "]");
    const char *list = buffer_keep(&out, arena);
    if (!alike)
        return list;
    return strcmp(first, "none") == 0 ? NULL : first;
}

/* Whether the lesson, or its course, has the foot's voice for every exercise. */
static bool is_general(const struct space *space, uint8_t player)
{
    const struct keyed_voices *keyed = space->exercise->source->settings.keyed;
    for (size_t i = 0; keyed && i < keyed->count; i++)
        if (keyed->items[i].usual && keyed->items[i].general && keyed->items[i].player == player)
            return true;
    return false;
}

static const char *kept_text(const struct space *space, struct arena *arena)
{
    struct buffer out = {0};
    for (size_t i = 0; i < space->columns->count; i++) {
        const struct vary_column *column = &space->columns->items[i];
        if (!column->keep)
            continue;
        buffer_add_text(&out, out.length ? ", " : "");
        if (space->columns->bars > 1)
            buffer_format(&out, "%u:", column->bar + 1);
        buffer_format(&out, "%s: ", column->name);
        add_voicing(space, column->keep, &out);
    }
    return out.length ? buffer_keep(&out, arena) : NULL;
}

/* ---- all keys ----------------------------------------------------------------------------- */

size_t vary_keys_of(const struct space *space, const uint32_t *letters,
                    struct vary_key keys[VARY_KEYS_MAX], struct arena *arena)
{
    static const struct {
        const char *key;
        uint32_t sign;
        uint8_t player; /* PLAYER_HANDS: a mark of the hands */
    } parts[VARY_PARTS] = {[VARY_ACCENTS] = {"accents", LETTER_ACCENT, PLAYER_HANDS},
                           [VARY_GHOSTS] = {"ghosts", LETTER_GHOST, PLAYER_HANDS},
                           [VARY_KICK] = {"kick", LETTER_KICK, PLAYER_RIGHT_FOOT},
                           [VARY_HAT_FOOT] = {"hat-foot", LETTER_HAT, PLAYER_LEFT_FOOT}};
    const struct vary *vary = space->vary;
    size_t count = 0;
    if (vary->rotate || vary->piece_count)
        keys[count++] = (struct vary_key){"sticking", sticking_text(space, letters, arena), false};
    if (vary->play.limbs[LIMB_RIGHT_HAND].count || vary->play.limbs[LIMB_LEFT_HAND].count)
        keys[count++] = (struct vary_key){"play", play_text(space, letters, arena), false};
    for (int part = 0; part < VARY_PARTS; part++) {
        if (!vary->choices[part].written)
            continue;
        const char *text = counts_text(space, letters, parts[part].sign, arena);
        bool silence =
            !text && parts[part].player != PLAYER_HANDS && is_general(space, parts[part].player);
        keys[count++] = (struct vary_key){parts[part].key, silence ? "none" : text, false};
    }
    const char *kept = kept_text(space, arena);
    if (kept)
        keys[count++] = (struct vary_key){"at", kept, true};
    return count;
}
