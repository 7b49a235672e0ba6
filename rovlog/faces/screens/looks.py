"""The three looks: dark, bright sun, monochrome; every style the screens draw with, and its contrast.

A state is never told by colour alone: it has a word and a mark as well (`faces.reports.check_text`).
"""

from __future__ import annotations

from collections.abc import Mapping

from rich.style import Style

from rovlog.values import dataclass

LEAST_CONTRAST = 7.0
"""Contrast ratio that every pair in use reaches (WCAG 2.2, 1.4.6, enhanced contrast)."""


@dataclass(frozen=True, slots=True)
class Look:
    """One look: `ground` and `ink` are the page's colours, `pairs` style name to (ink, ground, more)."""

    name: str
    title: str
    ground: str
    ink: str
    pairs: Mapping[str, tuple[str, str, str]]

    def style(self, name: str) -> Style:
        """The style of this name."""
        ink, ground, more = self.pairs[name]
        return Style.parse(f"{more} {ink} on {ground}".strip())


def _look(name: str, title: str, ground: str, ink: str, **own: tuple[str, str, str]) -> Look:
    page = (ink, ground, "")
    pairs = {style: page for style in PLAIN} | {style: (ink, ground, "bold") for style in BOLD}
    pairs |= {style: (ground, ink, "bold") for style in REVERSED}
    return Look(name, title, ground, ink, pairs | own)


PLAIN = ("text", "quiet", "open", "not-applicable", "key-word", "rule", "place", "typed", "label")
BOLD = ("strong", "challenge", "answered", "deferred", "waived", "expired", "computed", "old", "message")
REVERSED = ("name", "picked", "key", "place-here", "failed", "stop", "danger", "warning", "caution",
            "notice", "field", "trouble")  # fmt: skip

DARK = _look(
    "dark", "dark", "#0c1116", "#f4f4f0",
    quiet=("#b4bdc6", "#0c1116", ""),
    label=("#b4bdc6", "#0c1116", ""),
    rule=("#b4bdc6", "#0c1116", ""),
    challenge=("#ffffff", "#0c1116", "bold"),
    answered=("#86e0a3", "#0c1116", ""),
    deferred=("#f3d36b", "#0c1116", "bold"),
    waived=("#8fd0ff", "#0c1116", "bold"),
    expired=("#ffb27a", "#0c1116", "bold"),
    failed=("#ffffff", "#8c1020", "bold"),
    stop=("#ffffff", "#8c1020", "bold"),
    trouble=("#ffffff", "#8c1020", "bold"),
    clear=("#86e0a3", "#0c1116", "bold"),
    danger=("#ffffff", "#8c1020", "bold"),
    warning=("#12100a", "#f5a54a", "bold"),
    caution=("#12100a", "#f3d36b", "bold"),
    notice=("#0c1116", "#8fd0ff", "bold"),
    computed=("#8fd0ff", "#0c1116", ""),
    old=("#ffb27a", "#0c1116", ""),
    message=("#86e0a3", "#0c1116", "bold"),
    picked=("#0c1116", "#f4f4f0", "bold"),
    field=("#ffffff", "#2b3a48", "bold"),
    key=("#0c1116", "#b4bdc6", "bold"),
)  # fmt: skip

SUN = _look(
    "sun", "bright sun", "#ffffff", "#000000",
    clear=("#000000", "#ffffff", "bold"),
    computed=("#000000", "#ffffff", "underline"),
    old=("#000000", "#ffffff", "underline"),
    caution=("#000000", "#ffffff", "bold underline"),
    notice=("#000000", "#ffffff", "bold underline"),
)  # fmt: skip
"""Black on white and nothing between: in glare every other colour is a grey."""

MONOCHROME = _look(
    "monochrome", "monochrome", "#000000", "#ffffff",
    clear=("#ffffff", "#000000", "bold"),
    computed=("#ffffff", "#000000", "underline"),
    old=("#ffffff", "#000000", "underline"),
    caution=("#ffffff", "#000000", "bold underline"),
    notice=("#ffffff", "#000000", "bold underline"),
)  # fmt: skip


def _without_colour(name: str, more: str) -> tuple[str, str, str]:
    is_turned = name in REVERSED and "underline" not in more
    return ("default", "default", f"{more} reverse" if is_turned else more)


NO_COLOUR = Look(
    "no-colour",
    "without colour",
    "default",
    "default",
    {name: _without_colour(name, more) for name, (_, _, more) in MONOCHROME.pairs.items()},
)
"""Used alone where NO_COLOR is set: the terminal's own two colours, bold, underlined and reversed."""

LOOKS = {look.name: look for look in (DARK, SUN, MONOCHROME)}


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours `#rrggbb`, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.2, definition of relative luminance, sRGB)."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)
