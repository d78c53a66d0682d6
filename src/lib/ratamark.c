/* The public interface: a thin front over the pipeline. */
#include "lib/ratamark_int.h"

#include "base/buffer.h"
#include "chart/chart.h"
#include "lib/lesson_file.h"
#include "midi/midi.h"

#include <string.h>

const char *ratamark_version(void)
{
    return RATAMARK_VERSION;
}

const char *ratamark_result_text(enum ratamark_result result)
{
    static const char *const texts[] = {
        [RATAMARK_OK] = "success",
        [RATAMARK_LESSON_WRONG] = "the lesson has an error",
        [RATAMARK_TOO_EARLY] = "a call that has to come before this one is missing",
        [RATAMARK_BAD_ARGUMENT] = "a value is outside of its range",
        [RATAMARK_FONT_UNUSABLE] = "a font is missing or cannot be used",
        [RATAMARK_SEVERAL_PAGES] = "the format holds one page",
        [RATAMARK_NOT_PLAYABLE] = "nothing can be performed, or too much",
        [RATAMARK_NOT_WRITTEN] = "not all bytes could be written",
        [RATAMARK_NOT_DRAWN] = "the drawing library failed",
    };
    bool known = (unsigned)result < sizeof texts / sizeof *texts;
    return known ? texts[result] : "unknown result";
}

void ratamark_on_exhaustion(void (*handler)(size_t wanted))
{
    memory_on_exhaustion(handler);
}

/* ---- a lesson ------------------------------------------------------------------------------- */

/* Places point at the name, and messages may point into the text. */
static struct read_source keep_source(struct arena *arena, const struct ratamark_text *text)
{
    return (struct read_source){arena_copy_text(arena, text->name, strlen(text->name)),
                                arena_copy_text(arena, text->bytes, text->length), text->length};
}

struct ratamark *ratamark_read(const struct ratamark_text *text, const struct ratamark_text *course)
{
    struct ratamark *lesson = memory_alloc(sizeof *lesson);
    *lesson = (struct ratamark){.checked = RATAMARK_TOO_EARLY};
    struct pipeline *work = &lesson->work;
    pipeline_init(work, (struct read_source){0});
    work->source = keep_source(work->arena, text);
    lesson->found[FOUND_BY_CHECK] = work->diags;
    if (course)
        work->course =
            read_course(work->arena, keep_source(work->arena, course), NULL, work->diags);
    pipeline_run(work, STAGE_READ);
    ratamark_gather_diagnostics(lesson);
    return lesson;
}

void ratamark_free(struct ratamark *lesson)
{
    if (!lesson)
        return;
    pipeline_release(&lesson->work);
    memory_free(lesson);
}

enum ratamark_result ratamark_check(struct ratamark *lesson)
{
    if (lesson->checked != RATAMARK_TOO_EARLY)
        return lesson->checked;
    bool good = pipeline_run(&lesson->work, STAGE_CHECK);
    lesson->checked = good ? RATAMARK_OK : RATAMARK_LESSON_WRONG;
    ratamark_gather_diagnostics(lesson);
    return lesson->checked;
}

const char *ratamark_title(const struct ratamark *lesson)
{
    return lesson->work.lesson ? lesson->work.lesson->title.text : NULL;
}

size_t ratamark_exercise_count(const struct ratamark *lesson)
{
    return lesson->work.score ? lesson->work.score->exercise_count : 0;
}

/* ---- diagnostics ---------------------------------------------------------------------------- */

struct ratamark_place ratamark_place_of(struct place place)
{
    return (struct ratamark_place){place.file, place.line, place.column, place.length};
}

static struct ratamark_diagnostic diagnostic_of(const struct diag *diag)
{
    static const enum ratamark_severity severities[] = {
        [DIAG_SEVERITY_ERROR] = RATAMARK_ERROR,
        [DIAG_SEVERITY_WARNING] = RATAMARK_WARNING,
        [DIAG_SEVERITY_NOTE] = RATAMARK_NOTE,
    };
    return (struct ratamark_diagnostic){
        .severity = severities[diag->severity],
        .code = diag_word(diag->code),
        .at = ratamark_place_of(diag->at),
        .message = diag->message,
        .found = diag->found,
        .expected = diag->expected,
        .nearest = diag->nearest,
        .other = ratamark_place_of(diag->other),
        .other_message = diag->other_message,
    };
}

void ratamark_gather_diagnostics(struct ratamark *lesson)
{
    struct arena *arena = lesson->work.arena;
    lesson->diagnostics.count = lesson->diagnostics.room = 0;
    lesson->diagnostics.items = NULL;
    for (int finder = 0; finder < FINDER_COUNT; finder++) {
        const struct diags *found = lesson->found[finder];
        for (size_t i = 0; found && i < diags_count(found); i++)
            *vector_push(&lesson->diagnostics, arena) = diagnostic_of(diags_get(found, i));
    }
}

size_t ratamark_diagnostic_count(const struct ratamark *lesson)
{
    return lesson->diagnostics.count;
}

const struct ratamark_diagnostic *ratamark_diagnostic(const struct ratamark *lesson, size_t index)
{
    return index < lesson->diagnostics.count ? &lesson->diagnostics.items[index] : NULL;
}

size_t ratamark_error_count(const struct ratamark *lesson)
{
    size_t errors = 0;
    for (int finder = 0; finder < FINDER_COUNT; finder++)
        errors += lesson->found[finder] ? diags_errors(lesson->found[finder]) : 0;
    return errors;
}

enum ratamark_result ratamark_explain(const char *code, const char **text, const char **wrong,
                                      const char **right)
{
    enum diag_code found;
    if (!diag_code_from_word(code, &found))
        return RATAMARK_BAD_ARGUMENT;
    const struct diag_lesson *lesson = &diag_lessons[found];
    *text = lesson->text;
    *wrong = lesson->wrong;
    *right = lesson->right;
    return RATAMARK_OK;
}

/* ---- pages ---------------------------------------------------------------------------------- */

static bool exercises_exist(const struct ratamark *lesson, struct exercise_choice choice)
{
    const struct score *score = lesson->work.score;
    uint32_t most = score->exercise_count ? score->exercises[score->exercise_count - 1].number : 0;
    for (size_t i = 0; i < choice.count; i++)
        if (choice.numbers[i] > most)
            return false;
    return true;
}

/* The lesson's page, but for what the options set. */
static const struct page_settings *page_of(const struct ratamark *lesson,
                                           const struct ratamark_options *options)
{
    struct page_settings *page = arena_alloc(lesson->work.arena, sizeof *page);
    *page = *lesson->page;
    if (options->page_size_set)
        page->size = options->page_size;
    if (options->margin_mm > 0)
        page->margin_mm = options->margin_mm;
    if (options->staff_mm > 0)
        page->staff_mm = options->staff_mm;
    return page;
}

void ratamark_take_sides(struct ratamark *lesson, enum handed handed)
{
    lesson->work.handed = handed;
    pipeline_take_sides(&lesson->work);
}

enum ratamark_result ratamark_lay_out(struct ratamark *lesson,
                                      const struct ratamark_options *options)
{
    options = options_or_default(options);
    struct pipeline *work = &lesson->work;
    if (lesson->checked != RATAMARK_OK)
        return lesson->checked;
    pipeline_drop_layout(work);
    lesson->found[FOUND_BY_LAYOUT] = NULL;
    ratamark_gather_diagnostics(lesson);
    if (!exercises_exist(lesson, options->exercises))
        return RATAMARK_BAD_ARGUMENT;
    if (!lesson->page)
        lesson->page = work->lesson->settings.page;
    work->lesson->settings.page = page_of(lesson, options);
    ratamark_take_sides(lesson, options->handed);
    lesson->laid_out_for = options->handed;
    work->music_font = options->music_font;
    work->layout_options.exercises = options->exercises;
    work->diags = lesson->found[FOUND_BY_LAYOUT] = diags_new(work->arena);
    bool good = pipeline_run(work, STAGE_LAYOUT);
    diags_sort(work->diags);
    ratamark_gather_diagnostics(lesson);
    return good ? RATAMARK_OK : RATAMARK_FONT_UNUSABLE;
}

uint32_t ratamark_page_count(const struct ratamark *lesson)
{
    return lesson->work.layout ? layout_page_count(lesson->work.layout) : 0;
}

/* ---- files ---------------------------------------------------------------------------------- */

/* The caller's function, and whether it refused bytes. */
struct taker {
    ratamark_take *take;
    void *closure;
    bool refused;
};

static bool take_bytes(void *closure, const void *bytes, size_t length)
{
    struct taker *taker = closure;
    bool taken = taker->take(taker->closure, bytes, length);
    taker->refused |= !taken;
    return taken;
}

static enum ratamark_result take_text(struct taker *taker, struct buffer *text)
{
    bool taken = take_bytes(taker, buffer_text(text), text->length);
    buffer_release(text);
    return taken ? RATAMARK_OK : RATAMARK_NOT_WRITTEN;
}

static enum ratamark_result made(bool good, const struct taker *taker)
{
    if (taker->refused)
        return RATAMARK_NOT_WRITTEN;
    return good ? RATAMARK_OK : RATAMARK_NOT_DRAWN;
}

static enum ratamark_result draw(struct ratamark *lesson, enum format format,
                                 const struct ratamark_options *options, struct taker *taker)
{
    struct pipeline *work = &lesson->work;
    uint32_t pages = ratamark_page_count(lesson);
    if (!work->layout)
        return RATAMARK_TOO_EARLY;
    if (options->page > pages)
        return RATAMARK_BAD_ARGUMENT;
    if (format_rows[format].files == FORMAT_PER_PAGE && options->page == 0 && pages > 1)
        return RATAMARK_SEVERAL_PAGES;
    ratamark_take_sides(lesson, lesson->laid_out_for);
    work->date = options->date;
    work->dpi = options->dpi;
    size_t found = diags_count(work->diags);
    bool drawn = pipeline_draw(work, format, options->page, take_bytes, taker);
    if (diags_count(work->diags) != found)
        ratamark_gather_diagnostics(lesson);
    return made(drawn, taker);
}

/* Lists every exercise of the layout, whichever page it is on. */
static enum ratamark_result write_practice_page(struct ratamark *lesson,
                                                const struct ratamark_options *options,
                                                struct taker *taker)
{
    struct buffer problem = {0};
    if (!lesson->work.layout)
        return RATAMARK_TOO_EARLY;
    if (options->page)
        return RATAMARK_BAD_ARGUMENT;
    ratamark_take_sides(lesson, lesson->laid_out_for);
    bool written =
        lesson_file_write(&lesson->work, FORMAT_PRACTICE, 0, take_bytes, taker, &problem);
    bool playable = problem.length == 0;
    buffer_release(&problem);
    return playable ? made(written, taker) : RATAMARK_NOT_PLAYABLE;
}

static enum ratamark_result write_score(struct ratamark *lesson, enum format format,
                                        const struct ratamark_options *options, struct taker *taker)
{
    struct buffer problem = {0};
    lesson->work.layout_options.exercises = options->exercises;
    bool written = lesson_file_write(&lesson->work, format, 0, take_bytes, taker, &problem);
    buffer_release(&problem);
    return made(written, taker);
}

static enum ratamark_result write_grid(struct ratamark *lesson,
                                       const struct ratamark_options *options, struct taker *taker)
{
    struct buffer text = {0};
    chart_write(lesson->work.score, options->exercises, options->columns, &text);
    return take_text(taker, &text);
}

static enum ratamark_result perform_as_midi(struct ratamark *lesson,
                                            const struct ratamark_options *options,
                                            struct taker *taker)
{
    struct perform_options sound = options->sound;
    sound.exercises = options->exercises;
    const char *why = NULL;
    struct performance *performance = perform(lesson->work.score, &sound, &why);
    if (!performance)
        return RATAMARK_NOT_PLAYABLE;
    struct buffer bytes = {0};
    midi_write(performance, &bytes);
    return take_text(taker, &bytes);
}

enum ratamark_result ratamark_write(struct ratamark *lesson, enum ratamark_format format,
                                    const struct ratamark_options *options, ratamark_take *take,
                                    void *closure)
{
    static const enum format formats[] = {
        [RATAMARK_PDF] = FORMAT_PDF,   [RATAMARK_SVG] = FORMAT_SVG,
        [RATAMARK_PNG] = FORMAT_PNG,   [RATAMARK_TEXT] = FORMAT_TEXT,
        [RATAMARK_GRID] = FORMAT_NONE, /* no file of the command: it
                                          shows this in the terminal
                                        */
        [RATAMARK_MIDI] = FORMAT_MIDI, [RATAMARK_PRACTICE_PAGE] = FORMAT_PRACTICE,
    };
    options = options_or_default(options);
    struct taker taker = {take, closure, false};
    if (lesson->checked != RATAMARK_OK)
        return lesson->checked;
    if (!take || (unsigned)format >= sizeof formats / sizeof *formats ||
        !exercises_exist(lesson, options->exercises))
        return RATAMARK_BAD_ARGUMENT;
    if (format == RATAMARK_PRACTICE_PAGE)
        return write_practice_page(lesson, options, &taker);
    if (format_rows[formats[format]].from == FORMAT_FROM_PAGES)
        return draw(lesson, formats[format], options, &taker);
    ratamark_take_sides(lesson, options->handed);
    if (format == RATAMARK_GRID)
        return write_grid(lesson, options, &taker);
    if (format == RATAMARK_MIDI)
        return perform_as_midi(lesson, options, &taker);
    return write_score(lesson, formats[format], options, &taker);
}
