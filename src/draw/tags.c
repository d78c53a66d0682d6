#include "draw/tags.h"

#include "draw/alt_words.h"

/* The element around all pages. Without it cairo does not mark the file as tagged. */
static const char document[] = "Document";

static const char *const names[] = {
    [TAG_H1] = "H1", [TAG_H2] = "H2", [TAG_P] = "P", [TAG_FIGURE] = "Figure"};

void tags_init(struct tags *tags, struct arena *arena, const struct drawing_words *words,
               const struct text_labels *labels)
{
    *tags = (struct tags){.arena = arena, .words = words, .labels = labels, .headed = OWNER_NONE};
}

void tags_next_lesson(struct tags *tags)
{
    tags->described.count = 0;
    tags->headed = OWNER_NONE;
}

void tags_begin_page(struct tags *tags, cairo_t *cairo)
{
    tags->cairo = cairo;
    tags->open = TAG_NONE;
    tags->has_text = false;
    if (!tags->begun)
        cairo_tag_begin(cairo, document, NULL);
    tags->begun = true;
}

void tags_end_document(struct tags *tags, cairo_t *cairo)
{
    if (tags->begun)
        cairo_tag_end(cairo, document);
}

void tags_end(struct tags *tags)
{
    if (tags->open != TAG_NONE)
        cairo_tag_end(tags->cairo, names[tags->open]);
    tags->open = TAG_NONE;
}

static void begin(struct tags *tags, enum tag tag)
{
    tags_end(tags);
    if (tag != TAG_NONE)
        cairo_tag_begin(tags->cairo, names[tag], NULL);
    tags->open = tag;
    tags->has_text = false;
}

/* The number in the ring of an exercise belongs to its heading. In a practice form the numbers of
   other exercises follow it. */
static enum tag tag_of(const struct tags *tags, const struct mark *mark)
{
    switch ((enum mark_role)mark->role) {
    case ROLE_TITLE:
        return TAG_H1;
    case ROLE_HEADING:
        return TAG_H2;
    case ROLE_HEADING_NUMBER:
        return tags->headed == mark->owner.exercise ? TAG_P : TAG_H2;
    case ROLE_TEMPO: /* "= 60" behind a note, which is a sign: the reading has the whole of it */
    case ROLE_FOOT:
    case ROLE_RUNNING_HEAD:
        return TAG_NONE;
    default:
        return TAG_P;
    }
}

/* True if the mark is one line below the last one, as lines of a paragraph are. */
static bool is_next_line(const struct tags *tags, const struct mark *mark)
{
    /* in thousandths of the face's height; paragraphs are further apart */
    enum { LINE_MOST = 1200 };
    const struct label_metrics *metrics = text_labels_metrics(tags->labels, mark->with.label);
    int64_t apart = mark->as.at.y - tags->last.as.at.y;
    return apart >= 0 && apart * 1000 <= (int64_t)(metrics->ascent + metrics->descent) * LINE_MOST;
}

/* True for texts of one element that have different roles. */
static bool same_thing(const struct mark *a, const struct mark *b)
{
    static const uint8_t things[MARK_ROLE_COUNT] = {
        [ROLE_KEY_TITLE] = 1,   [ROLE_KEY_LABEL] = 1,  [ROLE_LADDER_TITLE] = 2,
        [ROLE_LADDER_STEP] = 2, [ROLE_HEADING] = 3,    [ROLE_HEADING_NUMBER] = 3,
        [ROLE_TITLE] = 4,       [ROLE_PLAN_TITLE] = 5, [ROLE_PLAN_LABEL] = 5,
    };
    return things[a->role] && things[a->role] == things[b->role];
}

/* True for a line of a booklet's contents: its title and the number at the other margin. */
static bool same_entry(const struct mark *a, const struct mark *b)
{
    return a->role == ROLE_CONTENTS_NUMBER && b->role == ROLE_CONTENTS && a->as.at.y == b->as.at.y;
}

static bool goes_on(const struct tags *tags, const struct mark *mark)
{
    const struct mark *last = &tags->last;
    if (tag_of(tags, mark) != tags->open || mark->owner.exercise != last->owner.exercise)
        return false;
    return tags->open == TAG_NONE || same_thing(mark, last) || same_entry(mark, last) ||
           (mark->role == last->role && is_next_line(tags, mark));
}

/* Texts of one role in one element can be shown together. */
bool tags_part(const struct tags *tags, const struct mark *mark)
{
    return !goes_on(tags, mark) || mark->role != tags->last.role || mark->shape != tags->last.shape;
}

void tags_move(struct tags *tags, const struct mark *mark)
{
    if (!goes_on(tags, mark))
        begin(tags, tag_of(tags, mark));
    if (tags->open == TAG_H2)
        tags->headed = mark->owner.exercise;
    tags->last = *mark;
}

/* ---- figures ------------------------------------------------------------------------------ */

static bool is_described(const struct tags *tags, uint32_t exercise)
{
    for (size_t i = tags->described.count; i-- > 0;)
        if (tags->described.items[i] == exercise)
            return true;
    return false;
}

static const char *figure_text(struct tags *tags, uint32_t exercise)
{
    if (is_described(tags, exercise))
        return arena_format(tags->arena, "%s, continued.",
                            words_say(tags->words, WORDS_HEADING, exercise, tags->arena));
    *vector_push(&tags->described, tags->arena) = exercise;
    return words_say(tags->words, WORDS_MUSIC, exercise, tags->arena);
}

void tags_figure(struct tags *tags, uint32_t exercise)
{
    if (tags->open == TAG_FIGURE && tags->last.owner.exercise == exercise)
        return;
    begin(tags, TAG_FIGURE);
    tags->last = (struct mark){.owner.exercise = exercise & OWNER_NONE};
    *vector_push(&tags->figures, tags->arena) = figure_text(tags, exercise);
}
