#!/usr/bin/env python3
"""Writes the statement files of this folder and, beside each, the lines it must give.

Every dialect is invented. The lines come first, as exact whole cents; each dialect is a way of writing them down. Nothing
here knows the program: days are datetime's, the expected lines are written by csv. Run in this folder: python3 make.py
"""
import csv
import datetime as dt
import io
import json

CASES = []

# day, cents into the account, payee, purpose, key. 250.00 stands there before.
LINES = [
    (dt.date(2026, 1, 2), 200000, "Owner", "Put in to start", "K-1001"),
    (dt.date(2026, 1, 5), -123450, "Alderwick Paper", "Printing paper, 12 reams", "K-1002"),
    (dt.date(2026, 1, 13), -1299, "Plume Ink", "Ink", "K-1003"),
    (dt.date(2026, 1, 13), -1299, "Plume Ink", "Ink", "K-1004"),
    (dt.date(2026, 1, 20), 4500, "Lanternpost Shop", "Payout 7", "K-1005"),
    (dt.date(2026, 1, 31), -300, "", "Monthly fee", "K-1006"),
]
OPENING = 25000


def with_balances(lines, opening=OPENING):
    out, balance = [], opening
    for line in lines:
        balance += line[1]
        out.append(line + (balance,))
    return out


def plain(cents, decimals=2):
    sign = "-" if cents < 0 else ""
    whole, rest = divmod(abs(cents), 10**decimals)
    return f"{sign}{whole}" + (f".{rest:0{decimals}d}" if decimals else "")


def grouped(cents, mark=".", group=",", decimals=2):
    whole, rest = divmod(abs(cents), 10**decimals)
    text = f"{whole:,}".replace(",", group)
    return text + (f"{mark}{rest:0{decimals}d}" if decimals else "")


def amount(cents, mark=".", group=",", minus="-{}"):
    text = grouped(cents, mark, group)
    return minus.format(text) if cents < 0 else text


class Table:
    """Rows of cells, written with a separator and quoted where they must be."""

    def __init__(self, separator=",", end="\r\n", quote_all=False):
        self.separator, self.end, self.quote_all = separator, end, quote_all
        self.text, self.row = "", 0

    def raw(self, line):
        self.text += line + self.end
        self.row += 1
        return self.row

    def add(self, *cells):
        out = io.StringIO()
        quoting = csv.QUOTE_ALL if self.quote_all else csv.QUOTE_MINIMAL
        csv.writer(out, delimiter=self.separator, lineterminator="\r\n", quoting=quoting).writerow(cells)
        return self.raw(out.getvalue().removesuffix("\r\n"))


def case(name, content, expected, *, encoding="utf-8", mark=b"", currency="EUR", options=None, asks=None, **said):
    """Keeps a case: the file, the lines it must give as (row, day, cents, text, key, balance), what is said beforehand."""
    data = content if isinstance(content, bytes) else mark + content.encode(encoding)
    with open(name, "wb") as out:
        out.write(data)
    decimals = {"JPY": 0, "KWD": 3}.get(currency, 2)
    with open(name.rsplit(".", 1)[0] + ".lines.csv", "w", newline="", encoding="utf-8") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["row", "date", "amount", "text", "id", "balance"])
        for row, day, cents, text, key, balance in expected:
            rows.writerow([row, day.isoformat(), plain(cents, decimals), text, key or "",
                           "" if balance is None else plain(balance, decimals)])
    CASES.append({"file": name, "currency": currency, "options": options or {}, "asks": asks or [], **said})


def dmy(day, separator="."):
    return day.strftime(f"%d{separator}%m{separator}%Y")


def both(payee, purpose):
    return " ".join(part for part in (payee, purpose) if part)


# --- one signed column -------------------------------------------------------------------------------------------
def english_plain():
    t = Table()
    t.add("Date", "Description", "Payee", "Amount", "Transaction ID")
    rows = [(t.add(d.isoformat(), p, n, plain(c), k), d, c, both(p, n), k, None) for d, c, n, p, k in LINES]
    case("english-plain.csv", t.text, rows)


def english_us():
    t = Table(end="\n", quote_all=True)
    t.add("Posted Date", "Payee", "Amount", "Running Balance")
    rows = [(t.add(d.strftime("%m/%d/%Y"), n or p, amount(c), amount(b)), d, c, n or p, None, b)
            for d, c, n, p, k, b in with_balances(LINES)]
    case("english-month-first.csv", t.text, rows, currency="USD", opening=plain(OPENING), closing=plain(with_balances(LINES)[-1][5]))


def german_newest_first():
    t = Table(";")
    t.raw("Umsätze Fernhollow Buchbinderei")
    t.add("Konto:", "AB12 3456 7890")
    t.add("Währung:", "EUR")
    t.raw("")
    t.add("Buchungstag", "Valutadatum", "Empfänger", "Verwendungszweck", "Betrag (EUR)", "Saldo nach Buchung")
    rows = [(t.add(dmy(d), dmy(d + dt.timedelta(1)), n, p, amount(c, ",", "."), amount(b, ",", ".")), d, c, both(n, p), None, b)
            for d, c, n, p, k, b in reversed(with_balances(LINES))]
    t.add("", "", "", "Endsaldo", "", amount(with_balances(LINES)[-1][5], ",", "."))
    case("german-newest-first.csv", t.text, rows, encoding="cp1252", account="AB12 3456 7890",
         opening=plain(OPENING), closing=plain(with_balances(LINES)[-1][5]), notes=1)


def german_trailing_minus():
    t = Table(";")
    t.add("Buchung", "Buchungstext", "Betrag")
    rows = [(t.add(d.strftime("%d.%m.%y"), p, amount(c, ",", ".", "{}-")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("german-trailing-minus.csv", t.text, rows)


def french_utf16():
    t = Table("\t")
    t.add("Date opération", "Libellé", "Montant", "Devise")
    rows = [(t.add(dmy(d, "/"), f"{n} – {p}" if n else p, amount(c, ",", "\u202f", "\u2212{}"), "EUR"), d, c, f"{n} – {p}" if n else p, None, None)
            for d, c, n, p, k in LINES]
    case("french-utf16.txt", t.text, rows, encoding="utf-16-le", mark=b"\xff\xfe")


def french_utf16_without_mark():
    t = Table(";")
    t.add("Date", "Libellé", "Montant")
    rows = [(t.add(dmy(d, "/"), p, amount(c, ",", "\xa0")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("french-utf16-big-endian.csv", t.text, rows, encoding="utf-16-be")


def swiss_apostrophes():
    t = Table(";")
    t.add("Datum", "Text", "Betrag", "Saldo")
    rows = [(t.add(dmy(d), p, amount(c, ".", "'"), amount(b, ".", "\u2019")), d, c, p, None, b)
            for d, c, n, p, k, b in with_balances(LINES)]
    case("apostrophes.csv", t.text, rows, currency="CHF")


def polish():
    t = Table(";")
    t.add("Data księgowania", "Data waluty", "Nadawca/Odbiorca", "Tytuł", "Kwota", "Waluta")
    rows = [(t.add(dmy(d, "-"), dmy(d, "-"), n, p + " ąęł", amount(c, ",", " "), "PLN"), d, c, both(n, p + " ąęł"), None, None)
            for d, c, n, p, k in LINES]
    case("polish.csv", t.text, rows, currency="PLN", mark=b"\xef\xbb\xbf")


def brackets_and_signs():
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, f"(${grouped(c)})" if c < 0 else f"${grouped(c)}"), d, c, p, None, None)
            for d, c, n, p, k in LINES]
    case("brackets.csv", t.text, rows, currency="USD")


def code_in_cell():
    t = Table(";")
    t.add("Fecha", "Concepto", "Importe")
    rows = [(t.add(dmy(d, "/"), p, f"{amount(c, ',', '.')} EUR"), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("code-in-cell.csv", t.text, rows)


def italian_sign_before():
    t = Table(";")
    t.add("Data contabile", "Causale", "Importo", "Divisa")
    rows = [(t.add(dmy(d, "/"), p, ("€ +" if c > 0 else "€ -") + grouped(c, ",", ".")), d, c, p, None, None)
            for d, c, n, p, k in LINES]
    case("italian.csv", t.text, rows)


def long_months():
    t = Table()
    t.add("Booked on", "Narrative", "Amount")
    rows = [(t.add(d.strftime("%d %b %Y"), p, plain(c)), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("month-names.csv", t.text, rows)
    t = Table()
    t.add("Date", "Narrative", "Amount")
    rows = [(t.add(d.strftime("%B %d, %Y"), p, plain(c)), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("month-names-first.csv", t.text, rows)
    months = ["januari", "februari"]
    t = Table(";")
    t.add("Boekdatum", "Omschrijving", "Bedrag")
    rows = [(t.add(f"{d.day} {months[d.month - 1]} {d.year}", p, amount(c, ",", ".")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("dutch-month-names.csv", t.text, rows)


def packed_days():
    t = Table(";")
    t.add("Bokføringsdato", "Forklaring", "Beløp")
    rows = [(t.add(d.strftime("%Y%m%d"), p, amount(c, ",", " ")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("packed-days.csv", t.text, rows, currency="NOK")


def with_time():
    t = Table()
    t.add("Completed Date", "Description", "Amount", "Fee", "Currency", "State", "Balance")
    t_rows = []
    for d, c, n, p, k, b in with_balances(LINES):
        t_rows.append((t.add(d.isoformat() + " 09:30:00", p, plain(c), "0.00", "EUR", "COMPLETED", plain(b)), d, c, p, None, b))
    t.add("", "Not yet", "-5.00", "0.00", "EUR", "PENDING", "")
    case("times-and-states.csv", t.text, t_rows, notes=1)


# --- two columns, marks ------------------------------------------------------------------------------------------
def two_columns(name, debit_sign, headers, currency="GBP", separator=","):
    t = Table(separator)
    t.add(*headers)
    rows = []
    for d, c, n, p, k, b in with_balances(LINES):
        out = debit_sign + grouped(c) if c < 0 else ""
        into = grouped(c) if c > 0 else ""
        rows.append((t.add(dmy(d, "/"), p, out, into, amount(b)), d, c, p, None, b))
    case(name, t.text, rows, currency=currency, opening=plain(OPENING), closing=plain(with_balances(LINES)[-1][5]))


def zero_in_the_other():
    t = Table(";")
    t.add("Dato", "Tekst", "Ut", "Inn")
    rows = [(t.add(dmy(d), p, grouped(max(-c, 0), ",", "."), grouped(max(c, 0), ",", ".")), d, c, p, None, None)
            for d, c, n, p, k in LINES]
    case("zero-in-the-other.csv", t.text, rows, currency="NOK")


def marked(name, header, out, into, separator=";"):
    t = Table(separator)
    t.add("Datum", "Naam / Omschrijving", header, "Bedrag")
    rows = [(t.add(dmy(d, "-"), p, out if c < 0 else into, grouped(c, ",", ".")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case(name, t.text, rows)


def mark_and_sign():
    t = Table(";")
    t.add("Buchungstag", "Text", "Betrag", "S/H")
    rows = [(t.add(dmy(d), p, amount(c, ",", "."), "S" if c < 0 else "H"), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("mark-and-sign.csv", t.text, rows)


def marked_behind():
    t = Table()
    t.add("Date", "Details", "Amount", "Balance")
    rows = [(t.add(dmy(d, "/"), p, grouped(c) + (" DR" if c < 0 else " CR"), grouped(b) + " CR"), d, c, p, None, b)
            for d, c, n, p, k, b in with_balances(LINES)]
    case("marked-behind.csv", t.text, rows, currency="GBP")


def only_credits_marked():
    t = Table("\t")
    t.add("Date", "Merchant", "Amount")
    rows = [(t.add(dmy(d, "/"), p, grouped(c) + ("" if c < 0 else "CR")), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("only-credits-marked.txt", t.text, rows, currency="GBP", card=True)


# --- signs proven and asked --------------------------------------------------------------------------------------
def charges_proven():
    t = Table()
    t.add("Date", "Details", "Amount", "Balance")
    rows = [(t.add(d.isoformat(), p, plain(-c), plain(b)), d, c, p, None, b) for d, c, n, p, k, b in with_balances(LINES)]
    case("charges-proven-by-balance.csv", t.text, rows)


def card_owed():
    lines = [(d, c, n, p, k) for d, c, n, p, k in LINES if c < 0] + [(dt.date(2026, 1, 31), 50000, "", "Payment received", "K-9")]
    t = Table()
    t.add("Date", "Details", "Amount", "Balance owed")
    rows = [(t.add(d.isoformat(), p, plain(-c), plain(-b)), d, c, p, None, b) for d, c, n, p, k, b in with_balances(lines, -10000)]
    case("card-balance-owed.csv", t.text, rows, card=True)


def card_plain():
    lines = [(d, c, n, p, k) for d, c, n, p, k in LINES if c < 0] + [(dt.date(2026, 1, 31), 50000, "", "Payment received", "K-9")]
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, plain(c)), d, c, p, None, None) for d, c, n, p, k in lines]
    case("card-as-written.csv", t.text, rows, card=True)
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, plain(-c)), d, c, p, None, None) for d, c, n, p, k in lines]
    case("card-charges-positive.csv", t.text, rows, card=True, asks=["sign"], options={"sign": "charges-positive"})
    lines = [line for line in lines if line[1] < 0]
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, plain(-c)), d, c, p, None, None) for d, c, n, p, k in lines]
    case("only-positive.csv", t.text, rows, asks=["sign"], options={"sign": "charges-positive"})


def ambiguous_days():
    t = Table()
    t.add("Date", "Details", "Amount")
    days = [dt.date(2026, 2, 3), dt.date(2026, 2, 10), dt.date(2026, 2, 12)]
    rows = []
    for day, (d, c, n, p, k) in zip(days, LINES):
        rows.append((t.add(dmy(day, "/"), p, plain(c)), day, c, p, None, None))
    case("days-open.csv", t.text, rows, asks=["dates"], options={"dates": "dmy"})
    rows = [(row, day.replace(month=day.day, day=day.month), c, p, k, b) for row, day, c, p, k, b in rows]
    case("days-open-month-first.csv", t.text, rows, asks=["dates"], options={"dates": "mdy"})
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = [(t.add(day.strftime("%d/%m/%y"), p, plain(c)), day, c, p, None, None) for day, (d, c, n, p, k) in zip(days, LINES)]
    case("short-years-open.csv", t.text, rows, asks=["dates"], options={"dates": "dmy"})
    # The same day under either order leaves nothing open; one row beyond twelve decides for all.
    t = Table()
    t.add("Date", "Details", "Amount")
    same = [dt.date(2026, 2, 2), dt.date(2026, 3, 3)]
    rows = [(t.add(dmy(day, "/"), p, plain(c)), day, c, p, None, None) for day, (d, c, n, p, k) in zip(same, LINES)]
    case("days-the-same-either-way.csv", t.text, rows)


def decimals_open():
    t = Table(";")
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, text), d, c, p, None, None)
            for (d, _c, n, p, k), text, c in zip(LINES, ["1.500", "-2.000"], [150000, -200000])]
    case("decimals-open.csv", t.text, rows, asks=["decimal"], options={"decimal": ","})
    t = Table(";")
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p, text), d, c, p, None, None)
            for (d, _c, n, p, k), text, c in zip(LINES, ["1.234", "-2.345", "12"], [1234, -2345, 12000])]
    case("three-decimals.csv", t.text, rows, currency="KWD", asks=["decimal"], options={"decimal": "."})
    rows = []
    t = Table(";")
    t.add("Date", "Details", "Amount")
    for (d, _c, n, p, k), text, c in zip(LINES, ["1,234", "-22,345", "12"], [1234, -22345, 12]):
        rows.append((t.add(d.isoformat(), p, text), d, c, p, None, None))
    case("no-decimals.csv", t.text, rows, currency="JPY")


def two_accounts():
    t = Table(";")
    t.add("Konto", "Buchungstag", "Text", "Betrag")
    rows = []
    for d, c, n, p, k in LINES:
        rows.append((t.add("AB-1", dmy(d), p, amount(c, ",", ".")), d, c, p, None, None))
        t.add("AB-2", dmy(d), "Other " + p, amount(c * 2, ",", "."))
    case("two-accounts.csv", t.text, rows, asks=["statement-account"], options={"statement_account": "AB-1"}, account="AB-1")


# --- headers and rows --------------------------------------------------------------------------------------------
def no_header():
    t = Table()
    rows = [(t.add(d.strftime("%m/%d/%Y"), plain(c), "*", "", both(n, p)), d, c, both(n, p), None, None) for d, c, n, p, k in LINES]
    case("no-header.csv", t.text, rows, currency="USD")
    t = Table(";")
    rows = [(t.add(dmy(d), p, plain(c).replace(".", ","), plain(b).replace(".", ",")), d, c, p, None, b)
            for d, c, n, p, k, b in with_balances(LINES)]
    case("no-header-with-balance.csv", t.text, rows)


def unknown_header():
    t = Table("|")
    t.raw("Kivonat")
    t.add("Nap", "Szoveg", "Mennyi")
    rows = [(t.add(d.isoformat(), p, plain(c)), d, c, p, None, None) for d, c, n, p, k in LINES]
    case("unknown-header.txt", t.text, rows)


def columns_asked():
    t = Table(";")
    t.add("Nap", "Szoveg", "Egyik", "Masik")
    rows = [(t.add(d.isoformat(), p, plain(c), plain(i * 100)), d, c, p, None, None) for i, (d, c, n, p, k) in enumerate(LINES)]
    case("columns-open.csv", t.text, rows, asks=["columns"],
         options={"columns": [["date", "Nap"], ["text", "Szoveg"], ["amount", "Egyik"]]})


def preamble_and_pages():
    t = Table()
    t.add("Fernhollow Bindery", "", "", "")
    t.add("From", "01/01/2026", "To", "31/01/2026")
    t.raw("")
    t.raw("")
    t.add("Opening balance", "", "", grouped(OPENING))
    t.raw("")
    t.add("Transaction Date", "Reference", "Details", "Money out", "Money in")
    rows = []
    for idx, (d, c, n, p, k) in enumerate(LINES):
        if idx == 3:
            t.raw("")
            t.add("Transaction Date", "Reference", "Details", "Money out", "Money in")
        rows.append((t.add(dmy(d, "/"), k, p, grouped(c) if c < 0 else "", grouped(c) if c > 0 else ""), d, c, f"{k} {p}", None, None))
    t.add("", "", "Total", grouped(sum(c for _d, c, *_r in LINES if c < 0)), grouped(sum(c for _d, c, *_r in LINES if c > 0)))
    t.add("End of statement")
    case("preamble-and-pages.csv", t.text, rows, currency="GBP", notes=1)


def quoting():
    texts = ['He said "ten, please"', "two\r\nlines", "a;b,c", "  spaces   made one ", 'plain "stray" mark', "'=1+2"]
    t = Table()
    t.add("Date", "Details", "Amount")
    rows = []
    expected = ['He said "ten, please"', "two lines", "a;b,c", "spaces made one", 'plain "stray" mark', "'=1+2"]
    for (d, c, n, p, k), text, said in zip(LINES, texts, expected):
        rows.append((t.add(d.isoformat(), text, plain(c)), d, c, said, None, None))
    case("quoting.csv", t.text, rows)


def declared_separator():
    t = Table(";")
    t.raw("sep=;")
    t.add("Date", "Details", "Amount")
    rows = [(t.add(d.isoformat(), p + ", more, and more", plain(c)), d, c, p + ", more, and more", None, None) for d, c, n, p, k in LINES]
    case("declared-separator.csv", t.text, rows)


def padded_rows():
    t = Table(";", end="\r")
    t.raw("Date ; Details ; Amount ;;")
    rows = []
    for d, c, n, p, k in LINES:
        rows.append((t.raw(f" {d.isoformat()} ;  {p} ; {plain(c)} ;;"), d, c, p, None, None))
    case("padded-and-returns-alone.csv", t.text, rows)


def central_european():
    t = Table(";")
    t.add("Data operacji", "Opis operacji", "Kwota")
    rows = [(t.add(d.isoformat(), "Książki i papier łódź źdźbło część " + p, amount(c, ",", " ")), d, c,
             "Książki i papier łódź źdźbło część " + p, None, None) for d, c, n, p, k in LINES]
    case("central-european.csv", t.text, rows, encoding="cp1250", currency="PLN")


def value_day_only():
    t = Table(";")
    t.add("Valuta", "Vorgang", "Soll", "Haben")
    rows = [(t.add(dmy(d), p, grouped(c, ",", ".") if c < 0 else "", grouped(c, ",", ".") if c > 0 else ""), d, c, p, None, None)
            for d, c, n, p, k in LINES]
    case("value-day-only.csv", t.text, rows)


def only_a_header():
    case("only-a-header.csv", "Date;Details;Amount\r\n", [])


def indian_groups():
    t = Table()
    t.add("Txn Date", "Description", "Debit", "Credit", "Balance")
    rows = []
    balance = 0
    for day, cents, out, into, said in [
        (dt.date(2026, 1, 14), 123456780, "", "12,34,567.80", "12,34,567.80"),
        (dt.date(2026, 1, 20), -12345600, "1,23,456.00", "", "11,11,111.80"),
    ]:
        balance += cents
        rows.append((t.add(day.strftime("%d %b %y"), "Paper", out, into, said), day, cents, "Paper", None, balance))
    case("groups-of-two.csv", t.text, rows, currency="INR")


english_plain()
english_us()
german_newest_first()
german_trailing_minus()
french_utf16()
french_utf16_without_mark()
swiss_apostrophes()
polish()
brackets_and_signs()
code_in_cell()
italian_sign_before()
long_months()
packed_days()
with_time()
two_columns("two-columns.csv", "", ["Date", "Details", "Paid out", "Paid in", "Balance"])
two_columns("two-columns-negative.csv", "-", ["Date", "Description", "Debit", "Credit", "Balance"])
zero_in_the_other()
marked("mark-in-a-column.csv", "Af Bij", "Af", "Bij")
marked("mark-letters.csv", "D/C", "D", "C")
marked("mark-by-its-cells.csv", "Soort", "Debet", "Credit")
mark_and_sign()
marked_behind()
only_credits_marked()
charges_proven()
card_owed()
card_plain()
ambiguous_days()
decimals_open()
two_accounts()
no_header()
unknown_header()
columns_asked()
preamble_and_pages()
quoting()
declared_separator()
padded_rows()
central_european()
value_day_only()
only_a_header()
indian_groups()

exec(open("make_tagged.py", encoding="utf-8").read())

with open("cases.json", "w", encoding="utf-8") as out:
    json.dump(CASES, out, indent=1, ensure_ascii=False)
    out.write("\n")
