#include "tidied.h"

#include "build/build.h"
#include "hear.h"
#include "model/score_same.h"
#include "read/tidy.h"

static struct read_source source_of(const struct buffer *text)
{
    return (struct read_source){"fuzz.yaml", buffer_text(text), text->length};
}

static void judge_text(struct arena *arena, const struct buffer *text,
                       const struct course_context *course, const struct score *score)
{
    struct diags *diags = diags_new(arena);
    struct lesson *lesson = read_lesson(arena, source_of(text), course, diags);
    MUST(lesson && score_same(score, build_score(lesson, diags)) && diags_errors(diags) == 0);
    struct buffer again = {0};
    MUST(read_tidy(source_of(text), false, &again));
    MUST(again.length == text->length && memcmp(again.bytes, text->bytes, text->length) == 0);
    buffer_release(&again);
}

/* `tidy` refuses a file if its data would change, so there is nothing to check. */
void tidy_lesson(struct arena *arena, struct read_source source,
                 const struct course_context *course, const struct score *score)
{
    struct buffer text = {0};
    if (read_tidy(source, false, &text) && read_same_data(source, source_of(&text), false))
        judge_text(arena, &text, course, score);
    buffer_release(&text);
}
