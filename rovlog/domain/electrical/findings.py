"""What about currents, voltages and the fuse a person has to know before a dive.

Severity, chosen so: what can leave the vehicle dead or start a fire in ordinary flying stops the
dive (a fuse that may open, a channel above its limit, electronics below their least voltage, a wire
named in the record that is thinner than its fuse); what is a limit of the model, a rare fault or a
matter of judgement is a note.
"""

from __future__ import annotations

from collections.abc import Iterator

from rovlog.domain.allocation.table_findings import table_findings
from rovlog.domain.electrical.electrics import Electrics
from rovlog.domain.electrical.fuse import seconds_words
from rovlog.domain.electrical.voltage_findings import voltage_findings
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration

WET_CONTACT_CHOPPED_V = 12.4
"""Volt, peak, if interrupted at 10 to 200 Hz. Source: NEC chapter 9, table 11, note 4 (wet contact;
immersion left out), seen second-hand."""

FUSE_FROM_SOURCE_MM = 300.0
"""Millimetre. A competition rule of 2018 (30 cm); common practice."""


FAR_BEYOND = 1.5
"""No unit. A fuse this many times the rating of a wire protects it by nobody's table (project default)."""


def electrical_findings(configuration: Configuration, results: Electrics) -> list[Finding]:
    """All findings about the electrics, what stops the dive first."""
    found = [
        *_fuse(configuration, results),
        *_channels(configuration, results),
        *voltage_findings(configuration, results),
        *_wires(configuration, results),
        *table_findings(configuration),
        *_chopping(configuration),
    ]
    return sorted(found, key=lambda f: f.severity != "stops")


def _fuse(configuration: Configuration, results: Electrics) -> Iterator[Finding]:
    yield from _worst_through_fuse(results)
    yield from _short(results)
    yield from _stall(results)
    yield from _fuse_from_source(configuration)


def _worst_through_fuse(results: Electrics) -> Iterator[Finding]:
    fuse, limit = results.fuse, results.continuous_limit_a
    names = {"above-continuous": "above-continuous", "may-open": "fuse-may-open", "opens": "fuse-opens"}
    if fuse.verdict in names:
        does = {
            "above-continuous": "more than it may carry for ever",
            "may-open": f"it may open after {seconds_words(fuse.shortest_s)} or not at all",
            "opens": f"it opens, perhaps after {seconds_words(fuse.shortest_s)}",
        }[fuse.verdict]
        yield Finding(
            names[fuse.verdict],
            "stops",
            f"the worst manoeuvre draws {fuse.current_a:.1f} A through the {fuse.rating_a:g} A fuse: {does}",
            "/electrical/fuse/rating_a",
            fuse.current_a,
            limit,
            limit - fuse.current_a,
            "A",
            _less_words(results),
        )


def _short(results: Electrics) -> Iterator[Finding]:
    fuse, short = results.fuse, results.short
    if short.may_go_on:
        yield Finding(
            "short-does-not-open-fuse",
            "note",
            f"a short at the far end of the tether draws only {short.current_a:.1f} A:"
            f" the {fuse.rating_a:g} A fuse may never open on it",
            "/electrical/tether",
            short.current_a,
            1.35 * fuse.rating_a,
            short.current_a - 1.35 * fuse.rating_a,
            "A",
            "a thicker or shorter tether, or a fuse of its own for each pair",
        )


def _stall(results: Electrics) -> Iterator[Finding]:
    fuse, stall = results.fuse, results.stall
    if (
        stall is not None
        and stall.fuse.verdict in ("may-open", "opens")
        and fuse.verdict not in ("may-open", "opens")
    ):
        yield Finding(
            "stall-opens-fuse",
            "note",
            f"with {stall.thruster} stalled the worst manoeuvre draws {stall.total_a:.1f} A:"
            f" the {fuse.rating_a:g} A fuse may open after {seconds_words(stall.fuse.shortest_s)}",
            f"/thrusters/{stall.thruster}",
            stall.total_a,
            results.continuous_limit_a,
            results.continuous_limit_a - stall.total_a,
            "A",
            "keep weed and line out of the propellers; let go of the stick when one stops",
        )


def _fuse_from_source(configuration: Configuration) -> Iterator[Finding]:
    distance = configuration.electrical.fuse.distance_from_source_mm
    if distance is not None and distance > FUSE_FROM_SOURCE_MM:
        yield Finding(
            "fuse-far-from-source",
            "stops",
            f"{distance:g} mm of wire between source and fuse have no protection",
            "/electrical/fuse/distance_from_source_mm",
            distance,
            FUSE_FROM_SOURCE_MM,
            FUSE_FROM_SOURCE_MM - distance,
            "mm",
            f"put the fuse within {FUSE_FROM_SOURCE_MM:g} mm of the source",
        )


def _less_words(results: Electrics) -> str:
    less = results.less
    if less is None:
        return ""
    if less.share is None:
        return f"trims and standing loads alone draw {less.current_a:.1f} A: less of those"
    return (
        f"less demand: every full_stick times {less.share:.2f} brings it to {less.current_a:.1f} A,"
        f" within {less.limit_a:.1f} A"
    )


def _channels(configuration: Configuration, results: Electrics) -> Iterator[Finding]:
    limit = configuration.electrical.drivers.channel_limit_a
    if limit is None:
        return
    for channel, current in results.per_channel_a.items():
        if current > limit * (1 + 1e-9):
            on = ", ".join(t.thruster for t in configuration.thrusters if t.channel == channel)
            yield Finding(
                f"channel-over-limit-{channel}",
                "stops",
                f"channel {channel} ({on}) may draw {current:.1f} A; its driver may carry {limit:g} A",
                "/electrical/drivers/channel_limit_a",
                current,
                limit,
                limit - current,
                "A",
                f"less share for channel {channel} in the thruster map, or fewer thrusters on it",
            )


def _wires(configuration: Configuration, results: Electrics) -> Iterator[Finding]:
    wire, rating = results.wire, configuration.electrical.fuse.rating_a
    if rating > wire.rating_a * (1 + 1e-9):
        which = "the tether's conductor" if wire.is_tether else "the thinnest wire"
        yield Finding(
            "wire-thinner-than-fuse",
            # The record names its thinnest wire or it does not: a guess from the tether only notes,
            # unless the fuse is beyond it by more than any doubt about the wire's rating.
            "note" if wire.is_tether and rating <= FAR_BEYOND * wire.rating_a else "stops",
            f"{which}, {wire.area_mm2:g} mm2, may carry about {wire.rating_a:.0f} A;"
            f" the {rating:g} A fuse does not protect it",
            "/electrical/tether" if wire.is_tether else "/electrical/thinnest_wire_mm2",
            rating,
            wire.rating_a,
            wire.rating_a - rating,
            "A",
            "thicker wire, or a fuse of its own for the thin one (rating of the wire from memory: check it)",
        )


def _chopping(configuration: Configuration) -> Iterator[Finding]:
    hertz = configuration.electrical.drivers.chopping_hz
    volts = configuration.electrical.supply.open_circuit_v
    if hertz is not None and 10.0 <= hertz <= 200.0 and volts > WET_CONTACT_CHOPPED_V:
        yield Finding(
            "slow-chopping",
            "note",
            f"{volts:g} V chopped at {hertz:g} Hz: for wet contact an electrical code names 12.4 V peak as"
            " the limit between 10 and 200 Hz, and leaves people in the water out altogether",
            "/electrical/drivers/chopping_hz",
            volts,
            WET_CONTACT_CHOPPED_V,
            WET_CONTACT_CHOPPED_V - volts,
            "V",
            "a chopping frequency above 200 Hz; nobody in the water while it is powered",
        )
