#include "lib/practice_page.h"

#include "draw/screen_svg.h"
#include "perform/perform.h"
#include "practice/practice.h"
#include "spoken/spoken.h"

struct gathering {
    struct pipeline *work;
    struct practice_exercise *exercises;
    size_t count;
    struct screen_svg *svg;
};

/* ---- what is heard and said ----------------------------------------------------------------- */

/* One exercise alone, as `sound` plays it without options. An exercise with nothing to play has no
   performance; one that is too long is a problem. */
static bool perform_one(const struct gathering *all, struct practice_exercise *exercise,
                        struct buffer *problem)
{
    const struct score *score = all->work->score;
    const struct score_exercise *is = &score->exercises[exercise->index];
    struct perform_options options = {
        .exercises = {&is->number, 1}, .count_in = 1, .click = true, .drums = true};
    const char *why = NULL;
    if (is->bar_count == 0 && !is->sequence)
        return true;
    exercise->performance = perform(score, &options, &why);
    if (!exercise->performance)
        buffer_add_text(problem, why);
    return exercise->performance;
}

static void say_one(const struct gathering *all, struct practice_exercise *exercise)
{
    struct buffer text = {0};
    spoken_paragraphs(all->work->score, exercise->index, &text);
    spoken_music(all->work->score, exercise->index, &text);
    spoken_ladder(all->work->score, exercise->index, &text);
    exercise->reading = buffer_keep(&text, all->work->arena);
}

static bool gather_exercises(struct gathering *all, struct buffer *problem)
{
    const struct score *score = all->work->score;
    bool good = true;
    all->exercises = arena_array(all->work->arena, score->exercise_count, sizeof *all->exercises);
    for (size_t i = 0; good && i < score->exercise_count; i++) {
        if (!exercise_chosen(all->work->layout_options.exercises, score->exercises[i].number))
            continue;
        struct practice_exercise *exercise = &all->exercises[all->count++];
        exercise->index = i;
        good = perform_one(all, exercise, problem);
        say_one(all, exercise);
    }
    return good;
}

/* ---- what is seen --------------------------------------------------------------------------- */

static void draw_page(struct gathering *all, const struct page *page, enum practice_width width)
{
    for (size_t i = 0; i < page->system_count; i++)
        for (size_t k = 0; k < all->count; k++)
            if (all->exercises[k].index == page->systems[i].exercise)
                screen_svg_line(all->svg, page, &page->systems[i], &all->exercises[k].lines[width]);
}

/* Findings of these layouts are dropped: those of the sheet are the lesson's. */
static void draw_width(struct gathering *all, enum practice_width width)
{
    struct pipeline *work = all->work;
    struct layout_options options = {.exercises = work->layout_options.exercises,
                                     .screen_um = practice_widths[width].micrometres};
    struct layout *layout =
        layout_new(work->score, &work->metrics, options, diags_new(work->arena));
    for (uint32_t number = 1; number <= layout_page_count(layout); number++)
        draw_page(all, layout_page(layout, number), width);
    layout_free(layout);
}

/* ---- what is printed ------------------------------------------------------------------------ */

/* The pages of the sheet, and the shapes that they share before them. */
static void draw_sheet(struct gathering *all, struct buffer *sheet)
{
    struct pipeline *work = all->work;
    struct screen_svg *svg = screen_svg_open(work->faces, "sheet-");
    struct buffer pages = {0};
    for (uint32_t number = 1; number <= layout_page_count(work->layout); number++)
        screen_svg_page(svg, layout_page(work->layout, number), &pages);
    screen_svg_shapes(svg, sheet);
    buffer_add(sheet, buffer_text(&pages), pages.length);
    buffer_release(&pages);
    screen_svg_close(svg);
}

static void write_page(struct gathering *all, struct buffer *out)
{
    const struct score *score = all->work->score;
    struct buffer head = {0}, tail = {0}, shapes = {0}, sheet = {0};
    draw_sheet(all, &sheet);
    spoken_head(score, &head);
    spoken_tail(score, &tail);
    screen_svg_shapes(all->svg, &shapes);
    struct practice_parts parts = {.exercises = all->exercises,
                                   .count = all->count,
                                   .head = buffer_text(&head),
                                   .tail = buffer_text(&tail),
                                   .shapes = buffer_text(&shapes),
                                   .sheet = &sheet};
    practice_page(score, &parts, out);
    buffer_release(&sheet);
    buffer_release(&head);
    buffer_release(&tail);
    buffer_release(&shapes);
}

bool practice_page_make(struct pipeline *work, struct buffer *out, struct buffer *problem)
{
    struct gathering all = {.work = work};
    if (!gather_exercises(&all, problem))
        return false;
    all.svg = screen_svg_open(work->faces, "");
    for (int width = 0; width < PRACTICE_WIDTHS; width++)
        draw_width(&all, (enum practice_width)width);
    write_page(&all, out);
    for (size_t i = 0; i < all.count; i++)
        for (int width = 0; width < PRACTICE_WIDTHS; width++)
            buffer_release(&all.exercises[i].lines[width]);
    screen_svg_close(all.svg);
    return true;
}
