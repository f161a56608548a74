//! The page that brings statements in, as it is drawn: the files, the current one as it is understood, what it asks.
//! What it says is `draft`'s.

use egui::Ui;

use super::Pressed;
use super::draft::{ChosenFile, Seen, StatementDraft};
use crate::app::forms::parts::{cells, select, widths};
use crate::app::screen::ViewContext;
use crate::app::sentence;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, hand_on, page_heading, primary_button_enabled, problem,
    quiet_button, secondary_button, soft, take_up, text_field,
};
use crate::bank::{ColumnRole, DateOrder, SignRule};
use crate::dates::show_day;
use crate::import::bank::{Asked, Look, Question};
use crate::ledger::Chart;

/// So many lines are shown as they are understood.
const SHOWN: usize = 8;

/// Shows the page.
pub(super) fn statement_file_ui(
    ui: &mut Ui,
    draft: &mut StatementDraft,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if std::mem::replace(&mut draft.is_begun, true) {
        hand_on(ui);
    } else {
        take_up(ui);
    }
    page_heading(
        ui,
        "Bring a statement",
        "What your bank or card lets you download: a table (CSV), OFX, or camt.053. Nothing is written down in the books \
         by it: its lines wait to be sorted, and lines you brought before do not come twice.",
    );
    let mut pressed = None;
    card(ui, |ui| {
        files_ui(ui, draft, cx.chart);
        if !draft.files.is_empty() {
            ui.add_space(space::MEDIUM);
            pressed = bring_ui(ui, draft);
        }
    });
    if draft.files.get(draft.current).is_some() {
        ui.add_space(space::LARGE);
        card(ui, |ui| current_ui(ui, draft, cx));
    }
    pressed
}

fn files_ui(ui: &mut Ui, draft: &mut StatementDraft, chart: &Chart) {
    card_heading(ui, "Which files");
    soft(
        ui,
        "Drop them on this window, or choose one after the other. A folder stands for all files in it.",
    );
    ui.add_space(space::SMALL);
    if draft.is_choosing || draft.files.is_empty() {
        let is_chosen = draft.picker.ui(ui, "File or folder", None);
        let path = draft.picker.path();
        let can_add = path.is_file() || path.is_dir() && !is_home(&path);
        ui.add_space(space::SMALL);
        let mut is_added = is_chosen && path.is_file();
        ui.add_enabled_ui(can_add, |ui| {
            is_added |= secondary_button(ui, "Add it", "").clicked();
        });
        if is_added {
            draft.add(vec![path]);
            draft.is_choosing = false;
        }
    } else if secondary_button(ui, "Choose another file", "").clicked() {
        draft.is_choosing = true;
    }
    if draft.files.is_empty() {
        return;
    }
    ui.add_space(space::MEDIUM);
    let columns = [Column::words("File", 1.0), Column::words("", 1.6)];
    let rows: Vec<Row> = draft
        .files
        .iter()
        .map(|file| {
            Row::line(vec![
                Cell::opens(file.name.clone()),
                Cell::soft(state_words(file, chart)),
            ])
        })
        .collect();
    if let Some((row, _column)) = paper_table(ui, "chosen files", &columns, &rows) {
        draft.current = row;
    }
}

/// A home folder is where choosing begins, and not meant as a whole.
fn is_home(path: &std::path::Path) -> bool {
    directories::UserDirs::new().is_some_and(|dirs| dirs.home_dir() == path)
}

fn state_words(file: &ChosenFile, chart: &Chart) -> String {
    match &file.seen {
        Seen::NotYet | Seen::Looking(_) => "being looked at\u{2026}".to_owned(),
        Seen::Wrong(words) => words.clone(),
        Seen::Brought(words) => words.clone(),
        Seen::Statement(look) => {
            let days = match (look.head.from, look.head.to) {
                (Some(from), Some(to)) => format!(", {} to {}", show_day(from), show_day(to)),
                _ => String::new(),
            };
            match (look.questions.len(), file.account) {
                (0, None) => format!("say which account it is of{days}"),
                (0, Some(id)) => {
                    let of = chart
                        .account(id)
                        .map_or_else(|_gone| String::new(), |account| account.name.clone());
                    format!("{of}, {}{days}", look.format.plain())
                }
                (1, _) => "asks one thing".to_owned(),
                (several, _) => format!("asks {several} things"),
            }
        }
    }
}

fn current_ui(ui: &mut Ui, draft: &mut StatementDraft, cx: &ViewContext<'_>) {
    let place = draft.current;
    let accounts: Vec<(Option<crate::ledger::AccountId>, String)> = draft
        .accounts
        .iter()
        .map(|(id, name)| (Some(*id), name.clone()))
        .collect();
    let Some(file) = draft.files.get_mut(place) else {
        return;
    };
    card_heading(ui, &file.name.clone());
    match &file.seen {
        Seen::NotYet | Seen::Looking(_) => {
            soft(ui, "Being looked at\u{2026}");
            return;
        }
        Seen::Brought(words) => {
            soft(ui, &format!("{}.", sentence(words)));
            return;
        }
        Seen::Wrong(words) => {
            problem(ui, &words.clone());
            if quiet_button(ui, "Leave this file out").clicked() {
                draft.drop_file(place);
            }
            return;
        }
        Seen::Statement(_) => {}
    }
    let before = file.account;
    select(
        ui,
        "It is a statement of",
        300.0,
        &mut file.account,
        &accounts,
        None,
    );
    if file.account != before {
        file.told();
        return;
    }
    ui.add_space(space::SMALL);
    let Seen::Statement(look) = &file.seen else {
        return;
    };
    let look = (**look).clone();
    if let Some(name) = &look.recognised {
        soft(
            ui,
            &format!("Recognised by its header: laid out like '{name}'."),
        );
    }
    for question in &look.questions {
        question_ui(ui, file, question);
        ui.add_space(space::SMALL);
    }
    understood_ui(ui, &look, cx);
    for note in &look.head.notes {
        soft(ui, note);
    }
    if !look.columns.is_empty() {
        ui.add_space(space::SMALL);
        let asks_columns = look
            .questions
            .iter()
            .any(|question| question.asked == Asked::Columns);
        if file.is_mending || asks_columns {
            columns_ui(ui, file, &look);
        }
    }
    ui.add_space(space::SMALL);
    let mut is_left_out = false;
    ui.horizontal_wrapped(|ui| {
        if !look.columns.is_empty() && !file.is_mending {
            file.is_mending = secondary_button(ui, "Put right what is not so", "").clicked();
        }
        is_left_out = quiet_button(ui, "Leave this file out").clicked();
    });
    if is_left_out {
        draft.drop_file(place);
    }
}

/// The first lines as they will be understood.
fn understood_ui(ui: &mut Ui, look: &Look, cx: &ViewContext<'_>) {
    if look.lines.is_empty() {
        soft(ui, "It has no line that moves money.");
        return;
    }
    let has_balance = look.lines.iter().any(|line| line.balance.is_some());
    let mut columns = vec![
        Column::narrow("Day", 104.0),
        Column::words("What the bank wrote", 1.0),
        Column::figures("Money in", 92.0),
        Column::figures("Money out", 92.0),
    ];
    if has_balance {
        columns.push(Column::figures("Balance", 104.0));
    }
    let rows: Vec<Row> = look
        .lines
        .iter()
        .take(SHOWN)
        .map(|line| {
            let (into, out) = if line.amount.is_negative() {
                (String::new(), cx.show(line.amount.abs()))
            } else {
                (cx.show(line.amount), String::new())
            };
            let mut cells = vec![
                Cell::text(show_day(line.date)),
                Cell::text(line.text.clone()),
                Cell::text(into),
                Cell::text(out),
            ];
            if has_balance {
                let balance = line.balance.map(|balance| cx.show(balance));
                cells.push(Cell::soft(balance.unwrap_or_default()));
            }
            Row::line(cells)
        })
        .collect();
    let words = if look.questions.is_empty() {
        "Its first lines, as they are understood:"
    } else {
        "Its first lines, as they would be understood:"
    };
    soft(ui, words);
    let _nothing_opens = paper_table(ui, "first lines", &columns, &rows);
    if let Some((day, balance)) = look.head.closing {
        soft(
            ui,
            &format!("It closes with {} on {}.", cx.show(balance), show_day(day)),
        );
    }
}

/// A question with its answers, each a button.
fn question_ui(ui: &mut Ui, file: &mut ChosenFile, question: &Question) {
    let heading = question.asked.plain();
    ui.label(heading);
    if !question.examples.is_empty() {
        soft(
            ui,
            &format!("In the file: {}.", question.examples.join(", ")),
        );
    }
    let mut answer = None;
    if question.asked == Asked::Columns {
        soft(ui, "Say it beneath, under each column.");
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for choice in &question.choices {
            if secondary_button(ui, &answer_words(question.asked, choice), "").clicked() {
                answer = Some(choice.clone());
            }
        }
    });
    let Some(answer) = answer else {
        return;
    };
    match question.asked {
        Asked::Dates => file.answers.dates = DateOrder::of_word(&answer),
        Asked::Sign => file.answers.sign = SignRule::of_word(&answer),
        Asked::Decimal => {
            file.answers.decimal_mark = Some(if answer == "comma" { ',' } else { '.' });
        }
        Asked::Account => file.answers.statement_account = Some(answer),
        Asked::Layout => file.answers.layout = Some(answer),
        Asked::Columns => {}
    }
    file.told();
}

fn answer_words(asked: Asked, choice: &str) -> String {
    let words = match (asked, choice) {
        (Asked::Dates, "dmy") => "The day comes first",
        (Asked::Dates, "mdy") => "The month comes first",
        (Asked::Dates, "ymd") => "The year comes first",
        (Asked::Sign, "as-written") => "It means money in",
        (Asked::Sign, "charges-positive") => "It means a charge, money out",
        (Asked::Decimal, "comma") => "The comma",
        (Asked::Decimal, "point") => "The point",
        _ => choice,
    };
    words.to_owned()
}

/// What each column holds, the order of days and the sign, all to be put right.
fn columns_ui(ui: &mut Ui, file: &mut ChosenFile, look: &Look) {
    let mut choices: Vec<(Option<ColumnRole>, String)> = vec![(None, "nothing needed".to_owned())];
    choices.extend(
        ColumnRole::ALL
            .iter()
            .map(|role| (Some(*role), role_words(*role).to_owned())),
    );
    let room = ui.available_width();
    let across = if room > 620.0 { 3 } else { 2 };
    let each = widths(room, &vec![0.0; across]);
    let mut said = None;
    for (row, group) in look.columns.chunks(across).enumerate() {
        cells(
            ui,
            &each,
            &(0..group.len()).collect::<Vec<_>>(),
            |ui, idx, width| {
                let Some(column) = group.get(idx) else {
                    return;
                };
                let label = if column.header.trim().is_empty() {
                    format!("Column {}", row * across + idx + 1)
                } else {
                    column.header.clone()
                };
                let mut role = column.role;
                if select(ui, &label, width - space::SMALL, &mut role, &choices, None) {
                    said = Some((column.name.clone(), role));
                }
            },
        );
        ui.add_space(space::SMALL);
    }
    if let Some((column, role)) = said {
        file.say_column(&column, role);
        return;
    }
    let Some(layout) = &look.layout else {
        return;
    };
    let mut dates = layout.dates;
    let orders: Vec<(DateOrder, String)> = DateOrder::ALL
        .iter()
        .map(|order| (*order, answer_words(Asked::Dates, order.as_str())))
        .collect();
    if select(
        ui,
        "In a day written in figures",
        260.0,
        &mut dates,
        &orders,
        None,
    ) {
        file.answers.dates = Some(dates);
        file.told();
        return;
    }
    let has_one_amount = !layout.columns_of(ColumnRole::Amount).is_empty();
    let can_turn = matches!(layout.sign, SignRule::AsWritten | SignRule::ChargesPositive);
    if has_one_amount && can_turn {
        ui.add_space(space::SMALL);
        let mut sign = layout.sign;
        let signs = [SignRule::AsWritten, SignRule::ChargesPositive]
            .map(|rule| (rule, answer_words(Asked::Sign, rule.as_str())));
        if select(ui, "A positive amount", 260.0, &mut sign, &signs, None) {
            file.answers.sign = Some(sign);
            file.told();
            return;
        }
    }
    if look.recognised.is_none() {
        ui.add_space(space::SMALL);
        let mut name = file.answers.layout.clone().unwrap_or_default();
        let field = Field::new("Keep how it is laid out as")
            .width(260.0)
            .hint("the account's name");
        if text_field(ui, field, &mut name).changed() {
            file.answers.layout = Some(name).filter(|name| !name.trim().is_empty());
        }
    }
}

fn role_words(role: ColumnRole) -> &'static str {
    match role {
        ColumnRole::Date => "the day",
        ColumnRole::Text => "what it was",
        ColumnRole::Amount => "the amount",
        ColumnRole::Debit => "money out",
        ColumnRole::Credit => "money in",
        ColumnRole::Mark => "in or out, as a word",
        ColumnRole::Balance => "the balance after it",
        ColumnRole::Id => "the bank's own number",
        ColumnRole::Currency => "the currency",
        ColumnRole::Account => "the account",
        ColumnRole::Status => "booked or pending",
    }
}

fn bring_ui(ui: &mut Ui, draft: &StatementDraft) -> Option<Pressed> {
    let mut pressed = None;
    let (ready, asking) = draft.counts();
    if asking > 0 {
        soft(
            ui,
            &match asking {
                1 => "1 file asks something first.".to_owned(),
                several => format!("{several} files ask something first."),
            },
        );
        ui.add_space(space::SMALL);
    }
    let words = match ready {
        0 | 1 => "Bring it in".to_owned(),
        several => format!("Bring {several} files in"),
    };
    let is_any_left = draft
        .files
        .iter()
        .any(|file| !matches!(file.seen, Seen::Brought(_)));
    ui.horizontal_wrapped(|ui| {
        if is_any_left && primary_button_enabled(ui, ready > 0, &words, "").clicked() {
            pressed = Some(Pressed::Bring);
        }
        if draft.n_to_sort > 0 {
            let words = match draft.n_to_sort {
                1 => "Sort 1 line".to_owned(),
                several => format!("Sort {several} lines"),
            };
            let is_main = !is_any_left;
            let sort = if is_main {
                primary_button_enabled(ui, true, &words, "")
            } else {
                secondary_button(ui, &words, "")
            };
            if sort.clicked() {
                pressed = Some(Pressed::Sort);
            }
        }
    });
    pressed
}
