#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"
#include "model/ladder.h"

/* The practice ladder: tempos as tick boxes. */

static sp rung_draw(struct layout *layout, unsigned tempo, sp x, sp y)
{
    char text[TEMPO_TEXT_ROOM];
    tempo_text(tempo, text);
    sp side = paper(layout, HOUSE_LADDER_BOX_UM);
    sp middle = y + text_ink(layout, TEXT_LADDER_STEP, "0").top / 2;
    pen_box(&layout->pen, ROLE_LADDER_BOX,
            (struct box){x, middle - side / 2, x + side, middle + side / 2},
            paper(layout, HOUSE_LADDER_LINE_UM));
    x += side + paper(layout, HOUSE_LADDER_STEP_GAP_UM);
    return x + text_left(layout, ROLE_LADDER_STEP, TEXT_LADDER_STEP, text, x, y);
}

static bool has_fractions(const unsigned *rungs, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (rungs[i] % TEMPO_ONE)
            return true;
    return false;
}

void ladder_draw(struct layout *layout, uint32_t exercise)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = ladder_rungs(layout->score, exercise, rungs);
    sp gap = paper(layout, HOUSE_LADDER_ITEM_GAP_UM), x = layout->sheet.text_left, y = 0;
    sp room =
        paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_LADDER_STEP_GAP_UM) +
        text_advance(layout, TEXT_LADDER_STEP, has_fractions(rungs, count) ? "000.00" : "000");
    layout->pen.owner = exercise_owner(exercise);
    x += text_left(layout, ROLE_LADDER_TITLE, TEXT_LADDER_TITLE,
                   page_word(layout->words, "Practice ladder"), x, y) +
         gap;
    sp left = x;
    for (size_t i = 0; i < count; i++) {
        if (x > left && x + room > layout->sheet.text_right) {
            x = left;
            y += paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_KEY_ROW_GAP_UM);
        }
        x = rung_draw(layout, rungs[i], x, y) + gap;
    }
}
