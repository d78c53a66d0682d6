#include "draw/pdf_end.h"

#include "base/utf8.h"
#include "base/vector.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/*
 * 1. While cairo writes, hold back what follows the last complete stream.
 * 2. At the end follow `startxref` to the table of places and the trailer (7.5.4, 7.5.5).
 * 3. Sort the objects behind the last stream by place.
 * 4. Copy them in this order, and note where each of them now begins. Put the new entries behind
 *    the `<<` of the catalog, which the trailer names, and of each structure element that is a
 *    Figure.
 * 5. Copy the table with the new places.
 * 6. Where anything is not as expected, hand on the bytes as they were and return false.
 *
 * This relies on the standard, and on objects that are not compressed (7.5.7). Cairo 1.16 never
 * compresses them; later versions do from PDF 1.5 on, so drawing.c asks those for 1.4 (tried with
 * cairo 1.18.4: the language and all descriptions of examples/ are there).
 *
 * Why not a library: qpdf 11.3 was measured through its C interface (qpdf-c.h) on sheets of
 * examples/, one core of a virtual machine, the least CPU time of 20 runs.
 *
 *                                        this file     qpdf
 *     start of a process                 -             3.2 ms (libqpdf, libstdc++, gnutls, libjpeg)
 *     first sheet of a process           0.06 ms       1.1 ms
 *     each further one                   0.01 ms       0.65 ms
 *     200 exercises, 371 KB              0.35 ms       10.9 ms
 *     held in memory                     its end       the whole file, and its objects
 *     lines of ours                      about 190     about 60
 *
 * A whole sheet takes 12 ms, start and end of the process included: qpdf would make that a third
 * more, and a page of a course, which takes 1.2 ms, a quarter more.
 */

/* ---- waiting ------------------------------------------------------------------------------ */

enum { WAIT_MOST = 64 * 1024 };

/* Where the last of `word` begins in bytes [from, length); `length` where there is none. */
static size_t find_last(const char *bytes, size_t from, size_t length, const char *word)
{
    size_t size = strlen(word);
    for (size_t at = length < size ? 0 : length - size + 1; at-- > from;)
        if (bytes[at] == word[0] && memcmp(bytes + at, word, size) == 0)
            return at;
    return length;
}

/* Hands on all but the last stream's last word and what follows it. */
static void hand_on_streams(struct pdf_end *end)
{
    static const char last_word[] = "endstream";
    struct buffer *waiting = &end->waiting;
    size_t at = find_last(buffer_text(waiting), end->searched, waiting->length, last_word);
    if (at < waiting->length) {
        sink_add(end->sink, waiting->bytes, at);
        end->handed_on += at;
        waiting->length -= at;
        memmove(waiting->bytes, waiting->bytes + at, waiting->length + 1); /* its NUL */
    }
    /* the word may have come in part */
    end->searched = waiting->length < sizeof last_word ? 0 : waiting->length - sizeof last_word;
}

cairo_status_t pdf_end_write(void *closure, const unsigned char *bytes, unsigned int length)
{
    struct pdf_end *end = closure;
    buffer_add(&end->waiting, bytes, length);
    if (end->waiting.length - end->searched > WAIT_MOST)
        hand_on_streams(end);
    return end->sink->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

/* ---- entries ------------------------------------------------------------------------------ */

static void add_unit(struct buffer *out, uint32_t unit)
{
    buffer_format(out, "%04X", (unsigned)unit);
}

static void add_ascii(struct buffer *out, const char *text)
{
    buffer_add_text(out, "(");
    while (*text) {
        size_t plain = strcspn(text, "()\\\n");
        buffer_add(out, text, plain);
        text += plain;
        if (*text) {
            buffer_add(out, "\\", 1);
            buffer_add(out, *text == '\n' ? "n" : text, 1);
            text++;
        }
    }
    buffer_add_text(out, ")");
}

static void add_utf16(struct buffer *out, const char *text, size_t length)
{
    buffer_add_text(out, "<FEFF");
    size_t step;
    for (uint32_t code; length && (step = utf8_decode(text, length, &code)) != 0;
         text += step, length -= step) {
        if (code >= 0x10000) {
            add_unit(out, 0xD800 + ((code - 0x10000) >> 10));
            code = 0xDC00 + ((code - 0x10000) & 0x3FF);
        }
        add_unit(out, code);
    }
    buffer_add_text(out, ">");
}

/* An entry whose value is a text string (7.9.2.2): plain, or UTF-16 in hexadecimal. */
static void add_entry(struct buffer *out, const char *key, const char *text)
{
    if (!text)
        return;
    size_t length = strlen(text);
    buffer_format(out, " /%s ", key);
    if (utf8_count(text, length) == length)
        add_ascii(out, text);
    else
        add_utf16(out, text, length);
}

/* ---- reading ------------------------------------------------------------------------------ */

/*
 * What follows the last stream of a file:
 *
 *     endstream endobj
 *     5 0 obj << ... >> endobj
 *     ...
 *     xref
 *     0 29                      the table has 29 entries, from object 0
 *     0000000000 65535 f
 *     0000006347 00000 n        place, generation; in use or free
 *     trailer << /Root 28 0 R ... >>
 *     startxref
 *     7405                      the table's place
 *     %%EOF
 */
enum { ENTRY = 20, PLACE = 10 }; /* bytes of an entry, and of the place in it */

struct object {
    size_t number, at; /* `at` counts from the start of the text, as all places here */
    size_t moved;      /* where it begins in the new text */
};

struct rewriting {
    const struct pdf_words *words;
    struct arena *arena;
    const char *text;
    size_t base; /* place of the text in the file */
    size_t table, entries, trailer, start;
    size_t catalog;                /* number of its object */
    VECTOR(struct object) objects; /* by place; the last one stands for the table */
    struct buffer out;
    size_t figures, catalogs; /* found */
};

static size_t number_at(const struct rewriting *work, size_t at)
{
    return strtoul(work->text + at, NULL, 10);
}

static bool find_table(struct rewriting *work, size_t length)
{
    static const char start[] = "startxref", root[] = "/Root";
    size_t count = 0;
    int header = 0;
    work->start = find_last(work->text, 0, length, start);
    if (work->start == length)
        return false;
    work->table = number_at(work, work->start + strlen(start)) - work->base;
    if (work->table >= work->start ||
        sscanf(work->text + work->table, "xref 0 %zu %n", &count, &header) != 1)
        return false;
    work->entries = work->table + (size_t)header;
    work->trailer = work->entries + count * ENTRY;
    if (count > (work->start - work->entries) / ENTRY)
        return false;
    work->catalog =
        number_at(work, find_last(work->text, work->trailer, work->start, root) + strlen(root));
    return strncmp(work->text + work->trailer, "trailer", strlen("trailer")) == 0;
}

static int by_place(const void *a, const void *b)
{
    const struct object *one = a, *other = b;
    return (one->at > other->at) - (one->at < other->at);
}

/* An object before the text has a place beyond the table: the difference is unsigned. */
static void find_objects(struct rewriting *work)
{
    for (size_t entry = work->entries; entry < work->trailer; entry += ENTRY) {
        size_t at = number_at(work, entry) - work->base;
        if (work->text[entry + ENTRY - 3] == 'n' && at < work->table)
            *vector_push(&work->objects, work->arena) =
                (struct object){.number = (entry - work->entries) / ENTRY, .at = at};
    }
    *vector_push(&work->objects, work->arena) = (struct object){.at = work->table};
    vector_sort(&work->objects, by_place);
}

/* ---- writing ------------------------------------------------------------------------------ */

static void copy_to(struct rewriting *work, size_t from, size_t to)
{
    buffer_add(&work->out, work->text + from, to - from);
}

static void add_catalog_entries(struct rewriting *work)
{
    add_entry(&work->out, "Lang", work->words->language);
    buffer_add_text(&work->out, " /ViewerPreferences << /DisplayDocTitle true >>");
    work->catalogs++;
}

static void add_figure_entries(struct rewriting *work)
{
    if (work->figures < work->words->figure_count) {
        add_entry(&work->out, "Alt", work->words->figures[work->figures]);
        add_entry(&work->out, "Lang", work->words->figure_language);
    }
    work->figures++;
}

static void write_object(struct rewriting *work, struct object *object, size_t end)
{
    const char *dictionary = strstr(work->text + object->at, "<<");
    size_t inside = dictionary ? (size_t)(dictionary - work->text) + strlen("<<") : end;
    object->moved = work->out.length;
    if (inside < end) {
        copy_to(work, object->at, inside);
        object->at = inside;
        if (object->number == work->catalog)
            add_catalog_entries(work);
        else if (find_last(work->text, inside, end, "/StructElem") < end &&
                 find_last(work->text, inside, end, "/Figure") < end)
            add_figure_entries(work);
    }
    copy_to(work, object->at, end);
}

static void write_table(struct rewriting *work)
{
    size_t table = work->out.length, entries = table + (work->entries - work->table);
    copy_to(work, work->table, work->start);
    for (size_t i = 0; i + 1 < work->objects.count; i++) {
        const struct object *object = &work->objects.items[i];
        char place[PLACE + 11];
        snprintf(place, sizeof place, "%010zu", work->base + object->moved);
        memcpy(work->out.bytes + entries + object->number * ENTRY, place, PLACE);
    }
    buffer_format(&work->out, "startxref\n%zu\n%%%%EOF\n", work->base + table);
}

static bool rewrite(struct rewriting *work, size_t length)
{
    if (!find_table(work, length))
        return false;
    find_objects(work);
    copy_to(work, 0, work->objects.items[0].at);
    for (size_t i = 0; i + 1 < work->objects.count; i++)
        write_object(work, &work->objects.items[i], work->objects.items[i + 1].at);
    write_table(work);
    return work->catalogs == 1 && work->figures == work->words->figure_count;
}

bool pdf_end_finish(struct pdf_end *end, const struct pdf_words *words)
{
    hand_on_streams(end);
    struct rewriting work = {.words = words,
                             .arena = arena_new(),
                             .text = buffer_text(&end->waiting),
                             .base = end->handed_on};
    bool added = rewrite(&work, end->waiting.length);
    const struct buffer *whole = added ? &work.out : &end->waiting;
    sink_add(end->sink, buffer_text(whole), whole->length);
    buffer_release(&work.out);
    buffer_release(&end->waiting);
    arena_free(work.arena);
    return added;
}
