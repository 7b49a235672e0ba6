"""What every test may rely on: system programs are named, and a missing one skips by name."""

from __future__ import annotations

import shutil

import pytest
from hypothesis import HealthCheck, settings

# The suite says the same twice of the same code; `--hypothesis-profile=explore` looks further.
settings.register_profile(
    "rovlog", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("explore", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("rovlog")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip tests marked system("program") where that program is missing, and say which one."""
    for item in items:
        for mark in item.iter_markers("system"):
            for program in mark.args:
                if shutil.which(program) is None:
                    item.add_marker(pytest.mark.skip(reason=f"system program missing: {program}"))


@pytest.fixture(autouse=True)
def quiet_surroundings(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Nothing of the person's own git or state reaches a test, and nothing of a test reaches theirs."""
    home = tmp_path_factory.getbasetemp() / "home"
    home.mkdir(exist_ok=True)
    (home / "gitconfig").write_text("[user]\n\tname = Test Builder\n\temail = builder@team.example\n")
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(home / "gitconfig"))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("ROVLOG_WRITER", "test-laptop")
