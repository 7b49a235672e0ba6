"""`rovlog box …`: ports, reading, code tables, putting a setup back, and a stand-in to try it with."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, number, subcommands
from rovlog.problems import UsageError

SUMMARY = """The surface box: read what it holds, decode its numbers, put the approved setup back.

Opening a serial port may restart the box. It is opened by these commands only, each time by your
own act; never while a dive of it is marked in the water, unless its record says restarts_on_open: false."""

EXAMPLE = """
rovlog box ports
rovlog box read --port /dev/ttyUSB0 grebe --by tamsin
rovlog box codes amber-box --firmware 1.4
rovlog box restore --port /dev/ttyUSB0 grebe --by tamsin
"""


def add_arguments(parser: ArgumentParser) -> None:
    """The subcommands."""
    commands = subcommands(parser)
    ports = commands.add_parser(
        "ports", help="list the serial ports; opens none", epilog=example("rovlog box ports")
    )
    ports.set_defaults(run=run_ports)
    read = commands.add_parser(
        "read",
        help="read the box and record what it holds",
        epilog=example(
            "rovlog box read --port /dev/ttyUSB0 grebe --by tamsin\nrovlog box read --file kept.txt"
        ),
    )
    read.add_argument("words", nargs="*", metavar="- DIVE|WORK", help="- for standard input; whose record")
    read.add_argument("--port", metavar="DEV", help="the serial port")
    read.add_argument("--file", metavar="F", help="bytes that were kept, instead of a port")
    _add_line(read)
    read.add_argument("--by", metavar="PERSON", help="who reads it; needed to record it")
    read.set_defaults(run=_run_read)
    codes = commands.add_parser(
        "codes", help="what each number means", epilog=example("rovlog box codes amber-box --firmware 1.4")
    )
    codes.add_argument("box", metavar="BOX")
    codes.add_argument("--firmware", metavar="V", help="under which firmware (default: its present one)")
    codes.set_defaults(run=run_codes)
    emitter = commands.add_parser(
        "emitter",
        help="for firmware writers: what a box says, and C99 that says it",
        epilog=example("rovlog box emitter"),
    )
    emitter.set_defaults(run=run_emitter)
    restore = commands.add_parser(
        "restore",
        help="put the approved setup back, and prove it",
        epilog=example("rovlog box restore --port /dev/ttyUSB0 grebe --by tamsin"),
    )
    restore.add_argument(
        "record", metavar="DIVE|WORK", help="a record of the vehicle, or a vehicle with one open"
    )
    restore.add_argument("--port", metavar="DEV", required=True, help="the serial port")
    restore.add_argument("--by", metavar="PERSON", required=True)
    _add_line(restore)
    restore.set_defaults(run=_run_restore)
    _add_pretend(commands.add_parser(
        "pretend",
        help="a stand-in box on a pseudo-terminal",
        epilog=example("rovlog box pretend grebe --misbehave change-trim --after 20"),
    ))  # fmt: skip


def _add_line(parser: ArgumentParser) -> None:
    parser.add_argument("--baud", type=int, metavar="N", help="bits per second (default: as its record says)")
    parser.add_argument("--patience-s", type=number, default=10.0, metavar="S", help="how long to wait (10)")
    parser.add_argument("--yes", action="store_true", help="the caution was read: open without asking")


def _add_pretend(parser: ArgumentParser) -> None:
    parser.add_argument("vehicle", metavar="VEHICLE", help="whose approved setup it holds")
    parser.add_argument("--misbehave", nargs="+", default=[], action="extend", metavar="HOW",
                        help="drop-bytes, change-trim, other-firmware, vanish, reboot-on-open, flood, noise, "
                             "silent, replay, deaf")  # fmt: skip
    parser.add_argument("--after", type=number, metavar="S", help="seconds until change-trim or vanish")
    parser.add_argument(
        "--period-s", type=number, default=1.0, metavar="S", help="seconds between frames (1)"
    )
    parser.add_argument("--seconds", type=number, metavar="S", help="end after so long (default: stays)")
    parser.add_argument("--link", default="disconnected", choices=("connected", "disconnected", "unknown"))
    parser.add_argument("--outputs", default="isolated", choices=("enabled", "isolated", "unknown"))
    parser.set_defaults(run=_run_pretend)


def run(args: Namespace, context: Context) -> int:
    """Run the subcommand chosen."""
    return int(args.run(args, context))


def run_ports(args: Namespace, context: Context) -> int:
    """List the serial ports."""
    from rovlog.faces.reports.box_text import ports_data, ports_text
    from rovlog.wiring import box_ports

    ports = box_ports().ports()
    context.show(ports_data(ports), ports_text(ports))
    return Status.FINE


def run_codes(args: Namespace, context: Context) -> int:
    """Print what each number means."""
    from rovlog.faces.reports.box_codes_text import codes_data, codes_text
    from rovlog.usecases.box_codes import codes_of
    from rovlog.usecases.logbook import Logbook

    codes = codes_of(Logbook(context.book()), args.box, args.firmware)
    context.show(codes_data(codes), codes_text(codes))
    return Status.FINE


def run_emitter(args: Namespace, context: Context) -> int:
    """Print the description of the wire, and where the C files are."""
    from rovlog.wiring import emitter

    folder, text = emitter()
    context.show({"folder": folder, "text": text}, f"{text}\nThe C files are in {folder}\n")
    return Status.FINE


def checked_line(args: Namespace) -> None:
    """Refuse a speed or a patience that no line has."""
    if args.baud is not None and not 300 <= args.baud <= 10_000_000:
        raise UsageError(f"--baud is {args.baud}", "give bits per second, 300 to 10000000")
    if not 0 < args.patience_s <= 600:
        raise UsageError(f"--patience-s is {args.patience_s:g}", "give seconds, up to 600")


def _run_read(args: Namespace, context: Context) -> int:
    from rovlog.faces.cli.box_read import run_read

    checked_line(args)
    return run_read(args, context)


def _run_restore(args: Namespace, context: Context) -> int:
    from rovlog.faces.cli.box_restore import run_restore

    checked_line(args)
    return run_restore(args, context)


def _run_pretend(args: Namespace, context: Context) -> int:
    from rovlog.faces.cli.box_pretend import run_pretend

    return run_pretend(args, context)
