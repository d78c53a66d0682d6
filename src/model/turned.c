#include "model/turned.h"

#include <string.h>

const char *turned_end(const char *text)
{
    if (*text != '{')
        return NULL;
    const char *bar = text + 1 + strcspn(text + 1, "{|}");
    const char *end = *bar == '|' ? bar + 1 + strcspn(bar + 1, "{|}") : bar;
    return *bar == '|' && *end == '}' ? end + 1 : NULL;
}

bool turned_any(const char *text)
{
    for (text = strchr(text, '{'); text; text = strchr(text + 1, '{'))
        if (turned_end(text))
            return true;
    return false;
}

const char *turned_raw(const struct turned_text *all, size_t count, const char *text)
{
    for (size_t i = 0; i < count; i++)
        if (all[i].text == text)
            return all[i].raw;
    return text;
}

/* Copies without the spaces at both ends. Returns where the copy ends. */
static char *copy_trimmed(char *out, const char *from, const char *end)
{
    while (from < end && *from == ' ')
        from++;
    while (end > from && end[-1] == ' ')
        end--;
    memcpy(out, from, (size_t)(end - from));
    return out + (end - from);
}

void turned_say(const struct turned_text *turned, bool other_player)
{
    char *out = turned->text;
    for (const char *at = turned->raw; *at;) {
        const char *end = turned_end(at);
        if (!end) {
            *out++ = *at++;
            continue;
        }
        const char *bar = strchr(at, '|');
        out = other_player ? copy_trimmed(out, bar + 1, end - 1) : copy_trimmed(out, at + 1, bar);
        at = end;
    }
    *out = '\0';
}
