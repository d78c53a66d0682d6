#include "layout/layout_int.h"

static void chord_add(const struct score *score, const struct metrics *metrics,
                      const struct staff *staff, const struct leaf *leaf, const struct hit *hit,
                      int value_log2, struct chord *chord)
{
    const struct voice *voice = &score->lesson->kit.voices[hit->voice];
    struct chord_head head = {
        .glyph = (uint16_t)head_glyph(voice->head, value_log2),
        .line2 = staff->one_line ? 6 : voice->line2,
        .y = staff_y(staff, voice->line2),
        .ghost = hit->ghost,
        .sign = voice->sign ? voice->sign : leaf->note->marks & MARKS_AT_SIGN,
    };
    const struct box *ink = &metrics->glyphs[head.glyph].ink;
    head.x = -(ink->left + ink->right) / 2;
    int at = chord->count;
    for (; at > 0 && chord->heads[at - 1].line2 > head.line2; at--)
        chord->heads[at] = chord->heads[at - 1];
    chord->heads[at] = head;
    chord->count++;
}

/* Both hands on one drum are one head: the letter says that there are two. Two voices that share a
   place are told by their heads, and stand beside each other. */
static bool chord_has(const struct score *score, const struct staff *staff,
                      const struct chord *chord, const struct hit *hit, int value_log2)
{
    const struct voice *voice = &score->lesson->kit.voices[hit->voice];
    for (int i = 0; i < chord->count; i++)
        if (chord->heads[i].line2 == (staff->one_line ? 6 : voice->line2) &&
            chord->heads[i].glyph == (uint16_t)head_glyph(voice->head, value_log2))
            return true;
    return false;
}

static void chord_add_hits(const struct score *score, const struct metrics *metrics,
                           const struct staff *staff, const struct leaf *leaf, int value_log2,
                           struct chord *chord)
{
    for (int i = 0; i < leaf->note->hit_count && chord->count < CHORD_HEADS_MAX; i++)
        if (!chord_has(score, staff, chord, &leaf->note->hits[i], value_log2))
            chord_add(score, metrics, staff, leaf, &leaf->note->hits[i], value_log2, chord);
}

/* Heads of strokes: where two of them share a stem it stands between their tips, which would else
   run into each other. */
static bool touches_by_tips(enum glyph glyph)
{
    return (glyph >= GLYPH_HEAD_X_WHOLE && glyph <= GLYPH_HEAD_X_BLACK) ||
           (glyph >= GLYPH_HEAD_PLUS_WHOLE && glyph <= GLYPH_HEAD_PLUS_BLACK);
}

/*
 * Heads on one stem: all touch it on the same side, save that of two a step apart the farther from
 * the stem's root stands on its other side.
 *
 *        up:   | o         down:  o |
 *             o|                    |o
 */
static void chord_align(const struct metrics *metrics, struct chord *chord)
{
    sp stem = metrics->defaults->stem;
    int root = chord->up ? 0 : chord->count - 1, step = chord->up ? 1 : -1;
    const struct chord_head *first = &chord->heads[root];
    const struct glyph_metrics *glyph = &metrics->glyphs[first->glyph];
    chord->stem_x =
        first->x + (chord->up ? glyph->stem_up_se.x - stem / 2 : glyph->stem_down_nw.x + stem / 2);
    bool crossed = false;
    for (int i = 1; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[root + i * step];
        int apart = (head->line2 - head[-step].line2) * step;
        crossed = apart < 2 && !crossed;
        glyph = &metrics->glyphs[head->glyph];
        bool right_of_stem = chord->up == crossed;
        head->x = right_of_stem ? chord->stem_x - stem / 2 - glyph->stem_down_nw.x
                                : chord->stem_x + stem / 2 - glyph->stem_up_se.x;
        if (crossed && touches_by_tips(head->glyph))
            head->x += right_of_stem ? stem - HOUSE_TIP_HOLD : HOUSE_TIP_HOLD - stem;
    }
}

/* Parentheses stand outside all of a chord that has heads on both sides of its stem, else close to
   their head. */
static void ghosts_measure(const struct metrics *metrics, struct chord *chord, bool wide)
{
    const struct glyph_metrics *glyphs = metrics->glyphs;
    sp left = chord->left, right = chord->right;
    for (int i = 0; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[i];
        if (!head->ghost)
            continue;
        head->between[0] = (wide ? left : head->left) - HOUSE_GHOST_GAP;
        head->between[1] = (wide ? right : head->right) + HOUSE_GHOST_GAP;
        chord->left =
            sp_min(chord->left, head->between[0] - box_width(glyphs[GLYPH_PARENTHESIS_LEFT].ink));
        chord->right =
            sp_max(chord->right, head->between[1] + box_width(glyphs[GLYPH_PARENTHESIS_RIGHT].ink));
    }
}

static void chord_measure(const struct metrics *metrics, struct chord *chord)
{
    const struct glyph_metrics *glyphs = metrics->glyphs;
    chord->left = INT32_MAX;
    chord->right = INT32_MIN;
    for (int i = 0; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[i];
        head->left = head->x + glyphs[head->glyph].ink.left;
        head->right = head->x + glyphs[head->glyph].ink.right;
        chord->left = sp_min(chord->left, head->left);
        chord->right = sp_max(chord->right, head->right);
    }
    const struct chord_head *root = &chord->heads[chord->up ? 0 : chord->count - 1];
    chord->centre = (root->left + root->right) / 2;
    ghosts_measure(metrics, chord, chord->right - chord->left > root->right - root->left);
    const struct chord_head *low = &chord->heads[0], *high = &chord->heads[chord->count - 1];
    sp low_join =
        low->y + (chord->up ? glyphs[low->glyph].stem_up_se.y : glyphs[low->glyph].stem_down_nw.y);
    sp high_join = high->y + (chord->up ? glyphs[high->glyph].stem_up_se.y
                                        : glyphs[high->glyph].stem_down_nw.y);
    /* A stem that joins at a triangle's foot is not shorter than others for that. */
    chord->near = chord->up ? sp_min(high_join, high->y) : sp_max(low_join, low->y);
    chord->far = chord->up ? low_join : high_join;
}

void chord_shape(const struct score *score, const struct metrics *metrics,
                 const struct staff *staff, const struct leaf *leaf, const struct leaf *joined,
                 bool up, struct chord *chord)
{
    chord->count = 0;
    chord->up = up;
    chord->dots = leaf->dots;
    chord_add_hits(score, metrics, staff, leaf, leaf->value_log2, chord);
    if (joined)
        chord_add_hits(score, metrics, staff, joined, leaf->value_log2, chord);
    chord_align(metrics, chord);
    chord_measure(metrics, chord);
}

/* The space of a head's dots: its own, or the one above its line; where that is taken, the next
   below. `taken` has a bit for every second staff place so far. */
static int dot_place(int line2, uint64_t *taken)
{
    int place = line2 + (line2 % 2 == 0);
    if (*taken >> (place + HOUSE_LOWEST_PLACE) & 1)
        place -= 2;
    *taken |= UINT64_C(1) << (place + HOUSE_LOWEST_PLACE);
    return place;
}

void chord_dot_places(const struct chord *chord, sp places[CHORD_HEADS_MAX])
{
    uint64_t taken = 0;
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        places[i] = head->y + (head->line2 - dot_place(head->line2, &taken)) * 500;
    }
}

void chord_shift(struct chord *chord, sp x)
{
    chord->stem_x += x;
    chord->centre += x;
    chord->left += x;
    chord->right += x;
    for (int i = 0; i < chord->count; i++) {
        chord->heads[i].x += x;
        chord->heads[i].left += x;
        chord->heads[i].right += x;
        chord->heads[i].between[0] += x;
        chord->heads[i].between[1] += x;
    }
}

enum glyph rest_glyph(int value_log2)
{
    static const enum glyph rests[] = {GLYPH_REST_WHOLE, GLYPH_REST_HALF, GLYPH_REST_QUARTER,
                                       GLYPH_REST_8,     GLYPH_REST_16,   GLYPH_REST_32,
                                       GLYPH_REST_64};
    return rests[value_log2];
}

/* Rests stand about the middle line; a whole rest hangs from the line above it. Where hands and
   feet share the staff each has its own half. All but the whole rest keep to lines. */
sp rest_y(const struct staff *staff, const struct leaf *leaf, int line)
{
    bool whole = leaf->value_log2 == 0 || leaf->whole_bar;
    if (staff->one_line)
        return 0;
    if (line == LINE_FEET)
        return HOUSE_REST_FEET - (whole ? 1000 : 0);
    sp middle = staff->feet ? HOUSE_REST_TWO_VOICES : 2000;
    return middle - (whole ? 1000 : 0);
}
