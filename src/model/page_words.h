#ifndef RATAMARK_MODEL_PAGE_WORDS_H
#define RATAMARK_MODEL_PAGE_WORDS_H
/*
 * The words that pages, and the index of a course, print by themselves, in the lesson's language.
 * Each is asked for in English: PAGE_WORDS below, and the spoken names of VOICES, are the msgids of
 * the catalogues in src/words.
 *
 * The catalogues are GNU gettext's: msgfmt compiles them, and the build puts its files into the
 * program. They are read here and not by gettext(): that takes its language from the environment of
 * the whole process, and a library that threads share has to set two lessons in two languages at
 * once. Nothing has to be found on the disk, either.
 *
 * `{n}` and `{m}` stand for numbers.
 */
#include "base/buffer.h"

#include <stddef.h>

/* clang-format off */
#define PAGE_WORDS(X) \
    X("Key") X("ghost note") X("Kit") X("seen from above") X("stool") X("Practice ladder") \
    X(PRACTICE_CAUTION) X("{n} of {m}") X("right lead") X("left lead") X("Right lead") \
    X("Left lead") X("swing") X("straight") X("Contents") X("Cover") X("Exercise {n}") \
    X("beginner") X("intermediate") X("advanced") X("left-handed") X("right-handed") X("Lessons") X("Level") X("Tempo") \
    X("Exercises") X("Skip to the lessons") X("All lessons in one booklet (PDF)") \
    X("Parts of the course") X("Practise") X("Sheet") X("Sound") X("feet") X("Find a lesson") \
    X("any level")
/* of the practice page alone */
#define PRACTICE_WORDS(X) \
    X("Skip to the exercises") X("beats a minute") X("Play") X("Playing") X("Start") X("Stop") \
    X("Stopped") X("pickup") X("time {n}") X("From bar {n} to bar {m}") X("played") \
    X("Ticks are kept on this device alone.") X("Beats a minute") X("One beat slower") \
    X("One beat faster") X("Sound and marking") X("Click") X("Drums") X("hands and feet") \
    X("hands alone") X("feet alone") X("click alone") X("Click falls silent") X("never") \
    X("every other bar") X("for 2 bars of 4") X("for 4 bars of 8") X("Over and over") \
    X("Hear once, play once") X("Go on to the next exercise") X("Mark what sounds") \
    X("Drums, level") X("Click, level") X("Bars and climbing") X("From bar") X("To bar") \
    X("All bars") X("Climb by itself") X("Times through") X("Then beats faster") X("Up to") \
    X("About this lesson, as text") X("This exercise as text") X("The end of the lesson, as text") \
    X("Practice")
/* for one, for several */
#define PAGE_PLURALS(X) X("play {n} time", "play {n} times") X("lesson", "lessons") X("{n} lesson", "{n} lessons")

#define LANGUAGES(X) X(de) X(es) X(fr) X(it) X(nl) X(pt)

#define PRACTICE_CAUTION "Start slow and even. Stop at pain; if it lasts, ask a teacher or clinician. Rest often; protect your ears."
/* clang-format on */

/* A word that the author gives: `page-words: {Key: Legend}`. */
struct own_word {
    const char *english, *own;
};

/* NULL in its place: English. */
struct page_words {
    const unsigned char *catalogue; /* NULL: none for the language; then English */
    const struct own_word *own;     /* before the catalogue's */
    size_t own_count;
};

/* The catalogue for a language tag ("de", "pt-BR"); NULL if there is none. */
const unsigned char *catalogue_for(const char *language);
/* What the catalogue has for a msgid; NULL: nothing. `form`: 0, or of a plural its form. */
const char *catalogue_find(const unsigned char *catalogue, const char *english, unsigned form);

/* The word in the page's language; the English one where that has none. */
const char *page_word(const struct page_words *words, const char *english);
/* The one that goes with the number. */
const char *page_plural(const struct page_words *words, const char *one, const char *many,
                        unsigned number);
/* Adds a word with its numbers in place. */
void page_word_fill(struct buffer *out, const char *word, unsigned n, unsigned m);

/* The word as it is kept here, if pages print it by themselves; also the spoken name of a built-in
   voice. NULL if they do not. */
const char *page_word_known(const char *english);
/* All words that they print, in order; NULL after the last. */
const char *page_word_number(size_t index);

#endif
