/* The example course: every lesson of examples/ is read, built and checked without a complaint,
   every bar adds up, and between them the lessons use every construct of the format. What there is
   to be used comes from the reader's and the model's own tables where they have one: a new key,
   voice or subdivision without an example fails here. */
#include "base/file.h"
#include "build/build.h"
#include "check/check.h"
#include "lesson_keys.h"
#include "model/rudiment.h"
#include "model/tempo.h"
#include "play/play.h"
#include "read/read.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LESSONS_MIN = 14, FILE_BYTES_MAX = 1 << 20 };

struct example {
    struct lesson *lesson;
    struct score *score;
    struct diags *diags;
};

static struct arena *arena;
static struct course_context *context;
static struct diags *course_diags;
static struct example *examples;
static size_t example_count;

/* ---- reading ------------------------------------------------------------------------------- */

static struct read_source read_file(const char *path)
{
    struct buffer bytes = {0};
    ck_assert_msg(file_read(path, FILE_BYTES_MAX, &bytes), "%s cannot be read", path);
    struct read_source source = {
        .name = arena_format(arena, "%s", path),
        .bytes = arena_copy_text(arena, buffer_text(&bytes), bytes.length),
        .length = bytes.length,
    };
    buffer_release(&bytes);
    return source;
}

static void read_examples(void)
{
    arena = arena_new();
    course_diags = diags_new(arena);
    context = read_course(arena, read_file("examples/course.yaml"), NULL, course_diags);
    ck_assert_ptr_nonnull(context);
    const struct course *course = course_of(context);
    examples = arena_array(arena, course->order_count, sizeof *examples);
    for (example_count = 0; example_count < course->order_count; example_count++) {
        struct example *example = &examples[example_count];
        char *path = arena_format(arena, "examples/%s", course->order[example_count].text);
        example->diags = diags_new(arena);
        example->lesson = read_lesson(arena, read_file(path), context, example->diags);
        ck_assert_ptr_nonnull(example->lesson);
        example->score = build_score(example->lesson, example->diags);
        check_score(example->score, example->diags);
        play_check(example->score, &(struct play_options){.at = 0}, example->diags);
        diags_regrade(example->diags, course_of(context)->strictness);
    }
}

static void free_examples(void)
{
    arena_free(arena);
}

static void assert_no_complaint(const struct diags *diags)
{
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        ck_assert_msg(diag->severity == DIAG_SEVERITY_NOTE, "%s:%u:%u: %s [%s]", diag->at.file,
                      diag->at.line, diag->at.column, diag->message, diag_word(diag->code));
    }
}

START_TEST(the_course_file_is_read)
{
    assert_no_complaint(course_diags);
    ck_assert_uint_ge(example_count, LESSONS_MIN);
}
END_TEST

START_TEST(every_lesson_is_read_built_and_checked)
{
    for (size_t i = 0; i < example_count; i++)
        assert_no_complaint(examples[i].diags);
}
END_TEST

/* ---- arithmetic ---------------------------------------------------------------------------- */

/* A stroke of the feet alone, under a note of the left hand's own line that lasts until `end`. */
static bool is_under_a_note(const struct score_bar *bar, const struct leaf *leaf,
                            struct fraction end)
{
    bool feet = leaf->note && leaf->note->hit_count;
    for (size_t i = 0; feet && i < leaf->note->hit_count; i++)
        feet = leaf->note->hits[i].limb == LIMB_RIGHT_FOOT ||
               leaf->note->hits[i].limb == LIMB_LEFT_FOOT;
    return feet && bar->hands_apart && fraction_compare(leaf->onset, end) < 0;
}

static void assert_line_adds_up(const struct score_line *line, const struct score_bar *bar)
{
    if (line->leaf_count == 0)
        return;
    struct fraction at = bar->start;
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (line == &bar->lines[LINE_FEET] && i && is_under_a_note(bar, leaf, at)) {
            ck_assert(fraction_compare(leaf[-1].onset, leaf->onset) < 0);
            continue;
        }
        ck_assert_msg(fraction_equal(leaf->onset, at), "%s:%u: a gap before leaf %u", bar->at.file,
                      bar->at.line, i);
        at = fraction_add(at, leaf->length);
    }
    ck_assert_msg(fraction_equal(at, meter_length(bar->meter)), "%s:%u: the bar ends elsewhere",
                  bar->at.file, bar->at.line);
}

START_TEST(every_bar_adds_up_to_its_meter)
{
    size_t bars = 0;
    for (size_t i = 0; i < example_count; i++)
        for (size_t e = 0; e < examples[i].score->exercise_count; e++) {
            const struct score_exercise *exercise = &examples[i].score->exercises[e];
            for (size_t b = 0; b < exercise->bar_count; b++, bars++)
                for (int line = 0; line < LINE_COUNT; line++)
                    assert_line_adds_up(&exercise->bars[b].lines[line], &exercise->bars[b]);
        }
    ck_assert_uint_gt(bars, 100);
}
END_TEST

/* ---- what is used -------------------------------------------------------------------------- */

/* Every construct that has no table of its own elsewhere. */
/* clang-format off */
#define CONSTRUCTS(X) \
    X("sticking: beat boundary") X("sticking: right") X("sticking: left") \
    X("sticking: both") X("sticking: kick") X("sticking: hi-hat foot") X("sticking: empty slot") X("sticking: flam") \
    X("sticking: drag") X("sticking: ruff") X("sticking: a rudiment by name") \
    X("sticking: a pattern by name") X("rhythm: beat boundary") X("rhythm: rest") \
    X("rhythm: dot") X("rhythm: two dots") X("rhythm: tie") \
    X("rhythm: tuplet") X("rhythm: tuplet in a tuplet") X("address: on the beat") \
    X("address: spoken") X("address: bar in front") X("address: range") \
    X("address: each beat") X("address: each spoken") X("address: each N strokes") \
    X("address: subdivision") X("address: one entry a bar") X("address: several") \
    X("voices: beat boundary") X("voices: two at once") X("voicing: voice") \
    X("voicing: rest") X("voicing: flam") X("voicing: drag") \
    X("voicing: ruff") X("play: a list") X("tempo: one") \
    X("tempo: range") X("tempo: list") X("tempo: own beat unit") X("tempo: fraction") \
    X("tempo: dotted beat unit") X("subdivision: one a beat") X("swing") \
    X("straight") X("meter: x/2") X("meter: x/4") \
    X("meter: x/8") X("meter: x/16") X("meter: additive") \
    X("meter: compound") X("meter: changes inside an exercise") X("show: no sticking") \
    X("show: no key") X("show: no ladder") X("show: ladder") \
    X("show: plan") X("show: feet-rests") X("show: no bar-numbers") X("show: form names") X("show: form bars") X("show: tuplet-numbers first") X("show: tempo once") X("show: counts notes") \
    X("show: counts grid") X("show: counts off") X("lead: right") \
    X("lead: left") X("lead: both") X("handed: right") X("handed: left") X("stems: split") \
    X("stems: up") X("beams: level") X("beams: sloped") \
    X("page: a4") X("page: letter") X("page: bars-per-line") X("page: two columns") \
    X("page: one staff line") X("page: five staff lines") X("page: staff lines auto") \
    X("bars: number") X("bars: resolve") X("bars: list") \
    X("pickup") X("endings") X("an ending of two passes") \
    X("sequence") X("sequence: step repeated") X("repeat: exercise") \
    X("repeat: bar") X("dynamics") X("pulse") X("feet: rhythm") \
    X("feet: subdivision") X("left") X("kit: left-handed") X("kit: own voice") \
    X("kit: short name") X("level: beginner") X("level: intermediate") \
    X("level: advanced") X("level: own")
/* clang-format on */

static struct {
    const char *name;
    bool used;
} constructs[] = {
#define CONSTRUCT(name) {name, false},
    CONSTRUCTS(CONSTRUCT)
#undef CONSTRUCT
};
enum { CONSTRUCT_COUNT = sizeof constructs / sizeof *constructs };

static bool subdivisions_used[SUBDIVISION_COUNT];
static bool voices_used[VOICE_BUILTIN_COUNT];
static mark_set sticking_marks, voicing_marks;
static unsigned values_used; /* bit n: the note value 1/2^n */

static void use_if(bool used, const char *name)
{
    for (int i = 0; i < CONSTRUCT_COUNT; i++)
        if (strcmp(constructs[i].name, name) == 0) {
            constructs[i].used |= used;
            return;
        }
    ck_abort_msg("'%s' is not in the table", name);
}

static void use_strokes(const struct stroke_line *line)
{
    /* A hand still to be chosen is for a draft, not for a course. */
    static const char *const hands[HANDS] = {
        [HAND_NONE] = "sticking: empty slot", [HAND_RIGHT] = "sticking: right",
        [HAND_LEFT] = "sticking: left",       [HAND_BOTH] = "sticking: both",
        [HAND_KICK] = "sticking: kick",       [HAND_HAT] = "sticking: hi-hat foot"};
    static const char *const graces[] = {NULL, "sticking: flam", "sticking: drag",
                                         "sticking: ruff"};
    if (!line)
        return;
    use_if(line->boundary_count > 0, "sticking: beat boundary");
    if (line->name)
        use_if(true, rudiment_find(line->name, strlen(line->name)) ? "sticking: a rudiment by name"
                                                                   : "sticking: a pattern by name");
    for (size_t i = 0; i < line->count; i++) {
        const struct stroke *stroke = &line->strokes[i];
        if (stroke->hand != HAND_OPEN)
            use_if(true, hands[stroke->hand]);
        sticking_marks |= stroke->marks;
        if (stroke->grace_count >= 1 && stroke->grace_count <= 3)
            use_if(true, graces[stroke->grace_count]);
    }
}

static void use_rhythm(const struct rhythm_line *line)
{
    int depth = 0;
    if (!line)
        return;
    use_if(line->boundary_count > 0, "rhythm: beat boundary");
    for (size_t i = 0; i < line->count; i++) {
        const struct rhythm_item *item = &line->items[i];
        if (item->kind == RHYTHM_TUPLET_OPEN)
            use_if(true, depth++ ? "rhythm: tuplet in a tuplet" : "rhythm: tuplet");
        else if (item->kind == RHYTHM_TUPLET_CLOSE)
            depth--;
        else {
            values_used |= 1u << item->value_log2;
            use_if(item->kind == RHYTHM_REST, "rhythm: rest");
            use_if(item->dots == 1, "rhythm: dot");
            use_if(item->dots == 2, "rhythm: two dots");
            use_if(item->tied, "rhythm: tie");
        }
    }
}

static void use_addresses(const struct address_list *list)
{
    use_if(list->count > 1, "address: several");
    for (size_t i = 0; i < list->count; i++) {
        const struct address *address = &list->items[i];
        switch (address->kind) {
        case ADDRESS_SLOT:
            use_if(*address->spoken == '\0', "address: on the beat");
            use_if(*address->spoken != '\0', "address: spoken");
            use_if(address->to_beat != 0, "address: range");
            break;
        case ADDRESS_EACH_BEAT:
            use_if(true, "address: each beat");
            break;
        case ADDRESS_EACH_SPOKEN:
            use_if(true, "address: each spoken");
            break;
        case ADDRESS_EACH_STROKES:
            use_if(true, "address: each N strokes");
            break;
        case ADDRESS_SUBDIVISION:
            use_if(true, "address: subdivision");
            break;
        }
        use_if(address->bar != 0, "address: bar in front");
    }
}

static void use_address_bars(const struct address_bars *key)
{
    use_if(key->by_bar, "address: one entry a bar");
    for (size_t i = 0; i < key->count; i++)
        use_addresses(&key->bars[i]);
}

static void use_voicing(const struct voicing *voicing)
{
    static const char *const graces[] = {NULL, "voicing: flam", "voicing: drag", "voicing: ruff"};
    use_if(voicing->voice_count > 0, "voicing: voice");
    use_if(voicing->voice_count > 1, "voices: two at once");
    use_if(voicing->rest, "voicing: rest");
    if (voicing->graces >= 1 && voicing->graces <= 3)
        use_if(true, graces[voicing->graces]);
    voicing_marks |= voicing->marks;
}

static void use_voices(const struct voicing_line *line)
{
    if (!line)
        return;
    use_if(line->boundary_count > 0, "voices: beat boundary");
    for (size_t i = 0; i < line->count; i++)
        use_voicing(&line->items[i]);
}

static void use_play(const struct play *play)
{
    for (int limb = 0; play && limb < LIMB_COUNT; limb++) {
        use_if(play->limbs[limb].count > 1, "play: a list");
        use_voices(&play->limbs[limb]);
    }
}

static void use_at(const struct at_map *map)
{
    for (size_t i = 0; i < map->count; i++) {
        use_addresses(&map->entries[i].where);
        use_voicing(&map->entries[i].what);
    }
}

static void use_dynamics(const struct dynamics *dynamics)
{
    use_if(dynamics->count > 0, "dynamics");
    for (size_t i = 0; i < dynamics->count; i++)
        use_addresses(&dynamics->entries[i].where);
}

static void use_subdivisions(const struct subdivisions *subdivisions)
{
    if (!subdivisions)
        return;
    use_if(subdivisions->count > 1, "subdivision: one a beat");
    for (size_t i = 0; i < subdivisions->count; i++)
        subdivisions_used[subdivisions->items[i]] = true;
}

static void use_feet(const struct limb_line *feet)
{
    if (!feet)
        return;
    use_if(feet->rhythm != NULL, "feet: rhythm");
    use_if(feet->subdivisions != NULL, "feet: subdivision");
    use_rhythm(feet->rhythm);
    use_subdivisions(feet->subdivisions);
    use_strokes(feet->sticking);
    use_play(feet->play);
}

static void use_tempo(const struct tempo *tempo)
{
    if (!tempo)
        return;
    use_if(tempo->count == 1, "tempo: one");
    use_if(tempo->range, "tempo: range");
    for (size_t i = 0; i < tempo->count; i++)
        use_if(tempo->hundredths[i] % TEMPO_ONE, "tempo: fraction");
    use_if(!tempo->range && tempo->count > 1, "tempo: list");
    use_if(tempo->unit_log2 != 0xFF, "tempo: own beat unit");
    use_if(tempo->unit_log2 != 0xFF && tempo->unit_dots, "tempo: dotted beat unit");
}

static void use_meter(const struct meter *meter)
{
    static const char *const units[] = {NULL, NULL, "meter: x/2", NULL, "meter: x/4"};
    struct beat beats[METER_BEATS_MAX];
    size_t count = meter_beats(meter, beats);
    if (meter->unit == 2 || meter->unit == 4)
        use_if(true, units[meter->unit]);
    use_if(meter->unit == 8, "meter: x/8");
    use_if(meter->unit == 16, "meter: x/16");
    use_if(meter->group_count > 1, "meter: additive");
    for (size_t i = 0; i < count; i++)
        use_if(beats[i].kind == BEAT_COMPOUND, "meter: compound");
}

static void use_show(const struct show *show)
{
    use_if(!show->sticking, "show: no sticking");
    use_if(!show->key, "show: no key");
    use_if(show->ladder, "show: ladder");
    use_if(!show->ladder, "show: no ladder");
    use_if(show->plan, "show: plan");
    use_if(show->feet_rests, "show: feet-rests");
    use_if(!show->bar_numbers, "show: no bar-numbers");
    use_if(show->form == SHOW_FORM_NAMES, "show: form names");
    use_if(show->form == SHOW_FORM_BARS, "show: form bars");
    use_if(show->tempo == SHOW_TEMPO_ONCE, "show: tempo once");
    use_if(show->tuplet_numbers_first, "show: tuplet-numbers first");
    use_if(show->counts == SHOW_COUNTS_NOTES, "show: counts notes");
    use_if(show->counts == SHOW_COUNTS_GRID, "show: counts grid");
    use_if(show->counts == SHOW_COUNTS_OFF, "show: counts off");
}

static void use_page(const struct page_settings *page)
{
    use_if(page->size == PAGE_A4, "page: a4");
    use_if(page->size == PAGE_LETTER, "page: letter");
    use_if(page->two_columns, "page: two columns");
    use_if(page->bars_per_line > 0, "page: bars-per-line");
    use_if(page->staff_lines == STAFF_LINES_1, "page: one staff line");
    use_if(page->staff_lines == STAFF_LINES_5, "page: five staff lines");
    use_if(page->staff_lines == STAFF_LINES_AUTO, "page: staff lines auto");
}

static void use_level(const char *level)
{
    static const char *const names[] = {"level: beginner", "level: intermediate",
                                        "level: advanced"};
    bool known = false;
    for (int i = 0; i < 3; i++)
        if (level && strcmp(level, names[i] + strlen("level: ")) == 0) {
            use_if(true, names[i]);
            known = true;
        }
    use_if(level && !known, "level: own");
}

static void use_settings(const struct settings *settings)
{
    use_meter(settings->meter);
    use_tempo(settings->tempo);
    use_subdivisions(settings->subdivisions);
    use_strokes(settings->sticking);
    use_play(settings->play);
    use_show(settings->show);
    use_page(settings->page);
    use_level(settings->level.text);
    bool straight = fraction_equal(settings->swing, fraction_make(1, 2));
    use_if(straight && settings->swing_at.file, "straight");
    use_if(!straight, "swing");
    use_if(settings->handed == HANDED_RIGHT, "handed: right");
    use_if(settings->handed == HANDED_LEFT, "handed: left");
    use_if(settings->lead == LEAD_RIGHT, "lead: right");
    use_if(settings->lead == LEAD_LEFT, "lead: left");
    use_if(settings->lead == LEAD_BOTH, "lead: both");
    use_if(settings->stems == STEMS_SPLIT, "stems: split");
    use_if(settings->stems == STEMS_UP, "stems: up");
    use_if(settings->beams == BEAMS_LEVEL, "beams: level");
    use_if(settings->beams == BEAMS_SLOPED, "beams: sloped");
}

static void use_keyed(const struct keyed_voices *keyed)
{
    for (size_t i = 0; keyed && i < keyed->count; i++)
        use_address_bars(&keyed->items[i].counts);
}

static void use_bar(const struct lesson_bar *bar)
{
    use_settings(bar->settings);
    use_rhythm(bar->rhythm);
    use_strokes(bar->sticking);
    use_voices(bar->voices);
    use_at(&bar->at_counts);
    use_address_bars(&bar->accents);
    use_address_bars(&bar->ghosts);
    use_keyed(bar->keyed);
    use_feet(bar->feet);
    use_if(bar->left != NULL, "left");
    use_dynamics(&bar->dynamics);
    use_if(bar->pulse, "pulse");
    use_if(bar->plays > 0, "repeat: bar");
}

static void use_form(const struct exercise *exercise)
{
    use_if(exercise->bars_kind == BARS_NUMBER && exercise->bar_number > 1, "bars: number");
    use_if(exercise->bars_kind == BARS_RESOLVE, "bars: resolve");
    use_if(exercise->bars_kind == BARS_LIST, "bars: list");
    use_if(exercise->plays > 0, "repeat: exercise");
    use_if(exercise->pickup != NULL, "pickup");
    if (exercise->pickup)
        use_bar(exercise->pickup);
    use_if(exercise->ending_count > 0, "endings");
    for (size_t i = 0; i < exercise->ending_count; i++) {
        use_if(exercise->endings[i].pass_count > 1, "an ending of two passes");
        for (size_t b = 0; b < exercise->endings[i].bar_count; b++)
            use_bar(&exercise->endings[i].bars[b]);
    }
    use_if(exercise->sequence_count > 0, "sequence");
    for (size_t i = 0; i < exercise->sequence_count; i++)
        use_if(exercise->sequence[i].times > 1, "sequence: step repeated");
}

static void use_exercise(const struct exercise *exercise)
{
    use_settings(&exercise->settings);
    use_voices(exercise->voices);
    use_at(&exercise->at_counts);
    use_address_bars(&exercise->accents);
    use_address_bars(&exercise->ghosts);
    use_keyed(exercise->settings.keyed);
    use_feet(exercise->feet);
    use_dynamics(&exercise->dynamics);
    use_form(exercise);
    for (size_t b = 0; b < exercise->bar_count; b++) {
        use_bar(&exercise->bars[b]);
        use_if(b > 0 && !meter_equal(exercise->bars[b].settings->meter,
                                     exercise->bars[b - 1].settings->meter),
               "meter: changes inside an exercise");
    }
}

static void use_example(const struct example *example)
{
    const struct lesson *lesson = example->lesson;
    use_settings(&lesson->settings);
    use_if(lesson->kit.left_handed, "kit: left-handed");
    use_if(lesson->kit.voice_count > VOICE_BUILTIN_COUNT, "kit: own voice");
    use_if(lesson->kit.short_count > 0, "kit: short name");
    for (size_t v = 0; v < VOICE_BUILTIN_COUNT; v++)
        voices_used[v] |= example->score->voices_used[v];
    for (size_t e = 0; e < lesson->exercise_count; e++)
        use_exercise(&lesson->exercises[e]);
}

static void use_all_examples(void)
{
    for (size_t i = 0; i < example_count; i++)
        use_example(&examples[i]);
}

/* ---- keys ------------------------------------------------------------------------------------ */

enum { KEYS_MAX = 256 };

static struct {
    struct known_key key;
    bool used;
} keys[KEYS_MAX];
static size_t key_count;

static void list_keys(void)
{
    while (key_count < KEYS_MAX && read_known_key(key_count, &keys[key_count].key))
        key_count++;
    ck_assert_uint_lt(key_count, KEYS_MAX);
}

static void use_key(const struct lesson_key *key)
{
    for (size_t i = 0; i < key_count; i++)
        if (strcmp(keys[i].key.name, key->name) == 0 && strcmp(keys[i].key.level, key->level) == 0)
            keys[i].used = true;
}

static void use_keys_of_file(const char *path, const char *level)
{
    struct read_source source = read_file(path);
    each_key(source.bytes, source.length, level, use_key);
}

START_TEST(every_key_is_used_at_every_level)
{
    struct buffer missing = {0};
    list_keys();
    use_keys_of_file("examples/course.yaml", "a course file");
    for (size_t i = 0; i < example_count; i++)
        use_keys_of_file(examples[i].lesson->file, "a lesson");
    for (size_t i = 0; i < key_count; i++)
        if (!keys[i].used)
            buffer_format(&missing, "\n  '%s' in %s", keys[i].key.name, keys[i].key.level);
    ck_assert_uint_gt(key_count, 100);
    ck_assert_msg(missing.length == 0, "not used by any example:%s", buffer_text(&missing));
    buffer_release(&missing);
}
END_TEST

START_TEST(every_construct_is_used)
{
    struct buffer missing = {0};
    use_all_examples();
    for (int i = 0; i < CONSTRUCT_COUNT; i++)
        if (!constructs[i].used)
            buffer_format(&missing, "\n  %s", constructs[i].name);
    ck_assert_msg(missing.length == 0, "not used by any example:%s", buffer_text(&missing));
    buffer_release(&missing);
}
END_TEST

START_TEST(every_subdivision_is_used)
{
    use_all_examples();
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        ck_assert_msg(subdivisions_used[i], "not used: %s", subdivision_name((enum subdivision)i));
}
END_TEST

START_TEST(every_voice_is_used)
{
    use_all_examples();
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++)
        ck_assert_msg(voices_used[i], "not used: %s", voice_builtin((enum voice_builtin)i)->name);
}
END_TEST

START_TEST(every_stroke_mark_is_used)
{
    use_all_examples();
    for (int i = 0; i < MARK_COUNT; i++) {
        const struct stroke_mark *mark = &stroke_marks[i];
        ck_assert_msg(!(MARKS_IN_STROKES & mark->bit) || sticking_marks & mark->bit,
                      "no sticking has the sign for '%s'", mark->spoken);
        ck_assert_msg(!(MARKS_IN_WORDS & mark->bit) || voicing_marks & mark->bit,
                      "no voice has the word '%s'", mark->word);
    }
}
END_TEST

START_TEST(every_note_value_is_used)
{
    use_all_examples();
    ck_assert_uint_eq(values_used, (1u << 7) - 1); /* whole note to sixty-fourth */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("examples");
    TCase *tests = tcase_create("course");
    tcase_add_checked_fixture(tests, read_examples, free_examples);
    tcase_add_test(tests, the_course_file_is_read);
    tcase_add_test(tests, every_lesson_is_read_built_and_checked);
    tcase_add_test(tests, every_bar_adds_up_to_its_meter);
    tcase_add_test(tests, every_key_is_used_at_every_level);
    tcase_add_test(tests, every_construct_is_used);
    tcase_add_test(tests, every_subdivision_is_used);
    tcase_add_test(tests, every_voice_is_used);
    tcase_add_test(tests, every_stroke_mark_is_used);
    tcase_add_test(tests, every_note_value_is_used);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
