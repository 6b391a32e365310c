"""What is to be planned: a problem, and the same with time running backwards."""

from benchproof.compiler.planning import Lag, Problem, Use

TRAY = Problem(
    lengths=(3, 5, 2),
    lags=(Lag(0, 1, 3), Lag(0, 2, 0)),
    deadlines=(Lag(1, 0, -3),),
    uses=(Use("cook", 0, 0), Use("oven", 0, 1, "200")),
    capacity={"cook": 2},
)


def ends_turned(problem: Problem, starts: tuple[int, ...]) -> list[int]:
    length = max(start + own for start, own in zip(starts, problem.lengths, strict=True))
    return [length - start - own for start, own in zip(starts, problem.lengths, strict=True)]


def test_what_follows_by_its_length_comes_before_by_the_others() -> None:
    assert TRAY.mirrored().lags[0] == Lag(1, 0, 5)


def test_beginning_together_is_ending_together() -> None:
    starts = (0, 3, 0)
    turned = ends_turned(TRAY, starts)
    assert turned == [5, 0, 6]
    for lag in (*TRAY.mirrored().lags, *TRAY.mirrored().deadlines):
        assert turned[lag.after] >= turned[lag.before] + lag.wait


def test_a_use_is_given_back_where_it_was_taken() -> None:
    assert TRAY.mirrored().uses[1] == Use("oven", 1, 0, "200")


def test_turned_twice_it_is_the_same() -> None:
    assert TRAY.mirrored().mirrored() == TRAY
