//! Company papers, decisions, and how the business is kept, by their sheets and verbs.

use crate::desk::Desk;

#[test]
fn papers_and_decisions_are_kept_and_never_a_tax_number() {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-01-02,in,1000,300.00\n",
    );
    desk.file("papers/agreement.txt", "signed");
    desk.file(
        "papers/papers.csv",
        "paper,kind,there,day,kept_at,note,file\n\
         Registration,registration,yes,2026-01-03,blue folder,,\n\
         Tax number,tax-number,yes,2026-01-20,letter in the blue folder,,\n\
         Operating agreement,operating-agreement,yes,2026-01-04,,,agreement.txt\n\
         Loan of the press,owner-loan,no,,,to be signed,\n",
    );
    desk.ok(&["bring", "@book", "papers", "@papers/papers.csv"]);
    desk.bring(
        "decisions",
        "day,what,why\n2026-02-01,Cards cost 4.50,paper went up\n2026-03-01,No more calendars,260 left over\n",
    );
    let said = desk.bring(
        "decisions",
        "day,what,why,corrects\n2026-02-02,Cards cost 4.75,a slip of the pen,1\n",
    );
    assert!(said.contains("1 decision brought in"), "{said}");
    let shown = desk.json(&["papers", "--to", "2026-04-01"]);
    assert_eq!(shown["papers"][2]["copy"], "agreement.txt");
    assert_eq!(shown["papers"][3]["there"], false);
    assert_eq!(shown["decisions"][1]["corrects"], 1);
    assert!(
        shown["caution"]
            .as_str()
            .expect("words")
            .contains("licensed professional")
    );
    for (kind, sheet, expected) in [
        (
            "papers",
            "paper,kind,note\nTax number,tax-number,12-3456789\n",
            "column note: the tax number itself is not kept here",
        ),
        (
            "papers",
            "paper,kind,file\nTax number,tax-number,agreement.txt\n",
            "column file: no copy of this one is kept here",
        ),
        (
            "decisions",
            "day,what,why\n2026-02-02,More cards,\n",
            "column why: is empty",
        ),
        (
            "decisions",
            "day,what,why,corrects\n2026-02-02,Cards cost 4.60,again,1\n",
            "that line was corrected already",
        ),
        (
            "decisions",
            "number,day,what,why\n1,2026-02-02,Cards cost 4.60,again\n",
            "a line is never changed",
        ),
    ] {
        let lines = desk.bring_refused(kind, sheet);
        assert!(lines[0].contains(expected), "{lines:?}");
    }
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn how_the_business_is_kept_is_told_in_facts() {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-01-02,in,1000,300.00\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,proof\n\
         R1,2026-01-05,Alderwick Paper,1000,40.00,6000,missing\nR2,2026-03-06,Copse Tools,1000,18.50,6010,substitute\n",
    );
    desk.bring("plan", "name,kind,likely\nPress,equipment,180.00\n");
    desk.bring(
        "decisions",
        "day,what,why\n2026-02-01,Cards cost 4.50,paper went up\n",
    );
    desk.bring(
        "questions",
        "question,asked_on\nIs glue a material?,2026-02-03\n",
    );
    desk.bring(
        "hours",
        "date,activity,minutes\n2026-01-10,making,90\n2026-02-11,books,30\n",
    );
    desk.bring(
        "papers",
        "paper,kind,there\nRegistration,registration,yes\nLoan,owner-loan,no\n",
    );
    let shown = desk.json(&["how-kept", "--from", "2026-01-01", "--to", "2026-03-31"]);
    let facts: Vec<(&str, &str)> = shown["facts"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|fact| {
            (
                fact["topic"].as_str().expect("words"),
                fact["fact"].as_str().expect("words"),
            )
        })
        .collect();
    assert_eq!(
        facts,
        [
            (
                "A separate account",
                "3 entries moved 1000 Business bank account"
            ),
            (
                "A separate account",
                "no private thing paid by the business and booked to the owner"
            ),
            (
                "A separate account",
                "1000 Business bank account was not brought into agreement with a statement yet"
            ),
            ("Books kept", "kept since 2 Jan 2026"),
            ("Books kept", "3 entries in 2 months of 3"),
            ("Books kept", "up to date through 6 Mar 2026"),
            (
                "Books kept",
                "no receipt kept, 1 where something stands in, 1 still to find"
            ),
            ("Hours", "2 h written down, in 2 months"),
            ("Decisions", "1 decision written down with a reason"),
            (
                "Decisions",
                "1 Feb 2026: Cards cost 4.50. Because: paper went up."
            ),
            (
                "Plan against actual",
                "planned 180.00 at the likely cost, spent on it 0.00, expected in the end 180.00"
            ),
            (
                "Advice taken",
                "1 question for the accountant: 1 open, 0 answered, 0 applied"
            ),
            ("Formalities", "1 of 2 company papers are there"),
        ]
    );
    assert!(
        shown["caution"]
            .as_str()
            .expect("words")
            .contains("no judgement")
    );
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    for name in [
        "how-kept.csv",
        "decisions.csv",
        "company-papers.csv",
        "hours.csv",
        "questions.csv",
    ] {
        assert!(desk.path("pack/sheets").join(name).is_file(), "{name}");
    }
}
