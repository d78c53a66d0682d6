#include "course/course_wide.h"

#include "course/booklet.h"
#include "course/index_page.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

struct wide {
    const struct course_work *work;
    struct course_plan *plan;
    struct course_record *record;
    struct faces *faces; /* for what is drawn */
};

/* ---- the table ---------------------------------------------------------------------------- */

static bool make_booklet(struct wide *wide, draw_write *write, void *closure,
                         struct buffer *problem)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    size_t set_again = 0;
    struct booklet booklet = {.tree = wide->work->tree,
                              .faces = wide->faces,
                              .date = wide->work->date,
                              .handed = (enum handed)wide->work->options->handed,
                              .diags = diags,
                              .set_again = &set_again};
    bool drawn = booklet_draw(&booklet, write, closure, problem);
    for (size_t i = 0; i < diags_count(diags) && !wide->work->options->quiet; i++)
        say("the booklet: %s", diags_get(diags, i)->message);
    if (drawn && set_again && !wide->work->options->quiet)
        say("the booklet has pages of the course's size: %zu lesson%s set again for it", set_again,
            set_again == 1 ? " was" : "s were");
    arena_free(arena);
    return drawn;
}

static bool make_index(struct wide *wide, draw_write *write, void *closure, struct buffer *problem)
{
    struct index_source source = {.tree = wide->work->tree,
                                  .record = wide->record,
                                  .out = wide->work->options->output,
                                  .handed = (enum handed)wide->work->options->handed,
                                  .has_booklet = wide->work->options->wide[FORMAT_BOOKLET]};
    return index_write(&source, write, closure, problem);
}

static const struct wide_row {
    enum format format;
    const char *word, *path;
    const char *name; /* in the record; no lesson's name begins with `/` */
    bool (*make)(struct wide *wide, draw_write *write, void *closure, struct buffer *problem);
} rows[] = {
#define ROW(constant, word, ending, title, from, maker, ...)                                       \
    {FORMAT_##constant, word, word ending, "/" word, make_##maker},
    COURSE_FORMATS(ROW)
#undef ROW
};
enum { ROWS = sizeof rows / sizeof *rows };

bool course_wide_is(const char *name)
{
    return name[0] == '/';
}

static bool is_wanted(const struct wide *wide, const struct wide_row *row)
{
    return wide->work->options->wide[row->format];
}

/* ---- whether it is up to date ------------------------------------------------------------- */

/* Everything it is made from: each lesson in its order, with its fingerprint and its files. */
static struct digest fingerprint_of(struct wide *wide, const struct wide_row *row)
{
    const struct course_tree *tree = wide->work->tree;
    struct digester digester = digester_begin();
    const struct digest *head = course_plan_fingerprint(wide->plan, tree->course);
    digester_add_text(&digester, row->word);
    digester_add_text(&digester, wide->work->options->wide[FORMAT_BOOKLET] ? "booklet" : "");
    digester_add_text(&digester, course_tree_title(tree));
    digester_add_digest(&digester, *head);
    for (size_t i = 0; i < tree->count; i++) {
        const struct recorded *entry = course_record_find(wide->record, tree->lessons[i].name);
        digester_add_text(&digester, tree->lessons[i].name);
        if (!entry)
            continue;
        digester_add_digest(&digester, *entry->fingerprint);
        digester_add_digest(&digester, entry->bytes);
        for (size_t k = 0; k < entry->count; k++)
            digester_add_text(&digester, entry->outputs[k].path);
    }
    return digester_end(&digester);
}

static bool is_fresh(struct wide *wide, const struct wide_row *row, struct digest fingerprint)
{
    const struct recorded *entry = course_record_find(wide->record, row->name);
    return entry && !wide->work->options->force && entry->count == 1 &&
           digest_equal(*entry->fingerprint, fingerprint) &&
           course_plan_in_place(wide->work->out, &entry->outputs[0]);
}

/* ---- making one --------------------------------------------------------------------------- */

static enum status say_unwritten(const struct wide *wide, const struct wide_row *row)
{
    return course_say_unwritten(wide->work, row->path, errno);
}

/* The lesson that already has a file in this place; NULL: none. */
static const char *owner_of(struct wide *wide, const char *path)
{
    const struct course_tree *tree = wide->work->tree;
    for (size_t i = 0; i < tree->count; i++) {
        const struct recorded *entry = course_record_find(wide->record, tree->lessons[i].name);
        for (size_t k = 0; entry && k < entry->count; k++)
            if (strcmp(entry->outputs[k].path, path) == 0)
                return tree->lessons[i].name;
    }
    return NULL;
}

static enum status stage(struct wide *wide, const struct wide_row *row, struct recorded_file *made)
{
    struct course_out *out = wide->work->out;
    struct staged_file file;
    struct digest digest = {{0}};
    struct file_stamp stamp = {0};
    struct buffer problem = {0};
    errno = 0;
    if (!course_out_stage(out, row->word, &file))
        return say_unwritten(wide, row);
    bool drawn = row->make(wide, staged_write, &file, &problem);
    bool ended = staged_end(&file, &digest, &stamp);
    bool synced = ended && drawn && course_out_sync_one(out, row->word);
    errno = drawn || !ended ? errno : 0;
    enum status status = STATUS_GOOD;
    if (problem.length) {
        say_error("the %s was not made: %s", row->word, buffer_text(&problem));
        status = STATUS_LESSON;
    } else if (!synced) {
        status = say_unwritten(wide, row);
    }
    buffer_release(&problem);
    *made = (struct recorded_file){row->path, digest, stamp};
    made->stamp.touched = 0;
    return status;
}

/* As with a lesson, the journal knows of the file before it appears. */
static enum status put_in_place(struct wide *wide, const struct wide_row *row,
                                const struct digest *fingerprint, struct recorded_file *made)
{
    struct course_out *out = wide->work->out;
    struct recorded entry = {
        .name = row->name, .fingerprint = fingerprint, .outputs = made, .count = 1};
    const struct recorded *old = course_record_find(wide->record, row->name);
    bool stays = old && course_plan_stays(out, old, made);
    if (!course_out_may_place(out, row->path) || !course_record_append(wide->record, &entry) ||
        (!stays && !course_out_place(out, row->word, row->path, &made->stamp)))
        return say_unwritten(wide, row);
    if (stays)
        course_out_unstage(out, row->word);
    course_record_put(wide->record, &entry);
    return STATUS_GOOD;
}

static enum status make(struct wide *wide, const struct wide_row *row,
                        const struct digest *fingerprint)
{
    const char *owner = owner_of(wide, row->path);
    if (owner) {
        say_error("'%s/%s' and the %s would both be '%s'; rename the lesson",
                  wide->work->tree->path, owner, row->word, row->path);
        return STATUS_LESSON;
    }
    struct recorded_file made = {0};
    enum status status = stage(wide, row, &made);
    if (status == STATUS_GOOD)
        status = put_in_place(wide, row, fingerprint, &made);
    if (status != STATUS_GOOD)
        course_out_unstage(wide->work->out, row->word);
    else if (!wide->work->options->quiet)
        say("made '%s/%s'", wide->work->options->output, row->path);
    return status;
}

/* ---- all ---------------------------------------------------------------------------------- */

struct needed {
    const struct wide_row *row;
    struct digest fingerprint;
};

/* What is wanted and, unless `all`, not up to date. */
static size_t list_needed(struct wide *wide, bool all, struct needed needed[ROWS])
{
    size_t count = 0;
    for (size_t i = 0; i < ROWS; i++) {
        if (!is_wanted(wide, &rows[i]))
            continue;
        struct digest fingerprint = fingerprint_of(wide, &rows[i]);
        if (all || !is_fresh(wide, &rows[i], fingerprint))
            needed[count++] = (struct needed){&rows[i], fingerprint};
    }
    return count;
}

static enum status make_needed(struct wide *wide, const struct needed *needed, size_t count)
{
    enum status status = course_out_begin(wide->work->out);
    if (status != STATUS_GOOD)
        return status;
    wide->faces = course_open_faces(wide->work);
    if (!wide->faces)
        return STATUS_SYSTEM;
    for (size_t i = 0; i < count; i++)
        status = status_worse(status, make(wide, needed[i].row, &needed[i].fingerprint));
    faces_close(wide->faces);
    return status;
}

/* Marks in the record what is wanted, whether it can be made or not, so that it does not count as
   stale. A course file with errors might want all of it. */
static void mark_wanted(struct wide *wide)
{
    bool all = !course_usable(wide->work->tree->course);
    for (size_t i = 0; i < ROWS; i++)
        if (all || is_wanted(wide, &rows[i]))
            course_record_find(wide->record, rows[i].name);
}

static void say_unmade(const struct wide *wide, size_t missing)
{
    struct file_stamp stamp;
    const struct course_work *work = wide->work;
    struct buffer why = {0};
    if (work->tree->incomplete)
        buffer_add_text(&why, "a folder could not be read");
    else
        buffer_format(&why, "%zu lesson%s could not be made", missing, plural(missing));
    for (size_t i = 0; i < ROWS; i++)
        if (is_wanted(wide, &rows[i]) && !work->options->quiet)
            say("the %s was not %s: %s", rows[i].word,
                course_out_look(work->out, rows[i].path, &stamp) ? "updated" : "made",
                buffer_text(&why));
    buffer_release(&why);
}

enum status course_wide_make(const struct course_work *work, struct course_plan *plan,
                             struct course_record *record, size_t missing)
{
    struct wide wide = {.work = work, .plan = plan, .record = record};
    struct needed needed[ROWS];
    bool able = missing == 0 && !work->tree->incomplete;
    mark_wanted(&wide);
    if (!able)
        say_unmade(&wide, missing);
    size_t count = able ? list_needed(&wide, false, needed) : 0;
    return count ? make_needed(&wide, needed, count) : STATUS_GOOD;
}

void course_wide_list(const struct course_work *work, struct course_plan *plan,
                      struct course_record *record, size_t missing)
{
    struct wide wide = {.work = work, .plan = plan, .record = record};
    struct needed needed[ROWS];
    mark_wanted(&wide);
    size_t count = list_needed(&wide, missing || !work->out, needed);
    for (size_t i = 0; i < count; i++)
        print_line("would make '%s'", needed[i].row->path);
}
