/* `ratamark rudiments`: the built-in table, or one row of it. */
#include "app/commands.h"
#include "base/buffer.h"
#include "diag/diag.h"
#include "model/rudiment.h"

#include <stdlib.h>
#include <string.h>

static void add_row(const struct rudiment *rudiment, struct buffer *out)
{
    buffer_format(out, "%2d  %-30s %-7s %s\n", rudiment->number, rudiment->name, rudiment->family,
                  rudiment->strokes);
}

static const struct rudiment *find(const char *word)
{
    char *end = NULL;
    long number = strtol(word, &end, 10);
    if (*word && !*end)
        return number >= 1 && number <= RUDIMENT_COUNT ? rudiment_get((int)number) : NULL;
    return rudiment_find(word, strlen(word));
}

static void say_unknown(const char *word)
{
    const char *names[RUDIMENT_COUNT];
    for (int i = 0; i < RUDIMENT_COUNT; i++)
        names[i] = rudiment_get(i + 1)->name;
    const char *nearest = diag_nearest_name(word, names, RUDIMENT_COUNT);
    if (nearest)
        say_error("no rudiment is called '%s'; did you mean '%s'?", word, nearest);
    else
        say_error("no rudiment is called '%s'; they are numbered from 1 to %d", word,
                  (int)RUDIMENT_COUNT);
}

enum status rudiments_command(const struct options *options)
{
    struct buffer out = {0};
    if (options->operand_count) {
        const struct rudiment *rudiment = find(options->operands[0]);
        if (!rudiment) {
            say_unknown(options->operands[0]);
            return STATUS_USAGE;
        }
        add_row(rudiment, &out);
    }
    for (int i = 1; !options->operand_count && i <= RUDIMENT_COUNT; i++)
        add_row(rudiment_get(i), &out);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}
