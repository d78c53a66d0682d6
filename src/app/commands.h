#ifndef RATAMARK_APP_COMMANDS_H
#define RATAMARK_APP_COMMANDS_H
/* One function for each command: runs it, prints its messages, returns the exit status. */
#include "app/options.h"
#include "console/status.h"

enum status check_command(const struct options *options);
enum status explain_command(const struct options *options);
enum status engrave_command(const struct options *options);
enum status course_command(const struct options *options);
enum status grid_command(const struct options *options);
enum status sound_command(const struct options *options);
enum status stick_command(const struct options *options);
enum status vary_command(const struct options *options);
enum status tidy_command(const struct options *options);
enum status rudiments_command(const struct options *options);
enum status init_command(const struct options *options);
enum status schema_command(const struct options *options);
enum status completion_command(const struct options *options);

#endif
