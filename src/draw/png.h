#ifndef RATAMARK_DRAW_PNG_H
#define RATAMARK_DRAW_PNG_H
/*
 * Pages as grey pixels. The picture is a mask of ink with one byte for each pixel, a quarter of
 * what cairo's colour images take. It is turned to black on white when it is written.
 */
#include "draw/byte_sink.h"

/* An empty picture of a page. Check it with cairo_surface_status(). */
cairo_surface_t *png_surface_new(double width_points, double height_points, double dpi);

/* Writes the picture with its resolution (PNG specification 11.3.5.3, pHYs), so that it prints at
   its size. The picture cannot be used afterwards. */
cairo_status_t png_write(cairo_surface_t *surface, double dpi, struct sink *sink);

#endif
