"""Bytes that are no TOML, or nearly."""

import pytest

from wringout.dossier.toml import read_toml, text_of
from wringout.problems import InputError, Problem


def _refused(data: bytes) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read_toml("x.toml", data)
    return caught.value.problems


@pytest.mark.parametrize(
    ("data", "line", "says"),
    [
        (b"", None, "is empty"),
        (b" \n\r\n\t", None, "is empty"),
        (b"\xef\xbb\xbf\n", None, "is empty"),
        (b"a = 1\nb = \0", 2, "binary"),
        (b"a = 1\nb = 'caf\xe9'\n", 2, "UTF-8"),
        (b"a = 1\na = 2\n", 2, "second time"),
        (b"[t]\n[t]\n", 2, "second time"),
        (b"a = 1\n[t\nb = 2\n", 2, "TOML|bracket"),
        (b"a = 'x\nb = 2\n", 1, "text is not closed"),
        (b'a = 1\nb = "x\nc = 2\n', 2, "text is not closed"),
        (b'a = 1\nb = """x\nc = 2\n', 2, "text is not closed"),
        (b"a = 1\nb = '''x\nc = 2\n", 2, "text is not closed"),
        (b"a = 'x'\nb = 'it is \x01'\n", 2, "character"),
        (b"a = 2026-05-12T25:00:00Z\n", 1, "date or time does not exist"),
        (b"a = [1,\n2\n", 2, "bracket is not closed"),
        (b"a = 2026-13-45\n", 1, "date or time does not exist"),
        (b"a\n", 1, "'='"),
        (b"a = \n", 1, "not understood"),
        (b"a = hello\n", 1, "not understood"),
        (b"a = 'x' y\n", 1, "more on the line"),
        (b'a = "C:\\logs"\n', 1, "backslash"),
        (b"= 3\n", 1, "key"),
        (b"a = " + b"[" * 5000 + b"]" * 5000, None, "nested"),
        (b".".join([b"a"] * 300) + b" = 1", None, "nested"),
        (b"x = " + b"{a=" * 20 + b"1" + b"}" * 20, None, "nested"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_line(data: bytes, line: int | None, says: str) -> None:
    """Each file gives one sentence with the line at fault."""
    (problem,) = _refused(data)
    assert (problem.file, problem.line) == ("x.toml", line)
    assert any(part in problem.what for part in says.split("|"))
    assert problem.mend


def test_quantities_without_quotes_are_all_told_and_the_rest_is_read() -> None:
    """What is meant by an unquoted quantity is certain: it is told, and reading goes on."""
    document = read_toml("x.toml", "[g]\nspan = 10.9 m   # wing\narea = 17.6 m²\nn = 3\n".encode())
    assert document.data["g"] == {"span": "10.9 m", "area": "17.6 m²", "n": 3}
    assert [(problem.line, problem.mend) for problem in document.problems] == [
        (2, 'write it like: span = "10.9 m"'),
        (3, 'write it like: area = "17.6 m²"'),
    ]


def test_marks_of_other_systems_do_no_harm() -> None:
    """A byte-order mark and carriage returns leave data and lines as they are."""
    document = read_toml("x.toml", b"\xef\xbb\xbfa = 1\r\n[t]\r\nb = '2'\r\n")
    assert document.data == {"a": 1, "t": {"b": "2"}}
    assert document.line(("t", "b")) == 3
    assert text_of("x", b"\xef\xbb\xbfa\r\nb") == "a\nb"


def test_places_are_told_in_words() -> None:
    """A path reads as a person would say it, by names where there are names."""
    document = read_toml("x.toml", b"[[station]]\nname = 'bay'\narm = 1\n[[reading]]\narms = [[1, 2]]\n")
    assert document.place(("station", 0, "arm")) == "station 'bay', arm"
    assert document.place(("reading", 0, "arms", 0, 1)) == "reading 1, arms, item 1, item 2"
    assert document.place(()) is None
    assert document.line(("station", 0, "mass")) == 1
