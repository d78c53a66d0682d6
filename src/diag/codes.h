#ifndef RATAMARK_DIAG_CODES_H
#define RATAMARK_DIAG_CODES_H
/*
 * Every complaint the program can make about a lesson, once: its name in C, its word (stable: part
 * of the command's interface), its usual severity, and what it is about. What `check --explain`
 * teaches stands in explain.c, one entry a code.
 */
#define DIAG_CODES(X)                                                                              \
    X(UNREADABLE, "unreadable", ERROR, "a file that cannot be read")                               \
    X(ENCODING, "encoding", ERROR, "bytes that are not plain UTF-8 text")                          \
    X(SYNTAX, "syntax", ERROR, "text that is not YAML, or YAML that a lesson does not use")        \
    X(LIMIT, "limit", ERROR, "more than a lesson may hold")                                        \
    X(UNKNOWN_KEY, "unknown-key", ERROR, "a key that does not exist here")                         \
    X(DUPLICATE_KEY, "duplicate-key", ERROR, "a key written twice")                                \
    X(MISSING_KEY, "missing-key", ERROR, "a key that has to be there")                             \
    X(BAD_VALUE, "bad-value", ERROR, "a value that its key cannot take")                           \
    X(CONFLICT, "conflict", ERROR, "two settings that contradict each other")                      \
    X(BAD_STICKING, "bad-sticking", ERROR, "a stroke line that cannot be read")                    \
    X(BAD_RHYTHM, "bad-rhythm", ERROR, "a rhythm line that cannot be read")                        \
    X(UNKNOWN_VOICE, "unknown-voice", ERROR, "a voice word that names no voice")                   \
    X(UNKNOWN_STICKING, "unknown-sticking", ERROR, "a sticking that is no pattern or rudiment")    \
    X(UNKNOWN_EXERCISE, "unknown-exercise", ERROR, "a sequence step that is no earlier exercise")  \
    X(UNKNOWN_COUNT, "unknown-count", ERROR, "a count that is not spoken there")                   \
    X(AMBIGUOUS_COUNT, "ambiguous-count", ERROR, "a count that could be two places")               \
    X(NO_STROKE, "no-stroke", ERROR, "an accent, ghost or change where no stroke falls")           \
    X(SUBDIVISION_FIT, "subdivision-fit", ERROR, "a subdivision that does not divide the beat")    \
    X(BAR_LENGTH, "bar-length", ERROR, "a bar that is not as long as its meter")                   \
    X(BEAT_LENGTH, "beat-length", ERROR, "a beat boundary where no beat ends")                     \
    X(TUPLET_LENGTH, "tuplet-length", ERROR, "a tuplet that its notes do not fill")                \
    X(STROKE_COUNT, "stroke-count", ERROR, "a sticking with more or fewer strokes than notes")     \
    X(VOICE_COUNT, "voice-count", ERROR, "a voice line with more or fewer words than notes")       \
    X(LIMB_CLASH, "limb-clash", ERROR, "one limb asked to be in two places")                       \
    X(STICKING_OPEN, "sticking-open", WARNING, "a sticking that does not come home at its loop")   \
    X(STICKING_CYCLE, "sticking-cycle", NOTE, "when a sticking comes home")                        \
    X(RUDIMENT, "rudiment", NOTE, "a rudiment in a sticking")                                      \
    X(TOO_FAST, "too-fast", WARNING, "strokes that come faster than their limb repeats")           \
    X(TOO_FAR, "too-far", WARNING, "a move that takes longer than there is time")                  \
    X(UNPLAYABLE, "unplayable", WARNING, "strokes at once that no tempo makes possible")           \
    X(CROSSED_HANDS, "crossed-hands", NOTE, "where the hands cross")                               \
    X(PLAYABLE, "playable", NOTE, "the highest tempo at which an exercise can be played")          \
    X(PAGE_FIT, "page-fit", NOTE, "what was done to bring a lesson onto one page")                 \
    X(NOT_PRINTABLE, "not-printable", WARNING, "something that the page can show only in part")    \
    X(TEXT_FONT, "text-font", WARNING, "a font or a character that is not installed")

#endif
