//! Questions for the accountant by their sheet and verb: asked, answered on the sheet that came back, applied.

use crate::desk::Desk;

fn with_purchases() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\n\
         R1,2026-01-05,Copse Tools,owner,190.00,6010,Second-hand press\n\
         R2,2026-01-06,Alderwick Paper,owner,40.00,6000,Glue\n",
    );
    desk
}

#[test]
fn a_question_goes_out_with_the_folder_and_comes_back_with_its_answer() {
    let desk = with_purchases();
    let said = desk.bring(
        "questions",
        "question,entry,asked_by,asked_on\n\
         Is the press equipment?,R1,Ada,2026-02-03\n\
         \"When do I register, if at all?\",,,2026-02-04\n",
    );
    assert!(said.contains("2 questions brought in"), "{said}");
    let shown = desk.json(&["questions", "--to", "2026-02-10"]);
    assert_eq!(shown["currency"], "USD");
    assert_eq!(shown["as_of"], "2026-02-10");
    assert_eq!((&shown["open"], &shown["to_apply"]), (&2.into(), &0.into()));
    let first = &shown["questions"][0];
    assert_eq!(first["number"], 1);
    assert_eq!(first["entry"], 1);
    assert_eq!(
        first["about"],
        "5 Jan 2026, Copse Tools, Second-hand press, 190.00"
    );
    assert_eq!(first["state"], "open");
    assert!(first["answer"].is_null());

    // The accountant fills in the sheet of the folder; the day is left to when it is brought.
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let sheet = std::fs::read_to_string(desk.path("pack/sheets/questions.csv")).expect("a sheet");
    let head = "number,entry,about,question,asked_by,asked_on,answer,answered_by,answered_on,applied,applied_entry,applied_on";
    assert_eq!(sheet.lines().next(), Some(head));
    let filled = sheet.replace(
        "Ada,2026-02-03,,,,",
        "Ada,2026-02-03,\"Yes, over your threshold\",Brindle & Co,2026-03-01,",
    );
    assert_ne!(filled, sheet);
    let cover = std::fs::read_to_string(desk.path("pack/summary.md")).expect("a cover");
    assert!(
        cover.contains("2 questions wait for you in sheets/questions.csv"),
        "{cover}"
    );
    desk.file("back.csv", filled);
    let said = desk.ok(&["bring", "@book", "questions", "@back.csv"]);
    assert!(
        said.contains("0 questions asked, 1 answer brought back."),
        "{said}"
    );
    assert!(
        said.contains("1 row says what the book has already."),
        "{said}"
    );

    let needs = desk.json(&["needs", "--to", "2026-03-02"])["open"].clone();
    let words: Vec<&str> = needs
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|need| need["what"].as_str())
        .collect();
    assert!(
        words.contains(&"1 answer of your accountant to apply"),
        "{words:?}"
    );
    assert!(
        words.contains(&"1 question for your accountant"),
        "{words:?}"
    );

    desk.bring(
        "questions",
        "number,question,applied,applied_entry,applied_on\n1,Is the press equipment?,moved to the register,#1,2026-03-04\n",
    );
    let first = desk.json(&["questions"])["questions"][0].clone();
    assert_eq!(first["state"], "applied");
    assert_eq!(first["answered_on"], "2026-03-01");
    assert_eq!(first["answered_by"], "Brindle & Co");
    assert_eq!(first["applied_entry"], 1);
    let text = desk.ok(&["show", "@book", "questions"]);
    assert!(
        text.contains("moved to the register (4 Mar 2026)"),
        "{text}"
    );
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn a_sheet_that_does_not_fit_the_book_is_refused_whole() {
    let desk = with_purchases();
    desk.bring(
        "questions",
        "question,asked_on\nIs glue a material?,2026-02-03\n",
    );
    for (sheet, expected) in [
        (
            "number,question\n7,Is glue a material?\n",
            "column number: there is no question 7 in the book",
        ),
        (
            "number,question,answer\n1,Is ink a material?,Yes\n",
            "column question: question 1 of the book is 'Is glue a material?'",
        ),
        (
            "question,asked_on\nNew one,2026-02-05\n,2026-02-06\n",
            "row 3 column question: is empty",
        ),
        (
            "question,entry\nAnother?,R9\n",
            "column entry: there is no entry or document 'R9' in the book",
        ),
        (
            "number,question,answer,answered_on\n1,Is glue a material?,No,2026-02-02\n",
            "column answered_on: answered on 2 Feb 2026 lies before asked on 3 Feb 2026",
        ),
        (
            "number,question,answered_on\n1,Is glue a material?,2026-02-09\n",
            "column answered_on: the column answer is empty",
        ),
        (
            "number,question,applied\n1,Is glue a material?,done\n",
            "column answer: it has no answer yet that could be applied",
        ),
    ] {
        let lines = desk.bring_refused("questions", sheet);
        assert!(lines[0].contains(expected), "{lines:?}");
    }
    assert_eq!(desk.json(&["questions"])["open"], 1);
}

#[test]
fn an_answer_may_change_until_it_is_applied() {
    let desk = with_purchases();
    desk.bring("questions", "question,asked_on\nGlue?,2026-02-03\n");
    let answered =
        |answer: &str| format!("number,question,answer,answered_on\n1,Glue?,{answer},2026-02-05\n");
    desk.bring("questions", &answered("A consumable"));
    desk.bring("questions", &answered("A material"));
    assert_eq!(
        desk.json(&["questions"])["questions"][0]["answer"],
        "A material"
    );
    desk.bring(
        "questions",
        "number,question,applied,applied_on\n1,Glue?,nothing had to change,2026-02-06\n",
    );
    let lines = desk.bring_refused("questions", answered("Neither"));
    assert!(lines[0].contains("applied already and stays"), "{lines:?}");
}
