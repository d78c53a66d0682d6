#include "draw/png.h"

#include <math.h>
#include <string.h>

/* The signature and the IHDR chunk; pHYs may follow them (PNG specification 5.2, 11.2.2). */
enum { HEAD_BYTES = 8 + 4 + 4 + 13 + 4, RESOLUTION_BYTES = 4 + 4 + 9 + 4 };

struct png_stream {
    struct sink *sink;
    double dpi;
    size_t passed; /* bytes from cairo so far */
};

/* The specification's annex D: CRC-32 of ISO 3309. */
static uint32_t checksum(const unsigned char *bytes, size_t length)
{
    uint32_t crc = 0xFFFFFFFFu;
    for (size_t i = 0; i < length; i++) {
        crc ^= bytes[i];
        for (int bit = 0; bit < 8; bit++)
            crc = crc & 1 ? crc >> 1 ^ 0xEDB88320u : crc >> 1;
    }
    return ~crc;
}

static unsigned char *put_32(unsigned char *at, uint32_t value)
{
    for (int shift = 24; shift >= 0; shift -= 8)
        *at++ = (unsigned char)(value >> shift);
    return at;
}

static void add_resolution(struct png_stream *stream)
{
    unsigned char chunk[RESOLUTION_BYTES], *at = chunk;
    uint32_t per_metre = (uint32_t)lround(stream->dpi / 0.0254);
    at = put_32(at, 9);
    memcpy(at, "pHYs", 4);
    at = put_32(at + 4, per_metre);
    at = put_32(at, per_metre);
    *at++ = 1; /* the unit is the metre */
    put_32(at, checksum(chunk + 4, 4 + 9));
    sink_add(stream->sink, chunk, sizeof chunk);
}

static cairo_status_t pass(void *closure, const unsigned char *bytes, unsigned int length)
{
    struct png_stream *stream = closure;
    size_t head = stream->passed < HEAD_BYTES ? HEAD_BYTES - stream->passed : 0;
    stream->passed += length;
    if (head == 0 || length < head)
        return sink_write(stream->sink, bytes, length);
    sink_add(stream->sink, bytes, head);
    add_resolution(stream);
    return sink_write(stream->sink, bytes + head, length - (unsigned int)head);
}

cairo_surface_t *png_surface_new(double width_points, double height_points, double dpi)
{
    double width = round(width_points * dpi / 72), height = round(height_points * dpi / 72);
    /* If this is more than cairo can hold, the surface has an error. */
    return cairo_image_surface_create(CAIRO_FORMAT_A8, (int)fmax(1, fmin(width, 1e6)),
                                      (int)fmax(1, fmin(height, 1e6)));
}

static void turn_to_black_on_white(cairo_surface_t *surface)
{
    cairo_surface_flush(surface);
    unsigned char *data = cairo_image_surface_get_data(surface);
    size_t size = (size_t)cairo_image_surface_get_stride(surface) *
                  (size_t)cairo_image_surface_get_height(surface);
    for (size_t i = 0; data && i < size; i++)
        data[i] = (unsigned char)~data[i];
    cairo_surface_mark_dirty(surface);
}

cairo_status_t png_write(cairo_surface_t *surface, double dpi, struct sink *sink)
{
    struct png_stream stream = {.sink = sink, .dpi = dpi};
    turn_to_black_on_white(surface);
    return cairo_surface_write_to_png_stream(surface, pass, &stream);
}
