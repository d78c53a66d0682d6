#include "layout/beams.h"

#include "layout/layout_state.h"
#include "layout/notes.h"
#include "layout/signs.h"
#include "layout/system_parts.h"

/*
 * A beat is a group (score_beat), and so is a tuplet that crosses beats: a beat cuts it only where
 * one of its own onsets falls on it. The outermost beam of a group is one straight bar, and the
 * stems of all its notes end there.
 *
 *     beams_mark    while a bar is set: runs of short notes become groups; the height of each is
 *                   estimated
 *     beams_set     when the columns stand: each group goes as far out as its notes and rests ask
 *                   (group_limit); level groups of about one height share a line; all keep clear of
 *                   staff lines (wedges.c); the stems follow
 *     beams_draw    level by level: a beam between notes that both have it, a stub at one that has
 *                   it alone
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

/* ---- groups ------------------------------------------------------------------------------- */

static bool crosses_beat(const struct score_line *line, const struct tuplet *tuplet)
{
    return tuplet && line->leaves[tuplet->first].beat != line->leaves[tuplet->end - 1].beat;
}

/* Whether a leaf begins a unit of the outermost tuplet: a tuplet inside that is one unit. */
static bool begins_unit(const struct score_line *line, uint32_t leaf)
{
    for (uint16_t i = line->leaves[leaf].tuplet; line->tuplets[i].outer != LEAF_NO_TUPLET;
         i = line->tuplets[i].outer)
        if (line->tuplets[i].first != leaf)
            return false;
    return true;
}

bool beam_ends_before(const struct score_bar *bar, const struct score_line *line, uint32_t leaf)
{
    const struct leaf *before = &line->leaves[leaf - 1], *after = &line->leaves[leaf];
    const struct tuplet *tuplet = leaf_outermost(line, after),
                        *other = leaf_outermost(line, before);
    if (tuplet != other && (crosses_beat(line, tuplet) || crosses_beat(line, other)))
        return true;
    if (before->beat == after->beat)
        return false;
    return !tuplet || tuplet != other ||
           (begins_unit(line, leaf) && fraction_equal(after->onset, bar->beats[after->beat].start));
}

static void group_add(struct work *work, const struct set_bar *bar, int line, struct range notes)
{
    struct beam_group *group = vector_push(&work->groups, NULL);
    group->bar = bar->index;
    group->set_bar = (uint32_t)(bar - work->bars.items);
    group->line = (uint8_t)line;
    group->up = work->notes.items[notes.first].up;
    group->first = (uint32_t)notes.first;
    group->end = (uint32_t)notes.end;
    for (size_t i = notes.first; i < notes.end; i++) {
        struct set_note *note = &work->notes.items[i];
        note->beamed = beamable(note);
        if (note->beamed && note->beams > group->most)
            group->most = note->beams;
    }
}

static void mark_line(struct work *work, const struct set_bar *bar, int line)
{
    const struct set_note *notes = work->notes.items;
    const struct score_line *from = &bar->bar->lines[line];
    struct range all = bar->notes[line];
    for (size_t first = all.first; first < all.end; first++) {
        if (!beamable(&notes[first]))
            continue;
        size_t last = first;
        for (size_t i = first + 1;
             i < all.end && !beam_ends_before(bar->bar, from, (uint32_t)(i - all.first)) &&
             (beamable(&notes[i]) || beam_passes(&notes[i]));
             i++)
            if (beamable(&notes[i]))
                last = i;
        if (last > first)
            group_add(work, bar, line, (struct range){first, last + 1});
        first = last;
    }
}

/* ---- heights ------------------------------------------------------------------------------ */

static bool stem_marked(const struct set_note *note)
{
    return leaf_stem_marks(note->leaf);
}

/* The least distance from where the stem joins its head to the outer edge of its beams. Graces may
   stand under the beams of the note before as well, so they clear the most beams of the group. */
static sp stem_least(const struct engraving_defaults *defaults, const struct set_note *note,
                     int most)
{
    sp beamed = (stem_marked(note) ? HOUSE_STEM_MARKED : HOUSE_STEM_FREE) + third_slash(note) +
                beams_thick(defaults, note->beams);
    if (leaf_struck(note->leaf) && note->leaf->note->grace_count)
        beamed =
            sp_max(beamed, HOUSE_GRACE_STEM + HOUSE_GRACE_UNDER_BEAM + beams_thick(defaults, most));
    return sp_max(HOUSE_STEM_LENGTH, beamed);
}

/* How high a stem must end for it and its flags or beams to clear the other hand's heads. */
static sp beyond_other_hand(const struct set_note *note, sp end, sp hangs)
{
    if (!note->crosses)
        return end;
    return note->up ? sp_min(end, note->clear - hangs) : sp_max(end, note->clear + hangs);
}

/* How far out the group's edge must lie at this note or rest. */
static sp group_limit(const struct layout *layout, const struct beam_group *group,
                      const struct set_note *note)
{
    int out = group->up ? -1 : 1;
    if (note->beamed) {
        sp limit = note->chord.near + out * stem_least(layout->defaults, note, group->most);
        return beyond_other_hand(note, limit, beams_thick(layout->defaults, group->most));
    }
    struct box ink = glyph_ink(layout, rest_glyph(note->leaf->value_log2));
    sp room = HOUSE_REST_GAP + beams_thick(layout->defaults, group->most);
    return note->rest_y + (group->up ? ink.top - room : ink.bottom + room);
}

/* Of all limits the outermost, from the height that the group's slope has there. */
static sp group_outermost(const struct layout *layout, const struct beam_group *group)
{
    sp edge = group->up ? INT32_MAX : INT32_MIN;
    for (uint32_t i = group->first; i < group->end; i++) {
        const struct set_note *note = &layout->work.notes.items[i];
        if (note->hidden)
            continue;
        sp limit =
            group_limit(layout, group, note) - beam_edge(group, note->x + note->chord.stem_x);
        edge = group->up ? sp_min(edge, limit) : sp_max(edge, limit);
    }
    return edge;
}

void beams_mark(struct layout *layout, struct set_bar *bar)
{
    struct work *work = &layout->work;
    /* A line shared with other groups, or a slope, may yet move a beam outwards. */
    sp more = layout->staff->sloped ? HOUSE_SLOPE_MOST : HOUSE_ONE_LINE_OF;
    bar->groups.first = work->groups.count;
    mark_line(work, bar, LINE_HANDS);
    mark_line(work, bar, LINE_FEET);
    bar->groups.end = work->groups.count;
    for (size_t g = bar->groups.first; g < bar->groups.end; g++) {
        const struct beam_group *group = &work->groups.items[g];
        sp edge = group_outermost(layout, group) + (group->up ? -more : more);
        for (uint32_t i = group->first; i < group->end; i++)
            work->notes.items[i].stem_end = edge;
    }
}

static double group_slope(const struct work *work, const struct beam_group *group, sp stem)
{
    const struct set_note *first = &work->notes.items[group->first];
    const struct set_note *last = &work->notes.items[group->end - 1];
    sp rise = last->chord.near - first->chord.near;
    rise = sp_max(sp_min(rise, HOUSE_SLOPE_MOST), -HOUSE_SLOPE_MOST);
    rise -= rise % HOUSE_SLOPE_STEP;
    sp run = last->x + last->chord.stem_x - group->x + stem; /* to the outer sides of the stems */
    return run > 0 ? (double)rise / run : 0;
}

static void group_set(struct layout *layout, struct beam_group *group)
{
    const struct set_note *first = &layout->work.notes.items[group->first];
    group->x = first->x + first->chord.stem_x;
    group->y = 0;
    group->slope =
        layout->staff->sloped ? group_slope(&layout->work, group, layout->defaults->stem) : 0;
    group->y = group_outermost(layout, group);
}

static void group_stems(struct work *work, const struct beam_group *group)
{
    for (uint32_t i = group->first; i < group->end; i++) {
        struct set_note *note = &work->notes.items[i];
        if (note->beamed)
            note->stem_end = beam_edge(group, note->x + note->chord.stem_x);
    }
}

/* Level beams whose heights differ by less than a space are one straight line across the system. */
static void groups_align(struct layout *layout, int line)
{
    struct range all = layout->work.line_groups;
    struct beam_group *groups = layout->work.groups.items;
    for (size_t i = all.first; i < all.end; i++)
        if (groups[i].line == line)
            vector_push(&layout->raised, NULL)->y = groups[i].y;
    raised_align(&layout->raised, line == LINE_FEET);
    const struct raised *raised = layout->raised.items;
    for (size_t i = all.first; i < all.end; i++)
        if (groups[i].line == line)
            groups[i].y = raised++->y;
    layout->raised.count = 0;
}

/* The stem that keeps a flag clear of its own head and dots. */
static sp flag_room(const struct layout *layout, const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    const struct chord_head *head = chord_outer(chord);
    struct box ink =
        glyph_ink(layout, head->ghost ? GLYPH_PARENTHESIS_RIGHT : (enum glyph)head->glyph);
    sp beyond = note->up ? chord->near - (head->y + ink.top) : head->y + ink.bottom - chord->near;
    if (note->up && chord->dots) {
        sp dots[CHORD_HEADS_MAX];
        chord_dot_places(chord, dots);
        sp top = dots[chord->count - 1] + glyph_ink(layout, GLYPH_AUGMENTATION_DOT).top;
        beyond = sp_max(beyond, chord->near - top);
    }
    return beyond + HOUSE_FLAG_CLEAR +
           box_height(glyph_ink(layout, flag_glyph(note->beams, note->up)));
}

sp lone_stem_end(const struct layout *layout, const struct set_note *note)
{
    sp length = HOUSE_STEM_LENGTH + third_slash(note);
    if (note->beams > 2)
        length += (note->beams - 2) * HOUSE_FLAG_STEP;
    if (note->beams && stem_marked(note))
        length += HOUSE_MARK_BY_FLAG;
    if (note->beams)
        length = sp_max(length, flag_room(layout, note));
    sp flag = note->beams ? box_height(glyph_ink(layout, flag_glyph(note->beams, note->up))) : 0;
    return beyond_other_hand(note, note->chord.near + (note->up ? -length : length), flag);
}

void beams_set(struct layout *layout)
{
    struct work *work = &layout->work;
    for (size_t i = work->line_notes.first; i < work->line_notes.end; i++) {
        struct set_note *note = &work->notes.items[i];
        if (note->chord.count && !note->beamed)
            note->stem_end = lone_stem_end(layout, note);
    }
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++)
        group_set(layout, &work->groups.items[i]);
    for (int line = 0; line < LINE_COUNT && !layout->staff->sloped; line++)
        groups_align(layout, line);
    beams_clear_lines(layout);
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++)
        group_stems(work, &work->groups.items[i]);
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
    const struct set_note *notes; /* of the work */
};

static sp stem_left(const struct beam_pen *at, uint32_t note)
{
    return at->notes[note].x + at->notes[note].chord.stem_x - at->layout->defaults->stem / 2;
}

static sp stem_right(const struct beam_pen *at, uint32_t note)
{
    return stem_left(at, note) + at->layout->defaults->stem;
}

static void beam_piece(const struct beam_pen *at, int level, sp left, sp right)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    sp in = defaults->beam / 2 + level * beam_step(defaults);
    if (!at->group->up)
        in = -in;
    pen_beam(&at->layout->pen, ROLE_BEAM, (struct point){left, beam_edge(at->group, left) + in},
             (struct point){right, beam_edge(at->group, right) + in}, defaults->beam);
}

/* The next beamed note of the group after `note`; the group's end if there is none. */
static uint32_t next_beamed(const struct beam_pen *at, uint32_t note)
{
    do
        note++;
    while (note < at->group->end && !at->notes[note].beamed);
    return note;
}

/* Whether a beam of this level leads from one note to the next. */
static bool beam_joins(const struct beam_pen *at, int level, uint32_t a, uint32_t b)
{
    if (b >= at->group->end || at->notes[b].beams <= level)
        return false;
    for (uint32_t i = a + 1; i < b; i++)
        if (at->notes[i].beams <= level)
            return false;
    return level == 0 || !beams_break(at->bar, &at->notes[a], &at->notes[b]);
}

/* `before`: the beamed note before it; NONE. */
static void stub_draw(const struct beam_pen *at, int level, uint32_t before, uint32_t note)
{
    const struct set_note *own = &at->notes[note];
    uint32_t after = next_beamed(at, note);
    bool left = before != NONE && !beams_break(at->bar, &at->notes[before], own);
    bool right = after < at->group->end && !beams_break(at->bar, own, &at->notes[after]);
    if (left && right)
        right = begins_pair(at->bar, own, at->group->line);
    if (right || !left)
        beam_piece(at, level, stem_left(at, note), stem_left(at, note) + HOUSE_STUB);
    else
        beam_piece(at, level, stem_right(at, note) - HOUSE_STUB, stem_right(at, note));
}

static void beam_level_draw(const struct beam_pen *at, int level)
{
    uint32_t before = NONE;
    for (uint32_t first = at->group->first; first < at->group->end;) {
        uint32_t last = first, next = next_beamed(at, first);
        if (at->notes[first].beams > level) {
            while (beam_joins(at, level, last, next)) {
                last = next;
                next = next_beamed(at, last);
            }
            if (last == first)
                stub_draw(at, level, before, first);
            else
                beam_piece(at, level, stem_left(at, first), stem_right(at, last));
        }
        before = last;
        first = next;
    }
}

void beams_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (size_t i = work->line_groups.first; i < work->line_groups.end; i++) {
        const struct beam_group *group = &work->groups.items[i];
        struct beam_pen at = {layout, group, &work->bars.items[group->set_bar], work->notes.items};
        uint32_t first = group->first - (uint32_t)at.bar->notes[group->line].first;
        layout->pen.owner = mark_owner(layout->staff->index, group->line, group->bar, first);
        for (int level = 0; level < group->most; level++)
            beam_level_draw(&at, level);
    }
}
