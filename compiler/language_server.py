"""Benchproof in an editor: the Language Server Protocol 3.17 over stdin and stdout.

Only the protocol is here: positions, capabilities, and when what is said. What is said comes from `workspace`,
`editing`, `completion` and `naming`. It opens no connection and writes no file: changes are handed to the editor.

All work is done in one thread, in pieces: whatever is found about a text is told with its version, and is dropped
where the text has changed meanwhile. Everything for show is plain text, never markup: recipes come from strangers.
"""

from __future__ import annotations

import asyncio
import functools
import logging
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import files
from pathlib import Path
from typing import Any, Final, TypeVar

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException, JsonRpcInternalError
from pygls.lsp.server import LanguageServer
from pygls.protocol import LanguageServerProtocol
from pygls.protocol.language_server import lsp_method
from pygls.uris import to_fs_path

from benchproof.compiler import completion, editing
from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.naming import CannotRename, Mention, Namer, renamed
from benchproof.compiler.plugins import own_checks
from benchproof.compiler.source import Source, Span
from benchproof.compiler.workspace import Open, Room, Workspace

_T = TypeVar("_T")

MEND_ALL: Final = "source.fixAll.benchproof"

PAUSE_MS: Final = 400
"""How long nobody types before the other open texts of a kitchen are looked at again."""

_SEVERITIES: Final = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error,
    Severity.WARNING: lsp.DiagnosticSeverity.Warning,
    # Editors all but hide what they call a hint.
    Severity.HINT: lsp.DiagnosticSeverity.Information,
}
_SYMBOLS: Final = {
    "kitchen": lsp.SymbolKind.Module,
    "recipe": lsp.SymbolKind.Class,
    "ingredients": lsp.SymbolKind.Array,
    "preferment": lsp.SymbolKind.Array,
    "soaker": lsp.SymbolKind.Array,
    "step": lsp.SymbolKind.Method,
    "prices": lsp.SymbolKind.Array,
    "ingredient": lsp.SymbolKind.Object,
    "style": lsp.SymbolKind.Interface,
}
_SUGGESTED: Final = {
    "heading": lsp.CompletionItemKind.Keyword,
    "label": lsp.CompletionItemKind.Property,
    "name": lsp.CompletionItemKind.Value,
    "unit": lsp.CompletionItemKind.Unit,
    "word": lsp.CompletionItemKind.EnumMember,
    "rule": lsp.CompletionItemKind.Constant,
    "phrase": lsp.CompletionItemKind.Text,
}
_TOKENS: Final = {
    "heading": "keyword",
    "label": "property",
    "number": "number",
    "fact": "string",
    "name": "variable",
    "comment": "comment",
}
_LEGEND: Final = lsp.SemanticTokensLegend(
    token_types=[_TOKENS[kind] for kind in editing.TOKENS], token_modifiers=[]
)

_logger = logging.getLogger("benchproof.language-server")


class RequestFailed(JsonRpcException):
    """What was asked cannot be done; the message says why, to the cook."""

    CODE = lsp.LSPErrorCodes.RequestFailed


# ---------------------------------------------------------------- positions


def _width(ch: str, encoding: str) -> int:
    if encoding == "utf-16":
        return 2 if ch > "\uffff" else 1
    return len(ch.encode("utf-8", "replace")) if encoding == "utf-8" else 1


def units(text: str, encoding: str) -> int:
    """How many code units a text has."""
    if text.isascii() or encoding == "utf-32":
        return len(text)
    return sum(_width(ch, encoding) for ch in text)


def characters(text: str, many: int, encoding: str) -> int:
    """How many characters the first `many` code units are; half a character counts as none."""
    if text.isascii() or encoding == "utf-32":
        return min(many, len(text))
    for at, ch in enumerate(text):
        many -= _width(ch, encoding)
        if many < 0:
            return at
    return len(text)


_LINE_END: Final = re.compile(r"\r\n|\r|\n")


def changed(text: str, change: lsp.TextDocumentContentChangeEvent, encoding: str) -> str:
    """A text, as the editor holds it, after one change."""
    if not isinstance(change, lsp.TextDocumentContentChangePartial):
        return change.text
    first = _offset_in(text, change.range.start, encoding)
    last = _offset_in(text, change.range.end, encoding)
    return text[:first] + change.text + text[max(first, last) :]


def _offset_in(text: str, position: lsp.Position, encoding: str) -> int:
    """The offset of a position; past a line's end it is the line's end, past the last line the text's."""
    start = 0
    if position.line:
        for number, found in enumerate(_LINE_END.finditer(text), 1):
            if number == position.line:
                start = found.end()
                break
        else:
            return len(text)
    end = _LINE_END.search(text, start)
    line = text[start : end.start() if end else len(text)]
    return start + characters(line, position.character, encoding)


# ---------------------------------------------------------------- the protocol's part of pygls that we do ourselves


class _Protocol(LanguageServerProtocol):
    """Texts are kept by us alone: theirs would end lines where the protocol does not (at a form feed, say)."""

    @lsp_method(lsp.TEXT_DOCUMENT_DID_OPEN)
    def lsp_text_document__did_open(self, params: lsp.DidOpenTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[lsp.TEXT_DOCUMENT_DID_OPEN], (params,), None

    @lsp_method(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def lsp_text_document__did_change(self, params: lsp.DidChangeTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[lsp.TEXT_DOCUMENT_DID_CHANGE], (params,), None

    @lsp_method(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def lsp_text_document__did_close(self, params: lsp.DidCloseTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[lsp.TEXT_DOCUMENT_DID_CLOSE], (params,), None


class _Pygls(LanguageServer):
    def report_server_error(self, error: Exception, source: Any) -> None:
        """Said in a line to whoever reads the log; requests are answered with it besides."""
        if source.__name__ != "FeatureRequestError":
            _logger.error("%s", _one_line(error))


class _OneLine(logging.Formatter):
    """A fault in one line, whatever led to it."""

    def format(self, record: logging.LogRecord) -> str:
        text = record.getMessage()
        if record.exc_info and record.exc_info[1] is not None:
            text = f"{text}: {_one_line(record.exc_info[1])}"
        return " ".join(f"benchproof language-server: {text}".split())


def _one_line(error: BaseException) -> str:
    said = " ".join(str(getattr(error, "message", "") or error).split())
    return said if isinstance(error, JsonRpcException) else f"{type(error).__name__}: {said}"


def _version() -> str:
    try:
        return version("benchproof")
    except PackageNotFoundError:
        return "unknown"


# ---------------------------------------------------------------- the server


@dataclass(frozen=True, slots=True)
class _Told:
    """What was told last of an open text; `whole` where that was everything there is to say of it."""

    document: Open
    found: list[Finding]
    reading: list[tuple[str, str]]
    whole: bool


def _said(found: Iterable[Finding]) -> list[tuple[str, str]]:
    return [(one.rule, one.message) for one in found]


class Server:
    """Wires what the editor asks to what answers it. `today` tells the day of asking."""

    def __init__(self, today: Callable[[], str]) -> None:
        self.workspace = Workspace(today)
        self.raw: dict[str, str] = {}
        self.pygls = _Pygls(
            "benchproof",
            _version(),
            lsp.TextDocumentSyncKind.Incremental,
            protocol_cls=_Protocol,
            max_workers=2,
        )
        self._tasks: dict[str, asyncio.Task[None]] = {}
        self._told: dict[str, _Told] = {}
        self._problems: set[str] = set()
        self._wire()

    def run(self) -> None:
        """Talk until the editor says goodbye or goes away. Whatever else is printed meanwhile goes to stderr."""
        out, sys.stdout = sys.stdout, sys.stderr
        try:
            self.pygls.start_io(stdout=out.buffer)
        finally:
            sys.stdout = out

    def _wire(self) -> None:
        def on(name: str, handler: Callable[[Any], Any], options: Any = None) -> None:
            self.pygls.feature(name, options)(_guarded(name, handler))

        on(lsp.INITIALIZE, self.initialize)
        on(lsp.INITIALIZED, self.initialized)
        on(lsp.TEXT_DOCUMENT_DID_OPEN, self.did_open)
        on(lsp.TEXT_DOCUMENT_DID_CHANGE, self.did_change)
        on(lsp.TEXT_DOCUMENT_DID_CLOSE, self.did_close)
        on(lsp.TEXT_DOCUMENT_DID_SAVE, self.did_save)
        on(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, self.files_changed)
        on(lsp.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS, self.folders_changed)
        on(lsp.TEXT_DOCUMENT_HOVER, self.hover)
        on(
            lsp.TEXT_DOCUMENT_COMPLETION,
            self.complete,
            lsp.CompletionOptions(trigger_characters=["[", " ", ":", ","]),
        )
        on(lsp.TEXT_DOCUMENT_DEFINITION, self.definition)
        on(lsp.TEXT_DOCUMENT_REFERENCES, self.references)
        on(lsp.TEXT_DOCUMENT_PREPARE_RENAME, self.may_rename)
        on(lsp.TEXT_DOCUMENT_RENAME, self.rename, lsp.RenameOptions(prepare_provider=True))
        on(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL, self.symbols)
        on(lsp.TEXT_DOCUMENT_FOLDING_RANGE, self.folds)
        on(lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, self.tokens, _LEGEND)
        on(lsp.TEXT_DOCUMENT_INLAY_HINT, self.asides)
        on(
            lsp.TEXT_DOCUMENT_CODE_ACTION,
            self.actions,
            lsp.CodeActionOptions(
                code_action_kinds=[lsp.CodeActionKind.QuickFix, MEND_ALL], resolve_provider=True
            ),
        )
        on(lsp.CODE_ACTION_RESOLVE, self.resolve_action)
        on(lsp.TEXT_DOCUMENT_FORMATTING, self.format)
        on(lsp.TEXT_DOCUMENT_RANGE_FORMATTING, self.format_range)
        on(lsp.TEXT_DOCUMENT_CODE_LENS, self.lenses, lsp.CodeLensOptions(resolve_provider=True))
        on(lsp.CODE_LENS_RESOLVE, self.resolve_lens)

    # ------------------------------------------------------------ beginning

    def initialize(self, params: lsp.InitializeParams) -> None:
        uris = [folder.uri for folder in params.workspace_folders or ()] or [params.root_uri or ""]
        self.workspace.folders = [path.resolve() for uri in uris if (path := _path(uri)) is not None]

    def initialized(self, _params: lsp.InitializedParams) -> None:
        """Ask to be told of files that change behind the editor's back, where it can tell."""
        workspace = self.pygls.client_capabilities.workspace
        watching = workspace.did_change_watched_files if workspace is not None else None
        if watching is not None and watching.dynamic_registration:
            options = lsp.DidChangeWatchedFilesRegistrationOptions(
                watchers=[lsp.FileSystemWatcher(glob_pattern="**/*.bench")]
            )
            self.pygls.client_register_capability(
                lsp.RegistrationParams(
                    registrations=[
                        lsp.Registration("bench-files", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
                    ]
                )
            )

    # ------------------------------------------------------------ texts

    @property
    def encoding(self) -> str:
        agreed = self.pygls.server_capabilities.position_encoding
        return agreed.value if isinstance(agreed, lsp.PositionEncodingKind) else agreed or "utf-16"

    def did_open(self, params: lsp.DidOpenTextDocumentParams) -> None:
        document = params.text_document
        self._refresh()
        self._put(document.uri, document.text, document.version)

    def did_change(self, params: lsp.DidChangeTextDocumentParams) -> None:
        uri = params.text_document.uri
        text = self.raw.get(uri)
        if text is None:
            return  # never opened: there is nothing to change
        encoding = self.encoding
        for change in params.content_changes:
            text = changed(text, change, encoding)
        self._put(uri, text, params.text_document.version)

    def _put(self, uri: str, text: str, version: int) -> None:
        self.raw[uri] = text
        self.workspace.put(uri, _path(uri), text, version)
        self._look_soon(uri)

    def did_close(self, params: lsp.DidCloseTextDocumentParams) -> None:
        uri = params.text_document.uri
        room = self.workspace.room(uri)
        self._stop(uri)
        self.raw.pop(uri, None)
        self._told.pop(uri, None)
        self.workspace.drop(uri)
        self.pygls.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri=uri, diagnostics=[]))
        if room is not None:
            self._look_later(room)

    def did_save(self, _params: lsp.DidSaveTextDocumentParams) -> None:
        self._refresh()

    def files_changed(self, _params: lsp.DidChangeWatchedFilesParams) -> None:
        self._refresh()

    def folders_changed(self, params: lsp.DidChangeWorkspaceFoldersParams) -> None:
        gone = {path.resolve() for one in params.event.removed if (path := _path(one.uri)) is not None}
        come = [path.resolve() for one in params.event.added if (path := _path(one.uri)) is not None]
        self.workspace.folders = [one for one in self.workspace.folders if one not in gone] + come
        self._refresh()

    def _refresh(self) -> None:
        for room in self.workspace.refresh():
            self._look_later(room)

    # ------------------------------------------------------------ what is found

    def _stop(self, uri: str) -> bool:
        """Give up looking at a text. True where that was not done yet."""
        task = self._tasks.pop(uri, None)
        if task is None or task.done():
            return False
        task.cancel()
        return True

    def _look_soon(self, uri: str) -> None:
        """A text has changed: look at it now, and at the others of its kitchen when nobody types."""
        room = self.workspace.room(uri)
        if room is None:
            return
        unfinished = self._stop(uri)
        self._tasks[uri] = asyncio.ensure_future(self._look(uri, at_once=unfinished))
        self._look_later(room, but=uri)

    def _look_later(self, room: Room, but: str = "") -> None:
        for uri in room.open:
            if uri != but:
                self._stop(uri)
                if uri in self._told:  # it may depend on what has changed
                    self._told[uri] = replace(self._told[uri], whole=False)
                self._tasks[uri] = asyncio.ensure_future(self._look(uri, pause=True))

    async def _look(self, uri: str, *, at_once: bool = False, pause: bool = False) -> None:
        """Look at a text piece by piece, and tell what is found; whoever changes a text of its kitchen stops this.

        What reading alone has found is told first, where it is not what was told already; `at_once`: in any case,
        for then what is told was found in a text before the last.
        """
        try:
            if pause:
                await asyncio.sleep(PAUSE_MS / 1000)
            await _breathe()
            room, document = self.workspace.room(uri), self.workspace.document(uri)
            if room is None or document is None:
                return
            reading = room.reading(document)
            told = self._told.get(uri)
            if at_once or _said(reading) != (told.reading if told is not None else []):
                self._tell(document, reading, reading, whole=False)
            await _breathe()
            looking = room.looking(document)
            while True:
                try:
                    next(looking)
                except StopIteration as done:
                    self._tell(document, done.value, reading, whole=True)
                    break
                await _breathe()
            self._tell_problems(room)
        except Exception:
            _logger.exception("looking at %s", uri)

    def _tell(self, document: Open, found: list[Finding], reading: list[Finding], *, whole: bool) -> None:
        self._told[document.key] = _Told(document, found, _said(reading), whole)
        self.pygls.text_document_publish_diagnostics(
            lsp.PublishDiagnosticsParams(
                uri=document.key,
                version=document.version,
                diagnostics=[self._diagnostic(one) for one in found],
            )
        )

    def _diagnostic(self, finding: Finding) -> lsp.Diagnostic:
        related = [
            lsp.DiagnosticRelatedInformation(location=where, message=also.note)
            for also in finding.also
            if (where := self._location(also.span)) is not None
        ]
        return lsp.Diagnostic(
            range=self._range(finding.span),
            severity=_SEVERITIES[finding.severity],
            code=finding.rule,
            source="benchproof",
            message=f"{finding.message}\n{finding.help}".rstrip(),
            related_information=related or None,
        )

    def _tell_problems(self, room: Room) -> None:
        """Files of the kitchen that cannot be read: each said once."""
        now = {problem for one in self.workspace.rooms.values() for problem in one.problems.values()}
        for problem in sorted(set(room.problems.values()) - self._problems):
            self.pygls.window_log_message(lsp.LogMessageParams(type=lsp.MessageType.Warning, message=problem))
        self._problems = now

    # ------------------------------------------------------------ places

    def _bom(self, source: Source) -> int:
        """Code units before the first character, where the editor hands on a byte-order mark."""
        for uri, text in self.raw.items():
            if text.startswith("\ufeff"):
                document = self.workspace.document(uri)
                if document is not None and document.source is source:
                    return units("\ufeff", self.encoding)
        return 0

    def _position(self, source: Source, offset: int) -> lsp.Position:
        line, column = source.position(offset)
        before = units(source.line(line)[: column - 1], self.encoding)
        return lsp.Position(line - 1, before + (self._bom(source) if line == 1 else 0))

    def _range(self, span: Span) -> lsp.Range:
        return lsp.Range(self._position(span.source, span.first), self._position(span.source, span.last))

    def _offset(self, source: Source, position: lsp.Position) -> int:
        if position.line >= source.line_count:
            return len(source.text)
        many = position.character - (self._bom(source) if position.line == 0 else 0)
        start = _line_start(source.text, position.line)
        return start + characters(source.line(position.line + 1), max(many, 0), self.encoding)

    def _location(self, span: Span) -> lsp.Location | None:
        uri = self._uri(span.source)
        return lsp.Location(uri, self._range(span)) if uri is not None else None

    def _uri(self, source: Source) -> str | None:
        """By what the editor knows a text. None for one it cannot open."""
        for room in self.workspace.rooms.values():
            for document in room.open.values():
                if document.source is source:
                    return document.key
        if source.path is not None:
            return source.path.as_uri()
        folder, _, name = source.name.partition("/")
        path = files("benchproof.compiler.larder") / name if folder == "larder" and name else None
        return path.as_uri() if isinstance(path, Path) and path.is_file() else None

    def _edits(self, edits: Iterable[Edit]) -> list[lsp.TextEdit]:
        return [
            lsp.TextEdit(self._range(edit.span), edit.text.replace("\n", edit.span.source.newline))
            for edit in edits
        ]

    def _workspace_edit(self, edits: Iterable[Edit]) -> lsp.WorkspaceEdit:
        """Edits by their texts, each of an open one bound to the version it was made for."""
        by_text: dict[str, list[Edit]] = {}
        for edit in edits:
            uri = self._uri(edit.span.source)
            if uri is not None:
                by_text.setdefault(uri, []).append(edit)
        changes = {uri: self._edits(found) for uri, found in by_text.items()}
        workspace = self.pygls.client_capabilities.workspace
        able = workspace.workspace_edit if workspace is not None else None
        if able is None or not able.document_changes:
            return lsp.WorkspaceEdit(changes=changes)
        return lsp.WorkspaceEdit(
            document_changes=[
                lsp.TextDocumentEdit(
                    lsp.OptionalVersionedTextDocumentIdentifier(
                        uri=uri,
                        version=document.version if (document := self.workspace.document(uri)) else None,
                    ),
                    list(found),
                )
                for uri, found in changes.items()
            ]
        )

    def _asked(self, uri: str) -> tuple[Room, Source] | None:
        """The text that is asked about. None where it is not open or too long."""
        room, document = self.workspace.room(uri), self.workspace.document(uri)
        if room is None or document is None or document.too_long:
            return None
        return room, document.source

    def _asked_before(self, data: dict[str, Any]) -> tuple[Room, Source]:
        """The text that an answer was about. Raises RequestFailed where it has changed since."""
        uri = str(data.get("uri", ""))
        asked = self._asked(uri)
        if asked is None or asked[0].open[uri].version != data.get("version"):
            raise RequestFailed("The text has changed meanwhile: ask again.")
        return asked

    def _asked_at(self, params: Any) -> tuple[Room, Source, int] | None:
        asked = self._asked(params.text_document.uri)
        return (*asked, self._offset(asked[1], params.position)) if asked is not None else None

    # ------------------------------------------------------------ answers

    def hover(self, params: lsp.HoverParams) -> lsp.Hover | None:
        asked = self._asked_at(params)
        note = editing.hover(*asked) if asked is not None else None
        if note is None:
            return None
        text = lsp.MarkupContent(lsp.MarkupKind.PlainText, "\n".join(note.lines))
        return lsp.Hover(text, self._range(note.span))

    def complete(self, params: lsp.CompletionParams) -> lsp.CompletionList | None:
        asked = self._asked_at(params)
        if asked is None:
            return None
        room, source, offset = asked
        return lsp.CompletionList(
            is_incomplete=False,
            items=[
                self._item(source, one, number)
                for number, one in enumerate(completion.suggestions(room, source, offset))
            ],
        )

    def _item(self, source: Source, one: completion.Suggestion, number: int) -> lsp.CompletionItem:
        place = lsp.Range(self._position(source, one.start), self._position(source, one.end))
        return lsp.CompletionItem(
            label=one.label,
            kind=_SUGGESTED[one.kind],
            detail=one.detail or None,
            sort_text=f"{number:05}",
            filter_text=one.text,
            text_edit=lsp.TextEdit(place, one.text),
        )

    def _mention(self, params: Any) -> tuple[Room, Namer, Mention] | None:
        asked = self._asked_at(params)
        if asked is None:
            return None
        room, source, offset = asked
        block = room.block_at(source, offset)
        namer = Namer(room.kitchen)
        mention = namer.at(block, offset) if block is not None else None
        return (room, namer, mention) if mention is not None else None

    def definition(self, params: lsp.DefinitionParams) -> list[lsp.Location] | None:
        found = self._mention(params)
        if found is None:
            return None
        _, namer, mention = found
        return [where for span in namer.origin(mention) if (where := self._location(span)) is not None]

    def references(self, params: lsp.ReferenceParams) -> list[lsp.Location] | None:
        found = self._mention(params)
        if found is None:
            return None
        _, namer, mention = found
        places = namer.places(mention.thing, defining=params.context.include_declaration)
        return [where for one in places if (where := self._location(one.span)) is not None]

    def may_rename(self, params: lsp.PrepareRenameParams) -> lsp.PrepareRenamePlaceholder:
        found = self._mention(params)
        if found is None or found[2].thing.kind != "food":
            raise RequestFailed("Only ingredients are renamed here: put the cursor on an ingredient's name.")
        span = found[2].span
        return lsp.PrepareRenamePlaceholder(self._range(span), span.text)

    def rename(self, params: lsp.RenameParams) -> lsp.WorkspaceEdit:
        found = self._mention(params)
        if found is None:
            raise RequestFailed("There is no name here: put the cursor on an ingredient's name.")
        room, _, mention = found
        try:
            return self._workspace_edit(renamed(room.kitchen, mention, params.new_name, room.on))
        except CannotRename as refused:
            raise RequestFailed(str(refused)) from refused

    def symbols(self, params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol] | None:
        asked = self._asked(params.text_document.uri)
        return [self._symbol(one) for one in editing.symbols(*asked)] if asked is not None else None

    def _symbol(self, one: editing.Symbol) -> lsp.DocumentSymbol:
        return lsp.DocumentSymbol(
            name=one.name,
            detail=one.detail,
            kind=_SYMBOLS.get(one.kind, lsp.SymbolKind.Object),
            range=self._range(one.span),
            selection_range=self._range(one.name_span),
            children=[self._symbol(inner) for inner in one.inside],
        )

    def folds(self, params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange] | None:
        asked = self._asked(params.text_document.uri)
        if asked is None:
            return None
        return [lsp.FoldingRange(first - 1, last - 1) for first, last in editing.folds(*asked)]

    def tokens(self, params: lsp.SemanticTokensParams) -> lsp.SemanticTokens | None:
        asked = self._asked(params.text_document.uri)
        if asked is None:
            return None
        source, data = asked[1], list[int]()
        line, character = 0, 0
        for token in editing.tokens(*asked):
            at = self._position(source, token.start)
            length = units(source.text[token.start : token.end], self.encoding)
            data += [at.line - line, at.character - (character if at.line == line else 0), length]
            data += [editing.TOKENS.index(token.kind), 0]
            line, character = at.line, at.character
        return lsp.SemanticTokens(data)

    def asides(self, params: lsp.InlayHintParams) -> list[lsp.InlayHint] | None:
        asked = self._asked(params.text_document.uri)
        if asked is None:
            return None
        room, source = asked
        first, last = self._offset(source, params.range.start), self._offset(source, params.range.end)
        return [
            lsp.InlayHint(self._position(source, one.offset), one.text, padding_left=True)
            for one in editing.asides(room, source, first, last + 1)
        ]

    def lenses(self, params: lsp.CodeLensParams) -> list[lsp.CodeLens] | None:
        asked = self._asked(params.text_document.uri)
        if asked is None:
            return None
        uri = params.text_document.uri
        version = asked[0].open[uri].version
        return [
            lsp.CodeLens(self._range(span), data={"uri": uri, "version": version, "offset": span.first})
            for span in editing.headlines(*asked)
        ]

    def resolve_lens(self, lens: lsp.CodeLens) -> lsp.CodeLens:
        """Work a recipe out when its heading is on the screen."""
        data = lens.data if isinstance(lens.data, dict) else {}
        asked = self._asked_before(data)
        line = editing.headline_at(*asked, int(data.get("offset", -1)))
        lens.command = lsp.Command(line.text if line is not None else "", "")
        return lens

    # ------------------------------------------------------------ mending and laying out

    def _findings(self, uri: str, room: Room) -> list[Finding]:
        """All that is found in a text as it is now."""
        document = room.open[uri]
        told = self._told.get(uri)
        if told is not None and told.document is document and told.whole:
            return told.found
        return room.findings(document)

    def actions(self, params: lsp.CodeActionParams) -> list[lsp.CodeAction] | None:
        uri = params.text_document.uri
        asked = self._asked(uri)
        if asked is None:
            return None
        room, source = asked
        only = params.context.only

        def wanted(kind: str) -> bool:
            return only is None or any(kind == one or kind.startswith(f"{one}.") for one in only)

        found = self._findings(uri, room)
        offered: list[lsp.CodeAction] = []
        if wanted(lsp.CodeActionKind.QuickFix):
            first, last = self._offset(source, params.range.start), self._offset(source, params.range.end)
            for fix in editing.fixes(found, first, last):
                assert fix.finding is not None
                offered.append(
                    lsp.CodeAction(
                        title=fix.title,
                        kind=lsp.CodeActionKind.QuickFix,
                        diagnostics=[self._diagnostic(fix.finding)],
                        is_preferred=True,
                        edit=self._workspace_edit(fix.edits),
                    )
                )
        if wanted(MEND_ALL) and any(one.edit for one in found) and editing.can_mend_all(room, source):
            action = lsp.CodeAction(
                title="Mend all that is safe in this file",
                kind=MEND_ALL,
                data={"uri": uri, "version": room.open[uri].version},
            )
            offered.append(action if self._resolves_edits() else self.resolve_action(action))
        return offered

    def _resolves_edits(self) -> bool:
        able = self.pygls.client_capabilities.text_document
        action = able.code_action if able is not None else None
        support = action.resolve_support if action is not None else None
        return support is not None and "edit" in support.properties

    def resolve_action(self, action: lsp.CodeAction) -> lsp.CodeAction:
        """Work the mend of a whole file out, when it is wanted."""
        data = action.data if isinstance(action.data, dict) else {}
        asked = self._asked_before(data)
        fix = editing.mend_all(*asked)
        action.edit = self._workspace_edit(fix.edits if fix is not None else ())
        if fix is not None:
            action.title = fix.title
        return action

    def format(self, params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit] | None:
        asked = self._asked(params.text_document.uri)
        return self._edits(editing.laid_out(*asked)) if asked is not None else None

    def format_range(self, params: lsp.DocumentRangeFormattingParams) -> list[lsp.TextEdit] | None:
        asked = self._asked(params.text_document.uri)
        if asked is None:
            return None
        first, last = params.range.start, params.range.end
        # A stretch that ends before a line's first character does not hold that line.
        end = last.line if last.character == 0 and last.line > first.line else last.line + 1
        return self._edits(editing.laid_out(*asked, (first.line + 1, end)))


# ---------------------------------------------------------------- small things


def _line_start(text: str, row: int) -> int:
    """The offset of a line's first character, counted from 0, in a text whose lines end with line feeds."""
    at = 0
    for _ in range(row):
        at = text.index("\n", at) + 1
    return at


def _path(uri: str) -> Path | None:
    """The file of a `file:` address."""
    if not uri.startswith("file:"):
        return None
    path = to_fs_path(uri)
    return Path(path) if path else None


async def _breathe() -> None:
    """Let what has come in meanwhile be dealt with first."""
    await asyncio.sleep(0)


def _guarded(name: str, handler: Callable[[Any], _T]) -> Callable[[Any], _T]:
    """A handler whose faults are answered in a line; pygls writes them to the log, in a line too."""

    @functools.wraps(handler)
    def guarded(params: Any) -> _T:
        try:
            return handler(params)
        except JsonRpcException:
            raise
        except Exception as error:
            raise JsonRpcInternalError(f"{name}: {_one_line(error)}") from error

    return guarded


def run_language_server(today: Callable[[], str]) -> None:
    """Serve an editor over stdin and stdout until it goes. `today` tells the day of asking, `2026-11-20`."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(_OneLine())
    handler.addFilter(lambda record: not (record.exc_info and isinstance(record.exc_info[1], RequestFailed)))
    for name in ("pygls", "benchproof.language-server"):
        logger = logging.getLogger(name)
        logger.handlers[:] = [handler]
        logger.propagate = False
        logger.setLevel(logging.ERROR)
    own_checks()  # a kitchen may waive and level the rules of its own checks
    Server(today).run()
