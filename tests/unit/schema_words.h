#ifndef RATAMARK_TESTS_SCHEMA_WORDS_H
#define RATAMARK_TESTS_SCHEMA_WORDS_H
/* The words that the schema of lessons lists for each key: it is made from the reader's tables. */

/* Calls `found` with each: "a bar", "same", "2". Strings are valid during the call. What the levels
   of a lesson have in common comes once, as "a lesson", unless it differs there. */
void each_schema_word(void (*found)(const char *level, const char *key, const char *word));

#endif
