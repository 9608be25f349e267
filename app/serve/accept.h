/** Taking connections in: the socket that listens, and the thread that gives each connection a place and a lane. */
#ifndef SNUB_SERVE_ACCEPT_H
#define SNUB_SERVE_ACCEPT_H

#include "http.h"

/** Take an address to listen on.
 *  @param[out] listener  socket
 *  @param[out] port      the one in use, where the address names port 0
 *  @return SNUB_OK; SNUB_IO with the system's reason */
snub_status serve_accept_listen(const struct sockaddr *address, int *listener, unsigned *port, snub_error *error);
/** Start to take connections in, on the server's listening socket; its lanes must be open.
 *  @return false: no thread could be started */
bool serve_accept_start(serve_server *server);
/** Take no more, and close the listening socket. */
void serve_accept_stop(serve_server *server);

#endif
