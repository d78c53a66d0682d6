#ifndef RATAMARK_COURSE_COURSE_OUT_H
#define RATAMARK_COURSE_COURSE_OUT_H
/*
 * The folder that a course is made into. Files are written into a folder of our own inside it,
 * `.ratamark`, synced, and only then put into their places: each place holds the older file or the
 * whole new one at any moment. Folders are opened one by one and never through a link: nothing is
 * written outside.
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

/* A part of a course that is made by itself: `number` from 1 of `count`. The whole: 1 of 1. */
struct course_share {
    uint32_t number, count;
};

/* The folder, to look at only; NULL where there is none. */
struct course_out *course_out_look_at(const char *path);
/* Makes the folder where it is missing and locks it, for the share alone where there are several.
   What went wrong is said. Close it with course_out_close(). */
enum status course_out_open(const char *path, struct course_share share,
                            struct course_out **opened);
/* Takes away what is not placed yet, and the lock. NULL is allowed. */
void course_out_close(struct course_out *out);

/* Makes the folder for what is staged; to be called before the first file, and before any other
   process is made that writes one; once begun, nothing more happens. What went wrong is said. */
enum status course_out_begin(struct course_out *out);

/* Our own folder in it, for openat(), -1 where there is none; lent. */
int course_out_own(const struct course_out *out);

/* ---- writing ------------------------------------------------------------------------------ */

struct staged_file {
    int descriptor;
    int problem; /* the first errno */
    uint64_t size;
    struct digester digester;
};

/* Begins a file under a name of the caller's. False with errno. */
bool course_out_stage(struct course_out *out, const char *name, struct staged_file *file);
/* As draw_write: `closure` is the file. */
bool staged_write(void *closure, const void *bytes, size_t length);
/* Ends it; what it is. False with errno where not all bytes were taken. */
bool staged_end(struct staged_file *file, struct digest *digest, struct file_stamp *stamp);
/* Takes a staged file away. */
void course_out_unstage(struct course_out *out, const char *name);

/* Waits until one staged file, or all of them and whatever else is on that disk, is written to it.
   False with errno. */
bool course_out_sync_one(struct course_out *out, const char *name);
bool course_out_sync(struct course_out *out);

/* Whether a file may be put into this place (a path below the folder); its folders are made. False
   with errno: EISDIR, EACCES; ENOTDIR or ELOOP where a folder on the way is a link or no folder. */
bool course_out_may_place(struct course_out *out, const char *place);
/* Puts a staged file into its place. False with errno. */
bool course_out_place(struct course_out *out, const char *name, const char *place);

/* ---- looking and taking away --------------------------------------------------------------- */

/* What lies at a place: true, with its stamp, for a plain file. */
bool course_out_look(struct course_out *out, const char *place, struct file_stamp *stamp);
/* The digest of its bytes. False with errno. */
bool course_out_digest(struct course_out *out, const char *place, struct digest *digest);
/* Takes away a file, and its folders below OUT as far as they are empty then. False with errno. */
bool course_out_remove(struct course_out *out, const char *place);

#endif
