"""Serving the page of a watched recipe to the browser of the person who watches it, and to nobody else.

It listens on loopback only, and to these requests only: GET and HEAD of `/TOKEN/` (the page), `/TOKEN/look` (what is
on it) and `/TOKEN/events` (a line each time that changes: Server-Sent Events, as the HTML standard has them). No path
leads to a file. Other people on the machine do not know the token; it stands in the path, since a cookie would go to
every other port too. Other sites in the same browser are kept out by it, and by what the browser says of where
a request comes from: `Host` (a name of theirs that leads here), `Origin` and `Sec-Fetch-Site`.

The standard library's server does the threads and the sockets. Reading a request is ours, so that all of it, and the
time it may take, has a bound; the connection ends with the answer.
"""

from __future__ import annotations

import secrets
import select
import socket
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from http.client import HTTPException
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from threading import BoundedSemaphore, Event, Thread
from time import monotonic
from typing import Any, Final, TypeAlias
from urllib.parse import parse_qsl

from benchproof.compiler.look import Asking, Look
from benchproof.compiler.watch import Watch

MOST_CONNECTIONS: Final = 24
MOST_EVENTS: Final = 5
"""Pages that are told of changes at one time. A browser opens six connections to one place, and one must be left."""
LONGEST_TARGET: Final = 2_048
"""Characters of path and query."""
LONGEST_HEAD: Final = 16_384
"""Bytes of a request, all its headers together."""
SECONDS: Final = 5
"""In which a request must have come, and a piece of an answer gone."""
HEARTBEAT: Final = 10
"""Seconds between signs of life, by which a page that has gone without a word is noticed."""
LONGEST_VALUE: Final = 200
"""Characters of one field of the form."""
_SHORTEST_TOKEN: Final = 16
_FIELDS: Final = ("makes", "times", "on")


Page: TypeAlias = Callable[[Look, str, str], str]
"""Makes the whole page of a look, a nonce that lets its style and script run, and a ticket that names the state."""
Part: TypeAlias = Callable[[Look, str], str]
"""Makes what changes on the page, of a look and a ticket."""


class CannotServe(Exception):
    """No server could be started. The message is for a cook; `help` says what to do."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class _Answer:
    status: HTTPStatus
    body: str
    kind: str = "text/plain; charset=utf-8"
    more: Mapping[str, str] = field(default_factory=dict)


class _Refused(Exception):
    """A request that is not met; the sentence goes back as plain text."""

    def __init__(self, status: HTTPStatus, sentence: str, **more: str) -> None:
        super().__init__(sentence)
        self.answer = _Answer(status, f"{sentence}\n", more=more)


def policy(nonce: str) -> str:
    """The Content-Security-Policy of an answer (W3C, CSP level 3): our style and script, by `nonce`, and no more."""
    return "; ".join(
        (
            "default-src 'none'",
            f"style-src 'nonce-{nonce}'",
            f"script-src 'nonce-{nonce}'",
            "font-src data:",
            "img-src data:",
            "connect-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False
    request_queue_size = MOST_CONNECTIONS  # a browser comes with six at once, and must not wait to try again
    allow_reuse_address = True  # started again at once, on the same port, so that open pages find it

    def __init__(self, host: str, port: int, preview: PreviewServer) -> None:
        self.preview = preview
        self.address_family = socket.AF_INET6 if ":" in host else socket.AF_INET
        super().__init__((host, port), _Handler)

    def process_request(self, request: Any, client_address: Any) -> None:
        if not self.preview.connections.acquire(blocking=False):
            self.shutdown_request(request)  # too many: dropped at once, before anything is read
            return
        super().process_request(request, client_address)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self.preview.connections.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A client that went away in the middle is nothing to tell; what is ours was answered already."""


class PreviewServer:
    """Serves what `watch` sees, as `page` and `part` show it.

    `port` 0 takes a free one. `token` is for tests and for whoever starts again and wants open pages to go on; else
    it is new each time. `also_v6` listens on `::1` too. `told` is given a line about each fault of our own.

    Raises CannotServe when the port is taken, or the token too short or not plain letters, digits, `-` and `_`.
    """

    def __init__(
        self,
        watch: Watch,
        page: Page,
        part: Part,
        *,
        port: int = 0,
        token: str | None = None,
        also_v6: bool = False,
        told: Callable[[str], object] = lambda line: None,
    ) -> None:
        self.watch, self.page, self.part, self.told = watch, page, part, told
        self.token = token or secrets.token_urlsafe(18)
        plain = self.token.isascii() and all(one.isalnum() or one in "-_" for one in self.token)
        if len(self.token) < _SHORTEST_TOKEN or not plain:
            raise CannotServe(
                "The token is too easy to guess, or has signs that an address cannot have.",
                f"Take at least {_SHORTEST_TOKEN} letters and digits at random, or none: then we choose one.",
            )
        self.run = secrets.token_hex(4)
        self.connections = BoundedSemaphore(MOST_CONNECTIONS)
        self.events = BoundedSemaphore(MOST_EVENTS)
        self.stopped = Event()
        self._servers = [self._listen("127.0.0.1", port)]
        self.port = int(self._servers[0].server_address[1])
        if also_v6:
            try:
                self._servers.append(self._listen("::1", self.port))
            except CannotServe:
                self._servers[0].server_close()
                raise
        names = ("127.0.0.1", "localhost", *(("[::1]",) if also_v6 else ()))
        self.hosts = frozenset(f"{name}:{self.port}" for name in names)

    def _listen(self, host: str, port: int) -> _Server:
        try:
            return _Server(host, port, self)
        except (OSError, OverflowError) as error:
            raise CannotServe(
                f"Port {port} of {host} cannot be used: {getattr(error, 'strerror', None) or error}.",
                "Ask for another with --port, or for none: then a free one is taken.",
            ) from error

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/{self.token}/"

    def ticket(self, number: int) -> str:
        """The name of a state: that of another run is another, whatever its number."""
        return f"{self.run}-{number}"

    def start(self) -> None:
        """Watch and serve, in threads of their own, until `stop`."""
        jobs = [("watch", lambda: self.watch.run(self.stopped))]
        jobs += [("serve", server.serve_forever) for server in self._servers]
        for name, job in jobs:
            Thread(target=job, name=f"benchproof-{name}", daemon=True).start()

    def stop(self) -> None:
        """Let every page go and close the ports."""
        self.stopped.set()
        self.watch.close()
        for server in self._servers:
            server.shutdown()
            server.server_close()

    def serve_until_stopped(self) -> None:
        """Watch and serve until Ctrl-C, or until somebody calls `stop`."""
        self.start()
        try:
            while not self.stopped.wait(1):
                pass  # in pieces: a wait without an end would not hear Ctrl-C on every system
        except KeyboardInterrupt:
            pass
        finally:
            if not self.stopped.is_set():
                self.stop()


def run_watch(
    watch: Watch,
    page: Page,
    part: Part,
    say: Callable[[str], object],
    *,
    port: int = 0,
    token: str | None = None,
    also_v6: bool = False,
    opens: bool = False,
) -> None:
    """Serve until Ctrl-C. The address is said once, and a browser opened on it only where `opens` asks for one.

    Raises CannotServe as `PreviewServer`.
    """
    server = PreviewServer(watch, page, part, port=port, token=token, also_v6=also_v6, told=say)
    say(server.address)
    if opens:
        import webbrowser

        if not webbrowser.open(server.address):
            say("No browser was found here: open that address in one.")
    server.serve_until_stopped()


class _Handler(BaseHTTPRequestHandler):
    server: _Server
    protocol_version = "HTTP/1.1"

    # ------------------------------------------------------------ reading

    def handle(self) -> None:
        self.preview = self.server.preview
        self.close_connection = True
        self.nonce = secrets.token_urlsafe(18)
        self.command, self.request_version, self.requestline = "GET", "HTTP/1.1", ""
        try:
            head = self._head()
            if head is None:
                return  # gone, or too slow: nobody is there to answer
            self.rfile = BytesIO(head)
            self.raw_requestline = self.rfile.readline(LONGEST_HEAD)
            self.connection.settimeout(SECONDS)
            if self.parse_request():
                self._answer()
        except _Refused as refused:
            self._send(refused.answer)
        except (OSError, HTTPException):
            return  # it went away while we spoke

    def _head(self) -> bytes | None:
        """All of the request, up to the blank line; None when it does not come in time."""
        until = monotonic() + SECONDS
        head = b""
        while b"\r\n\r\n" not in head:
            left = until - monotonic()
            if left <= 0:
                return None
            self.connection.settimeout(left)
            piece = self.connection.recv(4_096)
            if not piece:
                return None
            head += piece
            if len(head) > LONGEST_HEAD:
                raise _Refused(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE, "This request is too long.")
        return head

    def _answer(self) -> None:
        if self.command not in ("GET", "HEAD"):
            raise _Refused(HTTPStatus.METHOD_NOT_ALLOWED, "This page is only for reading.", Allow="GET, HEAD")
        if len(self.path) > LONGEST_TARGET:
            raise _Refused(HTTPStatus.REQUEST_URI_TOO_LONG, "This address is too long.")
        self._from_here()
        path, _, query = self.path.partition("?")
        # Compared as bytes, and in the same time whatever is wrong about it.
        within = path.encode("utf-8", "replace").split(b"/", 2)
        given = within[1] if len(within) == 3 and within[0] == b"" else b""
        known = secrets.compare_digest(given, self.preview.token.encode())
        room = within[2] if known else None
        if room == b"":
            self._look(query, whole=True)
        elif room == b"look":
            self._look(query, whole=False)
        elif room == b"events" and not query:
            self._events()
        else:
            raise _Refused(
                HTTPStatus.NOT_FOUND,
                "There is nothing here. The address is the one that `benchproof watch` printed, all of it.",
            )

    def _from_here(self) -> None:
        """Only a page of ours, or a person, may ask: no other site may, whatever name it leads here by."""
        hosts = self.headers.get_all("Host") or []
        origins = self.headers.get_all("Origin") or []
        sites = self.headers.get_all("Sec-Fetch-Site") or []
        if len(hosts) != 1 or hosts[0].lower() not in self.preview.hosts:
            raise _Refused(HTTPStatus.MISDIRECTED_REQUEST, "This server has another name.")
        if any(origin.lower() != f"http://{hosts[0].lower()}" for origin in origins):
            raise _Refused(HTTPStatus.FORBIDDEN, "Another site may not read this page.")
        if any(site not in ("same-origin", "none") for site in sites):
            raise _Refused(
                HTTPStatus.FORBIDDEN,
                "Another site may not lead here. Copy the address into the browser yourself.",
            )
        if self.headers.get("Transfer-Encoding") or self.headers.get("Content-Length", "0") != "0":
            raise _Refused(HTTPStatus.BAD_REQUEST, "This page takes nothing in.")

    # ------------------------------------------------------------ answering

    def _look(self, query: str, *, whole: bool) -> None:
        preview = self.preview
        asking = _asking(query)
        try:
            look = preview.watch.look(asking)
            ticket = preview.ticket(look.number)
            if whole:
                body = preview.page(look, self.nonce, ticket)
            else:
                body = preview.part(look, ticket)
        except Exception as error:
            preview.told(f"Benchproof has a fault of its own ({type(error).__name__}: {error}).")
            raise _Refused(
                HTTPStatus.INTERNAL_SERVER_ERROR,
                f"Benchproof has a fault of its own ({type(error).__name__}). The terminal says more.",
            ) from error
        status = HTTPStatus.BAD_REQUEST if look.refused is not None else HTTPStatus.OK
        self._send(_Answer(status, body, "text/html; charset=utf-8"))

    def _events(self) -> None:
        """A line for each change, and a blank one now and then, until either side goes."""
        preview = self.preview
        if self.command == "HEAD":
            self._send(_Answer(HTTPStatus.OK, "", "text/event-stream"))
            return
        if not preview.events.acquire(blocking=False):
            raise _Refused(HTTPStatus.SERVICE_UNAVAILABLE, "Too many pages are open. Close one.")
        try:
            self._send_head(HTTPStatus.OK, {"Content-Type": "text/event-stream"})
            self.wfile.write(b"retry: 1000\n")
            number, quiet = -1, 0
            while not preview.watch.closed and not self._left():
                now = preview.watch.wait(number, 1)
                quiet = 0 if now != number else quiet + 1
                if now != number:
                    self.wfile.write(f"data: {preview.ticket(now)}\n\n".encode())
                elif quiet % HEARTBEAT == 0:
                    self.wfile.write(b": still here\n\n")
                number = now
        finally:
            preview.events.release()

    def _left(self) -> bool:
        """Whether the page has gone: it says nothing after its request, so all there can be to read is the end."""
        readable, _, _ = select.select([self.connection], [], [], 0)
        return bool(readable)

    def _send(self, answer: _Answer) -> None:
        data = answer.body.encode("utf-8", "replace")
        self._send_head(
            answer.status,
            {"Content-Type": answer.kind, "Content-Length": str(len(data)), **answer.more},
        )
        if self.command != "HEAD":
            self.wfile.write(data)

    def _send_head(self, status: HTTPStatus, headers: Mapping[str, str]) -> None:
        self.send_response_only(status)
        for name, value in {**headers, **_ALWAYS}.items():
            self.send_header(name, value)
        self.send_header("Content-Security-Policy", policy(self.nonce))
        self.end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Where the standard library finds a request malformed: our headers, and none of its text."""
        self._send(_Answer(HTTPStatus(code), "This request could not be read.\n"))

    def log_message(self, format: str, *args: Any) -> None:
        """Nothing is written down: a log would hold the token."""


_ALWAYS: Final = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Connection": "close",
}


def _asking(query: str) -> Asking:
    """The fields of the form. Whether they make sense is the request module's to say; here only their form counts."""
    try:
        pairs = parse_qsl(query, keep_blank_values=True, max_num_fields=8, errors="strict")
    except ValueError as error:
        raise _Refused(
            HTTPStatus.BAD_REQUEST, "What was asked cannot be read. Use the fields on the page."
        ) from error
    names = [name for name, _ in pairs]
    if any(name not in _FIELDS for name in names) or len(set(names)) < len(names):
        raise _Refused(
            HTTPStatus.BAD_REQUEST,
            f"The page can be asked for {', '.join(_FIELDS[:-1])} and {_FIELDS[-1]}, each once, and nothing else.",
        )
    if any(len(value) > LONGEST_VALUE for _, value in pairs):
        raise _Refused(HTTPStatus.BAD_REQUEST, f"A field may hold {LONGEST_VALUE} characters, and no more.")
    if any(unicodedata.category(sign).startswith("C") for _, value in pairs for sign in value):
        raise _Refused(HTTPStatus.BAD_REQUEST, "A field holds signs that cannot be seen. Type it anew.")
    return Asking(**dict(pairs))
