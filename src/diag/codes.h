#ifndef RATAMARK_DIAG_CODES_H
#define RATAMARK_DIAG_CODES_H
/*
 * Every kind of finding, once: its name in C, its word (part of the command's interface, so it
 * never changes), its severity, and what it is about. explanations.txt has the text that
 * `check --explain` prints for each.
 */
#define DIAG_CODES(X)                                                                              \
    X(UNREADABLE, "unreadable", ERROR, "a file that cannot be read")                               \
    X(ENCODING, "encoding", ERROR, "text that is not plain UTF-8")                                 \
    X(SYNTAX, "syntax", ERROR, "YAML with a mistake, or YAML that lessons do not support")         \
    X(LIMIT, "limit", ERROR, "more than a lesson can hold")                                        \
    X(UNKNOWN_KEY, "unknown-key", ERROR, "a key that is unknown or in the wrong place")            \
    X(DUPLICATE_KEY, "duplicate-key", ERROR, "the same key twice")                                 \
    X(MISSING_KEY, "missing-key", ERROR, "a required key that is missing")                         \
    X(BAD_VALUE, "bad-value", ERROR, "a value that its key does not accept")                       \
    X(CONFLICT, "conflict", ERROR, "two settings that contradict each other")                      \
    X(BAD_STICKING, "bad-sticking", ERROR, "a mistake in a stroke line")                           \
    X(BAD_RHYTHM, "bad-rhythm", ERROR, "a mistake in a rhythm line")                               \
    X(UNKNOWN_VOICE, "unknown-voice", ERROR, "a voice that does not exist")                        \
    X(UNKNOWN_STICKING, "unknown-sticking", ERROR, "an unknown pattern or rudiment")               \
    X(UNKNOWN_EXERCISE, "unknown-exercise", ERROR, "a sequence that names no exercise above it")   \
    X(UNKNOWN_COUNT, "unknown-count", ERROR, "a count that the beat does not have")                \
    X(AMBIGUOUS_COUNT, "ambiguous-count", ERROR, "a count that could mean two places")             \
    X(NO_STROKE, "no-stroke", ERROR, "an accent, ghost or change where nothing is played")         \
    X(SUBDIVISION_FIT, "subdivision-fit", ERROR, "a subdivision that does not fit the beat")       \
    X(BAR_LENGTH, "bar-length", ERROR, "a bar that is too short or too long")                      \
    X(BEAT_LENGTH, "beat-length", ERROR, "a beat that is too short or too long")                   \
    X(TUPLET_LENGTH, "tuplet-length", ERROR, "a tuplet with too few or too many notes")            \
    X(STROKE_COUNT, "stroke-count", ERROR, "a sticking with too few or too many strokes")          \
    X(VOICE_COUNT, "voice-count", ERROR, "a voice line with too few or too many voices")           \
    X(LIMB_CLASH, "limb-clash", ERROR, "one hand or foot in two places at once")                   \
    X(ONE_SURFACE, "one-surface", WARNING, "two voices of one instrument at the same count")       \
    X(CHORD_MARK, "chord-mark", WARNING, "a mark that holds for the last voice of a chord alone")  \
    X(GRACE_HAND, "grace-hand", WARNING, "a grace note by the hand of its own stroke")             \
    X(NO_EFFECT, "no-effect", WARNING, "something that changes nothing where it is written")       \
    X(BAR_LIST, "bar-list", WARNING, "a list that may be meant as counts of one bar")              \
    X(LEAD_MUSIC, "lead-music", WARNING, "a left lead that changes the hands and not the music")   \
    X(NAMED_HAND, "named-hand", WARNING, "a hand named in a text of a copy for the other player")  \
    X(STICKING_OPEN, "sticking-open", WARNING, "a repeat that cuts its sticking short")            \
    X(STICKING_CYCLE, "sticking-cycle", NOTE, "when a sticking lines up with beat 1 again")        \
    X(STICKING_ABOVE, "sticking-above", NOTE, "a sticking from above beside voices by count")      \
    X(RUDIMENT, "rudiment", NOTE, "a rudiment in a sticking")                                      \
    X(TOO_FAST, "too-fast", WARNING, "strokes that come too fast for one hand or foot")            \
    X(TOO_FAR, "too-far", WARNING, "a move that needs more time than there is")                    \
    X(UNPLAYABLE, "unplayable", WARNING, "strokes that cannot be played at any tempo")             \
    X(CROSSED_HANDS, "crossed-hands", NOTE, "hands that cross")                                    \
    X(HAT_SHORTENED, "hat-shortened", NOTE, "an open hi-hat that the foot soon closes")            \
    X(NO_VARIATION, "no-variation", WARNING, "a `vary` whose limits leave no variation")           \
    X(VARIATIONS, "variations", NOTE, "how many variations an exercise has")                       \
    X(TEMPO_HANDS, "tempo-hands", NOTE, "hands that would differ at the slower tempo")             \
    X(PLAYABLE, "playable", NOTE, "the fastest tempo at which an exercise can be played")          \
    X(PAGE_FIT, "page-fit", NOTE, "what it took to fit a lesson onto one page")                    \
    X(NOT_PRINTABLE, "not-printable", WARNING, "something that cannot be printed as it should be") \
    X(TEXT_FONT, "text-font", WARNING, "a font or a character that is not installed")              \
    X(SCREEN_READER, "screen-reader", WARNING, "a PDF without descriptions for screen readers")

#endif
