#include "draw/svg.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GROUP "surface"

/* The numbers that cairo gave, in the order of their first appearance. */
struct numbering {
    unsigned long *seen;
    size_t count;
};

static size_t number_of(struct numbering *numbering, unsigned long given)
{
    for (size_t i = 0; i < numbering->count; i++)
        if (numbering->seen[i] == given)
            return i + 1;
    numbering->seen =
        memory_resize(numbering->seen, (numbering->count + 1) * sizeof *numbering->seen);
    numbering->seen[numbering->count++] = given;
    return numbering->count;
}

/* True where text[-1] and what follows make it a name: id="surface17" or href="#surface17". */
static bool is_group(const char *text)
{
    return (text[-1] == '"' || text[-1] == '#') && isdigit((unsigned char)text[sizeof GROUP - 1]);
}

static void write_renumbered(const char *text, const char *end, struct sink *sink)
{
    struct numbering numbering = {0};
    for (const char *at = strstr(text, GROUP); at && at < end; at = strstr(at, GROUP)) {
        at += sizeof GROUP - 1;
        if (!is_group(at - (sizeof GROUP - 1)))
            continue;
        char *rest;
        char name[32];
        size_t number = number_of(&numbering, strtoul(at, &rest, 10));
        sink_add(sink, text, (size_t)(at - text));
        sink_add(sink, name, (size_t)snprintf(name, sizeof name, "%zu", number));
        text = at = rest;
    }
    sink_add(sink, text, (size_t)(end - text));
    memory_free(numbering.seen);
}

/* ---- words -------------------------------------------------------------------------------- */

static void write_plain(const char *text, struct sink *sink)
{
    sink_add(sink, text, strlen(text));
}

static void write_text(const char *text, struct sink *sink)
{
    for (const char *at = text; *at; at++) {
        const char *entity = *at == '&'   ? "&amp;"
                             : *at == '<' ? "&lt;"
                             : *at == '>' ? "&gt;"
                             : *at == '"' ? "&quot;"
                                          : NULL;
        sink_add(sink, entity ? entity : at, entity ? strlen(entity) : 1);
    }
}

/* <title id="NAME-title">text</title> */
static void write_element(const char *element, const char *name, const char *language,
                          const char *text, struct sink *sink)
{
    if (!text || !*text)
        return;
    char open[96], close[24];
    snprintf(open, sizeof open, "\n<%s id=\"%s-%s\"%s%s%s>", element, name, element,
             language ? " xml:lang=\"" : "", language ? language : "", language ? "\"" : "");
    snprintf(close, sizeof close, "</%s>", element);
    write_plain(open, sink);
    write_text(text, sink);
    write_plain(close, sink);
}

/* role, and by which elements it is named and told. */
static void write_role(const char *role, const char *name, const char *title, const char *text,
                       struct sink *sink)
{
    char attribute[96];
    snprintf(attribute, sizeof attribute, " role=\"%s\"", role);
    write_plain(attribute, sink);
    if (title && *title) {
        snprintf(attribute, sizeof attribute, " aria-labelledby=\"%s-title\"", name);
        write_plain(attribute, sink);
    }
    if (text && *text) {
        snprintf(attribute, sizeof attribute, " aria-describedby=\"%s-desc\"", name);
        write_plain(attribute, sink);
    }
}

/* A box without ink holds the figure's place: cairo draws the page as a whole. Whole points, as
   printf would write fractions after the locale. */
static void write_figure(const struct svg_figure *figure, const char *language, struct sink *sink)
{
    char name[32], box[128];
    snprintf(name, sizeof name, "exercise-%u", (unsigned)figure->exercise + 1);
    write_plain("<g id=\"", sink);
    write_plain(name, sink);
    write_plain("\"", sink);
    write_role("img", name, figure->title, figure->text, sink);
    write_plain(">", sink);
    write_element("title", name, NULL, figure->title, sink);
    write_element("desc", name, language, figure->text, sink);
    snprintf(box, sizeof box,
             "\n<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"none\"/>\n</g>\n",
             (int)figure->x, (int)figure->y, (int)figure->width + 1, (int)figure->height + 1);
    write_plain(box, sink);
}

static void write_root(const struct svg_words *words, struct sink *sink)
{
    if (words->language) {
        write_plain(" xml:lang=\"", sink);
        write_text(words->language, sink);
        write_plain("\"", sink);
    }
    write_role("document", "page", words->title, words->text, sink);
    write_plain(">", sink);
    write_element("title", "page", NULL, words->title, sink);
    write_element("desc", "page", NULL, words->text, sink);
    write_plain("\n<g aria-hidden=\"true\">", sink);
}

void svg_write(const struct buffer *document, const struct svg_words *words, struct sink *sink)
{
    static const char end[] = "</svg>";
    const char *text = buffer_text(document), *root = strstr(text, "<svg");
    const char *body = root ? strchr(root, '>') : NULL, *close = NULL;
    for (const char *at = body; at && (at = strstr(at, end)); at++)
        close = at;
    if (!close) {
        write_renumbered(text, text + document->length, sink);
        return;
    }
    sink_add(sink, text, (size_t)(body - text));
    write_root(words, sink);
    write_renumbered(body + 1, close, sink);
    write_plain("</g>\n", sink);
    for (size_t i = 0; i < words->figure_count; i++)
        write_figure(&words->figures[i], words->figure_language, sink);
    write_plain(close, sink);
}
