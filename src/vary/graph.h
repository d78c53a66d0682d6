#ifndef RATAMARK_VARY_GRAPH_H
#define RATAMARK_VARY_GRAPH_H
/*
 * Words of a fixed length that a machine accepts, counted without being listed. The machine reads
 * one letter for each column and is deterministic: equal words take it through equal states. So the
 * number of words from a state on is the sum over its letters, column by column from the end, and a
 * word is found by its number as it is in a dictionary (Knuth, The Art of Computer Programming,
 * vol. 4A, 7.2.1). Numbers are exact, of any size.
 */
#include "base/vector.h"

#include <gmp.h>
#include <stdbool.h>
#include <stdint.h>

struct letters {
    struct letter {
        uint32_t letter;
        uint64_t next; /* the state that it leads to */
    } * items;
    size_t count, room;
};

struct machine {
    size_t columns;
    uint64_t start;
    /* Adds each letter that the machine can read there, once. */
    void (*read)(void *closure, size_t column, uint64_t state, struct letters *out);
    bool (*accepts)(const void *closure, uint64_t state);
    void *closure;
};

static inline void letters_add(struct letters *letters, uint32_t letter, uint64_t next)
{
    *vector_push(letters, NULL) = (struct letter){letter, next};
}

enum { GRAPH_EDGES_MAX = 1000000 };

struct graph;
/* On the heap. NULL if it would have too many edges. */
struct graph *graph_new(const struct machine *machine);
void graph_free(struct graph *graph);
/* How many words there are. */
const mpz_t *graph_count(const struct graph *graph);
/* The word of a number, below the count. */
void graph_word(const struct graph *graph, const mpz_t number, uint32_t *letters);
bool graph_has(const struct graph *graph, const uint32_t *letters);
/* Adds the letters that some word has in a column, each once. */
void graph_letters(const struct graph *graph, size_t column, struct letters *out);

#endif
