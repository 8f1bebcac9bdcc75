"""The demo's invented year of hours: the same for the same seed, whole, and said to be invented."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from wringout.demo.weather_year import DESCRIBED, HOURS, weather_table
from wringout.dossier.weather import Weather
from wringout.dossier.weather_reading import read_weather


def read(folder: Path, seed: int) -> Weather:
    """The year of a seed."""
    folder.mkdir()
    (folder / "corran-mill.csv.gz").write_bytes(weather_table(seed))
    (folder / "corran-mill.toml").write_text(DESCRIBED, encoding="utf-8")
    return read_weather(folder / "corran-mill.toml")


def test_a_seed_has_one_year_and_another_seed_another() -> None:
    """Byte for byte."""
    assert weather_table(7) == weather_table(7)
    assert weather_table(7) != weather_table(8)


def test_the_year_is_whole_and_like_weather(tmp_path: Path) -> None:
    """Every hour reads; winter is colder and windier than summer, afternoons warmer than mornings."""
    for seed in (1, 20250617):
        year = read(tmp_path / str(seed), seed)
        assert len(year.month) == HOURS
        assert year.problems == ()
        winter, summer = np.isin(year.month, (12, 1, 2)), np.isin(year.month, (6, 7, 8))
        assert year.temperature[winter].mean() < year.temperature[summer].mean() - 8.0
        assert year.wind_speed[winter].mean() > year.wind_speed[summer].mean()
        assert year.temperature[year.hour == 15].mean() > year.temperature[year.hour == 5].mean() + 2.0
        assert (year.gust >= year.wind_speed).all()
        assert "invented" in year.site.name
