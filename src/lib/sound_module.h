#ifndef RATAMARK_LIB_SOUND_MODULE_H
#define RATAMARK_LIB_SOUND_MODULE_H
/* The module that makes audio. It is loaded when it is first needed. */
#include "audio/audio.h"
#include "base/buffer.h"

/* NULL if the module or one of its libraries is missing; `why` says which. Any thread may call it.
 */
const struct audio_module *sound_module(struct buffer *why);

/* The sound font to use if the user names none. NULL if none is installed. */
const char *sound_font_found(void);

#endif
