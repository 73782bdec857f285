"""A second opinion of a herd share: two cows, a dry spell between them, a family, four members.

Reads share.yaml and plays it with its own random numbers. What a jar, a drawing, a meal and
a full fridge are is told in cow.py; here stands what a share adds.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Generator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import simpy

import laws
import shared
from cow import TINY, Lot, Year
from plan import Plan, household
from shared import quantity


@dataclass
class SharePlan(Plan):
    """The scenario of the share beside what every household has."""

    beasts: list[dict[str, Any]] = field(default_factory=list)
    members: list[tuple[str, float]] = field(default_factory=list)
    come: tuple[str, ...] = ()
    absent: float = 0.0
    pick_up_h: float = 0.0
    feed_l: float = 0.0
    feed_above_l: float = 0.0
    kept_days: float = 0.0


def load(path: Path) -> SharePlan:
    """Reads share.yaml; source of every default: scenarios/README.md and the presets."""
    raw = shared.read(path)
    base = household(raw)
    share, (rule,) = raw["herd shares"], raw["routine"]
    days = share["pick-up days"]
    known = {k: v for k, v in vars(base).items()}
    return SharePlan(
        **known,
        beasts=[shared.preset("breeds", a["breed"], a) for a in raw["animals"]],
        # What is promised for a week is split evenly over its pick-up days.
        members=[(k, quantity(v) * 7 * base.density["whole milk"] / len(days)) for k, v in share["members"].items()],
        come=tuple(days),
        absent=quantity(share["not fetched"]),
        pick_up_h=quantity(share["takes"]),
        feed_l=quantity(rule["how much"]),
        feed_above_l=quantity(str(rule["when"]["have"]["whole milk"]).removeprefix("at least ")),
        kept_days=quantity(raw["household"]["keep back"]) / 24,
    )


class ShareYear(Year):
    """One trial of the share."""

    plan: SharePlan

    def __init__(self, plan: SharePlan, seed: int, trial: int, steady: bool) -> None:
        super().__init__(plan, seed, trial, steady)
        members = len(plan.members)
        self.promised, self.kept = [0.0] * members, [0.0] * members
        self.week_promised, self.week_kept = [0.0] * members, [0.0] * members
        self.worst = 0.0
        self.pick_ups = self.short_pick_ups = 0
        self.shared_out = 0.0
        self.dry_days = 0
        self.dry_asked = self.dry_given = 0.0

    def draw_luck(self, rng: np.random.Generator, steady: bool) -> None:
        """All chance of the trial: both cows, the milkings' life, who drinks, who stays away.

        Laws: those of cow.py; whether a member comes, one draw a pick-up (a part of them
        stays away; nobody does in the average year).
        """
        plan, off = self.plan, 0.0 if steady else 1.0
        # (kg, kg of fat) a day, a milking and a cow; and whether people may have it.
        self.pails: list[list[list[tuple[float, float]]]] = [[[], []] for _ in range(plan.days)]
        self.fit: list[list[bool]] = [[] for _ in range(plan.days)]
        for cow in plan.beasts:
            t, day, part, percent = self.draw_cow(rng, cow, off)
            fat = percent / 100
            excess = quantity(cow["evening fat excess"])
            colostrum = round(quantity(cow["colostrum"]) / 24)
            for d in range(plan.days):
                am, pm = day[d] * part[d], day[d] * (1 - part[d])
                self.pails[d][0].append((float(am), float(am * (fat[d] - excess * (1 - part[d])))))
                self.pails[d][1].append((float(pm), float(pm * (fat[d] + excess * part[d]))))
                self.fit[d].append(bool(day[d] > 0 and t[d] > colostrum))
        self.draw_life_and_drinking(rng, steady)
        self.comes = (rng.random((plan.days, len(plan.members))) >= off * plan.absent).tolist()

    # -- what is out of reach ------------------------------------------------------------

    def picked_up(self, d: int) -> bool:
        """Members come on this day."""
        return d < self.plan.days and self.weekday(d) in self.plan.come

    def weekday(self, d: int) -> str:
        """The weekday of a simulated day."""
        return shared.WEEKDAYS[(self.plan.first + dt.timedelta(days=d)).weekday()]

    def aside(self) -> float:
        """Kilograms of whole milk set aside: what today's and tomorrow's pick-ups are promised."""
        all_claims = sum(claim for _, claim in self.plan.members)
        return min((self.due_today + self.picked_up(self.today + 1)) * all_claims, self.total("whole milk"))

    def within_reach(self, item: str) -> float:
        """What is set aside does not go for want of room."""
        return self.total(item) - (self.aside() if item == "whole milk" else 0.0)

    # -- the hours of a day --------------------------------------------------------------

    def milk_them(self, d: int, which: int) -> None:
        """A milking of both cows into one pail; colostrum is kept from people."""
        kg = fat = 0.0
        for (each, each_fat), fit in zip(self.pails[d][which], self.fit[d], strict=True):
            self.books.drawn[0] += each
            self.books.drawn[1] += each_fat
            if fit:
                kg, fat = kg + each, fat + each_fat
            else:
                self.books.went("kept_from_people", each, each_fat)
        if kg <= 0:
            return
        self.first_milk = True
        lost = self.plan.risks["strainer"]
        self.books.went("film", kg * lost, fat * lost)
        kg, fat = kg * (1 - lost), fat * (1 - lost)
        hours, cost = self.plan.chill(kg / laws.MILK_KG_L)
        self.chill_h.append(hours)
        due = self.env.now + self.life[2 * d + which] / laws.rate(self.plan.at) - cost
        self.put(Lot("whole milk", kg, fat, self.env.now, due))
        self.make_room(d)

    def to_the_pigs(self) -> None:
        """The rule: so much whole milk, where there is more than so much, and nobody waits for it."""
        have, litre = self.total("whole milk"), self.plan.density["whole milk"]
        if have < self.plan.feed_above_l * litre * (1 - 1e-9):
            return
        # The family's drinking until tomorrow and what is set aside are out of reach.
        free = have - self.aside() - self.plan.kept_days * self.mean_drink
        kg = min(self.plan.feed_l * litre, free, self.fed_today("whole milk"))
        self.oldest("whole milk", kg, "feed", before=math.inf)

    def hand_out(self, d: int) -> None:
        """A pick-up: everybody the same part of the claim, the family's drinking among the claims.

        In proportion: O'Neill 1982, Mathematical Social Sciences 2:345-371.
        """
        claims = [claim for _, claim in self.plan.members]
        own = self.plan.kept_days * self.mean_drink
        have = self.total("whole milk")
        part = min(1.0, have / (sum(claims) + own))
        self.pick_ups += 1
        self.short_pick_ups += part < 1.0 - 1e-9
        comes = self.comes[d]
        wanted = sum(c * part for c, there in zip(claims, comes, strict=True) if there)
        got = 0.0
        # They get the freshest.
        for lot in sorted(self.stock["whole milk"], key=lambda x: -x.drawn):
            if got < wanted - TINY:
                got += self.take(lot, wanted - got, "shared_out")[0]
        self.shared_out += got
        kept = got / wanted if wanted > TINY else 1.0
        for m, (claim, there) in enumerate(zip(claims, comes, strict=True)):
            if there:
                self.promised[m] += claim
                self.week_promised[m] += claim
                self.kept[m] += claim * part * kept
                self.week_kept[m] += claim * part * kept

    def end_week(self) -> None:
        """A calendar week is over: the largest part of a promise that was not kept."""
        for m, promised in enumerate(self.week_promised):
            if promised > TINY:
                self.worst = max(self.worst, 1 - self.week_kept[m] / promised)
        self.week_promised = [0.0] * len(self.promised)
        self.week_kept = [0.0] * len(self.promised)

    def drink_up(self, d: int) -> None:
        """The family drinks, oldest milk first."""
        served = 0.0
        for lot in list(self.stock["whole milk"]):
            if served < self.drink[d] - TINY:
                served += self.take(lot, self.drink[d] - served, "drunk")[0]
        if self.first_milk:
            self.milk_served.day(self.drink[d], served)
        if self.dry:
            self.dry_asked += self.drink[d]
            self.dry_given += served

    def live(self) -> Generator[simpy.Event, None, None]:
        """The hours of every day, in order."""
        plan = self.plan
        house = plan.raw["household"]["chores"]
        for d in range(plan.days):
            self.today, self.fed = d, {}
            self.over_today, emptied = False, 0
            if self.weekday(d) == "mon":
                self.end_week()
            self.due_today = self.picked_up(d)
            self.dry = self.first_milk and not any(
                fit and sum(kg for kg, _ in (self.pails[d][0][i], self.pails[d][1][i])) > TINY
                for i, fit in enumerate(self.fit[d])
            )
            self.dry_days += self.dry
            for when in ("morning milking", "kitchen", "pick-ups", "meals", "evening milking"):
                yield self.env.timeout(24 * d + plan.hours[when] - self.env.now)
                self.look_over()
                if when == "evening milking":
                    self.evening_round()
                    emptied, self.washing = emptied + self.washing, 0
                if when.endswith("milking"):
                    self.milk_them(d, 0 if when.startswith("morning") else 1)
                elif when == "kitchen":
                    self.to_the_pigs()
                elif when == "pick-ups" and self.due_today:
                    self.hand_out(d)
                    self.due_today = False
                elif when == "meals":
                    self.drink_up(d)
                    self.used_jars = max(self.used_jars, self.jars() + self.washing)
                    self.make_room(d)
            self.over += self.over_today
            minutes = 0.0
            if any(kg > 0 for kg, _ in self.pails[d][0]):
                minutes += 2 * 60 * quantity(house["a milking"])
            for beast, (kg, _) in zip(plan.beasts, self.pails[d][0], strict=True):
                minutes += 2 * 60 * quantity(beast["milking takes"]) if kg > 0 else 0.0
            minutes += emptied * 60 * quantity(house["a jar"])
            minutes += 60 * quantity(house["feeding"]) if sum(self.fed.values()) > 0 else 0.0
            minutes += 60 * plan.pick_up_h if self.picked_up(d) else 0.0
            self.chores.append(minutes)
        self.end_week()

    def play(self) -> dict[str, float]:
        """Runs the trial and gives its measures under the program's names."""
        self.env.process(self.live())
        self.env.run()
        books = self.books
        for lots in self.stock.values():
            for lot in lots:
                books.went("in_store", lot.kg, lot.fat)
        books.check()
        wasted = ("wasted_no_room", "wasted_soured")
        fit = books.drawn[0] - books.milk("kept_from_people")
        fills = [k / p if p > TINY else 1.0 for k, p in zip(self.kept, self.promised, strict=True)]
        milk = self.milk_served
        named = {f"share_fill_{n.lower()}": f for (n, _), f in zip(self.plan.members, fills, strict=True)}
        return {
            "milk_drawn": books.drawn[0],
            "milk_withheld": books.milk("kept_from_people"),
            "drunk": books.milk("drunk"),
            "shared_out": self.shared_out,
            "fed_to_animals": books.milk("fed_to_animals"),
            "wasted": books.milk(*wasted),
            "wasted_no_room": books.milk("wasted_no_room"),
            "wasted_soured": books.milk("wasted_soured"),
            "wasted_part": books.milk(*wasted) / fit if fit else 0.0,
            "milk_days": 1 - milk.short / milk.days if milk.days else 1.0,
            **milk.measures("milk"),
            "milk_dry_fill": self.dry_given / self.dry_asked if self.dry_asked else 1.0,
            "cold_room_wanted": self.wanted_l,
            "cold_room_used": self.used_l,
            "jars_wanted": float(self.wanted_jars),
            "days_over_full": float(self.over),
            "chores_mean": sum(self.chores) / len(self.chores),
            "chill_hours": float(np.mean(self.chill_h)),
            "dry_days": float(self.dry_days),
            "share_fill": sum(self.kept) / sum(self.promised),
            "share_worst_week": 1 - self.worst,
            "share_spread": max(fills) - min(fills),
            "short_pick_ups": float(self.short_pick_ups),
            **named,
        }


def trial(plan: SharePlan, seed: int, number: int, steady: bool) -> dict[str, float]:
    """One trial with its own random numbers, a pure function of (plan, seed, number)."""
    return ShareYear(plan, seed, number, steady).play()


if __name__ == "__main__":
    shared.main(load, trial)
