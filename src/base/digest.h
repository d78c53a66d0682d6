#ifndef RATAMARK_BASE_DIGEST_H
#define RATAMARK_BASE_DIGEST_H
/*
 * A file's content in 16 bytes: its BLAKE2b hash (RFC 7693; `b2sum -l 128` prints the same). Ours
 * rather than a library's: GLib, which pango brings, has no BLAKE2, its SHA-256 took 2.6 times as
 * long for 64 KiB (500 against 1310 MB a second, GLib 2.74), and records of courses hold this one.
 *
 *     struct digester digester = digester_begin();
 *     digester_add(&digester, bytes, length);      ... any number of times
 *     struct digest digest = digester_end(&digester);
 */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

enum { DIGEST_BYTES = 16, DIGEST_LETTERS = 32 };

struct digest {
    uint8_t bytes[DIGEST_BYTES];
};

struct digester {
    uint64_t state[8];
    uint64_t length; /* bytes so far, with those in `block` */
    size_t waiting;  /* bytes in `block` */
    uint8_t block[128];
};

struct digester digester_begin(void);
void digester_add(struct digester *digester, const void *bytes, size_t length);
struct digest digester_end(struct digester *digester);

/* Adds a text with its terminating NUL; NULL counts as "". */
static inline void digester_add_text(struct digester *digester, const char *text)
{
    digester_add(digester, text ? text : "", text ? strlen(text) + 1 : 1);
}
/* Adds another digest. */
static inline void digester_add_digest(struct digester *digester, struct digest digest)
{
    digester_add(digester, digest.bytes, sizeof digest.bytes);
}

/* Of bytes that are all there. */
struct digest digest_of(const void *bytes, size_t length);

static inline bool digest_equal(struct digest a, struct digest b)
{
    return memcmp(a.bytes, b.bytes, DIGEST_BYTES) == 0;
}

/* Writes it as DIGEST_LETTERS hexadecimal digits and a NUL; reads them, or returns false. */
void digest_write(struct digest digest, char letters[DIGEST_LETTERS + 1]);
bool digest_read(const char *letters, size_t length, struct digest *digest);

/* The value of a hexadecimal digit (small letters only), or -1. */
extern const int8_t hexadecimal_digits[256]; /* the value + 1; 0: no digit */
static inline int hexadecimal_digit(char letter)
{
    return hexadecimal_digits[(unsigned char)letter] - 1;
}

#endif
