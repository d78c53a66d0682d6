#ifndef RATAMARK_LAYOUT_LABELS_H
#define RATAMARK_LAYOUT_LABELS_H
/* Letters and syllables, centred on their column for the eye. */
#include "model/metrics.h"

#include <stdio.h>
#include <string.h>

struct short_label {
    label_id label;
    struct box ink; /* from the origin */
    sp centre;      /* for the eye */
};

static inline struct short_label label_short(const struct metrics *metrics, enum text_style style,
                                             const char *text)
{
    label_id label = metrics_label(metrics, style, text, strlen(text));
    return (struct short_label){label, metrics_of_label(metrics, label)->ink,
                                metrics->label_centre(metrics->self, label)};
}

/* The text of a roll's number: of two digits, at most. */
enum { ROLL_NUMBER_ROOM = 4 };
static inline const char *roll_number_text(uint8_t roll, char text[ROLL_NUMBER_ROOM])
{
    snprintf(text, ROLL_NUMBER_ROOM, "%u", roll);
    return text;
}

/* The text of a stroke's letter. */
static inline const char *letter_text(uint8_t letter)
{
    switch (letter) {
    case 'R':
        return "R";
    case 'L':
        return "L";
    case 'K':
        return "K";
    case 'H':
        return "H";
    default:
        return "B";
    }
}

#endif
