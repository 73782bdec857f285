"""The scenario of one cow as the second opinion understands it: SI numbers, no text.

Source of every default: scenarios/README.md and the presets.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import laws
import shared
from shared import quantity

SWEET = ("skimmed milk", "whole milk")
CREAMS = ("top cream", "middle cream", "thin cream")


@dataclass
class Plan:
    """The scenario in litres, kilograms, hours and metres."""

    raw: dict[str, Any]
    first: dt.date
    days: int
    hours: dict[str, float]
    animal: dict[str, Any]
    jar: dict[str, float]
    shelves: int
    places: int
    room_l: float
    at: float
    warm: float
    spare_w: float
    fan: str
    density: dict[str, float]
    keeps_h: dict[str, float]
    risks: dict[str, float]
    butter: dict[str, Any]
    eater: dict[str, Any]
    skim: dict[str, Any]
    make: dict[str, Any]
    tonight: list[tuple[str, str]]
    chills: list[tuple[float, float]] = field(default_factory=list)
    cream: laws.Cream = field(default_factory=laws.Cream.published)

    def chill(self, litres: float) -> tuple[float, float]:
        """Hours to 4.4 °C and hours of life lost for a warm milking, from a table a litre apart."""
        steps = 0.25
        index = litres / steps
        low = min(int(index), len(self.chills) - 2)
        part = index - low
        a, b = self.chills[low], self.chills[low + 1]
        return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def load(path: Path) -> Plan:
    """Reads cow.yaml; source of every default: scenarios/README.md and the presets."""
    raw = shared.read(path)
    plan = household(raw)
    skim, make = raw["routine"]
    plan.skim = {
        "after": quantity(skim["after"]),
        "leave": quantity(str(skim["leave"]).removesuffix(" fat")) * 100,
        "days": skim["days"],
    }
    plan.make = {"least": quantity(str(make["when"]["have"]["cream"]).removeprefix("at least ")), "days": make["days"]}
    return plan


def household(raw: dict[str, Any]) -> Plan:
    """What every household has: hours, a first animal, one size of jar, one fridge, one pig."""
    beast = shared.preset("breeds", raw["animals"][0]["breed"], raw["animals"][0])
    ((jar_name, jar_over),) = raw["jars"].items()
    jar = shared.preset("jars", jar_name, jar_over)
    (store,) = raw["stores"].values()
    count, size = str(store["shelves"]).split(" of ")
    counter = shared.preset("stores", "counter")
    width, depth, clear = (quantity(x) for x in size.split(" x "))
    across, height = quantity(jar["across"]), quantity(jar["height"])
    products = {
        k: shared.preset("products", k) for k in (*SWEET, *CREAMS, "sour milk", "soured cream", "buttermilk", "butter")
    }
    butter = shared.preset("recipes", "butter", raw.get("recipes", {}).get("butter"))
    made = butter["gives"][0]
    pigs = raw["animals fed"]["pigs"]
    clean = shared.preset("cleanliness", "ordinary", raw["risks"])
    plan = Plan(
        raw=raw,
        first=shared.date(raw["starts"]),
        days=round(quantity(raw["lasts"]) / 24),
        hours={k: shared.hour(v) for k, v in raw["hours"].items()},
        animal=beast,
        jar={
            "working_l": quantity(jar["filled to"]),
            "across_m": across,
            "height_m": height,
            "weighs_kg": quantity(jar["weighs"]),
        },
        shelves=int(count),
        places=int(count) * laws.circles(width, depth, across) * int(clear / height),
        room_l=int(count) * width * depth * clear * 1000,
        at=quantity(store["at"]),
        warm=laws.counter_rate(
            quantity(counter["at"]),
            quantity(counter["swings"]),
            quantity(shared.preset("cleanliness", "ordinary")["stays sweet"]),
        )
        / laws.rate(quantity(store["at"])),
        spare_w=quantity(store["spare cooling"]),
        fan=str(store.get("fan", "still")),
        density={k: quantity(p["a litre weighs"]) for k, p in products.items()},
        keeps_h={k: quantity(p["keeps"]["fridge"]) for k, p in products.items()},
        risks={
            k: quantity(clean[k]) for k in ("stays sweet", "give or take", "strainer", "jar film", "sour milk kept")
        },
        butter={
            "least_l": quantity(butter["least"]),
            "most_l": quantity(butter["most"]),
            "takes_h": quantity(butter["takes"]),
            "litre_h": quantity(butter["takes per litre"]),
            "film": quantity(butter["film"]),
            "fat kept": quantity(made["fat kept"]),
            "fat": quantity(made["fat"]),
            "room": quantity(shared.preset("products", "butter")["room per kg"]),
        },
        eater={
            "heads": pigs["heads"],
            # Litres of each thing weigh what it weighs; of all together, as milk.
            "takes": {
                k: quantity(v) * pigs["heads"] * quantity(products[k]["a litre weighs"])
                for k, v in pigs["takes"].items()
            },
            "most": quantity(pigs["most"]) * pigs["heads"] * laws.MILK_KG_L,
        },
        skim={},
        tonight=[],
        make={},
    )
    for entry in raw["when full"]["tonight"]:
        act, item = (
            ("feed", entry.removeprefix("feed "))
            if entry.startswith("feed ")
            else ("wasted_no_room", entry.removeprefix("pour out "))
        )
        plan.tonight += [(act, x) for x in (SWEET if item == "oldest milk" else (item,))]
    top = 30.0
    plan.chills = [(0.0, 0.0)] + [
        laws.chill(0.25 * i, plan.jar, plan.at, plan.spare_w, plan.fan) for i in range(1, int(top / 0.25) + 1)
    ]
    plan.chills[0] = plan.chills[1]
    return plan
