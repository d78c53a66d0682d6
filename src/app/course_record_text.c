/*
 * The record as text, a line a thing:
 *
 *     ratamark course 1
 *     fonts DIGEST SETTINGS
 *     watch STAMP PATH
 *     lesson KEY DIGEST STAMP NAME
 *     output DIGEST STAMP PLACE
 *     left DIGEST STAMP PLACE
 *     end
 *
 * A STAMP is four hexadecimal numbers. In names, `%` and two digits stand for bytes up to the space
 * and for `%` itself. A journal has no first and no last line; in it `done` and a sum of its bytes
 * ends each lesson's entry.
 */
#include "app/course_record_int.h"
#include "base/vector.h"

#include <inttypes.h>
#include <string.h>

#define HEAD "ratamark course 1"

/* ---- writing ------------------------------------------------------------------------------ */

static void write_name(struct buffer *out, const char *name)
{
    for (const char *from = name;; from = name) {
        while ((unsigned char)*name > ' ' && *name != '%' && *name != 0x7F)
            name++;
        buffer_add(out, from, (size_t)(name - from));
        if (!*name)
            break;
        buffer_format(out, "%%%02x", (unsigned)(unsigned char)*name++);
    }
    buffer_add_text(out, "\n");
}

static void write_digest(struct buffer *out, struct digest digest)
{
    char letters[DIGEST_LETTERS + 2];
    digest_write(digest, letters);
    letters[DIGEST_LETTERS] = ' ';
    buffer_add(out, letters, DIGEST_LETTERS + 1);
}

static void write_stamp(struct buffer *out, const struct file_stamp *stamp)
{
    buffer_format(out, "%" PRIx64 " %" PRIx64 " %" PRIx64 " %" PRIx64 " ", stamp->size, stamp->file,
                  (uint64_t)stamp->changed, (uint64_t)stamp->touched);
}

static void write_files(struct buffer *out, const char *word, const struct recorded_file *files,
                        size_t count)
{
    for (size_t i = 0; i < count; i++) {
        buffer_add_text(out, word);
        write_digest(out, files[i].digest);
        write_stamp(out, &files[i].stamp);
        write_name(out, files[i].place);
    }
}

void record_write_head(struct buffer *out, const struct recorded_fonts *fonts)
{
    buffer_add_text(out, HEAD "\nfonts ");
    write_digest(out, fonts->digest);
    write_digest(out, fonts->settings);
    buffer_add_text(out, "\n");
    for (size_t i = 0; i < fonts->count; i++) {
        buffer_add_text(out, "watch ");
        write_stamp(out, &fonts->files[i].stamp);
        write_name(out, fonts->files[i].path);
    }
}

void record_write_entry(struct buffer *out, const struct recorded *entry)
{
    buffer_add_text(out, "lesson ");
    write_digest(out, entry->key);
    write_digest(out, entry->bytes);
    write_stamp(out, &entry->stamp);
    write_name(out, entry->name);
    write_files(out, "output ", entry->outputs, entry->count);
    write_files(out, "left ", entry->left, entry->left_count);
}

/* FNV-1a */
static uint32_t add_to_sum(uint32_t sum, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++)
        sum = (sum ^ (unsigned char)bytes[i]) * 16777619u;
    return sum;
}

enum { SUM_START = 0x1d };

void record_end_group(struct buffer *out, size_t start)
{
    buffer_format(out, "done %" PRIx32 "\n",
                  add_to_sum(SUM_START, out->bytes + start, out->length - start));
}

/* ---- reading ------------------------------------------------------------------------------ */

struct line {
    char *at, *end;
};

static int digit_of(char letter)
{
    if (letter >= '0' && letter <= '9')
        return letter - '0';
    return letter >= 'a' && letter <= 'f' ? letter - 'a' + 10 : -1;
}

static bool read_word(struct line *line, const char *word)
{
    size_t length = strlen(word);
    if ((size_t)(line->end - line->at) < length || memcmp(line->at, word, length) != 0)
        return false;
    line->at += length;
    return true;
}

static bool read_number(struct line *line, uint64_t *number)
{
    const char *start = line->at;
    *number = 0;
    for (int digit; line->at < line->end && (digit = digit_of(*line->at)) >= 0; line->at++)
        *number = *number << 4 | (uint64_t)digit;
    return line->at > start && (line->at == line->end || *line->at++ == ' ');
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

/* The rest of the line, where it stands. */
static const char *read_name(struct line *line)
{
    char *name = line->at, *out = memchr(name, '%', (size_t)(line->end - name));
    if (!out)
        out = line->end;
    for (const char *in = out; in < line->end; in++) {
        if (*in == '%' && line->end - in > 2 && digit_of(in[1]) >= 0 && digit_of(in[2]) >= 0) {
            *out++ = (char)(digit_of(in[1]) << 4 | digit_of(in[2]));
            in += 2;
        } else {
            *out++ = *in;
        }
    }
    *out = '\0';
    return name;
}

struct parsing {
    struct course_record *record;
    char *at, *end; /* what is not read yet */
    bool journal;   /* no record, but a journal */
    bool first;     /* the record had nothing before: no name can be there twice */
    struct recorded entry;
    bool has_entry, good; /* an entry is being read; its lines were understood */
    size_t room, left_room;
    uint32_t sum;
    bool ended;
    VECTOR(struct recorded_watch) watch;
};

static bool next_line(struct parsing *parsing, struct line *line)
{
    char *end = memchr(parsing->at, '\n', (size_t)(parsing->end - parsing->at));
    if (!end)
        return false;
    *line = (struct line){parsing->at, end};
    parsing->at = end + 1;
    return true;
}

/* How many lines from here on begin with a word. */
static size_t count_lines(const struct parsing *parsing, const char **at, const char *word)
{
    size_t count = 0, length = strlen(word);
    while ((size_t)(parsing->end - *at) > length && memcmp(*at, word, length) == 0) {
        const char *end = memchr(*at, '\n', (size_t)(parsing->end - *at));
        if (!end)
            break;
        *at = end + 1;
        count++;
    }
    return count;
}

static void end_entry(struct parsing *parsing)
{
    struct course_record *record = parsing->record;
    if (parsing->has_entry && parsing->good) {
        if (parsing->first)
            record_add(record, &parsing->entry);
        else
            record_take(record, &parsing->entry);
        record->groups += parsing->journal;
    }
    parsing->has_entry = false;
}

static bool read_lesson_line(struct parsing *parsing, struct line *line)
{
    struct course_record *record = parsing->record;
    struct recorded *entry = &parsing->entry;
    if (!parsing->journal)
        end_entry(parsing);
    *entry = (struct recorded){0};
    parsing->has_entry = true;
    const char *ahead = parsing->at;
    parsing->room = count_lines(parsing, &ahead, "output ");
    parsing->left_room = count_lines(parsing, &ahead, "left ");
    entry->outputs = arena_array_room(record->arena, parsing->room, sizeof *entry->outputs);
    entry->left = arena_array_room(record->arena, parsing->left_room, sizeof *entry->left);
    if (!read_digest(line, &entry->key) || !read_digest(line, &entry->bytes) ||
        !read_stamp(line, &entry->stamp))
        return false;
    entry->name = read_name(line);
    return true;
}

static bool read_file_line(struct line *line, struct recorded_file *files, size_t *count,
                           size_t room)
{
    if (*count == room || !read_digest(line, &files[*count].digest) ||
        !read_stamp(line, &files[*count].stamp))
        return false;
    files[(*count)++].place = read_name(line);
    return true;
}

static bool read_watch_line(struct parsing *parsing, struct line *line)
{
    struct recorded_watch watch;
    if (!read_stamp(line, &watch.stamp))
        return false;
    watch.path = read_name(line);
    *vector_push(&parsing->watch, parsing->record->arena) = watch;
    return true;
}

static bool read_done_line(struct parsing *parsing, struct line *line)
{
    uint64_t sum;
    if (read_number(line, &sum) && sum == parsing->sum)
        end_entry(parsing);
    parsing->has_entry = false;
    return true;
}

static bool read_line(struct parsing *parsing, struct line line)
{
    struct course_record *record = parsing->record;
    struct recorded *entry = &parsing->entry;
    if (read_word(&line, "lesson ")) {
        parsing->sum = SUM_START;
        return read_lesson_line(parsing, &line);
    }
    if (read_word(&line, "output "))
        return read_file_line(&line, entry->outputs, &entry->count, parsing->room);
    if (read_word(&line, "left "))
        return read_file_line(&line, entry->left, &entry->left_count, parsing->left_room);
    if (read_word(&line, "done "))
        return parsing->journal && read_done_line(parsing, &line);
    if (read_word(&line, "watch "))
        return read_watch_line(parsing, &line);
    if (read_word(&line, "fonts "))
        return read_digest(&line, &record->fonts.digest) &&
               read_digest(&line, &record->fonts.settings);
    parsing->ended = read_word(&line, "end");
    return parsing->ended;
}

/* A line of a journal that is not understood spoils its entry; in a record there is none such. */
static bool read_lines(struct parsing *parsing)
{
    struct line line;
    while (!parsing->ended && next_line(parsing, &line)) {
        uint32_t sum = SUM_START;
        bool starts = line.end - line.at >= 7 && memcmp(line.at, "lesson ", 7) == 0;
        if (parsing->journal)
            sum = add_to_sum(starts ? SUM_START : parsing->sum, line.at,
                             (size_t)(line.end - line.at) + 1);
        if (starts)
            parsing->good = true;
        bool good = read_line(parsing, line);
        parsing->sum = sum;
        parsing->good &= good;
        if (!good && !parsing->journal)
            return false;
    }
    if (!parsing->journal)
        end_entry(parsing);
    return parsing->journal || parsing->ended;
}

bool record_parse(struct course_record *record, char *text, size_t length, bool journal)
{
    const size_t before = record->entries.count;
    struct parsing parsing = {.record = record,
                              .at = text,
                              .end = text + length,
                              .journal = journal,
                              .first = before == 0 && !journal};
    const size_t head = sizeof HEAD; /* the line end with it */
    if (!journal && (length < head || memcmp(text, HEAD "\n", head) != 0))
        return false;
    if (!journal)
        parsing.at += head;
    if (!read_lines(&parsing)) {
        record->entries.count = before;
        record->indexed = SIZE_MAX; /* the table is to be made anew */
        return false;
    }
    if (!journal) {
        record->fonts.files = parsing.watch.items;
        record->fonts.count = parsing.watch.count;
    }
    return true;
}
