/* Bars in the order in which they are played. Expected orders are worked out by hand. */
#include "built.h"

#include "base/buffer.h"
#include "model/playback.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>

/* "1 2' 1" : bar numbers, a tick for each time through after the first; `p` a pickup, `/` before
   an exercise that begins. */
static const char *told(const struct built *built, size_t exercise, uint16_t most)
{
    struct buffer text = {0};
    struct playback playback;
    struct played_bar played;
    struct fraction now = FRACTION_ZERO;
    playback_begin(&playback, built->score, &built->score->exercises[exercise], most);
    while (playback_next(&playback, &played)) {
        ck_assert_ptr_eq(played.bar, &played.exercise->bars[played.index]);
        ck_assert(fraction_equal(played.start, now));
        now = fraction_add(now, played.bar->length);
        buffer_add_text(&text, text.length ? " " : "");
        buffer_add_text(&text, played.begins ? "/" : "");
        if (played.bar->pickup)
            buffer_add_text(&text, "p");
        else
            buffer_format(&text, "%u", played.bar->number);
        if (played.pass > 1)
            buffer_format(&text, "'%u", played.pass);
    }
    const char *kept = arena_copy_text(built->arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return kept;
}

#define HEAD "title: T\nsubdivision: quarters\nsticking: RL\nexercises:\n"

static const struct {
    const char *text;
    size_t exercise;
    uint16_t most;
    const char *order;
} orders[] = {
    {HEAD "  - bars: 3\n", 0, 0, "/1 2 3"},
    {HEAD "  - {bars: 2, repeat: 3}\n", 0, 0, "/1 2 1'2 2'2 1'3 2'3"},
    {HEAD "  - {bars: 1, repeat: 999}\n", 0, 3, "/1 1'2 1'999"},
    {HEAD "  - {bars: 1, repeat: 3}\n", 0, 3, "/1 1'2 1'3"},
    {HEAD "  - {bars: 1, repeat: 9}\n", 0, 1, "/1 1'9"},
    {HEAD "  - {pickup: {rhythm: 4}, bars: 1, repeat: 2}\n", 0, 0, "/p 1 1'2"},
    {HEAD "  - bars: [{}, {repeat: 3}, {}]\n", 0, 0, "/1 2 2'2 2'3 3"},
    {HEAD "  - bars: [{repeat: 2}, {repeat: 2}]\n", 0, 0, "/1 1'2 2 2'2"},
    {HEAD "  - {bars: 1, repeat: 3, endings: {1 2: [{}, {}], 3: {}}}\n", 0, 0,
     "/1 2 3 1'2 2'2 3'2 1'3 4'3"},
    {HEAD "  - {bars: 1, repeat: 9, endings: {1..7: {}, 8 9: {}}}\n", 0, 2,
     "/1 2 1'7 2'7 1'8 3'8 1'9 3'9"},
    {HEAD "  - {id: a, bars: 2}\n  - {id: b, bars: 1, repeat: 2}\n  - sequence: a*2 b\n", 2, 0,
     "/1 2 /1 2 /1"}, /* how often is the form's to say */
    {HEAD "  - {id: a, bars: [{}, {repeat: 2}]}\n  - sequence: a*2\n", 1, 0, "/1 2 2'2 /1 2 2'2"},
    {HEAD "  - {id: a, bars: 1}\n  - {id: f, sequence: a*2}\n  - sequence: f*3 a\n", 2, 0,
     "/1 /1 /1 /1 /1 /1 /1"},
    {HEAD "  - {id: a, bars: 1}\n  - sequence: a*500\n", 1, 2, "/1 /1"},
    /* jumps, unfolded as players do (common practice): to the beginning (da capo) or the segno (dal
       segno), then on to the fine, or at "to coda" over to the coda */
    {HEAD "  - bars: [{}, {fine: yes}, {}, {jump: D.C. al fine}]\n", 0, 0, "/1 2 3 4 1 2"},
    {HEAD "  - bars: [{}, {segno: yes}, {fine: yes}, {}, {jump: D.S. al fine}]\n", 0, 0,
     "/1 2 3 4 5 2 3"},
    {HEAD "  - bars: [{}, {to: coda}, {jump: D.C. al coda}, {coda: yes}, {}]\n", 0, 0,
     "/1 2 3 1 2 4 5"},
    {HEAD "  - bars: [{}, {segno: yes}, {to: coda}, {}, {jump: D.S. al coda}, {coda: yes}]\n", 0, 0,
     "/1 2 3 4 5 2 3 6"},
    /* without words the fine ends it; no repeats after the jump */
    {HEAD "  - bars: [{repeat: 2}, {fine: yes}, {repeat: 3}, {jump: D.C.}]\n", 0, 0,
     "/1 1'2 2 3 3'2 3'3 4 1 2"},
    /* the jump comes after the last time through, and goes to where it is written itself */
    {HEAD "  - {repeat: 2, bars: [{}, {segno: yes}, {fine: yes, jump: ds}]}\n", 0, 0,
     "/1 2 3 1'2 2'2 3'2 2 3"},
    {HEAD "  - bars: [{repeat: 3, segno: yes, to: coda, jump: dal segno al coda}, {coda: yes}]\n",
     0, 0, "/1 1'2 1'3 1 2"},
    /* signs for several bars: what begins is at the first of them, what ends at the last */
    {HEAD
     "  - bars: [{}, {segno: yes, times: 2}, {to: coda, same: 2}, {jump: D.S. al coda, rest: 2}, "
     "{coda: yes, rest: 2}]\n",
     0, 0, "/1 2 3 4 5 6 7 2 3 4 5 8 9"},
    {HEAD "  - {pickup: {rhythm: 4}, bars: [{fine: yes}, {jump: D.C.}]}\n", 0, 0, "/p 1 2 p 1"},
    {HEAD "  - {id: a, repeat: 5, bars: [{fine: yes}, {jump: D.C.}]}\n  - sequence: a*2\n", 1, 0,
     "/1 2 1 /1 2 1"},
    {HEAD "  - bars: [{repeat: 9}, {fine: yes}, {jump: D.C.}]\n", 0, 2, "/1 1'9 2 3 1 2"},
};

START_TEST(bars_come_as_they_are_played)
{
    struct built built = built_right(orders[_i].text);
    ck_assert_str_eq(told(&built, orders[_i].exercise, orders[_i].most), orders[_i].order);
    built_release(&built);
}
END_TEST

START_TEST(of_two_leads_a_form_plays_the_first)
{
    struct built built = built_right(HEAD "  - {id: a, lead: both}\n  - sequence: a\n");
    struct playback playback;
    struct played_bar played;
    playback_begin(&playback, built.score, &built.score->exercises[2], 0);
    ck_assert(playback_next(&playback, &played));
    ck_assert_ptr_eq(played.exercise, &built.score->exercises[0]);
    ck_assert(!playback_next(&playback, &played));
    built_release(&built);
}
END_TEST

/* Each form plays the one before it twice: what stands too deep is left out and said. */
START_TEST(forms_end)
{
    struct buffer text = {0};
    buffer_add_text(&text, HEAD "  - {id: f0}\n");
    for (int i = 1; i < 40; i++)
        buffer_format(&text, "  - {id: f%d, sequence: f%d*2}\n", i, i - 1);
    struct built built = built_right(buffer_text(&text));
    struct playback playback;
    struct played_bar played;
    playback_begin(&playback, built.score, &built.score->exercises[39], 0);
    ck_assert(!playback_next(&playback, &played) && playback.cut);
    playback_begin(&playback, built.score, &built.score->exercises[PLAYBACK_DEPTH_MAX - 1], 0);
    size_t bars = 0;
    while (playback_next(&playback, &played))
        bars++;
    ck_assert_uint_eq(bars, 1u << (PLAYBACK_DEPTH_MAX - 1));
    ck_assert(!playback.cut);
    built_release(&built);
    buffer_release(&text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("playback");
    TCase *tcase = tcase_create("playback");
    tcase_add_loop_test(tcase, bars_come_as_they_are_played, 0, sizeof orders / sizeof *orders);
    tcase_add_test(tcase, of_two_leads_a_form_plays_the_first);
    tcase_add_test(tcase, forms_end);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
