/* The keys of a chart: what stands over a bar, and signs in place of its notes. */
#include "base/utf8.h"
#include "read/scope.h"

#include <stdlib.h>

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

void read_slashes(struct reader *reader, const struct entry *entry, void *target)
{
    const struct node *value = entry->value;
    unsigned long bars = value->kind == NODE_SCALAR ? strtoul(value->bytes, NULL, 10) : 0;
    if (bars > 0)
        bad_value(reader, entry, "yes: a slash for each beat of the bar%s",
                  bars > 1 ? ", and 'times' for several such bars" : "");
    else
        read_flag(reader, entry, target);
}

void read_times(struct reader *reader, const struct entry *entry, void *target)
{
    entry_number(reader, entry, 1, LESSON_PLAYS_MAX, ((struct scope *)target)->times);
}

void read_figures_key(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, "a rhythm line, such as 4> _8 8> 2");
    scope->signs->figures = text ? read_figures(reader, text) : NULL;
    scope->spoiled |= !scope->signs->figures;
}

/* ---- jumps ------------------------------------------------------------------------------------
 */

/* segno, coda, fine: yes or no. */
void read_bar_sign(struct reader *reader, const struct entry *entry, void *target)
{
    struct bar_signs *signs = ((struct scope *)target)->signs;
    if (entry_choice(reader, entry, no_or_yes) % 2 == 1)
        *(struct place *)entry_field(entry, signs) = entry->key->at;
}

void read_to(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const words[] = {"coda", NULL};
    struct scope *scope = target;
    if (entry_choice(reader, entry, words) == 0)
        scope->signs->to_coda = entry->key->at;
    else
        scope->spoiled = true;
}

/* The words in small letters, without full stops and spaces: "dsalcoda". */
static void plain_letters(const char *text, char *letters, size_t room)
{
    size_t count = 0;
    for (; *text && count + 1 < room; text++)
        if (*text != '.' && *text != ' ')
            letters[count++] = (char)(*text >= 'A' && *text <= 'Z' ? *text + 'a' - 'A' : *text);
    letters[count] = '\0';
}

void read_jump(struct reader *reader, const struct entry *entry, void *target)
{
    static const struct {
        const char *letters, *spelt_out, *words;
        bool to_segno, by_coda;
    } jumps[] = {
        {"dc", "dacapo", "D.C.", false, false},
        {"ds", "dalsegno", "D.S.", true, false},
        {"dcalfine", "dacapoalfine", "D.C. al Fine", false, false},
        {"dsalfine", "dalsegnoalfine", "D.S. al Fine", true, false},
        {"dcalcoda", "dacapoalcoda", "D.C. al Coda", false, true},
        {"dsalcoda", "dalsegnoalcoda", "D.S. al Coda", true, true},
    };
    enum { JUMP_COUNT = sizeof jumps / sizeof *jumps };
    static const char expected[] = "D.C. or D.S., perhaps with 'al fine' or 'al coda'";
    const struct text *text = entry_text(reader, entry, expected);
    char letters[24];
    if (!text)
        return;
    plain_letters(text->bytes, letters, sizeof letters);
    for (size_t i = 0; i < JUMP_COUNT; i++)
        if (strcmp(letters, jumps[i].letters) == 0 || strcmp(letters, jumps[i].spelt_out) == 0) {
            ((struct scope *)target)->signs->jump =
                (struct jump){jumps[i].to_segno, jumps[i].by_coda, jumps[i].words, entry->key->at};
            return;
        }
    const char *words[JUMP_COUNT];
    for (size_t i = 0; i < JUMP_COUNT; i++)
        words[i] = jumps[i].words;
    bad_value(reader, entry, "%s", expected);
    diag_nearest_of(reader->diags, text->bytes, words, JUMP_COUNT);
    ((struct scope *)target)->spoiled = true;
}

/* ---- what a sign can stand beside ------------------------------------------------------------ */

#define OVER_BAR "mark", "words", "pace", "times", "segno", "coda", "fine", "to", "jump"
const struct sign_keys sign_keys[SIGN_KEYS] = {
    {"same", (const char *const[]){"same", OVER_BAR, NULL},
     "only what stands over the bar: 'mark', 'words'"},
    {"rest", (const char *const[]){"rest", OVER_BAR, "time", "tempo", NULL},
     "'time', 'tempo', and what stands over the bar"},
    {"slashes",
     (const char *const[]){"slashes", OVER_BAR, "figures", "time", "tempo", "swing", "pulse",
                           "dynamics", "repeat", "counting", "show", NULL},
     "the notes in the exercise itself, for all its bars"},
};

static bool is_among(const char *key, const char *const *keys)
{
    for (; *keys; keys++)
        if (strcmp(key, *keys) == 0)
            return true;
    return false;
}

/* It was reported as that. */
static bool is_unknown(struct reader *reader, const struct node *key)
{
    return !reader->is_key(key->bytes, (uint32_t)key->length) && !is_voice_key(reader, key->bytes);
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
            is_among(key->bytes, row->beside) || is_unknown(reader, key))
            continue;
        diag_add(reader->diags, DIAG_CONFLICT, key->at, "'%s' cannot be combined with '%s'",
                 key->bytes, row->sign);
        diag_expected(reader->diags, "%s", row->expected);
    }
}
