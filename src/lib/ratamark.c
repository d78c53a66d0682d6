/* The public interface: a thin front over the pipeline. */
#include "ratamark.h"

#include "base/buffer.h"
#include "lib/pipeline.h"

#include <string.h>

struct ratamark {
    struct pipeline work;
};

const char *ratamark_version(void)
{
    return RATAMARK_VERSION;
}

void ratamark_on_exhaustion(void (*handler)(size_t wanted))
{
    memory_on_exhaustion(handler);
}

/* The places point at the name, and messages may point into the text: both must outlive the call
   that brought them. */
static struct read_source keep_source(struct arena *arena, struct ratamark_text text)
{
    return (struct read_source){arena_copy_text(arena, text.name, strlen(text.name)),
                                arena_copy_text(arena, text.bytes, text.length), text.length};
}

struct ratamark *ratamark_read(struct ratamark_text text, const struct ratamark_text *course)
{
    struct ratamark *lesson = memory_alloc(sizeof *lesson);
    struct pipeline *work = &lesson->work;
    pipeline_init(work, (struct read_source){0});
    work->source = keep_source(work->arena, text);
    if (course)
        work->course = read_course(work->arena, keep_source(work->arena, *course), work->diags);
    pipeline_run(work, STAGE_READ);
    return lesson;
}

void ratamark_free(struct ratamark *lesson)
{
    if (!lesson)
        return;
    pipeline_release(&lesson->work);
    memory_free(lesson);
}

bool ratamark_check(struct ratamark *lesson)
{
    return pipeline_run(&lesson->work, STAGE_CHECK);
}

const char *ratamark_title(const struct ratamark *lesson)
{
    return lesson->work.lesson ? lesson->work.lesson->title.text : NULL;
}

size_t ratamark_exercise_count(const struct ratamark *lesson)
{
    return lesson->work.score ? lesson->work.score->exercise_count : 0;
}

/* ---- what was found ----------------------------------------------------------------------- */

static struct ratamark_place public_place(struct place place)
{
    return (struct ratamark_place){place.file, place.line, place.column, place.length};
}

size_t ratamark_diagnostic_count(const struct ratamark *lesson)
{
    return diags_count(lesson->work.diags);
}

size_t ratamark_error_count(const struct ratamark *lesson)
{
    return diags_errors(lesson->work.diags);
}

struct ratamark_diagnostic ratamark_diagnostic(const struct ratamark *lesson, size_t index)
{
    static const enum ratamark_severity severities[] = {
        [DIAG_SEVERITY_ERROR] = RATAMARK_ERROR,
        [DIAG_SEVERITY_WARNING] = RATAMARK_WARNING,
        [DIAG_SEVERITY_NOTE] = RATAMARK_NOTE,
    };
    const struct diag *diag = diags_get(lesson->work.diags, index);
    return (struct ratamark_diagnostic){
        .severity = severities[diag->severity],
        .code = diag_word(diag->code),
        .at = public_place(diag->at),
        .message = diag->message,
        .found = diag->found,
        .expected = diag->expected,
        .nearest = diag->nearest,
        .other = public_place(diag->other),
        .other_message = diag->other_message,
    };
}

bool ratamark_explain(const char *code, const char **text, const char **wrong, const char **right)
{
    enum diag_code found;
    if (!diag_code_from_word(code, &found))
        return false;
    const struct diag_lesson *lesson = diag_explain(found);
    *text = lesson->text;
    *wrong = lesson->wrong;
    *right = lesson->right;
    return true;
}

/* ---- pages -------------------------------------------------------------------------------- */

static const char *keep_text(struct arena *arena, const char *text)
{
    return text ? arena_copy_text(arena, text, strlen(text)) : NULL;
}

bool ratamark_lay_out(struct ratamark *lesson, const struct ratamark_options *options)
{
    struct pipeline *work = &lesson->work;
    if (work->stopped || work->next != STAGE_LAYOUT)
        return false;
    if (options) {
        work->music_font = keep_text(work->arena, options->music_font);
        work->date = keep_text(work->arena, options->date);
        if (options->dpi > 0)
            work->dpi = options->dpi;
        if (options->exercises) {
            size_t bytes = options->exercise_count * sizeof *options->exercises;
            uint32_t *kept = arena_alloc(work->arena, bytes);
            memcpy(kept, options->exercises, bytes);
            work->layout_options.exercises =
                (struct exercise_choice){kept, options->exercise_count};
        }
    }
    return pipeline_run(work, STAGE_LAYOUT);
}

uint32_t ratamark_page_count(const struct ratamark *lesson)
{
    return lesson->work.layout ? layout_page_count(lesson->work.layout) : 0;
}

bool ratamark_draw(struct ratamark *lesson, enum ratamark_format format, uint32_t page,
                   ratamark_write *write, void *closure)
{
    static const enum format formats[] = {
        [RATAMARK_PDF] = FORMAT_PDF,
        [RATAMARK_SVG] = FORMAT_SVG,
        [RATAMARK_PNG] = FORMAT_PNG,
    };
    return lesson->work.layout &&
           pipeline_draw(&lesson->work, formats[format], page, write, closure);
}

bool ratamark_say(struct ratamark *lesson, ratamark_write *write, void *closure)
{
    struct pipeline *work = &lesson->work;
    if (!work->score || diags_errors(work->diags))
        return false;
    struct buffer words = {0};
    pipeline_say(work, &words);
    bool taken = write(closure, buffer_text(&words), words.length);
    buffer_release(&words);
    return taken;
}
