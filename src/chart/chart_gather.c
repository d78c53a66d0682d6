/* Collects what the chart of an exercise shows: for each row, its tokens by beat. */
#include "chart/chart_int.h"

#include <string.h>

/* The mark that a hit shows in its voice's row: a ghost first, then the note's own. NULL: none. */
static const struct stroke_mark *row_mark(const struct note *note, const struct hit *hit)
{
    mark_set marks = hit_marks(note, hit);
    for (int i = 0; marks && i < MARK_COUNT; i++)
        if (marks & stroke_marks[i].bit && stroke_marks[i].grid == MARK_CELL_ROW)
            return &stroke_marks[i];
    return NULL;
}

/* What a hit shows in its voice's row; remembers it for the legend. */
static const char *hit_cell(struct chart *chart, const struct note *note, const struct hit *hit)
{
    const struct stroke_mark *mark = row_mark(note, hit);
    if (mark)
        chart->marks |= mark->bit;
    else
        chart->plain = true;
    return mark ? mark->cell : CHART_PLAIN_STROKE;
}

/* The sticking row is written like a stroke line: lR, R/, Lz. */
static const char *grace_letters(struct arena *arena, const struct note *note)
{
    char letters[GRACES_MAX + 1] = {0};
    for (int i = 0; i < note->grace_count && i < GRACES_MAX; i++)
        letters[i] = note->graces & (1 << i) ? 'l' : 'r';
    return arena_copy_text(arena, letters, strlen(letters));
}

static void add_letter_marks(const struct note *note, struct buffer *out)
{
    for (int i = 0; note->marks && i < MARK_COUNT; i++)
        if (note->marks & stroke_marks[i].bit && stroke_marks[i].grid == MARK_CELL_LETTER)
            buffer_add_text(out, stroke_marks[i].cell);
    if (note->roll)
        buffer_format(out, "%u", note->roll);
}

static const char *stroke_letters(struct arena *arena, const struct note *note)
{
    struct buffer letters = {0};
    buffer_format(&letters, "%c", note->letter);
    add_letter_marks(note, &letters);
    return buffer_keep(&letters, arena);
}

/* A hit of a note without a letter has all the marks in its own cell. */
static const char *whole_cell(struct arena *arena, const struct note *note, const char *cell)
{
    struct buffer text = {0};
    buffer_add_text(&text, cell);
    add_letter_marks(note, &text);
    return buffer_keep(&text, arena);
}

/* ---- rows --------------------------------------------------------------------------------- */

static struct token token_at(const struct score_bar *bar, uint32_t first_beat,
                             struct fraction onset, const char *before, const char *text)
{
    uint16_t beat = bar_beat_at(bar, onset);
    const struct score_beat *in = &bar->beats[beat];
    struct fraction within = fraction_divide(fraction_subtract(onset, in->start), in->length);
    return (struct token){first_beat + beat, within, before, text};
}

static void add_token(struct chart *chart, struct row *row, const struct score_bar *bar,
                      uint32_t first_beat, struct fraction onset, const char *before,
                      const char *text)
{
    if (!bar->beat_count)
        return;
    struct token token = token_at(bar, first_beat, onset, before, text);
    const struct token *last = row->tokens.count ? &row->tokens.items[row->tokens.count - 1] : NULL;
    if (last && last->beat == token.beat && fraction_equal(last->within, token.within))
        return; /* both hands strike the same voice */
    *vector_push(&row->tokens, chart->arena) = token;
}

static void gather_hits(struct chart *chart, const struct score_bar *bar, uint32_t first_beat,
                        int line, struct row *rows_by_voice)
{
    for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
        const struct leaf *leaf = &bar->lines[line].leaves[i];
        if (!leaf_struck(leaf))
            continue;
        const struct note *note = leaf->note;
        bool lettered = note->letter &&
                        (line == LINE_HANDS || bar->hands_apart || is_foot_letter(note->letter));
        for (int h = 0; h < note->hit_count; h++) {
            const char *cell = hit_cell(chart, note, &note->hits[h]);
            struct row *row = &rows_by_voice[note->hits[h].voice];
            if (line == LINE_FEET && note->hits[h].limb <= LIMB_LEFT_HAND)
                row->whose = note->hits[h].limb == LIMB_LEFT_HAND ? "left" : "right";
            add_token(chart, row, bar, first_beat, leaf->onset,
                      lettered || h ? "" : grace_letters(chart->arena, note),
                      lettered ? cell : whole_cell(chart->arena, note, cell));
        }
    }
}

static void gather_letters(struct chart *chart, const struct score_bar *bar, uint32_t first_beat)
{
    struct sticking_walk walk = {.bar = bar};
    struct row *row = &chart->sticking;
    const struct leaf *before = NULL;
    for (const struct leaf *leaf; (leaf = sticking_next(&walk)); before = leaf) {
        const char *letters = stroke_letters(chart->arena, leaf->note);
        if (!leaf->note->letter)
            continue;
        if (before && before->note->letter && fraction_equal(before->onset, leaf->onset)) {
            struct token *both = &row->tokens.items[row->tokens.count - 1];
            both->text = arena_format(chart->arena, "%s%s%s", both->text,
                                      grace_letters(chart->arena, leaf->note), letters);
            continue;
        }
        add_token(chart, row, bar, first_beat, leaf->onset, grace_letters(chart->arena, leaf->note),
                  letters);
    }
}

static void gather_beats(struct chart *chart, const struct score_bar *bar, uint32_t index)
{
    for (uint16_t i = 0; i < bar->beat_count; i++) {
        *vector_push(&chart->beats, chart->arena) = (struct chart_beat){
            .bar = index, .begins_bar = i == 0, .ends_bar = i + 1 == bar->beat_count, .units = 1};
    }
}

static void add_words(struct chart *chart, const struct score_bar *bar, uint32_t first_beat,
                      struct fraction onset, const char *text)
{
    if (text && bar->beat_count)
        *vector_push(&chart->words.tokens, chart->arena) =
            token_at(bar, first_beat, onset, "", text);
}

/* What the band plays. */
static void gather_figures(struct chart *chart, const struct score_bar *bar, uint32_t first_beat)
{
    const struct score_line *figures = bar->figures;
    for (uint32_t i = 0; figures && i < figures->leaf_count; i++) {
        const struct leaf *leaf = &figures->leaves[i];
        if (!leaf->rest && !leaf->continued)
            add_token(chart, &chart->band, bar, first_beat, leaf->onset, "",
                      leaf->note->marks ? ">" : "|");
    }
}

/* What a chart has over a bar, and at its last beat, where the music may go from its end. */
static void gather_signs(struct chart *chart, const struct score_bar *bar, uint32_t first_beat)
{
    const struct bar_signs *signs = bar->signs;
    if (!signs)
        return;
    if (signs->rest > 1)
        add_words(chart, bar, first_beat, bar->start,
                  arena_format(chart->arena, "rest, %u bars", (unsigned)signs->rest));
    add_words(chart, bar, first_beat, bar->start, signs->over.text);
    for (uint16_t i = 0; i < bar->word_count; i++)
        add_words(chart, bar, first_beat, bar->words[i].onset, bar->words[i].text);
    struct fraction end = bar->beat_count ? bar->beats[bar->beat_count - 1].start : bar->start;
    const struct bar_signs *last = signs->rest > 1 ? bar[signs->rest - 1].signs : signs;
    add_words(chart, bar, first_beat, end, last->to_coda.file ? "To Coda" : NULL);
    add_words(chart, bar, first_beat, end, last->fine.file ? "Fine" : NULL);
    add_words(chart, bar, first_beat, end, last->jump.words);
}

static void gather_bar(struct chart *chart, uint32_t index, struct row *rows_by_voice[LINE_COUNT])
{
    const struct score_bar *bar = &chart->exercise->bars[index];
    const struct bar_signs *signs = bar->signs;
    if (signs && signs->rest && signs->goes_on)
        return; /* a rest of several bars is shown as one */
    uint32_t first_beat = (uint32_t)chart->beats.count;
    gather_beats(chart, bar, index);
    for (int line = 0; line < LINE_COUNT; line++)
        gather_hits(chart, bar, first_beat, line, rows_by_voice[line]);
    gather_letters(chart, bar, first_beat);
    for (uint16_t i = 0; i < bar->count_count; i++)
        add_token(chart, &chart->counts, bar, first_beat, bar->counts[i].onset, "",
                  bar->counts[i].text);
    gather_signs(chart, bar, first_beat);
    gather_figures(chart, bar, first_beat);
    for (uint16_t i = 0; i < bar->dynamic_count; i++)
        add_token(chart, &chart->dynamics, bar, first_beat, bar->dynamics[i].onset, "",
                  bar->dynamics[i].text);
}

/* Keeps the rows that have strokes, from the highest staff place to the lowest. */
static void keep_used_rows(struct chart *chart, struct row *by_voice)
{
    const struct kit *kit = &chart->score->lesson->kit;
    for (;;) {
        size_t best = SIZE_MAX;
        for (size_t id = 0; id < kit->voice_count; id++) {
            if (by_voice[id].tokens.count &&
                (best == SIZE_MAX || kit->voices[id].line2 > kit->voices[best].line2))
                best = id;
        }
        if (best == SIZE_MAX)
            return;
        const char *whose = by_voice[best].whose, *name = kit->voices[best].name;
        by_voice[best].label = whose ? arena_format(chart->arena, "%s (%s)", name, whose) : name;
        *vector_push(&chart->voices, chart->arena) = by_voice[best];
        by_voice[best].tokens.count = 0;
    }
}

void chart_gather(struct chart *chart)
{
    size_t voices = chart->score->lesson->kit.voice_count;
    struct row *by_voice[LINE_COUNT];
    for (int line = 0; line < LINE_COUNT; line++)
        by_voice[line] = arena_array(chart->arena, voices, sizeof(struct row));
    for (size_t i = 0; i < chart->exercise->bar_count; i++)
        gather_bar(chart, (uint32_t)i, by_voice);
    for (int line = 0; line < LINE_COUNT; line++)
        keep_used_rows(chart, by_voice[line]);
}

void chart_each_row(struct chart *chart, void (*visit)(struct chart *chart, struct row *row))
{
    visit(chart, &chart->words);
    visit(chart, &chart->band);
    visit(chart, &chart->counts);
    visit(chart, &chart->dynamics);
    visit(chart, &chart->sticking);
    for (size_t i = 0; i < chart->voices.count; i++)
        visit(chart, &chart->voices.items[i]);
}
