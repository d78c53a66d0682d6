#include "reading.h"

#include "base/buffer.h"
#include "read/reader_int.h"

#include <check.h>
#include <string.h>

struct arena *arena;
struct diags *diags;
static struct course_context *course;

void reading_begin(void)
{
    arena = arena_new();
    diags = diags_new(arena);
    course = NULL;
}

void reading_finish(void)
{
    arena_free(arena);
}

struct lesson *lesson_from(const char *text)
{
    return read_lesson(arena, (struct read_source){"test.yaml", text, strlen(text)}, course, diags);
}

void course_from(const char *text)
{
    course =
        read_course(arena, (struct read_source){"course.yaml", text, strlen(text)}, NULL, diags);
}

struct lesson *good_lesson(const char *text)
{
    struct lesson *lesson = lesson_from(text);
    assert_no_finding();
    ck_assert_ptr_nonnull(lesson);
    return lesson;
}

static const char *all_findings(void)
{
    static struct buffer all;
    buffer_release(&all);
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        buffer_format(&all, "%u:%u: %s [%s]\n", diag->at.line, diag->at.column, diag->message,
                      diag_word(diag->code));
    }
    const char *text = arena_copy_text(arena, buffer_text(&all), all.length);
    buffer_release(&all);
    return text;
}

void assert_no_finding(void)
{
    ck_assert_msg(diags_count(diags) == 0, "found:\n%s", all_findings());
}

void assert_only(enum diag_code code, unsigned line, unsigned column)
{
    ck_assert_msg(diags_count(diags) == 1, "not one finding:\n%s", all_findings());
    const struct diag *diag = diags_get(diags, 0);
    ck_assert_msg(diag->code == code && diag->at.line == line && diag->at.column == column,
                  "found instead:\n%s", all_findings());
}

const struct diag *finding(size_t index)
{
    ck_assert_uint_lt(index, diags_count(diags));
    return diags_get(diags, index);
}

struct place start_place(void)
{
    return (struct place){"line", 1, 1, 1};
}

/* ---- the little languages ------------------------------------------------------------------- */

static struct reader bare_reader(void)
{
    return (struct reader){.arena = arena, .scratch = arena, .diags = diags};
}

struct stroke_line *read_stroke_line(const char *text)
{
    struct reader reader = bare_reader();
    struct text direct = text_direct(text, start_place());
    return read_strokes(&reader, &direct);
}

struct rhythm_line *read_rhythm_line(const char *text)
{
    struct reader reader = bare_reader();
    struct text direct = text_direct(text, start_place());
    return read_rhythm(&reader, &direct);
}

struct address_list *read_addresses(const char *text)
{
    struct reader reader = bare_reader();
    struct text direct = text_direct(text, start_place());
    struct address_list *list = arena_alloc(arena, sizeof *list);
    return read_address_text(&reader, &direct, list) ? list : NULL;
}
