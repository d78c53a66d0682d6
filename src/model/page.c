#include "model/page.h"

static const char *const words[MARK_ROLE_COUNT] = {
#define ROLE_WORD(name, word) [ROLE_##name] = word,
    MARK_ROLES(ROLE_WORD)
#undef ROLE_WORD
};

const char *mark_role_word(enum mark_role role)
{
    return words[role];
}
