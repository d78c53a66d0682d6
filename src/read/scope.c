/* All keys of lessons, exercises, bars and course files. */
#include "read/scope.h"

static const char *const lead_words[] = {"right", "left", "both", NULL};
static const char *const stems_words[] = {"split", "up", NULL};
static const char *const beams_words[] = {"level", "sloped", NULL};

/* In the order of reading: keys that others depend on come first. */
static const struct key all_keys[] = {
    FIELD_KEY("title", IN_FILES | IN_EXERCISE, read_line, struct scope, title),
    FIELD_KEY("subtitle", IN_FILES | IN_EXERCISE, read_line, struct scope, subtitle),
    FIELD_KEY("author", IN_FILES, read_line, struct scope, author),
    FIELD_KEY("copyright", IN_FILES, read_line, struct scope, copyright),
    FIELD_KEY("date", IN_FILES, read_line, struct scope, date),
    KEY("language", IN_FILES, read_language),
    KEY("notes", IN_LESSON, read_text),
    KEY("text", IN_EXERCISE, read_text),
    FIELD_KEY("id", IN_EXERCISE, read_line, struct scope, id),
    KEY("levels", IN_COURSE, read_levels),
    KEY("level", IN_ALL, read_level),
    KEY("kit", IN_FILES, read_kit),
    KEY("patterns", IN_FILES, read_patterns),
    KEY("time", IN_ALL, read_time),
    KEY("tempo", IN_ALL, read_tempo),
    KEY("subdivision", IN_ALL | IN_FEET, read_subdivision),
    KEY("counting", IN_ALL, read_counting),
    KEY("swing", IN_ALL, read_swing),
    WORDS_KEY("lead", IN_FILES | IN_EXERCISE, read_lead, struct settings, lead, lead_words),
    KEY("show", IN_ALL, read_show),
    KEY("page", IN_FILES, read_page),
    WORDS_KEY("stems", IN_FILES | IN_EXERCISE, read_setting, struct settings, stems, stems_words),
    WORDS_KEY("beams", IN_FILES | IN_EXERCISE, read_setting, struct settings, beams, beams_words),
    KEY("sticking", IN_ALL | IN_FEET, read_sticking),
    KEY("play", IN_ALL | IN_FEET, read_play),
    KEY("rhythm", IN_MUSIC | IN_FEET, read_rhythm_key),
    KEY("voices", IN_MUSIC, read_voices_key),
    KEY("at", IN_MUSIC, read_at),
    FIELD_KEY("accents", IN_MUSIC, read_counts, struct scope, accents),
    FIELD_KEY("ghosts", IN_MUSIC, read_counts, struct scope, ghosts),
    FIELD_KEY("kick", IN_MUSIC, read_counts, struct scope, kick),
    FIELD_KEY("hat-foot", IN_MUSIC, read_counts, struct scope, hat_foot),
    KEY("feet", IN_MUSIC, read_feet),
    KEY("dynamics", IN_MUSIC, read_dynamics),
    KEY("pulse", IN_BAR, read_pulse),
    KEY("repeat", IN_MUSIC, read_repeat),
    KEY("pickup", IN_EXERCISE, read_pickup),
    KEY("bars", IN_EXERCISE, read_bars),
    KEY("endings", IN_EXERCISE, read_endings),
    KEY("sequence", IN_EXERCISE, read_sequence),
    KEY("order", IN_COURSE, read_order),
    KEY("leave-out", IN_COURSE, read_leave_out),
    KEY("produce", IN_COURSE, read_produce),
    KEY("exercises", IN_LESSON, read_exercises),
};

static const struct level_name all_levels[] = {
    {IN_LESSON, "a lesson"}, {IN_EXERCISE, "an exercise"}, {IN_BAR, "a bar"},
    {IN_FEET, "'feet'"},     {IN_COURSE, "a course file"},
};
const struct key_table all_table = KEY_TABLE(all_keys, all_levels);
_Static_assert(sizeof all_keys / sizeof *all_keys <= KEYS_MAX, "read_keys() has room for them");

bool read_scope(struct reader *reader, const struct node *map, struct scope *scope)
{
    return read_keys(reader, map, &all_table, scope->where, scope);
}
