#ifndef RATAMARK_LIB_SOUND_MODULE_H
#define RATAMARK_LIB_SOUND_MODULE_H
/* The module that makes audio, loaded when it is first asked for. */
#include "audio/audio.h"
#include "base/buffer.h"

/* NULL where it is not there or its libraries are not; why, in words, in `why`. */
const struct audio_module *sound_module(struct buffer *why);

/* The sound font that is taken where none is named; NULL where none is installed. */
const char *sound_font_found(void);

#endif
