/*
 * MIDI files byte by byte, against "Standard MIDI-File Format Spec. 1.1": its table of
 * variable-length quantities, its tempo and meter bytes, and General MIDI's percussion keys
 * (tests/reference). Whole files are read back by other readers in tests/cli/test_midi.sh.
 */
#include "built.h"
#include "midi/midi.h"
#include "perform/perform.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

START_TEST(quantities_are_those_of_the_standard)
{
    FILE *file = fopen("tests/reference/smf-vlq.tsv", "r");
    ck_assert_ptr_nonnull(file);
    char line[256];
    int rows = 0;
    while (fgets(line, sizeof line, file)) {
        unsigned number, bytes[4];
        int count =
            sscanf(line, "%8x\t%x %x %x %x", &number, &bytes[0], &bytes[1], &bytes[2], &bytes[3]) -
            1;
        if (count < 1)
            continue;
        struct buffer out = {0};
        midi_add_quantity(&out, number);
        ck_assert_int_eq((int)out.length, count);
        for (int i = 0; i < count; i++)
            ck_assert_uint_eq((unsigned char)out.bytes[i], bytes[i]);
        buffer_release(&out);
        rows++;
    }
    fclose(file);
    ck_assert_int_ge(rows, 18);
}
END_TEST

struct played {
    struct built built;
    struct buffer bytes;
    struct midi_report report;
};

static struct played play(const char *text, struct perform_options options)
{
    struct played played = {.built = built_right(text)};
    const char *why = NULL;
    struct performance *performance = perform(played.built.score, &options, &why);
    ck_assert_msg(performance != NULL, "%s", why ? why : "?");
    played.report = midi_write(performance, &played.bytes);
    return played;
}

static void release(struct played *played)
{
    buffer_release(&played->bytes);
    built_release(&played->built);
}

static bool holds(const struct buffer *bytes, const char *wanted, size_t length)
{
    for (size_t i = 0; i + length <= bytes->length; i++)
        if (memcmp(bytes->bytes + i, wanted, length) == 0)
            return true;
    return false;
}
#define HOLDS(played, text) ck_assert(holds(&(played).bytes, text, sizeof(text) - 1))

static const struct perform_options plain = {.click = true, .drums = true, .count_in = 1};

/* The tempos and meters that the standard works out, and three more: 60,000,000 / bpm. */
static const struct {
    const char *time, *tempo, *tempo_bytes, *meter_bytes;
} conductors[] = {
    {"4/4", "120", "\xFF\x51\x03\x07\xA1\x20", "\xFF\x58\x04\x04\x02\x18\x08"},
    {"6/8", "4=120", "\xFF\x51\x03\x07\xA1\x20", "\xFF\x58\x04\x06\x03\x24\x08"},
    {"4/4", "60", "\xFF\x51\x03\x0F\x42\x40", "\xFF\x58\x04\x04\x02\x18\x08"},
    {"3/4", "96", "\xFF\x51\x03\x09\x89\x68", "\xFF\x58\x04\x03\x02\x18\x08"},
    {"4/4", "100", "\xFF\x51\x03\x09\x27\xC0", "\xFF\x58\x04\x04\x02\x18\x08"},
    {"4/4", "140", "\xFF\x51\x03\x06\x8A\x1B", "\xFF\x58\x04\x04\x02\x18\x08"},
};

START_TEST(tempo_and_meter_are_the_bytes_of_the_standard)
{
    char text[256];
    snprintf(text, sizeof text,
             "title: T\ntime: %s\ntempo: %s\nexercises:\n  - {subdivision: "
             "eighths, sticking: RL}\n",
             conductors[_i].time, conductors[_i].tempo);
    struct played played = play(text, plain);
    ck_assert(holds(&played.bytes, conductors[_i].tempo_bytes, 6));
    ck_assert(holds(&played.bytes, conductors[_i].meter_bytes, 7));
    release(&played);
}
END_TEST

START_TEST(a_file_has_a_conductor_and_a_track_a_part)
{
    struct played played =
        play("title: Low Water\nauthor: A\ncopyright: C\nexercises:\n  - {title: "
             "Waves, subdivision: eighths, sticking: RL, kick: 1}\n",
             plain);
    ck_assert_int_eq(memcmp(played.bytes.bytes, "MThd\0\0\0\6\0\1\0\4", 12), 0);
    const unsigned char *division = (const unsigned char *)played.bytes.bytes + 12;
    ck_assert_uint_eq(division[0] * 256u + division[1], played.report.division);
    HOLDS(played, "\xFF\x02\x01"
                  "C");
    HOLDS(played, "\xFF\x03\x09Low Water");
    HOLDS(played, "\xFF\x06\x07"
                  "1 Waves");
    HOLDS(played, "\xFF\x06\x08"
                  "count-in");
    HOLDS(played, "\xFF\x06\x05"
                  "bar 1");
    HOLDS(played, "\xFF\x03\x05Hands");
    HOLDS(played, "\xFF\x03\x04"
                  "Feet");
    HOLDS(played, "\xFF\x03\x05"
                  "Click");
    HOLDS(played, "\x99\x26\x40"); /* the snare, mf */
    HOLDS(played, "\xFF\x2F\x00");
    release(&played);
}
END_TEST

/* Tuplets that together need more ticks than 32,767: 11, 13, 7, 9 and 32nds. */
START_TEST(where_no_division_is_exact_the_error_is_told)
{
    struct played exact = play("title: T\ntempo: 60\nexercises:\n  - bars:\n"
                               "      - {rhythm: 11:8(32*11) 7:4(16*7) 4 4}\n",
                               plain);
    ck_assert(exact.report.exact);
    ck_assert_uint_eq(exact.report.division % 77, 0);
    release(&exact);
    struct played played =
        play("title: T\ntempo: 60\nexercises:\n  - bars:\n"
             "      - {rhythm: 11:8(32*11) 13:8(32*13) 7:4(16*7) 3(8 3(16*3) 8)}\n"
             "      - {rhythm: 17:16(64*17) 32*8 4 4}\n",
             plain);
    ck_assert(!played.report.exact);
    ck_assert_double_gt(played.report.worst_seconds, 0);
    ck_assert_double_le(played.report.worst_seconds, 0.5 / played.report.division + 1e-12);
    release(&played);
}
END_TEST

START_TEST(a_tempo_too_slow_for_the_format_is_told)
{
    struct played played = play(
        "title: T\ntempo: 16=1\nexercises:\n  - {subdivision: eighths, sticking: RL}\n", plain);
    ck_assert(played.report.tempo_bound);
    HOLDS(played, "\xFF\x51\x03\xFF\xFF\xFF");
    release(&played);
}
END_TEST

/* A delta time has 28 bits. 1,200 bars of 64 whole rests take more ticks, of 960 a quarter: an
   empty text stands where the first delta ends, and the hands begin 294,912,000 - 0FFFFFFF ticks
   later. */
START_TEST(a_longer_silence_than_a_delta_time_is_waited_for)
{
    struct played played = play("title: T\nexercises:\n"
                                "  - {time: 64/1, repeat: 600, bars: [{rhythm: '_1*64'}, "
                                "{rhythm: '_1*64'}]}\n"
                                "  - {time: 1/4, bars: [{rhythm: 4, sticking: R}]}\n",
                                (struct perform_options){.drums = true});
    ck_assert_uint_eq(played.report.division, 960);
    HOLDS(played, "\xFF\xFF\xFF\x7F\xFF\x01\x00\x8C\xD0\x80\x01\x99\x26");
    release(&played);
}
END_TEST

/* ---- General MIDI ---------------------------------------------------------------------------- */

static const struct {
    enum voice_builtin voice;
    const char *name; /* as the standard's table has it */
} names[] = {
    {VOICE_SNARE, "Acoustic Snare"},
    {VOICE_CROSS_STICK, "Side Stick"},
    {VOICE_RIM_SHOT, "Electric Snare"},
    {VOICE_HI_HAT, "Closed Hi Hat"},
    {VOICE_OPEN_HI_HAT, "Open Hi-Hat"},
    {VOICE_HALF_OPEN_HI_HAT, "Open Hi-Hat"},
    {VOICE_CLOSED_HI_HAT, "Closed Hi Hat"},
    {VOICE_HI_HAT_FOOT, "Pedal Hi-Hat"},
    {VOICE_FOOT_SPLASH, "Open Hi-Hat"},
    {VOICE_RIDE, "Ride Cymbal 1"},
    {VOICE_RIDE_BELL, "Ride Bell"},
    {VOICE_CRASH, "Crash Cymbal 1"},
    {VOICE_SECOND_CRASH, "Crash Cymbal 2"},
    {VOICE_SPLASH, "Splash Cymbal"},
    {VOICE_CHINA, "Chinese Cymbal"},
    {VOICE_HIGH_TOM, "High Tom"},
    {VOICE_MID_TOM, "Low-Mid Tom"},
    {VOICE_FLOOR_TOM, "High Floor Tom"},
    {VOICE_SECOND_FLOOR_TOM, "Low Floor Tom"},
    {VOICE_BASS_DRUM, "Bass Drum 1"},
    {VOICE_SECOND_BASS_DRUM, "Acoustic Bass Drum"},
    {VOICE_COWBELL, "Cowbell"},
    {VOICE_WOODBLOCK, "Hi Wood Block"},
    {VOICE_TAMBOURINE, "Tambourine"},
    {VOICE_PRACTICE_PAD, "Acoustic Snare"},
    {VOICE_STICK_CLICK, "Sticks"},
};

static void key_names(char table[128][64])
{
    FILE *file = fopen("tests/reference/gm-percussion.tsv", "r");
    ck_assert_ptr_nonnull(file);
    char line[256], name[64];
    int key, rows = 0;
    while (fgets(line, sizeof line, file))
        if (sscanf(line, "%d\t%63[^\t]", &key, name) == 2 && key < 128) {
            strcpy(table[key], name);
            rows++;
        }
    fclose(file);
    ck_assert_int_ge(rows, 47);
}

/* Every voice that is built in, and our click, on the key that the standard names so. */
START_TEST(every_voice_has_its_general_midi_key)
{
    char table[128][64] = {{0}};
    key_names(table);
    bool seen[VOICE_BUILTIN_COUNT] = {false};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        ck_assert_str_eq(table[voice_builtin(names[i].voice)->midi], names[i].name);
        seen[names[i].voice] = true;
    }
    for (int voice = 0; voice < VOICE_BUILTIN_COUNT; voice++)
        ck_assert_msg(seen[voice], "no key is checked for '%s'",
                      voice_builtin((enum voice_builtin)voice)->name);
    ck_assert_str_eq(table[CLICK_KEY_ONE], "Hi Wood Block");
    ck_assert_str_eq(table[CLICK_KEY_BEAT], "Low Wood Block");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("midi");
    TCase *cases = tcase_create("midi");
    tcase_add_test(cases, quantities_are_those_of_the_standard);
    tcase_add_loop_test(cases, tempo_and_meter_are_the_bytes_of_the_standard, 0,
                        sizeof conductors / sizeof *conductors);
    tcase_add_test(cases, a_file_has_a_conductor_and_a_track_a_part);
    tcase_add_test(cases, where_no_division_is_exact_the_error_is_told);
    tcase_add_test(cases, a_tempo_too_slow_for_the_format_is_told);
    tcase_add_test(cases, a_longer_silence_than_a_delta_time_is_waited_for);
    tcase_add_test(cases, every_voice_has_its_general_midi_key);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
