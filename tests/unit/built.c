#include "built.h"

#include "base/buffer.h"
#include "read/read.h"

#include <check.h>
#include <string.h>

struct built built_any(const char *text)
{
    struct built built = {.arena = arena_new()};
    built.diags = diags_new(built.arena);
    struct read_source source = {"lesson.yaml", text, strlen(text)};
    built.lesson = read_lesson(built.arena, source, NULL, built.diags);
    ck_assert_ptr_nonnull(built.lesson);
    built.score = build_score(built.lesson, built.diags);
    return built;
}

struct built built_right(const char *text)
{
    struct built built = built_any(text);
    for (size_t i = 0; i < diags_count(built.diags); i++) {
        const struct diag *diag = diags_get(built.diags, i);
        if (diag->severity == DIAG_SEVERITY_ERROR)
            ck_abort_msg("%u:%u: %s [%s] in\n%s", diag->at.line, diag->at.column, diag->message,
                         diag_word(diag->code), text);
    }
    return built;
}

void built_release(struct built *built)
{
    arena_free(built->arena);
}

const struct score_bar *built_bar(const struct built *built, size_t exercise, size_t bar)
{
    ck_assert_uint_lt(exercise, built->score->exercise_count);
    ck_assert_uint_lt(bar, built->score->exercises[exercise].bar_count);
    return &built->score->exercises[exercise].bars[bar];
}

static const char *keep(const struct built *built, struct buffer *text)
{
    const char *kept = arena_copy_text(built->arena, buffer_text(text), text->length);
    buffer_release(text);
    return kept;
}

static void open_tuplets(struct buffer *text, const struct score_line *line, uint32_t leaf)
{
    for (uint16_t i = 0; i < line->tuplet_count; i++)
        if (line->tuplets[i].first == leaf)
            buffer_format(text, "%u:%u( ", line->tuplets[i].actual, line->tuplets[i].normal);
}

static void close_tuplets(struct buffer *text, const struct score_line *line, uint32_t leaf)
{
    for (uint16_t i = 0; i < line->tuplet_count; i++)
        if (line->tuplets[i].end == leaf + 1)
            buffer_add_text(text, " )");
}

static void value(struct buffer *text, const struct leaf *leaf)
{
    if (leaf->whole_bar) {
        buffer_add_text(text, "_bar");
        return;
    }
    buffer_format(text, "%s%d",
                  leaf->rest        ? "_"
                  : leaf->continued ? "~"
                                    : "",
                  1 << leaf->value_log2);
    for (int dot = 0; dot < leaf->dots; dot++)
        buffer_add_text(text, ".");
}

const char *built_values(const struct built *built, size_t exercise, size_t bar, int line)
{
    const struct score_line *from = &built_bar(built, exercise, bar)->lines[line];
    struct buffer text = {0};
    for (uint32_t i = 0; i < from->leaf_count; i++) {
        if (i)
            buffer_add_text(&text, from->leaves[i].beat != from->leaves[i - 1].beat ? " | " : " ");
        open_tuplets(&text, from, i);
        value(&text, &from->leaves[i]);
        close_tuplets(&text, from, i);
    }
    return keep(built, &text);
}

/* By their signs; marks that have none by what the grid shows. */
static void marks(struct buffer *text, mark_set marks)
{
    for (int i = 0; i < MARK_COUNT; i++) {
        const struct stroke_mark *mark = &stroke_marks[i];
        if (marks & mark->bit && !mark->sign)
            buffer_add_text(text, mark->cell);
        for (int time = 0; marks & mark->bit && time < mark->times; time++)
            buffer_add(text, &mark->sign, 1);
    }
}

static void stroke(const struct built *built, struct buffer *text, const struct note *note)
{
    for (int grace = 0; grace < note->grace_count; grace++)
        buffer_add_text(text, note->graces >> grace & 1 ? "l" : "r");
    buffer_format(text, "%c:", note->letter ? note->letter : '-');
    for (int hit = 0; hit < note->hit_count; hit++)
        buffer_format(text, "%s%s%s%s", hit ? "+" : "",
                      built->lesson->kit.voices[note->hits[hit].voice].name,
                      note->hits[hit].ghost ? "()" : "", note->hits[hit].plain ? "=" : "");
    marks(text, note->marks);
}

const char *built_strokes(const struct built *built, size_t exercise, size_t bar, int line)
{
    const struct score_line *from = &built_bar(built, exercise, bar)->lines[line];
    struct buffer text = {0};
    for (uint32_t i = 0; i < from->leaf_count; i++)
        if (leaf_struck(&from->leaves[i])) {
            buffer_add_text(&text, text.length ? " " : "");
            stroke(built, &text, from->leaves[i].note);
        }
    return keep(built, &text);
}

const char *built_counts(const struct built *built, size_t exercise, size_t bar)
{
    const struct score_bar *from = built_bar(built, exercise, bar);
    struct buffer text = {0};
    for (uint16_t i = 0; i < from->count_count; i++)
        buffer_format(&text, from->counts[i].struck ? "%s%s" : "%s[%s]", i ? " " : "",
                      from->counts[i].text);
    return keep(built, &text);
}

size_t built_count(const struct built *built, enum diag_code code)
{
    size_t count = 0;
    for (size_t i = 0; i < diags_count(built->diags); i++)
        count += diags_get(built->diags, i)->code == code;
    return count;
}

const struct diag *built_finding(const struct built *built, enum diag_code code, uint32_t line,
                                 uint32_t column)
{
    const struct diag *found = NULL;
    for (size_t i = 0; i < diags_count(built->diags); i++) {
        const struct diag *diag = diags_get(built->diags, i);
        if (diag->code == code) {
            ck_assert_msg(!found, "a second %s: %s", diag_word(code), diag->message);
            found = diag;
        }
    }
    ck_assert_msg(found != NULL, "no %s", diag_word(code));
    ck_assert_msg(found->at.line == line && found->at.column == column, "%u:%u: %s", found->at.line,
                  found->at.column, found->message);
    return found;
}
