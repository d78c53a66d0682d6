#include "model/caution.h"

#include "model/page_words.h"

const char practice_caution[] = PRACTICE_CAUTION;
