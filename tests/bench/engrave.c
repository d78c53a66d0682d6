#include "engrave.h"

#include "build/build.h"
#include "check/check.h"
#include "lib/alt_text.h"
#include "read/read.h"

#include <stdio.h>
#include <stdlib.h>

#define SPACE_MM 1.75

static void stop_at_errors(const struct diags *diags)
{
    if (diags_errors(diags) == 0)
        return;
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (diag->severity == DIAG_SEVERITY_ERROR)
            fprintf(stderr, "bench.yaml:%u:%u: %s\n", diag->at.line, diag->at.column,
                    diag->message);
    }
    exit(2);
}

struct faces *bench_faces(struct diags *diags)
{
    return faces_open(&(struct faces_options){.space_mm = SPACE_MM}, diags);
}

void engraving_begin(struct engraving *engraving, const struct buffer *text, struct faces *faces)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct lesson *lesson = read_lesson(
        arena, (struct read_source){"bench.yaml", text->bytes, text->length}, NULL, diags);
    stop_at_errors(diags);
    const struct score *score = build_score(lesson, diags);
    check_score(score, diags);
    stop_at_errors(diags);
    *engraving = (struct engraving){
        .arena = arena, .diags = diags, .score = score, .metrics = faces_metrics(faces)};
    engraving->layout =
        layout_new(score, &engraving->metrics, (struct layout_options){0}, engraving->diags);
}

void engraving_end(struct engraving *engraving)
{
    layout_free(engraving->layout);
    arena_free(engraving->arena);
}

static bool count_bytes(void *closure, const void *bytes, size_t length)
{
    (void)bytes;
    *(size_t *)closure += length;
    return true;
}

size_t engraving_draw(struct engraving *engraving, struct faces *faces)
{
    size_t bytes = 0;
    struct layout *layout = engraving->layout;
    const struct score *score = engraving->score;
    struct drawing_words words = alt_text_words(&score);
    struct drawing_options options = {.title = "The Long Watch", .words = &words};
    struct drawing *drawing = drawing_open(faces, FORMAT_PDF, &options, count_bytes, &bytes);
    for (size_t i = 0; i < engraving->score->exercise_count; i++) {
        sp y = 0;
        uint32_t page = layout_exercise_page(layout, i, &y);
        if (page)
            drawing_outline(
                drawing, (struct drawing_entry){
                             .title = engraving->score->exercises[i].title, .page = page, .y = y});
    }
    for (uint32_t page = 1; page <= layout_page_count(layout); page++)
        drawing_page(drawing, layout_page(layout, page));
    if (!drawing_close(drawing))
        exit(2);
    return bytes;
}
