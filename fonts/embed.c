/*
 * Turns a file into C source that holds its bytes, so that the program does not need the file:
 *
 *     embed SYMBOL FILE > OUT.c
 *
 * OUT.c defines `const unsigned char SYMBOL[]`, `const size_t SYMBOL_size` and, for pages that
 * allow a script by its digest, `const char SYMBOL_sha256[]` in base64. The Makefile builds and
 * runs this first; it needs only the compiler.
 */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* ---- SHA-256 (FIPS 180-4) ------------------------------------------------------------------- */

static const uint32_t round_constants[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

struct sha256 {
    uint32_t state[8];
    uint8_t block[64];
    uint64_t length;
};

static uint32_t turned(uint32_t word, int bits)
{
    return word >> bits | word << (32 - bits);
}

static void spread_block(const uint8_t block[64], uint32_t words[64])
{
    for (int i = 0; i < 16; i++)
        words[i] = (uint32_t)block[4 * i] << 24 | (uint32_t)block[4 * i + 1] << 16 |
                   (uint32_t)block[4 * i + 2] << 8 | block[4 * i + 3];
    for (int i = 16; i < 64; i++) {
        uint32_t a = words[i - 15], b = words[i - 2];
        words[i] = words[i - 16] + (turned(a, 7) ^ turned(a, 18) ^ a >> 3) + words[i - 7] +
                   (turned(b, 17) ^ turned(b, 19) ^ b >> 10);
    }
}

static void take_block(struct sha256 *sha)
{
    uint32_t words[64], s[8];
    spread_block(sha->block, words);
    memcpy(s, sha->state, sizeof s);
    for (int i = 0; i < 64; i++) {
        uint32_t choice = (s[4] & s[5]) ^ (~s[4] & s[6]);
        uint32_t most = (s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]);
        uint32_t one = s[7] + (turned(s[4], 6) ^ turned(s[4], 11) ^ turned(s[4], 25)) + choice +
                       round_constants[i] + words[i];
        uint32_t two = (turned(s[0], 2) ^ turned(s[0], 13) ^ turned(s[0], 22)) + most;
        memmove(s + 1, s, 7 * sizeof *s);
        s[4] += one;
        s[0] = one + two;
    }
    for (int i = 0; i < 8; i++)
        sha->state[i] += s[i];
}

static void take_byte(struct sha256 *sha, uint8_t byte)
{
    sha->block[sha->length++ % 64] = byte;
    if (sha->length % 64 == 0)
        take_block(sha);
}

static void finish_sha(struct sha256 *sha)
{
    uint64_t bits = sha->length * 8;
    take_byte(sha, 0x80);
    while (sha->length % 64 != 56)
        take_byte(sha, 0);
    for (int shift = 56; shift >= 0; shift -= 8)
        take_byte(sha, (uint8_t)(bits >> shift));
}

/* Base64 (RFC 4648) of the 32 bytes of the digest: 43 letters and one `=`. */
static void print_base64(const struct sha256 *sha)
{
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (int bit = 0; bit < 256; bit += 6) {
        unsigned six = 0;
        for (int i = bit; i < bit + 6; i++)
            six = six << 1 | (i < 256 ? sha->state[i / 32] >> (31 - i % 32) & 1 : 0);
        putchar(letters[six]);
    }
    putchar('=');
}

/* ---- the source ----------------------------------------------------------------------------- */

static int embed(const char *symbol, FILE *in)
{
    printf("#include <stddef.h>\n"
           "extern const unsigned char %s[];\n"
           "extern const size_t %s_size;\n"
           "extern const char %s_sha256[];\n"
           "const unsigned char %s[] = {",
           symbol, symbol, symbol, symbol);
    struct sha256 sha = {.state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f,
                                   0x9b05688c, 0x1f83d9ab, 0x5be0cd19}};
    size_t count = 0;
    for (int byte = getc(in); byte != EOF; byte = getc(in)) {
        printf("%s%d,", count++ % 24 ? "" : "\n", byte);
        take_byte(&sha, (uint8_t)byte);
    }
    finish_sha(&sha);
    printf("\n};\nconst size_t %s_size = %zu;\nconst char %s_sha256[] = \"", symbol, count, symbol);
    print_base64(&sha);
    printf("\";\n");
    return count == 0 || ferror(in) || fflush(stdout) || ferror(stdout);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: embed SYMBOL FILE > OUT.c\n");
        return 2;
    }
    FILE *in = fopen(argv[2], "rb");
    if (!in || embed(argv[1], in)) {
        fprintf(stderr, "embed: cannot turn '%s' into source\n", argv[2]);
        return 1;
    }
    fclose(in);
    return 0;
}
