#include "chart/kit_chart.h"

#include "base/arena.h"
#include "base/cells.h"
#include "model/floor.h"

#include <math.h>
#include <string.h>

/* A character cell is about twice as high as wide. */
enum { COLUMN_CM = 3, ROW_CM = 6, MARGIN_CM = 30, CELLS_MOST = 200 };

struct sheet {
    int left, top, columns, rows; /* in cm; in cells */
    char *cells;
};

/* ---- the picture -------------------------------------------------------------------------- */

static int radius_cm(const struct floor_surface *surface)
{
    const struct voice *voice = surface->voices[0];
    return surface->pedal ? 0 : voice->size * 254 / 2000;
}

static struct sheet sheet_for(const struct floor_surface *surfaces, size_t count)
{
    int left = -MARGIN_CM, right = MARGIN_CM, bottom = -MARGIN_CM, top = MARGIN_CM;
    for (size_t i = 0; i < count; i++) {
        int reach = radius_cm(&surfaces[i]) + COLUMN_CM;
        left = surfaces[i].x - reach < left ? surfaces[i].x - reach : left;
        right = surfaces[i].x + reach > right ? surfaces[i].x + reach : right;
        bottom = surfaces[i].y - reach < bottom ? surfaces[i].y - reach : bottom;
        top = surfaces[i].y + reach > top ? surfaces[i].y + reach : top;
    }
    struct sheet sheet = {.left = left,
                          .top = top,
                          .columns = (right - left) / COLUMN_CM + 1,
                          .rows = (top - bottom) / ROW_CM + 1};
    sheet.columns = sheet.columns < CELLS_MOST ? sheet.columns : CELLS_MOST;
    sheet.rows = sheet.rows < CELLS_MOST ? sheet.rows : CELLS_MOST;
    sheet.cells = memory_alloc((size_t)sheet.columns * (size_t)sheet.rows);
    memset(sheet.cells, ' ', (size_t)sheet.columns * (size_t)sheet.rows);
    return sheet;
}

static void put(const struct sheet *sheet, double x_cm, double y_cm, int shift, char what)
{
    int column = (int)lround((x_cm - sheet->left) / COLUMN_CM) + shift;
    int row = (int)lround((sheet->top - y_cm) / ROW_CM);
    if (column >= 0 && column < sheet->columns && row >= 0 && row < sheet->rows)
        sheet->cells[row * sheet->columns + column] = what;
}

static void draw_rim(const struct sheet *sheet, const struct floor_surface *surface)
{
    enum { POINTS = 120 };
    double radius = radius_cm(surface);
    for (int i = 0; i < POINTS && radius > 0; i++) {
        double angle = i * 2 * 3.14159265358979 / POINTS;
        put(sheet, surface->x + radius * cos(angle), surface->y + radius * sin(angle), 0, '.');
    }
}

/* A pedal's number stands one row lower, because its drum or cymbal may stand above it. */
static void draw_number(const struct sheet *sheet, const struct floor_surface *surface,
                        size_t number)
{
    int y = surface->y - (surface->pedal ? ROW_CM : 0);
    if (number >= 10)
        put(sheet, surface->x, y, -1, (char)('0' + number / 10));
    put(sheet, surface->x, y, 0, (char)('0' + number % 10));
}

static void add_cells(const struct sheet *sheet, struct buffer *out)
{
    for (int row = 0; row < sheet->rows; row++) {
        const char *cells = sheet->cells + row * sheet->columns;
        int length = sheet->columns;
        while (length && cells[length - 1] == ' ')
            length--;
        buffer_add(out, cells, (size_t)length);
        buffer_add_text(out, "\n");
    }
}

/* ---- the list ----------------------------------------------------------------------------- */

static void add_surface(const struct floor_surface *surface, size_t number, struct buffer *out)
{
    const struct voice *voice = surface->voices[0];
    buffer_format(out, "%3zu  %5d %5d %5d cm  %4d.%d in %4d cm   ", number, surface->x, surface->y,
                  voice->z_cm, voice->size / 10, voice->size % 10, voice_width_cm(voice));
    for (size_t i = 0; i < surface->count; i++) {
        buffer_add_text(out, i ? ", " : "");
        cells_clean(out, surface->voices[i]->spoken, strlen(surface->voices[i]->spoken));
    }
    buffer_add_text(out, surface->pedal ? " (pedal)\n" : "\n");
}

void kit_chart_draw(const struct score *score, struct buffer *out)
{
    struct floor_surface *surfaces = memory_alloc(FLOOR_SURFACES_MOST * sizeof *surfaces);
    size_t count = floor_gather(score, surfaces);
    struct sheet sheet = sheet_for(surfaces, count);
    for (size_t i = 0; i < count; i++)
        draw_rim(&sheet, &surfaces[i]);
    for (size_t i = 0; i < count; i++)
        draw_number(&sheet, &surfaces[i], i + 1);
    add_cells(&sheet, out);
    buffer_add_text(out,
                    "     right  away    up      size  struck   (from the centre of the snare)\n");
    for (size_t i = 0; i < count; i++)
        add_surface(&surfaces[i], i + 1, out);
    memory_free(sheet.cells);
    memory_free(surfaces);
}
