#include "heard.h"

#include "base/buffer.h"
#include "base/vector.h"
#include "model/counting.h"

#include <check.h>
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- events ------------------------------------------------------------------------------- */

/* The order in which events at the same moment are listed. */
enum part { PART_HANDS, PART_FEET, PART_LOUDNESS, PART_WORDS, PART_SIGNS, PART_OTHER_HAND };

struct event {
    struct fraction onset;
    enum part part;
    const char *what;
};
typedef VECTOR(struct event) event_list;

static int by_time(const void *a, const void *b)
{
    const struct event *one = a, *other = b;
    int order = fraction_compare(one->onset, other->onset);
    if (order == 0)
        order = (int)one->part - (int)other->part;
    return order ? order : strcmp(one->what, other->what);
}

static const char *events_text(struct arena *arena, event_list *events)
{
    struct buffer out = {0};
    if (events->count)
        qsort(events->items, events->count, sizeof *events->items, by_time);
    for (size_t i = 0; i < events->count; i++)
        buffer_format(&out, "%lld/%lld %d %s\n", (long long)events->items[i].onset.numerator,
                      (long long)events->items[i].onset.denominator, (int)events->items[i].part,
                      events->items[i].what);
    const char *text = arena_copy_text(arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return text;
}

struct heard_hit {
    unsigned limb;
    voice_id voice;
    bool ghost;
    unsigned loud;
};

enum { ROLL_SHIFT = 16 }; /* a roll's number stands above the bits of the marks */

static int by_limb(const void *a, const void *b)
{
    const struct heard_hit *one = a, *other = b;
    return one->limb != other->limb ? (int)one->limb - (int)other->limb
                                    : (int)one->voice - (int)other->voice;
}

static const char *stroke_text(struct arena *arena, struct heard_hit *hits, size_t count,
                               unsigned marks, unsigned grace_count, unsigned graces)
{
    struct buffer out = {0};
    qsort(hits, count, sizeof *hits, by_limb);
    for (size_t i = 0; i < count; i++)
        buffer_format(&out, "%u:%u%s loud %x ", hits[i].limb, hits[i].voice,
                      hits[i].ghost ? "()" : "", hits[i].loud);
    buffer_format(&out, "marks %x graces %u:%x", marks & ~(unsigned)(MARK_GHOST | MARKS_LOUD),
                  grace_count, graces & ((1u << grace_count) - 1));
    const char *text = arena_copy_text(arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return text;
}

static bool is_foot(unsigned limb)
{
    return limb == LIMB_RIGHT_FOOT || limb == LIMB_LEFT_FOOT;
}

/* ---- the tree ----------------------------------------------------------------------------- */

#define LAST "the roll's last stroke"

/* If the left hand has its own line, it shares that with the feet and is read out with them. */
static void expect_note(struct arena *arena, event_list *events, const struct leaf *leaf, int line)
{
    struct heard_hit hands[NOTE_HITS_MAX];
    size_t count = 0;
    const struct note *note = leaf->note;
    unsigned marks = note->marks | (unsigned)note->roll << ROLL_SHIFT;
    for (int h = 0; h < note->hit_count; h++) {
        struct heard_hit hit = {
            note->hits[h].limb, note->hits[h].voice, note->hits[h].ghost,
            note->hits[h].ghost || note->hits[h].plain ? 0U : (unsigned)(note->marks & MARKS_LOUD)};
        if (is_foot(hit.limb))
            *vector_push(events, arena) =
                (struct event){leaf->onset, PART_FEET,
                               stroke_text(arena, &hit, 1, marks, note->grace_count, note->graces)};
        else
            hands[count++] = hit;
    }
    if (count)
        *vector_push(events, arena) = (struct event){
            leaf->onset, line == LINE_FEET ? PART_OTHER_HAND : PART_HANDS,
            stroke_text(arena, hands, count, marks, note->grace_count, note->graces)};
}

/* The beats that begin inside a note of the hand that shares a line with the feet. */
static void expect_held(struct arena *arena, event_list *events, const struct score_bar *bar)
{
    const struct score_line *line = &bar->lines[LINE_FEET];
    for (uint16_t beat = 0; beat < bar->counted_count; beat++)
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            const struct leaf *leaf = &line->leaves[i];
            struct fraction start = bar->counted[beat].start;
            int after = fraction_compare(start, leaf->onset);
            bool hand = false;
            for (int h = 0; !leaf->rest && h < leaf->note->hit_count; h++)
                hand |= !is_foot(leaf->note->hits[h].limb);
            if (hand && !leaf->ends_roll && after >= (leaf->continued ? 0 : 1) &&
                fraction_compare(start, fraction_add(leaf->onset, leaf->length)) < 0)
                *vector_push(events, arena) = (struct event){start, PART_OTHER_HAND, "held"};
        }
}

const char *heard_expected(struct arena *arena, const struct score *score,
                           const struct score_bar *bar)
{
    (void)score;
    event_list events = {0};
    for (int line = 0; line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[line].leaves[i];
            if (leaf_struck(leaf))
                expect_note(arena, &events, leaf, line);
            else if (leaf->ends_roll)
                *vector_push(&events, arena) = (struct event){leaf->onset, PART_HANDS, LAST};
            else if (line == LINE_HANDS && leaf->rest && (i == 0 || !leaf[-1].rest))
                *vector_push(&events, arena) = (struct event){leaf->onset, PART_HANDS, "rest"};
        }
    expect_held(arena, &events, bar);
    for (uint16_t i = 0; i < bar->dynamic_count; i++)
        *vector_push(&events, arena) =
            (struct event){bar->dynamics[i].onset, PART_LOUDNESS, bar->dynamics[i].text};
    for (uint16_t i = 0; i < bar->word_count; i++)
        *vector_push(&events, arena) =
            (struct event){bar->words[i].onset, PART_WORDS, bar->words[i].text};
    if (bar->signs && bar->signs->mark.text)
        *vector_push(&events, arena) = (struct event){
            bar->start, PART_SIGNS, arena_format(arena, "mark %s", bar->signs->mark.text)};
    if (bar->signs && bar->signs->over.text)
        *vector_push(&events, arena) =
            (struct event){bar->start, PART_SIGNS, bar->signs->over.text};
    return events_text(arena, &events);
}

/* ---- the listener ------------------------------------------------------------------------- */

/* The spoken words of a beat, or of several beats that were spoken together. */
struct told {
    unsigned beats; /* 0: no words begin here */
    const char *manner, *body;
};

struct told_bar {
    struct told beats[METER_BEATS_MAX];
    bool hands_rest;
    const char *feet, *loudness;
    const char *hand; /* the hand with its own line, and its voice */
    bool known;
};

/* What is said of a bar before its music: ", mark “A”, “Call” on 1". */
struct told_header {
    const char *words;
};

struct listener {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    const char *where, *words;
    voice_id voices[LIMB_HAND + 1];
    bool ghosts[LIMB_HAND + 1];
    int subdivision;
    struct told_bar *bars;
    struct told_header *headers;
};

static _Noreturn void lost(const struct listener *listener, const char *at)
{
    ck_abort_msg("%s: not understood from here: %.80s\nin the words\n%s", listener->where, at,
                 listener->words);
    abort();
}

static bool take(const char **at, const char *word)
{
    size_t length = strlen(word);
    if (strncmp(*at, word, length) != 0)
        return false;
    *at += length;
    return true;
}

/* A word that ends where a word may end. */
static bool take_word(const char **at, const char *word)
{
    const char *from = *at;
    if (take(at, word) && (!**at || strchr(" ,.;:", **at)))
        return true;
    *at = from;
    return false;
}

static bool take_number(const char **at, unsigned *number)
{
    char *end;
    if (!isdigit((unsigned char)**at))
        return false;
    *number = (unsigned)strtoul(*at, &end, 10);
    *at = end;
    return true;
}

static bool take_number_word(const char **at, unsigned *number)
{
    static const char *const ones[] = {"zero",    "one",     "two",       "three",    "four",
                                       "five",    "six",     "seven",     "eight",    "nine",
                                       "ten",     "eleven",  "twelve",    "thirteen", "fourteen",
                                       "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"};
    static const char *const tens[] = {"twenty", "thirty",  "forty",  "fifty",
                                       "sixty",  "seventy", "eighty", "ninety"};
    for (unsigned i = 0; i < 8; i++)
        if (take(at, tens[i])) {
            *number = 20 + 10 * i;
            unsigned one = 0;
            if (take(at, "-"))
                take_number_word(at, &one);
            *number += one;
            return true;
        }
    for (unsigned i = 0; i < 20; i++)
        if (take_word(at, ones[i])) {
            *number = i;
            return true;
        }
    return take_number(at, number);
}

/* "3", "3 and 4", "3 to 6". */
static bool take_range(const char **at, unsigned *first, unsigned *last)
{
    if (!take_number(at, first))
        return false;
    *last = *first;
    if (take(at, " and ") || take(at, " to "))
        return take_number(at, last);
    return true;
}

static bool take_subdivision(const char **at, int *subdivision)
{
    int found = -1;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const char *from = *at;
        if (take_word(&from, subdivision_name((enum subdivision)i)))
            found = i;
    }
    if (found < 0)
        return false;
    *subdivision = found;
    return take(at, subdivision_name((enum subdivision)found));
}

/* The longest name of a voice in use. */
static bool take_voice(const struct listener *listener, const char **at, voice_id *voice)
{
    const struct kit *kit = &listener->score->lesson->kit;
    const char *end = NULL;
    for (size_t i = 0; i < kit->voice_count; i++) {
        const char *from = *at;
        const char *name = kit->voices[i].spoken ? kit->voices[i].spoken : kit->voices[i].name;
        if (listener->score->voices_used[i] && take_word(&from, name) && (!end || from > end)) {
            end = from;
            *voice = (voice_id)i;
        }
    }
    if (!end)
        return false;
    *at = end;
    return true;
}

static char *until(struct arena *arena, const char *from, const char *to)
{
    return arena_copy_text(arena, from, (size_t)(to - from));
}

/* ---- places ------------------------------------------------------------------------------- */

static struct beat plain_beat(const struct score_beat *beat)
{
    return (struct beat){beat->start, beat->length, (enum beat_kind)beat->kind};
}

static int ordinal(const char **at)
{
    static const char *const words[] = {"first", "second", "third",    "fourth",
                                        "fifth", "sixth",  "seventh",  "eighth",
                                        "ninth", "tenth",  "eleventh", "twelfth"};
    for (int i = 0; i < 12; i++) {
        const char *from = *at;
        if (take(&from, words[i]) && *from == ' ') {
            *at = from + 1;
            return i;
        }
    }
    unsigned number;
    const char *from = *at;
    if (take_number(&from, &number) && take(&from, "th ")) {
        *at = from;
        return (int)number - 1;
    }
    return -1;
}

static bool same_syllable(const char *heard, const char *spoken)
{
    return strcmp(heard, strcmp(spoken, "&") == 0 ? "and" : spoken) == 0;
}

/* "and", "second trip", "third of 5": a slot of the subdivision in this beat. */
static bool slot_named(const struct listener *listener, const struct score_bar *bar,
                       const struct score_beat *beat, int subdivision, const char *name,
                       struct fraction *onset)
{
    struct beat plain = plain_beat(beat);
    struct division division;
    if (subdivision < 0 || !subdivision_divide((enum subdivision)subdivision, &plain, &division))
        return false;
    const char *const *spoken =
        counting_spoken(bar->settings->counting, (enum subdivision)subdivision, &plain);
    const char *at = name;
    int which = ordinal(&at), slot = -1, seen = 0;
    unsigned of;
    if (which >= 0 && take(&at, "of ") && take_number(&at, &of)) {
        if (of != division.slots)
            lost(listener, name);
        slot = which;
    } else {
        for (int i = 0; spoken && i < division.slots; i++)
            if (same_syllable(which >= 0 ? at : name, spoken[i]) &&
                seen++ == (which < 0 ? 0 : which))
                slot = i;
        if (which < 0 && seen != 1)
            return false;
    }
    if (slot < 0 || slot >= division.slots)
        return false;
    *onset = fraction_add(beat->start, fraction_multiply(division.slot, fraction_make(slot, 1)));
    return true;
}

/* "and", or "and in sixteenths": in that subdivision then. */
static struct fraction slot_in_beat(const struct listener *listener, const struct score_bar *bar,
                                    unsigned beat, int subdivision, const char *name)
{
    struct fraction onset = FRACTION_ZERO;
    const char *in = strstr(name, " in ");
    if (in) {
        const char *at = in + 4;
        if (!take_subdivision(&at, &subdivision) || *at)
            lost(listener, name);
        name = until(listener->arena, name, in);
    }
    if (!slot_named(listener, bar, &bar->counted[beat], subdivision, name, &onset))
        lost(listener, name);
    return onset;
}

/* The grid that a drummer would count the beat in. */
static int grid_of(const struct score_beat *beat)
{
    return beat->has_division ? beat->subdivision : -1;
}

/* "third of 4 over beats 1 to 3": a note of a tuplet that fills several beats. */
static bool note_over_beats(const struct listener *listener, const struct score_bar *bar,
                            const char *text, struct fraction *onset)
{
    const char *at = text;
    unsigned notes, first, last;
    int note = ordinal(&at);
    if (note < 0 || !take(&at, "of ") || !take_number(&at, &notes) || !take(&at, " over beats "))
        return false;
    if (!take_number(&at, &first) || !take(&at, " to ") || !take_number(&at, &last) || *at ||
        last > bar->counted_count || (unsigned)note >= notes)
        lost(listener, text);
    const struct score_beat *end = &bar->counted[last - 1];
    struct fraction start = bar->counted[first - 1].start;
    struct fraction length = fraction_subtract(fraction_add(end->start, end->length), start);
    *onset = fraction_add(start, fraction_multiply(length, fraction_make(note, notes)));
    return true;
}

/* "2", "the and of 2", "5/16 into beat 2", "the third of 4 over beats 1 to 3". */
static struct fraction place_heard(const struct listener *listener, const struct score_bar *bar,
                                   const char *text)
{
    const char *at = text;
    unsigned beat, part, of;
    struct fraction onset;
    if (take(&at, "the ")) {
        if (note_over_beats(listener, bar, at, &onset))
            return onset;
        const char *last = NULL;
        for (const char *next = strstr(at, " of "); next; next = strstr(next + 1, " of "))
            last = next;
        const char *number = last ? last + 4 : at;
        if (!last || !take_number(&number, &beat) || *number)
            lost(listener, text);
        const struct score_beat *in = &bar->counted[beat - 1];
        return slot_in_beat(listener, bar, beat - 1, grid_of(in), until(listener->arena, at, last));
    }
    if (!take_number(&at, &beat))
        lost(listener, text);
    if (!*at)
        return bar->counted[beat - 1].start;
    part = beat;
    if (!take(&at, "/") || !take_number(&at, &of) || !take(&at, " into beat ") ||
        !take_number(&at, &beat) || *at)
        lost(listener, text);
    const struct score_beat *in = &bar->counted[beat - 1];
    return fraction_add(in->start, fraction_multiply(in->length, fraction_make(part, of)));
}

/* ---- strokes ------------------------------------------------------------------------------ */

struct heard_marks {
    bool ghost, full;
    unsigned marks, grace_count, graces;
};

static void default_graces(struct heard_marks *marks, bool left_stroke)
{
    marks->graces = 0;
    for (unsigned i = 0; i < marks->grace_count; i++) {
        bool other = marks->grace_count == 2 || (marks->grace_count - 1 - i) % 2 == 0;
        if (other != left_stroke)
            marks->graces |= 1u << i;
    }
}

static void hear_graces(const struct listener *listener, const char **at, struct heard_marks *marks)
{
    if (!take(at, " led by"))
        return;
    marks->graces = 0;
    for (unsigned i = 0; i < marks->grace_count; i++) {
        if (i && !take(at, " and"))
            lost(listener, *at);
        if (take(at, " left"))
            marks->graces |= 1u << i;
        else if (!take(at, " right"))
            lost(listener, *at);
    }
}

/* " five stroke roll in three slashes" */
static bool hear_numbered_roll(const char **at, unsigned *number, unsigned *slashes)
{
    static const unsigned marks[] = {0, MARK_SLASH_1, MARK_SLASH_2, MARK_SLASH_3};
    const char *here = *at;
    unsigned count;
    if (!take(&here, " ") || !take_number_word(&here, number) || !take(&here, " stroke roll in ") ||
        !take_number_word(&here, &count) || count < 1 || count > 3 ||
        !take(&here, count == 1 ? " slash" : " slashes"))
        return false;
    *slashes = marks[count];
    *at = here;
    return true;
}

static void hear_marks(const struct listener *listener, const char *at, bool left,
                       struct heard_marks *marks)
{
    while (*at) {
        bool known = true;
        unsigned number = 0, slashes = 0;
        const char *from = at;
        if (take(&at, " ghost")) {
            marks->ghost = true;
        } else if (take(&at, " full")) {
            marks->full = true;
        } else if (take(&at, " flam") || take(&at, " drag") || take(&at, " ruff")) {
            marks->grace_count = from[1] == 'f' ? 1 : from[1] == 'd' ? 2 : 3;
            if (from[1] == 'r' && take(&at, " of ") && take_number_word(&at, &number))
                marks->grace_count = number - 1;
            default_graces(marks, left);
            hear_graces(listener, &at, marks);
        } else if (take(&at, " rolling on") || take(&at, " into the next stroke")) {
            marks->marks |= MARK_RING;
        } else if (hear_numbered_roll(&at, &number, &slashes)) {
            marks->marks |= number << ROLL_SHIFT | slashes;
        } else {
            known = false;
            for (int i = 0; i < MARK_COUNT && !known; i++) {
                const char *word = arena_format(listener->arena, " %s", stroke_marks[i].spoken);
                known = take(&at, word);
                marks->marks |= known ? stroke_marks[i].bit : MARK_NONE;
            }
        }
        if (!known)
            lost(listener, at);
    }
}

static struct heard_hit make_hit(const struct listener *listener, unsigned limb, voice_id voice,
                                 const struct heard_marks *marks)
{
    bool loud = marks->marks & MARKS_LOUD;
    struct heard_hit hit = {limb, voice, marks->ghost, marks->marks & MARKS_LOUD};
    if (!marks->ghost && !marks->full)
        hit.ghost = listener->ghosts[limb] && listener->voices[limb] == voice && !loud;
    return hit;
}

static void hear_hit(const struct listener *listener, const char *text, voice_id common,
                     struct heard_hit *hits, size_t *count, struct heard_marks *all)
{
    const char *at = text;
    voice_id voice = VOICE_NONE;
    unsigned first = LIMB_HAND, last = LIMB_HAND;
    if (take_word(&at, "both")) {
        first = LIMB_RIGHT_HAND;
        last = LIMB_LEFT_HAND;
    } else if (take_word(&at, "right")) {
        first = last = LIMB_RIGHT_HAND;
    } else if (take_word(&at, "left")) {
        first = last = LIMB_LEFT_HAND;
    } else if (!take_word(&at, "stroke")) {
        lost(listener, text);
    }
    const char *behind = at;
    if (!(take(&behind, " ") && take_voice(listener, &behind, &voice)))
        behind = at;
    struct heard_marks marks = {0};
    hear_marks(listener, behind, first == LIMB_LEFT_HAND, &marks);
    for (unsigned limb = first; limb <= last; limb++) {
        voice_id on = voice != VOICE_NONE    ? voice
                      : common != VOICE_NONE ? common
                                             : listener->voices[limb];
        hits[(*count)++] = make_hit(listener, limb, on, &marks);
    }
    *all = marks;
}

static const char *hear_stroke(const struct listener *listener, const char *text, voice_id common)
{
    struct heard_hit hits[2 * NOTE_HITS_MAX];
    struct heard_marks marks = {0};
    size_t count = 0;
    for (const char *at = text; at;) {
        const char *with = strstr(at, " with ");
        ck_assert_uint_lt(count, NOTE_HITS_MAX);
        hear_hit(listener, with ? until(listener->arena, at, with) : at, common, hits, &count,
                 &marks);
        at = with ? with + 6 : NULL;
    }
    return stroke_text(listener->arena, hits, count, marks.marks, marks.grace_count, marks.graces);
}

/* ---- a beat ------------------------------------------------------------------------------- */

struct bar_ear {
    const struct listener *listener;
    const struct score_bar *bar;
    event_list events;
    bool resting;
};

static void hear_hands(struct bar_ear *ear, struct fraction onset, const char *what,
                       voice_id common)
{
    bool rest = strcmp(what, "rest") == 0;
    bool again = rest && ear->resting;
    if (strcmp(what, "held") == 0 || again)
        return;
    bool said = rest || strcmp(what, LAST) == 0;
    *vector_push(&ear->events, ear->listener->arena) =
        (struct event){onset, PART_HANDS, said ? what : hear_stroke(ear->listener, what, common)};
    ear->resting = rest;
}

typedef VECTOR(const char *) text_list;

static text_list split(struct arena *arena, const char *text, const char *by)
{
    text_list parts = {0};
    while (text) {
        const char *next = strstr(text, by);
        *vector_push(&parts, arena) = next ? until(arena, text, next) : text;
        text = next ? next + strlen(by) : NULL;
    }
    return parts;
}

/* "1 e and a": the syllables of the sheet, up to the next comma. They are compared with what the
   sheet counts, stroke by stroke. */
static void hear_syllables(const struct bar_ear *ear, unsigned beat, unsigned beats,
                           const char **at)
{
    const struct score_bar *bar = ear->bar;
    const struct score_line *line = &bar->lines[LINE_HANDS];
    struct fraction from = bar->counted[beat].start;
    struct fraction end =
        fraction_add(bar->counted[beat + beats - 1].start, bar->counted[beat + beats - 1].length);
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        struct fraction onset = line->leaves[i].onset;
        const char *text = NULL;
        if (!leaf_struck(&line->leaves[i]) || fraction_compare(onset, from) < 0 ||
            fraction_compare(onset, end) >= 0)
            continue;
        for (uint16_t c = 0; c < bar->count_count; c++)
            if (fraction_equal(bar->counts[c].onset, onset))
                text = bar->counts[c].text;
        if (!text || !take(at, " ") || !take(at, strcmp(text, "&") == 0 ? "and" : text))
            lost(ear->listener, *at);
    }
}

/* ", eighth triplets, all on the high tom": what holds in the beat. */
static void hear_manner(const struct bar_ear *ear, unsigned beat, const struct told *told,
                        int *subdivision, voice_id *common, bool *values)
{
    const struct listener *listener = ear->listener;
    const char *manner = told->manner;
    *subdivision = listener->subdivision;
    *common = VOICE_NONE;
    *values = false;
    for (const char *at = manner; *at;) {
        if (take(&at, ", by note values"))
            *values = true;
        else if (take(&at, ", counted"))
            hear_syllables(ear, beat, told->beats, &at);
        else if (take(&at, ", all on the ")) {
            if (!take_voice(listener, &at, common))
                lost(listener, at);
        } else if (!take(&at, ", ") || !take_subdivision(&at, subdivision)) {
            lost(listener, at);
        }
    }
}

static void hear_counts(struct bar_ear *ear, unsigned beat, const char *body, int subdivision,
                        voice_id common)
{
    const struct listener *listener = ear->listener;
    const struct score_beat *in = &ear->bar->counted[beat];
    text_list parts = split(listener->arena, body, ", ");
    struct beat plain = plain_beat(in);
    struct division division = {.slots = 1};
    bool counted = strstr(body, " on the ");
    if (subdivision >= 0 && parts.count > 1 && !counted &&
        (!subdivision_divide((enum subdivision)subdivision, &plain, &division) ||
         parts.count != division.slots))
        lost(listener, body);
    for (size_t i = 0; i < parts.count; i++) {
        const char *part = parts.items[i], *on = strstr(part, " on the ");
        struct fraction onset = in->start;
        if (on) {
            onset = slot_in_beat(listener, ear->bar, beat, subdivision, on + 8);
            part = until(listener->arena, part, on);
        } else if (i) {
            onset = fraction_add(in->start,
                                 fraction_multiply(division.slot, fraction_make((int64_t)i, 1)));
            if (counted)
                lost(listener, body);
        }
        hear_hands(ear, onset, part, common);
    }
}

/* ---- note values -------------------------------------------------------------------------- */

static const char *const value_words[] = {
    "whole",     "half",          "quarter",      "eighth",
    "sixteenth", "thirty-second", "sixty-fourth", "hundred-twenty-eighth"};

static bool take_value(const char **at, struct fraction *value)
{
    static const char *const dots[] = {"", "dotted ", "double-dotted ", "triple-dotted "};
    const char *from = *at;
    int dotted = 0;
    for (int d = 3; d > 0 && !dotted; d--)
        if (take(at, dots[d]))
            dotted = d;
    for (int v = 0; v < 8; v++)
        if (take(at, value_words[v]) && take(at, " ")) {
            *value = fraction_make((2 << dotted) - 1, (int64_t)1 << (v + dotted));
            return true;
        }
    *at = from;
    return false;
}

/* "triplet of quarters begins", "five eighths in the time of four begin". */
static bool hear_begin(const char *part, struct fraction *scale)
{
    size_t length = strlen(part);
    unsigned actual = 3, normal = 2;
    const char *at = part;
    if (length < 7 ||
        (strcmp(part + length - 7, " begins") != 0 && strcmp(part + length - 6, " begin") != 0))
        return false;
    if (!take(&at, "triplet of ")) {
        const char *time = strstr(part, " in the time of ");
        if (!time || !take_number_word(&at, &actual))
            return false;
        time += strlen(" in the time of ");
        if (!take_number_word(&time, &normal))
            return false;
    }
    *scale = fraction_make(normal, actual);
    return true;
}

static void hear_values(struct bar_ear *ear, unsigned beat, unsigned beats, const char *body,
                        voice_id common)
{
    const struct listener *listener = ear->listener;
    text_list parts = split(listener->arena, body, ", ");
    struct fraction scales[8] = {FRACTION_ONE}, value = FRACTION_ZERO, at = FRACTION_ZERO;
    struct fraction *onsets = arena_array(listener->arena, parts.count, sizeof *onsets);
    const char **strokes = arena_array(listener->arena, parts.count, sizeof *strokes);
    size_t depth = 0, count = 0;
    for (size_t i = 0; i < parts.count; i++) {
        const char *part = parts.items[i];
        size_t length = strlen(part);
        struct fraction scale;
        if (hear_begin(part, &scale)) {
            scales[depth + 1] = fraction_multiply(scales[depth], scale);
            depth++;
            value = FRACTION_ZERO;
        } else if (length > 4 && (strcmp(part + length - 5, " ends") == 0 ||
                                  strcmp(part + length - 4, " end") == 0)) {
            ck_assert_uint_gt(depth--, 0);
            value = FRACTION_ZERO;
        } else {
            take_value(&part, &value);
            if (value.numerator == 0)
                lost(listener, part);
            onsets[count] = at;
            strokes[count++] = part;
            at = fraction_add(at, fraction_multiply(value, scales[depth]));
        }
    }
    /* the words end where the beats end: a pickup may begin inside the first */
    const struct score_beat *last = &ear->bar->counted[beat + beats - 1];
    struct fraction start = fraction_subtract(fraction_add(last->start, last->length), at);
    for (size_t i = 0; i < count; i++)
        hear_hands(ear, fraction_add(start, onsets[i]), strokes[i], common);
}

/* ---- a bar -------------------------------------------------------------------------------- */

static void hear_beats(struct bar_ear *ear, const struct told_bar *told)
{
    for (unsigned beat = 0; beat < ear->bar->counted_count; beat++) {
        const struct told *it = &told->beats[beat];
        int subdivision;
        voice_id common;
        bool values;
        if (!it->beats)
            continue;
        hear_manner(ear, beat, it, &subdivision, &common, &values);
        if (values)
            hear_values(ear, beat, it->beats, it->body, common);
        else
            hear_counts(ear, beat, it->body, subdivision, common);
    }
}

/* "bass drum accent", "left foot cowbell": a foot's stroke. */
static const char *hear_foot(const struct listener *listener, const char *text)
{
    const char *at = text;
    unsigned limb = LIMB_COUNT;
    voice_id voice;
    if (take(&at, "right foot "))
        limb = LIMB_RIGHT_FOOT;
    else if (take(&at, "left foot "))
        limb = LIMB_LEFT_FOOT;
    if (!take_voice(listener, &at, &voice))
        lost(listener, text);
    if (limb == LIMB_COUNT)
        limb = listener->voices[LIMB_RIGHT_FOOT] == voice ? LIMB_RIGHT_FOOT : LIMB_LEFT_FOOT;
    if (listener->voices[limb] != voice && at == text)
        lost(listener, text);
    struct heard_marks marks = {0};
    hear_marks(listener, at, limb == LIMB_LEFT_FOOT, &marks);
    struct heard_hit hit = {limb, voice, marks.ghost, marks.marks & MARKS_LOUD};
    return stroke_text(listener->arena, &hit, 1, marks.marks, marks.grace_count, marks.graces);
}

/* "held through 3": the beats from the one after `onset`, or from the first of the bar, to 3. */
static void hear_held(struct bar_ear *ear, const char *at, const struct fraction *onset)
{
    unsigned last;
    if (!take(&at, "held through ") || !take_number(&at, &last) || *at ||
        last > ear->bar->counted_count)
        lost(ear->listener, at);
    for (unsigned beat = 0; beat < last; beat++) {
        struct fraction start = ear->bar->counted[beat].start;
        if (!onset || fraction_compare(start, *onset) > 0)
            *vector_push(&ear->events, ear->listener->arena) =
                (struct event){start, PART_OTHER_HAND, "held"};
    }
}

static void hear_places(struct bar_ear *ear, enum part part, const char *what, const char *places)
{
    const struct listener *listener = ear->listener;
    text_list parts = split(listener->arena, places, ", ");
    for (size_t i = 0; i < parts.count; i++) {
        size_t length = strlen(parts.items[i]), tail = strlen("every beat");
        bool every = length >= tail && strcmp(parts.items[i] + length - tail, "every beat") == 0;
        for (unsigned beat = 0; beat < (every ? ear->bar->counted_count : 1U); beat++) {
            const char *place = parts.items[i], *held = strstr(place, " held ");
            if (held)
                place = until(listener->arena, place, held);
            if (every)
                place =
                    arena_format(listener->arena, "%.*s%u", (int)(length - tail), place, beat + 1);
            struct fraction onset = place_heard(listener, ear->bar, place);
            *vector_push(&ear->events, listener->arena) = (struct event){onset, part, what};
            if (held)
                hear_held(ear, held + 1, &onset);
        }
    }
}

/* "snare ghost": a stroke of the hand that has a line of its own. */
static const char *hear_own_hand(const struct listener *listener, const char *text, unsigned limb)
{
    const char *at = text;
    voice_id voice;
    if (!take_voice(listener, &at, &voice))
        lost(listener, text);
    struct heard_marks marks = {0};
    hear_marks(listener, at, limb == LIMB_LEFT_HAND, &marks);
    struct heard_hit hit = {limb, voice, marks.ghost, marks.marks & MARKS_LOUD};
    return stroke_text(listener->arena, &hit, 1, marks.marks, marks.grace_count, marks.graces);
}

/* What a limb's line says, voice by voice; LIMB_COUNT: the feet's. */
static void hear_line(struct bar_ear *ear, const char *sentence, unsigned limb)
{
    text_list phrases = split(ear->listener->arena, sentence, "; ");
    for (size_t i = 0; i < phrases.count; i++) {
        if (limb != LIMB_COUNT && strncmp(phrases.items[i], "held ", 5) == 0) {
            hear_held(ear, phrases.items[i], NULL);
            continue;
        }
        const char *on = strstr(phrases.items[i], " on ");
        while (on && strncmp(on, " on ", 4) == 0 && strncmp(on - 8, " rolling", 8) == 0)
            on = strstr(on + 1, " on ");
        if (!on)
            lost(ear->listener, phrases.items[i]);
        const char *what = until(ear->listener->arena, phrases.items[i], on);
        bool feet = limb == LIMB_COUNT;
        hear_places(ear, feet ? PART_FEET : PART_OTHER_HAND,
                    feet ? hear_foot(ear->listener, what)
                         : hear_own_hand(ear->listener, what, limb),
                    on + 4);
    }
}

static void hear_hand(struct bar_ear *ear, const char *sentence)
{
    const char *at = sentence;
    bool left = take(&at, "Left hand: ");
    if (!left)
        take(&at, "Right hand: ");
    hear_line(ear, at, left ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND);
}

static void hear_loudness(struct bar_ear *ear, const char *sentence)
{
    static const struct {
        const char *word, *sign;
    } words[] = {{"pianississimo ", "ppp"}, {"pianissimo ", "pp"},   {"piano ", "p"},
                 {"mezzo piano ", "mp"},    {"mezzo forte ", "mf"},  {"forte piano ", "fp"},
                 {"forte ", "f"},           {"fortissimo ", "ff"},   {"fortississimo ", "fff"},
                 {"sforzando ", "sfz"},     {"crescendo ", "cresc"}, {"diminuendo ", "dim"}};
    text_list parts = split(ear->listener->arena, sentence, ", ");
    for (size_t i = 0; i < parts.count; i++) {
        const char *at = parts.items[i], *sign = NULL;
        for (size_t w = 0; w < sizeof words / sizeof *words && !sign; w++)
            if (take(&at, words[w].word))
                sign = words[w].sign;
        if (!sign || !(take(&at, "on ") || take(&at, "from ")))
            lost(ear->listener, parts.items[i]);
        *vector_push(&ear->events, ear->listener->arena) =
            (struct event){place_heard(ear->listener, ear->bar, at), PART_LOUDNESS, sign};
    }
}

#define QUOTE "\u201C"
#define UNQUOTE "\u201D"

/* The texts that a header quotes: a mark, words over the bar, words over a count. */
static void hear_header(struct bar_ear *ear, const char *header)
{
    struct arena *arena = ear->listener->arena;
    for (const char *at = strstr(header, QUOTE); at; at = strstr(at, QUOTE)) {
        const char *from = at + strlen(QUOTE), *to = strstr(from, UNQUOTE);
        bool mark = at - header >= 7 && strncmp(at - 7, ", mark ", 7) == 0;
        if (!to)
            lost(ear->listener, at);
        const char *text = until(arena, from, to);
        struct event event = {ear->bar->start, PART_SIGNS, text};
        at = to + strlen(UNQUOTE);
        if (mark)
            event.what = arena_format(arena, "mark %s", text);
        if (take(&at, " on ")) {
            const char *end = strstr(at, ", ");
            end = end ? end : at + strlen(at);
            event.part = PART_WORDS;
            event.onset = place_heard(ear->listener, ear->bar, until(arena, at, end));
            at = end;
        }
        *vector_push(&ear->events, arena) = event;
    }
}

/* Where a header ends: at a colon or full stop that is not quoted. */
static const char *header_end(const char *at)
{
    for (; *at && *at != '.' && *at != ':'; at++)
        if (strncmp(at, QUOTE, strlen(QUOTE)) == 0 && strstr(at, UNQUOTE))
            at = strstr(at, UNQUOTE);
    return at;
}

static const char *hear_bar(const struct listener *listener, size_t index)
{
    const struct told_bar *told = &listener->bars[index];
    struct bar_ear ear = {.listener = listener, .bar = &listener->exercise->bars[index]};
    ck_assert_msg(told->known, "%s: nothing is said of bar %zu in\n%s", listener->where, index + 1,
                  listener->words);
    if (told->hands_rest)
        *vector_push(&ear.events, listener->arena) =
            (struct event){ear.bar->start, PART_HANDS, "rest"};
    else
        hear_beats(&ear, told);
    if (told->feet)
        hear_line(&ear, told->feet, LIMB_COUNT);
    if (told->hand)
        hear_hand(&ear, told->hand);
    if (told->loudness)
        hear_loudness(&ear, told->loudness);
    if (listener->headers[index].words)
        hear_header(&ear, listener->headers[index].words);
    return events_text(listener->arena, &ear.events);
}

/* ---- sentences ---------------------------------------------------------------------------- */

/* "Beats 1 and 2, each, eighths: right, left", "Beat 3: as beat 1". */
static void hear_beat_sentence(const struct listener *listener, struct told_bar *told,
                               const char *sentence)
{
    const char *at = sentence;
    unsigned first, last, as_first, as_last;
    take(&at, "Beat");
    take(&at, "s");
    if (!take(&at, " ") || !take_range(&at, &first, &last))
        lost(listener, sentence);
    bool each = take(&at, ", each");
    const char *colon = strchr(at, ':');
    if (!colon || colon[1] != ' ')
        lost(listener, sentence);
    const char *manner = until(listener->arena, at, colon), *body = colon + 2;
    if (take(&body, "as beat")) {
        take(&body, "s");
        if (!take(&body, " ") || !take_range(&body, &as_first, &as_last) || *body ||
            as_last - as_first != last - first)
            lost(listener, sentence);
        for (unsigned beat = first; beat <= last; beat++)
            told->beats[beat - 1] = told->beats[as_first - 1 + beat - first];
        return;
    }
    bool word = strcmp(body, "rest") == 0 || strcmp(body, "held") == 0;
    if (!each && !word) {
        told->beats[first - 1] = (struct told){last - first + 1, manner, body};
        return;
    }
    for (unsigned beat = first; beat <= last; beat++)
        told->beats[beat - 1] = (struct told){1, manner, body};
}

static size_t bar_named(const struct listener *listener, unsigned number)
{
    for (size_t i = 0; i < listener->exercise->bar_count; i++)
        if (!listener->exercise->bars[i].pickup && listener->exercise->bars[i].number == number)
            return i;
    ck_abort_msg("%s: there is no bar %u", listener->where, number);
    return 0;
}

static void hear_sentence(const struct listener *listener, struct told_bar *told,
                          const char *sentence)
{
    const char *at = sentence;
    unsigned number;
    bool hand =
        take(&at, "Left hand and feet: as bar ") || take(&at, "Right hand and feet: as bar ");
    if (hand || take(&at, "Feet: as bar ") || take(&at, "Hands: as bar ") ||
        take(&at, "Left hand: as bar ") || take(&at, "Right hand: as bar ")) {
        if (!take_number(&at, &number) || *at)
            lost(listener, sentence);
        const struct told_bar *other = &listener->bars[bar_named(listener, number)];
        if (hand || sentence[0] == 'F') {
            told->feet = other->feet;
            told->hand = other->hand;
        } else {
            memcpy(told->beats, other->beats, sizeof told->beats);
            told->hands_rest = other->hands_rest;
        }
    } else if (take(&at, "Feet: ")) {
        told->feet = at;
    } else if (strncmp(at, "Left hand: ", 11) == 0 || strncmp(at, "Right hand: ", 12) == 0) {
        told->hand = at;
    } else if (take(&at, "Loudness: ")) {
        told->loudness = at;
    } else if (strcmp(at, "The hands rest") == 0 || strcmp(at, "The right hand rests") == 0 ||
               strcmp(at, "The left hand rests") == 0) {
        told->hands_rest = true;
    } else if (strncmp(at, "Beat", 4) == 0) {
        hear_beat_sentence(listener, told, at);
    } else {
        lost(listener, sentence);
    }
}

/* ": as bar 1", ": each as bar 1", ": as bars 1 to 4". */
static void hear_again(const struct listener *listener, size_t first, size_t last, const char *at)
{
    unsigned from, to;
    bool each = take(&at, "each ");
    if (!take(&at, "as bar"))
        lost(listener, at);
    take(&at, "s");
    if (!take(&at, " ") || !take_range(&at, &from, &to))
        lost(listener, at);
    size_t other = bar_named(listener, from);
    for (size_t i = first; i <= last; i++)
        listener->bars[i] = listener->bars[each ? other : other + i - first];
}

static char *joined(struct arena *arena, const char *text, size_t length)
{
    while (length && isspace((unsigned char)text[length - 1]))
        length--;
    if (length && text[length - 1] == '.')
        length--;
    char *copy = arena_copy_text(arena, text, length);
    for (char *c = copy; *c; c++)
        if (*c == '\n')
            *c = ' ';
    return copy;
}

/* A bar's words from "Bar" up to the next bar. */
static void hear_entry(const struct listener *listener, const char *entry, size_t length)
{
    const char *text = joined(listener->arena, entry, length), *at = text;
    unsigned from = 0, to = 0;
    size_t first = 0, last = 0;
    if (!take(&at, "Pickup")) {
        take(&at, "Bar");
        take(&at, "s");
        if (!take(&at, " ") || !take_range(&at, &from, &to))
            lost(listener, text);
        first = bar_named(listener, from);
        last = bar_named(listener, to);
    }
    const char *stop = header_end(at);
    listener->headers[first].words = until(listener->arena, at, stop);
    if (*stop == ':') {
        hear_again(listener, first, last, stop + 2);
    } else {
        text_list sentences = split(listener->arena, *stop ? stop + 2 : stop, ". ");
        for (size_t i = 0; i < sentences.count; i++)
            hear_sentence(listener, &listener->bars[first], sentences.items[i]);
    }
    for (size_t i = first; i <= last; i++)
        listener->bars[i].known = true;
}

/* "Right hand: ride; left hand: snare ghosts; unless said" */
static bool hear_habits(struct listener *listener, const char *line)
{
    static const struct {
        const char *words;
        unsigned first, last;
    } limbs[] = {{"both hands: ", LIMB_RIGHT_HAND, LIMB_LEFT_HAND},
                 {"right hand: ", LIMB_RIGHT_HAND, LIMB_RIGHT_HAND},
                 {"left hand: ", LIMB_LEFT_HAND, LIMB_LEFT_HAND},
                 {"strokes of either hand: ", LIMB_HAND, LIMB_HAND},
                 {"right foot: ", LIMB_RIGHT_FOOT, LIMB_RIGHT_FOOT},
                 {"left foot: ", LIMB_LEFT_FOOT, LIMB_LEFT_FOOT}};
    char *small = joined(listener->arena, line, strlen(line));
    small[0] = (char)tolower((unsigned char)small[0]);
    text_list parts = split(listener->arena, small, "; ");
    for (size_t i = 0; i < parts.count; i++) {
        const char *at = parts.items[i];
        bool known = i && strcmp(at, "unless said") == 0;
        for (size_t l = 0; l < sizeof limbs / sizeof *limbs && !known; l++) {
            voice_id voice;
            if (!take(&at, limbs[l].words))
                continue;
            if (!take_voice(listener, &at, &voice))
                lost(listener, line);
            bool ghosts = take(&at, " ghosts");
            for (unsigned limb = limbs[l].first; limb <= limbs[l].last; limb++) {
                listener->voices[limb] = voice;
                listener->ghosts[limb] = ghosts;
            }
            known = !*at;
        }
        if (!known && i == 0)
            return false;
        if (!known)
            lost(listener, line);
    }
    return true;
}

static void hear_opening(struct listener *listener, const char *line, size_t length)
{
    char *small = joined(listener->arena, line, length);
    small[0] = (char)tolower((unsigned char)small[0]);
    const char *at = small;
    int subdivision;
    if (take_subdivision(&at, &subdivision))
        listener->subdivision = subdivision;
    else
        hear_habits(listener, small);
}

static bool begins_bar(const char *line)
{
    return strncmp(line, "Bar ", 4) == 0 || strncmp(line, "Bars ", 5) == 0 ||
           strncmp(line, "Pickup", 6) == 0;
}

const char **heard_bars(struct arena *arena, const struct score *score,
                        const struct score_exercise *exercise, const char *words, const char *where)
{
    struct listener listener = {.arena = arena,
                                .score = score,
                                .exercise = exercise,
                                .where = where,
                                .words = words,
                                .subdivision = -1};
    for (int i = 0; i <= LIMB_HAND; i++)
        listener.voices[i] = VOICE_NONE;
    listener.bars = arena_array(arena, exercise->bar_count, sizeof *listener.bars);
    listener.headers = arena_array(arena, exercise->bar_count, sizeof *listener.headers);
    const char *line = words;
    for (; *line && !begins_bar(line); line += strcspn(line, "\n") + 1)
        hear_opening(&listener, line, strcspn(line, "\n"));
    while (*line) {
        const char *end = line + strcspn(line, "\n") + 1;
        while (*end && !begins_bar(end))
            end += strcspn(end, "\n") + 1;
        hear_entry(&listener, line, (size_t)(end - line));
        line = end;
    }
    const char **texts = arena_array(arena, exercise->bar_count, sizeof *texts);
    for (size_t i = 0; i < exercise->bar_count; i++)
        texts[i] = hear_bar(&listener, i);
    return texts;
}
