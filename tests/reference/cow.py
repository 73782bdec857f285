"""A second opinion of one household: a cow, a fridge, drinkers, skimming and butter.

Reads the same scenario as the program (cow.yaml) and plays it with its own random
numbers. One SimPy process walks through the hours of each day.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import numpy as np
import simpy

import laws
import shared
from plan import CREAMS, SWEET, Plan, load
from shared import quantity

TINY = 1e-9  # kg; a take within this of a lot takes all of it


@dataclass
class Lot:
    """Some matter of one item: kilograms, fat, when drawn, when it turns in the fridge (hours); since
    when it has stood on the counter for want of room, if it does."""

    item: str
    kg: float
    fat: float
    drawn: float
    due: float
    out: float | None = None


class Year:
    """One trial: the household's state and what happens to it."""

    def __init__(self, plan: Plan, seed: int, trial: int, steady: bool) -> None:
        self.plan = plan
        self.env = simpy.Environment()
        self.books = shared.Books()
        self.stock: dict[str, list[Lot]] = {k: [] for k in plan.density}
        self.milk_served, self.wish_served = shared.Served(), shared.Served()
        self.wanted_l = self.used_l = 0.0
        self.wanted_jars = self.used_jars = 0
        self.over = 0
        self.over_today = self.first_milk = False
        self.washing = 0
        self.chores: list[float] = []
        self.kitchen: list[float] = []
        self.made_kg = 0.0
        self.chill_h: list[float] = []
        self.withheld = 0.0
        self.draw_luck(np.random.default_rng([seed, trial]), steady)

    def draw_luck(self, rng: np.random.Generator, steady: bool) -> None:
        """All chance of the trial: her level, her days, her milkings, their life, who drinks.

        Laws: level and life log-normal; day noise white plus first-order autoregressive
        (fitted to Friggens, Ridder & Lovendahl 2007); drinking on a part of days, gamma on
        those (scenarios/README.md, drinkers); wishes log-normal from week to week.
        """
        plan, cow = self.plan, self.plan.animal
        off = 0.0 if steady else 1.0
        t, day, share, fat = self.draw_cow(rng, cow, off)
        excess = quantity(cow["evening fat excess"]) * 100
        self.kept_back = t <= round(quantity(cow["colostrum"]) / 24)
        self.milkings = [
            [(float(y * s), float(f - excess * (1 - s))), (float(y * (1 - s)), float(f + excess * s))]
            for y, s, f in zip(day, share, fat, strict=True)
        ]
        self.draw_life_and_drinking(rng, steady)
        wish = plan.raw["household"]["wants"]["butter"]
        weeks = shared.lognormal(rng, quantity(wish["at least"]), off * 0.20, plan.days // 7 + 1)
        self.wish = [float(weeks[d // 7]) for d in range(plan.days)]
        self.wish_from = (shared.date(wish["from"]) - plan.first).days

    def draw_cow(
        self, rng: np.random.Generator, cow: dict[str, Any], off: float
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """One cow's days in milk, kilograms a day, the morning's part and percent of fat; nothing once she is gone."""
        plan = self.plan
        fresh, spread = shared.give_or_take(cow["freshens"])
        freshens = (shared.date(fresh) - plan.first).days + round(off * spread / 24 * rng.normal())
        level = float(shared.lognormal(rng, 1.0, off * quantity(cow["how sure"]), 1)[0])
        noise = cow["noise"]
        phi, slow = float(noise["carries over"]), off * quantity(noise["slow"])
        white = rng.normal(0.0, off * quantity(noise["white"]), plan.days)
        steps = rng.normal(0.0, 1.0, plan.days)
        drift, ar = np.empty(plan.days), 0.0
        for d in range(plan.days):
            ar = steps[d] if d == 0 else phi * ar + math.sqrt(1 - phi * phi) * steps[d]
            drift[d] = ar
        days = np.arange(plan.days)
        gone = (shared.date(cow["leaves"]) - plan.first).days if "leaves" in cow else plan.days
        t = days - freshens + 1.0
        lit = (t >= 1) & (days < gone)
        tt = np.where(lit, t, 1.0)
        curve = cow["curve"]
        day = laws.wood(tt, curve["a"], curve["b"], curve["c"]) * level * (1 + white + slow * drift)
        day = np.where(lit, np.maximum(day, 0.0), 0.0)
        night = (plan.hours["morning milking"] - plan.hours["evening milking"]) % 24 / 24
        part = np.clip(night + off * quantity(cow["morning part varies"]) * rng.normal(size=plan.days), 0, 1)
        total = round(quantity(cow["lactation lasts"]) / 24)
        fat = laws.fat_percent(tt, quantity(cow["fat"]) * 100, cow["fat over time"], curve, total)
        return t, day, part, fat

    def draw_life_and_drinking(self, rng: np.random.Generator, steady: bool) -> None:
        """How long each milking stays sweet, and who drinks how much."""
        plan, off = self.plan, 0.0 if steady else 1.0
        self.life = shared.lognormal(
            rng, plan.risks["stays sweet"], off * plan.risks["give or take"], 2 * plan.days
        ).tolist()
        drink = np.zeros(plan.days)
        self.mean_drink = 0.0
        for who in plan.raw["household"]["drinkers"]:
            part = quantity(who.get("part of days", "100 %"))
            amount = shared.gamma(
                rng, quantity(who["how much"]), off * quantity(who.get("give or take", "none")), plan.days
            )
            comes = rng.random(plan.days) < part
            drink += amount * (part if steady else comes)
            self.mean_drink += part * quantity(who["how much"]) * laws.MILK_KG_L
        self.drink = (drink * laws.MILK_KG_L).tolist()

    # -- matter ------------------------------------------------------------------------

    def jars_of(self, lot: Lot) -> int:
        """Jars this lot stands in; a part-filled jar takes a whole place."""
        full = self.plan.jar["working_l"] * self.plan.density[lot.item]
        return 0 if lot.item == "butter" else math.ceil(lot.kg / full - 1e-9)

    def take(self, lot: Lot, kg: float, fate: str | None) -> tuple[float, float]:
        """Takes up to `kg` from a lot, open jar first; an emptied jar keeps its film.

        Gives what was taken, mass and fat, and books it if a fate is named.
        """
        full = self.plan.jar["working_l"] * self.plan.density[lot.item]
        film = 0.0 if lot.item == "butter" else self.plan.risks["jar film"]
        got = got_fat = 0.0
        while kg > TINY and lot.kg > TINY:
            open_jar = lot.kg if lot.item == "butter" else lot.kg - (self.jars_of(lot) - 1) * full
            part = lot.fat / lot.kg
            inside = max(open_jar - film, 0.0)
            bite = min(kg, inside)
            if inside - bite <= TINY:
                bite = inside
                lost = open_jar - inside
                if film:
                    self.washing += 1
                self.books.went("film", lost, lost * part)
                lot.kg -= lost
            lot.kg -= bite
            lot.fat = part * lot.kg
            got, got_fat, kg = got + bite, got_fat + bite * part, kg - bite
        if fate:
            self.books.went(fate, got, got_fat)
        if lot.kg <= TINY:
            self.stock[lot.item].remove(lot)
        return got, got_fat

    def put(self, lot: Lot) -> None:
        """Puts a lot among its like, oldest first."""
        if lot.kg > 0:
            self.stock[lot.item].append(lot)
            self.stock[lot.item].sort(key=lambda x: x.drawn)

    def put_away(self, lot: Lot) -> None:
        """Puts a lot in the fridge; the jars that find no place stand on the counter until room is made."""
        self.put(lot)
        over = min(self.without_place(), self.jars_of(lot))
        if over <= 0:
            return
        inside = self.jars_of(lot) - over
        kept = min(inside * self.plan.jar["working_l"] * self.plan.density[lot.item], lot.kg)
        rest = Lot(lot.item, lot.kg - kept, lot.fat * (1 - kept / lot.kg), lot.drawn, lot.due, self.env.now)
        lot.fat *= kept / lot.kg
        lot.kg = kept
        if inside == 0:
            self.stock[lot.item].remove(lot)
        self.put(rest)

    def turns(self, lot: Lot) -> float:
        """When a lot turns, if it is in the fridge from now on."""
        return lot.due if lot.out is None else lot.due - (self.env.now - lot.out) * (self.plan.warm - 1)

    def total(self, *items: str) -> float:
        """Kilograms in store of these items."""
        return sum(lot.kg for i in items for lot in self.stock[i])

    def jars(self) -> int:
        """Jars standing in the fridge."""
        return sum(self.jars_of(lot) for lots in self.stock.values() for lot in lots)

    def room(self) -> float:
        """Litres of fridge room called for: a jar its part of the shelves, butter by weight."""
        a_jar = self.plan.room_l / self.plan.places
        return self.jars() * a_jar + self.total("butter") * self.plan.butter["room"]

    def look_over(self) -> None:
        """What has turned: sweet milk to sour milk, cream to soured cream, the rest is thrown out."""
        now = self.env.now
        for item in list(self.stock):
            for lot in [x for x in self.stock[item] if self.turns(x) <= now]:
                lot.due, lot.out = self.turns(lot), None
                if item in SWEET or item in CREAMS:
                    self.stock[item].remove(lot)
                    lot.item = "sour milk" if item in SWEET else "soured cream"
                    lot.due += self.plan.keeps_h[lot.item]
                    self.put(lot)
                else:
                    fate = {"buttermilk": "byproduct_poured", "butter": "wasted_expired"}.get(item, "wasted_soured")
                    # All of it goes, and what would stay in an emptied jar with it.
                    self.stock[item].remove(lot)
                    self.books.went(fate, lot.kg, lot.fat)
                    self.washing += self.jars_of(lot)

    # -- the hours of a day ------------------------------------------------------------

    def milk_her(self, d: int, which: int) -> None:
        """A milking: kept from people after freshening, else strained, jarred, chilled."""
        kg, percent = self.milkings[d][which]
        if kg <= 0:
            return
        self.books.drawn[0] += kg
        self.books.drawn[1] += kg * percent / 100
        if self.kept_back[d]:
            self.books.went("kept_from_people", kg, kg * percent / 100)
            return
        self.first_milk = True
        lost = kg * self.plan.risks["strainer"]
        self.books.went("film", lost, lost * percent / 100)
        kg -= lost
        hours, cost = self.plan.chill(kg / laws.MILK_KG_L)
        self.chill_h.append(hours)
        due = self.env.now + self.life[2 * d + which] / laws.rate(self.plan.at) - cost
        self.put(Lot("whole milk", kg, kg * percent / 100, self.env.now, due))
        self.make_room(d)

    def fed_today(self, item: str) -> float:
        """Kilograms of this item the animals would still take today."""
        eater = self.plan.eater
        left = min(eater["takes"].get(item, 0.0) - self.fed.get(item, 0.0), eater["most"] - sum(self.fed.values()))
        return max(left, 0.0)

    def feed(self, item: str, kg: float, lot: Lot) -> None:
        """Feeds up to `kg` of a lot, within what the animals take today."""
        got, _ = self.take(lot, min(kg, self.fed_today(item)), "fed_to_animals")
        self.fed[item] = self.fed.get(item, 0.0) + got

    def make_room(self, d: int) -> None:
        """Notes the room wanted, then goes through tonight's list until everything has a place.

        As much goes at once as stands without a place, a jar's worth at the least.
        """
        for lot in (x for lots in self.stock.values() for x in lots if x.out is not None):
            lot.due, lot.out = self.turns(lot), None
        wanted = self.room()
        self.wanted_l = max(self.wanted_l, wanted)
        self.wanted_jars = max(self.wanted_jars, self.jars())
        full = self.plan.room_l * (1 + 1e-9)
        if wanted > full:
            self.over_today = True
        for fate, item in self.plan.tonight:
            while self.room() > full:
                one = self.plan.jar["working_l"] * self.plan.density[item]
                kg = min(one * max(self.without_place(), 1), self.within_reach(item))
                if fate == "feed":
                    kg = min(kg, self.fed_today(item))
                if self.oldest(item, kg, fate, before=24 * d) <= TINY:
                    break
        self.used_l = max(self.used_l, self.room())
        self.used_jars = max(self.used_jars, self.jars() + self.washing)

    def without_place(self) -> int:
        """Jars that find no place beside the rest."""
        a_jar = self.plan.room_l / self.plan.places
        return math.ceil((self.room() - self.plan.room_l) / a_jar - 1e-9)

    def within_reach(self, item: str) -> float:
        """Kilograms of an item that may go for want of room."""
        return self.total(item)

    def oldest(self, item: str, kg: float, fate: str, before: float) -> float:
        """Takes so much off the shelf, oldest first, over as many lots as it needs; gives what went.

        What stays in emptied jars is of an amount that is poured out, and is no part of what an
        animal has.
        """
        went = 0.0
        full = self.plan.jar["working_l"] * self.plan.density[item]
        for lot in [x for x in self.stock[item] if x.drawn < before]:
            if kg <= TINY:
                break
            if fate == "feed":
                got, _ = self.take(lot, kg, "fed_to_animals")
                self.fed[item] = self.fed.get(item, 0.0) + got
                kg -= got
            else:
                gross = min(kg, lot.kg)
                emptied = self.jars_of(lot) - math.ceil((lot.kg - gross) / full - 1e-9)
                got, _ = self.take(lot, gross - emptied * self.plan.risks["jar film"], fate)
                kg -= gross
            went += got
        return went

    def skim(self) -> None:
        """Skims every jar of whole milk that has rested long enough.

        The skimmed milk of one day is poured together, the cuts of the whole session likewise;
        a pool keeps the oldest drawing and the shortest life. Jars left over go to the wash.
        """
        now, before = self.env.now, self.jars()
        cream_kg = cream_fat = 0.0
        days: dict[int, Lot] = {}
        due = drawn = math.inf
        for lot in list(self.stock["whole milk"]):
            age = now - lot.drawn
            if age < self.plan.skim["after"] - 1e-9:
                continue
            part, percent = self.plan.cream.cut(100 * lot.fat / lot.kg, age, self.plan.skim["leave"])
            if part <= 0:
                continue
            self.minutes += self.jars_of(lot) * 2.5
            kg = part * lot.kg
            self.stock["whole milk"].remove(lot)
            left, left_fat = lot.kg - kg, lot.fat - kg * percent / 100
            pool = days.get(int(lot.drawn // 24))
            if pool is None:
                days[int(lot.drawn // 24)] = Lot("skimmed milk", left, left_fat, lot.drawn, lot.due)
            else:
                pool.kg, pool.fat = pool.kg + left, pool.fat + left_fat
                pool.due = min(pool.due, lot.due)
            cream_kg, cream_fat = cream_kg + kg, cream_fat + kg * percent / 100
            due, drawn = min(due, lot.due), min(drawn, lot.drawn)
        if cream_kg:
            percent = 100 * cream_fat / cream_kg
            item = CREAMS[0] if percent >= 30 else CREAMS[1] if percent >= 18 else CREAMS[2]
            for pool in days.values():
                self.put(pool)
            self.put_away(Lot(item, cream_kg, cream_fat, drawn, due))
            self.washing += max(0, before - self.jars())

    def churn(self) -> None:
        """Butter from all the cream there is, up to the churn's size; buttermilk is what is left."""
        butter = self.plan.butter
        litres = sum(self.total(c) / self.plan.density[c] for c in CREAMS)
        if litres < self.plan.make["least"] * (1 - 1e-9) or litres < butter["least_l"]:
            return
        kg = fat = done = 0.0
        young = self.env.now - 240.0  # The recipe takes no cream older than ten days.
        fresh = (x for c in CREAMS for x in self.stock[c] if x.drawn >= young)
        for lot in sorted(fresh, key=lambda x: x.drawn):
            dense = self.plan.density[lot.item]
            before = lot.kg
            got, got_fat = self.take(lot, (butter["most_l"] - done) * dense, None)
            # Litres as they come off the shelf: what stays in the jars is of them.
            kg, fat, done = kg + got, fat + got_fat, done + (before - lot.kg) / dense
        self.made_kg += kg
        self.minutes += 60 * (butter["takes_h"] + butter["litre_h"] * done)
        film = kg * butter["film"]
        self.books.went("film", film, fat * butter["film"])
        kg, fat = kg - film, fat * (1 - butter["film"])
        made, made_fat = laws.churn(kg, fat, butter)
        now = self.env.now
        self.put(Lot("butter", made, made_fat, now, now + self.plan.keeps_h["butter"]))
        self.put(Lot("buttermilk", kg - made, fat - made_fat, now, now + self.plan.keeps_h["buttermilk"]))

    def meals(self, d: int) -> None:
        """Everybody drinks, skimmed milk first, oldest first; butter is eaten."""
        served = 0.0
        for item in SWEET:
            for lot in list(self.stock[item]):
                if served < self.drink[d] - TINY:
                    served += self.take(lot, self.drink[d] - served, "drunk")[0]
        if self.first_milk:
            self.milk_served.day(self.drink[d], served)
        eaten = 0.0
        for lot in list(self.stock["butter"]):
            if eaten < self.wish[d] - TINY:
                eaten += self.take(lot, self.wish[d] - eaten, "eaten")[0]
        if d >= self.wish_from:
            self.wish_served.day(self.wish[d], eaten)

    def evening_round(self) -> None:
        """The animals get sour milk, soured cream and by-products unasked, in the order of what they take."""
        for item in (x for x in self.plan.eater["takes"] if x in ("sour milk", "soured cream", "buttermilk")):
            for lot in list(self.stock[item]):
                if self.fed_today(item) > TINY:
                    self.feed(item, lot.kg, lot)

    def pour_sour(self) -> None:
        """After the round, what is over the most sour milk that is kept is poured out."""
        cap = self.plan.risks["sour milk kept"] * self.plan.density["sour milk"]
        for lot in list(self.stock["sour milk"]):
            extra = self.total("sour milk") - cap
            if extra > TINY:
                self.take(lot, extra, "wasted_soured")

    def live(self) -> Generator[simpy.Event, None, None]:
        """The hours of every day, in order."""
        plan = self.plan
        house = plan.raw["household"]["chores"]
        milking = 60 * (quantity(house["a milking"]) + quantity(plan.animal["milking takes"]))
        for d in range(plan.days):
            weekday = shared.WEEKDAYS[(plan.first + dt.timedelta(days=d)).weekday()]
            self.fed: dict[str, float] = {}
            self.minutes, self.over_today = 0.0, False
            emptied = 0
            for when in ("morning milking", "kitchen", "meals", "evening milking"):
                yield self.env.timeout(24 * d + plan.hours[when] - self.env.now)
                self.look_over()
                if when == "evening milking":
                    self.evening_round()
                    self.pour_sour()
                    emptied += self.washing
                    self.washing = 0
                if when.endswith("milking"):
                    self.milk_her(d, 0 if when.startswith("morning") else 1)
                elif when == "kitchen":
                    if weekday in plan.skim["days"]:
                        self.skim()
                    if weekday in plan.make["days"]:
                        self.churn()
                    self.used_jars = max(self.used_jars, self.jars() + self.washing)
                else:
                    self.meals(d)
                    self.make_room(d)
            self.over += self.over_today
            milked = 2 if self.milkings[d][0][0] > 0 else 0
            feeding = 60 * quantity(house["feeding"]) if sum(self.fed.values()) > 0 else 0.0
            self.chores.append(milked * milking + emptied * 60 * quantity(house["a jar"]) + feeding)
            self.kitchen.append(self.minutes)

    def play(self) -> dict[str, float]:
        """Runs the trial and gives its measures under the program's names."""
        self.env.process(self.live())
        self.env.run()
        books = self.books
        for lots in self.stock.values():
            for lot in lots:
                books.went("in_store", lot.kg, lot.fat)
        books.check()
        wasted = ("wasted_no_room", "wasted_soured", "wasted_expired")
        fit = books.drawn[0] - books.milk("kept_from_people")
        fit_fat = books.drawn[1] - books.fat("kept_from_people")
        work = [a + b for a, b in zip(self.chores, self.kitchen, strict=True)]
        days = len(work)
        milk = self.milk_served
        return {
            "milk_drawn": books.drawn[0],
            "milk_withheld": books.milk("kept_from_people"),
            "drunk": books.milk("drunk"),
            "eaten": books.milk("eaten"),
            "made_into_products": self.made_kg,
            "fed_to_animals": books.milk("fed_to_animals"),
            "wasted": books.milk(*wasted),
            "wasted_no_room": books.milk("wasted_no_room"),
            "wasted_soured": books.milk("wasted_soured"),
            "wasted_expired": books.milk("wasted_expired"),
            "byproduct_poured": books.milk("byproduct_poured"),
            "wasted_part": books.milk(*wasted) / fit if fit else 0.0,
            "wasted_fat_part": books.fat(*wasted) / fit_fat if fit_fat else 0.0,
            "milk_days": 1 - milk.short / milk.days if milk.days else 1.0,
            **milk.measures("milk"),
            **self.wish_served.measures("butter"),
            "cold_room_wanted": self.wanted_l,
            "cold_room_used": self.used_l,
            "jars_wanted": float(self.wanted_jars),
            "jars_used": float(self.used_jars),
            "days_over_full": float(self.over),
            "hands_used": sum(work) / days,
            "hands_used_busiest": max(work),
            "chores_mean": sum(self.chores) / days,
            "kitchen_mean": sum(self.kitchen) / days,
            "chill_hours": float(np.mean(self.chill_h)),
        }


def trial(plan: Plan, seed: int, number: int, steady: bool) -> dict[str, float]:
    """One trial with its own random numbers, a pure function of (plan, seed, number)."""
    return Year(plan, seed, number, steady).play()


if __name__ == "__main__":
    shared.main(load, trial)
