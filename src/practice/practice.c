#include "practice/practice.h"

#include "base/html_text.h"
#include "model/caution.h"
#include "model/tempo.h"
#include "practice/embedded_page.h"
#include "practice/played_data.h"

#include <glib.h>
#include <string.h>
#include <zlib.h>

const struct practice_width_row practice_widths[PRACTICE_WIDTHS] = {
    [PRACTICE_NARROW] = {"narrow", 90000},
    [PRACTICE_MIDDLE] = {"middle", 150000},
    [PRACTICE_WIDE] = {"wide", 240000},
};

/* Readings are in English, whatever the language of the lesson. */
static const char english[] = "en";

static const char *language_of(const struct score *score)
{
    const char *language = score->lesson->language.text;
    return language ? language : english;
}

/* ---- words ---------------------------------------------------------------------------------- */

static const struct page_words *words_of(const struct score *score)
{
    return &score->lesson->words;
}

/* For elements with words of the page: without a catalogue these are English. */
static const char *word_marks(const struct score *score)
{
    return catalogue_for(score->lesson->language.text) || !score->lesson->language.text
               ? ""
               : " lang=\"en\"";
}

/* Adds HTML in which each [[word]] stands for that word in the page's language. */
static void add_worded(const struct score *score, const char *html, struct buffer *out)
{
    const char *word;
    while ((word = strstr(html, "[["))) {
        const char *end = strstr(word, "]]");
        struct buffer name = {0};
        buffer_add(out, html, (size_t)(word - html));
        buffer_add(&name, word + 2, (size_t)(end - word - 2));
        html_text(out, page_word(words_of(score), buffer_text(&name)));
        buffer_release(&name);
        html = end + 2;
    }
    buffer_add_text(out, html);
}

/* <ELEMENT>text</ELEMENT>, if there is a text */
static void add_element(struct buffer *out, const char *element, const char *attributes,
                        const char *text)
{
    if (!text || !*text)
        return;
    buffer_format(out, "<%s%s>", element, attributes);
    html_text(out, text);
    buffer_format(out, "</%s>\n", element);
}

/* ---- head ----------------------------------------------------------------------------------- */

static void add_head(const struct score *score, struct buffer *out)
{
    const char *title = score->lesson->title.text;
    buffer_add_text(out, "<!DOCTYPE html>\n<html lang=\"");
    html_text(out, language_of(score));
    buffer_add_text(out, "\">\n<head>\n<meta charset=\"utf-8\">\n");
    buffer_format(out,
                  "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                  "script-src 'sha256-%s'; style-src 'sha256-%s'; base-uri 'none'; form-action "
                  "'none'\">\n",
                  embedded_script_sha256, embedded_look_sha256);
    buffer_add_text(out, "<meta name=\"viewport\" content=\"width=device-width, "
                         "initial-scale=1\">\n<meta name=\"generator\" content=\"Ratamark\">\n");
    add_element(out, "title", "", title && *title ? title : page_word(words_of(score), "Practice"));
    buffer_add_text(out, "<style>");
    buffer_add(out, embedded_look, embedded_look_size);
    buffer_add_text(out, "</style>\n</head>\n");
}

/* Every line of a reading is a paragraph. */
static void add_reading(const struct score *score, const char *summary, const char *text,
                        struct buffer *out)
{
    buffer_format(out, "<details class=\"reading\"><summary%s>", word_marks(score));
    html_text(out, page_word(words_of(score), summary));
    buffer_format(out, "</summary>\n<div lang=\"%s\">\n", english);
    while (*text) {
        size_t length = strcspn(text, "\n");
        struct buffer line = {0};
        buffer_add(&line, text, length);
        add_element(out, "p", "", buffer_text(&line));
        buffer_release(&line);
        text += length + (text[length] == '\n');
    }
    buffer_add_text(out, "</div>\n</details>\n");
}

static void add_opening(const struct score *score, const struct practice_parts *parts,
                        struct buffer *out)
{
    const struct lesson *lesson = score->lesson;
    const char *title = lesson->title.text;
    buffer_format(out, "<body>\n<a class=\"skip\" href=\"#exercises\"%s>", word_marks(score));
    add_worded(score, "[[Skip to the exercises]]</a>\n<header>\n", out);
    add_element(out, "h1", "", title && *title ? title : page_word(words_of(score), "Practice"));
    add_element(out, "p", " class=\"subtitle\"", lesson->subtitle.text);
    add_element(out, "p", " class=\"school\"", lesson->author.text);
    for (size_t i = 0; i < lesson->note_count; i++)
        add_element(out, "p", " class=\"note\"", lesson->notes[i].text);
    add_reading(score, "About this lesson, as text", parts->head, out);
    buffer_add_text(out, "</header>\n");
}

/* ---- exercises ------------------------------------------------------------------------------ */

static void add_music(const struct practice_exercise *exercise, struct buffer *out)
{
    buffer_add_text(out, "<div class=\"music\" aria-hidden=\"true\">\n");
    for (int i = 0; i < PRACTICE_WIDTHS; i++) {
        buffer_format(out, "<div class=\"%s\">\n", practice_widths[i].name);
        buffer_add(out, buffer_text(&exercise->lines[i]), exercise->lines[i].length);
        buffer_add_text(out, "</div>\n");
    }
    buffer_add_text(out, "</div>\n");
}

static void add_tempo(const struct score *score, const struct tempo *tempo, struct buffer *out)
{
    if (!tempo)
        return;
    char room[TEMPO_TEXT_ROOM];
    buffer_format(out, "<p class=\"tempo\"%s>%s", word_marks(score),
                  tempo_text(tempo->hundredths[0], room));
    if (tempo->count > 1)
        buffer_format(out, "\342\200\223%s", tempo_text(tempo->hundredths[tempo->count - 1], room));
    add_worded(score, " [[beats a minute]]</p>\n", out);
}

static void add_play_button(const struct score *score, unsigned number, size_t played,
                            struct buffer *out)
{
    buffer_format(out,
                  "<button type=\"button\" class=\"play\"%s data-play=\"%zu\" "
                  "aria-describedby=\"heading-%u\" hidden>",
                  word_marks(score), played, number);
    add_worded(score, "[[Play]]</button>\n", out);
}

static void add_exercise(const struct score *score, const struct practice_exercise *exercise,
                         size_t *played, struct buffer *out)
{
    const struct score_exercise *is = &score->exercises[exercise->index];
    unsigned number = is->number;
    buffer_format(out,
                  "<section id=\"exercise-%u\" aria-labelledby=\"heading-%u\">\n<h2 "
                  "id=\"heading-%u\"><span class=\"ring\">%u</span> ",
                  number, number, number, number);
    html_text(out, is->title ? is->title : "");
    buffer_add_text(out, "</h2>\n");
    add_element(out, "p", " class=\"subtitle\"", is->source->subtitle.text);
    for (size_t i = 0; i < is->source->paragraph_count; i++)
        add_element(out, "p", "", is->source->paragraphs[i].text);
    add_tempo(score, is->tempo, out);
    if (exercise->performance)
        add_play_button(score, number, (*played)++, out);
    add_music(exercise, out);
    add_reading(score, "This exercise as text", exercise->reading, out);
    buffer_add_text(out, "</section>\n");
}

/* ---- the stand ------------------------------------------------------------------------------ */

/* The words after data- are those that the script says. */
static const char stand[] =
    " aria-label=\"[[Playing]]\" data-start=\"[[Start]]\" data-stop=\"[[Stop]]\" "
    "data-play=\"[[Play]]\" data-playing=\"[[Playing]]\" data-stopped=\"[[Stopped]]\" "
    "data-pickup=\"[[pickup]]\" data-time=\"[[time {n}]]\" "
    "data-picked=\"[[From bar {n} to bar {m}]]\" data-beats=\"[[beats a minute]]\" "
    "data-played=\"[[played]]\" data-ladder=\"[[Practice ladder]]\" "
    "data-kept=\"[[Ticks are kept on this device alone.]]\" hidden>\n"
    "<p class=\"now-on\" id=\"chosen\"></p>\n"
    "<button type=\"button\" id=\"go\">[[Start]]</button>\n"
    "<div class=\"beats\">\n"
    "<label for=\"tempo\">[[Beats a minute]] <output id=\"beats\" for=\"tempo\"></output></label>\n"
    "<button type=\"button\" id=\"slower\" aria-label=\"[[One beat "
    "slower]]\">\342\210\222</button>\n"
    "<input type=\"range\" id=\"tempo\" min=\"30\" max=\"120\" step=\"1\">\n"
    "<button type=\"button\" id=\"faster\" aria-label=\"[[One beat faster]]\">+</button>\n"
    "</div>\n"
    "<details><summary>[[Sound and marking]]</summary>\n"
    "<div class=\"settings\">\n"
    "<label><input type=\"checkbox\" id=\"click\" checked> [[Click]]</label>\n"
    "<label>[[Drums]] <select id=\"hear\"><option value=\"all\">[[hands and feet]]</option>"
    "<option value=\"0\">[[hands alone]]</option><option value=\"1\">[[feet alone]]</option>"
    "<option value=\"none\">[[click alone]]</option></select></label>\n"
    "<label>[[Click falls silent]] <select id=\"quiet\"><option value=\"0\">[[never]]</option>"
    "<option value=\"1\">[[every other bar]]</option><option value=\"2\">[[for 2 bars of "
    "4]]</option>"
    "<option value=\"4\">[[for 4 bars of 8]]</option></select></label>\n"
    "<label><input type=\"checkbox\" id=\"again\"> [[Over and over]]</label>\n"
    "<label><input type=\"checkbox\" id=\"turns\"> [[Hear once, play once]]</label>\n"
    "<label><input type=\"checkbox\" id=\"on\"> [[Go on to the next exercise]]</label>\n"
    "<label><input type=\"checkbox\" id=\"marking\" checked> [[Mark what sounds]]</label>\n"
    "<label>[[Drums, level]] <input type=\"range\" id=\"drum-level\" min=\"0\" max=\"100\" "
    "value=\"60\"></label>\n"
    "<label>[[Click, level]] <input type=\"range\" id=\"click-level\" min=\"0\" max=\"100\" "
    "value=\"55\"></label>\n"
    "</div>\n</details>\n"
    "<details><summary>[[Bars and climbing]]</summary>\n"
    "<div class=\"settings\">\n"
    "<label>[[From bar]] <select id=\"first-bar\"></select></label>\n"
    "<label>[[To bar]] <select id=\"last-bar\"></select></label>\n"
    "<button type=\"button\" id=\"whole\">[[All bars]]</button>\n"
    "<label><input type=\"checkbox\" id=\"climb\"> [[Climb by itself]]</label>\n"
    "<label>[[Times through]] <input type=\"number\" id=\"climb-after\" min=\"1\" max=\"99\" "
    "value=\"4\"></label>\n"
    "<label>[[Then beats faster]] <input type=\"number\" id=\"climb-by\" min=\"1\" max=\"20\" "
    "value=\"4\"></label>\n"
    "<label>[[Up to]] <input type=\"number\" id=\"climb-to\" min=\"10\" max=\"400\"></label>\n"
    "</div>\n</details>\n"
    "<p id=\"state\" role=\"status\"></p>\n"
    "</form>\n";

/* The sheet is a third of the page as it is, and a twelfth when it is packed (zlib, RFC 1950). It
   is left out where the page would be too large for a phone to fetch at once; then what is on the
   screen is printed. */
static void add_sheet(const struct buffer *sheet, struct buffer *out)
{
    enum { PAGE_MOST = 250 * 1024, PACKED_BYTES = 3, AS_LETTERS = 4, MARKUP = 100 };
    uLongf size = compressBound((uLong)sheet->length);
    unsigned char *packed = memory_alloc(size);
    if (compress2(packed, &size, (const Bytef *)buffer_text(sheet), (uLong)sheet->length,
                  Z_BEST_COMPRESSION) == Z_OK &&
        out->length + size / PACKED_BYTES * AS_LETTERS + MARKUP < PAGE_MOST) {
        gchar *text = g_base64_encode(packed, size);
        buffer_add_text(out, "<script type=\"text/plain\" id=\"packed-sheet\">");
        buffer_add_text(out, text);
        buffer_add_text(out, "</script>\n");
        g_free(text);
    }
    memory_free(packed);
}

static void add_timelines(const struct score *score, const struct practice_parts *parts,
                          struct buffer *out)
{
    const char *between = "";
    buffer_add_text(out, "<script type=\"application/json\" id=\"timeline\">[");
    for (size_t i = 0; i < parts->count; i++) {
        if (!parts->exercises[i].performance)
            continue;
        buffer_add_text(out, between);
        played_data_write(score, parts->exercises[i].index, parts->exercises[i].performance, out);
        between = ",\n";
    }
    buffer_add_text(out, "]</script>\n<script>");
    buffer_add(out, embedded_script, embedded_script_size);
    buffer_add_text(out, "</script>\n");
}

void practice_page(const struct score *score, const struct practice_parts *parts,
                   struct buffer *out)
{
    size_t played = 0;
    add_head(score, out);
    add_opening(score, parts, out);
    buffer_add_text(out, parts->shapes);
    buffer_add_text(out, "<main id=\"exercises\">\n");
    for (size_t i = 0; i < parts->count; i++)
        add_exercise(score, &parts->exercises[i], &played, out);
    add_reading(score, "The end of the lesson, as text", parts->tail, out);
    buffer_add_text(out, "</main>\n<footer>\n");
    add_element(out, "p", word_marks(score), page_word(words_of(score), practice_caution));
    add_element(out, "p", "", score->lesson->copyright.text);
    buffer_add_text(out, "</footer>\n");
    if (played) {
        buffer_format(out, "<form id=\"stand\"%s", word_marks(score));
        add_worded(score, stand, out);
        add_timelines(score, parts, out);
        add_sheet(parts->sheet, out);
    }
    buffer_add_text(out, "</body>\n</html>\n");
}
