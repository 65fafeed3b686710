"""Memory of a process: what is freed by threads is given back to the system."""

import subprocess
import sys

import pytest

FREED_BY_THREADS = """
import threading, sys
import numpy as np
from viz.footprint import give_back, one_heap

def resident():
    with open("/proc/self/statm") as told:
        return int(told.read().split()[1]) * 4096

def work():
    pieces = [np.ones(2000) for _ in range(4000)]  # 64 MB in pieces of 16 kB
    del pieces

one_heap()
threads = [threading.Thread(target=work) for _ in range(3)]
for each in threads: each.start()
for each in threads: each.join()
give_back()
print(resident())
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the C library of Linux is asked")
def test_what_threads_have_freed_is_given_back():
    told = subprocess.run(
        [sys.executable, "-c", FREED_BY_THREADS], capture_output=True, text=True, check=True
    )
    assert int(told.stdout) < 60e6  # the work alone took 64 MB in each thread
