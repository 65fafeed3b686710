"""The server's address and port, against the operating system's own sockets."""

import socket

import pytest

from viz.errors import ShowError
from viz.frame import escaped, script_source
from viz.page import SCRIPTS, YardView
from viz.planpage import PlanView
from viz.ports import usable_port
from viz.racepage import RaceView
from viz.server import serve


def test_a_taken_port_is_refused_with_a_remedy():
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with pytest.raises(ShowError, match=f"port {port}: is taken; choose another"):
            usable_port(port)


def test_port_zero_takes_a_free_one():
    port = usable_port(0)
    with socket.create_server(("127.0.0.1", port)) as mine:
        assert mine.getsockname()[1] == port


def test_every_string_is_escaped_however_deep():
    evil = "<img src=x onerror=\"alert('1')\">&"
    safe = "&lt;img src=x onerror=&quot;alert(&#x27;1&#x27;)&quot;&gt;&amp;"
    assert escaped({"a": [evil, {"b": (evil,)}], "n": 3}) == {"a": [safe, {"b": [safe]}], "n": 3}


def test_only_this_machine_is_served_and_the_browser_opens_after_the_start(monkeypatch):
    asked, order = {}, []

    class Held:
        """Takes the place of the running server: what it was told is looked at."""

        io_loop = type("Loop", (), {"start": staticmethod(lambda: None)})

        def start(self):
            order.append("started")

    monkeypatch.setattr("panel.serve", lambda pages, **told: asked.update(told) or Held())
    monkeypatch.setattr("webbrowser.open", order.append)
    serve({"": lambda: "page"}, titles={"": "t"}, port=0, open_browser=True)
    port = asked["port"]
    assert asked["address"] == "127.0.0.1"
    assert asked["websocket_origin"] == [f"localhost:{port}", f"127.0.0.1:{port}"]
    assert order == ["started", f"http://localhost:{port}/"]


def test_every_script_is_run_as_it_stands_and_known_from_the_others():
    yard, again, race, plan = (
        kind().get_root() for kind in (YardView, YardView, RaceView, PlanView)
    )
    assert yard.esm.rstrip() == script_source(SCRIPTS).rstrip()
    assert yard.bundle == again.bundle
    assert len({None, yard.bundle, race.bundle, plan.bundle}) == 4
