/* Exercises: their bars, pickups, endings, and the practice forms made of earlier exercises. */
#include "read/scanner.h"
#include "read/scope.h"

static bool count_bars(struct reader *reader, size_t more, struct place at)
{
    return reader_count(reader, &reader->bars, &reader->bars_over, more, LESSON_BARS_MAX, "bars",
                        at);
}

/* What every bar takes over from its exercise. */
struct bar_frame {
    const struct settings *settings;
    const struct rhythm_line *rhythm;
    const struct limb_line *left;
    bool has_right; /* the music is the right hand's */
    bool spoiled;
};

/* Fills in a zeroed bar. */
static void bar_inherit(struct lesson_bar *bar, const struct bar_frame *frame, struct place at)
{
    bar->settings = frame->settings;
    bar->rhythm = frame->rhythm;
    bar->left = frame->left;
    bar->spoiled = frame->spoiled;
    bar->at = at;
}

static struct bar_frame frame_of(const struct scope *scope)
{
    return (struct bar_frame){scope->settings, *scope->rhythm, *scope->left, scope->has_right,
                              scope->spoiled};
}

/* Whether a bar has none of its own settings, apart from a sticking. */
static bool settings_inherited(const struct settings *own, const struct settings *inherited)
{
    return own->meter == inherited->meter && own->tempo == inherited->tempo &&
           own->subdivisions == inherited->subdivisions && own->play == inherited->play &&
           own->counting == inherited->counting && own->show == inherited->show &&
           own->letterless == inherited->letterless && own->level.text == inherited->level.text &&
           own->swing_at.file == inherited->swing_at.file &&
           own->swing_at.line == inherited->swing_at.line &&
           own->swing_at.column == inherited->swing_at.column;
}

/* The settings of a bar: nearly always those of the exercise, which it then shares. */
static const struct settings *keep_settings(struct reader *reader, struct settings *own,
                                            const struct settings *inherited)
{
    if (settings_inherited(own, inherited))
        return inherited;
    own->sticking = inherited->sticking;
    return arena_copy(reader->arena, own, 1, sizeof *own);
}

static const struct bar_signs *keep_signs(struct reader *reader, const struct bar_signs *signs)
{
    bool over = signs->mark.text || signs->over.text || signs->words.count;
    bool stands_for = signs->same || signs->rest || signs->slashes || signs->figures;
    bool leads = signs->segno.file || signs->coda.file || signs->fine.file || signs->to_coda.file ||
                 signs->jump.words;
    bool any = over || stands_for || leads;
    return any ? arena_copy(reader->arena, signs, 1, sizeof *signs) : NULL;
}

/* A bar with a subdivision of its own does not take over the exercise's rhythm. */
static void read_bar(struct reader *reader, const struct node *node, const struct bar_frame *frame,
                     struct lesson_bar *bar, uint32_t *times)
{
    bar_inherit(bar, frame, node->at);
    const struct rhythm_line *rhythm = NULL;
    const struct limb_line *left = NULL;
    struct settings settings = *frame->settings;
    struct bar_signs signs = {0};
    uint32_t written = 1;
    struct scope scope = {.where = IN_BAR,
                          .settings = &settings,
                          .rhythm = &rhythm,
                          .voices = &bar->voices,
                          .at_counts = &bar->at_counts,
                          .accents = &bar->accents,
                          .ghosts = &bar->ghosts,
                          .own_keyed = &bar->keyed,
                          .feet = &bar->feet,
                          .left = &left,
                          .has_right = frame->has_right,
                          .dynamics = &bar->dynamics,
                          .rolls = &bar->rolls,
                          .pace = &bar->pace,
                          .pulse = &bar->pulse,
                          .signs = &signs,
                          .times = &written,
                          .plays = &bar->plays,
                          .spoiled = frame->spoiled};
    if (!read_scope(reader, node, &scope))
        scope.spoiled = true;
    *times = written;
    bar->settings = keep_settings(reader, &settings, frame->settings);
    bool own_grid = settings.subdivisions != frame->settings->subdivisions;
    if (rhythm && own_grid && settings.subdivisions) {
        report_rhythm_and_grid(reader, "the bar has both a rhythm and a subdivision", rhythm,
                               settings.subdivisions);
        scope.spoiled = true;
    }
    if (rhythm || own_grid)
        bar->rhythm = rhythm;
    bar->sticking = scope.own_sticking;
    /* A sticking or a rhythm of the bar's own is for both hands. */
    bool both_hands = !scope.own_right && (scope.own_sticking || rhythm);
    if (left || both_hands)
        bar->left = left;
    signs.slashes = scope.slashes;
    check_sign_keys(reader, node, &signs);
    bar->signs = keep_signs(reader, &signs);
    bar->spoiled = scope.spoiled;
}

/* ---- signs for several bars ------------------------------------------------------------------ */

typedef VECTOR(struct lesson_bar) bar_list;

/* Gives one of an item's bars its signs: openings and words go to the first bar, endings to the
 * last.
 */
static const struct bar_signs *signs_of_part(struct reader *reader, const struct bar_signs *signs,
                                             bool first, bool last)
{
    if (!signs || (first && last))
        return signs;
    struct bar_signs part = {.same = signs->same,
                             .rest = signs->rest,
                             .slashes = signs->slashes,
                             .figures = signs->figures,
                             .at = signs->at};
    if (first) {
        part.mark = signs->mark;
        part.over = signs->over;
        part.words = signs->words;
        part.segno = signs->segno;
        part.coda = signs->coda;
    }
    if (last) {
        part.fine = signs->fine;
        part.to_coda = signs->to_coda;
        part.jump = signs->jump;
    }
    return keep_signs(reader, &part);
}

static const struct bar_signs *signs_going_on(struct reader *reader, const struct bar_signs *signs)
{
    struct bar_signs *on = arena_copy(reader->arena, signs, 1, sizeof *on);
    on->goes_on = true;
    return on;
}

/* Writes out the last bar: all that one item of the list stands for. Its loudness and its pace
   begin with the first time and go on, so that a sign can stand for the others. */
static void write_out_bars(struct reader *reader, bar_list *bars, uint32_t times)
{
    const struct lesson_bar bar = bars->items[--bars->count];
    const struct bar_signs *signs = bar.signs;
    uint32_t length = signs_length(signs), count = times * length;
    const struct bar_signs *middle = signs_of_part(reader, signs, false, false);
    const struct bar_signs *going_on = length > 1 ? signs_going_on(reader, middle) : NULL;
    for (uint32_t i = 0; i < count; i++) {
        struct lesson_bar *next = vector_push(bars, reader->arena);
        bool first = i == 0, last = i + 1 == count;
        *next = bar;
        next->signs = first || last ? signs_of_part(reader, signs, first, last) : middle;
        if (i % length)
            next->signs = last ? signs_going_on(reader, next->signs) : going_on;
        if (i) {
            next->pulse = NULL;
            next->dynamics = next->pace = (struct dynamics){0};
        }
    }
}

/* Whether the bar, played again, would begin otherwise than it ended: it has several of them, or a
   loud stroke. */
static bool changes_within(const struct dynamics *dynamics)
{
    for (size_t i = 0; i < dynamics->count; i++) {
        const char *text = dynamics->entries[i].what.text;
        if (dynamics->count > 1 || dynamics->entries[i].where.count > 1 ||
            strcmp(text, "sfz") == 0 || strcmp(text, "fp") == 0)
            return true;
    }
    return false;
}

static void warn_of_first_time(struct reader *reader, const struct dynamics *dynamics,
                               const char *key)
{
    if (!changes_within(dynamics))
        return;
    diag_add(reader->diags, DIAG_NO_EFFECT, dynamics->at,
             "'%s' in a bar with 'times' applies to its first time only", key);
    diag_expected(
        reader->diags,
        "the bars written out if it should come each time; otherwise this bar once, and 'times' "
        "in the next");
}

/* Copies the settings except the music, which a sign replaces. */
static void take_settings(struct reader *reader, struct lesson_bar *bar,
                          const struct settings *from)
{
    struct settings *settings = arena_copy(reader->arena, from, 1, sizeof *settings);
    settings->subdivisions = NULL;
    settings->sticking = NULL;
    settings->keyed = NULL;
    bar->settings = settings;
    bar->rhythm = NULL;
}

/* What `same` repeats, and what it cannot. */
static void check_same(struct reader *reader, bar_list *bars, size_t index)
{
    struct lesson_bar *bar = &bars->items[index];
    size_t back = bar->signs->same;
    const struct lesson_bar *from = index < back ? NULL : bar - back;
    const char *wrong = NULL;
    if (!from)
        wrong = back == 1 ? "there is no bar before this one to repeat"
                          : "there are no two bars before this one to repeat";
    for (const struct lesson_bar *at = from; from && at < bar; at++)
        if (at->signs && at->signs->rest)
            wrong = "'same' after a rest";
    if (!wrong && !meter_equal(bar[-1].settings->meter, from->settings->meter))
        wrong = "'same: 2' after two bars of different meters";
    if (wrong) {
        diag_add(reader->diags, DIAG_CONFLICT, bar->signs->at, "%s", wrong);
        diag_expected(reader->diags, "a bar with notes before it, or two, of one meter");
        bar->spoiled = true;
        return;
    }
    take_settings(reader, bar, from->settings);
    bar->spoiled |= from->spoiled;
}

static void settle_signs(struct reader *reader, bar_list *bars)
{
    for (size_t i = 0; i < bars->count; i++) {
        struct lesson_bar *bar = &bars->items[i];
        const struct bar_signs *signs = bar->signs;
        if (signs && signs->goes_on) {
            bar->settings = bar[-1].settings;
            bar->rhythm = NULL;
            bar->spoiled = bar[-1].spoiled;
        } else if (signs && signs->same) {
            check_same(reader, bars, i);
        } else if (signs && signs->rest) {
            take_settings(reader, bar, bar->settings);
        }
    }
}

/* The bars of a list, or a single one. */
static bar_list read_bar_items(struct reader *reader, const struct entry *entry,
                               const struct bar_frame *frame)
{
    bar_list bars = {0};
    vector_reserve(&bars, entry->value->kind == NODE_LIST ? entry->value->length : 1,
                   reader->arena);
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        if (!count_bars(reader, 1, item.value->at))
            break;
        struct lesson_bar *bar = vector_push(&bars, reader->arena);
        uint32_t times;
        read_bar(reader, item.value, frame, bar, &times);
        arena_reset(reader->scratch);
        if (bar->plays > 1 && times > 1) {
            diag_add(reader->diags, DIAG_CONFLICT, bar->at, "a bar with both 'repeat' and 'times'");
            diag_expected(reader->diags,
                          "'repeat' for repeat bar lines, or 'times' to write it out");
        }
        uint32_t all = times * signs_length(bar->signs);
        if (!count_bars(reader, all - 1, item.value->at)) {
            bars.count--;
            break;
        }
        if (times > 1) {
            warn_of_first_time(reader, &bar->dynamics, "dynamics");
            warn_of_first_time(reader, &bar->pace, "pace");
        }
        if (all > 1)
            write_out_bars(reader, &bars, times);
    }
    settle_signs(reader, &bars);
    return bars;
}

static void read_bar_list(struct reader *reader, const struct entry *entry,
                          const struct scope *scope)
{
    struct bar_frame frame = frame_of(scope);
    bar_list list = read_bar_items(reader, entry, &frame);
    if (list.count == 0 && !reader->bars_over && !reader->cut_short && entry->value->length == 0)
        bad_value(reader, entry, "at least one bar");
    if (list.count && list.items[0].pulse && !scope->exercise->pickup) {
        diag_add(reader->diags, DIAG_CONFLICT, list.items[0].pulse->at,
                 "'pulse' in the first bar, which has no bar before it");
        diag_expected(reader->diags, "'tempo', or 'pulse' in the bar where the change comes");
    }
    scope->exercise->bars = list.items;
    scope->exercise->bar_count = list.count;
}

void read_bars(struct reader *reader, const struct entry *entry, void *target)
{
    static const char *const resolve = "resolve";
    struct scope *scope = target;
    struct exercise *exercise = scope->exercise;
    exercise->bars_at = entry->value->at;
    uint32_t number;
    if (entry->value->kind == NODE_LIST) {
        exercise->bars_kind = BARS_LIST;
        read_bar_list(reader, entry, scope);
    } else if (entry->value->kind == NODE_MAP) {
        bad_value(reader, entry, "a number, 'resolve' or a list of bars (each starts with '- ')");
        scope->spoiled = true;
    } else if (strcmp(entry->value->bytes, resolve) == 0) {
        exercise->bars_kind = BARS_RESOLVE;
    } else if (!is_digit(entry->value->bytes[0])) {
        bad_value(reader, entry, "a number, 'resolve' or a list of bars");
        diag_nearest_of(reader->diags, entry->value->bytes, &resolve, 1);
        scope->spoiled = true;
    } else if (entry_number(reader, entry, 1, LESSON_BARS_MAX, &number) &&
               count_bars(reader, number, entry->value->at)) {
        exercise->bar_number = number;
    }
}

void read_pickup(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct bar_frame frame = {.settings = scope->settings, .spoiled = scope->spoiled};
    struct lesson_bar *bar = arena_alloc(reader->arena, sizeof *bar);
    uint32_t times;
    read_bar(reader, entry->value, &frame, bar, &times);
    if (times > 1 || (bar->signs && (bar->signs->same || bar->signs->rest))) {
        diag_add(reader->diags, DIAG_CONFLICT, entry->key->at,
                 "'same', 'rest' or 'times' in a pickup, which is less than a bar");
        diag_expected(reader->diags, "the notes of the pickup");
        bar->spoiled = true;
        bar->signs = NULL;
    }
    if (!bar->rhythm && !bar->spoiled && !reader->cut_short) {
        diag_add(reader->diags, DIAG_MISSING_KEY, entry->key->at, "the pickup has no 'rhythm'");
        diag_expected(reader->diags, "a rhythm, to show how long the pickup is");
        bar->spoiled = true;
    }
    scope->exercise->pickup = bar;
}

/* ---- endings --------------------------------------------------------------------------------- */

/* `1`, `1 2`, `1, 2`, `1..3` */
static bool parse_passes(struct scanner *scanner, struct ending *ending)
{
    VECTOR(uint16_t) passes = {0};
    for (scan_separators(scanner); !scan_ended(scanner); scan_separators(scanner)) {
        uint32_t from, to;
        if (!scan_number(scanner, &from))
            return false;
        to = from;
        if (scan_range(scanner) && !scan_number(scanner, &to))
            return false;
        if (from < 1 || to < from || to > LESSON_PLAYS_MAX)
            return false;
        for (uint32_t pass = from; pass <= to; pass++)
            *vector_push(&passes, scanner->reader->arena) = (uint16_t)pass;
    }
    ending->passes = passes.items;
    ending->pass_count = passes.count;
    return passes.count > 0;
}

/* Marks the passes of an ending as taken; false, and reported, if one already is. */
static bool take_passes(struct reader *reader, bool *taken, const struct ending *ending)
{
    for (size_t i = 0; i < ending->pass_count; i++) {
        if (taken[ending->passes[i]]) {
            diag_add(reader->diags, DIAG_CONFLICT, ending->at, "two endings for pass %u",
                     ending->passes[i]);
            diag_expected(reader->diags, "each pass in one ending only");
            return false;
        }
        taken[ending->passes[i]] = true;
    }
    return true;
}

static bool read_ending(struct reader *reader, const struct entry *entry,
                        const struct bar_frame *frame, struct ending *ending)
{
    struct scanner scanner = scanner_of(reader, node_text(reader, entry->key));
    ending->at = entry->key->at;
    if (!parse_passes(&scanner, ending)) {
        diag_add(reader->diags, DIAG_BAD_VALUE, ending->at, "'%s' is not a pass number",
                 entry->name);
        diag_expected(reader->diags, "the passes that use this ending, such as 1, 1 2 or 1..3");
        return false;
    }
    if (entry->value->kind == NODE_SCALAR) {
        bad_value(reader, entry, "a bar or a list of bars");
        return false;
    }
    bar_list bars = read_bar_items(reader, entry, frame);
    ending->bars = bars.items;
    ending->bar_count = bars.count;
    return bars.count > 0;
}

void read_endings(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct bar_frame frame = frame_of(scope);
    VECTOR(struct ending) endings = {0};
    bool taken[LESSON_PLAYS_MAX + 1] = {false};
    struct pairs pairs =
        pairs_of(reader, entry, "passes with their bars, such as {1: ..., 2: ...}");
    for (struct entry pair; pairs_next(&pairs, &pair);) {
        struct ending ending = {0};
        if (read_ending(reader, &pair, &frame, &ending) && take_passes(reader, taken, &ending))
            *vector_push(&endings, reader->arena) = ending;
        else
            scope->spoiled = true;
    }
    scope->exercise->endings = endings.items;
    scope->exercise->ending_count = endings.count;
}

/* ---- practice forms -------------------------------------------------------------------------- */

/* `groove*3`. False after a reported error. */
static bool read_step(struct scanner *scanner, struct sequence_step *step)
{
    struct reader *reader = scanner->reader;
    size_t start = scanner->offset;
    uint32_t times, number;
    while (!scan_ended(scanner) && !strchr(" \n*", scan_peek(scanner)))
        scanner->offset++;
    const char *id = scanner->text->bytes + start;
    size_t length = scanner->offset - start;
    bool good = scan_times(scanner, &times) && times <= LESSON_PLAYS_MAX;
    size_t end = scanner->offset;
    while (!scan_ended(scanner) && !is_space(scan_peek(scanner)))
        scanner->offset++;
    if (!good || scanner->offset != end) {
        scan_complain(scanner, DIAG_BAD_VALUE, start, scanner->offset - start,
                      "not a number of times", "1 to 999 times, such as groove*3");
        return false;
    }
    if (!names_find(&reader->exercise_ids, id, length, &number)) {
        const char *wrong =
            report_unknown(reader, DIAG_UNKNOWN_EXERCISE, scan_place(scanner, start, length),
                           "no earlier exercise has the id", id, length);
        scanner->failed = true;
        diag_expected(reader->diags, "the id of an exercise above this one");
        if (wrong)
            names_suggest(reader->diags, &reader->exercise_ids, reader->arena, wrong, NULL, 0);
        return false;
    }
    *step =
        (struct sequence_step){number, (uint16_t)times, scan_place(scanner, start, end - start)};
    return true;
}

void read_sequence(struct reader *reader, const struct entry *entry, void *target)
{
    static const char expected[] = "ids of earlier exercises, such as groove*3 fill";
    struct scope *scope = target;
    VECTOR(struct sequence_step) steps = {0};
    bool good = true;
    for (struct entry item = entry_item(entry, NULL); item.value;
         item = entry_item(entry, item.value)) {
        const struct text *text = entry_text(reader, &item, expected);
        good &= text != NULL;
        if (!text)
            continue;
        struct scanner scanner = scanner_of(reader, text);
        for (scan_spaces(&scanner); !scan_ended(&scanner); scan_spaces(&scanner)) {
            struct sequence_step step;
            if (read_step(&scanner, &step))
                *vector_push(&steps, reader->arena) = step;
            good &= !scanner.failed;
        }
    }
    if (steps.count > LESSON_STEPS_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, entry->value->at, "a sequence of more than %d steps",
                 LESSON_STEPS_MAX);
        diag_expected(reader->diags,
                      "a number of times behind an exercise that is repeated: groove*3");
        good = false;
    }
    if (good && steps.count == 0) {
        good = false;
        bad_value(reader, entry, "%s", expected);
    }
    scope->exercise->sequence = steps.items;
    scope->exercise->sequence_count = steps.count;
    scope->spoiled |= !good;
    scope->is_form = true;
}

/* ---- exercises ------------------------------------------------------------------------------- */

const char *const form_excludes[] = {
    "bars", "rhythm",   "rudiment", "sticking", "voices", "at",   "accents", "ghosts",
    "feet", "dynamics", "pickup",   "endings",  "roll",   "pace", "vary",    NULL};

/* A practice form plays other exercises and has no music of its own. */
static void check_form(struct reader *reader, const struct node *node)
{
    for (const struct node *key = node->first; key; key = key->next->next) {
        if (key->kind != NODE_SCALAR || node_is_empty(key->next))
            continue;
        bool music = is_voice_key(reader, key->bytes);
        for (size_t i = 0; form_excludes[i] && !music; i++)
            music = strcmp(key->bytes, form_excludes[i]) == 0;
        if (!music)
            continue;
        diag_add(reader->diags, DIAG_CONFLICT, key->next->at,
                 "'%s' cannot be combined with 'sequence'", key->bytes);
        diag_expected(reader->diags, "either music of its own or a sequence of other exercises");
    }
}

/* Without a list of bars, every bar has the rhythm of the exercise. A rudiment's figure goes round,
   so that it may take several bars; their number is found when they are built. */
static void write_out_rhythm(struct reader *reader, struct exercise *exercise,
                             const struct scope *scope)
{
    const struct rhythm_line *rhythm = *scope->rhythm;
    exercise->figure = rhythm && rhythm->round ? rhythm : NULL;
    if (!rhythm || rhythm->round || exercise->bars_kind == BARS_LIST)
        return;
    if (exercise->bars_kind == BARS_RESOLVE) {
        diag_add(reader->diags, DIAG_CONFLICT, exercise->bars_at,
                 "'bars: resolve' does not work with a 'rhythm'");
        diag_expected(reader->diags, "a number of bars, or a subdivision instead of the rhythm");
        exercise->bars_kind = BARS_NUMBER;
    }
    struct bar_frame frame = frame_of(scope);
    exercise->bars_kind = BARS_LIST;
    exercise->bar_count = exercise->bar_number;
    exercise->bars = arena_array(reader->arena, exercise->bar_count, sizeof *exercise->bars);
    for (size_t i = 0; i < exercise->bar_count; i++)
        bar_inherit(&exercise->bars[i], &frame, exercise->at);
}

static void keep_id(struct reader *reader, const struct lesson *lesson,
                    const struct exercise *exercise, size_t index)
{
    const char *id = exercise->id.text;
    uint32_t number;
    if (!id)
        return;
    if (strpbrk(id, " *\n")) {
        diag_add(reader->diags, DIAG_BAD_VALUE, exercise->id.at, "'%s' cannot be an id", id);
        diag_expected(reader->diags, "one word without spaces or *");
    } else if (names_find(&reader->exercise_ids, id, strlen(id), &number)) {
        diag_add(reader->diags, DIAG_CONFLICT, exercise->id.at, "two exercises have the id '%s'",
                 id);
        diag_other(reader->diags, lesson->exercises[number].id.at, "the first one is here");
    } else {
        names_add(&reader->exercise_ids, reader->arena, id, (uint32_t)index);
    }
}

static void read_exercise(struct reader *reader, const struct node *node, struct scope *lesson,
                          struct exercise *exercise)
{
    const struct rhythm_line *rhythm = NULL;
    exercise->settings = *lesson->settings;
    exercise->bar_number = 1;
    exercise->at = node->at;
    bool form = node->kind == NODE_MAP && node_has_key(node, "sequence");
    struct scope scope = {
        .where = form ? IN_EXERCISE | IN_FORM : IN_EXERCISE,
        .settings = &exercise->settings,
        .title = &exercise->title,
        .subtitle = &exercise->subtitle,
        .id = &exercise->id,
        .paragraphs = {&exercise->paragraphs, &exercise->paragraph_count},
        .rhythm = &rhythm,
        .voices = &exercise->voices,
        .at_counts = &exercise->at_counts,
        .accents = &exercise->accents,
        .ghosts = &exercise->ghosts,
        .feet = &exercise->feet,
        .left = &exercise->left,
        .dynamics = &exercise->dynamics,
        .rolls = &exercise->rolls,
        .pace = &exercise->pace,
        .plays = &exercise->plays,
        .plays_at = &exercise->plays_at,
        .exercise = exercise,
        .spoiled = lesson->spoiled || (reader->cut_short && !node->next),
    };
    if (!read_scope(reader, node, &scope))
        scope.spoiled = true;
    const struct subdivisions *own = exercise->settings.subdivisions;
    if (rhythm && rhythm->round && own && own != lesson->settings->subdivisions) {
        report_rhythm_and_grid(reader, "the exercise has both a rudiment and a subdivision", rhythm,
                               own);
        scope.spoiled = true;
    }
    exercise->spoiled = scope.spoiled;
    if (scope.is_form)
        check_form(reader, node);
    else
        write_out_rhythm(reader, exercise, &scope);
}

void read_exercises(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct lesson *lesson = scope->lesson;
    const struct node *list = entry->value;
    if (list->kind == NODE_LIST && list->length == 0 && reader->cut_short)
        return;
    if (list->kind != NODE_LIST || list->length == 0) {
        bad_value(reader, entry, "a list of exercises (each starts with '- ')");
        return;
    }
    size_t count = list->length;
    if (count > LESSON_EXERCISES_MAX) {
        diag_add(reader->diags, DIAG_LIMIT, list->at, "more than %d exercises",
                 LESSON_EXERCISES_MAX);
        diag_expected(reader->diags, "a lesson split into several files");
        count = LESSON_EXERCISES_MAX;
    }
    lesson->exercises = arena_array(reader->arena, count, sizeof *lesson->exercises);
    const struct node *item = list->first;
    for (; item && lesson->exercise_count < count; item = item->next) {
        if (item->kind == NODE_UNUSABLE)
            continue;
        size_t index = lesson->exercise_count;
        const void *from = arena_here(reader->arena);
        read_exercise(reader, item, scope, &lesson->exercises[index]);
        lesson->exercises[index].memory = (struct arena_stretch){from, arena_here(reader->arena)};
        arena_reset(reader->scratch);
        lesson->exercise_count++;
        keep_id(reader, lesson, &lesson->exercises[index], index);
    }
}
