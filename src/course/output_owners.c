#include "course/output_owners.h"

#include "base/arena.h"
#include "model/format.h"

#include <stdint.h>
#include <string.h>

struct claim {
    const char *place; /* NULL: free */
    size_t lesson;
};

/* Open addressing; a power of two, at least twice the claims. */
struct output_owners {
    struct arena *arena; /* of the texts */
    struct claim *claims;
    size_t room, count;
};

enum { ROOM_FIRST = 1024 };

static struct claim *claims_new(size_t room)
{
    struct claim *claims = memory_alloc(room * sizeof *claims);
    memset(claims, 0, room * sizeof *claims);
    return claims;
}

struct output_owners *output_owners_new(void)
{
    struct output_owners *places = memory_alloc(sizeof *places);
    *places = (struct output_owners){
        .arena = arena_new(), .claims = claims_new(ROOM_FIRST), .room = ROOM_FIRST};
    return places;
}

void output_owners_free(struct output_owners *places)
{
    if (!places)
        return;
    arena_free(places->arena);
    memory_free(places->claims);
    memory_free(places);
}

/* FNV-1a */
static uint64_t hash_of(const char *place)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (; *place; place++)
        hash = (hash ^ (unsigned char)*place) * UINT64_C(1099511628211);
    return hash ^ hash >> 32;
}

static struct claim *find(const struct output_owners *places, const char *place)
{
    size_t mask = places->room - 1;
    for (size_t i = hash_of(place) & mask;; i = (i + 1) & mask)
        if (!places->claims[i].place || strcmp(places->claims[i].place, place) == 0)
            return &places->claims[i];
}

static void grow(struct output_owners *places)
{
    struct claim *old = places->claims;
    size_t old_room = places->room;
    places->room *= 2;
    places->claims = claims_new(places->room);
    for (size_t i = 0; i < old_room; i++)
        if (old[i].place)
            *find(places, old[i].place) = old[i];
    memory_free(old);
}

size_t output_owners_claim(struct output_owners *places, const char *place, size_t lesson)
{
    struct claim *claim = find(places, place);
    if (claim->place)
        return claim->lesson;
    *claim = (struct claim){arena_copy_text(places->arena, place, strlen(place)), lesson};
    if (++places->count * 2 > places->room)
        grow(places);
    return lesson;
}

bool output_owners_has(const struct output_owners *places, const char *place)
{
    return find(places, place)->place;
}

/* ---- names that clash --------------------------------------------------------------------- */

static bool ends_in_number(const char *name, size_t length)
{
    size_t digits = 0;
    while (digits < length && name[length - 1 - digits] >= '0' && name[length - 1 - digits] <= '9')
        digits++;
    return digits && digits < length && name[length - 1 - digits] == '-';
}

/* Formats with a dot inside their ending, and those with a file for each page. */
bool output_may_clash(const char *place)
{
    size_t length = strlen(place);
    for (int i = 1; i < FORMAT_COUNT; i++) {
        const struct format_row *row = &format_rows[i];
        size_t ending = strlen(row->ending);
        bool has_ending = length > ending && strcmp(place + length - ending, row->ending) == 0;
        if (has_ending &&
            (strchr(row->ending + 1, '.') ||
             (row->files == FORMAT_PER_PAGE && ends_in_number(place, length - ending))))
            return true;
    }
    return false;
}
