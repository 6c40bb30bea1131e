"""What air holds and what it can still take up: psychrometrics by psychrolib, in SI units."""

from __future__ import annotations

from dataclasses import dataclass

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)  # the library keeps its unit system in a global

SEA_LEVEL_PA = 101_325.0  # standard atmosphere: ISO 2533


@dataclass(frozen=True, slots=True)
class Air:
    """Moist air: temperature, kg water per kg dry air, and pressure in Pa.

    Every method is psychrolib's (ASHRAE Handbook - Fundamentals 2017, chapter 1; ideal gas), and
    raises ValueError outside its range.
    """

    celsius: float
    humidity_ratio: float
    pressure_pa: float = SEA_LEVEL_PA

    @classmethod
    def of_humidity(
        cls, celsius: float, relative: float, *, pressure_pa: float = SEA_LEVEL_PA
    ) -> Air:
        """Air of a relative humidity from 0 to 1."""
        ratio = psychrolib.GetHumRatioFromRelHum(celsius, relative, pressure_pa)
        return cls(celsius, ratio, pressure_pa)

    @classmethod
    def of_wet_bulb(
        cls, celsius: float, wet_bulb_c: float, *, pressure_pa: float = SEA_LEVEL_PA
    ) -> Air:
        """Air as two thermometers read it, the second with a wetted bulb."""
        ratio = psychrolib.GetHumRatioFromTWetBulb(celsius, wet_bulb_c, pressure_pa)
        return cls(celsius, ratio, pressure_pa)

    @property
    def relative_humidity(self) -> float:
        """From 0 to 1."""
        return float(
            psychrolib.GetRelHumFromHumRatio(self.celsius, self.humidity_ratio, self.pressure_pa)
        )

    @property
    def dew_point_c(self) -> float:
        return float(
            psychrolib.GetTDewPointFromHumRatio(self.celsius, self.humidity_ratio, self.pressure_pa)
        )

    @property
    def enthalpy(self) -> float:
        """J per kg dry air, nought for dry air at 0 C."""
        return float(psychrolib.GetMoistAirEnthalpy(self.celsius, self.humidity_ratio))

    def heated(self, celsius: float) -> Air:
        """The same air at another temperature: a heater adds no water."""
        return Air(celsius, self.humidity_ratio, self.pressure_pa)

    def adiabatically_saturated(self) -> Air:
        """What this air becomes when it takes up all the water that its own heat can evaporate."""
        cooled = psychrolib.GetTWetBulbFromHumRatio(
            self.celsius, self.humidity_ratio, self.pressure_pa
        )
        return Air(cooled, saturated_humidity_ratio(cooled, self.pressure_pa), self.pressure_pa)

    def pick_up(self, share: float) -> float:
        """Kg water per kg dry air taken up at a share, 0 to 1, of what saturation would take.

        Source: Practical Action KnO-100217: 0.1 to 0.3 for dense, sugary or starchy food, about
        0.5 for herbs.
        """
        return share * (self.adiabatically_saturated().humidity_ratio - self.humidity_ratio)


def saturation_pressure(celsius: float) -> float:
    """Vapour pressure over water or ice, in Pa, from -100 to 200 C. Source: ASHRAE as for Air."""
    return float(psychrolib.GetSatVapPres(celsius))


def saturated_humidity_ratio(celsius: float, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Kg water per kg dry air in saturated air. Source: ASHRAE as for Air."""
    return float(psychrolib.GetSatHumRatio(celsius, pressure_pa))


def pressure_at(altitude_m: float) -> float:
    """Pa of the standard atmosphere at a height above the sea. Source: ASHRAE as for Air."""
    return float(psychrolib.GetStandardAtmPressure(altitude_m))
