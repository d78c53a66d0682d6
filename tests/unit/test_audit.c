/* The audit catches each planted fault. */
#include "audit.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <string.h>

/* ---- planted faults ----------------------------------------------------------------------- */

static const char lesson_text[] = "title: A good page\n"
                                  "exercises:\n"
                                  "  - title: On the kit\n"
                                  "    subdivision: [eighth triplets, sixteenths]\n"
                                  "    sticking: RLLRRLR\n"
                                  "    accents: each beat\n"
                                  "    kick: 1 3\n"
                                  "    dynamics: {1: p, 2: cresc, 4: mf}\n"
                                  "    bars: 7\n";

static const char chart_text[] = "title: A good chart\n"
                                 "subtitle: And back\n"
                                 "exercises:\n"
                                 "  - title: There and back\n"
                                 "    hi-hat: eighths\n"
                                 "    snare: 2 4\n"
                                 "    bars:\n"
                                 "      - {mark: A, segno: yes}\n"
                                 "      - {to: coda}\n"
                                 "      - {mark: B, jump: D.S. al coda}\n"
                                 "      - {coda: yes, words: Softly}\n"
                                 "  - title: Endings\n"
                                 "    subdivision: quarters\n"
                                 "    sticking: RL\n"
                                 "    bars: [{}]\n"
                                 "    endings: {1: [{}], 2: [{}]}\n"
                                 "  - title: Repeats\n"
                                 "    text: Twice.\n"
                                 "    subdivision: quarters\n"
                                 "    sticking: RL\n"
                                 "    bars: [{repeat: 2}, {}, {repeat: 4}]\n"
                                 "  - title: Again\n"
                                 "    subdivision: quarters\n"
                                 "    sticking: RL\n"
                                 "    bars: [{}, {same: 1, times: 9}]\n"
                                 "  - title: Graces\n"
                                 "    text: Small notes first.\n"
                                 "    lead: both\n"
                                 "    repeat: 3\n"
                                 "    subdivision: quarters\n"
                                 "    sticking: lR (L) R L\n";
/* Tuplets that cross beats, nest, have rests and share beams; rests of all kinds; a tied roll. */
static const char rhythm_text[] = "title: Beams and rests\n"
                                  "exercises:\n"
                                  "  - title: Tuplets\n"
                                  "    bars:\n"
                                  "      - rhythm: 5:4(8*5) | 3(16*3) 8 | 3(_8 4)\n"
                                  "        sticking: RLRLR | LRL R | R\n"
                                  "      - rhythm: 3(4 3(8*3) 4) | 3(8*3) | 16*4\n"
                                  "        sticking: R LRL R | LRL | RLRL\n"
                                  "  - title: Rests\n"
                                  "    bars:\n"
                                  "      - {rhythm: 4 8 _8 _4 4, sticking: R L R}\n"
                                  "      - {rhythm: _1}\n"
                                  "      - {rhythm: _4 4 2, sticking: R L, kick: 1}\n"
                                  "      - {rhythm: 2+4 4, sticking: R///+ L, roll: 9}\n"
                                  "      - {rhythm: 4 4 2, sticking: R L R, kick: 1 2& 3}\n";

/* A page that may be spoilt: copies of all that the layout owns. */
static struct set_lesson set;
static struct page page;
static struct page_system systems[16];

static struct outlines *outlines; /* NULL: plain metrics */

static void open_page(const char *text, bool faces)
{
    outlines = faces ? outlines_open("fonts/Ratamark.otf") : NULL;
    set_lesson_open(&set, "good.yaml", text, strlen(text), NULL, faces);
    ck_assert_ptr_nonnull(set.layout);
    const struct page *good = layout_page(set.layout, 1);
    page = *good;
    ck_assert_uint_ge(page.system_count, 2);
    ck_assert_uint_le(page.system_count, 16);
    page.marks = memory_alloc(page.mark_count * sizeof *page.marks);
    memcpy(page.marks, good->marks, page.mark_count * sizeof *page.marks);
    memcpy(systems, good->systems, page.system_count * sizeof *systems);
    page.systems = systems;
    for (size_t i = 0; i < page.system_count; i++) {
        size_t bytes = (systems[i].column_count + 1) * sizeof *systems[i].columns;
        systems[i].columns = memory_alloc(bytes);
        memcpy(systems[i].columns, good->systems[i].columns, bytes - sizeof *systems[i].columns);
    }
}

static void setup(void)
{
    open_page(lesson_text, false);
}

static void setup_rhythm(void)
{
    open_page(rhythm_text, false);
}

static void setup_faces(void)
{
    open_page(lesson_text, true);
}

static void setup_chart(void)
{
    open_page(chart_text, false);
}

static void teardown(void)
{
    for (size_t i = 0; i < page.system_count; i++)
        memory_free(systems[i].columns);
    memory_free(page.marks);
    outlines_close(outlines);
    set_lesson_close(&set);
}

static size_t found(int rule)
{
    struct audit audit = {0};
    audit_page(&page, &(struct audit_of){set.score, &set.metrics, outlines}, &audit);
    size_t count = rule ? audit.found[rule] : audit_total(&audit);
    audit_release(&audit);
    return count;
}

/* Whether the audit reports this about the page. */
static bool told(const char *finding)
{
    struct audit audit = {0};
    audit_page(&page, &(struct audit_of){set.score, &set.metrics, outlines}, &audit);
    bool found = audit_total(&audit) && strstr(buffer_text(&audit.report), finding);
    audit_release(&audit);
    return found;
}

/* The `skip`-th mark of a role. */
static struct mark *mark_of(enum mark_role role, size_t skip)
{
    for (size_t i = 0; i < page.mark_count; i++)
        if (page.marks[i].role == role && skip-- == 0)
            return &page.marks[i];
    ck_abort_msg("no %s", mark_role_word(role));
    return NULL;
}

static void move(struct mark *mark, sp x, sp y)
{
    mark->box.left += x;
    mark->box.right += x;
    mark->box.top += y;
    mark->box.bottom += y;
    mark->as.at.x += x;
    mark->as.at.y += y;
}

/* Out of sight, as if it had never been drawn. */
static void take_away(struct mark *mark)
{
    *mark = page.marks[--page.mark_count];
    for (size_t i = 0; i < page.system_count; i++)
        if (systems[i].first_mark + systems[i].mark_count > page.mark_count)
            systems[i].mark_count = page.mark_count - systems[i].first_mark;
}

START_TEST(a_good_page_has_no_fault)
{
    ck_assert_uint_eq(found(0), 0);
}
END_TEST

START_TEST(an_accent_on_its_head_touches)
{
    struct mark *accent = mark_of(ROLE_ACCENT, 0), *head = mark_of(ROLE_HEAD, 0);
    move(accent, 0, head->box.top - accent->box.top);
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(neighbouring_letters_touch)
{
    struct mark *first = mark_of(ROLE_STICKING, 0), *second = mark_of(ROLE_STICKING, 1);
    first->box.right = second->box.left + 50;
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(neighbouring_dynamics_touch)
{
    struct mark *first = mark_of(ROLE_DYNAMIC, 0), *second = mark_of(ROLE_DYNAMIC, 1);
    move(second, first->box.left - second->box.left + 300, 0);
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(a_hairpin_runs_into_its_dynamic)
{
    struct mark *hairpin = mark_of(ROLE_HAIRPIN, 0), *sign = mark_of(ROLE_DYNAMIC, 1);
    move(sign, hairpin->box.left - sign->box.left, 0);
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(two_hairpins_cross)
{
    struct mark *first = mark_of(ROLE_HAIRPIN, 0), *second = mark_of(ROLE_HAIRPIN, 2);
    second->box = first->box;
    second->as = first->as;
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(a_letter_off_its_head)
{
    move(mark_of(ROLE_STICKING, 3), 60, 0);
    ck_assert_uint_eq(found(2), 1);
}
END_TEST

START_TEST(a_letter_off_its_row)
{
    move(mark_of(ROLE_STICKING, 3), 0, -60);
    ck_assert_uint_eq(found(2), 1);
}
END_TEST

START_TEST(a_syllable_off_its_head_and_row)
{
    move(mark_of(ROLE_SYLLABLE, 2), 60, 60);
    ck_assert_uint_eq(found(2), 2);
}
END_TEST

START_TEST(a_column_out_of_step)
{
    size_t first = 0;
    while (systems[0].columns[first].pushed || systems[0].columns[first + 1].pushed)
        first++;
    systems[0].columns[first + 1].x += 30;
    ck_assert_uint_gt(found(3), 0);
}
END_TEST

START_TEST(a_system_short_of_its_margin)
{
    systems[0].right -= 20;
    ck_assert_uint_gt(found(4), 0);
}
END_TEST

START_TEST(a_bar_line_short_of_its_staff)
{
    struct mark *last = NULL;
    for (size_t i = 0; i < systems[0].mark_count; i++) {
        struct mark *mark = &page.marks[systems[0].first_mark + i];
        if (mark->role == ROLE_BAR_LINE && (!last || mark->box.right > last->box.right))
            last = mark;
    }
    move(last, -20, 0);
    ck_assert_uint_gt(found(4), 0);
}
END_TEST

START_TEST(a_first_line_left_ragged)
{
    systems[0].ragged = true;
    ck_assert_uint_gt(found(16), 0);
}
END_TEST

/* As if each note had twice the room: the columns of a line, and where it begins. */
START_TEST(a_line_stretched_too_far)
{
    struct page_system *system = &systems[0];
    for (size_t i = system->column_count; i-- > 0;)
        system->columns[i].x += system->columns[i].x - system->columns[0].x;
    ck_assert_uint_gt(found(16), 0);
}
END_TEST

START_TEST(like_bars_divided_unlike)
{
    systems[1].bar_count = systems[0].bar_count + 2;
    ck_assert_uint_gt(found(16), 0);
}
END_TEST

START_TEST(a_beam_into_the_next_beat)
{
    struct mark *beam = mark_of(ROLE_BEAM, 0);
    beam->box.right += 8000;
    beam->as.ends.to.x += 8000;
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(a_stem_that_misses_its_beam)
{
    struct mark *stem = mark_of(ROLE_STEM, 0);
    stem->as.ends.to.y += 2000;
    stem->box.top += 2000;
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(a_beam_too_near_its_heads)
{
    struct mark *beam = mark_of(ROLE_BEAM, 0);
    move(beam, 0, 1000);
    beam->as.ends.to.y += 1000;
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(a_tuplet_without_its_number)
{
    take_away(mark_of(ROLE_TUPLET_NUMBER, 0));
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(a_note_without_its_letter)
{
    take_away(mark_of(ROLE_STICKING, 4));
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(a_note_without_its_head)
{
    take_away(mark_of(ROLE_HEAD, 4));
    ck_assert_uint_gt(found(5), 0);
}
END_TEST

START_TEST(ink_in_the_margin)
{
    mark_of(ROLE_RULE, 0)->box.left -= 20;
    ck_assert_uint_eq(found(6), 1);
}
END_TEST

START_TEST(a_heading_parted_from_its_line)
{
    systems[0].first_bar = 1;
    ck_assert_uint_gt(found(6), 0);
}
END_TEST

/* ---- bars, lines, beams, accents ---------------------------------------------------------- */

/* The first column of a bar of the first system. */
static size_t column_of_bar(uint32_t bar)
{
    size_t first = 0;
    while (systems[0].columns[first].bar != bar)
        first++;
    return first;
}

START_TEST(a_space_of_its_own_in_one_of_equal_bars)
{
    ck_assert_uint_ge(systems[0].bar_count, 2);
    for (size_t i = column_of_bar(1) + 1; i < systems[0].column_count; i++)
        systems[0].columns[i].x += 30;
    ck_assert_uint_gt(found(7), 0);
}
END_TEST

START_TEST(a_line_beside_the_line_before)
{
    ck_assert_uint_eq(systems[0].bar_count, systems[1].bar_count);
    for (size_t i = 0; i < systems[1].column_count; i++)
        systems[1].columns[i].x += 30;
    ck_assert_uint_gt(found(7), 0);
}
END_TEST

/* Moves the first beam so that its lower edge is so far below the top staff line's middle. */
static void beam_to_line(sp below)
{
    struct mark *beam = mark_of(ROLE_BEAM, 0);
    sp y = systems[0].staff_top + below - beam->box.bottom;
    move(beam, 0, y);
    beam->as.ends.to.y += y;
}

START_TEST(a_beam_that_leaves_a_wedge)
{
    beam_to_line(-60 - 80);
    ck_assert_uint_gt(found(8), 0);
}
END_TEST

START_TEST(a_beam_that_straddles_a_line_leaves_none)
{
    beam_to_line(250);
    ck_assert_uint_eq(found(8), 0);
}
END_TEST

START_TEST(an_accent_off_the_line_of_others)
{
    move(mark_of(ROLE_ACCENT, 1), 0, -100);
    ck_assert_uint_gt(found(9), 0);
}
END_TEST

START_TEST(an_accent_beside_its_stem)
{
    struct mark *accent = mark_of(ROLE_ACCENT, 0), *stem = mark_of(ROLE_STEM, 0);
    move(accent, 2000, stem->box.top + 500 - accent->box.top);
    ck_assert(told("beside its stem"));
}
END_TEST

START_TEST(a_tuplet_number_off_the_line_of_others)
{
    move(mark_of(ROLE_TUPLET_NUMBER, 1), 0, 60);
    ck_assert_uint_gt(found(9), 0);
}
END_TEST

/* ---- counts ------------------------------------------------------------------------------- */

static label_id syllable(enum text_style style, const char *text)
{
    return metrics_label(&set.metrics, style, text, strlen(text));
}

/* All counts of the page, each of which is struck. */
static void condense_counts(void)
{
    for (size_t i = 0; i < page.mark_count; i++) {
        struct mark *mark = &page.marks[i];
        if (mark->role != ROLE_SYLLABLE)
            continue;
        const char *text = set_lesson_label(&set, mark->with.label);
        bool beat = *text >= '0' && *text <= '9';
        mark->with.label = syllable(beat ? TEXT_COUNT_BEAT_TIGHT : TEXT_COUNT_TIGHT, text);
    }
}

static bool counts_are_tight(void)
{
    const struct mark *mark = mark_of(ROLE_SYLLABLE, 1);
    const char *text = set_lesson_label(&set, mark->with.label);
    return mark->with.label == syllable(TEXT_COUNT_TIGHT, text);
}

START_TEST(counts_of_two_cuts)
{
    struct mark *mark = mark_of(ROLE_SYLLABLE, 1);
    const char *text = set_lesson_label(&set, mark->with.label);
    mark->with.label = syllable(counts_are_tight() ? TEXT_COUNT : TEXT_COUNT_TIGHT, text);
    ck_assert_uint_gt(found(12), 0);
}
END_TEST

START_TEST(condensed_counts_that_have_room)
{
    ck_assert(!counts_are_tight());
    condense_counts();
    ck_assert_uint_gt(found(12), 0);
}
END_TEST

START_TEST(a_count_too_near_the_one_before)
{
    struct mark *first = mark_of(ROLE_SYLLABLE, 0), *second = mark_of(ROLE_SYLLABLE, 1);
    first->box.right = second->box.left - 200;
    ck_assert_uint_gt(found(12), 0);
}
END_TEST

/* Condensed: 450 is enough between two syllables, but not beside a beat's number. */
START_TEST(a_count_too_near_its_beats_number)
{
    condense_counts();
    struct mark *first = mark_of(ROLE_SYLLABLE, 1), *second = mark_of(ROLE_SYLLABLE, 2);
    size_t before = found(12);
    first->box.right = second->box.left - 450;
    ck_assert_uint_eq(found(12), before);
    mark_of(ROLE_SYLLABLE, 0)->box.right = first->box.left - 450;
    ck_assert_uint_eq(found(12), before + 1);
}
END_TEST

START_TEST(a_count_with_another_text)
{
    mark_of(ROLE_SYLLABLE, 1)->with.label = syllable(TEXT_COUNT, "ship");
    ck_assert_uint_gt(found(12), 0);
}
END_TEST

START_TEST(two_numbers_that_read_as_one)
{
    struct mark *first = mark_of(ROLE_STICKING, 0), *second = mark_of(ROLE_STICKING, 1);
    first->role = second->role = ROLE_ROLL_NUMBER;
    first->box.right = second->box.left - 800;
    ck_assert(told("800 before the next of its row"));
}
END_TEST

START_TEST(a_letter_too_near_the_one_before)
{
    struct mark *first = mark_of(ROLE_STICKING, 0), *second = mark_of(ROLE_STICKING, 1);
    first->box.right = second->box.left - 400;
    ck_assert_uint_eq(found(12), 1);
}
END_TEST

START_TEST(a_text_too_small_to_read)
{
    mark_of(ROLE_FOOT, 0)->scale = 850; /* of 7.9 points */
    ck_assert_uint_eq(found(12), 1);
}
END_TEST

START_TEST(a_letter_that_goes_with_a_head_beside_its_column)
{
    struct mark *letter = mark_of(ROLE_STICKING, 3);
    for (size_t i = 0; i < page.mark_count; i++)
        if (page.marks[i].role == ROLE_HEAD && page.marks[i].owner.line == letter->owner.line &&
            page.marks[i].owner.bar == letter->owner.bar &&
            page.marks[i].owner.stroke == letter->owner.stroke)
            move(&page.marks[i], 1000, 0);
    ck_assert_uint_eq(found(2), 0);
    move(letter, 1000, 0);
    ck_assert_uint_eq(found(2), 1);
}
END_TEST

static const char feet_text[] = "exercises:\n"
                                "  - subdivision: eighths\n"
                                "    sticking: RL\n"
                                "    bars: [{kick: 2 4}, {kick: 2 4}, {kick: 2 4}, {kick: 2 4},\n"
                                "           {kick: 2 4}, {kick: 2 4}, {kick: 2 4},\n"
                                "           {feet: {subdivision: quarters, sticking: RLRL}}]\n";

static void setup_feet(void)
{
    open_page(feet_text, true);
}

/* The first letter of a foot: of a bar in which only a kick is asked for. */
static struct mark *foot_letter(void)
{
    for (size_t i = 0; i < page.mark_count; i++)
        if (page.marks[i].role == ROLE_STICKING && page.marks[i].owner.line == LINE_FEET)
            return &page.marks[i];
    ck_abort_msg("no letter of a foot");
    return NULL;
}

START_TEST(a_foot_without_its_letter)
{
    ck_assert_uint_eq(foot_letter()->owner.bar, 0);
    foot_letter()->role = ROLE_WORDS;
    ck_assert_uint_eq(found(12), 1);
}
END_TEST

START_TEST(a_row_of_feet_without_its_name)
{
    mark_of(ROLE_ROW_NAME, 0)->role = ROLE_WORDS;
    ck_assert_uint_eq(found(12), 1);
}
END_TEST

START_TEST(a_missing_count)
{
    take_away(mark_of(ROLE_SYLLABLE, 1));
    ck_assert_uint_gt(found(12), 0);
}
END_TEST

/* ---- beams, tuplets and rests ------------------------------------------------------------- */

/* Takes the bracket from the tuplet whose number is the `skip`-th. */
static void brackets_away(size_t skip)
{
    struct mark_owner owner = mark_of(ROLE_TUPLET_NUMBER, skip)->owner;
    for (size_t i = page.mark_count; i-- > 0;)
        if (page.marks[i].role == ROLE_TUPLET_BRACKET &&
            memcmp(&page.marks[i].owner, &owner, sizeof owner) == 0)
            page.marks[i].role = ROLE_CLEF;
}

static void beam_set(struct mark *beam, sp left, sp right)
{
    beam->box.left = beam->as.ends.from.x = left;
    beam->box.right = beam->as.ends.to.x = right;
}

/* Five over two beats, beamed three and two. */
START_TEST(a_tuplet_beamed_in_two)
{
    struct mark *beam = mark_of(ROLE_BEAM, 0), *other = mark_of(ROLE_BEAM, 1);
    const struct mark *third = mark_of(ROLE_STEM, 2), *fourth = mark_of(ROLE_STEM, 3);
    *other = *beam;
    beam_set(beam, beam->box.left, third->box.right);
    beam_set(other, fourth->box.left, other->box.right);
    ck_assert(told("no beam joins it to its tuplet"));
}
END_TEST

START_TEST(a_number_off_the_middle_of_its_beam)
{
    move(mark_of(ROLE_TUPLET_NUMBER, 1), -590, 0);
    ck_assert(told("off the middle of its beam"));
}
END_TEST

START_TEST(a_number_without_a_bracket_over_a_part_of_a_beam)
{
    brackets_away(2);
    ck_assert(told("over a part of its beam"));
}
END_TEST

START_TEST(a_bare_number_at_a_lone_note)
{
    brackets_away(3);
    ck_assert(told("without a beam of its notes"));
}
END_TEST

START_TEST(a_bracket_that_stops_at_a_head)
{
    struct mark_owner owner = mark_of(ROLE_TUPLET_NUMBER, 3)->owner;
    for (size_t i = 0; i < page.mark_count; i++)
        if (page.marks[i].role == ROLE_TUPLET_BRACKET &&
            memcmp(&page.marks[i].owner, &owner, sizeof owner) == 0 &&
            page.marks[i].box.left > mark_of(ROLE_TUPLET_NUMBER, 3)->box.right) {
            page.marks[i].box.right -= 1000;
            page.marks[i].box.left -= 1000;
        }
    ck_assert(told("short"));
}
END_TEST

START_TEST(a_roll_that_goes_on_without_slashes)
{
    mark_of(ROLE_STEM_MARK, 1)->role = ROLE_CLEF;
    ck_assert(told("rolls on, but has no slashes"));
}
END_TEST

START_TEST(a_rest_of_a_bar_on_its_first_beat)
{
    move(mark_of(ROLE_REST, 3), -3000, 0);
    ck_assert(told("off the middle of its bar"));
}
END_TEST

START_TEST(a_rest_raised_for_nobody)
{
    move(mark_of(ROLE_REST, 2), 0, -1000);
    ck_assert(told("off the height of a rest alone"));
}
END_TEST

START_TEST(a_rest_stuck_to_its_note)
{
    struct mark *rest = mark_of(ROLE_REST, 1);
    move(rest, mark_of(ROLE_HEAD, 23)->box.right + 500 - rest->box.left, 0);
    ck_assert(told("after a note"));
}
END_TEST

START_TEST(a_rest_on_the_foot_below_it)
{
    struct mark *rest = mark_of(ROLE_REST, 4);
    move(rest, 0, 1000);
    ck_assert(told("no white to a head of the other line"));
}
END_TEST

/* The kick on the and of 2 has no hand above it. */
START_TEST(a_foot_without_the_rest_before_it)
{
    for (size_t i = 0; i < page.mark_count; i++)
        if (page.marks[i].role == ROLE_REST && page.marks[i].owner.line == LINE_FEET)
            page.marks[i].role = ROLE_CLEF;
    ck_assert(told("nothing says when 2 of the feet begins"));
}
END_TEST

/* ---- by real outlines ---------------------------------------------------------------------
 */

START_TEST(a_column_pushed_by_nothing)
{
    size_t column = 0;
    while (systems[0].columns[column].pushed || systems[0].columns[column].closes)
        column++;
    systems[0].columns[column].pushed = true;
    ck_assert_uint_gt(found(10), 0);
}
END_TEST

/* Two heads whose boxes overlap at a corner. Being round, they do not touch until they move a
 * little closer. */
START_TEST(heads_that_interlock_and_heads_that_touch)
{
    struct mark first = *mark_of(ROLE_HEAD, 0), second = *mark_of(ROLE_HEAD, 1);
    move(&second, first.box.right - second.box.left - 250, first.box.bottom - second.box.top - 200);
    ck_assert(!outlines_touch(outlines, set.metrics.defaults, &first, &second, 20));
    ck_assert(outlines_touch(NULL, set.metrics.defaults, &first, &second, 20));
    move(&second, -300, -200);
    ck_assert(outlines_touch(outlines, set.metrics.defaults, &first, &second, 20));
}
END_TEST

START_TEST(a_head_in_its_neighbours_parenthesis_touches)
{
    struct mark *head = mark_of(ROLE_HEAD, 1), *other = mark_of(ROLE_HEAD, 2);
    const struct box *ink = &set.metrics.glyphs[GLYPH_PARENTHESIS_LEFT].ink;
    other->role = ROLE_GHOST;
    other->glyph = GLYPH_PARENTHESIS_LEFT;
    other->as.at = (struct point){head->box.right - 100 - ink->left, head->as.at.y};
    other->box = (struct box){other->as.at.x + ink->left, other->as.at.y + ink->top,
                              other->as.at.x + ink->right, other->as.at.y + ink->bottom};
    ck_assert_uint_gt(found(1), 0);
}
END_TEST

START_TEST(to_coda_runs_into_the_next_letter)
{
    struct mark *coda = mark_of(ROLE_SIGN, 1), *letter = mark_of(ROLE_MARK_BOX, 1);
    move(coda, letter->box.left - coda->box.right - 800, 0);
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(a_sign_that_stands_too_high)
{
    move(mark_of(ROLE_SIGN, 2), 0, -400);
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(a_coda_inside_a_line)
{
    systems[1].first_bar--;
    systems[1].bar_count++;
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(a_letter_without_a_double_bar_line)
{
    size_t skip = 0;
    while (mark_of(ROLE_BAR_LINE, skip)->owner.bar != 1)
        skip++;
    mark_of(ROLE_BAR_LINE, skip)->role = ROLE_STEM;
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

/* The marks of an ending's bracket: its line, its last hook, its first. */
START_TEST(a_hook_beside_its_bar_line)
{
    move(mark_of(ROLE_ENDING, 1), -600, 0);
    mark_of(ROLE_ENDING, 1)->as.ends.to.x -= 600;
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(brackets_at_two_heights)
{
    mark_of(ROLE_ENDING, 0)->as.ends.from.y -= 700;
    mark_of(ROLE_ENDING, 0)->as.ends.to.y -= 700;
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(times_to_play_at_two_heights)
{
    move(mark_of(ROLE_PLAYS, 0), 0, -700);
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(times_to_play_over_an_ending)
{
    mark_of(ROLE_ENDING_LABEL, 0)->role = ROLE_PLAYS;
    ck_assert_uint_gt(found(11), 0);
}
END_TEST

START_TEST(a_line_that_begins_with_a_sign_for_the_bar_before)
{
    struct mark *sign = mark_of(ROLE_BAR_REPEAT, 0);
    ck_assert_uint_eq(sign->owner.bar, 1);
    sign->owner.bar = 0;
    ck_assert(told("a line begins with a sign for the bars before"));
}
END_TEST

START_TEST(figures_of_a_meter_that_run_together)
{
    move(mark_of(ROLE_METER, 0), 0, 150);
    ck_assert_uint_gt(found(14), 0);
}
END_TEST

START_TEST(a_grace_on_another_drum)
{
    move(mark_of(ROLE_GRACE_HEAD, 0), 0, 2000);
    ck_assert_uint_gt(found(14), 0);
}
END_TEST

START_TEST(a_slur_that_ends_before_its_head)
{
    mark_of(ROLE_GRACE_SLUR, 0)->as.ends.to.x -= 590;
    ck_assert_uint_gt(found(14), 0);
}
END_TEST

START_TEST(a_parenthesis_far_from_its_head)
{
    move(mark_of(ROLE_GHOST, 0), -100, 0);
    ck_assert_uint_gt(found(14), 0);
}
END_TEST

START_TEST(an_instruction_beside_the_title)
{
    move(mark_of(ROLE_INSTRUCTION, 0), 500, 0);
    ck_assert_uint_gt(found(15), 0);
}
END_TEST

/* Gives one of the two leads, "Graces, right lead" and "Graces, left lead", an extra title line. */
START_TEST(titles_of_two_leads_that_break_in_two_ways)
{
    mark_of(ROLE_INSTRUCTION, 1)->role = ROLE_HEADING;
    ck_assert_uint_gt(found(15), 0);
}
END_TEST

START_TEST(a_title_on_its_rule)
{
    move(mark_of(ROLE_SUBTITLE, 0), 0, 2500);
    ck_assert_uint_gt(found(15), 0);
}
END_TEST

START_TEST(times_to_play_off_the_line_of_the_text)
{
    move(mark_of(ROLE_PLAYS, 0), 0, 200);
    ck_assert(told("200 off the line of its text"));
}
END_TEST

START_TEST(times_to_play_off_those_of_the_staff_beside)
{
    move(mark_of(ROLE_PLAYS, 2), 0, -200);
    ck_assert(told("200 off that of the staff beside"));
}
END_TEST

/* ---- pages together ---------------------------------------------------------------------------
 */

/* Eight exercises of one tempo, on two pages. */
static const char two_pages_text[] = "title: Two pages\n"
                                     "tempo: 80\n"
                                     "subdivision: sixteenths\n"
                                     "sticking: RLRRL\n"
                                     "play: {R: hi-hat}\n"
                                     "exercises:\n"
                                     "  - {title: A, kick: 1, bars: 4}\n"
                                     "  - {title: B, kick: 2, bars: 4}\n"
                                     "  - {title: C, kick: 3, bars: 4}\n"
                                     "  - {title: D, kick: 4, bars: 4}\n"
                                     "  - {title: E, kick: 1, bars: 4}\n"
                                     "  - {title: F, kick: 2, bars: 4}\n"
                                     "  - {title: G, kick: 3, bars: 4}\n"
                                     "  - {title: H, kick: 4, bars: 4}\n";

static void setup_two_pages(void)
{
    open_page(two_pages_text, false);
}

/* Audits this page and the next one, as if they were filled so. */
static size_t found_on_both(struct page_fill first, struct page_fill second, sp raised)
{
    struct audit audit = {0};
    struct audit_of of = {set.score, &set.metrics, outlines};
    page.fill = first;
    audit_page(&page, &of, &audit);
    ck_assert_uint_eq(audit_total(&audit), 0);
    struct page next = *layout_page(set.layout, 2);
    next.fill = second;
    audit.before.foot -= raised;
    audit_page(&next, &of, &audit);
    size_t count = audit.found[17];
    ck_assert_uint_eq(audit_total(&audit), count);
    audit_release(&audit);
    return count;
}

START_TEST(pages_that_end_at_two_heights)
{
    struct page_fill first = page.fill, second = layout_page(set.layout, 2)->fill;
    ck_assert_uint_eq(found_on_both(first, second, 0), 0);
    first.growth = 400;
    ck_assert_uint_eq(found_on_both(first, second, 5000), 1);
}
END_TEST

START_TEST(a_bare_page_beside_a_full_one)
{
    struct page_fill full = {.used = 990, .natural = 990, .growth = 1000};
    struct page_fill bare = {.used = 600, .natural = 560, .growth = 1000};
    ck_assert_uint_eq(found_on_both(full, bare, 0), 1);
    bare = (struct page_fill){.used = 300, .natural = 250, .growth = 500};
    ck_assert_uint_eq(found_on_both(full, bare, 0), 0); /* one exercise more would not help */
}
END_TEST

START_TEST(staves_of_two_kinds)
{
    systems[1].staff_bottom = systems[1].staff_top;
    ck_assert(told("another kind of staff"));
}
END_TEST

START_TEST(a_shared_tempo_that_is_printed_again)
{
    struct mark *title = mark_of(ROLE_HEADING, 1);
    ck_assert(!told("printed again"));
    title->role = ROLE_TEMPO;
    ck_assert(told("printed again"));
}
END_TEST

START_TEST(a_key_without_a_voice)
{
    ck_assert(!told("a key of"));
    mark_of(ROLE_KEY_LABEL, 1)->role = ROLE_KEY_LINE;
    ck_assert(told("a key of 2 items for 3 looks of notes"));
}
END_TEST

static TCase *planted_on_two_pages(void)
{
    TCase *cases = tcase_create("planted faults of pages together");
    tcase_add_checked_fixture(cases, setup_two_pages, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, pages_that_end_at_two_heights);
    tcase_add_test(cases, a_bare_page_beside_a_full_one);
    tcase_add_test(cases, staves_of_two_kinds);
    tcase_add_test(cases, a_shared_tempo_that_is_printed_again);
    tcase_add_test(cases, a_key_without_a_voice);
    return cases;
}

static TCase *planted_in_a_chart(void)
{
    TCase *cases = tcase_create("planted faults in a chart");
    tcase_add_checked_fixture(cases, setup_chart, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, to_coda_runs_into_the_next_letter);
    tcase_add_test(cases, a_sign_that_stands_too_high);
    tcase_add_test(cases, a_coda_inside_a_line);
    tcase_add_test(cases, a_letter_without_a_double_bar_line);
    tcase_add_test(cases, a_hook_beside_its_bar_line);
    tcase_add_test(cases, brackets_at_two_heights);
    tcase_add_test(cases, times_to_play_at_two_heights);
    tcase_add_test(cases, times_to_play_over_an_ending);
    tcase_add_test(cases, a_line_that_begins_with_a_sign_for_the_bar_before);
    tcase_add_test(cases, figures_of_a_meter_that_run_together);
    tcase_add_test(cases, a_grace_on_another_drum);
    tcase_add_test(cases, a_slur_that_ends_before_its_head);
    tcase_add_test(cases, a_parenthesis_far_from_its_head);
    tcase_add_test(cases, an_instruction_beside_the_title);
    tcase_add_test(cases, titles_of_two_leads_that_break_in_two_ways);
    tcase_add_test(cases, a_title_on_its_rule);
    tcase_add_test(cases, times_to_play_off_the_line_of_the_text);
    tcase_add_test(cases, times_to_play_off_those_of_the_staff_beside);
    return cases;
}

static TCase *planted_cases(void)
{
    TCase *cases = tcase_create("planted faults");
    tcase_add_checked_fixture(cases, setup, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, an_accent_on_its_head_touches);
    tcase_add_test(cases, neighbouring_letters_touch);
    tcase_add_test(cases, neighbouring_dynamics_touch);
    tcase_add_test(cases, a_hairpin_runs_into_its_dynamic);
    tcase_add_test(cases, two_hairpins_cross);
    tcase_add_test(cases, a_letter_off_its_head);
    tcase_add_test(cases, a_letter_off_its_row);
    tcase_add_test(cases, a_syllable_off_its_head_and_row);
    tcase_add_test(cases, a_column_out_of_step);
    tcase_add_test(cases, a_system_short_of_its_margin);
    tcase_add_test(cases, a_bar_line_short_of_its_staff);
    tcase_add_test(cases, a_first_line_left_ragged);
    tcase_add_test(cases, a_line_stretched_too_far);
    tcase_add_test(cases, like_bars_divided_unlike);
    tcase_add_test(cases, a_beam_into_the_next_beat);
    tcase_add_test(cases, a_stem_that_misses_its_beam);
    tcase_add_test(cases, a_beam_too_near_its_heads);
    tcase_add_test(cases, a_tuplet_without_its_number);
    tcase_add_test(cases, a_note_without_its_letter);
    tcase_add_test(cases, a_note_without_its_head);
    tcase_add_test(cases, ink_in_the_margin);
    tcase_add_test(cases, a_heading_parted_from_its_line);
    tcase_add_test(cases, a_space_of_its_own_in_one_of_equal_bars);
    tcase_add_test(cases, a_line_beside_the_line_before);
    tcase_add_test(cases, a_beam_that_leaves_a_wedge);
    tcase_add_test(cases, a_beam_that_straddles_a_line_leaves_none);
    tcase_add_test(cases, an_accent_off_the_line_of_others);
    tcase_add_test(cases, an_accent_beside_its_stem);
    tcase_add_test(cases, a_tuplet_number_off_the_line_of_others);
    tcase_add_test(cases, counts_of_two_cuts);
    tcase_add_test(cases, condensed_counts_that_have_room);
    tcase_add_test(cases, a_count_too_near_the_one_before);
    tcase_add_test(cases, a_count_too_near_its_beats_number);
    tcase_add_test(cases, a_count_with_another_text);
    tcase_add_test(cases, a_missing_count);
    tcase_add_test(cases, two_numbers_that_read_as_one);
    tcase_add_test(cases, a_letter_too_near_the_one_before);
    tcase_add_test(cases, a_text_too_small_to_read);
    tcase_add_test(cases, a_letter_that_goes_with_a_head_beside_its_column);
    return cases;
}

static TCase *planted_in_rhythm(void)
{
    TCase *cases = tcase_create("planted faults of beams, tuplets and rests");
    tcase_add_checked_fixture(cases, setup_rhythm, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, a_tuplet_beamed_in_two);
    tcase_add_test(cases, a_number_off_the_middle_of_its_beam);
    tcase_add_test(cases, a_number_without_a_bracket_over_a_part_of_a_beam);
    tcase_add_test(cases, a_bare_number_at_a_lone_note);
    tcase_add_test(cases, a_bracket_that_stops_at_a_head);
    tcase_add_test(cases, a_roll_that_goes_on_without_slashes);
    tcase_add_test(cases, a_rest_of_a_bar_on_its_first_beat);
    tcase_add_test(cases, a_rest_raised_for_nobody);
    tcase_add_test(cases, a_rest_stuck_to_its_note);
    tcase_add_test(cases, a_rest_on_the_foot_below_it);
    tcase_add_test(cases, a_foot_without_the_rest_before_it);
    return cases;
}

static TCase *planted_in_faces(void)
{
    TCase *cases = tcase_create("planted faults in the real faces");
    tcase_add_checked_fixture(cases, setup_faces, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, an_accent_on_its_head_touches);
    tcase_add_test(cases, a_letter_off_its_head);
    tcase_add_test(cases, a_column_pushed_by_nothing);
    tcase_add_test(cases, heads_that_interlock_and_heads_that_touch);
    tcase_add_test(cases, a_head_in_its_neighbours_parenthesis_touches);
    return cases;
}

static TCase *planted_in_feet(void)
{
    TCase *cases = tcase_create("planted faults in the feet's row");
    tcase_add_checked_fixture(cases, setup_feet, teardown);
    tcase_add_test(cases, a_good_page_has_no_fault);
    tcase_add_test(cases, a_foot_without_its_letter);
    tcase_add_test(cases, a_row_of_feet_without_its_name);
    return cases;
}

int main(void)
{
    Suite *suite = suite_create("audit");
    suite_add_tcase(suite, planted_cases());
    suite_add_tcase(suite, planted_in_rhythm());
    suite_add_tcase(suite, planted_in_faces());
    suite_add_tcase(suite, planted_in_feet());
    suite_add_tcase(suite, planted_in_a_chart());
    suite_add_tcase(suite, planted_on_two_pages());
    return run_suite(suite);
}
