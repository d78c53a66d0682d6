#include "app/options.h"

#include "base/arena.h"
#include "diag/diag.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { EXERCISES_NAMED_MAX = 4096, SHARDS_MOST = 100000 };

/* ---- the tables --------------------------------------------------------------------------- */

struct command_row {
    const char *word, *operands, *summary;
    size_t least, most; /* operands */
    const char *more;   /* help below the options */
    unsigned formats;   /* FORMAT_BY_ bit of what it makes; 0: no files with formats */
};

static const struct command_row commands[] = {
    [COMMAND_NONE] = {"", "COMMAND ...", "Engraves drum lessons.", 0, 0, NULL, 0},
    [COMMAND_CHECK] = {"check", "FILE|FOLDER...", "check lessons for errors", 1, SIZE_MAX,
                       "A folder stands for every .yaml or .yml file in it and below.\n"
                       "\n"
                       "    ratamark check lesson.yaml\n"
                       "    ratamark check --explain bar-length\n",
                       0},
    [COMMAND_ENGRAVE] =
        {"engrave", "FILE...", "print lessons as sheets", 1, SIZE_MAX,
         "Without -o, the sheet is a PDF beside the lesson. An SVG or PNG file holds one page;\n"
         "several pages are numbered: NAME-1.svg, NAME-2.svg. FILE or OUT may be - for standard\n"
         "input or output. For several lessons OUT is a folder.\n"
         "\n"
         "    ratamark engrave lesson.yaml\n"
         "    ratamark engrave lesson.yaml -o sheet.png --dpi 300 --exercise 1,3\n",
         FORMAT_BY_ENGRAVE},
    [COMMAND_COURSE] =
        {"course", "FOLDER", "print every lesson in a folder", 1, 1,
         "OUT gets the same folders as FOLDER; without -o, each file goes beside its lesson.\n"
         "The key 'produce' in course.yaml chooses the formats; PDF is the default.\n"
         "\n"
         "    ratamark course lessons -o out\n"
         "    ratamark course lessons -o out --only 'week-2/*' --jobs 4\n",
         FORMAT_BY_COURSE},
    [COMMAND_GRID] = {"grid", "FILE", "show a lesson in the terminal: counts across, voices down",
                      1, 1, "    ratamark grid lesson.yaml\n", 0},
    [COMMAND_SOUND] =
        {"sound", "FILE", "write a lesson as a MIDI or audio file", 1, 1,
         "The ending of OUT chooses the format. Without -o, it is a MIDI file beside the lesson;\n"
         "-o - writes MIDI to standard output.\n"
         "\n"
         "    ratamark sound lesson.yaml -o lesson.mid\n"
         "    ratamark sound lesson.yaml --exercise 2 --ladder --step-bars 8 -o fill.flac\n"
         "    ratamark sound lesson.yaml --exercise 2 --at 72 --loop -o loop.wav\n"
         "\n"
         "Protect your hearing: start at a low volume and take breaks.\n",
         FORMAT_BY_SOUND},
    [COMMAND_STICK] =
        {"stick", "FILE", "suggest stickings", 1, 1,
         "Chooses hands for rhythms without a sticking, for strokes written '?' and for\n"
         "'sticking: auto'. With -o, writes a copy of the lesson to OUT with these hands filled\n"
         "in; OUT may be FILE itself.\n"
         "\n"
         "    ratamark stick lesson.yaml\n"
         "    ratamark stick lesson.yaml --exercise 2 --style natural -o lesson.yaml\n",
         0},
    [COMMAND_VARY] =
        {"vary", "FILE", "count and write the variations of an exercise", 1, 1,
         "Says how many variations the exercise's 'vary' allows. With --count and -o, writes so\n"
         "many of them as a lesson; the same seed gives the same lesson. OUT may be - for "
         "standard\n"
         "output.\n"
         "\n"
         "    ratamark vary lesson.yaml\n"
         "    ratamark vary lesson.yaml --exercise 2 --count 24 --seed 7 -o variations.yaml\n",
         0},
    [COMMAND_TIDY] =
        {"tidy", "FILE|FOLDER...", "put lessons and course files into one layout", 1, SIZE_MAX,
         "Keys get one order, spaces and line starts one form. The music, the texts and the\n"
         "comments stay as they are; a file with errors is left alone. Without -o, files are\n"
         "changed in place. FILE or OUT may be - for standard input or output.\n"
         "\n"
         "    ratamark tidy lesson.yaml\n"
         "    ratamark tidy --check lessons\n",
         0},
    [COMMAND_RUDIMENTS] = {"rudiments", "[NAME|NUMBER]", "list the forty rudiments, or show one", 0,
                           1,
                           "    ratamark rudiments\n"
                           "    ratamark rudiments 'flam tap'\n",
                           0},
    [COMMAND_INIT] = {"init", "FOLDER", "write a small course to start from", 1, 1,
                      "No file that exists is changed.\n"
                      "\n"
                      "    ratamark init lessons\n"
                      "    ratamark course lessons\n",
                      0},
    [COMMAND_SCHEMA] =
        {"schema", "lesson|course",
         "write a JSON Schema that lets editors complete and explain keys", 1, 1,
         "    ratamark schema lesson >lesson.schema.json\n"
         "\n"
         "In a lesson, this comment names it: # yaml-language-server: $schema=lesson.schema.json\n",
         0},
    [COMMAND_COMPLETION] =
        {"completion", "bash|zsh|fish", "write what lets a shell complete commands and options", 1,
         1,
         "    eval \"$(ratamark completion bash)\"\n"
         "    ratamark completion zsh >~/.zfunc/_ratamark\n"
         "    ratamark completion fish >~/.config/fish/completions/ratamark.fish\n",
         0},
    [COMMAND_HELP] = {"help", "[COMMAND]", "show help for the program or a command", 0, 1,
                      "    ratamark help sound\n", 0},
};
_Static_assert(sizeof commands / sizeof *commands == COMMAND_COUNT, "a row for each command");

enum value_kind {
    VALUE_NONE,
    VALUE_TEXT,
    VALUE_CHOICE,
    VALUE_FORMAT,
    VALUE_NUMBER,
    VALUE_SHARD,
    VALUE_EXERCISES,
    VALUE_WARNINGS
};

enum {
    FOR_CHECK = 1 << COMMAND_CHECK,
    FOR_ENGRAVE = 1 << COMMAND_ENGRAVE,
    FOR_COURSE = 1 << COMMAND_COURSE,
    FOR_GRID = 1 << COMMAND_GRID,
    FOR_SOUND = 1 << COMMAND_SOUND,
    FOR_STICK = 1 << COMMAND_STICK,
    FOR_VARY = 1 << COMMAND_VARY,
    FOR_TIDY = 1 << COMMAND_TIDY,
    FOR_RUDIMENTS = 1 << COMMAND_RUDIMENTS,
    FOR_INIT = 1 << COMMAND_INIT,
    FOR_SCHEMA = 1 << COMMAND_SCHEMA,
    FOR_COMPLETION = 1 << COMMAND_COMPLETION,
    FOR_HELP = 1 << COMMAND_HELP,
    FOR_LESSONS =
        FOR_CHECK | FOR_ENGRAVE | FOR_COURSE | FOR_GRID | FOR_SOUND | FOR_STICK | FOR_VARY,
    FOR_SHEETS = FOR_ENGRAVE | FOR_COURSE,
    FOR_ALL =
        FOR_LESSONS | FOR_TIDY | FOR_RUDIMENTS | FOR_INIT | FOR_SCHEMA | FOR_COMPLETION | FOR_HELP
};

struct option_row {
    char letter; /* 0: none */
    const char *word;
    enum value_kind kind;
    const char *argument; /* as help names it; for VALUE_CHOICE its words with `|` between */
    size_t field;         /* offset in struct options */
    unsigned commands;    /* FOR_ bits */
    const char *summary;
    int least, most; /* of VALUE_NUMBER */
    int added;       /* to the number, or to the index of the choice: 0 is "not given" */
};

#define FIELD(name) offsetof(struct options, name)

static const struct option_row option_table[] = {
    {'o', "output", VALUE_TEXT, "OUT", FIELD(output),
     FOR_SHEETS | FOR_SOUND | FOR_STICK | FOR_VARY | FOR_TIDY,
     .summary = "file or folder to write to; a file's ending chooses the format"},
    {0, "as", VALUE_FORMAT, NULL, FIELD(as), FOR_ENGRAVE,
     .summary = "file format, if not the one OUT ends in"},
    {0, "exercise", VALUE_EXERCISES, "N,...", FIELD(exercises),
     FOR_ENGRAVE | FOR_GRID | FOR_SOUND | FOR_STICK | FOR_VARY, .summary = "only these exercises"},
    {0, "count", VALUE_NUMBER, "N", FIELD(vary.count), FOR_VARY,
     .summary = "write this many variations, or all if there are fewer", .least = 1,
     .most = VARY_WRITTEN_MAX},
    {0, "order", VALUE_CHOICE, "drawn|steps|graded", FIELD(vary.order), FOR_VARY,
     .summary = "any, each as likely; each one change from the one before; easy to hard"},
    {0, "seed", VALUE_NUMBER, "N", FIELD(vary.seed), FOR_VARY,
     .summary = "another seed draws other variations (default 1)", .least = 0, .most = INT32_MAX,
     .added = 1},
    {0, "first-line", VALUE_NONE, NULL, FIELD(first_line), FOR_ENGRAVE,
     .summary = "only the first line of music, cropped to its size"},
    {0, "dpi", VALUE_NUMBER, "N", FIELD(dpi), FOR_SHEETS,
     .summary = "PNG resolution in dots per inch (default 150)", .least = 10, .most = 2400},
    {0, "music-font", VALUE_TEXT, "FILE", FIELD(music_font), FOR_SHEETS,
     .summary = "SMuFL font for the music; its metadata file must be beside it"},
    {0, "watch", VALUE_NONE, NULL, FIELD(watch), FOR_SHEETS,
     .summary = "update each time you save, until Ctrl-C"},
    {0, "dump", VALUE_CHOICE, "layout", FIELD(dump), FOR_ENGRAVE,
     .summary = "print the layout as text on standard output (for developers)", .added = 1},
    {'j', "jobs", VALUE_NUMBER, "N", FIELD(course.jobs), FOR_COURSE,
     .summary = "lessons to make at the same time (default: one per processor)", .least = 1,
     .most = 1000000},
    {0, "only", VALUE_TEXT, "PATTERN", FIELD(course.only), FOR_COURSE,
     .summary = "only lessons whose names match: '*-fills.yaml', 'week-2/*'"},
    {0, "booklet", VALUE_NONE, NULL, FIELD(course.wide[FORMAT_BOOKLET]), FOR_COURSE,
     .summary = "also make booklet.pdf: all lessons, with cover and contents"},
    {0, "index", VALUE_NONE, NULL, FIELD(course.wide[FORMAT_INDEX]), FOR_COURSE,
     .summary = "also make index.html: a page with links to all lessons"},
    {0, "force", VALUE_NONE, NULL, FIELD(course.force), FOR_COURSE,
     .summary = "rebuild everything"},
    {0, "dry-run", VALUE_NONE, NULL, FIELD(course.dry_run), FOR_COURSE,
     .summary = "only list what would be made"},
    {0, "prune", VALUE_NONE, NULL, FIELD(course.prune), FOR_COURSE,
     .summary = "delete outputs whose lessons are gone"},
    {0, "replace", VALUE_NONE, NULL, FIELD(course.replace), FOR_COURSE,
     .summary = "write this course in the place of another"},
    {0, "shard", VALUE_SHARD, "K/N", FIELD(course.shard), FOR_COURSE,
     .summary = "make only share K of N equal shares (one machine each)"},
    {0, "merge", VALUE_NONE, NULL, FIELD(course.merge), FOR_COURSE,
     .summary = "combine the records of all shares and list what is missing"},
    {0, "time-limit", VALUE_NUMBER, "SECONDS", FIELD(course.time_limit), FOR_COURSE,
     .summary = "give up on a lesson that takes longer (default 60)", .least = 1, .most = 1000000},
    {0, "memory-limit", VALUE_NUMBER, "MIB", FIELD(course.memory_limit), FOR_COURSE,
     .summary = "give up on a lesson that needs more memory (default 1024)", .least = 1,
     .most = 1000000},
    {0, "ladder", VALUE_NONE, NULL, FIELD(sound.ladder), FOR_SOUND,
     .summary = "play the tempo ladder step by step, each with a count-in"},
    {0, "each-step", VALUE_NONE, NULL, FIELD(sound.each_step), FOR_SOUND,
     .summary = "with --ladder: a separate file for each step"},
    {0, "step", VALUE_NUMBER, "BPM", FIELD(sound.step), FOR_SOUND,
     .summary = "with --ladder: bpm from one step to the next (default: as on the page)",
     .least = 1, .most = 999},
    {0, "step-bars", VALUE_NUMBER, "BARS", FIELD(sound.step_bars), FOR_SOUND,
     .summary = "with --ladder: stay at each step for at least this many bars", .least = 1,
     .most = 9999},
    {0, "times", VALUE_NUMBER, "N", FIELD(sound.times), FOR_SOUND,
     .summary = "play each exercise this many times (default 1)", .least = 1, .most = 9999},
    {0, "count-in", VALUE_NUMBER, "BARS", FIELD(sound.count_in), FOR_SOUND,
     .summary = "bars of count-in before each exercise (default 1)", .least = 0, .most = 16,
     .added = 1},
    {0, "loop", VALUE_NONE, NULL, FIELD(sound.loop), FOR_SOUND,
     .summary = "seamless loop without a count-in"},
    {0, "no-click", VALUE_NONE, NULL, FIELD(sound.no_click), FOR_SOUND,
     .summary = "click only during the count-in"},
    {0, "click-only", VALUE_NONE, NULL, FIELD(sound.click_only), FOR_SOUND,
     .summary = "only the click, no drums"},
    {0, "quiet-after", VALUE_NUMBER, "BARS", FIELD(sound.quiet_after), FOR_SOUND,
     .summary = "alternate: this many bars with click, then as many without", .least = 1,
     .most = 999},
    {0, "click-level", VALUE_NUMBER, "DB", FIELD(sound.audio.click_db), FOR_SOUND,
     .summary = "audio: click volume in dB (0 = normal)", .least = -24, .most = 24},
    {0, "loudness", VALUE_NUMBER, "LUFS", FIELD(sound.audio.loudness), FOR_SOUND,
     .summary = "audio: loudness of the file, from -40 to -14 (default -23)", .least = -40,
     .most = -14},
    {0, "sound-font", VALUE_TEXT, "FILE", FIELD(sound.audio.font), FOR_SOUND,
     .summary = "audio: General MIDI sound font (default: the first one installed)"},
    {0, "format", VALUE_CHOICE, "text|json|sarif", FIELD(format), FOR_CHECK,
     .summary = "report format; json and sarif go to standard output"},
    {0, "at", VALUE_NUMBER, "BPM", FIELD(at), FOR_CHECK | FOR_SOUND,
     .summary = "check: quarter notes a minute to judge at; sound: beats a minute to play at",
     .least = 1, .most = 999},
    {0, "plan", VALUE_NONE, NULL, FIELD(plan), FOR_CHECK,
     .summary = "draw the drums the lesson uses, from above"},
    {0, "table", VALUE_CHOICE, "text|csv|json", FIELD(table), FOR_CHECK,
     .summary = "a line for each exercise: its tempo at each level, and what limits it",
     .added = 1},
    {0, "name", VALUE_TEXT, "FILE", FIELD(name), FOR_CHECK | FOR_TIDY,
     .summary = "treat standard input as this file, in messages and to find its course"},
    {0, "fix", VALUE_NONE, NULL, FIELD(fix), FOR_CHECK,
     .summary = "correct the files where a slip has one sure correction"},
    {0, "check", VALUE_NONE, NULL, FIELD(check), FOR_TIDY,
     .summary = "only say which files are not tidy; change nothing"},
    {0, "strict", VALUE_NONE, NULL, FIELD(strict), FOR_CHECK, .summary = "warnings are errors"},
    {0, "allow", VALUE_WARNINGS, "CODE,...", FIELD(allowed), FOR_CHECK,
     .summary = "warnings with these codes are only notes"},
    {0, "style", VALUE_CHOICE, "player|effort|alternate|natural|travel", FIELD(style), FOR_STICK,
     .summary = "how to choose the hands (default player)"},
    {0, "handed", VALUE_CHOICE, "right|left", FIELD(handed), FOR_LESSONS & ~FOR_VARY,
     .summary = "print for a right-handed or a left-handed player, whatever the lesson says",
     .added = 1},
    {0, "level", VALUE_TEXT, "NAME", FIELD(level), FOR_CHECK | FOR_STICK,
     .summary = "judge for this level (default: the lesson's, or advanced)"},
    {0, "explain", VALUE_TEXT, "CODE", FIELD(explain), FOR_CHECK,
     .summary = "explain an error code, with a wrong and a right lesson; all: every code"},
    {0, "color", VALUE_CHOICE, "auto|always|never", FIELD(color), FOR_ALL,
     .summary = "colour in messages (default auto: on a terminal)"},
    {'q', "quiet", VALUE_NONE, NULL, FIELD(quiet), FOR_ALL, .summary = "show errors only"},
    {0, "verbose", VALUE_NONE, NULL, FIELD(verbose), FOR_ALL,
     .summary = "show notes, each file read and written, and the time of each stage"},
    {'h', "help", VALUE_NONE, NULL, FIELD(help), FOR_ALL, .summary = "show this help"},
    {'V', "version", VALUE_NONE, NULL, FIELD(version), FOR_ALL, .summary = "show the version"},
};
enum { OPTION_COUNT = sizeof option_table / sizeof *option_table };

const char *command_word(enum command command)
{
    return commands[command].word;
}

/* "N,...", or the words of the formats. */
static void add_argument(const struct option_row *row, struct buffer *out)
{
    if (row->kind == VALUE_FORMAT)
        format_list_words(out, FORMAT_BY_ENGRAVE, "|", "|");
    else if (row->argument)
        buffer_add_text(out, row->argument);
}

/* ---- values ------------------------------------------------------------------------------- */

/* Digits alone; false also for a number above `most`. */
static bool read_number(const char **text, uint32_t most, uint32_t *number)
{
    uint64_t value = 0;
    const char *from = *text;
    while (isdigit((unsigned char)**text) && value <= most)
        value = value * 10 + (uint64_t)(*(*text)++ - '0');
    *number = (uint32_t)value;
    return *text > from && value <= most;
}

static bool take_number(const struct option_row *row, const char *value, int32_t *field)
{
    bool negative = *value == '-' && row->least < 0;
    uint32_t number;
    value += negative;
    if (!read_number(&value, INT32_MAX, &number) || *value)
        return false;
    int32_t given = negative ? -(int32_t)number : (int32_t)number;
    *field = given + row->added;
    return given >= row->least && given <= row->most;
}

/* K/N */
static bool take_shard(const char *value, struct course_options *course)
{
    return read_number(&value, SHARDS_MOST, &course->shard) && *value++ == '/' &&
           read_number(&value, SHARDS_MOST, &course->shards) && !*value && course->shard > 0 &&
           course->shard <= course->shards;
}

static bool take_exercises(const char *value, struct options *options)
{
    size_t most = 1;
    for (const char *c = value; *c; c++)
        most += *c == ',';
    uint32_t *numbers = options->numbers =
        memory_resize(options->numbers, most * sizeof *options->numbers);
    options->exercises = (struct exercise_choice){.numbers = numbers};
    for (;;) {
        uint32_t number;
        if (!read_number(&value, EXERCISES_NAMED_MAX, &number) || number == 0)
            return false;
        numbers[options->exercises.count++] = number;
        if (!*value)
            return true;
        if (*value++ != ',')
            return false;
    }
}

static bool take_warnings(const char *value, uint64_t *allowed)
{
    for (;;) {
        size_t length = strcspn(value, ",");
        struct buffer word = {0};
        buffer_add(&word, value, length);
        enum diag_code code;
        bool known = diag_code_from_word(buffer_text(&word), &code) &&
                     diag_usual_severity(code) == DIAG_SEVERITY_WARNING;
        buffer_release(&word);
        if (!known)
            return false;
        *allowed |= (uint64_t)1 << code;
        if (!value[length])
            return true;
        value += length + 1;
    }
}

/* Codes, or those of warnings alone: "sticking-open, too-fast". */
static void add_codes(bool warnings, const char *between, struct buffer *out)
{
    size_t start = out->length;
    for (int code = 0; code < DIAG_CODE_COUNT; code++)
        if (!warnings || diag_usual_severity((enum diag_code)code) == DIAG_SEVERITY_WARNING)
            buffer_format(out, "%s%s", out->length > start ? between : "",
                          diag_word((enum diag_code)code));
}

static bool take_choice(const struct option_row *row, const char *value, int *field)
{
    size_t length = strlen(value);
    const char *word = row->argument;
    for (*field = row->added;; ++*field) {
        size_t end = strcspn(word, "|");
        if (end == length && strncmp(word, value, length) == 0)
            return true;
        if (!word[end])
            return false;
        word += end + 1;
    }
}

static bool take_value(const struct option_row *row, const char *value, struct options *options)
{
    void *field = (char *)options + row->field;
    switch (row->kind) {
    case VALUE_NONE:
        return *(bool *)field = true;
    case VALUE_TEXT:
        *(const char **)field = value;
        return *value;
    case VALUE_CHOICE:
        return take_choice(row, value, field);
    case VALUE_FORMAT:
        options->as = format_of_word(value, FORMAT_BY_ENGRAVE);
        return options->as != FORMAT_NONE;
    case VALUE_NUMBER:
        return take_number(row, value, field);
    case VALUE_SHARD:
        return take_shard(value, &options->course);
    case VALUE_EXERCISES:
        return take_exercises(value, options);
    case VALUE_WARNINGS:
        return take_warnings(value, field);
    }
    return false;
}

/* "a number from 10 to 2400" */
static void add_wanted(const struct option_row *row, struct buffer *out)
{
    if (row->kind == VALUE_WARNINGS) {
        buffer_add_text(out, "codes of warnings, separated by commas: ");
        add_codes(true, ", ", out);
        return;
    }
    if (row->kind == VALUE_NUMBER)
        buffer_format(out, "a number from %d to %d", row->least, row->most);
    else if (row->kind == VALUE_TEXT)
        buffer_add_text(out, "a value that is not empty");
    else if (row->kind == VALUE_SHARD)
        buffer_format(out, "K/N, from 1/N to N/N, with N up to %d", SHARDS_MOST);
    else if (row->kind == VALUE_EXERCISES)
        buffer_add_text(out, "numbers from 1, separated by commas");
    else
        add_argument(row, out);
}

/* ---- parsing ------------------------------------------------------------------------------ */

struct parser {
    char **argv;
    int count, next;
    bool only_operands; /* after "--" */
    /* Options may come before the command: whether it takes them is checked at the end. */
    const struct option_row *seen[OPTION_COUNT];
    size_t seen_count;
    struct options *options;
    struct buffer *problem;
};

static void suggest(struct parser *parser, const char *wrong, const char *const *names,
                    size_t count, const char *before)
{
    const char *nearest = diag_nearest_name(wrong, names, count);
    if (nearest)
        buffer_format(parser->problem, "; did you mean '%s%s'?", before, nearest);
}

/* What people call an option by habit. */
static const char *usual_word(const char *wrong)
{
    static const char *const habits[][2] = {
        {"out", "output"}, {"outfile", "output"}, {"tempo", "at"},           {"bpm", "at"},
        {"speed", "at"},   {"type", "as"},        {"exercises", "exercise"}, {"resolution", "dpi"},
    };
    for (size_t i = 0; i < sizeof habits / sizeof *habits; i++)
        if (strcmp(habits[i][0], wrong) == 0)
            return habits[i][1];
    return wrong;
}

/* The options of the command, if it is known already. */
static size_t list_options(const struct parser *parser, const char **names)
{
    enum command command = parser->options->command;
    size_t count = 0;
    for (size_t i = 0; i < OPTION_COUNT; i++)
        if (!command || option_table[i].commands & (1U << command))
            names[count++] = option_table[i].word;
    return count;
}

static bool option_unknown(struct parser *parser, const char *given)
{
    const char *names[OPTION_COUNT];
    size_t count = list_options(parser, names);
    size_t length = strcspn(given, "=");
    struct buffer word = {0};
    buffer_add(&word, given, length);
    buffer_format(parser->problem, "unknown option '%s'", buffer_text(&word));
    if (length > 2 && given[1] == '-')
        suggest(parser, usual_word(buffer_text(&word) + 2), names, count, "--");
    buffer_release(&word);
    return false;
}

/* By its word, or by its letter where `word` is NULL. */
static const struct option_row *find_option(const char *word, size_t length, char letter)
{
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        const struct option_row *row = &option_table[i];
        if (word ? strlen(row->word) == length && strncmp(row->word, word, length) == 0
                 : row->letter == letter)
            return row;
    }
    return NULL;
}

static bool is_option_of(const struct option_row *row, enum command command)
{
    return !command || row->commands >> command & 1;
}

/* By its word, or by a beginning of it that no other option of the command has. NULL if there is
   none, with a problem if there are several. */
static const struct option_row *find_word(struct parser *parser, const char *word, size_t length)
{
    const struct option_row *found = find_option(word, length, 0);
    struct buffer several = {0};
    size_t count = 0;
    for (size_t i = 0; i < OPTION_COUNT && !found && length; i++) {
        const struct option_row *row = &option_table[i];
        if (strncmp(row->word, word, length) != 0 || !is_option_of(row, parser->options->command))
            continue;
        buffer_format(&several, "%s--%s", count++ ? " or " : "", row->word);
    }
    if (count > 1)
        buffer_format(parser->problem, "option '--%.*s' could be %s", (int)length, word,
                      buffer_text(&several));
    else if (count == 1)
        found = find_option(buffer_text(&several) + 2, several.length - 2, 0);
    buffer_release(&several);
    return found;
}

static bool take_option(struct parser *parser, const struct option_row *row, const char *value)
{
    if (row->kind == VALUE_NONE && value) {
        buffer_format(parser->problem, "--%s takes no value", row->word);
        return false;
    }
    if (row->kind != VALUE_NONE && !value) {
        if (parser->next == parser->count) {
            buffer_format(parser->problem, "--%s needs a value: ", row->word);
            add_argument(row, parser->problem);
            return false;
        }
        value = parser->argv[parser->next++];
    }
    if (parser->seen_count < OPTION_COUNT)
        parser->seen[parser->seen_count++] = row;
    if (take_value(row, value, parser->options))
        return true;
    buffer_format(parser->problem, "--%s takes ", row->word);
    add_wanted(row, parser->problem);
    buffer_format(parser->problem, ", not '%s'", value);
    if (row->field == FIELD(format) && format_of_word(value, FORMAT_BY_ENGRAVE))
        buffer_format(parser->problem, "; the format of a sheet is --as %s", value);
    return false;
}

static bool parse_word(struct parser *parser, const char *given)
{
    size_t length = strcspn(given, "=");
    const struct option_row *row = find_word(parser, given + 2, length - 2);
    if (!row && parser->problem->length)
        return false;
    if (!row)
        return option_unknown(parser, given);
    return take_option(parser, row, given[length] ? given + length + 1 : NULL);
}

/* -q, -qh, -o OUT, -oOUT. */
static bool parse_letters(struct parser *parser, const char *given)
{
    for (const char *letter = given + 1; *letter; letter++) {
        const struct option_row *row = find_option(NULL, 0, *letter);
        if (!row)
            return option_unknown(parser, given);
        bool flag = row->kind == VALUE_NONE;
        if (!take_option(parser, row, !flag && letter[1] ? letter + 1 : NULL))
            return false;
        if (!flag)
            break;
    }
    return true;
}

static bool take_command(struct parser *parser, const char *word)
{
    const char *names[COMMAND_COUNT - 1];
    for (size_t i = 1; i < COMMAND_COUNT; i++) {
        names[i - 1] = commands[i].word;
        if (strcmp(commands[i].word, word) == 0) {
            parser->options->command = (enum command)i;
            return true;
        }
    }
    buffer_format(parser->problem, "unknown command '%s'", word);
    suggest(parser, word, names, COMMAND_COUNT - 1, "");
    return false;
}

/* `help COMMAND` is COMMAND --help. */
static bool take_help(struct parser *parser)
{
    struct options *options = parser->options;
    if (options->command != COMMAND_HELP || options->help || options->version)
        return true;
    options->help = true;
    options->command = COMMAND_NONE;
    return !options->operand_count || take_command(parser, options->operands[0]);
}

static bool options_fit_command(const struct parser *parser)
{
    enum command command = parser->options->command;
    for (size_t i = 0; i < parser->seen_count; i++) {
        if (!is_option_of(parser->seen[i], command)) {
            buffer_format(parser->problem, "'%s' has no option --%s", command_word(command),
                          parser->seen[i]->word);
            if (command == COMMAND_ENGRAVE && parser->seen[i]->field == FIELD(format))
                buffer_add_text(parser->problem, "; the format of a sheet is --as");
            return false;
        }
    }
    return true;
}

static bool has_operand(const struct options *options, const char *operand)
{
    for (size_t i = 0; i < options->operand_count; i++)
        if (strcmp(options->operands[i], operand) == 0)
            return true;
    return false;
}

static bool operands_fit_command(const struct options *options, struct buffer *problem)
{
    const struct command_row *row = &commands[options->command];
    if (options->help || options->version)
        return true;
    if (!options->command)
        buffer_add_text(problem, "no command given");
    else if (options->name && !has_operand(options, "-"))
        buffer_add_text(problem, "--name is the name of standard input; give '-' as a file, too");
    else if (options->explain && options->operand_count)
        buffer_add_text(problem, "--explain takes no files");
    else if (!options->explain && options->operand_count < row->least)
        buffer_format(problem, "'%s' needs %s", row->word, row->operands);
    else if (options->operand_count > row->most)
        buffer_format(problem, "'%s' takes one %s; '%s' is one too many", row->word, row->operands,
                      options->operands[row->most]);
    return problem->length == 0;
}

static bool parse_argument(struct parser *parser, const char *argument)
{
    struct options *options = parser->options;
    if (!parser->only_operands && strcmp(argument, "--") == 0)
        return parser->only_operands = true;
    if (!parser->only_operands && strncmp(argument, "--", 2) == 0)
        return parse_word(parser, argument);
    if (!parser->only_operands && argument[0] == '-' && argument[1])
        return parse_letters(parser, argument);
    if (!options->command)
        return take_command(parser, argument);
    options->operands[options->operand_count++] = argument;
    return true;
}

bool options_parse(int argc, char **argv, struct options *options, struct buffer *problem)
{
    *options = (struct options){0};
    options->operands = memory_alloc((size_t)argc * sizeof *options->operands + 1);
    struct parser parser = {
        .argv = argv, .count = argc, .next = 1, .options = options, .problem = problem};
    while (parser.next < argc)
        if (!parse_argument(&parser, argv[parser.next++]))
            return false;
    return options_fit_command(&parser) && operands_fit_command(options, problem) &&
           take_help(&parser);
}

void options_release(struct options *options)
{
    memory_free(options->numbers);
    memory_free(options->operands);
    *options = (struct options){0};
}

/* ---- help --------------------------------------------------------------------------------- */

enum { HELP_COLUMN = 30 };

/* "  LEFT     RIGHT", with RIGHT on a line of its own where LEFT is too long. Empties LEFT. */
static void help_row(struct buffer *left, const char *right, struct buffer *out)
{
    bool fits = left->length + 2 < HELP_COLUMN;
    buffer_format(out, "  %s%s%*s%s\n", buffer_text(left), fits ? "" : "\n",
                  fits ? (int)(HELP_COLUMN - left->length - 2) : HELP_COLUMN, "", right);
    buffer_release(left);
}

static void help_option(const struct option_row *row, struct buffer *out)
{
    struct buffer left = {0};
    if (row->letter)
        buffer_format(&left, "-%c, ", row->letter);
    else
        buffer_add_text(&left, "    ");
    buffer_format(&left, "--%s%s", row->word, row->kind == VALUE_NONE ? "" : " ");
    add_argument(row, &left);
    help_row(&left, row->summary, out);
}

static void help_program(struct buffer *out)
{
    buffer_format(out, "usage: ratamark %s\n%s\n\nCommands:\n", commands[COMMAND_NONE].operands,
                  commands[COMMAND_NONE].summary);
    for (size_t i = 1; i < COMMAND_COUNT; i++) {
        struct buffer left = {0};
        buffer_format(&left, "%s %s", commands[i].word, commands[i].operands);
        help_row(&left, commands[i].summary, out);
    }
    buffer_add_text(
        out, "\n    ratamark check lesson.yaml     find errors and show where they are\n"
             "    ratamark engrave lesson.yaml   print the sheet: lesson.pdf\n"
             "\nRun 'ratamark help COMMAND' for a command's options. The manual pages are\n"
             "ratamark(1), ratamark-lesson(5) for the lesson file, and ratamark-phrases(7).\n");
}

void options_help(enum command command, struct buffer *out)
{
    const struct command_row *row = &commands[command];
    if (command == COMMAND_NONE) {
        help_program(out);
        return;
    }
    buffer_format(out, "usage: ratamark %s [OPTION...] %s\n%c%s.\n\nOptions:\n", row->word,
                  row->operands, toupper((unsigned char)row->summary[0]), row->summary + 1);
    for (size_t i = 0; i < OPTION_COUNT; i++)
        if (is_option_of(&option_table[i], command))
            help_option(&option_table[i], out);
    if (row->formats) {
        buffer_add_text(out, "\nFormats: ");
        format_list_words(out, row->formats, ", ", " and ");
        buffer_add_text(out, ".\n");
    }
    buffer_format(out, "\n%s", row->more);
}

struct report_options options_report(const struct options *options, bool notes)
{
    return (struct report_options){.format = (enum report_format)options->format,
                                   .color = (enum color)options->color,
                                   .quiet = options->quiet,
                                   .notes = notes};
}

/* ---- for completion ----------------------------------------------------------------------- */

const char *command_summary(enum command command)
{
    return commands[command].summary;
}

bool options_get(size_t index, struct option_words *words)
{
    if (index >= OPTION_COUNT)
        return false;
    const struct option_row *row = &option_table[index];
    bool takes = row->kind != VALUE_NONE;
    *words = (struct option_words){
        .letter = row->letter,
        .word = row->word,
        .argument = takes ? (row->argument ? row->argument : "FORMAT") : NULL,
        .summary = row->summary,
        .commands = row->commands,
        .files = takes && row->argument &&
                 (strcmp(row->argument, "FILE") == 0 || strcmp(row->argument, "OUT") == 0),
    };
    return true;
}

void options_choices(size_t index, const char *between, struct buffer *out)
{
    const struct option_row *row = &option_table[index];
    if (row->kind == VALUE_FORMAT) {
        format_list_words(out, FORMAT_BY_ENGRAVE, between, between);
    } else if (row->kind == VALUE_WARNINGS) {
        add_codes(true, between, out);
    } else if (row->kind == VALUE_TEXT && strcmp(row->argument, "CODE") == 0) {
        add_codes(false, between, out);
        buffer_format(out, "%sall", between);
    } else if (row->kind == VALUE_CHOICE) {
        for (const char *word = row->argument; *word; word++)
            if (*word == '|')
                buffer_add_text(out, between);
            else
                buffer_add(out, word, 1);
    }
}
