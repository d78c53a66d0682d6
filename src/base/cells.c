#include "base/cells.h"

#include "base/utf8.h"

#include <stdbool.h>
#include <string.h>

struct range {
    uint32_t first, last;
};

/* Blocks of Unicode whose characters combine with the one before, or are invisible. */
static const struct range no_cell[] = {
    {0x300, 0x36F},   {0x483, 0x489},   {0x591, 0x5BD},   {0x610, 0x61A},   {0x64B, 0x65F},
    {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200F}, {0x2060, 0x2064}, {0x20D0, 0x20FF},
    {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0xFEFF, 0xFEFF},
};

/* Blocks whose characters are wide (Unicode Standard Annex 11, East Asian Width W and F). */
static const struct range two_cells[] = {
    {0x1100, 0x115F},   {0x2E80, 0x303E},   {0x3041, 0x4DBF},   {0x4E00, 0xA4CF},
    {0xA960, 0xA97F},   {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},
    {0xFF01, 0xFF60},   {0xFFE0, 0xFFE6},   {0x1F300, 0x1F320}, {0x1F3E0, 0x1F3F0},
    {0x1F400, 0x1F43E}, {0x1F442, 0x1F4FC}, {0x1F600, 0x1F64F}, {0x1F680, 0x1F6C5},
    {0x1F90C, 0x1F93A}, {0x1F947, 0x1F9FF}, {0x20000, 0x3FFFD},
};

static bool is_among(uint32_t code_point, const struct range *ranges, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (code_point >= ranges[i].first && code_point <= ranges[i].last)
            return true;
    }
    return false;
}

int cells_of(uint32_t code_point)
{
    if (code_point < 0x300)
        return 1;
    if (is_among(code_point, no_cell, sizeof no_cell / sizeof *no_cell))
        return 0;
    return is_among(code_point, two_cells, sizeof two_cells / sizeof *two_cells) ? 2 : 1;
}

size_t cells_of_text(const char *text, size_t length)
{
    size_t cells = 0;
    for (size_t at = 0; at < length;) {
        uint32_t code_point = 0;
        size_t bytes = utf8_decode(text + at, length - at, &code_point);
        cells += bytes ? (size_t)cells_of(code_point) : 1;
        at += bytes ? bytes : 1;
    }
    return cells;
}

/* Control characters begin escape sequences; overrides reorder the text around them (Unicode
   Standard Annex 9). */
static bool controls_terminal(uint32_t code_point)
{
    static const struct range controls[] = {
        {0, 0x1F}, {0x7F, 0x9F}, {0x2028, 0x2029}, {0x202A, 0x202E}, {0x2066, 0x2069}};
    return is_among(code_point, controls, sizeof controls / sizeof *controls);
}

void cells_clean(struct buffer *out, const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        uint32_t code_point = 0;
        size_t bytes = utf8_decode(text + at, length - at, &code_point);
        if (bytes == 1 && text[at] == '\t')
            buffer_add_text(out, " ");
        else if (bytes && !controls_terminal(code_point))
            buffer_add(out, text + at, bytes);
        else
            buffer_add_text(out, "\xEF\xBF\xBD");
        at += bytes ? bytes : 1;
    }
}

void cells_clean_lines(struct buffer *out, const char *text, size_t length)
{
    for (const char *end; (end = memchr(text, '\n', length)); text = end + 1) {
        cells_clean(out, text, (size_t)(end - text));
        buffer_add_text(out, "\n");
        length -= (size_t)(end + 1 - text);
    }
    cells_clean(out, text, length);
}
