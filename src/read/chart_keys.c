/* The keys of a chart: what stands over a bar, and signs in place of its notes. */
#include "base/utf8.h"
#include "read/scope.h"

void read_mark(struct reader *reader, const struct entry *entry, void *target)
{
    struct words mark = entry_line(reader, entry);
    if (mark.text && utf8_count(mark.text, strlen(mark.text)) > LESSON_MARK_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, mark.at, "more than %d characters in a box",
                 LESSON_MARK_MAX);
        diag_expected(reader->diags, "a letter or a short name, such as A; 'words' can be longer");
        return;
    }
    ((struct scope *)target)->signs->mark = mark;
}

void read_same(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"1", "2", NULL};
    struct scope *scope = target;
    int choice = entry_choice(reader, entry, words);
    scope->spoiled |= choice < 0;
    scope->signs->same = (uint8_t)(choice + 1);
    scope->signs->at = entry->value->at;
}

void read_rest(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    uint32_t bars = 0;
    scope->spoiled |= !entry_number(reader, entry, 1, LESSON_RESTS_MAX, &bars);
    scope->signs->rest = (uint16_t)bars;
    scope->signs->at = entry->value->at;
}

void read_times(struct reader *reader, const struct entry *entry, void *target)
{
    entry_number(reader, entry, 1, LESSON_PLAYS_MAX, ((struct scope *)target)->times);
}

/* ---- what a sign can stand beside ------------------------------------------------------------ */

#define OVER_BAR "mark", "words", "times"
static const struct sign_keys {
    const char *sign;
    const char *const *beside;
    const char *expected;
} sign_keys[] = {
    {"same", (const char *const[]){"same", OVER_BAR, NULL},
     "only what stands over the bar: 'mark', 'words'"},
    {"rest", (const char *const[]){"rest", OVER_BAR, "time", "tempo", NULL},
     "'time', 'tempo', and what stands over the bar"},
    {"slashes",
     (const char *const[]){"slashes", OVER_BAR, "time", "tempo", "swing", "pulse", "dynamics",
                           "repeat", "counting", "show", NULL},
     "what is played there in the exercise itself, for all its bars"},
};

static bool is_among(const char *key, const char *const *keys)
{
    for (; *keys; keys++)
        if (strcmp(key, *keys) == 0)
            return true;
    return false;
}

void check_sign_keys(struct reader *reader, const struct node *bar, const struct bar_signs *signs)
{
    const struct sign_keys *row = signs->same      ? &sign_keys[0]
                                  : signs->rest    ? &sign_keys[1]
                                  : signs->slashes ? &sign_keys[2]
                                                   : NULL;
    if (!row || bar->kind != NODE_MAP)
        return;
    for (const struct node *key = bar->first; key; key = key->next->next) {
        if (key->kind != NODE_SCALAR || node_is_empty(key->next) ||
            is_among(key->bytes, row->beside))
            continue;
        diag_add(reader->diags, DIAG_CONFLICT, key->at, "'%s' cannot be combined with '%s'",
                 key->bytes, row->sign);
        diag_expected(reader->diags, "%s", row->expected);
    }
}
