#include "app/vary_pick.h"

#include "play/play.h"
#include "read/derive.h"
#include "vary/grades.h"
#include "vary/vary_words.h"

/* How many may be refused for each that is wanted, and in any case. */
enum { REFUSED_EACH = 20, REFUSED_MAX = 2000 };

static size_t column_count(const struct picker *picker)
{
    return picker->space->columns->count;
}

/* ---- writing ------------------------------------------------------------------------------ */

/* A text in double quotes; NULL for none. */
static const char *quoted(const char *text, struct arena *arena)
{
    struct buffer out = {0};
    buffer_add_text(&out, "\"");
    for (const char *byte = text ? text : ""; *byte; byte++) {
        if (strchr("\"\\", *byte))
            buffer_add_text(&out, "\\");
        buffer_add(&out, byte, 1);
    }
    buffer_add_text(&out, "\"");
    const char *kept = buffer_keep(&out, arena);
    return text ? kept : NULL;
}

/* Whether the course has this voice by count for all its lessons. */
static bool course_has(const struct picker *picker, const char *key)
{
    const struct keyed_voices *keyed = course_settings(picker->run->work.course).keyed;
    for (size_t i = 0; keyed && i < keyed->count; i++)
        if (strcmp(keyed->items[i].words, key) == 0)
            return true;
    return false;
}

/* `none` switches off what the course has; what the lesson has does not come along. */
static const char *text_of(const struct picker *picker, const struct vary_key *key)
{
    bool none = key->text && strcmp(key->text, "none") == 0;
    return none && !course_has(picker, key->key) ? NULL : key->text;
}

static struct derived_map keys_of(const struct picker *picker, const uint32_t *letters,
                                  struct arena *arena)
{
    struct vary_key keys[VARY_KEYS_MAX];
    size_t count = vary_keys_of(picker->space, letters, keys, arena);
    struct derived_key *out = arena_array(arena, count, sizeof *out);
    for (size_t i = 0; i < count; i++)
        out[i] = (struct derived_key){keys[i].key, text_of(picker, &keys[i]), keys[i].entries};
    return (struct derived_map){out, count};
}

/* The new lesson is written for either player, as its source is. */
static const char *raw_title(const struct picker *picker)
{
    const struct lesson *lesson = picker->run->work.lesson;
    return turned_raw(lesson->turned, lesson->turned_count, picker->exercise->source->title.text);
}

/* Whether two such exercises may stand beside each other on a page. */
static bool fits_half(const struct vary_columns *columns)
{
    enum { COLUMNS_OF_HALF = 20 };
    return columns->bars == 1 && columns->count <= COLUMNS_OF_HALF;
}

bool pick_lesson(struct picker *picker, const struct pick *picks, size_t count, const char *comment,
                 struct buffer *out)
{
    struct arena *arena = arena_new();
    const struct exercise *source = picker->exercise->source;
    const struct vary_choice *choices = picker->space->vary->choices;
    struct derived_key lesson[5] = {{"subtitle", quoted(raw_title(picker), arena), false},
                                    {"notes", NULL, false}};
    size_t keys = 2;
    if (fits_half(picker->space->columns))
        lesson[keys++] = (struct derived_key){"page", "columns: 2", true};
    if (choices[VARY_KICK].written) /* each variation has its own */
        lesson[keys++] = (struct derived_key){"kick", NULL, false};
    if (choices[VARY_HAT_FOOT].written)
        lesson[keys++] = (struct derived_key){"hat-foot", NULL, false};
    struct derived_map *copies = arena_array(arena, count, sizeof *copies);
    for (size_t i = 0; i < count; i++)
        copies[i] = keys_of(picker, picks[i].letters, arena);
    struct derivation derivation = {.exercise =
                                        (size_t)(source - picker->run->work.lesson->exercises),
                                    .comment = comment,
                                    .lesson = {lesson, keys},
                                    .copies = copies,
                                    .copy_count = count};
    bool good = read_derive(picker->run->work.source, &derivation, out);
    arena_free(arena);
    return good;
}

/* ---- judging ------------------------------------------------------------------------------ */

static bool has_warning(const struct diags *diags)
{
    for (size_t i = 0; i < diags_count(diags); i++)
        if (diags_get(diags, i)->severity == DIAG_SEVERITY_WARNING)
            return true;
    return false;
}

/* Whether an exercise can be played at its own tempo, and at that of `playable`. */
static bool is_playable(struct pipeline *work, uint32_t playable)
{
    struct diags *diags = diags_new(work->arena);
    play_check(work->score, &(struct play_options){0}, diags);
    if (playable)
        play_check(work->score, &(struct play_options){.at = playable}, diags);
    return !has_warning(diags);
}

static uint32_t tenths_of(const struct verdict *verdict)
{
    return verdict->kind == VERDICT_TEMPO        ? verdict->max_tenths
           : verdict->kind == VERDICT_IMPOSSIBLE ? 0
                                                 : UINT32_MAX;
}

static void complain(struct picker *picker, const struct diags *diags)
{
    const char *why = diags_count(diags) ? diags_get(diags, 0)->message : "it cannot be moved";
    if (!picker->complaint)
        picker->complaint = arena_format(picker->run->work.arena, "%s", why);
}

/* Reads the variation as the lesson that it would be. */
static bool judge(struct picker *picker, struct pick *pick)
{
    const struct pipeline *own = &picker->run->work;
    struct buffer text = {0};
    struct pipeline work;
    bool good = pick_lesson(picker, pick, 1, "#", &text);
    pipeline_init(&work, (struct read_source){own->source.name, buffer_text(&text), text.length});
    work.course = own->course;
    if (!good || !pipeline_run(&work, STAGE_CHECK)) {
        complain(picker, work.diags);
        good = false;
    } else {
        good = is_playable(&work, picker->space->vary->playable);
        pick->tenths = tenths_of(work.score->exercises[0].verdict);
    }
    pipeline_release(&work);
    buffer_release(&text);
    return good;
}

/* ---- each once ---------------------------------------------------------------------------- */

static uint32_t *copy_letters(const struct picker *picker, const uint32_t *letters)
{
    return arena_copy(picker->space->arena, letters, column_count(picker), sizeof *letters);
}

/* Whether letters, turned by space_turn(), were tried. */
static bool was_tried(const struct picker *picker, const uint32_t *turned)
{
    size_t size = column_count(picker) * sizeof *turned;
    struct table_search search = table_search(&picker->by_letters, hash_bytes(turned, size));
    for (size_t i; table_next(&search, &i);)
        if (memcmp(picker->tried.items[i], turned, size) == 0)
            return true;
    return false;
}

bool pick_try(struct picker *picker, const uint32_t *letters)
{
    size_t size = column_count(picker) * sizeof *letters;
    uint32_t *turned = copy_letters(picker, letters);
    space_turn(picker->space, turned);
    if (was_tried(picker, turned))
        return false;
    table_add(&picker->by_letters, hash_bytes(turned, size), picker->tried.count,
              picker->space->arena);
    *vector_push(&picker->tried, picker->space->arena) = turned;
    struct pick pick = {copy_letters(picker, letters), 0, picker->space};
    bool good = judge(picker, &pick);
    picker->refused += !good;
    if (good)
        *vector_push(&picker->picks, picker->space->arena) = pick;
    return good;
}

void pick_forget(struct picker *picker)
{
    picker->refused = 0;
    memset(&picker->picks, 0, sizeof picker->picks);
    memset(&picker->tried, 0, sizeof picker->tried);
    memset(&picker->by_letters, 0, sizeof picker->by_letters);
}

static bool is_any_left(const struct picker *picker, size_t count)
{
    return !picker->complaint && mpz_cmp_ui(picker->space->count, picker->tried.count) > 0 &&
           (picker->refused < REFUSED_MAX || picker->refused < REFUSED_EACH * count);
}

/* ---- orders ------------------------------------------------------------------------------- */

void pick_drawn(struct picker *picker, size_t count)
{
    uint32_t *letters = arena_array(picker->space->arena, column_count(picker), sizeof *letters);
    mpz_t pair;
    mpz_init(pair);
    while (picker->picks.count < count && is_any_left(picker, count)) {
        dice_below(&picker->dice, picker->space->pairs, pair);
        space_word(picker->space, pair, letters);
        pick_try(picker, letters);
    }
    mpz_clear(pair);
}

void pick_all(struct picker *picker)
{
    uint32_t *letters = arena_array(picker->space->arena, column_count(picker), sizeof *letters);
    mpz_t pair;
    mpz_init(pair);
    for (; mpz_cmp(pair, picker->space->pairs) < 0; mpz_add_ui(pair, pair, 1)) {
        space_word(picker->space, pair, letters);
        pick_try(picker, letters);
    }
    mpz_clear(pair);
}

static int compare_grades(const void *a, const void *b)
{
    const struct pick *one = a, *other = b;
    if (one->tenths != other->tenths)
        return one->tenths < other->tenths ? 1 : -1;
    return grades_compare(one->space, one->letters, other->letters);
}

void pick_grade(struct picker *picker)
{
    vector_sort(&picker->picks, compare_grades);
}
