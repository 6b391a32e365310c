"""The folder for VS Code: what its files say of the language, and that no stranger's folder chooses what is run."""

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from benchproof.compiler.labels import VOCABULARY
from benchproof.grammar.editors import textmate

ROOT = Path(__file__).parents[2]
EDITORS = ROOT / "grammar" / "editors"
FOLDER = EDITORS / "vscode"


def read(name: str) -> Any:
    return json.loads((FOLDER / name).read_text(encoding="utf-8"))


def test_what_it_contributes_is_there() -> None:
    contributed = read("package.json")["contributes"]
    [language] = contributed["languages"]
    [grammar] = contributed["grammars"]
    assert language["extensions"] == [".bench"]
    assert grammar["language"] == language["id"] == "bench"
    assert grammar["scopeName"] == textmate.grammar()["scopeName"]
    assert FOLDER / grammar["path"] == EDITORS / textmate.FILE
    assert (FOLDER / language["configuration"]).is_file()
    assert (FOLDER / read("package.json")["main"]).is_file()
    assert (FOLDER / "LICENSE").read_text(encoding="utf-8") == (ROOT / "LICENSE").read_text(encoding="utf-8")


def test_a_folder_cannot_choose_the_program() -> None:
    package = read("package.json")
    for setting in package["contributes"]["configuration"]["properties"].values():
        assert setting["scope"] == "machine"
    trust = package["capabilities"]["untrustedWorkspaces"]
    assert trust["supported"] == "limited"
    assert trust["restrictedConfigurations"] == list(package["contributes"]["configuration"]["properties"])


def test_its_one_library_is_of_one_version() -> None:
    """What a package is made of is then what was tried; the lock holds what that library needs, with its sums."""
    package, lock = read("package.json"), read("package-lock.json")
    assert package["dependencies"] == lock["packages"][""]["dependencies"]
    for name, version in package["dependencies"].items():
        assert re.fullmatch(r"\d+\.\d+\.\d+", version)
        assert lock["packages"][f"node_modules/{name}"]["version"] == version
    for name, held in lock["packages"].items():
        assert not name or held["integrity"].startswith("sha512-"), name
        assert "resolved" not in held, f"{name}: the lock names no host"


def test_enter_after_a_heading_indents() -> None:
    [rule] = read("language-configuration.json")["onEnterRules"]
    alternatives = re.match(r"\^\(\?:([a-z|]+)\)", rule["beforeText"])
    assert alternatives
    assert alternatives[1].split("|") == list(VOCABULARY)
    assert re.match(rule["beforeText"], "step Mix, after Rest")
    assert re.match(rule["beforeText"], "equipment")
    assert not re.match(rule["beforeText"], "  step Mix")
    assert not re.match(rule["beforeText"], "stepping")


def test_comments_and_brackets_are_the_languages() -> None:
    configured = read("language-configuration.json")
    assert configured["comments"] == {"lineComment": "#"}
    assert configured["brackets"] == [["[", "]"]]


def test_the_page_says_how_to_set_up_each() -> None:
    page = (EDITORS / "README.md").read_text(encoding="utf-8")
    for editor in ("VS Code", "Neovim", "Helix", "Emacs", "Kate", "Pygments"):
        assert re.search(rf"^## .*{editor}", page, re.MULTILINE), editor


# ---------------------------------------------------------------- the script, in node, with a pretended editor

PRETENCE = r"""
const asked = JSON.parse(process.argv[1]);
const told = { warned: [], started: [], stopped: 0 };
const listeners = {};
const vscode = {
  workspace: {
    isTrusted: asked.trusted,
    getConfiguration: () => ({ get: () => asked.program }),
    onDidGrantWorkspaceTrust: (call) => (listeners.trust = call),
    onDidChangeConfiguration: (call) => (listeners.change = call),
  },
  window: {
    showWarningMessage: (text) => told.warned.push(text),
    showErrorMessage: (text) => told.warned.push(text),
  },
  commands: { registerCommand: (name, call) => (listeners[name] = call) },
};
class LanguageClient {
  constructor(id, name, server, client) { this.server = server; this.client = client; }
  async start() {
    if (asked.broken) throw new Error('no such server');
    told.started.push({ ...this.server, selector: this.client.documentSelector });
  }
  async stop() { told.stopped += 1; }
}
const Module = require('module');
const load = Module._load;
Module._load = (name, ...rest) =>
  name === 'vscode' ? vscode : name === 'vscode-languageclient/node' ? { LanguageClient } : load(name, ...rest);
const extension = require(asked.script);
(async () => {
  await extension.activate({ subscriptions: { push() {} } });
  for (const event of asked.events) {
    if (event === 'trust') vscode.workspace.isTrusted = true;
    if (event === 'end') await extension.deactivate();
    else await listeners[event]({ affectsConfiguration: (name) => name === 'bench.program' });
  }
  if (asked.windows) {
    try { told.found = extension.findProgram('', asked.windows, true); } catch (error) { told.found = error.message; }
  }
  process.stdout.write(JSON.stringify(told));
})();
"""


@pytest.fixture(scope="module")
def node() -> str:
    found = shutil.which("node")
    if found is None:
        pytest.skip("node is not installed")
    return found


def pretended(node: str, cwd: Path, path: str, **asked: Any) -> dict[str, Any]:
    asked = {"script": str(FOLDER / "extension.js"), "trusted": True, "program": "", "events": []} | asked
    run = subprocess.run(
        [node, "-e", PRETENCE, json.dumps(asked)],
        cwd=cwd,
        env={"PATH": path, "HOME": "/"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (run.returncode, run.stderr) == (0, "")
    told: dict[str, Any] = json.loads(run.stdout)
    return told


@pytest.fixture
def program(tmp_path: Path) -> Path:
    found = tmp_path / "bin" / "benchproof"
    found.parent.mkdir()
    found.write_text("#!/bin/sh\n", encoding="utf-8")
    found.chmod(0o755)
    return found


@pytest.mark.outside
def test_it_starts_the_program_away_from_the_recipes(node: str, tmp_path: Path, program: Path) -> None:
    told = pretended(node, tmp_path, str(program.parent))
    assert told["warned"] == []
    assert told["started"] == [
        {
            "command": str(program),
            "args": ["language-server"],
            "options": {"cwd": "/", "shell": False},
            "selector": [{"scheme": "file", "language": "bench"}],
        }
    ]


@pytest.mark.outside
def test_a_program_in_the_folder_of_recipes_is_never_run(node: str, tmp_path: Path, program: Path) -> None:
    for path in ("", ".", "bin", ":./bin:bin:"):
        told = pretended(node, tmp_path, path, program="")
        assert (told["started"], len(told["warned"])) == ([], 1), path
        assert "not found" in told["warned"][0]
    for setting in ("benchproof", "bin/benchproof", "./bin/benchproof"):
        told = pretended(node, tmp_path, "", program=setting)
        assert told["started"] == []
        assert "whole path" in told["warned"][0]
    assert "no file" in pretended(node, tmp_path, "", program=str(program.parent))["warned"][0]
    assert pretended(node, tmp_path, "", program=str(program))["started"][0]["command"] == str(program)
    # On Windows a program may stand in the folder it is started in: there too only whole paths count.
    assert "not found" in pretended(node, tmp_path, str(program.parent), windows=".;bin;\\\\.;..")["found"]


@pytest.mark.outside
def test_nothing_starts_before_the_folder_is_trusted(node: str, tmp_path: Path, program: Path) -> None:
    path = str(program.parent)
    assert pretended(node, tmp_path, path, trusted=False)["started"] == []
    assert pretended(node, tmp_path, path, trusted=False, events=["bench.restart"])["started"] == []
    assert len(pretended(node, tmp_path, path, trusted=False, events=["trust"])["started"]) == 1


@pytest.mark.outside
def test_one_server_at_a_time(node: str, tmp_path: Path, program: Path) -> None:
    told = pretended(node, tmp_path, str(program.parent), events=["bench.restart", "change", "trust", "end"])
    assert (len(told["started"]), told["stopped"]) == (3, 3)


@pytest.mark.outside
def test_a_server_that_does_not_start_is_told(node: str, tmp_path: Path, program: Path) -> None:
    told = pretended(node, tmp_path, str(program.parent), broken=True, events=["bench.restart", "end"])
    assert (told["started"], told["stopped"]) == ([], 0)
    assert all("did not start: no such server" in text for text in told["warned"])
    assert len(told["warned"]) == 2
