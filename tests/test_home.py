"""STOPCUT_HOME: where the carver's own things are."""

from __future__ import annotations

from pathlib import Path

import platformdirs
import pytest

from stopcut.home import cache_folder, home, path_named


def test_the_named_home_holds_everything_cache_included(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "shop"))
    assert home() == tmp_path / "shop"
    assert cache_folder() == tmp_path / "shop" / "cache"


def test_asking_for_the_home_makes_no_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "shop"))
    home(), cache_folder()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("blank", [None, "", "  "])
def test_without_a_name_it_is_where_the_system_keeps_a_users_data(
    monkeypatch: pytest.MonkeyPatch, blank: str | None
) -> None:
    monkeypatch.delenv("STOPCUT_HOME", raising=False)
    if blank is not None:
        monkeypatch.setenv("STOPCUT_HOME", blank)
    assert home() == Path(platformdirs.user_data_dir("stopcut", appauthor=False))
    assert cache_folder() == Path(platformdirs.user_cache_dir("stopcut", appauthor=False))


def test_a_tilde_means_the_users_own_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPCUT_HOME", "~/shop")
    assert home() == Path.home() / "shop"


def test_a_tilde_before_a_name_nobody_has_is_a_file_of_that_name() -> None:
    assert path_named("~0") == Path("~0")
    assert path_named("~nobody-of-that-name/plot.toml") == Path("~nobody-of-that-name/plot.toml")
