"""A program that changes a document without end, in children that are killed: see test_killed.py.

It is given a document, a number of kills, and how long its history may grow. Each child makes
random edits, undos and redos, and tells of each only after it was said to be done; after a
random time it is killed with no warning, or kills itself just before, or amid, one of its calls
that write. Then everything is looked at afresh, and at the end all is undone. What was seen is
printed as one JSON line.
"""

import json
import os
import random
import select
import signal
import sys
import time
from collections import Counter
from pathlib import Path

import scenes
from scenes import history as histories
from scenes.desk import Desk
from scenes.history import history_path

WRITING = ("open", "write", "fsync", "ftruncate", "close", "unlink", "replace", "chown")
LONGEST_S = 0.06


def change(desk, chance):
    """One random change; whether it was done."""
    what = chance.random()
    if what < 0.2:
        return desk.undo().done
    if what < 0.3:
        return desk.redo().done
    count = len(desk.yard.planting)
    of = f"planting[{chance.randint(1, count)}]"
    by_m = [chance.choice([-0.1, 0.1, 0.2]), chance.choice([-0.1, 0.1])]
    if what < 0.75:
        return desk.apply({"do": "move", "of": of, "plants": [0], "by_m": by_m}).done
    if what < 0.85 and count > 2:
        return desk.apply({"do": "remove", "of": of}).done
    planted = {"do": "plant", "plant": "Ilex glabra", "size": "#5", "at_m": [[2.0, 2.0]]}
    return desk.apply(planted).done


def child(path, seed, told, calls_left):
    """Change the document until killed; after so many writing calls, where given, by itself."""
    chance = random.Random(seed)
    if calls_left is not None:
        left = [calls_left]

        def watched(name, call):
            def counted(*args, **kwargs):
                left[0] -= 1
                if left[0] < 0:
                    if name == "write":
                        REAL_WRITE(args[0], args[1][: len(args[1]) // 2])
                    os.kill(os.getpid(), signal.SIGKILL)
                return call(*args, **kwargs)

            return counted

        for name in WRITING:
            setattr(os, name, watched(name, getattr(os, name)))
    desk = Desk(path)
    while True:
        if change(desk, chance):
            line = json.dumps([desk.last_number, desk.text])
            _tell(told, line)


REAL_WRITE = os.write


def _tell(told, line):
    rest = f"{line}\n".encode()
    while rest:
        rest = rest[REAL_WRITE(told, rest) :]


def killed_child(path, seed, calls_left, stop_after_s):
    """What a killed child said was done: number and text of each step."""
    ear, told = os.pipe()
    number = os.fork()
    if number == 0:
        try:
            os.close(ear)
            child(path, seed, told, calls_left)
        finally:
            os._exit(99)
    os.close(told)
    said, until = b"", time.monotonic() + stop_after_s
    while True:
        ready, _, _ = select.select([ear], [], [], max(0.0, until - time.monotonic()))
        if not ready:
            os.kill(number, signal.SIGKILL)
            until = time.monotonic() + 60
            continue
        piece = os.read(ear, 1 << 16)
        if not piece:
            break
        said += piece
    os.close(ear)
    _, status = os.waitpid(number, 0)
    assert os.WIFSIGNALED(status), f"the child ended by itself: {status}"
    whole = said[: said.rfind(b"\n") + 1]
    return [json.loads(line) for line in whole.splitlines()]


def look_after(path, said, counts):
    """Everything that was said to be done is there, and the document loads."""
    scenes.load(path)
    text = path.read_bytes().decode()
    history = histories.read(history_path(path))
    texts, after = {}, history.first if history else text
    for step in history.steps if history else ():
        after = step.after(after)
        texts[step.number] = after
    for number, told in said:
        assert number in texts or histories.MOST_BYTES < 100_000
        assert texts.get(number, told) == told, f"step {number} is not what was said"
    if said:
        number, told = said[-1]
        unsaid = [texts[n] for n in sorted(texts) if n > number]
        assert text in (told, *unsaid), "the document is neither the last step nor one after it"
        assert len(unsaid) <= 2
        counts["unsaid"] += text != told
    counts["said"] += len(said)
    counts["torn"] += history is not None and history.size != history_path(path).stat().st_size


def main():
    path, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), 7
    histories.MOST_BYTES = int(sys.argv[3])
    first = path.read_bytes()
    chance, counts = random.Random(seed), Counter()
    Desk(path)  # everything is loaded before the first fork
    for kill in range(kills):
        by_call = kill % 2 == 1
        said = killed_child(
            path,
            seed + kill,
            chance.randint(1, 70) if by_call else None,
            30.0 if by_call else chance.uniform(0.0, LONGEST_S),
        )
        look_after(path, said, counts)
        counts["kills"] += 1
    desk = Desk(path)
    while desk.undo_words is not None:
        outcome = desk.undo()
        assert outcome.done, outcome.words
    counts["back"] = int(path.read_bytes() == first)
    counts["bytes"] = history_path(path).stat().st_size
    counts["left"] = len([one for one in path.parent.iterdir() if one.name.endswith(".part")])
    print(json.dumps(counts))


if __name__ == "__main__":
    main()
