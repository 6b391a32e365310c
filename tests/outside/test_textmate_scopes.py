"""The TextMate grammar in the reader that VS Code itself uses, from npm. `WRITE_GOLDEN=1 pytest` renews the scopes."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from collections.abc import Callable
from itertools import groupby
from pathlib import Path

import pytest
from pygments.token import Text, _TokenType, string_to_tokentype

from benchproof.grammar.editors import textmate
from benchproof.grammar.editors.highlighting import KINDS
from benchproof.grammar.editors.pygments_lexer import BenchLexer

pytestmark = pytest.mark.outside

ROOT = Path(__file__).parents[2]
DATA = Path(__file__).parent / "data" / "textmate"
READERS = ("vscode-textmate@9.3.2", "vscode-oniguruma@2.0.1")
CORNERS = """\
# before all
recipe Slack tide: a rice, with #1 in its name
  serves:  4  # so many
  summary: Has [5 g # of] brackets: and colons # not this
serves: 4
  waive:  price-stale because the rice was a gift  # thanks
  nonsense: 4 g

ingredients for the topping
  #1 flour: 1 1/2 US cups, for the pan, sifted
  a: b: 3 cloves as bought
  fine salt: 6 g and to taste
step Mix, for the topping, after Heat the oven and Rest, during Prove # now
  Stir [[gently]] with [#1 flour # yes], [[[the salt]]], then: [2 min] ] and [open.
\tSet to [fan oven at 180 C], [-18 C freezer]; cook#1, not ##2 # but this
prices at Quay Mill on 2026-11-02 in NZD
  lemons: 3.00 for 6, special
kitchen Saltmarsh
prices go stale after: 90 days
"""

Cut = Callable[[list[str]], list[list[list[tuple[str, list[str]]]]]]


@pytest.fixture(scope="module")
def cut(tmp_path_factory: pytest.TempPathFactory) -> Cut:
    """Cuts texts into lines of pieces with their scopes."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        pytest.skip("node and npm are not installed")
    folder = tmp_path_factory.mktemp("readers")
    (folder / "package.json").write_text("{}", encoding="utf-8")
    command = [npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", *READERS]
    try:
        got = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120, check=False)
    except subprocess.TimeoutExpired:
        pytest.skip("npm did not answer")
    if got.returncode:
        pytest.skip(f"npm could not install {' and '.join(READERS)}: {got.stderr.strip()[-300:]}")
    script = Path(__file__).with_name("textmate_scopes.js")

    def run(texts: list[str]) -> list[list[list[tuple[str, list[str]]]]]:
        asked = json.dumps({"grammar": textmate.text(), "texts": texts})
        done = subprocess.run(
            [node, script, folder], input=asked, capture_output=True, encoding="utf-8", check=False
        )
        assert (done.returncode, done.stderr) == (0, "")
        told: list[list[list[tuple[str, list[str]]]]] = json.loads(done.stdout)
        assert len(told) == len(texts)
        return told

    return run


def written(lines: list[list[tuple[str, list[str]]]]) -> str:
    """Each line, and under it what is coloured in it."""
    out: list[str] = []
    for line in lines:
        out.append("".join(piece for piece, _ in line))
        for scopes, pieces in groupby(line, key=lambda one: one[1]):
            named = [scope.removesuffix(".bench") for scope in scopes[1:]]
            named = [scope for scope in named if not scope.startswith("meta.block")]
            piece = "".join(piece for piece, _ in pieces).strip()
            if named and piece:
                out.append(f"      | {piece} | {' '.join(named)}")
    return "\n".join(out) + "\n"


@pytest.mark.parametrize("name", ["harbour-griddle-rounds", "kitchen", "corners"])
def test_scopes(name: str, cut: Cut) -> None:
    text = CORNERS if name == "corners" else (ROOT / "recipes" / f"{name}.bench").read_text(encoding="utf-8")
    [lines] = cut([text])
    golden = DATA / f"{name}.txt"
    if os.environ.get("WRITE_GOLDEN"):
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(written(lines), encoding="utf-8")
    assert golden.read_text(encoding="utf-8") == written(lines)


def test_it_colours_as_the_pygments_lexer_does(cut: Cut) -> None:
    """Two readers of regular expressions, made to walk a text in two ways, from one table."""
    texts = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "recipes").rglob("*.bench"))]
    manual = (ROOT / "grammar" / "reference.md").read_text(encoding="utf-8")
    texts += re.findall(r"^```bench[^\n]*\n(.*?)^```", manual, re.MULTILINE | re.DOTALL)
    texts.append(CORNERS)
    kinds = {f"{kind.scope}.bench": string_to_tokentype(kind.token) for kind in KINDS.values()}
    lexer = BenchLexer(stripnl=False, ensurenl=False)
    coloured = 0
    for text, lines in zip(texts, cut(texts), strict=True):
        one: list[tuple[str, _TokenType]] = []
        for line in lines:
            for piece, scopes in line:
                kind = next((kinds[scope] for scope in reversed(scopes) if scope in kinds), Text)
                one += [(ch, kind) for ch in piece if not ch.isspace()]
        other = [(ch, kind) for kind, piece in lexer.get_tokens(text) for ch in piece if not ch.isspace()]
        assert one == other
        coloured += sum(kind is not Text for _, kind in one)
    assert coloured > 10_000
