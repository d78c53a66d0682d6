#ifndef RATAMARK_READ_SCHEMA_BESIDE_H
#define RATAMARK_READ_SCHEMA_BESIDE_H
/* Keys that cannot stand beside each other, for the JSON Schema. */
#include <jansson.h>

/* Adds to the shape of a map of all_table at one level what its keys exclude and need. */
void schema_add_beside(json_t *map, unsigned where);
/* A pickup: a bar with a rhythm and without signs in place of its notes. */
json_t *schema_pickup(void);

/* What a `vary` needs, and what its keys exclude. */
void schema_add_vary(json_t *map);

#endif
