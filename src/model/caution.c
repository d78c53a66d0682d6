#include "model/caution.h"

const char practice_caution[] =
    "Start slow and even. Stop at pain; if it lasts, ask a teacher or clinician. Rest often; "
    "protect your ears.";
