#ifndef RATAMARK_BASE_FILE_H
#define RATAMARK_BASE_FILE_H
/*
 * Whole files in, whole files out. A file_output is written beside its place under another name,
 * synced and renamed on commit: the older file stays until the new one is complete. Failures return
 * false with errno set.
 */
#include "base/buffer.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a system says of a plain file: while it stays the same, so do the bytes, as a rule. */
struct file_stamp {
    uint64_t size, file;      /* bytes; the file's number on its device */
    int64_t changed, touched; /* times of the bytes and of the entry, in nanoseconds since 1970 */
};

struct stat;
struct file_stamp file_stamp(const struct stat *status);
static inline bool file_stamp_equal(const struct file_stamp *a, const struct file_stamp *b)
{
    return a->size == b->size && a->file == b->file && a->changed == b->changed &&
           a->touched == b->touched;
}

/* Reads a regular file, a pipe, or standard input (path "-") of at most `most` bytes. EFBIG where
   it is longer, EISDIR for a directory. The buffer is appended to. */
bool file_read(const char *path, size_t most, struct buffer *out);

/* As file_read(), but of a plain file alone: EINVAL for anything else, without waiting for what
   would come out of it. `*stamp` is taken before the first byte. */
bool file_read_plain(const char *path, size_t most, struct buffer *out, struct file_stamp *stamp);

/* Writes all of the bytes, however often it takes. False with errno; where a reader is gone that is
   EPIPE only if SIGPIPE is ignored. */
bool descriptor_write(int descriptor, const void *bytes, size_t length);

struct file_output;

/* NULL with errno when it cannot be made. Path "-" is standard output, written as it comes. */
struct file_output *file_output_open(const char *path);
bool file_output_write(struct file_output *output, const void *bytes, size_t length);
/* Syncs and closes, but does not rename yet: several outputs can so be complete before the first of
   them appears, without holding them all open. False where anything since the opening failed; free
   it with file_output_commit() or file_output_abandon() all the same. */
bool file_output_finish(struct file_output *output);
/* Syncs and renames; frees. False where anything since the opening failed: the place is untouched.
 */
bool file_output_commit(struct file_output *output);
/* Removes what was written; frees. */
void file_output_abandon(struct file_output *output);
/* Removes the half-written files of all open outputs: safe in a signal handler. */
void file_output_abandon_all(void);

#endif
