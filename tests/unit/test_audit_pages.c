/* The audit finds nothing in the examples and in generated lessons. */
#include "audit.h"
#include "set_lesson.h"

#include "base/arena.h"
#include "base/file.h"

#include "../generate/generate.h"
#include "suite.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Each in plain metrics and in the real faces. */
enum { GENERATED = 600 };

/* A bar too wide even on the smallest staff is squeezed, or has text that is too small. The layout
 * warns of it, and the audit skips it. */
static bool too_wide(const struct set_lesson *lesson)
{
    for (size_t i = 0; i < diags_count(lesson->diags); i++)
        if (diags_get(lesson->diags, i)->code == DIAG_NOT_PRINTABLE &&
            (strstr(diags_get(lesson->diags, i)->message, "closer than") ||
             strstr(diags_get(lesson->diags, i)->message, "less than 7 points")))
            return true;
    return false;
}

static size_t too_wide_lessons, audited_pages;
static struct outlines *outlines; /* of our own face */
static bool seen[MARK_ROLE_COUNT];

static void see_roles(const struct page *page)
{
    for (size_t i = 0; i < page->mark_count; i++)
        seen[page->marks[i].role] = true;
}

/* Audits all pages of a lesson; returns false, with what is wrong printed, where there is fault. */
static bool lesson_is_clean(const char *name, const char *text, size_t length, const char *course,
                            bool faces)
{
    struct set_lesson lesson;
    struct audit audit = {0};
    struct audit_of of = {.outlines = faces ? outlines : NULL};
    set_lesson_open(&lesson, name, text, length, course, faces);
    bool set_well = lesson.layout != NULL;
    for (size_t i = 0; !set_well && i < diags_count(lesson.diags); i++) {
        const struct diag *diag = diags_get(lesson.diags, i);
        printf("%s:%u:%u: %s\n", name, diag->at.line, diag->at.column, diag->message);
    }
    bool wide = set_well && too_wide(&lesson);
    too_wide_lessons += wide;
    of.score = lesson.score;
    of.metrics = &lesson.metrics;
    for (uint32_t n = 1; set_well && !wide && n <= layout_page_count(lesson.layout); n++) {
        const struct page *page = layout_page(lesson.layout, n);
        audit_page(page, &of, &audit);
        see_roles(page);
        audited_pages++;
    }
    if (audit_total(&audit))
        printf("%s:\n%s", name, buffer_text(&audit.report));
    bool clean = set_well && audit_total(&audit) == 0;
    audit_release(&audit);
    set_lesson_close(&lesson);
    return clean;
}

static size_t audit_examples(bool faces)
{
    struct dirent **names;
    int count = scandir("examples", &names, NULL, alphasort);
    size_t audited = 0;
    ck_assert_int_gt(count, 0);
    for (int i = 0; i < count; i++) {
        const char *dot = strrchr(names[i]->d_name, '.');
        if (dot && strcmp(dot, ".yaml") == 0 && strcmp(names[i]->d_name, "course.yaml") != 0) {
            char path[512];
            struct buffer text = {0};
            snprintf(path, sizeof path, "examples/%s", names[i]->d_name);
            ck_assert(file_read(path, LESSON_BYTES_MAX, &text));
            ck_assert_msg(lesson_is_clean(path, buffer_text(&text), text.length,
                                          "examples/course.yaml", faces),
                          "%s has faults", path);
            buffer_release(&text);
            audited++;
        }
        free(names[i]);
    }
    free(names);
    return audited;
}

START_TEST(examples_are_clean)
{
    ck_assert_uint_ge(audit_examples(false), 14);
}
END_TEST

START_TEST(examples_are_clean_in_the_real_faces)
{
    ck_assert_uint_ge(audit_examples(true), 14);
}
END_TEST

/* Longer than what is kept of an exercise between the breaking of its lines and their drawing. */
START_TEST(a_very_long_exercise_is_clean)
{
    static const char text[] = "exercises:\n  - subdivision: [eighth triplets, sixteenths]\n"
                               "    sticking: RLLRRLR\n    kick: 1 3\n    bars: 400\n";
    ck_assert(lesson_is_clean("long", text, strlen(text), NULL, false));
}
END_TEST

/* A number of the environment: AUDIT_LESSONS says how many, so that `make audit` can ask for more,
   AUDIT_FIRST which seed comes first, to see one again. */
static unsigned wanted(const char *name, unsigned usual)
{
    const char *number = getenv(name);
    return number ? (unsigned)strtoul(number, NULL, 10) : usual;
}

static bool seed_is_clean(struct arena *texts, unsigned seed, bool faces, bool shown)
{
    const char *text = generate_lesson(texts, seed);
    char name[32];
    snprintf(name, sizeof name, "seed %u", seed);
    bool clean = lesson_is_clean(name, text, strlen(text), NULL, faces);
    if (!clean && shown)
        printf("%s\n", text);
    arena_reset(texts);
    return clean;
}

static void audit_generated(bool faces)
{
    size_t faulty = 0;
    unsigned count = wanted("AUDIT_LESSONS", GENERATED), first = wanted("AUDIT_FIRST", 1);
    struct arena *texts = arena_new();
    too_wide_lessons = audited_pages = 0;
    for (unsigned seed = first; seed < first + count; seed++)
        faulty += !seed_is_clean(texts, seed, faces, faulty < 3);
    arena_free(texts);
    printf("%u lessons, %zu pages, in %s: %zu with a finding, %zu too wide for a line\n", count,
           audited_pages, faces ? "the real faces" : "plain metrics", faulty, too_wide_lessons);
    fflush(stdout); /* a failing assertion leaves without it */
    ck_assert_uint_eq(faulty, 0);
    ck_assert_uint_le(too_wide_lessons, count / 20);
}

START_TEST(generated_lessons_are_clean)
{
    audit_generated(false);
}
END_TEST

/* Two of ten thousand in which a bridge over several columns had pushed one for nothing. */
START_TEST(pushes_that_became_needless_are_taken_back)
{
    static const unsigned seeds[] = {1860, 5623};
    struct arena *texts = arena_new();
    for (size_t i = 0; i < sizeof seeds / sizeof *seeds; i++)
        ck_assert(seed_is_clean(texts, seeds[i], true, true));
    arena_free(texts);
}
END_TEST

START_TEST(generated_lessons_are_clean_in_the_real_faces)
{
    audit_generated(true);
}
END_TEST

/* A plan of a kit that nobody would build: up to 40 surfaces anywhere, of any size. */
static void random_kit(unsigned seed, char *text, size_t size)
{
    static const char *const kinds[] = {"floor-tom", "china", "cowbell", "hi-hat"};
    static const char *const labels[] = {"", "tub", "low gong", "bell of the far mole",
                                         "Donaudampfschiff"};
    unsigned state = seed * 2654435761u + 1, count = 1 + seed % 40;
#define NEXT(below) ((state = state * 1664525u + 1013904223u) >> 16) % (below)
    unsigned reach = seed % 5 ? 20 + NEXT(90) : 300;
    size_t at = (size_t)snprintf(text, size, "show: [plan]\nkit:\n  handed: %s\n  voices:\n",
                                 seed % 2 ? "left" : "right");
    for (unsigned i = 0; i < count; i++) {
        unsigned x = NEXT(2 * reach), y = NEXT(2 * reach), kind = NEXT(4), label = NEXT(5);
        at += (size_t)snprintf(text + at, size - at,
                               "    v%u: {like: %s, line: 5, at: [%d, %d], size: %u, "
                               "label: v%u %s}\n",
                               i, kinds[kind], (int)x - (int)reach, (int)y - (int)reach,
                               3 + NEXT(20), i, labels[label]);
    }
#undef NEXT
    at += (size_t)snprintf(text + at, size - at,
                           "exercises:\n  - subdivision: quarters\n    bars:\n");
    for (unsigned i = 0; i < count; i++)
        at +=
            (size_t)snprintf(text + at, size - at,
                             "      - {sticking: R . . ., voices: v%u, kick: 2, hat-foot: 3}\n", i);
}

START_TEST(plans_of_random_kits_are_clean)
{
    enum { KITS = 120, TEXT = 16384 };
    static char text[TEXT];
    size_t faulty = 0;
    for (unsigned seed = 1; seed <= KITS; seed++) {
        char name[32];
        random_kit(seed, text, sizeof text);
        snprintf(name, sizeof name, "kit %u", seed);
        faulty += !lesson_is_clean(name, text, strlen(text), NULL, true);
    }
    fflush(stdout); /* a failing assertion leaves without it */
    ck_assert_uint_eq(faulty, 0);
    ck_assert(seen[ROLE_PLAN_RIM] && seen[ROLE_PLAN_PEDAL] && seen[ROLE_PLAN_LABEL]);
}
END_TEST

/* What a booklet has in addition to its lessons. */
static bool of_booklets(const char *word)
{
    return strncmp(word, "cover", 5) == 0 || strncmp(word, "contents", 8) == 0 ||
           strcmp(word, "running-head") == 0;
}

/* What the examples and some generated lessons show between them is every role of a lesson's page.
 */
START_TEST(every_role_is_audited)
{
    audit_examples(true);
    struct arena *texts = arena_new();
    size_t faulty = 0;
    for (unsigned seed = 1; seed <= 130; seed++) {
        char name[32];
        const char *text = generate_lesson(texts, seed);
        snprintf(name, sizeof name, "generated %u", seed);
        faulty += !lesson_is_clean(name, text, strlen(text), NULL, true);
    }
    arena_free(texts);
    fflush(stdout); /* a failing assertion leaves without it */
    ck_assert_uint_eq(faulty, 0);
    for (int role = 0; role < MARK_ROLE_COUNT; role++) {
        const char *word = mark_role_word((enum mark_role)role);
        ck_assert_msg(seen[role] || of_booklets(word), "no page has a %s", word);
    }
}
END_TEST

static void open_faces(void)
{
    outlines = outlines_open("fonts/Ratamark.otf");
    ck_assert_ptr_nonnull(outlines);
    set_lesson_keep_faces();
}

static void close_faces(void)
{
    outlines_close(outlines);
    set_lesson_drop_faces();
}

int main(void)
{
    Suite *suite = suite_create("audit of pages");
    TCase *pages = tcase_create("pages");
    tcase_set_timeout(pages, getenv("AUDIT_LESSONS") ? 7200 : 300);
    tcase_add_checked_fixture(pages, open_faces, close_faces);
    tcase_add_test(pages, examples_are_clean);
    tcase_add_test(pages, examples_are_clean_in_the_real_faces);
    tcase_add_test(pages, every_role_is_audited);
    tcase_add_test(pages, plans_of_random_kits_are_clean);
    tcase_add_test(pages, a_very_long_exercise_is_clean);
    tcase_add_test(pages, generated_lessons_are_clean);
    tcase_add_test(pages, pushes_that_became_needless_are_taken_back);
    tcase_add_test(pages, generated_lessons_are_clean_in_the_real_faces);
    suite_add_tcase(suite, pages);
    return run_suite(suite);
}
