#include "lesson_writer.h"

/* Numbers that seem to have no order, the same on every run. */
static int vary(int unit, int salt, int count)
{
    unsigned mixed = ((unsigned)unit * 2654435761u) ^ ((unsigned)salt * 40503u);
    return (int)((mixed >> 7) % (unsigned)count);
}

static const char *const sixes[] = {"RLLRRL", "RLRLLR", "RRLRLL", "RLRRLL"};
static const char *const pairs[] = {"R L", "R R", "R (L)", "L R"};
static const char *const triplets[] = {"RLL", "RLR", "RRL", "R(L)(L)"};
static const char *const drums[] = {"snare", "high-tom", "mid-tom", "floor-tom"};

static const char *pair(int unit, int salt)
{
    return pairs[vary(unit, salt, 4)];
}

static const char *triplet(int unit, int salt)
{
    return triplets[vary(unit, salt, 4)];
}

static const char *drum(int unit, int salt)
{
    return drums[vary(unit, salt, 4)];
}

static void pad_sticking(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  - title: Pad %d\n"
        "    text: Both hands low, every stroke as loud as the last. The accent goes round\n"
        "      the hands; let it, and listen for the one that is late.\n"
        "    subdivision: sixteenths\n"
        "    sticking: %s\n"
        "    accents: each 6 strokes\n"
        "    bars: resolve\n",
        unit, sixes[vary(unit, 1, 4)]);
}

static void triplet_groove(struct buffer *out, int unit)
{
    buffer_format(out,
                  "  # The foot keeps time; nobody should hear that the hands do not.\n"
                  "  - title: Triplets %d\n"
                  "    text: The ride leads. The left hand answers softly, an inch above the\n"
                  "      head, and the second triplet of each beat is as long as the others.\n"
                  "    subdivision: eighth triplets\n"
                  "    play: {R: ride, L: snare}\n"
                  "    hat-foot: 2 4\n"
                  "    tempo: 60-%d\n"
                  "    bars:\n",
                  unit, 80 + unit % 40);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - sticking: %s | %s | %s | %s\n"
                      "        kick: 1 3%s\n"
                      "        accents: 2 4\n",
                      triplet(unit, bar), triplet(unit, bar + 10), triplet(unit, bar + 20),
                      triplet(unit, bar + 30), vary(unit, bar, 2) ? " 4let" : "");
}

static void fill(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  # Every fill ends where the next bar begins: practise the bar after it as well.\n"
        "  - title: Fill %d\n"
        "    show: {counts: grid}\n"
        "    text: Round the kit, then home.\n"
        "    bars:\n",
        unit);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - rhythm:   16*4    | 3(8*3)     | 8. 16      | 8 _8\n"
                      "        sticking: R L R L | R L R      | R  L       | R\n"
                      "        voices:   %s*4 | %s*3 | %s floor-tom | crash+bass-drum\n"
                      "        accents:  1 2 4\n",
                      drum(unit, bar), drum(unit, bar + 4), drum(unit, bar + 8));
}

static void quintuplets(struct buffer *out, int unit)
{
    buffer_format(out,
                  "  - title: Fives %d\n"
                  "    text: |\n"
                  "      Five to the beat. Say a word of five syllables and play what you say.\n"
                  "\n"
                  "      When it is even, stop saying it. Clap the beat with a friend, change\n"
                  "      places, and see who of you hurries when the other one plays.\n"
                  "    subdivision: quintuplets\n"
                  "    sticking: RLRLL\n"
                  "    accents: each beat\n"
                  "    bars: 2\n"
                  "    repeat: %d\n",
                  unit, 2 + unit % 3);
}

static void six_eight(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  - title: Swell %d\n"
        "    text: Two beats of three. Keep the hi-hat closed and the shoulders down, and\n"
        "      count the eighths aloud until the bars stop leaning forward. The foot opens\n"
        "      the second half of the bar a little later than you think.\n"
        "    time: 6/8\n"
        "    subdivision: eighths\n"
        "    play: {R: hi-hat, L: snare}\n"
        "    bars:\n",
        unit);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - sticking: %s | %s\n"
                      "        kick: 1\n"
                      "        hat-foot: 2\n",
                      triplet(unit, bar + 40), triplet(unit, bar + 50));
}

static void graces(struct buffer *out, int unit)
{
    buffer_format(out,
                  "  # Grace strokes fall from the height of a coin.\n"
                  "  - title: Graces %d\n"
                  "    show: {counts: off}\n"
                  "    text: Flams first, drags later, and at the end a roll that is only as long\n"
                  "      as its note. Start slowly enough to hear both sticks of each flam.\n"
                  "    bars:\n"
                  "      - rhythm: 4 8 8 | 3(8*3) 4\n"
                  "        sticking: lR R L | llRLR rL>\n"
                  "      - rhythm: 8 8 8 8 | 2\n"
                  "        sticking: R/ L/ rL> R | Rz\n",
                  unit);
}

static void eighth_line(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  - title: Line %d\n"
        "    text: A line to be played as written, then twice as softly, then from\n"
        "      memory. The snare speaks on two and four and whispers elsewhere; when the\n"
        "      foot hurries, take the hands away and let it play alone for a while.\n"
        "    tempo: 56-%d\n"
        "    subdivision: eighths\n"
        "    play: {R: hi-hat, L: snare ghost}\n"
        "    at: {2: snare accent, 4: snare accent}\n"
        "    bars:\n",
        unit, 70 + unit % 30);
    for (int bar = 0; bar < 5; bar++)
        buffer_format(out,
                      "      - sticking: %s | %s | %s | %s\n"
                      "        kick: 1 2& 3%s    # with the hand, not after it\n",
                      pair(unit, bar), pair(unit, bar + 10), pair(unit, bar + 20),
                      pair(unit, bar + 30), vary(unit, bar + 60, 2) ? "a" : "");
}

static void write_head(struct buffer *out)
{
    buffer_add_text(out, "title: The Long Watch\n"
                         "author: Wharf Lane Drum School\n"
                         "level: intermediate\n"
                         "time: 4/4\n"
                         "tempo: 60-96\n"
                         "exercises:\n");
}

static void write_unit(struct buffer *out, int unit)
{
    pad_sticking(out, unit);
    triplet_groove(out, unit);
    fill(out, unit);
    quintuplets(out, unit);
    six_eight(out, unit);
    graces(out, unit);
    eighth_line(out, unit);
}

/* ---- without hands -------------------------------------------------------------------------- */

static void open_groove(struct buffer *out, int unit)
{
    static const char *const backs[] = {
        "hi-hat hi-hat snare hi-hat", "hi-hat*2 snare+hi-hat hi-hat",
        "hi-hat snare snare+hi-hat hi-hat", "hi-hat*2 snare+crash ride"};
    buffer_format(
        out,
        "  - title: Ground %d\n"
        "    text: The line as the band hears it; which hand plays what is yours to find. When\n"
        "      the foot hurries, take the hands away and let it play alone for a while.\n"
        "    tempo: 56-%d\n"
        "    bars:\n",
        unit, 70 + unit % 30);
    for (int bar = 0; bar < 5; bar++)
        buffer_format(out,
                      "      - rhythm: 8*4 | 8*4\n"
                      "        voices: %s | %s\n"
                      "        kick: 1 2& 3%s    # with the hand, not after it\n",
                      backs[vary(unit, bar, 4)], backs[vary(unit, bar + 10, 4)],
                      vary(unit, bar + 60, 2) ? "a" : "");
}

static void open_sixteenths(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  - title: Pad %d\n"
        "    text: Both hands low, every stroke as loud as the last. The accent goes round\n"
        "      the hands; let it, and listen for the one that is late.\n"
        "    accents: 1 2& 4\n"
        "    rhythm: 16*4 | 8 16 16 | %s | 8. 16\n"
        "    bars: 3\n",
        unit, vary(unit, 1, 2) ? "16*4" : "16 16 8");
}

static void open_triplets(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  # The foot keeps time; nobody should hear that the hands do not.\n"
        "  - title: Triplets %d\n"
        "    text: Softly, an inch above the head, and the second triplet of each beat as\n"
        "      long as the others.\n"
        "    subdivision: eighth triplets\n"
        "    hat-foot: 2 4\n"
        "    tempo: 60-%d\n"
        "    bars:\n",
        unit, 80 + unit % 40);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - rhythm: 3(8*3) | 3(8*3) | 3(4 8) | 4\n"
                      "        voices: %s*3 | %s*3 | ride snare | crash+floor-tom\n"
                      "        accents: 2 4\n",
                      drum(unit, bar), drum(unit, bar + 20));
}

static void open_fill(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  # Every fill ends where the next bar begins: practise the bar after it as well.\n"
        "  - title: Fill %d\n"
        "    show: {counts: grid}\n"
        "    text: Round the kit, then home.\n"
        "    repeat: %d\n"
        "    bars:\n",
        unit, 2 + unit % 3);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - rhythm:   16*4    | 3(8*3)     | 8. 16      | 8 _8\n"
                      "        voices:   %s*4 | %s*3 | %s floor-tom | crash+bass-drum\n"
                      "        accents:  1 2 4\n",
                      drum(unit, bar), drum(unit, bar + 4), drum(unit, bar + 8));
}

static void open_six_eight(struct buffer *out, int unit)
{
    buffer_format(
        out,
        "  - title: Swell %d\n"
        "    text: Two beats of three. Keep the hi-hat closed and the shoulders down, and\n"
        "      count the eighths aloud until the bars stop leaning forward. The foot opens\n"
        "      the second half of the bar a little later than you think.\n"
        "    time: 6/8\n"
        "    bars:\n",
        unit);
    for (int bar = 0; bar < 2; bar++)
        buffer_format(out,
                      "      - rhythm: 8 16*4 | %s\n"
                      "        voices: %s hi-hat*4 | ride*%d\n"
                      "        kick: 1\n",
                      vary(unit, bar, 2) ? "8 8 8" : "8 16 16 8", drum(unit, bar),
                      vary(unit, bar, 2) ? 3 : 4);
}

/* ---- lessons -------------------------------------------------------------------------------- */

void write_open_lesson(struct buffer *out, int units)
{
    write_head(out);
    for (int unit = 0; unit < units; unit++) {
        open_groove(out, unit);
        open_sixteenths(out, unit);
        open_triplets(out, unit);
        open_fill(out, unit);
        open_six_eight(out, unit);
    }
}

void write_lesson_from(struct buffer *out, int first, int units)
{
    write_head(out);
    for (int unit = first; unit < first + units; unit++)
        write_unit(out, unit);
}

void write_lesson(struct buffer *out, int units)
{
    write_lesson_from(out, 0, units);
}

int write_lesson_of(struct buffer *out, size_t bytes)
{
    write_head(out);
    for (int unit = 0;; unit++) {
        size_t before = out->length;
        write_unit(out, unit);
        if (out->length > bytes) {
            out->length = before;
            out->bytes[before] = 0;
            return unit;
        }
    }
}
