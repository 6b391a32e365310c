"""The page as HTML: strict, harmless whatever a recipe says, and usable without eyes, mouse or script."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from benchproof.compiler.look import Asking, Look, Trouble
from benchproof.renderers.preview import preview_page, preview_part
from tests.renderers.batches import findings, rounds, stew
from tests.renderers.card import samples
from tests.renderers.day.samples import supper

LOOK = Look(
    3,
    "Harbour griddle rounds",
    "rounds.bench",
    Asking(),
    None,
    None,
    "mistaken",
    tuple(findings()),
    rounds(),
    supper(),
    None,
)
NONCE = "a-nonce"
HOSTILE = "<script>alert('x')</script></body></main><b style=\"color: red\" onclick='x'>&amp;</style>"
VOID = {"meta", "link", "input", "br"}


class Page(HTMLParser):
    """Elements with their attributes, and the text of each kind; open and close must match."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.text: dict[str, str] = {}
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        for tag in {*self.open[-1:], ""}:
            self.text[tag] = self.text.get(tag, "") + data

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.found if name == tag]


def page(look: Look) -> Page:
    return Page(preview_page(look, NONCE, "run-3"))


LOOKS = {
    "mistaken": LOOK,
    "good": replace(LOOK, state="good", findings=()),
    "bare": replace(LOOK, state="none", batch=None, day=None),
    "gone": replace(LOOK, state="last", missing=Trouble("rounds.bench is gone."), findings=()),
    "refused": replace(LOOK, refused=Trouble("“x” is no number."), asking=Asking(times="x")),
    "no-day": replace(LOOK, day=None, no_day=Trouble("It is too long.", "Make it shorter.")),
    # Its own costs were written for the card, which does not add them up.
    "long": replace(LOOK, batch=replace(samples.long(), cost=rounds().cost)),
    "short": replace(LOOK, batch=samples.short()),
    "typical": replace(LOOK, batch=samples.typical()),
    "stew": replace(LOOK, batch=stew()),
    "hostile": replace(
        LOOK,
        recipe=HOSTILE,
        file=HOSTILE,
        asking=Asking(HOSTILE, HOSTILE, HOSTILE),
        refused=Trouble(HOSTILE, HOSTILE),
        missing=Trouble(HOSTILE),
        findings=tuple(replace(one, message=HOSTILE, help=HOSTILE, rule=HOSTILE) for one in findings()),
        batch=replace(rounds(), recipe=HOSTILE, summary=HOSTILE, kitchen=HOSTILE),
        day=replace(supper(), kitchen=HOSTILE),
    ),
}


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_the_page_keeps_its_own_policy(look: Look) -> None:
    """Nothing that the Content-Security-Policy would refuse, and nothing asked for from outside."""
    made = page(look)
    for tag, attributes in made.found:
        assert "style" not in attributes
        assert not [name for name in attributes if name.startswith("on")]
        for name in ("src", "href", "action", "srcset", "data", "poster"):
            assert re.fullmatch(r"|\./|#[\w-]*|data:.*", attributes.get(name, "")), (tag, attributes)
    for tag in ("script", "style"):
        assert made.all(tag) == [{"nonce": NONCE}]
    assert "url(" not in re.sub(r'url\("data:font/woff2;base64,[\w+/=]+"\)', "", made.text["style"])
    assert not re.search(r"@import|https?:", made.text["style"] + made.text["script"])


def test_a_recipe_stays_text() -> None:
    """It is on the page, whole, many times, and no element came of it."""
    made, usual = page(LOOKS["hostile"]), page(LOOK)
    assert made.text["h1"] == HOSTILE
    assert made.text["title"].startswith(HOSTILE)
    assert made.text[""].count(HOSTILE) > 8
    assert [one["value"] for one in made.all("input")] == [HOSTILE] * 3
    assert {tag for tag, _ in made.found} <= {tag for tag, _ in usual.found} | {"br"}
    assert len(made.all("main")) == len(made.all("body")) == 1


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_the_part_is_what_the_page_holds(look: Look) -> None:
    part = preview_part(look, "run-3").strip()
    assert part.startswith("<main ")
    assert part.endswith("</main>")
    assert part in preview_page(look, NONCE, "run-3")
    main = Page(part).all("main")[0]
    assert main["data-ticket"] == "run-3"
    assert main["data-places"] in page(look).text["style"]


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_every_place_has_its_rule(look: Look) -> None:
    made = Page(preview_part(look, "run-3"))
    used = {attributes["data-place"] for _, attributes in made.found if "data-place" in attributes}
    rules = dict(re.findall(r'\[data-place="(\d+)"\] \{ (.*) \}', made.all("main")[0]["data-places"]))
    assert set(rules) == used
    assert all(re.fullmatch(r"(min-width: \d+ch|left: [\d.]+%)", rule) for rule in rules.values())


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_it_can_be_used_without_eyes(look: Look) -> None:
    made = page(look)
    ids = [attributes["id"] for _, attributes in made.found if "id" in attributes]
    assert len(ids) == len(set(ids))
    labelled = {one["for"] for one in made.all("label")}
    assert {one["id"] for one in made.all("input")} == labelled
    for _, attributes in made.found:
        for name in ("aria-labelledby", "aria-describedby"):
            assert set(attributes.get(name, "").split()) <= set(ids)
    live = [attributes for _, attributes in made.found if attributes.get("aria-live") == "polite"]
    assert [one["id"] for one in live] == ["count"]
    assert made.all("html") == [{"lang": "en"}]
    assert made.text["title"]
    assert made.all("form")[0]["method"] == "get", "it works without a script"


def test_what_is_wrong_goes_before_the_card() -> None:
    text = page(LOOK).text[""]
    assert text.index("Findings") < text.index("errors and all") < text.index("12 rounds of 58")
    assert text.index("12 rounds of 58") < text.index("\nDay\n") < text.index("\nCost\n")


def test_a_card_that_is_not_of_a_good_text_is_dimmed() -> None:
    def dimmed(name: str) -> bool:
        classes = [attributes.get("class", "") for tag, attributes in page(LOOKS[name]).found if tag == "div"]
        return "columns dim" in classes

    assert (dimmed("mistaken"), dimmed("gone"), dimmed("good")) == (True, True, False)


def test_the_refusal_is_there_only_when_there_is_one() -> None:
    def hidden(name: str) -> bool:
        return "hidden" in next(one for one in page(LOOKS[name]).all("p") if one.get("id") == "refused")

    assert (hidden("good"), hidden("refused")) == (True, False)


def test_what_is_to_be_typed_is_set_apart() -> None:
    told = replace(findings()[0], help="Write `2 %` or a lone ` here.")
    made = page(replace(LOOK, findings=(told,)))
    assert "2 %" in made.text["code"]
    assert "Write 2 % or a lone ` here." in made.text[""]


def test_greys_can_be_read() -> None:
    """Whatever grey carries text has 4.5 to 1 against its ground (WCAG 2.2, 1.4.3), what is dimmed too."""

    def light(grey: float) -> float:
        return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4

    style = page(LOOK).text["style"].split("/* Laid over card.css, screen.css and day.css")[1]
    grounds = [int(one, 16) / 255 for one in re.findall(r"background: #(\w\w)\1\1", style)]
    inks = [int(one, 16) / 255 for one in re.findall(r"(?<![-\w])color: #(\w\w)\1\1", style)]
    assert len(grounds) >= 2
    assert len(inks) >= 2
    pairs = [(ground, ink) for ground in grounds for ink in inks]
    pairs += [(1, 1 - float(dim)) for dim in re.findall(r"\.dim \{ opacity: ([\d.]+)", style)]
    for ground, ink in pairs:
        assert (light(ground) + 0.05) / (light(ink) + 0.05) >= 4.5, (ground, ink)
