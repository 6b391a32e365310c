"""The server of a watched page, over a real socket: who may ask, for what, and within which bounds."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from contextlib import ExitStack, closing, suppress
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest

from benchproof.compiler import preview_server
from benchproof.compiler.look import Look
from benchproof.compiler.preview_server import CannotServe, PreviewServer, policy, run_watch
from benchproof.compiler.watch import Watch

RECIPE = "recipe Pier loaf\n  makes: 2 loaves\ningredients\n  water: 500 g\n"
TOKEN = "a-token-that-nobody-guesses"
WAIT = 20
"""Seconds until a test gives up."""


def plain_page(look: Look, nonce: str, ticket: str) -> str:
    """As little as can be told apart."""
    if look.asking.makes == "a fault":
        raise ZeroDivisionError("oh")
    return f"page {nonce} {ticket} {look.state} {look.refused}"


def plain_part(look: Look, ticket: str) -> str:
    return f"part {ticket} {look.state} {look.asking}"


def start(folder: Path) -> PreviewServer:
    (folder / "loaf.bench").write_text(RECIPE, "utf-8")
    server = PreviewServer(
        Watch(folder / "loaf.bench", None, lambda: "2026-11-25"), plain_page, plain_part, token=TOKEN
    )
    server.start()
    return server


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PreviewServer]:
    """For tests that leave it as it is."""
    server = start(tmp_path_factory.mktemp("kitchen"))
    yield server
    server.stop()


@pytest.fixture
def own(tmp_path: Path) -> Iterator[PreviewServer]:
    """For tests that change the recipe, hold connections, or stop it."""
    server = start(tmp_path)
    yield server
    if not server.stopped.is_set():
        server.stop()


def asked(
    server: PreviewServer, path: str, method: str = "GET", host: str | None = None, **headers: str
) -> tuple[HTTPResponse, str]:
    with closing(HTTPConnection("127.0.0.1", server.port, timeout=WAIT)) as connection:
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        if host != "":
            connection.putheader("Host", host or f"127.0.0.1:{server.port}")
        for name, value in headers.items():
            connection.putheader(name.replace("_", "-"), value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer, answer.read().decode()


def said(server: PreviewServer, data: bytes) -> bytes:
    """What comes back for bytes as they are, until the server hangs up."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=WAIT) as connection:
        connection.sendall(data)
        answer = b""
        while piece := connection.recv(65_536):
            answer += piece
        return answer


def page(server: PreviewServer, **headers: str) -> int:
    return asked(server, f"/{TOKEN}/", **headers)[0].status


# ---------------------------------------------------------------- what there is


def test_the_page_and_its_part(server: PreviewServer) -> None:
    answer, body = asked(server, f"/{TOKEN}/")
    assert answer.status == 200
    assert body.split()[0] == "page"
    answer, body = asked(server, f"/{TOKEN}/look?times=2")
    assert (answer.status, body.split()[0]) == (200, "part")
    assert "times='2'" in body


def test_a_head_request_has_no_body(server: PreviewServer) -> None:
    answer, body = asked(server, f"/{TOKEN}/", "HEAD")
    assert (answer.status, body) == (200, "")
    assert int(answer.headers["Content-Length"]) > 0
    assert asked(server, f"/{TOKEN}/events", "HEAD")[0].status == 200


def test_the_address_is_that_of_the_page(server: PreviewServer) -> None:
    assert server.address == f"http://127.0.0.1:{server.port}/{TOKEN}/"


def test_nobody_else_on_the_network_reaches_it(server: PreviewServer) -> None:
    for one in server._servers:
        assert one.socket.getsockname()[0] == "127.0.0.1"


# ---------------------------------------------------------------- who may ask


@pytest.mark.parametrize(
    "host",
    ["", "evil.example", "127.0.0.1", "127.0.0.1:1", "localhost", "[::1]:{port}", "127.0.0.1:{port}.evil"],
)
def test_another_name_is_refused(server: PreviewServer, host: str) -> None:
    answer, body = asked(server, f"/{TOKEN}/", host=host.format(port=server.port))
    assert answer.status == 421
    assert TOKEN not in body


def test_two_names_are_refused(server: PreviewServer) -> None:
    assert page(server, Host=f"127.0.0.1:{server.port}") == 421


def test_our_own_names_are_taken(server: PreviewServer) -> None:
    assert page(server, host=f"LocalHost:{server.port}") == 200


@pytest.mark.parametrize(
    "origin",
    ["https://evil.example", "null", "http://127.0.0.1", "http://127.0.0.1:1", "http://localhost:{port}"],
)
@pytest.mark.parametrize("room", ["", "look", "events"])
def test_another_site_may_not_read(server: PreviewServer, origin: str, room: str) -> None:
    answer, _ = asked(server, f"/{TOKEN}/{room}", Origin=origin.format(port=server.port))
    assert answer.status == 403
    assert answer.headers["Access-Control-Allow-Origin"] is None


def test_our_own_page_may(server: PreviewServer) -> None:
    assert page(server, Origin=f"http://127.0.0.1:{server.port}") == 200


@pytest.mark.parametrize(
    ("site", "status"),
    [("none", 200), ("same-origin", 200), ("same-site", 403), ("cross-site", 403), ("", 403)],
)
def test_where_a_request_comes_from(server: PreviewServer, site: str, status: int) -> None:
    assert page(server, Sec_Fetch_Site=site) == status


@pytest.mark.parametrize(
    "method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "BREW", "get"]
)
def test_only_reading(server: PreviewServer, method: str) -> None:
    answer, _ = asked(server, f"/{TOKEN}/", method)
    assert (answer.status, answer.headers["Allow"]) == (405, "GET, HEAD")


def test_nothing_is_taken_in(server: PreviewServer) -> None:
    assert page(server, Content_Length="5") == 400
    assert page(server, Transfer_Encoding="chunked") == 400
    assert page(server, Content_Length="0") == 200


@pytest.mark.parametrize(
    "path",
    [
        "/",
        f"/{TOKEN}",
        f"/{TOKEN[:-1]}/",
        f"/{TOKEN}x/",
        f"/{TOKEN.upper()}/",
        f"/{TOKEN}//",
        f"/{TOKEN}/../{TOKEN}/",
        f"/{TOKEN}/../../etc/passwd",
        f"/{TOKEN}/%2e%2e/loaf.bench",
        f"/{TOKEN}/..%5cloaf.bench",
        f"/{TOKEN}/loaf.bench",
        f"/{TOKEN}/preview.js",
        f"/{TOKEN}/events?x=1",
        "/favicon.ico",
        "*",
        "http://127.0.0.1/" + TOKEN + "/",
        f"/%61{TOKEN[1:]}/",
    ],
)
def test_nothing_else_is_there(server: PreviewServer, path: str) -> None:
    answer, body = asked(server, path)
    assert answer.status == 404
    assert "recipe" not in body
    assert TOKEN not in body


def test_the_old_way_of_asking_has_no_name_and_is_refused(server: PreviewServer) -> None:
    answer = said(server, f"GET /{TOKEN}/\r\n\r\n".encode())
    assert b" 421 " in answer or answer == b"This server has another name.\n"
    assert b"page" not in answer.replace(b"This page", b"")


@pytest.mark.parametrize(
    "data",
    [
        b"\r\n\r\n",
        b"GET\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/1.1 x\r\n\r\n",
        b"\x16\x03\x01\r\n\r\n",
    ],
)
def test_what_is_no_request_is_answered_without_a_word_of_it(server: PreviewServer, data: bytes) -> None:
    answer = said(server, data)
    assert b" 200 " not in answer
    assert b"Traceback" not in answer
    assert page(server) == 200, "and the server goes on"


# ---------------------------------------------------------------- what goes with each answer


@pytest.mark.parametrize("path", [f"/{TOKEN}/", f"/{TOKEN}/look", "/elsewhere", f"/{TOKEN}/?x=1"])
def test_every_answer_has_its_guards(server: PreviewServer, path: str) -> None:
    headers = asked(server, path)[0].headers
    rules = dict(one.partition(" ")[::2] for one in headers["Content-Security-Policy"].split("; "))
    assert rules["default-src"] == rules["frame-ancestors"] == rules["base-uri"] == "'none'"
    assert set(rules) - {"style-src", "script-src"} == {
        "default-src",
        "font-src",
        "img-src",
        "connect-src",
        "form-action",
        "base-uri",
        "frame-ancestors",
    }
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["Server"] is None
    assert headers["Set-Cookie"] is None


def test_each_page_has_a_nonce_of_its_own(server: PreviewServer) -> None:
    nonces = set()
    for _ in range(3):
        answer, body = asked(server, f"/{TOKEN}/")
        nonce = body.split()[1]
        assert policy(nonce) == answer.headers["Content-Security-Policy"]
        nonces.add(nonce)
    assert len(nonces) == 3


# ---------------------------------------------------------------- what is asked


@pytest.mark.parametrize(
    ("query", "status"),
    [
        ("times=2", 200),
        ("makes=4+loaves&on=2026-12-01", 200),
        ("times=&makes=&on=", 200),
        ("times=1.2%E2%80%AF", 200),
        ("times=much", 400),
        ("on=2026-99-99", 400),
        ("makes=%3Cscript%3E", 400),
        ("file=/etc/passwd", 400),
        ("times=1&times=2", 400),
        ("makes=" + "9" * 201, 400),
        ("makes=%ff", 400),
        ("makes=%00", 400),
        ("makes=%E2%80%AE2", 400),
        ("a&b&c&d&e&f&g&h&i&j", 400),
    ],
)
def test_what_is_asked_is_looked_at(server: PreviewServer, query: str, status: int) -> None:
    assert asked(server, f"/{TOKEN}/?{query}")[0].status == status


def test_a_refusal_is_a_sentence_on_the_page(server: PreviewServer) -> None:
    answer, body = asked(server, f"/{TOKEN}/?times=much")
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
    assert "is not a number of times" in body


def test_a_fault_of_ours_is_told_and_the_server_goes_on(tmp_path: Path) -> None:
    (tmp_path / "loaf.bench").write_text(RECIPE, "utf-8")
    told: list[str] = []
    watch = Watch(tmp_path / "loaf.bench", None, lambda: "2026-11-25")
    server = PreviewServer(watch, plain_page, plain_part, token=TOKEN, told=told.append)
    server.start()
    try:
        answer, body = asked(server, f"/{TOKEN}/?makes=a+fault")
        assert answer.status == 500
        assert "ZeroDivisionError" in body
        assert told == ["Benchproof has a fault of its own (ZeroDivisionError: oh)."]
        assert page(server) == 200
    finally:
        server.stop()


# ---------------------------------------------------------------- bounds


def test_an_address_has_a_longest(server: PreviewServer) -> None:
    assert asked(server, f"/{TOKEN}/?makes=" + "9" * preview_server.LONGEST_TARGET)[0].status == 414


def test_headers_have_a_longest(server: PreviewServer) -> None:
    assert page(server, X="x" * preview_server.LONGEST_HEAD) == 431
    assert page(server, X="x" * 1_000) == 200


def test_a_slow_client_is_dropped(own: PreviewServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview_server, "SECONDS", 1)
    assert said(own, b"GET / HTTP/1.1\r\n") == b""
    assert said(own, b"") == b""


def test_no_more_connections_than_a_few(own: PreviewServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview_server, "SECONDS", 2)
    with ExitStack() as stack:
        for _ in range(preview_server.MOST_CONNECTIONS):
            stack.enter_context(socket.create_connection(("127.0.0.1", own.port), timeout=WAIT))
        one_more = stack.enter_context(socket.create_connection(("127.0.0.1", own.port), timeout=WAIT))
        with suppress(ConnectionResetError):
            assert one_more.recv(1) == b""
    # They are gone: there is room again.
    for _ in range(1_000):
        try:
            assert page(own) == 200
            break
        except OSError:
            continue
    else:
        pytest.fail("the connections were never given back")


def events(server: PreviewServer) -> HTTPResponse:
    connection = HTTPConnection("127.0.0.1", server.port, timeout=WAIT)
    connection.request("GET", f"/{TOKEN}/events", headers={"Host": f"127.0.0.1:{server.port}"})
    return connection.getresponse()


def test_a_change_is_told(own: PreviewServer, tmp_path: Path) -> None:
    with closing(events(own)) as told:
        assert told.headers["Content-Type"] == "text/event-stream"
        assert told.readline() == b"retry: 1000\n"
        first = told.readline()
        assert re.fullmatch(rb"data: [0-9a-f]{8}-1\n", first)
        told.readline()
        (tmp_path / "loaf.bench").write_text(RECIPE.replace("500", "600"), "utf-8")
        assert re.fullmatch(rb"data: [0-9a-f]{8}-\d+\n", second := told.readline())
        assert second != first
        assert second.decode()[6:].strip() in asked(own, f"/{TOKEN}/look")[1]


def test_so_many_pages_are_told_and_no_more(own: PreviewServer) -> None:
    with ExitStack() as stack:
        for _ in range(preview_server.MOST_EVENTS):
            assert stack.enter_context(closing(events(own))).status == 200
        assert stack.enter_context(closing(events(own))).status == 503
        assert page(own) == 200, "the page itself can still be read"
    while (status := events(own).status) == 503:
        pass  # a page that has gone is noticed within a second or so
    assert status == 200


def test_stopping_lets_go_of_whoever_waits(own: PreviewServer) -> None:
    with closing(events(own)) as told:
        told.readline()
        own.stop()
        assert told.read().startswith(b"data: ")
    with pytest.raises(ConnectionRefusedError):
        page(own)


# ---------------------------------------------------------------- starting


def test_a_port_that_is_taken_is_told(server: PreviewServer) -> None:
    with pytest.raises(CannotServe, match=str(server.port)):
        PreviewServer(server.watch, plain_page, plain_part, port=server.port)
    with pytest.raises(CannotServe):
        PreviewServer(server.watch, plain_page, plain_part, port=99_999)


@pytest.mark.parametrize("token", ["short", "a token with blanks in it", "../../../../../../..", "é" * 20])
def test_a_token_must_be_worth_it(server: PreviewServer, token: str) -> None:
    with pytest.raises(CannotServe):
        PreviewServer(server.watch, plain_page, plain_part, token=token)


def test_tokens_are_new_each_time(server: PreviewServer) -> None:
    tokens = set()
    for _ in range(3):
        other = PreviewServer(server.watch, plain_page, plain_part)
        tokens.add(other.token)
        for one in other._servers:
            one.server_close()
    assert len(tokens) == 3
    assert min(map(len, tokens)) >= 20


def test_the_other_loopback_where_it_is_asked_for(server: PreviewServer) -> None:
    try:
        both = PreviewServer(server.watch, plain_page, plain_part, token=TOKEN, also_v6=True)
    except CannotServe:
        pytest.skip("this machine has no ::1")
    both.start()
    try:
        with closing(HTTPConnection("::1", both.port, timeout=WAIT)) as connection:
            connection.request("GET", f"/{TOKEN}/", headers={"Host": f"[::1]:{both.port}"})
            assert connection.getresponse().status == 200
    finally:
        both.stop()


def test_ctrl_c_ends_it_cleanly(server: PreviewServer, monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(seconds: float) -> bool:
        raise KeyboardInterrupt

    other = PreviewServer(server.watch, plain_page, plain_part, token=TOKEN)
    with monkeypatch.context() as patch:
        patch.setattr(other.stopped, "wait", pressed)
        patch.setattr(other.watch, "run", lambda stop: None)
        other.serve_until_stopped()
    assert other.stopped.is_set()
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", other.port), timeout=1)


@pytest.mark.parametrize(("opens", "finds", "more"), [(False, True, 0), (True, True, 0), (True, False, 1)])
def test_the_address_is_said_once_and_a_browser_opened_where_asked(
    server: PreviewServer, monkeypatch: pytest.MonkeyPatch, opens: bool, finds: bool, more: int
) -> None:
    opened: list[str] = []
    lines: list[str] = []
    monkeypatch.setattr("webbrowser.open", lambda address: opened.append(address) or finds)
    monkeypatch.setattr(PreviewServer, "serve_until_stopped", lambda self: self._servers[0].server_close())
    run_watch(server.watch, plain_page, plain_part, lines.append, token=TOKEN, opens=opens)
    assert len(lines) == 1 + more
    assert lines[0].endswith(f"/{TOKEN}/")
    assert opened == (lines[:1] if opens else [])
