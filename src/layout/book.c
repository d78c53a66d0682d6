#include "layout/book.h"

#include "layout/layout_state.h"
#include "layout/text.h"

#include <math.h>
#include <stdio.h>

struct book_layout {
    const struct book *book;
    struct layout layout;           /* paper, pen and text; no score */
    VECTOR(struct range) contents;  /* lines of the contents, for each of its pages */
    VECTOR(struct page_link) links; /* of the page being written */
    struct page page;
};

/* ---- the cover ---------------------------------------------------------------------------- */

static size_t lessons_of(const struct book *book)
{
    size_t count = 0;
    for (size_t i = 0; i < book->entry_count; i++)
        count += !book->entries[i].heading;
    return count;
}

/* A drum seen from above, like the rings of the exercises' numbers, with its lugs; in it the number
   of lessons. */
static void drum_draw(struct layout *layout, size_t lessons)
{
    const sp radius = paper(layout, HOUSE_DRUM_UM), lug = paper(layout, HOUSE_DRUM_LUG_UM);
    const int grown = HOUSE_DRUM_UM / HOUSE_RING_UM; /* so many times a heading's ring */
    const sp rim = paper(layout, HOUSE_RING_LINE_UM * grown / 2);
    struct point centre = {layout->sheet.text_right - radius - lug - rim,
                           sp_scaled(layout->sheet.height, HOUSE_COVER_DRUM)};
    struct pen *pen = &layout->pen;
    pen_ring(pen, ROLE_COVER_DRUM, centre, radius, rim);
    pen_ring(pen, ROLE_COVER_DRUM, centre,
             (sp)((int64_t)radius * HOUSE_RING_INNER_UM / HOUSE_RING_UM),
             paper(layout, HOUSE_RING_INNER_LINE_UM * grown / 2));
    for (int i = 0; i < HOUSE_DRUM_LUGS; i++) {
        double turn = (i + 0.5) * 2 * acos(-1) / HOUSE_DRUM_LUGS;
        double across = cos(turn), down = sin(turn), from = radius + rim, to = radius + lug;
        pen_line(pen, ROLE_COVER_DRUM,
                 (struct point){centre.x + (sp)(from * across), centre.y + (sp)(from * down)},
                 (struct point){centre.x + (sp)(to * across), centre.y + (sp)(to * down)},
                 paper(layout, HOUSE_DRUM_LUG_WIDTH_UM));
    }
    char number[24];
    snprintf(number, sizeof number, "%zu", lessons);
    enum text_style style = lessons < 1000 ? TEXT_COVER_NUMBER : TEXT_COVER_TITLE;
    struct box ink = text_ink(layout, style, number);
    sp word = paper(layout, HOUSE_DRUM_WORD_UM);
    sp y = centre.y - (ink.top + word) / 2;
    text_centred(layout, ROLE_COVER, style, number, centre.x, y);
    text_centred(layout, ROLE_COVER, TEXT_COVER_AUTHOR,
                 page_plural(layout->words, "lesson", "lessons", (unsigned)lessons), centre.x,
                 y + word);
}

/* Returns the last baseline. A text that would fill the page is cut. */
static sp cover_text(struct layout *layout, enum text_style style, const char *text, sp y, int lead,
                     size_t most)
{
    return text_wrapped(layout, ROLE_COVER, style, text, (struct point){layout->sheet.text_left, y},
                        line_width(layout), text_lead(layout, style, lead), most);
}

static enum text_style cover_title_style(const struct layout *layout, const char *title)
{
    const label_id *lines;
    size_t count = text_wrap(layout, TEXT_COVER_TITLE, title, line_width(layout), &lines);
    return count <= HOUSE_COVER_LINES ? TEXT_COVER_TITLE : TEXT_TITLE;
}

/* Copyright and date, at the cover's foot. */
static void cover_foot_draw(struct layout *layout, const struct book *book)
{
    const struct sheet *sheet = &layout->sheet;
    sp y = foot_baseline(layout), room = line_width(layout);
    if (book->date) {
        text_right(layout, ROLE_COVER, TEXT_FOOT, book->date, sheet->text_right, y);
        room -= text_advance(layout, TEXT_FOOT, book->date) + paper(layout, HOUSE_COLUMN_GAP_UM);
    }
    if (book->copyright)
        text_cut_draw(layout, ROLE_COVER, book->copyright, (struct point){sheet->text_left, y},
                      room);
}

/* The drum is below the texts, if they leave it room. */
static void cover_draw(struct book_layout *front)
{
    enum { FEW = 3 }; /* lines of text after the title */
    struct layout *layout = &front->layout;
    const struct book *book = front->book;
    const struct sheet *sheet = &layout->sheet;
    const sp gap = paper(layout, HOUSE_COVER_GAP_UM);
    sp y = sp_scaled(sheet->height, HOUSE_COVER_TOP);
    if (book->title)
        y = cover_text(layout, cover_title_style(layout, book->title), book->title, y,
                       HOUSE_TITLE_LEAD, HOUSE_COVER_LINES_MOST);
    if (book->subtitle)
        y = cover_text(layout, TEXT_COVER_SUBTITLE, book->subtitle,
                       y + gap + text_em(layout, TEXT_COVER_SUBTITLE), HOUSE_TEXT_LEAD, FEW);
    y += gap;
    pen_horizontal(&layout->pen, ROLE_RULE, sheet->text_left, sheet->text_right, y,
                   paper(layout, HOUSE_COVER_RULE_UM));
    if (book->author)
        y = cover_text(layout, TEXT_COVER_AUTHOR, book->author,
                       y + gap + text_em(layout, TEXT_COVER_AUTHOR) / 2, HOUSE_TEXT_LEAD, FEW);
    sp drum = sp_scaled(sheet->height, HOUSE_COVER_DRUM) -
              paper(layout, HOUSE_DRUM_UM + HOUSE_DRUM_LUG_UM);
    if (y + 2 * gap < drum)
        drum_draw(layout, lessons_of(book));
    cover_foot_draw(layout, book);
}

/* ---- the contents ------------------------------------------------------------------------- */

static enum text_style entry_style(const struct book_entry *entry)
{
    return entry->heading ? TEXT_HEADING : TEXT_CONTENTS;
}

static sp indent(const struct layout *layout, const struct book_entry *entry)
{
    int depth = entry->depth > 4 ? 4 : entry->depth;
    if (entry->heading && depth)
        depth--; /* a heading is one step to the left of the lessons under it */
    return layout->sheet.text_left + depth * paper(layout, HOUSE_CONTENTS_INDENT_UM);
}

/* A level with a very long name is left out. */
static const char *shown_note(const struct layout *layout, const struct book_entry *entry)
{
    const char *note = entry->note;
    bool shown = note && text_advance(layout, TEXT_CONTENTS_NOTE, note) * 3 <= line_width(layout);
    return shown ? note : NULL;
}

/* What a title may take of its line: a leader and a number of any length come after it. */
static sp title_room(const struct layout *layout, const struct book_entry *entry)
{
    const char *note = shown_note(layout, entry);
    return layout->sheet.text_right - indent(layout, entry) -
           text_advance(layout, TEXT_CONTENTS, "00000") - 4 * paper(layout, HOUSE_LEADER_GAP_UM) -
           (note ? text_advance(layout, TEXT_CONTENTS_NOTE, note) : 0);
}

static size_t entry_lines(const struct layout *layout, const struct book_entry *entry,
                          const label_id **lines)
{
    size_t count =
        text_wrap(layout, entry_style(entry), entry->title, title_room(layout, entry), lines);
    return count < HOUSE_CONTENTS_LINES_MOST ? count : HOUSE_CONTENTS_LINES_MOST;
}

static sp entry_height(const struct layout *layout, const struct book_entry *entry, bool first)
{
    const label_id *lines;
    size_t count = entry_lines(layout, entry, &lines);
    return (sp)(count ? count : 1) * paper(layout, HOUSE_CONTENTS_LEAD_UM) +
           (entry->heading && !first ? paper(layout, HOUSE_CONTENTS_PART_UM) : 0);
}

/* Where the lines of a page of the contents begin: under the title on the first. */
static sp contents_top(const struct layout *layout, bool first)
{
    sp top = layout->sheet.text_top;
    if (first)
        top += text_em(layout, TEXT_TITLE) + paper(layout, HOUSE_RULE_GAP_UM + HOUSE_KEY_GAP_UM);
    return top;
}

static void contents_break(struct book_layout *front)
{
    const struct layout *layout = &front->layout;
    const struct book *book = front->book;
    for (size_t i = 0; i < book->entry_count;) {
        struct range *page = vector_push(&front->contents, NULL);
        page->first = i;
        sp y = contents_top(layout, front->contents.count == 1);
        size_t kept = i; /* a heading stays with the line after it */
        for (; i < book->entry_count; i++) {
            y += entry_height(layout, &book->entries[i], i == page->first);
            if (y > layout->sheet.text_bottom && kept > page->first)
                break;
            if (!book->entries[i].heading)
                kept = i + 1;
        }
        page->end = i = i == book->entry_count ? i : kept;
    }
}

/* Dots that align down the page, in the white between two texts. */
static void leader_draw(struct layout *layout, sp from, sp to, sp y)
{
    const sp step = paper(layout, HOUSE_LEADER_STEP_UM), dot = paper(layout, HOUSE_LEADER_DOT_UM);
    const sp gap = paper(layout, HOUSE_LEADER_GAP_UM);
    sp right = layout->sheet.text_right;
    for (sp x = right - (right - to + gap + step - 1) / step * step; x >= from + gap; x -= step)
        pen_horizontal(&layout->pen, ROLE_CONTENTS_LEADER, x - dot / 2, x - dot / 2 + dot,
                       y - dot / 2, dot);
}

/* From a line's top; returns its bottom. */
static sp entry_draw(struct book_layout *front, const struct book_entry *entry, sp top, bool first)
{
    struct layout *layout = &front->layout;
    const sp lead = paper(layout, HOUSE_CONTENTS_LEAD_UM), right = layout->sheet.text_right;
    if (entry->heading && !first)
        top += paper(layout, HOUSE_CONTENTS_PART_UM);
    uint32_t page = entry->page + book_layout_page_count(front);
    char number[16];
    snprintf(number, sizeof number, "%u", page);
    sp left = indent(layout, entry), x = left, y = top;
    const label_id *lines;
    size_t count = entry_lines(layout, entry, &lines);
    for (size_t i = 0; i < count; i++) {
        y = top + (sp)i * lead + lead * 3 / 4;
        x = left + pen_label(&layout->pen, ROLE_CONTENTS, lines[i], left, y);
    }
    const char *note = shown_note(layout, entry);
    if (note) {
        x += paper(layout, HOUSE_WORD_GAP_UM);
        x += text_left(layout, ROLE_CONTENTS, TEXT_CONTENTS_NOTE, note, x, y);
    }
    /* aligned by advance, not by ink, so that figures stand under each other */
    text_left(layout, ROLE_CONTENTS_NUMBER, TEXT_CONTENTS, number,
              right - text_advance(layout, TEXT_CONTENTS, number), y);
    if (!entry->heading)
        leader_draw(layout, x, right - text_ink(layout, TEXT_CONTENTS, number).right, y);
    sp bottom = top + (sp)(count ? count : 1) * lead;
    *vector_push(&front->links, NULL) =
        (struct page_link){.box = {left, top, right, bottom}, .page = page};
    return bottom;
}

static void contents_draw(struct book_layout *front, const struct range *lines, bool first)
{
    struct layout *layout = &front->layout;
    const struct sheet *sheet = &layout->sheet;
    const char *title = page_word(layout->words, "Contents");
    if (first) {
        sp y = sheet->text_top - text_ink(layout, TEXT_TITLE, title).top;
        text_left(layout, ROLE_TITLE, TEXT_TITLE, title, sheet->text_left, y);
        y = sheet->text_top + text_em(layout, TEXT_TITLE) + paper(layout, HOUSE_RULE_GAP_UM) -
            text_ink(layout, TEXT_FOOT, "Hg").bottom;
        pen_horizontal(&layout->pen, ROLE_RULE, sheet->text_left, sheet->text_right, y,
                       paper(layout, HOUSE_RULE_UM));
    } else {
        head_draw(layout, front->book->title, title);
    }
    sp y = contents_top(layout, first);
    for (size_t i = lines->first; i < lines->end; i++)
        y = entry_draw(front, &front->book->entries[i], y, i == lines->first);
}

/* ---- pages -------------------------------------------------------------------------------- */

struct book_layout *book_layout_new(const struct book *book, const struct metrics *metrics)
{
    /* Never shown: a part keeps room for the running head. */
    static const struct layout_part part = {0};
    struct book_layout *front = memory_alloc(sizeof *front);
    *front = (struct book_layout){.book = book,
                                  .layout = {.words = &book->words,
                                             .metrics = metrics,
                                             .defaults = metrics->defaults,
                                             .pen = {.metrics = metrics, .owner = no_owner},
                                             .part = &part}};
    struct layout *layout = &front->layout;
    sheet_set(layout, book->paper);
    contents_break(front);
    return front;
}

void book_layout_free(struct book_layout *front)
{
    if (!front)
        return;
    vector_release(&front->layout.pen.marks);
    vector_release(&front->contents);
    vector_release(&front->links);
    memory_free(front);
}

uint32_t book_layout_page_count(const struct book_layout *front)
{
    return 1 + (uint32_t)front->contents.count;
}

const struct page *book_layout_page(struct book_layout *front, uint32_t number)
{
    struct layout *layout = &front->layout;
    const struct book *book = front->book;
    uint32_t count = book_layout_page_count(front) + book->page_count;
    layout->pen.marks.count = front->links.count = 0;
    if (number == 1) {
        cover_draw(front);
    } else {
        contents_draw(front, &front->contents.items[number - 2], number == 2);
        foot_draw(layout, book->copyright ? book->copyright : book->author, number, count);
    }
    front->page = page_of_marks(layout, number, count);
    front->page.label = number == 1 ? page_word(layout->words, "Cover") : NULL;
    front->page.links = front->links.items;
    front->page.link_count = front->links.count;
    return &front->page;
}
