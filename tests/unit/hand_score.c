#include "hand_score.h"

#include "model/counting.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { EXERCISES_MOST = 64, BARS_MOST = 512, LEAVES_MOST = 256, TUPLETS_MOST = 32 };

static const struct meter four_four = {.groups = {4}, .group_count = 1, .unit = 4};
static const struct show show = {.sticking = true, .key = true, .counts = SHOW_COUNTS_NOTES};
static const struct page_settings page = {.margin_mm = 18, .staff_mm = 7};

static struct settings defaults(void)
{
    return (struct settings){.meter = &four_four,
                             .show = &show,
                             .page = &page,
                             .counting = counting_default(),
                             .swing = {1, 2}};
}

struct score *hand_score(struct arena *arena)
{
    struct lesson *lesson = arena_alloc(arena, sizeof *lesson);
    struct score *score = arena_alloc(arena, sizeof *score);
    lesson->arena = score->arena = arena;
    score->lesson = lesson;
    lesson->settings = defaults();
    lesson->kit.voices = arena_array(arena, VOICE_BUILTIN_COUNT, sizeof *lesson->kit.voices);
    lesson->kit.voice_count = VOICE_BUILTIN_COUNT;
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++)
        lesson->kit.voices[i] = *voice_builtin((enum voice_builtin)i);
    lesson->exercises = arena_array(arena, EXERCISES_MOST, sizeof *lesson->exercises);
    score->exercises = arena_array(arena, EXERCISES_MOST, sizeof *score->exercises);
    score->voices_used = arena_array(arena, VOICE_BUILTIN_COUNT, sizeof *score->voices_used);
    return score;
}

struct score_exercise *hand_exercise(struct score *score, const char *title)
{
    struct lesson *lesson = (struct lesson *)score->lesson;
    struct exercise *source = &lesson->exercises[lesson->exercise_count++];
    struct score_exercise *exercise = &score->exercises[score->exercise_count++];
    source->settings = defaults();
    *exercise = (struct score_exercise){
        .source = source,
        .title = title,
        .number = (uint32_t)score->exercise_count,
        .bars = arena_array(score->arena, BARS_MOST, sizeof(struct score_bar))};
    return exercise;
}

static voice_id voice_of(char letter)
{
    static const char letters[] = "shorctmHbf";
    static const enum voice_builtin voices[] = {
        VOICE_SNARE,     VOICE_HI_HAT,  VOICE_OPEN_HI_HAT, VOICE_RIDE,      VOICE_CRASH,
        VOICE_FLOOR_TOM, VOICE_MID_TOM, VOICE_HIGH_TOM,    VOICE_BASS_DRUM, VOICE_HI_HAT_FOOT};
    const char *at = letter ? strchr(letters, letter) : NULL;
    return at ? (voice_id)voices[at - letters] : VOICE_NONE;
}

struct line_maker {
    struct score *score;
    struct score_line *line;
    struct fraction at, scale;
    uint16_t open; /* tuplet, LEAF_NO_TUPLET */
    bool tied;
    const struct note *note;
};

static void note_make(struct line_maker *make, struct leaf *leaf, const char **text)
{
    if (make->tied) {
        leaf->continued = true;
        leaf->note = (struct note *)make->note;
    } else {
        leaf->note = arena_alloc(make->score->arena, sizeof *leaf->note);
    }
    struct note *note = leaf->note;
    char letter = *(*text)++;
    if (!make->tied)
        note->letter = (uint8_t)(letter == '*' ? 0 : letter);
    for (; voice_of(**text) != VOICE_NONE; ++*text) {
        voice_id voice = voice_of(**text);
        if (!make->tied)
            note->hits[note->hit_count++] = (struct hit){voice, LIMB_RIGHT_HAND, false};
        make->score->voices_used[voice] = true;
    }
    for (; **text && !isspace((unsigned char)**text); ++*text) {
        static const char signs[] = ">^_/x z+";
        const char *sign = strchr(signs, **text);
        if (**text == '(')
            note->hits[0].ghost = make->score->ghosts_used = true;
        else if (**text == '~')
            leaf->tied = true;
        else if (**text == 'g' || **text == 'G')
            note->grace_count = **text == 'g' ? 1 : 2;
        else if (**text == 'z')
            note->marks |= MARK_BUZZ;
        else if (**text == '+')
            note->marks |= MARK_RING;
        else if (sign)
            note->marks = (uint8_t)(note->marks | 1u << (sign - signs));
    }
    make->note = note;
}

static void tuplet_open(struct line_maker *make, const char **text, unsigned actual)
{
    unsigned normal = (unsigned)strtoul(*text + 1, (char **)text, 10);
    ++*text;
    struct tuplet *tuplet = &make->line->tuplets[make->line->tuplet_count];
    *tuplet = (struct tuplet){.actual = (uint16_t)actual,
                              .normal = (uint16_t)normal,
                              .outer = make->open,
                              .first = make->line->leaf_count,
                              .onset = make->at,
                              .numbered = true};
    if (make->open != LEAF_NO_TUPLET)
        tuplet->depth = (uint8_t)(make->line->tuplets[make->open].depth + 1);
    make->open = make->line->tuplet_count++;
    make->scale = fraction_multiply(make->scale, fraction_make(normal, actual));
}

static void tuplet_close(struct line_maker *make)
{
    struct tuplet *tuplet = &make->line->tuplets[make->open];
    tuplet->end = make->line->leaf_count;
    tuplet->length = fraction_subtract(make->at, tuplet->onset);
    make->scale = fraction_multiply(make->scale, fraction_make(tuplet->actual, tuplet->normal));
    make->open = tuplet->outer;
}

static void leaf_make(struct line_maker *make, const char **text, unsigned value)
{
    struct leaf *leaf = &make->line->leaves[make->line->leaf_count++];
    struct fraction length = fraction_make(1, value);
    while (1u << leaf->value_log2 < value)
        leaf->value_log2++;
    for (; **text == '.'; ++*text) {
        leaf->dots++;
        length = fraction_multiply(length, fraction_make(3, 2));
    }
    leaf->onset = make->at;
    leaf->length = fraction_multiply(length, make->scale);
    leaf->tuplet = make->open;
    leaf->beat = (uint16_t)fraction_floor(fraction_multiply(make->at, fraction_make(4, 1)));
    make->at = fraction_add(make->at, leaf->length);
    if (**text == '-') {
        leaf->rest = true;
        ++*text;
    } else {
        note_make(make, leaf, text);
    }
    make->tied = leaf->tied;
}

static void line_make(struct score *score, struct score_line *line, const char *text)
{
    line->leaves = arena_array(score->arena, LEAVES_MOST, sizeof *line->leaves);
    line->tuplets = arena_array(score->arena, TUPLETS_MOST, sizeof *line->tuplets);
    struct line_maker make = {score,          line,  FRACTION_ZERO, FRACTION_ONE,
                              LEAF_NO_TUPLET, false, NULL};
    while (*text) {
        if (isspace((unsigned char)*text)) {
            text++;
        } else if (*text == ']') {
            tuplet_close(&make);
            text++;
        } else {
            unsigned number = (unsigned)strtoul(text, (char **)&text, 10);
            if (*text == ':')
                tuplet_open(&make, &text, number);
            else
                leaf_make(&make, &text, number);
        }
    }
}

static void counts_make(struct score *score, struct score_bar *bar)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    bar->counts = arena_array(score->arena, line->leaf_count, sizeof *bar->counts);
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        struct fraction beats = fraction_multiply(leaf->onset, fraction_make(4, 1));
        bool on = beats.denominator == 1;
        if (!leaf_struck(leaf))
            continue;
        bar->counts[bar->count_count++] = (struct count){
            leaf->onset, on ? arena_format(score->arena, "%d", (int)beats.numerator + 1) : "&", on,
            true};
    }
}

struct score_bar *hand_bar(struct score *score, const char *hands, const char *feet, bool counts)
{
    struct score_exercise *exercise = &score->exercises[score->exercise_count - 1];
    struct score_bar *bar = &exercise->bars[exercise->bar_count++];
    bar->meter = &four_four;
    bar->settings = &exercise->source->settings;
    bar->meter_changes = exercise->bar_count == 1;
    bar->length = FRACTION_ONE;
    bar->start = FRACTION_ZERO;
    bar->beat_count = 4;
    bar->beats = arena_array(score->arena, 4, sizeof *bar->beats);
    for (int i = 0; i < 4; i++)
        bar->beats[i] = (struct score_beat){
            .start = fraction_make(i, 4), .length = fraction_make(1, 4), .kind = BEAT_SIMPLE};
    bar->number = (uint32_t)exercise->bar_count;
    if (exercise->bar_count > 1)
        bar[-1].last = false;
    bar->last = true;
    line_make(score, &bar->lines[LINE_HANDS], hands ? hands : "");
    line_make(score, &bar->lines[LINE_FEET], feet ? feet : "");
    if (counts)
        counts_make(score, bar);
    return bar;
}
