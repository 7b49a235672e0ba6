"""Words for pages of help: what a subcommand does, what an argument stands for, unless it says itself."""

from __future__ import annotations

from collections.abc import Mapping

PAGES: Mapping[str, str] = {
    "rovlog vehicle list": """\
Every vehicle with the revision in force, whether its working files depart from it, who has it
while it is lent, and its open dives.""",
    "rovlog vehicle show": """\
What a configuration does, in words first: what each control and each demand makes the vehicle
do, how far the thrusters reach, the greatest current of each channel, and what was found.""",
    "rovlog vehicle approve": """\
Approve what the working files say as the next revision: the baseline that dives are held to.
Every finding that would stop a dive asks for a reason; without all of them nothing is approved.
The files and the approval are committed.""",
    "rovlog vehicle withdraw": """\
Withdraw an approval, with the reason. The approval stays on file; the greatest revision that is
not withdrawn is in force.""",
    "rovlog vehicle compare": """\
Every difference between two configurations, leaf by leaf, with what each does physically and
what all of them do together.""",
    "rovlog vehicle history": """\
The revisions of a vehicle, newest first, with who approved them and why; or, with a pointer,
every value that one field has had.""",
    "rovlog box ports": "The serial ports of this computer; it opens not one of them.",
    "rovlog box read": """\
Hear what the box says it holds, over its port or from bytes that were kept, compare it with the
baseline, and record it where a record is named.""",
    "rovlog box codes": """\
What each number stored in the box means: its steering schemes and thruster maps, under its
present firmware or an earlier one.""",
    "rovlog box emitter": """\
For whoever writes a box's firmware: the sentences it has to send, and C99 that sends them.""",
    "rovlog box restore": """\
Put the approved setup back: by the port where the box accepts it, else by hand with the
builder's own words; then read it back, which alone proves it.""",
    "rovlog box pretend": """\
A stand-in box on a pseudo-terminal, to try reading with; it can be told to misbehave.""",
    "rovlog checklist list": "Every list of the logbook with its revision and how many items it has.",
    "rovlog checklist show": """\
One list in full: challenge, response, limits with where they come from, why, what voids an
answer.""",
    "rovlog checklist compare": """\
Items added, taken out and changed between two lists, or two revisions of one.""",
    "rovlog checklist history": "Who changed a list, when and why, from its commits.",
    "rovlog dive start": """\
Start a dive: who, where, in which water. The entry holds the baseline in force, the
configuration on the vehicle, and leaf by leaf where the two depart.""",
    "rovlog dive list": """\
The dives, newest first, with number, place, revision, faults, and which are open.""",
    "rovlog work start": """\
Start work on a vehicle or on a surface box: bench, tub, refit, repair, periodic care.""",
    "rovlog work list": "Work records, newest first.",
    "rovlog audit timeline": "Dives, work, faults, approvals and commits of a vehicle in one order.",
    "rovlog audit flown": """\
Which dives flew with a value at a pointer, and which did not; without a value, every value that
flew.""",
    "rovlog audit between": """\
Everything that differs between two dives: configuration, parts, crew, place, and what happened
between.""",
    "rovlog audit known-good": "The last dive without the symptom, and everything that changed since.",
    "rovlog audit field": "Every value a field has had: in commits, in approvals, in the water.",
    "rovlog audit suspects": """\
Every change in force on some dives and not on others, ranked by how well it goes with the
symptom, how recent it is, and whether it could do that physically. Changes that flew on the
same dives are one group.""",
    "rovlog part list": "Every part with where it is fitted, its hours, and what is due.",
    "rovlog part show": """\
One part in full: where it was fitted and when, its hours, what was done to it, what is due.""",
    "rovlog part due": "What is due or past due, over all parts.",
    "rovlog report flat": """\
Every entry of every record as one flat table, to read elsewhere: CSV, or JSON Lines.""",
    "rovlog completion bash": """\
The script that completes commands, options and the logbook's words in bash.""",
    "rovlog completion zsh": "The script that completes commands, options and the logbook's words in zsh.",
    "rovlog completion fish": """\
The script that completes commands, options and the logbook's words in fish.""",
    "rovlog completion words": """\
The words of the logbook that could stand next, one a line; the scripts call it.""",
    "rovlog report dive": """\
One dive on a page: head, what stopped it, marks, faults, lists, configuration as flown.""",
    "rovlog report checklist": """\
Any list on paper: every item with its code, what is asked, the values and limits of the
configuration, who answers, what it stops, and rules for the answer, the name and the time. With
--dive what is on record already is printed too. Type it back in with rovlog dive transcribe.""",
    "rovlog report vehicle": "One configuration on a page, with drawings of the thrusters.",
}
"""What a subcommand does, by its whole name."""

WORDS: Mapping[str, str] = {
    "VEHICLE": "a vehicle's id; grebe@3 for a revision where a configuration is meant",
    "VEHICLE|BOX": "a vehicle's id, or a surface box's",
    "VEHICLE|DIVE": "a vehicle: as it is now; a dive: as it was then",
    "VEHICLE@N": "a revision, as grebe@3",
    "A": "the one; grebe, grebe@3, grebe@<commit> or a dive; of lists pre-dive or pre-dive@<commit>",
    "B": "the other, named alike",
    "BOX": "a surface box's id",
    "PART": "a part's id",
    "DIVE": "a dive's id",
    "CHECKLIST": "a list's id, as pre-dive",
    "POINTER": "RFC 6901, into the resolved configuration, as /trim_defaults/heave",
    "VALUE": "the value, as the configuration has it",
    "DAY": "a day, as 2026-06-01",
    "PERSON": "who, by the id of logbook.yaml",
    "ITEM": "the item's id or its code",
    "TEXT": "in words, on one line",
    "ROLE=PERSON": "supervisor, pilot, tender or technician, and who",
    "FIELD=VALUE": "a field of the entry, and what it should be",
    "CONTROL=POSITION": "a control by its place, and how far it was pushed",
    "--reason": "why, in a few words",
    "--site": "where, as the team calls it",
    "--text": "in words, on one line",
    "--pointer": "RFC 6901, into the resolved configuration",
    "--depth-m": "depth, metres",
    "--visibility-m": "how far one can see, metres",
    "--water": "kind:temperature[:salinity], as fresh:20 or salt:12:35",
    "--source": "seen, measured, computed, box-read or paper",
    "--link": "what it says of its link to the vehicle",
    "--outputs": "what it says of its thruster outputs",
    "--replaces": "the part that was there before",
    "--crew": "who does what today, as pilot=tamsin",
}
"""What an argument stands for, by its option or by the name it is shown with."""
