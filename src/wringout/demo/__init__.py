"""The invented demos: airplanes, their evaluations, and the simulator that flew them."""

from pathlib import Path


def write_demo(root: Path, seed: int | None = None, airplane: str | None = None) -> None:
    """Write the demo dossier into a new or empty folder; of a demo that is there already, what is missing.

    `seed` changes all that is left to chance in it; `airplane` names one of the invented ones, of which the
    Shepherd is the first.

    Raises
    ------
    InputError
        There is no such airplane, or the folder holds something else, or cannot be written.
    """
    # The simulator and numpy are imported only when flown, so that --help is instant.
    from wringout.demo import setup, write

    write.write_demo(root, write.SEED if seed is None else seed, airplane or setup.AIRPLANES[0])


__all__ = ["write_demo"]
