#include "course/index_page.h"

#include "base/html_text.h"
#include "base/path.h"
#include "base/vector.h"
#include "course/embedded_finder.h"
#include "course/index_facts.h"
#include "course/index_style.h"
#include "course/lesson_again.h"
#include "lib/pipeline.h"
#include "model/caution.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NO_LESSON SIZE_MAX

/* The lessons of one folder, in the course's order. */
struct group {
    const char *folder; /* below the course's folder: "" or ending in `/` */
    const char *title;  /* of its course file; NULL: show the folder's name */
    size_t first, last; /* a chain of lessons, linked by `next` */
};

struct index_page {
    const struct index_source *source;
    struct arena *arena;
    VECTOR(struct group) groups;
    size_t *next;       /* for each lesson, the one after it in its group */
    struct buffer path; /* scratch */
    struct buffer out;
    draw_write *write;
    void *closure;
    struct buffer *problem;
    struct page_words words;
};

/* ---- groups ------------------------------------------------------------------------------- */

static const char *folder_of(struct index_page *page, const char *name)
{
    return arena_copy_text(page->arena, name, path_folder_length(name));
}

/* The title in the lesson's course file, if that is in the same folder. */
static const char *title_of_folder(struct index_page *page, const struct course_lesson *lesson)
{
    const char *course = lesson->course ? lesson->course->source.name : "";
    const char *path = course_tree_path(page->source->tree, lesson->name, &page->path);
    size_t length = path_folder_length(course);
    bool own = length && length == path_folder_length(path) && strncmp(course, path, length) == 0;
    return own ? input_course_keys(lesson->course)->title.text : NULL;
}

static struct group *group_of(struct index_page *page, const struct course_lesson *lesson)
{
    const char *folder = folder_of(page, lesson->name);
    for (size_t i = page->groups.count; i-- > 0;) /* most likely the newest */
        if (strcmp(page->groups.items[i].folder, folder) == 0)
            return &page->groups.items[i];
    struct group *group = vector_push(&page->groups, page->arena);
    *group = (struct group){.folder = folder, .first = NO_LESSON};
    if (*folder)
        group->title = title_of_folder(page, lesson);
    return group;
}

static void make_groups(struct index_page *page)
{
    const struct course_tree *tree = page->source->tree;
    page->next = arena_array(page->arena, tree->count, sizeof *page->next);
    for (size_t i = 0; i < tree->count; i++) {
        struct group *group = group_of(page, &tree->lessons[i]);
        page->next[i] = NO_LESSON;
        if (group->first == NO_LESSON)
            group->first = i;
        else
            page->next[group->last] = i;
        group->last = i;
    }
}

/* "week-2 / fills" for a folder without a title; "Lessons" for the course's own. */
static void add_group_title(struct index_page *page, const struct group *group)
{
    if (group->title || !*group->folder) {
        html_text(&page->out, group->title ? group->title : page_word(&page->words, "Lessons"));
        return;
    }
    struct buffer words = {0};
    for (const char *at = group->folder; at[1]; at++)
        buffer_add(&words, *at == '/' ? " / " : at, *at == '/' ? 3 : 1);
    html_text(&page->out, buffer_text(&words));
    buffer_release(&words);
}

/* Attributes for text from a lesson. `language` NULL: that of the page. */
static void add_marks(struct buffer *out, const char *language)
{
    buffer_add_text(out, " dir=\"auto\"");
    if (!language)
        return;
    buffer_add_text(out, " lang=\"");
    html_text(out, language);
    buffer_add_text(out, "\"");
}

static void add_link(struct buffer *out, const char *path)
{
    buffer_add_text(out, "<a href=\"");
    buffer_add_uri(out, path);
    buffer_add_text(out, "\">");
}

static void add_paragraph(struct buffer *out, const char *class, const char *text,
                          const char *language)
{
    if (!text)
        return;
    buffer_format(out, "<p%s%s%s", class ? " class=\"" : "", class ? class : "", class ? "\"" : "");
    add_marks(out, language);
    buffer_add_text(out, ">");
    html_text(out, text);
    buffer_add_text(out, "</p>\n");
}

/* ---- one lesson --------------------------------------------------------------------------- */

static bool is_picture(const struct course_lesson *lesson, const char *path)
{
    return strcmp(path + course_lesson_stem(lesson), format_rows[FORMAT_PICTURE].ending) == 0;
}

/* Four fifths of its size on paper, in CSS pixels (96 an inch). False if it cannot be read, and
   says why. */
static bool picture_size(struct index_page *page, const char *path, int *width, int *height)
{
    const double scale = 0.8 * 96 / 72;
    struct buffer svg = {0};
    struct file_stamp stamp;
    double wide = 0, high = 0;
    const char *file = arena_format(page->arena, "%s/%s", page->source->out, path);
    bool was_read = file_read_plain(file, LESSON_BYTES_MAX, &svg, &stamp);
    if (!was_read)
        buffer_format(page->problem, "cannot read '%s': %s", file, strerror(errno));
    const char *at = was_read ? strstr(buffer_text(&svg), " width=\"") : NULL;
    if (at)
        sscanf(at, " width=\"%lfpt\" height=\"%lfpt\"", &wide, &high);
    buffer_release(&svg);
    *width = (int)(wide * scale + 0.5);
    *height = (int)(high * scale + 0.5);
    return was_read;
}

static bool add_picture(struct index_page *page, const struct course_lesson *lesson,
                        const struct recorded *made, const struct score *score)
{
    struct buffer *out = &page->out;
    int width, height;
    for (size_t i = 0; made && i < made->count; i++) {
        const char *path = made->outputs[i].path;
        if (!is_picture(lesson, path))
            continue;
        if (!picture_size(page, path, &width, &height))
            return false;
        struct buffer words = {0};
        index_picture_text(score, &words);
        buffer_add_text(out, "<div class=\"picture\"><img src=\"");
        buffer_add_uri(out, path);
        buffer_format(out, "\" width=\"%d\" height=\"%d\" loading=\"lazy\" alt=\"", width, height);
        html_text(out, buffer_text(&words));
        buffer_add_text(out, "\"></div>\n");
        buffer_release(&words);
    }
    return true;
}

static void add_fact(struct buffer *out, const char *word, const char *fact)
{
    if (!fact || !*fact)
        return;
    buffer_format(out, "<li><span class=\"quiet\">%s</span> ", word);
    html_text(out, fact);
    buffer_add_text(out, "</li>\n");
}

static const char *level_of(const struct index_page *page, const struct score *score)
{
    const char *level = score->lesson->settings.level.text;
    return level ? page_word(&page->words, level) : NULL;
}

static void add_facts(struct index_page *page, const struct score *score)
{
    struct buffer tempo = {0};
    char exercises[24];
    snprintf(exercises, sizeof exercises, "%zu", score->exercise_count);
    index_tempo(score, &tempo);
    buffer_add_text(&page->out, "<ul class=\"facts\">\n");
    add_fact(&page->out, page_word(&page->words, "Level"), level_of(page, score));
    add_fact(&page->out, page_word(&page->words, "Tempo"), buffer_text(&tempo));
    add_fact(&page->out, page_word(&page->words, "Exercises"), exercises);
    buffer_add_text(&page->out, "</ul>\n");
    buffer_release(&tempo);
}

static enum format format_of(const char *path)
{
    return format_of_ending(path_ending(path), FORMAT_BY_ENGRAVE | FORMAT_BY_SOUND);
}

/* What a student does with a file. */
static const char *use_of(enum format format)
{
    if (format == FORMAT_PRACTICE)
        return "Practise";
    return format_rows[format].from == FORMAT_FROM_PAGES ? "Sheet" : "Sound";
}

/* Whether the lesson has files of another type for the same use: then the type is named. */
static bool has_another(const struct course_lesson *lesson, const struct recorded *made,
                        enum format format)
{
    for (size_t i = 0; i < made->count; i++) {
        enum format other = format_of(made->outputs[i].path);
        if (!is_picture(lesson, made->outputs[i].path) && other != format &&
            strcmp(use_of(other), use_of(format)) == 0)
            return true;
    }
    return false;
}

/* The text of a link, such as "Sheet (SVG) 2", and hidden text for screen readers: "(page 2 of Low
   Water)". */
static void add_file_words(struct index_page *page, const struct course_lesson *lesson,
                           const struct recorded *made, const char *path, const char *title)
{
    struct buffer *out = &page->out;
    const char *rest = path + course_lesson_stem(lesson);
    unsigned number = *rest == '-' ? (unsigned)strtoul(rest + 1, NULL, 10) : 0;
    enum format format = format_of(path);
    html_text(out, page_word(&page->words, use_of(format)));
    if (has_another(lesson, made, format))
        buffer_format(out, " (%s)", format_rows[format].title);
    if (number)
        buffer_format(out, " %u<span class=\"of\"> (page %u of ", number, number);
    else
        buffer_add_text(out, "<span class=\"of\"> of ");
    html_text(out, title);
    buffer_add_text(out, number ? ")</span>" : "</span>");
}

static bool is_practice_page(const struct recorded *made, size_t i)
{
    return format_of(made->outputs[i].path) == FORMAT_PRACTICE;
}

/* The practice page, or all others in the order of `produce`. */
static void add_some_files(struct index_page *page, const struct course_lesson *lesson,
                           const struct recorded *made, const char *title, bool practice)
{
    struct buffer *out = &page->out;
    for (size_t i = 0; made && i < made->count; i++) {
        const char *path = made->outputs[i].path;
        if (is_picture(lesson, path) || is_practice_page(made, i) != practice)
            continue;
        buffer_add_text(out, "<li>");
        add_link(out, path);
        add_file_words(page, lesson, made, path, title);
        buffer_add_text(out, "</a></li>\n");
    }
}

static void add_files(struct index_page *page, const struct course_lesson *lesson,
                      const struct recorded *made, const char *title)
{
    buffer_add_text(&page->out, "<ul class=\"files\">\n");
    add_some_files(page, lesson, made, title, true);
    add_some_files(page, lesson, made, title, false);
    buffer_add_text(&page->out, "</ul>\n");
}

static const char *main_file(const struct course_lesson *lesson, const struct recorded *made)
{
    const char *first = NULL;
    for (size_t i = 0; made && i < made->count; i++) {
        if (is_practice_page(made, i))
            return made->outputs[i].path;
        if (!first && !is_picture(lesson, made->outputs[i].path))
            first = made->outputs[i].path;
    }
    return first;
}

static void begin_item(struct index_page *page, const struct score *score)
{
    const char *level = level_of(page, score);
    buffer_add_text(&page->out, level ? "<li data-level=\"" : "<li>\n");
    if (!level)
        return;
    html_text(&page->out, level);
    buffer_add_text(&page->out, "\">\n");
}

static bool add_lesson(struct index_page *page, size_t number, const struct score *score)
{
    const struct course_lesson *lesson = &page->source->tree->lessons[number];
    const struct recorded *made = course_record_find(page->source->record, lesson->name);
    struct buffer *out = &page->out;
    const char *title = score->lesson->title.text, *language = score->lesson->language.text;
    const char *file = main_file(lesson, made);
    if (!title)
        title = course_lesson_word(lesson, page->arena);
    begin_item(page, score);
    buffer_format(out,
                  "<div class=\"head\"><span class=\"ring\" aria-hidden=\"true\">%zu</span>\n"
                  "<div class=\"name\"><h3",
                  number + 1);
    add_marks(out, language);
    buffer_add_text(out, ">");
    if (file)
        add_link(out, file);
    html_text(out, title);
    buffer_add_text(out, file ? "</a></h3>\n" : "</h3>\n");
    add_paragraph(out, "quiet", score->lesson->subtitle.text, language);
    buffer_add_text(out, "</div></div>\n");
    bool good = add_picture(page, lesson, made, score);
    add_facts(page, score);
    add_files(page, lesson, made, title);
    buffer_add_text(out, "</li>\n");
    return good;
}

static bool take_lesson(struct index_page *page, size_t number)
{
    struct lesson_again again;
    lesson_again_open(&again, page->source->tree, number, page->source->handed);
    bool good = lesson_again_run(&again, STAGE_CHECK, page->problem);
    if (good)
        good = add_lesson(page, number, again.work.score);
    lesson_again_release(&again);
    return good;
}

/* ---- the page ----------------------------------------------------------------------------- */

/* Writes what there is so far, so that memory holds only one lesson at a time. */
static bool flush(struct index_page *page)
{
    bool taken = page->write(page->closure, buffer_text(&page->out), page->out.length);
    buffer_release(&page->out);
    return taken;
}

static void add_top(struct index_page *page, const struct course *course, const char *title)
{
    struct buffer *out = &page->out;
    size_t lessons = page->source->tree->count;
    const struct page_words *words = &page->words;
    buffer_add_text(out, "<!DOCTYPE html>\n<html lang=\"");
    html_text(out, words->catalogue ? course->language.text : "en");
    buffer_add_text(out, "\">\n<head>\n<meta charset=\"utf-8\">\n"
                         "<meta name=\"viewport\" content=\"width=device-width, "
                         "initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n"
                         "<title>");
    html_text(out, title);
    buffer_format(out, "</title>\n<style>\n%s</style>\n</head>\n<body>\n", index_style);
    buffer_add_text(out, "<a class=\"skip\" href=\"#lessons\">");
    html_text(out, page_word(words, "Skip to the lessons"));
    buffer_add_text(out, "</a>\n<header>\n<h1");
    add_marks(out, course->language.text);
    buffer_add_text(out, ">");
    html_text(out, title);
    buffer_add_text(out, "</h1>\n");
    add_paragraph(out, "quiet subtitle", course->subtitle.text, course->language.text);
    buffer_add_text(out, "<div class=\"school\">\n");
    add_paragraph(out, NULL, course->author.text, course->language.text);
    struct buffer count = {0};
    page_word_fill(&count, page_plural(words, "{n} lesson", "{n} lessons", (unsigned)lessons),
                   (unsigned)lessons, 0);
    buffer_add_text(out, "<p class=\"quiet\">");
    html_text(out, buffer_text(&count));
    buffer_add_text(out, "</p>\n</div>\n");
    buffer_release(&count);
    if (page->source->has_booklet) {
        const struct format_row *booklet = &format_rows[FORMAT_BOOKLET];
        buffer_format(out, "<p class=\"booklet\"><a href=\"%s%s\">", booklet->word,
                      booklet->ending);
        html_text(out, page_word(words, "All lessons in one booklet (PDF)"));
        buffer_add_text(out, "</a></p>\n");
    }
}

/* Shown by the script that it belongs to, find.js. */
static void add_finder(struct index_page *page)
{
    struct buffer *out = &page->out;
    buffer_add_text(out, "<form id=\"finder\" role=\"search\" data-found=\"");
    html_text(out, page_word(&page->words, "Lessons"));
    buffer_add_text(out, "\" hidden>\n<label>");
    html_text(out, page_word(&page->words, "Find a lesson"));
    buffer_add_text(out, " <input type=\"search\" name=\"words\" dir=\"auto\"></label>\n<label>");
    html_text(out, page_word(&page->words, "Level"));
    buffer_add_text(out, " <select name=\"level\"><option value=\"\">");
    html_text(out, page_word(&page->words, "any level"));
    buffer_add_text(out, "</option></select></label>\n<p role=\"status\"></p>\n</form>\n");
}

static void add_navigation(struct index_page *page)
{
    struct buffer *out = &page->out;
    if (page->groups.count > 1) {
        buffer_add_text(out, "<nav aria-label=\"");
        html_text(out, page_word(&page->words, "Parts of the course"));
        buffer_add_text(out, "\">\n<ul>\n");
        for (size_t i = 0; i < page->groups.count; i++) {
            buffer_format(out, "<li dir=\"auto\"><a href=\"#part-%zu\">", i + 1);
            add_group_title(page, &page->groups.items[i]);
            buffer_add_text(out, "</a></li>\n");
        }
        buffer_add_text(out, "</ul>\n</nav>\n");
    }
    add_finder(page);
    buffer_add_text(out, "</header>\n<main id=\"lessons\">\n");
}

static bool add_group(struct index_page *page, size_t number)
{
    const struct group *group = &page->groups.items[number];
    buffer_format(&page->out,
                  "<section aria-labelledby=\"part-%zu\">\n<h2 id=\"part-%zu\" dir=\"auto\">",
                  number + 1, number + 1);
    add_group_title(page, group);
    buffer_add_text(&page->out, "</h2>\n<ol class=\"lessons\">\n");
    for (size_t i = group->first; i != NO_LESSON; i = page->next[i])
        if (!take_lesson(page, i) || !flush(page))
            return false;
    buffer_add_text(&page->out, "</ol>\n</section>\n");
    return true;
}

static void add_end(struct index_page *page, const struct course *course)
{
    struct buffer *out = &page->out;
    buffer_add_text(out, "</main>\n<footer>\n");
    add_paragraph(out, NULL, page_word(&page->words, practice_caution), NULL);
    add_paragraph(out, NULL, course->copyright.text, course->language.text);
    buffer_add_text(out, "</footer>\n<script>");
    buffer_add(out, embedded_finder, embedded_finder_size);
    buffer_add_text(out, "</script>\n</body>\n</html>\n");
}

bool index_write(const struct index_source *source, draw_write *write, void *closure,
                 struct buffer *problem)
{
    const struct course *course = input_course_keys(source->tree->course);
    struct index_page page = {.source = source,
                              .arena = arena_new(),
                              .write = write,
                              .closure = closure,
                              .problem = problem};
    const struct input *top = source->tree->course;
    const struct settings settings = course_settings(top ? top->context : NULL);
    page.words = (struct page_words){.catalogue = catalogue_for(course->language.text),
                                     .own = settings.own_words,
                                     .own_count = settings.own_word_count};
    make_groups(&page);
    add_top(&page, course, course_tree_title(source->tree));
    add_navigation(&page);
    bool good = true;
    for (size_t i = 0; good && i < page.groups.count; i++)
        good = add_group(&page, i);
    add_end(&page, course);
    good = good && flush(&page);
    buffer_release(&page.path);
    buffer_release(&page.out);
    arena_free(page.arena);
    return good;
}
