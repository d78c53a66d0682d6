#ifndef RATAMARK_DRAW_EMBEDDED_H
#define RATAMARK_DRAW_EMBEDDED_H
/* The music face inside the binary: fonts/Ratamark.otf and its SMuFL metadata fonts/Ratamark.json,
   byte for byte, turned into source by fonts/embed.c. */
#include <stddef.h>

extern const unsigned char embedded_face[];
extern const size_t embedded_face_size;
extern const unsigned char embedded_metadata[];
extern const size_t embedded_metadata_size;

#endif
