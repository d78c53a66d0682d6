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

static double time_of(measure_work *work, void *closure)
{
    double before = measure_cpu();
    work(closure);
    return measure_cpu() - before;
}

double measure_ratio(measure_work *first, measure_work *second, void *closure, int runs)
{
    double firsts[RUNS_MAX], seconds[RUNS_MAX];
    time_of(first, closure);
    time_of(second, closure);
    for (int i = 0; i < runs; i++) {
        firsts[i] = time_of(first, closure);
        seconds[i] = time_of(second, closure);
    }
    return median_of(firsts, runs) / median_of(seconds, runs);
}

double measure_median(measure_work *work, void *closure, int runs)
{
    double times[RUNS_MAX];
    time_of(work, closure);
    for (int i = 0; i < runs; i++)
        times[i] = time_of(work, closure);
    return median_of(times, runs);
}

bool measure_report(const char *name, double ratio, double limit)
{
    printf("%-24s %6.2f %6.2f\n", name, ratio, limit);
    return ratio <= limit;
}
