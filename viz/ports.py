"""A port of this machine's own address, known to be free before any work is done for it."""

import errno
import socket
from contextlib import closing

from viz.errors import ShowError

ADDRESS = "127.0.0.1"


def usable_port(port: int) -> int:
    """The port itself, or a free one for 0; ShowError where it cannot be bound."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((ADDRESS, port))
        except OSError as error:
            taken = error.errno == errno.EADDRINUSE
            why = "is taken" if taken else f"cannot be used ({error.strerror})"
            raise ShowError(f"port {port}: {why}; choose another with --port, or 0") from error
        return int(probe.getsockname()[1])
