"""Writes legal_holidays.csv: legal holidays of 2020 to 2035 by a general-purpose holiday library.

The library is python-holidays, version 0.109 (PyPI: holidays==0.109).
    python3 legal_holidays.py > legal_holidays.csv
Federal holidays with those of the District of Columbia; bank holidays of England and Wales.
"""

import csv
import sys

import holidays

YEARS = range(2020, 2036)


def main():
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(["place", "date", "name"])
    places = {
        "us-dc": holidays.country_holidays("US", subdiv="DC", years=YEARS),
        "uk-england": holidays.country_holidays("GB", subdiv="ENG", years=YEARS),
    }
    for place, days in places.items():
        for date in sorted(days):
            if date.year in YEARS:
                writer.writerow([place, date, days[date]])


if __name__ == "__main__":
    assert holidays.__version__ == "0.109", holidays.__version__
    main()
