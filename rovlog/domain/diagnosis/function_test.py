"""The function test: every control that moves a thruster, at each of its ends, and what would be seen."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.domain.allocation.response import response_to_sticks
from rovlog.domain.diagnosis.dry_limits import DRY_LIMITS, percent
from rovlog.domain.diagnosis.flow import thrown_toward
from rovlog.domain.diagnosis.observation import Push
from rovlog.domain.diagnosis.pushes import is_partial, scaled
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

BARELY = 1e-9
"""A command this little above the share counts as on it: shares are decimal, sums are binary."""

PushName = tuple[str, int]
"""A push of the test: the control, and the sign of the end it is pushed to."""


@dataclass(frozen=True, slots=True)
class ListedPush:
    """One push of the function test.

    `end` is the control's raw position at full throw, `dry` the position that gives no thruster more than
    the dry share (a whole percent of the way, rounded down), or None where there is none, with the reason
    in `why_not_dry`. `dry_command` and `full_command` are the greatest thruster commands, shares of full.
    """

    control: str
    end: float
    dry: float | None
    why_not_dry: str
    dry_command: float
    full_command: float

    @property
    def name(self) -> PushName:
        """What the push is recognised by, however far the control is pushed."""
        return self.control, 1 if self.end > 0 else -1

    def positions(self, *, is_dry: bool) -> Push | None:
        """The controls with their raw positions; None where it cannot be made dry."""
        if not is_dry:
            return ((self.control, self.end),)
        return None if self.dry is None else ((self.control, self.dry),)


def function_test(
    configuration: Configuration, share: float = DRY_LIMITS.command_share
) -> tuple[ListedPush, ...]:
    """Each driven control at each end, in the scheme's order, with the trims at their defaults.

    `share` is the greatest thruster command in air. Controls that move no thruster are left out: the
    response is that of the configuration, through shaping, dead band, full stick and map.
    """
    found = []
    for control, end in driven_ends(configuration):
        push: Push = ((control, end),)
        position, why_not = dry_position(configuration, push, share)
        dry = None if position is None else dict(position)[control]
        found.append(
            ListedPush(
                control,
                end,
                dry,
                why_not,
                greatest_command(configuration, position) if position is not None else 0.0,
                greatest_command(configuration, push),
            )
        )
    return tuple(found)


def driven_ends(configuration: Configuration) -> tuple[tuple[str, float], ...]:
    """Each control and raw end position that moves a thruster, in the scheme's order."""
    rest = thruster_commands(configuration, ())
    controls = dict.fromkeys(e.control for e in configuration.steering_scheme.entries)
    return tuple(
        (control, end)
        for control in controls
        for end in CONTROLS[control].ends
        if thruster_commands(configuration, ((control, end),)) != rest
    )


def name_of(push: Mapping[str, float]) -> PushName | None:
    """Which push of the test this is; None where it moves no control, or more than one."""
    moved = [(control, position) for control, position in push.items() if position]
    if len(moved) != 1:
        return None
    return moved[0][0], 1 if moved[0][1] > 0 else -1


def thruster_commands(configuration: Configuration, push: Push) -> dict[str, float]:
    """The command of every thruster as recorded, shares of full; positive is ahead."""
    channels = response_to_sticks(configuration, dict(push)).channels
    return {t.thruster: t.sign * channels.get(t.channel, 0.0) for t in configuration.thrusters}


def greatest_command(configuration: Configuration, push: Push) -> float:
    """The greatest command of any thruster, share of full, 0 to 1."""
    return max((abs(u) for u in thruster_commands(configuration, push).values()), default=0.0)


def dry_position(configuration: Configuration, push: Push, share: float) -> tuple[Push | None, str]:
    """The push drawn back to the greatest whole percent that gives every thruster at most `share`.

    None with the reason in a clause where there is none. Controls that cannot be held part way stay at
    their ends. The greatest percent is the last one up to which every smaller one keeps the share too.
    """
    rest = greatest_command(configuration, ())
    if rest > share + BARELY:
        return None, f"the trims alone give a thruster {percent(rest)} of command: put them to zero first"
    held = [control for control, _ in push if not is_partial(control)]
    full = greatest_command(configuration, push)
    if len(held) == len(push):
        if full <= share + BARELY:
            return push, ""
        name = CONTROLS[held[0]].words(1.0)
        return None, f"the {name} gives {percent(full)} of command and cannot be held part way"

    def keeps(part: int) -> bool:
        return greatest_command(configuration, scaled(push, part)) <= share + BARELY

    kept = _last_kept(keeps, may_halve=_goes_one_way(configuration, push))
    return (scaled(push, kept), "") if kept else (None, "even one percent of the stick gives more than that")


def _goes_one_way(configuration: Configuration, push: Push) -> bool:
    """True where every command only grows or only falls with the stick: what keeps the share is one stretch.

    Two entries of one control, two controls, or a map that scales may turn a command round.
    """
    entries = [e for e in configuration.steering_scheme.entries if e.control in dict(push)]
    return len(entries) == 1 and configuration.thruster_map.when_saturated == "clip"


def _last_kept(keeps: Callable[[int], bool], *, may_halve: bool) -> int:
    """The last percent up to which every one keeps the share; 0 where not even the first does."""
    if not may_halve:
        return next((part - 1 for part in range(1, 101) if not keeps(part)), 100)
    low, high = 0, 101
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if keeps(middle) else (low, middle)
    return low


def expected_flow(
    configuration: Configuration, pushes: Sequence[Push], still_below: float
) -> tuple[dict[str, str], ...]:
    """For each push where every thruster throws air or water if all is as recorded; trims at their defaults.

    For whoever compares afterwards: an observer who has read it no longer looks. A thruster whose command
    is below `still_below` throws none.
    """
    from rovlog.domain.diagnosis.evidence import WORDS
    from rovlog.domain.diagnosis.prediction import channel_tables, predictions, space

    if not pushes:
        return ()
    of = space(configuration, {}, {}, [()])
    ways = predictions(of, channel_tables(of, pushes, of.setups), still_below)[0]
    return tuple(
        {
            t.thruster: thrown_toward(t, WORDS[int(way)])
            for t, way in zip(configuration.thrusters, row, strict=True)
        }
        for row in ways
    )
