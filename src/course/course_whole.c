#include "course/course_whole.h"

#include "course/booklet.h"
#include "course/index.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

/* What one of them is made from. */
struct whole {
    const struct course_work *work;
    struct course_plan *plan;
    struct course_record *record;
    struct faces *faces; /* for those that draw */
    struct arena *arena;
};

/* ---- the two ------------------------------------------------------------------------------ */

static bool draw_booklet(struct whole *whole, draw_write *write, void *closure,
                         struct buffer *problem)
{
    struct booklet booklet = {
        .tree = whole->work->tree, .faces = whole->faces, .date = whole->work->date};
    return booklet_draw(&booklet, write, closure, problem);
}

static bool draw_index(struct whole *whole, draw_write *write, void *closure,
                       struct buffer *problem)
{
    struct index_source source = {.tree = whole->work->tree,
                                  .record = whole->record,
                                  .out = whole->work->options->output,
                                  .booklet = whole->work->options->booklet ? "booklet.pdf" : NULL};
    return index_write(&source, write, closure, problem);
}

static bool wants_index(const struct course_options *options)
{
    return options->index;
}

static bool wants_booklet(const struct course_options *options)
{
    return options->booklet;
}

static const struct whole_row {
    const char *word, *place;
    const char *name; /* in the record: no lesson's */
    bool (*wanted)(const struct course_options *options);
    bool (*draw)(struct whole *whole, draw_write *write, void *closure, struct buffer *problem);
} rows[] = {
    {"booklet", "booklet.pdf", "/booklet", wants_booklet, draw_booklet},
    {"index", "index.html", "/index", wants_index, draw_index},
};
enum { ROWS = sizeof rows / sizeof *rows };

/* Names of lessons never begin so. */
bool course_whole_is(const char *name)
{
    return name[0] == '/';
}

/* ---- what they are made from -------------------------------------------------------------- */

static void add_text(struct digester *digester, const char *text)
{
    digester_add(digester, text, strlen(text) + 1);
}

/* Every lesson in its order: its name, its key, its files. */
static struct digest key_of(struct whole *whole, const struct whole_row *row)
{
    const struct course_tree *tree = whole->work->tree;
    struct digester digester = digester_begin();
    const struct digest *head = course_plan_key(whole->plan, tree->course);
    add_text(&digester, row->word);
    add_text(&digester, whole->work->options->booklet ? "booklet" : "");
    add_text(&digester, course_tree_title(tree));
    digester_add(&digester, head->bytes, sizeof head->bytes);
    for (size_t i = 0; i < tree->count; i++) {
        const struct recorded *entry = course_record_find(whole->record, tree->lessons[i].name);
        add_text(&digester, tree->lessons[i].name);
        if (!entry)
            continue;
        digester_add(&digester, entry->key->bytes, sizeof entry->key->bytes);
        digester_add(&digester, entry->bytes.bytes, sizeof entry->bytes.bytes);
        for (size_t k = 0; k < entry->count; k++)
            add_text(&digester, entry->outputs[k].place);
    }
    return digester_end(&digester);
}

static bool is_fresh(struct whole *whole, const struct whole_row *row, struct digest key)
{
    const struct recorded *entry = course_record_find(whole->record, row->name);
    return entry && !whole->work->options->force && entry->count == 1 &&
           digest_equal(*entry->key, key) &&
           course_plan_in_place(whole->work->out, &entry->outputs[0]);
}

/* ---- making one --------------------------------------------------------------------------- */

static enum status say_unwritten(const struct whole *whole, const struct whole_row *row)
{
    say_error("cannot write '%s/%s': %s", whole->work->options->output, row->place,
              errno ? strerror(errno) : "it could not be drawn");
    return STATUS_SYSTEM;
}

/* The name of the lesson that has the place. */
static const char *owner_of(struct whole *whole, const char *place)
{
    const struct course_tree *tree = whole->work->tree;
    for (size_t i = 0; i < tree->count; i++) {
        const struct recorded *entry = course_record_find(whole->record, tree->lessons[i].name);
        for (size_t k = 0; entry && k < entry->count; k++)
            if (strcmp(entry->outputs[k].place, place) == 0)
                return tree->lessons[i].name;
    }
    return NULL;
}

static enum status stage(struct whole *whole, const struct whole_row *row,
                         struct recorded_file *made)
{
    struct course_out *out = whole->work->out;
    struct staged_file file;
    struct digest digest = {{0}};
    struct file_stamp stamp = {0};
    struct buffer problem = {0};
    errno = 0;
    if (!course_out_stage(out, row->word, &file))
        return say_unwritten(whole, row);
    bool drawn = row->draw(whole, staged_write, &file, &problem);
    bool ended = staged_end(&file, &digest, &stamp);
    bool synced = ended && drawn && course_out_sync_one(out, row->word);
    errno = drawn || !ended ? errno : 0;
    enum status status = STATUS_GOOD;
    if (problem.length) {
        say_error("the %s is not made: %s", row->word, buffer_text(&problem));
        status = STATUS_LESSON;
    } else if (!synced) {
        status = say_unwritten(whole, row);
    }
    buffer_release(&problem);
    *made = recorded_file(row->place, digest, stamp);
    return status;
}

/* As with a lesson, the journal knows of a file before it is there. */
static enum status place(struct whole *whole, const struct whole_row *row, const struct digest *key,
                         struct recorded_file *made)
{
    struct course_out *out = whole->work->out;
    struct recorded entry = {.name = row->name, .key = key, .outputs = made, .count = 1};
    const struct recorded *old = course_record_find(whole->record, row->name);
    bool stays = old && course_plan_stays(out, old, made);
    if (!course_out_may_place(out, row->place) || !course_record_append(whole->record, &entry) ||
        (!stays && !course_out_place(out, row->word, row->place)))
        return say_unwritten(whole, row);
    if (stays)
        course_out_unstage(out, row->word);
    course_record_put(whole->record, &entry);
    return STATUS_GOOD;
}

static enum status make(struct whole *whole, const struct whole_row *row, const struct digest *key)
{
    const char *owner = owner_of(whole, row->place);
    if (owner) {
        say_error("'%s' is made of '%s/%s', and would be the %s: give the lesson another name",
                  row->place, whole->work->tree->path, owner, row->word);
        return STATUS_LESSON;
    }
    struct recorded_file made = {0};
    enum status status = stage(whole, row, &made);
    if (status == STATUS_GOOD)
        status = place(whole, row, key, &made);
    if (status != STATUS_GOOD)
        course_out_unstage(whole->work->out, row->word);
    else if (!whole->work->options->quiet)
        say("made '%s/%s'", whole->work->options->output, row->place);
    return status;
}

/* ---- all ---------------------------------------------------------------------------------- */

/* In need of being made: asked for and not up to date. */
static size_t list_needed(struct whole *whole, const struct whole_row *needed[ROWS],
                          struct digest keys[ROWS])
{
    size_t count = 0;
    for (size_t i = 0; i < ROWS; i++) {
        if (!rows[i].wanted(whole->work->options))
            continue;
        keys[count] = key_of(whole, &rows[i]);
        if (!is_fresh(whole, &rows[i], keys[count]))
            needed[count++] = &rows[i];
    }
    return count;
}

static enum status make_needed(struct whole *whole, const struct whole_row *const *needed,
                               const struct digest *keys, size_t count)
{
    enum status status = course_out_begin(whole->work->out);
    if (status != STATUS_GOOD)
        return status;
    struct faces_options options = {.music_font = whole->work->options->music_font,
                                    .space_mm = 1.75};
    whole->faces = faces_open(&options, diags_new(whole->arena));
    if (!whole->faces)
        return STATUS_SYSTEM;
    for (size_t i = 0; i < count; i++)
        status = status_worse(status, make(whole, needed[i], &keys[i]));
    faces_close(whole->faces);
    return status;
}

/* Made or not, what is asked for is not left over, nor what a course file may ask for that cannot
   be understood now. */
static void know_asked(struct whole *whole)
{
    bool any = !course_usable(whole->work->tree->course);
    for (size_t i = 0; i < ROWS; i++)
        if (any || rows[i].wanted(whole->work->options))
            course_record_find(whole->record, rows[i].name);
}

static void say_unmade(const struct whole *whole, size_t missing)
{
    struct file_stamp stamp;
    const struct course_work *work = whole->work;
    struct buffer why = {0};
    if (work->tree->incomplete)
        buffer_add_text(&why, "a folder could not be read");
    else
        buffer_format(&why, "%zu lesson%s could not be made", missing, missing == 1 ? "" : "s");
    for (size_t i = 0; i < ROWS; i++)
        if (rows[i].wanted(work->options) && !work->options->quiet)
            say("the %s %s: %s", rows[i].word,
                course_out_look(work->out, rows[i].place, &stamp) ? "stays as it was"
                                                                  : "is not made",
                buffer_text(&why));
    buffer_release(&why);
}

enum status course_whole_make(const struct course_work *work, struct course_plan *plan,
                              struct course_record *record, size_t missing)
{
    struct whole whole = {.work = work, .plan = plan, .record = record, .arena = arena_new()};
    const struct whole_row *needed[ROWS];
    struct digest keys[ROWS];
    bool able = missing == 0 && !work->tree->incomplete;
    know_asked(&whole);
    if (!able)
        say_unmade(&whole, missing);
    size_t count = able ? list_needed(&whole, needed, keys) : 0;
    enum status status = count ? make_needed(&whole, needed, keys, count) : STATUS_GOOD;
    arena_free(whole.arena);
    return status;
}

void course_whole_tell(const struct course_work *work, struct course_plan *plan,
                       struct course_record *record, size_t missing)
{
    struct whole whole = {.work = work, .plan = plan, .record = record, .arena = arena_new()};
    const struct whole_row *needed[ROWS];
    struct digest keys[ROWS];
    know_asked(&whole);
    if (missing || !work->out) {
        for (size_t i = 0; i < ROWS; i++)
            if (rows[i].wanted(work->options))
                printf("would make '%s'\n", rows[i].place);
    } else {
        size_t count = list_needed(&whole, needed, keys);
        for (size_t i = 0; i < count; i++)
            printf("would make '%s'\n", needed[i]->place);
    }
    arena_free(whole.arena);
}
