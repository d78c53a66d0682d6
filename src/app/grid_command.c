/* `ratamark grid`: the lesson in the terminal. */
#include "app/commands.h"
#include "app/lesson_run.h"
#include "chart/chart.h"
#include "console/terminal.h"

static enum status show_grid(struct lesson_run *run, const void *closure)
{
    (void)closure;
    struct buffer out = {0};
    lesson_run_report(run);
    chart_write(run->work.score, run->options->exercises, terminal_columns(), &out);
    return put_result(&out);
}

enum status grid_command(const struct options *options)
{
    return lesson_run(options, show_grid, NULL);
}
