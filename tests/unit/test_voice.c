/* The voices that are built in. */
#include "model/voice.h"
#include "suite.h"

#include <check.h>
#include <string.h>

/* Standard MIDI-File Format Spec. 1.1, Appendix 1.5: the percussion keys of General MIDI level 1,
   by the names of that table; 31 is General MIDI level 2's "Sticks" (from a secondary list). */
static const struct {
    enum voice_builtin voice;
    const char *name;
    int key;
} keys[] = {
    {VOICE_SNARE, "snare", 38},                       /* Acoustic Snare */
    {VOICE_CROSS_STICK, "cross-stick", 37},           /* Side Stick */
    {VOICE_HI_HAT, "hi-hat", 42},                     /* Closed Hi Hat */
    {VOICE_OPEN_HI_HAT, "open-hi-hat", 46},           /* Open Hi-Hat */
    {VOICE_HI_HAT_FOOT, "hi-hat-foot", 44},           /* Pedal Hi-Hat */
    {VOICE_RIDE, "ride", 51},                         /* Ride Cymbal 1 */
    {VOICE_RIDE_BELL, "ride-bell", 53},               /* Ride Bell */
    {VOICE_CRASH, "crash", 49},                       /* Crash Cymbal 1 */
    {VOICE_SECOND_CRASH, "second-crash", 57},         /* Crash Cymbal 2 */
    {VOICE_SPLASH, "splash", 55},                     /* Splash Cymbal */
    {VOICE_CHINA, "china", 52},                       /* Chinese Cymbal */
    {VOICE_HIGH_TOM, "high-tom", 50},                 /* High Tom */
    {VOICE_MID_TOM, "mid-tom", 47},                   /* Low-Mid Tom */
    {VOICE_FLOOR_TOM, "floor-tom", 43},               /* High Floor Tom */
    {VOICE_SECOND_FLOOR_TOM, "second-floor-tom", 41}, /* Low Floor Tom */
    {VOICE_BASS_DRUM, "bass-drum", 36},               /* Bass Drum 1 */
    {VOICE_SECOND_BASS_DRUM, "second-bass-drum", 35}, /* Acoustic Bass Drum */
    {VOICE_COWBELL, "cowbell", 56},                   /* Cowbell */
    {VOICE_WOODBLOCK, "woodblock", 76},               /* Hi Wood Block */
    {VOICE_TAMBOURINE, "tambourine", 54},             /* Tambourine */
    {VOICE_STICK_CLICK, "stick-click", 31},
};

START_TEST(a_voice_has_its_general_midi_key)
{
    const struct voice *voice = voice_builtin(keys[_i].voice);
    ck_assert_str_eq(voice->name, keys[_i].name);
    ck_assert_int_eq(voice->midi, keys[_i].key);
}
END_TEST

/* The staff places of the page's design (1 is the bottom line): twice the place. */
static const struct {
    enum voice_builtin voice;
    int line2;
    enum head head;
} places[] = {
    {VOICE_BASS_DRUM, 3, HEAD_ROUND},    {VOICE_FLOOR_TOM, 5, HEAD_ROUND},
    {VOICE_SNARE, 7, HEAD_ROUND},        {VOICE_MID_TOM, 8, HEAD_ROUND},
    {VOICE_HIGH_TOM, 9, HEAD_ROUND},     {VOICE_RIDE, 10, HEAD_X},
    {VOICE_HI_HAT, 11, HEAD_X},          {VOICE_CRASH, 12, HEAD_X},
    {VOICE_HI_HAT_FOOT, 1, HEAD_X},      {VOICE_CROSS_STICK, 7, HEAD_X},
    {VOICE_RIDE_BELL, 10, HEAD_DIAMOND}, {VOICE_RIM_SHOT, 7, HEAD_SLASHED},
};

START_TEST(a_voice_stands_in_its_place)
{
    const struct voice *voice = voice_builtin(places[_i].voice);
    ck_assert_int_eq(voice->line2, places[_i].line2);
    ck_assert_int_eq(voice->head, places[_i].head);
}
END_TEST

/* No two voices look alike, but the pad, which stands for the snare. */
START_TEST(every_voice_can_be_told_from_the_others)
{
    for (int a = 0; a < VOICE_BUILTIN_COUNT; a++)
        for (int b = 0; b < a; b++) {
            const struct voice *one = voice_builtin((enum voice_builtin)a);
            const struct voice *other = voice_builtin((enum voice_builtin)b);
            bool alike =
                one->line2 == other->line2 && one->head == other->head && one->sign == other->sign;
            bool pad = a == VOICE_PRACTICE_PAD && b == VOICE_SNARE;
            ck_assert_msg(alike == pad, "%s and %s", one->name, other->name);
        }
}
END_TEST

START_TEST(feet_play_what_feet_play)
{
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++) {
        const struct voice *voice = voice_builtin((enum voice_builtin)i);
        enum player wanted =
            i == VOICE_BASS_DRUM ? PLAYER_RIGHT_FOOT
            : i == VOICE_HI_HAT_FOOT || i == VOICE_FOOT_SPLASH || i == VOICE_SECOND_BASS_DRUM
                ? PLAYER_LEFT_FOOT
                : PLAYER_HANDS;
        ck_assert_msg(voice->player == wanted, "%s", voice->name);
    }
}
END_TEST

START_TEST(heads_have_plain_words_and_the_names_of_the_standard)
{
    for (int i = 0; i < HEAD_KINDS; i++) {
        enum head head;
        ck_assert(head_from_word(head_word((enum head)i), &head));
        ck_assert_int_eq(head, i);
        for (int value = 0; value <= 6; value++) {
            const char *name = glyph_smufl_name(head_glyph((enum head)i, value));
            ck_assert(head_from_word(name, &head));
            ck_assert_int_eq(head, i);
        }
    }
    enum head none;
    ck_assert(!head_from_word("oval", &none));
    /* SMuFL 1.40: U+E0A2 whole, U+E0A3 half, U+E0A4 black */
    ck_assert_uint_eq(glyph_codepoint(head_glyph(HEAD_ROUND, 0)), 0xE0A2);
    ck_assert_uint_eq(glyph_codepoint(head_glyph(HEAD_ROUND, 1)), 0xE0A3);
    ck_assert_uint_eq(glyph_codepoint(head_glyph(HEAD_ROUND, 2)), 0xE0A4);
    ck_assert_uint_eq(glyph_codepoint(head_glyph(HEAD_ROUND, 6)), 0xE0A4);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("voice");
    tcase_add_loop_test(cases, a_voice_has_its_general_midi_key, 0,
                        (int)(sizeof keys / sizeof *keys));
    tcase_add_loop_test(cases, a_voice_stands_in_its_place, 0,
                        (int)(sizeof places / sizeof *places));
    tcase_add_test(cases, every_voice_can_be_told_from_the_others);
    tcase_add_test(cases, feet_play_what_feet_play);
    tcase_add_test(cases, heads_have_plain_words_and_the_names_of_the_standard);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("voice");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
