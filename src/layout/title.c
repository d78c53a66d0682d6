#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"

/* The head of the first page: title and subtitle left, school and level right, a rule below. */

/* A text at the right of a line; NULL: none. Cut where it would take more than its share. */
struct right_text {
    const char *text;
    struct text_fit fit;
};

static struct right_text right_text(const struct layout *layout, const char *text)
{
    struct right_text right = {.text = text && text[0] ? text : NULL};
    if (right.text)
        right.fit =
            text_fit(layout, TEXT_SCHOOL, text, sp_scaled(line_width(layout), HOUSE_SCHOOL_SHARE));
    return right;
}

static struct right_text school_text(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    return right_text(layout,
                      lesson->author.text ? lesson->author.text : lesson->course_title.text);
}

static const char *player_text(const struct layout *layout)
{
    const struct score *score = layout->score;
    if (!score->other_player)
        return NULL;
    bool left = score->lesson->kit.left_handed;
    return page_word(layout->words, left ? "left-handed" : "right-handed");
}

/* "Book 2 · intermediate · left-handed": the course, unless it is on the line above, the
   level, and the player if that is not the one that the lesson is written for. */
static struct right_text level_text(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    const char *level = lesson->settings.level.text;
    const char *parts[] = {lesson->author.text ? lesson->course_title.text : NULL,
                           level ? page_word(layout->words, level) : NULL, player_text(layout)};
    const char *text = NULL;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (parts[i] && *parts[i])
            text = text ? arena_format(layout->arena, "%s \u00b7 %s", text, parts[i]) : parts[i];
    return right_text(layout, text);
}

bool title_shown(const struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    return lesson->title.text || lesson->subtitle.text || lesson->author.text ||
           layout->score->other_player;
}

/* What the text at the right leaves of the line. */
static sp room_beside(const struct layout *layout, const struct right_text *right)
{
    sp room = line_width(layout);
    return right->text ? room - right->fit.advance - paper(layout, HOUSE_COLUMN_GAP_UM) : room;
}

/* The text at the left of a line, on as many as it takes; returns the last baseline. */
static sp left_draw(struct layout *layout, enum mark_role role, enum text_style style,
                    const char *text, const struct right_text *right, int lead, sp y)
{
    if (!text)
        return y;
    sp width = text_even_width(layout, style, text, room_beside(layout, right));
    return text_wrapped(layout, role, style, text, (struct point){layout->sheet.text_left, y},
                        width, text_lead(layout, style, lead), HOUSE_TEXT_LINES);
}

static void right_draw(struct layout *layout, const struct right_text *right, sp y)
{
    if (right->text)
        text_fit_draw(layout, ROLE_SCHOOL, &right->fit, layout->sheet.text_right - right->fit.ink,
                      y);
}

void title_draw(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct right_text school = school_text(layout), level = level_text(layout);
    layout->pen.owner = no_owner;
    sp y =
        left_draw(layout, ROLE_TITLE, TEXT_TITLE, lesson->title.text, &school, HOUSE_TITLE_LEAD, 0);
    right_draw(layout, &school, y);
    bool more = lesson->subtitle.text || level.text;
    if (more)
        y += paper(layout, HOUSE_TITLE_GAP_UM) + text_em(layout, TEXT_SUBTITLE);
    sp last = left_draw(layout, ROLE_SUBTITLE, TEXT_SUBTITLE, lesson->subtitle.text, &level,
                        HOUSE_TEXT_LEAD, y);
    right_draw(layout, &level, y);
    pen_horizontal(&layout->pen, ROLE_RULE, layout->sheet.text_left, layout->sheet.text_right,
                   last + paper(layout, more ? HOUSE_RULE_GAP_UM : HOUSE_RULE_UNDER_TITLE_UM),
                   paper(layout, HOUSE_RULE_UM));
}

void title_warn_cut(struct layout *layout)
{
    const struct lesson *lesson = layout->score->lesson;
    struct right_text school = school_text(layout), level = level_text(layout);
    text_warn_cut(layout, lesson->title.at, "the title", TEXT_TITLE, lesson->title.text,
                  room_beside(layout, &school));
    text_warn_cut(layout, lesson->subtitle.at, "the subtitle", TEXT_SUBTITLE, lesson->subtitle.text,
                  room_beside(layout, &level));
}
