/* Whole lessons: every key at its levels, the cascade, kits, patterns, courses. */
#include "base/buffer.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* A lesson of one exercise with these lines in it, each indented by four. */
static struct exercise *exercise(const char *lines)
{
    struct lesson *lesson = lesson_from(arena_format(arena, "exercises:\n  - title: x\n%s", lines));
    ck_assert_ptr_nonnull(lesson);
    ck_assert_uint_eq(lesson->exercise_count, 1);
    return &lesson->exercises[0];
}

static const char *text_of(struct words words)
{
    return words.text ? words.text : "(none)";
}

/* ---- texts ----------------------------------------------------------------------------------- */

START_TEST(texts_are_read_with_their_places)
{
    struct lesson *lesson = good_lesson("title: Six in a Five Suit\n"
                                        "subtitle: 'It''s'\n"
                                        "author: Wharf Lane Drum School\n"
                                        "copyright: none\n"
                                        "date: 2026-09-01\n"
                                        "exercises:\n"
                                        "  - title: >\n"
                                        "      On\n"
                                        "      the pad\n"
                                        "    id: a\n");
    ck_assert_str_eq(text_of(lesson->title), "Six in a Five Suit");
    ck_assert_uint_eq(lesson->title.at.column, 8);
    ck_assert_uint_eq(lesson->title.at.length, 18);
    ck_assert_str_eq(text_of(lesson->subtitle), "It's");
    ck_assert_str_eq(text_of(lesson->date), "2026-09-01");
    ck_assert_str_eq(text_of(lesson->exercises[0].title), "On the pad");
    ck_assert_str_eq(text_of(lesson->exercises[0].id), "a");
}
END_TEST

START_TEST(paragraphs_are_parted_by_blank_lines)
{
    struct lesson *lesson = good_lesson("notes: |\n"
                                        "  One line\n"
                                        "  and another.\n"
                                        "\n"
                                        "  A second   paragraph.\n"
                                        "exercises:\n"
                                        "  - text: >\n"
                                        "      Folded\n"
                                        "      text.\n"
                                        "\n"
                                        "      Again.\n"
                                        "  - text: [First., Second.]\n");
    ck_assert_uint_eq(lesson->note_count, 2);
    ck_assert_str_eq(lesson->notes[0].text, "One line and another.");
    ck_assert_str_eq(lesson->notes[1].text, "A second paragraph.");
    ck_assert_uint_eq(lesson->notes[1].at.line, 5);
    ck_assert_uint_eq(lesson->exercises[0].paragraph_count, 2);
    ck_assert_str_eq(lesson->exercises[0].paragraphs[0].text, "Folded text.");
    ck_assert_uint_eq(lesson->exercises[1].paragraph_count, 2);
    ck_assert_str_eq(lesson->exercises[1].paragraphs[1].text, "Second.");
}
END_TEST

/* Values that YAML 1.1 would turn into booleans, numbers or dates stay what is written. */
START_TEST(values_have_no_implicit_types)
{
    struct lesson *lesson = good_lesson("title: on\nsubtitle: 1e3\nauthor: 4/4\n"
                                        "copyright: 0x10\nexercises: [{title: no, id: ~}]\n");
    ck_assert_str_eq(text_of(lesson->title), "on");
    ck_assert_str_eq(text_of(lesson->subtitle), "1e3");
    ck_assert_str_eq(text_of(lesson->author), "4/4");
    ck_assert_str_eq(text_of(lesson->copyright), "0x10");
    ck_assert_str_eq(text_of(lesson->exercises[0].title), "no");
    ck_assert_str_eq(text_of(lesson->exercises[0].id), "~");
}
END_TEST

/* ---- settings -------------------------------------------------------------------------------- */

static const struct settings *settings_of(const char *line)
{
    return &exercise(arena_format(arena, "    %s\n", line))->settings;
}

START_TEST(a_meter_is_groups_over_a_unit)
{
    const struct meter *meter = settings_of("time: 2+2+3/8")->meter;
    assert_no_finding();
    ck_assert_uint_eq(meter->group_count, 3);
    ck_assert_uint_eq(meter->groups[2], 3);
    ck_assert_uint_eq(meter->unit, 8);
    ck_assert_uint_eq(meter->at.column, 11);
    meter = settings_of("swing: straight")->meter;
    ck_assert_uint_eq(meter->groups[0], 4);
    ck_assert_uint_eq(meter->unit, 4);
}
END_TEST

static const struct {
    const char *tempo;
    unsigned unit_log2, dots;
    bool range;
    unsigned hundredths[4];
    size_t count;
} tempos[] = {
    {"96", 0xFF, 0, false, {9600}, 1},
    {"60-110", 0xFF, 0, true, {6000, 11000}, 2},
    {"60 72 84 96", 0xFF, 0, false, {6000, 7200, 8400, 9600}, 4},
    {"60, 72", 0xFF, 0, false, {6000, 7200}, 2},
    {"[60, 72]", 0xFF, 0, false, {6000, 7200}, 2},
    {"8.=72", 3, 1, false, {7200}, 1},
    {"4=60-110", 2, 0, true, {6000, 11000}, 2},
    {"2 = 56 60", 1, 0, false, {5600, 6000}, 2},
    {"999", 0xFF, 0, false, {99900}, 1},
    {"72,5", 0xFF, 0, false, {7250}, 1},
    {"72.5", 0xFF, 0, false, {7250}, 1},
    {"93.75", 0xFF, 0, false, {9375}, 1},
    {"72,5-96,5", 0xFF, 0, true, {7250, 9650}, 2},
    {"60,72", 0xFF, 0, false, {6000, 7200}, 2},
    {"\"72, 5\"", 0xFF, 0, false, {7200, 500}, 2},
    {"8.=72,5 80", 3, 1, false, {7250, 8000}, 2},
    {"60 – 80", 0xFF, 0, true, {6000, 8000}, 2},
};

START_TEST(a_tempo_is_a_number_a_range_or_a_list)
{
    const struct tempo *tempo =
        settings_of(arena_format(arena, "tempo: %s", tempos[_i].tempo))->tempo;
    assert_no_finding();
    ck_assert_uint_eq(tempo->unit_log2, tempos[_i].unit_log2);
    ck_assert_uint_eq(tempo->unit_dots, tempos[_i].dots);
    ck_assert_int_eq(tempo->range, tempos[_i].range);
    ck_assert_uint_eq(tempo->count, tempos[_i].count);
    for (size_t i = 0; i < tempo->count; i++)
        ck_assert_uint_eq(tempo->hundredths[i], tempos[_i].hundredths[i]);
}
END_TEST

START_TEST(subdivisions_are_one_or_one_a_beat)
{
    const struct subdivisions *one = settings_of("subdivision: 16th triplets")->subdivisions;
    const struct subdivisions *more =
        settings_of("subdivision: [eighths, Quintuplets]")->subdivisions;
    assert_no_finding();
    ck_assert_uint_eq(one->count, 1);
    ck_assert_int_eq(one->items[0], SUBDIVISION_SIXTEENTH_TRIPLETS);
    ck_assert_uint_eq(more->count, 2);
    ck_assert_int_eq(more->items[1], SUBDIVISION_QUINTUPLETS);
}
END_TEST

START_TEST(counting_is_a_system_or_a_map_of_syllables)
{
    ck_assert_str_eq(settings_of("counting: takadimi")->counting->name, "takadimi");
    const struct counting *own =
        settings_of("counting: {sixteenths: '# ka ti ka', eighths: '# hop hop'}")->counting;
    assert_no_finding();
    ck_assert_str_eq(own->name, "own");
    ck_assert_str_eq(own->spoken[SUBDIVISION_SIXTEENTHS][BEAT_SIMPLE][2], "ti");
    ck_assert_str_eq(own->spoken[SUBDIVISION_EIGHTHS][BEAT_COMPOUND][2], "hop");
    /* subdivisions without a line are counted in english */
    ck_assert_str_eq(own->spoken[SUBDIVISION_EIGHTHS][BEAT_SIMPLE][1], "&");
}
END_TEST

START_TEST(swing_is_a_share_of_the_pair)
{
    ck_assert(fraction_equal(settings_of("swing: 2/3")->swing, fraction_make(2, 3)));
    ck_assert(fraction_equal(settings_of("swing: straight")->swing, fraction_make(1, 2)));
    ck_assert(fraction_equal(settings_of("time: 4/4")->swing, fraction_make(1, 2)));
    assert_no_finding();
}
END_TEST

static bool pulse_note_is(const struct pulse_note *note, unsigned log2, unsigned dots,
                          unsigned tuplet)
{
    return note->value_log2 == log2 && note->dots == dots && note->tuplet == tuplet;
}

START_TEST(a_pulse_says_two_notes)
{
    const struct exercise *read = exercise("    bars:\n      - rhythm: 1\n"
                                           "      - {rhythm: 1, pulse: 4 = 4.}\n"
                                           "      - {rhythm: 1, pulse: 3(8)=16}\n");
    assert_no_finding();
    ck_assert_ptr_null(read->bars[0].pulse);
    ck_assert(pulse_note_is(&read->bars[1].pulse->before, 2, 0, 0));
    ck_assert(pulse_note_is(&read->bars[1].pulse->now, 2, 1, 0));
    ck_assert(pulse_note_is(&read->bars[2].pulse->before, 3, 0, 3));
    ck_assert(pulse_note_is(&read->bars[2].pulse->now, 4, 0, 0));
}
END_TEST

START_TEST(show_is_a_map_or_words_to_switch_on)
{
    const struct show *show = settings_of("lead: left")->show;
    ck_assert(show->sticking && show->key && !show->ladder && !show->feet_rests);
    ck_assert(show->bar_numbers && !settings_of("show: {bar-numbers: no}")->show->bar_numbers);
    ck_assert_int_eq(show->counts, SHOW_COUNTS_NOTES);
    show = settings_of("show: {sticking: no, counts: grid, tuplet-numbers: first}")->show;
    ck_assert(!show->sticking && show->key && show->tuplet_numbers_first);
    ck_assert_int_eq(show->counts, SHOW_COUNTS_GRID);
    ck_assert(!settings_of("")->show->plan);
    ck_assert(good_lesson("show: {plan: yes}\nexercises: [{title: x}]\n")->settings.show->plan);
    ck_assert(good_lesson("show: [plan]\nexercises: [{title: x}]\n")->settings.show->plan);
    show = settings_of("show: [ladder, feet-rests]")->show;
    ck_assert(show->sticking && show->ladder && show->feet_rests);
    ck_assert(settings_of("show: ladder")->show->ladder);
    assert_no_finding();
}
END_TEST

START_TEST(the_page_has_its_sizes)
{
    struct lesson *lesson =
        good_lesson("page: {size: letter, margin: 12.5, staff: 6, bars-per-line: 4, staff-lines: "
                    "1, fit: one, side-by-side: no}\nexercises: [{title: x}]\n");
    const struct page_settings *page = lesson->exercises[0].settings.page;
    ck_assert_int_eq(page->size, PAGE_LETTER);
    ck_assert_double_eq_tol(page->margin_mm, 12.5, 1e-9);
    ck_assert_double_eq_tol(page->staff_mm, 6, 1e-9);
    ck_assert_uint_eq(page->bars_per_line, 4);
    ck_assert_int_eq(page->staff_lines, STAFF_LINES_1);
    ck_assert(page->fit_one);
    ck_assert(page->one_below_the_other);
}
END_TEST

/* ---- the cascade ----------------------------------------------------------------------------- */

START_TEST(the_nearest_setting_wins_and_the_rest_is_inherited)
{
    course_from("time: 3/4\ntempo: 60\nlevel: beginner\nsubdivision: eighths\n"
                "show: {ladder: yes}\nauthor: Wharf Lane\ntitle: The Course\n");
    struct lesson *lesson = good_lesson("tempo: 70\n"
                                        "exercises:\n"
                                        "  - subdivision: sixteenths\n"
                                        "    show: {bar-numbers: no}\n"
                                        "    bars:\n"
                                        "      - time: 2/4\n"
                                        "      - tempo: 80\n");
    const struct exercise *first = &lesson->exercises[0];
    ck_assert_str_eq(text_of(lesson->author), "Wharf Lane");
    ck_assert_str_eq(text_of(lesson->course_title), "The Course");
    ck_assert_ptr_null(lesson->title.text);
    ck_assert_str_eq(text_of(first->settings.level), "beginner");
    ck_assert_str_eq(first->settings.level.at.file, "course.yaml");
    ck_assert(first->settings.show->ladder && !first->settings.show->bar_numbers);
    const struct settings *one = first->bars[0].settings, *two = first->bars[1].settings;
    ck_assert_uint_eq(one->meter->groups[0], 2);
    ck_assert_uint_eq(two->meter->groups[0], 3);
    ck_assert_uint_eq(one->tempo->hundredths[0], 7000);
    ck_assert_uint_eq(two->tempo->hundredths[0], 8000);
    ck_assert_int_eq(one->subdivisions->items[0], SUBDIVISION_SIXTEENTHS);
    /* settings that a level does not write are shared, not copied */
    ck_assert_ptr_eq(one->subdivisions, first->settings.subdivisions);
    ck_assert_ptr_eq(two->show, first->settings.show);
}
END_TEST

START_TEST(play_is_inherited_limb_by_limb)
{
    struct lesson *lesson = good_lesson("play: {R: ride, L: [snare ghost, snare accent]}\n"
                                        "exercises:\n"
                                        "  - play: {R: hi-hat}\n");
    const struct play *play = lesson->exercises[0].settings.play;
    ck_assert_uint_eq(play->limbs[LIMB_RIGHT_HAND].items[0].voices[0], VOICE_HI_HAT);
    ck_assert_uint_eq(play->limbs[LIMB_LEFT_HAND].count, 2);
    ck_assert_uint_eq(play->limbs[LIMB_LEFT_HAND].items[1].marks, MARK_ACCENT);
    ck_assert_uint_eq(play->limbs[LIMB_RIGHT_FOOT].count, 0);
}
END_TEST

/* Kits and patterns can come after the lines that use them. */
START_TEST(the_order_of_keys_does_not_matter)
{
    struct lesson *lesson = good_lesson("exercises:\n"
                                        "  - sticking: crate\n"
                                        "    play: {R: h}\n"
                                        "kit: {short: {h: side-hat}, voices: {side-hat: hi-hat}}\n"
                                        "patterns: {crate: RLLRRL}\n");
    ck_assert_uint_eq(lesson->exercises[0].settings.sticking->count, 6);
    voice_id voice = lesson->exercises[0].settings.play->limbs[0].items[0].voices[0];
    ck_assert_str_eq(lesson->kit.voices[voice].name, "side-hat");
}
END_TEST

/* ---- stickings ------------------------------------------------------------------------------- */

START_TEST(a_pattern_wins_over_a_rudiment_and_that_over_a_line)
{
    course_from("patterns: {flam: LLL, RL: LR}\n");
    struct lesson *lesson = good_lesson("patterns: {drag: R}\n"
                                        "exercises:\n"
                                        "  - sticking: flam\n"
                                        "  - sticking: drag\n"
                                        "  - sticking: RL\n"
                                        "  - sticking: flam tap\n"
                                        "  - sticking: RLL\n");
    static const char *const names[] = {"flam", "drag", "RL", "flam tap", NULL};
    static const size_t counts[] = {3, 1, 2, 4, 3};
    for (size_t i = 0; i < 5; i++) {
        const struct stroke_line *line = lesson->exercises[i].settings.sticking;
        ck_assert_uint_eq(line->count, counts[i]);
        if (names[i])
            ck_assert_str_eq(line->name, names[i]);
        else
            ck_assert_ptr_null(line->name);
        ck_assert_uint_eq(line->strokes[0].line, i + 3);
    }
}
END_TEST

START_TEST(a_bar_keeps_the_sticking_that_it_writes_itself)
{
    const struct exercise *two = exercise("    sticking: RL\n"
                                          "    bars:\n"
                                          "      - sticking: RLL\n"
                                          "      - voices: snare\n");
    assert_no_finding();
    ck_assert_uint_eq(two->bars[0].sticking->count, 3);
    ck_assert_ptr_null(two->bars[1].sticking);
    ck_assert_ptr_eq(two->bars[1].settings->sticking, two->settings.sticking);
}
END_TEST

/* ---- by count -------------------------------------------------------------------------------- */

START_TEST(counts_are_for_every_bar_or_one_entry_a_bar)
{
    const struct exercise *one = exercise("    accents: 1 3\n"
                                          "    kick: [1 3, '', each beat]\n"
                                          "    hat-foot:\n"
                                          "      - 2 4\n"
                                          "      -\n"
                                          "    ghosts: each e\n");
    assert_no_finding();
    ck_assert_uint_eq(one->settings.keyed->count, 2);
    const struct address_bars *kick = &one->settings.keyed->items[0].counts;
    const struct address_bars *hat_foot = &one->settings.keyed->items[1].counts;
    ck_assert(!one->accents.by_bar && kick->by_bar && hat_foot->by_bar);
    ck_assert_uint_eq(one->accents.bars[0].count, 2);
    ck_assert_uint_eq(kick->count, 3);
    ck_assert_uint_eq(kick->bars[1].count, 0);
    ck_assert_uint_eq(hat_foot->count, 2);
    ck_assert_uint_eq(hat_foot->bars[1].count, 0);
    ck_assert_uint_eq(one->ghosts.count, 1);
}
END_TEST

START_TEST(at_and_dynamics_are_maps_of_counts)
{
    const struct exercise *one = exercise("    at: {2: snare accent, '4, 4a': rest, 1:1: splash}\n"
                                          "    dynamics: {1: f, 2:3: cresc}\n");
    assert_no_finding();
    ck_assert_uint_eq(one->at_counts.count, 3);
    ck_assert_uint_eq(one->at_counts.entries[1].where.count, 2);
    ck_assert(one->at_counts.entries[1].what.rest);
    ck_assert_uint_eq(one->at_counts.entries[2].where.items[0].bar, 1);
    ck_assert_uint_eq(one->dynamics.count, 2);
    ck_assert_str_eq(one->dynamics.entries[1].what.text, "cresc");
}
END_TEST

/* ---- bars ------------------------------------------------------------------------------------ */

START_TEST(bars_are_a_number_a_list_or_what_the_cycle_needs)
{
    ck_assert_int_eq(exercise("    bars: resolve\n")->bars_kind, BARS_RESOLVE);
    ck_assert_uint_eq(exercise("    bars: 4\n")->bar_number, 4);
    ck_assert_uint_eq(exercise("    repeat: 4\n")->bar_number, 1);
    ck_assert_uint_eq(exercise("    repeat: 4\n")->plays, 4);
    const struct exercise *list = exercise("    bars:\n"
                                           "      - rhythm: 4 4 4 4\n"
                                           "        repeat: 2\n"
                                           "      - {}\n");
    assert_no_finding();
    ck_assert_int_eq(list->bars_kind, BARS_LIST);
    ck_assert_uint_eq(list->bar_count, 2);
    ck_assert_uint_eq(list->bars[0].rhythm->count, 4);
    ck_assert_uint_eq(list->bars[0].plays, 2);
    ck_assert_ptr_null(list->bars[1].rhythm);
    ck_assert_uint_eq(list->bars[1].at.line, 6);
}
END_TEST

START_TEST(an_exercises_rhythm_is_that_of_all_its_bars)
{
    const struct exercise *one = exercise("    rhythm: 4 4 4 4\n    bars: 3\n");
    assert_no_finding();
    ck_assert_int_eq(one->bars_kind, BARS_LIST);
    ck_assert_uint_eq(one->bar_count, 3);
    ck_assert_ptr_eq(one->bars[0].rhythm, one->bars[2].rhythm);
    one = exercise("    rhythm: 4 4 4 4\n"
                   "    bars:\n"
                   "      - sticking: RLRL\n"
                   "      - rhythm: 2 2\n"
                   "      - subdivision: eighths\n");
    assert_no_finding();
    ck_assert_uint_eq(one->bars[0].rhythm->count, 4);
    ck_assert_uint_eq(one->bars[1].rhythm->count, 2);
    ck_assert_ptr_null(one->bars[2].rhythm);
}
END_TEST

START_TEST(pickups_and_endings_are_bars)
{
    const struct exercise *one = exercise("    pickup: {rhythm: 8 8, sticking: R L}\n"
                                          "    repeat: 4\n"
                                          "    endings:\n"
                                          "      1, 2: {sticking: RLRL}\n"
                                          "      3..4:\n"
                                          "        - sticking: RRLL\n"
                                          "        - sticking: LLRR\n");
    assert_no_finding();
    ck_assert_uint_eq(one->pickup->rhythm->count, 2);
    ck_assert_uint_eq(one->ending_count, 2);
    ck_assert_uint_eq(one->endings[0].pass_count, 2);
    ck_assert_uint_eq(one->endings[1].passes[0], 3);
    ck_assert_uint_eq(one->endings[1].passes[1], 4);
    ck_assert_uint_eq(one->endings[1].bar_count, 2);
}
END_TEST

START_TEST(a_sequence_names_earlier_exercises)
{
    struct lesson *lesson = good_lesson("exercises:\n"
                                        "  - id: groove\n"
                                        "  - id: fill\n"
                                        "  - sequence: groove*3 fill\n");
    const struct exercise *form = &lesson->exercises[2];
    ck_assert_uint_eq(form->sequence_count, 2);
    ck_assert_uint_eq(form->sequence[0].exercise, 0);
    ck_assert_uint_eq(form->sequence[0].times, 3);
    ck_assert_uint_eq(form->sequence[1].exercise, 1);
    ck_assert_uint_eq(form->sequence[1].at.column, 24);
}
END_TEST

START_TEST(feet_have_a_line_of_their_own)
{
    const struct exercise *one =
        exercise("    feet: {subdivision: eighths, sticking: R L, play: {L: second-bass-drum}}\n");
    assert_no_finding();
    ck_assert_int_eq(one->feet->subdivisions->items[0], SUBDIVISION_EIGHTHS);
    ck_assert_uint_eq(one->feet->sticking->count, 2);
    ck_assert_uint_eq(one->feet->play->limbs[LIMB_LEFT_FOOT].items[0].voices[0],
                      VOICE_SECOND_BASS_DRUM);
    ck_assert_uint_eq(one->feet->play->limbs[LIMB_LEFT_HAND].count, 0);
}
END_TEST

/* ---- the kit --------------------------------------------------------------------------------- */

static const struct voice *voice_named(const struct kit *kit, const char *name)
{
    size_t i = 0;
    while (i < kit->voice_count && strcmp(kit->voices[i].name, name) != 0)
        i++;
    ck_assert_msg(i < kit->voice_count, "no voice '%s'", name);
    return &kit->voices[i];
}

START_TEST(own_voices_are_like_others_but_for_what_they_say)
{
    course_from("kit: {voices: {oil-drum: {like: floor-tom, line: 2, head: square, midi: 87, at: "
                "[70, -20]}}}\n");
    struct lesson *lesson =
        good_lesson("kit:\n"
                    "  handed: left\n"
                    "  short: {o: oil-drum, h: hi-hat}\n"
                    "  voices:\n"
                    "    side-hat: {like: hi-hat, line: 5.5, player: left-foot, sign: open}\n"
                    "    low-drum: {like: oil-drum, label: lowest}\n"
                    "    snare: {line: 3, head: noteheadXBlack}\n"
                    "exercises: [{play: {R: o, L: low-drum}}]\n");
    const struct kit *kit = &lesson->kit;
    ck_assert(kit->left_handed);
    ck_assert_uint_eq(kit->voice_count, VOICE_BUILTIN_COUNT + 3);
    const struct voice *oil = voice_named(kit, "oil-drum");
    ck_assert_str_eq(kit->shorts[0].name, "o");
    ck_assert_ptr_eq(&kit->voices[kit->shorts[0].voice], oil);
    ck_assert_str_eq(oil->name, "oil-drum");
    ck_assert_str_eq(oil->spoken, "oil drum");
    ck_assert_int_eq(oil->line2, 4);
    ck_assert_int_eq(oil->head, HEAD_SQUARE);
    ck_assert_int_eq(oil->midi, 87);
    ck_assert_int_eq(oil->x_cm, 70);
    ck_assert_int_eq(oil->y_cm, -20);
    const struct voice *side = voice_named(kit, "side-hat");
    ck_assert_int_eq(side->line2, 11);
    ck_assert_int_eq(side->midi, 42);
    ck_assert_int_eq(side->player, PLAYER_LEFT_FOOT);
    ck_assert_uint_eq(side->sign, MARK_OPEN);
    const struct voice *low = voice_named(kit, "low-drum");
    ck_assert_str_eq(low->spoken, "lowest");
    ck_assert_int_eq(low->head, HEAD_SQUARE);
    ck_assert_int_eq(kit->voices[VOICE_SNARE].line2, 6);
    ck_assert_int_eq(kit->voices[VOICE_SNARE].head, HEAD_X);
}
END_TEST

/* ---- courses --------------------------------------------------------------------------------- */

START_TEST(a_course_has_an_order_and_what_it_makes)
{
    const char *text = "title: The Course\norder:\n  - a.yaml\n  - part/b.yaml\n"
                       "produce: [pdf, svg]\nlevels: {deckhand: beginner}\n";
    struct course_context *context =
        read_course(arena, (struct read_source){"course.yaml", text, strlen(text)}, NULL, diags);
    assert_no_finding();
    const struct course *course = course_of(context);
    ck_assert_str_eq(text_of(course->title), "The Course");
    ck_assert_uint_eq(course->order_count, 2);
    ck_assert_str_eq(course->order[1].text, "part/b.yaml");
    ck_assert_uint_eq(course->produce_count, 2);
    const char *lesson = "level: deckhand\nexercises: [{title: x}]\n";
    ck_assert_ptr_nonnull(
        read_lesson(arena, (struct read_source){"a.yaml", lesson, strlen(lesson)}, context, diags));
    assert_no_finding();
}
END_TEST

/* ---- files without a lesson ------------------------------------------------------------------ */

static struct lesson *bytes(const char *text, size_t length)
{
    return read_lesson(arena, (struct read_source){"test.yaml", text, length}, NULL, diags);
}

START_TEST(a_byte_order_mark_in_front_is_no_mistake)
{
    struct lesson *lesson = good_lesson("\xEF\xBB\xBFtitle: x\nexercises: [{title: y}]\n");
    ck_assert_uint_eq(lesson->title.at.column, 8);
}
END_TEST

START_TEST(a_nul_byte_is_told)
{
    ck_assert_ptr_null(bytes("title: a\0b\n", 11));
    assert_only(DIAG_ENCODING, 1, 9);
}
END_TEST

START_TEST(utf16_is_told_as_such)
{
    ck_assert_ptr_null(bytes("\xFF\xFEt\0i\0", 6));
    assert_only(DIAG_ENCODING, 1, 1);
}
END_TEST

START_TEST(a_file_over_the_limit_is_not_looked_into)
{
    size_t length = LESSON_BYTES_MAX + 1;
    char *text = memory_alloc(length);
    memset(text, 'x', length);
    ck_assert_ptr_null(bytes(text, length));
    memory_free(text);
    assert_only(DIAG_LIMIT, 1, 1);
}
END_TEST

START_TEST(four_mebibytes_of_stray_bytes_are_counted)
{
    size_t length = LESSON_BYTES_MAX;
    char *text = memory_alloc(length);
    memset(text, 0x80, length);
    ck_assert_ptr_null(bytes(text, length));
    memory_free(text);
    ck_assert_uint_eq(diags_errors(diags), length);
    ck_assert_uint_le(diags_count(diags), DIAGS_LIMIT + 1);
}
END_TEST

START_TEST(a_depth_bomb_stops_at_the_limit)
{
    size_t length = 1024 * 1024;
    char *text = memory_alloc(length);
    memset(text, '[', length);
    ck_assert_ptr_null(bytes(text, length));
    memory_free(text);
    ck_assert_int_eq(finding(0)->code, DIAG_LIMIT);
    ck_assert_uint_eq(finding(0)->at.column, LESSON_DEPTH_MAX + 1);
}
END_TEST

/* "exercises: [{sticking: RRRR...}]" of so many strokes. */
static char *long_sticking(size_t strokes, const char *between)
{
    struct buffer text = {0};
    buffer_add_text(&text, "exercises:\n  - sticking: |\n      ");
    for (size_t i = 0; i < strokes; i++) {
        buffer_add_text(&text, "R");
        if (i % 64 == 63)
            buffer_add_text(&text, between);
    }
    buffer_add_text(&text, "\n");
    return text.bytes;
}

START_TEST(as_many_strokes_as_the_limit_are_read_and_one_more_is_too_many)
{
    char *text = long_sticking(LESSON_STROKES_MAX, "\n      ");
    struct lesson *lesson = good_lesson(text);
    const struct stroke_line *line = lesson->exercises[0].settings.sticking;
    ck_assert_uint_eq(line->count, LESSON_STROKES_MAX);
    ck_assert_uint_eq(line->strokes[line->count - 1].line, 2 + LESSON_STROKES_MAX / 64);
    ck_assert_uint_eq(line->strokes[line->count - 1].column, 70);
    memory_free(text);
    text = long_sticking(LESSON_STROKES_MAX + 1, "");
    lesson_from(text);
    memory_free(text);
    assert_only(DIAG_LIMIT, 2, 15);
}
END_TEST

/* A million mistakes over many lines take no longer than as many strokes. */
START_TEST(a_million_mistakes_are_counted)
{
    struct buffer text = {0};
    buffer_add_text(&text, "exercises:\n  - sticking: |\n");
    for (int i = 0; i < 20000; i++)
        buffer_add_text(&text,
                        "      X Y > ) X Y > ) X Y > ) X Y > ) X Y > ) X Y > ) X Y > ) X Y\n");
    lesson_from(text.bytes);
    buffer_release(&text);
    ck_assert_uint_eq(diags_errors(diags), 20000 * 30);
}
END_TEST

static struct lesson *many(const char *head, const char *each, size_t count)
{
    struct buffer text = {0};
    buffer_add_text(&text, head);
    for (size_t i = 0; i < count; i++)
        buffer_add_text(&text, each);
    struct lesson *lesson = lesson_from(text.bytes);
    buffer_release(&text);
    return lesson;
}

START_TEST(exercises_and_bars_have_their_limits)
{
    many("exercises:\n", "  - {title: x}\n", LESSON_EXERCISES_MAX);
    assert_no_finding();
    many("exercises:\n", "  - {title: x}\n", LESSON_EXERCISES_MAX + 1);
    assert_only(DIAG_LIMIT, 2, 3);
    diags = diags_new(arena);
    many("exercises:\n  - bars:\n", "    - {}\n", LESSON_BARS_MAX);
    assert_no_finding();
    many("exercises:\n  - bars:\n", "    - {}\n", LESSON_BARS_MAX + 2);
    assert_only(DIAG_LIMIT, LESSON_BARS_MAX + 3, 7);
}
END_TEST

START_TEST(a_number_alone_in_pace_is_a_bar)
{
    static const struct {
        uint32_t bar;
        uint16_t beat;
    } wanted[] = {{65, 1}, {2, 1}, {4, 3}};
    const struct lesson *lesson = good_lesson("exercises:\n  - bars: 70\n"
                                              "    pace: {65: rit, 2: accel, \"4:3\": a-tempo}\n");
    const struct dynamics *pace = &lesson->exercises[0].pace;
    ck_assert_uint_eq(pace->count, 3);
    for (size_t i = 0; i < pace->count; i++) {
        ck_assert_uint_eq(pace->entries[i].where.items[0].bar, wanted[i].bar);
        ck_assert_uint_eq(pace->entries[i].where.items[0].beat, wanted[i].beat);
    }
}
END_TEST

/* Keys of the author's own, ids and patterns are hashed: many of them do not make each one slower.
 */
START_TEST(many_patterns_and_keys_are_read_in_one_go)
{
    struct buffer text = {0};
    buffer_add_text(&text, "patterns:\n");
    for (int i = 0; i < 100000; i++)
        buffer_format(&text, "  p%d: R\n", i);
    buffer_add_text(&text, "  p7: L\nexercises: [{sticking: p99999}]\n");
    lesson_from(text.bytes);
    buffer_release(&text);
    assert_only(DIAG_DUPLICATE_KEY, 100002, 3);
    ck_assert_uint_eq(finding(0)->other.line, 9);
}
END_TEST

/* ---- all at once ----------------------------------------------------------------------------- */

START_TEST(all_mistakes_of_a_file_are_told_in_one_run)
{
    lesson_from("titel: x\n"
                "tempo: fast\n"
                "exercises:\n"
                "  - sticking: RXL\n"
                "    repeat: 0\n"
                "    bars:\n"
                "      - rhythm: 3(8 8)\n"
                "        kick: x\n"
                "      - at: {1: snaer}\n"
                "  - sequence: nothing\n");
    static const struct {
        enum diag_code code;
        unsigned line;
    } wanted[] = {
        {DIAG_UNKNOWN_KEY, 1},   {DIAG_BAD_VALUE, 2},         {DIAG_BAD_STICKING, 4},
        {DIAG_BAD_VALUE, 5},     {DIAG_TUPLET_LENGTH, 7},     {DIAG_UNKNOWN_COUNT, 8},
        {DIAG_UNKNOWN_VOICE, 9}, {DIAG_UNKNOWN_EXERCISE, 10},
    };
    diags_sort(diags);
    ck_assert_uint_eq(diags_count(diags), sizeof wanted / sizeof *wanted);
    for (size_t i = 0; i < diags_count(diags); i++) {
        ck_assert_str_eq(diag_word(finding(i)->code), diag_word(wanted[i].code));
        ck_assert_uint_eq(finding(i)->at.line, wanted[i].line);
    }
}
END_TEST

/* A YAML error is reported once. What comes before it is still checked, and what may have come
   after it is not reported as missing. */
START_TEST(what_was_read_before_a_yaml_error_is_told_too)
{
    lesson_from("tempo: fast\nexercises:\n  - titel: x\n    text: a: b\n");
    diags_sort(diags);
    ck_assert_uint_eq(diags_count(diags), 3);
    ck_assert_int_eq(finding(0)->code, DIAG_BAD_VALUE);
    ck_assert_int_eq(finding(1)->code, DIAG_UNKNOWN_KEY);
    ck_assert_int_eq(finding(2)->code, DIAG_SYNTAX);
    diags = diags_new(arena);
    lesson_from("title: x: y\n");
    assert_only(DIAG_SYNTAX, 1, 9);
}
END_TEST

/* A value that was reported is left out, and its bar is marked so that no stage relies on it. */
START_TEST(what_was_reported_spoils_its_bar_alone)
{
    const struct exercise *one = exercise("    bars:\n"
                                          "      - rhythm: 4 4 5 4\n"
                                          "      - rhythm: 4 4 4 4\n"
                                          "      - sticking: Q\n");
    ck_assert(one->bars[0].spoiled && !one->bars[1].spoiled && one->bars[2].spoiled);
    ck_assert_ptr_null(one->bars[0].rhythm);
    ck_assert(!one->spoiled);
    diags = diags_new(arena);
    ck_assert(exercise("    sticking: Q\n")->spoiled);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("read_lesson");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_test(cases, texts_are_read_with_their_places);
    tcase_add_test(cases, paragraphs_are_parted_by_blank_lines);
    tcase_add_test(cases, values_have_no_implicit_types);
    tcase_add_test(cases, a_meter_is_groups_over_a_unit);
    tcase_add_loop_test(cases, a_tempo_is_a_number_a_range_or_a_list, 0,
                        (int)(sizeof tempos / sizeof *tempos));
    tcase_add_test(cases, subdivisions_are_one_or_one_a_beat);
    tcase_add_test(cases, counting_is_a_system_or_a_map_of_syllables);
    tcase_add_test(cases, swing_is_a_share_of_the_pair);
    tcase_add_test(cases, a_pulse_says_two_notes);
    tcase_add_test(cases, show_is_a_map_or_words_to_switch_on);
    tcase_add_test(cases, the_page_has_its_sizes);
    tcase_add_test(cases, the_nearest_setting_wins_and_the_rest_is_inherited);
    tcase_add_test(cases, play_is_inherited_limb_by_limb);
    tcase_add_test(cases, the_order_of_keys_does_not_matter);
    tcase_add_test(cases, a_pattern_wins_over_a_rudiment_and_that_over_a_line);
    tcase_add_test(cases, a_bar_keeps_the_sticking_that_it_writes_itself);
    tcase_add_test(cases, counts_are_for_every_bar_or_one_entry_a_bar);
    tcase_add_test(cases, at_and_dynamics_are_maps_of_counts);
    tcase_add_test(cases, bars_are_a_number_a_list_or_what_the_cycle_needs);
    tcase_add_test(cases, an_exercises_rhythm_is_that_of_all_its_bars);
    tcase_add_test(cases, pickups_and_endings_are_bars);
    tcase_add_test(cases, a_sequence_names_earlier_exercises);
    tcase_add_test(cases, feet_have_a_line_of_their_own);
    tcase_add_test(cases, own_voices_are_like_others_but_for_what_they_say);
    tcase_add_test(cases, a_course_has_an_order_and_what_it_makes);
    tcase_add_test(cases, a_byte_order_mark_in_front_is_no_mistake);
    tcase_add_test(cases, a_nul_byte_is_told);
    tcase_add_test(cases, utf16_is_told_as_such);
    tcase_add_test(cases, a_file_over_the_limit_is_not_looked_into);
    tcase_add_test(cases, four_mebibytes_of_stray_bytes_are_counted);
    tcase_add_test(cases, a_depth_bomb_stops_at_the_limit);
    tcase_add_test(cases, as_many_strokes_as_the_limit_are_read_and_one_more_is_too_many);
    tcase_add_test(cases, a_million_mistakes_are_counted);
    tcase_add_test(cases, exercises_and_bars_have_their_limits);
    tcase_add_test(cases, a_number_alone_in_pace_is_a_bar);
    tcase_add_test(cases, many_patterns_and_keys_are_read_in_one_go);
    tcase_add_test(cases, all_mistakes_of_a_file_are_told_in_one_run);
    tcase_add_test(cases, what_was_read_before_a_yaml_error_is_told_too);
    tcase_add_test(cases, what_was_reported_spoils_its_bar_alone);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("read_lesson");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
