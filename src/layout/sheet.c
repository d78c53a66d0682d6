#include "layout/layout_state.h"
#include "layout/text.h"

#include <stdio.h>

static const struct {
    double width_mm, height_mm;
} page_sizes[] = {
    [PAGE_A4] = {210, 297},         /* ISO 216 */
    [PAGE_LETTER] = {215.9, 279.4}, /* ANSI/ASME Y14.1, 8.5 by 11 inches */
};

enum { SCREEN_MARGIN_UM = 1000 };

sp foot_baseline(const struct layout *layout)
{
    return layout->sheet.height - layout->sheet.margin - text_ink(layout, TEXT_FOOT, "Hg").bottom;
}

static sp foot_rule(const struct layout *layout)
{
    return foot_baseline(layout) + text_ink(layout, TEXT_FOOT, "Hg").top -
           paper(layout, HOUSE_FOOT_GAP_UM);
}

void sheet_set(struct layout *layout, const struct page_settings *page)
{
    struct sheet *sheet = &layout->sheet;
    sheet->width = paper(layout, (int)(page_sizes[page->size].width_mm * 1000));
    sheet->height = paper(layout, (int)(page_sizes[page->size].height_mm * 1000));
    sheet->margin = paper(layout, (int)(page->margin_mm * 1000));
    if (layout->screen_um) {
        sheet->margin = paper(layout, SCREEN_MARGIN_UM);
        sheet->width = paper(layout, (int)layout->screen_um) + 2 * sheet->margin;
    }
    sheet->text_left = sheet->margin;
    sheet->text_right = sheet->width - sheet->margin;
    sheet->text_top = sheet->margin + (layout->part ? paper(layout, HOUSE_HEAD_HEIGHT_UM) : 0);
    sheet->text_bottom = sp_min(sheet->height - sheet->margin - paper(layout, HOUSE_FOOT_HEIGHT_UM),
                                foot_rule(layout) - HOUSE_FOOT_CLEAR);
}

struct page page_of_marks(const struct layout *layout, uint32_t number, uint32_t count)
{
    const struct sheet *sheet = &layout->sheet;
    return (struct page){
        .number = number,
        .count = count,
        .width = sheet->width,
        .height = sheet->height,
        .margin = sheet->margin,
        .marks = layout->pen.marks.items,
        .mark_count = layout->pen.marks.count,
    };
}

static void frame_rule_draw(struct layout *layout, sp y)
{
    layout->pen.owner = no_owner;
    pen_horizontal(&layout->pen, ROLE_RULE, layout->sheet.text_left, layout->sheet.text_right, y,
                   paper(layout, HOUSE_FOOT_RULE_UM));
}

void foot_draw(struct layout *layout, const char *own, uint32_t number, uint32_t count)
{
    struct buffer text = {0};
    page_word_fill(&text, page_word(layout->words, "{n} of {m}"), number, count);
    const char *pages = buffer_text(&text);
    sp y = foot_baseline(layout);
    frame_rule_draw(layout, foot_rule(layout));
    text_right(layout, ROLE_FOOT, TEXT_FOOT, pages, layout->sheet.text_right, y);
    if (own)
        text_cut_draw(layout, ROLE_FOOT, own, (struct point){layout->sheet.text_left, y},
                      line_width(layout) - text_advance(layout, TEXT_FOOT, pages) -
                          paper(layout, HOUSE_COLUMN_GAP_UM));
    buffer_release(&text);
}

void head_draw(struct layout *layout, const char *left, const char *right)
{
    const struct sheet *sheet = &layout->sheet;
    struct box ink = text_ink(layout, TEXT_FOOT, "Hg");
    sp y = sheet->margin + text_metrics(layout, TEXT_FOOT, "H")->ascent;
    sp half = line_width(layout) / 2;
    frame_rule_draw(layout, y + ink.bottom + paper(layout, HOUSE_HEAD_GAP_UM));
    if (left)
        text_cut_draw(layout, ROLE_RUNNING_HEAD, left, (struct point){sheet->text_left, y},
                      half - paper(layout, HOUSE_COLUMN_GAP_UM));
    if (!right)
        return;
    struct text_fit fit = text_fit(layout, TEXT_FOOT, right, half);
    text_fit_draw(layout, ROLE_RUNNING_HEAD, &fit, sheet->text_right - fit.ink, y);
}
