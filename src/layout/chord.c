#include "layout/layout_state.h"

/* Both hands on one drum are one head: the letter says that there are two. Two voices that share a
   place differ in their heads, which are printed side by side. */
static bool chord_has(const struct chord *chord, const struct chord_head *head)
{
    for (int i = 0; i < chord->count; i++)
        if (chord->heads[i].line2 == head->line2 && chord->heads[i].glyph == head->glyph)
            return true;
    return false;
}

static void chord_add(const struct layout *layout, const struct leaf *leaf, int value_log2,
                      bool joined, struct chord *chord)
{
    const struct note *note = leaf->note;
    chord->loud |= note->marks & MARKS_LOUD;
    for (int i = 0; i < note->hit_count && chord->count < CHORD_HEADS_MAX; i++) {
        const struct voice *voice = &layout->score->lesson->kit.voices[note->hits[i].voice];
        enum glyph glyph = head_glyph(voice->head, value_log2);
        int line2 = staff_place(layout->staff, voice);
        struct chord_head head = {
            .glyph = (uint16_t)glyph,
            .line2 = (int16_t)line2,
            .x = -box_middle_x(glyph_ink(layout, glyph)),
            .y = staff_y(layout->staff, line2),
            .ghost = note->hits[i].ghost,
            .joined = joined,
            .rings = note->marks & MARK_LET_RING && voice_rings(voice),
            .sign = voice->sign ? voice->sign : note->marks & MARKS_AT_SIGN,
        };
        if (chord_has(chord, &head))
            continue;
        int at = chord->count++;
        for (; at > 0 && chord->heads[at - 1].line2 > head.line2; at--)
            chord->heads[at] = chord->heads[at - 1];
        chord->heads[at] = head;
    }
}

/* Heads that are drawn with strokes. If two of them share a stem, it goes between their tips, which
   would otherwise run into each other. */
static bool touches_by_tips(enum glyph glyph)
{
    return (glyph >= GLYPH_HEAD_X_WHOLE && glyph <= GLYPH_HEAD_X_BLACK) ||
           (glyph >= GLYPH_HEAD_PLUS_WHOLE && glyph <= GLYPH_HEAD_PLUS_BLACK);
}

/*
 * All heads touch the stem on the same side, except that of two a step apart, the one farther from
 * the stem's root goes on its other side.
 *
 *        up:   | o         down:  o |
 *             o|                    |o
 */
static void chord_align(const struct layout *layout, struct chord *chord)
{
    sp stem = layout->defaults->stem;
    int root = chord->up ? 0 : chord->count - 1, step = chord->up ? 1 : -1;
    const struct chord_head *first = &chord->heads[root];
    const struct glyph_metrics *glyph = &layout->metrics->glyphs[first->glyph];
    chord->stem_x =
        first->x + (chord->up ? glyph->stem_up_se.x - stem / 2 : glyph->stem_down_nw.x + stem / 2);
    bool crossed = false;
    for (int i = 1; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[root + i * step];
        int apart = (head->line2 - head[-step].line2) * step;
        crossed = apart < 2 && !crossed;
        glyph = &layout->metrics->glyphs[head->glyph];
        bool right_of_stem = chord->up == crossed;
        head->x = right_of_stem ? chord->stem_x - stem / 2 - glyph->stem_down_nw.x
                                : chord->stem_x + stem / 2 - glyph->stem_up_se.x;
        if (crossed && touches_by_tips(head->glyph))
            head->x += right_of_stem ? stem - HOUSE_TIP_HOLD : HOUSE_TIP_HOLD - stem;
    }
}

/* Parentheses stand outside all of a chord that has heads on both sides of its stem (`wide`), else
   close to their head. */
static void ghosts_measure(const struct layout *layout, struct chord *chord, bool wide)
{
    sp left = chord->left, right = chord->right;
    for (int i = 0; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[i];
        if (!head->ghost)
            continue;
        head->between[0] = (wide ? left : head->left) - HOUSE_GHOST_GAP;
        head->between[1] = (wide ? right : head->right) + HOUSE_GHOST_GAP;
        sp before = box_width(glyph_ink(layout, GLYPH_PARENTHESIS_LEFT));
        sp after = box_width(glyph_ink(layout, GLYPH_PARENTHESIS_RIGHT));
        chord->left = sp_min(chord->left, head->between[0] - before);
        chord->right = sp_max(chord->right, head->between[1] + after);
    }
}

/* Where the stem joins a head. */
static sp stem_join(const struct layout *layout, const struct chord_head *head, bool up)
{
    const struct glyph_metrics *glyph = &layout->metrics->glyphs[head->glyph];
    return head->y + (up ? glyph->stem_up_se.y : glyph->stem_down_nw.y);
}

static void chord_measure(const struct layout *layout, struct chord *chord)
{
    chord->left = INT32_MAX;
    chord->right = INT32_MIN;
    for (int i = 0; i < chord->count; i++) {
        struct chord_head *head = &chord->heads[i];
        struct box ink = glyph_ink(layout, head->glyph);
        head->left = head->x + ink.left;
        head->right = head->x + ink.right;
        chord->left = sp_min(chord->left, head->left);
        chord->right = sp_max(chord->right, head->right);
    }
    const struct chord_head *root = chord_root(chord), *outer = chord_outer(chord);
    chord->centre = (root->left + root->right) / 2;
    ghosts_measure(layout, chord, chord->right - chord->left > root->right - root->left);
    /* A stem that joins at a triangle's foot is no shorter than others for that. */
    sp join = stem_join(layout, outer, chord->up);
    chord->near = chord->up ? sp_min(join, outer->y) : sp_max(join, outer->y);
    chord->far = stem_join(layout, root, chord->up);
}

void chord_shape(const struct layout *layout, const struct leaf *leaf, const struct leaf *joined,
                 bool up, struct chord *chord)
{
    chord->count = 0;
    chord->loud = MARK_NONE;
    chord->up = up;
    chord->dots = leaf->dots;
    chord_add(layout, leaf, leaf->value_log2, false, chord);
    if (joined)
        chord_add(layout, joined, leaf->value_log2, true, chord);
    chord_align(layout, chord);
    chord_measure(layout, chord);
}

/* The space where a head's dots stand: its own, or the one above its line; where that is taken, the
   next below. `taken` has a bit for each staff place so far. */
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

sp chord_dots_width(const struct layout *layout, const struct chord *chord)
{
    return chord->dots * (HOUSE_DOT_GAP + box_width(glyph_ink(layout, GLYPH_AUGMENTATION_DOT)));
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
