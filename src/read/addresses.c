/* Count addresses: 1 2& 3e, 2:3&, 1..2a, each beat, each &, each 6 strokes, eighths; and in another
   grid: 1let of eighth triplets. */
#include "read/scanner.h"

#include <ctype.h>
#include <strings.h>

struct address_reader {
    struct scanner scanner;
    bool bars; /* a number alone is a bar, not a beat */
    VECTOR(struct address) items;
};

/* A word between blanks and commas. */
struct word {
    const char *bytes;
    size_t offset, length;
};

/* The next word; its length is 0 at the end. */
static struct word next_word(struct scanner *scanner)
{
    scan_separators(scanner);
    size_t start = scanner->offset;
    while (!scan_ended(scanner) && !is_separator(scan_peek(scanner)))
        scanner->offset++;
    return (struct word){scanner->text->bytes + start, start, scanner->offset - start};
}

static bool is_word(struct word word, const char *wanted)
{
    return word.length == strlen(wanted) && memcmp(word.bytes, wanted, word.length) == 0;
}

/* What to write for a count in spoken form, such as "every"; NULL if there is no advice. */
static const char *as_written(const char *bytes, size_t start, size_t end)
{
    static const struct {
        const char *said, *written;
    } rows[] = {
        {"and", "'2 4' for two beats, '2&' for the count between them"},
        {"every", "'each beat', 'each &', or a subdivision such as 'eighths'"},
        {"all", "'each beat', or a subdivision such as 'eighths'"},
        {"on", "the counts alone, such as 2 4"},
        {"beat", "the counts alone, such as 2 4; or 'each beat'"},
        {"beats", "the counts alone, such as 2 4; or 'each beat'"},
        {"of", "the beat first, then its syllable, such as 2&"},
        {"backbeat", "the counts themselves, such as 2 4"},
        {"backbeats", "the counts themselves, such as 2 4"},
        {"offbeat", "'each &', or counts such as 1& 2&"},
        {"offbeats", "'each &', or counts such as 1& 2&"},
        {"downbeat", "'each beat', or the count itself, such as 1"},
        {"downbeats", "'each beat', or counts such as 1 3"},
    };
    static const char *const syllables[] = {"&", "+", "e", "a", "trip", "let", "ti", "ta", "te"};
    struct word word = {bytes + start, start, end - start};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (is_word(word, rows[i].said))
            return rows[i].written;
    for (size_t i = 0; i < sizeof syllables / sizeof *syllables; i++)
        if (is_word(word, syllables[i]))
            return "the syllable right behind its beat, such as 1& 2&";
    return NULL;
}

/* The counts that are words, without numbers. */
enum { FORMS_MAX = SUBDIVISION_COUNT + 4 };
static size_t count_forms(const char *forms[FORMS_MAX])
{
    size_t count = 0;
    forms[count++] = "each";
    forms[count++] = "each beat";
    forms[count++] = "triplets";
    forms[count++] = "none";
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        forms[count++] = subdivision_name((enum subdivision)i);
    return count;
}

/* Reports everything from `start` to the offset. */
static void complain(struct scanner *scanner, size_t start, const char *message)
{
    struct reader *reader = scanner->reader;
    const char *bytes = scanner->text->bytes + start;
    const char *written = as_written(scanner->text->bytes, start, scanner->offset);
    if (written && scanner->failed) /* one message is enough for a line in spoken form */
        return;
    if (written) {
        scan_complain(scanner, DIAG_UNKNOWN_COUNT, start, scanner->offset - start, message,
                      written);
        return;
    }
    scan_complain(scanner, DIAG_UNKNOWN_COUNT, start, scanner->offset - start, message,
                  "a count such as 1, 2&, 3e, 2:3& (bar 2), 1..2a, 'each beat', 'each 6 strokes' "
                  "or 'eighths'");
    if (!diag_listed(reader->diags) || is_digit(bytes[0]))
        return;
    const char *word = arena_copy_text(reader->arena, bytes, scanner->offset - start);
    const char *forms[FORMS_MAX];
    size_t count = count_forms(forms);
    if (strpbrk(word, "0123456789")) /* each8: a mend would lose the number */
        diag_nearest(reader->diags, diag_nearest_name(word, forms, count));
    else
        diag_nearest_of(reader->diags, word, forms, count);
}

/* An address that is written from `start` to the offset. */
static struct address *add(struct address_reader *addresses, enum address_kind kind, size_t start)
{
    struct scanner *scanner = &addresses->scanner;
    struct address *address = vector_push(&addresses->items, scanner->reader->scratch);
    address->kind = (uint8_t)kind;
    address->spoken = address->to_spoken = "";
    address->at = scan_place(scanner, start, scanner->offset - start);
    return address;
}

/* The commonest syllables need no copy. */
static const char *const common[] = {"&", "e", "a", "trip", "let", "&trip", "&let", "ta", "te"};

static const char *keep_spoken(struct arena *arena, struct word word)
{
    if (word.length == 0)
        return "";
    for (size_t i = 0; i < sizeof common / sizeof *common; i++)
        if (is_word(word, common[i]))
            return common[i];
    char *copy = arena_copy_text(arena, word.bytes, word.length);
    for (char *letter = copy; *letter; letter++)
        *letter = (char)tolower((unsigned char)*letter);
    return copy;
}

/* `3`, `3e`, `3/4`: a beat, and what is spoken after it or the number of one of its slots. */
static bool read_slot(struct scanner *scanner, size_t end, uint16_t *beat, const char **spoken)
{
    uint32_t number, slot;
    if (!scan_number(scanner, &number) || number == 0 || number > METER_BEATS_MAX)
        return false;
    struct word word = {scanner->text->bytes + scanner->offset, scanner->offset,
                        end - scanner->offset};
    if (scan_take(scanner, '/') &&
        (!scan_number(scanner, &slot) || slot < 1 || slot > 999 || scanner->offset != end))
        return false;
    for (; scanner->offset < end; scanner->offset++)
        if (strchr(".:/", scan_peek(scanner))) /* no syllable has one of these */
            return false;
    *beat = (uint16_t)number;
    *spoken = keep_spoken(scanner->reader->arena, word);
    return true;
}

/* `2:` before a slot; *bar is 0, for every bar, if there is none. */
static bool read_bar(struct scanner *scanner, uint32_t *bar)
{
    size_t start = scanner->offset;
    bool good = scan_number(scanner, bar);
    if (good && scan_take(scanner, ':'))
        return *bar >= 1 && *bar <= LESSON_BARS_MAX;
    scanner->offset = start;
    *bar = 0;
    return true;
}

/* Where the `..`, dash or "to" of a range begins, blanks before it included; or the word's end. */
static size_t find_range(struct scanner *scanner, struct word word)
{
    size_t start = scanner->offset, end = word.offset + word.length, range = start + 1;
    for (; range < end; range++) {
        char byte = scanner->text->bytes[range];
        scanner->offset = range;
        if ((byte == ' ' || byte == '.' || byte == '\xE2') && scan_range(scanner))
            break;
    }
    scanner->offset = start;
    return range < end ? range : end;
}

/* The end of the word that begins at the scanner's offset. */
static size_t word_end(const struct scanner *scanner)
{
    size_t end = scanner->offset;
    while (end < scanner->text->length && !is_separator(scanner->text->bytes[end]))
        end++;
    return end;
}

/* `2+4`, `2-4`, `2and4` */
static bool joins_beats(const char *spoken)
{
    size_t sign = *spoken == '+' || *spoken == '-' ? 1 : strncmp(spoken, "and", 3) == 0 ? 3 : 0;
    return sign && is_digit(spoken[sign]);
}

/* `of sixteenth triplets` behind a count; nothing is taken if it is not that. */
static void read_of(struct address_reader *addresses, size_t start, struct address *address)
{
    struct scanner *scanner = &addresses->scanner;
    const char *next = scanner->text->bytes + scanner->offset;
    while (is_separator(*next))
        next++;
    if (*next != 'o')
        return; /* the usual case */
    struct scanner ahead = *scanner;
    struct word of = next_word(&ahead), first = next_word(&ahead);
    size_t one = ahead.offset;
    struct word second = next_word(&ahead);
    enum subdivision subdivision;
    if (!is_word(of, "of") || first.length == 0)
        return;
    size_t both = second.offset + second.length - first.offset;
    if (second.length && subdivision_from_name(first.bytes, both, &subdivision))
        one = ahead.offset;
    else if (!subdivision_from_name(first.bytes, first.length, &subdivision))
        return;
    scanner->offset = one;
    address->of = true;
    address->subdivision = (uint8_t)subdivision;
    address->at = scan_place(scanner, start, one - start);
}

/* A number that is the whole word. */
static bool read_bar_alone(struct address_reader *addresses, struct word word)
{
    struct scanner ahead = addresses->scanner;
    uint32_t bar;
    ahead.offset = word.offset;
    if (!scan_number(&ahead, &bar) || ahead.offset != word.offset + word.length || bar < 1 ||
        bar > LESSON_BARS_MAX)
        return false;
    struct address *address = add(addresses, ADDRESS_SLOT, word.offset);
    address->bar = bar;
    address->beat = 1;
    return true;
}

static void read_slots(struct address_reader *addresses, struct word word)
{
    struct scanner *scanner = &addresses->scanner;
    struct address slot = {.spoken = "", .to_spoken = ""};
    size_t end = word.offset + word.length;
    scanner->offset = word.offset;
    bool good = read_bar(scanner, &slot.bar);
    size_t range = find_range(scanner, word);
    good = good && read_slot(scanner, range, &slot.beat, &slot.spoken);
    scanner->offset = range;
    if (good && scan_range(scanner)) {
        end = word_end(scanner);
        good = read_slot(scanner, end, &slot.to_beat, &slot.to_spoken);
    }
    scanner->offset = end;
    if (good && joins_beats(slot.spoken)) {
        scan_complain(scanner, DIAG_UNKNOWN_COUNT, word.offset, end - word.offset, "not a count",
                      "a space between two counts, such as 2 4, or 2..4 for all from 2 to 4");
        return;
    }
    if (!good) {
        complain(scanner, word.offset, "not a count");
        return;
    }
    struct address *address = add(addresses, ADDRESS_SLOT, word.offset);
    address->bar = slot.bar;
    address->beat = slot.beat;
    address->to_beat = slot.to_beat;
    address->spoken = slot.spoken;
    address->to_spoken = slot.to_spoken;
    read_of(addresses, word.offset, address);
}

/* Whether the next word is `stroke` or `strokes`; steps over it. */
static bool take_strokes(struct scanner *scanner)
{
    size_t before = scanner->offset;
    struct word word = next_word(scanner);
    bool strokes = is_word(word, "strokes") || is_word(word, "stroke");
    if (!strokes)
        scanner->offset = before;
    return strokes;
}

/* `each 6` without `strokes`, or with a slip for it. */
static void report_strokes(struct scanner *scanner, struct word each, uint32_t every)
{
    static const char *const forms[] = {"strokes", "stroke"};
    size_t before = scanner->offset;
    struct word strokes = next_word(scanner);
    const char *wrong = arena_copy_text(scanner->reader->arena, strokes.bytes, strokes.length);
    if (every && diag_nearest_name(wrong, forms, 2)) {
        scan_complain(scanner, DIAG_UNKNOWN_COUNT, strokes.offset, strokes.length,
                      "not a number of strokes", "'strokes' after the number");
        diag_nearest_of(scanner->reader->diags, wrong, forms, 1);
        return;
    }
    scanner->offset = before;
    complain(scanner, each.offset, "not a number of strokes");
}

/* `each beat`, `each &`, `each 6 strokes`. */
static void read_each(struct address_reader *addresses, struct word each)
{
    struct scanner *scanner = &addresses->scanner;
    struct word what = next_word(scanner);
    uint32_t every;
    if (what.length == 0) {
        scan_fail(scanner, DIAG_UNKNOWN_COUNT, scan_place(scanner, each.offset, each.length),
                  "'each' with nothing after it", "'each beat', 'each &' or 'each 6 strokes'");
    } else if (is_word(what, "beat")) {
        add(addresses, ADDRESS_EACH_BEAT, each.offset);
    } else if (!is_digit(what.bytes[0])) {
        struct address *address = add(addresses, ADDRESS_EACH_SPOKEN, each.offset);
        address->spoken = keep_spoken(scanner->reader->arena, what);
        read_of(addresses, each.offset, address);
    } else {
        size_t end = scanner->offset;
        scanner->offset = what.offset;
        bool good = scan_number(scanner, &every) && scanner->offset == end && every >= 1 &&
                    every <= LESSON_STROKES_MAX;
        scanner->offset = end;
        if (!take_strokes(scanner))
            report_strokes(scanner, each, good ? every : 0);
        else if (good)
            add(addresses, ADDRESS_EACH_STROKES, each.offset)->every = every;
        else
            complain(scanner, each.offset, "not a number of strokes");
    }
}

/* The name of a subdivision, of one word or two. */
static bool read_subdivision_name(struct address_reader *addresses, struct word first)
{
    struct scanner *scanner = &addresses->scanner;
    enum subdivision subdivision;
    struct word second = next_word(scanner);
    size_t both = second.offset + second.length - first.offset;
    if (second.length == 0 || !subdivision_from_name(first.bytes, both, &subdivision)) {
        scanner->offset = first.offset + first.length;
        if (!subdivision_from_name(first.bytes, first.length, &subdivision))
            return false;
    }
    add(addresses, ADDRESS_SUBDIVISION, first.offset)->subdivision = (uint8_t)subdivision;
    return true;
}

/* Most counts are short and plain, so skip the search through subdivision names for them. A name
   that begins with a digit goes on as 16th and 32nd do. */
static bool may_be_name(struct word word)
{
    size_t digits = 0;
    while (digits < word.length && is_digit(word.bytes[digits]))
        digits++;
    const char *rest = word.bytes + digits;
    return word.length > 3 &&
           (digits == 0 || strncasecmp(rest, "th", 2) == 0 || strncasecmp(rest, "nd", 2) == 0);
}

/* A word that is no count, together with the next one if both are a slip for a subdivision of two
   words: `eigth triplets`. */
static void report_word(struct scanner *scanner, struct word first)
{
    const char *forms[FORMS_MAX];
    struct word second = next_word(scanner);
    const char *both = arena_copy_text(scanner->reader->arena, first.bytes,
                                       second.offset + second.length - first.offset);
    const char *form = diag_nearest_name(both, forms, count_forms(forms));
    if (!second.length || !form || !strchr(form, ' '))
        scanner->offset = first.offset + first.length;
    complain(scanner, first.offset, "not a count");
}

static void read_step(struct address_reader *addresses)
{
    struct word word = next_word(&addresses->scanner);
    if (word.length == 0)
        return;
    if (is_word(word, "each"))
        read_each(addresses, word);
    else if (may_be_name(word) && read_subdivision_name(addresses, word))
        return;
    else if (addresses->bars && read_bar_alone(addresses, word))
        return;
    else if (is_digit(word.bytes[0]))
        read_slots(addresses, word);
    else
        report_word(&addresses->scanner, word);
}

static bool read_list(struct reader *reader, const struct text *text, bool bars,
                      struct address_list *list)
{
    struct address_reader addresses = {.scanner = scanner_of(reader, text), .bars = bars};
    while (!scan_ended(&addresses.scanner))
        read_step(&addresses);
    if (!reader_count_items(reader, addresses.items.count, text->at))
        return false;
    *list = (struct address_list){arena_copy(reader->arena, addresses.items.items,
                                             addresses.items.count, sizeof *list->items),
                                  addresses.items.count, text->at};
    return !addresses.scanner.failed;
}

bool read_address_text(struct reader *reader, const struct text *text, struct address_list *list)
{
    return read_list(reader, text, false, list);
}

bool read_bar_text(struct reader *reader, const struct text *text, struct address_list *list)
{
    return read_list(reader, text, true, list);
}
