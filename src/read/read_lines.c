/* The little languages on their own, without a lesson around them. */
#include "read/reader_int.h"

static struct reader reader_of(struct arena *arena, struct diags *diags)
{
    return (struct reader){.arena = arena, .scratch = arena, .diags = diags};
}

struct stroke_line *read_stroke_line(struct arena *arena, const char *text, struct place at,
                                     struct diags *diags)
{
    struct reader reader = reader_of(arena, diags);
    struct text direct = text_direct(text, at);
    return read_strokes(&reader, &direct);
}

struct rhythm_line *read_rhythm_line(struct arena *arena, const char *text, struct place at,
                                     struct diags *diags)
{
    struct reader reader = reader_of(arena, diags);
    struct text direct = text_direct(text, at);
    return read_rhythm(&reader, &direct);
}

struct address_list *read_addresses(struct arena *arena, const char *text, struct place at,
                                    struct diags *diags)
{
    struct reader reader = reader_of(arena, diags);
    struct text direct = text_direct(text, at);
    struct address_list *list = arena_alloc(arena, sizeof *list);
    return read_address_text(&reader, &direct, list) ? list : NULL;
}
