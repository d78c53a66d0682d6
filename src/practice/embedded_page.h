#ifndef RATAMARK_PRACTICE_EMBEDDED_PAGE_H
#define RATAMARK_PRACTICE_EMBEDDED_PAGE_H
/* practice.js and practice.css inside the program, each with its SHA-256 in base64 (written by
   fonts/embed.c). */
#include <stddef.h>

extern const unsigned char embedded_script[], embedded_look[];
extern const size_t embedded_script_size, embedded_look_size;
extern const char embedded_script_sha256[], embedded_look_sha256[];

#endif
