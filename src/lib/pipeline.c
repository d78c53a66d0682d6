#include "lib/pipeline.h"

#include "base/cells.h"
#include "build/build.h"
#include "lib/alt_text.h"
#include "lib/missing_glyphs.h"
#include "play/play.h"
#include "spoken/spoken.h"
#include "vary/variations.h"

#include <time.h>

void pipeline_init(struct pipeline *work, struct read_source source)
{
    struct arena *arena = arena_new();
    *work =
        (struct pipeline){.source = source, .dpi = 150, .arena = arena, .diags = diags_new(arena)};
}

static void close_layout(struct pipeline *work)
{
    layout_free(work->layout);
    if (work->faces != work->lent_faces)
        faces_close(work->faces);
    work->layout = NULL;
    work->faces = NULL;
}

void pipeline_drop_layout(struct pipeline *work)
{
    close_layout(work);
    if (work->next > STAGE_LAYOUT) {
        work->next = STAGE_LAYOUT;
        work->stopped = false;
    }
}

void pipeline_release(struct pipeline *work)
{
    close_layout(work);
    arena_free(work->arena);
    *work = (struct pipeline){0};
}

static bool read_stage(struct pipeline *work)
{
    work->lesson = read_lesson(work->arena, work->source, work->course, work->diags);
    return work->lesson;
}

void pipeline_take_sides(struct pipeline *work)
{
    enum handed asked = work->handed ? work->handed : work->lesson->settings.handed;
    bool left = asked ? asked == HANDED_LEFT : work->left_kit;
    work->lesson->kit.left_handed = left;
    score_mirror(work->score, left != work->left_kit);
}

static bool build_stage(struct pipeline *work)
{
    work->left_kit = work->lesson->kit.left_handed;
    work->score = build_score(work->lesson, work->diags);
    if (work->score->hands_asked && !work->leave_hands && !diags_errors(work->diags))
        play_fill_hands(work->score);
    pipeline_take_sides(work);
    return true;
}

static bool check_stage(struct pipeline *work)
{
    check_score(work->score, work->diags);
    if (diags_errors(work->diags) == 0)
        vary_check(work->score, work->diags);
    diags_sort(work->diags);
    return diags_errors(work->diags) == 0;
}

/* Lays out with a staff of this height, in place of an earlier layout. */
static void lay_out(struct pipeline *work, double staff_mm, struct diags *diags)
{
    layout_free(work->layout);
    faces_resize(work->faces, staff_mm / 4);
    work->metrics = faces_metrics(work->faces);
    work->layout = layout_new(work->score, &work->metrics, work->layout_options, diags);
}

/* Findings of a trial are dropped: the final layout finds them again. */
static bool fits_one(struct pipeline *work, double staff_mm)
{
    lay_out(work, staff_mm, diags_new(work->arena));
    return layout_page_count(work->layout) == 1;
}

/* `page: {fit: one}`: finds the largest staff, in tenths of a millimetre, with which the lesson
   fits one page. Below FIT_LEAST_MM nobody could read it from a music stand, so the staff stays as
   it is. Every height is tried, because a smaller staff may break lines and pages worse. */
static double fitting_staff(struct pipeline *work, double staff_mm)
{
    enum { FIT_LEAST_MM = 5 };
    struct place at = work->lesson->settings.page->fit_at;
    int tenths = (int)(staff_mm * 10 + 0.5);
    if (fits_one(work, staff_mm))
        return staff_mm;
    if (tenths <= FIT_LEAST_MM * 10 || !fits_one(work, FIT_LEAST_MM)) {
        diag_add(work->diags, DIAG_NOT_PRINTABLE, at,
                 "the lesson does not fit one page, even with a staff of %g mm",
                 tenths <= FIT_LEAST_MM * 10 ? staff_mm : FIT_LEAST_MM);
        return staff_mm;
    }
    for (tenths--; tenths > FIT_LEAST_MM * 10 && !fits_one(work, tenths / 10.0);)
        tenths--;
    diag_add(work->diags, DIAG_PAGE_FIT, at,
             "the staff is %d.%d mm high, not %g, to fit the lesson on one page", tenths / 10,
             tenths % 10, staff_mm);
    return tenths / 10.0;
}

/* A ladder that ends at the highest playable tempo needs verdicts. */
static void judge_for_ladders(struct pipeline *work)
{
    bool wanted = false;
    for (size_t i = 0; i < work->score->exercise_count && !wanted; i++)
        wanted = work->score->exercises[i].source->settings.show->ladder_limit;
    if (wanted)
        play_check(work->score, &(struct play_options){.words = true}, NULL);
}

void pipeline_say(struct pipeline *work, struct buffer *out)
{
    struct buffer text = {0};
    judge_for_ladders(work);
    spoken_lesson(work->score, work->layout_options.exercises, &text);
    cells_clean_lines(out, buffer_text(&text), text.length);
    buffer_release(&text);
}

static bool layout_stage(struct pipeline *work)
{
    judge_for_ladders(work);
    const struct page_settings *page = work->lesson->settings.page;
    struct faces_options options = {.music_font = work->music_font, .space_mm = page->staff_mm / 4};
    work->faces = work->lent_faces ? work->lent_faces : faces_open(&options, work->diags);
    if (!work->faces)
        return false;
    if (work->lent_faces)
        faces_renew(work->faces, options.space_mm);
    lay_out(work, page->fit_one ? fitting_staff(work, page->staff_mm) : page->staff_mm,
            work->diags);
    const uint32_t *missing;
    size_t count = faces_missing(work->faces, &missing);
    missing_glyphs_report(work->score, missing, count, work->diags);
    return true;
}

/* The architecture: each stage takes what the one before it made. */
static const struct {
    const char *word;
    bool (*run)(struct pipeline *work);
} stages[STAGE_COUNT] = {
    [STAGE_READ] = {"read", read_stage},       /* bytes to a typed lesson */
    [STAGE_BUILD] = {"build", build_stage},    /* lesson to a score */
    [STAGE_CHECK] = {"check", check_stage},    /* checks of the whole tree */
    [STAGE_LAYOUT] = {"layout", layout_stage}, /* tree to pages of marks */
};                                             /* pipeline_draw(): marks to ink */

const char *stage_word(enum stage stage)
{
    return stages[stage].word;
}

bool pipeline_run(struct pipeline *work, enum stage last)
{
    for (; !work->stopped && work->next <= last; work->next++) {
        clock_t before = clock();
        work->stopped = !stages[work->next].run(work);
        work->seconds[work->next] = (double)(clock() - before) / CLOCKS_PER_SEC;
    }
    return !work->stopped;
}

/* ---- drawing ------------------------------------------------------------------------------ */

static void draw_outline(struct pipeline *work, struct drawing *drawing)
{
    for (size_t i = 0; i < work->score->exercise_count; i++) {
        sp y = 0;
        uint32_t page = layout_exercise_page(work->layout, i, &y);
        const struct score_exercise *exercise = &work->score->exercises[i];
        if (page)
            drawing_outline(drawing,
                            (struct drawing_entry){.title = exercise->title ? exercise->title : "",
                                                   .page = page,
                                                   .y = y});
    }
}

static struct drawing_options document_of(const struct pipeline *work)
{
    const struct lesson *lesson = work->lesson;
    return (struct drawing_options){
        .title = lesson->title.text,
        .author = lesson->author.text,
        .date = work->date ? work->date : lesson->date.text,
        .dpi = work->dpi,
    };
}

bool pipeline_draw_first_line(struct pipeline *work, enum format format, draw_write *write,
                              void *closure)
{
    struct drawing_options options = document_of(work);
    const struct page *line = layout_first_line(work->layout);
    struct drawing *drawing = drawing_open(work->faces, format, &options, write, closure);
    if (!drawing)
        return false;
    drawing_page(drawing, line ? line : layout_page(work->layout, 1));
    return drawing_close(drawing);
}

bool pipeline_draw(struct pipeline *work, enum format format, uint32_t number, draw_write *write,
                   void *closure)
{
    uint32_t pages = layout_page_count(work->layout);
    uint32_t first = number ? number : 1, last = number ? number : pages;
    if (last > pages || (format != FORMAT_PDF && last > first))
        return false;
    const struct score *score = work->score;
    struct drawing_words words = alt_text_words(&score);
    struct drawing_options options = document_of(work);
    options.words = &words;
    options.diags = work->diags;
    struct drawing *drawing = drawing_open(work->faces, format, &options, write, closure);
    if (!drawing)
        return false;
    if (!number)
        draw_outline(work, drawing);
    for (uint32_t page = first; page <= last; page++)
        drawing_page(drawing, layout_page(work->layout, page));
    return drawing_close(drawing);
}
