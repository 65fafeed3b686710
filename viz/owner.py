"""Processes that end with the one that began them, however that ended."""

import os
import threading
from multiprocessing import parent_process


def end_with_owner() -> None:
    """End this process when the one that began it has ended, however that ended.

    For processes of a pool, which hold the line they listen to open themselves.
    """
    owner = parent_process()
    assert owner is not None

    def wait() -> None:
        owner.join()
        os._exit(1)  # at once: nobody is left to hear of what was begun

    threading.Thread(target=wait, daemon=True).start()
