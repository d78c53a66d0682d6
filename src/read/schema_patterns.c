#include "read/schema_patterns.h"

#include "model/subdivision.h"
#include "read/reader_int.h"

#include <ctype.h>

/* From 1 on; from 1 to 64, as beats of a bar and notes of a tuplet. */
#define NUMBER "0*[1-9][0-9]*"
#define UP_TO_64 "0*(?:6[0-4]|[1-5][0-9]|[1-9])"
#define BEAT UP_TO_64 "(?![0-9])"
#define BLANKS "[ \n]*"

/* ---- counts ------------------------------------------------------------------------------- */

/* A word in any case, its blanks also as hyphens, with or without the last s. */
static void add_loosely(struct buffer *out, const char *word)
{
    for (; *word; word++)
        if (*word == ' ' || *word == '-')
            buffer_add_text(out, "[ -]+");
        else if (*word == 's' && (word[1] == '\0' || word[1] == ' '))
            buffer_add_text(out, "[sS]?");
        else
            buffer_format(out, "[%c%c]", *word, toupper((unsigned char)*word));
}

/* eighths, 16th triplets, Triplet */
static void add_subdivisions(struct buffer *out)
{
    buffer_add_text(out, "(?:[0-9]+(?:st|nd|rd|th)[sS]?[ -]+)?(?:");
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const char *name = subdivision_name((enum subdivision)i), *blank = strchr(name, ' ');
        buffer_add_text(out, i ? "|" : "");
        add_loosely(out, name);
        if (blank) {
            buffer_add_text(out, "|");
            add_loosely(out, blank + 1);
        }
    }
    buffer_add_text(out, ")|[0-9]+(?:st|nd|rd|th)[sS]?");
}

/* 1, 2&, 2:3e, 1..2a, 1let of eighth triplets, each 5 strokes, eighths */
void schema_add_counts(struct buffer *out)
{
    static const char count[] =
        "(?:" NUMBER ":)?" BEAT "(?:/[0-9]+|(?![+-][0-9])[^ ,.:/0-9\u2013][^ ,.:/\u2013]*)?";
    buffer_format(out,
                  "^(?:none|(?:[ ,\n]*(?:each +(?:beat|" NUMBER " +strokes?|[^ ,0-9][^ ,]*)|"
                  "%s(?: *(?:\\.\\.|\u2013) *%s| +to %s)?)(?: +of +(?:",
                  count, count, count);
    add_subdivisions(out);
    buffer_add_text(out, "))?(?=[ ,\n]|$)|[ ,\n]*(?:");
    add_subdivisions(out);
    buffer_add_text(out, ")(?=[ ,\n]|$))+[ ,\n]*)$");
}

void schema_add_subdivision(struct buffer *out)
{
    buffer_add_text(out, "^(?:");
    add_subdivisions(out);
    buffer_add_text(out, ")$");
}

/* ---- rhythms ------------------------------------------------------------------------------ */

#define TIMES "(?:\\*" NUMBER "(?![0-9]))?"
#define VALUE "0*(?:64|32|16|8|4|2|1)(?![0-9:(])\\.{0,3}(?![.])" TIMES

/* Notes, rests, and as many tuplets inside each other as a rhythm can have. */
static void add_steps(struct buffer *out, const char *signs, int depth)
{
    buffer_format(out, "(?:[ \n|+%s]|_?" VALUE, signs);
    if (depth < LESSON_TUPLET_DEPTH_MAX) {
        buffer_add_text(out, "|0*(?:6[0-4]|[1-5][0-9]|[2-9])(?::" UP_TO_64 ")?\\((?![ \n|+]*\\))");
        add_steps(out, signs, depth + 1);
        buffer_add_text(out, "\\)" TIMES);
    }
    buffer_add_text(out, ")*");
}

/* A `+` between two notes, a `|` between notes or rests, accents behind notes. */
static void add_line(struct buffer *out, const char *signs, const char *more)
{
    buffer_format(out,
                  "^(?=[^0-9]*[0-9])(?![ \n|]*[+%s])(?![\\s\\S]*\\|[ \n+]*\\|)"
                  "(?![\\s\\S]*\\+[ \n|]*(?:_|\\+))(?![\\s\\S]*_[0-9.*]+[ \n|]*[+%s])%s",
                  signs, signs, more);
    add_steps(out, signs, 0);
    buffer_add_text(out, "$");
}

void schema_add_rhythm(struct buffer *out)
{
    add_line(out, "", "");
}

void schema_add_figures(struct buffer *out)
{
    add_line(out, ">^", "(?![\\s\\S]*\\+[ \n|]*$)");
}

/* ---- strokes ------------------------------------------------------------------------------ */

/* A class of a stroke line's signs; of the letters, those in `letters`, if it is not NULL. */
static void add_class(struct buffer *out, enum stroke_sign sign, const char *letters)
{
    buffer_add_text(out, "[");
    for (char byte = ' '; byte <= '~'; byte++)
        if (stroke_sign(byte) == sign && (!letters || strchr(letters, byte)))
            buffer_format(out, "%s%c", strchr("[]^-\\", byte) ? "\\" : "", byte);
    buffer_add_text(out, "]");
}

static void add_sign(struct buffer *out, char sign)
{
    buffer_format(out, "%s%c", strchr("^+/|.", sign) ? "\\" : "", sign);
}

/* More of one sign on a stroke than have a meaning. */
static void add_refused_again(struct buffer *out)
{
    for (int i = 0; i < MARK_COUNT; i++) {
        bool most = stroke_marks[i].sign;
        for (int j = 0; j < MARK_COUNT; j++)
            most &= stroke_marks[j].sign != stroke_marks[i].sign ||
                    stroke_marks[j].times <= stroke_marks[i].times;
        if (!most)
            continue;
        buffer_add_text(out, "(?!(?:");
        add_class(out, STROKE_MARK, NULL);
        buffer_add_text(out, "*");
        add_sign(out, stroke_marks[i].sign);
        buffer_format(out, "){%d})", stroke_marks[i].times + 1);
    }
}

/* Two marks that cannot be on one stroke, in either order; `beside`: one that the stroke has. */
static void add_refused_pairs(struct buffer *out, mark_set beside)
{
    char words[MARKS_CONFLICT_ROOM];
    for (int i = 0; i < MARK_COUNT; i++)
        for (int j = 0; j < MARK_COUNT; j++) {
            const struct stroke_mark *one = &stroke_marks[i], *other = &stroke_marks[j];
            bool pair = one->times == 1 && other->times == 1 && one->sign != other->sign;
            if (!pair || !marks_conflict(one->bit | other->bit | beside, words))
                continue;
            buffer_add_text(out, "(?!");
            add_class(out, STROKE_MARK, NULL);
            buffer_add_text(out, "*");
            add_sign(out, one->sign);
            if (!marks_conflict(one->bit | beside, words)) {
                add_class(out, STROKE_MARK, NULL);
                buffer_add_text(out, "*");
                add_sign(out, other->sign);
            }
            buffer_add_text(out, ")");
        }
}

/* A stroke with its marks and grace notes, or an empty slot. */
static void add_stroke(struct buffer *out, const char *letters, mark_set beside)
{
    buffer_add_text(out, "[ \n]|");
    add_class(out, STROKE_BOUNDARY, NULL);
    buffer_add_text(out, "|\\.|(?:");
    add_class(out, STROKE_GRACE, NULL);
    buffer_format(out, "{1,%d}(?=[RLB]))?", GRACES_MAX);
    add_class(out, STROKE_LETTER, letters);
    add_refused_again(out);
    add_refused_pairs(out, beside);
    add_class(out, STROKE_MARK, NULL);
    buffer_add_text(out, "*");
}

/* Marks right behind their stroke, grace notes right in front of it, ghosts in brackets. */
static void add_stroke_line(struct buffer *out, const char *letters)
{
    buffer_add_text(
        out, "^(?=[^.A-Z?]*[.A-Z?])(?![\\s\\S]*\\|[ \n()]*\\|)(?![\\s\\S]*[KH][^A-Z.?]*\\+)(?:");
    add_stroke(out, letters, MARK_NONE);
    buffer_add_text(out, "|\\((?:");
    add_stroke(out, letters, MARK_GHOST);
    buffer_add_text(out, ")*\\))*$");
}

void schema_add_strokes(struct buffer *out)
{
    add_stroke_line(out, "RLBKH?");
}

void schema_add_feet_strokes(struct buffer *out)
{
    add_stroke_line(out, "RLB?");
}

void schema_add_right_strokes(struct buffer *out)
{
    add_stroke_line(out, "R");
}

void schema_add_left_strokes(struct buffer *out)
{
    add_stroke_line(out, "L");
}

static void add_strangers(struct buffer *out, char first, char last)
{
    buffer_add_text(out, "[");
    for (char letter = first; letter <= last; letter++)
        if (stroke_sign(letter) == STROKE_STRANGER)
            buffer_add(out, &letter, 1);
    buffer_add_text(out, "]");
}

/* Letters that mark a text as a name: any small letter, or several capitals, that cannot be
 * strokes. */
void schema_add_names(struct buffer *out)
{
    add_strangers(out, 'a', 'z');
    buffer_add_text(out, "|(?:");
    add_strangers(out, 'A', 'Z');
    buffer_add_text(out, ".*){3}");
}

/* ---- voices ------------------------------------------------------------------------------- */

/* (?:accent|flam|...): the words that are marks, not voices. */
static void add_marks(struct buffer *out, bool rest)
{
    buffer_add_text(out, "(?:");
    for (int i = 0; i < MARK_COUNT; i++)
        if (*stroke_marks[i].word)
            buffer_format(out, "%s|", stroke_marks[i].word);
    buffer_format(out, "flam|drag|ruff%s)", rest ? "|rest" : "");
}

static void add_voice(struct buffer *out)
{
    buffer_add_text(out, "(?!");
    add_marks(out, true);
    buffer_add_text(out, "(?:[ \n|+*:]|$))[^ \n,+*:|]+");
}

/* snare:accent */
static void add_marked_voice(struct buffer *out)
{
    add_voice(out);
    buffer_add_text(out, "(?::");
    add_marks(out, false);
    buffer_add_text(out, "(?=[ \n,+*:|]|$))*");
}

/* snare*4 crash+snare:accent | high-tom */
void schema_add_voices(struct buffer *out)
{
    buffer_add_text(out, "^(?:[ \n|]|");
    add_marked_voice(out);
    buffer_add_text(out, "(?:\\+");
    add_marked_voice(out);
    buffer_format(out, "){0,%d}" TIMES "(?=[ \n|]|$))+$", VOICING_VOICES_MAX - 1);
}

/* snare ghost, crash + snare accent, accent */
static void add_voicing(struct buffer *out, bool rest)
{
    buffer_format(out,
                  "^(?=" BLANKS "[^ \n])(?!(?:[^+]*\\+){%d})" BLANKS "(?:", VOICING_VOICES_MAX);
    add_marks(out, rest);
    buffer_add_text(out, "(?:[ \n]+|$))*(?:");
    add_voice(out);
    buffer_add_text(out, "(?:" BLANKS "\\+" BLANKS);
    add_voice(out);
    buffer_add_text(out, "|[ \n]+");
    add_marks(out, false);
    buffer_add_text(out, "(?=[ \n+]|$))*" BLANKS ")?$");
}

void schema_add_limb_voicing(struct buffer *out)
{
    add_voicing(out, false);
}

void schema_add_at_voicing(struct buffer *out)
{
    add_voicing(out, true);
}

/* A voice as a key, with its marks: snare ghost. */
void schema_add_voice_key(struct buffer *out)
{
    buffer_add_text(out, "^[^ ]+(?: +");
    add_marks(out, false);
    buffer_add_text(out, ")*$");
}

/* A voice of the author's own. */
void schema_add_voice_name(struct buffer *out)
{
    buffer_add_text(out, "^(?!");
    add_marks(out, true);
    buffer_add_text(out, "$)[^ -,./:-@\\[-`{-~]+$");
}
