/* What `check --explain CODE` prints: one entry per code, with a wrong lesson and its correction.
 */
#include "diag/diag.h"

static const struct diag_lesson lessons[DIAG_CODE_COUNT] = {
    [DIAG_UNREADABLE] =
        {
            "The file cannot be read: it does not exist, it is a folder, or you are not allowed to "
            "read it. The end of the message is the reason the system gives.\n"
            "\n"
            "Check the spelling of the name, and that you are in the right folder.",
            NULL,
            NULL,
        },
    [DIAG_ENCODING] =
        {
            "A lesson is plain text saved as UTF-8. This file contains bytes that are not UTF-8, "
            "or control characters, which cannot be printed.\n"
            "\n"
            "Most editors can save as UTF-8 (look for \"Encoding\" in the save dialog). Control "
            "characters often slip in when you paste text from another program, or come from an "
            "escape in double quotes. Delete them.",
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
            "The file is not valid YAML, or it uses a part of YAML that lessons do not support: "
            "tabs, anchors (&), aliases (*), tags (!) or a second document (---).\n"
            "\n"
            "The usual causes: text that contains a colon and a space needs quotes; so does text "
            "that starts with | > & * ! or a bracket; all keys of one exercise must start in the "
            "same column; indentation must be spaces.",
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
            "The lesson goes over one of the limits: a file of 4 MiB, lists and maps 16 deep, "
            "4,096 exercises, 65,536 bars, 1,048,576 strokes, tuplets 4 deep, 999 plays of a "
            "repeat, 256 voices. That is nearly always a typing mistake.\n"
            "\n"
            "If your lesson really is that large, split it into several files.",
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
            "The word before the colon is not a key that can be used here. Either it is misspelt "
            "(the message suggests the nearest key), or it belongs somewhere else: `bars` goes in "
            "an exercise, `exercises` in the lesson, `size` in `page`.",
            "exercises:\n"
            "  - stiking: RLRL\n",
            "exercises:\n"
            "  - sticking: RLRL\n"
            "    subdivision: eighths\n",
        },
    [DIAG_DUPLICATE_KEY] =
        {
            "The same key appears twice in one map, so it is not clear which one you mean. Delete "
            "one of them. If they are meant for different bars, put each in its own bar.",
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
            "Something needs a key that is not there: a lesson needs `exercises`, a pickup needs "
            "its `rhythm`, a new voice needs `line` or `like`.",
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
            "The key is right, but it does not accept this value. The message says what it "
            "accepts: one of a few words, a number in a certain range, a list or a map.",
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
            "Two settings contradict each other, and it is not clear which one you mean: a rhythm "
            "and a subdivision in the same bar, a stroke that is both ghosted and accented, or a "
            "practice form (`sequence`) that also has bars of its own.",
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
            "There is a mistake at this place in a stroke line. The strokes are R, L, B (both "
            "hands), ? (a hand still to be chosen) and . (an empty slot). Small letters right "
            "before a capital are grace strokes: lR is a flam. Marks come right after their "
            "stroke, without a space: > accent, ^ strong accent, / diddle, // four strokes, z "
            "buzz, + rings into the next note. Round brackets make ghost strokes. | marks where a "
            "beat begins.",
            "exercises:\n"
            "  - sticking: R L >R L\n"
            "    subdivision: eighths\n",
            "exercises:\n"
            "  - sticking: R L R> L\n"
            "    subdivision: eighths\n",
        },
    [DIAG_BAD_RHYTHM] =
        {
            "There is a mistake at this place in a rhythm line. A rhythm line is made of note "
            "values (1 2 4 8 16 32 64), dots, rests (_8), repeats (8*4), ties (4+16), tuplets (3(8 "
            "8 8), 5:4(16*5)) and | where a beat begins.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 6 8 4\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 8 8 4\n",
        },
    [DIAG_UNKNOWN_VOICE] =
        {
            "There is no voice with this name. Voices go by their full names (snare, hi-hat, "
            "floor-tom, ride-bell ...). The only abbreviations are those that you define yourself, "
            "as in `kit: {short: {h: hi-hat}}`.",
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
            "The value of `sticking` contains letters that are not strokes, so it is taken as a "
            "name: of a line under `patterns`, or of one of the forty rudiments. There is no such "
            "name. `ratamark rudiments` lists the rudiments.",
            "exercises:\n"
            "  - sticking: single paradiddel\n"
            "    subdivision: sixteenths\n",
            "exercises:\n"
            "  - sticking: single paradiddle\n"
            "    subdivision: sixteenths\n",
        },
    [DIAG_UNKNOWN_EXERCISE] =
        {
            "A `sequence` refers to exercises above it in the file by their `id`. No exercise "
            "above has this id.",
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
            "A count is what a drummer would say at that place: 1, 2&, 3e, 1let. This one does not "
            "exist in its beat, neither in the subdivision played here nor in any other. The "
            "message lists the counts of that beat.\n"
            "\n"
            "If a beat has the same syllable twice, write the second one with the syllable before "
            "it: in sixteenth triplets 2trip is the first, 2&trip the second.",
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
            "The count does not exist in the subdivision of this beat, and in other subdivisions "
            "it means different places: `let` is the last of three eighth triplets, but the third "
            "of six sixteenth triplets. Use a count of this subdivision, or give the hands the "
            "subdivision you mean.",
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
            "The count exists, but nothing is played there, so there is nothing to accent, ghost "
            "or change. Here the hands rest on the &. The message suggests the nearest count that "
            "has a stroke.",
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
            "The subdivision does not fit the beats of this meter. Simple beats (4/4, 2/2) take "
            "quarters, eighths, triplets, sixteenths, quintuplets and so on; compound beats (6/8, "
            "9/8, 12/8) take eighths, sixteenths, duplets, quadruplets and thirty-seconds.",
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
            "The notes and rests of a bar must add up exactly to the meter: four quarters in 4/4, "
            "six eighths in 6/8. The message gives the total, what the meter needs, and the "
            "difference as a note value.\n"
            "\n"
            "Put | between the beats, and the message points to the first beat that is wrong.",
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
            "A | says that one beat ends here and the next one begins, but that is not so: the "
            "notes before it are longer or shorter than a beat of the meter. Either a note value "
            "is wrong, or the | is in the wrong place.",
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
            "The notes inside a tuplet must add up to as many equal notes as its number says. 3(8 "
            "8 8) is right, and so is 3(4 8), which is as long as three eighths. 3(8 8) is one "
            "eighth short.",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 3(8 8) 4\n",
            "exercises:\n"
            "  - bars:\n"
            "      - rhythm: 4 4 3(8 _8 8) 4\n",
        },
    [DIAG_STROKE_COUNT] =
        {
            "A sticking next to a rhythm needs one letter for each note that is struck. Rests, and "
            "the second note of a tie, get no letter. This sticking has too many or too few.\n"
            "\n"
            "A sticking set for the whole exercise starts over when it runs out, so it can have "
            "any length.",
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
            "A `voices` line next to a rhythm needs one voice for each note that is struck; "
            "snare*4 counts as four. This line has too many or too few.",
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
            "One limb has to be in two places at once: one hand on two drums, or one foot on two "
            "pedals. B plays two voices, one with each hand. A foot can play together with the "
            "hands.",
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
            "The exercise repeats, but its last bar ends in the middle of the sticking. Each time "
            "through, the sticking starts again from the beginning, so a hand may have to play "
            "twice in a row or jump where it otherwise would not.\n"
            "\n"
            "That may be what you want. If not, `bars: resolve` writes out as many bars as the "
            "sticking needs to line up with beat 1 again.",
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
            "Not a mistake. This tells you when a sticking that runs across the bar lines starts "
            "on beat 1 again. With C strokes in the sticking and S slots in a bar, that takes "
            "lcm(C, S) / S bars: six strokes over sixteen sixteenths line up after three bars, "
            "eight times through the sticking.",
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
            "Not a mistake. The sticking is one of the forty rudiments, or contains one: in its "
            "usual form, starting on another of its strokes, or with the hands swapped. Accents "
            "are ignored, because editions differ in them.",
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLLR LRRL\n",
            "exercises:\n"
            "  - subdivision: sixteenths\n"
            "    sticking: RLLL RLLR\n",
        },
    [DIAG_TOO_FAST] =
        {
            "A hand or foot has to strike again sooner than a player of the lesson's level can: a "
            "repeated stroke, a rebound, many strokes in a row without a rest, or an open hi-hat "
            "that has to be closed in time. The message says how many milliseconds there are, how "
            "many it needs, and the tempo at which it works.\n"
            "\n"
            "Lower the tempo, give some strokes to the other hand, or set the level that the "
            "lesson is for. ratamark(1), PLAYABILITY, lists what each level can do.",
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
            "A hand or foot has to move from one surface to another in less time than the move "
            "needs. Longer moves and smaller targets need more time (Fitts's law). `check --plan` "
            "shows where everything stands.\n"
            "\n"
            "Lower the tempo, give the stroke to the nearer hand, or move the voices of your own "
            "kit.",
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
            "Two hands and two feet cannot play this at any tempo: grace strokes, which need both "
            "hands, against a stroke of the other hand; a closed hi-hat while its foot is on "
            "another pedal; an open hi-hat at the moment when the foot closes it; both sticks on "
            "one small surface.\n"
            "\n"
            "If you keep the hi-hat closed with a clutch, say so in the lesson: `kit: {hats: "
            "held}`.",
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
            "Not a mistake, and often intended: one hand reaches over the other. It takes a little "
            "longer than the same move with open arms. The right hand on the hi-hat over the left "
            "hand on the snare is the usual posture and is not reported.",
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
            "The fastest tempo, in quarters per minute, at which two hands and two feet of the "
            "lesson's level can play the whole exercise, and the stroke that sets the limit. If "
            "the lesson has no level, the player is taken to be advanced.\n"
            "\n"
            "This is the limit of what a body can do, not a goal: start slow, stop at pain, rest "
            "often, protect your hearing, and ask a teacher or clinician if something hurts.",
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
            "`page: {fit: one}` asks for a lesson on one page, and this is what it took: first "
            "exercises side by side, then less white space between them, then a smaller staff, as "
            "large as still fits, in steps of a tenth of a millimetre. The staff is never smaller "
            "than 5 mm, which you can still read at a music stand. If even that does not fit, the "
            "staff keeps the size you asked for, and you get a warning.\n"
            "\n"
            "`engrave` says this and `check` does not: there is no page size before a sheet is "
            "made.",
            NULL,
            NULL,
        },
    [DIAG_NOT_PRINTABLE] =
        {
            "Part of this cannot be printed as it should be: a bar is wider than a line, or no "
            "installed text font has a sign. It is printed as well as possible.\n"
            "\n"
            "If a bar is too wide, its exercise gets a smaller staff, but no smaller than 3 mm; "
            "beyond that its notes are set closer than they should be. Written as two bars, it "
            "fits.",
            NULL,
            NULL,
        },
    [DIAG_TEXT_FONT] =
        {
            "The text font of the sheets, Open Sans with its condensed width, is not installed. "
            "The message says which font is used instead; letters and counts may be wider than "
            "they should be.\n"
            "\n"
            "The README names the package to install.\n"
            "\n"
            "Other scripts are set in whichever installed fonts have them. A character that none "
            "of them has is printed as a box, and the message points to it in the lesson.",
            NULL,
            NULL,
        },
    [DIAG_SCREEN_READER] =
        {
            "The PDF prints as it should, but a screen reader finds neither its language nor a "
            "description of the music. Cairo, the library that draws, cannot write these; Ratamark "
            "adds them to the end of cairo's file, and the installed version of cairo writes an "
            "end that Ratamark does not know.\n"
            "\n"
            "SVG sheets and `engrave --as text` hold the descriptions all the same.",
            NULL,
            NULL,
        },
};

const struct diag_lesson *diag_explain(enum diag_code code)
{
    return &lessons[code];
}
