/** papers.h - what the program makes of a drive, for its page: the list, and the words of a command line. */
#ifndef SNUB_CLI_PAPERS_H
#define SNUB_CLI_PAPERS_H

#include "../serve/program.h"

/** @param[in]  catalogue  that the server was given; NULL: none
 *  @param[out] program    its texts are in the arena */
void cli_papers(const char *catalogue, snub_arena *arena, serve_program *program);

#endif
