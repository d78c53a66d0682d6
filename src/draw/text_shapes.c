#include "draw/text_shapes.h"

#include "base/arena.h"

#include <string.h>

/* Longer texts are lines of paragraphs, which seldom come again. Half of the slots are used. */
enum { LENGTH_MOST = 48, SLOTS = 2048 };

struct text_shapes {
    struct arena *arena;
    size_t count;
    struct text_shape *slots[SLOTS]; /* open addressing; NULL: free */
};

struct text_shapes *text_shapes_new(void)
{
    struct text_shapes *shapes = memory_alloc(sizeof *shapes);
    *shapes = (struct text_shapes){.arena = arena_new()};
    return shapes;
}

void text_shapes_free(struct text_shapes *shapes)
{
    if (!shapes)
        return;
    arena_free(shapes->arena);
    memory_free(shapes);
}

/* FNV-1a over the text; the same text in another font comes soon after. */
static size_t slot_first(const char *text, size_t length)
{
    uint32_t hash = 2166136261u;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ (unsigned char)text[i]) * 16777619u;
    return (hash ^ hash >> 16) % SLOTS;
}

/* The slot that holds the text, or the free one where it belongs. */
static size_t slot_of(const struct text_shapes *shapes, const void *font, const char *text,
                      size_t length)
{
    for (size_t at = slot_first(text, length);; at = (at + 1) % SLOTS) {
        const struct text_shape *shape = shapes->slots[at];
        if (!shape || (shape->font == font && shape->length == length &&
                       memcmp(shape->text, text, length) == 0))
            return at;
    }
}

struct text_shape *text_shapes_find(const struct text_shapes *shapes, const void *font,
                                    const char *text, size_t length)
{
    return length > LENGTH_MOST ? NULL : shapes->slots[slot_of(shapes, font, text, length)];
}

static void forget_all(struct text_shapes *shapes)
{
    arena_reset(shapes->arena);
    memset(shapes->slots, 0, sizeof shapes->slots);
    shapes->count = 0;
}

void text_shapes_keep(struct text_shapes *shapes, const struct text_shape *shape)
{
    if (shape->length > LENGTH_MOST)
        return;
    if (shapes->count == SLOTS / 2)
        forget_all(shapes);
    size_t slot = slot_of(shapes, shape->font, shape->text, shape->length);
    if (shapes->slots[slot])
        return;
    struct text_glyph *glyphs = arena_array(shapes->arena, shape->count, sizeof *glyphs);
    if (shape->count)
        memcpy(glyphs, shape->glyphs, shape->count * sizeof *glyphs);
    struct text_shape *kept = arena_alloc(shapes->arena, sizeof *kept);
    *kept = *shape;
    kept->text = arena_copy_text(shapes->arena, shape->text, shape->length);
    kept->glyphs = glyphs;
    shapes->slots[slot] = kept;
    shapes->count++;
}
