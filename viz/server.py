"""The pages served on this machine: its own address only, one port, until it is stopped.

Binds 127.0.0.1 and accepts websockets from localhost and 127.0.0.1 alone. Each visit calls
its page's function for a fresh template; everything costly was computed before.
"""

import webbrowser
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import panel as pn

from viz.ports import ADDRESS, usable_port

BIGGEST_MESSAGE_BYTES = 100 * 2**20


def serve(
    pages: Mapping[str, Callable[[], Any]],
    *,
    titles: Mapping[str, str],
    port: int,
    open_browser: bool,
    plain: Sequence[Any] = (),
    meanwhile: Callable[[Callable[[], object]], object] = id,
) -> None:
    """Serve the pages by their paths ("" is the root) until interrupted; port 0 takes a free one.

    Plain pages are patterns of Tornado with what answers them. `meanwhile` is called once the
    pages are there, with what ends the serving from any thread.

    Raises ShowError when the port is taken or may not be used.
    """
    chosen = usable_port(port)
    address = f"http://localhost:{chosen}/"
    pn.extension("vtk")
    server = pn.serve(
        dict(pages),
        port=chosen,
        address=ADDRESS,
        websocket_origin=[f"localhost:{chosen}", f"{ADDRESS}:{chosen}"],
        title=dict(titles),
        show=False,
        start=False,
        verbose=False,
        websocket_max_message_size=BIGGEST_MESSAGE_BYTES,
        extra_patterns=list(plain),
    )
    server.start()
    meanwhile(lambda: server.io_loop.add_callback(server.io_loop.stop))
    print(f"The yard is at {address} (stop with Ctrl+C)", flush=True)
    if open_browser:
        webbrowser.open(address)
    server.io_loop.start()
