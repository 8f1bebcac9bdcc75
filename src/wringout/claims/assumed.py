"""A claim's conditions made whole: what the maker did not say, what is used instead, and that it was so."""

from dataclasses import dataclass

from wringout.airplane.airplane import Airplane, Configuration, Envelope
from wringout.airplane.lookups import configuration, configuration_envelope, flap, reference
from wringout.claims.words import Words
from wringout.dossier.claim import Claim, ClaimQuantity

FIELD: tuple[ClaimQuantity, ...] = (
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
)
LOADS: tuple[ClaimQuantity, ...] = ("empty mass", "useful load", "payload")
NORMAL_CRUISE = 0.75


@dataclass(frozen=True, slots=True)
class Assumed:
    """Conditions without gaps, SI, and one sentence for each gap that was filled."""

    configuration: Configuration
    envelope: Envelope
    mass: float
    flap: str | None
    pressure_altitude: float
    temperature: float | None
    surface: str
    power_fraction: float
    sentences: tuple[str, ...]


def assume(claim: Claim, airplane: Airplane, words: Words) -> Assumed:
    """The claim's conditions with every gap filled by the airplane's own limit, the rule or the standard.

    Raises
    ------
    InputError
        The claim names a configuration or a flap setting that the airplane has not.
    """
    stated, quantity = claim.conditions, claim.quantity
    build = reference(airplane)
    if stated.configuration is not None:
        build = configuration(airplane, stated.configuration)
    envelope = configuration_envelope(airplane, build.name)
    setting = airplane.flaps[-1].name if quantity == "stall speed" else None
    if stated.flap is not None:
        setting = flap(airplane, stated.flap).name
    mass = envelope.maximum_takeoff_mass if stated.mass is None else stated.mass
    flies = quantity not in (*LOADS, "battery endurance")
    in_air = flies and quantity not in ("stall speed", "stopping distance", "glide ratio", "service ceiling")
    gaps = (
        (
            stated.configuration is None
            and len(airplane.configurations) > 1
            and quantity != "battery endurance",
            f"configuration not stated: {build.name}, the one described first",
        ),
        (
            stated.mass is None and flies,
            f"mass not stated: the maximum take-off mass, {words.mass(mass)}",
        ),
        (
            stated.flap is None and quantity == "stall speed",
            f"flaps not stated: {setting}, the slowest stall",
        ),
        (stated.pressure_altitude is None and in_air, "altitude not stated: sea level"),
        (stated.temperature is None and in_air, "temperature not stated: standard"),
        (
            stated.surface is None and quantity in (*FIELD, "stopping distance"),
            "surface not stated: smooth, dry and hard, as for certification [CFR23, 23.45(g)]",
        ),
        (
            stated.power_fraction is None and quantity in ("cruise speed", "fuel flow", "range", "endurance"),
            f"power not stated: {100.0 * NORMAL_CRUISE:.0f} % of rated",
        ),
    )
    return Assumed(
        configuration=build,
        envelope=envelope,
        mass=mass,
        flap=setting,
        pressure_altitude=stated.pressure_altitude or 0.0,
        temperature=stated.temperature,
        surface="asphalt" if stated.surface is None else stated.surface,
        power_fraction=NORMAL_CRUISE if stated.power_fraction is None else stated.power_fraction,
        sentences=tuple(sentence for missing, sentence in gaps if missing),
    )
