#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/signs.h"
#include "layout/text.h"

/* The drum key: each voice that the lesson uses on a small staff, and no other. If it takes several
   rows they stand in columns, unless columns need one row more. */

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

/* A small staff with its sign. */
struct key_pen {
    struct layout *layout;
    struct pen *pen;
    struct staff staff;
    sp x, y;           /* left end, baseline of its word */
    sp middle, centre; /* of the staff */
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

/* A height of the usual staff on the small one. */
static sp small_y(const struct key_pen *at, sp y)
{
    return at->centre + small(at->layout, y - staff_middle(&at->staff));
}

static void horizontal_draw(const struct key_pen *at, sp left, sp right, sp y, sp width)
{
    pen_horizontal(at->pen, ROLE_KEY_LINE, left, right, small_y(at, y), small(at->layout, width));
}

static void sign_draw(const struct key_pen *at, enum glyph glyph, sp x, sp y)
{
    pen_glyph_scaled(at->pen, ROLE_KEY_SIGN, glyph, x, y, paper_scale(at->layout, HOUSE_KEY_SCALE));
}

/* A sign over the middle of the staff. */
static void centred_draw(const struct key_pen *at, enum glyph glyph, sp y)
{
    struct box ink = glyph_ink(at->layout, glyph);
    sign_draw(at, glyph, at->middle - small(at->layout, ink.left + ink.right) / 2, y);
}

static void item_draw(struct key_pen *at, const struct key_item *item)
{
    struct layout *layout = at->layout;
    const struct engraving_defaults *defaults = layout->defaults;
    enum glyph head = head_glyph(item->voice->head, 2),
               sign = marks_glyph(item->voice->sign, MARK_AT_SIGN, true);
    sp width = paper(layout, HOUSE_KEY_STAFF_UM), line2 = staff_place(&at->staff, item->voice);
    sp half = small(layout, box_width(glyph_ink(layout, head))) / 2;
    at->centre = at->y + text_ink(layout, TEXT_KEY_LABEL, "x").top / 2;
    at->middle = at->x + width / 2;
    for (sp y = at->staff.top; y <= at->staff.bottom; y += 1000)
        horizontal_draw(at, at->x, at->x + width, y, defaults->staff_line);
    sp y = small_y(at, staff_y(&at->staff, line2));
    sp reach = half + small(layout, defaults->leger_extension);
    int legers = line2 >= HOUSE_LEGER_UP ? staff_legers(&at->staff, line2) : 0;
    for (int i = 0; i < legers; i++)
        horizontal_draw(at, at->middle - reach, at->middle + reach,
                        staff_leger_y(&at->staff, line2, i), defaults->leger);
    centred_draw(at, head, y);
    if (sign != GLYPH_NONE)
        centred_draw(at, sign,
                     y - small(layout, 500 + HOUSE_INK_GAP + glyph_ink(layout, sign).bottom));
    if (item->ghost) {
        sp apart = half + small(layout, HOUSE_GHOST_GAP);
        sp before = small(layout, glyph_ink(layout, GLYPH_PARENTHESIS_LEFT).right);
        sp after = small(layout, glyph_ink(layout, GLYPH_PARENTHESIS_RIGHT).left);
        sign_draw(at, GLYPH_PARENTHESIS_LEFT, at->middle - apart - before, y);
        sign_draw(at, GLYPH_PARENTHESIS_RIGHT, at->middle + apart - after, y);
    }
    text_fit_draw(layout, ROLE_KEY_LABEL, &item->text,
                  at->x + width + paper(layout, HOUSE_KEY_SIGN_GAP_UM), at->y);
}

static bool look_alike(const struct voice *a, const struct voice *b)
{
    return a->line2 == b->line2 && a->head == b->head && a->sign == b->sign;
}

/* Whether a voice is used, and looks like no other before it. */
static bool is_first(const struct score *score, size_t index)
{
    const struct voice *voices = score->lesson->kit.voices;
    for (size_t i = 0; i < index; i++)
        if (score->voices_used[i] && look_alike(&voices[i], &voices[index]))
            return false;
    return score->voices_used[index];
}

/* The names of all that look like a voice: "snare, practice pad". */
static const char *names_of(const struct layout *layout, size_t index)
{
    const struct score *score = layout->score;
    const char *names = NULL;
    for (size_t i = index; i < score->lesson->kit.voice_count; i++) {
        const struct voice *voice = &score->lesson->kit.voices[i];
        if (!score->voices_used[i] || !look_alike(voice, &score->lesson->kit.voices[index]))
            continue;
        const char *name = page_word(layout->words, voice->spoken ? voice->spoken : voice->name);
        names = names ? arena_format(layout->arena, "%s, %s", names, name) : name;
    }
    return names;
}

/* Two numbers a voice: the voice, and its ghost notes if the key shows them. Voices that look alike
   are one item. */
static bool item_find(const struct layout *layout, size_t index, sp room, struct key_item *item)
{
    const struct score *score = layout->score;
    item->voice = &score->lesson->kit.voices[index / 2];
    item->ghost = index % 2;
    if (item->ghost
            ? index / 2 != VOICE_SNARE || !score->voices_used[index / 2] || !score->ghosts_used
            : !is_first(score, index / 2))
        return false;
    const char *text =
        item->ghost ? page_word(layout->words, "ghost note") : names_of(layout, index / 2);
    sp signs = paper(layout, HOUSE_KEY_STAFF_UM + HOUSE_KEY_SIGN_GAP_UM);
    item->text = text_fit(layout, TEXT_KEY_LABEL, text, room - signs);
    item->width =
        signs + sp_max(item->text.advance, item->text.ink); /* the ink of an f may reach farther */
    return true;
}

/* ---- rows --------------------------------------------------------------------------------- */

static size_t rows_needed(const struct key *key, sp gap)
{
    size_t rows = 0;
    sp x = key->room;
    for (size_t i = 0; i < key->count; i++) {
        if (rows == 0 || x + key->items[i].width > key->room) {
            rows++;
            x = 0;
        }
        x += key->items[i].width + gap;
    }
    return rows;
}

static bool columns_fit(const struct key *key, size_t columns, sp gap)
{
    sp all = -gap;
    for (size_t k = 0; k < columns; k++) {
        key->widths[k] = 0;
        for (size_t i = k; i < key->count; i += columns)
            key->widths[k] = sp_max(key->widths[k], key->items[i].width);
        all += key->widths[k] + gap;
    }
    return all <= key->room;
}

static struct key key_of(struct layout *layout)
{
    size_t most = 2 * layout->score->lesson->kit.voice_count;
    struct key key = {.items = arena_array(layout->arena, most, sizeof *key.items),
                      .widths = arena_array(layout->arena, most, sizeof *key.widths)};
    sp gap = paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    key.left = layout->sheet.text_left +
               text_advance(layout, TEXT_KEY_TITLE, page_word(layout->words, "Key")) + gap;
    key.room = layout->sheet.text_right - key.left;
    for (size_t i = 0; i < most; i++)
        if (item_find(layout, i, key.room, &key.items[key.count]))
            key.count++;
    size_t rows = rows_needed(&key, gap);
    size_t columns = rows < 2 ? 0 : (key.count + rows - 1) / rows;
    if (columns && columns_fit(&key, columns, gap))
        key.columns = columns;
    return key;
}

sp key_lead(const struct layout *layout)
{
    return paper(layout, HOUSE_KEY_ROW_GAP_UM) + small(layout, HOUSE_KEY_ROW_STAFF);
}

size_t key_draw(struct layout *layout, size_t first)
{
    struct key key = key_of(layout);
    struct key_pen at = {.layout = layout, .pen = &layout->pen, .x = key.left};
    at.staff.one_line = all_on_one_line(layout);
    at.staff.bottom = at.staff.one_line ? 0 : 4000;
    layout->pen.owner = no_owner;
    if (first == 0)
        text_left(layout, ROLE_KEY_TITLE, TEXT_KEY_TITLE, page_word(layout->words, "Key"),
                  layout->sheet.text_left, 0);
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
