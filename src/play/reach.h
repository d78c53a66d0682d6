#ifndef RATAMARK_PLAY_REACH_H
#define RATAMARK_PLAY_REACH_H
/* Times of moves by their distance and the width of what they end on, both in one unit. */

/* A hand, by Fitts's law; it takes no less than this, and no less than a stroke does. */
double reach_hand_ms(double distance, double width);
/* A foot from pedal to pedal. */
double reach_foot_ms(double distance, double width);

#endif
