/* Times that no score says, once: from memory of how drummers play them, and common practice. */
#include "perform/perform_int.h"

/* Grace strokes stand before their stroke, one spacing from each other and from it: a flam is
   nearly one sound, the strokes of a ruff can be told apart. Where the stroke before is too near,
   they divide what room there is evenly. */
static const int32_t spacings[GRACES_MAX + 1] = {
    0,     /* none */
    30000, /* flam */
    35000, /* drag */
    40000, /* four-stroke ruff */
    40000, 40000, 40000, 40000,
};

int32_t ornament_grace_spacing(unsigned graces)
{
    return spacings[graces > GRACES_MAX ? GRACES_MAX : graces];
}
