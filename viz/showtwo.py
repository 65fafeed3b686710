"""Two yards side by side in the browser: one page, made once, with one camera for both.

The page is the one that `yardyears pack` writes. It does not follow its documents: it is made
anew by starting the command again.
"""

import asyncio
import webbrowser
from pathlib import Path

from rich.console import Console
from tornado.web import Application, RequestHandler

from viz.pack import whole
from viz.ports import ADDRESS, usable_port


class PageHandler(RequestHandler):
    """Answers with the page."""

    page: str

    def initialize(self, page: str) -> None:
        """The page as HTML."""
        self.page = page

    def get(self) -> None:
        """The page."""
        self.finish(self.page)


def show_two(path: Path, second: Path, *, port: int, open_browser: bool) -> None:
    """Make the page of two documents and serve it on this machine alone until interrupted.

    Raises SceneError or GrowthError for a wrong document or unlike lots, ShowError when the port
    is taken or may not be used.
    """
    port = usable_port(port)  # before the work, not after it
    with Console(stderr=True).status("Growing two yards through 30 years ..."):
        page = whole(path, second, telling=len)
    asyncio.run(_serve(page, port, open_browser=open_browser))


async def _serve(page: str, port: int, *, open_browser: bool) -> None:
    Application([("/", PageHandler, {"page": page})]).listen(port, address=ADDRESS)
    address = f"http://localhost:{port}/"
    print(f"The yards are at {address} (stop with Ctrl+C)", flush=True)
    if open_browser:
        webbrowser.open(address)
    await asyncio.Event().wait()
