"""How much of a food a dish usually has: the ranges that a slipped decimal or a swapped unit falls out of.

Every range here is wide: it holds what cooks make on purpose, the odd as well as the usual, so that only an amount
no such dish has lies outside. Shares are per hundred, weights are g. All of it is common practice, no source,
except where a line names one; the classes of dough, batter and cake are the styles of the larder (whose sources
stand there), widened by about a half, and a few more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from benchproof.compiler.batch import Extent


def _range(low: str | int, high: str | int) -> Extent:
    return Extent(Fraction(low), Fraction(high))


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# ---------------------------------------------------------------- what is made with flour


@dataclass(frozen=True, slots=True)
class FormulaClass:
    """A class of dough, batter or cake, per hundred of flour.

    `wet` is what is poured and the water of cream, yoghurt, cheese and puree; `fat` and `sugar` count what
    chocolate, cream and the like bring. `words` are those of a title that name the class.
    """

    name: str
    words: frozenset[str]
    wet: Extent
    egg: Extent
    fat: Extent
    sugar: Extent


def _class(
    name: str,
    words: str,
    wet: tuple[int, int],
    egg: tuple[int, int],
    fat: tuple[int, int],
    sugar: tuple[int, int],
) -> FormulaClass:
    return FormulaClass(
        name, frozenset(words.split()), _range(*wet), _range(*egg), _range(*fat), _range(*sugar)
    )


CLASSES: Final = (
    _class(
        "a bread dough",
        "bread loaf baguette ciabatta bagel pizza focaccia roll batard baton",
        (45, 100),
        (0, 8),
        (0, 16),
        (0, 12),
    ),
    _class(
        "a flatbread dough",
        "flatbread tortilla wrap chapati griddle naan pitta",
        (38, 80),
        (0, 10),
        (0, 28),
        (0, 8),
    ),
    _class(
        "an enriched dough",
        "bread loaf bun roll doughnut challah sweet stollen brioche naan",
        (18, 75),
        (0, 40),
        (0, 40),
        (0, 32),
    ),
    _class("a brioche", "brioche bun loaf doughnut", (0, 40), (25, 85), (15, 95), (2, 28)),
    _class("a dumpling or noodle dough", "dumpling noodle wonton gyoza", (35, 70), (0, 12), (0, 12), (0, 6)),
    _class(
        "an egg pasta",
        "pasta tagliatelle ravioli noodle lasagne fettuccine",
        (0, 18),
        (38, 90),
        (0, 10),
        (0, 3),
    ),
    _class(
        "a pasta of flour and water",
        "pasta cavatelli orecchiette pici semolina noodle",
        (25, 60),
        (0, 12),
        (0, 8),
        (0, 3),
    ),
    _class(
        "a pastry",
        "pastry tart pie quiche galette pasty turnover shortcrust",
        (8, 42),
        (0, 28),
        (38, 115),
        (0, 30),
    ),
    _class("a sweet pastry", "tart pastry paste", (0, 22), (0, 40), (35, 100), (18, 75)),
    _class(
        "a biscuit dough",
        "biscuit cookie shortbread finger gingerbread snap oat flapjack",
        (0, 28),
        (0, 60),
        (25, 130),
        (12, 160),
    ),
    _class("a savoury biscuit", "biscuit cracker oatcake", (0, 55), (0, 60), (8, 110), (0, 12)),
    _class("a crumble", "crumble streusel topping", (0, 12), (0, 8), (25, 110), (0, 130)),
    _class(
        "a scone or drop biscuit", "scone biscuit damper dumpling soda", (35, 100), (0, 35), (8, 60), (0, 34)
    ),
    _class("a soda bread", "soda bread damper loaf", (50, 100), (0, 20), (0, 20), (0, 20)),
    _class("a muffin or quick bread", "muffin loaf bread cake", (15, 130), (10, 75), (10, 85), (20, 120)),
    _class(
        "a cake",
        "cake sponge pudding cupcake madeleine lamington square slice",
        (0, 75),
        (35, 160),
        (30, 150),
        (50, 180),
    ),
    _class(
        "a moist cake",
        "cake gingerbread parkin pudding square slice lamington",
        (20, 150),
        (10, 120),
        (15, 110),
        (35, 200),
    ),
    _class("a whisked sponge", "sponge genoise roll cake finger", (0, 40), (100, 300), (0, 75), (60, 180)),
    _class("an angel cake", "angel", (0, 30), (200, 380), (0, 8), (150, 350)),
    _class("a brownie", "brownie blondie", (0, 50), (60, 300), (70, 350), (100, 450)),
    _class(
        "a choux paste",
        "choux eclair profiterole puff gougere churro",
        (80, 250),
        (100, 260),
        (35, 125),
        (0, 20),
    ),
    _class("a pancake batter", "pancake pikelet waffle drop griddle", (65, 240), (8, 85), (0, 65), (0, 40)),
    _class(
        "a thin batter",
        "crepe pancake batter pudding yorkshire popover",
        (110, 400),
        (30, 260),
        (0, 70),
        (0, 30),
    ),
    _class("a yeasted batter", "crumpet pikelet blini round griddle", (80, 210), (0, 70), (0, 28), (0, 10)),
    _class("a coating batter", "batter fritter tempura bhaji pakora", (60, 220), (0, 80), (0, 18), (0, 25)),
    _class("a custard set with a little flour", "custard", (1500, 9000), (300, 4000), (0, 2000), (100, 2500)),
    _class("a sauce thickened with flour", "sauce gravy", (450, 4000), (0, 60), (0, 250), (0, 40)),
    _class("a pastry cream", "custard cream", (500, 2000), (60, 500), (0, 250), (60, 500)),
)
"""What flour is made into. A formula far outside every one of them, and well inside one once an amount is ten
times or a tenth of itself, has a slip in it."""

YEASTED: Final = frozenset({"an enriched dough", "a brioche", "a yeasted batter"})
"""These need yeast or a starter: without, butter, egg and sugar in that measure are no dough."""
NOT_YEASTED: Final = frozenset(
    {"a cake", "a moist cake", "a whisked sponge", "an angel cake", "a brownie", "a muffin or quick bread"}
    | {"a biscuit dough", "a crumble", "a sweet pastry", "a pastry", "a choux paste", "a pastry cream"}
)
"""Nobody puts yeast in these."""

SALT_OF_FLOUR: Final = _range("0.1", "4.5")
"""Salt added, of flour, where flour is what is made into something; bread has a closer range in `ratios`."""

YEAST_OF_FLOUR: Final = _range("0.02", "3.6")
"""As instant yeast. Sweet doughs go to 8 % fresh, which is 2.7 % (Gisslen, *Professional Baking*, from memory)."""

QUICK_YEAST_OF_FLOUR: Final = Fraction(3, 20)
"""The least, as instant yeast, for a dough that rises in less than `LONG_RISE`."""

LONG_RISE: Final = Fraction(6 * 3600)
"""Seconds of waiting, all told, from which a pinch of yeast is enough."""

BAKING_POWDER_OF_FLOUR: Final = _range("0.35", 11)
"""A US teaspoon to a cup is 4 to 5 %; scones take 4 to 7 % (Gisslen, *Professional Baking*, from memory)."""

BAKING_SODA_OF_FLOUR: Final = _range("0.12", 3)
"""A quarter of a US teaspoon to a cup is 1 %."""


# ---------------------------------------------------------------- of the whole dish

SHARE_BY_FOOD: Final[Mapping[str, Extent]] = MappingProxyType(
    {
        "baking powder": _range(0, 5),
        "baking soda": _range(0, "1.5"),
        "cream of tartar": _range(0, 1),
        "cayenne": _range(0, "0.5"),
        "chilli flakes": _range(0, "0.8"),
        "chilli powder": _range(0, "1.5"),
        "white pepper": _range(0, "0.6"),
        "black pepper": _range(0, "1.2"),
        "nutmeg": _range(0, "0.4"),
        "ground cloves": _range(0, "0.4"),
        "whole cloves": _range(0, "0.5"),
        "ground cardamom": _range(0, "0.8"),
        "cardamom pods": _range(0, 1),
        "ground cinnamon": _range(0, 2),
        "turmeric": _range(0, "1.2"),
        "ground cumin": _range(0, "1.6"),
        "cumin seeds": _range(0, "1.6"),
        "ground coriander": _range(0, "1.6"),
        "bay leaves": _range(0, "0.35"),
        "dried oregano": _range(0, "0.8"),
        "dried thyme": _range(0, "0.8"),
        "dried basil": _range(0, "0.8"),
        "dried rosemary": _range(0, "0.8"),
        "dried sage": _range(0, "0.8"),
        "thyme": _range(0, 2),
        "rosemary": _range(0, 2),
        "sage": _range(0, 3),
        "garlic": _range(0, 6),
        "ginger": _range(0, 7),
        "fresh chillies": _range(0, 4),
        "vanilla extract": _range(0, "2.5"),
        "gelatine": _range(0, 3),
        "stock cubes": _range(0, 3),
        "stock powder": _range(0, 3),
        "soy sauce": _range(0, 15),
        "tamari": _range(0, 15),
        "fish sauce": _range(0, 6),
        "worcestershire sauce": _range(0, 5),
        "mustard": _range(0, 14),
        "wholegrain mustard": _range(0, 14),
        "mustard powder": _range(0, 2),
        "capers": _range(0, 12),
        "anchovies": _range(0, 12),
        "miso": _range(0, 10),
        "tomato puree": _range(0, 18),
    }
)
"""Of all that goes into the dish, by the larder's name. Vanilla, spices, raising agents: a little is what they are."""

SHARE_BY_KIND: Final[Mapping[str, Extent]] = MappingProxyType(
    {
        "spice": _range(0, 3),
        "herb": _range(0, 12),
        "vinegar": _range(0, 20),
        "instant yeast": _range(0, "2.5"),
        "active dry yeast": _range(0, 3),
        "fresh yeast": _range(0, 6),
        "raising agent": _range(0, 5),
    }
)

SALT_OF_DISH: Final = _range("0.08", "3.2")
"""Salt added, of all that goes in, where nothing else in it is salty: `SALTY` foods make the low end nought."""

SALTY: Final = frozenset({"condiment", "cheese"})
SALTY_FOODS: Final = frozenset(
    {"bacon", "ham", "chorizo", "pork sausages", "anchovies", "salted butter", "feta"}
)

CONCENTRATES: Final = _words(
    "rub paste mix seasoning marinade pesto salsa chutney pickle pickled brine cure cured dukkah masala relish "
    "chimichurri dressing vinaigrette mayonnaise aioli sauce syrup extract infusion infused spice spiced salt "
    "salted preserved kimchi sauerkraut gravlax vinegar harissa chermoula zhoug tabbouleh powder cube crust"
)
"""Words of a title whose dish may be as strong as it likes: shares of the whole are not looked at."""


# ---------------------------------------------------------------- a portion


@dataclass(frozen=True, slots=True)
class Portion:
    """What one person is served of a group of foods, in g as it goes in."""

    name: str
    kinds: frozenset[str]
    usual: Extent


PORTIONS: Final = (
    Portion("meat and fish", frozenset({"meat", "poultry", "fish", "shellfish"}), _range(20, 800)),
    Portion("rice and grain", frozenset({"grain"}), _range(5, 170)),
    Portion("pasta", frozenset({"pasta"}), _range(25, 220)),
    Portion("pulses", frozenset({"pulse"}), _range(10, 320)),
    Portion("flour", frozenset({"flour"}), _range(0, 260)),
    Portion("starch", frozenset({"starch"}), _range(0, 20)),
    Portion("sugar", frozenset({"sugar", "syrup"}), _range(0, 140)),
    Portion("butter and fat", frozenset({"fat"}), _range(0, 65)),
    Portion("oil", frozenset({"oil"}), _range(0, 45)),
    Portion("cream", frozenset({"cream"}), _range(0, 160)),
    Portion("yoghurt", frozenset({"yoghurt"}), _range(0, 300)),
    Portion("cheese", frozenset({"cheese"}), _range(0, 180)),
    Portion("egg", frozenset({"egg"}), _range(0, 260)),
    Portion("nuts", frozenset({"nut", "seed", "nut butter"}), _range(0, 100)),
    Portion("spice", frozenset({"spice"}), _range(0, 9)),
    Portion("salt", frozenset({"salt"}), _range(0, 8)),
    Portion("vinegar", frozenset({"vinegar"}), _range(0, 35)),
    Portion("vegetables", frozenset({"vegetable", "puree"}), _range(0, 1000)),
    Portion("herbs", frozenset({"herb"}), _range(0, 25)),
)

GARNISH_MEATS: Final = frozenset(
    {"bacon", "ham", "chorizo", "anchovies", "pork sausages", "prawns", "tinned tuna", "tinned sardines"}
)
"""These flavour a dish from little: the low end for meat and fish is not theirs."""
BOILED_GRAIN: Final = frozenset(
    {"white rice", "basmati rice", "brown rice", "arborio rice", "sushi rice", "red lentils", "brown lentils"}
)
"""What is a dish by itself and is cooked in its own liquid: the low ends for grain are theirs, not those of oats,
which are a topping as well, nor of barley, which is a handful in a soup."""
MEAT_DISH: Final = Fraction(35)
"""g of meat or fish a portion, at least, where the title names it."""
GRAIN_DISH: Final = Fraction(18)
MEAT_WORDS: Final = _words(
    "beef lamb pork chicken turkey duck fish salmon cod meat meatball burger chops chop roast leg shoulder"
)

PORTION_BY_FOOD: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "bay leaves": Fraction(7, 20),
        "garlic": Fraction(12),
        "ginger": Fraction(15),
        "fresh chillies": Fraction(15),
        "black pepper": Fraction(5, 2),
        "white pepper": Fraction(1),
        "cayenne": Fraction(1),
        "nutmeg": Fraction(7, 10),
        "turmeric": Fraction(2),
        "ground cinnamon": Fraction(3),
        "ground cloves": Fraction(1, 2),
        "ground ginger": Fraction(3),
        "ground cumin": Fraction(3),
        "cumin seeds": Fraction(3),
        "ground coriander": Fraction(3),
        "caraway seeds": Fraction(3),
        "fennel seeds": Fraction(4),
        "dried oregano": Fraction(5, 4),
        "dried thyme": Fraction(5, 4),
        "thyme": Fraction(5),
        "rosemary": Fraction(6),
        "sage": Fraction(7),
        "parsley": Fraction(22),
        "coriander leaves": Fraction(22),
        "basil": Fraction(22),
        "mint": Fraction(22),
        "dill": Fraction(22),
        "chives": Fraction(15),
        "lemons": Fraction(150),
        "limes": Fraction(150),
        "lemon juice": Fraction(65),
        "lime juice": Fraction(65),
        "anchovies": Fraction(22),
        "mustard": Fraction(18),
        "wholegrain mustard": Fraction(18),
        "soy sauce": Fraction(40),
        "fish sauce": Fraction(20),
        "worcestershire sauce": Fraction(12),
        "tomato puree": Fraction(35),
        "parmesan": Fraction(65),
        "cheddar": Fraction(125),
        "bacon": Fraction(140),
        "prawns": Fraction(350),
        "breadcrumbs": Fraction(85),
        "spring onions": Fraction(75),
        "onions": Fraction(220),
        "red onions": Fraction(250),
        "leeks": Fraction(240),
        "celery": Fraction(130),
        "carrots": Fraction(240),
        "red peppers": Fraction(280),
        "cucumber": Fraction(260),
        "cabbage": Fraction(350),
        "lettuce": Fraction(250),
        "parsnips": Fraction(380),
        "beetroot": Fraction(380),
        "butternut squash": Fraction(600),
        "tinned sweetcorn": Fraction(180),
        "frozen peas": Fraction(250),
        "red wine": Fraction(220),
        "white wine": Fraction(220),
        "cider": Fraction(260),
        "beer": Fraction(350),
        "coconut milk": Fraction(300),
        "vegetable stock": Fraction(620),
        "chicken stock": Fraction(620),
        "beef stock": Fraction(620),
    }
)
"""g a portion that is much of a food, by the larder's name; a food that the title names may be three times that."""

PORTION_IN_ALL: Final = _range(25, 1500)
"""g in one portion of anything, a spoonful of pudding or a big bowl of soup."""
SAUCE_PORTION: Final = _range(6, 1500)
"""g in one portion of what goes with something else."""
SAUCE_WORDS: Final = _words(
    "sauce dressing gravy custard vinaigrette relish chutney butter icing syrup salsa dip"
)

MEAL_PORTION: Final = _range(90, 1500)
"""g in one portion of a dish with meat, fish, grain, pasta or pulses in it."""
SIDE_PORTION: Final = _range(50, 1500)
"""g in one portion of a dish that is mostly vegetables."""

MEAL_KINDS: Final = frozenset({"meat", "poultry", "fish", "shellfish", "grain", "pasta", "pulse"})

PORTION_WORDS: Final = _words("bowls bowl boxes box portions portion plates plate servings serving")
"""What `makes` may count that one person is served."""


# ---------------------------------------------------------------- pieces

PIECES: Final[Mapping[str, Extent]] = MappingProxyType(
    {
        **dict.fromkeys(("biscuit", "cookie"), _range(5, 110)),
        "bun": _range(25, 200),
        "roll": _range(20, 180),
        "loaf": _range(180, 2500),
        "bagel": _range(50, 200),
        "baguette": _range(100, 600),
        **dict.fromkeys(("baton", "ciabatta", "stick"), _range(40, 700)),
        **dict.fromkeys(("pizza", "base"), _range(100, 1200)),
        "focaccia": _range(150, 2500),
        **dict.fromkeys(("flatbread", "naan", "pitta"), _range(30, 280)),
        **dict.fromkeys(("tortilla", "wrap", "chapati"), _range(20, 150)),
        **dict.fromkeys(("pancake", "waffle"), _range(20, 250)),
        "pikelet": _range(8, 70),
        "crepe": _range(25, 150),
        "round": _range(20, 250),
        "scone": _range(25, 200),
        "muffin": _range(30, 250),
        "cupcake": _range(25, 180),
        "crumpet": _range(25, 130),
        **dict.fromkeys(("square", "slice", "wedge"), _range(14, 300)),
        **dict.fromkeys(("bar", "finger"), _range(8, 300)),
        **dict.fromkeys(("puff", "profiterole", "gougere"), _range(6, 130)),
        "eclair": _range(25, 200),
        "ball": _range(5, 150),
        "meatball": _range(8, 120),
        "dumpling": _range(8, 90),
        "fritter": _range(10, 180),
        **dict.fromkeys(("blini", "blinis"), _range(4, 45)),
        **dict.fromkeys(("burger", "patty"), _range(50, 450)),
        **dict.fromkeys(("box", "bowl", "plate", "portion", "serving"), _range(60, 1300)),
        "jar": _range(40, 1500),
        "bottle": _range(100, 2500),
        "custard": _range(50, 350),
        "croissant": _range(25, 160),
        "pretzel": _range(20, 220),
        "doughnut": _range(20, 180),
        "truffle": _range(4, 45),
        "meringue": _range(4, 180),
        "skewer": _range(20, 350),
        "macaron": _range(6, 60),
        "samosa": _range(12, 180),
        "pasty": _range(60, 450),
        "sausage": _range(15, 200),
    }
)
"""g of one piece, by its noun in the singular."""

WHOLE_OR_SMALL: Final = frozenset(
    {"cake", "tart", "pie", "pudding", "quiche", "tray", "cheesecake", "galette", "crumble", "traybake"}
)
"""Nouns of a whole thing when there are few of them, of a small one when there are many."""
FEW: Final = 3
WHOLE: Final = _range(150, 8000)
SMALL: Final = _range(12, 450)
ANY_PIECE: Final = _range(2, 8000)


# ---------------------------------------------------------------- the least of a line

FLOOR_BY_KIND: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "flour": Fraction(3),
        "liquid": Fraction(3),
        "milk": Fraction(4),
        "plant milk": Fraction(4),
        "cream": Fraction(5),
        "yoghurt": Fraction(5),
        "cheese": Fraction(5),
        "egg": Fraction(6),
        "fat": Fraction(3),
        "oil": Fraction(2),
        "sugar": Fraction(1),
        "syrup": Fraction(2),
        "salt": Fraction(1, 4),
        "fruit": Fraction(5),
        "dried fruit": Fraction(5),
        "vegetable": Fraction(5),
        "puree": Fraction(4),
        "pulse": Fraction(15),
        "grain": Fraction(8),
        "pasta": Fraction(15),
        "nut": Fraction(4),
        "seed": Fraction(1),
        "nut butter": Fraction(4),
        "meat": Fraction(20),
        "poultry": Fraction(30),
        "fish": Fraction(20),
        "shellfish": Fraction(20),
        "chocolate": Fraction(5),
        "cocoa": Fraction(2),
        "vinegar": Fraction(2),
        "condiment": Fraction(1),
        "starch": Fraction(1),
        "herb": Fraction(1, 4),
        "spice": Fraction(1, 4),
    }
)
"""g below which nobody writes a line of that kind down, in a dish of `FLOOR_FROM` g or more."""

FLOOR_BY_FOOD: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "garlic": Fraction(1),
        "ginger": Fraction(1),
        "fresh chillies": Fraction(1),
        "anchovies": Fraction(3),
        "lemon juice": Fraction(2),
        "lime juice": Fraction(2),
        "sesame oil": Fraction(1),
        "tomato puree": Fraction(3),
        "lemons": Fraction(1),
        "limes": Fraction(1),
        "oranges": Fraction(1),
        **dict.fromkeys(
            ("cayenne", "nutmeg", "ground cloves", "whole cloves", "white pepper", "bay leaves", "saffron"),
            Fraction(1, 20),
        ),
        **dict.fromkeys(("chilli flakes", "ground cardamom", "black pepper"), Fraction(1, 10)),
        "stock cubes": Fraction(2),
    }
)
FLOOR_FROM: Final = Fraction(250)
"""g of a dish from which the floors hold: in a cup of something, 2 g of butter may be meant."""

TITLE_KINDS: Final = frozenset(
    {"meat", "poultry", "fish", "shellfish", "vegetable", "pulse", "grain", "pasta", "fruit", "cheese", "nut"}
    | {"chocolate", "dried fruit"}
)
"""Kinds that, named in the title, are a good part of the dish."""
NOT_BY_TITLE: Final = frozenset(
    {"garlic", "ginger", "fresh chillies", "lemons", "limes", "oranges", "anchovies", "parmesan"}
)
"""These flavour a dish from little."""
TITLE_SHARE: Final = Fraction(7, 2)
"""Per hundred of the dish that a food in its title comes to, at least."""

NEARLY_ALL: Final = Fraction(95)
"""Per hundred of the dish that no line of `NEARLY_ALL_OF` or more is."""
NEARLY_ALL_OF: Final = 5

MOST_SPOONS: Final[Mapping[str, Fraction]] = MappingProxyType({"tsp": Fraction(6), "tbsp": Fraction(9)})
"""More spoons than that nobody counts out: three teaspoons are a tablespoon, sixteen tablespoons a cup."""
MOST_US_TABLESPOONS: Final = Fraction(14)
"""In the United States butter is bought in sticks of 8 marked tablespoons, so more are counted out."""
BIG_UNIT_LEAST: Final = Fraction(1, 5)
"""kg or l below which a cook who weighs in grams on other lines writes g or ml."""


# ---------------------------------------------------------------- outside the formula

POT_WATER: Final = _range("2.5", 25)
"""Times the weight of the grain, pasta or pulses that are boiled or soaked in it."""
POT_SALT: Final = _range("0.2", "4.5")
"""Per hundred of the pot's water."""
GREASE: Final = _range(1, 250)
"""g of fat or oil `for the pan`, `for the tin`; `for frying` may be litres: `FRYING`."""
GREASE_OF_DISH: Final = Fraction(8)
"""Per hundred of the dish that greasing takes, at most, from `GREASE_FREE` g on."""
GREASE_FREE: Final = Fraction(70)
FRYING: Final = _range(10, 8000)
DEEP_FRYING: Final = _range(300, 15000)
BENCH_FLOUR: Final = _range(2, 400)
BENCH_OF_DISH: Final = Fraction(15)
"""Per hundred of the dish that dusting and glazing take, at most, from `GREASE_FREE` g on."""
ZEST_OF_DISH: Final = Fraction(60)
"""Per hundred of the dish that the fruit grated or squeezed into it weighs, at most, from `ZEST_FREE` g on."""
ZEST_FREE: Final = Fraction(400)
TABLE_PORTION: Final = _range(2, 250)
"""g a portion of what is put on the table beside the dish."""


# ---------------------------------------------------------------- foods that go together

GRAIN_LIQUID: Final = _range("0.9", 11)
"""Times the weight of grain or dry pulses that is cooked in the dish's own liquid."""
CUSTARD_EGG: Final = _range(8, 110)
"""Per hundred of the milk and cream that egg sets or thickens."""
CUSTARD_SUGAR: Final = _range(3, 70)
CUSTARD_STARCH: Final = _range("1.5", 15)
SYRUP_WATER: Final = _range(15, 5000)
"""Per hundred of sugar, where there is sugar, water and little else: from a caramel to a sweetened tea."""
FRUIT_SUGAR: Final = _range("1.5", 130)
"""Per hundred of fruit that is stewed or boiled with sugar."""
EGGS_MILK: Final = Fraction(400)
"""Per hundred of egg that an omelette, a frittata or the filling of a quiche takes of milk and cream, at most."""
EGGS_FAT: Final = Fraction(45)
MASH_FAT: Final = Fraction(45)
"""Per hundred of the potatoes."""
