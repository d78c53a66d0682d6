#ifndef RATAMARK_MODEL_TURNED_H
#define RATAMARK_MODEL_TURNED_H
/*
 * Texts that name a hand. In `Begin with the {right|left} hand.` the words before the bar are what
 * the lesson says as it is written; those after it are for a player of the other hand.
 */
#include <stdbool.h>
#include <stddef.h>

/* A text with such words. `text` is what the lesson says at the moment: it has room for all of
   `raw`. */
struct turned_text {
    char *text;
    const char *raw;
};

/* The end of the `{right|left}` that begins here, after its `}`; NULL: none begins here. */
const char *turned_end(const char *text);
/* Whether the text has one. */
bool turned_any(const char *text);
/* The text as the file has it, if it is one of these that say something else to the other player;
   else the text itself. */
const char *turned_raw(const struct turned_text *all, size_t count, const char *text);
/* Makes the text say what is for this player. */
void turned_say(const struct turned_text *turned, bool other_player);

#endif
