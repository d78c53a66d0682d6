#ifndef RATAMARK_READ_YAML_SLIP_H
#define RATAMARK_READ_YAML_SLIP_H
/*
 * The typing slip behind a YAML error. YAML notices a missing colon or an open brace only where the
 * text after it makes no sense, often lines later. This looks through the lines up to there, as a
 * person would, for the first one that is not written like a line of a lesson.
 */
#include "base/arena.h"
#include "read/source.h"

struct yaml_slip {
    uint32_t line, column, length; /* as in struct place */
    const char *words, *advice;    /* what is wrong, and what to write instead */
};

/* Whether a key of lessons, course files or maps in them is called this. */
typedef bool is_key_word(const char *word, size_t length);

/* False if every line up to `last_line` looks right. The texts live on the arena. */
bool yaml_slip_find(const struct source *source, uint32_t last_line, is_key_word *is_key,
                    struct arena *arena, struct yaml_slip *slip);

#endif
