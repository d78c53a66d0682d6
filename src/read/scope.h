#ifndef RATAMARK_READ_SCOPE_H
#define RATAMARK_READ_SCOPE_H
/*
 * The level that is being read (course, lesson, exercise, bar, feet), and where each key puts its
 * value. A pointer is set at every level where the table in scope.c allows its key.
 */
#include "read/keys.h"

enum {
    IN_COURSE = 1,
    IN_LESSON = 2,
    IN_EXERCISE = 4,
    IN_BAR = 8,
    IN_FEET = 16,
    IN_FORM = 32, /* beside IN_EXERCISE: it has a `sequence` */
    IN_RIGHT = 64,
    IN_LEFT = 128,
    IN_HAND = IN_RIGHT | IN_LEFT,
    IN_FILES = IN_COURSE | IN_LESSON,
    IN_MUSIC = IN_EXERCISE | IN_BAR,
    IN_ALL = IN_FILES | IN_MUSIC
};

/* A `vary`, and a choice in it. */
enum { OF_VARY = 1, OF_CHOICE = 2 };

/* Whose limbs a `play` names. */
enum { OF_HANDS = 1, OF_FEET = 2, OF_RIGHT = 4, OF_LEFT = 8 };

struct paragraphs {
    struct words **items;
    size_t *count;
};

struct scope {
    unsigned where; /* one of the bits above */
    struct settings *settings;
    struct words *title, *subtitle, *author, *copyright, *date, *language, *id;
    struct paragraphs paragraphs;
    const struct rhythm_line **rhythm;
    const struct voicing_line **voices;
    struct at_map *at_counts;
    struct address_bars *accents, *ghosts;
    struct keyed_voices *keyed;            /* voices by count, once this level has its own */
    size_t keyed_room, keyed_written;      /* of those the last were written at this level */
    const struct keyed_voices **own_keyed; /* of a bar: where they go; NULL: into the settings */
    const struct limb_line **feet, **left;
    bool in_bar;    /* `left` of a bar */
    bool has_right; /* `right` is written at this level, or above it */
    bool own_right; /* at this level */
    struct dynamics *dynamics;
    struct rolls *rolls;
    struct dynamics *pace;
    const struct pulse **pulse;
    struct bar_signs *signs; /* of a bar */
    uint32_t *times;         /* how often a bar is written out */
    uint16_t *plays;
    struct place *plays_at;
    struct exercise *exercise;
    struct lesson *lesson;
    struct course *course;
    const struct stroke_line *own_sticking; /* `sticking` written at this level */
    struct place sticking_at;               /* of that key, also where it says none */
    bool slashes;                           /* of a bar */
    bool spoiled; /* a mistake in its grid, rhythm or sticking was reported */
    bool is_form; /* it has a `sequence` */
};

/* What a lesson inherits. */
struct course_context {
    const struct course_context *above; /* the course file above; NULL: none */
    struct course course;
    struct settings settings;
    struct kit kit;
    struct names patterns;
    struct stroke_line **pattern_lines;
    struct names levels; /* its own -> number in level_limits */
    struct limits **level_limits;
};

/* The settings of a lesson that sets nothing. */
struct settings settings_default(void);

/* Reads the keys of a map at the scope's level. */
bool read_scope(struct reader *reader, const struct node *map, struct scope *scope);

/* Reports a bar, or feet, with both a rhythm and a subdivision. */
void report_rhythm_and_grid(struct reader *reader, const char *message,
                            const struct rhythm_line *rhythm,
                            const struct subdivisions *subdivisions);

/* Words that values can be, each list with NULL at its end. */
extern const char *const dynamic_words[], *const show_words[];

/* The readers of the keys in scope.c; their target is a struct scope. */
read_entry read_line, read_language, read_page_words, read_text, read_order, read_leave_out,
    read_produce, read_strict, read_allow;
read_entry read_time, read_tempo, read_subdivision, read_counting, read_swing, read_handed,
    read_lead, read_setting, read_show, read_page;
read_entry read_level, read_levels, read_kit, read_sticking, read_patterns, read_play;
read_entry read_rhythm_key, read_rudiment, read_voices_key, read_at, read_counts, read_feet,
    read_dynamics, read_roll, read_pace, read_voice_key, read_pulse, read_repeat;
read_entry read_mark, read_words, read_same, read_rest, read_slashes, read_times, read_bar_sign,
    read_to, read_jump, read_figures_key;
read_entry read_right, read_left;
read_entry read_bars, read_pickup, read_endings, read_sequence, read_vary, read_exercises;

/* The voices of a limb, or of `vary`: one, or a list. */
void read_voicings(struct reader *reader, const struct entry *entry, struct voicing_line *line);
/* `at` and the like: voicings by count. */
struct at_map read_at_map(struct reader *reader, const struct entry *entry, bool rest_allowed);

/* Whether a key that no table has is a voice, perhaps with marks. */
bool is_voice_key(struct reader *reader, const char *name);
/* Reads counts, or for more than one bar a list of them. False after a reported error. */
bool read_count_bars(struct reader *reader, const struct entry *entry, bool one_bar,
                     struct address_bars *counts);

/* Reports keys that say what is played in a bar whose notes a sign stands for. */
void check_sign_keys(struct reader *reader, const struct node *bar, const struct bar_signs *signs);

/* What can stand beside a sign in place of a bar's notes, NULL at the end; for messages, in words.
 */
extern const struct sign_keys {
    const char *sign;
    const char *const *beside;
    const char *expected;
} sign_keys[];
enum { SIGN_KEYS = 3 };

/* What an exercise with a `sequence` cannot have, beside voices by count; NULL at the end. */
extern const char *const form_excludes[];

/* A kit of the built-in voices, or of those inherited; the reader knows their names from here on.
   It lives in the lesson's arena. */
struct kit *kit_new(struct reader *reader, const struct kit *inherited);

#endif
