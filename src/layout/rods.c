#include "layout/bar_signs.h"
#include "layout/beams.h"
#include "layout/count_row.h"
#include "layout/figures.h"
#include "layout/layout_state.h"
#include "layout/notes.h"
#include "layout/signs.h"

#include <math.h>

/*
 * Rods: how near two columns may stand before their ink would touch.
 *
 *     1. The ink of a column goes into bands, each a quarter space high. It is the outlines' own:
 *        a parenthesis may reach into the room that a head leaves at its height, a leger over the
 *        foot of a stem. What has no height yet (accents, rows of text) has a band of its own.
 *     2. In each band the column must clear the ink that came last there. Most times that is its
 *        neighbour's: the spring between them gets a rod.
 *     3. Where the last ink is several columns back it asks for a length over several springs. Such
 *        a bridge waits until all neighbours are apart, as that may be enough. Then the short ones
 *        come first; each gives its springs what a line of that length would stretch them to. At
 *        last a rod gives back what later bridges have made needless.
 *     4. The first column sets the bar's lead, the last ones how near the bar line may come; ties
 *        and what stands alone in a bar hold it open.
 */
enum {
    BANDS_TOP = -6000, /* upper edge of band 0, above a head on line 10, the highest of a kit; what
                          is higher counts as in band 0 */
    BAND_ABOVE = 56,   /* accents and numbers of rolls, wherever the stem ends */
    BAND_ROLL_NUMBERS = 57,
    BAND_COUNTS = 58,
    BAND_LOWER_LETTERS = 59,
    BAND_LETTERS = 60,
    BAND_FIGURES = 61,
    BANDS = 62
};

/* Of one column, x from the column. Only bands in the mask hold anything. */
struct ink {
    uint64_t bands;
    sp left[BANDS], right[BANDS];
};

/* The last ink of a band. */
struct reach {
    size_t column;
    sp right;
};

struct bridge {
    size_t from, to; /* columns */
    sp least;
};

/* When so many wait, they are settled before the bar is at its end. */
enum { BRIDGES_MAX = 64 };

struct rods {
    struct layout *layout;
    struct set_bar *set;
    struct spring *springs; /* of the work */
    bool letters;           /* the sticking is shown */
    struct ink ink;
    sp head_left, head_right; /* of heads, graces, dots and rests at any height */
    struct reach reach[BANDS];
    uint64_t reached;
    struct bridge bridges[BRIDGES_MAX];
    size_t bridge_count;
};

/* ---- ink into bands ----------------------------------------------------------------------- */

static void ink_add(struct ink *ink, int band, sp left, sp right)
{
    uint64_t bit = UINT64_C(1) << band;
    if (ink->bands & bit) {
        ink->left[band] = sp_min(ink->left[band], left);
        ink->right[band] = sp_max(ink->right[band], right);
        return;
    }
    ink->bands |= bit;
    ink->left[band] = left;
    ink->right[band] = right;
}

static int band_at(sp y)
{
    return y <= BANDS_TOP                              ? 0
           : y >= BANDS_TOP + BAND_ABOVE * GLYPH_SLICE ? BAND_ABOVE - 1
                                                       : (y - BANDS_TOP) / GLYPH_SLICE;
}

/* An empty box adds nothing. */
static void ink_box(struct ink *ink, struct box box)
{
    if (box.right <= box.left)
        return;
    int end = band_at(box.bottom + GLYPH_ROW_PAD - 1);
    for (int band = band_at(box.top - GLYPH_ROW_PAD); band <= end; band++)
        ink_add(ink, band, box.left, box.right);
}

/* A sign of the face with its origin at (x, y). */
static void ink_scaled(struct rods *at, enum glyph glyph, sp x, sp y, int scale)
{
    const struct metrics *metrics = at->layout->metrics;
    struct slices rows = metrics->glyphs[glyph].rows;
    const struct extent *extents = metrics->extents + rows.first;
    for (int i = 0; i < rows.count; i++) {
        if (extents[i].high < extents[i].low)
            continue;
        sp top = y + sp_scaled((rows.from + i) * GLYPH_SLICE, scale);
        int end = band_at(top + sp_scaled(GLYPH_SLICE, scale) - 1);
        for (int band = band_at(top); band <= end; band++)
            ink_add(&at->ink, band, x + sp_scaled(extents[i].low, scale),
                    x + sp_scaled(extents[i].high, scale));
    }
}

static void ink_sign(struct rods *at, enum glyph glyph, sp x, sp y)
{
    ink_scaled(at, glyph, x, y, 1000);
}

static void ink_centred(struct rods *at, int band, const struct short_label *label)
{
    ink_add(&at->ink, band, label->ink.left - label->centre, label->ink.right - label->centre);
}

static void ink_label(struct rods *at, int band, enum text_style style, const char *text)
{
    struct short_label label = label_short(at->layout->metrics, style, text);
    ink_centred(at, band, &label);
}

/* ---- the parts of a note ------------------------------------------------------------------ */

static void ink_legers(struct rods *at, const struct chord_head *head)
{
    sp extension = at->layout->defaults->leger_extension, half = at->layout->defaults->leger / 2;
    for (int i = 0; i < staff_legers(at->layout->staff, head->line2); i++) {
        sp y = staff_leger_y(at->layout->staff, head->line2, i);
        ink_box(&at->ink,
                (struct box){head->left - extension, y - half, head->right + extension, y + half});
    }
}

static void ink_heads(struct rods *at, const struct chord *chord)
{
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        ink_sign(at, (enum glyph)head->glyph, head->x, head->y);
        ink_legers(at, head);
        if (!head->ghost)
            continue;
        ink_sign(at, GLYPH_PARENTHESIS_LEFT,
                 head->between[0] - glyph_ink(at->layout, GLYPH_PARENTHESIS_LEFT).right, head->y);
        ink_sign(at, GLYPH_PARENTHESIS_RIGHT,
                 head->between[1] - glyph_ink(at->layout, GLYPH_PARENTHESIS_RIGHT).left, head->y);
    }
}

static sp heads_right(const struct rods *at, const struct chord *chord)
{
    return chord->right + chord_dots_width(at->layout, chord);
}

static void ink_dots(struct rods *at, const struct chord *chord)
{
    struct box dot = glyph_ink(at->layout, GLYPH_AUGMENTATION_DOT);
    sp places[CHORD_HEADS_MAX];
    chord_dot_places(chord, places);
    for (int i = 0; i < chord->count; i++)
        ink_box(&at->ink, (struct box){chord->right, places[i] + dot.top, heads_right(at, chord),
                                       places[i] + dot.bottom});
}

static void ink_stem(struct rods *at, const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    sp half = at->layout->defaults->stem / 2;
    if (note->leaf->value_log2 == 0)
        return;
    sp end = note->beamed ? note->stem_end : lone_stem_end(at->layout, note);
    if (note->beams && !note->beamed) {
        struct point flag = flag_origin(at->layout, note, end);
        ink_sign(at, flag_glyph(note->beams, note->up), flag.x, flag.y);
    }
    ink_box(&at->ink, (struct box){chord->stem_x - half, sp_min(end, chord->near),
                                   chord->stem_x + half, sp_max(end, chord->far)});
}

/* A slash or buzz in the middle of the stem. Where a beam may yet move outwards, wherever that may
   take it. */
static void ink_stem_mark(struct rods *at, const struct set_note *note)
{
    enum glyph glyph = marks_glyph(leaf_stem_marks(note->leaf), MARK_AT_STEM, note->up);
    if (glyph == GLYPH_NONE)
        return;
    struct set_note set = *note;
    if (!note->beamed && note->leaf->value_log2)
        set.stem_end = lone_stem_end(at->layout, note);
    struct box ink = glyph_ink(at->layout, glyph);
    sp y = stem_mark_height(at->layout, &set), across = box_width(ink) / 2;
    sp top = y - box_height(ink) / 2, bottom = y + box_height(ink) / 2;
    if (note->beamed && note->up)
        bottom += HOUSE_ONE_LINE_OF / 2;
    else if (note->beamed)
        top -= HOUSE_ONE_LINE_OF / 2;
    sp x = note->leaf->value_log2 ? note->chord.stem_x : 0;
    ink_box(&at->ink, (struct box){x - across, top, x + across, bottom});
}

/* The slur's left end, where other columns stand: a parabola is at 36 % of its depth after a tenth
   of its length, at 75 % after a quarter. */
static void ink_slur(struct rods *at, struct box slur)
{
    sp run = slur.right - slur.left, depth = slur.bottom - slur.top;
    sp tenth = slur.left + run / 10, quarter = slur.left + run / 4;
    ink_box(&at->ink, (struct box){slur.left, slur.top, tenth, slur.top + depth * 36 / 100});
    ink_box(&at->ink, (struct box){tenth, slur.top, quarter, slur.top + depth * 75 / 100});
    ink_box(&at->ink, (struct box){quarter, slur.top, slur.right, slur.bottom});
}

static void ink_graces(struct rods *at, const struct set_note *note)
{
    const struct note *struck = note->leaf->note;
    const struct chord *chord = &note->chord;
    if (!struck->grace_count)
        return;
    bool letters = graces_lettered(at->set, note);
    struct grace_boxes boxes = graces_boxes(at->layout, note, letters);
    enum glyph glyph = grace_glyph(chord);
    struct box head = glyph_ink(at->layout, glyph);
    sp middle = sp_scaled(head.left + head.right, HOUSE_GRACE_SCALE) / 2;
    for (int i = 0; i < struck->grace_count && i < GRACES_MAX; i++)
        ink_scaled(at, glyph, grace_offset(at->layout, struck, chord, letters, i) - middle,
                   chord_graced(chord)->y, HOUSE_GRACE_SCALE);
    ink_box(&at->ink, boxes.stems);
    ink_box(&at->ink, boxes.slash);
    ink_slur(at, boxes.slur);
    ink_box(&at->ink, boxes.legers);
    if (letters) {
        struct short_label label =
            label_short(at->layout->metrics, TEXT_STICKING_GRACE, grace_letter(struck, 0));
        sp left = label.ink.left - label.centre;
        sp first = grace_offset(at->layout, struck, chord, true, 0);
        ink_add(&at->ink, BAND_LETTERS, first + left, first);
    }
}

static void ink_above(struct rods *at, const struct set_note *note)
{
    enum glyph glyph = marks_glyph(note->chord.loud, MARK_AT_ACCENT, note->up);
    if (glyph != GLYPH_NONE) {
        sp half = box_width(glyph_ink(at->layout, glyph)) / 2;
        ink_add(&at->ink, BAND_ABOVE, -half, half);
    }
}

static void ink_roll_number(struct rods *at, const struct note *note)
{
    char text[ROLL_NUMBER_ROOM];
    if (!note->roll)
        return;
    ink_label(at, BAND_ABOVE, TEXT_ROLL_NUMBER, roll_number_text(note->roll, text));
    ink_label(at, BAND_ROLL_NUMBERS, TEXT_ROLL_NUMBER, roll_number_text(note->roll, text));
}

static void ink_letter(struct rods *at, const struct set_note *note, int line)
{
    const char *text = at->letters ? note_letter(at->layout, at->set, note, line) : NULL;
    if (!text)
        return;
    enum page_row row = letter_row(&at->layout->work, at->set, note, line);
    ink_label(at, row == ROW_LETTERS ? BAND_LETTERS : BAND_LOWER_LETTERS, letter_style(row), text);
}

static void head_reaches(struct rods *at, sp left, sp right)
{
    at->head_left = sp_min(at->head_left, left);
    at->head_right = sp_max(at->head_right, right);
}

static void ink_rest(struct rods *at, const struct set_note *note)
{
    if (note->leaf->whole_bar) /* in the middle of its bar, clear of every column */
        return;
    enum glyph glyph = (enum glyph)note->rest_glyph;
    struct box ink = glyph_ink(at->layout, glyph);
    struct box dot = glyph_ink(at->layout, GLYPH_AUGMENTATION_DOT);
    sp half = box_width(ink) / 2, y = note->rest_y;
    sp dots = note->leaf->dots * (HOUSE_DOT_GAP + box_width(dot));
    ink_sign(at, glyph, -box_middle_x(ink), y);
    if (dots)
        ink_box(&at->ink, (struct box){0, y - 500 + dot.top, half + dots, y - 500 + dot.bottom});
    if (rest_has_leger(at->layout->staff, note)) {
        half += at->layout->defaults->leger_extension;
        ink_box(&at->ink, (struct box){-half, y, half, y + 1});
    }
    head_reaches(at, -half, half + dots);
}

/* How far a note reaches left of its column: its graces, or its heads. */
static sp note_left(const struct rods *at, const struct set_note *note)
{
    if (!leaf_struck(note->leaf) || !note->leaf->note->grace_count)
        return -note->chord.left;
    return graces_reach(at->layout, note->leaf, &note->chord, graces_lettered(at->set, note));
}

static void ink_note(struct rods *at, uint32_t leaf, int line)
{
    if (leaf == NONE)
        return;
    const struct set_note *note = &at->layout->work.notes.items[at->set->notes[line].first + leaf];
    if (note->hidden && leaf_struck(note->leaf))
        ink_letter(at, note, line);
    if (note->hidden)
        return;
    if (!note->chord.count) {
        ink_rest(at, note);
        return;
    }
    ink_heads(at, &note->chord);
    ink_dots(at, &note->chord);
    ink_stem(at, note);
    ink_stem_mark(at, note);
    if (leaf_struck(note->leaf)) {
        ink_graces(at, note);
        ink_above(at, note);
        ink_roll_number(at, note->leaf->note);
        ink_letter(at, note, line);
    }
    head_reaches(at, -note_left(at, note), heads_right(at, &note->chord));
}

static void ink_column(struct rods *at, const struct column *column)
{
    at->ink.bands = 0;
    at->head_left = at->head_right = 0;
    ink_note(at, column->hands, LINE_HANDS);
    ink_note(at, column->feet, LINE_FEET);
    if (column->figure != NONE) {
        sp half = figure_half(&at->set->bar->figures->leaves[column->figure]);
        ink_add(&at->ink, BAND_FIGURES, -HOUSE_FIGURE_HALF, half);
    }
    if (column->count != NONE) {
        struct short_label label =
            count_label(at->layout, &at->set->bar->counts[column->count], true);
        ink_centred(at, BAND_COUNTS, &label);
    }
}

/* ---- rods and bridges --------------------------------------------------------------------- */

static sp rods_length(const struct spring *springs, size_t from, size_t to)
{
    sp length = 0;
    for (size_t i = from; i < to; i++)
        length += springs[i].rod;
    return length;
}

/* Whether it lengthened a rod. */
static bool bridge_settle(struct spring *springs, const struct bridge *bridge)
{
    if (rods_length(springs, bridge->from, bridge->to) >= bridge->least)
        return false;
    struct setting setting =
        springs_solve(springs + bridge->from, bridge->to - bridge->from, bridge->least);
    for (size_t i = bridge->from; i < bridge->to; i++)
        springs[i].rod = (sp)ceil(spring_length(&springs[i], setting));
    return true;
}

/* How much shorter a rod may be if no bridge over it is to break; `own` is its length without them.
 */
static sp rod_gives(const struct rods *at, size_t i)
{
    sp gives = at->springs[i].rod - at->springs[i].own;
    for (size_t k = 0; k < at->bridge_count && gives > 0; k++) {
        const struct bridge *bridge = &at->bridges[k];
        if (bridge->from <= i && i < bridge->to)
            gives =
                sp_min(gives, rods_length(at->springs, bridge->from, bridge->to) - bridge->least);
    }
    return gives;
}

/* A bridge may have lengthened a rod for which a later bridge makes room elsewhere. */
static void bridges_ease(struct rods *at)
{
    for (size_t k = at->bridge_count; k-- > 0;)
        for (size_t i = at->bridges[k].from; i < at->bridges[k].to; i++)
            at->springs[i].rod -= sp_max(rod_gives(at, i), 0);
}

static int shorter_first(const void *a, const void *b)
{
    const struct bridge *left = a, *right = b;
    size_t one = left->to - left->from, other = right->to - right->from;
    if (one != other)
        return one < other ? -1 : 1;
    return left->from != right->from ? (left->from < right->from ? -1 : 1)
                                     : (left->least > right->least) - (left->least < right->least);
}

static void bridges_settle(struct rods *at)
{
    size_t settled = 0;
    qsort(at->bridges, at->bridge_count, sizeof *at->bridges, shorter_first);
    for (size_t i = at->set->columns.first; i < at->set->columns.end; i++)
        at->springs[i].own = at->springs[i].rod;
    for (size_t i = 0; i < at->bridge_count; i++)
        settled += bridge_settle(at->springs, &at->bridges[i]);
    if (settled > 1)
        bridges_ease(at);
    at->bridge_count = 0;
}

/* Column `to` keeps `least` from column `from`. */
static void rod_add(struct rods *at, size_t from, size_t to, sp least)
{
    if (to == from + 1) {
        at->springs[from].rod = sp_max(at->springs[from].rod, least);
        return;
    }
    struct bridge *last = at->bridge_count ? &at->bridges[at->bridge_count - 1] : NULL;
    if (last && last->from == from && last->to == to) {
        last->least = sp_max(last->least, least);
        return;
    }
    if (at->bridge_count == BRIDGES_MAX)
        bridges_settle(at);
    at->bridges[at->bridge_count++] = (struct bridge){from, to, least};
}

static sp band_gap(int band)
{
    switch (band) {
    case BAND_ROLL_NUMBERS:
        return HOUSE_NUMBER_GAP;
    case BAND_COUNTS:
    case BAND_FIGURES:
        return HOUSE_TEXT_GAP;
    case BAND_LETTERS:
    case BAND_LOWER_LETTERS:
        return HOUSE_LETTER_GAP;
    default:
        return HOUSE_INK_GAP;
    }
}

/* From the last ink in the band to that of column `to`. */
static sp gap_before(const struct rods *at, size_t to, int band)
{
    const struct column *columns = at->layout->work.columns.items;
    const struct count *counts = at->set->bar->counts;
    if (band == BAND_COUNTS && (counts[columns[to].count].beat_number ||
                                counts[columns[at->reach[band].column].count].beat_number))
        return HOUSE_BEAT_GAP;
    return band_gap(band);
}

/* Keeps column `to`, whose ink in the band begins at `left`, clear of the last ink there. Adds
   nothing if the rods between neighbours already keep the two columns far enough apart. */
static void band_clear(struct rods *at, size_t to, int band, sp left, sp gap)
{
    const struct column *columns = at->layout->work.columns.items;
    const struct reach *reach = &at->reach[band];
    sp least = reach->right - left + gap;
    sp apart = columns[to - 1].tight - columns[reach->column].tight;
    if (least > apart + at->springs[to - 1].rod)
        rod_add(at, reach->column, to, least);
}

/* The bands of a set, one after the other. */
#define each_band(band, set)                                                                       \
    for (uint64_t left_ = (set); left_ && ((band) = __builtin_ctzll(left_), true);                 \
         left_ &= left_ - 1)

static void column_clear(struct rods *at, size_t index)
{
    struct column *column = &at->layout->work.columns.items[index];
    int band;
    each_band(band, at->ink.bands & at->reached)
        band_clear(at, index, band, at->ink.left[band], gap_before(at, index, band));
    column->tight = column[-1].tight + at->springs[index - 1].rod;
}

static void column_reach(struct rods *at, size_t index)
{
    int band;
    each_band(band, at->ink.bands) at->reach[band] = (struct reach){index, at->ink.right[band]};
    at->reached |= at->ink.bands;
}

/* ---- the bar's ends ----------------------------------------------------------------------- */

/* White from a bar line to the ink next to it in a band. Where the line does not reach through the
   band, half the gap that neighbours keep across it. */
static sp bar_gap(const struct rods *at, int band, sp barred)
{
    bool reaches = band < BAND_ABOVE && band >= band_at(at->layout->staff->bar_top) &&
                   band <= band_at(at->layout->staff->bar_bottom - 1);
    return reaches ? barred : band_gap(band) / 2;
}

static sp bar_lead(const struct rods *at)
{
    sp lead = HOUSE_BAR_LEAD - at->head_left;
    int band;
    each_band(band, at->ink.bands) lead =
        sp_max(lead, bar_gap(at, band, HOUSE_BAR_LEAD) - at->ink.left[band]);
    return lead;
}

static void bar_trail(struct rods *at)
{
    size_t end = at->set->columns.end;
    int band;
    rod_add(at, end - 1, end, at->head_right + HOUSE_BAR_TRAIL);
    each_band(band, at->reached) band_clear(at, end, band, 0, bar_gap(at, band, HOUSE_BAR_TRAIL));
}

/* How far what follows a note reaches left of its column. */
static sp reach_of_next(const struct rods *at, const struct set_note *next)
{
    if (next->chord.count)
        return note_left(at, next);
    return box_width(glyph_ink(at->layout, (enum glyph)next->rest_glyph)) / 2;
}

/* A tie into nothing has its room before the next note or rest that is seen. */
static void rings_hold(struct rods *at, int line)
{
    const struct set_note *notes = at->layout->work.notes.items;
    struct range all = at->set->notes[line];
    for (size_t i = all.first; i < all.end; i++) {
        const struct set_note *note = &notes[i], *next = i + 1 < all.end ? note + 1 : NULL;
        if (note->hidden || !note_rings(note))
            continue;
        sp least = ring_reach(at->layout, note) + HOUSE_TIE_BESIDE;
        if (!next)
            rod_add(at, note->column, at->set->columns.end, least);
        else if (!next->hidden)
            rod_add(at, note->column, next->column, least + reach_of_next(at, next));
    }
}

/* A tie is never too short to be seen. */
static void ties_hold(struct rods *at, int line)
{
    const struct set_note *notes = at->layout->work.notes.items;
    struct range all = at->set->notes[line];
    for (size_t i = all.first; i < all.end; i++) {
        const struct set_note *note = &notes[i], *next = i + 1 < all.end ? note + 1 : NULL;
        if (!note->chord.count || !note_leads_on(note) || (next && !next->chord.count))
            continue;
        sp least = tie_reach(at->layout, note) + HOUSE_TIE_LEAST;
        if (next)
            rod_add(at, note->column, next->column, least + note_left(at, next));
        else
            rod_add(at, note->column, at->set->columns.end, least);
    }
}

/* A rest is never stuck to the note before it. */
static void rests_hold(struct rods *at, int line)
{
    const struct set_note *notes = at->layout->work.notes.items;
    struct range all = at->set->notes[line];
    for (size_t i = all.first; i + 1 < all.end; i++) {
        const struct set_note *note = &notes[i], *rest = note + 1;
        if (note->hidden || rest->hidden || !note->chord.count || rest->chord.count)
            continue;
        rod_add(at, note->column, rest->column,
                heads_right(at, &note->chord) + HOUSE_REST_WHITE + reach_of_next(at, rest));
    }
}

/* A sign or a whole rest, alone in the middle of its bar, gets room between the bar lines. */
static void centre_holds(struct rods *at)
{
    sp least = bar_sign_width(at->layout, at->set->bar);
    size_t first = at->set->columns.first, end = at->set->columns.end;
    sp room = at->set->lead + rods_length(at->springs, first, end);
    if (least)
        at->springs[end - 1].rod += sp_max(least - room, 0);
}

void rods_set(struct layout *layout, struct set_bar *set)
{
    struct rods at = {.layout = layout, .set = set};
    size_t first = set->columns.first, end = set->columns.end;
    at.springs = layout->work.springs.items;
    at.letters = set->bar->settings->show->sticking;
    for (size_t i = first; i < end; i++) {
        ink_column(&at, &layout->work.columns.items[i]);
        if (i == first)
            set->lead = bar_lead(&at);
        else
            column_clear(&at, i);
        column_reach(&at, i);
    }
    if (end > first)
        bar_trail(&at);
    ties_hold(&at, LINE_HANDS);
    ties_hold(&at, LINE_FEET);
    rings_hold(&at, LINE_HANDS);
    rings_hold(&at, LINE_FEET);
    rests_hold(&at, LINE_HANDS);
    rests_hold(&at, LINE_FEET);
    bridges_settle(&at);
    if (end > first)
        centre_holds(&at);
    for (size_t i = first; i < end; i++)
        at.springs[i].own = at.springs[i].rod;
}
