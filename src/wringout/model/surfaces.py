"""What is believed of a surface before anything was measured on it: rolling resistance and grip."""

from dataclasses import dataclass

RAYMER = "Raymer, table of ground-rolling friction, as quoted elsewhere"
DIEHL = "Diehl; Perkins and Hage (from memory)"


@dataclass(frozen=True, slots=True)
class SurfacePrior:
    """Rolling friction with its relative sd, and the friction that hard braking finds; `source` of both."""

    rolling: float
    rolling_relative_sd: float
    braking: float
    source: str


SURFACES: dict[str, SurfacePrior] = {
    "asphalt": SurfacePrior(0.035, 0.3, 0.45, RAYMER),
    "concrete": SurfacePrior(0.035, 0.3, 0.45, RAYMER),
    "wet asphalt": SurfacePrior(0.05, 0.3, 0.25, RAYMER),
    "wet concrete": SurfacePrior(0.05, 0.3, 0.25, RAYMER),
    "dry grass": SurfacePrior(0.05, 0.3, 0.40, f"{RAYMER}, hard turf"),
    "short grass": SurfacePrior(0.05, 0.3, 0.40, f"{RAYMER}, hard turf; {DIEHL}"),
    "long grass": SurfacePrior(0.10, 0.3, 0.30, DIEHL),
    "wet grass": SurfacePrior(0.08, 0.3, 0.20, RAYMER),
    "soft turf": SurfacePrior(0.07, 0.4, 0.20, RAYMER),
    "gravel": SurfacePrior(0.045, 0.4, 0.30, f"{RAYMER}, firm dirt, widened"),
    "dirt": SurfacePrior(0.04, 0.3, 0.30, f"{RAYMER}, firm dirt"),
    "salt pan": SurfacePrior(0.04, 0.4, 0.30, f"{RAYMER}, firm dirt, widened"),
    "sand": SurfacePrior(0.15, 0.5, 0.30, f"{DIEHL}, soft ground"),
    "snow": SurfacePrior(0.08, 0.5, 0.20, "common practice, no source"),
    "ice": SurfacePrior(0.02, 0.4, 0.08, RAYMER),
}
UNKNOWN = SurfacePrior(0.06, 0.6, 0.30, "surface not in the table: wide, common practice, no source")


def surface_prior(surface: str) -> SurfacePrior:
    """The prior of a surface by its name, case and outer spaces ignored; a wide one where the table has none.

    Examples
    --------
    >>> surface_prior("Dry grass").rolling
    0.05
    >>> surface_prior("heather").rolling_relative_sd
    0.6
    """
    return SURFACES.get(surface.strip().lower(), UNKNOWN)
