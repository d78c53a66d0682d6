/*
 * What is struck at one moment: LIMB [VOICE] [ghost|full] [graces and marks]. What goes without
 * saying is the limb's habit. Several hits are joined by "with"; two hands that do the same are
 * "both".
 */
#include "spoken/spoken_int.h"

/* The voice that needs no word. */
static voice_id expected_voice(const struct telling *telling, unsigned limb, voice_id common)
{
    return common != VOICE_NONE ? common : telling->habits.limbs[limb].voice;
}

static bool is_loud(const struct note *note, const struct hit *hit)
{
    return hit_marks(note, hit) & MARKS_LOUD;
}

static bool expected_ghost(const struct telling *telling, const struct note *note,
                           const struct hit *hit)
{
    const struct habit *habit = &telling->habits.limbs[hit->limb];
    return habit->ghost && habit->voice == hit->voice && !is_loud(note, hit);
}

/* " ghost", " full", or "" if it goes without saying. */
static const char *softness(const struct telling *telling, const struct note *note,
                            const struct hit *hit)
{
    if (hit->ghost == expected_ghost(telling, note, hit))
        return "";
    return hit->ghost ? " ghost" : " full";
}

static void add_voice(const struct telling *telling, voice_id voice, struct buffer *out)
{
    buffer_add_text(out, " ");
    buffer_add_text(out, voice_word(telling, voice));
}

static void hit_words(const struct telling *telling, const struct note *note, const struct hit *hit,
                      voice_id common, struct buffer *out)
{
    buffer_add_text(out, word_limb(hit->limb));
    if (hit->voice != expected_voice(telling, hit->limb, common))
        add_voice(telling, hit->voice, out);
    buffer_add_text(out, softness(telling, note, hit));
    word_marks(note, hit, out);
}

/* Says both hands in one, and returns true, if both play the voice that is expected of them or the
   same one, and are as soft as expected or as each other. */
static bool both_words(const struct telling *telling, const struct note *note,
                       const struct hit *right, const struct hit *left, voice_id common,
                       struct buffer *out)
{
    bool expected = right->voice == expected_voice(telling, right->limb, common) &&
                    left->voice == expected_voice(telling, left->limb, common);
    const char *soft_right = softness(telling, note, right);
    const char *soft_left = softness(telling, note, left);
    bool as_soft = (!*soft_right && !*soft_left) || right->ghost == left->ghost;
    bool as_loud = is_loud(note, right) == is_loud(note, left);
    if (!as_soft || !as_loud || (!expected && right->voice != left->voice))
        return false;
    buffer_add_text(out, "both");
    if (!expected)
        add_voice(telling, right->voice, out);
    buffer_add_text(out, *soft_right ? soft_right : soft_left);
    word_marks(note, right, out);
    return true;
}

void stroke_words(const struct telling *telling, const struct note *note, voice_id common,
                  struct buffer *out)
{
    const struct hit *hands[NOTE_HITS_MAX] = {NULL};
    int count = 0;
    for (int i = 0; i < note->hit_count; i++)
        if (!is_foot(note->hits[i].limb))
            hands[count++] = &note->hits[i];
    bool left_first = count == 2 && hands[0]->limb == LIMB_LEFT_HAND;
    const struct hit *right = hands[left_first], *left = hands[!left_first];
    if (count == 2 && right->limb == LIMB_RIGHT_HAND && left->limb == LIMB_LEFT_HAND &&
        both_words(telling, note, right, left, common, out))
        return;
    for (int i = 0; i < count; i++) {
        buffer_add_text(out, i ? " with " : "");
        hit_words(telling, note, hands[i], common, out);
    }
}

voice_id stroke_common(const struct telling *telling, const struct leaf *leaves, uint32_t first,
                       uint32_t end)
{
    voice_id common = VOICE_NONE;
    unsigned strokes = 0, unexpected = 0;
    for (uint32_t i = first; i < end; i++) {
        if (!leaf_struck(&leaves[i]))
            continue;
        const struct note *note = leaves[i].note;
        strokes++;
        for (int h = 0; h < note->hit_count; h++) {
            const struct hit *hit = &note->hits[h];
            if (common != VOICE_NONE && hit->voice != common)
                return VOICE_NONE;
            common = hit->voice;
            unexpected += hit->voice != telling->habits.limbs[hit->limb].voice;
        }
    }
    return strokes > 1 && unexpected > 1 ? common : VOICE_NONE;
}
