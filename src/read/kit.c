/* `kit`: handedness, short names, and voices that the lesson defines. */
#include "read/scanner.h"
#include "read/scope.h"

struct kit *kit_new(struct reader *reader, const struct kit *inherited)
{
    struct kit *kit = arena_alloc(reader->arena, sizeof *kit);
    size_t voices = inherited ? inherited->voice_count : VOICE_BUILTIN_COUNT;
    size_t shorts = inherited ? inherited->short_count : 0;
    *kit = (struct kit){.voice_count = voices,
                        .short_count = shorts,
                        .left_handed = inherited && inherited->left_handed,
                        .hats_held = inherited && inherited->hats_held};
    kit->voices = arena_array(reader->arena, voices, sizeof *kit->voices);
    kit->shorts = arena_array(reader->arena, shorts, sizeof *kit->shorts);
    reader->voice_room = voices;
    reader->short_room = shorts;
    for (size_t i = 0; i < shorts; i++) {
        kit->shorts[i] = inherited->shorts[i];
        names_add(&reader->voices, reader->arena, kit->shorts[i].name, kit->shorts[i].voice);
    }
    for (size_t i = 0; i < voices; i++) {
        kit->voices[i] = inherited ? inherited->voices[i] : *voice_builtin((enum voice_builtin)i);
        names_add(&reader->voices, reader->arena, kit->voices[i].name, (uint32_t)i);
    }
    return kit;
}

/* ---- voices ---------------------------------------------------------------------------------- */

static void read_voice_line(struct reader *reader, const struct entry *entry, void *target)
{
    struct voice *voice = target;
    int32_t thousandths;
    if (!entry_thousandths(reader, entry, -3000, 10000, &thousandths))
        return;
    if (thousandths % 500 != 0)
        bad_value(reader, entry, "a line (such as 5) or a space (such as 5.5)");
    else
        voice->line2 = (int16_t)(thousandths / 500);
}

static void read_voice_head(struct reader *reader, const struct entry *entry, void *target)
{
    struct voice *voice = target;
    const char *words[HEAD_KINDS + 1] = {NULL};
    for (int i = 0; i < HEAD_KINDS; i++)
        words[i] = head_word((enum head)i);
    if (entry->value->kind != NODE_SCALAR || !head_from_word(entry->value->bytes, &voice->head))
        entry_choice(reader, entry, words);
}

static void read_voice_sign(struct reader *reader, const struct entry *entry, void *target)
{
    mark_set marks[MARK_COUNT + 1] = {MARK_NONE};
    const char *words[MARK_COUNT + 2] = {"none"};
    size_t count = 1;
    for (int i = 0; i < MARK_COUNT; i++)
        if (stroke_marks[i].bit & MARKS_OF_HATS) {
            marks[count] = stroke_marks[i].bit;
            words[count++] = stroke_marks[i].word;
        }
    int choice = entry_choice(reader, entry, words);
    if (choice >= 0)
        ((struct voice *)target)->sign = marks[choice];
}

static void read_voice_midi(struct reader *reader, const struct entry *entry, void *target)
{
    uint32_t key;
    if (entry_number(reader, entry, 0, 127, &key))
        ((struct voice *)target)->midi = (uint8_t)key;
}

static void read_voice_label(struct reader *reader, const struct entry *entry, void *target)
{
    const struct text *text = entry_text(reader, entry, "the voice's name in the drum key");
    if (!text)
        return;
    warn_of_comment(reader, entry->value);
    ((struct voice *)target)->spoken = text->bytes;
}

/* `at: [40, 10]`: centimetres from the centre of the snare, to the right and forward. */
static void read_voice_place(struct reader *reader, const struct entry *entry, void *target)
{
    enum { FARTHEST = 300000 };
    struct voice *voice = target;
    const struct node *list = entry->value;
    if (list->kind != NODE_LIST || list->length < 2 || list->length > 3) {
        bad_value(reader, entry,
                  "centimetres right, forward and optionally up, such as [40, -10, 15]");
        return;
    }
    int16_t *where[] = {&voice->x_cm, &voice->y_cm, &voice->z_cm};
    size_t i = 0;
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value), i++) {
        int32_t thousandths;
        if (entry_thousandths(reader, &item, -FARTHEST, FARTHEST, &thousandths))
            *where[i] = (int16_t)(thousandths / 1000);
    }
}

/* In inches: that is how drums and cymbals are sold. */
static void read_voice_size(struct reader *reader, const struct entry *entry, void *target)
{
    enum { LEAST = 1000, MOST = 60000 };
    int32_t thousandths;
    if (entry_thousandths(reader, entry, LEAST, MOST, &thousandths))
        ((struct voice *)target)->size = (uint16_t)(thousandths / 100);
}

static void read_voice_like(struct reader *reader, const struct entry *entry, void *target)
{
    struct voice *voice = target;
    const struct text *text = entry_text(reader, entry, "the name of a voice");
    voice_id number;
    if (!text || !find_voice(reader, text->bytes, text->length, text->at, &number))
        return;
    struct voice like = reader->kit->voices[number];
    like.name = voice->name;
    like.spoken = voice->spoken;
    like.at = voice->at;
    *voice = like;
}

enum { OF_VOICE = 1, OF_KIT = 2 };

static const char *const player_words[] = {"hands", "right-foot", "left-foot", NULL};

static const struct key voice_keys[] = {
    KEY("like", OF_VOICE, read_voice_like),
    KEY("line", OF_VOICE, read_voice_line),
    KEY("head", OF_VOICE, read_voice_head),
    KEY("sign", OF_VOICE, read_voice_sign),
    WORDS_KEY("player", OF_VOICE, read_choice, struct voice, player, player_words),
    KEY("midi", OF_VOICE, read_voice_midi),
    KEY("at", OF_VOICE, read_voice_place),
    KEY("label", OF_VOICE, read_voice_label),
    KEY("size", OF_VOICE, read_voice_size),
};
static const struct level_name kit_levels[] = {{OF_VOICE, "a voice"}, {OF_KIT, "'kit'"}};
const struct key_table voice_table = KEY_TABLE(voice_keys, kit_levels);

static bool is_name_character(char byte)
{
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || is_digit(byte) ||
           byte == '-' || (unsigned char)byte >= 0x80;
}

/* A name must fit into a voice line, and must not be a mark. */
static bool is_voice_name(const char *name)
{
    struct voicing marks = {0};
    if (!*name || voicing_add_word(name, strlen(name), &marks))
        return false;
    for (const char *byte = name; *byte; byte++)
        if (!is_name_character(*byte))
            return false;
    return true;
}

static bool check_name(struct reader *reader, const struct entry *entry)
{
    if (is_voice_name(entry->name))
        return true;
    diag_add(reader->diags, DIAG_BAD_VALUE, entry->key->at, "a voice cannot be called '%s'",
             entry->name);
    diag_expected(reader->diags, "letters, digits and hyphens, but not a mark such as 'accent'");
    return false;
}

static const char *spoken_name(struct reader *reader, const char *name)
{
    char *spoken = arena_copy_text(reader->arena, name, strlen(name));
    for (char *byte = spoken; *byte; byte++)
        if (*byte == '-')
            *byte = ' ';
    return spoken;
}

/* A new voice at the end of the kit; NULL, and reported, if the kit is full. */
static struct voice *add_voice(struct reader *reader, const struct entry *entry)
{
    struct kit *kit = reader->kit;
    if (kit->voice_count == LESSON_VOICES_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, entry->key->at, "more than %d voices",
                 LESSON_VOICES_MAX);
        return NULL;
    }
    voice_id number = (voice_id)kit->voice_count;
    struct voice *voice =
        items_push(kit->voices, kit->voice_count, reader->voice_room, reader->arena);
    *voice = *voice_builtin(VOICE_SNARE);
    voice->name = entry->name;
    voice->spoken = spoken_name(reader, entry->name);
    names_add(&reader->voices, reader->arena, entry->name, number);
    return voice;
}

/* A new voice must have a place on the staff. */
static void check_is_placed(struct reader *reader, const struct entry *entry)
{
    if (entry->value->kind != NODE_MAP || reader->cut_short || node_has_key(entry->value, "like") ||
        node_has_key(entry->value, "line"))
        return;
    diag_add(reader->diags, DIAG_MISSING_KEY, entry->key->at,
             "the voice '%s' has no place on the staff", entry->name);
    diag_expected(reader->diags, "'line', or 'like' with the name of another voice");
}

/* Changes the voice of this name, or adds a new one. A word alone is short for `like`. */
static void read_voice(struct reader *reader, const struct entry *entry)
{
    uint32_t number;
    struct voice *voice;
    if (!check_name(reader, entry))
        return;
    if (names_find(&reader->voices, entry->name, entry->key->length, &number)) {
        voice = &reader->kit->voices[number];
    } else {
        check_is_placed(reader, entry);
        voice = add_voice(reader, entry);
    }
    if (!voice)
        return;
    voice->at = entry->key->at;
    if (entry->value->kind == NODE_SCALAR)
        read_voice_like(reader, entry, voice);
    else
        read_keys(reader, entry->value, &voice_table, OF_VOICE, voice);
}

static void read_voices_of_kit(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    struct pairs pairs =
        pairs_of(reader, entry, "voices with their settings, such as {bell: {like: ride}}");
    for (struct entry pair; pairs_next(&pairs, &pair);)
        read_voice(reader, &pair);
}

/* ---- short names and hands ------------------------------------------------------------------- */

static void add_short(struct reader *reader, const struct entry *entry, voice_id voice)
{
    struct kit *kit = reader->kit;
    if (kit->short_count == LESSON_VOICES_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, entry->key->at, "more than %d short names",
                 LESSON_VOICES_MAX);
        return;
    }
    *items_push(kit->shorts, kit->short_count, reader->short_room, reader->arena) =
        (struct voice_short){entry->name, voice};
    names_add(&reader->voices, reader->arena, entry->name, voice);
}

/* A short name can be given again with the same meaning. It cannot be the name of a voice. */
static void read_short(struct reader *reader, const struct entry *entry)
{
    const struct text *text = entry_text(reader, entry, "the name of a voice");
    uint32_t known;
    voice_id voice;
    if (!text || !check_name(reader, entry) ||
        !find_voice(reader, text->bytes, text->length, text->at, &voice))
        return;
    if (!names_find(&reader->voices, entry->name, entry->key->length, &known)) {
        add_short(reader, entry, voice);
    } else if (known != voice) {
        diag_add(reader->diags, DIAG_CONFLICT, entry->key->at, "'%s' already means the voice '%s'",
                 entry->name, reader->kit->voices[known].name);
        diag_expected(reader->diags, "a short name that is not taken");
    }
}

static void read_shorts(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    struct pairs pairs =
        pairs_of(reader, entry, "short names with their voices, such as {h: hi-hat}");
    for (struct entry pair; pairs_next(&pairs, &pair);)
        read_short(reader, &pair);
}

static const char *const handed_words[] = {"right", "left", NULL};
static const char *const hats_words[] = {"foot", "held", NULL};

static const struct key kit_keys[] = {
    WORDS_KEY("handed", OF_KIT, read_flag, struct kit, left_handed, handed_words),
    WORDS_KEY("hats", OF_KIT, read_flag, struct kit, hats_held, hats_words),
    KEY("voices", OF_KIT, read_voices_of_kit),
    KEY("short", OF_KIT, read_shorts),
};
const struct key_table kit_table = KEY_TABLE(kit_keys, kit_levels);

void read_kit(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    read_keys(reader, entry->value, &kit_table, OF_KIT, reader->kit);
}
