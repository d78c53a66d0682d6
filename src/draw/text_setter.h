#ifndef RATAMARK_DRAW_TEXT_SETTER_H
#define RATAMARK_DRAW_TEXT_SETTER_H
/*
 * Turns text into shaped stretches. Lengths are in ems and without hints, so they hold at every
 * size and resolution. Plain text is set by its font alone (text_font.h). Pango sets the rest:
 * other scripts, other directions, characters that only another font has.
 */
#include "base/vector.h"
#include "draw/text_font.h"

struct text_setter;

/* Characters that no installed font has, each once; on the heap. */
typedef VECTOR(uint32_t) missing_characters;

/* The family is lent, as is the row that characters without a font are added to. */
struct text_setter *text_setter_open(struct text_family *family, missing_characters *missing);
void text_setter_close(struct text_setter *setter);

/* Takes a stretch, which is good until it returns. */
typedef void text_take(void *closure, const struct text_stretch *stretch);

/* Sets one line of text and hands over its stretches from left to right. */
void text_setter_line(struct text_setter *setter, enum text_style style, const char *text,
                      size_t length, text_take *take, void *closure);

/* A line of a paragraph, without the spaces at its end. */
struct text_line {
    const char *text;
    size_t length;
    bool backward; /* of a paragraph that runs from right to left */
    bool joined;   /* the next line goes on without a space between: within a long word, after a
                      hyphen, in a script without spaces */
};

/*
 * Breaks a paragraph of plain text into lines of at most `width` ems, where Unicode's rules of line
 * breaking allow. False, and nothing done, if the text is not plain. `*lines` is good until the
 * next call of this function.
 */
bool text_setter_break(struct text_setter *setter, enum text_style style, const char *text,
                       size_t length, double width, const struct text_line **lines, size_t *count);

/* The same for any text. `end` gets each line after its stretches, which come from left to right:
   their order depends on the whole paragraph. */
typedef void text_end_line(void *closure, struct text_line line);
void text_setter_paragraph(struct text_setter *setter, enum text_style style, const char *text,
                           size_t length, double width, text_take *take, text_end_line *end,
                           void *closure);

/* Lengths keep their fractions, as nothing is fitted to pixels. The caller destroys the options. */
cairo_font_options_t *text_setter_options(void);

#endif
