/* Count addresses: 1 2& 3e, 2:3&, 1..2a, each beat, each &, each 6 strokes, eighths. */
#include "read/read_int.h"

#include <ctype.h>
#include <string.h>

struct address_reader {
    struct reader *reader;
    const struct text *text;
    struct text_cursor cursor;
    size_t offset;
    VECTOR(struct address) items;
    bool failed;
};

/* A stretch of the text: a word between blanks and commas. */
struct word {
    const char *bytes;
    size_t offset, length;
};

static bool is_separator(char byte)
{
    return is_space(byte) || byte == ',';
}

/* The next word from `offset` on; length 0 at the end. */
static struct word word_from(const struct address_reader *addresses, size_t offset)
{
    const struct text *text = addresses->text;
    while (offset < text->length && is_separator(text->bytes[offset]))
        offset++;
    size_t end = offset;
    while (end < text->length && !is_separator(text->bytes[end]))
        end++;
    return (struct word){text->bytes + offset, offset, end - offset};
}

static struct place place_of(struct address_reader *addresses, size_t offset, size_t length)
{
    return text_stretch(&addresses->cursor, offset, length);
}

static const char *const forms[] = {"each",       "each beat",        "quarters",    "eighths",
                                    "sixteenths", "eighth triplets",  "quintuplets", "septuplets",
                                    "sextuplets", "quarter triplets", "duplets",     "quadruplets"};

static void complain(struct address_reader *addresses, size_t offset, size_t length,
                     const char *message)
{
    struct reader *reader = addresses->reader;
    const char *bytes = addresses->text->bytes + offset;
    addresses->failed = true;
    report_stretch(
        reader, DIAG_UNKNOWN_COUNT, place_of(addresses, offset, length), bytes, length, message,
        "a count such as 1, 2&, 3e, 2:3& (bar 2), 1..2a, 'each beat', 'each 6 strokes' or "
        "'eighths'");
    if (!diag_listed(reader->diags) || is_digit(bytes[0]))
        return;
    const char *word = arena_copy_text(reader->arena, bytes, length);
    diag_nearest(reader->diags, diag_nearest_name(word, forms, sizeof forms / sizeof *forms));
}

static struct address *add(struct address_reader *addresses, enum address_kind kind, size_t offset,
                           size_t length)
{
    struct address *address = vector_push(&addresses->items, addresses->reader->scratch);
    address->kind = (uint8_t)kind;
    address->spoken = address->to_spoken = "";
    address->at = place_of(addresses, offset, length);
    return address;
}

/* The commonest syllables need no copy. */
static const char *const common[] = {"&", "e", "a", "trip", "let", "&trip", "&let", "ta", "te"};

static const char *keep_spoken(struct arena *arena, const char *bytes, size_t length)
{
    if (length == 0)
        return "";
    for (size_t i = 0; i < sizeof common / sizeof *common; i++)
        if (*common[i] == *bytes && strlen(common[i]) == length &&
            memcmp(common[i], bytes, length) == 0)
            return common[i];
    char *copy = arena_copy_text(arena, bytes, length);
    for (char *letter = copy; *letter; letter++)
        *letter = (char)tolower((unsigned char)*letter);
    return copy;
}

/* No syllable has a point or a colon in it; behind a stroke stands a number. */
static bool is_spoken(const char *bytes, size_t length)
{
    uint32_t slot;
    if (length && bytes[0] == '/')
        return text_is_number(bytes + 1, length - 1, 1, 999, &slot);
    for (size_t i = 0; i < length; i++)
        if (bytes[i] == '.' || bytes[i] == ':' || bytes[i] == '/')
            return false;
    return true;
}

/* `3`, `3e`, `3/4`: a beat and what is spoken after it, or the number of a slot of it. */
static bool read_slot(struct address_reader *addresses, const char *bytes, size_t length,
                      uint16_t *beat, const char **spoken)
{
    size_t offset = 0;
    uint32_t number;
    if (!read_number(bytes, length, &offset, &number) || number == 0 || number > METER_BEATS_MAX)
        return false;
    if (!is_spoken(bytes + offset, length - offset))
        return false;
    *beat = (uint16_t)number;
    *spoken = keep_spoken(addresses->reader->arena, bytes + offset, length - offset);
    return true;
}

/* The two points of a range, or the length where there is none. */
static size_t find_range(struct word word)
{
    for (size_t i = 1; i + 1 < word.length; i++)
        if (word.bytes[i] == '.' && word.bytes[i + 1] == '.')
            return i;
    return word.length;
}

/* `2:` in front; what is behind it is left in `rest`. */
static bool read_bar(struct word word, struct word *rest, uint32_t *bar)
{
    *rest = word;
    *bar = 0;
    size_t offset = 0;
    uint32_t number;
    if (!read_number(word.bytes, word.length, &offset, &number) || offset == word.length ||
        word.bytes[offset] != ':')
        return true;
    offset++;
    *rest = (struct word){word.bytes + offset, word.offset + offset, word.length - offset};
    *bar = number;
    return number >= 1 && number <= LESSON_BARS_MAX;
}

static void read_slots(struct address_reader *addresses, struct word word)
{
    struct word slots;
    uint32_t bar;
    uint16_t beat, to_beat = 0;
    const char *spoken, *to_spoken = "";
    bool good = read_bar(word, &slots, &bar);
    size_t range = find_range(slots);
    good = good && read_slot(addresses, slots.bytes, range, &beat, &spoken);
    if (good && range < slots.length)
        good = read_slot(addresses, slots.bytes + range + 2, slots.length - range - 2, &to_beat,
                         &to_spoken);
    addresses->offset = word.offset + word.length;
    if (!good) {
        complain(addresses, word.offset, word.length, "not a count");
        return;
    }
    struct address *address = add(addresses, ADDRESS_SLOT, word.offset, word.length);
    address->bar = bar;
    address->beat = beat;
    address->spoken = spoken;
    address->to_beat = to_beat;
    address->to_spoken = to_spoken;
}

static bool is_word(struct word word, const char *wanted)
{
    return word.length == strlen(wanted) && memcmp(word.bytes, wanted, word.length) == 0;
}

/* `each beat`, `each &`, `each 6 strokes`. */
static void read_each(struct address_reader *addresses, struct word each)
{
    struct word what = word_from(addresses, each.offset + each.length);
    struct word strokes = word_from(addresses, what.offset + what.length);
    size_t end = what.offset + what.length, start = each.offset;
    uint32_t every;
    addresses->offset = end;
    if (what.length == 0) {
        addresses->offset = each.offset + each.length;
        complain(addresses, start, each.length, "nothing to count after");
    } else if (is_word(what, "beat")) {
        add(addresses, ADDRESS_EACH_BEAT, start, end - start);
    } else if (!is_digit(what.bytes[0])) {
        add(addresses, ADDRESS_EACH_SPOKEN, start, end - start)->spoken =
            keep_spoken(addresses->reader->arena, what.bytes, what.length);
    } else if (text_is_number(what.bytes, what.length, 1, LESSON_STROKES_MAX, &every) &&
               (is_word(strokes, "strokes") || is_word(strokes, "stroke"))) {
        addresses->offset = strokes.offset + strokes.length;
        add(addresses, ADDRESS_EACH_STROKES, start, addresses->offset - start)->every = every;
    } else {
        if (is_word(strokes, "strokes"))
            addresses->offset = end = strokes.offset + strokes.length;
        complain(addresses, start, end - start, "not a number of strokes");
    }
}

/* A subdivision's name of two words or of one. */
static bool read_subdivision(struct address_reader *addresses, struct word first)
{
    struct word second = word_from(addresses, first.offset + first.length);
    size_t both = second.offset + second.length - first.offset;
    enum subdivision subdivision;
    size_t length = both;
    if (second.length == 0 || !subdivision_from_name(first.bytes, both, &subdivision)) {
        length = first.length;
        if (!subdivision_from_name(first.bytes, length, &subdivision))
            return false;
    }
    addresses->offset = first.offset + length;
    add(addresses, ADDRESS_SUBDIVISION, first.offset, length)->subdivision = (uint8_t)subdivision;
    return true;
}

/* Plain counts are nearly all there are: no subdivision's name is tried for them. */
static bool may_be_name(struct word word)
{
    return word.length > 3 && (isalpha((unsigned char)word.bytes[0]) ||
                               isalpha((unsigned char)word.bytes[word.length - 1]));
}

static void read_step(struct address_reader *addresses)
{
    struct word word = word_from(addresses, addresses->offset);
    addresses->offset = word.offset;
    if (word.length == 0)
        return;
    if (is_word(word, "each")) {
        read_each(addresses, word);
    } else if (may_be_name(word) && read_subdivision(addresses, word)) {
        return;
    } else if (is_digit(word.bytes[0])) {
        read_slots(addresses, word);
    } else {
        addresses->offset = word.offset + word.length;
        complain(addresses, word.offset, word.length, "not a count");
    }
}

bool read_address_text(struct reader *reader, const struct text *text, struct address_list *list)
{
    struct address_reader addresses = {.reader = reader, .text = text, .cursor = text_cursor(text)};
    while (addresses.offset < text->length)
        read_step(&addresses);
    if (!reader_count_items(reader, addresses.items.count, text->at))
        return false;
    *list = (struct address_list){
        reader_keep(reader, addresses.items.items, addresses.items.count, sizeof *list->items),
        addresses.items.count, text->at};
    return !addresses.failed;
}

struct address_list *read_addresses(struct arena *arena, const char *text, size_t length,
                                    struct place at, struct diags *diags)
{
    struct reader reader = {.arena = arena, .scratch = arena, .diags = diags};
    struct text direct = text_direct(text, length, at);
    struct address_list *list = arena_alloc(arena, sizeof *list);
    return read_address_text(&reader, &direct, list) ? list : NULL;
}
