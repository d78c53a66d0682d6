#include "layout/layout_int.h"

/*
 * Beams: which notes stand under one, how high it is, its further beams and stubs. A beat is a
 * group (score_beat); beams never leave it. Level beams hang every head of the group from one
 * straight bar.
 */

static bool beamable(const struct set_note *note)
{
    return note->chord.count && note->beams && !note->hidden;
}

/* A short rest may stand under a beam, between its notes. */
static bool beam_passes(const struct set_note *note)
{
    return !note->leaf->note && note->beams && !note->leaf->whole_bar;
}

static uint8_t group_most_beams(const struct work *work, const struct beam_group *group)
{
    uint8_t most = 0;
    for (uint32_t i = group->first; i < group->end; i++)
        if (work->notes[i].beamed && work->notes[i].beams > most)
            most = work->notes[i].beams;
    return most;
}

static void mark_line(struct layout *layout, const struct set_bar *bar, int line)
{
    struct work *work = &layout->work;
    struct set_note *notes = work->notes + bar->first_note[line];
    size_t count = bar->note_count[line];
    for (size_t first = 0; first < count; first++) {
        if (!beamable(&notes[first]))
            continue;
        size_t last = first;
        for (size_t i = first + 1; i < count && notes[i].leaf->beat == notes[first].leaf->beat &&
                                   (beamable(&notes[i]) || beam_passes(&notes[i]));
             i++)
            if (beamable(&notes[i]))
                last = i;
        if (last == first)
            continue;
        for (size_t i = first; i <= last; i++)
            notes[i].beamed = beamable(&notes[i]);
        struct beam_group *group = row_push(work->groups, work->group_count, work->group_room);
        group->bar = bar->index;
        group->set_bar = (uint32_t)(bar - work->bars);
        group->line = (uint8_t)line;
        group->up = notes[first].up;
        group->first = (uint32_t)(bar->first_note[line] + first);
        group->end = (uint32_t)(bar->first_note[line] + last + 1);
        group->most = group_most_beams(work, group);
        first = last;
    }
}

sp beams_thick(const struct engraving_defaults *defaults, int count)
{
    return count ? count * (defaults->beam + defaults->beam_gap) - defaults->beam_gap : 0;
}

sp beam_edge(const struct beam_group *group, sp x)
{
    double rise = group->slope * (x - group->x);
    return group->y + (sp)(rise < 0 ? rise - 0.5 : rise + 0.5);
}

static bool stem_marked(const struct set_note *note)
{
    return leaf_struck(note->leaf) && note->leaf->note->marks & MARKS_ON_STEM;
}

/* The least distance from where the stem joins its head to the outer edge of its beams. Graces
   stand under those of the note before it, too: `most`, the most beams of its group, clears both.
 */
static sp stem_least(const struct engraving_defaults *defaults, const struct set_note *note,
                     int most)
{
    sp beamed = (stem_marked(note) ? HOUSE_STEM_MARKED : HOUSE_STEM_FREE) +
                beams_thick(defaults, note->beams);
    if (leaf_struck(note->leaf) && note->leaf->note->grace_count)
        beamed =
            sp_max(beamed, HOUSE_GRACE_STEM + HOUSE_GRACE_UNDER_BEAM + beams_thick(defaults, most));
    return sp_max(HOUSE_STEM_LENGTH, beamed);
}

static void group_slope(const struct work *work, struct beam_group *group, sp stem)
{
    const struct set_note *first = &work->notes[group->first], *last = &work->notes[group->end - 1];
    sp rise = last->chord.near - first->chord.near;
    rise = rise > HOUSE_SLOPE_MOST ? HOUSE_SLOPE_MOST : sp_max(rise, -HOUSE_SLOPE_MOST);
    rise -= rise % HOUSE_SLOPE_STEP;
    sp run =
        last->x + last->chord.stem_x - group->x + stem; /* a beam's ends are its stems' sides */
    group->slope = run > 0 ? (double)rise / run : 0;
}

/* How far out the group's edge must lie at this note or rest. */
static sp group_limit(const struct layout *layout, const struct beam_group *group,
                      const struct set_note *note)
{
    int out = group->up ? -1 : 1;
    if (note->beamed)
        return note->chord.near + out * stem_least(layout->defaults, note, group->most);
    const struct box *ink = &layout->metrics->glyphs[rest_glyph(note->leaf->value_log2)].ink;
    sp y = note->rest_y;
    sp room = HOUSE_REST_GAP + beams_thick(layout->defaults, group->most);
    return group->up ? y + ink->top - room : y + ink->bottom + room;
}

/* The height of a group's edge before it is known where its notes stand, and how far a straight
   line with other groups, or a slope, may yet move it outwards. */
static sp group_estimate(const struct layout *layout, const struct staff *staff,
                         const struct beam_group *group)
{
    const struct work *work = &layout->work;
    sp edge = group->up ? INT32_MAX : INT32_MIN;
    for (uint32_t i = group->first; i < group->end; i++) {
        if (work->notes[i].hidden)
            continue;
        sp limit = group_limit(layout, group, &work->notes[i]);
        edge = group->up ? sp_min(edge, limit) : sp_max(edge, limit);
    }
    sp more = staff->sloped ? HOUSE_SLOPE_MOST : HOUSE_ONE_LINE_OF;
    return group->up ? edge - more : edge + more;
}

void beams_mark(struct layout *layout, const struct staff *staff, struct set_bar *bar)
{
    struct work *work = &layout->work;
    bar->first_group = work->group_count;
    mark_line(layout, bar, LINE_HANDS);
    mark_line(layout, bar, LINE_FEET);
    bar->group_count = work->group_count - bar->first_group;
    for (size_t g = bar->first_group; g < work->group_count; g++) {
        sp edge = group_estimate(layout, staff, &work->groups[g]);
        for (uint32_t i = work->groups[g].first; i < work->groups[g].end; i++)
            work->notes[i].stem_end = edge;
    }
}

static void group_set(struct layout *layout, const struct staff *staff, struct beam_group *group)
{
    struct work *work = &layout->work;
    struct set_note *first = &work->notes[group->first];
    group->x = first->x + first->chord.stem_x;
    group->slope = 0;
    if (staff->sloped)
        group_slope(work, group, layout->defaults->stem);
    group->y = 0;
    sp edge = group->up ? INT32_MAX : INT32_MIN;
    for (uint32_t i = group->first; i < group->end; i++) {
        const struct set_note *note = &work->notes[i];
        if (note->hidden)
            continue;
        sp limit =
            group_limit(layout, group, note) - beam_edge(group, note->x + note->chord.stem_x);
        edge = group->up ? sp_min(edge, limit) : sp_max(edge, limit);
    }
    group->y = edge;
}

static void group_stems(struct work *work, const struct beam_group *group)
{
    for (uint32_t i = group->first; i < group->end; i++)
        if (work->notes[i].beamed)
            work->notes[i].stem_end =
                beam_edge(group, work->notes[i].x + work->notes[i].chord.stem_x);
}

/* Level beams whose heights differ by less than a space are one straight line across the system. */
static void groups_align(struct layout *layout, int line)
{
    struct work *work = &layout->work;
    for (size_t i = 0; i < work->group_count; i++)
        if (work->groups[i].line == line)
            row_push(work->raised, work->raised_count, work->raised_room)->y = work->groups[i].y;
    raised_align(work->raised, work->raised_count, line == LINE_FEET);
    const struct raised *raised = work->raised;
    for (size_t i = 0; i < work->group_count; i++)
        if (work->groups[i].line == line)
            work->groups[i].y = raised++->y;
    work->raised_count = 0;
}

/* A flag ends clear of its own head and dots: the stem is long enough to keep them apart. */
static sp flag_room(const struct layout *layout, const struct set_note *note)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    const struct chord_head *head = &note->chord.heads[note->up ? note->chord.count - 1 : 0];
    const struct box *ink = &glyphs[head->ghost ? GLYPH_PARENTHESIS_RIGHT : head->glyph].ink;
    sp beyond = note->up ? note->chord.near - (head->y + ink->top)
                         : head->y + ink->bottom - note->chord.near;
    if (note->up && note->chord.dots) {
        sp dots[CHORD_HEADS_MAX];
        chord_dot_places(&note->chord, dots);
        sp top = dots[note->chord.count - 1] + glyphs[GLYPH_AUGMENTATION_DOT].ink.top;
        beyond = sp_max(beyond, note->chord.near - top);
    }
    return beyond + HOUSE_FLAG_CLEAR + box_height(glyphs[flag_glyph(note->beams, note->up)].ink);
}

sp lone_stem_end(const struct layout *layout, const struct set_note *note)
{
    sp length = HOUSE_STEM_LENGTH;
    if (note->beams > 2)
        length += (note->beams - 2) * HOUSE_FLAG_STEP;
    if (note->beams && stem_marked(note))
        length += HOUSE_MARK_BY_FLAG;
    if (note->beams)
        length = sp_max(length, flag_room(layout, note));
    return note->chord.near + (note->up ? -length : length);
}

void beams_set(struct layout *layout, const struct staff *staff)
{
    struct work *work = &layout->work;
    for (size_t i = 0; i < work->note_count; i++)
        if (work->notes[i].chord.count && !work->notes[i].beamed)
            work->notes[i].stem_end = lone_stem_end(layout, &work->notes[i]);
    for (size_t i = 0; i < work->group_count; i++)
        group_set(layout, staff, &work->groups[i]);
    for (int line = 0; line < LINE_COUNT && !staff->sloped; line++)
        groups_align(layout, line);
    beams_clear_lines(layout, staff);
    for (size_t i = 0; i < work->group_count; i++)
        group_stems(work, &work->groups[i]);
}

/* ---- drawing ------------------------------------------------------------------------------ */

/* Where 32nds are, the further beams break at the half of a simple beat: eight are read as 4 + 4.
 */
static bool breaks_at_half(const struct set_bar *bar, const struct set_note *a,
                           const struct set_note *b)
{
    if (a->beams < 3 || b->beams < 3 || b->leaf->tuplet != LEAF_NO_TUPLET)
        return false;
    const struct score_beat *beat = &bar->bar->beats[b->leaf->beat];
    if (beat->kind != BEAT_SIMPLE)
        return false;
    struct fraction half = fraction_multiply(beat->length, (struct fraction){1, 2});
    return fraction_equal(b->leaf->onset, fraction_add(beat->start, half));
}

bool beams_break(const struct set_bar *bar, const struct set_note *a, const struct set_note *b)
{
    return a->leaf->tuplet != b->leaf->tuplet || breaks_at_half(bar, a, b);
}

/* Whether the note begins a pair of its own value within its beat or tuplet. */
static bool begins_pair(const struct set_bar *bar, const struct set_note *note, int line)
{
    const struct leaf *leaf = note->leaf;
    struct fraction start = leaf->tuplet == LEAF_NO_TUPLET
                                ? bar->bar->beats[leaf->beat].start
                                : bar->bar->lines[line].tuplets[leaf->tuplet].onset;
    struct fraction pair = fraction_add(leaf->length, leaf->length);
    struct fraction place = fraction_divide(fraction_subtract(leaf->onset, start), pair);
    return fraction_ok(place) && place.denominator == 1;
}

struct beam_pen {
    struct layout *layout;
    const struct beam_group *group;
    const struct set_bar *bar;
};

static sp stem_left(const struct beam_pen *at, const struct set_note *note)
{
    return note->x + note->chord.stem_x - at->layout->defaults->stem / 2;
}

static sp stem_right(const struct beam_pen *at, const struct set_note *note)
{
    return stem_left(at, note) + at->layout->defaults->stem;
}

static void beam_piece(const struct beam_pen *at, int level, sp left, sp right)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    sp in = defaults->beam / 2 + level * (defaults->beam + defaults->beam_gap);
    if (!at->group->up)
        in = -in;
    pen_beam(&at->layout->pen, ROLE_BEAM, (struct point){left, beam_edge(at->group, left) + in},
             (struct point){right, beam_edge(at->group, right) + in}, defaults->beam);
}

/* The next beamed note of the group after `note`; the group's end where there is none. */
static uint32_t next_beamed(const struct work *work, const struct beam_group *group, uint32_t note)
{
    do
        note++;
    while (note < group->end && !work->notes[note].beamed);
    return note;
}

/* A beam of this level leads from one note to the next. */
static bool beam_joins(const struct beam_pen *at, int level, uint32_t a, uint32_t b)
{
    const struct set_note *notes = at->layout->work.notes;
    if (b >= at->group->end || notes[b].beams <= level)
        return false;
    for (uint32_t i = a + 1; i < b; i++)
        if (notes[i].beams <= level)
            return false;
    return level == 0 || !beams_break(at->bar, &notes[a], &notes[b]);
}

static void stub_draw(const struct beam_pen *at, int level, uint32_t before, uint32_t note)
{
    const struct work *work = &at->layout->work;
    const struct set_note *own = &work->notes[note];
    uint32_t after = next_beamed(work, at->group, note);
    bool left = before != NONE && !beams_break(at->bar, &work->notes[before], own);
    bool right = after < at->group->end && !beams_break(at->bar, own, &work->notes[after]);
    if (left && right)
        right = begins_pair(at->bar, own, at->group->line);
    if (right || !left)
        beam_piece(at, level, stem_left(at, own), stem_left(at, own) + HOUSE_STUB);
    else
        beam_piece(at, level, stem_right(at, own) - HOUSE_STUB, stem_right(at, own));
}

static void level_draw(const struct beam_pen *at, int level)
{
    const struct work *work = &at->layout->work;
    uint32_t before = NONE;
    for (uint32_t first = at->group->first; first < at->group->end;) {
        uint32_t last = first, next = next_beamed(work, at->group, first);
        if (work->notes[first].beams > level) {
            while (beam_joins(at, level, last, next)) {
                last = next;
                next = next_beamed(work, at->group, last);
            }
            if (last == first)
                stub_draw(at, level, before, first);
            else
                beam_piece(at, level, stem_left(at, &work->notes[first]),
                           stem_right(at, &work->notes[last]));
        }
        before = last;
        first = next;
    }
}

void beams_draw(struct layout *layout, const struct staff *staff)
{
    struct work *work = &layout->work;
    for (size_t i = 0; i < work->group_count; i++) {
        const struct beam_group *group = &work->groups[i];
        struct beam_pen at = {layout, group, &work->bars[group->set_bar]};
        uint32_t first = group->first - (uint32_t)at.bar->first_note[group->line];
        layout->pen.owner = mark_owner(staff->index, group->line, group->bar, first);
        for (int level = 0; level < group->most; level++)
            level_draw(&at, level);
    }
}
