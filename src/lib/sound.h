#ifndef RATAMARK_LIB_SOUND_H
#define RATAMARK_LIB_SOUND_H
/* From a performance to the bytes of a file: MIDI directly, audio through a module. It is loaded
   only here, so that no other command pays for its libraries. */
#include "base/buffer.h"
#include "model/format.h"
#include "perform/perform.h"

/* How audio sounds. 0 or NULL: the default. */
struct sound_settings {
    int32_t loudness; /* LUFS */
    int32_t click_db; /* click volume in dB, 0 = normal */
    const char *font; /* path of a sound font; NULL: the first one that is installed */
};

/* Whether audio can be made here. If not, `problem` says what is missing and what to do, in lines.
 */
bool sound_ready(const struct sound_settings *settings, struct buffer *problem);

/* Whether the performance is short enough for this format, and the message if it is not. */
bool sound_fits(const struct performance *performance, enum format format);
extern const char sound_too_long[];

/* Takes `length` bytes. False, with errno, if they could not be written. */
typedef bool sound_write(void *closure, const void *bytes, size_t length);

/* Writes the performance. Notes for the user are added to `notes`, a line each. False if it failed:
   `problem` says why, or errno if `problem` is empty. */
bool sound_make(const struct performance *performance, enum format format,
                const struct sound_settings *settings, sound_write *write, void *closure,
                struct buffer *notes, struct buffer *problem);

/* The default performance: all exercises, each after one bar of count-in. */
struct perform_options sound_usual(void);

#endif
