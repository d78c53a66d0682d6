/*
 * The proof sheet of a music face: one page with each of its signs, its SMuFL name and codepoint.
 *
 *     proof FACE.otf OUT.pdf
 *
 * Signs that belong on a staff are drawn on its lines, the others on a baseline. Everything is
 * black and white, with lines as thick as on a sheet: what looks right here, printed and
 * photocopied, looks right on a page. Names come from the font, so a sign that the font lacks is
 * missing here.
 */
#include <cairo-ft.h>
#include <cairo-pdf.h>
#include <stdio.h>
#include <string.h>

#include FT_OUTLINE_H

#define MM (72 / 25.4)

/* A4, in points; the cells fill the page between head and foot. */
#define WIDTH (210 * MM)
#define HEIGHT (297 * MM)
#define MARGIN (13 * MM)
#define TOP (24 * MM)
#define BOTTOM (20 * MM)
#define SPACE (1.75 * MM) /* of a staff 7 mm high */
#define NAME_SIZE 5.2
#define CODE_SIZE 4.6

enum { COLUMNS = 10, GLYPHS_MAX = 512 };

/* What a sign stands on, by the beginning of its name. The others stand on a baseline. */
static const struct ground {
    const char *begins;
    double line; /* where on the staff its origin is: spaces below the middle line */
    double stem; /* spaces from the origin down to the other end of its stem; 0: none */
} grounds[] = {
    {"notehead", 0.5, 0},    {"unpitched", 0, 0},      {"timeSig", 0, 0},
    {"rest", 0, 0},          {"repeatDots", 2, 0},     {"repeatDot", -0.5, 0},
    {"repeat1", 0, 0},       {"repeat2", 0, 0},        {"repeat4", 0, 0},
    {"repeatLeft", 2, 0},    {"repeatRight", 2, 0},    {"flag8thUp", -2, 3.5},
    {"flag16thUp", -2, 3.5}, {"flag32ndUp", -2, 3.5},  {"flag64thUp", -2, 3.5},
    {"flag", 2, -3.5},       {"augmentation", 0.5, 0},
};

struct glyph {
    unsigned long code, index;
    char name[64];
    cairo_text_extents_t ink;
};

struct proof {
    cairo_t *cairo;
    cairo_font_face_t *face;
    FT_Face outlines;
    struct glyph glyphs[GLYPHS_MAX];
    int count;
};

static void collect(struct proof *proof)
{
    FT_UInt index;
    FT_ULong code = FT_Get_First_Char(proof->outlines, &index);
    for (; index && proof->count < GLYPHS_MAX;
         code = FT_Get_Next_Char(proof->outlines, code, &index)) {
        if (code < 0xE000) /* the space */
            continue;
        struct glyph *glyph = &proof->glyphs[proof->count++];
        glyph->code = code;
        glyph->index = index;
        FT_Get_Glyph_Name(proof->outlines, index, glyph->name, sizeof glyph->name);
    }
}

static void text_font(struct proof *proof, double size, int bold)
{
    cairo_select_font_face(proof->cairo, "Open Sans", CAIRO_FONT_SLANT_NORMAL,
                           bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(proof->cairo, size);
}

static void centred(struct proof *proof, const char *text, double x, double y, double room)
{
    cairo_text_extents_t ink;
    cairo_text_extents(proof->cairo, text, &ink);
    cairo_save(proof->cairo);
    cairo_translate(proof->cairo, x, y);
    if (ink.x_advance > room) /* narrower, but not lower, so that all names are equally legible */
        cairo_scale(proof->cairo, room / ink.x_advance, 1);
    cairo_move_to(proof->cairo, -ink.x_advance / 2, 0);
    cairo_show_text(proof->cairo, text);
    cairo_restore(proof->cairo);
}

static void line(struct proof *proof, double x0, double y, double x1, double width)
{
    cairo_set_line_width(proof->cairo, width);
    cairo_move_to(proof->cairo, x0, y);
    cairo_line_to(proof->cairo, x1, y);
    cairo_stroke(proof->cairo);
}

static const struct ground *ground_of(const struct glyph *glyph)
{
    for (size_t i = 0; i < sizeof grounds / sizeof *grounds; i++)
        if (strncmp(glyph->name, grounds[i].begins, strlen(grounds[i].begins)) == 0)
            return &grounds[i];
    return NULL;
}

/* The sign in a cell whose staff has its middle line at y. */
static void sign(struct proof *proof, const struct glyph *glyph, double x, double y, double width)
{
    const struct ground *ground = ground_of(glyph);
    double half = width * 0.40;
    for (int i = -2; ground && i <= 2; i++)
        line(proof, x - half, y + i * SPACE, x + half, 0.12 * SPACE);
    double base = y + (ground ? ground->line * SPACE : SPACE);
    if (!ground) /* beside the sign, which may hang below its baseline */
        for (int side = -1; side <= 1; side += 2)
            line(proof, x + side * half, base, x + side * half * 0.75, 0.07 * SPACE);
    cairo_set_font_face(proof->cairo, proof->face);
    cairo_set_font_size(proof->cairo, 4 * SPACE);
    cairo_glyph_t at = {glyph->index, 0, 0};
    cairo_text_extents_t ink;
    cairo_glyph_extents(proof->cairo, &at, 1, &ink);
    at.x = x - ink.x_bearing - ink.width / 2;
    at.y = base;
    cairo_show_glyphs(proof->cairo, &at, 1);
    if (ground && ground->stem != 0) {
        cairo_rectangle(proof->cairo, at.x, base, 0.12 * SPACE, ground->stem * SPACE);
        cairo_fill(proof->cairo);
    }
}

static void cells(struct proof *proof)
{
    int rows = (proof->count + COLUMNS - 1) / COLUMNS;
    double width = (WIDTH - 2 * MARGIN) / COLUMNS, height = (HEIGHT - TOP - BOTTOM) / rows;
    for (int i = 0; i < proof->count; i++) {
        const struct glyph *glyph = &proof->glyphs[i];
        double x = MARGIN + (i % COLUMNS + 0.5) * width, y = TOP + i / COLUMNS * height;
        sign(proof, glyph, x, y + height * 0.40, width);
        char code[16];
        snprintf(code, sizeof code, "U+%04lX", glyph->code);
        text_font(proof, NAME_SIZE, 0);
        centred(proof, glyph->name, x, y + height - 3.2 * MM, width * 0.94);
        text_font(proof, CODE_SIZE, 0);
        centred(proof, code, x, y + height - 1.2 * MM, width);
    }
}

/* The name of the face, and a line of known length to check the printer with. */
static void head_and_foot(struct proof *proof)
{
    char text[160];
    snprintf(text, sizeof text, "%s: proof of %d signs", proof->outlines->family_name,
             proof->count);
    text_font(proof, 13, 1);
    cairo_move_to(proof->cairo, MARGIN, 17 * MM);
    cairo_show_text(proof->cairo, text);
    line(proof, MARGIN, 20 * MM, WIDTH - MARGIN, 0.7);
    double y = HEIGHT - 11 * MM, right = WIDTH - MARGIN;
    line(proof, right - 50 * MM, y, right, 0.7);
    for (int end = 0; end < 2; end++)
        line(proof, right - end * 50 * MM - 0.35, y, right - end * 50 * MM + 0.35, 6);
    text_font(proof, 7, 0);
    cairo_move_to(proof->cairo, MARGIN, y + 2);
    cairo_show_text(proof->cairo,
                    "Staves 7 mm high. Names and codepoints of SMuFL. Printed true to "
                    "size, the line at the right is 50 mm long.");
}

static int draw(struct proof *proof, const char *out)
{
    cairo_surface_t *surface = cairo_pdf_surface_create(out, WIDTH, HEIGHT);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, "Proof of the music face");
    proof->cairo = cairo_create(surface);
    proof->face = cairo_ft_font_face_create_for_ft_face(proof->outlines, 0);
    collect(proof);
    head_and_foot(proof);
    cells(proof);
    cairo_font_face_destroy(proof->face);
    cairo_status_t status = cairo_status(proof->cairo);
    cairo_destroy(proof->cairo);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (status != CAIRO_STATUS_SUCCESS)
        fprintf(stderr, "proof: %s: %s\n", out, cairo_status_to_string(status));
    return status != CAIRO_STATUS_SUCCESS || proof->count == 0;
}

int main(int argc, char **argv)
{
    static struct proof proof;
    FT_Library library;
    if (argc != 3) {
        fputs("usage: proof FACE.otf OUT.pdf\n", stderr);
        return 2;
    }
    if (FT_Init_FreeType(&library) || FT_New_Face(library, argv[1], 0, &proof.outlines)) {
        fprintf(stderr, "proof: %s cannot be read\n", argv[1]);
        return 1;
    }
    int status = draw(&proof, argv[2]);
    cairo_debug_reset_static_data();
    FT_Done_Face(proof.outlines);
    FT_Done_FreeType(library);
    return status;
}
