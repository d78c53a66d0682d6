/* All keys of lessons, exercises, bars and course files. */
#include "read/scope.h"

static const char *const handed_words[] = {"right", "left", NULL};
static const char *const lead_words[] = {"right", "left", "both", NULL};
static const char *const stems_words[] = {"split", "up", NULL};
static const char *const beams_words[] = {"level", "sloped", NULL};

#define TEXT_KEY(name, where, field) FIELD_KEY(name, where, read_line, struct scope, field)
#define COUNTS_KEY(name, field)                                                                    \
    FIELD_KEY(name, IN_MUSIC | IN_LEFT, read_counts, struct scope, field)
#define LOOK_KEY(name, read, field, words)                                                         \
    WORDS_KEY(name, IN_FILES | IN_EXERCISE, read, struct settings, field, words)

/* In the order in which tidy lessons write them, which is also that of reading, apart from the keys
   that are read early. */
static const struct key all_keys[] = {
    TEXT_KEY("title", IN_FILES | IN_EXERCISE, title),
    TEXT_KEY("subtitle", IN_FILES | IN_EXERCISE, subtitle),
    TEXT_KEY("author", IN_FILES, author),
    TEXT_KEY("copyright", IN_FILES, copyright),
    TEXT_KEY("date", IN_FILES, date),
    KEY("language", IN_FILES, read_language),
    KEY("page-words", IN_FILES, read_page_words),
    TEXT_KEY("id", IN_EXERCISE, id),
    KEY("text", IN_EXERCISE, read_text),
    KEY("mark", IN_BAR, read_mark),
    FIELD_KEY("segno", IN_BAR, read_bar_sign, struct bar_signs, segno),
    FIELD_KEY("coda", IN_BAR, read_bar_sign, struct bar_signs, coda),
    KEY("words", IN_BAR, read_words),
    IDLE_KEY("level", IN_ALL, IN_BAR, read_level),
    IDLE_KEY("time", IN_ALL, IN_FORM, read_time),
    KEY("pulse", IN_BAR, read_pulse),
    KEY("tempo", IN_ALL, read_tempo),
    IDLE_KEY("subdivision", IN_ALL | IN_FEET | IN_HAND, IN_FORM, read_subdivision),
    IDLE_KEY("counting", IN_ALL, IN_FORM, read_counting),
    KEY("swing", IN_ALL, read_swing),
    WORDS_KEY("handed", IN_FILES, read_handed, struct settings, handed, handed_words),
    {"lead", IN_FILES | IN_EXERCISE, read_lead, offsetof(struct settings, lead), lead_words,
     IN_FORM, false},
    KEY("page", IN_FILES, read_page),
    KEY("show", IN_ALL, read_show),
    LOOK_KEY("stems", read_setting, stems, stems_words),
    LOOK_KEY("beams", read_setting, beams, beams_words),
    KEY("same", IN_BAR, read_same),
    KEY("rest", IN_BAR, read_rest),
    WORDS_KEY("slashes", IN_BAR, read_slashes, struct scope, slashes, no_or_yes),
    KEY("figures", IN_BAR, read_figures_key),
    KEY("rhythm", IN_MUSIC | IN_FEET | IN_HAND, read_rhythm_key),
    KEY("sticking", IN_ALL | IN_FEET | IN_HAND, read_sticking),
    IDLE_KEY("play", IN_ALL | IN_FEET | IN_HAND, IN_FORM, read_play),
    KEY("rudiment", IN_MUSIC, read_rudiment), /* after what it would clash with */
    KEY("right", IN_MUSIC, read_right),       /* as well */
    KEY("left", IN_MUSIC, read_left),
    KEY("voices", IN_MUSIC, read_voices_key),
    KEY("at", IN_MUSIC | IN_LEFT, read_at),
    COUNTS_KEY("accents", accents),
    COUNTS_KEY("ghosts", ghosts),
    KEY("kick", IN_ALL, read_voice_key),
    KEY("hat-foot", IN_ALL, read_voice_key),
    KEY("", IN_ALL, read_voice_key), /* any voice of the kit, perhaps with marks */
    KEY("feet", IN_MUSIC, read_feet),
    KEY("dynamics", IN_MUSIC, read_dynamics),
    KEY("roll", IN_MUSIC, read_roll),
    KEY("pace", IN_MUSIC, read_pace),
    KEY("times", IN_BAR, read_times),
    FIELD_KEY("fine", IN_BAR, read_bar_sign, struct bar_signs, fine),
    KEY("to", IN_BAR, read_to),
    KEY("jump", IN_BAR, read_jump),
    KEY("pickup", IN_EXERCISE, read_pickup),
    KEY("bars", IN_EXERCISE, read_bars),
    IDLE_KEY("repeat", IN_MUSIC, IN_FORM, read_repeat),
    KEY("endings", IN_EXERCISE, read_endings),
    KEY("sequence", IN_EXERCISE, read_sequence),
    KEY("vary", IN_EXERCISE, read_vary),
    KEY("notes", IN_LESSON, read_text),
    EARLY_KEY("levels", IN_COURSE, read_levels),
    EARLY_KEY("kit", IN_FILES, read_kit),
    EARLY_KEY("patterns", IN_FILES, read_patterns),
    KEY("order", IN_COURSE, read_order),
    KEY("leave-out", IN_COURSE, read_leave_out),
    KEY("produce", IN_COURSE, read_produce),
    KEY("strict", IN_COURSE, read_strict),
    KEY("allow", IN_COURSE, read_allow),
    KEY("exercises", IN_LESSON, read_exercises),
};

static const struct level_name all_levels[] = {
    {IN_LESSON, "a lesson"},
    {IN_EXERCISE, "an exercise"},
    {IN_BAR, "a bar"},
    {IN_FEET, "'feet'"},
    {IN_RIGHT, "'right'"},
    {IN_LEFT, "'left'"},
    {IN_COURSE, "a course file"},
    {IN_FORM, "an exercise with a 'sequence'"},
};
const struct key_table all_table = {
    .keys = all_keys,
    .count = sizeof all_keys / sizeof *all_keys,
    .levels = all_levels,
    .level_count = sizeof all_levels / sizeof *all_levels,
    .is_other = is_voice_key,
};
_Static_assert(sizeof all_keys / sizeof *all_keys <= KEYS_MAX, "read_keys() has room for them");

bool read_scope(struct reader *reader, const struct node *map, struct scope *scope)
{
    return read_keys(reader, map, &all_table, scope->where, scope);
}
