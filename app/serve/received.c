#include "received.h"

#include <linux/tcp.h>
#include <netinet/in.h>
#include <stddef.h>
#include <string.h>
#include <sys/socket.h>

bool serve_received_more(int socket, unsigned long long taken)
{
    struct tcp_info info;
    socklen_t length = sizeof info;
    memset(&info, 0, sizeof info);
    if (getsockopt(socket, IPPROTO_TCP, TCP_INFO, &info, &length) ||
        length < offsetof(struct tcp_info, tcpi_bytes_received) + sizeof info.tcpi_bytes_received)
        return true;
    return info.tcpi_bytes_received > taken;
}
