#include "layout/layout_int.h"

/* The drum key: each voice that the lesson uses on a small staff, and no other. Where it takes
   several rows they are filled alike and stand in columns, if columns need no row more. */

struct key_item {
    struct text_fit text;
    sp width;
    const struct voice *voice;
    bool ghost;
};

struct key {
    struct key_item *items;
    size_t count;
    sp left, room;  /* of a row's items */
    size_t columns; /* 0: rows are filled one after the other */
    sp *widths;     /* of columns */
};

struct key_pen {
    struct layout *layout;
    sp x, y;
    struct staff staff;
};

static sp small(const struct layout *layout, sp length)
{
    return (sp)((int64_t)length * paper_scale(layout, HOUSE_KEY_SCALE) / 1000);
}

static bool all_on_one_line(const struct layout *layout)
{
    for (size_t i = 0; i < layout->score->exercise_count; i++)
        if (layout->score->exercises[i].bar_count && !layout->staves[i].one_line)
            return false;
    return true;
}

bool key_shown(const struct layout *layout)
{
    const struct score *score = layout->score;
    if (!score->lesson->settings.show->key)
        return false;
    for (size_t i = 0; i < score->lesson->kit.voice_count; i++)
        if (score->voices_used[i])
            return true;
    return false;
}

/* Small staff places from the middle of the small staff. */
static sp place(const struct key_pen *at, int line2)
{
    return small(at->layout, staff_y(&at->staff, line2) - (at->staff.top + at->staff.bottom) / 2);
}

static void item_legers(const struct key_pen *at, int line2, sp middle, sp centre, sp half)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    sp reach = half + small(at->layout, defaults->leger_extension);
    for (int line = HOUSE_LEGER_UP; !at->staff.one_line && line <= line2; line += 2)
        pen_line(&at->layout->pen, ROLE_KEY_LINE,
                 (struct point){middle - reach, centre + place(at, line)},
                 (struct point){middle + reach, centre + place(at, line)},
                 small(at->layout, defaults->leger));
}

static void item_sign(const struct key_pen *at, const struct key_item *item, sp middle, sp y,
                      sp half)
{
    const struct glyph_metrics *glyphs = at->layout->metrics->glyphs;
    struct pen *pen = &at->layout->pen;
    enum glyph sign = marks_glyph(item->voice->sign, MARK_AT_SIGN, true);
    if (sign != GLYPH_NONE) {
        const struct box *ink = &glyphs[sign].ink;
        pen_glyph_scaled(pen, ROLE_KEY_SIGN, sign,
                         middle - small(at->layout, ink->left + ink->right) / 2,
                         y - small(at->layout, 500 + HOUSE_INK_GAP + ink->bottom),
                         paper_scale(at->layout, HOUSE_KEY_SCALE));
    }
    if (!item->ghost)
        return;
    sp gap = small(at->layout, HOUSE_GHOST_GAP);
    pen_glyph_scaled(pen, ROLE_KEY_SIGN, GLYPH_PARENTHESIS_LEFT,
                     middle - half - gap -
                         small(at->layout, glyphs[GLYPH_PARENTHESIS_LEFT].ink.right),
                     y, paper_scale(at->layout, HOUSE_KEY_SCALE));
    pen_glyph_scaled(pen, ROLE_KEY_SIGN, GLYPH_PARENTHESIS_RIGHT,
                     middle + half + gap -
                         small(at->layout, glyphs[GLYPH_PARENTHESIS_RIGHT].ink.left),
                     y, paper_scale(at->layout, HOUSE_KEY_SCALE));
}

static void item_draw(struct key_pen *at, const struct key_item *item)
{
    struct layout *layout = at->layout;
    sp width = paper(layout, HOUSE_KEY_STAFF_UM);
    sp centre = at->y + text_ink(layout, TEXT_KEY_LABEL, "x").top / 2, middle = at->x + width / 2;
    for (sp y = at->staff.top; y <= at->staff.bottom; y += 1000) {
        sp line = centre + small(at->layout, y - (at->staff.top + at->staff.bottom) / 2);
        pen_line(&layout->pen, ROLE_KEY_LINE, (struct point){at->x, line},
                 (struct point){at->x + width, line},
                 small(at->layout, layout->defaults->staff_line));
    }
    enum glyph head = head_glyph(item->voice->head, 2);
    const struct box *ink = &layout->metrics->glyphs[head].ink;
    sp y = centre + place(at, item->voice->line2), half = small(at->layout, box_width(*ink)) / 2;
    item_legers(at, item->voice->line2, middle, centre, half);
    pen_glyph_scaled(&layout->pen, ROLE_KEY_SIGN, head,
                     middle - small(at->layout, ink->left + ink->right) / 2, y,
                     paper_scale(at->layout, HOUSE_KEY_SCALE));
    item_sign(at, item, middle, y, half);
    text_fit_draw(layout, ROLE_KEY_LABEL, &item->text,
                  at->x + width + paper(layout, HOUSE_KEY_SIGN_GAP_UM), at->y);
}

/* Two places a voice: the voice, and behind it what is set apart from it. */
static bool item_find(const struct layout *layout, size_t index, sp room, struct key_item *item)
{
    const struct score *score = layout->score;
    const struct voice *voice = &score->lesson->kit.voices[index / 2];
    item->voice = voice;
    item->ghost = index % 2;
    const char *text = item->ghost ? "ghost note" : voice->spoken ? voice->spoken : voice->name;
    if (!score->voices_used[index / 2] ||
        (item->ghost && (index / 2 != VOICE_SNARE || !score->ghosts_used)))
        return false;
    sp signs = paper(layout, HOUSE_KEY_STAFF_UM + HOUSE_KEY_SIGN_GAP_UM);
    item->text = text_fit(layout, TEXT_KEY_LABEL, text, room - signs);
    item->width = signs + sp_max(item->text.advance, item->text.ink); /* an f at its end hangs */
    return true;
}

/* ---- rows --------------------------------------------------------------------------------- */

static size_t rows_needed(const struct layout *layout, const struct key *key)
{
    size_t rows = 0;
    sp x = key->room;
    for (size_t i = 0; i < key->count; i++) {
        if (rows == 0 || x + key->items[i].width > key->room) {
            rows++;
            x = 0;
        }
        x += key->items[i].width + paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    }
    return rows;
}

static bool columns_fit(const struct layout *layout, const struct key *key, size_t columns)
{
    sp all = -paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    for (size_t k = 0; k < columns; k++) {
        key->widths[k] = 0;
        for (size_t i = k; i < key->count; i += columns)
            key->widths[k] = sp_max(key->widths[k], key->items[i].width);
        all += key->widths[k] + paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    }
    return all <= key->room;
}

static void set_columns(const struct layout *layout, struct key *key)
{
    size_t rows = rows_needed(layout, key);
    if (rows < 2)
        return;
    size_t columns = (key->count + rows - 1) / rows;
    if (columns_fit(layout, key, columns))
        key->columns = columns;
}

static struct key key_of(struct layout *layout)
{
    size_t most = 2 * layout->score->lesson->kit.voice_count;
    struct key key = {.items = arena_array(layout->arena, most, sizeof *key.items),
                      .widths = arena_array(layout->arena, most, sizeof *key.widths)};
    key.left = layout->sheet.text_left + text_advance(layout, TEXT_KEY_TITLE, "Key") +
               paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    key.room = layout->sheet.text_right - key.left;
    for (size_t i = 0; i < most; i++)
        if (item_find(layout, i, key.room, &key.items[key.count]))
            key.count++;
    set_columns(layout, &key);
    return key;
}

sp key_lead(const struct layout *layout)
{
    return paper(layout, HOUSE_KEY_ROW_GAP_UM) + small(layout, HOUSE_KEY_ROW_STAFF);
}

size_t key_draw(struct layout *layout, size_t first)
{
    struct key key = key_of(layout);
    struct key_pen at = {.layout = layout, .x = key.left};
    at.staff.one_line = all_on_one_line(layout);
    at.staff.bottom = at.staff.one_line ? 0 : 4000;
    layout->pen.owner = mark_owner(OWNER_NONE, 0, OWNER_NONE, OWNER_NONE);
    if (first == 0)
        text_left(layout, ROLE_KEY_TITLE, TEXT_KEY_TITLE, "Key", layout->sheet.text_left, 0);
    for (size_t i = first; i < key.count; i++) {
        bool full = key.columns ? i == first + key.columns
                                : at.x + key.items[i].width > key.left + key.room;
        if (i > first && full)
            return i;
        item_draw(&at, &key.items[i]);
        at.x += (key.columns ? key.widths[i - first] : key.items[i].width) +
                paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    }
    return SIZE_MAX;
}
