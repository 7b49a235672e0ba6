"""The git program: the one place that starts it, with nothing of the caller's surroundings leaking in."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping

from rovlog.problems import GitError
from rovlog.values import dataclass, field

if sys.platform == "win32":
    _NO_FILE = "nul"
else:
    _NO_FILE = "/dev/null"

TIME_LIMIT_S = 60.0
"""How long one call of git may take, seconds (project default): a signer may ask for a passphrase."""

NOT_INSTALLED = GitError(
    "git is not installed, or not found on the PATH",
    "install git (for instance: sudo apt install git) and check with: git --version",
)

_ALWAYS = (
    "--no-pager",
    "-c", "core.hooksPath=" + _NO_FILE,  # records are data: nobody's hooks run for them
    "-c", "core.fsmonitor=false",
    "-c", "core.fsync=added,reference",  # by itself git leaves new objects to the system's mercy
    "-c", "log.showSignature=false",
    "-c", "log.follow=false",
    "-c", "i18n.commitEncoding=UTF-8",
    "-c", "user.useConfigOnly=true",  # never a name guessed from the machine
)  # fmt: skip

_SURROUNDINGS = {
    "LC_ALL": "C",  # its sentences are told apart by their English words
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "file:ssh:https",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_LITERAL_PATHSPECS": "1",
}


_KEPT = ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM", "GIT_CONFIG_NOSYSTEM")
"""The only GIT_ variables let through: like HOME, they say where the person's own settings are."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a call of git gave: exit status, standard output, standard error."""

    code: int
    out: bytes
    err: str = field(repr=False)


def git_folder_above(folder: str) -> str | None:
    """The folder that holds the nearest `.git` at or above this one, whether or not git can use it."""
    while not os.path.lexists(os.path.join(folder, ".git")):
        parent = os.path.dirname(folder)
        if parent == folder:
            return None
        folder = parent
    return folder


class GitProgram:
    """git, run in one folder. Arguments are always a list; nothing goes through a shell."""

    def __init__(self, folder: str) -> None:
        """Take the folder, as an absolute path without links."""
        self.folder = folder

    def run(
        self,
        *arguments: str,
        given: bytes = b"",
        surroundings: Mapping[str, str] | None = None,
        time_limit_s: float = TIME_LIMIT_S,
    ) -> Answer:
        """Run git to its end, whatever its exit status.

        `given` is its standard input; `surroundings` are further environment variables.

        Raises:
            GitError: git is missing, cannot be started, or took longer than the limit.
        """
        import subprocess

        command, environment = self.command(arguments, surroundings)
        try:
            process = subprocess.Popen(
                command,
                cwd=self.folder,
                env=environment,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
            )
        except OSError as error:
            raise self._not_started(error) from error
        with process:
            try:
                out, err = process.communicate(given, timeout=time_limit_s)
            except subprocess.TimeoutExpired as error:
                process.terminate()  # lets git take its lock files away, which a kill would not
                try:
                    process.communicate(timeout=5)
                except subprocess.TimeoutExpired:
                    process.kill()
                raise GitError(
                    f"git did not answer within {time_limit_s:.0f} seconds (git {arguments[0]})",
                    f"try it by hand: git -C {self.folder} status",
                ) from error
        return Answer(process.returncode, out, err.decode("utf-8", "replace"))

    def command(
        self, arguments: tuple[str, ...], surroundings: Mapping[str, str] | None = None
    ) -> tuple[list[str], dict[str, str]]:
        """The command line and the whole environment for these arguments."""
        environment = {
            name: value
            for name, value in os.environ.items()
            if name in _KEPT or not (name.upper().startswith("GIT_") or name == "LANGUAGE")
        }
        environment.update(_SURROUNDINGS)
        above = git_folder_above(self.folder)
        if above:
            # If git cannot use this .git it must say so, not go on to a repository further out.
            environment["GIT_CEILING_DIRECTORIES"] = os.path.dirname(above)
        environment.update(surroundings or {})
        return ["git", *_ALWAYS, *arguments], environment

    def _not_started(self, error: OSError) -> GitError:
        if not os.path.isdir(self.folder):
            return GitError(f"the folder {self.folder} is gone", "look where the logbook has gone")
        if isinstance(error, FileNotFoundError):
            return NOT_INSTALLED
        return GitError(f"git cannot be started: {os.strerror(error.errno or 0)}", NOT_INSTALLED.mend)
