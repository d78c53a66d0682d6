#ifndef RATAMARK_BASE_PATH_H
#define RATAMARK_BASE_PATH_H
/* Parts of a path, by its text alone. */
#include <stdbool.h>
#include <stddef.h>

/* The bytes of a path up to and with its last `/`: 0 where it names no folder. */
size_t path_folder_length(const char *path);
/* What stands after that: the name of the file. */
const char *path_name(const char *path);
/* The ending of the name, from its last dot; the path's end if there is none. A dot at the start of
   the name begins no ending. */
const char *path_ending(const char *path);

bool path_is_folder(const char *path);
/* Both name one existing file, by whatever way. */
bool path_same_file(const char *a, const char *b);

#endif
