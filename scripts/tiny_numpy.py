"""The tiny perishable model as array code (all trials of a day at once) and as
plain loops. Reads the parameters, prints rates and means, both as JSON.

What expires and what is poured out is always the oldest, and so is what is
taken: the whole queue of lots comes down to one running total of what has
left and one of what has come. That is as good as this model gets in arrays;
it cannot say what a lot is made of, nor where it stands.
"""

import json
import math
import random
import sys
import time
from collections import deque

import numpy as np

PLAIN_TRIALS = 200
MEASURES = ("supplied", "expired", "overflow", "shortage", "stock")


def arrays(p, seed):
    """Kg a day of each trial, measure by measure."""
    rng = np.random.Generator(np.random.SFC64(seed))
    n, days, life = p["trials"], p["days"], p["life_days"]
    sd, shape = p["supply_log_sd"], p["demand_cv"] ** -2
    mu = math.log(p["supply_kg"]) - 0.5 * sd * sd
    came, gone = np.zeros(n), np.zeros(n)
    # What had come by the end of each of the last days.
    by_day = np.zeros((life, n))
    expired, overflow, shortage, stock = (np.zeros(n) for _ in range(4))
    for day in range(days):
        old = by_day[day % life]
        late = np.maximum(old - gone, 0.0)
        expired += late
        gone += late
        came += rng.lognormal(mu, sd, n)
        by_day[day % life] = came
        demand = rng.gamma(shape, p["demand_kg"] / shape, n)
        taken = np.minimum(demand, came - gone)
        shortage += demand - taken
        gone += taken
        over = np.maximum(came - gone - p["capacity_kg"], 0.0)
        poured = np.ceil(over / p["pour_kg"]) * p["pour_kg"]
        overflow += poured
        gone += poured
        stock += came - gone
    return [x / days for x in (came, expired, overflow, shortage, stock)]


def loops(p, trials, seed):
    """The same with a queue of lots, one trial after the other."""
    rng = random.Random(seed)
    days, life, capacity, pour = p["days"], p["life_days"], p["capacity_kg"], p["pour_kg"]
    sd, shape = p["supply_log_sd"], p["demand_cv"] ** -2
    mu, scale = math.log(p["supply_kg"]) - 0.5 * sd * sd, p["demand_kg"] / shape
    out = [[] for _ in MEASURES]
    for _ in range(trials):
        lots, stock = deque(), 0.0
        supplied = expired = overflow = shortage = stocks = 0.0
        for day in range(days):
            while lots and lots[0][0] <= day - life:
                kg = lots.popleft()[1]
                expired += kg
                stock -= kg
            kg = rng.lognormvariate(mu, sd)
            lots.append([day, kg])
            supplied += kg
            stock += kg
            demand = rng.gammavariate(shape, scale)
            taken = take(lots, demand)
            shortage += demand - taken
            stock -= taken
            if stock > capacity:
                poured = take(lots, math.ceil((stock - capacity) / pour) * pour)
                overflow += poured
                stock -= poured
            stocks += stock
        for column, x in zip(out, (supplied, expired, overflow, shortage, stocks)):
            column.append(x / days)
    return [np.array(column) for column in out]


def take(lots, kg):
    """Takes up to so many kg, oldest first; returns what was taken."""
    left = kg
    while left > 0.0 and lots:
        if lots[0][1] <= left:
            left -= lots.popleft()[1]
        else:
            lots[0][1] -= left
            left = 0.0
    return kg - left


def report(work, trials, days, rounds):
    """The best of some rounds, and the means of the last one with their errors."""
    best = math.inf
    for seed in range(rounds):
        start = time.perf_counter()
        columns = work(seed)
        best = min(best, time.perf_counter() - start)
    means = {m: [float(c.mean()), float(c.std(ddof=1) / math.sqrt(trials))] for m, c in zip(MEASURES, columns)}
    return {"trials": trials, "trial_days_a_second": trials * days / best, "means": means}


def main():
    p = json.load(sys.stdin)["parameters"]
    print(
        json.dumps(
            {
                "version": np.__version__,
                "arrays": report(lambda seed: arrays(p, seed), p["trials"], p["days"], 2),
                "loops": report(lambda seed: loops(p, PLAIN_TRIALS, seed), PLAIN_TRIALS, p["days"], 1),
            }
        )
    )


main()
