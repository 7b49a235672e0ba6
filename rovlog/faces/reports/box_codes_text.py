"""A surface box's code tables in words: what each number stored in it means."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.box_codes import Codes


def codes_data(codes: Codes) -> dict[str, Any]:
    """The code tables of one firmware as data."""
    rows = {"steering_schemes": codes.table.steering_schemes, "thruster_maps": codes.table.thruster_maps}
    return {
        "box": codes.box,
        "firmware": codes.firmware,
        "firmware_now": codes.now,
        "firmwares": list(codes.known),
        **{
            name: {str(number): {"name": e.name, **e.value} for number, e in sorted(entries.items())}
            for name, entries in rows.items()
        },
    }


def codes_text(codes: Codes) -> str:
    """What each number means under one firmware, in words."""
    now = "its present one" if codes.firmware == codes.now else f"it has {clean(codes.now)} now"
    lines = wrapped(f"{codes.box}, firmware {clean(codes.firmware)} ({now})")
    for number, entry in sorted(codes.table.steering_schemes.items()):
        lines += [
            "",
            *wrapped(f"steering scheme {number}" + (f": {clean(entry.name)}" if entry.name else "")),
        ]
        for control, rows in entry.value.get("controls", {}).items():
            said = "; ".join(_drives(row) for row in rows)
            lines += wrapped(f"{clean(control.replace('-', ' '))}: {said}", 2, 4)
    for number, entry in sorted(codes.table.thruster_maps.items()):
        lines += ["", *wrapped(f"thruster map {number}" + (f": {clean(entry.name)}" if entry.name else ""))]
        for demand, shares in entry.value.get("shares", {}).items():
            said = ", ".join(f"channel {c} {float(s):+g}" for c, s in shares.items())
            lines += wrapped(f"{clean(demand)}: {said}", 2, 4)
        how = {"scale": "all channels are reduced alike", "clip": "that channel is cut to full"}
        rule = how.get(str(entry.value.get("when_saturated")), "")
        lines += wrapped(f"when a channel would pass full: {rule}", 2, 4) if rule else []
    others = [clean(f) for f in codes.known if f != codes.firmware]
    lines += ["", *wrapped(f"tables of other firmwares: {', '.join(others)}")] if others else []
    return "\n".join(lines) + "\n"


def _drives(row: Mapping[str, Any]) -> str:
    drives = clean(str(row.get("drives", "")).replace("-", " "))
    shaped = ["reversed"] if row.get("reversed") else []
    if row.get("full_stick", 1) != 1:
        shaped.append(f"full throw {float(row['full_stick']):.0%}".replace("%", " %"))
    if row.get("dead_band"):
        shaped.append(f"nothing in the first {float(row['dead_band']):.0%}".replace("%", " %"))
    if row.get("cubic_share"):
        shaped.append(f"{float(row['cubic_share']):.0%} cubic".replace("%", " %"))
    return drives + (f" ({', '.join(shaped)})" if shaped else "")
