#include "read/tidy_tree.h"

#include "base/utf8.h"

#include <yaml.h>

struct taker {
    struct arena *arena;
    const char *bytes;
    size_t length;
    size_t done;             /* the source up to here is accounted for */
    size_t byte, character;  /* the same place, as bytes and as libyaml counts */
    struct stretch *comment; /* where a comment goes that is behind the last value */
    struct stretch behind;   /* of the last gap: the comment on its first line */
    struct tidy_lines lines; /* of the last gap: its other lines */
    bool broke, commented;   /* of the last gap: it has a line end, a comment */
    VECTOR(struct tidy_node *)
    ended; /* lists and maps that ended since the last entry began,
              innermost first: comments may still belong to them */
    yaml_parser_t parser;
    yaml_event_t event;
    bool failed;
};

static void next_event(struct taker *taker)
{
    if (taker->event.type)
        yaml_event_delete(&taker->event);
    taker->event.type = YAML_NO_EVENT;
    taker->failed |= !yaml_parser_parse(&taker->parser, &taker->event);
}

/* libyaml counts characters. Marks come in order, but for those of lists without an end of their
   own. */
static size_t offset_of(struct taker *taker, yaml_mark_t mark)
{
    if (mark.index < taker->character)
        taker->byte = taker->character = 0;
    while (taker->character < mark.index && taker->byte < taker->length) {
        uint32_t code;
        size_t size = utf8_decode(taker->bytes + taker->byte, taker->length - taker->byte, &code);
        taker->byte += size ? size : 1;
        taker->character++;
    }
    return taker->byte;
}

static struct stretch stretch_of(const struct taker *taker, size_t from, size_t to)
{
    return (struct stretch){taker->bytes + from, to - from};
}

static size_t line_end(const struct taker *taker, size_t from)
{
    const char *end = memchr(taker->bytes + from, '\n', taker->length - from);
    return end ? (size_t)(end - taker->bytes) : taker->length;
}

static size_t trimmed_end(const struct taker *taker, size_t from, size_t end)
{
    while (end > from && strchr(" \t\r\n", taker->bytes[end - 1]))
        end--;
    return end;
}

/* ---- gaps: what is between two texts -------------------------------------------------------- */

static void push_line(struct taker *taker, struct stretch text, uint32_t column)
{
    bool blank = !text.length;
    bool again = taker->lines.count && !taker->lines.items[taker->lines.count - 1].text.length;
    if (!blank || !again)
        *vector_push(&taker->lines, taker->arena) = (struct tidy_line){text, column};
}

static void take_comment(struct taker *taker, size_t line)
{
    size_t from = taker->done, end = line_end(taker, from);
    struct stretch text = stretch_of(taker, from, trimmed_end(taker, from, end));
    if (taker->broke)
        push_line(taker, text, (uint32_t)(from - line));
    else
        taker->behind = text;
    taker->commented = true;
    taker->done = end;
}

/* Takes blanks and comments up to `to`, or up to and with the sign, if it is not '\0'. In brackets,
   commas count as blanks. */
static void take_gap(struct taker *taker, size_t to, char sign, bool flow)
{
    size_t line = taker->done;
    taker->behind = (struct stretch){0};
    taker->lines = (struct tidy_lines){0};
    taker->broke = taker->commented = false;
    while (taker->done < to && !taker->failed) {
        char byte = taker->bytes[taker->done];
        if (byte == '#') {
            take_comment(taker, line);
            continue;
        }
        taker->done++;
        if (byte == '\n') {
            bool blank = taker->broke && trimmed_end(taker, line, taker->done) == line;
            if (blank)
                push_line(taker, (struct stretch){0}, 0);
            taker->broke = true;
            line = taker->done;
        } else if (sign && byte == sign) {
            return;
        } else if (!strchr(" \r", byte) && !(flow && byte == ',')) {
            taker->failed = true;
        }
    }
    taker->failed |= sign != '\0' || taker->done > to;
}

/* The comment of the last gap belongs to the value before it. */
static void give_comment(struct taker *taker)
{
    if (taker->behind.length && taker->comment)
        *taker->comment = taker->behind;
    taker->failed |= taker->behind.length && !taker->comment;
    taker->behind = (struct stretch){0};
}

/* Of the lists and maps that have ended, from `least` on, the innermost that a comment in this
 * column can belong to. */
static size_t ended_at(const struct taker *taker, size_t least, uint32_t column)
{
    for (size_t i = least; i < taker->ended.count; i++)
        if (taker->ended.items[i]->column <= column)
            return i;
    return taker->ended.count - 1;
}

/* The lines of the last gap from number `first` on. */
static struct tidy_lines lines_from(struct taker *taker, size_t first)
{
    struct tidy_lines rest = {0};
    for (size_t i = first; i < taker->lines.count; i++)
        *vector_push(&rest, taker->arena) = taker->lines.items[i];
    return rest;
}

/* Shares out the lines of the last gap: comments further right than what follows belong to what
   has ended. The rest are left in taker->lines. */
static void give_lines(struct taker *taker, int64_t column)
{
    size_t given = 0, foot = 0;
    for (size_t i = 0; i < taker->lines.count && taker->ended.count; i++) {
        const struct tidy_line *line = &taker->lines.items[i];
        if (!line->text.length)
            continue;
        if ((int64_t)line->column <= column)
            break;
        foot = ended_at(taker, foot, line->column);
        struct tidy_lines *lines = &taker->ended.items[foot]->foot;
        for (; given <= i; given++)
            *vector_push(lines, taker->arena) = taker->lines.items[given];
    }
    taker->lines = lines_from(taker, given);
    taker->ended.count = 0;
}

/* The gap before an entry in this column, of a block; `sign` as in take_gap(). */
static struct tidy_lines take_lead(struct taker *taker, size_t to, char sign, int64_t column)
{
    take_gap(taker, to, sign, false);
    give_comment(taker);
    give_lines(taker, column);
    struct tidy_lines lead = taker->lines;
    taker->lines = (struct tidy_lines){0};
    return lead;
}

/* ---- nodes ---------------------------------------------------------------------------------- */

static struct tidy_node *take_node(struct taker *taker, uint32_t around, struct tidy_lines lead);
static struct tidy_node *take_flow(struct taker *taker);

static struct tidy_node *new_node(struct taker *taker, enum tidy_kind kind)
{
    struct tidy_node *node = arena_alloc(taker->arena, sizeof *node);
    node->kind = kind;
    node->column = (uint32_t)taker->event.start_mark.column;
    return node;
}

static struct tidy_entry *new_entry(struct taker *taker, struct tidy_node *node,
                                    struct tidy_entry ***tail)
{
    struct tidy_entry *entry = arena_alloc(taker->arena, sizeof *entry);
    **tail = entry;
    *tail = &entry->next;
    node->count++;
    return entry;
}

/* The text of a `|` or `>`, whose blank lines at its end are no part of it unless it keeps them. */
static void take_block_text(struct taker *taker, struct tidy_node *node, size_t from, size_t to)
{
    size_t header = line_end(taker, from), sign = from + 1;
    bool keeps = false;
    for (; sign < header && strchr("+-0123456789", taker->bytes[sign]); sign++) {
        keeps |= taker->bytes[sign] == '+';
        if (taker->bytes[sign] >= '0' && taker->bytes[sign] <= '9')
            node->digit = taker->bytes[sign];
    }
    size_t end = trimmed_end(taker, from, to);
    end = end < header ? header : line_end(taker, end);
    if (keeps) /* up to the last line end */
        end = to > end && taker->bytes[to - 1] == '\n' ? to - 1 : end;
    node->block_text = true;
    node->text = stretch_of(taker, from, end);
    taker->done = end;
}

static struct tidy_node *take_text(struct taker *taker)
{
    const yaml_event_t *event = &taker->event;
    struct tidy_node *node = new_node(taker, TIDY_TEXT);
    size_t from = offset_of(taker, event->start_mark), to = offset_of(taker, event->end_mark);
    size_t length = event->data.scalar.length;
    taker->failed |= from != taker->done || event->data.scalar.anchor || event->data.scalar.tag;
    node->style = (uint8_t)event->data.scalar.style;
    node->value = (struct stretch){
        arena_copy_text(taker->arena, (const char *)event->data.scalar.value, length), length};
    if (event->data.scalar.style == YAML_LITERAL_SCALAR_STYLE ||
        event->data.scalar.style == YAML_FOLDED_SCALAR_STYLE) {
        take_block_text(taker, node, from, to);
    } else {
        node->text = stretch_of(taker, from, to);
        taker->done = to;
    }
    next_event(taker);
    return node;
}

/* ---- in brackets ---------------------------------------------------------------------------- */

/* The gap before a part of a flow node. */
static void take_flow_gap(struct taker *taker, struct tidy_node *node)
{
    take_gap(taker, offset_of(taker, taker->event.start_mark), '\0', true);
    node->kept |= taker->commented;
}

/* From a key to its value; `to` is where the value begins. Values that are empty have no colon, or
   end with it. */
static void take_flow_colon(struct taker *taker, struct tidy_node *node, struct tidy_entry *entry)
{
    size_t to = offset_of(taker, taker->event.start_mark);
    const char *colon = memchr(taker->bytes + taker->done, ':', to - taker->done);
    entry->colon = colon;
    if (colon) {
        take_gap(taker, to, ':', false);
        node->kept |= taker->commented;
    }
    take_flow_gap(taker, node);
    entry->value_below = taker->broke;
}

static void take_flow_entry(struct taker *taker, struct tidy_node *node, struct tidy_entry *entry)
{
    take_flow_gap(taker, node);
    entry->breaks = taker->broke;
    if (node->kind == TIDY_MAP) {
        entry->key = take_flow(taker);
        take_flow_colon(taker, node, entry);
    }
    entry->value = take_flow(taker);
    node->kept |= entry->value->kept;
}

/* A list, a map, or a text inside of one. */
static struct tidy_node *take_flow(struct taker *taker)
{
    bool map = taker->event.type == YAML_MAPPING_START_EVENT;
    if (taker->event.type == YAML_SCALAR_EVENT)
        return take_text(taker);
    struct tidy_node *node = new_node(taker, map ? TIDY_MAP : TIDY_LIST);
    size_t from = offset_of(taker, taker->event.start_mark);
    struct tidy_entry **tail = &node->first;
    if (!map && taker->event.type != YAML_SEQUENCE_START_EVENT) {
        taker->failed = true;
        return node;
    }
    node->flow = true;
    node->bare = taker->bytes[from] != '{' && map;
    taker->failed |= from != taker->done;
    taker->done += !node->bare;
    next_event(taker);
    while (!taker->failed && taker->event.type != YAML_MAPPING_END_EVENT &&
           taker->event.type != YAML_SEQUENCE_END_EVENT)
        take_flow_entry(taker, node, new_entry(taker, node, &tail));
    if (taker->failed)
        return node;
    if (!node->bare) {
        take_gap(taker, taker->length, map ? '}' : ']', true);
        node->kept |= taker->commented;
    }
    node->text = stretch_of(taker, from, taker->done);
    next_event(taker);
    return node;
}

/* ---- blocks --------------------------------------------------------------------------------- */

static bool begins_flow(const struct taker *taker)
{
    const yaml_event_t *event = &taker->event;
    if (event->type == YAML_MAPPING_START_EVENT)
        return event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
    return event->type == YAML_SEQUENCE_START_EVENT &&
           event->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE;
}

/* From the colon or dash of an entry to its value, and the value itself. */
static void take_value(struct taker *taker, struct tidy_entry *entry, uint32_t around)
{
    bool text = taker->event.type == YAML_SCALAR_EVENT;
    take_gap(taker, offset_of(taker, taker->event.start_mark), '\0', false);
    entry->key_comment = taker->behind;
    entry->value_below = taker->broke;
    struct tidy_lines lines = taker->lines;
    if (text || begins_flow(taker)) {
        entry->between = lines;
        lines = (struct tidy_lines){0};
    }
    entry->value = take_node(taker, around, lines);
    taker->comment = text || entry->value->flow ? &entry->comment : taker->comment;
    if (entry->value->block_text)
        taker->comment = NULL;
}

/* The gap's lines behind some that came before. */
static struct tidy_lines behind_lines(struct taker *taker, struct tidy_lines lines)
{
    struct tidy_lines all = {0};
    for (size_t i = 0; i < lines.count; i++)
        *vector_push(&all, taker->arena) = lines.items[i];
    for (size_t i = 0; i < taker->lines.count; i++)
        *vector_push(&all, taker->arena) = taker->lines.items[i];
    return all;
}

static struct tidy_node *take_map(struct taker *taker, struct tidy_lines lead)
{
    struct tidy_node *node = new_node(taker, TIDY_MAP);
    struct tidy_entry **tail = &node->first;
    next_event(taker);
    while (!taker->failed && taker->event.type == YAML_SCALAR_EVENT) {
        struct tidy_entry *entry = new_entry(taker, node, &tail);
        size_t from = offset_of(taker, taker->event.start_mark);
        entry->lead = node->count > 1 ? take_lead(taker, from, '\0', node->column) : lead;
        entry->key = take_text(taker);
        taker->comment = NULL;
        take_gap(taker, taker->length, ':', false);
        taker->failed |= taker->broke || taker->commented;
        if (!taker->failed)
            take_value(taker, entry, node->column);
    }
    taker->failed |= taker->event.type != YAML_MAPPING_END_EVENT;
    *vector_push(&taker->ended, taker->arena) = node;
    next_event(taker);
    return node;
}

static struct tidy_node *take_list(struct taker *taker, struct tidy_lines lead)
{
    struct tidy_node *node = new_node(taker, TIDY_LIST);
    struct tidy_entry **tail = &node->first;
    next_event(taker);
    while (!taker->failed && taker->event.type != YAML_SEQUENCE_END_EVENT) {
        struct tidy_entry *entry = new_entry(taker, node, &tail);
        if (node->count > 1)
            entry->lead = take_lead(taker, taker->length, '-', node->column);
        else
            take_gap(taker, taker->length, '-', false);
        if (node->count == 1)
            entry->lead = behind_lines(taker, lead);
        taker->failed |= taker->behind.length > 0;
        taker->comment = NULL;
        if (!taker->failed)
            take_value(taker, entry, node->column);
    }
    *vector_push(&taker->ended, taker->arena) = node;
    next_event(taker);
    return node;
}

/* `lead`: the lines above the first entry. `around`: the column of the block that it is in. */
static struct tidy_node *take_node(struct taker *taker, uint32_t around, struct tidy_lines lead)
{
    if (begins_flow(taker))
        return take_flow(taker);
    if (taker->event.type == YAML_MAPPING_START_EVENT)
        return take_map(taker, lead);
    if (taker->event.type == YAML_SEQUENCE_START_EVENT)
        return take_list(taker, lead);
    taker->failed |= taker->event.type != YAML_SCALAR_EVENT;
    if (taker->failed)
        return new_node(taker, TIDY_TEXT);
    struct tidy_node *node = take_text(taker);
    node->around = around;
    return node;
}

/* ---- the file ------------------------------------------------------------------------------- */

/* Up to `---`, where there is one, and a comment behind it. */
static void take_head(struct taker *taker, struct tidy_file *file)
{
    next_event(taker); /* the stream */
    next_event(taker); /* the document */
    taker->failed |= taker->event.type != YAML_DOCUMENT_START_EVENT;
    if (!taker->failed && !taker->event.data.document_start.implicit) {
        taker->done = offset_of(taker, taker->event.end_mark);
        size_t end = line_end(taker, taker->done), rest = taker->done;
        while (rest < end && taker->bytes[rest] == ' ')
            rest++;
        if (rest < end && taker->bytes[rest] == '#')
            taker->done = end;
        file->head = stretch_of(taker, 0, trimmed_end(taker, 0, taker->done));
    }
    next_event(taker);
}

/* What is behind the last value: comments, and perhaps `...`. */
static void take_end(struct taker *taker, struct tidy_file *file)
{
    bool document_end = taker->event.type == YAML_DOCUMENT_END_EVENT;
    size_t to = document_end && !taker->event.data.document_end.implicit
                    ? offset_of(taker, taker->event.start_mark)
                    : taker->length;
    file->foot = take_lead(taker, to, '\0', -1);
    file->end = stretch_of(taker, to, trimmed_end(taker, to, taker->length));
    taker->failed |= !document_end;
}

bool tidy_parse(struct read_source source, struct arena *arena, struct tidy_file *file)
{
    struct taker taker = {.arena = arena, .bytes = source.bytes, .length = source.length};
    *file = (struct tidy_file){0};
    if (!yaml_parser_initialize(&taker.parser))
        memory_exhausted(sizeof taker.parser);
    yaml_parser_set_encoding(&taker.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&taker.parser, (const unsigned char *)source.bytes, source.length);
    take_head(&taker, file);
    if (!taker.failed) {
        take_gap(&taker, offset_of(&taker, taker.event.start_mark), '\0', false);
        struct tidy_lines lines = {0};
        if (taker.behind.length) /* a comment on the first line */
            *vector_push(&lines, arena) = (struct tidy_line){taker.behind, 0};
        file->lead = behind_lines(&taker, lines);
        taker.comment = &file->comment;
        file->root = take_node(&taker, 0, file->lead);
    }
    if (!taker.failed)
        take_end(&taker, file);
    if (taker.event.type)
        yaml_event_delete(&taker.event);
    yaml_parser_delete(&taker.parser);
    return !taker.failed && file->root->kind == TIDY_MAP;
}
