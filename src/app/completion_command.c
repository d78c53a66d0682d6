/* `ratamark completion SHELL`: a script that lets a shell complete commands, options and values. It
   is written from the tables in options.c. */
#include "app/commands.h"
#include "base/buffer.h"

#include <string.h>

/* Calls `add` for each option of a command. */
static void each_option(enum command command, struct buffer *out,
                        void add(const struct option_words *option, const char *choices,
                                 enum command command, struct buffer *out))
{
    struct option_words option;
    for (size_t i = 0; options_get(i, &option); i++) {
        if (!(option.commands >> command & 1))
            continue;
        struct buffer choices = {0};
        options_choices(i, " ", &choices);
        add(&option, buffer_text(&choices), command, out);
        buffer_release(&choices);
    }
}

/* The words of all commands. */
static void add_commands(const char *between, struct buffer *out)
{
    for (int command = 1; command < COMMAND_COUNT; command++)
        buffer_format(out, "%s%s", command > 1 ? between : "", command_word((enum command)command));
}

/* What a command's operands are. */
enum operand {
    OPERAND_LESSONS,
    OPERAND_FOLDER,
    OPERAND_COMMAND,
    OPERAND_SHELL,
    OPERAND_SCHEMA,
    OPERAND_OTHER
};

static enum operand operand_of(enum command command)
{
    switch (command) {
    case COMMAND_COURSE:
    case COMMAND_INIT:
        return OPERAND_FOLDER;
    case COMMAND_HELP:
        return OPERAND_COMMAND;
    case COMMAND_COMPLETION:
        return OPERAND_SHELL;
    case COMMAND_SCHEMA:
        return OPERAND_SCHEMA;
    case COMMAND_RUDIMENTS:
        return OPERAND_OTHER;
    default:
        return OPERAND_LESSONS;
    }
}

/* ---- bash ----------------------------------------------------------------------------------- */

static void bash_value(const struct option_words *option, const char *choices, enum command command,
                       struct buffer *out)
{
    (void)command;
    if (!option->argument)
        return;
    buffer_add_text(out, "        ");
    if (option->letter)
        buffer_format(out, "-%c | ", option->letter);
    buffer_format(out, "--%s) ", option->word);
    if (*choices)
        buffer_format(out, "_ratamark_words '%s'; return ;;\n", choices);
    else
        buffer_add_text(out, option->files ? "_ratamark_files -f; return ;;\n" : "return ;;\n");
}

static void bash_word(const struct option_words *option, const char *choices, enum command command,
                      struct buffer *out)
{
    (void)choices, (void)command;
    buffer_format(out, " --%s", option->word);
}

static void bash_operand(enum operand operand, struct buffer *out)
{
    static const char *const words[] = {
        [OPERAND_LESSONS] = "_ratamark_files -f -X '!*.yaml'; _ratamark_files -d",
        [OPERAND_FOLDER] = "_ratamark_files -d",
        [OPERAND_COMMAND] = "_ratamark_words \"$commands\"",
        [OPERAND_SHELL] = "_ratamark_words 'bash zsh fish'",
        [OPERAND_SCHEMA] = "_ratamark_words 'lesson course'",
        [OPERAND_OTHER] = ":",
    };
    buffer_add_text(out, words[operand]);
}

static void bash_script(struct buffer *out)
{
    buffer_add_text(out, "# bash completion of ratamark, for ~/.bashrc: eval \"$(ratamark "
                         "completion bash)\"\n"
                         "_ratamark_words() { mapfile -t COMPREPLY < <(compgen -W \"$1\" -- "
                         "\"$current\"); }\n"
                         "_ratamark_files() {\n"
                         "    compopt -o filenames 2>/dev/null\n"
                         "    mapfile -t -O ${#COMPREPLY[@]} COMPREPLY < <(compgen \"$@\" -- "
                         "\"$current\")\n"
                         "}\n"
                         "_ratamark() {\n"
                         "    local current=${COMP_WORDS[COMP_CWORD]} "
                         "before=${COMP_WORDS[COMP_CWORD - 1]} command='' word\n"
                         "    local commands='");
    add_commands(" ", out);
    buffer_add_text(out,
                    "'\n"
                    "    COMPREPLY=()\n"
                    "    [ \"$before\" != = ] || before=${COMP_WORDS[COMP_CWORD - 2]}\n"
                    "    [ \"$current\" != = ] || current=''\n"
                    "    for word in \"${COMP_WORDS[@]:1:COMP_CWORD-1}\"; do\n"
                    "        case \" $commands \" in *\" $word \"*) command=$word; break ;; esac\n"
                    "    done\n"
                    "    case $command in\n"
                    "    '') _ratamark_words \"$commands --help --version\" ;;\n");
    for (int i = 1; i < COMMAND_COUNT; i++) {
        enum command command = (enum command)i;
        buffer_format(out, "    %s)\n        case $before in\n", command_word(command));
        each_option(command, out, bash_value);
        buffer_add_text(out, "        esac\n        case $current in\n"
                             "        -*) _ratamark_words '");
        each_option(command, out, bash_word);
        buffer_add_text(out, "' ;;\n        *) ");
        bash_operand(operand_of(command), out);
        buffer_add_text(out, " ;;\n        esac\n        ;;\n");
    }
    buffer_add_text(out, "    esac\n}\ncomplete -F _ratamark ratamark\n");
}

/* ---- zsh ------------------------------------------------------------------------------------ */

/* In single quotes; brackets and colons are signs of _arguments. */
static void zsh_text(const char *text, struct buffer *out)
{
    for (; *text; text++) {
        if (strchr("[]:\\", *text))
            buffer_add_text(out, "\\");
        if (*text == '\'')
            buffer_add_text(out, "'\\'");
        buffer_add(out, text, 1);
    }
}

static void zsh_option(const struct option_words *option, const char *choices, enum command command,
                       struct buffer *out)
{
    (void)command;
    buffer_add_text(out, " \\\n            ");
    if (option->letter)
        buffer_format(out, "'(-%c --%s)'{-%c,--%s%s}'[", option->letter, option->word,
                      option->letter, option->word, option->argument ? "=" : "");
    else
        buffer_format(out, "'--%s%s[", option->word, option->argument ? "=" : "");
    zsh_text(option->summary, out);
    buffer_add_text(out, "]");
    if (option->argument && *choices)
        buffer_format(out, ":%s:(%s)", option->word, choices);
    else if (option->argument)
        buffer_format(out, ":%s:%s", option->word, option->files ? "_files" : " ");
    buffer_add_text(out, "'");
}

static void zsh_operand(enum operand operand, struct buffer *out)
{
    static const char *const words[] = {
        [OPERAND_LESSONS] = "'*:lesson:_files -g \"*.yaml(-.)\"'",
        [OPERAND_FOLDER] = "'*:folder:_files -/'",
        [OPERAND_COMMAND] = "",
        [OPERAND_SHELL] = "'1:shell:(bash zsh fish)'",
        [OPERAND_SCHEMA] = "'1:kind of file:(lesson course)'",
        [OPERAND_OTHER] = "'1:name: '",
    };
    if (operand == OPERAND_COMMAND) {
        buffer_add_text(out, " \\\n            '1:command:(");
        add_commands(" ", out);
        buffer_add_text(out, ")'\n");
    } else {
        buffer_format(out, " \\\n            %s\n", words[operand]);
    }
}

static void zsh_script(struct buffer *out)
{
    buffer_add_text(out, "#compdef ratamark\n"
                         "# zsh completion of ratamark: put it as _ratamark into a folder of "
                         "$fpath\n"
                         "_ratamark() {\n"
                         "    local -a commands=(\n");
    for (int i = 1; i < COMMAND_COUNT; i++) {
        buffer_format(out, "        '%s:", command_word((enum command)i));
        zsh_text(command_summary((enum command)i), out);
        buffer_add_text(out, "'\n");
    }
    buffer_add_text(out, "    )\n"
                         "    if ((CURRENT == 2)); then\n"
                         "        _describe command commands\n"
                         "        return\n"
                         "    fi\n"
                         "    local command=$words[2]\n"
                         "    shift words\n"
                         "    ((CURRENT--))\n"
                         "    case $command in\n");
    for (int i = 1; i < COMMAND_COUNT; i++) {
        enum command command = (enum command)i;
        buffer_format(out, "    %s)\n        _arguments -s", command_word(command));
        each_option(command, out, zsh_option);
        zsh_operand(operand_of(command), out);
        buffer_add_text(out, "        ;;\n");
    }
    buffer_add_text(out, "    esac\n}\n"
                         "if [ \"$funcstack[1]\" = _ratamark ]; then _ratamark \"$@\"; "
                         "else compdef _ratamark ratamark; fi\n");
}

/* ---- fish ----------------------------------------------------------------------------------- */

static void fish_text(const char *text, struct buffer *out)
{
    for (; *text; text++) {
        if (strchr("'\\", *text))
            buffer_add_text(out, "\\");
        buffer_add(out, text, 1);
    }
}

static void fish_condition(enum command command, struct buffer *out)
{
    buffer_format(out, "complete -c ratamark -n '__fish_seen_subcommand_from %s'",
                  command_word(command));
}

static void fish_option(const struct option_words *option, const char *choices,
                        enum command command, struct buffer *out)
{
    fish_condition(command, out);
    if (option->letter)
        buffer_format(out, " -s %c", option->letter);
    buffer_format(out, " -l %s", option->word);
    if (option->argument && *choices)
        buffer_format(out, " -x -a '%s'", choices);
    else if (option->argument)
        buffer_add_text(out, option->files ? " -r -F" : " -x");
    buffer_add_text(out, " -d '");
    fish_text(option->summary, out);
    buffer_add_text(out, "'\n");
}

static void fish_operand(enum command command, struct buffer *out)
{
    enum operand operand = operand_of(command);
    if (operand == OPERAND_OTHER)
        return;
    fish_condition(command, out);
    if (operand == OPERAND_LESSONS) {
        buffer_add_text(out, " -a '(__fish_complete_suffix .yaml)'\n");
    } else if (operand == OPERAND_FOLDER) {
        buffer_add_text(out, " -a '(__fish_complete_directories)'\n");
    } else {
        buffer_add_text(out, " -a '");
        if (operand == OPERAND_COMMAND)
            add_commands(" ", out);
        else
            buffer_add_text(out, operand == OPERAND_SCHEMA ? "lesson course" : "bash zsh fish");
        buffer_add_text(out, "'\n");
    }
}

static void fish_script(struct buffer *out)
{
    buffer_add_text(out, "# fish completion of ratamark: ratamark completion fish >"
                         "~/.config/fish/completions/ratamark.fish\n"
                         "complete -c ratamark -f\n");
    for (int i = 1; i < COMMAND_COUNT; i++) {
        enum command command = (enum command)i;
        buffer_format(out, "complete -c ratamark -n __fish_use_subcommand -a %s -d '",
                      command_word(command));
        fish_text(command_summary(command), out);
        buffer_add_text(out, "'\n");
        each_option(command, out, fish_option);
        fish_operand(command, out);
    }
}

enum status completion_command(const struct options *options)
{
    static const struct {
        const char *shell;
        void (*script)(struct buffer *out);
    } shells[] = {{"bash", bash_script}, {"zsh", zsh_script}, {"fish", fish_script}};
    const char *shell = options->operands[0];
    for (size_t i = 0; i < sizeof shells / sizeof *shells; i++)
        if (strcmp(shells[i].shell, shell) == 0) {
            struct buffer out = {0};
            shells[i].script(&out);
            return put_result(&out);
        }
    say_error("there is no completion for '%s'; there is one for bash, zsh and fish", shell);
    return STATUS_USAGE;
}
