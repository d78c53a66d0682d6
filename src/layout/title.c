#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/* The head of the first page: title and subtitle left, school and level right, one rule; and what
   frames every page: the foot and, in a booklet, the running head. */

static const char *school_text(const struct lesson *lesson)
{
    return lesson->author.text ? lesson->author.text : lesson->course_title.text;
}

/* "Book 2 · intermediate": the course, unless it stands on the line above, and the level. */
static void level_text(const struct lesson *lesson, char *text, size_t room)
{
    const char *course = lesson->author.text ? lesson->course_title.text : NULL;
    const char *level = lesson->settings.level.text;
    snprintf(text, room, "%s%s%s", course ? course : "", course && level ? " \u00b7 " : "",
             level ? level : "");
}

bool title_shown(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    return lesson->title.text || lesson->subtitle.text || lesson->author.text;
}

/* What the right-hand text leaves of the line. */
static sp room_beside(const struct layout *layout, enum text_style style, const char *right)
{
    sp room = layout->sheet.text_right - layout->sheet.text_left;
    if (right && right[0])
        room -= text_advance(layout, style, right) + paper(layout, HOUSE_COLUMN_GAP_UM);
    return room;
}

void title_draw(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    const char *school = school_text(lesson);
    char level[512];
    level_text(lesson, level, sizeof level);
    sp left = layout->sheet.text_left, right = layout->sheet.text_right, y = 0;
    layout->pen.owner = mark_owner(OWNER_NONE, 0, OWNER_NONE, OWNER_NONE);
    if (lesson->title.text)
        y = text_wrapped(layout, ROLE_TITLE, TEXT_TITLE, lesson->title.text,
                         (struct point){left, 0},
                         text_even_width(layout, TEXT_TITLE, lesson->title.text,
                                         room_beside(layout, TEXT_SCHOOL, school)),
                         text_em(layout, TEXT_TITLE) * HOUSE_TITLE_LEAD / 1000);
    if (school)
        text_right(layout, ROLE_SCHOOL, TEXT_SCHOOL, school, right, y);
    if (lesson->subtitle.text || level[0])
        y += paper(layout, HOUSE_TITLE_GAP_UM) + text_em(layout, TEXT_SUBTITLE);
    sp last = y;
    if (lesson->subtitle.text)
        last = text_wrapped(layout, ROLE_SUBTITLE, TEXT_SUBTITLE, lesson->subtitle.text,
                            (struct point){left, y},
                            text_even_width(layout, TEXT_SUBTITLE, lesson->subtitle.text,
                                            room_beside(layout, TEXT_SCHOOL, level)),
                            text_em(layout, TEXT_SUBTITLE) * HOUSE_TEXT_LEAD / 1000);
    if (level[0])
        text_right(layout, ROLE_SCHOOL, TEXT_SCHOOL, level, right, y);
    y = last + paper(layout, HOUSE_RULE_GAP_UM);
    pen_line(&layout->pen, ROLE_RULE, (struct point){left, y}, (struct point){right, y},
             paper(layout, HOUSE_RULE_UM));
}

static sp foot_baseline(const struct layout *layout)
{
    return layout->sheet.height - layout->sheet.margin - text_ink(layout, TEXT_FOOT, "Hg").bottom;
}

sp foot_rule(const struct layout *layout)
{
    return foot_baseline(layout) + text_ink(layout, TEXT_FOOT, "Hg").top -
           paper(layout, HOUSE_FOOT_GAP_UM);
}

/* One line: what is longer than the room is cut at a word. */
static void line_draw(struct layout *layout, enum mark_role role, const char *text, struct point at,
                      sp room)
{
    const label_id *lines;
    if (layout->metrics->wrap(layout->metrics->self, TEXT_FOOT, text, strlen(text), room, &lines))
        pen_label(&layout->pen, role, lines[0], at.x, at.y);
}

static void foot_rule_draw(struct layout *layout, sp y)
{
    const struct sheet *sheet = &layout->sheet;
    layout->pen.owner = mark_owner(OWNER_NONE, 0, OWNER_NONE, OWNER_NONE);
    pen_line(&layout->pen, ROLE_RULE, (struct point){sheet->text_left, y},
             (struct point){sheet->text_right, y}, paper(layout, HOUSE_FOOT_RULE_UM));
}

void foot_draw(struct layout *layout, const char *own, uint32_t number, uint32_t count)
{
    const struct sheet *sheet = &layout->sheet;
    char pages[32];
    snprintf(pages, sizeof pages, "%u of %u", number, count);
    sp y = foot_baseline(layout);
    foot_rule_draw(layout, foot_rule(layout));
    text_right(layout, ROLE_FOOT, TEXT_FOOT, pages, sheet->text_right, y);
    if (own)
        line_draw(layout, ROLE_FOOT, own, (struct point){sheet->text_left, y},
                  room_beside(layout, TEXT_FOOT, pages));
}

void head_draw(struct layout *layout, const char *left, const char *right)
{
    const struct sheet *sheet = &layout->sheet;
    struct box ink = text_ink(layout, TEXT_FOOT, "Hg");
    sp y = sheet->margin - ink.top;
    sp half = (sheet->text_right - sheet->text_left) / 2;
    foot_rule_draw(layout, y + ink.bottom + paper(layout, HOUSE_HEAD_GAP_UM));
    if (left)
        line_draw(layout, ROLE_RUNNING_HEAD, left, (struct point){sheet->text_left, y},
                  half - paper(layout, HOUSE_COLUMN_GAP_UM));
    const label_id *lines;
    if (right && layout->metrics->wrap(layout->metrics->self, TEXT_FOOT, right, strlen(right), half,
                                       &lines)) {
        label_id line = lines[0];
        pen_label(&layout->pen, ROLE_RUNNING_HEAD, line,
                  sheet->text_right - metrics_of_label(layout->metrics, line)->ink.right, y);
    }
}
