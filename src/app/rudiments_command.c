/* `ratamark rudiments`: the forty rudiments, or one of them. */
#include "app/commands.h"
#include "base/buffer.h"
#include "diag/diag.h"
#include "model/rudiment.h"

#include <stdlib.h>
#include <string.h>

static void add_row(const struct rudiment *rudiment, struct buffer *out)
{
    buffer_format(out, "%2d  %-25s %-7s %-14s %s\n", rudiment->number, rudiment->name,
                  rudiment->family, rudiment->rhythm, rudiment->strokes);
}

static const struct rudiment *find(const char *word)
{
    char *end = NULL;
    long number = strtol(word, &end, 10);
    if (*word && !*end)
        return number >= 1 && number <= RUDIMENT_COUNT ? rudiment_get((int)number) : NULL;
    return rudiment_find(word, strlen(word));
}

static enum status no_such_rudiment(const char *word)
{
    const char *names[RUDIMENT_NAMES_MAX];
    const char *nearest = diag_nearest_name(word, names, rudiment_names(names));
    if (nearest)
        say_error("there is no rudiment '%s'; did you mean '%s'?", word, nearest);
    else
        say_error("there is no rudiment '%s'; 'ratamark rudiments' lists all of them", word);
    return STATUS_USAGE;
}

enum status rudiments_command(const struct options *options)
{
    struct buffer out = {0};
    if (options->operand_count) {
        const struct rudiment *rudiment = find(options->operands[0]);
        if (!rudiment)
            return no_such_rudiment(options->operands[0]);
        add_row(rudiment, &out);
    }
    for (int i = 1; !options->operand_count && i <= RUDIMENT_COUNT; i++)
        add_row(rudiment_get(i), &out);
    return put_result(&out);
}
