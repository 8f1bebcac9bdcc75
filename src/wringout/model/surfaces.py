"""What is believed of a surface before anything was measured on it: rolling resistance and braking."""

from dataclasses import dataclass

from wringout.physics.ground import SURFACES, Surface

ALIASES = {
    "asphalt": "dry concrete",
    "concrete": "dry concrete",
    "paved": "dry concrete",
    "tarmac": "dry concrete",
    "dry asphalt": "dry concrete",
    "wet asphalt": "wet concrete",
    "grass": "dry grass",
    "short grass": "dry grass",
    "dirt": "firm dirt",
    "earth": "firm dirt",
}
LEAST_RELATIVE_SD = 0.25  # tables of rolling friction differ among themselves by as much
UNKNOWN = Surface(
    "unknown", 0.06, (0.02, 0.2), 0.3, (0.1, 0.5), "surface not in the table: common practice, no source"
)


@dataclass(frozen=True, slots=True)
class SurfacePrior:
    """Rolling friction with its relative sd, friction of hard braking with its bounds, and their source."""

    rolling: float
    rolling_relative_sd: float
    braking: float
    braking_bounds: tuple[float, float]
    known: bool
    source: str


def table_name(surface: str) -> str:
    """The name under which the table has a surface; the name itself where it has none.

    Examples
    --------
    >>> table_name("Grass"), table_name("heather")
    ('dry grass', 'heather')
    """
    name = surface.strip().lower()
    return ALIASES.get(name, name)


def surface_prior(surface: str) -> SurfacePrior:
    """The prior of a surface by its name, case and outer spaces ignored; a wide one where the table has none.

    Examples
    --------
    >>> surface_prior("Dry grass").rolling
    0.05
    >>> surface_prior("heather").known
    False
    """
    found = SURFACES.get(table_name(surface), UNKNOWN)
    low, high = found.rolling_bounds
    return SurfacePrior(
        rolling=found.rolling,
        rolling_relative_sd=max(LEAST_RELATIVE_SD, 0.5 * (high - low) / found.rolling),
        braking=found.braking,
        braking_bounds=found.braking_bounds,
        known=found is not UNKNOWN,
        source=found.source,
    )
