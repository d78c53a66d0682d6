/* `ratamark check --explain`: what a code means, wrong and right. */
#include "app/commands.h"
#include "console/terminal.h"
#include "diag/diag.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static void add_example(struct buffer *out, const char *title, const char *lesson)
{
    if (!lesson)
        return;
    buffer_format(out, "\n%s:\n\n", title);
    while (*lesson) {
        size_t length = strcspn(lesson, "\n");
        buffer_add_text(out, length ? "    " : "");
        buffer_add(out, lesson, length);
        buffer_add_text(out, "\n");
        lesson += length + (lesson[length] == '\n');
    }
}

static void explain_text(enum diag_code code, struct buffer *out)
{
    const struct diag_lesson *lesson = diag_explain(code);
    buffer_format(out, "%s (%s): %s\n\n%s\n", diag_word(code),
                  diag_severity_word(diag_usual_severity(code)), diag_about(code), lesson->text);
    add_example(out, "Wrong", lesson->wrong);
    add_example(out, "Right", lesson->right);
}

static json_t *explain_json(enum diag_code code)
{
    const struct diag_lesson *lesson = diag_explain(code);
    return json_pack("{s:s, s:s, s:s, s:s, s:s?, s:s?}", "code", diag_word(code), "severity",
                     diag_severity_word(diag_usual_severity(code)), "about", diag_about(code),
                     "text", lesson->text, "wrong", lesson->wrong, "right", lesson->right);
}

static void say_unknown(const char *word)
{
    const char *words[DIAG_CODE_COUNT];
    for (int code = 0; code < DIAG_CODE_COUNT; code++)
        words[code] = diag_word((enum diag_code)code);
    const char *nearest = diag_nearest_name(word, words, DIAG_CODE_COUNT);
    if (nearest)
        say_error("no code is called '%s'; did you mean '%s'?", word, nearest);
    else
        say_error("no code is called '%s'; --explain all shows every code", word);
}

enum status explain_command(const struct options *options)
{
    enum diag_code first = 0, last = DIAG_CODE_COUNT - 1;
    if (strcmp(options->explain, "all") != 0) {
        if (!diag_code_from_word(options->explain, &first)) {
            say_unknown(options->explain);
            return STATUS_USAGE;
        }
        last = first;
    }
    struct buffer out = {0};
    json_t *list = json_array();
    for (int code = (int)first; code <= (int)last; code++) {
        if (options->format != REPORT_TEXT)
            json_array_append_new(list, explain_json((enum diag_code)code));
        else
            explain_text((enum diag_code)code, &out);
        if (options->format == REPORT_TEXT && code < (int)last)
            buffer_add_text(&out, "\n\n");
    }
    if (options->format != REPORT_TEXT) {
        char *text = json_dumps(list, JSON_INDENT(2) | JSON_ENSURE_ASCII);
        buffer_format(&out, "%s\n", text ? text : "null");
        free(text);
    }
    json_decref(list);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}
