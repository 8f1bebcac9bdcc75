"""A survey in chunks: the same whole or in pieces, killed and begun again, here and on a cluster."""

from __future__ import annotations

import pickle
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from time import monotonic, sleep

import numpy as np
import polars as pl
import pytest

from wringout.dossier.survey_store import SurveyStore
from wringout.evaluation import Evaluation, surveys
from wringout.evaluation.strips import dossier_weather
from wringout.evaluation.survey_words import survey_summary
from wringout.evaluation.surveys import Survey, SurveyAsked, planned_survey, run_survey
from wringout.missions.practice import Practice
from wringout.missions.survey import surveyed
from wringout.problems import InputError


@pytest.fixture(scope="module")
def survey(demo: Evaluation) -> Survey:
    """The demo's strips, a few hours, two configurations, two loads, four samples, two strips a chunk."""
    hours = dossier_weather(demo.dossier)
    hours = hours.only(np.arange(len(hours.month)) % 97 == 0)
    asked = SurveyAsked(("tail wheel", "nose wheel"), (100.0, 180.0), 4)
    planned = planned_survey(demo.dossier, demo.fit, demo.dossier.strips, hours, asked)
    return replace(planned, chunks=tuple(slice(start, start + 2) for start in range(0, 12, 2)))


@pytest.fixture(scope="module")
def whole(survey: Survey, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The survey done once without a break."""
    return run_survey(tmp_path_factory.mktemp("whole"), survey)


def test_a_row_for_each_strip_configuration_and_loading(survey: Survey, whole: Path) -> None:
    """Names, masses and shares stand in columns whose names carry their units; hours add up."""
    frame = pl.read_parquet(whole)
    assert frame.height == 12 * 2 * 2
    assert frame["strip"].n_unique() == 12
    assert frame["usable_share"].is_between(0.0, 1.0).all()
    assert (frame["usable_share_low"] <= frame["usable_share_high"]).all()
    hours = len(survey.plan.weather.month)
    counted = frame["usable_hours_by_month_and_hour"].to_numpy().sum(axis=1)
    assert counted / hours == pytest.approx(frame["usable_share"].to_numpy())
    heavier = frame.filter(pl.col("payload_kg") == 180.0)["usable_share"].sum()
    assert heavier <= frame.filter(pl.col("payload_kg") == 100.0)["usable_share"].sum()


def test_the_chunks_do_not_matter(survey: Survey, whole: Path, tmp_path: Path) -> None:
    """All strips in one chunk, on one core: the same rows to the last bit."""
    one = run_survey(tmp_path, replace(survey, chunks=(slice(0, 12),)), workers=1)
    assert pl.read_parquet(one).equals(pl.read_parquet(whole))


def test_a_survey_that_was_broken_off_goes_on_where_it_was(
    survey: Survey, whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each chunk is reckoned once over both runs, and the file is the same."""
    reckoned: list[str] = []

    def counting(plan: object, strips: object) -> object:
        reckoned.append(strips[0].name)  # type: ignore[index]
        return surveyed(plan, strips)  # type: ignore[arg-type]

    monkeypatch.setattr(surveys, "surveyed", counting)
    told: list[tuple[int, int]] = []

    def broken(stage: str, done: int, total: int, fresh: bool) -> None:  # noqa: ARG001
        told.append((done, total))
        if done >= 4:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_survey(tmp_path, survey, broken, workers=1)
    kept = set(SurveyStore(tmp_path, survey.key).done())
    assert len(kept) == 2
    before = len(reckoned)
    place = run_survey(tmp_path, survey, workers=1)
    again = reckoned[before:]
    assert len(again) == 6 - len(kept)
    assert pl.read_parquet(place).equals(pl.read_parquet(whole))
    assert told[0] == (0, 12)
    reckoned.clear()
    assert run_survey(tmp_path, survey) == place
    assert reckoned == []


# The work in a process of its own, which waits a little after each chunk.
SCRIPT = """
import pickle, sys, time
from pathlib import Path
from wringout.evaluation import surveys
root, survey, wait = sys.argv[1:]
survey = pickle.loads(Path(survey).read_bytes())
surveys.run_survey(Path(root), survey, lambda *a, **k: time.sleep(float(wait)), workers=2)
"""


def alone(survey: Survey, folder: Path, wait: float) -> subprocess.Popen[bytes]:
    """The survey in another process, begun."""
    (folder / "survey.pickle").write_bytes(pickle.dumps(survey))
    return subprocess.Popen(
        [sys.executable, "-c", SCRIPT, str(folder), str(folder / "survey.pickle"), f"{wait}"]
    )


def same_to_rounding(one: Path, other: Path) -> bool:
    """Words and counts alike, figures to the last bit but one.

    A process that compiles the loops itself may round the last bit otherwise than one that loads them: they
    are joined to the steps they call at another moment.
    """
    first, second = pl.read_parquet(one), pl.read_parquet(other)
    figures = [name for name, kind in first.schema.items() if kind == pl.Float64]
    exact = first.drop(figures).equals(second.drop(figures))
    return exact and all(
        np.allclose(first[name].to_numpy(), second[name].to_numpy(), rtol=1e-14, atol=0.0) for name in figures
    )


def test_a_survey_killed_outright_loses_nothing_that_was_done(
    survey: Survey, whole: Path, tmp_path: Path
) -> None:
    """SIGKILL after the first chunks; begun again, they are not written again and the file is the same."""
    process = alone(survey, tmp_path, 0.3)
    store = SurveyStore(tmp_path, survey.key)
    end = monotonic() + 120.0
    while len(store.done()) < 2 and monotonic() < end and process.poll() is None:
        sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.wait()
    kept = {place: place.stat().st_mtime_ns for place in store.folder.glob("chunk-*.parquet")}
    assert 2 <= len(kept) < 6
    place = run_survey(tmp_path, survey)
    assert same_to_rounding(place, whole)
    assert {place: place.stat().st_mtime_ns for place in kept} == kept


@pytest.fixture(scope="module")
def cluster() -> Iterator[str]:
    """Two workers, each a process of its own."""
    distributed = pytest.importorskip("distributed")
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the cluster's own, about ports and files left open at its end
        with distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, processes=True
        ) as local:
            yield local.scheduler_address


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same_numbers_to_the_last_bit(
    survey: Survey, whole: Path, tmp_path: Path, cluster: str
) -> None:
    """Two workers of a local cluster, by the name of its scheduler, against threads of one process."""
    place = run_survey(tmp_path / "cluster", survey, scheduler=cluster)
    (tmp_path / "threads").mkdir()
    assert alone(survey, tmp_path / "threads", 0.0).wait() == 0
    here = SurveyStore(tmp_path / "threads", survey.key).table
    assert place.read_bytes() == here.read_bytes()
    assert same_to_rounding(place, whole)


@pytest.mark.filterwarnings("ignore")
def test_a_scheduler_that_does_not_answer_is_told(
    survey: Survey, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In words, within the patience given."""
    pytest.importorskip("distributed")
    monkeypatch.setattr(surveys, "PATIENCE", 0.5)
    with pytest.raises(InputError, match="does not answer"):
        run_survey(tmp_path, survey, scheduler="tcp://127.0.0.1:9")


def test_what_changes_a_number_changes_the_key(demo: Evaluation, survey: Survey) -> None:
    """Another margin, load, hour or strip is another survey; the same question is the same."""
    dossier, hours = demo.dossier, survey.plan.weather
    asked = SurveyAsked(("tail wheel",), (100.0,), 4)

    def key(asked: SurveyAsked, strips: object = dossier.strips, hours: object = hours) -> str:
        return planned_survey(dossier, demo.fit, strips, hours, asked).key  # type: ignore[arg-type]

    strict = replace(asked, strips=replace(asked.strips, practice=Practice(landing_factor=1.6)))
    keys = {
        key(asked),
        key(strict),
        key(replace(asked, payloads=(120.0,))),
        key(replace(asked, samples=5)),
        key(asked, strips=dossier.strips[1:]),
        key(asked, hours=hours.only(np.arange(len(hours.month)) > 0)),
    }
    assert len(keys) == 6
    assert key(asked) in keys


def test_the_summary_counts_what_the_rows_say(whole: Path) -> None:
    """Strips usable in nine hours of ten and those never, of each configuration and load."""
    frame = pl.read_parquet(whole)
    rows = survey_summary(whole)
    assert len(rows) == 4
    for row in rows:
        part = frame.filter(
            (pl.col("configuration") == row.configuration) & (pl.col("payload_kg") == row.payload)
        )
        assert row.strips == part.height
        assert row.nine_in_ten == part.filter(pl.col("usable_share") >= 0.9).height
        assert row.never == part.filter(pl.col("usable_share") <= 0.0).height
        assert sum(count for _, count in row.binding) <= row.strips


@pytest.mark.parametrize(
    "wrong",
    [SurveyAsked(samples=0), SurveyAsked(payloads=(9000.0,)), SurveyAsked(configurations=("wings",))],
)
def test_a_survey_that_cannot_be_is_refused_in_words(
    demo: Evaluation, survey: Survey, wrong: SurveyAsked
) -> None:
    """No sample, a load that does not go, a configuration that there is not."""
    with pytest.raises(InputError):
        planned_survey(demo.dossier, demo.fit, demo.dossier.strips, survey.plan.weather, wrong)
    night = survey.plan.weather.only(survey.plan.weather.hour == 25)
    with pytest.raises(InputError, match="daylight"):
        planned_survey(demo.dossier, demo.fit, demo.dossier.strips, night)
    with pytest.raises(InputError, match="no strip"):
        planned_survey(demo.dossier, demo.fit, (), survey.plan.weather)
