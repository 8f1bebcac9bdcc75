"""GPX of either version against another reader; broken files are refused in one sentence."""

from pathlib import Path

import gpxpy
import numpy as np
import pytest

from tests.recordings.logs import MAPPING, circle, circle_gpx, gpx, point
from wringout.problems import InputError
from wringout.recordings import read

SECONDS = np.arange(0.0, 120.0, 0.2)


def written(folder: Path, text: str, name: str = "flight.gpx") -> Path:
    """The text as a file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def sentence(path: Path) -> str:
    """The one sentence with which a file is refused."""
    with pytest.raises(InputError) as caught:
        read(path)
    assert len(caught.value.problems) == 1
    text = caught.value.problems[0].sentence()
    assert text.startswith(path.name)
    assert "\n" not in text
    return text


def test_equals_gpxpy(tmp_path: Path) -> None:
    """Times, positions and heights are those that gpxpy reads."""
    path = circle_gpx(tmp_path / "flight.gpx", SECONDS)
    with path.open(encoding="utf-8") as stream:
        points = gpxpy.parse(stream).tracks[0].segments[0].points
    recording = read(path)
    times = [recording.start.timestamp() + t for t in recording.time]
    assert times == pytest.approx([each.time.timestamp() for each in points if each.time], abs=1e-6)
    places = np.array([(each.latitude, each.longitude, each.elevation or 0.0) for each in points])
    np.testing.assert_allclose(np.degrees(recording.channels["latitude"]), places[:, 0], rtol=1e-12)
    np.testing.assert_allclose(np.degrees(recording.channels["longitude"]), places[:, 1], rtol=1e-12)
    np.testing.assert_allclose(recording.channels["height"], places[:, 2])


def test_speed_and_course_of_either_version(tmp_path: Path) -> None:
    """GPX 1.0 has them in the point, 1.1 in extensions under any name space: m/s and degrees true."""
    inside = "<course>90.5</course><speed>41.25</speed>"
    extended = (
        '<extensions><a:TrackPointExtension xmlns:a="http://example.org/a"><a:speed>41.25</a:speed>'
        "<a:course>90.5</a:course></a:TrackPointExtension></extensions>"
    )
    short = SECONDS[:60]  # a speed that never changed for longer would not be believed
    for version, more in (("1.0", inside), ("1.1", extended)):
        rows = [point(*each, more=more) for each in zip(short, *circle(short), strict=True)]
        recording = read(written(tmp_path, gpx(rows, version)))
        assert set(recording.channels["ground_speed"]) == {41.25}
        assert np.degrees(recording.channels["track"][0]) == pytest.approx(90.5)


def test_two_streams_in_one_file_give_each_fix_once(tmp_path: Path) -> None:
    """A fix written again a tenth of a second later is left out, since its time is wrong."""
    rows = []
    for each in zip(SECONDS[::5], *circle(SECONDS[::5]), strict=True):
        rows += [point(*each), point(each[0] + 0.1, *each[1:])]
    recording = read(written(tmp_path, gpx(rows)))
    fixes = np.isfinite(recording.channels["latitude"])
    assert np.count_nonzero(fixes) == len(SECONDS[::5]) + 1  # of the last nothing tells that it was repeated
    assert "repeated" in {item.kind for item in recording.exclusions}


def test_missing_elements_are_missing_samples(tmp_path: Path) -> None:
    """A point without height, or with an empty one, has none; the others keep theirs."""
    rows = [point(*each) for each in zip(SECONDS, *circle(SECONDS), strict=True)]
    rows[3] = rows[3].replace(rows[3][rows[3].index("<ele>") : rows[3].index("</ele>") + 6], "")
    rows[7] = rows[7].replace(rows[7][rows[7].index("<ele>") : rows[7].index("</ele>") + 6], "<ele> </ele>")
    height = read(written(tmp_path, gpx(rows))).channels["height"]
    assert np.flatnonzero(np.isnan(height)).tolist() == [3, 7]


def test_times_without_a_zone_are_utc(tmp_path: Path) -> None:
    """GPX defines them so."""
    rows = [point(*each) for each in zip(SECONDS, *circle(SECONDS), strict=True)]
    with_zone = read(written(tmp_path, gpx(rows)))
    without = read(written(tmp_path, gpx(rows).replace("Z</time>", "</time>"), "naive.gpx"))
    assert with_zone.start == without.start


def test_a_broken_end_names_the_line(tmp_path: Path) -> None:
    """A file cut in the middle is refused with the line at which it breaks."""
    path = circle_gpx(tmp_path / "cut.gpx", SECONDS)
    path.write_bytes(path.read_bytes()[:20_000])
    text = sentence(path)
    assert "line 1" in text
    assert "breaks off" in text


def test_an_entity_bomb_is_refused_unopened(tmp_path: Path) -> None:
    """Entities that would grow without end are never expanded."""
    bomb = "".join(f'<!ENTITY a{k + 1} "{f"&a{k};" * 10}">' for k in range(9))
    text = f'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a0 "ha">{bomb}]><gpx><name>&a9;</name></gpx>'
    assert "document type" in sentence(written(tmp_path, text))


def test_an_outside_entity_is_refused(tmp_path: Path) -> None:
    """No other file is ever read through a recording."""
    text = '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]><gpx>&x;</gpx>'
    assert "document type" in sentence(written(tmp_path, text))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "empty"),
        ("\n \n", "empty"),
        (gpx([]), "no track point"),
        ("<gpx><wpt lat='1' lon='2'/></gpx>", "no track point"),
        ("<gpx><trk><trkseg><trkpt lat='1' lon='2'/></trkseg></trk></gpx>", "usable time"),
        ("<gpx", "breaks off"),
        (gpx(["<trkpt lat='a' lon='b'><time>now</time></trkpt>"] * 5), "usable time"),
    ],
)
def test_useless_files_say_why(tmp_path: Path, text: str, found: str) -> None:
    """Empty, without points, without times: one sentence each."""
    assert found in sentence(written(tmp_path, text))


def test_backward_in_time_throughout_is_refused(tmp_path: Path) -> None:
    """A recording of which only one sample has a time after the one before is none."""
    rows = [point(-each[0], *each[1:]) for each in zip(SECONDS, *circle(SECONDS), strict=True)]
    assert "backwards" in sentence(written(tmp_path, gpx(rows)))


def test_a_mapping_is_refused(tmp_path: Path) -> None:
    """A mapping for a GPX shows that the card means another file."""
    path = circle_gpx(tmp_path / "flight.gpx", SECONDS)
    with pytest.raises(InputError, match="no column mapping"):
        read(path, MAPPING)


@pytest.mark.parametrize("missing", ["nothing.gpx", "."])
def test_no_file(tmp_path: Path, missing: str) -> None:
    """A file that is not there, or a folder, is named."""
    with pytest.raises(InputError, match="file"):
        read(tmp_path / missing)


def test_memory_stays_bounded(tmp_path: Path) -> None:
    """Fifty thousand points need no tree of elements in memory: less than 20 MB in all."""
    import tracemalloc

    rows = [f'<trkpt lat="{52 + 1e-5 * k:.5f}" lon="-1.5"><time>{k}</time></trkpt>' for k in range(50_000)]
    path = written(tmp_path, gpx(rows))
    tracemalloc.start()
    with pytest.raises(InputError):
        read(path)  # no time is one, but all points were read before that shows
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20e6
