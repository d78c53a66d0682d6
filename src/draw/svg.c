#include "draw/svg.h"

#include "base/vector.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#define GROUP "surface"

/* The numbers that cairo gave, in the order of their first appearance. */
typedef VECTOR(unsigned long) numbering;

static size_t number_of(numbering *seen, unsigned long given)
{
    size_t i = 0;
    while (i < seen->count && seen->items[i] != given)
        i++;
    if (i == seen->count)
        *vector_push(seen, NULL) = given;
    return i + 1;
}

/* True where `text` is a name: id="surface17" or href="#surface17". */
static bool is_group(const char *text)
{
    return (text[-1] == '"' || text[-1] == '#') && isdigit((unsigned char)text[sizeof GROUP - 1]);
}

static void add_renumbered(struct buffer *out, const char *text, const char *end)
{
    numbering seen = {0};
    for (const char *at = strstr(text, GROUP); at && at < end; at = strstr(at + 1, GROUP)) {
        if (!is_group(at))
            continue;
        char *rest;
        const char *number = at + sizeof GROUP - 1;
        unsigned long given = strtoul(number, &rest, 10);
        buffer_add(out, text, (size_t)(number - text));
        buffer_format(out, "%zu", number_of(&seen, given));
        text = rest;
    }
    buffer_add(out, text, (size_t)(end - text));
    vector_release(&seen);
}

/* ---- words -------------------------------------------------------------------------------- */

static bool is_empty(const char *text)
{
    return !text || !*text;
}

static void add_language(struct buffer *out, const char *language)
{
    if (!language)
        return;
    buffer_add_text(out, " xml:lang=\"");
    buffer_add_escaped(out, language);
    buffer_add_text(out, "\"");
}

/* <title id="NAME-title">text</title> */
static void add_element(struct buffer *out, const char *element, const char *name,
                        const char *language, const char *text)
{
    if (is_empty(text))
        return;
    buffer_format(out, "\n<%s id=\"%s-%s\"", element, name, element);
    add_language(out, language);
    buffer_add_text(out, ">");
    buffer_add_escaped(out, text);
    buffer_format(out, "</%s>", element);
}

/* The role of an element with the two that name and describe it. Ends its tag. */
static void add_described(struct buffer *out, const char *role, const char *name,
                          const char *language, const char *title, const char *text)
{
    buffer_format(out, " role=\"%s\"", role);
    if (!is_empty(title))
        buffer_format(out, " aria-labelledby=\"%s-title\"", name);
    if (!is_empty(text))
        buffer_format(out, " aria-describedby=\"%s-desc\"", name);
    buffer_add_text(out, ">");
    add_element(out, "title", name, NULL, title);
    add_element(out, "desc", name, language, text);
}

/* A box without ink holds the figure's place, as cairo draws the page as a whole. Whole points, as
   the locale decides how printf() writes fractions. */
static void add_figure(struct buffer *out, const struct svg_words *words,
                       const struct page_part *part, struct arena *arena)
{
    char *name = arena_format(arena, "exercise-%u", (unsigned)part->exercise + 1);
    const struct box *box = &part->box;
    double scale = words->scale;
    buffer_format(out, "<g id=\"%s\"", name);
    add_described(out, "img", name, words_language(words->words),
                  words_title(words->words, part, arena), words_text(words->words, part, arena));
    buffer_format(
        out, "\n<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"none\"/>\n</g>\n",
        (int)(box->left * scale), (int)(box->top * scale),
        (int)((box->right - box->left) * scale) + 1, (int)((box->bottom - box->top) * scale) + 1);
}

/* Where the last </svg> begins; NULL: nowhere. */
static const char *find_end(const char *text)
{
    const char *end = NULL;
    while (text && (text = strstr(text, "</svg>")) != NULL)
        end = text++;
    return end;
}

void svg_write(const struct buffer *document, const struct svg_words *words, struct sink *sink)
{
    struct buffer out = {0};
    struct arena *arena = arena_new();
    const char *text = buffer_text(document), *root = strstr(text, "<svg");
    const char *body = root ? strchr(root, '>') : NULL, *end = find_end(body);
    if (end) {
        buffer_add(&out, text, (size_t)(body - text));
        add_language(&out, words->words ? words->words->language : NULL);
        add_described(&out, "document", "page", NULL, words->title, words->text);
        buffer_add_text(&out, "\n<g aria-hidden=\"true\">");
        add_renumbered(&out, body + 1, end);
        buffer_add_text(&out, "</g>\n");
        for (size_t i = 0; i < words->parts.count; i++)
            add_figure(&out, words, &words->parts.items[i], arena);
        buffer_add_text(&out, end);
    } else {
        add_renumbered(&out, text, text + document->length);
    }
    sink_add(sink, buffer_text(&out), out.length);
    buffer_release(&out);
    arena_free(arena);
}
