#include "fake_metrics.h"

#include "base/arena.h"
#include "base/vector.h"

#include <string.h>

struct fake_label {
    const char *text;
    enum text_style style;
    sp em;
    struct label_metrics metrics;
};

struct fake_metrics {
    struct arena *arena;
    struct glyph_metrics glyphs[GLYPH_COUNT];
    struct extent extents[GLYPH_COUNT * 2 * GLYPH_SLICES_MAX];
    size_t extent_count;
    double space_mm;
    int staff_size;
    VECTOR(struct fake_label) labels;
    VECTOR(label_id) lines;
};

/* Proportions close to those of the music face (fonts/face.json). */
static const struct engraving_defaults defaults = {.staff_line = 120,
                                                   .stem = 120,
                                                   .beam = 500,
                                                   .beam_gap = 250,
                                                   .leger = 160,
                                                   .leger_extension = 350,
                                                   .thin_bar = 160,
                                                   .thick_bar = 500,
                                                   .bar_separation = 400,
                                                   .repeat_dot_separation = 200,
                                                   .tuplet_bracket = 130,
                                                   .hairpin = 140,
                                                   .tie_end = 100,
                                                   .tie_middle = 220};

static const struct {
    enum glyph first, last;
    struct box ink;
} boxes[] = {
    {GLYPH_HEAD_WHOLE, GLYPH_HEAD_PLUS_BLACK, {0, -500, 1180, 500}},
    {GLYPH_PARENTHESIS_LEFT, GLYPH_PARENTHESIS_RIGHT, {0, -650, 300, 650}},
    {GLYPH_CLEF_PERCUSSION, GLYPH_CLEF_PERCUSSION, {0, -1000, 1400, 1000}},
    {GLYPH_METER_0, GLYPH_METER_PLUS, {40, -1000, 1360, 1000}},
    {GLYPH_REST_WHOLE, GLYPH_REST_WHOLE, {0, 0, 1200, 500}},
    {GLYPH_REST_HALF, GLYPH_REST_HALF, {0, -500, 1200, 0}},
    {GLYPH_REST_QUARTER, GLYPH_REST_QUARTER, {0, -1400, 1000, 1400}},
    {GLYPH_REST_8, GLYPH_REST_8, {0, -700, 1000, 1000}},
    {GLYPH_REST_16, GLYPH_REST_16, {0, -700, 1200, 2000}},
    {GLYPH_REST_32, GLYPH_REST_32, {0, -1700, 1300, 2000}},
    {GLYPH_REST_64, GLYPH_REST_64, {0, -1700, 1400, 3000}},
    {GLYPH_FLAG_8_UP, GLYPH_FLAG_64_DOWN, {0, 0, 1000, 3200}},
    {GLYPH_AUGMENTATION_DOT, GLYPH_AUGMENTATION_DOT, {0, -200, 400, 200}},
    {GLYPH_ACCENT_ABOVE, GLYPH_ACCENT_ABOVE, {0, -900, 1300, 0}},
    {GLYPH_ACCENT_BELOW, GLYPH_ACCENT_BELOW, {0, 0, 1300, 900}},
    {GLYPH_STRONG_ACCENT_ABOVE, GLYPH_STRONG_ACCENT_ABOVE, {0, -1000, 1000, 0}},
    {GLYPH_STRONG_ACCENT_BELOW, GLYPH_STRONG_ACCENT_BELOW, {0, 0, 1000, 1000}},
    {GLYPH_STEM_SLASH_1, GLYPH_BUZZ, {-500, -400, 500, 400}},
    {GLYPH_OPEN, GLYPH_CLOSED, {0, -400, 800, 400}},
    {GLYPH_REPEAT_1_BAR, GLYPH_REPEAT_2_BARS, {0, -1000, 2000, 1000}},
    {GLYPH_REPEAT_DOT, GLYPH_REPEAT_DOT, {0, -200, 400, 200}},
    {GLYPH_DYNAMIC_P, GLYPH_DYNAMIC_Z, {0, -1100, 1300, 500}},
    {GLYPH_NOTE_WHOLE, GLYPH_NOTE_32, {0, -3200, 1300, 500}},
    {GLYPH_NOTE_DOT, GLYPH_NOTE_DOT, {0, -200, 400, 200}},
    {GLYPH_TUPLET_0, GLYPH_TUPLET_COLON, {0, -1400, 1000, 0}},
};

static bool is_head(enum glyph glyph)
{
    return glyph >= GLYPH_HEAD_WHOLE && glyph <= GLYPH_HEAD_PLUS_BLACK;
}

static struct glyph_metrics glyph_of(enum glyph glyph)
{
    struct glyph_metrics metrics = {.present = true};
    for (size_t i = 0; i < sizeof boxes / sizeof *boxes; i++)
        if (glyph >= boxes[i].first && glyph <= boxes[i].last)
            metrics.ink = boxes[i].ink;
    metrics.advance = metrics.ink.right + (metrics.ink.left > 0 ? metrics.ink.left : 0);
    if (glyph >= GLYPH_FLAG_8_UP && glyph <= GLYPH_FLAG_64_DOWN &&
        (glyph - GLYPH_FLAG_8_UP) % 2 == 1)
        metrics.ink = (struct box){0, -3200, 1000, 0};
    if (is_head(glyph)) {
        metrics.stem_up_se = (struct point){metrics.ink.right, -170};
        metrics.stem_down_nw = (struct point){metrics.ink.left, 170};
    }
    return metrics;
}

/* A box has the same extent in all of its slices. */
static struct slices slices_of(struct fake_metrics *fake, sp from, sp to, sp low, sp high)
{
    int first = (from - GLYPH_SLICE + 1) / GLYPH_SLICE, end = (to + GLYPH_SLICE - 1) / GLYPH_SLICE;
    first = from >= 0 ? from / GLYPH_SLICE : first;
    struct slices slices = {(uint16_t)fake->extent_count, (int8_t)first, (uint8_t)(end - first)};
    for (int i = first; i < end; i++)
        fake->extents[fake->extent_count++] = (struct extent){(int16_t)low, (int16_t)high};
    return slices;
}

static void slice(struct fake_metrics *fake, struct glyph_metrics *metrics)
{
    const struct box *ink = &metrics->ink;
    metrics->rows = slices_of(fake, ink->top - GLYPH_ROW_PAD, ink->bottom + GLYPH_ROW_PAD,
                              ink->left, ink->right);
    metrics->columns = slices_of(fake, ink->left, ink->right, ink->top, ink->bottom);
}

struct fake_metrics *fake_metrics_new(double space_mm)
{
    struct arena *arena = arena_new();
    struct fake_metrics *fake = arena_alloc(arena, sizeof *fake);
    fake->arena = arena;
    fake->space_mm = space_mm;
    fake->staff_size = 1000;
    for (int glyph = 1; glyph < GLYPH_COUNT; glyph++) {
        fake->glyphs[glyph] = glyph_of((enum glyph)glyph);
        slice(fake, &fake->glyphs[glyph]);
    }
    return fake;
}

void fake_metrics_free(struct fake_metrics *fake)
{
    if (fake)
        arena_free(fake->arena);
}

static size_t characters(const char *text, size_t length)
{
    size_t count = 0;
    for (size_t i = 0; i < length; i++)
        count += ((unsigned char)text[i] & 0xC0) != 0x80;
    return count;
}

static sp em_of(const struct fake_metrics *fake, enum text_style style)
{
    return (sp)(text_style_mm(style, fake->space_mm, fake->staff_size) * 1000 / fake->space_mm);
}

/* A character is half an em wide, narrower in a condensed style; its ink a twentieth in from each
   side. */
static sp width_of(const struct fake_metrics *fake, enum text_style style, size_t count)
{
    sp em = em_of(fake, style);
    double width = text_style(style)->width;
    return (sp)count * (width > 0 ? (sp)(em * width / 2) : em / 2);
}

static label_id fake_label(void *self, enum text_style style, const char *text, size_t length)
{
    struct fake_metrics *fake = self;
    sp em = em_of(fake, style), advance = width_of(fake, style, characters(text, length));
    for (size_t i = 0; i < fake->labels.count; i++) {
        const struct fake_label *label = &fake->labels.items[i];
        if (label->style == style && label->em == em && strlen(label->text) == length &&
            memcmp(label->text, text, length) == 0)
            return (label_id)i;
    }
    struct fake_label *label = vector_push(&fake->labels, fake->arena);
    label->text = arena_copy_text(fake->arena, text, length);
    label->style = style;
    label->em = em;
    label->metrics = (struct label_metrics){.advance = advance,
                                            .ascent = em,
                                            .descent = em * 3 / 10,
                                            .ink = {em / 20, -em * 7 / 10, advance - em / 20, 0}};
    if (!length)
        label->metrics.ink = (struct box){0, 0, -1, -1};
    return (label_id)(fake->labels.count - 1);
}

static void fake_staff_size(void *self, int size)
{
    ((struct fake_metrics *)self)->staff_size = size;
}

static const struct label_metrics *fake_label_metrics(void *self, label_id label)
{
    return &((struct fake_metrics *)self)->labels.items[label].metrics;
}

static sp fake_label_centre(void *self, label_id label)
{
    const struct box *ink = &fake_label_metrics(self, label)->ink;
    return (ink->left + ink->right) / 2;
}

/* The part of a word that fits, a character at least. */
static size_t part_length(const struct fake_metrics *fake, enum text_style style, const char *text,
                          size_t length, sp width)
{
    size_t best = 0;
    for (size_t at = 1; at <= length; at++) {
        if (at < length && (text[at] & 0xC0) == 0x80)
            continue; /* inside a character */
        if (best && width_of(fake, style, characters(text, at)) > width)
            break;
        best = at;
    }
    return best;
}

/* Words as long as they fit; a longer one is parted. */
static size_t line_length(const struct fake_metrics *fake, enum text_style style, const char *text,
                          size_t length, sp width)
{
    size_t best = 0;
    for (size_t at = 1; at <= length; at++) {
        if (at < length && text[at] != ' ')
            continue;
        if (width_of(fake, style, characters(text, at)) > width)
            return best ? best : part_length(fake, style, text, at, width);
        best = at;
    }
    return best;
}

static size_t fake_wrap(void *self, enum text_style style, const char *text, size_t length,
                        sp width, const label_id **lines)
{
    struct fake_metrics *fake = self;
    fake->lines.count = 0;
    while (length) {
        size_t line = line_length(fake, style, text, length, width);
        *vector_push(&fake->lines, fake->arena) = fake_label(fake, style, text, line);
        for (text += line, length -= line; length && *text == ' '; length--)
            text++;
    }
    *lines = fake->lines.items;
    return fake->lines.count;
}

struct metrics fake_metrics_of(struct fake_metrics *fake)
{
    return (struct metrics){.self = fake,
                            .defaults = &defaults,
                            .glyphs = fake->glyphs,
                            .extents = fake->extents,
                            .space_mm = fake->space_mm,
                            .staff_size = fake_staff_size,
                            .label = fake_label,
                            .label_metrics = fake_label_metrics,
                            .label_centre = fake_label_centre,
                            .wrap = fake_wrap};
}

const char *fake_label_text(void *self, label_id label)
{
    return ((struct fake_metrics *)self)->labels.items[label].text;
}
