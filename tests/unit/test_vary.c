/*
 * `vary`: how many variations there are, which, and how they are drawn.
 *
 * Counts and the music itself are compared with an enumeration in plain loops, which writes each
 * variation in other keys than the program does; counts of known spaces with binomials and powers
 * by GMP (the GNU multiple precision arithmetic library), and with binary necklaces as the OEIS
 * lists them (A000031, from memory).
 */
#include "base/buffer.h"
#include "built.h"
#include "read/derive.h"
#include "suite.h"
#include "vary/dice.h"
#include "vary/grades.h"
#include "vary/reasons.h"
#include "vary/variations.h"
#include "vary/vary_words.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static uint64_t seed;

static unsigned chance(unsigned below)
{
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(seed >> 33) % below;
}

/* ---- spaces of lessons -------------------------------------------------------------------- */

struct opened {
    struct built built;
    struct space *space;
    const char *text;
};

static struct opened open_lesson(const char *text)
{
    struct opened opened = {.text = text};
    opened.built = built_right(text);
    opened.space = space_new(opened.built.score, &opened.built.score->exercises[0]);
    ck_assert_int_ne(opened.space->fault, SPACE_TOO_LARGE);
    return opened;
}

static void close_lesson(struct opened *opened)
{
    space_free(opened->space);
    built_release(&opened->built);
}

static void expect_count(const char *text, const char *count)
{
    struct opened opened = open_lesson(text);
    ck_assert_str_eq(space_number(opened.space, opened.space->count), count);
    close_lesson(&opened);
}

/* An exercise in eighths with these keys. */
#define EIGHTHS(keys) "exercises:\n  - subdivision: eighths\n" keys
#define SIXTEENTHS(keys) "exercises:\n  - subdivision: sixteenths\n" keys

/* ---- known spaces ------------------------------------------------------------------------- */

START_TEST(kicks_are_binomials)
{
    for (unsigned long k = 0; k <= 16; k++) {
        char text[200], count[40];
        mpz_t binomial;
        mpz_init(binomial);
        mpz_bin_uiui(binomial, 16, k);
        gmp_snprintf(count, sizeof count, "%Zd", binomial);
        snprintf(
            text, sizeof text,
            SIXTEENTHS("    sticking: RLRL\n    vary: {kick: {from: sixteenths, count: %lu}}\n"),
            k);
        expect_count(text, count);
        mpz_clear(binomial);
    }
}
END_TEST

START_TEST(voices_are_powers)
{
    char count[80];
    mpz_t power;
    mpz_init(power);
    mpz_ui_pow_ui(power, 4, 64);
    gmp_snprintf(count, sizeof count, "%Zd", power);
    expect_count(SIXTEENTHS("    sticking: R\n    bars: 4\n"
                            "    vary: {R: [snare, hi-hat, ride, crash]}\n"),
                 count);
    mpz_clear(power);
}
END_TEST

START_TEST(orders_of_pieces_are_multinomials)
{
    expect_count(EIGHTHS("    sticking: RLL RLL RL\n    vary: {permute: 3 3 2}\n"), "3");
    expect_count(SIXTEENTHS("    sticking: RLLR LLRL RRLL RLRL\n    vary: {permute: 3 3 3 3 4}\n"),
                 "20"); /* 5! / 3!: three are RLL */
}
END_TEST

/* Two to the number of strokes that can have an accent; a stroke that may be a ghost has three
   forms. */
START_TEST(marks_are_added_to_plain_strokes_alone)
{
    expect_count(EIGHTHS("    sticking: R>L(R)L\n    vary: {accents: eighths}\n"), "16");
    expect_count(EIGHTHS("    sticking: RL\n    play: {L: snare ghost}\n"
                         "    vary: {accents: {}}\n"),
                 "16");
    expect_count(EIGHTHS("    sticking: RL\n    at: {1: accent, 2: rest}\n"
                         "    vary: {accents: {}}\n"),
                 "64");
    expect_count(EIGHTHS("    sticking: RL\n    ghosts: 1 2\n    vary: {accents: {}}\n"), "64");
    expect_count(EIGHTHS("    sticking: RL\n"
                         "    vary: {L: [snare, snare ghost], accents: {}}\n"),
                 "1296");
    expect_count(EIGHTHS("    sticking: RL\n    vary: {accents: {}, ghosts: {}}\n"), "6561");
}
END_TEST

/* Binary necklaces of 6, 7, 8 and 16 beads. */
START_TEST(rotations_are_necklaces)
{
    expect_count(EIGHTHS("    sticking: R\n    vary: {accents: eighths, distinct: rotation}\n"),
                 "36");
    expect_count(SIXTEENTHS("    sticking: R\n    vary: {accents: {}, distinct: rotation}\n"),
                 "4116");
    expect_count("exercises:\n  - time: 7/8\n    subdivision: eighths\n    sticking: R\n"
                 "    vary: {kick: eighths, distinct: rotation}\n",
                 "20");
    expect_count("exercises:\n  - time: 3/4\n    subdivision: eighths\n    sticking: R\n"
                 "    vary: {kick: eighths, distinct: rotation}\n",
                 "14");
}
END_TEST

/* ---- by enumeration ----------------------------------------------------------------------- */

/* What is struck, as a text: equal texts, equal music. */
static const char *music_of(const struct score *score, struct arena *arena)
{
    struct buffer out = {0};
    const struct score_exercise *exercise = &score->exercises[0];
    for (size_t b = 0; b < exercise->bar_count; b++)
        for (int l = 0; l < LINE_COUNT; l++)
            for (uint32_t i = 0; i < exercise->bars[b].lines[l].leaf_count; i++) {
                const struct leaf *leaf = &exercise->bars[b].lines[l].leaves[i];
                for (size_t h = 0; leaf_struck(leaf) && h < leaf->note->hit_count; h++)
                    buffer_format(&out, "%zu:%d/%d %d %d %x\n", b, (int)leaf->onset.numerator,
                                  (int)leaf->onset.denominator, leaf->note->hits[h].limb,
                                  leaf->note->hits[h].voice,
                                  hit_marks(leaf->note, &leaf->note->hits[h]));
            }
    return buffer_keep(&out, arena);
}

struct texts {
    const char **items;
    size_t count, room;
};

static int compare_texts(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void sort_texts(struct texts *texts)
{
    size_t kept = 0;
    vector_sort(texts, compare_texts);
    for (size_t i = 0; i < texts->count; i++)
        if (!kept || strcmp(texts->items[kept - 1], texts->items[i]) != 0)
            texts->items[kept++] = texts->items[i];
    texts->count = kept;
}

static void add_music(const char *text, struct texts *texts, struct arena *arena)
{
    struct built built = built_right(text);
    *vector_push(texts, arena) = music_of(built.score, arena);
    built_release(&built);
}

/* A small space: 8 slots in two bars of 2/4, or one of 4/4. */
struct small {
    unsigned bars;    /* 1 or 2 */
    char sticking[9]; /* 2, 4 or 8 strokes */
    bool varies[2];   /* R, L */
    bool rotate, accents, ghosts, kick;
    unsigned pieces[4], piece_count;
    unsigned accents_from, ghosts_from, kick_from; /* bits by slot */
    unsigned accents_least, accents_most, kick_least, kick_most;
    int kept_kick, kept_snare; /* slots, or -1 */
};

enum { SLOTS = 8 };
static const char *const own_voices[2][2] = {{"hi-hat", "ride"}, {"snare", "floor-tom"}};

static const char *slot_name(const struct small *small, unsigned slot, bool in_bar)
{
    static const char *const names[] = {"1", "1&", "2", "2&", "3", "3&", "4", "4&"};
    static const char *const two[] = {"1:1", "1:1&", "1:2", "1:2&", "2:1", "2:1&", "2:2", "2:2&"};
    if (small->bars == 1)
        return names[slot];
    return in_bar ? names[slot % 4] : two[slot];
}

static void add_slots(const struct small *small, unsigned slots, struct buffer *out)
{
    unsigned per_bar = SLOTS / small->bars;
    buffer_add_text(out, small->bars > 1 ? "[" : "");
    for (unsigned bar = 0; bar < small->bars; bar++) {
        unsigned here = slots >> bar * per_bar & ((1u << per_bar) - 1);
        buffer_add_text(out, bar ? ", " : "");
        buffer_add_text(out, here ? "" : "none");
        for (unsigned s = 0, n = 0; s < per_bar; s++)
            if (here >> s & 1)
                buffer_format(out, "%s%s", n++ ? " " : "",
                              slot_name(small, bar * per_bar + s, true));
    }
    buffer_add_text(out, small->bars > 1 ? "]" : "");
}

static void add_head(const struct small *small, struct buffer *out)
{
    buffer_format(out, "exercises:\n  - time: %s\n    subdivision: eighths\n    bars: %u\n",
                  small->bars == 1 ? "4/4" : "2/4", small->bars);
}

static const char *vary_text(const struct small *small, struct arena *arena)
{
    struct buffer out = {0};
    add_head(small, &out);
    buffer_format(&out, "    sticking: %s\n    vary:\n", small->sticking);
    for (int hand = 0; hand < 2; hand++)
        if (small->varies[hand])
            buffer_format(&out, "      %c: [%s, %s]\n", "RL"[hand], own_voices[hand][0],
                          own_voices[hand][1]);
    if (small->rotate)
        buffer_add_text(&out, "      rotate: yes\n");
    if (small->piece_count) {
        buffer_add_text(&out, "      permute:");
        for (unsigned i = 0; i < small->piece_count; i++)
            buffer_format(&out, " %u", small->pieces[i]);
        buffer_add_text(&out, "\n");
    }
    if (small->accents) {
        buffer_add_text(&out, "      accents: {from: ");
        add_slots(small, small->accents_from, &out);
        buffer_format(&out, ", count: %u-%u}\n", small->accents_least, small->accents_most);
    }
    if (small->ghosts) {
        buffer_add_text(&out, "      ghosts: ");
        add_slots(small, small->ghosts_from, &out);
        buffer_add_text(&out, "\n");
    }
    if (small->kick) {
        buffer_add_text(&out, "      kick: {from: ");
        add_slots(small, small->kick_from, &out);
        buffer_format(&out, ", count: %u to %u}\n", small->kick_least, small->kick_most);
    }
    if (small->kept_kick >= 0 || small->kept_snare >= 0)
        buffer_add_text(&out, "      keep:\n");
    if (small->kept_kick >= 0)
        buffer_format(&out, "        %s: bass-drum\n",
                      slot_name(small, (unsigned)small->kept_kick, false));
    if (small->kept_snare >= 0)
        buffer_format(&out, "        %s: mid-tom accent\n",
                      slot_name(small, (unsigned)small->kept_snare, false));
    return buffer_keep(&out, arena);
}

/* One variation, all its voices in a line. */
static const char *plain_text(const struct small *small, const char *strokes, unsigned voices,
                              unsigned accents, unsigned ghosts, unsigned kick, struct arena *arena)
{
    struct buffer out = {0};
    add_head(small, &out);
    buffer_format(&out, "    sticking: %s\n    voices:", strokes);
    for (unsigned s = 0; s < SLOTS; s++) {
        int hand = strokes[s] == 'L';
        if (strokes[s] != '.')
            buffer_format(&out, " %s",
                          (int)s == small->kept_snare ? "mid-tom"
                          : small->varies[hand]       ? own_voices[hand][voices >> s & 1]
                                                      : "snare");
    }
    if (accents) {
        buffer_add_text(&out, "\n    accents: ");
        add_slots(small, accents, &out);
    }
    if (ghosts) {
        buffer_add_text(&out, "\n    ghosts: ");
        add_slots(small, ghosts, &out);
    }
    if (kick) {
        buffer_add_text(&out, "\n    kick: ");
        add_slots(small, kick, &out);
    }
    buffer_add_text(&out, "\n");
    return buffer_keep(&out, arena);
}

static bool is_among(unsigned count, unsigned least, unsigned most)
{
    return count >= least && count <= most;
}

static unsigned bits(unsigned set)
{
    return (unsigned)__builtin_popcount(set);
}

/* Whether every part of a variation keeps to the limits; each limit in a line of its own. */
static bool is_allowed(const struct small *small, const char *strokes, unsigned voices,
                       unsigned accents, unsigned ghosts)
{
    unsigned struck = 0, choosing = 0;
    unsigned kept = small->kept_snare >= 0 ? 1u << small->kept_snare : 0;
    for (unsigned s = 0; s < SLOTS; s++) {
        struck |= (unsigned)(strokes[s] != '.') << s;
        choosing |= (unsigned)(strokes[s] != '.' && small->varies[strokes[s] == 'L']) << s;
    }
    choosing &= ~kept;
    if (kept & ~struck)
        return false;
    if (voices & ~choosing)
        return false; /* a voice that is none to choose */
    if ((accents | ghosts) & ~struck)
        return false;
    if ((accents & ~(small->accents ? small->accents_from : 0u) & ~kept) || (kept & ~accents))
        return false;
    if (ghosts & ~(small->ghosts ? small->ghosts_from : 0u))
        return false;
    if (accents & ghosts)
        return false;
    return !small->accents || is_among(bits(accents), small->accents_least, small->accents_most);
}

static void add_kicks(const struct small *small, const char *strokes, unsigned voices,
                      unsigned accents, unsigned ghosts, struct texts *texts, struct arena *arena)
{
    unsigned kept = small->kept_kick >= 0 ? 1u << small->kept_kick : 0;
    for (unsigned kick = 0; kick < (small->kick ? 256 : 1); kick++)
        if (!small->kick || (!(kick & ~small->kick_from) && !(kept & ~kick) &&
                             is_among(bits(kick), small->kick_least, small->kick_most)))
            *vector_push(texts, arena) =
                plain_text(small, strokes, voices, accents, ghosts, kick, arena);
}

static void add_marked(const struct small *small, const char *strokes, struct texts *texts,
                       struct arena *arena)
{
    for (unsigned voices = 0; voices < 256; voices++)
        for (unsigned accents = 0; accents < 256; accents++)
            for (unsigned ghosts = 0; ghosts < 256; ghosts++) {
                if (ghosts == 0 && !is_allowed(small, strokes, voices, accents, 0))
                    break; /* ghosts only make it worse */
                if (is_allowed(small, strokes, voices, accents, ghosts))
                    add_kicks(small, strokes, voices, accents, ghosts, texts, arena);
            }
}

/* The sticking as it goes round over all slots, from each stroke on if it rotates. */
static void add_rotations(const struct small *small, const char *sticking, struct texts *stickings,
                          struct arena *arena)
{
    size_t length = strlen(sticking);
    for (size_t turn = 0; turn < (small->rotate ? length : 1); turn++) {
        char strokes[SLOTS + 1] = "";
        for (size_t s = 0; s < SLOTS; s++)
            strokes[s] = sticking[(turn + s) % length];
        *vector_push(stickings, arena) = arena_copy_text(arena, strokes, SLOTS);
    }
}

static void add_orders(const struct small *small, unsigned left, const char *begun,
                       struct texts *stickings, struct arena *arena)
{
    if (!left) {
        add_rotations(small, begun, stickings, arena);
        return;
    }
    for (unsigned i = 0, from = 0; i < small->piece_count; from += small->pieces[i++])
        if (left >> i & 1)
            add_orders(
                small, left & ~(1u << i),
                arena_format(arena, "%s%.*s", begun, (int)small->pieces[i], small->sticking + from),
                stickings, arena);
}

static size_t enumerate(const struct small *small, struct texts *texts, struct arena *arena)
{
    struct texts stickings = {0};
    if (small->piece_count)
        add_orders(small, (1u << small->piece_count) - 1, "", &stickings, arena);
    else
        add_rotations(small, small->sticking, &stickings, arena);
    sort_texts(&stickings);
    for (size_t i = 0; i < stickings.count; i++)
        add_marked(small, stickings.items[i], texts, arena);
    size_t all = texts->count;
    sort_texts(texts);
    return all;
}

/* The lesson that the program writes for these letters. */
static const char *written(const struct opened *opened, const uint32_t *letters,
                           struct arena *arena)
{
    struct vary_key keys[VARY_KEYS_MAX];
    struct derived_key derived[VARY_KEYS_MAX];
    size_t count = vary_keys_of(opened->space, letters, keys, arena);
    for (size_t i = 0; i < count; i++)
        derived[i] = (struct derived_key){keys[i].key, keys[i].text, keys[i].entries};
    struct derived_map copy = {derived, count};
    struct derivation derivation = {.comment = "#", .copies = &copy, .copy_count = 1};
    struct buffer out = {0};
    ck_assert(read_derive((struct read_source){"t", opened->text, strlen(opened->text)},
                          &derivation, &out));
    return buffer_keep(&out, arena);
}

static void write_all(const struct opened *opened, struct texts *texts, struct arena *arena)
{
    uint32_t letters[SLOTS];
    mpz_t number;
    mpz_init(number);
    for (; mpz_cmp(number, opened->space->pairs) < 0; mpz_add_ui(number, number, 1)) {
        space_word(opened->space, number, letters);
        ck_assert(space_has(opened->space, letters));
        add_music(written(opened, letters, arena), texts, arena);
    }
    mpz_clear(number);
}

static unsigned some_slots(void)
{
    unsigned set = 0;
    for (unsigned s = 0; s < SLOTS; s++)
        set |= (unsigned)(chance(3) == 0) << s;
    return set;
}

static struct small random_small(void)
{
    static const char *const stickings[] = {"RL",       "RRLL", "RLRRLRLL", "RLLRLLRL",
                                            "R.LR.LRL", "RLR.", "LLRL",     "R.R.L.RL"};
    struct small small = {.bars = 1 + chance(2), .kept_kick = -1, .kept_snare = -1};
    strcpy(small.sticking, stickings[chance(8)]);
    small.varies[0] = chance(3) == 0;
    small.varies[1] = chance(3) == 0;
    small.rotate = chance(3) == 0;
    small.accents = chance(2);
    small.ghosts = chance(4) == 0;
    small.kick = chance(2);
    small.accents_from = some_slots();
    small.ghosts_from = some_slots();
    small.kick_from = some_slots() | 1;
    small.accents_least = chance(2);
    small.accents_most = small.accents_least + chance(3);
    small.kick_least = chance(2);
    small.kick_most = small.kick_least + chance(3);
    if (strlen(small.sticking) == SLOTS && chance(2)) {
        static const unsigned pieces[][4] = {{3, 3, 2}, {4, 4}, {2, 2, 2, 2}, {5, 3}, {1, 3, 4}};
        unsigned which = chance(5);
        memcpy(small.pieces, pieces[which], sizeof small.pieces);
        while (small.piece_count < 4 && small.pieces[small.piece_count])
            small.piece_count++;
    }
    if (small.kick && chance(3) == 0)
        small.kept_kick = 0;
    if (small.accents && chance(3) == 0 && small.sticking[2] != '.')
        small.kept_snare = 2;
    return small;
}

static bool changes(const struct small *small)
{
    return small->varies[0] || small->varies[1] || small->rotate || small->accents ||
           small->ghosts || small->kick || small->piece_count;
}

/* R and L must be strokes of the sticking, and words must not be too many. */
static bool is_usable(const struct small *small)
{
    unsigned slots = bits(small->ghosts ? small->ghosts_from : 0);
    return changes(small) && slots < 4 && (!small->varies[0] || strchr(small->sticking, 'R')) &&
           (!small->varies[1] || strchr(small->sticking, 'L'));
}

static void compare_small(const struct small *small)
{
    struct arena *arena = arena_new();
    struct texts expected = {0}, found = {0}, music = {0};
    size_t all = enumerate(small, &expected, arena);
    struct opened opened = open_lesson(vary_text(small, arena));
    ck_assert_msg(mpz_cmp_ui(opened.space->count, all) == 0 && expected.count == all,
                  "%s\n%s, by enumeration %zu (%zu different)", opened.text,
                  space_number(opened.space, opened.space->count), all, expected.count);
    if (all <= 400) {
        for (size_t i = 0; i < all; i++)
            add_music(expected.items[i], &music, arena);
        sort_texts(&music);
        ck_assert_uint_eq(music.count, all);
        write_all(&opened, &found, arena);
        size_t drawn = found.count;
        sort_texts(&found);
        ck_assert_uint_eq(drawn, found.count);
        for (size_t i = 0; i < all; i++)
            ck_assert_str_eq(found.items[i], music.items[i]);
    }
    close_lesson(&opened);
    arena_free(arena);
}

START_TEST(counts_equal_enumeration)
{
    seed = 20;
    for (int tried = 0; tried < 60;) {
        struct small small = random_small();
        if (!is_usable(&small))
            continue;
        compare_small(&small);
        tried++;
    }
}
END_TEST

/* ---- rotations by enumeration ------------------------------------------------------------- */

/* A pattern of eight slots: hands as a text, accents and kicks as bits. */
struct pattern {
    char strokes[SLOTS + 1];
    unsigned accents, kick;
};

static unsigned turned(unsigned set, unsigned by)
{
    return (set >> by | set << (SLOTS - by)) & 0xFF;
}

static struct pattern turned_pattern(const struct pattern *pattern, unsigned by)
{
    struct pattern out = {"", turned(pattern->accents, by), turned(pattern->kick, by)};
    for (unsigned s = 0; s < SLOTS; s++)
        out.strokes[s] = pattern->strokes[(s + by) % SLOTS];
    return out;
}

/* Whether a pattern is the first of those that it can be turned into by `step` slots. */
static bool is_first_turn(const struct pattern *pattern, unsigned step)
{
    for (unsigned by = step; by < SLOTS; by += step) {
        struct pattern other = turned_pattern(pattern, by);
        int order = strcmp(other.strokes, pattern->strokes);
        order = order ? order : (int)other.accents - (int)pattern->accents;
        order = order ? order : (int)other.kick - (int)pattern->kick;
        if (order < 0)
            return false;
    }
    return true;
}

static const struct {
    const char *sticking, *vary;
    unsigned rotations, step; /* of the sticking; slots that a turn takes */
    unsigned accents, kicks;  /* exactly so many; 9: none vary */
    unsigned accents_of;      /* the slots that may have accents */
} round_spaces[] = {
    {"RL", "accents: {count: 3}, distinct: rotation", 1, 2, 3, 9, 0xFF},
    {"RL", "accents: {count: 4}, rotate: yes, distinct: rotation", 2, 1, 4, 9, 0xFF},
    {"RRLL", "accents: {count: 2}, rotate: yes, distinct: rotation", 4, 1, 2, 9, 0xFF},
    {"RRLL", "accents: {count: 4}, kick: {count: 2}, rotate: yes, distinct: rotation", 4, 1, 4, 2,
     0xFF},
    {"RLRRLRLL", "accents: {count: 2}, kick: {count: 4}, rotate: yes, distinct: rotation", 8, 1, 2,
     4, 0xFF},
    {"R", "accents: {from: quarters, count: 2}, kick: {count: 4}, distinct: rotation", 1, 2, 2, 4,
     0x55},
    {"RLL", "accents: {count: 1}, distinct: rotation", 1, 8, 1, 9, 0xFF},
};

static size_t count_turns(size_t which)
{
    size_t count = 0, length = strlen(round_spaces[which].sticking);
    unsigned wanted = round_spaces[which].accents, kicks = round_spaces[which].kicks;
    for (unsigned turn = 0; turn < round_spaces[which].rotations; turn++)
        for (unsigned accents = 0; accents < 256; accents++)
            for (unsigned kick = 0; kick < (kicks == 9 ? 1 : 256); kick++) {
                struct pattern pattern = {"", accents, kick};
                for (unsigned s = 0; s < SLOTS; s++)
                    pattern.strokes[s] = round_spaces[which].sticking[(turn + s) % length];
                count += bits(accents) == wanted && (kicks == 9 || bits(kick) == kicks) &&
                         !(accents & ~round_spaces[which].accents_of) &&
                         is_first_turn(&pattern, round_spaces[which].step);
            }
    return count;
}

START_TEST(turns_equal_enumeration)
{
    char text[300];
    snprintf(text, sizeof text, EIGHTHS("    sticking: %s\n    vary: {%s}\n"),
             round_spaces[_i].sticking, round_spaces[_i].vary);
    struct opened opened = open_lesson(text);
    ck_assert_uint_eq(opened.space->step, round_spaces[_i].step);
    ck_assert_int_eq(opened.space->fault == SPACE_NO_ROTATION, round_spaces[_i].step == SLOTS);
    ck_assert_uint_eq(mpz_get_ui(opened.space->count), count_turns((size_t)_i));
    close_lesson(&opened);
}
END_TEST

/* ---- drawing ------------------------------------------------------------------------------ */

/* The first words of seed 1234567, as the generator's users publish them (from memory). */
START_TEST(the_generator_is_the_published_one)
{
    struct dice dice = {1234567};
    ck_assert_uint_eq(dice_word(&dice), UINT64_C(6457827717110365317));
    ck_assert_uint_eq(dice_word(&dice), UINT64_C(3203168211198807973));
    ck_assert_uint_eq(dice_word(&dice), UINT64_C(9817491932198370423));
    ck_assert_uint_eq(dice_word(&dice), UINT64_C(4593380528125082431));
    ck_assert_uint_eq(dice_word(&dice), UINT64_C(16408922859458223821));
}
END_TEST

struct tally {
    uint32_t *words; /* drawn for the first time, one after the other */
    size_t *times;
    size_t count, columns;
};

static void tally_word(struct tally *tally, const uint32_t *letters)
{
    size_t size = tally->columns * sizeof *letters, i = 0;
    while (i < tally->count && memcmp(tally->words + i * tally->columns, letters, size) != 0)
        i++;
    if (i == tally->count)
        memcpy(tally->words + tally->count++ * tally->columns, letters, size);
    tally->times[i]++;
}

/*
 * Draws `each` times as many words as there are, and gives chi-square over them. It is drawn
 * without regard to what came before, as a picker does that then leaves out what came twice.
 */
static double chi_square(const struct opened *opened, uint64_t first, size_t each)
{
    const struct space *space = opened->space;
    size_t count = mpz_get_ui(space->count), columns = space->columns->count;
    struct tally tally = {calloc(count * columns, sizeof(uint32_t)), calloc(count, sizeof(size_t)),
                          0, columns};
    struct dice dice = {first};
    uint32_t *letters = calloc(columns, sizeof *letters);
    double sum = 0;
    mpz_t pair;
    mpz_init(pair);
    for (size_t i = 0; i < count * each; i++) {
        dice_below(&dice, space->pairs, pair);
        space_word(space, pair, letters);
        tally_word(&tally, letters);
    }
    ck_assert_uint_eq(tally.count, count);
    for (size_t i = 0; i < count; i++) {
        double off = (double)tally.times[i] - (double)each;
        sum += off * off / (double)each;
    }
    mpz_clear(pair);
    free(tally.words);
    free(tally.times);
    free(letters);
    return sum;
}

/*
 * Chi-square with so many words less one degrees of freedom lies between these two in 998 of 1,000
 * cases: its quantiles 0.001 and 0.999 by the approximation of Wilson and Hilferty (1931).
 */
static const struct {
    const char *vary;
    size_t count;
    double least, most;
} drawn_spaces[] = {
    {"{kick: {from: eighths, count: 4}}", 70, 38.24, 111.12},
    {"{accents: eighths, distinct: rotation}", 36, 14.61, 66.71},
    {"{R: [snare, ride], keep: {1: snare, 2: snare, 3: snare, 4: snare}}", 16, 3.39, 37.84},
};

START_TEST(draws_are_even)
{
    char text[200];
    snprintf(text, sizeof text, EIGHTHS("    sticking: R\n    vary: %s\n"), drawn_spaces[_i].vary);
    struct opened opened = open_lesson(text);
    ck_assert_uint_eq(mpz_get_ui(opened.space->count), drawn_spaces[_i].count);
    double found = chi_square(&opened, 7, 400);
    ck_assert_msg(found > drawn_spaces[_i].least && found < drawn_spaces[_i].most, "%g", found);
    close_lesson(&opened);
}
END_TEST

/* ---- grades ------------------------------------------------------------------------------- */

/* Whole spaces from the simplest variation on, put in order by hand as ratamark(1) says. */
static const struct {
    const char *keys, *graded;
} graded_spaces[] = {
    {"sticking: RLRR\n    vary: {rotate: yes}",
     "sticking R R R L\nsticking R R L R\nsticking R L R R\nsticking L R R R\n"},
    {"sticking: RLR.\n    vary: {permute: 2 2}", "sticking R L R .\nsticking R . R L\n"},
    {"sticking: R\n    vary: {ghosts: {from: 1 2, count: 1}, hat-foot: {from: 2 4}}",
     "ghosts 1, hat-foot -\nghosts 2, hat-foot -\n"
     "ghosts 1, hat-foot 2\nghosts 1, hat-foot 4\nghosts 2, hat-foot 2\nghosts 2, hat-foot 4\n"
     "ghosts 1, hat-foot 2 4\nghosts 2, hat-foot 2 4\n"},
    {"sticking: RL\n    vary: {R: [snare, ride], L: [snare, mid-tom, high-tom], "
     "keep: {3: snare, 4: snare}}",
     "play {R: snare, L: snare}\n"
     "play {R: snare, L: [mid-tom, snare]}\nplay {R: snare, L: [high-tom, snare]}\n"
     "play {R: [ride, snare], L: snare}\n"
     "play {R: [ride, snare], L: [mid-tom, snare]}\n"
     "play {R: [ride, snare], L: [high-tom, snare]}\n"},
    {"sticking: R\n    vary: {accents: {from: 3 4}, kick: {from: 1 2}, keep: {1: bass-drum}}",
     "accents -, kick 1\n"
     "accents 3, kick 1\naccents 4, kick 1\naccents -, kick 1 2\n"
     "accents 3 4, kick 1\naccents 3, kick 1 2\naccents 4, kick 1 2\n"
     "accents 3 4, kick 1 2\n"},
};

/* Its keys, but for what `keep` adds to all. */
static void add_variation(const struct opened *opened, const uint32_t *letters, struct buffer *out)
{
    struct vary_key keys[VARY_KEYS_MAX];
    size_t count = vary_keys_of(opened->space, letters, keys, opened->built.arena);
    for (size_t i = 0; i < count; i++)
        if (!keys[i].entries)
            buffer_format(out, "%s%s %s", i ? ", " : "", keys[i].key,
                          keys[i].text ? keys[i].text : "-");
    buffer_add_text(out, "\n");
}

static uint32_t **all_letters(const struct opened *opened, size_t count)
{
    uint32_t **all = arena_array(opened->built.arena, count, sizeof *all);
    mpz_t number;
    mpz_init(number);
    for (size_t i = 0; i < count; i++) {
        all[i] = arena_array(opened->built.arena, opened->space->columns->count, sizeof **all);
        mpz_set_ui(number, i);
        space_word(opened->space, number, all[i]);
    }
    mpz_clear(number);
    return all;
}

/* How many come before one of them: its place in the order. */
static size_t place_of(const struct opened *opened, uint32_t *const *all, size_t count, size_t one)
{
    size_t place = 0;
    for (size_t i = 0; i < count; i++) {
        int order = grades_compare(opened->space, all[i], all[one]);
        ck_assert_int_eq(order == 0, i == one);
        place += order < 0;
    }
    return place;
}

START_TEST(grades_are_in_the_order_of_the_manual)
{
    char text[300];
    struct buffer out = {0};
    snprintf(text, sizeof text, "exercises:\n  - subdivision: quarters\n    %s\n",
             graded_spaces[_i].keys);
    struct opened opened = open_lesson(text);
    size_t count = mpz_get_ui(opened.space->count);
    uint32_t **all = all_letters(&opened, count);
    for (size_t place = 0; place < count; place++)
        for (size_t i = 0; i < count; i++)
            if (place_of(&opened, all, count, i) == place)
                add_variation(&opened, all[i], &out);
    ck_assert_str_eq(buffer_text(&out), graded_spaces[_i].graded);
    buffer_release(&out);
    close_lesson(&opened);
}
END_TEST

/* ---- empty spaces ------------------------------------------------------------------------- */

static const struct {
    const char *keys, *reason;
} empty_spaces[] = {
    {"sticking: RL\n    vary: {kick: {from: 1 3, count: 3}}", "no variation has 3 kicks"},
    {"sticking: RL\n    vary: {kick: {count: 1-2}, keep: {1: bass-drum, 2: bass-drum, 3: "
     "bass-drum}}",
     "no variation has all of this: 1 to 2 kicks, the kick kept on 1, the kick kept on 2 and the "
     "kick kept on 3"},
    {"sticking: RL\n    vary: {kick: {count: 1}, keep: {1: bass-drum, 2: bass-drum, 3: bass-drum}}",
     "no variation has all of this: 1 kick, the kick kept on 1 and the kick kept on 2"},
    {"sticking: RL\n    vary: {accents: {count: 5}, ghosts: {count: 4}}",
     "no variation has all of this: 5 accents and 4 ghosts"},
    {"sticking: RL\n    vary: {accents: {from: 1 2, count: 1}, keep: {3: accent, 4: accent}}",
     "no variation has all of this: 1 accent, the accent kept on 3 and the accent kept on 4"},
    {"sticking: R.R.\n    vary: {rotate: yes, keep: {1: snare, 1&: accent}}",
     "no variation has all of this: the snare kept on 1 and the accent kept on 1&"},
};

START_TEST(an_empty_space_says_why)
{
    char text[300];
    struct vary_fault fault;
    snprintf(text, sizeof text, EIGHTHS("    %s\n"), empty_spaces[_i].keys);
    struct opened opened = open_lesson(text);
    ck_assert(vary_fault_of(opened.space, &fault));
    ck_assert_int_eq(fault.code, DIAG_NO_VARIATION);
    ck_assert_str_eq(fault.message, empty_spaces[_i].reason);
    close_lesson(&opened);
}
END_TEST

/* What is too large says so, soon; no test waits for it. */
static const char *const large_spaces[] = {
    "exercises:\n  - subdivision: sixteenths\n    sticking: R\n    bars: 65\n    vary: {kick: "
    "{}}\n",
    "exercises:\n  - subdivision: sixteenths\n    sticking: R\n    bars: 16000\n"
    "    vary: {R: [snare, ride], accents: {count: 4000}, keep: {1: accent}}\n",
    "exercises:\n  - subdivision: sixteenths\n    sticking: R\n    bars: 64\n"
    "    vary: {accents: {count: 300}, ghosts: {count: 300}}\n",
};

START_TEST(a_space_that_is_too_large_says_so)
{
    struct vary_fault fault;
    struct built built = built_right(large_spaces[_i]);
    struct space *space = space_new(built.score, &built.score->exercises[0]);
    ck_assert(vary_fault_of(space, &fault));
    ck_assert_int_eq(fault.code, DIAG_LIMIT);
    space_free(space);
    built_release(&built);
}
END_TEST

static Suite *vary_suite(void)
{
    Suite *suite = suite_create("vary");
    TCase *known = tcase_create("known spaces");
    tcase_add_test(known, kicks_are_binomials);
    tcase_add_test(known, voices_are_powers);
    tcase_add_test(known, orders_of_pieces_are_multinomials);
    tcase_add_test(known, marks_are_added_to_plain_strokes_alone);
    tcase_add_test(known, rotations_are_necklaces);
    suite_add_tcase(suite, known);
    TCase *all = tcase_create("enumeration");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, counts_equal_enumeration);
    tcase_add_loop_test(all, turns_equal_enumeration, 0,
                        sizeof round_spaces / sizeof *round_spaces);
    suite_add_tcase(suite, all);
    TCase *drawing = tcase_create("drawing");
    tcase_set_timeout(drawing, 60);
    tcase_add_test(drawing, the_generator_is_the_published_one);
    tcase_add_loop_test(drawing, draws_are_even, 0, sizeof drawn_spaces / sizeof *drawn_spaces);
    tcase_add_loop_test(drawing, grades_are_in_the_order_of_the_manual, 0,
                        sizeof graded_spaces / sizeof *graded_spaces);
    suite_add_tcase(suite, drawing);
    TCase *empty = tcase_create("empty spaces");
    tcase_add_loop_test(empty, an_empty_space_says_why, 0,
                        sizeof empty_spaces / sizeof *empty_spaces);
    tcase_add_loop_test(empty, a_space_that_is_too_large_says_so, 0,
                        sizeof large_spaces / sizeof *large_spaces);
    suite_add_tcase(suite, empty);
    return suite;
}

int main(void)
{
    return run_suite(vary_suite());
}
