"""The true piston engine, with or without a charger: indicated power less friction."""

from dataclasses import dataclass

from wringout.demo.air import STANDARD_PRESSURE, STANDARD_TEMPERATURE

INCH_OF_MERCURY = 3386.389
IDLE_MANIFOLD = 10.0 * INCH_OF_MERCURY
IDLE_BLEND = 5.0 * INCH_OF_MERCURY
OPEN_THROTTLE = 0.8  # of the way from idle to ambient pressure, beyond which nothing idles
RAM = 0.45  # of the dynamic pressure that reaches the intake
COMPRESSOR_EFFICIENCY = 0.70
COMPRESSION = 0.2857  # (γ − 1)/γ of air


@dataclass(frozen=True, slots=True)
class PistonEngine:
    """Powers in W, pressures in Pa, speeds in 1/s.

    A charger keeps the manifold at `boost_limit` as long as it need not raise the intake's pressure by more
    than `boost_ratio`; it heats the charge, of which `intercooling` is taken out again, and dams the exhaust.
    """

    rated_power: float
    rated_speed: float
    health: float  # what this engine gives of its maker's chart
    friction_power: float  # at rated speed
    intake_loss: float
    back_pressure: float  # of the exhaust's pressure that is taken from the charge
    rich: float  # power full rich against the best mixture
    specific_consumption: float  # [kg/J] of shaft and pumping work, at best power
    idle_power: float  # whose fuel an engine takes beside that for its shaft [W]
    boost_limit: float = 0.0  # 0: no charger
    boost_ratio: float = 1.0
    intercooling: float = 0.0
    heat: float = 0.75  # exponent of T_std/T in the charge: 0.5 a throat's flow, 1 its density
    exhaust_dam: float = 0.0  # rise of the exhaust's pressure over that of the manifold

    def full_manifold(self, pressure: float, engine_speed: float, dynamic_pressure: float) -> float:
        """Manifold pressure [Pa], throttle open: ambient, less what the intake loses, and some ram."""
        loss = self.intake_loss * (engine_speed / self.rated_speed) ** 2 * pressure / STANDARD_PRESSURE
        drawn = pressure - loss + RAM * dynamic_pressure
        return min(self.boost_limit, self.boost_ratio * drawn) if self.boost_limit else drawn

    @property
    def rated_manifold(self) -> float:
        """Manifold pressure [Pa] of rated power, standard day at sea level."""
        return self.boost_limit or STANDARD_PRESSURE - self.intake_loss

    def power(
        self,
        manifold: float,
        engine_speed: float,
        pressure: float,
        temperature: float,
        *,
        mixture: float,
        health: float | None = None,
    ) -> float:
        """Shaft power [W]: the charge's indicated power less friction; `mixture` 1 is best power."""
        charge = self._charge(manifold, pressure) / self._charge(self.rated_manifold, STANDARD_PRESSURE)
        relative_speed = engine_speed / self.rated_speed
        coolness = self._coolness(manifold, pressure, temperature)
        if self.boost_limit:
            coolness /= self._coolness(self.boost_limit, STANDARD_PRESSURE, STANDARD_TEMPERATURE)
        indicated = (self.rated_power + self.friction_power) * charge * relative_speed * coolness
        # Where little is left above idle, an open throttle is still an open throttle.
        above_idle = max(OPEN_THROTTLE * (pressure - IDLE_MANIFOLD), 0.05 * IDLE_BLEND)
        blend = min(max((manifold - IDLE_MANIFOLD) / min(IDLE_BLEND, above_idle), 0.0), 1.0)
        friction = self.friction_power * float(relative_speed**1.8)
        given = self.health if health is None else health
        return max(given * mixture * (indicated - friction), 0.0) * blend

    def fuel_flow(self, power: float, mixture: float) -> float:
        """Fuel flow [kg/s]: for the power and for the engine's own friction; rich takes an eighth more."""
        specific = self.specific_consumption * (1.0 + 9.5 * (1.0 - mixture))
        return specific * (power + self.idle_power)

    def _charge(self, manifold: float, pressure: float) -> float:
        exhaust = pressure + self.exhaust_dam * max(manifold - pressure, 0.0)
        return manifold - self.back_pressure * exhaust

    def _coolness(self, manifold: float, pressure: float, temperature: float) -> float:
        warm = temperature
        if self.boost_limit and manifold > pressure:
            rise = temperature * ((manifold / pressure) ** COMPRESSION - 1.0) / COMPRESSOR_EFFICIENCY
            warm += (1.0 - self.intercooling) * rise
        return float((STANDARD_TEMPERATURE / warm) ** self.heat)
