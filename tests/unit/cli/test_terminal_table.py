"""A table drawn without rich is the very one that rich draws; what does not fit is left to rich."""

from __future__ import annotations

import subprocess
import sys
from shutil import get_terminal_size

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.faces.cli.rich_table import rich_table
from rovlog.faces.cli.terminal_table import _columns, terminal_table

cells = st.text(st.sampled_from("ab1-+−. °—éß漢\u0301\u200b\n"), max_size=12)


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[str], list[list[str]]]:
    columns = draw(st.integers(1, 6))
    row = st.lists(cells, min_size=columns, max_size=columns)
    return draw(row), draw(st.lists(row, max_size=4))


@given(tables())
def test_any_table_is_the_one_that_rich_draws(table: tuple[list[str], list[list[str]]]) -> None:
    headings, rows = table
    assert terminal_table(headings, rows) == rich_table(headings, rows, 98)


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")


@pytest.mark.usefixtures("narrow")
@pytest.mark.parametrize("length", [60, 67, 68, 69, 90, 200])
def test_a_cell_that_is_too_long_wraps_inside_its_column(length: int) -> None:
    headings, rows = ["thruster", "what"], [["bow-port", ("word " * 50)[:length]]]
    drawn = terminal_table(headings, rows)
    assert drawn == rich_table(headings, rows, 78)
    assert max(map(len, drawn)) <= 80


@pytest.mark.parametrize("columns", ["", "0", "90", "-5", "words", "200"])
def test_the_terminal_is_as_wide_as_the_standard_library_says(
    columns: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert _columns() == get_terminal_size((100, 24)).columns


def test_a_table_that_fits_does_not_load_rich() -> None:
    code = (
        "import sys\nfrom rovlog.faces.cli.terminal_table import terminal_table\n"
        "terminal_table(['a', 'b'], [['1', 'Ünal']])\nsys.exit('rich' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
