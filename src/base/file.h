#ifndef RATAMARK_BASE_FILE_H
#define RATAMARK_BASE_FILE_H
/*
 * Reads and writes whole files. A file_output is written in its folder under another name, then
 * synced and renamed on commit: the old file stays until the new one is complete. Functions that
 * fail return false with errno set.
 */
#include "base/buffer.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the system records about a plain file: as long as this stays the same, the bytes nearly
   always do. */
struct file_stamp {
    uint64_t size, file;      /* in bytes; the inode's number */
    int64_t changed, touched; /* mtime and ctime, in nanoseconds since 1970 */
};

struct stat;
struct file_stamp file_stamp(const struct stat *status);
static inline bool file_stamp_equal(const struct file_stamp *a, const struct file_stamp *b)
{
    return a->size == b->size && a->file == b->file && a->changed == b->changed &&
           a->touched == b->touched;
}

/* Adds a file, a pipe, or standard input (path "-") to the buffer. EFBIG if it has more than `most`
   bytes, EISDIR for a directory. */
bool file_read(const char *path, size_t most, struct buffer *out);

/* As file_read(), but only for plain files: EINVAL for anything else, without waiting for its
   bytes.
   `*stamp` is taken before the first byte is read. */
bool file_read_plain(const char *path, size_t most, struct buffer *out, struct file_stamp *stamp);

/* Writes all of the bytes, in as many calls as that takes. If the reader is gone: EPIPE, provided
   that SIGPIPE is ignored. */
bool descriptor_write(int descriptor, const void *bytes, size_t length);

/* Closes it, unless it is -1; errno stays as it is. */
void descriptor_close(int descriptor);

struct file_output;

/* NULL with errno on failure. Path "-" is standard output; it and devices are written directly. */
struct file_output *file_output_open(const char *path);
bool file_output_write(struct file_output *output, const void *bytes, size_t length);
/* Syncs and closes, but does not rename yet: so several outputs can be complete before the first
   one appears, without all being open. False if anything failed since it was opened. Either way,
   free it with file_output_commit() or file_output_abandon(). */
bool file_output_finish(struct file_output *output);
/* Syncs, renames and frees. False if anything failed since it was opened: the old file then stays.
 */
bool file_output_commit(struct file_output *output);
/* Removes what was written, and frees. */
void file_output_abandon(struct file_output *output);
/* Removes the unfinished files of all open outputs. Safe in a signal handler. */
void file_output_abandon_all(void);

#endif
