#ifndef RATAMARK_READ_TREE_H
#define RATAMARK_READ_TREE_H
/*
 * A YAML document as a light tree on the arena: maps, lists and scalars as text, each with its
 * place. Values are never typed by YAML's rules: `on`, `4/4` and `1e3` mean what they say.
 */
#include "read/reader_int.h"

enum node_kind {
    NODE_SCALAR,
    NODE_LIST,
    NODE_MAP,
    NODE_UNUSABLE /* reported: nothing more is to be said of it */
};

struct node {
    struct place at;
    uint32_t length; /* scalar: bytes; list: items; map: pairs */
    uint8_t kind;    /* enum node_kind */
    uint8_t style;   /* scalar: enum text_style */
    bool direct;     /* scalar: as in struct text */
    bool literal;    /* scalar: a `|` block, whose line ends are kept */
    union {
        const char *bytes;  /* scalar: NUL-ended */
        struct node *first; /* list: items; map: key, value, key, value ... */
    };
    struct node *next;
};

/*
 * Parses the reader's source. NULL where it holds no document. Errors of YAML and uses of YAML that
 * a lesson has none of (anchors, aliases, tags, directives, second documents) are reported; after
 * an error that ends the parsing, what was read before it is returned and reader->cut_short is set.
 */
struct node *tree_parse(struct reader *reader);

/* A scalar with nothing written in it. */
static inline bool node_is_empty(const struct node *node)
{
    return node->kind == NODE_SCALAR && node->length == 0 && node->style == TEXT_PLAIN;
}

/* Whether a map has this key. */
bool node_has_key(const struct node *map, const char *name);

/* A scalar's text; lives as long as the reader's scratch. */
const struct text *node_text(struct reader *reader, const struct node *node);

/* "a map", "a list", "text". */
const char *node_kind_word(const struct node *node);

#endif
