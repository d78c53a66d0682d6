#include "model/score_same.h"

/* Every field that is not a place is compared: a new field of the score belongs here, too. */
#define EQUAL(field) (a->field == b->field)
#define SAME_TEXT(field) same_text(a->field, b->field)
#define SAME_TIME(field) fraction_equal(a->field, b->field)
/* Both are NULL, or both are the same. */
#define SAME_OR_NONE(field, same)                                                                  \
    (!a->field == !b->field && (!a->field || same(a->field, b->field)))
#define SAME_ROW(items, count, same)                                                               \
    (a->count == b->count && same_row(a->items, b->items, a->count, sizeof *a->items, same))

typedef bool same_item(const void *a, const void *b);

static bool same_row(const void *a, const void *b, size_t count, size_t size, same_item *same)
{
    for (size_t i = 0; i < count; i++)
        if (!same((const char *)a + i * size, (const char *)b + i * size))
            return false;
    return true;
}

static bool same_text(const char *a, const char *b)
{
    return !a == !b && (!a || strcmp(a, b) == 0);
}

static bool same_words(const void *one, const void *other)
{
    const struct words *a = one, *b = other;
    return SAME_TEXT(text);
}

static bool same_place_is_set(struct place a, struct place b)
{
    return !a.file == !b.file;
}

/* ---- settings ------------------------------------------------------------------------------- */

static bool same_tempo(const struct tempo *a, const struct tempo *b)
{
    return EQUAL(unit_log2) && EQUAL(unit_dots) && EQUAL(range) && EQUAL(gradual) && EQUAL(count) &&
           (!a->count ||
            memcmp(a->hundredths, b->hundredths, a->count * sizeof *a->hundredths) == 0);
}

static bool same_show(const struct show *a, const struct show *b)
{
    return EQUAL(sticking) && EQUAL(key) && EQUAL(ladder) && EQUAL(feet_rests) && EQUAL(plan) &&
           EQUAL(form) && EQUAL(bars) && EQUAL(bar_numbers) && EQUAL(tempo) &&
           EQUAL(tuplet_numbers_first) && EQUAL(counts) && EQUAL(ladder_limit);
}

static bool same_page(const struct page_settings *a, const struct page_settings *b)
{
    bool sizes = !(a->margin_mm < b->margin_mm) && !(a->margin_mm > b->margin_mm) &&
                 !(a->staff_mm < b->staff_mm) && !(a->staff_mm > b->staff_mm);
    return sizes && EQUAL(size) && EQUAL(bars_per_line) && EQUAL(staff_lines) &&
           EQUAL(one_below_the_other) && EQUAL(fit_one) && EQUAL(two_columns);
}

static bool same_limits(const struct limits *a, const struct limits *b)
{
    return SAME_TEXT(name) && memcmp(a->values, b->values, sizeof a->values) == 0;
}

static bool same_own_word(const void *one, const void *other)
{
    const struct own_word *a = one, *b = other;
    return SAME_TEXT(english) && SAME_TEXT(own);
}

/* Its syllables are in the bars' counts. */
static bool same_settings(const struct settings *a, const struct settings *b)
{
    return meter_equal(a->meter, b->meter) && SAME_OR_NONE(tempo, same_tempo) &&
           EQUAL(letterless) && SAME_TEXT(counting->name) && same_show(a->show, b->show) &&
           same_page(a->page, b->page) && SAME_TEXT(level.text) &&
           SAME_OR_NONE(limits, same_limits) && SAME_TIME(swing) &&
           SAME_ROW(own_words, own_word_count, same_own_word) && EQUAL(handed) && EQUAL(lead) &&
           EQUAL(stems) && EQUAL(beams);
}

static bool same_voice(const void *one, const void *other)
{
    const struct voice *a = one, *b = other;
    return SAME_TEXT(name) && SAME_TEXT(spoken) && EQUAL(line2) && EQUAL(head) && EQUAL(player) &&
           EQUAL(sign) && EQUAL(midi) && EQUAL(x_cm) && EQUAL(y_cm) && EQUAL(z_cm) && EQUAL(size) &&
           EQUAL(share);
}

static bool same_kit(const struct kit *a, const struct kit *b)
{
    return SAME_ROW(voices, voice_count, same_voice) && EQUAL(left_handed) && EQUAL(hats_held);
}

/* ---- lines ---------------------------------------------------------------------------------- */

static bool same_hit(const void *one, const void *other)
{
    const struct hit *a = one, *b = other;
    return EQUAL(voice) && EQUAL(limb) && EQUAL(ghost) && EQUAL(plain);
}

static bool same_note(const struct note *a, const struct note *b)
{
    return SAME_ROW(hits, hit_count, same_hit) && EQUAL(marks) && EQUAL(grace_count) &&
           EQUAL(graces) && EQUAL(roll) && EQUAL(letter) && EQUAL(proposed) &&
           EQUAL(hands_swapped) && EQUAL(feet_swapped) && EQUAL(number);
}

static bool same_leaf(const void *one, const void *other)
{
    const struct leaf *a = one, *b = other;
    return SAME_TIME(onset) && SAME_TIME(length) && EQUAL(value_log2) && EQUAL(dots) &&
           EQUAL(rest) && EQUAL(tied) && EQUAL(continued) && EQUAL(whole_bar) && EQUAL(tuplet) &&
           EQUAL(beat) && SAME_OR_NONE(note, same_note);
}

static bool same_tuplet(const void *one, const void *other)
{
    const struct tuplet *a = one, *b = other;
    return EQUAL(actual) && EQUAL(normal) && EQUAL(outer) && EQUAL(depth) && EQUAL(first) &&
           EQUAL(end) && SAME_TIME(onset) && SAME_TIME(length) && EQUAL(numbered) && EQUAL(ratio) &&
           EQUAL(unit_log2);
}

static bool same_line(const void *one, const void *other)
{
    const struct score_line *a = one, *b = other;
    return SAME_ROW(leaves, leaf_count, same_leaf) && SAME_ROW(tuplets, tuplet_count, same_tuplet);
}

/* ---- bars ----------------------------------------------------------------------------------- */

static bool same_beat(const void *one, const void *other)
{
    const struct score_beat *a = one, *b = other;
    return SAME_TIME(start) && SAME_TIME(length) && EQUAL(kind) && EQUAL(has_division) &&
           EQUAL(subdivision) && EQUAL(spans_two) && EQUAL(spanned);
}

static bool same_count(const void *one, const void *other)
{
    const struct count *a = one, *b = other;
    return SAME_TIME(onset) && SAME_TEXT(text) && SAME_TEXT(name) && EQUAL(beat) &&
           EQUAL(beat_number) && EQUAL(struck);
}

static bool same_mark(const void *one, const void *other)
{
    const struct dynamic_mark *a = one, *b = other;
    return SAME_TIME(onset) && SAME_TEXT(text);
}

static bool same_signs(const struct bar_signs *a, const struct bar_signs *b)
{
    return SAME_TEXT(mark.text) && SAME_TEXT(over.text) && EQUAL(rest) && EQUAL(same) &&
           EQUAL(slashes) && EQUAL(goes_on) && same_place_is_set(a->segno, b->segno) &&
           same_place_is_set(a->coda, b->coda) && same_place_is_set(a->fine, b->fine) &&
           same_place_is_set(a->to_coda, b->to_coda) && SAME_TEXT(jump.words);
}

static bool same_pulse_note(const struct pulse_note *a, const struct pulse_note *b)
{
    return EQUAL(value_log2) && EQUAL(dots) && EQUAL(tuplet);
}

static bool same_pulse(const struct pulse *a, const struct pulse *b)
{
    return same_pulse_note(&a->before, &b->before) && same_pulse_note(&a->now, &b->now);
}

static bool same_ending(const struct ending *a, const struct ending *b)
{
    return EQUAL(pass_count) &&
           memcmp(a->passes, b->passes, a->pass_count * sizeof *a->passes) == 0;
}

static bool same_contents(const struct score_bar *a, const struct score_bar *b)
{
    return SAME_ROW(beats, beat_count, same_beat) && SAME_ROW(counted, counted_count, same_beat) &&
           same_row(a->lines, b->lines, LINE_COUNT, sizeof *a->lines, same_line) &&
           same_line(&a->together, &b->together) && SAME_ROW(counts, count_count, same_count) &&
           SAME_ROW(dynamics, dynamic_count, same_mark) && SAME_ROW(words, word_count, same_mark) &&
           SAME_ROW(paces, pace_count, same_mark) && SAME_OR_NONE(figures, same_line) &&
           SAME_OR_NONE(signs, same_signs) && SAME_OR_NONE(pulse, same_pulse) &&
           SAME_OR_NONE(ending, same_ending);
}

static bool same_bar(const void *one, const void *other)
{
    const struct score_bar *a = one, *b = other;
    return meter_equal(a->meter, b->meter) && same_settings(a->settings, b->settings) &&
           SAME_TIME(length) && SAME_TIME(start) && EQUAL(hands_apart) && EQUAL(plays) &&
           EQUAL(repeat_begins) && EQUAL(repeat_ends) && EQUAL(ending_begins) &&
           EQUAL(ending_ends) && EQUAL(repeats) && EQUAL(rests) && EQUAL(slashes) && EQUAL(time) &&
           EQUAL(meter_changes) && EQUAL(pickup) && EQUAL(chords) && EQUAL(last) && EQUAL(number) &&
           same_contents(a, b);
}

/* ---- exercises ------------------------------------------------------------------------------ */

static bool same_cycle(const struct cycle *a, const struct cycle *b)
{
    return EQUAL(slots_in_cycle) && EQUAL(slots_in_bar) && EQUAL(bars_to_line_up) &&
           EQUAL(rotations) && EQUAL(lines_up) && EQUAL(loops) && EQUAL(in_time) &&
           EQUAL(hand_changes);
}

static bool same_step(const void *one, const void *other)
{
    const struct sequence_step *a = one, *b = other;
    return EQUAL(exercise) && EQUAL(times);
}

static bool same_source(const struct exercise *a, const struct exercise *b)
{
    return SAME_TEXT(title.text) && SAME_TEXT(subtitle.text) && SAME_TEXT(id.text) &&
           SAME_ROW(paragraphs, paragraph_count, same_words) &&
           same_settings(&a->settings, &b->settings) && EQUAL(plays) &&
           SAME_ROW(sequence, sequence_count, same_step);
}

static bool same_exercise(const void *one, const void *other)
{
    const struct score_exercise *a = one, *b = other;
    return same_source(a->source, b->source) && SAME_TEXT(title) && EQUAL(left_lead) &&
           EQUAL(mirrored) && EQUAL(number) && SAME_OR_NONE(tempo, same_tempo) &&
           SAME_ROW(bars, bar_count, same_bar) && same_cycle(&a->cycle, &b->cycle) &&
           EQUAL(sequence) && EQUAL(chords);
}

static bool same_turned(const void *one, const void *other)
{
    const struct turned_text *a = one, *b = other;
    return SAME_TEXT(raw);
}

static bool same_lesson(const struct lesson *a, const struct lesson *b)
{
    return SAME_TEXT(title.text) && SAME_TEXT(subtitle.text) && SAME_TEXT(author.text) &&
           SAME_TEXT(copyright.text) && SAME_TEXT(date.text) && SAME_TEXT(language.text) &&
           SAME_TEXT(course_title.text) && SAME_ROW(notes, note_count, same_words) &&
           SAME_ROW(turned, turned_count, same_turned) &&
           same_settings(&a->settings, &b->settings) && same_kit(&a->kit, &b->kit);
}

bool score_same(const struct score *a, const struct score *b)
{
    return same_lesson(a->lesson, b->lesson) &&
           SAME_ROW(exercises, exercise_count, same_exercise) &&
           memcmp(a->voices_used, b->voices_used,
                  a->lesson->kit.voice_count * sizeof *a->voices_used) == 0 &&
           EQUAL(ghosts_used) && EQUAL(hands_asked);
}
