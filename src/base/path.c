#include "base/path.h"

#include "base/buffer.h"

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

const char *path_between(const char *from, const char *to, struct arena *arena)
{
    size_t common = 0;
    for (size_t i = 0; from[i] == to[i] || !from[i] || !to[i]; i++) {
        if ((!from[i] || from[i] == '/') && (!to[i] || to[i] == '/'))
            common = i;
        if (!from[i] || !to[i])
            break;
    }
    struct buffer way = {0};
    for (const char *at = from + common; (at = strchr(at, '/')) && at[1]; at++)
        buffer_add_text(&way, way.length ? "/.." : "..");
    const char *rest = to + common + strspn(to + common, "/");
    buffer_add_text(&way, way.length && *rest ? "/" : "");
    buffer_add_text(&way, way.length || *rest ? rest : ".");
    return buffer_keep(&way, arena);
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
