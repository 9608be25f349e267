/** share_page.h - the page of `snub share`, app/share/page.html, inside the program. */
#ifndef SNUB_CLI_SHARE_PAGE_H
#define SNUB_CLI_SHARE_PAGE_H

#include <stddef.h>

/** Ends with a 0 that does not count. Made by app/share/embed.cmake. */
extern const char cli_share_page[];
extern const size_t cli_share_page_length;

#endif
