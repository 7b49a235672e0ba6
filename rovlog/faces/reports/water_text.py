"""Buoyancy, ballast, pressure and vacuum hold in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.hydrostatics.buoyancy import Buoyancy
    from rovlog.domain.hydrostatics.pressure import Pressure
    from rovlog.domain.hydrostatics.righting import Righting
    from rovlog.domain.hydrostatics.rise import Rise
    from rovlog.domain.hydrostatics.water import Water
    from rovlog.usecases.compute_ballast import BallastChange
    from rovlog.usecases.compute_budget import Floating
    from rovlog.usecases.judge_vacuum import JudgedVacuum
    from rovlog.usecases.vacuum_holds import EarlierHolds

SEAL_CAUTION = (
    "A vacuum of 25 kPa loads a seal like 2.5 m of water, no more:"
    " it finds a leak, it does not prove a depth."
)

OUTSIDE_WORDS = {
    "given": "both read",
    "taken-as-unchanged": "read once, taken as unchanged",
    "assumed": "assumed, standard atmosphere; a change of the weather shows as a change of the vacuum",
}


def water_words(water: Water) -> str:
    """ "salt water, 12 °C, salinity 33"; says where the salinity is assumed."""
    words = f"{water.kind} water, {water.temperature_c:g} °C"
    if water.salinity_taken is None:
        return words + ", salinity not known"
    if water.kind == "fresh" and water.salinity is None:
        return words
    return f"{words}, salinity {water.salinity_taken:g}" + (" (assumed)" if water.is_assumed else "")


def ballast_data(change: BallastChange) -> dict[str, Any]:
    """The ballast change as `rovlog ballast --json` gives it."""

    def water(value: Water, density: float) -> dict[str, Any]:
        return {
            "kind": value.kind,
            "temperature_c": value.temperature_c,
            "salinity": value.salinity_taken,
            "salinity_assumed": value.is_assumed,
            "density_kg_m3": density,
        }

    return {
        "vehicle": change.vehicle,
        "change_kg": change.change_kg,
        "from": water(change.from_water, change.from_density_kg_m3),
        "to": water(change.to_water, change.to_density_kg_m3),
        "ballast_density_kg_m3": change.ballast_density_kg_m3,
        "net_up_n": change.net_up_n,
        "net_up_unchanged_n": change.net_up_unchanged_n,
    }


def ballast_text(change: BallastChange) -> str:
    """The ballast change in words, its inputs under it."""
    grams = change.change_kg * 1000.0
    if abs(grams) < 0.5:
        head = f"{change.vehicle}: no ballast to change (under half a gram)."
    else:
        deed = "add" if grams > 0.0 else "take off"
        head = f"{change.vehicle}: {deed} {abs(grams):.0f} g of ballast to float as it did."
    return "\n".join(
        [
            head,
            f"  from    {water_words(change.from_water)}: {change.from_density_kg_m3:.2f} kg/m3 (computed)",
            f"  to      {water_words(change.to_water)}: {change.to_density_kg_m3:.2f} kg/m3 (computed)",
            f"  without the change it would go from {force_words(change.net_up_n)}"
            f" to {force_words(change.net_up_unchanged_n)}, without tether.",
            f"  Computed from hull.displaced_volume_m3 and ballast of {change.ballast_density_kg_m3:g} kg/m3;"
            " try it in the water.",
        ]
    )


def force_words(net_up_n: float) -> str:
    """A vertical force with its direction in words and as grams: "1.52 N up (155 g light)"."""
    grams = abs(net_up_n) / 9.80665 * 1000.0
    if grams < 0.5:
        return "0.00 N (neutral)"
    way, word = ("up", "light") if net_up_n > 0.0 else ("down", "heavy")
    return f"{abs(net_up_n):.2f} N {way} ({grams:.0f} g {word})"


def vacuum_data(judged: JudgedVacuum) -> dict[str, Any]:
    """The hold as `rovlog vacuum --json` gives it."""
    hold = judged.hold
    return {
        "corrected_rise_kpa": hold.corrected_rise_kpa,
        "apparent_rise_kpa": hold.apparent_rise_kpa,
        "uncertainty_kpa": hold.uncertainty_kpa,
        "limit_kpa": hold.limit_kpa,
        "margin_kpa": hold.margin_kpa,
        "verdict": hold.verdict,
        "reason": hold.reason,
        "start": _reading_data(judged.start.below_kpa, judged.start.temperature_c, judged.start.outside_kpa),
        "end": _reading_data(judged.end.below_kpa, judged.end.temperature_c, judged.end.outside_kpa),
        "outside": judged.outside,
        "gauge_uncertainty_kpa": judged.gauge_uncertainty_kpa,
        "thermometer_uncertainty_k": judged.thermometer_uncertainty_k,
        "earlier_rises_kpa": list(judged.earlier_rises_kpa),
        "earlier": None if judged.earlier is None else _earlier_data(judged.earlier),
        "usual_kpa": hold.usual_kpa,
        "is_unusual": hold.is_unusual,
        "caution": SEAL_CAUTION,
    }


def _earlier_data(earlier: EarlierHolds) -> dict[str, Any]:
    return {
        "vehicle": earlier.vehicle,
        "housing": earlier.housing or None,
        "holds": [
            {"record": h.record, "at": h.at, "corrected_rise_kpa": h.rise_kpa, "passed": h.has_passed}
            for h in earlier.holds
        ],
        "note": earlier.note or None,
    }


def _earlier_lines(earlier: EarlierHolds) -> list[str]:
    """Each earlier hold with its day; one that did not pass is said so and left out of the usual."""
    of = f" of {clean(earlier.housing)}" if earlier.housing else ""
    if not earlier.holds:
        return [f"  earlier holds   {earlier.note}"]
    lines = [f"  earlier holds{of}, from the records of {earlier.vehicle}:"]
    for h in earlier.holds:
        failed = "" if h.has_passed else "  did NOT pass, not counted in the usual"
        lines.append(f"    {h.at[:10]}  {h.rise_kpa:5.2f} kPa  {h.record}{failed}")
    return lines


def _reading_data(below_kpa: float, temperature_c: float, outside_kpa: float) -> dict[str, float]:
    return {
        "below_kpa": below_kpa,
        "temperature_c": temperature_c,
        "outside_kpa": outside_kpa,
        "absolute_kpa": outside_kpa - below_kpa,
    }


def vacuum_text(judged: JudgedVacuum) -> str:
    """The hold in words: the verdict first, then what it rests on, the caution last."""
    hold = judged.hold
    verdict = {"held": "HELD", "lost": "LOST", "cannot-judge": "CANNOT JUDGE"}[hold.verdict]
    lines = [
        f"Vacuum hold: {verdict}: {hold.reason}.",
        f"  corrected rise  {hold.corrected_rise_kpa:.2f} ± {hold.uncertainty_kpa:.2f} kPa"
        f"  limit {hold.limit_kpa:g} kPa  (computed on absolute pressures)",
        f"  gauge alone     {hold.apparent_rise_kpa:+.2f} kPa",
        f"  start           {_reading_words(judged.start.below_kpa, judged.start.temperature_c)},"
        f" {hold.start_absolute_kpa:.2f} kPa absolute",
        f"  end             {_reading_words(judged.end.below_kpa, judged.end.temperature_c)},"
        f" {hold.end_absolute_kpa:.2f} kPa absolute",
        f"  outside         {_outside_words(judged)}",
        f"  uncertainty     gauge {judged.gauge_uncertainty_kpa:g} kPa, thermometer"
        f" {judged.thermometer_uncertainty_k:g} K a reading, doubled (about 95 %)",
    ]
    if judged.earlier is not None:
        lines += _earlier_lines(judged.earlier)
    if hold.usual_kpa is not None:
        rises = ", ".join(f"{kpa:.2f}" for kpa in judged.earlier_rises_kpa[-5:])
        unusual = "; over twice its usual: look at the seals" if hold.is_unusual else ""
        listed = f"  earlier holds   {rises} kPa, usual" if judged.earlier is None else "  usual          "
        lines.append(f"{listed} {hold.usual_kpa:.2f} kPa{unusual}")
    return "\n".join([*lines, f"  {SEAL_CAUTION}"])


def _reading_words(below_kpa: float, temperature_c: float) -> str:
    return f"{below_kpa:.2f} kPa below outside at {temperature_c:g} °C"


def _outside_words(judged: JudgedVacuum) -> str:
    start, end = judged.start.outside_kpa, judged.end.outside_kpa
    figures = f"{start:g} kPa" if start == end else f"{start:g} then {end:g} kPa"
    return f"{figures} ({OUTSIDE_WORDS[judged.outside]})"


def buoyancy_text(buoyancy: Buoyancy) -> str:
    """Net force, tether and trim in words, a line each."""
    lines = [
        f"net force     {force_words(buoyancy.net_up_n)} with the power off"
        f" (computed: mass, volume, water of {buoyancy.density_kg_m3:.2f} kg/m3)",
    ]
    if buoyancy.tether_lift_n:
        way = "down" if buoyancy.tether_lift_n < 0.0 else "up"
        lines.append(
            f"  of which    tether {abs(buoyancy.tether_lift_n):.2f} N {way},"
            f" {buoyancy.hanging_m:g} m hanging; its weight a metre is used as recorded, in any water"
        )
    if buoyancy.heave_trim is None:
        lines.append(f"heave trim    none: {buoyancy.heave_trim_reason}")
    else:
        cost = (
            ""
            if buoyancy.endurance_lost is None
            else f", {buoyancy.endurance_lost:.0%} of the endurance at rest"
        )
        lines.append(
            f"heave trim    {buoyancy.heave_trim:.2f} down holds depth,"
            f" {buoyancy.heave_trim_current_a or 0.0:.2f} A{cost} (computed, nominal)"
        )
    return "\n".join(lines)


def pressure_text(pressure: Pressure) -> str:
    """Gauge pressure against the weakest housing in words."""
    head = f"pressure      {pressure.gauge_kpa:.0f} kPa gauge at {pressure.depth_m:g} m"
    if pressure.rating_kpa is None or pressure.margin is None or pressure.depth_margin_m is None:
        return f"{head}; no housing is recorded"
    rated = f"weakest housing {pressure.weakest} is rated {pressure.rating_kpa:.0f} kPa"
    if pressure.margin < 0.0:
        return f"{head}; {rated}: BEYOND its rating by {-pressure.depth_margin_m:.1f} m"
    return f"{head}; {rated}, margin {pressure.margin:.0%}, {pressure.depth_margin_m:.1f} m left"


def rise_text(rise: Rise) -> str:
    """The rise with hands off in words."""
    if rise.rise_time_s is None:
        return f"rise          no figure: {rise.reason}"
    return (
        f"rise          {rise.rise_time_s:.1f} s from rest at {rise.depth_m:g} m, hands off"
        f" ({rise.terminal_m_s:.2f} m/s at full speed; computed from hull.drag_area_m2, added mass half the"
        " displaced water)"
    )


def righting_text(righting: Righting) -> str:
    """Still attitude and stiffness in words."""
    if not righting.is_upright:
        return "attitude      TURNS OVER: the centre of buoyancy is not above the centre of mass"
    roll, pitch = righting.rest_roll_deg, righting.rest_pitch_deg
    side = "starboard" if roll > 0.0 else "port"
    bow = "up" if pitch > 0.0 else "down"
    return (
        f"attitude      rests {abs(roll):.1f}° down to {side}, bow {abs(pitch):.1f}° {bow};"
        f" righting moment {righting.moment_n_m_per_degree:.3f} N m a degree (computed from the two centres)"
    )


def floating_lines(floating: Floating) -> list[str]:
    """All that a water makes of a configuration, a line or two each, for the budget."""
    floats = floating.buoyancy
    lines = [buoyancy_text(floats), pressure_text(floating.pressure), rise_text(floating.rise)]
    if floating.righting is None:
        lines.append(
            "attitude      not known: the record gives no hull.centre_of_mass_m and centre_of_buoyancy_m"
        )
    else:
        lines.append(righting_text(floating.righting))
    if floating.ballast_to_neutral_kg is not None:
        lines.append(_neutral_words(floating.ballast_to_neutral_kg, floats.net_up_n))
    head = f"Water of {floats.density_kg_m3:.1f} kg/m3, {floats.depth_m:g} m deep"
    return [head, *("  " + line for text in lines for line in text.split("\n"))]


def _neutral_words(change_kg: float, net_up_n: float) -> str:
    grams = abs(change_kg) * 1000.0
    if grams < 0.5:
        return "ballast       neutral as it is; a little light is better: it comes up by itself"
    if net_up_n < 0.0:
        return f"ballast       take off {grams:.0f} g to be neutral, and some more to be light (computed)"
    return (
        f"ballast       {grams:.0f} g more would make it neutral (computed); kept light it comes up by"
        " itself; another water: rovlog ballast"
    )
