"""The language server, driven over its stdin and stdout as an editor would; and its positions, by themselves."""

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from lsprotocol import types as lsp

from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.findings import Finding
from benchproof.compiler.formatter import formatted
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.language_server import changed, characters, units
from benchproof.compiler.source import Source
from tests.benchmarks import keystrokes
from tests.compiler.bench import DAY, demo_texts
from tests.compiler.lsp_client import START, Client, Refused

NAME = "harbour-griddle-rounds.bench"
ABLE = {
    "workspace": {"workspaceEdit": {"documentChanges": True}},
    "textDocument": {"codeAction": {"resolveSupport": {"properties": ["edit"]}}},
}
WATCHED = (
    "import sys\n"
    "def watch(event, args):\n"
    "    wrote = event == 'open' and isinstance(args[1], str) and set(args[1]) & set('wax+')\n"
    "    if wrote or event in ('socket.connect', 'socket.bind', 'os.remove', 'os.rename', 'subprocess.Popen'):\n"
    "        sys.stderr.write(f'DID {event} {args!r}\\n')\n"
    "sys.addaudithook(watch)\n"
)


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """The demo kitchen, copied."""
    for name, text in demo_texts().items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path.resolve()


@pytest.fixture(scope="module")
def server() -> Iterator[Client]:
    """One server for nearly all tests; in the end it has gone by itself, logged nothing and written nothing."""
    one = Client(start=WATCHED + START, capabilities=ABLE)
    yield one
    try:
        assert one.bye() == 0
        assert one.errors == []
    finally:
        one.close()


@pytest.fixture
def client(server: Client) -> Iterator[Client]:
    yield server
    server.close_texts()


def opened(client: Client, path: Path, text: str) -> str:
    uri = path.as_uri()
    client.open(uri, text)
    client.wait(lambda: last(client, uri).get("version") == 1)
    return uri


def last(client: Client, uri: str) -> dict[str, Any]:
    told = client.diagnostics.get(uri)
    return told[-1] if told else {}


def where(text: str, words: str, into: int = 0) -> tuple[int, int]:
    """Line and UTF-16 column of some words, worked out by encoding."""
    before = text[: text.index(words) + into]
    line = before.rsplit("\n", 1)[-1]
    return before.count("\n"), len(line.encode("utf-16-le")) // 2


def cut_out(text: str, place: dict[str, Any]) -> str:
    """The words of a range, worked out by encoding."""
    lines = text.replace("\r\n", "\n").split("\n")
    start, end = place["start"], place["end"]
    assert start["line"] == end["line"]
    coded = lines[start["line"]].encode("utf-16-le")
    return coded[2 * start["character"] : 2 * end["character"]].decode("utf-16-le")


def applied(text: str, edits: list[dict[str, Any]]) -> str:
    """A text with an editor's edits made in it."""
    for edit in sorted(
        edits, key=lambda one: (one["range"]["start"]["line"], one["range"]["start"]["character"])
    )[::-1]:
        whole = lsp.TextDocumentContentChangePartial(
            lsp.Range(lsp.Position(**edit["range"]["start"]), lsp.Position(**edit["range"]["end"])),
            edit["newText"],
        )
        text = changed(text, whole, "utf-16")
    return text


# ---------------------------------------------------------------- every feature, on the demo


def test_every_feature_answers(client: Client, kitchen: Path) -> None:
    before = {path: path.read_bytes() for path in kitchen.rglob("*.bench")}
    text = demo_texts()[NAME]
    uri = opened(client, kitchen / NAME, text)
    assert last(client, uri)["diagnostics"] == []

    hover = client.at("hover", uri, *where(text, "water: "))
    assert hover["contents"]["kind"] == "plaintext"
    assert "406" in hover["contents"]["value"]
    assert cut_out(text, hover["range"]).startswith("water:")

    items = client.at("completion", uri, *where(text, "[half the caster", 10))["items"]
    taken = next(one for one in items if one["label"] == "caster sugar")
    assert applied(text, [taken["textEdit"]]).count("[half the caster sugarcaster sugar]") == 1

    (line,) = client.at("definition", uri, *where(text, "half the caster", 12))
    assert (line["uri"], cut_out(text, line["range"])) == (uri, "caster sugar")
    (block,) = client.at("definition", uri, *where(text, "strong flour: ", 2))
    assert "larder" in block["uri"]
    found = client.at("references", uri, *where(text, "strong flour: "), context={"includeDeclaration": True})
    assert len({one["uri"] for one in found}) > 4

    (recipe,) = client.about_text("documentSymbol", uri)
    assert recipe["name"] == "Harbour griddle rounds"
    assert len(recipe["children"]) > 5
    assert len(client.about_text("foldingRange", uri)) == len(recipe["children"]) + 1
    data = client.about_text("semanticTokens/full", uri)["data"]
    assert len(data) % 5 == 0
    assert data[:5] == [0, 0, len(text.split("\n")[0]), 5, 0]
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 999, "character": 0}}
    hints = client.about_text("inlayHint", uri, range=whole)
    assert len(hints) == 7
    (lens,) = client.about_text("codeLens", uri)
    assert client.ask("codeLens/resolve", lens)["command"]["title"].startswith("12 rounds")

    edits = client.about_text("formatting", uri, options={"tabSize": 2, "insertSpaces": True})
    assert applied(text, edits) == formatted(Source(text))
    assert client.errors == []
    assert {path: path.read_bytes() for path in kitchen.rglob("*.bench")} == before


def test_mends_are_offered_and_mend(client: Client, kitchen: Path) -> None:
    text = demo_texts()[NAME].replace("  style:", "  styel:").replace("280 g", "280\u00a0g")
    uri = opened(client, kitchen / NAME, text)
    line, character = where(text, "styel", 2)
    place = {"line": line, "character": character}
    stretch = {"start": place, "end": place}
    context: dict[str, Any] = {"diagnostics": []}
    quick, every = client.about_text("codeAction", uri, range=stretch, context=context)
    assert (quick["kind"], quick["title"]) == ("quickfix", "Write “style”")
    (change,) = quick["edit"]["documentChanges"]
    assert change["textDocument"] == {"uri": uri, "version": 1}
    assert applied(text, change["edits"]) == text.replace("styel", "style")
    (mended,) = client.ask("codeAction/resolve", every)["edit"]["documentChanges"]
    assert applied(text, mended["edits"]) == demo_texts()[NAME]
    context["only"] = ["source"]
    (only,) = client.about_text("codeAction", uri, range=stretch, context=context)
    assert only["kind"] == "source.fixAll.benchproof"
    client.change(uri, 2, {"text": text + "\n"})
    with pytest.raises(Refused, match="ask again"):
        client.ask("codeAction/resolve", only)


def test_an_editor_that_resolves_nothing_gets_whole_mends(kitchen: Path) -> None:
    client = Client()
    try:
        text = demo_texts()[NAME].replace("  style:", "  styel:")
        uri = opened(client, kitchen / NAME, text)
        stretch = {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}}
        (every,) = client.about_text("codeAction", uri, range=stretch, context={"diagnostics": []})
        assert applied(text, every["edit"]["changes"][uri]) == demo_texts()[NAME]
    finally:
        client.close()


def test_lines_alone_are_laid_out(client: Client, kitchen: Path) -> None:
    text = demo_texts()[NAME].replace("145 %", "145%").replace("0.4 %", "0.4%")
    uri = opened(client, kitchen / NAME, text)
    line, _ = where(text, "145%")
    stretch = {"start": {"line": line, "character": 0}, "end": {"line": line + 1, "character": 0}}
    options = {"tabSize": 2, "insertSpaces": True}
    edits = client.about_text("rangeFormatting", uri, range=stretch, options=options)
    assert [one["range"]["start"]["line"] for one in edits] == [line]


def test_an_ingredient_is_renamed_all_over_the_kitchen_or_refused(client: Client, kitchen: Path) -> None:
    text = "ingredient dune flour\n  kind: flour\n\nrecipe A\n\ningredients\n  dune flour: 20 g\n"
    other = "recipe B\n\ningredients\n  dune flour: 5 g\n"
    (kitchen / "b.bench").write_text(other, encoding="utf-8")
    uri = opened(client, kitchen / "a.bench", text)
    at = where(text, "dune flour: 20", 3)
    offered = client.at("prepareRename", uri, *at)
    assert (offered["placeholder"], cut_out(text, offered["range"])) == ("dune flour", "dune flour")
    changes = client.at("rename", uri, *at, newName="shore flour")["documentChanges"]
    made = {one["textDocument"]["uri"]: one for one in changes}
    assert applied(text, made[uri]["edits"]) == text.replace("dune", "shore")
    elsewhere = made[(kitchen / "b.bench").as_uri()]
    assert applied(other, elsewhere["edits"]) == other.replace("dune", "shore")
    assert elsewhere["textDocument"]["version"] is None
    for new, words in (("Harbour griddle rounds", "already"), ("a, b", "cannot be the name")):
        with pytest.raises(Refused, match=words) as refused:
            client.at("rename", uri, *at, newName=new)
        assert refused.value.code == lsp.LSPErrorCodes.RequestFailed
    with pytest.raises(Refused, match="Only ingredients"):
        client.at("prepareRename", uri, *where(text, "recipe A", 2))


# ---------------------------------------------------------------- diagnostics as one types


def fresh(texts: dict[str, str], name: str) -> tuple[list[Finding], list[Finding]]:
    """What reading finds in a file of a kitchen, and what `benchproof check` does."""
    kitchen = Kitchen([Source(text, name) for name, text in sorted(texts.items())])
    found = [
        one
        for one in check_kitchen(kitchen, Compiler(kitchen), kitchen.settings.costed_on or DAY)
        if one.span.source.name == name
    ]
    reading = Kitchen([kitchen.sources[sorted(texts).index(name)]]).findings
    read = {(one.rule, one.span.first, one.message) for one in reading}
    return [one for one in found if (one.rule, one.span.first, one.message) in read], found


def as_told(findings: list[Finding], text: str) -> list[tuple[Any, ...]]:
    shown = []
    for one in findings:
        places = [where(text[:offset] + "\0", "\0") for offset in (one.span.first, one.span.last)]
        severity = {"error": 1, "warning": 2, "hint": 3}[one.severity.word]
        shown.append((one.rule, *places, severity, f"{one.message}\n{one.help}".rstrip(), len(one.also)))
    return shown


def told(params: dict[str, Any]) -> list[tuple[Any, ...]]:
    def place(one: dict[str, int]) -> tuple[int, int]:
        return one["line"], one["character"]

    return [
        (
            one["code"],
            place(one["range"]["start"]),
            place(one["range"]["end"]),
            one["severity"],
            one["message"],
            len(one.get("relatedInformation", ())),
        )
        for one in params["diagnostics"]
    ]


def test_no_diagnostic_is_ever_stale_or_misplaced(client: Client, tmp_path: Path) -> None:
    """Keys typed into a file of some 300 lines: all that is told is so of the text of its version."""
    path = keystrokes.generated(tmp_path, 10)
    kitchen = (tmp_path / "kitchen.bench").read_text(encoding="utf-8")
    others = {one.name: one.read_text(encoding="utf-8") for one in tmp_path.glob("tide-*.bench")}
    text = "# 🥐 ½ 面包\n" + path.read_text(encoding="utf-8")
    uri = opened(client, path, text)
    texts = {1: text}
    keys = [
        ("tides 🌊 [40 g of the butter], ", "Beat the wet into"),
        ("\n  salt: 3 g\n  🧂 salt: 5 %", "  water:"),
        ("\b\b\b\b\b\b", "  caster sugar:"),
    ]
    version = 1

    def is_there() -> bool:
        return bool(last(client, uri)["version"] == version)

    for typed, before in keys:
        offset = text.index(before, len(text) // 3)
        for number, key in enumerate(typed):
            gone = 1 if key == "\b" else 0
            start, end = where(text[: offset - gone] + "\0", "\0"), where(text[:offset] + "\0", "\0")
            stretch = [{"line": line, "character": character} for line, character in (start, end)]
            new = "" if gone else key
            version += 1
            client.change(uri, version, {"range": {"start": stretch[0], "end": stretch[1]}, "text": new})
            text = text[: offset - gone] + new + text[offset:]
            offset += len(new) - gone
            texts[version] = text
            if number % 9 == 8:  # a moment's thought
                client.wait(is_there)
    client.wait(is_there)
    client.ask("textDocument/hover", {"textDocument": {"uri": uri}, "position": {"line": 0, "character": 0}})
    expected: dict[int, tuple[list[Any], list[Any]]] = {}
    versions = [params["version"] for params in client.diagnostics[uri]]
    assert versions == sorted(versions)
    seen = dict.fromkeys(versions)
    for number in [*list(seen)[:: max(1, len(seen) // 5)], version]:
        found = fresh({**others, "kitchen.bench": kitchen, path.name: texts[number]}, path.name)
        expected[number] = as_told(found[0], texts[number]), as_told(found[1], texts[number])
    for params in client.diagnostics[uri]:
        if params["version"] in expected:
            assert told(params) in expected[params["version"]]
    client.wait(lambda: told(last(client, uri)) == expected[version][1])
    assert expected[version][1]  # something was found in what was typed


def test_what_is_mended_is_cleared(client: Client, kitchen: Path) -> None:
    text = demo_texts()[NAME]
    uri = opened(client, kitchen / NAME, text.replace("  style:", "  styel:"))
    client.wait(lambda: last(client, uri)["diagnostics"])
    client.change(uri, 2, {"text": text})
    client.wait(lambda: last(client, uri) == {"uri": uri, "version": 2, "diagnostics": []})


STORM = demo_texts()[NAME].replace("yeasted griddle batter", "storm batter")
STYLE = "style storm batter\n  hydration: 110-155 %\n"


def rules(client: Client, uri: str) -> list[str]:
    return [one["code"] for one in last(client, uri)["diagnostics"]]


def test_a_change_in_one_text_is_felt_in_the_others(client: Client, kitchen: Path) -> None:
    uri = opened(client, kitchen / NAME, STORM)
    client.wait(lambda: rules(client, uri) == ["unknown-style"])
    other = opened(client, kitchen / "own.bench", STYLE)
    client.wait(lambda: rules(client, uri) == [])
    client.change(other, 2, {"text": STYLE.replace("storm", "gale")})
    client.wait(lambda: rules(client, uri) == ["unknown-style"])
    client.change(other, 3, {"text": STYLE})
    client.wait(lambda: rules(client, uri) == [])
    client.tell("textDocument/didClose", {"textDocument": {"uri": other}})
    client.wait(lambda: rules(client, uri) == ["unknown-style"])
    assert last(client, other)["diagnostics"] == []


def test_files_that_change_on_disk_are_felt(client: Client, kitchen: Path) -> None:
    uri = opened(client, kitchen / NAME, STORM)
    client.wait(lambda: rules(client, uri) == ["unknown-style"])
    (kitchen / "own.bench").write_text(STYLE, encoding="utf-8")
    (kitchen / "bad.bench").write_bytes(b"\xff\xfe")
    client.tell("workspace/didChangeWatchedFiles", {"changes": []})
    client.wait(lambda: rules(client, uri) == [])
    client.wait(lambda: [one for one in client.said if "not plain text" in str(one["params"])])


def test_a_second_place_is_told_with_it(client: Client, tmp_path: Path) -> None:
    text = "recipe A\n  makes: 4\n  makes: 5\n"
    uri = opened(client, tmp_path / "a.bench", text)
    client.wait(lambda: last(client, uri)["diagnostics"])
    twice = next(one for one in last(client, uri)["diagnostics"] if one["code"] == "label-twice")
    (other,) = twice["relatedInformation"]
    assert (other["location"]["uri"], other["location"]["range"]["start"]["line"]) == (uri, 1)


# ---------------------------------------------------------------- odd texts


@pytest.mark.parametrize(
    "line",
    [
        "  summary: 🥐🥐 \t½ 面包 é",
        "  summary: \u2028 \x0c \x85 still one line",
        "  tags: 👩‍🍳, 麺",
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_positions_are_right_beside_odd_characters_and_line_ends(
    client: Client, tmp_path: Path, line: str, end: str
) -> None:
    text = f"recipe 🍞 麺麭\n{line}\n  makes: 4\n\ningredients\n  🌾🌾 strong flour: 20 g  # 🥖\n  🧂: 2 gramms\n"
    uri = opened(client, tmp_path / "a.bench", text.replace("\n", end))
    client.wait(lambda: [one for one in last(client, uri)["diagnostics"] if "gramms" in one["message"]])
    found = next(one for one in last(client, uri)["diagnostics"] if "gramms" in one["message"])
    assert cut_out(text, found["range"]) in ("gramms", "2 gramms")
    assert "🌾🌾 strong flour" in client.at("hover", uri, *where(text, "strong", 2))["contents"]["value"]
    # Typed behind the emoji: the server's text must be ours.
    at = where(text, "strong")
    place = {"line": at[0], "character": at[1]}
    client.change(uri, 2, {"range": {"start": place, "end": place}, "text": "very "})
    hover = client.at("hover", uri, at[0], at[1] + 1)
    assert "🌾🌾 very strong flour" in hover["contents"]["value"]


def test_edits_end_lines_as_the_file_does(client: Client, tmp_path: Path) -> None:
    text = "recipe A\r\n  makes:    4 rounds"
    uri = opened(client, tmp_path / "a.bench", text)
    edits = client.about_text("formatting", uri, options={"tabSize": 2, "insertSpaces": True})
    assert applied(text, edits) == "recipe A\r\n  makes:  4 rounds\r\n"


def test_a_byte_order_mark_moves_nothing(client: Client, tmp_path: Path) -> None:
    uri = opened(client, tmp_path / "a.bench", "\ufeffrecipe A, B\n")
    found = client.about_text("documentSymbol", uri)[0]["selectionRange"]
    assert (found["start"]["character"], found["end"]["character"]) == (1, 12)
    client.change(
        uri,
        2,
        {"range": {"start": {"line": 0, "character": 8}, "end": {"line": 0, "character": 12}}, "text": "Z"},
    )
    assert client.about_text("documentSymbol", uri)[0]["name"] == "Z"


def test_another_encoding_may_be_agreed(tmp_path: Path) -> None:
    client = Client(capabilities={"general": {"positionEncodings": ["utf-8", "utf-16"]}})
    try:
        assert client.about["capabilities"]["positionEncoding"] == "utf-8"
        uri = opened(client, tmp_path / "a.bench", "recipe 🍞 麺\n")
        found = client.about_text("documentSymbol", uri)[0]["selectionRange"]
        assert found["end"]["character"] == len("recipe 🍞 麺".encode())
    finally:
        client.close()


def test_texts_that_are_no_files_deleted_or_outside_a_kitchen(client: Client, tmp_path: Path) -> None:
    text = "recipe A\n  makes: 4 rounds\n\ningredients\n  strong flour: 20 g\n"
    client.open("untitled:Untitled-1", text)
    path = tmp_path / "a.bench"
    path.write_text(text, encoding="utf-8")
    uri = opened(client, path, text)
    path.unlink()
    client.tell("workspace/didChangeWatchedFiles", {"changes": [{"uri": uri, "type": 3}]})
    for one in (uri, "untitled:Untitled-1"):
        assert "20" in client.at("hover", one, *where(text, "strong"))["contents"]["value"]
    assert client.at("hover", "file:///never/opened.bench", 0, 0) is None
    client.change("file:///never/opened.bench", 2, {"text": "x"})
    assert client.at("hover", uri, 9999, 9999) is None


def test_ten_megabytes_are_given_up_with_a_word(client: Client, tmp_path: Path) -> None:
    text = "recipe A\n  summary: much of the same and a little more of it\n" * 160_000
    uri = opened(client, tmp_path / "a.bench", text)
    assert [one["code"] for one in last(client, uri)["diagnostics"]] == ["too-long"]
    place = {"line": 150_000, "character": 3}
    client.change(uri, 2, {"range": {"start": place, "end": place}, "text": "x"})
    client.wait(lambda: last(client, uri)["version"] == 2)
    for method in ("documentSymbol", "semanticTokens/full", "codeLens"):
        assert client.about_text(method, uri) is None
    assert client.at("hover", uri, 100, 3) is None
    client.change(uri, 3, {"text": "recipe A\n"})
    assert client.about_text("documentSymbol", uri)[0]["name"] == "A"


def test_broken_text_gets_an_answer_to_everything(client: Client, tmp_path: Path) -> None:
    chance = random.Random(3)
    text = demo_texts()[NAME]
    for _ in range(40):
        at = chance.randrange(len(text))
        text = text[:at] + chance.choice(["[", "]", "\n", "#", ":", "step ", "🥐", "\t", ""]) + text[at + 3 :]
    uri = opened(client, tmp_path / "a.bench", text)
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 999, "character": 0}}
    for line in range(0, text.count("\n"), 5):
        client.at("hover", uri, line, 6)
        client.at("completion", uri, line, 6)
        client.at("definition", uri, line, 6)
        client.at("references", uri, line, 6, context={"includeDeclaration": False})
    for method in ("documentSymbol", "foldingRange", "semanticTokens/full", "codeLens"):
        client.about_text(method, uri)
    client.about_text("inlayHint", uri, range=whole)
    client.about_text("codeAction", uri, range=whole, context={"diagnostics": []})
    client.about_text("formatting", uri, options={"tabSize": 2, "insertSpaces": True})


# ---------------------------------------------------------------- faults


BREAKS = (
    "from benchproof.compiler import editing, workspace\n"
    "def fails(*_): raise ValueError('first line\\nsecond line')\n"
    "editing.hover = fails\n"
    "real = workspace.Room.looking\n"
    "workspace.Room.looking = lambda self, document: fails() if 'boom' in document.source.text "
    "else real(self, document)\n"
)


def test_it_goes_when_the_editor_goes(tmp_path: Path) -> None:
    client = Client()
    try:
        opened(client, tmp_path / "a.bench", "recipe A\n")
        assert client.process.stdin is not None
        client.process.stdin.close()
        client.process.wait(timeout=60)
        assert client.errors == []
    finally:
        client.close()


def test_a_fault_is_answered_and_logged_in_a_line_and_stops_nothing(tmp_path: Path) -> None:
    client = Client(start=BREAKS + START)
    try:
        uri = opened(client, tmp_path / "a.bench", "recipe A\n")
        with pytest.raises(Refused, match="ValueError: first line second line") as refused:
            client.at("hover", uri, 0, 0)
        assert refused.value.code == -32603
        client.change(uri, 2, {"text": "recipe boom\n"})
        client.change(uri, 3, {"text": "recipe B\n"})
        client.wait(lambda: last(client, uri)["version"] == 3)
        with pytest.raises(Refused):
            client.ask("textDocument/nonsense", {})
        client.tell("textDocument/didChange", {"nonsense": 1})
        client.tell("$/nonsense", {})
        assert client.about_text("documentSymbol", uri)[0]["name"] == "B"
        assert client.bye() == 0
        assert client.errors
        assert all(line.startswith("benchproof language-server: ") for line in client.errors), client.errors
        assert [line for line in client.errors if "first line second line" in line]
    finally:
        client.close()


# ---------------------------------------------------------------- positions by themselves


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_units_and_characters_are_each_others_opposite(encoding: str) -> None:
    text = "a½é面🥐b"
    size = {"utf-8": 1, "utf-16": 2, "utf-32": 4}[encoding]
    coded = encoding if encoding == "utf-8" else f"{encoding}-le"
    for at in range(len(text) + 1):
        many = units(text[:at], encoding)
        assert many == len(text[:at].encode(coded)) // size
        assert characters(text, many, encoding) == at
    assert characters(text, 999, encoding) == len(text)


def test_changes_are_made_as_the_protocol_counts() -> None:
    chance = random.Random(11)
    for _ in range(300):
        text = "".join(
            chance.choice(["a", "½", "面", "🥐", "\n", "\r\n", "\r", "\x0c", "\u2028"]) for _ in range(12)
        )
        ends = [0]
        rest = text
        while rest:
            step = 2 if rest.startswith("\r\n") else 1
            ends.append(ends[-1] + step)
            rest = rest[step:]
        first, end = sorted(chance.choices(ends, k=2))
        places = []
        for at in (first, end):
            lines = text[:at].replace("\r\n", "\n").replace("\r", "\n").split("\n")
            places.append(lsp.Position(len(lines) - 1, len(lines[-1].encode("utf-16-le")) // 2))
        change = lsp.TextDocumentContentChangePartial(lsp.Range(*places), "x🥐")
        assert changed(text, change, "utf-16") == text[:first] + "x🥐" + text[end:]


def test_a_change_past_the_end_is_at_the_end() -> None:
    far = lsp.Range(lsp.Position(0, 99), lsp.Position(99, 0))
    assert changed("ab\ncd", lsp.TextDocumentContentChangePartial(far, "x"), "utf-16") == "abx"
    assert changed("ab", lsp.TextDocumentContentChangeWholeDocument("new"), "utf-16") == "new"
