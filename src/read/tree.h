#ifndef RATAMARK_READ_TREE_H
#define RATAMARK_READ_TREE_H
/*
 * A YAML document as a tree on the arena: maps, lists and scalars, each with its place. Scalars are
 * text: YAML's own types are not applied, so `on`, `4/4` and `1e3` stay as they are written.
 */
#include "read/reader_int.h"

enum node_kind {
    NODE_SCALAR,
    NODE_LIST,
    NODE_MAP,
    NODE_UNUSABLE /* already reported */
};

struct node {
    struct place at;
    uint32_t length;               /* scalar: bytes; list: items; map: pairs */
    uint32_t end_line, end_column; /* scalar: just behind it */
    uint8_t kind;                  /* enum node_kind */
    uint8_t style;                 /* scalar: enum text_style */
    bool direct : 1;               /* scalar: as in struct text */
    bool literal : 1;              /* scalar: a `|` block, which keeps its line ends */
    uint8_t known_row;             /* key: 1 + its row in the longest table; 0: not there */
    union {
        const char *bytes;  /* scalar: ends in a '\0' */
        struct node *first; /* list: items; map: key, value, key, value ... */
    };
    struct node *next;
};

/*
 * Parses the reader's source. NULL if there is no document. Reports YAML errors, and parts of YAML
 * that lessons do not support: anchors, aliases, tags, directives, second documents. If an error
 * ends the parsing, returns what came before it and sets reader->cut_short.
 */
struct node *tree_parse(struct reader *reader);

/* A key without a value. An empty text in quotes is a value. */
static inline bool node_is_empty(const struct node *node)
{
    return node->kind == NODE_SCALAR && node->length == 0 && node->style == TEXT_PLAIN;
}

/* Whether a map has this key. */
bool node_has_key(const struct node *map, const char *name);

/* A scalar's text. It lives on the scratch arena. */
const struct text *node_text(struct reader *reader, const struct node *node);

/* "a map", "a list", "text". */
const char *node_kind_word(const struct node *node);

#endif
