/* `vary`: what may change in the variations of an exercise, and what stays. */
#include "read/scanner.h"
#include "read/scope.h"

/* ---- choices by count ------------------------------------------------------------------------ */

static void report_strokes(struct reader *reader, const struct address *address)
{
    diag_add(reader->diags, DIAG_BAD_VALUE, address->at,
             "'from' needs counts, not numbers of strokes");
    diag_expected(reader->diags, "counts, such as eighths, each & or 1 2& 4");
}

static bool has_strokes(struct reader *reader, const struct address_bars *counts)
{
    for (size_t b = 0; b < counts->count; b++)
        for (size_t i = 0; i < counts->bars[b].count; i++)
            if (counts->bars[b].items[i].kind == ADDRESS_EACH_STROKES) {
                report_strokes(reader, &counts->bars[b].items[i]);
                return true;
            }
    return false;
}

static void read_from(struct reader *reader, const struct entry *entry, void *target)
{
    struct vary_choice *choice = target;
    struct address_bars counts;
    if (read_count_bars(reader, entry, false, &counts) && !has_strokes(reader, &counts))
        choice->from = counts;
}

/* `3`, `2-4`, `2 to 4`. */
static void read_how_many(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "a number or a range, such as 3 or 2-4";
    struct vary_choice *choice = target;
    const struct text *text = entry_text(reader, entry, expected);
    if (!text)
        return;
    struct scanner scanner = scanner_of(reader, text);
    uint32_t least, most;
    bool good = scan_number(&scanner, &least);
    most = least;
    if (good && (scan_dash(&scanner) || scan_to(&scanner)))
        good = scan_number(&scanner, &most);
    if (!good || !scan_ended(&scanner) || least > most || most > VARY_COUNT_MAX) {
        bad_value(reader, entry, "%s", expected);
        return;
    }
    choice->least = least;
    choice->most = most;
    choice->count_at = text->at;
}

static const struct level_name vary_levels[] = {{OF_VARY, "'vary'"},
                                                {OF_CHOICE, "a choice of 'vary'"}};

static const struct key choice_keys[] = {
    KEY("from", OF_CHOICE, read_from),
    KEY("count", OF_CHOICE, read_how_many),
};
const struct key_table vary_choice_table = KEY_TABLE(choice_keys, vary_levels);

/* A map, or counts alone: short for `from`. */
static void read_choice_of(struct reader *reader, const struct entry *entry, void *target)
{
    struct vary_choice *choice = entry_field(entry, target);
    *choice = (struct vary_choice){.most = VARY_COUNT_MAX, .at = entry->key->at};
    if (entry->value->kind != NODE_MAP)
        read_from(reader, entry, choice);
    else if (!read_keys(reader, entry->value, &vary_choice_table, OF_CHOICE, choice))
        return;
    choice->written = true;
}

/* ---- voices ---------------------------------------------------------------------------------- */

static bool same_voicing(const struct voicing *a, const struct voicing *b)
{
    return a->voice_count == b->voice_count && a->marks == b->marks && a->graces == b->graces &&
           a->unlike == b->unlike &&
           memcmp(a->voices, b->voices, a->voice_count * sizeof *a->voices) == 0 &&
           (!a->unlike ||
            memcmp(a->voice_marks, b->voice_marks, a->voice_count * sizeof *a->voice_marks) == 0);
}

static bool is_for_hands(const struct reader *reader, const struct voicing *voicing)
{
    for (size_t i = 0; i < voicing->voice_count; i++)
        if (reader->kit->voices[voicing->voices[i]].player != PLAYER_HANDS)
            return false;
    return voicing->voice_count > 0;
}

/* What is wrong with a voice of the list; NULL: nothing. */
static const char *voice_fault(const struct reader *reader, const struct voicing_line *line,
                               size_t index)
{
    if (!is_for_hands(reader, &line->items[index]))
        return "a hand can move to its own voices only";
    for (size_t i = 0; i < index; i++)
        if (same_voicing(&line->items[i], &line->items[index]))
            return "the same voice twice";
    return NULL;
}

static void read_hand_voices(struct reader *reader, const struct entry *entry, void *target)
{
    struct voicing_line *line = entry_field(entry, target);
    struct voicing_line read = {0};
    read_voicings(reader, entry, &read);
    if (read.count == 1 || read.count > VARY_VOICES_MAX) {
        diag_add(reader->diags, DIAG_BAD_VALUE, read.at,
                 read.count == 1 ? "one voice is no choice" : "too many voices to choose from");
        diag_expected(reader->diags, "2 to %d voices, such as [snare, floor-tom]", VARY_VOICES_MAX);
        return;
    }
    for (size_t i = 0; i < read.count; i++) {
        const char *fault = voice_fault(reader, &read, i);
        if (!fault)
            continue;
        diag_add(reader->diags, DIAG_BAD_VALUE, read.items[i].at, "%s", fault);
        diag_expected(reader->diags, "different voices of the hands, such as [snare, floor-tom]");
        return;
    }
    *line = read;
}

/* ---- what stays ------------------------------------------------------------------------------ */

/* One foot's voice without marks; or a voice of the hands, an accent, a ghost. */
static bool can_keep(const struct reader *reader, const struct voicing *what)
{
    mark_set marks = what->marks;
    if (what->graces || what->unlike || marks_without(marks, MARKS_LOUD | MARK_GHOST))
        return false;
    if (what->voice_count == 0 || is_for_hands(reader, what))
        return true;
    return what->voice_count == 1 && !marks;
}

static void read_keep(struct reader *reader, const struct entry *entry, void *target)
{
    struct vary *vary = target;
    struct at_map keep = read_at_map(reader, entry, false);
    for (size_t i = 0; i < keep.count; i++) {
        if (can_keep(reader, &keep.entries[i].what))
            continue;
        diag_add(reader->diags, DIAG_BAD_VALUE, keep.entries[i].what.at, "this cannot be kept");
        diag_expected(reader->diags, "a voice, an accent or a ghost, such as snare accent; or the "
                                     "voice of a foot alone");
        return;
    }
    vary->keep = keep;
}

/* ---- the sticking ---------------------------------------------------------------------------- */

static void read_rotate(struct reader *reader, const struct entry *entry, void *target)
{
    ((struct vary *)target)->rotate_at = entry->key->at;
    read_flag(reader, entry, target);
}

static void read_permute(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "the lengths of the pieces, 2 to %d of them, such as 3 3 2";
    struct vary *vary = target;
    const struct text *text = entry_text(reader, entry, "lengths of pieces, such as 3 3 2");
    if (!text)
        return;
    struct scanner scanner = scanner_of(reader, text);
    bool good = true;
    uint32_t length;
    vary->piece_count = 0;
    for (scan_separators(&scanner); good && !scan_ended(&scanner); scan_separators(&scanner)) {
        good = vary->piece_count < VARY_PIECES_MAX && scan_number(&scanner, &length) && length &&
               length <= UINT8_MAX;
        if (good)
            vary->pieces[vary->piece_count++] = (uint8_t)length;
    }
    if (good && vary->piece_count > 1) {
        vary->permute_at = text->at;
        return;
    }
    vary->piece_count = 0;
    bad_value(reader, entry, expected, VARY_PIECES_MAX);
}

static void read_distinct(struct reader *reader, const struct entry *entry, void *target)
{
    struct vary *vary = target;
    int choice = entry_choice(reader, entry, entry->row->words);
    vary->distinct_at = entry->value->at;
    vary->rotations_alike = choice == 1;
}

static void read_playable(struct reader *reader, const struct entry *entry, void *target)
{
    enum { FASTEST = 999 };
    struct vary *vary = target;
    vary->playable_at = entry->value->at;
    entry_number(reader, entry, 1, FASTEST, &vary->playable);
}

/* ---- the block ------------------------------------------------------------------------------- */

static const char *const distinct_words[] = {"all", "rotation", NULL};

#define CHOICE_KEY(name, part) FIELD_KEY(name, OF_VARY, read_choice_of, struct vary, choices[part])

static const struct key vary_keys[] = {
    FIELD_KEY("R", OF_VARY, read_hand_voices, struct vary, play.limbs[LIMB_RIGHT_HAND]),
    FIELD_KEY("L", OF_VARY, read_hand_voices, struct vary, play.limbs[LIMB_LEFT_HAND]),
    CHOICE_KEY("accents", VARY_ACCENTS),
    CHOICE_KEY("ghosts", VARY_GHOSTS),
    CHOICE_KEY("kick", VARY_KICK),
    CHOICE_KEY("hat-foot", VARY_HAT_FOOT),
    WORDS_KEY("rotate", OF_VARY, read_rotate, struct vary, rotate, no_or_yes),
    KEY("permute", OF_VARY, read_permute),
    KEY("keep", OF_VARY, read_keep),
    WORDS_KEY("distinct", OF_VARY, read_distinct, struct vary, rotations_alike, distinct_words),
    KEY("playable", OF_VARY, read_playable),
};
const struct key_table vary_table = KEY_TABLE(vary_keys, vary_levels);

/* False, and reported, for two keys that do not go together. */
static bool check_beside(struct reader *reader, const struct vary *vary)
{
    if (!vary->rotations_alike || !vary->piece_count)
        return true;
    diag_add(reader->diags, DIAG_CONFLICT, vary->distinct_at,
             "'distinct: rotation' beside 'permute'");
    diag_expected(reader->diags, "only one of the two");
    diag_other(reader->diags, vary->permute_at, "the pieces are here");
    return false;
}

/* False, and reported, for an exercise that cannot vary as a whole. */
static bool check_exercise(struct reader *reader, const struct vary *vary,
                           const struct scope *scope)
{
    const struct exercise *exercise = scope->exercise;
    const char *beside = exercise->bars_kind == BARS_LIST ? "a list of 'bars'"
                         : exercise->pickup               ? "a 'pickup'"
                         : exercise->ending_count         ? "'endings'"
                         : scope->has_right               ? "'right' and 'left'"
                                                          : NULL;
    if (!beside)
        return true;
    diag_add(reader->diags, DIAG_CONFLICT, vary->at, "'vary' beside %s", beside);
    diag_expected(reader->diags, "an exercise whose bars are all made from its own keys");
    return false;
}

static bool changes_something(const struct vary *vary)
{
    bool changes = vary->rotate || vary->piece_count;
    for (int i = 0; i < VARY_PARTS; i++)
        changes |= vary->choices[i].written;
    return changes || vary->play.limbs[LIMB_RIGHT_HAND].count ||
           vary->play.limbs[LIMB_LEFT_HAND].count;
}

void read_vary(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct vary *vary = arena_alloc(reader->arena, sizeof *vary);
    size_t before = diags_errors(reader->diags);
    vary->at = entry->key->at;
    if (!read_keys(reader, entry->value, &vary_table, OF_VARY, vary) ||
        diags_errors(reader->diags) != before)
        return;
    if (!changes_something(vary)) {
        diag_add(reader->diags, DIAG_MISSING_KEY, vary->at, "nothing in this 'vary' may change");
        diag_expected(reader->diags, "R, L, accents, ghosts, kick, hat-foot, rotate or permute");
    } else if (check_beside(reader, vary) && check_exercise(reader, vary, scope)) {
        scope->exercise->vary = vary;
    }
}
