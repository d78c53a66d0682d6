/* Voice words: `snare ghost` and `crash+bass-drum accent` of `play` and `at`; the lines of
   `voices`, where marks follow their voice behind a colon: snare*3 snare:accent | crash+ride. */
#include "read/read_int.h"

#include <string.h>

struct voicing_reader {
    struct reader *reader;
    const struct text *text;
    struct text_cursor cursor;
    size_t offset;
    bool failed;
};

/* What the words of `at` and `play` ask for besides voices. */
static const struct {
    const char *word;
    mark_set mark;
    uint8_t graces;
    bool rest;
} changes[] = {{"rest", 0, 0, true},
               {"flam", 0, 1, false},
               {"drag", 0, 2, false},
               {"ruff", 0, 3, false},
#define CHANGE(id, sign, times, word, ...) {word, MARK_##id, 0, false},
               STROKE_MARKS(CHANGE)
#undef CHANGE
};

enum { CHANGE_COUNT = sizeof changes / sizeof *changes };

bool voicing_add_word(const char *word, size_t length, struct voicing *voicing)
{
    for (size_t i = 0; i < CHANGE_COUNT; i++) {
        const char *known = changes[i].word;
        if (!*known || *known != *word || strlen(known) != length ||
            memcmp(known, word, length) != 0)
            continue;
        voicing->marks |= changes[i].mark;
        if (changes[i].graces)
            voicing->graces = changes[i].graces;
        voicing->rest |= changes[i].rest;
        return true;
    }
    return false;
}

static struct place place_of(struct voicing_reader *words, size_t offset, size_t length)
{
    return text_stretch(&words->cursor, offset, length);
}

static void complain(struct voicing_reader *words, enum diag_code code, size_t offset,
                     size_t length, const char *message, const char *expected)
{
    words->failed = true;
    report_stretch(words->reader, code, place_of(words, offset, length),
                   words->text->bytes + offset, length, message, expected);
}

static void report_unknown(struct voicing_reader *words, size_t offset, size_t length)
{
    struct reader *reader = words->reader;
    words->failed = true;
    const char *bytes = words->text->bytes + offset;
    diag_add(reader->diags, DIAG_UNKNOWN_VOICE, place_of(words, offset, length),
             "there is no voice called '%.*s'", (int)(length > 60 ? 60 : length), bytes);
    if (!diag_listed(reader->diags))
        return;
    const char *marks[CHANGE_COUNT];
    size_t mark_count = 0;
    for (size_t i = 0; i < CHANGE_COUNT; i++)
        if (*changes[i].word)
            marks[mark_count++] = changes[i].word;
    const char *wrong = arena_copy_text(reader->arena, bytes, length);
    diag_found(reader->diags, wrong);
    diag_expected(reader->diags, "a voice, such as 'snare', or a short name of the kit");
    diag_nearest(reader->diags,
                 names_nearest(&reader->voices, reader->arena, wrong, marks, mark_count));
}

static bool ends_voice(char byte)
{
    return is_space(byte) || byte == '+' || byte == '*' || byte == ':' || byte == '|' ||
           byte == ',';
}

static size_t voice_end(const struct text *text, size_t offset)
{
    while (offset < text->length && !ends_voice(text->bytes[offset]))
        offset++;
    return offset;
}

static void add_voice(struct voicing_reader *words, size_t offset, size_t length,
                      struct voicing *voicing)
{
    uint32_t number;
    if (length == 0) {
        complain(words, DIAG_BAD_VALUE, offset ? offset - 1 : 0, 1, "no voice next to this sign",
                 "a voice, as in snare*4, crash+bass-drum or snare:accent");
        return;
    }
    if (!names_find(&words->reader->voices, words->text->bytes + offset, length, &number)) {
        report_unknown(words, offset, length);
        return;
    }
    for (size_t i = 0; i < voicing->voice_count; i++)
        if (voicing->voices[i] == number) {
            complain(words, DIAG_BAD_VALUE, offset, length, "the same voice twice",
                     "two different voices");
            return;
        }
    if (voicing->voice_count == VOICING_VOICES_MAX)
        complain(words, DIAG_LIMIT, offset, length, "more than four voices at once",
                 "at most four: two hands and two feet");
    else
        voicing->voices[voicing->voice_count++] = (voice_id)number;
}

/* `crash+bass-drum`, from the reader's offset on. */
static void read_joined(struct voicing_reader *words, struct voicing *voicing)
{
    const struct text *text = words->text;
    for (;;) {
        size_t start = words->offset;
        words->offset = voice_end(text, start);
        add_voice(words, start, words->offset - start, voicing);
        if (words->offset == text->length || text->bytes[words->offset] != '+')
            return;
        words->offset++;
    }
}

static void check_voicing(struct voicing_reader *words, const struct voicing *voicing)
{
    char conflict[MARKS_CONFLICT_ROOM];
    bool played = voicing->marks || voicing->voice_count || voicing->graces;
    bool rest_played = voicing->rest && played;
    if (words->failed || (!rest_played && !marks_conflict(voicing->marks, conflict)))
        return;
    words->failed = true;
    diag_add(words->reader->diags, DIAG_CONFLICT, voicing->at, "%s",
             rest_played ? "a rest that is also played" : conflict);
    diag_expected(words->reader->diags, "only one of the two");
}

static void skip_spaces(struct voicing_reader *words)
{
    while (words->offset < words->text->length && is_space(words->text->bytes[words->offset]))
        words->offset++;
}

static void read_word(struct voicing_reader *words, bool rest_allowed, struct voicing *voicing)
{
    const struct text *text = words->text;
    size_t start = words->offset;
    size_t end = voice_end(text, start);
    bool alone = end == text->length || is_space(text->bytes[end]);
    if (alone && voicing_add_word(text->bytes + start, end - start, voicing)) {
        words->offset = end;
        if (voicing->rest && !rest_allowed)
            complain(words, DIAG_BAD_VALUE, start, end - start, "a rest instead of a voice",
                     "a voice (to silence a stroke, use 'at')");
        return;
    }
    if (voicing->voice_count) {
        complain(words, DIAG_BAD_VALUE, start, end - start, "a second voice",
                 "a + between voices that sound together, such as crash+bass-drum");
        words->offset = text->length;
        return;
    }
    read_joined(words, voicing);
    if (words->offset < text->length && !is_space(text->bytes[words->offset])) {
        complain(words, DIAG_BAD_VALUE, words->offset, 1, "this sign means nothing here",
                 "voices and marks as words, such as snare accent");
        words->offset = text->length;
    }
}

bool read_voicing(struct reader *reader, const struct text *text, bool rest_allowed,
                  struct voicing *voicing)
{
    struct voicing_reader words = {.reader = reader, .text = text, .cursor = text_cursor(text)};
    *voicing = (struct voicing){.at = text->at};
    for (skip_spaces(&words); words.offset < text->length; skip_spaces(&words))
        read_word(&words, rest_allowed, voicing);
    check_voicing(&words, voicing);
    return !words.failed && reader_count_items(reader, 1, text->at);
}

/* ---- `voices` lines -------------------------------------------------------------------------- */

struct line_builder {
    VECTOR(struct voicing) items;
    VECTOR(struct boundary) boundaries;
};

static void read_marks(struct voicing_reader *words, struct voicing *voicing)
{
    const struct text *text = words->text;
    while (words->offset < text->length && text->bytes[words->offset] == ':') {
        size_t start = ++words->offset;
        words->offset = voice_end(text, start);
        struct voicing before = *voicing;
        if (!voicing_add_word(text->bytes + start, words->offset - start, voicing) ||
            voicing->rest) {
            *voicing = before;
            complain(words, DIAG_BAD_VALUE, start, words->offset - start, "not a mark",
                     "accent, strong-accent, ghost, flam, drag, ruff, diddle, buzz or open");
        }
    }
}

static bool read_times(struct voicing_reader *words, uint32_t *times)
{
    const struct text *text = words->text;
    *times = 1;
    if (words->offset == text->length || text->bytes[words->offset] != '*')
        return true;
    size_t start = words->offset++;
    if (read_number(text->bytes, text->length, &words->offset, times) && *times > 0)
        return true;
    words->offset = voice_end(text, words->offset);
    complain(words, DIAG_BAD_VALUE, start, words->offset - start, "a repeat without a number",
             "how many times, such as snare*4");
    return false;
}

static void read_item(struct voicing_reader *words, struct line_builder *line)
{
    size_t start = words->offset;
    struct voicing voicing = {.at = place_of(words, start, 1)};
    uint32_t times;
    read_joined(words, &voicing);
    read_marks(words, &voicing);
    voicing.at =
        place_resized(voicing.at, characters(words->text->bytes + start, words->offset - start));
    bool good = read_times(words, &times);
    if (words->offset < words->text->length && !is_space(words->text->bytes[words->offset]) &&
        words->text->bytes[words->offset] != '|') {
        complain(words, DIAG_BAD_VALUE, words->offset, 1, "this sign means nothing here",
                 "voices separated by spaces, such as snare*4 high-tom:accent");
        words->offset++;
        return;
    }
    check_voicing(words, &voicing);
    if (!good || words->failed || !reader_count_items(words->reader, times, voicing.at))
        return;
    for (uint32_t i = 0; i < times; i++)
        *vector_push(&line->items, words->reader->scratch) = voicing;
}

struct voicing_line *read_voices(struct reader *reader, const struct text *text)
{
    struct voicing_reader words = {.reader = reader, .text = text, .cursor = text_cursor(text)};
    struct line_builder builder = {0};
    for (skip_spaces(&words); words.offset < text->length; skip_spaces(&words)) {
        if (text->bytes[words.offset] != '|') {
            read_item(&words, &builder);
            continue;
        }
        *vector_push(&builder.boundaries, reader->scratch) =
            (struct boundary){(uint32_t)builder.items.count, place_of(&words, words.offset, 1)};
        words.offset++;
    }
    if (!words.failed && !reader->items_over && builder.items.count == 0) {
        words.failed = true;
        diag_add(reader->diags, DIAG_BAD_VALUE, text->at, "the voice line has no voices");
        diag_expected(reader->diags, "voices, such as snare*4 high-tom");
    }
    if (words.failed || reader->items_over)
        return NULL;
    struct voicing_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = (struct voicing_line){
        .items = reader_keep(reader, builder.items.items, builder.items.count, sizeof *line->items),
        .count = builder.items.count,
        .boundaries = reader_keep(reader, builder.boundaries.items, builder.boundaries.count,
                                  sizeof *line->boundaries),
        .boundary_count = builder.boundaries.count,
        .at = text->at};
    return line;
}
