/** parts_run.h - what the verbs of `snub parts` share. */
#ifndef SNUB_CLI_PARTS_RUN_H
#define SNUB_CLI_PARTS_RUN_H

#include "command.h"
#include "snub/parts.h"

typedef struct parts_changes parts_changes;

typedef struct parts_run {
    cli_run *run;
    const char **operands; /* after the verb */
    int operand_count;
    snub_catalogue *catalogue;
    char *path;
    snub_part_kind kind;
    bool compared;            /* the names of this run's files */
    bool quiet;               /* say nothing of each file that was imported */
    snub_import_report total; /* of all files so far */
    parts_changes *update;    /* what an update changes; NULL: none is running */
    snub_supplier_map *map;   /* of the supplier's files; NULL: none */
} parts_run;

/** Open the catalogue that the run names. @return false: told */
bool parts_open(parts_run *p, snub_catalogue_mode mode);
/** The same; where there is none, one is begun, and goes with the program if a signal stops that. */
bool parts_open_or_begin(parts_run *p);
void parts_close(parts_run *p);
/** A new catalogue takes its place, and is closed. @return SNUB_STOPPED: another program has made one meanwhile */
snub_status parts_place_new(parts_run *p, snub_error *error);
/** Tell that memory is out. @return CLI_BAD */
int parts_no_memory(const parts_run *p);
/** A path as it may be shown: a name may hold what a terminal obeys. */
const char *parts_shown(const parts_run *p, const char *path);

/** What has changed, into an object: what, field, old, new. */
void parts_put_change(struct json_t *object, const snub_part_change *change);

/** Import the files that come with snub (parts_import.c). @return an exit code */
int parts_import_shipped(parts_run *p, const snub_import_options *wanted);
/** The verbs of parts_import.c. */
int parts_import(parts_run *p);
int parts_update(parts_run *p);
/** The verbs of parts_history.c. */
int parts_history(parts_run *p);
int parts_maps(parts_run *p);

#endif
