"""Voltage under load against what the electronics need, what a supply can give, and the wires' share."""

from __future__ import annotations

from collections.abc import Iterator

from rovlog.domain.electrical.electrics import Electrics
from rovlog.domain.electrical.sag import Sag
from rovlog.domain.electrical.tether import GREATEST_DROP_SHARE
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration


def voltage_findings(configuration: Configuration, results: Electrics) -> Iterator[Finding]:
    """At the worst manoeuvre and full ahead, from a full supply and from one at rest."""
    full, at_rest = ("with a full supply", "", results.full), ("supply at rest", "-at-rest", results.at_rest)
    for words, name, loaded in (full, at_rest):
        if loaded is None:
            continue
        for where, extra, at in (
            ("worst manoeuvre", "", loaded.worst),
            ("full ahead", "-ahead", loaded.ahead),
        ):
            if at is not None:
                yield from _at(configuration, f"{where}, {words}", extra + name, at)
    yield from _supply_limit(configuration, results)
    yield from _drop(results)


def _at(configuration: Configuration, where: str, suffix: str, at: Sag) -> Iterator[Finding]:
    """One operating point, or that there is none."""
    if at.point is None:
        weak = at.may_not_carry
        yield Finding(
            "no-operating-point" + suffix,
            "stops" if weak else "note",
            f"{where}: {at.reason}",
            "/electrical/supply",
            clears="less demand, a thicker or shorter tether, or a stronger supply"
            if weak
            else "measure the thruster at the voltage it really gets",
        )
        return
    least, vehicle_v = configuration.electrical.least_working_v, at.point.vehicle_v
    if least is not None and vehicle_v < least:
        yield Finding(
            "electronics-voltage-low" + suffix,
            "stops",
            f"{where}: {vehicle_v:.1f} V where the electronics are, they need {least:g} V",
            "/electrical/least_working_v",
            vehicle_v,
            least,
            vehicle_v - least,
            "V",
            "less demand, thicker leads or tether, or a fuller battery",
        )
    if at.point.is_limited:
        yield _limited(configuration, where, suffix, at.point.box_v)


def _drop(results: Electrics) -> Iterator[Finding]:
    point = results.full.worst.point
    if point is not None and point.drop_share > GREATEST_DROP_SHARE:
        yield Finding(
            "voltage-drop",
            "note",
            f"fuse, leads and tether take {100 * point.drop_share:.0f} % of the voltage"
            f" ({point.drop_v:.1f} V) at the worst manoeuvre; ISO 10133 asks for at most 10 % on boats",
            "/electrical/tether",
            100 * point.drop_share,
            100 * GREATEST_DROP_SHARE,
            100 * (GREATEST_DROP_SHARE - point.drop_share),
            "%",
            "judge by the least working voltage; a thicker or shorter tether",
        )


def _limited(configuration: Configuration, where: str, suffix: str, box_v: float) -> Finding:
    limit = configuration.electrical.supply.current_limit_a
    return Finding(
        "supply-limits-current" + suffix,
        "note",
        f"{where}: the supply holds the current at its limit of {limit:g} A and the box sinks"
        f" to {box_v:.1f} V, if it does not switch off",
        "/electrical/supply/current_limit_a",
        limit,
        limit,
        0.0,
        "A",
        "less demand, or a stronger supply",
    )


def _supply_limit(configuration: Configuration, results: Electrics) -> Iterator[Finding]:
    supply = configuration.electrical.supply
    limit = supply.current_limit_a
    if supply.kind == "battery" and limit is not None and results.fuse.current_a > limit:
        yield Finding(
            "supply-limit",
            "stops",
            f"the worst manoeuvre draws {results.fuse.current_a:.1f} A; the battery may give {limit:g} A"
            " before it cuts off",
            "/electrical/supply/current_limit_a",
            results.fuse.current_a,
            limit,
            limit - results.fuse.current_a,
            "A",
            "less demand",
        )
