#ifndef RATAMARK_APP_WATCH_H
#define RATAMARK_APP_WATCH_H
/*
 * Waiting for files to change. What is watched is named anew in each round, before it is read: so
 * nothing that changes while a round is at work goes unseen.
 *
 *     struct watch *watch = watch_new();
 *     do {
 *         watch_begin(watch);
 *         watch_file(watch, "week-2/fill.yaml");
 *         watch_tree(watch, "course", NULL);
 *         ... read them, build what is made of them ...
 *     } while (watch_wait(watch));
 *
 * Folders are watched, by the names in them: a file may be saved where it stands, be replaced by
 * another that is renamed over it, vanish and come again. Works on Linux alone (inotify); elsewhere
 * watch_new() fails with ENOSYS.
 */
#include <stdbool.h>

struct watch;

/* NULL with errno where the system has none to give. The caller frees it. */
struct watch *watch_new(void);
void watch_free(struct watch *watch);

/* Forgets what the round before watched. */
void watch_begin(struct watch *watch);

/* Watches for a file's content, coming and going. It need not exist, nor its folder: then the
   nearest folder that does is watched for them. Of a link, the file it leads to as well. */
void watch_file(struct watch *watch, const char *path);

/* Watches every lesson and course file below a folder, with those to come. Names that begin with a
   dot and links to folders are left out, and so is the folder `except` (NULL: none) where it lies
   inside. The folder need not exist. */
void watch_tree(struct watch *watch, const char *folder, const char *except);

/* Watches for the course file of a lesson (a path; of a folder, where it ends in `/`), in all the
   places where one would be nearer than the one there is, and in its own. */
void watch_courses(struct watch *watch, const char *lesson);

/* Returns once something watched has changed, and then been left alone for a moment: writing a file
   is several changes. False with errno where watching is not possible, also where that was found
   while naming: too many folders is ENOSPC. */
bool watch_wait(struct watch *watch);

#endif
