/*
 * Voices by count: `hi-hat: eighths`, `snare ghost: 1a 2e`, `kick: 1 3`. The key names a voice of
 * the kit, a short name of one, `kick` or `hat-foot`; marks follow as words. The value is counts.
 */
#include "read/scanner.h"
#include "read/scope.h"

/* Names of voices that exist only as keys. Each belongs to its foot, whatever the kit says; `play`
   can give that foot another voice. */
static const struct {
    const char *word;
    voice_id voice;
    enum player player;
} foot_words[] = {
    {"kick", VOICE_BASS_DRUM, PLAYER_RIGHT_FOOT},
    {"hat-foot", VOICE_HI_HAT_FOOT, PLAYER_LEFT_FOOT},
};

enum { FOOT_WORDS = sizeof foot_words / sizeof *foot_words };

static size_t first_word(const char *bytes)
{
    return strcspn(bytes, " ");
}

/* Sets the key's voice from its first word. */
static bool find_key_voice(const struct reader *reader, const char *bytes, size_t length,
                           struct keyed_voice *keyed)
{
    uint32_t number;
    for (size_t i = 0; i < FOOT_WORDS; i++)
        if (strlen(foot_words[i].word) == length &&
            memcmp(foot_words[i].word, bytes, length) == 0) {
            keyed->what.voices[0] = foot_words[i].voice;
            keyed->player = (uint8_t)foot_words[i].player;
            keyed->usual = true;
            return true;
        }
    if (!names_find(&reader->voices, bytes, length, &number))
        return false;
    keyed->what.voices[0] = (voice_id)number;
    keyed->player = (uint8_t)reader->kit->voices[number].player;
    return true;
}

bool is_voice_key(struct reader *reader, const char *name)
{
    struct keyed_voice keyed;
    return find_key_voice(reader, name, first_word(name), &keyed);
}

/* ---- marks ----------------------------------------------------------------------------------- */

static void report_mark(struct scanner *words, size_t start, bool known)
{
    struct reader *reader = words->reader;
    const char *bytes = words->text->bytes;
    const char *name = voicing_hyphened(reader, bytes, start, words->offset - start);
    scan_complain(words, known ? DIAG_CONFLICT : DIAG_BAD_VALUE, start, words->offset - start,
                  known ? "a key such as this one adds strokes and takes no rest"
                        : "not a mark of the voice in front of it",
                  known  ? "'none' as the counts, or 'rest' under 'at'"
                  : name ? "a hyphen inside the voice's name"
                         : voicing_mark_words(reader));
    if (known || !diag_listed(reader->diags))
        return;
    if (name)
        diag_nearest(reader->diags, name);
    else
        voicing_suggest_mark(reader, bytes + start, words->offset - start);
}

static void read_marks(struct scanner *words, struct voicing *voicing)
{
    for (scan_spaces(words); !scan_ended(words); scan_spaces(words)) {
        size_t start = words->offset;
        while (!scan_ended(words) && !is_space(scan_peek(words)))
            words->offset++;
        bool known = voicing_add_word(words->text->bytes + start, words->offset - start, voicing);
        if (!known || voicing->rest)
            report_mark(words, start, known);
    }
}

static void report_foot_grace(struct scanner *words, struct place at, const char *graces)
{
    struct arena *arena = words->reader->arena;
    scan_fail(
        words, DIAG_CONFLICT, at, arena_format(arena, "a %s for a foot", graces),
        arena_format(arena, "a voice of the hands, or no %s: a foot has no grace notes", graces));
}

/* Reads `snare ghost`. False after a reported error. */
static bool read_key(struct reader *reader, const struct entry *entry, struct keyed_voice *keyed)
{
    const struct text *text = node_text(reader, entry->key);
    struct scanner words = scanner_of(reader, text);
    char conflict[MARKS_CONFLICT_ROOM];
    *keyed =
        (struct keyed_voice){.what = {.voice_count = 1, .at = text->at},
                             .words = arena_copy_text(reader->arena, text->bytes, text->length),
                             .at = text->at};
    words.offset = first_word(text->bytes);
    find_key_voice(reader, text->bytes, words.offset, keyed);
    read_marks(&words, &keyed->what);
    if (!words.failed && keyed->player != PLAYER_HANDS && keyed->what.graces)
        report_foot_grace(&words, text->at, grace_word(keyed->what.graces));
    else if (!words.failed && marks_conflict(keyed->what.marks, conflict))
        scan_fail(&words, DIAG_CONFLICT, text->at, conflict, "only one of the two");
    return !words.failed;
}

/* ---- levels ---------------------------------------------------------------------------------- */

/* Begins the voices of a level with those of the levels above. */
static void open_keyed(struct reader *reader, struct scope *scope)
{
    const struct keyed_voices *above = scope->own_keyed ? NULL : scope->settings->keyed;
    struct keyed_voices *all = arena_alloc(reader->arena, sizeof *all);
    if (above) {
        all->items = arena_copy(reader->arena, above->items, above->count, sizeof *above->items);
        all->count = scope->keyed_room = above->count;
    }
    scope->keyed = all;
    *(scope->own_keyed ? scope->own_keyed : &scope->settings->keyed) = all;
}

/* The entry for this voice with the same marks, or NULL. */
static struct keyed_voice *find_alike(const struct keyed_voices *voices,
                                      const struct keyed_voice *keyed)
{
    for (size_t i = 0; i < voices->count; i++)
        if (keyed_alike(&voices->items[i], keyed))
            return &voices->items[i];
    return NULL;
}

/* Adds a key's voice to those of its level, which cannot have the same voice and marks twice. It
   takes the place of one from above. */
static void add_keyed(struct reader *reader, const struct entry *entry, struct scope *scope,
                      const struct keyed_voice *keyed)
{
    if (!scope->keyed)
        open_keyed(reader, scope);
    struct keyed_voices *all = scope->keyed;
    size_t above = all->count - scope->keyed_written;
    struct keyed_voice *alike = find_alike(all, keyed);
    if (alike && alike >= all->items + above) {
        diag_add(reader->diags, DIAG_DUPLICATE_KEY, entry->key->at,
                 "'%s' is a voice that already has its counts", entry->key->bytes);
        diag_other(reader->diags, alike->at, "first written here");
        return;
    }
    if (scope->keyed_written == LESSON_KEYED_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, entry->key->at, "more than %d voices by count",
                 LESSON_KEYED_MAX);
        return;
    }
    if (alike) {
        size_t after = (size_t)(all->items + all->count - alike) - 1;
        memmove(alike, alike + 1, after * sizeof *alike);
        all->count--;
    }
    *items_push(all->items, all->count, scope->keyed_room, reader->arena) = *keyed;
    scope->keyed_written++;
}

void read_voice_key(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct keyed_voice keyed;
    bool good = read_key(reader, entry, &keyed);
    keyed.general = scope->where & IN_FILES;
    if (read_count_bars(reader, entry, scope->where == IN_BAR, &keyed.counts) && good)
        add_keyed(reader, entry, scope, &keyed);
}
