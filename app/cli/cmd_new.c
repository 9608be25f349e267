/* snub new FILE: a drive file to start from. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "files.h"
#include "new_drive.h"
#include "snub/drive.h"

enum { TITLE_MOST = 200 }; /* of a drive file */

/* In the order of the enums. */
static const char *const tensioner_words[] = {"arm", "fixed", "none", NULL};
static const char *const blower_words[] = {"twin-screw", "roots", "centrifugal", "none", NULL};
static const char *const unit_words[] = {"metric", "us", NULL};
static const cli_option options[] = {
    {"title", 't', "TEXT", "title of the kit", false, 0, NULL},
    {"tensioner", 0, "KIND",
     "what takes up slack: a spring arm, a fixed tensioner in a slot, or nothing (default: arm)", false, 0,
     tensioner_words},
    {"blower", 0, "KIND", "kind of blower (default: twin-screw)", false, 0, blower_words},
    {"units", 0, "UNITS", "units in which the file is written and its results are shown (default: metric)", false, 0,
     unit_words},
};

/* The other commands take any name; the page opens these. */
static bool is_drive_name(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot != NULL && dot != path && dot[-1] != '/' && (strcmp(dot, ".yaml") == 0 || strcmp(dot, ".yml") == 0);
}

/* Whatever stands there stays, were it made this very moment. */
static snub_status write_new(cli_run *run, const char *path, const snub_text *text, snub_error *error)
{
    const char *slash = strrchr(path, '/'), *name = slash != NULL ? slash + 1 : path;
    const char *folder = slash == NULL   ? "."
                         : slash == path ? "/"
                                         : snub_copy_text_n(&run->arena, path, (size_t)(slash - path));
    if (folder == NULL || text->failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const int opened = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (opened < 0)
        return snub_fail(error, SNUB_IO, NULL, NULL, "%.200s: cannot open the folder: %s", folder, strerror(errno));
    const snub_status status = snub_file_swap(opened, name, path, NULL, 0, text->data, text->length, error);
    close(opened);
    return status;
}

static int tell_next(cli_run *run, const char *path, const snub_text *text)
{
    snub_text said = {0}, word = {0};
    snub_text_shell(&word, path);
    const char *shown = word.data != NULL ? word.data : path;
    snub_text_printf(&said, "%s is written. %d of its lines have placeholders, marked MEASURE.\n", shown,
                     snub_placeholders_find(path, text->data, text->length).count);
    snub_text_printf(&said, "Next: snub check %s\n      snub serve %s\n", shown, shown);
    const int code = cli_print(run, &said, CLI_PASS);
    snub_text_free(&word);
    snub_text_free(&said);
    return code;
}

static int put(cli_run *run, const char *path, const snub_text *text)
{
    snub_error error = {0};
    if (cli_is_standard_output(path))
        return cli_print(run, text, CLI_PASS);
    const snub_status status = write_new(run, path, text, &error);
    if (status == SNUB_STOPPED)
        return cli_usage_error(run, "%s is there already, and stays as it is; give another name", path);
    return status == SNUB_OK ? tell_next(run, path, text) : cli_error(&error, NULL, 0);
}

static int run_new(cli_run *run)
{
    const char *path = run->operands[0], *title = cli_value(run, "title");
    if (!cli_is_standard_output(path) && !is_drive_name(path))
        return cli_usage_error(run, "%.200s: the name of a drive file ends in .yaml or .yml", path);
    if (title != NULL && !cli_is_line(title, TITLE_MOST))
        return cli_usage_error(run, "--title takes one line of 1 to %d bytes of text that shows", TITLE_MOST);
    const new_drive wanted = {.title = title != NULL ? title : "My first kit",
                              .tensioner = (new_tensioner)cli_word(run, "tensioner", NEW_ARM),
                              .blower = (new_blower)cli_word(run, "blower", NEW_TWIN_SCREW),
                              .inches = cli_word(run, "units", 0) == 1};
    snub_text text = {0};
    new_drive_text(&wanted, &text);
    const int code = put(run, path, &text);
    snub_text_free(&text);
    return code;
}

const cli_command cli_new = {
    .name = "new",
    .summary = "a drive file to start from, with how to measure each value",
    .operands = "FILE",
    .help = "Writes a drive file that the other commands take as it is: crank, tensioner, alternator, blower with its "
            "idlers, steering pump and compressor. Every value that belongs to your engine is a placeholder; its line "
            "ends in `# MEASURE:` and how to measure it with tape, calipers and torque wrench. Write your own value, "
            "then take the mark away. As long as marks are left, every command says on standard error how many, and "
            "where the first is.\n"
            "\n"
            "List the pulleys that you have, in the order the belt meets them. --tensioner and --blower "
            "choose what the file begins with. With --units us values are in inches, lbf and lbf ft; belts "
            "keep the effective length in mm by which they are sold.\n"
            "\n"
            "A file that is there already is never replaced. FILE may be -, for standard output.",
    .example = "snub new kit.yaml\n"
               "snub new \"V8 roots.yaml\" --blower roots --units us --title \"V8, Roots\"\n"
               "snub new - --tensioner fixed --blower none",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .no_json = true,
    .run = run_new,
};
