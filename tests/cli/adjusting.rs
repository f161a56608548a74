//! Adjusting entries at a year's end by their sheet and verbs. Figures are worked by hand or published.

use crate::desk::Desk;

fn book_of(first_day: &str) -> Desk {
    let desk = Desk::empty();
    desk.ok(&[
        "new",
        "@book",
        "--currency",
        "USD",
        "--first-day",
        first_day,
    ]);
    desk
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), sections 3.5 to 4.5: a small printing business, January 2019. Unadjusted
/// trial balance 34,000, adjusted 35,715. The corporation's stock is the owner's capital here, its dividends are drawings,
/// supplies are paid in advance, and the advance is taken as two deposits, of 600 and 3,400.
#[test]
fn the_published_cycle_told_through_the_forms_gives_its_adjusted_trial_balance() {
    let desk = book_of("2019-01-01");
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\n\
         1,2019-01-03,1000,20000,\n1,2019-01-03,3000,,20000\n\
         4,2019-01-10,1100,5500,\n4,2019-01-10,4000,,5500\n\
         5,2019-01-12,6410,300,\n5,2019-01-12,1000,,300\n\
         6,2019-01-14,3100,100,\n6,2019-01-14,1000,,100\n\
         7,2019-01-17,1000,2800,\n7,2019-01-17,4000,,2800\n\
         8,2019-01-18,2000,3500,\n8,2019-01-18,1000,,3500\n\
         9,2019-01-20,6260,3600,\n9,2019-01-20,1000,,3600\n\
         10,2019-01-23,1000,5500,\n10,2019-01-23,1100,,5500\n\
         11,2019-01-27,1100,1200,\n11,2019-01-27,4000,,1200\n\
         12,2019-01-30,1300,500,\n12,2019-01-30,2000,,500\n",
    );
    desk.bring(
        "equipment",
        "name,bought_on,in_service_on,cost,life_months,residual,paid_from\nPress,2019-01-05,2019-01-05,3500,40,500,2000\n",
    );
    desk.bring(
        "deposits",
        "what,order,amount,date,paid_into,about\ntaken,FIRST,600,2019-01-09,1000,Printing\ntaken,REST,3400,2019-01-09,1000,Printing\n",
    );
    let trial = |to: &str| desk.json(&["trial", "--to", to])["total_debit"].clone();
    assert_eq!(trial("2019-01-31"), "34000.00");
    // Entries 13, 16 and 17.
    let said = desk.bring(
        "adjusting",
        "what,amount,account,date,party,take_back\n\
         used,100,6000,2019-01-31,,\nearned,140,4080,2019-01-31,Bank,\nowed,1500,6260,2019-01-31,Helpers,\n",
    );
    assert!(said.contains("It is taken back on 1 Feb 2019."), "{said}");
    // Entry 14: (3,500 - 500) / 40 months = 75.
    desk.ok(&["depreciate", "@book", "--through", "2019-01-31"]);
    // Entry 15.
    desk.bring(
        "deposits",
        "what,order,price,date\ndelivered,FIRST,600,2019-01-31\n",
    );
    assert_eq!(trial("2019-01-31"), "35715.00");
    let profit = desk.json(&["profit", "--from", "2019-01-01", "--to", "2019-01-31"]);
    assert_eq!(profit["totals"]["net_profit"], "4665.00");
    // The day after, what was owed and earned without a bill is taken back.
    let bills = |to: &str| {
        let shown = desk.json(&[
            "ledger",
            "--account",
            "2000",
            "--from",
            "2019-01-01",
            "--to",
            to,
        ]);
        shown["closing"].clone()
    };
    assert_eq!(bills("2019-01-31"), "-2000.00");
    assert_eq!(bills("2019-02-01"), "-500.00");
    let shown = desk.json(&["adjusting", "--year", "2019"]);
    let posted = shown["posted"].as_array().expect("a list");
    let owed = posted
        .iter()
        .find(|one| one["amount"] == "1500.00")
        .expect("owed");
    assert_eq!(owed["taken_back_on"], "2019-02-01");
    crate::round_trip::check_round_trip(&desk, "@book", "2019-01-01");
}

#[test]
fn a_year_proposes_what_it_needs_and_posts_each_once() {
    let desk = Desk::new();
    desk.ok(&["set", "@book", "opened_for_business_on=2026-07-01"]);
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\n\
         1,2026-01-02,1000,60000,\n1,2026-01-02,3000,,60000\n\
         2,2026-03-01,1600,41000,\n2,2026-03-01,1000,,41000\n\
         3,2026-08-01,1000,9000,\n3,2026-08-01,4000,,9000\n\
         4,2026-08-02,1000,66,\n4,2026-08-02,2100,,66\n\
         5,2026-09-01,6410,120,\n5,2026-09-01,1000,,120\n",
    );
    desk.bring(
        "mileage",
        "date,purpose,distance,entered_on\n2026-10-01,Fair,1234,2026-10-01\n",
    );
    desk.bring(
        "workspaces",
        "space,area,home_area,exclusive,from\nRoom,200,1000,yes,2026-07-01\n",
    );
    let shown = desk.json(&["adjusting", "--year", "2026"]);
    let amount = |name: &str| {
        let all = shown["proposed"].as_array().expect("a list");
        let one = all.iter().find(|one| one["name"] == name);
        one.map(|one| one["amount"].clone()).unwrap_or_default()
    };
    // 41,000 from July: 5,000 at once and 6 of 180 months of 36,000 (Reg. 1.195-1(c), example).
    assert_eq!(amount("start-up"), "6200.00");
    // 1,234 miles at 0.725.
    assert_eq!(amount("mileage"), "894.65");
    // 200 square feet in 6 of 12 months: 100 on average, at 5. The profit before it, 9,000 - 120 - 6,200 - 894.65, is more.
    assert_eq!(amount("workspace"), "500.00");
    assert_eq!(amount("private-share"), "120.00");
    assert_eq!(amount("sales-tax"), "66.00");
    let said = desk.ok(&["adjust", "@book", "--year", "2026", "--only", "mileage"]);
    assert!(
        said.contains("Driving for the business: entry 6."),
        "{said}"
    );
    desk.ok(&["adjust", "@book", "--year", "2026"]);
    desk.balances(&[
        ("6600", "894.65"),
        ("6610", "500.00"),
        ("6900", "6200.00"),
        ("1600", "34800.00"),
    ]);
    // 60,000 and what the car and the room are worth to the business.
    desk.balances(&[("3000", "-61394.65")]);
    let again = desk.ok(&["adjust", "@book", "--year", "2026"]);
    assert!(again.contains("Nothing of it can be posted"), "{again}");
    // A trip more, and only its part is still to be posted; a trip less, and it goes back.
    desk.bring(
        "mileage",
        "date,purpose,distance,entered_on\n2026-11-01,Paper,100,2026-11-01\n",
    );
    assert_eq!(
        desk.json(&["mileage", "--year", "2026"])["to_post"],
        "72.50"
    );
    desk.ok(&["set", "@book", "mileage.method=actual"]);
    desk.ok(&["adjust", "@book", "--year", "2026", "--only", "mileage"]);
    desk.balances(&[("6600", "0.00")]);
    desk.refused(2, &["adjust", "@book", "--year", "2026", "--only", "count"]);
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

/// Reg. 1.195-1(c): 3,000 count at once. By hand: 5,001 leave 1, whose months add up to it; every year of its life together.
#[test]
fn the_costs_of_starting_are_used_up_exactly_over_their_life() {
    let desk = Desk::new();
    desk.ok(&["set", "@book", "opened_for_business_on=2026-07-01"]);
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\n1,2026-03-01,1600,51000,\n1,2026-03-01,3000,,51000\n",
    );
    for year in 2026..=2041 {
        desk.ok(&[
            "adjust",
            "@book",
            "--year",
            &year.to_string(),
            "--only",
            "start-up",
        ]);
    }
    let closing = |to: &str| {
        let shown = desk.json(&[
            "ledger",
            "--account",
            "1600",
            "--from",
            "2026-01-01",
            "--to",
            to,
        ]);
        shown["closing"].clone()
    };
    // 51,000: 4,000 at once, 47,000 over 180 months; 6 of them are 1,566.67.
    assert_eq!(closing("2026-12-31"), "45433.33");
    assert_eq!(closing("2041-12-31"), "0.00");
    let other = book_of("2026-01-01");
    other.ok(&["set", "@book", "opened_for_business_on=2026-07-01"]);
    other.bring(
        "entries",
        "entry,date,account,debit,credit\n1,2026-03-01,1600,3000,\n1,2026-03-01,3000,,3000\n",
    );
    other.ok(&["adjust", "@book", "--year", "2026"]);
    other.balances(&[("6900", "3000.00"), ("1600", "0.00")]);
}

#[test]
fn what_was_paid_out_of_the_business_for_the_home_leaves_the_drawings() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        "sale,date,paid_into,amount\nS1,2026-02-03,1000,2000.00\n",
    );
    desk.bring(
        "entries",
        "entry,date,account,debit,credit\nR,2026-12-01,3100,300,\nR,2026-12-01,1000,,300\n",
    );
    desk.bring(
        "workspaces",
        "space,area,home_area,exclusive,from\nRoom,240,1200,yes,2026-01-01\n",
    );
    desk.bring(
        "workspace-bills",
        "date,what,amount,paid_by\n2026-12-01,Heating,300.00,business\n2026-12-02,Insurance,100.00,owner\n",
    );
    desk.ok(&["set", "@book", "workspace.method=actual"]);
    desk.ok(&["adjust", "@book", "--year", "2026"]);
    // A fifth of each: 60 leave the drawings, 20 are put in.
    desk.balances(&[("6610", "80.00"), ("3100", "240.00"), ("3000", "-20.00")]);
}

#[test]
fn an_adjusting_entry_that_cannot_be_is_refused_where_it_stands() {
    let desk = Desk::new();
    let said = desk
        .bring_refused(
            "adjusting",
            "what,amount,account,date\nowed,10,1000,2026-12-31\nahead,0,6400,2026-12-31\nearned,5,6400,2026-12-31\n",
        )
        .join("\n");
    assert!(said.contains("row 2 column account"), "{said}");
    assert!(said.contains("row 3 column amount"), "{said}");
    assert!(said.contains("row 4 column account"), "{said}");
    let said = desk
        .bring_refused(
            "adjusting",
            "what,amount,account,date,take_back\nused,5,6000,2026-12-31,yes\n",
        )
        .join("\n");
    assert!(said.contains("row 2 column take_back"), "{said}");
}
