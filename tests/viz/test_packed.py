"""Arrays packed for the page: every kind comes back as numpy reads it from the bytes."""

from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser

from viz.packed import ALIGNED, packed


def read(run: bytes, array: list) -> np.ndarray:
    kind, first, count = array
    assert first % ALIGNED == 0  # a typed array of the browser may only begin there
    return np.frombuffer(run, dtype=kind, count=count, offset=first)


@pytest.mark.parametrize(
    "kind",
    ["float32", "float64", "int8", "int16", "int32", "int64", "uint8", "uint16", "uint32", "bool"],
)
def test_an_array_comes_back_as_it_was(kind: str) -> None:
    array = np.array([[0, 1, 0], [1, 1, 0]], dtype=kind)
    told = packed({"before": np.array([7], dtype=np.uint8), "here": [array]})
    back = read(told["bytes"], told["data"]["here"][0]["array"])
    np.testing.assert_array_equal(back, array.ravel())
    assert read(told["bytes"], told["data"]["before"]["array"]).tolist() == [7]


def test_a_long_array_that_only_counts_is_told_by_its_length() -> None:
    counts = np.arange(300, dtype=np.uint32).reshape(-1, 3)
    assert packed(counts) == {"bytes": b"", "data": {"counted": ["uint32", 300]}}
    others = counts.copy()
    others[-1, 0] += 1
    for array in (others, counts[1:], counts[:8], counts.astype(np.float32)):
        told = packed(array)
        np.testing.assert_array_equal(read(told["bytes"], told["data"]["array"]), array.ravel())


@pytest.mark.browser
def test_the_browser_counts_on_by_itself(browser: Browser) -> None:
    page = browser.new_page()
    page.add_script_tag(path=Path(__file__).parents[2] / "viz" / "js" / "arrays.js")
    told = packed({"corners": np.arange(99, dtype=np.uint32)})["data"]
    read = (
        "data => { const { corners } = unpacked({ bytes: null, data }); "
        "return [corners.constructor.name, [...corners]]; }"
    )
    assert page.evaluate(read, told) == ["Uint32Array", list(range(99))]
    page.close()


def test_what_is_no_array_stays() -> None:
    told = packed(
        {"name": "oak", "picture": b"\x89PNG", "eyes": [{"eye": (1.0, 2.0)}], "none": None}
    )
    assert told == {
        "bytes": b"",
        "data": {"name": "oak", "picture": b"\x89PNG", "eyes": [{"eye": [1.0, 2.0]}], "none": None},
    }


def test_an_array_without_numbers_is_refused() -> None:
    with pytest.raises(TypeError, match="cannot be sent"):
        packed(np.array(["oak"]))
