"""The science of the second opinion, as pure functions, each with its source."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

T_MIN = -7.85  # °C; Fu, Taoukis & Labuza 1991, Journal of Food Science 56:1209
MILK_KG_L = 1.032  # kg/L, from memory (1.027 to 1.036)
MILK_HEAT = 3.90  # kJ/kg K, worked out from Kessler's mixing rule (3.84 to 3.95)
GLASS_HEAT = 0.84  # kJ/kg K, from memory
UDDER_C = 35.0  # °C in the strainer, common practice, no source
ROOM_C = 21.0  # °C round the fridge, our default
JAR_H = {"still": 8.0, "fan": 15.0}  # W/m2 K, Churchill-Chu with radiation; fan: common practice
CABINET_UA = 1.6  # W/K, from memory (1.2 to 2.0)
BAND_K = 1.0  # K over which the machine comes to full power, our default
AIR_HEAT = 15.0  # kJ/K, air and liner, our default
WETTED = 0.8  # part of a jar's height that milk wets: the worked 0.091 m2 of a half-gallon jar
CHILLED_C = 4.4  # °C (40 °F), the chilling rules of several states


def wood(t: np.ndarray, a: float, b: float, c: float) -> np.ndarray:
    """Kilograms of milk on day t from freshening (first day 1): Wood 1967, Nature 216:164-165."""
    return a * t**b * np.exp(-c * t)


def course(t: np.ndarray, shape: Mapping[str, float]) -> np.ndarray:
    """Percent of fat or protein on day t, before it is moved to the lactation's mean.

    Shape fitted to the data of Friggens, Ridder & Lovendahl 2007, Journal of Dairy
    Science 90:5453-5467.
    """
    return shape["base"] + shape["early"] * np.exp(-shape["fades"] * t) + shape["climb"] * t


def fat_percent(
    t: np.ndarray, mean: float, shape: Mapping[str, float], curve: Mapping[str, float], days: int
) -> np.ndarray:
    """Percent of fat on day t, so that the lactation's mean by mass is as given (mass balance)."""
    whole = np.arange(1.0, days + 1)
    milk = wood(whole, curve["a"], curve["b"], curve["c"])
    shift = mean - float(np.sum(milk * course(whole, shape)) / np.sum(milk))
    return course(t, shape) + shift


def rate(celsius: float) -> float:
    """How fast sweet life is used up, against 4 °C: Ratkowsky et al. 1982, square-root model."""
    return ((celsius - T_MIN) / (4.0 - T_MIN)) ** 2


def counter_rate(celsius: float, swings: float, life_h: float) -> float:
    """Hours of sweet life at 4 °C used up in an hour on the counter, where souring is the faster.

    Lactic acid bacteria, 12 to 30 °C: Valik, Acai & Medvedova 2018, Food Control 87:145; from 100
    to 100 million a millilitre (from memory), set against the life of ordinary milk.
    """
    cold = ((celsius - T_MIN) ** 2 + swings**2) / (4.0 - T_MIN) ** 2
    sours_h = 6 * math.log(10) / (0.0377 * (celsius - 0.354)) ** 2
    return max(cold, life_h / sours_h)


def circles(width: float, depth: float, across: float) -> int:
    """How many jars stand on a shelf, square or staggered rows, whichever is more (geometry)."""

    def staggered(w: float, d: float) -> int:
        first, second = int(w / across + 1e-9), int((w - across / 2) / across + 1e-9)
        rows = 1 + int((d - across) / (math.sqrt(3) / 2 * across) + 1e-9)
        return (rows + 1) // 2 * first + rows // 2 * second

    square = int(width / across + 1e-9) * int(depth / across + 1e-9)
    return max(square, staggered(width, depth), staggered(depth, width))


def chill(litres: float, jar: Mapping[str, float], at: float, spare_w: float, fan: str) -> tuple[float, float]:
    """Hours until 4.4 °C, and hours of sweet life (at the store's warmth) that chilling costs.

    Two nodes, the air with its machine and the milk in its jars: lumped heat transfer, as
    jars of thin liquid allow. Same form as in Laguerre 2010 (household refrigerators).
    """
    # A lone part-filled jar keeps its full glass and surface.
    jars = max(litres / jar["working_l"], 1.0)
    across, height = jar["across_m"], WETTED * jar["height_m"]
    area = math.pi * across * height + math.pi * across**2 / 2
    heat = litres * MILK_KG_L * MILK_HEAT + 0.5 * jars * jar["weighs_kg"] * GLASS_HEAT
    give = JAR_H[fan] * area * jars
    leak = CABINET_UA * (ROOM_C - at)

    def flow(_t: float, y: np.ndarray) -> list[float]:
        milk, air, _used = y
        power = min(max(leak + spare_w * (air - at) / BAND_K, 0.0), spare_w + leak)
        out = give * (milk - air)
        into = out + CABINET_UA * (ROOM_C - air) - power
        return [-out * 3.6 / heat, into * 3.6 / AIR_HEAT, rate(milk) / rate(at) - 1.0]

    def cold(_t: float, y: np.ndarray) -> float:
        return float(y[0]) - CHILLED_C

    run = solve_ivp(flow, (0.0, 96.0), [UDDER_C, at, 0.0], method="LSODA", events=cold, rtol=1e-7, atol=1e-9)
    hours = float(run.t_events[0][0]) if len(run.t_events[0]) else math.inf
    return hours, float(run.y[2][-1])


@dataclass(frozen=True)
class Cream:
    """The cream in a jar at rest, all as parts of the milk by mass, cow's milk at 4 °C.

    Depth of the layer: 4.1 % of the volume for each percent of fat at 24 h ("The volume of the
    cream layers forming on Holstein and Jersey milk", Journal of Dairy Science, abstract); a fifth
    deeper to 12 h and a tenth shallower from 48 h (common practice, no source). A part of the fat
    never rises, the rest as a first-order process (our default). In the layer fat falls in a
    straight line; what has risen, over the fat left below, falls in the same proportion at all
    times and in all milk (our default: a line through all of the fat would make the bottom of a
    young layer poorer than the milk under it).
    """

    tau_h: float
    never: float
    top_over_bottom: float

    @classmethod
    def published(cls) -> Cream:
        """From what was measured, and not from any figure of the program.

        Ma & Barbano 2000, Journal of Dairy Science 83:1719: 0.20 % left under the cream of 3.75 %
        milk at 48 h. Half a percent left in milk of 5 % at 24 h (common practice, no source): two
        equations for the part that never rises and the time. With the depth above that milk's
        layer has a mean of 22.5 %; at its bottom it is as rich as the milk (our default).
        """
        day, two_days = 0.5 / 5.0, 0.20 / 3.75
        falls = (1 - two_days) / (1 - day) - 1
        never = 1 - (1 - day) / (1 - falls)
        deep = 0.041 * 5.0
        mean = (5.0 - 0.5 * (1 - deep)) / deep
        return cls(-24.0 / math.log(falls), never, (2 * mean - 5.0 - 0.5) / (5.0 - 0.5))

    def layer(self, fat: float, hours: float) -> tuple[float, float]:
        """Part of the milk in the layer, and percent of fat below it."""
        deep = 0.041 * fat * float(np.interp(hours, [12.0, 24.0, 48.0], [1.2, 1.0, 0.9]))
        return deep, fat * (self.never + (1 - self.never) * math.exp(-hours / self.tau_h))

    def cut(self, fat: float, hours: float, leave: float) -> tuple[float, float]:
        """Part of the milk to take so that `leave` percent of fat stays, and the cut's percent of fat.

        Mass balance: F = c Fc + (1 - c) left. Nothing where the milk is no richer.
        """
        if fat <= leave:
            return 0.0, 0.0
        deep, below = self.layer(fat, hours)
        mean = (fat - below * (1 - deep)) / deep
        bottom = 2 * (mean - below) / (1 + self.top_over_bottom)
        fall = bottom * (self.top_over_bottom - 1)
        top = below + bottom + fall

        # leave = (F - deep (top x - fall x^2 / 2)) / (1 - deep x), solved for x.
        half, rest = top - leave, fat - leave
        root = half * half - 2 * fall * rest / deep
        x = min((half - math.sqrt(root)) / fall, 1.0) if root >= 0 else 1.0
        return deep * x, top - fall * x / 2


def churn(kg: float, fat: float, recipe: Mapping[str, Any]) -> tuple[float, float]:
    """Butter and its fat in kilograms, from cream of so much mass and fat (after the film).

    University of Guelph, worked example of butter yield: butter = kept fat / its fat.
    """
    kept = recipe["fat kept"] * fat
    return kept / recipe["fat"], kept
