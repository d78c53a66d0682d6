#include "read/tree.h"

#include "base/utf8.h"

#include <string.h>
#include <yaml.h>

/* An open map or list. */
struct level {
    struct node *node;
    struct node **tail;
    bool value_next; /* map: the next node is a value */
};

struct builder {
    struct reader *reader;
    struct level levels[LESSON_DEPTH_MAX];
    size_t depth;
    struct node *root;
    size_t documents;
    bool stop;
};

const char *node_kind_word(const struct node *node)
{
    return node->kind == NODE_MAP ? "a map" : node->kind == NODE_LIST ? "a list" : "text";
}

bool node_has_key(const struct node *map, const char *name)
{
    for (const struct node *key = map->first; key; key = key->next->next)
        if (key->kind == NODE_SCALAR && strcmp(key->bytes, name) == 0)
            return true;
    return false;
}

const struct text *node_text(struct reader *reader, const struct node *node)
{
    struct text *text = arena_room(reader->scratch, sizeof *text);
    *text = (struct text){.bytes = node->bytes,
                          .length = node->length,
                          .at = node->at,
                          .direct = node->direct,
                          .style = (enum text_style)node->style,
                          .source = &reader->source};
    return text;
}

static struct place place_of(const struct builder *builder, yaml_mark_t start, yaml_mark_t end)
{
    uint32_t length = start.line == end.line && end.column > start.column
                          ? (uint32_t)(end.column - start.column)
                          : 1;
    return place_make(builder->reader->source.name, (uint32_t)start.line + 1,
                      (uint32_t)start.column + 1, length);
}

static struct place place_of_event(const struct builder *builder, const yaml_event_t *event)
{
    return place_of(builder, event->start_mark, event->end_mark);
}

/* ---- errors of YAML itself ------------------------------------------------------------------- */

/* The YAML library's commonest problems in plain words, and what to write instead. */
static const struct yaml_problem {
    const char *problem, *words, *advice;
} yaml_problems[] = {
    {"mapping values are not allowed", "a second ': ' on one line",
     "quotes around text that contains ': '"},
    {"cannot start any token", "unquoted text cannot start with this sign",
     "quotes around the text"},
    {"did not find expected key", "this line is not aligned with the keys above it",
     "all keys of one map in the same column"},
    {"could not find expected ':'", "a key without a colon",
     "a key, a colon and a space, then the value"},
    {"block sequence entries are not allowed", "a list cannot start here",
     "each '- ' at the start of a line of its own"},
    {"unexpected end of stream", "a quote or bracket that is never closed",
     "the closing quote or bracket"},
    {"expected ',' or ']'", "a mistake in a list written with [ ]",
     "commas between items, and ']' at the end"},
    {"expected ',' or '}'", "a mistake in a map written with { }",
     "commas between pairs, and '}' at the end"},
    {"expected comment or line break", "text on the same line as | or >",
     "quotes around text that starts with | or >"},
    {"did not find expected '-' indicator", "this line is not aligned with the items of the list",
     "every '-' of a list in the same column"},
    {"found unexpected document indicator", "a quote that is never closed", "the closing quote"},
    {"unknown escape character", "an unknown letter after a backslash",
     "a double backslash, or text in 'single quotes'"},
    {"did not find expected node content", "no key or value can start with this sign",
     "a key, a colon and a space, then the value"},
    {"did not find expected alphabetic or numeric", "an & or * without a name",
     "quotes around text that starts with & or *"},
};

static const struct yaml_problem *find_problem(const char *problem)
{
    for (size_t i = 0; i < sizeof yaml_problems / sizeof *yaml_problems; i++)
        if (strstr(problem, yaml_problems[i].problem))
            return &yaml_problems[i];
    return NULL;
}

/* What YAML complains about, in our words if we have some. */
static void report_yaml_problem(struct builder *builder, const yaml_parser_t *parser)
{
    struct diags *diags = builder->reader->diags;
    const char *problem = parser->problem ? parser->problem : "the text cannot be parsed";
    struct place at = place_of(builder, parser->problem_mark, parser->problem_mark);
    const struct yaml_problem *known = find_problem(problem);
    if (known)
        diag_add(diags, DIAG_SYNTAX, at, "%s", known->words);
    else
        diag_add(diags, DIAG_SYNTAX, at, "%s%s%s", problem, parser->context ? " " : "",
                 parser->context ? parser->context : "");
    if (known)
        diag_expected(diags, "%s", known->advice);
    if (parser->context && (parser->context_mark.line != parser->problem_mark.line ||
                            parser->context_mark.column != parser->problem_mark.column))
        diag_other(diags, place_of(builder, parser->context_mark, parser->context_mark),
                   "it starts here");
}

/* Reports the slip behind an error, or the error if every line looks right. Returns the line from
   which on nothing was read as it was meant. */
static uint32_t report_yaml_error(struct builder *builder, const yaml_parser_t *parser)
{
    struct reader *reader = builder->reader;
    uint32_t line = (uint32_t)parser->problem_mark.line + 1;
    struct yaml_slip slip;
    if (!yaml_slip_find(&reader->source, line, reader->is_key, reader->nodes, &slip)) {
        report_yaml_problem(builder, parser);
        return line;
    }
    struct place at = place_make(reader->source.name, slip.line, slip.column, slip.length);
    diag_add(reader->diags, DIAG_SYNTAX, at, "%s", slip.words);
    diag_expected(reader->diags, "%s", slip.advice);
    return slip.line;
}

static void refuse(struct builder *builder, struct place at, const char *message,
                   const char *expected)
{
    diag_add(builder->reader->diags, DIAG_SYNTAX, at, "%s", message);
    diag_expected(builder->reader->diags, "%s", expected);
}

/* ---- building -------------------------------------------------------------------------------- */

static void refuse_as_key(struct builder *builder, const struct node *node)
{
    refuse(builder, node->at, "a list or map used as a key", "a plain word as the key");
}

static inline bool is_key_next(const struct builder *builder)
{
    if (builder->depth == 0)
        return false;
    const struct level *level = &builder->levels[builder->depth - 1];
    return level->node->kind == NODE_MAP && !level->value_next;
}

static inline void attach(struct builder *builder, struct node *node)
{
    if (builder->depth == 0) {
        builder->root = node;
        return;
    }
    struct level *level = &builder->levels[builder->depth - 1];
    bool counts = level->node->kind == NODE_LIST || !level->value_next;
    *level->tail = node;
    level->tail = &node->next;
    level->node->length += counts;
    if (level->node->kind == NODE_LIST)
        return;
    level->value_next = !level->value_next;
    if (counts && (node->kind == NODE_LIST || node->kind == NODE_MAP))
        refuse_as_key(builder, node);
}

static inline struct node *new_node(struct builder *builder, enum node_kind kind, struct place at)
{
    struct node *node = arena_room(builder->reader->nodes, sizeof *node);
    *node = (struct node){.at = at, .kind = (uint8_t)kind};
    attach(builder, node);
    return node;
}

static const uint8_t styles[] = {
    [YAML_ANY_SCALAR_STYLE] = TEXT_PLAIN,
    [YAML_PLAIN_SCALAR_STYLE] = TEXT_PLAIN,
    [YAML_SINGLE_QUOTED_SCALAR_STYLE] = TEXT_SINGLE_QUOTED,
    [YAML_DOUBLE_QUOTED_SCALAR_STYLE] = TEXT_DOUBLE_QUOTED,
    [YAML_LITERAL_SCALAR_STYLE] = TEXT_BLOCK,
    [YAML_FOLDED_SCALAR_STYLE] = TEXT_BLOCK,
};

/* A character that only an escape can bring in and that no text can hold; NULL if there is none. */
static const char *find_refused_escape(const char *bytes, size_t length, const char **what)
{
    for (size_t i = 0, size; i < length; i += size) {
        uint32_t code = 0;
        size = utf8_decode(bytes + i, length - i, &code);
        *what = size ? refused_character(code) : "a code that is not a character";
        if (*what && code != '\n')
            return bytes + i;
    }
    return NULL;
}

static void check_escapes(struct builder *builder, struct node *node)
{
    const char *what;
    const char *bad = find_refused_escape(node->bytes, node->length, &what);
    if (!bad)
        return;
    struct text_cursor cursor = text_cursor(node_text(builder->reader, node));
    diag_add(builder->reader->diags, DIAG_ENCODING,
             text_place(&cursor, (size_t)(bad - node->bytes), 1), "an escape that makes %s", what);
    diag_expected(builder->reader->diags, "plain text");
    node->kind = NODE_UNUSABLE;
}

static void refuse_decorations(struct builder *builder, struct place at, const void *anchor,
                               const void *tag)
{
    if (anchor)
        refuse(builder, at, "YAML anchors (&) are not supported",
               "quotes around text that starts with &");
    if (tag)
        refuse(builder, at, "YAML tags (!) are not supported",
               "quotes around text that starts with !");
}

/* Text that is not closed on its line ends at the next quote, which opens the value of a later key:
   so it ends in that key. Texts that are meant like that are not to be expected. */
static void check_quote(struct builder *builder, struct node *node)
{
    const char *bytes = node->bytes;
    size_t length = node->length;
    if (length < 3 || bytes[length - 1] != ' ' || bytes[length - 2] != ':')
        return;
    refuse(builder, node->at, "a quote that is never closed",
           "the closing quote on the same line, at the end of the text");
    node->kind = NODE_UNUSABLE;
}

/* Keys of the reader's table need no copy, and are found here, while their text is at hand. */
static void take_text(struct builder *builder, const yaml_event_t *event, bool key,
                      struct node *node)
{
    struct reader *reader = builder->reader;
    const char *text = (const char *)event->data.scalar.value;
    uint32_t row;
    node->length = (uint32_t)event->data.scalar.length;
    node->bytes = key ? names_find(&reader->keys, text, node->length, &row) : NULL;
    if (node->bytes)
        node->known_row = (uint8_t)(row + 1);
    else
        node->bytes = arena_copy_text(reader->arena, text, node->length);
}

static void add_scalar(struct builder *builder, const yaml_event_t *event)
{
    struct place at = place_of_event(builder, event);
    bool key = is_key_next(builder);
    struct node *node = new_node(builder, NODE_SCALAR, at);
    enum text_style style = (enum text_style)styles[event->data.scalar.style];
    size_t length = event->data.scalar.length;
    bool one_line = event->start_mark.line == event->end_mark.line;
    size_t width = one_line ? event->end_mark.column - event->start_mark.column : 0;
    bool direct =
        one_line && style != TEXT_BLOCK && width == length + (style == TEXT_PLAIN ? 0u : 2u);
    take_text(builder, event, key, node);
    node->end_line = (uint32_t)event->end_mark.line + 1;
    node->end_column = (uint32_t)event->end_mark.column + 1;
    node->direct = direct;
    node->style = (uint8_t)style;
    node->literal = event->data.scalar.style == YAML_LITERAL_SCALAR_STYLE;
    if (event->data.scalar.anchor || event->data.scalar.tag)
        refuse_decorations(builder, at, event->data.scalar.anchor, event->data.scalar.tag);
    if (!one_line && (style == TEXT_DOUBLE_QUOTED || style == TEXT_SINGLE_QUOTED))
        check_quote(builder, node);
    if (style == TEXT_DOUBLE_QUOTED && !direct)
        check_escapes(builder, node);
}

static void open_level(struct builder *builder, enum node_kind kind, const yaml_event_t *event)
{
    struct place at = place_of(builder, event->start_mark, event->start_mark);
    if (builder->depth == LESSON_DEPTH_MAX) {
        diag_add(builder->reader->diags, DIAG_LIMIT, at, "lists and maps nested more than %d deep",
                 LESSON_DEPTH_MAX);
        builder->stop = true;
        return;
    }
    struct node *node = new_node(builder, kind, at);
    builder->levels[builder->depth++] = (struct level){.node = node, .tail = &node->first};
    if (kind == NODE_LIST)
        refuse_decorations(builder, at, event->data.sequence_start.anchor,
                           event->data.sequence_start.tag);
    else
        refuse_decorations(builder, at, event->data.mapping_start.anchor,
                           event->data.mapping_start.tag);
}

static void start_document(struct builder *builder, const yaml_event_t *event)
{
    struct place at = place_of_event(builder, event);
    if (builder->documents++) {
        refuse(builder, at, "a second document in one file", "one lesson per file");
        builder->stop = true;
    } else if (event->data.document_start.version_directive ||
               event->data.document_start.tag_directives.start !=
                   event->data.document_start.tag_directives.end) {
        refuse(builder, at, "YAML directives (%) are not supported", "the lesson's keys");
    }
}

static void take_event(struct builder *builder, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        start_document(builder, event);
        break;
    case YAML_SCALAR_EVENT:
        add_scalar(builder, event);
        break;
    case YAML_ALIAS_EVENT:
        refuse(builder, place_of_event(builder, event), "YAML aliases (*) are not supported",
               "quotes around text that starts with *, or a name in 'patterns'");
        new_node(builder, NODE_UNUSABLE, place_of_event(builder, event));
        break;
    case YAML_SEQUENCE_START_EVENT:
        open_level(builder, NODE_LIST, event);
        break;
    case YAML_MAPPING_START_EVENT:
        open_level(builder, NODE_MAP, event);
        break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        builder->depth--;
        break;
    case YAML_STREAM_END_EVENT:
        builder->stop = true;
        break;
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_DOCUMENT_END_EVENT:
        break;
    }
}

/* Events without memory need not be deleted, which would cost more than reading them. */
static bool holds_memory(const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_SEQUENCE_START_EVENT:
        return event->data.sequence_start.anchor || event->data.sequence_start.tag;
    case YAML_MAPPING_START_EVENT:
        return event->data.mapping_start.anchor || event->data.mapping_start.tag;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        return false;
    default:
        return true;
    }
}

/* After an error between a key and its value, gives the key a value that nobody reports again. */
static void close_open_levels(struct builder *builder)
{
    while (builder->depth) {
        struct level *level = &builder->levels[builder->depth - 1];
        if (level->value_next)
            new_node(builder, NODE_UNUSABLE, level->node->at);
        builder->depth--;
    }
}

/* Whether an unquoted text goes over several lines, the last of which may not belong to it. */
static bool runs_on(const struct node *node)
{
    return node->kind == NODE_SCALAR && node->style == TEXT_PLAIN && !node->direct;
}

/* Takes away what was read from `line` on. */
static void cut_tree(struct node *node, uint32_t line)
{
    struct node *last = NULL;
    if (node->kind != NODE_LIST && node->kind != NODE_MAP)
        return;
    size_t step = node->kind == NODE_MAP ? 2 : 1;
    uint32_t kept = 0;
    struct node *item = node->first;
    for (; item && item->at.line < line; item = last->next) {
        last = step == 2 ? item->next : item;
        kept++;
    }
    node->length = kept;
    if (!last) {
        node->first = NULL;
        return;
    }
    last->next = NULL;
    if (last->at.line >= line || runs_on(last))
        last->kind = NODE_UNUSABLE;
    cut_tree(last, line);
}

struct node *tree_parse(struct reader *reader)
{
    struct builder builder = {.reader = reader};
    uint32_t cut = 0;
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        memory_exhausted(sizeof parser);
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)reader->source.bytes,
                                 reader->source.length);
    while (!builder.stop) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            if (parser.error == YAML_MEMORY_ERROR) /* not the author's mistake */
                memory_exhausted(reader->source.length);
            cut = report_yaml_error(&builder, &parser);
            reader->cut_short = true;
            break;
        }
        take_event(&builder, &event);
        if (holds_memory(&event))
            yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    reader->cut_short |= builder.depth > 0;
    close_open_levels(&builder);
    if (builder.root && cut)
        cut_tree(builder.root, cut);
    return builder.root;
}
