/** How many bytes a connection has brought, read by us or not. */
#ifndef SNUB_SERVE_RECEIVED_H
#define SNUB_SERVE_RECEIVED_H

#include <stdbool.h>

/** Has more come in on this socket than the `taken` bytes? True where the system cannot tell. */
bool serve_received_more(int socket, unsigned long long taken);

#endif
