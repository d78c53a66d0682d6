/*
 * The least that a program of this kind does: it opens a PDF, sets a title on it with pango, and
 * closes it. bench_sheet runs it as a process beside ours.
 */
#include <cairo-pdf.h>
#include <pango/pangocairo.h>

int main(int argc, char **argv)
{
    static const char title[] = "Six in the Hold";
    cairo_surface_t *surface = cairo_pdf_surface_create(argc > 1 ? argv[1] : NULL, 595.28, 841.89);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_t *cairo = cairo_create(surface);
    PangoLayout *layout = pango_cairo_create_layout(cairo);
    PangoFontDescription *font = pango_font_description_from_string("Open Sans Bold 24");
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, title, -1);
    cairo_move_to(cairo, 50, 50);
    pango_cairo_show_layout(cairo, layout);
    cairo_show_page(cairo);
    pango_font_description_free(font);
    g_object_unref(layout);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return status != CAIRO_STATUS_SUCCESS;
}
