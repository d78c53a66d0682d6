#include "measure.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RUNS_MAX = 101 };

double measure_cpu(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static int by_size(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return (one > other) - (one < other);
}

double median_of(double *numbers, int count)
{
    qsort(numbers, (size_t)count, sizeof *numbers, by_size);
    return numbers[count / 2];
}

double least_of(const double *numbers, int count)
{
    double least = numbers[0];
    for (int i = 1; i < count; i++)
        least = numbers[i] < least ? numbers[i] : least;
    return least;
}

double measure_time(measure_work *work, void *closure)
{
    double before = measure_cpu();
    work(closure);
    return measure_cpu() - before;
}

double measure_ratio(measure_work *first, measure_work *second, void *closure, int runs)
{
    double firsts[RUNS_MAX], seconds[RUNS_MAX];
    measure_time(first, closure);
    measure_time(second, closure);
    for (int i = 0; i < runs; i++) {
        firsts[i] = measure_time(first, closure);
        seconds[i] = measure_time(second, closure);
    }
    return median_of(firsts, runs) / median_of(seconds, runs);
}

bool measure_report(const char *name, double ratio, double limit)
{
    printf("%-24s %6.2f %6.2f\n", name, ratio, limit);
    return ratio <= limit;
}
