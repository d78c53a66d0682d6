#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/* The head of the first page: title and subtitle left, school and level right, one rule; and the
   foot of every page. */

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
                         (struct point){left, 0}, room_beside(layout, TEXT_SCHOOL, school),
                         text_em(layout, TEXT_TITLE) * HOUSE_TITLE_LEAD / 1000);
    if (school)
        text_right(layout, ROLE_SCHOOL, TEXT_SCHOOL, school, right, y);
    if (lesson->subtitle.text || level[0])
        y += paper(layout, HOUSE_TITLE_GAP_UM) + text_em(layout, TEXT_SUBTITLE);
    sp last = y;
    if (lesson->subtitle.text)
        last = text_wrapped(layout, ROLE_SUBTITLE, TEXT_SUBTITLE, lesson->subtitle.text,
                            (struct point){left, y}, room_beside(layout, TEXT_SCHOOL, level),
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

void foot_draw(struct layout *layout, uint32_t number)
{
    const struct lesson *lesson = layout->score->lesson;
    const struct sheet *sheet = &layout->sheet;
    const char *own = lesson->copyright.text ? lesson->copyright.text : lesson->author.text;
    char pages[32];
    snprintf(pages, sizeof pages, "%u of %zu", number, layout->page_count);
    layout->pen.owner = mark_owner(OWNER_NONE, 0, OWNER_NONE, OWNER_NONE);
    sp y = foot_baseline(layout), rule = foot_rule(layout);
    pen_line(&layout->pen, ROLE_RULE, (struct point){sheet->text_left, rule},
             (struct point){sheet->text_right, rule}, paper(layout, HOUSE_FOOT_RULE_UM));
    text_right(layout, ROLE_FOOT, TEXT_FOOT, pages, sheet->text_right, y);
    if (!own)
        return;
    const label_id *lines; /* one line: what is longer than it is cut at a word */
    sp room = room_beside(layout, TEXT_FOOT, pages);
    if (layout->metrics->wrap(layout->metrics->self, TEXT_FOOT, own, strlen(own), room, &lines))
        pen_label(&layout->pen, ROLE_FOOT, lines[0], sheet->text_left, y);
}
