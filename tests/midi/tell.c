/*
 * tell FOLDER COUNT FILE...: for each lesson file, and for COUNT lessons made by chance, writes
 * FOLDER/N.mid and prints one line of JSON: the score as it is written, and what was asked of the
 * performance. tests/midi/compare.py works out from it what the MIDI file has to hold. Lessons by
 * chance are asked for other things each: ladders, count-ins, loops.
 */
#include "../generate/generate.h"
#include "base/file.h"
#include "build/build.h"
#include "check/check.h"
#include "midi/midi.h"
#include "perform/perform.h"
#include "read/read.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *separator(size_t index)
{
    return index ? "," : "";
}

static void tell_fraction(const char *name, struct fraction value)
{
    printf("\"%s\":\"%" PRId64 "/%" PRId64 "\",", name, value.numerator, value.denominator);
}

static void tell_tempo(const char *name, const struct tempo *tempo)
{
    printf("\"%s\":", name);
    if (!tempo) {
        printf("null,");
        return;
    }
    printf("{\"range\":%d,\"gradual\":%d,\"unit\":%d,\"dots\":%d,\"hundredths\":[", tempo->range,
           tempo->gradual, tempo->unit_log2 == 0xFF ? -1 : tempo->unit_log2, tempo->unit_dots);
    for (size_t i = 0; i < tempo->count; i++)
        printf("%s%u", separator(i), tempo->hundredths[i]);
    printf("]},");
}

static void tell_note(const struct note *note)
{
    static const char *const names[] = {
#define MARK_NAME(id, ...) [MARK_INDEX_##id] = #id,
        STROKE_MARKS(MARK_NAME)
#undef MARK_NAME
    };
    printf("\"marks\":[");
    size_t told = 0;
    for (int i = 0; i < MARK_COUNT; i++)
        if (note->marks & 1 << i)
            printf("%s\"%s\"", separator(told++), names[i]);
    printf("],\"graces\":%u,\"roll\":%u,\"hits\":[", note->grace_count, note->roll);
    for (size_t i = 0; i < note->hit_count; i++)
        printf("%s[%u,%u,%d,%d]", separator(i), note->hits[i].voice, note->hits[i].limb,
               note->hits[i].ghost, note->hits[i].plain);
    printf("],");
}

static void tell_line(const struct score_line *line)
{
    printf("[");
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        printf("%s{", separator(i));
        tell_fraction("onset", leaf->onset);
        tell_fraction("length", leaf->length);
        if (leaf->tuplet != LEAF_NO_TUPLET) {
            uint16_t outer = leaf->tuplet;
            while (line->tuplets[outer].outer != LEAF_NO_TUPLET)
                outer = line->tuplets[outer].outer;
            tell_fraction("tuplet", line->tuplets[outer].onset);
            tell_fraction("tuplet_length", line->tuplets[outer].length);
        }
        if (leaf->note && !leaf->rest)
            tell_note(leaf->note);
        printf("\"rest\":%d,\"tied\":%d,\"continued\":%d}", leaf->rest || !leaf->note, leaf->tied,
               leaf->continued);
    }
    printf("]");
}

static void tell_bar(const struct lesson *lesson, const struct score_bar *bar)
{
    const struct settings *settings = bar->settings;
    printf("{\"unit\":%u,\"groups\":[", bar->meter->unit);
    for (size_t i = 0; i < bar->meter->group_count; i++)
        printf("%s%u", separator(i), bar->meter->groups[i]);
    printf("],\"subdivisions\":[");
    for (size_t i = 0; settings->subdivisions && i < settings->subdivisions->count; i++)
        printf("%s\"%s\"", separator(i), subdivision_name(settings->subdivisions->items[i]));
    printf("],\"passes\":[");
    for (size_t i = 0; bar->ending && i < bar->ending->pass_count; i++)
        printf("%s%u", separator(i), bar->ending->passes[i]);
    printf("],\"dynamics\":[");
    for (size_t i = 0; i < bar->dynamic_count; i++)
        printf("%s[\"%" PRId64 "/%" PRId64 "\",\"%s\"]", separator(i),
               bar->dynamics[i].onset.numerator, bar->dynamics[i].onset.denominator,
               bar->dynamics[i].text);
    printf("],\"paces\":[");
    for (size_t i = 0; i < bar->pace_count; i++)
        printf("%s[\"%" PRId64 "/%" PRId64 "\",\"%s\"]", separator(i),
               bar->paces[i].onset.numerator, bar->paces[i].onset.denominator, bar->paces[i].text);
    printf("],\"pickup\":%d,\"plays\":%u,\"begins\":%d,\"ends\":%d,", bar->pickup, bar->plays,
           bar->repeat_begins, bar->repeat_ends);
    const struct bar_signs *signs = bar->signs;
    if (signs)
        printf("\"jump\":\"%s\",\"segno\":%d,\"coda\":%d,\"to\":%d,\"fine\":%d,",
               signs->jump.words ? signs->jump.words : "", signs->segno.file != NULL,
               signs->coda.file != NULL, signs->to_coda.file != NULL, signs->fine.file != NULL);
    if (bar->pulse)
        printf("\"pulse\":[[%u,%u,%u],[%u,%u,%u]],", bar->pulse->before.value_log2,
               bar->pulse->before.dots, bar->pulse->before.tuplet, bar->pulse->now.value_log2,
               bar->pulse->now.dots, bar->pulse->now.tuplet);
    tell_fraction("length", bar->length);
    tell_fraction("start", bar->start);
    tell_fraction("swing", settings->swing);
    tell_tempo("tempo", settings->tempo);
    printf("\"lines\":[");
    for (int l = 0; l < LINE_COUNT; l++) {
        printf("%s", separator((size_t)l));
        tell_line(&bar->lines[l]);
    }
    printf("]}");
    (void)lesson;
}

static void tell_exercise(const struct lesson *lesson, const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    printf("{\"source\":%zu,\"plays\":%u,\"sequence\":[", (size_t)(source - lesson->exercises),
           source->plays);
    for (size_t i = 0; i < source->sequence_count; i++)
        printf("%s[%zu,%u]", separator(i), source->sequence[i].exercise, source->sequence[i].times);
    printf("],");
    tell_tempo("tempo", exercise->tempo);
    printf("\"bars\":[");
    for (size_t i = 0; i < exercise->bar_count; i++) {
        printf("%s", separator(i));
        tell_bar(lesson, &exercise->bars[i]);
    }
    printf("]}");
}

static void tell(const struct score *score, const struct perform_options *options,
                 const struct midi_report *report)
{
    printf("{\"ladder\":%d,\"times\":%u,\"count_in\":%u,\"quiet_after\":%u,\"loop\":%d,"
           "\"division\":%u,\"exact\":%d,\"kit\":[",
           options->ladder, options->times, options->count_in, options->quiet_after, options->loop,
           report->division, report->exact);
    const struct kit *kit = &score->lesson->kit;
    for (size_t i = 0; i < kit->voice_count; i++)
        printf("%s%u", separator(i), kit->voices[i].midi);
    printf("],\"exercises\":[");
    for (size_t i = 0; i < score->exercise_count; i++) {
        printf("%s", separator(i));
        tell_exercise(score->lesson, &score->exercises[i]);
    }
    printf("]}\n");
}

static bool write_midi(const char *folder, size_t number, const struct buffer *bytes)
{
    struct buffer path = {0};
    buffer_format(&path, "%s/%zu.mid", folder, number);
    FILE *file = fopen(buffer_text(&path), "wb");
    bool written = file && fwrite(bytes->bytes, 1, bytes->length, file) == bytes->length;
    written = file && fclose(file) == 0 && written;
    buffer_release(&path);
    return written;
}

/* False where the lesson has errors or cannot be played. */
static bool do_lesson(const char *folder, size_t number, const char *name, const char *text,
                      const struct perform_options *options, const struct course_context *course)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct read_source source = {name, text, strlen(text)};
    const struct lesson *lesson = read_lesson(arena, source, course, diags);
    struct score *score = lesson ? build_score(lesson, diags) : NULL;
    bool good = score && diags_errors(diags) == 0;
    const char *why = "it has errors";
    struct performance *performance = good ? perform(score, options, &why) : NULL;
    if (performance) {
        struct buffer bytes = {0};
        struct midi_report report = midi_write(performance, &bytes);
        good = write_midi(folder, number, &bytes);
        tell(score, options, &report);
        buffer_release(&bytes);
    } else {
        fprintf(stderr, "tell: %s: %s\n", name, why);
    }
    arena_free(arena);
    return good && performance;
}

static struct perform_options asked(size_t seed)
{
    static const unsigned count_ins[] = {1, 2, 0, 1};
    struct perform_options options = {.click = true, .drums = true, .count_in = 1};
    options.count_in = count_ins[seed % 4];
    options.ladder = seed % 40 == 3;
    options.times = seed % 40 == 5 ? 2 : 0;
    options.quiet_after = seed % 5 == 1 ? 2 : 0;
    options.loop = seed % 7 == 2;
    if (options.loop)
        options.count_in = 0;
    return options;
}

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    size_t number = 0, count = strtoul(argv[2], NULL, 10);
    bool good = true;
    struct arena *arena = arena_new();
    struct buffer course_text = {0};
    const struct course_context *course = NULL;
    struct diags *diags = diags_new(arena);
    for (int i = 3; i < argc; i++) {
        struct buffer text = {0};
        struct perform_options plain = {.click = true, .drums = true, .count_in = 1};
        if (!file_read(argv[i], LESSON_BYTES_MAX, &text))
            return 2;
        if (strstr(argv[i], "course.yaml")) { /* the first: the others stand under it */
            buffer_add(&course_text, text.bytes, text.length);
            struct read_source source = {argv[i], buffer_text(&course_text), course_text.length};
            course = read_course(arena, source, NULL, diags);
        } else {
            good &= do_lesson(argv[1], number++, argv[i], buffer_text(&text), &plain, course);
        }
        buffer_release(&text);
    }
    for (size_t seed = 1; seed <= count; seed++) {
        struct arena *own = arena_new();
        struct perform_options options = asked(seed);
        good &=
            do_lesson(argv[1], number++, "generated", generate_lesson(own, seed), &options, NULL);
        arena_free(own);
    }
    arena_free(arena);
    buffer_release(&course_text);
    return !good;
}
