#include "course/course_record_int.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

/* ---- lines -------------------------------------------------------------------------------- */

/* A file is read in pieces; `at` is the first byte that is not used yet. */
struct reader {
    int descriptor;
    char *bytes;
    size_t at, length, room;
    int problem; /* errno */
};

enum { PIECE = 32 * 1024 };

/* Reads more, and keeps what is not used yet. False at the end of the file. */
static bool read_on(struct reader *reader)
{
    reader->length -= reader->at;
    if (reader->at)
        memmove(reader->bytes, reader->bytes + reader->at, reader->length);
    reader->at = 0;
    if (reader->length == reader->room) {
        reader->room = reader->room ? reader->room * 2 : PIECE;
        reader->bytes = memory_resize(reader->bytes, reader->room);
    }
    ssize_t got;
    do
        got =
            read(reader->descriptor, reader->bytes + reader->length, reader->room - reader->length);
    while (got < 0 && errno == EINTR);
    reader->length += got > 0 ? (size_t)got : 0;
    reader->problem = got < 0 ? errno : 0;
    return got > 0;
}

/* A line without its newline, which can still be read at `end`. */
struct line {
    char *at, *end;
};

/* A last line without a newline was cut short: it does not count. */
static bool next_line(struct reader *reader, struct line *line)
{
    char *end = NULL;
    while (!reader->length ||
           !(end = memchr(reader->bytes + reader->at, '\n', reader->length - reader->at)))
        if (!read_on(reader))
            return false;
    *line = (struct line){reader->bytes + reader->at, end};
    reader->at = (size_t)(end - reader->bytes) + 1;
    return true;
}

/* ---- words -------------------------------------------------------------------------------- */

static bool read_word(struct line *line, const char *word)
{
    size_t length = strlen(word);
    if ((size_t)(line->end - line->at) < length || memcmp(line->at, word, length) != 0)
        return false;
    line->at += length;
    return true;
}

/* At most 16 hexadecimal digits. The newline ends them. */
static bool read_number(struct line *line, uint64_t *number)
{
    const char *start = line->at;
    *number = 0;
    for (int digit; (digit = hexadecimal_digit(*line->at)) >= 0; line->at++)
        *number = *number << 4 | (uint64_t)digit;
    return line->at > start && line->at - start <= 16 &&
           (line->at == line->end || *line->at++ == ' ');
}

static bool read_stamp(struct line *line, struct file_stamp *stamp)
{
    uint64_t changed, touched;
    if (!read_number(line, &stamp->size) || !read_number(line, &stamp->file) ||
        !read_number(line, &changed) || !read_number(line, &touched))
        return false;
    stamp->changed = (int64_t)changed;
    stamp->touched = (int64_t)touched;
    return true;
}

static bool read_digest(struct line *line, struct digest *digest)
{
    if (line->end - line->at <= DIGEST_LETTERS || !digest_read(line->at, DIGEST_LETTERS, digest) ||
        line->at[DIGEST_LETTERS] != ' ')
        return false;
    line->at += DIGEST_LETTERS + 1;
    return true;
}

/* The rest of the line. */
static const char *read_name(struct course_record *record, struct line *line)
{
    char *name = line->at, *out = memchr(name, '%', (size_t)(line->end - name));
    if (!out)
        out = line->end;
    for (const char *in = out; in < line->end; in++) {
        int high = *in == '%' ? hexadecimal_digit(in[1]) : -1;
        int low = high >= 0 ? hexadecimal_digit(in[2]) : -1;
        if (low >= 0) {
            *out++ = (char)(high << 4 | low);
            in += 2;
        } else {
            *out++ = *in;
        }
    }
    return record_keep_text(record, name, (size_t)(out - name));
}

/* ---- entries ------------------------------------------------------------------------------ */

struct parsing {
    struct course_record *record;
    struct arena *arena;
    bool journal; /* the file is a journal */
    bool first;   /* the record was empty, so no name can be there yet */
    const struct digest *fingerprint;
    struct recorded entry;
    VECTOR(struct recorded_file) files; /* of the entry: its outputs, then its stale ones */
    bool in_block, good;                /* inside a block; all its lines were understood */
    bool has_entry;                     /* the block is a lesson's */
    uint32_t sum, key_sum;              /* of the block's lines; of the key that it is under */
    size_t taken;                       /* lessons */
    struct recorded_course course;
    struct recorded_fonts fonts;
    VECTOR(struct recorded_watch) watch;
};

static void take_entry(struct parsing *parsing)
{
    struct course_record *record = parsing->record;
    struct recorded *entry = &parsing->entry;
    entry->outputs = parsing->files.items;
    entry->left = parsing->files.items + entry->count;
    if (parsing->first)
        record_add(record, entry);
    else
        record_take(record, entry);
    parsing->taken++;
    record->groups += parsing->journal;
}

/* The lines before the first lesson. */
static void take_head(struct parsing *parsing)
{
    parsing->fonts.files = parsing->watch.items;
    parsing->fonts.count = parsing->watch.count;
    parsing->record->fonts = parsing->fonts;
    parsing->record->course = parsing->course;
}

static void begin_block(struct parsing *parsing, uint32_t sum)
{
    parsing->record->damages += parsing->in_block && !parsing->journal;
    parsing->in_block = parsing->good = true;
    parsing->has_entry = false;
    parsing->sum = sum;
}

static bool read_key_line(struct parsing *parsing, struct line *line)
{
    struct digest fingerprint;
    parsing->fingerprint = NULL;
    if (!read_digest(line, &fingerprint))
        return false;
    parsing->fingerprint = record_keep_fingerprint(parsing->record, &fingerprint);
    return true;
}

static bool read_lesson_line(struct parsing *parsing, struct line *line)
{
    struct recorded *entry = &parsing->entry;
    *entry =
        (struct recorded){.fingerprint = parsing->fingerprint, .own = parsing->record->reads_own};
    parsing->files.count = 0;
    parsing->has_entry = true;
    if (!entry->fingerprint || !read_digest(line, &entry->bytes) ||
        !read_stamp(line, &entry->stamp))
        return false;
    entry->name = read_name(parsing->record, line);
    return true;
}

static bool read_file_line(struct parsing *parsing, struct line *line, uint32_t *count)
{
    struct recorded_file file;
    if (!parsing->has_entry || !read_digest(line, &file.digest) || !read_stamp(line, &file.stamp))
        return false;
    file.path = read_name(parsing->record, line);
    *vector_push(&parsing->files, parsing->arena) = file;
    ++*count;
    return true;
}

static bool read_watch_line(struct parsing *parsing, struct line *line)
{
    struct recorded_watch watch;
    if (!read_stamp(line, &watch.stamp))
        return false;
    watch.path = read_name(parsing->record, line);
    *vector_push(&parsing->watch, parsing->record->arena) = watch;
    return true;
}

static void read_done_line(struct parsing *parsing, struct line *line)
{
    uint64_t sum;
    bool whole =
        read_number(line, &sum) && sum == parsing->sum && parsing->in_block && parsing->good;
    if (!whole)
        parsing->record->damages += !parsing->journal;
    else if (parsing->has_entry)
        take_entry(parsing);
    else if (!parsing->journal)
        take_head(parsing);
    parsing->in_block = parsing->has_entry = false;
}

static bool understand(struct parsing *parsing, struct line line)
{
    struct recorded *entry = &parsing->entry;
    if (read_word(&line, "output "))
        return entry->left_count == 0 && read_file_line(parsing, &line, &entry->count);
    if (read_word(&line, "lesson "))
        return read_lesson_line(parsing, &line);
    if (read_word(&line, "left "))
        return read_file_line(parsing, &line, &entry->left_count);
    if (read_word(&line, "key "))
        return read_key_line(parsing, &line);
    if (parsing->journal)
        return false;
    if (read_word(&line, "watch "))
        return read_watch_line(parsing, &line);
    if (read_word(&line, "fonts "))
        return read_digest(&line, &parsing->fonts.digest) &&
               read_digest(&line, &parsing->fonts.settings);
    const char **text = read_word(&line, "from ")    ? &parsing->course.from
                        : read_word(&line, "title ") ? &parsing->course.title
                                                     : NULL;
    if (text)
        *text = read_name(parsing->record, &line);
    return text;
}

static bool begins(struct line line, const char *word)
{
    return read_word(&line, word);
}

/* A block starts where the previous one ended. If that end is damaged, it starts at the next key or
 * lesson, and the damage is counted. */
static void read_line(struct parsing *parsing, struct line line)
{
    if (begins(line, "done ")) {
        line.at += strlen("done ");
        read_done_line(parsing, &line);
        return;
    }
    bool key = begins(line, "key ");
    bool lesson = begins(line, "lesson ");
    if (key)
        begin_block(parsing, RECORD_SUM_START);
    else if (!parsing->in_block || (lesson && parsing->has_entry))
        begin_block(parsing, parsing->key_sum);
    parsing->sum = record_add_to_sum(parsing->sum, line.at, (size_t)(line.end - line.at) + 1);
    if (key) {
        parsing->key_sum = parsing->sum;
        parsing->has_entry = false;
    }
    parsing->good &= understand(parsing, line);
}

/* ---- files -------------------------------------------------------------------------------- */

static bool read_record(struct parsing *parsing, struct reader *reader)
{
    struct line line;
    if (!next_line(reader, &line) || !read_word(&line, RECORD_HEAD) || line.at != line.end)
        return false;
    begin_block(parsing, RECORD_SUM_START);
    bool ended = false;
    while (!ended && next_line(reader, &line)) {
        ended = !parsing->in_block && read_word(&line, RECORD_END);
        if (!ended)
            read_line(parsing, line);
    }
    uint64_t count;
    bool all = ended && read_number(&line, &count) && count == parsing->taken;
    parsing->record->damages += !all;
    return true;
}

bool record_read(struct course_record *record, int descriptor, bool journal)
{
    struct reader reader = {.descriptor = descriptor};
    struct parsing parsing = {.record = record,
                              .arena = arena_new(),
                              .journal = journal,
                              .course = record->course,
                              .first = record->entries.count == 0 && !journal};
    bool understood = true;
    if (!journal)
        understood = read_record(&parsing, &reader);
    for (struct line line; journal && next_line(&reader, &line);)
        read_line(&parsing, line);
    memory_free(reader.bytes);
    arena_free(parsing.arena);
    errno = reader.problem;
    return understood && !reader.problem;
}
