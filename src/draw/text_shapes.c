#include "draw/text_shapes.h"

#include "base/table.h"
#include "base/vector.h"

#include <math.h>

/* Longer texts are lines of paragraphs, which seldom come again. */
enum { LENGTH_MOST = 48, SHAPES_MOST = 1024 };

struct text_shapes {
    struct arena *arena;
    struct table table; /* by text: the same one in another font comes soon after */
    VECTOR(struct text_shape) items;
};

struct text_shapes *text_shapes_new(void)
{
    struct text_shapes *shapes = memory_alloc(sizeof *shapes);
    *shapes = (struct text_shapes){.arena = arena_new()};
    return shapes;
}

void text_shapes_free(struct text_shapes *shapes)
{
    arena_free(shapes->arena);
    memory_free(shapes);
}

struct text_shape *text_shapes_find(const struct text_shapes *shapes, const void *font,
                                    const char *text, size_t length)
{
    if (length > LENGTH_MOST)
        return NULL;
    struct table_search search = table_search(&shapes->table, hash_bytes(text, length));
    for (size_t i; table_next(&search, &i);) {
        struct text_shape *shape = &shapes->items.items[i];
        if (shape->font == font && shape->stretch.length == length &&
            memcmp(shape->stretch.text, text, length) == 0)
            return shape;
    }
    return NULL;
}

void text_shapes_keep(struct text_shapes *shapes, const void *font,
                      const struct text_stretch *stretch)
{
    if (stretch->length > LENGTH_MOST)
        return;
    if (shapes->items.count == SHAPES_MOST) {
        arena_reset(shapes->arena);
        *shapes = (struct text_shapes){.arena = shapes->arena};
    }
    struct text_glyph *glyphs = arena_array(shapes->arena, stretch->count, sizeof *glyphs);
    if (stretch->count)
        memcpy(glyphs, stretch->glyphs, stretch->count * sizeof *glyphs);
    struct text_shape shape = {.font = font, .stretch = *stretch, .balance = NAN};
    shape.stretch.text = arena_copy_text(shapes->arena, stretch->text, stretch->length);
    shape.stretch.glyphs = glyphs;
    table_add(&shapes->table, hash_bytes(stretch->text, stretch->length), shapes->items.count,
              shapes->arena);
    *vector_push(&shapes->items, shapes->arena) = shape;
}
