"""For tests of the language server: a small client that starts it and talks JSON-RPC to it over stdin and stdout."""

import json
import queue
import subprocess
import sys
import threading
from collections.abc import Callable
from typing import Any

START = (
    "from benchproof.compiler.language_server import run_language_server; "
    "run_language_server(lambda: '2026-11-20')"
)
PATIENCE = 60
"""Seconds after which a test gives up; never a measure of anything."""


class Refused(Exception):
    """The server answered with an error."""

    def __init__(self, error: dict[str, Any]) -> None:
        super().__init__(error["message"])
        self.code = error["code"]


class Client:
    """One server process. Diagnostics are kept by text, in the order they came; `said` is everything else it told."""

    def __init__(
        self, *, start: str = START, capabilities: dict[str, Any] | None = None, root: str | None = None
    ) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-P", "-B", "-c", start],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        self.answers: dict[int, dict[str, Any]] = {}
        self.diagnostics: dict[str, list[dict[str, Any]]] = {}
        self.said: list[dict[str, Any]] = []
        self.errors: list[str] = []
        self.opened: set[str] = set()
        self._came: queue.Queue[dict[str, Any] | None] = queue.Queue()
        self._number = 0
        self._threads = [
            threading.Thread(target=work, daemon=True) for work in (self._read, self._read_errors)
        ]
        for thread in self._threads:
            thread.start()
        self.about = self.ask(
            "initialize",
            {"processId": None, "rootUri": root, "capabilities": capabilities or {}},
        )
        self.tell("initialized", {})

    def _read(self) -> None:
        out = self.process.stdout
        assert out is not None
        while True:
            length = 0
            while line := out.readline().strip():
                if line.lower().startswith(b"content-length:"):
                    length = int(line.split(b":")[1])
            if not length:
                self._came.put(None)
                return
            self._came.put(json.loads(out.read(length)))

    def _read_errors(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.errors.append(line.decode("utf-8").rstrip())

    def _send(self, message: dict[str, Any]) -> None:
        data = json.dumps({"jsonrpc": "2.0", **message}).encode("utf-8")
        assert self.process.stdin is not None
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(data) + data)
        self.process.stdin.flush()

    def _take(self) -> None:
        message = self._came.get(timeout=PATIENCE)
        assert message is not None, f"the server went: {self.errors}"
        if "method" in message and "id" in message:
            self._send({"id": message["id"], "result": None})
            self.said.append(message)
        elif message.get("method") == "textDocument/publishDiagnostics":
            self.diagnostics.setdefault(message["params"]["uri"], []).append(message["params"])
        elif "method" in message:
            self.said.append(message)
        else:
            self.answers[message["id"]] = message

    def tell(self, method: str, params: Any) -> None:
        self._send({"method": method, "params": params})

    def ask(self, method: str, params: Any) -> Any:
        self._number += 1
        number = self._number
        self._send({"id": number, "method": method, "params": params})
        while number not in self.answers:
            self._take()
        answer = self.answers.pop(number)
        if "error" in answer:
            raise Refused(answer["error"])
        return answer["result"]

    def wait(self, enough: Callable[[], Any]) -> None:
        while not enough():
            self._take()

    def drain(self) -> None:
        """Take what has come, without waiting."""
        while not self._came.empty():
            self._take()

    def bye(self) -> int:
        self.ask("shutdown", None)
        self.tell("exit", None)
        status = self.process.wait(timeout=PATIENCE)
        self.close()
        return status

    def close(self) -> None:
        """End the process that this client started, whatever state it is in."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait(timeout=PATIENCE)
        for thread in self._threads:
            thread.join(timeout=PATIENCE)
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            assert pipe is not None
            pipe.close()

    # ------------------------------------------------------------ texts

    def open(self, uri: str, text: str, version: int = 1) -> None:
        document = {"uri": uri, "languageId": "bench", "version": version, "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})
        self.opened.add(uri)

    def close_texts(self) -> None:
        for uri in self.opened:
            self.tell("textDocument/didClose", {"textDocument": {"uri": uri}})
        self.opened.clear()

    def change(self, uri: str, version: int, *changes: dict[str, Any]) -> None:
        self.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": uri, "version": version}, "contentChanges": list(changes)},
        )

    def at(self, method: str, uri: str, line: int, character: int, **more: Any) -> Any:
        position = {"line": line, "character": character}
        return self.ask(
            f"textDocument/{method}", {"textDocument": {"uri": uri}, "position": position, **more}
        )

    def about_text(self, method: str, uri: str, **more: Any) -> Any:
        return self.ask(f"textDocument/{method}", {"textDocument": {"uri": uri}, **more})
