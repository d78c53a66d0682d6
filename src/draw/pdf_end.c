#include "draw/pdf_end.h"

#include "base/utf8.h"
#include "base/vector.h"

#include <stdlib.h>
#include <string.h>

/* ---- waiting ------------------------------------------------------------------------------ */

enum { WAIT_MOST = 64 * 1024 };
static const char last_stream[] = "endstream";

/* Where the last of `word` begins in the bytes; NULL: nowhere. */
static const char *find_last(const char *bytes, size_t length, const char *word)
{
    size_t size = strlen(word);
    for (size_t at = length < size ? 0 : length - size + 1; at-- > 0;)
        if (bytes[at] == word[0] && memcmp(bytes + at, word, size) == 0)
            return bytes + at;
    return NULL;
}

static void hand_on(struct pdf_end *end, size_t length)
{
    sink_add(end->sink, end->waiting.bytes, length);
    end->handed_on += length;
    end->waiting.length -= length;
    memmove(end->waiting.bytes, end->waiting.bytes + length, end->waiting.length + 1); /* its NUL */
}

/* What may still be the end of the file stays: the last stream's word, or a part of it. */
cairo_status_t pdf_end_write(void *closure, const unsigned char *bytes, unsigned int length)
{
    struct pdf_end *end = closure;
    buffer_add(&end->waiting, bytes, length);
    if (end->waiting.length > WAIT_MOST + 2 * end->kept) {
        const char *last = find_last(end->waiting.bytes, end->waiting.length, last_stream);
        size_t spare = end->waiting.length - strlen(last_stream);
        hand_on(end, last ? (size_t)(last - end->waiting.bytes) : spare);
        end->kept = end->waiting.length; /* not to look at them again at each write */
    }
    return end->sink->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

/* ---- texts -------------------------------------------------------------------------------- */

static bool is_ascii(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text >= 0x80)
            return false;
    return true;
}

static void add_unit(struct buffer *out, uint32_t unit)
{
    buffer_format(out, "%04X", (unsigned)unit);
}

/* A text string (7.9.2.2): plain, or UTF-16 with its mark in hexadecimal. */
static void add_string(struct buffer *out, const char *text)
{
    if (is_ascii(text)) {
        buffer_add_text(out, "(");
        for (size_t plain; *text; text += plain) {
            plain = strcspn(text, "()\\\n");
            buffer_add(out, text, plain);
            if (!text[plain])
                continue;
            char escaped[2] = {'\\', text[plain] == '\n' ? 'n' : text[plain]};
            buffer_add(out, escaped, sizeof escaped);
            plain++;
        }
        buffer_add_text(out, ")");
        return;
    }
    buffer_add_text(out, "<FEFF");
    size_t length = strlen(text), step;
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

/* ---- additions ---------------------------------------------------------------------------- */

/* Bytes put in: where, counted in the file as it came, and how many up to here. */
struct addition {
    size_t at, in_all;
};

struct rewriting {
    const struct pdf_words *words;
    struct arena *arena;
    size_t base; /* place in the file of the first waiting byte */
    const char *from, *text;
    struct buffer out;
    size_t figures; /* found so far */
    bool catalog;
    VECTOR(struct addition) additions;
};

/* Copies up to `at`, and puts the addition there. */
static void put_in(struct rewriting *work, const char *at, const struct buffer *added)
{
    buffer_add(&work->out, work->from, (size_t)(at - work->from));
    buffer_add(&work->out, buffer_text(added), added->length);
    size_t before =
        work->additions.count ? work->additions.items[work->additions.count - 1].in_all : 0;
    *vector_push(&work->additions, work->arena) =
        (struct addition){work->base + (size_t)(at - work->text), before + added->length};
    work->from = at;
}

static void add_to_figure(struct rewriting *work, const char *at)
{
    struct buffer added = {0};
    if (work->figures < work->words->figure_count) {
        buffer_add_text(&added, "   /Alt ");
        add_string(&added, work->words->figures[work->figures]);
        buffer_add_text(&added, "\n");
        if (work->words->figure_language) {
            buffer_add_text(&added, "   /Lang ");
            add_string(&added, work->words->figure_language);
            buffer_add_text(&added, "\n");
        }
        put_in(work, at, &added);
    }
    work->figures++;
    buffer_release(&added);
}

static void add_to_catalog(struct rewriting *work, const char *at)
{
    struct buffer added = {0};
    if (work->words->language) {
        buffer_add_text(&added, "   /Lang ");
        add_string(&added, work->words->language);
        buffer_add_text(&added, "\n");
    }
    buffer_add_text(&added, "   /ViewerPreferences << /DisplayDocTitle true >>\n");
    put_in(work, at, &added);
    buffer_release(&added);
    work->catalog = true;
}

/* Line after line, up to the table. */
static void add_words(struct rewriting *work, const char *table)
{
    static const char figure[] = "   /S /Figure\n", catalog[] = "<< /Type /Catalog\n";
    for (const char *line = work->text; line < table;) {
        const char *end = memchr(line, '\n', (size_t)(table - line));
        if (!end)
            return;
        size_t length = (size_t)(end + 1 - line);
        if (length == strlen(figure) && memcmp(line, figure, length) == 0)
            add_to_figure(work, end + 1);
        else if (length == strlen(catalog) && memcmp(line, catalog, length) == 0)
            add_to_catalog(work, end + 1);
        line = end + 1;
    }
}

/* Where in the new file a byte of the old one stands. */
static size_t moved(const struct rewriting *work, size_t place)
{
    size_t low = 0, high = work->additions.count; /* those before the place */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (work->additions.items[middle].at <= place)
            low = middle + 1;
        else
            high = middle;
    }
    return place + (low ? work->additions.items[low - 1].in_all : 0);
}

enum { ENTRY = 20, PLACE = 10 }; /* bytes of an entry of the table, and of its place */

static void move_entry(const struct rewriting *work, char *entry)
{
    size_t place = 0;
    for (int i = 0; i < PLACE; i++)
        place = place * 10 + (size_t)(entry[i] - '0');
    place = moved(work, place);
    for (int i = PLACE; i-- > 0; place /= 10)
        entry[i] = (char)('0' + place % 10);
}

/*
 * The table and what follows:
 *
 *     xref
 *     0 29
 *     0000000000 65535 f
 *     0000006347 00000 n        twenty bytes an entry
 *     trailer ... startxref
 *     7405
 *     %%EOF
 */
static bool add_table(struct rewriting *work, const char *table)
{
    char *at;
    if (strncmp(table, "xref\n0 ", 7) != 0)
        return false;
    size_t count = strtoul(table + 7, &at, 10);
    const char *trailer = at + 1 + count * ENTRY;
    const char *start = strstr(table, "startxref\n");
    if (*at != '\n' || count > strlen(at) / ENTRY || strncmp(trailer, "trailer", 7) != 0 || !start)
        return false;
    size_t copied = work->out.length + (size_t)(at + 1 - table);
    buffer_add(&work->out, table, (size_t)(trailer - table));
    for (char *entry = work->out.bytes + copied; count > 0; entry += ENTRY, count--)
        if (entry[ENTRY - 3] == 'n')
            move_entry(work, entry);
    size_t place = strtoul(start + 10, &at, 10);
    buffer_add(&work->out, trailer, (size_t)(start + 10 - trailer));
    buffer_format(&work->out, "%zu%s", moved(work, place), at);
    return place == work->base + (size_t)(table - work->text);
}

static bool rewrite(struct rewriting *work, size_t length)
{
    const char *table = find_last(work->text, length, "\nxref\n");
    if (!table)
        return false;
    table++;
    add_words(work, table);
    buffer_add(&work->out, work->from, (size_t)(table - work->from));
    return add_table(work, table) && work->catalog && work->figures == work->words->figure_count;
}

void pdf_end_finish(struct pdf_end *end, const struct pdf_words *words)
{
    struct buffer *waiting = &end->waiting;
    const char *last = find_last(buffer_text(waiting), waiting->length, last_stream);
    if (last)
        hand_on(end, (size_t)(last - waiting->bytes));
    struct rewriting work = {.words = words,
                             .arena = arena_new(),
                             .base = end->handed_on,
                             .text = buffer_text(waiting),
                             .from = buffer_text(waiting)};
    const struct buffer *settled = rewrite(&work, waiting->length) ? &work.out : waiting;
    sink_add(end->sink, buffer_text(settled), settled->length);
    buffer_release(&work.out);
    buffer_release(waiting);
    arena_free(work.arena);
}
