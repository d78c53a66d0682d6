/* The cover and the contents of a booklet: every line there once, in order, inside the margins,
   with its page's number and a link over it. */
#include "audit.h"
#include "base/arena.h"
#include "base/file.h"
#include "fake_metrics.h"
#include "layout/book.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LESSONS = 130, LESSON_PAGES = 3, ENTRIES_MAX = 300 };

static struct arena *arena;
static struct fake_metrics *fake;
static struct metrics metrics;
static struct page_settings paper_settings = {.margin_mm = 18, .staff_mm = 7};
static struct book_entry entries[ENTRIES_MAX];
static struct book book;
static struct book_layout *front;

/* A heading before every ninth lesson; every tenth title needs several lines. */
static void make_entries(size_t lessons)
{
    size_t count = 0;
    for (size_t i = 0; i < lessons; i++) {
        uint32_t page = (uint32_t)(i * LESSON_PAGES + 1);
        if (i % 9 == 4)
            entries[count++] = (struct book_entry){.title = arena_format(arena, "Week %zu", i),
                                                   .page = page,
                                                   .depth = 1,
                                                   .heading = true};
        const char *more = i % 10 ? "" : " that goes on and on, and has a title as long as a song";
        entries[count++] =
            (struct book_entry){.title = arena_format(arena, "Lesson %zu%s%s", i, more, more),
                                .note = i % 3 ? "beginner" : NULL,
                                .page = page,
                                .depth = i >= 4};
    }
    book = (struct book){.title = "The Wharf Lane Course",
                         .subtitle = "From mooring to regatta",
                         .author = "Wharf Lane Drum School",
                         .paper = &paper_settings,
                         .entries = entries,
                         .entry_count = count,
                         .page_count = (uint32_t)lessons * LESSON_PAGES};
}

static void begin(void)
{
    arena = arena_new();
    fake = fake_metrics_new(1.75);
    metrics = fake_metrics_of(fake);
    make_entries(LESSONS);
    front = book_layout_new(&book, &metrics);
}

static void end(void)
{
    book_layout_free(front);
    fake_metrics_free(fake);
    arena_free(arena);
}

static void expect_inside(struct book_layout *layout)
{
    for (uint32_t n = 1; n <= book_layout_page_count(layout); n++) {
        const struct page *page = book_layout_page(layout, n);
        for (size_t i = 0; i < page->mark_count; i++) {
            struct box box = page->marks[i].box;
            if (box.left < page->margin || box.top < page->margin ||
                box.right > page->width - page->margin || box.bottom > page->height - page->margin)
                ck_abort_msg("page %u: mark %zu, %s", n, i,
                             mark_role_word((enum mark_role)page->marks[i].role));
        }
    }
}

static const char *label_of(const struct mark *mark)
{
    return mark->shape == SHAPE_LABEL ? fake_label_text(fake, mark->with.label) : "";
}

START_TEST(ink_stays_inside_the_margins)
{
    expect_inside(front);
}
END_TEST

/* Titles that fill a page, or have no place to be parted; on each paper, with wide margins. */
START_TEST(texts_without_measure_stay_inside_the_margins)
{
    char words[3000], word[400];
    for (size_t i = 0; i < sizeof words - 1; i++)
        words[i] = i % 7 ? 'w' : ' ';
    memset(word, 'W', sizeof word);
    words[sizeof words - 1] = word[sizeof word - 1] = '\0';
    const char *const texts[] = {words, word, "A", ""};
    static const struct page_settings papers[] = {
        {.margin_mm = 18, .staff_mm = 7},
        {.size = PAGE_LETTER, .margin_mm = 40, .staff_mm = 7},
        {.margin_mm = 5, .staff_mm = 12},
    };
    for (size_t t = 0; t < 4; t++) {
        for (size_t p = 0; p < 3; p++) {
            for (size_t i = 0; i < book.entry_count; i++)
                entries[i] = (struct book_entry){.title = i % 3 ? texts[t] : "Between",
                                                 .note = i % 2 ? texts[t] : "beginner",
                                                 .heading = i % 7 == 0};
            book.title = book.subtitle = book.author = book.copyright = texts[t];
            book.date = "2026-09-01";
            book.paper = &papers[p];
            struct fake_metrics *sized = fake_metrics_new(papers[p].staff_mm / 4);
            struct metrics measures = fake_metrics_of(sized);
            struct book_layout *layout = book_layout_new(&book, &measures);
            expect_inside(layout);
            book_layout_free(layout);
            fake_metrics_free(sized);
        }
    }
}
END_TEST

START_TEST(no_ink_stands_on_text)
{
    for (uint32_t n = 2; n <= book_layout_page_count(front); n++) {
        const struct page *page = book_layout_page(front, n);
        for (size_t i = 0; i < page->mark_count; i++) {
            for (size_t k = 0; page->marks[i].shape == SHAPE_LABEL && k < page->mark_count; k++) {
                struct box a = page->marks[i].box, b = page->marks[k].box;
                if (i != k && a.right > b.left && b.right > a.left && a.bottom > b.top &&
                    b.bottom > a.top)
                    ck_abort_msg("page %u: '%s' and '%s'", n, label_of(&page->marks[i]),
                                 label_of(&page->marks[k]));
            }
        }
    }
}
END_TEST

START_TEST(every_line_stands_there_once_with_its_number_and_its_link)
{
    size_t entry = 0;
    uint32_t before = book_layout_page_count(front);
    for (uint32_t n = 2; n <= before; n++) {
        const struct page *page = book_layout_page(front, n);
        ck_assert_uint_gt(page->link_count, 0);
        for (size_t i = 0; i < page->link_count; i++, entry++) {
            const struct page_link *link = &page->links[i];
            ck_assert_uint_eq(link->page, entries[entry].page + before);
            char number[16];
            snprintf(number, sizeof number, "%u", link->page);
            bool title = false, numbered = false;
            for (size_t k = 0; k < page->mark_count; k++) {
                const struct mark *mark = &page->marks[k];
                bool text = mark->role == ROLE_CONTENTS || mark->role == ROLE_CONTENTS_NUMBER;
                if (!text || mark->box.top < link->box.top || mark->box.bottom > link->box.bottom)
                    continue;
                title |= strncmp(label_of(mark), entries[entry].title, strlen(label_of(mark))) == 0;
                numbered |= strcmp(label_of(mark), number) == 0;
            }
            ck_assert_msg(title && numbered, "'%s'", entries[entry].title);
        }
    }
    ck_assert_uint_eq(entry, book.entry_count);
}
END_TEST

START_TEST(a_heading_is_followed_by_a_line_on_its_page)
{
    size_t entry = 0;
    for (uint32_t n = 2; n <= book_layout_page_count(front); n++) {
        entry += book_layout_page(front, n)->link_count;
        ck_assert_msg(!entries[entry - 1].heading, "page %u ends with '%s'", n,
                      entries[entry - 1].title);
    }
}
END_TEST

START_TEST(dots_of_leaders_align)
{
    sp step = 0, at = 0;
    size_t dots = 0, uneven = 0;
    for (uint32_t n = 2; n <= book_layout_page_count(front); n++) {
        const struct page *page = book_layout_page(front, n);
        for (size_t i = 0; i < page->mark_count; i++) {
            const struct mark *mark = &page->marks[i];
            if (mark->role != ROLE_CONTENTS_LEADER)
                continue;
            if (!dots)
                at = mark->as.ends.from.x;
            else if (!step)
                step = abs(mark->as.ends.from.x - at);
            else
                uneven += abs(mark->as.ends.from.x - at) % step != 0;
            dots++;
        }
    }
    ck_assert_uint_gt(dots, 1000);
    ck_assert_uint_eq(uneven, 0);
}
END_TEST

/* The first pass lays out without knowing a page's number. */
START_TEST(how_many_pages_there_are_depends_on_no_number)
{
    uint32_t before = book_layout_page_count(front);
    for (size_t i = 0; i < book.entry_count; i++)
        entries[i].page = 0;
    book.page_count = 0;
    struct book_layout *blank = book_layout_new(&book, &metrics);
    ck_assert_uint_eq(book_layout_page_count(blank), before);
    book_layout_free(blank);
}
END_TEST

START_TEST(pages_are_numbered_on)
{
    uint32_t before = book_layout_page_count(front);
    for (uint32_t n = 1; n <= before; n++) {
        const struct page *page = book_layout_page(front, n);
        ck_assert_uint_eq(page->number, n);
        ck_assert_uint_eq(page->count, before + LESSONS * LESSON_PAGES);
    }
}
END_TEST

START_TEST(a_course_of_nothing_and_one_without_texts_have_pages_too)
{
    for (size_t lessons = 0; lessons < 2; lessons++) {
        make_entries(lessons);
        book.title = book.subtitle = book.author = NULL;
        struct book_layout *small = book_layout_new(&book, &metrics);
        for (uint32_t n = 1; n <= book_layout_page_count(small); n++)
            ck_assert_uint_gt(book_layout_page(small, n)->mark_count, 0);
        book_layout_free(small);
    }
}
END_TEST

/* Title, subtitle and author of the cover. */
START_TEST(texts_of_the_cover_that_are_cut_say_so)
{
    static char endless[4096];
    for (size_t i = 0; i + 5 < sizeof endless; i += 5)
        memcpy(endless + i, "buoy ", 5);
    make_entries(1);
    book.title = book.subtitle = book.author = endless;
    struct book_layout *cut = book_layout_new(&book, &metrics);
    const struct page *cover = book_layout_page(cut, 1);
    size_t dots = 0;
    for (size_t i = 0; i < cover->mark_count; i++)
        dots += cover->marks[i].role == ROLE_COVER &&
                strcmp(fake_label_text(fake, cover->marks[i].with.label), "…") == 0;
    ck_assert_uint_eq(dots, 3);
    expect_inside(cut);
    book_layout_free(cut);
}
END_TEST

/* Marks of a role on a page, and the text of the first. */
static size_t count_role(const struct page *page, enum mark_role role, const struct set_lesson *set,
                         const char **text)
{
    size_t count = 0;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->role != role)
            continue;
        if (!count++)
            *text = set_lesson_label(set, mark->with.label);
    }
    return count;
}

/* Its pages pass the audit as those of a sheet do; they are counted on, and a head stands over
   those that do not begin the lesson. */
START_TEST(a_lesson_is_set_as_a_part)
{
    static const char *const lessons[] = {"examples/06-six-to-the-crate.yaml",
                                          "examples/10-whispering-planks.yaml",
                                          "examples/18-regatta-night.yaml"};
    struct outlines *outlines = outlines_open("fonts/Ratamark.otf");
    for (size_t n = 0; n < 3; n++) {
        struct buffer text = {0};
        ck_assert(file_read(lessons[n], 1 << 20, &text));
        struct set_lesson set;
        set_lesson_open(&set, lessons[n], buffer_text(&text), text.length, "examples/course.yaml",
                        true);
        ck_assert_ptr_nonnull(set.layout);
        struct layout_part part = {.pages_before = 10, .page_count = 40, .head = "The booklet"};
        struct layout *layout =
            layout_new(set.score, &set.metrics, (struct layout_options){.part = &part}, set.diags);
        ck_assert_uint_ge(layout_page_count(layout), 2);
        for (uint32_t number = 1; number <= layout_page_count(layout); number++) {
            const struct page *page = layout_page(layout, number);
            struct audit audit = {0};
            audit_page(page, &(struct audit_of){set.score, &set.metrics, outlines}, &audit);
            ck_assert_msg(audit_total(&audit) == 0, "%s", buffer_text(&audit.report));
            audit_release(&audit);
            const char *head = NULL, *foot = NULL;
            ck_assert_uint_eq(count_role(page, ROLE_RUNNING_HEAD, &set, &head),
                              number == 1 ? 0 : 2);
            ck_assert_uint_ge(count_role(page, ROLE_FOOT, &set, &foot), 1);
            ck_assert(number == 1 || strcmp(head, "The booklet") == 0);
            char pages[24];
            snprintf(pages, sizeof pages, "%u of 40", number + 10);
            ck_assert_str_eq(foot, pages);
            ck_assert_uint_eq(page->number, number + 10);
        }
        layout_free(layout);
        set_lesson_close(&set);
        buffer_release(&text);
    }
    outlines_close(outlines);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("book");
    TCase *tests = tcase_create("book");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, ink_stays_inside_the_margins);
    tcase_add_test(tests, texts_without_measure_stay_inside_the_margins);
    tcase_add_test(tests, no_ink_stands_on_text);
    tcase_add_test(tests, every_line_stands_there_once_with_its_number_and_its_link);
    tcase_add_test(tests, a_heading_is_followed_by_a_line_on_its_page);
    tcase_add_test(tests, dots_of_leaders_align);
    tcase_add_test(tests, how_many_pages_there_are_depends_on_no_number);
    tcase_add_test(tests, pages_are_numbered_on);
    tcase_add_test(tests, a_course_of_nothing_and_one_without_texts_have_pages_too);
    tcase_add_test(tests, texts_of_the_cover_that_are_cut_say_so);
    tcase_add_test(tests, a_lesson_is_set_as_a_part);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
