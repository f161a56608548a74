//! Eight months of an invented bank account, two hundred lines: what was bought from whom, what the owner answers when she
//! is asked, and what every account then comes to, added up here and never by the program.

use std::collections::BTreeMap;

/// What the owner answers when she is asked about a payee.
#[derive(Clone, Copy, Debug)]
pub enum Answer {
    /// A meaning, and the account beside it.
    Exactly(&'static str, &'static str),
    /// A rough answer.
    Roughly(&'static str),
    /// A shop paid: which.
    Shop(&'static str),
    /// She does not know, but remembers this.
    Unknown(&'static str),
}

/// One line of the bank.
pub struct Line {
    pub day: String,
    pub minor: i64,
    pub text: &'static str,
}

/// Who is on the statement, by the words the bank uses, and what the owner answers.
pub const PAYEES: [(&str, Answer); 29] = {
    use Answer::{Exactly, Roughly, Shop, Unknown};
    [
        ("QUARTERDAY STUDIOS RENT", Exactly("purchase", "6610")),
        ("HOLLOW BROADBAND", Exactly("purchase", "6410")),
        ("MONTHLY ACCOUNT FEE", Exactly("purchase", "6700")),
        ("PEN AND LEDGER SOFTWARE", Exactly("purchase", "6400")),
        ("TO RAINY DAY SAVINGS", Exactly("transfer", "1010")),
        ("R FERN MONTHLY", Exactly("owner-out", "")),
        ("HARROW LANE PAPERS", Exactly("purchase", "6000")),
        ("ELMWICK POST OFFICE", Exactly("purchase", "6110")),
        ("GREEN DOOR GROCER", Roughly("mine")),
        ("OLD QUAY CAFE", Roughly("mine")),
        ("LANTERNPOST PAYOUT", Shop("Lanternpost")),
        ("TALLOW MARKET PAYMENT", Shop("Tallow Market")),
        ("QUILLFEATHER INKS", Exactly("purchase", "6000")),
        ("BOXWRIGHT PACKAGING", Exactly("purchase", "6100")),
        ("ASHDOWN SCHOOL", Exactly("sale", "")),
        ("FERNDALE FAIR PITCH", Exactly("purchase", "6310")),
        ("CRAFTGUARD INSURANCE", Exactly("purchase", "6240")),
        ("ELMWICK COUNCIL LICENCE", Exactly("purchase", "6220")),
        ("CASH MACHINE WOOL STREET", Exactly("transfer", "1020")),
        ("R FERN MONEY IN", Exactly("owner-in", "")),
        ("STAPLE AND STITCH", Roughly("cost")),
        ("COPPICE TIMBER", Roughly("cost")),
        ("MOORGATE PRINTWORKS", Roughly("cost")),
        ("XTRADE", Unknown("perhaps the second-hand guillotine")),
        ("BRIAR LANE", Unknown("")),
        ("ZINNIA HOLDINGS", Unknown("")),
        ("KITEMOOR", Unknown("a fair in June?")),
        ("POLLARD AND SONS", Unknown("")),
        ("VESPER ROAD", Unknown("")),
    ]
};

/// The two hundred lines, March to October 2026.
pub fn lines() -> Vec<Line> {
    let mut lines = Vec::new();
    let mut add = |month: i64, day: i64, minor: i64, text: &'static str| {
        lines.push(Line {
            day: format!("2026-{:02}-{day:02}", month + 3),
            minor,
            text,
        });
    };
    for m in 0..8 {
        add(m, 1, -18_000, "QUARTERDAY STUDIOS RENT");
        add(m, 3, -2_450, "HOLLOW BROADBAND LTD");
        add(m, 28, -400, "MONTHLY ACCOUNT FEE");
        add(m, 12, -990, "PEN AND LEDGER SOFTWARE");
        add(m, 29, -5_000, "TO RAINY DAY SAVINGS");
        add(m, 25, -4_000, "R FERN MONTHLY");
        for k in 0..3 {
            add(
                m,
                4 + 8 * k,
                -(2_130 + 110 * m + 425 * k),
                "CARD HARROW LANE PAPERS 0042",
            );
            add(
                m,
                6 + 9 * k,
                -(345 + 5 * m + 80 * k),
                "CARD ELMWICK POST OFFICE",
            );
        }
        for k in 0..2 {
            add(
                m,
                7 + 13 * k,
                -(3_120 + 70 * m + 515 * k),
                "CARD GREEN DOOR GROCER",
            );
            add(m, 9 + 12 * k, -(640 + 125 * k), "CARD OLD QUAY CAFE");
            add(
                m,
                10 + 14 * k,
                14_210 + 1_135 * m + 2_340 * k,
                "LANTERNPOST PAYOUT",
            );
        }
        add(m, 16, 5_875 + 620 * m, "TALLOW MARKET PAYMENT");
        add(m, 19, -(1_890 + 35 * m), "CARD QUILLFEATHER INKS");
        add(m, 22, -(2_760 + 115 * m), "BOXWRIGHT PACKAGING");
        add(m, 26, -4_000, "CASH MACHINE WOOL STREET");
    }
    for m in [1, 3, 5, 7] {
        add(m, 17, 32_000 + 1_000 * m, "BACS ASHDOWN SCHOOL");
    }
    for m in [2, 4, 5, 6] {
        add(m, 11, -4_500, "FERNDALE FAIR PITCH");
    }
    add(1, 14, -9_600, "CRAFTGUARD INSURANCE");
    add(2, 15, -3_500, "ELMWICK COUNCIL LICENCE");
    add(0, 1, 30_000, "R FERN MONEY IN");
    add(4, 2, 30_000, "R FERN MONEY IN");
    add(0, 18, -2_340, "CARD STAPLE AND STITCH");
    add(5, 18, -5_110, "CARD STAPLE AND STITCH");
    add(1, 20, -6_400, "COPPICE TIMBER");
    add(6, 20, -1_800, "COPPICE TIMBER");
    add(2, 23, -15_000, "MOORGATE PRINTWORKS");
    add(7, 23, -1_250, "MOORGATE PRINTWORKS");
    add(2, 8, -4_000, "CARD 4412 XTRADE");
    add(3, 8, 7_550, "BRIAR LANE");
    add(4, 8, -1_234, "ZINNIA HOLDINGS");
    add(5, 8, -8_800, "KITEMOOR");
    add(6, 8, -599, "POLLARD AND SONS");
    add(7, 8, 2_000, "VESPER ROAD");
    lines.sort_by(|a, b| a.day.cmp(&b.day));
    lines
}

pub fn plain(minor: i64) -> String {
    let sign = if minor < 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", minor.abs() / 100, minor.abs() % 100)
}

/// The statement with a balance after each line, and its last balance.
pub fn statement() -> (String, i64) {
    let mut text = "Date,Description,Amount,Balance\n".to_owned();
    let mut balance = 0;
    for line in lines() {
        balance += line.minor;
        text.push_str(&format!(
            "{},{},{},{}\n",
            line.day,
            line.text,
            plain(line.minor),
            plain(balance)
        ));
    }
    (text, balance)
}

pub fn answer(text: &str) -> Answer {
    PAYEES
        .iter()
        .find(|(words, _answer)| text.contains(words))
        .unwrap_or_else(|| panic!("nobody knows {text}"))
        .1
}

/// What every account comes to, added up from the list and the answers alone: debits positive.
pub fn by_account() -> BTreeMap<&'static str, i64> {
    let mut sums = BTreeMap::new();
    for line in lines() {
        let other = match answer(line.text) {
            Answer::Exactly("owner-out", _) => "3100",
            Answer::Exactly("owner-in", _) => "3000",
            Answer::Exactly("sale", _) => "4000",
            Answer::Exactly(_, account) => account,
            Answer::Roughly("mine") => "3100",
            Answer::Roughly(_) => "6900",
            Answer::Shop("Lanternpost") => "1051",
            Answer::Shop(_) => "1052",
            Answer::Unknown(_) => "1900",
        };
        *sums.entry("1000").or_default() += line.minor;
        *sums.entry(other).or_default() -= line.minor;
    }
    sums
}
