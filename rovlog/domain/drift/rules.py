"""Which differences stop a dive: one table, and the rule that reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rovlog.domain.drift.effect import Effect

LOST_STOPS = 0.1
"""A demand that loses more than this share of its wrench stops the dive (project default)."""

ALWAYS: tuple[tuple[str, str], ...] = (
    ("/control_box/box", "another box than the one approved"),
    (
        "/control_box/firmware",
        "the box's firmware is not the one approved, so its numbers may mean other things",
    ),
    ("/control_box/steering_scheme", "the steering scheme is not the one approved"),
    ("/control_box/thruster_map", "the thruster map is not the one approved"),
    ("/steering_scheme", "the steering scheme does not mean what was approved"),
    ("/thruster_map", "the thruster map does not mean what was approved"),
    ("/electrical/fuse", "the fuse is not the one approved"),
)
"""Differences that stop the dive whatever they do: what the sticks mean, and what protects the wiring.

The other reasons, for any pointer: a demand reversed; a demand that loses more than LOST_STOPS; a trim
beyond the tolerance; an effect that cannot be computed. A difference that only the box's stored setup
shows does not fly before the next power-up: it stops the dive only if it reverses or takes away a demand.
A difference that only a stale readback shows does not stop: the unknown box does. A waiver lifts any of them.
"""


def stopping_reasons(
    pointer: str, apart: tuple[str, ...], effect: Effect | None, *, is_beyond_tolerance: bool
) -> tuple[str, ...]:
    """Why a difference stops the dive; none where it does not.

    Args:
        pointer: where it is.
        apart: the sources that differ and count now (a stale readback left out).
        effect: what it does, None where nothing was computed.
        is_beyond_tolerance: for a trim, whether it is beyond the tolerance.
    """
    if not apart:
        return ()
    reasons = []
    if set(apart) != {"stored"}:
        reasons += [r for place, r in ALWAYS if pointer == place or pointer.startswith(place + "/")]
        if pointer.startswith("/trim_defaults/") and is_beyond_tolerance:
            reasons.append("the trim is beyond the tolerance and nobody has accepted it")
        if effect is not None and not effect.is_known:
            reasons.append("what it does cannot be computed")
    if effect is not None and effect.reversed:
        reasons.append(f"{' and '.join(effect.reversed)} would go the wrong way")
    if effect is not None:
        gone = [f"{d} {share:.0%}" for d, share in effect.lost.items() if share > LOST_STOPS]
        if gone:
            reasons.append(f"too much is lost: {', '.join(gone)}")
    return tuple(reasons)
