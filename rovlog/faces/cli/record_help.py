"""What each subcommand of dives and work does, in a sentence or two, for its page of help."""

from __future__ import annotations

from collections.abc import Mapping

DESCRIPTIONS: Mapping[str, str] = {
    "tick": """\
Answer an item of the lists, by its id or its code. Values are judged against the item's limits
at once; one that breaks its limit is kept as failed. A value that the program proposes need not
be typed. Where the item asks two people, the second one's answer is known by the person; a
blind one is given without seeing the first.""",
    "transcribe": """\
Type in what was answered on paper, a line an answer: the code in the margin, the time on the
paper, who answered, the values. All lines are checked first, and nothing is written while one
of them is wrong; then all are kept in one step. Given again, a sheet adds only what is new.

  B2 14:05 jory rating=15          # or in the order of the paper: B2 14:05 jory 15
  B2 14:07 elke 15 second          # the second person's own answer
  C2 14:10 jory second=elke        # a second person who watched
  A6 14:12 oona 3 4 0,1 2 text="gusts from the west"
  D5 14:15 jory failed             # deferred="why" and not-applicable="why" likewise
  A 14:20 oona                     # a group's completion call, or a hold point's release
  day 2026-09-13                   # the day of the times below

Without --file each open item is asked for in turn, and each line is kept at once. The entries
say source paper, clock memory, and who typed them.""",
    "waive": """\
Written, temporary leave for one thing: an item, a difference named by its pointer, or another
stop. Only the supervisor waives, with a reason and an end; what always stops the dive has no
waiver.""",
    "defer": """\
Put an item off, with the reason and by when. It comes back at the last look; deferred items are
read out before the launch.""",
    "not-applicable": """\
Say why an item does not apply today. What always stops the dive applies unless the
configuration itself says otherwise.""",
    "pause": """\
Pause the list. After a short pause the last item is asked again, after a long one its whole
group.""",
    "resume": "Go on after a pause, and hear what is asked again.",
    "complete": "Make a group's completion call, as spoken. Refused while an item of the group is open.",
    "release": """\
Release a hold point in your name. Refused while something before it is open, and to anybody but
the supervisor.""",
    "mark": """\
Mark a moment of the dive: power-on, in-water, off-surface, back-at-surface, out-of-water,
power-off. Hours of parts are counted from power on to power off.""",
    "event": "Record that something happened which voids answers: the items concerned are asked for again.",
    "trim": "Record a trim changed in the water, as a share of full demand; positive heave is down.",
    "setup": "Record what the pilot says is set in the surface box, by the names a readback has.",
    "readback": """\
Type in what the surface box shows, where it cannot be read over its port. It is compared with
the baseline at once: rovlog drift.""",
    "observe": """\
The function test, push by push: --next tells the next push, how far the stick goes and the
caution; --clear begins its burst once "clear" is called, and is refused in air before the rest
is over or past the day's seconds; --seen keeps where each thruster threw air or water: bow,
stern, port, starboard, up, down, none, unseen (or ahead, a push along its recorded direction,
astern, still). Nothing tells the observer what ought to be seen. What was seen is kept also
where the burst went beyond the limits in air; the excess is named, with status 1. rovlog
diagnose explains the pushes.""",
    "reading": "Record what an instrument said, each value with its unit in its name.",
    "fault": """\
Record a fault: what was seen, not why. The vehicle is then in quarantine until it is released
to service; rovlog audit suspects ranks what to blame.""",
    "note": "Write a note of one line.",
    "clock": """\
Say that the laptop's clock was compared with another one, and how far it is ahead. Within a
minute the times that this laptop writes in the record count as agreed: = beside them in
rovlog audit timeline, up to where its clock was set back.""",
    "crew": "Record a change of the crew. Items that asked the people who left are asked for again.",
    "place": "Record a change of place or of water during the record.",
    "fitted": "Record that a part with an identity was fitted; its hours count from here on.",
    "attach": "Keep a file of the logbook's folder as evidence, by its digest.",
    "correct": """\
Correct an entry by a further one. Nothing is deleted: the first text stays in the file, and
both are shown.""",
    "close": """\
Close the record: the close names how far each laptop's part is covered, by digest. Later
entries are legal, and shown as after the close. A record forgotten until next morning is closed
with --from-memory, and its times typed with --at, which marks them with ~.""",
    "show": """\
Show every list with its answers, what stops the dive and what would clear it, the marks, and
the configuration; with --entries every entry by its number, as correct wants it.""",
    "timer": "Start a timer that an item names; the item says when it has run out.",
    "propose": """\
Propose a change to the list from the item where it was missed; it is kept for whoever keeps the
lists.""",
    "card": "Log that an emergency card was opened; the card is shown whether or not it can be logged.",
}
