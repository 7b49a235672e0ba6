"""The port `History`: the logbook's past and its milestones, kept by git."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rovlog.problems import GitError
from rovlog.store.files import DiskFiles
from rovlog.store.gitplace import Layout, damaged_head, head_of, layout_of, under_way
from rovlog.store.gitprogram import GitProgram, git_folder_above
from rovlog.store.gitwords import explained, is_damage
from rovlog.store.names import checked_parts
from rovlog.usecases.ports import Commit, CommitOutcome

if TYPE_CHECKING:
    from rovlog.store.gitblobs import Blobs

# What only some methods need is imported in them: most commands read no history.

_PROGRAM_KEYS = ("program", "defaultkeycommand")


def initialise(folder: str, own_repository: bool = False) -> bool:
    """Put a folder under git, branch `main`; False if it was already, alone or in a larger repository.

    `own_repository` makes one even inside another repository.

    Raises:
        GitError: git is missing or refuses.
    """
    git = GitProgram(folder)
    above = git_folder_above(folder)
    if above is not None and (not own_repository or above == folder):
        layout_of(git)
        return False
    answer = git.run("init", "--quiet", "--initial-branch=main", "--", folder)
    if answer.code != 0:
        raise explained(answer.err, folder)
    return True


class GitHistory:
    """git behind one logbook. Made without running git; every method runs it anew, but for reading files."""

    def __init__(self, files: DiskFiles) -> None:
        """Take the logbook's files."""
        self._files = files
        self._git = GitProgram(files.root)
        self._running: Blobs | None = None
        self._known: Layout | None = None

    def commit(
        self, names: Sequence[str], message: str, author: tuple[str, str] | None = None, at: str | None = None
    ) -> CommitOutcome:
        """Commit these files as they are on disk; whatever prevents it is the outcome, never an error.

        With `at` the commit is dated so by author and committer alike, and not signed.
        """
        from rovlog.store.gitcommit import Signature, commit_records

        for name in names:
            checked_parts(name)
        try:
            layout = self._layout()
            begun = under_way(layout)
            if begun:
                what, mend = begun
                return CommitOutcome(None, f"{what} is under way in git, so nothing was committed", mend)
            signature = Signature(
                message.replace("\0", " "), _names_and_dates(author, at), at is None and self._is_signing()
            )
            return commit_records(self._git, layout, self._files, names, signature)
        except GitError as error:
            return CommitOutcome(None, error.message, error.mend)

    def identity(self) -> tuple[str, str]:
        """git's user name and e-mail."""
        answer = self._git.run("var", "GIT_AUTHOR_IDENT")
        if answer.code != 0:
            raise explained(answer.err, self._git.folder)
        name, _, rest = answer.out.decode("utf-8", "replace").strip().rpartition(" <")
        return name, rest.partition(">")[0]

    def head(self) -> str | None:
        """The commit checked out, or None before the first; its object is not looked at."""
        return head_of(self._git, self._layout())

    def expand(self, commit: str) -> str:
        """The full hash of an abbreviated one; a branch of the same name is not meant."""
        self._layout()
        wanted = commit.lower()
        if _is_hexadecimal(wanted):
            answer = self._git.run("rev-parse", f"--disambiguate={wanted}")
            found = [h for h in answer.out.decode().split() if self._is_commit(h)]
            if len(found) == 1:
                return found[0]
            if found:
                raise GitError(f"{len(found)} commits begin with {commit!r}", "give more of its characters")
        raise GitError(
            f"there is no commit {commit!r} in this repository",
            f"look for it: git -C {self._git.folder} log --oneline (shallow clone: git fetch --unshallow)",
        )

    def read_at(self, commit: str, name: str) -> bytes | None:
        """A file's bytes in a commit (full hash), None where it is not in it."""
        checked_parts(name)
        found = self._blobs.read(f"{_hexadecimal(commit)}:{self._layout().prefix}{name}")
        if found is None:
            if not self._is_commit(commit):
                self.expand(commit)
            return None
        return found[1] if found[0] == "blob" else None

    def names_at(self, commit: str, folder: str) -> list[str]:
        """Names of *.yaml files below the folder in a commit, sorted."""
        below = [] if folder in ("", ".") else ["/".join(checked_parts(folder)) + "/"]
        self._layout()
        answer = self._git.run(
            "ls-tree", "-r", "-z", "--name-only", "--end-of-options", _hexadecimal(commit), *below
        )
        if answer.code != 0:
            self.expand(commit)
            raise explained(answer.err, self._git.folder)
        names = answer.out.decode("utf-8", "surrogateescape").split("\0")
        return sorted(n for n in names if n.endswith(".yaml") and "/." not in f"/{n}")

    def log(self, folders: Iterable[str]) -> list[Commit]:
        """Commits that touched these files or folders, newest first; [] before the first commit."""
        from rovlog.store.gitlog import commits_touching

        wanted = ["/".join(checked_parts(folder)) for folder in folders if folder not in ("", ".")]
        layout = self._layout()
        head = head_of(self._git, layout)
        if head is None:
            return []
        try:
            return commits_touching(self._git, wanted)
        except GitError as error:
            if is_damage(error.message):
                raise damaged_head(self._git, layout, head) from error
            raise

    def stamp(self) -> str | None:
        """Changes whenever the commits that HEAD reaches may have; None where that cannot be told."""
        from rovlog.store.gitstamp import history_stamp

        return history_stamp(self._git.folder)

    def state(self) -> list[str]:
        """What makes the repository unusual, a sentence each; trouble with git itself is one of them."""
        from rovlog.store.gitstate import unusual

        try:
            return unusual(self._git, self._layout())
        except GitError as error:
            return [error.message]

    @property
    def _blobs(self) -> Blobs:
        if self._running is None:
            from rovlog.store.gitblobs import Blobs

            self._running = Blobs(self._git)
        return self._running

    def _layout(self) -> Layout:
        if self._known is None:
            self._known = layout_of(self._git)
        return self._known

    def _is_commit(self, commit: str) -> bool:
        found = self._blobs.read(f"{_hexadecimal(commit)}^{{commit}}")
        return found is not None and found[0] == "commit"

    def _is_signing(self) -> bool:
        """Whether the person wants commits signed.

        Raises:
            GitError: the signing program is named by the repository itself.
        """
        answer = self._git.run(
            "config", "--includes", "--show-scope", "-z", "--get-regexp", r"^(commit\.gpgsign|gpg\..*)$"
        )
        pieces = answer.out.decode("utf-8", "replace").split("\0")
        is_signing = False
        planted = ""
        for scope, setting in zip(pieces[0::2], pieces[1::2], strict=False):
            key, has_value, value = setting.partition("\n")
            if key == "commit.gpgsign":
                is_signing = not has_value or value.lower() in ("true", "yes", "on", "1")
            elif key.rpartition(".")[2] in _PROGRAM_KEYS and scope in ("local", "worktree"):
                planted = key
        if is_signing and planted:
            raise GitError(
                f"this repository brings its own program for signing ({planted}), which rovlog does not run",
                f"if you trust it, set it for yourself: git config --global {planted} PROGRAM, "
                f"and take it out here: git -C {self._git.folder} config --unset {planted}",
            )
        return is_signing


def _names_and_dates(author: tuple[str, str] | None, at: str | None) -> dict[str, str]:
    given: dict[str, str] = {}
    if author:
        given |= {"GIT_AUTHOR_NAME": author[0], "GIT_AUTHOR_EMAIL": author[1]}
    if at:
        given |= {"GIT_AUTHOR_DATE": at, "GIT_COMMITTER_DATE": at}
        if author:
            given |= {"GIT_COMMITTER_NAME": author[0], "GIT_COMMITTER_EMAIL": author[1]}
    return {name: value.replace("\0", " ") for name, value in given.items()}


def _hexadecimal(commit: str) -> str:
    """A commit's hash as given, if it is one; anything else must not reach git as a name."""
    if not _is_hexadecimal(commit):
        raise GitError(f"{commit!r} is not a commit's hash", "give the hash as git log shows it")
    return commit


def _is_hexadecimal(text: str) -> bool:
    return 4 <= len(text) <= 64 and not text.strip("0123456789abcdef")
