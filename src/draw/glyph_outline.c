#include "draw/glyph_outline.h"

#include <stddef.h>

struct walk {
    int pieces;
    take_outline_piece *take;
    void *closure;
};

static void take_line(hb_draw_funcs_t *funcs, void *closure, hb_draw_state_t *state, float x,
                      float y, void *data)
{
    const struct walk *walk = closure;
    (void)funcs, (void)data;
    walk->take(walk->closure,
               (struct outline_piece){(double)state->current_x, (double)state->current_y, (double)x,
                                      (double)y});
}

/* HarfBuzz hands quadratic curves on as cubic ones. */
static void take_curve(hb_draw_funcs_t *funcs, void *closure, hb_draw_state_t *state, float bx,
                       float by, float cx, float cy, float dx, float dy, void *data)
{
    const struct walk *walk = closure;
    double ax = (double)state->current_x, ay = (double)state->current_y, x0 = ax, y0 = ay;
    (void)funcs, (void)data;
    for (int i = 1; i <= walk->pieces; i++) {
        double t = (double)i / walk->pieces, s = 1 - t;
        double p = s * s * s, q = 3 * s * s * t, r = 3 * s * t * t, u = t * t * t;
        double x = p * ax + q * (double)bx + r * (double)cx + u * (double)dx;
        double y = p * ay + q * (double)by + r * (double)cy + u * (double)dy;
        walk->take(walk->closure, (struct outline_piece){x0, y0, x, y});
        x0 = x;
        y0 = y;
    }
}

void glyph_outline_walk(hb_font_t *font, unsigned long glyph, int pieces_of_a_curve,
                        take_outline_piece *take, void *closure)
{
    struct walk walk = {pieces_of_a_curve, take, closure};
    hb_draw_funcs_t *funcs = hb_draw_funcs_create();
    hb_draw_funcs_set_line_to_func(funcs, take_line, NULL, NULL);
    hb_draw_funcs_set_cubic_to_func(funcs, take_curve, NULL, NULL);
#if HB_VERSION_ATLEAST(7, 0, 0)
    hb_font_draw_glyph(font, (hb_codepoint_t)glyph, funcs, &walk);
#else
    hb_font_get_glyph_shape(font, (hb_codepoint_t)glyph, funcs, &walk);
#endif
    hb_draw_funcs_destroy(funcs);
}
