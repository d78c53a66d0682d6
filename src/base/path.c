#include "base/path.h"

#include <string.h>
#include <sys/stat.h>

size_t path_folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

const char *path_name(const char *path)
{
    return path + path_folder_length(path);
}

const char *path_ending(const char *path)
{
    const char *name = path_name(path), *dot = strrchr(name, '.');
    return dot && dot > name ? dot : path + strlen(path);
}

bool path_is_folder(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

bool path_same_file(const char *a, const char *b)
{
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}
