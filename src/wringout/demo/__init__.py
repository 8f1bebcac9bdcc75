"""The invented demo: an airplane, its evaluation in five flights, and the simulator that flew them."""

from pathlib import Path


def write_demo(root: Path, seed: int | None = None) -> None:
    """Write the demo dossier into a new or empty folder; of a demo that is there already, what is missing.

    `seed` changes all that is left to chance in it.

    Raises
    ------
    InputError
        The folder holds something else, or cannot be written.
    """
    # The simulator and numpy are imported only when flown, so that --help is instant.
    from wringout.demo import write

    write.write_demo(root, write.SEED if seed is None else seed)


__all__ = ["write_demo"]
