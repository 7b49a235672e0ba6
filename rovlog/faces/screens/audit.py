"""The place."""

from __future__ import annotations

from rovlog.faces.screens.place import Place


class Audit(Place):
    """Soon."""

    TITLE = "Audit"
