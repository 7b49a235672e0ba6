"""Entry point of the `rovlog` command and of `python -m rovlog`."""

from __future__ import annotations

import os
import sys


def main() -> int:
    """Run the command line; answers `--version` before anything else is imported."""
    if sys.argv[1:] == ["--version"] and sys.stdout is not None:
        from rovlog import __version__

        try:
            sys.stdout.write(f"rovlog {__version__}\n")
            sys.stdout.flush()
        except OSError as error:
            from rovlog.faces.cli.main import not_written

            return not_written(error, sys.stdout, sys.stderr)
        return 0
    # Six by six is too small for threads, and making them is a fifth of what numpy takes to import.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from rovlog.faces.cli.main import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
