#include "console/terminal.h"

#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

enum { COLUMNS_LEAST = 20, COLUMNS_MOST = 1000, COLUMNS_UNKNOWN = 80 };

static size_t sensible_columns(long columns)
{
    return columns >= COLUMNS_LEAST && columns <= COLUMNS_MOST ? (size_t)columns : 0;
}

size_t terminal_columns(void)
{
    const char *said = getenv("COLUMNS");
    size_t columns = said ? sensible_columns(strtol(said, NULL, 10)) : 0;
    struct winsize size;
    if (!columns && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0)
        columns = sensible_columns(size.ws_col);
    return columns ? columns : COLUMNS_UNKNOWN;
}

size_t terminal_width(int descriptor)
{
    struct winsize size;
    return ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col ? size.ws_col : COLUMNS_UNKNOWN;
}

bool terminal_can_redraw(int descriptor)
{
    const char *term = getenv("TERM");
    return isatty(descriptor) && !(term && strcmp(term, "dumb") == 0);
}

bool terminal_colors(int descriptor, enum color color)
{
    if (color != COLOR_AUTO)
        return color == COLOR_ALWAYS;
    const char *no_color = getenv("NO_COLOR");
    return terminal_can_redraw(descriptor) && !(no_color && *no_color);
}

void terminal_clear(int descriptor)
{
    static const char clear[] = "\033[2J\033[H";
    if (!getenv("TERM") || !terminal_can_redraw(descriptor))
        return;
    ssize_t told = write(descriptor, clear, sizeof clear - 1);
    (void)told;
}
