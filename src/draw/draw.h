#ifndef RATAMARK_DRAW_DRAW_H
#define RATAMARK_DRAW_DRAW_H
/*
 * Faces and ink: the sizes that layout asks for, from real fonts, and pages of marks drawn to PDF,
 * SVG and PNG. Only this folder includes cairo and pango. It knows nothing of lessons. Several
 * threads may draw at once, each with faces and drawings of its own.
 *
 *     struct faces *faces = faces_open(&(struct faces_options){.space_mm = 1.75}, diags);
 *     struct metrics metrics = faces_metrics(faces);
 *     struct drawing *drawing = drawing_open(faces, FORMAT_PDF, options, write, closure);
 *     drawing_page(drawing, page);  drawing_outline(...);
 *     bool ok = drawing_close(drawing);
 *     faces_close(faces);
 */
#include "base/digest.h"
#include "diag/diag.h"
#include "model/format.h"
#include "model/page.h"

struct faces;
struct drawing;

struct faces_options {
    const char *music_font; /* path of a SMuFL font, its metadata beside it; NULL: our own */
    double space_mm;
};

/* NULL where no font for text is installed or the music font cannot be used; diags then has an
   `unreadable` or `bad-value` error that says why. If the text family is not installed, a
   `text-font` warning says what is used instead. */
struct faces *faces_open(const struct faces_options *options, struct diags *diags);
void faces_close(struct faces *faces);
/* Sets another staff space; the fonts stay open. At the same space nothing changes. At another one
   all labels are forgotten: ask for the metrics again. */
void faces_resize(struct faces *faces, double space_mm);
/* Prepares open faces for another lesson: forgets all labels and the missing characters. */
void faces_renew(struct faces *faces, double space_mm);
/* The characters of all labels so far that no installed font has, each once. They are shown as
   boxes. Good until another label is asked for. */
size_t faces_missing(const struct faces *faces, const uint32_t **characters);
/* Good as long as the faces. */
struct metrics faces_metrics(struct faces *faces);
const char *faces_label_text(void *faces, label_id label);

/* A digest of the installed fonts and of the music font (NULL: the built-in one): where it is the
   same, a lesson looks the same. `take` gets every file and folder that it depends on, those that
   do not exist included: while none of them changes, the digest does not change. */
typedef void draw_font_file(void *closure, const char *path);
struct digest draw_fonts(const char *music_font, draw_font_file *take, void *closure);

/* The music in words, for those who do not see it: PDF and SVG carry it. `say` adds a part of it;
   `exercise` is an index in the score. */
enum words_part {
    WORDS_HEAD,    /* title to notes */
    WORDS_HEADING, /* of an exercise, as the next three: "Exercise 3: The first groove" */
    WORDS_PARAGRAPHS,
    WORDS_MUSIC,
    WORDS_LADDER,
    WORDS_TAIL /* behind the exercises */
};
struct buffer;
struct drawing_words {
    const void *self;
    void (*say)(const void *self, enum words_part part, uint32_t exercise, struct buffer *out);
    const char *language; /* of the lesson's text, BCP 47 */
};

/* What it points to must last until drawing_close(). */
struct drawing_options {
    const char *title, *author, *subject; /* document metadata, NULL: none */
    const char *date;                  /* ISO 8601, "2026-11-25" or with time; NULL: none written */
    double dpi;                        /* PNG */
    const struct drawing_words *words; /* NULL: none */
    struct diags *diags; /* gets a `screen-reader` warning where a PDF could not take them all */
};

/* Takes `length` bytes; false when they could not be written. */
typedef bool draw_write(void *closure, const void *bytes, size_t length);

/* `format` is FORMAT_PDF, FORMAT_SVG or FORMAT_PNG. SVG and PNG hold one page: open a drawing for
   each page. */
struct drawing *drawing_open(struct faces *faces, enum format format,
                             const struct drawing_options *options, draw_write *write,
                             void *closure);
/* The faces may have been resized since the last page. Links of a PDF lead to later pages. */
void drawing_page(struct drawing *drawing, const struct page *page);
/* The next pages belong to another lesson: `words` describes that one, and exercises count from 0
   again. */
void drawing_next_lesson(struct drawing *drawing);
/* Adds an entry to the outline of a PDF; other formats have none. Pages count from 1, and the page
   need not be drawn yet. `level` is 0 for a top entry, at most one more than that of the entry
   before. The entries below a `closed` one are hidden at first. `y` counts in the present staff
   space. */
struct drawing_entry {
    const char *title;
    uint32_t page;
    sp y;
    unsigned level;
    bool closed;
};
void drawing_outline(struct drawing *drawing, struct drawing_entry entry);
/* Completes and frees the drawing. False when anything could not be drawn or written. */
bool drawing_close(struct drawing *drawing);

/* Adds the names and versions of the libraries that draw, one on each line. */
void draw_add_versions(struct buffer *out);

#endif
