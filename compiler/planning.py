"""What is to be planned, and what a plan is: jobs, what lies between them, and what they use.

Times are whole numbers. Nothing here knows what a recipe is.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Lag:
    """`after` begins no earlier than `wait` past the beginning of `before`; a negative wait is a greatest time."""

    before: int
    after: int
    wait: int


@dataclass(frozen=True, slots=True)
class Use:
    """Something is in use from the beginning of one job to the end of another (or of the same).

    `state` is what it must be at (an oven's temperature): uses in one state share it.
    """

    thing: str
    first: int
    last: int
    state: str | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """Jobs by their lengths, what lies between them, and what they use.

    lengths    of the jobs
    lags       that must hold
    deadlines  greatest times that are to hold; where they cannot all, as few are let go as could be found
    uses       and `capacity`, how many can use each thing at once (one, where it does not say)
    free       for some jobs, the stretches of time they must lie in whole
    """

    lengths: tuple[int, ...]
    lags: tuple[Lag, ...] = ()
    deadlines: tuple[Lag, ...] = ()
    uses: tuple[Use, ...] = ()
    capacity: dict[str, int] = field(default_factory=dict)
    free: dict[int, tuple[tuple[int, int], ...]] = field(default_factory=dict)

    def mirrored(self) -> Problem:
        """The same with time running backwards; free times are turned by whoever knows when the day ends."""
        length = self.lengths

        def turn(lag: Lag) -> Lag:
            return Lag(lag.after, lag.before, lag.wait + length[lag.after] - length[lag.before])

        return Problem(
            lengths=length,
            lags=tuple(turn(lag) for lag in self.lags),
            deadlines=tuple(turn(lag) for lag in self.deadlines),
            uses=tuple(Use(use.thing, use.last, use.first, use.state) for use in self.uses),
            capacity=self.capacity,
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """When each job begins, how long it all takes, and how good that is.

    proven  whether no shorter plan keeps as many deadlines
    bound   what no plan can be shorter than
    orders  the lags the search has added: who waits for whom at a thing
    kept    the deadlines that hold
    """

    starts: tuple[int, ...]
    length: int
    proven: bool
    bound: int
    orders: tuple[Lag, ...]
    kept: tuple[Lag, ...]


class NoPlan(Exception):
    """The lags contradict each other, or a job has no free time that is long enough."""
