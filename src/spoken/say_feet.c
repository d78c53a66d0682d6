/* A bar's sentences for the feet and for a hand with its own line, voice by voice with counts; then
 * the dynamics. */
#include "spoken/spoken_int.h"

#include <string.h>

struct foot_stroke {
    struct fraction onset;
    unsigned held; /* the last beat that begins inside it, from 1; 0: none */
};
struct foot_phrase {
    const char *words; /* "bass drum accent" */
    VECTOR(struct foot_stroke) strokes;
};
typedef VECTOR(struct foot_phrase) phrase_list;

/* The voice alone is enough if it is the habit of that foot and not of the other. */
static bool goes_without_limb(const struct telling *telling, const struct hit *hit)
{
    const struct habit *limbs = telling->habits.limbs;
    unsigned other = hit->limb == LIMB_RIGHT_FOOT ? LIMB_LEFT_FOOT : LIMB_RIGHT_FOOT;
    return limbs[hit->limb].voice == hit->voice && limbs[other].voice != hit->voice;
}

static const char *phrase_of(const struct telling *telling, const struct note *note,
                             const struct hit *hit)
{
    struct buffer out = {0};
    if (is_foot(hit->limb) && !goes_without_limb(telling, hit))
        buffer_format(&out, "%s ", word_limb(hit->limb));
    buffer_format(&out, "%s%s", voice_word(telling, hit->voice), hit->ghost ? " ghost" : "");
    word_marks(note, hit, &out);
    return buffer_keep(&out, telling->arena);
}

/* Where a note ends that is struck, or tied over from the bar before, at this leaf. Strokes of the
   feet may lie between the leaves that ties join. */
static struct fraction end_of_note(const struct score_line *line, uint32_t first)
{
    const struct leaf *leaves = line->leaves;
    struct fraction end = fraction_add(leaves[first].onset, leaves[first].length);
    for (uint32_t i = first + 1; i < line->leaf_count; i++)
        if (leaves[i].continued && !leaves[i].ends_roll && leaves[i].note == leaves[first].note &&
            fraction_equal(leaves[i].onset, end))
            end = fraction_add(end, leaves[i].length);
    return end;
}

/* The last beat of the bar that begins inside a note, from 1; 0: none. A note that is tied over
   from the bar before is held on its first beat, too. */
static unsigned held_through(const struct score_bar *bar, const struct score_line *line,
                             uint32_t leaf)
{
    struct fraction onset = line->leaves[leaf].onset, end = end_of_note(line, leaf);
    int least = line->leaves[leaf].continued ? 0 : 1;
    unsigned held = 0;
    for (unsigned beat = 0; beat < bar->counted_count; beat++)
        if (fraction_compare(bar->counted[beat].start, onset) >= least &&
            fraction_compare(bar->counted[beat].start, end) < 0)
            held = beat + 1;
    return held;
}

static bool has_hand(const struct note *note)
{
    for (int h = 0; h < note->hit_count; h++)
        if (!is_foot(note->hits[h].limb))
            return true;
    return false;
}

/* The last beat that the hand holds a note through from the bar before; 0: it holds none. */
static unsigned held_over(const struct score_bar *bar)
{
    const struct score_line *line = &bar->lines[LINE_FEET];
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->continued && !leaf->ends_roll && fraction_equal(leaf->onset, bar->start) &&
            has_hand(leaf->note))
            return held_through(bar, line, i);
    }
    return 0;
}

static void gather(const struct telling *telling, const struct score_bar *bar, bool feet,
                   phrase_list *phrases)
{
    const struct score_line *line = &bar->lines[LINE_FEET];
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        for (int h = 0; leaf_struck(leaf) && h < leaf->note->hit_count; h++) {
            if (is_foot(leaf->note->hits[h].limb) != feet)
                continue;
            const char *words = phrase_of(telling, leaf->note, &leaf->note->hits[h]);
            size_t at = 0;
            while (at < phrases->count && strcmp(phrases->items[at].words, words) != 0)
                at++;
            if (at == phrases->count)
                vector_push(phrases, telling->arena)->words = words;
            *vector_push(&phrases->items[at].strokes, telling->arena) =
                (struct foot_stroke){leaf->onset, feet ? 0 : held_through(bar, line, i)};
        }
    }
}

/* How many slots of each beat are struck if they are the same in every beat; else 0. */
static size_t slots_of_every_beat(const struct score_bar *bar, const struct foot_phrase *phrase)
{
    const struct score_beat *first = &bar->counted[0];
    size_t count = phrase->strokes.count,
           each = bar->counted_count ? count / bar->counted_count : 0;
    if (bar->counted_count < 3 || bar->pickup || each == 0 || count % bar->counted_count)
        return 0;
    for (size_t i = 0; i < count; i++) {
        const struct score_beat *beat = &bar->counted[i / each];
        struct fraction onset = phrase->strokes.items[i].onset;
        bool on_beat = fraction_equal(onset, beat->start);
        bool alike = beat->has_division && first->has_division &&
                     beat->subdivision == first->subdivision && beat->kind == first->kind &&
                     !beat->spans_two && !beat->spanned;
        bool same_slot = i < each ? slot_at(beat, onset) >= 0
                                  : slot_at(beat, onset) ==
                                        slot_at(first, phrase->strokes.items[i % each].onset);
        if ((!(on_beat && each == 1) && !(alike && same_slot)) || phrase->strokes.items[i].held ||
            tuplet_count_at(bar, onset))
            return 0;
    }
    return each;
}

static void add_places(const struct telling *telling, const struct score_bar *bar,
                       const struct foot_phrase *phrase, struct buffer *out)
{
    size_t each = slots_of_every_beat(bar, phrase), count = each ? each : phrase->strokes.count;
    for (size_t i = 0; i < count; i++) {
        struct fraction onset = phrase->strokes.items[i].onset;
        unsigned held = phrase->strokes.items[i].held;
        buffer_add_text(out, i ? ", " : "");
        if (!each)
            buffer_add_text(out, place_word(telling, bar, onset));
        else if (fraction_equal(onset, bar->counted[0].start))
            buffer_add_text(out, "every beat");
        else
            buffer_format(out, "the %s of every beat",
                          slot_word(telling, bar, 0, (unsigned)slot_at(&bar->counted[0], onset)));
        if (held)
            buffer_format(out, " held through %u", held);
    }
}

static void add_sentence(const struct telling *telling, const struct score_bar *bar, bool feet,
                         struct buffer *out)
{
    phrase_list phrases = {0};
    unsigned held = feet ? 0 : held_over(bar);
    gather(telling, bar, feet, &phrases);
    if (phrases.count == 0 && !held)
        return;
    buffer_add_text(out, feet                          ? "Feet: "
                         : telling->exercise->mirrored ? "Right hand: "
                                                       : "Left hand: ");
    if (held)
        buffer_format(out, "held through %u", held);
    for (size_t i = 0; i < phrases.count; i++) {
        buffer_format(out, "%s%s on ", i || held ? "; " : "", phrases.items[i].words);
        add_places(telling, bar, &phrases.items[i], out);
    }
    buffer_add_text(out, ".\n");
}

const char *feet_sentence(const struct telling *telling, const struct score_bar *bar)
{
    struct buffer out = {0};
    add_sentence(telling, bar, false, &out);
    add_sentence(telling, bar, true, &out);
    return out.length ? buffer_keep(&out, telling->arena) : "";
}

static bool is_change(const char *dynamic)
{
    return strcmp(dynamic, "cresc") == 0 || strcmp(dynamic, "dim") == 0;
}

const char *dynamics_sentence(const struct telling *telling, const struct score_bar *bar)
{
    if (bar->dynamic_count == 0)
        return "";
    struct buffer out = {0};
    for (uint16_t i = 0; i < bar->dynamic_count; i++)
        buffer_format(&out, "%s%s %s %s",
                      i ? ", " : "Loudness: ", word_dynamic(bar->dynamics[i].text),
                      is_change(bar->dynamics[i].text) ? "from" : "on",
                      place_word(telling, bar, bar->dynamics[i].onset));
    buffer_add_text(&out, ".\n");
    return buffer_keep(&out, telling->arena);
}
