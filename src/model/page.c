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

const char *page_fullness_word(enum page_fullness fullness)
{
    static const char *const fullness_words[] = {[PAGE_EVEN] = "even",
                                                 [PAGE_OPEN] = "open",
                                                 [PAGE_BARE] = "bare",
                                                 [PAGE_EMPTY] = "empty",
                                                 [PAGE_OVERFULL] = "overfull"};
    return fullness_words[fullness];
}
