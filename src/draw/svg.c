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
    for (const char *at = strstr(text, GROUP); at; at = strstr(at, GROUP)) {
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

static void write_title(const char *title, struct sink *sink)
{
    sink_add(sink, "\n<title>", 8);
    for (const char *at = title; *at; at++) {
        const char *entity = *at == '&'   ? "&amp;"
                             : *at == '<' ? "&lt;"
                             : *at == '>' ? "&gt;"
                                          : NULL;
        sink_add(sink, entity ? entity : at, entity ? strlen(entity) : 1);
    }
    sink_add(sink, "</title>", 8);
}

void svg_write(const struct buffer *document, const char *title, struct sink *sink)
{
    const char *text = buffer_text(document), *end = text + document->length;
    const char *root = strstr(text, "<svg");
    const char *body = root ? strchr(root, '>') : NULL;
    if (body && title) {
        sink_add(sink, text, (size_t)(body + 1 - text));
        write_title(title, sink);
        text = body + 1;
    }
    write_renumbered(text, end, sink);
}
