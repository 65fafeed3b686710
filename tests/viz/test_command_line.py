"""What is typed wrongly is said in one line, with the command that tells more."""

import pytest

from viz.__main__ import main


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([], "required: COMMAND"),
        (["prune"], "'prune'"),
        (["check"], "required: YARD"),
        (["grow", "Acer rubrum", "--zone", "40"], "40 is not a hardiness zone from 1 to 13"),
        (["grow", "Acer rubrum", "--until", "0"], "0 is not a year from 1 to 30"),
        (["show", "--port", "70000"], "70000 is not a port"),
        (["ground", "yard.toml", "--rain", "2"], "2 is not a rain"),
        (["pack", "yard.toml", "--out", "yard.pdf"], "yard.pdf is not a page"),
    ],
)
def test_a_wrong_argument_is_one_line(capsys, typed: list[str], said: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(typed)
    assert ended.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    assert line.startswith("yardyears")
    assert said in line
    assert line.endswith("--help")
