/* Engraves the lesson on standard input as a PDF on standard output, and says what is wrong with
   it. cc -o engrave engrave.c $(pkg-config --cflags --libs ratamark) */
#include <ratamark.h>
#include <stdio.h>

static char bytes[1 << 20];

static bool put(void *file, const void *some, size_t length)
{
    return fwrite(some, 1, length, file) == length;
}

int main(void)
{
    struct ratamark_text text = {"lesson.yaml", bytes, fread(bytes, 1, sizeof bytes, stdin)};
    struct ratamark *lesson = ratamark_read(&text, NULL);
    enum ratamark_result result = ratamark_check(lesson);
    if (result == RATAMARK_OK)
        result = ratamark_lay_out(lesson, NULL);
    if (result == RATAMARK_OK)
        result = ratamark_write(lesson, RATAMARK_PDF, NULL, put, stdout);
    for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++) {
        const struct ratamark_diagnostic *found = ratamark_diagnostic(lesson, i);
        fprintf(stderr, "line %u, column %u: %s\n", (unsigned)found->at.line,
                (unsigned)found->at.column, found->message);
    }
    ratamark_free(lesson);
    fprintf(stderr, "%s\n", ratamark_result_text(result));
    return result == RATAMARK_OK ? 0 : 1;
}
