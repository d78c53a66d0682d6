#include "outlines.h"

#include "base/arena.h"
#include "base/vector.h"

#include <ft2build.h>
#include <math.h>
#include <string.h>
#include FT_FREETYPE_H
#include FT_OUTLINE_H

enum { PIECES = 16, CROSSINGS_MAX = 64, SCAN = 10 };

struct edge {
    double x0, y0, x1, y1;
};

struct shape {
    struct edge *edges;
    size_t count;
};

struct outlines {
    struct arena *arena;
    struct shape signs[GLYPH_COUNT]; /* from the origin, thousandths of a space, y down */
};

/* ---- shapes ------------------------------------------------------------------------------- */

struct tracer {
    VECTOR(struct edge) edges;
    struct arena *arena;
    double x, y, start_x, start_y, scale;
};

static void line_by(struct tracer *tracer, double x, double y)
{
    *vector_push(&tracer->edges, tracer->arena) = (struct edge){tracer->x, tracer->y, x, y};
    tracer->x = x;
    tracer->y = y;
}

static void close_by(struct tracer *tracer)
{
    if (tracer->x != tracer->start_x || tracer->y != tracer->start_y)
        line_by(tracer, tracer->start_x, tracer->start_y);
}

static void move_by(struct tracer *tracer, double x, double y)
{
    tracer->x = tracer->start_x = x;
    tracer->y = tracer->start_y = y;
}

static void cubic_by(struct tracer *tracer, double bx, double by, double cx, double cy, double dx,
                     double dy)
{
    double ax = tracer->x, ay = tracer->y;
    for (int i = 1; i <= PIECES; i++) {
        double t = (double)i / PIECES, s = 1 - t;
        line_by(tracer, s * s * s * ax + 3 * s * s * t * bx + 3 * s * t * t * cx + t * t * t * dx,
                s * s * s * ay + 3 * s * s * t * by + 3 * s * t * t * cy + t * t * t * dy);
    }
}

/* ---- signs from the font ------------------------------------------------------------------ */

static int move_to(const FT_Vector *to, void *closure)
{
    struct tracer *tracer = closure;
    close_by(tracer);
    move_by(tracer, (double)to->x * tracer->scale, -(double)to->y * tracer->scale);
    return 0;
}

static int line_to(const FT_Vector *to, void *closure)
{
    struct tracer *tracer = closure;
    line_by(tracer, (double)to->x * tracer->scale, -(double)to->y * tracer->scale);
    return 0;
}

static int cubic_to(const FT_Vector *b, const FT_Vector *c, const FT_Vector *d, void *closure)
{
    struct tracer *tracer = closure;
    double k = tracer->scale;
    cubic_by(tracer, (double)b->x * k, -(double)b->y * k, (double)c->x * k, -(double)c->y * k,
             (double)d->x * k, -(double)d->y * k);
    return 0;
}

static int conic_to(const FT_Vector *b, const FT_Vector *c, void *closure)
{
    struct tracer *tracer = closure;
    double k = tracer->scale, bx = (double)b->x * k, by = -(double)b->y * k;
    double cx = (double)c->x * k, cy = -(double)c->y * k;
    cubic_by(tracer, tracer->x + (bx - tracer->x) * 2 / 3, tracer->y + (by - tracer->y) * 2 / 3,
             cx + (bx - cx) * 2 / 3, cy + (by - cy) * 2 / 3, cx, cy);
    return 0;
}

static void sign_trace(struct outlines *outlines, FT_Face face, enum glyph glyph)
{
    static const FT_Outline_Funcs walk = {move_to, line_to, conic_to, cubic_to, 0, 0};
    struct tracer tracer = {.arena = outlines->arena, .scale = 4000.0 / face->units_per_EM};
    FT_UInt index = FT_Get_Char_Index(face, glyph_codepoint(glyph));
    if (!index || FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE))
        return;
    FT_Outline_Decompose(&face->glyph->outline, &walk, &tracer);
    close_by(&tracer);
    outlines->signs[glyph] = (struct shape){tracer.edges.items, tracer.edges.count};
}

struct outlines *outlines_open(const char *font)
{
    FT_Library library;
    FT_Face face;
    if (FT_Init_FreeType(&library))
        return NULL;
    if (FT_New_Face(library, font, 0, &face)) {
        FT_Done_FreeType(library);
        return NULL;
    }
    struct arena *arena = arena_new();
    struct outlines *outlines = arena_alloc(arena, sizeof *outlines);
    outlines->arena = arena;
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++)
        sign_trace(outlines, face, glyph);
    FT_Done_Face(face);
    FT_Done_FreeType(library);
    return outlines;
}

void outlines_close(struct outlines *outlines)
{
    if (outlines)
        arena_free(outlines->arena);
}

/* ---- a mark's ink at one height ----------------------------------------------------------- */

/* Where ink begins and ends along the line, from left to right. */
struct runs {
    double from[CROSSINGS_MAX], to[CROSSINGS_MAX];
    int count;
};

static void run_add(struct runs *runs, double from, double to)
{
    if (runs->count < CROSSINGS_MAX && to > from) {
        runs->from[runs->count] = from;
        runs->to[runs->count++] = to;
    }
}

/* By the rule that a point is inside where the outline winds around it. */
static void shape_runs(const struct shape *shape, double x, double y, double scale, double at,
                       struct runs *runs)
{
    double places[CROSSINGS_MAX];
    int turns[CROSSINGS_MAX], count = 0, winding = 0;
    for (size_t i = 0; i < shape->count && count < CROSSINGS_MAX; i++) {
        const struct edge *edge = &shape->edges[i];
        double y0 = y + edge->y0 * scale, y1 = y + edge->y1 * scale;
        if ((y0 <= at) == (y1 <= at))
            continue;
        double place = x + (edge->x0 + (edge->x1 - edge->x0) * (at - y0) / (y1 - y0)) * scale;
        int k = count++;
        for (; k > 0 && places[k - 1] > place; k--) {
            places[k] = places[k - 1];
            turns[k] = turns[k - 1];
        }
        places[k] = place;
        turns[k] = y1 > y0 ? 1 : -1;
    }
    double from = 0;
    for (int k = 0; k < count; k++) {
        if (winding == 0)
            from = places[k];
        winding += turns[k];
        if (winding == 0)
            run_add(runs, from, places[k]);
    }
}

/* A bar of `half` thickness from one point to another, its ends square, or upright for beams. */
static void bar_runs(const struct mark *mark, double at, struct runs *runs)
{
    struct point from = mark->as.ends.from, to = mark->as.ends.to;
    double half = mark->with.width / 2.0, dx = to.x - from.x, dy = to.y - from.y;
    double length = hypot(dx, dy), across_x = -dy / length * half, across_y = dx / length * half;
    if (mark->shape == SHAPE_BEAM) {
        across_x = 0;
        across_y = half;
    }
    struct edge edges[] = {
        {from.x + across_x, from.y + across_y, to.x + across_x, to.y + across_y},
        {to.x + across_x, to.y + across_y, to.x - across_x, to.y - across_y},
        {to.x - across_x, to.y - across_y, from.x - across_x, from.y - across_y},
        {from.x - across_x, from.y - across_y, from.x + across_x, from.y + across_y},
    };
    shape_runs(&(struct shape){edges, 4}, 0, 0, 1, at, runs);
}

/* The lens of a tie, as draw/ink.c fills it. */
static void curve_runs(const struct engraving_defaults *defaults, const struct mark *mark,
                       double at, struct runs *runs)
{
    struct edge edges[4 * PIECES];
    size_t count = 0;
    struct point from = mark->as.ends.from, to = mark->as.ends.to;
    double tip = defaults->tie_end / 2.0, half = mark->with.width / 2.0;
    double side = mark->curve < 0 ? 1 : -1, x = 0, y = 0;
    double start_x = from.x, start_y = from.y + side * tip;
    for (int arc = 0; arc < 2; arc++) {
        double out = -mark->curve + (arc ? -1 : 1) * side * (half - tip);
        for (int i = 0; i <= PIECES; i++) {
            double t = (double)(arc ? PIECES - i : i) / PIECES;
            double next_x = from.x + (to.x - from.x) * t;
            double next_y =
                from.y + (to.y - from.y) * t + (arc ? -side : side) * tip + out * 4 * t * (1 - t);
            if (arc || i)
                edges[count++] = (struct edge){x, y, next_x, next_y};
            x = next_x;
            y = next_y;
        }
    }
    edges[count++] = (struct edge){x, y, start_x, start_y};
    shape_runs(&(struct shape){edges, count}, 0, 0, 1, at, runs);
}

static void ring_runs(const struct mark *mark, double at, struct runs *runs)
{
    double up = fabs(at - mark->as.at.y), half = mark->with.width / 2.0;
    double outer = mark->radius + half, inner = mark->radius - half;
    if (up >= outer)
        return;
    double out = sqrt(outer * outer - up * up);
    double in = up < inner ? sqrt(inner * inner - up * up) : 0;
    run_add(runs, mark->as.at.x - out, mark->as.at.x - in);
    run_add(runs, mark->as.at.x + in, mark->as.at.x + out);
}

static void box_runs(const struct mark *mark, double at, struct runs *runs)
{
    const struct box *box = &mark->box;
    if (at < box->top || at >= box->bottom)
        return;
    if (mark->shape == SHAPE_BOX && at >= box->top + mark->with.width &&
        at < box->bottom - mark->with.width) {
        run_add(runs, box->left, box->left + mark->with.width);
        run_add(runs, box->right - mark->with.width, box->right);
        return;
    }
    run_add(runs, box->left, box->right);
}

static void mark_runs(const struct outlines *outlines, const struct engraving_defaults *defaults,
                      const struct mark *mark, double at, struct runs *runs)
{
    runs->count = 0;
    switch ((enum mark_shape)mark->shape) {
    case SHAPE_GLYPH:
        if (outlines && outlines->signs[mark->glyph].count)
            shape_runs(&outlines->signs[mark->glyph], mark->as.at.x, mark->as.at.y,
                       mark->scale / 1000.0, at, runs);
        else
            box_runs(mark, at, runs);
        return;
    case SHAPE_LINE:
    case SHAPE_BEAM:
        if (mark->as.ends.from.x == mark->as.ends.to.x ||
            mark->as.ends.from.y == mark->as.ends.to.y)
            box_runs(mark, at, runs);
        else
            bar_runs(mark, at, runs);
        return;
    case SHAPE_CURVE:
        curve_runs(defaults, mark, at, runs);
        return;
    case SHAPE_RING:
        ring_runs(mark, at, runs);
        return;
    case SHAPE_LABEL:
    case SHAPE_BOX:
        box_runs(mark, at, runs);
        return;
    }
}

/* ---- questions ---------------------------------------------------------------------------- */

bool outlines_touch(const struct outlines *outlines, const struct engraving_defaults *defaults,
                    const struct mark *a, const struct mark *b, sp depth)
{
    sp top = a->box.top > b->box.top ? a->box.top : b->box.top;
    sp bottom = a->box.bottom < b->box.bottom ? a->box.bottom : b->box.bottom;
    int heights = 0;
    for (double at = top + SCAN / 2.0; at < bottom; at += SCAN) {
        struct runs one, other;
        bool overlap = false;
        mark_runs(outlines, defaults, a, at, &one);
        mark_runs(outlines, defaults, b, at, &other);
        for (int i = 0; i < one.count; i++)
            for (int k = 0; k < other.count; k++)
                overlap |= fmin(one.to[i], other.to[k]) - fmax(one.from[i], other.from[k]) > depth;
        heights = overlap ? heights + 1 : 0;
        if (heights * SCAN > depth)
            return true;
    }
    return false;
}

/* The ink's end to the right within `slack` of a height; false where it has none there. */
static bool right_near(const struct outlines *outlines, const struct engraving_defaults *defaults,
                       const struct mark *mark, double at, sp slack, double *right)
{
    bool any = false;
    for (double y = at - slack; y <= at + slack; y += 2 * SCAN) {
        struct runs runs;
        mark_runs(outlines, defaults, mark, y, &runs);
        for (int i = 0; i < runs.count; i++) {
            *right = any ? fmax(*right, runs.to[i]) : runs.to[i];
            any = true;
        }
    }
    return any;
}

sp outlines_gap(const struct outlines *outlines, const struct engraving_defaults *defaults,
                const struct mark *a, const struct mark *b, sp slack)
{
    double gap = INT32_MAX, right;
    sp top = a->box.top - slack > b->box.top ? a->box.top - slack : b->box.top;
    sp bottom = a->box.bottom + slack < b->box.bottom ? a->box.bottom + slack : b->box.bottom;
    for (double at = top + SCAN / 2.0; at < bottom; at += 2 * SCAN) {
        struct runs runs;
        mark_runs(outlines, defaults, b, at, &runs);
        if (runs.count && right_near(outlines, defaults, a, at, slack, &right))
            gap = fmin(gap, runs.from[0] - right);
    }
    return (sp)gap;
}
