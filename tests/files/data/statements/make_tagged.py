# Statements of tags: OFX and camt.053. Run by make.py, whose lines and helpers it uses.
# Tags and their order are those of the published specifications; names, keys and accounts are invented.
from xml.sax.saxutils import escape

HEADER = ("OFXHEADER:100\r\nDATA:OFXSGML\r\nVERSION:{version}\r\nSECURITY:NONE\r\nENCODING:{encoding}\r\nCHARSET:{charset}\r\n"
          "COMPRESSION:NONE\r\nOLDFILEUID:NONE\r\nNEWFILEUID:NONE\r\n\r\n")
SIGNON = ("<SIGNONMSGSRSV1><SONRS><STATUS><CODE>0<SEVERITY>INFO</STATUS><DTSERVER>20260201<LANGUAGE>ENG</SONRS></SIGNONMSGSRSV1>")


def ofx_old(lines, *, end="\r\n", decimal=".", memo=None, tail="", account="999988", kind="", close=None):
    out = (f"<STMTTRNRS><TRNUID>1<STATUS><CODE>0<SEVERITY>INFO</STATUS>{end}<STMTRS><CURDEF>EUR{end}"
           f"<BANKACCTFROM><BANKID>121<ACCTID>{account}<ACCTTYPE>CHECKING</BANKACCTFROM>{end}"
           f"<BANKTRANLIST><DTSTART>20260101<DTEND>20260131235959{end}")
    for d, c, n, p, k in lines:
        out += f"<STMTTRN>{end}<TRNTYPE>{'CREDIT' if c > 0 else 'DEBIT'}{end}<DTPOSTED>{d:%Y%m%d}120000[-5:EST]{end}<TRNAMT>{plain(c).replace('.', decimal)}{end}<FITID>{k}{end}"
        out += (f"<NAME>{escape(n)}{end}" if n else "") + f"<MEMO>{escape(p)}{end}</STMTTRN>{end}"
    close = close if close is not None else OPENING + sum(c for _d, c, *_r in lines)
    return out + f"</BANKTRANLIST>{end}{tail}<LEDGERBAL><BALAMT>{plain(close)}<DTASOF>20260131</LEDGERBAL></STMTRS></STMTTRNRS>{end}"


def wrapped(*statements, header=HEADER.format(version=102, encoding="USASCII", charset="1252")):
    return header + "<OFX>" + SIGNON + "\r\n<BANKMSGSRSV1>" + "".join(statements) + "</BANKMSGSRSV1></OFX>\r\n"


def expected(lines, start=1):
    return [(i, d, c, both(n, p), k, None) for i, (d, c, n, p, k) in enumerate(lines, start)]


TOTAL = OPENING + sum(c for _d, c, *_r in LINES)
LETTERS = [(d, c, n and n + " & Söhne", p + " <für>", k) for d, c, n, p, k in LINES]
case("ofx-sgml.ofx", wrapped(ofx_old(LETTERS)), expected(LETTERS), encoding="cp1252", account="999988",
     closing=plain(TOTAL), **{"from": "2026-01-01", "to": "2026-01-31"})
case("ofx-sgml-utf8-comma.ofx",
     wrapped(ofx_old(LETTERS, decimal=",", end="\n"), header=HEADER.format(version=103, encoding="UTF-8", charset="NONE")),
     expected(LETTERS), closing=plain(TOTAL))
case("ofx-sgml-one-line.ofx", wrapped(ofx_old(LINES, end="")).replace("\r\n", "\n"), expected(LINES), closing=plain(TOTAL))


def ofx_two(lines, card=False):
    out = '<?xml version="1.0" encoding="UTF-8"?>\n<?OFX OFXHEADER="200" VERSION="220" SECURITY="NONE" OLDFILEUID="NONE" NEWFILEUID="NONE"?>\n<OFX>\n'
    a, b, f = ("CREDITCARDMSGSRSV1", "CCSTMTTRNRS", "CCSTMTRS") if card else ("BANKMSGSRSV1", "STMTTRNRS", "STMTRS")
    who = "<CCACCTFROM><ACCTID>4000-1</ACCTID></CCACCTFROM>" if card else "<BANKACCTFROM><BANKID>121</BANKID><ACCTID>4000-1</ACCTID><ACCTTYPE>CHECKING</ACCTTYPE></BANKACCTFROM>"
    out += f"<{a}><{b}><TRNUID>1</TRNUID><{f}><CURDEF>EUR</CURDEF>{who}\n<BANKTRANLIST><DTSTART>20260101</DTSTART><DTEND>20260131</DTEND>\n"
    for d, c, n, p, k in lines:
        out += f"<STMTTRN><TRNTYPE>OTHER</TRNTYPE><DTPOSTED>{d:%Y%m%d}</DTPOSTED><DTUSER>20251231</DTUSER><TRNAMT>{'+' if c > 0 else ''}{plain(c)}</TRNAMT><FITID>{k}</FITID>"
        out += (f"<PAYEE><NAME>{escape(n)}</NAME><ADDR1>1 Mill Lane</ADDR1><CITY>Fern</CITY></PAYEE>" if n else "<NAME></NAME>")
        out += f"<BANKACCTTO><BANKID>9</BANKID><ACCTID>other</ACCTID></BANKACCTTO><MEMO><![CDATA[{p}]]></MEMO></STMTTRN>\n"
    return out + f"</BANKTRANLIST><LEDGERBAL><BALAMT>{plain(TOTAL)}</BALAMT><DTASOF>20260131120000</DTASOF></LEDGERBAL></{f}></{b}></{a}>\n</OFX>\n"


case("ofx-xml.ofx", ofx_two(LETTERS), expected(LETTERS), account="4000-1", closing=plain(TOTAL))
case("ofx-xml-card.ofx", ofx_two(LINES, card=True), expected(LINES), account="4000-1", card=True, closing=plain(TOTAL))
OTHER = [(d, c * 2, n, p, "Z" + k) for d, c, n, p, k in LINES]
case("ofx-two-accounts.ofx", wrapped(ofx_old(OTHER, account="A-1"), ofx_old(LINES, account="A-2")), expected(LINES, 7),
     asks=["statement-account"], options={"statement_account": "A-2"}, account="A-2", closing=plain(TOTAL))
FIXED = list(LINES)
late = "<STMTTRN><TRNTYPE>DEBIT<DTPOSTED>20260106<TRNAMT>-1200.00<FITID>K-2001<CORRECTFITID>K-1002<CORRECTACTION>REPLACE<NAME>Alderwick Paper</STMTTRN>"
late += "<STMTTRN><TRNTYPE>DEBIT<DTPOSTED>20260114<TRNAMT>-12.99<FITID>K-2002<CORRECTFITID>K-1004<CORRECTACTION>DELETE</STMTTRN>"
late += "<STMTTRN><TRNTYPE>FEE<DTPOSTED>20260114<TRNAMT>-1.00<FITID>K-2003<CORRECTFITID>K-0007<CORRECTACTION>REPLACE<MEMO>Fee</STMTTRN>"
left = [row for row in expected(LINES) if row[4] not in ("K-1002", "K-1004")]
left += [(7, dt.date(2026, 1, 6), -120000, "Alderwick Paper", "K-2001", None), (9, dt.date(2026, 1, 14), -100, "Fee", "K-2003", None)]
case("ofx-corrections.ofx", wrapped(ofx_old(LINES).replace("</BANKTRANLIST>", late + "</BANKTRANLIST>")), left, notes=1)
turned = [(d, -c, n, p, k) for d, c, n, p, k in LINES]
body = ofx_old(turned).replace(">CREDIT", ">X").replace(">DEBIT", ">CREDIT").replace(">X", ">DEBIT")
case("ofx-signs-against-kinds.ofx", wrapped(body), expected(LINES), asks=["sign"], options={"sign": "charges-positive"}, notes=1)

# The example of a statement download in the specification: a check of 200.00 and 300.00 drawn, 200.29 left.
# Ref: Open Financial Exchange Specification 1.0 to 1.6, chapter 11, examples, statement download (its figures only).
example = ("<STMTTRNRS><TRNUID>1001<STATUS><CODE>0<SEVERITY>INFO</STATUS><STMTRS><CURDEF>USD<BANKACCTFROM><BANKID>121099999"
           "<ACCTID>999988<ACCTTYPE>CHECKING</BANKACCTFROM><BANKTRANLIST><DTSTART>19961001<DTEND>19961028"
           "<STMTTRN><TRNTYPE>CHECK<DTPOSTED>19961004<DTUSER>19961004<TRNAMT>-200.00<FITID>00002<CHECKNUM>1000</STMTTRN>"
           "<STMTTRN><TRNTYPE>ATM<DTPOSTED>19961020<DTUSER>19961020<TRNAMT>-300.00<FITID>00003</STMTTRN></BANKTRANLIST>"
           "<LEDGERBAL><BALAMT>200.29<DTASOF>199610291120</LEDGERBAL><AVAILBAL><BALAMT>200.29<DTASOF>199610291120</AVAILBAL></STMTRS></STMTTRNRS>")
case("ofx-of-the-specification.ofx", wrapped(example),
     [(1, dt.date(1996, 10, 4), -20000, "1000", "00002", None), (2, dt.date(1996, 10, 20), -30000, "", "00003", None)],
     currency="USD", account="999988", closing="200.29", **{"from": "1996-10-01", "to": "1996-10-28"})


# --- camt.053: the structure is the published schema's (ISO 20022, BankToCustomerStatement V02 to V13) ----------------
def entry(version, d, c, status="BOOK", reference="", number="", details="", information="", reversal="", time=False):
    sts = f"<Sts>{status}</Sts>" if version < 8 else f"<Sts><Cd>{status}</Cd></Sts>"
    day = f"<DtTm>{d}T10:00:00+01:00</DtTm>" if time else f"<Dt>{d}</Dt>"
    return ("<Ntry>" + (f"<NtryRef>{number}</NtryRef>" if number else "") + f'<Amt Ccy="EUR">{plain(abs(c))}</Amt>'
            f"<CdtDbtInd>{'DBIT' if c < 0 else 'CRDT'}</CdtDbtInd>{reversal}{sts}<BookgDt>{day}</BookgDt><ValDt><Dt>{d}</Dt></ValDt>"
            + (f"<AcctSvcrRef>{reference}</AcctSvcrRef>" if reference else "")
            + "<BkTxCd><Domn><Cd>PMNT</Cd><Fmly><Cd>RCDT</Cd><SubFmlyCd>ESCT</SubFmlyCd></Fmly></Domn></BkTxCd>"
            + (f"<NtryDtls>{details}</NtryDtls>" if details else "")
            + (f"<AddtlNtryInf>{escape(information)}</AddtlNtryInf>" if information else "") + "</Ntry>")


def detail(version, c, name="", texts=(), reference="", end_to_end="NOTPROVIDED", with_amount=True):
    party = f"<Pty><Nm>{escape(name)}</Nm></Pty>" if version >= 8 else f"<Nm>{escape(name)}</Nm>"
    who = "Cdtr" if c < 0 else "Dbtr"
    amount_part = ""
    if with_amount:
        money = f'<Amt Ccy="EUR">{plain(abs(c))}</Amt>'
        amount_part = f"<AmtDtls><TxAmt>{money}</TxAmt></AmtDtls>" if version < 4 else f"{money}<CdtDbtInd>{'DBIT' if c < 0 else 'CRDT'}</CdtDbtInd>"
    return ("<TxDtls><Refs>" + (f"<AcctSvcrRef>{reference}</AcctSvcrRef>" if reference else "") + f"<EndToEndId>{end_to_end}</EndToEndId></Refs>"
            + amount_part + (f"<RltdPties><{who}>{party}</{who}></RltdPties>" if name else "")
            + ("<RmtInf>" + "".join(f"<Ustrd>{escape(t)}</Ustrd>" for t in texts) + "</RmtInf>" if texts else "") + "</TxDtls>")


def camt(version, *statements, prefix="", encoding="UTF-8", namespace=None):
    space = namespace or f"urn:iso:std:iso:20022:tech:xsd:camt.053.001.{version:02d}"
    text = (f'<?xml version="1.0" encoding="{encoding}"?>\n<Document xmlns="{space}"><BkToCstmrStmt><GrpHdr><MsgId>M</MsgId>'
            f"<CreDtTm>2026-02-01T06:00:00</CreDtTm></GrpHdr>\n" + "\n".join(statements) + "\n</BkToCstmrStmt></Document>\n")
    if prefix:
        import re
        text = re.sub(r"<(/?)([A-Z][A-Za-z]*)", rf"<\1{prefix}:\2", text).replace("xmlns=", f"xmlns:{prefix}=")
    return text


def stmt(version, entries, account="<IBAN>AB12345678901234567890</IBAN>", opening=OPENING, closing=TOTAL, name="S-1", first="2026-01-01", last="2026-01-31"):
    def bal(kind, cents, day):
        return (f"<Bal><Tp><CdOrPrtry><Cd>{kind}</Cd></CdOrPrtry></Tp><Amt Ccy=\"EUR\">{plain(abs(cents))}</Amt>"
                f"<CdtDbtInd>{'DBIT' if cents < 0 else 'CRDT'}</CdtDbtInd><Dt><Dt>{day}</Dt></Dt></Bal>")
    return (f"<Stmt><Id>{name}</Id><ElctrncSeqNb>1</ElctrncSeqNb><CreDtTm>2026-02-01T06:00:00</CreDtTm>"
            f"<FrToDt><FrDtTm>{first}T00:00:00</FrDtTm><ToDtTm>{last}T23:59:59</ToDtTm></FrToDt>"
            f"<Acct><Id>{account}</Id><Ccy>EUR</Ccy><Ownr><Nm>Fernhollow Bindery</Nm></Ownr></Acct>"
            + bal("OPBD", opening, first) + bal("CLBD", closing, last) + bal("CLAV", closing - 1, last) + "\n" + "\n".join(entries) + "</Stmt>")


def simple(version):
    entries, rows = [], []
    for i, (d, c, n, p, k) in enumerate(LETTERS, 1):
        entries.append(entry(version, d, c, reference=k, details=detail(version, c, n, [p], with_amount=False) if n else "", information=p))
        rows.append((i, d, c, both(n, p), k, None))
    entries.append(entry(version, dt.date(2026, 1, 31), -777, status="PDNG", reference="K-P"))
    return entries, rows


said = {"opening": plain(OPENING), "closing": plain(TOTAL), "account": "AB12345678901234567890", "notes": 1}
for version in (2, 4, 6, 8, 10, 13):
    entries, rows = simple(version)
    case(f"camt-{version:02d}.xml", camt(version, stmt(version, entries)), rows, **said)
entries, rows = simple(8)
case("camt-prefixed-latin.xml", camt(8, stmt(8, entries), prefix="ns2", encoding="ISO-8859-1"), rows, encoding="latin-1", **said)
case("camt-utf16.xml", camt(8, stmt(8, entries), encoding="UTF-16"), rows, encoding="utf-16-le", mark=b"\xff\xfe", **said)


def batches(version):
    parts = [(10000, "Lanternpost Shop", "Order 1", "E-1"), (2550, "Quillgate", "Order 2", "E-2"), (-50, "Lanternpost Shop", "Fee", "E-3")]
    whole = sum(c for c, *_r in parts)
    day = dt.date(2026, 1, 9)
    split = "".join(detail(version, c, n, [t], reference=f"R-{i}" if i == 2 else "", end_to_end=e) for i, (c, n, t, e) in enumerate(parts, 1))
    unsplit = "".join(detail(version, c, n, [t], end_to_end=e) for c, n, t, e in parts[:2])
    entries = [entry(version, day, whole, reference="B-1", details=split, information="Batch"),
               entry(version, day, whole, number="7", details=unsplit, information="Batch that does not add up"),
               entry(version, day, -4000, details=detail(version, -4000, "Plume Ink", ["Ink", "twice"], end_to_end="E-9", with_amount=False), time=True),
               entry(version, day, 4000, reference="B-4", information="Taken back", reversal="<RvslInd>true</RvslInd>")]
    rows = [(1, day, 10000, "Lanternpost Shop Order 1", "B-1/1", None), (1, day, 2550, "Quillgate Order 2", "R-2", None),
            (1, day, -50, "Lanternpost Shop Fee", "B-1/3", None),
            (2, day, whole, "Batch that does not add up", "S-1/7", None),
            (3, day, -4000, "Plume Ink Ink twice", "2026-01-09/E-9", None), (4, day, 4000, "Taken back", "B-4", None)]
    return entries, rows


entries, rows = batches(8)
case("camt-batches.xml", camt(8, stmt(8, entries)), rows)
day = dt.date(2026, 1, 9)
parts = "".join(detail(2, c, "", [t]) for c, t in [(10000, "Order 1"), (2500, "Order 2")])
case("camt-02-batch.xml", camt(2, stmt(2, [entry(2, day, 12500, reference="B-1", details=parts)])),
     [(1, day, 10000, "Order 1", "B-1/1", None), (1, day, 2500, "Order 2", "B-1/2", None)])
one, _rows = simple(8)
two = [entry(8, dt.date(2026, 1, 3), -100, reference="Q-1", information="Other")]
case("camt-two-accounts.xml", camt(8, stmt(8, one), stmt(8, two, account="<Othr><Id>55-7</Id></Othr>", opening=500, closing=-400)),
     [(8, dt.date(2026, 1, 3), -100, "Other", "Q-1", None)], asks=["statement-account"],
     options={"statement_account": "55-7"}, account="55-7", opening="5.00", closing="-4.00")
two = [entry(8, dt.date(2026, 2, 3), -100, reference="Q-1", information="Other")]
one, rows = simple(8)
case("camt-two-months.xml", camt(8, stmt(8, one), stmt(8, two, opening=TOTAL, closing=TOTAL - 100, name="S-2", first="2026-02-01", last="2026-02-28")),
     rows + [(8, dt.date(2026, 2, 3), -100, "Other", "Q-1", None)], opening=plain(OPENING), closing=plain(TOTAL - 100),
     notes=1, **{"from": "2026-01-01", "to": "2026-02-28"})
