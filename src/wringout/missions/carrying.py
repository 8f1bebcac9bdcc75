"""What a mission carries on each leg, stowed for its fuel; what does not go on one leg goes on none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Load
from wringout.loading import LeftBehind, Stowage, fuel_in_tanks, loading_report, stow
from wringout.missions.legs import aboard


@dataclass(frozen=True, slots=True)
class LegFuel:
    """Usable fuel of a leg [m³]: at start-up, burnt before take-off, and left at landing."""

    start: float
    taxi: float
    end: float


@dataclass(frozen=True, slots=True)
class Carried:
    """The stowage of each leg, what stays behind on every one, and what goes, with its pieces."""

    stowages: tuple[Stowage, ...]
    left: tuple[LeftBehind, ...]
    loads: tuple[Load, ...]

    @property
    def complete(self) -> bool:
        """Whether all that must go does, inside every limit, on every leg."""
        within = all(stowage.report.within for stowage in self.stowages)
        return within and not any(item.load.must for item in self.left)

    @property
    def tightest(self) -> int:
        """The leg whose loading is nearest to a limit."""
        shares = [stowage.report.binding.share for stowage in self.stowages]
        return shares.index(min(shares))


def carry(
    airplane: Airplane,
    configuration: str,
    loads: Sequence[Load],
    fuels: Sequence[LegFuel],
    route: Sequence[str] = (),
) -> Carried:
    """Stows the loads for each leg in turn.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loads : sequence of Load
    fuels : sequence of LegFuel
        One a leg.
    route : sequence of str
        The strips in order, where loads are taken on and put off; empty for a single leg.

    Returns
    -------
    Carried
        Each leg is the best there is by itself; a piece that does not go on one leg is taken off them all,
        so that on a route with loads taken on under way other choices might carry more.

    Raises
    ------
    InputError
        As `stow`, and where a load is put off before it is taken on.
    """
    going = list(loads)
    left: dict[int, LeftBehind] = {}
    for _ in range(1 + len(loads)):
        stowages: list[Stowage] = []
        for number, fuel in enumerate(fuels):
            here = [index for index in aboard(loads, route, number) if going[index].count > 0]
            wanted = tuple(going[index] for index in here)
            stowages.append(_stowed(airplane, configuration, wanted, fuel, stowages))
            for item in stowages[-1].left:
                index = here[next(n for n, load in enumerate(wanted) if load is item.load)]
                before = left[index].count if index in left else 0
                left[index] = LeftBehind(loads[index], before + item.count, item.stop)
                going[index] = replace(going[index], count=going[index].count - item.count)
        if not any(stowage.left for stowage in stowages):
            break
    whole = {id(now): load for now, load in zip(going, loads, strict=True)}
    return Carried(
        tuple(
            replace(
                stowage, placed=tuple(replace(item, load=whole[id(item.load)]) for item in stowage.placed)
            )
            for stowage in stowages
        ),
        tuple(left[index] for index in sorted(left)),
        tuple(load for load in going if load.count > 0),
    )


def _stowed(
    airplane: Airplane,
    configuration: str,
    loads: tuple[Load, ...],
    fuel: LegFuel,
    before: Sequence[Stowage],
) -> Stowage:
    """As on the leg before where the same things are aboard and still lie well; else anew."""
    tanks = fuel_in_tanks(airplane.tanks, fuel.start)
    last = before[-1] if before else None
    if last is not None and not last.left and _pieces(last) == {id(load): load.count for load in loads}:
        loading = replace(last.loading, fuel=tanks)
        report = loading_report(airplane, configuration, loading, fuel.taxi, fuel.end)
        if report.within:
            return replace(last, loading=loading, report=report)
    return stow(airplane, configuration, loads, tanks, fuel.taxi, landing_fuel=fuel.end)


def _pieces(stowage: Stowage) -> dict[int, int]:
    found: dict[int, int] = {}
    for item in stowage.placed:
        found[id(item.load)] = found.get(id(item.load), 0) + item.count
    return found
