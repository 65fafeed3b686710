"""Where labels of the plan are put: near, in the window, over nothing else."""

import numpy as np
import pytest

from viz.planplants import RINGS, label_box

WINDOW = np.array([0.0, 0.0, 200.0, 200.0])
FAR = np.array([[190.0, 190.0]])
AT = np.array([100.0, 100.0])


def beside(box, at):
    """How far the nearest point of a box lies from a place."""
    return float(np.hypot(*(at - np.clip(at, box[:2], box[2:]))))


def overlap(box, other):
    return bool((np.minimum(box[2:], other[2:]) > np.maximum(box[:2], other[:2])).all())


def test_alone_a_label_stands_as_near_as_it_may():
    box = label_box("3 CM", AT, FAR, [], WINDOW)
    assert beside(box, AT) <= RINGS[0]
    assert not overlap(box, np.concatenate([AT, AT + 0.1]))


def test_labels_keep_off_each_other_and_off_the_edge():
    boxes = []
    for _ in range(6):
        boxes.append(label_box("3 CM", np.array([198.0, 100.0]), FAR, boxes, WINDOW))
    assert all(box[2] <= 200 for box in boxes)
    assert not any(overlap(one, two) for n, one in enumerate(boxes) for two in boxes[:n])


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_leader_goes_round_another_label(turn):
    """A wall of labels stands on one side, so that the label goes to the other."""
    way = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn))]).round()
    aside = way[::-1] * [-1, 1]
    middles = AT + 4.5 * way + np.linspace(-45, 45, 46)[:, None] * aside
    wall = [np.concatenate([middle - 1.2, middle + 1.2]) for middle in middles]
    box = label_box("3 CM", AT, FAR, wall, WINDOW)
    assert ((box[:2] + box[2:]) / 2 - AT) @ way < 4.5


def test_a_label_leaves_plants_free_where_it_can():
    """Plants stand on every side but the south."""
    angle = np.radians(np.arange(-30, 211, 3))
    reach = np.arange(2, 9)[:, None, None]
    plants = (AT + reach * np.column_stack([np.cos(angle), np.sin(angle)])).reshape(-1, 2)
    box = label_box("3 CM", AT, plants, [], WINDOW)
    inside = ((plants > box[:2]) & (plants < box[2:])).all(axis=1)
    assert not inside.any()
    assert (box[1] + box[3]) / 2 < 100
