"""What every scenario of the second opinion shares: reading, books, statistics.

Quantities are read as `scenarios/README.md` of the project describes them and
turned into SI units with litres and kilograms. Nothing here knows a scenario.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import math
import re
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import yaml

PRESETS = Path(__file__).resolve().parents[2] / "presets"

# United States customary measure, exact by definition (NIST Handbook 44, appendix C).
GALLON_L = 3.785411784
UNITS: dict[str, float] = {
    "gal": GALLON_L,
    "qt": GALLON_L / 4,
    "pint": GALLON_L / 8,
    "cup": GALLON_L / 16,
    "L": 1.0,
    "dl": 0.1,
    "ml": 0.001,
    "kg": 1.0,
    "g": 0.001,
    "lb": 0.45359237,
    "oz": 0.45359237 / 16,
    "min": 1.0 / 60,
    "h": 1.0,
    "days": 24.0,
    "day": 24.0,
    "weeks": 168.0,
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "in": 0.0254,
    "W": 1.0,
    "%": 0.01,
    "°C": 1.0,
    "kg/week": 1.0 / 7,
    "L/week": 1.0 / 7,
    "lb/week": 0.45359237 / 7,
}
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def quantity(text: Any) -> float:
    """A quantity with its unit, as a number.

    Litres, kilograms, hours, metres, watts, degrees Celsius, parts of one, kg a day.
    Source: the table of units in scenarios/README.md.
    """
    words = {"none": 0.0, "half": 0.5, "a third": 1 / 3, "a quarter": 0.25}
    if str(text) in words:
        return words[str(text)]
    found = re.fullmatch(r"\s*(-?[0-9.]+)\s*(\S+)\s*", str(text))
    if found is None or found.group(2) not in UNITS:
        raise ValueError(f"not a quantity: {text!r}")
    return float(found.group(1)) * UNITS[found.group(2)]


def give_or_take(text: Any) -> tuple[str, float]:
    """Splits `X give or take Y`: the first part as text, the spread as a number (0 if none).

    Source: scenarios/README.md, "Rules of writing": one standard deviation.
    """
    first, _, spread = str(text).partition(" give or take ")
    return first, quantity(spread) if spread else 0.0


def hour(text: str) -> float:
    """An hour of the day such as "6:30", in hours."""
    hours, _, minutes = text.partition(":")
    return float(hours) + float(minutes) / 60


def date(value: Any) -> dt.date:
    """A date, whether YAML has read it as one or not."""
    return value if isinstance(value, dt.date) else dt.date.fromisoformat(str(value))


def read(path: Path) -> dict[str, Any]:
    """One YAML file as it stands."""
    with path.open(encoding="utf-8") as file:
        return dict(yaml.safe_load(file))


def preset(kind: str, name: str, over: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """A preset of `presets/KIND.yaml` with the scenario's own figures laid over it."""
    return {**read(PRESETS / f"{kind}.yaml").get(name, {}), **(over or {})}


class Books:
    """Where the milk went: kilograms of milk and of fat by fate (all outputs without additions).

    Source: the conservation rule; a trial closes to 1e-9 of all that came in.
    """

    def __init__(self) -> None:
        self.fates: dict[str, list[float]] = {}
        self.drawn = [0.0, 0.0]

    def went(self, fate: str, kg: float, fat_kg: float) -> None:
        """Books so many kilograms, with so much fat in them, to a fate."""
        entry = self.fates.setdefault(fate, [0.0, 0.0])
        entry[0] += kg
        entry[1] += fat_kg

    def milk(self, *fates: str) -> float:
        """Kilograms booked to these fates together."""
        return sum(self.fates.get(f, [0.0, 0.0])[0] for f in fates)

    def fat(self, *fates: str) -> float:
        """Kilograms of fat booked to these fates together."""
        return sum(self.fates.get(f, [0.0, 0.0])[1] for f in fates)

    def check(self) -> None:
        """Refuses books that do not balance to 1e-9."""
        for i in (0, 1):
            out = sum(entry[i] for entry in self.fates.values())
            if abs(out - self.drawn[i]) > 1e-9 * max(self.drawn[i], 0.001):
                raise ArithmeticError(f"books do not balance: {self.drawn[i]} in, {out} out")


class Served:
    """How a wish was met, day by day: asked and served, kilograms.

    A day is short when less than 99 % is served; days before the wish counts are left out.
    Source: scenarios/README.md and the project's definition of its measures.
    """

    def __init__(self) -> None:
        self.asked = self.given = self.short_kg = 0.0
        self.days = self.short = self.gap = self.longest = 0

    def day(self, asked: float, given: float) -> None:
        """Books one day that counts."""
        self.days += 1
        self.asked += asked
        self.given += given
        self.short_kg += asked - given if asked - given > 1e-9 else 0.0
        if given < 0.99 * asked:
            self.short += 1
            self.gap += 1
            self.longest = max(self.longest, self.gap)
        else:
            self.gap = 0

    def measures(self, name: str) -> dict[str, float]:
        """The measures of this wish under the program's names."""
        return {
            f"{name}_fill": self.given / self.asked if self.asked else 1.0,
            f"{name}_short_days": float(self.short),
            f"{name}_longest_gap": float(self.longest),
            f"{name}_short": self.short_kg,
        }


def lognormal(rng: np.random.Generator, mean: float, cv: float, size: int) -> np.ndarray:
    """Log-normal draws with this arithmetic mean and coefficient of variation.

    Source: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 1, ch. 14.
    """
    s2 = math.log1p(cv * cv)
    return mean * np.exp(rng.normal(-s2 / 2, math.sqrt(s2), size))


def gamma(rng: np.random.Generator, mean: float, cv: float, size: int) -> np.ndarray:
    """Gamma draws with this mean and coefficient of variation; the mean itself without spread.

    Source: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 1, ch. 17: a shape
    of 1 / cv^2.
    """
    if cv == 0:
        return np.full(size, mean)
    return rng.gamma(1 / cv**2, mean * cv**2, size)


def nearest_rank(values: Sequence[float], p: float) -> float:
    """The nearest-rank quantile: the smallest value with at least a part p at or below it."""
    ranked = sorted(values)
    return ranked[max(0, math.ceil(p * len(ranked) - 1e-9) - 1)]


def quantile_se(values: Sequence[float], p: float) -> float:
    """Standard error of a quantile by the order statistics two binomial standard deviations away.

    Source: David & Nagaraja 2003, Order Statistics, section 7.1.
    """
    n = len(values)
    ranked = sorted(values)
    sd = 2 * math.sqrt(p * (1 - p) * n)
    low = max(0, math.floor(p * n - sd) - 1)
    high = min(n - 1, math.ceil(p * n + sd))
    return (ranked[high] - ranked[low]) / 4


def summary(trials: Sequence[Mapping[str, float]]) -> dict[str, dict[str, float]]:
    """Mean, 10th and 90th percentile of each measure, each with its standard error."""
    out: dict[str, dict[str, float]] = {}
    for name in trials[0]:
        values = [t[name] for t in trials]
        out[name] = {
            "mean": float(np.mean(values)),
            "mean_se": float(np.std(values, ddof=1) / math.sqrt(len(values))) if len(values) > 1 else 0.0,
            "p10": nearest_rank(values, 0.10),
            "p10_se": quantile_se(values, 0.10),
            "p90": nearest_rank(values, 0.90),
            "p90_se": quantile_se(values, 0.90),
        }
    return out


Trial = Callable[[Any, int, int, bool], dict[str, float]]


def main(load: Callable[[Path], Any], trial: Trial) -> None:
    """The command line of a scenario's model: summary as JSON on standard output."""
    parser = argparse.ArgumentParser()
    parser.add_argument("scenario", type=Path)
    parser.add_argument("--trials", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--steady", action="store_true")
    parser.add_argument("--workers", type=int, default=2)
    args = parser.parse_args()
    plan = load(args.scenario)
    count = 1 if args.steady else args.trials
    jobs = ([plan] * count, [args.seed] * count, range(count), [args.steady] * count)
    if count == 1:
        results = [trial(plan, args.seed, 0, args.steady)]
    else:
        with ProcessPoolExecutor(args.workers) as pool:
            results = list(pool.map(trial, *jobs, chunksize=25))
    print(json.dumps({"trials": count, "seed": args.seed, "measures": summary(results)}, indent=1))
