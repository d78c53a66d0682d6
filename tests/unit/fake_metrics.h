#ifndef RATAMARK_TESTS_FAKE_METRICS_H
#define RATAMARK_TESTS_FAKE_METRICS_H
/*
 * Sizes without fonts, the same on every machine: each sign a plain box of about its usual size,
 * each character of text as wide as the next.
 */
#include "model/metrics.h"

struct fake_metrics;

/* The caller frees it. */
struct fake_metrics *fake_metrics_new(double space_mm);
void fake_metrics_free(struct fake_metrics *fake);
/* Good as long as `fake`. */
struct metrics fake_metrics_of(struct fake_metrics *fake);
/* The text of a label; `self` is the struct fake_metrics. */
const char *fake_label_text(void *self, label_id label);

#endif
