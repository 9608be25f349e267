/* snub keys [WORD ...]: every key of the drive file. */
#include "commands.h"
#include "locale_shipped.h"
#include "snub/json.h"
#include "snub/key_list.h"

static const cli_option options[] = {
    {"language", 0, "LANG", "language of what each key means (default: en)", false, false, NULL},
};

static int run_keys(cli_run *run)
{
    enum { WORDS_MOST = 8 };
    const char *words[WORDS_MOST + 1] = {NULL};
    const snub_file_key *keys = NULL;
    snub_text text = {0};
    snub_messages messages;
    if (!cli_messages(run, &(const cli_drive){0}, &messages))
        return CLI_BAD;
    const snub_locale locale = snub_messages_locale(&messages);
    for (int i = 0; i < run->operand_count && i < WORDS_MOST; i++)
        words[i] = run->operands[i];
    if (snub_keys_known(run->units, &run->arena, &keys) != SNUB_OK)
        return cli_error(&(const snub_error){.code = SNUB_NO_MEMORY, .message = "out of memory"}, NULL, 0);
    if (run->json)
        return cli_print_json(run, json_pack("{s:o}", "keys", snub_json_keys(keys, &locale)), CLI_PASS);
    const snub_look look = {.width = run->width, .colour = run->colour};
    if (snub_text_keys(keys, words, &look, &locale, &text) == 0) {
        snub_text_free(&text);
        return cli_usage_error(run, "no key of the drive file has \"%.40s\" in its name", words[0]);
    }
    const int code = cli_print(run, &text, CLI_PASS);
    snub_text_free(&text);
    return code;
}

const cli_command cli_keys = {
    .name = "keys",
    .summary = "every key of the drive file, with its meaning, bounds and default",
    .operands = "[WORD ...]",
    .help =
        "Lists the keys that a drive file may have: what each means and takes, from where to where in the unit of a "
        "bare number, "
        "and what is taken where it is left out. With words, only keys that have all of them in their names. `*` "
        "stands for the name of a pulley, package or step, or for an item's number in a list.\n"
        "\n"
        "The list is made from the reader itself, so it has what this program reads, no more and no less. Bounds say "
        "what is absurd, not what is good. A key that takes more than one form is listed once for each. More on each "
        "is in "
        "docs/guide/drive-file.md and docs/guide/hardware.md.",
    .example = "snub keys belt\n"
               "snub keys slot from\n"
               "snub keys arm --language de\n"
               "snub keys --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .most = 8,
    .run = run_keys,
};
