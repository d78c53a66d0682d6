/* What `check --explain CODE` teaches: one entry a code, with a wrong lesson and the right one. */
#include "diag/diag.h"

static const struct diag_lesson lessons[DIAG_CODE_COUNT] = {
    [DIAG_UNREADABLE] =
        {
            "The file cannot be read: it is not there, it is a folder, or you have no right to "
            "read it. The rest of the message is what the system said.\n"
            "\n"
            "Look at the name for slips, and whether you stand in the folder that you think you "
            "do.",
            NULL,
            NULL,
        },
    [DIAG_ENCODING] =
        {
            "A lesson is plain text, saved as UTF-8. This one holds bytes that are not UTF-8, or "
            "control characters, which no page can print.\n"
            "\n"
            "Most editors can save as UTF-8 (look for \"Encoding\" where you save). A control "
            "character often comes along when text is pasted from another program, or is written "
            "as an escape in double quotes: delete it.",
            "title: \"First strokes\\a\"\n"
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
            "title: \"First strokes\"\n"
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
        },
    [DIAG_SYNTAX] =
        {
            "The text is not YAML, or uses a part of YAML that a lesson has no use for: tabs, "
            "anchors (&), aliases (*), tags (!), or a second document (---).\n"
            "\n"
            "The usual slips: text with a colon and a space in it stands in quotes; text that "
            "begins with | > & * ! or a bracket stands in quotes; the keys of one exercise stand "
            "in one column; indentation is made of spaces.",
            "title: Day one: first strokes\n"
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
            "title: \"Day one: first strokes\"\n"
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
        },
    [DIAG_LIMIT] =
        {
            "The lesson holds more than a lesson may: a file of 4 MiB, lists and maps 16 deep, "
            "4,096 exercises, 65,536 bars, 1,048,576 strokes, tuplets 4 deep, 999 plays of a "
            "repeat, 256 voices. A file beyond them is nearly always a slip of the keyboard, and "
            "it is better told than engraved.\n"
            "\n"
            "A lesson that is really so large is better off in several files.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    repeat: 4000\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    repeat: 4\n",
        },
    [DIAG_UNKNOWN_KEY] =
        {
            "The word before the colon is no key that can stand here. Either it is misspelt (the "
            "message names the nearest one), or it belongs to another level: `bars` to an "
            "exercise, `exercises` to the lesson, `size` to `page`.",
            "exercises:\n"
            "  - stiking: RLRL\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
        },
    [DIAG_DUPLICATE_KEY] =
        {
            "The same key stands twice in one map, so it is not clear which of the two is meant. "
            "Delete one. Where both are meant for different bars, give each bar its own.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    accents: 1 3\n"
            "    accents: 2 4\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    accents: [1 3, 2 4]\n"
            "    bars: 2\n",
        },
    [DIAG_MISSING_KEY] =
        {
            "Something cannot be understood without a key that is not there: a lesson needs "
            "`exercises`, a pickup needs its `rhythm`, a new voice needs `like` or `line`.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    pickup:\n"
            "      sticking: R L\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    pickup:\n"
            "      rhythm: 8 8\n"
            "      sticking: R L\n",
        },
    [DIAG_BAD_VALUE] =
        {
            "The key is right, but it cannot have this value. The message says what it takes: one "
            "of a few words, a number within limits, a list, a map.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    lead: rigth\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    lead: right\n",
        },
    [DIAG_CONFLICT] =
        {
            "Two settings contradict each other, and there is no telling which is meant: a rhythm "
            "and a subdivision in one bar, a stroke both ghosted and accented, a practice form "
            "(`sequence`) with bars of its own.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 4 4\n"
            "        subdivision: eighths\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 4 4\n",
        },
    [DIAG_BAD_STICKING] =
        {
            "A stroke line cannot be read at this place. It is made of R, L, B (both hands) and . "
            "(an empty slot); small letters right before a capital are grace strokes (lR is a "
            "flam); marks follow their stroke without a space: > accent, ^ strong accent, / "
            "diddle, // four strokes, z buzz, + rings into the next note. Round brackets make "
            "ghost strokes. | claims that a beat ends here.",
            "exercises:\n"
            "  - sticking: R L >R L\n"
            "    subdivision: eighths\n",
            "exercises:\n"
            "  - sticking: R L R> L\n"
            "    subdivision: eighths\n",
        },
    [DIAG_BAD_RHYTHM] =
        {
            "A rhythm line cannot be read at this place. It is made of note values (1 2 4 8 16 32 "
            "64) with dots, rests (_8), repeats (8*4), ties (4+16), tuplets (3(8 8 8), 5:4(16*5)) "
            "and | where a beat ends.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 6 8 4\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 8 8 4\n",
        },
    [DIAG_UNKNOWN_VOICE] =
        {
            "The word names no voice. Voices have their full trade names (snare, hi-hat, "
            "floor-tom, ride-bell ...); there are no abbreviations but those that the lesson "
            "makes itself under `kit: {short: {h: hi-hat}}`.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    play: {R: hihat, L: snare}\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n"
            "    play: {R: hi-hat, L: snare}\n",
        },
    [DIAG_UNKNOWN_STICKING] =
        {
            "The value of `sticking` has letters that are no strokes, so it must be a name: of a "
            "line under `patterns`, or of one of the forty rudiments. No such name is known. "
            "`ratamark rudiments` lists them.",
            "exercises:\n"
            "  - sticking: single paradiddel\n"
            "    subdivision: sixteenths\n",
            "exercises:\n"
            "  - sticking: single paradiddle\n"
            "    subdivision: sixteenths\n",
        },
    [DIAG_UNKNOWN_EXERCISE] =
        {
            "A `sequence` is made of exercises that stand above it in the file, called by their "
            "`id`. No exercise above has this one.",
            "exercises:\n"
            "  - id: groove\n"
            "    sticking: RLRL\n"
            "    subdivision: eighths\n"
            "  - sequence: grove*4\n",
            "exercises:\n"
            "  - id: groove\n"
            "    sticking: RLRL\n"
            "    subdivision: eighths\n"
            "  - sequence: groove*4\n",
        },
    [DIAG_UNKNOWN_COUNT] =
        {
            "A count address is what a drummer would say there: 1, 2&, 3e, 1let. This one is "
            "spoken nowhere in its beat, in this subdivision or another. The message lists what "
            "can be said there.\n"
            "\n"
            "Of two syllables that sound alike the second is told by what comes before it: in "
            "sixteenth triplets 2trip is the first, 2&trip the second.",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: sixteenths\n"
            "    accents: 1 2and 4\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: sixteenths\n"
            "    accents: 1 2& 4\n",
        },
    [DIAG_AMBIGUOUS_COUNT] =
        {
            "The count is not spoken in this beat's own subdivision, and means different places in "
            "the others: `let` is the last of three eighth triplets, and the third of six "
            "sixteenth triplets. Say a count that is spoken here, or give the hands the "
            "subdivision that is meant.",
            "exercises:\n"
            "  - sticking: RL\n"
            "    subdivision: eighths\n"
            "    kick: 1 2let\n",
            "exercises:\n"
            "  - sticking: RLR LRL\n"
            "    subdivision: eighth triplets\n"
            "    kick: 1 2let\n",
        },
    [DIAG_NO_STROKE] =
        {
            "An accent, a ghost or a change (`at`) needs a stroke that it can fall on; here the "
            "hands are silent. The message names the nearest count that has a stroke.",
            "exercises:\n"
            "  - sticking: R .\n"
            "    subdivision: eighths\n"
            "    accents: 1 2&\n",
            "exercises:\n"
            "  - sticking: R .\n"
            "    subdivision: eighths\n"
            "    accents: 1 2\n",
        },
    [DIAG_SUBDIVISION_FIT] =
        {
            "The subdivision does not divide the beats of this meter. Simple beats (4/4, 2/2) "
            "take quarters, eighths, triplets, sixteenths, quintuplets and so on; compound beats "
            "(6/8, 9/8, 12/8) take eighths, sixteenths, duplets, quadruplets, thirty-seconds.",
            "time: 6/8\n"
            "exercises:\n"
            "  - sticking: RLL\n"
            "    subdivision: eighth triplets\n",
            "time: 6/8\n"
            "exercises:\n"
            "  - sticking: RLL\n"
            "    subdivision: eighths\n",
        },
    [DIAG_BAR_LENGTH] =
        {
            "The notes and rests of a bar must add up to exactly what its meter says: four "
            "quarters in 4/4, six eighths in 6/8. The message says what they add up to, what the "
            "meter wants, and the difference as a note value.\n"
            "\n"
            "Put | where each beat should end: then the first beat that is wrong is named.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 8 8 8 8 4 8\n"
            "        sticking: RLRLRLRL\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 8 8 8 8 8 8\n"
            "        sticking: RLRLRLRL\n",
        },
    [DIAG_BEAT_LENGTH] =
        {
            "A | claims that a beat ends at this place. It does not: the notes before it are "
            "longer or shorter than the beats of the meter. Either a note value is wrong, or the "
            "| stands in the wrong place.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 16 | 16 8 | 4 | 4\n"
            "        sticking: R L R L R L R\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 | 16 16 8 | 4 | 4\n"
            "        sticking: R L R L R L R\n",
        },
    [DIAG_TUPLET_LENGTH] =
        {
            "What stands inside a tuplet must add up to as many equal notes as its number says: "
            "3(8 8 8), or 3(4 8), which is as long as three eighths. 3(8 8) is one short.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 3(8 8) 4\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 3(8 _8 8) 4\n",
        },
    [DIAG_STROKE_COUNT] =
        {
            "A sticking written beside a rhythm gives one letter to each note that sounds: not to "
            "rests, and not to the second note of a tie. This one has more or fewer.\n"
            "\n"
            "A sticking that the bar inherits from its exercise cycles, and need not fit.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 _4 8 8 4\n"
            "        sticking: RLRLRL\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 _4 8 8 4\n"
            "        sticking: RLRLR\n",
        },
    [DIAG_VOICE_COUNT] =
        {
            "A line of voices written beside a rhythm gives one word to each note that sounds; "
            "snare*4 counts as four. This one has more or fewer.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 8 8 4 4\n"
            "        sticking: RLRLRL\n"
            "        voices: snare*4 high-tom\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 8 8 8 8 4 4\n"
            "        sticking: RLRLRL\n"
            "        voices: snare*4 high-tom floor-tom\n",
        },
    [DIAG_LIMB_CLASH] =
        {
            "One limb is asked to be in two places at once: one hand on two drums, or one foot on "
            "two pedals. B plays two voices, one with each hand; a foot can join a hand.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 4 4\n"
            "        sticking: R L R L\n"
            "        voices: snare snare snare crash+ride\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 4 4\n"
            "        sticking: R L R B\n"
            "        voices: snare snare snare crash+ride\n",
        },
    [DIAG_STICKING_OPEN] =
        {
            "The exercise is repeated, but at the end of its bars the sticking is in the middle "
            "of its cycle: each time round it begins anew, and a hand may have to play twice or "
            "jump where it would not in the running cycle.\n"
            "\n"
            "That may be what you want. If not, `bars: resolve` writes as many bars as the cycle "
            "needs to come home.",
            "exercises:\n"
            "  - sticking: RLLRRL\n"
            "    subdivision: sixteenths\n"
            "    repeat: 4\n",
            "exercises:\n"
            "  - sticking: RLLRRL\n"
            "    subdivision: sixteenths\n"
            "    bars: resolve\n"
            "    repeat: 4\n",
        },
    [DIAG_STICKING_CYCLE] =
        {
            "Not a mistake: it says when a sticking that runs on over the bars comes home. A cycle "
            "of C slots on a grid of S slots a bar is home after lcm(C, S) / S bars: six strokes "
            "over sixteen sixteenths after three bars, having gone round eight times.",
            "exercises:\n"
            "  - sticking: RLLRRL\n"
            "    subdivision: sixteenths\n"
            "    bars: resolve\n",
            "exercises:\n"
            "  - sticking: RLLRRL\n"
            "    subdivision: sixteenths\n"
            "    bars: 3\n",
        },
    [DIAG_RUDIMENT] =
        {
            "The sticking is one of the forty rudiments, or holds one: as it is known, begun on "
            "another of its strokes, or with hands changed. Accents are not looked at, as editions "
            "differ in them. Nothing is wrong.",
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLLR LRRL\n",
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLLL RLLR\n",
        },
    [DIAG_TOO_FAST] =
        {
            "A limb is asked to strike again sooner than a player of the lesson's level can: a "
            "hand or foot repeating, a stick's rebound, many strokes in a row without rest, or an "
            "open hi-hat that has to be closed. The message says how many milliseconds there are "
            "and how many it takes, and the tempo at which it would fit.\n"
            "\n"
            "Slow the lesson down, let the other hand take some strokes, or set the level that the "
            "lesson is for. What each level can do stands in ratamark(1), PLAYABILITY.",
            "level: beginner\n"
            "tempo: 120\n"
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RRRR LLLL\n",
            "level: beginner\n"
            "tempo: 50\n"
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLRL RLRL\n",
        },
    [DIAG_TOO_FAR] =
        {
            "A hand or a foot is asked to move from one surface to another in less time than the "
            "way takes: the longer the way and the smaller what it ends on, the more (Fitts's "
            "law). `check --plan` shows where everything stands.\n"
            "\n"
            "Slow the lesson down, let the nearer hand take the stroke, or move the voices of an "
            "own kit.",
            "level: intermediate\n"
            "tempo: 120\n"
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    sticking: R\n"
            "    play: {R: [hi-hat, floor-tom]}\n",
            "level: intermediate\n"
            "tempo: 120\n"
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    sticking: LR\n"
            "    play: {L: hi-hat, R: floor-tom}\n",
        },
    [DIAG_UNPLAYABLE] =
        {
            "Two hands and two feet cannot do this at any tempo: grace strokes, which take both "
            "hands, beside another hand's stroke; a closed hi-hat while its foot is on another "
            "pedal; a hi-hat struck open as its foot closes it; both sticks on one small surface.\n"
            "\n"
            "A drummer who keeps the hi-hat closed with a clutch says so: `kit: {hats: held}`.",
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    voices: open-hi-hat\n"
            "    hat-foot: 1\n",
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    voices: hi-hat\n"
            "    hat-foot: 1\n",
        },
    [DIAG_CROSSED_HANDS] =
        {
            "One hand reaches over the other. That is no mistake, and often wanted; it takes a "
            "little longer than the same way with open arms. The right hand on the hi-hat over "
            "the left one on the snare is the usual posture and not told.",
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    sticking: RL\n"
            "    play: {R: high-tom, L: floor-tom}\n",
            "exercises:\n"
            "  - subdivision: eighths\n"
            "    sticking: RL\n"
            "    play: {R: floor-tom, L: high-tom}\n",
        },
    [DIAG_PLAYABLE] =
        {
            "The verdict on an exercise: the highest tempo, in quarters a minute, at which two "
            "hands and two feet of the lesson's level can play all of it, and the stroke that "
            "stands in the way of more. Where no level is set, an advanced player is meant.\n"
            "\n"
            "It is a limit of movement, no goal: start slow, stop at pain, rest often, protect "
            "your ears, and ask a teacher or clinician where something hurts.",
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLRL\n",
            "exercises:\n"
            "  - subdivision: quarters\n"
            "    bars:\n"
            "      - rhythm: 1\n",
        },
    [DIAG_PAGE_FIT] =
        {
            "`page: {fit: one}` asks for a lesson on one page, and this is what it took: exercises "
            "side by side, less white between them, and at last the largest staff, in tenths of a "
            "millimetre, with which it fits. It is never less than 5 mm, which can still be read "
            "at "
            "a music stand; a lesson that needs less keeps the staff that it asks for, with a "
            "warning.\n"
            "\n"
            "engrave says this, not check: only a sheet that is made has a size.",
            NULL,
            NULL,
        },
    [DIAG_NOT_PRINTABLE] =
        {
            "The page can show this only in part: a bar that is wider than a line, or a sign that "
            "no installed text family has. It is printed as well as can be.\n"
            "\n"
            "The exercise of a bar that is too wide is set on a smaller staff, of 3 mm at least; "
            "after that its notes are set closer than they should be. Written as two bars it "
            "fits.",
            NULL,
            NULL,
        },
    [DIAG_TEXT_FONT] =
        {
            "The text family of the sheets, Open Sans with its condensed cut, is not installed; "
            "the message says what is used instead. Letters and counts may be wider than they "
            "should be.\n"
            "\n"
            "The README names the package that brings it.\n"
            "\n"
            "Text in another script is set in whatever fonts the system has for it. A character "
            "that none of them has is printed as a box, and told where the lesson writes it.",
            NULL,
            NULL,
        },
};

const struct diag_lesson *diag_explain(enum diag_code code)
{
    return &lessons[code];
}
