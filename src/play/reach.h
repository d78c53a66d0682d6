#ifndef RATAMARK_PLAY_REACH_H
#define RATAMARK_PLAY_REACH_H
/* How long moves take, by their distance and the width of the target, both in the same unit. */

/* A hand, by Fitts's law. A stroke after it takes this long or a stroke's own time, whichever is
   longer. */
double reach_hand_ms(double distance, double width);
/* A foot from pedal to pedal. */
double reach_foot_ms(double distance, double width);

#endif
