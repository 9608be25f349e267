/* snub measure pluck FILE: plucked spans into the tension of the standing belt. */
#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "beside.h"
#include "files.h"
#include "measures.h"
#include "progress.h"
#include "snub/cautions.h"
#include "snub/pluck.h"
#include "snub/report.h"
#include "snub/sound.h"

typedef struct job {
    cli_run *run;
    snub_measured_pluck measured;
    cli_drive loaded;
    snub_build build;
    snub_state state;
    snub_standing_belt belt;
    bool has_belt;
    snub_heard *heard; /* of each reading */
    snub_plucks plucks;
} job;

static bool read_pluck(job *j, const char *path)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    if (!cli_readings(run, path, SNUB_READ_PLUCK, &j->measured.document))
        return false;
    const snub_status status = snub_measured_pluck_read(run->units, &run->arena, &j->measured, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

static bool take_drive(job *j)
{
    cli_run *run = j->run;
    if (j->measured.drive == NULL)
        return true;
    if (!cli_readings_stopped(run, &j->measured.document, j->measured.drive, &j->loaded, &j->build, &j->state))
        return false;
    j->has_belt = true;
    return snub_standing_belt_of(&j->build, &j->state, &run->arena, &j->belt) ||
           (cli_usage_error(run, "out of memory"), false);
}

/* ---- sounds ------------------------------------------------------------------------------------------------------ */

static snub_status read_sound(cli_run *run, FILE *file, snub_sound *sound, snub_error *error)
{
    unsigned char bytes[1 << 16];
    size_t got;
    snub_wav *wav = snub_wav_begin(&run->arena);
    snub_status status = wav != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    while (status == SNUB_OK && (got = fread(bytes, 1, sizeof bytes, file)) > 0)
        status = snub_wav_feed(wav, bytes, got, error);
    if (status == SNUB_OK && ferror(file))
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot be read: %s", strerror(errno));
    return status == SNUB_OK ? snub_wav_end(wav, sound, error) : status;
}

/* @return false: told */
static bool hear(job *j, int k, snub_errors *errors)
{
    cli_run *run = j->run;
    snub_pluck *p = &j->measured.plucks[k];
    snub_heard *heard = &j->heard[k];
    const char *path = cli_beside(j->measured.document.name, p->wav, &run->arena);
    snub_error error = {0};
    if (path == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (!cli_reads(run, "sound", path))
        return false;
    FILE *file = fopen(path, "rb");
    snub_status status = file != NULL ? read_sound(run, file, &heard->sound, &error)
                                      : snub_fail(&error, SNUB_IO, NULL, NULL, "cannot be read: %s", strerror(errno));
    if (file != NULL)
        fclose(file);
    if (status == SNUB_OK)
        status = snub_ring_find(&heard->sound, p->least, p->most,
                                snub_pluck_bending(&j->measured, j->has_belt ? &j->belt : NULL, k), &run->arena,
                                &heard->ring, &error);
    if (status != SNUB_OK) {
        snub_error told;
        const snub_place place = {
            .file = j->measured.document.name, .line = p->wav_place.line, .column = p->wav_place.column};
        snub_fail(&told, status, &place, "spans.wav", "%.300s %.300s", p->wav, error.message);
        snub_errors_add(errors, &told);
        return true;
    }
    heard->used = true;
    p->frequency = heard->ring.frequency;
    p->frequency_error = heard->ring.error;
    p->error_given = true;
    return true;
}

static bool hear_all(job *j)
{
    snub_errors errors = {0};
    j->heard = SNUB_NEW(&j->run->arena, snub_heard, j->measured.count);
    bool good = j->heard != NULL;
    if (!good)
        cli_usage_error(j->run, "out of memory");
    cli_doing("listening");
    for (int k = 0; good && k < j->measured.count; k++) {
        j->heard[k].used = false;
        if (j->measured.plucks[k].wav != NULL)
            good = hear(j, k, &errors);
    }
    if (!good) {
        snub_errors_free(&errors);
        return false;
    }
    return cli_readings_told(j->run, &j->measured.document, &errors, errors.count == 0);
}

static bool fit(job *j)
{
    snub_errors errors = {0};
    cli_doing("adjusting the tension");
    const snub_status status =
        snub_plucks_fit(&j->measured, j->has_belt ? &j->belt : NULL, &j->run->arena, &j->plucks, &errors);
    j->plucks.heard = j->heard;
    return cli_readings_told(j->run, &j->measured.document, &errors, status == SNUB_OK);
}

static int answer(const job *j)
{
    cli_run *run = j->run;
    const int code = snub_plucks_level(&j->plucks) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    snub_text text = {0};
    snub_error error;
    if (run->json)
        return cli_readings_answer(run, snub_json_plucks(&j->plucks), &text, 0, code);
    if (snub_text_plucks(&j->plucks, &look, &text, &error) == SNUB_OK)
        return cli_readings_answer(run, NULL, &text, 0, code);
    snub_text_free(&text);
    return cli_error(&error, NULL, 0);
}

static int run_pluck(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run};
    const int code = read_pluck(j, run->operands[1]) && take_drive(j) && hear_all(j) && fit(j) ? answer(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

/* Not by name: snub, which hands this over, must not be linked with what it needs. */
int (*const cli_measure_pluck)(cli_run *run) = CLI_FULL(run_pluck);
