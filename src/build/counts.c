/* The syllables that are counted in a bar, and the dynamics, which are placed by counts. */
#include "build/build_int.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* ---- tuplets over more than a beat -------------------------------------------------------- */

/*
 * Inside such a tuplet the beats' own syllables would make a word of no language ("1 5 4 3 2" for
 * five over four beats). There the notes are counted as those of a tuplet in one beat are: 1 2 3 4
 * 5, 1 trip let (common practice). Where all notes fall on quarters of plain beats, as those of
 * four over three do, they are counted as what they are: 1 a & e.
 */
struct crossing {
    struct fraction onset, end;
    uint16_t notes;
    const struct tuplet *tuplet;
};
struct crossings {
    struct crossing *items;
    size_t count;
};

static bool is_inside(const struct crossing *crossing, struct fraction onset)
{
    return fraction_compare(onset, crossing->onset) > 0 &&
           fraction_compare(onset, crossing->end) < 0;
}

static bool is_inside_any(const struct crossings *crossings, struct fraction onset)
{
    for (size_t i = 0; i < crossings->count; i++)
        if (is_inside(&crossings->items[i], onset))
            return true;
    return false;
}

static bool strikes_inside(const struct score_line *line, const struct crossing *crossing)
{
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (leaf_struck(&line->leaves[i]) && is_inside(crossing, line->leaves[i].onset))
            return true;
    return false;
}

/* Two beats that are spoken as one already: quarter triplets. */
static bool is_spoken_over_two(const struct bar_builder *bar, const struct crossing *crossing)
{
    const struct frame *frame = bar->counted.frame;
    const struct span *span = bar->counted.spans[frame_beat_at(frame, 0, crossing->onset)];
    if (!span || span->division.beats != 2)
        return false;
    struct fraction length =
        fraction_multiply(span->division.slot, fraction_make(span->division.slots, 1));
    return fraction_compare(span->start, crossing->onset) <= 0 &&
           fraction_compare(fraction_add(span->start, length), crossing->end) >= 0;
}

static bool crosses_a_beat(const struct bar_builder *bar, const struct crossing *crossing)
{
    const struct frame *frame = bar->counted.frame;
    uint16_t next = (uint16_t)(frame_beat_at(frame, 0, crossing->onset) + 1u);
    return next < frame->beat_count &&
           fraction_compare(frame->beats[next].start, crossing->end) < 0 &&
           !is_spoken_over_two(bar, crossing);
}

/* Four over three simple beats: each note has a syllable of its own beat, 1 a & e. */
static bool falls_on_quarters_of_beats(const struct bar_builder *bar,
                                       const struct crossing *crossing)
{
    const struct frame *frame = bar->frame;
    if (frame != frame->counted) /* its units are counted, not its beats */
        return false;
    uint16_t first = frame_beat_at(frame, 0, crossing->onset), beat = first;
    struct fraction length = frame->beats[first].length, four = fraction_make(4, 1);
    for (;
         beat < frame->beat_count && fraction_compare(frame->beats[beat].start, crossing->end) < 0;
         beat++)
        if (frame->beats[beat].kind != BEAT_SIMPLE ||
            !fraction_equal(frame->beats[beat].length, length))
            return false;
    struct fraction unit = fraction_divide(fraction_subtract(crossing->end, crossing->onset),
                                           fraction_make(crossing->notes, 1));
    struct fraction into = fraction_subtract(crossing->onset, frame->beats[first].start);
    return fraction_divide(fraction_multiply(unit, four), length).denominator == 1 &&
           fraction_divide(fraction_multiply(into, four), length).denominator == 1;
}

/* Those of the hands; those of the feet where no hand strikes meanwhile. */
static struct crossings find_crossings(const struct bar_builder *bar)
{
    const struct score_line *lines = bar->out->lines;
    struct crossings out = {NULL, 0};
    size_t room = (size_t)lines[LINE_HANDS].tuplet_count + lines[LINE_FEET].tuplet_count;
    for (int which = 0; which < LINE_COUNT; which++)
        for (uint16_t i = 0; i < lines[which].tuplet_count; i++) {
            const struct tuplet *tuplet = &lines[which].tuplets[i];
            struct crossing crossing = {tuplet->onset, fraction_add(tuplet->onset, tuplet->length),
                                        tuplet->actual, tuplet};
            if (tuplet->outer != LEAF_NO_TUPLET || !crosses_a_beat(bar, &crossing) ||
                falls_on_quarters_of_beats(bar, &crossing) ||
                !strikes_inside(&lines[which], &crossing) ||
                (which == LINE_FEET && strikes_inside(&lines[LINE_HANDS], &crossing)))
                continue;
            if (!out.items)
                out.items = arena_array(bar->builder->arena, room, sizeof *out.items);
            out.items[out.count++] = crossing;
        }
    return out;
}

/* The syllable of a tuplet's note, from 1 on: as in one beat, or else its number. */
static const char *note_of_tuplet(const struct bar_builder *bar, uint16_t notes, uint16_t note)
{
    static const struct {
        uint8_t subdivision, kind;
    } alike[] = {[2] = {SUBDIVISION_DUPLETS, BEAT_COMPOUND},
                 [3] = {SUBDIVISION_QUARTER_TRIPLETS, BEAT_SIMPLE},
                 [4] = {SUBDIVISION_QUADRUPLETS, BEAT_COMPOUND},
                 [5] = {SUBDIVISION_QUINTUPLETS, BEAT_SIMPLE},
                 [6] = {SUBDIVISION_SEXTUPLETS, BEAT_SIMPLE},
                 [7] = {SUBDIVISION_SEPTUPLETS, BEAT_SIMPLE}};
    const struct counting *counting = bar->counted.frame->counting;
    const char *const *spoken = NULL;
    if (notes >= 2 && notes < sizeof alike / sizeof *alike)
        spoken = counting->spoken[alike[notes].subdivision][alike[notes].kind];
    if (spoken && !strchr(spoken[note], '#'))
        return spoken[note];
    return arena_format(bar->builder->arena, "%u", note + 1u);
}

/* ---- what is counted in a beat ------------------------------------------------------------ */

/* A line on which a bar's beats are looked up, one after the other. */
struct walk {
    const struct leaf *next, *end;
};

static struct walk walk_of(const struct score_line *line)
{
    return (struct walk){line->leaves,
                         line->leaf_count ? line->leaves + line->leaf_count : line->leaves};
}

/* Whether an onset comes before the end of a beat. */
static bool is_by_end(const struct frame *frame, uint16_t beat, struct fraction onset)
{
    return beat + 1 >= frame->beat_count ||
           fraction_compare(onset, frame->beats[beat + 1].start) < 0;
}

/* Into how many equal parts the line's strokes cut the beat, in addition to `parts`; 0: too many.
   A tuplet over several beats counts its own. */
static uint32_t parts_of(const struct frame *frame, struct walk *walk, uint16_t beat,
                         const struct crossings *crossings, uint32_t parts)
{
    const struct leaf *leaf = walk->next;
    while (leaf < walk->end && fraction_compare(leaf->onset, frame->beats[beat].start) < 0)
        leaf++;
    for (; leaf < walk->end && parts && is_by_end(frame, beat, leaf->onset); leaf++)
        if (leaf_struck(leaf) && !is_inside_any(crossings, leaf->onset))
            parts = frame_parts(frame, beat, leaf->onset, parts);
    walk->next = leaf;
    return parts;
}

static bool is_touched(const struct frame *frame, uint16_t beat, const struct crossings *crossings)
{
    if (crossings->count == 0)
        return false;
    struct fraction start = frame->beats[beat].start;
    struct fraction end = fraction_add(start, frame->beats[beat].length);
    for (size_t i = 0; i < crossings->count; i++)
        if (fraction_compare(crossings->items[i].onset, end) < 0 &&
            fraction_compare(crossings->items[i].end, start) > 0)
            return true;
    return false;
}

/* What the hands' line counts, or something finer if the feet need it. Feet that divide the beat
   differently are not counted: syllables of two divisions would be nonsense. */
static struct span *span_for_all(struct bar_builder *bar, uint16_t beat,
                                 const struct crossings *crossings, struct walk walks[LINE_COUNT])
{
    struct frame *frame = bar->counted.frame;
    struct frames *frames = &bar->builder->frames;
    struct walk *hands = &walks[LINE_HANDS], *feet = &walks[LINE_FEET];
    struct span *span = bar->counted.spans[beat];
    if (span && span->division.beats > 1)
        return span;
    if (is_touched(frame, beat, crossings))
        span = frame_coarsest(frames, frame, beat, parts_of(frame, hands, beat, crossings, 1), 0);
    uint32_t slots = (uint32_t)span_spoken_slots(span);
    uint32_t parts = parts_of(frame, feet, beat, crossings, slots);
    if (parts == slots || (slots > 1 && span->division.tuplet_actual))
        return span;
    struct span *finer = frame_coarsest(frames, frame, beat, parts, 0);
    return finer && (slots == 1 || !finer->division.tuplet_actual) ? finer : span;
}

/* ---- the row ------------------------------------------------------------------------------ */

/* Counts and leaves both ascend: one walk marks those that meet. */
static void mark_struck(struct score_bar *bar, const struct score_line *line)
{
    uint32_t leaf = 0;
    for (size_t i = 0; i < bar->count_count && leaf < line->leaf_count; i++) {
        struct fraction onset = bar->counts[i].onset;
        while (leaf < line->leaf_count && fraction_compare(line->leaves[leaf].onset, onset) < 0)
            leaf++;
        bar->counts[i].struck |= leaf < line->leaf_count &&
                                 fraction_equal(line->leaves[leaf].onset, onset) &&
                                 leaf_struck(&line->leaves[leaf]);
    }
}

/* Adds the slots of the feet to those that the hands strike; false if some stroke is on none. */
static bool add_feet(struct bar_builder *bar)
{
    const struct score_line *feet = &bar->out->lines[LINE_FEET];
    for (uint32_t i = 0; i < feet->leaf_count; i++) {
        if (!leaf_struck(&feet->leaves[i]))
            continue;
        int32_t slot = grid_slot_at(bar->grid, feet->leaves[i].onset);
        if (slot < 0)
            return false;
        slots_add(&bar->builder->struck, (uint32_t)slot);
    }
    return true;
}

/* Bars of one grid in which the same slots are struck share their counts. */
static void from_grid(struct bar_builder *bar)
{
    struct grid *grid = bar->grid;
    const struct slots *struck = &bar->builder->struck;
    size_t bytes = slots_words(grid) * sizeof *struck->words;
    bar->out->count_count = grid->count_count;
    if (grid->latest_counts && memcmp(grid->latest_struck, struck->words, bytes) == 0) {
        bar->out->counts = grid->latest_counts;
        return;
    }
    if (!grid->latest_struck)
        grid->latest_struck = arena_room(bar->builder->arena, bytes);
    memcpy(grid->latest_struck, struck->words, bytes);
    bar->out->counts = grid->latest_counts =
        arena_copy(bar->builder->arena, grid->counts, grid->count_count, sizeof *grid->counts);
    for (size_t i = 0; i < grid->count_count; i++)
        bar->out->counts[i].struck = slots_have(struck, grid->count_slots[i]);
}

static int compare_counts(const void *a, const void *b)
{
    const struct count *left = a, *right = b;
    return fraction_compare(left->onset, right->onset);
}

/* The name by which an address finds the place; NULL if there is none. */
static const char *name_of(const struct bar_builder *bar, uint16_t beat, struct fraction onset)
{
    const struct span *span = bar->counted.spans[beat];
    if (fraction_equal(bar->counted.frame->beats[beat].start, onset))
        return "";
    int slot = span && span->spoken_as ? span_slot_at(span, onset) : -1;
    return slot < 0 ? NULL : span->spoken_as[slot];
}

/* The counts of a tuplet's notes but the first, which is counted as what falls there. */
static void add_tuplet(const struct bar_builder *bar, const struct crossing *crossing,
                       struct count *counts, uint16_t *count)
{
    struct fraction onset = crossing->onset;
    struct fraction unit = fraction_divide(fraction_subtract(crossing->end, crossing->onset),
                                           fraction_make(crossing->notes, 1));
    for (uint16_t note = 1; note < crossing->notes; note++) {
        onset = fraction_add(onset, unit);
        uint16_t beat = frame_beat_at(bar->counted.frame, 0, onset);
        counts[(*count)++] = (struct count){.onset = onset,
                                            .text = note_of_tuplet(bar, crossing->notes, note),
                                            .name = name_of(bar, beat, onset),
                                            .beat = beat,
                                            .tuplet = crossing->tuplet};
    }
}

static void add_beat(struct bar_builder *bar, uint16_t beat, const struct span *span,
                     const struct crossings *crossings)
{
    struct score_bar *out = bar->out;
    for (size_t slot = 0; slot < span_spoken_slots(span); slot++) {
        struct count count = frame_count(bar->builder->arena, bar->counted.frame, beat, span, slot);
        if (fraction_compare(count.onset, out->start) >= 0 &&
            !is_inside_any(crossings, count.onset))
            out->counts[out->count_count++] = count;
    }
}

static bool is_struck_at(const struct score_line *line, struct fraction onset)
{
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (leaf_struck(&line->leaves[i]) && fraction_equal(line->leaves[i].onset, onset))
            return true;
    return false;
}

/* Whether the beat falls between the notes of a tuplet that says syllables. */
static bool falls_between(const struct bar_builder *bar, uint16_t beat, const struct span *span,
                          const struct crossings *crossings)
{
    struct fraction onset = bar->counted.frame->beats[beat].start;
    if (span && span->beat != beat)
        return span->texts && !isdigit((unsigned char)*span->texts[1]) &&
               span_slot_at(span, onset) < 0;
    for (size_t i = 0; i < crossings->count; i++) {
        const struct crossing *crossing = &crossings->items[i];
        struct fraction notes = fraction_multiply(fraction_subtract(onset, crossing->onset),
                                                  fraction_make(crossing->notes, 1));
        notes = fraction_divide(notes, fraction_subtract(crossing->end, crossing->onset));
        if (is_inside(crossing, onset))
            return notes.denominator > 1 &&
                   !isdigit((unsigned char)*note_of_tuplet(bar, crossing->notes, 1));
    }
    return false;
}

/* "1 trip 2 let": the number of a beat that a foot plays between two notes of a tuplet. */
static void add_beats_between(struct bar_builder *bar, struct span *const *spans,
                              const struct crossings *crossings)
{
    struct score_bar *out = bar->out;
    const struct frame *frame = bar->counted.frame;
    for (uint16_t beat = 1; beat < frame->beat_count; beat++)
        if (is_struck_at(&out->lines[LINE_FEET], frame->beats[beat].start) &&
            falls_between(bar, beat, spans[beat], crossings))
            out->counts[out->count_count++] =
                frame_count(bar->builder->arena, frame, beat, NULL, 0);
}

static void from_spans(struct bar_builder *bar, const struct crossings *crossings)
{
    struct score_bar *out = bar->out;
    const struct frame *frame = bar->counted.frame;
    struct span *spans[METER_BEATS_MAX];
    struct walk walks[LINE_COUNT];
    for (int line = 0; line < LINE_COUNT; line++)
        walks[line] = walk_of(&out->lines[line]);
    size_t room = frame->beat_count;
    for (uint16_t beat = 0; beat < frame->beat_count; beat++) {
        spans[beat] = span_for_all(bar, beat, crossings, walks);
        room += span_spoken_slots(spans[beat]);
    }
    for (size_t i = 0; i < crossings->count; i++)
        room += crossings->items[i].notes;
    out->counts = arena_array_room(bar->builder->arena, room, sizeof *out->counts);
    for (uint16_t beat = 0; beat < frame->beat_count; beat++)
        if (!spans[beat] || spans[beat]->beat == beat)
            add_beat(bar, beat, spans[beat], crossings);
    for (size_t i = 0; i < crossings->count; i++)
        add_tuplet(bar, &crossings->items[i], out->counts, &out->count_count);
    add_beats_between(bar, spans, crossings);
    items_sort(out->counts, out->count_count, sizeof *out->counts, compare_counts);
    mark_struck(out, &out->lines[LINE_HANDS]);
    mark_struck(out, &out->lines[LINE_FEET]);
}

void counts_build(struct bar_builder *bar)
{
    struct crossings crossings = find_crossings(bar);
    if (bar->grid && crossings.count == 0 && add_feet(bar))
        from_grid(bar);
    else
        from_spans(bar, &crossings);
}

/* ---- dynamics and words ------------------------------------------------------------------- */

static int compare_marks(const void *a, const void *b)
{
    const struct dynamic_mark *left = a, *right = b;
    return fraction_compare(left->onset, right->onset);
}

typedef VECTOR(struct dynamic_mark) mark_list;

static void add_marks(struct bar_builder *bar, const struct dynamics *dynamics, bool shared,
                      mark_list *marks)
{
    for (size_t e = 0; e < dynamics->count; e++) {
        const struct dynamic_entry *entry = &dynamics->entries[e];
        for (size_t i = 0; i < entry->where.count; i++) {
            const struct address *address = &entry->where.items[i];
            const struct resolved *resolved =
                address_in_bar(bar, address, shared) ? bar_resolve(bar, address, shared) : NULL;
            size_t positions = resolved && resolved->outcome == ADDRESS_FOUND ? resolved->count : 0;
            for (size_t p = 0; p < positions; p++)
                *vector_push(marks, bar->builder->arena) =
                    (struct dynamic_mark){resolved->positions[p].onset, entry->what.text};
        }
    }
}

void dynamics_build(struct bar_builder *bar)
{
    if (!bar->exercise->exercise->dynamics.count && !bar->source->dynamics.count)
        return;
    mark_list marks = {0};
    if (!bar->out->pickup)
        add_marks(bar, &bar->exercise->exercise->dynamics, true, &marks);
    add_marks(bar, &bar->source->dynamics, false, &marks);
    vector_sort(&marks, compare_marks);
    bar->out->dynamics = marks.items;
    bar->out->dynamic_count = (uint16_t)marks.count;
}

/* accel, rit and a-tempo, and what is printed of them. */
static void paces_build(struct bar_builder *bar, mark_list *words)
{
    static const char *const printed[] = {"accel.", "rit.", "a tempo"};
    mark_list paces = {0};
    if (!bar->exercise->exercise->pace.count && !bar->source->pace.count)
        return;
    if (!bar->out->pickup)
        add_marks(bar, &bar->exercise->exercise->pace, true, &paces);
    add_marks(bar, &bar->source->pace, false, &paces);
    vector_sort(&paces, compare_marks);
    for (size_t i = 0; i < paces.count; i++) {
        const char *text = paces.items[i].text;
        *vector_push(words, bar->builder->arena) =
            (struct dynamic_mark){paces.items[i].onset, printed[strcmp(text, "accel") == 0 ? 0
                                                                : *text == 'r'             ? 1
                                                                                           : 2]};
    }
    bar->out->paces = paces.items;
    bar->out->pace_count = (uint16_t)paces.count;
}

/* A gradual tempo already says how the speed changes. */
static void check_pace(struct bar_builder *bar)
{
    const struct tempo *tempo = bar->source->settings->tempo;
    const struct dynamics *pace =
        bar->source->pace.count ? &bar->source->pace : &bar->exercise->exercise->pace;
    if (!bar->out->pace_count || !tempo || !tempo->gradual ||
        !builder_report_once(bar->builder, pace))
        return;
    diag_add(bar->builder->diags, DIAG_CONFLICT, pace->at,
             "'pace' where the tempo changes gradually already");
    diag_expected(bar->builder->diags, "one tempo, or no 'pace'");
    diag_other(bar->builder->diags, tempo->at, "the gradual tempo is here");
}

void words_build(struct bar_builder *bar)
{
    mark_list words = {0};
    bar->out->signs = bar->source->signs;
    if (bar->source->signs)
        add_marks(bar, &bar->source->signs->words, false, &words);
    paces_build(bar, &words);
    check_pace(bar);
    vector_sort(&words, compare_marks);
    bar->out->words = words.items;
    bar->out->word_count = (uint16_t)words.count;
}
