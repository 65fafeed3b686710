"""Kernels: they compile without a folder to keep them in, and parts make the whole."""

import numpy as np
import pytest

from growth.compiled import beside, compiled, in_parts


def test_a_kernel_of_no_file_cannot_be_kept_and_runs_all_the_same():
    space = {}
    exec("def twice(values):\n    for i in range(len(values)):\n        values[i] *= 2", space)
    values = np.arange(4.0)
    compiled(space["twice"])(values)
    assert values == pytest.approx([0, 2, 4, 6])


@pytest.mark.parametrize("count", [0, 1, 7, 1000])
def test_every_number_is_worked_on_once(count):
    times = np.zeros(count, int)

    def work(first, end):
        times[first:end] += 1

    in_parts(work, count)
    assert (times == 1).all()


def test_a_mistake_in_a_part_is_not_swallowed():
    with pytest.raises(ZeroDivisionError):
        in_parts(lambda first, end: 1 // (first - first), 100)


def test_a_mistake_beside_comes_out_when_its_result_is_asked_for():
    begun = beside(lambda: 1 // 0)
    assert beside(lambda: 3).result() == 3
    with pytest.raises(ZeroDivisionError):
        begun.result()
