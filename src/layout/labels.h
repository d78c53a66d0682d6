#ifndef RATAMARK_LAYOUT_LABELS_H
#define RATAMARK_LAYOUT_LABELS_H
/* Letters and syllables come by the ten thousand, few of them different: each is measured once. */
#include "base/table.h"
#include "base/vector.h"
#include "model/metrics.h"

struct short_label {
    label_id label;
    struct box ink; /* from the origin */
    sp centre;      /* for the eye */
};

struct cached_label {
    const char *text;
    enum text_style style;
    struct short_label label;
};

/* `struct label_cache cache = {0};` is empty. */
struct label_cache {
    struct table table;
    VECTOR(struct cached_label) labels;
};

/* Valid until the next call. `text` must last as long as the cache. */
const struct short_label *label_short(struct label_cache *cache, const struct metrics *metrics,
                                      enum text_style style, const char *text);
void label_cache_release(struct label_cache *cache);

/* The text of a stroke's letter. */
static inline const char *letter_text(uint8_t letter)
{
    switch (letter) {
    case 'R':
        return "R";
    case 'L':
        return "L";
    case 'K':
        return "K";
    case 'H':
        return "H";
    default:
        return "B";
    }
}

#endif
