/* `ratamark check`: checks lessons, course files, and folders of both. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "base/file.h"
#include "base/path.h"
#include "chart/kit_chart.h"
#include "console/input.h"
#include "console/mend.h"
#include "console/outlook_table.h"
#include "console/report.h"
#include "course/course_tree.h"
#include "lib/pipeline.h"
#include "play/play.h"

#include <errno.h>
#include <string.h>

typedef struct input *input_opener(struct inputs *inputs, const char *path);

struct check {
    const struct options *options;
    struct inputs *inputs;
    struct report *report;
    struct outlook_table table;
    const struct page_settings *booklet; /* of the folder's course; NULL: it makes none */
    enum status status;
};

/* The stricter of the command line and the course file; what either allows is allowed. */
static struct strictness strictness_of(const struct check *check, const struct input *course)
{
    struct strictness strictness = input_course_keys(course)->strictness;
    strictness.strict |= check->options->strict;
    strictness.allowed |= check->options->allowed;
    return strictness;
}

/* Reports a course file once, however many lessons use it. */
static void check_course(struct check *check, struct input *course)
{
    if (course->reported)
        return;
    course->reported = true;
    if (course->course)
        check_course(check, course->course);
    diags_regrade(course->diags, strictness_of(check, course));
    report_file(check->report, REPORTED_COURSE, course->source, course->diags);
    check->status = status_worse(check->status, course->status);
}

/* Judges whether a lesson without errors can be played. */
static void judge_lesson(struct check *check, struct pipeline *work)
{
    const struct options *options = check->options;
    struct play_options play = {.at = options->at};
    if (!lesson_level(options, work->course, &play.limits)) {
        check->status = status_worse(check->status, STATUS_USAGE);
        return;
    }
    check_stickings(work->score, work->diags);
    play_check(work->score, &play, work->diags);
    diags_sort(work->diags);
}

static void add_to_table(struct check *check, struct pipeline *work)
{
    const struct limits *level;
    if (lesson_level(check->options, work->course, &level))
        outlook_table_add(&check->table, work->source.name, work->score, level);
}

static void draw_plan(struct check *check, const struct score *score)
{
    struct buffer out = {0};
    kit_chart_draw(score, &out);
    check->status = status_worse(check->status, put_result(&out));
}

/* Says of a lesson that its pages in the booklet differ from those of its own sheet. */
static void compare_size(const struct check *check, const char *path, const struct lesson *lesson)
{
    if (check->booklet && check->booklet->size != lesson->settings.page->size &&
        !check->options->quiet)
        say("'%s' has another page size than its course: the booklet sets it again", path);
}

static void check_lesson(struct check *check, const char *path, input_opener *open)
{
    struct input *input = open(check->inputs, path);
    check->status = status_worse(check->status, input->status);
    if (input->course && input->source.bytes)
        check_course(check, input->course);
    if (!input->source.bytes) {
        report_file(check->report, REPORTED_LESSON, input->source, input->diags);
    } else {
        struct pipeline work;
        pipeline_init(&work, input->source);
        work.course = input->course ? input->course->context : NULL;
        work.handed = (enum handed)check->options->handed;
        bool good = pipeline_run(&work, STAGE_CHECK);
        if (good)
            judge_lesson(check, &work);
        diags_regrade(work.diags, strictness_of(check, input->course));
        report_file(check->report, REPORTED_LESSON, input->source, work.diags);
        if (good && check->options->table)
            add_to_table(check, &work);
        else if (good)
            report_verdicts(check->report, input->source, work.score);
        if (good && check->options->plan)
            draw_plan(check, work.score);
        if (good)
            compare_size(check, path, work.lesson);
        if (check->options->verbose)
            report_times(&work);
        pipeline_release(&work);
    }
    input_close(input);
}

/* ---- mending ------------------------------------------------------------------------------- */

enum { MEND_ROUNDS = 8 }; /* mending one slip may reveal another */

/* How many duplicate keys were reported. */
static size_t duplicate_keys_in(const struct diags *diags)
{
    size_t count = 0;
    for (size_t i = 0; i < diags_count(diags); i++)
        count += diags_get(diags, i)->code == DIAG_DUPLICATE_KEY;
    return count;
}

/* Whether the mend added no duplicate keys. */
static bool keeps_keys_apart(const struct pipeline *before, const struct buffer *text)
{
    struct pipeline work;
    pipeline_init(&work, (struct read_source){before->source.name, text->bytes, text->length});
    work.course = before->course;
    pipeline_run(&work, STAGE_CHECK);
    bool apart = duplicate_keys_in(work.diags) <= duplicate_keys_in(before->diags);
    pipeline_release(&work);
    return apart;
}

/* Mends a lesson once; false if there was nothing to mend or it could not be written. */
static bool mend_once(struct check *check, const char *path, input_opener *open)
{
    struct inputs *inputs = inputs_new();
    struct input *input = open(inputs, path);
    struct pipeline work;
    pipeline_init(&work, input->source);
    work.course = input->course ? input->course->context : NULL;
    struct buffer text = {0}, said = {0};
    bool mended = false;
    if (input->source.bytes && !pipeline_run(&work, STAGE_CHECK) &&
        mend_source(input->source, work.diags, &text, &said) && keeps_keys_apart(&work, &text)) {
        enum status status = put_file(path, text.bytes, text.length);
        mended = status == STATUS_GOOD;
        check->status = status_worse(check->status, status);
    }
    struct buffer before = {0};
    buffer_format(&before, "%s:", path);
    if (mended && !check->options->quiet)
        say_lines(buffer_text(&before), buffer_text(&said));
    buffer_release(&before);
    buffer_release(&text);
    buffer_release(&said);
    pipeline_release(&work);
    input_close(input);
    inputs_free(inputs);
    return mended;
}

static void check_file(struct check *check, const char *path, input_opener *open)
{
    bool mendable = check->options->fix && strcmp(path, "-") != 0 && !is_course_file(path);
    for (int round = 0; mendable && round < MEND_ROUNDS; round++)
        mendable = mend_once(check, path, open);

    if (check->options->verbose)
        say("checking '%s'", path);
    const char *named =
        check->options->name && strcmp(path, "-") == 0 ? check->options->name : path;
    if (is_course_file(named))
        check_course(check, input_course(check->inputs, named));
    else
        check_lesson(check, path, open);
}

static bool makes_booklet(const struct input *course)
{
    const struct course *keys = input_course_keys(course);
    for (size_t i = 0; i < keys->produce_count; i++)
        if (keys->produce[i] == FORMAT_BOOKLET)
            return true;
    return false;
}

static void check_folder(struct check *check, const char *folder)
{
    struct arena *arena = arena_new();
    const char *const *paths = NULL;
    size_t count = 0;
    struct course_tree tree; /* reports course entries whose files are missing */
    bool listed = input_list(folder, arena, &paths, &count) &&
                  course_tree_open(&tree, folder, NULL, check->inputs);
    if (!listed) {
        say_error("cannot read the folder '%s': %s", folder, strerror(errno));
        check->status = STATUS_SYSTEM;
    } else if (!count) {
        say_error("no lessons (.yaml or .yml files) in '%s'", folder);
        check->status = status_worse(check->status, STATUS_USAGE);
    }
    if (listed && makes_booklet(tree.course))
        check->booklet = course_settings(tree.course->context).page;
    for (size_t i = 0; i < count; i++)
        check_file(check, paths[i], input_open_found);
    check->booklet = NULL;
    if (listed)
        course_tree_close(&tree);
    arena_free(arena);
}

enum status check_command(const struct options *options)
{
    if (options->plan && options->format != REPORT_TEXT) {
        say_error("--plan and --format %s do not go together: both write to standard output",
                  options->format == REPORT_JSON ? "json" : "sarif");
        return STATUS_USAGE;
    }
    if (options->table && (options->plan || options->format != REPORT_TEXT)) {
        say_error("--table and --%s do not go together: both write to standard output",
                  options->plan ? "plan" : "format");
        return STATUS_USAGE;
    }
    struct check check = {.options = options,
                          .inputs = inputs_new(),
                          .report = report_new(options_report(options, options->verbose))};
    inputs_name_standard(check.inputs, options->name);
    for (size_t i = 0; i < options->operand_count; i++) {
        const char *path = options->operands[i];
        if (path_is_folder(path))
            check_folder(&check, path);
        else
            check_file(&check, path, input_open);
    }
    enum status found = report_end(check.report, true);
    struct buffer table = {0};
    outlook_table_write(&check.table, (enum outlook_form)options->table, &table);
    if (table.length)
        check.status = status_worse(check.status, put_result(&table));
    buffer_release(&table);
    outlook_table_release(&check.table);
    inputs_free(check.inputs);
    return status_worse(check.status, found);
}
