#include "course/booklet.h"

#include "base/path.h"
#include "base/vector.h"
#include "course/lesson_again.h"
#include "layout/book.h"
#include "lib/alt_text.h"
#include "lib/pipeline.h"

#include <string.h>

enum {
    COURSES_DEEP = 16,
    /* The structure for screen readers is kept in memory until the end, 16 KiB a page. Longer
       booklets have none; their lessons' own sheets do. */
    TAGGED_PAGES_MOST = 256
};

/* What the first pass finds out about a lesson. */
struct part {
    const char *title; /* or the file's name */
    uint32_t first;    /* its first page; page 1 follows the contents */
    uint32_t pages;
    size_t entry, entry_count; /* its lines in the contents: headings of courses, then its own */
};

struct making {
    const struct booklet *booklet;
    struct arena *arena;
    struct book book;
    struct part *parts; /* one for each lesson of the tree */
    VECTOR(struct book_entry) entries;
    struct drawing *drawing;
    const struct score *score; /* of the lesson being drawn */
    bool set_again;            /* the current lesson by itself has another size of page */
    uint32_t pages_before;     /* in front of the first lesson */
    struct buffer *problem;
    /* While the contents are collected: the courses that the current lesson is in, outermost first.
     */
    const struct input *inside[COURSES_DEEP];
    unsigned depth;
};

static const char *copy(struct making *making, const char *text)
{
    return text ? arena_copy_text(making->arena, text, strlen(text)) : NULL;
}

/* ---- the lessons, one by one -------------------------------------------------------------- */

/* Gives a lesson that is ready for layout the course's size of page; the rest of its page stays its
   own. False if it has that size already. */
static bool take_size(const struct making *making, struct pipeline *work)
{
    const struct page_settings *own = work->lesson->settings.page;
    if (own->size == making->book.paper->size)
        return false;
    struct page_settings *page = arena_copy(work->arena, own, 1, sizeof *page);
    page->size = making->book.paper->size;
    work->lesson->settings.page = page;
    work->diags = diags_new(work->arena); /* the lesson's own sheet has reported the others */
    return true;
}

/* Lays out a lesson as a part of the booklet, calls `act`, and frees it again. */
static bool with_lesson(struct making *making, size_t number, const struct layout_part *part,
                        void (*act)(struct making *making, struct pipeline *work, size_t number))
{
    struct lesson_again again;
    lesson_again_open(&again, making->booklet->tree, number, making->booklet->handed);
    again.work.lent_faces = making->booklet->faces;
    again.work.layout_options.part = part;
    bool good = lesson_again_run(&again, STAGE_CHECK, making->problem);
    making->set_again = good && take_size(making, &again.work);
    good = good && lesson_again_run(&again, STAGE_LAYOUT, making->problem);
    if (good)
        act(making, &again.work, number);
    lesson_again_release(&again);
    return good;
}

/* ---- the first pass: counting ------------------------------------------------------------- */

/* Whether a file is in a course file's folder or below. */
static bool holds(const struct input *course, const char *path)
{
    const char *own = course->source.name;
    return strncmp(own, path, path_folder_length(own)) == 0;
}

/* The name of a course file's folder. */
static const char *folder_of(struct making *making, const struct input *course)
{
    size_t length = path_folder_length(course->source.name);
    if (!length)
        return "";
    const char *folder = arena_copy_text(making->arena, course->source.name, length - 1);
    return path_name(folder);
}

static void enter_course(struct making *making, const struct input *course, uint32_t page)
{
    const char *title = input_course_keys(course)->title.text;
    making->inside[making->depth++] = course;
    *vector_push(&making->entries, making->arena) = (struct book_entry){
        .title = title ? title : folder_of(making, course),
        .page = page,
        .depth = (uint8_t)making->depth,
        .heading = true,
    };
}

/* Whether this is the booklet's own course or one above it: it needs no heading. */
static bool holds_all(const struct course_tree *tree, const struct input *course)
{
    const struct input *whole = tree->course;
    while (whole && whole != course)
        whole = whole->course;
    return whole;
}

/* Adds a heading for each course that starts with this lesson. The tree's courses are sorted by
   path, so outer ones come first. */
static void enter_courses(struct making *making, const struct course_lesson *lesson, uint32_t page)
{
    const struct course_tree *tree = making->booklet->tree;
    struct buffer room = {0};
    const char *path = course_tree_path(tree, lesson->name, &room);
    while (making->depth && !holds(making->inside[making->depth - 1], path))
        making->depth--;
    for (size_t i = 0; i < tree->course_count; i++) {
        const struct input *course = tree->courses[i];
        bool known = holds_all(tree, course) || !holds(course, path);
        for (unsigned k = 0; k < making->depth; k++)
            known |= making->inside[k] == course;
        if (!known && making->depth < COURSES_DEEP)
            enter_course(making, course, page);
    }
    buffer_release(&room);
}

/* What only the course's size of page does to a lesson: its own sheet has not reported it. */
static void add_findings(struct making *making, const struct pipeline *work, const char *name)
{
    for (size_t i = 0; i < diags_count(work->diags); i++) {
        const struct diag *diag = diags_get(work->diags, i);
        diag_add(making->booklet->diags, diag->code, (struct place){0}, "'%s', line %u: %s", name,
                 (unsigned)diag->at.line, diag->message);
    }
}

static void count_lesson(struct making *making, struct pipeline *work, size_t number)
{
    const struct course_lesson *lesson = &making->booklet->tree->lessons[number];
    if (making->set_again) {
        ++*making->booklet->set_again;
        add_findings(making, work, lesson->name);
    }
    struct part *part = &making->parts[number];
    uint32_t page = making->book.page_count + 1;
    part->title = work->lesson->title.text ? copy(making, work->lesson->title.text)
                                           : course_lesson_word(lesson, making->arena);
    part->first = page;
    part->pages = layout_page_count(work->layout);
    part->entry = making->entries.count;
    enter_courses(making, lesson, page);
    *vector_push(&making->entries, making->arena) =
        (struct book_entry){.title = part->title,
                            .note = copy(making, work->lesson->settings.level.text),
                            .page = page,
                            .depth = (uint8_t)making->depth};
    part->entry_count = making->entries.count - part->entry;
    making->book.page_count += part->pages;
}

static bool count_lessons(struct making *making)
{
    const size_t count = making->booklet->tree->count;
    const struct layout_part part = {0};
    making->parts = arena_array(making->arena, count, sizeof *making->parts);
    for (size_t i = 0; i < count; i++)
        if (!with_lesson(making, i, &part, count_lesson))
            return false;
    making->book.entries = making->entries.items;
    making->book.entry_count = making->entries.count;
    return true;
}

/* ---- the second pass: drawing ------------------------------------------------------------- */

static void outline(struct making *making, const char *title, uint32_t page, sp y, unsigned level,
                    bool closed)
{
    drawing_outline(making->drawing,
                    (struct drawing_entry){
                        .title = title, .page = page, .y = y, .level = level, .closed = closed});
}

static const char *numbered_title(const struct pipeline *work, unsigned number)
{
    struct buffer title = {0};
    page_word_fill(&title, page_word(&work->lesson->words, "Exercise {n}"), number, 0);
    return buffer_keep(&title, work->arena);
}

static void outline_exercises(struct making *making, const struct pipeline *work, uint32_t before,
                              unsigned level)
{
    for (size_t i = 0; i < work->score->exercise_count; i++) {
        const struct score_exercise *exercise = &work->score->exercises[i];
        sp y = 0;
        uint32_t page = layout_exercise_page(work->layout, i, &y);
        const char *title =
            exercise->title ? exercise->title : numbered_title(work, exercise->number);
        if (page)
            outline(making, title, before + page, y, level, false);
    }
}

/* The outline: the booklet on top, below it the lines of the contents, below each lesson its
   exercises. */
static void outline_part(struct making *making, const struct pipeline *work,
                         const struct part *part)
{
    unsigned level = 1;
    for (size_t i = 0; i < part->entry_count; i++) {
        const struct book_entry *entry = &making->book.entries[part->entry + i];
        level = 1U + entry->depth - entry->heading;
        outline(making, entry->title, making->pages_before + entry->page, 0, level,
                !entry->heading);
    }
    outline_exercises(making, work, making->pages_before + part->first - 1, level + 1);
}

static void draw_lesson(struct making *making, struct pipeline *work, size_t number)
{
    const struct part *part = &making->parts[number];
    if (layout_page_count(work->layout) != part->pages) {
        const struct course_tree *tree = making->booklet->tree;
        buffer_format(making->problem, "'%s/%s' changed during the run", tree->path,
                      tree->lessons[number].name);
        return;
    }
    outline_part(making, work, part);
    making->score = work->score;
    drawing_next_lesson(making->drawing);
    for (uint32_t page = 1; page <= part->pages; page++)
        drawing_page(making->drawing, layout_page(work->layout, page));
}

static bool draw_lessons(struct making *making)
{
    for (size_t i = 0; i < making->booklet->tree->count; i++) {
        struct layout_part part = {
            .pages_before = making->pages_before + making->parts[i].first - 1,
            .page_count = making->pages_before + making->book.page_count,
            .head = making->book.title,
        };
        if (!with_lesson(making, i, &part, draw_lesson) || making->problem->length)
            return false;
    }
    return true;
}

static void draw_front(struct making *making)
{
    struct faces *faces = making->booklet->faces;
    faces_renew(faces, making->book.paper->staff_mm / 4);
    struct metrics metrics = faces_metrics(faces);
    struct book_layout *front = book_layout_new(&making->book, &metrics);
    making->pages_before = book_layout_page_count(front);
    outline(making, making->book.title, 1, 0, 0, false);
    outline(making, page_word(&making->book.words, "Contents"), 2, 0, 1, false);
    for (uint32_t page = 1; page <= making->pages_before; page++)
        drawing_page(making->drawing, book_layout_page(front, page));
    book_layout_free(front);
}

/* ---- the whole ---------------------------------------------------------------------------- */

static void begin_book(struct making *making)
{
    const struct course_tree *tree = making->booklet->tree;
    const struct course *keys = input_course_keys(tree->course);
    struct book *book = &making->book;
    book->title = course_tree_title(tree);
    book->subtitle = keys->subtitle.text;
    book->author = keys->author.text;
    book->copyright = keys->copyright.text;
    book->date = keys->date.text;
    const struct settings settings = course_settings(tree->course ? tree->course->context : NULL);
    book->words = (struct page_words){.catalogue = catalogue_for(keys->language.text),
                                      .own = settings.own_words,
                                      .own_count = settings.own_word_count};
    book->paper = course_settings(tree->course ? tree->course->context : NULL).page;
}

bool booklet_draw(const struct booklet *booklet, draw_write *write, void *closure,
                  struct buffer *problem)
{
    struct arena *arena = arena_new();
    struct making making = {.booklet = booklet, .arena = arena, .problem = problem};
    begin_book(&making);
    bool good = count_lessons(&making);
    if (good) {
        struct drawing_words words = alt_text_words(&making.score);
        const char *language = input_course_keys(booklet->tree->course)->language.text;
        if (language)
            words.language = language;
        bool tagged = making.book.page_count <= TAGGED_PAGES_MOST;
        struct drawing_options options = {.words = tagged ? &words : NULL,
                                          .diags = booklet->diags,
                                          .title = making.book.title,
                                          .author = making.book.author,
                                          .subject = making.book.subtitle,
                                          .date = booklet->date ? booklet->date : making.book.date};
        making.drawing = drawing_open(booklet->faces, FORMAT_PDF, &options, write, closure);
        draw_front(&making);
        good = draw_lessons(&making);
        good &= drawing_close(making.drawing);
    }
    arena_free(arena);
    return good;
}
