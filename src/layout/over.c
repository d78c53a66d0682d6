#include "layout/over.h"

#include "layout/layout_state.h"
#include "layout/system_parts.h"
#include "layout/text.h"

/*
 * Two rows of a line of music: words over counts, next to the notes; rehearsal letters and words
 * over whole bars, above tempos and the brackets of endings.
 *
 *       [A] Verse                       [B]
 *        1.-----------|
 *           Call          Response
 *
 * An item that would run past the margin moves to the left. What has no room beside the item before
 * it goes on a row of its own above.
 */

static sp mark_width(const struct layout *layout, const char *mark)
{
    return box_width(text_ink(layout, TEXT_MARK, mark)) + 2 * HOUSE_MARK_PAD;
}

static sp sign_width(const struct layout *layout, enum glyph sign)
{
    return sign == GLYPH_NONE
               ? 0
               : sp_scaled(box_width(glyph_ink(layout, sign)), HOUSE_OVER_SIGN_SCALE);
}

/* Where the sign begins, from the item's left; and the words after it. */
static sp sign_left(const struct layout *layout, const struct over *over)
{
    return over->mark ? mark_width(layout, over->mark) + HOUSE_OVER_BESIDE : 0;
}
static sp words_left(const struct layout *layout, const struct over *over)
{
    sp left = sign_left(layout, over);
    return over->sign ? left + sign_width(layout, over->sign) + HOUSE_OVER_BESIDE : left;
}

/* What the sign after the words takes, with the white before it. */
static sp tail_width(const struct layout *layout, const struct over *over)
{
    return over->after ? HOUSE_OVER_TAIL + sign_width(layout, over->after) : 0;
}

static struct text_fit words_fit(const struct layout *layout, const struct over *over)
{
    sp taken = words_left(layout, over) + tail_width(layout, over);
    return text_fit(layout, TEXT_WORDS, over->words, line_width(layout) - taken);
}

static void ink_take(struct over *over, struct box ink)
{
    over->top = sp_min(over->top, ink.top);
    over->bottom = sp_max(over->bottom, ink.bottom);
}

/* From the baseline to where a sign stands: its middle is that of a capital beside it. */
static sp sign_drop(const struct layout *layout, const struct over *over, enum glyph sign)
{
    enum text_style style = over->mark ? TEXT_MARK : TEXT_WORDS;
    struct box ink = box_scaled(glyph_ink(layout, sign), HOUSE_OVER_SIGN_SCALE);
    return box_middle_y(text_ink(layout, style, "H")) - box_middle_y(ink);
}

static void sign_take(const struct layout *layout, struct over *over, enum glyph sign)
{
    struct box ink = box_scaled(glyph_ink(layout, sign), HOUSE_OVER_SIGN_SCALE);
    ink_take(over, box_moved(ink, 0, sign_drop(layout, over, sign)));
}

static void over_measure(const struct layout *layout, struct over *over)
{
    sp width = 0;
    if (over->mark) {
        width = mark_width(layout, over->mark);
        ink_take(over, box_grown(text_ink(layout, TEXT_MARK, over->mark), HOUSE_MARK_PAD));
    }
    if (over->sign) {
        width = sign_left(layout, over) + sign_width(layout, over->sign);
        sign_take(layout, over, over->sign);
    }
    if (over->words) {
        width = words_left(layout, over) + words_fit(layout, over).ink;
        ink_take(over, text_ink(layout, TEXT_WORDS, over->words));
    }
    if (over->after) {
        width += tail_width(layout, over);
        sign_take(layout, over, over->after);
    }
    if (over->ends)
        over->left -= width;
    over->right = over->left + width;
    sp past = over->right - layout->sheet.text_right;
    past = sp_min(past, over->left - layout->sheet.text_left);
    if (past > 0) {
        over->left -= past;
        over->right -= past;
    }
}

static struct over *over_add(struct layout *layout, const struct set_bar *bar, sp x)
{
    struct over *over = vector_push(&layout->over, NULL);
    over->left = x;
    over->owner = bar_owner(layout, bar->index);
    return over;
}

static void mark_draw(struct layout *layout, const struct over *over, sp baseline)
{
    struct box ink = text_ink(layout, TEXT_MARK, over->mark);
    sp half = layout->defaults->thin_bar / 2;
    struct box box = {over->left + half, baseline + ink.top - HOUSE_MARK_PAD + half,
                      over->left + mark_width(layout, over->mark) - half,
                      baseline + ink.bottom + HOUSE_MARK_PAD - half};
    text_left(layout, ROLE_MARK, TEXT_MARK, over->mark, over->left + HOUSE_MARK_PAD - ink.left,
              baseline);
    pen_box(&layout->pen, ROLE_MARK_BOX, box, layout->defaults->thin_bar);
    skyline_add(&layout->skyline, box_grown(box, half));
}

static void sign_draw(struct layout *layout, const struct over *over, enum glyph sign, sp x,
                      sp baseline)
{
    struct box ink = box_scaled(glyph_ink(layout, sign), HOUSE_OVER_SIGN_SCALE);
    pen_glyph_scaled(&layout->pen, ROLE_SIGN, sign, x - ink.left,
                     baseline + sign_drop(layout, over, sign), HOUSE_OVER_SIGN_SCALE);
}

static void over_draw(struct layout *layout, struct over *over, sp baseline)
{
    layout->pen.owner = over->owner;
    if (over->mark)
        mark_draw(layout, over, baseline);
    if (over->sign)
        sign_draw(layout, over, over->sign, over->left + sign_left(layout, over), baseline);
    if (over->words) {
        struct text_fit fit = words_fit(layout, over);
        text_fit_draw(layout, ROLE_WORDS, &fit, over->left + words_left(layout, over), baseline);
    }
    if (over->after)
        sign_draw(layout, over, over->after, over->right - sign_width(layout, over->after),
                  baseline);
    over->drawn = true;
}

/* The white to the right of an item, so a sign that ends a bar is not read together with the one
 * that begins the next. */
static sp white_after(const struct over *over)
{
    return over->ends ? HOUSE_OVER_APART : HOUSE_OVER_BESIDE;
}

/* Words make way for the next letter: letters of a line stand in one row. */
static bool makes_way(const struct over *over, const struct over *end)
{
    if (over->mark)
        return false;
    for (const struct over *next = over + 1; next < end; next++)
        if (next->mark && !next->drawn)
            return over->right + white_after(over) > next->left;
    return false;
}

/* Above all ink below the item and a little to either side of it. */
static sp over_baseline(const struct layout *layout, const struct over *over)
{
    return skyline_top(&layout->skyline, over->left - HOUSE_OVER_CLEAR,
                       over->right + HOUSE_OVER_CLEAR) -
           HOUSE_OVER_GAP - over->bottom;
}

/* The next row: from the left, the items that have room beside each other. True if any is left. */
static bool row_draw(struct layout *layout)
{
    struct over *items = layout->over.items, *end = items + layout->over.count;
    sp free = INT32_MIN, baseline = INT32_MAX;
    bool rest = false;
    for (int pass = 0; pass < 2; pass++, free = INT32_MIN)
        for (struct over *over = items; over < end; over++) {
            bool fits = over->left >= free && !makes_way(over, end);
            if (over->drawn)
                continue;
            rest |= !fits;
            if (!fits)
                continue;
            free = over->right + white_after(over);
            if (pass == 0)
                baseline = sp_min(baseline, over_baseline(layout, over));
            else
                over_draw(layout, over, baseline);
        }
    return rest;
}

static void rows_of_items(struct layout *layout)
{
    for (size_t i = 0; i < layout->over.count; i++)
        over_measure(layout, &layout->over.items[i]);
    while (layout->over.count && row_draw(layout))
        continue;
    layout->over.count = 0;
}

static void word_warn_cut(struct layout *layout, const char *text, struct place at)
{
    enum { LINE_LEAST_BYTES = 24 }; /* a shorter text is never cut */
    if (text && strlen(text) > LINE_LEAST_BYTES &&
        text_fit(layout, TEXT_WORDS, text, line_width(layout)).cut)
        diag_add(layout->diags, DIAG_NOT_PRINTABLE, at,
                 "these words are wider than a line, and are cut there");
}

void over_warn_cut(struct layout *layout, const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct bar_signs *signs = exercise->bars[b].signs;
        if (!signs)
            continue;
        word_warn_cut(layout, signs->over.text, signs->over.at);
        for (size_t i = 0; i < signs->words.count; i++)
            word_warn_cut(layout, signs->words.entries[i].what.text,
                          signs->words.entries[i].what.at);
    }
}

void words_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        for (uint16_t i = 0; i < bar->bar->word_count; i++) {
            const struct dynamic_mark *word = &bar->bar->words[i];
            sp half = layout->metrics->glyphs[GLYPH_HEAD_BLACK].advance / 2;
            over_add(layout, bar, instant_x(work, bar, word->onset) - half)->words = word->text;
        }
    rows_of_items(layout);
}

/* A letter stays at its bar: words that have no room at its right go above it. */
static bool words_run_past(const struct layout *layout, const struct over *over)
{
    return over->left + words_left(layout, over) + text_ink(layout, TEXT_WORDS, over->words).right >
           layout->sheet.text_right;
}

static enum glyph sign_of(const struct bar_signs *signs)
{
    return signs->segno.file ? GLYPH_SEGNO : signs->coda.file ? GLYPH_CODA : GLYPH_NONE;
}

static bool begins_something(const struct bar_signs *signs)
{
    return signs && (signs->mark.text || signs->over.text || sign_of(signs));
}

static void beginning_add(struct layout *layout, const struct set_bar *bar)
{
    const struct bar_signs *signs = bar->bar->signs;
    if (!begins_something(signs))
        return;
    enum glyph sign = sign_of(signs);
    struct over *over = over_add(layout, bar, bar_begins(&layout->work, bar));
    over->mark = signs->mark.text;
    over->sign = sign;
    over->words = signs->over.text;
    if ((over->mark || sign) && over->words && words_run_past(layout, over)) {
        over->words = NULL;
        over_add(layout, bar, bar_begins(&layout->work, bar))->words = signs->over.text;
    }
}

/* The right edge of a sign that ends a bar: flush with the bar line, or clear of whatever begins
 * there. */
static sp bar_end(const struct layout *layout, const struct set_bar *bar)
{
    bool last = bar == line_last_bar(&layout->work);
    return !last && begins_something(bar[1].bar->signs) ? bar->right - HOUSE_OVER_APART
                                                        : bar->right;
}

/* "To Coda", "Fine", "D.S. al Coda" */
static void end_add(struct layout *layout, const struct set_bar *bar)
{
    const struct bar_signs *signs = bar->bar->signs;
    const char *words[] = {signs->to_coda.file ? "To Coda" : NULL, signs->fine.file ? "Fine" : NULL,
                           signs->jump.words};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!words[i])
            continue;
        struct over *over = over_add(layout, bar, bar_end(layout, bar));
        over->ends = true;
        over->words = words[i];
        over->after = i == 0 ? GLYPH_CODA : GLYPH_NONE;
    }
}

void signs_over_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        if (bar->bar->signs) {
            beginning_add(layout, bar);
            end_add(layout, bar);
        }
    rows_of_items(layout);
}
