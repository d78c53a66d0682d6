#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/* The head of the first page: title and subtitle left, school and level right, one rule; and what
   frames every page: the foot and, in a booklet, the running head. */

struct right_text {
    struct text_fit fit;
    bool any;
};

static struct right_text right_text(const struct layout *layout, const char *text)
{
    sp width = layout->sheet.text_right - layout->sheet.text_left;
    if (!text || !text[0])
        return (struct right_text){.any = false};
    return (struct right_text){
        .any = true,
        .fit =
            text_fit(layout, TEXT_SCHOOL, text, (sp)((int64_t)width * HOUSE_SCHOOL_SHARE / 1000)),
    };
}

static struct right_text school_text(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    return right_text(layout,
                      lesson->author.text ? lesson->author.text : lesson->course_title.text);
}

/* "Book 2 · intermediate": the course, unless it stands on the line above, and the level. */
static struct right_text level_text(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    const char *course = lesson->author.text ? lesson->course_title.text : NULL;
    const char *level = lesson->settings.level.text;
    if (course && level)
        return right_text(layout, arena_format(layout->arena, "%s \u00b7 %s", course, level));
    return right_text(layout, course ? course : level);
}

bool title_shown(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    return lesson->title.text || lesson->subtitle.text || lesson->author.text;
}

/* What the right-hand text leaves of the line. */
static sp room_beside(const struct layout *layout, const struct right_text *right)
{
    sp room = layout->sheet.text_right - layout->sheet.text_left;
    return right->any ? room - right->fit.advance - paper(layout, HOUSE_COLUMN_GAP_UM) : room;
}

static void right_draw(struct layout *layout, const struct right_text *right, sp y)
{
    if (right->any)
        text_fit_draw(layout, ROLE_SCHOOL, &right->fit, layout->sheet.text_right - right->fit.ink,
                      y);
}

void title_draw(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct right_text school = school_text(layout), level = level_text(layout);
    sp left = layout->sheet.text_left, right = layout->sheet.text_right, y = 0;
    layout->pen.owner = mark_owner(OWNER_NONE, 0, OWNER_NONE, OWNER_NONE);
    if (lesson->title.text)
        y = text_wrapped(
            layout, ROLE_TITLE, TEXT_TITLE, lesson->title.text, (struct point){left, 0},
            text_even_width(layout, TEXT_TITLE, lesson->title.text, room_beside(layout, &school)),
            text_em(layout, TEXT_TITLE) * HOUSE_TITLE_LEAD / 1000, HOUSE_TEXT_LINES);
    right_draw(layout, &school, y);
    if (lesson->subtitle.text || level.any)
        y += paper(layout, HOUSE_TITLE_GAP_UM) + text_em(layout, TEXT_SUBTITLE);
    sp last = y;
    if (lesson->subtitle.text)
        last = text_wrapped(
            layout, ROLE_SUBTITLE, TEXT_SUBTITLE, lesson->subtitle.text, (struct point){left, y},
            text_even_width(layout, TEXT_SUBTITLE, lesson->subtitle.text,
                            room_beside(layout, &level)),
            text_em(layout, TEXT_SUBTITLE) * HOUSE_TEXT_LEAD / 1000, HOUSE_TEXT_LINES);
    right_draw(layout, &level, y);
    y = last + paper(layout, HOUSE_RULE_GAP_UM);
    pen_line(&layout->pen, ROLE_RULE, (struct point){left, y}, (struct point){right, y},
             paper(layout, HOUSE_RULE_UM));
}

void title_tell(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct right_text school = school_text(layout), level = level_text(layout);
    text_tell(layout, lesson->title.at, "the title", TEXT_TITLE, lesson->title.text,
              room_beside(layout, &school));
    text_tell(layout, lesson->subtitle.at, "the subtitle", TEXT_SUBTITLE, lesson->subtitle.text,
              room_beside(layout, &level));
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

/* One line, in the room that there is. */
void text_line(struct layout *layout, enum mark_role role, const char *text, struct point at,
               sp room)
{
    struct text_fit fit = text_fit(layout, TEXT_FOOT, text, room);
    text_fit_draw(layout, role, &fit, at.x, at.y);
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
        text_line(layout, ROLE_FOOT, own, (struct point){sheet->text_left, y},
                  sheet->text_right - sheet->text_left - text_advance(layout, TEXT_FOOT, pages) -
                      paper(layout, HOUSE_COLUMN_GAP_UM));
}

void head_draw(struct layout *layout, const char *left, const char *right)
{
    const struct sheet *sheet = &layout->sheet;
    struct box ink = text_ink(layout, TEXT_FOOT, "Hg");
    label_id letter = metrics_label(layout->metrics, TEXT_FOOT, "H", 1);
    sp y = sheet->margin + metrics_of_label(layout->metrics, letter)->ascent;
    sp half = (sheet->text_right - sheet->text_left) / 2;
    foot_rule_draw(layout, y + ink.bottom + paper(layout, HOUSE_HEAD_GAP_UM));
    if (left)
        text_line(layout, ROLE_RUNNING_HEAD, left, (struct point){sheet->text_left, y},
                  half - paper(layout, HOUSE_COLUMN_GAP_UM));
    if (!right)
        return;
    struct text_fit fit = text_fit(layout, TEXT_FOOT, right, half);
    text_fit_draw(layout, ROLE_RUNNING_HEAD, &fit, sheet->text_right - fit.ink, y);
}
