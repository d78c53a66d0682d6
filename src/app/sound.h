#ifndef RATAMARK_APP_SOUND_H
#define RATAMARK_APP_SOUND_H
/* From a performance to the bytes of a file: MIDI at once, audio through the module that is loaded
   only here, so that no other command pays for its libraries. */
#include "app/options.h"
#include "app/status.h"
#include "base/file.h"
#include "perform/perform.h"

enum sound_format { SOUND_MIDI, SOUND_WAV, SOUND_FLAC, SOUND_OGG };

/* The format of an ending with its dot, case ignored; false where it names none. */
bool sound_format_of(const char *ending, enum sound_format *format);

/* Whether this format can be made here; if not, says plainly what is missing. */
enum status sound_ready(enum sound_format format);

/* Writes the performance; what there is to note is said unless `quiet`. The file is the caller's to
   commit or abandon. */
enum status sound_make(const struct performance *performance, enum sound_format format,
                       const struct sound_options *options, bool quiet, struct file_output *file);

#endif
