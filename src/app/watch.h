#ifndef RATAMARK_APP_WATCH_H
#define RATAMARK_APP_WATCH_H
/*
 * Waits for files to change. Each round names again what it watches, before it reads the files, so
 * no change during the round is missed.
 *
 *     struct watch *watch = watch_new();
 *     do {
 *         watch_begin(watch);
 *         watch_file(watch, "week-2/fill.yaml");
 *         watch_tree(watch, "course", NULL);
 *         ... read them, make the outputs ...
 *     } while (watch_wait(watch));
 *
 * It watches folders for the names in them, so a file may be saved in place, be replaced by a
 * rename, or disappear and come back. This needs Linux (inotify); elsewhere watch_run() says that
 * it cannot, and the functions of a round do not exist or do nothing.
 */
#include "app/options.h"
#include "console/status.h"

struct watch;

/* NULL with errno if the system refuses. The caller frees it. */
struct watch *watch_new(void);
void watch_free(struct watch *watch);

/* Starts a round: forgets what the round before watched. */
void watch_begin(struct watch *watch);

/* Watches a file: its content, and whether it exists. If it or its folder is missing, watches the
   nearest folder that exists. For a link, also watches the file it leads to. */
void watch_file(struct watch *watch, const char *path);

/* Watches every lesson and course file in a folder and below, including new ones. Leaves out names
   that begin with a dot, links to folders, and the folder `except` (NULL: none). The folder need
   not exist. */
void watch_tree(struct watch *watch, const char *folder, const char *except);

/* Watches all places where the course file of a lesson may be. For the course file of a folder,
   give a path that ends in `/`. */
void watch_courses(struct watch *watch, const char *lesson);

/* Waits until something changes and then stays the same for a moment, because saving a file is
   several changes. False with errno if watching is not possible; too many folders is ENOSPC. */
bool watch_wait(struct watch *watch);

/* Runs `act` now and after each change, for ever. `name_sources` says what to watch; `act` returns
   what to add to the message about watching. Only returns if watching is not possible. */
typedef void watch_name_sources(struct watch *watch, const struct options *options);
typedef const char *watch_act(const struct options *options, const void *closure);
enum status watch_run(const struct options *options, watch_name_sources *name_sources,
                      watch_act *act, const void *closure);

#endif
