"""The surface box in words: its ports, the cautions, and what it says it holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.columns import table, wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.documents.readback_frame import BoxFrame
    from rovlog.domain.drift.tables import BoxTables, CodeEntry
    from rovlog.usecases.box_port import PortSeen
    from rovlog.usecases.hear_box import Heard
    from rovlog.usecases.read_box import ReadBox

LAPTOP_CAUTION = (
    "CAUTION  Laptop on its own battery, charger unplugged: a laptop on mains ties the vehicle's low-voltage "
    "side to the mains earth."
)

RESTART_CAUTION = (
    "CAUTION  Opening the port may restart the box: thrusters isolated, hands clear of them. Trim that was "
    "not stored is lost."
)


def cautions_text(*cautions: str) -> str:
    """Cautions, each in lines of 80 columns; they stand before the step they guard."""
    return "\n".join(line for caution in cautions for line in wrapped(caution, hanging=9)) + "\n"


def ports_data(ports: Sequence[PortSeen]) -> dict[str, Any]:
    """The ports as data."""
    rows = [{"device": p.device, "description": p.description, "hardware": p.hardware} for p in ports]
    return {"ports": rows}


def ports_text(ports: Sequence[PortSeen]) -> str:
    """The ports by name; none was opened."""
    if not ports:
        return "The system lists no serial port. Plug the box in and look again.\n"
    rows = [(clean(p.device), clean(p.description)) for p in ports]
    return "\n".join([*table(rows), "None of them was opened."]) + "\n"


def heard_data(heard: Heard) -> dict[str, Any]:
    """A frame as data."""
    frame = heard.frame
    return {
        "box": frame.box,
        "firmware": frame.firmware,
        "frame": frame.frame,
        "boots": frame.boots,
        "uptime_s": frame.uptime_s,
        "in_use": dict(frame.in_use),
        "stored": None if frame.stored is None else dict(frame.stored),
        "link": frame.link,
        "outputs": frame.outputs,
        "supply_v": frame.supply_v,
        "hours": frame.hours,
        "dropped": [{"what": words, "count": count} for words, count in heard.dropped],
    }


def read_data(heard: Heard, read: ReadBox | None) -> dict[str, Any]:
    """A frame and where it was recorded, as data; nulls where it was not recorded."""
    return heard_data(heard) | {
        "restarted": bool(read.entry.fields.get("restarted")) if read else heard.has_restarted,
        "record": read.record if read else None,
        "entry": read.entry.id if read else None,
        "evidence": read.evidence if read else None,
        "doubts": list(read.doubts) if read else [],
        "notes": list(read.notes) if read else [],
    }


def heard_text(heard: Heard, tables: BoxTables | None) -> str:
    """What the box says it holds, in words; `tables` None where the box is not on file."""
    frame = heard.frame
    lines = wrapped(
        f"{clean(frame.box)}, firmware {clean(frame.firmware)}: start {frame.boots}, on for "
        f"{_span(frame.uptime_s)}; frame {frame.frame}"
    )
    lines += ["in use:", *_setting(frame, frame.in_use, tables)]
    if frame.stored is None:
        lines.append("stored: the box does not say")
    elif frame.stored == frame.in_use:
        lines.append("stored: the same")
    else:
        lines += ["stored, for the next start:", *_setting(frame, frame.stored, tables)]
    state = [f"control link {frame.link}", f"thrusters {frame.outputs}"]
    state += [f"supply {frame.supply_v:.2f} V"] if frame.supply_v is not None else []
    state += [f"{frame.hours:.1f} running hours"] if frame.hours is not None else []
    lines += wrapped("; ".join(state))
    if heard.dropped:
        what = ", ".join(f"{words} ({count})" for words, count in heard.dropped)
        lines += wrapped(f"dropped before it: {what}", hanging=2)
    return "\n".join(lines) + "\n"


def read_text(heard: Heard, tables: BoxTables | None, read: ReadBox | None) -> str:
    """What the box says, then what was recorded and what is doubtful about it."""
    text = heard_text(heard, tables)
    if read is None:
        return text + "not recorded: name a dive or work, and --by\n"
    lines = [line for d in read.doubts for line in wrapped(f"LOOK  {clean(d)}", hanging=6)]
    lines += [line for n in read.notes for line in wrapped(f"note: {clean(n)}", hanging=6)]
    lines += wrapped(f"kept on {read.record}: the readback, and its bytes in {read.evidence}", hanging=2)
    return text + "\n".join(lines) + "\n"


def _setting(frame: BoxFrame, setting: Mapping[str, Any], tables: BoxTables | None) -> list[str]:
    rows = []
    for key, value in setting.items():
        if key == "trim":
            rows += [trim_words(d, float(s)) for d, s in value.items()] or ["no trim"]
        elif key == "power_limit":
            rows.append(f"power limit {value:.0%}".replace("%", " %"))
        else:
            look_up = {"steering_scheme": "scheme", "thruster_map": "map"}.get(key)
            entry = getattr(tables, look_up)(frame.firmware, value) if tables and look_up else None
            rows.append(_named(clean(key.replace("_", " ")), value, entry, bool(look_up)))
    return [line for row in rows for line in wrapped(row, 2, 4)]


def _named(words: str, value: Any, entry: CodeEntry | None, has_table: bool) -> str:
    if entry is None:
        return f"{words} {value}" + (": what it means is not in the code tables" if has_table else "")
    return f"{words} {value}" + (f": {clean(entry.name)}" if entry.name else "")


def _span(seconds: int) -> str:
    if seconds < 120:
        return f"{seconds} s"
    minutes = seconds // 60
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"
