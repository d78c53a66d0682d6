/*
 * Reading and checking a 1 MiB lesson against libyaml merely scanning the same bytes.
 *
 * In the timed part of ours: bytes to a typed lesson, to the rhythmic tree, checked; arena and
 * findings made and freed. In the other: yaml_parser_scan() over all tokens, parser made and freed.
 */
#include "build/build.h"
#include "check/check.h"
#include "lesson_writer.h"
#include "measure.h"
#include "read/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <yaml.h>

enum { RUNS = 41 };

static void read_and_check(void *closure)
{
    const struct buffer *text = closure;
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct lesson *lesson = read_lesson(
        arena, (struct read_source){"bench.yaml", text->bytes, text->length}, NULL, diags);
    if (lesson)
        check_score(build_score(lesson, diags), diags);
    if (!lesson || diags_errors(diags)) {
        const struct diag *first = diags_get(diags, 0);
        fprintf(stderr, "bench.yaml:%u: %s\n", first->at.line, first->message);
        exit(2);
    }
    arena_free(arena);
}

static void scan(void *closure)
{
    const struct buffer *text = closure;
    yaml_parser_t parser;
    yaml_token_t token;
    yaml_parser_initialize(&parser);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text->bytes, text->length);
    bool more = true;
    while (more && yaml_parser_scan(&parser, &token)) {
        more = token.type != YAML_STREAM_END_TOKEN;
        yaml_token_delete(&token);
    }
    yaml_parser_delete(&parser);
    if (more)
        exit(2);
}

int main(void)
{
    struct buffer text = {0};
    write_lesson_of(&text, 1024 * 1024);
    double ratio = measure_ratio(read_and_check, scan, &text, RUNS);
    buffer_release(&text);
    return !measure_report("read-check/scan", ratio, 2.0);
}
