#include "app/options.h"

#include "base/arena.h"
#include "diag/diag.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { BPM_MOST = 999, EXERCISES_NAMED_MAX = 4096, COUNT_MOST = 1000000, SHARDS_MOST = 100000 };

/* ---- the tables --------------------------------------------------------------------------- */

struct command_row {
    const char *word, *operands, *summary;
    size_t least, most; /* operands */
    const char *more;   /* lines of help under the options */
};

static const struct command_row commands[] = {
    [COMMAND_NONE] = {"", "COMMAND ...", "Engraves drum lessons.", 0, 0, NULL},
    [COMMAND_CHECK] = {"check", "FILE|FOLDER...", "tell what is wrong with lessons", 1, SIZE_MAX,
                       "A folder stands for every .yaml file below it.\n"
                       "\n"
                       "    ratamark check lesson.yaml\n"
                       "    ratamark check --explain bar-length\n"},
    [COMMAND_ENGRAVE] =
        {"engrave", "FILE", "print a lesson as a sheet: PDF, SVG or PNG", 1, 1,
         "Without -o the sheet is a PDF beside the lesson. An SVG or PNG file holds one page; "
         "more\n"
         "pages are numbered: NAME-1.svg, NAME-2.svg. FILE or OUT may be - for the standard\n"
         "streams.\n"
         "\n"
         "    ratamark engrave lesson.yaml\n"
         "    ratamark engrave lesson.yaml -o sheet.png --dpi 300 --exercise 1,3\n"},
    [COMMAND_COURSE] = {"course", "FOLDER", "make the sheets of all lessons of a folder", 1, 1,
                        "The outputs lie in OUT as the lessons do in FOLDER; without -o they lie "
                        "beside them. What\n"
                        "is made (pdf, svg, png, mid, wav, flac, ogg) the key 'produce' of the "
                        "course file\nsays.\n"
                        "\n"
                        "    ratamark course lessons -o out\n"
                        "    ratamark course lessons -o out --only 'week-2/*' --jobs 4\n"},
    [COMMAND_GRID] = {"grid", "FILE", "show a lesson in the terminal: counts across, voices down",
                      1, 1, "    ratamark grid lesson.yaml\n"},
    [COMMAND_SOUND] =
        {"sound", "FILE", "play a lesson to a file: MIDI, or WAV, FLAC or Ogg audio", 1, 1,
         "The ending of OUT names the format: .mid, .wav, .flac or .ogg. Without -o it is a MIDI\n"
         "file beside the lesson; -o - writes one to standard output.\n"
         "\n"
         "    ratamark sound lesson.yaml -o lesson.mid\n"
         "    ratamark sound lesson.yaml --exercise 2 --ladder --step-bars 8 -o fill.flac\n"
         "    ratamark sound lesson.yaml --exercise 2 --at 72 --loop -o loop.wav\n"
         "\n"
         "Protect your hearing: begin at a low volume, and take breaks.\n"},
    [COMMAND_STICK] =
        {"stick", "FILE", "propose hands for strokes that have none", 1, 1,
         "Strokes of a rhythm without a sticking, those written ?, and 'sticking: auto'. With -o "
         "the lesson\n"
         "is written to OUT, which may be FILE, with these hands and otherwise as it was.\n"
         "\n"
         "    ratamark stick lesson.yaml\n"
         "    ratamark stick lesson.yaml --exercise 2 --style natural -o lesson.yaml\n"},
    [COMMAND_RUDIMENTS] = {"rudiments", "[NAME|NUMBER]", "list the forty rudiments, or show one", 0,
                           1,
                           "    ratamark rudiments\n"
                           "    ratamark rudiments 'flam tap'\n"},
};
enum { COMMAND_COUNT = sizeof commands / sizeof *commands };

enum value_kind {
    VALUE_NONE,
    VALUE_TEXT,
    VALUE_CHOICE,
    VALUE_NUMBER,
    VALUE_BPM,
    VALUE_COUNT,
    VALUE_SHARD,
    VALUE_EXERCISES
};

enum {
    FOR_CHECK = 1 << COMMAND_CHECK,
    FOR_ENGRAVE = 1 << COMMAND_ENGRAVE,
    FOR_COURSE = 1 << COMMAND_COURSE,
    FOR_GRID = 1 << COMMAND_GRID,
    FOR_SOUND = 1 << COMMAND_SOUND,
    FOR_STICK = 1 << COMMAND_STICK,
    FOR_RUDIMENTS = 1 << COMMAND_RUDIMENTS,
    FOR_LESSONS = FOR_CHECK | FOR_ENGRAVE | FOR_COURSE | FOR_GRID | FOR_SOUND | FOR_STICK,
    FOR_SHEETS = FOR_ENGRAVE | FOR_COURSE,
    FOR_ALL = FOR_LESSONS | FOR_RUDIMENTS
};

struct option_row {
    char letter; /* 0: none */
    const char *word;
    enum value_kind kind;
    const char *argument; /* as help names it; a choice's words, parted by `|` */
    size_t field;         /* where in struct options */
    unsigned commands;    /* FOR_ bits */
    const char *summary;
};

#define FIELD(name) offsetof(struct options, name)

static const struct option_row option_table[] = {
    {'o', "output", VALUE_TEXT, "OUT", FIELD(output), FOR_SHEETS | FOR_SOUND | FOR_STICK,
     "file or folder to write to; a file's ending names the format"},
    {0, "as", VALUE_CHOICE, "pdf|svg|png|text", FIELD(as), FOR_ENGRAVE,
     "format, whatever OUT ends in"},
    {0, "exercise", VALUE_EXERCISES, "N,...", FIELD(exercises),
     FOR_ENGRAVE | FOR_GRID | FOR_SOUND | FOR_STICK, "these exercises only"},
    {0, "first-line", VALUE_NONE, NULL, FIELD(first_line), FOR_ENGRAVE,
     "the first line of music alone, as a picture of its size"},
    {0, "dpi", VALUE_NUMBER, "N", FIELD(dpi), FOR_SHEETS, "dots an inch of a PNG (150)"},
    {0, "music-font", VALUE_TEXT, "FILE", FIELD(music_font), FOR_SHEETS,
     "a SMuFL font, its metadata beside it, for the notes"},
    {0, "watch", VALUE_NONE, NULL, FIELD(watch), FOR_SHEETS,
     "make it anew at every save, until Ctrl-C"},
    {0, "dump", VALUE_CHOICE, "layout", FIELD(dump), FOR_ENGRAVE,
     "the pages' marks as text on standard output, for developers"},
    {'j', "jobs", VALUE_COUNT, "N", FIELD(course.jobs), FOR_COURSE,
     "processes that make lessons (as many as the machine has processors)"},
    {0, "only", VALUE_TEXT, "PATTERN", FIELD(course.only), FOR_COURSE,
     "these lessons only: '*-fills.yaml', 'week-2/*'"},
    {0, "booklet", VALUE_NONE, NULL, FIELD(course.booklet), FOR_COURSE,
     "make also booklet.pdf: all lessons, with cover and contents"},
    {0, "index", VALUE_NONE, NULL, FIELD(course.index), FOR_COURSE,
     "make also index.html: a page that leads to all of them"},
    {0, "force", VALUE_NONE, NULL, FIELD(course.force), FOR_COURSE, "make also what is up to date"},
    {0, "dry-run", VALUE_NONE, NULL, FIELD(course.dry_run), FOR_COURSE,
     "tell what would be made, and make nothing"},
    {0, "prune", VALUE_NONE, NULL, FIELD(course.prune), FOR_COURSE,
     "remove what was made of lessons that are gone"},
    {0, "shard", VALUE_SHARD, "K/N", FIELD(course.shard), FOR_COURSE,
     "make the K-th of N shares of the course, as evenly as can be"},
    {0, "merge", VALUE_NONE, NULL, FIELD(course.merge), FOR_COURSE,
     "put the records of the shares together, and tell what is missing"},
    {0, "time-limit", VALUE_COUNT, "SECONDS", FIELD(course.time_limit), FOR_COURSE,
     "give up a lesson that takes longer (60)"},
    {0, "memory-limit", VALUE_COUNT, "MIB", FIELD(course.memory_limit), FOR_COURSE,
     "give up a lesson that takes more memory (1024)"},
    {0, "ladder", VALUE_NONE, NULL, FIELD(sound.ladder), FOR_SOUND,
     "climb the steps of the tempo, each with a count-in"},
    {0, "each-step", VALUE_NONE, NULL, FIELD(sound.each_step), FOR_SOUND,
     "with --ladder: a file for each step"},
    {0, "step", VALUE_NUMBER, "BPM", FIELD(sound.step), FOR_SOUND,
     "with --ladder: from step to step (those of the page)"},
    {0, "step-bars", VALUE_NUMBER, "BARS", FIELD(sound.step_bars), FOR_SOUND,
     "with --ladder: each step takes at least so many bars"},
    {0, "times", VALUE_NUMBER, "N", FIELD(sound.times), FOR_SOUND,
     "play each exercise so often (1)"},
    {0, "count-in", VALUE_NUMBER, "BARS", FIELD(sound.count_in), FOR_SOUND,
     "bars counted before each exercise (1)"},
    {0, "loop", VALUE_NONE, NULL, FIELD(sound.loop), FOR_SOUND,
     "no count-in, and an end that leads to the beginning without a gap"},
    {0, "no-click", VALUE_NONE, NULL, FIELD(sound.no_click), FOR_SOUND, "click the count-in alone"},
    {0, "click-only", VALUE_NONE, NULL, FIELD(sound.click_only), FOR_SOUND,
     "the click without the drums"},
    {0, "quiet-after", VALUE_NUMBER, "BARS", FIELD(sound.quiet_after), FOR_SOUND,
     "click for so many bars, be silent for as many, and so on"},
    {0, "click-level", VALUE_NUMBER, "DB", FIELD(sound.audio.click_db), FOR_SOUND,
     "audio: decibels that the click is louder than usual, or softer (0)"},
    {0, "loudness", VALUE_NUMBER, "LUFS", FIELD(sound.audio.loudness), FOR_SOUND,
     "audio: loudness, from -40 to -14 (-23)"},
    {0, "sound-font", VALUE_TEXT, "FILE", FIELD(sound.audio.font), FOR_SOUND,
     "audio: the General MIDI sound font (the first that is found)"},
    {0, "format", VALUE_CHOICE, "text|json|sarif", FIELD(format), FOR_CHECK,
     "form of the findings; json and sarif go to standard output"},
    {0, "at", VALUE_BPM, "BPM", FIELD(at), FOR_CHECK | FOR_SOUND,
     "judge at this tempo, in quarters a minute, or play at it, in the exercise's own beats"},
    {0, "plan", VALUE_NONE, NULL, FIELD(plan), FOR_CHECK,
     "draw the kit from above, as the lesson strikes it"},
    {0, "style", VALUE_CHOICE, "effort|alternate|natural|travel", FIELD(style), FOR_STICK,
     "what the hands are chosen by (effort)"},
    {0, "level", VALUE_TEXT, "NAME", FIELD(level), FOR_CHECK | FOR_STICK,
     "judge for this level (the lesson's own, else advanced)"},
    {0, "explain", VALUE_TEXT, "CODE", FIELD(explain), FOR_CHECK,
     "teach what a code means, wrong and right; all: every code"},
    {0, "color", VALUE_CHOICE, "auto|always|never", FIELD(color), FOR_ALL,
     "colour in messages (auto: on a terminal)"},
    {'q', "quiet", VALUE_NONE, NULL, FIELD(quiet), FOR_ALL, "say errors only"},
    {0, "verbose", VALUE_NONE, NULL, FIELD(verbose), FOR_ALL,
     "say what is read and written, and the time of each stage"},
    {'h', "help", VALUE_NONE, NULL, FIELD(help), FOR_ALL, "show this help"},
    {0, "version", VALUE_NONE, NULL, FIELD(version), FOR_ALL, "show the version"},
};
enum { OPTION_COUNT = sizeof option_table / sizeof *option_table };

/* What a number may be; `more` is added to it, so that 0 can mean "not given". */
static const struct number_range {
    const char *word;
    int least, most, more;
} ranges[] = {
    {"dpi", 10, 2400, 0},       {"at", 1, 999, 0},           {"step", 1, 999, 0},
    {"step-bars", 1, 9999, 0},  {"times", 1, 9999, 0},       {"count-in", 0, 16, 1},
    {"quiet-after", 1, 999, 0}, {"click-level", -24, 24, 0}, {"loudness", -40, -14, 0},
};

const char *command_word(enum command command)
{
    return commands[command].word;
}

/* ---- values ------------------------------------------------------------------------------- */

/* A number without sign, spaces or anything after it; false also where it is above `most`. */
static bool read_number(const char **text, uint32_t most, uint32_t *number)
{
    uint64_t value = 0;
    const char *from = *text;
    while (isdigit((unsigned char)**text) && value <= most)
        value = value * 10 + (uint64_t)(*(*text)++ - '0');
    *number = (uint32_t)value;
    return *text > from && value <= most;
}

static const struct number_range *range_of(const struct option_row *row)
{
    const struct number_range *range = ranges;
    while (strcmp(range->word, row->word) != 0)
        range++;
    return range;
}

static bool take_number(const struct number_range *range, const char *value, int32_t *field)
{
    bool below = *value == '-' && range->least < 0;
    uint32_t number;
    value += below;
    if (!read_number(&value, INT16_MAX, &number) || *value)
        return false;
    int32_t given = below ? -(int32_t)number : (int32_t)number;
    *field = given + range->more;
    return given >= range->least && given <= range->most;
}

static bool take_bpm(const char *value, uint32_t *bpm)
{
    return read_number(&value, BPM_MOST, bpm) && !*value && *bpm > 0;
}

static bool take_count(const char *value, uint32_t *count)
{
    return read_number(&value, COUNT_MOST, count) && !*value && *count > 0;
}

/* K/N */
static bool take_shard(const char *value, struct options *options)
{
    return read_number(&value, SHARDS_MOST, &options->course.shard) && *value++ == '/' &&
           read_number(&value, SHARDS_MOST, &options->course.shards) && !*value &&
           options->course.shard > 0 && options->course.shard <= options->course.shards;
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

/* The index of `value` among words parted by `|`, -1 where it is none of them. */
static int choice_index(const char *words, const char *value)
{
    size_t length = strlen(value);
    for (int index = 0;; index++) {
        size_t word = strcspn(words, "|");
        if (word == length && strncmp(words, value, length) == 0)
            return index;
        if (!words[word])
            return -1;
        words += word + 1;
    }
}

/* Choices whose field has a value for "not said" begin at 1. */
static int choice_offset(const struct option_row *row)
{
    return row->field == FIELD(as) || row->field == FIELD(dump);
}

static bool take_choice(const struct option_row *row, const char *value, int *field)
{
    int index = choice_index(row->argument, value);
    *field = index + choice_offset(row);
    return index >= 0;
}

static bool take_value(const struct option_row *row, const char *value, struct options *options,
                       struct buffer *problem)
{
    void *field = (char *)options + row->field;
    bool taken = false;
    const char *wanted = row->argument;
    char numbers[64];
    switch (row->kind) {
    case VALUE_NONE:
        taken = *(bool *)field = true;
        break;
    case VALUE_TEXT:
        *(const char **)field = value;
        taken = *value;
        wanted = "something";
        break;
    case VALUE_CHOICE:
        taken = take_choice(row, value, field);
        break;
    case VALUE_NUMBER:
        taken = take_number(range_of(row), value, field);
        snprintf(numbers, sizeof numbers, "a number from %d to %d", range_of(row)->least,
                 range_of(row)->most);
        wanted = numbers;
        break;
    case VALUE_BPM:
        taken = take_bpm(value, field);
        wanted = "beats a minute from 1 to 999";
        break;
    case VALUE_COUNT:
        taken = take_count(value, field);
        wanted = "a number from 1 to 1000000";
        break;
    case VALUE_SHARD:
        taken = take_shard(value, options);
        wanted = "K/N, from 1/N to N/N, N at most 100000";
        break;
    case VALUE_EXERCISES:
        taken = take_exercises(value, options);
        wanted = "numbers from 1, parted by commas";
        break;
    }
    if (!taken)
        buffer_format(problem, "--%s takes %s, not '%s'", row->word, wanted, value);
    return taken;
}

/* ---- parsing ------------------------------------------------------------------------------ */

struct arguments {
    char **argv;
    int count, next;
};

static void suggest(const char *wrong, const char *const *names, size_t count, const char *before,
                    struct buffer *problem)
{
    const char *nearest = diag_nearest_name(wrong, names, count);
    if (nearest)
        buffer_format(problem, "; did you mean '%s%s'?", before, nearest);
}

static bool option_unknown(const char *given, const char *word, struct buffer *problem)
{
    const char *names[OPTION_COUNT];
    for (size_t i = 0; i < OPTION_COUNT; i++)
        names[i] = option_table[i].word;
    buffer_format(problem, "unknown option '%s'", given);
    if (word)
        suggest(word, names, OPTION_COUNT, "--", problem);
    return false;
}

static const struct option_row *find_letter(char letter)
{
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        if (letter && option_table[i].letter == letter)
            return &option_table[i];
    }
    return NULL;
}

static const struct option_row *find_word(const char *word, size_t length)
{
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        const char *known = option_table[i].word;
        if (strlen(known) == length && strncmp(known, word, length) == 0)
            return &option_table[i];
    }
    return NULL;
}

/* Options of other commands are told as such once the command is known. */
struct seen {
    const struct option_row *rows[OPTION_COUNT];
    size_t count;
};

static bool take_option(const struct option_row *row, const char *value,
                        struct arguments *arguments, struct options *options, struct seen *seen,
                        struct buffer *problem)
{
    if (row->kind == VALUE_NONE && value) {
        buffer_format(problem, "--%s takes no value", row->word);
        return false;
    }
    if (row->kind != VALUE_NONE && !value) {
        if (arguments->next == arguments->count) {
            buffer_format(problem, "--%s needs a value: %s", row->word, row->argument);
            return false;
        }
        value = arguments->argv[arguments->next++];
    }
    if (seen->count < OPTION_COUNT)
        seen->rows[seen->count++] = row;
    return take_value(row, value, options, problem);
}

static bool parse_word(const char *given, struct arguments *arguments, struct options *options,
                       struct seen *seen, struct buffer *problem)
{
    const char *word = given + 2, *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    const struct option_row *row = find_word(word, length);
    if (!row) {
        struct buffer plain = {0};
        buffer_add(&plain, word, length);
        struct buffer whole = {0};
        buffer_format(&whole, "--%s", buffer_text(&plain));
        option_unknown(buffer_text(&whole), buffer_text(&plain), problem);
        buffer_release(&whole);
        buffer_release(&plain);
        return false;
    }
    return take_option(row, equals ? equals + 1 : NULL, arguments, options, seen, problem);
}

/* -q, -qh, -o OUT, -oOUT. */
static bool parse_letters(const char *given, struct arguments *arguments, struct options *options,
                          struct seen *seen, struct buffer *problem)
{
    for (const char *letter = given + 1; *letter; letter++) {
        const struct option_row *row = find_letter(*letter);
        if (!row)
            return option_unknown(given, NULL, problem);
        const char *value = row->kind != VALUE_NONE && letter[1] ? letter + 1 : NULL;
        if (!take_option(row, value, arguments, options, seen, problem))
            return false;
        if (row->kind != VALUE_NONE)
            break;
    }
    return true;
}

static bool take_command(const char *word, struct options *options, struct buffer *problem)
{
    const char *names[COMMAND_COUNT - 1];
    for (size_t i = 1; i < COMMAND_COUNT; i++) {
        names[i - 1] = commands[i].word;
        if (strcmp(commands[i].word, word) == 0) {
            options->command = (enum command)i;
            return true;
        }
    }
    buffer_format(problem, "unknown command '%s'", word);
    suggest(word, names, COMMAND_COUNT - 1, "", problem);
    return false;
}

static bool options_fit_command(const struct options *options, const struct seen *seen,
                                struct buffer *problem)
{
    for (size_t i = 0; i < seen->count; i++) {
        if (options->command && !(seen->rows[i]->commands & (1U << options->command))) {
            buffer_format(problem, "--%s is no option of '%s'", seen->rows[i]->word,
                          command_word(options->command));
            return false;
        }
    }
    return true;
}

static bool operands_fit_command(const struct options *options, struct buffer *problem)
{
    const struct command_row *row = &commands[options->command];
    if (options->help || options->version)
        return true;
    if (!options->command) {
        buffer_add_text(problem, "no command given");
        return false;
    }
    if (options->explain) {
        if (options->operand_count)
            buffer_add_text(problem, "--explain takes no files");
        return options->operand_count == 0;
    }
    if (options->operand_count < row->least)
        buffer_format(problem, "'%s' needs %s", row->word, row->operands);
    else if (options->operand_count > row->most)
        buffer_format(problem, "'%s' takes one %s; '%s' is one too many", row->word, row->operands,
                      options->operands[row->most]);
    else
        return true;
    return false;
}

static bool parse_argument(const char *argument, bool *only_operands, struct arguments *arguments,
                           struct options *options, struct seen *seen, struct buffer *problem)
{
    if (!*only_operands && strcmp(argument, "--") == 0)
        return *only_operands = true;
    if (!*only_operands && strncmp(argument, "--", 2) == 0)
        return parse_word(argument, arguments, options, seen, problem);
    if (!*only_operands && argument[0] == '-' && argument[1])
        return parse_letters(argument, arguments, options, seen, problem);
    if (!options->command)
        return take_command(argument, options, problem);
    options->operands[options->operand_count++] = argument;
    return true;
}

bool options_parse(int argc, char **argv, struct options *options, struct buffer *problem)
{
    *options = (struct options){0};
    options->operands = memory_alloc((size_t)argc * sizeof *options->operands + 1);
    struct arguments arguments = {argv, argc, 1};
    struct seen seen = {.count = 0};
    bool only_operands = false;
    while (arguments.next < argc) {
        const char *argument = argv[arguments.next++];
        if (!parse_argument(argument, &only_operands, &arguments, options, &seen, problem))
            return false;
    }
    return options_fit_command(options, &seen, problem) && operands_fit_command(options, problem);
}

void options_release(struct options *options)
{
    memory_free(options->numbers);
    memory_free(options->operands);
    *options = (struct options){0};
}

/* ---- help --------------------------------------------------------------------------------- */

enum { HELP_COLUMN = 30 };

static void help_row(const char *left, const char *right, struct buffer *out)
{
    size_t width = strlen(left);
    buffer_format(out, "  %s", left);
    if (width + 2 >= HELP_COLUMN)
        buffer_format(out, "\n%*s%s\n", HELP_COLUMN, "", right);
    else
        buffer_format(out, "%*s%s\n", (int)(HELP_COLUMN - width - 2), "", right);
}

static void help_option(const struct option_row *row, struct buffer *out)
{
    struct buffer left = {0};
    if (row->letter)
        buffer_format(&left, "-%c, ", row->letter);
    else
        buffer_add_text(&left, "    ");
    buffer_format(&left, "--%s", row->word);
    if (row->argument)
        buffer_format(&left, " %s", row->argument);
    help_row(buffer_text(&left), row->summary, out);
    buffer_release(&left);
}

static void help_commands(struct buffer *out)
{
    buffer_add_text(out, "\nCommands:\n");
    for (size_t i = 1; i < COMMAND_COUNT; i++) {
        struct buffer left = {0};
        buffer_format(&left, "%s %s", commands[i].word, commands[i].operands);
        help_row(buffer_text(&left), commands[i].summary, out);
        buffer_release(&left);
    }
    buffer_add_text(out,
                    "\n    ratamark check lesson.yaml     what is wrong with it, and where\n"
                    "    ratamark engrave lesson.yaml   the sheet: lesson.pdf\n"
                    "\n'ratamark COMMAND --help' shows a command's options. The manual pages are\n"
                    "ratamark(1) and, for the lesson file, ratamark-lesson(5).\n");
}

void options_help(enum command command, struct buffer *out)
{
    const struct command_row *row = &commands[command];
    if (command == COMMAND_NONE) {
        buffer_format(out, "usage: ratamark %s\n%s\n", row->operands, row->summary);
        help_commands(out);
        return;
    }
    buffer_format(out, "usage: ratamark %s [OPTION...] %s\n%c%s.\n\nOptions:\n", row->word,
                  row->operands, toupper((unsigned char)row->summary[0]), row->summary + 1);
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        if (option_table[i].commands & (1U << command))
            help_option(&option_table[i], out);
    }
    if (row->more)
        buffer_format(out, "\n%s", row->more);
}

struct report_options options_report(const struct options *options, bool notes)
{
    return (struct report_options){.format = (enum report_format)options->format,
                                   .color = (enum color)options->color,
                                   .quiet = options->quiet,
                                   .notes = notes};
}
