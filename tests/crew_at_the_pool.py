"""A crew that answers every item of a list by the command line, with values that fit the hand-written vehicles."""

# ruff: noqa: E501 - a table of values
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calling import Called, CommandLine

CREW = {"supervisor": "nora", "pilot": "tomas", "tender": "ife", "technician": "ife"}

VALUES = {
    "supply_from_edge": "3", "depth": "3", "visibility": "4", "flow": "0,1", "wind": "2", "people": "2",
    "rating": "15", "label": "jet-1", "planned": "30", "closed": "4", "below_outside": "25",
    "start_below": "25", "start_temperature": "14", "end_below": "24,9", "end_temperature": "14",
    "needed": "6", "mated": "4", "blanked": "0", "pieces": "3", "sag": "0.4", "largest": "1", "least": "98",
    "steering_scheme": "3", "thruster_map": "2", "stop_time": "0.4", "pushes": "6", "thrusters_still": "0",
    "clock_off": "1", "lag": "120", "watched": "150", "rise_time": "8", "pitch": "1", "roll": "0",
    "heave": "0.07", "surge": "0", "sway": "0", "yaw": "0", "lowest": "11,9", "end": "12.3", "charged_at": "home",
    "outside_start": "101.3", "outside_end": "101.3", "voltage": "12.6",
}  # fmt: skip

OF_ITEM = {
    "idle-current": {"current": "0.35"},
    "hardest-manoeuvre": {"voltage": "12.2", "current": "6.6"},
}

PUSHES = {
    "left-stick-y=-0.3": "aft-port=ahead aft-starboard=ahead lift-port=still lift-starboard=still",
    "left-stick-y=0.3": "aft-port=astern aft-starboard=astern",
    "right-stick-x=0.3": "aft-port=ahead aft-starboard=astern",
    "right-stick-x=-0.3": "aft-port=astern aft-starboard=ahead",
    "right-stick-y=0.2": "lift-port=up lift-starboard=up",
    "right-stick-y=-0.3": "lift-port=down lift-starboard=down",
}
"""What the function test of `auk` shows where nothing is wrong."""


class CrewAtThePool:
    """One crew working through the lists of one dive of `auk`."""

    def __init__(self, line: CommandLine, dive: str, values: dict[str, str] | None = None) -> None:
        self.line = line
        self.dive = dive
        self.values = {**VALUES, **(values or {})}

    def read_box(self, *in_use: str, status: int | None = 0) -> Called:
        """Type in what the surface box shows."""
        shown = in_use or ("steering_scheme=3", "thruster_map=2", "trim.heave=0.07")
        return self.line("dive", "readback", self.dive, "--in-use", *shown, "--by", "ife", status=status)

    def push(self) -> None:
        """Record the function test."""
        for push, seen in PUSHES.items():
            words = ("--push", push, "--seen", *seen.split(), "--by", "tomas")
            # The test is quicker than any crew: the rest in air is not kept, which is named with status 1.
            self.line("dive", "observe", self.dive, *words, status=None)

    def open_items(self, checklist: str) -> Iterator[dict[str, Any]]:
        """The items of a list that are still to be answered, in order."""
        shown = self.line.json("dive", "show", self.dive)["items"]
        for section in self.line.json("checklist", "show", checklist)["sections"]:
            for item in section["items"]:
                if shown[item["item"]]["state"] not in ("answered", "not-applicable"):
                    yield item

    def answer(self, item: dict[str, Any]) -> None:
        """Answer one item, by whoever it is for; the second person answers where one is asked."""
        by = item["by"] if isinstance(item["by"], str) else item["by"][0]
        who = CREW.get(by, "nora")
        if item["kind"] == "release":
            self.line("dive", "release", self.dive, item["item"], "--by", "nora")
            return
        words = self.words_of(item)
        self.line("dive", "tick", self.dive, item["item"], *words, "--by", who)
        if item["witness"] != "none":
            other = "nora" if who != "nora" else "tomas"
            again = self.words_of(item, is_blind=item["witness"] == "blind")
            self.line("dive", "tick", self.dive, item["item"], *again, "--by", other)

    def words_of(self, item: dict[str, Any], *, is_blind: bool = False) -> list[str]:
        """The values of an answer as they are typed; what is proposed is accepted, but by a blind second."""
        words: list[str] = []
        for ask in item.get("asks", []):
            if "proposed" not in ask or (is_blind and not ask.get("optional")):
                value = OF_ITEM.get(item["item"], {}).get(ask["value"], self.values.get(ask["value"]))
                words += ["--value", f"{ask['value']}={value}"]
        if item.get("options"):
            words += ["--value", f"choice={item['options'][0]}"]
        return words

    def work_through(self, checklist: str) -> int:
        """Answer what is open in a list, and make its completion calls; how many were answered."""
        count = 0
        for item in list(self.open_items(checklist)):
            if item["item"] in ("setup-readback", "recovery-readback"):
                self.read_box()
            if item["item"] == "direction":
                self.push()
            self.answer(item)
            count += 1
        for section in self.line.json("checklist", "show", checklist)["sections"]:
            self.line("dive", "complete", self.dive, checklist, section["section"], "--by", "nora")
        return count
