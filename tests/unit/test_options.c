/* The command line: what is understood, and what is said of the rest. */
#include "app/options.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

static struct options options;
static struct buffer problem;

static void begin(void)
{
    options = (struct options){0};
    problem = (struct buffer){0};
}

static void finish(void)
{
    options_release(&options);
    buffer_release(&problem);
}

enum { ARGUMENTS_MAX = 16 };

/* Parses words parted by one space. */
static bool parse(const char *line)
{
    static char words[512];
    char *argv[ARGUMENTS_MAX] = {0};
    int argc = 0;
    finish();
    ck_assert_uint_lt(strlen(line), sizeof words);
    strcpy(words, line);
    for (char *word = words; word; argc++) {
        argv[argc] = word;
        word = strchr(word, ' ');
        if (word)
            *word++ = '\0';
    }
    return options_parse(argc, argv, &options, &problem);
}

static void expect_good(const char *line)
{
    bool good = parse(line);
    ck_assert_msg(good, "%s: %s", line, buffer_text(&problem));
    ck_assert_str_eq(buffer_text(&problem), "");
}

static void expect_problem(const char *line, const char *text)
{
    ck_assert_msg(!parse(line), "understood: %s", line);
    ck_assert_str_eq(buffer_text(&problem), text);
}

START_TEST(reads_a_whole_command_line)
{
    expect_good("ratamark engrave lesson.yaml -o sheet.png --as svg --dpi 300 --exercise 3,1 "
                "--music-font face.otf --color never --verbose");
    ck_assert_int_eq(options.command, COMMAND_ENGRAVE);
    ck_assert_uint_eq(options.operand_count, 1);
    ck_assert_str_eq(options.operands[0], "lesson.yaml");
    ck_assert_str_eq(options.output, "sheet.png");
    ck_assert_int_eq(options.as, FORMAT_SVG);
    ck_assert_uint_eq(options.dpi, 300);
    ck_assert_uint_eq(options.exercises.count, 2);
    ck_assert_uint_eq(options.exercises.numbers[0], 3);
    ck_assert_uint_eq(options.exercises.numbers[1], 1);
    ck_assert_str_eq(options.music_font, "face.otf");
    ck_assert_int_eq(options.color, COLOR_NEVER);
    ck_assert(options.verbose && !options.quiet);
}
END_TEST

START_TEST(unsaid_values_are_the_defaults)
{
    expect_good("ratamark engrave lesson.yaml");
    ck_assert_ptr_null(options.output);
    ck_assert_int_eq(options.as, FORMAT_NONE);
    ck_assert_int_eq(options.color, COLOR_AUTO);
    ck_assert_int_eq(options.format, REPORT_TEXT);
    ck_assert_int_eq(options.dump, DUMP_NONE);
    ck_assert_uint_eq(options.dpi, 0);
    ck_assert_uint_eq(options.exercises.count, 0);
}
END_TEST

START_TEST(a_value_may_stand_in_the_same_word)
{
    expect_good("ratamark engrave --output=a.pdf --dpi=72 x.yaml");
    ck_assert_str_eq(options.output, "a.pdf");
    ck_assert_uint_eq(options.dpi, 72);
    expect_good("ratamark engrave -ob.pdf x.yaml");
    ck_assert_str_eq(options.output, "b.pdf");
    expect_good("ratamark engrave -qo c=d.pdf x.yaml");
    ck_assert(options.quiet);
    ck_assert_str_eq(options.output, "c=d.pdf");
}
END_TEST

START_TEST(options_stand_anywhere)
{
    expect_good("ratamark -q check a.yaml --format json b.yaml");
    ck_assert_int_eq(options.command, COMMAND_CHECK);
    ck_assert(options.quiet);
    ck_assert_int_eq(options.format, REPORT_JSON);
    ck_assert_uint_eq(options.operand_count, 2);
    ck_assert_str_eq(options.operands[1], "b.yaml");
}
END_TEST

START_TEST(two_dashes_end_the_options)
{
    expect_good("ratamark check -- -q --help -");
    ck_assert(!options.quiet && !options.help);
    ck_assert_uint_eq(options.operand_count, 3);
    ck_assert_str_eq(options.operands[0], "-q");
    ck_assert_str_eq(options.operands[1], "--help");
    ck_assert_str_eq(options.operands[2], "-");
}
END_TEST

START_TEST(one_dash_is_an_operand)
{
    expect_good("ratamark engrave - -o -");
    ck_assert_str_eq(options.operands[0], "-");
    ck_assert_str_eq(options.output, "-");
}
END_TEST

START_TEST(the_last_of_equal_options_counts)
{
    expect_good("ratamark engrave x --dpi 100 --dpi 200 --exercise 1,2 --exercise 7");
    ck_assert_uint_eq(options.dpi, 200);
    ck_assert_uint_eq(options.exercises.count, 1);
    ck_assert_uint_eq(options.exercises.numbers[0], 7);
}
END_TEST

START_TEST(misspelt_words_get_the_nearest)
{
    expect_problem("ratamark engarve x", "unknown command 'engarve'; did you mean 'engrave'?");
    expect_problem("ratamark check --fromat json x",
                   "unknown option '--fromat'; did you mean '--format'?");
    expect_problem("ratamark check --formatt=json x",
                   "unknown option '--formatt'; did you mean '--format'?");
    expect_problem("ratamark xylophone", "unknown command 'xylophone'");
    expect_problem("ratamark check -x a", "unknown option '-x'");
}
END_TEST

START_TEST(commands_of_the_road_ahead_are_not_pretended)
{
    static const char *const later[] = {"trace"};
    for (size_t i = 0; i < sizeof later / sizeof *later; i++) {
        char line[64];
        snprintf(line, sizeof line, "ratamark %s x", later[i]);
        ck_assert_msg(!parse(line), "understood: %s", later[i]);
        ck_assert_ptr_nonnull(strstr(buffer_text(&problem), "unknown command"));
    }
}
END_TEST

START_TEST(options_belong_to_commands)
{
    expect_problem("ratamark check --dpi 100 x", "'check' has no option --dpi");
    expect_problem("ratamark --dpi 100 check x", "'check' has no option --dpi");
    expect_problem("ratamark engrave --format json x",
                   "'engrave' has no option --format; the format of a sheet is --as");
}
END_TEST

/* The error for an unknown format lists the known ones, in the order of the registry. */
static void expect_other_format(const char *word)
{
    struct buffer line = {0}, text = {0};
    buffer_format(&line, "ratamark engrave x --as %s", word);
    buffer_add_text(&text, "--as takes ");
    format_list_words(&text, FORMAT_BY_ENGRAVE, "|", "|");
    buffer_format(&text, ", not '%s'", word);
    expect_problem(buffer_text(&line), buffer_text(&text));
    buffer_release(&line);
    buffer_release(&text);
}

START_TEST(values_are_checked)
{
    expect_problem("ratamark engrave x --dpi 9", "--dpi takes a number from 10 to 2400, not '9'");
    expect_problem("ratamark engrave x --dpi 2401",
                   "--dpi takes a number from 10 to 2400, not '2401'");
    expect_problem("ratamark engrave x --dpi 99999999999999999999",
                   "--dpi takes a number from 10 to 2400, not '99999999999999999999'");
    expect_problem("ratamark engrave x --dpi 300dpi",
                   "--dpi takes a number from 10 to 2400, not '300dpi'");
    expect_problem("ratamark engrave x --exercise 0",
                   "--exercise takes numbers from 1, separated by commas, not '0'");
    expect_problem("ratamark engrave x --exercise 1,,2",
                   "--exercise takes numbers from 1, separated by commas, not '1,,2'");
    expect_problem("ratamark engrave x --exercise -1",
                   "--exercise takes numbers from 1, separated by commas, not '-1'");
    expect_other_format("jpeg");
    expect_other_format("pd");
    expect_problem("ratamark engrave x --output=",
                   "--output takes a value that is not empty, not ''");
    expect_problem("ratamark engrave x -o", "--output needs a value: OUT");
    expect_problem("ratamark check --quiet=yes x", "--quiet takes no value");
}
END_TEST

START_TEST(operands_are_counted)
{
    expect_problem("ratamark", "no command given");
    expect_problem("ratamark -q", "no command given");
    expect_problem("ratamark check", "'check' needs FILE|FOLDER...");
    expect_problem("ratamark grid a b", "'grid' takes one FILE; 'b' is one too many");
    expect_problem("ratamark rudiments flam tap",
                   "'rudiments' takes one [NAME|NUMBER]; 'tap' is one too many");
    expect_problem("ratamark check --explain limit x", "--explain takes no files");
    expect_good("ratamark rudiments");
    expect_good("ratamark check --explain limit");
}
END_TEST

START_TEST(help_and_version_need_nothing_else)
{
    expect_good("ratamark --help");
    expect_good("ratamark engrave --help");
    ck_assert(options.help);
    ck_assert_int_eq(options.command, COMMAND_ENGRAVE);
    expect_good("ratamark -h");
    expect_good("ratamark --version");
    ck_assert(options.version);
}
END_TEST

START_TEST(a_beginning_that_one_option_has_is_that_option)
{
    expect_good("ratamark check --str a");
    ck_assert(options.strict);
    expect_good("ratamark sound --step 5 --ladder a"); /* and --step-bars */
    ck_assert_uint_eq(options.sound.step, 5);
    expect_problem("ratamark sound --ste 5 a", "option '--ste' could be --step or --step-bars");
    expect_problem("ratamark grid --ladd a", "unknown option '--ladd'");
    expect_good("ratamark help sound");
    ck_assert(options.help);
    ck_assert_int_eq(options.command, COMMAND_SOUND);
}
END_TEST

START_TEST(help_lists_the_options_of_its_command_alone)
{
    struct buffer help = {0};
    options_help(COMMAND_CHECK, &help);
    ck_assert_ptr_nonnull(strstr(buffer_text(&help), "--format text|json|sarif"));
    ck_assert_ptr_nonnull(strstr(buffer_text(&help), "-q, --quiet"));
    ck_assert_ptr_null(strstr(buffer_text(&help), "--dpi"));
    buffer_release(&help);
    options_help(COMMAND_NONE, &help);
    for (int command = COMMAND_CHECK; command < COMMAND_COUNT; command++)
        ck_assert_ptr_nonnull(strstr(buffer_text(&help), command_word((enum command)command)));
    buffer_release(&help);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("options");
    TCase *tests = tcase_create("options");
    tcase_add_checked_fixture(tests, begin, finish);
    tcase_add_test(tests, reads_a_whole_command_line);
    tcase_add_test(tests, unsaid_values_are_the_defaults);
    tcase_add_test(tests, a_value_may_stand_in_the_same_word);
    tcase_add_test(tests, options_stand_anywhere);
    tcase_add_test(tests, two_dashes_end_the_options);
    tcase_add_test(tests, one_dash_is_an_operand);
    tcase_add_test(tests, the_last_of_equal_options_counts);
    tcase_add_test(tests, misspelt_words_get_the_nearest);
    tcase_add_test(tests, commands_of_the_road_ahead_are_not_pretended);
    tcase_add_test(tests, options_belong_to_commands);
    tcase_add_test(tests, values_are_checked);
    tcase_add_test(tests, operands_are_counted);
    tcase_add_test(tests, help_and_version_need_nothing_else);
    tcase_add_test(tests, a_beginning_that_one_option_has_is_that_option);
    tcase_add_test(tests, help_lists_the_options_of_its_command_alone);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
