#ifndef RATAMARK_DRAW_FACES_H
#define RATAMARK_DRAW_FACES_H
/* The open faces, for those who draw with them. */
#include "draw/draw.h"
#include "draw/music_face.h"
#include "draw/text_labels.h"

struct faces {
    struct music_face *music;
    struct text_labels *labels;
    missing_characters missing; /* of the labels since faces_renew() */
    double space_mm;
};

/* Points of paper in a thousandth of a staff space. */
double faces_points_per_sp(const struct faces *faces);

#endif
