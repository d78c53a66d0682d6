#include "base/buffer.h"
#include "read/read.h"

#include <yaml.h>

void read_add_versions(struct buffer *out)
{
    buffer_format(out, "libyaml %s\n", yaml_get_version_string());
}
