"""The money: which price, how many packs, what it adds up to."""

import re
from fractions import Fraction

import pytest

from benchproof.compiler.batch import Cost, CostLine
from tests.compiler.bench import DEMO, RECIPES, batch_of, compile_text, demo_batch

FACTS = """\
ingredient leafs
  density:  0.5 g/ml
  usable:   80 %

ingredient plums
  piece:    50 g, 40 g usable
  clump:    200 g

ingredient dust
  contains: nothing
"""


def cost(amount: str, price: str, label: str = "leafs", *more: str) -> CostLine:
    """What one amount costs at one price."""
    batch = batch_of(
        f"recipe T\n\ningredients\n  {label}: {amount}\n",
        f"prices at S on 2026-11-01\n  {label}: {price}\n",
        FACTS,
        *more,
    )
    (one,) = batch.cost.lines
    return one


# ---------------------------------------------------------------- amounts and packs


@pytest.mark.parametrize(
    ("amount", "price", "label", "money"),
    [
        # 400 g as it goes in is 500 g as bought: what the trim takes off is paid for.
        ("400 g", "10.00 for 1 kg", "leafs", Fraction(5)),
        ("500 g as bought", "10.00 for 1 kg", "leafs", Fraction(5)),
        ("400 g", "4.00 for 8 x 25 g", "leafs", Fraction(10)),
        ("400 g", "4.00 for 8 of 25 g", "leafs", Fraction(10)),
        ("400 g", "10.00 for 2 l", "leafs", Fraction(5)),  # 2 l weigh 1 kg
        ("1 lb", "8.00 for 1 lb", "leafs", Fraction(10)),
        ("800 ml as bought", "10.00 for 1 kg", "leafs", Fraction(4)),  # 400 g
        ("800 ml as bought", "10.00 for 2 l", "leafs", Fraction(4)),
        # Three plums are three plums, whatever they weigh.
        ("3", "6.00 for 12", "plums", Fraction(3, 2)),
        ("3 plums", "6.00 for 12", "plums", Fraction(3, 2)),
        ("3", "5.00 for 1 kg", "plums", Fraction(3, 4)),  # 150 g as bought
        ("120 g", "6.00 for 12", "plums", Fraction(3, 2)),  # three plums without their stones
        ("1 clump", "6.00 for 12", "plums", Fraction(2)),  # 200 g is four plums
        ("120 g", "5.00 for 1 kg", "plums", Fraction(3, 4)),
        ("3", "5.00 for 12 of 60 g", "plums", Fraction(5, 4)),
        ("100 g", "1.00 for 300 g", "dust", Fraction(1, 3)),
        # The larder's own: 8 sachets of 7 g; a tin.
        ("7 g", "4.60 for 8 x 7 g", "instant yeast", Fraction("4.60") / 8),
        ("2 tins", "1.30 for 400 g", "tinned tomatoes", Fraction("2.60")),
        ("1 tin", "5.20 for 4 x 400 g", "tinned tomatoes", Fraction("1.30")),
        ("100 g", "0.00 for 1 kg", "dust", Fraction(0)),
    ],
)
def test_what_an_amount_costs(amount: str, price: str, label: str, money: Fraction) -> None:
    one = cost(amount, price, label)
    assert (one.cost, one.note) == (money, "")
    assert one.price is not None


def test_trim_is_paid_for_when_line_and_pack_are_both_volumes() -> None:
    # 800 ml are 400 g as it goes in, 500 g as bought: half of 2 l.
    assert cost("800 ml", "10.00 for 2 l").cost == 5


@pytest.mark.parametrize(
    ("amount", "price", "label"),
    [
        ("100 g", "3.00 for 1 l", "dust"),  # nobody has said how heavy a litre is
        ("100 g", "3.00 for 6", "dust"),  # or one
        ("1 clump", "3.00 for 6", "thyme-bush"),
        ("3 cloves", "2.00 for 3", "garlic"),  # the pack is three bulbs
    ],
)
def test_what_cannot_be_compared_has_no_cost_rather_than_a_wrong_one(
    amount: str, price: str, label: str
) -> None:
    one = cost(amount, price, label, "ingredient thyme-bush\n  clump: 5 g\n")
    assert one.cost is None
    assert one.note == "no price"


def test_free_and_to_taste_cost_nothing_and_say_so() -> None:
    free = cost("10 g", "free", "dust")
    assert (free.cost, free.note) == (0, "free")
    taste = cost("to taste", "5.00 for 1 kg", "dust")
    assert (taste.cost, taste.note) == (0, "to taste")
    both = cost("6 g and to taste", "5.00 for 1 kg", "dust")
    assert (both.cost, both.note) == (Fraction("0.03"), "")


def test_a_missing_price_is_unknown_and_never_nothing() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  dust: 10 g\n  leafs: 10 g as bought\n",
        "prices at S on 2026-11-01\n  leafs: 5.00 for 1 kg\n",
        FACTS,
    )
    dust, leafs = batch.cost.lines
    assert (dust.cost, dust.note, dust.share) == (None, "no price", None)
    assert leafs.cost == Fraction("0.05")
    assert (batch.cost.total, batch.cost.complete) == (Fraction("0.05"), False)


def test_one_food_on_several_lines_is_one_line_of_the_cost() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  strong flour: 100 g\n  bread flour: 20 g, for the bench\n  rye flour: 5 g\n",
        "prices at S on 2026-11-01\n  strong flour: 2.00 for 1 kg\n  rye flour: 4.00 for 1 kg\n",
    )
    assert [(one.item, one.weight, one.cost) for one in batch.cost.lines] == [
        ("strong flour", 120, Fraction("0.24")),
        ("rye flour", 5, Fraction("0.02")),
    ]


def test_a_line_without_a_weight_does_not_hide_the_cost_of_another() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  fine salt: 100 g\n\ningredients for the top\n  fine salt: to taste\n",
        "prices at S on 2026-11-01\n  fine salt: 1.00 for 1 kg\n",
    )
    (one,) = batch.cost.lines
    assert one.cost == Fraction("0.10")


# ---------------------------------------------------------------- which price

SHOPS = """\
prices at Old Street on 2026-09-01
  dust: 1.00 for 1 kg

prices at Quay on 2026-10-01
  dust: 9.00 for 1 kg

prices at Dearer on 2026-11-01
  dust: 5.00 for 1 kg

prices at Cheaper on 2026-11-01
  dust: 2.00 for 500 g, special

prices at Next Month on 2026-12-01
  dust: 0.10 for 1 kg
"""


@pytest.mark.parametrize(
    ("on", "shop", "money"),
    [
        ("2026-09-01", "Old Street", Fraction("0.10")),
        ("2026-09-30", "Old Street", Fraction("0.10")),
        ("2026-10-01", "Quay", Fraction("0.90")),  # the newest, and not the cheapest
        ("2026-11-20", "Cheaper", Fraction("0.40")),  # of one day, the cheaper by weight
        ("2026-12-01", "Next Month", Fraction("0.01")),
    ],
)
def test_the_newest_price_not_after_the_day_of_asking(on: str, shop: str, money: Fraction) -> None:
    batch = batch_of("recipe T\n\ningredients\n  dust: 100 g\n", SHOPS, FACTS, on=on)
    (one,) = batch.cost.lines
    assert one.price is not None
    assert (one.price.shop, one.cost) == (shop, money)
    assert one.price.special is (shop == "Cheaper")


def test_a_price_of_tomorrow_is_no_price() -> None:
    batch = batch_of("recipe T\n\ningredients\n  dust: 100 g\n", SHOPS, FACTS, on="2026-08-31")
    assert batch.cost.lines[0].cost is None
    assert not batch.cost.complete


def test_the_order_of_the_files_does_not_choose_the_price() -> None:
    blocks = SHOPS.split("\n\n")
    backwards = "\n\n".join(reversed(blocks))
    for on in ("2026-10-15", "2026-11-20"):
        one, other = (
            batch_of("recipe T\n\ningredients\n  dust: 100 g\n", text, FACTS, on=on).cost.total
            for text in (SHOPS, backwards)
        )
        assert one == other


@pytest.mark.parametrize(
    ("label", "one", "other", "shop"),
    [
        ("thyme", "3.00 for 20 g", "free", "B"),  # what costs nothing is the cheapest
        ("charms", "5.00 for 6", "7.20 for 12", "B"),  # a piece costs less, though the pack costs more
        ("charms", "7.20 for 12", "5.00 for 6", "A"),
        ("potion", "3.00 for 500 ml", "5.00 for 1 l", "B"),
    ],
)
def test_of_one_day_the_cheaper_by_what_it_holds(label: str, one: str, other: str, shop: str) -> None:
    kitchen = (
        f"prices at A on 2026-11-01\n  {label}: {one}\n\nprices at B on 2026-11-01\n  {label}: {other}\n"
    )
    batch = compile_text(f"recipe T\n\ningredients\n  {label}: 10 g\n", kitchen).batch
    assert batch is not None
    price = batch.cost.lines[0].price
    assert price is not None
    assert price.shop == shop


def test_a_price_under_the_recipe_s_own_name_goes_first() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  bread flour: 1 kg\n",
        "prices at S on 2026-11-01\n  strong flour: 3.00 for 1 kg\n  bread flour: 4.00 for 1 kg\n",
    )
    assert batch.cost.total == 4
    batch = batch_of(
        "recipe T\n\ningredients\n  bread flour: 1 kg\n",
        "prices at S on 2026-11-01\n  strong flour: 3.00 for 1 kg\n",
    )
    assert batch.cost.total == 3


@pytest.mark.parametrize(
    ("on", "age", "stale"), [("2026-11-01", 0, False), ("2026-12-31", 60, False), ("2027-01-01", 61, True)]
)
def test_the_age_of_a_price(on: str, age: int, stale: bool) -> None:
    batch = batch_of(
        "kitchen K\n  prices go stale after: 60 days\n\nrecipe T\n\ningredients\n  dust: 10 g\n",
        "prices at S on 2026-11-01\n  dust: 1.00 for 1 kg\n",
        on=on,
    )
    price = batch.cost.lines[0].price
    assert price is not None
    assert (price.age, price.stale) == (age, stale)


def test_money_of_another_country_is_never_added_up() -> None:
    batch = compile_text(
        "kitchen K\n  currency: NZD\n\nrecipe T\n\ningredients\n  dust: 100 g\n  chalk: 100 g\n",
        "prices at A on 2026-11-01 in EUR\n  dust: 20.00 for 1 kg\n\n"
        "prices at B on 2026-11-01\n  chalk: 10.00 for 1 kg\n",
    ).batch
    assert batch is not None
    dust, chalk = batch.cost.lines
    assert dust.price is not None
    assert dust.price.currency == "EUR"
    assert (dust.cost, chalk.cost) == (None, 1)
    assert (batch.cost.total, batch.cost.complete, batch.cost.currency) == (1, False, "NZD")


def test_a_price_in_the_kitchen_s_own_currency_may_say_so() -> None:
    batch = batch_of(
        "kitchen K\n  currency: NZD\n\nrecipe T\n\ningredients\n  dust: 100 g\n",
        "prices at A on 2026-11-01 in NZD\n  dust: 20.00 for 1 kg\n",
    )
    assert batch.cost.total == 2


# ---------------------------------------------------------------- each, portion, the shop's own


def test_what_each_costs() -> None:
    batch = batch_of(
        "recipe T\n  makes: 12 rounds\n  serves: 4\n  loses: 20 % in the pan\n\ningredients\n  dust: 500 g\n",
        "prices at S on 2026-11-01\n  dust: 6.00 for 1 kg\n",
        times=Fraction(2),
    )
    assert batch.cost.total == 6
    assert batch.cost.each == Fraction(1, 4)
    assert batch.cost.portion == Fraction(6, 8)
    assert batch.cost.per_100_g == Fraction(6, 8)  # 800 g finished
    assert batch.cost.noun == "rounds"


@pytest.mark.parametrize(
    ("price", "each", "per_100_g"),
    [
        ("4.40 for 6 of 55 g", Fraction("4.40") / 6, Fraction("440") / 330),
        ("4.40 for 6 x 55 g", Fraction("4.40") / 6, Fraction("440") / 330),
        ("34.00 for 4", Fraction("8.50"), None),
        ("11.90 for 1 kg", None, Fraction("1.19")),
    ],
)
def test_the_shop_s_own(price: str, each: Fraction | None, per_100_g: Fraction | None) -> None:
    batch = batch_of(
        "recipe T\n  instead of: packet rounds\n\ningredients\n  dust: 5 g\n",
        f"prices at S on 2026-11-01\n  packet rounds: {price}\n",
    )
    (own,) = batch.cost.shops_own
    assert (own.item, own.each, own.per_100_g) == ("packet rounds", each, per_100_g)


def test_the_shop_s_own_without_a_price_is_left_out() -> None:
    batch = batch_of("recipe T\n  instead of: packet rounds\n\ningredients\n  dust: 5 g\n")
    assert batch.cost.shops_own == ()


# ---------------------------------------------------------------- recipes as ingredients


def test_a_recipe_to_taste_costs_nothing_and_says_so() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  dust: 10 g\n  pickle: to taste\n\nrecipe Pickle\n\ningredients\n  dust: 5 g\n",
        "prices at S on 2026-11-01\n  dust: 1.00 for 1 kg\n",
    )
    assert [(one.cost, one.note) for one in batch.cost.lines] == [(Fraction("0.01"), ""), (0, "to taste")]


def test_a_recipe_with_an_unknown_cost_makes_the_whole_incomplete() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  dust: 10 g\n  pickle: 5 g\n\n"
        "recipe Pickle\n\ningredients\n  dust: 5 g\n  brine: 5 g\n",
        "prices at S on 2026-11-01\n  dust: 1.00 for 1 kg\n",
    )
    assert not batch.cost.complete


# ---------------------------------------------------------------- the demo kitchen


@pytest.mark.parametrize("stem", DEMO)
def test_a_demo_recipe_s_lines_sum_to_its_total(stem: str) -> None:
    cost: Cost = demo_batch(stem).cost
    assert cost.complete
    assert cost.total == sum(one.cost for one in cost.lines if one.cost is not None)
    assert sum(one.share for one in cost.lines if one.share is not None) == 100
    assert cost.currency == "NZD"


def price_tags() -> dict[str, list[tuple[str, Fraction, str]]]:
    """Every price of the demo kitchen, straight from its text: item to (date, money, pack)."""
    found: dict[str, list[tuple[str, Fraction, str]]] = {}
    for path in sorted((RECIPES / "prices").glob("*.bench")):
        date = ""
        for line in path.read_text(encoding="utf-8").splitlines():
            line = re.split(r"\s+#", line)[0]
            if heading := re.match(r"prices at .* on (\S+)", line):
                date = heading[1]
            elif entry := re.match(r"  (.+?):\s+([0-9.]+) for ([^,]+)", line):
                found.setdefault(entry[1], []).append((date, Fraction(entry[2]), entry[3].strip()))
    return found


def grams_of(text: str) -> Fraction:
    """`1.5 kg`, `8 x 7 g`, `1 l` of water-thin things are not here: weights only."""
    times = Fraction(1)
    if " x " in text:
        count, text = text.split(" x ")
        times = Fraction(count)
    number, unit = text.split()
    return times * Fraction(number) * {"g": 1, "kg": 1000}[unit]


@pytest.mark.parametrize(
    ("stem", "item", "grams", "date"),
    [
        # Read off the recipe by eye: the amount, and a percentage of its base.
        ("harbour-griddle-rounds", "strong flour", Fraction(280), "2026-11-02"),
        ("harbour-griddle-rounds", "fine salt", Fraction(280) * 2 / 100, "2026-09-05"),
        ("harbour-griddle-rounds", "instant yeast", Fraction(280) * Fraction("1.2") / 100, "2026-09-05"),
        ("harbour-griddle-rounds", "baking soda", Fraction(280) * Fraction("0.4") / 100, "2026-09-05"),
        ("lighthouse-loaf", "strong flour", Fraction(920), "2026-11-02"),  # 900 g, and 20 g for the bench
        ("lighthouse-loaf", "wholemeal flour", Fraction(100), "2026-09-05"),
        ("lighthouse-loaf", "instant yeast", Fraction(6), "2026-09-05"),
        ("ferry-milk-rolls", "butter", Fraction(400) * 8 / 100, "2026-11-02"),
        ("ferry-milk-rolls", "caster sugar", Fraction(32), "2026-09-05"),
        ("quay-leek-tart", "lard", Fraction(50), "2026-09-05"),
        ("quay-leek-tart", "cheddar", Fraction(100), "2026-10-12"),
        ("quay-leek-tart", "fine salt", Fraction(4), "2026-09-05"),  # 2 g in each list
        ("jetty-crumble", "rolled oats", Fraction(80), "2026-09-05"),
        ("pilot-house-pilaf", "frozen peas", Fraction(150), "2026-10-12"),
        ("regatta-day-bake", "beef mince", Fraction(500), "2026-10-12"),
        ("regatta-day-bake", "butter", Fraction(70), "2026-11-02"),
        ("slack-tide-rice", "white rice", Fraction(300), "2026-11-02"),
    ],
)
def test_a_demo_line_against_plain_fractions_from_the_shelf_tag(
    stem: str, item: str, grams: Fraction, date: str
) -> None:
    """Foods without trim, bought and used by weight: grams over grams times money."""
    tags = [(day, money, pack) for day, money, pack in price_tags()[item] if day <= "2026-11-20"]
    day, money, pack = max(tags)
    assert day == date
    (one,) = [one for one in demo_batch(stem).cost.lines if one.item == item]
    assert one.weight == grams
    assert one.cost == grams / grams_of(pack) * money


def test_some_demo_lines_with_trim_pieces_and_volumes_by_hand() -> None:
    lines = {one.item: one for one in demo_batch("sea-wall-frittata").cost.lines}
    # 8 eggs of the dozen at 7.20; 500 g of potatoes as bought, of 2 kg at 4.20; 20 g of oil, of the litre
    # (0.921 kg, by the larder) at 6.90.
    assert lines["eggs"].cost == Fraction("7.20") * 8 / 12
    assert lines["potatoes"].cost == Fraction("4.20") * 500 / 2000
    assert lines["neutral oil"].cost == Fraction("6.90") * 20 / 921
    # 40 g of egg without the shell for 400 g of flour; an egg is 62 g, 54 g of it usable; and 10 g for the glaze.
    rolls = {one.item: one for one in demo_batch("ferry-milk-rolls").cost.lines}
    assert rolls["eggs"].cost == Fraction("7.20") / 12 * 50 / 54
    # 240 ml of milk and a bit: 60 % of 400 g, of the litre (1.031 kg) at 2.85.
    assert rolls["whole milk"].cost == Fraction("2.85") * 240 / 1031
    rounds = {one.item: one for one in demo_batch("harbour-griddle-rounds").cost.lines}
    assert rounds["neutral oil"].cost == Fraction("6.90") * 10 / 1000  # two spoons of 5 ml
    assert (rounds["water"].cost, rounds["water"].note) == (0, "free")


def test_a_demo_recipe_in_another_costs_its_share() -> None:
    compote = demo_batch("rhubarb-compote").cost.total
    crumble = {one.item: one for one in demo_batch("jetty-crumble").cost.lines}
    # 750 g go in and 20 % boils away: 600 g, which is all of it.
    assert crumble["stewed rhubarb"].cost == compote
    pikelets = {one.item: one for one in demo_batch("pilot-boat-pikelets").cost.lines}
    assert pikelets["rhubarb compote"].cost == compote * 240 / 600
    assert pikelets["rhubarb compote"].note == "from its recipe"


# ---------------------------------------------------------------- what a cook would find wrong


def test_a_recipe_of_which_no_price_is_known_is_not_free() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  pickle: 5 g\n\nrecipe Pickle\n\ningredients\n  dust: 5 g\n",
        "prices at S on 2026-11-01\n  chalk: 1.00 for 1 kg\n",
    )
    (one,) = batch.cost.lines
    assert one.cost is None


def test_yolks_are_bought_as_eggs() -> None:
    assert cost("3 yolks", "6.00 for 12", "eggs").cost == Fraction(3, 2)


def test_free_is_said_once_for_good() -> None:
    batch = batch_of(
        "kitchen K\n  prices go stale after: 10 days\n\nrecipe T\n\ningredients\n  water: 10 g\n",
        "prices at S on 2026-01-01\n  water: free\n",
    )
    price = batch.cost.lines[0].price
    assert price is not None
    assert not price.stale
