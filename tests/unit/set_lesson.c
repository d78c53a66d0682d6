#include "set_lesson.h"

#include "base/file.h"
#include "build/build.h"
#include "read/read.h"

#include <string.h>

static const struct course_context *course_read(struct set_lesson *set, const char *path)
{
    struct buffer text = {0};
    if (!path || !file_read(path, LESSON_BYTES_MAX, &text))
        return NULL;
    const char *bytes = arena_copy_text(set->arena, buffer_text(&text), text.length);
    struct read_source source = {path, bytes, text.length};
    buffer_release(&text);
    return read_course(set->arena, source, NULL, set->diags);
}

static struct {
    struct arena *arena;
    struct faces *faces;
} kept;

void set_lesson_keep_faces(void)
{
    kept.arena = arena_new();
    kept.faces = faces_open(&(struct faces_options){.space_mm = 1.75}, diags_new(kept.arena));
}

void set_lesson_drop_faces(void)
{
    faces_close(kept.faces);
    arena_free(kept.arena);
    kept.faces = NULL;
}

static struct faces *lesson_faces(struct set_lesson *set, double space)
{
    if (!kept.faces)
        return faces_open(&(struct faces_options){.space_mm = space}, set->diags);
    faces_resize(kept.faces, space);
    return kept.faces;
}

void set_lesson_open(struct set_lesson *set, const char *name, const char *text, size_t length,
                     const char *course, bool faces)
{
    *set = (struct set_lesson){.arena = arena_new()};
    set->diags = diags_new(set->arena);
    const struct course_context *context = course_read(set, course);
    struct lesson *lesson =
        read_lesson(set->arena, (struct read_source){name, text, length}, context, set->diags);
    if (lesson)
        set->score = build_score(lesson, set->diags);
    if (!lesson || diags_errors(set->diags))
        return;
    double space = lesson->settings.page->staff_mm / 4;
    if (faces) {
        set->faces = lesson_faces(set, space);
        set->metrics = faces_metrics(set->faces);
    } else {
        set->fake = fake_metrics_new(space);
        set->metrics = fake_metrics_of(set->fake);
    }
    set->layout = layout_new(set->score, &set->metrics, (struct layout_options){0}, set->diags);
}

const char *set_lesson_label(const struct set_lesson *set, label_id label)
{
    return set->faces ? faces_label_text(set->faces, label) : fake_label_text(set->fake, label);
}

void set_lesson_close(struct set_lesson *set)
{
    layout_free(set->layout);
    if (set->faces && set->faces != kept.faces)
        faces_close(set->faces);
    fake_metrics_free(set->fake);
    arena_free(set->arena);
}
