/*
 * Our click: a short tone with a sharp start, pitched between the drums and the hiss of the cymbals
 * so that it is heard through both; on beat 1 it is higher and longer. Pitches and times were
 * chosen by ear and spectrum.
 */
#include "audio/audio_int.h"

#include <math.h>

static const double tau = 6.283185307179586;

void click_make(bool one, float samples[CLICK_FRAMES * AUDIO_CHANNELS])
{
    double pitch = one ? 2093 : 1568, decay = one ? 0.016 : 0.012, rise = 0.0004, peak = 0;
    for (int i = 0; i < CLICK_FRAMES; i++) {
        double seconds = (double)i / AUDIO_RATE;
        double swell = seconds < rise ? 0.5 - 0.5 * cos(tau / 2 * seconds / rise) : 1;
        double end = (double)(CLICK_FRAMES - i) / CLICK_FRAMES;
        double tone = sin(tau * pitch * seconds) * exp(-seconds / decay) +
                      0.5 * sin(tau * pitch * 2.71 * seconds) * exp(-seconds / (decay / 2));
        double sample = tone * swell * end;
        samples[2 * i] = samples[2 * i + 1] = (float)sample;
        peak = fmax(peak, fabs(sample));
    }
    for (int i = 0; i < CLICK_FRAMES * AUDIO_CHANNELS; i++)
        samples[i] = (float)(samples[i] / peak);
}
