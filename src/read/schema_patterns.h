#ifndef RATAMARK_READ_SCHEMA_PATTERNS_H
#define RATAMARK_READ_SCHEMA_PATTERNS_H
/* Regular expressions for the little languages of lesson files, in the form of JSON Schema (ECMA
   262). They reject what is always wrong; whether lengths add up or names exist is left to the
   reader. */
#include "base/buffer.h"

typedef void add_pattern(struct buffer *out);

add_pattern schema_add_subdivision, schema_add_counts, schema_add_names, schema_add_rhythm,
    schema_add_figures, schema_add_strokes, schema_add_feet_strokes, schema_add_right_strokes,
    schema_add_left_strokes, schema_add_voices, schema_add_limb_voicing, schema_add_at_voicing,
    schema_add_voice_key, schema_add_voice_name;

#endif
