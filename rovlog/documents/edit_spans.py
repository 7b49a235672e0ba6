"""Where a value, a key or an entry stands in the text, and what the text would be with it changed.

Nothing here is trusted: every text is only a candidate, which `edit` parses and compares.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from rovlog.documents.edit_check import comments_between
from rovlog.documents.tree import Node, Tree
from rovlog.documents.write import block_lines, fits, flow_text, key_text

_COLON = re.compile(r"[ \t]*:")
_TO_LINE_END = re.compile(r"[^\r\n]*")
_LINE_END = re.compile(r"\r\n|\r|\n")
_BLANKS = re.compile(r"[ \t]*")


class Spans:
    """Candidate texts of one document with one thing changed."""

    def __init__(self, tree: Tree) -> None:
        """Take the document as it is."""
        self.tree = tree
        self.text = tree.text
        match = _LINE_END.search(tree.text)
        self.line_end = match.group() if match else "\n"

    def rewritten(self, pointer: str, new: Any) -> Iterator[str]:
        """With the whole value at a pointer written anew; comments inside it move to lines above it."""
        node = self.tree.node(pointer)
        if node is None or not pointer:
            return
        start, end = node.start, self._value_end(node)
        if self._is_in_flow(pointer):
            piece = flow_text(new)
            if start == end and node.key_start >= 0:
                piece = f" {piece}" if ":" in self.text[node.key_end : start] else f": {piece}"
        else:
            start = self._value_start(node)
            piece = self._block_piece(node, start, new)
        yield self._spliced(start, end, piece)
        comments = comments_between(self.tree, start, end)
        if comments:
            yield self._spliced(start, end, piece, comments)

    def with_key(self, pointer: str, key: str, value: Any) -> Iterator[str]:
        """With one more key at the end of a mapping."""
        node = self.tree.node(pointer)
        if node is None:
            return
        entry = f"{key_text(key)}: {flow_text(value)}"
        last = self._last_child(pointer)
        if last is None:
            yield self._spliced(node.start, node.end, f"{{{entry}}}")
            return
        if node.style == "flow":
            yield self._spliced(self._value_end(last), self._value_end(last), f", {entry}")
            return
        indent = self._column(node.start)
        piece = self.line_end.join(block_lines({key: value}, indent))
        for end in (self._end_of_line(self._value_end(last)), last.end):
            before = self.text[:end]
            gap = "" if not before or before.endswith(("\n", "\r")) else self.line_end
            closing = "" if gap else self.line_end
            yield before + gap + piece + closing + self.text[end:]

    def without_key(self, pointer: str, keys: list[str]) -> Iterator[str]:
        """Without one key of a mapping; a comment in what is taken out stays on a line of its own."""
        above, _, key = pointer.rpartition("/")
        node, mapping = self.tree.node(pointer), self.tree.node(above)
        if node is None or mapping is None or len(keys) == 1:
            return
        place = keys.index(key)
        following = self.tree.node(f"{above}/{keys[place + 1]}") if place + 1 < len(keys) else None
        before = self.tree.node(f"{above}/{keys[place - 1]}") if place else None
        if mapping.style == "block":
            start, end = self._line_start(node.key_start), self._end_of_line(self._value_end(node))
            if not self.text[start : node.key_start].strip(" \t"):
                past = self._past_line_end(end)
                yield self._spliced(start, past, "")
                pad = self.text[start : node.key_start]
                kept = comments_between(self.tree, start, end)
                yield self._spliced(start, past, "".join(f"{pad}{c}{self.line_end}" for c in kept))
        if following is not None:
            yield self._spliced(node.key_start, following.key_start, "")
        elif before is not None:
            yield self._spliced(self._value_end(before), self._value_end(node), "")

    def _block_piece(self, node: Node, start: int, new: Any) -> str:
        """The value as it stands after its `key:` or its `- `, on the same line where it fits."""
        column = self._column(start)
        if node.key_start < 0:
            if fits(new, column):
                return flow_text(new) if node.start < node.end else f" {flow_text(new)}"
            return self.line_end.join(block_lines(new, column)).lstrip(" ")
        if fits(new, column + 1):
            return f" {flow_text(new)}"
        lines = block_lines(new, self._column(node.key_start) + 2)
        return self.line_end + self.line_end.join(lines)

    def _value_start(self, node: Node) -> int:
        """For a value with a key the place right after the colon, in block style."""
        if node.key_start < 0:
            return node.start
        match = _COLON.match(self.text, node.key_end)
        return match.end() if match else node.key_end

    def _value_end(self, node: Node) -> int:
        """Past the value's last character that is no blank and no line end."""
        return node.start + len(self.text[node.start : node.end].rstrip(" \t\r\n"))

    def _last_child(self, pointer: str) -> Node | None:
        last = None
        for other in self.tree.pointers():
            if other.rpartition("/")[0] == pointer and other:
                last = self.tree.node(other)
        return last

    def _is_in_flow(self, pointer: str) -> bool:
        above = self.tree.node(pointer.rpartition("/")[0])
        return above is not None and above.style == "flow"

    def _spliced(self, start: int, end: int, piece: str, comments: list[str] | None = None) -> str:
        """The text with a part replaced, and comments put on lines above the line where it begins."""
        line = self._line_start(start)
        blanks = _BLANKS.match(self.text, line)
        pad = blanks.group() if blanks else ""
        above = "".join(f"{pad}{comment}{self.line_end}" for comment in comments or [])
        return self.text[:line] + above + self.text[line:start] + piece + self.text[end:]

    def _line_start(self, index: int) -> int:
        return max(self.text.rfind("\n", 0, index), self.text.rfind("\r", 0, index)) + 1

    def _end_of_line(self, index: int) -> int:
        match = _TO_LINE_END.match(self.text, index)
        return match.end() if match else index

    def _past_line_end(self, index: int) -> int:
        match = _LINE_END.match(self.text, index)
        return match.end() if match else index

    def _column(self, index: int) -> int:
        """Characters before this one on its line."""
        return index - self._line_start(index)
