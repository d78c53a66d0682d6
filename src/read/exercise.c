/* Exercises: their bars, pickups, endings, and the practice forms made of earlier exercises. */
#include "read/scope.h"

#include <string.h>

/* False, reported once, where the lesson holds too many bars. */
static bool count_bars(struct reader *reader, size_t more, struct place at)
{
    if (!reader->bars_over && more <= LESSON_BARS_MAX - reader->bars) {
        reader->bars += more;
        return true;
    }
    if (!reader->bars_over) {
        diag_add(reader->diags, DIAG_LIMIT, at, "more than %d bars", LESSON_BARS_MAX);
        diag_expected(reader->diags, "a lesson split into several files");
    }
    reader->bars_over = true;
    return false;
}

/* What the exercise gives to each of its bars. */
struct bar_frame {
    const struct settings *settings;
    const struct rhythm_line *rhythm;
    bool spoiled;
};

/* A zeroed bar takes what its frame gives. */
static void bar_inherit(struct lesson_bar *bar, const struct bar_frame *frame, struct place at)
{
    bar->settings = frame->settings;
    bar->rhythm = frame->rhythm;
    bar->spoiled = frame->spoiled;
    bar->at = at;
}

static struct bar_frame frame_of(const struct scope *scope)
{
    return (struct bar_frame){scope->settings, *scope->rhythm, scope->spoiled};
}

static void report_both(struct reader *reader, const struct rhythm_line *rhythm,
                        const struct subdivisions *subdivisions)
{
    diag_add(reader->diags, DIAG_CONFLICT, subdivisions->at,
             "the bar has both a rhythm and a subdivision");
    diag_expected(reader->diags, "only one of the two: a rhythm already has its note values");
    diag_other(reader->diags, rhythm->at, "the rhythm is here");
}

/* Whether a bar has written none of the settings that it may write, but perhaps a sticking. */
static bool settings_inherited(const struct settings *own, const struct settings *inherited)
{
    return own->meter == inherited->meter && own->tempo == inherited->tempo &&
           own->subdivisions == inherited->subdivisions && own->play == inherited->play &&
           own->counting == inherited->counting && own->show == inherited->show &&
           own->level.text == inherited->level.text &&
           own->swing_at.file == inherited->swing_at.file &&
           own->swing_at.line == inherited->swing_at.line &&
           own->swing_at.column == inherited->swing_at.column;
}

/* The settings of a bar: the exercise's themselves where it has written none, as nearly always. */
static const struct settings *keep_settings(struct reader *reader, struct settings *own,
                                            const struct settings *inherited)
{
    if (settings_inherited(own, inherited))
        return inherited;
    own->sticking = inherited->sticking;
    return reader_keep(reader, own, 1, sizeof *own);
}

/* A bar that writes its own subdivision leaves the exercise's rhythm aside. */
static void read_bar(struct reader *reader, const struct node *node, const struct bar_frame *frame,
                     struct lesson_bar *bar)
{
    bar_inherit(bar, frame, node->at);
    const struct rhythm_line *rhythm = NULL;
    struct settings settings = *frame->settings;
    struct scope scope = {.where = IN_BAR,
                          .settings = &settings,
                          .rhythm = &rhythm,
                          .voices = &bar->voices,
                          .at_counts = &bar->at_counts,
                          .accents = &bar->accents,
                          .ghosts = &bar->ghosts,
                          .kick = &bar->kick,
                          .hat_foot = &bar->hat_foot,
                          .feet = &bar->feet,
                          .dynamics = &bar->dynamics,
                          .pulse = &bar->pulse,
                          .plays = &bar->plays,
                          .spoiled = frame->spoiled};
    if (!read_scope(reader, node, &scope))
        scope.spoiled = true;
    bar->settings = keep_settings(reader, &settings, frame->settings);
    bool own_grid = settings.subdivisions != frame->settings->subdivisions;
    if (rhythm && own_grid) {
        report_both(reader, rhythm, settings.subdivisions);
        scope.spoiled = true;
    }
    if (rhythm || own_grid)
        bar->rhythm = rhythm;
    bar->sticking = scope.own_sticking;
    bar->spoiled = scope.spoiled;
}

struct bar_list {
    const struct bar_frame *frame;
    struct lesson_bar *items; /* room for each item of the YAML list */
    size_t count;
};

static void read_bar_item(struct reader *reader, const struct entry *entry, void *target)
{
    struct bar_list *list = target;
    if (!count_bars(reader, 1, entry->value->at))
        return;
    read_bar(reader, entry->value, list->frame, &list->items[list->count++]);
    arena_reset(reader->scratch);
}

/* One map stands for a list of one. */
static void read_bar_items(struct reader *reader, const struct entry *entry, struct bar_list *list)
{
    size_t most = entry->value->kind == NODE_LIST ? entry->value->length : 1;
    list->items = arena_array(reader->arena, most, sizeof *list->items);
    read_items(reader, entry, read_bar_item, list);
}

static void read_bar_list(struct reader *reader, const struct entry *entry,
                          const struct scope *scope)
{
    struct bar_frame frame = frame_of(scope);
    struct bar_list list = {.frame = &frame};
    read_bar_items(reader, entry, &list);
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
    } else if (strcmp(entry->value->bytes, "resolve") == 0) {
        exercise->bars_kind = BARS_RESOLVE;
    } else if (!is_digit(entry->value->bytes[0])) {
        bad_value(reader, entry, "a number, 'resolve' or a list of bars");
        scope->spoiled = true;
    } else if (entry_number(reader, entry, 1, LESSON_BARS_MAX, &number) &&
               count_bars(reader, number, entry->value->at)) {
        exercise->bar_number = number;
    }
}

void read_pickup(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct bar_frame frame = {scope->settings, NULL, scope->spoiled};
    struct lesson_bar *bar = arena_alloc(reader->arena, sizeof *bar);
    read_bar(reader, entry->value, &frame, bar);
    if (!bar->rhythm && !bar->spoiled && !reader->cut_short) {
        diag_add(reader->diags, DIAG_MISSING_KEY, entry->key->at, "the pickup has no 'rhythm'");
        diag_expected(reader->diags, "a rhythm, to show how long the pickup is");
        bar->spoiled = true;
    }
    scope->exercise->pickup = bar;
}

/* ---- endings ----------------------------------------------------------------------------------
 */

struct ending_list {
    const struct scope *scope;
    VECTOR(struct ending) items;
    bool taken[LESSON_PLAYS_MAX + 1]; /* passes that have their ending */
    bool failed;                      /* an ending was left out */
};

/* `1`, `1 2`, `1, 2`, `1..3` */
static bool parse_passes(struct reader *reader, const struct text *text, struct ending *ending)
{
    VECTOR(uint16_t) passes = {0};
    for (size_t i = 0; i < text->length;) {
        uint32_t from, to;
        if (is_space(text->bytes[i]) || text->bytes[i] == ',') {
            i++;
            continue;
        }
        if (!read_number(text->bytes, text->length, &i, &from))
            return false;
        to = from;
        if (text->bytes[i] == '.' && text->bytes[i + 1] == '.') {
            i += 2;
            if (!read_number(text->bytes, text->length, &i, &to))
                return false;
        }
        if (from < 1 || to < from || to > LESSON_PLAYS_MAX)
            return false;
        for (uint32_t pass = from; pass <= to; pass++)
            *vector_push(&passes, reader->arena) = (uint16_t)pass;
    }
    ending->passes = passes.items;
    ending->pass_count = passes.count;
    return passes.count > 0;
}

static bool take_passes(struct reader *reader, struct ending_list *list,
                        const struct ending *ending)
{
    for (size_t i = 0; i < ending->pass_count; i++) {
        bool *taken = &list->taken[ending->passes[i]];
        if (*taken) {
            diag_add(reader->diags, DIAG_CONFLICT, ending->at, "two endings for pass %u",
                     ending->passes[i]);
            diag_expected(reader->diags, "each pass in one ending only");
            return false;
        }
        *taken = true;
    }
    return true;
}

static void read_ending(struct reader *reader, const struct entry *entry, void *target)
{
    struct ending_list *list = target;
    struct ending ending = {.at = entry->key->at};
    struct bar_frame frame = frame_of(list->scope);
    struct bar_list bars = {.frame = &frame};
    if (!parse_passes(reader, node_text(reader, entry->key), &ending)) {
        diag_add(reader->diags, DIAG_BAD_VALUE, ending.at, "'%s' is not a pass number",
                 entry->name);
        diag_expected(reader->diags, "the passes that use this ending, such as 1, 1 2 or 1..3");
        list->failed = true;
        return;
    }
    if (entry->value->kind == NODE_SCALAR) {
        bad_value(reader, entry, "a bar or a list of bars");
        list->failed = true;
        return;
    }
    read_bar_items(reader, entry, &bars);
    ending.bars = bars.items;
    ending.bar_count = bars.count;
    if (take_passes(reader, list, &ending) && ending.bar_count)
        *vector_push(&list->items, reader->arena) = ending;
    else
        list->failed = true;
}

void read_endings(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct ending_list list = {.scope = scope};
    read_free_keys(reader, entry, "passes with their bars, such as {1: ..., 2: ...}", read_ending,
                   &list);
    scope->spoiled |= list.failed;
    scope->exercise->endings = list.items.items;
    scope->exercise->ending_count = list.items.count;
}

/* ---- practice forms ---------------------------------------------------------------------------
 */

struct step_list {
    VECTOR(struct sequence_step) items;
};

static void report_unknown_exercise(struct reader *reader, const char *id, struct place at)
{
    diag_add(reader->diags, DIAG_UNKNOWN_EXERCISE, at, "no earlier exercise has the id '%s'", id);
    if (!diag_listed(reader->diags))
        return;
    diag_found(reader->diags, id);
    diag_expected(reader->diags, "the id of an exercise above this one");
    diag_nearest(reader->diags, names_nearest(&reader->exercise_ids, reader->arena, id, NULL, 0));
}

/* `groove*3`, one word of the line. */
static void read_step(struct reader *reader, const char *word, size_t length, struct place at,
                      struct step_list *steps)
{
    size_t id_length = 0;
    while (id_length < length && word[id_length] != '*')
        id_length++;
    uint32_t times = 1, number;
    if (id_length < length && !text_is_number(word + id_length + 1, length - id_length - 1, 1,
                                              LESSON_PLAYS_MAX, &times)) {
        diag_add(reader->diags, DIAG_BAD_VALUE, at, "the number after '*' cannot be read");
        diag_expected(reader->diags, "1 to %d times, such as groove*3", LESSON_PLAYS_MAX);
        return;
    }
    if (!names_find(&reader->exercise_ids, word, id_length, &number)) {
        at = place_resized(at, characters(word, id_length));
        report_unknown_exercise(reader, arena_copy_text(reader->arena, word, id_length), at);
        return;
    }
    *vector_push(&steps->items, reader->arena) =
        (struct sequence_step){.exercise = number, .times = (uint16_t)times, .at = at};
}

static void read_steps(struct reader *reader, const struct entry *entry, void *target)
{
    const struct text *text = entry_text(reader, entry, "ids of earlier exercises");
    if (!text)
        return;
    struct text_cursor cursor = text_cursor(text);
    for (size_t i = 0; i < text->length;) {
        size_t end = i;
        while (end < text->length && !is_space(text->bytes[end]))
            end++;
        if (end > i)
            read_step(reader, text->bytes + i, end - i, text_stretch(&cursor, i, end - i), target);
        i = end + 1;
    }
}

void read_sequence(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    struct step_list steps = {0};
    size_t errors = diags_errors(reader->diags);
    read_items(reader, entry, read_steps, &steps);
    if (steps.items.count == 0 && diags_errors(reader->diags) == errors)
        bad_value(reader, entry, "ids of earlier exercises, such as groove*3 fill");
    scope->exercise->sequence = steps.items.items;
    scope->exercise->sequence_count = steps.items.count;
    scope->spoiled |= diags_errors(reader->diags) != errors;
    scope->is_form = true;
}

/* ---- exercises --------------------------------------------------------------------------------
 */

/* A practice form is made of other exercises' bars and has none of its own. */
static void check_form(struct reader *reader, const struct exercise *exercise,
                       const struct scope *scope)
{
    const struct {
        const char *name;
        struct place at;
    } own[] = {
        {"bars", exercise->bars_at},
        {"rhythm", *scope->rhythm ? (*scope->rhythm)->at : (struct place){0}},
        {"sticking", scope->own_sticking ? scope->own_sticking->at : (struct place){0}},
        {"voices", exercise->voices ? exercise->voices->at : (struct place){0}},
        {"at", exercise->at_counts.at},
        {"accents", exercise->accents.at},
        {"ghosts", exercise->ghosts.at},
        {"kick", exercise->kick.at},
        {"hat-foot", exercise->hat_foot.at},
        {"feet", exercise->feet ? exercise->feet->at : (struct place){0}},
        {"dynamics", exercise->dynamics.at},
        {"pickup", exercise->pickup ? exercise->pickup->at : (struct place){0}},
        {"endings", exercise->ending_count ? exercise->endings[0].at : (struct place){0}},
    };
    for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
        if (!own[i].at.file)
            continue;
        diag_add(reader->diags, DIAG_CONFLICT, own[i].at, "'%s' cannot be combined with 'sequence'",
                 own[i].name);
        diag_expected(reader->diags, "either music of its own or a sequence of other exercises");
    }
}

/* An exercise's rhythm without a list of bars is that of each of its bars. */
static void write_out_rhythm(struct reader *reader, struct exercise *exercise,
                             const struct scope *scope)
{
    const struct rhythm_line *rhythm = *scope->rhythm;
    if (!rhythm || exercise->bars_kind == BARS_LIST)
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
    uint32_t number = (uint32_t)index;
    const char *id = exercise->id.text;
    if (!id)
        return;
    if (strpbrk(id, " *\n")) {
        diag_add(reader->diags, DIAG_BAD_VALUE, exercise->id.at, "'%s' cannot be an id", id);
        diag_expected(reader->diags, "one word without spaces or *");
    } else if (!names_add(&reader->exercise_ids, reader->arena, id, strlen(id), &number)) {
        diag_add(reader->diags, DIAG_CONFLICT, exercise->id.at, "two exercises have the id '%s'",
                 id);
        diag_other(reader->diags, lesson->exercises[number].id.at, "the first one is here");
    }
}

static void read_exercise(struct reader *reader, const struct node *node, struct scope *lesson,
                          struct exercise *exercise)
{
    const struct rhythm_line *rhythm = NULL;
    exercise->settings = *lesson->settings;
    exercise->bar_number = 1;
    exercise->at = node->at;
    struct scope scope = {
        .where = IN_EXERCISE,
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
        .kick = &exercise->kick,
        .hat_foot = &exercise->hat_foot,
        .feet = &exercise->feet,
        .dynamics = &exercise->dynamics,
        .plays = &exercise->plays,
        .plays_at = &exercise->plays_at,
        .exercise = exercise,
        .spoiled = lesson->spoiled,
    };
    if (!read_scope(reader, node, &scope))
        scope.spoiled = true;
    exercise->spoiled = scope.spoiled;
    if (scope.is_form)
        check_form(reader, exercise, &scope);
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
        read_exercise(reader, item, scope, &lesson->exercises[index]);
        arena_reset(reader->scratch);
        lesson->exercise_count++;
        keep_id(reader, lesson, &lesson->exercises[index], index);
    }
}
