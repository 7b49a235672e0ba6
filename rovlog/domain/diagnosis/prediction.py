"""What each explanation predicts: for every push, which way every thruster would be seen.

Setup edits (scheme, map, reversed control) change what the box puts out; wiring edits change which
thruster gets it, and with which sign. The two are tabulated apart and combined, so that thousands of
explanations share a few dozen setups.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.allocation.channels import channel_numbers
from rovlog.domain.allocation.demand import channel_of, shaped
from rovlog.domain.diagnosis.edits import WIRING_KINDS, Edit, Explanation
from rovlog.domain.diagnosis.observation import Push
from rovlog.domain.vehicle import DEMANDS, Configuration, SteeringScheme, ThrusterMap
from rovlog.values import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Signs = NDArray[np.int8]
    Indices = NDArray[np.intp]

BARELY = 1e-9
"""A command this little below a threshold counts as on it: shares are decimal, sums are binary."""


@dataclass(frozen=True, slots=True)
class Space:
    """Explanations sorted by what they share.

    `setups` and `wirings` hold the distinct setup and wiring parts, () first; explanation h has
    setup number setup_of[h] and wiring number wiring_of[h], both of shape (explanations,).
    `channels` are the columns of every table of commands. Wiring w feeds thruster t from column
    fed_by[w, t] with the sign fed_sign[w, t] (0: not at all); both have shape (wirings, thrusters).
    """

    configuration: Configuration
    schemes: Mapping[int, SteeringScheme]
    maps: Mapping[int, ThrusterMap]
    explanations: tuple[Explanation, ...]
    channels: tuple[int, ...]
    setups: tuple[Explanation, ...]
    wirings: tuple[Explanation, ...]
    setup_of: Indices
    wiring_of: Indices
    fed_by: Indices
    fed_sign: Signs


def space(
    configuration: Configuration,
    schemes: Mapping[int, SteeringScheme],
    maps: Mapping[int, ThrusterMap],
    explanations: Sequence[Explanation],
) -> Space:
    """Sort explanations by setup and wiring; the tables in force come from the configuration."""
    import numpy as np

    setups: dict[Explanation, int] = {(): 0}
    wirings: dict[Explanation, int] = {(): 0}
    setup_of, wiring_of = [], []
    for explanation in explanations:
        setup = tuple(e for e in explanation if e.edit not in WIRING_KINDS)
        wiring = tuple(e for e in explanation if e.edit in WIRING_KINDS)
        setup_of.append(setups.setdefault(setup, len(setups)))
        wiring_of.append(wirings.setdefault(wiring, len(wirings)))
    box = configuration.control_box
    schemes = {**schemes, box.steering_scheme: configuration.steering_scheme}
    maps = {**maps, box.thruster_map: configuration.thruster_map}
    named = set(channel_numbers(configuration))
    named.update(c for m in maps.values() for row in m.shares.values() for c in row)
    driven = (channel_of(e.drives) for s in schemes.values() for e in s.entries)
    named.update(c for c in driven if c is not None)
    channels = tuple(sorted(named))
    fed_by, fed_sign = _feeds(configuration, channels, tuple(wirings))
    return Space(
        configuration,
        schemes,
        maps,
        tuple(explanations),
        channels,
        tuple(setups),
        tuple(wirings),
        np.array(setup_of, dtype=np.intp),
        np.array(wiring_of, dtype=np.intp),
        fed_by,
        fed_sign,
    )


def channel_tables(
    of: Space,
    pushes: Sequence[Push],
    setups: Sequence[Explanation],
    trims_of: Sequence[Mapping[str, float] | None] = (),
) -> Floats:
    """Commands of all channels for each setup and push, no unit; shape (setups, pushes, channels).

    `trims_of` has the trims in force at each push, None for the configuration's; () is that for all.
    """
    import numpy as np

    box = of.configuration.control_box
    size = (len(DEMANDS), len(of.channels))
    usual = of.configuration.trim_defaults
    in_force = [usual if given is None else given for given in trims_of] or [usual]
    trims = np.array([[given.get(d, 0.0) for d in DEMANDS] for given in in_force])
    parts: dict[int, tuple[Floats, dict[str, Floats]]] = {}
    asked: Floats = np.empty((len(setups), len(pushes), sum(size)))
    map_of = []
    for row, setup in enumerate(setups):
        scheme = _number(setup, "wrong-steering-scheme", box.steering_scheme)
        if scheme not in parts:
            parts[scheme] = _contributions(of, of.schemes[scheme], pushes)
        total, by_control = parts[scheme]
        asked[row] = total
        for edit in setup:
            if edit.control in by_control:
                asked[row] -= 2.0 * by_control[edit.control]
        map_of.append(_number(setup, "wrong-thruster-map", box.thruster_map))
    demands = np.clip(asked[..., : size[0]] + trims, -1.0, 1.0)
    commands: Floats = asked[..., size[0] :]
    for number in set(map_of):
        rows = [row for row, its in enumerate(map_of) if its == number]
        commands[rows] = _saturated(commands[rows] + demands[rows] @ _shares(of, number), of.maps[number])
    return commands


def _contributions(
    of: Space, scheme: SteeringScheme, pushes: Sequence[Push]
) -> tuple[Floats, dict[str, Floats]]:
    """What all controls ask for together and each by itself; columns: demands, then channels."""
    import numpy as np

    column = {name: i for i, name in enumerate(DEMANDS)}
    column |= {f"channel-{c}": len(DEMANDS) + i for i, c in enumerate(of.channels)}
    shape = (len(pushes), len(column))
    by_control: dict[str, Floats] = {e.control: np.zeros(shape) for e in scheme.entries}
    for row, push in enumerate(pushes):
        for control, position in push:
            for entry in scheme.entries:
                if entry.control == control:
                    by_control[control][row, column[entry.drives]] += shaped(entry, position)
    total: Floats = np.zeros(shape)
    for part in by_control.values():
        total += part
    return total, by_control


def _shares(of: Space, number: int) -> Floats:
    import numpy as np

    shares: Floats = np.zeros((len(DEMANDS), len(of.channels)))
    for demand, row in of.maps[number].shares.items():
        for channel, share in row.items():
            shares[DEMANDS.index(demand), of.channels.index(channel)] = share
    return shares


def _saturated(commands: Floats, thruster_map: ThrusterMap) -> Any:
    import numpy as np

    if thruster_map.when_saturated == "clip":
        return np.clip(commands, -1.0, 1.0)
    return commands / np.maximum(1.0, np.abs(commands).max(axis=-1, keepdims=True))


def _feeds(
    configuration: Configuration, channels: Sequence[int], wirings: Sequence[Explanation]
) -> tuple[Indices, Signs]:
    """Which column of channels feeds each thruster, and with which sign, for each wiring.

    A dead channel is an output of the box: after a swap it is the other leads that stay without current.
    """
    import numpy as np

    thrusters = configuration.thrusters
    at = {c: i for i, c in enumerate(channels)}
    column = np.tile(np.array([at[t.channel] for t in thrusters], dtype=np.intp), (len(wirings), 1))
    sign = np.tile(np.array([t.sign for t in thrusters], dtype=np.int8), (len(wirings), 1))
    place = {t.thruster: i for i, t in enumerate(thrusters)}
    for row, wiring in enumerate(wirings):
        for edit in sorted(wiring, key=lambda e: e.edit == "dead"):
            _rewire(edit, column[row], sign[row], at, place)
    return column, sign


def _rewire(
    edit: Edit, column: Indices, sign: Signs, at: Mapping[int, int], place: Mapping[str, int]
) -> None:
    """Change one row in place; swaps must come before dead channels."""
    if edit.edit == "reversed" and edit.thruster is not None:
        sign[place[edit.thruster]] *= -1
    elif edit.edit == "still" and edit.thruster is not None:
        sign[place[edit.thruster]] = 0
    elif edit.edit == "dead" and edit.channel is not None:
        sign[column == at[edit.channel]] = 0
    elif edit.edit == "swapped" and edit.channels is not None:
        a, b = (at[c] for c in edit.channels)
        was_a, was_b = column == a, column == b
        column[was_a] = b
        column[was_b] = a


def directions(commands: Floats, still_below: float) -> Signs:
    """1 ahead, -1 astern, 0 still, for commands of any shape."""
    import numpy as np

    moves = np.abs(commands) >= still_below - BARELY
    return np.where(moves, np.sign(commands), 0.0).astype(np.int8)


def predictions(of: Space, tables: Floats, still_below: float) -> Signs:
    """Which way every thruster is seen; shape (explanations, pushes, thrusters).

    `tables` are the channel tables of all `of.setups`, shape (setups, pushes, channels).
    """
    import numpy as np

    way = directions(tables, still_below).transpose(0, 2, 1)  # setups, channels, pushes
    fed = way[of.setup_of[:, None], of.fed_by[of.wiring_of]]  # explanations, thrusters, pushes
    seen = fed * of.fed_sign[of.wiring_of][:, :, None]
    return np.ascontiguousarray(seen.transpose(0, 2, 1))


def _number(setup: Explanation, kind: str, in_force: int) -> int:
    return next((e.number for e in setup if e.edit == kind and e.number is not None), in_force)
