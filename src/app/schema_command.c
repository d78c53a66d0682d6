/* `ratamark schema lesson|course`: what editors need to complete and explain keys. */
#include "app/commands.h"
#include "base/buffer.h"
#include "read/read.h"

#include <string.h>

enum status schema_command(const struct options *options)
{
    const char *what = options->operands[0];
    bool course = strcmp(what, "course") == 0;
    if (!course && strcmp(what, "lesson") != 0) {
        say_error("there is no schema for '%s'; there is one for lesson and course", what);
        return STATUS_USAGE;
    }
    struct buffer out = {0};
    read_schema(course, &out);
    return put_result(&out);
}
