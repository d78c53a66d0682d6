#ifndef RATAMARK_COURSE_COURSE_OUT_H
#define RATAMARK_COURSE_COURSE_OUT_H
/*
 * OUT, the folder of outputs. Files are written into our own folder inside it, `.ratamark`, synced,
 * and then moved into place: at any moment each place holds the old file or the complete new one.
 * Folders are opened one by one and never through a link, so nothing is written outside OUT.
 *
 *     struct course_out *out;
 *     enum status status = course_out_open("out", share, &out);
 *     status = course_out_begin(out);
 *     struct staged_file file;
 *     if (course_out_stage(out, "12-0", &file)) ... staged_write(&file, bytes, length) ...
 *     staged_end(&file);
 *     course_out_sync(out);
 *     course_out_place(out, "12-0", "week-2/fill.pdf");
 *     course_out_close(out);
 */
#include "base/digest.h"
#include "base/file.h"
#include "console/status.h"

struct course_out;

#define COURSE_OUT_OWN ".ratamark"

/* A share of a course, made on a machine of its own: `number` from 1, of `count`. The whole course
   is 1 of 1. */
struct course_share {
    uint32_t number, count;
};

/* Opens the folder for reading only; NULL if there is none. */
struct course_out *course_out_look_at(const char *path);
/* Opens the folder, makes it if it is missing, and locks it: only the share if there are several.
   Says what went wrong. Close it with course_out_close(). */
enum status course_out_open(const char *path, struct course_share share,
                            struct course_out **opened);
/* Deletes staged files, and unlocks. NULL is allowed. */
void course_out_close(struct course_out *out);

/* Makes the folder for staged files. Call it before the first file is staged and before other
   processes that stage files are started; calling it again does nothing. Says what went wrong. */
enum status course_out_begin(struct course_out *out);

/* The descriptor of our own folder, for openat(); -1: none. It stays ours. */
int course_out_own(const struct course_out *out);

/* ---- writing ------------------------------------------------------------------------------ */

struct staged_file {
    int descriptor;
    int problem; /* the first errno */
    uint64_t size;
    struct digester digester;
};

/* Begins a staged file with this name. False with errno. */
bool course_out_stage(struct course_out *out, const char *name, struct staged_file *file);
/* A draw_write; `closure` is the file. */
bool staged_write(void *closure, const void *bytes, size_t length);
/* Ends the file; sets its digest and stamp. False with errno if not all bytes could be written. */
bool staged_end(struct staged_file *file, struct digest *digest, struct file_stamp *stamp);
/* Deletes a staged file. */
void course_out_unstage(struct course_out *out, const char *name);

/* Waits until one staged file is on disk, or everything that was written to that disk. False with
   errno. */
bool course_out_sync_one(struct course_out *out, const char *name);
bool course_out_sync(struct course_out *out);

/* Whether a file may be put into this place, a path below the folder; makes the folders on its
   path. False with errno: EISDIR, EACCES; ENOTDIR or ELOOP if part of the path is a link or not a
   folder. */
bool course_out_may_place(struct course_out *out, const char *path);
/* Moves a staged file into its place and sets its stamp there. False with errno. */
bool course_out_place(struct course_out *out, const char *name, const char *path,
                      struct file_stamp *stamp);

/* ---- looking and deleting ----------------------------------------------------------------- */

/* Whether a plain file is here; sets its stamp. If false, errno is ENOENT if none is, else why we
 * cannot tell. */
bool course_out_look(struct course_out *out, const char *path, struct file_stamp *stamp);
/* Digests the bytes of that file. False with errno. */
bool course_out_digest(struct course_out *out, const char *path, struct digest *digest);
/* Deletes a file and then each folder on its path that is empty. False with errno. */
bool course_out_remove(struct course_out *out, const char *path);

#endif
