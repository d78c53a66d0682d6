#include "draw/draw.h"

#include "base/buffer.h"
#include "base/vector.h"
#include "draw/alt_words.h"
#include "draw/byte_sink.h"
#include "draw/ink.h"
#include "draw/links.h"
#include "draw/pdf_end.h"
#include "draw/png.h"
#include "draw/svg.h"
#include "draw/tags.h"

#include <assert.h>
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <stdio.h>
#include <string.h>

enum { OUTLINE_LEVELS_MAX = 16 };

struct outline_entry {
    struct drawing_entry is; /* its title copied */
    int y;                   /* points */
};

struct drawing {
    const struct faces *faces;
    enum format format;
    struct drawing_options options;
    struct arena *arena, *scratch; /* for the drawing; for a page */
    VECTOR(struct outline_entry) outline;
    struct links links;
    cairo_surface_t *surface; /* NULL before the first page */
    uint32_t pages;
    bool failed;
    struct buffer svg; /* the whole document, until its words are added */
    struct svg_words svg_words;
    struct tags tags; /* of a PDF with words */
    struct pdf_end pdf_end;
    struct sink sink;
};

struct drawing *drawing_open(struct faces *faces, enum format format,
                             const struct drawing_options *options, draw_write *write,
                             void *closure)
{
    struct drawing *drawing = memory_alloc(sizeof *drawing);
    *drawing = (struct drawing){.faces = faces,
                                .format = format,
                                .options = *options,
                                .arena = arena_new(),
                                .scratch = arena_new(),
                                .sink = {.write = write, .closure = closure},
                                .pdf_end = {.sink = &drawing->sink}};
    tags_init(&drawing->tags, drawing->arena, options->words, faces->labels);
    return drawing;
}

/* ---- surfaces ----------------------------------------------------------------------------- */

static cairo_status_t keep_svg(void *closure, const unsigned char *bytes, unsigned int length)
{
    buffer_add(closure, bytes, length);
    return CAIRO_STATUS_SUCCESS;
}

/* Cairo would take the time of the clock for the date: setting none takes it out. */
static void set_pdf_metadata(cairo_surface_t *surface, const struct drawing_options *options)
{
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, options->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, options->author);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, options->subject);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Ratamark");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, options->date);
}

static cairo_surface_t *surface_new(struct drawing *drawing, double width, double height)
{
    cairo_surface_t *surface = NULL;
    switch (drawing->format) {
    case FORMAT_PDF:
        surface =
            cairo_pdf_surface_create_for_stream(pdf_end_write, &drawing->pdf_end, width, height);
        /* see pdf_end.c; cairo 1.16 compresses no objects, but drops every ActualText below 1.5 */
        if (cairo_version() > CAIRO_VERSION_ENCODE(1, 16, 0))
            cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4);
        set_pdf_metadata(surface, &drawing->options);
        break;
    case FORMAT_SVG:
        surface = cairo_svg_surface_create_for_stream(keep_svg, &drawing->svg, width, height);
        break;
    default:
        assert(drawing->format == FORMAT_PNG);
        surface = png_surface_new(width, height, drawing->options.dpi);
        break;
    }
    return surface;
}

static void describe_svg(struct drawing *drawing, const struct page *page)
{
    struct svg_words *svg = &drawing->svg_words;
    const struct drawing_words *words = drawing->options.words;
    *svg = (struct svg_words){.title = drawing->options.title, .words = words};
    if (!words)
        return;
    svg->title = words_page_title(drawing->options.title, page, drawing->arena);
    struct buffer text = {0};
    if (page->number == 1)
        words->say(words->self, WORDS_HEAD, 0, &text);
    if (page->number == page->count)
        words->say(words->self, WORDS_TAIL, 0, &text);
    svg->text = buffer_keep(&text, drawing->arena);
    svg->parts = words_parts(page, drawing->arena);
    svg->scale = faces_points_per_sp(drawing->faces);
}

/* ---- pages -------------------------------------------------------------------------------- */

/* Where cairo runs out of memory, so do we. */
static void take_status(struct drawing *drawing, cairo_status_t status)
{
    if (status == CAIRO_STATUS_NO_MEMORY)
        memory_exhausted(0);
    drawing->failed |= status != CAIRO_STATUS_SUCCESS;
}

static void ink_surface(struct drawing *drawing, const struct page *page)
{
    cairo_t *cairo = cairo_create(drawing->surface);
    if (drawing->format == FORMAT_SVG) { /* white paper, whatever lies behind the picture */
        cairo_set_source_rgb(cairo, 1, 1, 1);
        cairo_paint(cairo);
    }
    if (drawing->format == FORMAT_PNG)
        cairo_scale(cairo, drawing->options.dpi / 72, drawing->options.dpi / 72);
    bool tagged = drawing->format == FORMAT_PDF && drawing->options.words;
    ink_page(cairo, drawing->faces, page, tagged ? &drawing->tags : NULL, drawing->scratch);
    arena_reset(drawing->scratch);
    if (drawing->format == FORMAT_PDF) {
        links_mark(&drawing->links, cairo, page, faces_points_per_sp(drawing->faces),
                   drawing->arena);
        links_mark_target(&drawing->links, cairo, drawing->pages);
        if (page->label)
            cairo_pdf_surface_set_page_label(drawing->surface, page->label);
        cairo_show_page(cairo);
    }
    take_status(drawing, cairo_status(cairo));
    cairo_destroy(cairo);
}

void drawing_page(struct drawing *drawing, const struct page *page)
{
    double scale = faces_points_per_sp(drawing->faces);
    double width = page->width * scale, height = page->height * scale;
    drawing->pages++;
    if (drawing->format != FORMAT_PDF && drawing->pages > 1) {
        drawing->failed = true; /* SVG and PNG hold one page */
        return;
    }
    if (!drawing->surface)
        drawing->surface = surface_new(drawing, width, height);
    else
        cairo_pdf_surface_set_size(drawing->surface, width, height);
    ink_surface(drawing, page);
    if (drawing->format == FORMAT_SVG)
        describe_svg(drawing, page);
}

void drawing_next_lesson(struct drawing *drawing)
{
    tags_next_lesson(&drawing->tags);
}

/* ---- outline ------------------------------------------------------------------------------ */

void drawing_outline(struct drawing *drawing, struct drawing_entry entry)
{
    if (drawing->format != FORMAT_PDF)
        return;
    entry.title = arena_copy_text(drawing->arena, entry.title, strlen(entry.title));
    *vector_push(&drawing->outline, drawing->arena) = (struct outline_entry){
        .is = entry, .y = (int)(entry.y * faces_points_per_sp(drawing->faces))};
}

/* Entries wait for the end, as cairo wants their pages to be there. Their numbers are whole, as the
   locale decides how cairo reads others. */
static void write_outline(struct drawing *drawing)
{
    int parents[OUTLINE_LEVELS_MAX + 1] = {CAIRO_PDF_OUTLINE_ROOT};
    for (size_t i = 0; i < drawing->outline.count; i++) {
        const struct drawing_entry *entry = &drawing->outline.items[i].is;
        if (entry->page < 1 || entry->page > drawing->pages)
            continue;
        unsigned level = entry->level < OUTLINE_LEVELS_MAX ? entry->level : OUTLINE_LEVELS_MAX - 1;
        char place[64];
        snprintf(place, sizeof place, "page=%u pos=[0 %d]", (unsigned)entry->page,
                 drawing->outline.items[i].y);
        parents[level + 1] =
            cairo_pdf_surface_add_outline(drawing->surface, parents[level], entry->title, place,
                                          entry->closed ? 0 : CAIRO_PDF_OUTLINE_FLAG_OPEN);
    }
}

/* ---- the end ------------------------------------------------------------------------------ */

static void end_structure(struct drawing *drawing)
{
    cairo_t *cairo = cairo_create(drawing->surface);
    tags_end_document(&drawing->tags, cairo);
    cairo_destroy(cairo);
    write_outline(drawing);
}

static void finish_pdf(struct drawing *drawing)
{
    const struct drawing_words *words = drawing->options.words;
    struct pdf_words ending = {
        .language = words ? words->language : NULL,
        .figures = drawing->tags.figures.items,
        .figure_count = drawing->tags.figures.count,
        .figure_language = words ? words_language(words) : NULL,
    };
    if (pdf_end_finish(&drawing->pdf_end, &ending) || !words || drawing->failed)
        return;
    diag_add(drawing->options.diags, DIAG_SCREEN_READER, (struct place){0},
             "the PDF has no descriptions for screen readers: cairo %s ends its file in a way that "
             "is not known",
             cairo_version_string());
}

static void finish(struct drawing *drawing)
{
    if (drawing->format == FORMAT_PDF)
        end_structure(drawing);
    if (drawing->format == FORMAT_PNG)
        take_status(drawing, png_write(drawing->surface, drawing->options.dpi, &drawing->sink));
    cairo_surface_finish(drawing->surface);
    take_status(drawing, cairo_surface_status(drawing->surface));
    if (drawing->format == FORMAT_PDF)
        finish_pdf(drawing);
    if (drawing->format == FORMAT_SVG && !drawing->failed)
        svg_write(&drawing->svg, &drawing->svg_words, &drawing->sink);
}

bool drawing_close(struct drawing *drawing)
{
    drawing->failed |= !drawing->surface;
    if (drawing->surface)
        finish(drawing);
    bool complete = sink_close(&drawing->sink) && !drawing->failed;
    cairo_surface_destroy(drawing->surface);
    buffer_release(&drawing->svg);
    arena_free(drawing->scratch);
    arena_free(drawing->arena);
    memory_free(drawing);
    return complete;
}
