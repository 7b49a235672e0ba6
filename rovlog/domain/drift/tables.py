"""Code tables of a surface box: what each number it stores means, firmware by firmware."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass, field


@dataclass(frozen=True, slots=True)
class CodeEntry:
    """One number's meaning; `value` is as in the resolved object at /steering_scheme or /thruster_map."""

    name: str
    value: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class CodeTable:
    """The code tables of one firmware, by number."""

    steering_schemes: Mapping[int, CodeEntry] = field(default_factory=dict)
    thruster_maps: Mapping[int, CodeEntry] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BoxTables:
    """A box's code tables: `by_firmware` holds the present firmware's and every earlier one's."""

    box: str
    firmware: str
    by_firmware: Mapping[str, CodeTable]

    def scheme(self, firmware: str, number: int) -> CodeEntry | None:
        """What a steering scheme's number means under a firmware, None where the tables do not say."""
        table = self.by_firmware.get(firmware)
        return table.steering_schemes.get(number) if table else None

    def map(self, firmware: str, number: int) -> CodeEntry | None:
        """What a thruster map's number means under a firmware, None where the tables do not say."""
        table = self.by_firmware.get(firmware)
        return table.thruster_maps.get(number) if table else None


def box_tables(box: Mapping[str, Any]) -> BoxTables:
    """The tables of a box document given as plain values (keys may be numbers or their digits)."""
    tables = {str(box["firmware"]): _table(box)}
    for firmware, earlier in dict(box.get("other_firmwares", {})).items():
        tables[str(firmware)] = _table(earlier)
    return BoxTables(str(box["box"]), str(box["firmware"]), tables)


def _table(document: Mapping[str, Any]) -> CodeTable:
    schemes = {
        int(number): CodeEntry(str(entry.get("name", "")), {"controls": _controls(entry.get("controls", []))})
        for number, entry in dict(document.get("steering_schemes", {})).items()
    }
    maps = {
        int(number): CodeEntry(str(entry.get("name", "")), _map(entry))
        for number, entry in dict(document.get("thruster_maps", {})).items()
    }
    return CodeTable(schemes, maps)


def _controls(entries: Any) -> dict[str, list[dict[str, Any]]]:
    controls: dict[str, list[dict[str, Any]]] = {}
    for entry in entries:
        value = {k: v for k, v in entry.items() if k not in ("control", "name", "note", "notes")}
        controls.setdefault(str(entry["control"]), []).append(value)
    return controls


def _map(entry: Mapping[str, Any]) -> dict[str, Any]:
    shares = {
        str(demand): {str(channel): share for channel, share in channels.items()}
        for demand, channels in dict(entry.get("shares", {})).items()
    }
    rest = {k: v for k, v in entry.items() if k not in ("name", "note", "notes", "shares")}
    return {**rest, "shares": shares}
