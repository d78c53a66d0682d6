#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"
#include "model/floor.h"

#include <stdio.h>

/*
 * The kit from above, at one scale, the drummer below: a ring for each surface that the lesson
 * plays, with a hoop where most of it is struck (drums), a box for each pedal. What is higher
 * covers what is lower. A name goes where its surface is seen, or beside it, clear of all rims and
 * other names. If it fits nowhere, a number takes its place and the name is listed at the right.
 */

enum {
    NAME_LINES_MOST = 3,
    NAMES_MOST = FLOOR_SURFACES_MOST + 1, /* with the stool's */
    /* A footboard is as long as a shoe (common practice); the toes reach past what they strike. */
    PEDAL_TOE_CM = 5,
    PEDAL_HEEL_CM = 23,
    NEAR_STEPS = 4 /* in which the distance of a name beside its surface is compared */
};

/* Something drawn that has a name. */
struct drawn {
    const char *name;
    struct point centre; /* of a pedal: of its box */
    sp radius;           /* to the rim; of a pedal: to the ends of its box */
    sp free;             /* radius of what a name may fill: up to the hoop */
    struct box box;      /* around it */
    bool pedal, listed;
};

struct kit_plan {
    struct layout *layout;
    sp cm;
    sp left, right;               /* names stay between */
    struct point snare;           /* where its middle is on the page */
    struct box names[NAMES_MOST]; /* set so far */
    size_t name_count;
    struct drawn drawn[NAMES_MOST]; /* from the lowest to the highest */
    size_t count;
};

/* A name on its lines, each centred. */
struct name {
    label_id lines[NAME_LINES_MOST];
    size_t count;
    sp width, height, lead;
    sp top; /* of the first line's ink */
};

struct spot {
    struct point centre;
    int64_t cost;
};
#define NO_SPOT INT64_MAX

/* ---- where it stands ---------------------------------------------------------------------- */

static int radius_cm(const struct floor_surface *surface)
{
    return (surface->voices[0]->size * 254 + 1000) / 2000;
}

static int height_cm(const struct floor_surface *surface)
{
    return surface->voices[0]->z_cm;
}

/* From the lowest to the highest; those of one height stay in their order. */
static void stack(struct floor_surface *surfaces, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        struct floor_surface moved = surfaces[i];
        size_t at = i;
        for (; at > 0 && height_cm(&surfaces[at - 1]) > height_cm(&moved); at--)
            surfaces[at] = surfaces[at - 1];
        surfaces[at] = moved;
    }
}

/* In cm, away from the drummer positive. */
static struct box pedal_box(const struct floor_surface *surface)
{
    int half = radius_cm(surface);
    return (struct box){surface->x - half, surface->y - PEDAL_HEEL_CM, surface->x + half,
                        surface->y + PEDAL_TOE_CM};
}

/* The kit's outline, likewise. */
static struct box kit_box(const struct floor_surface *surfaces, size_t count)
{
    enum { STOOL = FLOOR_STOOL_SIZE_CM + 2 };
    struct box box = box_around((struct point){0, FLOOR_STOOL_Y_CM}, STOOL, STOOL);
    for (size_t i = 0; i < count; i++) {
        int size = 2 * radius_cm(&surfaces[i]);
        box = box_joined(
            box, surfaces[i].pedal
                     ? pedal_box(&surfaces[i])
                     : box_around((struct point){surfaces[i].x, surfaces[i].y}, size, size));
    }
    return box;
}

static struct point on_page(const struct kit_plan *plan, int x, int y)
{
    return (struct point){plan->snare.x + x * plan->cm, plan->snare.y - y * plan->cm};
}

static struct drawn *ring_add(struct kit_plan *plan, const char *name, struct point centre,
                              int radius, int width_um)
{
    struct drawn *drawn = &plan->drawn[plan->count++];
    sp least = paper(plan->layout, HOUSE_PLAN_LEAST_UM);
    *drawn =
        (struct drawn){.name = name, .centre = centre, .radius = sp_max(radius * plan->cm, least)};
    drawn->free = drawn->radius;
    drawn->box = box_around(centre, 2 * drawn->radius, 2 * drawn->radius);
    pen_ring(&plan->layout->pen, ROLE_PLAN_RIM, centre, drawn->radius,
             paper(plan->layout, width_um));
    return drawn;
}

static void pedal_add(struct kit_plan *plan, const char *name, const struct floor_surface *surface)
{
    struct box cm = pedal_box(surface);
    struct point from = on_page(plan, cm.left, cm.bottom), to = on_page(plan, cm.right, cm.top);
    struct drawn *drawn = &plan->drawn[plan->count++];
    *drawn = (struct drawn){.name = name, .box = {from.x, from.y, to.x, to.y}, .pedal = true};
    drawn->centre = (struct point){box_middle_x(drawn->box), box_middle_y(drawn->box)};
    drawn->radius = drawn->free = box_height(drawn->box) / 2;
    pen_box(&plan->layout->pen, ROLE_PLAN_PEDAL, drawn->box,
            paper(plan->layout, HOUSE_PLAN_THIN_UM));
}

/* Cymbals hang above the drums and have heads of metal; blocks and bells have no hoop either. */
static bool has_hoop(const struct voice *voice)
{
    enum { DRUM_SHARE = 60, CYMBAL_CM = 20 };
    bool metal =
        voice->head == HEAD_X || voice->head == HEAD_DIAMOND || voice->head == HEAD_CIRCLE_X;
    return voice->share >= DRUM_SHARE && !(metal && voice->z_cm >= CYMBAL_CM);
}

static void surface_draw(struct kit_plan *plan, const struct floor_surface *surface)
{
    enum { HOOP_LEAST = 4 };
    struct layout *layout = plan->layout;
    const char *name = page_word(layout->words, floor_name(surface));
    sp rim = paper(layout, HOUSE_PLAN_HOOP_UM);
    bool drum =
        has_hoop(surface->voices[0]) && radius_cm(surface) * plan->cm > (HOOP_LEAST + 1) * rim;
    if (surface->pedal) {
        pedal_add(plan, name, surface);
        return;
    }
    struct drawn *drawn =
        ring_add(plan, name, on_page(plan, surface->x, surface->y), radius_cm(surface),
                 drum ? HOUSE_PLAN_RIM_UM : HOUSE_PLAN_THIN_UM);
    if (!drum)
        return;
    drawn->free -= rim;
    pen_ring(&layout->pen, ROLE_PLAN_RIM, drawn->centre, drawn->free,
             paper(layout, HOUSE_PLAN_THIN_UM));
}

/* ---- names -------------------------------------------------------------------------------- */

/* The width of a text's longest word: no name breaks inside one. */
static sp word_width(const struct layout *layout, const char *text)
{
    const struct metrics *metrics = layout->metrics;
    sp widest = 0;
    while (*text) {
        size_t length = strcspn(text, " ");
        label_id word = metrics_label(metrics, TEXT_PLAN_LABEL, text, length);
        widest = sp_max(widest, metrics_of_label(metrics, word)->advance);
        text += length + strspn(text + length, " ");
    }
    return widest;
}

/* A name on `most` lines, all about equally wide; empty if it takes fewer. */
static struct name name_set(const struct layout *layout, const char *text, size_t most)
{
    const struct metrics *metrics = layout->metrics;
    const label_id *lines;
    struct name name = {.lead = text_lead(layout, TEXT_PLAN_LABEL, HOUSE_PLAN_LEAD)};
    sp whole = text_advance(layout, TEXT_PLAN_LABEL, text) + 1;
    sp width = sp_max(whole / (sp)most, word_width(layout, text) + 1);
    size_t count = 0;
    for (; width <= whole; width += sp_max(whole / 16, 1)) {
        count = text_wrap(layout, TEXT_PLAN_LABEL, text, width, &lines);
        if (count <= most)
            break;
    }
    if (count != most)
        return name;
    name.count = count;
    memcpy(name.lines, lines, count * sizeof *lines);
    for (size_t i = 0; i < count; i++)
        name.width = sp_max(name.width, box_width(metrics_of_label(metrics, name.lines[i])->ink));
    name.top = metrics_of_label(metrics, name.lines[0])->ink.top;
    name.height = (sp)(count - 1) * name.lead - name.top +
                  metrics_of_label(metrics, name.lines[count - 1])->ink.bottom;
    return name;
}

static int64_t square(sp x)
{
    return (int64_t)x * x;
}

/* The squared distances of a box's nearest and farthest points from a rim's middle. */
static int64_t nearest(struct box box, struct point to)
{
    sp x = sp_max(sp_max(box.left - to.x, to.x - box.right), 0);
    sp y = sp_max(sp_max(box.top - to.y, to.y - box.bottom), 0);
    return square(x) + square(y);
}

static int64_t farthest(struct box box, struct point to)
{
    return square(sp_max(to.x - box.left, box.right - to.x)) +
           square(sp_max(to.y - box.top, box.bottom - to.y));
}

static bool inside(struct box box, const struct drawn *drawn, sp clear)
{
    const struct box *around = &drawn->box;
    if (!drawn->pedal)
        return drawn->free > clear && farthest(box, drawn->centre) < square(drawn->free - clear);
    return box.left >= around->left + clear && box.right <= around->right - clear &&
           box.top >= around->top + clear && box.bottom <= around->bottom - clear;
}

static bool outside(struct box box, const struct drawn *drawn, sp clear)
{
    const struct box *around = &drawn->box;
    if (!drawn->pedal)
        return nearest(box, drawn->centre) >= square(drawn->radius + clear);
    return box.left >= around->right + clear || box.right <= around->left - clear ||
           box.top >= around->bottom + clear || box.bottom <= around->top - clear;
}

/* How far from a surface, in steps of how far its name may be. */
static int steps_off(const struct kit_plan *plan, struct box box, const struct drawn *drawn)
{
    sp step = paper(plan->layout, HOUSE_PLAN_NEAR_UM) / NEAR_STEPS;
    int steps = 0;
    while (steps <= NEAR_STEPS && outside(box, drawn, (steps + 1) * step))
        steps++;
    return steps;
}

/* Whether it keeps a word's distance from the names that are set. */
static bool free_of_names(const struct kit_plan *plan, struct box box)
{
    sp clear = paper(plan->layout, HOUSE_PLAN_BESIDE_UM);
    sp word = clear + text_em(plan->layout, TEXT_PLAN_LABEL) / 4;
    for (size_t i = 0; i < plan->name_count; i++) {
        const struct box *other = &plan->names[i];
        if (box.left - word < other->right && other->left < box.right + word &&
            box.top - clear < other->bottom && other->top < box.bottom + clear)
            return false;
    }
    return true;
}

/* What it costs to set a name there: how far it reaches from its surface's middle, more beside the
   surface, and more again where another one is as near. NO_SPOT where it would touch something that
   is seen. `number`: a number may stand farther off. */
static int64_t spot_cost(const struct kit_plan *plan, const struct drawn *own, struct box box,
                         bool number)
{
    sp clear = paper(plan->layout, HOUSE_PLAN_CLEAR_UM);
    sp near = paper(plan->layout, HOUSE_PLAN_NEAR_UM) * (number ? 2 : 1);
    int64_t strange = 4 * square(own->radius + near), cost = farthest(box, own->centre);
    bool within = inside(box, own, clear);
    int steps = within ? 0 : steps_off(plan, box, own);
    if (box.left < plan->left || box.right > plan->right || !free_of_names(plan, box) ||
        (!within && outside(box, own, near)))
        return NO_SPOT;
    sp apart = within || number ? clear : paper(plan->layout, HOUSE_PLAN_BESIDE_UM);
    for (const struct drawn *other = plan->drawn; other < plan->drawn + plan->count; other++) {
        bool covered = within && other <= own;
        if (!covered && !outside(box, other, apart))
            return NO_SPOT;
        if (!within && other != own && steps_off(plan, box, other) <= steps)
            cost += strange;
    }
    return cost + (within ? 0 : strange / 2);
}

static struct spot spot_find(const struct kit_plan *plan, const struct drawn *own,
                             const struct name *name, bool number)
{
    enum { STEPS = 24 }; /* from the surface's middle to each side */
    struct spot best = {.cost = NO_SPOT};
    sp near = own->radius + paper(plan->layout, HOUSE_PLAN_NEAR_UM) * (number ? 2 : 1);
    sp across = (near + name->width / 2) / STEPS, down = (near + name->height / 2) / STEPS;
    for (int row = -STEPS; row <= STEPS; row++)
        for (int column = -STEPS; column <= STEPS; column++) {
            sp x = own->centre.x + column * across, y = own->centre.y + row * down;
            struct box box = box_around((struct point){x, y}, name->width, name->height);
            int64_t cost = spot_cost(plan, own, box, number);
            if (cost < best.cost)
                best = (struct spot){{x, y}, cost};
        }
    return best;
}

static void name_draw(struct kit_plan *plan, const struct name *name, struct point centre)
{
    struct layout *layout = plan->layout;
    sp y = centre.y - name->height / 2 - name->top;
    for (size_t i = 0; i < name->count; i++) {
        struct box ink = metrics_of_label(layout->metrics, name->lines[i])->ink;
        pen_label(&layout->pen, ROLE_PLAN_LABEL, name->lines[i], centre.x - box_middle_x(ink),
                  y + (sp)i * name->lead);
    }
    plan->names[plan->name_count++] = box_around(centre, name->width, name->height);
}

/* Sets a name, or the number that stands for it, on as many lines as cost least; false if it has no
   place. */
static bool named(struct kit_plan *plan, const struct drawn *drawn, const char *text, bool number)
{
    struct name best_name = {0};
    struct spot best = {.cost = NO_SPOT};
    for (size_t most = 1; most <= NAME_LINES_MOST; most++) {
        struct name name = name_set(plan->layout, text, most);
        struct spot spot = {.cost = NO_SPOT};
        if (name.count)
            spot = spot_find(plan, drawn, &name, number);
        if (spot.cost < best.cost) {
            best = spot;
            best_name = name;
        }
    }
    if (best.cost < NO_SPOT)
        name_draw(plan, &best_name, best.centre);
    return best.cost < NO_SPOT;
}

/* The surfaces that have only a number in the plan, from (x, y) on, as high as the plan if that is
   enough. */
static void list_draw(struct kit_plan *plan, sp x, sp y, sp height)
{
    struct layout *layout = plan->layout;
    for (size_t i = 0; i < plan->name_count; i++)
        x = sp_max(x, plan->names[i].right);
    x += paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    sp lead = text_lead(layout, TEXT_PLAN_LABEL, HOUSE_TEXT_LEAD);
    sp wide = paper(layout, HOUSE_PLAN_LIST_UM);
    size_t listed = 0, at = 0;
    for (size_t i = 0; i < plan->count; i++)
        listed += plan->drawn[i].listed;
    size_t columns = (size_t)sp_max((layout->sheet.text_right - x) / wide, 1);
    size_t rows = (listed + columns - 1) / columns;
    rows = rows > (size_t)(height / lead) ? rows : (size_t)(height / lead);
    sp numbers = text_advance(layout, TEXT_PLAN_LABEL, "00  ");
    for (size_t i = 0; i < plan->count; i++) {
        if (!plan->drawn[i].listed)
            continue;
        char number[8];
        sp left = x + (sp)(at / rows) * wide, baseline = y + (sp)(at % rows) * lead;
        snprintf(number, sizeof number, "%zu", ++at);
        text_left(layout, ROLE_PLAN_LABEL, TEXT_PLAN_LABEL, number, left, baseline);
        struct text_fit fit = text_fit(layout, TEXT_PLAN_LABEL, plan->drawn[i].name,
                                       wide - numbers - paper(layout, HOUSE_WORD_GAP_UM));
        text_fit_draw(layout, ROLE_PLAN_LABEL, &fit, left + numbers, baseline);
    }
}

/* Rings first, then pedals, whose names mostly stand beside them. */
static void names_draw(struct kit_plan *plan)
{
    size_t listed = 0;
    for (int pedals = 0; pedals < 2; pedals++)
        for (size_t i = 0; i < plan->count; i++)
            if (plan->drawn[i].pedal == (pedals == 1))
                plan->drawn[i].listed = !named(plan, &plan->drawn[i], plan->drawn[i].name, false);
    for (size_t i = 0; i < plan->count; i++)
        if (plan->drawn[i].listed) {
            char number[8];
            snprintf(number, sizeof number, "%zu", ++listed);
            named(plan, &plan->drawn[i], number, true);
        }
}

/* ---- the block ---------------------------------------------------------------------------- */

static int scale_cm(const struct layout *layout, sp cm)
{
    static const int lengths[] = {50, 100, 200, 500};
    size_t at = 0;
    while (at < 3 && lengths[at] * cm < paper(layout, HOUSE_PLAN_SCALE_UM))
        at++;
    return lengths[at];
}

static void scale_draw(const struct kit_plan *plan, sp x, sp y)
{
    struct layout *layout = plan->layout;
    struct pen *pen = &layout->pen;
    char text[16];
    int length = scale_cm(layout, plan->cm);
    sp width = paper(layout, HOUSE_PLAN_THIN_UM), tick = 4 * width, right = x + length * plan->cm;
    snprintf(text, sizeof text, "%d cm", length);
    y -= tick;
    pen_horizontal(pen, ROLE_PLAN_SCALE, x, right, y, width);
    pen_upright(pen, ROLE_PLAN_SCALE, x + width / 2, y - tick, y + tick, width);
    pen_upright(pen, ROLE_PLAN_SCALE, right - width / 2, y - tick, y + tick, width);
    text_left(layout, ROLE_PLAN_LABEL, TEXT_PLAN_LABEL, text, x,
              y - tick - paper(layout, HOUSE_PLAN_CLEAR_UM) * 2);
}

void kit_plan_draw(struct layout *layout)
{
    const char *title = page_word(layout->words, "Kit");
    const char *below = page_word(layout->words, "seen from above");
    struct floor_surface *surfaces = memory_alloc(FLOOR_SURFACES_MOST * sizeof *surfaces);
    struct kit_plan *plan = memory_alloc(sizeof *plan);
    size_t count = floor_gather(layout->score, surfaces);
    struct box kit = kit_box(surfaces, count);
    sp left = layout->sheet.text_left, right = layout->sheet.text_right;
    sp gap = paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    sp beside =
        sp_max(text_advance(layout, TEXT_PLAN_LABEL, below), 50 * paper(layout, HOUSE_PLAN_CM_UM)) +
        gap;
    sp list = gap + paper(layout, HOUSE_PLAN_LIST_UM);
    sp top = text_ink(layout, TEXT_KEY_TITLE, "K").top;
    *plan =
        (struct kit_plan){.layout = layout, .left = left + beside - gap / 2, .right = right - list};
    plan->cm = sp_min(paper(layout, HOUSE_PLAN_CM_UM),
                      sp_min((right - left - beside - list) / box_width(kit),
                             paper(layout, HOUSE_PLAN_HEIGHT_UM) / box_height(kit)));
    plan->cm = sp_max(plan->cm, 1);
    sp width = box_width(kit) * plan->cm;
    sp kit_left = sp_max(sp_min((left + right - width) / 2, right - list - width), left + beside);
    plan->snare = (struct point){kit_left - kit.left * plan->cm, top + kit.bottom * plan->cm};
    layout->pen.owner = no_owner;
    text_left(layout, ROLE_PLAN_TITLE, TEXT_KEY_TITLE, title, left, 0);
    text_left(layout, ROLE_PLAN_LABEL, TEXT_PLAN_LABEL, below, left,
              text_lead(layout, TEXT_KEY_TITLE, HOUSE_TEXT_LEAD));
    ring_add(plan, page_word(layout->words, "stool"), on_page(plan, 0, FLOOR_STOOL_Y_CM),
             FLOOR_STOOL_SIZE_CM / 2, HOUSE_PLAN_THIN_UM);
    stack(surfaces, count);
    for (size_t i = 0; i < count; i++)
        surface_draw(plan, &surfaces[i]);
    names_draw(plan);
    list_draw(plan, kit_left + width, 0, box_height(kit) * plan->cm);
    scale_draw(plan, left, top + box_height(kit) * plan->cm);
    memory_free(plan);
    memory_free(surfaces);
}
