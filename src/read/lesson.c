/* Reads a lesson or course file from its bytes, and starts the cascade of settings. */
#include "read/scope.h"

struct read_source read_without_mark(struct read_source source)
{
    static const char mark[] = "\xEF\xBB\xBF";
    size_t length = strlen(mark);
    bool marked = source.length >= length && memcmp(source.bytes, mark, length) == 0;
    size_t skipped = marked ? length : 0;
    return (struct read_source){source.name, source.bytes + skipped, source.length - skipped};
}

/* Checks the bytes and parses them. NULL if nothing can be made of them. */
static struct node *open_source(struct reader *reader, struct read_source from, const char *what)
{
    struct place start = {from.name, 1, 1, 1};
    if (from.length > LESSON_BYTES_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, start, "the file is larger than 4 MiB");
        return NULL;
    }
    struct read_source source = read_without_mark(from);
    reader->source =
        (struct source){.name = source.name, .bytes = source.bytes, .length = source.length};
    /* the memory that lessons take until their score is built, plus a fifth: measured */
    arena_expect(reader->nodes, reader->source.length * 3);
    arena_expect(reader->arena, reader->source.length * 18);
    if (!source_check(&reader->source, reader->arena, reader->diags))
        return NULL;
    keys_begin(reader);
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
    return (struct reader){.arena = arena,
                           .scratch = arena_new(),
                           .nodes = arena_new(),
                           .diags = diags,
                           .is_key = is_known_key};
}

static void reader_end(struct reader *reader)
{
    arena_free(reader->scratch);
    arena_free(reader->nodes);
}

/* Title and order belong to one course file and are not inherited. */
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
    context->course.strictness = above->course.strictness;
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

/* A key that is nearly `exercises` was reported as unknown. */
static bool has_misspelt_exercises(const struct node *root)
{
    static const char *const name[] = {"exercises"};
    for (const struct node *key = root->first; key; key = key->next->next)
        if (key->kind == NODE_SCALAR && diag_nearest_name(key->bytes, name, 1))
            return true;
    return false;
}

static void check_has_exercises(struct reader *reader, const struct node *root)
{
    if (reader->cut_short || node_has_key(root, "exercises") || has_misspelt_exercises(root))
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
    lesson->turned = reader->turned.items;
    lesson->turned_count = reader->turned.count;
    lesson->words = (struct page_words){.catalogue = catalogue_for(lesson->language.text),
                                        .own = lesson->settings.own_words,
                                        .own_count = lesson->settings.own_word_count};
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
