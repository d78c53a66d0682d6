#include "lib/lesson_file.h"

#include "lib/practice_page.h"
#include "lib/sound.h"

struct lesson_file {
    struct pipeline *work;
    enum format format;
    uint32_t page;
    draw_write *write;
    void *closure;
    struct buffer *problem;
};

/* ---- makers: one for each word in the column `maker` of LESSON_FORMATS ---------------------- */

static bool make_drawn(const struct lesson_file *file)
{
    uint32_t page = format_rows[file->format].files == FORMAT_PER_PAGE ? file->page : 0;
    return pipeline_draw(file->work, file->format, page, file->write, file->closure);
}

static bool make_first_line(const struct lesson_file *file)
{
    return pipeline_draw_first_line(file->work, FORMAT_SVG, file->write, file->closure);
}

static bool make_spoken(const struct lesson_file *file)
{
    struct buffer words = {0};
    pipeline_say(file->work, &words);
    bool written = file->write(file->closure, buffer_text(&words), words.length);
    buffer_release(&words);
    return written;
}

static bool make_practice(const struct lesson_file *file)
{
    struct buffer page = {0};
    bool made = practice_page_make(file->work, &page, file->problem) &&
                file->write(file->closure, page.bytes, page.length);
    buffer_release(&page);
    return made;
}

/* The chosen exercises, as `sound` plays them without any options. NULL: `problem` says why. */
static const struct performance *usual_performance(const struct lesson_file *file)
{
    struct perform_options options = sound_usual();
    const char *why = NULL;
    options.exercises = file->work->layout_options.exercises;
    const struct performance *performance = perform(file->work->score, &options, &why);
    if (!performance)
        buffer_add_text(file->problem, why);
    return performance;
}

static bool make_sound(const struct lesson_file *file)
{
    static const struct sound_settings usual;
    const struct performance *performance = usual_performance(file);
    if (!performance)
        return false;
    struct buffer notes = {0};
    bool made = sound_make(performance, file->format, &usual, file->write, file->closure, &notes,
                           file->problem);
    buffer_release(&notes);
    return made;
}

/* ---- any of them ---------------------------------------------------------------------------- */

#define MAKER(name, word, ending, title, from, maker, ...) [FORMAT_##name] = make_##maker,
static bool (*const makers[FORMAT_COUNT])(const struct lesson_file *file) = {LESSON_FORMATS(MAKER)};

bool lesson_file_write(struct pipeline *work, enum format format, uint32_t page, draw_write *write,
                       void *closure, struct buffer *problem)
{
    return makers[format](&(struct lesson_file){work, format, page, write, closure, problem});
}
