#include "base/utf8.h"

#include <string.h>

/* The smallest code point for each number of bytes; anything smaller is overlong. */
static const uint32_t least_of_size[] = {0, 0, 0x80, 0x800, 0x10000};

static size_t size_from_first(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first >= 0xC2 && first < 0xE0)
        return 2;
    if (first >= 0xE0 && first < 0xF0)
        return 3;
    return first >= 0xF0 && first < 0xF5 ? 4 : 0;
}

static bool is_code_point(uint32_t code)
{
    return code <= 0x10FFFF && !(code >= 0xD800 && code <= 0xDFFF);
}

size_t utf8_decode(const char *bytes, size_t length, uint32_t *code_point)
{
    size_t size = length ? size_from_first((unsigned char)bytes[0]) : 0;
    if (size == 0 || size > length)
        return 0;
    uint32_t code = (unsigned char)bytes[0];
    if (size > 1)
        code &= 0x7Fu >> size;
    for (size_t i = 1; i < size; i++) {
        unsigned char next = (unsigned char)bytes[i];
        if ((next & 0xC0) != 0x80)
            return 0;
        code = code << 6 | (next & 0x3F);
    }
    if (code < least_of_size[size] || !is_code_point(code))
        return 0;
    *code_point = code;
    return size;
}

size_t utf8_count(const char *bytes, size_t length)
{
    size_t count = 0;
    for (size_t i = 0; i < length; count++) {
        uint32_t code;
        size_t size =
            (unsigned char)bytes[i] < 0x80 ? 1 : utf8_decode(bytes + i, length - i, &code);
        i += size ? size : 1;
    }
    return count;
}

/* Eight bytes at a time, as nearly all of a lesson is ASCII. */
static size_t skip_ascii(const char *bytes, size_t length)
{
    size_t i = 0;
    for (uint64_t word; i + sizeof word <= length; i += sizeof word) {
        memcpy(&word, bytes + i, sizeof word);
        if (word & UINT64_C(0x8080808080808080))
            break;
    }
    while (i < length && (unsigned char)bytes[i] < 0x80)
        i++;
    return i;
}

size_t utf8_valid_length(const char *bytes, size_t length)
{
    size_t i = 0;
    for (;;) {
        i += skip_ascii(bytes + i, length - i);
        uint32_t code;
        size_t size = utf8_decode(bytes + i, length - i, &code);
        if (size == 0)
            return i;
        i += size;
    }
}

size_t utf8_encode(uint32_t code, char bytes[4])
{
    if (!is_code_point(code))
        return 0;
    if (code < 0x80) {
        bytes[0] = (char)code;
        return 1;
    }
    size_t size = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = size; i-- > 1; code >>= 6)
        bytes[i] = (char)(0x80 | (code & 0x3F));
    bytes[0] = (char)((0xF00u >> size & 0xF0u) | code);
    return size;
}
