/* `ratamark grid`: the lesson in the terminal. */
#include "app/commands.h"
#include "app/grid.h"
#include "app/lesson_run.h"
#include "app/terminal.h"

static enum status show_grid(struct lesson_run *run, const void *closure)
{
    (void)closure;
    const struct options *options = run->options;
    struct layout_options wanted = {.exercises = options->exercises,
                                    .exercise_count = options->exercise_count};
    struct buffer out = {0};
    lesson_run_report(run);
    grid_write(run->work.score, wanted, terminal_columns(), &out);
    enum status status = put_result(&out);
    buffer_release(&out);
    return status;
}

enum status grid_command(const struct options *options)
{
    return lesson_run(options, show_grid, NULL);
}
