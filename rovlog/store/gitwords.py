"""What git's complaints mean for a logbook, in one sentence each with the mend."""

from __future__ import annotations

from rovlog.problems import GitError
from rovlog.store.gitprogram import git_folder_above

WHO_ARE_YOU = GitError(
    "git does not know your name and e-mail",
    "git config --global user.name 'Your Name' && git config --global user.email you@example.org",
)

DAMAGED = (
    "is empty",
    "is corrupt",
    "corrupt loose object",
    "unable to read tree",
    "unable to unpack",
    "unable to mmap",
    "bad tree object",
    "bad object",
    "object corrupt or missing",
    "could not parse commit",
    "could not get object info",
    "not a tree object",
    "failed to read object",
)
"""Parts of git's sentences about an object that cannot be read."""

_DAMAGED_INDEX = (
    "index file smaller than expected",
    "index file corrupt",
    "bad signature",
    "bad index version",
)


def is_damage(err: str) -> bool:
    """True if git complains of a damaged object."""
    return any(words in err for words in DAMAGED)


def is_locked(err: str) -> bool:
    """True if git found a lock file of another git."""
    return ".lock': File exists" in err


def explained(err: str, folder: str) -> GitError:
    """The error for what git wrote on its standard error while working in this folder."""
    for words, error in _explanations(folder):
        if any(w in err for w in words):
            return error
    if is_damage(err):
        return GitError(
            f"git's store is damaged: {_gist(err)}",
            f"git -C {folder} fsck --full lists what is damaged; fetch it again from another copy",
        )
    return GitError(f"git refused: {_gist(err)}", f"look with: git -C {folder} status")


def lock_file(err: str) -> str:
    """The path of the lock file that git found in its way, or ""."""
    _, _, rest = err.partition("Unable to create '")
    path, sign, _ = rest.partition("'")
    return path if sign else ""


def _explanations(folder: str) -> list[tuple[tuple[str, ...], GitError]]:
    above = git_folder_above(folder)
    return [
        (
            ("dubious ownership",),
            GitError(
                "git refuses this repository because its folder belongs to another user",
                f'make it yours (sudo chown -R "$USER" {above or folder}) or, if you trust who owns it: '
                f"git config --global --add safe.directory {above or folder}",
            ),
        ),
        (
            ("not a git repository", "invalid gitfile format"),
            GitError(
                f"git cannot use its own folder {above}/.git: it is damaged or not complete",
                f'look at {above}/.git/HEAD: it should read "ref: refs/heads/main" (or your branch)',
            )
            if above
            else GitError("this logbook is not under git", f"git -C {folder} init -b main"),
        ),
        (
            ("must be run in a work tree",),
            GitError("this logbook lies inside a bare repository", "move it into a repository with files"),
        ),
        (("identity unknown", "no email was given", "no name was given", "empty ident name"), WHO_ARE_YOU),
        (
            ("failed to sign", "failed to write commit object", "gpg failed", "Load key", "signingkey"),
            GitError(
                "git could not sign the commit",
                "unlock or set your signing key (git config user.signingkey), or for this logbook alone: "
                f"git -C {folder} config commit.gpgsign false",
            ),
        ),
        (("No space left on device",), GitError("git found the disk full", "free some space on the disk")),
        (
            ("Read-only file system",),
            GitError("git found the disk mounted read-only", "commit again once the disk can be written"),
        ),
        (
            ("Permission denied", "insufficient permission"),
            GitError(
                "git may not write in its own folder",
                f'give yourself the right to: sudo chown -R "$USER" {above or folder}',
            ),
        ),
        (
            _DAMAGED_INDEX,
            GitError(
                "git's staging area is damaged",
                f"rm {above}/.git/index && git -C {above} reset -q "
                "(what was staged becomes unstaged; your files stay as they are)",
            ),
        ),
    ]


def _gist(err: str) -> str:
    lines = [line.strip() for line in err.splitlines() if line.strip()]
    telling = [line for line in lines if line.startswith(("fatal:", "error:"))] or lines
    return telling[0].removeprefix("fatal: ").removeprefix("error: ") if telling else "it gave no reason"
