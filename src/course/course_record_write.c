#include "course/course_record_int.h"

#include <inttypes.h>

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
        write_name(out, files[i].path);
    }
}

static void write_sum(struct buffer *out, size_t from, uint32_t sum)
{
    buffer_format(out, "done %" PRIx32 "\n",
                  record_add_to_sum(sum, out->bytes + from, out->length - from));
}

void record_write_head(struct buffer *out, const struct course_record *record)
{
    const struct recorded_fonts *fonts = &record->fonts;
    buffer_add_text(out, RECORD_HEAD "\n");
    size_t start = out->length;
    buffer_add_text(out, "from ");
    write_name(out, record->course.from);
    buffer_add_text(out, "title ");
    write_name(out, record->course.title);
    buffer_add_text(out, "fonts ");
    write_digest(out, fonts->digest);
    write_digest(out, fonts->settings);
    buffer_add_text(out, "\n");
    for (size_t i = 0; i < fonts->count; i++) {
        buffer_add_text(out, "watch ");
        write_stamp(out, &fonts->files[i].stamp);
        write_name(out, fonts->files[i].path);
    }
    write_sum(out, start, RECORD_SUM_START);
}

uint32_t record_write_fingerprint(struct buffer *out, const struct digest *fingerprint)
{
    size_t start = out->length;
    buffer_add_text(out, "key ");
    write_digest(out, *fingerprint);
    buffer_add_text(out, "\n");
    return record_add_to_sum(RECORD_SUM_START, out->bytes + start, out->length - start);
}

void record_write_entry(struct buffer *out, const struct recorded *entry, uint32_t sum)
{
    size_t start = out->length;
    buffer_add_text(out, "lesson ");
    write_digest(out, entry->bytes);
    write_stamp(out, &entry->stamp);
    write_name(out, entry->name);
    write_files(out, "output ", entry->outputs, entry->count);
    write_files(out, "left ", entry->left, entry->left_count);
    write_sum(out, start, sum);
}

/* FNV-1a */
uint32_t record_add_to_sum(uint32_t sum, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++)
        sum = (sum ^ (unsigned char)bytes[i]) * 16777619u;
    return sum;
}
