#ifndef RATAMARK_BASE_DIGEST_H
#define RATAMARK_BASE_DIGEST_H
/*
 * What stands for the content of a file: its BLAKE2b hash of 128 bits (RFC 7693; `b2sum -l 128`
 * prints the same).
 *
 *     struct digester digester = digester_begin();
 *     digester_add(&digester, bytes, length);      ... as often as wanted
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
    uint64_t length; /* bytes so far, those that wait included */
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

/* All at once. */
struct digest digest_of(const void *bytes, size_t length);

static inline bool digest_equal(struct digest a, struct digest b)
{
    return memcmp(a.bytes, b.bytes, DIGEST_BYTES) == 0;
}

/* As DIGEST_LETTERS hexadecimal digits and a NUL; and back, false where they are none. */
void digest_write(struct digest digest, char letters[DIGEST_LETTERS + 1]);
bool digest_read(const char *letters, size_t length, struct digest *digest);

/* The value of a hexadecimal digit as they are written here, -1: it is none. */
extern const int8_t hexadecimal_digits[256]; /* one more; 0: none */
static inline int hexadecimal_digit(char letter)
{
    return hexadecimal_digits[(unsigned char)letter] - 1;
}

#endif
