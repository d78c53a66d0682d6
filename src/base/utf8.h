#ifndef RATAMARK_BASE_UTF8_H
#define RATAMARK_BASE_UTF8_H
/* UTF-8 (RFC 3629): decodes, encodes, counts and validates. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Sets the code point at the start of the bytes and returns how many bytes it takes (1 to 4).
   Returns 0 if they are not valid: cut off, overlong, a surrogate, beyond U+10FFFF, or none. */
size_t utf8_decode(const char *bytes, size_t length, uint32_t *code_point);

/* The number of code points; each invalid byte counts as one. */
size_t utf8_count(const char *bytes, size_t length);

/* The number of bytes before the first invalid one; `length` if all are valid. */
size_t utf8_valid_length(const char *bytes, size_t length);

/* Writes the bytes of a code point and returns how many (1 to 4); 0 if it is no code point. */
size_t utf8_encode(uint32_t code_point, char bytes[4]);

#endif
