/* `ratamark check --explain`: what a code means, with a wrong and a right lesson. */
#include "app/commands.h"
#include "console/report.h"
#include "console/report_forms.h"
#include "diag/diag.h"

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
    const struct diag_lesson *lesson = &diag_lessons[code];
    buffer_format(out, "%s (%s): %s\n\n%s\n", diag_word(code),
                  diag_severity_word(diag_usual_severity(code)), diag_about(code), lesson->text);
    bool note = diag_usual_severity(code) == DIAG_SEVERITY_NOTE; /* a note is not a mistake */
    add_example(out, note ? "A lesson that gets it" : "Wrong", lesson->wrong);
    add_example(out, note ? "A lesson that does not" : "Right", lesson->right);
}

static json_t *explain_json(enum diag_code code)
{
    const struct diag_lesson *lesson = &diag_lessons[code];
    return json_pack("{s:s, s:s, s:s, s:s, s:s?, s:s?}", "code", diag_word(code), "severity",
                     diag_severity_word(diag_usual_severity(code)), "about", diag_about(code),
                     "text", lesson->text, "wrong", lesson->wrong, "right", lesson->right);
}

static enum status no_such_code(const char *word)
{
    const char *words[DIAG_CODE_COUNT];
    for (int code = 0; code < DIAG_CODE_COUNT; code++)
        words[code] = diag_word((enum diag_code)code);
    say_unknown("code", word, words, DIAG_CODE_COUNT, "--explain all shows every code");
    return STATUS_USAGE;
}

enum status explain_command(const struct options *options)
{
    if (options->format == REPORT_SARIF) {
        say_error("--explain takes --format text or json: SARIF is for reports on files");
        return STATUS_USAGE;
    }
    enum diag_code first = 0, last = DIAG_CODE_COUNT - 1;
    if (strcmp(options->explain, "all") != 0) {
        if (!diag_code_from_word(options->explain, &first))
            return no_such_code(options->explain);
        last = first;
    }
    struct buffer out = {0};
    json_t *list = json_array();
    for (int code = (int)first; code <= (int)last; code++) {
        if (options->format != REPORT_TEXT) {
            json_array_append_new(list, explain_json((enum diag_code)code));
            continue;
        }
        explain_text((enum diag_code)code, &out);
        buffer_add_text(&out, code < (int)last ? "\n\n" : "");
    }
    if (options->format != REPORT_TEXT)
        report_json_write(list, &out);
    json_decref(list);
    return put_result(&out);
}
