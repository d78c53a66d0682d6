/* BLAKE2b, with the names of RFC 7693, section 3. */
#include "base/digest.h"

enum { BLOCK = 128, ROUNDS = 12 };

static const uint64_t start_words[8] = {
    UINT64_C(0x6a09e667f3bcc908), UINT64_C(0xbb67ae8584caa73b), UINT64_C(0x3c6ef372fe94f82b),
    UINT64_C(0xa54ff53a5f1d36f1), UINT64_C(0x510e527fade682d1), UINT64_C(0x9b05688c2b3e6c1f),
    UINT64_C(0x1f83d9abfb41bd6b), UINT64_C(0x5be0cd19137e2179),
};

/* The order of a block's words in each round; the last two rounds repeat the first two. */
static const uint8_t sigma[ROUNDS][16] = {
    {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15},
    {14, 10, 4, 8, 9, 15, 13, 6, 1, 12, 0, 2, 11, 7, 5, 3},
    {11, 8, 12, 0, 5, 2, 15, 13, 10, 14, 3, 6, 7, 1, 9, 4},
    {7, 9, 3, 1, 13, 12, 11, 14, 2, 6, 5, 10, 4, 0, 15, 8},
    {9, 0, 5, 7, 2, 4, 10, 15, 14, 1, 11, 12, 6, 8, 3, 13},
    {2, 12, 6, 10, 0, 11, 8, 3, 4, 13, 7, 5, 15, 14, 1, 9},
    {12, 5, 1, 15, 14, 13, 4, 10, 0, 7, 6, 3, 9, 2, 8, 11},
    {13, 11, 7, 14, 12, 1, 3, 9, 5, 0, 15, 4, 8, 6, 2, 10},
    {6, 15, 14, 9, 11, 3, 0, 8, 12, 2, 13, 7, 1, 4, 10, 5},
    {10, 2, 8, 4, 7, 6, 1, 5, 15, 11, 9, 14, 3, 12, 13, 0},
    {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15},
    {14, 10, 4, 8, 9, 15, 13, 6, 1, 12, 0, 2, 11, 7, 5, 3},
};

static inline uint64_t turn(uint64_t word, int bits)
{
    return word >> bits | word << (64 - bits);
}

static inline __attribute__((always_inline)) void mix(uint64_t *v, int a, int b, int c, int d,
                                                      uint64_t x, uint64_t y)
{
    v[a] += v[b] + x;
    v[d] = turn(v[d] ^ v[a], 32);
    v[c] += v[d];
    v[b] = turn(v[b] ^ v[c], 24);
    v[a] += v[b] + y;
    v[d] = turn(v[d] ^ v[a], 16);
    v[c] += v[d];
    v[b] = turn(v[b] ^ v[c], 63);
}

/* Written out like this, compilers make it a single load. */
static inline uint64_t word_at(const uint8_t *bytes)
{
    return (uint64_t)bytes[0] | (uint64_t)bytes[1] << 8 | (uint64_t)bytes[2] << 16 |
           (uint64_t)bytes[3] << 24 | (uint64_t)bytes[4] << 32 | (uint64_t)bytes[5] << 40 |
           (uint64_t)bytes[6] << 48 | (uint64_t)bytes[7] << 56;
}

/* One round. Inlined with a constant order, so that the words stay in registers. */
static inline __attribute__((always_inline)) void mix_all(uint64_t *v, const uint64_t *m,
                                                          const uint8_t *s)
{
    mix(v, 0, 4, 8, 12, m[s[0]], m[s[1]]);
    mix(v, 1, 5, 9, 13, m[s[2]], m[s[3]]);
    mix(v, 2, 6, 10, 14, m[s[4]], m[s[5]]);
    mix(v, 3, 7, 11, 15, m[s[6]], m[s[7]]);
    mix(v, 0, 5, 10, 15, m[s[8]], m[s[9]]);
    mix(v, 1, 6, 11, 12, m[s[10]], m[s[11]]);
    mix(v, 2, 7, 8, 13, m[s[12]], m[s[13]]);
    mix(v, 3, 4, 9, 14, m[s[14]], m[s[15]]);
}

/* Takes in a block; `length`: bytes up to its end. */
static void compress(uint64_t *state, const uint8_t *block, uint64_t length, bool last)
{
    uint64_t v[16], m[16];
    for (int i = 0; i < 8; i++) {
        v[i] = state[i];
        v[i + 8] = start_words[i];
    }
    for (int i = 0; i < 16; i++)
        m[i] = word_at(block + i * 8);
    v[12] ^= length;
    if (last)
        v[14] = ~v[14];
    mix_all(v, m, sigma[0]);
    mix_all(v, m, sigma[1]);
    mix_all(v, m, sigma[2]);
    mix_all(v, m, sigma[3]);
    mix_all(v, m, sigma[4]);
    mix_all(v, m, sigma[5]);
    mix_all(v, m, sigma[6]);
    mix_all(v, m, sigma[7]);
    mix_all(v, m, sigma[8]);
    mix_all(v, m, sigma[9]);
    mix_all(v, m, sigma[10]);
    mix_all(v, m, sigma[11]);
    for (int i = 0; i < 8; i++)
        state[i] ^= v[i] ^ v[i + 8];
}

struct digester digester_begin(void)
{
    struct digester digester = {.length = 0};
    memcpy(digester.state, start_words, sizeof start_words);
    digester.state[0] ^= 0x01010000 ^ DIGEST_BYTES; /* fan-out and depth 1, no key */
    return digester;
}

/* The last block is compressed differently, so a full one waits until more bytes follow. */
void digester_add(struct digester *digester, const void *bytes, size_t length)
{
    const uint8_t *from = bytes;
    while (length) {
        if (digester->waiting == BLOCK) {
            compress(digester->state, digester->block, digester->length, false);
            digester->waiting = 0;
        }
        size_t taken = BLOCK - digester->waiting;
        if (taken > length)
            taken = length;
        memcpy(digester->block + digester->waiting, from, taken);
        digester->waiting += taken;
        digester->length += taken;
        from += taken;
        length -= taken;
    }
}

struct digest digester_end(struct digester *digester)
{
    memset(digester->block + digester->waiting, 0, BLOCK - digester->waiting);
    compress(digester->state, digester->block, digester->length, true);
    struct digest digest;
    for (int i = 0; i < DIGEST_BYTES; i++)
        digest.bytes[i] = (uint8_t)(digester->state[i / 8] >> (i % 8 * 8));
    return digest;
}

struct digest digest_of(const void *bytes, size_t length)
{
    struct digester digester = digester_begin();
    digester_add(&digester, bytes, length);
    return digester_end(&digester);
}

/* ---- as text ------------------------------------------------------------------------------ */

void digest_write(struct digest digest, char letters[DIGEST_LETTERS + 1])
{
    static const char digits[] = "0123456789abcdef";
    for (int i = 0; i < DIGEST_BYTES; i++) {
        letters[i * 2] = digits[digest.bytes[i] >> 4];
        letters[i * 2 + 1] = digits[digest.bytes[i] & 15];
    }
    letters[DIGEST_LETTERS] = '\0';
}

const int8_t hexadecimal_digits[256] = {
    ['0'] = 1, ['1'] = 2,  ['2'] = 3,  ['3'] = 4,  ['4'] = 5,  ['5'] = 6,  ['6'] = 7,  ['7'] = 8,
    ['8'] = 9, ['9'] = 10, ['a'] = 11, ['b'] = 12, ['c'] = 13, ['d'] = 14, ['e'] = 15, ['f'] = 16,
};

bool digest_read(const char *letters, size_t length, struct digest *digest)
{
    if (length != DIGEST_LETTERS)
        return false;
    int all = 0;
    for (int i = 0; i < DIGEST_BYTES; i++) {
        int high = hexadecimal_digit(letters[i * 2]), low = hexadecimal_digit(letters[i * 2 + 1]);
        all |= high | low; /* negative as soon as one is no digit */
        digest->bytes[i] = (uint8_t)((unsigned)high << 4 | (unsigned)low);
    }
    return all >= 0;
}
