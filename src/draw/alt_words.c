#include "draw/alt_words.h"

#include "base/buffer.h"
#include "base/vector.h"

#include <strings.h>

typedef VECTOR(struct page_part) part_list;

static struct page_part *part_of(part_list *parts, const struct mark *mark, struct arena *arena)
{
    for (size_t i = parts->count; i-- > 0;)
        if (parts->items[i].exercise == mark->owner.exercise)
            return &parts->items[i];
    struct page_part *part = vector_push(parts, arena);
    *part = (struct page_part){mark->owner.exercise, false, mark->box};
    return part;
}

struct page_parts words_parts(const struct page *page, struct arena *arena)
{
    part_list parts = {0};
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->owner.exercise == OWNER_NONE)
            continue;
        struct page_part *part = part_of(&parts, mark, arena);
        part->begins |= mark->role == ROLE_HEADING_RING;
        part->box = box_joined(part->box, mark->box);
    }
    return (struct page_parts){parts.items, parts.count};
}

const char *words_say(const struct drawing_words *words, enum words_part part, uint32_t exercise,
                      struct arena *arena)
{
    struct buffer text = {0};
    words->say(words->self, part, exercise, &text);
    return buffer_keep(&text, arena);
}

const char *words_language(const struct drawing_words *words)
{
    const char *language = words->language;
    bool english = !language || (strncasecmp(language, "en", 2) == 0 &&
                                 (language[2] == '\0' || language[2] == '-'));
    return english ? NULL : "en";
}

const char *words_title(const struct drawing_words *words, const struct page_part *part,
                        struct arena *arena)
{
    return arena_format(arena, "%s%s", words_say(words, WORDS_HEADING, part->exercise, arena),
                        part->begins ? "" : ", continued");
}

const char *words_text(const struct drawing_words *words, const struct page_part *part,
                       struct arena *arena)
{
    if (!part->begins)
        return "It begins on an earlier page and is described there in full.";
    return arena_format(arena, "%s%s%s", words_say(words, WORDS_PARAGRAPHS, part->exercise, arena),
                        words_say(words, WORDS_MUSIC, part->exercise, arena),
                        words_say(words, WORDS_LADDER, part->exercise, arena));
}

const char *words_page_title(const char *title, const struct page *page, struct arena *arena)
{
    if (page->count < 2)
        return title;
    return arena_format(arena, "%s%spage %u of %u", title ? title : "", title ? ", " : "",
                        (unsigned)page->number, (unsigned)page->count);
}
