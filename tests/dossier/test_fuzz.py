"""Whatever bytes are in the folder: problems in words, never a traceback."""

import tomllib
from collections.abc import Iterator
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.dossier.broken import Patient, patient
from wringout.dossier import Dossier, check, load
from wringout.dossier.strips import read_strips
from wringout.problems import InputError

FILES = ("dossier.toml", "airplane.toml", "claims.toml", "missions.toml", "strips.csv", "cards/flight-1.toml")
TABLES = tuple(file for file in FILES if file.endswith(".toml"))


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Patient, dict[str, bytes]]:
    """A dossier, and its files as they were."""
    root = tmp_path_factory.mktemp("fuzzed")
    dossier = patient(root)
    return dossier, {file: (root / file).read_bytes() for file in FILES}


def _answers(root: Path) -> None:
    """Both readers answer, and they agree."""
    problems = check(root)
    assert all(problem.what and problem.mend and problem.sentence() for problem in problems)
    errors = [problem for problem in problems if problem.severity == "error"]
    loaded: Dossier | None = None
    refused: tuple[object, ...] = ()
    try:
        loaded = load(root)
    except InputError as error:
        refused = error.problems
    assert (loaded is None) == bool(errors)
    assert len(refused) == len(errors)


EDITS = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 12), st.binary(max_size=6)), min_size=1, max_size=5
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.sampled_from(FILES), EDITS)
def test_damaged_bytes_are_told(
    whole: tuple[Patient, dict[str, bytes]], file: str, edits: list[tuple[float, int, bytes]]
) -> None:
    """A few bytes cut out of a file and others put in: the dossier is read or refused in words."""
    dossier, originals = whole
    data = originals[file]
    for where, length, new in edits:
        at = int(where * len(data))
        data = data[:at] + new + data[at + length :]
    (dossier.root / file).write_bytes(data)
    try:
        _answers(dossier.root)
    finally:
        (dossier.root / file).write_bytes(originals[file])


def _places(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if path:
        yield path
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield from _places(value, (*path, key))


ODD = st.one_of(
    st.integers(-(10**18), 10**18),
    st.floats(),
    st.booleans(),
    st.text(max_size=12),
    st.sampled_from(["10 m", "5 kg ± 1 kg", "1e300 m", "-1 kg", "0 kt", "", "nan kg", "…", "x" * 300]),
    st.just(date(2026, 5, 12)),
    st.just(time(9, 30)),
    st.lists(st.one_of(st.integers(), st.text(max_size=4)), max_size=3),
    st.dictionaries(st.text(max_size=6), st.one_of(st.integers(), st.text(max_size=4)), max_size=2),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.sampled_from(TABLES), st.lists(st.tuples(st.floats(0, 0.999), ODD), min_size=1, max_size=3))
def test_values_of_the_wrong_kind_are_told(
    whole: tuple[Patient, dict[str, bytes]], file: str, odd: list[tuple[float, Any]]
) -> None:
    """Any value of any file replaced by anything that TOML can hold: read or refused in words."""
    dossier, originals = whole
    data = tomllib.loads(originals[file].decode())
    for where, value in odd:
        places = list(_places(data))
        path = places[int(where * len(places))]
        inside: Any = data
        for key in path[:-1]:
            inside = inside[key]
        inside[path[-1]] = value
    (dossier.root / file).write_text(tomlkit.dumps(data), encoding="utf-8")
    try:
        _answers(dossier.root)
    finally:
        (dossier.root / file).write_bytes(originals[file])


@settings(max_examples=60)
@given(st.one_of(st.binary(max_size=200), st.text('nameelevation,"\n \0m°%;', max_size=200).map(str.encode)))
def test_any_table_of_strips_is_read_or_refused(data: bytes) -> None:
    """Any bytes as strips.csv give strips or problems."""
    strips, names, problems = read_strips("strips.csv", data)
    assert strips or names or problems or data
    assert all(problem.file == "strips.csv" and problem.mend for problem in problems)
