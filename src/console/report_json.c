/* Findings as JSON: the project's own format (ratamark(1), REPORTS) and SARIF. No key is removed or
   changes its meaning under the same "format" number. */
#include "console/report_forms.h"

#include "base/utf8.h"
#include "console/mend.h"
#include "play/play.h"
#include "ratamark.h"

#include <stdlib.h>
#include <string.h>

/* JSON has to be UTF-8, but text from a file or a name may not be. */
static json_t *text_value(const char *text)
{
    struct buffer clean = {0};
    for (size_t length = strlen(text); length;) {
        size_t valid = utf8_valid_length(text, length);
        buffer_add(&clean, text, valid);
        if (valid < length) {
            buffer_add_text(&clean, "\xEF\xBF\xBD");
            valid++;
        }
        text += valid;
        length -= valid;
    }
    json_t *value = json_string(buffer_text(&clean));
    buffer_release(&clean);
    return value;
}

static void set_text(json_t *object, const char *key, const char *text)
{
    if (text)
        json_object_set_new(object, key, text_value(text));
}

static void set_number(json_t *object, const char *key, size_t number)
{
    json_object_set_new(object, key, json_integer((json_int_t)number));
}

void report_json_write(const json_t *document, struct buffer *out)
{
    char *text = json_dumps(document, JSON_INDENT(2) | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(12));
    buffer_format(out, "%s\n", text ? text : "null");
    free(text);
}

/* ---- our own format ----------------------------------------------------------------------- */

enum { FORMAT_NUMBER = 1 };

json_t *report_json_new(void)
{
    return json_pack("{s:i, s:s, s:[], s:[], s:[]}", "format", FORMAT_NUMBER, "ratamark",
                     RATAMARK_VERSION, "files", "diagnostics", "exercises");
}

static void set_place(json_t *object, struct place place)
{
    set_text(object, "file", place.file);
    if (place.line) {
        set_number(object, "line", place.line);
        set_number(object, "column", place.column);
        set_number(object, "length", place.length);
    }
}

static json_t *diag_value(const struct diag *diag)
{
    json_t *value = json_object();
    set_place(value, diag->at);
    set_text(value, "severity", diag_severity_word(diag->severity));
    set_text(value, "code", diag_word(diag->code));
    set_text(value, "message", diag->message);
    set_text(value, "found", diag->found);
    set_text(value, "expected", diag->expected);
    set_text(value, "nearest", diag->nearest);
    if (!diag->other.file || !diag->other_message)
        return value;
    json_t *other = json_object();
    set_place(other, diag->other);
    set_text(other, "message", diag->other_message);
    json_object_set_new(value, "other", other);
    return value;
}

void report_json_file(json_t *document, enum reported_kind kind, const char *file,
                      const struct diags *diags, bool quiet)
{
    size_t counts[3] = {0};
    json_t *list = json_object_get(document, "diagnostics");
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        counts[diag->severity]++;
        if (!quiet || diag->severity == DIAG_SEVERITY_ERROR)
            json_array_append_new(list, diag_value(diag));
    }
    json_t *entry = json_pack("{s:o, s:s, s:I, s:I, s:I}", "file", text_value(file), "kind",
                              kind == REPORTED_COURSE ? "course" : "lesson", "errors",
                              (json_int_t)diags_errors(diags), "warnings",
                              (json_int_t)counts[DIAG_SEVERITY_WARNING], "notes",
                              (json_int_t)counts[DIAG_SEVERITY_NOTE]);
    json_array_append_new(json_object_get(document, "files"), entry);
}

/* ---- verdicts ----------------------------------------------------------------------------- */

static json_t *limit_value(const struct score *score, const struct verdict *verdict)
{
    const struct move *move = &verdict->limit;
    const struct voice *voices = score->lesson->kit.voices;
    json_t *value = json_object();
    set_text(value, "limb", limb_word(move->limb));
    set_text(value, "kind", move_word((enum move_kind)move->kind));
    set_text(value, "from", voices[move->from].name);
    set_text(value, "to", voices[move->to].name);
    set_number(value, "bar", move->bar->number);
    set_text(value, "count", play_count(score->arena, move->bar, move->note));
    set_number(value, "strokes", move->strokes);
    json_object_set_new(value, "beats", json_real((double)move->ticks / (double)verdict->quarter));
    json_object_set_new(value, "takes_ms", json_real(move->takes_us / 1000.0));
    set_place(value, move->note->at);
    return value;
}

static json_t *verdict_value(const struct score *score, const struct score_exercise *exercise)
{
    static const char *const words[] = {[VERDICT_TEMPO] = "tempo",
                                        [VERDICT_UNLIMITED] = "unlimited",
                                        [VERDICT_IMPOSSIBLE] = "impossible",
                                        [VERDICT_UNKNOWN] = "unknown"};
    const struct verdict *verdict = exercise->verdict;
    bool limited = verdict->kind == VERDICT_TEMPO;
    json_t *value = json_object();
    set_number(value, "exercise", exercise->number);
    set_text(value, "title", exercise->title);
    set_text(value, "level", verdict->limits->name);
    set_text(value, "verdict", words[verdict->kind]);
    set_text(value, "hands", verdict->proposed ? "proposed" : "written");
    json_object_set_new(value, "max_tempo",
                        limited ? json_real(verdict->max_tenths / 10.0) : json_null());
    json_object_set_new(value, "limit", limited ? limit_value(score, verdict) : json_null());
    return value;
}

void report_json_verdicts(json_t *document, const char *file, const struct score *score)
{
    json_t *list = json_object_get(document, "exercises");
    for (size_t i = 0; i < score->exercise_count; i++) {
        if (!score->exercises[i].verdict)
            continue;
        json_t *value = verdict_value(score, &score->exercises[i]);
        set_text(value, "file", file);
        json_array_append_new(list, value);
    }
}

/* ---- SARIF -------------------------------------------------------------------------------- */

/* OASIS Standard "Static Analysis Results Interchange Format (SARIF) Version 2.1.0", 27 March 2020:
   3.13 sarifLog, 3.14 run, 3.27 result, 3.29 physicalLocation, 3.30 region, 3.49
   reportingDescriptor. */
#define SARIF_SCHEMA                                                                               \
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"

static json_t *rules(void)
{
    json_t *list = json_array();
    for (int i = 0; i < DIAG_CODE_COUNT; i++) {
        enum diag_code code = (enum diag_code)i;
        json_array_append_new(list, json_pack("{s:s, s:{s:s}, s:{s:s}}", "id", diag_word(code),
                                              "shortDescription", "text", diag_about(code),
                                              "defaultConfiguration", "level",
                                              diag_severity_word(diag_usual_severity(code))));
    }
    return list;
}

json_t *report_sarif_new(void)
{
    json_t *run = json_pack("{s:{s:{s:s, s:s, s:o}}, s:s, s:[]}", "tool", "driver", "name",
                            "ratamark", "version", RATAMARK_VERSION, "rules", rules(), "columnKind",
                            "unicodeCodePoints", "results");
    return json_pack("{s:s, s:s, s:[o]}", "$schema", SARIF_SCHEMA, "version", "2.1.0", "runs", run);
}

static json_t *location(struct place place, const char *message)
{
    struct buffer uri = {0};
    if (place.file[0] == '/')
        buffer_add_text(&uri, "file://");
    buffer_add_uri(&uri, place.file); /* relative or absolute (RFC 3986, 4.2) */
    json_t *physical =
        json_pack("{s:{s:o}}", "artifactLocation", "uri", text_value(buffer_text(&uri)));
    buffer_release(&uri);
    if (place.line)
        json_object_set_new(physical, "region",
                            json_pack("{s:I, s:I, s:I}", "startLine", (json_int_t)place.line,
                                      "startColumn", (json_int_t)place.column, "endColumn",
                                      (json_int_t)place.column + place.length));
    json_t *whole = json_pack("{s:o}", "physicalLocation", physical);
    if (message)
        json_object_set_new(whole, "message", json_pack("{s:o}", "text", text_value(message)));
    return whole;
}

/* SARIF 2.1.0, 3.55 to 3.57: one replacement in the file of the finding. */
static json_t *fix(const struct diag *diag, struct place at)
{
    json_t *whole = location(at, NULL);
    json_t *change = json_object_get(whole, "physicalLocation");
    json_t *replacement =
        json_pack("{s:O, s:{s:o}}", "deletedRegion", json_object_get(change, "region"),
                  "insertedContent", "text", text_value(diag->nearest));
    struct buffer words = {0};
    buffer_format(&words, "Write '%s'.", diag->nearest);
    json_t *value =
        json_pack("{s:{s:o}, s:[{s:O, s:[o]}]}", "description", "text",
                  text_value(buffer_text(&words)), "artifactChanges", "artifactLocation",
                  json_object_get(change, "artifactLocation"), "replacements", replacement);
    buffer_release(&words);
    json_decref(whole);
    return value;
}

static json_t *result(struct read_source source, const struct diag *diag)
{
    struct buffer sentence = {0};
    report_text_sentence(diag, &sentence);
    json_t *value =
        json_pack("{s:s, s:i, s:s, s:{s:o}}", "ruleId", diag_word(diag->code), "ruleIndex",
                  (int)diag->code, "level", diag_severity_word(diag->severity), "message", "text",
                  text_value(buffer_text(&sentence)));
    buffer_release(&sentence);
    if (diag->at.file)
        json_object_set_new(value, "locations", json_pack("[o]", location(diag->at, NULL)));
    struct place at;
    if (mend_is_sure(source, diag, &at))
        json_object_set_new(value, "fixes", json_pack("[o]", fix(diag, at)));
    if (diag->other.file && diag->other_message)
        json_object_set_new(value, "relatedLocations",
                            json_pack("[o]", location(diag->other, diag->other_message)));
    return value;
}

void report_sarif_file(json_t *document, struct read_source source, const struct diags *diags,
                       bool quiet)
{
    json_t *run = json_array_get(json_object_get(document, "runs"), 0);
    json_t *results = json_object_get(run, "results");
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (!quiet || diag->severity == DIAG_SEVERITY_ERROR)
            json_array_append_new(results, result(source, diag));
    }
}
