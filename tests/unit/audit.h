#ifndef RATAMARK_TESTS_AUDIT_H
#define RATAMARK_TESTS_AUDIT_H
/* clang-format off */
/*
 * Walks a page's marks and says what is wrong with it, by the six rules of the engraving design,
 * and more of evenness:
 *
 *   1 ink of two roles touches that may not
 *   2 a letter or syllable is off its column, a grace's letter off its head, or one off its row
 *   3 equal durations of a system are spaced unequally where no ink pushed them
 *   4 a system misses its right margin
 *   5 a beam crosses a beat, a stem misses its beam, a tuplet has no number, a note no letter
 *   6 ink stands outside the margins, or a heading without its first line
 *   7 bars of one rhythm are set unequally, or lines of one rhythm not under each other
 *   8 a beam leaves a narrow white to a staff line
 *   9 accents, open signs or tuplet numbers stand nearly, but not quite, on one line, or beside a
 *     stem
 *  10 a column is pushed on, but no ink is near that would touch
 *  11 signs of a chart run into each other or stand askew, a coda begins inside a line, a double
 *     bar line is missing; a line begins with a sign for the bars before; brackets of endings or
 *     "play n times" are at several heights, or a hook beside its bar line
 *  12 counts of one exercise differ in their cut, are condensed where they have room, or too near;
 *     letters, or the numbers of rolls, are too near; a text is smaller than 7 points; some feet have no letter, or their row
 *     no name
 *  13 a rest stands at the wrong height or off the middle of its bar, or stuck to ink, or one of
 *     the feet is missing that says when their next note comes
 *  14 the figures of a meter run together, a grace or its slur misses the main head, a
 *     parenthesis stands far from its head
 *  15 an instruction is not flush with its title, a title touches its rule, the titles of two
 *     leads break in two ways, or "play n times" is off the line of the text or staff beside it
 *  16 a line is stretched too far, or ragged for no reason; like bars are divided unlike
 *  17 pages that follow each other end at two heights, or one is bare beside a full one, though it
 *     could be helped; staves of two kinds; a shared tempo is printed again; the key has not the
 *     voices that are played
 */
/* clang-format on */
#include "base/buffer.h"
#include "model/page.h"
#include "model/score.h"
#include "outlines.h"

enum { AUDIT_RULES = 17 };

/* What rule 17 knows of a page. */
struct audit_sheet {
    uint32_t number; /* 0: none */
    struct page_fill fill;
    sp foot, height;              /* its lowest ink; from margin to margin */
    sp first_height, last_height; /* of exercises that stand whole at top and foot; 0: none does */
};

struct audit {
    size_t found[AUDIT_RULES + 1]; /* findings by rule, from 1 */
    struct audit_sheet before;     /* the page audited last */
    struct buffer report;          /* a line each, the first AUDIT_REPORTED of them */
};

enum { AUDIT_REPORTED = 40 };

/* What a page is audited against. */
struct audit_of {
    const struct score *score;
    const struct metrics *metrics;   /* what it was set by */
    const struct outlines *outlines; /* of the same signs; NULL: they fill their boxes */
};

/* Adds what is wrong with the page to `audit`, which begins as {0} and takes the pages of a lesson
   in order. */
void audit_page(const struct page *page, const struct audit_of *of, struct audit *audit);
size_t audit_total(const struct audit *audit);
void audit_release(struct audit *audit);

#endif
