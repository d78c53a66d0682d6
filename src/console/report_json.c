/* Findings as JSON: the project's own shape (ratamark(1), REPORTS) and SARIF. Keys are never taken
   away or given another meaning under the same "format" number. */
#include "console/report.h"

#include "base/buffer.h"

#include "base/utf8.h"
#include "play/play.h"
#include "ratamark.h"

#include <ctype.h>
#include <jansson.h>
#include <string.h>

/* Text from a file or a name may not be UTF-8, which JSON has to be. */
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

/* ---- our own shape ------------------------------------------------------------------------ */

enum { FORMAT_NUMBER = 1 };

json_t *report_json_new(void)
{
    json_t *document = json_object();
    set_number(document, "format", FORMAT_NUMBER);
    set_text(document, "ratamark", RATAMARK_VERSION);
    json_object_set_new(document, "files", json_array());
    json_object_set_new(document, "diagnostics", json_array());
    json_object_set_new(document, "exercises", json_array());
    return document;
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
    if (diag->other.file && diag->other_message) {
        json_t *other = json_object();
        set_place(other, diag->other);
        set_text(other, "message", diag->other_message);
        json_object_set_new(value, "other", other);
    }
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
    json_t *entry = json_object();
    set_text(entry, "file", file);
    set_text(entry, "kind", kind == REPORTED_COURSE ? "course" : "lesson");
    set_number(entry, "errors", diags_errors(diags));
    set_number(entry, "warnings", counts[DIAG_SEVERITY_WARNING]);
    set_number(entry, "notes", counts[DIAG_SEVERITY_NOTE]);
    json_array_append_new(json_object_get(document, "files"), entry);
}

/* ---- verdicts ----------------------------------------------------------------------------- */

static json_t *limit_value(const struct score *score, const struct verdict *verdict)
{
    static const char *const limbs[] = {"right hand", "left hand", "right foot", "left foot"};
    const struct move *move = &verdict->limit;
    const struct voice *voices = score->lesson->kit.voices;
    json_t *value = json_object();
    set_text(value, "limb", limbs[move->limb]);
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
    for (int code = 0; code < DIAG_CODE_COUNT; code++) {
        json_t *rule = json_object(), *about = json_object(), *usual = json_object();
        set_text(rule, "id", diag_word((enum diag_code)code));
        set_text(about, "text", diag_about((enum diag_code)code));
        json_object_set_new(rule, "shortDescription", about);
        set_text(usual, "level", diag_severity_word(diag_usual_severity((enum diag_code)code)));
        json_object_set_new(rule, "defaultConfiguration", usual);
        json_array_append_new(list, rule);
    }
    return list;
}

json_t *report_sarif_new(void)
{
    json_t *driver = json_object();
    set_text(driver, "name", "ratamark");
    set_text(driver, "version", RATAMARK_VERSION);
    json_object_set_new(driver, "rules", rules());
    json_t *tool = json_object(), *run = json_object(), *runs = json_array();
    json_object_set_new(tool, "driver", driver);
    json_object_set_new(run, "tool", tool);
    set_text(run, "columnKind", "unicodeCodePoints");
    json_object_set_new(run, "results", json_array());
    json_array_append_new(runs, run);
    json_t *document = json_object();
    set_text(document, "$schema", SARIF_SCHEMA);
    set_text(document, "version", "2.1.0");
    json_object_set_new(document, "runs", runs);
    return document;
}

/* A relative path, or an absolute one, as a URI reference (RFC 3986, 2.1 and 4.2). */
static void add_uri(struct buffer *out, const char *path)
{
    if (path[0] == '/')
        buffer_add_text(out, "file://");
    for (; *path; path++) {
        unsigned char byte = (unsigned char)*path;
        if (isalnum(byte) || strchr("/-._~", byte))
            buffer_add(out, path, 1);
        else
            buffer_format(out, "%%%02X", byte);
    }
}

static json_t *location(struct place place, const char *message)
{
    struct buffer uri = {0};
    add_uri(&uri, place.file);
    json_t *artifact = json_object(), *physical = json_object(), *whole = json_object();
    set_text(artifact, "uri", buffer_text(&uri));
    buffer_release(&uri);
    json_object_set_new(physical, "artifactLocation", artifact);
    if (place.line) {
        json_t *region = json_object();
        set_number(region, "startLine", place.line);
        set_number(region, "startColumn", place.column);
        set_number(region, "endColumn", place.column + (size_t)place.length);
        json_object_set_new(physical, "region", region);
    }
    json_object_set_new(whole, "physicalLocation", physical);
    if (message) {
        json_t *text = json_object();
        set_text(text, "text", message);
        json_object_set_new(whole, "message", text);
    }
    return whole;
}

static json_t *result(const struct diag *diag)
{
    struct buffer sentence = {0};
    report_sentence(diag, &sentence);
    json_t *value = json_object(), *message = json_object();
    set_text(value, "ruleId", diag_word(diag->code));
    set_number(value, "ruleIndex", (size_t)diag->code);
    set_text(value, "level", diag_severity_word(diag->severity));
    set_text(message, "text", buffer_text(&sentence));
    buffer_release(&sentence);
    json_object_set_new(value, "message", message);
    if (diag->at.file)
        json_object_set_new(value, "locations", json_pack("[o]", location(diag->at, NULL)));
    if (diag->other.file && diag->other_message) {
        json_object_set_new(value, "relatedLocations",
                            json_pack("[o]", location(diag->other, diag->other_message)));
    }
    return value;
}

void report_sarif_file(json_t *document, const struct diags *diags, bool quiet)
{
    json_t *run = json_array_get(json_object_get(document, "runs"), 0);
    json_t *results = json_object_get(run, "results");
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (!quiet || diag->severity == DIAG_SEVERITY_ERROR)
            json_array_append_new(results, result(diag));
    }
}
