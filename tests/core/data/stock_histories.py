"""Two hundred histories of one item, costed with pandas and exact decimals: a second opinion for `stock::cost`.

The rule is the one the books follow: an issue leaves in whole cents, halves rounded up, and what rounding leaves stays
in the pool (moving average) or in its layer (first in, first out). The frames find which arrivals an issue takes from
by the overlap of running totals, not by keeping a queue. Run with pandas 3.1 on Python 3.11:

    python stock_histories.py > stock_histories.csv
"""
import random
import sys
from decimal import ROUND_HALF_UP, Decimal

import pandas as pd


def cents(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def history(seed: int) -> pd.DataFrame:
    dice = random.Random(seed)
    rows, there = [], Decimal(0)
    for _step in range(dice.randint(6, 30)):
        if there == 0 or dice.random() < 0.4:
            quantity = Decimal(dice.randint(1, 4000)) / dice.choice([1, 2, 4, 8])
            rows.append(("receive", quantity, dice.randint(0, 40000)))
            there += quantity
        else:
            quantity = there if dice.random() < 0.15 else (there * dice.randint(1, 90) / 100).quantize(Decimal("0.001"))
            if quantity == 0:
                continue
            rows.append(("sell", quantity, 0))
            there -= quantity
    return pd.DataFrame(rows, columns=["kind", "quantity", "value"])


def average(frame: pd.DataFrame) -> pd.Series:
    there, worth, costs = Decimal(0), 0, []
    for kind, quantity, value in frame.itertuples(index=False):
        if kind == "receive":
            there, worth = there + quantity, worth + value
            costs.append(0)
        else:
            cost = worth if quantity == there else cents(Decimal(worth) * quantity / there)
            there, worth = there - quantity, worth - cost
            costs.append(cost)
    return pd.Series(costs, index=frame.index)


def first_in_first_out(frame: pd.DataFrame) -> pd.Series:
    came = frame[frame.kind == "receive"].assign(end=lambda rows: rows.quantity.cumsum())
    came["begin"] = came.end - came.quantity
    went = frame[frame.kind == "sell"].assign(end=lambda rows: rows.quantity.cumsum())
    went["begin"] = went.end - went.quantity
    pairs = came.reset_index().merge(went.reset_index(), how="cross", suffixes=("_in", "_out"))
    pairs["low"] = pairs[["begin_in", "begin_out"]].max(axis=1)
    pairs["high"] = pairs[["end_in", "end_out"]].min(axis=1)
    pairs = pairs[pairs.low < pairs.high].sort_values(["index_in", "index_out"])
    left = {row.Index: [row.quantity, row.value] for row in came.itertuples()}
    costs = pd.Series(0, index=frame.index)
    for pair in pairs.itertuples():
        layer, taken = left[pair.index_in], pair.high - pair.low
        cost = layer[1] if taken == layer[0] else cents(Decimal(layer[1]) * taken / layer[0])
        layer[0], layer[1] = layer[0] - taken, layer[1] - cost
        costs[pair.index_out] += cost
    return costs


frames = []
for seed in range(200):
    frame = history(seed)
    frame["average"], frame["fifo"] = average(frame), first_in_first_out(frame)
    frame.insert(0, "history", seed)
    frames.append(frame)
pd.concat(frames).to_csv(sys.stdout, index=False, lineterminator="\n")
