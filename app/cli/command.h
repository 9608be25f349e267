/** command.h - what a command of the program is, and what its run is given.
 *
 *  One file per command, cmd_NAME.c, exports one cli_command; commands.c lists them. Help, manual page and the shells'
 *  completions are made from the same structs.
 */
#ifndef SNUB_CLI_COMMAND_H
#define SNUB_CLI_COMMAND_H

#include <stdbool.h>

#include "snub/base.h"
#include "snub/locale.h"

/** Exit codes of the program. */
enum {
    CLI_PASS = 0, /**< an answer, and no finding fails */
    CLI_FAIL = 1, /**< an answer, and a finding fails */
    CLI_BAD = 2   /**< no answer: bad input, or the system refused */
};

typedef enum cli_path {
    CLI_INPUT = 1, /**< of a file that is read, or changed in place */
    CLI_OUTPUT     /**< of a file that is replaced: no other file of the run (files.h) */
} cli_path;

typedef struct cli_option {
    const char *name;         /**< "rpm", given as --rpm */
    char letter;              /**< 'o' for -o; 0: none */
    const char *value;        /**< word for the value in help, "N"; NULL: a flag */
    const char *help;         /**< one sentence without its full stop */
    bool many;                /**< may be given more than once */
    cli_path file;            /**< the value is a path; 0: it is none */
    const char *const *words; /**< the only values there are, NULL-terminated; NULL: any */
} cli_option;

struct cli_run;

/** The program comes as three, built from the same files. `snub` starts in milliseconds and answers most commands by
 *  itself; `snub-full` beside it is linked with large libraries as well (drawing, motion), whose loading alone takes
 *  longer than a check; `snub-whole` has the server and the writer of workbooks too, and takes half as long again to
 *  load. A command whose run is CLI_FULL(run_x) is handed over to snub-full; one whose run is CLI_WHOLE(run_x), as is
 *  every one that is to write a workbook, to snub-whole. docs/decisions/ has the measurements. */
#ifdef SNUB_LIGHT
#define CLI_FULL(run) (0 ? (run) : cli_hand_over) /* named, so that no compiler warns; never linked */
#else
#define CLI_FULL(run) run
#endif
#ifdef SNUB_WHOLE
#define CLI_WHOLE(run) run
#else
#define CLI_WHOLE(run) (0 ? (run) : cli_hand_over_whole)
#endif

typedef struct cli_command {
    const char *name;
    const char *summary;  /**< for the list of commands, one line */
    const char *operands; /**< "FILE"; "" for none */
    const char *help;     /**< paragraphs, parted by an empty line; teaches what comes out and how to read it */
    const char *example;  /**< command lines, one a line, without the prompt */
    const cli_option *options;
    int option_count;
    int least, most;  /**< operands; most < 0: any number */
    bool reads_drive; /**< takes the options of a drive file as well: --set, --variant, --catalogue */
    bool one_build;   /**< of its builds one: --build, --free */
    bool in_units;    /**< without a drive file: --inches, --metric */
    bool no_json;     /**< has nothing to say in JSON */
    bool shared;      /**< several processes of mpirun may share its work (snub/ranks.h) */
    int (*run)(struct cli_run *run);
} cli_command;

/** All commands, in the order of the job. */
const cli_command *const *cli_commands(int *count);
/** NULL where there is none of that name. */
const cli_command *cli_command_named(const char *name);
/** The i-th option of a command, common ones counted; NULL past the last. */
const cli_option *cli_option_at(const cli_command *command, int i);

typedef struct cli_given {
    const cli_option *option;
    const char *value; /**< NULL for a flag */
} cli_given;

/** One run of a command. */
typedef struct cli_run {
    const cli_command *command;
    const char **operands;
    int operand_count;
    cli_given *given;
    int given_count;
    bool json;
    int width;             /**< columns of the terminal, 80 where there is none */
    bool colour;           /**< standard output is a terminal that wants colour */
    snub_locale locale;    /**< English; units by --inches and --metric, or by the first drive file that is loaded */
    bool units_known;      /**< a drive file was loaded */
    const void *bare_told; /**< the document whose bare numbers were told last */
    snub_arena arena;
    snub_units *units;
    char **command_line;    /**< main's own, for cli_hand_over */
    const char *inside;     /**< real path of a folder in which all that a drive file names must lie; NULL: anywhere */
    struct cli_file *files; /**< that it reads and writes (files.h) */
    struct json_t *hints;   /**< names of before that were met, as JSON; NULL: none */
} cli_run;

/** True in snub and snub-full where the options ask for a workbook: --format xlsx, or --output to a name that ends so.
 */
bool cli_wants_whole(const cli_run *run);
/** Become snub-full with the same command line. @return only where that fails: CLI_BAD, told */
int cli_hand_over(cli_run *run);
/** The same, snub-whole. */
int cli_hand_over_whole(cli_run *run);

/* ---- what the command line said ---------------------------------------------------------------------------------- */

bool cli_has(const cli_run *run, const char *option);
/** Last value given, or NULL. */
const char *cli_value(const cli_run *run, const char *option);
/** The text in the run's arena; the text itself is freed, and may be begun anew. NULL: memory is out. */
const char *cli_keep_text(cli_run *run, snub_text *text);
/** Is it one line of UTF-8 that shows, of 1 to `most` bytes? */
bool cli_is_line(const char *text, size_t most);
/** Place of its value among the option's words.
 *  @param[in] otherwise  where the option is absent */
int cli_word(const cli_run *run, const char *option, int otherwise);
/** The format asked for, by --format, --json, or the end of the --output's name; else the usual one.
 *  @param[in] formats  NULL-terminated */
const char *cli_format(const cli_run *run, const char *const *formats, const char *usual);
/** Value as a quantity, SI; bare numbers as in a drive file.
 *  @param[in,out] value  untouched where the option is absent
 *  @return false: the value is wrong, and has been told */
bool cli_quantity(const cli_run *run, const char *option, snub_quantity quantity, double *value);
/** Value as a whole number from least to most. @return as cli_quantity */
bool cli_count(const cli_run *run, const char *option, long least, long most, long *value);

/** A command on the same drive file as the shell takes it, with what chose the build. */
void cli_again(const cli_run *run, const char *command, snub_text *out);

/* ---- printing answers and errors --------------------------------------------------------------------------------- */

/** Write to standard output. @return `code`, or CLI_BAD where the system refused (told) */
int cli_print(const cli_run *run, const snub_text *text, int code);
/** A file that is not finished, for a signal that stops the program to remove, with its log. NULL: there is none any
 * more.
 *  @param[in] path  must stay until then */
void cli_stopped_removes(const char *path);
/** Write to the path of an option such as --output ("-" or NULL: standard output), if it is still no other file of the
 *  run. @return as cli_print */
int cli_put(const cli_run *run, const char *path, const snub_text *text, int code);
struct json_t;
/** Write JSON to standard output, with the hints beside the answer where there are any, and give it back.
 *  @return as cli_print; CLI_BAD where json is NULL (no memory, told) */
int cli_print_json(const cli_run *run, struct json_t *json, int code);
/** The same to the path of an option such as --output ("-" or NULL: standard output). */
int cli_put_json(const cli_run *run, struct json_t *json, const char *path, int code);
/** Tell a name of before (snub_hint_error) on standard error, and keep it for the JSON; once where it comes again. No
 *  exit code hangs on it. */
void cli_hint(cli_run *run, const snub_error *hint);
/** An answer's JSON as text, in lines, with the hints where there are some. @param[in] json  is given back */
snub_status cli_json_text(const cli_run *run, struct json_t *json, snub_text *out, snub_error *error);
/** Tell something on standard error; newlines are the caller's. */
void cli_say(const char *format, ...) __attribute__((format(printf, 1, 2)));
/** Tell an error on standard error, with its line of the file where `source` is given. @return CLI_BAD */
int cli_error(const snub_error *error, const char *source, size_t source_length);
/** Tell all errors of a file on standard error; with --json also as JSON on standard output. @return CLI_BAD */
int cli_errors(const cli_run *run, const snub_errors *errors, const char *source, size_t source_length);
/** Tell, printf-style, what is wrong with the command line: "snub check: ...". @return CLI_BAD */
int cli_usage_error(const cli_run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* ---- framework --------------------------------------------------------------------------------------------------- */

/** Parse what follows the command's name into `run`. @return false: wrong, and told */
bool cli_parse(cli_run *run, int count, char **arguments);
/** Help of the program, and of a command. */
void cli_help_all(int width, bool colour, snub_text *out);
void cli_help_command(const cli_command *command, int width, bool colour, snub_text *out);
/** What an option is for, with the words it takes: those of --language are the catalogues that are there. */
void cli_option_help(const cli_option *option, snub_text *out);
/** How wide and whether coloured. */
void cli_terminal(int *width, bool *colour);

#endif
