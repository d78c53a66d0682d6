#ifndef RATAMARK_BASE_UTF8_H
#define RATAMARK_BASE_UTF8_H
/* Text as UTF-8 (RFC 3629): decoding, counting, and finding what is not. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * The code point at the start of the bytes, and how many bytes it takes (1 to 4). Returns 0 where
 * they are no UTF-8: cut off, overlong, a surrogate, beyond U+10FFFF, or length 0.
 */
size_t utf8_decode(const char *bytes, size_t length, uint32_t *code_point);

/* Code points in valid UTF-8 text; in other text each stray byte counts as one. */
size_t utf8_count(const char *bytes, size_t length);

/* Bytes from the start that are valid UTF-8; equal to `length` where all of them are. */
size_t utf8_valid_length(const char *bytes, size_t length);

/* Writes the code point's bytes (1 to 4) and returns how many; 0 for what is none. */
size_t utf8_encode(uint32_t code_point, char bytes[4]);

#endif
