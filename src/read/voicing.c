/* Voice words: `snare ghost` and `crash+bass-drum accent` of `play` and `at`; and the lines of
   `voices`, where marks follow their voice after a colon: snare*3 snare:accent | crash+ride. */
#include "read/scanner.h"
#include "read/trade_words.h"

/* The words of `at` and `play` that are not voices, and what they change. */
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

/* All such words; `rest`, which takes no voice, is the first. */
static size_t change_words(const char *words[CHANGE_COUNT])
{
    size_t count = 0;
    for (size_t i = 0; i < CHANGE_COUNT; i++)
        if (*changes[i].word)
            words[count++] = changes[i].word;
    return count;
}

const char *voicing_mark_words(struct reader *reader)
{
    const char *words[CHANGE_COUNT];
    size_t count = change_words(words);
    return joined_words(reader, words + 1, count - 1);
}

/* How loud a stroke is: a matter of each voice in a chord. */
enum { WEIGHED = MARKS_LOUD | MARK_GHOST };

/* Adds a mark to the last voice read, or, before the first one, to all of them. */
static bool add_mark(const char *word, size_t length, struct voicing *voicing)
{
    mark_set before = voicing->marks;
    if (!voicing_add_word(word, length, voicing))
        return false;
    mark_set own = marks_without(voicing->marks & WEIGHED, before);
    if (voicing->voice_count) {
        voicing->voice_marks[voicing->voice_count - 1] |= own;
        voicing->marks = marks_without(voicing->marks, own);
    }
    return true;
}

/* Marks that all voices share are those of the voicing; else each voice has its own. */
static void settle_marks(struct voicing *voicing)
{
    mark_set all = voicing->marks & WEIGHED;
    voicing->unlike = false;
    for (size_t i = 0; i < voicing->voice_count; i++) {
        voicing->voice_marks[i] |= all;
        voicing->unlike |= voicing->voice_marks[i] != voicing->voice_marks[0];
    }
    if (voicing->unlike)
        voicing->marks = marks_without(voicing->marks, WEIGHED);
    else if (voicing->voice_count)
        voicing->marks |= voicing->voice_marks[0];
}

/* `crash+snare accent` once accented both. */
static void warn_of_change(struct reader *reader, const struct voicing *voicing)
{
    size_t last = voicing->voice_count ? voicing->voice_count - 1u : 0;
    const struct voice *voices = reader->kit ? reader->kit->voices : NULL;
    if (!voices || !voicing->unlike || !voicing->voice_marks[last])
        return;
    for (size_t i = 0; i < last; i++)
        if (voicing->voice_marks[i])
            return;
    const char *one = voices[voicing->voices[last]].name, *first = voices[voicing->voices[0]].name;
    const char *mark = voicing->voice_marks[last] & MARK_GHOST    ? "ghost"
                       : voicing->voice_marks[last] & MARK_ACCENT ? "accent"
                                                                  : "strong accent";
    diag_add(reader->diags, DIAG_CHORD_MARK, voicing->at,
             "the %s is for the %s alone, not for the %s", mark, one, first);
    diag_expected(
        reader->diags,
        "the mark behind each voice that has it; or, if you mean the %s alone, the %s first", one,
        one);
}

static void complain(struct scanner *words, size_t offset, size_t length, const char *message,
                     const char *expected)
{
    scan_complain(words, DIAG_BAD_VALUE, offset, length, message, expected);
}

bool find_voice(struct reader *reader, const char *name, size_t length, struct place at,
                voice_id *voice)
{
    uint32_t number;
    if (names_find(&reader->voices, name, length, &number)) {
        *voice = (voice_id)number;
        return true;
    }
    const char *wrong =
        report_unknown(reader, DIAG_UNKNOWN_VOICE, at, "there is no voice called", name, length);
    if (!wrong)
        return false;
    const char *pointer = trade_word_pointer(name, length);
    struct voicing mark = {0};
    if (voicing_add_word(name, length, &mark))
        pointer = "the voice first, then its mark, such as snare:accent+crash in 'voices' and "
                  "snare accent + crash under 'at' and 'play'";
    if (pointer) {
        diag_expected(reader->diags, "%s", pointer);
        return false;
    }
    const char *marks[CHANGE_COUNT];
    size_t mark_count = change_words(marks);
    diag_expected(reader->diags, "a voice, such as 'snare', or a short name of the kit");
    names_suggest(reader->diags, &reader->voices, reader->arena, wrong, marks, mark_count);
    return false;
}

static bool ends_voice(char byte)
{
    return is_separator(byte) || byte == '+' || byte == '*' || byte == ':' || byte == '|';
}

static void skip_voice(struct scanner *words)
{
    while (!scan_ended(words) && !ends_voice(scan_peek(words)))
        words->offset++;
}

static void add_voice(struct scanner *words, size_t offset, size_t length, struct voicing *voicing)
{
    voice_id voice;
    if (length == 0) {
        complain(words, offset ? offset - 1 : 0, 1, "no voice next to this sign",
                 "a voice, as in snare*4, crash+bass-drum or snare:accent");
        return;
    }
    if (!find_voice(words->reader, words->text->bytes + offset, length,
                    scan_place(words, offset, length), &voice)) {
        words->failed = true;
        return;
    }
    for (size_t i = 0; i < voicing->voice_count; i++)
        if (voicing->voices[i] == voice) {
            complain(words, offset, length, "the same voice twice", "two different voices");
            return;
        }
    if (voicing->voice_count == VOICING_VOICES_MAX)
        scan_complain(words, DIAG_LIMIT, offset, length, "more than four voices at once",
                      "at most four: two hands and two feet");
    else
        voicing->voices[voicing->voice_count++] = voice;
}

/* `crash+bass-drum` */
static void read_joined(struct scanner *words, struct voicing *voicing)
{
    do {
        size_t start = words->offset;
        skip_voice(words);
        add_voice(words, start, words->offset - start, voicing);
    } while (scan_take(words, '+'));
}

static void check_voicing(struct scanner *words, const struct voicing *voicing)
{
    char conflict[MARKS_CONFLICT_ROOM];
    bool played = voicing->marks || voicing->voice_count || voicing->graces;
    if (words->failed)
        return;
    if (voicing->rest && played)
        scan_fail(words, DIAG_CONFLICT, voicing->at, "a rest that is also played",
                  "only one of the two");
    for (size_t i = 0; i == 0 || i < voicing->voice_count; i++)
        if (!words->failed && marks_conflict(voicing->marks | voicing->voice_marks[i], conflict))
            scan_fail(words, DIAG_CONFLICT, voicing->at, conflict, "only one of the two");
}

static void check_end_of_word(struct scanner *words)
{
    if (scan_ended(words) || is_space(scan_peek(words)))
        return;
    complain(words, words->offset, 1, "this sign means nothing here",
             "voices and marks as words, such as snare accent");
    words->offset = words->text->length;
}

/* `+ snare`: a voice more, after the marks of the last. */
static bool read_one_more(struct scanner *words, struct voicing *voicing)
{
    if (!voicing->voice_count || !scan_take(words, '+'))
        return false;
    scan_spaces(words);
    read_joined(words, voicing);
    check_end_of_word(words);
    return true;
}

/* The voice that the word behind it makes with a hyphen: `ride bell`. NULL if there is none. */
const char *voicing_hyphened(struct reader *reader, const char *bytes, size_t start, size_t length)
{
    size_t end = start, first;
    uint32_t voice;
    while (end > 0 && is_space(bytes[end - 1]))
        end--;
    for (first = end; first > 0 && !is_space(bytes[first - 1]) && bytes[first - 1] != '+';)
        first--;
    const char *name = arena_format(reader->arena, "%.*s-%.*s", (int)(end - first), bytes + first,
                                    (int)length, bytes + start);
    return names_find(&reader->voices, name, strlen(name), &voice) ? name : NULL;
}

bool is_misspelt_mark(struct reader *reader, const char *word)
{
    const char *marks[CHANGE_COUNT];
    size_t count = change_words(marks) - 1;
    const char *near = names_nearest(&reader->voices, reader->arena, word, marks + 1, count);
    struct voicing mark = {0};
    return near && voicing_add_word(near, strlen(near), &mark) &&
           !trade_word_pointer(word, strlen(word));
}

bool voicing_suggest_mark(struct reader *reader, const char *bytes, size_t length)
{
    const char *marks[CHANGE_COUNT], *word = arena_copy_text(reader->arena, bytes, length);
    size_t count = change_words(marks) - 1;
    if (!is_misspelt_mark(reader, word))
        return false;
    names_suggest(reader->diags, &reader->voices, reader->arena, word, marks + 1, count);
    return true;
}

static void report_second(struct scanner *words, const struct voicing *voicing, size_t start,
                          size_t length)
{
    const char *bytes = words->text->bytes;
    const char *name = voicing_hyphened(words->reader, bytes, start, length);
    const char *word = arena_copy_text(words->reader->arena, bytes + start, length);
    bool mark = !name && is_misspelt_mark(words->reader, word);
    if (scan_place(words, start, length).line != voicing->at.line)
        complain(words, start, length, "a line that belongs to the value above it",
                 "the bracket, quote or indentation that ends the value above");
    else if (mark)
        complain(words, start, length, "no mark of the voice in front of it",
                 voicing_mark_words(words->reader));
    else
        complain(words, start, length,
                 name ? "no mark of the voice in front of it" : "a second voice",
                 name ? "a hyphen inside the voice's name"
                      : "a + between voices that sound together, such as crash+bass-drum");
    if (name)
        diag_nearest(words->reader->diags, name);
    else
        voicing_suggest_mark(words->reader, bytes + start, length);
    words->offset = words->text->length;
}

/* `floor tom`: two words that are a voice with a hyphen between them. Reports that. */
static bool report_split(struct scanner *words, size_t start, size_t length)
{
    const char *bytes = words->text->bytes;
    size_t next = start + length, end;
    uint32_t voice;
    while (is_space(bytes[next]))
        next++;
    for (end = next; end < words->text->length && !ends_voice(bytes[end]);)
        end++;
    if (next == start + length || end == next ||
        names_find(&words->reader->voices, bytes + start, length, &voice))
        return false;
    const char *name = voicing_hyphened(words->reader, bytes, next, end - next);
    if (!name)
        return false;
    const char *wrong =
        report_unknown(words->reader, DIAG_UNKNOWN_VOICE, scan_place(words, start, end - start),
                       "there is no voice called", bytes + start, end - start);
    diag_expected(words->reader->diags, "a hyphen inside the voice's name");
    if (wrong)
        diag_nearest_of(words->reader->diags, wrong, &name, 1);
    words->failed = true;
    words->offset = end;
    return true;
}

static void read_word(struct scanner *words, bool rest_allowed, struct voicing *voicing)
{
    size_t start = words->offset;
    if (read_one_more(words, voicing))
        return;
    skip_voice(words);
    size_t length = words->offset - start;
    bool alone = scan_ended(words) || is_space(scan_peek(words));
    if (alone && add_mark(words->text->bytes + start, length, voicing)) {
        if (voicing->rest && !rest_allowed)
            complain(words, start, length, "a rest instead of a voice",
                     "a voice (to silence a stroke, use 'at')");
        return;
    }
    if (voicing->voice_count) {
        report_second(words, voicing, start, length);
        return;
    }
    if (report_split(words, start, length))
        return;
    words->offset = start;
    read_joined(words, voicing);
    check_end_of_word(words);
}

bool read_voicing(struct reader *reader, const struct text *text, bool rest_allowed,
                  struct voicing *voicing)
{
    struct scanner words = scanner_of(reader, text);
    *voicing = (struct voicing){.at = text->at};
    for (scan_spaces(&words); !scan_ended(&words); scan_spaces(&words))
        read_word(&words, rest_allowed, voicing);
    check_voicing(&words, voicing);
    settle_marks(voicing);
    if (!words.failed && !strstr(text->bytes, "+ ") && !strstr(text->bytes, " +"))
        warn_of_change(reader, voicing);
    return !words.failed && reader_count_items(reader, 1, text->at);
}

/* ---- `voices` lines -------------------------------------------------------------------------- */

struct line_builder {
    VECTOR(struct voicing) items;
    VECTOR(struct boundary) boundaries;
};

/* `:accent:flam` after a voice */
static void read_marks(struct scanner *words, struct voicing *voicing)
{
    while (scan_take(words, ':')) {
        size_t start = words->offset;
        struct voicing before = *voicing;
        skip_voice(words);
        size_t length = words->offset - start;
        if (!add_mark(words->text->bytes + start, length, voicing) || voicing->rest) {
            *voicing = before;
            complain(words, start, length, "not a mark", voicing_mark_words(words->reader));
            voicing_suggest_mark(words->reader, words->text->bytes + start, length);
        }
    }
}

static void read_item(struct scanner *words, struct line_builder *line)
{
    size_t start = words->offset;
    struct voicing voicing = {.at = scan_place(words, start, 1)};
    uint32_t times;
    do {
        size_t voice = words->offset;
        skip_voice(words);
        add_voice(words, voice, words->offset - voice, &voicing);
        read_marks(words, &voicing);
    } while (scan_take(words, '+'));
    voicing.at = place_resized(
        voicing.at, (uint32_t)utf8_count(words->text->bytes + start, words->offset - start));
    size_t star = words->offset;
    if (!scan_times(words, &times)) {
        skip_voice(words);
        complain(words, star, words->offset - star, "a repeat without a number",
                 "how many times, such as snare*4");
    } else if (!scan_ended(words) && !strchr(" \n|", scan_peek(words))) {
        complain(words, words->offset++, 1, "this sign means nothing here",
                 "voices separated by spaces, such as snare*4 high-tom:accent");
        return;
    }
    check_voicing(words, &voicing);
    settle_marks(&voicing);
    if (!words->failed)
        warn_of_change(words->reader, &voicing);
    if (words->failed || !reader_count_items(words->reader, times, voicing.at))
        return;
    for (uint32_t i = 0; i < times; i++)
        *vector_push(&line->items, words->reader->scratch) = voicing;
}

struct voicing_line *read_voices(struct reader *reader, const struct text *text)
{
    struct scanner words = scanner_of(reader, text);
    struct line_builder builder = {0};
    for (scan_spaces(&words); !scan_ended(&words); scan_spaces(&words))
        if (scan_take(&words, '|'))
            *vector_push(&builder.boundaries, reader->scratch) = (struct boundary){
                (uint32_t)builder.items.count, scan_place(&words, words.offset - 1, 1)};
        else
            read_item(&words, &builder);
    if (!words.failed && !reader->items_over && builder.items.count == 0)
        scan_fail(&words, DIAG_BAD_VALUE, text->at, "the voice line has no voices",
                  "voices, such as snare*4 high-tom");
    if (words.failed || reader->items_over)
        return NULL;
    struct voicing_line *line = arena_alloc(reader->arena, sizeof *line);
    *line = (struct voicing_line){.items = arena_copy(reader->arena, builder.items.items,
                                                      builder.items.count, sizeof *line->items),
                                  .count = builder.items.count,
                                  .boundaries = arena_copy(reader->arena, builder.boundaries.items,
                                                           builder.boundaries.count,
                                                           sizeof *line->boundaries),
                                  .boundary_count = builder.boundaries.count,
                                  .at = text->at};
    return line;
}
