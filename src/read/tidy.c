#include "read/tidy.h"

#include "read/key_level.h"
#include "read/tidy_tree.h"

enum { STEP = 2, WIDTH = 100 };

struct writer {
    struct arena *arena;
    struct buffer *out;
};

static void write_node(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent, bool on_line);

/* ---- order ---------------------------------------------------------------------------------- */

/* Comments right above an entry move with it. Those separated from it by a blank line, and the
 * comment at the top of the file, head everything below them and stay put. */
static void split_lead(struct writer *writer, struct tidy_entry *entry, bool begins_file)
{
    struct tidy_lines lines = entry->lead;
    bool comment = false;
    size_t cut = 0;
    for (size_t i = 0; i < lines.count; i++) {
        comment |= lines.items[i].text.length > 0;
        if (comment && (begins_file || !lines.items[i].text.length))
            cut = i + 1;
    }
    entry->divider = entry->lead = (struct tidy_lines){0};
    for (size_t i = 0; i < lines.count; i++)
        *vector_push(i < cut ? &entry->divider : &entry->lead, writer->arena) = lines.items[i];
}

static const char *key_of(const struct tidy_entry *entry)
{
    return entry->key->value.bytes ? entry->key->value.bytes : "";
}

/* Sorts entries [first, end), which a divider may head. Keys of one row keep their order. */
static void sort_stretch(struct tidy_entry **entries, size_t first, size_t end,
                         struct key_level level)
{
    if (first == end)
        return;
    struct tidy_lines divider = entries[first]->divider;
    entries[first]->divider = (struct tidy_lines){0};
    for (size_t i = first + 1; i < end; i++) {
        struct tidy_entry *entry = entries[i];
        size_t row = key_level_row(level, key_of(entry)), at = i;
        for (; at > first && key_level_row(level, key_of(entries[at - 1])) > row; at--)
            entries[at] = entries[at - 1];
        entries[at] = entry;
    }
    entries[first]->divider = divider;
}

/* The entries of a list or map in the order in which they are written. */
static struct tidy_entry **ordered(struct writer *writer, const struct tidy_node *node,
                                   struct key_level level)
{
    struct tidy_entry **entries =
        arena_array(writer->arena, node->count + 1, sizeof(struct tidy_entry *));
    size_t count = 0, first = 0;
    for (struct tidy_entry *entry = node->first; entry; entry = entry->next)
        entries[count++] = entry;
    if (node->kind != TIDY_MAP || !level.table)
        return entries;
    for (size_t i = 0; i < count; i++)
        if (entries[i]->divider.count) {
            sort_stretch(entries, first, i, level);
            first = i;
        }
    sort_stretch(entries, first, count, level);
    return entries;
}

/* ---- lines ---------------------------------------------------------------------------------- */

static void add_blanks(struct writer *writer, size_t count)
{
    while (count-- > 0)
        buffer_add(writer->out, " ", 1);
}

static void add_stretch(struct writer *writer, struct stretch text)
{
    buffer_add(writer->out, text.bytes, text.length);
}

static void end_line(struct writer *writer)
{
    buffer_add(writer->out, "\n", 1);
}

/* How many characters the last line has so far. */
static size_t column_of(const struct buffer *out)
{
    size_t start = out->length;
    while (start > 0 && out->bytes[start - 1] != '\n')
        start--;
    return utf8_count(buffer_text(out) + start, out->length - start);
}

static void write_lines(struct writer *writer, const struct tidy_lines *lines, size_t indent,
                        bool *first)
{
    for (size_t i = 0; i < lines->count; i++) {
        struct stretch text = lines->items[i].text;
        if (!text.length && *first)
            continue;
        add_blanks(writer, text.length ? indent : 0);
        add_stretch(writer, text);
        end_line(writer);
        *first = false;
    }
}

/* The lines above an entry. Blank lines only where something stands above them; where entries are
   `spaced`, there is one. */
static void write_lead(struct writer *writer, const struct tidy_entry *entry, size_t indent,
                       bool first, bool spaced)
{
    const struct tidy_lines *top = entry->divider.count ? &entry->divider : &entry->lead;
    if (spaced && !first && (!top->count || top->items[0].text.length))
        end_line(writer);
    write_lines(writer, &entry->divider, indent, &first);
    write_lines(writer, &entry->lead, indent, &first);
}

/* The next line of a text, without its line end. */
static struct stretch next_line(struct stretch *rest)
{
    const char *end = memchr(rest->bytes, '\n', rest->length);
    size_t length = end ? (size_t)(end - rest->bytes) : rest->length;
    struct stretch line = {rest->bytes, length};
    size_t taken = end ? length + 1 : length;
    *rest = (struct stretch){rest->bytes + taken, rest->length - taken};
    line.length -= length && line.bytes[length - 1] == '\r';
    return line;
}

static size_t blanks_of(struct stretch line)
{
    size_t count = 0;
    while (count < line.length && line.bytes[count] == ' ')
        count++;
    return count;
}

static struct stretch behind(struct stretch line, size_t count)
{
    count = count < line.length ? count : line.length;
    return (struct stretch){line.bytes + count, line.length - count};
}

/* ---- texts ---------------------------------------------------------------------------------- */

/* Where the lines of a `|` or `>` begin: at their own sign, or where the first one does. */
static size_t block_column(const struct tidy_node *node)
{
    struct stretch rest = node->text, line;
    if (node->digit)
        return node->around + (size_t)(node->digit - '0');
    next_line(&rest);
    while (rest.length) {
        line = next_line(&rest);
        if (blanks_of(line) < line.length)
            return blanks_of(line);
    }
    return 0;
}

/* `indent`: of the list or map that it is in. */
static void write_block_text(struct writer *writer, const struct tidy_node *node, size_t indent)
{
    size_t old = block_column(node);
    size_t new = indent + (node->digit ? (size_t)(node->digit - '0') : STEP);
    struct stretch rest = node->text, line = next_line(&rest);
    add_stretch(writer, line);
    while (rest.length) {
        end_line(writer);
        line = behind(next_line(&rest), old);
        add_blanks(writer, line.length ? new : 0);
        add_stretch(writer, line);
    }
}

/* Leading blanks on a text's lines have no meaning. */
static void write_text(struct writer *writer, const struct tidy_node *node, size_t indent)
{
    struct stretch rest = node->text, line = next_line(&rest);
    add_stretch(writer, line);
    while (rest.length) {
        end_line(writer);
        line = next_line(&rest);
        line = behind(line, blanks_of(line));
        add_blanks(writer, line.length ? indent : 0);
        add_stretch(writer, line);
    }
}

/* ---- in brackets ---------------------------------------------------------------------------- */

/* Has comments inside: unchanged, moved as a whole. */
static void write_kept(struct writer *writer, const struct tidy_node *node, size_t indent)
{
    size_t column = column_of(writer->out);
    struct stretch rest = node->text;
    add_stretch(writer, next_line(&rest));
    while (rest.length) {
        struct stretch line = next_line(&rest);
        size_t blanks = blanks_of(line) + column;
        blanks = blanks > node->column + indent ? blanks - node->column : indent;
        end_line(writer);
        line = behind(line, blanks_of(line));
        add_blanks(writer, line.length ? blanks : 0);
        add_stretch(writer, line);
    }
}

static void write_flow(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent);

static void write_flow_entry(struct writer *writer, const struct tidy_entry *entry,
                             struct key_level level, size_t indent)
{
    if (entry->key) {
        write_flow(writer, entry->key, (struct key_level){0}, indent);
        buffer_add_text(writer->out, entry->colon ? ":" : "");
        level = key_level_under(level, key_of(entry));
    }
    if (entry->key && (entry->value->text.length || entry->value->flow))
        buffer_add_text(writer->out, " ");
    write_flow(writer, entry->value, level, indent);
}

/* Breaks lines after the same entries as the source. */
static void write_flow(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent)
{
    static const char open[] = {[TIDY_LIST] = '[', [TIDY_MAP] = '{'};
    static const char close[] = {[TIDY_LIST] = ']', [TIDY_MAP] = '}'};
    if (node->kind == TIDY_TEXT) {
        write_text(writer, node, indent);
        return;
    }
    struct tidy_entry **entries = ordered(writer, node, level);
    const struct tidy_entry *place = node->first;
    size_t inside = place && place->breaks ? indent + STEP : column_of(writer->out) + 1;
    if (!node->bare)
        buffer_add(writer->out, &open[node->kind], 1);
    for (size_t i = 0; i < node->count; i++, place = place->next) {
        if (i)
            buffer_add_text(writer->out, place->breaks ? "," : ", ");
        if (place->breaks && !node->bare) {
            end_line(writer);
            add_blanks(writer, inside);
        }
        write_flow_entry(writer, entries[i], level, inside);
    }
    if (!node->bare)
        buffer_add(writer->out, &close[node->kind], 1);
}

/* ---- bars in columns ------------------------------------------------------------------------ */

struct cell {
    struct stretch key;
    char *text;   /* key and value */
    size_t width; /* in characters */
};

struct cells {
    struct cell *items;
    size_t count, room;
};

static char *cell_text(struct writer *writer, const struct tidy_entry *entry,
                       struct key_level level)
{
    struct buffer text = {0};
    struct writer inner = {writer->arena, &text};
    write_flow_entry(&inner, entry, level, 0);
    return buffer_keep(&text, writer->arena);
}

/* The cells of an item that is a map on one line. False if it is something else. */
static bool cells_of(struct writer *writer, const struct tidy_entry *item, struct key_level level,
                     struct cells *cells)
{
    const struct tidy_node *map = item->value;
    *cells = (struct cells){0};
    if (!map->flow || map->kept || map->kind != TIDY_MAP || item->key_comment.length ||
        item->between.count || !map->count)
        return false;
    struct tidy_entry **entries = ordered(writer, map, level);
    for (size_t i = 0; i < map->count; i++) {
        char *text = cell_text(writer, entries[i], level);
        if (strchr(text, '\n') || entries[i]->breaks)
            return false;
        *vector_push(cells, writer->arena) =
            (struct cell){entries[i]->key->value, text, utf8_count(text, strlen(text))};
    }
    return true;
}

static bool same_key(struct stretch a, struct stretch b)
{
    return a.length == b.length && memcmp(a.bytes, b.bytes, a.length) == 0;
}

/* Adds an item's cells to the columns. False, and nothing is added, if that would leave a hole: the
   keys of each item must be those of the longest one, from the first on. */
static bool add_columns(struct writer *writer, struct cells *columns, const struct cells *cells)
{
    for (size_t i = 0; i < cells->count && i < columns->count; i++)
        if (!same_key(columns->items[i].key, cells->items[i].key))
            return false;
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];
        if (i == columns->count)
            *vector_push(columns, writer->arena) = (struct cell){cell->key, NULL, 0};
        bool last = i + 1 == cells->count;
        if (!last && columns->items[i].width < cell->width)
            columns->items[i].width = cell->width;
    }
    return true;
}

static void write_row(struct writer *writer, const struct cells *columns, const struct cells *cells)
{
    buffer_add_text(writer->out, "{");
    for (size_t i = 0; i < cells->count; i++) {
        bool last = i + 1 == cells->count;
        buffer_format(writer->out, "%s%s", cells->items[i].text, last ? "}" : ", ");
        add_blanks(writer, last ? 0 : columns->items[i].width - cells->items[i].width);
    }
}

/* The end of a row in these columns. */
static size_t width_of(const struct cells *columns, const struct cells *cells)
{
    size_t width = 1;
    for (size_t i = 0; i < cells->count; i++)
        width += i + 1 < cells->count ? columns->items[i].width + 2 : cells->items[i].width + 1;
    return width;
}

/* How many items from `item` on stand right below one another, and their columns; 1: they cannot
   be written in columns. */
static size_t find_columns(struct writer *writer, const struct tidy_entry *item,
                           struct key_level level, size_t indent, struct cells *columns)
{
    const struct tidy_entry *first = item;
    struct cells cells;
    size_t count = 0;
    for (; item && cells_of(writer, item, level, &cells); item = item->next, count++)
        if ((count && (item->divider.count || item->lead.count)) ||
            !add_columns(writer, columns, &cells))
            break;
    item = first;
    for (size_t i = 0; i < count; i++, item = item->next) {
        cells_of(writer, item, level, &cells);
        if (indent + 2 + width_of(columns, &cells) > WIDTH)
            return 1;
    }
    return count > 1 ? count : 1;
}

/* ---- blocks --------------------------------------------------------------------------------- */

static bool is_block(const struct tidy_node *node)
{
    return node->kind != TIDY_TEXT && !node->flow;
}

/* A blank line separates exercises of several lines. */
static bool is_spaced(const struct tidy_node *value, struct key_level level)
{
    return is_block(value) && level.table == &all_table && level.where == IN_EXERCISE;
}

/* A text, or what is in brackets. */
static void write_leaf(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent)
{
    if (node->block_text)
        write_block_text(writer, node, indent);
    else if (node->kept)
        write_kept(writer, node, indent + STEP);
    else if (node->kind == TIDY_TEXT)
        write_text(writer, node, indent + STEP);
    else
        write_flow(writer, node, level, indent);
}

static bool has_line_end(struct stretch text)
{
    return memchr(text.bytes, '\n', text.length);
}

/* A value on the line below its key goes up to it if there is room. */
static bool stays_below(const struct writer *writer, const struct tidy_entry *entry)
{
    const struct stretch text = entry->value->text;
    return entry->value_below && text.length && !entry->value->block_text &&
           (entry->key_comment.length || entry->between.count || has_line_end(text) ||
            column_of(writer->out) + 1 + utf8_count(text.bytes, text.length) > WIDTH);
}

static void write_comment(struct writer *writer, struct stretch comment)
{
    add_blanks(writer, comment.length ? 1 : 0);
    add_stretch(writer, comment);
}

/* What comes behind the colon or the dash, up to the end of the line. */
static void write_value(struct writer *writer, const struct tidy_entry *entry,
                        struct key_level level, size_t indent)
{
    bool first = true;
    if (is_block(entry->value)) {
        write_comment(writer, entry->key_comment);
        bool on_line = !entry->key && !entry->key_comment.length;
        buffer_add_text(writer->out, on_line ? " " : "\n");
        write_node(writer, entry->value, level, indent + STEP, on_line);
        return;
    }
    if (stays_below(writer, entry) || entry->key_comment.length || entry->between.count) {
        write_comment(writer, entry->key_comment);
        end_line(writer);
        write_lines(writer, &entry->between, indent + STEP, &first);
        add_blanks(writer, indent + STEP);
    } else if (entry->value->text.length) {
        add_blanks(writer, 1);
    }
    write_leaf(writer, entry->value, level, indent);
    write_comment(writer, entry->comment);
    end_line(writer);
}

/* The comments above the first key of an item go above the item: `- ` leaves them no other room. */
static void write_first_lead(struct writer *writer, const struct tidy_entry *item,
                             struct key_level level, size_t indent)
{
    const struct tidy_node *node = item->value;
    if (!is_block(node) || item->key_comment.length)
        return;
    const struct tidy_entry *inner = ordered(writer, node, level)[0];
    write_lead(writer, inner, indent, true, false);
    if (node->kind == TIDY_LIST)
        write_first_lead(writer, inner, level, indent);
}

/* Writes items in columns and returns the last of them. */
static const struct tidy_entry *write_columns(struct writer *writer, const struct tidy_entry *item,
                                              size_t count, const struct cells *columns,
                                              struct key_level level, size_t indent)
{
    for (size_t i = 0; i < count; i++) {
        struct cells cells;
        cells_of(writer, item, level, &cells);
        if (i)
            add_blanks(writer, indent);
        buffer_add_text(writer->out, "- ");
        write_row(writer, columns, &cells);
        write_comment(writer, item->comment);
        end_line(writer);
        if (i + 1 < count)
            item = item->next;
    }
    return item;
}

static void write_list(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent, bool on_line)
{
    for (const struct tidy_entry *item = node->first; item; item = item->next) {
        bool first = item == node->first;
        if (!first || !on_line) {
            write_lead(writer, item, indent, first, is_spaced(item->value, level));
            write_first_lead(writer, item, level, indent);
            add_blanks(writer, indent);
        }
        struct cells columns = {0};
        size_t count = find_columns(writer, item, level, indent, &columns);
        if (count > 1) {
            item = write_columns(writer, item, count, &columns, level, indent);
            continue;
        }
        buffer_add_text(writer->out, "-");
        write_value(writer, item, level, indent);
    }
}

static void write_map(struct writer *writer, const struct tidy_node *node, struct key_level level,
                      size_t indent, bool on_line)
{
    struct tidy_entry **entries = ordered(writer, node, level);
    for (size_t i = 0; i < node->count; i++) {
        struct key_level under = key_level_under(level, key_of(entries[i]));
        if (i || !on_line) {
            write_lead(writer, entries[i], indent, i == 0, is_spaced(entries[i]->value, under));
            add_blanks(writer, indent);
        }
        add_stretch(writer, entries[i]->key->text);
        buffer_add_text(writer->out, ":");
        write_value(writer, entries[i], under, indent);
    }
}

/* A list or map whose first line has begun if it is `on_line`. */
static void write_node(struct writer *writer, const struct tidy_node *node, struct key_level level,
                       size_t indent, bool on_line)
{
    bool first = false;
    if (node->kind == TIDY_MAP)
        write_map(writer, node, level, indent, on_line);
    else
        write_list(writer, node, level, indent, on_line);
    write_lines(writer, &node->foot, indent, &first);
}

/* ---- the file ------------------------------------------------------------------------------- */

static void split_leads(struct writer *writer, const struct tidy_node *node, bool begins_file)
{
    for (struct tidy_entry *entry = node->first; entry; entry = entry->next) {
        split_lead(writer, entry, begins_file && entry == node->first);
        split_leads(writer, entry->value, false);
    }
}

static void write_file(struct writer *writer, const struct tidy_file *file, bool course)
{
    bool first = true;
    if (file->head.length) {
        add_stretch(writer, file->head);
        end_line(writer);
    }
    split_leads(writer, file->root, true);
    if (file->root->flow) {
        write_lines(writer, &file->lead, 0, &first);
        write_leaf(writer, file->root, key_level_of_file(course), 0);
        write_comment(writer, file->comment);
        end_line(writer);
        write_lines(writer, &file->foot, 0, &first);
    } else {
        write_node(writer, file->root, key_level_of_file(course), 0, false);
    }
    if (file->end.length) {
        add_stretch(writer, file->end);
        end_line(writer);
    }
}

void tidy_write(struct tidy_file *file, bool course, struct arena *arena, struct buffer *out)
{
    struct writer writer = {arena, out};
    write_file(&writer, file, course);
}

/* Lines end as the file's first one does. */
static void add_with_line_ends(const struct buffer *text, struct read_source source,
                               struct buffer *out)
{
    const char *end = memchr(source.bytes, '\n', source.length);
    bool pair = end && end > source.bytes && end[-1] == '\r';
    for (size_t i = 0; i < text->length; i++) {
        char byte = text->bytes[i];
        if (byte == '\r')
            continue;
        if (byte == '\n' && pair)
            buffer_add(out, "\r", 1);
        buffer_add(out, &byte, 1);
    }
}

bool read_tidy(struct read_source source, bool course, struct buffer *out)
{
    struct tidy_file file;
    struct buffer text = {0};
    struct arena *arena = arena_new();
    struct read_source unmarked = read_without_mark(source);
    bool good = tidy_parse(unmarked, arena, &file);
    if (good) {
        tidy_write(&file, course, arena, &text);
        buffer_add(out, source.bytes, source.length - unmarked.length);
        add_with_line_ends(&text, unmarked, out);
    }
    buffer_release(&text);
    arena_free(arena);
    return good;
}
