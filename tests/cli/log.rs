//! Trips and the workspace at home by their sheets and verbs. Figures are worked by hand from the published rates.

use crate::desk::Desk;

const TRIPS: &str = "date,from,to,purpose,distance,unit,fair,entered_on\n\
    2026-01-10,Home,Copse End,Order delivered,20,mi,,2026-01-11\n\
    2026-03-02,Home,Wrenfield,Paper fetched,160.9344,km,,2026-03-30\n";

#[test]
fn trips_come_in_once_and_say_what_they_come_to() {
    let desk = Desk::new();
    // Three decimals of a kilometre are more than a log tells.
    let refused = desk.bring_refused("mileage", TRIPS).join("\n");
    assert!(
        refused.contains("row 3") && refused.contains("distance"),
        "{refused}"
    );
    let said = desk.bring("mileage", &TRIPS.replace("160.9344,km", "100,mi"));
    assert!(said.contains("2 trips brought in"), "{said}");
    let again = desk.bring("mileage", "date,from,to,purpose,distance,entered_on\n2026-01-10,Home,Copse End,Order delivered,20,2026-01-11\n");
    assert!(
        again.contains("1 row says what the book has already"),
        "{again}"
    );
    desk.bring(
        "odometer",
        "date,reading\n2026-01-01,41000\n2026-12-31,41600\n",
    );
    let shown = desk.json(&["mileage", "--year", "2026"]);
    // 120 miles at 0.725; of 600 driven they are 20 %.
    assert_eq!(shown["distance"], "120");
    assert_eq!(shown["amount"], "87.00");
    assert_eq!(shown["to_post"], "87.00");
    assert_eq!(shown["odometer"]["percent"], "20");
    assert_eq!(shown["late"], 1);
    assert_eq!(shown["trips"][1]["days_later"], 28);
    assert!(
        shown["rates"][0]["source"]
            .as_str()
            .expect("words")
            .contains("Notice 2026-10")
    );
    desk.ok(&["set", "@book", "mileage_rate=0.50"]);
    assert_eq!(desk.json(&["mileage", "--year", "2026"])["amount"], "60.00");
    desk.ok(&["set", "@book", "mileage.method=actual"]);
    assert_eq!(desk.json(&["mileage", "--year", "2026"])["to_post"], "0.00");
}

#[test]
fn an_odometer_that_goes_backwards_is_refused() {
    let desk = Desk::new();
    let refused = desk
        .bring_refused(
            "odometer",
            "date,reading\n2026-01-01,41000\n2026-12-31,40000\n",
        )
        .join("\n");
    assert!(
        refused.contains("row 3 column reading: the odometer showed 41000 mi on 1 Jan 2026"),
        "{refused}"
    );
}

/// IRS Publication 587, example of an average monthly area: 150 square feet, 750.00; and 240 of 1,200 square feet are 20 %.
#[test]
fn a_workspace_counts_by_its_area_or_by_the_bills_of_the_home() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        "sale,date,paid_into,amount\nS1,2026-02-03,1000,2000.00\n",
    );
    desk.bring(
        "workspaces",
        "space,area,home_area,used_for,exclusive,from,until\n\
         Corner,100,1650,work,yes,2026-04-20,2026-08-04\nRoom,330,1650,work,yes,2026-08-05,\n",
    );
    desk.bring(
        "workspace-bills",
        "date,what,amount,covers_from,covers_months,paid_by\n2026-12-31,Heating of autumn,300.00,2026-10-01,3,business\n",
    );
    let shown = desk.json(&["workspace", "--year", "2026"]);
    assert_eq!(shown["average_area"], "150");
    assert_eq!(shown["simplified"], "750.00");
    // A fifth of 300.00 in each of three months.
    assert_eq!(shown["actual"], "60.00");
    assert_eq!(shown["amount"], "750.00");
    desk.ok(&["set", "@book", "workspace.method=actual"]);
    assert_eq!(
        desk.json(&["workspace", "--year", "2026"])["to_post"],
        "60.00"
    );
    let refused = desk
        .bring_refused(
            "workspaces",
            "space,area,home_area,from\nRoom,200,100,2026-01-01\n",
        )
        .join("\n");
    assert!(refused.contains("row 2 column home_area"), "{refused}");
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

/// The worksheets of a year and the log count with one rate.
#[test]
fn every_place_that_names_a_mile_of_a_year_names_the_same() {
    let currency = deckle::money::Currency::from_code("USD").expect("known");
    let rates = deckle::mileage::MileageRates::for_currency(&currency).expect("whole");
    for year in 2023..=2026 {
        let file = format!("{}/assets/rates/us-{year}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(file).expect("there");
        let part = text
            .split("key = \"mileage_rate\"")
            .nth(1)
            .expect("the figure");
        let value = part
            .split("value = \"")
            .nth(1)
            .and_then(|rest| rest.split('"').next());
        for (month, day) in [(1, 1), (6, 30), (7, 1), (12, 31)] {
            let day = chrono::NaiveDate::from_ymd_opt(year, month, day).expect("a day");
            let each = rates.each_on(day).expect("a rate");
            assert_eq!(
                Some(each),
                value.and_then(|text| text.parse().ok()),
                "{day}"
            );
        }
    }
}

const SHARES: &str = "what,party,business_share,basis,sampled_from,sampled_to,since,note\n\
    Mobile phone,Dovetone Mobile,40,\"Two weeks of calls, 41 of 102 for the business\",2026-03-01,2026-03-14,2026-03-01,\n\
    Mobile phone,Dovetone Mobile,55.5,\"Two weeks of calls, 61 of 110\",2026-08-01,2026-08-14,2026-09-01,a second number\n\
    Internet,,30,Hours at the shop's pages,,,2026-01-01,\n";

#[test]
fn shares_of_bills_hold_from_their_day_and_say_what_they_rest_on() {
    let desk = Desk::new();
    let said = desk.bring("shared-bills", SHARES);
    assert!(said.contains("3 business shares brought in"), "{said}");
    let shown = desk.json(&["shared-bills", "--to", "2026-06-30"]);
    let bills = shown["shared_bills"].as_array().expect("a list");
    let told: Vec<(&str, &str, Option<&str>, bool)> = bills
        .iter()
        .map(|bill| {
            let text = |key: &str| bill[key].as_str();
            (
                text("what").expect("what"),
                text("business_share").expect("a share"),
                text("until"),
                bill["holds"].as_bool().expect("yes or no"),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("Internet", "30", None, true),
            ("Mobile phone", "40", Some("2026-08-31"), true),
            ("Mobile phone", "55.5", None, false),
        ]
    );
    assert_eq!(bills[1]["sampled_to"], "2026-03-14");
    let text = desk.ok(&["show", "@book", "shared-bills"]);
    assert!(text.contains("41 of 102 for the business"), "{text}");
    // The same bill and day again changes that share.
    desk.file(
        "again.csv",
        "what,party,business_share,basis,since\nINTERNET,,35,Counted anew,2026-01-01\n",
    );
    desk.ok(&["bring", "@book", "shared-bills", "@again.csv"]);
    let shown = desk.json(&["shared-bills"]);
    assert_eq!(shown["shared_bills"].as_array().expect("a list").len(), 3);
    assert_eq!(shown["shared_bills"][0]["business_share"], "35");
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,business_share\n\
         B1,2026-04-12,Dovetone Mobile,1000,32.00,6410,One month,40\n",
    );
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn a_share_that_cannot_be_says_where() {
    let desk = Desk::new();
    let head = "what,party,business_share,basis,sampled_from,sampled_to,since\n";
    for (row, column, words) in [
        ("Phone,,101,Calls,,,2026-01-01", "business_share", "100"),
        ("Phone,,40,,,,2026-01-01", "basis", "is empty"),
        (",,40,Calls,,,2026-01-01", "what", "is empty"),
        (
            "Phone,,40,Calls,2026-02-01,2026-02-14,2026-01-31",
            "sampled_from",
            "begins after the day from which the share holds",
        ),
        (
            "Phone,,40,Calls,2026-01-01,,2026-01-31",
            "sampled_to",
            "the first and the last day",
        ),
        (
            "Phone,,40,Calls,2026-01-14,2026-01-01,2026-01-31",
            "sampled_to",
            "ends before it begins",
        ),
        ("Phone,,40,Calls,soon,,2026-01-31", "sampled_from", "soon"),
    ] {
        let refused = desk
            .bring_refused("shared-bills", format!("{head}{row}\n"))
            .join("\n");
        assert!(
            refused.contains(&format!("row 2 column {column}")) && refused.contains(words),
            "{refused}"
        );
    }
    assert_eq!(
        desk.json(&["shared-bills"])["shared_bills"]
            .as_array()
            .map(Vec::len),
        Some(0)
    );
}
