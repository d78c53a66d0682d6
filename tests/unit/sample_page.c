#include "sample_page.h"

#include "base/vector.h"

#include <math.h>
#include <string.h>

enum { MARGIN = 10000, NOTES = 8, NOTE_STEP = 5000, FIRST_NOTE = 18000 };

struct sheet {
    struct arena *arena;
    const struct metrics *metrics;
    VECTOR(struct mark) marks;
    VECTOR(struct page_system) systems;
};

static struct mark *add(struct sheet *sheet, enum mark_role role, enum mark_shape shape)
{
    struct mark *mark = vector_push(&sheet->marks, sheet->arena);
    mark->role = (uint8_t)role;
    mark->shape = (uint8_t)shape;
    return mark;
}

static void add_sign(struct sheet *sheet, enum mark_role role, enum glyph glyph, sp x, sp y)
{
    struct mark *mark = add(sheet, role, SHAPE_GLYPH);
    struct box ink = sheet->metrics->glyphs[glyph].ink;
    mark->glyph = (uint16_t)glyph;
    mark->scale = 1000;
    mark->as.at = (struct point){x, y};
    mark->box = (struct box){x + ink.left, y + ink.top, x + ink.right, y + ink.bottom};
}

static void add_line(struct sheet *sheet, enum mark_role role, struct point from, struct point to,
                     sp width)
{
    struct mark *mark = add(sheet, role, SHAPE_LINE);
    mark->as.ends.from = from;
    mark->as.ends.to = to;
    mark->with.width = width;
    sp aside = from.x == to.x ? width / 2 : 0, above = from.y == to.y ? width / 2 : 0;
    mark->box = (struct box){from.x - aside, from.y - above, to.x + aside, to.y + above};
}

/* `middle`: x is the middle of the label, else its origin. */
static void add_text(struct sheet *sheet, enum mark_role role, enum text_style style,
                     const char *text, sp x, sp y, bool middle)
{
    label_id label = metrics_label(sheet->metrics, style, text, strlen(text));
    const struct label_metrics *size = metrics_of_label(sheet->metrics, label);
    struct mark *mark = add(sheet, role, SHAPE_LABEL);
    x -= middle ? (size->ink.left + size->ink.right) / 2 : 0;
    mark->as.at = (struct point){x, y};
    mark->with.label = label;
    mark->box = (struct box){x + size->ink.left, y + size->ink.top, x + size->ink.right,
                             y + size->ink.bottom};
}

static void add_beam(struct sheet *sheet, struct point from, struct point to)
{
    sp width = sheet->metrics->defaults->beam;
    struct mark *mark = add(sheet, ROLE_BEAM, SHAPE_BEAM);
    mark->as.ends.from = from;
    mark->as.ends.to = to;
    mark->with.width = width;
    mark->box = (struct box){from.x, (sp)fmin(from.y, to.y) - width / 2, to.x,
                             (sp)fmax(from.y, to.y) + width / 2};
}

static void add_tie(struct sheet *sheet, struct point from, struct point to, int16_t height)
{
    struct mark *mark = add(sheet, ROLE_TIE, SHAPE_CURVE);
    mark->as.ends.from = from;
    mark->as.ends.to = to;
    mark->with.width = sheet->metrics->defaults->tie_middle;
    mark->curve = height;
    sp half = mark->with.width / 2, tip = sheet->metrics->defaults->tie_end / 2;
    mark->box = height > 0 ? (struct box){from.x, from.y - height - half, to.x, from.y + tip}
                           : (struct box){from.x, from.y - tip, to.x, from.y - height + half};
}

static void add_heading(struct sheet *sheet, sp y, const char *number, const char *text)
{
    struct mark *ring = add(sheet, ROLE_HEADING_RING, SHAPE_RING);
    ring->as.at = (struct point){MARGIN + 1600, y - 900};
    ring->radius = 1500;
    ring->with.width = 160;
    ring->box = (struct box){MARGIN + 20, y - 2480, MARGIN + 3180, y + 680};
    add_text(sheet, ROLE_HEADING_NUMBER, TEXT_HEADING_NUMBER, number, MARGIN + 1600, y, true);
    add_text(sheet, ROLE_HEADING, TEXT_HEADING, text, MARGIN + 4500, y, false);
}

static void add_note(struct sheet *sheet, int i, sp y, const char *letters, const char *counts)
{
    const struct glyph_metrics *head = &sheet->metrics->glyphs[GLYPH_HEAD_BLACK];
    sp x = FIRST_NOTE + i * NOTE_STEP;
    sp stem = x + head->stem_up_se.x - sheet->metrics->defaults->stem / 2;
    sp middle = x + (head->ink.left + head->ink.right) / 2;
    add_sign(sheet, ROLE_HEAD, GLYPH_HEAD_BLACK, x, y);
    add_line(sheet, ROLE_STEM, (struct point){stem, y - 3500},
             (struct point){stem, y + head->stem_up_se.y}, sheet->metrics->defaults->stem);
    if (i % 4 == 3)
        add_beam(sheet, (struct point){stem - 3 * NOTE_STEP, y - 3500},
                 (struct point){stem, y - 3500});
    char text[2] = {letters[2 * i], 0};
    add_text(sheet, ROLE_STICKING, TEXT_STICKING, text, middle, y + 5000, true);
    text[0] = counts[2 * i];
    add_text(sheet, ROLE_SYLLABLE, i % 2 ? TEXT_COUNT : TEXT_COUNT_BEAT, text, middle, y + 7500,
             true);
}

static void add_system(struct sheet *sheet, sp y, const char *letters)
{
    struct page_system *system = vector_push(&sheet->systems, sheet->arena);
    *system = (struct page_system){
        .left = MARGIN, .right = FIRST_NOTE + NOTES * NOTE_STEP, .first_mark = sheet->marks.count};
    sp line = sheet->metrics->defaults->staff_line;
    for (sp i = -2; i <= 2; i++)
        add_line(sheet, ROLE_STAFF_LINE, (struct point){system->left, y + i * 1000},
                 (struct point){system->right, y + i * 1000}, line);
    add_sign(sheet, ROLE_CLEF, GLYPH_CLEF_PERCUSSION, MARGIN + 500, y);
    add_sign(sheet, ROLE_METER, GLYPH_METER_4, MARGIN + 3500, y - 1000);
    add_sign(sheet, ROLE_METER, GLYPH_METER_4, MARGIN + 3500, y + 1000);
    for (int i = 0; i < NOTES; i++)
        add_note(sheet, i, y, letters, SAMPLE_COUNTS);
    add_tie(sheet, (struct point){FIRST_NOTE, y + 1000},
            (struct point){FIRST_NOTE + NOTE_STEP, y + 1000}, -800);
    system->mark_count = sheet->marks.count - system->first_mark;
}

struct page *sample_page(struct arena *arena, const struct metrics *metrics)
{
    struct sheet sheet = {.arena = arena, .metrics = metrics};
    add_text(&sheet, ROLE_TITLE, TEXT_TITLE, SAMPLE_TITLE, MARGIN, 15000, false);
    add_text(&sheet, ROLE_PARAGRAPH, TEXT_PARAGRAPH, SAMPLE_PARAGRAPH, MARGIN, 18500, false);
    add_heading(&sheet, 24000, "1", "On the pad");
    add_system(&sheet, 32000, SAMPLE_STICKING_1);
    add_heading(&sheet, 46000, "2", "On the kit");
    add_system(&sheet, 54000, SAMPLE_STICKING_2);
    struct mark *box = add(&sheet, ROLE_LADDER_BOX, SHAPE_BOX);
    box->as.ends.from = (struct point){MARGIN, 66000};
    box->as.ends.to = (struct point){MARGIN + 1500, 67500};
    box->with.width = 150;
    box->box = (struct box){MARGIN - 75, 65925, MARGIN + 1575, 67575};
    add_text(&sheet, ROLE_LADDER_STEP, TEXT_LADDER_STEP, "60", MARGIN + 2200, 67500, false);

    struct page *page = arena_alloc(arena, sizeof *page);
    *page = (struct page){.number = 1,
                          .count = 1,
                          .width = (sp)lround(210 / metrics->space_mm * 1000),
                          .height = (sp)lround(297 / metrics->space_mm * 1000),
                          .marks = sheet.marks.items,
                          .mark_count = sheet.marks.count,
                          .systems = sheet.systems.items,
                          .system_count = sheet.systems.count};
    return page;
}
