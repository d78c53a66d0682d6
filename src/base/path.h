#ifndef RATAMARK_BASE_PATH_H
#define RATAMARK_BASE_PATH_H
/* Parts of a path, from its text alone; and what is at a path. */
#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

/* How many bytes the path has up to its last `/`, which counts too; 0 if it has no `/`. */
size_t path_folder_length(const char *path);
/* The rest: the name of the file. */
const char *path_name(const char *path);
/* The ending of the name, from its last dot; the end of the path if the name has no dot, or only at
   its start. */
const char *path_ending(const char *path);

/* The relative path from one folder to another, such as "../lessons"; "." if they are the same.
 * Both must be absolute and free of links. The text is on the arena. */
const char *path_between(const char *from, const char *to, struct arena *arena);

bool path_is_folder(const char *path);
/* Whether both paths lead to the same existing file. */
bool path_same_file(const char *a, const char *b);

#endif
