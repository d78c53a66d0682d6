#include "layout/labels.h"

static struct short_label measure(const struct metrics *metrics, enum text_style style,
                                  const char *text)
{
    label_id label = metrics_label(metrics, style, text, strlen(text));
    return (struct short_label){.label = label,
                                .ink = metrics_of_label(metrics, label)->ink,
                                .centre = metrics->label_centre(metrics->self, label)};
}

/* Most texts have one to three letters. */
static uint64_t hash_of(enum text_style style, const char *text)
{
    uint64_t letters = style;
    for (; *text; text++)
        letters = letters << 8 ^ letters >> 56 ^ (unsigned char)*text;
    return hash_number(letters);
}

const struct short_label *label_short(struct label_cache *cache, const struct metrics *metrics,
                                      enum text_style style, const char *text)
{
    uint64_t hash = hash_of(style, text);
    struct table_search search = table_search(&cache->table, hash);
    for (size_t i; table_next(&search, &i);) {
        const struct cached_label *cached = &cache->labels.items[i];
        if (cached->style == style && (cached->text == text || strcmp(cached->text, text) == 0))
            return &cached->label;
    }
    table_add(&cache->table, hash, cache->labels.count, NULL);
    struct cached_label *added = vector_push(&cache->labels, NULL);
    *added = (struct cached_label){text, style, measure(metrics, style, text)};
    return &added->label;
}

void label_cache_release(struct label_cache *cache)
{
    table_release(&cache->table);
    vector_release(&cache->labels);
}
