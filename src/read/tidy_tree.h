#ifndef RATAMARK_READ_TIDY_TREE_H
#define RATAMARK_READ_TIDY_TREE_H
/*
 * A YAML file as it is spelled: its texts and its comments as stretches of the source, for tidy.c
 * to write again. Anchors, tags and the like are not here: the reader refuses them.
 *
 *     # about the bars               lead of the entry `bars`
 *     bars: # eight                  key_comment
 *       - {kick: 1} # on the one     comment of the item
 *       # the others are silent      foot of the list
 */
#include "base/vector.h"
#include "read/read.h"

/* A stretch of the source. */
struct stretch {
    const char *bytes;
    size_t length;
};

/* A line with nothing but a comment; empty: a blank line, or several. */
struct tidy_line {
    struct stretch text;
    uint32_t column; /* 0-based */
};

struct tidy_lines {
    struct tidy_line *items;
    size_t count, room;
};

enum tidy_kind { TIDY_TEXT, TIDY_LIST, TIDY_MAP };

struct tidy_node {
    enum tidy_kind kind;
    bool flow;            /* in brackets, or in a part of such a list or map */
    bool bare;            /* a pair in a list that has no braces: [1: a, 2: b] */
    bool kept;            /* flow: has comments, so that it stays as it is */
    bool block_text;      /* `|` or `>` */
    char digit;           /* of a block text: how far it is indented; '\0': as its first line is */
    uint8_t style;        /* of a text: what libyaml calls it */
    uint32_t column;      /* where it begins, 0-based */
    uint32_t around;      /* of a block text: the column of the list or map that it is in */
    struct stretch text;  /* of a text or flow node: as it is spelled */
    struct stretch value; /* of a text: what it says, on the arena */
    struct tidy_entry *first;
    size_t count;
    struct tidy_lines foot; /* comments behind the last entry */
};

/* A pair of a map, or an item of a list. */
struct tidy_entry {
    struct tidy_node *key; /* NULL: an item */
    struct tidy_node *value;
    struct tidy_lines divider; /* comments that head what follows, not this entry alone */
    struct tidy_lines lead;    /* the lines above it */
    struct stretch
        key_comment;           /* behind the colon or the dash, where the value is on other lines */
    struct tidy_lines between; /* the lines from there to a value that is a text or a flow node */
    struct stretch comment;    /* behind the value */
    bool value_below;          /* the value begins on another line */
    bool breaks;               /* flow: begins a line */
    bool colon;                /* flow: the key has one */
    struct tidy_entry *next;
};

struct tidy_file {
    struct stretch head, end;     /* up to `---`, and from `...` on; usually empty */
    struct tidy_lines lead, foot; /* of a root in brackets: the lines above and below it */
    struct stretch comment;       /* of such a root */
    struct tidy_node *root;
};

/* The file, on the arena. False if it has something that cannot be taken apart, such as `? key`. */
bool tidy_parse(struct read_source source, struct arena *arena, struct tidy_file *file);

/* tidy.c: adds the file in the house's layout. */
struct buffer;
void tidy_write(struct tidy_file *file, bool course, struct arena *arena, struct buffer *out);

#endif
