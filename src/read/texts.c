/* Titles, paragraphs and other texts, and the lists of a course file. */
#include "model/hand_words.h"
#include "read/scanner.h"
#include "read/scope.h"

#define LETTERS "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
#define DIGITS "0123456789"

/* The text on one line: line ends become spaces. */
static const char *one_line(struct reader *reader, const struct text *text)
{
    if (!memchr(text->bytes, '\n', text->length))
        return text->bytes;
    size_t length = text->length;
    while (length && is_space(text->bytes[length - 1]))
        length--;
    char *line = arena_copy_text(reader->arena, text->bytes, length);
    for (size_t i = 0; i < length; i++)
        if (line[i] == '\n')
            line[i] = ' ';
    return line;
}

struct words entry_line(struct reader *reader, const struct entry *entry)
{
    const struct text *text = entry_text(reader, entry, "text");
    if (text)
        warn_of_comment(reader, entry->value);
    if (text && text->length > LESSON_LINE_MAX &&
        utf8_count(text->bytes, text->length) > LESSON_LINE_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, text->at, "'%s' has more than %d characters",
                 entry->name, LESSON_LINE_MAX);
        return (struct words){0};
    }
    return text ? (struct words){one_line(reader, text), text->at} : (struct words){0};
}

static void warn_of_braces(struct reader *reader, const char *text, struct place at)
{
    struct hand_words wrong = hand_words_wrong(text);
    if (!wrong.length)
        return;
    diag_add(reader->diags, DIAG_NO_EFFECT, at,
             "'%.*s' is printed as it stands, braces and all, for every player",
             quoted_length(wrong.bytes, wrong.length), wrong.bytes);
    diag_expected(reader->diags, "two words with one bar between them, such as {right|left}: first "
                                 "what the lesson says as it is written");
}

const char *text_for_players(struct reader *reader, const char *text, struct place at)
{
    if (text)
        warn_of_braces(reader, text, at);
    if (!text || !turned_any(text))
        return text;
    struct turned_text *turned = vector_push(&reader->turned, reader->arena);
    *turned = (struct turned_text){arena_copy_text(reader->arena, text, strlen(text)), text};
    turned_say(turned, false);
    return turned->text;
}

void read_line(struct reader *reader, const struct entry *entry, void *target)
{
    const struct scope *scope = target;
    struct words line = entry_line(reader, entry);
    if (!line.text)
        return;
    if (scope->where != IN_COURSE) /* a course file's texts are for all of its lessons */
        line.text = text_for_players(reader, line.text, line.at);
    **(struct words **)entry_field(entry, target) = line;
}

/* The shape of a tag of BCP 47 (RFC 5646): parts of one to eight letters and digits, the first of
   letters alone. Whether the language exists is for the caller to find out. */
static bool is_language(const char *tag)
{
    size_t letters = strspn(tag, LETTERS);
    if (letters < 2 || letters > 8 || (tag[letters] && tag[letters] != '-'))
        return false;
    for (tag += letters; *tag; tag += 1 + strspn(tag + 1, LETTERS DIGITS)) {
        size_t length = strspn(tag + 1, LETTERS DIGITS);
        if (*tag != '-' || length < 1 || length > 8)
            return false;
    }
    return true;
}

void read_language(struct reader *reader, const struct entry *entry, void *target)
{
    struct words language = entry_line(reader, entry);
    if (!language.text)
        return;
    if (is_language(language.text)) {
        *((struct scope *)target)->language = language;
        return;
    }
    diag_add(reader->diags, DIAG_BAD_VALUE, language.at, "'%s' is not a language tag",
             language.text);
    diag_expected(reader->diags, "a tag such as 'en', 'de' or 'zh-Hant'");
}

/* The placeholders of a word, as bits. */
static unsigned numbers_in(const char *word)
{
    return (strstr(word, "{n}") ? 1u : 0) | (strstr(word, "{m}") ? 2u : 0);
}

static void report_page_word(struct reader *reader, const struct entry *pair)
{
    enum { MOST = 96 };
    const char *all[MOST];
    size_t count = 0;
    while (count < MOST && (all[count] = page_word_number(count)))
        count++;
    report_unknown(reader, DIAG_UNKNOWN_KEY, pair->key->at, "pages print no word", pair->name,
                   pair->key->length);
    diag_expected(reader->diags, "an English word of the page, such as 'Key' or 'snare'");
    diag_nearest_of(reader->diags, pair->name, all, count);
}

/* `page-words: {Key: Legend}`: words of the author's own, over those of the language. */
void read_page_words(struct reader *reader, const struct entry *entry, void *target)
{
    struct settings *settings = ((struct scope *)target)->settings;
    VECTOR(struct own_word) own = {0};
    struct pairs pairs = pairs_of(reader, entry,
                                  "English words of the page with your own, such as "
                                  "{Key: Legend}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        struct words word = entry_line(reader, &pair);
        const char *english = page_word_known(pair.name);
        if (!english) {
            report_page_word(reader, &pair);
        } else if (word.text && numbers_in(word.text) != numbers_in(pair.name)) {
            bad_value(reader, &pair, "the numbers that '%s' has: {n} or {m}", pair.name);
        } else if (word.text) {
            *vector_push(&own, reader->arena) = (struct own_word){english, word.text};
        }
    }
    for (size_t i = 0; i < settings->own_word_count; i++)
        *vector_push(&own, reader->arena) = settings->own_words[i];
    settings->own_words = own.items;
    settings->own_word_count = own.count;
}

/* The end of the paragraph that starts at `start`. In a `|` block a blank line ends it; in other
   texts YAML has joined the lines, and every line end that is left was a blank line. */
static size_t paragraph_end(const struct text *text, size_t start, bool literal)
{
    const char *bytes = text->bytes, *end = bytes + text->length;
    const char *line = memchr(bytes + start, '\n', text->length - start);
    for (; line; line = memchr(line + 1, '\n', (size_t)(end - line - 1))) {
        const char *next = line + 1;
        while (next < end && *next == ' ')
            next++;
        if (!literal || next == end || *next == '\n')
            return (size_t)(line - bytes);
    }
    return text->length;
}

/* A paragraph on one line, with single spaces; the text itself if it is written like that. */
static const char *join_lines(struct reader *reader, const char *bytes, size_t length)
{
    if (bytes[length] == '\0' && bytes[length - 1] != ' ' && !strchr(bytes, '\n') &&
        !strstr(bytes, "  "))
        return bytes;
    char *joined = arena_room(reader->arena, length + 1);
    size_t out = 0;
    for (size_t i = 0; i < length; i++) {
        if (!is_space(bytes[i]))
            joined[out++] = bytes[i];
        else if (out && joined[out - 1] != ' ')
            joined[out++] = ' ';
    }
    while (out && joined[out - 1] == ' ')
        out--;
    joined[out] = '\0';
    return joined;
}

struct word_list {
    VECTOR(struct words) items;
};

static void add_paragraphs(struct reader *reader, const struct entry *entry, struct word_list *list)
{
    const struct text *text = entry_text(reader, entry, "paragraphs of text");
    if (!text)
        return;
    warn_of_comment(reader, entry->value);
    struct text_cursor cursor = text_cursor(text);
    for (size_t i = 0; i < text->length;) {
        if (is_space(text->bytes[i])) {
            i++;
            continue;
        }
        size_t end = paragraph_end(text, i, entry->value->literal);
        const char *joined = join_lines(reader, text->bytes + i, end - i);
        struct place at = text_place(&cursor, i, 1);
        *vector_push(&list->items, reader->arena) =
            (struct words){text_for_players(reader, joined, at), at};
        i = end;
    }
}

void read_text(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct word_list list = {0};
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value))
        add_paragraphs(reader, &item, &list);
    *scope->paragraphs.items = list.items.items;
    *scope->paragraphs.count = list.items.count;
}

/* ---- lists of the course file ---------------------------------------------------------------- */

static bool stays_inside(const char *path)
{
    if (*path == '/' || *path == '\0')
        return false;
    for (const char *part = path; part; part = strchr(part, '/')) {
        part += *part == '/';
        if (strncmp(part, "..", 2) == 0 && (part[2] == '/' || part[2] == '\0'))
            return false;
    }
    return true;
}

/* A list of files and folders. */
static void read_paths(struct reader *reader, const struct entry *entry, struct words **paths,
                       size_t *count)
{
    static const char expected[] = "a lesson file or a folder inside the course folder";
    struct word_list list = {0};
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        const struct text *text = entry_text(reader, &item, expected);
        if (text && stays_inside(text->bytes))
            *vector_push(&list.items, reader->arena) = (struct words){text->bytes, text->at};
        else if (text)
            bad_value(reader, &item, "%s", expected);
    }
    *paths = list.items.items;
    *count = list.items.count;
}

void read_order(struct reader *reader, const struct entry *entry, void *target)
{
    struct course *course = ((struct scope *)target)->course;
    read_paths(reader, entry, &course->order, &course->order_count);
}

void read_leave_out(struct reader *reader, const struct entry *entry, void *target)
{
    struct course *course = ((struct scope *)target)->course;
    read_paths(reader, entry, &course->leave_out, &course->leave_out_count);
}

void read_produce(struct reader *reader, const struct entry *entry, void *target)
{
    struct course *course = ((struct scope *)target)->course;
    const char *words[FORMAT_COUNT + 1] = {NULL};
    enum format formats[FORMAT_COUNT];
    size_t count = 0;
    for (int i = 1; i < FORMAT_COUNT; i++)
        if (format_rows[i].commands & FORMAT_BY_COURSE) {
            words[count] = format_rows[i].word;
            formats[count++] = (enum format)i;
        }
    VECTOR(enum format) list = {0};
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        int choice = entry_item_choice(reader, &item, words);
        if (choice >= 0)
            *vector_push(&list, reader->arena) = formats[choice];
    }
    course->produce = list.items;
    course->produce_count = list.count;
}

void read_strict(struct reader *reader, const struct entry *entry, void *target)
{
    struct course *course = ((struct scope *)target)->course;
    int choice = entry_choice(reader, entry, no_or_yes);
    if (choice >= 0)
        course->strictness.strict = choice % 2 == 1;
}

void read_allow(struct reader *reader, const struct entry *entry, void *target)
{
    struct course *course = ((struct scope *)target)->course;
    const char *words[DIAG_CODE_COUNT + 1] = {NULL};
    enum diag_code codes[DIAG_CODE_COUNT];
    size_t count = 0;
    for (int code = 0; code < DIAG_CODE_COUNT; code++)
        if (diag_usual_severity((enum diag_code)code) == DIAG_SEVERITY_WARNING) {
            words[count] = diag_word((enum diag_code)code);
            codes[count++] = (enum diag_code)code;
        }
    course->strictness.allowed = 0;
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        int choice = entry_item_choice(reader, &item, words);
        if (choice >= 0)
            course->strictness.allowed |= (uint64_t)1 << codes[choice];
    }
}
