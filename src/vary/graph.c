#include "vary/graph.h"

#include "base/table.h"

struct edge {
    uint32_t letter, to; /* the node, in the next layer */
};

struct node {
    uint64_t state;
    uint32_t first; /* of its edges; they end where those of the next node begin */
};

struct graph {
    struct arena *arena;
    size_t columns;
    VECTOR(struct node) nodes; /* layer by layer */
    VECTOR(struct edge) edges;
    uint32_t *layers; /* where each begins, and where the last one ends */
    mpz_t *counts;    /* of words from each node on */
};

static uint32_t node_of(struct graph *graph, struct table *known, uint64_t state)
{
    struct table_search search = table_search(known, hash_number(state));
    for (size_t i; table_next(&search, &i);)
        if (graph->nodes.items[i].state == state)
            return (uint32_t)i;
    size_t number = graph->nodes.count;
    table_add(known, hash_number(state), number, graph->arena);
    *vector_push(&graph->nodes, graph->arena) = (struct node){state, 0};
    return (uint32_t)number;
}

/* The edges out of a layer, and the layer behind it. False if they are too many. */
static bool add_layer(struct graph *graph, const struct machine *machine, size_t column)
{
    struct table known = {0};
    uint32_t begin = graph->layers[column], end = (uint32_t)graph->nodes.count;
    graph->layers[column + 1] = end;
    struct letters letters = {0};
    for (uint32_t n = begin; n < end; n++) {
        letters.count = 0;
        machine->read(machine->closure, column, graph->nodes.items[n].state, &letters);
        graph->nodes.items[n].first = (uint32_t)graph->edges.count;
        for (size_t i = 0; i < letters.count; i++) {
            uint32_t to = node_of(graph, &known, letters.items[i].next);
            *vector_push(&graph->edges, graph->arena) = (struct edge){letters.items[i].letter, to};
        }
        if (graph->edges.count > GRAPH_EDGES_MAX)
            break;
    }
    vector_release(&letters);
    return graph->edges.count <= GRAPH_EDGES_MAX;
}

static uint32_t edges_end(const struct graph *graph, uint32_t node)
{
    return node + 1 < graph->nodes.count ? graph->nodes.items[node + 1].first
                                         : (uint32_t)graph->edges.count;
}

static void count_words(struct graph *graph, const struct machine *machine)
{
    size_t count = graph->nodes.count;
    graph->counts = arena_array(graph->arena, count, sizeof *graph->counts);
    for (size_t n = 0; n < count; n++)
        mpz_init(graph->counts[n]);
    for (uint32_t n = (uint32_t)count; n-- > 0;) {
        if (n >= graph->layers[graph->columns])
            mpz_set_ui(graph->counts[n],
                       machine->accepts(machine->closure, graph->nodes.items[n].state));
        for (uint32_t e = graph->nodes.items[n].first; e < edges_end(graph, n); e++)
            mpz_add(graph->counts[n], graph->counts[n], graph->counts[graph->edges.items[e].to]);
    }
}

struct graph *graph_new(const struct machine *machine)
{
    struct arena *arena = arena_new();
    struct graph *graph = arena_alloc(arena, sizeof *graph);
    graph->arena = arena;
    graph->columns = machine->columns;
    graph->layers = arena_array(arena, machine->columns + 2, sizeof *graph->layers);
    *vector_push(&graph->nodes, arena) = (struct node){machine->start, 0};
    bool good = true;
    for (size_t column = 0; good && column < machine->columns; column++)
        good = add_layer(graph, machine, column);
    if (!good) {
        arena_free(arena);
        return NULL;
    }
    for (size_t n = graph->layers[graph->columns]; n < graph->nodes.count; n++)
        graph->nodes.items[n].first = (uint32_t)graph->edges.count;
    count_words(graph, machine);
    return graph;
}

void graph_free(struct graph *graph)
{
    if (!graph)
        return;
    for (size_t n = 0; n < graph->nodes.count; n++)
        mpz_clear(graph->counts[n]);
    arena_free(graph->arena);
}

const mpz_t *graph_count(const struct graph *graph)
{
    return (const mpz_t *)&graph->counts[0];
}

void graph_word(const struct graph *graph, const mpz_t number, uint32_t *letters)
{
    uint32_t node = 0;
    mpz_t rest;
    mpz_init_set(rest, number);
    for (size_t column = 0; column < graph->columns; column++) {
        uint32_t e = graph->nodes.items[node].first;
        while (mpz_cmp(rest, graph->counts[graph->edges.items[e].to]) >= 0) {
            mpz_sub(rest, rest, graph->counts[graph->edges.items[e].to]);
            e++;
        }
        letters[column] = graph->edges.items[e].letter;
        node = graph->edges.items[e].to;
    }
    mpz_clear(rest);
}

bool graph_has(const struct graph *graph, const uint32_t *letters)
{
    uint32_t node = 0;
    for (size_t column = 0; column < graph->columns; column++) {
        uint32_t e = graph->nodes.items[node].first, end = edges_end(graph, node);
        while (e < end && graph->edges.items[e].letter != letters[column])
            e++;
        if (e == end)
            return false;
        node = graph->edges.items[e].to;
    }
    return mpz_sgn(graph->counts[node]) > 0;
}

static bool has_letter(const struct letters *letters, uint32_t letter)
{
    for (size_t i = 0; i < letters->count; i++)
        if (letters->items[i].letter == letter)
            return true;
    return false;
}

void graph_letters(const struct graph *graph, size_t column, struct letters *out)
{
    uint32_t end = graph->layers[column + 1];
    for (uint32_t n = graph->layers[column]; n < end; n++)
        for (uint32_t e = graph->nodes.items[n].first; e < edges_end(graph, n); e++)
            if (!has_letter(out, graph->edges.items[e].letter) &&
                mpz_sgn(graph->counts[graph->edges.items[e].to]) > 0)
                letters_add(out, graph->edges.items[e].letter, 0);
}
