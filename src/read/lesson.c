/* The whole of a lesson or course file: the table of all keys, the cascade, the texts. */
#include "read/scope.h"

#include <string.h>

#define LETTERS "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
#define DIGITS "0123456789"

/* ---- texts ------------------------------------------------------------------------------------
 */

/* Text of one line: line ends become spaces. */
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

static void read_line(struct reader *reader, const struct entry *entry, struct words *words)
{
    const struct text *text = entry_text(reader, entry, "text");
    if (!text)
        return;
    words->text = one_line(reader, text);
    words->at = text->at;
}

static void read_title(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->title);
}

static void read_subtitle(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->subtitle);
}

static void read_author(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->author);
}

static void read_copyright(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->copyright);
}

static void read_date(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->date);
}

/* The shape of a tag of BCP 47 (RFC 5646): subtags of one to eight letters and digits, the first of
   letters alone. Which ones there are is for who uses them. */
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

static void read_language(struct reader *reader, const struct entry *entry, void *target)
{
    struct words language = {0};
    read_line(reader, entry, &language);
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

static void read_id(struct reader *reader, const struct entry *entry, void *target)
{
    read_line(reader, entry, ((struct scope *)target)->id);
}

struct word_list {
    VECTOR(struct words) items;
};

/* The end of the paragraph that starts at `start`. In a `|` block a blank line ends it; elsewhere
   YAML has folded lines already, and what line ends are left were blank lines. */
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

/* Whether a stretch may hold two blanks in a row: false where it surely does not. Eight bytes at a
   time, one of them again so that no pair is cut: a byte that is a blank is 0 once the blank's code
   is taken away, and borrows; the byte behind it may then be taken for a blank, too. */
static bool may_have_gap(const char *bytes, size_t length)
{
    const uint64_t ones = UINT64_C(0x0101010101010101), tops = ones * 0x80;
    size_t i = 0;
    for (uint64_t word; i + sizeof word <= length; i += sizeof word - 1) {
        memcpy(&word, bytes + i, sizeof word);
        word ^= ones * ' ';
        uint64_t blanks = (word - ones) & ~word & tops;
        if (blanks & blanks << 8)
            return true;
    }
    for (; i + 1 < length; i++)
        if (bytes[i] == ' ' && bytes[i + 1] == ' ')
            return true;
    return false;
}

/* Whether the rest of a text has no line end, no two blanks in a row and none at its end. */
static bool is_joined(const char *bytes, size_t length)
{
    return bytes[length] == '\0' && bytes[length - 1] != ' ' && !memchr(bytes, '\n', length) &&
           !may_have_gap(bytes, length);
}

/* A paragraph on one line, runs of blanks as one space: the text itself where it is so already. */
static const char *join_lines(struct reader *reader, const char *bytes, size_t length)
{
    if (is_joined(bytes, length))
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

static void read_paragraphs(struct reader *reader, const struct entry *entry, void *target)
{
    struct word_list *list = target;
    const struct text *text = entry_text(reader, entry, "paragraphs of text");
    if (!text)
        return;
    struct text_cursor cursor = text_cursor(text);
    for (size_t i = 0; i < text->length;) {
        if (is_space(text->bytes[i])) {
            i++;
            continue;
        }
        size_t end = paragraph_end(text, i, entry->value->literal);
        *vector_push(&list->items, reader->arena) =
            (struct words){join_lines(reader, text->bytes + i, end - i), text_place(&cursor, i, 1)};
        i = end;
    }
}

static void read_text(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct word_list list = {0};
    read_items(reader, entry, read_paragraphs, &list);
    *scope->paragraphs.items = list.items.items;
    *scope->paragraphs.count = list.items.count;
}

/* ---- keys of the course file -------------------------------------------------------------------
 */

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

static void read_order_item(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "a lesson file or a folder inside the course folder";
    struct word_list *list = target;
    const struct text *text = entry_text(reader, entry, expected);
    if (text && stays_inside(text->bytes))
        *vector_push(&list->items, reader->arena) = (struct words){text->bytes, text->at};
    else if (text)
        bad_value(reader, entry, expected);
}

static void read_order(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct word_list list = {0};
    read_items(reader, entry, read_order_item, &list);
    scope->course->order = list.items.items;
    scope->course->order_count = list.items.count;
}

static void read_leave_out(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct word_list list = {0};
    read_items(reader, entry, read_order_item, &list);
    scope->course->leave_out = list.items.items;
    scope->course->leave_out_count = list.items.count;
}

struct format_list {
    VECTOR(enum format) items;
};

static void read_produce_item(struct reader *reader, const struct entry *entry, void *target)
{
    struct format_list *list = target;
    const char *words[FORMAT_COUNT];
    enum format formats[FORMAT_COUNT];
    size_t count = 0;
    for (int i = 1; i < FORMAT_COUNT; i++)
        if (format_rows[i].commands & FORMAT_BY_COURSE) {
            words[count] = format_rows[i].word;
            formats[count++] = (enum format)i;
        }
    int choice = entry_choice(reader, entry, words, count);
    if (choice >= 0)
        *vector_push(&list->items, reader->arena) = formats[choice];
}

static void read_produce(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct format_list list = {0};
    read_items(reader, entry, read_produce_item, &list);
    scope->course->produce = list.items.items;
    scope->course->produce_count = list.items.count;
}

/* ---- all keys ----------------------------------------------------------------------------------
 */

/* In the order of reading: what others build on comes first. */
static const struct key all_keys[] = {
    {"title", IN_FILES | IN_EXERCISE, read_title},
    {"subtitle", IN_FILES | IN_EXERCISE, read_subtitle},
    {"author", IN_FILES, read_author},
    {"copyright", IN_FILES, read_copyright},
    {"date", IN_FILES, read_date},
    {"language", IN_FILES, read_language},
    {"notes", IN_LESSON, read_text},
    {"text", IN_EXERCISE, read_text},
    {"id", IN_EXERCISE, read_id},
    {"levels", IN_COURSE, read_levels},
    {"level", IN_ALL, read_level},
    {"kit", IN_FILES, read_kit},
    {"patterns", IN_FILES, read_patterns},
    {"time", IN_ALL, read_time},
    {"tempo", IN_ALL, read_tempo},
    {"subdivision", IN_ALL | IN_FEET, read_subdivision},
    {"counting", IN_ALL, read_counting},
    {"swing", IN_ALL, read_swing},
    {"lead", IN_FILES | IN_EXERCISE, read_lead},
    {"show", IN_ALL, read_show},
    {"page", IN_FILES, read_page},
    {"stems", IN_FILES | IN_EXERCISE, read_stems},
    {"beams", IN_FILES | IN_EXERCISE, read_beams},
    {"sticking", IN_ALL | IN_FEET, read_sticking},
    {"play", IN_ALL | IN_FEET, read_play},
    {"rhythm", IN_MUSIC | IN_FEET, read_rhythm_key},
    {"voices", IN_MUSIC, read_voices_key},
    {"at", IN_MUSIC, read_at},
    {"accents", IN_MUSIC, read_accents},
    {"ghosts", IN_MUSIC, read_ghosts},
    {"kick", IN_MUSIC, read_kick},
    {"hat-foot", IN_MUSIC, read_hat_foot},
    {"feet", IN_MUSIC, read_feet},
    {"dynamics", IN_MUSIC, read_dynamics},
    {"pulse", IN_BAR, read_pulse},
    {"repeat", IN_MUSIC, read_repeat},
    {"pickup", IN_EXERCISE, read_pickup},
    {"bars", IN_EXERCISE, read_bars},
    {"endings", IN_EXERCISE, read_endings},
    {"sequence", IN_EXERCISE, read_sequence},
    {"order", IN_COURSE, read_order},
    {"leave-out", IN_COURSE, read_leave_out},
    {"produce", IN_COURSE, read_produce},
    {"exercises", IN_LESSON, read_exercises},
};

static const struct level_name all_levels[] = {
    {IN_LESSON, "a lesson"}, {IN_EXERCISE, "an exercise"}, {IN_BAR, "a bar"},
    {IN_FEET, "'feet'"},     {IN_COURSE, "a course file"},
};
const struct key_table all_table = KEY_TABLE(all_keys, all_levels);
_Static_assert(sizeof all_keys / sizeof *all_keys <= KEYS_MAX, "read_keys() keeps so many");

bool read_scope(struct reader *reader, const struct node *map, struct scope *scope)
{
    return read_keys(reader, map, &all_table, scope->where, scope);
}

/* ---- files -------------------------------------------------------------------------------------
 */

static const char byte_order_mark[] = "\xEF\xBB\xBF";

/* Checks the bytes and parses them. NULL where nothing can be made of them. */
static struct node *open_source(struct reader *reader, struct read_source from, const char *what)
{
    struct place start = {from.name, 1, 1, 1};
    size_t skipped = from.length >= 3 && memcmp(from.bytes, byte_order_mark, 3) == 0 ? 3 : 0;
    if (from.length > LESSON_BYTES_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, start, "the file is larger than 4 MiB");
        return NULL;
    }
    reader->source = (struct source){
        .name = from.name, .bytes = from.bytes + skipped, .length = from.length - skipped};
    /* what lessons take, built to a score: measured, and a fifth more */
    arena_expect(reader->nodes, reader->source.length * 3);
    arena_expect(reader->arena, reader->source.length * 18);
    if (!source_check(&reader->source, reader->arena, reader->diags))
        return NULL;
    struct node *root = tree_parse(reader);
    if (root && !node_is_empty(root))
        return root;
    if (!reader->cut_short) {
        diag_add(reader->diags, DIAG_MISSING_KEY, start, "the file is empty");
        diag_expected(reader->diags, "the keys of %s, such as 'title: First strokes'", what);
    }
    return NULL;
}

static struct reader reader_begin(struct arena *arena, struct diags *diags)
{
    return (struct reader){
        .arena = arena, .scratch = arena_new(), .nodes = arena_new(), .diags = diags};
}

static void reader_end(struct reader *reader)
{
    arena_free(reader->scratch);
    arena_free(reader->nodes);
}

/* What is said of the course as a whole, its title and order, is not handed down. */
static void inherit_from_above(struct course_context *context, const struct course_context *above)
{
    context->above = above;
    context->settings = course_settings(above);
    if (!above)
        return;
    context->course.author = above->course.author;
    context->course.copyright = above->course.copyright;
    context->course.date = above->course.date;
    context->course.language = above->course.language;
    context->course.produce = above->course.produce;
    context->course.produce_count = above->course.produce_count;
}

static struct course_context *read_course_keys(struct reader *reader, struct read_source source,
                                               struct course_context *context)
{
    struct node *root = open_source(reader, source, "a course");
    if (!root)
        return NULL;
    reader->levels = &context->levels;
    reader->kit = kit_new(reader, reader->course ? &reader->course->kit : NULL);
    inherit_from_above(context, reader->course);
    struct course *course = &context->course;
    struct scope scope = {
        .where = IN_COURSE,
        .settings = &context->settings,
        .title = &course->title,
        .subtitle = &course->subtitle,
        .author = &course->author,
        .copyright = &course->copyright,
        .date = &course->date,
        .language = &course->language,
        .course = course,
    };
    if (!read_scope(reader, root, &scope))
        return NULL;
    context->kit = *reader->kit;
    context->patterns = reader->patterns;
    context->pattern_lines = reader->pattern_lines.items;
    context->level_limits = reader->level_limits.items;
    return context;
}

struct course_context *read_course(struct arena *arena, struct read_source source,
                                   struct diags *diags)
{
    return read_course_below(arena, source, NULL, diags);
}

struct course_context *read_course_below(struct arena *arena, struct read_source source,
                                         const struct course_context *above, struct diags *diags)
{
    struct reader reader = reader_begin(arena, diags);
    reader.course = above;
    struct course_context *context =
        read_course_keys(&reader, source, arena_alloc(arena, sizeof *context));
    reader_end(&reader);
    return context;
}

const struct course *course_of(const struct course_context *context)
{
    return &context->course;
}

struct settings course_settings(const struct course_context *context)
{
    return context ? context->settings : settings_default();
}

static void inherit_from_course(struct lesson *lesson, const struct course_context *course)
{
    lesson->settings = course_settings(course);
    if (!course)
        return;
    lesson->author = course->course.author;
    lesson->copyright = course->course.copyright;
    lesson->date = course->course.date;
    lesson->language = course->course.language;
    while (course->above && !course->course.title.text)
        course = course->above;
    lesson->course_title = course->course.title;
}

static void check_has_exercises(struct reader *reader, const struct node *root)
{
    if (reader->cut_short)
        return;
    for (const struct node *key = root->first; key; key = key->next->next)
        if (key->kind == NODE_SCALAR && strcmp(key->bytes, "exercises") == 0)
            return;
    diag_add(reader->diags, DIAG_MISSING_KEY, root->at, "the lesson has no 'exercises'");
    diag_expected(reader->diags, "'exercises' with at least one exercise");
}

static struct lesson *read_lesson_keys(struct reader *reader, struct read_source source)
{
    const struct course_context *course = reader->course;
    struct node *root = open_source(reader, source, "a lesson");
    if (!root)
        return NULL;
    struct lesson *lesson = arena_alloc(reader->arena, sizeof *lesson);
    lesson->file = source.name;
    lesson->arena = reader->arena;
    inherit_from_course(lesson, course);
    reader->kit = kit_new(reader, course ? &course->kit : NULL);
    struct scope scope = {
        .where = IN_LESSON,
        .settings = &lesson->settings,
        .title = &lesson->title,
        .subtitle = &lesson->subtitle,
        .author = &lesson->author,
        .copyright = &lesson->copyright,
        .date = &lesson->date,
        .language = &lesson->language,
        .paragraphs = {&lesson->notes, &lesson->note_count},
        .lesson = lesson,
    };
    if (!read_scope(reader, root, &scope))
        return NULL;
    check_has_exercises(reader, root);
    lesson->kit = *reader->kit;
    return lesson;
}

struct lesson *read_lesson(struct arena *arena, struct read_source source,
                           const struct course_context *course, struct diags *diags)
{
    struct reader reader = reader_begin(arena, diags);
    reader.course = course;
    struct lesson *lesson = read_lesson_keys(&reader, source);
    reader_end(&reader);
    return lesson;
}
