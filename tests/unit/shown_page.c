#include "shown_page.h"

#include "base/buffer.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

struct set_lesson set;
static struct buffer exercise; /* the lesson points into it */
const struct page *page;

void open_lesson(const char *text)
{
    set_lesson_open(&set, "lesson.yaml", text, strlen(text), NULL, false);
    for (size_t i = 0; !set.layout && i < diags_count(set.diags); i++)
        ck_abort_msg("%s", diags_get(set.diags, i)->message);
    page = layout_page(set.layout, 1);
}

/* One exercise with these lines under it. */
void open_exercise(const char *lines)
{
    buffer_format(&exercise, "exercises:\n  - title: Try\n%s", lines);
    open_lesson(buffer_text(&exercise));
}

void teardown(void)
{
    set_lesson_close(&set);
    buffer_release(&exercise);
}

size_t count_of(enum mark_role role)
{
    size_t count = 0;
    for (size_t i = 0; i < page->mark_count; i++)
        count += page->marks[i].role == role;
    return count;
}

size_t count_glyph(enum glyph glyph)
{
    size_t count = 0;
    for (size_t i = 0; i < page->mark_count; i++)
        count += page->marks[i].shape == SHAPE_GLYPH && page->marks[i].glyph == glyph;
    return count;
}

const struct mark *mark_of(enum mark_role role, size_t skip)
{
    for (size_t i = 0; i < page->mark_count; i++)
        if (page->marks[i].role == role && skip-- == 0)
            return &page->marks[i];
    ck_abort_msg("no %s", mark_role_word(role));
    return NULL;
}

const char *label_of(const struct mark *mark)
{
    return set_lesson_label(&set, mark->with.label);
}

/* The texts of a role's labels, a space between. */
const char *texts_of(enum mark_role role)
{
    static char all[4096];
    size_t length = 0;
    all[0] = 0;
    for (size_t i = 0; i < page->mark_count; i++)
        if (page->marks[i].role == role && page->marks[i].shape == SHAPE_LABEL)
            length += (size_t)snprintf(all + length, sizeof all - length, "%s%s", length ? " " : "",
                                       label_of(&page->marks[i]));
    return all;
}
