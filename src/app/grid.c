#include "app/grid.h"

#include "app/terminal.h"
#include "base/vector.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* Units of a beat at most; onsets that need more (deep tuplets against each other) are rounded. */
enum { UNITS_MAX = 240 };

/* What stands at one place of a row: text before the place (grace strokes), at it and after it. */
struct token {
    uint32_t beat;          /* in the exercise's row of beats */
    struct fraction within; /* share of the beat that is past */
    const char *before, *text;
};

struct row {
    const char *label;
    VECTOR(struct token) tokens;
    size_t drawn; /* tokens on the lines above */
};

/* One beat of the exercise. */
struct grid_beat {
    uint32_t bar;
    bool begins_bar, ends_bar;
    uint32_t units;
    size_t width; /* cells: lead, then units, without the line in front */
};

struct grid {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    size_t columns;
    VECTOR(struct grid_beat) beats;
    struct row counts, sticking, dynamics;
    VECTOR(struct row) hands, feet; /* one a voice, highest on the staff first */
    size_t lead;                    /* cells in front of each beat, for grace strokes */
    size_t beat_width;              /* of equal beats, without the lead; 0: each its own */
    size_t unit_width[UNITS_MAX + 1];
    size_t label_width;
    bool signs[16]; /* of sign_table: used so far */
};

/* ---- signs -------------------------------------------------------------------------------- */

enum sign { SIGN_STROKE, SIGN_ACCENT, SIGN_STRONG_ACCENT, SIGN_GHOST };

static const struct {
    const char *sign, *meaning;
} sign_table[] = {
    [SIGN_STROKE] = {"\u25CF", "stroke"},
    [SIGN_ACCENT] = {"\u25B2", "accent"},
    [SIGN_STRONG_ACCENT] = {"\u25C6", "strong accent"},
    [SIGN_GHOST] = {"\u25CB", "ghost"},
};
enum { SIGN_COUNT = sizeof sign_table / sizeof *sign_table };

static enum sign sign_of(const struct note *note, const struct hit *hit)
{
    if (hit->ghost)
        return SIGN_GHOST;
    if (note->marks & MARK_STRONG_ACCENT)
        return SIGN_STRONG_ACCENT;
    return note->marks & MARK_ACCENT ? SIGN_ACCENT : SIGN_STROKE;
}

/* The sticking row speaks the language of stroke lines: lR, R/, Lz. */
static const char *grace_letters(struct arena *arena, const struct note *note)
{
    char letters[GRACES_MAX + 1] = {0};
    for (int i = 0; i < note->grace_count && i < GRACES_MAX; i++)
        letters[i] = note->graces & (1 << i) ? 'l' : 'r';
    return arena_copy_text(arena, letters, strlen(letters));
}

static const char *stroke_letters(struct arena *arena, const struct note *note)
{
    return arena_format(arena, "%c%s%s%s%s%s", note->letter, note->marks & MARK_SLASH_1 ? "/" : "",
                        note->marks & MARK_SLASH_2 ? "//" : "", note->marks & MARK_BUZZ ? "z" : "",
                        note->marks & MARK_RING ? "+" : "", note->marks & MARK_OPEN ? "o" : "");
}

/* ---- gathering: what stands where --------------------------------------------------------- */

static void add_token(struct grid *grid, struct row *row, const struct score_bar *bar,
                      uint32_t first_beat, struct fraction onset, const char *before,
                      const char *text)
{
    uint16_t beat = 0;
    while (beat + 1 < bar->beat_count && fraction_compare(bar->beats[beat + 1].start, onset) <= 0)
        beat++;
    if (!bar->beat_count)
        return;
    const struct score_beat *in = &bar->beats[beat];
    struct fraction within = fraction_divide(fraction_subtract(onset, in->start), in->length);
    const struct token *last = row->tokens.count ? &row->tokens.items[row->tokens.count - 1] : NULL;
    if (last && last->beat == first_beat + beat && fraction_equal(last->within, within))
        return; /* both hands on one voice */
    *vector_push(&row->tokens, grid->arena) =
        (struct token){first_beat + beat, within, before, text};
}

static const struct voice *voice_of(const struct grid *grid, voice_id id)
{
    return &grid->score->lesson->kit.voices[id];
}

static void gather_hits(struct grid *grid, const struct score_bar *bar, uint32_t first_beat,
                        int line, struct row *rows_by_voice)
{
    for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
        const struct leaf *leaf = &bar->lines[line].leaves[i];
        if (!leaf_struck(leaf))
            continue;
        const struct note *note = leaf->note;
        for (int h = 0; h < note->hit_count; h++) {
            enum sign sign = sign_of(note, &note->hits[h]);
            grid->signs[sign] = true;
            add_token(grid, &rows_by_voice[note->hits[h].voice], bar, first_beat, leaf->onset, "",
                      sign_table[sign].sign);
        }
        if (line == LINE_HANDS && note->letter)
            add_token(grid, &grid->sticking, bar, first_beat, leaf->onset,
                      grace_letters(grid->arena, note), stroke_letters(grid->arena, note));
    }
}

static void gather_beats(struct grid *grid, const struct score_bar *bar, uint32_t index)
{
    for (uint16_t i = 0; i < bar->beat_count; i++) {
        *vector_push(&grid->beats, grid->arena) = (struct grid_beat){
            .bar = index,
            .begins_bar = i == 0,
            .ends_bar = i + 1 == bar->beat_count,
            .units = 1,
        };
    }
}

static void gather_bar(struct grid *grid, uint32_t index, struct row *rows_by_voice[LINE_COUNT])
{
    const struct score_bar *bar = &grid->exercise->bars[index];
    uint32_t first_beat = (uint32_t)grid->beats.count;
    gather_beats(grid, bar, index);
    for (int line = 0; line < LINE_COUNT; line++)
        gather_hits(grid, bar, first_beat, line, rows_by_voice[line]);
    for (uint16_t i = 0; i < bar->count_count; i++)
        add_token(grid, &grid->counts, bar, first_beat, bar->counts[i].onset, "",
                  bar->counts[i].text);
    for (uint16_t i = 0; i < bar->dynamic_count; i++)
        add_token(grid, &grid->dynamics, bar, first_beat, bar->dynamics[i].onset, "",
                  bar->dynamics[i].text);
}

/* The rows that have something, from the highest place on the staff to the lowest. */
static void keep_used_rows(struct grid *grid, struct row *by_voice, bool hands)
{
    const struct kit *kit = &grid->score->lesson->kit;
    for (;;) {
        size_t best = SIZE_MAX;
        for (size_t id = 0; id < kit->voice_count; id++) {
            if (by_voice[id].tokens.count &&
                (best == SIZE_MAX || kit->voices[id].line2 > kit->voices[best].line2))
                best = id;
        }
        if (best == SIZE_MAX)
            return;
        by_voice[best].label = voice_of(grid, (voice_id)best)->name;
        if (hands)
            *vector_push(&grid->hands, grid->arena) = by_voice[best];
        else
            *vector_push(&grid->feet, grid->arena) = by_voice[best];
        by_voice[best].tokens.count = 0;
    }
}

static void gather(struct grid *grid)
{
    size_t voices = grid->score->lesson->kit.voice_count;
    struct row *by_voice[LINE_COUNT];
    for (int line = 0; line < LINE_COUNT; line++)
        by_voice[line] = arena_array(grid->arena, voices, sizeof(struct row));
    for (size_t i = 0; i < grid->exercise->bar_count; i++)
        gather_bar(grid, (uint32_t)i, by_voice);
    keep_used_rows(grid, by_voice[LINE_HANDS], true);
    keep_used_rows(grid, by_voice[LINE_FEET], false);
}

/* Calls `visit` for every row of the exercise from top to bottom. */
static void each_row(struct grid *grid, void (*visit)(struct grid *grid, struct row *row))
{
    visit(grid, &grid->counts);
    visit(grid, &grid->dynamics);
    visit(grid, &grid->sticking);
    for (size_t i = 0; i < grid->hands.count; i++)
        visit(grid, &grid->hands.items[i]);
    for (size_t i = 0; i < grid->feet.count; i++)
        visit(grid, &grid->feet.items[i]);
}

/* ---- measuring ---------------------------------------------------------------------------- */

static size_t cells(const char *text)
{
    return terminal_text_cells(text, strlen(text));
}

static void fit_units(struct grid *grid, struct row *row)
{
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        struct grid_beat *beat = &grid->beats.items[token->beat];
        int64_t units = least_common_multiple(beat->units, token->within.denominator);
        beat->units = units > 0 && units <= UNITS_MAX ? (uint32_t)units : UNITS_MAX;
    }
}

/* The unit that a token stands on; rounded down where the beat has not enough of them. */
static size_t unit_of(const struct grid *grid, const struct token *token)
{
    struct fraction units = {grid->beats.items[token->beat].units, 1};
    return (size_t)fraction_floor(fraction_multiply(token->within, units));
}

/* The least width of a unit with which `needed` cells fit into `units`. */
static size_t width_for(size_t needed, size_t units)
{
    return units ? (needed + units - 1) / units : 1;
}

static void widen(struct grid *grid, size_t units, size_t width)
{
    if (width > grid->unit_width[units])
        grid->unit_width[units] = width;
}

static void fit_widths(struct grid *grid, struct row *row)
{
    if (row == &grid->dynamics)
        return; /* its words may run on into the next beat */
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        const struct token *next = i + 1 < row->tokens.count ? token + 1 : NULL;
        size_t units = grid->beats.items[token->beat].units, at = unit_of(grid, token);
        size_t needed = cells(token->text) + 1, room = units - at;
        if (next && next->beat == token->beat) {
            needed += cells(next->before);
            room = unit_of(grid, next) - at;
        }
        widen(grid, units, width_for(needed, room));
        if (at == 0 && cells(token->before) > grid->lead)
            grid->lead = cells(token->before);
        else if (at > 0)
            widen(grid, units, width_for(cells(token->before), at));
    }
}

static void fit_label(struct grid *grid, struct row *row)
{
    if (row->label && cells(row->label) > grid->label_width)
        grid->label_width = cells(row->label);
}

static size_t stretch_cells(const struct grid *grid, size_t first, size_t end)
{
    size_t width = grid->label_width + 3;
    for (size_t i = first; i < end; i++)
        width += grid->beats.items[i].width + 1;
    return width + 4; /* the last line and a play count such as x16 */
}

static size_t end_of_bar(const struct grid *grid, size_t beat)
{
    while (!grid->beats.items[beat].ends_bar)
        beat++;
    return beat + 1;
}

/* Cells of one unit of a beat: what its tokens need, or more where all beats are made as wide as
   the widest. */
static size_t unit_width(const struct grid *grid, const struct grid_beat *beat)
{
    size_t width = grid->unit_width[beat->units];
    if (grid->beat_width)
        width = grid->beat_width / beat->units;
    return width ? width : 1;
}

static void set_widths(struct grid *grid)
{
    for (size_t i = 0; i < grid->beats.count; i++) {
        struct grid_beat *beat = &grid->beats.items[i];
        size_t width = beat->units * unit_width(grid, beat);
        beat->width = grid->lead + (grid->beat_width > width ? grid->beat_width : width);
    }
}

static size_t widest_beat(const struct grid *grid)
{
    size_t widest = 1;
    for (size_t i = 0; i < grid->beats.count; i++) {
        const struct grid_beat *beat = &grid->beats.items[i];
        size_t width = beat->units * unit_width(grid, beat);
        if (width > widest)
            widest = width;
    }
    return widest;
}

/* All beats as wide as the widest, so that bars can be compared by eye; where a bar would then not
   fit on a line, each beat takes what it needs. */
static void fit_beats(struct grid *grid)
{
    grid->beat_width = widest_beat(grid);
    set_widths(grid);
    for (size_t first = 0; first < grid->beats.count; first = end_of_bar(grid, first)) {
        if (stretch_cells(grid, first, end_of_bar(grid, first)) > grid->columns) {
            grid->beat_width = 0;
            set_widths(grid);
            return;
        }
    }
}

enum { LABEL_MOST = 24 }; /* a longer name is cut */

/* Room for "bars 9-12". */
static size_t bars_label_width(const struct grid *grid)
{
    return 6 + 2 * (size_t)snprintf(NULL, 0, "%zu", grid->exercise->bar_count);
}

static void measure(struct grid *grid)
{
    each_row(grid, fit_units);
    each_row(grid, fit_widths);
    grid->label_width = bars_label_width(grid);
    each_row(grid, fit_label);
    if (grid->label_width > LABEL_MOST)
        grid->label_width = LABEL_MOST;
    fit_beats(grid);
}

/* ---- breaking into lines ------------------------------------------------------------------ */

/* A line of the grid: beats [first, end). */
struct stretch {
    size_t first, end;
};

/* Something is to be said above the bar that begins here: a new meter, an ending. */
static bool is_announced(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    const struct score_bar *bar = &grid->exercise->bars[at->bar];
    return at->begins_bar && (bar->meter_changes || bar->ending_begins);
}

/* As many whole bars as fit; of a bar that is too wide alone as many beats; never less than one. */
static struct stretch next_stretch(const struct grid *grid, size_t first)
{
    struct stretch stretch = {first, first};
    while (stretch.end < grid->beats.count) {
        size_t end = end_of_bar(grid, stretch.end);
        if (stretch_cells(grid, first, end) > grid->columns)
            break;
        if (stretch.end > first && is_announced(grid, stretch.end))
            return stretch;
        stretch.end = end;
    }
    if (stretch.end == first) {
        stretch.end = first + 1;
        size_t bar_end = end_of_bar(grid, first);
        while (stretch.end < bar_end &&
               stretch_cells(grid, first, stretch.end + 1) <= grid->columns)
            stretch.end++;
    }
    return stretch;
}

/* ---- drawing ------------------------------------------------------------------------------ */

#define LINE_BAR "\u2502"
#define LINE_BEAT "\u250A"
#define LINE_REPEAT "\u2551"

static void add_blanks(struct buffer *out, size_t count)
{
    for (; count; count--)
        buffer_add(out, " ", 1);
}

static const char *line_before(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    if (!at->begins_bar)
        return LINE_BEAT;
    const struct score_bar *bars = grid->exercise->bars;
    bool repeat = bars[at->bar].repeat_begins || (at->bar && bars[at->bar - 1].repeat_ends);
    return repeat ? LINE_REPEAT : LINE_BAR;
}

static const char *line_after(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    if (!at->ends_bar)
        return LINE_BEAT;
    return grid->exercise->bars[at->bar].repeat_ends ? LINE_REPEAT : LINE_BAR;
}

static void add_label(const struct grid *grid, const char *label, struct buffer *out)
{
    struct buffer clean = {0};
    terminal_clean(&clean, label, strlen(label));
    size_t length = clean.length;
    while (terminal_text_cells(buffer_text(&clean), length) > grid->label_width)
        length--;
    while (length < clean.length && (clean.bytes[length] & 0xC0) == 0x80)
        length--;
    buffer_add_text(out, "  ");
    buffer_add(out, buffer_text(&clean), length);
    add_blanks(out, grid->label_width + 1 - terminal_text_cells(buffer_text(&clean), length));
    buffer_release(&clean);
}

/* The tokens of one beat. One that finds no room, in a beat with too few units, is set off by one
   blank and pushes what follows. */
static void draw_beat(const struct grid *grid, struct row *row, size_t beat, struct buffer *out)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    size_t drawn = 0, unit = unit_width(grid, at);
    for (; row->drawn < row->tokens.count; row->drawn++) {
        const struct token *token = &row->tokens.items[row->drawn];
        if (token->beat != beat)
            break;
        size_t place = grid->lead + unit_of(grid, token) * unit - cells(token->before);
        if (place > drawn)
            add_blanks(out, place - drawn);
        else if (drawn)
            add_blanks(out, 1);
        drawn = place > drawn ? place : drawn + (drawn > 0);
        buffer_add_text(out, token->before);
        terminal_clean(out, token->text, strlen(token->text));
        drawn += cells(token->before) + cells(token->text);
    }
    if (drawn < at->width)
        add_blanks(out, at->width - drawn);
}

static void end_line(struct buffer *out)
{
    while (out->length && out->bytes[out->length - 1] == ' ')
        out->bytes[--out->length] = '\0';
    buffer_add_text(out, "\n");
}

static void draw_row(const struct grid *grid, struct row *row, struct stretch stretch,
                     const char *label, const char *after, struct buffer *out)
{
    add_label(grid, label, out);
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        buffer_add_text(out, line_before(grid, beat));
        draw_beat(grid, row, beat, out);
    }
    buffer_format(out, "%s%s", line_after(grid, stretch.end - 1), after);
    end_line(out);
}

/* Words of loudness, from their places on, over the lines between the beats. */
static void draw_words(const struct grid *grid, struct row *row, struct stretch stretch,
                       const char *label, struct buffer *out)
{
    add_label(grid, label, out);
    size_t drawn = 0, beat_place = 1;
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        const struct grid_beat *at = &grid->beats.items[beat];
        size_t unit = unit_width(grid, at);
        for (; row->drawn < row->tokens.count; row->drawn++) {
            const struct token *token = &row->tokens.items[row->drawn];
            if (token->beat != beat)
                break;
            size_t place = beat_place + grid->lead + unit_of(grid, token) * unit;
            add_blanks(out, place > drawn ? place - drawn : 1);
            drawn = (place > drawn ? place : drawn + 1) + cells(token->text);
            buffer_add_text(out, token->text);
        }
        beat_place += at->width + 1;
    }
    end_line(out);
}

static bool row_has(const struct row *row, struct stretch stretch)
{
    return row->drawn < row->tokens.count && row->tokens.items[row->drawn].beat < stretch.end;
}

static void add_bar_number(const struct score_bar *bar, struct buffer *out)
{
    if (bar->pickup)
        buffer_add_text(out, "pickup");
    else
        buffer_format(out, "%" PRIu32, bar->number);
}

/* "bar 3", "bars 1-4", "pickup". */
static void bars_label(const struct grid *grid, struct stretch stretch, struct buffer *label)
{
    const struct score_bar *bars = grid->exercise->bars;
    const struct score_bar *first = &bars[grid->beats.items[stretch.first].bar];
    const struct score_bar *last = &bars[grid->beats.items[stretch.end - 1].bar];
    if (first == last && !first->pickup)
        buffer_add_text(label, "bar ");
    else if (!first->pickup)
        buffer_add_text(label, "bars ");
    add_bar_number(first, label);
    if (first != last) {
        buffer_add_text(label, "-");
        add_bar_number(last, label);
    }
}

static void draw_stretch(struct grid *grid, struct stretch stretch, struct buffer *out)
{
    const struct grid_beat *last = &grid->beats.items[stretch.end - 1];
    const struct score_bar *bar = &grid->exercise->bars[last->bar];
    struct buffer label = {0};
    char plays[16] = "";
    bars_label(grid, stretch, &label);
    if (last->ends_bar && bar->repeat_ends && bar->plays)
        snprintf(plays, sizeof plays, "\u00D7%u", (unsigned)bar->plays);
    draw_row(grid, &grid->counts, stretch, buffer_text(&label), plays, out);
    buffer_release(&label);
    if (row_has(&grid->dynamics, stretch))
        draw_words(grid, &grid->dynamics, stretch, "loudness", out);
    if (grid->sticking.tokens.count)
        draw_row(grid, &grid->sticking, stretch, "sticking", "", out);
    for (size_t i = 0; i < grid->hands.count; i++)
        draw_row(grid, &grid->hands.items[i], stretch, grid->hands.items[i].label, "", out);
    for (size_t i = 0; i < grid->feet.count; i++)
        draw_row(grid, &grid->feet.items[i], stretch, grid->feet.items[i].label, "", out);
}

/* ---- headings ----------------------------------------------------------------------------- */

static void add_meter(const struct meter *meter, struct buffer *out)
{
    for (uint8_t i = 0; i < meter->group_count; i++)
        buffer_format(out, "%s%u", i ? "+" : "", (unsigned)meter->groups[i]);
    buffer_format(out, "/%u", (unsigned)meter->unit);
}

static void add_tempo(const struct tempo *tempo, struct buffer *out)
{
    buffer_add_text(out, "   tempo ");
    if (tempo->unit_log2 != 0xFF) {
        buffer_format(out, "%u%.*s=", 1U << tempo->unit_log2, (int)tempo->unit_dots, "...");
    }
    for (size_t i = 0; i < tempo->count; i++)
        buffer_format(out, "%s%u", i == 0 ? "" : tempo->range ? "-" : " ", (unsigned)tempo->bpm[i]);
}

static void add_heading(const struct score_exercise *exercise, struct buffer *out)
{
    buffer_format(out, "%" PRIu32 "  ", exercise->number);
    if (exercise->title)
        terminal_clean(out, exercise->title, strlen(exercise->title));
    if (exercise->bar_count && exercise->bars[0].meter) {
        buffer_add_text(out, "   ");
        add_meter(exercise->bars[0].meter, out);
    }
    if (exercise->tempo && exercise->tempo->count)
        add_tempo(exercise->tempo, out);
    buffer_add_text(out, "\n");
}

/* The practice form: which exercises, how often. */
static void add_sequence(const struct score *score, const struct exercise *exercise,
                         struct buffer *out)
{
    buffer_add_text(out, "  practice form: ");
    for (size_t i = 0; i < exercise->sequence_count; i++) {
        const struct sequence_step *step = &exercise->sequence[i];
        const struct exercise *named = &score->lesson->exercises[step->exercise];
        const char *name = named->title.text ? named->title.text : named->id.text;
        buffer_add_text(out, i ? ", " : "");
        terminal_clean(out, name ? name : "?", strlen(name ? name : "?"));
        if (step->times > 1)
            buffer_format(out, " \u00D7%u", (unsigned)step->times);
    }
    buffer_add_text(out, "\n");
}

static void add_ending(const struct ending *ending, struct buffer *out)
{
    buffer_add_text(out, "  ending ");
    for (size_t i = 0; i < ending->pass_count; i++)
        buffer_format(out, "%s%u", i ? ", " : "", (unsigned)ending->passes[i]);
    buffer_add_text(out, "\n");
}

/* What is said above a line of the grid: a meter that is new, an ending that begins. */
static void add_announcements(const struct grid *grid, struct stretch stretch, struct buffer *out)
{
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        if (!grid->beats.items[beat].begins_bar)
            continue;
        const struct score_bar *bar = &grid->exercise->bars[grid->beats.items[beat].bar];
        if (beat && bar->meter_changes && bar->meter) {
            buffer_add_text(out, "  ");
            add_meter(bar->meter, out);
            buffer_add_text(out, "\n");
        }
        if (bar->ending_begins && bar->ending)
            add_ending(bar->ending, out);
    }
}

/* ---- the whole ---------------------------------------------------------------------------- */

static void write_exercise(struct grid *grid, struct buffer *out)
{
    add_heading(grid->exercise, out);
    if (grid->exercise->sequence) {
        add_sequence(grid->score, grid->exercise->source, out);
        return;
    }
    gather(grid);
    measure(grid);
    for (size_t beat = 0; beat < grid->beats.count;) {
        struct stretch stretch = next_stretch(grid, beat);
        if (beat)
            buffer_add_text(out, "\n");
        add_announcements(grid, stretch, out);
        draw_stretch(grid, stretch, out);
        beat = stretch.end;
    }
}

static bool is_wanted(const struct score_exercise *exercise, struct layout_options options)
{
    for (size_t i = 0; i < options.exercise_count; i++) {
        if (options.exercises[i] == exercise->number)
            return true;
    }
    return options.exercise_count == 0;
}

static void add_legend(const bool *signs, struct buffer *out)
{
    buffer_add_text(out, "\n");
    for (int sign = 0; sign < SIGN_COUNT; sign++) {
        if (signs[sign])
            buffer_format(out, "%s %s   ", sign_table[sign].sign, sign_table[sign].meaning);
    }
    end_line(out);
}

void grid_write(const struct score *score, struct layout_options options, size_t columns,
                struct buffer *out)
{
    bool signs[SIGN_COUNT] = {false}, any = false;
    const struct words *title = &score->lesson->title;
    if (title->text) {
        terminal_clean(out, title->text, strlen(title->text));
        buffer_add_text(out, "\n");
    }
    struct arena *arena = arena_new();
    for (size_t i = 0; i < score->exercise_count; i++) {
        if (!is_wanted(&score->exercises[i], options))
            continue;
        struct grid grid = {
            .arena = arena, .score = score, .exercise = &score->exercises[i], .columns = columns};
        buffer_add_text(out, "\n");
        write_exercise(&grid, out);
        for (int sign = 0; sign < SIGN_COUNT; sign++)
            any |= signs[sign] |= grid.signs[sign];
        arena_reset(arena);
    }
    if (any)
        add_legend(signs, out);
    arena_free(arena);
}
