#ifndef RATAMARK_CONSOLE_STATUS_H
#define RATAMARK_CONSOLE_STATUS_H
/* Exit statuses, and the program's own lines: `ratamark: error: ...`. */
#include <stddef.h>

enum status {
    STATUS_GOOD = 0,
    STATUS_LESSON = 1, /* a lesson has errors */
    STATUS_USAGE = 2,  /* usage error */
    STATUS_SYSTEM = 3  /* the system refused: disk, permission, memory */
};

/* The worse of two. */
static inline enum status status_worse(enum status a, enum status b)
{
    return a > b ? a : b;
}

/* One line on standard error, with nothing in it that could steer a terminal. */
void say_error(const char *format, ...) __attribute__((format(printf, 1, 2)));
void say(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* One such line on standard output. */
void print_line(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Says each line of a text, with `before` in front. */
void say_lines(const char *before, const char *lines);
/* Says the first line of a text as an error and the others as plain lines: what is wrong, then what
   to do. Says nothing for an empty text. */
struct buffer;
void say_problem(const struct buffer *lines);

/* Adds to a text the line that say_error() would print. */
void add_error(struct buffer *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The letter that follows a noun after this number: "s", but "" after 1. */
const char *plural(size_t count);

/* Reports an unknown name, with the nearest of `names`, or with the hint if none is near. */
void say_unknown(const char *what, const char *wrong, const char *const *names, size_t count,
                 const char *hint);

/* Writes a file, or standard output for "-", as a whole. If that fails, prints an error and returns
   STATUS_SYSTEM. */
enum status put_file(const char *path, const char *bytes, size_t length);
/* Writes text to standard output and releases it. If that fails, prints an error and
   returns STATUS_SYSTEM. */
enum status put_result(struct buffer *text);

#endif
