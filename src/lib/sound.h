#ifndef RATAMARK_LIB_SOUND_H
#define RATAMARK_LIB_SOUND_H
/* From a performance to the bytes of a file: MIDI at once, audio through the module that is loaded
   only here, so that no other command pays for its libraries. */
#include "base/buffer.h"
#include "model/format.h"
#include "perform/perform.h"

/* How audio sounds; 0 or NULL is the usual. */
struct sound_settings {
    int32_t loudness; /* LUFS */
    int32_t click_db; /* click volume in dB, 0 = normal */
    const char *font; /* a sound font; NULL: the first that is found */
};

/* Whether audio can be made here; if not, `problem` gets lines: what is missing, then what to do.
 */
bool sound_ready(const struct sound_settings *settings, struct buffer *problem);

/* Whether it is short enough for this format; what is to be told where it is not. */
bool sound_fits(const struct performance *performance, enum format format);
extern const char sound_too_long[];

/* Takes `length` bytes; false, with errno, when they could not be written. */
typedef bool sound_write(void *closure, const void *bytes, size_t length);

/* Writes the performance. What there is to note is added to `notes`, a line each. False where it
   failed: why is in `problem`, or errno where that is empty. */
bool sound_make(const struct performance *performance, enum format format,
                const struct sound_settings *settings, sound_write *write, void *closure,
                struct buffer *notes, struct buffer *problem);

/* What is performed where nothing is asked for: all exercises, each with a bar counted in. */
struct perform_options sound_usual(void);

#endif
