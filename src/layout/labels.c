#include "layout/layout_int.h"

#include <string.h>

enum { FIRST_ROOM = 256, KEY_BYTES = 7 };

/* Up to seven bytes of text and the style, packed: equal keys are equal labels. 0: too long. */
static uint64_t key_of(enum text_style style, const char *text)
{
    uint64_t key = 0;
    size_t length = 0;
    for (; text[length]; length++) {
        if (length == KEY_BYTES)
            return 0;
        key = key << 8 | (unsigned char)text[length];
    }
    return key << 8 | ((uint64_t)style + 1);
}

static size_t slot_of(const struct label_cache *cache, uint64_t key)
{
    /* Multiplying by 2^64 over the golden ratio spreads neighbouring keys (Knuth, vol. 3). */
    size_t slot = (size_t)((key * 0x9E3779B97F4A7C15u) >> 32) & (cache->room - 1);
    while (cache->slots[slot].key && cache->slots[slot].key != key)
        slot = (slot + 1) & (cache->room - 1);
    return slot;
}

static void cache_grow(struct label_cache *cache)
{
    struct label_cache wider = {.room = cache->room ? cache->room * 2 : FIRST_ROOM};
    wider.slots = memory_alloc(wider.room * sizeof *wider.slots);
    memset(wider.slots, 0, wider.room * sizeof *wider.slots);
    for (size_t i = 0; i < cache->room; i++)
        if (cache->slots[i].key)
            wider.slots[slot_of(&wider, cache->slots[i].key)] = cache->slots[i];
    wider.count = cache->count;
    memory_free(cache->slots);
    *cache = wider;
}

static void measure(struct short_label *slot, const struct metrics *metrics, enum text_style style,
                    const char *text)
{
    slot->label = metrics_label(metrics, style, text, strlen(text));
    const struct label_metrics *found = metrics_of_label(metrics, slot->label);
    slot->left = found->ink.left;
    slot->right = found->ink.right;
    slot->top = found->ink.top;
    slot->bottom = found->ink.bottom;
    slot->centre = metrics->label_centre(metrics->self, slot->label);
}

static const struct short_label *label_by_text(struct label_cache *cache,
                                               const struct metrics *metrics, enum text_style style,
                                               const char *text)
{
    if (cache->count * 2 >= cache->room)
        cache_grow(cache);
    uint64_t key = key_of(style, text);
    if (!key) {
        measure(&cache->long_text, metrics, style, text);
        return &cache->long_text;
    }
    struct short_label *slot = &cache->slots[slot_of(cache, key)];
    if (!slot->key) {
        slot->key = key;
        cache->count++;
        measure(slot, metrics, style, text);
    }
    return slot;
}

const struct short_label *label_short(struct label_cache *cache, const struct metrics *metrics,
                                      enum text_style style, const char *text)
{
    uintptr_t mixed = (uintptr_t)text ^ ((uintptr_t)text >> 7) ^ ((uintptr_t)style << 3);
    struct short_label_place *place = &cache->places[mixed % LABEL_PLACES];
    if (place->text != text || place->style != style) {
        place->text = text;
        place->style = (uint8_t)style;
        place->label = *label_by_text(cache, metrics, style, text);
    }
    return &place->label;
}

const char *letter_text(uint8_t letter)
{
    return letter == 'R' ? "R" : letter == 'L' ? "L" : "B";
}

void label_cache_release(struct label_cache *cache)
{
    memory_free(cache->slots);
}
