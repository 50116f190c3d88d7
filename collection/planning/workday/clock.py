"""The day's clock with the breaks taken out, and the bar of a job put back onto it.

"Net" minutes run only while the day works: every break has length 0. A job of 60 minutes is 60 net
minutes long wherever it starts, which is why planners count in them (see ``problem``).
"""

from __future__ import annotations

from collections.abc import Iterable

from collection.planning.workday.problem import Break, Problem, Segment, Step, StepKind


class DayClock:
    """Turns times of the clock into net minutes and back."""

    def __init__(self, breaks: Iterable[Break]) -> None:
        self._breaks = tuple(breaks)

    def net(self, clock_min: int) -> int:
        """Net minutes at a time of the clock; all moments of one break are the same net minute."""
        past = sum(
            min(clock_min, pause.end_min) - pause.start_min
            for pause in self._breaks
            if clock_min > pause.start_min
        )
        return clock_min - past

    def start(self, net_min: int) -> int:
        """The time at which work that starts at a net minute begins: after a break, not before it."""
        clock_min = net_min
        for pause in self._breaks:
            if clock_min >= pause.start_min:
                clock_min += pause.end_min - pause.start_min
        return clock_min

    def end(self, net_min: int) -> int:
        """The time at which work that ends at a net minute stops: before a break, not after it."""
        clock_min = net_min
        for pause in self._breaks:
            if clock_min > pause.start_min:
                clock_min += pause.end_min - pause.start_min
        return clock_min

    def steps(self, segments: Iterable[Segment], start_min: int) -> tuple[Step, ...]:
        """The bar of a job: its segments in order, common breaks and the crew's own rests.

        Args:
            segments: The parts of the job in order.
            start_min: Time of the clock at which the first part begins, not inside a break.

        Returns:
            Steps without gaps; two rests that meet are one.
        """
        bar: list[Step] = []
        now = start_min
        for segment in segments:
            put = self._hold if segment.kind == "held" else self._work
            now = put(bar, segment, now)
        return tuple(bar)

    def _work(self, bar: list[Step], segment: Segment, now: int) -> int:
        left = segment.minutes
        while left:
            now = self._wait(bar, now)
            spell = min(left, self._until_break(now))
            _add(bar, segment.kind, now, now + spell)
            now += spell
            left -= spell
        return now

    def _hold(self, bar: list[Step], segment: Segment, now: int) -> int:
        now = self._wait(bar, now)
        end = now + segment.minutes
        owed = segment.minutes - (self.net(end) - self.net(now))
        _add(bar, "held", now, end)
        while owed:
            end = self._wait(bar, end)
            rest = min(owed, self._until_break(end))
            _add(bar, "break", end, end + rest)
            end += rest
            owed -= rest
        return end

    def _wait(self, bar: list[Step], now: int) -> int:
        for pause in self._breaks:
            if pause.start_min <= now < pause.end_min:
                _add(bar, "break", now, pause.end_min)
                now = pause.end_min
        return now

    def _until_break(self, now: int) -> int:
        return min((pause.start_min - now for pause in self._breaks if pause.start_min > now), default=10**6)


def _add(bar: list[Step], kind: StepKind, start: int, end: int) -> None:
    if kind == "break" and bar and bar[-1].kind == "break":
        bar[-1] = Step("break", bar[-1].from_min, end)
    else:
        bar.append(Step(kind, start, end))


def hours_of(problem: Problem, clock: DayClock) -> dict[int, tuple[int, int]]:
    """Net minutes from and to which each person can work; from = to for somebody with no time.

    Briefing and closing are taken out, as are the time before arriving and after leaving.
    """
    first = problem.opens_min + problem.briefing_min
    last = problem.closes_min - problem.closing_min
    hours = {}
    for person in problem.people:
        start = clock.net(max(first, person.arrives_min))
        hours[person.id] = (start, max(start, clock.net(min(last, person.leaves_min))))
    return hours
