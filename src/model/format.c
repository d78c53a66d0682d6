#include "model/format.h"

#include <string.h>
#include <strings.h>

/* The words of the registry's last column. */
enum {
    ENGRAVE = FORMAT_BY_ENGRAVE,
    SOUND = FORMAT_BY_SOUND,
    COURSE = FORMAT_BY_COURSE,
    INDEX = FORMAT_BY_INDEX
};

#define ROW(name, word, ending, title, from, maker, files, bytes, commands)                        \
    [FORMAT_##name] = {word,           ending,         title,   FORMAT_FROM_##from,                \
                       FORMAT_##files, FORMAT_##bytes, commands},

const struct format_row format_rows[FORMAT_COUNT] = {FORMATS(ROW)};

/* ---- finding ------------------------------------------------------------------------------ */

enum format format_of_word(const char *word, unsigned commands)
{
    for (int i = 1; i < FORMAT_COUNT; i++)
        if (format_rows[i].commands & commands && strcmp(word, format_rows[i].word) == 0)
            return (enum format)i;
    return FORMAT_NONE;
}

enum format format_of_ending(const char *ending, unsigned commands)
{
    for (int i = 1; i < FORMAT_COUNT; i++)
        if (format_rows[i].commands & commands && strcasecmp(ending, format_rows[i].ending) == 0)
            return (enum format)i;
    return FORMAT_NONE;
}

/* ---- listing ------------------------------------------------------------------------------ */

static void list(struct buffer *out, unsigned commands, bool endings, const char *between,
                 const char *last)
{
    int final = FORMAT_NONE, listed = 0;
    for (int i = 1; i < FORMAT_COUNT; i++)
        final = format_rows[i].commands & commands ? i : final;
    for (int i = 1; i < FORMAT_COUNT; i++) {
        const struct format_row *row = &format_rows[i];
        if (!(row->commands & commands))
            continue;
        buffer_add_text(out, !listed++ ? "" : i == final ? last : between);
        buffer_add_text(out, endings ? row->ending : row->word);
    }
}

void format_list_words(struct buffer *out, unsigned commands, const char *between, const char *last)
{
    list(out, commands, false, between, last);
}

void format_list_endings(struct buffer *out, unsigned commands, const char *between,
                         const char *last)
{
    list(out, commands, true, between, last);
}

/* ---- names of files ----------------------------------------------------------------------- */

size_t format_file_count(enum format format, size_t pages)
{
    return format_rows[format].files == FORMAT_PER_PAGE ? pages : 1;
}

char *format_file_name(enum format format, const char *stem, size_t number, size_t files,
                       struct arena *arena)
{
    const char *ending = format_rows[format].ending;
    if (files == 1)
        return arena_format(arena, "%s%s", stem, ending);
    return arena_format(arena, "%s-%zu%s", stem, number + 1, ending);
}
