/** What the page asks for, answered by the same library calls as the command line makes. */
#ifndef SNUB_SERVE_HANDLERS_H
#define SNUB_SERVE_HANDLERS_H

#include "folder.h"
#include "language.h"
#include "problem.h"
#include "request.h"
#include "snub/cautions.h"
#include "snub/parts.h"
#include "snub/report.h"

enum {
    SERVE_WORKERS = 4,
    SERVE_MEMORY_MOST = 256 << 20 /**< bytes of arena in one answer */
};

/** An answer on its way. */
typedef struct serve_answer {
    unsigned status;
    snub_text body;         /**< JSON */
    const snub_hint *hints; /**< names of before in the request's file and changes; in the worker's arena, so for the
                                 making of the body only */
    const snub_bare *bare; /**< bare numbers of a file for inch units; NULL: not known. In the worker's arena as well */
    snub_placeholders placeholders; /**< of the request's file; likewise */
    char etag[SERVE_ETAG_ROOM];
    unsigned job; /**< that was started for it; 0: none */
    bool exact;   /**< its numbers have all their digits */
    bool written; /**< a file was: memory that is refused from here on does not undo that */
} serve_answer;

/** One worker's own things: units are not shared between threads. */
typedef struct serve_worker {
    snub_units *units;
    snub_arena arena;
    const snub_part_source *parts; /**< NULL: there is no catalogue */
    const snub_map_source *maps;   /**< of blowers */
    const snub_document *document; /**< of the requests' text, where it has been parsed before; NULL: parse it */
    snub_catalogue *catalogue;     /**< NULL: none is open */
    const serve_folder *folder;    /**< where maps may lie */
    snub_part_source of_catalogue;
    snub_map_source of_folder;
} serve_worker;

/** @param[in] catalogue  path; NULL: without parts */
snub_status serve_worker_open(serve_worker *worker, const serve_folder *folder, const char *catalogue,
                              snub_error *error);
void serve_worker_close(serve_worker *worker);

/** The build with the request's changes, and the geometry to draw:
 * {"check":{…},"geometry":{…},"problem":null,"cautions":[…],"units":"metric"}. `units` are the file's. `check` is what
 * `snub check --json` says. Where the request does not want the whole (a hand that still moves) and nothing is left to
 * be chosen, the build is not judged: its verdict is null and it has no findings. Where demand has no answer at that
 * speed `check` is null and `problem` says why. */
void serve_lay(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** Every key of the drive file: {"keys":[…],"language":"en"}, as `snub keys --json` lists them, with what each means in
 *  that language. */
void serve_keys(const serve_language *language, serve_answer *answer);
/** What reading the request's file asks for, in the same form without meanings and with what the file has, and the
 * errors of that reading:
 * {"entries":[…],"errors":[…],"more":0}. Errors are no refusal here. */
void serve_entries(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** Curves over the rev range. */
void serve_sweep(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** A data log against the build: {"log":{…},"curves":{…}}. `log` is what `snub log --json` says, `curves` what its plot
 *  draws. The body has, beside what a request has, "log": {"name","data": base64 of the file,
 * "by","column":{},"unit":{}, "rate"}, the last four as the options of the command. Nothing of it is kept.
 *  @param[in] body  of which the request was read */
void serve_log(serve_worker *worker, const serve_request *request, const char *body, size_t length,
               serve_answer *answer);
/** The text as a snapshot for the core in the browser (snub/snapshot.h): {"snapshot":"base64","asked":N}, where N
 *  counts what came from a catalogue or another file. Changes do not count.
 */
void serve_snapshot(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** The text with the changes written into it at their marks, and the edits made one after the other: {"text":"…"}.
 * Comments and layout stay. Edits that make a file wrong that was right are refused with what is wrong then. */
void serve_apply(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** The same, written to the file: {"file","text","etag","taken":[keys]}, with
 *  "mine", the request's own text, where another's keys came in. Where the request has the text that it began
 *  with, and another program has written the file since, the two are brought together; `taken` are the keys that came
 *  from there. What both changed differently is refused with 409 and "conflicts":[{"path","base","mine","theirs"}].
 *  A request for review writes nothing: {"differences":[{"path","file","new"}],"taken"}; the 409 has both lists then.
 *  @param[in] match   ETag that the file must have, where the request has no such text
 *  @param[in] create  there must be no such file yet */
void serve_save(serve_worker *worker, const serve_folder *folder, const serve_request *request, const char *match,
                bool create, serve_answer *answer);

/** The problem of a new file that was not written (serve_folder_create). */
serve_problem serve_problem_of_new(snub_status status);

/** Progress of long work, asked in the process that does it and in the server.
 *  @return false from `going`: stop; true from `ends`: end it, and answer with what there is */
typedef struct serve_progress {
    bool (*going)(void *context, int done, int of);
    void *context;
    bool (*ends)(void *context);                     /**< NULL: never */
    void (*so_far)(void *context, const char *json); /**< what there is, in one line, where it is news; NULL: it is not
                                                           wanted */
} serve_progress;
/** Every build of the options: the chart's own JSON. */
void serve_chart(serve_worker *worker, const serve_request *request, const serve_progress *progress,
                 serve_answer *answer);
struct serve_motion_request;
/** The build in motion, over its speeds or in time: {"motion":{…},"columns":{…},"places":[…]}. "motion" is what `snub
 * motion --json` says; "columns", of a run, its rows as `--csv` has them, else null; "places" where the belt runs over
 * the arm's travel, to draw it. */
void serve_motion(serve_worker *worker, const serve_request *request, const struct serve_motion_request *wanted,
                  const serve_progress *progress, serve_answer *answer);

struct serve_study_request;
/** A study of the drive: what `snub search --json` or `snub tolerate --json` says, under "search" or "kits". With
 * "kits" come "words", the first sentence, and "histograms", an SVG. */
void serve_study(serve_worker *worker, const serve_request *request, const struct serve_study_request *wanted,
                 const serve_progress *progress, serve_answer *answer);

/** 200 with a JSON value, whose reference is taken; 500 where it is NULL (no memory). */
void serve_answer_json(serve_answer *answer, struct json_t *json);
/** {"file","text","etag"} of a file as read or saved.
 *  @param[in] taken  list of keys, as "taken"; its reference is taken; NULL: none
 *  @param[in] mine   text without them; NULL: none */
void serve_answer_drive(serve_answer *answer, const char *name, const char *data, size_t length, struct json_t *taken,
                        const snub_version *mine);
/** A text as a JSON string; bytes that are no UTF-8 become "?". */
void serve_json_text(snub_text *out, const char *text);

/** Bytes for a JSON text; appended. */
void serve_base64(snub_text *out, const char *data, size_t length);

void serve_answer_problem(serve_answer *answer, serve_problem problem, const char *detail);
/** Of a chart or paper that did not come of its process. */
void serve_answer_unmade(serve_answer *answer, snub_status status, const snub_error *error);
void serve_answer_error(serve_answer *answer, serve_problem problem, const snub_error *error, const char *source,
                        size_t source_length);

#endif
