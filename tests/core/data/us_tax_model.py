"""Writes us_tax_model.csv: self-employment and income tax of a grid of cases by an open academic tax model.

The model is Tax-Calculator of the Policy Simulation Library, version 6.8.0 (PyPI: taxcalc==6.8.0), current law.
    python3 us_tax_model.py > us_tax_model.csv
Each case is one owner without dependants, under 65, with profit of a sole business, wages of her own and, when filing
together, wages of the spouse. No credits, no itemised deductions, no gains.
"""

import csv
import sys

import pandas as pd
import taxcalc

STATUS = {"single": 1, "joint": 2, "separate": 3, "head": 4}
YEARS = [2023, 2024, 2025, 2026]
PROFITS = [433, 434, 3_000, 15_000, 38_500, 60_000, 120_000, 240_000, 310_000, 700_000]
WAGES = [(0, 0), (40_000, 0), (190_000, 0), (30_000, 55_000)]
OUT = ["setax", "ptax_amc", "c00100", "standard", "qbided", "c04800", "c05200"]


def cases(year):
    for status in STATUS:
        for profit in PROFITS:
            for own, spouse in WAGES:
                if spouse and status != "joint":
                    continue
                yield {
                    "year": year,
                    "status": status,
                    "profit": profit,
                    "own_wages": own,
                    "spouse_wages": spouse,
                }


def model(year):
    rows = list(cases(year))
    frame = pd.DataFrame(
        {
            "RECID": range(1, len(rows) + 1),
            "MARS": [STATUS[row["status"]] for row in rows],
            "FLPDYR": year,
            "age_head": 40,
            "age_spouse": [40 if row["status"] == "joint" else 0 for row in rows],
            "XTOT": [2 if row["status"] == "joint" else 1 for row in rows],
            "e00200p": [float(row["own_wages"]) for row in rows],
            "e00200s": [float(row["spouse_wages"]) for row in rows],
            "e00200": [float(row["own_wages"] + row["spouse_wages"]) for row in rows],
            "e00900p": [float(row["profit"]) for row in rows],
            "e00900": [float(row["profit"]) for row in rows],
            "s006": 1.0,
        }
    )
    records = taxcalc.Records(
        data=frame, start_year=year, gfactors=None, weights=None, adjust_ratios=None
    )
    calculator = taxcalc.Calculator(policy=taxcalc.Policy(), records=records)
    calculator.advance_to_year(year)
    calculator.calc_all()
    for name in OUT:
        values = calculator.array(name)
        for row, value in zip(rows, values):
            row[name] = f"{value:.4f}"
    return rows


def main():
    rows = [row for year in YEARS for row in model(year)]
    writer = csv.DictWriter(sys.stdout, fieldnames=list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)


if __name__ == "__main__":
    assert taxcalc.__version__ == "6.8.0", taxcalc.__version__
    main()
