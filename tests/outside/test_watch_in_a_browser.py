"""The watched page in a real browser: Chromium, driven through Debian's chromium-driver. Skipped where they are not.

How long a save takes to be seen is printed (`pytest -rP`), and held only to what nobody could call quick.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import pytest

from benchproof.compiler.preview_server import PreviewServer
from benchproof.compiler.watch import Watch
from benchproof.renderers.preview import preview_page, preview_part

webdriver = pytest.importorskip("selenium.webdriver")

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(
        not (shutil.which("chromium") and shutil.which("chromedriver")),
        reason="Chromium and its driver are not installed: `apt install chromium chromium-driver`",
    ),
]

RECIPES = Path(__file__).resolve().parents[2] / "recipes"
GOOD = (RECIPES / "lighthouse-loaf.bench").read_text("utf-8")
BROKEN = GOOD.replace("[220 C oven]", "[220 Q oven").replace("strong flour:     900 g", "strong flour 900 gg")
TOKEN = "a-token-that-nobody-guesses"
AT_MOST = 5
"""Seconds from a save to the page: generous, for the machine may be busy."""
OPTIONS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)


def serve(path: Path, port: int = 0) -> PreviewServer:
    server = PreviewServer(
        Watch(path, None, lambda: "2026-11-25"), preview_page, preview_part, port=port, token=TOKEN
    )
    server.start()
    return server


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    for one in (*OPTIONS, f"--user-data-dir={tmp_path_factory.mktemp('profile')}"):
        options.add_argument(one)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(shutil.which("chromedriver")))
    driver.set_page_load_timeout(30)
    yield driver
    driver.quit()


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("kitchen") / "recipes"
    shutil.copytree(RECIPES, folder, ignore=shutil.ignore_patterns("broken"))
    return folder / "lighthouse-loaf.bench"


@pytest.fixture(scope="module")
def server(kitchen: Path) -> Iterator[PreviewServer]:
    server = serve(kitchen)
    yield server
    server.stop()


WIDTHS = pytest.mark.parametrize("page", [390, 1280], ids=["phone", "desk"], indirect=True)


@pytest.fixture
def page(browser: Any, server: PreviewServer, kitchen: Path, request: pytest.FixtureRequest) -> Iterator[Any]:
    """The page of the recipe as it should be, with nothing broken in the browser's eyes at the end."""
    size = {"width": getattr(request, "param", 390), "height": 800, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    kitchen.write_text(GOOD, "utf-8")
    until(lambda: server.watch.look(no_asking()).state == "good")
    browser.get(server.address)
    until(lambda: "Shows each save" in text_of(browser, "line"))
    browser.get_log("browser")
    yield browser
    told = [one["message"] for one in browser.get_log("browser")]
    assert [one for one in told if "Failed to load resource" not in one] == []


def no_asking() -> Any:
    from benchproof.compiler.look import Asking

    return Asking()


def until(holds: Callable[[], bool], seconds: float = 20) -> None:
    end = monotonic() + seconds
    while not holds():
        assert monotonic() < end, "it never came"
        sleep(1 / 200)


def run(browser: Any, script: str) -> Any:
    return browser.execute_script(script)


def text_of(browser: Any, name: str) -> str:
    return str(run(browser, f"return document.getElementById('{name}')?.textContent.trim() ?? ''"))


def weight(browser: Any) -> str:
    return str(
        run(browser, "return document.querySelector('#card .weight')?.textContent.replace(/\\s/g, ' ') ?? ''")
    )


# ---------------------------------------------------------------- while somebody writes


@WIDTHS
def test_a_save_is_seen_and_the_place_is_kept(page: Any, kitchen: Path) -> None:
    step = "[...document.querySelectorAll('h2')].find(h => /Prove/.test(h.textContent))"
    run(page, f"{step}.scrollIntoView()")
    place = f"return {step}.getBoundingClientRect().top"
    before, scrolled = run(page, place), run(page, "return scrollY")
    assert scrolled > 100
    began = monotonic()
    # A line more above what is being read, and a finding above the card.
    text = GOOD.replace("strong flour:     900 g", "strong flour:     950 g")
    kitchen.write_text(text.replace("water:", "rye flour: 50 g\n  water:"), "utf-8")
    until(lambda: "950" in weight(page))
    took = monotonic() - began
    print(f"from the save to the page: {1000 * took:.0f} ms")  # noqa: T201 - what `pytest -rP` is for
    assert took < AT_MOST
    assert abs(run(page, place) - before) < 2, "what was read is where it was"
    assert run(page, "return scrollY") > scrolled, "though there is more above it"


def test_a_broken_text_dims_the_last_card_and_says_why(page: Any, kitchen: Path) -> None:
    kitchen.write_text(BROKEN, "utf-8")
    until(lambda: "last card that worked" in text_of(page, "about"))
    assert "900" in weight(page)
    assert run(page, "return getComputedStyle(document.querySelector('.columns')).opacity") == "0.6"
    assert re.search(r"\d error", text_of(page, "count"))
    assert page.title == f"Lighthouse loaf: {text_of(page, 'count')}"
    assert "strong flour 900 gg" in text_of(page, "findings")
    order = "return ['findings', 'about', 'card'].map(id => document.getElementById(id).getBoundingClientRect().top)"
    assert run(page, order) == sorted(run(page, order))
    kitchen.write_text(GOOD, "utf-8")
    until(lambda: text_of(page, "about") == "")
    assert text_of(page, "count") == "no findings"
    assert run(page, "return getComputedStyle(document.querySelector('.columns')).opacity") == "1"


def test_a_file_that_is_gone_is_told_and_back_is_back(page: Any, kitchen: Path) -> None:
    kitchen.unlink()
    until(lambda: "is gone" in text_of(page, "findings"))
    kitchen.write_text(GOOD, "utf-8")
    until(lambda: text_of(page, "findings") == "")


def test_another_file_of_the_kitchen_is_seen(page: Any, kitchen: Path) -> None:
    house = kitchen.with_name("kitchen.bench")
    text = house.read_text("utf-8")
    try:
        house.write_text(text.replace("kitchen Saltmarsh", "kitchen Samphire"), "utf-8")
        until(lambda: "Samphire" in text_of(page, "card"))
    finally:
        house.write_text(text, "utf-8")
    until(lambda: "Saltmarsh" in text_of(page, "card"))


# ---------------------------------------------------------------- the form


def type_in(browser: Any, name: str, text: str) -> None:
    field = browser.find_element("id", name)
    field.clear()
    field.send_keys(text + "\n")


def test_the_batch_is_changed_on_the_page(page: Any, kitchen: Path) -> None:
    type_in(page, "times", "2")
    until(lambda: "1800" in weight(page).replace(" ", ""))
    assert page.current_url.endswith("/?times=2")
    type_in(page, "makes", "6 loaves")
    until(lambda: "2700" in weight(page).replace(" ", ""))
    assert run(page, "return document.getElementById('times').value") == "", "one of the two is meant"
    # A save while the page is asked for another batch: the batch stays asked for.
    kitchen.write_text(GOOD.replace("900 g", "800 g"), "utf-8")
    until(lambda: "2700" not in weight(page).replace(" ", ""))
    assert "6 loaves" in text_of(page, "card")
    assert run(page, "return document.activeElement.id") == "makes", "whoever types is not interrupted"


def test_what_cannot_be_met_is_said_beside_the_form(page: Any) -> None:
    type_in(page, "times", "many")
    until(lambda: "not a number of times" in text_of(page, "refused"))
    assert run(page, "return document.getElementById('refused').checkVisibility()")
    assert "900" in weight(page)
    type_in(page, "times", "1/2")
    until(lambda: "450" in weight(page))
    assert not run(page, "return document.getElementById('refused').checkVisibility()")


def test_the_day_is_changed_on_the_page(page: Any) -> None:
    run(
        page,
        "const on = document.getElementById('on'); on.value = '2026-12-24';"
        "on.dispatchEvent(new Event('change', {bubbles: true}))",
    )
    until(lambda: "asked 2026-12-24" in text_of(page, "card"))
    assert "2026-12-24" in text_of(page, "cost")


def test_it_works_without_a_script(page: Any, server: PreviewServer) -> None:
    page.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        page.get(server.address)
        assert "Reload the page" in page.find_element("id", "line").text
        field = page.find_element("id", "times")
        field.send_keys("3")
        page.find_element("css selector", "button").click()
        until(lambda: page.current_url.startswith(server.address + "?times=3"))
        assert "2700" in re.sub(r"\W", "", page.find_element("css selector", "#card .weight").text)
    finally:
        page.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


# ---------------------------------------------------------------- how it stands on the screen


@WIDTHS
@pytest.mark.parametrize("text", [GOOD, BROKEN], ids=["good", "broken"])
def test_nothing_sticks_out_at_the_side(page: Any, kitchen: Path, text: str) -> None:
    kitchen.write_text(text, "utf-8")
    until(lambda: ("last card" in text_of(page, "about")) == (text == BROKEN))
    assert run(page, "return document.documentElement.scrollWidth <= innerWidth")


@WIDTHS
def test_everything_can_be_reached_and_seen_by_keyboard(page: Any) -> None:
    from selenium.webdriver.common.keys import Keys

    body = page.find_element("tag name", "body")
    body.send_keys(Keys.TAB)
    reached = []
    for _ in range(12):  # a date has several stops of its own
        reached.append(
            run(
                page,
                "return document.activeElement.id || document.activeElement.className || document.activeElement.type",
            )
        )
        assert run(page, "return getComputedStyle(document.activeElement).outlineStyle") == "solid", reached
        page.switch_to.active_element.send_keys(Keys.TAB)
        if reached[-1] == "written":
            break
    assert list(dict.fromkeys(reached)) == ["skip", "times", "makes", "on", "submit", "written"]
    small = run(
        page,
        "return [...document.querySelectorAll('input, button, .bar a')]"
        ".filter(e => { const r = e.getBoundingClientRect(); return r.width < 24 || r.height < 24 }).length",
    )
    assert small == 0, "WCAG 2.2, 2.5.8: a target has 24 by 24"


# ---------------------------------------------------------------- the other way round


def test_a_server_that_comes_back_is_found_again(browser: Any, kitchen: Path) -> None:
    kitchen.write_text(GOOD, "utf-8")
    first = serve(kitchen)
    browser.get(first.address)
    until(lambda: "Shows each save" in text_of(browser, "line"))
    first.stop()
    until(lambda: "Out of touch" in text_of(browser, "line"))
    kitchen.write_text(GOOD.replace("900 g", "850 g"), "utf-8")
    second = serve(kitchen, first.port)
    try:
        until(lambda: "850" in weight(browser))
        until(lambda: "Shows each save" in text_of(browser, "line"))
    finally:
        second.stop()


def test_a_recipe_cannot_run_anything(browser: Any, server: PreviewServer, kitchen: Path) -> None:
    evil = "<img src=x onerror=document.title=1><script>document.title=1</script>"
    kitchen.write_text(
        GOOD.replace("Lighthouse loaf", evil).replace("Plain hearth", f"{evil} Plain").replace("Slash", evil),
        "utf-8",
    )
    until(lambda: "img" in server.watch.look(no_asking()).recipe)
    browser.get(server.address)
    until(lambda: "<script>" in text_of(browser, "look"))
    assert run(browser, "return document.querySelectorAll('img, main script').length") == 0
    assert browser.title.startswith("<img")


def test_another_site_can_neither_show_nor_read_it(browser: Any, server: PreviewServer) -> None:
    """From a page of another origin in the same browser: a frame, a fetch, a stream and a picture."""
    browser.get("data:text/html,<title>another</title>")
    browser.set_script_timeout(20)
    tried = browser.execute_async_script(
        """
        const [address, done] = arguments;
        const tries = [
          fetch(address).then(() => "read", () => "refused"),
          fetch(address, {mode: "no-cors"}).then(a => a.type === "opaque" ? "opaque" : "read", () => "refused"),
          new Promise(end => { const e = new EventSource(address + "events");
            e.onopen = () => end("read"); e.onerror = () => end("refused"); }),
          new Promise(end => { const s = document.createElement("script"); s.src = address + "look";
            s.onload = () => end("ran"); s.onerror = () => end("refused"); document.head.append(s); }),
        ];
        Promise.all(tries).then(done);
        """,
        server.address,
    )
    assert set(tried) <= {"refused"}, tried
