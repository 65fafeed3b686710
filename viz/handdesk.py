"""The plan's open pages and the document they change: what is asked is done on a desk, and told.

Every page has a desk of its own, which holds the document as that page saw it: an edit names
what its page shows, and the desk merges it with what others made meanwhile. One thread waits for
saves, so that pages see each other's changes and an editor's. An edit that no plant could be
grown from is refused before it is written.
"""

import contextlib
import time
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Any

import panel as pn
from bokeh.document import Document

import growth
from growth.errors import GrowthError
from scenes.desk import Desk, Outcome
from scenes.document import Yard
from scenes.errors import SceneError
from viz.handplan import Drawn, hand_plan
from viz.handsearch import found
from viz.keptsite import KeptSite
from viz.packed import packed
from viz.planpage import PlanView, plan_page
from viz.underplan import under_plan
from viz.watching import look, saves

KEPT = 6
"""So many states of the document that a page was shown stay asked for."""


class Drafts:
    """Yards laid out and grown, the last one kept; ground that an edit left alone is kept too."""

    _last: tuple[str, Any, Drawn, dict[str, Any]] | None = None
    _under: tuple[Any, dict[str, Any]] | None = None

    def __init__(self) -> None:
        """Nothing is laid out yet."""
        self._lock = Lock()
        self._site = KeptSite()

    def of(self, yard: Yard, text: str) -> tuple[Drawn, dict[str, Any]]:
        """The yard of a text, and what its page is sent; SceneError or GrowthError where wrong."""
        files = look(yard.path).facts[1:]
        with self._lock:
            if self._last is None or self._last[:2] != (text, files):
                drawn = self._laid_out(yard, files)
                self._last = text, files, drawn, packed(hand_plan(drawn))
            return self._last[2:]

    def under(self, yard: Yard) -> dict[str, Any]:
        """The picture under the plan, as its page is sent it."""
        made_of = yard.base_plan, look(yard.path).facts[1:] if yard.base_plan else ()
        with self._lock:
            if self._under is None or self._under[0] != made_of:
                self._under = made_of, under_plan(yard)
            return self._under[1]

    def _laid_out(self, yard: Yard, files: Any) -> Drawn:
        layout = self._site.layout(yard, self._site.terrain(yard, files), files)
        return Drawn(yard, layout, growth.grow(yard, layout))


class Hand:
    """One open page of the plan: its component, and the desks of the states it was shown."""

    def __init__(
        self, view: PlanView, path: Path, drafts: Drafts, *, wrote: Callable[[], object]
    ) -> None:
        """A page that shows nothing yet; `wrote` is told of every change it wrote."""
        self._wrote = wrote
        self._view, self._path, self._drafts = view, path, drafts
        self._desks: dict[int, Desk] = {}
        self._state: dict[str, Any] = {"count": 0, "rev": 0, "read_only": "", "mistakes": []}
        view.on_msg(lambda event: self.asked(event.data))

    def begin(self, yard: Yard) -> None:
        """Show the document as it is; where it is wrong, the yard as it was last read well."""
        self.look_again()
        if not self._desks:
            self._draw(yard, self._drafts.of(yard, "")[1])

    def look_again(self) -> None:
        """Show the document as it is now, if it is another one."""
        try:
            desk = Desk(self._path)
            sheet = self._drafts.of(desk.yard, desk.text)[1]
        except (SceneError, GrowthError) as mistake:
            self._tell(mistakes=str(mistake).splitlines())
            return
        shown = self._desks.get(self._state["rev"])
        if shown is None or self._state["mistakes"] or _differ(shown, desk):
            self._show(desk, sheet)

    def asked(self, message: Any) -> None:
        """Do what the page asks, and tell what became of it."""
        if not isinstance(message, Mapping):
            return
        if message.get("ask") == "search":
            self._search(str(message.get("words", ""))[:200])
        elif message.get("ask") in ("edit", "undo", "redo"):
            desk = self._desks.get(message.get("rev", 0))
            if desk is None:
                self._tell(said=_refused("The plan was read again meanwhile; do it once more."))
            else:
                self._done(desk, self._outcome(desk, message))

    def _search(self, words: str) -> None:
        """Tell the plants found; counted, for the same words asked elsewhere are told anew."""
        count = self._view.found.get("count", 0) + 1
        self._view.found = {**found(self._yard(), words), "count": count}

    def _yard(self) -> Yard | None:
        desk = self._desks.get(self._state["rev"])
        return desk.yard if desk else None

    def _outcome(self, desk: Desk, message: Mapping[str, Any]) -> Outcome:
        answer = message.get("answer")
        if message["ask"] == "undo":
            return desk.undo(answer=answer)
        if message["ask"] == "redo":
            return desk.redo(answer=answer)
        asked = message.get("edit")
        edit: dict[str, Any] = asked if isinstance(asked, dict) else {}
        return desk.apply(edit, answer=answer, allow=self._must_grow)

    def _must_grow(self, yard: Yard, text: str) -> None:
        """SceneError where no plant could be grown from a text; else its plan is drawn already."""
        try:
            self._drafts.of(yard, text)
        except GrowthError as error:
            raise SceneError(str(error)) from None

    def _done(self, desk: Desk, outcome: Outcome) -> None:
        said: dict[str, Any] = {"words": outcome.words, "notes": list(outcome.notes), "answer": ""}
        if outcome.question is not None:
            self._tell(said={**said, "kind": "asks", "answer": outcome.question.answer})
            return
        said["kind"] = "done" if outcome.done else "refused"
        if outcome.done:
            self._wrote()
        try:
            sheet = self._drafts.of(desk.yard, desk.text)[1]
        except (SceneError, GrowthError) as error:
            self._tell(said=said, mistakes=str(error).splitlines())
            return
        self._show(desk, sheet, said=said)

    def _show(self, desk: Desk, sheet: dict[str, Any], said: Any = None) -> None:
        rev = self._state["rev"] + 1
        kept = {n: each for n, each in self._desks.items() if each is not desk}
        self._desks = {**dict(list(kept.items())[-KEPT:]), rev: desk}
        self._draw(desk.yard, sheet)
        self._tell(
            said=said,
            rev=rev,
            undo=desk.undo_words or "",
            redo=desk.redo_words or "",
            read_only=desk.why_not or "",
            title=desk.yard.title,
        )

    def _draw(self, yard: Yard, sheet: dict[str, Any]) -> None:
        """Send what the page does not have yet."""
        under = self._drafts.under(yard)
        if self._view.under != under:
            self._view.under = under
        if self._view.sheet != sheet:
            self._view.sheet = sheet

    def _tell(self, *, said: Any = None, mistakes: list[str] | None = None, **more: Any) -> None:
        self._state = {
            **self._state, **more, "count": self._state["count"] + 1, "said": said or {},
            "mistakes": mistakes or [], "read": time.strftime("%H:%M"),
        }  # fmt: skip
        self._view.state = self._state


class Plans:
    """All open pages of the plan of one document."""

    def __init__(self, path: Path, yard: Yard, *, wrote: Callable[[], object]) -> None:
        """A document, its yard as it was last read well, and whom to tell of what is written."""
        self._path, self._yard, self._wrote = path, yard, wrote
        self._drafts = Drafts()
        self._hands: dict[Document, Hand] = {}

    def follow(self) -> None:
        """Tell the pages of every save, without end."""
        for _ in saves(self._path, look(self._path)):
            self._prepare()
            for document, hand in list(self._hands.items()):
                document.add_next_tick_callback(partial(hand.look_again))

    def _prepare(self) -> None:
        """Lay the document out here, so that no page has to wait for it; pages tell mistakes."""
        with contextlib.suppress(SceneError, GrowthError):
            desk = Desk(self._path)
            self._drafts.of(desk.yard, desk.text)

    def visit(self) -> Any:
        """A fresh page for one session, which will follow."""
        view, document = PlanView(sizing_mode="stretch_width"), pn.state.curdoc
        hand = Hand(view, self._path, self._drafts, wrote=self._wrote)
        self._hands[document] = hand
        document.on_session_destroyed(lambda _: self._hands.pop(document, None))
        hand.begin(self._yard)
        return plan_page(self._yard, view)


def _differ(one: Desk, other: Desk) -> bool:
    """Whether a page would show two desks differently."""
    return any(
        getattr(one, name) != getattr(other, name)
        for name in ("text", "undo_words", "redo_words", "why_not")
    )


def _refused(words: str) -> dict[str, Any]:
    return {"kind": "refused", "words": words, "notes": [], "answer": ""}
