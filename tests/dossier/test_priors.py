"""[[prior]] in airplane.toml: a name that is none and a unit of another kind are told with their line."""

from pathlib import Path

import pytest

from wringout.dossier import check, create, load


def written(root: Path, parameter: str, value: str) -> int:
    """A new dossier with one prior; the line on which its table begins."""
    create(root)
    file = root / "airplane.toml"
    text = file.read_text(encoding="utf-8")
    table = f'[[prior]]\nparameter = "{parameter}"\nvalue = "{value}"\nreason = "tow test"\n'
    file.write_text(f"{text}\n{table}", encoding="utf-8")
    return len(text.splitlines()) + 2


def test_a_prior_with_its_unit_is_read(tmp_path: Path) -> None:
    """Mean, sd and reason, in SI."""
    written(tmp_path / "mine", "zero-lift drag area", "0.62 m² ± 0.06 m²")
    (prior,) = load(tmp_path / "mine").airplane.priors
    assert (prior.mean, prior.sd, prior.reason) == (0.62, 0.06, "tow test")


@pytest.mark.parametrize(
    ("parameter", "value", "words", "below"),
    [
        ("zero-lift drag coefficient", "0.034 ± 0.004", "write 'zero-lift drag area' if that is meant", 1),
        ("zero-lift drag area", "0.034 ± 0.004", "the parameter in m²", 2),
        ("approach angle: short", "4 m ± 1 m", "the parameter in rad", 2),
        ("span efficiency", "-0.8 ± 0.1", "never -0.8", 2),
    ],
)
def test_a_wrong_prior_is_told_with_file_and_line(
    tmp_path: Path, parameter: str, value: str, words: str, below: int
) -> None:
    """The line of the name, or of the value."""
    line = written(tmp_path / "mine", parameter, value)
    (problem,) = check(tmp_path / "mine")
    assert words in problem.sentence().replace("Write", "write")
    assert (problem.file, problem.line) == ("airplane.toml", line + below)
