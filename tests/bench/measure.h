#ifndef RATAMARK_BENCH_MEASURE_H
#define RATAMARK_BENCH_MEASURE_H
/* Two ways to do a thing, timed in turns; and what a whole process takes. */
#include <stdbool.h>

typedef void measure_work(void *closure);

/* CPU seconds of this process so far, its threads included. */
double measure_cpu(void);

/* The CPU seconds of a work. */
double measure_time(measure_work *work, void *closure);

/* Runs both in turns, `runs` times after one that does not count, and divides the medians of their
   CPU times: first / second. */
double measure_ratio(measure_work *first, measure_work *second, void *closure, int runs);

/* The median of `count` numbers; orders them. */
double median_of(double *numbers, int count);

/* The least of `count` numbers. */
double least_of(const double *numbers, int count);

/* Prints `NAME RATIO LIMIT`. True where the limit holds. */
bool measure_report(const char *name, double ratio, double limit);

#endif
